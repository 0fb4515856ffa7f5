//! How sure a dose is, and how a sprayer's draw fraction went over time.

use super::generated::{Change, Fact, InsightView, Level, Point};
use super::models::{fact, update};
use super::tongue::{self, tr};
use super::wall::Hands;
use super::words::{self, finer_measure, landing_plus_minus, unbroken, with_plus_minus};
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::judging::{Dilution, Help};
use crate::bay::offer::Offer;
use crate::trade::individuals::{self, Limits};
use crate::trade::reminder::VoidCause;
use crate::trade::uncertainty::{Remedy, Source};
use crate::trade::units::{Volume, trim_number};

/// The largest parts of the ± that are listed: further ones are lost among them.
const MOST_PARTS: usize = 4;

/// A part of the ± in a word or two.
fn source_name(source: Source) -> String {
    match source {
        Source::Scatter => tr!("Runs differ"),
        Source::Catch => tr!("Catch"),
        Source::Drawn => tr!("Drawn"),
        Source::Holds => tr!("Container"),
        Source::Pour => tr!("Pouring"),
        Source::Weighing => tr!("Balance"),
        Source::Timing => tr!("Stopwatch"),
    }
}

/// Shows how sure the dose of the sprayer shown is.
pub fn show_sure(bay: &Bay, view: &InsightView) {
    let sprayer = bay.sprayer();
    view.set_sprayer(sprayer.name.as_str().into());
    view.set_chemical(tr!("{}, mean dose", &bay.chemical().name).into());
    view.set_correction(
        bay.correction(&sprayer.id, &bay.chemical().id)
            .map_or(String::new(), |factor| format!("× {factor:.2}"))
            .into(),
    );
    let known = match bay.offer() {
        Offer::Fill(plan) => bay.dose_uncertainty(&plan).map(|sure| (plan, sure)),
        _ => None,
    };
    let Some((plan, sure)) = known else {
        view.set_dose("".into());
        view.set_plus_minus("".into());
        view.set_dose_unit("".into());
        view.set_words(nothing_to_be_sure_of(bay).into());
        update_parts(view, Vec::new());
        return;
    };
    let dose = plan.exact.product;
    let plus_minus = sure.expanded(dose);
    let used = &plan.pour.measure;
    let unit = used.unit();
    let number = |volume: Volume| volume.as_ml() / unit.ml();
    let (dose_shown, plus_minus_shown) = with_plus_minus(number(dose), number(plus_minus));
    view.set_dose(dose_shown.into());
    view.set_plus_minus(format!("± {plus_minus_shown}").into());
    view.set_dose_unit(unit.sign().into());
    let then = |then: Volume| {
        // To the place of the ± that it is held against.
        let decimals = plus_minus_shown.split_once('.').map_or(0, |(_, d)| d.len());
        unbroken(&format!("± {:.decimals$} {}", number(then), unit.sign()))
    };
    let advice = bay.measure_advice(&plan);
    let mut words = vec![tr!("Mostly from {}.", sure.largest().words())];
    if let Some(advice) = &advice {
        let below = unbroken(&used.shown(advice.dominates_below));
        words.push(tr!("Below {} a finer measure helps.", below));
    }
    let help = advice.map(|advice| advice.help);
    let what_helps = match (help, bay.remedies(&plan, &sure).first()) {
        (Some(Help::Dilution(thin)), _) => {
            let thinned = sure.poured(thin.dose, used).expanded(dose);
            words.push(thin_words(bay, &thin));
            tr!("That makes it {}.", then(thinned))
        }
        (Some(Help::Measure(better)), _) => {
            let finer = sure.poured(dose, &better).expanded(dose);
            tr!("The {} makes it {}.", &better.name, then(finer))
        }
        (None, Some(best)) => remedy_words(&best.remedy, then(best.plus_minus)),
        (None, None) => match finer_measure(&plan) {
            Some(finer) => tr!("Better: {}.", finer),
            None => tr!("Nothing in the bay would make it much surer."),
        },
    };
    words.push(what_helps);
    view.set_words(words.join(" ").into());
    let mut sources = Source::ALL.to_vec();
    sources.sort_by(|a, b| sure.part(*b).total_cmp(&sure.part(*a)));
    let parts = sources
        .into_iter()
        .take(MOST_PARTS)
        .filter(|source| sure.part(*source) > 0.0)
        .map(|source| {
            let percent = sure.expanded_part(source) * 100.0;
            fact(
                &source_name(source),
                format!("± {} %", trim_number(percent, 1)),
            )
        });
    let scatter = bay.scatter();
    // What has no scatter in it goes by none.
    let stands = (sure.scatter > 0.0).then(|| match scatter.runs {
        0 => tr!("usual practice"),
        runs => tr!("usual + {} runs", runs),
    });
    let stands = stands.map(|stands| fact(&tr!("Known from"), stands));
    let lands = landing_plus_minus(bay, &plan).map(|sure| fact(&tr!("One fill lands"), sure));
    update_parts(view, parts.chain(stands).chain(lands).collect());
}

