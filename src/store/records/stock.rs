//! What happened to the stock of the chemicals.

use super::keep::{self, Refusal};
use crate::bay::records::{Entry, StockMove};
use crate::trade::units::Volume;
use chrono::{DateTime, FixedOffset};
use rusqlite::types::Type;
use rusqlite::{Connection, Error, Row, params};

pub(crate) const DELIVERED: &str = "delivered";
pub(crate) const OPENED: &str = "opened";
pub(crate) const COUNTED: &str = "counted";
/// All words.
pub(crate) const WORDS: [&str; 3] = [DELIVERED, OPENED, COUNTED];

/// More containers than any bay has.
pub(crate) const MOST_CONTAINERS: u32 = 100_000;

/// Moves with their dates; to be followed by what is wanted.
pub(crate) const MOVES: &str = "SELECT * FROM stock_moves JOIN happenings USING (id)";

pub(crate) fn happening(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    chemical: &str,
    what: &StockMove,
) -> Result<Entry, Refusal> {
    let (word, containers, volume) = match what {
        StockMove::Delivered { containers, volume } => {
            if volume.as_ml() == 0.0 {
                return Err(no_sense(chemical, "nothing was delivered"));
            }
            (DELIVERED, Some(*containers), Some(*volume))
        }
        StockMove::Opened { containers: 0 } => {
            return Err(no_sense(chemical, "no container was opened"));
        }
        StockMove::Opened { containers } => (OPENED, Some(*containers), None),
        StockMove::Counted { volume } => (COUNTED, None, Some(*volume)),
    };
    if containers.is_some_and(|containers| containers > MOST_CONTAINERS) {
        return Err(no_sense(chemical, "so many containers fit into no bay"));
    }
    let id = keep::next(tx, "stock", at, None)?;
    tx.prepare_cached(
        "INSERT INTO stock_moves (id, chemical, what, containers, ml) VALUES (?, ?, ?, ?, ?)",
    )?
    .execute(params![
        id,
        chemical,
        word,
        containers,
        volume.map(keep::ml).transpose()?
    ])?;
    Ok(id)
}

fn no_sense(chemical: &str, why: &str) -> Refusal {
    Refusal::Told(format!(
        "what happened to the stock of {chemical} cannot be kept: {why}; enter it again"
    ))
}

/// The chemical and what happened to it, from a row of [`MOVES`].
pub(crate) fn read(row: &Row<'_>) -> Result<(String, StockMove), Error> {
    let word: String = row.get("what")?;
    let containers = || row.get("containers");
    let volume = || row.get("ml").map(Volume::ml);
    let what = match word.as_str() {
        DELIVERED => StockMove::Delivered {
            containers: containers()?,
            volume: volume()?,
        },
        OPENED => StockMove::Opened {
            containers: containers()?,
        },
        COUNTED => StockMove::Counted { volume: volume()? },
        other => {
            let unknown = format!("\"{other}\" does not happen to a stock");
            return Err(Error::FromSqlConversionFailure(
                0,
                Type::Text,
                unknown.into(),
            ));
        }
    };
    Ok((row.get("chemical")?, what))
}

/// From which number on the stock is told: the newest stock-take of the chemical whose newest one is
/// the oldest, or its first move where it was never counted. `None` without any move.
pub(super) fn begins(tx: &Connection) -> Result<Option<Entry>, Error> {
    tx.query_row(
        "SELECT min(begins) FROM (
             SELECT coalesce(max(CASE what WHEN 'counted' THEN id END), min(id)) AS begins
             FROM stock_moves WHERE taken_back IS NULL GROUP BY chemical)",
        [],
        |row| row.get(0),
    )
}
