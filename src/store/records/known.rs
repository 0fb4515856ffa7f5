//! Which ids the records know: whoever had one keeps it.

use crate::bay::setup_change::Place;
use rusqlite::{Connection, Error};

/// True where anything names this item. Tables are asked by the names of their columns, so that none
/// that is added later is left out.
pub(super) fn know(connection: &Connection, item: &Place) -> Result<bool, Error> {
    let Some(id) = item.id() else {
        return Ok(false);
    };
    // One transaction, so that all of it is of one moment.
    let tx = connection.unchecked_transaction()?;
    let columns: &[&str] = match item {
        Place::Sprayer(_) => &["sprayer"],
        Place::Chemical(_) => &["chemical", "mix"],
        // Of these no happening tells but changes of the set-up.
        _ => &[],
    };
    for column in columns {
        let mut query = tx.prepare(
            "SELECT t.name FROM sqlite_schema AS t JOIN pragma_table_info(t.name) AS c
             WHERE t.type = 'table' AND c.name = ?",
        )?;
        let tables: Vec<String> = query
            .query_map([column], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        for table in tables {
            let sql = format!("SELECT EXISTS (SELECT 1 FROM \"{table}\" WHERE \"{column}\" = ?)");
            if tx.query_row(&sql, [id], |row| row.get(0))? {
                return Ok(true);
            }
        }
    }
    tx.query_row(
        "SELECT EXISTS (SELECT 1 FROM choices WHERE what = ?1 AND chosen = ?2)
             OR EXISTS (SELECT 1 FROM setup_change_keys WHERE section = ?3)",
        (item.kind(), id, item.words()),
        |row| row.get(0),
    )
}
