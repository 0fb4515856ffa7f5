//! The panel's files, or those of a folder in their place.

use std::cell::Cell;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// How much room a file system has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Space {
    /// Bytes that may still be written.
    pub free: u64,
    /// Bytes in all.
    pub size: u64,
    /// Files that may still be made; `None` where there is no limit of their own.
    pub files: Option<u64>,
}

/// What a machine tells otherwise than by its files.
pub trait System {
    /// What a program prints; `None` where it is not there, fails, or must not be run.
    fn run(&self, program: &str, arguments: &[&str]) -> Option<String>;
    /// How much room the file system of a folder has; `None` where it cannot be told.
    fn space(&self, folder: &Path) -> Option<Space>;
    /// True where this process may write in a folder.
    fn may_write(&self, folder: &Path) -> bool;
    /// The text of a file.
    ///
    /// # Errors
    /// As for [`fs::read_to_string`].
    fn read(&self, file: &Path) -> io::Result<String> {
        fs::read_to_string(file)
    }
}

/// The machine that this program runs on.
#[derive(Debug, Clone, Copy)]
pub struct ThisMachine {
    /// Whether its programs may be run: not for a folder in whose programs' place they would speak.
    pub programs: bool,
}

impl System for ThisMachine {
    fn run(&self, program: &str, arguments: &[&str]) -> Option<String> {
        if !self.programs {
            return None;
        }
        let out = Command::new(program)
            .args(arguments)
            .env("LC_ALL", "C")
            .stdin(Stdio::null())
            .output()
            .ok()?;
        let said = out.status.success().then_some(out.stdout)?;
        Some(String::from_utf8_lossy(&said).into_owned())
    }

    fn space(&self, folder: &Path) -> Option<Space> {
        let told = rustix::fs::statvfs(folder).ok()?;
        Some(Space {
            free: told.f_bavail.saturating_mul(told.f_frsize),
            size: told.f_blocks.saturating_mul(told.f_frsize),
            files: (told.f_files > 0).then_some(told.f_favail),
        })
    }

    fn may_write(&self, folder: &Path) -> bool {
        rustix::fs::access(folder, rustix::fs::Access::WRITE_OK).is_ok()
    }
}

/// The folder that is read in the place of `/`, and the machine that it belongs to.
pub struct Root {
    folder: PathBuf,
    system: Box<dyn System>,
    /// Something was not to be read for want of rights.
    denied: Cell<bool>,
}

impl Root {
    /// That folder of this machine. Programs are run only where it is `/`.
    pub fn of_this_machine(folder: &Path) -> Self {
        let folder = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
        let programs = folder == Path::new("/");
        Self::with(&folder, Box::new(ThisMachine { programs }))
    }

    /// That folder, of another machine.
    pub fn with(folder: &Path, system: Box<dyn System>) -> Self {
        Self {
            folder: folder.to_owned(),
            system,
            denied: Cell::new(false),
        }
    }

    /// The machine.
    pub(super) fn system(&self) -> &dyn System {
        self.system.as_ref()
    }

    /// Where a path of the panel, told without its first `/`, really is.
    pub(super) fn at(&self, path: &str) -> PathBuf {
        self.folder.join(path)
    }

    /// The path that something has on the panel itself.
    pub(super) fn on_the_panel(&self, path: &Path) -> PathBuf {
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        match path.strip_prefix(&self.folder) {
            Ok(rest) => Path::new("/").join(rest),
            Err(_) => path,
        }
    }

    /// The text of a file without its end; `None` where it cannot be read.
    pub(super) fn text(&self, path: &str) -> Option<String> {
        match self.system.read(&self.at(path)) {
            Ok(text) => Some(text.trim_end().to_owned()),
            Err(error) => {
                self.note(&error);
                None
            }
        }
    }

    /// True where there is something of that name; links are not followed, for they may lead out.
    pub(super) fn has(&self, path: &str) -> bool {
        let told = fs::symlink_metadata(self.at(path));
        told.as_ref().inspect_err(|error| self.note(error)).is_ok()
    }

    fn note(&self, error: &io::Error) {
        if error.kind() == io::ErrorKind::PermissionDenied {
            self.denied.set(true);
        }
    }

    /// True where something could not be read for want of rights since this was asked last.
    pub(super) fn was_denied(&self) -> bool {
        self.denied.take()
    }

    /// The names in a folder, in order; none where it cannot be read.
    pub(super) fn names(&self, path: &str) -> Vec<String> {
        let entries = fs::read_dir(self.at(path)).into_iter().flatten().flatten();
        let mut names: Vec<String> = entries
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// True where a kernel tells about its devices there.
    pub(super) fn runs(&self) -> bool {
        self.has("sys/class")
    }
}
