//! Writing one happening, inside a transaction that the caller opened.

use super::drafts::{self, Of};
use super::runs::{self, KEPT, RunsOf};
use super::stamp::{self, Stamp};
use super::{chain, checks, choices, clock, day, fills, lead, rinses, setups, sound, stock};
use crate::bay::records::{CalibrationRecord, Draft, Entry, Happening};
use crate::trade::calibration::MOST_RUNS;
use crate::trade::units::Volume;
use chrono::{DateTime, FixedOffset};
use rusqlite::{Connection, Error, OptionalExtension, params};
use std::time::Duration;

/// Why something was not written.
pub(crate) enum Refusal {
    /// SQLite would not.
    Sql(Error),
    /// It makes no sense: what and why.
    Told(String),
}

impl From<Error> for Refusal {
    fn from(error: Error) -> Self {
        Self::Sql(error)
    }
}

type Kept = Result<Entry, Refusal>;

pub(crate) fn happening(tx: &Connection, at: DateTime<FixedOffset>, what: &Happening) -> Kept {
    match what {
        Happening::Wash { sprayer, chemical } => wash(tx, at, sprayer, chemical),
        Happening::WashUndone(wash) => take_back(tx, at, "washes", "wash", *wash),
        Happening::Fill(made) => fills::fill(tx, at, made),
        Happening::Mispoured {
            fill,
            instead_of,
            added,
        } => fills::mispoured(tx, at, fill, *instead_of, added.as_ref()),
        Happening::FillUndone(fill) => fills::undone(tx, at, *fill),
        Happening::Calibrated(record) => {
            let id = calibration(tx, at, record, 0)?;
            drafts::end(tx)?;
            Ok(id)
        }
        Happening::CalibrationUndone(of) => {
            take_back(tx, at, "calibration_details", "calibration", *of)
        }
        Happening::CalibrationBroughtBack { of, record } => {
            brought_back(tx, at, *of, &record.sprayer)
        }
        Happening::RunThrownAway(draft) => {
            let id = thrown_away(tx, at, draft)?;
            drafts::end(tx)?;
            Ok(id)
        }
        Happening::RunDropped { run, draft } => {
            let id = thrown_away(tx, at, run)?;
            drafts::end(tx)?;
            drafts::write(tx, Of::Draft, draft)?;
            Ok(id)
        }
        Happening::Changed { sprayer, what } => {
            let id = next(tx, "change", at, None)?;
            let sql = "INSERT INTO changes (id, sprayer, what) VALUES (?, ?, ?)";
            tx.prepare_cached(sql)?
                .execute(params![id, sprayer, what.word()])?;
            Ok(id)
        }
        Happening::PutOff { sprayer, put_off } => {
            let id = next(tx, "put-off", at, None)?;
            let sql = "INSERT INTO put_offs (id, sprayer, times, until_washes) VALUES (?, ?, ?, ?)";
            tx.prepare_cached(sql)?.execute(params![
                id,
                sprayer,
                put_off.times,
                put_off.until_washes
            ])?;
            Ok(id)
        }
        Happening::SprayerChosen(chosen) => choices::sprayer(tx, at, chosen),
        Happening::ChemicalChosen { scope, chemical } => choices::chemical(tx, at, scope, chemical),
        Happening::SoundChosen(chosen) => sound::choice(tx, at, chosen),
        Happening::Drafted(new) => {
            let id = next(tx, "draft", at, None)?;
            drafts::end(tx)?;
            drafts::write(tx, Of::Draft, new)?;
            Ok(id)
        }
        Happening::DaySet { scope, setting } => day::set(tx, at, scope, setting.as_ref()),
        Happening::DayUndone(set) => take_back(tx, at, "day_settings", "day-setting", *set),
        Happening::Rinsed { sprayer } => rinses::rinse(tx, at, sprayer),
        Happening::RinseUndone(rinse) => take_back(tx, at, "rinses", "rinse", *rinse),
        Happening::Lead(access) => lead::access(tx, at, *access),
        Happening::ClockPutRight { newest } => clock::put_right(tx, at, *newest),
        Happening::SetupChanged(change) => setups::changed(tx, at, change),
        Happening::SetupFound(text) => setups::found(tx, at, text),
        Happening::Stock { chemical, what } => stock::happening(tx, at, chemical, what),
        Happening::StockUndone(entry) => take_back(tx, at, "stock_moves", "stock-move", *entry),
        Happening::Checked(record) => checks::check(tx, at, record),
        Happening::Corrected {
            sprayer,
            chemical,
            factor,
        } => checks::correction(tx, at, sprayer, chemical, *factor),
    }
}

/// The next number, with the newest date so far: this one's, `also`'s or the one before.
pub(crate) fn next(
    tx: &Connection,
    kind: &str,
    at: DateTime<FixedOffset>,
    also: Option<DateTime<FixedOffset>>,
) -> Kept {
    let last = tx
        .prepare_cached("SELECT newest FROM happenings ORDER BY id DESC LIMIT 1")?
        .query_row([], |row| row.get::<_, Stamp>(0))
        .optional()?
        .map(|stamp| stamp.0);
    let newest = [last, also].into_iter().flatten().fold(at, DateTime::max);
    let id = chain::last(tx)? + 1;
    tx.prepare_cached("INSERT INTO happenings (id, kind, at, newest) VALUES (?, ?, ?, ?)")?
        .execute(params![id, kind, date(at)?, date(newest)?])?;
    Ok(id)
}

fn wash(tx: &Connection, at: DateTime<FixedOffset>, sprayer: &str, chemical: &str) -> Kept {
    let id = next(tx, "wash", at, None)?;
    tx.prepare_cached("INSERT INTO washes (id, sprayer, chemical) VALUES (?, ?, ?)")?
        .execute(params![id, sprayer, chemical])?;
    Ok(id)
}

