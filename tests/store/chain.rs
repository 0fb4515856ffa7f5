//! Check sums: whatever is changed in the records beside the store's back is seen.

use crate::records::{at, bay, begun, calibrated, load, open, run, wash};
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::offer::Offer;
use fillcall::bay::records::{
    Broken, BrokenWhat, CalibrationRecord, Draft, Entry, Fill, FillHow, Happening, Load, Past,
    Records, Scope, Step,
};
use fillcall::store::records::{SqliteRecords, log_of, past_of};
use fillcall::store::setup_file::read_bay;
use fillcall::trade::calibration::{Calibration, Container, Run, Way};
use fillcall::trade::units::{Strength, Volume};
use fillcall::trade::weighing::{Weighed, Weights};
use rusqlite::Connection;
use rusqlite::types::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Changes something as no program of ours would: whatever the tables forbid.
fn meddle(path: &Path, sql: &str) {
    let connection = Connection::open(path).expect("opened");
    connection
        .execute_batch(&format!(
            "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; {sql}"
        ))
        .expect(sql);
}

fn broken(path: &Path) -> Vec<Broken> {
    past_of(path)
        .unwrap_or_else(|fault| panic!("{fault}"))
        .broken
}

fn of(sprayer: &str, catch: f64) -> Happening {
    Happening::Calibrated(CalibrationRecord {
        sprayer: sprayer.into(),
        nozzle: "1.1 mm".into(),
        washer: "Washer B".into(),
        dial: None,
        calibration: Calibration::of(
            Container::measured(Volume::ml(880.0)),
            &[Run::dry(
                Volume::ml(880.0),
                Volume::ml(catch),
                Duration::from_secs(90),
            )],
        )
        .expect("runs"),
        taken: at("2026-05-04T09:00:00Z"),
    })
}

fn fill(sprayer: &str, chemical: &str) -> Happening {
    Happening::Fill(fill_of(sprayer, chemical))
}

fn fill_of(sprayer: &str, chemical: &str) -> Fill {
    Fill {
        sprayer: sprayer.into(),
        chemical: chemical.into(),
        fill: Volume::ml(880.0),
        poured: Volume::ml(330.0),
        water: Volume::ml(550.0),
        strength: Strength::percent(3.0).expect("a strength"),
        standing: "good".into(),
        how: FillHow::Fresh,
    }
}

/// Records with rows in every table: those of version 4 with more of what comes after, closed, so that
/// the file is all there is.
fn rich() -> (tempfile::TempDir, PathBuf) {
    let (dir, path) = bay();
    let connection = Connection::open(&path).expect("opened");
    connection
        .execute_batch(include_str!("frozen_4.sql"))
        .expect("tables");
    drop(connection);
    let mut records = open(&path);
    let noon = at("2026-05-04T12:00:00Z");
    let first = records.keep(noon, &wash("lance-1")).expect("kept");
    records
        .keep(noon, &Happening::WashUndone(first))
        .expect("kept");
    let filled = records.keep(noon, &fill("lance-1", "film")).expect("kept");
    records
        .keep(noon, &Happening::FillUndone(filled))
        .expect("kept");
    let counts = records
        .keep(noon, &calibrated(&[run(14_790.0), run(14_570.0)]))
        .expect("kept");
    records.keep(noon, &wash("lance-2")).expect("kept");
    for happening in of_version_five(counts) {
        records.keep(noon, &happening).expect("kept");
    }
    let newest = at("2031-05-04T12:00:00Z");
    let right = Happening::ClockPutRight { newest };
    records.keep(noon, &right).expect("kept");
    drop(records);
    (dir, path)
}

