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
            text!(
                "One moment: another program is writing to the records. It counts as soon as they \
                 are free."
            ),
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
    /// because it was meant for another chemical. True where `action` is the same once more, pressed by
    /// somebody who saw nothing happen: it is one with what waits.
    pub(super) fn try_what_waits(&mut self, action: &Action, changed: bool) -> (Vec<Effect>, bool) {
        if *action == Action::Touched {
            return (Vec::new(), false);
        }
        let Some(waiting) = self.waiting.take() else {
            return (Vec::new(), false);
        };
        if changed {
            return (self.not_kept(waiting.what, &waiting.fault), false);
        }
        let is_same = *action == waiting.action;
        self.tried_again_until = Some(waiting.until);
        let mut effects = self.act_again(waiting.action);
        self.tried_again_until = None;
        // What comes next would change what it is about.
        if !is_same
            && *action != Action::Tick
            && let Some(waiting) = self.waiting.take()
        {
            effects.extend(self.not_kept(waiting.what, &waiting.fault));
        }
        (effects, is_same)
    }
}
