//! What must hold for any figures: property tests of the arithmetic.

use fillcall::trade::calibration::{Calibration, Run};
use fillcall::trade::chemical::{Band, Chemical, Nature, Target};
use fillcall::trade::dilution::{self, DrawFraction, TopUp};
use fillcall::trade::fill_plan::{InBand, Part, Plan, plan};
use fillcall::trade::measure::Measure;
use fillcall::trade::sprayer::{Kind, Sprayer};
use fillcall::trade::units::{BottleRatio, Strength, Volume};
use proptest::prelude::*;
use std::time::Duration;

const CLOSE: f64 = 1e-9;

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= CLOSE * a.abs().max(b.abs()).max(1e-12)
}

prop_compose! {
    fn fills()(ml in 100.0..30_000.0f64) -> Volume { Volume::ml(ml) }
}
prop_compose! {
    fn draws()(d in 0.003..=1.0f64) -> DrawFraction { DrawFraction::new(d).expect("in range") }
}
prop_compose! {
    fn strengths()(f in 0.0001..=1.0f64) -> Strength { Strength::fraction(f).expect("in range") }
}
prop_compose! {
    fn products()(f in 0.05..=1.0f64) -> Strength { Strength::fraction(f).expect("in range") }
}

fn sprayer(holds: Volume) -> Sprayer {
    Sprayer {
        id: "s".into(),
        name: "S".into(),
        spoken: "s".into(),
        kind: Kind::FoamLance,
        holds,
        nozzle: "n".into(),
        washer: "w".into(),
    }
}

