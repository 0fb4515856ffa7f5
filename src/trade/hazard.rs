//! Hazard statements of the Globally Harmonized System, as far as this trade meets them: their
//! published words, the symbols that go with them, and what is usually put on against them.

use super::text::Text;
use crate::text;

/// A hazard statement, by its code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Corrosive to metals.
    H290,
    /// Severe skin burns and eye damage.
    H314,
    /// Skin irritation.
    H315,
    /// Serious eye damage.
    H318,
    /// Serious eye irritation.
    H319,
    /// Respiratory irritation.
    H335,
    /// Toxic gas in contact with acids.
    Euh031,
}

impl Hazard {
    /// All of them, by code.
    pub const ALL: [Self; 7] = [
        Self::H290,
        Self::H314,
        Self::H315,
        Self::H318,
        Self::H319,
        Self::H335,
        Self::Euh031,
    ];

    /// The code, as on labels and in the set-up file.
    pub const fn code(self) -> &'static str {
        match self {
            Self::H290 => "H290",
            Self::H314 => "H314",
            Self::H315 => "H315",
            Self::H318 => "H318",
            Self::H319 => "H319",
            Self::H335 => "H335",
            Self::Euh031 => "EUH031",
        }
    }
    /// The statement with this code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|hazard| hazard.code() == code)
    }

    /// The statement in its published words: H290 to H335 by UN GHS, Annex 3, section 1; EUH031 by
    /// the CLP Regulation, Annex II, 1.2.2.
    pub fn statement(self) -> Text {
        match self {
            Self::H290 => text!("May be corrosive to metals."),
            Self::H314 => text!("Causes severe skin burns and eye damage."),
            Self::H315 => text!("Causes skin irritation."),
            Self::H318 => text!("Causes serious eye damage."),
            Self::H319 => text!("Causes serious eye irritation."),
            Self::H335 => text!("May cause respiratory irritation."),
            Self::Euh031 => text!("Contact with acids liberates toxic gas."),
        }
    }

    /// The symbol that goes with it (UN GHS, Annex 1); none for EUH031.
    pub const fn pictogram(self) -> Option<Pictogram> {
        match self {
            Self::H290 | Self::H314 | Self::H318 => Some(Pictogram::Corrosion),
            Self::H315 | Self::H319 | Self::H335 => Some(Pictogram::Exclamation),
            Self::Euh031 => None,
        }
    }

    /// Irritation of skin or eyes, for which corrosion makes the exclamation mark superfluous.
    const fn is_irritation_of_skin_or_eyes(self) -> bool {
        matches!(self, Self::H315 | Self::H319)
    }
}

/// A symbol of the Globally Harmonized System.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pictogram {
    /// GHS05.
    Corrosion,
    /// GHS07.
    Exclamation,
}

/// The symbols of several statements, each once. Where corrosion is one, the exclamation mark is not
/// shown for irritation of skin or eyes (CLP Regulation, Article 26(1)(c); UN GHS 1.4.10.5.3.1).
pub fn pictograms(hazards: &[Hazard]) -> Vec<Pictogram> {
    let corrosive = hazards
        .iter()
        .any(|hazard| hazard.pictogram() == Some(Pictogram::Corrosion));
    let mut all: Vec<Pictogram> = hazards
        .iter()
        .filter(|hazard| !(corrosive && hazard.is_irritation_of_skin_or_eyes()))
        .filter_map(|hazard| hazard.pictogram())
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// What is usually done against the hazards, each once. Common practice, no source: the label and
/// the safety data sheet say what is really needed, and come first.
pub fn precautions(hazards: &[Hazard]) -> Vec<Text> {
    let any = |of: &[Hazard]| hazards.iter().any(|hazard| of.contains(hazard));
    let mut all = Vec::new();
    if any(&[Hazard::H314, Hazard::H315]) {
        all.push(text!("Gloves, and skin covered."));
    }
    if any(&[Hazard::H314, Hazard::H318, Hazard::H319]) {
        all.push(text!("Goggles that close all round."));
    }
    if any(&[Hazard::H335, Hazard::Euh031]) {
        all.push(text!("Fresh air: open the doors."));
    }
    if any(&[Hazard::Euh031]) {
        all.push(text!("Never near an acid."));
    }
    if any(&[Hazard::H290]) {
        all.push(text!("Not into metal containers."));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_are_the_published_ones() {
        // UN GHS Annex 3 for H290 to H335; CLP Annex II 1.2.2 for EUH031.
        for (code, words) in [
            ("H290", "May be corrosive to metals."),
            ("H314", "Causes severe skin burns and eye damage."),
            ("H315", "Causes skin irritation."),
            ("H318", "Causes serious eye damage."),
            ("H319", "Causes serious eye irritation."),
            ("H335", "May cause respiratory irritation."),
            ("EUH031", "Contact with acids liberates toxic gas."),
        ] {
            let hazard = Hazard::from_code(code).expect(code);
            assert_eq!(hazard.statement(), words, "{code}");
        }
        assert_eq!(Hazard::ALL.len(), 7);
    }

    #[test]
    fn corrosion_goes_before_irritation_but_not_before_that_of_the_airways() {
        use Hazard::{Euh031, H290, H314, H315, H318, H319, H335};
        use Pictogram::{Corrosion, Exclamation};
        for (hazards, symbols) in [
            (&[][..], &[][..]),
            (&[Euh031], &[]),
            (&[H315, H319], &[Exclamation]),
            (&[H314, H290], &[Corrosion]),
            (&[H315, H318], &[Corrosion]),
            (&[H319, H290, H315], &[Corrosion]),
            (&[H335, H314, H319], &[Corrosion, Exclamation]),
        ] {
            assert_eq!(pictograms(hazards), symbols, "{hazards:?}");
        }
    }

    #[test]
    fn what_is_put_on_follows_from_the_statements() {
        assert!(precautions(&[]).is_empty());
        let words = |hazards: &[Hazard]| {
            let all = precautions(hazards);
            all.iter().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(words(&[Hazard::H319]), ["Goggles that close all round."]);
        assert_eq!(
            words(&[Hazard::H314, Hazard::H318]),
            ["Gloves, and skin covered.", "Goggles that close all round."]
        );
        assert_eq!(
            words(&[Hazard::Euh031]),
            ["Fresh air: open the doors.", "Never near an acid."]
        );
    }
}
