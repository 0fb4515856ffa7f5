//! The guided calibration.

use super::generated::{CalibrateView, Fact, Load, RunRow, StepName};
use super::models::{fact, update};
use super::sound::is_unheard;
use super::tongue::{shown, tr};
use super::wall::Hands;
use super::words::{loads, runs, way_title};
use crate::bay::action::{Action, PadKey};
use crate::bay::at_work::Bay;
use crate::bay::calibrating::Calibrating;
use crate::bay::records::{Draft, Step};
use crate::bay::setup::EntryUnits;
use crate::bay::stopwatch::Watch;
use crate::bay::typed::TypedUnit;
use crate::trade::calibration::{Calibration, Doubt, Flows, MOST_RUNS, Way, time_shown};
use crate::trade::fill_plan::{self, Part, Plan};
use crate::trade::reminder::Standing;
use crate::trade::repeats::Scatter;
use crate::trade::units::{Flow, Volume, trim_number};
use std::time::Duration;

/// How many measures have a key of their own for full loads: the largest.
const LOAD_KEYS: usize = 4;

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
        Step::CatchTemperature => StepName::CatchTemperature,
        Step::Review => StepName::Review,
    }
}

/// What is entered at a step, in a word or two, and what to do with the hands before; `None` where
/// nothing is.
fn pad_words(calibrating: &Calibrating) -> Option<(String, String)> {
    let is_first_run = calibrating.draft.runs.is_empty();
    let words = match calibrating.step() {
        Step::Holds if !calibrating.measures_the_container() => (
            tr!("put in"),
            tr!("Measure some water, any amount. Type how much."),
        ),
        Step::Holds => (
            tr!("holds"),
            tr!("Clean water to the line, tube in. Pour it out, read it."),
        ),
        Step::SetTime => (tr!("runs for"), tr!("It must not run dry.")),
        Step::Temperature => (
            tr!("water"),
            tr!("Type how warm the water is, as it comes in."),
        ),
        Step::BucketEmpty if is_first_run => (
            tr!("bucket, empty"),
            tr!("Wet the bucket and pour it out. Type what the balance shows."),
        ),
        Step::BucketEmpty => (
            tr!("bucket, empty"),
            tr!("Pour it out. Weigh the empty bucket, wet as it is."),
        ),
        Step::ContainerFull => (
            tr!("container, full"),
            tr!("Wipe it dry. Weigh it full, with its tube and lid."),
        ),
        Step::ContainerAfter => (
            tr!("container, after"),
            tr!("Wipe it dry. Weigh it again with the same tube and lid."),
        ),
        Step::BucketFull => (
            tr!("bucket, full"),
            tr!("Weigh the bucket with all that was caught."),
        ),
        Step::Left => (
            tr!("left"),
            tr!("Measure what is left in the container: all of it."),
        ),
        Step::CatchTemperature => (
            tr!("water caught"),
            tr!("A washer that heats: type how warm it is in the bucket."),
        ),
        Step::Catch => (
            tr!("caught"),
            tr!("Measure all that was caught. Tap each full load."),
        ),
        Step::FillToLine | Step::Ready | Step::Running | Step::Review => return None,
    };
    Some(words)
}

/// What to do when the countdown runs.
fn ready_words(draft: &Draft, unheard: bool) -> String {
    let set_time = draft.set_time.filter(|_| draft.way == Way::Timed);
    let seconds = set_time.map(|time| trim_number(time.as_secs_f64(), 1));
    match (seconds, unheard) {
        (Some(seconds), false) => tr!(
            "Nozzle in the bucket. Five beeps, then a long one: pull the trigger, catch everything. \
             After {} s it beeps long again: let go.",
            seconds
        ),
        (Some(seconds), true) => tr!(
            "Nozzle in the bucket. No sound: watch the screen count to 1. Pull the trigger, catch \
             everything. Let go at {} s.",
            seconds
        ),
        (None, true) => tr!(
            "Nozzle in the bucket. No sound: watch the screen count to 1. Pull the trigger, catch \
             everything. Stop when it runs dry."
        ),
        (None, false) => tr!(
            "Nozzle in the bucket. Five beeps, then a long one: pull the trigger, catch everything. \
             Stop when it runs dry."
        ),
    }
}

