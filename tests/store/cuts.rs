//! Power cuts, made with the store's own files: the log cut at every byte of an append, the log
//! torn at every byte where it is overwritten from its beginning, the database torn at every byte
//! while the log is carried over into it, and sectors written in any order.
//!
//! What was confirmed before must be there each time, and of the happening in hand either all or
//! nothing.

use crate::model::Model;
use crate::records::{at, begun, wash};
use fillcall::bay::records::{
    CalibrationRecord, CheckRecord, DaySetting, Draft, Fill, FillHow, Happening, LeadAccess, Load,
    Past, Records, Scope, SoundChoice, Step,
};
use fillcall::store::records::{SqliteRecords, past_of, summary};
use fillcall::trade::calibration::{Calibration, Container, Read, Run, Way};
use fillcall::trade::days_strength::Allowed;
use fillcall::trade::units::{Strength, Volume};
use fillcall::trade::weighing::Weighed;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The size of a page and of a frame of the log (with its head), and of the log's own head.
const PAGE: usize = 4096;
const FRAME: usize = PAGE + 24;
const LOG_HEAD: usize = 32;
/// What a disk writes at once.
const SECTOR: usize = 512;

/// The two files of the store as they are at one moment.
#[derive(Clone, PartialEq)]
struct Files {
    database: Vec<u8>,
    log: Vec<u8>,
}

fn log_of(path: &Path) -> PathBuf {
    path.with_extension("sqlite-wal")
}

impl Files {
    fn of(path: &Path) -> Self {
        Self {
            database: std::fs::read(path).expect("database"),
            log: std::fs::read(log_of(path)).expect("log"),
        }
    }

    /// Puts them into a folder as they lie on a disk whose power came back.
    fn put(&self, dir: &Path) -> PathBuf {
        let path = dir.join("records.sqlite");
        let _ = std::fs::remove_file(path.with_extension("sqlite-shm"));
        // Written without waiting for the disk, it may be gone or older as well.
        let _ = std::fs::remove_file(dir.join("records.begun"));
        std::fs::write(&path, &self.database).expect("database");
        std::fs::write(log_of(&path), &self.log).expect("log");
        path
    }
}

/// What is read of the store at `path`, without writing, once its log ends after so many bytes. Of
/// the files nothing else is written: the longest cut must come first.
fn after_cut(path: &Path, length: usize, what: &str) -> Past {
    let log = std::fs::OpenOptions::new().write(true).open(log_of(path));
    let length = u64::try_from(length).expect("length");
    log.and_then(|log| {
        assert!(
            log.metadata()?.len() >= length,
            "{what}: there is no more of it"
        );
        log.set_len(length)
    })
    .expect("cut");
    let _ = std::fs::remove_file(path.with_extension("sqlite-shm"));
    past_of(path).unwrap_or_else(|fault| panic!("{what}: {fault}"))
}

/// A store with some past, open, and the model of it.
struct Wall {
    dir: tempfile::TempDir,
    records: SqliteRecords,
    model: Model,
}

impl Wall {
    fn at_work() -> Self {
        let dir = tempfile::tempdir().expect("folder");
        let records = SqliteRecords::open(&dir.path().join("records.sqlite")).expect("open");
        let mut wall = Self {
            dir,
            records,
            model: Model::default(),
        };
        wall.keep(&calibrated());
        for _ in 0..5 {
            wall.keep(&wash("lance-1"));
        }
        wall.keep(&drafted());
        wall
    }

    fn path(&self) -> PathBuf {
        self.dir.path().join("records.sqlite")
    }

    fn keep(&mut self, happening: &Happening) {
        let noon = at("2026-03-02T12:00:00+01:00");
        let entry = self.records.keep(noon, happening).expect("kept");
        self.model.keep(entry, noon, happening);
    }

    /// Carries the log over into the database, as the store does by itself when it has grown. Another
    /// connection does it here, and an open store takes nobody else's writing: it is opened anew before
    /// the others close, so that nothing happens to the log.
    fn carry_over(&mut self) {
        let other = rusqlite::Connection::open(self.path()).expect("opened");
        let (busy, log, done): (i32, i32, i32) = other
            .query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |r| {
                Ok((r.get(0)?, r.get(1)?, r.get(2)?))
            })
            .expect("carried over");
        assert_eq!((busy, log), (0, done), "all of it");
        self.records = SqliteRecords::open(&self.path()).expect("open");
    }
}

fn calibrated() -> Happening {
    Happening::Calibrated(CalibrationRecord {
        sprayer: "lance-1".into(),
        nozzle: "1.35 mm".into(),
        washer: "Washer A".into(),
        dial: None,
        calibration: Calibration::of(
            Container::measured(Volume::ml(820.0)),
            &[run(14.7), run(14.65), run(14.8)],
        )
        .expect("runs"),
        taken: at("2026-03-02T11:59:00+01:00"),
    })
}

