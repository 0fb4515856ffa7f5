//! The clock put right: what was kept before it with a later date than its own is not believed any more.

use super::keep::{self, Refusal};
use super::stamp::{self, Stamp};
use crate::bay::records::Entry;
use chrono::{DateTime, FixedOffset};
use rusqlite::{Connection, Error, OptionalExtension, params};

/// From its number on the newest date begins again with its own.
pub(crate) fn put_right(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    newest: DateTime<FixedOffset>,
) -> Result<Entry, Refusal> {
    let id = brought(tx, at, newest)?;
    tx.prepare_cached("UPDATE happenings SET newest = ? WHERE id = ?")?
        .execute(params![keep::date(at)?, id])?;
    Ok(id)
}

/// One that a backup brought along: it happened, and the newest date goes on as it is.
pub(crate) fn brought(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    newest: DateTime<FixedOffset>,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, "clock-put-right", at, None)?;
    tx.prepare_cached("INSERT INTO clocks_put_right (id, newest) VALUES (?, ?)")?
        .execute(params![id, keep::date(newest)?])?;
    Ok(id)
}

/// When it was put right last.
pub(super) fn last(tx: &Connection) -> Result<Option<DateTime<FixedOffset>>, Error> {
    let last = tx
        .query_row(
            "SELECT at FROM clocks_put_right JOIN happenings USING (id) ORDER BY id DESC LIMIT 1",
            [],
            |row| row.get::<_, Stamp>(0),
        )
        .optional()?;
    Ok(last.map(|stamp| stamp.0))
}

/// A stretch of happenings: its first and last number, and the date above which nothing in it is believed.
type Stretch = (Entry, Entry, Option<DateTime<FixedOffset>>);

/// Stretches of happenings in which the newest date never falls: the first and the last number of each,
/// and the date above which nothing in it is believed.
pub(super) fn stretches(tx: &Connection) -> Result<Vec<Stretch>, Error> {
    let mut query = tx.prepare_cached(
        "SELECT id, h.newest, (SELECT newest FROM happenings b WHERE b.id < h.id ORDER BY b.id DESC LIMIT 1)
         FROM clocks_put_right JOIN happenings h USING (id) ORDER BY id",
    )?;
    let mut rows = query.query([])?;
    let (mut stretches, mut first) = (Vec::new(), 1);
    while let Some(row) = rows.next()? {
        let (id, newest): (Entry, Stamp) = (row.get(0)?, row.get(1)?);
        let before: Option<Stamp> = row.get(2)?;
        // Of one that a backup brought along it does not fall.
        if before.is_some_and(|before| before.0 > newest.0) {
            stretches.push((first, id - 1, Some(newest.0)));
            first = id;
        }
    }
    stretches.push((first, super::chain::last(tx)?, None));
    Ok(stretches)
}

/// Lets no date that is later than `limit` be the newest: for what a backup brought along, whose clock
/// was put right once.
pub(crate) fn believe_up_to(tx: &Connection, limit: DateTime<FixedOffset>) -> Result<(), Refusal> {
    let mut query = tx.prepare("SELECT id, at FROM happenings ORDER BY id")?;
    let dates = query
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<Vec<(Entry, Stamp)>, Error>>()?;
    let mut newest = DateTime::UNIX_EPOCH.with_timezone(&stamp::utc());
    let mut update = tx.prepare("UPDATE happenings SET newest = ? WHERE id = ?")?;
    for (id, at) in dates {
        if at.0 <= limit {
            newest = newest.max(at.0);
        }
        update.execute(params![keep::date(newest)?, id])?;
    }
    Ok(())
}
