//! Words that several screens use, in the language that is shown. What is kept in records, on cards
//! and in the set-up file has words of its own, which stay as they are.

use super::generated::Mark;
use super::tongue::{shown, tr};
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::trade::calibration::{Calibration, Way};
use crate::trade::chemical::{Chemical, Target};
use crate::trade::fill_plan::{FillPlan, Part};
use crate::trade::reminder::{Standing, VoidCause};
use crate::trade::sprayer::Sprayer;
use crate::trade::units::{Strength, Volume, trim_number};
use chrono::{Datelike, NaiveDate};

/// What the state of a sprayer's calibration asks for, the same on every page: to be seen to where a
/// calibration is due or was never made, to stop where it is overdue, and nobody put that off, or void.
pub fn mark_of(bay: &Bay, sprayer: &Sprayer) -> Mark {
    match bay.standing(sprayer) {
        Standing::Good => Mark::None,
        Standing::None | Standing::Due => Mark::Due,
        Standing::Overdue if !bay.nags(sprayer) => Mark::Due,
        Standing::Overdue | Standing::Void(_) => Mark::Stop,
    }
}

/// What an offer asks for beside that, the same on every page: to stop where nothing may be poured.
pub fn mark_of_offer(offer: &Offer) -> Mark {
    match offer {
        Offer::Fill(_) => Mark::None,
        Offer::Uncalibrated => Mark::Due,
        Offer::Rinse(_)
        | Offer::Void { .. }
        | Offer::OutOfReach { .. }
        | Offer::Unmeasurable { .. }
        | Offer::AboveBand { .. } => Mark::Stop,
    }
}

/// Why nothing may be poured, in the words of every page; `None` for a fill.
pub fn stop_word(offer: &Offer) -> Option<String> {
    match offer {
        Offer::Rinse(first) if first.never.is_some() => Some(tr!("Never mix")),
        Offer::Rinse(_) => Some(tr!("Rinse first")),
        Offer::Uncalibrated => Some(tr!("Not calibrated")),
        Offer::Void { cause, .. } => Some(tr!("Void: {}", new_cause(*cause))),
        Offer::OutOfReach { .. } => Some(tr!("Out of reach")),
        Offer::Unmeasurable { .. } => Some(tr!("Too little")),
        Offer::AboveBand { .. } => Some(tr!("Too strong")),
        Offer::Fill(_) => None,
    }
}

/// "1 wash", "12 washes".
pub fn washes(count: u32) -> String {
    match count {
        1 => tr!("1 wash"),
        n => tr!("{} washes", n),
    }
}

/// "1 run", "3 runs".
pub fn runs(calibration: &Calibration) -> String {
    match calibration.count() {
        1 => tr!("1 run"),
        n => tr!("{} runs", n),
    }
}

/// "1 load", "3 loads".
pub fn loads(count: usize) -> String {
    match count {
        1 => tr!("1 load"),
        n => tr!("{} loads", n),
    }
}

/// A way of calibrating, inside of a line.
pub fn way(way: Way) -> String {
    match way {
        Way::RunDry => tr!("run dry"),
        Way::Timed => tr!("timed"),
        Way::ByWeight => tr!("by weight"),
    }
}

/// A way of calibrating, at the head of a line.
pub fn way_title(way: Way) -> String {
    match way {
        Way::RunDry => tr!("Run dry"),
        Way::Timed => tr!("Timed"),
        Way::ByWeight => tr!("By weight"),
    }
}

/// How much of a container is made up.
pub fn part_name(part: Part) -> String {
    match part {
        Part::Full => tr!("Full"),
        part => part.shown(),
    }
}

/// The same, a volume in the unit that the bay reads it in.
pub fn part_in_bay(bay: &Bay, part: Part) -> String {
    match part {
        Part::Ml(ml) => bay.level_shown(Volume::ml(f64::from(ml))),
        part => part_name(part),
    }
}

/// A value and its ± as numbers, both to the same place: two digits of the ±.
pub fn with_plus_minus(value: f64, plus_minus: f64) -> (String, String) {
    let decimals = match plus_minus {
        p if p >= 9.95 => 0,
        p if p >= 0.995 => 1,
        p if p >= 0.0995 => 2,
        _ => 3,
    };
    (
        format!("{value:.decimals$}"),
        format!("{plus_minus:.decimals$}"),
    )
}

/// What one fill lands, as "± 0.25 %"; `None` where nobody knows how sure it is.
pub fn landing_plus_minus(bay: &Bay, plan: &FillPlan) -> Option<String> {
    let sure = bay.landing_plus_minus(plan)?.as_percent();
    let (_, sure) = with_plus_minus(plan.pour.strength.as_percent(), sure);
    Some(format!("± {sure} %"))
}

