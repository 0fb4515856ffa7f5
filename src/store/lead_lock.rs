//! The shift lead's PIN in the bay's folder: a hash in a file of its own, and the file that takes the
//! PIN away.
//!
//! Who may write in the folder may change everything of the bay, the PIN included. The hash keeps the
//! PIN itself, which may be somebody's for other things too, from who may only read: four to eight
//! digits are soon tried out on a copy, each try costs what a try here does. At the wall the waits
//! after wrong PINs keep anybody from trying them out.

use super::atomic::{sync_dir, write_private_text};
use super::fault::StoreFault;
use super::plain;
use crate::bay::ports::{LeadLock, LockCause, LockFault};
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{self, PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The name of the file with the hash in a bay's folder.
pub const PIN_FILE: &str = "lead-pin";
/// The name of the file that takes the PIN away, put into a bay's folder by hand.
pub const FORGET_FILE: &str = "forget-lead-pin";

/// What a hash costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cost {
    /// Memory, KiB; at least 8.
    pub memory_kib: u32,
    /// How often it is gone through; at least 1.
    pub passes: u32,
}

impl Cost {
    /// For a panel: 7 MiB, five times, which the Password Storage Cheat Sheet of OWASP (2023) gives as
    /// one of the equal least costs of Argon2id, and the one with the least memory.
    ///
    /// Measured, release build, one core of an AMD EPYC server, 41 tries: 10 ms in the middle, 22 ms at
    /// the most. Not measured on a panel: a core ten times as slow would take a tenth of a second. The
    /// screen stands still that long, and nothing is timed meanwhile: a running stopwatch keeps the
    /// page for the PIN away.
    pub const PANEL: Self = Self {
        memory_kib: 7 * 1024,
        passes: 5,
    };
    /// Next to nothing, for tests that set and try many.
    pub const TEST: Self = Self {
        memory_kib: 8,
        passes: 1,
    };
}

/// The lock of the bay in a folder.
#[derive(Debug, Clone)]
pub struct FileLock {
    folder: PathBuf,
    cost: Cost,
}

impl FileLock {
    /// The lock of the bay in `folder`.
    pub fn new(folder: &Path) -> Self {
        Self::at_cost(folder, Cost::PANEL)
    }

    /// The same, whose new hashes cost as much as said. What is on disk says itself what it costs.
    pub fn at_cost(folder: &Path, cost: Cost) -> Self {
        Self {
            folder: folder.to_owned(),
            cost,
        }
    }

    fn pin_path(&self) -> PathBuf {
        self.folder.join(PIN_FILE)
    }

    /// The text of the file; `None` where there is none.
    fn text(&self) -> Result<Option<String>, LockFault> {
        let path = self.pin_path();
        plain::refuse(&path).map_err(|fault| told(&fault))?;
        match fs::read_to_string(&path) {
            Ok(text) => Ok(Some(text)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) if error.kind() == ErrorKind::InvalidData => Err(self.unreadable()),
            Err(error) => Err(told(&StoreFault::disk(&path, "reading", &error))),
        }
    }

    fn unreadable(&self) -> LockFault {
        let file = self.pin_path();
        let message = format!(
            "{} is damaged. Put an empty file {FORGET_FILE} beside it, then choose a PIN anew.",
            file.display()
        );
        faulty(message, LockCause::Damaged)
    }

    /// Removes a file; false where there is none.
    fn remove(&self, name: &str) -> Result<bool, LockFault> {
        let path = self.folder.join(name);
        match fs::remove_file(&path) {
            Ok(()) => Ok(true),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(false),
            Err(error) => Err(told(&StoreFault::disk(&path, "removing", &error))),
        }
    }
}

/// A fault, whose message goes into the journal: the wall has no room for names of files, and who mends
/// them reads it there.
fn faulty(message: String, cause: LockCause) -> LockFault {
    eprintln!("fillcall: {message}");
    LockFault { message, cause }
}

fn told(fault: &StoreFault) -> LockFault {
    faulty(format!("{fault}."), LockCause::File)
}

fn not_hashed(error: impl std::fmt::Display) -> LockFault {
    let message = format!("The PIN could not be hashed: {error}. Start the wall again.");
    faulty(message, LockCause::Hash)
}

