//! Records and card to a stick or a phone.

use super::csv;
use super::totals::{Report, Span};
use crate::bay::action::{Effect, Page};
use crate::bay::at_work::Bay;
use crate::bay::ports::{Leave, OnStick, Stick, StickFault, Tone};
use crate::bay::records::RecordsFault;
use crate::text;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// A stick on which nothing goes on for so long does not answer any more. Opening a large one and
/// syncing a slow one take some seconds.
const HANGS: Duration = Duration::from_secs(30);
/// What one code for a phone holds at the most, in bytes: more makes its squares too small to be read
/// from the smallest panel with ease.
pub const CODE_BYTES: usize = 500;
/// So many codes are shown of one table at the most, 20 000 bytes or about 250 rows: nobody scans more
/// of them in order.
pub const MOST_CODES: usize = 40;

/// What is taken away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum What {
    /// Of today.
    #[default]
    Today,
    /// Of seven days.
    Week,
    /// Everything in the records.
    All,
    /// The wall card alone.
    Card,
}

impl What {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 4] = [Self::Today, Self::Week, Self::All, Self::Card];

    /// The time over which the records go; none for the card.
    pub const fn span(self) -> Option<Span> {
        match self {
            Self::Today => Some(Span::Today),
            Self::Week => Some(Span::Week),
            Self::All => Some(Span::All),
            Self::Card => None,
        }
    }
}

/// Where one is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum TakeStage {
    /// Choose what, and how.
    #[default]
    What,
    /// To a stick.
    Stick,
    /// To a phone.
    Phone,
}

/// What the codes for a phone hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum CodesOf {
    /// The totals, as a few lines to read.
    #[default]
    Totals,
    /// The table: the rows of the records, or the card.
    Rows,
}

/// What is in hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taking {
    /// What is taken away.
    pub what: What,
    /// Where one is.
    pub stage: TakeStage,
    /// The sticks that are put in.
    pub found: Vec<Stick>,
    /// How far a stick has come; `None` where nothing was begun.
    pub on_stick: Option<OnStick>,
    /// When that was last something else.
    changed: Duration,
    /// What became of it was not seen yet.
    unseen: bool,
    /// What the codes hold.
    pub codes: CodesOf,
    /// The table in parts, one for each code.
    pub parts: Vec<String>,
    /// Which of the parts is shown, from 0.
    pub part: usize,
}

impl Taking {
    /// True where the table fits into the codes that are shown.
    pub fn table_fits(&self) -> bool {
        self.parts.len() <= MOST_CODES
    }

    /// True while something is being put on a stick.
    pub fn is_busy(&self) -> bool {
        matches!(
            self.on_stick,
            Some(OnStick::Opening | OnStick::Writing { .. } | OnStick::Closing)
        )
    }
}

impl Bay {
    /// What is being taken away, and how far that has come.
    pub fn taking(&self) -> &Taking {
        &self.reporting.taking
    }

    /// What the totals for a phone are of; `None` for the card.
    pub fn taken_totals(&self) -> Option<Report> {
        Some(self.report_over(self.reporting.taking.what.span()?))
    }

    pub(super) fn open_taking(&mut self) {
        let taking = &mut self.reporting.taking;
        taking.stage = match taking.is_busy() || taking.unseen {
            true => TakeStage::Stick,
            false => TakeStage::What,
        };
        taking.unseen = false;
    }

    pub(super) fn back_to_what(&mut self) -> Vec<Effect> {
        self.reporting.taking.stage = TakeStage::What;
        Vec::new()
    }

    pub(super) fn take(&mut self, what: What) -> Vec<Effect> {
        self.reporting.taking.what = what;
        Vec::new()
    }

    /// The page of reports reads a month; everything is read where everything is taken.
    fn read_what_is_taken(&mut self) -> Result<(), RecordsFault> {
        self.read_log(self.reporting.taking.what == What::All)
    }

    // ---- To a stick ------------------------------------------------------------------------

    pub(super) fn onto_stick(&mut self) -> Vec<Effect> {
        self.reporting.taking.stage = TakeStage::Stick;
        if self.reporting.taking.is_busy() {
            return Vec::new();
        }
        self.reporting.taking.on_stick = None;
        self.reporting.taking.found = self.reporting.sticks.found();
        match self.reporting.taking.found.as_slice() {
            [only] => {
                let id = only.id.clone();
                self.put_on(&id)
            }
            _ => Vec::new(),
        }
    }

