//! Puts a parcel on one stick: all of it, synced and whole, or nothing.

use super::commands::{Commands, NotDone};
use super::files::Files;
use super::finding::{self, Part};
use super::{Places, Watched};
use crate::bay::ports::{Leave, OnStick, Parcel, StickFault};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// The tool that mounts and unmounts for a program that is not root.
pub(super) const TOOL: &str = "udisksctl";
/// The folder on the stick that everything goes into.
pub(super) const FOLDER: &str = "fillcall";
/// What the tool says, among other words, where the system's rules do not let this user open a stick.
pub(super) const NOT_ALLOWED: &str = "NotAuthorized";
/// Parcels of one day on one stick: behind this many something is wrong.
const MOST_OF_A_NAME: usize = 999;

/// One parcel on its way.
pub(super) struct Job {
    pub places: Places,
    pub files: Arc<dyn Files>,
    pub commands: Arc<dyn Commands>,
    pub stick: String,
    pub parcel: Parcel,
    pub watched: Arc<Watched>,
    /// Held by the job that is at this stick.
    pub turn: Arc<Mutex<()>>,
}

/// The name of a folder that is not whole yet, and of one that was left so.
fn unfinished_name(folder: &str) -> String {
    format!(".{folder}.part")
}

fn is_unfinished(name: &str) -> bool {
    name.starts_with('.') && name.ends_with(".part")
}

impl Job {
    /// Does all of it, and says how far it has come.
    ///
    /// A job that was given up may still be in the middle of a stick that does not answer: the next
    /// one waits until that has taken back what it began, or they would write into each other.
    pub fn run(self) {
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let end = match self.put() {
            Ok(folder) => {
                self.watched.set(OnStick::Closing);
                OnStick::Done {
                    folder,
                    leave: self.close(),
                }
            }
            Err(fault) => OnStick::Failed(fault),
        };
        self.watched.set(end);
    }

    fn part(&self) -> Option<Part> {
        let parts = finding::parts(&self.places);
        parts.into_iter().find(|part| part.stick.id == self.stick)
    }

    fn tool(&self, what: &str, part: &Part) -> Result<(), NotDone> {
        let device = part.device.to_string_lossy();
        let arguments = [what, "-b", &device, "--no-user-interaction"];
        self.commands.run(TOOL, &arguments)
    }

    /// The folder that everything is in now.
    fn put(&self) -> Result<String, StickFault> {
        self.is_wanted().map_err(|_| StickFault::Hangs)?;
        let mut part = self.part().ok_or(StickFault::Gone)?;
        if part.protected {
            return Err(StickFault::ReadOnly);
        }
        if part.mounted.is_none() {
            self.tool("mount", &part).map_err(|why| match why {
                NotDone::NoProgram => StickFault::NoTool,
                NotDone::Said(said) if said.contains(NOT_ALLOWED) => StickFault::NotAllowed,
                NotDone::Said(said) => self.or_gone(StickFault::NotMounted { said }),
            })?;
            part = self.part().ok_or(StickFault::Gone)?;
        }
        let mount = part.mounted.as_ref().ok_or(StickFault::NotMounted {
            said: String::new(),
        })?;
        let put = match mount.read_only {
            true => Err(StickFault::ReadOnly),
            false => self.write(&mount.point),
        };
        // It will be pulled out after bad news too.
        if put.is_err() {
            let _ = self.tool("unmount", &part);
        }
        put
    }

    /// An error where nobody waits for it any more: it was said to have failed, so nothing of it may
    /// come to stay.
    fn is_wanted(&self) -> io::Result<()> {
        match self.watched.is_given_up() {
            true => Err(io::Error::other("nobody waits for it any more")),
            false => Ok(()),
        }
    }

    fn or_gone(&self, fault: StickFault) -> StickFault {
        match self.part() {
            Some(_) => fault,
            None => StickFault::Gone,
        }
    }

    fn write(&self, root: &Path) -> Result<String, StickFault> {
        let of: usize = self.parcel.files.iter().map(|(_, text)| text.len()).sum();
        let mut done = 0;
        let below = root.join(FOLDER);
        let was_there = self.files.exists(&below);
        if was_there && !self.files.is_folder(&below) {
            // A link would lead to where it must not write.
            return Err(StickFault::Other {
                said: format!("{FOLDER} is no folder"),
            });
        }
        let unfinished = below.join(unfinished_name(&self.parcel.folder));
        let written = self.write_all(root, &below, &unfinished, of, &mut done);
        written.map_err(|error| {
            // Nothing half written stays. Where the stick is gone, so is this.
            let _ = self.files.remove_folder(&unfinished);
            if !was_there {
                let _ = self.files.remove_empty_folder(&below);
            }
            let _ = self.files.sync_folder(root);
            let missing = of.saturating_sub(done).max(1) as u64;
            self.or_gone(match error.kind() {
                ErrorKind::StorageFull | ErrorKind::QuotaExceeded => StickFault::Full { missing },
                ErrorKind::ReadOnlyFilesystem => StickFault::ReadOnly,
                _ => StickFault::Other {
                    said: error.to_string(),
                },
            })
        })
    }

    fn write_all(
        &self,
        root: &Path,
        below: &Path,
        unfinished: &Path,
        of: usize,
        done: &mut usize,
    ) -> io::Result<String> {
        let files = &self.files;
        if !files.exists(below) {
            files.make_folder(below)?;
        }
        // Left by sticks that were pulled out in the middle, on whatever day.
        for left in files
            .names(below)?
            .iter()
            .filter(|name| is_unfinished(name))
        {
            files.remove_folder(&below.join(left))?;
        }
        self.is_wanted()?;
        files.make_folder(unfinished)?;
        for (name, text) in &self.parcel.files {
            self.watched.set(OnStick::Writing { done: *done, of });
            files.write(&unfinished.join(name), text.as_bytes(), &mut |more| {
                *done += more;
                self.watched.set(OnStick::Writing { done: *done, of });
            })?;
            self.is_wanted()?;
        }
        files.sync_folder(unfinished)?;
        let (path, shown) = self.free_name(below)?;
        self.is_wanted()?;
        files.rename(unfinished, &path)?;
        files.sync_folder(below)?;
        files.sync_folder(root)?;
        Ok(shown)
    }

    /// The name of the folder, with a number where it is taken: nothing is written over.
    fn free_name(&self, below: &Path) -> io::Result<(PathBuf, String)> {
        let name = |n: usize| match n {
            1 => self.parcel.folder.clone(),
            n => format!("{}-{n}", self.parcel.folder),
        };
        (1..=MOST_OF_A_NAME)
            .map(name)
            .find(|name| !self.files.exists(&below.join(name)))
            .map(|name| (below.join(&name), format!("{FOLDER}/{name}")))
            .ok_or_else(|| ErrorKind::AlreadyExists.into())
    }

    /// Unmounts it. Everything on it is synced already.
    fn close(&self) -> Leave {
        let Some(part) = self.part() else {
            // Pulled out since: nothing of it was lost.
            return Leave::PullOut;
        };
        match self.tool("unmount", &part) {
            Ok(()) => Leave::PullOut,
            Err(why) => match self.part().map(|part| part.mounted) {
                // Somebody else did it meanwhile.
                None | Some(None) => Leave::PullOut,
                Some(Some(_)) if why == NotDone::NoProgram => Leave::NoTool,
                Some(Some(_)) => Leave::Held,
            },
        }
    }
}
