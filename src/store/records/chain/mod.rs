//! The check sums of what was kept, each chained to the one before, so that whatever is changed, taken
//! out, put in or exchanged beside the store's back is seen.
//!
//! A happening's sum is over its rows in all tables ([`walk`]) and over the sum of the one before it.
//! The one column that changes later, `taken_back`, is left out, and held against `takings_back`, which
//! is itself part of the happening that took something back. Tables whose rows belong to no happening
//! stand at the beginning of the chain, and the unfinished calibration has a sum of its own
//! ([`tables`]). The sums guard against a disk, a cable and a slip, not against somebody who reckons
//! them anew.

mod tables;
mod verify;
mod walk;

use super::stamp::Stamp;
use crate::bay::records::Entry;
use blake2::{Blake2b128, Digest};
use rusqlite::{Connection, Error, OptionalExtension, params};
pub(super) use tables::Tables;
pub(super) use verify::{Fault, newer, verify};
use walk::{Bundle, Touch, all_rows, walk};

/// The version of the tables that has the sums first.
pub(super) const SINCE: u32 = 5;

/// In place of a sprayer's id: all sprayers.
pub(super) const ALL: &str = "*";
/// What a happening bears on: the dose of a sprayer, or what is in it.
pub(super) const DOSE: &str = "dose";
pub(super) const MIX: &str = "mix";

type Sum = [u8; 16];

/// The sum of a happening with these bytes behind one with that sum.
fn chained(before: &Sum, entry: Entry, bytes: &[u8]) -> Sum {
    let mut hash = Blake2b128::new();
    hash.update(before);
    hash.update(entry.to_le_bytes());
    hash.update(bytes);
    hash.finalize().into()
}

fn sum_of(bytes: &[u8]) -> Sum {
    Blake2b128::digest(bytes).into()
}

/// The two ends of the chain.
struct Ends {
    begin: Sum,
    last: Entry,
    sum: Sum,
    draft: Sum,
}

fn ends(tx: &Connection) -> Result<Option<Ends>, Error> {
    tx.prepare_cached("SELECT begin, last, sum, draft FROM chain_ends")?
        .query_row([], |row| {
            Ok(Ends {
                begin: row.get(0)?,
                last: row.get(1)?,
                sum: row.get(2)?,
                draft: row.get(3)?,
            })
        })
        .optional()
}

/// Begins the chain in tables that have none yet, with all that is in them.
pub(super) fn begin(tx: &Connection) -> Result<(), Error> {
    let tables = Tables::of(tx)?;
    for table in tables.owned.iter().filter(|table| table.flagged) {
        tx.execute_batch(&format!(
            "INSERT INTO takings_back SELECT taken_back, id, 0 FROM \"{}\"
             WHERE taken_back IS NOT NULL",
            table.name
        ))?;
    }
    seal(tx, &tables, 0)
}

/// The highest number that was given so far: what comes next is above it.
pub(super) fn last(tx: &Connection) -> Result<Entry, Error> {
    tx.prepare_cached(
        "SELECT max(coalesce((SELECT max(id) FROM happenings), 0),
             coalesce((SELECT last FROM chain_ends), 0))",
    )?
    .query_row([], |row| row.get(0))
}

/// Adds what has a higher number than `above` to the chain, and takes the sum of the unfinished
/// calibration. To be done at the end of each transaction.
pub(super) fn seal(tx: &Connection, tables: &Tables, above: Entry) -> Result<(), Error> {
    let found = ends(tx)?;
    let mut begin = found.as_ref().map(|ends| ends.begin).unwrap_or_default();
    let (mut last, mut sum) = found.map_or((0, begin), |ends| (ends.last, ends.sum));
    if last == 0 {
        // What a backup brought along comes before the first happening, and never after it.
        begin = sum_of(&all_rows(tx, &tables.first)?);
        sum = begin;
    }
    let mut insert =
        tx.prepare_cached("INSERT INTO sums (id, sum, touches, bears_on) VALUES (?, ?, ?, ?)")?;
    walk(tx, tables, above, |entry, bundle| {
        sum = chained(&sum, entry, &bundle.bytes);
        last = entry;
        let touch = touch_of(tx, bundle)?;
        let (touches, bears_on) = touch.map(|t| (t.sprayer, t.bears_on)).unzip();
        insert
            .execute(params![entry, sum, touches, bears_on])
            .map(drop)
    })?;
    let draft = sum_of(&all_rows(tx, &tables.draft)?);
    tx.prepare_cached(
        "INSERT INTO chain_ends (one, begin, last, sum, draft) VALUES (1, ?1, ?2, ?3, ?4)
         ON CONFLICT (one) DO UPDATE SET begin = ?1, last = ?2, sum = ?3, draft = ?4",
    )?
    .execute(params![begin, last, sum, draft])
    .map(drop)
}

/// On what a happening bears; one that takes back bears on what that did.
fn touch_of(tx: &Connection, bundle: &Bundle) -> Result<Option<Touch>, Error> {
    if bundle.touch.is_some() {
        return Ok(bundle.touch.clone());
    }
    for mark in &bundle.marks {
        if let Some(touch) = kept_touch(tx, *mark)? {
            return Ok(Some(touch));
        }
    }
    Ok(None)
}

/// On what a happening bore when it was kept.
fn kept_touch(tx: &Connection, entry: Entry) -> Result<Option<Touch>, Error> {
    let row = tx
        .prepare_cached("SELECT touches, bears_on FROM sums WHERE id = ?")?
        .query_row([entry], |row| {
            Ok((row.get(0)?, row.get::<_, Option<String>>(1)?))
        })
        .optional()?;
    let (sprayer, bears_on) = row.unwrap_or_default();
    Ok(
        Option::zip(sprayer, bears_on).map(|(sprayer, bears_on)| Touch {
            sprayer,
            bears_on: if bears_on == MIX { MIX } else { DOSE },
        }),
    )
}

/// When a happening was kept, as far as its row can still tell.
pub(super) fn date_of(tx: &Connection, entry: Entry) -> Option<Stamp> {
    tx.query_row("SELECT at FROM happenings WHERE id = ?", [entry], |row| {
        row.get(0)
    })
    .ok()
}
