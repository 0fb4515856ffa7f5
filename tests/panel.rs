//! The panel that the wall runs on: told on the glass as long as something is wrong with it, looked at on
//! the shift lead's side, and its clock set there.

mod common;

use common::lead::{PIN, entered, let_in_to};
use common::window::{Window, window_of};
use common::{Around, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::panel::{ClockField, Finding, PanelAction, Standing, State};
use fillcall::bay::ports::{ClockFault, ClockSet, Extent};
use fillcall::bay::records::Happening;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Panel, Profile, Voice};
use fillcall::screens::generated::{Theme, WallState};
use fillcall::text;
use slint::ComponentHandle;
use slint::platform::WindowEvent;
use std::time::Duration;

fn good(what: &'static str) -> Finding {
    Finding::good(what, text!("{}.", what))
}

fn wrong(what: &'static str, standing: Standing) -> Finding {
    Finding::wrong(what, text!("{}!", what), text!("mend {}", what)).standing(standing)
}

fn bay() -> (Around, Runner) {
    let around = Around::default();
    let runner = around.runner(setup(Profile::Seven800));
    (around, runner)
}

fn pass(around: &Around, runner: &mut Runner, seconds: u64) {
    for _ in 0..seconds {
        around.clock.go_on(Duration::from_secs(1));
        runner.act(Action::Tick);
    }
}

fn band(window: &Window) -> String {
    let state = window.off.screen().wall().global::<WallState>();
    state.get_standing().into()
}

#[test]
fn a_touch_panel_that_is_pulled_out_is_told_within_seconds_and_told_gone_when_it_is_back() {
    let (around, mut runner) = bay();
    around.panel.find([good("touch")]);
    pass(&around, &mut runner, 5);
    assert_eq!(runner.bay().panel_standing(), None);
    // The panel's events say that something changed.
    let plugged = Action::Panel(PanelAction::Plugged);
    around.panel.find([wrong("touch", Standing::NoTouch)]);
    runner.act(plugged.clone());
    pass(&around, &mut runner, 1);
    assert_eq!(runner.bay().panel_standing(), Some(Standing::NoTouch));
    // One that comes up slowly is not there yet when it is looked at first.
    runner.act(plugged);
    pass(&around, &mut runner, 1);
    around.panel.find([good("touch")]);
    pass(&around, &mut runner, 5);
    assert_eq!(runner.bay().panel_standing(), None);
    // And one of which nothing was said is found out all the same.
    around.panel.find([wrong("touch", Standing::NoTouch)]);
    pass(&around, &mut runner, 35);
    assert_eq!(runner.bay().panel_standing(), Some(Standing::NoTouch));
}

#[test]
fn the_event_of_a_device_is_seen_through_the_glass() {
    let around = Around::default();
    let window = window_of(setup(Profile::Seven800), &around);
    around.panel.find([good("touch")]);
    window.act([Action::Tick, Action::Tick]);
    around.panel.find([wrong("touch", Standing::NoTouch)]);
    window.off.screen().glass().plugged();
    window.wait(Duration::from_millis(1500));
    assert_eq!(band(&window), "No touch panel: push its plug home.");
}

#[test]
fn who_has_only_a_mouse_misses_no_touch_panel_and_who_had_one_does() {
    let mouse = || {
        Finding::warn("touch", text!("a mouse"), text!("push it home")).standing(Standing::NoTouch)
    };
    let (around, mut runner) = bay();
    around.panel.find([mouse()]);
    pass(&around, &mut runner, 10);
    assert_eq!(runner.bay().panel_standing(), None);
    around.panel.find([good("touch")]);
    pass(&around, &mut runner, 35);
    around.panel.find([mouse()]);
    pass(&around, &mut runner, 35);
    assert_eq!(runner.bay().panel_standing(), Some(Standing::NoTouch));
    // In a window there is nothing to look at.
    around
        .panel
        .find([Finding::not_here("touch", text!("a window"))]);
    pass(&around, &mut runner, 35);
    assert_eq!(runner.bay().panel_standing(), None);
}

