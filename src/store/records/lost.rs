//! Records that were there once and are not, or not all of them.

use super::PATIENCE;
use super::fault::{fell_behind, vanished};
use super::marker::{self, Said};
use crate::bay::records::{Entry, RecordsFault};
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::os::unix::fs::MetadataExt;
use std::path::Path;

/// Refuses records that are gone although they had begun: deleted, empty, or a link to nothing.
pub(super) fn must_be_there(records: &Path) -> Result<Said, RecordsFault> {
    let said = marker::said(records);
    let is_there = std::fs::metadata(records).is_ok_and(|meta| meta.len() > 0);
    match said.begun() && !is_there {
        true => Err(vanished(records, &marker::path_of(records))),
        false => Ok(said),
    }
}

/// Refuses records that end at `last` although they had come further.
pub(super) fn must_be_whole(records: &Path, said: Said, last: Entry) -> Result<(), RecordsFault> {
    let file = std::fs::metadata(records).map(|meta| meta.ino()).ok();
    match said.held(file) {
        held if held > last => Err(fell_behind(records, last, held)),
        _ => Ok(()),
    }
}

/// True where the records at `path` vanished, lost their end or are damaged throughout, so that nothing
/// but a backup helps. False for a bay that has not begun, and where something else keeps them from being
/// read.
pub fn are_lost(path: &Path) -> bool {
    let Ok(said) = must_be_there(path) else {
        return true;
    };
    if !path.exists() {
        return false;
    }
    let look = || -> Result<(String, Entry), rusqlite::Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(PATIENCE)?;
        let sound = connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
        // Of an older version it has no chain yet, nor a marker that says how far it came.
        Ok((sound, super::chain::last(&connection).unwrap_or(Entry::MAX)))
    };
    match look() {
        Ok((sound, last)) => sound != "ok" || must_be_whole(path, said, last).is_err(),
        Err(error) => matches!(
            error.sqlite_error_code(),
            Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt)
        ),
    }
}
