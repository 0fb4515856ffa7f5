//! Calibrations taken back, and earlier ones brought back: the records say what counts then, and the
//! bay reads it from them.

use super::action::{Effect, Page};
use super::at_work::Bay;
use super::calibrating::Calibrating;
use super::records::{CalibrationRecord, Draft, Entry, Happening, Milestone, SprayerPast};
use super::reminding::{changed_between, changed_since, void_where_the_setup_differs};
use super::tools::Tools;
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::fill_plan::Part;
use crate::trade::reminder::{Standing, VoidCause};
use crate::trade::text::Text;

/// Why the calibration picked on the trend cannot be brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotBack {
    /// None is picked.
    NothingPicked,
    /// It is the one that counts.
    Counts,
    /// Something that voids it was changed since.
    Changed(VoidCause),
}

impl NotBack {
    /// For the screen.
    pub fn words(self) -> Text {
        match self {
            Self::NothingPicked => text!("Pick a calibration first."),
            Self::Counts => text!("It is the one that counts."),
            Self::Changed(_) => text!("Something was changed since: calibrate instead."),
        }
    }
}

impl Bay {
    /// Every change of what a calibration belongs to, with how many calibrations of the trend came
    /// before it. A nozzle, washer or dial that has another name from one calibration to the next was
    /// changed too.
    pub fn changes_on_trend(&self) -> Vec<(usize, VoidCause)> {
        let mut count = 0;
        let mut changes: Vec<(usize, VoidCause)> = Vec::new();
        let mut before: Option<&CalibrationRecord> = None;
        for milestone in self.history() {
            match milestone {
                Milestone::Changed { what, .. } => changes.push((count, *what)),
                Milestone::BroughtBack { .. } => {}
                Milestone::Calibrated { record, .. } => {
                    let told = changes.last().is_some_and(|(at, _)| *at == count);
                    let (nozzle, washer) = (&record.nozzle, &record.washer);
                    let dial = record.dial.as_deref();
                    let cause = before
                        .replace(record)
                        .and_then(|then| changed_between(then, nozzle, washer, dial));
                    changes.extend(cause.filter(|_| !told).map(|cause| (count, cause)));
                    count += 1;
                }
            }
        }
        changes
    }

    /// The number of the calibration of the trend that counts.
    fn counting(&self) -> Option<Entry> {
        self.history().iter().rev().find_map(|m| match m {
            Milestone::Calibrated { entry, .. } => Some(*entry),
            Milestone::BroughtBack { of, .. } => Some(*of),
            Milestone::Changed { .. } => None,
        })
    }

    /// The number and the record of the calibration picked on the trend, where it may count again.
    ///
    /// # Errors
    /// Why it may not.
    pub fn may_bring_back(&self) -> Result<(Entry, &CalibrationRecord), NotBack> {
        let place = self.picked().ok_or(NotBack::NothingPicked)?;
        let mut all = self.history().iter().filter_map(|m| match m {
            Milestone::Calibrated { entry, record, .. } => Some((*entry, &**record)),
            Milestone::Changed { .. } | Milestone::BroughtBack { .. } => None,
        });
        let (entry, record) = all.nth(place).ok_or(NotBack::NothingPicked)?;
        if self.counting() == Some(entry) {
            return Err(NotBack::Counts);
        }
        let after = self.changes_on_trend().into_iter();
        let mut after = after.filter(|(before, _)| *before > place);
        if let Some((_, cause)) = after.next() {
            return Err(NotBack::Changed(cause));
        }
        let sprayer = self.sprayer();
        match (changed_since(record, sprayer), self.standing(sprayer)) {
            (Some(cause), _) | (None, Standing::Void(cause)) => Err(NotBack::Changed(cause)),
            _ => Ok((entry, record)),
        }
    }

    /// Lets the calibration picked on the trend count again.
    pub(super) fn bring_back(&mut self) -> Vec<Effect> {
        if self.page != Page::Trend {
            return Vec::new();
        }
        let (of, record) = match self.may_bring_back() {
            Ok((of, record)) => (of, Box::new(record.clone())),
            Err(not) => return self.refuse(not.words()),
        };
        let sprayer = record.sprayer.clone();
        match self.keep(Happening::CalibrationBroughtBack { of, record }) {
            Ok(_) => {
                self.forget_corrections();
                self.counts_anew(&sprayer);
                self.page = Page::Fill;
                self.notify("The earlier calibration counts again", None);
                self.speak(self.spoken_brought_back())
            }
            Err(fault) => self.not_kept("The calibration was not brought back", &fault),
        }
    }

    /// Takes a saved calibration back. Its runs are in hand again, where no other calibration is.
    pub(super) fn calibration_undone(&mut self, entry: Entry, draft: Draft) -> Vec<Effect> {
        if let Err(fault) = self.keep(Happening::CalibrationUndone(entry)) {
            return self.not_kept("The calibration was not taken back", &fault);
        }
        self.notices.pop();
        self.forget_corrections();
        let id = draft.sprayer.clone();
        self.counts_anew(&id);
        let kind = self.setup.sprayer(&id).map(|sprayer| sprayer.kind);
        let mut effects = Vec::new();
        if let Some(kind) = kind.filter(|_| self.calibrating.is_none()) {
            let tools = Tools::from(&self.setup);
            self.calibrating = Some(Calibrating::resume(draft, kind, tools));
            effects = self.keep_draft();
        }
        if effects.is_empty() {
            self.notify("Calibration taken back: its runs are unfinished", None);
            effects = self.speak(Announcement::calibration_undone());
        }
        effects
    }

    /// Another calibration of a sprayer counts: what is known of the sprayer is read anew, and what hung
    /// on the other one is over.
    fn counts_anew(&mut self, sprayer: &str) {
        self.know_anew(sprayer);
        self.checking = None;
        self.void_allowed = None;
        self.part = Part::Full;
    }

    /// What is known of a sprayer, from the records: what was taken back there counts nowhere. Where
    /// they cannot be read there is no calibration to pour by.
    pub(super) fn know_anew(&mut self, sprayer: &str) {
        let past = self.records.past();
        let read = past.map(|mut past| (past.sprayers.remove(sprayer), past.repeats));
        match read {
            Ok((known, repeats)) => {
                let mut known = known.unwrap_or_default();
                if let Some(of) = self.setup.sprayer(sprayer) {
                    void_where_the_setup_differs(&mut known, of);
                }
                self.sprayers.insert(sprayer.into(), known);
                self.repeats = repeats;
            }
            Err(fault) => {
                self.sprayers.insert(sprayer.into(), SprayerPast::default());
                self.refuse(fault.at_the_wall());
            }
        }
    }
}
