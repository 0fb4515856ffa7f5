//! A walk through every screen and every state of it, by real presses where there is a way.

use super::places::Written;
use super::window::{Window, window_of};
use super::{Around, setup};
use chrono::{DateTime, NaiveTime, TimeDelta};
use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::day::DayAction;
use fillcall::bay::lead::LeadAction;
use fillcall::bay::mixing::{MixAction, MixStage};
use fillcall::bay::ports::{SoundState, Why};
use fillcall::bay::records::{
    Broken, BrokenWhat, CalibrationRecord, Cause, Milestone, SprayerPast, Step,
};
use fillcall::bay::setup::{EntryUnits, Panel, Profile, QuietHours, Setup};
use fillcall::bay::stopwatch::Watch;
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::{Faults, Rescue, Restorable};
use fillcall::store::setup_file::read_bay;
use fillcall::store::{backup, records::past_of, records_path};
use fillcall::trade::calibration::{Calibration, Container, Run, Way};
use fillcall::trade::chemical::{Band, Nature};
use fillcall::trade::fill_plan::Part;
use fillcall::trade::hazard::Hazard;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::units::{ML_PER_US_FL_OZ, ML_PER_US_GAL, Volume};
use fillcall::trade::vehicle::VehicleClass;
use std::collections::BTreeSet;
use std::path::Path;
use std::time::Duration;

/// One screen as it is seen on the walk.
pub struct Seen<'a> {
    pub name: &'a str,
    pub window: &'a Window,
}

/// The languages that every screen must fit in; the walk itself goes by the English names.
pub const LANGUAGES: [Language; 2] = Language::ALL;

impl Seen<'_> {
    /// Shows the same screen in another language while `look` looks at it.
    pub fn in_language(&self, language: Language, look: impl FnOnce()) {
        let screen = self.window.off.screen();
        screen.show_in(language);
        look();
        screen.show_in(Language::English);
    }
}

/// Runs the guided calibration by running dry, from the choice of the way: what is known is taken,
/// the run is `seconds` long and `jugs` loads of the largest measure and `rest` litres are caught.
/// Ends at the review.
pub fn calibrate(window: &Window, seconds: u64, jugs: usize, rest: &str) {
    window.press(&["Run dry", "As before"]);
    run(window, seconds, jugs, rest);
}

/// One run dry of it, from the full container to the review.
pub fn run(window: &Window, seconds: u64, jugs: usize, rest: &str) {
    window.press(&["It is full to the line"]);
    started(window, seconds, jugs, rest);
}

fn started(window: &Window, seconds: u64, jugs: usize, rest: &str) {
    window.press(&["Start"]);
    window.wait(Duration::from_secs(5 + seconds));
    window.press(&["Stop", "Nothing is left"]);
    for _ in 0..jugs {
        window.press(&["Add 1 L"]);
    }
    window.press(&["Type a part load"]);
    type_in(window, rest);
    window.press(&["Next"]);
    // What is said of the sum lies over the head.
    window.act([Action::CloseNotice]);
}

/// Time goes by at once: for what is timed by the bay's clock alone.
pub fn skip(window: &Window, time: Duration) {
    window.around.clock.go_on(time);
    window.act([Action::Tick]);
}

/// One vehicle; the button rests a moment before it counts another.
pub fn wash(window: &Window) {
    window.press(&["Wash done", "Close"]);
    window.wait(Duration::from_millis(700));
}

pub fn type_in(window: &Window, text: &str) {
    for key in text.chars() {
        match key {
            '.' => window.press(&["Decimal point"]),
            digit => window.press(&[&digit.to_string()]),
        }
    }
}

