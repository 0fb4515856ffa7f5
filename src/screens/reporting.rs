//! What happened, to look at and to take away.

use super::generated::ReportingView;
use super::wall::Hands;
use crate::bay::at_work::Bay;

/// Shows the bay on these screens.
pub fn show(_bay: &Bay, _view: &ReportingView) {}

/// What is pressed on these screens.
pub fn connect(_view: &ReportingView, _hands: &Hands) {}
