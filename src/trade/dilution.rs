//! Dose, water and strength, for a sprayer that dilutes the bottle once more.
//!
//! Symbols: F fill, D dose, d draw fraction (drawn / catch), p strength on the vehicle, c the
//! product's own fraction of concentrate, f the bottle's fraction of product.

use super::units::{BottleRatio, Strength, Volume};

/// Drawn / catch: how much of what leaves the nozzle came out of the container. Above 0, at most 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct DrawFraction(f64);

impl DrawFraction {
    /// A direct sprayer: what is in it is what comes out.
    pub const DIRECT: Self = Self(1.0);

    /// From a fraction; `None` unless above 0 and at most 1.
    pub fn new(fraction: f64) -> Option<Self> {
        (fraction.is_finite() && fraction > 0.0 && fraction <= 1.0).then_some(Self(fraction))
    }
    /// As a fraction 0..1.
    pub const fn as_fraction(self) -> f64 {
        self.0
    }
    /// The strongest that can land: neat product in the container, p = d·c.
    pub fn reach(self, product_strength: Strength) -> Strength {
        // Both factors are above 0 and at most 1, and so is their product.
        Strength::fraction(self.0 * product_strength.as_fraction()).unwrap_or(Strength::NEAT)
    }
    /// Spray that comes out of a fill: S = F/d.
    pub fn spray(self, fill: Volume) -> Volume {
        fill / self.0
    }
    /// For people: `5.58 %`.
    pub fn shown(self) -> String {
        self.reach(Strength::NEAT).shown()
    }
}

/// One made-up container.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dose {
    /// Product.
    pub product: Volume,
    /// Water, up to the line.
    pub water: Volume,
}

/// The wanted strength needs more product than the container takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfReach {
    /// The strongest that this sprayer can put on the vehicle, with neat product.
    pub strongest: Strength,
}

/// The dose for a fill: D = p·F/(d·c), water = F − D.
///
/// # Errors
/// [`OutOfReach`] when D would be more than F.
pub fn dose(
    fill: Volume,
    wanted: Strength,
    draw: DrawFraction,
    product_strength: Strength,
) -> Result<Dose, OutOfReach> {
    let strongest = draw.reach(product_strength);
    let share = wanted.as_fraction() / strongest.as_fraction();
    // Asking for exactly the strongest is within reach, whatever the last bit says.
    if share > 1.0 + 1e-9 {
        return Err(OutOfReach { strongest });
    }
    let product = fill * share.min(1.0);
    Ok(Dose {
        product,
        water: fill - product,
    })
}

/// The strength that a dose puts on the vehicle: p = D·c·d/F. `None` when it is not above 0.
pub fn strength(
    product: Volume,
    fill: Volume,
    draw: DrawFraction,
    product_strength: Strength,
) -> Option<Strength> {
    Strength::fraction(product / fill * product_strength.as_fraction() * draw.as_fraction())
}

/// The strength that a label's bottle ratio 1 + n gives on the vehicle: p = d·c/(1 + n).
pub fn strength_of_ratio(
    ratio: BottleRatio,
    draw: DrawFraction,
    product_strength: Strength,
) -> Option<Strength> {
    Strength::fraction(ratio.fraction() * draw.as_fraction() * product_strength.as_fraction())
}

/// The bottle ratio of a dose in a fill: 1 + water/product.
pub fn ratio_of(dose: Dose) -> Option<BottleRatio> {
    BottleRatio::parts_water((dose.water / dose.product).max(0.0))
}

/// Parts of water per part of product: strong/desired − 1. `None` when desired is not weaker.
pub fn parts_water(strong: Strength, desired: Strength) -> Option<BottleRatio> {
    BottleRatio::parts_water(strong.as_fraction() / desired.as_fraction() - 1.0)
}

/// What to add to a left-over to make a wanted fill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TopUp {
    /// Add this product and this water.
    Add(Dose),
    /// Too much product or too much liquid is in it already: pour off this much, then top up.
    PourOff {
        /// Left-over to pour off.
        away: Volume,
        /// What to add then.
        then: Dose,
        /// The smallest fill that works without pouring off, where there is one.
        smallest_fill: Option<Volume>,
    },
    /// Even neat product cannot bring the left-over up to the wanted strength in this fill
    /// without pouring off, and the wanted strength is above what neat product gives.
    OutOfReach(OutOfReach),
}

