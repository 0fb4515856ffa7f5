//! Ways to run, timed checks and corrections: what is kept, how long it stands, what is refused.

use crate::records::{at, bay, begun, calibrated, load, open, run};
use fillcall::bay::records::{
    CalibrationRecord, CheckRecord, Draft, Happening, Load, Past, Records, SprayerPast, Step,
};
use fillcall::store::records::{SqliteRecords, past_of};
use fillcall::trade::calibration::{Calibration, Container, Read, Run, Way};
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::units::Volume;
use fillcall::trade::weighing::{Weighed, Weights};
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Duration;

const NOON: &str = "2026-03-02T12:00:00Z";

fn keep(records: &mut SqliteRecords, happening: &Happening) {
    records.keep(at(NOON), happening).expect("kept");
}

/// After restarting: what is known of lance 1.
fn lance(path: &Path) -> SprayerPast {
    let past = past_of(path).expect("past");
    assert_eq!(open(path).past().expect("past"), past);
    past.sprayers.get("lance-1").cloned().unwrap_or_default()
}

/// A check of lance 1 that took so long.
fn check(mix: Option<&str>, seconds: f64) -> Happening {
    Happening::Checked(CheckRecord {
        sprayer: "lance-1".into(),
        mix: mix.map(str::to_owned),
        time: Duration::from_secs_f64(seconds),
        calibrated: Duration::from_millis(104_200),
        at: at("2026-03-02T11:58:00Z"),
    })
}

fn correct(sprayer: &str, chemical: &str, factor: impl Into<Option<f64>>) -> Happening {
    Happening::Corrected {
        sprayer: sprayer.into(),
        chemical: chemical.into(),
        factor: factor.into(),
    }
}

fn change(sprayer: &str) -> Happening {
    Happening::Changed {
        sprayer: sprayer.into(),
        what: VoidCause::Supply,
    }
}

/// The same calibration, of lance 2.
fn of_lance_2(happening: Happening) -> Happening {
    match happening {
        Happening::Calibrated(record) => Happening::Calibrated(CalibrationRecord {
            sprayer: "lance-2".into(),
            ..record
        }),
        other => other,
    }
}

fn seconds(of: &SprayerPast) -> Option<f64> {
    of.check.as_ref().map(|check| check.time.as_secs_f64())
}

fn factors(of: &SprayerPast) -> Vec<(&str, f64)> {
    let factors = of.corrections.iter();
    factors.map(|(id, factor)| (id.as_str(), *factor)).collect()
}

#[test]
fn the_newest_check_with_water_is_known_after_a_restart_as_it_was() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    for happening in [
        calibrated(&[run(14_700.0)]),
        check(None, 90.0),
        check(None, 103.5),
    ] {
        keep(&mut records, &happening);
    }
    drop(records);
    let Happening::Checked(expected) = check(None, 103.5) else {
        unreachable!("it is one")
    };
    assert_eq!(lance(&path).check, Some(expected));
}

#[test]
fn a_check_with_a_mix_is_kept_but_is_not_the_newest_with_water() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &calibrated(&[run(14_700.0)]));
    keep(&mut records, &check(Some("film"), 112.0));
    assert_eq!(lance(&path).check, None);
    keep(&mut records, &check(None, 103.5));
    keep(&mut records, &check(Some("film"), 113.0));
    assert_eq!(seconds(&lance(&path)), Some(103.5));
    let kept: u32 = rusqlite::Connection::open(&path)
        .expect("opened")
        .query_row("SELECT count(*) FROM checks WHERE mix = 'film'", [], |r| {
            r.get(0)
        })
        .expect("count");
    assert_eq!(kept, 2);
}

#[test]
fn a_calibration_ends_what_a_check_before_it_said_and_no_other_sprayers() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &calibrated(&[run(14_700.0)]));
    keep(&mut records, &check(None, 120.0));
    keep(&mut records, &of_lance_2(calibrated(&[run(10300.0)])));
    assert_eq!(seconds(&lance(&path)), Some(120.0), "it was of lance 2");
    keep(&mut records, &calibrated(&[run(14_700.0)]));
    assert_eq!(lance(&path).check, None);
    keep(&mut records, &check(None, 104.0));
    assert_eq!(seconds(&lance(&path)), Some(104.0));
}

#[test]
fn a_change_ends_what_a_check_before_it_said_and_no_other_sprayers() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &calibrated(&[run(14_700.0)]));
    keep(&mut records, &check(None, 120.0));
    keep(&mut records, &change("lance-2"));
    assert_eq!(seconds(&lance(&path)), Some(120.0), "it was of lance 2");
    keep(&mut records, &change("lance-1"));
    assert_eq!(lance(&path).check, None);
    keep(&mut records, &check(None, 104.0));
    assert_eq!(seconds(&lance(&path)), Some(104.0), "since the change");
}

#[test]
fn the_date_of_a_check_is_the_newest_where_it_is() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let Happening::Checked(record) = check(None, 104.0) else {
        unreachable!("it is one")
    };
    let later = at("2026-03-02T12:30:00Z");
    let record = CheckRecord {
        at: later,
        ..record
    };
    keep(&mut records, &Happening::Checked(record));
    assert_eq!(past_of(&path).expect("past").newest, Some(later));
}

