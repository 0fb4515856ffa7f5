//! First aid, and what must be found at once when somebody is hurt.

use super::generated::EmergencyView;
use super::models::{fact, update};
use super::tongue::{shown, tr};
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::trade::first_aid;
use crate::trade::hazard::needs_a_medical_plan;

/// Shows the bay on this page.
pub fn show(bay: &Bay, view: &EmergencyView) {
    let chemical = bay.chemical();
    let note = match needs_a_medical_plan(&chemical.hazards) {
        // Of the chemical there is no room for more.
        true => tr!("medical plan ready?"),
        false => chemical.name.clone(),
    };
    view.set_note(note.into());
    view.set_eyes(shown(&first_aid::eyes()).into());
    view.set_skin(shown(&first_aid::skin()).into());
    view.set_breathed_in(shown(&first_aid::breathed_in()).into());
    view.set_swallowed(shown(&first_aid::swallowed()).into());
    let told = &bay.setup().emergency;
    let or_not = |told: &Option<String>| told.clone().unwrap_or_else(|| tr!("not told: ask now"));
    let facts = vec![
        fact(&tr!("Eye wash"), or_not(&told.eye_wash)),
        fact(&tr!("Data sheets"), or_not(&told.data_sheets)),
        fact(&tr!("Telephone"), or_not(&told.telephone)),
    ];
    if let Some(new) = update(view.get_facts(), facts) {
        view.set_facts(new);
    }
}

/// What leads here.
pub fn connect(view: &EmergencyView, hands: &Hands) {
    view.on_open(hands.on(|| Action::Show(Page::Emergency)));
}
