//! The demonstration bay that ships with the program.

use fillcall::bay::records::Records;
use fillcall::bay::setup::Setup;
use fillcall::store::records::{SqliteRecords, past_of};
use fillcall::store::{backup, records_path, setup_file, setup_path};
use fillcall::trade::chemical::Target;
use fillcall::trade::dilution::dose;
use fillcall::trade::reminder::{Age, Standing, VoidCause};
use fillcall::trade::sprayer::Kind;
use fillcall::trade::words;
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
    for sprayer in &setup.sprayers {
        for word in sprayer.spoken.split_whitespace() {
            assert!(
                words::known(word),
                "{word} of {} has no clip",
                sprayer.spoken
            );
        }
    }
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
    assert_eq!(done.records.calibrations, 4);

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

    // Common practice, no source: the two bottles for 4 % on the vehicle.
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
    assert_eq!(first.as_ml().round(), 692.0);
    assert_eq!(
        of("lance-2", "traffic-film")
            .expect("within reach")
            .as_ml()
            .round(),
        368.0
    );
    assert!(of("lance-1", "heavy-film").is_err() && of("lance-2", "heavy-film").is_ok());
    // It opens for writing, and goes on.
    let mut records = SqliteRecords::open(&records_path(&bay)).expect("open");
    assert_eq!(records.past().expect("past"), past);
}
