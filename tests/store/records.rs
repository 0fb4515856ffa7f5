//! The records: the same as the model after every reopening, and clear words where they fail.

use crate::model::Model;
use crate::shifts::{SPRAYERS, Shift, shift, work};
use chrono::{DateTime, FixedOffset};
use fillcall::bay::records::{
    CalibrationRecord, CheckRecord, DaySetting, Draft, Fill, FillHow, Happening, Load, Logged,
    Milestone, Past, Placed, Records, Scope, Step, StockMove,
};
use fillcall::bay::setup_change::{ChangedKey, Place, SetupChange};
use fillcall::store::records::{SqliteRecords, Summary, VERSION, history_of, past_of, summary};
use fillcall::trade::calibration::{Calibration, Container, Read, Run, Way};
use fillcall::trade::days_strength::Allowed;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::units::{Strength, Volume};
use fillcall::trade::weighing::{Weighed, Weights};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

pub fn at(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a date")
}

pub fn wash(sprayer: &str) -> Happening {
    Happening::Wash {
        sprayer: sprayer.into(),
        chemical: "film".into(),
    }
}

pub fn bay() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().expect("folder");
    let path = dir.path().join("records.sqlite");
    (dir, path)
}

pub fn open(path: &Path) -> SqliteRecords {
    SqliteRecords::open(path).unwrap_or_else(|fault| panic!("{fault}"))
}

fn refused(path: &Path) -> String {
    SqliteRecords::open(path).expect_err("refused").message
}

pub fn run(catch: f64) -> Run {
    Run::dry(
        Volume::ml(820.0),
        Volume::ml(catch),
        Duration::from_millis(104_200),
    )
}

/// A load of which the measure is not known.
pub fn load(ml: f64) -> Load {
    Load {
        volume: Volume::ml(ml),
        graduation: None,
    }
}

/// A draft of lance 1 with nothing done yet.
pub fn begun(way: Way) -> Draft {
    Draft {
        sprayer: "lance-1".into(),
        way,
        step: Step::path(way)[0],
        holds: None,
        set_time: None,
        time: None,
        catch_loads: Vec::new(),
        left_loads: Vec::new(),
        weights: BTreeMap::new(),
        runs: Vec::new(),
    }
}

/// Of lance 1.
pub fn calibrated(runs: &[Run]) -> Happening {
    Happening::Calibrated(CalibrationRecord {
        sprayer: "lance-1".into(),
        nozzle: "1.35 mm".into(),
        washer: "Washer A".into(),
        dial: None,
        calibration: Calibration::of(Container::measured(Volume::ml(820.0)), runs).expect("runs"),
        taken: at("2026-03-02T11:59:00Z"),
    })
}

/// A database beside the store's back.
fn meddle(path: &Path, sql: &str) {
    let connection = rusqlite::Connection::open(path).expect("opened");
    connection.execute_batch(sql).expect(sql);
}

proptest! {
    #![proptest_config(crate::shifts::cases(60))]

    #[test]
    fn after_reopening_the_past_is_that_of_the_model(shifts in prop::collection::vec(shift(25), 1..4)) {
        let (_dir, path) = bay();
        let mut model = Model::default();
        for shift in &shifts {
            let shift: &Shift = shift;
            let mut records = open(&path);
            prop_assert_eq!(records.past().expect("past"), model.past());
            for (at, deed) in shift {
                work(&mut records, &mut model, *at, deed);
            }
            prop_assert_eq!(records.past().expect("past"), model.past());
            // Beside the running wall, as the wall card reads it.
            prop_assert_eq!(past_of(&path).expect("past"), model.past());
            for sprayer in SPRAYERS {
                let history = model.history(sprayer);
                prop_assert_eq!(&records.history(sprayer).expect("history"), &history);
                prop_assert_eq!(history_of(&path, sprayer).expect("history"), history);
            }
            for sprayer in SPRAYERS {
                prop_assert_eq!(records.last_fill(sprayer).expect("last"), model.last_fill(sprayer));
            }
            let all = model.log(0);
            prop_assert_eq!(&records.log(0).expect("log"), &all);
            if let Some(some) = all.get(all.len() / 2) {
                prop_assert_eq!(records.log(some.entry).expect("log"), model.log(some.entry));
                // Wherever it begins for a date: nothing of that date or after it stands before.
                let first = records.first_since(some.at).expect("number");
                let believed = |l: &Logged| !model.disowned(l.entry, some.at);
                prop_assert!(all.iter().all(|l| l.entry >= first || l.at < some.at || !believed(l)));
                prop_assert!(first <= some.entry || !believed(some));
                let mut stock = records.stock_log(some.at).expect("stock");
                let begins = stock.first().map_or(first, |l| l.entry.min(first));
                stock.retain(|l| l.entry >= begins);
                let mut expected = model.log(begins);
                expected.retain(is_of_the_stock);
                prop_assert_eq!(stock, expected);
            }
        }
        let counted = summary(&path).expect("summary");
        prop_assert_eq!(counted.washes as usize, model.washes().len());
        prop_assert_eq!(counted.fills as usize, model.fills().len());
    }
}

fn is_of_the_stock(logged: &Logged) -> bool {
    matches!(logged.what, Happening::Fill(_) | Happening::Stock { .. })
}

