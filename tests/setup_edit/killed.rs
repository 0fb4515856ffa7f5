//! A program killed in the middle of its writing leaves the old file or the new one, whole.

use super::{Folder, Unasked, demo, set, text};
use fillcall::bay::setup_change::Place;
use fillcall::store::setup_file::FileKeeper;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

const BAY: &str = "FILLCALL_TEST_SET_UP_TO_WRITE";

/// Not a test of its own: the program that is started and killed below. It gives the bay one name
/// after the other. Run by itself it does nothing.
#[test]
fn writes_until_killed() {
    let Some(dir) = std::env::var_os(BAY) else {
        return;
    };
    let mut keeper = FileKeeper::new(Path::new(&dir));
    let mut out = std::io::stdout().lock();
    for number in 0.. {
        let name = text(&format!("Bay {number}"));
        keeper
            .change(&[set(Place::Bay, "name", name)])
            .expect("changed");
        writeln!(out, "kept {number}")
            .and_then(|()| out.flush())
            .expect("said");
    }
}

#[test]
fn killed_while_writing() {
    let before = demo();
    let (head, rest) = before.split_once("name = \"").expect("the name");
    let tail = rest.split_once('"').expect("its end").1;
    let folder = Folder::with(&before);
    for round in 0..12u64 {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", "killed::writes_until_killed", "--nocapture"])
            .env(BAY, folder.dir())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("started");
        let mut lines = BufReader::new(child.stdout.take().expect("its words"))
            .lines()
            .map_while(Result::ok)
            .filter_map(|line| line.split_once("kept ")?.1.parse::<u64>().ok());
        let mut last = lines.nth(1).expect("it never wrote twice");
        std::thread::sleep(Duration::from_micros(500 + round * 2711 % 17_000));
        child.kill().expect("killed");
        child.wait().expect("gone");
        last = lines.last().unwrap_or(last);
        let now = folder.text();
        let middle = now
            .strip_prefix(head)
            .and_then(|rest| rest.strip_suffix(tail))
            .unwrap_or_else(|| panic!("round {round}: a torn file\n{now}"));
        let number: u64 = middle
            .strip_prefix("name = \"Bay ")
            .and_then(|rest| rest.strip_suffix('"'))
            .and_then(|number| number.parse().ok())
            .unwrap_or_else(|| panic!("round {round}: {middle:?}"));
        // What was said to be kept is; at most one more than was said.
        assert!(
            number == last || number == last + 1,
            "{number}, said {last}"
        );
    }
}
