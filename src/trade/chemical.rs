//! A chemical: the concentrate as delivered, and the strength it needs on the vehicle.

use super::units::{BottleRatio, Strength, Volume};

/// How the bay states the wanted strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// The strength that must land on the vehicle.
    OnVehicle(Strength),
    /// Only the label's bottle ratio is known: what lands then depends on the sprayer.
    Bottle(BottleRatio),
}

/// The strengths on the vehicle that the bay allows, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Weakest that still cleans.
    pub least: Strength,
    /// Strongest that harms nothing.
    pub most: Strength,
}

impl Band {
    /// True when `strength` is inside, ends included, but for the last bit of the arithmetic.
    pub fn holds(&self, strength: Strength) -> bool {
        let s = strength.as_fraction();
        s >= self.least.as_fraction() * (1.0 - 1e-9) && s <= self.most.as_fraction() * (1.0 + 1e-9)
    }
}

/// A chemical as the bay's set-up describes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Chemical {
    /// Short name used in the set-up and the records; unique in the bay.
    pub id: String,
    /// Name shown on the screen.
    pub name: String,
    /// Wanted strength.
    pub target: Target,
    /// Allowed strengths on the vehicle, where the bay sets them.
    pub band: Option<Band>,
    /// Product delivered pre-diluted: its fraction of concentrate; 1 as delivered neat.
    pub product_strength: Strength,
    /// Cautions from the label, in the bay's words.
    pub cautions: Vec<String>,
    /// Spray that one vehicle takes, where the bay knows it.
    pub spray_per_vehicle: Option<Volume>,
    /// Cost of one litre of product, in the bay's own currency.
    pub cost_per_litre: Option<f64>,
}
