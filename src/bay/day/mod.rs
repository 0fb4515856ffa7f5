//! The day's chemical, rinsing between chemicals, and what must never meet.

use super::action::{Action, Effect, PadKey, Page};
use super::at_work::Bay;
use super::ports::Tone;

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum DayAction {}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Day {}

impl Bay {
    pub(super) fn day_act(&mut self, action: DayAction) -> Vec<Effect> {
        match action {}
    }

    /// Opens one of its pages.
    pub(super) fn day_open(&mut self, page: Page) -> Vec<Effect> {
        self.turn_to(page);
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn day_back(&mut self) -> Vec<Effect> {
        self.show(Page::Menu)
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn day_pad(&mut self, _key: PadKey) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// A key of the letters on one of its pages.
    pub(super) fn day_type(&mut self, _key: super::action::TextKey) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn day_main(&mut self) -> Vec<Effect> {
        self.act_again(Action::Back)
    }

    /// Time goes by.
    pub(super) fn day_tick(&mut self) -> Vec<Effect> {
        Vec::new()
    }
}
