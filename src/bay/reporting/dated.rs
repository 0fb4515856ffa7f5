//! Which day a happening belongs to, as far as the wall's clock can be believed.
//!
//! What happened first is told by the numbers of the records, never by dates: so the dates that can be
//! true together are the largest set of them that goes up as the numbers do. A clock that lost its time
//! for a while, back or ahead, gives dates that are not in it.

use super::landing::Became;
use crate::bay::records::{Entry, Logged};
use chrono::NaiveDate;

/// A clock that shows a day before this one was never set: the year that cheap clocks begin with is
/// 1970 or 2000.
const EARLIEST: NaiveDate = match NaiveDate::from_ymd_opt(2024, 1, 1) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// A happening with its day.
#[derive(Debug, Clone, PartialEq)]
pub struct Dated {
    /// What happened, and when by the wall's clock.
    pub logged: Logged,
    /// The day, where the clock can be believed.
    pub day: Option<NaiveDate>,
    /// What became of it, where it is a fill and [`super::landing::follow`] found out.
    pub became: Option<Became>,
}

/// The number of what a backup brought along without one of its own.
const BROUGHT: Entry = 0;

/// Gives each happening its day. `log` is in the order of the numbers.
pub fn dated(log: Vec<Logged>) -> Vec<Dated> {
    let day = |logged: &Logged| logged.at.date_naive();
    // What a backup brought along tells no order: it is believed as it stands.
    let (brought, numbered): (Vec<Logged>, Vec<Logged>) =
        log.into_iter().partition(|logged| logged.entry == BROUGHT);
    let brought = brought.into_iter().map(|logged| Dated {
        day: Some(day(&logged)).filter(|day| *day >= EARLIEST),
        logged,
        became: None,
    });
    let days: Vec<NaiveDate> = numbered.iter().map(day).collect();
    let believed = believed(&days);
    let numbered =
        numbered
            .into_iter()
            .zip(days.iter().zip(believed))
            .map(|(logged, (day, believed))| Dated {
                logged,
                day: believed.then_some(*day),
                became: None,
            });
    brought.chain(numbered).collect()
}

/// The day of `now`; `None` where the clock shows less than what happened before.
pub fn today(log: &[Dated], now: NaiveDate) -> Option<NaiveDate> {
    let last = log.iter().filter_map(|dated| dated.day).max();
    (now >= EARLIEST && last.is_none_or(|last| now >= last)).then_some(now)
}

/// Which of the days belong to the longest run of them that never goes back. Of equally long ones the
/// one with the earliest days.
fn believed(days: &[NaiveDate]) -> Vec<bool> {
    // For each length of run, where the one that ends with the earliest day ends; and for each place,
    // which place comes before it in its run.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; days.len()];
    for (place, day) in days.iter().enumerate() {
        if *day < EARLIEST {
            continue;
        }
        let length = ends.partition_point(|end| days[*end] <= *day);
        before[place] = length.checked_sub(1).map(|shorter| ends[shorter]);
        match ends.get_mut(length) {
            Some(end) => *end = place,
            None => ends.push(place),
        }
    }
    let mut believed = vec![false; days.len()];
    let mut at = ends.last().copied();
    while let Some(place) = at {
        believed[place] = true;
        at = before[place];
    }
    believed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a date")
    }

    fn held(days: &[&str]) -> Vec<bool> {
        believed(&days.iter().map(|d| day(d)).collect::<Vec<_>>())
    }

    #[test]
    fn a_clock_that_was_wrong_for_a_while_is_found_whichever_way() {
        assert_eq!(held(&[]), Vec::<bool>::new());
        let (a, b, c) = ("2026-03-02", "2026-03-03", "2026-03-04");
        assert_eq!(held(&[a, a, b, c]), [true; 4]);
        // Back to the first day of a cheap clock, and never set: also where nothing else is known.
        assert_eq!(held(&["2000-01-01", "1970-01-01"]), [false; 2]);
        assert_eq!(
            held(&[a, "2000-01-01", "2000-01-02", b]),
            [true, false, false, true]
        );
        // Some weeks back.
        assert_eq!(
            held(&[a, a, b, "2026-02-01", c]),
            [true, true, true, false, true]
        );
        // Ahead: the days after it are many, it is alone.
        assert_eq!(held(&[a, "2031-01-01", b, c]), [true, false, true, true]);
    }

    #[test]
    fn today_is_a_day_only_where_the_clock_is_not_behind() {
        let logged = |entry, date: &str| Logged {
            entry,
            at: format!("{date}T08:00:00+01:00").parse().expect("a date"),
            what: crate::bay::records::Happening::Rinsed {
                sprayer: "lance".into(),
            },
        };
        let log = dated(vec![logged(1, "2026-03-02"), logged(2, "2026-03-03")]);
        let now = |date| today(&log, day(date));
        assert_eq!(now("2026-03-03"), Some(day("2026-03-03")));
        assert_eq!(now("2026-03-09"), Some(day("2026-03-09")));
        assert_eq!(now("2026-03-02"), None);
        assert_eq!(today(&[], day("2000-01-01")), None);
    }
}
