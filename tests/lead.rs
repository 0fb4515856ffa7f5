//! The shift lead's side: who gets in, for how long, and that nobody is kept from filling by it. And
//! help, which leads back to where it was asked for.

mod common;

use common::anything::{Does, Yard, anybody, anything};
use common::hands::{Wall, keys};
use common::lead::{PIN, entered, every_page, let_in_to};
use common::window::{Window, window, window_of};
use common::{Around, Heard, setup, walk};
use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::day::DayAction;
use fillcall::bay::editing::EditAction;
use fillcall::bay::lead::{LeadAction, PinStage, PinTold, lead_only};
use fillcall::bay::offer::Offer;
use fillcall::bay::ports::{LockCause, OnlyToLookAt};
use fillcall::bay::records::{
    FillHow, Happening, LeadAccess, Scope, SoundChoice, SprayerPast, Step,
};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Profile;
use fillcall::bay::stopwatch::Watch;
use fillcall::screens::generated::{FillView, HelpView, Mark, MenuView};
use fillcall::store::lead_lock::{Cost, FORGET_FILE, FileLock, PIN_FILE};
use fillcall::trade::calibration::Way;
use fillcall::trade::chemical::Target;
use fillcall::trade::days_strength::{Allowed, allowed};
use fillcall::trade::language::Language;
use fillcall::trade::reminder::Standing;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use slint::{ComponentHandle, Model};
use std::cell::Cell;
use std::time::Duration;

fn bay() -> (Around, Runner) {
    let around = Around::default();
    let runner = around.runner(setup(Profile::Seven800));
    (around, runner)
}

fn do_all(runner: &mut Runner, actions: impl IntoIterator<Item = Action>) {
    actions.into_iter().for_each(|action| runner.act(action));
}

/// Opens the page for the PIN and enters one.
fn try_pin(runner: &mut Runner, pin: &str) {
    runner.act(Action::Show(Page::Lead));
    do_all(runner, entered(pin));
}

fn pass(around: &Around, runner: &mut Runner, seconds: u64) {
    for _ in 0..seconds {
        around.clock.go_on(Duration::from_secs(1));
        runner.act(Action::Tick);
    }
}

/// What was kept of getting in and out, in order.
fn accesses(around: &Around) -> Vec<LeadAccess> {
    let kept = around.records.0.borrow();
    kept.happenings
        .iter()
        .filter_map(|(_, happening)| match happening {
            Happening::Lead(access) => Some(*access),
            _ => None,
        })
        .collect()
}

fn notice(runner: &Runner) -> String {
    runner
        .bay()
        .notice()
        .map_or(String::new(), |n| n.text.to_string())
}

// ---- The PIN ---------------------------------------------------------------------------------

#[test]
fn the_first_pin_is_chosen_and_typed_twice() {
    let (around, mut runner) = bay();
    around.lock.0.borrow_mut().pin = None;
    runner.act(Action::Show(Page::Lead));
    assert_eq!(runner.bay().page(), Page::Pin);
    assert_eq!(runner.bay().pin_stage(), PinStage::Choose);
    do_all(&mut runner, entered("12"));
    assert_eq!(runner.bay().pin_told(), Some(PinTold::TooShort));
    do_all(&mut runner, entered("34"));
    assert_eq!(runner.bay().pin_stage(), PinStage::Again);
    do_all(&mut runner, entered("1243"));
    assert_eq!(runner.bay().pin_told(), Some(PinTold::Differed));
    assert_eq!(runner.bay().pin_stage(), PinStage::Choose);
    assert!(around.lock.0.borrow().pin.is_none() && !runner.bay().lead_is_in());
    // What was chosen before the slip is no part of the second try.
    do_all(&mut runner, entered("0042").chain(entered("0042")));
    assert_eq!(runner.bay().page(), Page::Lead);
    assert_eq!(around.lock.0.borrow().pin.as_deref(), Some("0042"));
    assert_eq!(accesses(&around), [LeadAccess::PinSet, LeadAccess::LetIn]);
}

#[test]
fn the_pin_leads_on_to_where_one_wanted() {
    for page in every_page().filter(|page| lead_only(*page)) {
        let (_, mut runner) = bay();
        runner.act(Action::Show(page));
        assert_eq!(runner.bay().page(), Page::Pin, "{page:?}");
        do_all(&mut runner, entered(PIN));
        assert_eq!(runner.bay().page(), page);
    }
    let (_, mut runner) = bay();
    for page in every_page().filter(|page| !lead_only(*page)) {
        runner.act(Action::Show(page));
        assert_ne!(runner.bay().page(), Page::Pin, "{page:?} is everybody's");
    }
}

#[test]
fn another_pin_is_chosen_in_the_session_alone() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Lead);
    runner.act(Action::Lead(LeadAction::ChangePin));
    do_all(&mut runner, entered(PIN));
    do_all(&mut runner, entered("99887766").chain(entered("99887766")));
    assert_eq!(runner.bay().page(), Page::Lead);
    assert_eq!(notice(&runner), "The PIN is changed.");
    assert_eq!(accesses(&around), [LeadAccess::LetIn, LeadAccess::PinSet]);
    runner.act(Action::Lead(LeadAction::Leave));
    try_pin(&mut runner, PIN);
    assert!(!runner.bay().lead_is_in());
    do_all(&mut runner, entered("99887766"));
    assert!(runner.bay().lead_is_in());
    // The session ends between the two times: whoever stands there then changes nothing.
    runner.act(Action::Lead(LeadAction::ChangePin));
    do_all(&mut runner, entered("99887766").chain(entered("1111")));
    around.clock.go_on(Duration::from_secs(301));
    do_all(&mut runner, entered("1111"));
    assert_eq!(around.lock.0.borrow().pin.as_deref(), Some("99887766"));
    assert_eq!(runner.bay().page(), Page::Fill);
}

