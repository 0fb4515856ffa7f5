//! A fill for so many vehicles, and how far a full one goes by class of vehicle.

use super::ground::NoFigure;
use super::{MixStage, refused};
use crate::bay::action::{Action, Effect, PadKey};
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::trade::coverage::Coverage;
use crate::trade::fill_plan::{FillPlan, Part};
use crate::trade::for_vehicles::{Fills, fills_for, spray_for};
use crate::trade::vehicle::VehicleClass;

/// More of one class than stand in any bay are a stuck key.
pub(super) const MOST: u32 = 99;

/// The vehicles counted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Vehicles {
    /// By the place of their class.
    pub(super) counts: Vec<u32>,
    /// The place of the class counted last.
    pub(super) picked: usize,
    /// Its count is typed.
    pub(super) types: bool,
    /// The page of what one vehicle takes was opened from here.
    pub(super) from_count: bool,
}

impl Vehicles {
    /// How many of the class at this place.
    pub fn count(&self, place: usize) -> u32 {
        self.counts.get(place).copied().unwrap_or(0)
    }
    /// All of them.
    pub fn all(&self) -> u32 {
        self.counts.iter().sum()
    }
    /// The place of the class counted last.
    pub fn picked(&self) -> usize {
        self.picked
    }
    /// True while the count of that class is typed.
    pub fn types(&self) -> bool {
        self.types
    }
    fn set(&mut self, place: usize, count: u32) {
        if self.counts.len() <= place {
            self.counts.resize(place + 1, 0);
        }
        self.counts[place] = count;
        self.picked = place;
    }
}

/// What the vehicles counted take.
#[derive(Debug, Clone, PartialEq)]
pub enum ForVehicles {
    /// There is no figure, and why.
    NoFigure(NoFigure),
    /// The set-up does not say what a vehicle takes of this chemical.
    NoSpray,
    /// No vehicle is counted yet.
    Nobody,
    /// These fills.
    Fills {
        /// How many, and how much the last one is.
        fills: Fills,
        /// The last one.
        part: Part,
        /// What to pour for it.
        plan: Box<FillPlan>,
    },
}

impl Bay {
    /// The classes of vehicle that are counted here; one of usual vehicles, without a name, where the
    /// set-up has none.
    pub fn vehicle_classes(&self) -> Vec<VehicleClass> {
        match self.setup.vehicles.is_empty() {
            true => vec![VehicleClass {
                id: String::new(),
                name: String::new(),
                share: 1.0,
            }],
            false => self.setup.vehicles.clone(),
        }
    }

    /// What the vehicles counted take.
    pub fn for_vehicles(&self) -> ForVehicles {
        let ground = match self.ground() {
            Ok(ground) => ground,
            Err(why) => return ForVehicles::NoFigure(why),
        };
        let Some(per_vehicle) = self.chemical().spray_per_vehicle else {
            return ForVehicles::NoSpray;
        };
        let counts = &self.mixing.vehicles;
        let classes = self.vehicle_classes();
        let counted = classes
            .iter()
            .enumerate()
            .map(|(place, class)| (class, counts.count(place)));
        let spray = spray_for(counted, per_vehicle);
        if !spray.is_some_liquid() {
            return ForVehicles::Nobody;
        }
        let fills = fills_for(spray, ground.draw, ground.holds, &self.setup.measures);
        let part = fills.part.map_or(Part::Full, Part::Ml);
        match self.offer_for(self.sprayer(), self.chemical(), part) {
            Offer::Fill(plan) => ForVehicles::Fills { fills, part, plan },
            other => ForVehicles::NoFigure(no_figure(&other)),
        }
    }

    /// How far a full container goes, by class of vehicle. `None` where there is no figure, or the
    /// set-up does not say what a vehicle takes.
    pub fn coverage_by_class(&self) -> Option<Vec<(VehicleClass, Coverage)>> {
        self.ground().ok()?;
        let Offer::Fill(plan) = self.offer_for(self.sprayer(), self.chemical(), Part::Full) else {
            return None;
        };
        let coverage = plan.coverage?;
        let classes = self.vehicle_classes().into_iter();
        Some(
            classes
                .map(|class| {
                    let own = coverage.for_share(class.share);
                    (class, own)
                })
                .collect(),
        )
    }

    pub(super) fn one_more_vehicle(&mut self, place: usize) -> Vec<Effect> {
        if place >= self.vehicle_classes().len() {
            return refused();
        }
        let counts = &mut self.mixing.vehicles;
        match counts.count(place) {
            MOST.. => refused(),
            count => {
                counts.set(place, count + 1);
                Vec::new()
            }
        }
    }

    pub(super) fn one_less_vehicle(&mut self) -> Vec<Effect> {
        let counts = &mut self.mixing.vehicles;
        match counts.count(counts.picked).checked_sub(1) {
            Some(count) => {
                counts.set(counts.picked, count);
                Vec::new()
            }
            None => refused(),
        }
    }

    pub(super) fn type_vehicles(&mut self, key: PadKey) -> Vec<Effect> {
        let counts = &mut self.mixing.vehicles;
        let now = counts.count(counts.picked);
        let count = match key {
            PadKey::Digit(digit) => now * 10 + u32::from(digit),
            PadKey::Back if now > 0 => now / 10,
            PadKey::Back | PadKey::Point => return refused(),
        };
        if count > MOST {
            return refused();
        }
        counts.set(counts.picked, count);
        Vec::new()
    }

    /// Home, with this much of the container to make up.
    pub(super) fn make_up(&mut self, part: Part) -> Vec<Effect> {
        if self.mixing.stage != MixStage::Vehicles {
            return refused();
        }
        match self.offer_for(self.sprayer(), self.chemical(), part) {
            Offer::Fill(_) => self.act_again(Action::ChoosePart(part)),
            _ => self.refuse("There is no figure to fill by."),
        }
    }
}

pub(super) fn no_figure(offer: &Offer) -> NoFigure {
    match offer {
        Offer::Rinse(first) => NoFigure::Rinse(first.clone()),
        Offer::Void { cause, .. } => NoFigure::Void(*cause),
        Offer::OutOfReach { wanted, strongest } => NoFigure::OutOfReach {
            wanted: *wanted,
            strongest: *strongest,
        },
        Offer::Unmeasurable { dose } => NoFigure::Unmeasurable { dose: *dose },
        Offer::AboveBand { lands, most } => NoFigure::AboveBand {
            lands: *lands,
            most: *most,
        },
        Offer::Uncalibrated | Offer::Fill(_) => NoFigure::Uncalibrated,
    }
}
