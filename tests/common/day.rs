//! A bay with chemicals that must never meet, and the walk through what is set for a day.

use super::lead::{PIN, entered};
use super::walk::{Seen, skip, type_in};
use super::window::{Window, window_of};
use super::{Around, percent, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::day::DayAction;
use fillcall::bay::records::Scope;
use fillcall::bay::setup::{Profile, Setup};
use fillcall::trade::chemical::{Chemical, Nature, Target};
use fillcall::trade::hazard::Hazard;
use fillcall::trade::sprayer::Sprayer;
use std::time::Duration;

/// A bay that needs no calibration: two pump sprayers; and an acid and a bleach beside the others.
pub fn day_setup(profile: Profile) -> Setup {
    let mut setup = setup(profile);
    let pump = setup.sprayers.pop().expect("the pump sprayer");
    let second = Sprayer {
        id: "pump-2".into(),
        name: "Pump 2".into(),
        spoken: "pump two".into(),
        ..pump.clone()
    };
    setup.sprayers = vec![pump, second];
    let like = |id: &str, name: &str, nature: Nature, hazards: &[Hazard]| Chemical {
        id: id.into(),
        name: name.into(),
        target: Target::OnVehicle(percent(2.0)),
        band: None,
        nature,
        hazards: hazards.to_vec(),
        ..setup.chemicals[0].clone()
    };
    let acid = like(
        "acid",
        "Rim acid",
        Nature::Acid,
        &[Hazard::H314, Hazard::H290],
    );
    let bleach = like(
        "bleach",
        "Bleach wash",
        Nature::Hypochlorite,
        &[Hazard::Euh031, Hazard::H319],
    );
    setup.chemicals.extend([acid, bleach]);
    setup
}

/// The shift lead comes to the page of the day.
pub fn come_in(window: &Window) {
    window.act([Action::Show(Page::Day)]);
    window.act(entered(PIN));
}

/// Every screen of it.
pub fn walk(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    let window = window_of(day_setup(profile), &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    come_in(&window);
    see("day");
    window.press(&["Whole bay"]);
    see("day-setting");
    window.press(&["Stronger", "For today"]);
    see("day-stronger");
    window.press(&["Strength: 4.1 %"]);
    see("day-pad");
    type_in(&window, "12.5");
    see("day-typed");
    window.press(&["Take it"]);
    see("day-outside");
    window.press(&["Set it"]);
    see("day-confirm");
    window.hold("Set all the same");
    see("day-set");
    window.press(&["Close"]);
    see("day-bay-set");
    window.press(&["Pump 2", "Chemical: Film remover"]);
    see("day-chemicals");
    window.press(&["Wheel cleaner"]);
    see("day-ratio");
    window.press(&["Chemical: Wheel cleaner", "Rim acid", "Set it", "Close"]);
    see("day-two-set");
    window.press(&["Whole bay"]);
    see("day-may-end");
    window.act([Action::Show(Page::Fill)]);
    see("day-fill");
    window.press(&["Sprayer: Pump sprayer"]);
    see("day-sprayers");
    window.press(&["Pump 2", "Filled", "Close", "Chemical: Rim acid"]);
    see("day-never-listed");
    window.press(&["Bleach wash"]);
    see("day-never-refused");
    window.press(&["Close"]);
    see("day-never");
    window.hold("Rinsed");
    see("day-rinsed");
    window.press(&[
        "Undo",
        "Close",
        "Chemical: Bleach wash",
        "Wheel cleaner",
        "Close",
    ]);
    see("day-rinse-first");
    window.act([Action::Show(Page::Rinse)]);
    see("day-rinse-page");
    window.press(&["Rinsed", "Close"]);
    window.act([Action::Show(Page::Rinse)]);
    see("day-nothing-in-it");
    window.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("acid".into()),
        Action::CloseNotice,
        Action::Show(Page::Help),
    ]);
    window.press(&["More"]);
    see("day-hazards");
    window.press(&["More"]);
    see("day-cautions");
    // A day that brings an acid and a bleach together by itself.
    come_in(&window);
    // What was half made there before is gone on with.
    window.press(&["Chemical: Film remover", "Bleach wash", "Set it"]);
    see("day-beside");
    window.hold("Set all the same");
    window.act([Action::CloseNotice, Action::Show(Page::Fill)]);
    see("day-beside-home");
    window.act([Action::Show(Page::Help)]);
    window.press(&["More"]);
    see("day-beside-help");
    window.act([Action::Back]);
    window.act([
        Action::ChooseSprayer("pump".into()),
        Action::ChooseChemical("acid".into()),
        Action::CloseNotice,
        Action::Filled,
        Action::CloseNotice,
    ]);
    skip(&window, Duration::from_secs(400));
    skip(&window, Duration::from_secs(24 * 3600));
    see("day-another");
    window.act([Action::CloseNotice]);
    see("day-never-at-home");
    ends_what_keeps_apart(profile, look);
}

/// A setting that cannot be ended: what it keeps apart would come together.
fn ends_what_keeps_apart(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let window = window_of(day_setup(profile), &Around::default());
    come_in(&window);
    let one = |id: &str| Scope::Sprayer(id.into());
    let sets = [
        (Scope::Bay, "acid"),
        (one("pump-2"), "film"),
        (one("pump"), "bleach"),
    ];
    for (scope, chemical) in sets {
        window.act([
            Action::Day(DayAction::For(scope)),
            Action::Day(DayAction::Chemical(chemical.into())),
            Action::Day(DayAction::Set),
            Action::CloseNotice,
        ]);
    }
    window.press(&["Pump 2", "End the setting"]);
    look(Seen {
        name: "day-end-refused",
        window: &window,
    });
}