/// Shows every screen, in every state that changes its layout, to `look`.
pub fn every_screen(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    let window = window_of(setup(profile), &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    see("uncalibrated");
    window.press(&["Calibrate"]);
    see("ways-uncalibrated");
    window.press(&["Run dry"]);
    see("holds");
    type_in(&window, "820");
    see("holds-typed");
    window.press(&["Next"]);
    see("fill-to-line");
    window.press(&["It is full to the line"]);
    see("ready");
    window.press(&["Start"]);
    see("countdown");
    window.wait(Duration::from_millis(5000 + 103_700));
    see("running");
    window.press(&["Stop"]);
    see("left-dry");
    type_in(&window, "12");
    see("left-dry-typed");
    window.press(&["Erase", "Erase", "Nothing is left"]);
    see("catch-empty");
    for _ in 0..14 {
        window.press(&["Add 1 L"]);
    }
    see("catch-loads");
    window.press(&["Type a part load"]);
    see("catch-pad");
    type_in(&window, ".7");
    see("catch-typed");
    window.press(&["Unit: ml"]);
    see("catch-ml");
    window.press(&["Unit: L", "Full loads"]);
    see("catch");
    window.press(&["Back", "Back"]);
    see("ready-with-time");
    window.press(&["Keep the time", "Next", "Next"]);
    see("review");
    window.hold("Save");
    see("saved");
    window.press(&["Close"]);
    see("fill");
    window.press(&["Menu"]);
    see("menu");
    window.press(&["Back", "Filled"]);
    see("filled");
    window.press(&["Close", "Wash done"]);
    see("wash-done");
    window.press(&["Close", "Sprayer: Lance 1"]);
    see("sprayers");
    window.press(&["Lance 1", "Chemical: Film remover"]);
    see("chemicals");
    window.press(&["Degreaser"]);
    see("out-of-reach");
    window.press(&["Chemical: Degreaser", "Wheel cleaner"]);
    see("rinse");
    window.press(&["Close"]);
    see("bottle-ratio");
    window.press(&["Chemical: Wheel cleaner", "Film remover", "Part: Full"]);
    see("parts");
    window.press(&["½"]);
    see("half");
    window.press(&["Part: ½", "Full", "Calibration: 1 wash"]);
    // Until then the wash can be taken back, where Help is.
    window.wait(Duration::from_secs(11));
    see("care");
    window.press(&["Help"]);
    for page in 1..=9 {
        see(&format!("help-{page}"));
        window.press(&["More"]);
    }
    window.press(&["Back", "Back"]);
    for _ in 0..5 {
        wash(&window);
    }
    see("due");
    window.press(&["Calibration: Due"]);
    see("care-due");
    window.press(&["Put off"]);
    see("put-off");
    window.press(&["Close"]);
    see("due-put-off");
    for _ in 0..2 {
        wash(&window);
    }
    see("overdue");
    window.press(&["Calibration: Overdue"]);
    see("care-overdue");
    window.press(&["Something was changed on it"]);
    see("changed");
    window.hold("Nozzle changed");
    see("void");
    window.hold("Use the old figure once");
    see("void-used-once");
    window.press(&["Sprayer: Lance 1", "Pump sprayer"]);
    see("direct");
    window.press(&["Calibration: As mixed"]);
    see("care-direct");
    window.press(&[
        "Back",
        "Sprayer: Pump sprayer",
        "Drum injector",
        "Calibrate",
    ]);
    see("ways-drum");
    window.press(&["Run dry"]);
    // What is put into a drum is measured each time.
    see("holds-drum");
    type_in(&window, "20000");
    window.press(&["Next", "The water is in"]);
    started(&window, 700, 0, "412");
    see("review-drum");
    window.hold("Save");
    window.press(&["Close"]);
    see("fill-drum");
    window.press(&["Sprayer: Drum injector", "Lance 1", "Calibrate", "Run dry"]);
    // Readings that cannot be: too much flow, and a draw fraction that is odd.
    type_in(&window, "500");
    window.press(&["Next"]);
    see("holds-asked-about");
    window.press(&["Close"]);
    window.wait(Duration::from_millis(700));
    window.press(&["Next", "It is full to the line", "Start"]);
    window.wait(Duration::from_secs(5 + 1));
    window.press(&["Stop", "Nothing is left", "Type a part load"]);
    type_in(&window, ".7");
    window.press(&["Next"]);
    see("review-doubts");
    window.hold("Run again");
    window.press(&["Back", "Back"]);
    see("unfinished");
    around.records.0.borrow_mut().fails = true;
    window.act([Action::ChooseSprayer("pump".into()), Action::WashDone]);
    see("not-kept");
    around.records.0.borrow_mut().fails = false;
    around.ears.state.set(SoundState::NoDevice(Why::Absent));
    window.press(&["Close", "Say it"]);
    see("no-sound");

    safety(profile, look);
    ways(profile, look);
    sounds(profile, look);
    training(profile, look);
    runs(profile, look);
    checks(profile, look);
    insight(profile, look);
    leads_side(profile, look);
    updates(profile, look);
    doubtful(profile, look);
    super::day::walk(profile, look);
    helps(profile, look);
    super::walk_glass::glass(profile, look);
    super::panel::walk(profile, look);
    super::walk_jugs::jugs(profile, look);
    super::walk_reports::reports(profile, look);
    super::walk_editing::editing(profile, look);

    // Every sprayer with every chemical of the demonstration bay, as it stands after its history.
    let folder = tempfile::tempdir().expect("a folder");
    let bay = folder.path().join("bay");
    let history = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    backup::restore(&bay, &history, false).expect("the demonstration bay");
    let mut demo = read_bay(&bay).expect("its set-up");
    demo.panel = fillcall::bay::setup::Panel::usual(profile);
    let around = Around::default();
    around.records.0.borrow_mut().past = past_of(&records_path(&bay)).expect("its records");
    let window = window_of(demo.clone(), &around);
    for sprayer in &demo.sprayers {
        window.act([
            Action::ChooseSprayer(sprayer.id.clone()),
            Action::CloseNotice,
        ]);
        for chemical in &demo.chemicals {
            window.act([
                Action::ChooseChemical(chemical.id.clone()),
                Action::CloseNotice,
            ]);
            look(Seen {
                name: &format!("demo-{}-{}", sprayer.id, chemical.id),
                window: &window,
            });
        }
        for page in [
            Page::Sprayers,
            Page::Chemicals,
            Page::Parts,
            Page::Care,
            Page::Ways,
            Page::Sure,
            Page::Trend,
        ] {
            window.act([Action::Show(page)]);
            look(Seen {
                name: &format!("demo-{}-{page:?}", sprayer.id),
                window: &window,
            });
        }
    }

    // A bay that is not invented, with figures of every width: tenths of a ml, litres, thousands.
    let mut own = setup(profile);
    own.demo = false;
    own.measures[0].graduation = fillcall::trade::units::Volume::ml(0.5);
    let share = |percent| fillcall::trade::chemical::Target::OnVehicle(super::percent(percent));
    for (chemical, percent) in own.chemicals.iter_mut().zip([0.29, 24.6, 99.0]) {
        chemical.target = share(percent);
        chemical.band = None;
    }
    let window = window_of(own.clone(), &Around::default());
    window.act([Action::ChooseSprayer("pump".into())]);
    for (chemical, name) in
        own.chemicals
            .iter()
            .zip(["own-tenths", "own-litres", "own-nearly-neat"])
    {
        window.act([
            Action::ChooseChemical(chemical.id.clone()),
            Action::CloseNotice,
        ]);
        look(Seen {
            name,
            window: &window,
        });
    }

    let faults = Faults {
        title: "The set-up file bay.toml cannot be used".into(),
        faults: vec![
            (
                "Line 12, chemical \"film\", bottle_ratio".into(),
                "\"1:10\" can be read two ways: one part in so many, or one part and so many parts. \
                 Write a bottle ratio as \"1 + 10\" (1 part product and 10 parts water), a strength \
                 as \"4 %\"."
                    .into(),
            ),
            ("Line 20, sprayer \"lance-1\", holds".into(), "\"820\" has no unit.".into()),
        ],
    };
    let panel = fillcall::bay::setup::Panel::usual(profile);
    let off = Offscreen::new(panel, Box::new(move || Err(faults.clone()))).expect("a window");
    let window = Window {
        off,
        around: Around::default(),
    };
    look(Seen {
        name: "fault",
        window: &window,
    });
    window.press(&["More"]);
    look(Seen {
        name: "fault-2",
        window: &window,
    });

    stock(profile, look);
    mixing(profile, look);
    notices(profile, look);
    not_believed(profile, look);
    started_anew(profile, look);
}

/// A wall that was killed in the middle, and is back where the hand was.
fn started_anew(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let go = |window: &Window, actions: &[Action]| window.act(actions.iter().cloned());
    let mut killed = |name: &str, actions: &[Action]| {
        let (own, around) = bay_with_vehicles(profile);
        let places = Written::default();
        let start = || {
            let (own, inner, places) = (own.clone(), around.clone(), places.clone());
            let open = move || {
                let runner = inner.runner(own.clone());
                Ok(runner.with_places(Box::new(places.clone())))
            };
            Window {
                off: Offscreen::new(Panel::usual(profile), Box::new(open)).expect("a window"),
                around: around.clone(),
            }
        };
        let window = start();
        go(&window, actions);
        window.wait(Duration::from_secs(6));
        drop(window);
        look(Seen {
            name,
            window: &start(),
        });
    };
    killed("anew-half", &[Action::ChoosePart(Part::Half)]);
    let got = Action::Mix(MixAction::Open(MixStage::Got));
    let digit = Action::Pad(PadKey::Digit(7));
    killed("anew-typed", &[Action::Show(Page::Mix), got, digit.clone()]);
    killed(
        "anew-calibrating",
        &[Action::CalibrateBy(Way::RunDry), digit],
    );
    let start = Action::StartStop {
        ago: Duration::ZERO,
    };
    let begin = Action::BeginCheck { with_mix: false };
    killed("anew-check-cut", &[Action::Show(Page::Check), begin, start]);
}

/// The longest notices over every kind of page, and the usual ones at home.
fn notices(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let (own, around) = bay_with_vehicles(profile);
    let window = window_of(own, &around);
    let mut see = |name: &str| {
        look(Seen {
            name: &format!("notice-{name}"),
            window: &window,
        })
    };
    for _ in 0..14 {
        window.act([Action::WashDone]);
    }
    see("washes");
    for name in ["switched", "switched-twice", "switched-thrice"] {
        window.act([Action::NextSprayer]);
        see(name);
    }
    window.act([
        Action::Undo,
        Action::CloseNotice,
        Action::ChooseSprayer("lance-1".into()),
        Action::Filled,
    ]);
    see("filled");
    window.act([Action::Show(Page::Menu)]);
    see("menu-undo");
    window.act([Action::Show(Page::Pin)]);
    see("pin-undo");
    window.act([
        Action::CloseNotice,
        Action::Show(Page::Fill),
        Action::TooSoon,
    ]);
    see("too-soon");
    around.records.0.borrow_mut().fault = Some(Cause::OutOfReach);
    let not_kept = |full: bool| {
        around.records.0.borrow_mut().fails = full;
        window.act([if full {
            Action::WashDone
        } else {
            Action::CloseNotice
        }]);
    };
    let mix = |stage| vec![Action::Show(Page::Mix), Action::Mix(MixAction::Open(stage))];
    for (name, actions) in [
        ("home", Vec::new()),
        (
            "uncalibrated",
            vec![Action::ChooseSprayer("lance-2".into())],
        ),
        ("menu", vec![Action::Show(Page::Menu)]),
        ("pin", vec![Action::Show(Page::Pin)]),
        ("vehicles", mix(MixStage::Vehicles)),
        ("got", mix(MixStage::Got)),
        ("poured", mix(MixStage::Poured)),
        ("care", vec![Action::Show(Page::Care)]),
        ("holds", vec![Action::CalibrateBy(Way::RunDry)]),
    ] {
        window.act(actions);
        not_kept(true);
        see(&format!("not-kept-{name}"));
        not_kept(false);
    }
    window.act([Action::HoldsAsBefore, Action::NextStep]);
    let watch = Action::StartStop {
        ago: Duration::ZERO,
    };
    window.act([watch.clone()]);
    around.clock.go_on(Duration::from_secs(5 + 90));
    window.act([watch, Action::NothingLeft, Action::AddLoad("jug".into())]);
    not_kept(true);
    see("not-kept-loads");
    not_kept(false);
    window.press(&["Type a part load"]);
    window.act(super::hands::keys("317"));
    not_kept(true);
    see("not-kept-typed-load");
    not_kept(false);
    window.act([Action::AddTyped]);
    see("which-unit");
    window.act(super::hands::keys("9.5"));
    see("another-load");
    window.act([Action::NextStep, Action::CloseNotice]);
    not_kept(true);
    see("not-kept-review");
    not_kept(false);
}

/// Presses that did not count, and show it.
fn not_believed(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let (own, around) = bay_with_vehicles(profile);
    let window = window_of(own, &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    window.short_press("Wash done", Duration::from_millis(20));
    see("doubt-again");
    window.wait(Duration::from_secs(2));
    window.press(&["Calibration: 0 washes", "Something was changed on it"]);
    window.short_press("Nozzle changed", Duration::from_millis(700));
    see("doubt-hold");
    window.act([Action::Changed(VoidCause::Nozzle), Action::CloseNotice]);
    window.short_press("Use the old figure once", Duration::from_millis(700));
    see("doubt-hold-at-home");
    window.press(&["Calibrate", "Run dry"]);
    window.short_press("7", Duration::from_millis(20));
    see("doubt-key");
    window.act([Action::HoldsAsBefore, Action::NextStep]);
    review(&window);
    window.short_press("Throw away", Duration::from_millis(700));
    see("doubt-hold-narrow");
}

/// From the full container to the review, by the bay's clock alone.
fn review(window: &Window) {
    let watch = Action::StartStop {
        ago: Duration::ZERO,
    };
    window.act([watch.clone()]);
    window.around.clock.go_on(Duration::from_secs(5 + 90));
    window.act([watch, Action::NothingLeft]);
    window.act(super::hands::keys("15.2"));
    window.act([Action::NextStep, Action::CloseNotice]);
}

/// Water first, every symbol and all that is put on, first aid, and who reaches what is out of reach.
pub fn safety(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let (mut own, around) = bay_with_vehicles(profile);
    let film = &mut own.chemicals[0];
    film.nature = Nature::Acid;
    film.hazards = vec![
        Hazard::H300,
        Hazard::H314,
        Hazard::H330,
        Hazard::H334,
        Hazard::H410,
    ];
    own.chemicals[1].hazards = vec![Hazard::H319];
    own.emergency.eye_wash = Some("Left of the door, by the drums of bay 2".into());
    own.emergency.telephone = Some("Gate 7, then the ambulance: 112".into());
    let window = window_of(own, &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    see("water-first");
    window.press(&["First aid"]);
    see("first-aid");
    window.press(&["Help"]);
    for page in 1..=4 {
        see(&format!("help-first-aid-{page}"));
        window.press(&["More"]);
    }
    window.act([
        Action::Back,
        Action::Back,
        Action::ChooseSprayer("pump".into()),
    ]);
    see("water-first-litres");
    window.act([Action::Show(Page::Chemicals)]);
    see("chemicals-symbols");
    window.act([
        Action::ChooseSprayer("lance-1".into()),
        Action::Filled,
        Action::CloseNotice,
        Action::ChooseChemical("degreaser".into()),
        Action::CloseNotice,
    ]);
    see("out-of-reach-filled");
    window.act([Action::Show(Page::Reaching)]);
    see("reaching");
    window.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("wheel".into()),
        Action::CloseNotice,
    ]);
    see("rinse-first");
    window.act([
        Action::ChooseChemical("film".into()),
        Action::Changed(VoidCause::Nozzle),
        Action::CloseNotice,
    ]);
    see("void-symbols");
    window.act([Action::Show(Page::Sprayers)]);
    see("sprayers-void");
    window.act([
        Action::Show(Page::Mix),
        Action::Mix(MixAction::Open(MixStage::Left)),
    ]);
    see("left-over-void");
}

/// A bay with classes of vehicle whose first lance was calibrated yesterday, and what is around it.
pub fn bay_with_vehicles(profile: Profile) -> (Setup, Around) {
    let mut own = setup(profile);
    let classes = [("Minibus", 0.6), ("Single-deck", 1.0), ("Articulated", 2.5)];
    own.vehicles = classes
        .into_iter()
        .map(|(name, share)| VehicleClass {
            id: name.to_lowercase(),
            name: name.into(),
            share,
        })
        .collect();
    let around = Around::default();
    let run = Run::dry(
        Volume::ml(820.0),
        Volume::litres(14.7),
        Duration::from_secs(104),
    );
    let calibrated = SprayerPast {
        calibration: Some(CalibrationRecord {
            sprayer: "lance-1".into(),
            nozzle: "1.35 mm".into(),
            washer: "Washer A".into(),
            dial: None,
            calibration: Calibration::of_one(Container::measured(Volume::ml(820.0)), run),
            taken: around.clock.now().wall - TimeDelta::hours(20),
        }),
        ..SprayerPast::default()
    };
    let sprayers = [("lance-1".to_owned(), calibrated)];
    around.records.0.borrow_mut().past.sprayers = sprayers.into();
    (own, around)
}

/// Fills beside the usual one: for vehicles, left-overs, mispoured, and what a ratio comes to.
pub fn mixing(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let (mut own, around) = bay_with_vehicles(profile);
    own.chemicals[1].never_with = vec!["film".into()];
    let window = window_of(own.clone(), &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    // Buttons rest a moment before they act again.
    let press = |labels: &[&str]| {
        for label in labels {
            window.wait(Duration::from_millis(750));
            window.press(&[label]);
        }
    };
    press(&["Menu", "Other fills"]);
    see("mix");
    press(&["For vehicles"]);
    see("mix-vehicles-none");
    press(&["One more: Minibus", "One more: Articulated"]);
    see("mix-vehicles");
    press(&["Type the number", "9"]);
    see("mix-vehicles-typed");
    press(&["Tap"]);
    see("mix-vehicles-many");
    press(&["Each"]);
    see("mix-coverage");
    press(&[
        "Back",
        "Back",
        "For vehicles",
        "One more: Minibus",
        "135 ml",
    ]);
    see("mix-part-at-home");
    press(&["Part: 135 ml"]);
    see("mix-parts");
    press(&["Full", "Menu", "Other fills", "Left-over"]);
    see("mix-left");
    press(&["+ 250 ml", "+ 60 ml"]);
    see("mix-left-loads");
    press(&["Next"]);
    see("mix-which-not-known");
    press(&["1 + N", "0", "Decimal point", "7"]);
    see("mix-ratio");
    press(&["Next"]);
    see("mix-top-up");
    press(&["Which mix", "%", "2", "Decimal point", "5"]);
    see("mix-strength");
    press(&["Next", "Say it"]);
    see("mix-top-up-said");
    window.act([Action::CloseNotice]);
    press(&["Added"]);
    see("mix-added");
    press(&[
        "Close",
        "Filled",
        "Close",
        "Menu",
        "Other fills",
        "Left-over",
        "Type it",
    ]);
    see("mix-left-pad");
    press(&["7", "3", "0", "Next"]);
    see("mix-top-up-last-fill");
    press(&["Which mix"]);
    see("mix-which");
    press(&["1 + N", "0", "Next"]);
    see("mix-pour-off");
    press(&["Back", "½", "How much", "5", "0", "0"]);
    see("mix-up-to");
    press(&["Next"]);
    see("mix-pour-off-or-more");
    window.act([Action::Show(Page::Mix)]);
    press(&["Mispoured"]);
    see("mix-poured");
    press(&["7", "2", "0", "Next"]);
    see("mix-poured-fine");
    press(&["Back", "7", "8", "0", "Next"]);
    window.act([Action::CloseNotice]);
    see("mix-too-strong");
    press(&["In it", "8", "0", "0"]);
    see("mix-level");
    press(&["Back", "In place of"]);
    see("mix-too-strong-beside");
    press(&[
        "Back", "2", "0", "0", "Next", "In it", "6", "0", "0", "Next",
    ]);
    see("mix-too-weak-said");
    window.act([Action::CloseNotice]);
    see("mix-too-weak");
    press(&["Log only"]);
    see("mix-logged-only");
    window.act([Action::CloseNotice, Action::Show(Page::Mix)]);
    press(&["What have I got?"]);
    see("mix-got");
    press(&["1", "0"]);
    see("mix-got-ratio");
    press(&["ml", "7", "0", "0", "In all", "8", "2", "0"]);
    see("mix-got-volumes");
    window.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("wheel".into()),
        Action::CloseNotice,
        Action::Show(Page::Mix),
    ]);
    press(&["Left-over"]);
    see("mix-another");
    window.act([
        Action::Changed(VoidCause::Nozzle),
        Action::CloseNotice,
        Action::Show(Page::Mix),
    ]);
    for (label, name) in [
        ("For vehicles", "mix-void-vehicles"),
        ("Left-over", "mix-void-left"),
        ("Mispoured", "mix-void-poured"),
        ("What have I got?", "mix-void-got"),
        ("Per vehicle", "mix-void-coverage"),
    ] {
        press(&[label]);
        see(name);
        press(&["Back"]);
    }

    // Without classes of vehicle, with many, and in ounces.
    let (mut own, around) = bay_with_vehicles(profile);
    own.vehicles.clear();
    own.entry_units = EntryUnits::Us;
    let window = window_of(own.clone(), &around);
    window.act([
        Action::Show(Page::Mix),
        Action::Mix(MixAction::Open(MixStage::Vehicles)),
        Action::Mix(MixAction::OneMore(0)),
    ]);
    let see =
        |look: &mut dyn FnMut(Seen<'_>), name: &str, window: &Window| look(Seen { name, window });
    see(look, "mix-no-classes", &window);
    window.act([Action::Mix(MixAction::Open(MixStage::Coverage))]);
    see(look, "mix-coverage-no-classes", &window);
    window.act([
        Action::Show(Page::Mix),
        Action::Mix(MixAction::Open(MixStage::Poured)),
    ]);
    see(look, "mix-poured-us", &window);
    let (mut own, around) = bay_with_vehicles(profile);
    let classes = own.vehicles.clone();
    own.vehicles = classes.iter().cycle().take(8).cloned().collect();
    own.demo = false;
    let window = window_of(own, &around);
    window.off.screen().mark_training(true);
    window.act([
        Action::Show(Page::Mix),
        Action::Mix(MixAction::Open(MixStage::Vehicles)),
        Action::Mix(MixAction::OneMore(1)),
    ]);
    see(look, "own-training-mix-many-classes", &window);
    window.act([Action::Mix(MixAction::Open(MixStage::Coverage))]);
    see(look, "own-training-mix-coverage-many", &window);
    window.act([
        Action::Show(Page::Mix),
        Action::Mix(MixAction::Open(MixStage::Poured)),
        Action::Pad(PadKey::Digit(7)),
        Action::Pad(PadKey::Digit(8)),
        Action::Pad(PadKey::Digit(0)),
        Action::Mix(MixAction::Next),
        Action::CloseNotice,
    ]);
    see(look, "own-training-mix-too-strong", &window);
}

/// What is said, how loud, in which language and where from.
fn sounds(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    around.ears.loudspeakers.replace(vec![
        "USB audio, speaker".into(),
        "Built-in audio, analogue output".into(),
        "HDMI 0".into(),
    ]);
    let mut setup = setup(profile);
    setup.quiet = Some(QuietHours {
        from: NaiveTime::MIN,
        to: NaiveTime::from_hms_opt(23, 59, 0).expect("a time"),
        volume_percent: 20,
    });
    let window = window_of(setup, &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    window.press(&["Say it"]);
    see("said-uncalibrated");
    window.press(&["Sound"]);
    see("sound");
    window.press(&["Softer", "Say it slower", "Choose the loudspeaker"]);
    see("pin-for-loudspeakers");
    type_in(&window, super::lead::PIN);
    window.press(&["Open"]);
    see("loudspeakers");
    window.press(&["USB audio"]);
    around.ears.loudspeakers.borrow_mut().remove(0);
    skip(&window, Duration::from_secs(1));
    see("loudspeaker-gone");
    around.ears.state.set(SoundState::NoDevice(Why::InUse));
    skip(&window, Duration::from_secs(1));
    see("gone-notice");
    window.press(&["Close", "Back"]);
    see("sound-gone");
    around.ears.state.set(SoundState::Working);
    window.press(&["Back"]);
    skip(&window, Duration::from_secs(1));
    see("sound-back");
    window.press(&["Calibrate", "Run dry"]);
    type_in(&window, "820");
    window.press(&["Next"]);
    // Beeps are waited for that nobody will hear.
    around.ears.state.set(SoundState::NoDevice(Why::Absent));
    window.press(&["It is full to the line"]);
    see("ready-silent");
    window.press(&["Start"]);
    see("countdown-silent");
    window.wait(Duration::from_secs(5 + 104));
    see("running-silent");
    around.ears.state.set(SoundState::Working);
    window.press(&["Stop", "Nothing is left"]);
    for _ in 0..14 {
        window.press(&["Add 1 L"]);
    }
    window.press(&["Type a part load"]);
    type_in(&window, ".7");
    window.press(&["Next"]);
    window.hold("Save");
    window.press(&["Close", "Say it"]);
    see("said");
    // The same button as before: so soon after it a press would be a bounce.
    let slower = || {
        window.wait(Duration::from_millis(800));
        window.press(&["Say it slower"]);
    };
    slower();
    see("said-slower");
    window.press(&["Close", "Part: Full", "¾", "Say it"]);
    slower();
    see("said-part-slower");
    // The longest: overdue, a part, in full, and by the voice of the other language.
    for _ in 0..10 {
        window.act([Action::WashDone]);
        skip(&window, Duration::from_secs(11));
    }
    for voice in [super::voice(), super::spanish_voice()] {
        around.ears.voice.replace(Some(voice));
        window.act([
            // A voice is asked for its words when the language changes.
            Action::ChooseLanguage(Language::Spanish),
            Action::ChooseLanguage(Language::English),
            Action::ChoosePart(Part::ThreeQuarters),
            Action::SayFill,
            Action::SaySlower,
        ]);
        see("said-at-length");
    }
}

/// Runs timed and by weight, each at every step.
fn ways(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let mut own = setup(profile);
    let ounces = |n: f64| n * ML_PER_US_FL_OZ;
    own.measures = vec![
        super::measure("cup", "4 oz cup", ounces(4.0), ounces(0.25)),
        super::measure("pint", "pint jug", ounces(16.0), ounces(0.5)),
        super::measure("quart", "quart jug", ounces(32.0), ounces(1.0)),
        super::measure("pail", "gallon pail", ML_PER_US_GAL, ounces(4.0)),
    ];
    own.entry_units = EntryUnits::Us;
    let window = window_of(own, &Around::default());
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    window.press(&["Calibrate", "Timed"]);
    see("timed-holds-us");
    type_in(&window, "28");
    window.press(&["Next"]);
    see("set-time");
    type_in(&window, "60");
    see("set-time-typed");
    window.press(&["Next", "It is full to the line"]);
    see("timed-ready");
    window.press(&["Start"]);
    see("timed-countdown");
    window.wait(Duration::from_millis(5000 + 16_300));
    see("timed-running");
    skip(&window, Duration::from_secs(60));
    see("left-pad");
    type_in(&window, "14.25");
    see("left-typed");
    window.press(&["Full loads"]);
    see("left-loads");
    window.press(&["Next"]);
    see("timed-catch-empty");
    for _ in 0..3 {
        window.press(&["Add 1 gal"]);
    }
    see("timed-catch");
    window.press(&["Next"]);
    see("timed-review");
    window.hold("Save");
    window.press(&["Close", "Calibration: 0 washes", "Calibrate"]);
    see("ways");
    window.press(&["Timed", "As before"]);
    see("set-time-known");
    window.press(&["Back", "Back", "Calibration: Go on"]);
    see("care-unfinished");
    window.hold("Throw away");
    window.press(&["Close", "Calibration: 0 washes", "Calibrate", "By weight"]);
    see("temperature");
    type_in(&window, "18");
    window.press(&["Next"]);
    see("bucket-empty");
    type_in(&window, "0.85");
    window.press(&["Next", "It is full to the line"]);
    see("container-full");
    type_in(&window, "1.23");
    see("container-full-typed");
    window.press(&["Next"]);
    see("weight-ready");
    window.press(&["Start"]);
    skip(&window, Duration::from_secs(109));
    window.press(&["Stop"]);
    see("container-after");
    type_in(&window, "0.41");
    window.press(&["Next"]);
    see("bucket-full");
    type_in(&window, "15.51");
    window.press(&["Next"]);
    see("catch-temperature");
    window.press(&["As before"]);
    see("weight-review");
    window.press(&["Back", "Back"]);
    see("bucket-full-again");
    // A drum: whatever is put in is drawn from.
    window.act([
        Action::ThrowAway,
        Action::CloseNotice,
        Action::ChooseSprayer("drum".into()),
        Action::CalibrateBy(Way::RunDry),
    ]);
    see("put-in");
    type_in(&window, "33");
    window.press(&["Next"]);
    see("put-in-water");

    let mut own = setup(profile);
    own.balance_step_kg = None;
    let window = window_of(own, &Around::default());
    window.act([Action::Show(Page::Ways)]);
    look(Seen {
        name: "ways-no-balance",
        window: &window,
    });
}

/// Several runs of one calibration, one of which differs.
fn runs(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let window = window_of(setup(profile), &Around::default());
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    window.press(&["Calibrate"]);
    calibrate(&window, 104, 14, ".7");
    window.press(&["Runs"]);
    see("runs-one");
    window.press(&["One more run"]);
    see("second-run");
    run(&window, 103, 14, ".5");
    window.press(&["Runs"]);
    see("runs-two");
    window.press(&["One more run"]);
    run(&window, 104, 12, ".9");
    see("review-three");
    window.press(&["Runs"]);
    see("runs-differ");
    window.hold("Drop Run 3");
    for rest in [".8", ".6", ".75"] {
        window.press(&["One more run"]);
        run(&window, 104, 14, rest);
        window.press(&["Runs"]);
    }
    see("runs-five");
    window.press(&["Back"]);
    window.hold("Save");
    // The next one draws less: what may be behind it.
    window.press(&["Close", "Calibration: 0 washes", "Calibrate"]);
    calibrate(&window, 126, 17, ".2");
    see("review-changed");
}

/// Timed checks, and a dose that is corrected for its mix.
fn checks(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let window = window_of(setup(profile), &Around::default());
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    window.press(&["Calibrate"]);
    calibrate(&window, 104, 14, ".7");
    window.hold("Save");
    window.press(&["Close", "Calibration: 0 washes", "Calibrate", "Timed check"]);
    see("check");
    let check = |fluid: &str, seconds: u64| {
        window.press(&[fluid, "Start"]);
        skip(&window, Duration::from_secs(5 + seconds));
        window.press(&["Stop"]);
    };
    window.press(&["Clean water"]);
    see("check-ready");
    window.press(&["Start"]);
    see("check-countdown");
    window.wait(Duration::from_millis(5000 + 64_500));
    see("check-running");
    skip(&window, Duration::from_secs(41));
    window.press(&["Stop"]);
    see("check-fine");
    for (seconds, name) in [(112, "watch"), (124, "recalibrate"), (20, "unlikely")] {
        window.press(&["Check again", "Back"]);
        check("Clean water", seconds);
        see(&format!("check-{name}"));
    }
    window.press(&["Check again", "Back", "The mix"]);
    see("check-mix-ready");
    window.press(&["Back"]);
    check("The mix", 105);
    see("check-mix-same");
    window.press(&["Check again", "Back"]);
    check("The mix", 119);
    see("check-mix-slower");
    window.hold("Correct the dose");
    see("corrected");
    window.press(&["Close"]);
    see("fill-corrected");
    window.act([Action::Show(Page::Sure)]);
    see("sure-corrected");
    window.hold("End the correction");
    see("correction-ended");
    window.act([
        Action::CloseNotice,
        Action::Show(Page::Fill),
        Action::ChooseChemical("degreaser".into()),
        Action::CloseNotice,
        Action::Show(Page::Check),
    ]);
    see("check-no-mix");
}

/// How sure, and the picture over time with no, one, two and many calibrations.
fn insight(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    for (name, count) in [("0", 0), ("1", 1), ("2", 2), ("12", 12), ("500", 500)] {
        let around = Around::default();
        around.records.0.borrow_mut().history = history(count);
        let window = window_of(setup(profile), &around);
        window.act([Action::Show(Page::Trend)]);
        look(Seen {
            name: &format!("trend-{name}"),
            window: &window,
        });
        if count == 12 {
            window.press(&["Earlier"]);
            look(Seen {
                name: "trend-may-come-back",
                window: &window,
            });
            window.press(&["Earlier"]);
            look(Seen {
                name: "trend-picked",
                window: &window,
            });
        }
    }
    // A dose that is small for the measures of the bay, and one that none of them can show.
    let mut own = setup(profile);
    own.measures.retain(|m| m.id != "syringe");
    let share = |percent| fillcall::trade::chemical::Target::OnVehicle(super::percent(percent));
    own.chemicals[0].target = share(0.25);
    own.chemicals[0].band = None;
    own.chemicals[1].band = Some(Band {
        least: super::percent(0.2),
        most: super::percent(0.3),
    });
    own.chemicals[2].target = share(0.01);
    own.chemicals[2].band = None;
    let window = window_of(own, &Around::default());
    window.act([Action::Show(Page::Sure)]);
    look(Seen {
        name: "sure-uncalibrated",
        window: &window,
    });
    window.press(&["Back", "Calibrate"]);
    calibrate(&window, 104, 14, ".7");
    window.hold("Save");
    window.act([Action::CloseNotice, Action::Show(Page::Sure)]);
    look(Seen {
        name: "sure-small",
        window: &window,
    });
    window.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("degreaser".into()),
        Action::CloseNotice,
    ]);
    look(Seen {
        name: "unmeasurable",
        window: &window,
    });
    window.act([Action::Show(Page::Sure)]);
    look(Seen {
        name: "sure-unmeasurable",
        window: &window,
    });
    // A label's ratio that lands above the band.
    window.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("wheel".into()),
        Action::CloseNotice,
    ]);
    look(Seen {
        name: "above-band",
        window: &window,
    });
    window.act([Action::Show(Page::Sure)]);
    look(Seen {
        name: "sure-above-band",
        window: &window,
    });
    window.act([
        Action::Show(Page::Mix),
        Action::Mix(MixAction::Open(MixStage::Left)),
    ]);
    look(Seen {
        name: "mix-above-band",
        window: &window,
    });
}

