//! Setting the clock: date and time by steps, set by a held press.

use super::super::action::{Effect, Page};
use super::super::at_work::Bay;
use super::super::ports::{ClockFault, ClockSet};
use super::FIRST_YEAR;
use crate::text;
use crate::trade::text::Text;
use chrono::{Datelike, Days, Months, NaiveDateTime, TimeDelta, Timelike};
use std::time::Duration;

/// The years that can be chosen.
const YEARS: std::ops::RangeInclusive<i32> = FIRST_YEAR..=2099;
/// What sets the clock is not waited for any longer.
const PATIENCE: Duration = Duration::from_secs(15);

/// A part of date and time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockField {
    /// The day of the month.
    Day,
    /// The month.
    Month,
    /// The year.
    Year,
    /// The hour of the day.
    Hour,
    /// The minute of the hour.
    Minute,
}

impl ClockField {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 5] = [Self::Day, Self::Month, Self::Year, Self::Hour, Self::Minute];

    /// Its figure in a date.
    pub fn figure(self, of: NaiveDateTime) -> String {
        match self {
            Self::Day => of.format("%-d"),
            Self::Month => of.format("%-m"),
            Self::Year => of.format("%Y"),
            Self::Hour => of.format("%H"),
            Self::Minute => of.format("%M"),
        }
        .to_string()
    }

    /// A date with one more or one less of it. Hours and minutes turn over without touching what is
    /// before them, as the wheels of a clock do; a day too late for its month is the month's last.
    fn step(self, of: NaiveDateTime, up: bool) -> NaiveDateTime {
        let stepped = match (self, up) {
            (Self::Day, true) => of.checked_add_days(Days::new(1)),
            (Self::Day, false) => of.checked_sub_days(Days::new(1)),
            (Self::Month, true) => of.checked_add_months(Months::new(1)),
            (Self::Month, false) => of.checked_sub_months(Months::new(1)),
            (Self::Year, true) => of.checked_add_months(Months::new(12)),
            (Self::Year, false) => of.checked_sub_months(Months::new(12)),
            (Self::Hour, up) => of.with_hour((of.hour() + if up { 1 } else { 23 }) % 24),
            (Self::Minute, up) => of.with_minute((of.minute() + if up { 1 } else { 59 }) % 60),
        };
        let stepped = stepped.filter(|stepped| YEARS.contains(&stepped.year()));
        stepped.unwrap_or(of)
    }
}

/// What is in hand there.
#[derive(Debug, Clone, Default)]
pub struct Setting {
    /// Date and time as they are chosen, in the panel's own time zone.
    pub chosen: NaiveDateTime,
    /// Since when the clock is being set.
    since: Option<Duration>,
}

/// A date that can be chosen: one that lies before them all is the first of them.
fn choosable(at: NaiveDateTime) -> NaiveDateTime {
    let minute = at.with_second(0).and_then(|at| at.with_nanosecond(0));
    let at = minute.unwrap_or(at);
    let year = at.year().clamp(*YEARS.start(), *YEARS.end());
    at.with_year(year).unwrap_or(at + TimeDelta::days(1))
}

impl Bay {
    /// Date and time as they are chosen.
    pub fn clock_chosen(&self) -> NaiveDateTime {
        self.panel.setting.chosen
    }
    /// True while the clock is being set.
    pub fn sets_the_clock(&self) -> bool {
        self.panel.setting.since.is_some()
    }

    pub(super) fn begin_setting(&mut self) {
        self.panel.setting.chosen = choosable(self.now.wall.naive_local());
    }

    pub(super) fn step_clock(&mut self, field: ClockField, up: bool) -> Vec<Effect> {
        let chosen = &mut self.panel.setting.chosen;
        *chosen = field.step(*chosen, up);
        Vec::new()
    }

    pub(super) fn set_clock(&mut self) -> Vec<Effect> {
        if self.page != Page::SetClock || self.sets_the_clock() {
            return Vec::new();
        }
        self.panel.setting.since = Some(self.now.monotonic);
        self.panel.clock.set(self.panel.setting.chosen);
        Vec::new()
    }

    /// Sees what became of it.
    pub(super) fn follow_setting(&mut self) -> Vec<Effect> {
        let Some(since) = self.panel.setting.since else {
            return Vec::new();
        };
        let state = match self.panel.clock.state() {
            None if self.now.monotonic >= since + PATIENCE => {
                Some(ClockSet::NotSet(ClockFault::NoAnswer))
            }
            state => state,
        };
        match state {
            None => Vec::new(),
            Some(ClockSet::Set) => self.clock_was_set(),
            Some(ClockSet::NotSet(fault)) => {
                self.panel.setting.since = None;
                self.refuse(words(&fault))
            }
        }
    }

    /// Who sets the clock by a watch says by that that it is right: where it shows less than the newest
    /// record now, later dates are not believed any more.
    fn clock_was_set(&mut self) -> Vec<Effect> {
        self.panel.setting.since = None;
        if self.page == Page::SetClock {
            self.turn_to(Page::Clock);
        }
        if self.newest_beyond_the_clock().is_some() {
            return self.clock_is_right();
        }
        self.notify("The clock is set.", None);
        Vec::new()
    }
}

/// Why it was not set, and what to do.
fn words(fault: &ClockFault) -> Text {
    match fault {
        ClockFault::ByNetwork => text!(
            "The network sets this clock. If it is wrong, have the panel's network or time zone looked at."
        ),
        ClockFault::NotAllowed => {
            text!(
                "The panel's system does not let the wall set the clock: install the package anew."
            )
        }
        ClockFault::NoTool => {
            text!("Nothing here can set the clock: systemd's timedatectl is missing.")
        }
        ClockFault::NoAnswer => {
            text!("The clock was not set: the system does not answer. Switch the panel off and on.")
        }
        ClockFault::Other { said } => text!("The clock was not set: {}", said),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").expect("a date")
    }

    #[test]
    fn parts_step_as_on_a_clock() {
        use ClockField::{Day, Hour, Minute, Month, Year};
        for (field, up, from, to) in [
            (Day, true, "2026-01-31 14:05", "2026-02-01 14:05"),
            (Day, false, "2026-03-01 14:05", "2026-02-28 14:05"),
            (Month, true, "2026-01-31 14:05", "2026-02-28 14:05"),
            (Month, false, "2026-01-31 14:05", "2025-12-31 14:05"),
            (Year, true, "2028-02-29 14:05", "2029-02-28 14:05"),
            (Year, false, "2025-06-01 00:00", "2025-06-01 00:00"),
            (Year, true, "2099-06-01 00:00", "2099-06-01 00:00"),
            (Hour, true, "2026-01-31 23:59", "2026-01-31 00:59"),
            (Hour, false, "2026-01-31 00:59", "2026-01-31 23:59"),
            (Minute, true, "2026-01-31 23:59", "2026-01-31 23:00"),
            (Minute, false, "2026-01-31 23:00", "2026-01-31 23:59"),
        ] {
            assert_eq!(field.step(at(from), up), at(to), "{field:?} {up} of {from}");
        }
    }

    #[test]
    fn a_clock_that_lost_its_time_begins_where_it_can_be_set() {
        assert_eq!(choosable(at("1970-02-03 04:05")), at("2025-02-03 04:05"));
        assert_eq!(choosable(at("2026-02-03 04:05")), at("2026-02-03 04:05"));
    }
}
