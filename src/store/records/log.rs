//! What happened, in order, those left out that were taken back. Each table is read by its numbers
//! alone, so that a day costs no more after a year.

use super::runs::CALIBRATIONS;
use super::stamp::{self, Stamp};
use super::{clock, day, explain, fills, lead, open_to_read, past, setups, stock};
use crate::bay::records::{Entry, Happening, Logged, RecordsFault};
use crate::trade::reminder::{PutOff, VoidCause};
use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};
use rusqlite::types::Type;
use rusqlite::{Connection, Error, OptionalExtension, Row};
use std::ops::Range;
use std::path::{Path, PathBuf};

/// The number of washes that a backup brought along as counts by day: they come before all others.
const BROUGHT: Entry = 0;

/// So many numbers are read at once where not all of them need be in memory.
const A_PART: Entry = 1000;

/// What happened, of one moment, told one after another: in memory there is never more than a part of
/// it, however long a bay was at work.
#[derive(Debug)]
pub struct LogReader {
    /// None where there are no records yet.
    connection: Option<Connection>,
    path: PathBuf,
    last: Entry,
}

impl LogReader {
    /// The records at `path`, without writing, as they are at this moment. No file at all is a bay that
    /// has not begun.
    ///
    /// # Errors
    /// The file cannot be read, is damaged, or is not of this version.
    pub fn open(path: &Path) -> Result<Self, RecordsFault> {
        let connection = open_to_read(path)?;
        let last = match &connection {
            // Held as long as the reader is: what is kept meanwhile is not seen.
            Some(connection) => connection
                .execute_batch("BEGIN")
                .and_then(|()| last_number(connection))
                .map_err(|e| explain(path, "reading them", &e))?,
            None => 0,
        };
        Ok(Self {
            connection,
            path: path.to_owned(),
            last,
        })
    }

    /// Tells all of it, as [`crate::bay::records::Records::log`] does, until `tell` refuses. May be asked
    /// for more than once, and tells the same each time.
    ///
    /// # Errors
    /// The records cannot be read, or what `tell` says.
    pub fn each<E: From<RecordsFault>>(
        &self,
        mut tell: impl FnMut(Logged) -> Result<(), E>,
    ) -> Result<(), E> {
        let Some(connection) = &self.connection else {
            return Ok(());
        };
        let mut from = 0;
        while from <= self.last {
            let part = part(connection, from..from + A_PART)
                .map_err(|e| explain(&self.path, "reading them", &e))?;
            part.into_iter().try_for_each(&mut tell)?;
            from += A_PART;
        }
        Ok(())
    }
}

/// The number of the newest happening; 0 where there is none.
fn last_number(connection: &Connection) -> Result<Entry, Error> {
    let last: Option<Entry> =
        connection.query_row("SELECT max(id) FROM happenings", [], |row| row.get(0))?;
    Ok(last.unwrap_or(0))
}

/// All from that number on.
pub(crate) fn log(connection: &Connection, from: Entry) -> Result<Vec<Logged>, Error> {
    // One transaction, so that all of it is of one moment.
    let tx = connection.unchecked_transaction()?;
    part(&tx, from..Entry::MAX)
}

