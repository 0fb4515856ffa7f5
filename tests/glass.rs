//! The glass where nobody is there: it dims, goes dark, wakes at a touch that does nothing else, creeps,
//! and can be wiped.

mod common;

use chrono::NaiveTime;
use common::window::{Window, window_of};
use common::{Around, Heard, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::glass::{Light, MOST_CREEP, Touches, WIPE_TIME};
use fillcall::bay::ports::{Backlight, Tone};
use fillcall::bay::records::Happening;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Dimming, Hours, Profile, Setup};
use fillcall::bay::stopwatch::Watch;
use fillcall::screens::generated::{GlassView, PageName, WallState};
use fillcall::screens::glass::{Contact, Phase, Position};
use fillcall::trade::calibration::Way;
use slint::ComponentHandle;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::time::Duration;

const MINUTE: Duration = Duration::from_secs(60);
const NOW: Duration = Duration::ZERO;

fn time(hours: u32, minutes: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hours, minutes, 0).expect("a time")
}

/// Dims after ten minutes; dark from eight in the evening to five in the morning. The clock of the
/// tests begins at eight in the morning.
fn resting() -> Setup {
    let night = Hours {
        from: time(20, 0),
        to: time(5, 0),
    };
    Setup {
        dimming: Dimming {
            night: Some(night),
            ..Dimming::default()
        },
        ..setup(Profile::Seven800)
    }
}

fn runner_of(setup: Setup) -> (Runner, Around) {
    let around = Around::default();
    let runner = around.runner(setup);
    (runner, around)
}

/// Time goes by, with a tick each second.
fn pass(runner: &mut Runner, around: &Around, time: Duration) {
    for _ in 0..time.as_secs() {
        around.clock.go_on(Duration::from_secs(1));
        runner.act(Action::Tick);
    }
}

fn light(runner: &Runner) -> Light {
    runner.bay().light()
}

fn washes(around: &Around) -> usize {
    let kept = around.records.0.borrow();
    let of = kept.happenings.iter();
    of.filter(|(_, what)| matches!(what, Happening::Wash { .. }))
        .count()
}

// ---- Dimmed --------------------------------------------------------------------------------------

#[test]
fn home_is_dimmed_after_a_while_and_what_wakes_it_does_nothing_else() {
    for wakes in [
        Action::WashDone,
        Action::Main,
        Action::Show(Page::Menu),
        Action::NextSprayer,
        Action::Touched,
        Action::Wake,
    ] {
        let (mut runner, around) = runner_of(resting());
        let before = runner.bay().sprayer().id.clone();
        pass(&mut runner, &around, MINUTE * 10 - Duration::from_secs(1));
        assert_eq!(light(&runner), Light::Bright);
        assert_eq!(runner.bay().touches(), Touches::Press);
        pass(&mut runner, &around, Duration::from_secs(1));
        assert_eq!(light(&runner), Light::Dimmed);
        assert_eq!(runner.bay().touches(), Touches::Wake);
        around.ears.take();
        runner.act(wakes.clone());
        assert_eq!(light(&runner), Light::Bright, "{wakes:?}");
        assert_eq!(around.ears.take(), [Heard::Tone(Tone::Click)], "{wakes:?}");
        assert_eq!(runner.bay().page(), Page::Fill, "{wakes:?}");
        assert_eq!(runner.bay().sprayer().id, before, "{wakes:?}");
        assert!(runner.bay().notice().is_none(), "{wakes:?}");
        assert_eq!(washes(&around), 0, "{wakes:?}");
        // The next one acts, and the time begins anew.
        runner.act(Action::WashDone);
        assert_eq!(washes(&around), 1, "{wakes:?}");
        pass(&mut runner, &around, MINUTE * 10 - Duration::from_secs(1));
        assert_eq!(light(&runner), Light::Bright, "{wakes:?}");
    }
}

#[test]
fn a_set_up_without_dimming_has_none() {
    let (mut runner, around) = runner_of(setup(Profile::Seven800));
    pass(&mut runner, &around, MINUTE * 60);
    assert_eq!(light(&runner), Light::Bright);
}

