//! A newer version, on the shift lead's side: looked for, asked for by a held press alone, and how it ended.

mod common;

use common::lead::let_in_to;
use common::{Around, Heard, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::ports::{
    Fit, Looked, OnStick, Tone, UpdateEnd, UpdateHow, UpdateStep, UpdateTold,
};
use fillcall::bay::reporting::ReportAction;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Profile;
use fillcall::bay::updating::UpdateAction;
use std::time::Duration;

fn open(around: &Around) -> Runner {
    around.runner(setup(Profile::Seven800))
}

fn lead(around: &Around) -> Runner {
    let mut runner = open(around);
    let_in_to(&mut runner, Page::Update);
    assert_eq!(runner.bay().page(), Page::Update);
    runner
}

fn pass(around: &Around, runner: &mut Runner, seconds: u64) {
    around.clock.go_on(Duration::from_secs(seconds));
    runner.act(Action::Tick);
}

fn notice(runner: &Runner) -> String {
    runner
        .bay()
        .notice()
        .map_or(String::new(), |n| n.text.to_string())
}

fn ended(around: &Around, how: UpdateHow, why: &str, at: i64) {
    around.updates.0.borrow_mut().told = UpdateTold {
        step: None,
        end: Some(UpdateEnd {
            how,
            why: why.into(),
            old: "0.1.0".into(),
            new: "0.2.0".into(),
            at,
        }),
    };
}

fn looked(around: &Around, runner: &mut Runner, version: &str, fit: Fit) {
    around.updates.find(version, fit);
    runner.act(Action::Update(UpdateAction::Look));
    assert_eq!(runner.bay().update_looked(), Some(&Looked::Busy));
    pass(around, runner, 1);
}

#[test]
fn without_the_lead_nothing_is_looked_for_or_installed() {
    let around = Around::default();
    let mut runner = open(&around);
    around.updates.find("0.2.0", Fit::Newer);
    runner.act(Action::Show(Page::Update));
    assert_eq!(runner.bay().page(), Page::Pin);
    for action in [
        UpdateAction::Look,
        UpdateAction::Install,
        UpdateAction::TakeKey,
    ] {
        runner.act(Action::Update(action));
    }
    let state = around.updates.0.borrow();
    assert_eq!((state.looks, state.asked.len()), (0, 0));
}

#[test]
fn only_a_newer_version_that_was_found_is_asked_for() {
    let around = Around::default();
    let mut runner = lead(&around);
    runner.act(Action::Update(UpdateAction::Install));
    for fit in common::updates::NOT_TAKEN {
        looked(&around, &mut runner, "0.2.0", fit);
        runner.act(Action::Update(UpdateAction::Install));
        runner.act(Action::Update(UpdateAction::TakeKey));
    }
    assert!(around.updates.0.borrow().asked.is_empty());
    looked(&around, &mut runner, "0.2.0", Fit::Newer);
    runner.act(Action::Update(UpdateAction::Install));
    assert_eq!(around.updates.0.borrow().asked, ["install"]);
    // Once is enough, and nothing else is begun meanwhile.
    for action in [
        UpdateAction::Look,
        UpdateAction::Install,
        UpdateAction::TakeKey,
    ] {
        runner.act(Action::Update(action));
    }
    assert_eq!(around.updates.0.borrow().asked, ["install"]);
    assert!(runner.bay().is_updating());
}

#[test]
fn a_page_that_is_opened_anew_forgets_the_stick_before() {
    let around = Around::default();
    let mut runner = lead(&around);
    looked(&around, &mut runner, "0.2.0", Fit::Newer);
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Panel);
    runner.act(Action::Show(Page::Update));
    assert_eq!(runner.bay().update_looked(), None);
    runner.act(Action::Update(UpdateAction::Install));
    assert!(around.updates.0.borrow().asked.is_empty());
}

#[test]
fn a_key_is_taken_where_one_was_found() {
    let around = Around::default();
    let mut runner = lead(&around);
    around.updates.0.borrow_mut().looked = Some(Looked::Found {
        package: None,
        key: Some("00112233AABBCCDD".into()),
    });
    runner.act(Action::Update(UpdateAction::Look));
    pass(&around, &mut runner, 1);
    runner.act(Action::Update(UpdateAction::TakeKey));
    assert_eq!(around.updates.0.borrow().asked, ["key"]);
    around.updates.0.borrow_mut().key = Some("00112233AABBCCDD".into());
    ended(&around, UpdateHow::Key, "00112233AABBCCDD", 1);
    pass(&around, &mut runner, 1);
    assert_eq!(
        notice(&runner),
        "The key for updates is 0011 2233 AABB CCDD."
    );
    assert_eq!(runner.bay().update_key(), Some("00112233AABBCCDD"));
}

