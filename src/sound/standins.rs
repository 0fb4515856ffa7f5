//! Announcers without a loudspeaker: none at all, and one that keeps what would have been played.

use super::voice::Pack;
use super::{render, tones};
use crate::bay::ports::{Announcer, Pace, SoundState, Sounding, Tone};
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;

/// For a bay whose sound is off: it says nothing, in the language of the screens.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent {
    language: Language,
}

impl Announcer for Silent {
    fn set(&mut self, sounding: &Sounding) {
        self.language = sounding.language;
    }
    fn lexicon(&self) -> Lexicon {
        Pack::of(self.language).lexicon.clone()
    }
    fn say(&mut self, _: &Announcement, _: Pace) {}
    fn loudspeakers(&mut self) -> Vec<String> {
        Vec::new()
    }
    fn tone(&mut self, _: Tone) {}
    fn hush(&mut self) {}
    fn state(&mut self) -> SoundState {
        SoundState::Off
    }
}

/// Something that would have been heard.
#[derive(Debug, Clone, PartialEq)]
pub enum Played {
    /// An announcement, and its samples at full volume.
    Said {
        /// What was said.
        announcement: Announcement,
        /// Mono at [`super::RATE`].
        samples: Vec<i16>,
    },
    /// A tone, and its samples.
    Toned {
        /// Which.
        tone: Tone,
        /// Mono at [`super::RATE`].
        samples: Vec<i16>,
    },
    /// Speech was stopped.
    Hushed,
}

/// Keeps everything that would have been played, in order.
#[derive(Debug, Clone)]
pub struct Recorder {
    voice: Voice,
    language: Language,
    /// What would have been played so far.
    pub played: Vec<Played>,
}

impl Recorder {
    /// Records a bay with this voice. One whose sound is off records nothing.
    pub const fn new(voice: Voice) -> Self {
        Self {
            voice,
            language: Language::English,
            played: Vec::new(),
        }
    }

    /// Hands over what was played, and begins again with nothing.
    pub fn take(&mut self) -> Vec<Played> {
        std::mem::take(&mut self.played)
    }

    fn keep(&mut self, played: impl FnOnce(Voice) -> Played) {
        if self.voice != Voice::Off {
            self.played.push(played(self.voice));
        }
    }
}

impl Announcer for Recorder {
    fn set(&mut self, sounding: &Sounding) {
        self.language = sounding.language;
    }
    fn lexicon(&self) -> Lexicon {
        Pack::of(self.language).lexicon.clone()
    }
    fn loudspeakers(&mut self) -> Vec<String> {
        Vec::new()
    }
    fn say(&mut self, announcement: &Announcement, pace: Pace) {
        let pack = Pack::of(self.language);
        self.keep(|voice| Played::Said {
            announcement: announcement.clone(),
            samples: render::announcement(announcement, pack, voice, pace),
        });
    }
    fn tone(&mut self, tone: Tone) {
        self.keep(|_| Played::Toned {
            tone,
            samples: tones::tone(tone),
        });
    }
    fn hush(&mut self) {
        self.keep(|_| Played::Hushed);
    }
    fn state(&mut self) -> SoundState {
        match self.voice {
            Voice::Off => SoundState::Off,
            Voice::Speech | Voice::Beeps => SoundState::Working,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_recorder_keeps_everything_in_order() {
        let mut recorder = Recorder::new(Voice::Speech);
        recorder.say(&Announcement::wash_undone(), Pace::Usual);
        recorder.tone(Tone::Go);
        recorder.hush();
        let played = recorder.take();
        assert!(matches!(&played[0], Played::Said { samples, .. } if !samples.is_empty()));
        assert!(matches!(
            &played[1],
            Played::Toned { tone: Tone::Go, samples } if !samples.is_empty()
        ));
        assert_eq!(played[2..], [Played::Hushed]);
        assert!(recorder.played.is_empty());
        assert_eq!(recorder.state(), SoundState::Working);
    }

    #[test]
    fn off_is_off() {
        let mut recorder = Recorder::new(Voice::Off);
        recorder.say(&Announcement::wash_undone(), Pace::Usual);
        recorder.tone(Tone::Click);
        assert!(recorder.played.is_empty());
        assert_eq!(recorder.state(), SoundState::Off);
        assert_eq!(Silent::default().state(), SoundState::Off);
    }
}