impl LeadLock for FileLock {
    fn has_pin(&mut self) -> Result<bool, LockFault> {
        // Also one that is damaged: it keeps everybody out until it is taken away.
        match fs::symlink_metadata(self.pin_path()) {
            Ok(_) => Ok(true),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(false),
            Err(error) => Err(told(&StoreFault::disk(&self.pin_path(), "reading", &error))),
        }
    }

    fn opens(&mut self, pin: &str) -> Result<bool, LockFault> {
        let Some(text) = self.text()? else {
            return Ok(false);
        };
        let hash = PasswordHash::new(text.trim_end()).map_err(|_| self.unreadable())?;
        match Argon2::default().verify_password(pin.as_bytes(), &hash) {
            Ok(()) => Ok(true),
            // Where there is no salt or no hash in it, no PIN would ever be right.
            Err(password_hash::Error::PasswordInvalid)
                if hash.salt.is_some() && hash.hash.is_some() =>
            {
                Ok(false)
            }
            Err(password_hash::Error::OutOfMemory) => Err(not_hashed("out of memory")),
            Err(_) => Err(self.unreadable()),
        }
    }

    fn set_pin(&mut self, pin: &str) -> Result<(), LockFault> {
        let params = Params::new(self.cost.memory_kib, self.cost.passes, 1, None);
        let params = params.map_err(not_hashed)?;
        let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
        let hash: PasswordHash = argon2.hash_password(pin.as_bytes()).map_err(not_hashed)?;
        write_private_text(&self.pin_path(), &format!("{hash}\n")).map_err(|fault| told(&fault))
    }

