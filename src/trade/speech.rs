//! What a voice knows to say: its words, and what it says for each phrase of the wall.

use super::numbers::Numbers;
use super::phrases::Phrase;
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// The words of one voice.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lexicon {
    /// How it says numbers.
    pub numbers: Numbers,
    /// What it says for a phrase or a word of a name, by the English, in lower case. What is not in
    /// it is said as it stands.
    pub phrases: BTreeMap<String, String>,
    /// The words that there are sounds for; `None` where nothing is spoken, so that none is missing.
    pub words: Option<BTreeSet<String>>,
}

impl Lexicon {
    /// English, for showing only.
    pub fn english() -> Self {
        Self::default()
    }

    /// True where the voice has a sound for the word.
    pub fn knows(&self, word: &str) -> bool {
        self.words.as_ref().is_none_or(|words| words.contains(word))
    }

    /// A phrase as this voice says it and as it is shown.
    pub fn phrase(&self, phrase: Phrase) -> &str {
        self.said(phrase.english())
    }

    /// What is said for a text of the wall, in lower case.
    pub fn said<'a>(&'a self, english: &'a str) -> &'a str {
        self.phrases.get(english).map_or(english, String::as_str)
    }

    /// Every word that this voice needs for the wall's own announcements, names left out.
    pub fn needed(&self) -> BTreeSet<String> {
        let phrases = Phrase::ALL.iter().map(|phrase| self.phrase(*phrase));
        let words = phrases.flat_map(words_of);
        words
            .chain(self.numbers.words().into_iter().map(str::to_owned))
            .collect()
    }
}

/// The words of a text: letters and figures in lower case.
pub fn words_of(text: &str) -> impl Iterator<Item = String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
}

/// An announcement in the words of a voice.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Speech {
    /// The words to speak, with short stops between phrases.
    pub phrases: Vec<Vec<String>>,
    /// Words of names that the voice has no sound for: shown, not spoken.
    pub unspoken: Vec<String>,
    /// Words of the wall's own that the voice has no sound for: this announcement cannot be spoken.
    pub missing: Vec<String>,
}

impl Speech {
    /// About how long it takes to speak; rather longer than shorter.
    pub fn about(&self, slowly: bool) -> Duration {
        // By the clips of the program: so long for a letter, and a gap behind each word and phrase.
        const LETTER_MS: usize = 70;
        let (word_ms, stop_ms) = if slowly { (430, 850) } else { (250, 300) };
        let letters: usize = self.words().map(|word| word.chars().count()).sum();
        let ms =
            letters * LETTER_MS + self.words().count() * word_ms + self.phrases.len() * stop_ms;
        Duration::from_millis(ms as u64)
    }

    /// Every word that is spoken, in order.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.phrases.iter().flatten().map(String::as_str)
    }
}
