//! Counts the washes of each sprayer, on their way into the records.

use crate::bay::records::{
    Entry, Happening, LastFill, Logged, Milestone, Past, Records, RecordsFault,
};
use crate::bay::setup::Setup;
use crate::bay::setup_change::Place;
use chrono::{DateTime, FixedOffset};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The washes of each sprayer, by id.
#[derive(Debug, Clone, Default)]
pub struct Washes(Rc<RefCell<BTreeMap<String, u32>>>);

impl Washes {
    /// Those of one sprayer.
    pub fn of(&self, sprayer: &str) -> u32 {
        self.0.borrow().get(sprayer).copied().unwrap_or(0)
    }
    /// All of them.
    pub fn all(&self) -> u32 {
        self.0.borrow().values().sum()
    }
    fn change(&self, sprayer: &str, to: impl FnOnce(u32) -> u32) {
        let mut washes = self.0.borrow_mut();
        let count = washes.entry(sprayer.into()).or_default();
        *count = to(*count);
    }
}

/// Records that count the washes which go through them.
pub struct Counted {
    inner: Box<dyn Records>,
    washes: Washes,
    /// Which sprayer's wash each number is, for taking it back.
    entries: BTreeMap<Entry, String>,
}

impl Counted {
    /// Counts on from what the records hold: since the first calibration of a sprayer, or all of a
    /// sprayer that was never calibrated.
    ///
    /// # Errors
    /// The records cannot be read.
    pub fn over(mut inner: Box<dyn Records>, setup: &Setup) -> Result<Self, RecordsFault> {
        let (past, washes) = (inner.past()?, Washes::default());
        for sprayer in &setup.sprayers {
            let history = inner.history(&sprayer.id)?;
            let since: Vec<u32> = history
                .iter()
                .filter_map(|milestone| match milestone {
                    Milestone::Calibrated { washes, .. } => Some(*washes),
                    Milestone::Changed { .. } | Milestone::BroughtBack { .. } => None,
                })
                .collect();
            let never = past.sprayers.get(&sprayer.id).map_or(0, |p| p.washes_since);
            let count = match since.is_empty() {
                true => never,
                false => since.iter().sum(),
            };
            washes.change(&sprayer.id, |_| count);
        }
        Ok(Self {
            inner,
            washes,
            entries: BTreeMap::new(),
        })
    }

    /// The count, which goes on with the records.
    pub fn washes(&self) -> Washes {
        self.washes.clone()
    }
}

impl Records for Counted {
    fn keep(
        &mut self,
        at: DateTime<FixedOffset>,
        happening: &Happening,
    ) -> Result<Entry, RecordsFault> {
        let entry = self.inner.keep(at, happening)?;
        match happening {
            Happening::Wash { sprayer, .. } => {
                self.washes.change(sprayer, |count| count + 1);
                self.entries.insert(entry, sprayer.clone());
            }
            Happening::WashUndone(undone) => {
                if let Some(sprayer) = self.entries.remove(undone) {
                    self.washes
                        .change(&sprayer, |count| count.saturating_sub(1));
                }
            }
            _ => {}
        }
        Ok(entry)
    }
    fn last(&mut self) -> Result<Entry, RecordsFault> {
        self.inner.last()
    }
    fn past(&mut self) -> Result<Past, RecordsFault> {
        self.inner.past()
    }
    fn history(&mut self, sprayer: &str) -> Result<Vec<Milestone>, RecordsFault> {
        self.inner.history(sprayer)
    }
    fn know(&mut self, item: &Place) -> Result<bool, RecordsFault> {
        self.inner.know(item)
    }
    fn last_fill(&mut self, sprayer: &str) -> Result<Option<LastFill>, RecordsFault> {
        self.inner.last_fill(sprayer)
    }
    fn log(&mut self, from: Entry) -> Result<Vec<Logged>, RecordsFault> {
        self.inner.log(from)
    }
    fn first_since(&mut self, since: DateTime<FixedOffset>) -> Result<Entry, RecordsFault> {
        self.inner.first_since(since)
    }
    fn is_locked(&self) -> bool {
        self.inner.is_locked()
    }
    fn stock_log(&mut self, since: DateTime<FixedOffset>) -> Result<Vec<Logged>, RecordsFault> {
        self.inner.stock_log(since)
    }
}
