//! The English voice that the program carries.

use super::voice::Pack;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;

fn pack() -> &'static Pack {
    Pack::built_in(Language::English.code()).expect("the program carries its own language")
}

/// The word and the WAV file (mono, 16 bits, 22,050 Hz) of every clip.
pub fn all() -> impl Iterator<Item = (&'static str, &'static [u8])> {
    pack().clips()
}

/// The WAV file of a word's clip.
pub fn clip(word: &str) -> Option<&'static [u8]> {
    all().find(|(known, _)| *known == word).map(|(_, wav)| wav)
}

/// The words of the English voice.
pub fn lexicon() -> &'static Lexicon {
    &pack().lexicon
}