#[test]
fn a_history_is_by_order_whatever_the_clock_says() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let dates = [
        "2026-03-02T08:00:00Z",
        "1970-01-01T00:00:07Z",
        "2026-02-01T08:00:00Z",
    ];
    let changed = Happening::Changed {
        sprayer: "lance-1".into(),
        what: VoidCause::Washer,
    };
    for (happening, date) in [
        (calibrated(&[run(14_700.0)]), dates[0]),
        (changed, dates[1]),
        (calibrated(&[run(14_610.0)]), dates[2]),
        (wash("lance-1"), dates[1]),
        (wash("lance-2"), dates[1]),
    ] {
        records.keep(at(date), &happening).expect("kept");
    }
    let history = records.history("lance-1").expect("history");
    let told: Vec<String> = history
        .iter()
        .map(|milestone| match milestone {
            Milestone::Calibrated { record, washes, .. } => {
                format!("{} {washes}", record.calibration.run.catch.as_ml())
            }
            Milestone::Changed { what, at } => format!("{} {}", what.word(), at.to_rfc3339()),
            Milestone::BroughtBack { of, .. } => format!("back {of}"),
        })
        .collect();
    assert_eq!(
        told,
        ["14700 0", "washer 1970-01-01T00:00:07+00:00", "14610 1"]
    );
    assert_eq!(records.history("lance-2").expect("history"), []);
}

#[test]
fn a_calibration_of_too_many_or_impossible_runs_is_refused_and_nothing_of_it_kept() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-03-02T12:00:00Z");
    let draft = |runs: usize| Draft {
        sprayer: "lance-1".into(),
        step: Step::Ready,
        holds: Some(Volume::ml(820.0)),
        runs: vec![run(14_700.0); runs],
        ..begun(Way::RunDry)
    };
    records
        .keep(noon, &Happening::Drafted(draft(4)))
        .expect("kept");
    let before = records.past().expect("past");
    assert_eq!(before.draft.as_ref().expect("draft").runs.len(), 4);
    for (wrong, says) in [
        (calibrated(&[run(14_700.0); 6]), "6 runs"),
        (calibrated(&[run(820.0)]), "a catch of 820 ml"),
        (calibrated(&[run(14_700.0), run(700.0)]), "in run 2 a catch"),
        (calibrated(&[run(14_700.0), run(f64::NAN)]), "in run 2"),
        (calibrated(&[run(14_700.0), run(1e12)]), "measure again"),
        (Happening::Drafted(draft(5)), "5 runs are done"),
        (Happening::RunThrownAway(draft(5)), "5 runs are done"),
    ] {
        let fault = records.keep(noon, &wrong).expect_err(says);
        assert!(fault.message.contains(says), "{fault}");
    }
    assert_eq!(records.past().expect("past"), before);
    assert_eq!(records.history("lance-1").expect("history"), []);
    records
        .keep(noon, &calibrated(&[run(14_700.0); 5]))
        .expect("five are not too many");
    let past = records.past().expect("past");
    assert_eq!((past.draft, past.repeats[0].len()), (None, 5));
}

#[test]
fn washes_are_counted_by_order_whatever_the_clock_says() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_1.sql"));
    let mut records = open(&path);
    let before = records.past().expect("past").sprayers["lance-1"].washes_since;
    // The clock fell back to 1970 in a power cut.
    for _ in 0..3 {
        records
            .keep(at("1970-01-01T00:00:07Z"), &wash("lance-1"))
            .expect("kept");
    }
    let past = records.past().expect("past");
    assert_eq!(past.sprayers["lance-1"].washes_since, before + 3);
    assert_eq!(past.newest, Some(at("2026-03-03T07:30:00+01:00")));
}

#[test]
fn what_came_after_the_clock_was_put_right_is_found_by_its_date() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let mut keep = |day: &str, what: &Happening| {
        let noon = at(&format!("{day}T12:00:00Z"));
        records.keep(noon, what).expect("kept")
    };
    let before = keep("2026-05-02", &wash("lance-1"));
    for _ in 0..10 {
        keep("2031-01-01", &wash("lance-1"));
    }
    let newest = at("2031-01-01T12:00:00Z");
    let right = keep("2026-05-03", &Happening::ClockPutRight { newest });
    keep("2026-05-04", &wash("lance-1"));
    let last = keep("2026-05-05", &wash("lance-1"));
    let mut since = |day: &str| {
        let morning = at(&format!("{day}T06:00:00Z"));
        records.first_since(morning).expect("a number")
    };
    assert_eq!(since("2026-05-02"), before);
    assert_eq!(since("2026-05-04"), right + 1, "none of those of 2031");
    assert_eq!(since("2026-05-05"), last);
    assert_eq!(since("2026-05-06"), last + 1, "nothing yet");
}

#[test]
fn only_what_is_there_can_be_taken_back_and_only_once() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-03-02T12:00:00Z");
    let first = records.keep(noon, &wash("lance-1")).expect("kept");
    records
        .keep(noon, &Happening::WashUndone(first))
        .expect("taken back");
    let before = records.past().expect("past");
    for undo in [
        Happening::WashUndone(first),
        Happening::WashUndone(first + 77),
        Happening::FillUndone(first),
    ] {
        let fault = records
            .keep(noon + chrono::TimeDelta::days(1), &undo)
            .expect_err("nothing");
        assert!(fault.message.contains("could be taken back"), "{fault}");
    }
    assert_eq!(
        records.past().expect("past"),
        before,
        "nothing of it was kept"
    );
    // Taken back is not gone: the row is still there.
    let rows: u32 = rusqlite::Connection::open(&path)
        .expect("opened")
        .query_row(
            "SELECT count(*) FROM washes WHERE taken_back = 2",
            [],
            |r| r.get(0),
        )
        .expect("count");
    assert_eq!(rows, 1);
    assert_eq!(summary(&path).expect("summary"), Summary::default());
}

