//! Fills, and how each came about.

use super::keep::{self, Refusal};
use super::runs::KEPT;
use super::stamp::Stamp;
use crate::bay::records::{Entry, Fill, FillHow, LastFill, SprayerPast};
use crate::trade::units::{Strength, Volume};
use chrono::{DateTime, FixedOffset};
use rusqlite::types::Type;
use rusqlite::{Connection, Error, OptionalExtension, Row, params};
use std::collections::BTreeMap;

/// Fills with all that is known of them; to be followed by what is wanted.
pub(crate) const FILLS: &str =
    "SELECT * FROM fills JOIN happenings USING (id) LEFT JOIN fill_hows ON fill = id";

pub(crate) const TOPPED_UP: &str = "topped-up";
pub(crate) const MISPOURED: &str = "mispoured";

pub(crate) fn fill(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    made: &Fill,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, "fill", at, None)?;
    tx.prepare_cached(
        "INSERT INTO fills (id, sprayer, chemical, fill_ml, poured_ml, water_ml, strength, standing)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        id,
        made.sprayer,
        made.chemical,
        keep::ml(made.fill)?,
        keep::ml(made.poured)?,
        keep::ml(made.water)?,
        made.strength.as_fraction(),
        made.standing
    ])?;
    let how = match made.how {
        FillHow::Fresh => return Ok(id),
        FillHow::ToppedUp { left, product } => {
            (TOPPED_UP, keep::ml(left)?, Some(keep::ml(product)?))
        }
        FillHow::Mispoured { meant } => (MISPOURED, keep::ml(meant)?, None),
    };
    tx.prepare_cached("INSERT INTO fill_hows (fill, how, ml, product_ml) VALUES (?, ?, ?, ?)")?
        .execute((id, how.0, how.1, how.2))?;
    Ok(id)
}

/// What was really poured, and with it what follows from it.
pub(super) fn mispoured(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    made: &Fill,
    instead_of: Option<Entry>,
    added: Option<&Fill>,
) -> Result<Entry, Refusal> {
    let id = fill(tx, at, made)?;
    if let Some(before) = instead_of {
        take_back(tx, before, id)?;
    }
    if let Some(added) = added {
        let addition = fill(tx, at, added)?;
        tx.prepare_cached("INSERT INTO additions (fill, adds_to) VALUES (?, ?)")?
            .execute((addition, id))?;
    }
    Ok(id)
}

/// Takes a fill back with what was added to it; what it was logged instead of stands again.
pub(super) fn undone(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    fill: Entry,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, "fill-taken-back", at, None)?;
    take_back(tx, fill, id)?;
    let before = tx
        .prepare_cached("SELECT id FROM fills WHERE taken_back = ?")?
        .query_map([fill], |row| row.get(0))?
        .collect::<Result<Vec<Entry>, Error>>()?;
    for entry in before {
        tx.prepare_cached("UPDATE fills SET taken_back = NULL WHERE id = ?")?
            .execute([entry])?;
        keep::note_taking_back(tx, id, entry, true)?;
    }
    Ok(id)
}

/// Marks a fill, and what was added to it, as taken back by another entry.
fn take_back(tx: &Connection, fill: Entry, by: Entry) -> Result<(), Refusal> {
    keep::mark_taken_back(tx, "fills", "fill", fill, by)?;
    let added = tx
        .prepare_cached(
            "SELECT id FROM fills WHERE taken_back IS NULL
             AND id IN (SELECT fill FROM additions WHERE adds_to = ?)",
        )?
        .query_map([fill], |row| row.get(0))?
        .collect::<Result<Vec<Entry>, Error>>()?;
    for entry in added {
        keep::mark_taken_back(tx, "fills", "fill", entry, by)?;
    }
    Ok(())
}

