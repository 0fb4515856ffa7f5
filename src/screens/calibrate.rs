//! The guided calibration.

use super::generated::{CalibrateView, Fact, Load, RunRow, StepName};
use super::models::update;
use super::wall::Hands;
use crate::bay::action::{Action, PadKey};
use crate::bay::at_work::Bay;
use crate::bay::records::Step;
use crate::bay::stopwatch::Watch;
use crate::trade::calibration::{Calibration, Doubt, MOST_RUNS, time_shown};
use crate::trade::fill_plan::{self, Part, Plan};
use crate::trade::reminder::Standing;
use crate::trade::units::{Volume, trim_number};
use std::time::Duration;

/// How many measures have a key of their own for full loads: the largest.
const LOAD_KEYS: usize = 2;

fn step_name(step: Step) -> StepName {
    match step {
        Step::Holds => StepName::Holds,
        Step::SetTime => StepName::SetTime,
        Step::Temperature => StepName::Temperature,
        Step::BucketEmpty => StepName::BucketEmpty,
        Step::FillToLine => StepName::FillToLine,
        Step::ContainerFull => StepName::ContainerFull,
        Step::Ready => StepName::Ready,
        Step::Running => StepName::Running,
        Step::Left => StepName::Left,
        Step::Catch => StepName::Catch,
        Step::ContainerAfter => StepName::ContainerAfter,
        Step::BucketFull => StepName::BucketFull,
        Step::Review => StepName::Review,
    }
}

fn ml(volume: Volume) -> String {
    trim_number(volume.as_ml(), 1)
}

/// Whole seconds, and the tenth, which is shown smaller.
fn watch_text(watch: Watch) -> (String, String) {
    match watch {
        Watch::Still => (String::new(), String::new()),
        Watch::Countdown(left) => (left.to_string(), String::new()),
        Watch::Running(time) => {
            // Cut, not rounded: a stopwatch shows a tenth once it is over.
            let tenths = time.as_millis() / 100;
            ((tenths / 10).to_string(), format!(".{}", tenths % 10))
        }
    }
}

fn results(bay: &Bay, result: &Calibration) -> Vec<Fact> {
    let fact = |name: &str, value: String| Fact {
        name: name.into(),
        value: value.into(),
    };
    // The run in hand; the figures below are of all runs.
    let last = result.more.last().unwrap_or(&result.run);
    let mut facts = vec![
        fact("Drawn", last.drawn.shown()),
        fact(
            "Caught",
            format!("{} in {}", last.catch.shown(), time_shown(last.time)),
        ),
    ];
    if let Some(flows) = result.flows() {
        facts.push(fact(
            "Flow, and draw",
            format!("{}, {}", flows.total.shown(), flows.draw.shown()),
        ));
    }
    let Some(sprayer) = bay.draft_sprayer() else {
        return facts;
    };
    let dose = |calibration: Option<&Calibration>| {
        let measures = &bay.setup().measures;
        match fill_plan::plan(sprayer, calibration, bay.chemical(), Part::Full, measures) {
            Plan::Fill(plan) => plan.pour.dose.product.shown(),
            Plan::OutOfReach { .. } => "out of reach".into(),
            Plan::Unmeasurable { .. } => "too little".into(),
            Plan::Uncalibrated => "none".into(),
        }
    };
    let before = match bay.standing(sprayer) {
        Standing::Void(_) => "void".into(),
        _ => dose(bay.calibration(&sprayer.id)),
    };
    facts.push(fact(
        "Dose",
        format!("{} (before: {before})", dose(Some(result))),
    ));
    facts
}

/// Shows the calibration in hand.
pub fn show(bay: &Bay, view: &CalibrateView) {
    let Some(calibrating) = bay.calibrating() else {
        return;
    };
    let draft = &calibrating.draft;
    let step = calibrating.step();
    view.set_step(step_name(step));
    let (at, of) = calibrating.place();
    view.set_step_count(format!("{at} of {of}").into());
    view.set_sprayer(bay.draft_sprayer().map_or("", |s| s.name.as_str()).into());
    view.set_typed(calibrating.typed.text().into());
    view.set_typed_unit(calibrating.typed.unit().shown().into());
    view.set_holds_before(
        bay.holds_before()
            .map_or(String::new(), |v| v.shown())
            .into(),
    );
    view.set_holds(draft.holds.map_or(String::new(), ml).into());
    view.set_kept_time(draft.time.map_or(String::new(), time_shown).into());
    view.set_counting_down(matches!(bay.watch(), Watch::Countdown(_)));
    let (seconds, tenth) = watch_text(bay.watch());
    view.set_watch(seconds.into());
    view.set_watch_tenth(tenth.into());
    let catch = calibrating.catch();
    view.set_catch_total(trim_number(catch.as_litres(), 3).into());
    let with_typed = catch + calibrating.typed.volume().unwrap_or_default();
    view.set_catch_with_typed(trim_number(with_typed.as_litres(), 3).into());
    view.set_catch_loads(
        match draft.catch_loads.len() {
            1 => "1 load".to_owned(),
            n => format!("{n} loads"),
        }
        .into(),
    );
    view.set_may_undo_load(!draft.catch_loads.is_empty());
    view.set_may_go_on(match step {
        Step::Holds => {
            calibrating.typed.volume().is_some()
                || (draft.holds.is_some() && calibrating.typed.text().is_empty())
        }
        Step::Catch => {
            let typed = &calibrating.typed;
            typed.volume().is_some() || (typed.text().is_empty() && catch.is_some_liquid())
        }
        _ => true,
    });
    let mut measures: Vec<_> = bay.setup().measures.iter().collect();
    measures.sort_by(|a, b| b.size.as_ml().total_cmp(&a.size.as_ml()));
    let loads = measures
        .iter()
        .take(LOAD_KEYS)
        .map(|m| Load {
            id: m.id.as_str().into(),
            name: size_words(m.size).into(),
        })
        .collect();
    if let Some(new) = update(view.get_measures(), loads) {
        view.set_measures(new);
    }
    if let Some(result) = calibrating.result() {
        show_result(bay, &result, view);
    }
}