/// All with these numbers, in a transaction that the caller opened.
fn part(tx: &Connection, numbers: Range<Entry>) -> Result<Vec<Logged>, Error> {
    let mut log = stock_and_fills(tx, &numbers)?;
    if numbers.contains(&BROUGHT) {
        log.extend(brought_washes(tx)?);
    }
    let mut table = |sql: &str, what: &dyn Fn(&Row<'_>) -> Result<Happening, Error>| {
        add(tx, &mut log, sql, &numbers, what)
    };
    table(
        "SELECT * FROM washes JOIN happenings USING (id) WHERE taken_back IS NULL",
        &|row| {
            Ok(Happening::Wash {
                sprayer: row.get("sprayer")?,
                chemical: row.get("chemical")?,
            })
        },
    )?;
    table(
        &format!(
            "SELECT * FROM ({CALIBRATIONS}) JOIN happenings USING (id) WHERE taken_back IS NULL"
        ),
        &|row| past::calibration(tx, row).map(Happening::Calibrated),
    )?;
    table(
        "SELECT * FROM calibrations_brought_back JOIN happenings USING (id) WHERE true",
        &|row| {
            let of = row.get("calibration")?;
            let sql = format!("{CALIBRATIONS} WHERE calibrations.id = ?");
            let record = tx
                .prepare_cached(&sql)?
                .query_row([of], |row| past::calibration(tx, row))?;
            Ok(Happening::CalibrationBroughtBack {
                of,
                record: Box::new(record),
            })
        },
    )?;
    table(
        "SELECT * FROM changes JOIN happenings USING (id) WHERE true",
        &|row| {
            let what = row.as_ref().column_index("what")?;
            Ok(Happening::Changed {
                sprayer: row.get("sprayer")?,
                what: past::word(row, what, VoidCause::from_word)?,
            })
        },
    )?;
    table(
        "SELECT * FROM put_offs JOIN happenings USING (id) WHERE true",
        &|row| {
            Ok(Happening::PutOff {
                sprayer: row.get("sprayer")?,
                put_off: PutOff {
                    times: row.get("times")?,
                    until_washes: row.get("until_washes")?,
                },
            })
        },
    )?;
    table(
        &format!("{} WHERE taken_back IS NULL", day::SETTINGS),
        &|row| {
            let (scope, setting) = day::read(row)?;
            Ok(Happening::DaySet { scope, setting })
        },
    )?;
    table(
        "SELECT * FROM rinses JOIN happenings USING (id) WHERE taken_back IS NULL",
        &|row| {
            let sprayer = row.get("sprayer")?;
            Ok(Happening::Rinsed { sprayer })
        },
    )?;
    table(
        "SELECT * FROM lead_accesses JOIN happenings USING (id) WHERE true",
        &|row| {
            let what = row.as_ref().column_index("what")?;
            past::word(row, what, lead::from_word).map(Happening::Lead)
        },
    )?;
    table(
        "SELECT clocks_put_right.id, clocks_put_right.newest, at
         FROM clocks_put_right JOIN happenings USING (id) WHERE true",
        &|row| {
            let newest = row.get::<_, Stamp>("newest")?.0;
            Ok(Happening::ClockPutRight { newest })
        },
    )?;
    table(
        &format!(
            "SELECT * FROM setup_changes JOIN happenings USING (id) WHERE kind = '{}'",
            setups::AT_THE_SCREEN
        ),
        &|row| setups::read(tx, row.get("id")?, row.get("text")?).map(Happening::SetupChanged),
    )?;
    log.sort_by_key(|logged| logged.entry);
    Ok(log)
}

/// Fills and stock, as far back as the stock is told from, and at least from `since` on.
pub(crate) fn stock_log(
    connection: &Connection,
    since: DateTime<FixedOffset>,
) -> Result<Vec<Logged>, Error> {
    let tx = connection.unchecked_transaction()?;
    let begins = stock::begins(&tx)?.unwrap_or(Entry::MAX);
    let from = begins.min(number_since(&tx, since)?);
    let mut log = stock_and_fills(&tx, &(from..Entry::MAX))?;
    log.sort_by_key(|logged| logged.entry);
    Ok(log)
}

/// In the order of their tables.
fn stock_and_fills(tx: &Connection, numbers: &Range<Entry>) -> Result<Vec<Logged>, Error> {
    let mut log = Vec::new();
    let sql = format!("{} WHERE taken_back IS NULL", fills::FILLS);
    add(tx, &mut log, &sql, numbers, &|row| {
        fills::read(row).map(Happening::Fill)
    })?;
    let sql = format!("{} WHERE taken_back IS NULL", stock::MOVES);
    add(tx, &mut log, &sql, numbers, &|row| {
        let (chemical, what) = stock::read(row)?;
        Ok(Happening::Stock { chemical, what })
    })?;
    Ok(log)
}

