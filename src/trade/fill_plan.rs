//! One fill planned from end to end: what to pour with which measure, and what that puts on the
//! vehicle.

use super::calibration::{Calibration, Container};
use super::chemical::{Chemical, Target};
use super::coverage::{Coverage, coverage};
use super::dilution::{self, Dose, DrawFraction, OutOfReach};
use super::measure::Measure;
use super::sprayer::{Kind, Sprayer};
use super::text::Text;
use super::units::{BottleRatio, Strength, Volume};
use crate::text;
use serde::{Deserialize, Serialize};

/// How much of the container is made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Part {
    /// A quarter.
    Quarter,
    /// Half.
    Half,
    /// Three quarters.
    ThreeQuarters,
    /// Up to the line.
    #[default]
    Full,
    /// So many millilitres, above 0 and no more than the container takes.
    Ml(u32),
}

impl Part {
    /// All that are a share of the container, smallest first.
    pub const ALL: [Self; 4] = [Self::Quarter, Self::Half, Self::ThreeQuarters, Self::Full];

    /// The volume that is made up in a container that takes `holds`.
    pub fn of(self, holds: Volume) -> Volume {
        match self {
            Self::Quarter => holds * 0.25,
            Self::Half => holds * 0.5,
            Self::ThreeQuarters => holds * 0.75,
            Self::Full => holds,
            Self::Ml(ml) => Volume::ml(f64::from(ml)),
        }
    }
    /// For the screen: a part, "Full", or a volume.
    pub fn shown(self) -> String {
        match self {
            Self::Quarter => "¼".into(),
            Self::Half => "½".into(),
            Self::ThreeQuarters => "¾".into(),
            Self::Full => "Full".into(),
            Self::Ml(ml) => Volume::ml(f64::from(ml)).shown(),
        }
    }
}

/// Where a strength lies in the chemical's allowed band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InBand {
    /// The chemical has no band.
    NoBand,
    /// Inside.
    Inside,
    /// Weaker than allowed.
    Below,
    /// Stronger than allowed.
    Above,
}

impl InBand {
    /// Where `strength` lies for `chemical`.
    pub fn of(chemical: &Chemical, strength: Strength) -> Self {
        match chemical.band {
            None => Self::NoBand,
            Some(band) if band.holds(strength) => Self::Inside,
            Some(band) if strength < band.least => Self::Below,
            Some(_) => Self::Above,
        }
    }
    /// True where the strength leaves the band.
    pub const fn is_outside(self) -> bool {
        matches!(self, Self::Below | Self::Above)
    }
}

/// A dose as one measure can pour it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pour {
    /// With this measure.
    pub measure: Measure,
    /// In so many loads.
    pub loads: u32,
    /// The dose rounded to the measure's lines, never more than the fill.
    pub dose: Dose,
    /// What that puts on the vehicle.
    pub strength: Strength,
    /// Where that lies in the band.
    pub in_band: InBand,
    /// How far reading the dose on the measure's lines may put the strength off, relative: half a line
    /// over all product in the container. 0 where no line is read.
    pub half_a_line: f64,
}

impl Pour {
    /// The product to pour, in the unit of the measure: "590 ml", "8 fl oz".
    pub fn product_shown(&self) -> String {
        self.measure.shown(self.dose.product)
    }
    /// The water, in the unit of the measure, as water is shown.
    pub fn water_shown(&self) -> String {
        let unit = self.measure.unit();
        unit.shown(unit.water(self.dose.water))
    }

    /// True where the dose is rounded by no more than a twentieth (`off`, relative), inside the band,
    /// and half a line is no more than a twentieth of it.
    fn is_good(&self, off: f64) -> bool {
        !self.in_band.is_outside() && off <= ROUNDING_ALLOWED && self.half_a_line <= READING_ALLOWED
    }
    /// True where it is worse than good, but near enough to be poured with a warning: half a line is no more than a
    /// tenth of it, and the band allows the rounded dose, or it is no more than a tenth off.
    fn is_fair(&self, off: f64) -> bool {
        let rounded = match self.in_band {
            InBand::Inside => true,
            InBand::Below | InBand::NoBand => off <= ROUNDING_BEARABLE,
            InBand::Above => false,
        };
        rounded && self.half_a_line <= READING_BEARABLE
    }

