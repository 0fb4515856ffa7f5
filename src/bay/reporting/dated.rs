//! Which day a happening belongs to, as far as the wall's clock can be believed.
//!
//! What happened first is told by the numbers of the records, never by dates: so the dates that can be
//! true together are the largest set of them that goes up as the numbers do. A clock that lost its time
//! for a while, back or ahead, gives dates that are not in it.

use super::landing::Became;
use crate::bay::records::{Entry, Logged};
use chrono::NaiveDate;
use std::collections::BTreeMap;

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
    let mut days = Days::default();
    log.iter().for_each(|logged| days.see(logged));
    let mut believed = days.believed();
    let dated = |logged: Logged| Dated {
        day: believed.day(&logged),
        logged,
        became: None,
    };
    log.into_iter().map(dated).collect()
}

/// So many happenings of one day after another.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    day: NaiveDate,
    count: u64,
}

/// The days of a log that is seen once through: as many stretches of one day as there were, however
/// much happened in each.
#[derive(Debug, Default)]
pub struct Days(Vec<Stretch>);

impl Days {
    /// The next happening, in the order of the numbers.
    pub fn see(&mut self, logged: &Logged) {
        // What a backup brought along tells no order: it is believed as it stands.
        if logged.entry != BROUGHT {
            self.add(logged.at.date_naive());
        }
    }

    fn add(&mut self, day: NaiveDate) {
        match self.0.last_mut() {
            Some(last) if last.day == day => last.count += 1,
            _ => self.0.push(Stretch { day, count: 1 }),
        }
    }

    /// Which of them can be believed: those of the longest run of happenings that never goes back. Of
    /// equally long ones the one with the earliest days.
    pub fn believed(self) -> Believed {
        // For each day on which the longest run so far ends: its length and its last stretch. A longer
        // one that ends no later makes a shorter one useless, so that lengths go up as days do.
        let mut ends: BTreeMap<NaiveDate, (u64, usize)> = BTreeMap::new();
        let mut before: Vec<Option<usize>> = vec![None; self.0.len()];
        for (place, stretch) in self.0.iter().enumerate() {
            if stretch.day < EARLIEST {
                continue;
            }
            let longest = ends.range(..=stretch.day).next_back();
            let length = longest.map_or(0, |(_, (length, _))| *length) + stretch.count;
            before[place] = longest.map(|(_, (_, last))| *last);
            let useless: Vec<NaiveDate> = ends
                .range(stretch.day..)
                .take_while(|(_, (other, _))| *other <= length)
                .map(|(day, _)| *day)
                .collect();
            for day in &useless {
                ends.remove(day);
            }
            ends.insert(stretch.day, (length, place));
        }
        let mut is_believed = vec![false; self.0.len()];
        let mut at = ends.last_key_value().map(|(_, (_, last))| *last);
        while let Some(place) = at {
            is_believed[place] = true;
            at = before[place];
        }
        Believed {
            stretches: self.0.into_iter().zip(is_believed).collect(),
            at: 0,
            seen: 0,
        }
    }
}

/// Tells the day of each happening of the same log, seen once more in the same order.
#[derive(Debug)]
pub struct Believed {
    stretches: Vec<(Stretch, bool)>,
    /// The stretch of the next happening, and how many of it were told.
    at: usize,
    seen: u64,
}

impl Believed {
    /// The day of the next one, where it can be believed.
    pub fn day(&mut self, logged: &Logged) -> Option<NaiveDate> {
        if logged.entry == BROUGHT {
            return Some(logged.at.date_naive()).filter(|day| *day >= EARLIEST);
        }
        let (stretch, is_believed) = self.stretches.get(self.at)?;
        self.seen += 1;
        if self.seen == stretch.count {
            (self.at, self.seen) = (self.at + 1, 0);
        }
        is_believed.then_some(stretch.day)
    }
}

/// The day of `now`; `None` where the clock shows less than what happened before.
pub fn today(log: &[Dated], now: NaiveDate) -> Option<NaiveDate> {
    let last = log.iter().filter_map(|dated| dated.day).max();
    (now >= EARLIEST && last.is_none_or(|last| now >= last)).then_some(now)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a date")
    }

    fn stretches(days: &[NaiveDate]) -> Vec<bool> {
        let mut seen = Days::default();
        days.iter().for_each(|day| seen.add(*day));
        let told = seen.believed().stretches.into_iter();
        let each = |(stretch, is): (Stretch, bool)| vec![is; stretch.count as usize];
        told.flat_map(each).collect()
    }

    fn held(days: &[&str]) -> Vec<bool> {
        stretches(&days.iter().map(|d| day(d)).collect::<Vec<_>>())
    }

    /// The same, happening by happening: for each length of run, where the one that ends with the
    /// earliest day ends.
    fn one_by_one(days: &[NaiveDate]) -> Vec<bool> {
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

    proptest::proptest! {
        #[test]
        fn whole_stretches_are_believed_as_their_happenings_are(
            stretches_of in proptest::collection::vec((0..9u64, 1..5usize), 0..14)
        ) {
            let first = day("2023-12-29");
            let days: Vec<NaiveDate> = stretches_of
                .into_iter()
                .flat_map(|(after, count)| vec![first + chrono::Days::new(after); count])
                .collect();
            proptest::prop_assert_eq!(stretches(&days), one_by_one(&days));
        }
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
            times: 1,
        };
        let log = dated(vec![logged(1, "2026-03-02"), logged(2, "2026-03-03")]);
        let now = |date| today(&log, day(date));
        assert_eq!(now("2026-03-03"), Some(day("2026-03-03")));
        assert_eq!(now("2026-03-09"), Some(day("2026-03-09")));
        assert_eq!(now("2026-03-02"), None);
        assert_eq!(today(&[], day("2000-01-01")), None);
    }
}