/// What stands in the tables that are empty else, behind a calibration of lance 1: one with what was left
/// and how warm the catch was, an earlier one brought back, one taken back, the same of a run thrown away
/// and of the one in hand, a choice for one sprayer, and what was added to a fill.
fn of_version_five(counts: Entry) -> Vec<Happening> {
    let weights = Weights {
        celsius: 14.5,
        catch_celsius: 46.5,
        bucket_empty: 0.62,
        container_full: 1.31,
        container_after: 0.43,
        bucket_full: 15.48,
    };
    let left = Run {
        left: Volume::ml(12.0),
        ..Run::dry(
            Volume::ml(868.0),
            Volume::ml(15_100.0),
            Duration::from_secs(92),
        )
    };
    let weighed = Run {
        way: Way::ByWeight,
        weights: Some(weights),
        ..left
    };
    let record = |runs: &[Run]| CalibrationRecord {
        sprayer: "lance-1".into(),
        nozzle: "1.1 mm".into(),
        washer: "Washer B".into(),
        dial: Some("tip 4".into()),
        calibration: Calibration::of(Container::measured(Volume::ml(880.0)), runs).expect("runs"),
        taken: at("2026-05-04T11:00:00Z"),
    };
    let draft = Draft {
        step: Step::BucketFull,
        weights: BTreeMap::from([(Weighed::Water, 14.5), (Weighed::CatchWater, 46.5)]),
        runs: vec![left, weighed],
        ..begun(Way::ByWeight)
    };
    let Happening::Calibrated(earlier) = calibrated(&[run(14_790.0), run(14_570.0)]) else {
        unreachable!("it is one")
    };
    let loads = Draft {
        step: Step::Catch,
        catch_loads: vec![
            Load {
                graduation: Some(Volume::ml(10.0)),
                ..load(500.0)
            },
            load(700.0),
        ],
        left_loads: vec![load(14.0)],
        runs: vec![left],
        ..begun(Way::RunDry)
    };
    let poured = |how| Fill {
        how,
        ..fill_of("lance-2", "film")
    };
    vec![
        Happening::Calibrated(record(&[left, weighed])),
        Happening::CalibrationBroughtBack {
            of: counts,
            record: Box::new(earlier),
        },
        Happening::Calibrated(record(&[left])),
        Happening::CalibrationUndone(counts + 4),
        Happening::RunThrownAway(draft),
        Happening::ChemicalChosen {
            scope: Scope::Sprayer("lance-1".into()),
            chemical: "soap".into(),
        },
        Happening::Mispoured {
            fill: poured(FillHow::Mispoured {
                meant: Volume::ml(290.0),
            }),
            instead_of: None,
            added: Some(poured(FillHow::ToppedUp {
                left: Volume::ml(880.0),
                product: Volume::ml(330.0),
            })),
        },
        Happening::Drafted(loads),
    ]
}

fn tables(path: &Path) -> Vec<(String, Vec<String>)> {
    let connection = Connection::open(path).expect("opened");
    let mut query = connection
        .prepare("SELECT t.name, c.name FROM sqlite_schema t, pragma_table_info(t.name) c WHERE t.type = 'table' ORDER BY 1, c.cid")
        .expect("schema");
    let pairs = query
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .expect("rows");
    let mut tables: Vec<(String, Vec<String>)> = Vec::new();
    for pair in pairs {
        let (table, column): (String, String) = pair.expect("row");
        match tables.last_mut() {
            Some((last, columns)) if *last == table => columns.push(column),
            _ => tables.push((table, vec![column])),
        }
    }
    tables
}

/// Another value of the same kind, the nearest there is.
fn nearest(value: &Value) -> Option<Value> {
    Some(match value {
        Value::Null => return None,
        Value::Integer(whole) => Value::Integer(whole ^ 1),
        Value::Real(real) => Value::Real(f64::from_bits(real.to_bits() ^ 1)),
        Value::Text(text) => {
            let mut bytes = text.clone().into_bytes();
            match bytes.last_mut() {
                Some(last) => *last ^= 1,
                None => bytes.push(b'x'),
            }
            Value::Text(String::from_utf8(bytes).ok()?)
        }
        Value::Blob(bytes) => {
            let mut bytes = bytes.clone();
            *bytes.first_mut()? ^= 1;
            Value::Blob(bytes)
        }
    })
}