    fn take_away_if_asked(&mut self) -> Result<bool, LockFault> {
        match fs::symlink_metadata(self.folder.join(FORGET_FILE)) {
            Ok(_) => {}
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(false),
            Err(error) => {
                let path = self.folder.join(FORGET_FILE);
                return Err(told(&StoreFault::disk(&path, "reading", &error)));
            }
        }
        // The PIN first: a power cut between the two only makes this be done once more.
        self.remove(PIN_FILE)?;
        sync_dir(&self.folder).map_err(|fault| told(&fault))?;
        self.remove(FORGET_FILE)?;
        sync_dir(&self.folder).map_err(|fault| told(&fault))?;
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;
    use std::time::Instant;

    fn lock(dir: &Path) -> FileLock {
        FileLock::at_cost(dir, Cost::TEST)
    }

    #[test]
    fn a_pin_opens_and_no_other_does() {
        let dir = tempfile::tempdir().expect("folder");
        let mut first = lock(dir.path());
        assert_eq!(first.has_pin(), Ok(false));
        assert_eq!(first.opens("4711"), Ok(false), "no PIN is no open door");
        assert_eq!(first.opens(""), Ok(false));
        first.set_pin("0042").expect("set");
        // As after a restart.
        let mut lock = lock(dir.path());
        assert_eq!(lock.has_pin(), Ok(true));
        assert_eq!(lock.opens("0042"), Ok(true));
        for wrong in ["42", "0041", "00420", "", "0042 "] {
            assert_eq!(lock.opens(wrong), Ok(false), "{wrong:?}");
        }
        lock.set_pin("99887766").expect("changed");
        assert_eq!(lock.opens("0042"), Ok(false));
        assert_eq!(lock.opens("99887766"), Ok(true));
    }

    #[test]
    fn the_file_does_not_tell_the_pin_and_is_for_this_user_alone() {
        let dir = tempfile::tempdir().expect("folder");
        let path = dir.path().join(PIN_FILE);
        FileLock::new(dir.path()).set_pin("31415926").expect("set");
        let text = fs::read_to_string(&path).expect("text");
        assert!(text.starts_with("$argon2id$v=19$m=7168,t=5,p=1$"), "{text}");
        assert!(!text.contains("3141"), "{text}");
        let mode = fs::metadata(&path).expect("rights").permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
        // The same PIN twice is not seen to be the same.
        FileLock::new(dir.path()).set_pin("31415926").expect("set");
        assert_ne!(fs::read_to_string(&path).expect("text"), text);
        // What it costs is read from the file, whatever new ones cost.
        let began = Instant::now();
        assert_eq!(lock(dir.path()).opens("31415926"), Ok(true));
        println!("one try at the cost for a panel: {:?}", began.elapsed());
    }

    #[test]
    fn a_damaged_file_keeps_out_and_says_what_to_do() {
        let dir = tempfile::tempdir().expect("folder");
        let mut lock = lock(dir.path());
        let path = dir.path().join(PIN_FILE);
        for damaged in [
            &b""[..],
            b"4711\n",
            b"$argon2id$v=19$m=8,t=1,p=1\n",
            b"$argon2id$v=19$m=8,t=1,p=1$c2FsdHNhbHRzYWx0\n",
            b"\xff\xfe",
        ] {
            fs::write(&path, damaged).expect("file");
            assert_eq!(lock.has_pin(), Ok(true));
            let fault = lock.opens("4711").expect_err("damaged");
            assert!(fault.message.contains(FORGET_FILE), "{}", fault.message);
        }
    }

    #[test]
    fn what_the_wall_has_no_room_for_stands_in_the_journal() {
        const IN_ITSELF: &str = "FILLCALL_DAMAGED_PIN";
        if let Some(dir) = std::env::var_os(IN_ITSELF) {
            assert!(lock(Path::new(&dir)).opens("4711").is_err());
            return;
        }
        let dir = tempfile::tempdir().expect("folder");
        fs::write(dir.path().join(PIN_FILE), "4711\n").expect("file");
        let this = std::env::current_exe().expect("this program");
        let done = std::process::Command::new(this)
            .args(["--nocapture", "what_the_wall_has_no_room_for_stands"])
            .env(IN_ITSELF, dir.path())
            .output()
            .expect("it runs");
        assert!(done.status.success());
        let journal = String::from_utf8_lossy(&done.stderr);
        let named = dir.path().join(PIN_FILE).display().to_string();
        assert!(
            journal.contains(&named) && journal.contains(FORGET_FILE),
            "{journal}"
        );
    }

    #[test]
    fn a_link_or_a_pipe_in_its_place_keeps_out_and_is_told_by_its_name() {
        let dir = tempfile::tempdir().expect("folder");
        let other = tempfile::tempdir().expect("folder");
        lock(other.path()).set_pin("4711").expect("set");
        let (mut lock, path) = (lock(dir.path()), dir.path().join(PIN_FILE));
        let told = |lock: &mut FileLock, what: &str| {
            assert_eq!(lock.has_pin(), Ok(true));
            for fault in [
                lock.opens("4711").map(drop).expect_err(what),
                lock.set_pin("1234").expect_err(what),
            ] {
                let message = fault.message;
                assert!(
                    message.contains(PIN_FILE) && message.contains(what),
                    "{message}"
                );
            }
        };
        std::os::unix::fs::symlink(other.path().join(PIN_FILE), &path).expect("link");
        told(&mut lock, "a link");
        fs::remove_file(&path).expect("removed");
        let made = std::process::Command::new("mkfifo").arg(&path).status();
        assert!(made.expect("mkfifo is there").success());
        told(&mut lock, "a pipe");
    }

    #[test]
    fn the_file_for_it_takes_the_pin_away_once() {
        let dir = tempfile::tempdir().expect("folder");
        let mut lock = lock(dir.path());
        lock.set_pin("4711").expect("set");
        assert_eq!(lock.take_away_if_asked(), Ok(false));
        assert_eq!(lock.opens("4711"), Ok(true));
        fs::write(dir.path().join(FORGET_FILE), "").expect("asked");
        assert_eq!(lock.take_away_if_asked(), Ok(true));
        assert_eq!(lock.has_pin(), Ok(false));
        assert_eq!(fs::read_dir(dir.path()).expect("folder").count(), 0);
        assert_eq!(lock.take_away_if_asked(), Ok(false));
        // Asked for before there was one: nothing to take away, and the file goes.
        fs::write(dir.path().join(FORGET_FILE), "").expect("asked");
        assert_eq!(lock.take_away_if_asked(), Ok(true));
        assert_eq!(fs::read_dir(dir.path()).expect("folder").count(), 0);
    }

    #[test]
    fn what_the_disk_refuses_is_told() {
        let dir = tempfile::tempdir().expect("folder");
        // A folder with something in it cannot be removed, nor written over.
        for name in [PIN_FILE, FORGET_FILE] {
            fs::create_dir(dir.path().join(name)).expect("in the way");
            fs::write(dir.path().join(name).join("x"), "x").expect("in it");
        }
        let mut lock = lock(dir.path());
        let faults = [
            lock.take_away_if_asked().expect_err("in the way"),
            lock.set_pin("4711").expect_err("in the way"),
            lock.opens("4711").expect_err("in the way"),
        ];
        for fault in faults {
            assert!(fault.message.contains(PIN_FILE), "{}", fault.message);
        }
    }
}
