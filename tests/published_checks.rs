//! The arithmetic against published figures. The source stands beside each check.

use approx::assert_relative_eq;
use fillcall::trade::calibration::{Container, Run};
use fillcall::trade::chemical::{Chemical, Nature, Order};
use fillcall::trade::dilution::{self, DrawFraction};
use fillcall::trade::fill_plan::{Part, Plan, plan};
use fillcall::trade::first_aid;
use fillcall::trade::hazard::{Hazard, Pictogram, needs_a_medical_plan, pictograms};
use fillcall::trade::individuals;
use fillcall::trade::never_mix::{Reason, never_mix};
use fillcall::trade::protection::Protection;
use fillcall::trade::repeats::{self, Pooled};
use fillcall::trade::timed_check;
use fillcall::trade::uncertainty::{self, rectangular, root_sum_square};
use fillcall::trade::units::{
    BottleRatio, Flow, ML_PER_UK_FL_OZ, ML_PER_UK_GAL, ML_PER_US_FL_OZ, ML_PER_US_GAL, Strength,
    Volume,
};
use fillcall::trade::weighing;
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use rand_distr::{Distribution, Normal};
use std::time::Duration;

mod common;

fn percent(p: f64) -> Strength {
    Strength::percent(p).expect("a strength")
}
fn draw(d: f64) -> DrawFraction {
    DrawFraction::new(d).expect("a draw fraction")
}
fn ratio(n: f64) -> BottleRatio {
    BottleRatio::parts_water(n).expect("a ratio")
}

/// A direct sprayer puts the bottle's own strength on the vehicle: plain dilution.
const DIRECT: DrawFraction = DrawFraction::DIRECT;

#[test]
fn parts_of_water_per_part_of_product() {
    // CDC, Environmental Cleaning in Global Healthcare Settings, Appendix E, Examples 1 and 3.
    for (strong, desired, parts) in [(3.5, 0.5, 6.0), (5.0, 0.1, 49.0)] {
        let n = dilution::parts_water(percent(strong), percent(desired)).expect("weaker");
        assert_relative_eq!(n.water_parts(), parts, max_relative = 1e-12);
    }
}

#[test]
fn ratios_as_parts_and_parts() {
    // WHO 2014, NBK214356, Table G.1: "1:100" meaning 1 + 99 of 5 % gives 0.05 %.
    let landed = dilution::strength_of_ratio(ratio(99.0), DIRECT, percent(5.0)).expect("some");
    assert_relative_eq!(landed.as_percent(), 0.05, max_relative = 1e-12);
    // Same table: product of half the strength needs the double dose, 2 + 98 of 2.5 %.
    let doubled = BottleRatio::parse("2 + 98").expect("a ratio");
    let landed = dilution::strength_of_ratio(doubled, DIRECT, percent(2.5)).expect("some");
    assert_relative_eq!(landed.as_percent(), 0.05, max_relative = 1e-12);
    // University of Maryland Extension FS-1121, 2020: an injector's "1:50" meaning 1 + 49 is 2 %.
    assert_relative_eq!(ratio(49.0).fraction(), 0.02, max_relative = 1e-12);
    // Fishel, J. Chem. Educ. 87(11), 1183, 2010 (abstract): "1:10" is 9.09 % or 10 %, by reader.
    assert_relative_eq!(ratio(10.0).fraction() * 100.0, 9.09, max_relative = 1e-3);
    assert_relative_eq!(ratio(9.0).fraction() * 100.0, 10.0, max_relative = 1e-12);
    assert!(
        BottleRatio::parse("1:10").is_err(),
        "so a bare 1:10 is refused"
    );
}

#[test]
fn two_dilutions_in_series() {
    // CDC Stacks 25805 (the recipe; the result by calculation): 2.6 % at 1 + 4, then 1 + 9. The
    // second stage is what a sprayer does: it draws one part in ten.
    let first = dilution::strength_of_ratio(ratio(4.0), DIRECT, percent(2.6)).expect("some");
    assert_relative_eq!(first.as_percent(), 0.52, max_relative = 1e-12);
    let second = dilution::strength_of_ratio(ratio(4.0), draw(0.1), percent(2.6)).expect("some");
    assert_relative_eq!(second.as_percent(), 0.052, max_relative = 1e-12);
}