/// Every place in the tables: how to find the row again (by all of its key), and its value.
fn changes(path: &Path) -> Vec<(String, String)> {
    let connection = Connection::open(path).expect("opened");
    let mut changes = Vec::new();
    for (table, columns) in tables(path) {
        let count: i64 = connection
            .query_row(&format!("SELECT count(*) FROM {table}"), [], |r| r.get(0))
            .expect("count");
        for column in &columns {
            // What only tells whom it would bear on is no part of what was kept.
            if table == "sums" && column != "sum" && column != "id" {
                continue;
            }
            // The number of the one row that there is.
            if (table.as_str(), column.as_str()) == ("chain_ends", "one") {
                continue;
            }
            for row in 0..count {
                let value: Value = connection
                    .query_row(
                        &format!("SELECT {column} FROM {table} LIMIT 1 OFFSET {row}"),
                        [],
                        |r| r.get(0),
                    )
                    .expect("value");
                let Some(other) = nearest(&value) else {
                    continue;
                };
                let keys: Vec<String> = columns
                    .iter()
                    .map(|key| {
                        let of: Value = connection
                            .query_row(
                                &format!("SELECT {key} FROM {table} LIMIT 1 OFFSET {row}"),
                                [],
                                |r| r.get(0),
                            )
                            .expect("key");
                        format!("{key} IS {}", literal(&of))
                    })
                    .collect();
                let (other, keys) = (literal(&other), keys.join(" AND "));
                changes.push((
                    format!("UPDATE {table} SET {column} = {other} WHERE {keys}"),
                    format!("DELETE FROM {table} WHERE {keys}"),
                ));
            }
        }
    }
    changes
}

fn literal(value: &Value) -> String {
    match value {
        Value::Null => "NULL".into(),
        Value::Integer(whole) => whole.to_string(),
        Value::Real(real) => format!("{real:?}"),
        Value::Text(text) => format!("'{}'", text.replace('\'', "''")),
        Value::Blob(bytes) => {
            let hex: String = bytes.iter().map(|b| format!("{b:02x}")).collect();
            format!("x'{hex}'")
        }
    }
}

/// Nothing that was read is used without a word about it.
fn is_seen(path: &Path) -> bool {
    past_of(path).is_ok_and(|past| !past.broken.is_empty()) || past_of(path).is_err()
}

#[test]
fn any_value_changed_and_any_row_taken_out_is_seen() {
    let (dir, path) = rich();
    assert_eq!(broken(&path), [], "as kept");
    let empty: Vec<String> = tables(&path)
        .into_iter()
        .filter(|(table, _)| {
            let connection = Connection::open(&path).expect("opened");
            connection
                .query_row(&format!("SELECT count(*) = 0 FROM {table}"), [], |r| {
                    r.get(0)
                })
                .expect("count")
        })
        .map(|(table, _)| table)
        .collect();
    assert!(empty.is_empty(), "without a row nothing is seen: {empty:?}");
    let sound = std::fs::read(&path).expect("file");
    let other = dir.path().join("other.sqlite");
    let all = changes(&path);
    assert!(all.len() > 500, "{}", all.len());
    let mut tried = 0;
    for sql in all.iter().flat_map(|(change, removal)| [change, removal]) {
        std::fs::write(&other, &sound).expect("file");
        let connection = Connection::open(&other).expect("opened");
        let ways = "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;";
        connection.execute_batch(ways).expect("ways");
        // A key that is there already cannot be given twice.
        let Ok(changed) = connection.execute(sql, []) else {
            continue;
        };
        assert_eq!(changed, 1, "{sql}");
        drop(connection);
        assert!(is_seen(&other), "{sql}");
        tried += 1;
    }
    println!("{tried} changes, each of them seen");
    assert!(tried > 900, "{tried}");
}

#[test]
fn what_is_put_in_exchanged_or_cut_off_is_seen() {
    let (dir, path) = rich();
    let sound = std::fs::read(&path).expect("file");
    let other = dir.path().join("other.sqlite");
    let last: i64 = Connection::open(&path)
        .and_then(|c| c.query_row("SELECT max(id) FROM happenings", [], |r| r.get(0)))
        .expect("number");
    let (first, beyond) = (last - 5, last + 1);
    for sql in [
        // A wash that nobody counted, at the end and with a sum of another.
        format!(
            "INSERT INTO happenings VALUES ({beyond}, 'wash', '2026-05-04T12:00:00Z', '2026-05-04T12:00:00Z');
             INSERT INTO washes VALUES ({beyond}, 'lance-1', 'film', NULL);"
        ),
        format!(
            "INSERT INTO happenings VALUES ({beyond}, 'wash', '2026-05-04T12:00:00Z', '2026-05-04T12:00:00Z');
             INSERT INTO washes VALUES ({beyond}, 'lance-1', 'film', NULL);
             INSERT INTO sums SELECT {beyond}, sum, touches, bears_on FROM sums WHERE id = {last};
             UPDATE chain_ends SET last = {beyond};"
        ),
        // The last ones gone with their sums, and one in the middle.
        format!(
            "DELETE FROM washes WHERE id = {last}; DELETE FROM happenings WHERE id = {last};
             DELETE FROM sums WHERE id = {last};"
        ),
        format!(
            "DELETE FROM washes WHERE id = {first}; DELETE FROM happenings WHERE id = {first};
             DELETE FROM takings_back WHERE entry = {first}; DELETE FROM sums WHERE id = {first};"
        ),
        // Two calibrations change their places.
        "UPDATE calibrations SET catch_ml = (SELECT max(catch_ml) FROM calibrations)".to_owned(),
        "DELETE FROM chain_ends".to_owned(),
        "DELETE FROM sums".to_owned(),
        "INSERT INTO brought_washes VALUES ('lance-1', 'film', '2026-01-01', 3, 0)".to_owned(),
        "INSERT INTO draft_loads VALUES (77, 1000.0)".to_owned(),
    ] {
        std::fs::write(&other, &sound).expect("file");
        meddle(&other, &sql);
        assert!(is_seen(&other), "{sql}");
    }
}