/// The measure that would be fine enough, where the one of a plan is coarse: one of the bay, or what
/// lines it must have.
pub fn finer_measure(plan: &FillPlan) -> Option<String> {
    plan.coarse.then(|| match &plan.finer {
        Some(finer) => shown(&finer.measure_words()),
        None => tr!("lines of {} or finer", plan.lines_needed_shown()),
    })
}

/// What can be changed on a sprayer, in a word.
pub fn cause(cause: VoidCause) -> String {
    match cause {
        VoidCause::Nozzle => tr!("nozzle"),
        VoidCause::Washer => tr!("washer"),
        VoidCause::Supply => tr!("supply"),
        VoidCause::Dial => tr!("dial"),
        VoidCause::Filter => tr!("filter"),
        VoidCause::Tube => tr!("tube"),
    }
}

/// "new nozzle".
pub fn new_cause(cause: VoidCause) -> String {
    match cause {
        VoidCause::Nozzle => tr!("new nozzle"),
        VoidCause::Washer => tr!("new washer"),
        VoidCause::Supply => tr!("new supply"),
        VoidCause::Dial => tr!("dial turned"),
        VoidCause::Filter => tr!("new filter"),
        VoidCause::Tube => tr!("new tube"),
    }
}

/// What was changed, as a headline.
pub fn cause_headline(cause: VoidCause) -> String {
    match cause {
        VoidCause::Nozzle => tr!("Nozzle changed"),
        VoidCause::Washer => tr!("Washer changed"),
        VoidCause::Supply => tr!("Supply changed"),
        VoidCause::Dial => tr!("Dial changed"),
        VoidCause::Filter => tr!("Filter changed"),
        VoidCause::Tube => tr!("Tube changed"),
    }
}

/// A strength the other way that the trade says it: "1 in 25", one part of product in 25 parts of spray
/// or mix. Never "1 to 25", which another reader takes for one part and 25 parts.
pub fn one_in(strength: Strength) -> String {
    let n = strength.one_in();
    tr!("1 in {}", trim_number(n, usize::from(n < 10.0)))
}

/// What the chemical's set-up wants, in a few letters.
pub fn wanted_short(chemical: &Chemical) -> String {
    match chemical.target {
        Target::OnVehicle(wanted) => tr!("{} on vehicle", wanted.shown()),
        Target::Bottle(ratio) => tr!("bottle {}", ratio.shown()),
    }
}

/// Lines of so many letters that a text takes, where words are not broken.
pub fn lines_of(text: &str, letters: usize) -> usize {
    let (mut lines, mut used) = (1, 0);
    for word in text.split_whitespace().map(|word| word.chars().count()) {
        if used > 0 && used + 1 + word > letters {
            lines += 1;
            used = word;
        } else {
            used += word + usize::from(used > 0);
        }
    }
    lines
}

/// A day: "3 Nov 2026".
pub fn date(date: NaiveDate) -> String {
    let (day, year) = (date.day(), date.year());
    match date.month() {
        1 => tr!("{} Jan {}", day, year),
        2 => tr!("{} Feb {}", day, year),
        3 => tr!("{} Mar {}", day, year),
        4 => tr!("{} Apr {}", day, year),
        5 => tr!("{} May {}", day, year),
        6 => tr!("{} Jun {}", day, year),
        7 => tr!("{} Jul {}", day, year),
        8 => tr!("{} Aug {}", day, year),
        9 => tr!("{} Sep {}", day, year),
        10 => tr!("{} Oct {}", day, year),
        11 => tr!("{} Nov {}", day, year),
        _ => tr!("{} Dec {}", day, year),
    }
}

/// Why a label's ratio is no figure on this sprayer, with what to do.
pub fn above_band(lands: Strength, most: Strength) -> String {
    tr!(
        "By its label {} would land, and {} is the most allowed. Take another sprayer, or ask the shift lead.",
        lands.shown(),
        most.shown()
    )
}

/// A figure that stays on one line with its unit, and a ratio with its sign.
pub fn unbroken(figure: &str) -> String {
    figure.replace(' ', "\u{a0}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strength_is_one_part_in_so_many() {
        for (percent, words) in [(4.0, "1 in 25"), (22.5, "1 in 4.4"), (100.0, "1 in 1")] {
            let strength = Strength::percent(percent).expect("a strength");
            assert_eq!(one_in(strength), words);
        }
    }

    #[test]
    fn every_month_has_its_own_name() {
        for month in 1..=12 {
            let day = NaiveDate::from_ymd_opt(2026, month, 7).expect("a day of each month");
            assert_eq!(date(day), day.format("%-d %b %Y").to_string());
        }
    }
}
