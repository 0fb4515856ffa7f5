//! Files that a command is told to write: never one of a bay's own, and one that is there only where
//! that is said.

use super::atomic::folder_of;
use super::fault::StoreFault;
use super::{OWN_FILES, SETUP_FILE, plain};
use std::fs;
use std::os::unix::fs::MetadataExt;
use std::path::Path;

/// Asks whether a command about the bay in `bay` may write `file`. `replace` says that a file which is
/// there may be lost; a bay's own files never may, whatever their name and whichever link leads to them.
///
/// # Errors
/// [`StoreFault::OwnFile`], [`StoreFault::ThereAlready`], or [`StoreFault::Disk`] where something is
/// there that is no file.
pub fn may_write(bay: &Path, file: &Path, replace: bool) -> Result<(), StoreFault> {
    if is_own(bay, file) {
        return Err(StoreFault::OwnFile(file.to_owned()));
    }
    plain::refuse(file)?;
    if !replace && fs::symlink_metadata(file).is_ok() {
        return Err(StoreFault::ThereAlready(file.to_owned()));
    }
    Ok(())
}

/// True for a name that a bay keeps its own things under, there or not yet, and for another name of one
/// that is there.
fn is_own(bay: &Path, file: &Path) -> bool {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    // Sticks of other systems do not tell capital letters apart.
    let is_named_so = OWN_FILES.iter().any(|own| name.eq_ignore_ascii_case(own));
    let folder = fs::canonicalize(folder_of(file));
    let in_a_bay = folder.is_ok_and(|folder| {
        fs::canonicalize(bay).is_ok_and(|bay| bay == folder)
            || fs::symlink_metadata(folder.join(SETUP_FILE)).is_ok()
    });
    let number = |path: &Path| fs::metadata(path).ok().map(|meta| (meta.dev(), meta.ino()));
    let is_another_name = || {
        let own = number(file);
        own.is_some() && OWN_FILES.iter().any(|name| number(&bay.join(name)) == own)
    };
    (is_named_so && in_a_bay) || is_another_name()
}