#[test]
fn a_changed_catch_gives_no_dose_until_the_sprayer_is_calibrated_again() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-05-04T12:00:00Z");
    records.keep(noon, &of("lance-1", 21_000.0)).expect("kept");
    let wrong = records.keep(noon, &of("lance-1", 20_500.0)).expect("kept");
    records.keep(noon, &of("lance-2", 15_500.0)).expect("kept");
    records.keep(noon, &fill("lance-1", "film")).expect("kept");
    drop(records);
    let before = past_of(&path).expect("past");
    // One bit: 20,500 becomes another number.
    meddle(
        &path,
        &format!("UPDATE calibrations SET catch_ml = 20508 WHERE id = {wrong}"),
    );
    let past = past_of(&path).expect("past");
    let [damage] = past.broken.as_slice() else {
        panic!("{:?}", past.broken);
    };
    assert_eq!((damage.what, damage.entry), (BrokenWhat::Changed, wrong));
    assert!(damage.no_dose.iter().eq(["lance-1"]));
    let words = format!("{} {}", damage.words(), damage.remedy());
    assert!(
        words.contains(&format!("Entry {wrong} (2026-05-04)")),
        "{words}"
    );
    assert!(
        words.contains("Calibrate again") && words.contains("backup"),
        "{words}"
    );
    assert_eq!(past.sprayers["lance-1"].calibration, None, "no dose");
    assert_eq!(past.sprayers["lance-1"].in_it.as_deref(), Some("film"));
    assert_eq!(past.sprayers["lance-2"], before.sprayers["lance-2"]);
    let mut records = open(&path);
    records
        .keep(noon, &wash("lance-2"))
        .expect("kept all the same");
    records.keep(noon, &of("lance-1", 20_900.0)).expect("kept");
    let past = records.past().expect("past");
    assert!(
        past.sprayers["lance-1"].calibration.is_some(),
        "a dose again"
    );
    assert!(past.broken[0].no_dose.is_empty());
    assert_eq!(past.broken[0].entry, wrong, "and still told");
}

#[test]
fn a_bay_with_a_changed_catch_says_so_at_the_start_and_has_no_figure() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-05-04T12:00:00Z");
    let wrong = records.keep(noon, &of("lance-1", 20_500.0)).expect("kept");
    records.keep(noon, &of("lance-2", 15_500.0)).expect("kept");
    drop(records);
    let wall = |path: &Path| {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay");
        let setup = read_bay(&demo).unwrap_or_else(|faults| panic!("{faults:#?}"));
        let now = Now {
            monotonic: Duration::from_secs(100),
            wall: noon,
        };
        Bay::open(setup, Box::new(open(path)), now).expect("the bay opens")
    };
    let said = |bay: &Bay| bay.notice().map_or(String::new(), |n| n.text.to_string());
    let sound = wall(&path);
    assert!(!said(&sound).contains("as it was kept"), "{}", said(&sound));
    assert_eq!(sound.damage_of("lance-1"), None);
    drop(sound);
    let sql = format!("UPDATE calibrations SET catch_ml = 20508 WHERE id = {wrong}");
    meddle(&path, &sql);
    let bay = wall(&path);
    let told = said(&bay);
    assert!(told.contains(&format!("Entry {wrong} ")), "{told}");
    assert!(told.contains("not as it was kept"), "{told}");
    assert!(told.contains("Calibrate again"), "{told}");
    assert_eq!(bay.sprayer().id, "lance-1");
    assert!(matches!(bay.offer(), Offer::Uncalibrated));
    assert_eq!(bay.damage_of("lance-1").map(|d| d.entry), Some(wrong));
    assert_eq!(bay.damage_of("lance-2"), None);
}

