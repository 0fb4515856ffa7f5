//! A chemical: the concentrate as delivered, and the strength it needs on the vehicle.

use super::hazard::Hazard;
use super::protection::{self, Protection};
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

/// What a chemical is, as far as that decides what it must never meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Nature {
    /// None of the others, or the bay does not say.
    #[default]
    Other,
    /// An acid.
    Acid,
    /// An alkali.
    Alkali,
    /// With hypochlorite (chlorine bleach) in it.
    Hypochlorite,
    /// With ammonia in it.
    Ammonia,
    /// With amines in it.
    Amine,
    /// With hydrogen peroxide or another peroxide in it.
    Peroxide,
    /// With alcohol in it.
    Alcohol,
}

impl Nature {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Other,
        Self::Acid,
        Self::Alkali,
        Self::Hypochlorite,
        Self::Ammonia,
        Self::Amine,
        Self::Peroxide,
        Self::Alcohol,
    ];

    /// The word in the set-up file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Other => "other",
            Self::Acid => "acid",
            Self::Alkali => "alkali",
            Self::Hypochlorite => "hypochlorite",
            Self::Ammonia => "ammonia",
            Self::Amine => "amine",
            Self::Peroxide => "peroxide",
            Self::Alcohol => "alcohol",
        }
    }
    /// The nature for a word of the set-up file.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|nature| nature.word() == word)
    }
}

/// Which goes into the container first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// The product, then water up to the line.
    ProductFirst,
    /// The water, then the product.
    WaterFirst,
}

impl Order {
    /// Both.
    pub const ALL: [Self; 2] = [Self::ProductFirst, Self::WaterFirst];

    /// The word in the set-up file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::ProductFirst => "product-first",
            Self::WaterFirst => "water-first",
        }
    }
    /// The order for a word of the set-up file.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|order| order.word() == word)
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
    /// The hazard statements of its label.
    pub hazards: Vec<Hazard>,
    /// What its label asks to put on; none where the bay does not say, and the hazard statements do.
    pub put_on: Vec<Protection>,
    /// What it is.
    pub nature: Nature,
    /// Which its label asks to pour first, where the bay says so.
    pub order: Option<Order>,
    /// Chemicals that it must never meet, by id, beside those that its nature forbids.
    pub never_with: Vec<String>,
    /// What one container holds as it is delivered, where the bay counts its stock.
    pub delivered_in: Option<Volume>,
    /// Spray that one vehicle takes, where the bay knows it.
    pub spray_per_vehicle: Option<Volume>,
    /// Cost of one litre of product, in the bay's own currency.
    pub cost_per_litre: Option<f64>,
}

impl Chemical {
    /// Which is poured first: as its label says, else the water for an acid ("acid into water, never
    /// the reverse", McMaster University, EHS manual) and the product for all others.
    pub fn order(&self) -> Order {
        self.order.unwrap_or(match self.nature {
            Nature::Acid => Order::WaterFirst,
            _ => Order::ProductFirst,
        })
    }
    /// True where the water goes in first.
    pub fn is_water_first(&self) -> bool {
        self.order() == Order::WaterFirst
    }
    /// What is put on to handle it: as its label says, else by its hazard statements.
    pub fn protection(&self) -> Vec<Protection> {
        let told = |of: &Protection| self.put_on.contains(of);
        match self.put_on.is_empty() {
            true => protection::by_hazards(&self.hazards),
            false => Protection::ALL.into_iter().filter(told).collect(),
        }
    }
}