#[test]
fn whoever_finds_it_open_does_not_take_the_pin_over() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Lead);
    runner.act(Action::Lead(LeadAction::ChangePin));
    assert_eq!(runner.bay().pin_stage(), PinStage::Old);
    // Two are mistakes; from the third on there is a wait, as where one wants to come in.
    for wait in [None, None, Some(Duration::from_secs(5))] {
        do_all(&mut runner, entered("0000"));
        assert_eq!(runner.bay().pin_told(), Some(PinTold::Wrong));
        assert_eq!(runner.bay().pin_wait(), wait);
    }
    let tries = around.lock.0.borrow().tries;
    do_all(&mut runner, entered(PIN));
    assert_eq!(runner.bay().pin_stage(), PinStage::Old, "not looked at");
    assert_eq!(around.lock.0.borrow().tries, tries);
    let wrong = accesses(&around).into_iter();
    assert_eq!(wrong.filter(|a| *a == LeadAccess::Refused).count(), 3);
    // Nor by leaving and asking anew.
    do_all(
        &mut runner,
        [Action::Back, Action::Lead(LeadAction::ChangePin)],
    );
    assert_eq!(runner.bay().pin_wait(), Some(Duration::from_secs(5)));
    pass(&around, &mut runner, 5);
    do_all(&mut runner, (0..8).map(|_| Action::Pad(PadKey::Back)));
    do_all(&mut runner, entered(PIN));
    assert_eq!(runner.bay().pin_stage(), PinStage::Choose);
    do_all(&mut runner, entered("2468").chain(entered("2468")));
    assert_eq!(around.lock.0.borrow().pin.as_deref(), Some("2468"));
}

#[test]
fn that_there_is_no_pin_yet_is_seen_on_the_menu() {
    let around = Around::default();
    around.lock.0.borrow_mut().pin = None;
    let window = window_of(setup(Profile::Seven800), &around);
    let tells = || {
        let menu = window.off.screen().wall().global::<MenuView>();
        menu.get_without_pin()
    };
    window.press(&["Menu"]);
    assert!(tells());
    window.press(&["Shift lead"]);
    window.act(entered("2468").chain(entered("2468")));
    window.act([Action::Show(Page::Menu)]);
    assert!(!tells());
    // Taken away by the file for that, it is missing again.
    around.lock.0.borrow_mut().asked_to_forget = true;
    window.act([
        Action::Lead(LeadAction::Leave),
        Action::Show(Page::Lead),
        Action::Back,
        Action::Show(Page::Menu),
    ]);
    assert!(tells());
}

#[test]
fn wrong_pins_slow_down_and_keep_nobody_from_filling() {
    let (around, mut runner) = bay();
    runner.act(Action::ChooseSprayer("pump".into()));
    runner.act(Action::Show(Page::Lead));
    for told in 1..=2 {
        do_all(&mut runner, entered("0000"));
        assert_eq!(runner.bay().pin_told(), Some(PinTold::Wrong), "{told}");
        assert_eq!(runner.bay().pin_wait(), None);
    }
    let mut wait = 5;
    for wrong in 3..=12 {
        do_all(&mut runner, entered("0000"));
        assert_eq!(
            runner.bay().pin_wait(),
            Some(Duration::from_secs(wait)),
            "after {wrong}"
        );
        // Not even the right one is looked at meanwhile.
        let tries = around.lock.0.borrow().tries;
        do_all(&mut runner, entered(PIN));
        assert!(!runner.bay().lead_is_in());
        assert_eq!(around.lock.0.borrow().tries, tries);
        // Whoever wants to fill, or to hear it, does.
        do_all(&mut runner, [Action::Back, Action::Filled, Action::SayFill]);
        assert_eq!(runner.bay().page(), Page::Fill);
        let kept = around.records.0.borrow().happenings.last().cloned();
        assert!(matches!(kept, Some((_, Happening::Fill(_)))), "{kept:?}");
        // And the wait goes down all the same, to the last second.
        pass(&around, &mut runner, wait - 1);
        assert_eq!(runner.bay().pin_wait(), Some(Duration::from_secs(1)));
        pass(&around, &mut runner, 1);
        assert_eq!(runner.bay().pin_wait(), None);
        runner.act(Action::Show(Page::Lead));
        wait = (2 * wait).min(300);
    }
    do_all(&mut runner, entered(PIN));
    assert!(runner.bay().lead_is_in());
    let mut all = vec![LeadAccess::Refused; 12];
    all.push(LeadAccess::LetIn);
    assert_eq!(accesses(&around), all);
    // The next slip is a first one.
    runner.act(Action::Lead(LeadAction::Leave));
    try_pin(&mut runner, "0000");
    assert_eq!(runner.bay().pin_wait(), None);
}