#[test]
fn product_and_water_to_a_volume() {
    // Western University hypochlorite guide: 100 ml of 5.25 % and 900 ml of water give 0.525 %.
    let fill = Volume::ml(1000.0);
    let landed = dilution::strength(Volume::ml(100.0), fill, DIRECT, percent(5.25)).expect("some");
    assert_relative_eq!(landed.as_percent(), 0.525, max_relative = 1e-12);
    // Wellesley Biology, C1V1 = C2V2: 5 mL of a quarter of the strength takes 1.25 mL and 3.75 mL.
    let dose = dilution::dose(Volume::ml(5.0), percent(25.0), DIRECT, Strength::NEAT);
    let dose = dose.expect("within reach");
    assert_relative_eq!(dose.product.as_ml(), 1.25, max_relative = 1e-12);
    assert_relative_eq!(dose.water.as_ml(), 3.75, max_relative = 1e-12);
    // Alligation, the mixture rule (by calculation): 70 % and 0 % to 1000 mL of 25 %.
    let dose = dilution::dose(fill, percent(25.0), DIRECT, percent(70.0)).expect("within reach");
    assert_relative_eq!(dose.product.as_ml(), 357.1, epsilon = 0.05);
    assert_relative_eq!(dose.water.as_ml(), 642.9, epsilon = 0.05);
}

#[test]
fn units_are_exact() {
    // NIST Handbook 44 Appendix C; Weights and Measures Act 1985.
    assert_eq!(ML_PER_US_GAL, 3785.411784);
    assert_eq!(ML_PER_US_FL_OZ, 29.5735295625);
    assert_eq!(ML_PER_UK_GAL, 4546.09);
    assert_eq!(ML_PER_UK_FL_OZ, 28.4130625);
    assert_relative_eq!(ML_PER_US_FL_OZ * 128.0, ML_PER_US_GAL, max_relative = 1e-15);
    assert_relative_eq!(ML_PER_UK_FL_OZ * 160.0, ML_PER_UK_GAL, max_relative = 1e-15);
    assert_relative_eq!(
        ML_PER_UK_GAL / ML_PER_US_GAL,
        1.200949926,
        max_relative = 1e-9
    );
}

#[test]
fn flow_from_a_timed_catch() {
    // Oklahoma State turf sprayer sheet: 101 oz caught in a minute is 0.789 gpm.
    let run = Run::dry(
        Volume::ml(1.0),
        Volume::parse("101 US fl oz").expect("a volume"),
        Duration::from_secs(60),
    );
    let gallons = run.flows().expect("flows").total.as_l_per_min() * 1000.0 / ML_PER_US_GAL;
    assert_relative_eq!(gallons, 0.789, epsilon = 0.0005);
    assert_relative_eq!(
        Flow::ml_per_s(1000.0).as_l_per_min(),
        60.0,
        max_relative = 1e-12
    );
}

#[test]
fn uncertainty_of_a_reading_and_of_a_quotient() {
    // Eurachem QUAM, Appendix E.1: rectangular, half-width 1.5, gives 0.87.
    assert_relative_eq!(rectangular(1.5), 0.87, epsilon = 0.005);
    // JCGM 100 F.2.2.1 (clause from memory, value by calculation): a resolution of 10 gives 2.887.
    let reading = uncertainty::readings(Volume::ml(10.0), 1);
    assert_relative_eq!(reading.as_ml(), 2.887, epsilon = 0.0005);
    // Several jug loads add as squares: four loads are twice one.
    let four = uncertainty::readings(Volume::ml(10.0), 4);
    assert_relative_eq!(four / reading, 2.0, max_relative = 1e-12);
    // GTC documentation, MSL New Zealand: V = 0.1(0.001), I = 0.015(0.0005), R = 6.67(0.23).
    let relative = root_sum_square(&[0.001 / 0.1, 0.0005 / 0.015]);
    assert_relative_eq!(0.1 / 0.015 * relative, 0.23, epsilon = 0.005);
}

