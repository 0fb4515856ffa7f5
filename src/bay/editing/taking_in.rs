//! A changed set-up becomes the one that the bay works by.

use crate::bay::action::Page;
use crate::bay::at_work::{Bay, LEFT_OPEN};
use crate::bay::records::Milestone;
use crate::bay::reminding::void_where_the_setup_differs;
use crate::bay::setup::Setup;
use crate::bay::stopwatch::Watch;
use crate::trade::fill_plan::Part;

impl Bay {
    /// Works by this set-up from now on. What hung on what is gone is dropped; a calibration belongs to
    /// one nozzle on one washer, and is void where the set-up now names others.
    pub(in crate::bay) fn take_setup(&mut self, setup: Setup) {
        let before = std::mem::replace(&mut self.setup, setup);
        self.see_what_is_void(&before);
        if self.setup.sprayer(&self.sprayer).is_none() {
            self.sprayer = self.setup.sprayers[0].id.clone();
            self.forget_said();
        }
        let is_there = |id: &str| self.setup.sprayer(id).is_some();
        if self
            .calibrating
            .as_ref()
            .is_some_and(|c| !is_there(&c.draft.sprayer))
        {
            self.calibrating = None;
        }
        if self.page != Page::Check {
            self.checking = None;
        }
        let setup = &self.setup;
        self.chosen_chemicals
            .retain(|_, chosen| setup.chemical(&chosen.what).is_some());
        self.void_allowed = None;
        self.part = Part::Full;
        let now = &self.setup;
        self.editing.wants_reopening |= now.panel != before.panel
            || now.voice != before.voice
            || now.voice_folder != before.voice_folder;
        self.editing.sanitise(&self.setup);
        // Who changed the chemical knows: only another day's change is news.
        self.day_seen();
    }

    /// What the set-up of before had made void, and nothing else had, is held against the new one.
    fn see_what_is_void(&mut self, before: &Setup) {
        for sprayer in &self.setup.sprayers {
            let known = self.sprayers.entry(sprayer.id.clone()).or_default();
            let same = before.sprayer(&sprayer.id).is_some_and(|old| {
                old.nozzle == sprayer.nozzle
                    && old.washer == sprayer.washer
                    && old.dial == sprayer.dial
            });
            if same {
                continue;
            }
            // Said at the screen, it stays until the next calibration, whatever the set-up says.
            let is_of_the_setup = known.void.is_some()
                && self.records.history(&sprayer.id).is_ok_and(|history| {
                    !matches!(history.last(), Some(Milestone::Changed { .. }))
                });
            if is_of_the_setup {
                known.void = None;
            }
            void_where_the_setup_differs(known, sprayer);
        }
    }

    /// True where what was changed needs the bay to be opened anew, the panel or how it speaks.
    pub(in crate::bay) const fn is_to_be_reopened(&self) -> bool {
        self.editing.wants_reopening
    }

    /// True where the bay is to be opened anew, and nobody is at the wall who would lose something by it.
    pub fn wants_reopening(&self) -> bool {
        let left = self.now.monotonic.saturating_sub(self.last_input) >= LEFT_OPEN;
        let nothing_in_hand = self.watch() == Watch::Still
            && self.checking.is_none()
            && self.void_allowed.is_none()
            && self.unsettled.is_none()
            && self.notices.is_empty();
        self.is_to_be_reopened()
            && self.page == Page::Fill
            && left
            && nothing_in_hand
            && !self.lead_is_in()
    }
}
