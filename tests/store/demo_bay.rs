//! The demonstration bay that ships with the program.

use fillcall::bay::records::{CalibrationRecord, Milestone, Past, Records};
use fillcall::bay::setup::{EntryUnits, Setup};
use fillcall::sound::voice::Pack;
use fillcall::store::records::{SqliteRecords, history_of, past_of};
use fillcall::store::{backup, records_path, setup_file, setup_path};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::chemical::Target;
use fillcall::trade::dilution::dose;
use fillcall::trade::fill_plan::{FillPlan, InBand, Part, Plan, plan};
use fillcall::trade::language::Language;
use fillcall::trade::measure::Measure;
use fillcall::trade::reminder::{Age, Standing, VoidCause};
use fillcall::trade::sprayer::Kind;
use fillcall::trade::timed_check::{self, Verdict, emptying_time};
use std::path::PathBuf;

fn demo() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay")
}

fn setup() -> Setup {
    setup_file::read_bay(&demo()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

#[test]
fn its_set_up_says_what_it_is_and_shows_every_case() {
    let setup = setup();
    assert!(setup.demo && setup.name.contains("DEMONSTRATION"));
    let kinds = |kind| setup.sprayers.iter().filter(|s| s.kind == kind).count();
    assert_eq!(
        (
            kinds(Kind::FoamLance),
            kinds(Kind::DrumInjector),
            kinds(Kind::DirectSprayer)
        ),
        (2, 1, 1)
    );
    assert!(
        setup
            .chemicals
            .iter()
            .any(|c| matches!(c.target, Target::Bottle(_)))
    );
    assert!(setup.chemicals.iter().all(|c| c.cautions.len() >= 2));
    let steps: Vec<f64> = setup
        .measures
        .iter()
        .map(|m| m.graduation.as_ml())
        .collect();
    assert_eq!(steps, [1.0, 5.0, 10.0]);
    assert_eq!(setup.balance_step_kg, Some(0.01));
    assert_eq!(setup.check_limit, 0.05);
    assert_eq!(setup.entry_units, EntryUnits::Metric);
    for sprayer in &setup.sprayers {
        for language in Language::ALL {
            let named = Announcement::uncalibrated(sprayer);
            let unspoken = named.speech(&Pack::of(language).lexicon).unspoken;
            assert!(unspoken.is_empty(), "{language:?}: {unspoken:?}");
        }
    }
}

/// A full fill of one sprayer with one chemical, with these measures.
fn planned(setup: &Setup, past: &Past, of: (&str, &str), measures: &[Measure]) -> Plan {
    let sprayer = setup.sprayer(of.0).expect("in the set-up");
    let chemical = setup.chemical(of.1).expect("in the set-up");
    let calibration = past.sprayers.get(of.0).and_then(|s| s.calibration.as_ref());
    let calibration = calibration.map(|record| &record.calibration);
    plan(sprayer, calibration, chemical, Part::Full, measures)
}

fn filled(plan: Plan) -> FillPlan {
    match plan {
        Plan::Fill(plan) => *plan,
        other => panic!("{other:?}"),
    }
}

#[test]
fn its_doses_round_up_and_down_and_one_needs_a_finer_measure() {
    let dir = tempfile::tempdir().expect("folder");
    let bay = dir.path().join("bay");
    backup::restore(&bay, &demo().join("history.toml"), false).expect("restored");
    let (setup, past) = (setup(), past_of(&records_path(&bay)).expect("past"));
    let full = |sprayer, chemical| {
        let of = (sprayer, chemical);
        let plan = filled(planned(&setup, &past, of, &setup.measures));
        assert_eq!((plan.pour.in_band, plan.finer), (InBand::Inside, None));
        (plan.exact.product.as_ml(), plan.pour)
    };
    let (exact, poured) = full("lance-1", "traffic-film");
    assert!(exact < 590.0 && poured.dose.product.as_ml() == 590.0);
    assert_eq!(poured.dose.water.as_ml(), 230.0);
    assert_eq!(poured.strength.shown(), "4.01 %");
    let (exact, poured) = full("lance-2", "traffic-film");
    assert!(exact > 410.0 && poured.dose.product.as_ml() == 410.0);
    assert_eq!(poured.dose.water.as_ml(), 650.0);
    assert_eq!(poured.strength.shown(), "3.98 %");
    // 2 % of 650 ml, of a product of half the strength: 26 ml, in the syringe. On the jug's lines 30
    // would land at 2.3 % and 20 at 1.5 %, both outside of the band.
    let of = ("wheel-sprayer", "wheel-acid");
    let (exact, poured) = full(of.0, of.1);
    assert!((exact - 26.0).abs() < 1e-9);
    assert_eq!(poured.measure.id, "syringe-60");
    assert_eq!(poured.dose.product.as_ml(), 26.0);
    let jug = &setup.measures[2..];
    assert_eq!(jug[0].id, "jug-1l");
    let alone = planned(&setup, &past, of, jug);
    assert!(matches!(alone, Plan::Unmeasurable { .. }), "{alone:?}");
}

#[test]
fn its_history_is_of_that_set_up_and_restores() {
    let dir = tempfile::tempdir().expect("folder");
    let bay = dir.path().join("bay");
    let history = demo().join("history.toml");
    let done = backup::restore(&bay, &history, false).unwrap_or_else(|fault| panic!("{fault}"));
    let read = |path| std::fs::read_to_string(path).expect("text");
    assert_eq!(
        read(setup_path(&bay)),
        read(setup_path(&demo())),
        "the two texts differ"
    );
    assert_eq!(done.records.calibrations, 11);

    let past = past_of(&records_path(&bay)).expect("past");
    assert_eq!(past.last_sprayer.as_deref(), Some("lance-1"));
    let setup = setup();
    let standing = |id: &str| {
        let of = &past.sprayers[id];
        let age = of.calibration.as_ref().map(|_| Age {
            washes: of.washes_since,
            days: None,
        });
        Standing::of(age, of.void, &setup.limits)
    };
    assert_eq!(standing("lance-1"), Standing::Good);
    assert_eq!(standing("lance-2"), Standing::Due);
    assert_eq!(standing("drum"), Standing::Void(VoidCause::Nozzle));

    // The two bottles for 4 % on the vehicle: 0.04 times what a run catches.
    let draw = |id: &str| {
        let calibration = past.sprayers[id].calibration.as_ref().expect("calibrated");
        assert!(
            calibration
                .calibration
                .doubts(setup.sprayer(id).expect("in the set-up").holds, None)
                .is_empty()
        );
        calibration
            .calibration
            .draw_fraction()
            .expect("a draw fraction")
    };
    let of = |sprayer: &str, chemical: &str| {
        let chemical = setup.chemical(chemical).expect("in the set-up");
        let Target::OnVehicle(wanted) = chemical.target else {
            panic!("on the vehicle")
        };
        let holds = setup.sprayer(sprayer).expect("in the set-up").holds;
        dose(holds, wanted, draw(sprayer), chemical.product_strength).map(|d| d.product)
    };
    let first = of("lance-1", "traffic-film").expect("within reach");
    assert_eq!(first.as_ml().round(), 588.0);
    assert_eq!(
        of("lance-2", "traffic-film")
            .expect("within reach")
            .as_ml()
            .round(),
        412.0
    );
    assert!(of("lance-1", "heavy-film").is_err() && of("lance-2", "heavy-film").is_ok());
    // Enough for a picture over time, with the change of a nozzle in the midst of it.
    let history = history_of(&records_path(&bay), "lance-1").expect("history");
    let points: Vec<&CalibrationRecord> = history
        .iter()
        .filter_map(|milestone| match milestone {
            Milestone::Calibrated { record, .. } => Some(record.as_ref()),
            Milestone::Changed { .. } | Milestone::BroughtBack { .. } => None,
        })
        .collect();
    assert!(points.len() >= 8, "{} points", points.len());
    assert!(points.is_sorted_by_key(|record| record.taken));
    let nozzle = |m: &Milestone| {
        matches!(
            m,
            Milestone::Changed {
                what: VoidCause::Nozzle,
                ..
            }
        )
    };
    assert_eq!(history.iter().position(nozzle), Some(5));
    for record in &points {
        assert_eq!(
            record
                .calibration
                .doubts(record.calibration.holds.expect("measured").holds(), None),
            []
        );
    }
    // The newest one stands on three runs, of which the first is the one that all know.
    let newest = &points[points.len() - 1].calibration;
    assert_eq!((newest.count(), past.repeats.len()), (3, 1));
    assert_eq!(newest.run.catch.as_ml(), 14_700.0);
    assert_eq!(newest.run.time.as_millis(), 78_800);
    let of_all = newest.draw_fraction().expect("a mean").as_fraction();
    assert!((of_all / (820.0 / 14_700.0) - 1.0).abs() < 0.002);
    // A check with clean water since, against what its three runs say, and it is fine.
    let check = past.sprayers["lance-1"].check.as_ref().expect("checked");
    let flows = newest.flows().expect("flows");
    let calibrated =
        emptying_time(newest.holds.expect("measured").holds(), flows.draw).expect("a time");
    assert_eq!(calibrated.as_millis(), check.calibrated.as_millis());
    let judged = timed_check::check(check.calibrated, check.time, 0.02, 3, setup.check_limit);
    assert_eq!(judged.expect("judged").verdict, Verdict::Fine);
    assert_eq!(check.mix, None);
    assert!(check.at > points[points.len() - 1].taken);
    // It opens for writing, and goes on.
    let mut records = SqliteRecords::open(&records_path(&bay)).expect("open");
    assert_eq!(records.past().expect("past"), past);
}