#[test]
fn a_restart_gives_no_tries_for_nothing() {
    let mut wall = Wall::new(setup(Profile::Seven800));
    wall.act(Action::Show(Page::Lead));
    for _ in 0..4 {
        wall.acts(entered("0000"));
        wall.around.clock.go_on(Duration::from_secs(10));
    }
    wall.restart();
    assert_eq!(wall.bay().pin_wait(), Some(Duration::from_secs(10)));
    wall.act(Action::Show(Page::Lead));
    wall.acts(entered(PIN));
    assert!(!wall.bay().lead_is_in());
    wall.around.clock.go_on(Duration::from_secs(10));
    wall.act(Action::Tick);
    wall.acts(entered("0000"));
    assert_eq!(wall.bay().pin_wait(), Some(Duration::from_secs(20)));
    wall.around.clock.go_on(Duration::from_secs(20));
    wall.act(Action::Show(Page::Lead));
    wall.acts(entered(PIN));
    assert!(wall.bay().lead_is_in());
    // Let in: nothing is left of them. And nobody is in after a restart.
    wall.restart();
    assert_eq!(wall.bay().pin_wait(), None);
    assert!(!wall.bay().lead_is_in());
}

#[test]
fn what_cannot_be_kept_lets_nobody_in_and_gives_no_tries() {
    let (around, mut runner) = bay();
    around.records.0.borrow_mut().fails = true;
    try_pin(&mut runner, PIN);
    assert!(!runner.bay().lead_is_in());
    assert!(
        notice(&runner).contains("was not opened"),
        "{}",
        notice(&runner)
    );
    for _ in 0..3 {
        do_all(&mut runner, entered("0000"));
    }
    assert_eq!(runner.bay().pin_wait(), Some(Duration::from_secs(5)));
    around.records.0.borrow_mut().fails = false;
    pass(&around, &mut runner, 5);
    do_all(&mut runner, entered(PIN));
    assert!(runner.bay().lead_is_in());
    // Who leaves must not leave it open.
    around.records.0.borrow_mut().fails = true;
    runner.act(Action::Lead(LeadAction::Leave));
    assert!(!runner.bay().lead_is_in());
    assert!(
        notice(&runner).contains("disk is full"),
        "{}",
        notice(&runner)
    );
}

#[test]
fn a_lock_that_cannot_be_read_is_told_and_opens_nothing() {
    let (around, mut runner) = bay();
    around.lock.0.borrow_mut().fails = true;
    runner.act(Action::Show(Page::Lead));
    assert_eq!(runner.bay().page(), Page::Fill);
    // In words that have a translation, and no file's own.
    assert_eq!(notice(&runner), LockCause::File.words().to_string());
    // It fails while somebody chooses a PIN.
    around.lock.0.borrow_mut().fails = false;
    around.lock.0.borrow_mut().pin = None;
    runner.act(Action::Show(Page::Lead));
    do_all(&mut runner, entered("1234"));
    around.lock.0.borrow_mut().fails = true;
    do_all(&mut runner, entered("1234"));
    assert!(!runner.bay().lead_is_in());
    assert_eq!(accesses(&around), []);
}

#[test]
fn the_file_for_it_takes_a_forgotten_pin_away() {
    let folder = tempfile::tempdir().expect("a folder");
    let around = Around::default();
    let lock = || FileLock::at_cost(folder.path(), Cost::TEST);
    let mut runner = {
        let setup = setup(Profile::Seven800);
        let bay = Bay::open(setup, Box::new(around.records.clone()), around.clock.now());
        let bay = bay.expect("the bay opens");
        let bay = bay.with_lead(Box::new(OnlyToLookAt), Box::new(lock()));
        Runner::new(
            bay,
            Box::new(around.ears.clone()),
            Box::new(around.clock.clone()),
        )
    };
    runner.act(Action::Show(Page::Lead));
    do_all(&mut runner, entered("31415926").chain(entered("31415926")));
    assert!(runner.bay().lead_is_in());
    let hash = std::fs::read_to_string(folder.path().join(PIN_FILE)).expect("the file");
    assert!(!hash.contains("31415926"), "{hash}");
    runner.act(Action::Lead(LeadAction::Leave));
    for _ in 0..9 {
        runner.act(Action::Show(Page::Lead));
        do_all(&mut runner, entered("2718"));
        pass(&around, &mut runner, 300);
    }
    assert!(!runner.bay().lead_is_in());
    try_pin(&mut runner, "2718");
    assert!(runner.bay().pin_wait().is_some());

    std::fs::write(folder.path().join(FORGET_FILE), "").expect("asked for");
    runner.act(Action::Back);
    runner.act(Action::Show(Page::Lead));
    assert_eq!(runner.bay().pin_stage(), PinStage::Choose);
    assert_eq!(runner.bay().pin_wait(), None, "nothing to wait for");
    let left = std::fs::read_dir(folder.path())
        .expect("the folder")
        .count();
    assert_eq!(left, 0, "both files are gone");
    assert_eq!(accesses(&around).last(), Some(&LeadAccess::PinTakenAway));
    do_all(&mut runner, entered("2718").chain(entered("2718")));
    assert!(runner.bay().lead_is_in());
}

// ---- The session -----------------------------------------------------------------------------

