//! The day's chemical and its strength, rinsing between chemicals, and what must never meet.

mod common;

use common::day::{self as days, day_setup};
use common::hands::keys;
use common::lead::let_in_to;
use common::window::{Window, window_of};
use common::{Around, percent};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::day::{DayAction, DayStage};
use fillcall::bay::lead::LeadAction;
use fillcall::bay::offer::Offer;
use fillcall::bay::records::{DaySetting, Entry, Happening, Scope, SprayerPast};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Profile;
use fillcall::trade::chemical::{Band, Target};
use fillcall::trade::days_strength::{Allowed, allowed};
use fillcall::trade::fill_plan::Part;
use fillcall::trade::never_mix::{Reason, never_mix};
use proptest::prelude::*;
use std::time::Duration;

const PANEL: Profile = Profile::Seven800;
const DAY: Duration = Duration::from_secs(24 * 3600);

fn bay() -> (Around, Runner) {
    let around = Around::default();
    let runner = around.runner(day_setup(PANEL));
    (around, runner)
}

fn act(runner: &mut Runner, actions: impl IntoIterator<Item = Action>) {
    actions.into_iter().for_each(|action| runner.act(action));
}

fn day(action: DayAction) -> Action {
    Action::Day(action)
}

/// The shift lead sets it, typing the strength where there is one; stays on the page.
fn set(runner: &mut Runner, scope: Scope, chemical: &str, strength: Option<&str>, today: bool) {
    let_in_to(runner, Page::Day);
    runner.act(day(DayAction::For(scope)));
    runner.act(day(DayAction::Chemical(chemical.into())));
    match strength {
        Some(typed) => {
            runner.act(day(DayAction::OpenPad));
            act(runner, keys(typed));
            runner.act(day(DayAction::TakeTyped));
        }
        None => runner.act(day(DayAction::UsualStrength)),
    }
    runner.act(day(DayAction::TodayOnly(today)));
    runner.act(day(DayAction::Set));
}

fn aim(bay: &Bay) -> (String, Target) {
    aim_for(bay, &bay.sprayer().id)
}

fn aim_for(bay: &Bay, sprayer: &str) -> (String, Target) {
    let chemical = bay.chemical_for(sprayer);
    (chemical.id.clone(), chemical.target)
}

fn at(chemical: &str, p: f64) -> (String, Target) {
    (chemical.into(), Target::OnVehicle(percent(p)))
}

fn dose(bay: &Bay) -> f64 {
    match bay.offer() {
        Offer::Fill(plan) => plan.pour.dose.product.as_ml(),
        other => panic!("no figure: {other:?}"),
    }
}

fn notice(runner: &Runner) -> String {
    let notice = runner.bay().notice();
    notice.map_or(String::new(), |notice| notice.text.to_string())
}

fn kept(around: &Around) -> Vec<Happening> {
    let kept = around.records.0.borrow();
    kept.happenings.iter().map(|(_, h)| h.clone()).collect()
}

fn last_set(around: &Around) -> Option<DaySetting> {
    let newest = kept(around).into_iter().rev().find_map(|h| match h {
        Happening::DaySet { setting, .. } => Some(setting),
        _ => None,
    });
    newest.expect("something was set")
}

/// What the store would report after a restart of what was kept by now.
fn remember(around: &Around) {
    let mut kept = around.records.0.borrow_mut();
    let kept = &mut *kept;
    let happenings: Vec<_> = (1..).zip(&kept.happenings).collect();
    for (_, (at, happening)) in &happenings {
        match happening {
            Happening::DaySet { scope, setting } => {
                kept.past.day.remove(scope);
                if let Some(setting) = setting {
                    kept.past.day.insert(scope.clone(), (setting.clone(), *at));
                }
            }
            Happening::ChemicalChosen(id) => kept.past.chosen_chemical = Some((id.clone(), *at)),
            _ => {}
        }
        kept.past.newest = kept.past.newest.max(Some(*at));
    }
    for (sprayer, is_in_it) in inside(happenings.iter().map(|(entry, (_, h))| (*entry, h))) {
        kept.past.sprayers.entry(sprayer).or_default().in_it = is_in_it;
    }
}

/// What is in each sprayer by what was kept, worked out in another way than the bay does it.
fn inside<'a>(
    happenings: impl Iterator<Item = (Entry, &'a Happening)> + Clone,
) -> Vec<(String, Option<String>)> {
    let undone: Vec<Entry> = happenings
        .clone()
        .filter_map(|(_, h)| match h {
            Happening::FillUndone(entry) | Happening::RinseUndone(entry) => Some(*entry),
            _ => None,
        })
        .collect();
    let mut inside: Vec<(String, Option<String>)> = Vec::new();
    for (_, h) in happenings.filter(|(entry, _)| !undone.contains(entry)) {
        let (sprayer, is_in_it) = match h {
            Happening::Fill(fill) => (&fill.sprayer, Some(fill.chemical.clone())),
            Happening::Rinsed { sprayer } => (sprayer, None),
            _ => continue,
        };
        inside.retain(|(of, _)| of != sprayer);
        inside.push((sprayer.clone(), is_in_it));
    }
    inside
}