fn take_back(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    table: &str,
    what: &str,
    entry: Entry,
) -> Kept {
    let id = next(tx, &format!("{what}-taken-back"), at, None)?;
    mark_taken_back(tx, table, what, entry, id)?;
    Ok(id)
}

/// Marks an entry as taken back by another one.
pub(super) fn mark_taken_back(
    tx: &Connection,
    table: &str,
    what: &str,
    entry: Entry,
    by: Entry,
) -> Result<(), Refusal> {
    let sql = format!("UPDATE {table} SET taken_back = ? WHERE id = ? AND taken_back IS NULL");
    match tx.prepare_cached(&sql)?.execute(params![by, entry])? {
        0 => Err(Refusal::Told(format!(
            "there is no {what} number {entry} in the records that could be taken back; it was \
             never counted, or was taken back before"
        ))),
        _ => Ok(note_taking_back(tx, by, entry, false)?),
    }
}

/// Notes that a happening took an entry back, or lets it stand again: whoever writes `taken_back` notes
/// it here, for that column is held against it.
pub(super) fn note_taking_back(
    tx: &Connection,
    by: Entry,
    entry: Entry,
    stands: bool,
) -> Result<(), Error> {
    tx.prepare_cached("INSERT INTO takings_back (id, entry, stands) VALUES (?, ?, ?)")?
        .execute((by, entry, stands))
        .map(drop)
}

pub(crate) fn calibration(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    record: &CalibrationRecord,
    washes_brought: u32,
) -> Kept {
    let run = record.calibration.run;
    if record.calibration.count() > MOST_RUNS {
        return Err(Refusal::Told(format!(
            "the calibration of {} cannot be kept: it has {} runs, and {MOST_RUNS} are the most; \
             leave some out",
            record.sprayer,
            record.calibration.count()
        )));
    }
    let mut runs = (1..).zip(record.calibration.runs());
    if let Some((place, run)) = runs.find(|(_, run)| run.draw_fraction().is_none()) {
        let which = match record.calibration.count() {
            1 => String::new(),
            _ => format!("in run {place} "),
        };
        return Err(Refusal::Told(format!(
            "the calibration of {} cannot be kept: {which}a catch of {} is not more than the {} \
             drawn; measure again",
            record.sprayer,
            run.catch.shown(),
            run.drawn.shown()
        )));
    }
    let measured = record
        .calibration
        .holds
        .map(|c| ml(c.holds()))
        .transpose()?;
    let id = next(tx, "calibration", at, Some(record.taken))?;
    tx.prepare_cached(
        "INSERT INTO calibrations (id, sprayer, nozzle, washer, holds_ml, drawn_ml, catch_ml,
             time_ns, taken, washes_brought)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        id,
        record.sprayer,
        record.nozzle,
        record.washer,
        measured.unwrap_or(0.0),
        ml(run.drawn)?,
        ml(run.catch)?,
        time(run.time)?,
        date(record.taken)?,
        washes_brought
    ])?;
    tx.prepare_cached("INSERT INTO calibration_details (id, measured_ml, dial) VALUES (?, ?, ?)")?
        .execute(params![id, measured, record.dial])?;
    runs::write_first(tx, id, &run)?;
    runs::write(tx, RunsOf::Calibration(id), &record.calibration.more)?;
    Ok(id)
}

/// An earlier calibration counts from now on. It must be there, of that sprayer and not taken back,
/// and nothing that voids it may have been told since.
pub(crate) fn brought_back(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    of: Entry,
    sprayer: &str,
) -> Kept {
    let sql = format!(
        "WITH {KEPT} SELECT EXISTS (SELECT 1 FROM kept WHERE id = ?1 AND sprayer = ?2)
             AND NOT EXISTS (SELECT 1 FROM changes WHERE sprayer = ?2 AND id > ?1)"
    );
    let stands: bool = tx
        .prepare_cached(&sql)?
        .query_row(params![of, sprayer], |row| row.get(0))?;
    if !stands {
        return Err(Refusal::Told(format!(
            "there is no calibration number {of} of {sprayer} in the records that could be brought \
             back; it was taken back, or something was changed since: calibrate"
        )));
    }
    let id = next(tx, "calibration-brought-back", at, None)?;
    tx.prepare_cached("INSERT INTO calibrations_brought_back VALUES (?, ?, ?)")?
        .execute(params![id, sprayer, of])?;
    Ok(id)
}

pub(crate) fn thrown_away(tx: &Connection, at: DateTime<FixedOffset>, draft: &Draft) -> Kept {
    let id = next(tx, "run-thrown-away", at, None)?;
    drafts::write(tx, Of::ThrownAway(id), draft)?;
    Ok(id)
}

/// A volume that can be written: a number, not below zero, and less than a lake.
pub(super) fn ml(volume: Volume) -> Result<f64, Refusal> {
    let ml = volume.as_ml();
    if (0.0..1e9).contains(&ml) {
        Ok(ml)
    } else {
        Err(Refusal::Told(format!(
            "a volume of {ml} ml cannot be kept: measure again"
        )))
    }
}

pub(super) fn time(time: Duration) -> Result<i64, Refusal> {
    stamp::nanos(time)
        .filter(|_| time < Duration::from_secs(1_000_000))
        .ok_or_else(|| {
            Refusal::Told(format!(
                "a time of {} s cannot be kept: measure again",
                time.as_secs()
            ))
        })
}

pub(super) fn date(at: DateTime<FixedOffset>) -> Result<String, Refusal> {
    stamp::text(at).ok_or_else(|| {
        Refusal::Told(format!(
            "the date {at} cannot be kept: set the clock of this screen"
        ))
    })
}
