//! What in the records is not as it was kept: what is said of it, and what it keeps from being shown.

use super::at_work::Bay;
use super::records::{Broken, BrokenWhat};
use crate::text;
use crate::trade::text::Text;

impl Broken {
    /// What is wrong, with the number of the entry where it has one. No word of the remedy.
    pub fn words(&self) -> Text {
        let entry = match self.at {
            Some(at) => format!("{} ({})", self.entry, at.format("%Y-%m-%d")),
            None => self.entry.to_string(),
        };
        match self.what {
            BrokenWhat::Changed => text!("Entry {} of the records is not as it was kept.", entry),
            BrokenWhat::OutOfOrder => {
                text!(
                    "At entry {} of the records something is missing or was put in.",
                    entry
                )
            }
            BrokenWhat::SumAlone => {
                text!(
                    "The check sum of entry {} is damaged, the entry is not.",
                    entry
                )
            }
            BrokenWhat::Counts => {
                text!("The counts of washes from an older backup are not as they were brought.")
            }
            BrokenWhat::Draft => text!("The unfinished calibration is not as it was kept."),
            BrokenWhat::Newer => {
                text!(
                    "Entry {} of the records was kept by a newer version of this program.",
                    entry
                )
            }
        }
    }

    /// What to do about it.
    pub fn remedy(&self) -> Text {
        match (self.no_dose.is_empty(), self.unknown_mix.is_empty()) {
            (true, true) if self.what == BrokenWhat::Draft => text!("Begin it again."),
            (true, true) if self.what == BrokenWhat::Newer => text!("No dose hangs on it."),
            (false, true) if self.what == BrokenWhat::Newer => text!("Calibrate again."),
            (true, false) if self.what == BrokenWhat::Newer => text!("Rinse."),
            (false, false) if self.what == BrokenWhat::Newer => text!("Calibrate and rinse."),
            (true, true) => text!("No dose hangs on it. Restore the newest backup."),
            (false, true) => text!("Calibrate again, or restore the newest backup."),
            (true, false) => text!("Rinse, or restore the newest backup."),
            (false, false) => text!("Calibrate and rinse, or restore the newest backup."),
        }
    }
}

impl Bay {
    /// What was not as it was kept when the records were read, oldest first.
    pub fn broken(&self) -> &[Broken] {
        &self.broken
    }

    /// What keeps a sprayer (by id) from having a dose, until it is calibrated again.
    pub fn damage_of(&self, sprayer: &str) -> Option<&Broken> {
        let damage = self.broken.iter().find(|b| b.no_dose.contains(sprayer))?;
        self.calibration(sprayer).is_none().then_some(damage)
    }

    /// Says at the start that something is not as it was kept: what bears on a dose first.
    pub(super) fn tell_what_is_broken(&mut self) {
        let bears = |b: &&Broken| !b.no_dose.is_empty() || !b.unknown_mix.is_empty();
        let Some(first) = self.broken.iter().find(bears).or(self.broken.first()) else {
            return;
        };
        let words = text!("{} {}", first.words(), first.remedy());
        self.put_up_words(words);
    }
}
