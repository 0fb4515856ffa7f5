//! The day's chemical and its strength, rinsing between chemicals, and what must never meet.

mod common;

#[path = "day/choices.rs"]
mod choices;

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
use fillcall::bay::records::{DaySetting, Entry, Happening, Placed, Scope, SprayerPast};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Profile;
use fillcall::screens::generated::{DayView, FillView, HelpView};
use fillcall::trade::chemical::{Band, Target};
use fillcall::trade::days_strength::{Allowed, allowed};
use fillcall::trade::fill_plan::Part;
use fillcall::trade::never_mix::{Reason, never_mix};
use proptest::prelude::*;
use slint::{ComponentHandle, Model};
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

/// What was set last and not taken back; `None` where it was ended.
fn last_set(around: &Around) -> Option<DaySetting> {
    let kept = kept(around);
    let newest = standing_sets(&kept).into_iter().next_back();
    newest.and_then(|(_, _, setting)| setting.cloned())
}

/// All that was set or ended and not taken back, oldest first, with its number.
fn standing_sets(kept: &[Happening]) -> Vec<(Entry, &Scope, Option<&DaySetting>)> {
    let undone = |entry: Entry| kept.contains(&Happening::DayUndone(entry));
    let sets = (1..)
        .zip(kept)
        .filter_map(|(entry, happening)| match happening {
            Happening::DaySet { scope, setting } => Some((entry, scope, setting.as_ref())),
            _ => None,
        });
    sets.filter(|(entry, ..)| !undone(*entry)).collect()
}