#[test]
fn the_trades_own_examples() {
    // Common practice, no source.
    for (holds, catch, dose) in [(975.0, 17_300.0, 692.0), (940.0, 9_200.0, 368.0)] {
        let d = draw(holds / catch);
        let poured = dilution::dose(Volume::ml(holds), percent(4.0), d, Strength::NEAT);
        assert_relative_eq!(
            poured.expect("within reach").product.as_ml(),
            dose,
            epsilon = 0.5
        );
    }
    let bottle = ratio(10.0).fraction() * 1000.0;
    assert!(
        (85.0..95.0).contains(&bottle),
        "1 + 10 in a litre is about 90 ml: {bottle}"
    );
    assert!(
        (905.0..915.0).contains(&(1000.0 - bottle)),
        "and 910 ml of water"
    );
    let landed = |holds: f64, catch: f64| {
        let d = draw(holds / catch);
        dilution::strength_of_ratio(ratio(10.0), d, Strength::NEAT)
            .expect("some")
            .as_fraction()
    };
    let second = landed(940.0, 9_200.0) / landed(975.0, 17_300.0);
    assert!(
        (1.8..2.0).contains(&second),
        "a little under twice as strong: {second}"
    );
}

#[test]
fn the_screens_plan_is_the_same_arithmetic() {
    // Common practice, no source: 692 ml for 4 %, poured as 690 ml with a 10 ml jug.
    let setup = common::setup(fillcall::bay::setup::Profile::Seven800);
    let calibration = fillcall::trade::calibration::Calibration::of_one(
        Container::measured(Volume::ml(975.0)),
        Run::dry(
            Volume::ml(975.0),
            Volume::litres(17.3),
            Duration::from_secs(104),
        ),
    );
    let (sprayer, chemical) = (&setup.sprayers[0], &setup.chemicals[0]);
    let planned = plan(
        sprayer,
        Some(&calibration),
        chemical,
        Part::Full,
        &setup.measures,
    );
    let Plan::Fill(planned) = planned else {
        panic!("{planned:?}")
    };
    assert_relative_eq!(planned.exact.product.as_ml(), 692.0, epsilon = 0.5);
    assert_eq!(planned.pour.dose.product, Volume::ml(690.0));
    assert_relative_eq!(planned.pour.strength.as_percent(), 3.988, epsilon = 0.001);
}

#[test]
fn water_by_temperature() {
    // IAPWS-95 at 101.325 kPa, by calculation.
    for (celsius, density) in [
        (5.0, 999.9666),
        (10.0, 999.7025),
        (15.0, 999.1026),
        (20.0, 998.2072),
        (25.0, 997.0476),
        (30.0, 995.6495),
        (40.0, 992.2164),
        (42.5, 991.2371),
        (45.0, 990.2129),
        (50.0, 988.0350),
        (55.0, 985.6931),
        (60.0, 983.1958),
    ] {
        let ours = weighing::density(celsius).expect("in range");
        assert_relative_eq!(ours, density, epsilon = 0.01);
    }
    // Z factors in the manner of ISO 8655, 1013 hPa (from a mirrored table).
    for (celsius, factor) in [
        (15.0, 1.0020),
        (20.0, 1.0029),
        (25.0, 1.0040),
        (30.0, 1.0054),
    ] {
        let ours = weighing::ml_per_gram(celsius).expect("in range");
        assert_relative_eq!(ours, factor, epsilon = 0.0001);
    }
}

#[test]
fn students_t() {
    // NIST TN 1297, Table B.1: 95 %, two-sided.
    for (degrees, t) in [(1, 12.71), (2, 4.30), (3, 3.18), (4, 2.78), (9, 2.26)] {
        let ours = individuals::student_95(degrees).expect("a degree of freedom");
        assert_relative_eq!(ours, t, epsilon = 0.005);
    }
    let many = individuals::student_95(u32::MAX).expect("many");
    assert_relative_eq!(many, 1.96, epsilon = 0.00005);
}

#[test]
fn the_repeatability_limit() {
    // ISO 5725-6 (from a secondary text): two runs differ by more than 2.8 times the scatter of one in
    // one case of twenty (1.96·√2 = 2.772, rounded there), where the scatter is surely known. Above it
    // both are named, below it none.
    let known = Pooled {
        relative: uncertainty::PRIOR_SCATTER,
        degrees_of_freedom: 1_000_000,
        runs: 2_000_000,
    };
    let scatter = repeats::scatter(uncertainty::PRIOR_SCATTER, Some(known));
    for (apart, differ) in [(2.75, 0), (2.85, 2)] {
        let half = apart * scatter.relative / 2.0;
        let runs = [draw(0.06 * (1.0 - half)), draw(0.06 * (1.0 + half))];
        let odd = repeats::odd(&runs, scatter).expect("two runs");
        assert_eq!(odd.map_or(0, |odd| odd.runs.len()), differ, "{apart}");
    }
    // And by drawing normal runs, which knows nothing of that factor.
    let mut random = ChaCha8Rng::seed_from_u64(5725);
    let run = Normal::new(0.06, 0.06 * scatter.relative).expect("a distribution");
    let pairs = 40_000;
    let flagged = (0..pairs)
        .filter(|_| {
            let runs = [0; 2].map(|_| draw(run.sample(&mut random)));
            repeats::odd(&runs, scatter).expect("two runs").is_some()
        })
        .count();
    let part = flagged as f64 / f64::from(pairs);
    assert!((0.044..0.051).contains(&part), "{part}");
}

