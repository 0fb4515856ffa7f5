//! The texts of the set-up file, and what was changed in them at the screen.

use super::keep::{self, Refusal};
use crate::bay::records::Entry;
use crate::bay::setup_change::{ChangedKey, SetupChange};
use chrono::{DateTime, FixedOffset};
use rusqlite::{Connection, Error, OptionalExtension, params};

/// The kind of happening that is a change made at the screen, and not one found in the file.
pub(crate) const AT_THE_SCREEN: &str = "set-up-edited";

/// A text of the set-up file that was found to be another.
pub(crate) fn found(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    text: &str,
) -> Result<Entry, Refusal> {
    write(tx, "set-up-change", at, text)
}

/// A change that was made at the screen.
pub(crate) fn changed(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    change: &SetupChange,
) -> Result<Entry, Refusal> {
    let id = write(tx, AT_THE_SCREEN, at, &change.text)?;
    tx.prepare_cached("INSERT INTO setup_changes_before VALUES (?, ?)")?
        .execute(params![id, change.text_before])?;
    for (place, key) in (0u32..).zip(&change.keys) {
        tx.prepare_cached("INSERT INTO setup_change_keys VALUES (?, ?, ?, ?, ?, ?)")?
            .execute(params![
                id, place, key.place, key.key, key.before, key.after
            ])?;
    }
    Ok(id)
}

fn write(
    tx: &Connection,
    kind: &str,
    at: DateTime<FixedOffset>,
    text: &str,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, kind, at, None)?;
    tx.prepare_cached("INSERT INTO setup_changes (id, text) VALUES (?, ?)")?
        .execute(params![id, text])?;
    Ok(id)
}

/// The change made at the screen that has this number, `text` being the one after it.
pub(crate) fn read(tx: &Connection, change: Entry, text: String) -> Result<SetupChange, Error> {
    let keys = tx
        .prepare_cached("SELECT * FROM setup_change_keys WHERE change = ? ORDER BY place")?
        .query_map([change], |row| {
            Ok(ChangedKey {
                place: row.get("section")?,
                key: row.get("key")?,
                before: row.get("before")?,
                after: row.get("after")?,
            })
        })?
        .collect::<Result<_, _>>()?;
    let text_before = tx
        .prepare_cached("SELECT text FROM setup_changes_before WHERE change = ?")?
        .query_row([change], |row| row.get(0))?;
    Ok(SetupChange {
        keys,
        text_before,
        text,
    })
}

/// The text that was noted last.
pub(super) fn last(connection: &Connection) -> Result<Option<String>, Error> {
    connection
        .prepare_cached("SELECT text FROM setup_changes ORDER BY id DESC LIMIT 1")?
        .query_row([], |row| row.get(0))
        .optional()
}