fn add(
    tx: &Connection,
    log: &mut Vec<Logged>,
    sql: &str,
    numbers: &Range<Entry>,
    what: &dyn Fn(&Row<'_>) -> Result<Happening, Error>,
) -> Result<(), Error> {
    let mut query = tx.prepare_cached(&format!("{sql} AND id >= ? AND id < ?"))?;
    let mut rows = query.query((numbers.start, numbers.end))?;
    while let Some(row) = rows.next()? {
        log.push(Logged {
            entry: row.get("id")?,
            at: row.get::<_, Stamp>("at")?.0,
            what: what(row)?,
            times: 1,
        });
    }
    Ok(())
}

/// At noon of their days: no more is known of when they were counted.
fn brought_washes(tx: &Connection) -> Result<Vec<Logged>, Error> {
    // In the offset of the bay, as far as it can be told.
    let offset = tx
        .query_row("SELECT at FROM happenings ORDER BY id LIMIT 1", [], |row| {
            row.get::<_, Stamp>(0)
        })
        .optional()?
        .map_or_else(stamp::utc, |first| *first.0.offset());
    let mut query = tx.prepare_cached("SELECT * FROM brought_washes ORDER BY day")?;
    let mut rows = query.query([])?;
    let mut washes = Vec::new();
    while let Some(row) = rows.next()? {
        let day: String = row.get("day")?;
        let wrong = |e: Box<dyn std::error::Error + Send + Sync>| {
            Error::FromSqlConversionFailure(2, Type::Text, e)
        };
        let noon = NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default();
        let at = NaiveDate::parse_from_str(&day, "%Y-%m-%d")
            .map_err(|e| wrong(e.into()))?
            .and_time(noon)
            .and_local_timezone(offset)
            .single()
            .ok_or_else(|| wrong(format!("{day} has no noon").into()))?;
        let times = row.get("washes")?;
        // A day of which all was taken back.
        if times == 0 {
            continue;
        }
        washes.push(Logged {
            entry: BROUGHT,
            at,
            what: Happening::Wash {
                sprayer: row.get("sprayer")?,
                chemical: row.get("chemical")?,
            },
            times,
        });
    }
    Ok(washes)
}

/// From which number on all stand that have this date or a later one.
pub(crate) fn first_since(
    connection: &Connection,
    since: DateTime<FixedOffset>,
) -> Result<Entry, Error> {
    let tx = connection.unchecked_transaction()?;
    let brought: Option<String> =
        tx.query_row("SELECT max(day) FROM brought_washes", [], |row| row.get(0))?;
    // A day begins somewhere on Earth 14 hours before it does at Greenwich.
    let day = (since.to_utc() - chrono::TimeDelta::hours(14)).date_naive();
    if brought.is_some_and(|last| last >= day.to_string()) {
        return Ok(BROUGHT);
    }
    number_since(&tx, since)
}

/// The newest date in the records up to each number never falls but where the clock was put right: in
/// each stretch between, the place can be searched for by halves.
fn number_since(tx: &Connection, since: DateTime<FixedOffset>) -> Result<Entry, Error> {
    let stretches = clock::stretches(tx)?;
    let mut beyond = 1;
    for (first, last, believed) in stretches {
        beyond = last + 1;
        // What has such a date there was not believed any more when the clock was put right.
        if believed.is_some_and(|most| since > most) {
            continue;
        }
        let found = number_between(tx, since, first, last)?;
        if found <= last {
            return Ok(found);
        }
    }
    Ok(beyond)
}

/// The first number from `first` to `last` up to which the newest date is `since` or later; the one
/// after them where there is none.
fn number_between(
    tx: &Connection,
    since: DateTime<FixedOffset>,
    first: Entry,
    last: Entry,
) -> Result<Entry, Error> {
    // What is looked for is above `below`, and at most `above`.
    let (mut below, mut above) = (first - 1, last + 1);
    let mut newest = tx.prepare_cached(
        "SELECT id, newest FROM happenings WHERE id > ?1 AND id <= ?2 ORDER BY id DESC LIMIT 1",
    )?;
    while above - below > 1 {
        let middle = below + (above - below) / 2;
        let found = newest
            .query_row((below, middle), |row| {
                Ok((row.get::<_, Entry>(0)?, row.get::<_, Stamp>(1)?.0))
            })
            .optional()?;
        match found {
            Some((id, date)) if date >= since => above = id,
            _ => below = middle,
        }
    }
    Ok(above)
}