#[test]
fn only_home_is_dimmed_and_nothing_that_somebody_waits_for() {
    // A calibration and a check that are at work stay as they are, for hours.
    let (mut runner, around) = runner_of(resting());
    runner.act(Action::CalibrateBy(Way::RunDry));
    assert_eq!(runner.bay().page(), Page::Calibrate);
    pass(&mut runner, &around, MINUTE * 40);
    assert_eq!(
        (light(&runner), runner.bay().page()),
        (Light::Bright, Page::Calibrate)
    );
    runner.act(Action::HoldsAsBefore);
    runner.act(Action::NextStep);
    runner.act(Action::StartStop { ago: NOW });
    pass(&mut runner, &around, MINUTE * 20);
    assert!(matches!(runner.bay().watch(), Watch::Running(_)));
    assert_eq!(light(&runner), Light::Bright);

    // First aid stands for twenty minutes; then home has its ten of its own.
    let (mut runner, around) = runner_of(resting());
    runner.act(Action::Show(Page::Emergency));
    pass(&mut runner, &around, MINUTE * 20 - Duration::from_secs(1));
    assert_eq!(
        (light(&runner), runner.bay().page()),
        (Light::Bright, Page::Emergency)
    );
    pass(&mut runner, &around, MINUTE);
    assert_eq!(
        (light(&runner), runner.bay().page()),
        (Light::Bright, Page::Fill)
    );
    pass(&mut runner, &around, MINUTE * 9 + Duration::from_secs(1));
    assert_eq!(light(&runner), Light::Dimmed);

    // Any other page gives way to home first.
    let (mut runner, around) = runner_of(resting());
    runner.act(Action::Show(Page::Mix));
    assert_eq!(runner.bay().page(), Page::Mix);
    let mut seen = BTreeSet::new();
    for _ in 0..25 * 60 {
        pass(&mut runner, &around, Duration::from_secs(1));
        if light(&runner) != Light::Bright {
            seen.insert(format!("{:?}", runner.bay().page()));
        }
    }
    assert_eq!(seen, BTreeSet::from(["Fill".to_owned()]));
}

#[test]
fn what_can_be_taken_back_is_said_or_went_wrong_is_seen() {
    // So short a time stands for a press that came at its very end.
    let quick = Setup {
        dimming: Dimming {
            after_minutes: 1,
            ..resting().dimming
        },
        ..resting()
    };
    // What goes wrong by itself wakes the glass.
    let (mut runner, around) = runner_of(quick);
    around
        .ears
        .state
        .set(fillcall::bay::ports::SoundState::Working);
    pass(&mut runner, &around, MINUTE);
    assert_eq!(light(&runner), Light::Dimmed);
    let why = fillcall::bay::ports::Why::Absent;
    around
        .ears
        .state
        .set(fillcall::bay::ports::SoundState::NoDevice(why));
    pass(&mut runner, &around, Duration::from_secs(1));
    assert!(runner.bay().notice().is_some());
    assert_eq!(light(&runner), Light::Bright, "at once");
    // A minute after the notice went, and not before.
    pass(&mut runner, &around, MINUTE);
    assert_eq!(light(&runner), Light::Bright);
    pass(&mut runner, &around, Duration::from_secs(15));
    assert_eq!(light(&runner), Light::Dimmed);
}

#[test]
fn a_fill_that_is_being_said_is_not_dimmed() {
    let (mut runner, around) = runner_of(Setup {
        dimming: Dimming {
            after_minutes: 1,
            ..Dimming::default()
        },
        ..setup(Profile::Seven800)
    });
    runner.act(Action::SayFill);
    runner.act(Action::SaySlower);
    runner.act(Action::CloseNotice);
    let mut slowly = around.ears.take();
    slowly.retain(|heard| matches!(heard, Heard::SaidSlowly(_)));
    let Some(Heard::SaidSlowly(said)) = slowly.pop() else {
        panic!("said slowly");
    };
    let lasts = said.speech(runner.bay().lexicon()).about(true);
    assert!(lasts > Duration::from_secs(5), "{lasts:?}");
    // Its time begins where the words end.
    pass(&mut runner, &around, MINUTE + Duration::from_secs(4));
    assert_eq!(light(&runner), Light::Bright);
    pass(&mut runner, &around, lasts);
    assert_eq!(light(&runner), Light::Dimmed);
}

// ---- Dark ----------------------------------------------------------------------------------------

#[test]
fn at_night_it_is_dark_and_in_the_morning_it_is_dimmed_again() {
    let (mut runner, around) = runner_of(resting());
    // Eight in the morning and twelve hours.
    pass(&mut runner, &around, MINUTE * (12 * 60 - 1));
    assert_eq!(light(&runner), Light::Dimmed);
    pass(&mut runner, &around, MINUTE);
    assert_eq!(light(&runner), Light::Dark);
    // Who comes at night has light, for ten minutes.
    runner.act(Action::Wake);
    assert_eq!(light(&runner), Light::Bright);
    pass(&mut runner, &around, MINUTE * 10);
    assert_eq!(light(&runner), Light::Dark);
    pass(&mut runner, &around, MINUTE * (9 * 60 - 10));
    assert_eq!(light(&runner), Light::Dimmed, "at five");
}