#[test]
fn it_closes_by_itself_and_says_so_at_home() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Lead);
    pass(&around, &mut runner, 50);
    assert_eq!(runner.bay().lead_left(), Some(Duration::from_secs(250)));
    // A touch on it begins the time anew; home a minute later, as every page.
    runner.act(Action::Touched);
    assert_eq!(runner.bay().lead_left(), Some(Duration::from_secs(300)));
    pass(&around, &mut runner, 61);
    assert_eq!(runner.bay().page(), Page::Fill);
    assert!(runner.bay().lead_is_in());
    // Operators who work on do not keep it open.
    for _ in 0..238 {
        runner.act(Action::Touched);
        pass(&around, &mut runner, 1);
    }
    assert!(runner.bay().lead_is_in());
    pass(&around, &mut runner, 1);
    assert!(!runner.bay().lead_is_in());
    assert_eq!(
        notice(&runner),
        "The shift lead's side was closed: nobody used it."
    );
    assert_eq!(accesses(&around), [LeadAccess::LetIn, LeadAccess::Left]);
    runner.act(Action::Show(Page::Lead));
    assert_eq!(runner.bay().page(), Page::Pin);
}

#[test]
fn a_press_at_the_very_end_does_nothing_elsewhere() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Loudspeakers);
    let kept = around.records.0.borrow().happenings.len();
    // No tick came between.
    around.clock.go_on(Duration::from_secs(300));
    runner.act(Action::ChooseLoudspeaker(Some("USB".into())));
    assert_eq!(runner.bay().page(), Page::Fill);
    assert_eq!(runner.bay().loudspeaker(), None);
    assert_eq!(around.records.0.borrow().happenings.len(), kept + 1);
    assert_eq!(accesses(&around).last(), Some(&LeadAccess::Left));
}

#[test]
fn it_is_closed_after_the_stopwatch_not_into_it() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Lead);
    do_all(
        &mut runner,
        [Action::Show(Page::Fill), Action::CalibrateBy(Way::RunDry)],
    );
    do_all(&mut runner, keys("820"));
    do_all(&mut runner, [Action::NextStep, Action::NextStep]);
    let start = || Action::StartStop {
        ago: Duration::ZERO,
    };
    runner.act(start());
    let before = accesses(&around);
    around.ears.take();
    pass(&around, &mut runner, 400);
    assert_ne!(runner.bay().watch(), Watch::Still);
    assert!(!runner.bay().lead_is_in(), "over all the same");
    runner.act(Action::ChooseLoudspeaker(None));
    let refused = Heard::Tone(fillcall::bay::ports::Tone::Refused);
    assert!(!around.ears.take().contains(&refused));
    assert_eq!(accesses(&around), before, "nothing is written meanwhile");
    runner.act(start());
    pass(&around, &mut runner, 1);
    assert_eq!(accesses(&around).last(), Some(&LeadAccess::Left));
    assert_eq!(runner.bay().page(), Page::Calibrate, "nobody is sent away");
}

fn page(window: &Window) -> Page {
    let page = window.off.screen().with_bay(Bay::page);
    page.expect("a bay")
}

#[test]
fn by_presses_in_with_the_pin_and_out_with_a_hold() {
    let window = window(Profile::Seven800);
    window.press(&["Menu", "Shift lead"]);
    assert_eq!(page(&window), Page::Pin);
    let open = window.off.button("Open").expect("there");
    assert_eq!(open.accessible_enabled(), Some(false), "nothing typed");
    walk::type_in(&window, "47119");
    window.press(&["Erase", "Open"]);
    assert_eq!(page(&window), Page::Lead);
    window.press(&["Leave the shift lead's side"]);
    assert_eq!(page(&window), Page::Lead, "a tap is not a hold");
    window.hold("Leave the shift lead's side");
    assert_eq!(page(&window), Page::Fill);
    assert_eq!(
        accesses(&window.around),
        [LeadAccess::LetIn, LeadAccess::Left]
    );
    // The keys of a USB pad type it as well.
    window.act([Action::CloseNotice, Action::Show(Page::Lead)]);
    for key in PIN.chars() {
        window.off.key(key.to_string());
    }
    window.wait(Duration::from_millis(400));
    window.off.key("\n");
    assert_eq!(page(&window), Page::Lead);
}

#[test]
fn every_tile_leads_there_and_the_session_stays() {
    for (tile, leads_to) in [
        ("The day's chemical", Page::Day),
        ("Change the bay", Page::Edit),
        ("Changes of the bay", Page::Changes),
        ("Records", Page::Reports),
        ("Stock", Page::Stock),
        ("The panel that the wall runs on", Page::Panel),
        ("Clock and soundness of the records", Page::Clock),
        ("Change the PIN", Page::Pin),
    ] {
        let window = window(Profile::Ten1280);
        window.act([Action::Show(Page::Lead)]);
        window.act(entered(PIN));
        window.press(&[tile]);
        assert_eq!(page(&window), leads_to, "{tile}");
        let is_in = window.off.screen().with_bay(Bay::lead_is_in);
        assert_eq!(is_in, Some(true), "{tile}");
    }
}

// ---- The clock -------------------------------------------------------------------------------

/// A bay in which a wash was counted while the clock stood five years ahead.
fn with_a_future_record() -> (Around, Runner) {
    let (around, mut runner) = bay();
    let ahead = Duration::from_secs(5 * 365 * 86_400);
    around.clock.go_on(ahead);
    runner.act(Action::WashDone);
    around.clock.set_back(ahead);
    runner.act(Action::Tick);
    (around, runner)
}