#[test]
fn an_individuals_chart() {
    // NIST/SEMATECH e-Handbook: the last ten of the twenty readings of 6.3.2.4, charted by the rule of
    // 6.3.2.2 (the result from a secondary text).
    let points = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
    let limits = individuals::limits(&points).expect("ten points");
    assert_relative_eq!(limits.mean, 50.81, epsilon = 0.00005);
    assert_relative_eq!(limits.mean_moving_range, 1.8778, epsilon = 0.00005);
    assert_relative_eq!(limits.lower, 45.8159, epsilon = 0.00005);
    assert_relative_eq!(limits.upper, 55.8041, epsilon = 0.00005);
    assert!(individuals::outside(&points).is_empty());
}

#[test]
fn the_band_of_a_timed_check() {
    // By calculation: one run against a mean of three at 2 % sees ±4.5 %.
    let scatter = uncertainty::PRIOR_SCATTER;
    let band = timed_check::band(scatter, 3);
    assert_relative_eq!(band, 0.045, epsilon = 0.0005);
    // Drawn from normal flows: without a change 19 of 20 checks are fine, and a change of 10 % is seen
    // in 98 of 100. Whatever the limit: that only says what is to be done about a change.
    let mut random = ChaCha8Rng::seed_from_u64(2017);
    let flow = Normal::new(1.0, scatter).expect("a distribution");
    let mut fine_at = |change: f64| {
        let times = 40_000;
        let fine = (0..times)
            .filter(|_| {
                let calibrated: f64 = (0..3).map(|_| flow.sample(&mut random)).sum();
                let now = (1.0 + change) * flow.sample(&mut random);
                let time = |flow: f64| Duration::from_secs_f64(100.0 / flow);
                let checked =
                    timed_check::check(time(calibrated / 3.0), time(now), scatter, 3, 1.0);
                checked.expect("times").verdict == timed_check::Verdict::Fine
            })
            .count();
        fine as f64 / f64::from(times)
    };
    let unchanged = fine_at(0.0);
    assert!((0.94..0.96).contains(&unchanged), "{unchanged}");
    for change in [-0.1, 0.1] {
        let missed = fine_at(change);
        assert!(missed < 0.02, "{change}: {missed}");
    }
}

#[test]
fn the_limit_of_a_timed_check() {
    // ONfloriculture 2017: an injector that is off by more than 5 % is to be repaired. What one run
    // cannot see is no change at all, whatever the limit.
    let of = |change, band| timed_check::Verdict::of(change, band, 0.05);
    for sign in [-1.0, 1.0] {
        assert_eq!(of(sign * 0.049, 0.045), timed_check::Verdict::Watch);
        assert_eq!(of(sign * 0.051, 0.045), timed_check::Verdict::Recalibrate);
        assert_eq!(of(sign * 0.051, 0.055), timed_check::Verdict::Fine);
    }
}

/// A statement with what is published of it.
type Published = (
    Hazard,
    &'static str,
    &'static str,
    &'static str,
    Option<Pictogram>,
);