#[test]
fn a_correction_outlasts_a_restart_and_the_newest_of_each_chemical_counts() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    for happening in [
        calibrated(&[run(14_700.0)]),
        correct("lance-1", "film", 1.02),
        correct("lance-1", "soap", 0.97),
        correct("lance-2", "film", 1.3),
        correct("lance-1", "film", 1.08),
    ] {
        keep(&mut records, &happening);
    }
    drop(records);
    assert_eq!(factors(&lance(&path)), [("film", 1.08), ("soap", 0.97)]);
}

#[test]
fn a_correction_that_was_lifted_is_gone_and_only_that_one() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    for happening in [
        correct("lance-1", "film", 1.02),
        correct("lance-1", "film", 1.08),
        correct("lance-1", "soap", 0.97),
        correct("lance-2", "film", 1.3),
        correct("lance-1", "film", None),
    ] {
        keep(&mut records, &happening);
    }
    // Not the one before comes back.
    assert_eq!(factors(&lance(&path)), [("soap", 0.97)]);
    let past = records.past().expect("past");
    assert_eq!(factors(&past.sprayers["lance-2"]), [("film", 1.3)]);
    keep(&mut records, &correct("lance-1", "film", 1.05));
    assert_eq!(factors(&lance(&path)), [("film", 1.05), ("soap", 0.97)]);
}

#[test]
fn a_calibration_ends_the_corrections_of_its_sprayer() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &correct("lance-1", "film", 1.08));
    keep(&mut records, &correct("lance-1", "soap", 1.02));
    keep(&mut records, &of_lance_2(calibrated(&[run(10300.0)])));
    assert_eq!(lance(&path).corrections.len(), 2, "it was of lance 2");
    keep(&mut records, &calibrated(&[run(14_700.0)]));
    assert!(lance(&path).corrections.is_empty());
    keep(&mut records, &correct("lance-1", "soap", 1.01));
    assert_eq!(factors(&lance(&path)), [("soap", 1.01)]);
}

#[test]
fn a_change_ends_the_corrections_of_its_sprayer() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &calibrated(&[run(14_700.0)]));
    keep(&mut records, &correct("lance-1", "film", 1.08));
    keep(&mut records, &change("lance-2"));
    assert_eq!(factors(&lance(&path)), [("film", 1.08)], "of lance 2");
    keep(&mut records, &change("lance-1"));
    assert!(lance(&path).corrections.is_empty());
}

#[test]
fn a_correction_that_is_no_factor_is_refused_and_the_old_one_stands() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &correct("lance-1", "film", 1.08));
    let before = records.past().expect("past");
    for wrong in [0.0, -0.0, -1.08, f64::NAN, f64::INFINITY, 1001.0] {
        let fault = records
            .keep(at(NOON), &correct("lance-1", "film", wrong))
            .expect_err("no factor");
        assert!(
            fault.message.contains("above 0") && fault.message.contains("run the check again"),
            "{wrong}: {fault}"
        );
    }
    assert_eq!(records.past().expect("past"), before);
}

/// A run by weight, as it would be read.
fn weighed() -> Run {
    let weights = Weights {
        celsius: 15.5,
        catch_celsius: 15.5,
        bucket_empty: 0.62,
        container_full: 1.94,
        container_after: 0.97,
        bucket_full: 17.86,
    };
    Run {
        way: Way::ByWeight,
        read: Some(Read {
            drawn: Volume::ml(4.1),
            catch: Volume::ml(4.1),
        }),
        weights: Some(weights),
        ..run(14_700.0)
    }
}

/// A timed run of which all is known that can be.
fn timed() -> Run {
    Run {
        way: Way::Timed,
        read: Some(Read {
            drawn: Volume::ZERO,
            catch: Volume::ml(12.247_448_713_915_89),
        }),
        ..run(14_650.0)
    }
}

#[test]
fn every_run_of_a_calibration_is_read_as_it_was_kept() {
    let (_dir, path) = bay();
    for runs in [
        vec![weighed()],
        vec![timed(), run(14_610.0), weighed()],
        vec![run(14_610.0), timed()],
    ] {
        keep(&mut open(&path), &calibrated(&runs));
        let record = lance(&path).calibration.expect("calibration");
        assert!(record.calibration.runs().eq(&runs), "{record:#?}");
    }
}

/// A timed run about to be done with, after two others.
fn nearly_done() -> Draft {
    let on_line = |ml: f64| Load {
        volume: Volume::ml(ml),
        graduation: Some(Volume::ml(10.0)),
    };
    Draft {
        step: Step::Catch,
        holds: Some(Volume::ml(820.0)),
        set_time: Some(Duration::from_secs(60)),
        time: Some(Duration::from_millis(60_120)),
        catch_loads: vec![on_line(1000.0), load(330.0), on_line(990.0)],
        left_loads: vec![load(250.0), on_line(130.0)],
        weights: BTreeMap::from([(Weighed::Water, 15.5), (Weighed::BucketFull, 17.86)]),
        runs: vec![weighed(), timed()],
        ..begun(Way::Timed)
    }
}

