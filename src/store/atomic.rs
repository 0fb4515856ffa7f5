//! Writing a file so that after a power cut it is either the old one or the new one, whole.

use super::fault::StoreFault;
use super::plain;
use std::fs::{self, File, OpenOptions};
use std::io::{BufWriter, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};

/// Replaces the text of `path`: a temporary file beside it is written and synced, renamed over
/// it, and the folder synced. The old file's rights stay; what is no file is refused.
///
/// # Errors
/// [`StoreFault::Disk`]; `path` is then as it was.
pub fn write_text(path: &Path, text: &str) -> Result<(), StoreFault> {
    write_bytes(path, text.as_bytes())
}

/// The same for bytes.
///
/// # Errors
/// As for [`write_text`].
pub fn write_bytes(path: &Path, bytes: &[u8]) -> Result<(), StoreFault> {
    write_for(path, Rights::AsBefore, all_of(path, bytes))
}

/// The same for what is written part by part, so that it need not be in memory as a whole.
///
/// # Errors
/// As for [`write_text`], and whatever `write` fails with.
pub fn write_with(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> Result<(), StoreFault>,
) -> Result<(), StoreFault> {
    write_for(path, Rights::AsBefore, write)
}

/// The same for what nobody but this user may read: the file has the mode 0600 from its first byte on.
///
/// # Errors
/// [`StoreFault::Disk`]; `path` is then as it was.
pub fn write_private_text(path: &Path, text: &str) -> Result<(), StoreFault> {
    write_for(path, Rights::Mine, all_of(path, text.as_bytes()))
}

fn all_of<'a>(
    path: &'a Path,
    bytes: &'a [u8],
) -> impl FnOnce(&mut dyn Write) -> Result<(), StoreFault> + 'a {
    move |out| {
        out.write_all(bytes)
            .map_err(|e| StoreFault::disk(path, "writing", &e))
    }
}

/// Who may read and write a file.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Rights {
    /// Who may do so with the old one; for a new one, whom the system lets.
    AsBefore,
    /// This user alone.
    Mine,
}

fn write_for(
    path: &Path,
    rights: Rights,
    write: impl FnOnce(&mut dyn Write) -> Result<(), StoreFault>,
) -> Result<(), StoreFault> {
    plain::refuse(path)?;
    let part = part_of(path);
    let fault = |e: std::io::Error| StoreFault::disk(path, "writing", &e);
    let written = write_synced(&part, path, rights, write)
        .and_then(|()| fs::rename(&part, path).map_err(fault));
    if written.is_err() {
        // It may never have been made; and the fault to tell is the one above.
        let _ = fs::remove_file(&part);
        return written;
    }
    sync_dir(folder_of(path))
}

/// Makes names that were added to, changed in or taken from a folder outlast a power cut.
///
/// # Errors
/// [`StoreFault::Disk`].
pub fn sync_dir(dir: &Path) -> Result<(), StoreFault> {
    File::open(dir)
        .and_then(|dir| dir.sync_all())
        .map_err(|e| StoreFault::disk(dir, "syncing the folder", &e))
}

/// The folder that a path lies in: the current one for a bare name.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(dir) if dir != Path::new("") => dir,
        _ => Path::new("."),
    }
}

/// A name of its own for each process, so that two at once never write into one file.
fn part_of(target: &Path) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(target.file_name().unwrap_or_default());
    name.push(format!(".{}.part", std::process::id()));
    target.with_file_name(name)
}

/// The name of the file that this one is half of, where it is such a one.
pub(crate) fn whole_of(name: &str) -> Option<&str> {
    let inner = name.strip_prefix('.')?.strip_suffix(".part")?;
    let (whole, process) = inner.rsplit_once('.')?;
    let is_number = !process.is_empty() && process.bytes().all(|b| b.is_ascii_digit());
    is_number.then_some(whole)
}

fn write_synced(
    part: &Path,
    target: &Path,
    rights: Rights,
    write: impl FnOnce(&mut dyn Write) -> Result<(), StoreFault>,
) -> Result<(), StoreFault> {
    let fault = |e: std::io::Error| StoreFault::disk(target, "writing", &e);
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    if rights == Rights::Mine {
        // A rest of an earlier try would keep the rights it has.
        let _ = fs::remove_file(part);
        options.mode(0o600);
    }
    let file = options.open(part).map_err(fault)?;
    if let Ok(old) = fs::metadata(target)
        && rights == Rights::AsBefore
    {
        file.set_permissions(old.permissions()).map_err(fault)?;
    }
    let mut out = BufWriter::new(file);
    write(&mut out)?;
    let file = out.into_inner().map_err(|e| fault(e.into_error()))?;
    file.sync_all().map_err(fault)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    fn names(dir: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(dir)
            .expect("folder")
            .map(|e| e.expect("entry").file_name().into_string().expect("name"))
            .collect();
        names.sort();
        names
    }

    #[test]
    fn the_new_text_takes_the_place_of_the_old_and_nothing_else_stays() {
        let dir = tempfile::tempdir().expect("folder");
        let path = dir.path().join("bay.toml");
        write_text(&path, "one\n").expect("new file");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).expect("rights");
        let old = File::open(&path).expect("old file");
        write_text(&path, "two\n").expect("replaced");
        assert_eq!(fs::read_to_string(&path).expect("text"), "two\n");
        assert_eq!(names(dir.path()), ["bay.toml"]);
        assert_eq!(
            fs::metadata(&path).expect("rights").permissions().mode() & 0o777,
            0o640
        );
        // Whoever had the old file open still has the old text: it was never written into.
        assert_eq!(std::io::read_to_string(old).expect("old"), "one\n");
    }

    #[test]
    fn what_is_private_is_so_from_its_first_byte_whatever_was_there_before() {
        let dir = tempfile::tempdir().expect("folder");
        let path = dir.path().join("secret");
        fs::write(&path, "old").expect("file");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).expect("rights");
        // What a killed try left behind, for all to read.
        fs::write(part_of(&path), "rest").expect("rest");
        write_private_text(&path, "new").expect("written");
        assert_eq!(fs::read_to_string(&path).expect("text"), "new");
        let mode = fs::metadata(&path).expect("rights").permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
        assert_eq!(names(dir.path()), ["secret"]);
    }

    #[test]
    fn a_link_is_neither_followed_nor_replaced() {
        let dir = tempfile::tempdir().expect("folder");
        let (file, link) = (dir.path().join("real.toml"), dir.path().join("bay.toml"));
        fs::write(&file, "one").expect("file");
        symlink(&file, &link).expect("link");
        let fault = write_text(&link, "two").expect_err("a link");
        assert!(fault.to_string().contains("a link"), "{fault}");
        assert_eq!(fs::read_to_string(&file).expect("text"), "one");
        assert!(fs::symlink_metadata(&link).expect("link").is_symlink());
    }

    #[test]
    fn a_failure_leaves_the_old_and_no_rest() {
        let dir = tempfile::tempdir().expect("folder");
        // A folder of that name with something in it cannot be renamed over.
        let path = dir.path().join("bay.toml");
        fs::create_dir(&path).expect("in the way");
        fs::write(path.join("x"), "x").expect("file");
        let fault = write_text(&path, "two").expect_err("a folder is in the way");
        assert!(fault.to_string().contains("bay.toml"), "{fault}");
        assert_eq!(names(dir.path()), ["bay.toml"]);
        let fault = write_text(&dir.path().join("no/bay.toml"), "x").expect_err("no folder");
        assert!(fault.to_string().contains("folder"), "{fault}");
    }
}
