//! A container with something in it, brought to the strength that is wanted: left-overs, and doses
//! that were poured wrong.
//!
//! Symbols as in [`super::dilution`]: L left-over, f0 its fraction of product, F fill, f1 = p/(d·c)
//! the fraction wanted. What is added is rounded to the measures of the bay, and the strength shown is
//! that of what is in the container then: (f0·L + a)/F · c · d.

use super::chemical::Chemical;
use super::dilution::{self, Dose, DrawFraction, OutOfReach, TopUp};
use super::fill_plan::{
    InBand, Pour, READING_ALLOWED, READING_BEARABLE, ROUNDING_BEARABLE, choose,
};
use super::measure::{Measure, line_above, reader};
use super::units::{Strength, Volume};

/// Product that changes the strength by no more than that need not be added: a hundredth, which no
/// eye on a jug's line sees.
const NOT_WORTH_POURING: f64 = 0.01;

/// What is in a container.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// How much, product and water.
    pub volume: Volume,
    /// Product as delivered per volume of it, 0 to 1.
    pub fraction: f64,
}

impl Contents {
    /// From what was poured; `None` unless that is some product, and no more than there is in all.
    pub fn poured(product: Volume, volume: Volume) -> Option<Self> {
        let fraction = product / volume;
        (volume.is_some_liquid() && fraction > 0.0 && fraction <= 1.0 + 1e-9).then_some(Self {
            volume,
            fraction: fraction.min(1.0),
        })
    }
    /// The product in it.
    pub fn product(&self) -> Volume {
        self.volume * self.fraction
    }
    /// So much less of it.
    fn without(&self, away: Volume) -> Self {
        Self {
            volume: Volume::ml((self.volume - away).as_ml().max(0.0)),
            fraction: self.fraction,
        }
    }
}

/// What a mix is to come to, on one sprayer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim<'a> {
    /// Of which chemical.
    pub chemical: &'a Chemical,
    /// Wanted on the vehicle.
    pub wanted: Strength,
    /// What the sprayer draws.
    pub draw: DrawFraction,
}

impl Aim<'_> {
    /// The strongest that lands: with neat product.
    pub fn strongest(&self) -> Strength {
        self.draw.reach(self.chemical.product_strength)
    }
    /// What so much product in so much mix puts on the vehicle; `None` where that is nothing.
    pub fn lands(&self, product: Volume, mix: Volume) -> Option<Strength> {
        dilution::strength(product, mix, self.draw, self.chemical.product_strength)
    }
    /// What these contents put on the vehicle; `None` where that is nothing.
    pub fn lands_of(&self, contents: Contents) -> Option<Strength> {
        self.lands(contents.product(), contents.volume)
    }
    /// The fraction of product in the container that puts `strength` on the vehicle; `None` where
    /// neat product does not reach it.
    pub fn fraction_for(&self, strength: Strength) -> Option<f64> {
        let fraction = strength.as_fraction() / self.strongest().as_fraction();
        (fraction <= 1.0 + 1e-9).then_some(fraction.min(1.0))
    }
    /// True where a strength may be sprayed: inside the band; without one, not a tenth off.
    pub fn is_right(&self, strength: Strength) -> bool {
        match InBand::of(self.chemical, strength) {
            InBand::Inside => true,
            InBand::Below | InBand::Above => false,
            InBand::NoBand => self.off(strength) <= ROUNDING_BEARABLE,
        }
    }
    fn off(&self, strength: Strength) -> f64 {
        (strength.as_fraction() / self.wanted.as_fraction() - 1.0).abs()
    }
}

/// What to add, with the measures of the bay.
#[derive(Debug, Clone, PartialEq)]
pub struct Addition {
    /// What there is before it is added.
    pub to: Contents,
    /// What to add: its `dose` is only that, its strength that of all there is then.
    pub pour: Pour,
    /// All there is then.
    pub fill: Volume,
    /// The measure is coarse for it: half a line, or the rounding, is more than a twentieth of the
    /// product there is then. To be said wherever the addition is.
    pub coarse: bool,
}

impl Addition {
    fn new(to: Contents, pour: Pour, coarse: bool) -> Self {
        let fill = to.volume + pour.dose.product + pour.dose.water;
        Self {
            to,
            pour,
            fill,
            coarse,
        }
    }
}

/// How to bring a container to the strength that is wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Add this.
    Add(Addition),
    /// Pour off so much first.
    PourOff {
        /// So much, on a line of a measure, or all of it.
        away: Volume,
        /// Then add this.
        then: Addition,
        /// The smallest fill that works without pouring off, up to the next line of a measure.
        /// `None` where there is none. It may be more than the container takes.
        smallest: Option<Volume>,
    },
    /// The strength wanted is more than neat product gives on this sprayer.
    OutOfReach {
        /// What was wanted.
        wanted: Strength,
        /// The strongest that this sprayer reaches.
        strongest: Strength,
    },
    /// No measure of the bay can show what would be right.
    Unmeasurable {
        /// The product that would be right.
        product: Volume,
    },
}

