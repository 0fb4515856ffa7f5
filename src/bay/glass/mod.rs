//! The glass itself: it dims when nobody is there, goes dark at night, moves its picture against
//! burning in, and can be wiped without pressing anything.
//!
//! Only home is dimmed: whatever was left open has given way to it by then.

mod creep;
mod wiping;

use super::action::{Action, Effect, Page};
use super::at_work::Bay;
use super::ports::Tone;
use super::setup::Dimming;
use super::stopwatch::Watch;
use std::time::Duration;

pub use creep::{MOST_CREEP, Place};
pub use wiping::WIPE_TIME;

/// How bright the dark glass is, percent as an eye sees it: what stands on it can still be made out.
const DARK_PERCENT: u8 = 10;

/// How the glass is lit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Light {
    /// As usual.
    #[default]
    Bright,
    /// Nobody was there for a while: home, less bright.
    Dimmed,
    /// The same at night: black, with the time and how it is woken.
    Dark,
}

/// What becomes of a touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touches {
    /// It presses what is there.
    Press,
    /// It wakes the glass, and presses nothing.
    Wake,
    /// Nothing: the glass is being wiped.
    Nothing,
}

/// How the glass stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Glass {
    light: Light,
    /// Something kept it bright until then.
    busy_until: Duration,
    /// What is being said sounds until then.
    sounds_until: Duration,
    creep: creep::Creep,
    /// Since when it is being wiped.
    wiping: Option<Duration>,
}

impl Glass {
    pub(super) fn new(now: Duration) -> Self {
        Self {
            light: Light::Bright,
            busy_until: now,
            sounds_until: now,
            creep: creep::Creep::new(now),
            wiping: None,
        }
    }
}

impl Bay {
    // ---- What is shown -----------------------------------------------------------------------

    /// How the glass is lit.
    pub fn light(&self) -> Light {
        match self.may_dim() {
            true => self.glass.light,
            // What has just come up is seen at once.
            false => Light::Bright,
        }
    }

    /// The same in percent of its full light, as an eye sees it.
    pub fn light_percent(&self) -> u8 {
        match self.light() {
            Light::Bright => 100,
            Light::Dimmed => self.setup.dimming.percent,
            Light::Dark => DARK_PERCENT,
        }
    }

    /// What becomes of a touch that begins now.
    pub fn touches(&self) -> Touches {
        match (self.page, self.light()) {
            (Page::Wipe, _) => Touches::Nothing,
            (_, Light::Bright) => Touches::Press,
            (_, Light::Dimmed | Light::Dark) => Touches::Wake,
        }
    }

    /// True in the hours of the night. A clock that is known to be wrong has none.
    fn is_night(&self) -> bool {
        let night = self.setup.dimming.night;
        night.is_some_and(|night| night.hold(self.now.wall.time())) && self.clock_is_plausible()
    }

    /// True where nothing is lost if the glass is not looked at: home, with nothing to be taken back,
    /// heard or waited for.
    fn may_dim(&self) -> bool {
        self.page == Page::Fill
            && self.watch() == Watch::Still
            && self.notices.is_empty()
            && self.glass.sounds_until <= self.now.monotonic
            && !self.waits_for_the_records()
            && !self.is_being_set_up()
    }

    // ---- What is done ------------------------------------------------------------------------

    /// True for an action that only wakes the glass, wherever it comes from.
    pub(super) fn only_wakes(&self, action: &Action) -> bool {
        let is_asleep = self.light() != Light::Bright && !action.comes_by_itself();
        is_asleep || *action == Action::Wake
    }

    /// Somebody is there. It is heard, so that the hand knows.
    pub(super) fn wake(&mut self) -> Vec<Effect> {
        self.last_input = self.now.monotonic;
        match std::mem::take(&mut self.glass.light) {
            Light::Bright => Vec::new(),
            Light::Dimmed | Light::Dark => vec![Effect::Tone(Tone::Click)],
        }
    }

    /// Follows what is said.
    pub(super) fn glass_hears(&mut self, effects: &[Effect]) {
        for effect in effects {
            let lasts = match effect {
                Effect::Say(said) => said.speech(self.lexicon()).about(false),
                Effect::SaySlowly(said) => said.speech(self.lexicon()).about(true),
                Effect::Hush => Duration::ZERO,
                Effect::Tone(_) => continue,
            };
            self.glass.sounds_until = self.now.monotonic + lasts;
        }
    }

    /// Opens its page.
    pub(super) fn glass_open(&mut self) -> Vec<Effect> {
        self.begin_wiping();
        Vec::new()
    }

    /// Sees whether something has kept it bright until now, before any of it goes.
    pub(super) fn glass_looks(&mut self) {
        if !self.may_dim() {
            self.glass.busy_until = self.now.monotonic;
            self.glass.light = Light::Bright;
        }
    }

    /// Time goes by.
    pub(super) fn glass_tick(&mut self) -> Vec<Effect> {
        self.end_wiping_in_time();
        self.glass_looks();
        let left_since = self.glass.busy_until.max(self.last_input);
        let left = self.now.monotonic.saturating_sub(left_since);
        let dimming = self.setup.dimming;
        self.glass.light = match (self.may_dim(), self.is_night()) {
            (true, true) if left >= dimming.dark_after() => Light::Dark,
            (true, false) if dimming.after().is_some_and(|after| left >= after) => Light::Dimmed,
            _ => Light::Bright,
        };
        self.creep();
        Vec::new()
    }
}

impl Dimming {
    /// How long nobody was there when it is dimmed; `None` where it never is.
    fn after(self) -> Option<Duration> {
        let minutes = u64::from(self.after_minutes);
        (minutes > 0).then(|| Duration::from_secs(minutes * 60))
    }

    /// The same at night, where it is told to go dark by its hours alone.
    fn dark_after(self) -> Duration {
        let usual = Duration::from_secs(u64::from(Self::USUAL_MINUTES) * 60);
        self.after().unwrap_or(usual)
    }
}