#[test]
fn a_mispoured_fill_is_kept_and_taken_back_with_all_that_follows_from_it() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-03-02T12:00:00Z");
    let fill = |poured: f64, how: FillHow| Fill {
        sprayer: "lance-1".into(),
        chemical: "film".into(),
        fill: Volume::ml(820.0),
        poured: Volume::ml(poured),
        water: Volume::ml(820.0 - poured),
        strength: Strength::NEAT,
        standing: "good".into(),
        how,
    };
    let usual = records
        .keep(noon, &Happening::Fill(fill(590.0, FillHow::Fresh)))
        .expect("kept");
    let before = records.log(0).expect("log");
    let meant = Volume::ml(590.0);
    let (left, product) = (Volume::ml(615.0), Volume::ml(585.0));
    let mispoured = |instead_of| Happening::Mispoured {
        fill: fill(780.0, FillHow::Mispoured { meant }),
        instead_of,
        added: Some(fill(0.0, FillHow::ToppedUp { left, product })),
    };
    let poured = |records: &mut SqliteRecords| -> Vec<f64> {
        let log = records.stock_log(noon).expect("log").into_iter();
        let fills = log.map(|logged| match logged.what {
            Happening::Fill(fill) => fill.poured.as_ml(),
            what => panic!("{what:?}"),
        });
        fills.collect()
    };
    // Instead of one that is not there: nothing of it is kept.
    let fault = records.keep(noon, &mispoured(Some(usual + 77)));
    let fault = fault.expect_err("not there");
    assert!(fault.message.contains("could be taken back"), "{fault}");
    assert_eq!(records.log(0).expect("log"), before);
    let wrong = records.keep(noon, &mispoured(Some(usual))).expect("kept");
    assert_eq!(poured(&mut records), [780.0, 0.0]);
    let last = records.last_fill("lance-1").expect("read").expect("one");
    assert_eq!((last.entry, last.used), (wrong + 1, false));
    assert_eq!(last.fill.how, FillHow::ToppedUp { left, product });
    records
        .keep(noon, &Happening::FillUndone(wrong))
        .expect("taken back");
    assert_eq!(records.log(0).expect("log"), before);
    assert_eq!(summary(&path).expect("summary").fills, 1);
    drop(records);
    let mut records = open(&path);
    assert_eq!(poured(&mut records), [590.0], "after reopening");
    let past = records.past().expect("past");
    assert_eq!(past.sprayers["lance-1"].in_it.as_deref(), Some("film"));
}

#[test]
fn what_makes_no_sense_is_refused_and_nothing_of_it_kept() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let draft = |ml: f64| {
        Happening::Drafted(Draft {
            sprayer: "lance-1".into(),
            step: Step::Catch,
            catch_loads: vec![load(500.0), load(ml)],
            ..begun(Way::RunDry)
        })
    };
    let noon = at("2026-03-02T12:00:00Z");
    records.keep(noon, &draft(700.0)).expect("kept");
    let before = records.past().expect("past");
    for ml in [f64::NAN, f64::INFINITY, -1.0, 1e12] {
        let fault = records.keep(noon, &draft(ml)).expect_err("no volume");
        assert!(fault.message.contains("measure again"), "{fault}");
    }
    assert_eq!(
        records.past().expect("past"),
        before,
        "the old draft still stands"
    );
}

#[test]
fn records_of_version_one_open_as_they_were_frozen() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_1.sql"));
    let past = open(&path).past().expect("past");
    let lance = &past.sprayers["lance-1"];
    let calibration = lance.calibration.as_ref().expect("calibration");
    assert_eq!(calibration.nozzle, "1.35 mm");
    assert_eq!(calibration.calibration.run.catch, Volume::litres(14.7));
    assert_eq!(calibration.calibration.run.time.as_millis(), 104_200);
    assert_eq!(calibration.taken, at("2026-03-02T08:15:00+01:00"));
    assert_eq!(
        lance.washes_since,
        7 + 2,
        "brought along and counted, one taken back"
    );
    assert_eq!(lance.void.map(|v| v.word()), Some("nozzle"));
    assert_eq!((lance.put_off.times, lance.put_off.until_washes), (1, 45));
    assert_eq!(
        past.sprayers["lance-2"].washes_since,
        12 + 1,
        "never calibrated"
    );
    assert_eq!(past.last_sprayer.as_deref(), Some("lance-2"));
    let draft = past.draft.as_ref().expect("draft");
    assert_eq!(draft.catch_loads, [load(1000.0); 2]);
    // What version 1 did not keep.
    assert_eq!((draft.way, draft.set_time), (Way::RunDry, None));
    assert_eq!(draft.left_loads, []);
    assert!(draft.weights.is_empty() && draft.runs.is_empty());
    let run = calibration.calibration.run;
    assert_eq!((run.way, run.read, run.weights), (Way::RunDry, None, None));
    assert_eq!(lance.check, None);
    assert!(lance.corrections.is_empty());
    assert_eq!(past.newest, Some(at("2026-03-03T07:30:00+01:00")));
    assert_eq!(
        summary(&path).expect("summary"),
        Summary {
            washes: 12 + 3,
            fills: 1,
            calibrations: 1
        }
    );
}

