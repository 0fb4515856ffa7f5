//! The page of reports.

use crate::bay::at_work::Bay;
use crate::bay::reporting::set_outside::SetOutside;
use crate::bay::reporting::totals::{Figures, Landed, Report, Span};
use crate::bay::reporting::{Choosing, Tab};
use crate::screens::generated::{
    Bar, Choice, EventRow, Landing, ReportPage, ReportTab, ReportingView,
};
use crate::screens::models::{fact, update};
use crate::screens::tongue::tr;
use crate::screens::words;
use crate::trade::days_strength::Allowed;
use crate::trade::units::{Strength, trim_number};
use chrono::{Datelike, NaiveDate, Weekday};

/// More bars are too narrow for their figures to be read at 1 m; what is left over is put together.
const MOST_BARS: usize = 7;
/// The same where the figures are long.
const MOST_LONG_BARS: usize = 4;
/// More fills are too close together for a line: the newest are shown.
const MOST_FILLS: usize = 60;
/// So many lines stand beside the figures of the events: a calibration takes one.
const EVENT_LINES: usize = 4;
/// A strength that was set outside of what is allowed takes so many of them.
const OUTSIDE_LINES: usize = 2;

/// Shows what happened.
pub fn show(bay: &Bay, view: &ReportingView) {
    view.set_page(match bay.report_choosing() {
        None => ReportPage::Overview,
        Some(Choosing::Sprayer) => ReportPage::Sprayers,
        Some(Choosing::Chemical) => ReportPage::Chemicals,
    });
    let (whose, note) = whose(bay);
    view.set_whose(whose.into());
    view.set_whose_note(note.into());
    if let Some(choosing) = bay.report_choosing() {
        show_choices(bay, choosing, view);
        return;
    }
    let (report, tab) = (bay.report(), bay.report_tab());
    view.set_tab(match tab {
        Tab::Washes => ReportTab::Washes,
        Tab::Fills => ReportTab::Fills,
        Tab::Landed => ReportTab::Landed,
        Tab::Product => ReportTab::Product,
        Tab::Care => ReportTab::Care,
    });
    view.set_is_week(bay.report_span() == Span::Week);
    let of_landed = report.landed.as_ref().filter(|_| tab == Tab::Landed);
    view.set_title_is_name(of_landed.is_some());
    view.set_title(match of_landed {
        Some(landed) => landed.chemical.as_str().into(),
        None => title(bay).into(),
    });
    let nothing = nothing(bay, report, tab);
    view.set_sum(match nothing.is_empty() {
        true => sum(bay, report, tab).into(),
        false => "".into(),
    });
    view.set_empty(nothing.into());
    view.set_outside(match tab {
        // One by one there.
        Tab::Care => "".into(),
        _ => set_outside_words(&report.set_outside).into(),
    });
    let bars = match tab {
        Tab::Landed | Tab::Care => Vec::new(),
        _ => bars(bay, report, tab),
    };
    if let Some(new) = update(view.get_bars(), bars) {
        view.set_bars(new);
    }
    match (tab, &report.landed) {
        (Tab::Landed, Some(landed)) => show_landed(landed, view),
        (Tab::Care, _) => show_care(report, view),
        _ => {}
    }
}

/// Of what the report is.
fn whose(bay: &Bay) -> (String, String) {
    let sprayer = bay.report_sprayer().map(|s| s.name.clone());
    let chemical = bay.report_chemical().map(|c| c.name.clone());
    match (sprayer, chemical) {
        (None, None) => (tr!("Everything"), tr!("choose")),
        (None, Some(chemical)) => (chemical, tr!("all sprayers")),
        (Some(sprayer), None) => (sprayer, tr!("all chemicals")),
        (Some(sprayer), Some(chemical)) => (sprayer, chemical),
    }
}

/// Which days these are.
pub fn title(bay: &Bay) -> String {
    span_title(bay.report_span(), bay.report_today())
}

/// A time in words.
pub fn span_title(span: Span, today: Option<NaiveDate>) -> String {
    match (span, today) {
        (Span::All, _) => tr!("All records"),
        (Span::Week, _) => tr!("7 days"),
        (Span::Today, Some(today)) => tr!("Today, {}", words::date(today)),
        (Span::Today, None) => tr!("Today"),
    }
}

