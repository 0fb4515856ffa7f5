//! The clock against the records: one record kept while the clock stood in the future makes every date
//! after it doubtful, until the shift lead says that the time shown is right.

use super::super::action::Effect;
use super::super::at_work::Bay;
use super::super::records::{Happening, newest_beyond};
use crate::text;
use chrono::{DateTime, FixedOffset};

impl Bay {
    /// The date and time that the clock shows.
    pub fn clock_shows(&self) -> DateTime<FixedOffset> {
        self.now.wall
    }

    /// The newest date in the records where the clock shows less: one of the two is wrong. `None` where
    /// the clock can be believed.
    pub fn newest_beyond_the_clock(&self) -> Option<DateTime<FixedOffset>> {
        newest_beyond(self.now.wall, self.newest)
    }

    /// The shift lead says that the time shown is right: later dates are not believed any more.
    pub(in super::super) fn clock_is_right(&mut self) -> Vec<Effect> {
        let Some(newest) = self.newest_beyond_the_clock() else {
            return self.refuse("The clock is believed: there is nothing to put right.");
        };
        match self.keep(Happening::ClockPutRight { newest }) {
            Ok(_) => {
                self.newest = Some(self.now.wall);
                self.clock_right = Some(self.now.wall);
                self.notify("The time shown is believed from now on.", None);
                Vec::new()
            }
            Err(fault) => self.not_kept("The clock was not put right", &fault),
        }
    }

    /// Says at the start that clock and records do not agree.
    pub(in super::super) fn tell_of_the_clock(&mut self) {
        if let Some(newest) = self.newest_beyond_the_clock() {
            let words = text!(
                "The clock shows {}, the newest record {}: day reminders, quiet hours and the day's \
                 figures wait for the shift lead.",
                self.now.wall.format("%Y-%m-%d").to_string(),
                newest.format("%Y-%m-%d").to_string()
            );
            self.put_up_words(words);
        }
    }
}