#[test]
fn the_tables_made_now_are_those_that_were_frozen() {
    // Whoever edits a released step of the ladder instead of adding one fails here.
    let schema = |path: &Path| -> Vec<String> {
        let connection = rusqlite::Connection::open(path).expect("opened");
        let mut query = connection
            .prepare("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
            .expect("query");
        let rows = query
            .query_map([], |row| row.get::<_, String>(0))
            .expect("rows");
        rows.map(|sql| {
            let sql = sql.expect("sql");
            let code = sql.lines().map(|l| l.split("--").next().unwrap_or(""));
            code.flat_map(str::split_whitespace)
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect()
    };
    let (_a, frozen) = bay();
    meddle(&frozen, include_str!("frozen_1.sql"));
    let (_b, new) = bay();
    drop(open(&new));
    drop(open(&frozen));
    assert_eq!(schema(&new), schema(&frozen));
    let (_c, second) = bay();
    meddle(&second, include_str!("frozen_2.sql"));
    drop(open(&second));
    assert_eq!(schema(&new), schema(&second));
    let (_d, third) = bay();
    meddle(&third, include_str!("frozen_3.sql"));
    drop(open(&third));
    assert_eq!(schema(&new), schema(&third));
    let (_e, fourth) = bay();
    meddle(&fourth, include_str!("frozen_4.sql"));
    drop(open(&fourth));
    assert_eq!(schema(&new), schema(&fourth));
    let (_f, fifth) = bay();
    meddle(&fifth, include_str!("frozen_5.sql"));
    drop(open(&fifth));
    assert_eq!(schema(&new), schema(&fifth));
    assert_eq!(
        VERSION, 5,
        "freeze the new version beside the old ones, and test it too"
    );
}

#[test]
fn records_of_version_one_climb_and_tell_the_same() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_1.sql"));
    let version = || -> u32 {
        let connection = rusqlite::Connection::open(&path).expect("opened");
        let read = |row: &rusqlite::Row<'_>| row.get(0);
        connection
            .query_row("SELECT user_version FROM pragma_user_version", [], read)
            .expect("version")
    };
    // Read only, as beside a wall of the older program: told the same, and not touched.
    let bytes = std::fs::read(&path).expect("file");
    let before = past_of(&path).unwrap_or_else(|fault| panic!("{fault}"));
    let counted = summary(&path).expect("summary");
    let history = history_of(&path, "lance-1").expect("history");
    assert_eq!(std::fs::read(&path).expect("file"), bytes);
    assert_eq!(version(), 1);
    assert!(before.repeats.is_empty());
    assert!(
        matches!(
            &history[..],
            [
                Milestone::Calibrated { record, washes: 9, .. },
                Milestone::Changed { what: VoidCause::Nozzle, .. },
            ] if record.calibration.count() == 1
        ),
        "{history:#?}"
    );

    let mut records = open(&path);
    assert_eq!(version(), VERSION);
    assert_eq!(records.past().expect("past"), before);
    assert_eq!(records.history("lance-1").expect("history"), history);
    assert_eq!(summary(&path).expect("summary"), counted);
    // And it goes on with what only the new one can keep.
    let runs = [run(14_700.0), run(14_550.0)];
    records
        .keep(at("2026-03-04T12:00:00Z"), &calibrated(&runs))
        .expect("kept");
    drop(records);
    let past = open(&path).past().expect("past");
    let record = past.sprayers["lance-1"].calibration.as_ref().expect("one");
    assert!(record.calibration.runs().eq(&runs));
    assert_eq!(past.repeats, [[820.0 / 14_700.0, 820.0 / 14_550.0]]);
}

#[test]
fn records_of_version_two_open_as_they_were_frozen() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_2.sql"));
    // Read only, as beside a wall of the older program: told the same, and not touched.
    let bytes = std::fs::read(&path).expect("file");
    let before = past_of(&path).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(std::fs::read(&path).expect("file"), bytes);
    let past = open(&path).past().expect("past");
    assert_eq!(past, before);
    assert_eq!(heard(&past), (None, None, None), "nobody could choose");
    tells_what_version_two_could(&past);
}

#[test]
fn records_of_version_three_open_as_they_were_frozen() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_3.sql"));
    let past = open(&path).past().expect("past");
    let chosen = (Some(90), Some(Language::Spanish), Some("USB Audio, Front"));
    assert_eq!(heard(&past), chosen);
    tells_what_version_two_could(&past);
}

