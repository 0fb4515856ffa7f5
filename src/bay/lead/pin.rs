//! The PIN as it is typed: asked for, or chosen and typed twice.

use super::super::action::{Effect, PadKey};
use super::super::at_work::Bay;
use super::super::ports::Tone;
use super::super::records::{Happening, LeadAccess};
use super::tries::wait_after;
use std::time::Duration;

/// A PIN has at least so many digits.
pub const LEAST_DIGITS: usize = 4;
/// And at most so many.
pub const MOST_DIGITS: usize = 8;

/// What the digits that are typed are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PinStage {
    /// To be let in.
    #[default]
    Ask,
    /// The PIN that there is, before another one is chosen.
    Old,
    /// A PIN of one's own choice.
    Choose,
    /// The same once more.
    Again,
}

impl PinStage {
    /// True where digits are held against the PIN that there is.
    pub const fn is_tried(self) -> bool {
        matches!(self, Self::Ask | Self::Old)
    }
}

/// What is to be said of the digits that were taken last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinTold {
    /// They were not the PIN.
    Wrong,
    /// They were too few.
    TooShort,
    /// The second time they were others than the first time.
    Differed,
}

/// Digits that must not be shown, not even to who debugs.
#[derive(Clone, PartialEq, Eq, Default)]
struct Digits(String);

impl std::fmt::Debug for Digits {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} digits", self.0.len())
    }
}

/// What is typed on the page for the PIN.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in super::super) struct Entry {
    stage: PinStage,
    typed: Digits,
    /// The PIN as it was chosen, until it is typed once more.
    chosen: Digits,
    told: Option<PinTold>,
}

impl Entry {
    pub(super) fn new(stage: PinStage) -> Self {
        Self {
            stage,
            ..Self::default()
        }
    }
    pub(super) fn stage(&self) -> PinStage {
        self.stage
    }
    /// Takes a key; false where it does nothing.
    pub(super) fn press(&mut self, key: PadKey) -> bool {
        let taken = match key {
            PadKey::Digit(digit @ 0..=9) if self.typed.0.len() < MOST_DIGITS => {
                self.typed.0.push(char::from(b'0' + digit));
                true
            }
            PadKey::Back => self.typed.0.pop().is_some(),
            PadKey::Digit(_) | PadKey::Point => false,
        };
        if taken {
            self.told = None;
        }
        taken
    }
    /// Nothing of a PIN stays behind.
    pub(super) fn forget(&mut self) {
        self.typed.0.clear();
        self.chosen.0.clear();
    }
    /// The digits; the line is empty then.
    fn take(&mut self) -> Digits {
        std::mem::take(&mut self.typed)
    }
    fn is_long_enough(&self) -> bool {
        self.typed.0.len() >= LEAST_DIGITS
    }
}

impl Bay {
    /// What is typed on the page for the PIN.
    pub fn pin_stage(&self) -> PinStage {
        self.lead.entry.stage
    }
    /// How many digits of it are typed.
    pub fn pin_digits(&self) -> usize {
        self.lead.entry.typed.0.len()
    }
    /// What is to be said of the digits that were taken last.
    pub fn pin_told(&self) -> Option<PinTold> {
        self.lead.entry.told
    }
    /// How long it is until a PIN is looked at again; `None` where that is now.
    pub fn pin_wait(&self) -> Option<Duration> {
        let wait = self.lead.not_before.checked_sub(self.now.monotonic)?;
        (!wait.is_zero()).then_some(wait)
    }
    /// True where the digits typed would be looked at.
    pub fn may_enter_pin(&self) -> bool {
        let waits = self.pin_stage().is_tried() && self.pin_wait().is_some();
        self.lead.entry.is_long_enough() && !waits
    }

    fn tell_of_pin(&mut self, told: PinTold) -> Vec<Effect> {
        self.lead.entry.told = Some(told);
        vec![Effect::Tone(Tone::Refused)]
    }

