//! Unfinished calibrations: the one draft, and those that were thrown away.

use super::keep::{self, Refusal};
use super::runs::{self, RunsOf};
use super::stamp::Nanos;
use super::{past, weights};
use crate::bay::records::{Draft, Entry, Load, Step};
use crate::trade::calibration::MOST_RUNS;
use crate::trade::units::Volume;
use crate::trade::weighing::Weighed;
use rusqlite::{Connection, Error, OptionalExtension, Row, ToSql, params};

/// The thrown-away runs, with all that is known of each but its loads and earlier runs; to be
/// followed by what is wanted.
pub(crate) const THROWN_AWAY: &str = "SELECT t.*, w.*, h.at, catch_celsius FROM thrown_away_runs t
    LEFT JOIN thrown_away_ways w ON w.run = t.id JOIN happenings h ON h.id = t.id
    LEFT JOIN run_details d ON d.kind = 'thrown-away' AND d.owner = t.id AND d.place = 0";

/// Whose loads and runs they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Of {
    /// The draft, of which there is one.
    Draft,
    /// What was thrown away, by its number.
    ThrownAway(Entry),
}

impl Of {
    const fn owner(self) -> Entry {
        match self {
            Self::Draft => 1,
            Self::ThrownAway(id) => id,
        }
    }
    const fn runs(self) -> RunsOf {
        match self {
            Self::Draft => RunsOf::Draft,
            Self::ThrownAway(id) => RunsOf::ThrownAway(id),
        }
    }
    /// One of two statements that take the same parameters.
    const fn either(self, draft: &'static str, thrown_away: &'static str) -> &'static str {
        match self {
            Self::Draft => draft,
            Self::ThrownAway(_) => thrown_away,
        }
    }
}

/// Writes a draft; there must be none yet. `of` must be new.
pub(super) fn write(tx: &Connection, of: Of, draft: &Draft) -> Result<(), Refusal> {
    not_too_many(draft)?;
    tx.prepare_cached(of.either(
        "INSERT INTO draft (one, sprayer, step, holds_ml, time_ns) VALUES (?, ?, ?, ?, ?)",
        "INSERT INTO thrown_away_runs (id, sprayer, step, holds_ml, time_ns) VALUES (?, ?, ?, ?, ?)",
    ))?
    .execute(params![
        of.owner(),
        draft.sprayer,
        draft.step.word(),
        draft.holds.map(keep::ml).transpose()?,
        draft.time.map(keep::time).transpose()?
    ])?;
    let owner = of.owner();
    let (way, set_time) = (
        draft.way.word(),
        draft.set_time.map(keep::time).transpose()?,
    );
    let weights = weights::columns(|of| draft.weights.get(&of).copied())?;
    let mut row: Vec<&dyn ToSql> = vec![&owner, &way, &set_time];
    row.extend(weights.iter().map(|w| w as &dyn ToSql));
    tx.prepare_cached(of.either(
        "INSERT INTO draft_ways VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        "INSERT INTO thrown_away_ways VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    ))?
    .execute(&row[..])?;
    loads(tx, of, draft)?;
    let catch = draft.weights.get(&Weighed::CatchWater).copied();
    runs::details(tx, of.runs(), 0, Volume::ZERO, catch)?;
    runs::write(tx, of.runs(), &draft.runs)
}

fn loads(tx: &Connection, of: Of, draft: &Draft) -> Result<(), Refusal> {
    let graduation = |load: &Load| load.graduation.map(keep::ml).transpose();
    for (place, load) in (0u32..).zip(&draft.catch_loads) {
        tx.prepare_cached(of.either(
            "INSERT INTO draft_loads (place, ml) VALUES (?2, ?3)",
            "INSERT INTO thrown_away_loads VALUES (?1, ?2, ?3)",
        ))?
        .execute(params![of.owner(), place, keep::ml(load.volume)?])?;
        if let Some(graduation) = graduation(load)? {
            tx.prepare_cached(of.either(
                "INSERT INTO draft_load_graduations VALUES (?2, ?3)",
                "INSERT INTO thrown_away_load_graduations VALUES (?1, ?2, ?3)",
            ))?
            .execute(params![of.owner(), place, graduation])?;
        }
    }
    for (place, load) in (0u32..).zip(&draft.left_loads) {
        tx.prepare_cached(of.either(
            "INSERT INTO draft_left_loads VALUES (?, ?, ?, ?)",
            "INSERT INTO thrown_away_left_loads VALUES (?, ?, ?, ?)",
        ))?
        .execute(params![
            of.owner(),
            place,
            keep::ml(load.volume)?,
            graduation(load)?
        ])?;
    }
    Ok(())
}