    /// The measure, and how it is filled where it takes several loads: "1 litre jug",
    /// "1 litre jug: 2 full + 270 ml".
    pub fn measure_words(&self) -> Text {
        let name = &self.measure.name;
        if self.loads == 1 {
            return text!("{}", name);
        }
        // A hair short of a full load is a full load, as for `loads`.
        let full = (self.dose.product / self.measure.size + 1e-9).floor();
        let rest = self.dose.product - self.measure.size * full;
        match rest.as_ml() < 1e-6 * self.measure.size.as_ml() {
            true => text!("{}: {} full", name, full.to_string()),
            false => {
                let rest = self.measure.shown(rest);
                text!("{}: {} full + {}", name, full.to_string(), rest)
            }
        }
    }
}

/// A fill that can be made.
#[derive(Debug, Clone, PartialEq)]
pub struct FillPlan {
    /// The volume made up.
    pub fill: Volume,
    /// The wanted strength on the vehicle.
    pub wanted: Strength,
    /// The unrounded dose.
    pub exact: Dose,
    /// What to pour.
    pub pour: Pour,
    /// The measure is coarse for this dose: half a line, or the rounding, is more than a twentieth of
    /// it. To be said wherever the dose is.
    pub coarse: bool,
    /// What a finer measure of the bay would pour, in many loads, where the measure is coarse or the
    /// rounded dose leaves the band. Always inside the band.
    pub finer: Option<Pour>,
    /// The bottle ratio of what is poured.
    pub ratio: Option<BottleRatio>,
    /// How far it goes, where the chemical says what a vehicle takes.
    pub coverage: Option<Coverage>,
}

impl FillPlan {
    /// Lines that are fine enough for this dose: half a line of them is a twentieth of it at most.
    pub fn lines_needed(&self) -> Volume {
        let unit = self.pour.measure.unit();
        unit.usual_step(self.exact.product * (2.0 * READING_ALLOWED))
    }
    /// The same in words: "5 ml".
    pub fn lines_needed_shown(&self) -> String {
        self.pour.measure.shown(self.lines_needed())
    }
}

/// What can be said about a fill.
#[derive(Debug, Clone, PartialEq)]
pub enum Plan {
    /// The sprayer has never been calibrated: nothing can be said.
    Uncalibrated,
    /// The wanted strength needs more product than the container takes.
    OutOfReach {
        /// What was wanted.
        wanted: Strength,
        /// The strongest this sprayer reaches.
        strongest: Strength,
    },
    /// No measure of the bay can show the dose: rounded to its lines it would be another strength, or
    /// one above the chemical's band, or half a line is more than a tenth of it.
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
    /// Pour this. Never above the chemical's band.
    Fill(Box<FillPlan>),
}

/// The draw fraction of a sprayer: 1 for a direct one, else its calibration's.
pub fn draw_fraction(sprayer: &Sprayer, calibration: Option<&Calibration>) -> Option<DrawFraction> {
    match sprayer.kind.is_direct() {
        true => Some(DrawFraction::DIRECT),
        false => calibration?.draw_fraction(),
    }
}

/// Volume that a sprayer's container takes: as it was measured for a calibration, else as set up. A
/// drum is never measured for one: whatever is put in, it draws alike.
pub fn holds(sprayer: &Sprayer, calibration: Option<&Calibration>) -> Volume {
    calibration
        .and_then(|calibration| measured(sprayer, calibration))
        .map_or(sprayer.holds, Container::holds)
}

/// Container as it was measured for this calibration, where doses go by that and not by the set-up.
pub fn measured(sprayer: &Sprayer, calibration: &Calibration) -> Option<Container> {
    match sprayer.kind {
        Kind::DirectSprayer | Kind::DrumInjector => None,
        Kind::FoamLance => calibration.holds,
    }
}

/// The strength wanted on the vehicle; for a label that gives only a bottle ratio it follows from
/// the sprayer.
pub fn wanted(chemical: &Chemical, draw: DrawFraction) -> Option<Strength> {
    match chemical.target {
        Target::OnVehicle(strength) => Some(strength),
        Target::Bottle(ratio) => {
            dilution::strength_of_ratio(ratio, draw, chemical.product_strength)
        }
    }
}