#[test]
fn a_clock_that_was_in_the_future_is_put_right_by_the_lead_and_by_nobody_else() {
    let (around, mut runner) = with_a_future_record();
    assert!(!runner.bay().clock_is_plausible());
    let newest = runner.bay().newest_beyond_the_clock().expect("wrong");
    let put_right = |around: &Around| {
        let kept = around.records.0.borrow();
        let all = kept.happenings.iter().filter_map(|(at, what)| match what {
            Happening::ClockPutRight { newest } => Some((*at, *newest)),
            _ => None,
        });
        all.collect::<Vec<_>>()
    };
    let right = Action::Lead(LeadAction::ClockIsRight);
    runner.act(right.clone());
    assert!(!runner.bay().clock_is_plausible() && put_right(&around).is_empty());
    let_in_to(&mut runner, Page::Clock);
    assert_eq!(runner.bay().page(), Page::Clock);
    around.records.0.borrow_mut().fails = true;
    runner.act(right.clone());
    assert!(!runner.bay().clock_is_plausible(), "not kept, not believed");
    assert!(
        notice(&runner).contains("was not put right"),
        "{}",
        notice(&runner)
    );
    around.records.0.borrow_mut().fails = false;
    runner.act(right.clone());
    assert!(runner.bay().clock_is_plausible());
    assert_eq!(put_right(&around), [(around.clock.now().wall, newest)]);
    // Once is enough.
    runner.act(right);
    assert_eq!(put_right(&around).len(), 1);
    // And it goes back again where the clock does.
    around.clock.set_back(Duration::from_secs(3600));
    runner.act(Action::Tick);
    assert!(!runner.bay().clock_is_plausible());
}

#[test]
fn a_wrong_clock_is_told_at_home_and_where_it_is_put_right() {
    let window = window(Profile::Seven800);
    window.press(&["Calibrate"]);
    walk::calibrate(&window, 104, 14, ".7");
    window.hold("Save");
    window.act([Action::CloseNotice]);
    let home = || {
        let view = window.off.screen().wall().global::<FillView>();
        (view.get_care(), view.get_care_note().to_string())
    };
    assert_eq!(home(), (Mark::None, "calibrate at 6".into()));
    let ahead = Duration::from_secs(5 * 365 * 86_400);
    window.around.clock.go_on(ahead);
    window.act([Action::WashDone, Action::CloseNotice]);
    window.around.clock.set_back(ahead);
    window.act([Action::Tick]);
    assert_eq!(home(), (Mark::Due, "clock wrong".into()));
    window.act([Action::Show(Page::Clock)]);
    window.act(entered(PIN));
    window.press(&["The time shown is right"]);
    window.act([Action::Tick]);
    assert_eq!(home().1, "clock wrong", "a tap is not a hold");
    window.hold("The time shown is right");
    window.act([
        Action::CloseNotice,
        Action::Back,
        Action::Back,
        Action::Back,
    ]);
    assert_eq!(home(), (Mark::None, "calibrate at 6".into()));
}

#[test]
fn a_calibration_of_a_clock_in_the_future_ages_from_when_it_was_put_right() {
    let around = Around::default();
    let mut setup = setup(Profile::Seven800);
    setup.limits.days = Some(30);
    let future = around.clock.now().wall + chrono::TimeDelta::days(1800);
    let Happening::Calibrated(record) = common::week::calibrated("lance-1", 14_700.0, future)
    else {
        panic!("a calibration");
    };
    let past = SprayerPast {
        calibration: Some(record),
        ..SprayerPast::default()
    };
    {
        let mut kept = around.records.0.borrow_mut();
        kept.past.sprayers.insert("lance-1".into(), past);
        kept.past.newest = Some(future);
    }
    let mut runner = around.runner(setup);
    let told = notice(&runner);
    assert!(
        told.contains("The clock shows") && told.contains("the newest record"),
        "told at the start: {told}"
    );
    assert_eq!(runner.bay().age("lance-1").and_then(|age| age.days), None);
    let_in_to(&mut runner, Page::Clock);
    runner.act(Action::Lead(LeadAction::ClockIsRight));
    assert_eq!(
        runner.bay().age("lance-1").and_then(|age| age.days),
        Some(0)
    );
    around.clock.go_on(Duration::from_secs(31 * 86_400));
    runner.act(Action::Tick);
    assert_eq!(
        runner.bay().age("lance-1").and_then(|age| age.days),
        Some(31)
    );
    let lance = &runner.bay().setup().sprayers[0];
    assert_eq!(runner.bay().standing(lance), Standing::Due);
}

// ---- Nothing of the shift lead's without the PIN ---------------------------------------------

/// What only the shift lead does, as it is kept.
fn is_the_leads(happening: &Happening) -> bool {
    match happening {
        Happening::DaySet { .. } | Happening::DayUndone(_) | Happening::SetupChanged(_) => true,
        Happening::SoundChosen(choice) => matches!(choice, SoundChoice::Loudspeaker(_)),
        Happening::Lead(access) => *access != LeadAccess::Refused,
        Happening::ClockPutRight { .. } => true,
        _ => false,
    }
}

fn kept_from(around: &Around, count: usize) -> Vec<Happening> {
    let kept = around.records.0.borrow();
    kept.happenings[count..]
        .iter()
        .map(|(_, h)| h.clone())
        .collect()
}

