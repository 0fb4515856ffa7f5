//! Changing the set-up at the screen, and the first set-up.

use super::generated::EditingView;
use super::wall::Hands;
use crate::bay::at_work::Bay;

/// Shows the bay on these screens.
pub fn show(_bay: &Bay, _view: &EditingView) {}

/// What is pressed on these screens.
pub fn connect(_view: &EditingView, _hands: &Hands) {}