// ---- Setting ---------------------------------------------------------------------------------

#[test]
fn the_lead_sets_the_strength_of_the_day_for_the_bay() {
    let (around, mut runner) = bay();
    assert_eq!(dose(runner.bay()), 200.0, "5 L at 4 %");
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    assert_eq!(notice(&runner), "Film remover, 4.5 %: today");
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.5));
    assert_eq!(dose(runner.bay()), 225.0);
    assert_eq!(
        last_set(&around),
        Some(DaySetting {
            scope: Scope::Bay,
            chemical: "film".into(),
            strength: Some(percent(4.5)),
            today_only: true,
            above_band: false,
        })
    );
    // The choice lists aim at it too.
    let film = runner.bay().at_strength_in_force("pump-2", "film");
    assert_eq!(film.target, Target::OnVehicle(percent(4.5)));
    // Taken back, for ten seconds.
    runner.act(Action::Undo);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    assert_eq!(last_set(&around), None);
}

#[test]
fn one_sprayer_can_have_its_own() {
    let (_, mut runner) = bay();
    set(
        &mut runner,
        Scope::Sprayer("pump-2".into()),
        "degreaser",
        None,
        false,
    );
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("degreaser", 8.0));
    runner.act(Action::ChooseSprayer("pump-2".into()));
    assert_eq!(aim(runner.bay()), at("degreaser", 8.0));
    assert!(
        !runner.bay().chemical_is_chosen(),
        "the lead's is the day's"
    );
    // The sprayer's own goes before the bay's, and is ended by itself.
    set(&mut runner, Scope::Bay, "film", Some("3.5"), true);
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 3.5));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("degreaser", 8.0));
    act(
        &mut runner,
        [
            day(DayAction::For(Scope::Sprayer("pump-2".into()))),
            day(DayAction::End),
        ],
    );
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 3.5));
    act(
        &mut runner,
        [day(DayAction::For(Scope::Bay)), day(DayAction::End)],
    );
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    // What is not set cannot be ended.
    act(
        &mut runner,
        [day(DayAction::For(Scope::Bay)), day(DayAction::End)],
    );
    assert_eq!(notice(&runner), "Nothing is set there.");
}

#[test]
fn outside_the_band_it_is_asked_once_more_and_enter_is_no_answer() {
    for (typed, above) in [("6", true), ("2", false)] {
        let (around, mut runner) = bay();
        set(&mut runner, Scope::Bay, "film", Some(typed), true);
        assert_eq!(runner.bay().day_stage(), DayStage::Confirm, "{typed}");
        let of = runner.bay().day_consequence().expect("a consequence");
        let usual = if above { 1.5 } else { 0.5 };
        assert!((of.times() - usual).abs() < 1e-12);
        // 4 L of spray a vehicle at 3.20 a litre.
        let (usually, then) = of.cost.expect("a price");
        assert!((usually - 0.512).abs() < 1e-9 && (then - 0.512 * usual).abs() < 1e-9);
        act(&mut runner, [Action::Main, day(DayAction::Set)]);
        assert_eq!(aim(runner.bay()), at("film", 4.0), "not confirmed");
        assert!(
            !kept(&around)
                .iter()
                .any(|h| matches!(h, Happening::DaySet { .. }))
        );
        runner.act(day(DayAction::Confirm));
        assert_eq!(
            aim(runner.bay()),
            at("film", typed.parse().expect("a number"))
        );
        assert_eq!(last_set(&around).expect("set").above_band, above);
    }
}

#[test]
fn confirming_needs_the_page_that_asks() {
    let (_, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("6"), true);
    act(&mut runner, [Action::Back, day(DayAction::Confirm)]);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    assert_eq!(runner.bay().day_stage(), DayStage::Strength);
}

#[test]
fn without_a_band_a_quarter_is_free() {
    let (_, mut runner) = bay();
    set(&mut runner, Scope::Bay, "acid", Some("2.5"), true);
    assert_eq!(aim(runner.bay()), at("acid", 2.5));
    set(&mut runner, Scope::Bay, "acid", Some("2.6"), true);
    assert_eq!(runner.bay().day_stage(), DayStage::Confirm);
    assert_eq!(aim(runner.bay()), at("acid", 2.5));
}