/// Makes up a fill of `fill` out of what is there, pouring off as little as works.
pub fn top_up(there: Contents, fill: Volume, aim: &Aim<'_>, measures: &[Measure]) -> Remedy {
    let exact = |there: Contents| {
        let product_strength = aim.chemical.product_strength;
        dilution::top_up(
            there.volume,
            there.fraction,
            fill,
            aim.wanted,
            aim.draw,
            product_strength,
        )
    };
    match exact(there) {
        TopUp::OutOfReach(far) => out_of_reach(aim, far),
        TopUp::Add(dose) => match add(there, dose, aim, measures) {
            Some(addition) => Remedy::Add(addition),
            None => Remedy::Unmeasurable {
                product: dose.product,
            },
        },
        TopUp::PourOff {
            away,
            smallest_fill,
            ..
        } => {
            // Up to a line: what stays is never more than works.
            let line = line_above(away, measures);
            let (away, kept) = match line < there.volume {
                true => (line, there.without(line)),
                false => (there.volume, there.without(there.volume)),
            };
            let TopUp::Add(dose) = exact(kept) else {
                // Less left-over always leaves room for what is missing.
                return Remedy::Unmeasurable {
                    product: Volume::ZERO,
                };
            };
            match add(kept, dose, aim, measures) {
                Some(then) => Remedy::PourOff {
                    away,
                    then,
                    smallest: smallest_fill.map(|fill| line_above(fill, measures)),
                },
                None => Remedy::Unmeasurable {
                    product: dose.product,
                },
            }
        }
    }
}

/// Puts right what is in a container that takes `holds`: with product alone or water alone where
/// there is room, else by pouring off.
pub fn put_right(there: Contents, holds: Volume, aim: &Aim<'_>, measures: &[Measure]) -> Remedy {
    let Some(wanted) = aim.fraction_for(aim.wanted) else {
        let strongest = aim.strongest();
        return out_of_reach(aim, OutOfReach { strongest });
    };
    let room = Volume::ml((holds - there.volume).as_ml().max(0.0));
    let smallest = dilution::smallest_fill(there.volume, there.fraction, wanted);
    let fits = smallest.is_some_and(|fill| fill.as_ml() <= holds.as_ml() * (1.0 + 1e-9));
    if let (Some(fill), true) = (smallest, fits) {
        let missing = fill - there.volume;
        let addition = match there.fraction > wanted {
            true => water_alone(there, missing, room, aim, measures),
            false => product_alone(there, missing, room, aim, measures),
        };
        if let Some(addition) = addition {
            return Remedy::Add(addition);
        }
    }
    top_up(there, holds, aim, measures)
}

fn out_of_reach(aim: &Aim<'_>, far: OutOfReach) -> Remedy {
    Remedy::OutOfReach {
        wanted: aim.wanted,
        strongest: far.strongest,
    }
}

/// The exact dose as the measures of the bay can pour it, in the same volume.
fn add(there: Contents, exact: Dose, aim: &Aim<'_>, measures: &[Measure]) -> Option<Addition> {
    let room = exact.product + exact.water;
    // A hair of product is not worth a measure: water alone is simpler to pour.
    let water_alone = reader(room, measures).and_then(|measure| {
        let dose = Dose {
            product: Volume::ZERO,
            water: room,
        };
        pour(there, measure, dose, aim)
    });
    if let Some(pour) = water_alone
        .filter(|pour| aim.is_right(pour.strength) && aim.off(pour.strength) <= NOT_WORTH_POURING)
    {
        return Some(Addition::new(there, pour, false));
    }
    let pours = lines(exact.product, room, measures).filter_map(|(measure, product)| {
        let dose = Dose {
            product,
            water: room - product,
        };
        pour(there, measure, dose, aim)
    });
    best(there, pours.collect(), aim)
}

fn product_alone(
    there: Contents,
    missing: Volume,
    room: Volume,
    aim: &Aim<'_>,
    measures: &[Measure],
) -> Option<Addition> {
    let pours = lines(missing, room, measures).filter_map(|(measure, product)| {
        let dose = Dose {
            product,
            water: Volume::ZERO,
        };
        pour(there, measure, dose, aim)
    });
    best(there, pours.collect(), aim)
}