fn count(around: &Around) -> usize {
    around.records.0.borrow().happenings.len()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is pressed in whatever order: without the PIN nothing of the shift lead's is done.
    #[test]
    fn nobody_gets_in_without_the_pin(
        actions in prop::collection::vec((anything(), 0u64..20), 1..60)
    ) {
        let mut yard = Yard::open();
        let setup = yard.bay().setup().clone();
        // Longer than what chance types.
        yard.around.lock.0.borrow_mut().pin = Some("31415926".into());
        for (action, seconds) in actions {
            let refused = yard.bay().lead_only_action(&action);
            let before = count(&yard.around);
            yard.does(&Does::Acts(action.clone()));
            if refused {
                prop_assert_eq!(count(&yard.around), before, "{:?}", action);
            }
            prop_assert!(!yard.bay().lead_is_in(), "{:?}", action);
            prop_assert!(!lead_only(yard.bay().page()), "{:?}", action);
            prop_assert_eq!(yard.bay().loudspeaker(), None);
            yard.does(&Does::Passes(seconds));
        }
        prop_assert_eq!(yard.bay().setup(), &setup);
        let pin = yard.around.lock.0.borrow().pin.clone();
        prop_assert_eq!(pin.as_deref(), Some("31415926"));
        prop_assert!(!kept_from(&yard.around, 0).iter().any(is_the_leads));
    }
}

/// Which chemical at which strength each sprayer has.
fn aims(bay: &Bay) -> Vec<(String, Target)> {
    let sprayers = bay.setup().sprayers.iter();
    sprayers
        .map(|sprayer| {
            let chemical = bay.chemical_for(&sprayer.id);
            (chemical.id.clone(), chemical.target)
        })
        .collect()
}

/// No strength in use is outside of what the set-up allows, but what the lead was asked about.
fn keeps_to_the_band(bay: &Bay) -> Result<(), TestCaseError> {
    for sprayer in &bay.setup().sprayers {
        let chemical = bay.chemical_for(&sprayer.id);
        let usual = bay.setup().chemical(&chemical.id).expect("of the set-up");
        if let Target::OnVehicle(strength) = chemical.target {
            let stands = allowed(usual, strength);
            let asked = bay.day_setting_for(&sprayer.id).map(|set| set.allowed);
            prop_assert!(
                stands == Allowed::Freely || asked == Some(stands),
                "{:?}",
                strength
            );
        }
    }
    Ok(())
}

/// What the whole run of a property test came to: it must not pass for having tried nothing.
#[derive(Debug, Default)]
struct Tried {
    set: Cell<u32>,
    outside: Cell<u32>,
    undone: Cell<u32>,
    set_up: Cell<u32>,
    filled: Cell<u32>,
    refused: Cell<u32>,
}

fn one_more(count: &Cell<u32>) {
    count.set(count.get() + 1);
}

fn one_thing_after_the_other(all: &[Does], tried: &Tried) -> Result<(), TestCaseError> {
    let mut yard = Yard::open();
    for does in all {
        let before = count(&yard.around);
        let (aimed, setup) = (aims(yard.bay()), yard.bay().setup().clone());
        let (was_in, offer) = (yard.bay().lead_is_in(), yard.bay().offer());
        let date = yard.around.clock.now().wall.date_naive();
        let gated = match does {
            Does::Acts(action) => yard.bay().lead_only_action(action) && !was_in,
            _ => false,
        };
        yard.does(does);
        let new = kept_from(&yard.around, before);
        let any = |of: &dyn Fn(&Happening) -> bool| new.iter().any(of);
        // Only with the PIN. It is given by whoever comes in, and by nobody who only presses keys.
        if !was_in && !does.gives_the_pin() {
            prop_assert!(!any(&is_the_leads), "{:?}: {:?}", does, new);
            prop_assert!(!yard.bay().lead_is_in(), "{:?}", does);
        }
        prop_assert!(
            yard.bay().lead_is_in() || !lead_only(yard.bay().page()),
            "{:?}",
            does
        );
        if gated {
            prop_assert!(new.is_empty(), "{:?}: {:?}", does, new);
            one_more(&tried.refused);
        }
        // No other strength, and no other set-up, without a record of it.
        let set_up = any(&|h| matches!(h, Happening::SetupChanged(_)));
        prop_assert!(
            set_up || *yard.bay().setup() == setup,
            "{:?} changed the set-up",
            does
        );
        let told = set_up
            || any(&|h| {
                matches!(
                    h,
                    Happening::DaySet { .. }
                        | Happening::DayUndone(_)
                        | Happening::ChemicalChosen { .. }
                )
            });
        let same_day = yard.around.clock.now().wall.date_naive() == date;
        prop_assert!(
            told || !same_day || aims(yard.bay()) == aimed,
            "{:?} changed it silently",
            does
        );
        keeps_to_the_band(yard.bay())?;
        for happening in &new {
            match happening {
                Happening::DaySet { setting, .. } => {
                    one_more(&tried.set);
                    let outside = setting
                        .as_ref()
                        .is_some_and(|s| s.allowed != Allowed::Freely);
                    prop_assert!(!outside || does.confirms(), "{:?}", does);
                    if outside {
                        one_more(&tried.outside);
                    }
                }
                Happening::DayUndone(_) => one_more(&tried.undone),
                Happening::SetupChanged(_) => one_more(&tried.set_up),
                // A fresh fill is the one that was offered.
                Happening::Fill(fill) if fill.how == FillHow::Fresh => {
                    let Offer::Fill(plan) = &offer else {
                        return Err(TestCaseError::fail(format!("{fill:?} was not offered")));
                    };
                    prop_assert_eq!(fill.strength, plan.pour.strength);
                    one_more(&tried.filled);
                }
                _ => {}
            }
        }
    }
    Ok(())
}