#[test]
fn a_night_is_one_also_where_the_day_is_never_dimmed() {
    let mut own = resting();
    own.dimming.after_minutes = 0;
    let (mut runner, around) = runner_of(own);
    pass(&mut runner, &around, MINUTE * (12 * 60 - 1));
    assert_eq!(light(&runner), Light::Bright);
    pass(&mut runner, &around, MINUTE);
    assert_eq!(light(&runner), Light::Dark);
    pass(&mut runner, &around, MINUTE * 9 * 60);
    assert_eq!(light(&runner), Light::Bright);
}

#[test]
fn a_clock_that_is_wrong_has_no_night() {
    let (mut runner, around) = runner_of(resting());
    runner.act(Action::WashDone);
    pass(&mut runner, &around, MINUTE * (12 * 60 + 1));
    assert_eq!(light(&runner), Light::Dark);
    around.clock.lose_date();
    runner.act(Action::Tick);
    assert_eq!(light(&runner), Light::Dimmed);
}

// ---- The light behind the glass ------------------------------------------------------------------

#[derive(Clone, Default)]
struct Lamp {
    levels: Rc<RefCell<Vec<u8>>>,
    fails: Rc<RefCell<bool>>,
}

impl Backlight for Lamp {
    fn light(&mut self, percent: u8) -> bool {
        self.levels.borrow_mut().push(percent);
        !*self.fails.borrow()
    }
}

#[test]
fn the_light_behind_the_glass_is_set_once_each_time_and_drawn_where_that_fails() {
    let lamp = Lamp::default();
    let (runner, around) = runner_of(resting());
    let mut runner = runner.with_backlight(Box::new(lamp.clone()));
    assert_eq!(*lamp.levels.borrow(), [100], "whatever it was before");
    pass(&mut runner, &around, MINUTE * 30);
    assert_eq!(*lamp.levels.borrow(), [100, 60]);
    assert_eq!(runner.drawn_percent(), 100, "it is not drawn as well");
    runner.act(Action::Wake);
    assert_eq!(*lamp.levels.borrow(), [100, 60, 100]);
    *lamp.fails.borrow_mut() = true;
    pass(&mut runner, &around, MINUTE * 30);
    assert_eq!(runner.drawn_percent(), 60);
    runner.act(Action::Wake);
    assert_eq!(runner.drawn_percent(), 100);
    // At night it is low, and never off.
    pass(&mut runner, &around, MINUTE * 12 * 60);
    assert_eq!(lamp.levels.borrow().last(), Some(&10));
    // Without one it is drawn.
    let (mut runner, around) = runner_of(resting());
    pass(&mut runner, &around, MINUTE * 30);
    assert_eq!(runner.drawn_percent(), 60);
}

// ---- Creep ---------------------------------------------------------------------------------------

#[test]
fn the_picture_creeps_where_nobody_is_there_and_never_within_a_run() {
    let (mut runner, around) = runner_of(setup(Profile::Seven800));
    let mut seen = BTreeSet::new();
    let mut moves = 0;
    let mut before = runner.bay().picture_at();
    for _ in 0..3 * 3600 {
        pass(&mut runner, &around, Duration::from_secs(1));
        let now = runner.bay().picture_at();
        moves += usize::from(now != before);
        assert!((now.x - before.x).abs() + (now.y - before.y).abs() <= 1);
        assert!(now.x.abs() <= MOST_CREEP && now.y.abs() <= MOST_CREEP);
        seen.insert((now.x, now.y));
        before = now;
    }
    assert_eq!(moves, 60, "once in three minutes");
    assert_eq!(seen.len(), 25);

    // Who presses something every few seconds has it under the finger where it was.
    for _ in 0..200 {
        runner.act(Action::Touched);
        pass(&mut runner, &around, Duration::from_secs(9));
        assert_eq!(runner.bay().picture_at(), before);
    }
    // So has a run, as long as it takes.
    runner.act(Action::CalibrateBy(Way::RunDry));
    runner.act(Action::HoldsAsBefore);
    runner.act(Action::NextStep);
    runner.act(Action::StartStop { ago: NOW });
    let before = runner.bay().picture_at();
    pass(&mut runner, &around, MINUTE * 20);
    assert!(matches!(runner.bay().watch(), Watch::Running(_)));
    assert_eq!(runner.bay().picture_at(), before);
    runner.act(Action::StartStop { ago: NOW });
    pass(&mut runner, &around, MINUTE);
    assert_ne!(runner.bay().picture_at(), before);
}