const HAZARDS: [Published; 23] = [
    // English: UN GHS, Annex 3, section 1 (from secondary texts). Spanish: CLP Regulation, Annex III,
    // Spanish edition (H290, H314, H315, H318, H319, H335 and EUH031 from memory and a secondary text,
    // all others from a secondary text). Symbols: UN GHS, Annex 1 (from memory): GHS05 corrosion, GHS06
    // skull, GHS07 exclamation mark, GHS08 health, GHS09 environment.
    (
        Hazard::H290,
        "H290",
        "May be corrosive to metals.",
        "Puede ser corrosivo para los metales.",
        Some(Pictogram::Corrosion),
    ),
    (
        Hazard::H300,
        "H300",
        "Fatal if swallowed.",
        "Mortal en caso de ingestión.",
        Some(Pictogram::Skull),
    ),
    (
        Hazard::H301,
        "H301",
        "Toxic if swallowed.",
        "Tóxico en caso de ingestión.",
        Some(Pictogram::Skull),
    ),
    (
        Hazard::H302,
        "H302",
        "Harmful if swallowed.",
        "Nocivo en caso de ingestión.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H310,
        "H310",
        "Fatal in contact with skin.",
        "Mortal en contacto con la piel.",
        Some(Pictogram::Skull),
    ),
    (
        Hazard::H311,
        "H311",
        "Toxic in contact with skin.",
        "Tóxico en contacto con la piel.",
        Some(Pictogram::Skull),
    ),
    (
        Hazard::H312,
        "H312",
        "Harmful in contact with skin.",
        "Nocivo en contacto con la piel.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H314,
        "H314",
        "Causes severe skin burns and eye damage.",
        "Provoca quemaduras graves en la piel y lesiones oculares graves.",
        Some(Pictogram::Corrosion),
    ),
    (
        Hazard::H315,
        "H315",
        "Causes skin irritation.",
        "Provoca irritación cutánea.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H317,
        "H317",
        "May cause an allergic skin reaction.",
        "Puede provocar una reacción alérgica en la piel.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H318,
        "H318",
        "Causes serious eye damage.",
        "Provoca lesiones oculares graves.",
        Some(Pictogram::Corrosion),
    ),
    (
        Hazard::H319,
        "H319",
        "Causes serious eye irritation.",
        "Provoca irritación ocular grave.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H330,
        "H330",
        "Fatal if inhaled.",
        "Mortal en caso de inhalación.",
        Some(Pictogram::Skull),
    ),
    (
        Hazard::H331,
        "H331",
        "Toxic if inhaled.",
        "Tóxico en caso de inhalación.",
        Some(Pictogram::Skull),
    ),
    (
        Hazard::H332,
        "H332",
        "Harmful if inhaled.",
        "Nocivo en caso de inhalación.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H334,
        "H334",
        "May cause allergy or asthma symptoms or breathing difficulties if inhaled.",
        "Puede provocar síntomas de alergia o asma o dificultades respiratorias en caso de inhalación.",
        Some(Pictogram::Health),
    ),
    (
        Hazard::H335,
        "H335",
        "May cause respiratory irritation.",
        "Puede irritar las vías respiratorias.",
        Some(Pictogram::Exclamation),
    ),
    (
        Hazard::H400,
        "H400",
        "Very toxic to aquatic life.",
        "Muy tóxico para los organismos acuáticos.",
        Some(Pictogram::Environment),
    ),
    (
        Hazard::H410,
        "H410",
        "Very toxic to aquatic life with long lasting effects.",
        "Muy tóxico para los organismos acuáticos, con efectos nocivos duraderos.",
        Some(Pictogram::Environment),
    ),
    (
        Hazard::H411,
        "H411",
        "Toxic to aquatic life with long lasting effects.",
        "Tóxico para los organismos acuáticos, con efectos nocivos duraderos.",
        Some(Pictogram::Environment),
    ),
    (
        Hazard::H412,
        "H412",
        "Harmful to aquatic life with long lasting effects.",
        "Nocivo para los organismos acuáticos, con efectos nocivos duraderos.",
        None,
    ),
    // CLP Regulation, Annex II, 1.2.2 and 1.2.3 (from secondary texts): supplemental statements, which
    // have no symbol.
    (
        Hazard::Euh031,
        "EUH031",
        "Contact with acids liberates toxic gas.",
        "En contacto con ácidos libera gases tóxicos.",
        None,
    ),
    (
        Hazard::Euh032,
        "EUH032",
        "Contact with acids liberates very toxic gas.",
        "En contacto con ácidos libera gases muy tóxicos.",
        None,
    ),
];

