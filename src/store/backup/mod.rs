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
mod read_back;
mod write;

pub use found::{Found, newest};

use super::atomic::write_text;
use super::fault::StoreFault;
use super::output::may_write;
use super::plain;
use super::records::{self, SqliteRecords};
use super::{RECORDS_FILE, SETUP_FILE, clock, records_path, setup_file, setup_path};
use chrono::{DateTime, FixedOffset};
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

/// Writes everything that the bay in `bay_dir` holds into `file`; one that is there is replaced only
/// with `replace`. The wall may be running.
///
/// # Errors
/// The set-up has mistakes (it could not be restored), the records cannot be read, or `file` may not
/// or cannot be written.
pub fn backup(bay_dir: &Path, file: &Path, replace: bool) -> Result<Summary, StoreFault> {
    let made = clock::now();
    let mistakes = |faults| StoreFault::Mistakes {
        file: setup_path(bay_dir),
        faults,
    };
    let text = setup_file::text_of(bay_dir).map_err(|fault| mistakes(vec![fault]))?;
    let setup = setup_file::read(&text).map_err(mistakes)?;
    may_write(bay_dir, file, replace)?;
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
    let text = plain::text(file, "reading the backup")?;
    let (contents, setup) = read::contents(&text).map_err(|faults| StoreFault::Mistakes {
        file: file.to_owned(),
        faults,
    })?;
    if !replace && in_place::is_occupied(bay_dir) {
        return Err(StoreFault::NotEmpty(bay_dir.to_owned()));
    }
    let staged = in_place::Staged::begin(bay_dir)?;
    let new_setup = staged.path(SETUP_FILE);
    write_text(&new_setup, &contents.setup)?;
    into_records::make(&staged.path(RECORDS_FILE), &contents)?;
    if plain::text(&new_setup, "reading it back")? != contents.setup {
        return Err(read_back::another(&new_setup, "it is not what was written"));
    }
    // The file that comes may get the number of one that had come further.
    records::mark_begun(&records_path(bay_dir))?;
    let kept_aside = staged.put_in_place(bay_dir, clock::now().naive_local())?;
    Ok(contents.summary(&setup, kept_aside))
}