#[test]
fn a_calibration_given_to_another_sprayer_leaves_both_without_a_dose() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-05-04T12:00:00Z");
    records.keep(noon, &of("lance-1", 21_000.0)).expect("kept");
    records.keep(noon, &of("lance-3", 15_500.0)).expect("kept");
    let wrong = records.keep(noon, &of("lance-1", 20_500.0)).expect("kept");
    drop(records);
    meddle(
        &path,
        &format!("UPDATE calibrations SET sprayer = 'lance-3' WHERE id = {wrong}"),
    );
    let past = past_of(&path).expect("past");
    for sprayer in ["lance-1", "lance-3"] {
        assert_eq!(past.sprayers[sprayer].calibration, None, "{sprayer}");
    }
}

/// A damaged calibration with a sound one behind it is harmless until it counts again.
#[test]
fn a_changed_calibration_that_counts_again_gives_no_dose() {
    let counts_again: [fn(i64, i64) -> Happening; 2] = [
        |_, newer| Happening::CalibrationUndone(newer),
        |wrong, _| {
            let Happening::Calibrated(record) = of("lance-1", 20_500.0) else {
                unreachable!("it is one")
            };
            Happening::CalibrationBroughtBack {
                of: wrong,
                record: Box::new(record),
            }
        },
    ];
    for again in counts_again {
        let (_dir, path) = bay();
        let mut records = open(&path);
        let noon = at("2026-05-04T12:00:00Z");
        let wrong = records.keep(noon, &of("lance-1", 20_500.0)).expect("kept");
        let newer = records.keep(noon, &of("lance-1", 21_000.0)).expect("kept");
        drop(records);
        let sql = format!("UPDATE calibrations SET catch_ml = 20508 WHERE id = {wrong}");
        meddle(&path, &sql);
        let past = past_of(&path).expect("past");
        assert!(past.broken[0].no_dose.is_empty(), "the newer one counts");
        assert!(past.sprayers["lance-1"].calibration.is_some());
        let mut records = open(&path);
        records.keep(noon, &again(wrong, newer)).expect("kept");
        let past = records.past().expect("past");
        assert!(past.broken[0].no_dose.iter().eq(["lance-1"]));
        assert_eq!(past.sprayers["lance-1"].calibration, None, "no dose");
    }
}

#[test]
fn what_is_in_a_sprayer_is_unknown_after_its_fill_was_changed() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-05-04T12:00:00Z");
    records.keep(noon, &of("lance-1", 21_000.0)).expect("kept");
    let wrong = records.keep(noon, &fill("lance-1", "film")).expect("kept");
    drop(records);
    meddle(
        &path,
        &format!("UPDATE fills SET chemical = 'acid' WHERE id = {wrong}"),
    );
    let mut records = open(&path);
    let past = records.past().expect("past");
    assert_eq!(past.sprayers["lance-1"].in_it.as_deref(), Some("?"));
    assert!(
        past.sprayers["lance-1"].calibration.is_some(),
        "its dose is known"
    );
    let sprayer = "lance-1".to_owned();
    records
        .keep(noon, &Happening::Rinsed { sprayer })
        .expect("kept");
    let past = records.past().expect("past");
    assert_eq!(
        past.sprayers["lance-1"].in_it, None,
        "rinsed, it is known again"
    );
}

#[test]
fn an_unfinished_calibration_that_was_changed_is_begun_again() {
    let (_dir, path) = rich();
    assert!(past_of(&path).expect("past").draft.is_some());
    meddle(&path, "UPDATE draft_loads SET ml = 701 WHERE ml = 700");
    let past = past_of(&path).expect("past");
    assert_eq!(past.draft, None, "nobody goes on with it");
    let [damage] = past.broken.as_slice() else {
        panic!("{:?}", past.broken);
    };
    assert_eq!(damage.what, BrokenWhat::Draft);
    assert!(damage.remedy().to_string().contains("Begin it again"));
}

