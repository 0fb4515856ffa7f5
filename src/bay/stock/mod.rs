//! What there is of each chemical, and how long it lasts.

use super::action::{Action, Effect, PadKey, Page};
use super::at_work::Bay;
use super::ports::Tone;

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum StockAction {}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Stock {}

impl Bay {
    pub(super) fn stock_act(&mut self, action: StockAction) -> Vec<Effect> {
        match action {}
    }

    /// Opens one of its pages.
    pub(super) fn stock_open(&mut self, page: Page) -> Vec<Effect> {
        self.turn_to(page);
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn stock_back(&mut self) -> Vec<Effect> {
        self.show(Page::Menu)
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn stock_pad(&mut self, _key: PadKey) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// A key of the letters on one of its pages.
    pub(super) fn stock_type(&mut self, _key: super::action::TextKey) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn stock_main(&mut self) -> Vec<Effect> {
        self.act_again(Action::Back)
    }

    /// Time goes by.
    pub(super) fn stock_tick(&mut self) -> Vec<Effect> {
        Vec::new()
    }
}