fn size_words(size: Volume) -> String {
    match size.as_ml() {
        ml if ml >= 1000.0 => format!("{} L", trim_number(ml / 1000.0, 2)),
        ml => format!("{} ml", trim_number(ml, 0)),
    }
}

fn show_result(bay: &Bay, result: &Calibration, view: &CalibrateView) {
    let draws =
        |d: Option<crate::trade::dilution::DrawFraction>| d.map_or("none".into(), |d| d.shown());
    view.set_draw_fraction(draws(result.draw_fraction()).into());
    let before = bay.draft_sprayer().and_then(|s| bay.calibration(&s.id));
    view.set_draw_fraction_before(match before {
        Some(before) => format!("before: {}", draws(before.draw_fraction())).into(),
        None => "the first one".into(),
    });
    if let Some(new) = update(view.get_results(), results(bay, result)) {
        view.set_results(new);
    }
    show_runs(bay, view);
    let doubts = bay.doubts();
    view.set_doubts(
        doubts
            .iter()
            .map(Doubt::words)
            .collect::<Vec<_>>()
            .join(" ")
            .into(),
    );
    view.set_may_save(!doubts.iter().any(Doubt::is_impossible));
}

fn show_runs(bay: &Bay, view: &CalibrateView) {
    let Some(calibrating) = bay.calibrating() else {
        return;
    };
    let runs = calibrating.runs();
    let differing = bay.differing_runs();
    let rows = runs
        .iter()
        .enumerate()
        .map(|(i, run)| {
            let differs = differing.contains(&i);
            RunRow {
                name: format!("Run {}", i + 1).into(),
                draw: run
                    .draw_fraction()
                    .map_or(String::new(), |d| d.shown())
                    .into(),
                note: match (differs, runs.len()) {
                    (true, _) => "differs: hold to drop".into(),
                    (false, 1) => time_shown(run.time).into(),
                    (false, _) => "hold to drop".into(),
                },
                differs,
            }
        })
        .collect();
    if let Some(new) = update(view.get_runs(), rows) {
        view.set_runs(new);
    }
    view.set_shows_runs(calibrating.shows_runs);
    view.set_may_add_run(runs.len() < MOST_RUNS);
    view.set_runs_note(
        match differing.is_empty() {
            true => format!("{} of at most {MOST_RUNS} runs", runs.len()),
            false => "Some differ too much: drop or repeat them.".to_owned(),
        }
        .into(),
    );
    // The likeliest alone: a list of possibilities is read by nobody with a lance in hand.
    view.set_causes(bay.likely_causes().first().map_or("", |c| c.words()).into());
}

/// What is pressed while calibrating.
pub fn connect(view: &CalibrateView, hands: &Hands) {
    view.on_digit({
        let hands = hands.clone();
        move |digit| hands.act(Action::Pad(PadKey::Digit(u8::try_from(digit).unwrap_or(0))))
    });
    view.on_point(hands.on(|| Action::Pad(PadKey::Point)));
    view.on_erase(hands.on(|| Action::Pad(PadKey::Back)));
    view.on_next(hands.on(|| Action::NextStep));
    view.on_previous(hands.on(|| Action::PreviousStep));
    view.on_as_before(hands.on(|| Action::HoldsAsBefore));
    view.on_add_load(hands.on_text(Action::AddLoad));
    view.on_add_typed(hands.on(|| Action::AddTyped));
    view.on_undo_load(hands.on(|| Action::UndoLoad));
    view.on_start_stop({
        let hands = hands.clone();
        move |ago_ms| {
            let ago = Duration::from_millis(u64::try_from(ago_ms).unwrap_or(0));
            hands.act(Action::StartStop { ago });
        }
    });
    view.on_save(hands.on(|| Action::SaveCalibration));
    view.on_again(hands.on(|| Action::RunAgain));
    view.on_another_run(hands.on(|| Action::AnotherRun));
    view.on_show_runs({
        let hands = hands.clone();
        move |show| hands.act(Action::ShowRuns(show))
    });
    view.on_drop_run({
        let hands = hands.clone();
        move |place| {
            hands.act(Action::DropRun(
                usize::try_from(place).unwrap_or(usize::MAX),
            ))
        }
    });
    view.on_throw_away(hands.on(|| Action::ThrowAway));
}
