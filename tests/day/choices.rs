//! An operator's own choice of chemical belongs to the sprayer in hand.

use super::{DAY, PANEL, act, aim_for, at, bay, kept, notice, pump, remember, set};
use crate::common::Around;
use crate::common::day::day_setup;
use fillcall::bay::action::{Action, Page};
use fillcall::bay::offer::Offer;
use fillcall::bay::records::{Happening, Placed, Scope};
use fillcall::bay::runner::Runner;
use fillcall::trade::never_mix::Reason;
use std::time::Duration;

fn choose(runner: &mut Runner, sprayer: &str, chemical: &str) {
    act(
        runner,
        [
            Action::Show(Page::Fill),
            Action::ChooseSprayer(sprayer.into()),
            Action::ChooseChemical(chemical.into()),
        ],
    );
}

#[test]
fn a_choice_is_of_the_sprayer_in_hand_and_of_no_other() {
    let (around, mut runner) = bay();
    choose(&mut runner, "pump", "degreaser");
    assert_eq!(aim_for(runner.bay(), "pump"), at("degreaser", 8.0));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    // What is shown, offered and said of the other is the day's.
    act(
        &mut runner,
        [Action::CloseNotice, Action::ChooseSprayer("pump-2".into())],
    );
    assert_eq!(runner.bay().chemical().id, "film");
    assert!(!runner.bay().chemical_is_chosen());
    let Offer::Fill(plan) = runner.bay().offer() else {
        panic!("{:?}", runner.bay().offer());
    };
    assert_eq!(plan.wanted.as_percent(), 4.0);
    runner.act(Action::Filled);
    let Some(Happening::Fill(fill)) = kept(&around).pop() else {
        panic!("no fill was kept");
    };
    assert_eq!(
        (fill.sprayer.as_str(), fill.chemical.as_str()),
        ("pump-2", "film")
    );
    // Back to the first: still the choice.
    runner.act(Action::ChooseSprayer("pump".into()));
    assert_eq!(runner.bay().chemical().id, "degreaser");
    assert!(runner.bay().chemical_is_chosen());
    // After a restart as well.
    remember(&around);
    let mut runner = around.runner(day_setup(PANEL));
    assert_eq!(aim_for(runner.bay(), "pump"), at("degreaser", 8.0));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    // Both may have one of their own.
    choose(&mut runner, "pump-2", "wheel");
    assert_eq!(runner.bay().chemical_for("pump").id, "degreaser");
    assert_eq!(runner.bay().chemical_for("pump-2").id, "wheel");
    choose(&mut runner, "pump-2", "film");
    assert_eq!(runner.bay().chemical_for("pump").id, "degreaser");
    // A new day is a new day for both.
    around.clock.go_on(DAY);
    runner.act(Action::Tick);
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.0));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
}

#[test]
fn what_the_lead_sets_ends_the_choices_of_those_that_go_by_it() {
    let (around, mut runner) = bay();
    choose(&mut runner, "pump", "degreaser");
    choose(&mut runner, "pump-2", "degreaser");
    set(&mut runner, pump(2), "wheel", None, true);
    assert_eq!(
        runner.bay().chemical_for("pump").id,
        "degreaser",
        "not its own"
    );
    assert_eq!(runner.bay().chemical_for("pump-2").id, "wheel");
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.5));
    assert_eq!(runner.bay().chemical_for("pump-2").id, "wheel");
    remember(&around);
    let runner = around.runner(day_setup(PANEL));
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.5));
    assert_eq!(runner.bay().chemical_for("pump-2").id, "wheel");
}

#[test]
fn a_choice_of_an_earlier_version_stays_the_bays_until_something_newer() {
    let around = Around::default();
    let old = |around: &Around| Placed {
        entry: 3,
        at: around.clock.now().wall,
        what: "degreaser".to_owned(),
    };
    let chosen = old(&around);
    around
        .records
        .0
        .borrow_mut()
        .past
        .chosen_chemicals
        .insert(Scope::Bay, chosen);
    let mut runner = around.runner(day_setup(PANEL));
    // Nothing that is shown changes by the change of version.
    for sprayer in ["pump", "pump-2"] {
        assert_eq!(aim_for(runner.bay(), sprayer), at("degreaser", 8.0));
    }
    // The fake numbers what it keeps from 1 on.
    for _ in 0..3 {
        runner.act(Action::WashDone);
    }
    choose(&mut runner, "pump", "film");
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.0));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("degreaser", 8.0));
    around.clock.go_on(DAY);
    runner.act(Action::Tick);
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
}

