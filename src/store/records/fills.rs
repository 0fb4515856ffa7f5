//! Fills, and how each came about.

use super::keep::{self, Refusal};
use super::stamp::Stamp;
use crate::bay::records::{Entry, Fill, FillHow, SprayerPast};
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
        FillHow::ToppedUp { left } => (TOPPED_UP, keep::ml(left)?),
        FillHow::Mispoured { meant } => (MISPOURED, keep::ml(meant)?),
    };
    tx.prepare_cached("INSERT INTO fill_hows (fill, how, ml) VALUES (?, ?, ?)")?
        .execute((id, how.0, how.1))?;
    Ok(id)
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
        Some(TOPPED_UP) => Ok(FillHow::ToppedUp { left: volume()? }),
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

/// When the newest fill was made that was not taken back.
pub(super) fn last(tx: &Connection) -> Result<Option<DateTime<FixedOffset>>, Error> {
    let last = tx
        .query_row(
            "SELECT at FROM happenings WHERE id = (SELECT max(id) FROM fills
             WHERE taken_back IS NULL)",
            [],
            |row| row.get::<_, Stamp>(0),
        )
        .optional()?;
    Ok(last.map(|stamp| stamp.0))
}

/// What is in each sprayer: the chemical of its newest fill, where it was not rinsed since.
pub(super) fn in_them(
    tx: &Connection,
    sprayers: &mut BTreeMap<String, SprayerPast>,
) -> Result<(), Error> {
    let mut query = tx.prepare(
        "WITH rinsed AS (SELECT sprayer, max(id) AS id FROM rinses
                         WHERE taken_back IS NULL GROUP BY sprayer),
              filled AS (SELECT sprayer, chemical, max(id) AS id FROM fills
                         WHERE taken_back IS NULL GROUP BY sprayer)
         SELECT sprayer, chemical FROM filled LEFT JOIN rinsed USING (sprayer)
         WHERE filled.id > coalesce(rinsed.id, 0)",
    )?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        sprayers.entry(row.get(0)?).or_default().in_it = Some(row.get(1)?);
    }
    Ok(())
}