/// So many calibrations of the first lance, a week apart, with three changes and one odd one.
pub fn history(count: usize) -> Vec<Milestone> {
    let first = DateTime::parse_from_rfc3339("2024-03-04T08:00:00+01:00").expect("a date");
    let mut milestones = Vec::new();
    for i in 0..count {
        let at = first + TimeDelta::weeks(i as i64);
        if count > 2 && [count / 3, count / 3 + 1, 5 * count / 6].contains(&i) {
            let what = match i % 2 {
                0 => VoidCause::Nozzle,
                _ => VoidCause::Washer,
            };
            milestones.push(Milestone::Changed { what, at });
        }
        // A wave, so that neighbours are alike and the limits are narrow beside the odd one.
        let wave = (i as f64 * 0.7).sin() * 140.0 + (i as f64 * 2.3).cos() * 90.0;
        let odd = if count > 2 && i == 2 * count / 3 {
            2200.0
        } else {
            0.0
        };
        let run = |more: f64| {
            Run::dry(
                Volume::ml(820.0),
                Volume::ml(14_700.0 + wave + odd + more),
                Duration::from_secs(104),
            )
        };
        let runs = [run(0.0), run(40.0), run(-30.0)];
        let calibration =
            Calibration::of(Container::measured(Volume::ml(820.0)), &runs[..1 + i % 3]);
        milestones.push(Milestone::Calibrated {
            // Before anything that a test keeps.
            entry: i as i64 - count as i64,
            record: Box::new(CalibrationRecord {
                sprayer: "lance-1".into(),
                nozzle: "1.35 mm".into(),
                washer: "Washer A".into(),
                dial: None,
                calibration: calibration.expect("a run"),
                taken: at,
            }),
            washes: 29 + (i % 7) as u32,
        });
    }
    milestones
}

