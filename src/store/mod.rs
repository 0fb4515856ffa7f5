//! What the bay keeps on disk: `bay.toml` (the set-up, written by hand), `records.sqlite` (what
//! happened) and backups of both in one file.

use std::path::{Path, PathBuf};

pub mod atomic;
pub mod backup;
pub mod fault;
pub mod lead_lock;
pub mod records;
pub mod setup_file;
mod toml_text;

pub use fault::{SetupFault, StoreFault};

/// The name of the set-up file in a bay's folder.
pub const SETUP_FILE: &str = "bay.toml";
/// The name of the records in a bay's folder.
pub const RECORDS_FILE: &str = "records.sqlite";

/// The name of the file in a bay's folder that says that its records have begun.
pub const BEGUN_FILE: &str = "records.begun";

/// The set-up file of the bay in `dir`.
pub fn setup_path(dir: &Path) -> PathBuf {
    dir.join(SETUP_FILE)
}

/// The records of the bay in `dir`.
pub fn records_path(dir: &Path) -> PathBuf {
    dir.join(RECORDS_FILE)
}
