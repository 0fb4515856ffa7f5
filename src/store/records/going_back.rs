//! The way back from a newer version of this program, which added tables of its own.
//!
//! A newer version only adds tables. So its records are records of this version as soon as they say so:
//! the tables that this version does not know stay where they are with what is in them, and the check
//! sums go over them as before, because which tables there are is read from the schema (`chain`). What
//! was counted meanwhile is all there. A happening of which a part stands in such a table cannot be read
//! whole: what hangs on it is not used (`broken`). When the newer version comes back, it finds its tables
//! as it left them (`schema`).

use super::fault::{not_ours, not_whole};
use super::schema::{self, APPLICATION_ID, LADDER, VERSION};
use super::{SqliteRecords, WRITING_PATIENCE, chain, explain, lost, only_files};
use crate::bay::records::RecordsFault;
use rusqlite::{Connection, Error, OpenFlags, TransactionBehavior};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// What going back came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WentBack {
    /// The version of the tables that was found.
    pub from: u32,
    /// Happenings that this version cannot read whole.
    pub not_whole: u64,
}

/// Makes the records at `path`, climbed to by a newer version, ones of this version. `None` where there
/// is nothing to go back from. Done twice it does no more than once.
///
/// # Errors
/// The newer version did more than add tables: the records are then left as they are. Or they cannot be
/// read or written.
pub fn go_back(path: &Path) -> Result<Option<WentBack>, RecordsFault> {
    lost::must_be_there(path)?;
    only_files(path)?;
    if !path.exists() {
        return Ok(None);
    }
    let explained = |e: Error| explain(path, "going back to the older version", &e);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(explained)?;
    let done = in_connection(&mut connection, LADDER).map_err(|refused| match refused {
        Refused::Sql(e) => explained(e),
        Refused::NotOurs => not_ours(path),
        Refused::More(what) => RecordsFault::new(format!(
            "the records {} cannot be used by this version: a newer one did more than add tables ({what}); \
             install the newer version again, or bring back a backup",
            path.display()
        )),
    })?;
    connection.close().map_err(|(_, e)| explained(e))?;
    Ok(done)
}

/// Makes the records at `path` ones of this version, as a wall does that opens them.
///
/// # Errors
/// As for [`SqliteRecords::open`].
pub fn climb(path: &Path) -> Result<(), RecordsFault> {
    match path.exists() {
        true => SqliteRecords::open(path)?.close(),
        false => Ok(()),
    }
}

enum Refused {
    Sql(Error),
    NotOurs,
    More(String),
}

impl From<Error> for Refused {
    fn from(error: Error) -> Self {
        Self::Sql(error)
    }
}

fn in_connection(
    connection: &mut Connection,
    ladder: &[&str],
) -> Result<Option<WentBack>, Refused> {
    connection.busy_timeout(WRITING_PATIENCE)?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let from = schema::version_of(&tx)?;
    if from as usize <= ladder.len() {
        return Ok(None);
    }
    let id: i32 = tx.query_row(
        "SELECT application_id FROM pragma_application_id",
        [],
        |row| row.get(0),
    )?;
    if id != APPLICATION_ID {
        return Err(Refused::NotOurs);
    }
    let known = must_only_have_more(&tx, ladder)?;
    let tables = chain::Tables::of(&tx)?;
    for table in tables.drafts().filter(|table| !known.contains(*table)) {
        // This version could not take away the unfinished calibration under them. Its sum does not fit
        // then, so that it is begun again.
        tx.execute_batch(&format!("DELETE FROM \"{table}\""))?;
    }
    let not_whole = tables.owned_beyond(&tx, &known)?.len() as u64;
    let version = u32::try_from(ladder.len()).unwrap_or(VERSION);
    tx.pragma_update(None, "user_version", version)?;
    tx.commit()?;
    Ok(Some(WentBack { from, not_whole }))
}

/// What is in a schema, by kind and name: of which table, and how it was made.
type Parts = BTreeMap<(String, String), (String, Option<String>)>;

fn parts(connection: &Connection) -> Result<Parts, Error> {
    let mut query = connection.prepare("SELECT type, name, tbl_name, sql FROM sqlite_schema")?;
    let part =
        |row: &rusqlite::Row<'_>| Ok(((row.get(0)?, row.get(1)?), (row.get(2)?, row.get(3)?)));
    query.query_map([], part)?.collect()
}