#[test]
fn steps_and_typing_lead_to_the_same() {
    let (_, mut runner) = bay();
    let_in_to(&mut runner, Page::Day);
    act(
        &mut runner,
        [
            day(DayAction::For(Scope::Bay)),
            day(DayAction::Stronger),
            day(DayAction::Stronger),
            day(DayAction::Weaker),
        ],
    );
    assert_eq!(runner.bay().day_aim(), Some(percent(4.1)));
    // Typed nonsense is refused and nothing changes.
    for nonsense in ["0", "101", ""] {
        runner.act(day(DayAction::OpenPad));
        act(&mut runner, keys(nonsense));
        runner.act(day(DayAction::TakeTyped));
        assert_eq!(notice(&runner), "Type a strength from 0.01 to 100 %.");
        act(&mut runner, [Action::CloseNotice, Action::Back]);
    }
    assert_eq!(runner.bay().day_aim(), Some(percent(4.1)));
    // Another chemical begins with its own strength.
    runner.act(day(DayAction::Chemical("degreaser".into())));
    assert_eq!(runner.bay().day_aim(), Some(percent(8.0)));
}

#[test]
fn a_strength_as_in_the_set_up_follows_the_set_up() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4"), false);
    assert_eq!(last_set(&around).expect("set").strength, None);
}

#[test]
fn a_label_with_a_ratio_only_keeps_it() {
    let (_, mut runner) = bay();
    let_in_to(&mut runner, Page::Day);
    runner.act(day(DayAction::For(Scope::Bay)));
    runner.act(day(DayAction::Chemical("wheel".into())));
    let before = runner.bay().day_draft().cloned();
    for action in [DayAction::Weaker, DayAction::Stronger, DayAction::OpenPad] {
        runner.act(day(action));
        assert!(notice(&runner).starts_with("Its label gives a ratio only"));
        assert_eq!(runner.bay().day_draft().cloned(), before);
    }
    runner.act(day(DayAction::Set));
    assert_eq!(runner.bay().chemical().id, "wheel");
}

#[test]
fn without_the_session_nothing_is_set() {
    let (around, mut runner) = bay();
    runner.act(Action::Show(Page::Day));
    assert_eq!(runner.bay().page(), Page::Pin);
    let try_all = |runner: &mut Runner| {
        act(
            runner,
            [
                day(DayAction::For(Scope::Bay)),
                day(DayAction::Chemical("degreaser".into())),
                day(DayAction::Stronger),
                day(DayAction::Set),
                day(DayAction::Confirm),
                day(DayAction::End),
            ],
        );
    };
    try_all(&mut runner);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    // Nor once it is left, with a setting half made.
    let_in_to(&mut runner, Page::Day);
    act(
        &mut runner,
        [
            day(DayAction::For(Scope::Bay)),
            day(DayAction::Stronger),
            Action::Lead(LeadAction::Leave),
        ],
    );
    try_all(&mut runner);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    assert!(
        !kept(&around)
            .iter()
            .any(|h| matches!(h, Happening::DaySet { .. }))
    );
}

// ---- How long it holds -----------------------------------------------------------------------

#[test]
fn what_is_set_for_today_ends_with_the_day_and_says_so() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    act(&mut runner, [Action::Show(Page::Fill), Action::CloseNotice]);
    around.clock.go_on(DAY);
    // A fill that was meant for the strength of yesterday is not logged.
    runner.act(Action::Filled);
    assert!(
        notice(&runner).contains("Film remover is at 4 % again"),
        "{}",
        notice(&runner)
    );
    assert!(
        !kept(&around)
            .iter()
            .any(|h| matches!(h, Happening::Fill(_)))
    );
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    // And where the chemical was another one.
    runner.act(Action::Tick);
    set(&mut runner, Scope::Bay, "degreaser", None, true);
    act(&mut runner, [Action::Show(Page::Fill), Action::CloseNotice]);
    around.clock.go_on(Duration::from_secs(400));
    runner.act(Action::Tick);
    around.clock.go_on(DAY);
    runner.act(Action::Tick);
    assert!(
        notice(&runner).contains("the chemical is Film remover again"),
        "{}",
        notice(&runner)
    );
}

#[test]
fn until_changed_is_until_changed_and_a_lost_date_changes_nothing() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), false);
    around.clock.go_on(DAY * 9);
    runner.act(Action::Tick);
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    set(&mut runner, Scope::Bay, "film", Some("3.5"), true);
    around.clock.lose_date();
    runner.act(Action::Tick);
    assert_eq!(aim(runner.bay()), at("film", 3.5), "nobody knows the date");
}

#[test]
fn a_restart_goes_by_what_was_kept() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    set(
        &mut runner,
        Scope::Sprayer("pump-2".into()),
        "degreaser",
        Some("7"),
        false,
    );
    remember(&around);
    let runner = around.runner(day_setup(PANEL));
    assert_eq!(aim_for(runner.bay(), "pump"), at("film", 4.5));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("degreaser", 7.0));
    around.clock.go_on(DAY);
    let runner = around.runner(day_setup(PANEL));
    assert_eq!(
        aim_for(runner.bay(), "pump"),
        at("film", 4.0),
        "it was for a day"
    );
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("degreaser", 7.0));
}