fn water_alone(
    there: Contents,
    missing: Volume,
    room: Volume,
    aim: &Aim<'_>,
    measures: &[Measure],
) -> Option<Addition> {
    let measure = reader(missing, measures)?;
    let near = within(measure, missing, room);
    // The nearest line, else the next one, else right up to the line of the container.
    let next = near + measure.graduation;
    let tries = [near, if next > room { room } else { next }, room];
    let pours = tries.into_iter().filter_map(|water| {
        let dose = Dose {
            product: Volume::ZERO,
            water,
        };
        pour(there, measure, dose, aim)
    });
    let mut right = pours
        .into_iter()
        .filter(|p| aim.is_right(p.strength) && p.half_a_line <= READING_BEARABLE);
    let first = right.next()?;
    let coarse = first.half_a_line > READING_ALLOWED;
    Some(Addition::new(there, first, coarse))
}

/// A volume on the nearest line of each measure, and on the one below, where the nearest is too strong;
/// no more than there is room for.
fn lines(
    volume: Volume,
    room: Volume,
    measures: &[Measure],
) -> impl Iterator<Item = (&Measure, Volume)> {
    measures.iter().flat_map(move |measure| {
        let near = within(measure, volume, room);
        let below = measure.round_down(volume);
        [Some(near), (below < near).then_some(below)]
            .into_iter()
            .flatten()
            .map(move |line| (measure, line))
    })
}

/// A volume on the nearest line of a measure, and no more than there is room for.
fn within(measure: &Measure, volume: Volume, room: Volume) -> Volume {
    let line = measure.round(volume);
    if line <= room {
        return line;
    }
    // Right up to the line needs no measure's line.
    if volume.as_ml() >= room.as_ml() * (1.0 - 1e-9) {
        return room;
    }
    let below = measure.round_down(room);
    Volume::ml(below.as_ml().min(room.as_ml()))
}

fn pour(there: Contents, measure: &Measure, dose: Dose, aim: &Aim<'_>) -> Option<Pour> {
    let fill = there.volume + dose.product + dose.water;
    let product = there.product() + dose.product;
    let strength = aim.lands(product, fill)?;
    // Of the product what its reading does to all of it; of water alone what it does to the mix.
    let half_a_line = match dose.product.is_some_liquid() {
        true => measure.half_a_line(dose.product) / product,
        false if dose.water.is_some_liquid() => measure.half_a_line(dose.water) / fill,
        false => 0.0,
    };
    Some(Pour {
        half_a_line,
        measure: measure.clone(),
        loads: measure.loads(dose.product),
        dose,
        strength,
        in_band: InBand::of(aim.chemical, strength),
    })
}

