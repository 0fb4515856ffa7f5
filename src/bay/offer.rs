//! What the bay offers to pour: the planned fill, seen with how its calibration stands.
//!
//! Home, the lists and the voice all go by this, so that no void figure passes for a good one.

use super::at_work::Bay;
use super::day::RinseFirst;
use crate::trade::chemical::Chemical;
use crate::trade::fill_plan::{FillPlan, Part, Plan};
use crate::trade::reminder::{Standing, VoidCause};
use crate::trade::sprayer::Sprayer;
use crate::trade::units::{Strength, Volume};

/// What can be poured, or why nothing can.
#[derive(Debug, Clone, PartialEq)]
pub enum Offer {
    /// Another chemical is still in it: no figure before it is rinsed.
    Rinse(RinseFirst),
    /// Never calibrated: there is no figure.
    Uncalibrated,
    /// The calibration no longer applies, nor does any figure that comes of it.
    Void {
        /// What was changed.
        cause: VoidCause,
        /// The old figure, to be crossed out; none where it was out of reach.
        old: Option<Box<FillPlan>>,
    },
    /// The wanted strength needs more product than the container takes.
    OutOfReach {
        /// What was wanted.
        wanted: Strength,
        /// The strongest this sprayer reaches.
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
    /// Pour this. Never above the chemical's band: who wants more sets it as the shift lead.
    Fill(Box<FillPlan>),
}

impl Bay {
    /// What is offered for the sprayer, the chemical and the part shown.
    pub fn offer(&self) -> Offer {
        self.offer_for(self.sprayer(), self.chemical(), self.part())
    }

    /// What is offered for any sprayer, chemical and part.
    pub fn offer_for(&self, sprayer: &Sprayer, chemical: &Chemical, part: Part) -> Offer {
        let plan = self.plan_for(sprayer, chemical, part);
        let is_void = matches!(self.standing(sprayer), Standing::Void(_));
        // Nobody rinses for what the sprayer does not reach. What a void calibration reaches, nobody
        // knows.
        if let (Plan::OutOfReach { wanted, strongest }, false) = (&plan, is_void) {
            let (wanted, strongest) = (*wanted, *strongest);
            return Offer::OutOfReach { wanted, strongest };
        }
        if let Some(first) = self.rinse_first(&sprayer.id, chemical) {
            return Offer::Rinse(first);
        }
        // Allowed for the fill that was on the screen, and for no other.
        let allowed = self.void_allowed()
            && sprayer.id == self.sprayer().id
            && chemical.id == self.chemical().id;
        match (plan, self.standing(sprayer)) {
            (Plan::Uncalibrated, _) => Offer::Uncalibrated,
            (plan, Standing::Void(cause)) if !allowed => Offer::Void {
                cause,
                old: match plan {
                    Plan::Fill(plan) => Some(plan),
                    _ => None,
                },
            },
            (Plan::OutOfReach { wanted, strongest }, _) => Offer::OutOfReach { wanted, strongest },
            (Plan::Unmeasurable { dose }, _) => Offer::Unmeasurable { dose },
            (Plan::AboveBand { lands, most }, _) => Offer::AboveBand { lands, most },
            (Plan::Fill(plan), _) => Offer::Fill(plan),
        }
    }

    /// Sprayers of this bay that reach the strength of the chemical in use for the sprayer shown, each
    /// with what it offers for it: those that may have that chemical.
    pub fn reaching(&self) -> Vec<(&Sprayer, Offer)> {
        let chemical = self.chemical();
        let may_have = |of: &&Sprayer| {
            self.setup().operators_may_change_chemical
                || self.chemical_for(&of.id).id == chemical.id
        };
        let all = self.reached_by(chemical).into_iter().filter(may_have);
        all.map(|of| {
            let at_strength = self.at_strength_in_force(&of.id, &chemical.id);
            (of, self.offer_for(of, at_strength, Part::Full))
        })
        .collect()
    }

    /// Sprayers of this bay that reach the chemical's strength by a calibration that applies.
    pub fn reached_by(&self, chemical: &Chemical) -> Vec<&Sprayer> {
        let reaches = |s: &&Sprayer| {
            let chemical = self.at_strength_in_force(&s.id, &chemical.id);
            matches!(self.plan_for(s, chemical, Part::Full), Plan::Fill(_))
                && !matches!(self.standing(s), Standing::Void(_))
        };
        self.setup().sprayers.iter().filter(reaches).collect()
    }
}
