//! What else there is beside the fill.

use super::generated::MenuView;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;

/// Shows the bay on the menu.
pub fn show(_bay: &Bay, _view: &MenuView) {}

/// What is pressed on the menu.
pub fn connect(view: &MenuView, hands: &Hands) {
    let to = |page: Page| hands.on(move || Action::Show(page));
    view.on_open(to(Page::Menu));
    view.on_mix(to(Page::Mix));
    view.on_stock(to(Page::Stock));
    view.on_records(to(Page::Reports));
    view.on_help(to(Page::Help));
    view.on_sound(to(Page::Sound));
    view.on_lead(to(Page::Lead));
}
