//! The file that it is kept in: whole whenever the program is killed, and passed over where it is not
//! what it must be.

use super::common::places::{Depot, keys};
use super::{mix, with};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::mixing::{GotField, MixAction, MixStage};
use fillcall::bay::ports::Places;
use fillcall::bay::resuming::Place;
use fillcall::store::place_file::PlaceFile;
use std::cell::Cell;
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;
use tempfile::TempDir;

const BOOT: &str = "6c1f";

/// A folder in memory, and how long the machine has run.
struct Machine {
    folder: TempDir,
    ran: Rc<Cell<Duration>>,
}

impl Machine {
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
            ran: Rc::new(Cell::new(Duration::from_secs(4000))),
        }
    }
    /// The program starts.
    fn start(&self) -> PlaceFile {
        self.start_for(Path::new("/srv/bay"), BOOT)
    }
    fn start_for(&self, bay: &Path, boot: &str) -> PlaceFile {
        let ran = self.ran.clone();
        PlaceFile::with_clock(self.folder.path(), bay, boot, move || ran.get())
    }
    fn go_on(&self, seconds: u64) {
        self.ran.set(self.ran.get() + Duration::from_secs(seconds));
    }
    fn file(&self) -> PathBuf {
        self.folder.path().join("place.json")
    }
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).expect("a folder");
        entries
            .map(|e| {
                e.expect("an entry")
                    .file_name()
                    .into_string()
                    .expect("a name")
            })
            .collect()
    }
}

/// Two places with something half typed, and home.
fn places() -> (Place, Place, Place) {
    let depot = Depot::demonstration();
    let w = depot.window();
    let place = || with(&w, |bay| bay.place());
    let home = place();
    w.act([Action::Show(Page::Mix), mix(MixAction::Open(MixStage::Got))]);
    w.act([mix(MixAction::Field(GotField::All))]);
    w.act(keys("75"));
    let one = place();
    w.act(keys("3"));
    let other = place();
    assert!(home.is_home() && !one.is_home() && one != other);
    (one, other, home)
}

#[test]
fn what_was_kept_is_found_once_by_the_next_program() {
    let (one, other, home) = places();
    let machine = Machine::new();
    let mut first = machine.start();
    assert_eq!(first.found(), None, "nothing is there");
    for place in [&one, &other] {
        first.keep(place);
        machine.go_on(1);
    }
    assert_eq!(machine.names(), ["place.json"]);
    let mode = fs::metadata(machine.file())
        .expect("it")
        .permissions()
        .mode();
    assert_eq!(mode & 0o777, 0o600, "this user's alone");
    let mut second = machine.start();
    assert_eq!(second.found(), Some(other));
    assert_eq!(
        second.found(),
        None,
        "a bay opened anew in the same program begins at home"
    );
    second.keep(&home);
    assert_eq!(machine.start().found(), Some(home));
}

#[test]
fn nothing_is_written_where_nothing_changed_and_what_stays_does_not_grow_old() {
    let (one, _, home) = places();
    let machine = Machine::new();
    let mut program = machine.start();
    // It says when it was written.
    let written = || fs::read(machine.file()).expect("it");
    program.keep(&one);
    let first = written();
    for _ in 0..50 {
        machine.go_on(1);
        program.keep(&one);
    }
    assert_eq!(written(), first);
    // Twenty minutes at a calibration, and then the watchdog.
    for _ in 0..20 * 60 {
        machine.go_on(1);
        program.keep(&one);
    }
    assert_ne!(written(), first);
    machine.go_on(30);
    assert_eq!(machine.start().found().as_ref(), Some(&one));
    // At home there is nothing to lose, and nothing to write.
    let mut program = machine.start();
    program.keep(&home);
    let first = written();
    for _ in 0..20 * 60 {
        machine.go_on(1);
        program.keep(&home);
    }
    assert_eq!(written(), first);
}

