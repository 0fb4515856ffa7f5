//! The day's chemical, rinsing between chemicals, and what must never meet.

use super::generated::DayView;
use super::wall::Hands;
use crate::bay::at_work::Bay;

/// Shows the bay on these screens.
pub fn show(_bay: &Bay, _view: &DayView) {}

/// What is pressed on these screens.
pub fn connect(_view: &DayView, _hands: &Hands) {}
