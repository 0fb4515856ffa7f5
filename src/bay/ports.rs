//! What the bay needs from outside, as traits: the sound, the records and the clock.

use crate::trade::announcement::Announcement;
use std::time::Duration;

/// A short sound with one meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// A press was taken.
    Click,
    /// One second of the countdown before a run.
    Countdown,
    /// Start of a run: open the trigger now.
    Go,
    /// End of a run: let go now.
    Stop,
    /// Something was refused or went wrong.
    Refused,
}

/// What is known of the loudspeaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoundState {
    /// The bay's set-up turns sound off.
    Off,
    /// Not yet known: the device is being opened.
    Opening,
    /// A device is open.
    Working,
    /// No device, or it went away. It is tried again by itself.
    NoDevice,
}

/// Says what the bay wants said. Never blocks and never fails: no device is a state.
pub trait Announcer {
    /// Say this now; whatever was being said stops at once.
    fn say(&mut self, announcement: &Announcement);
    /// Play a short tone at once, beside speech for a click, instead of speech for the others.
    fn tone(&mut self, tone: Tone);
    /// Stop speaking.
    fn hush(&mut self);
    /// What is known of the loudspeaker at this moment.
    fn state(&mut self) -> SoundState;
}

/// Time, passed in so that whole shifts run in tests without waiting.
pub trait Clock {
    /// Time since some fixed moment; never goes back. All durations are measured with it.
    fn monotonic(&self) -> Duration;
    /// The date and time of day, which a wall screen may have wrong after a power cut.
    fn wall(&self) -> chrono::DateTime<chrono::FixedOffset>;
}
