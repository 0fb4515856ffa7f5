//! What the bay keeps on disk: `bay.toml` (the set-up, written by hand), `records.sqlite` (what
//! happened) and backups of both in one file.

use std::path::{Path, PathBuf};

pub mod atomic;
pub mod backup;
pub mod clock;
pub mod fault;
pub mod going_back;
pub mod lead_lock;
pub mod output;
pub mod parts;
pub mod place_file;
pub mod plain;
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
/// The name of the file that makes a bay one to train in.
pub const TRAINING_FILE: &str = "training.toml";
/// The name of the file that a running wall holds.
pub const WALL_LOCK_FILE: &str = "wall.lock";

/// The names in a bay's folder that are the bay's own: no command writes a file of its own over them.
pub const OWN_FILES: [&str; 10] = [
    SETUP_FILE,
    RECORDS_FILE,
    "records.sqlite-wal",
    "records.sqlite-shm",
    "records.sqlite-journal",
    lead_lock::PIN_FILE,
    lead_lock::FORGET_FILE,
    TRAINING_FILE,
    WALL_LOCK_FILE,
    BEGUN_FILE,
];

/// The set-up file of the bay in `dir`.
pub fn setup_path(dir: &Path) -> PathBuf {
    dir.join(SETUP_FILE)
}

/// The records of the bay in `dir`.
pub fn records_path(dir: &Path) -> PathBuf {
    dir.join(RECORDS_FILE)
}
