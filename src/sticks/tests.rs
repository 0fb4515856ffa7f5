//! A parcel on its way to sticks of every kind: good, full, protected, pulled out, hanging.

use super::commands::{Commands, NotDone};
use super::files::{Files, SystemFiles};
use super::{MemorySticks, Places};
use crate::bay::ports::{Leave, OnStick, Parcel, StickFault, Sticks};
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// A machine with one stick; what is on the stick lies in a folder.
struct Machine {
    _folder: tempfile::TempDir,
    places: Places,
    stick: PathBuf,
}

impl Machine {
    fn new() -> Arc<Self> {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        let machine = Self {
            places: Places {
                mountinfo: at("mountinfo"),
                blocks: at("block"),
                devices: "/dev".into(),
            },
            stick: at("stick"),
            _folder: folder,
        };
        fs::create_dir_all(&machine.stick).expect("a folder");
        for (file, text) in [
            ("sdb/removable", "1"),
            ("sdb/size", "2048"),
            ("sdb/dev", "8:16"),
            ("sdb/sdb1/partition", "1"),
            ("sdb/sdb1/size", "2048"),
            ("sdb/sdb1/dev", "8:17"),
        ] {
            let path = machine.places.blocks.join(file);
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            fs::write(path, text).expect("a file");
        }
        machine.mounts("");
        Arc::new(machine)
    }
    fn mounts(&self, text: &str) {
        fs::write(&self.places.mountinfo, text).expect("a file");
    }
    /// The mount point is only believed below `/media`, so the table names a folder there, and files
    /// are written through [`Reached`], which knows where that is.
    fn mount(&self, options: &str) {
        self.mounts(&format!(
            "9 1 8:17 / /media/stick {options} - vfat /dev/sdb1 rw\n"
        ));
    }
    fn is_mounted(&self) -> bool {
        !fs::read_to_string(&self.places.mountinfo)
            .expect("a file")
            .is_empty()
    }
    fn pull_out(&self) {
        fs::remove_dir_all(self.places.blocks.join("sdb")).expect("it was in");
        self.mounts("");
    }
    /// Every file on the stick.
    fn files(&self) -> Vec<String> {
        fn look(folder: &Path, root: &Path, found: &mut Vec<String>) {
            for entry in fs::read_dir(folder).expect("a folder") {
                let path = entry.expect("an entry").path();
                let name = path.strip_prefix(root).expect("below").to_string_lossy();
                found.push(name.into_owned());
                if path.is_dir() {
                    look(&path, root, found);
                }
            }
        }
        let mut found = Vec::new();
        look(&self.stick, &self.stick, &mut found);
        found.sort();
        found
    }
}

/// What the tool for mounting does.
#[derive(Clone, Copy, PartialEq)]
enum Tool {
    Works,
    Missing,
    MountsReadOnly,
    MayNot,
    KnowsNoFileSystem,
    IsHeld,
}

struct TestTool(Arc<Machine>, Tool, Mutex<Vec<String>>);

impl Commands for TestTool {
    fn run(&self, program: &str, arguments: &[&str]) -> Result<(), NotDone> {
        let said = format!("{program} {}", arguments.join(" "));
        self.2.lock().expect("no fault").push(said);
        match (arguments[0], self.1) {
            (_, Tool::Missing) => return Err(NotDone::NoProgram),
            ("mount", Tool::KnowsNoFileSystem) => {
                return Err(NotDone::Said("no file system".into()));
            }
            ("mount", Tool::MayNot) => {
                return Err(NotDone::Said(
                    "Error mounting /dev/sdb1: \
                     GDBus.Error:org.freedesktop.UDisks2.Error.NotAuthorizedCanObtain: Not \
                     authorized to perform operation"
                        .into(),
                ));
            }
            ("unmount", Tool::IsHeld) => return Err(NotDone::Said("target is busy".into())),
            ("mount", Tool::MountsReadOnly) => self.0.mount("ro,nosuid"),
            ("mount", _) => self.0.mount("rw,nosuid"),
            _ => self.0.mounts(""),
        }
        Ok(())
    }
}

/// How the stick behaves.
enum Kind {
    Good,
    /// So many bytes go in.
    Full(usize),
    /// A write says that it may only be read, though it was mounted for both.
    TurnsReadOnly,
    /// Pulled out after so many bytes.
    PulledOut(usize),
    /// Waits until it is let go.
    Hangs(Arc<AtomicBool>),
}

/// The files of the stick, reached where the test keeps them.
struct Reached {
    machine: Arc<Machine>,
    kind: Kind,
    wrote: AtomicUsize,
}