/// With the run in hand there must be no more than make a calibration.
fn not_too_many(draft: &Draft) -> Result<(), Refusal> {
    if draft.runs.len() < MOST_RUNS {
        return Ok(());
    }
    Err(Refusal::Told(format!(
        "the calibration of {} cannot go on: {} runs are done, and with the one in hand {MOST_RUNS} \
         are the most; save it or throw it away",
        draft.sprayer,
        draft.runs.len()
    )))
}

/// Takes the draft away.
pub(super) fn end(tx: &Connection) -> Result<(), Error> {
    for delete in [
        "DELETE FROM draft_load_graduations",
        "DELETE FROM draft_loads",
        "DELETE FROM draft_left_loads",
        "DELETE FROM draft_earlier_runs",
        "DELETE FROM run_details WHERE kind = 'draft'",
        "DELETE FROM draft_ways",
        "DELETE FROM draft",
    ] {
        tx.prepare_cached(delete)?.execute([])?;
    }
    Ok(())
}

pub(super) fn unfinished(tx: &Connection) -> Result<Option<Draft>, Error> {
    let sql = "SELECT draft.*, w.*, catch_celsius FROM draft
        LEFT JOIN draft_ways w ON w.draft = one
        LEFT JOIN run_details d ON d.kind = 'draft' AND d.owner = one AND d.place = 0";
    tx.query_row(sql, [], |row| read(tx, Of::Draft, row))
        .optional()
}

/// A draft from its row with all that is known of it.
pub(crate) fn read(tx: &Connection, of: Of, row: &Row<'_>) -> Result<Draft, Error> {
    let time = |column: &str| Ok::<_, Error>(row.get::<_, Option<Nanos>>(column)?.map(|n| n.0));
    Ok(Draft {
        sprayer: row.get("sprayer")?,
        way: runs::way(row)?,
        step: past::word(row, row.as_ref().column_index("step")?, Step::from_word)?,
        holds: row.get::<_, Option<f64>>("holds_ml")?.map(Volume::ml),
        set_time: time("set_time_ns")?,
        time: time("time_ns")?,
        catch_loads: loads_of(
            tx,
            of,
            of.either(
                "SELECT ml, graduation_ml FROM draft_loads
                 LEFT JOIN draft_load_graduations USING (place) WHERE ? = 1 ORDER BY place",
                "SELECT ml, graduation_ml FROM thrown_away_loads
                 LEFT JOIN thrown_away_load_graduations USING (run, place)
                 WHERE run = ? ORDER BY place",
            ),
        )?,
        left_loads: loads_of(
            tx,
            of,
            of.either(
                "SELECT ml, graduation_ml FROM draft_left_loads WHERE draft = ? ORDER BY place",
                "SELECT ml, graduation_ml FROM thrown_away_left_loads WHERE run = ? ORDER BY place",
            ),
        )?,
        weights: weights::some_of(row)?,
        runs: runs::read(tx, of.runs())?,
    })
}

fn loads_of(tx: &Connection, of: Of, sql: &str) -> Result<Vec<Load>, Error> {
    let load = |row: &Row<'_>| {
        Ok(Load {
            volume: row.get("ml").map(Volume::ml)?,
            graduation: row.get::<_, Option<f64>>("graduation_ml")?.map(Volume::ml),
        })
    };
    tx.prepare_cached(sql)?
        .query_map([of.owner()], load)?
        .collect()
}
