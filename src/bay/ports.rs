//! What the bay needs from outside, as traits: the sound, the records and the clock.

use super::records::Step;
use crate::trade::announcement::Announcement;
use crate::trade::calibration::Way;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;
use crate::trade::text::Text;
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
    NoDevice(Why),
}

/// What keeps a loudspeaker from being heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// It is not there, or went away.
    Absent,
    /// Another program holds it.
    InUse,
    /// This program may not use it: a matter of the panel's set-up.
    NotAllowed,
    /// It is there, and hangs, is slow, or its software ends in the middle.
    NoAnswer,
}

/// How fast something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// As people speak.
    #[default]
    Usual,
    /// With longer stops between the words, to follow with a pen or a jug.
    Slow,
}

/// How the bay wants to be heard at the moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sounding {
    /// Loudness of what comes next, 0 to 100.
    pub volume_percent: u8,
    /// The language that is spoken.
    pub language: Language,
    /// The loudspeaker by its name, one of [`Announcer::loudspeakers`]; `None` for the one that the
    /// system prefers.
    pub loudspeaker: Option<String>,
}

/// Says what the bay wants said. Never blocks and never fails: no device is a state.
pub trait Announcer {
    /// From now on sound like this. Asked for whenever it changes, and once before all else.
    fn set(&mut self, sounding: &Sounding);
    /// What the voice knows to say, in the language that was set last.
    fn lexicon(&self) -> Lexicon;
    /// Say this now; whatever was being said stops at once.
    fn say(&mut self, announcement: &Announcement, pace: Pace);
    /// Play a short tone at once, beside speech for a click, instead of speech for the others.
    fn tone(&mut self, tone: Tone);
    /// Stop speaking.
    fn hush(&mut self);
    /// What is known of the loudspeaker at this moment.
    fn state(&mut self) -> SoundState;
    /// The names of the loudspeakers that were found when last looked for; empty before that. Looks
    /// again, without waiting for the answer.
    fn loudspeakers(&mut self) -> Vec<String>;
}

/// Time, passed in so that whole shifts run in tests without waiting.
pub trait Clock {
    /// Time since some fixed moment; never goes back. All durations are measured with it.
    fn monotonic(&self) -> Duration;
    /// The date and time of day, which a wall screen may have wrong after a power cut.
    fn wall(&self) -> chrono::DateTime<chrono::FixedOffset>;
}

/// What is being done at the sprayer just now, as the wall knows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Nothing that a run or a check needs.
    Nothing,
    /// Getting ready for one, or done with it.
    Between,
    /// A step of a calibration; no trigger is open.
    Step {
        /// How its runs are done.
        way: Way,
        /// Which step.
        step: Step,
        /// What the stopwatch said, once it was stopped.
        time: Option<Duration>,
    },
    /// The trigger is open, the stopwatch runs.
    Spraying {
        /// True for a timed check, false for a run of a calibration.
        check: bool,
        /// True with the mix in the container, false with clean water.
        mix: bool,
        /// For so long.
        ran: Duration,
    },
}

/// A sprayer, and what is being done with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scene {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// What is being done.
    pub doing: Doing,
}

/// A sprayer to train with that is not there: tells what somebody beside it would see.
pub trait Practice {
    /// What is to be seen, in a few words; empty where that is nothing. Told of every change of the
    /// scene, and while the trigger is open all the time.
    fn sees(&mut self, scene: &Scene) -> Text;
}
