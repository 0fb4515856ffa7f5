//! The screens by the names of their buttons, pressed through the glass.

mod common;

use chrono::DateTime;
use common::window::{Window, window, window_of};
use common::{Around, Heard, setup, walk};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::ports::Tone;
use fillcall::bay::records::{Happening, Step};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::generated::{CalibrateView, FaultView, FillView, WallState};
use fillcall::screens::glass::{Contact, Phase, Position};
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::{Faults, Rescue, Restorable};
use fillcall::trade::calibration::{Calibration, Way};
use fillcall::trade::language::Language;
use fillcall::trade::units::Volume;
use i_slint_backend_testing::{AccessibleRole, ElementQuery};
use slint::{ComponentHandle, Model};
use std::cell::Cell;
use std::rc::Rc;
use std::time::{Duration, Instant};

fn calibrated() -> Window {
    let window = window(Profile::Seven800);
    window.press(&["Calibrate"]);
    walk::calibrate(&window, 104, 14, ".7");
    window.hold("Save");
    window.press(&["Close"]);
    window
}

fn kept(window: &Window) -> Vec<Happening> {
    window
        .around
        .records
        .0
        .borrow()
        .happenings
        .iter()
        .map(|(_, h)| h.clone())
        .collect()
}

fn figure(window: &Window) -> String {
    window
        .off
        .screen()
        .wall()
        .global::<FillView>()
        .get_figure()
        .into()
}

fn page(window: &Window) -> Page {
    window
        .off
        .screen()
        .with_bay(|bay| bay.page())
        .expect("a bay")
}

#[test]
fn from_an_empty_screen_to_the_first_fill() {
    let window = calibrated();
    assert_eq!(figure(&window), "590");
    // 590/14 700 lands: one part in 25.
    window.press(&["Calibration: 0 washes"]);
    says(&window, "4.01 %, 1 in 25");
    window.press(&["Back", "Filled", "Close", "Wash done"]);
    let kept = kept(&window);
    assert!(
        matches!(kept[kept.len() - 2], Happening::Fill(_)),
        "{kept:?}"
    );
    assert!(
        matches!(kept[kept.len() - 1], Happening::Wash { .. }),
        "{kept:?}"
    );
}

#[test]
fn one_tap_says_it_and_every_tap_clicks() {
    let window = calibrated();
    window.around.ears.take();
    window.press(&["Say it"]);
    let heard = window.around.ears.take();
    assert_eq!(
        heard
            .iter()
            .filter(|h| **h == Heard::Tone(Tone::Click))
            .count(),
        1
    );
    assert_eq!(
        heard.iter().filter(|h| matches!(h, Heard::Said(_))).count(),
        1,
        "{heard:?}"
    );
}

#[test]
fn a_wash_can_be_undone_for_ten_seconds() {
    let window = calibrated();
    window.press(&["Wash done", "Undo"]);
    assert!(matches!(
        kept(&window).last(),
        Some(Happening::WashUndone(_))
    ));
    window.press(&["Close", "Wash done"]);
    window.wait(Duration::from_secs(11));
    assert!(
        !window.labels().contains(&"Undo".to_owned()),
        "{:?}",
        window.labels()
    );
    assert!(
        window.labels().contains(&"Sprayer: Lance 1".to_owned()),
        "the strip is gone"
    );
}

#[test]
fn what_cannot_be_undone_needs_a_hold() {
    let window = calibrated();
    window.press(&[
        "Calibration: 0 washes",
        "Something was changed on it",
        "Nozzle changed",
    ]);
    assert_eq!(page(&window), Page::Changed, "a tap is not a hold");
    window.hold("Nozzle changed");
    assert_eq!(page(&window), Page::Fill);
    let view = window.off.screen().wall().global::<FillView>();
    assert_eq!(view.get_headline(), "Nozzle changed");
    window.press(&["Use the old figure once"]);
    assert!(
        !window.labels().contains(&"Filled".to_owned()),
        "a tap is not a hold"
    );
    window.hold("Use the old figure once");
    assert!(view.get_void_in_use(), "crossed out meanwhile");
    assert_eq!(
        view.get_strength(),
        "VOID, once",
        "nobody knows what it puts on the vehicle"
    );
    window.press(&["Filled"]);
    assert!(matches!(kept(&window).last(), Some(Happening::Fill(f)) if f.standing == "void"));
    window.press(&["Close"]);
    assert!(
        !window.labels().contains(&"Filled".to_owned()),
        "for one fill only"
    );
}

#[test]
fn there_is_a_way_back_from_every_screen() {
    let window = calibrated();
    for way in [
        &["Sprayer: Lance 1"][..],
        &["Chemical: Film remover"],
        &["Part: Full"],
        &["Calibration: 0 washes"],
        &["Calibration: 0 washes", "Calibrate", "Run dry"],
    ] {
        window.press(way);
        assert_ne!(page(&window), Page::Fill, "{way:?}");
        window.press(&["Back"]);
        assert_eq!(page(&window), Page::Fill, "{way:?}");
    }
    // A calibration that was only looked into is none; one that was begun goes on.
    window.press(&[
        "Calibration: 0 washes",
        "Calibrate",
        "Run dry",
        "As before",
        "It is full to the line",
    ]);
    window.press(&["Back", "Back", "Back"]);
    assert_eq!(page(&window), Page::Fill);
    window.press(&["Calibration: Go on", "Go on calibrating", "Back"]);
    // From wherever it stands it can be thrown away.
    window.press(&["Calibration: Go on"]);
    window.hold("Throw away");
    assert!(
        window
            .labels()
            .contains(&"Calibration: 0 washes".to_owned()),
        "{:?}",
        window.labels()
    );
    assert_eq!(page(&window), Page::Fill);
}

