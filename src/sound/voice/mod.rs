//! Voices: a folder with a `voice.toml` and one clip for each word, Ogg Vorbis or WAV, or the same carried inside
//! the program. The format is described in `sounds/README.md`.

mod carried;
mod clip;
mod description;
mod fault;
mod folder;

pub use fault::{Fault, Wrong};

use crate::trade::language::Language;
use crate::trade::speech::Lexicon;
use description::Description;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A voice: what it says for the phrases of the wall, and a clip for each word it knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pack {
    /// The language that is spoken, as a code such as `es` (ISO 639-1).
    pub language: String,
    /// What the voice is called where one is chosen.
    pub name: String,
    /// Its numbers, phrases and words. The words are just those that there are clips for.
    pub lexicon: Lexicon,
    /// The file of each word.
    clips: BTreeMap<String, Cow<'static, [u8]>>,
}

impl Pack {
    /// The voice for a language (ISO 639-1) that the program carries.
    pub fn built_in(language: &str) -> Option<&'static Self> {
        carried::packs()
            .iter()
            .find(|pack| pack.language == language)
    }

    /// The voice that the program carries for a language of its screens.
    ///
    /// # Panics
    /// Never in a program whose tests passed: each language has one.
    pub fn of(language: Language) -> &'static Self {
        Self::built_in(language.code()).expect("the program carries a voice for each language")
    }

    /// Every voice that the program carries.
    pub fn all_built_in() -> &'static [Self] {
        carried::packs()
    }

    /// Reads a voice from a folder.
    ///
    /// A clip that is not there is no fault: it is among [`Pack::missing`], and what needs it is
    /// beeped.
    ///
    /// # Errors
    /// Everything that is wrong with the description and with the clips, all at once.
    pub fn read(folder: &Path) -> Result<Self, Vec<Fault>> {
        folder::read(folder)
    }

    /// Joins a description with the files beside it, each by its name.
    fn from_files(
        description: Description,
        mut files: BTreeMap<String, Cow<'static, [u8]>>,
    ) -> Self {
        let mut clips = BTreeMap::new();
        for (word, file) in &description.clips {
            if let Some(clip) = files.get(file) {
                clips.insert(word.clone(), clip.clone());
            }
        }
        // A file that is named for one word is not at the same time another.
        files.retain(|file, _| !description.clips.values().any(|named| named == file));
        for (file, clip) in files {
            if let Some(word) = clip::word_of(&file)
                && !description.clips.contains_key(&word)
            {
                clips.insert(word, clip);
            }
        }
        Self {
            language: description.language,
            name: description.name,
            lexicon: Lexicon {
                numbers: description.numbers,
                phrases: description.phrases,
                words: Some(clips.keys().cloned().collect()),
            },
            clips,
        }
    }

    /// The samples of a word's clip, mono at [`super::RATE`]; `None` where it has none. Read anew each
    /// time: Vorbis takes about a millisecond, and all clips as samples would take 12 MB.
    pub fn samples(&self, word: &str) -> Option<Vec<i16>> {
        // Every clip was read once already, so a fault cannot come up here.
        self.clips
            .get(word)
            .and_then(|file| clip::samples(file).ok())
    }

    /// Each word with its file, by the alphabet.
    pub fn clips(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.clips
            .iter()
            .map(|(word, file)| (word.as_str(), file.as_ref()))
    }

    /// The words that the wall's own announcements need and that this voice has no clip for.
    pub fn missing(&self) -> BTreeSet<String> {
        let mut needed = self.lexicon.needed();
        needed.retain(|word| !self.clips.contains_key(word));
        needed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::wav;
    use crate::trade::language::Language;
    use crate::trade::numbers::Numbers;
    use std::fs;

    fn tone(amplitude: i16, count: usize) -> Vec<i16> {
        (0..count)
            .map(|i| {
                if i / 20 % 2 == 0 {
                    amplitude
                } else {
                    -amplitude
                }
            })
            .collect()
    }

    struct Folder(tempfile::TempDir);
    impl Folder {
        fn new(description: &str) -> Self {
            let folder = Self(tempfile::tempdir().expect("a folder"));
            folder.put("voice.toml", description.as_bytes());
            folder
        }
        fn put(&self, name: &str, bytes: &[u8]) {
            fs::write(self.0.path().join(name), bytes).expect("written");
        }
        fn read(&self) -> Result<Pack, Vec<Fault>> {
            Pack::read(self.0.path())
        }
        fn faults(&self) -> Vec<String> {
            let faults = self.read().expect_err("faults");
            faults.iter().map(ToString::to_string).collect()
        }
    }

    const OWN: &str = "language = \"pl\"\nname = \"Polski\"\nnumbers = \"digits\"\n\
                       [phrases]\n\"then\" = \"potem\"\n\"hose\" = \"wąż\"\n\
                       [clips]\n\"wąż\" = \"waz.wav\"\n\"potem\" = \"gone.wav\"\n";

    #[test]
    fn every_language_of_the_wall_has_a_voice_with_every_word() {
        for language in Language::ALL {
            let pack = Pack::built_in(language.code()).expect("a voice");
            assert_eq!(pack.name, language.own_name());
            assert_eq!(pack.missing(), BTreeSet::new(), "{language:?}");
            for said in pack.lexicon.phrases.values() {
                for word in crate::trade::speech::words_of(said) {
                    assert!(
                        pack.lexicon.knows(&word),
                        "{language:?}: {word} of {said:?}"
                    );
                }
            }
        }
        assert_eq!(Pack::built_in("xx"), None);
    }

    #[test]
    fn a_phrase_that_a_carried_voice_translates_is_one_of_the_walls_or_a_single_word() {
        use crate::trade::phrases::Phrase;
        let english = Pack::built_in("en").expect("English");
        for pack in Pack::all_built_in() {
            for phrase in pack.lexicon.phrases.keys() {
                assert!(
                    Phrase::ALL.iter().any(|known| known.english() == phrase)
                        || english.lexicon.knows(phrase),
                    "{}: nobody says {phrase:?}",
                    pack.language
                );
            }
            for phrase in Phrase::ALL {
                assert!(
                    pack.language == "en" || pack.lexicon.phrases.contains_key(phrase.english()),
                    "{}: {:?} is said in English",
                    pack.language,
                    phrase.english()
                );
            }
        }
    }

    #[test]
    fn a_voice_is_read_from_its_folder() {
        let folder = Folder::new(OWN);
        let clip = tone(5000, 4000);
        for name in ["waz.wav", "6.wav", "Point.wav"] {
            folder.put(name, &wav::file(&clip));
        }
        folder.put("notes.txt", b"no clip");
        let pack = folder.read().expect("a voice");
        assert_eq!(
            (pack.language.as_str(), pack.name.as_str()),
            ("pl", "Polski")
        );
        assert_eq!(pack.lexicon.numbers, Numbers::Digits);
        assert_eq!(pack.lexicon.said("hose"), "wąż");
        assert_eq!(pack.samples("wąż"), Some(clip));
        assert_eq!(pack.samples("waz"), None, "it is named for another word");
        let known: Vec<&str> = pack.clips().map(|(word, _)| word).collect();
        assert_eq!(known, ["6", "point", "wąż"]);
        let missing = pack.missing();
        assert!(missing.contains("potem") && missing.contains("7") && !missing.contains("6"));
    }

    /// A file of the carried English voice.
    fn english(word: &str) -> Vec<u8> {
        let pack = Pack::built_in("en").expect("English");
        pack.clips[word].to_vec()
    }

    #[test]
    fn a_voice_may_have_vorbis_and_wav_and_wav_counts_where_both_are() {
        let folder = Folder::new(&OWN.replace("gone.wav", "gone.ogg"));
        let clip = tone(5000, 4000);
        folder.put("gone.ogg", &english("then"));
        folder.put("6.ogg", &english("six"));
        folder.put("7.ogg", &english("seven"));
        folder.put("7.wav", &wav::file(&clip));
        let pack = folder.read().expect("a voice");
        let own = Pack::built_in("en").expect("English");
        assert_eq!(pack.samples("potem"), own.samples("then"));
        assert_eq!(pack.samples("6"), own.samples("six"));
        assert_eq!(pack.samples("7"), Some(clip));
        assert!(own.samples("six").is_some_and(|six| six.len() > 4000));
    }

    #[test]
    fn every_fault_is_told_at_once() {
        let folder = Folder::new(OWN);
        let mut stereo = wav::file(&tone(5000, 4000));
        stereo[22] = 2;
        folder.put("6.wav", &stereo);
        folder.put("7.wav", b"text");
        folder.put("8.wav", &wav::file(&tone(i16::MAX, 4000)));
        folder.put("9.wav", &wav::file(&tone(20, 4000)));
        folder.put("0.wav", &wav::file(&tone(5000, 22_050 * 3 + 1)));
        folder.put("1.wav", &wav::file(&[]));
        folder.put("2.wav", &wav::file(&tone(5000, 22_050 * 3)));
        folder.put("hose.ogg", &english("hose")[..3000]);
        let faults = folder.faults();
        for (at, part) in [
            "0.wav: it lasts 3.0 s",
            "1.wav: it is silent",
            "6.wav: it is not mono",
            "7.wav: it is not a WAV",
            "8.wav: it is clipped",
            "9.wav: it is silent",
            "hose.ogg: it is not a whole Ogg Vorbis file",
        ]
        .iter()
        .enumerate()
        {
            assert!(faults[at].contains(part), "{part}: {}", faults[at]);
            assert!(faults[at].contains("; "), "no remedy: {}", faults[at]);
        }
        assert_eq!(faults.len(), 7, "{faults:?}");
    }

    #[test]
    fn a_description_that_is_wrong_is_told_with_what_to_write() {
        for (text, part) in [
            ("language = ", "voice.toml: line 1"),
            ("name = \"X\"\nnumbers = \"digits\"", "`language`"),
            (
                "language = \"pl\"\nname = \"X\"\nnumbers = \"roman\"",
                "english, spanish, digits",
            ),
            (
                "language = \"Polish\"\nname = \"X\"\nnumbers = \"digits\"",
                "two small letters",
            ),
            (
                "language = \"pl\"\nname = \" \"\nnumbers = \"digits\"",
                "name",
            ),
            (
                "language = \"pl\"\nname = \"X\"\nnumbers = \"digits\"\nspeed = 2",
                "`speed`",
            ),
            (
                "language = \"pl\"\nname = \"X\"\nnumbers = \"digits\"\n[clips]\na = \"../a.wav\"",
                "../a.wav",
            ),
        ] {
            let faults = Folder::new(text).faults();
            assert_eq!(faults.len(), 1, "{faults:?}");
            assert!(faults[0].contains(part), "{part}: {}", faults[0]);
        }
        let none = tempfile::tempdir().expect("a folder");
        let faults = Pack::read(none.path()).expect_err("no description");
        assert!(faults[0].to_string().contains("voice.toml"));
    }

    #[test]
    fn a_wrong_description_does_not_hide_wrong_clips() {
        let folder = Folder::new("language = ");
        folder.put("6.wav", b"text");
        assert_eq!(folder.faults().len(), 2);
    }
}