/// What the store would report after a restart of what was kept by now.
fn remember(around: &Around) {
    let happened = kept(around);
    let mut kept = around.records.0.borrow_mut();
    let kept = &mut *kept;
    let at = |entry: Entry| kept.happenings[entry as usize - 1].0;
    kept.past.day.clear();
    for (entry, scope, setting) in standing_sets(&happened) {
        kept.past.day.remove(scope);
        if let Some(setting) = setting {
            let placed = Placed {
                entry,
                at: at(entry),
                what: setting.clone(),
            };
            kept.past.day.insert(scope.clone(), placed);
        }
    }
    for (entry, happening) in (1..).zip(&happened) {
        if let Happening::ChemicalChosen { scope, chemical } = happening {
            let placed = Placed {
                entry,
                at: at(entry),
                what: chemical.clone(),
            };
            kept.past.chosen_chemicals.insert(scope.clone(), placed);
        }
        kept.past.newest = kept.past.newest.max(Some(at(entry)));
    }
    for (sprayer, is_in_it) in inside((1..).zip(&happened)) {
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
            allowed: Allowed::Freely,
            beside_never: false,
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
    for (typed, outside) in [("6", Allowed::TooStrong), ("2", Allowed::TooWeak)] {
        let (around, mut runner) = bay();
        set(&mut runner, Scope::Bay, "film", Some(typed), true);
        assert_eq!(runner.bay().day_stage(), DayStage::Confirm, "{typed}");
        let of = runner.bay().day_consequence().expect("a consequence");
        let usual = if typed == "6" { 1.5 } else { 0.5 };
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
        assert_eq!(last_set(&around).expect("set").allowed, outside);
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

/// What is typed is set and, where that is asked, confirmed; then the set-up gets this band, and this
/// strength is in force.
fn holds_by_another_band(band: (f64, f64), typed_and_then: [(&str, f64); 2]) {
    for (typed, then) in typed_and_then {
        let (around, mut runner) = bay();
        set(&mut runner, Scope::Bay, "film", Some(typed), false);
        runner.act(day(DayAction::Confirm));
        remember(&around);
        let mut setup = day_setup(PANEL);
        setup.chemicals[0].band = Some(Band {
            least: percent(band.0),
            most: percent(band.1),
        });
        let runner = around.runner(setup);
        assert_eq!(aim(runner.bay()), at("film", then), "{typed}");
    }
}

#[test]
fn above_a_band_that_was_narrowed_since_only_what_was_confirmed_holds() {
    holds_by_another_band((3.0, 4.2), [("4.5", 4.0), ("6", 6.0)]);
}

#[test]
fn below_a_band_that_was_raised_since_only_what_was_confirmed_holds() {
    holds_by_another_band((3.5, 5.0), [("3.2", 4.0), ("2", 2.0)]);
    // Confirmed as too weak is not confirmed as too strong.
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("2"), false);
    runner.act(day(DayAction::Confirm));
    remember(&around);
    let mut setup = day_setup(PANEL);
    setup.chemicals[0].target = Target::OnVehicle(percent(1.0));
    setup.chemicals[0].band = Some(Band {
        least: percent(0.8),
        most: percent(1.5),
    });
    assert_eq!(aim(around.runner(setup).bay()), at("film", 1.0));
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

#[test]
fn a_clock_that_went_back_does_not_turn_the_order_round() {
    // The operator first and the lead after it, and the other way round.
    for lead_last in [true, false] {
        let (around, mut runner) = bay();
        let choose = |runner: &mut Runner| {
            act(
                runner,
                [
                    Action::Show(Page::Fill),
                    Action::ChooseChemical("degreaser".into()),
                ],
            );
        };
        match lead_last {
            true => choose(&mut runner),
            false => set(&mut runner, Scope::Bay, "wheel", None, true),
        }
        around.clock.set_back(Duration::from_secs(3600));
        match lead_last {
            true => set(&mut runner, Scope::Bay, "wheel", None, true),
            false => choose(&mut runner),
        }
        let in_use = if lead_last { "wheel" } else { "degreaser" };
        assert_eq!(runner.bay().chemical().id, in_use);
        remember(&around);
        let runner = around.runner(day_setup(PANEL));
        assert_eq!(runner.bay().chemical().id, in_use, "after a restart");
    }
}

// ---- Taking it back --------------------------------------------------------------------------

#[test]
fn what_stands_again_is_no_newer_than_it_was() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "wheel", None, true);
    act(
        &mut runner,
        [
            Action::Show(Page::Fill),
            Action::ChooseChemical("degreaser".into()),
        ],
    );
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    runner.act(Action::Undo);
    // The operator's choice came after what stands again.
    assert_eq!(aim(runner.bay()), at("degreaser", 8.0));
    remember(&around);
    let mut runner = around.runner(day_setup(PANEL));
    assert_eq!(aim(runner.bay()), at("degreaser", 8.0), "after a restart");
    // And what was for yesterday is not for today.
    runner.act(Action::ChooseChemical("film".into()));
    around.clock.go_on(DAY - Duration::from_secs(5));
    set(&mut runner, Scope::Bay, "wheel", None, false);
    runner.act(Action::Undo);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
}

#[test]
fn of_two_the_older_one_can_be_taken_back_under_the_newer() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    set(&mut runner, Scope::Bay, "film", Some("3.5"), true);
    runner.act(Action::CloseNotice);
    runner.act(Action::Undo);
    assert_eq!(notice(&runner), "Taken back. What was set after it stands.");
    assert_eq!(aim(runner.bay()), at("film", 3.5));
    remember(&around);
    let runner = around.runner(day_setup(PANEL));
    assert_eq!(aim(runner.bay()), at("film", 3.5));
    // One after the other, back to the set-up's.
    let (_, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    set(&mut runner, Scope::Bay, "film", Some("3.5"), true);
    act(&mut runner, [Action::Undo, Action::CloseNotice]);
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    runner.act(Action::Undo);
    assert_eq!(aim(runner.bay()), at("film", 4.0));
}

#[test]
fn only_in_the_session_it_is_taken_back() {
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "film", Some("4.5"), true);
    runner.act(Action::Lead(LeadAction::Leave));
    act(&mut runner, [Action::CloseNotice]);
    assert!(runner.bay().lead_only_action(&Action::Undo));
    runner.act(Action::Undo);
    assert_eq!(
        notice(&runner),
        "Only the shift lead may do that, with the PIN."
    );
    assert_eq!(aim(runner.bay()), at("film", 4.5));
    assert!(
        !kept(&around)
            .iter()
            .any(|h| matches!(h, Happening::DayUndone(_)))
    );
    // A fill is everybody's.
    act(
        &mut runner,
        [Action::CloseNotice, Action::CloseNotice, Action::Filled],
    );
    assert!(!runner.bay().lead_only_action(&Action::Undo));
}

