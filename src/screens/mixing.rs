//! The day around the fill: for so many vehicles, left-overs, mispoured, and what a ratio comes to.

use super::generated::MixingView;
use super::wall::Hands;
use crate::bay::at_work::Bay;

/// Shows the bay on these screens.
pub fn show(_bay: &Bay, _view: &MixingView) {}

/// What is pressed on these screens.
pub fn connect(_view: &MixingView, _hands: &Hands) {}