#[test]
fn a_chemical_or_sprayer_that_is_no_more_takes_its_setting_along() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "degreaser", Some("7"), false);
    remember(&around);
    let mut setup = day_setup(PANEL);
    setup
        .chemicals
        .retain(|chemical| chemical.id != "degreaser");
    let runner = around.runner(setup);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
}

#[test]
fn above_a_band_that_was_narrowed_since_only_what_was_confirmed_holds() {
    for (typed, then) in [("4.5", 4.0), ("6", 6.0)] {
        let (around, mut runner) = bay();
        set(&mut runner, Scope::Bay, "film", Some(typed), false);
        runner.act(day(DayAction::Confirm));
        remember(&around);
        let mut setup = day_setup(PANEL);
        setup.chemicals[0].band = Some(Band {
            least: percent(3.0),
            most: percent(4.2),
        });
        let runner = around.runner(setup);
        assert_eq!(aim(runner.bay()), at("film", then), "{typed}");
    }
}

// ---- What operators choose -------------------------------------------------------------------

#[test]
fn an_operator_gets_the_strength_in_force_of_what_is_chosen() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    act(
        &mut runner,
        [
            Action::Show(Page::Fill),
            Action::ChooseChemical("degreaser".into()),
        ],
    );
    assert_eq!(aim(runner.bay()), at("degreaser", 8.0));
    assert!(runner.bay().chemical_is_chosen());
    runner.act(Action::ChooseChemical("film".into()));
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    assert!(!runner.bay().chemical_is_chosen());
    // What comes later counts, after a restart too.
    runner.act(Action::ChooseChemical("degreaser".into()));
    around.clock.go_on(Duration::from_secs(60));
    set(&mut runner, Scope::Bay, "wheel", None, true);
    assert_eq!(runner.bay().chemical().id, "wheel");
    remember(&around);
    let mut runner = around.runner(day_setup(PANEL));
    assert_eq!(runner.bay().chemical().id, "wheel");
    around.clock.go_on(Duration::from_secs(60));
    runner.act(Action::ChooseChemical("degreaser".into()));
    remember(&around);
    let runner = around.runner(day_setup(PANEL));
    assert_eq!(runner.bay().chemical().id, "degreaser");
}

#[test]
fn at_the_same_moment_the_later_one_counts() {
    let (_, mut runner) = bay();
    runner.act(Action::ChooseChemical("degreaser".into()));
    set(&mut runner, Scope::Bay, "wheel", None, true);
    assert_eq!(runner.bay().chemical().id, "wheel");
    act(
        &mut runner,
        [
            Action::Show(Page::Fill),
            Action::ChooseChemical("degreaser".into()),
        ],
    );
    assert_eq!(runner.bay().chemical().id, "degreaser");
}

// ---- Rinsing ---------------------------------------------------------------------------------

#[test]
fn another_chemical_asks_for_a_rinse_and_has_no_figure_before_it() {
    let (around, mut runner) = bay();
    act(
        &mut runner,
        [Action::Filled, Action::ChooseChemical("degreaser".into())],
    );
    let Offer::Rinse(first) = runner.bay().offer() else {
        panic!("{:?}", runner.bay().offer());
    };
    assert_eq!((first.was.as_str(), first.never), ("Film remover", None));
    // Neither spoken nor logged.
    around.ears.take();
    act(&mut runner, [Action::CloseNotice, Action::SayFill]);
    assert_eq!(around.ears.said(), ["Pump sprayer: rinse first."]);
    act(&mut runner, [Action::CloseNotice, Action::SaySlower]);
    assert!(around.ears.said().iter().all(|said| !said.contains("ml")));
    let fills = |around: &Around| {
        let kept = kept(around);
        kept.iter()
            .filter(|h| matches!(h, Happening::Fill(_)))
            .count()
    };
    assert_eq!(fills(&around), 1);
    runner.act(Action::Filled);
    assert_eq!(
        notice(&runner),
        "Rinse it first: another chemical is in it."
    );
    assert_eq!(fills(&around), 1);
    // A wash is one with what is still in it.
    runner.act(Action::WashDone);
    assert!(matches!(kept(&around).last(),
        Some(Happening::Wash { chemical, .. }) if chemical == "film"));
    // The chemical of before can be had without a rinse.
    let film = runner.bay().setup().chemical("film").expect("film");
    assert_eq!(runner.bay().rinse_first("pump", film), None);
    // The other sprayer has nothing in it.
    assert!(matches!(
        runner.bay().offer_for(
            &runner.bay().setup().sprayers[1],
            runner.bay().chemical(),
            Part::Full
        ),
        Offer::Fill(_)
    ));
    runner.act(day(DayAction::Rinsed));
    assert_eq!(dose(runner.bay()), 400.0);
    assert_eq!(
        kept(&around).last(),
        Some(&Happening::Rinsed {
            sprayer: "pump".into()
        })
    );
    runner.act(Action::Undo);
    assert!(matches!(
        kept(&around).last(),
        Some(Happening::RinseUndone(_))
    ));
    assert!(matches!(runner.bay().offer(), Offer::Rinse(_)));
}