#[test]
fn a_choice_of_version_four_stays_the_bays_and_new_ones_are_of_their_sprayers() {
    let (_dir, path) = bay();
    let chosen =
        "INSERT INTO happenings VALUES (901, 'chemical-chosen', '2026-03-03T12:00:00+01:00',
             '2026-03-03T12:00:00+01:00');
         INSERT INTO choices VALUES (901, 'chemical', 'soap');";
    meddle(&path, &format!("{}{chosen}", include_str!("frozen_4.sql")));
    let old = |past: &Past| {
        let chosen = &past.chosen_chemicals[&Scope::Bay];
        (chosen.entry, chosen.what.clone())
    };
    // Looked at only, as the commands do, and then opened and carried over.
    assert_eq!(old(&past_of(&path).expect("past")), (901, "soap".into()));
    let mut records = open(&path);
    let scope = Scope::Sprayer("lance-1".into());
    let choice = Happening::ChemicalChosen {
        scope: scope.clone(),
        chemical: "film".into(),
    };
    let entry = records
        .keep(at("2026-03-03T12:05:00+01:00"), &choice)
        .expect("kept");
    let past = records.past().expect("past");
    assert_eq!(past.chosen_chemicals.len(), 2);
    assert_eq!(old(&past), (901, "soap".into()));
    let own = &past.chosen_chemicals[&scope];
    assert_eq!((own.entry, own.what.as_str()), (entry, "film"));
}

#[test]
fn records_of_version_four_open_as_they_were_frozen() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_4.sql"));
    let mut records = open(&path);
    let past = records.past().expect("past");
    tells_what_version_two_could(&past);
    let of_old = past_of_version(include_str!("frozen_3.sql"));
    let lance = past.sprayers["lance-1"].in_it.as_deref();
    assert_eq!(
        (lance, of_old.sprayers["lance-1"].in_it.as_deref()),
        (None, Some("film"))
    );
    assert_eq!(past.sprayers["lance-2"].in_it.as_deref(), Some("soap"));
    let newest = |past: &Past| past.last_fills.values().max().copied();
    assert_eq!(newest(&of_old), Some(at("2026-03-02T09:00:00+01:00")));
    assert_eq!(newest(&past), Some(at("2026-03-03T11:05:00+01:00")));
    assert_eq!((past.wrong_pins, of_old.wrong_pins), (2, 0));
    let day = DaySetting {
        scope: Scope::Bay,
        chemical: "soap".into(),
        strength: Strength::percent(3.5),
        today_only: true,
        allowed: Allowed::TooWeak,
        beside_never: true,
    };
    let set = Placed {
        entry: 38,
        at: at("2026-03-03T11:20:00+01:00"),
        what: day,
    };
    assert_eq!(
        past.day,
        BTreeMap::from([(Scope::Bay, set)]),
        "that of lance 1 was ended"
    );
    assert!(of_old.day.is_empty());
    let log = records.log(25).expect("log");
    let told: Vec<(i64, &Happening)> = log.iter().map(|l| (l.entry, &l.what)).collect();
    let changed = SetupChange {
        keys: vec![
            ChangedKey {
                place: "reminder".into(),
                key: "washes".into(),
                before: Some("40".into()),
                after: Some("50".into()),
            },
            ChangedKey {
                place: "measure jug".into(),
                key: String::new(),
                before: Some("[[measure]]".into()),
                after: None,
            },
        ],
        text_before: "name = \"Bay\"".into(),
        text: "name = \"Yard\"".into(),
    };
    let stock = |what| Happening::Stock {
        chemical: "film".into(),
        what,
    };
    assert_eq!(
        told[told.len() - 4..],
        [
            (39, &Happening::SetupChanged(changed)),
            (
                40,
                &stock(StockMove::Delivered {
                    containers: 3,
                    volume: Volume::litres(60.0)
                })
            ),
            (41, &stock(StockMove::Opened { containers: 1 })),
            (
                42,
                &stock(StockMove::Counted {
                    volume: Volume::litres(52.5)
                })
            ),
        ],
        "and the delivery after it was taken back"
    );
    let hows: Vec<FillHow> = log
        .iter()
        .filter_map(|l| match &l.what {
            Happening::Fill(fill) => Some(fill.how),
            _ => None,
        })
        .collect();
    let (left, product) = (Volume::ml(200.0), Volume::ml(141.5));
    let meant = Volume::ml(590.0);
    assert_eq!(
        hows,
        [
            FillHow::ToppedUp { left, product },
            FillHow::Mispoured { meant }
        ]
    );
}