#[test]
fn what_is_old_foreign_or_no_place_is_passed_over() {
    let (one, ..) = places();
    let kept = || {
        let machine = Machine::new();
        machine.start().keep(&one);
        machine
    };
    let machine = kept();
    machine.go_on(5 * 60);
    assert_eq!(machine.start().found().as_ref(), Some(&one), "not old yet");
    let machine = kept();
    machine.go_on(5 * 60 + 1);
    assert_eq!(machine.start().found(), None, "old");
    let machine = kept();
    machine.ran.set(Duration::from_secs(10));
    assert_eq!(machine.start().found(), None, "of a time to come");
    let machine = kept();
    let bay = Path::new("/srv/bay");
    assert_eq!(
        machine.start_for(bay, "77aa").found(),
        None,
        "another start"
    );
    assert_eq!(
        machine.start_for(Path::new("/srv/other"), BOOT).found(),
        None,
        "another bay"
    );
    let text = fs::read_to_string(machine.file()).expect("text");
    let version = format!("\"version\":\"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(text.contains(&version));
    fs::write(
        machine.file(),
        text.replace(&version, "\"version\":\"0.0.9\""),
    )
    .expect("written");
    assert_eq!(machine.start().found(), None, "another version");
    for (was, is) in [
        ("\"text\":\"75\"", "\"text\":\"7.5.1\""),
        ("\"text\":\"75\"", "\"text\":\"7x\""),
        ("\"text\":\"75\"", "\"text\":\"7512345\""),
        ("\"starts\":0", "\"starts\":-1"),
        ("\"starts\":0", "\"starts\":0,\"more\":0"),
        ("\"page\":\"Mix\"", "\"page\":\"Attic\""),
    ] {
        assert!(text.contains(was), "{was} in {text}");
        fs::write(machine.file(), text.replace(was, is)).expect("written");
        assert_eq!(machine.start().found(), None, "{is}");
    }
    // As large as it may be, and larger.
    for (spaces, found) in [(64 * 1024 - text.len(), true), (64 * 1024, false)] {
        fs::write(machine.file(), format!("{text}{}", " ".repeat(spaces))).expect("written");
        assert_eq!(machine.start().found().is_some(), found, "{spaces}");
    }
    // No file.
    let aside = machine.folder.path().join("aside");
    fs::write(&aside, &text).expect("written");
    fs::remove_file(machine.file()).expect("gone");
    symlink(&aside, machine.file()).expect("a link");
    assert_eq!(machine.start().found(), None, "a link");
    fs::remove_file(machine.file()).expect("gone");
    fs::create_dir(machine.file()).expect("a folder");
    let mut program = machine.start();
    assert_eq!(program.found(), None, "a folder");
    program.keep(&one);
    program.keep(&one);
    assert_eq!(machine.start().found(), None, "and it is in the way");
    fs::remove_dir_all(machine.folder.path()).expect("gone");
    let mut program = machine.start();
    assert_eq!(program.found(), None, "no folder");
    program.keep(&one);
}

#[test]
fn a_file_cut_at_any_byte_or_with_any_byte_changed_does_no_harm() {
    let (one, ..) = places();
    let machine = Machine::new();
    machine.start().keep(&one);
    let whole = fs::read(machine.file()).expect("bytes");
    for length in 0..whole.len() {
        fs::write(machine.file(), &whole[..length]).expect("written");
        assert_eq!(machine.start().found(), None, "{length} bytes");
    }
    for at in 0..whole.len() {
        for byte in [b'9', b'-', b'"', 0, 0xff] {
            let mut damaged = whole.clone();
            damaged[at] = byte;
            fs::write(machine.file(), &damaged).expect("written");
            // Another number is a place too; whatever it is, it is taken or passed over.
            let _ = machine.start().found();
        }
    }
}

#[test]
fn a_place_that_ends_the_program_each_time_is_left_for_home() {
    let (one, other, _) = places();
    // Killed at once, each time.
    let machine = Machine::new();
    machine.start().keep(&one);
    let starts = |seconds: u64| -> Vec<bool> {
        let come_back = |_| {
            machine.go_on(seconds);
            machine.start().found().map(|place| place.is_home())
        };
        (0..5).filter_map(come_back).collect()
    };
    assert_eq!(starts(20), [false, false, true, true, true]);
    // As long as a hand goes on from there, it is no matter how often.
    machine.start().keep(&one);
    for _ in 0..6 {
        machine.go_on(10);
        let mut program = machine.start();
        let place = program.found().expect("a place");
        program.keep(&place);
        let next = if place == one { &other } else { &one };
        machine.go_on(1);
        program.keep(next);
        assert!(!place.is_home());
    }
    // Nor where the program stayed for a while.
    for _ in 0..6 {
        machine.go_on(10);
        let mut program = machine.start();
        let place = program.found().expect("a place");
        assert!(!place.is_home());
        for _ in 0..150 {
            machine.go_on(1);
            program.keep(&place);
        }
    }
    // What it was come back to may be another place than the one written down, such as a run that begins
    // again: no hand did that.
    machine.start().keep(&one);
    let came: Vec<bool> = (0..3)
        .map(|_| {
            machine.go_on(10);
            let mut program = machine.start();
            let place = program.found().expect("a place");
            program.keep(&other);
            place.is_home()
        })
        .collect();
    assert_eq!(came, [false, false, true]);
}
