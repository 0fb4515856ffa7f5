//! A sprayer: what applies the chemical.

use super::units::Volume;

/// The kinds of sprayer the trade knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A bottle with a venturi on a pressure washer.
    FoamLance,
    /// Draws from a drum into the washer's flow.
    DrumInjector,
    /// Pump-up or trigger: what is in it is what comes out (draw fraction 1).
    DirectSprayer,
}

impl Kind {
    /// The word in the set-up file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FoamLance => "foam lance",
            Self::DrumInjector => "drum injector",
            Self::DirectSprayer => "direct sprayer",
        }
    }
    /// The kind for a word of the set-up file.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::FoamLance, Self::DrumInjector, Self::DirectSprayer]
            .into_iter()
            .find(|kind| kind.word() == word)
    }
    /// True when the sprayer dilutes nothing, so that no calibration is needed.
    pub const fn is_direct(self) -> bool {
        matches!(self, Self::DirectSprayer)
    }
}

/// A sprayer as the bay's set-up describes it. What has been measured of it is a calibration.
#[derive(Debug, Clone, PartialEq)]
pub struct Sprayer {
    /// Short name used in the set-up and the records; unique in the bay.
    pub id: String,
    /// Name shown on the screen.
    pub name: String,
    /// Name spoken, in words that the voice has clips for; the shown name where not given.
    pub spoken: String,
    /// What it is.
    pub kind: Kind,
    /// What its container takes up to the fill line with the pick-up tube in place. A
    /// calibration's own measurement of it goes before this.
    pub holds: Volume,
    /// The nozzle now fitted; empty where it has none of a name.
    pub nozzle: String,
    /// The washer that feeds it; empty for a direct sprayer, and where none of a name does.
    pub washer: String,
    /// How its dial is set, or which metering tip it has, in the bay's own words; `None` where the
    /// set-up says nothing of it.
    pub dial: Option<String>,
}
