//! Fetches files from a stick to the panel's own disk.

use super::Places;
use super::commands::{Commands, NotDone};
use super::finding::{self, Part};
use super::putting::{FOLDER, NOT_ALLOWED, TOOL};
use crate::bay::ports::FetchFault;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::Path;

/// No package is larger, in bytes: what is, is something else.
const LARGEST: u64 = 200_000_000;
/// So much is copied at once, in bytes.
const PIECE: usize = 256 * 1024;

/// Copies what is wanted from the first stick that has any of it to the folder `to`, under the same
/// names. `wanted` picks from the names of all files in a folder; the stick's own is looked into, and the
/// one that the wall puts its files into. `None` where no stick is in.
///
/// # Errors
/// [`FetchFault`]; nothing is in `to` then that was not copied to its end.
pub fn fetch(
    places: &Places,
    commands: &dyn Commands,
    wanted: &dyn Fn(&[String]) -> Vec<String>,
    to: &Path,
) -> Result<Option<Vec<String>>, FetchFault> {
    let parts = finding::parts(places);
    if parts.is_empty() {
        return Ok(None);
    }
    let mut fault = None;
    for part in &parts {
        match from(part, places, commands, wanted, to) {
            Ok(names) if names.is_empty() => {}
            Ok(names) => return Ok(Some(names)),
            Err(why) => fault = fault.or(Some(why)),
        }
    }
    fault.map_or(Ok(Some(Vec::new())), Err)
}

fn from(
    part: &Part,
    places: &Places,
    commands: &dyn Commands,
    wanted: &dyn Fn(&[String]) -> Vec<String>,
    to: &Path,
) -> Result<Vec<String>, FetchFault> {
    let device = part.device.to_string_lossy().into_owned();
    let tool = |what: &str| commands.run(TOOL, &[what, "-b", &device, "--no-user-interaction"]);
    let mut mounted = part.mounted.clone();
    let is_ours = mounted.is_none();
    if is_ours {
        tool("mount").map_err(|why| match why {
            NotDone::NoProgram => FetchFault::NoTool,
            NotDone::Said(said) if said.contains(NOT_ALLOWED) => FetchFault::NotAllowed,
            NotDone::Said(_) => FetchFault::NotMounted,
        })?;
        let now = finding::parts(places)
            .into_iter()
            .find(|p| p.stick.id == part.stick.id);
        mounted = now.ok_or(FetchFault::Gone)?.mounted;
    }
    let mount = mounted.ok_or(FetchFault::NotMounted)?;
    let copied = copy_all(&mount.point, wanted, to);
    if is_ours {
        // What is left open is closed when it is pulled out: nothing was written to it.
        let _ = tool("unmount");
    }
    copied
}

fn copy_all(
    root: &Path,
    wanted: &dyn Fn(&[String]) -> Vec<String>,
    to: &Path,
) -> Result<Vec<String>, FetchFault> {
    for folder in [root.to_owned(), root.join(FOLDER)] {
        let names = match names(&folder) {
            Ok(names) => names,
            Err(e) if e.kind() == ErrorKind::NotFound && folder != root => continue,
            Err(_) => return Err(FetchFault::Gone),
        };
        let wanted = wanted(&names);
        if wanted.is_empty() {
            continue;
        }
        for name in &wanted {
            copy(&folder.join(name), &to.join(name))?;
        }
        return Ok(wanted);
    }
    Ok(Vec::new())
}

/// The files in a folder: no links, pipes or folders.
fn names(folder: &Path) -> io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        if entry.file_type()?.is_file() && entry.metadata()?.len() <= LARGEST {
            names.push(entry.file_name().to_string_lossy().into_owned());
        }
    }
    names.sort();
    Ok(names)
}