/// What to do where the product must be thinned before it is measured.
pub fn thin_words(bay: &Bay, thin: &Dilution) -> String {
    tr!(
        "Where the label allows, thin the product {} with water, pour {} of that.",
        unbroken(&thin.ratio.shown()),
        unbroken(&bay.shown(thin.dose))
    )
}

/// What would make the dose surer, and by how much.
fn remedy_words(remedy: &Remedy, then: String) -> String {
    match remedy {
        Remedy::OneMoreRun => tr!("One more run makes it {}.", then),
        Remedy::FinerMeasureForPouring(measure) => tr!(
            "A finer measure for this dose: {} makes it {}.",
            &measure.name,
            then
        ),
        Remedy::FinerMeasureForCatch(measure) => tr!(
            "A finer measure for the catch: {} makes it {}.",
            &measure.name,
            then
        ),
        Remedy::FinerMeasureForDrawn(measure) => tr!(
            "A finer measure for what was left: {} makes it {}.",
            &measure.name,
            then
        ),
        Remedy::FinerMeasureForHolds(measure) => tr!(
            "A finer measure for the container: {} makes it {}.",
            &measure.name,
            then
        ),
        Remedy::FinerBalance => tr!("A balance with finer steps makes it {}.", then),
        Remedy::SecondTimedCheck => tr!("A second timed check makes it {}.", then),
    }
}

/// Why there is no ±.
fn nothing_to_be_sure_of(bay: &Bay) -> String {
    match bay.offer() {
        Offer::Fill(_) => tr!("There is no calibration that the dose could go by."),
        Offer::Unmeasurable { dose } => {
            let why = tr!("{} is too little for any measure here.", bay.shown(dose));
            match bay.dilution_for(dose) {
                Some(thin) => format!("{why} {}", thin_words(bay, &thin)),
                None => why,
            }
        }
        Offer::AboveBand { lands, most } => words::above_band(lands, most),
        Offer::Rinse(_) => tr!("Another chemical is in it: there is no figure to be sure of."),
        Offer::Uncalibrated => match bay.damage_of(&bay.sprayer().id) {
            Some(damage) => format!(
                "{} {}",
                tongue::shown(&damage.words()),
                tongue::shown(&damage.remedy())
            ),
            None => tr!("Never calibrated: there is no figure to be sure of."),
        },
        Offer::Void { .. } => tr!("It was changed: the old figure no longer applies."),
        Offer::OutOfReach { strongest, .. } => {
            tr!("Out of reach: the strongest here is {}.", strongest.shown())
        }
    }
}

fn update_parts(view: &InsightView, parts: Vec<Fact>) {
    if let Some(new) = update(view.get_parts(), parts) {
        view.set_parts(new);
    }
}

/// The chart's range: everything on it, and a little air.
struct Scale {
    low: f64,
    high: f64,
}

impl Scale {
    fn around(values: impl Iterator<Item = f64>) -> Self {
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (low.min(v), high.max(v))
        });
        // One value alone, or none, needs a range all the same.
        let air = ((high - low) * 0.08).max(high.abs() * 0.02).max(1e-6);
        match low.is_finite() {
            true => Self {
                low: low - air,
                high: high + air,
            },
            false => Self {
                low: 0.0,
                high: 1.0,
            },
        }
    }
    /// Where a value stands, 0 at the foot and 1 at the top.
    fn at(&self, value: f64) -> f32 {
        ((value - self.low) / (self.high - self.low)) as f32
    }
}

/// Where the place of one of `count` calibrations stands, 0 at the left and 1 at the right.
fn across(place: f64, count: usize) -> f32 {
    match count {
        0 | 1 => 0.5,
        n => (place / (n - 1) as f64) as f32,
    }
}