#[test]
fn a_damaged_sum_alone_costs_nobody_a_dose() {
    let (_dir, path) = rich();
    let before = past_of(&path).expect("past");
    let last: i64 = Connection::open(&path)
        .and_then(|c| c.query_row("SELECT max(id) FROM happenings", [], |r| r.get(0)))
        .expect("number");
    for entry in [1, last / 2, last] {
        meddle(
            &path,
            &format!("UPDATE sums SET sum = zeroblob(16) WHERE id = {entry}"),
        );
        let past = past_of(&path).expect("past");
        let found = past.broken.last().expect("told");
        assert_eq!((found.what, found.entry), (BrokenWhat::SumAlone, entry));
        assert!(found.no_dose.is_empty() && found.unknown_mix.is_empty());
        assert_eq!(past.sprayers, before.sprayers);
    }
}

#[test]
fn any_bit_of_the_file_turned_over_is_told_or_changes_nothing() {
    let (dir, path) = rich();
    let log = log_of(&path, 0).expect("log");
    let before = past_of(&path).expect("past");
    let sound = std::fs::read(&path).expect("file");
    let other = dir.path().join("other.sqlite");
    let (mut told, mut same, mut refused) = (0, 0, 0);
    // A step that meets every bit of a byte.
    for bit in (0..sound.len() * 8).step_by(401) {
        let mut damaged = sound.clone();
        damaged[bit / 8] ^= 1 << (bit % 8);
        std::fs::write(&other, &damaged).expect("file");
        match past_of(&other) {
            Err(_) => refused += 1,
            Ok(Past { broken, .. }) if !broken.is_empty() => told += 1,
            Ok(past) => {
                assert_eq!(past, before, "bit {bit}");
                match log_of(&other, 0) {
                    Ok(told) => assert_eq!(told, log, "bit {bit}"),
                    Err(_) => refused += 1,
                }
                same += 1;
            }
        }
    }
    println!("{told} told, {refused} refused, {same} in no record");
    assert!(told > 100, "{told}");
}

#[test]
fn records_of_every_version_get_their_chain_when_they_are_opened() {
    for frozen in [
        include_str!("frozen_1.sql"),
        include_str!("frozen_2.sql"),
        include_str!("frozen_3.sql"),
        include_str!("frozen_4.sql"),
        // That has one already, and goes on with it.
        include_str!("frozen_5.sql"),
    ] {
        let (_dir, path) = bay();
        Connection::open(&path)
            .and_then(|c| c.execute_batch(frozen))
            .expect("tables");
        assert_eq!(broken(&path), [], "none to be held against");
        drop(open(&path));
        assert_eq!(broken(&path), []);
        meddle(
            &path,
            "UPDATE calibrations SET catch_ml = catch_ml + 8 WHERE id = (SELECT max(id) FROM calibrations)",
        );
        assert_eq!(broken(&path).len(), 1);
    }
}

#[test]
fn a_hundred_thousand_washes_are_held_against_their_sums() {
    let (_dir, path) = bay();
    let connection = Connection::open(&path).expect("opened");
    connection
        .execute_batch(include_str!("frozen_4.sql"))
        .expect("tables");
    connection
        .execute_batch(
            "WITH RECURSIVE n(i) AS (SELECT 1000 UNION ALL SELECT i + 1 FROM n WHERE i < 100999)
             INSERT INTO happenings SELECT i, 'wash', '2026-04-01T08:00:00+01:00',
                 '2026-04-01T08:00:00+01:00' FROM n;
             INSERT INTO washes SELECT id, 'lance-1', 'film', NULL FROM happenings WHERE id >= 1000",
        )
        .expect("washes");
    drop(connection);
    let begun = Instant::now();
    let mut records: SqliteRecords = open(&path);
    let climbed = begun.elapsed();
    let begun = Instant::now();
    assert_eq!(records.past().expect("past").broken, []);
    let read = begun.elapsed();
    let noon = at("2026-05-04T12:00:00Z");
    let begun = Instant::now();
    for _ in 0..100 {
        records.keep(noon, &wash("lance-1")).expect("kept");
    }
    let kept = begun.elapsed() / 100;
    println!(
        "100,000 washes: chained in {climbed:?}, read and verified in {read:?}, one more kept in {kept:?}"
    );
    assert!(read < Duration::from_secs(20), "{read:?}");
}
