//! What happened to one sprayer over time. What came first is told by the numbers, never by dates.

use super::runs::KEPT;
use super::stamp::Stamp;
use super::{past, runs};
use crate::bay::records::{Entry, Milestone};
use crate::trade::reminder::VoidCause;
use rusqlite::{Connection, Error};
use std::collections::BTreeMap;

pub(crate) fn history(connection: &Connection, sprayer: &str) -> Result<Vec<Milestone>, Error> {
    // One transaction, so that all of it is of one moment.
    let tx = connection.unchecked_transaction()?;
    let lasted = washes_lasted(&tx, Some(sprayer))?;
    let mut found: Vec<(Entry, Milestone)> = Vec::new();

    let mut query = tx.prepare(&format!(
        "{} WHERE sprayer = ? AND taken_back IS NULL",
        runs::CALIBRATIONS
    ))?;
    let mut rows = query.query([sprayer])?;
    while let Some(row) = rows.next()? {
        let id = row.get("id")?;
        let milestone = Milestone::Calibrated {
            entry: id,
            record: Box::new(past::calibration(&tx, row)?),
            washes: lasted.get(&id).copied().unwrap_or_default(),
        };
        found.push((id, milestone));
    }

    let mut query = tx
        .prepare("SELECT id, what, at FROM changes JOIN happenings USING (id) WHERE sprayer = ?")?;
    let mut rows = query.query([sprayer])?;
    while let Some(row) = rows.next()? {
        let milestone = Milestone::Changed {
            what: past::word(row, 1, VoidCause::from_word)?,
            at: row.get::<_, Stamp>("at")?.0,
        };
        found.push((row.get("id")?, milestone));
    }

    let mut query = tx.prepare(
        "SELECT * FROM calibrations_brought_back JOIN happenings USING (id) WHERE sprayer = ?",
    )?;
    let mut rows = query.query([sprayer])?;
    while let Some(row) = rows.next()? {
        let milestone = Milestone::BroughtBack {
            of: row.get("calibration")?,
            at: row.get::<_, Stamp>("at")?.0,
        };
        found.push((row.get("id")?, milestone));
    }

    found.sort_by_key(|(id, _)| *id);
    Ok(found.into_iter().map(|(_, milestone)| milestone).collect())
}

/// How many washes were done by each calibration, until the next of its sprayer or until now, and
/// since it was brought back, by the calibration's number: of one sprayer, or of all. Those taken
/// back are left out, those that a backup brought along are counted.
pub(crate) fn washes_lasted(
    tx: &Connection,
    sprayer: Option<&str>,
) -> Result<BTreeMap<Entry, u32>, Error> {
    // One pass over the washes, not one for each calibration: each row is given the number since which
    // its sprayer's calibration counts.
    let sql = format!(
        "WITH {KEPT}, begins AS (
            SELECT id, sprayer, id AS calibration FROM kept
            UNION ALL
            SELECT id, sprayer, calibration FROM calibrations_brought_back),
         counted AS (
            SELECT since, count(*) - 1 AS washes FROM (
                SELECT max(id * begun) OVER (PARTITION BY sprayer ORDER BY id) AS since
                FROM (SELECT id, sprayer, 1 AS begun FROM begins
                      UNION ALL
                      SELECT id, sprayer, 0 FROM washes WHERE taken_back IS NULL)
                WHERE ?1 IS NULL OR sprayer = ?1)
            WHERE since > 0 GROUP BY since)
         SELECT begins.calibration AS calibration, washes_brought + sum(washes) AS washes
         FROM counted JOIN begins ON begins.id = since
         JOIN calibrations ON calibrations.id = begins.calibration
         GROUP BY begins.calibration"
    );
    tx.prepare_cached(&sql)?
        .query_map([sprayer], |row| {
            Ok((row.get("calibration")?, row.get("washes")?))
        })?
        .collect()
}
