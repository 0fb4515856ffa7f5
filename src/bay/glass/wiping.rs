//! The glass is wiped: for half a minute touches do nothing.

use super::super::action::{Page, UNDO_TIME};
use super::super::at_work::Bay;
use std::time::Duration;

/// So long touches do nothing.
pub const WIPE_TIME: Duration = Duration::from_secs(30);

impl Bay {
    /// How long touches do nothing yet; `None` where they do.
    pub fn wipe_left(&self) -> Option<Duration> {
        let since = self.glass.wiping.filter(|_| self.page == Page::Wipe)?;
        Some((since + WIPE_TIME).saturating_sub(self.now.monotonic))
    }

    pub(super) fn begin_wiping(&mut self) {
        self.turn_to(Page::Wipe);
        self.glass.wiping = Some(self.now.monotonic);
    }

    /// Home is there again when the time is over.
    pub(super) fn end_wiping_in_time(&mut self) {
        if self.wipe_left().is_some_and(|left| left.is_zero()) {
            self.page = Page::Fill;
            self.wiping_is_over();
        }
    }

    /// Notices do not go while nobody can press them: what was left of their time is theirs now.
    pub(in super::super) fn wiping_is_over(&mut self) {
        if self.page == Page::Wipe {
            return;
        }
        let Some(since) = self.glass.wiping.take() else {
            return;
        };
        let now = self.now.monotonic;
        for notice in &mut self.notices {
            notice.until = now + notice.until.saturating_sub(since).min(UNDO_TIME);
        }
    }

    /// True while the glass is wiped.
    pub(in super::super) fn is_wiped(&self) -> bool {
        self.glass.wiping.is_some()
    }
}
