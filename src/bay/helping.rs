//! Help, which is there on every screen and leads back to it as it was.

use super::action::{Effect, Page};
use super::at_work::Bay;

impl Bay {
    /// The page that help is for: the one it was asked for on.
    pub fn help_for(&self) -> Page {
        self.help_from
    }

    pub(super) fn open_help(&mut self) -> Vec<Effect> {
        if self.page != Page::Help {
            self.help_from = self.page;
        }
        self.turn_to(Page::Help);
        Vec::new()
    }

    /// Back to the very page, which is not opened anew: what is half done on it stays.
    pub(super) fn leave_help(&mut self) -> Vec<Effect> {
        let from = self.help_from;
        if self.needs_lead(from) {
            return self.ask_for_pin(from);
        }
        self.turn_to(self.still_there(from));
        Vec::new()
    }

    /// Where help that nobody reads any more gives way to: a calibration takes its time.
    pub(super) fn after_left_open(&self) -> Page {
        match (self.page, self.help_from) {
            (Page::Help, Page::Calibrate) => self.still_there(Page::Calibrate),
            _ => Page::Fill,
        }
    }

    /// The page, or home where what it was about is gone.
    fn still_there(&self, page: Page) -> Page {
        match page {
            Page::Calibrate if self.calibrating.is_none() => Page::Fill,
            Page::Check if self.checking.is_none() => Page::Fill,
            page => page,
        }
    }
}