#[test]
fn records_of_version_five_open_as_they_were_frozen() {
    let (_dir, path) = bay();
    meddle(&path, include_str!("frozen_5.sql"));
    let bytes = std::fs::read(&path).expect("file");
    let before = past_of(&path).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(std::fs::read(&path).expect("file"), bytes);
    let mut records = open(&path);
    let past = records.past().expect("past");
    assert_eq!(past, before);
    assert_eq!(past.broken, [], "the sums are those of what is in it");
    // What counts is what was brought back; what was taken back is in no history.
    let catches = |record: &CalibrationRecord| -> Vec<f64> {
        let runs = record.calibration.runs();
        runs.map(|run| run.catch.as_ml()).collect()
    };
    let lance = &past.sprayers["lance-1"];
    let counts = lance.calibration.as_ref().expect("one");
    assert_eq!(catches(counts), [14_790.0, 14_570.0]);
    let history = records.history("lance-1").expect("history");
    let told: Vec<(bool, i64)> = history
        .iter()
        .filter_map(|milestone| match milestone {
            Milestone::Calibrated { entry, .. } => Some((true, *entry)),
            Milestone::BroughtBack { of, .. } => Some((false, *of)),
            Milestone::Changed { .. } => None,
        })
        .collect();
    assert_eq!(told, [(true, 2), (true, 49), (true, 51), (false, 49)]);
    let with_all = history
        .iter()
        .find_map(|milestone| match milestone {
            Milestone::Calibrated {
                entry: 51, record, ..
            } => Some(record),
            _ => None,
        })
        .expect("the one with all that may be known");
    assert_eq!(with_all.dial.as_deref(), Some("tip 4"));
    let calibration = &with_all.calibration;
    assert_eq!(
        calibration.holds,
        Some(Container::measured(Volume::ml(880.0)))
    );
    let runs: Vec<(f64, Option<f64>)> = calibration
        .runs()
        .map(|run| (run.left.as_ml(), run.weights.map(|w| w.catch_celsius)))
        .collect();
    assert_eq!(runs, [(12.0, None), (12.0, Some(46.5))]);
    let draft = past.draft.as_ref().expect("draft");
    assert_eq!(draft.left_loads, [load(14.0)]);
    assert_eq!(draft.catch_loads[0].graduation, Some(Volume::ml(10.0)));
    assert_eq!(draft.runs[0].left, Volume::ml(12.0));
    let scope = Scope::Sprayer("lance-1".into());
    let own = &past.chosen_chemicals[&scope];
    assert_eq!((own.entry, own.what.as_str()), (56, "soap"));
    assert_eq!(past.newest, Some(at("2026-05-04T12:00:00Z")));
    let last = records.last_fill("lance-2").expect("read").expect("one");
    let (left, product) = (Volume::ml(880.0), Volume::ml(330.0));
    assert_eq!(last.fill.how, FillHow::ToppedUp { left, product });
    // The chain goes on behind what was frozen.
    let noon = at("2026-05-04T13:00:00Z");
    records.keep(noon, &wash("lance-2")).expect("kept");
    drop(records);
    assert_eq!(past_of(&path).expect("past").broken, []);
}

fn past_of_version(frozen: &str) -> Past {
    let (_dir, path) = bay();
    meddle(&path, frozen);
    past_of(&path).unwrap_or_else(|fault| panic!("{fault}"))
}

#[test]
fn what_cannot_be_of_the_days_round_is_refused_and_nothing_of_it_kept() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-03-02T12:00:00Z");
    let stock = |what| Happening::Stock {
        chemical: "film".into(),
        what,
    };
    let delivered = |containers, ml| {
        stock(StockMove::Delivered {
            containers,
            volume: Volume::ml(ml),
        })
    };
    let counted = |ml| {
        stock(StockMove::Counted {
            volume: Volume::ml(ml),
        })
    };
    let kept = [
        delivered(0, 1.0),
        counted(0.0),
        stock(StockMove::Opened { containers: 1 }),
    ];
    for happening in &kept {
        records.keep(noon, happening).expect("kept");
    }
    let (before, log) = (records.past().expect("past"), records.log(0).expect("log"));
    assert_eq!(log.len(), 3);
    let later = noon + chrono::TimeDelta::days(1);
    let other = DaySetting {
        scope: Scope::Sprayer("lance-1".into()),
        chemical: "film".into(),
        strength: None,
        today_only: false,
        allowed: Allowed::Freely,
        beside_never: false,
    };
    let last = log[2].entry;
    for (wrong, says) in [
        (delivered(1, 0.0), "nothing was delivered"),
        (delivered(1, -1.0), "measure again"),
        (delivered(1, f64::NAN), "measure again"),
        (delivered(1_000_000, 1.0), "so many containers"),
        (counted(-0.1), "measure again"),
        (counted(f64::INFINITY), "measure again"),
        (stock(StockMove::Opened { containers: 0 }), "no container"),
        (Happening::StockUndone(last + 1), "could be taken back"),
        (Happening::RinseUndone(last), "could be taken back"),
        (Happening::DayUndone(last), "could be taken back"),
        (
            Happening::DaySet {
                scope: Scope::Bay,
                setting: Some(other),
            },
            "set it again",
        ),
    ] {
        let fault = records.keep(later, &wrong).expect_err(says);
        assert!(fault.message.contains(says), "{fault}");
    }
    assert_eq!(records.past().expect("past"), before);
    assert_eq!(records.log(0).expect("log"), log);
}

/// How the wall is to be heard.
pub fn heard(past: &Past) -> (Option<u8>, Option<Language>, Option<&str>) {
    let loudspeaker = past.loudspeaker.as_deref();
    (past.volume_percent, past.language, loudspeaker)
}

