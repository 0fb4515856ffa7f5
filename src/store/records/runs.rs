//! Runs: the first of a calibration, which stands in the calibration's own row and a row beside it,
//! and those in tables of their own: the ones after it, and those done before the one in hand.

use super::keep::{self, Refusal};
use super::stamp::Nanos;
use super::weights;
use crate::bay::records::Entry;
use crate::trade::calibration::{Read, Run, Way};
use crate::trade::units::Volume;
use rusqlite::types::Type;
use rusqlite::{Connection, Error, Row, ToSql, params};
use std::collections::BTreeSet;

/// Calibrations with all that is known of them and of their first runs, those taken back too; to be
/// followed by what is wanted.
pub(crate) const CALIBRATIONS: &str = "SELECT calibrations.*, f.*, left_ml, catch_celsius,
        d.id IS NOT NULL AS detailed, measured_ml, dial, taken_back
    FROM calibrations
    LEFT JOIN calibration_first_runs f ON f.calibration = calibrations.id
    LEFT JOIN calibration_details d ON d.id = calibrations.id
    LEFT JOIN run_details r ON r.kind = 'calibration' AND r.owner = calibrations.id AND r.place = 0";

/// The name of the calibrations that were not taken back, for a WITH.
pub(crate) const KEPT: &str = "kept AS (
    SELECT calibrations.* FROM calibrations LEFT JOIN calibration_details USING (id)
    WHERE taken_back IS NULL)";

/// The calibration that counts of each sprayer, and the number since which it does, for a WITH: the
/// newest that was not taken back, or an earlier one that was brought back since.
pub(crate) const STANDS: &str = "stands AS (
    SELECT sprayer, calibration, max(id) AS since FROM (
        SELECT sprayer, id AS calibration, id FROM calibrations
        LEFT JOIN calibration_details USING (id) WHERE taken_back IS NULL
        UNION ALL
        SELECT sprayer, calibration, id FROM calibrations_brought_back)
    GROUP BY sprayer)";

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
            Self::Calibration(_) => {
                "INSERT INTO calibration_further_runs
                 VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
            }
            Self::Draft => {
                "INSERT INTO draft_earlier_runs VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
            }
            Self::ThrownAway(_) => {
                "INSERT INTO thrown_away_earlier_runs
                 VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
            }
        }
    }

    const fn select(self) -> &'static str {
        match self {
            Self::Calibration(_) => {
                "SELECT t.*, left_ml, catch_celsius FROM calibration_further_runs t
                 LEFT JOIN run_details d
                 ON kind = 'calibration' AND owner = t.calibration AND d.place = t.place + 1
                 WHERE t.calibration = ? ORDER BY t.place"
            }
            Self::Draft => {
                "SELECT t.*, left_ml, catch_celsius FROM draft_earlier_runs t
                 LEFT JOIN run_details d
                 ON kind = 'draft' AND owner = t.draft AND d.place = t.place + 1
                 WHERE t.draft = ? ORDER BY t.place"
            }
            Self::ThrownAway(_) => {
                "SELECT t.*, left_ml, catch_celsius FROM thrown_away_earlier_runs t
                 LEFT JOIN run_details d
                 ON kind = 'thrown-away' AND owner = t.run AND d.place = t.place + 1
                 WHERE t.run = ? ORDER BY t.place"
            }
        }
    }

    const fn owner(self) -> Entry {
        match self {
            Self::Calibration(id) | Self::ThrownAway(id) => id,
            Self::Draft => 1,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Calibration(_) => "calibration",
            Self::Draft => "draft",
            Self::ThrownAway(_) => "thrown-away",
        }
    }
}

/// What a run's row tells behind volumes and time: way, the two uncertainties, the five weights.
struct Told {
    way: &'static str,
    read: [Option<f64>; 2],
    weights: [Option<f64>; 5],
}

impl Told {
    fn of(run: &Run) -> Result<Self, Refusal> {
        let read = match run.read {
            Some(read) => [Some(keep::ml(read.drawn)?), Some(keep::ml(read.catch)?)],
            None => [None; 2],
        };
        Ok(Self {
            way: run.way.word(),
            read,
            weights: weights::columns(|of| run.weights.map(|all| all.reading(of)))?,
        })
    }