/// "1 fill", "12 fills".
pub fn fills(count: u32) -> String {
    match count {
        1 => tr!("1 fill"),
        n => tr!("{} fills", n),
    }
}

/// Money with two decimals, or without where it is much; no currency.
fn money_figure(money: f64) -> String {
    match money.abs() {
        m if m < 999.995 => format!("{money:.2}"),
        _ => format!("{money:.0}"),
    }
}

/// Product, and what it costs: the part without a price is said.
pub fn product_and_money(figures: &Figures, currency: &str) -> String {
    let product = figures.product.shown();
    if figures.product.as_ml() > 0.0 && figures.unpriced == figures.product {
        return product;
    }
    let money = format!("{} {currency}", money_figure(figures.money));
    let money = money.trim_end();
    match figures.unpriced.as_ml() > 0.0 {
        true => tr!("{}, more than {}", product, money),
        false => format!("{product}, {money}"),
    }
}

fn sum(bay: &Bay, report: &Report, tab: Tab) -> String {
    let all = &report.all;
    match tab {
        Tab::Washes => words::washes(all.washes),
        Tab::Fills => fills(all.fills),
        Tab::Product => product_and_money(all, &bay.setup().currency),
        Tab::Landed => match &report.landed {
            None => String::new(),
            Some(landed) => match landed.inside {
                Some(inside) => tr!("{} of {} in its band", inside, landed.fills.len()),
                None => tr!("no band"),
            },
        },
        Tab::Care => {
            let undated = report.without_date.washes + report.without_date.fills;
            match (report.set_outside.len(), undated) {
                (0, 0) => String::new(),
                (0, n) => tr!("{} without a date", n),
                (n, _) => tr!("{} set outside", n),
            }
        }
    }
}

/// That a strength was set outside of what is allowed, and for which sprayer; empty where none was.
pub fn set_outside_words(all: &[SetOutside]) -> String {
    let Some(newest) = all.first() else {
        return String::new();
    };
    let (chemical, strength) = (&newest.chemical, newest.strength.shown());
    let where_ = outside_sprayer(newest);
    let words = match newest.allowed {
        Allowed::TooWeak => tr!("{} set to {}, too weak: {}", chemical, strength, where_),
        _ => tr!("{} set to {}, too strong: {}", chemical, strength, where_),
    };
    match all.len() - 1 {
        0 => words,
        1 => tr!("{}. 1 more.", words),
        n => tr!("{}. {} more.", words, n),
    }
}

fn outside_sprayer(set: &SetOutside) -> String {
    set.sprayer.clone().unwrap_or_else(|| tr!("Whole bay"))
}

/// Why there is nothing to be seen; empty where there is something.
fn nothing(bay: &Bay, report: &Report, tab: Tab) -> String {
    if tab == Tab::Care {
        return String::new();
    }
    if bay.report_today().is_none() {
        return tr!(
            "The date of the wall is wrong: it is not known what happened today. Set the clock; \
             everything is in the records all the same."
        );
    }
    let none = match tab {
        Tab::Washes => report.all.washes == 0,
        Tab::Fills | Tab::Product | Tab::Care => report.all.fills == 0,
        Tab::Landed => report.landed.is_none(),
    };
    match (none, tab, bay.report_span()) {
        (false, ..) => String::new(),
        (true, Tab::Washes, Span::Today) => tr!("No wash was counted today."),
        (true, Tab::Washes, _) => tr!("No wash was counted in these 7 days."),
        (true, _, Span::Today) => tr!("No fill was logged today."),
        (true, ..) => tr!("No fill was logged in these 7 days."),
    }
}

/// A day of the week in a few letters.
fn weekday(day: NaiveDate) -> String {
    match day.weekday() {
        Weekday::Mon => tr!("Mon"),
        Weekday::Tue => tr!("Tue"),
        Weekday::Wed => tr!("Wed"),
        Weekday::Thu => tr!("Thu"),
        Weekday::Fri => tr!("Fri"),
        Weekday::Sat => tr!("Sat"),
        Weekday::Sun => tr!("Sun"),
    }
}