#[test]
fn how_it_ended_is_told_wherever_one_is() {
    for (how, why, words) in [
        (UpdateHow::Updated, "", "Version 0.2.0 runs since "),
        (
            UpdateHow::Back,
            "it ended",
            "Version 0.2.0 did not run well: the wall went back to 0.1.0. Nothing was lost.",
        ),
        (
            UpdateHow::Stuck,
            "",
            "The way back to version 0.1.0 did not work.",
        ),
        (
            UpdateHow::Refused,
            "room",
            "Not updated, nothing was changed. The panel's disk is too full.",
        ),
    ] {
        // The wall starts in the middle: it is watched.
        let around = Around::default();
        around.updates.0.borrow_mut().told.step = Some(UpdateStep::Watch);
        let mut runner = open(&around);
        pass(&around, &mut runner, 100);
        assert_eq!(
            (runner.bay().page(), notice(&runner).as_str()),
            (Page::Fill, "")
        );
        ended(&around, how, why, 1_700_000_000);
        pass(&around, &mut runner, 1);
        assert!(notice(&runner).starts_with(words), "{}", notice(&runner));
        assert!(!runner.bay().is_updating());
        // Once.
        pass(&around, &mut runner, 30);
        assert_eq!(notice(&runner), "");
    }
}

#[test]
fn a_wall_that_starts_after_the_end_tells_it_while_it_is_fresh() {
    let around = Around::default();
    let now = around.clock.now().wall.timestamp();
    ended(&around, UpdateHow::Back, "it ended", now - 60);
    assert!(notice(&open(&around)).contains("went back to 0.1.0"));
    ended(&around, UpdateHow::Back, "it ended", now - 3600);
    assert_eq!(notice(&open(&around)), "");
    // While another one is watched, the end before is no news.
    ended(&around, UpdateHow::Refused, "room", now - 60);
    around.updates.0.borrow_mut().told.step = Some(UpdateStep::Watch);
    assert_eq!(notice(&open(&around)), "");
}

#[test]
fn a_request_that_nobody_hears_or_that_cannot_be_made_is_told() {
    let around = Around::default();
    let mut runner = lead(&around);
    looked(&around, &mut runner, "0.2.0", Fit::Newer);
    around.updates.0.borrow_mut().fails = true;
    runner.act(Action::Update(UpdateAction::Install));
    assert_eq!(notice(&runner), "It could not be asked for: no room");
    around.updates.0.borrow_mut().fails = false;
    runner.act(Action::Update(UpdateAction::Install));
    pass(&around, &mut runner, 29);
    assert!(runner.bay().is_updating());
    pass(&around, &mut runner, 2);
    assert!(notice(&runner).contains("fillcall-update is not running"));
    assert!(!runner.bay().is_updating());
}

#[test]
fn one_job_at_a_time_is_at_a_stick() {
    let around = Around::default();
    let mut runner = lead(&around);
    around.sticks.put_in(&["sdb1"]);
    runner.act(Action::Report(ReportAction::ToStick));
    runner.act(Action::Report(ReportAction::PickStick("sdb1".into())));
    around.sticks.come_to(OnStick::Opening);
    assert!(runner.bay().taking().is_busy());
    runner.act(Action::Update(UpdateAction::Look));
    assert_eq!(around.updates.0.borrow().looks, 0);
    assert!(notice(&runner).contains("wait until it can be pulled out"));
    // And the other way round.
    let around = Around::default();
    let mut runner = lead(&around);
    around.sticks.put_in(&["sdb1"]);
    around.updates.0.borrow_mut().looked = Some(Looked::Busy);
    runner.act(Action::Update(UpdateAction::Look));
    around.ears.heard.borrow_mut().clear();
    runner.act(Action::Report(ReportAction::PickStick("sdb1".into())));
    assert!(!runner.bay().taking().is_busy());
    assert_eq!(*around.ears.heard.borrow(), [Heard::Tone(Tone::Refused)]);
}