#[test]
fn hazard_statements_have_their_published_words_and_symbols() {
    let list = rspolib::pofile(include_str!("../ui/lang/es/LC_MESSAGES/fillcall-ui.po"));
    let list = list.expect("the Spanish list").entries;
    assert_eq!(HAZARDS.map(|(hazard, ..)| hazard), Hazard::ALL);
    for (hazard, code, english, spanish, symbol) in HAZARDS {
        assert_eq!(Hazard::from_code(code), Some(hazard));
        assert_eq!(hazard.statement(), english, "{code}");
        let entry = list.iter().find(|entry| entry.msgid == english);
        let translated = entry.and_then(|entry| entry.msgstr.as_deref());
        assert_eq!(translated, Some(spanish), "{code}");
        assert_eq!(hazard.pictogram(), symbol, "{code}");
        assert_eq!(
            pictograms(&[hazard]),
            symbol.into_iter().collect::<Vec<_>>()
        );
    }
    // CLP Regulation, Article 26(1)(c) (from memory): with corrosion there is no exclamation mark for
    // skin or eye irritation. For the airways it stays.
    let both = [Pictogram::Corrosion, Pictogram::Exclamation];
    for (other, symbols) in [
        (Hazard::H315, &both[..1]),
        (Hazard::H319, &both[..1]),
        (Hazard::H335, &both[..]),
    ] {
        assert_eq!(pictograms(&[Hazard::H314, other]), symbols, "{other:?}");
    }
}

#[test]
fn graver_symbols_take_the_place_of_the_exclamation_mark() {
    // CLP Regulation, Article 26(1)(b) and (d) (from memory): the skull takes its place for all, the
    // health symbol of an allergy of the airways for skin and eyes.
    for (hazards, symbols) in [
        (
            [Hazard::H301, Hazard::H302, Hazard::H335],
            &[Pictogram::Skull][..],
        ),
        (
            [Hazard::H334, Hazard::H317, Hazard::H319],
            &[Pictogram::Health],
        ),
        (
            [Hazard::H334, Hazard::H302, Hazard::H315],
            &[Pictogram::Health, Pictogram::Exclamation],
        ),
    ] {
        assert_eq!(pictograms(&hazards), symbols, "{hazards:?}");
    }
}

#[test]
fn what_is_put_on() {
    // P280 and P284 with their conditions for use: UN GHS, Annex 3, sections 2 and 3; CLP Regulation,
    // Annex IV (from memory). P280 for skin corrosion: gloves, clothing, eyes and face; for skin
    // irritation and allergy: gloves; for eyes: eye protection; for poisons through the skin: gloves and
    // clothing. P284 for H330 and H334.
    use Protection::{Apron, FaceShield, Gloves, Goggles, Respirator};
    for (hazard, asked) in [
        (Hazard::H314, &[Gloves, Goggles, FaceShield, Apron][..]),
        (Hazard::H315, &[Gloves]),
        (Hazard::H317, &[Gloves]),
        (Hazard::H318, &[Goggles]),
        (Hazard::H319, &[Goggles]),
        (Hazard::H310, &[Gloves, Apron]),
        (Hazard::H311, &[Gloves, Apron]),
        (Hazard::H312, &[Gloves, Apron]),
        (Hazard::H330, &[Respirator]),
        (Hazard::H334, &[Respirator]),
        (Hazard::H331, &[]),
        (Hazard::H290, &[]),
        (Hazard::H412, &[]),
    ] {
        let by_table: Vec<Protection> = Protection::ALL
            .into_iter()
            .filter(|of| of.asked_by().contains(&hazard))
            .collect();
        assert_eq!(by_table, asked, "{hazard:?}");
    }
}

#[test]
fn first_aid_is_in_the_words_of_the_label() {
    // P305+P351+P338 and P303+P361+P353 (UN GHS, Annex 3, section 2; Spanish: CLP Regulation, Annex IV;
    // both read in secondary texts).
    let list = rspolib::pofile(include_str!("../ui/lang/es/LC_MESSAGES/fillcall-ui.po"));
    let list = list.expect("the Spanish list").entries;
    for (text, english, spanish) in [
        (
            first_aid::eyes(),
            "IF IN EYES: Rinse cautiously with water for several minutes. Remove contact lenses, if \
             present and easy to do. Continue rinsing.",
            "EN CASO DE CONTACTO CON LOS OJOS: Aclarar cuidadosamente con agua durante varios minutos. \
             Quitar las lentes de contacto, si lleva y resulta fácil. Seguir aclarando.",
        ),
        (
            first_aid::skin(),
            "IF ON SKIN (or hair): Take off immediately all contaminated clothing. Rinse skin with water \
             or shower.",
            "EN CASO DE CONTACTO CON LA PIEL (o el pelo): Quitar inmediatamente todas las prendas \
             contaminadas. Aclararse la piel con agua o ducharse.",
        ),
    ] {
        assert_eq!(text, english);
        let entry = list.iter().find(|entry| entry.msgid == english);
        assert_eq!(entry.and_then(|e| e.msgstr.as_deref()), Some(spanish));
    }
}