/// Brings left-over L at bottle fraction f0 to a fill F at f1 = p/(d·c): product a = f1·F − f0·L,
/// water = F − L − a. Both must be at least zero; else how much to pour off.
///
/// `left_fraction` is product per mix in the left-over, 0 to 1; values outside are held to it.
pub fn top_up(
    left: Volume,
    left_fraction: f64,
    fill: Volume,
    wanted: Strength,
    draw: DrawFraction,
    product_strength: Strength,
) -> TopUp {
    let strongest = draw.reach(product_strength);
    let f1 = wanted.as_fraction() / strongest.as_fraction();
    if f1 > 1.0 + 1e-9 {
        return TopUp::OutOfReach(OutOfReach { strongest });
    }
    let (f0, f1) = (left_fraction.clamp(0.0, 1.0), f1.min(1.0));
    let add = |left: Volume| {
        let product = fill * f1 - left * f0;
        Dose {
            product,
            water: fill - left - product,
        }
    };
    let now = add(left);
    let slack = -1e-9 * fill.as_ml();
    if now.product.as_ml() >= slack && now.water.as_ml() >= slack {
        return TopUp::Add(not_negative(now));
    }
    // The most left-over that still leaves room: f0·L ≤ f1·F for product, and
    // (1 − f0)·L ≤ (1 − f1)·F for water.
    let most = |have: f64, want: f64| {
        if have > 0.0 {
            fill * (want / have)
        } else {
            fill
        }
    };
    let (by_product, by_water) = (most(f0, f1), most(1.0 - f0, 1.0 - f1));
    let keep = if by_product < by_water {
        by_product
    } else {
        by_water
    };
    let smallest_fill = smallest_fill(left, f0, f1);
    TopUp::PourOff {
        away: left - keep,
        then: not_negative(add(keep)),
        smallest_fill,
    }
}

/// The smallest fill at bottle fraction `wanted` (f1) that all of the left-over L at `has` (f0) goes
/// into: the largest of L, of L·f0/f1, which its product asks for, and of L·(1 − f0)/(1 − f1), which
/// its water asks for. `None` where there is none: product in it and none wanted, or water in it and
/// neat product wanted.
pub fn smallest_fill(left: Volume, has: f64, wanted: f64) -> Option<Volume> {
    let needed = |have: f64, want: f64| match (have > 0.0, want > 0.0) {
        (false, _) => Some(left),
        (true, true) => Some(left * (have / want)),
        (true, false) => None,
    };
    needed(has, wanted)
        .zip(needed(1.0 - has, 1.0 - wanted))
        .map(|(a, b)| if a > b { a } else { b })
        .map(|fill| if fill > left { fill } else { left })
}

fn not_negative(dose: Dose) -> Dose {
    let floor = |v: Volume| Volume::ml(v.as_ml().max(0.0));
    Dose {
        product: floor(dose.product),
        water: floor(dose.water),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn draw(d: f64) -> DrawFraction {
        DrawFraction::new(d).expect("a draw fraction")
    }
    fn percent(p: f64) -> Strength {
        Strength::percent(p).expect("a strength")
    }

    #[test]
    fn out_of_reach_carries_the_strongest() {
        let far = dose(Volume::ml(820.0), percent(6.0), draw(0.05), Strength::NEAT);
        assert_relative_eq!(far.expect_err("out of reach").strongest.as_fraction(), 0.05);
        assert!(dose(Volume::ml(820.0), percent(5.0), draw(0.05), Strength::NEAT).is_ok());
    }

    #[test]
    fn pre_diluted_product_needs_more_of_it() {
        let neat = dose(Volume::ml(820.0), percent(1.0), draw(0.05), Strength::NEAT).unwrap();
        let half = dose(Volume::ml(820.0), percent(1.0), draw(0.05), percent(50.0)).unwrap();
        assert_relative_eq!(half.product / neat.product, 2.0, max_relative = 1e-12);
    }

    #[test]
    fn a_strong_left_over_must_be_poured_off() {
        let d = draw(0.05);
        match top_up(
            Volume::ml(500.0),
            0.9,
            Volume::ml(900.0),
            percent(2.0),
            d,
            Strength::NEAT,
        ) {
            TopUp::PourOff {
                away,
                then,
                smallest_fill,
            } => {
                // 0.4 × 900 = 360 ml of product wanted, 450 ml in the left-over: keep 400 ml.
                assert_relative_eq!(away.as_ml(), 100.0, max_relative = 1e-9);
                assert_relative_eq!(then.product.as_ml(), 0.0, epsilon = 1e-9);
                assert_relative_eq!(then.water.as_ml(), 500.0, max_relative = 1e-9);
                assert_relative_eq!(smallest_fill.unwrap().as_ml(), 1125.0, max_relative = 1e-9);
            }
            other => panic!("{other:?}"),
        }
    }
}
