//! Where a hand is, in a small file in memory, for the program that starts anew where this one ends in
//! the middle.
//!
//! It need not outlast a power cut, so nothing is synced; a program that is killed leaves it whole. It
//! is read as what it may be, anything: what is damaged, too old, of another start of the machine, of
//! another bay or of another version is passed over, and so is a place that ended the program each time
//! that it was come back to.

use super::plain;
use crate::bay::ports::Places;
use crate::bay::resuming::Place;
use rustix::time::{ClockId, clock_gettime};
use serde::{Deserialize, Serialize};
use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The name of the file.
const NAME: &str = "place.json";
/// What was left so long ago is not come back to.
const OLD: Duration = Duration::from_secs(5 * 60);
/// A place where nothing changes is written anew after this time, so that it does not grow old as long
/// as the program is there.
const ANEW: Duration = Duration::from_secs(60);
/// A program that was there for so long was not ended by the place that it came back to.
const STAYED: Duration = Duration::from_secs(2 * 60);
/// So many starts from one place are tried.
const STARTS: u32 = 2;
/// More than that, in bytes, is no place.
const LARGEST: u64 = 64 * 1024;
/// Which version wrote it: another one may mean something else by it.
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The file's text.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Text {
    version: String,
    /// The bay's folder.
    bay: String,
    /// Which start of the machine it is of.
    boot: String,
    /// When it was written, since that start.
    at: Duration,
    /// So many programs came back to it, and no hand went on from there.
    starts: u32,
    /// When the last of them did.
    started: Duration,
    place: Place,
}

/// Where a hand is, in a file.
pub struct PlaceFile {
    path: PathBuf,
    bay: String,
    boot: String,
    /// Since the machine started, sleep included.
    clock: Box<dyn Fn() -> Duration>,
    was_asked: bool,
    /// It was come back to a place, and it was not kept since.
    came_back: bool,
    kept: Option<Place>,
    /// When it was written last.
    at: Duration,
    starts: u32,
    started: Duration,
    fault_is_told: bool,
}

impl PlaceFile {
    /// In `folder`, which is in memory and this user's own, for the bay in the folder `bay`. `None`
    /// where the system does not tell one start of the machine from another.
    pub fn new(folder: &Path, bay: &Path) -> Option<Self> {
        let boot = fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?;
        let since_start = || {
            let now = clock_gettime(ClockId::Boottime);
            let seconds = u64::try_from(now.tv_sec).unwrap_or_default();
            Duration::new(seconds, u32::try_from(now.tv_nsec).unwrap_or_default())
        };
        Some(Self::with_clock(folder, bay, boot.trim(), since_start))
    }

    /// With a clock of its own, which tells the time since the start `boot` of the machine.
    pub fn with_clock(
        folder: &Path,
        bay: &Path,
        boot: &str,
        clock: impl Fn() -> Duration + 'static,
    ) -> Self {
        let bay = bay.canonicalize().unwrap_or_else(|_| bay.to_owned());
        Self {
            path: folder.join(NAME),
            bay: bay.display().to_string(),
            boot: boot.into(),
            clock: Box::new(clock),
            was_asked: false,
            came_back: false,
            kept: None,
            at: Duration::ZERO,
            starts: 0,
            started: Duration::ZERO,
            fault_is_told: false,
        }
    }

    /// What is there, where it is of this bay, this version and this start, and not old.
    fn read(&self) -> Option<Text> {
        plain::refuse(&self.path).ok()?;
        let length = fs::metadata(&self.path).ok()?.len();
        if length > LARGEST {
            return None;
        }
        let text: Text = serde_json::from_slice(&fs::read(&self.path).ok()?).ok()?;
        let age = (self.clock)().checked_sub(text.at)?;
        let is_its =
            (text.version.as_str(), &text.bay, &text.boot) == (VERSION, &self.bay, &self.boot);
        (is_its && age <= OLD).then_some(text)
    }

    fn write(&mut self, place: &Place) {
        self.at = (self.clock)();
        self.kept = Some(place.clone());
        let text = Text {
            version: VERSION.into(),
            bay: self.bay.clone(),
            boot: self.boot.clone(),
            at: self.at,
            starts: self.starts,
            started: self.started,
            place: place.clone(),
        };
        let written = serde_json::to_vec(&text)
            .map_err(io::Error::other)
            .and_then(|text| self.put(&text));
        if let Err(error) = written
            && !std::mem::replace(&mut self.fault_is_told, true)
        {
            let path = self.path.display();
            eprintln!("fillcall: {path}: {error}; a wall that starts anew begins at home");
        }
    }

    /// Beside it and renamed: who reads it finds the one before or this one, whole.
    fn put(&self, text: &[u8]) -> io::Result<()> {
        let beside = self.path.with_extension("part");
        // A rest of another program would keep the rights it has.
        let _ = fs::remove_file(&beside);
        let mut options = OpenOptions::new();
        options.write(true).create_new(true).mode(0o600);
        let mut file = options.open(&beside)?;
        file.write_all(text)?;
        fs::rename(&beside, &self.path)
    }
}

impl Places for PlaceFile {
    fn found(&mut self) -> Option<Place> {
        if std::mem::replace(&mut self.was_asked, true) {
            return None;
        }
        let found = self.read()?;
        let now = (self.clock)();
        let stayed = now.saturating_sub(found.started) >= STAYED;
        let starts = if stayed { 0 } else { found.starts };
        let place = match starts < STARTS {
            true => found.place,
            false => found.place.at_home(),
        };
        self.starts = if starts < STARTS { starts + 1 } else { 0 };
        self.started = now;
        self.came_back = true;
        // Before anything is done with it: it may be what ends the program.
        self.write(&place);
        Some(place)
    }

    fn keep(&mut self, place: &Place) {
        let now = (self.clock)();
        let same = self.kept.as_ref() == Some(place);
        let waits = place.is_home() || now.saturating_sub(self.at) < ANEW;
        if same && waits {
            self.came_back = false;
            return;
        }
        let stayed = now.saturating_sub(self.started) >= STAYED;
        // What it was come back to is not what a hand made of it.
        if !std::mem::take(&mut self.came_back) && (!same || stayed) {
            self.starts = 0;
        }
        self.write(place);
    }
}