/// The bars: day by day for a week; else by sprayer, or by chemical where one sprayer was chosen.
/// Product goes by chemical, or by sprayer where one chemical was chosen.
fn bars(bay: &Bay, report: &Report, tab: Tab) -> Vec<Bar> {
    let by_sprayer = match tab {
        Tab::Product => bay.report_chemical().is_some(),
        _ => bay.report_sprayer().is_none(),
    };
    let by_day = tab != Tab::Product && bay.report_span() == Span::Week;
    let columns: Vec<(String, Figures, bool)> = match (by_day, by_sprayer) {
        (true, _) => report
            .by_day
            .iter()
            .map(|(day, figures)| {
                let is_today = Some(*day) == bay.report_today();
                let name = if is_today {
                    tr!("Today")
                } else {
                    weekday(*day)
                };
                (name, *figures, is_today)
            })
            .collect(),
        (false, true) => named(&report.by_sprayer),
        (false, false) => named(&report.by_chemical),
    };
    let most = match tab {
        Tab::Product => MOST_LONG_BARS,
        _ => MOST_BARS,
    };
    let columns = no_more_than(columns, most, tab);
    let amount = |figures: &Figures| match tab {
        Tab::Fills => f64::from(figures.fills),
        Tab::Product => figures.product.as_ml(),
        _ => f64::from(figures.washes),
    };
    let highest = columns
        .iter()
        .map(|(_, figures, _)| amount(figures))
        .fold(0.0, f64::max);
    columns
        .iter()
        .map(|(name, figures, current)| Bar {
            name: name.as_str().into(),
            figure: match tab {
                Tab::Product => figures.product.shown().into(),
                _ => trim_number(amount(figures), 0).into(),
            },
            note: match figures.unpriced.as_ml() > 0.0 {
                true => "–".into(),
                false => money_figure(figures.money).into(),
            },
            part: match highest > 0.0 {
                true => (amount(figures) / highest) as f32,
                false => 0.0,
            },
            current: *current,
        })
        .collect()
}

fn named(list: &[(String, Figures)]) -> Vec<(String, Figures, bool)> {
    list.iter()
        .map(|(name, figures)| (name.clone(), *figures, false))
        .collect()
}

/// The columns, with the least ones put together where there are too many.
fn no_more_than(
    mut columns: Vec<(String, Figures, bool)>,
    most: usize,
    tab: Tab,
) -> Vec<(String, Figures, bool)> {
    if columns.len() <= most {
        return columns;
    }
    let amount = |figures: &Figures| match tab {
        Tab::Fills => f64::from(figures.fills),
        Tab::Product => figures.product.as_ml(),
        _ => f64::from(figures.washes),
    };
    columns.sort_by(|(_, a, _), (_, b, _)| amount(b).total_cmp(&amount(a)));
    let rest = columns.split_off(most - 1);
    let others = rest
        .iter()
        .fold(Figures::default(), |sum, (_, figures, _)| {
            sum.with(*figures)
        });
    columns.push((tr!("others"), others, false));
    columns
}

/// The range of the chart: all that landed and the band, and a little air.
fn range(landed: &Landed, shown: &[Strength]) -> (f64, f64) {
    let band = landed.band.iter().flat_map(|band| [band.least, band.most]);
    let (low, high) = shown
        .iter()
        .copied()
        .chain(band)
        .map(Strength::as_fraction)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    let air = ((high - low) * 0.15).max(high * 0.02).max(1e-9);
    (low - air, high + air)
}

