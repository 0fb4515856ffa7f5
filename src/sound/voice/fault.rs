//! What can be wrong with a voice, and what to do about it.

use std::fmt;
use std::path::PathBuf;

/// One thing that is wrong with a voice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The file that it is about, or the folder.
    pub path: PathBuf,
    /// What is wrong with it.
    pub wrong: Wrong,
}

/// What can be wrong with a file of a voice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// It could not be read, for the reason that the system gives.
    Unreadable(String),
    /// The description is not written as it must be, for this reason.
    Description(String),
    /// It is no file that can be played, for this reason.
    Format(String),
    /// The recording was too loud: samples lie at the very end of the range.
    Clipped,
    /// There is nothing to hear in it.
    Silent,
    /// It is shorter than any word; in samples.
    TooShort(usize),
    /// It lasts longer than a word does; in ms.
    TooLong(u32),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.path.display())?;
        match &self.wrong {
            Wrong::Unreadable(cause) => write!(
                f,
                "it cannot be read: {cause}; look whether it is there and may be read"
            ),
            Wrong::Description(cause) => write!(
                f,
                "{cause}; write it as sounds/README.md describes, or as the voice.toml there"
            ),
            Wrong::Format(cause) => write!(
                f,
                "{cause}; save it as WAV, mono, 16 bits, 22,050 samples a second, or as Ogg Vorbis, \
                 mono, 22,050 samples a second"
            ),
            Wrong::Clipped => write!(
                f,
                "it is clipped; record the word again, farther from the microphone or at a lower \
                 level"
            ),
            Wrong::Silent => write!(
                f,
                "it is silent; record the word again, or take the file away to have it beeped"
            ),
            Wrong::TooShort(samples) => write!(
                f,
                "it is no word: it lasts {:.1} ms, and a word at least {}; record the word again, or \
                 take the file away to have it beeped",
                *samples as f64 * 1000.0 / f64::from(crate::sound::RATE),
                super::clip::SHORTEST_MS
            ),
            Wrong::TooLong(ms) => write!(
                f,
                "it lasts {:.1} s and a word at most {:.0}; cut the silence before and behind it",
                f64::from(*ms) / 1000.0,
                f64::from(super::clip::LONGEST_MS) / 1000.0
            ),
        }
    }
}
impl std::error::Error for Fault {}
