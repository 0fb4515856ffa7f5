//! What is wrong with the panel for as long as it is wrong: told on every page, in the order of what it
//! puts at risk. A notice goes by itself; this does not.

use super::super::at_work::Bay;
use super::{FIRST_YEAR, State};
use crate::text;
use crate::trade::text::Text;
use chrono::Datelike;

/// Something that is told on the glass as long as it is so; the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// The disk with the records is not there, or is another one.
    RecordsGone,
    /// The disk may only be read.
    DiskReadOnly,
    /// The disk takes nothing more, or soon will.
    DiskFull,
    /// The touch panel is not there.
    NoTouch,
    /// The file system with the records has errors.
    DiskErrors,
    /// The clock shows less than the newest record, or what no clock shows.
    ClockWrong,
    /// The display is another one than that of the set-up.
    OtherDisplay,
    /// The sound card lets nothing be heard.
    CardSilent,
}

impl Standing {
    /// In one line: what is wrong, and what to do.
    pub fn words(self) -> Text {
        match self {
            Self::RecordsGone => text!("Nothing is kept: the disk with the records is missing."),
            Self::DiskReadOnly => text!("Nothing is kept: switch the panel off and on once."),
            Self::DiskFull => text!("The disk is full: make room, or nothing is kept."),
            Self::NoTouch => text!("No touch panel: push its plug home."),
            Self::DiskErrors => text!("The disk has errors: take a backup now."),
            Self::ClockWrong => text!("The clock may be wrong: shift lead, Clock."),
            Self::OtherDisplay => text!("Another display than in the set-up: see Check."),
            Self::CardSilent => text!("No sound: the card is set to silent, see Check."),
        }
    }

    /// True where what is done at the wall may be lost, or cannot be done.
    pub const fn is_grave(self) -> bool {
        matches!(
            self,
            Self::RecordsGone | Self::DiskReadOnly | Self::DiskFull | Self::NoTouch
        )
    }
}

impl Bay {
    /// The gravest of what is wrong with the panel just now.
    pub fn panel_standing(&self) -> Option<Standing> {
        let behind = self.newest_beyond_the_clock().is_some();
        let lost = self.clock_shows().year() < FIRST_YEAR;
        let clock = (behind || lost).then_some(Standing::ClockWrong);
        let seen = self.panel.seen.values().filter(|finding| {
            // Who has only ever had a mouse misses no touch panel.
            finding.state != State::Warn
                || finding.standing != Some(Standing::NoTouch)
                || self.panel.had_touch
        });
        let seen = seen.filter_map(|finding| finding.standing);
        seen.filter(|standing| !self.is_silent() || *standing != Standing::CardSilent)
            .chain(clock)
            .min()
    }
}