#[test]
fn the_gravest_is_told_and_a_disk_that_keeps_nothing_before_a_wash_is_lost() {
    let (around, mut runner) = bay();
    around.panel.find([
        wrong("mixer", Standing::CardSilent),
        wrong("display", Standing::OtherDisplay),
        wrong("touch", Standing::NoTouch),
        wrong("disk", Standing::DiskReadOnly),
    ]);
    // At the start.
    runner.act(Action::Tick);
    runner.act(Action::Tick);
    let told = |runner: &Runner| runner.bay().panel_standing();
    assert_eq!(told(&runner), Some(Standing::DiskReadOnly));
    assert!(told(&runner).is_some_and(Standing::is_grave));
    around
        .panel
        .find([good("disk"), good("touch"), good("display")]);
    pass(&around, &mut runner, 35);
    // The card is looked at less often.
    assert_eq!(told(&runner), Some(Standing::CardSilent));
    around.panel.find([good("mixer")]);
    pass(&around, &mut runner, 300);
    assert_eq!(told(&runner), None);
    // And as it changes.
    around.panel.find([wrong("disk", Standing::DiskFull)]);
    pass(&around, &mut runner, 35);
    assert_eq!(told(&runner), Some(Standing::DiskFull));
    around.panel.find([
        wrong("records", Standing::RecordsGone),
        wrong("disk", Standing::DiskFull),
    ]);
    pass(&around, &mut runner, 35);
    assert_eq!(told(&runner), Some(Standing::RecordsGone));
}

#[test]
fn looks_are_cheap_and_one_that_hangs_is_not_begun_again_and_again() {
    let (around, mut runner) = bay();
    pass(&around, &mut runner, 600);
    let count = |around: &Around, extent| {
        let seat = around.panel.0.borrow();
        seat.looks.iter().filter(|look| **look == extent).count()
    };
    assert_eq!(count(&around, Extent::Inputs), 20);
    assert_eq!(count(&around, Extent::Disk), 20);
    assert_eq!(count(&around, Extent::Sound), 2);
    assert_eq!(count(&around, Extent::All), 0, "nobody asked for it");
    around.panel.0.borrow_mut().hangs = true;
    pass(&around, &mut runner, 300);
    assert!(count(&around, Extent::Inputs) <= 26);
    assert!(count(&around, Extent::Disk) <= 26);
}

#[test]
fn a_wall_that_wants_no_sound_misses_none() {
    let around = Around::default();
    let mut setup = setup(Profile::Seven800);
    setup.voice = Voice::Off;
    let mut runner = around.runner(setup);
    around.panel.find([wrong("mixer", Standing::CardSilent)]);
    pass(&around, &mut runner, 2);
    assert_eq!(runner.bay().panel_standing(), None);
}

#[test]
fn a_clock_that_lost_its_date_is_told_without_any_record() {
    let (around, mut runner) = bay();
    pass(&around, &mut runner, 2);
    assert_eq!(runner.bay().panel_standing(), None);
    around.clock.lose_date();
    runner.act(Action::Tick);
    assert_eq!(runner.bay().panel_standing(), Some(Standing::ClockWrong));
}

#[test]
fn what_stands_wrong_is_on_every_page_and_hides_no_figure() {
    let around = Around::default();
    let window = window_of(setup(Profile::Seven800), &around);
    around.panel.find([wrong("disk", Standing::DiskReadOnly)]);
    window.act([Action::Tick, Action::Tick]);
    let words = "Nothing is kept: switch the panel off and on once.";
    for page in [Page::Fill, Page::Menu, Page::Sound, Page::Care] {
        window.act([Action::Show(page)]);
        assert_eq!(band(&window), words, "{page:?}");
    }
    window.off.screen().mark_training(true);
    assert_eq!(band(&window), "", "its mark has the place in training");
}

// ---- The page --------------------------------------------------------------------------------

