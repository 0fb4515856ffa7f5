//! A log that is gone through twice instead of being kept in memory: seen once, then told.

use super::dated::{Believed, Dated, Days};
use super::landing::{Seen, Told};
use crate::bay::records::Logged;
use crate::bay::setup::Setup;

/// The first time through.
#[derive(Debug)]
pub struct First<'s> {
    days: Days,
    seen: Seen<'s>,
}

impl<'s> First<'s> {
    /// Nothing seen yet of a bay with this set-up.
    pub fn new(setup: &'s Setup) -> Self {
        Self {
            days: Days::default(),
            seen: Seen::new(setup),
        }
    }
    /// The next happening, in the order of the records.
    pub fn see(&mut self, logged: &Logged) {
        self.days.see(logged);
        self.seen.see(logged);
    }
    /// Now the same once more.
    pub fn again(self) -> Second<'s> {
        Second {
            believed: self.days.believed(),
            told: self.seen.told(),
        }
    }
}

/// The second time through.
#[derive(Debug)]
pub struct Second<'s> {
    believed: Believed,
    told: Told<'s>,
}

impl Second<'_> {
    /// The next happening with its day and what became of it.
    pub fn tell(&mut self, logged: Logged) -> Dated {
        Dated {
            day: self.believed.day(&logged),
            became: self.told.became(&logged),
            logged,
        }
    }
}