#[test]
fn what_can_kill() {
    // MMWR 64(32):874, 2015: one dead and 48 burnt by products with hydrofluoric acid in car and truck
    // washing. Its classification (CLP Regulation, Annex VI, from memory): H300, H310, H330, H314.
    assert!(needs_a_medical_plan(&[
        Hazard::H300,
        Hazard::H310,
        Hazard::H330,
        Hazard::H314
    ]));
    // Ammonium bifluoride (likewise): H301, H314.
    assert!(needs_a_medical_plan(&[Hazard::H301, Hazard::H314]));
    // A usual acid: H290, H314, H335.
    assert!(!needs_a_medical_plan(&[
        Hazard::H290,
        Hazard::H314,
        Hazard::H335
    ]));
}

#[test]
fn which_is_poured_first() {
    // "Acid into water, never the reverse": McMaster University, EHS manual.
    let of = |nature, order| Chemical {
        nature,
        order,
        ..common::setup(fillcall::bay::setup::Profile::Seven800).chemicals[0].clone()
    };
    for nature in Nature::ALL {
        let is_acid = nature == Nature::Acid;
        assert_eq!(of(nature, None).is_water_first(), is_acid, "{nature:?}");
        // The product's own label wins.
        assert!(of(nature, Some(Order::WaterFirst)).is_water_first());
        assert!(!of(nature, Some(Order::ProductFirst)).is_water_first());
    }
}

#[test]
fn what_must_never_meet() {
    let of = |nature, hazards: &[Hazard]| Chemical {
        id: format!("{nature:?} {hazards:?}"),
        nature,
        hazards: hazards.to_vec(),
        ..common::setup(fillcall::bay::setup::Profile::Seven800).chemicals[0].clone()
    };
    let met = |a: &Chemical, b: &Chemical| {
        assert_eq!(never_mix(a, b), never_mix(b, a), "whichever comes first");
        never_mix(a, b)
    };
    // CDC MMWR 00015111: bleach with a cleaner of 4 % phosphoric acid released chlorine.
    let acid = of(Nature::Acid, &[Hazard::H314]);
    let bleach = of(Nature::Hypochlorite, &[Hazard::H314]);
    assert_eq!(met(&acid, &bleach), Some(Reason::Chlorine));
    assert_eq!(
        Reason::Chlorine.words(),
        "Acid and hypochlorite make chlorine gas."
    );
    // CLP Regulation, Annex II, 1.2.2 (from a secondary text): EUH031 is for what gives off toxic gas
    // with acids, whatever else it is.
    for nature in [Nature::Other, Nature::Alkali] {
        let marked = of(nature, &[Hazard::Euh031]);
        assert_eq!(met(&acid, &marked), Some(Reason::ToxicGas), "{nature:?}");
        assert_eq!(met(&bleach, &marked), None, "{nature:?}");
    }
    // EUH032 (CLP Regulation, Annex II, 1.2.3, from a secondary text): very toxic gas with acids.
    let marked = of(Nature::Other, &[Hazard::Euh032]);
    assert_eq!(met(&acid, &marked), Some(Reason::VeryToxicGas));
    // Hypochlorite with ammonia: chloramine gases (New Jersey Department of Health, Hazardous Substance
    // Fact Sheet 1707, from memory); with amines: chloramines, which may explode (CAMEO Chemicals, NOAA,
    // from a secondary text); with alcohol: chloroform (from secondary texts); with peroxide: oxygen and
    // heat at once (from memory).
    for (nature, reason) in [
        (Nature::Ammonia, Reason::Chloramine),
        (Nature::Amine, Reason::Amine),
        (Nature::Alcohol, Reason::Alcohol),
        (Nature::Peroxide, Reason::Peroxide),
    ] {
        assert_eq!(met(&bleach, &of(nature, &[])), Some(reason), "{nature:?}");
        assert_eq!(met(&acid, &of(nature, &[])), None, "{nature:?}");
    }
    // What is published of neither is not claimed.
    assert_eq!(met(&acid, &of(Nature::Alkali, &[Hazard::H314])), None);
    assert_eq!(met(&bleach, &of(Nature::Alkali, &[Hazard::H290])), None);
}
