//! The session of the shift lead: from the right PIN until it is left, or until nobody used it.

use super::super::action::{Action, Effect, Page};
use super::super::at_work::Bay;
use super::super::records::{Happening, LeadAccess};
use super::super::stopwatch::Watch;
use super::gate::lead_only;
use crate::text;
use crate::trade::text::Text;
use std::time::Duration;

impl Bay {
    /// True while the shift lead's side is open.
    pub fn lead_is_in(&self) -> bool {
        self.lead_left().is_some()
    }

    /// How long the shift lead's side stays open without a touch on it; `None` where it is closed.
    pub fn lead_left(&self) -> Option<Duration> {
        let minutes = u64::from(self.setup.lead_minutes.max(1));
        let until = self.lead.session? + Duration::from_secs(60 * minutes);
        let left = until.checked_sub(self.now.monotonic)?;
        (!left.is_zero()).then_some(left)
    }

    /// True on a page that is the shift lead's, and on the help for it.
    pub(super) fn is_on_leads_side(&self) -> bool {
        let page = match self.page {
            Page::Help => self.help_from,
            page => page,
        };
        page == Page::Pin || lead_only(page)
    }

    /// What is done on the shift lead's side keeps it open. What operators do elsewhere does not: they
    /// would keep it open all day.
    pub(super) fn note_use(&mut self, action: &Action) {
        if !action.comes_by_itself() && self.lead_is_in() && self.is_on_leads_side() {
            self.lead.session = Some(self.now.monotonic);
        }
    }

    pub(super) fn let_in(&mut self) -> Vec<Effect> {
        if let Err(fault) = self.keep(Happening::Lead(LeadAccess::LetIn)) {
            return self.not_kept("The shift lead's side was not opened", &fault);
        }
        self.forget_tries();
        self.lead.session = Some(self.now.monotonic);
        self.lead.entry.forget();
        self.show(self.lead.wanted)
    }

    /// True where it was open and its time is over.
    pub(super) fn lead_is_over(&self) -> bool {
        self.lead.session.is_some() && !self.lead_is_in()
    }

    /// Closes it where nobody used it for its time. While the stopwatch runs nothing is written: it is
    /// over, and is closed after that.
    pub(super) fn close_lead_if_over(&mut self) -> Vec<Effect> {
        if !self.lead_is_over() || self.watch() != Watch::Still {
            return Vec::new();
        }
        let then = match self.is_on_leads_side() {
            true => Page::Fill,
            false => self.page,
        };
        self.close_lead(
            text!("The shift lead's side was closed: nobody used it."),
            then,
        )
    }

    /// Closes it, whether that can be kept or not: who is away must not leave it open.
    pub(super) fn close_lead(&mut self, why: Text, then: Page) -> Vec<Effect> {
        self.lead.session = None;
        self.lead.entry.forget();
        self.forget_day_draft();
        let kept = self.keep(Happening::Lead(LeadAccess::Left));
        if then != self.page {
            self.turn_to(then);
        }
        match kept {
            Ok(_) => {
                // Who is in the middle of something else need not know.
                if matches!(then, Page::Fill | Page::Menu) {
                    self.notify(why, None);
                }
                Vec::new()
            }
            Err(fault) => self.not_kept(
                "The shift lead's side is closed; that it was is not in the records",
                &fault,
            ),
        }
    }
}
