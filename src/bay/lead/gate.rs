//! What is the shift lead's alone: pages that ask for the PIN, and actions that are refused without
//! it, wherever they come from.

use super::super::action::{Action, Effect, Page, Undo};
use super::super::at_work::Bay;
use super::super::day::DayAction;
use super::super::stopwatch::Watch;
use super::LeadAction;

/// True for the pages that are the shift lead's.
pub const fn lead_only(page: Page) -> bool {
    matches!(
        page,
        Page::Lead
            | Page::Day
            | Page::Edit
            | Page::Changes
            | Page::Loudspeakers
            | Page::Clock
            | Page::Panel
            | Page::Update
            | Page::Doctor
            | Page::SetClock
    )
}

impl Bay {
    /// True for a page that cannot be shown now without the shift lead's PIN.
    pub(in super::super) fn needs_lead(&self, page: Page) -> bool {
        // Who sets an empty screen up has no PIN yet.
        let is_first = self.is_being_set_up() && page == Page::Edit;
        lead_only(page) && !is_first && !self.lead_is_in()
    }

    /// True for what only the shift lead may do.
    pub fn lead_only_action(&self, action: &Action) -> bool {
        match action {
            Action::Lead(LeadAction::ChangePin | LeadAction::Leave | LeadAction::ClockIsRight) => {
                true
            }
            Action::Panel(_) => !action.comes_by_itself(),
            Action::ChooseLoudspeaker(_) | Action::BringBack => true,
            Action::Update(_) => true,
            Action::Edit(_) => !self.is_being_set_up(),
            // Saying that the sprayer was rinsed is everybody's.
            Action::Day(DayAction::Rinsed | DayAction::RinseOf(_)) => false,
            Action::Day(_) => true,
            // The shift lead may have left within the time in which it can be taken back.
            Action::Undo => match self.notice().and_then(|notice| notice.undo.as_ref()) {
                Some(Undo::Day { .. }) => true,
                Some(Undo::Setup(_)) => !self.is_being_set_up(),
                _ => false,
            },
            _ => false,
        }
    }

    /// What is to be done instead of an action, where it may not be done; `None` where it may.
    pub(in super::super) fn lead_gate(&mut self, action: &Action) -> Option<Vec<Effect>> {
        // What was meant for a page that closes just now is not done on the next one.
        if !action.comes_by_itself() && self.lead_is_over() && self.is_on_leads_side() {
            return Some(self.close_lead_if_over());
        }
        if self.lead_only_action(action) && !self.lead_is_in() {
            return Some(match self.watch() {
                Watch::Still => self.refuse("Only the shift lead may do that, with the PIN."),
                // Nothing sounds into a timed run.
                _ => Vec::new(),
            });
        }
        self.note_use(action);
        None
    }
}