/// Refuses what is not this ladder's tables, as it makes them, and others beside them. Gives the names of
/// the ladder's.
fn must_only_have_more(tx: &Connection, ladder: &[&str]) -> Result<BTreeSet<String>, Refused> {
    let plan = Connection::open_in_memory()?;
    ladder
        .iter()
        .try_for_each(|step| plan.execute_batch(step))?;
    let (mine, mut found) = (parts(&plan)?, parts(tx)?);
    for (part, made) in &mine {
        if found.remove(part).as_ref() != Some(made) {
            return Err(Refused::More(format!("{} is another", part.1)));
        }
    }
    let known: BTreeSet<String> = mine.into_keys().map(|(_, name)| name).collect();
    let beside =
        |kind: &str, of: &String| kind == "table" || (kind == "index" && !known.contains(of));
    match found.iter().find(|((kind, _), (of, _))| !beside(kind, of)) {
        Some(((kind, name), _)) => Err(Refused::More(format!("{kind} {name}"))),
        None => Ok(known),
    }
}

/// Copies the records at `path` as they are at this moment to a new file, without keeping a wall that
/// writes to them from it. `false` where there are none yet.
///
/// # Errors
/// They cannot be read, or the file cannot be written.
pub fn copy(path: &Path, to: &Path) -> Result<bool, RecordsFault> {
    lost::must_be_there(path)?;
    only_files(path)?;
    if !path.exists() {
        return Ok(false);
    }
    let look = || -> Result<(), Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(super::PATIENCE)?;
        connection
            .execute("VACUUM INTO ?", [to.to_string_lossy()])
            .map(drop)
    };
    look().map_err(|e| explain(path, "copying them", &e))?;
    match std::fs::metadata(to).is_ok_and(|meta| meta.len() > 0) {
        true => Ok(true),
        false => Err(not_whole(to)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{broken, past_of};
    use super::*;
    use crate::bay::records::{BrokenWhat, Happening, Records};
    use chrono::DateTime;
    use rusqlite::params;

    /// The step of a newer version: happenings, and the unfinished calibration, have more in them.
    const NEWER: &str = "-- A note to a happening; one to the draft.
CREATE TABLE notes (
    id      INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer TEXT,
    note    TEXT NOT NULL
) STRICT;
CREATE TABLE draft_notes (
    one  INTEGER PRIMARY KEY,
    note TEXT NOT NULL
) STRICT;";

    fn newer() -> Vec<&'static str> {
        LADDER.iter().copied().chain([NEWER]).collect()
    }

    fn at() -> DateTime<chrono::FixedOffset> {
        DateTime::parse_from_rfc3339("2026-05-04T08:00:00Z").expect("a date")
    }

    fn wash() -> Happening {
        Happening::Wash {
            sprayer: "gun".into(),
            chemical: "soap".into(),
        }
    }

    fn washes(path: &Path) -> u64 {
        super::super::summary(path).expect("readable").washes
    }

    fn faults(path: &Path) -> Vec<BrokenWhat> {
        let connection = super::super::open_to_read(path)
            .expect("readable")
            .expect("there");
        let faults = broken::faults(&connection).expect("readable");
        faults.into_iter().map(|fault| fault.what).collect()
    }

    /// A happening of the newer version: something was said of a sprayer's dose, or of the whole bay's.
    fn noted(records: &mut SqliteRecords, sprayer: Option<&str>) {
        let change = |tx: &Connection| {
            let id = super::super::keep::next(tx, "noted", at(), None)?;
            tx.execute(
                "INSERT INTO notes VALUES (?, ?, 'halved')",
                params![id, sprayer],
            )?;
            Ok(())
        };
        records.in_transaction(change).expect("kept");
    }

    #[test]
    fn what_was_counted_by_the_newer_version_stays_and_the_sums_fit() {
        let dir = tempfile::tempdir().expect("folder");
        let path = dir.path().join("records.sqlite");
        let mut records = SqliteRecords::open(&path).expect("open");
        records.keep(at(), &wash()).expect("kept");
        drop(records);
        assert_eq!(go_back(&path), Ok(None), "nothing to go back from");
        let mut records = SqliteRecords::open_on(&path, &newer()).expect("climbed");
        for _ in 0..3 {
            records.keep(at(), &wash()).expect("kept");
        }
        drop(records);
        SqliteRecords::open(&path).expect_err("it is newer");
        let went = go_back(&path).expect("back");
        assert_eq!(
            went,
            Some(WentBack {
                from: VERSION + 1,
                not_whole: 0
            })
        );
        assert_eq!(go_back(&path), Ok(None), "once is enough");
        let mut records = SqliteRecords::open(&path).expect("of this version again");
        records.keep(at(), &wash()).expect("kept");
        drop(records);
        assert_eq!((washes(&path), faults(&path)), (5, vec![]));
        // And up again, and back once more.
        let mut records = SqliteRecords::open_on(&path, &newer()).expect("its tables are there");
        records.keep(at(), &wash()).expect("kept");
        drop(records);
        assert!(go_back(&path).expect("back").is_some());
        assert_eq!((washes(&path), faults(&path)), (6, vec![]));
    }

    #[test]
    fn what_hangs_on_something_that_cannot_be_read_whole_is_not_used() {
        let dir = tempfile::tempdir().expect("folder");
        let path = dir.path().join("records.sqlite");
        let mut records = SqliteRecords::open_on(&path, &newer()).expect("made");
        noted(&mut records, Some("gun"));
        records
            .in_transaction(|tx| Ok(tx.execute("INSERT INTO draft_notes VALUES (1, 'half')", [])?))
            .expect("kept");
        drop(records);
        let went = go_back(&path).expect("back").expect("newer");
        assert_eq!(went.not_whole, 1);
        assert_eq!(faults(&path), [BrokenWhat::Draft, BrokenWhat::Newer]);
        let past = past_of(&path).expect("readable");
        let newer_one = past.broken.iter().find(|b| b.what == BrokenWhat::Newer);
        let newer_one = newer_one.expect("told");
        assert!(newer_one.no_dose.contains("gun"), "{newer_one:?}");
        // The newer version can read it again.
        let records = SqliteRecords::open_on(&path, &newer()).expect("up again");
        let notes: u32 = records
            .connection
            .query_row("SELECT count(*) FROM notes", [], |row| row.get(0))
            .expect("its table");
        assert_eq!(notes, 1);
    }

    #[test]
    fn a_newer_version_that_did_more_than_add_tables_is_not_gone_back_from() {
        for more in [
            "ALTER TABLE washes ADD COLUMN more TEXT",
            "CREATE UNIQUE INDEX one ON washes (sprayer)",
            "CREATE TRIGGER t AFTER INSERT ON washes BEGIN SELECT 1; END",
            "DROP TABLE washes",
        ] {
            let dir = tempfile::tempdir().expect("folder");
            let path = dir.path().join("records.sqlite");
            drop(SqliteRecords::open(&path).expect("made"));
            let connection = Connection::open(&path).expect("open");
            let version = VERSION + 1;
            connection
                .execute_batch(&format!("{more}; PRAGMA user_version = {version}"))
                .expect("newer");
            drop(connection);
            let fault = go_back(&path).expect_err(more).message;
            assert!(fault.contains("did more than add tables"), "{fault}");
            let connection = Connection::open(&path).expect("open");
            assert_eq!(schema::version_of(&connection), Ok(version), "{more}");
        }
    }

    #[test]
    fn another_table_of_the_name_is_not_taken_for_the_newer_versions() {
        let mut connection = Connection::open_in_memory().expect("memory");
        schema::climb(&mut connection, LADDER).expect("tables");
        connection
            .execute_batch("CREATE TABLE notes (other TEXT)")
            .expect("another");
        let fault = schema::climb(&mut connection, &newer()).expect_err("refused");
        assert!(fault.to_string().contains("already exists"), "{fault}");
    }

    #[test]
    fn a_copy_is_made_beside_a_wall_that_writes() {
        let dir = tempfile::tempdir().expect("folder");
        let (path, to) = (
            dir.path().join("records.sqlite"),
            dir.path().join("copy.sqlite"),
        );
        assert_eq!(copy(&path, &to), Ok(false));
        let mut records = SqliteRecords::open(&path).expect("open");
        records.keep(at(), &wash()).expect("kept");
        assert_eq!(copy(&path, &to), Ok(true));
        records.keep(at(), &wash()).expect("kept");
        assert_eq!((washes(&to), faults(&to)), (1, vec![]));
        copy(&path, &to).expect_err("nothing is written over");
    }
}
