//! Holding what was made of a backup against what was to be made, before it takes the old bay's place.

use super::Path;
use super::contents::Contents;
use crate::store::fault::StoreFault;
use crate::store::records::{count, explain, open_to_read};
use rusqlite::{Connection, Error};
use std::collections::BTreeMap;

/// How many rows each table has.
pub(super) type Tally = BTreeMap<String, i64>;

/// The rows of each table of the file itself.
pub(super) fn tally(connection: &Connection) -> Result<Tally, Error> {
    let mut names = connection.prepare(
        "SELECT name FROM main.sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'",
    )?;
    let names: Vec<String> = names
        .query_map([], |row| row.get(0))?
        .collect::<Result<_, _>>()?;
    let rows = |name: String| {
        let sql = format!("SELECT count(*) FROM main.\"{name}\"");
        let count = connection.query_row(&sql, [], |row| row.get(0))?;
        Ok((name, count))
    };
    names.into_iter().map(rows).collect()
}

/// Reads the records at `path` through, as whoever opens them next will: they are sound, and hold as
/// many of everything as was written and as the backup says.
///
/// # Errors
/// They do not, and why.
pub(super) fn check(path: &Path, written: &Tally, contents: &Contents) -> Result<(), StoreFault> {
    let connection = open_to_read(path)?.ok_or_else(|| another(path, "there are no records"))?;
    let read = || -> Result<_, Error> {
        let sound: String =
            connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
        let mut strays = connection.prepare("PRAGMA foreign_key_check")?;
        let is_whole = !strays.exists([])?;
        Ok((sound, is_whole, tally(&connection)?, count(&connection)?))
    };
    let (sound, is_whole, found, counts) =
        read().map_err(|e| another(path, &explain(path, "reading them back", &e).message))?;
    if sound != "ok" || !is_whole {
        return Err(another(path, &format!("they are damaged ({sound})")));
    }
    if found != *written || counts != contents.counts() {
        return Err(another(path, "something is missing in them"));
    }
    Ok(())
}

/// What was made is not what was to be made.
pub(super) fn another(path: &Path, why: &str) -> StoreFault {
    StoreFault::Disk {
        path: path.to_owned(),
        wrong: format!("what was restored could not be read back: {why}"),
        right: "nothing was replaced: free some space, or take another disk, and restore again"
            .to_owned(),
    }
}