#[test]
fn a_fill_taken_back_leaves_what_was_in_it_before() {
    let around = Around::default();
    {
        let mut kept = around.records.0.borrow_mut();
        let pump = SprayerPast {
            in_it: Some("wheel".into()),
            ..SprayerPast::default()
        };
        kept.past.sprayers.insert("pump".into(), pump);
    }
    let mut runner = around.runner(day_setup(PANEL));
    // Known from before the restart.
    assert!(matches!(runner.bay().offer(), Offer::Rinse(first) if first.was == "Wheel cleaner"));
    act(
        &mut runner,
        [day(DayAction::Rinsed), Action::CloseNotice, Action::Filled],
    );
    assert_eq!(runner.bay().past("pump").in_it.as_deref(), Some("film"));
    runner.act(Action::Undo);
    assert_eq!(
        runner.bay().past("pump").in_it,
        None,
        "it was rinsed before"
    );
    assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
}

#[test]
fn a_chemical_that_the_set_up_no_longer_has_is_rinsed_out_by_its_id() {
    let around = Around::default();
    around.records.0.borrow_mut().past.sprayers.insert(
        "pump".into(),
        SprayerPast {
            in_it: Some("old-wax".into()),
            ..SprayerPast::default()
        },
    );
    let runner = around.runner(day_setup(PANEL));
    assert!(matches!(runner.bay().offer(), Offer::Rinse(first)
        if first.was == "old-wax" && first.never == Some(Reason::Unknown)));
}

// ---- What must never meet --------------------------------------------------------------------

/// An acid is in the first sprayer, and the acid is the day's.
fn with_acid() -> (Around, Runner) {
    let (around, mut runner) = bay();
    act(
        &mut runner,
        [Action::ChooseChemical("acid".into()), Action::Filled],
    );
    (around, runner)
}

#[test]
fn an_operator_cannot_choose_what_must_never_meet_what_is_in_a_sprayer() {
    let (_, mut runner) = with_acid();
    // From another sprayer as well: the choice is the bay's.
    for sprayer in ["pump", "pump-2"] {
        act(
            &mut runner,
            [
                Action::ChooseSprayer(sprayer.into()),
                Action::ChooseChemical("bleach".into()),
            ],
        );
        assert_eq!(runner.bay().chemical().id, "acid", "{sprayer}");
        assert_eq!(
            notice(&runner),
            "Pump sprayer still has Rim acid in it: no Bleach wash. \
             Acid and hypochlorite make chlorine gas."
        );
        assert_eq!(runner.bay().page(), Page::Rinse);
        assert_eq!(runner.bay().rinse_of(), "pump");
        let first = runner.bay().rinse_page().expect("something to rinse out");
        assert_eq!(first.never, Some(Reason::Chlorine));
        // Enter cannot be held.
        runner.act(Action::Main);
        assert_eq!(runner.bay().past("pump").in_it.as_deref(), Some("acid"));
        runner.act(Action::Back);
        assert_eq!(runner.bay().page(), Page::Fill);
    }
    // Rinsed, it may be chosen.
    act(
        &mut runner,
        [
            Action::ChooseChemical("bleach".into()),
            day(DayAction::Rinsed),
            Action::ChooseChemical("bleach".into()),
        ],
    );
    assert_eq!(runner.bay().chemical().id, "bleach");
    assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
}

#[test]
fn the_lead_cannot_set_it_either_and_comes_back_to_the_setting() {
    let (around, mut runner) = with_acid();
    set(&mut runner, Scope::Bay, "bleach", None, true);
    assert_eq!(runner.bay().page(), Page::Rinse);
    assert!(notice(&runner).contains("chlorine gas"));
    assert!(
        !kept(&around)
            .iter()
            .any(|h| matches!(h, Happening::DaySet { .. }))
    );
    runner.act(day(DayAction::Rinsed));
    assert_eq!(
        (runner.bay().page(), runner.bay().day_stage()),
        (Page::Day, DayStage::Strength)
    );
    runner.act(day(DayAction::Set));
    assert_eq!(runner.bay().chemical().id, "bleach");
    // For the sprayer that has nothing in it, nothing is against it.
    let (_, mut runner) = with_acid();
    set(
        &mut runner,
        Scope::Sprayer("pump-2".into()),
        "bleach",
        None,
        true,
    );
    assert_eq!(runner.bay().chemical_for("pump-2").id, "bleach");
}

