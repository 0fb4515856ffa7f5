//! Looking for the newest backup of a bay, for when its records are lost.

use super::{read, write};
use chrono::{DateTime, FixedOffset};
use std::fs;
use std::path::{Path, PathBuf};

/// Backups in a folder of this name inside the bay's are found as well.
const BACKUPS: &str = "backups";

/// A backup that can be restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Where it is.
    pub file: PathBuf,
    /// When it was made.
    pub made: DateTime<FixedOffset>,
    /// Washes in it.
    pub washes: u64,
    /// Calibrations in it.
    pub calibrations: u64,
}

/// The newest backup by its own date among the files in the bay's folder, in `backups` inside of it, and
/// in the folder around it. One that could not be restored is passed over.
pub fn newest(bay_dir: &Path) -> Option<Found> {
    let around = bay_dir
        .canonicalize()
        .ok()
        .and_then(|dir| dir.parent().map(Path::to_owned));
    let folders = [
        Some(bay_dir.to_owned()),
        Some(bay_dir.join(BACKUPS)),
        around,
    ];
    let files = folders.into_iter().flatten().flat_map(|dir| files_in(&dir));
    files.filter_map(look_into).max_by_key(|found| found.made)
}

fn files_in(dir: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(dir).into_iter().flatten().flatten();
    let paths = entries.map(|entry| entry.path());
    // A pipe would be waited for.
    paths.filter(|path| path.is_file()).collect()
}

fn look_into(file: PathBuf) -> Option<Found> {
    if file.extension().is_none_or(|ending| ending != "toml") {
        return None;
    }
    let text = fs::read_to_string(&file).ok()?;
    if !text.starts_with(write::FIRST_LINE) {
        return None;
    }
    let (contents, setup) = read::contents(&text).ok()?;
    let holds = contents.summary(&setup, None).records;
    Some(Found {
        file,
        made: contents.made,
        washes: holds.washes,
        calibrations: holds.calibrations,
    })
}