fn drafted() -> Happening {
    Happening::Drafted(Draft {
        step: Step::Catch,
        holds: Some(Volume::ml(820.0)),
        set_time: Some(Duration::from_secs(60)),
        time: Some(Duration::from_millis(104_200)),
        catch_loads: vec![load(1.0); 3],
        left_loads: vec![load(0.25)],
        weights: BTreeMap::from([(Weighed::Water, 14.5)]),
        runs: vec![run(14.7), run(14.65)],
        ..begun(Way::Timed)
    })
}

fn draft_of_two() -> Draft {
    let Happening::Drafted(draft) = drafted() else {
        unreachable!("it is one")
    };
    draft
}

/// A third run done.
fn drafted_further() -> Happening {
    let mut draft = draft_of_two();
    draft.runs.push(run(14.8));
    Happening::Drafted(draft)
}

fn thrown_away() -> Happening {
    Happening::RunThrownAway(draft_of_two())
}

fn run(litres: f64) -> Run {
    let dry = Run::dry(
        Volume::ml(820.0),
        Volume::litres(litres),
        Duration::from_millis(104_200),
    );
    Run {
        way: Way::Timed,
        read: Some(Read {
            drawn: Volume::ml(1.5),
            catch: Volume::ml(12.2),
        }),
        ..dry
    }
}

fn load(litres: f64) -> Load {
    Load {
        volume: Volume::litres(litres),
        graduation: Some(Volume::ml(10.0)),
    }
}

/// With water.
fn checked() -> Happening {
    Happening::Checked(CheckRecord {
        sprayer: "lance-1".into(),
        mix: None,
        time: Duration::from_millis(103_500),
        calibrated: Duration::from_millis(104_226),
        at: at("2026-03-02T12:30:00+01:00"),
    })
}

fn corrected(factor: Option<f64>) -> Happening {
    Happening::Corrected {
        sprayer: "lance-1".into(),
        chemical: "film".into(),
        factor,
    }
}

fn made_louder() -> Happening {
    Happening::SoundChosen(SoundChoice::Volume(90))
}

fn topped_up() -> Happening {
    Happening::Fill(Fill {
        sprayer: "lance-1".into(),
        chemical: "film".into(),
        fill: Volume::ml(820.0),
        poured: Volume::ml(480.0),
        water: Volume::ml(295.0),
        strength: Strength::NEAT,
        standing: "good".into(),
        how: FillHow::ToppedUp {
            left: Volume::ml(200.0),
            product: Volume::ml(141.5),
        },
    })
}

/// Poured by mistake instead of nothing that was logged, and put right at once.
fn mispoured() -> Happening {
    let Happening::Fill(added) = topped_up() else {
        unreachable!()
    };
    let fill = Fill {
        how: FillHow::Mispoured {
            meant: Volume::ml(590.0),
        },
        chemical: "soap".into(),
        ..added.clone()
    };
    Happening::Mispoured {
        fill,
        instead_of: None,
        added: Some(added),
    }
}

fn set_for_the_day() -> Happening {
    let setting = DaySetting {
        scope: Scope::Bay,
        chemical: "soap".into(),
        strength: None,
        today_only: true,
        allowed: Allowed::Freely,
        beside_never: false,
    };
    Happening::DaySet {
        scope: Scope::Bay,
        setting: Some(setting),
    }
}

/// A small stream of numbers that is the same in each run.
struct Dice(u64);

