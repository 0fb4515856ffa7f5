//! What there is of each chemical, and how long it lasts.

use super::generated::StockView;
use super::wall::Hands;
use crate::bay::at_work::Bay;

/// Shows the bay on these screens.
pub fn show(_bay: &Bay, _view: &StockView) {}

/// What is pressed on these screens.
pub fn connect(_view: &StockView, _hands: &Hands) {}