#[test]
fn a_strength_set_for_the_bay_is_told_where_a_sprayer_has_a_setting_of_its_own() {
    // Found by the test below: the operator's acid was at the bay's strength, outside of its band, and
    // home did not tell, because it asked for the sprayer's own setting.
    let acts = |action| Does::Acts(Action::Day(action));
    let all = [
        Does::SetsTheDay("film".into(), 1, false),
        acts(DayAction::For(Scope::Sprayer("pump".into()))),
        acts(DayAction::Set),
        Does::Acts(Action::CloseNotice),
        Does::SetsTheDay("acid".into(), 3, true),
        Does::SetsTheDay("wheel".into(), 1, false),
        Does::Acts(Action::Undo),
        Does::Acts(Action::ChooseChemical("acid".into())),
    ];
    if let Err(fault) = one_thing_after_the_other(&all, &Tried::default()) {
        panic!("{fault}");
    }
}

/// No sequence of actions, sessions of the shift lead among them, changes a strength or the set-up
/// without a record of it, gets an operator past the band, or gets at the lead's side without the PIN.
#[test]
fn whoever_does_whatever_nothing_is_silent_and_nothing_the_leads_without_the_pin() {
    let config = ProptestConfig {
        cases: 96,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let tried = Tried::default();
    let any = prop::collection::vec(anybody(), 1..80);
    let mut tests = TestRunner::new(config);
    if let Err(fault) = tests.run(&any, |all| one_thing_after_the_other(&all, &tried)) {
        panic!("{fault}");
    }
    for of in [
        &tried.set,
        &tried.outside,
        &tried.undone,
        &tried.set_up,
        &tried.filled,
        &tried.refused,
    ] {
        assert!(of.get() > 0, "{tried:?}");
    }
}

#[test]
fn what_is_the_leads_is_named_by_itself() {
    let yard = Yard::open();
    let needs = |action: Action| yard.bay().lead_only_action(&action);
    for action in [
        Action::Edit(EditAction::Save),
        Action::Edit(EditAction::TakeBack(1)),
        Action::Day(DayAction::Set),
        Action::Day(DayAction::End),
        Action::ChooseLoudspeaker(None),
        Action::Lead(LeadAction::Leave),
    ] {
        assert!(needs(action.clone()), "{action:?}");
    }
    for action in [
        Action::Day(DayAction::Rinsed),
        Action::Lead(LeadAction::Enter),
        Action::Undo,
        Action::Filled,
    ] {
        assert!(!needs(action.clone()), "{action:?}");
    }
}

#[test]
fn a_change_of_the_set_up_is_taken_back_in_the_session_alone() {
    for leaves in [true, false] {
        let mut yard = Yard::open();
        yard.does(&Does::ComesIn(Page::Edit));
        let before = yard.bay().setup().clone();
        yard.does(&Does::SetsUp(5));
        assert_ne!(yard.bay().setup(), &before);
        let acts = |yard: &mut Yard, action| yard.does(&Does::Acts(action));
        if leaves {
            acts(&mut yard, Action::Lead(LeadAction::Leave));
            acts(&mut yard, Action::CloseNotice);
        }
        assert!(yard.bay().lead_only_action(&Action::Undo));
        acts(&mut yard, Action::Undo);
        assert_eq!(yard.bay().setup() == &before, !leaves);
    }
}

#[test]
fn what_is_everybodys_stays_everybodys() {
    let (_, mut runner) = bay();
    runner.act(Action::ChooseLanguage(Language::Spanish));
    assert_eq!(runner.bay().language(), Language::Spanish);
    let before = runner.bay().volume_percent();
    runner.act(Action::Softer);
    assert!(runner.bay().volume_percent() < before);
}

// ---- Help ------------------------------------------------------------------------------------

fn first_help(window: &Window) -> (String, String) {
    let pages = window.off.screen().wall().global::<HelpView>().get_pages();
    let first = pages.row_data(0).expect("a page");
    (first.title.into(), first.text.into())
}

/// What a person would find again.
fn state(bay: &Bay) -> String {
    format!(
        "{:?} {:?} {:?} {:?} {} {:?}",
        bay.page(),
        bay.calibrating()
            .map(|c| (c.step(), c.entered(), c.draft.clone())),
        bay.checking().map(|c| c.stage),
        bay.pin_stage(),
        bay.pin_digits(),
        bay.part(),
    )
}

#[test]
fn every_page_has_help_of_its_own_and_comes_back() {
    let window = window(Profile::Seven800);
    let mut titles = Vec::new();
    let mut help = |window: &Window| {
        let before = window.off.screen().with_bay(state);
        // The home screen's way is through the menu, which has a large button.
        match page(window) {
            Page::Fill => window.act([Action::Show(Page::Help)]),
            _ => window.press(&["Help"]),
        }
        assert_eq!(page(window), Page::Help, "{before:?}");
        let (title, text) = first_help(window);
        assert!(text.chars().count() > 80, "{title}: {text}");
        titles.push((before.clone(), title, text));
        window.press(&["Back"]);
        assert_eq!(window.off.screen().with_bay(state), before);
    };
    help(&window);
    for next in every_page() {
        window.act([Action::Show(next)]);
        if page(&window) == Page::Pin {
            walk::type_in(&window, "47");
            help(&window);
            walk::type_in(&window, "11");
            window.press(&["Open"]);
        }
        // Nothing is in the sprayer to be rinsed, and the bay is set up: these lead home.
        if page(&window) == Page::Fill && next != Page::Fill {
            assert!(matches!(next, Page::Rinse | Page::FirstRun), "{next:?}");
            continue;
        }
        help(&window);
    }
    let distinct: std::collections::BTreeSet<_> = titles.iter().map(|(_, _, text)| text).collect();
    assert_eq!(distinct.len(), titles.len(), "one text each: {titles:#?}");
    // What comes after it: cautions, safety, beeps, signals, and the rest; none of it twice.
    window.act([Action::Show(Page::Care), Action::Show(Page::Help)]);
    let pages = window.off.screen().wall().global::<HelpView>().get_pages();
    let all: Vec<String> = pages.iter().map(|page| page.title.into()).collect();
    assert_eq!(
        all,
        [
            "The sprayer's care",
            "Cautions",
            "Safety",
            "Beeps",
            "Signals",
            "Filling",
            "Calibrating",
            "Keys",
            "Hearing"
        ]
    );
}

#[test]
fn help_in_the_middle_of_a_calibration_loses_nothing() {
    let window = window(Profile::Seven800);
    window.press(&["Calibrate", "Timed"]);
    let mut seen = Vec::new();
    let mut help = |window: &Window| {
        let before = window.off.screen().with_bay(state);
        window.press(&["Help"]);
        seen.push(first_help(window).0);
        window.press(&["Back"]);
        assert_eq!(window.off.screen().with_bay(state), before);
    };
    walk::type_in(&window, "82");
    help(&window);
    walk::type_in(&window, "0");
    window.press(&["Next"]);
    help(&window);
    walk::type_in(&window, "60");
    window.press(&["Next"]);
    help(&window);
    window.press(&["It is full to the line"]);
    help(&window);
    window.press(&["Start"]);
    window.act([Action::Show(Page::Help)]);
    assert_eq!(page(&window), Page::Calibrate, "not while the watch runs");
    assert!(!window.labels().contains(&"Help".into()));
    walk::skip(&window, Duration::from_secs(5 + 61));
    walk::type_in(&window, "41");
    help(&window);
    walk::type_in(&window, "2");
    window.press(&["Next", "Add 1 L", "Add 1 L"]);
    help(&window);
    for _ in 0..8 {
        window.press(&["Add 1 L"]);
    }
    window.press(&["Type a part load"]);
    walk::type_in(&window, "9");
    help(&window);
    window.press(&["Full loads", "Next"]);
    help(&window);
    assert_eq!(
        seen,
        [
            "What it holds",
            "How long to run",
            "Fill to the line",
            "The run",
            "What is left",
            "What was caught",
            "What was caught",
            "The result"
        ]
    );
    // Left open, help gives way to what one was at, not to home.
    window.press(&["Help"]);
    walk::skip(&window, Duration::from_secs(61));
    assert_eq!(page(&window), Page::Calibrate);
    let step = window
        .off
        .screen()
        .with_bay(|bay| bay.calibrating().map(|c| c.step()));
    assert_eq!(step, Some(Some(Step::Review)));
}

#[test]
fn help_on_the_shift_leads_side_is_no_way_around_the_pin() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Changes);
    runner.act(Action::Show(Page::Help));
    // Help is touched: somebody is there.
    for _ in 0..6 {
        pass(&around, &mut runner, 55);
        runner.act(Action::Touched);
    }
    assert!(runner.bay().lead_is_in());
    runner.act(Action::Lead(LeadAction::Leave));
    runner.act(Action::Show(Page::Help));
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Fill);
    let_in_to(&mut runner, Page::Changes);
    runner.act(Action::Show(Page::Help));
    around.clock.go_on(Duration::from_secs(300));
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Fill);
    // Gone from what it was about: home, not an empty page.
    let (_, mut runner) = bay();
    do_all(
        &mut runner,
        [
            Action::CalibrateBy(Way::RunDry),
            Action::Show(Page::Help),
            Action::ThrowAway,
            Action::Show(Page::Help),
            Action::Back,
        ],
    );
    assert_eq!(runner.bay().page(), Page::Fill);
}

#[test]
fn help_from_a_check_leads_back_into_the_check() {
    let around = Around::default();
    let window = window_of(setup(Profile::Seven1024), &around);
    window.press(&["Calibrate"]);
    walk::calibrate(&window, 104, 14, ".7");
    window.hold("Save");
    window.press(&["Close"]);
    window.act([Action::Show(Page::Check)]);
    let mut seen = Vec::new();
    let mut help = |window: &Window| {
        let before = window.off.screen().with_bay(state);
        window.press(&["Help"]);
        seen.push(first_help(window).0);
        window.press(&["Back"]);
        assert_eq!(window.off.screen().with_bay(state), before);
    };
    help(&window);
    window.press(&["Clean water"]);
    help(&window);
    window.press(&["Start"]);
    walk::skip(&window, Duration::from_secs(5 + 104));
    window.press(&["Stop"]);
    help(&window);
    assert_eq!(
        seen,
        ["Timed check", "The check's run", "What the check found"]
    );
}
