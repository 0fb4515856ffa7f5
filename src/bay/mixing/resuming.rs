//! What is in hand of the day around the fill, for a program that starts anew.

use super::left_over::ROOM;
use super::mispour::MOST_OVER;
use super::vehicles::MOST;
use super::{Got, GotField, LeftOver, Mispour, MixOf, MixStage, Mixing, Vehicles};
use crate::bay::at_work::Bay;
use crate::bay::records::Entry;
use crate::bay::typed::{Typed, TypedUnit};
use crate::trade::fill_plan::Part;
use crate::trade::units::{BottleRatio, Strength, Volume};
use serde::{Deserialize, Serialize};

/// What is in hand; volumes in ml.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bay) struct MixingPlace {
    stage: MixStage,
    typed: Typed,
    counts: Vec<u32>,
    picked: usize,
    types: bool,
    from_count: bool,
    loads: Vec<f64>,
    left: Option<f64>,
    mix: Option<MixOfPlace>,
    up_to: Part,
    product: Option<f64>,
    level: Option<f64>,
    replace: bool,
    field: GotField,
    ratio: Typed,
    product_got: Typed,
    all_got: Typed,
    /// The number of the fill that is in the sprayer.
    last: Option<Entry>,
}

/// Of which mix a left-over is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
enum MixOfPlace {
    LastFill,
    /// Parts of water.
    Ratio(f64),
    /// As a fraction.
    Strength(f64),
}

impl From<MixOf> for MixOfPlace {
    fn from(mix: MixOf) -> Self {
        match mix {
            MixOf::LastFill => Self::LastFill,
            MixOf::Ratio(ratio) => Self::Ratio(ratio.water_parts()),
            MixOf::Strength(strength) => Self::Strength(strength.as_fraction()),
        }
    }
}

impl MixOfPlace {
    fn mix(self) -> Option<MixOf> {
        match self {
            Self::LastFill => Some(MixOf::LastFill),
            Self::Ratio(parts) => BottleRatio::parts_water(parts).map(MixOf::Ratio),
            Self::Strength(fraction) => Strength::fraction(fraction).map(MixOf::Strength),
        }
    }
}

/// Some liquid, and no more than that; `None` where it is not.
fn at_most(ml: f64, most: Option<Volume>) -> Option<Volume> {
    let volume = Volume::ml(ml);
    let fits = most.is_none_or(|most| volume <= most);
    (volume.is_some_liquid() && fits).then_some(volume)
}

impl MixingPlace {
    fn vehicles(&self, classes: usize) -> Option<Vehicles> {
        let fits = self.counts.len() <= classes
            && self.picked < classes
            && self.counts.iter().all(|count| *count <= MOST);
        fits.then(|| Vehicles {
            counts: self.counts.clone(),
            picked: self.picked,
            types: self.types,
            from_count: self.from_count,
        })
    }

    /// What was measured of it is no more than the container takes; `None` where something does not fit.
    fn left_over(&self, holds: Option<Volume>) -> Option<LeftOver> {
        let most = holds.map(|holds| holds * ROOM);
        let loads = self.loads.iter().map(|ml| at_most(*ml, most));
        let loads: Vec<Volume> = loads.collect::<Option<_>>()?;
        let total: Volume = loads.iter().copied().sum();
        let left = self.left.map(|ml| at_most(ml, most));
        let is_odd = most.is_some_and(|most| total > most) || left == Some(None);
        let up_to = match self.up_to {
            Part::Ml(ml) => at_most(f64::from(ml), most).map(|_| self.up_to),
            part => Some(part),
        };
        let mix = self.mix.map(MixOfPlace::mix);
        (!is_odd && mix != Some(None)).then_some(LeftOver {
            loads,
            left: left.flatten(),
            mix: mix.flatten(),
            up_to: up_to?,
        })
    }

    fn mispour(&self, holds: Option<Volume>) -> Option<Mispour> {
        let most = holds.map(|holds| holds * MOST_OVER);
        let product = self.product.map(|ml| at_most(ml, None));
        let level = self.level.map(|ml| at_most(ml, most));
        let is_odd = product == Some(None) || level == Some(None);
        (!is_odd).then(|| Mispour {
            product: product.flatten(),
            level: level.flatten(),
            replace: self.replace,
        })
    }
}

impl Bay {
    /// What is in hand.
    pub(in crate::bay) fn mixing_place(&self) -> MixingPlace {
        let mixing = &self.mixing;
        let (vehicles, left_over) = (&mixing.vehicles, &mixing.left_over);
        let got = |field| mixing.got.typed(field).clone();
        MixingPlace {
            stage: mixing.stage,
            typed: mixing.typed.clone(),
            counts: vehicles.counts.clone(),
            picked: vehicles.picked,
            types: vehicles.types,
            from_count: vehicles.from_count,
            loads: left_over.loads.iter().map(|load| load.as_ml()).collect(),
            left: left_over.left.map(Volume::as_ml),
            mix: left_over.mix.map(MixOfPlace::from),
            up_to: left_over.up_to,
            product: mixing.mispour.product.map(Volume::as_ml),
            level: mixing.mispour.level.map(Volume::as_ml),
            replace: mixing.mispour.replace,
            field: mixing.got.field,
            ratio: got(GotField::Ratio),
            product_got: got(GotField::Product),
            all_got: got(GotField::All),
            last: mixing.last.as_ref().map(|last| last.entry),
        }
    }

    /// Takes it in hand again; false, and nothing is in hand, where something of it does not fit.
    pub(in crate::bay) fn mixing_resume(&mut self, place: &MixingPlace) -> bool {
        if place.last.is_some() && self.look_up_last_fill().is_err() {
            return false;
        }
        let last = self.mixing.last.take();
        if last.as_ref().map(|last| last.entry) != place.last {
            return false;
        }
        let holds = self.ground().ok().map(|ground| ground.holds);
        let in_hand = || {
            Some(Mixing {
                stage: place.stage,
                typed: place.typed.clone(),
                vehicles: place.vehicles(self.vehicle_classes().len())?,
                left_over: place.left_over(holds)?,
                mispour: place.mispour(holds)?,
                got: Got::resume(
                    place.field,
                    [&place.ratio, &place.product_got, &place.all_got],
                )?,
                last,
            })
        };
        let Some(mixing) = in_hand().filter(|mixing| self.is_of_this_bay(&mixing.typed)) else {
            return false;
        };
        self.mixing = mixing;
        true
    }

    /// True where a number is typed in a unit of this bay.
    fn is_of_this_bay(&self, typed: &Typed) -> bool {
        let units = self.setup.entry_units;
        let its = [TypedUnit::small(units), TypedUnit::large(units)];
        its.contains(&typed.unit()) || *typed == Mixing::default().typed
    }
}