// ---- Half made -------------------------------------------------------------------------------

#[test]
fn a_setting_half_made_waits_for_the_lead_until_the_session_ends() {
    let (around, mut runner) = bay();
    let_in_to(&mut runner, Page::Day);
    act(
        &mut runner,
        [
            day(DayAction::For(pump(2))),
            day(DayAction::Chemical("degreaser".into())),
            day(DayAction::OpenPad),
        ],
    );
    act(&mut runner, keys("7."));
    // Left open for a minute, and by help that is left open for one.
    for help in [false, true] {
        if help {
            runner.act(Action::Show(Page::Help));
        }
        around.clock.go_on(Duration::from_secs(61));
        runner.act(Action::Tick);
        assert_eq!(runner.bay().page(), Page::Fill);
        let_in_to(&mut runner, Page::Day);
        assert_eq!(runner.bay().day_stage(), DayStage::Typing);
        assert_eq!(runner.bay().day_typed().text(), "7.");
    }
    act(&mut runner, keys("5"));
    act(&mut runner, [day(DayAction::TakeTyped), Action::Back]);
    // Back to the list, and to the same once more; another one begins anew.
    runner.act(day(DayAction::For(pump(2))));
    assert_eq!(runner.bay().day_aim(), Some(percent(7.5)));
    // What is asked must be asked again.
    act(
        &mut runner,
        [day(DayAction::For(Scope::Bay)), day(DayAction::OpenPad)],
    );
    act(&mut runner, keys("6"));
    act(
        &mut runner,
        [
            day(DayAction::TakeTyped),
            day(DayAction::Set),
            Action::Show(Page::Fill),
        ],
    );
    let_in_to(&mut runner, Page::Day);
    assert_eq!(runner.bay().day_stage(), DayStage::Strength);
    runner.act(day(DayAction::Confirm));
    assert_eq!(aim(runner.bay()), at("film", 4.0));
    // The session ends: nobody finds what somebody else left.
    runner.act(Action::Lead(LeadAction::Leave));
    assert_eq!(runner.bay().day_draft(), None);
    let_in_to(&mut runner, Page::Day);
    assert_eq!(runner.bay().day_stage(), DayStage::Scopes);
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
    // From another sprayer as well: the bay has one air and one drain.
    for (sprayer, has) in [("pump", "acid"), ("pump-2", "film")] {
        act(
            &mut runner,
            [
                Action::ChooseSprayer(sprayer.into()),
                Action::ChooseChemical("bleach".into()),
            ],
        );
        assert_eq!(runner.bay().chemical().id, has, "{sprayer}");
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
    // Rinsed, it may be chosen for the one that has the acid; for the other one not as long as that is
    // what the first one is filled with.
    act(
        &mut runner,
        [
            Action::ChooseChemical("bleach".into()),
            day(DayAction::Rinsed),
            Action::ChooseChemical("bleach".into()),
        ],
    );
    assert_eq!(runner.bay().chemical().id, "film");
    assert_eq!(
        notice(&runner),
        "Pump sprayer has or gets Rim acid: no Bleach wash beside it. Acid and hypochlorite make chlorine \
         gas. Ask the shift lead."
    );
    act(
        &mut runner,
        [
            Action::ChooseSprayer("pump".into()),
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
    assert_eq!(
        runner.bay().day_stage(),
        DayStage::Beside,
        "but for the other"
    );
    runner.act(day(DayAction::Confirm));
    assert_eq!(runner.bay().chemical_for("pump-2").id, "bleach");
}

// ---- What must never meet, side by side --------------------------------------------------------

fn pump(n: u32) -> Scope {
    Scope::Sprayer(if n == 1 {
        "pump".into()
    } else {
        "pump-2".into()
    })
}

#[test]
fn acid_and_hypochlorite_in_one_bay_are_asked_about_and_recorded() {
    let (around, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    assert!(!last_set(&around).expect("set").beside_never);
    set(&mut runner, pump(2), "bleach", None, true);
    assert_eq!(runner.bay().day_stage(), DayStage::Beside);
    let of = runner.bay().day_beside().expect("a pair");
    assert_eq!(
        (
            of.chemical.as_str(),
            of.other.as_str(),
            of.has.as_str(),
            of.reason
        ),
        ("Bleach wash", "Pump sprayer", "Rim acid", Reason::Chlorine)
    );
    // Neither Enter nor asking again is an answer.
    act(
        &mut runner,
        [Action::Main, day(DayAction::Set), day(DayAction::Stronger)],
    );
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    runner.act(Action::Back);
    assert_eq!(runner.bay().day_stage(), DayStage::Strength);
    runner.act(day(DayAction::Confirm));
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    act(&mut runner, [day(DayAction::Set), day(DayAction::Confirm)]);
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("bleach", 2.0));
    assert!(last_set(&around).expect("set").beside_never);
    // Both know of it, as long as it is so.
    for (sprayer, has) in [("pump", "Bleach wash"), ("pump-2", "Rim acid")] {
        let beside = runner.bay().beside_never(sprayer).expect("beside");
        assert_eq!(beside.has, has);
    }
    set(&mut runner, pump(2), "film", None, true);
    assert_eq!(runner.bay().beside_never("pump"), None);
}

#[test]
fn a_strength_outside_beside_what_it_must_never_meet_is_asked_about_twice() {
    let (around, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    set(&mut runner, pump(2), "bleach", Some("4"), true);
    assert_eq!(runner.bay().day_stage(), DayStage::Confirm);
    runner.act(day(DayAction::Confirm));
    assert_eq!(runner.bay().day_stage(), DayStage::Beside);
    assert_eq!(aim_for(runner.bay(), "pump-2"), at("film", 4.0));
    runner.act(day(DayAction::Confirm));
    let set = last_set(&around).expect("set");
    assert!(
        set.beside_never && set.allowed == Allowed::TooStrong,
        "{set:?}"
    );
}

#[test]
fn what_is_in_the_other_sprayer_counts_and_what_an_operator_chose() {
    for chooses in [true, false] {
        let (_, mut runner) = bay();
        act(&mut runner, [Action::ChooseChemical("acid".into())]);
        if !chooses {
            // Chosen for a fill, and then something else: the acid is still in it.
            act(
                &mut runner,
                [Action::Filled, Action::ChooseChemical("film".into())],
            );
        }
        set(&mut runner, pump(2), "bleach", None, true);
        assert_eq!(runner.bay().day_stage(), DayStage::Beside, "{chooses}");
    }
    // Nor is the day's own forgotten that comes back when a choice ends.
    let (_, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    act(
        &mut runner,
        [
            Action::Show(Page::Fill),
            Action::ChooseChemical("film".into()),
        ],
    );
    set(&mut runner, pump(2), "bleach", None, false);
    assert_eq!(runner.bay().day_stage(), DayStage::Beside);
}

#[test]
fn for_the_whole_bay_only_those_without_their_own_are_asked_about() {
    let (_, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    set(&mut runner, Scope::Bay, "bleach", None, true);
    assert_eq!(runner.bay().day_stage(), DayStage::Beside);
    runner.act(day(DayAction::Confirm));
    assert_eq!(runner.bay().chemical_for("pump").id, "acid");
    assert_eq!(runner.bay().chemical_for("pump-2").id, "bleach");
    // Both have their own: the bay's is nobody's for now.
    set(&mut runner, pump(2), "bleach", None, true);
    runner.act(day(DayAction::Confirm));
    set(&mut runner, Scope::Bay, "acid", None, true);
    assert_eq!(runner.bay().day_stage(), DayStage::Scopes, "set");
}

#[test]
fn ending_and_taking_back_bring_nothing_together() {
    let refused = |runner: &Runner| {
        let notice = notice(runner);
        assert!(
            notice.contains("Set it instead: that asks first."),
            "{notice}"
        );
    };
    let (around, mut runner) = bay();
    set(&mut runner, Scope::Bay, "acid", None, false);
    set(&mut runner, pump(2), "film", None, false);
    set(&mut runner, pump(1), "bleach", None, false);
    // Beside film nothing is against it; beside the bay's acid something would be.
    let before = kept(&around).len();
    act(
        &mut runner,
        [day(DayAction::For(pump(2))), day(DayAction::End)],
    );
    refused(&runner);
    assert_eq!(kept(&around).len(), before);
    assert_eq!(runner.bay().chemical_for("pump-2").id, "film");
    // What was confirmed once stands again without more ado.
    let (_, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    set(&mut runner, pump(2), "bleach", None, false);
    runner.act(day(DayAction::Confirm));
    set(&mut runner, pump(2), "film", None, false);
    runner.act(Action::Undo);
    assert_eq!(runner.bay().chemical_for("pump-2").id, "bleach");
    // The same by taking back, where the later one was let stand.
    let (around, mut runner) = bay();
    set(&mut runner, pump(1), "acid", None, false);
    around.clock.go_on(Duration::from_secs(11));
    set(&mut runner, pump(1), "film", None, false);
    set(&mut runner, pump(2), "bleach", None, false);
    runner.act(Action::CloseNotice);
    assert_eq!(notice(&runner), "Film remover: until changed");
    let before = kept(&around).len();
    runner.act(Action::Undo);
    refused(&runner);
    assert_eq!(kept(&around).len(), before);
    assert_eq!(runner.bay().chemical_for("pump").id, "film");
}

#[test]
fn where_a_day_brings_them_together_the_reason_is_seen_before_the_rinse() {
    let (around, mut runner) = bay();
    // The day's chemical is bleach; today an operator has an acid in, and the day ends. The other
    // sprayer has neither.
    set(&mut runner, Scope::Bay, "bleach", None, false);
    set(&mut runner, pump(2), "film", None, false);
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

// ---- The rinse page -------------------------------------------------------------------------

#[test]
fn rinsing_for_the_lead_leads_home_where_the_session_ended_meanwhile() {
    let (around, mut runner) = with_acid();
    set(&mut runner, Scope::Bay, "bleach", None, true);
    assert_eq!(runner.bay().page(), Page::Rinse);
    // Somebody stands at the rinse page, which is everybody's: it does not keep the session open.
    for _ in 0..6 {
        around.clock.go_on(Duration::from_secs(55));
        act(&mut runner, [Action::Touched, Action::Tick]);
    }
    assert!(!runner.bay().lead_is_in());
    assert_eq!(runner.bay().page(), Page::Rinse);
    runner.act(day(DayAction::Rinsed));
    assert_eq!(runner.bay().page(), Page::Fill);
}

#[test]
fn another_sprayer_is_rinsed_by_its_page_and_one_that_is_unknown_has_none() {
    let (around, mut runner) = bay();
    act(
        &mut runner,
        [
            Action::Filled,
            Action::ChooseSprayer("pump-2".into()),
            day(DayAction::RinseOf("nowhere".into())),
        ],
    );
    assert_eq!(runner.bay().page(), Page::Fill);
    runner.act(day(DayAction::RinseOf("pump".into())));
    // What is in it is what is in use: it may be rinsed early, and nothing is against it.
    let first = runner.bay().rinse_page().expect("something is in it");
    assert_eq!((first.was.as_str(), first.never), ("Film remover", None));
    runner.act(day(DayAction::Rinsed));
    let sprayer = "pump".into();
    assert_eq!(kept(&around).last(), Some(&Happening::Rinsed { sprayer }));
    // Nothing is in the one shown.
    let before = kept(&around).len();
    act(&mut runner, [Action::CloseNotice, day(DayAction::Rinsed)]);
    assert_eq!(notice(&runner), "Nothing is known to be in it.");
    assert_eq!(kept(&around).len(), before);
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
    around.records.0.borrow_mut().past.last_fills.clear();
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
fn what_an_operator_chose_is_not_told_as_the_days() {
    let around = Around::default();
    around.records.0.borrow_mut().past.last_fills.clear();
    let mut runner = around.runner(day_setup(PANEL));
    let say = [Action::CloseNotice, Action::SayFill];
    runner.act(Action::ChooseChemical("degreaser".into()));
    around.ears.take();
    act(&mut runner, say.clone());
    assert!(
        around.ears.said()[0].starts_with("Pump sprayer"),
        "{:?}",
        around.ears.said()
    );
    runner.act(Action::ChooseChemical("film".into()));
    around.ears.take();
    act(&mut runner, say);
    assert!(around.ears.said()[0].starts_with("Chemical of the day: Film remover"));
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
    /// The clock is set back.
    SetsBack(Duration),
    /// The program starts anew.
    Restarts,
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
        1 => prop::sample::select(vec![60u64, 3600, 26 * 3600])
            .prop_map(|seconds| Does::SetsBack(Duration::from_secs(seconds))),
        1 => Just(Does::Restarts),
        1 => any::<bool>().prop_map(Does::Fails),
    ]
}

/// Which chemical at which strength a sprayer has by what was kept, worked out in another way than the
/// bay does it.
fn by_the_records(bay: &Bay, around: &Around, sprayer: &str) -> (String, Target) {
    let dates: Vec<_> = {
        let records = around.records.0.borrow();
        records.happenings.iter().map(|(at, _)| *at).collect()
    };
    let kept = kept(around);
    let now = around.clock.now().wall;
    let date_is_lost = dates.iter().any(|at| *at > now);
    let is_of_today = |entry: Entry| {
        let at = dates[entry as usize - 1];
        date_is_lost || at.date_naive() == now.date_naive()
    };
    let sets = standing_sets(&kept);
    let in_force = |scope: &Scope| {
        let (entry, _, setting) = sets.iter().rfind(|(_, of, _)| *of == scope)?;
        let setting = (*setting)?;
        (!setting.today_only || is_of_today(*entry)).then_some((*entry, setting))
    };
    let scopes = [Scope::Sprayer(sprayer.into()), Scope::Bay];
    let set = scopes.iter().find_map(in_force);
    let choices = (1..).zip(&kept).filter_map(|(entry, h)| match h {
        Happening::ChemicalChosen { scope, chemical } if scopes.contains(scope) => {
            Some((entry, chemical))
        }
        _ => None,
    });
    let chosen = choices
        .last()
        .filter(|(entry, _)| is_of_today(*entry) && set.is_none_or(|(set, _)| set < *entry));
    let days = set.map_or(&bay.setup().day_chemical, |(_, set)| &set.chemical);
    let id = chosen.map_or(days, |(_, id)| id);
    let usual = bay.setup().chemical(id).expect("of the set-up").target;
    let own = scopes
        .iter()
        .filter_map(in_force)
        .find(|(_, set)| set.chemical == *id);
    let strength = own.and_then(|(_, set)| set.strength);
    (id.clone(), strength.map_or(usual, Target::OnVehicle))
}

/// The figure of every sprayer stands to the records as it must: nothing but what is in force.
fn held_against(bay: &Bay, around: &Around) -> Result<(), TestCaseError> {
    let kept = kept(around);
    let inside = inside((1..).zip(&kept));
    for sprayer in &bay.setup().sprayers {
        let chemical = bay.chemical_for(&sprayer.id);
        let aim = (chemical.id.clone(), chemical.target);
        prop_assert_eq!(&aim, &by_the_records(bay, around, &sprayer.id));
        let is_in_it = inside
            .iter()
            .find(|(of, _)| *of == sprayer.id)
            .and_then(|(_, is_in_it)| is_in_it.clone());
        prop_assert_eq!(&bay.past(&sprayer.id).in_it, &is_in_it);
        match (
            bay.offer_for(sprayer, chemical, Part::Full),
            chemical.target,
        ) {
            (Offer::Rinse(_), _) => prop_assert!(is_in_it.is_some_and(|id| id != chemical.id)),
            (Offer::Fill(plan), target) => {
                prop_assert!(is_in_it.is_none_or(|id| id == chemical.id));
                if let Target::OnVehicle(strength) = target {
                    prop_assert_eq!(plan.wanted, strength);
                }
            }
            (other, _) => prop_assert!(false, "{:?}", other),
        }
    }
    Ok(())
}

/// What was kept of the lead's was the lead's, and outside of what is allowed it was confirmed.
fn set_rightly(
    bay: &Bay,
    new: &[Happening],
    does: &Does,
    was_in: bool,
) -> Result<(), TestCaseError> {
    for happening in new {
        match happening {
            Happening::DayUndone(_) => prop_assert!(was_in, "taken back without the session"),
            Happening::DaySet { setting, .. } => {
                prop_assert!(was_in, "{:?} set it without the session", does);
                let Some(set) = setting else { continue };
                let usual = bay.setup().chemical(&set.chemical).expect("of the set-up");
                let stands = set.strength.map_or(Allowed::Freely, |p| allowed(usual, p));
                prop_assert_eq!(set.allowed, stands);
                let asked = stands != Allowed::Freely || set.beside_never;
                let confirmed = matches!(does, Does::Acts(Action::Day(DayAction::Confirm)));
                prop_assert_eq!(asked, confirmed);
            }
            _ => {}
        }
    }
    Ok(())
}

/// An operator chose for the sprayer in hand, and nothing that must never meet what is in any sprayer,
/// or what another one has. Back to the day's own only what is in the sprayer stands in the way.
fn chosen_rightly(bay: &Bay, scope: &Scope, chemical: &str) -> Result<(), TestCaseError> {
    let own = &bay.sprayer().id;
    prop_assert_eq!(scope, &Scope::Sprayer(own.clone()));
    let known = |id: &str| bay.setup().chemical(id).expect("of the set-up").clone();
    let chosen = known(chemical);
    let back = bay.days_chemical(own).id == chemical;
    let there = |of: &str| bay.past(of).in_it.map(|id| known(&id));
    let other = |id: &str| {
        let has = [bay.chemical_for(id), bay.days_chemical(id)].map(Clone::clone);
        has.into_iter().chain(there(id))
    };
    let others = bay
        .setup()
        .sprayers
        .iter()
        .filter(|s| s.id != *own && !back);
    let all = there(own).into_iter();
    for against in all.chain(others.flat_map(|s| other(&s.id))) {
        prop_assert_eq!(never_mix(&against, &chosen), None);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    /// No sequence of actions changes the strength aimed at without a happening of it in the records,
    /// gets an operator past the band, or pours into a sprayer that was not rinsed; whatever the clock
    /// shows, and through restarts.
    #[test]
    fn no_strength_changes_without_a_record_and_none_is_poured_onto_another(
        all in prop::collection::vec(does(), 1..60)
    ) {
        let around = Around::default();
        let mut runner = around.runner(day_setup(PANEL));
        for does in all {
            let was_in = runner.bay().lead_is_in();
            let count = kept(&around).len();
            match &does {
                Does::Acts(action) => runner.act(action.clone()),
                Does::ComesIn => let_in_to(&mut runner, Page::Day),
                Does::Passes(time) => {
                    around.clock.go_on(*time);
                    runner.act(Action::Tick);
                }
                Does::SetsBack(time) => {
                    around.clock.set_back(*time);
                    runner.act(Action::Tick);
                }
                Does::Restarts => {
                    remember(&around);
                    runner = around.runner(day_setup(PANEL));
                }
                Does::Fails(fails) => around.records.0.borrow_mut().fails = *fails,
            }
            let kept = kept(&around);
            let new = &kept[count..];
            set_rightly(runner.bay(), new, &does, was_in)?;
            // What was logged was not poured onto another chemical, be it by never-mix or by rinse.
            for (place, happening) in new.iter().enumerate() {
                if let Happening::Fill(fill) = happening {
                    let before = inside((1..).zip(&kept[..count + place]));
                    let there = before.iter().find(|(of, _)| *of == fill.sprayer);
                    let there = there.and_then(|(_, is_in_it)| is_in_it.as_deref());
                    prop_assert!(there.is_none_or(|there| there == fill.chemical));
                }
            }
            held_against(runner.bay(), &around)?;
            for happening in new {
                if let Happening::ChemicalChosen { scope, chemical } = happening {
                    chosen_rightly(runner.bay(), scope, chemical)?;
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
    assert!(set.allowed == Allowed::TooStrong && set.strength == Some(percent(6.0)));
    window.press(&["Undo"]);
    assert_eq!(last_set(&around), None);
}

#[test]
fn a_strength_below_the_band_is_said_at_home() {
    let (around, window) = shown();
    days::come_in(&window);
    window.press(&["Whole bay", "Strength: 4 %", "2", "Take it", "Set it"]);
    window.hold("Set all the same");
    assert_eq!(last_set(&around).expect("set").allowed, Allowed::TooWeak);
    window.act([Action::CloseNotice, Action::Show(Page::Fill)]);
    let view = window.off.screen().wall().global::<FillView>();
    assert_eq!(view.get_chemical_note(), "set too weak");
    assert!(view.get_chemical_warns());
}

#[test]
fn what_must_never_meet_beside_it_is_set_by_a_held_press_only() {
    let (around, window) = shown();
    days::come_in(&window);
    window.press(&[
        "Pump sprayer",
        "Chemical: Film remover",
        "Rim acid",
        "Set it",
        "Close",
    ]);
    window.press(&["Pump 2", "Chemical: Film remover", "Bleach wash", "Set it"]);
    let words = window
        .off
        .screen()
        .wall()
        .global::<DayView>()
        .get_confirm_words();
    assert!(
        words.contains("Acid and hypochlorite make chlorine gas."),
        "{words}"
    );
    assert!(words.contains("one drain"), "{words}");
    window.press(&["Set all the same"]);
    assert!(
        !last_set(&around).expect("set").beside_never,
        "a tap is not a hold"
    );
    window.hold("Set all the same");
    assert!(last_set(&around).expect("set").beside_never);
    window.act([Action::CloseNotice, Action::Show(Page::Fill)]);
    let view = window.off.screen().wall().global::<FillView>();
    assert_eq!(view.get_chemical_note(), "never-mix pair");
    // Which one, and why, stands under help.
    window.act([Action::Show(Page::Help)]);
    let pages = window.off.screen().wall().global::<HelpView>().get_pages();
    let page = pages
        .iter()
        .find(|page| page.title == "Never mix")
        .expect("a page of it");
    assert!(
        page.text.contains("Pump 2 has Bleach wash"),
        "{}",
        page.text
    );
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
    // What it was rinsed for is chosen with it.
    let kept = kept(&around);
    assert!(
        matches!(
            &kept[kept.len() - 2..],
            [Happening::Rinsed { .. }, Happening::ChemicalChosen { chemical, .. }] if chemical == "bleach"
        ),
        "{kept:?}"
    );
    window.press(&["Close"]);
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
