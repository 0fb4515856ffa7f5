//! What is done with files on a stick, so that tests can stand in for a bad one.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::Path;

/// So much is written at once, in bytes: between two of them it is seen how far it has come.
const PIECE: usize = 16 * 1024;

/// Files on a stick.
pub trait Files: Send + Sync {
    /// True where something of that name is there.
    fn exists(&self, path: &Path) -> bool;
    /// True where that is a folder itself, and no link to one.
    fn is_folder(&self, path: &Path) -> bool;
    /// The names of what is in a folder.
    ///
    /// # Errors
    /// As the system says.
    fn names(&self, path: &Path) -> io::Result<Vec<String>>;
    /// Makes a folder; its own folder is there.
    ///
    /// # Errors
    /// As the system says.
    fn make_folder(&self, path: &Path) -> io::Result<()>;
    /// Writes a new file and syncs it. `wrote` is told of each piece that went in, in bytes.
    ///
    /// # Errors
    /// As the system says.
    fn write(&self, path: &Path, bytes: &[u8], wrote: &mut dyn FnMut(usize)) -> io::Result<()>;
    /// Gives another name, over nothing that is there.
    ///
    /// # Errors
    /// As the system says.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Makes the names in a folder last.
    ///
    /// # Errors
    /// As the system says.
    fn sync_folder(&self, path: &Path) -> io::Result<()>;
    /// Takes a folder away with all that is in it.
    ///
    /// # Errors
    /// As the system says.
    fn remove_folder(&self, path: &Path) -> io::Result<()>;
    /// Takes a folder away that is empty.
    ///
    /// # Errors
    /// As the system says.
    fn remove_empty_folder(&self, path: &Path) -> io::Result<()>;
}

/// The files of this machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemFiles;

impl Files for SystemFiles {
    fn exists(&self, path: &Path) -> bool {
        fs::symlink_metadata(path).is_ok()
    }
    fn is_folder(&self, path: &Path) -> bool {
        fs::symlink_metadata(path).is_ok_and(|data| data.is_dir())
    }
    fn names(&self, path: &Path) -> io::Result<Vec<String>> {
        let name = |entry: io::Result<fs::DirEntry>| {
            entry.map(|entry| entry.file_name().to_string_lossy().into_owned())
        };
        fs::read_dir(path)?.map(name).collect()
    }
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }
    fn write(&self, path: &Path, bytes: &[u8], wrote: &mut dyn FnMut(usize)) -> io::Result<()> {
        let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
        for piece in bytes.chunks(PIECE) {
            file.write_all(piece)?;
            wrote(piece.len());
        }
        file.sync_all()
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }
    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        match File::open(path)?.sync_all() {
            // Some file systems know no such thing: unmounting does it.
            Err(e) if matches!(e.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => {
                Ok(())
            }
            other => other,
        }
    }
    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir_all(path)
    }
    fn remove_empty_folder(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }
}