/// The stock: one that lasts, one that runs low, one that cannot be, one that nobody counted.
pub fn stock(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let mut own = setup(profile);
    own.chemicals.push(own.chemicals[0].clone());
    for (n, chemical) in own.chemicals.iter_mut().enumerate() {
        chemical.delivered_in = (n != 2).then_some(Volume::litres(20.0));
    }
    own.chemicals[3].id = "soap".into();
    own.chemicals[3].name = "Soap".into();
    let around = Around::default();
    let window = window_of(own, &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    let close = || window.act([Action::CloseNotice]);
    window.press(&["Menu", "Stock"]);
    see("stock-none");
    window.press(&["Film remover"]);
    see("stock-not-counted");
    window.press(&["Count what there is"]);
    see("stock-count");
    window.press(&["1 container more", "1 container more"]);
    type_in(&window, "7.125");
    see("stock-counting");
    window.press(&["Counted"]);
    see("stock-counted");
    close();
    window.press(&["1 container was opened"]);
    close();
    window.press(&["A delivery came"]);
    see("stock-delivery");
    window.press(&["1 container less"]);
    see("stock-delivery-empty");
    for _ in 0..12 {
        window.press(&["1 container more"]);
    }
    window.press(&["Delivered"]);
    close();
    window.press(&["Back", "Wheel cleaner", "Count what there is"]);
    type_in(&window, "1.5");
    window.press(&["Counted"]);
    close();
    // Without containers there are no keys for them.
    window.press(&["Back", "Degreaser", "A delivery came"]);
    type_in(&window, "400");
    see("stock-delivery-typed");
    window.press(&["Delivered"]);
    close();
    window.act([Action::ChooseSprayer("pump".into())]);
    // One that was used, one that is all but gone, one of which more was used than there was.
    let rinse_for = |chemical: &str| {
        window.act([
            Action::ChooseChemical(chemical.into()),
            Action::Day(DayAction::RinseOf("pump".into())),
            Action::Day(DayAction::Rinsed),
            Action::CloseNotice,
        ]);
    };
    for (chemical, fills) in [("film", 3), ("wheel", 3), ("degreaser", 1)] {
        rinse_for(chemical);
        for _ in 0..fills {
            window.act([Action::Filled, Action::CloseNotice]);
        }
        skip(&window, Duration::from_secs(86_400));
    }
    close();
    window.act([Action::Show(Page::Stock)]);
    see("stock");
    window.press(&["Film remover"]);
    see("stock-lasts");
    window.press(&["Back", "Wheel cleaner"]);
    see("stock-low");
    window.press(&["Count what there is"]);
    type_in(&window, "0.1");
    window.press(&["Counted"]);
    close();
    rinse_for("wheel");
    window.act([
        Action::Filled,
        Action::CloseNotice,
        Action::Show(Page::Stock),
    ]);
    window.press(&["Wheel cleaner"]);
    see("stock-cannot-be");
    window.press(&["Back", "Back"]);
    see("menu-stock-low");
    window.press(&["Back"]);
    skip(&window, Duration::from_secs(86_400));
    see("stock-told");
}

/// In training a band at the foot takes some height away: the fullest screens once more.
fn training(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let mut own = setup(profile);
    own.demo = false;
    let around = Around::default();
    around.records.0.borrow_mut().history = history(12);
    let window = window_of(own, &around);
    window.off.screen().mark_training(true);
    let see = |look: &mut dyn FnMut(Seen<'_>), name: &str| {
        look(Seen {
            name: &format!("own-training-{name}"),
            window: &window,
        })
    };
    window.press(&["Calibrate"]);
    see(look, "ways");
    window.press(&["Timed"]);
    see(look, "holds");
    type_in(&window, "820");
    window.press(&["Next"]);
    see(look, "set-time");
    window.press(&["Run for 60 s", "It is full to the line"]);
    see(look, "ready");
    window.press(&["Start"]);
    skip(&window, Duration::from_secs(66));
    see(look, "left");
    type_in(&window, "265");
    window.press(&["Next"]);
    see(look, "catch");
    for _ in 0..10 {
        window.press(&["Add 1 L"]);
    }
    window.press(&["Next"]);
    see(look, "review");
    window.act([Action::CloseNotice]);
    window.press(&["Runs"]);
    see(look, "runs");
    window.press(&["Back"]);
    window.hold("Save");
    window.press(&["Close"]);
    see(look, "fill");
    window.act([Action::Show(Page::Check)]);
    window.press(&["The mix"]);
    see(look, "mix-ready");
    window.press(&["Start"]);
    skip(&window, Duration::from_secs(5 + 120));
    window.press(&["Stop"]);
    see(look, "mix-slower");
    window.hold("Correct the dose");
    window.act([Action::CloseNotice, Action::Show(Page::Sure)]);
    see(look, "sure");
    window.press(&["Over time"]);
    see(look, "trend");
}

/// The shift lead's PIN and page.
pub fn leads_side(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    let window = window_of(setup(profile), &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    window.press(&["Menu", "Shift lead"]);
    see("pin");
    type_in(&window, "123");
    see("pin-typed");
    type_in(&window, "45678");
    see("pin-of-eight");
    window.press(&["Open"]);
    see("pin-wrong");
    for _ in 0..2 {
        window.wait(Duration::from_millis(700));
        type_in(&window, "1234");
        window.press(&["Open"]);
    }
    see("pin-waits");
    window.press(&["Back", "Menu", "Shift lead"]);
    see("pin-still-waits");
    skip(&window, Duration::from_secs(5));
    type_in(&window, super::lead::PIN);
    window.press(&["Open"]);
    see("lead");
    window.press(&["Clock and soundness of the records"]);
    see("clock");
    window.press(&["Back", "The panel that the wall runs on"]);
    see("panel");
    window.press(&["Back", "Change the PIN"]);
    see("pin-old");
    type_in(&window, super::lead::PIN);
    window.press(&["Next"]);
    see("pin-choose");
    window.wait(Duration::from_millis(700));
    type_in(&window, "1234");
    window.press(&["Next"]);
    see("pin-again");
    type_in(&window, "4321");
    window.wait(Duration::from_millis(700));
    window.press(&["Set the PIN"]);
    see("pin-differed");
    for enter in ["Next", "Set the PIN"] {
        window.wait(Duration::from_millis(700));
        type_in(&window, "1234");
        window.press(&[enter]);
    }
    see("pin-changed");
    window.press(&["Close"]);
    skip(&window, Duration::from_secs(10));
    skip(&window, Duration::from_secs(45));
    see("lead-open");
    window.act([Action::Show(Page::Lead)]);
    window.hold("Leave the shift lead's side");
    see("lead-left");
    around.lock.0.borrow_mut().asked_to_forget = true;
    window.press(&["Close", "Menu", "Shift lead", "Back", "Menu"]);
    see("menu-without-pin");
    around.lock.0.borrow_mut().fails = true;
    window.press(&["Shift lead"]);
    see("lock-fails");
}

/// Records that are not as they were kept, a clock that was in the future, and records that are gone.
pub fn doubtful(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    let whose = BTreeSet::from(["lance-1".to_owned()]);
    let broken = |what, entry, whose: &BTreeSet<String>| Broken {
        what,
        entry,
        at: Some(around.clock.now().wall),
        no_dose: whose.clone(),
        unknown_mix: whose.clone(),
    };
    let nobody = BTreeSet::new();
    around.records.0.borrow_mut().past.broken = vec![
        broken(BrokenWhat::Changed, 104_212, &whose),
        broken(BrokenWhat::OutOfOrder, 104_213, &nobody),
    ];
    let window = window_of(setup(profile), &around);
    let mut see = |name: &str, window: &Window| look(Seen { name, window });
    see("records-damaged-said", &window);
    window.press(&["Close"]);
    see("records-damaged", &window);
    window.act([Action::Show(Page::Care)]);
    see("records-damaged-care", &window);
    window.act([Action::Show(Page::Sure)]);
    see("records-damaged-sure", &window);
    window.act([Action::Show(Page::Lead)]);
    window.act(super::lead::entered(super::lead::PIN));
    see("records-damaged-lead", &window);
    window.press(&["Clock and soundness of the records"]);
    see("records-damaged-clock", &window);

    let around = Around::default();
    let far = around.clock.now().wall + chrono::TimeDelta::days(1800);
    around.records.0.borrow_mut().past.newest = Some(far);
    let window = window_of(setup(profile), &around);
    see("clock-wrong-said", &window);
    window.press(&["Close"]);
    window.press(&["Calibrate"]);
    calibrate(&window, 104, 14, ".7");
    window.hold("Save");
    window.act([Action::CloseNotice]);
    see("clock-wrong-home", &window);
    window.act([Action::Show(Page::Lead)]);
    window.act(super::lead::entered(super::lead::PIN));
    see("clock-wrong-lead", &window);
    window.press(&["Clock and soundness of the records"]);
    see("clock-wrong", &window);
    window.act([Action::Show(Page::Help)]);
    see("clock-help", &window);
    window.press(&["Back"]);
    window.hold("The time shown is right");
    see("clock-put-right", &window);

    let faults = Faults {
        title: "The records cannot be used".into(),
        faults: vec![(
            "Records".into(),
            "the records /var/lib/fillcall/bay/records.sqlite are gone, empty, or a link to nothing, \
             and this is no new bay: put them back, or bring the newest backup back with: fillcall \
             restore BAY FILE --replace"
                .into(),
        )],
    };
    let panel = fillcall::bay::setup::Panel::usual(profile);
    let off = Offscreen::new(panel, Box::new(move || Err(faults.clone()))).expect("a window");
    off.screen().with_rescue(Box::new(OneBackup));
    let around = Around::default();
    let window = Window { off, around };
    see("fault-with-backup", &window);
    window.press(&["More"]);
    see("fault-with-backup-2", &window);
}

/// A backup that is there, and cannot be brought back.
pub struct OneBackup;

impl Rescue for OneBackup {
    fn found(&self) -> Option<Restorable> {
        Some(Restorable {
            file: "/var/lib/fillcall/bay/backups/2026-03-01.toml".into(),
            made: fillcall_date("2026-03-01T18:00:00+01:00"),
            washes: 18_250,
            calibrations: 412,
        })
    }
    fn restore(&self) -> Result<(), String> {
        Err("the disk is full: free some space and try again".into())
    }
}

fn fillcall_date(text: &str) -> chrono::DateTime<chrono::FixedOffset> {
    chrono::DateTime::parse_from_rfc3339(text).expect("a date")
}

/// Help for every screen and every step, as far as it is not on the walk elsewhere.
pub fn helps(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let mut own = setup(profile);
    own.demo = false;
    let window = window_of(own, &Around::default());
    let mut help = |name: &str| {
        window.act([Action::CloseNotice, Action::Show(Page::Help)]);
        look(Seen {
            name: &format!("own-help-for-{name}"),
            window: &window,
        });
        window.act([Action::Back]);
    };
    help("fill");
    for page in super::lead::every_page() {
        window.act([Action::Show(page)]);
        if window.off.screen().with_bay(|bay| bay.page()) == Some(Page::Pin) {
            help("pin");
            window.act(super::lead::entered(super::lead::PIN));
        }
        help(&format!("{page:?}"));
    }
    window.act([Action::Lead(LeadAction::ChangePin)]);
    window.act(super::lead::entered(super::lead::PIN));
    help("own-pin");
    for way in [Way::RunDry, Way::Timed, Way::ByWeight] {
        window.act([Action::Show(Page::Fill), Action::CalibrateBy(way)]);
        for steps in 0.. {
            assert!(steps < 20, "the calibration does not go on");
            let step = window.off.screen().with_bay(|bay| {
                let calibrating = bay.calibrating().expect("a calibration");
                calibrating.step()
            });
            let step = step.expect("a bay");
            help(&format!("{}-{}", way.word(), step.word()));
            match step {
                Step::Review => break,
                Step::Ready => {
                    window.act([Action::StartStop {
                        ago: Duration::ZERO,
                    }]);
                    skip(&window, Duration::from_secs(5 + 60));
                    if window.off.screen().with_bay(|bay| bay.watch()) != Some(Watch::Still) {
                        window.act([Action::StartStop {
                            ago: Duration::ZERO,
                        }]);
                    }
                }
                Step::FillToLine => window.act([Action::NextStep]),
                step => {
                    let typed = match step {
                        Step::Holds => "820",
                        Step::SetTime => "30",
                        Step::Temperature => "15",
                        Step::BucketEmpty => "0.5",
                        Step::ContainerFull => "2.1",
                        Step::ContainerAfter => "1.6",
                        Step::BucketFull => "10.5",
                        Step::CatchTemperature => "41",
                        Step::Left if way == Way::RunDry => "0",
                        Step::Left => "412",
                        _ => "10",
                    };
                    window.act(super::hands::keys(typed));
                    window.act([Action::CloseNotice, Action::NextStep]);
                }
            }
        }
        window.act([Action::SaveCalibration]);
    }
    window.act([Action::Show(Page::Check)]);
    help("check");
    window.act([Action::BeginCheck { with_mix: false }]);
    help("check-ready");
    window.act([Action::StartStop {
        ago: Duration::ZERO,
    }]);
    skip(&window, Duration::from_secs(5 + 66));
    window.act([Action::StartStop {
        ago: Duration::ZERO,
    }]);
    help("check-result");
}

/// A newer version: looked for, found, refused, installed, and what became of it.
fn updates(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    use fillcall::bay::ports::{
        FetchFault, Fit, Looked, Package, UpdateEnd, UpdateHow, UpdateStep, UpdateTold,
    };
    let around = Around::default();
    let window = window_of(setup(profile), &around);
    let mut see = |name: &str| {
        look(Seen {
            name: &format!("update-{name}"),
            window: &window,
        })
    };
    let state = &around.updates.0;
    window.act([Action::Show(Page::Lead)]);
    window.act(super::lead::entered(super::lead::PIN));
    window.press(&[
        "The panel that the wall runs on",
        "A newer version of this program",
    ]);
    see("begin");
    let again = || {
        // Beginning anew in between keeps the lead's side open.
        window.act([Action::Show(Page::Panel), Action::Show(Page::Update)]);
        window.press(&["Look on the stick"]);
        skip(&window, Duration::from_secs(1));
    };
    let key = || Some("2519457003441188".to_owned());
    let found = |package: Option<Fit>, key: Option<String>| Looked::Found {
        package: package.map(|fit| Package {
            version: "0.20.13".into(),
            fit,
        }),
        key,
    };
    let mut all = vec![
        ("no-stick".to_owned(), Looked::NoStick),
        ("nothing".to_owned(), found(None, None)),
        ("key".to_owned(), found(None, key())),
        ("both".to_owned(), found(Some(Fit::Newer), key())),
    ];
    for fault in [
        FetchFault::Gone,
        FetchFault::NoTool,
        FetchFault::NotAllowed,
        FetchFault::NotMounted,
        FetchFault::Full,
        FetchFault::Disk("read-only file system".into()),
    ] {
        let name = format!("{fault:?}");
        all.push((name, Looked::Failed(fault)));
    }
    for fit in super::updates::NOT_TAKEN.into_iter().chain([Fit::Newer]) {
        all.push((format!("{fit:?}"), found(Some(fit), None)));
    }
    for (name, looked) in all {
        state.borrow_mut().looked = Some(Looked::Busy);
        again();
        if name == "no-stick" {
            see("busy");
        }
        state.borrow_mut().looked = Some(looked);
        skip(&window, Duration::from_secs(1));
        see(name.split('(').next().unwrap_or_default());
    }
    window.hold("Install it");
    see("asked");
    for step in [
        UpdateStep::Check,
        UpdateStep::Backup,
        UpdateStep::Try,
        UpdateStep::Install,
        UpdateStep::Watch,
        UpdateStep::Back,
    ] {
        state.borrow_mut().told.step = Some(step);
        skip(&window, Duration::from_secs(1));
        see(&format!("{step:?}"));
    }
    let ends = [
        (UpdateHow::Updated, ""),
        (UpdateHow::Back, "it ended"),
        (UpdateHow::Stuck, "it ended"),
        (UpdateHow::Refused, "room"),
        (UpdateHow::Refused, "backup"),
        (UpdateHow::Refused, "depends"),
        (UpdateHow::Refused, "try"),
        (UpdateHow::Refused, "no-way-back"),
        (UpdateHow::Refused, "cut"),
        (UpdateHow::Refused, "signature"),
        (UpdateHow::Refused, "older"),
        (UpdateHow::Refused, "arch"),
        (UpdateHow::Refused, "stick"),
        (UpdateHow::Key, "2519457003441188"),
    ];
    for (number, (how, why)) in (1_700_000_000..).zip(ends) {
        state.borrow_mut().told.step = Some(UpdateStep::Watch);
        window.act([Action::Show(Page::Panel), Action::Show(Page::Update)]);
        state.borrow_mut().told = UpdateTold {
            step: None,
            end: Some(UpdateEnd {
                how,
                why: why.into(),
                old: "0.1.0".into(),
                new: "0.20.13".into(),
                at: number,
            }),
        };
        skip(&window, Duration::from_secs(1));
        let name = format!("{how:?}-{why}").replace(' ', "-");
        see(&format!("ended-{name}"));
        window.act([Action::CloseNotice]);
        see(&format!("was-{name}"));
    }
    around.updates.find("0.20.13", Fit::Newer);
    again();
    state.borrow_mut().fails = true;
    window.hold("Install it");
    see("not-asked");
    window.act([Action::CloseNotice]);
    state.borrow_mut().fails = false;
    window.hold("Install it");
    skip(&window, Duration::from_secs(31));
    see("nobody-heard");
    state.borrow_mut().possible = false;
    window.act([Action::Show(Page::Panel), Action::Show(Page::Update)]);
    see("not-possible");
    window.act([Action::Show(Page::Help)]);
    see("help");
}