impl Reached {
    fn at(&self, path: &Path) -> PathBuf {
        match path.strip_prefix("/media/stick") {
            Ok(below) => self.machine.stick.join(below),
            Err(_) => panic!("{} is not on the stick", path.display()),
        }
    }
}

impl Files for Reached {
    fn exists(&self, path: &Path) -> bool {
        SystemFiles.exists(&self.at(path))
    }
    fn is_folder(&self, path: &Path) -> bool {
        SystemFiles.is_folder(&self.at(path))
    }
    fn names(&self, path: &Path) -> io::Result<Vec<String>> {
        SystemFiles.names(&self.at(path))
    }
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        SystemFiles.make_folder(&self.at(path))
    }
    fn write(&self, path: &Path, bytes: &[u8], wrote: &mut dyn FnMut(usize)) -> io::Result<()> {
        let before = self.wrote.fetch_add(bytes.len(), Ordering::SeqCst);
        let room = match &self.kind {
            Kind::Full(room) | Kind::PulledOut(room) => room.saturating_sub(before),
            _ => usize::MAX,
        };
        if let Kind::TurnsReadOnly = self.kind {
            return Err(ErrorKind::ReadOnlyFilesystem.into());
        }
        if let Kind::Hangs(let_go) = &self.kind {
            while !let_go.load(Ordering::SeqCst) {
                std::thread::sleep(Duration::from_millis(2));
            }
        }
        let fits = &bytes[..room.min(bytes.len())];
        SystemFiles.write(&self.at(path), fits, wrote)?;
        match (&self.kind, fits.len() < bytes.len()) {
            (_, false) => Ok(()),
            (Kind::PulledOut(_), true) => {
                self.machine.pull_out();
                Err(io::Error::from_raw_os_error(5))
            }
            (_, true) => Err(ErrorKind::StorageFull.into()),
        }
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        SystemFiles.rename(&self.at(from), &self.at(to))
    }
    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        SystemFiles.sync_folder(&self.at(path))
    }
    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        SystemFiles.remove_folder(&self.at(path))
    }
    fn remove_empty_folder(&self, path: &Path) -> io::Result<()> {
        SystemFiles.remove_empty_folder(&self.at(path))
    }
}

fn parcel() -> Parcel {
    Parcel {
        folder: "Bay-2026-03-02".into(),
        files: vec![
            ("records.csv".into(), "x".repeat(40_000)),
            ("card.html".into(), "<p>é".into()),
        ],
    }
}

struct Try {
    machine: Arc<Machine>,
    tool: Arc<TestTool>,
    sticks: MemorySticks,
}

fn with(machine: &Arc<Machine>, kind: Kind, tool: Tool) -> Try {
    let tool = Arc::new(TestTool(Arc::clone(machine), tool, Mutex::default()));
    let files = Arc::new(Reached {
        machine: Arc::clone(machine),
        kind,
        wrote: AtomicUsize::default(),
    });
    Try {
        machine: Arc::clone(machine),
        sticks: MemorySticks::with(machine.places.clone(), files, tool.clone()),
        tool,
    }
}

impl Try {
    fn until(&mut self, wanted: impl Fn(&OnStick) -> bool) -> OnStick {
        let begun = Instant::now();
        loop {
            let state = self.sticks.state().expect("begun");
            if wanted(&state) {
                return state;
            }
            assert!(begun.elapsed() < Duration::from_secs(20), "{state:?}");
            std::thread::sleep(Duration::from_millis(2));
        }
    }
    fn put(&mut self) -> OnStick {
        self.sticks.put("sdb1", parcel());
        self.until(|state| matches!(state, OnStick::Done { .. } | OnStick::Failed(_)))
    }
    /// How many jobs are still about.
    fn jobs(&self) -> usize {
        Arc::strong_count(&self.tool) - 2
    }
    fn asked(&self) -> Vec<String> {
        self.tool.2.lock().expect("no fault").clone()
    }
}

fn done(folder: &str, leave: Leave) -> OnStick {
    OnStick::Done {
        folder: format!("fillcall/{folder}"),
        leave,
    }
}

