//! Changing the set-up at the screen: every kind of edit pressed through the real window, and read
//! back from the real file.

mod common;

use common::keeper::Desk;
use fillcall::bay::action::Page;
use fillcall::bay::setup::{Panel, Profile};

const DEMO: &str = include_str!("../kiosk-setup/demo-bay/bay.toml");

#[test]
fn look() {
    let panel = Panel::usual(Profile::Seven800);
    let desk = Desk::of(DEMO, panel);
    let w = &desk.window;
    desk.lead(Page::Edit);
    let shot = |name: &str| w.picture(std::path::Path::new(&format!("/tmp/edit/{name}.png")));
    shot("kinds");
    w.press(&["Sprayers"]);
    shot("sprayers");
    w.press(&["Lance 1"]);
    shot("lance");
    w.press(&["Name"]);
    shot("name");
    w.press(&["Back", "Holds"]);
    shot("holds");
    w.press(&["Back", "Kind"]);
    shot("kind");
    w.press(&["Back", "Nozzle"]);
    shot("nozzle");
    w.press(&["Back", "Back", "Back", "Chemicals"]);
    shot("chemicals");
    w.press(&["Wheel cleaner"]);
    shot("chemical");
    w.press(&["More"]);
    shot("chemical-2");
    w.press(&["Back", "Wheel cleaner", "Hazards"]);
    shot("hazards");
    w.press(&["Back", "Cautions"]);
    shot("cautions");
    w.press(&["Back", "Strength"]);
    shot("strength");
}
