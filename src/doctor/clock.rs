//! The clock, held against the records.

use super::{Finding, Root, Told};
use crate::bay::panel::FIRST_YEAR;
use crate::bay::records::newest_beyond;
use crate::text;
use chrono::{DateTime, Datelike, FixedOffset};

const WHAT: &str = "clock";

/// Looks whether the date can be right, and whether the panel keeps it.
pub fn look(root: &Root, told: &Told) -> Finding {
    let remedy = text!(
        "Set it on the shift lead's page Clock, or with: timedatectl set-time \"2030-01-31 14:05\". If it is \
         wrong after each cut, put in a battery for the clock."
    );
    let shown = date(told.now);
    if told.now.year() < FIRST_YEAR {
        return Finding::wrong(
            WHAT,
            text!("It shows {}, which is long past.", shown),
            remedy,
        );
    }
    let newest = match &told.newest {
        Ok(newest) => *newest,
        Err(fault) => {
            let says = text!(
                "It shows {}. It cannot be held against the records: {}",
                shown,
                fault
            );
            return Finding::warn(WHAT, says, text!("fillcall check BAY"));
        }
    };
    if let Some(newest) = newest_beyond(told.now, newest) {
        let says = text!(
            "It shows {}. The newest record is of {}.",
            shown,
            date(newest)
        );
        return Finding::wrong(WHAT, says, remedy);
    }
    if root.runs() && root.names("sys/class/rtc").is_empty() {
        return Finding::warn(
            WHAT,
            text!(
                "It shows {}. The panel has no clock that goes on while it is off.",
                shown
            ),
            "Put in one with a battery, or connect the panel to a network with a time server.",
        );
    }
    Finding::good(WHAT, text!("It shows {}.", shown))
}

fn date(at: DateTime<FixedOffset>) -> String {
    at.format("%Y-%m-%d %H:%M").to_string()
}
