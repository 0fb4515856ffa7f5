//! What must hold for any figures: property tests of the arithmetic.

use fillcall::trade::calibration::{Calibration, Container, Run};
use fillcall::trade::chemical::{Band, Chemical, Nature, Target};
use fillcall::trade::dilution::{self, DrawFraction, TopUp};
use fillcall::trade::fill_plan::{InBand, Part, Plan, plan};
use fillcall::trade::for_vehicles::{fills_for, spray_for};
use fillcall::trade::measure::Measure;
use fillcall::trade::repeats;
use fillcall::trade::sprayer::{Kind, Sprayer};
use fillcall::trade::topping_up::{Addition, Aim, Contents, Remedy, put_right, top_up};
use fillcall::trade::uncertainty::{DoseUncertainty, RunReading};
use fillcall::trade::units::{BottleRatio, LineUnit, Strength, Volume};
use fillcall::trade::vehicle::VehicleClass;
use proptest::prelude::*;
use std::time::Duration;

const CLOSE: f64 = 1e-9;

/// Lines of measures: so many of that unit apart.
const LINES: [(f64, LineUnit); 13] = [
    (0.25, LineUnit::Metric),
    (0.5, LineUnit::Metric),
    (1.0, LineUnit::Metric),
    (2.0, LineUnit::Metric),
    (5.0, LineUnit::Metric),
    (10.0, LineUnit::Metric),
    (25.0, LineUnit::Metric),
    (50.0, LineUnit::Metric),
    (0.25, LineUnit::UsFluidOunce),
    (1.0, LineUnit::UsFluidOunce),
    (0.5, LineUnit::UkFluidOunce),
    (2.0, LineUnit::UkFluidOunce),
    (0.125, LineUnit::UsGallon),
];

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
        dial: None,
    }
}

