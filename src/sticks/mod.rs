//! Puts files on memory sticks: finds them, mounts them where nobody did, writes, syncs and unmounts.
//!
//! All that touches a stick happens in a thread of its own, because a bad one can hang for minutes.
//! Mounting and unmounting is left to `udisksctl` (Debian package `udisks2`), which lets a program do
//! it that is not root.

pub mod commands;
pub mod fetching;
pub mod files;
mod finding;
mod putting;
#[cfg(test)]
mod tests;

use crate::bay::ports::{OnStick, Parcel, Stick, Sticks};
use commands::{Commands, SystemCommands};
use files::{Files, SystemFiles};
use putting::Job;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

/// Where the system tells about its disks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// What is mounted where, as in `/proc/self/mountinfo`.
    pub mountinfo: PathBuf,
    /// The disks, as in `/sys/block`.
    pub blocks: PathBuf,
    /// The folder of the devices themselves, as `/dev`.
    pub devices: PathBuf,
}

impl Default for Places {
    /// Those of Linux.
    fn default() -> Self {
        Self {
            mountinfo: "/proc/self/mountinfo".into(),
            blocks: "/sys/block".into(),
            devices: "/dev".into(),
        }
    }
}

/// How far a job has come, and whether anybody still waits for it.
#[derive(Debug, Default)]
pub(crate) struct Watched {
    state: Mutex<(Option<OnStick>, bool)>,
}

impl Watched {
    fn get(&self) -> Option<OnStick> {
        let state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        state.0.clone()
    }
    fn set(&self, to: OnStick) {
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        state.0 = Some(to);
    }
    fn give_up(&self) {
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        state.1 = true;
    }
    fn is_given_up(&self) -> bool {
        let state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        state.1
    }
}

/// The memory sticks of this machine.
pub struct MemorySticks {
    places: Places,
    files: Arc<dyn Files>,
    commands: Arc<dyn Commands>,
    watched: Option<Arc<Watched>>,
    /// Whose turn it is at each stick, by its id.
    turns: BTreeMap<String, Arc<Mutex<()>>>,
}

impl Default for MemorySticks {
    /// The real ones.
    fn default() -> Self {
        Self::with(
            Places::default(),
            Arc::new(SystemFiles),
            Arc::new(SystemCommands),
        )
    }
}

impl MemorySticks {
    /// Sticks that are found, written and mounted by these.
    pub fn with(places: Places, files: Arc<dyn Files>, commands: Arc<dyn Commands>) -> Self {
        Self {
            places,
            files,
            commands,
            watched: None,
            turns: BTreeMap::new(),
        }
    }
}

impl Sticks for MemorySticks {
    fn found(&mut self) -> Vec<Stick> {
        let parts = finding::parts(&self.places);
        parts.into_iter().map(|part| part.stick).collect()
    }

    fn put(&mut self, stick: &str, parcel: Parcel) {
        self.give_up();
        let watched = Arc::new(Watched::default());
        watched.set(OnStick::Opening);
        let job = Job {
            places: self.places.clone(),
            files: Arc::clone(&self.files),
            commands: Arc::clone(&self.commands),
            stick: stick.to_owned(),
            parcel,
            watched: Arc::clone(&watched),
            turn: Arc::clone(self.turns.entry(stick.to_owned()).or_default()),
        };
        self.watched = Some(watched);
        // The thread is left to itself: one that hangs in a bad stick cannot be ended.
        thread::spawn(move || job.run());
    }

    fn state(&mut self) -> Option<OnStick> {
        self.watched.as_ref().and_then(|watched| watched.get())
    }

    fn give_up(&mut self) {
        if let Some(watched) = self.watched.take() {
            watched.give_up();
        }
    }
}