// ---- Wiped ---------------------------------------------------------------------------------------

#[test]
fn the_glass_is_wiped_for_half_a_minute_and_home_is_there_again() {
    let (mut runner, around) = runner_of(setup(Profile::Seven800));
    runner.act(Action::Show(Page::Menu));
    runner.act(Action::Show(Page::Wipe));
    assert_eq!(runner.bay().touches(), Touches::Nothing);
    // A foot on the pedal does not end it.
    runner.act(Action::Main);
    for left in (1..=30).rev() {
        assert_eq!(runner.bay().page(), Page::Wipe);
        assert_eq!(runner.bay().wipe_left(), Some(Duration::from_secs(left)));
        pass(&mut runner, &around, Duration::from_secs(1));
    }
    assert_eq!(runner.bay().page(), Page::Fill);
    assert_eq!(runner.bay().touches(), Touches::Press);
    // The key for back ends it at once.
    runner.act(Action::Show(Page::Wipe));
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Fill);
    assert_eq!(runner.bay().wipe_left(), None);
    assert_eq!(runner.bay().touches(), Touches::Press);
}

#[test]
fn what_can_be_taken_back_waits_until_the_glass_is_wiped() {
    for ends_early in [false, true] {
        let (mut runner, around) = runner_of(setup(Profile::Seven800));
        runner.act(Action::WashDone);
        pass(&mut runner, &around, Duration::from_secs(4));
        assert_eq!(runner.bay().undo_seconds(), Some(6));
        runner.act(Action::Show(Page::Wipe));
        pass(&mut runner, &around, Duration::from_secs(20));
        match ends_early {
            true => runner.act(Action::Back),
            false => pass(&mut runner, &around, Duration::from_secs(10)),
        }
        assert_eq!(runner.bay().page(), Page::Fill);
        assert_eq!(runner.bay().undo_seconds(), Some(6), "{ends_early}");
        pass(&mut runner, &around, Duration::from_secs(5));
        assert!(runner.bay().notice().is_some());
        pass(&mut runner, &around, Duration::from_secs(1));
        assert!(runner.bay().notice().is_none());
    }
}

// ---- The window ----------------------------------------------------------------------------------

fn page(window: &Window) -> Page {
    let page = window.off.screen().with_bay(|bay| bay.page());
    page.expect("a bay")
}

fn shown(window: &Window) -> PageName {
    let wall = window.off.screen().wall();
    wall.global::<WallState>().get_page()
}

/// The clock of the bay goes on, and it hears of it.
fn left_alone(window: &Window, time: Duration) {
    for _ in 0..time.as_secs() / 60 {
        window.around.clock.go_on(MINUTE);
        window.act([Action::Tick]);
    }
}

/// Touches the middle of a control for so long.
fn touch(window: &Window, at: Position, lasts: Duration) {
    let glass = window.off.screen().glass();
    let contact = |phase| Contact {
        id: 0,
        position: at,
        phase,
    };
    glass.deliver(contact(Phase::Started), glass.now());
    window.wait(lasts);
    glass.deliver(contact(Phase::Ended), glass.now());
    window.wait(Duration::from_millis(450));
}

fn middle(window: &Window, label: &str) -> Position {
    let button = window.off.button(label).expect("the button");
    let (at, size) = (button.absolute_position(), button.size());
    Position::new(at.x + size.width / 2.0, at.y + size.height / 2.0)
}

#[test]
fn a_touch_on_a_dimmed_or_dark_glass_presses_nothing_of_what_is_under_it() {
    for (left, dark) in [(MINUTE * 11, false), (MINUTE * 12 * 60, true)] {
        let window = window_of(resting(), &Around::default());
        let wash = middle(&window, "Wash done");
        left_alone(&window, left);
        assert_eq!(shown(&window) == PageName::Dark, dark);
        let lit = || {
            let wall = window.off.screen().wall();
            wall.global::<GlassView>().get_lit()
        };
        assert_eq!(lit() < 1.0, !dark, "{}", lit());
        // However long it lasts: the light comes on under the finger.
        touch(&window, wash, Duration::from_millis(1500));
        assert_eq!(washes(&window.around), 0);
        assert_eq!((shown(&window), lit()), (PageName::Fill, 1.0));
        let at = middle(&window, "Wash done");
        touch(&window, at, Duration::from_millis(120));
        assert_eq!(washes(&window.around), 1);
    }
}

