//! The day's chemical and its strength, told before the first fill of a day.

use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::trade::announcement::Announcement;

impl Bay {
    /// True where the fill about to be said or logged is the first of its day with the day's chemical.
    /// An operator's choice for a sprayer is not that, and does not stand for it on the others; a clock
    /// that lost its date knows no day.
    pub(in crate::bay) fn day_is_news(&self) -> bool {
        let today = self.now.wall.date_naive();
        let filled = self.day.inside.last_fill_with(&self.chemical().id);
        let filled = filled.map(|at| at.date_naive());
        self.clock_is_plausible()
            && self.day.told_on != Some(today)
            && filled != Some(today)
            && !self.chemical_is_chosen()
            && matches!(self.offer(), Offer::Fill(_))
    }

    /// It is being told.
    pub(in crate::bay) fn day_is_told(&mut self) {
        self.day.told_on = Some(self.now.wall.date_naive());
    }

    /// The day's chemical and strength, and then what is to be said.
    pub(in crate::bay) fn after_the_days(&self, announcement: Announcement) -> Announcement {
        announcement.after_the_days(self.chemical())
    }
}
