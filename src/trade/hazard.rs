//! Hazard statements of the Globally Harmonized System, as far as this trade meets them: their
//! published words, the symbols that go with them, and what is usually done against them.

use super::text::Text;
use crate::text;

/// A hazard statement, by its code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Corrosive to metals.
    H290,
    /// Fatal if swallowed.
    H300,
    /// Toxic if swallowed.
    H301,
    /// Harmful if swallowed.
    H302,
    /// Fatal in contact with skin.
    H310,
    /// Toxic in contact with skin.
    H311,
    /// Harmful in contact with skin.
    H312,
    /// Severe skin burns and eye damage.
    H314,
    /// Skin irritation.
    H315,
    /// Allergic skin reaction.
    H317,
    /// Serious eye damage.
    H318,
    /// Serious eye irritation.
    H319,
    /// Fatal if inhaled.
    H330,
    /// Toxic if inhaled.
    H331,
    /// Harmful if inhaled.
    H332,
    /// Allergy or asthma if inhaled.
    H334,
    /// Respiratory irritation.
    H335,
    /// Very toxic to aquatic life.
    H400,
    /// Very toxic to aquatic life, long lasting.
    H410,
    /// Toxic to aquatic life, long lasting.
    H411,
    /// Harmful to aquatic life, long lasting.
    H412,
    /// Toxic gas in contact with acids.
    Euh031,
    /// Very toxic gas in contact with acids.
    Euh032,
}

impl Hazard {
    /// All of them, by code.
    pub const ALL: [Self; 23] = [
        Self::H290,
        Self::H300,
        Self::H301,
        Self::H302,
        Self::H310,
        Self::H311,
        Self::H312,
        Self::H314,
        Self::H315,
        Self::H317,
        Self::H318,
        Self::H319,
        Self::H330,
        Self::H331,
        Self::H332,
        Self::H334,
        Self::H335,
        Self::H400,
        Self::H410,
        Self::H411,
        Self::H412,
        Self::Euh031,
        Self::Euh032,
    ];

    /// The code, as on labels and in the set-up file.
    pub const fn code(self) -> &'static str {
        match self {
            Self::H290 => "H290",
            Self::H300 => "H300",
            Self::H301 => "H301",
            Self::H302 => "H302",
            Self::H310 => "H310",
            Self::H311 => "H311",
            Self::H312 => "H312",
            Self::H314 => "H314",
            Self::H315 => "H315",
            Self::H317 => "H317",
            Self::H318 => "H318",
            Self::H319 => "H319",
            Self::H330 => "H330",
            Self::H331 => "H331",
            Self::H332 => "H332",
            Self::H334 => "H334",
            Self::H335 => "H335",
            Self::H400 => "H400",
            Self::H410 => "H410",
            Self::H411 => "H411",
            Self::H412 => "H412",
            Self::Euh031 => "EUH031",
            Self::Euh032 => "EUH032",
        }
    }
    /// The statement with this code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|hazard| hazard.code() == code)
    }

    /// The statement in its published words: H290 to H412 by UN GHS, Annex 3, section 1, which the
    /// CLP Regulation, Annex III, has too; EUH031 and EUH032 by the CLP Regulation, Annex II, 1.2.2
    /// and 1.2.3.
    pub fn statement(self) -> Text {
        match self {
            Self::H290 => text!("May be corrosive to metals."),
            Self::H300 => text!("Fatal if swallowed."),
            Self::H301 => text!("Toxic if swallowed."),
            Self::H302 => text!("Harmful if swallowed."),
            Self::H310 => text!("Fatal in contact with skin."),
            Self::H311 => text!("Toxic in contact with skin."),
            Self::H312 => text!("Harmful in contact with skin."),
            Self::H314 => text!("Causes severe skin burns and eye damage."),
            Self::H315 => text!("Causes skin irritation."),
            Self::H317 => text!("May cause an allergic skin reaction."),
            Self::H318 => text!("Causes serious eye damage."),
            Self::H319 => text!("Causes serious eye irritation."),
            Self::H330 => text!("Fatal if inhaled."),
            Self::H331 => text!("Toxic if inhaled."),
            Self::H332 => text!("Harmful if inhaled."),
            Self::H334 => {
                text!("May cause allergy or asthma symptoms or breathing difficulties if inhaled.")
            }
            Self::H335 => text!("May cause respiratory irritation."),
            Self::H400 => text!("Very toxic to aquatic life."),
            Self::H410 => text!("Very toxic to aquatic life with long lasting effects."),
            Self::H411 => text!("Toxic to aquatic life with long lasting effects."),
            Self::H412 => text!("Harmful to aquatic life with long lasting effects."),
            Self::Euh031 => text!("Contact with acids liberates toxic gas."),
            Self::Euh032 => text!("Contact with acids liberates very toxic gas."),
        }
    }

    /// The symbol that goes with it (UN GHS, Annex 1); none for H412, EUH031 and EUH032.
    pub const fn pictogram(self) -> Option<Pictogram> {
        match self {
            Self::H300 | Self::H301 | Self::H310 | Self::H311 | Self::H330 | Self::H331 => {
                Some(Pictogram::Skull)
            }
            Self::H290 | Self::H314 | Self::H318 => Some(Pictogram::Corrosion),
            Self::H334 => Some(Pictogram::Health),
            Self::H302
            | Self::H312
            | Self::H315
            | Self::H317
            | Self::H319
            | Self::H332
            | Self::H335 => Some(Pictogram::Exclamation),
            Self::H400 | Self::H410 | Self::H411 => Some(Pictogram::Environment),
            Self::H412 | Self::Euh031 | Self::Euh032 => None,
        }
    }

    /// Irritation of skin or eyes, for which corrosion makes the exclamation mark superfluous.
    const fn is_irritation_of_skin_or_eyes(self) -> bool {
        matches!(self, Self::H315 | Self::H319)
    }
}

