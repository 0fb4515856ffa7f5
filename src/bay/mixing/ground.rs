//! What the day around the fill reckons with, or why there is no figure.

use crate::bay::at_work::Bay;
use crate::bay::day::RinseFirst;
use crate::trade::dilution::DrawFraction;
use crate::trade::fill_plan::{self, with_mix};
use crate::trade::reminder::{Standing, VoidCause};
use crate::trade::topping_up::Aim;
use crate::trade::units::{Strength, Volume};

/// Why there is no figure.
#[derive(Debug, Clone, PartialEq)]
pub enum NoFigure {
    /// Another chemical is in it: never topped up, and rinsed first.
    Rinse(RinseFirst),
    /// Never calibrated.
    Uncalibrated,
    /// The calibration no longer applies.
    Void(VoidCause),
    /// The strength wanted is more than this sprayer reaches.
    OutOfReach {
        /// What is wanted.
        wanted: Strength,
        /// The strongest that this sprayer reaches.
        strongest: Strength,
    },
    /// No measure of the bay can show the dose.
    Unmeasurable {
        /// The dose that would be right.
        dose: Volume,
    },
    /// The label's ratio lands above the chemical's band on this sprayer.
    AboveBand {
        /// What would land.
        lands: Strength,
        /// The most that the band allows.
        most: Strength,
    },
}

/// What is known of the sprayer and the chemical shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// What the sprayer draws, of the mix of this chemical.
    pub draw: DrawFraction,
    /// What its container takes.
    pub holds: Volume,
    /// Wanted on the vehicle.
    pub wanted: Strength,
}

impl Bay {
    /// What the sprayer shown draws and takes, and what its chemical wants.
    ///
    /// # Errors
    /// It was never calibrated, or its calibration no longer applies: then there is no figure.
    pub fn ground(&self) -> Result<Ground, NoFigure> {
        let (sprayer, chemical) = (self.sprayer(), self.chemical());
        if let Standing::Void(cause) = self.standing(sprayer) {
            return Err(NoFigure::Void(cause));
        }
        let calibration = self.calibration(&sprayer.id);
        let correction = self.correction(&sprayer.id, &chemical.id);
        fill_plan::draw_fraction(sprayer, calibration)
            .and_then(|draw| with_mix(draw, correction))
            .and_then(|draw| {
                Some(Ground {
                    draw,
                    holds: fill_plan::holds(sprayer, calibration),
                    wanted: fill_plan::wanted(chemical, draw)?,
                })
            })
            .ok_or(NoFigure::Uncalibrated)
    }

    /// What a mix is to come to here.
    pub(super) fn aim(&self, ground: Ground) -> Aim<'_> {
        Aim {
            chemical: self.chemical(),
            wanted: ground.wanted,
            draw: ground.draw,
        }
    }
}
