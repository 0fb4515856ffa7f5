//! Backup and restore of a whole bay as one TOML file that people can read and write.
//!
//! What may stand in the file is told in its own heading (`header.txt`), which every backup begins
//! with. Restoring gives a bay that goes on exactly where the other stopped.

mod contents;
mod found;
mod from_records;
mod in_place;
mod into_records;
mod read;
mod write;

pub use found::{Found, newest};

use super::atomic::write_text;
use super::fault::StoreFault;
use super::records::{self, SqliteRecords};
use super::{RECORDS_FILE, SETUP_FILE, records_path, setup_file, setup_path};
use chrono::{DateTime, FixedOffset, Local};
use std::path::{Path, PathBuf};

/// What was backed up or restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    /// The bay's name.
    pub bay: String,
    /// Sprayers in its set-up.
    pub sprayers: usize,
    /// Chemicals in its set-up.
    pub chemicals: usize,
    /// What its records hold.
    pub records: records::Summary,
    /// Where the bay that was there before is kept, after a restore over it.
    pub kept_aside: Option<PathBuf>,
}

/// Writes everything that the bay in `bay_dir` holds into `file`. An older backup of that name is
/// replaced; the wall may be running.
///
/// # Errors
/// The set-up has mistakes (it could not be restored), the records cannot be read, `file` is
/// something other than a backup, or cannot be written.
pub fn backup(bay_dir: &Path, file: &Path) -> Result<Summary, StoreFault> {
    let made = Local::now().fixed_offset();
    let mistakes = |faults| StoreFault::Mistakes {
        file: setup_path(bay_dir),
        faults,
    };
    let text = setup_file::text_of(bay_dir).map_err(|fault| mistakes(vec![fault]))?;
    let setup = setup_file::read(&text).map_err(mistakes)?;
    if file.exists() && !is_backup(file) {
        return Err(StoreFault::NotABackup(file.to_owned()));
    }
    let contents = from_records::contents(&records_path(bay_dir), made, text, &setup)?;
    write_text(file, &write::text(&contents))?;
    Ok(contents.summary(&setup, None))
}

/// Makes the bay in `bay_dir` what `file` says. Refused whole, with nothing written, when anything
/// in the file is wrong.
///
/// With `replace` a bay that is there already is kept aside in a folder of its own inside
/// `bay_dir`. The switch takes the old `bay.toml` away first and brings the new one last: a power
/// cut in between leaves a bay that says it has no set-up, never one of old and new mixed.
///
/// # Errors
/// Every mistake in the file; a bay that is there already, without `replace`; a wall still running
/// on it; a disk that refuses.
pub fn restore(bay_dir: &Path, file: &Path, replace: bool) -> Result<Summary, StoreFault> {
    let text = std::fs::read_to_string(file)
        .map_err(|e| StoreFault::disk(file, "reading the backup", &e))?;
    let (contents, setup) = read::contents(&text).map_err(|faults| StoreFault::Mistakes {
        file: file.to_owned(),
        faults,
    })?;
    if !replace && in_place::is_occupied(bay_dir) {
        return Err(StoreFault::NotEmpty(bay_dir.to_owned()));
    }
    let staged = in_place::Staged::begin(bay_dir)?;
    write_text(&staged.path(SETUP_FILE), &contents.setup)?;
    into_records::make(&staged.path(RECORDS_FILE), &contents)?;
    // The file that comes may get the number of one that had come further.
    records::mark_begun(&records_path(bay_dir))?;
    let kept_aside = staged.put_in_place(bay_dir, Local::now().naive_local())?;
    Ok(contents.summary(&setup, kept_aside))
}

/// True for a file that begins as a backup does.
fn is_backup(file: &Path) -> bool {
    std::fs::read_to_string(file).is_ok_and(|text| text.starts_with(write::FIRST_LINE))
}