proptest! {
    #[test]
    fn dose_and_strength_are_inverse(f in fills(), p in strengths(), d in draws(), c in products()) {
        match dilution::dose(f, p, d, c) {
            Ok(dose) => {
                let landed = dilution::strength(dose.product, f, d, c).expect("some product");
                prop_assert!(close(landed.as_fraction(), p.as_fraction()));
                prop_assert!(close(dose.product.as_ml() + dose.water.as_ml(), f.as_ml()));
                prop_assert!(dose.water.as_ml() >= 0.0);
            }
            Err(far) => {
                // Out of reach only where even neat product is too weak, and it says how weak.
                let neat = dilution::strength(f, f, d, c).expect("some product");
                prop_assert!(close(far.strongest.as_fraction(), neat.as_fraction()));
                prop_assert!(far.strongest < p);
            }
        }
    }

    #[test]
    fn doses_scale_with_strength_and_with_the_fill(
        f in fills(), p in 0.0001..0.4f64, d in draws(), c in products(), by in 0.1..2.0f64,
    ) {
        let strength = |p| Strength::fraction(p).expect("in range");
        let one = dilution::dose(f, strength(p), d, c);
        let scaled = dilution::dose(f, strength(p * by), d, c);
        if let (Ok(one), Ok(scaled)) = (one, scaled) {
            prop_assert!(close(scaled.product.as_ml(), one.product.as_ml() * by));
        }
        let larger = dilution::dose(f * by, strength(p), d, c);
        prop_assert_eq!(one.is_ok(), larger.is_ok());
        if let (Ok(one), Ok(larger)) = (one, larger) {
            prop_assert!(close(larger.product.as_ml(), one.product.as_ml() * by));
        }
    }

    #[test]
    fn a_bottle_ratio_and_its_dose_agree(f in fills(), n in 0.0..200.0f64, d in draws(), c in products()) {
        let ratio = BottleRatio::parts_water(n).expect("in range");
        let p = dilution::strength_of_ratio(ratio, d, c).expect("some");
        let dose = dilution::dose(f, p, d, c).expect("a ratio is always within reach");
        let back = dilution::ratio_of(dose).expect("some product");
        prop_assert!((back.water_parts() - n).abs() < 1e-6 * (1.0 + n));
    }

    #[test]
    fn top_ups_keep_the_balance_of_product_and_water(
        f in fills(), left in 0.0..=1.0f64, f0 in 0.0..=1.0f64, p in strengths(), d in draws(),
        c in products(),
    ) {
        let left = f * left;
        let f1 = p.as_fraction() / d.reach(c).as_fraction();
        let balanced = |kept: Volume, add: dilution::Dose, fill: Volume| {
            let product = kept.as_ml() * f0 + add.product.as_ml();
            let total = kept.as_ml() + add.product.as_ml() + add.water.as_ml();
            (product - fill.as_ml() * f1).abs() < 1e-6 * fill.as_ml()
                && (total - fill.as_ml()).abs() < 1e-6 * fill.as_ml()
        };
        match dilution::top_up(left, f0, f, p, d, c) {
            TopUp::Add(add) => {
                prop_assert!(add.product.as_ml() >= 0.0 && add.water.as_ml() >= 0.0);
                prop_assert!(balanced(left, add, f));
            }
            TopUp::PourOff { away, then, smallest_fill } => {
                prop_assert!(away.as_ml() > 0.0 && away.as_ml() <= left.as_ml() * (1.0 + 1e-9));
                prop_assert!(then.product.as_ml() >= 0.0 && then.water.as_ml() >= 0.0);
                prop_assert!(balanced(left - away, then, f));
                if let Some(smallest) = smallest_fill {
                    // It works without pouring off, and a hair less does not.
                    prop_assert!(smallest > f);
                    let works = |fill| matches!(dilution::top_up(left, f0, fill, p, d, c), TopUp::Add(_));
                    // By how much less depends on the scarcer of product and water, because the
                    // code forgives a billionth of the fill.
                    let scarcer = f1.min(1.0 - f1);
                    prop_assert!(works(smallest * (1.0 + 1e-6)));
                    prop_assert!(scarcer < 1e-6 || !works(smallest * (1.0 - 1e-8 / scarcer)));
                }
            }
            TopUp::OutOfReach(far) => prop_assert!(far.strongest < p),
        }
    }

    #[test]
    fn rounding_never_leaves_the_band_silently(
        holds in 200.0..5_000.0f64, catch in 2.0..60.0f64, target in 0.0005..0.5f64,
        width in 0.001..0.5f64, graduation in prop::sample::select(vec![0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0]),
        part in prop::sample::select(Part::ALL.to_vec()),
    ) {
        let holds = Volume::ml(holds);
        let calibration = Calibration::of_one(holds, Run::dry(holds, holds * catch, Duration::from_secs(60)));
        let wanted = Strength::fraction(target).expect("in range");
        let band = Band {
            least: Strength::fraction(target * (1.0 - width)).expect("in range"),
            most: Strength::fraction((target * (1.0 + width)).min(1.0)).expect("in range"),
        };
        let chemical = Chemical {
            id: "c".into(),
            name: "C".into(),
            target: Target::OnVehicle(wanted),
            band: Some(band),
            product_strength: Strength::NEAT,
            cautions: Vec::new(),
            hazards: Vec::new(),
            nature: Nature::Other,
            never_with: Vec::new(),
            delivered_in: None,
            spray_per_vehicle: None,
            cost_per_litre: None,
        };
        let jug = Measure {
            id: "j".into(),
            name: "J".into(),
            size: Volume::ml(1000.0),
            graduation: Volume::ml(graduation),
        };
        match plan(&sprayer(holds), Some(&calibration), &chemical, part, &[jug]) {
            Plan::Fill(plan) => {
                let pour = &plan.pour;
                // The strength shown is that of what is poured, not of what was wanted.
                let d = calibration.draw_fraction().expect("drawn");
                let landed = dilution::strength(pour.dose.product, plan.fill, d, Strength::NEAT);
                prop_assert!(close(landed.expect("some").as_fraction(), pour.strength.as_fraction()));
                let inside = pour.strength >= band.least && pour.strength <= band.most;
                prop_assert_eq!(pour.in_band == InBand::Inside, inside);
                prop_assert!(pour.dose.product <= plan.fill);
                prop_assert!(pour.dose.water.as_ml() >= 0.0);
                // A line of the measure, or the whole fill neat.
                let steps = pour.dose.product.as_ml() / graduation;
                let neat = pour.dose.product == plan.fill;
                prop_assert!((steps - steps.round()).abs() < 1e-6 || neat);
                // The figure is the pour: nothing is lost in the showing, and it fits the screen.
                let product = pour.dose.product.as_ml();
                let (figure, unit) = pour.dose.product.figure();
                let shown: f64 = figure.parse().expect("a number");
                let shown = if unit == "L" { shown * 1000.0 } else { shown };
                prop_assert!(neat || (shown - product).abs() < 0.01, "{shown} for {product}");
                prop_assert!(figure.chars().count() <= 4, "{figure} is too wide for the screen");
            }
            Plan::OutOfReach { strongest, .. } => prop_assert!(strongest < wanted),
            Plan::Unmeasurable { dose } => {
                // Rightly so: the nearest line is a tenth off or more, and outside the band.
                let nearest = (dose.as_ml() / graduation).round() * graduation;
                let off = (nearest / dose.as_ml() - 1.0).abs();
                prop_assert!(off > 0.1 - 1e-9, "{dose:?} could be poured as {nearest}");
            }
            Plan::Uncalibrated => prop_assert!(false, "it is calibrated"),
        }
    }

    #[test]
    fn a_fills_product_lands_on_its_vehicles(f in fills(), p in strengths(), d in draws(), v in 0.5..20.0f64) {
        if let Ok(dose) = dilution::dose(f, p, d, Strength::NEAT) {
            let c = fillcall::trade::coverage::coverage(f, d, p, Strength::NEAT, Volume::litres(v), None);
            prop_assert!(close(c.vehicles * c.product_per_vehicle.as_ml(), dose.product.as_ml()));
        }
    }
}
