//! The walk through editing, and through the first set-up.

use super::keeper::Desk;
use super::walk::Seen;
use fillcall::bay::action::{Action, Page, TextKey};
use fillcall::bay::setup::{Panel, Profile};

const DEMO: &str = include_str!("../../kiosk-setup/demo-bay/bay.toml");

/// Shows every screen of them, in every state that changes its layout, to `look`.
pub fn editing(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let desk = Desk::of(DEMO, Panel::usual(profile));
    let w = &desk.window;
    let mut see = |name: &str| {
        look(Seen {
            name: &format!("edit-{name}"),
            window: w,
        })
    };
    w.act([Action::Show(Page::Changes)]);
    desk.set_pin();
    w.act([Action::CloseNotice]);
    see("changes-none");
    w.act([Action::Show(Page::Edit)]);
    see("kinds");
    w.press(&["Sprayers"]);
    see("sprayers");
    w.press(&["Lance 1"]);
    see("sprayer");
    w.press(&["Name"]);
    see("letters");
    w.press(&["Capitals"]);
    see("capitals");
    w.press(&["Digits and signs"]);
    see("signs");
    w.press(&["More letters"]);
    see("more-letters");
    w.press(&["Back", "Kind"]);
    see("kind");
    w.press(&["Back", "Holds"]);
    see("holds");
    w.press(&["9", "8", "0"]);
    see("holds-typed");
    w.press(&["Save"]);
    see("saved");
    w.act([Action::CloseNotice]);
    w.press(&["Nozzle"]);
    see("nozzle");
    w.press(&["Another"]);
    see("nozzle-typed");
    w.press(&["Back", "Back", "More"]);
    see("sprayer-more");
    w.press(&["Back", "Back", "Chemicals"]);
    see("chemicals");
    w.press(&["Wheel cleaner"]);
    see("chemical");
    w.press(&["More"]);
    see("chemical-more");
    w.press(&["More"]);
    see("chemical-last");
    w.press(&["More", "Hazards"]);
    see("hazards");
    w.press(&["More"]);
    see("hazards-more");
    w.press(&["Back", "Cautions"]);
    see("cautions");
    w.press(&["Line 2"]);
    see("caution");
    w.press(&["Back", "Back", "Strength"]);
    see("strength");
    w.press(&["Unit: 1 + …", "1", "2", ".", "5"].map(|key| match key {
        "." => "Decimal point",
        key => key,
    }));
    see("ratio");
    w.press(&["Back", "Strongest allowed"]);
    see("band");
    w.press(&["9", "9", "Save"]);
    see("saved-band");
    w.act([Action::CloseNotice]);
    w.press(&["Strongest allowed", "1", "Save"]);
    see("refused");
    w.act([Action::CloseNotice]);
    w.press(&["Back", "More", "What it is"]);
    see("nature");
    w.press(&["Back", "Never with"]);
    see("never-with");
    w.press(&["Back", "Spray a vehicle"]);
    see("spray");
    w.press(&["Back", "Cost a litre"]);
    see("cost");
    w.press(&["Back", "Back", "Back", "Measures", "Add"]);
    see("new");
    w.act([Action::Type(TextKey::Sign('X'))]);
    w.press(&["Next"]);
    see("new-size");
    w.press(&["Back", "Back", "Back", "Vehicles", "Minibus"]);
    see("vehicle");
    w.press(&["Spray it takes"]);
    see("share");
    w.press(&["Back", "Back", "Back", "Bay"]);
    see("bay");
    w.press(&["More"]);
    see("bay-more");
    w.press(&["Voice"]);
    see("voice");
    w.press(&["Back"]);
    w.press(&["Quiet from", "0", "6", "3", "0"]);
    see("quiet");
    w.press(&["Back", "Back", "Limits"]);
    see("limits");
    w.press(&["More"]);
    see("limits-more");
    w.press(&["Shift lead: closes after"]);
    see("minutes");
    w.act([Action::Show(Page::Changes)]);
    see("changes");
    first_run(profile, look);
}

fn first_run(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let panel = Panel::usual(profile);
    let desk = Desk::first(panel);
    let w = &desk.window;
    let mut see = |name: &str| {
        look(Seen {
            name: &format!("first-{name}"),
            window: w,
        })
    };
    see("greeting");
    w.press(&["Begin"]);
    see("language");
    w.press(&["English"]);
    see("units");
    w.press(&["Millilitres, litres"]);
    see("bay");
    w.press(&["B", "Next"]);
    see("sprayer");
    w.press(&["L", "Next"]);
    see("kind");
    w.press(&["Foam lance"]);
    see("holds");
    w.press(&["8", "2", "0", "Next"]);
    see("nozzle");
    w.press(&["N", "Next"]);
    see("washer");
    w.press(&["W", "Next"]);
    see("size");
    w.press(&["5", "0", "0", "Next"]);
    see("lines");
    w.press(&["5", "Next"]);
    see("chemical");
    w.press(&["C", "Next"]);
    see("strength");
    w.press(&["4", "Next"]);
    see("nature");
    w.press(&["Alkali"]);
    see("hazards");
    w.press(&["More", "H314", "Next"]);
    see("cautions");
    w.press(&["Add a line", "G", "Done"]);
    see("caution");
    w.press(&["Next"]);
    see("weakest");
    w.press(&["3", "Next"]);
    see("strongest");
    w.press(&["5", "Next"]);
    see("pin");
    w.press(&["Next"]);
    see("summary");
    w.press(&["More"]);
    see("summary-more");
    w.press(&["More"]);
    see("summary-last");
}