#[test]
fn all_of_it_is_on_the_stick_before_it_may_be_pulled_out() {
    let machine = Machine::new();
    let mut good = with(&machine, Kind::Good, Tool::Works);
    assert_eq!(good.sticks.found()[0].id, "sdb1");
    assert_eq!(good.sticks.state(), None);
    assert_eq!(good.put(), done("Bay-2026-03-02", Leave::PullOut));
    assert!(!machine.is_mounted());
    assert_eq!(
        good.asked(),
        [
            "udisksctl mount -b /dev/sdb1 --no-user-interaction",
            "udisksctl unmount -b /dev/sdb1 --no-user-interaction",
        ]
    );
    let at = machine.stick.join("fillcall/Bay-2026-03-02");
    let text = |name: &str| fs::read_to_string(at.join(name)).expect("a file");
    assert_eq!(text("records.csv").len(), 40_000);
    assert_eq!(text("card.html"), "<p>é");
    // Once more on the same day: beside it. Mounted already: it is not mounted again.
    machine.mount("rw");
    let mut again = with(&machine, Kind::Good, Tool::Works);
    assert_eq!(again.put(), done("Bay-2026-03-02-2", Leave::PullOut));
    assert_eq!(again.asked().len(), 1, "{:?}", again.asked());
    assert_eq!(machine.files().len(), 1 + 2 * 3);
}

#[test]
fn a_stick_that_is_not_unmounted_is_not_said_to_be() {
    let machine = Machine::new();
    machine.mount("rw");
    let mut no_tool = with(&machine, Kind::Good, Tool::Missing);
    assert_eq!(no_tool.put(), done("Bay-2026-03-02", Leave::NoTool));
    let mut held = with(&machine, Kind::Good, Tool::IsHeld);
    assert_eq!(held.put(), done("Bay-2026-03-02-2", Leave::Held));
}

#[test]
fn a_full_stick_says_how_much_is_missing_and_keeps_nothing_half_written() {
    let machine = Machine::new();
    let mut full = with(&machine, Kind::Full(30_000), Tool::Works);
    let fault = full.put();
    // All of the first piece of 16 KiB went in.
    let of = 40_000 + "<p>é".len();
    let OnStick::Failed(StickFault::Full { missing }) = fault else {
        panic!("{fault:?}");
    };
    assert!(
        missing as usize >= of - 30_000 && missing as usize <= of,
        "{missing}"
    );
    assert_eq!(full.machine.files(), [""; 0]);
    assert!(!machine.is_mounted(), "it will be pulled out now");
    // What was there stays; an older half is taken away by the next one that fits.
    fs::create_dir_all(machine.stick.join("fillcall/.Bay-2026-03-02.part")).expect("a folder");
    fs::write(machine.stick.join("fillcall/other.txt"), "mine").expect("a file");
    let mut full = with(&machine, Kind::Full(10), Tool::Works);
    assert!(matches!(
        full.put(),
        OnStick::Failed(StickFault::Full { .. })
    ));
    assert_eq!(machine.files(), ["fillcall", "fillcall/other.txt"]);
}

#[test]
fn what_a_stick_refuses_is_told_apart() {
    for (kind, tool, fault) in [
        (Kind::Good, Tool::MountsReadOnly, StickFault::ReadOnly),
        (Kind::TurnsReadOnly, Tool::Works, StickFault::ReadOnly),
        (Kind::Good, Tool::Missing, StickFault::NoTool),
        (Kind::Good, Tool::MayNot, StickFault::NotAllowed),
        (
            Kind::Good,
            Tool::KnowsNoFileSystem,
            StickFault::NotMounted {
                said: "no file system".into(),
            },
        ),
        (Kind::PulledOut(100), Tool::Works, StickFault::Gone),
    ] {
        let machine = Machine::new();
        let mut tried = with(&machine, kind, tool);
        assert_eq!(tried.put(), OnStick::Failed(fault));
    }
    // The switch on its side.
    let machine = Machine::new();
    fs::write(machine.places.blocks.join("sdb/ro"), "1").expect("a file");
    let mut switched = with(&machine, Kind::Good, Tool::Works);
    assert_eq!(switched.put(), OnStick::Failed(StickFault::ReadOnly));
    assert_eq!(switched.asked(), [""; 0]);
    // Pulled out before it began.
    machine.pull_out();
    assert_eq!(switched.put(), OnStick::Failed(StickFault::Gone));
}

#[test]
fn a_stick_that_hangs_is_left_and_takes_back_what_it_began() {
    let machine = Machine::new();
    let let_go = Arc::new(AtomicBool::new(false));
    let mut hangs = with(&machine, Kind::Hangs(Arc::clone(&let_go)), Tool::Works);
    hangs.sticks.put("sdb1", parcel());
    hangs.until(|state| matches!(state, OnStick::Writing { done: 0, .. }));
    hangs.sticks.give_up();
    assert_eq!(hangs.sticks.state(), None);
    // It answers at last: nobody waits for it any more, and nothing of it stays.
    let_go.store(true, Ordering::SeqCst);
    let begun = Instant::now();
    while machine.is_mounted() || !machine.files().is_empty() {
        assert!(
            begun.elapsed() < Duration::from_secs(20),
            "{:?}",
            machine.files()
        );
        std::thread::sleep(Duration::from_millis(2));
    }
    assert_eq!(hangs.sticks.state(), None);
}