#[test]
fn half_typed_figures_outlive_the_screen() {
    let window = calibrated();
    window.press(&["Calibration: 0 washes", "Calibrate", "Run dry", "8", "2"]);
    window.press(&[
        "Back",
        "Sprayer: Lance 1",
        "Lance 2",
        "Calibration: Not yet",
        "Go on: Lance 1",
    ]);
    let typed = window
        .off
        .screen()
        .wall()
        .global::<CalibrateView>()
        .get_typed();
    assert_eq!(typed, "82");
}

#[test]
fn the_number_pad_does_it_all() {
    use slint::platform::Key;
    let window = window(Profile::Seven800);
    window.press(&["Calibrate", "Run dry"]);
    for key in ["8", "2", "1"] {
        window.off.key(key);
    }
    window.off.key(slint::SharedString::from(Key::Backspace));
    window.off.key("0");
    // A hand leaves time between two presses of a key; less is a bounce of its switch.
    let enter = || {
        window.wait(Duration::from_millis(400));
        window.off.key(slint::SharedString::from(Key::Return));
    };
    enter();
    enter();
    enter();
    window.wait(Duration::from_secs(5 + 104));
    enter();
    // Nothing stayed in it.
    window.off.key("0");
    enter();
    for key in ["1", "4", ".", "7"] {
        window.off.key(key);
    }
    enter();
    // It takes the old figure's place, so it asks once more.
    enter();
    assert_eq!(figure(&window), "");
    window.wait(Duration::from_millis(1300));
    enter();
    assert_eq!(figure(&window), "590");
    window.off.key("+");
    assert!(matches!(kept(&window).last(), Some(Happening::Wash { .. })));
    window.off.key("-");
    assert!(matches!(
        kept(&window).last(),
        Some(Happening::WashUndone(_))
    ));
    window.off.key("*");
    let sprayer = window
        .off
        .screen()
        .wall()
        .global::<FillView>()
        .get_sprayer();
    assert_eq!(sprayer, "Lance 2");
    window.around.ears.take();
    enter();
    assert_eq!(window.around.ears.said().len(), 1, "Enter says it");
}

#[test]
fn the_stop_is_timed_to_the_finger_not_to_its_lift() {
    let window = window(Profile::Seven800);
    window.press(&["Calibrate", "Run dry", "As before"]);
    window.press(&["It is full to the line", "Start"]);
    let started = window.around.clock.now().monotonic;
    window.wait(Duration::from_secs(65));
    let touched = window.around.clock.now().monotonic;
    // The window's time goes on under the finger, the bay's clock stands still: what the press
    // lasted is taken off.
    window.press(&["Stop"]);
    let time = window
        .off
        .screen()
        .with_bay(|bay| bay.calibrating().and_then(|c| c.draft.time))
        .flatten()
        .expect("timed");
    let off = (touched - started - Duration::from_secs(5)) - time;
    let press = Duration::from_millis(120);
    assert!(
        off >= press && off < press + Duration::from_millis(40),
        "{off:?}"
    );
}

#[test]
fn no_device_is_shown_and_everything_else_goes_on() {
    use fillcall::bay::ports::{SoundState, Why};
    let window = calibrated();
    window
        .around
        .ears
        .state
        .set(SoundState::NoDevice(Why::InUse));
    // As its event lets the wall look.
    window.act([Action::Tick]);
    let state = window.off.screen().wall().global::<WallState>();
    assert!(state.get_no_sound());
    window.press(&["Say it", "Filled", "Close", "Wash done"]);
    assert!(matches!(kept(&window).last(), Some(Happening::Wash { .. })));
    window.around.ears.state.set(SoundState::Working);
    window.act([Action::Tick]);
    assert!(!state.get_no_sound());
}

/// One backup, which can be brought back once it is allowed to.
struct Backup {
    allowed: Rc<Cell<bool>>,
    restored: Rc<Cell<bool>>,
}

impl Rescue for Backup {
    fn found(&self) -> Option<Restorable> {
        (!self.restored.get()).then(|| Restorable {
            file: "bay/backups/sunday.toml".into(),
            made: DateTime::parse_from_rfc3339("2026-03-01T18:00:00+01:00").expect("a date"),
            washes: 640,
            calibrations: 1,
        })
    }
    fn restore(&self) -> Result<(), String> {
        match self.allowed.get() {
            true => {
                self.restored.set(true);
                Ok(())
            }
            false => Err("the disk is full".into()),
        }
    }
}