/// Shows the draw fraction of the sprayer shown over time.
pub fn show_trend(bay: &Bay, view: &InsightView) {
    view.set_sprayer(bay.sprayer().name.as_str().into());
    let trend: Vec<_> = bay.trend().collect();
    let draws: Vec<f64> = trend
        .iter()
        .map(|(record, _)| {
            record
                .calibration
                .draw_fraction()
                .map_or(0.0, |d| d.as_fraction() * 100.0)
        })
        .collect();
    // A change makes it another sprayer: its own scatter is that since, once there is enough of it.
    let since = since_change(bay);
    let chart = individuals::limits(&draws[since..]).or_else(|| individuals::limits(&draws));
    let lines = chart.iter().flat_map(|c| [c.lower, c.upper]);
    let scale = Scale::around(draws.iter().copied().chain(lines));
    let points = draws
        .iter()
        .enumerate()
        .map(|(i, draw)| Point {
            x: across(i as f64, draws.len()),
            y: scale.at(*draw),
            outside: (i >= since || since + 2 >= draws.len())
                && chart.as_ref().is_some_and(|c| c.is_outside(*draw)),
            picked: bay.picked() == Some(i),
        })
        .collect();
    if let Some(new) = update(view.get_points(), points) {
        view.set_points(new);
    }
    let changes = changes(bay, draws.len());
    if let Some(new) = update(view.get_changes(), words_for(&changes)) {
        view.set_changes(new);
    }
    let bars = changes.iter().map(|(x, _)| *x).collect();
    if let Some(new) = update(view.get_bars(), bars) {
        view.set_bars(new);
    }
    view.set_has_limits(chart.is_some());
    show_levels(&draws, chart.as_ref(), &scale, view);
    let date = |i: usize| {
        trend
            .get(i)
            .map_or(String::new(), |(r, _)| words::date(r.taken.date_naive()))
    };
    // Washes with it up to a calibration, by those that each one before it lasted.
    let washes = |i: usize| {
        let before: u32 = trend.iter().take(i).map(|(_, lasted)| *lasted).sum();
        tr!("after {}", words::washes(before))
    };
    let last = trend.len().checked_sub(1).filter(|last| *last > 0);
    view.set_first_date(date(0).into());
    view.set_first_washes(match trend.len() {
        0 => "".into(),
        _ => washes(0).into(),
    });
    view.set_last_date(last.map_or(String::new(), date).into());
    view.set_last_washes(last.map_or(String::new(), washes).into());
    show_picked(bay, &trend, view);
}

/// What the lines across the chart are; with fewer than three points, the points.
fn show_levels(draws: &[f64], chart: Option<&Limits>, scale: &Scale, view: &InsightView) {
    let level = |value: f64, word: String| Level {
        at: scale.at(value),
        // All to the same place, to be compared.
        value: match value < 10.0 {
            true => format!("{value:.2} %").into(),
            false => format!("{value:.1} %").into(),
        },
        word: word.into(),
    };
    let none = Level::default();
    // Where there are but two, they stand around their middle.
    let nothing_at = |value: f64| Level {
        at: scale.at(value),
        ..Level::default()
    };
    let (upper, middle, lower) = match (chart, draws) {
        (Some(c), _) => (
            level(c.upper, tr!("upper limit")),
            level(c.mean, tr!("mean")),
            level(c.lower, tr!("lower limit")),
        ),
        (None, [one]) => (none.clone(), level(*one, tr!("so far")), none),
        (None, [a, b]) if a != b => (
            level(a.max(*b), tr!("higher")),
            nothing_at((a + b) / 2.0),
            level(a.min(*b), tr!("lower")),
        ),
        (None, [a, _]) => (none.clone(), level(*a, tr!("both")), none),
        (None, _) => (none.clone(), none.clone(), none),
    };
    view.set_upper(upper);
    view.set_middle(middle);
    view.set_lower(lower);
}

/// The word for a change takes this part of the chart's width.
const WORD_WIDTH: f32 = 0.17;

/// The place of the first calibration since the last change of what it belongs to.
fn since_change(bay: &Bay) -> usize {
    bay.changes_on_trend().last().map_or(0, |(count, _)| *count)
}

/// The changes, each between the two calibrations that it lies between, from 0 to 1.
fn changes(bay: &Bay, count: usize) -> Vec<(f32, VoidCause)> {
    let across_at = |before: usize| {
        let place = (before as f64 - 0.5).clamp(0.0, count.saturating_sub(1) as f64);
        across(place, count)
    };
    let changes = bay.changes_on_trend().into_iter();
    changes
        .map(|(before, what)| (across_at(before), what))
        .collect()
}