fn show_landed(landed: &Landed, view: &ReportingView) {
    let left_out = landed.fills.len().saturating_sub(MOST_FILLS);
    let shown = &landed.fills[left_out..];
    let (low, high) = range(landed, shown);
    let up = |strength: Strength| ((strength.as_fraction() - low) / (high - low)) as f32;
    let across = |place: usize| match shown.len() {
        0 | 1 => 0.5,
        n => place as f32 / (n - 1) as f32,
    };
    let points = shown
        .iter()
        .enumerate()
        .map(|(place, strength)| {
            let before = place.saturating_sub(1);
            Landing {
                x: across(place),
                y: up(*strength),
                from_x: across(before),
                from_y: up(shown[before]),
                outside: landed.band.is_some_and(|band| !band.holds(*strength)),
            }
        })
        .collect();
    if let Some(new) = update(view.get_landings(), points) {
        view.set_landings(new);
    }
    let (upper, lower) = match landed.band {
        Some(band) => (band.most, band.least),
        None => (landed.most, landed.least),
    };
    view.set_scale_word(match landed.band {
        Some(_) => tr!("band").into(),
        None => tr!("landed").into(),
    });
    view.set_upper(upper.shown().into());
    view.set_lower(lower.shown().into());
    view.set_upper_at(up(upper));
    view.set_lower_at(up(lower));
    view.set_band_most(landed.band.map_or(0.0, |band| up(band.most)));
    view.set_band_least(landed.band.map_or(0.0, |band| up(band.least)));
    view.set_shown_fills(
        match left_out {
            0 => String::new(),
            _ => tr!("The newest {} of {} fills", MOST_FILLS, landed.fills.len()),
        }
        .into(),
    );
    let facts = vec![
        fact(&tr!("Mean"), landed.mean.shown()),
        fact(&tr!("Weakest"), landed.least.shown()),
        fact(&tr!("Strongest"), landed.most.shown()),
    ];
    if let Some(new) = update(view.get_landed_facts(), facts) {
        view.set_landed_facts(new);
    }
}

fn show_care(report: &Report, view: &ReportingView) {
    let facts = vec![
        fact(&tr!("Calibrations"), report.calibrated.len().to_string()),
        fact(&tr!("Reminders put off"), report.put_off.times.to_string()),
        fact(&tr!("Washes meanwhile"), report.put_off.washes.to_string()),
        fact(
            &tr!("Changes, set-up"),
            format!("{}, {}", report.changes, report.setup_changes),
        ),
    ];
    if let Some(new) = update(view.get_care_facts(), facts) {
        view.set_care_facts(new);
    }
    let date = |day: Option<NaiveDate>| day.map_or_else(|| tr!("no date"), words::date);
    let outside = report.set_outside.iter().map(|set| EventRow {
        name: format!("{}: {}", set.chemical, outside_sprayer(set)).into(),
        of: match set.allowed {
            Allowed::TooWeak => tr!("too weak, {}", date(set.day)),
            _ => tr!("too strong, {}", date(set.day)),
        }
        .into(),
        figure: set.strength.shown().into(),
        outside: true,
    });
    let calibrated = report.calibrated.iter().map(|one| EventRow {
        name: one.sprayer.as_str().into(),
        of: date(one.day).into(),
        figure: one.draw.map_or(String::new(), |draw| draw.shown()).into(),
        outside: false,
    });
    // What was outside of the band is never crowded out by what was not.
    let outside: Vec<EventRow> = outside.take(EVENT_LINES / OUTSIDE_LINES).collect();
    let left = EVENT_LINES - OUTSIDE_LINES * outside.len();
    let rows = outside.into_iter().chain(calibrated.take(left)).collect();
    if let Some(new) = update(view.get_events(), rows) {
        view.set_events(new);
    }
}

fn show_choices(bay: &Bay, choosing: Choosing, view: &ReportingView) {
    let setup = bay.setup();
    let choice = |id: &str, name: String, current: bool| Choice {
        id: id.into(),
        name: name.into(),
        current,
        enabled: true,
        ..Choice::default()
    };
    let mut choices = Vec::new();
    match choosing {
        Choosing::Sprayer => {
            let chosen = bay.report_sprayer().map(|s| s.id.as_str());
            choices.push(choice("", tr!("All sprayers"), chosen.is_none()));
            choices.extend(
                setup
                    .sprayers
                    .iter()
                    .map(|s| choice(&s.id, s.name.clone(), chosen == Some(&s.id))),
            );
        }
        Choosing::Chemical => {
            let chosen = bay.report_chemical().map(|c| c.id.as_str());
            choices.push(choice("", tr!("All chemicals"), chosen.is_none()));
            choices.extend(
                setup
                    .chemicals
                    .iter()
                    .map(|c| choice(&c.id, c.name.clone(), chosen == Some(&c.id))),
            );
        }
    }
    if let Some(new) = update(view.get_choices(), choices) {
        view.set_choices(new);
    }
}
