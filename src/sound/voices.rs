//! The voices of a wall: one for each language, carried in the program, and one of the bay's own.

use super::render;
use super::speaker::Speaker;
use super::voice::Pack;
use crate::bay::ports::Pace;
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;

/// The voices that the program carries, with the bay's own where it has one.
#[derive(Debug, Clone, Default)]
pub struct Voices {
    own: Option<Pack>,
}

impl Voices {
    /// With a voice of the bay's own: it takes the place of the one that speaks its language. Where
    /// it speaks a language that the screens do not have, it is the only one heard.
    pub const fn with_own(own: Option<Pack>) -> Self {
        Self { own }
    }

    /// The voice that speaks while this language is shown.
    pub fn pack(&self, language: Language) -> &Pack {
        let own = self.own.as_ref().filter(|own| {
            own.language == language.code() || Language::from_code(&own.language).is_none()
        });
        own.unwrap_or_else(|| Pack::of(language))
    }
}

impl Speaker for Voices {
    fn lexicon(&self, language: Language) -> &Lexicon {
        &self.pack(language).lexicon
    }
    fn samples(
        &self,
        announcement: &Announcement,
        language: Language,
        voice: Voice,
        pace: Pace,
    ) -> Vec<i16> {
        render::announcement(announcement, self.pack(language), voice, pace)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn own(language: &str) -> Voices {
        let mut pack = Pack::of(Language::English).clone();
        pack.language = language.into();
        pack.name = "Our own".into();
        Voices::with_own(Some(pack))
    }

    #[test]
    fn each_language_has_its_voice() {
        let voices = Voices::default();
        for language in Language::ALL {
            assert_eq!(voices.pack(language).language, language.code());
            assert!(voices.pack(language).missing().is_empty());
        }
    }

    #[test]
    fn the_bays_own_voice_speaks_its_own_language() {
        let spanish = own("es");
        assert_eq!(spanish.pack(Language::Spanish).name, "Our own");
        assert_ne!(spanish.pack(Language::English).name, "Our own");
        // One in a language that no screen has speaks whatever is shown.
        let polish = own("pl");
        for language in Language::ALL {
            assert_eq!(polish.pack(language).name, "Our own");
        }
    }
}
