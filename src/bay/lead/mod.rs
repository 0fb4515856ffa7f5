//! The shift lead's side: a PIN, a session that ends by itself, and the page that leads on.

use super::action::{Action, Effect, PadKey, Page};
use super::at_work::Bay;
use super::ports::Tone;

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum LeadAction {}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Lead {}

impl Bay {
    pub(super) fn lead_act(&mut self, action: LeadAction) -> Vec<Effect> {
        match action {}
    }

    /// Opens one of its pages.
    pub(super) fn lead_open(&mut self, page: Page) -> Vec<Effect> {
        self.turn_to(page);
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn lead_back(&mut self) -> Vec<Effect> {
        self.show(Page::Menu)
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn lead_pad(&mut self, _key: PadKey) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// A key of the letters on one of its pages.
    pub(super) fn lead_type(&mut self, _key: super::action::TextKey) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn lead_main(&mut self) -> Vec<Effect> {
        self.act_again(Action::Back)
    }

    /// Time goes by.
    pub(super) fn lead_tick(&mut self) -> Vec<Effect> {
        Vec::new()
    }
}