#[test]
fn a_choice_that_ended_while_another_sprayer_was_shown_is_told_when_it_is_taken_in_hand() {
    let (around, mut runner) = bay();
    choose(&mut runner, "pump", "degreaser");
    act(
        &mut runner,
        [Action::CloseNotice, Action::ChooseSprayer("pump-2".into())],
    );
    around.clock.go_on(DAY);
    runner.act(Action::Tick);
    assert_eq!(notice(&runner), "", "nothing changed of this one");
    runner.act(Action::ChooseSprayer("pump".into()));
    assert_eq!(
        notice(&runner),
        "A new day: the chemical is Film remover again. Rinse first."
    );
    act(
        &mut runner,
        [
            Action::CloseNotice,
            Action::ChooseSprayer("pump-2".into()),
            Action::ChooseSprayer("pump".into()),
        ],
    );
    assert_eq!(notice(&runner), "", "once");
    // What is the same for both is said once.
    choose(&mut runner, "pump", "degreaser");
    choose(&mut runner, "pump-2", "degreaser");
    runner.act(Action::CloseNotice);
    around.clock.go_on(DAY);
    runner.act(Action::Tick);
    assert!(
        notice(&runner).contains("Film remover again"),
        "{}",
        notice(&runner)
    );
    act(
        &mut runner,
        [Action::CloseNotice, Action::ChooseSprayer("pump".into())],
    );
    assert_eq!(notice(&runner), "");
}

#[test]
fn an_operator_chooses_nothing_beside_what_it_must_never_meet() {
    let (around, mut runner) = bay();
    set(&mut runner, pump(2), "bleach", None, false);
    let before = kept(&around).len();
    choose(&mut runner, "pump", "acid");
    assert_eq!(
        notice(&runner),
        "Pump 2 has or gets Bleach wash: no Rim acid beside it. Acid and hypochlorite make chlorine gas. \
         Ask the shift lead."
    );
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.0));
    assert_eq!(kept(&around).len(), before);
    // Nor beside the day's own of the other one, which comes back when its choice ends.
    choose(&mut runner, "pump-2", "film");
    choose(&mut runner, "pump", "acid");
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.0));
    // Two operators, two choices.
    let (_, mut runner) = bay();
    choose(&mut runner, "pump", "acid");
    choose(&mut runner, "pump-2", "bleach");
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    // What the lead confirmed may be gone back to.
    let (_, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    set(&mut runner, pump(2), "bleach", None, false);
    runner.act(Action::Day(fillcall::bay::day::DayAction::Confirm));
    choose(&mut runner, "pump", "film");
    assert_eq!(runner.bay().beside_never("pump"), None);
    choose(&mut runner, "pump", "acid");
    assert_eq!(aim_for(runner.bay(), "pump"), at("acid", 2.0));
    let beside = runner.bay().beside_never("pump").expect("confirmed");
    assert_eq!(beside.reason, Reason::Chlorine);
}

#[test]
fn another_choice_asks_for_a_rinse_on_its_sprayer_alone() {
    let (_, mut runner) = bay();
    act(
        &mut runner,
        [
            Action::Filled,
            Action::CloseNotice,
            Action::ChooseSprayer("pump-2".into()),
            Action::Filled,
            Action::CloseNotice,
        ],
    );
    choose(&mut runner, "pump", "degreaser");
    assert!(matches!(runner.bay().offer(), Offer::Rinse(_)));
    runner.act(Action::ChooseSprayer("pump-2".into()));
    assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
}

#[test]
fn a_fill_of_what_was_chosen_does_not_stand_for_the_days_first() {
    let around = Around::default();
    around.records.0.borrow_mut().past.last_fills.clear();
    let mut runner = around.runner(day_setup(PANEL));
    choose(&mut runner, "pump", "degreaser");
    act(&mut runner, [Action::CloseNotice, Action::Filled]);
    around.ears.take();
    let say = [
        Action::CloseNotice,
        Action::ChooseSprayer("pump-2".into()),
        Action::SayFill,
    ];
    act(&mut runner, say.clone());
    assert!(
        around.ears.said()[0].starts_with("Chemical of the day: Film remover"),
        "{:?}",
        around.ears.said()
    );
    // Once, on whichever sprayer.
    around.clock.go_on(Duration::from_secs(30));
    around.ears.take();
    act(&mut runner, say.clone());
    assert!(
        around.ears.said()[0].starts_with("Pump 2"),
        "{:?}",
        around.ears.said()
    );
    // After a restart it goes by what was filled: the chosen one was, the day's was not.
    {
        let now = around.clock.now().wall;
        let mut records = around.records.0.borrow_mut();
        records.past.last_fills.insert("degreaser".into(), now);
    }
    remember(&around);
    let mut runner = around.runner(day_setup(PANEL));
    around.ears.take();
    act(&mut runner, say.clone());
    assert!(
        around.ears.said()[0].starts_with("Chemical of the day"),
        "{:?}",
        around.ears.said()
    );
}
