//! The shift lead's side: a PIN, a session that ends by itself, and the page that leads on.

use super::generated::LeadView;
use super::wall::Hands;
use crate::bay::at_work::Bay;

/// Shows the bay on these screens.
pub fn show(_bay: &Bay, _view: &LeadView) {}

/// What is pressed on these screens.
pub fn connect(_view: &LeadView, _hands: &Hands) {}