#[test]
fn a_draft_of_every_way_is_read_as_it_was_at_each_of_its_steps() {
    let (_dir, path) = bay();
    let mut seen = Vec::new();
    for way in Way::ALL {
        for &step in Step::path(way) {
            seen.push(step);
            let draft = Draft {
                way,
                step,
                ..nearly_done()
            };
            keep(&mut open(&path), &Happening::Drafted(draft.clone()));
            let past = past_of(&path).expect("past");
            assert_eq!(past.draft, Some(draft));
        }
    }
    for step in Step::ALL {
        assert!(seen.contains(&step), "{step:?} is on no way");
    }
    // Nothing of it is left behind for the next one.
    keep(&mut open(&path), &Happening::Drafted(begun(Way::RunDry)));
    let past = past_of(&path).expect("past");
    assert_eq!(past.draft, Some(begun(Way::RunDry)));
    keep(&mut open(&path), &Happening::RunThrownAway(nearly_done()));
    let past: Past = past_of(&path).expect("past");
    assert_eq!(past.draft, None);
}

#[test]
fn readings_that_are_no_numbers_are_refused_and_the_draft_stands() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    keep(&mut records, &Happening::Drafted(nearly_done()));
    let before = records.past().expect("past");
    let drafted = |change: &dyn Fn(&mut Draft)| {
        let mut draft = nearly_done();
        change(&mut draft);
        Happening::Drafted(draft)
    };
    let run = |change: &dyn Fn(&mut Run)| {
        let mut run = weighed();
        change(&mut run);
        run
    };
    let nan = Volume::ml(f64::NAN);
    let weight = |of: Weighed, shown: f64| {
        drafted(&move |d| {
            d.weights.insert(of, shown);
        })
    };
    for (wrong, says) in [
        (weight(Weighed::BucketEmpty, f64::NAN), "weigh again"),
        (weight(Weighed::BucketFull, f64::INFINITY), "weigh again"),
        (weight(Weighed::Water, f64::NAN), "NaN °C"),
        (drafted(&|d| d.left_loads[0].volume = nan), "measure again"),
        (
            drafted(&|d| d.left_loads[0].graduation = Some(nan)),
            "measure again",
        ),
        (
            drafted(&|d| d.catch_loads[0].graduation = Some(Volume::ml(-1.0))),
            "measure again",
        ),
        (
            drafted(&|d| d.set_time = Some(Duration::from_secs(1_000_000))),
            "measure again",
        ),
        (
            calibrated(&[run(&|r| r.read.as_mut().expect("read").drawn = nan)]),
            "measure again",
        ),
        (
            calibrated(&[
                timed(),
                run(&|r| r.read.as_mut().expect("read").catch = nan),
            ]),
            "measure again",
        ),
        (
            calibrated(&[run(&|r| {
                r.weights.as_mut().expect("weights").container_full = f64::NAN;
            })]),
            "weigh again",
        ),
        (check(None, 2_000_000.0), "measure again"),
    ] {
        let fault = records.keep(at(NOON), &wrong).expect_err(says);
        assert!(fault.message.contains(says), "{fault}");
    }
    assert_eq!(records.past().expect("past"), before);
}

#[test]
fn half_of_what_belongs_together_is_told_as_damage() {
    let (_dir, path) = bay();
    keep(&mut open(&path), &calibrated(&[weighed()]));
    let meddle = |sql: &str| {
        let connection = rusqlite::Connection::open(&path).expect("opened");
        connection.execute_batch(sql).expect(sql);
    };
    for (broken, mended) in [
        ("drawn_u_ml = NULL", "drawn_u_ml = 4.1"),
        ("bucket_full_kg = NULL", "bucket_full_kg = 17.86"),
        ("way = 'by-ear'", "way = 'by-weight'"),
    ] {
        meddle(&format!("UPDATE calibration_first_runs SET {broken}"));
        let fault = past_of(&path).expect_err("damaged");
        assert!(fault.message.contains("fillcall restore"), "{fault}");
        meddle(&format!("UPDATE calibration_first_runs SET {mended}"));
        past_of(&path).expect("mended");
    }
    let Happening::Calibrated(record) = calibrated(&[weighed()]) else {
        unreachable!("it is one")
    };
    assert_eq!(lance(&path).calibration, Some(record));
}

#[test]
fn a_mean_of_runs_of_different_ways_counts_as_repeats() {
    let (_dir, path) = bay();
    let runs = [timed(), weighed()];
    keep(&mut open(&path), &calibrated(&runs));
    let past = past_of(&path).expect("past");
    let calibration = Calibration::of(Container::measured(Volume::ml(820.0)), &runs).expect("runs");
    let fractions: Vec<f64> = calibration
        .runs()
        .map(|run| run.draw_fraction().expect("one").as_fraction())
        .collect();
    assert_eq!(past.repeats, [fractions]);
}