#[test]
fn the_check_is_the_leads_and_tells_first_what_is_wrong() {
    let around = Around::default();
    let window = window_of(setup(Profile::Seven800), &around);
    let warns = Finding::warn("wear", text!("worn"), text!("have one at hand"));
    around.panel.find([
        good("keys"),
        warns,
        good("font"),
        Finding::not_here("sticks", text!("not here")),
        wrong("display", Standing::OtherDisplay),
    ]);
    window.act([Action::Panel(PanelAction::LookAgain)]);
    assert!(around.panel.0.borrow().looks.is_empty(), "the lead's alone");
    window.act([Action::Show(Page::Panel)]);
    window.act(entered(PIN));
    window.press(&["Check the panel"]);
    let on = || {
        window.off.screen().with_bay(|bay| {
            let (shown, page, of) = bay.findings();
            let what: Vec<_> = shown.iter().map(|finding| finding.what).collect();
            (what, page, of)
        })
    };
    let looks = || window.off.screen().with_bay(|bay| bay.looks_at_the_panel());
    assert_eq!((on(), looks()), (Some((vec![], 1, 1)), Some(true)));
    window.act([Action::Tick]);
    assert_eq!(looks(), Some(false));
    assert_eq!(on(), Some((vec!["display"], 1, 3)));
    window.press(&["More"]);
    assert_eq!(on(), Some((vec!["wear"], 2, 3)));
    window.wait(Duration::from_millis(450));
    window.press(&["More"]);
    assert_eq!(on(), Some((vec!["keys", "font", "sticks"], 3, 3)));
    // Mended: another look says so.
    around.panel.find([good("display"), good("keys")]);
    window.wait(Duration::from_millis(450));
    window.press(&["Look again"]);
    window.act([Action::Tick]);
    assert_eq!(on(), Some((vec!["display", "keys"], 1, 1)));
    let standing = window.off.screen().with_bay(|bay| bay.panel_standing());
    assert_eq!(standing, Some(None));
    window.press(&["Back"]);
    let page = window.off.screen().with_bay(|bay| bay.page());
    assert_eq!(page, Some(Page::Panel));
}

// ---- The display that there is ---------------------------------------------------------------

#[test]
fn a_millimetre_is_one_on_the_display_that_there_really_is() {
    let around = Around::default();
    let window = window_of(setup(Profile::Seven800), &around);
    let per_mm = || {
        let theme = window.off.screen().wall().global::<Theme>();
        (f64::from(theme.get_mm()), theme.get_roomy())
    };
    let shows = |width: u32, height: u32| {
        let inner = window.off.screen().wall().window();
        inner.set_size(slint::PhysicalSize::new(width, height));
        inner.dispatch_event(WindowEvent::Resized {
            size: slint::LogicalSize::new(width as f32, height as f32),
        });
        window.act([Action::Tick]);
    };
    let is = |what: (f64, bool), panel: f64, roomy| {
        assert!((what.0 - panel).abs() < 1e-4 && what.1 == roomy, "{what:?}");
    };
    let usual = |profile| Panel::usual(profile).pixels_per_mm();
    shows(1280, 800);
    // In a window on a desk the set-up decides.
    is(per_mm(), usual(Profile::Seven800), false);
    window.off.screen().on_a_bare_panel();
    is(per_mm(), usual(Profile::Ten1280), true);
    shows(1024, 600);
    is(per_mm(), usual(Profile::Seven1024), false);
    // Of none of the three: the glass is as large as the set-up says.
    shows(1024, 768);
    is(per_mm(), 1280.0 / (7.0 * 25.4), false);
    shows(800, 480);
    is(per_mm(), usual(Profile::Seven800), false);
}

// ---- Setting the clock -----------------------------------------------------------------------

fn put_right(around: &Around) -> usize {
    let kept = around.records.0.borrow();
    let all = kept.happenings.iter();
    all.filter(|(_, what)| matches!(what, Happening::ClockPutRight { .. }))
        .count()
}

fn notice(runner: &Runner) -> String {
    let notice = runner.bay().notice();
    notice.map_or(String::new(), |notice| notice.text.to_string())
}