/// A wall whose bay cannot be opened until something is so, with the title of its fault page, the heading
/// and the words there; and how often it was tried.
fn closed_until(
    opens: &Rc<Cell<bool>>,
    [title, heading, words]: [&'static str; 3],
) -> (Window, Rc<Cell<u32>>) {
    let (opens, tried) = (opens.clone(), Rc::new(Cell::new(0)));
    let (count, around) = (tried.clone(), Around::default());
    let inner = around.clone();
    let open = move || {
        count.set(count.get() + 1);
        match opens.get() {
            true => Ok(inner.runner(setup(Profile::Ten1280))),
            false => Err(Faults {
                title: title.into(),
                faults: vec![(heading.into(), words.into())],
            }),
        }
    };
    let off = Offscreen::new(Panel::usual(Profile::Seven800), Box::new(open)).expect("a window");
    (Window { off, around }, tried)
}

#[test]
fn lost_records_are_brought_back_by_a_held_press_on_the_fault_page() {
    let (allowed, restored) = (Rc::new(Cell::new(false)), Rc::new(Cell::new(false)));
    let (window, _) = closed_until(&restored, ["The records cannot be used", "Records", "gone"]);
    assert_eq!(window.labels(), ["Read it again"], "nothing to offer");
    window.off.screen().with_rescue(Box::new(Backup {
        allowed: allowed.clone(),
        restored: restored.clone(),
    }));
    let restore = "Restore the newest backup";
    assert_eq!(window.labels(), ["More", restore, "Read it again"]);
    let view = window.off.screen().wall().global::<FaultView>();
    let faults = view.get_faults();
    let told: Vec<String> = faults.iter().map(|page| page.text.to_string()).collect();
    let told = told.join(" ");
    assert!(
        told.contains("sunday.toml") && told.contains("640 washes"),
        "{told}"
    );
    window.press(&[restore]);
    assert!(!restored.get(), "a tap is not a hold");
    window.hold(restore);
    assert_eq!(view.get_title(), "The backup was not brought back");
    allowed.set(true);
    window.hold(restore);
    assert!(restored.get());
    assert!(
        window.labels().contains(&"Calibrate".to_owned()),
        "{:?}",
        window.labels()
    );
}

#[test]
fn a_bay_that_cannot_be_opened_is_tried_again_by_itself() {
    let mended = Rc::new(Cell::new(false));
    let (window, tried) = closed_until(&mended, ["The records cannot be used", "Disk", "away"]);
    for times in 2..=4 {
        i_slint_backend_testing::mock_elapsed_time(Duration::from_secs(10));
        assert_eq!(tried.get(), times);
        assert_eq!(window.labels(), ["Read it again"]);
    }
    mended.set(true);
    i_slint_backend_testing::mock_elapsed_time(Duration::from_secs(10));
    assert!(
        window.labels().contains(&"Calibrate".to_owned()),
        "{:?}",
        window.labels()
    );
    // And then no more: it would throw away what is half typed.
    i_slint_backend_testing::mock_elapsed_time(Duration::from_secs(60));
    assert_eq!(tried.get(), 5);
}

#[test]
fn a_wrong_set_up_is_read_again_when_mended() {
    let mended = Rc::new(Cell::new(false));
    let (window, _) = closed_until(&mended, ["bay.toml cannot be used", "Line 3", "wrong"]);
    assert_eq!(
        window.labels(),
        ["Read it again"],
        "nothing that could pass for a figure"
    );
    window.press(&["Read it again"]);
    assert_eq!(window.labels(), ["Read it again"]);
    mended.set(true);
    window.press(&["Read it again"]);
    assert!(
        window.labels().contains(&"Calibrate".to_owned()),
        "{:?}",
        window.labels()
    );
}

#[test]
fn a_chemical_that_the_lead_keeps_cannot_be_changed() {
    let mut fixed = setup(Profile::Seven800);
    fixed.operators_may_change_chemical = false;
    let window = window_of(fixed, &Around::default());
    window.press(&["Chemical: Film remover"]);
    assert_eq!(page(&window), Page::Fill);
    let notice = window
        .off
        .screen()
        .wall()
        .global::<WallState>()
        .get_notice();
    assert!(notice.contains("shift lead"), "{notice}");
}

#[test]
fn nothing_is_pressed_through_the_notice_strip() {
    let window = calibrated();
    window.press(&["Wash done"]);
    let strip = window.labels();
    assert!(strip.contains(&"Undo".to_owned()));
    // At home it lies over nothing that can be pressed; elsewhere over the head, beside the way back.
    window.press(&["Chemical: Film remover"]);
    assert_eq!(page(&window), Page::Chemicals);
    window.press(&["Help"]);
    assert_eq!(page(&window), Page::Chemicals, "that hit Undo");
    assert!(matches!(
        kept(&window).last(),
        Some(Happening::WashUndone(_))
    ));
    window.act([Action::CloseNotice]);
    window.press(&["Help"]);
    assert_eq!(page(&window), Page::Help);
    // Nor for a moment after it went by itself: a finger may be on its way to Undo.
    window.act([Action::Show(Page::Sprayers), Action::WashDone]);
    while window.labels().contains(&"Undo".to_owned()) {
        window.wait(Duration::from_millis(50));
    }
    window.press(&["Help"]);
    assert_eq!(page(&window), Page::Sprayers);
    says(&window, "One moment");
    window.wait(Duration::from_millis(3500));
    window.press(&["Help"]);
    assert_eq!(page(&window), Page::Help);
}

#[test]
fn every_screen_of_an_invented_bay_says_so() {
    walk::every_screen(Profile::Seven800, &mut |seen| {
        // A bay that is being set up is nobody's demonstration.
        // On a glass that is dark, or wiped, stands nothing of it.
        let no_demo = ["fault", "own", "first-", "glass-dark", "glass-wiped"];
        if no_demo.iter().any(|name| seen.name.starts_with(name)) {
            return;
        }
        let marks = i_slint_backend_testing::ElementHandle::find_by_accessible_label(
            seen.window.off.screen().wall(),
            "DEMO",
        );
        assert!(marks.count() > 0, "{} does not say DEMO", seen.name);
    });
}

#[test]
fn a_key_that_is_held_or_bounces_acts_once() {
    use slint::platform::WindowEvent;
    let window = calibrated();
    let washes = || {
        kept(&window)
            .iter()
            .filter(|h| matches!(h, Happening::Wash { .. }))
            .count()
    };
    let wall = window.off.screen().wall().window();
    wall.dispatch_event(WindowEvent::KeyPressed { text: "+".into() });
    for _ in 0..50 {
        window.wait(Duration::from_millis(50));
        wall.dispatch_event(WindowEvent::KeyPressRepeated { text: "+".into() });
    }
    wall.dispatch_event(WindowEvent::KeyReleased { text: "+".into() });
    assert_eq!(washes(), 1, "held");
    window.wait(Duration::from_secs(1));
    window.off.key("+");
    window.wait(Duration::from_millis(100));
    window.off.key("+");
    assert_eq!(washes(), 2, "bounced");
    window.wait(Duration::from_millis(400));
    window.off.key("+");
    assert_eq!(washes(), 3, "pressed again");
}

#[test]
fn a_void_sprayer_has_no_figure_in_any_list() {
    use fillcall::screens::generated::ChoiceView;
    use slint::Model;
    let window = calibrated();
    window.press(&["Calibration: 0 washes", "Something was changed on it"]);
    window.hold("Nozzle changed");
    let lists = window.off.screen().wall().global::<ChoiceView>();
    window.press(&["Sprayer: Lance 1"]);
    let row = lists
        .get_sprayers()
        .iter()
        .find(|c| c.id == "lance-1")
        .expect("the sprayer");
    assert_eq!(row.figure, "Void");
    window.press(&["Back", "Chemical: Film remover"]);
    let figures: Vec<String> = lists
        .get_chemicals()
        .iter()
        .map(|c| c.figure.to_string())
        .collect();
    assert!(
        !figures.is_empty() && figures.iter().all(|f| f == "Void"),
        "{figures:?}"
    );
    let parts = lists.get_parts();
    assert!(parts.iter().count() == 4 && parts.iter().all(|c| !c.enabled));
}

#[test]
fn a_mouse_button_that_rests_there_is_no_tap() {
    let window = calibrated();
    let before = kept(&window).len();
    let button = window.off.button("Wash done").expect("the button");
    let (at, size) = (button.absolute_position(), button.size());
    let position = slint::LogicalPosition::new(at.x + size.width / 2.0, at.y + size.height / 2.0);
    let wall = window.off.screen().wall().window();
    use slint::platform::{PointerEventButton, WindowEvent};
    let press = |held: u64| {
        let button = PointerEventButton::Left;
        wall.dispatch_event(WindowEvent::PointerPressed { position, button });
        window.wait(Duration::from_millis(held));
        wall.dispatch_event(WindowEvent::PointerReleased { position, button });
        window.wait(Duration::from_millis(60));
    };
    press(4000);
    assert_eq!(kept(&window).len(), before, "four seconds");
    press(100);
    press(100);
    assert_eq!(
        kept(&window).len(),
        before + 1,
        "two vehicles in a quarter of a second"
    );
}

/// Everything that is written on the screen, by accessible role.
fn texts(window: &Window) -> Vec<String> {
    let texts: Vec<String> = ElementQuery::from_root(window.off.screen().wall())
        .match_accessible_role(AccessibleRole::Text)
        .find_all()
        .iter()
        .filter_map(|text| text.accessible_label())
        .map(Into::into)
        .collect();
    assert!(!texts.is_empty(), "no text on the screen");
    texts
}

#[track_caller]
fn says(window: &Window, words: &str) {
    let texts = texts(window);
    assert!(
        texts.iter().any(|text| text.contains(words)),
        "\"{words}\" is not in {texts:?}"
    );
}

fn step(window: &Window) -> Option<Step> {
    let screen = window.off.screen();
    let step = |bay: &fillcall::bay::at_work::Bay| bay.calibrating().map(|c| c.step());
    screen.with_bay(step).flatten()
}

fn saved(window: &Window) -> Calibration {
    match kept(window).pop() {
        Some(Happening::Calibrated(record)) => record.calibration,
        other => panic!("not saved: {other:?}"),
    }
}

/// From home to the choice of the way, for a sprayer that was never calibrated.
fn to_the_ways(window: &Window) {
    window.press(&["Calibration: Not yet", "Calibrate"]);
    assert_eq!(page(window), Page::Ways);
}

#[test]
fn run_dry_by_presses_alone() {
    let window = window(Profile::Seven800);
    to_the_ways(&window);
    window.press(&["Run dry"]);
    walk::type_in(&window, "82");
    // A digit too many, erased; the unit taken for the other one and back.
    window.press(&["1", "Erase", "0", "Unit: L", "Unit: ml", "Next"]);
    window.press(&["It is full to the line", "Start"]);
    walk::skip(&window, Duration::from_secs(5 + 104));
    window.press(&["Stop", "Nothing is left"]);
    for _ in 0..14 {
        window.press(&["Add 1 L"]);
    }
    window.press(&["Add 250 ml"]);
    says(&window, "14.25");
    says(&window, "caught, 15 loads");
    window.press(&["Undo the last load"]);
    says(&window, "caught, 14 loads");
    window.press(&["Type a part load", "Unit: ml"]);
    walk::type_in(&window, "700");
    says(&window, "14700 ml in all");
    window.press(&["Add what is typed", "Full loads"]);
    says(&window, "14700");
    window.press(&["Next"]);
    assert_eq!(step(&window), Some(Step::Review));
    says(&window, "Run dry");
    window.hold("Save");
    let saved = saved(&window);
    assert_eq!((saved.run.way, saved.count()), (Way::RunDry, 1));
    assert_eq!(saved.run.drawn, Volume::ml(820.0));
    assert!((saved.run.catch.as_ml() - 14_700.0).abs() < 1e-6);
    assert_eq!(figure(&window), "590");
}

#[test]
fn timed_by_presses_alone() {
    let window = window(Profile::Seven1024);
    to_the_ways(&window);
    window.press(&["Timed"]);
    walk::type_in(&window, "820");
    window.press(&["Next", "Run for 30 s", "Back"]);
    assert_eq!(step(&window), Some(Step::SetTime));
    walk::type_in(&window, "60");
    window.press(&["Next", "It is full to the line"]);
    says(&window, "After 60 s it beeps long again: let go.");
    window.press(&["Start"]);
    window.wait(Duration::from_millis(5000 + 15_500));
    says(&window, "45");
    says(&window, "seconds left");
    // Broken off, nothing is known: again from a full container.
    window.press(&["Break off"]);
    assert_eq!(step(&window), Some(Step::FillToLine));
    window.press(&["Close", "It is full to the line", "Start"]);
    walk::skip(&window, Duration::from_secs(5 + 61));
    assert_eq!(step(&window), Some(Step::Left), "no hand stops it");
    assert!(
        !window
            .off
            .button("Next")
            .expect("Next")
            .accessible_enabled()
            .expect("told")
    );
    walk::type_in(&window, "265");
    window.press(&["Next"]);
    for _ in 0..9 {
        window.press(&["Add 1 L"]);
    }
    window.press(&["Add 1 L", "Undo the last load", "Type a part load"]);
    walk::type_in(&window, "0.98");
    // What is typed is taken along.
    window.press(&["Next"]);
    says(&window, "Timed");
    window.hold("Save");
    let saved = saved(&window);
    assert_eq!(saved.run.way, Way::Timed);
    assert_eq!(saved.run.time, Duration::from_secs(60));
    assert_eq!(saved.run.drawn, Volume::ml(820.0 - 265.0));
    assert!((saved.run.catch.as_ml() - 9980.0).abs() < 1e-6);
}

#[test]
fn by_weight_by_presses_alone() {
    let window = window(Profile::Ten1280);
    to_the_ways(&window);
    window.press(&["By weight"]);
    for (typed, then) in [("18", Step::BucketEmpty), ("0.85", Step::FillToLine)] {
        walk::type_in(&window, typed);
        window.press(&["Next"]);
        assert_eq!(step(&window), Some(then));
    }
    window.press(&["It is full to the line"]);
    assert!(
        !window
            .labels()
            .iter()
            .any(|label| label.starts_with("Unit")),
        "kilograms have no other unit"
    );
    walk::type_in(&window, "1.23");
    window.press(&["Next", "Start"]);
    walk::skip(&window, Duration::from_secs(5 + 104));
    window.press(&["Stop"]);
    walk::type_in(&window, "0.41");
    window.press(&["Next"]);
    // Lighter than it was empty.
    walk::type_in(&window, "0.5");
    window.press(&["Next"]);
    assert_eq!(step(&window), Some(Step::BucketFull));
    let notice = window
        .off
        .screen()
        .wall()
        .global::<WallState>()
        .get_notice();
    assert!(!notice.is_empty(), "said why");
    window.press(&["Close", "Erase", "Erase", "Erase"]);
    walk::type_in(&window, "15.51");
    window.press(&["Next", "As before"]);
    says(&window, "By weight");
    window.hold("Save");
    let saved = saved(&window);
    let weights = saved.run.weights.expect("weighed");
    assert_eq!(saved.run.way, Way::ByWeight);
    assert!((weights.bucket_full - 15.51).abs() < 1e-9 && (weights.celsius - 18.0).abs() < 1e-9);
    // 0.82 kg and 14.66 kg of water at 18 °C, buoyancy included.
    assert!((saved.run.drawn.as_ml() / 822.0 - 1.0).abs() < 1e-3);
}

#[test]
fn without_a_balance_nothing_is_weighed() {
    let mut own = setup(Profile::Seven800);
    own.balance_step_kg = None;
    let window = window_of(own, &Around::default());
    to_the_ways(&window);
    let by_weight = window.off.button("By weight").expect("the tile");
    assert_eq!(by_weight.accessible_enabled(), Some(false));
    says(&window, "names no balance");
    let check = window.off.button("Timed check").expect("the tile");
    assert_eq!(check.accessible_enabled(), Some(false));
    says(&window, "Calibrate first");
}

/// Does what a step asks for.
fn do_step(window: &Window, way: Way, step: Step) {
    let number = |typed: &str| {
        walk::type_in(window, typed);
        window.press(&["Next"]);
    };
    match step {
        Step::Holds => number("820"),
        Step::SetTime => window.press(&["Run for 60 s"]),
        Step::Temperature => number("18"),
        Step::BucketEmpty => number("0.85"),
        Step::FillToLine => window.press(&["It is full to the line"]),
        Step::ContainerFull => number("1.23"),
        Step::Ready => window.press(&["Start"]),
        Step::Running => {
            walk::skip(window, Duration::from_secs(5 + 66));
            if way != Way::Timed {
                window.press(&["Stop"]);
            }
        }
        Step::Left if way == Way::RunDry => window.press(&["Nothing is left"]),
        Step::Left => number("412"),
        Step::Catch => {
            window.press(&["Type a part load"]);
            number("9.98");
        }
        Step::ContainerAfter => number("0.41"),
        Step::BucketFull => number("11.8"),
        Step::CatchTemperature => window.press(&["As before"]),
        Step::Review => window.hold("Save"),
    }
}

#[test]
fn every_step_can_be_gone_back_from_and_called_off() {
    for way in Way::ALL {
        let tile = match way {
            Way::RunDry => "Run dry",
            Way::Timed => "Timed",
            Way::ByWeight => "By weight",
        };
        let path = Step::path(way);
        for at in 0..path.len() {
            let window = window(Profile::Seven800);
            to_the_ways(&window);
            window.press(&[tile]);
            for done in &path[..at] {
                assert_eq!(step(&window), Some(*done), "{way:?}");
                do_step(&window, way, *done);
            }
            let here = path[at];
            assert_eq!(step(&window), Some(here), "{way:?}");
            let back = match here {
                Step::Running => "Cancel",
                _ => "Back",
            };
            window.press(&[back]);
            let expected = match at {
                0 => None,
                _ if path[at - 1] == Step::Running => Some(Step::Ready),
                _ => Some(path[at - 1]),
            };
            match expected {
                // Only looked into.
                None => assert_eq!((step(&window), page(&window)), (None, Page::Fill)),
                Some(step_before) => {
                    assert_eq!(step(&window), Some(step_before), "{way:?} {here:?}");
                    for _ in 0..path.len() {
                        if page(&window) == Page::Calibrate {
                            window.press(&["Back"]);
                        }
                    }
                    assert_eq!(page(&window), Page::Fill);
                    window.press(&["Calibration: Go on"]);
                    window.press(&["Throw away"]);
                    assert!(step(&window).is_some(), "a tap is not a hold");
                    window.hold("Throw away");
                    assert_eq!(step(&window), None);
                    let thrown = kept(&window).pop();
                    assert!(
                        matches!(thrown, Some(Happening::RunThrownAway(_))),
                        "{thrown:?}"
                    );
                }
            }
        }
    }
}

/// A timed check from home, up to its result.
fn timed_check(window: &Window, fluid: &str, seconds: u64) {
    window.act([Action::CloseNotice, Action::Show(Page::Care)]);
    window.press(&["Calibrate", "Timed check", fluid, "Start"]);
    walk::skip(window, Duration::from_secs(5 + seconds));
    window.press(&["Stop"]);
    assert_eq!(page(window), Page::Check);
}

#[test]
fn a_timed_check_with_water() {
    let window = calibrated();
    timed_check(&window, "Clean water", 106);
    says(&window, "Fine");
    // One run against one, by a scatter that stands on four degrees of freedom of the prior: the draw
    // flow scatters by s/(1 − d), and stopping by hand comes on top.
    let widened = 0.02 * 2.776_445 / 1.96;
    let of_time = f64::hypot(widened / (1.0 - 820.0 / 14_700.0), 0.283 / 103.9);
    let sees = 1.96 * of_time * 2_f64.sqrt() * 100.0;
    assert_eq!(format!("{sees:.1}"), "8.4");
    says(&window, "from 8.4 %");
    window.press(&["Done"]);
    assert_eq!(page(&window), Page::Care);
    timed_check(&window, "Clean water", 112);
    says(&window, "Fine");
    window.press(&["Done"]);
    timed_check(&window, "Clean water", 114);
    says(&window, "Watch it");
    assert!(!window.labels().contains(&"Calibrate".to_owned()));
    window.press(&["Check again", "Start"]);
    walk::skip(&window, Duration::from_secs(5 + 124));
    window.press(&["Stop"]);
    says(&window, "Recalibrate");
    window.press(&["Calibrate"]);
    assert_eq!(page(&window), Page::Ways);
    window.press(&["Timed check"]);
    says(&window, "What is in it?");
    // Called off in the countdown, and left.
    window.press(&["Clean water", "Start", "Cancel", "Back", "Back"]);
    assert_eq!(page(&window), Page::Care);
    let checks = || {
        let kept = kept(&window);
        kept.iter()
            .filter(|h| matches!(h, Happening::Checked(_)))
            .count()
    };
    assert_eq!(checks(), 4);
    // Nobody's container runs dry in a fifth of the time.
    timed_check(&window, "Clean water", 20);
    says(&window, "This can hardly be");
    assert_eq!(checks(), 4);
}

#[test]
fn a_dose_is_corrected_for_its_mix_when_asked_to_and_ended_when_asked_to() {
    let window = calibrated();
    timed_check(&window, "The mix", 105);
    says(&window, "Draws as water does");
    assert!(!window.labels().contains(&"Correct the dose".to_owned()));
    window.press(&["Done"]);
    timed_check(&window, "The mix", 119);
    says(&window, "Draws 13 % slower");
    says(&window, "670 ml");
    window.press(&["Leave it"]);
    window.act([Action::Show(Page::Fill)]);
    assert_eq!(figure(&window), "590", "never by itself");
    timed_check(&window, "The mix", 119);
    window.press(&["Correct the dose"]);
    assert_eq!(page(&window), Page::Check, "a tap is not a hold");
    window.hold("Correct the dose");
    assert_eq!(
        (page(&window), figure(&window).as_str()),
        (Page::Fill, "670")
    );
    window.press(&["Undo"]);
    assert_eq!(figure(&window), "590");
    timed_check(&window, "The mix", 119);
    window.hold("Correct the dose");
    window.press(&["Close"]);
    says(&window, "dose corrected");
    window.press(&["Calibration: 0 washes", "How sure, and over time"]);
    says(&window, "Corrected × 1.14");
    window.press(&["End the correction"]);
    says(&window, "Not yet. Hold longer.");
    window.wait(Duration::from_secs(2));
    says(&window, "Corrected × 1.14");
    window.hold("End the correction");
    window.press(&["Close", "Back", "Back"]);
    assert_eq!(figure(&window), "590");
    let corrected = kept(&window).pop();
    assert!(
        matches!(corrected, Some(Happening::Corrected { factor: None, .. })),
        "{corrected:?}"
    );
}

#[test]
fn a_run_that_differs_is_dropped_or_repeated() {
    let window = window(Profile::Seven800);
    window.press(&["Calibrate"]);
    walk::calibrate(&window, 104, 14, ".7");
    window.press(&["Runs"]);
    let only = window.off.button("Drop Run 1").expect("the tile");
    assert_eq!(only.accessible_enabled(), Some(false), "the only one");
    says(&window, "No repeats in this bay yet");
    window.press(&["One more run"]);
    walk::run(&window, 104, 14, ".5");
    window.press(&["Runs"]);
    assert!(
        !texts(&window).iter().any(|text| text.contains("differ")),
        "all alike"
    );
    window.press(&["One more run"]);
    walk::run(&window, 104, 12, ".9");
    window.press(&["Runs"]);
    says(&window, "Run 3 differs: drop or repeat it");
    says(&window, "Run 3 differs");
    window.press(&["Drop Run 3"]);
    says(&window, "Run 3 differs");
    window.hold("Drop Run 3");
    assert!(
        !texts(&window).iter().any(|text| text.contains("differ")),
        "dropped"
    );
    says(&window, "2 of at most 5 runs");
    window.press(&["Back"]);
    window.hold("Save");
    assert_eq!(saved(&window).count(), 2);
}

#[test]
fn a_small_dose_has_a_better_measure_or_a_dilution() {
    let small = |keeps: &[&str], percent: f64| {
        let mut own = setup(Profile::Seven800);
        own.measures.retain(|m| keeps.contains(&m.id.as_str()));
        own.chemicals[0].target =
            fillcall::trade::chemical::Target::OnVehicle(common::percent(percent));
        own.chemicals[0].band = None;
        let window = window_of(own, &Around::default());
        window.press(&["Calibrate"]);
        walk::calibrate(&window, 104, 14, ".7");
        window.hold("Save");
        window.act([Action::CloseNotice, Action::Show(Page::Sure)]);
        window
    };
    let window = small(&["cylinder", "jug"], 0.25);
    says(&window, "Below 72.1\u{a0}ml a finer measure helps");
    says(
        &window,
        "thin the product 1\u{a0}+\u{a0}1 with water, pour 75\u{a0}ml of that",
    );
    // Too little for the cylinder's lines, and ten lines of it are enough.
    let window = small(&["cylinder", "jug"], 0.01);
    says(&window, "1.47 ml is too little for any measure here");
    says(&window, "1\u{a0}+\u{a0}34 with water, pour 50\u{a0}ml");
    // A dose large enough for its measure needs neither.
    let window = small(&["syringe", "cylinder", "jug"], 4.0);
    assert!(!texts(&window).iter().any(|text| text.contains("coarse")));
    says(&window, "One more run makes it ±");
}

/// A finger taps the chart, at a part of its width, once the page has been there for a while.
fn tap_chart(window: &Window, part: f32) {
    window.wait(Duration::from_millis(450));
    let chart = window
        .off
        .button("Chart: the run under the finger")
        .expect("the chart");
    let (at, size) = (chart.absolute_position(), chart.size());
    let glass = window.off.screen().glass();
    let contact = |phase| Contact {
        id: 0,
        position: Position {
            x: at.x + size.width * part,
            y: at.y + size.height / 2.0,
        },
        phase,
    };
    glass.deliver(contact(Phase::Started), glass.now());
    window.wait(Duration::from_millis(120));
    glass.deliver(contact(Phase::Ended), glass.now());
    window.wait(Duration::from_millis(200));
}

#[test]
fn a_point_of_the_trend_is_tapped_for_its_run() {
    let around = Around::default();
    around.records.0.borrow_mut().history = walk::history(12);
    let window = window_of(setup(Profile::Seven800), &around);
    window.press(&["Calibration: Not yet", "How sure, and over time"]);
    says(&window, "Never calibrated");
    window.press(&["Over time"]);
    for words in [
        "12 of 12: 3 runs, run dry",
        "mean",
        "upper limit",
        "lower limit",
        "changes",
    ] {
        says(&window, words);
    }
    says(&window, "after 346 washes");
    tap_chart(&window, 0.04);
    says(&window, "1 of 12: 1 run, run dry");
    says(&window, "4 Mar 2024, 29 washes since");
    window.press(&["Later"]);
    says(&window, "2 of 12: 2 runs, run dry");
    tap_chart(&window, 0.55);
    says(&window, "7 of 12");
    window.press(&["Earlier", "Back"]);
    assert_eq!(page(&window), Page::Sure);
}

#[test]
fn five_hundred_points_open_at_once() {
    let around = Around::default();
    around.records.0.borrow_mut().history = walk::history(500);
    let window = window_of(setup(Profile::Ten1280), &around);
    window.act([Action::Show(Page::Sure)]);
    let began = Instant::now();
    window.act([Action::Show(Page::Trend)]);
    let pixels = window.off.screen().wall().window().take_snapshot();
    let took = began.elapsed();
    assert!(pixels.is_ok());
    says(&window, "500 of 500");
    println!("opened and drawn in {took:?}");
    assert!(took < Duration::from_secs(1), "{took:?}");
}

#[test]
fn the_language_is_switched_for_all_of_the_screen_and_back() {
    let window = window(Profile::Seven800);
    says(&window, "Not calibrated");
    window.press(&["Calibration: Not yet", "Help", "Sound"]);
    window.press(&["Español"]);
    // A text that Slint has, at once; and one that is put together, on the next screen.
    assert!(
        window.labels().contains(&"Atrás".into()),
        "{:?}",
        window.labels()
    );
    window.act([Action::Show(Page::Fill)]);
    says(&window, "Sin calibrar");
    // What the bay refuses is said in it too.
    window.act([Action::PutOff]);
    says(&window, "no se puede");
    window.act([Action::CloseNotice, Action::Show(Page::Sound)]);
    window.press(&["English"]);
    assert!(
        window.labels().contains(&"Back".into()),
        "{:?}",
        window.labels()
    );
    window.act([Action::Show(Page::Fill)]);
    says(&window, "Not calibrated");
}

#[test]
fn a_wall_made_after_one_in_another_language_has_its_own() {
    let spanish = window(Profile::Seven800);
    spanish.act([Action::ChooseLanguage(Language::Spanish)]);
    says(&spanish, "Sin calibrar");
    let english = window(Profile::Seven800);
    says(&english, "Not calibrated");
}

#[test]
fn the_language_of_the_system_changes_nothing() {
    // Read once for each program: in one of its own.
    let again = std::env::current_exe().expect("this program");
    let status = std::process::Command::new(again)
        .args([
            "--exact",
            "the_language_is_switched_for_all_of_the_screen_and_back",
        ])
        .env("LC_ALL", "es_ES.UTF-8")
        .env("LANG", "es_ES.UTF-8")
        .status();
    assert!(status.expect("the other program").success());
}

/// Speech stops as soon as a finger comes down, on a button that has not acted yet or beside all of
/// them.
#[test]
fn a_touch_stops_what_is_being_said_before_it_does_anything_else() {
    let window = calibrated();
    let fill = {
        window.press(&["Say it"]);
        window.off.button("Filled").expect("the button")
    };
    let (at, size) = (fill.absolute_position(), fill.size());
    let on_a_button = (at.x + size.width / 2.0, at.y + size.height / 2.0);
    let beside_all = (at.x + size.width / 2.0, at.y - size.height);
    for (x, y) in [on_a_button, beside_all] {
        window.press(&["Close"]);
        window.wait(Duration::from_millis(800));
        window.press(&["Say it"]);
        window.around.ears.take();
        let washes = kept(&window).len();
        let glass = window.off.screen().glass();
        let contact = |phase| Contact {
            id: 0,
            position: Position { x, y },
            phase,
        };
        glass.deliver(contact(Phase::Started), glass.now());
        window.wait(Duration::from_millis(120));
        assert!(
            window.around.ears.take().contains(&Heard::Hush),
            "at {x}, {y}"
        );
        assert_eq!(kept(&window).len(), washes, "nothing was done yet");
        glass.deliver(contact(Phase::Cancelled), glass.now());
        window.wait(Duration::from_millis(200));
        assert_eq!(kept(&window).len(), washes);
    }
}

/// A tap at a place, and the time to the next.
fn tap_at(window: &Window, place: Position, then: Duration) {
    let glass = window.off.screen().glass();
    for (phase, wait) in [
        (Phase::Started, Duration::from_millis(90)),
        (Phase::Ended, then),
    ] {
        glass.deliver(Contact::new(0, place.x, place.y, phase), glass.now());
        window.off.wait(wait);
    }
}

fn middle(window: &Window, label: &str) -> Position {
    let button = window.off.button(label).expect("there");
    let (at, size) = (button.absolute_position(), button.size());
    Position::new(at.x + size.width / 2.0, at.y + size.height / 2.0)
}

#[test]
fn a_double_tap_turns_one_page() {
    let window = calibrated();
    for label in [
        "Menu",
        "Sprayer: Lance 1",
        "Chemical: Film remover",
        "Calibration: 0 washes",
    ] {
        let place = middle(&window, label);
        tap_at(&window, place, Duration::from_millis(120));
        let turned = page(&window);
        assert_ne!(turned, Page::Fill, "{label}");
        tap_at(&window, place, Duration::from_millis(500));
        assert_eq!(page(&window), turned, "{label}");
        window.act([Action::Show(Page::Fill)]);
        window.off.wait(Duration::from_millis(500));
    }
    // What it pressed there shows that it did not count.
    let menu = middle(&window, "Menu");
    tap_at(&window, menu, Duration::from_millis(120));
    tap_at(&window, menu, Duration::from_millis(120));
    says(&window, "One moment");
    // Digits stay on their page: they come as fast as ever. Keys of a keyboard too.
    window.act([Action::Show(Page::Fill), Action::CalibrateBy(Way::RunDry)]);
    window.off.wait(Duration::from_millis(500));
    for key in ["9", "0", "4"] {
        tap_at(&window, middle(&window, key), Duration::from_millis(100));
    }
    says(&window, "904");
    window.act([Action::Show(Page::Fill)]);
    window.off.key("+");
    assert!(matches!(kept(&window).last(), Some(Happening::Wash { .. })));
}

#[test]
fn a_hold_let_go_early_says_so() {
    let window = calibrated();
    window.press(&["Calibration: 0 washes", "Something was changed on it"]);
    window.around.ears.take();
    window.short_press("Nozzle changed", Duration::from_millis(900));
    says(&window, "Not yet. Hold longer.");
    assert!(
        window
            .around
            .ears
            .take()
            .contains(&Heard::Tone(Tone::Refused))
    );
    assert_eq!(page(&window), Page::Changed);
    window.off.screen().show_in(Language::Spanish);
    says(&window, "Aún no. Mantener más.");
    window.off.wait(Duration::from_secs(2));
    assert!(
        !texts(&window).iter().any(|text| text.contains("Aún no")),
        "for a moment"
    );
}
