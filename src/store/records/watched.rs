//! The files of open records, watched for whoever else writes to them: to SQLite, which has them in
//! its memory, a file that was cut off or written over under it is none the worse for a while.

use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};

/// How a file was left: device, number, length and time of the last writing.
type Left = Option<(u64, u64, u64, i64, i64)>;

/// The records and their log as this program left them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Watched {
    records: PathBuf,
    left: [Left; 2],
}

/// What became of them since.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Since {
    /// Nothing.
    AsLeft,
    /// Another file is there, or none.
    TakenAway,
    /// They were written to, cut off, or the log is gone.
    WrittenTo,
}

impl Watched {
    pub fn of(records: &Path) -> Self {
        Self {
            left: [left(records), left(&log_of(records))],
            records: records.to_owned(),
        }
    }

    /// The file system's number of the records.
    pub fn number(&self) -> Option<u64> {
        self.left[0].map(|(_, number, ..)| number)
    }

    pub fn since(&self) -> Since {
        let file = |left: Left| left.map(|(device, number, ..)| (device, number));
        let now = Self::of(&self.records);
        match (self.left[0].is_some(), now == *self) {
            (true, true) => Since::AsLeft,
            (true, false) if file(now.left[0]) == file(self.left[0]) => Since::WrittenTo,
            _ => Since::TakenAway,
        }
    }
}

/// The log of the records.
pub(super) fn log_of(records: &Path) -> PathBuf {
    let mut name = records.as_os_str().to_owned();
    name.push("-wal");
    PathBuf::from(name)
}

/// By its name alone: whoever opens and closes the file beside SQLite takes away its locks.
fn left(path: &Path) -> Left {
    let meta = std::fs::metadata(path).ok()?;
    Some((
        meta.dev(),
        meta.ino(),
        meta.len(),
        meta.mtime(),
        meta.mtime_nsec(),
    ))
}
