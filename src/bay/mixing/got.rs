//! What a bottle ratio, or product and all there is, put on the vehicle.

use super::ground::NoFigure;
use crate::bay::action::PadKey;
use crate::bay::at_work::Bay;
use crate::bay::typed::{Typed, TypedUnit};
use crate::trade::dilution::{self, Dose};
use crate::trade::fill_plan::InBand;
use crate::trade::topping_up::Contents;
use crate::trade::units::{BottleRatio, Strength, Volume};
use serde::{Deserialize, Serialize};

/// What of it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum GotField {
    /// Parts of water to one of product.
    #[default]
    Ratio,
    /// Product.
    Product,
    /// Product and water.
    All,
}

/// What is asked about. Volumes are in the bay's small unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Got {
    pub(super) field: GotField,
    ratio: Typed,
    product: Typed,
    all: Typed,
}

impl Default for Got {
    fn default() -> Self {
        // Bare numbers: the unit is the bay's.
        let empty = Typed::empty(TypedUnit::Ml);
        Self {
            field: GotField::default(),
            ratio: empty.clone(),
            product: empty.clone(),
            all: empty,
        }
    }
}

impl Got {
    /// What of it is typed now.
    pub fn field(&self) -> GotField {
        self.field
    }
    /// What is typed of each.
    pub fn typed(&self, field: GotField) -> &Typed {
        match field {
            GotField::Ratio => &self.ratio,
            GotField::Product => &self.product,
            GotField::All => &self.all,
        }
    }
    /// With ratio, product and all there is as they were typed; `None` for numbers in a unit of their
    /// own.
    pub(super) fn resume(field: GotField, typed: [&Typed; 3]) -> Option<Self> {
        let bare = |typed: &&Typed| typed.unit() == TypedUnit::Ml;
        let [ratio, product, all] = typed;
        typed.iter().all(bare).then(|| Self {
            field,
            ratio: ratio.clone(),
            product: product.clone(),
            all: all.clone(),
        })
    }
    pub(super) fn press(&mut self, key: PadKey) -> bool {
        match self.field {
            GotField::Ratio => self.ratio.press(key),
            GotField::Product => self.product.press(key),
            GotField::All => self.all.press(key),
        }
    }
}

/// What comes of it.
#[derive(Debug, Clone, PartialEq)]
pub enum GotSays {
    /// There is no figure, and why.
    NoFigure(NoFigure),
    /// Not all was typed yet.
    Ask,
    /// More product than there is in all.
    TooMuch,
    /// This.
    Lands {
        /// On the vehicle.
        strength: Strength,
        /// Where that lies in the band.
        in_band: InBand,
        /// In the container.
        ratio: BottleRatio,
    },
}

impl Bay {
    /// What the numbers typed put on the vehicle.
    pub fn got_says(&self) -> GotSays {
        let ground = match self.ground() {
            Ok(ground) => ground,
            Err(why) => return GotSays::NoFigure(why),
        };
        let got = &self.mixing.got;
        let unit = TypedUnit::small(self.setup.entry_units).ml().unwrap_or(1.0);
        let volume = |typed: &Typed| {
            let volume = typed.number().map(|number| Volume::ml(number * unit));
            volume.filter(|volume| volume.is_some_liquid())
        };
        let ratio = match got.field {
            GotField::Ratio => got.ratio.number().and_then(BottleRatio::parts_water),
            GotField::Product | GotField::All => {
                let Some((product, all)) = volume(&got.product).zip(volume(&got.all)) else {
                    return GotSays::Ask;
                };
                let Some(contents) = Contents::poured(product, all) else {
                    return GotSays::TooMuch;
                };
                dilution::ratio_of(Dose {
                    product: contents.product(),
                    water: all - contents.product(),
                })
            }
        };
        let chemical = self.chemical();
        let strength = ratio.and_then(|ratio| {
            dilution::strength_of_ratio(ratio, ground.draw, chemical.product_strength)
        });
        match ratio.zip(strength) {
            None => GotSays::Ask,
            Some((ratio, strength)) => GotSays::Lands {
                strength,
                in_band: InBand::of(chemical, strength),
                ratio,
            },
        }
    }
}
