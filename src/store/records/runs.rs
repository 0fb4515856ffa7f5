//! The runs that stand in tables of their own: those of a calibration after its first, and those
//! done before the one in hand.

use super::keep::{self, Refusal};
use super::stamp::Nanos;
use crate::bay::records::Entry;
use crate::trade::calibration::Run;
use crate::trade::units::Volume;
use rusqlite::types::Type;
use rusqlite::{Connection, Error, Row, params};

/// What the runs belong to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RunsOf {
    /// A calibration, by its number.
    Calibration(Entry),
    /// The draft, of which there is one.
    Draft,
    /// What was thrown away, by its number.
    ThrownAway(Entry),
}

impl RunsOf {
    const fn insert(self) -> &'static str {
        match self {
            Self::Calibration(_) => "INSERT INTO calibration_further_runs VALUES (?, ?, ?, ?, ?)",
            Self::Draft => "INSERT INTO draft_earlier_runs VALUES (?, ?, ?, ?, ?)",
            Self::ThrownAway(_) => "INSERT INTO thrown_away_earlier_runs VALUES (?, ?, ?, ?, ?)",
        }
    }

    const fn select(self) -> &'static str {
        match self {
            Self::Calibration(_) => {
                "SELECT drawn_ml, catch_ml, time_ns FROM calibration_further_runs
                 WHERE calibration = ? ORDER BY place"
            }
            Self::Draft => {
                "SELECT drawn_ml, catch_ml, time_ns FROM draft_earlier_runs
                 WHERE draft = ? ORDER BY place"
            }
            Self::ThrownAway(_) => {
                "SELECT drawn_ml, catch_ml, time_ns FROM thrown_away_earlier_runs
                 WHERE run = ? ORDER BY place"
            }
        }
    }

    const fn owner(self) -> Entry {
        match self {
            Self::Calibration(id) | Self::ThrownAway(id) => id,
            Self::Draft => 1,
        }
    }
}

pub(super) fn write(tx: &Connection, of: RunsOf, runs: &[Run]) -> Result<(), Refusal> {
    if runs.is_empty() {
        return Ok(());
    }
    let mut insert = tx.prepare_cached(of.insert())?;
    for (place, run) in (0u32..).zip(runs) {
        insert.execute(params![
            of.owner(),
            place,
            keep::ml(run.drawn)?,
            keep::ml(run.catch)?,
            keep::time(run.time)?
        ])?;
    }
    Ok(())
}

/// In order.
pub(crate) fn read(tx: &Connection, of: RunsOf) -> Result<Vec<Run>, Error> {
    tx.prepare_cached(of.select())?
        .query_map([of.owner()], run)?
        .collect()
}

/// A run from a row with the columns of the tables.
pub(super) fn run(row: &Row<'_>) -> Result<Run, Error> {
    Ok(Run {
        drawn: row.get("drawn_ml").map(Volume::ml)?,
        catch: row.get("catch_ml").map(Volume::ml)?,
        time: row.get::<_, Nanos>("time_ns")?.0,
    })
}

/// The draw fractions of every calibration of two or more runs, in order.
pub(super) fn repeats(tx: &Connection) -> Result<Vec<Vec<f64>>, Error> {
    let mut query = tx.prepare(
        "SELECT id, -1 AS place, drawn_ml, catch_ml, time_ns FROM calibrations
         WHERE id IN (SELECT calibration FROM calibration_further_runs)
         UNION ALL
         SELECT calibration, place, drawn_ml, catch_ml, time_ns FROM calibration_further_runs
         ORDER BY id, place",
    )?;
    let mut rows = query.query([])?;
    let mut repeats: Vec<Vec<f64>> = Vec::new();
    let mut last = None;
    while let Some(row) = rows.next()? {
        let of: Entry = row.get("id")?;
        if last.replace(of) != Some(of) {
            repeats.push(Vec::new());
        }
        // None such is ever written.
        let fraction = run(row)?.draw_fraction().ok_or_else(|| {
            let wrong = format!("calibration {of} has a run without a draw fraction");
            Error::FromSqlConversionFailure(3, Type::Real, wrong.into())
        })?;
        if let Some(runs) = repeats.last_mut() {
            runs.push(fraction.as_fraction());
        }
    }
    Ok(repeats)
}