#[test]
fn where_a_day_brings_them_together_the_reason_is_seen_before_the_rinse() {
    let (around, mut runner) = bay();
    // The day's chemical is bleach; today an operator has an acid in, and the day ends.
    set(&mut runner, Scope::Bay, "bleach", None, false);
    act(
        &mut runner,
        [
            Action::Show(Page::Fill),
            Action::ChooseChemical("acid".into()),
            Action::Filled,
        ],
    );
    around.clock.go_on(DAY);
    act(&mut runner, [Action::Tick, Action::CloseNotice]);
    let Offer::Rinse(first) = runner.bay().offer() else {
        panic!("{:?}", runner.bay().offer());
    };
    assert_eq!(first.never, Some(Reason::Chlorine));
    around.ears.take();
    runner.act(Action::SayFill);
    assert_eq!(
        around.ears.said(),
        ["Pump sprayer: rinse first, never mix."]
    );
    // At home it only leads to the page that says why.
    runner.act(day(DayAction::Rinsed));
    assert_eq!(runner.bay().page(), Page::Rinse);
    assert!(matches!(runner.bay().offer(), Offer::Rinse(_)));
    runner.act(day(DayAction::Rinsed));
    assert_eq!(runner.bay().page(), Page::Fill);
    assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
}

// ---- Records that fail -----------------------------------------------------------------------

#[test]
fn what_cannot_be_kept_is_not_done() {
    let (around, mut runner) = bay();
    runner.act(Action::Filled);
    runner.act(Action::ChooseChemical("degreaser".into()));
    let fails = |fails| around.records.0.borrow_mut().fails = fails;
    fails(true);
    runner.act(day(DayAction::Rinsed));
    assert!(notice(&runner).starts_with("The rinse was not kept. The disk is full"));
    assert!(matches!(runner.bay().offer(), Offer::Rinse(_)));
    fails(false);
    runner.act(day(DayAction::Rinsed));
    fails(true);
    runner.act(Action::Undo);
    assert!(notice(&runner).starts_with("The rinse was not taken back"));
    assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
    fails(false);
    let before = aim(runner.bay());
    let_in_to(&mut runner, Page::Day);
    fails(true);
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    assert!(notice(&runner).starts_with("The day's chemical was not set. The disk is full"));
    assert_eq!(aim(runner.bay()), before);
    assert_eq!(
        runner.bay().day_stage(),
        DayStage::Strength,
        "nothing typed is lost"
    );
    fails(false);
    runner.act(day(DayAction::Set));
    fails(true);
    runner.act(Action::Undo);
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    fails(false);
}

// ---- The first fill of the day ---------------------------------------------------------------

#[test]
fn the_first_fill_of_a_day_is_told_with_the_days_chemical() {
    let around = Around::default();
    around.records.0.borrow_mut().past.last_fill = None;
    let mut runner = around.runner(day_setup(PANEL));
    set(&mut runner, Scope::Bay, "film", Some("4.5"), false);
    act(&mut runner, [Action::Show(Page::Fill), Action::CloseNotice]);
    let mut said = |actions: &[Action]| {
        around.ears.take();
        act(&mut runner, actions.iter().cloned());
        around.ears.said().join(" | ")
    };
    let say = [Action::CloseNotice, Action::SayFill];
    let days = "Chemical of the day: Film remover, strength 4.5 %. ";
    assert_eq!(
        said(&say),
        format!("{days}Pump sprayer: 225 ml product, then water to the line.")
    );
    // Once.
    assert!(said(&say).starts_with("Pump sprayer"));
    assert_eq!(said(&[Action::Filled]), "Fill logged.");
    // The next day again, before the fill is logged without having been said.
    around.clock.go_on(DAY);
    assert_eq!(said(&[Action::Filled]), format!("{days}Fill logged."));
    assert!(said(&say).starts_with("Pump sprayer"));
    // The date is lost: there is no day.
    around.clock.lose_date();
    assert!(said(&say).starts_with("Pump sprayer"));
}

#[test]
fn after_a_restart_it_is_not_told_twice() {
    let around = Around::default();
    let mut runner = around.runner(day_setup(PANEL));
    runner.act(Action::SayFill);
    assert!(
        around.ears.said()[0].starts_with("Pump sprayer"),
        "filled today"
    );
    around.clock.go_on(DAY);
    let mut runner = around.runner(day_setup(PANEL));
    around.ears.take();
    runner.act(Action::SayFill);
    assert!(around.ears.said()[0].starts_with("Chemical of the day"));
}

// ---- Whatever is done ------------------------------------------------------------------------

/// One thing that somebody does.
#[derive(Debug, Clone)]
enum Does {
    Acts(Action),
    /// The shift lead comes with the PIN.
    ComesIn,
    /// Time goes by.
    Passes(Duration),
    /// The records begin to fail, or work again.
    Fails(bool),
}