#[test]
fn the_lead_sets_the_clock_and_nobody_else() {
    let (around, mut runner) = bay();
    runner.act(Action::Panel(PanelAction::SetClock));
    assert!(around.panel.0.borrow().set.is_empty(), "the lead's alone");
    let_in_to(&mut runner, Page::SetClock);
    let before = around.clock.now().wall.naive_local();
    runner.act(Action::Panel(PanelAction::Step(ClockField::Year, true)));
    runner.act(Action::Panel(PanelAction::Step(ClockField::Hour, true)));
    runner.act(Action::Panel(PanelAction::SetClock));
    // Twice is once.
    runner.act(Action::Panel(PanelAction::SetClock));
    let set = around.panel.0.borrow().set.clone();
    let chosen = runner.bay().clock_chosen();
    assert_eq!(set, [chosen]);
    assert_eq!(
        ClockField::Year.figure(chosen).parse::<i32>().ok(),
        ClockField::Year
            .figure(before)
            .parse::<i32>()
            .ok()
            .map(|y| y + 1)
    );
    assert!(runner.bay().sets_the_clock());
    around.panel.0.borrow_mut().becomes = Some(ClockSet::Set);
    runner.act(Action::Tick);
    assert_eq!(runner.bay().page(), Page::Clock);
    assert_eq!(notice(&runner), "The clock is set.");
    assert_eq!(put_right(&around), 0, "nothing was doubted");
}

#[test]
fn a_clock_that_is_set_back_is_believed_from_then_on() {
    let (around, mut runner) = bay();
    let ahead = Duration::from_secs(400 * 86_400);
    around.clock.go_on(ahead);
    runner.act(Action::WashDone);
    let_in_to(&mut runner, Page::SetClock);
    runner.act(Action::Panel(PanelAction::Step(ClockField::Year, false)));
    runner.act(Action::Panel(PanelAction::SetClock));
    around.panel.0.borrow_mut().becomes = Some(ClockSet::Set);
    around.clock.set_back(ahead);
    runner.act(Action::Tick);
    assert_eq!(put_right(&around), 1);
    assert!(runner.bay().clock_is_plausible());
    assert_eq!(runner.bay().panel_standing(), None);
}

#[test]
fn a_clock_that_is_not_set_is_told_with_what_to_do() {
    for (fault, word) in [
        (ClockFault::ByNetwork, "The network sets this clock"),
        (ClockFault::NotAllowed, "install the package anew"),
        (ClockFault::NoTool, "timedatectl is missing"),
        (
            ClockFault::Other {
                said: "because".into(),
            },
            "because",
        ),
    ] {
        let (around, mut runner) = bay();
        let_in_to(&mut runner, Page::SetClock);
        runner.act(Action::Panel(PanelAction::SetClock));
        around.panel.0.borrow_mut().becomes = Some(ClockSet::NotSet(fault));
        runner.act(Action::Tick);
        assert!(notice(&runner).contains(word), "{}", notice(&runner));
        assert_eq!(runner.bay().page(), Page::SetClock);
        assert!(!runner.bay().sets_the_clock(), "it can be tried again");
    }
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::SetClock);
    runner.act(Action::Panel(PanelAction::SetClock));
    pass(&around, &mut runner, 14);
    assert!(runner.bay().sets_the_clock());
    pass(&around, &mut runner, 2);
    assert!(notice(&runner).contains("does not answer"));
}

#[test]
fn every_fault_on_the_walk_is_a_real_one() {
    let faults = common::panel::every_fault(Profile::Seven800);
    let wrong = faults.iter().filter(|f| f.state == State::Wrong).count();
    assert!(wrong >= 12, "{wrong} of {faults:#?}");
    let stands = |standing| faults.iter().any(|f| f.standing == Some(standing));
    use Standing::{CardSilent, DiskErrors, DiskFull, NoTouch, OtherDisplay, RecordsGone};
    for standing in [
        CardSilent,
        DiskErrors,
        DiskFull,
        NoTouch,
        OtherDisplay,
        RecordsGone,
    ] {
        assert!(stands(standing), "{standing:?}");
    }
}