/// A symbol of the Globally Harmonized System; in this order, what harms people at once first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pictogram {
    /// GHS06.
    Skull,
    /// GHS05.
    Corrosion,
    /// GHS08.
    Health,
    /// GHS07.
    Exclamation,
    /// GHS09.
    Environment,
}

/// The symbols of several statements, each once. Where the skull is one, the exclamation mark is not
/// shown; where corrosion is one, not for irritation of skin or eyes; where the health symbol is one
/// for allergy of the airways, not for that of the skin nor for irritation of skin or eyes (CLP
/// Regulation, Article 26(1)(b), (c) and (d); UN GHS 1.4.10.5.3.1).
pub fn pictograms(hazards: &[Hazard]) -> Vec<Pictogram> {
    let has = |sign| {
        hazards
            .iter()
            .any(|hazard| hazard.pictogram() == Some(sign))
    };
    let skull = has(Pictogram::Skull);
    let corrosive = has(Pictogram::Corrosion);
    let airways = hazards.contains(&Hazard::H334);
    let superfluous = |hazard: &Hazard| {
        hazard.pictogram() == Some(Pictogram::Exclamation)
            && (skull
                || (corrosive || airways) && hazard.is_irritation_of_skin_or_eyes()
                || airways && *hazard == Hazard::H317)
    };
    let mut all: Vec<Pictogram> = hazards
        .iter()
        .filter(|hazard| !superfluous(hazard))
        .filter_map(|hazard| hazard.pictogram())
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// True for what can kill whoever gets some of it on the skin, in the lungs or in the mouth: fatal, or
/// toxic and corrosive together, as products with hydrofluoric acid or ammonium bifluoride are. A
/// worker of this trade died of one (MMWR 64(32):874, 2015).
pub fn needs_a_medical_plan(hazards: &[Hazard]) -> bool {
    let any = |of: &[Hazard]| hazards.iter().any(|hazard| of.contains(hazard));
    any(&[Hazard::H300, Hazard::H310, Hazard::H330])
        || any(&[Hazard::H301, Hazard::H311, Hazard::H331]) && any(&[Hazard::H314])
}

/// What is usually done against the hazards besides what is put on, each once. Common practice, no
/// source, where none is named: the label and the safety data sheet say what is really needed, and
/// come first.
pub fn precautions(hazards: &[Hazard]) -> Vec<Text> {
    use Hazard::{Euh031, Euh032, H290, H330, H331, H332, H334, H335, H400, H410, H411, H412};
    let any = |of: &[Hazard]| hazards.iter().any(|hazard| of.contains(hazard));
    let mut all = Vec::new();
    if needs_a_medical_plan(hazards) {
        all.push(text!(
            "It can kill. Have the medical plan ready before use: its safety data sheet says which."
        ));
    }
    if any(&[H330, H331, H332, H334, H335, Euh031, Euh032]) {
        all.push(text!("Fresh air: open the doors."));
    }
    if any(&[Euh031, Euh032]) {
        all.push(text!("Never near an acid."));
    }
    if any(&[H290]) {
        all.push(text!("Not into metal containers."));
    }
    // P273, avoid release to the environment (UN GHS, Annex 3, section 2, from memory).
    if any(&[H400, H410, H411, H412]) {
        all.push(text!("Keep it out of drains and water."));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_statement_is_known_by_its_code_and_has_words_of_its_own() {
        let words: std::collections::BTreeSet<String> = Hazard::ALL
            .map(|hazard| hazard.statement().to_string())
            .into();
        assert_eq!(words.len(), Hazard::ALL.len());
        for hazard in Hazard::ALL {
            assert_eq!(Hazard::from_code(hazard.code()), Some(hazard));
        }
        assert_eq!(Hazard::from_code("H316"), None);
    }

    #[test]
    fn the_graver_symbol_goes_before_the_exclamation_mark() {
        use Hazard::{
            Euh031, H290, H302, H311, H314, H315, H317, H318, H319, H332, H334, H335, H400, H412,
        };
        use Pictogram::{Corrosion, Environment, Exclamation, Health, Skull};
        for (hazards, symbols) in [
            (&[][..], &[][..]),
            (&[Euh031, H412], &[]),
            (&[H315, H319], &[Exclamation]),
            (&[H314, H290], &[Corrosion]),
            (&[H315, H318], &[Corrosion]),
            (&[H319, H290, H315], &[Corrosion]),
            (&[H335, H314, H319], &[Corrosion, Exclamation]),
            (&[H302, H314], &[Corrosion, Exclamation]),
            (&[H314, H311, H332], &[Skull, Corrosion]),
            (&[H400, H334, H317], &[Health, Environment]),
            (&[H334, H315, H319], &[Health]),
            (&[H334, H302], &[Health, Exclamation]),
            (&[H317], &[Exclamation]),
        ] {
            assert_eq!(pictograms(hazards), symbols, "{hazards:?}");
        }
    }

    #[test]
    fn what_can_kill_asks_for_a_medical_plan() {
        use Hazard::{H300, H301, H302, H310, H311, H312, H314, H330, H331};
        for fatal in [H300, H310, H330] {
            assert!(needs_a_medical_plan(&[fatal]), "{fatal:?}");
        }
        for toxic in [H301, H311, H331] {
            assert!(needs_a_medical_plan(&[H314, toxic]), "{toxic:?}");
            assert!(!needs_a_medical_plan(&[toxic]), "{toxic:?}");
        }
        assert!(!needs_a_medical_plan(&[H302, H312, H314]));
        let first = precautions(&[H314, H311]).remove(0).to_string();
        assert!(first.contains("medical plan") && first.contains("safety data sheet"));
    }

    #[test]
    fn what_is_done_follows_from_the_statements() {
        assert!(precautions(&[]).is_empty());
        let words = |hazards: &[Hazard]| {
            let all = precautions(hazards);
            all.iter().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(words(&[Hazard::H290]), ["Not into metal containers."]);
        for gas in [Hazard::Euh031, Hazard::Euh032] {
            assert_eq!(
                words(&[gas]),
                ["Fresh air: open the doors.", "Never near an acid."]
            );
        }
        for water in [Hazard::H400, Hazard::H410, Hazard::H411, Hazard::H412] {
            assert_eq!(words(&[water]), ["Keep it out of drains and water."]);
        }
    }
}