/// How far off a rounded dose may be and still count as the dose.
const ROUNDING_ALLOWED: f64 = 0.05;
/// Beyond this no rounded dose is offered, unless the chemical's band allows it.
pub(super) const ROUNDING_BEARABLE: f64 = 0.10;
/// So much of a dose may half a line of its measure be without a word.
pub(super) const READING_ALLOWED: f64 = 0.05;
/// Beyond this no dose is offered, whatever the band: nobody reads it off such lines.
pub(super) const READING_BEARABLE: f64 = 0.10;
/// More loads than this invite miscounting, so a coarser measure is taken rather.
const LOADS_ALLOWED: u32 = 4;

/// The draw fraction with a mix, from that with water and what the dose is multiplied with because
/// of it (d/d'); `None` where that leaves no fraction.
pub fn with_mix(water: DrawFraction, correction: Option<f64>) -> Option<DrawFraction> {
    DrawFraction::new(water.as_fraction() / correction.unwrap_or(1.0))
}

/// Plans a fill of `part` of the sprayer's container. `measures` must not be empty.
pub fn plan(
    sprayer: &Sprayer,
    calibration: Option<&Calibration>,
    chemical: &Chemical,
    part: Part,
    measures: &[Measure],
) -> Plan {
    plan_corrected(sprayer, calibration, None, chemical, part, measures)
}

/// As [`plan`], for a mix that draws less or more than water did: `correction` is what the dose is
/// multiplied with, d/d' of [`super::timed_check::WithMix`], so the mix draws d over that.
pub fn plan_corrected(
    sprayer: &Sprayer,
    calibration: Option<&Calibration>,
    correction: Option<f64>,
    chemical: &Chemical,
    part: Part,
    measures: &[Measure],
) -> Plan {
    let Some((draw, wanted)) = draw_fraction(sprayer, calibration)
        .and_then(|draw| with_mix(draw, correction))
        .and_then(|draw| Some((draw, wanted(chemical, draw)?)))
    else {
        return Plan::Uncalibrated;
    };
    let fill = part.of(holds(sprayer, calibration));
    let exact = match dilution::dose(fill, wanted, draw, chemical.product_strength) {
        Ok(dose) => dose,
        Err(OutOfReach { strongest }) => return Plan::OutOfReach { wanted, strongest },
    };
    if let Some(band) = chemical.band
        && InBand::of(chemical, wanted) == InBand::Above
    {
        return Plan::AboveBand {
            lands: wanted,
            most: band.most,
        };
    }
    let pours: Vec<Pour> = measures
        .iter()
        .filter_map(|m| pour(m, exact.product, fill, draw, chemical))
        .collect();
    let off = |pour: &Pour| (pour.dose.product / exact.product - 1.0).abs();
    let Some(Chosen {
        pour,
        coarse,
        finer,
    }) = choose(&pours, off)
    else {
        return Plan::Unmeasurable {
            dose: exact.product,
        };
    };
    Plan::Fill(Box::new(FillPlan {
        fill,
        wanted,
        exact,
        coarse,
        finer,
        ratio: dilution::ratio_of(pour.dose),
        coverage: chemical.spray_per_vehicle.map(|per_vehicle| {
            coverage(
                fill,
                draw,
                pour.strength,
                chemical.product_strength,
                per_vehicle,
                chemical.cost_per_litre,
            )
        }),
        pour,
    }))
}

/// The pour that was chosen of several.
pub(super) struct Chosen {
    /// The one to take.
    pub(super) pour: Pour,
    /// Its rounding or its reading is not good.
    pub(super) coarse: bool,
    /// A finer one to propose, where that one is not good and there is one.
    pub(super) finer: Option<Pour>,
}

