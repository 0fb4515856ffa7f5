//! Timed checks, and corrections of a dose.
//!
//! What is known "since" is what came after the newest calibration of the sprayer and after its
//! newest change: either makes what was measured before it say nothing about now.

use super::keep::{self, Refusal};
use super::runs::STANDS;
use super::stamp::{Nanos, Stamp};
use crate::bay::records::{CheckRecord, Entry, SprayerPast};
use chrono::{DateTime, FixedOffset};
use rusqlite::{Connection, Error, Row, params};
use std::collections::BTreeMap;

/// No mix draws so much slower than water.
pub(crate) const MOST_FACTOR: f64 = 1000.0;

pub(crate) fn check(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    record: &CheckRecord,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, "check", at, Some(record.at))?;
    tx.prepare_cached(
        "INSERT INTO checks (id, sprayer, mix, time_ns, calibrated_ns, checked)
         VALUES (?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        id,
        record.sprayer,
        record.mix,
        keep::time(record.time)?,
        keep::time(record.calibrated)?,
        keep::date(record.at)?
    ])?;
    Ok(id)
}

pub(crate) fn correction(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    sprayer: &str,
    chemical: &str,
    factor: Option<f64>,
) -> Result<Entry, Refusal> {
    if let Some(wrong) = factor.filter(|f| !(*f > 0.0 && *f <= MOST_FACTOR)) {
        return Err(Refusal::Told(format!(
            "a correction of the dose of {chemical} for {sprayer} by {wrong} cannot be kept: it \
             must be above 0 and at most {MOST_FACTOR}; run the check again"
        )));
    }
    let id = keep::next(tx, "correction", at, None)?;
    tx.prepare_cached(
        "INSERT INTO corrections (id, sprayer, chemical, factor) VALUES (?, ?, ?, ?)",
    )?
    .execute(params![id, sprayer, chemical, factor])?;
    Ok(id)
}

/// The numbers from which on something counts, by sprayer.
fn since_sql() -> String {
    format!(
        "WITH {STANDS}, since AS (
            SELECT sprayer, max(id) AS id FROM (
                SELECT sprayer, since AS id FROM stands UNION ALL SELECT sprayer, id FROM changes)
            GROUP BY sprayer)"
    )
}

/// The newest check with water of each sprayer, and the corrections that stand.
pub(super) fn since(
    tx: &Connection,
    sprayers: &mut BTreeMap<String, SprayerPast>,
) -> Result<(), Error> {
    let since = since_sql();
    let mut query = tx.prepare(&format!(
        "{since} SELECT * FROM checks WHERE id IN (
            SELECT max(checks.id) FROM checks LEFT JOIN since USING (sprayer)
            WHERE mix IS NULL AND checks.id > coalesce(since.id, 0) GROUP BY sprayer)"
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let record = record(row)?;
        let of = sprayers.entry(record.sprayer.clone()).or_default();
        of.check = Some(record);
    }
    let mut query = tx.prepare(&format!(
        "{since} SELECT * FROM corrections WHERE factor IS NOT NULL AND id IN (
            SELECT max(corrections.id) FROM corrections LEFT JOIN since USING (sprayer)
            WHERE corrections.id > coalesce(since.id, 0) GROUP BY sprayer, chemical)"
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let of = sprayers.entry(row.get("sprayer")?).or_default();
        of.corrections
            .insert(row.get("chemical")?, row.get("factor")?);
    }
    Ok(())
}

/// A check from a row with the columns of its table.
pub(crate) fn record(row: &Row<'_>) -> Result<CheckRecord, Error> {
    Ok(CheckRecord {
        sprayer: row.get("sprayer")?,
        mix: row.get("mix")?,
        time: row.get::<_, Nanos>("time_ns")?.0,
        calibrated: row.get::<_, Nanos>("calibrated_ns")?.0,
        at: row.get::<_, Stamp>("checked")?.0,
    })
}
