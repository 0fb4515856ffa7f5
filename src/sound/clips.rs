//! The word clips of `sounds/en/`, carried inside the program: speech needs no file at run time.

use crate::trade::speech::Lexicon;
use std::sync::LazyLock;

/// Hands the whole vocabulary to the macro `$then`, in the order of `sounds/words.txt`.
macro_rules! vocabulary {
    ($then:ident) => {
        $then![
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
            "twenty",
            "thirty",
            "forty",
            "fifty",
            "sixty",
            "seventy",
            "eighty",
            "ninety",
            "hundred",
            "thousand",
            "point",
            "and",
            "millilitre",
            "millilitres",
            "litre",
            "litres",
            "percent",
            "part",
            "parts",
            "product",
            "water",
            "to",
            "the",
            "line",
            "of",
            "for",
            "in",
            "a",
            "full",
            "fill",
            "quarter",
            "half",
            "quarters",
            "lance",
            "drum",
            "injector",
            "sprayer",
            "left",
            "right",
            "front",
            "back",
            "top",
            "bottom",
            "bay",
            "truck",
            "bus",
            "wheel",
            "foam",
            "soap",
            "wax",
            "acid",
            "alkaline",
            "rinse",
            "degreaser",
            "shampoo",
            "neutral",
            "strong",
            "mild",
            "calibrate",
            "calibration",
            "again",
            "due",
            "overdue",
            "void",
            "not",
            "use",
            "do",
            "old",
            "figure",
            "nozzle",
            "washer",
            "supply",
            "changed",
            "no",
            "yet",
            "saved",
            "out",
            "reach",
            "strongest",
            "is",
            "start",
            "stop",
            "ready",
            "wash",
            "washes",
            "counted",
            "undone",
            "logged",
            "put",
            "off",
            "sound",
            "check",
            "strength",
            "measure",
            "then",
            "please",
            "now",
            "test",
            "loads",
            "draw",
            "fraction",
            "load",
            "hose",
            "gun",
            "red",
            "blue",
            "green",
            "yellow",
            "black",
            "white",
            "small",
            "large",
        ]
    };
}

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

/// The words of the voice that the program carries.
pub fn lexicon() -> &'static Lexicon {
    static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon {
        words: Some(all().map(|(word, _)| word.to_owned()).collect()),
        ..Lexicon::english()
    });
    &LEXICON
}
