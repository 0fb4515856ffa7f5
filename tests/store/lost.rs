//! Records that vanished, lost their end, or were damaged under a running wall.

use crate::records::{at, bay, open, wash};
use fillcall::bay::records::Records;
use fillcall::store::records::{SqliteRecords, are_lost, past_of, summary};
use fillcall::store::{backup, records_path, setup_path};
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

fn log_of(path: &Path) -> PathBuf {
    path.with_extension("sqlite-wal")
}

/// So that the file system's clock tells two writings apart.
fn a_moment() {
    std::thread::sleep(Duration::from_millis(30));
}

/// Records as after a kill: what was kept last stands in the log alone.
fn killed() -> (tempfile::TempDir, PathBuf) {
    let (dir, path) = bay();
    let noon = at("2026-05-04T12:00:00Z");
    let mut records = open(&path);
    records.keep(noon, &wash("lance-1")).expect("kept");
    drop(records);
    let mut records = open(&path);
    for _ in 0..3 {
        records.keep(noon, &wash("lance-1")).expect("kept");
    }
    // What lies on the disk at this moment, in a folder of its own, with a marker that is about it.
    let (after, copy) = bay();
    std::fs::copy(&path, &copy).expect("copied");
    std::fs::copy(log_of(&path), log_of(&copy)).expect("copied");
    let number = |path: &Path| format!("{:020}", std::fs::metadata(path).expect("file").ino());
    let marker = std::fs::read_to_string(dir.path().join("records.begun")).expect("marker");
    assert!(marker.contains(&number(&path)), "{marker}");
    let marker = marker.replace(&number(&path), &number(&copy));
    std::fs::write(after.path().join("records.begun"), marker).expect("marker");
    (after, copy)
}

#[test]
fn records_that_vanished_are_no_new_bay() {
    type Way = fn(&Path);
    let ways: [(&str, Way); 4] = [
        ("deleted", |path| {
            std::fs::remove_file(path).expect("deleted")
        }),
        ("0 bytes", |path| std::fs::write(path, "").expect("emptied")),
        ("a dangling link", |path| {
            std::fs::remove_file(path).expect("deleted");
            std::os::unix::fs::symlink("/nowhere/at/all", path).expect("linked");
        }),
        ("a folder's worth less", |path| {
            for file in [
                path.to_owned(),
                log_of(path),
                path.with_extension("sqlite-shm"),
            ] {
                let _ = std::fs::remove_file(file);
            }
        }),
    ];
    for (what, vanish) in ways {
        let (_dir, path) = bay();
        let mut records = open(&path);
        records
            .keep(at("2026-05-04T12:00:00Z"), &wash("lance-1"))
            .expect("kept");
        drop(records);
        assert!(!are_lost(&path));
        vanish(&path);
        for fault in [
            SqliteRecords::open(&path).expect_err(what),
            past_of(&path).expect_err(what),
            summary(&path).expect_err(what),
        ] {
            assert!(fault.message.contains("no new bay"), "{what}: {fault}");
            assert!(
                fault.message.contains("fillcall restore"),
                "{what}: {fault}"
            );
        }
        assert!(are_lost(&path), "{what}");
        assert!(!Path::new("/nowhere/at/all").exists());
    }
    // Without a word that there were some it is a proper beginning.
    let (dir, path) = bay();
    assert!(!are_lost(&path));
    drop(open(&path));
    assert!(dir.path().join("records.begun").is_file());
}

#[test]
fn records_that_are_damaged_throughout_are_lost_too() {
    let (dir, path) = bay();
    let mut records = open(&path);
    let noon = at("2026-05-04T12:00:00Z");
    for _ in 0..200 {
        records.keep(noon, &wash("lance-1")).expect("kept");
    }
    drop(records);
    let sound = std::fs::read(&path).expect("file");
    assert!(!are_lost(&path));
    // All but its beginning, and each page that holds rows; without the first it is no database any more.
    let page = |n: usize| n * 4096..(n + 1) * 4096;
    let used = |n: &usize| matches!(sound[page(*n).start], 0x0d | 0x05 | b'S');
    let pages: Vec<usize> = (0..sound.len() / 4096).filter(used).collect();
    assert!(pages.len() > 20, "{pages:?}");
    let parts = pages
        .into_iter()
        .map(page)
        .chain(std::iter::once(4096..sound.len()));
    for part in parts {
        let mut damaged = sound.clone();
        damaged[part.clone()].fill(0x5a);
        std::fs::write(&path, damaged).expect("written");
        assert!(are_lost(&path), "{part:?}");
    }
    // What only another program keeps from being read is there.
    std::fs::write(&path, &sound).expect("written");
    let other = rusqlite::Connection::open(&path).expect("open");
    other.execute_batch("BEGIN IMMEDIATE").expect("it writes");
    assert!(!are_lost(&path));
    drop((other, dir));
}

#[test]
fn a_log_deleted_after_a_kill_is_missed() {
    let (_dir, path) = killed();
    let sound = past_of(&path).expect("past");
    assert_eq!(sound.sprayers["lance-1"].washes_since, 4);
    std::fs::remove_file(log_of(&path)).expect("deleted");
    let _ = std::fs::remove_file(path.with_extension("sqlite-shm"));
    assert!(are_lost(&path));
    for fault in [
        past_of(&path).expect_err("missed"),
        SqliteRecords::open(&path).expect_err("missed"),
    ] {
        assert!(fault.message.contains("entry 4 had been kept"), "{fault}");
    }
}