fn tells_what_version_two_could(past: &Past) {
    let record = past.sprayers["lance-1"].calibration.as_ref().expect("one");
    let catches: Vec<f64> = record
        .calibration
        .runs()
        .map(|run| run.catch.as_ml())
        .collect();
    assert_eq!(catches, [14_700.0, 14_550.0, 14_860.0]);
    let fractions: Vec<f64> = catches.iter().map(|catch| 820.0 / catch).collect();
    assert_eq!(past.repeats, [fractions]);
    let runs: Vec<Run> = record.calibration.runs().copied().collect();
    let read = |drawn: f64, catch: f64| {
        Some(Read {
            drawn: Volume::ml(drawn),
            catch: Volume::ml(catch),
        })
    };
    let told = |run: &Run| (run.way, run.read, run.weights);
    assert_eq!(told(&runs[0]), (Way::Timed, read(1.5, 4.25), None));
    let weights = Weights {
        celsius: 15.5,
        catch_celsius: 15.5,
        bucket_empty: 0.62,
        container_full: 1.94,
        container_after: 1.12,
        bucket_full: 15.17,
    };
    assert_eq!(
        told(&runs[1]),
        (Way::ByWeight, read(0.0, 4.0), Some(weights))
    );
    assert_eq!(told(&runs[2]), (Way::RunDry, None, None));
    let draft = past.draft.as_ref().expect("draft");
    let on = |ml: f64, step: f64| Load {
        volume: Volume::ml(ml),
        graduation: Some(Volume::ml(step)),
    };
    assert_eq!(draft.catch_loads, [load(1000.0), on(1000.0, 10.0)]);
    assert_eq!(draft.left_loads, [on(250.0, 5.0), load(30.0)]);
    assert_eq!(
        (draft.way, draft.set_time),
        (Way::Timed, Some(Duration::from_secs(60)))
    );
    assert_eq!(
        draft.weights,
        BTreeMap::from([(Weighed::Water, 14.5), (Weighed::BucketEmpty, 0.62)])
    );
    assert_eq!(draft.runs.len(), 1);
    assert_eq!(draft.runs[0].time.as_millis(), 57_600);
    assert_eq!(told(&draft.runs[0]), (Way::Timed, read(2.0, 4.0), None));
    let lance = &past.sprayers["lance-1"];
    let check = lance.check.as_ref().expect("with water");
    assert_eq!((check.time.as_millis(), &check.mix), (103_500, &None));
    assert_eq!(lance.corrections, BTreeMap::from([("film".into(), 1.08)]));
    assert!(past.sprayers["lance-2"].corrections.is_empty(), "lifted");
}

#[test]
fn records_of_a_newer_version_are_refused_and_not_touched() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    records
        .keep(at("2026-03-02T12:00:00Z"), &wash("lance-1"))
        .expect("kept");
    drop(records);
    meddle(
        &path,
        "PRAGMA user_version = 99; CREATE TABLE new_things (x)",
    );
    let bytes = std::fs::read(&path).expect("file");
    assert!(
        refused(&path).contains("newer fillcall (version 99"),
        "{}",
        refused(&path)
    );
    assert!(
        past_of(&path)
            .expect_err("refused")
            .message
            .contains("newer")
    );
    assert!(
        summary(&path)
            .expect_err("refused")
            .message
            .contains("newer")
    );
    assert_eq!(std::fs::read(&path).expect("file"), bytes);
}

#[test]
fn a_file_of_something_else_is_refused_and_not_touched() {
    let (_dir, path) = bay();
    meddle(&path, "CREATE TABLE songs (title TEXT)");
    let bytes = std::fs::read(&path).expect("file");
    assert!(refused(&path).contains("not fillcall's records"));
    assert_eq!(std::fs::read(&path).expect("file"), bytes);
    std::fs::write(&path, "Lance 1: 14.7 litres\n".repeat(400)).expect("file");
    assert!(
        refused(&path).contains("fillcall restore"),
        "{}",
        refused(&path)
    );
    assert!(
        std::fs::read_to_string(&path)
            .expect("file")
            .starts_with("Lance 1")
    );
}

#[test]
fn an_empty_file_and_no_file_are_a_bay_that_has_not_begun() {
    let (dir, path) = bay();
    assert_eq!(past_of(&path).expect("past"), Past::default());
    assert_eq!(summary(&path).expect("summary"), Summary::default());
    assert_eq!(
        std::fs::read_dir(dir.path()).expect("folder").count(),
        0,
        "nothing was made"
    );
    std::fs::write(&path, "").expect("empty file");
    assert_eq!(past_of(&path).expect("past"), Past::default());
    assert_eq!(open(&path).past().expect("past"), Past::default());
}

#[test]
fn damage_anywhere_is_a_fault_with_a_remedy_and_never_a_panic() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    for n in 0..200 {
        let noon = at("2026-03-02T12:00:00Z") + chrono::TimeDelta::minutes(n);
        records.keep(noon, &wash("lance-1")).expect("kept");
    }
    drop(records);
    let sound = std::fs::read(&path).expect("file");
    assert!(summary(&path).is_ok());
    let mut faults = 0;
    for page in 0..sound.len() / 4096 {
        let mut damaged = sound.clone();
        damaged[page * 4096..][..512].fill(0x5a);
        std::fs::write(&path, &damaged).expect("file");
        for fault in [
            summary(&path).err(),
            SqliteRecords::open(&path)
                .and_then(|mut r| {
                    r.past()?;
                    r.keep(at("2026-03-02T12:00:00Z"), &wash("lance-1"))
                })
                .err(),
        ]
        .into_iter()
        .flatten()
        {
            assert!(
                fault.message.contains("fillcall restore"),
                "page {page}: {fault}"
            );
            faults += 1;
        }
    }
    assert!(
        faults >= sound.len() / 4096,
        "each page is looked at by the summary at least"
    );
}