fn does() -> impl Strategy<Value = Does> {
    let chemical = || prop::sample::select(vec!["film", "wheel", "degreaser", "acid", "bleach"]);
    let sprayer = || prop::sample::select(vec!["pump", "pump-2"]);
    let scope = prop_oneof![
        Just(Scope::Bay),
        sprayer().prop_map(|id| Scope::Sprayer(id.into()))
    ];
    let set_up = prop_oneof![
        3 => scope.prop_map(DayAction::For),
        2 => chemical().prop_map(|id| DayAction::Chemical(id.into())),
        3 => Just(DayAction::Stronger),
        1 => Just(DayAction::Weaker),
        1 => Just(DayAction::OpenPad),
        1 => Just(DayAction::TakeTyped),
        1 => any::<bool>().prop_map(DayAction::TodayOnly),
        4 => Just(DayAction::Set),
        2 => Just(DayAction::Confirm),
        1 => Just(DayAction::End),
    ];
    let acts = prop_oneof![
        6 => set_up.prop_map(Action::Day),
        3 => Just(Action::Day(DayAction::Rinsed)),
        1 => sprayer().prop_map(|id| Action::Day(DayAction::RinseOf(id.into()))),
        2 => chemical().prop_map(|id| Action::ChooseChemical(id.into())),
        2 => sprayer().prop_map(|id| Action::ChooseSprayer(id.into())),
        1 => prop::sample::select(Part::ALL.to_vec()).prop_map(Action::ChoosePart),
        1 => Just(Action::SayFill),
        4 => Just(Action::Filled),
        1 => Just(Action::WashDone),
        2 => Just(Action::Undo),
        1 => Just(Action::CloseNotice),
        1 => Just(Action::Main),
        1 => Just(Action::Back),
        1 => Just(Action::Show(Page::Fill)),
        1 => Just(Action::Show(Page::Day)),
        1 => Just(Action::Show(Page::Rinse)),
        1 => Just(Action::Lead(LeadAction::Leave)),
        1 => (0..10u8).prop_map(|digit| Action::Pad(fillcall::bay::action::PadKey::Digit(digit))),
        1 => Just(Action::Tick),
    ];
    prop_oneof![
        30 => acts.prop_map(Does::Acts),
        3 => Just(Does::ComesIn),
        2 => prop::sample::select(vec![1u64, 11, 400, 20 * 3600, 24 * 3600])
            .prop_map(|seconds| Does::Passes(Duration::from_secs(seconds))),
        1 => any::<bool>().prop_map(Does::Fails),
    ]
}