    /// `before`, then all of it.
    fn behind<'a>(&'a self, before: &[&'a dyn ToSql]) -> Vec<&'a dyn ToSql> {
        let mut all = before.to_vec();
        all.push(&self.way);
        all.extend(self.read.iter().map(|u| u as &dyn ToSql));
        all.extend(self.weights.iter().map(|w| w as &dyn ToSql));
        all
    }
}

/// What else is known of a calibration's first run than stands in the calibration's row.
pub(super) fn write_first(tx: &Connection, calibration: Entry, run: &Run) -> Result<(), Refusal> {
    let told = Told::of(run)?;
    tx.prepare_cached("INSERT INTO calibration_first_runs VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)")?
        .execute(&told.behind(&[&calibration])[..])?;
    details_of(tx, RunsOf::Calibration(calibration), 0, run)
}

fn details_of(tx: &Connection, of: RunsOf, place: u32, run: &Run) -> Result<(), Refusal> {
    let catch = run.weights.map(|weights| weights.catch_celsius);
    details(tx, of, place, run.left, catch)
}

/// What stands in no row of the run's own; nothing where there is nothing to tell.
pub(super) fn details(
    tx: &Connection,
    of: RunsOf,
    place: u32,
    left: Volume,
    catch_celsius: Option<f64>,
) -> Result<(), Refusal> {
    let left = Some(keep::ml(left)?).filter(|ml| *ml > 0.0);
    let celsius = weights::catch_celsius(catch_celsius)?;
    if left.is_some() || celsius.is_some() {
        tx.prepare_cached("INSERT INTO run_details VALUES (?, ?, ?, ?, ?)")?
            .execute(params![of.word(), of.owner(), place, left, celsius])?;
    }
    Ok(())
}

pub(super) fn write(tx: &Connection, of: RunsOf, runs: &[Run]) -> Result<(), Refusal> {
    if runs.is_empty() {
        return Ok(());
    }
    let mut insert = tx.prepare_cached(of.insert())?;
    for (place, run) in (0u32..).zip(runs) {
        let told = Told::of(run)?;
        let before = params![
            of.owner(),
            place,
            keep::ml(run.drawn)?,
            keep::ml(run.catch)?,
            keep::time(run.time)?
        ];
        insert.execute(&told.behind(before)[..])?;
        details_of(tx, of, place + 1, run)?;
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
    let u = |column: &str| row.get::<_, Option<f64>>(column);
    let read = match (u("drawn_u_ml")?, u("catch_u_ml")?) {
        (None, None) => None,
        (Some(drawn), Some(catch)) => Some(Read {
            drawn: Volume::ml(drawn),
            catch: Volume::ml(catch),
        }),
        _ => return Err(half("drawn_u_ml", "one of two uncertainties")),
    };
    Ok(Run {
        drawn: row.get("drawn_ml").map(Volume::ml)?,
        left: row
            .get::<_, Option<f64>>("left_ml")?
            .map_or(Volume::ZERO, Volume::ml),
        catch: row.get("catch_ml").map(Volume::ml)?,
        time: row.get::<_, Nanos>("time_ns")?.0,
        way: way(row)?,
        read,
        weights: weights::all_of(row)?,
    })
}

/// The way in a row; rows of version 1 have none, and were run dry.
pub(super) fn way(row: &Row<'_>) -> Result<Way, Error> {
    let column = row.as_ref().column_index("way")?;
    match row.get::<_, Option<String>>(column)? {
        Some(_) => super::past::word(row, column, Way::from_word),
        None => Ok(Way::RunDry),
    }
}

/// Only some of what stands together is there; such is never written.
pub(super) fn half(column: &str, what: &str) -> Error {
    let wrong = format!("{column}: only {what} are there");
    Error::FromSqlConversionFailure(0, Type::Null, wrong.into())
}

/// The draw fractions of every calibration of two or more runs that was not taken back, in order, but
/// of those numbers.
pub(super) fn repeats(tx: &Connection, but: &BTreeSet<Entry>) -> Result<Vec<Vec<f64>>, Error> {
    let mut query = tx.prepare(&format!(
        "WITH {KEPT}
         SELECT id, -1 AS place, drawn_ml, catch_ml, time_ns FROM kept
         WHERE id IN (SELECT calibration FROM calibration_further_runs)
         UNION ALL
         SELECT calibration, place, drawn_ml, catch_ml, time_ns FROM calibration_further_runs
         WHERE calibration IN (SELECT id FROM kept)
         ORDER BY id, place",
    ))?;
    let mut rows = query.query([])?;
    let mut repeats: Vec<Vec<f64>> = Vec::new();
    let mut last = None;
    while let Some(row) = rows.next()? {
        let of: Entry = row.get("id")?;
        if but.contains(&of) {
            continue;
        }
        if last.replace(of) != Some(of) {
            repeats.push(Vec::new());
        }
        let run = Run::dry(
            row.get("drawn_ml").map(Volume::ml)?,
            row.get("catch_ml").map(Volume::ml)?,
            row.get::<_, Nanos>("time_ns")?.0,
        );
        // None such is ever written.
        let fraction = run.draw_fraction().ok_or_else(|| {
            let wrong = format!("calibration {of} has a run without a draw fraction");
            Error::FromSqlConversionFailure(3, Type::Real, wrong.into())
        })?;
        if let Some(runs) = repeats.last_mut() {
            runs.push(fraction.as_fraction());
        }
    }
    Ok(repeats)
}
