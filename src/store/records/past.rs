//! Reading what the bay needs to go on.
//!
//! "Since" always means a higher number than that since which the sprayer's calibration counts; for
//! washes and changes, than that of the calibration itself: one that is brought back has all of them
//! since it was taken. In each query with `max(id)` the other columns come from that same row, as
//! SQLite promises.

use super::runs::{self, RunsOf, STANDS};
use super::stamp::Stamp;
use super::{broken, checks, choices, clock, day, drafts, fills, lead, sound};
use crate::bay::records::{CalibrationRecord, Past, SprayerPast};
use crate::trade::calibration::{Calibration, Container, Way};
use crate::trade::reminder::{PutOff, VoidCause};
use crate::trade::units::Volume;
use rusqlite::types::Type;
use rusqlite::{Connection, Error, OptionalExtension, Row};
use std::collections::BTreeMap;

pub(crate) fn past(connection: &Connection) -> Result<Past, Error> {
    // One transaction, so that all of it is of one moment.
    let tx = connection.unchecked_transaction()?;
    past_in(&tx)
}

/// The same, inside a transaction that the caller opened.
pub(crate) fn past_in(tx: &Connection) -> Result<Past, Error> {
    let mut sprayers: BTreeMap<String, SprayerPast> = BTreeMap::new();
    calibrations(tx, &mut sprayers)?;
    washes(tx, &mut sprayers)?;
    changes(tx, &mut sprayers)?;
    put_offs(tx, &mut sprayers)?;
    checks::since(tx, &mut sprayers)?;
    fills::in_them(tx, &mut sprayers)?;
    let sound = sound::chosen(tx)?;
    // A sprayer of which nothing is left to know, such as after its only wash was taken back.
    sprayers.retain(|_, past| *past != SprayerPast::default());
    let faults = broken::faults(tx)?;
    let wrong = faults.iter().map(|fault| fault.entry).collect();
    let mut past = Past {
        sprayers,
        last_sprayer: last_sprayer(tx)?,
        chosen_chemicals: choices::newest(tx)?,
        volume_percent: sound.volume_percent,
        language: sound.language,
        loudspeaker: sound.loudspeaker.flatten(),
        draft: drafts::unfinished(tx)?,
        newest: tx
            .query_row(
                "SELECT newest FROM happenings ORDER BY id DESC LIMIT 1",
                [],
                |row| row.get::<_, Stamp>(0),
            )
            .optional()?
            .map(|stamp| stamp.0),
        clock_right: clock::last(tx)?,
        repeats: runs::repeats(tx, &wrong)?,
        day: day::standing(tx)?,
        wrong_pins: lead::wrong_pins(tx)?,
        last_fills: fills::last_with_each(tx)?,
        broken: Vec::new(),
    };
    broken::take_out(tx, faults, &mut past)?;
    Ok(past)
}

fn calibrations(
    tx: &Connection,
    sprayers: &mut BTreeMap<String, SprayerPast>,
) -> Result<(), Error> {
    let mut query = tx.prepare(&format!(
        "WITH {STANDS}
         SELECT *, (SELECT sum(washes_brought) FROM calibrations l
                    WHERE l.sprayer = c.sprayer AND l.id >= c.id) AS brought
         FROM ({}) c WHERE id IN (SELECT calibration FROM stands)",
        runs::CALIBRATIONS
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let record = calibration(tx, row)?;
        let past = sprayers.entry(record.sprayer.clone()).or_default();
        past.calibration = Some(record);
        past.washes_since = row.get("brought")?;
    }
    Ok(())
}

/// A calibration from a row of [`runs::CALIBRATIONS`].
pub(crate) fn calibration(tx: &Connection, row: &Row<'_>) -> Result<CalibrationRecord, Error> {
    let run = runs::run(row)?;
    let measured = match row.get("detailed")? {
        true => row.get("measured_ml")?,
        // What an older version took for it by weight was what had been drawn.
        false => Some(row.get::<_, f64>("holds_ml")?).filter(|_| run.way != Way::ByWeight),
    };
    Ok(CalibrationRecord {
        sprayer: row.get("sprayer")?,
        nozzle: row.get("nozzle")?,
        washer: row.get("washer")?,
        dial: row.get("dial")?,
        calibration: Calibration {
            holds: measured.map(|ml| Container::measured(Volume::ml(ml))),
            run,
            more: runs::read(tx, RunsOf::Calibration(row.get("id")?))?,
        },
        taken: row.get::<_, Stamp>("taken")?.0,
    })
}

fn washes(tx: &Connection, sprayers: &mut BTreeMap<String, SprayerPast>) -> Result<(), Error> {
    let mut query = tx.prepare(&format!(
        "WITH {STANDS}
         SELECT sprayer, count(*) FROM washes LEFT JOIN stands USING (sprayer)
         WHERE taken_back IS NULL AND washes.id > coalesce(calibration, 0) GROUP BY sprayer
         UNION ALL
         SELECT sprayer, sum(washes) FROM brought_washes
         WHERE sprayer NOT IN (SELECT sprayer FROM stands) GROUP BY sprayer",
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let past = sprayers.entry(row.get(0)?).or_default();
        past.washes_since = past.washes_since.saturating_add(row.get(1)?);
    }
    Ok(())
}

fn changes(tx: &Connection, sprayers: &mut BTreeMap<String, SprayerPast>) -> Result<(), Error> {
    let mut query = tx.prepare(&format!(
        "WITH {STANDS}
         SELECT sprayer, what, max(changes.id) FROM changes LEFT JOIN stands USING (sprayer)
         WHERE changes.id > coalesce(calibration, 0) GROUP BY sprayer",
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        sprayers.entry(row.get(0)?).or_default().void = Some(word(row, 1, VoidCause::from_word)?);
    }
    Ok(())
}

fn put_offs(tx: &Connection, sprayers: &mut BTreeMap<String, SprayerPast>) -> Result<(), Error> {
    let mut query = tx.prepare(&format!(
        "WITH {STANDS}
         SELECT sprayer, times, until_washes, max(put_offs.id)
         FROM put_offs LEFT JOIN stands USING (sprayer)
         WHERE put_offs.id > coalesce(since, 0) GROUP BY sprayer",
    ))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        sprayers.entry(row.get(0)?).or_default().put_off = PutOff {
            times: row.get(1)?,
            until_washes: row.get(2)?,
        };
    }
    Ok(())
}

/// The sprayer that was chosen last, by id.
fn last_sprayer(tx: &Connection) -> Result<Option<String>, Error> {
    tx.query_row(
        "SELECT chosen FROM choices WHERE what = 'sprayer' ORDER BY id DESC LIMIT 1",
        [],
        |row| row.get(0),
    )
    .optional()
}

/// A word that stands for something.
pub(crate) fn word<T>(
    row: &Row<'_>,
    column: usize,
    meaning: impl FnOnce(&str) -> Option<T>,
) -> Result<T, Error> {
    let word: String = row.get(column)?;
    meaning(&word).ok_or_else(|| {
        let unknown = format!("\"{word}\" is not a word of the records");
        Error::FromSqlConversionFailure(column, Type::Text, unknown.into())
    })
}