/// A fill from a row of [`FILLS`].
pub(crate) fn read(row: &Row<'_>) -> Result<Fill, Error> {
    let ml = |name: &str| row.get(name).map(Volume::ml);
    let strength: f64 = row.get("strength")?;
    Ok(Fill {
        sprayer: row.get("sprayer")?,
        chemical: row.get("chemical")?,
        fill: ml("fill_ml")?,
        poured: ml("poured_ml")?,
        water: ml("water_ml")?,
        strength: Strength::fraction(strength).ok_or_else(|| {
            let wrong = format!("{strength} is not a strength");
            Error::FromSqlConversionFailure(0, Type::Real, wrong.into())
        })?,
        standing: row.get("standing")?,
        how: how(row)?,
    })
}

fn how(row: &Row<'_>) -> Result<FillHow, Error> {
    let how: Option<String> = row.get("how")?;
    let volume = || row.get("ml").map(Volume::ml);
    match how.as_deref() {
        None => Ok(FillHow::Fresh),
        Some(TOPPED_UP) => Ok(FillHow::ToppedUp {
            left: volume()?,
            product: row.get("product_ml").map(Volume::ml)?,
        }),
        Some(MISPOURED) => Ok(FillHow::Mispoured { meant: volume()? }),
        Some(other) => {
            let unknown = format!("\"{other}\" is not how a fill comes about");
            Err(Error::FromSqlConversionFailure(
                0,
                Type::Text,
                unknown.into(),
            ))
        }
    }
}

/// When the newest fill with each chemical, by id, was made that was not taken back.
pub(super) fn last_with_each(
    tx: &Connection,
) -> Result<BTreeMap<String, DateTime<FixedOffset>>, Error> {
    let mut query = tx.prepare(
        "SELECT chemical, at FROM (SELECT chemical, max(id) AS id FROM fills
             WHERE taken_back IS NULL GROUP BY chemical) JOIN happenings USING (id)",
    )?;
    let each = query.query_map([], |row| Ok((row.get(0)?, row.get::<_, Stamp>(1)?.0)))?;
    each.collect()
}

/// The newest fill of a sprayer that was not taken back, and whether it was used.
pub(super) fn last_of(tx: &Connection, sprayer: &str) -> Result<Option<LastFill>, Error> {
    let sql = format!("{FILLS} WHERE taken_back IS NULL AND sprayer = ? ORDER BY id DESC LIMIT 1");
    let found = tx
        .prepare_cached(&sql)?
        .query_row([sprayer], |row| {
            Ok(LastFill {
                entry: row.get("id")?,
                at: row.get::<_, Stamp>("at")?.0,
                fill: read(row)?,
                used: false,
            })
        })
        .optional()?;
    let Some(mut last) = found else {
        return Ok(None);
    };
    last.used = tx
        .prepare_cached(
            "SELECT EXISTS (SELECT 1 FROM washes
             WHERE id > ? AND sprayer = ? AND taken_back IS NULL)",
        )?
        .query_row((last.entry, sprayer), |row| row.get(0))?;
    Ok(Some(last))
}

/// What is in each sprayer: the chemical of its newest fill, where it was not rinsed since, and
/// whether a calibration left nothing of the mix.
pub(super) fn in_them(
    tx: &Connection,
    sprayers: &mut BTreeMap<String, SprayerPast>,
) -> Result<(), Error> {
    let mut query = tx.prepare(&format!(
        "WITH {KEPT}, rinsed AS (SELECT sprayer, max(id) AS id FROM rinses
                         WHERE taken_back IS NULL GROUP BY sprayer),
              filled AS (SELECT sprayer, chemical, max(id) AS id FROM fills
                         WHERE taken_back IS NULL GROUP BY sprayer),
              ran AS (SELECT sprayer, max(id) AS id FROM kept GROUP BY sprayer)
         SELECT sprayer, chemical, coalesce(ran.id, 0) > filled.id
         FROM filled LEFT JOIN rinsed USING (sprayer) LEFT JOIN ran USING (sprayer)
         WHERE filled.id > coalesce(rinsed.id, 0)",
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let of = sprayers.entry(row.get(0)?).or_default();
        of.in_it = Some(row.get(1)?);
        of.run_out = row.get(2)?;
    }
    Ok(())
}