fn chemical(wanted: Strength, width: f64) -> Chemical {
    let share =
        |by: f64| Strength::fraction((wanted.as_fraction() * by).min(1.0)).expect("in range");
    Chemical {
        id: "c".into(),
        name: "C".into(),
        target: Target::OnVehicle(wanted),
        band: (width > 0.05).then(|| Band {
            least: share(1.0 - width),
            most: share(1.0 + width),
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

/// A syringe and a jug.
fn measures(graduation: f64) -> Vec<Measure> {
    [
        ("syringe", 60.0, graduation / 10.0),
        ("jug", 1000.0, graduation),
    ]
    .into_iter()
    .map(|(id, size, graduation)| Measure {
        id: id.into(),
        name: id.into(),
        size: Volume::ml(size),
        graduation: Volume::ml(graduation),
    })
    .collect()
}

/// What is in the container after an addition, reckoned anew from product and water, and that it may
/// be sprayed.
fn lands_as_told(
    addition: &Addition,
    kept: Volume,
    f0: f64,
    aim: &Aim<'_>,
) -> Result<(), TestCaseError> {
    let add = addition.pour.dose;
    prop_assert!(add.product.as_ml() >= 0.0 && add.water.as_ml() >= -1e-9);
    let product = kept.as_ml() * f0 + add.product.as_ml();
    let all = kept.as_ml() + add.product.as_ml() + add.water.as_ml();
    prop_assert!(close(all, addition.fill.as_ml()));
    let landed = product / all * aim.draw.as_fraction();
    prop_assert!(close(landed, addition.pour.strength.as_fraction()));
    match aim.chemical.band {
        Some(band) => {
            prop_assert_eq!(addition.pour.in_band, InBand::Inside);
            prop_assert!(landed >= band.least.as_fraction() * (1.0 - 1e-8));
            prop_assert!(landed <= band.most.as_fraction() * (1.0 + 1e-8));
        }
        None => prop_assert!((landed / aim.wanted.as_fraction() - 1.0).abs() <= 0.1 + 1e-9),
    }
    // What is added can be read on the lines, or what cannot is told.
    if add.product.as_ml() > 0.0 {
        let half = addition.pour.measure.half_a_line(add.product).as_ml() / product;
        prop_assert!(half <= 0.1 + 1e-9, "{addition:?}");
        prop_assert!(addition.coarse || half <= 0.05 + 1e-9, "{addition:?}");
    }
    Ok(())
}

proptest! {
    #[test]
    fn what_is_added_to_a_left_over_lands_as_told(
        holds in 300.0..5000.0f64, left in 0.01..1.0f64, f0 in 0.0..=1.0f64, share in 0.02..0.98f64,
        d in draws(), width in 0.0..0.4f64, graduation in prop::sample::select(vec![5.0, 10.0, 25.0]),
    ) {
        let wanted = Strength::fraction(share * d.as_fraction()).expect("in range");
        let chemical = chemical(wanted, width);
        let aim = Aim { chemical: &chemical, wanted, draw: d };
        let (fill, volume) = (Volume::ml(holds), Volume::ml(holds * left));
        let measures = measures(graduation);
        match top_up(Contents { volume, fraction: f0 }, fill, &aim, &measures) {
            Remedy::Add(addition) => {
                prop_assert!(close(addition.fill.as_ml(), holds));
                lands_as_told(&addition, volume, f0, &aim)?;
            }
            Remedy::PourOff { away, then, smallest } => {
                let kept = volume - away;
                prop_assert!(kept.as_ml() >= -1e-9 && close(then.to.volume.as_ml(), kept.as_ml()));
                prop_assert!(close(then.fill.as_ml(), holds));
                lands_as_told(&then, kept, f0, &aim)?;
                // The least that works, up to a line: one line less does not.
                let line = if away.as_ml() <= 60.0 { graduation / 10.0 } else { graduation };
                let more = Volume::ml(kept.as_ml() + line * (1.0 + 1e-6));
                if more < volume && away < volume {
                    let works = dilution::top_up(more, f0, fill, wanted, d, Strength::NEAT);
                    prop_assert!(matches!(works, TopUp::PourOff { .. }), "{away:?} of {volume:?}");
                }
                if let Some(smallest) = smallest {
                    let works = dilution::top_up(volume, f0, smallest, wanted, d, Strength::NEAT);
                    prop_assert!(matches!(works, TopUp::Add(_)), "{smallest:?}: {works:?}");
                }
            }
            Remedy::Unmeasurable { .. } => {}
            Remedy::OutOfReach { .. } => prop_assert!(false, "it is within reach"),
        }
    }

    #[test]
    fn a_mispoured_dose_that_is_put_right_is_right(
        holds in 300.0..5000.0f64, level in 0.1..1.2f64, f0 in 0.001..=1.0f64, share in 0.02..0.98f64,
        d in draws(), width in 0.0..0.4f64, graduation in prop::sample::select(vec![5.0, 10.0, 25.0]),
    ) {
        let wanted = Strength::fraction(share * d.as_fraction()).expect("in range");
        let chemical = chemical(wanted, width);
        let aim = Aim { chemical: &chemical, wanted, draw: d };
        let volume = Volume::ml(holds * level);
        let there = Contents { volume, fraction: f0 };
        match put_right(there, Volume::ml(holds), &aim, &measures(graduation)) {
            Remedy::Add(addition) => {
                prop_assert!(addition.fill.as_ml() <= holds * (1.0 + 1e-6));
                lands_as_told(&addition, volume, f0, &aim)?;
            }
            Remedy::PourOff { away, then, .. } => {
                prop_assert!(then.fill.as_ml() <= holds * (1.0 + 1e-6));
                lands_as_told(&then, volume - away, f0, &aim)?;
            }
            Remedy::Unmeasurable { .. } => {}
            Remedy::OutOfReach { .. } => prop_assert!(false, "it is within reach"),
        }
    }

    #[test]
    fn fills_for_vehicles_are_enough_and_hardly_more(
        counts in prop::collection::vec((0.1..4.0f64, 0u32..8), 1..5), litres in 0.5..12.0f64,
        d in draws(), holds in 300.0..30_000.0f64, graduation in prop::sample::select(vec![5.0, 10.0, 25.0]),
    ) {
        let classes: Vec<_> = counts
            .iter()
            .map(|(share, count)| {
                let class = VehicleClass { id: "v".into(), name: "V".into(), share: *share };
                (class, *count)
            })
            .collect();
        let spray = spray_for(classes.iter().map(|(class, count)| (class, *count)), Volume::litres(litres));
        let each: f64 = counts.iter().map(|(share, count)| share * f64::from(*count) * litres * 1000.0).sum();
        prop_assert!((spray.as_ml() - each).abs() < 1e-6 * each.max(1.0));
        let fills = fills_for(spray, d, Volume::ml(holds), &measures(graduation));
        let made = fills.made_up(Volume::ml(holds)).as_ml();
        let needed = each * d.as_fraction();
        prop_assert!(made >= needed - 2e-6 * holds, "{made} for {needed}");
        prop_assert!(made <= needed + graduation + 1.0, "{made} for {needed}");
        prop_assert!(fills.part.is_none_or(|ml| f64::from(ml) < holds));
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
        width in 0.001..0.5f64, lines in prop::sample::select(LINES.to_vec()),
        part in prop::sample::select(Part::ALL.to_vec()),
    ) {
        let holds = Volume::ml(holds);
        let calibration = Calibration::of_one(Container::measured(holds), Run::dry(holds, holds * catch, Duration::from_secs(60)));
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
            put_on: Vec::new(),
            nature: Nature::Other,
            order: None,
            never_with: Vec::new(),
            delivered_in: None,
            spray_per_vehicle: None,
            cost_per_litre: None,
        };
        let (graduation, unit) = (lines.0 * lines.1.ml(), lines.1);
        let jug = Measure {
            id: "j".into(),
            name: "J".into(),
            size: Volume::ml(1000.0),
            graduation: Volume::ml(graduation),
        };
        prop_assert_eq!(jug.unit(), unit);
        match plan(&sprayer(holds), Some(&calibration), &chemical, part, &[jug]) {
            Plan::Fill(plan) => {
                let pour = &plan.pour;
                // The strength shown is that of what is poured, not of what was wanted.
                let d = calibration.draw_fraction().expect("drawn");
                let landed = dilution::strength(pour.dose.product, plan.fill, d, Strength::NEAT);
                prop_assert!(close(landed.expect("some").as_fraction(), pour.strength.as_fraction()));
                let inside = pour.strength >= band.least && pour.strength <= band.most;
                prop_assert_eq!(pour.in_band == InBand::Inside, inside);
                prop_assert!(pour.in_band != InBand::Above, "{:?} is too strong", pour);
                prop_assert!(pour.dose.product <= plan.fill);
                prop_assert!(pour.dose.water.as_ml() >= 0.0);
                // A line of the measure, or the whole fill neat.
                let steps = pour.dose.product.as_ml() / graduation;
                let neat = pour.dose.product == plan.fill;
                prop_assert!((steps - steps.round()).abs() < 1e-6 || neat);
                // The figure is the pour: nothing is lost in the showing, and it fits the screen.
                let product = pour.dose.product.as_ml() / unit.ml();
                let (figure, sign) = unit.figure(pour.dose.product);
                let shown: f64 = figure.parse().expect("a number");
                let shown = if sign == "L" { shown * 1000.0 } else { shown };
                prop_assert!(neat || (shown - product).abs() < 0.01, "{shown} for {product}");
                // It can be read on the lines, and what is hard to read is told.
                let dose = pour.dose.product.as_ml();
                let loads = (dose / 1000.0 - 1e-9).ceil().max(1.0);
                let half = if neat { 0.0 } else { graduation / 2.0 * loads.sqrt() / dose };
                let off = (dose / plan.exact.product.as_ml() - 1.0).abs();
                prop_assert!(half <= 0.1 + 1e-9, "{dose} on lines {graduation} apart");
                let told = plan.coarse;
                prop_assert_eq!(told, half > 0.05 || off > 0.05, "{} {} {}", dose, half, off);
                // The lines that are asked for are fine enough.
                let needed = plan.lines_needed().as_ml() / 2.0 / plan.exact.product.as_ml();
                prop_assert!((0.01..=0.05 + 1e-9).contains(&needed), "{needed}");
                prop_assert!(figure.chars().count() <= 4, "{figure} is too wide for the screen");
            }
            Plan::OutOfReach { strongest, .. } => prop_assert!(strongest < wanted),
            Plan::Unmeasurable { dose } => {
                // Rightly so: the nearest line is a tenth off or more, or too strong, and then so is the
                // one below it a tenth off.
                let nearest = (dose.as_ml() / graduation).round() * graduation;
                let too_strong = nearest / dose.as_ml() > band.most.as_fraction() / wanted.as_fraction();
                let near = match too_strong {
                    true => (dose.as_ml() / graduation).floor() * graduation,
                    false => nearest,
                };
                let off = (near / dose.as_ml() - 1.0).abs();
                let loads = (near / 1000.0 - 1e-9).ceil().max(1.0);
                let half = graduation / 2.0 * loads.sqrt() / near;
                let unreadable = near <= 0.0 || half > 0.1 - 1e-9;
                prop_assert!(unreadable || off > 0.1 - 1e-9, "{dose:?} could be poured as {near}");
            }
            Plan::AboveBand { .. } => prop_assert!(false, "what is wanted lies in the band"),
            Plan::Uncalibrated => prop_assert!(false, "it is calibrated"),
        }
    }

    #[test]
    fn a_blended_scatter_lies_between_prior_and_own_and_one_fill_above_the_mean(
        prior in 0.005..0.05f64, own in 0.0..0.2f64, freedom in 1u32..200, runs in 1usize..6,
        catch_u in 0.0..0.02f64, pour in 0.0..0.05f64,
    ) {
        let pooled = repeats::Pooled { relative: own, degrees_of_freedom: freedom, runs: freedom + 1 };
        let blend = repeats::scatter(prior, Some(pooled));
        prop_assert!(blend.relative >= prior.min(own) - 1e-12 && blend.relative <= prior.max(own) + 1e-12);
        // More of the same draws it to the bay's own, and makes it surer.
        let more = repeats::scatter(prior, Some(repeats::Pooled { degrees_of_freedom: 2 * freedom, ..pooled }));
        prop_assert!((more.relative - own).abs() <= (blend.relative - own).abs() + 1e-12);
        prop_assert!(more.for_bands() / more.relative.max(1e-12) <= blend.for_bands() / blend.relative.max(1e-12) + 1e-9);
        let run = RunReading { draw_fraction: 0.06, catch: catch_u, drawn: 0.0, weighed_catch: 0.0, weighed_drawn: 0.0 };
        let mean = DoseUncertainty { pour, ..DoseUncertainty::of_runs(&vec![run; runs], blend) };
        let one = mean.of_one_fill();
        prop_assert!(one.standard() >= mean.standard());
        let n = runs as f64;
        let by_hand = (mean.scatter.powi(2) * (n + 1.0) + mean.catch.powi(2) + pour * pour).sqrt();
        prop_assert!(close(one.standard(), by_hand));
        prop_assert!(one.factor() >= 2.0 && one.factor() <= 2.7765);
    }

    #[test]
    fn a_fills_product_lands_on_its_vehicles(f in fills(), p in strengths(), d in draws(), v in 0.5..20.0f64) {
        if let Ok(dose) = dilution::dose(f, p, d, Strength::NEAT) {
            let c = fillcall::trade::coverage::coverage(f, d, p, Strength::NEAT, Volume::litres(v), None);
            prop_assert!(close(c.vehicles * c.product_per_vehicle.as_ml(), dose.product.as_ml()));
        }
    }
}
