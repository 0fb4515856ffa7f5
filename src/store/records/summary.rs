//! Looking at the records without writing, for commands that run beside the wall.

use super::fault::explain;
use super::runs::KEPT;
use super::schema::{self, Origin};
use super::{PATIENCE, chain, history, log, lost, past};
use crate::bay::records::{Entry, Logged, Milestone, Past, RecordsFault};
use rusqlite::{Connection, Error, OpenFlags};
use std::path::Path;

/// How much is in the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Summary {
    /// Washes counted, those taken back left out.
    pub washes: u64,
    /// Fills logged, those taken back left out.
    pub fills: u64,
    /// Calibrations, old and new, those taken back left out.
    pub calibrations: u64,
}

/// Counts what is in the records at `path`, after checking that the file is sound throughout. No
/// file at all is a bay that has not begun.
///
/// # Errors
/// The file cannot be read, is damaged anywhere, or is not of this version.
pub fn summary(path: &Path) -> Result<Summary, RecordsFault> {
    let Some(connection) = open_to_read(path)? else {
        return Ok(Summary::default());
    };
    let explained = |e: Error| explain(path, "reading them", &e);
    let sound: String = connection
        .query_row("PRAGMA quick_check(1)", [], |row| row.get(0))
        .map_err(explained)?;
    if sound != "ok" {
        return Err(RecordsFault::new(format!(
            "the records {} are damaged ({}); make a backup if it can still be made, and bring \
                 it or the newest one back with: fillcall restore BAY FILE --replace",
            path.display(),
            sound.lines().last().unwrap_or_default()
        )));
    }
    count(&connection).map_err(explained)
}

/// What happened from a number on, as [`crate::bay::records::Records::log`] tells it, from the records
/// at `path`, without writing. No file at all is a bay that has not begun.
///
/// # Errors
/// As for [`past_of`].
pub fn log_of(path: &Path, from: Entry) -> Result<Vec<Logged>, RecordsFault> {
    match open_to_read(path)? {
        Some(connection) => {
            log::log(&connection, from).map_err(|e| explain(path, "reading them", &e))
        }
        None => Ok(Vec::new()),
    }
}

/// What the bay needs to go on, from the records at `path`, without writing. No file at all is a
/// bay that has not begun.
///
/// # Errors
/// As for [`summary`], but only what is read is checked.
pub fn past_of(path: &Path) -> Result<Past, RecordsFault> {
    match open_to_read(path)? {
        Some(connection) => past::past(&connection).map_err(|e| explain(path, "reading them", &e)),
        None => Ok(Past::default()),
    }
}

/// The calibrations and changes of one sprayer, oldest first, from the records at `path`, without
/// writing. No file at all is a bay that has not begun.
///
/// # Errors
/// As for [`past_of`].
pub fn history_of(path: &Path, sprayer: &str) -> Result<Vec<Milestone>, RecordsFault> {
    match open_to_read(path)? {
        Some(connection) => {
            history::history(&connection, sprayer).map_err(|e| explain(path, "reading them", &e))
        }
        None => Ok(Vec::new()),
    }
}

pub(crate) fn count(connection: &Connection) -> Result<Summary, Error> {
    let count = |sql: &str| {
        connection.query_row(sql, [], |row| {
            // A count is never below zero.
            row.get(0).map(i64::unsigned_abs)
        })
    };
    Ok(Summary {
        washes: count(
            "SELECT (SELECT count(*) FROM washes WHERE taken_back IS NULL)
                 + (SELECT coalesce(sum(washes), 0) FROM brought_washes)",
        )?,
        fills: count("SELECT count(*) FROM fills WHERE taken_back IS NULL")?,
        calibrations: count(&format!("WITH {KEPT} SELECT count(*) FROM kept"))?,
    })
}

/// The records, to read only; `None` where there are none yet.
pub(crate) fn open_to_read(path: &Path) -> Result<Option<Connection>, RecordsFault> {
    let said = lost::must_be_there(path)?;
    super::only_files(path)?;
    if !path.exists() {
        return Ok(None);
    }
    let open = || -> Result<Connection, Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(PATIENCE)?;
        Ok(connection)
    };
    let connection = open().map_err(|e| explain(path, "opening them", &e))?;
    match schema::check(&connection, path)? {
        Origin::Empty => Ok(None),
        Origin::Ours => {
            schema::to_read(&connection, schema::LADDER)
                .map_err(|e| explain(path, "opening them", &e))?;
            let last = chain::last(&connection).map_err(|e| explain(path, "reading them", &e))?;
            lost::must_be_whole(path, said, last)?;
            Ok(Some(connection))
        }
    }
}