#[test]
fn a_half_of_another_day_is_taken_away_and_nothing_else() {
    let machine = Machine::new();
    // Pulled out in the middle: what was written stays where nobody can reach it.
    let below = machine.stick.join("fillcall");
    for name in [".Bay-2026-02-20.part", "Bay-2026-02-20", "mine.part"] {
        fs::create_dir_all(below.join(name)).expect("a folder");
        fs::write(below.join(name).join("records.csv"), "half").expect("a file");
    }
    let mut good = with(&machine, Kind::Good, Tool::Works);
    assert_eq!(good.put(), done("Bay-2026-03-02", Leave::PullOut));
    let mut left: Vec<_> = SystemFiles.names(&below).expect("a folder");
    left.sort();
    assert_eq!(left, ["Bay-2026-02-20", "Bay-2026-03-02", "mine.part"]);
    let old = fs::read_to_string(below.join("Bay-2026-02-20/records.csv")).expect("a file");
    assert_eq!(old, "half", "somebody else's, whatever is in it");
}

#[test]
fn what_stands_where_the_folder_goes_is_neither_followed_nor_written_over() {
    let machine = Machine::new();
    fs::write(machine.stick.join("fillcall"), "a file of that name").expect("a file");
    let mut tried = with(&machine, Kind::Good, Tool::Works);
    let fault = tried.put();
    assert!(matches!(&fault, OnStick::Failed(StickFault::Other { said }) if !said.is_empty()));
    let text = fs::read_to_string(machine.stick.join("fillcall")).expect("a file");
    assert_eq!(text, "a file of that name");
    // A link leads off the stick: into the panel's own disk.
    let elsewhere = tempfile::tempdir().expect("a folder");
    fs::remove_file(machine.stick.join("fillcall")).expect("it is there");
    std::os::unix::fs::symlink(elsewhere.path(), machine.stick.join("fillcall")).expect("a link");
    assert!(matches!(
        tried.put(),
        OnStick::Failed(StickFault::Other { .. })
    ));
    assert_eq!(fs::read_dir(elsewhere.path()).expect("a folder").count(), 0);
}

#[test]
fn the_next_try_waits_until_the_last_one_has_left_the_stick() {
    let machine = Machine::new();
    let let_go = Arc::new(AtomicBool::new(false));
    let mut slow = with(&machine, Kind::Hangs(Arc::clone(&let_go)), Tool::Works);
    slow.sticks.put("sdb1", parcel());
    slow.until(|state| matches!(state, OnStick::Writing { done: 0, .. }));
    // It is given up, and tried again at once: the first one still has a file open.
    slow.sticks.give_up();
    slow.sticks.put("sdb1", parcel());
    std::thread::sleep(Duration::from_millis(50));
    assert_eq!(slow.sticks.state(), Some(OnStick::Opening));
    let_go.store(true, Ordering::SeqCst);
    let end = slow.until(|state| matches!(state, OnStick::Done { .. } | OnStick::Failed(_)));
    assert_eq!(end, done("Bay-2026-03-02", Leave::PullOut));
    assert_eq!(
        machine.files(),
        [
            "fillcall",
            "fillcall/Bay-2026-03-02",
            "fillcall/Bay-2026-03-02/card.html",
            "fillcall/Bay-2026-03-02/records.csv",
        ]
    );
    // One that was given up before it had its turn does not begin.
    let let_go = Arc::new(AtomicBool::new(false));
    let mut slow = with(&machine, Kind::Hangs(Arc::clone(&let_go)), Tool::Works);
    slow.sticks.put("sdb1", parcel());
    slow.until(|state| matches!(state, OnStick::Writing { done: 0, .. }));
    for _ in 0..2 {
        slow.sticks.put("sdb1", parcel());
    }
    slow.sticks.give_up();
    let_go.store(true, Ordering::SeqCst);
    let begun = Instant::now();
    while slow.jobs() > 0 {
        assert!(begun.elapsed() < Duration::from_secs(20));
        std::thread::sleep(Duration::from_millis(2));
    }
    let mounts = slow
        .asked()
        .iter()
        .filter(|asked| asked.contains(" mount "))
        .count();
    assert_eq!(mounts, 1, "{:?}", slow.asked());
    assert!(!machine.is_mounted());
    assert_eq!(machine.files().len(), 4, "{:?}", machine.files());
}
