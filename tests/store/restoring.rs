//! A restore onto a disk that is full, or fails: "Restored" is only ever said of good records, and until
//! then the old bay stands.

use crate::failing_disk::{Fails, failing};
use fillcall::store::records::{Summary, summary};
use fillcall::store::{backup, records_path, setup_path};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A yard with one lance and one jug.
pub const SETUP: &str = r#"name = "Ferry yard"
day_chemical = "foam"
operators_may_change_chemical = false
[screen]
profile = "7in-800x480"
[sound]
voice = "off"
volume_percent = 50
[reminder]
washes = 30
[[sprayer]]
id = "gun"
name = "Gun"
kind = "foam lance"
holds = "730 ml"
nozzle = "1.4 mm"
washer = "Pump"
[[chemical]]
id = "foam"
name = "Foam"
on_vehicle = "2 %"
cautions = ["Goggles"]
[[measure]]
id = "jug"
name = "Jug"
size = "1 l"
graduation = "10 ml"
"#;

/// A backup with so many fills, and a wash counted on the day of each.
fn text(fills: u32) -> String {
    let mut text = format!(
        "format = 1\nmade = 2026-05-04T10:00:00Z\nsetup = '''\n{SETUP}'''\n\n[[calibration]]\n\
         sprayer = \"gun\"\nnozzle = \"1.4 mm\"\nwasher = \"Pump\"\nholds_ml = 730\ndrawn_ml = 730\n\
         catch_ml = 9130\nseconds = 70.2\ntaken = 2026-02-01T08:00:00Z\nwashes_since = 12\n"
    );
    for n in 0..fills {
        let (month, day) = (2 + n / 28 % 3, 1 + n % 28);
        text += &format!(
            "[[fill]]\nat = 2026-{month:02}-{day:02}T09:00:00Z\nsprayer = \"gun\"\n\
             chemical = \"foam\"\nfill_ml = 730\npoured_ml = 180\nwater_ml = 550\n\
             strength_percent = 1.97\nstanding = \"good\"\n"
        );
        if n < 84 {
            text += &format!(
                "[[wash_count]]\nsprayer = \"gun\"\nchemical = \"foam\"\n\
                 day = 2026-{month:02}-{day:02}\ncount = {}\n",
                n + 1
            );
        }
    }
    text
}

const FILLS: u32 = 120;
const WASHES: u64 = 84 * 85 / 2;

/// A folder with the backup, and a bay that was there before.
struct Yard {
    _folder: tempfile::TempDir,
    file: PathBuf,
    before: PathBuf,
}

impl Yard {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let (file, before) = (folder.path().join("new.toml"), folder.path().join("before"));
        let old = folder.path().join("old.toml");
        std::fs::write(&old, text(3)).expect("written");
        backup::restore(&before, &old, false).unwrap_or_else(|fault| panic!("{fault}"));
        std::fs::write(&file, text(FILLS)).expect("written");
        Self {
            _folder: folder,
            file,
            before,
        }
    }

    /// Puts the bay that was there before into a folder.
    fn put_old(&self, bay: &Path) -> std::io::Result<()> {
        std::fs::create_dir_all(bay)?;
        for path in [setup_path, records_path] {
            std::fs::copy(path(&self.before), path(bay))?;
        }
        Ok(())
    }
}

fn is_new(bay: &Path) -> bool {
    holds(bay, FILLS.into(), WASHES)
}

fn is_old(bay: &Path) -> bool {
    holds(bay, 3, 6)
}

/// True where the bay's records are sound throughout and hold so much. They are looked at elsewhere:
/// looking takes some room of its own.
fn holds(bay: &Path, fills: u64, washes: u64) -> bool {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in std::fs::read_dir(bay).into_iter().flatten().flatten() {
        if entry.file_type().is_ok_and(|kind| kind.is_file()) {
            std::fs::copy(entry.path(), folder.path().join(entry.file_name())).expect("copied");
        }
    }
    let bay = folder.path();
    let expected = Summary {
        washes,
        fills,
        calibrations: 1,
    };
    let sound = || -> rusqlite::Result<String> {
        rusqlite::Connection::open(records_path(bay))?.query_row(
            "PRAGMA integrity_check(1)",
            [],
            |row| row.get(0),
        )
    };
    sound().is_ok_and(|sound| sound == "ok")
        && summary(&records_path(bay)) == Ok(expected)
        && std::fs::read_to_string(setup_path(bay)).is_ok_and(|text| text == SETUP)
}

