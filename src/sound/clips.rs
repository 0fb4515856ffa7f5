//! The word clips of `sounds/en/`, carried inside the program: speech needs no file at run time.

use crate::trade::words::vocabulary;

/// The word and the WAV file of each clip.
macro_rules! clips {
    ($($word:literal,)*) => {
        &[$(($word, include_bytes!(concat!("../../sounds/en/", $word, ".wav")).as_slice())),*]
    };
}

/// Each clip with its word, in the order of `sounds/words.txt`. The list is the vocabulary's own, so
/// that no word can be without its clip.
const CLIPS: &[(&str, &[u8])] = vocabulary!(clips);

/// The word and the WAV file (mono, 16 bits, 22,050 Hz) of every clip.
pub fn all() -> impl Iterator<Item = (&'static str, &'static [u8])> {
    CLIPS.iter().copied()
}

/// The WAV file of a word's clip.
pub fn clip(word: &str) -> Option<&'static [u8]> {
    all().find(|(known, _)| *known == word).map(|(_, wav)| wav)
}
