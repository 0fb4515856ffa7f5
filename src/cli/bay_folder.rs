//! Opening a bay's folder, for the commands that only look.

use super::clock::SystemClock;
use super::words::how_many;
use chrono::{DateTime, FixedOffset};
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::ports::Clock;
use fillcall::bay::records::{
    Entry, Happening, LastFill, Logged, Milestone, Past, Records, RecordsFault,
};
use fillcall::bay::setup_change::Place;
use fillcall::store::records::{log_of, past_of};
use fillcall::store::setup_file::read_bay;
use fillcall::store::{SETUP_FILE, SetupFault, records_path};
use std::path::{Path, PathBuf};

/// Records that are only looked at, so that a command never writes beside a running wall.
struct ReadOnly {
    past: Past,
    path: PathBuf,
}

impl Records for ReadOnly {
    fn keep(&mut self, _: DateTime<FixedOffset>, _: &Happening) -> Result<Entry, RecordsFault> {
        Err(RecordsFault::new("This command only looks at the records."))
    }
    fn last(&mut self) -> Result<Entry, RecordsFault> {
        // No command that only looks comes back to where a hand was.
        Ok(0)
    }
    fn past(&mut self) -> Result<Past, RecordsFault> {
        Ok(self.past.clone())
    }
    fn history(&mut self, _: &str) -> Result<Vec<Milestone>, RecordsFault> {
        // No command that only looks shows a trend.
        Ok(Vec::new())
    }
    fn know(&mut self, _: &Place) -> Result<bool, RecordsFault> {
        Err(RecordsFault::new(
            "This command only looks at the records, and gives no ids.",
        ))
    }
    fn last_fill(&mut self, _: &str) -> Result<Option<LastFill>, RecordsFault> {
        // No command that only looks asks what is left in a sprayer.
        Ok(None)
    }
    fn log(&mut self, from: Entry) -> Result<Vec<Logged>, RecordsFault> {
        log_of(&self.path, from)
    }
    fn first_since(&mut self, _: DateTime<FixedOffset>) -> Result<Entry, RecordsFault> {
        Ok(0)
    }
    fn stock_log(&mut self, _: DateTime<FixedOffset>) -> Result<Vec<Logged>, RecordsFault> {
        Ok(Vec::new())
    }
}

/// The time now.
pub fn now() -> Now {
    let clock = SystemClock::new();
    Now {
        monotonic: clock.monotonic(),
        wall: clock.wall(),
    }
}

/// The bay in `dir`, as it stands.
pub fn look_at(dir: &Path) -> Result<Bay, String> {
    let setup = read_bay(dir).map_err(|faults| mistakes(dir, &faults))?;
    let path = records_path(dir);
    let past = past_of(&path).map_err(|fault| fault.message)?;
    Bay::open(setup, Box::new(ReadOnly { past, path }), now()).map_err(|fault| fault.message)
}

/// Refuses a bay that nobody has set up yet: what stands in its file is nobody's.
pub fn must_be_set_up(bay: &Bay) -> Result<(), String> {
    match bay.setup().unfinished {
        None => Ok(()),
        Some(_) => Err(NOT_SET_UP.into()),
    }
}

/// What is said of a bay that nobody has set up yet.
pub const NOT_SET_UP: &str = "this bay is not set up yet: answer the questions on its wall screen, or \
    write your own into the set-up file and take setting_up out";

/// All mistakes of a set-up, a line each.
pub fn mistakes(dir: &Path, faults: &[SetupFault]) -> String {
    let count = how_many(faults.len(), "mistake", "mistakes");
    let mut text = format!("{} in {}", count, dir.join(SETUP_FILE).display());
    for fault in faults {
        text.push_str(&format!("\n  {fault}"));
    }
    text
}
