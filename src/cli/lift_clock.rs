//! The system's clock beside the newest record that is believed: a panel without a battery begins in the
//! past, and what happened cannot be later than now.

use super::{Outcome, print};
use fillcall::bay::records::newest_beyond;
use fillcall::store::records::past_of;
use fillcall::store::{clock, records_path};
use rustix::time::{ClockId, Timespec, clock_settime};
use std::path::Path;

/// Says how the clock stands; with `lift`, sets one that is behind to the newest record.
pub fn run(bay: &Path, lift: bool) -> Outcome {
    let past = past_of(&records_path(bay)).map_err(|fault| fault.to_string())?;
    let now = clock::now();
    let Some(to) = newest_beyond(now, past.newest) else {
        return print(&format!("The clock shows {}: good.\n", now.to_rfc3339()));
    };
    let behind = format!(
        "The clock shows {}, and the newest record is of {}",
        now.to_rfc3339(),
        to.to_rfc3339()
    );
    if !lift {
        return Err(format!(
            "{behind}. If the time shown is right, say so on the shift lead's page Clock. Else set the clock there, \
             or as root: fillcall clock --lift"
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

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::DateTime;

    #[test]
    fn a_clock_is_lifted_and_never_put_back() {
        let at = |text: &str| DateTime::parse_from_rfc3339(text).expect("a date");
        let (early, late) = (at("1970-01-01T00:00:09Z"), at("2026-03-02T12:00:00+01:00"));
        assert_eq!(newest_beyond(early, Some(late)), Some(late));
        assert_eq!(newest_beyond(late, Some(late)), None);
        assert_eq!(newest_beyond(late, Some(early)), None);
        assert_eq!(newest_beyond(early, None), None);
    }
}
