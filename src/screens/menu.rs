//! What else there is beside the fill.

use super::generated::MenuView;
use super::tongue::tr;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;

/// Shows the bay on the menu.
pub fn show(bay: &Bay, view: &MenuView) {
    view.set_without_pin(bay.is_without_pin());
    view.set_stock_note(match bay.stock_warnings() {
        0 => "".into(),
        1 => tr!("1 runs low").into(),
        n => tr!("{} run low", n).into(),
    });
}

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