/// Whole seconds, and the tenth, which is shown smaller.
pub fn watch_text(watch: Watch) -> (String, String) {
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
    // The run in hand; the figures below are of all runs.
    let last = result.more.last().unwrap_or(&result.run);
    let (drawn, caught) = (bay.shown(last.drawn), bay.shown(last.catch));
    let mut facts = vec![
        fact(
            // Of several, each stands on the page of runs with how it was done.
            &match result.more.is_empty() {
                true => way_title(last.way),
                false => runs(result),
            },
            match result.more.is_empty() {
                true => tr!("{} of {}", drawn, caught),
                false => tr!("last: {} of {}", drawn, caught),
            },
        ),
        fact(&tr!("Time"), time_shown(last.time)),
    ];
    let Some(sprayer) = bay.draft_sprayer() else {
        return facts;
    };
    let before = bay.calibration(&sprayer.id);
    if let Some(flows) = result.flows() {
        let beside = |of: fn(&Flows) -> Flow| match before.and_then(Calibration::flows) {
            Some(before) => tr!(
                "{} (before: {})",
                of(&flows).shown(),
                of(&before).shown().trim_end_matches(" L/min")
            ),
            None => of(&flows).shown(),
        };
        facts.push(fact(&tr!("Flow"), beside(|f| f.total)));
        // Several doubts need its room.
        if bay.doubts().len() < 2 {
            facts.push(fact(&tr!("Drawn flow"), beside(|f| f.draw)));
        }
    }
    let dose = |calibration: Option<&Calibration>| {
        let measures = &bay.setup().measures;
        match fill_plan::plan(sprayer, calibration, bay.chemical(), Part::Full, measures) {
            Plan::Fill(plan) if plan.coarse => tr!("{}, coarse", plan.pour.product_shown()),
            Plan::Fill(plan) => plan.pour.product_shown(),
            Plan::OutOfReach { .. } => tr!("out of reach"),
            Plan::Unmeasurable { .. } => tr!("too little"),
            Plan::AboveBand { .. } => tr!("too strong"),
            Plan::Uncalibrated => tr!("none"),
        }
    };
    let dose_before = match (
        bay.standing(sprayer),
        bay.plan_for(sprayer, bay.chemical(), Part::Full),
    ) {
        (Standing::Void(_), _) => tr!("void"),
        // As it is now, with what corrects it.
        (_, Plan::Fill(plan)) => plan.pour.product_shown(),
        _ => dose(before),
    };
    facts.push(fact(
        &tr!("Dose"),
        tr!("{} (before: {})", dose(Some(result)), dose_before),
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
    let (at, of) = calibrating.place();
    view.set_step_count(tr!("{} of {}", at, of).into());
    view.set_sprayer(bay.draft_sprayer().map_or("", |s| s.name.as_str()).into());
    show_entry(bay, calibrating, view);
    view.set_step(step_name(step));
    let offered = match step {
        Step::CatchTemperature => calibrating
            .usual_catch_temperature()
            .map(|celsius| format!("{} °C", trim_number(celsius, 1))),
        _ => bay.holds_before().map(|volume| bay.level_shown(volume)),
    };
    view.set_holds_before(offered.unwrap_or_default().into());
    view.set_holds_by_setup(!bay.container_was_measured());
    view.set_holds(
        draft
            .holds
            .map_or(String::new(), |volume| bay.level_shown(volume))
            .into(),
    );
    view.set_ready_words(ready_words(draft, is_unheard(bay)).into());
    view.set_kept_time(draft.time.map_or(String::new(), time_shown).into());
    view.set_counting_down(matches!(bay.watch(), Watch::Countdown(_)));
    let left = bay.time_left();
    view.set_counts_left(draft.way == Way::Timed);
    let (seconds, tenth) = match left {
        // A second that has begun is still to be held.
        Some(left) => (left.as_secs_f64().ceil().to_string(), String::new()),
        None => watch_text(bay.watch()),
    };
    view.set_watch(seconds.into());
    view.set_watch_tenth(tenth.into());
    let choices = bay
        .time_choices()
        .into_iter()
        .zip([tr!("half of it"), tr!("most of it")])
        .map(|(time, note)| Load {
            id: time.as_secs().to_string().into(),
            // As it would be typed.
            name: format!("{} s", time.as_secs()).into(),
            note: match bay.draft_lasts() {
                Some(_) => note.into(),
                None => "".into(),
            },
        })
        .collect();
    if let Some(new) = update(view.get_time_choices(), choices) {
        view.set_time_choices(new);
    }
    if let Some(result) = bay.calibration_in_hand() {
        show_result(bay, &result, view);
    }
}

/// Shows what is typed, and the loads.
fn show_entry(bay: &Bay, calibrating: &Calibrating, view: &CalibrateView) {
    let (step, typed) = (calibrating.step(), &calibrating.typed);
    let unit = typed.unit();
    let has_loads = matches!(step, Step::Left | Step::Catch);
    // What is left is a part load most often, the catch is full loads. A keyboard types at once, and
    // what is half typed is seen.
    if view.get_step() != step_name(step) {
        view.set_types(step == Step::Left || !typed.text().is_empty());
    } else if view.get_typed().is_empty() && !typed.text().is_empty() {
        view.set_types(true);
    }
    let (what, words) = pad_words(calibrating).unwrap_or_default();
    view.set_what(what.into());
    view.set_words(words.into());
    view.set_typed(typed.text().into());
    view.set_typed_unit(unit.shown().into());
    let other = Some(unit.other()).filter(|other| *other != unit);
    view.set_other_unit(other.map_or("", TypedUnit::shown).into());
    let entered = calibrating.entered();
    view.set_value(match typed.text() {
        "" => entered.as_str().into(),
        text => text.into(),
    });
    let so_far = match step {
        Step::Left => calibrating.left(),
        _ => calibrating.catch(),
    };
    view.set_total(unit.number(so_far).into());
    let with_typed = so_far + typed.volume().unwrap_or_default();
    view.set_total_with_typed(unit.number(with_typed).into());
    let some = calibrating.loads().iter();
    let some = some.filter(|load| load.volume.is_some_liquid());
    view.set_loads(loads(some.count()).into());
    view.set_ran_dry(step == Step::Left && calibrating.draft.way == Way::RunDry);
    view.set_put_in(calibrating.draws_from_what_is_put_in());
    view.set_may_undo_load(!calibrating.loads().is_empty());
    view.set_may_go_on(match typed.text() {
        "" if step == Step::Left && calibrating.draft.way == Way::RunDry => {
            !calibrating.loads().is_empty()
        }
        "" if has_loads => so_far.is_some_liquid(),
        "" => !entered.is_empty() || pad_words(calibrating).is_none(),
        _ => {
            typed.volume().is_some()
                || (step == Step::Left && typed.number() == Some(0.0))
                || (unit.ml().is_none() && typed.number().is_some())
        }
    });
    let mut measures: Vec<_> = bay.setup().measures.iter().collect();
    measures.sort_by(|a, b| b.size.as_ml().total_cmp(&a.size.as_ml()));
    let loads = measures
        .iter()
        .take(LOAD_KEYS)
        .map(|m| Load {
            id: m.id.as_str().into(),
            name: size_number(bay.setup().entry_units, m.size).0.into(),
            note: size_number(bay.setup().entry_units, m.size).1.into(),
        })
        .collect();
    if let Some(new) = update(view.get_measures(), loads) {
        view.set_measures(new);
    }
}

/// A measure's size as a number and a unit of the bay.
fn size_number(units: EntryUnits, size: Volume) -> (String, &'static str) {
    let (small, large) = (TypedUnit::small(units), TypedUnit::large(units));
    let one_large = large.ml().unwrap_or(f64::INFINITY);
    let unit = match size.as_ml() >= one_large * (1.0 - 1e-9) {
        true => large,
        false => small,
    };
    (unit.number(size), unit.shown())
}

fn show_result(bay: &Bay, result: &Calibration, view: &CalibrateView) {
    let draws = |d: Option<crate::trade::dilution::DrawFraction>| {
        d.map_or_else(|| tr!("none"), |d| d.shown())
    };
    let fraction = result.draw_fraction();
    view.set_draw_fraction(draws(fraction).into());
    let sure = bay
        .draft_sprayer()
        .and_then(|sprayer| bay.uncertainty_of(sprayer, result));
    let plus_minus = fraction.zip(sure).map(|(d, sure)| {
        let percent = d.as_fraction() * sure.plus_minus() * 100.0;
        trim_number(percent, if percent < 0.095 { 3 } else { 2 })
    });
    let before = bay.draft_sprayer().and_then(|s| bay.calibration(&s.id));
    let before = before.map(|before| draws(before.draw_fraction()));
    view.set_draw_fraction_before(
        match (plus_minus, before) {
            (Some(sure), Some(before)) => tr!("± {}, before {}", sure, before),
            (None, Some(before)) => tr!("before {}", before),
            (Some(sure), None) => tr!("± {}, the first one", sure),
            (None, None) => tr!("the first one"),
        }
        .into(),
    );
    if let Some(new) = update(view.get_results(), results(bay, result)) {
        view.set_results(new);
    }
    show_runs(bay, view);
    let doubts = bay.doubts();
    view.set_doubts(
        doubts
            .iter()
            .map(|doubt| shown(&doubt.words()))
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
                name: tr!("Run {}", i + 1).into(),
                draw: run
                    .draw_fraction()
                    .map_or(String::new(), |d| d.shown())
                    .into(),
                note: match runs.len() {
                    1 => time_shown(run.time).into(),
                    _ => tr!("hold to drop").into(),
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
    view.set_runs_differ(!differing.is_empty());
    view.set_runs_note(
        match differing.as_slice() {
            [] => tr!("{} of at most {} runs", runs.len(), MOST_RUNS),
            [one] => tr!("Run {} differs: drop or repeat it", one + 1),
            // Nothing says which of them is the odd one.
            several => {
                let names = several.iter().map(|i| (i + 1).to_string());
                let names = names.reduce(|names, name| tr!("{} and {}", names, name));
                tr!("Runs {} differ: do one more", names.unwrap_or_default())
            }
        }
        .into(),
    );
    view.set_scatter_note(scatter_words(&bay.scatter()).into());
    // The likeliest alone: a list of possibilities is read by nobody with a lance in hand.
    view.set_causes(
        bay.likely_causes()
            .first()
            .map_or(String::new(), |c| shown(&c.words()))
            .into(),
    );
}

/// What runs are judged by, and what that stands on.
fn scatter_words(scatter: &Scatter) -> String {
    let percent = trim_number(scatter.relative * 100.0, 1);
    match scatter.runs {
        0 => tr!(
            "Scatter: the usual {} %. No repeats in this bay yet.",
            percent
        ),
        runs => tr!(
            "Scatter {} %: usual practice and {} runs of this bay.",
            percent,
            runs
        ),
    }
}

/// What is pressed while calibrating.
pub fn connect(view: &CalibrateView, hands: &Hands) {
    view.on_digit({
        let hands = hands.clone();
        move |digit| hands.act(Action::Pad(PadKey::Digit(u8::try_from(digit).unwrap_or(0))))
    });
    view.on_point(hands.on(|| Action::Pad(PadKey::Point)));
    view.on_erase(hands.on(|| Action::Pad(PadKey::Back)));
    view.on_switch_unit(hands.on(|| Action::SwitchUnit));
    view.on_take_time(
        hands
            .on_text(|seconds| Action::TakeTime(Duration::from_secs(seconds.parse().unwrap_or(0)))),
    );
    view.on_next(hands.on(|| Action::NextStep));
    view.on_previous(hands.on(|| Action::PreviousStep));
    view.on_as_before(hands.on(|| Action::HoldsAsBefore));
    view.on_nothing(hands.on(|| Action::NothingLeft));
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