/// Of the pours that the measures of a bay allow the one to take, and a finer one to propose where
/// that one is not good. `None` where none is near enough. `off` is how far off one is, as a part of
/// what would be right. One that lands above the band is never taken.
pub(super) fn choose(pours: &[Pour], off: impl Fn(&Pour) -> f64) -> Option<Chosen> {
    // The measure that gives the dose in the fewest loads, of those the finest. Where none gives it
    // well in a few loads, in the fewest loads all the same, and a finer one is proposed.
    let simplest = |a: &&Pour, b: &&Pour| {
        let key = |p: &Pour| (p.loads, p.measure.graduation.as_ml());
        let (a, b) = (key(a), key(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    };
    let good = |p: &&Pour| p.is_good(off(p));
    let few = |p: &&Pour| p.loads <= LOADS_ALLOWED;
    let fair = |p: &&Pour| p.is_fair(off(p));
    let chosen = pours.iter().filter(good).filter(few).min_by(simplest);
    let pour = chosen
        .or_else(|| pours.iter().filter(fair).min_by(simplest))
        .cloned()?;
    let finer = match good(&&pour) {
        true => None,
        false => pours.iter().filter(good).min_by(simplest).cloned(),
    };
    Some(Chosen {
        coarse: off(&pour) > ROUNDING_ALLOWED || pour.half_a_line > READING_ALLOWED,
        pour,
        finer,
    })
}

/// The dose on the nearest line of a measure, or on the one below where that lands above the band.
fn pour(
    measure: &Measure,
    exact: Volume,
    fill: Volume,
    draw: DrawFraction,
    chemical: &Chemical,
) -> Option<Pour> {
    let nearest = pour_of(measure, measure.round(exact), exact, fill, draw, chemical)?;
    if nearest.in_band != InBand::Above {
        return Some(nearest);
    }
    let below = measure.round_down(exact);
    pour_of(measure, below, exact, fill, draw, chemical)
}

fn pour_of(
    measure: &Measure,
    mut product: Volume,
    exact: Volume,
    fill: Volume,
    draw: DrawFraction,
    chemical: &Chemical,
) -> Option<Pour> {
    if product > fill {
        // Neat product up to the line needs no measure's line.
        let below = measure.round_down(fill);
        product = match below >= exact && below <= fill {
            true => below,
            false => fill,
        };
    }
    let strength = dilution::strength(product, fill, draw, chemical.product_strength)?;
    Some(Pour {
        // Neat product up to the line of the container is not read on the measure.
        half_a_line: match product < fill {
            true => measure.half_a_line(product) / product,
            false => 0.0,
        },
        measure: measure.clone(),
        loads: measure.loads(product),
        dose: Dose {
            product,
            water: fill - product,
        },
        strength,
        in_band: InBand::of(chemical, strength),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::calibration::Run;
    use crate::trade::chemical::Band;
    use crate::trade::sprayer::Kind;
    use std::time::Duration;

    fn percent(p: f64) -> Strength {
        Strength::percent(p).expect("a strength")
    }
    fn lance() -> Sprayer {
        Sprayer {
            id: "lance-1".into(),
            name: "Lance 1".into(),
            spoken: "lance one".into(),
            kind: Kind::FoamLance,
            holds: Volume::ml(820.0),
            nozzle: "1.35 mm".into(),
            washer: "Washer A".into(),
            dial: None,
        }
    }
    fn calibration() -> Calibration {
        Calibration::of_one(
            Container::measured(Volume::ml(820.0)),
            Run::dry(
                Volume::ml(820.0),
                Volume::litres(14.7),
                Duration::from_secs(104),
            ),
        )
    }
    fn chemical(target: Target) -> Chemical {
        Chemical {
            id: "c".into(),
            name: "C".into(),
            target,
            band: None,
            product_strength: Strength::NEAT,
            cautions: Vec::new(),
            hazards: Vec::new(),
            put_on: Vec::new(),
            nature: crate::trade::chemical::Nature::Other,
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
    fn filled(plan: Plan) -> FillPlan {
        match plan {
            Plan::Fill(plan) => *plan,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_rounded_dose_and_what_it_gives() {
        let chemical = chemical(Target::OnVehicle(percent(4.0)));
        let c = calibration();
        let plan = filled(plan(&lance(), Some(&c), &chemical, Part::Full, &measures()));
        assert_eq!(plan.exact.product.as_ml().round(), 588.0);
        assert_eq!(plan.pour.dose.product, Volume::ml(590.0));
        assert_eq!(plan.pour.dose.water, Volume::ml(230.0));
        assert_eq!(plan.pour.strength.shown(), "4.01 %");
        assert_eq!(plan.finer, None);
    }

    #[test]
    fn parts_scale() {
        let chemical = chemical(Target::OnVehicle(percent(4.0)));
        let c = calibration();
        let parts = [
            (Part::Quarter, 147.0),
            (Part::Half, 294.0),
            // 300 of 820 ml: 588 · 300 / 820.
            (Part::Ml(300), 215.0),
        ];
        for (part, dose) in parts {
            let plan = filled(plan(&lance(), Some(&c), &chemical, part, &measures()));
            assert_eq!(plan.exact.product.as_ml().round(), dose);
        }
    }

    #[test]
    fn the_measure_that_gives_the_dose_in_the_fewest_loads() {
        let mut chemical = chemical(Target::OnVehicle(percent(0.47)));
        let c = calibration();
        let poured = |chemical: &Chemical, measures: &[Measure]| {
            let plan = filled(plan(&lance(), Some(&c), chemical, Part::Full, measures));
            (
                plan.pour.measure.id.clone(),
                plan.pour.loads,
                plan.pour.dose.product.as_ml(),
            )
        };
        // 69.1 ml: two loads of the syringe, or one of the jug, whose half a line is 7 % of it.
        assert_eq!(poured(&chemical, &measures()), ("syringe".into(), 2, 69.0));
        // 121 ml: three loads of the syringe, or one of the jug, which shows 120: near enough.
        chemical.target = Target::OnVehicle(percent(0.82));
        assert_eq!(poured(&chemical, &measures()), ("jug".into(), 1, 120.0));
        // Not near enough for a narrow band.
        chemical.band = Some(Band {
            least: percent(0.818),
            most: percent(0.825),
        });
        assert_eq!(poured(&chemical, &measures()), ("syringe".into(), 3, 121.0));
        // A bucket with coarse lines takes 1230 ml in one load, but shows 1 litre.
        let mut with_bucket = measures();
        with_bucket.push(Measure {
            id: "bucket".into(),
            name: "bucket".into(),
            size: Volume::litres(5.0),
            graduation: Volume::ml(500.0),
        });
        let large = Sprayer {
            holds: Volume::ml(1720.0),
            ..lance()
        };
        let c = Calibration {
            holds: Some(Container::measured(Volume::ml(1720.0))),
            ..c
        };
        let wide = super::tests::chemical(Target::OnVehicle(percent(4.0)));
        let plan = filled(plan(&large, Some(&c), &wide, Part::Full, &with_bucket));
        assert_eq!((plan.pour.measure.id.as_str(), plan.pour.loads), ("jug", 2));
        assert_eq!(plan.pour.dose.product.as_ml(), 1230.0);
        assert_eq!(plan.pour.measure_words(), "jug: 1 full + 230 ml");
    }

    #[test]
    fn a_pour_that_leaves_the_band_is_said_and_a_finer_measure_proposed() {
        let mut chemical = chemical(Target::OnVehicle(percent(4.0)));
        chemical.band = Some(Band {
            least: percent(3.999),
            most: percent(4.001),
        });
        let c = calibration();
        // 588 ml to a hair: 590 in the jug is too much, 580 too little, and the syringe would take
        // ten loads.
        let plan = filled(plan(&lance(), Some(&c), &chemical, Part::Full, &measures()));
        assert_eq!(plan.pour.dose.product, Volume::ml(580.0));
        assert_eq!(plan.pour.in_band, InBand::Below);
        let finer = plan.finer.expect("a finer measure");
        assert_eq!((finer.measure.id.as_str(), finer.loads), ("syringe", 10));
        assert_eq!(finer.dose.product, Volume::ml(588.0));
        assert_eq!(finer.in_band, InBand::Inside);
    }

    #[test]
    fn a_dose_below_every_line_is_not_rounded_up() {
        let ratio = BottleRatio::parts_water(100.0).expect("a ratio");
        let mut chemical = chemical(Target::Bottle(ratio));
        let c = calibration();
        let coarse = [Measure {
            graduation: Volume::ml(50.0),
            ..measures()[1].clone()
        }];
        let planned = plan(&lance(), Some(&c), &chemical, Part::Full, &coarse);
        let Plan::Unmeasurable { dose } = planned else {
            panic!("{planned:?}")
        };
        assert_eq!(dose.as_ml().round(), 8.0);
        // The syringe of the same bay can.
        let plan = filled(plan(&lance(), Some(&c), &chemical, Part::Full, &measures()));
        assert_eq!(plan.pour.measure.id, "syringe");
        // A band that is wide enough allows a rounding that would be too coarse without one: 226 ml,
        // poured as 250, where half a line is a tenth of it.
        chemical.target = Target::OnVehicle(percent(1.5374));
        let planned = super::plan(&lance(), Some(&c), &chemical, Part::Full, &coarse);
        assert!(matches!(planned, Plan::Unmeasurable { .. }), "{planned:?}");
        chemical.band = Some(Band {
            least: percent(1.3),
            most: percent(1.75),
        });
        let planned = super::plan(&lance(), Some(&c), &chemical, Part::Full, &coarse);
        let plan = filled(planned);
        assert_eq!(
            (plan.pour.dose.product.as_ml(), plan.pour.in_band),
            (250.0, InBand::Inside)
        );
        assert!(plan.coarse);
    }

    /// A lance of 600 ml that draws 6 %, for a dose of so many ml, told in its band or without one.
    fn of_dose(ml: f64, band: Option<(f64, f64)>, measures: &[Measure]) -> Plan {
        let sprayer = Sprayer {
            holds: Volume::ml(600.0),
            ..lance()
        };
        let run = Run::dry(
            Volume::ml(600.0),
            Volume::litres(10.0),
            Duration::from_secs(60),
        );
        let calibration = Calibration::of_one(Container::measured(Volume::ml(600.0)), run);
        let wanted = percent(ml / 100.0);
        let mut chemical = chemical(Target::OnVehicle(wanted));
        chemical.band = band.map(|(least, most)| Band {
            least: percent(wanted.as_percent() * least),
            most: percent(wanted.as_percent() * most),
        });
        plan(
            &sprayer,
            Some(&calibration),
            &chemical,
            Part::Full,
            measures,
        )
    }

    #[test]
    fn a_dose_that_nobody_reads_off_the_lines_is_no_figure() {
        let jug = &measures()[1..];
        let wide = Some((0.9, 1.1));
        // 10.2 ml on lines of 10 ml: rounded to 10 it lies inside the band, and is half a line of 50 %.
        for band in [wide, Some((0.2, 3.0)), None] {
            let planned = of_dose(10.2, band, jug);
            assert!(matches!(planned, Plan::Unmeasurable { .. }), "{planned:?}");
        }
        // Half a line of 10 ml is a tenth of 50 ml and a twentieth of 100 ml.
        for (ml, figure, coarse) in [
            (44.0, false, false),
            (50.0, true, true),
            (71.0, true, true),
            (92.0, true, true),
            (101.0, true, false),
            (590.0, true, false),
        ] {
            let planned = of_dose(ml, wide, jug);
            match planned {
                Plan::Fill(plan) => assert_eq!((true, plan.coarse), (figure, coarse), "{ml}"),
                other => assert!(!figure, "{ml}: {other:?}"),
            }
        }
        let plan = filled(of_dose(71.0, wide, jug));
        assert_eq!(
            (plan.finer.clone(), plan.lines_needed_shown()),
            (None, "5 ml".into())
        );
        // A finer measure of the bay takes its place, where it does in a few loads.
        let plan = filled(of_dose(71.0, wide, &measures()));
        assert_eq!(
            (plan.pour.measure.id.as_str(), plan.coarse),
            ("syringe", false)
        );
        // In many it is proposed.
        let drop = Measure {
            id: "drop".into(),
            name: "drop".into(),
            size: Volume::ml(10.0),
            graduation: Volume::ml(0.5),
        };
        let plan = filled(of_dose(71.0, wide, &[drop, measures()[1].clone()]));
        assert_eq!((plan.pour.measure.id.as_str(), plan.coarse), ("jug", true));
        let finer = plan.finer.expect("a finer measure");
        assert_eq!((finer.measure.id.as_str(), finer.loads), ("drop", 8));
    }

    #[test]
    fn a_jug_in_ounces_is_told_in_ounces() {
        let jug = Measure {
            id: "jug".into(),
            name: "quart jug".into(),
            size: Volume::parse("32 US fl oz").expect("a size"),
            graduation: Volume::parse("1 US fl oz").expect("lines"),
        };
        // 355 ml is 12.004 fl oz.
        let plan = filled(of_dose(355.0, None, &[jug]));
        assert_eq!(plan.pour.product_shown(), "12 fl oz");
        assert_eq!(plan.pour.water_shown(), "8.3 fl oz");
        let ml = plan.pour.dose.product.as_ml();
        assert!((ml - 12.0 * 29.573_529_562_5).abs() < 1e-9, "{ml}");
    }

    #[test]
    fn a_label_ratio_depends_on_the_sprayer() {
        let ratio = BottleRatio::parts_water(10.0).expect("a ratio");
        let chemical = chemical(Target::Bottle(ratio));
        let c = calibration();
        let plan = filled(plan(&lance(), Some(&c), &chemical, Part::Full, &measures()));
        assert_eq!(plan.exact.product.as_ml().round(), 75.0);
        assert_eq!(plan.wanted.shown(), "0.51 %");
    }

    #[test]
    fn neat_product_is_never_more_than_the_fill() {
        let c = calibration();
        let strongest = c.draw_fraction().expect("d").reach(Strength::NEAT);
        let chemical = chemical(Target::OnVehicle(strongest));
        let plan = filled(plan(&lance(), Some(&c), &chemical, Part::Full, &measures()));
        assert_eq!(plan.pour.dose.product, Volume::ml(820.0));
        assert_eq!(plan.pour.dose.water.as_ml(), 0.0);
    }

    #[test]
    fn nearly_neat_on_fine_lines_is_no_more_than_the_fill_either() {
        // Above a litre the figure shows tens, so 40 of these lines are one step: 1255 ml would be 1260,
        // and the container takes 1256. No line of ten lies between, so it is neat up to its line.
        let measure = Measure {
            graduation: Volume::ml(0.25),
            ..measures().remove(1)
        };
        let (fill, water) = (Volume::ml(1256.0), Volume::litres(12.56));
        let run = Run::dry(fill, water, Duration::from_secs(60));
        let c = Calibration::of_one(Container::measured(fill), run);
        let plan_of = |ml: f64| {
            let chemical = chemical(Target::OnVehicle(percent(ml / 125.6)));
            let all = [measure.clone()];
            filled(plan(&lance(), Some(&c), &chemical, Part::Full, &all))
        };
        let pour = plan_of(1255.0).pour;
        assert_eq!(pour.dose.product, fill);
        assert_eq!(pour.dose.water.as_ml(), 0.0);
        // Where there is one, it is on that.
        assert_eq!(plan_of(1249.0).pour.dose.product, Volume::ml(1250.0));
    }

    #[test]
    fn what_a_drum_was_said_to_hold_in_an_old_calibration_counts_for_nothing() {
        // An earlier version kept what a run drew as what the drum holds.
        let drum = Sprayer {
            kind: Kind::DrumInjector,
            holds: Volume::litres(18.0),
            ..lance()
        };
        let c = calibration();
        assert_eq!(c.holds, Some(Container::measured(Volume::ml(820.0))));
        assert_eq!(holds(&drum, Some(&c)), Volume::litres(18.0));
        assert_eq!(measured(&drum, &c), None);
        let chemical = chemical(Target::OnVehicle(percent(4.0)));
        let plan = filled(plan(&drum, Some(&c), &chemical, Part::Full, &measures()));
        assert_eq!(plan.fill, Volume::litres(18.0));
    }

    #[test]
    fn a_direct_sprayer_needs_no_calibration() {
        let chemical = chemical(Target::OnVehicle(percent(2.0)));
        let pump = Sprayer {
            kind: Kind::DirectSprayer,
            holds: Volume::litres(5.0),
            ..lance()
        };
        let plan = filled(plan(&pump, None, &chemical, Part::Full, &measures()));
        assert_eq!(plan.pour.dose.product, Volume::ml(100.0));
        assert_eq!(
            super::plan(&lance(), None, &chemical, Part::Full, &measures()),
            Plan::Uncalibrated
        );
    }
}
