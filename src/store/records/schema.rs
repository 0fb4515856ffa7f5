//! The tables, and the ladder from one version of them to the next.
//!
//! A step of the ladder, once released, is never edited: a change is a new step.

use super::chain;
use super::fault::{explain, newer, not_ours};
use crate::bay::records::RecordsFault;
use rusqlite::{Connection, Error, OptionalExtension, TransactionBehavior};
use std::collections::BTreeSet;
use std::path::Path;

/// Marks a database as ours ("fill").
pub(super) const APPLICATION_ID: i32 = 0x6669_6c6c;

/// Each step takes the tables from version n (its place, from 0) to n + 1.
pub(super) const LADDER: &[&str] = &[
    include_str!("schema_1.sql"),
    include_str!("schema_2.sql"),
    include_str!("schema_3.sql"),
    include_str!("schema_4.sql"),
    include_str!("schema_5.sql"),
];

/// The version of the tables that this program reads and writes.
pub const VERSION: u32 = LADDER.len() as u32;

/// How a database stands to this program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// Nothing in it yet.
    Empty,
    /// Of this version or an older one.
    Ours,
}

/// Looks whether the database is ours to open, without changing it.
pub(super) fn check(connection: &Connection, path: &Path) -> Result<Origin, RecordsFault> {
    check_on(connection, path, LADDER)
}

/// As [`check`], for a program that has this ladder.
pub(super) fn check_on(
    connection: &Connection,
    path: &Path,
    ladder: &[&str],
) -> Result<Origin, RecordsFault> {
    let highest = u32::try_from(ladder.len()).unwrap_or(u32::MAX);
    let look = || -> Result<(u32, i32, u32), Error> {
        let pragma = |name: &str| format!("SELECT {name} FROM pragma_{name}");
        Ok((
            connection.query_row(&pragma("user_version"), [], |row| row.get(0))?,
            connection.query_row(&pragma("application_id"), [], |row| row.get(0))?,
            connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?,
        ))
    };
    match look().map_err(|e| explain(path, "opening them", &e))? {
        (0, 0, 0) => Ok(Origin::Empty),
        (version, APPLICATION_ID, _) if version > highest => Err(newer(path, version, highest)),
        (1.., APPLICATION_ID, _) => Ok(Origin::Ours),
        _ => Err(not_ours(path)),
    }
}

/// Lets an older file be read as one of this version without writing to it: the tables that it lacks
/// are made empty, in this connection alone.
pub(super) fn to_read(connection: &Connection, ladder: &[&str]) -> Result<(), Error> {
    // Good for steps that only add tables; one that does more needs more here.
    let version = version_of(connection)?;
    for step in ladder.iter().skip(version as usize) {
        connection.execute_batch(&step.replace("CREATE TABLE", "CREATE TEMP TABLE"))?;
        // Some may be there from a newer version that was gone back from.
        for table in tables_of(step) {
            if definition(connection, table)?.is_some() {
                connection.execute_batch(&format!("DROP TABLE temp.\"{table}\""))?;
            }
        }
    }
    Ok(())
}

/// The tables that a step of the ladder makes.
fn tables_of(step: &str) -> impl Iterator<Item = &str> {
    let name = |line: &'_ str| line.strip_prefix("CREATE TABLE ").map(str::len);
    step.lines().filter_map(move |line| {
        let rest = &line[line.len() - name(line)?..];
        rest.split([' ', '(']).next()
    })
}

/// The tables that this program knows.
pub(super) fn known_tables() -> BTreeSet<&'static str> {
    LADDER.iter().flat_map(|step| tables_of(step)).collect()
}

/// How a table was made; `None` where it is not there.
fn definition(connection: &Connection, table: &str) -> Result<Option<String>, Error> {
    let sql = "SELECT sql FROM main.sqlite_schema WHERE type = 'table' AND name = ?";
    let mut query = connection.prepare_cached(sql)?;
    query.query_row([table], |row| row.get(0)).optional()
}

/// Does a step. Who went back from a newer version has its tables already, with what was kept in them:
/// they stay as they are, where they are the very ones that the step would make.
fn take(tx: &Connection, below: &[&str], step: &str) -> Result<(), Error> {
    let mut there = tables_of(step)
        .filter_map(|table| Some((table, definition(tx, table).transpose()?)))
        .peekable();
    if there.peek().is_none() {
        return tx.execute_batch(step);
    }
    let plan = Connection::open_in_memory()?;
    below
        .iter()
        .chain([&step])
        .try_for_each(|step| plan.execute_batch(step))?;
    for (table, found) in there {
        if definition(&plan, table)? != Some(found?) {
            // Another table of that name: it says so.
            return tx.execute_batch(step);
        }
    }
    tx.execute_batch(&step.replace("CREATE TABLE ", "CREATE TABLE IF NOT EXISTS "))
}

/// Climbs from the version found to the end of the ladder, each step whole or not at all.
pub(super) fn climb(connection: &mut Connection, ladder: &[&str]) -> Result<(), Error> {
    // Who has nothing to climb needs no lock, and waits for nobody who holds it.
    while (version_of(connection)? as usize) < ladder.len() {
        // Looked at inside the transaction: another program may be climbing at the same time.
        let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let version = version_of(&tx)?;
        let Some(step) = ladder.get(version as usize) else {
            break;
        };
        take(&tx, &ladder[..version as usize], step)?;
        if version + 1 == chain::SINCE {
            chain::begin(&tx)?;
        }
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        tx.pragma_update(None, "user_version", version + 1)?;
        tx.commit()?;
    }
    Ok(())
}

/// How many steps of the ladder were climbed.
pub(super) fn version_of(connection: &Connection) -> Result<u32, Error> {
    connection.query_row("SELECT user_version FROM pragma_user_version", [], |row| {
        row.get(0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn version(connection: &Connection) -> u32 {
        connection
            .query_row("SELECT user_version FROM pragma_user_version", [], |r| {
                r.get(0)
            })
            .expect("version")
    }

    #[test]
    fn each_step_is_climbed_once_and_a_failing_one_leaves_the_one_below() {
        let mut c = Connection::open_in_memory().expect("memory");
        let first = "CREATE TABLE a (x INTEGER) STRICT; INSERT INTO a VALUES (7);";
        climb(&mut c, &[first]).expect("first step");
        climb(&mut c, &[first]).expect("nothing to do");
        assert_eq!(version(&c), 1);
        let broken = "ALTER TABLE a ADD COLUMN y INTEGER; INSERT INTO nowhere VALUES (1);";
        climb(&mut c, &[first, broken]).expect_err("no such table");
        assert_eq!(version(&c), 1);
        let second = "ALTER TABLE a ADD COLUMN y INTEGER NOT NULL DEFAULT 3;";
        climb(&mut c, &[first, second]).expect("second step");
        assert_eq!(version(&c), 2);
        let row: (i32, i32) = c
            .query_row("SELECT x, y FROM a", [], |r| Ok((r.get(0)?, r.get(1)?)))
            .expect("the row is still there");
        assert_eq!(row, (7, 3));
    }
}
