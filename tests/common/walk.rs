//! A walk through every screen and every state of it, by real presses where there is a way.

use super::window::{Window, window_of};
use super::{Around, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::setup::Profile;
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::Faults;
use fillcall::store::setup_file::read_bay;
use fillcall::store::{backup, records::past_of, records_path};
use std::path::Path;
use std::time::Duration;

/// One screen as it is seen on the walk.
pub struct Seen<'a> {
    pub name: &'a str,
    pub window: &'a Window,
}

/// Runs the guided calibration from home: what is known is taken, the run is `seconds` long and
/// `jugs` loads of the largest measure and `rest` litres are caught. Ends at the review.
pub fn calibrate(window: &Window, seconds: u64, jugs: usize, rest: &str) {
    window.press(&["As before", "It is full to the line", "Start"]);
    window.wait(Duration::from_secs(5 + seconds));
    window.press(&["Stop"]);
    for _ in 0..jugs {
        window.press(&["Add 1 L"]);
    }
    type_in(window, rest);
    window.press(&["Next"]);
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
    see("holds");
    type_in(&window, "975");
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
    see("catch-empty");
    for _ in 0..17 {
        window.press(&["Add 1 L"]);
    }
    type_in(&window, ".3");
    see("catch");
    window.press(&["Back"]);
    see("ready-with-time");
    window.press(&["Keep the time", "Next"]);
    see("review");
    window.hold("Save");
    see("saved");
    window.press(&["Close"]);
    see("fill");
    window.press(&["Filled"]);
    see("filled");
    window.press(&["Close", "Wash done"]);
    see("wash-done");
    window.press(&["Close", "Sprayer: Lance 1"]);
    see("sprayers");
    window.press(&["Lance 1", "Chemical: Film remover"]);
    see("chemicals");
    window.press(&["Degreaser"]);
    see("rinse");
    window.press(&["Close"]);
    see("out-of-reach");
    window.press(&["Chemical: Degreaser", "Wheel cleaner", "Close"]);
    see("bottle-ratio");
    window.press(&[
        "Chemical: Wheel cleaner",
        "Film remover",
        "Close",
        "Part: Full",
    ]);
    see("parts");
    window.press(&["½"]);
    see("half");
    window.press(&["Part: ½", "Full", "Calibration: 1 wash"]);
    see("care");
    window.press(&["Help and cautions"]);
    for page in 1..=5 {
        see(&format!("help-{page}"));
        window.press(&["More"]);
    }
    window.press(&["Back"]);
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
    window.press(&["Nozzle or washer changed"]);
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
    calibrate(&window, 700, 0, "412");
    see("review-drum");
    window.hold("Save");
    window.press(&["Close"]);
    see("fill-drum");
    window.press(&["Sprayer: Drum injector", "Lance 1", "Calibrate"]);
    // Readings that cannot be: too much flow, and a draw fraction that is odd.
    type_in(&window, "500");
    window.press(&["Next"]);
    see("holds-asked-about");
    window.press(&["Close"]);
    window.wait(Duration::from_millis(700));
    window.press(&["Next", "It is full to the line", "Start"]);
    window.wait(Duration::from_secs(5 + 1));
    window.press(&["Stop"]);
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
    around
        .ears
        .state
        .set(fillcall::bay::ports::SoundState::NoDevice);
    window.press(&["Close", "Say it"]);
    see("no-sound");

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
        for page in [Page::Sprayers, Page::Chemicals, Page::Parts, Page::Care] {
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
            ("Line 20, sprayer \"lance-1\", holds".into(), "\"975\" has no unit.".into()),
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
    window.press(&["Next fault"]);
    look(Seen {
        name: "fault-2",
        window: &window,
    });
}