impl Dice {
    fn throw(&mut self) -> u64 {
        // Knuth, MMIX: good enough to choose sectors with.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }
}

/// What is read after the cut, without writing.
fn after(files: &Files, dir: &Path, what: &str) -> Past {
    past_of(&files.put(dir)).unwrap_or_else(|fault| panic!("{what}: {fault}"))
}

/// The bay goes on after the cut: the file is sound, opens, and takes the next wash.
fn goes_on(files: &Files, dir: &Path, what: &str) {
    let path = files.put(dir);
    let mut records = SqliteRecords::open(&path).unwrap_or_else(|f| panic!("{what}: {f}"));
    let before = records.past().expect("past");
    records
        .keep(at("2026-03-02T13:00:00+01:00"), &wash("lance-2"))
        .expect("kept");
    let now = records.past().expect("past");
    let washes = |past: &Past| past.sprayers.get("lance-2").map_or(0, |of| of.washes_since);
    assert_eq!(washes(&now), washes(&before) + 1, "{what}");
    drop(records);
    let other = rusqlite::Connection::open(&path).expect("opened");
    let sound: String = other
        .query_row("PRAGMA integrity_check", [], |r| r.get(0))
        .expect("check");
    assert_eq!(sound, "ok", "{what}");
    assert!(
        other
            .prepare("PRAGMA foreign_key_check")
            .expect("check")
            .query([])
            .expect("rows")
            .next()
            .expect("row")
            .is_none()
    );
}

/// `new` up to `cut`, and what was there before from then on.
fn torn(old: &[u8], new: &[u8], cut: usize) -> Vec<u8> {
    let mut bytes = new[..cut].to_vec();
    bytes.extend_from_slice(old.get(cut..).unwrap_or(&[]));
    bytes
}

/// Every place where tearing makes another file: between two bytes that are the same before and after
/// it makes none.
fn places_to_tear(old: &[u8], new: &[u8]) -> Vec<usize> {
    let cuts: Vec<usize> = (0..=new.len())
        .filter(|&cut| cut == 0 || old.get(cut - 1) != new.get(cut - 1))
        .collect();
    assert!(cuts.len() > 200, "{} different places", cuts.len());
    cuts
}

/// Some sectors new, some as before, in no order. A file that grew may hold zeros where nothing
/// was written yet.
fn shuffled(old: &[u8], new: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = new.to_vec();
    for (n, sector) in bytes.chunks_mut(SECTOR).enumerate() {
        if dice.throw().is_multiple_of(2) {
            for (i, byte) in sector.iter_mut().enumerate() {
                *byte = old.get(n * SECTOR + i).copied().unwrap_or(0);
            }
        }
    }
    bytes
}

/// The log cut while this happening is appended to it: within the heads of frames at every byte, in
/// between at every `step`th. Then its sectors in no order.
fn cut_while_appending(happening: &Happening, step: usize) {
    let mut wall = Wall::at_work();
    let (old, before) = (Files::of(&wall.path()), wall.model.past());
    wall.keep(happening);
    let (new, then) = (Files::of(&wall.path()), wall.model.past());
    assert_ne!(before, then);
    // This is what makes cutting the log the whole of the matter.
    assert!(
        old.database == new.database,
        "a write touches the log alone"
    );
    assert!(new.log.len() > old.log.len() && new.log.starts_with(&old.log));

    let (scratch, cut_in) = (
        tempfile::tempdir().expect("folder"),
        tempfile::tempdir().expect("folder"),
    );
    let path = new.put(cut_in.path());
    let cuts = (old.log.len()..=new.log.len()).rev().filter(|cut| {
        let in_frame = (cut - LOG_HEAD) % FRAME;
        in_frame <= 24 || cut.is_multiple_of(step) || *cut == new.log.len()
    });
    for cut in cuts {
        let what = format!("cut at byte {cut} of {}", new.log.len());
        let past = after_cut(&path, cut, &what);
        let whole = cut == new.log.len();
        assert_eq!(&past, if whole { &then } else { &before }, "{what}");
        if cut % 509 == 0 || whole {
            let files = Files {
                log: new.log[..cut].to_vec(),
                ..new.clone()
            };
            goes_on(&files, scratch.path(), &what);
        }
    }
    assert!(
        std::fs::read(&path).expect("database") == new.database,
        "reading wrote"
    );
    let mut dice = Dice(1);
    for n in 0..200 {
        let files = Files {
            log: shuffled(&old.log, &new.log, &mut dice),
            ..new.clone()
        };
        // What was confirmed was synced: only the append is in no order.
        let files = Files {
            log: [&old.log, &files.log[old.log.len()..]].concat(),
            ..files
        };
        let past = after(&files, scratch.path(), "shuffled");
        assert!(past == before || past == then, "shuffled, throw {n}");
    }
}

#[test]
fn the_log_cut_at_any_byte_of_an_append_keeps_everything_confirmed() {
    cut_while_appending(&wash("lance-1"), 1);
}

#[test]
fn the_log_cut_while_anything_else_is_appended_keeps_everything_confirmed() {
    for (happening, step) in [
        // As many pages as a wash, in tables of their own.
        (checked(), 13),
        (corrected(Some(1.08)), 17),
        (made_louder(), 13),
        // Over many pages.
        (calibrated(), 7),
        (drafted_further(), 31),
        (thrown_away(), 31),
        // A row beside a row, in tables of their own.
        (topped_up(), 31),
        // Both fills, or none of them.
        (mispoured(), 251),
        (set_for_the_day(), 61),
        (Happening::Lead(LeadAccess::Refused), 61),
    ] {
        cut_while_appending(&happening, step);
    }
}

#[test]
fn the_log_begun_anew_may_be_torn_at_any_byte() {
    let mut wall = Wall::at_work();
    wall.carry_over();
    let (old, before) = (Files::of(&wall.path()), wall.model.past());
    wall.keep(&wash("lance-1"));
    let (new, then) = (Files::of(&wall.path()), wall.model.past());
    assert!(
        old.database == new.database,
        "a write touches the log alone"
    );
    assert_eq!(
        old.log.len(),
        new.log.len(),
        "written over from its beginning"
    );
    assert_ne!(old.log[..LOG_HEAD], new.log[..LOG_HEAD]);

    let last = (0..new.log.len())
        .rfind(|&i| old.log[i] != new.log[i])
        .expect("changed")
        + 1;
    // The happening, the wash, its sum and the end of the chain.
    let pages = (last - LOG_HEAD).div_ceil(FRAME);
    assert_eq!(pages, 4, "four pages for a wash");
    let scratch = tempfile::tempdir().expect("folder");
    let cuts = places_to_tear(&old.log[..last], &new.log[..last]);
    for (n, cut) in cuts.into_iter().enumerate() {
        let files = Files {
            log: torn(&old.log, &new.log, cut),
            ..new.clone()
        };
        let what = format!("torn at byte {cut} of {last}");
        let past = after(&files, scratch.path(), &what);
        assert_eq!(
            past,
            if cut == last {
                then.clone()
            } else {
                before.clone()
            },
            "{what}"
        );
        if n % 41 == 0 || cut == last {
            goes_on(&files, scratch.path(), &what);
        }
    }
    let mut dice = Dice(2);
    for n in 0..300 {
        let files = Files {
            log: shuffled(&old.log, &new.log, &mut dice),
            ..new.clone()
        };
        let past = after(&files, scratch.path(), "shuffled");
        assert!(past == before || past == then, "shuffled, throw {n}");
    }
}

#[test]
fn the_database_torn_at_any_byte_of_a_carrying_over_is_repaired_from_the_log() {
    let mut wall = Wall::at_work();
    wall.carry_over();
    for _ in 0..3 {
        wall.keep(&wash("lance-1"));
    }
    wall.keep(&calibrated());
    let old = Files::of(&wall.path());
    wall.carry_over();
    let (new, past) = (Files::of(&wall.path()), wall.model.past());
    assert!(
        old.log == new.log,
        "the log stays until the database is synced"
    );
    let scratch = tempfile::tempdir().expect("folder");
    let cuts = places_to_tear(&old.database, &new.database);
    for (n, cut) in cuts.into_iter().enumerate() {
        let files = Files {
            database: torn(&old.database, &new.database, cut),
            ..new.clone()
        };
        let what = format!("torn at byte {cut}");
        assert_eq!(after(&files, scratch.path(), &what), past, "{what}");
        if n % 41 == 0 {
            goes_on(&files, scratch.path(), &what);
        }
    }
    let mut dice = Dice(3);
    for n in 0..100 {
        let files = Files {
            database: shuffled(&old.database, &new.database, &mut dice),
            ..new.clone()
        };
        assert_eq!(after(&files, scratch.path(), "shuffled"), past, "throw {n}");
        if n % 10 == 0 {
            goes_on(&files, scratch.path(), "shuffled");
        }
    }
    // And the test would see it: without the log the torn database is not what it should be.
    let lost = Files {
        log: Vec::new(),
        database: old.database,
    };
    assert_ne!(after(&lost, scratch.path(), "no log"), past);
}

#[test]
fn a_cut_while_the_tables_are_made_leaves_a_bay_that_begins() {
    let dir = tempfile::tempdir().expect("folder");
    let path = dir.path().join("records.sqlite");
    let records = SqliteRecords::open(&path).expect("open");
    let files = Files::of(&path);
    drop(records);
    let scratch = tempfile::tempdir().expect("folder");
    // Every byte of the heads of log and frames, and some within each page.
    let cuts = (0..=files.log.len()).filter(|cut| {
        let in_frame = cut.saturating_sub(LOG_HEAD) % FRAME;
        *cut <= LOG_HEAD
            || in_frame <= 24
            || in_frame.is_multiple_of(509)
            || *cut == files.log.len()
    });
    for cut in cuts {
        let cut_off = Files {
            log: files.log[..cut].to_vec(),
            ..files.clone()
        };
        let what = format!("cut at byte {cut} of {}", files.log.len());
        assert_eq!(
            after(&cut_off, scratch.path(), &what),
            Past::default(),
            "{what}"
        );
        if cut % 7 == 0 {
            goes_on(&cut_off, scratch.path(), &what);
        }
    }
    assert!(summary(&files.put(scratch.path())).is_ok());
}
