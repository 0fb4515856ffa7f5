//! A wash or a fill that waits, because another program is writing into the records at this moment. It
//! is neither shown as counted before it is on disk, nor lost: it is tried again as time goes by, and
//! where it takes too long, or something else is done meanwhile, it is told as not done.

use super::action::{Action, Effect};
use super::at_work::Bay;
use super::records::RecordsFault;
use crate::text;
use crate::trade::text::Text;
use std::time::Duration;

/// For so long it is tried again.
const PATIENCE: Duration = Duration::from_secs(10);

/// What waits.
#[derive(Debug, Clone)]
pub(super) struct Waiting {
    action: Action,
    until: Duration,
    /// What is said where nothing comes of it, and why.
    what: Text,
    fault: RecordsFault,
}

impl Bay {
    /// True while something waits for the records.
    pub fn waits_for_the_records(&self) -> bool {
        self.waiting.is_some()
    }

    /// Says why `action` was not done, or lets it wait where the records are only in use.
    pub(super) fn not_kept_yet(
        &mut self,
        action: Action,
        what: impl Into<Text>,
        fault: &RecordsFault,
    ) -> Vec<Effect> {
        let now = self.now.monotonic;
        let until = self.tried_again_until.unwrap_or(now + PATIENCE);
        if !self.records.is_locked() || now >= until {
            return self.not_kept(what, fault);
        }
        self.notify(
            text!("One moment: another program uses the records. Then it counts."),
            None,
        );
        if let Some(notice) = self.notices.last_mut() {
            // Until it is done or told.
            notice.until = until + PATIENCE;
        }
        self.waiting = Some(Waiting {
            action,
            until,
            what: what.into(),
            fault: fault.clone(),
        });
        Vec::new()
    }

    /// Tries again what waits, before `action` is done; `changed` where it must not be done any more,
    /// because it was meant for another chemical.
    pub(super) fn try_what_waits(&mut self, action: &Action, changed: bool) -> Tried {
        let mut tried = Tried::default();
        if *action == Action::Touched {
            return tried;
        }
        let Some(waiting) = self.waiting.take() else {
            return tried;
        };
        if changed {
            tried.given_up = Some(waiting);
            return tried;
        }
        tried.is_same = *action == waiting.action;
        self.tried_again_until = Some(waiting.until);
        tried.effects = self.act_again(waiting.action);
        self.tried_again_until = None;
        if !tried.is_same && !action.comes_by_itself() {
            // What is done now may change what it is about.
            tried.given_up = self.waiting.take();
        }
        tried
    }

    /// Says what did not become of what waited.
    pub(super) fn tell_given_up(&mut self, waiting: Option<Waiting>) -> Vec<Effect> {
        match waiting {
            Some(waiting) => self.not_kept(waiting.what, &waiting.fault),
            None => Vec::new(),
        }
    }
}

/// What became of what waited.
#[derive(Debug, Default)]
pub(super) struct Tried {
    pub effects: Vec<Effect>,
    /// What is done now is the same once more, pressed by somebody who saw nothing happen: it is one
    /// with what waits.
    pub is_same: bool,
    /// To be told, behind whatever is done now.
    pub given_up: Option<Waiting>,
}
