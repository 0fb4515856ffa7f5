//! The system's clock beside the newest record that is believed: a panel without a battery begins in the
//! past, and what happened cannot be later than now.

use super::{Outcome, print};
use chrono::{DateTime, FixedOffset};
use fillcall::store::records::past_of;
use fillcall::store::{clock, records_path};
use rustix::time::{ClockId, Timespec, clock_settime};
use std::path::Path;

/// Says how the clock stands; with `lift`, sets one that is behind to the newest record.
pub fn run(bay: &Path, lift: bool) -> Outcome {
    let past = past_of(&records_path(bay)).map_err(|fault| fault.to_string())?;
    let now = clock::now();
    let Some(to) = lifted(now, past.newest) else {
        return print(&format!("The clock shows {}: good.\n", now.to_rfc3339()));
    };
    let behind = format!(
        "The clock shows {}, and the newest record is of {}",
        now.to_rfc3339(),
        to.to_rfc3339()
    );
    if !lift {
        return Err(format!(
            "{behind}. Set the clock on the shift lead's page Clock, or with: fillcall clock --lift"
        ));
    }
    let time = Timespec {
        tv_sec: to.timestamp(),
        tv_nsec: to.timestamp_subsec_nanos().into(),
    };
    clock_settime(ClockId::Realtime, time)
        .map_err(|error| format!("{behind}. It cannot be set: {error}. Do it as root."))?;
    print(&format!("{behind}: the clock was set to that.\n"))
}

/// What the clock is lifted to: the newest record that is believed, where the clock is behind it.
fn lifted(
    now: DateTime<FixedOffset>,
    newest: Option<DateTime<FixedOffset>>,
) -> Option<DateTime<FixedOffset>> {
    newest.filter(|newest| *newest > now)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_is_lifted_and_never_put_back() {
        let at = |text: &str| DateTime::parse_from_rfc3339(text).expect("a date");
        let (early, late) = (at("1970-01-01T00:00:09Z"), at("2026-03-02T12:00:00+01:00"));
        assert_eq!(lifted(early, Some(late)), Some(late));
        assert_eq!(lifted(late, Some(late)), None);
        assert_eq!(lifted(late, Some(early)), None);
        assert_eq!(lifted(early, None), None);
    }
}
