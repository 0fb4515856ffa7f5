//! What was changed in the set-up, newest first, to be taken back.

use super::told;
use crate::bay::action::{Effect, Page};
use crate::bay::at_work::Bay;
use crate::bay::records::{Entry, Happening};
use crate::bay::setup::Setup;
use crate::bay::setup_change::SetupChange;
use crate::text;
use crate::trade::text::Text;
use chrono::{DateTime, FixedOffset};

/// So many keys of a change are shown one by one.
const SHOWN: usize = 2;

/// A change of the set-up that was kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// Its number in the records.
    pub entry: Entry,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What.
    pub change: SetupChange,
}

impl Changed {
    /// What was changed, a text for each key, and how many more there are: in the words of the screens,
    /// by the names that things have now.
    pub fn shown(&self, setup: &Setup) -> Vec<Text> {
        let keys = self.change.keys.iter();
        let keys: Vec<_> = keys.filter(|key| !key.is_of_first_run()).collect();
        let shown = keys.iter().take(SHOWN);
        let mut texts: Vec<Text> = shown.map(|key| told::of(key, setup)).collect();
        match keys.len().saturating_sub(SHOWN) {
            0 if texts.is_empty() => texts.push(text!("The first set-up")),
            0 => {}
            1 => texts.push(text!("and 1 more")),
            n => texts.push(text!("and {} more", n)),
        }
        texts
    }
}

impl Bay {
    /// The changes of the set-up as read when their page was opened, newest first.
    pub fn setup_changes(&self) -> &[Changed] {
        &self.editing.changes
    }
    /// The page of them that is shown, from 0.
    pub fn changes_page(&self) -> usize {
        self.editing.changes_page
    }

    pub(super) fn open_changes(&mut self) -> Vec<Effect> {
        match self.read_changes() {
            Ok(()) => {
                self.editing.changes_page = 0;
                self.turn_to(Page::Changes);
                Vec::new()
            }
            Err(effects) => effects,
        }
    }

    fn read_changes(&mut self) -> Result<(), Vec<Effect>> {
        let log = match self.records.log(0) {
            Ok(log) => log,
            Err(fault) => return Err(self.refuse(fault.at_the_wall())),
        };
        let changes = log
            .into_iter()
            .rev()
            .filter_map(|logged| match logged.what {
                Happening::SetupChanged(change) => Some(Changed {
                    entry: logged.entry,
                    at: logged.at,
                    change,
                }),
                _ => None,
            });
        self.editing.changes = changes.collect();
        Ok(())
    }

    pub(super) fn take_change_back(&mut self, entry: Entry) -> Vec<Effect> {
        let changed = self.editing.changes.iter().find(|c| c.entry == entry);
        let Some(change) = changed.map(|c| c.change.clone()) else {
            return Vec::new();
        };
        if let Err(effects) = self.take_setup_back(&change) {
            return effects;
        }
        self.notify(text!("That change is taken back"), None);
        self.editing.changes_page = 0;
        self.read_changes().err().unwrap_or_default()
    }
}