    pub(super) fn try_pin(&mut self) -> Vec<Effect> {
        // The wait is on the screen already.
        if self.pin_wait().is_some() {
            return vec![Effect::Tone(Tone::Refused)];
        }
        if !self.lead.entry.is_long_enough() {
            return self.tell_of_pin(PinTold::TooShort);
        }
        let typed = self.lead.entry.take();
        match self.lock.opens(&typed.0) {
            Ok(true) if self.pin_stage() == PinStage::Old => {
                self.lead.entry = Entry::new(PinStage::Choose);
                Vec::new()
            }
            Ok(true) => self.let_in(),
            Ok(false) => self.wrong_pin(),
            Err(fault) => self.refuse(fault.cause.words()),
        }
    }

    fn wrong_pin(&mut self) -> Vec<Effect> {
        // It counts also where it cannot be kept: a full disk must not give tries for nothing.
        self.lead.wrong = self.lead.wrong.saturating_add(1);
        self.lead.not_before = self.now.monotonic + wait_after(self.lead.wrong);
        let told = self.tell_of_pin(PinTold::Wrong);
        match self.keep(Happening::Lead(LeadAccess::Refused)) {
            Ok(_) => told,
            Err(fault) => self.not_kept("The wrong PIN was not kept", &fault),
        }
    }

    pub(super) fn forget_tries(&mut self) {
        self.lead.wrong = 0;
        self.lead.not_before = Duration::ZERO;
    }

    pub(super) fn choose_pin(&mut self) -> Vec<Effect> {
        if !self.lead.entry.is_long_enough() {
            return self.tell_of_pin(PinTold::TooShort);
        }
        let entry = &mut self.lead.entry;
        entry.chosen = entry.take();
        entry.stage = PinStage::Again;
        entry.told = None;
        Vec::new()
    }

    pub(super) fn confirm_pin(&mut self) -> Vec<Effect> {
        let again = self.lead.entry.take();
        let chosen = std::mem::take(&mut self.lead.entry.chosen);
        self.lead.entry.stage = PinStage::Choose;
        if again != chosen {
            return self.tell_of_pin(PinTold::Differed);
        }
        // The session may have ended meanwhile: then the PIN that there is comes first.
        let changes = match self.lock.has_pin() {
            Ok(changes) => changes,
            Err(fault) => return self.refuse(fault.cause.words()),
        };
        if changes && !self.lead_is_in() {
            return self.ask_for_pin(self.lead.wanted);
        }
        if let Err(fault) = self.lock.set_pin(&chosen.0) {
            return self.refuse(fault.cause.words());
        }
        self.forget_tries();
        self.see_whether_a_pin_is_set();
        // The lock has it already: what is missing then is the mention in the records.
        if let Err(fault) = self.keep(Happening::Lead(LeadAccess::PinSet)) {
            return self.not_kept("The PIN is set; that it was is not in the records", &fault);
        }
        if changes {
            let effects = self.show(super::Page::Lead);
            self.notify("The PIN is changed.", None);
            return effects;
        }
        self.let_in()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(keys: &str) -> Entry {
        let mut entry = Entry::new(PinStage::Ask);
        for key in keys.chars() {
            entry.press(match key {
                '<' => PadKey::Back,
                '.' => PadKey::Point,
                digit => PadKey::Digit(digit as u8 - b'0'),
            });
        }
        entry
    }

    #[test]
    fn four_to_eight_digits_are_typed_and_zeros_stay() {
        for (keys, digits) in [
            ("0042", "0042"),
            ("12.3", "123"),
            ("123456789", "12345678"),
            ("12<<<4", "4"),
        ] {
            assert_eq!(typed(keys).typed.0, digits, "{keys}");
        }
        assert!(!typed("123").is_long_enough() && typed("1234").is_long_enough());
    }

    #[test]
    fn debugging_does_not_tell_it() {
        let entry = typed("4711");
        let shown = format!("{entry:?}");
        assert!(
            !shown.contains("4711") && shown.contains("4 digits"),
            "{shown}"
        );
    }
}
