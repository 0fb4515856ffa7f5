//! A file beside the records that says that there are some, and how far they had come: records that
//! vanished, or that lost their end, are not taken for a new bay or for all there was.
//!
//! How far they had come is written after each happening without waiting for the disk: after a power
//! cut it may say less than the records hold, and never more. It is about the very file that it names by
//! the number of the file system, and says nothing of one that was restored or copied.

use super::super::BEGUN_FILE;
use crate::bay::records::Entry;
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::os::unix::fs::FileExt;
use std::path::{Path, PathBuf};

const HEAD: &str = "The records of this bay have begun: without records.sqlite it is no new bay.\n\
    Written by fillcall. Take this file away only where a new bay is meant.\n";

/// What the file says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    /// There is none: no records had begun.
    Nothing,
    /// There were records.
    Begun,
    /// The file of that number held all up to this entry.
    UpTo(u64, Entry),
}

impl Said {
    /// There were records.
    pub fn begun(self) -> bool {
        self != Self::Nothing
    }

    /// The entry that the file of that number must hold at least.
    pub fn held(self, file: Option<u64>) -> Entry {
        match self {
            Self::UpTo(number, entry) if file == Some(number) => entry,
            _ => 0,
        }
    }
}

/// Where the marker of the records at `path` is.
pub(super) fn path_of(records: &Path) -> PathBuf {
    records.with_file_name(BEGUN_FILE)
}

/// What is said of the records at `path`.
pub(super) fn said(records: &Path) -> Said {
    let marker = path_of(records);
    if marker.symlink_metadata().is_err() {
        return Said::Nothing;
    }
    let text = std::fs::read_to_string(marker).unwrap_or_default();
    let line = text.strip_prefix(HEAD).unwrap_or_default();
    let mut numbers = line.split_whitespace().map(str::parse::<u64>);
    match (numbers.next(), numbers.next()) {
        (Some(Ok(file)), Some(Ok(entry))) => Said::UpTo(file, Entry::try_from(entry).unwrap_or(0)),
        _ => Said::Begun,
    }
}

/// Says that there are records, and nothing of how far they have come. Lasts through a power cut.
pub(super) fn mark(records: &Path) -> std::io::Result<()> {
    let mut file = File::create(path_of(records))?;
    file.write_all(HEAD.as_bytes())?;
    file.sync_all()
}

/// The marker of open records.
#[derive(Debug)]
pub(super) struct Marker {
    /// `None` where it cannot be written: the records are what counts.
    file: Option<File>,
}

impl Marker {
    /// Makes it where there is none.
    pub fn of(records: &Path) -> Self {
        let path = path_of(records);
        let made = match path.exists() {
            true => Ok(()),
            false => mark(records),
        };
        let file = made.and_then(|()| OpenOptions::new().write(true).open(path));
        Self { file: file.ok() }
    }

    /// Notes how far the records have come.
    pub fn note(&self, records: Option<u64>, last: Entry) {
        let (Some(file), Some(records)) = (&self.file, records) else {
            return;
        };
        let line = format!("{records:020} {last:020}\n");
        let at = u64::try_from(HEAD.len()).unwrap_or_default();
        // It helps to see what was lost; what is kept does not hang on it.
        let _ = file.write_all_at(line.as_bytes(), at);
    }
}