/// Nothing that may not be sprayed is ever proposed.
fn best(there: Contents, mut pours: Vec<Pour>, aim: &Aim<'_>) -> Option<Addition> {
    pours.retain(|pour| aim.is_right(pour.strength));
    let chosen = choose(&pours, |pour| aim.off(pour.strength))?;
    Some(Addition::new(there, chosen.pour, chosen.coarse))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::chemical::{Band, Nature, Target};

    fn percent(p: f64) -> Strength {
        Strength::percent(p).expect("a strength")
    }
    fn chemical(band: Option<(f64, f64)>) -> Chemical {
        Chemical {
            id: "c".into(),
            name: "C".into(),
            target: Target::OnVehicle(percent(25.0)),
            band: band.map(|(least, most)| Band {
                least: percent(least),
                most: percent(most),
            }),
            product_strength: Strength::NEAT,
            cautions: Vec::new(),
            hazards: Vec::new(),
            put_on: Vec::new(),
            nature: Nature::Other,
            order: None,
            never_with: Vec::new(),
            delivered_in: None,
            spray_per_vehicle: None,
            cost_per_litre: None,
        }
    }
    fn measures() -> Vec<Measure> {
        [("syringe", 60.0, 1.0), ("jug", 1000.0, 10.0)]
            .into_iter()
            .map(|(id, size, graduation)| Measure {
                id: id.into(),
                name: id.into(),
                size: Volume::ml(size),
                graduation: Volume::ml(graduation),
            })
            .collect()
    }
    fn aim(chemical: &Chemical) -> Aim<'_> {
        Aim {
            chemical,
            wanted: percent(25.0),
            draw: DrawFraction::DIRECT,
        }
    }
    fn there(ml: f64, fraction: f64) -> Contents {
        Contents {
            volume: Volume::ml(ml),
            fraction,
        }
    }

    #[test]
    fn a_weak_left_over_gets_product_and_water() {
        // 400 ml of 10 % to 1000 ml of 25 %: 250 − 40 = 210 ml of product, 390 of water.
        let chemical = chemical(Some((20.0, 30.0)));
        let remedy = top_up(
            there(400.0, 0.1),
            Volume::ml(1000.0),
            &aim(&chemical),
            &measures(),
        );
        let Remedy::Add(addition) = remedy else {
            panic!("{remedy:?}")
        };
        assert_eq!(addition.pour.dose.product, Volume::ml(210.0));
        assert_eq!(addition.pour.dose.water.as_ml().round(), 390.0);
        assert_eq!(addition.pour.strength.shown(), "25 %");
        assert_eq!(addition.fill.as_ml().round(), 1000.0);
    }

    #[test]
    fn a_strong_one_is_poured_off_to_a_line_or_made_up_to_more() {
        // 800 ml of 50 % to 1000 ml of 25 %: 500 ml may stay, so 300 go; all of it makes 1600 ml.
        let chemical = chemical(Some((20.0, 30.0)));
        let remedy = top_up(
            there(800.0, 0.5),
            Volume::ml(1000.0),
            &aim(&chemical),
            &measures(),
        );
        let Remedy::PourOff {
            away,
            then,
            smallest,
        } = remedy
        else {
            panic!("{remedy:?}")
        };
        assert_eq!(away, Volume::ml(300.0));
        assert_eq!(then.pour.dose.product, Volume::ZERO);
        assert_eq!(then.pour.dose.water.as_ml().round(), 500.0);
        assert_eq!(smallest, Some(Volume::ml(1600.0)));
    }

    #[test]
    fn too_little_product_is_put_right_with_product_alone() {
        // 100 ml in 800 instead of 200: a third of what is missing to the whole, (100+a)/(800+a) = 1/4,
        // a = 400/3, on a line of the syringe or the jug.
        let chemical = chemical(Some((24.0, 26.0)));
        let remedy = put_right(
            there(800.0, 0.125),
            Volume::ml(950.0),
            &aim(&chemical),
            &measures(),
        );
        let Remedy::Add(addition) = remedy else {
            panic!("{remedy:?}")
        };
        assert_eq!(addition.pour.dose.product, Volume::ml(130.0));
        assert_eq!(addition.pour.dose.water, Volume::ZERO);
        assert_eq!(addition.pour.in_band, InBand::Inside);
    }

    #[test]
    fn too_much_is_put_right_with_water_or_by_pouring_off() {
        let chemical = chemical(Some((24.0, 26.0)));
        // 250 ml in 800 is 31 %: 1000 ml would be right, which the larger of two containers takes.
        let put = |holds: f64| {
            put_right(
                there(800.0, 0.3125),
                Volume::ml(holds),
                &aim(&chemical),
                &measures(),
            )
        };
        let Remedy::Add(addition) = put(1200.0) else {
            panic!("{:?}", put(1200.0))
        };
        assert_eq!(addition.pour.dose.product, Volume::ZERO);
        assert_eq!(addition.pour.dose.water, Volume::ml(200.0));
        // 900 · 0.25 / 0.3125 = 720 ml stay, 80 go.
        let Remedy::PourOff { away, then, .. } = put(900.0) else {
            panic!("{:?}", put(900.0))
        };
        assert_eq!(away, Volume::ml(80.0));
        assert_eq!(then.pour.dose.water.as_ml().round(), 180.0);
        assert_eq!(then.pour.in_band, InBand::Inside);
    }

    #[test]
    fn what_no_measure_shows_is_said() {
        let chemical = chemical(Some((24.9, 25.1)));
        let coarse = [Measure {
            graduation: Volume::ml(100.0),
            ..measures()[1].clone()
        }];
        let remedy = top_up(
            there(400.0, 0.1),
            Volume::ml(1000.0),
            &aim(&chemical),
            &coarse,
        );
        let Remedy::Unmeasurable { product } = remedy else {
            panic!("{remedy:?}")
        };
        assert!((product.as_ml() - 210.0).abs() < 1e-9);
    }

    #[test]
    fn without_a_band_a_tenth_is_near_enough() {
        let chemical = chemical(None);
        let aim = aim(&chemical);
        assert!(aim.is_right(percent(27.4)) && !aim.is_right(percent(27.6)));
        assert!(aim.is_right(percent(22.6)) && !aim.is_right(percent(22.4)));
    }

    #[test]
    fn contents_are_of_what_was_poured() {
        let poured =
            |product: f64, all: f64| Contents::poured(Volume::ml(product), Volume::ml(all));
        assert_eq!(poured(100.0, 1000.0).expect("some").fraction, 0.1);
        assert_eq!(poured(1100.0, 1000.0), None);
        assert_eq!(poured(0.0, 1000.0), None);
        assert_eq!(poured(1.0, 0.0), None);
    }
}