    pub(super) fn put_on(&mut self, stick: &str) -> Vec<Effect> {
        if self.reporting.taking.is_busy() || self.is_looking() {
            return vec![Effect::Tone(Tone::Refused)];
        }
        if let Err(fault) = self.read_what_is_taken() {
            return self.not_kept("The records cannot be read", &fault);
        }
        let parcel = self.parcel(self.reporting.taking.what);
        self.reporting.sticks.put(stick, parcel);
        let taking = &mut self.reporting.taking;
        taking.stage = TakeStage::Stick;
        taking.on_stick = Some(OnStick::Opening);
        taking.changed = self.now.monotonic;
        Vec::new()
    }

    /// Sees how far the stick has come, and which are put in while one is waited for.
    pub(super) fn follow_stick(&mut self) -> Vec<Effect> {
        let seen = self.page == Page::TakeAway && self.reporting.taking.stage == TakeStage::Stick;
        let taking = &mut self.reporting.taking;
        if taking.on_stick.is_none() && seen {
            taking.found = self.reporting.sticks.found();
        }
        if !taking.is_busy() {
            return Vec::new();
        }
        let now = self.now.monotonic;
        let mut state = self.reporting.sticks.state();
        let same = state.is_none() || state == taking.on_stick;
        if same && now >= taking.changed + HANGS {
            self.reporting.sticks.give_up();
            state = Some(OnStick::Failed(StickFault::Hangs));
        }
        if state.is_none() || state == taking.on_stick {
            return Vec::new();
        }
        taking.on_stick = state;
        taking.changed = now;
        taking.unseen = !seen && !taking.is_busy();
        match (&taking.on_stick, seen) {
            (Some(OnStick::Failed(_)), true) => vec![Effect::Tone(Tone::Refused)],
            // Whoever went on to something else is told there.
            (Some(OnStick::Failed(_)), false) => {
                self.refuse("Nothing was put on the stick. See Records, Take away.")
            }
            (Some(OnStick::Done { leave, .. }), false) => {
                let leave = *leave;
                self.notify(
                    match leave {
                        Leave::PullOut => "It is on the stick. Pull it out.",
                        Leave::NoTool | Leave::Held => {
                            "It is on the stick. See Records, Take away, before it is pulled out."
                        }
                    },
                    None,
                );
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    // ---- To a phone ------------------------------------------------------------------------

    pub(super) fn onto_phone(&mut self) -> Vec<Effect> {
        if let Err(fault) = self.read_what_is_taken() {
            return self.not_kept("The records cannot be read", &fault);
        }
        let table = match self.reporting.taking.what {
            What::Card => self.card_csv(),
            what => self.records_csv(what),
        };
        let parts = csv::parts(&table, CODE_BYTES);
        let taking = &mut self.reporting.taking;
        // There are no totals of the card to show in its place.
        if taking.what == What::Card && parts.len() > MOST_CODES {
            return self.refuse(text!(
                "The card would take {} codes, {} at most are shown. Put it on a stick.",
                parts.len(),
                MOST_CODES
            ));
        }
        taking.stage = TakeStage::Phone;
        taking.parts = parts;
        taking.part = 0;
        taking.codes = match taking.what {
            What::Card => CodesOf::Rows,
            _ => CodesOf::Totals,
        };
        Vec::new()
    }

    pub(super) fn show_codes(&mut self, of: CodesOf) -> Vec<Effect> {
        let taking = &mut self.reporting.taking;
        let is_there = match of {
            CodesOf::Totals => taking.what != What::Card,
            CodesOf::Rows => taking.table_fits(),
        };
        if !is_there {
            return vec![Effect::Tone(Tone::Refused)];
        }
        taking.codes = of;
        taking.part = 0;
        Vec::new()
    }

    pub(super) fn step_code(&mut self, on: bool) -> Vec<Effect> {
        let taking = &mut self.reporting.taking;
        let count = match taking.codes {
            CodesOf::Totals => 1,
            CodesOf::Rows => taking.parts.len().max(1),
        };
        taking.part = match on {
            true => (taking.part + 1) % count,
            false => (taking.part + count - 1) % count,
        };
        Vec::new()
    }
}
