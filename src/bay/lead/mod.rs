//! The shift lead's side: a PIN, a session that ends by itself, and the page that leads on.

mod clock;
mod gate;
mod pin;
mod session;
mod tries;

use super::action::{Action, Effect, PadKey, Page};
use super::at_work::Bay;
use super::ports::Tone;
use super::records::{Happening, LeadAccess};
use crate::text;
use std::time::Duration;

pub use gate::lead_only;
use pin::Entry;
pub use pin::{LEAST_DIGITS, MOST_DIGITS, PinStage, PinTold};

/// What can be done there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeadAction {
    /// Take the PIN that is typed.
    Enter,
    /// Choose another PIN.
    ChangePin,
    /// The time that the clock shows is right. Asked for by a held press only.
    ClockIsRight,
    /// Close the shift lead's side. Asked for by a held press only.
    Leave,
}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Lead {
    /// When the shift lead's side was last used; `None` where it is closed.
    session: Option<Duration>,
    /// Wrong PINs since somebody was let in.
    wrong: u32,
    /// No PIN is looked at before this time of the monotonic clock.
    not_before: Duration,
    entry: Entry,
    /// No PIN was chosen yet, as far as was seen: whoever comes may choose it.
    without_pin: bool,
    /// The page to show once the PIN is right.
    wanted: Page,
}

impl Lead {
    /// True while the session is open, or is over and not closed yet.
    pub(super) const fn is_open(&self) -> bool {
        self.session.is_some()
    }

    /// After a start: the tries before it count, and their wait begins again.
    pub(super) fn after(wrong: u32, now: Duration) -> Self {
        Self {
            wrong,
            not_before: now + tries::wait_after(wrong),
            ..Self::default()
        }
    }
}

impl Bay {
    pub(super) fn lead_act(&mut self, action: LeadAction) -> Vec<Effect> {
        match action {
            LeadAction::Enter if self.page != Page::Pin => vec![Effect::Tone(Tone::Refused)],
            LeadAction::Enter => match self.lead.entry.stage() {
                PinStage::Ask | PinStage::Old => self.try_pin(),
                PinStage::Choose => self.choose_pin(),
                PinStage::Again => self.confirm_pin(),
            },
            LeadAction::ChangePin => self.change_pin(),
            LeadAction::ClockIsRight => self.clock_is_right(),
            LeadAction::Leave => {
                self.close_lead(text!("The shift lead's side is closed."), Page::Fill)
            }
        }
    }

    /// Opens one of its pages.
    pub(super) fn lead_open(&mut self, page: Page) -> Vec<Effect> {
        if page == Page::Pin {
            return match self.lead_is_in() {
                true => self.show(Page::Lead),
                false => self.ask_for_pin(Page::Lead),
            };
        }
        self.turn_to(page);
        Vec::new()
    }

    /// Looks again whether there is a PIN. A lock that cannot be read says so where it is asked for.
    pub(in super::super) fn see_whether_a_pin_is_set(&mut self) {
        self.lead.without_pin = self.lock.has_pin() == Ok(false);
    }

    /// True where no PIN was chosen yet: whoever comes to the shift lead's side chooses it.
    pub fn is_without_pin(&self) -> bool {
        self.lead.without_pin
    }

    /// Whoever finds the shift lead's side left open must not take it over: the PIN that there is
    /// comes before another one.
    fn change_pin(&mut self) -> Vec<Effect> {
        let stage = match self.lock.has_pin() {
            Ok(true) => PinStage::Old,
            Ok(false) => PinStage::Choose,
            Err(fault) => return self.refuse(fault.cause.words()),
        };
        self.lead.entry = Entry::new(stage);
        self.turn_to(Page::Pin);
        Vec::new()
    }

    /// Shows the page for the PIN, which leads on to `wanted`.
    pub(super) fn ask_for_pin(&mut self, wanted: Page) -> Vec<Effect> {
        // The file that takes a PIN away is looked for before anybody is asked for that PIN.
        let taken_away = self.lock.take_away_if_asked();
        self.see_whether_a_pin_is_set();
        let stage = match self.lock.has_pin() {
            Ok(true) => PinStage::Ask,
            Ok(false) => PinStage::Choose,
            Err(fault) => return self.refuse(fault.cause.words()),
        };
        self.lead.wanted = wanted;
        self.lead.entry = Entry::new(stage);
        self.turn_to(Page::Pin);
        match taken_away {
            Ok(false) => Vec::new(),
            Ok(true) => self.pin_was_taken_away(),
            Err(fault) => self.refuse(fault.cause.words()),
        }
    }

    fn pin_was_taken_away(&mut self) -> Vec<Effect> {
        self.forget_tries();
        match self.keep(Happening::Lead(LeadAccess::PinTakenAway)) {
            Ok(_) => Vec::new(),
            Err(fault) => self.not_kept("That the PIN was taken away was not kept", &fault),
        }
    }

    /// One step back from one of its pages.
    pub(super) fn lead_back(&mut self) -> Vec<Effect> {
        match (self.page, self.lead.entry.stage()) {
            (Page::Pin, PinStage::Again) => {
                self.lead.entry = Entry::new(PinStage::Choose);
                Vec::new()
            }
            (Page::Pin, _) if self.lead_is_in() => self.show(Page::Lead),
            (Page::Pin, _) => self.show(Page::Fill),
            _ => self.show(Page::Menu),
        }
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn lead_pad(&mut self, key: PadKey) -> Vec<Effect> {
        match self.page == Page::Pin && self.lead.entry.press(key) {
            true => Vec::new(),
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn lead_main(&mut self) -> Vec<Effect> {
        self.act_again(match self.page {
            Page::Pin => Action::Lead(LeadAction::Enter),
            _ => Action::Back,
        })
    }

    /// Time goes by.
    pub(super) fn lead_tick(&mut self) -> Vec<Effect> {
        // Help is a page that one comes back from.
        if !matches!(self.page, Page::Pin | Page::Help) {
            self.lead.entry.forget();
        }
        self.close_lead_if_over()
    }
}
