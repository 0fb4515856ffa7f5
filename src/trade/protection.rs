//! What is put on against a chemical, by the hazard statements of its label.

use super::hazard::Hazard;
use super::text::Text;
use crate::text;

/// Something that is put on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Protection {
    /// Protective gloves.
    Gloves,
    /// Eye protection: goggles.
    Goggles,
    /// Face protection.
    FaceShield,
    /// Protective clothing: an apron at least.
    Apron,
    /// Respiratory protection.
    Respirator,
}

impl Protection {
    /// All of them, in the order in which they are told.
    pub const ALL: [Self; 5] = [
        Self::Gloves,
        Self::Goggles,
        Self::FaceShield,
        Self::Apron,
        Self::Respirator,
    ];

    /// The word in the set-up file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gloves => "gloves",
            Self::Goggles => "goggles",
            Self::FaceShield => "face shield",
            Self::Apron => "apron",
            Self::Respirator => "respirator",
        }
    }
    /// What a word of the set-up file stands for.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|of| of.word() == word)
    }

    /// Its name, for people.
    pub fn label(self) -> Text {
        match self {
            Self::Gloves => text!("Gloves"),
            Self::Goggles => text!("Goggles"),
            Self::FaceShield => text!("Face shield"),
            Self::Apron => text!("Apron"),
            Self::Respirator => text!("Respirator"),
        }
    }

    /// The hazard statements that ask for it.
    ///
    /// Gloves, clothing, eyes and face: precautionary statement P280 with its conditions for use,
    /// respirator: P284 (UN GHS, Annex 3, sections 2 and 3; CLP Regulation, Annex IV; which statement
    /// asks for which part of them is from memory). H331 and H332 ask for fresh air (P271), not for
    /// a respirator. That P280 means a shield besides goggles for what burns the skin, and an apron at
    /// least for clothing, is common practice, no source.
    pub const fn asked_by(self) -> &'static [Hazard] {
        use Hazard::{H310, H311, H312, H314, H315, H317, H318, H319, H330, H334};
        match self {
            Self::Gloves => &[H310, H311, H312, H314, H315, H317],
            Self::Goggles => &[H314, H318, H319],
            Self::FaceShield => &[H314],
            Self::Apron => &[H310, H311, H312, H314],
            Self::Respirator => &[H330, H334],
        }
    }
}

/// What is put on where only the hazard statements are known, each once. Gloves and goggles are the
/// least for any concentrate, whatever stands on it: common practice, no source.
pub fn by_hazards(hazards: &[Hazard]) -> Vec<Protection> {
    let asked = |of: &Protection| of.asked_by().iter().any(|by| hazards.contains(by));
    let least = |of: &Protection| matches!(of, Protection::Gloves | Protection::Goggles);
    let all = Protection::ALL.into_iter();
    all.filter(|of| least(of) || asked(of)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_is_put_on_against_what_is_worse() {
        use Hazard::{H290, H310, H314, H318, H319, H330, H334, H411};
        use Protection::{Apron, FaceShield, Gloves, Goggles, Respirator};
        for (hazards, put_on) in [
            (&[][..], &[Gloves, Goggles][..]),
            (&[H290, H411], &[Gloves, Goggles]),
            (&[H318], &[Gloves, Goggles]),
            (&[H319], &[Gloves, Goggles]),
            (&[H314, H290], &[Gloves, Goggles, FaceShield, Apron]),
            (&[H310], &[Gloves, Goggles, Apron]),
            (&[H334], &[Gloves, Goggles, Respirator]),
            (
                &[H330, H310, H314],
                &[Gloves, Goggles, FaceShield, Apron, Respirator],
            ),
        ] {
            assert_eq!(by_hazards(hazards), put_on, "{hazards:?}");
        }
    }

    #[test]
    fn words_are_read_back() {
        for of in Protection::ALL {
            assert_eq!(Protection::from_word(of.word()), Some(of));
        }
        assert_eq!(Protection::from_word("boots"), None);
    }
}
