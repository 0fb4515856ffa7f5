//! The screens by the names of their buttons, pressed through the glass.

mod common;

use common::window::{Window, window, window_of};
use common::{Around, Heard, setup, walk};
use fillcall::bay::action::Page;
use fillcall::bay::ports::Tone;
use fillcall::bay::records::Happening;
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::generated::{CalibrateView, FillView, WallState};
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::Faults;
use slint::ComponentHandle;
use std::cell::Cell;
use std::rc::Rc;
use std::time::Duration;

fn calibrated() -> Window {
    let window = window(Profile::Seven800);
    window.press(&["Calibrate"]);
    walk::calibrate(&window, 104, 17, ".3");
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
    assert_eq!(figure(&window), "690");
    window.press(&["Filled", "Close", "Wash done"]);
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
        "Nozzle or washer changed",
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
        "?",
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
        &["Calibration: 0 washes", "Help and cautions"],
        &["Calibration: 0 washes", "Calibrate"],
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
    window.press(&["Calibration: 0 washes", "Calibrate", "9", "7"]);
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
    assert_eq!(typed, "97");
}

#[test]
fn the_number_pad_does_it_all() {
    use slint::platform::Key;
    let window = window(Profile::Seven800);
    window.press(&["Calibrate"]);
    for key in ["9", "7", "6"] {
        window.off.key(key);
    }
    window.off.key(slint::SharedString::from(Key::Backspace));
    window.off.key("5");
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
    for key in ["1", "7", ".", "3"] {
        window.off.key(key);
    }
    enter();
    // It takes the old figure's place, so it asks once more.
    enter();
    assert_eq!(figure(&window), "");
    window.wait(Duration::from_millis(1300));
    enter();
    assert_eq!(figure(&window), "690");
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
    window.press(&["Calibrate", "As before", "It is full to the line", "Start"]);
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
    use fillcall::bay::ports::SoundState;
    let window = calibrated();
    window.around.ears.state.set(SoundState::NoDevice);
    window.wait(Duration::from_secs(1) + Duration::from_millis(100));
    let state = window.off.screen().wall().global::<WallState>();
    assert!(state.get_no_sound());
    window.press(&["Say it", "Filled", "Close", "Wash done"]);
    assert!(matches!(kept(&window).last(), Some(Happening::Wash { .. })));
    window.around.ears.state.set(SoundState::Working);
    window.wait(Duration::from_secs(1) + Duration::from_millis(100));
    assert!(!state.get_no_sound());
}

#[test]
fn a_wrong_set_up_is_read_again_when_mended() {
    let mended = Rc::new(Cell::new(false));
    let (ok, around) = (mended.clone(), Around::default());
    let inner = around.clone();
    let open = move || match ok.get() {
        true => Ok(inner.runner(setup(Profile::Ten1280))),
        false => Err(Faults {
            title: "bay.toml cannot be used".into(),
            faults: vec![("Line 3".into(), "wrong".into())],
        }),
    };
    let off = Offscreen::new(Panel::usual(Profile::Seven800), Box::new(open)).expect("a window");
    let window = Window { off, around };
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
    // The chemical's tile lies under the strip: a finger there hits the strip. The sprayer's does not:
    // whose figure it is can always be seen.
    window.press(&["Chemical: Film remover"]);
    assert_eq!(page(&window), Page::Fill);
    window.press(&["Close", "Chemical: Film remover"]);
    assert_eq!(page(&window), Page::Chemicals);
    // Nor for a moment after it went by itself: a finger may be on its way to Undo.
    window.press(&["Back", "Wash done"]);
    while window.labels().contains(&"Undo".to_owned()) {
        window.wait(Duration::from_millis(50));
    }
    window.press(&["Chemical: Film remover"]);
    assert_eq!(page(&window), Page::Fill);
    window.wait(Duration::from_millis(1100));
    window.press(&["Chemical: Film remover"]);
    assert_eq!(page(&window), Page::Chemicals);
}

#[test]
fn every_screen_of_an_invented_bay_says_so() {
    walk::every_screen(Profile::Seven800, &mut |seen| {
        if seen.name.starts_with("fault") || seen.name.starts_with("own") {
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
    window.press(&["Calibration: 0 washes", "Nozzle or washer changed"]);
    window.hold("Nozzle changed");
    let lists = window.off.screen().wall().global::<ChoiceView>();
    window.press(&["Sprayer: Lance 1"]);
    let row = lists
        .get_sprayers()
        .iter()
        .find(|c| c.id == "lance-1")
        .expect("the sprayer");
    assert_eq!(row.figure, "no figure");
    window.press(&["Back", "Chemical: Film remover"]);
    let figures: Vec<String> = lists
        .get_chemicals()
        .iter()
        .map(|c| c.figure.to_string())
        .collect();
    assert!(
        !figures.is_empty() && figures.iter().all(|f| f == "no figure"),
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