#[test]
fn a_kill_alone_is_no_loss() {
    let (_dir, path) = killed();
    assert!(!are_lost(&path));
    let past = open(&path).past().expect("past");
    assert_eq!(past.sprayers["lance-1"].washes_since, 4);
}

#[test]
fn an_older_copy_written_over_the_records_is_missed() {
    let (_dir, path) = bay();
    let noon = at("2026-05-04T12:00:00Z");
    let mut records = open(&path);
    records.keep(noon, &wash("lance-1")).expect("kept");
    drop(records);
    let older = std::fs::read(&path).expect("copied");
    let mut records = open(&path);
    records.keep(noon, &wash("lance-1")).expect("kept");
    drop(records);
    std::fs::write(&path, older).expect("written over");
    let fault = SqliteRecords::open(&path).expect_err("missed");
    assert!(fault.message.contains("end at entry 1"), "{fault}");
}

#[test]
fn an_older_copy_in_a_file_of_its_own_is_believed() {
    let (dir, path) = bay();
    let noon = at("2026-05-04T12:00:00Z");
    let mut records = open(&path);
    records.keep(noon, &wash("lance-1")).expect("kept");
    drop(records);
    let older = dir.path().join("older.sqlite");
    std::fs::copy(&path, &older).expect("copied");
    let mut records = open(&path);
    records.keep(noon, &wash("lance-1")).expect("kept");
    drop(records);
    // Somebody put it in the place of the other on purpose: the marker was about that one.
    std::fs::rename(&older, &path).expect("put in its place");
    assert!(!are_lost(&path));
    let past = open(&path).past().expect("past");
    assert_eq!(past.sprayers["lance-1"].washes_since, 1);
}

#[test]
fn damage_under_a_running_wall_is_noticed_before_anything_is_counted() {
    type Way = fn(&Path);
    let ways: [(&str, Way); 6] = [
        ("written over", |path| {
            let size = std::fs::metadata(path).expect("file").len();
            let junk = vec![0x5a; usize::try_from(size).expect("size")];
            std::fs::write(path, junk).expect("written");
        }),
        ("cut off", |path| {
            let file = std::fs::OpenOptions::new().write(true).open(path);
            file.and_then(|file| file.set_len(4096)).expect("cut");
        }),
        ("emptied", |path| std::fs::write(path, "").expect("emptied")),
        ("taken away", |path| {
            std::fs::remove_file(path).expect("gone")
        }),
        ("its log deleted", |path| {
            std::fs::remove_file(log_of(path)).expect("gone");
        }),
        ("its log emptied", |path| {
            std::fs::write(log_of(path), "").expect("emptied");
        }),
    ];
    for (what, damage) in ways {
        let (_dir, path) = bay();
        let noon = at("2026-05-04T12:00:00Z");
        let mut records = open(&path);
        records.keep(noon, &wash("lance-1")).expect("kept");
        // Read beside it, as a backup does, it is as it was left.
        past_of(&path).expect("past");
        records.keep(noon, &wash("lance-1")).expect("kept");
        a_moment();
        damage(&path);
        for _ in 0..2 {
            let fault = records.keep(noon, &wash("lance-1")).expect_err(what);
            assert!(fault.message.contains("nothing is kept"), "{what}: {fault}");
        }
    }
}

#[test]
fn the_newest_backup_is_found_and_brings_the_bay_back() {
    let place = tempfile::tempdir().expect("folder");
    let bay = place.path().join("bay");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    backup::restore(&bay, &demo, false).unwrap_or_else(|fault| panic!("{fault}"));
    let path = records_path(&bay);
    assert_eq!(backup::newest(&bay), None, "the set-up is no backup");
    // An old one beside the folder, a new one in the folder for them, and one that is no good.
    std::fs::copy(&demo, place.path().join("old.toml")).expect("copied");
    let washes = summary(&path).expect("summary").washes;
    let mut records = open(&path);
    records
        .keep(at("2026-05-04T12:00:00Z"), &wash("lance-1"))
        .expect("kept");
    drop(records);
    std::fs::create_dir(bay.join("backups")).expect("folder");
    let newest = bay.join("backups/newest.toml");
    backup::backup(&bay, &newest, false).expect("saved");
    std::fs::write(bay.join("no-good.toml"), "# fillcall backup\nformat = 1\n").expect("written");
    let found = backup::newest(&bay).expect("found");
    assert_eq!((&found.file, found.washes), (&newest, washes + 1));
    // The records are lost; what is brought back is the bay as it was then, and not missed again.
    std::fs::remove_file(&path).expect("deleted");
    assert!(are_lost(&path));
    backup::restore(&bay, &found.file, true).unwrap_or_else(|fault| panic!("{fault}"));
    assert!(!are_lost(&path) && setup_path(&bay).exists());
    drop(open(&path));
    assert_eq!(summary(&path).expect("summary").washes, washes + 1);
    // Restored, and lost before anybody opened it.
    std::fs::remove_file(&path).expect("deleted");
    assert!(SqliteRecords::open(&path).is_err());
}