/// The figure of every sprayer stands to the records as it must.
fn held_against(bay: &Bay, kept: &[Happening]) -> Result<(), TestCaseError> {
    let inside = inside((1..).zip(kept));
    for sprayer in &bay.setup().sprayers {
        let chemical = bay.chemical_for(&sprayer.id);
        let is_in_it = inside
            .iter()
            .find(|(of, _)| *of == sprayer.id)
            .and_then(|(_, is_in_it)| is_in_it.clone());
        prop_assert_eq!(&bay.past(&sprayer.id).in_it, &is_in_it);
        match bay.offer_for(sprayer, chemical, Part::Full) {
            Offer::Rinse(_) => prop_assert!(is_in_it.is_some_and(|id| id != chemical.id)),
            Offer::Fill(plan) => {
                prop_assert!(is_in_it.is_none_or(|id| id == chemical.id));
                let usual = bay.setup().chemical(&chemical.id).expect("of the set-up");
                if chemical.target == usual.target {
                    continue;
                }
                // Another strength than the set-up's: the lead set it, and above the band confirmed it.
                let set = kept.iter().filter_map(|h| match h {
                    Happening::DaySet { setting, .. } => setting.as_ref(),
                    _ => None,
                });
                let mut sets = set
                    .filter(|set| set.chemical == chemical.id && set.strength == Some(plan.wanted));
                let set = sets.next();
                prop_assert!(set.is_some(), "{:?} of nobody", plan.wanted);
                let above = allowed(usual, plan.wanted) == Allowed::TooStrong;
                prop_assert_eq!(set.is_some_and(|set| set.above_band), above);
            }
            other => prop_assert!(false, "{:?}", other),
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// No sequence of actions changes the strength aimed at without a happening of it in the records,
    /// gets an operator past the band, or pours into a sprayer that was not rinsed.
    #[test]
    fn no_strength_changes_without_a_record_and_none_is_poured_onto_another(
        all in prop::collection::vec(does(), 1..60)
    ) {
        let around = Around::default();
        let mut runner = around.runner(day_setup(PANEL));
        for does in all {
            let aims = |bay: &Bay| {
                let ids = bay.setup().sprayers.iter().map(|sprayer| &sprayer.id);
                ids.map(|id| aim_for(bay, id)).collect::<Vec<_>>()
            };
            let (before, date, was_in) = {
                let bay = runner.bay();
                (aims(bay), around.clock.now().wall.date_naive(), bay.lead_is_in())
            };
            let count = kept(&around).len();
            match &does {
                Does::Acts(action) => runner.act(action.clone()),
                Does::ComesIn => let_in_to(&mut runner, Page::Day),
                Does::Passes(time) => {
                    around.clock.go_on(*time);
                    runner.act(Action::Tick);
                }
                Does::Fails(fails) => around.records.0.borrow_mut().fails = *fails,
            }
            let kept = kept(&around);
            let new = &kept[count..];
            let same_day = around.clock.now().wall.date_naive() == date;
            let told = new.iter().any(|h| {
                matches!(h, Happening::DaySet { .. } | Happening::ChemicalChosen(_))
            });
            let changed = aims(runner.bay()) != before;
            prop_assert!(!changed || told || !same_day, "{:?} changed it silently", does);
            let undo = matches!(does, Does::Acts(Action::Undo));
            let set = new.iter().any(|h| matches!(h, Happening::DaySet { .. }));
            prop_assert!(!set || was_in || undo, "{:?} set it without the session", does);
            // What was logged was not poured onto another chemical, be it by never-mix or by rinse.
            for (place, happening) in new.iter().enumerate() {
                if let Happening::Fill(fill) = happening {
                    let before = inside((1..).zip(&kept[..count + place]));
                    let there = before.iter().find(|(of, _)| *of == fill.sprayer);
                    let there = there.and_then(|(_, is_in_it)| is_in_it.as_deref());
                    prop_assert!(there.is_none_or(|there| there == fill.chemical));
                }
            }
            held_against(runner.bay(), &kept)?;
            // Nobody chooses or sets what must never meet what is in a sprayer.
            if told && !undo && new.iter().any(|h| matches!(h, Happening::ChemicalChosen(_))) {
                let bay = runner.bay();
                for sprayer in &bay.setup().sprayers {
                    let is_in_it = bay.past(&sprayer.id).in_it;
                    let is_in_it = is_in_it.and_then(|id| bay.setup().chemical(&id).cloned());
                    let never = is_in_it
                        .and_then(|there| never_mix(&there, bay.chemical_for(&sprayer.id)));
                    prop_assert_eq!(never, None);
                }
            }
        }
    }
}

// ---- By the buttons --------------------------------------------------------------------------

fn shown() -> (Around, Window) {
    let around = Around::default();
    let window = window_of(day_setup(PANEL), &around);
    (around, window)
}

fn seen_offer(window: &Window) -> Offer {
    let screen = window.off.screen();
    screen.with_bay(Bay::offer).expect("a bay")
}

#[test]
fn a_strength_above_the_band_is_set_by_a_held_press_only() {
    let (around, window) = shown();
    days::come_in(&window);
    window.press(&[
        "Whole bay",
        "Strength: 4 %",
        "6",
        "Take it",
        "Set it",
        "Set all the same",
    ]);
    assert!(
        !kept(&around)
            .iter()
            .any(|h| matches!(h, Happening::DaySet { .. }))
    );
    window.hold("Set all the same");
    let set = last_set(&around).expect("set");
    assert!(set.above_band && set.strength == Some(percent(6.0)));
    window.press(&["Undo"]);
    assert_eq!(last_set(&around), None);
}

#[test]
fn a_never_mix_pair_is_rinsed_by_a_held_press_only() {
    let (around, window) = shown();
    window.act([Action::ChooseChemical("acid".into()), Action::CloseNotice]);
    window.press(&[
        "Filled",
        "Close",
        "Chemical: Rim acid",
        "Bleach wash",
        "Close",
        "Rinsed",
    ]);
    assert!(
        !kept(&around)
            .iter()
            .any(|h| matches!(h, Happening::Rinsed { .. }))
    );
    window.hold("Rinsed");
    assert!(matches!(
        kept(&around).last(),
        Some(Happening::Rinsed { .. })
    ));
    window.press(&["Close", "Chemical: Rim acid", "Bleach wash", "Close"]);
    assert!(matches!(seen_offer(&window), Offer::Fill(_)));
}

#[test]
fn home_has_one_button_in_place_of_the_figure() {
    let (_, window) = shown();
    window.press(&[
        "Filled",
        "Close",
        "Chemical: Film remover",
        "Degreaser",
        "Close",
    ]);
    let labels = window.labels();
    assert!(labels.contains(&"Rinsed".to_owned()), "{labels:?}");
    assert!(!labels.contains(&"Filled".to_owned()), "{labels:?}");
    window.press(&["Rinsed"]);
    assert!(matches!(seen_offer(&window), Offer::Fill(_)));
    window.press(&["Undo"]);
    assert!(matches!(seen_offer(&window), Offer::Rinse(_)));
}
