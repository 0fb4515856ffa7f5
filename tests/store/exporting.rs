//! The table of everything: as much memory for ten years as for a week, and counts that stay counts.

use crate::records::at;
use crate::restoring::SETUP;
use chrono::TimeDelta;
use fillcall::bay::records::{Fill, FillHow, Happening, Records};
use fillcall::store::records::SqliteRecords;
use fillcall::store::{backup, records_path, setup_path};
use fillcall::trade::units::{Strength, Volume};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Exports a bay with the real program; gives the most memory that it had, in KiB, and the table.
fn export(bay: &Path, file: &Path) -> (u64, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fillcall"))
        .arg("export")
        .args([bay, file])
        .arg("--replace")
        .stdout(Stdio::null())
        .spawn()
        .expect("started");
    let status = format!("/proc/{}/status", child.id());
    let mut most = 0;
    let done = loop {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let now = line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok());
        most = most.max(now.unwrap_or(0));
        if let Some(done) = child.try_wait().expect("its end") {
            break done;
        }
        std::thread::sleep(Duration::from_micros(300));
    };
    assert!(done.success());
    (most, std::fs::read_to_string(file).expect("the table"))
}

#[test]
fn memory_does_not_grow_with_what_is_in_the_records() {
    // Where syncing costs nothing, if there is such a place.
    let folder = tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir());
    let folder = folder.expect("a folder");
    let (bay, file) = (folder.path().join("bay"), folder.path().join("all.csv"));
    std::fs::create_dir(&bay).expect("a folder");
    std::fs::write(setup_path(&bay), SETUP).expect("written");
    let mut records = SqliteRecords::open(&records_path(&bay)).expect("open");
    let mut now = at("2026-01-05T07:00:00+01:00");
    let fill = Happening::Fill(Fill {
        sprayer: "gun".into(),
        chemical: "foam".into(),
        fill: Volume::ml(730.0),
        poured: Volume::ml(180.0),
        water: Volume::ml(550.0),
        strength: Strength::percent(1.97).expect("a strength"),
        standing: "good".into(),
        how: FillHow::Fresh,
    });
    let wash = Happening::Wash {
        sprayer: "gun".into(),
        chemical: "foam".into(),
    };
    let (mut washes, mut most) = (0u32, Vec::new());
    for up_to in [10_000, 60_000, 110_000] {
        while washes < up_to {
            now += TimeDelta::minutes(4);
            records.keep(now, &wash).expect("kept");
            washes += 1;
            if washes % 10 == 0 {
                records.keep(now, &fill).expect("kept");
            }
        }
        let (memory, table) = export(&bay, &file);
        let rows = |what: &str| table.matches(what).count() as u32;
        assert_eq!((rows(",wash,"), rows(",fill,")), (washes, washes / 10));
        println!(
            "{washes} washes exported: {memory} KiB at the most, a table of {} bytes",
            table.len()
        );
        most.push(memory);
    }
    // The table alone is 9 MB longer, and SQLite fills its own cache of 2 MB.
    assert!(most[1] < most[0] + 6000, "{most:?} KiB");
    assert!(most[2] < most[1] + 2000, "{most:?} KiB");
}

fn by_hand(counts: &str) -> String {
    format!("format = 1\nmade = 2026-05-04T10:00:00Z\nsetup = '''\n{SETUP}'''\n{counts}")
}

fn count(day: &str, count: u64) -> String {
    format!(
        "[[wash_count]]\nsprayer = \"gun\"\nchemical = \"foam\"\nday = {day}\ncount = {count}\n"
    )
}

#[test]
fn a_count_that_a_backup_brought_stays_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let (backup, bay) = (folder.path().join("b.toml"), folder.path().join("bay"));
    let counts = count("2026-05-02", 9_000_000) + &count("2026-05-03", 41);
    std::fs::write(&backup, by_hand(&counts)).expect("written");
    backup::restore(&bay, &backup, false).unwrap_or_else(|fault| panic!("{fault}"));
    let (memory, table) = export(&bay, &folder.path().join("all.csv"));
    println!("9,000,041 washes of a backup exported: {memory} KiB at the most");
    assert!(memory < 200_000, "{memory} KiB");
    let washes: Vec<&str> = table.lines().filter(|row| row.contains(",wash,")).collect();
    assert_eq!(washes.len(), 2, "{table}");
    assert!(washes[0].contains("2026-05-02") && washes[0].ends_with(",9000000"));
    assert!(washes[1].contains("2026-05-03") && washes[1].ends_with(",41"));
    // And on the page of reports of the wall, which reads it when it is opened.
    let log = fillcall::store::records::log_of(&records_path(&bay), 0).expect("read");
    assert_eq!(
        log.iter().map(|l| l.times).collect::<Vec<_>>(),
        [9_000_000, 41]
    );
}

#[test]
fn a_count_beyond_belief_is_a_mistake_at_its_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let (backup, bay) = (folder.path().join("b.toml"), folder.path().join("bay"));
    let told = |counts: &str| {
        let text = by_hand(counts);
        std::fs::write(&backup, &text).expect("written");
        let fault = backup::restore(&bay, &backup, false).expect_err("beyond belief");
        assert!(!bay.exists() || !records_path(&bay).exists());
        (text, fault.to_string())
    };
    let (text, fault) = told(&count("2026-05-02", 99_999_916));
    let line = 1 + text
        .lines()
        .position(|l| l.starts_with("count ="))
        .expect("it");
    assert!(
        fault.contains(&format!("line {line}, wash_count[1].count")) && fault.contains("10000000"),
        "{fault}"
    );
    // Many that can each be believed, and all together cannot.
    let many: String = (1..=4)
        .map(|day| count(&format!("2026-05-{day:02}"), 3_000_000))
        .collect();
    let (text, fault) = told(&many);
    let last = text.rfind("[[wash_count]]").expect("the last");
    let line = 1 + text[..last].lines().count();
    assert!(
        fault.contains(&format!("line {line}, ")) && fault.contains("12000000 washes of gun"),
        "{fault}"
    );
}