#[test]
fn a_key_or_a_scanner_wakes_it_and_nothing_else() {
    let window = window_of(resting(), &Around::default());
    left_alone(&window, MINUTE * 11);
    // A scanner types a tag, its digits and signs one behind the other.
    for key in ["4", "+", "7", "+", "\n"] {
        window.off.key(key);
        window.wait(Duration::from_millis(20));
    }
    assert_eq!(washes(&window.around), 0);
    assert_eq!(page(&window), Page::Fill);
    window.wait(Duration::from_millis(450));
    window.off.key("+");
    assert_eq!(washes(&window.around), 1);
}

#[test]
fn a_glass_that_is_wiped_feels_nothing() {
    let window = window_of(setup(Profile::Seven800), &Around::default());
    let wash = middle(&window, "Wash done");
    window.press(&["Menu", "Wipe the glass"]);
    assert_eq!(page(&window), Page::Wipe);
    assert!(window.labels().is_empty(), "{:?}", window.labels());
    window.around.ears.take();
    for place in [wash, Position::new(60.0, 60.0), Position::new(400.0, 240.0)] {
        touch(&window, place, Duration::from_millis(200));
    }
    assert_eq!(window.around.ears.take(), [], "no click either");
    assert_eq!((page(&window), washes(&window.around)), (Page::Wipe, 0));
    // A cloth that is still there when the time is over.
    let glass = window.off.screen().glass();
    window.wait(WIPE_TIME - Duration::from_millis(3 * 650 + 200 + 500));
    assert_eq!(page(&window), Page::Wipe);
    glass.deliver(Contact::new(0, wash.x, wash.y, Phase::Started), glass.now());
    window.wait(Duration::from_millis(1500));
    assert_eq!(page(&window), Page::Fill);
    glass.deliver(Contact::new(0, wash.x, wash.y, Phase::Ended), glass.now());
    window.wait(Duration::from_millis(200));
    assert_eq!(washes(&window.around), 0);
    window.press(&["Wash done"]);
    assert_eq!(washes(&window.around), 1);
}

#[test]
fn targets_follow_where_the_picture_creeps() {
    let window = window_of(setup(Profile::Seven800), &Around::default());
    let at = middle(&window, "Wash done");
    for _ in 0..8 {
        left_alone(&window, MINUTE * 3);
    }
    let creep = window.off.screen().with_bay(|bay| bay.picture_at());
    let creep = creep.expect("a bay");
    let moved = middle(&window, "Wash done");
    assert_eq!(
        (moved.x - at.x, moved.y - at.y),
        (creep.x as f32, creep.y as f32)
    );
    assert_ne!((creep.x, creep.y), (0, 0));
    window.press(&["Wash done"]);
    assert_eq!(washes(&window.around), 1);
}

#[test]
fn a_panel_that_stands_upright_shows_no_figure_and_takes_nothing() {
    let window = window_of(setup(Profile::Seven800), &Around::default());
    let wall = window.off.screen().wall();
    assert!(!wall.get_stands());
    let size = |width: u32, height: u32| {
        wall.window()
            .set_size(slint::PhysicalSize::new(width, height));
        wall.window()
            .dispatch_event(slint::platform::WindowEvent::Resized {
                size: slint::LogicalSize::new(width as f32, height as f32),
            });
    };
    size(480, 800);
    assert!(wall.get_stands());
    let words = |words: &str| {
        let all = i_slint_backend_testing::ElementQuery::from_root(wall)
            .match_inherits("Para")
            .find_all();
        all.iter()
            .filter_map(|para| para.accessible_label())
            .any(|label| label.contains(words))
    };
    assert!(words("This panel stands upright."));
    // Home is still there behind the words.
    let wash = middle(&window, "Wash done");
    assert!(wash.x < 480.0, "{wash:?}");
    touch(&window, wash, Duration::from_millis(200));
    window.off.key("+");
    assert_eq!(washes(&window.around), 0);
    size(800, 480);
    assert!(!wall.get_stands() && !words("This panel stands upright."));
    window.press(&["Wash done"]);
    assert_eq!(washes(&window.around), 1);
}
