//! A program killed in the middle of its writing: what it had said was kept, is.

use crate::records::{at, wash};
use fillcall::bay::records::{Happening, Records};
use fillcall::store::records::SqliteRecords;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

const BAY: &str = "FILLCALL_TEST_RECORDS_TO_WRITE";

/// Not a test of its own: the program that [`killed_while_writing`] starts and kills. It counts
/// washes as fast as it can, and says each one that is confirmed. Run by itself it does nothing.
#[test]
fn writes_until_killed() {
    let Some(path) = std::env::var_os(BAY) else {
        return;
    };
    let mut records = SqliteRecords::open(Path::new(&path)).expect("open");
    let mut out = std::io::stdout().lock();
    loop {
        let now = at("2026-03-02T12:00:00Z");
        let entry = records.keep(now, &wash("lance-1")).expect("kept");
        let chosen = Happening::SprayerChosen(format!("after-{entry}"));
        records.keep(now, &chosen).expect("kept");
        writeln!(out, "kept {entry}")
            .and_then(|()| out.flush())
            .expect("said");
    }
}

#[test]
fn killed_while_writing() {
    let dir = tempfile::tempdir().expect("folder");
    let path = dir.path().join("records.sqlite");
    let (mut said, mut rounds_with_more) = (0u32, 0);
    for round in 0..25u64 {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", "killed::writes_until_killed", "--nocapture"])
            .env(BAY, &path)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("started");
        let mut lines = BufReader::new(child.stdout.take().expect("its words")).lines();
        // It is at work when it has said so once; then it is killed at an odd moment.
        let mut last = lines
            .by_ref()
            .map_while(Result::ok)
            .find(|line| line.contains("kept "));
        assert!(last.is_some(), "it never wrote");
        said += 1;
        std::thread::sleep(Duration::from_micros(1500 + round * 2711 % 17_000));
        child.kill().expect("killed");
        child.wait().expect("gone");
        for line in lines
            .map_while(Result::ok)
            .filter(|l| l.starts_with("kept "))
        {
            said += 1;
            last = Some(line);
        }
        let entry = last
            .expect("said")
            .rsplit(' ')
            .next()
            .map(str::to_owned)
            .expect("number");
        let past = SqliteRecords::open(&path)
            .and_then(|mut r| r.past())
            .expect("past");
        let counted = past.sprayers["lance-1"].washes_since;
        assert!(
            counted >= said,
            "round {round}: {counted} counted, {said} said"
        );
        // At most one more was written than was said in each round.
        let unsaid = u64::from(counted - said);
        assert!(
            unsaid <= round + 1,
            "round {round}: {unsaid} more than said"
        );
        rounds_with_more += u32::from(unsaid > 0);
        let chosen = past.last_sprayer.expect("chosen");
        let chosen: u64 = chosen.trim_start_matches("after-").parse().expect("number");
        assert!(chosen >= entry.parse().expect("number"), "round {round}");
    }
    assert!(
        said > 25,
        "killed at work: {said} said, {rounds_with_more} rounds with one more"
    );
}