/// The words over them: one for several that stand close together.
fn words_for(changes: &[(f32, VoidCause)]) -> Vec<Change> {
    // From, to and what; none for several.
    let mut groups: Vec<(f32, f32, Option<VoidCause>)> = Vec::new();
    let middle =
        |from: f32, to: f32| ((from + to) / 2.0).clamp(WORD_WIDTH / 2.0, 1.0 - WORD_WIDTH / 2.0);
    for (x, cause) in changes {
        match groups.last_mut() {
            Some((from, to, what)) if middle(*x, *x) - middle(*from, *to) < WORD_WIDTH => {
                *to = *x;
                *what = what.filter(|what| what == cause);
            }
            _ => groups.push((*x, *x, Some(*cause))),
        }
    }
    let change = |(from, to, what): (f32, f32, Option<VoidCause>)| Change {
        x: middle(from, to),
        word: what.map_or_else(|| tr!("changes"), words::cause).into(),
    };
    groups.into_iter().map(change).collect()
}

fn show_picked(
    bay: &Bay,
    trend: &[(&crate::bay::records::CalibrationRecord, u32)],
    view: &InsightView,
) {
    let picked = bay.picked().and_then(|i| Some((i, trend.get(i)?)));
    view.set_may_go_earlier(picked.is_some_and(|(i, _)| i > 0));
    view.set_may_go_later(picked.is_some_and(|(i, _)| i + 1 < trend.len()));
    let Some((i, (record, washes))) = picked else {
        view.set_picked("".into());
        view.set_picked_runs("".into());
        view.set_picked_date("".into());
        view.set_may_bring_back(false);
        return;
    };
    let calibration = &record.calibration;
    let draw = calibration
        .draw_fraction()
        .map_or(String::new(), |d| d.shown());
    view.set_picked(draw.into());
    let last = calibration.runs().last();
    let way = last.map_or(String::new(), |run| words::way(run.way));
    let runs = words::runs(calibration);
    view.set_picked_runs(tr!("{} of {}: {}, {}", i + 1, trend.len(), runs, way).into());
    let taken = words::date(record.taken.date_naive());
    let lasted = words::washes(*washes);
    view.set_picked_date(tr!("{}, {} since", taken, lasted).into());
    view.set_may_bring_back(bay.may_bring_back().is_ok());
}

/// What is pressed on these screens.
pub fn connect(view: &InsightView, hands: &Hands) {
    view.on_open_sure(hands.on(|| Action::Show(Page::Sure)));
    view.on_end_correction(hands.on(|| Action::DropCorrection));
    view.on_open_trend(hands.on(|| Action::Show(Page::Trend)));
    let step = |by: isize| {
        move |bay: &Bay| Action::PickPoint(bay.picked().unwrap_or(0).saturating_add_signed(by))
    };
    view.on_earlier(hands.on_bay(step(-1)));
    view.on_later(hands.on_bay(step(1)));
    view.on_bring_back(hands.on(|| Action::BringBack));
    view.on_pick({
        let hands = hands.clone();
        move |at| {
            hands.act_on_bay(|bay| {
                let count = bay.trend().count();
                let place = f64::from(at.clamp(0.0, 1.0)) * count.saturating_sub(1) as f64;
                Action::PickPoint(place.round() as usize)
            });
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_over_changes_keep_apart() {
        let words = |at: &[(f32, VoidCause)]| -> Vec<(f32, String)> {
            let marks = words_for(at);
            marks.iter().map(|c| (c.x, c.word.to_string())).collect()
        };
        assert_eq!(words(&[]), []);
        let alone = words(&[(0.3, VoidCause::Nozzle), (0.8, VoidCause::Washer)]);
        assert_eq!(alone, [(0.3, "nozzle".into()), (0.8, "washer".into())]);
        let (nozzle, washer) = (VoidCause::Nozzle, VoidCause::Washer);
        let close = words(&[(0.3, nozzle), (0.4, nozzle), (0.45, washer)]);
        assert_eq!(close, [(0.375, "changes".into())]);
        // However many: no two words overlap, and all stand on the chart.
        let many: Vec<_> = (0..=100).map(|i| (i as f32 / 100.0, nozzle)).collect();
        let marks = words(&many);
        assert!(marks.len() > 2, "{marks:?}");
        assert!(
            marks
                .windows(2)
                .all(|w| w[1].0 - w[0].0 >= WORD_WIDTH - 1e-6),
            "{marks:?}"
        );
        let half = WORD_WIDTH / 2.0 - 1e-6;
        assert!(marks.iter().all(|(x, _)| *x >= half && *x <= 1.0 - half));
    }
}
