//! How sure a dose is, and how a sprayer's draw fraction went over time.

use super::generated::{Fact, InsightView, Point};
use super::models::update;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::bay::records::Milestone;
use crate::trade::individuals;
use crate::trade::uncertainty::{COVERAGE_FACTOR, Source};
use crate::trade::units::{Volume, trim_number};

/// Shows how sure the dose of the sprayer shown is.
pub fn show_sure(bay: &Bay, view: &InsightView) {
    let sprayer = bay.sprayer();
    view.set_sprayer(format!("{}, {}", sprayer.name, bay.chemical().name).into());
    let Offer::Fill(plan) = bay.offer() else {
        view.set_dose("".into());
        view.set_plus_minus("".into());
        view.set_dose_unit("".into());
        view.set_largest("There is no figure to be sure of.".into());
        view.set_remedy("".into());
        update_parts(view, Vec::new());
        return;
    };
    let Some(sure) = bay.dose_uncertainty(&plan) else {
        return;
    };
    let ml = |volume: Volume| trim_number(volume.as_ml(), 0);
    view.set_dose(ml(plan.exact.product).into());
    view.set_plus_minus(format!("± {}", ml(sure.expanded(plan.exact.product))).into());
    view.set_dose_unit("ml".into());
    view.set_largest(format!("The largest part: {}.", sure.largest().words()).into());
    let remedies = bay.remedies(&plan, &sure);
    view.set_remedy(
        remedies
            .first()
            .map_or(
                "Nothing in the bay would make it much surer.".into(),
                |best| format!("{}: ± {} ml.", best.remedy.words(), ml(best.plus_minus)),
            )
            .into(),
    );
    let parts = Source::ALL
        .into_iter()
        .filter(|source| sure.part(*source) > 0.0)
        .map(|source| Fact {
            name: source.words().into(),
            value: format!(
                "± {} %",
                trim_number(COVERAGE_FACTOR * sure.part(source) * 100.0, 1)
            )
            .into(),
        });
    let scatter = bay.scatter();
    let stands = match scatter.is_own {
        true => format!("{} runs of this bay", scatter.runs),
        false => "usual practice".into(),
    };
    let stands = Fact {
        name: "Scatter known from".into(),
        value: stands.into(),
    };
    update_parts(view, parts.chain([stands]).collect());
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
    let chart = individuals::limits(&draws);
    let lines = chart.iter().flat_map(|c| [c.lower, c.upper]);
    let scale = Scale::around(draws.iter().copied().chain(lines));
    let points = draws
        .iter()
        .enumerate()
        .map(|(i, draw)| Point {
            x: across(i as f64, draws.len()),
            y: scale.at(*draw),
            outside: chart
                .as_ref()
                .is_some_and(|c| *draw < c.lower || *draw > c.upper),
            picked: bay.picked() == Some(i),
        })
        .collect();
    if let Some(new) = update(view.get_points(), points) {
        view.set_points(new);
    }
    if let Some(new) = update(view.get_changes(), changes(bay, draws.len())) {
        view.set_changes(new);
    }
    let percent = |value: f64| format!("{} %", trim_number(value, 2));
    view.set_has_limits(chart.is_some());
    let (top, mean, foot) = match (&chart, draws.as_slice()) {
        (Some(c), _) => {
            view.set_mean(scale.at(c.mean));
            view.set_upper(scale.at(c.upper));
            view.set_lower(scale.at(c.lower));
            (percent(scale.high), percent(c.mean), percent(scale.low))
        }
        (None, []) => Default::default(),
        (None, _) => (percent(scale.high), String::new(), percent(scale.low)),
    };
    view.set_top_label(top.into());
    view.set_mean_label(mean.into());
    view.set_foot_label(foot.into());
    let date = |i: usize| {
        trend.get(i).map_or(String::new(), |(r, _)| {
            r.taken.format("%-d %b %Y").to_string()
        })
    };
    view.set_first_label(date(0).into());
    view.set_last_label(match trend.len() {
        0 | 1 => "".into(),
        n => date(n - 1).into(),
    });
    show_picked(bay, &trend, view);
}

/// The changes, each between the two calibrations that it lies between.
fn changes(bay: &Bay, count: usize) -> Vec<f32> {
    let mut before = 0;
    let mut changes = Vec::new();
    for milestone in bay.history() {
        match milestone {
            Milestone::Calibrated { .. } => before += 1,
            Milestone::Changed { .. } => {
                let place = (before as f64 - 0.5).clamp(0.0, count.saturating_sub(1) as f64);
                changes.push(across(place, count));
            }
        }
    }
    changes
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
        view.set_picked_more("".into());
        return;
    };
    let calibration = &record.calibration;
    let draw = calibration
        .draw_fraction()
        .map_or(String::new(), |d| d.shown());
    view.set_picked(format!("{draw}, {} of {}", i + 1, trend.len()).into());
    let runs = match calibration.count() {
        1 => "1 run".to_owned(),
        n => format!("{n} runs"),
    };
    let taken = record.taken.format("%-d %b %Y");
    view.set_picked_more(format!("{taken}, {runs}, {}", super::fill::washes(*washes)).into());
}

/// What is pressed on these screens.
pub fn connect(view: &InsightView, hands: &Hands) {
    view.on_open_sure(hands.on(|| Action::Show(Page::Sure)));
    view.on_open_trend(hands.on(|| Action::Show(Page::Trend)));
    let step = |by: isize| {
        move |bay: &Bay| Action::PickPoint(bay.picked().unwrap_or(0).saturating_add_signed(by))
    };
    view.on_earlier(hands.on_bay(step(-1)));
    view.on_later(hands.on_bay(step(1)));
    view.on_pick({
        let hands = hands.clone();
        move |at| {
            hands.act_on_bay(|bay| {
                let count = bay.trend().count();
                let place = f64::from(at) * count.saturating_sub(1) as f64;
                Action::PickPoint(place.round() as usize)
            });
        }
    });
}
