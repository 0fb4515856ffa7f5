//! What operators chose: the sprayer in hand, and for a sprayer a chemical beside the day's.

use super::keep::{self, Refusal};
use super::stamp::Stamp;
use crate::bay::records::{Entry, Placed, Scope};
use chrono::{DateTime, FixedOffset};
use rusqlite::{Connection, Error, params};
use std::collections::BTreeMap;

fn choice(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    what: &str,
    chosen: &str,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, &format!("{what}-chosen"), at, None)?;
    tx.prepare_cached("INSERT INTO choices (id, what, chosen) VALUES (?, ?, ?)")?
        .execute(params![id, what, chosen])?;
    Ok(id)
}

pub(super) fn sprayer(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    chosen: &str,
) -> Result<Entry, Refusal> {
    choice(tx, at, "sprayer", chosen)
}

pub(super) fn chemical(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    scope: &Scope,
    chosen: &str,
) -> Result<Entry, Refusal> {
    let id = choice(tx, at, "chemical", chosen)?;
    if let Scope::Sprayer(sprayer) = scope {
        tx.prepare_cached("INSERT INTO choice_sprayers (id, sprayer) VALUES (?, ?)")?
            .execute(params![id, sprayer])?;
    }
    Ok(id)
}

/// The chemical, by id, that was chosen last for each sprayer; for the whole bay where an earlier
/// version kept it.
pub(crate) fn newest(tx: &Connection) -> Result<BTreeMap<Scope, Placed<String>>, Error> {
    let mut query = tx.prepare(
        "SELECT sprayer, chosen, at, max(id) FROM choices LEFT JOIN choice_sprayers USING (id)
         JOIN happenings USING (id) WHERE what = 'chemical' GROUP BY sprayer",
    )?;
    let each = query.query_map([], |row| {
        let scope = match row.get::<_, Option<String>>(0)? {
            Some(sprayer) => Scope::Sprayer(sprayer),
            None => Scope::Bay,
        };
        let placed = Placed {
            what: row.get(1)?,
            at: row.get::<_, Stamp>(2)?.0,
            entry: row.get(3)?,
        };
        Ok((scope, placed))
    })?;
    each.collect()
}
