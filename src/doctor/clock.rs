//! The clock, held against the records.

use super::{Finding, Root, Told};
use crate::bay::records::newest_beyond;
use chrono::{DateTime, Datelike, FixedOffset};

const WHAT: &str = "clock";
/// The year before which no panel with this program was ever on.
const FIRST_YEAR: i32 = 2025;

/// Looks whether the date can be right, and whether the panel keeps it.
pub fn look(root: &Root, told: &Told) -> Finding {
    const REMEDY: &str = "Set it, in the time of the place: timedatectl set-time \"2030-01-31 14:05\". If it is wrong \
                          after each cut, put in a battery for the clock.";
    let shown = date(told.now);
    if told.now.year() < FIRST_YEAR {
        return Finding::wrong(
            WHAT,
            format!("It shows {shown}, which is long past."),
            REMEDY,
        );
    }
    let newest = match &told.newest {
        Ok(newest) => *newest,
        Err(fault) => {
            let says = format!("It shows {shown}. It cannot be held against the records: {fault}");
            return Finding::warn(WHAT, says, "fillcall check BAY");
        }
    };
    if let Some(newest) = newest_beyond(told.now, newest) {
        let says = format!(
            "It shows {shown}. The newest record is of {}.",
            date(newest)
        );
        return Finding::wrong(WHAT, says, REMEDY);
    }
    if root.runs() && root.names("sys/class/rtc").is_empty() {
        return Finding::warn(
            WHAT,
            format!("It shows {shown}. The panel has no clock that goes on while it is off."),
            "Put in one with a battery, or connect the panel to a network with a time server.",
        );
    }
    Finding::good(WHAT, format!("It shows {shown}."))
}

fn date(at: DateTime<FixedOffset>) -> String {
    at.format("%Y-%m-%d %H:%M").to_string()
}
