//! Rinses of a sprayer.

use super::keep::{self, Refusal};
use crate::bay::records::Entry;
use chrono::{DateTime, FixedOffset};
use rusqlite::Connection;

pub(crate) fn rinse(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    sprayer: &str,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, "rinse", at, None)?;
    tx.prepare_cached("INSERT INTO rinses (id, sprayer) VALUES (?, ?)")?
        .execute((id, sprayer))?;
    Ok(id)
}
