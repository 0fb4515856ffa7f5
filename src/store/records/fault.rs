//! What SQLite says, in words that tell what to do.

use crate::bay::records::{Cause, Entry, RecordsFault};
use rusqlite::{Error, ErrorCode};
use std::path::Path;

/// What went wrong with the records at `path`, and what to do.
pub(crate) fn explain(path: &Path, doing: &str, error: &Error) -> RecordsFault {
    let (remedy, cause) = match error.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => (
            "another program is writing to them: close the other fillcall, or wait and try again",
            Cause::Busy,
        ),
        Some(ErrorCode::DiskFull) => (
            "the disk is full: free some space, then try again",
            Cause::DiskFull,
        ),
        Some(
            ErrorCode::ReadOnly
            | ErrorCode::PermissionDenied
            | ErrorCode::AuthorizationForStatementDenied,
        ) => (
            "they may not be written: give the user that fillcall runs as the right to write the \
             file and its folder, and check that the disk is mounted for writing",
            Cause::NoWriting,
        ),
        Some(ErrorCode::CannotOpen) => (
            "check that the bay's folder is there, that the user that fillcall runs as may write \
             in it, and that the disk is mounted for writing",
            Cause::OutOfReach,
        ),
        Some(ErrorCode::SystemIoFailure) => (
            "the disk did not do as it was told: check the card or disk, make a backup as soon as \
             it can be read, and replace it",
            Cause::DiskFails,
        ),
        Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt) => (DAMAGED, Cause::Damaged),
        // A table or column that must be there is not, or holds what cannot be.
        Some(ErrorCode::Unknown | ErrorCode::ConstraintViolation | ErrorCode::TypeMismatch)
        | None => (DAMAGED, Cause::Damaged),
        Some(_) => (
            "try again, and restart the screen if it stays so",
            Cause::Unknown,
        ),
    };
    RecordsFault::new(format!(
        "the records {}: {doing} failed ({error}); {remedy}",
        path.display()
    ))
    .because(cause)
}

const DAMAGED: &str = "the file is damaged or not fillcall's: stop fillcall, move the file aside \
    but keep it, and bring the newest backup back with: fillcall restore BAY FILE --replace";

/// True where only another program that is writing at this moment is in the way.
pub(super) fn is_locked(error: &Error) -> bool {
    matches!(
        error.sqlite_error_code(),
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked)
    )
}

/// Something of the records is not in their file.
pub(super) fn not_whole(path: &Path) -> RecordsFault {
    RecordsFault::new(format!(
        "the records {} could not be written whole; free some space, or take another disk, and \
             try again",
        path.display()
    ))
    .because(Cause::DiskFull)
}

/// The file is not the one that was opened.
pub(super) fn taken_away(path: &Path) -> RecordsFault {
    RecordsFault::new(format!(
        "the records {} were taken away or replaced while fillcall was running; nothing is \
             kept until it is restarted: put the file back or restore a backup, then restart",
        path.display()
    ))
    .because(Cause::TakenAway)
}

/// The file that was opened was written to by somebody else, or its log is gone.
pub(super) fn written_to(path: &Path) -> RecordsFault {
    RecordsFault::new(format!(
        "the records {} were changed or damaged by something else while fillcall was running; \
             nothing is kept until it is restarted: restart it, and it tells what is wrong",
        path.display()
    ))
    .because(Cause::Changed)
}

/// There were records, and there are none.
pub(super) fn vanished(path: &Path, marker: &Path) -> RecordsFault {
    RecordsFault::new(format!(
        "the records {} are gone, empty, or a link to nothing, and this is no new bay: put them \
             back, or bring the newest backup back with: fillcall restore BAY FILE --replace; only \
             where a new bay is meant, take {} away",
        path.display(),
        marker.display()
    ))
}

/// The records end before what was kept in them.
pub(super) fn fell_behind(path: &Path, last: Entry, held: Entry) -> RecordsFault {
    RecordsFault::new(format!(
        "the records {} end at entry {last}, and entry {held} had been kept: their end, or the \
             log beside them ({}-wal), was lost or put back from an older copy; put the newest ones \
             back, or bring the newest backup back with: fillcall restore BAY FILE --replace",
        path.display(),
        path.file_name().unwrap_or_default().display()
    ))
}

/// The file is from a newer version of this program.
pub(super) fn newer(path: &Path, found: u32, known: u32) -> RecordsFault {
    RecordsFault::new(format!(
        "the records {} were written by a newer fillcall (version {found} of the records, this \
             one knows {known}); they were not touched: install the newer fillcall again",
        path.display()
    ))
}

/// The file is a database of something else.
pub(super) fn not_ours(path: &Path) -> RecordsFault {
    RecordsFault::new(format!(
        "{} is a database, but not fillcall's records; it was not touched: move it elsewhere, \
             and fillcall makes its own",
        path.display()
    ))
}