fn copy(from: &Path, to: &Path) -> Result<(), FetchFault> {
    let on_disk = |error: io::Error| match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => FetchFault::Full,
        _ => FetchFault::Disk(error.to_string()),
    };
    let mut source = File::open(from).map_err(|_| FetchFault::Gone)?;
    let mut done = || -> Result<(), FetchFault> {
        let mut file = File::create(to).map_err(on_disk)?;
        let mut piece = vec![0; PIECE];
        loop {
            match source.read(&mut piece).map_err(|_| FetchFault::Gone)? {
                0 => break,
                read => file.write_all(&piece[..read]).map_err(on_disk)?,
            }
        }
        file.sync_all().map_err(on_disk)
    };
    let copied = done();
    if copied.is_err() {
        let _ = fs::remove_file(to);
    }
    copied
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::PathBuf;
    use std::sync::Mutex;

    /// A machine with one stick, which is mounted when the tool is asked to, where nothing is.
    struct Machine {
        folder: tempfile::TempDir,
        said: Mutex<Vec<String>>,
        fails: Option<NotDone>,
    }

    fn debs(names: &[String]) -> Vec<String> {
        let wanted = names.iter().filter(|name| name.ends_with(".deb"));
        wanted.cloned().collect()
    }

    impl Machine {
        fn new() -> Self {
            let machine = Self {
                folder: tempfile::tempdir().expect("folder"),
                said: Mutex::default(),
                fails: None,
            };
            for folder in ["block", "stick", "disk"] {
                fs::create_dir(machine.at(folder)).expect("folder");
            }
            fs::write(machine.at("mountinfo"), "").expect("file");
            machine
        }
        fn with_a_stick() -> Self {
            let machine = Self::new();
            for (file, text) in [
                ("removable", "1"),
                ("sdb1/partition", "1"),
                ("sdb1/size", "100000"),
                ("sdb1/dev", "8:17"),
            ] {
                let path = machine.at("block/sdb").join(file);
                fs::create_dir_all(path.parent().expect("folder")).expect("folder");
                fs::write(path, text).expect("file");
            }
            machine
        }
        fn at(&self, name: &str) -> PathBuf {
            self.folder.path().join(name)
        }
        fn put(&self, name: &str, bytes: &[u8]) {
            let path = self.at("stick").join(name);
            fs::create_dir_all(path.parent().expect("folder")).expect("folder");
            fs::write(path, bytes).expect("file");
        }
        fn copy(&self) -> Result<Vec<String>, FetchFault> {
            copy_all(&self.at("stick"), &debs, &self.at("disk"))
        }
        fn fetch(&self) -> Result<Option<Vec<String>>, FetchFault> {
            let places = Places {
                mountinfo: self.at("mountinfo"),
                blocks: self.at("block"),
                devices: "/dev".into(),
            };
            fetch(&places, self, &debs, &self.at("disk"))
        }
    }

    impl Commands for Machine {
        fn run(&self, program: &str, arguments: &[&str]) -> Result<(), NotDone> {
            let line = format!("{program} {}", arguments.join(" "));
            self.said.lock().expect("whole").push(line);
            if let Some(why) = &self.fails {
                return Err(why.clone());
            }
            let text = match arguments[0] {
                "mount" => "90 22 8:17 / /mnt/no-stick-of-a-test rw - vfat /dev/sdb1 rw\n",
                _ => "",
            };
            fs::write(self.at("mountinfo"), text).expect("file");
            Ok(())
        }
    }

    #[test]
    fn what_is_wanted_is_copied_from_its_top_or_from_the_walls_folder() {
        let machine = Machine::new();
        assert_eq!(machine.copy(), Ok(vec![]));
        machine.put("readme.txt", b"x");
        machine.put("fillcall/a.deb", &vec![7; PIECE + 1]);
        assert_eq!(machine.copy(), Ok(vec!["a.deb".to_owned()]));
        let copy = fs::read(machine.at("disk/a.deb")).expect("copied");
        assert!(copy == vec![7; PIECE + 1]);
        assert!(!machine.at("disk/readme.txt").exists());
        machine.put("b.deb", b"b");
        assert_eq!(machine.copy(), Ok(vec!["b.deb".to_owned()]));
    }

    #[test]
    fn what_is_no_file_is_not_fetched() {
        let machine = Machine::new();
        std::os::unix::fs::symlink("/etc/passwd", machine.at("stick/a.deb")).expect("link");
        fs::create_dir(machine.at("stick/b.deb")).expect("folder");
        assert_eq!(machine.copy(), Ok(vec![]));
    }

    #[test]
    fn a_full_disk_and_a_stick_that_is_gone_are_told_apart() {
        let machine = Machine::new();
        machine.put("a.deb", b"a");
        // Everything that is written there finds a full disk.
        std::os::unix::fs::symlink("/dev/full", machine.at("disk/a.deb")).expect("link");
        assert_eq!(machine.copy(), Err(FetchFault::Full));
        fs::remove_dir_all(machine.at("disk")).expect("folder");
        assert!(matches!(machine.copy(), Err(FetchFault::Disk(_))));
        fs::remove_dir_all(machine.at("stick")).expect("folder");
        assert_eq!(machine.copy(), Err(FetchFault::Gone));
    }

    #[test]
    fn a_stick_is_mounted_and_closed_and_why_not_is_told_apart() {
        assert_eq!(Machine::new().fetch(), Ok(None));
        let mut machine = Machine::with_a_stick();
        assert_eq!(machine.fetch(), Err(FetchFault::Gone));
        let said = machine.said.lock().expect("whole").clone();
        assert_eq!(
            said,
            ["mount", "unmount"]
                .map(|what| format!("udisksctl {what} -b /dev/sdb1 --no-user-interaction"))
        );
        for (said, fault) in [
            (NotDone::NoProgram, FetchFault::NoTool),
            (
                NotDone::Said("x NotAuthorized x".into()),
                FetchFault::NotAllowed,
            ),
            (
                NotDone::Said("wrong fs type".into()),
                FetchFault::NotMounted,
            ),
        ] {
            machine.fails = Some(said);
            assert_eq!(machine.fetch(), Err(fault));
        }
    }
}