#[test]
fn whichever_call_of_the_disk_fails_what_is_restored_is_good() {
    let yard = Yard::new();
    for how in [Fails::Once, Fails::FromThenOn] {
        let (mut restored, mut refused) = (0, 0);
        for call in 0.. {
            assert!(call < 5000, "it never ends");
            let folder = tempfile::tempdir().expect("a folder");
            let bay = folder.path().join("bay");
            yard.put_old(&bay).expect("the old bay");
            let (done, reached) = failing(call, how, || backup::restore(&bay, &yard.file, true));
            match done {
                Ok(_) => {
                    assert!(
                        is_new(&bay),
                        "{how:?}, call {call}: restored, but not whole"
                    );
                    restored += 1;
                }
                Err(fault) => {
                    assert!(is_old(&bay), "{how:?}, call {call}: {fault}");
                    assert!(fault.to_string().contains(';'), "no remedy: {fault}");
                    refused += 1;
                }
            }
            if !reached {
                break;
            }
        }
        println!(
            "{how:?}: {refused} calls refused, {restored} restored all the same, all of it good"
        );
        assert!(refused > 20, "{refused}");
    }
}

fn run(command: &mut Command) -> Output {
    command.output().expect("it is started")
}

/// True where the program said that it restored; then the bay must be the new one.
fn restored(out: &Output, bay: &Path, what: &str) -> bool {
    let said = String::from_utf8_lossy(&out.stdout);
    let is_said = said.contains("Restored");
    assert_eq!(is_said, out.status.success(), "{what}: {out:?}");
    if is_said {
        assert!(is_new(bay), "{what}: it said \"Restored\"");
    }
    is_said
}

#[test]
fn no_file_may_grow_beyond_any_size_and_what_is_restored_is_good() {
    let yard = Yard::new();
    let (mut refused, mut whole) = (0, 0);
    // In blocks of 512 bytes; the signal that would end it is ignored, as a full disk sends none.
    for blocks in (1..900).step_by(13) {
        let folder = tempfile::tempdir().expect("a folder");
        let bay = folder.path().join("bay");
        yard.put_old(&bay).expect("the old bay");
        let script = format!(
            "trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" restore \"$1\" \"$2\" --replace"
        );
        let out = run(Command::new("sh")
            .args(["-c", &script, env!("CARGO_BIN_EXE_fillcall")])
            .args([&bay, &yard.file]));
        match restored(&out, &bay, &format!("{blocks} blocks")) {
            true => whole += 1,
            false => {
                assert!(is_old(&bay), "{blocks} blocks: {out:?}");
                refused += 1;
            }
        }
    }
    println!("no file above a size: {refused} sizes refused, {whole} restored, all of it good");
    assert!(refused > 10 && whole > 2, "{refused}, {whole}");
}

const DISK: &str = "FILLCALL_TEST_SMALL_DISK";

/// Not a test of its own: what [`the_disk_is_of_any_size`] runs where disks may be mounted.
#[test]
fn on_small_disks() {
    let Some(disk) = std::env::var_os(DISK).map(PathBuf::from) else {
        return;
    };
    let yard = Yard::new();
    let (mut refused, mut whole) = (0, 0);
    for kib in (16..1400).step_by(8) {
        let size = format!("size={kib}k");
        let mounted = run(Command::new("mount")
            .args(["-t", "tmpfs", "-o", &size, "tmpfs"])
            .arg(&disk));
        assert!(mounted.status.success(), "{mounted:?}");
        let bay = disk.join("bay");
        // Where the disk is too small for the old bay there was none.
        let had_one = yard.put_old(&bay).is_ok();
        if !had_one {
            let _ = std::fs::remove_dir_all(&bay);
        }
        let out = run(Command::new(env!("CARGO_BIN_EXE_fillcall"))
            .arg("restore")
            .args([&bay, &yard.file])
            .arg("--replace"));
        match restored(&out, &bay, &size) {
            true => whole += 1,
            false => {
                assert!(!had_one || is_old(&bay), "{size}: {out:?}");
                refused += 1;
            }
        }
        let gone = run(Command::new("umount").arg(&disk));
        assert!(gone.status.success(), "{gone:?}");
    }
    println!("small disks: {refused} sizes refused, {whole} restored, all of it good");
    assert!(refused > 10 && whole > 2, "{refused}, {whole}");
}

#[test]
fn the_disk_is_of_any_size() {
    let disk = tempfile::tempdir().expect("a folder");
    // In a space of mounts of its own, as root or as nobody in particular, where either is allowed.
    let own_mounts = |how: &str| {
        let mut command = Command::new("unshare");
        command.arg(how);
        command
    };
    let allowed = ["-m", "-Urm"].into_iter().find(|how| {
        let mut tried = own_mounts(how);
        tried
            .args(["mount", "-t", "tmpfs", "tmpfs"])
            .arg(disk.path());
        tried.output().is_ok_and(|out| out.status.success())
    });
    let Some(how) = allowed else {
        println!(
            "small disks: nothing may be mounted here; files that cannot grow were tried instead"
        );
        return;
    };
    let out = run(own_mounts(how)
        .arg(std::env::current_exe().expect("this test"))
        .args(["--exact", "restoring::on_small_disks", "--nocapture"])
        .env(DISK, disk.path()));
    let said = String::from_utf8_lossy(&out.stdout);
    assert!(
        out.status.success() && said.contains("small disks:"),
        "{said}\n{}",
        String::from_utf8_lossy(&out.stderr)
    );
    println!("{said}");
}