#[test]
fn a_second_program_that_holds_the_file_gets_a_clear_message() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let other = rusqlite::Connection::open(&path).expect("opened");
    other.execute_batch("BEGIN IMMEDIATE").expect("held");
    let begun = std::time::Instant::now();
    let fault = records
        .keep(at("2026-03-02T12:00:00Z"), &wash("lance-1"))
        .expect_err("held");
    assert!(fault.message.contains("another program"), "{fault}");
    assert!(begun.elapsed().as_secs() < 5, "it does not wait for ever");
    other.execute_batch("ROLLBACK").expect("let go");
    records
        .keep(at("2026-03-02T12:00:00Z"), &wash("lance-1"))
        .expect("free again");
    // Two walls on one file both count.
    let mut second = open(&path);
    second
        .keep(at("2026-03-02T12:00:01Z"), &wash("lance-1"))
        .expect("kept");
    assert_eq!(
        records.past().expect("past").sprayers["lance-1"].washes_since,
        2
    );
}

#[test]
fn a_file_taken_away_while_the_wall_runs_is_noticed() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    records
        .keep(at("2026-03-02T12:00:00Z"), &wash("lance-1"))
        .expect("kept");
    let aside = path.with_extension("aside");
    std::fs::rename(&path, &aside).expect("moved");
    let keep = |r: &mut SqliteRecords| r.keep(at("2026-03-02T12:00:01Z"), &wash("lance-1"));
    assert!(
        keep(&mut records)
            .expect_err("gone")
            .message
            .contains("taken away")
    );
    std::fs::copy(&aside, &path).expect("another file");
    assert!(
        keep(&mut records)
            .expect_err("another")
            .message
            .contains("replaced")
    );
    std::fs::rename(&aside, &path).expect("back");
    keep(&mut records).expect("it is the same file again");
}

#[test]
fn a_folder_that_is_not_there_is_told() {
    let fault = refused(Path::new("/nowhere/at/all/records.sqlite"));
    assert!(fault.contains("folder is there"), "{fault}");
}

#[test]
fn the_set_up_is_noted_when_it_changed() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-03-02T12:00:00Z");
    assert!(records.note_setup(noon, "name = \"A\"").expect("noted"));
    assert!(!records.note_setup(noon, "name = \"A\"").expect("the same"));
    drop(records);
    let mut records = open(&path);
    assert!(!records.note_setup(noon, "name = \"A\"").expect("the same"));
    assert!(records.note_setup(noon, "name = \"B\"").expect("noted"));
    assert!(records.note_setup(noon, "name = \"A\"").expect("noted"));
    assert_eq!(records.past().expect("past").newest, Some(noon));
}

#[test]
fn whoever_is_named_anywhere_is_known() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    let when = at("2026-03-02T08:00:00+01:00");
    let chemical = |id: &str| Place::Chemical(id.into());
    let sprayer = |id: &str| Place::Sprayer(id.into());
    let stock = |chemical: &str| Happening::Stock {
        chemical: chemical.into(),
        what: StockMove::Opened { containers: 1 },
    };
    let set = DaySetting {
        scope: Scope::Sprayer("lance-3".into()),
        chemical: "soap".into(),
        strength: None,
        today_only: true,
        allowed: Allowed::Freely,
        beside_never: false,
    };
    let check = CheckRecord {
        sprayer: "lance-4".into(),
        mix: Some("mixed".into()),
        time: Duration::from_secs(100),
        calibrated: Duration::from_secs(100),
        at: when,
    };
    let removed = ChangedKey {
        place: "vehicle van".into(),
        key: String::new(),
        before: Some("name = \"Van\"".into()),
        after: None,
    };
    let happenings: Vec<(Happening, Vec<Place>)> = vec![
        (wash("lance-1"), vec![sprayer("lance-1"), chemical("film")]),
        (
            Happening::Rinsed {
                sprayer: "lance-2".into(),
            },
            vec![sprayer("lance-2")],
        ),
        (
            Happening::DaySet {
                scope: set.scope.clone(),
                setting: Some(set),
            },
            vec![sprayer("lance-3"), chemical("soap")],
        ),
        (stock("acid"), vec![chemical("acid")]),
        (
            Happening::Checked(check),
            vec![sprayer("lance-4"), chemical("mixed")],
        ),
        (
            Happening::ChemicalChosen {
                scope: Scope::Sprayer("lance-6".into()),
                chemical: "wax".into(),
            },
            vec![sprayer("lance-6"), chemical("wax")],
        ),
        (
            Happening::SetupChanged(SetupChange {
                keys: vec![removed],
                text_before: String::new(),
                text: String::new(),
            }),
            vec![Place::Vehicle("van".into())],
        ),
    ];
    for (happening, named) in &happenings {
        for item in named {
            assert_eq!(records.know(item), Ok(false), "{item:?} before");
        }
        records.keep(when, happening).expect("kept");
        for item in named {
            assert_eq!(records.know(item), Ok(true), "{item:?}");
        }
    }
    // Of another kind it is another one.
    for other in [chemical("lance-1"), sprayer("film"), sprayer("van")] {
        assert_eq!(records.know(&other), Ok(false), "{other:?}");
    }
    assert_eq!(records.know(&Place::Bay), Ok(false));
    // Taken back, it was named all the same.
    let undone = records.keep(when, &stock("oil")).expect("kept");
    records
        .keep(when, &Happening::StockUndone(undone))
        .expect("kept");
    assert_eq!(records.know(&chemical("oil")), Ok(true));
}
