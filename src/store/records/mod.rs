//! What happened in the bay, in `records.sqlite`: one transaction per happening, on disk before
//! [`Records::keep`] says so.
//!
//! **Why a write-ahead log.** The promise is that a wash that was shown as counted survives a
//! power cut a moment later. With SQLite's rollback journal in its usual form (`DELETE`) and
//! `synchronous=FULL` a commit is the deletion of the journal, and the folder is not synced after
//! it: a power cut can bring the journal back and with it the old state, which takes a confirmed
//! happening away (`synchronous=EXTRA` exists against just that). With the write-ahead log
//! (`WAL`) and `synchronous=FULL` every commit is appended to the log and the log is synced before
//! the commit returns. Each frame of the log carries a checksum chained to the one before, so that
//! a torn append is dropped as a whole and everything before it stands. The database file itself
//! is touched only when the log is carried over into it, with the log synced before and kept until
//! the database is synced too: a cut in the middle of that is repaired from the log. Both are easy
//! to test without a special disk: cut the log at any byte, tear the database at any byte of a
//! carrying over (`tests/store/`). It also lets the wall card be printed while the wall runs. The
//! one thing it asks for is a local disk, which a wall screen has.
//!
//! **Order.** Dates may be wrong after a power cut, so what came first is decided by the numbers
//! of the rows alone: every happening of any sort gets the next number from one table.

mod broken;
mod chain;
pub(crate) mod checks;
pub(crate) mod choices;
pub(crate) mod clock;
pub(crate) mod day;
pub(crate) mod drafts;
mod fault;
pub(crate) mod fills;
mod going_back;
pub(crate) mod history;
pub(crate) mod keep;
mod known;
pub(crate) mod lead;
mod log;
mod lost;
mod marker;
pub(crate) mod past;
pub(crate) mod rinses;
pub(crate) mod runs;
mod schema;
pub(crate) mod setups;
pub(crate) mod sound;
pub(crate) mod stamp;
pub(crate) mod stock;
mod summary;
mod watched;
pub(crate) mod weights;

pub(crate) use fault::explain;
pub use going_back::{WentBack, climb, copy, go_back};
pub use log::LogReader;
pub use lost::are_lost;
pub use schema::VERSION;
pub use summary::{Summary, history_of, log_of, past_of, summary};
pub(crate) use summary::{count, open_to_read};

use super::fault::StoreFault;
use crate::bay::records::{
    Entry, Happening, LastFill, Logged, Milestone, Past, Records, RecordsFault,
};
use crate::bay::setup_change::Place;
use chrono::{DateTime, FixedOffset};
use marker::Marker;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::time::Duration;
use watched::{Since, Watched};

/// How long a command that only reads waits for another program.
const PATIENCE: Duration = Duration::from_secs(2);
/// How long whoever keeps something waits for another program that is writing at this moment: a finger
/// is on the glass, which stands still meanwhile.
const WRITING_PATIENCE: Duration = Duration::from_millis(50);

/// More statements than there are.
const STATEMENTS: usize = 256;

/// Says that the bay of the records at `path` has some, so that they are missed when they vanish; of how
/// far they have come nothing is known from then on.
///
/// # Errors
/// The folder cannot be written.
pub(crate) fn mark_begun(path: &Path) -> Result<(), StoreFault> {
    marker::mark(path).map_err(|e| StoreFault::disk(&marker::path_of(path), "writing", &e))
}

/// The records of one bay, open for writing.
#[derive(Debug)]
pub struct SqliteRecords {
    connection: Connection,
    tables: chain::Tables,
    path: PathBuf,
    marker: Marker,
    /// The files as they were left, to see when they were taken away or written to.
    watched: Watched,
    /// Nothing could be kept last time, because another program was writing.
    locked: bool,
}

impl SqliteRecords {
    /// Opens the records, and makes them where there are none yet.
    ///
    /// # Errors
    /// The file cannot be opened or written, is damaged, is something else, or was written by a
    /// newer version of this program; it is then left as it is. Or there were records, and they are
    /// gone or have lost their end.
    pub fn open(path: &Path) -> Result<Self, RecordsFault> {
        Self::open_on(path, schema::LADDER)
    }

    /// As [`SqliteRecords::open`], with the tables of that ladder.
    fn open_on(path: &Path, ladder: &[&str]) -> Result<Self, RecordsFault> {
        let said = lost::must_be_there(path)?;
        only_files(path)?;
        let open = || -> Result<Connection, rusqlite::Error> {
            let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
                | OpenFlags::SQLITE_OPEN_CREATE
                | OpenFlags::SQLITE_OPEN_NO_MUTEX;
            let connection = Connection::open_with_flags(path, flags)?;
            connection.busy_timeout(WRITING_PATIENCE)?;
            // Until it is known to be ours: closing it must not carry its log over.
            connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
            connection.pragma_update(None, "foreign_keys", true)?;
            Ok(connection)
        };
        let mut connection = open().map_err(|e| explain(path, "opening them", &e))?;
        schema::check_on(&connection, path, ladder)?;
        let make = |connection: &mut Connection| -> Result<(), rusqlite::Error> {
            connection.pragma_update(None, "journal_mode", "WAL")?;
            connection.pragma_update(None, "synchronous", "FULL")?;
            schema::climb(connection, ladder)?;
            connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
            Ok(())
        };
        make(&mut connection).map_err(|e| explain(path, "opening them", &e))?;
        // The sums ask every table at each happening.
        connection.set_prepared_statement_cache_capacity(STATEMENTS);
        let tables =
            chain::Tables::of(&connection).map_err(|e| explain(path, "opening them", &e))?;
        let last = chain::last(&connection).map_err(|e| explain(path, "opening them", &e))?;
        lost::must_be_whole(path, said, last)?;
        // The name of a file just made must outlast a power cut as well as what is in it.
        super::atomic::sync_dir(super::atomic::folder_of(path))
            .map_err(|fault| RecordsFault::new(fault.to_string()))?;
        let (marker, watched) = (Marker::of(path), Watched::of(path));
        marker.note(watched.number(), last);
        Ok(Self {
            connection,
            tables,
            path: path.to_owned(),
            marker,
            watched,
            locked: false,
        })
    }

    /// Notes the text of the set-up file where it is not the one noted last, so that the records
    /// tell which set-up a fill was made under. True when it was a new one.
    ///
    /// # Errors
    /// As for [`Records::keep`].
    pub fn note_setup(
        &mut self,
        at: DateTime<FixedOffset>,
        text: &str,
    ) -> Result<bool, RecordsFault> {
        let explained = |e: rusqlite::Error, path: &Path| explain(path, "keeping the set-up", &e);
        let last = setups::last(&self.connection).map_err(|e| explained(e, &self.path))?;
        if last.as_deref() == Some(text) {
            return Ok(false);
        }
        self.in_transaction(|tx| setups::found(tx, at, text))?;
        Ok(true)
    }

    /// Does all of `work` or nothing of it.
    pub(crate) fn in_transaction<T>(
        &mut self,
        work: impl FnOnce(&Connection) -> Result<T, keep::Refusal>,
    ) -> Result<T, RecordsFault> {
        match self.watched.since() {
            Since::AsLeft => {}
            Since::TakenAway => return Err(fault::taken_away(&self.path)),
            Since::WrittenTo => return Err(fault::written_to(&self.path)),
        }
        let done = transact(&mut self.connection, &self.tables, work);
        self.watched = Watched::of(&self.path);
        let locked = matches!(&done, Err(keep::Refusal::Sql(e)) if fault::is_locked(e));
        if locked != self.locked {
            // Who tries again while another program is still writing is told at once.
            let patience = if locked {
                Duration::ZERO
            } else {
                WRITING_PATIENCE
            };
            let set = self.connection.busy_timeout(patience);
            set.map_err(|e| explain(&self.path, "writing them", &e))?;
            self.locked = locked;
        }
        let (done, last) = done.map_err(|refusal| match refusal {
            keep::Refusal::Sql(e) => explain(&self.path, "writing them", &e),
            keep::Refusal::Told(message) => RecordsFault::new(message),
        })?;
        self.marker.note(self.watched.number(), last);
        Ok(done)
    }

    /// Closes the records; what is in the log goes into the file, and nothing is left beside it.
    ///
    /// # Errors
    /// Something of it is not in the file. SQLite itself is silent about that when it closes.
    pub(crate) fn close(self) -> Result<(), RecordsFault> {
        let Self {
            connection, path, ..
        } = self;
        let explained = |e: &rusqlite::Error| explain(&path, "closing them", e);
        let busy: bool = connection
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))
            .map_err(|e| explained(&e))?;
        // Leaving the log for good takes it away, and fails where it could not be carried over.
        let mode: String = connection
            .query_row("PRAGMA journal_mode = DELETE", [], |row| row.get(0))
            .map_err(|e| explained(&e))?;
        if busy || mode != "delete" {
            return Err(fault::not_whole(&path));
        }
        connection.close().map_err(|(_, e)| explained(&e))
    }
}

/// All of `work`, or nothing of it; with it the number that was given last.
fn transact<T>(
    connection: &mut Connection,
    tables: &chain::Tables,
    work: impl FnOnce(&Connection) -> Result<T, keep::Refusal>,
) -> Result<(T, Entry), keep::Refusal> {
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Dropped without a commit, it is rolled back.
    let before = chain::last(&tx)?;
    let done = work(&tx)?;
    chain::seal(&tx, tables, before)?;
    let last = chain::last(&tx)?;
    tx.commit()?;
    Ok((done, last))
}

/// Refuses a link, a pipe and the like in the place of the records or of what SQLite keeps beside them.
fn only_files(path: &Path) -> Result<(), RecordsFault> {
    ["", "-wal", "-shm"].into_iter().try_for_each(|behind| {
        let mut name = path.as_os_str().to_owned();
        name.push(behind);
        super::plain::refuse(Path::new(&name))
            .map_err(|fault| RecordsFault::new(format!("the records cannot be opened: {fault}")))
    })
}

impl Records for SqliteRecords {
    fn keep(
        &mut self,
        at: DateTime<FixedOffset>,
        happening: &Happening,
    ) -> Result<Entry, RecordsFault> {
        self.in_transaction(|tx| keep::happening(tx, at, happening))
    }

    fn last(&mut self) -> Result<Entry, RecordsFault> {
        chain::last(&self.connection).map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn past(&mut self) -> Result<Past, RecordsFault> {
        past::past(&self.connection).map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn history(&mut self, sprayer: &str) -> Result<Vec<Milestone>, RecordsFault> {
        history::history(&self.connection, sprayer)
            .map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn know(&mut self, item: &Place) -> Result<bool, RecordsFault> {
        known::know(&self.connection, item).map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn last_fill(&mut self, sprayer: &str) -> Result<Option<LastFill>, RecordsFault> {
        fills::last_of(&self.connection, sprayer)
            .map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn log(&mut self, from: Entry) -> Result<Vec<Logged>, RecordsFault> {
        log::log(&self.connection, from).map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn first_since(&mut self, since: DateTime<FixedOffset>) -> Result<Entry, RecordsFault> {
        log::first_since(&self.connection, since)
            .map_err(|e| explain(&self.path, "reading them", &e))
    }

    fn is_locked(&self) -> bool {
        self.locked
    }

    fn stock_log(&mut self, since: DateTime<FixedOffset>) -> Result<Vec<Logged>, RecordsFault> {
        log::stock_log(&self.connection, since).map_err(|e| explain(&self.path, "reading them", &e))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_that_are_not_whole_in_their_file_do_not_close_as_if_they_were() {
        let dir = tempfile::tempdir().expect("folder");
        let path = dir.path().join("records.sqlite");
        let mut records = SqliteRecords::open(&path).expect("open");
        // Who reads an older state keeps the log from being carried over, as a full disk does.
        let reader = Connection::open(&path).expect("open");
        let look = "BEGIN; SELECT count(*) FROM happenings";
        reader.execute_batch(look).expect("it reads");
        let at = DateTime::parse_from_rfc3339("2026-05-04T08:00:00Z").expect("date");
        let chosen = Happening::SprayerChosen("gun".into());
        records.keep(at, &chosen).expect("kept");
        let fault = records.close().expect_err("the log is not carried over");
        assert!(fault.message.contains("records.sqlite"), "{fault}");
        drop(reader);
        let mut records = SqliteRecords::open(&path).expect("open");
        assert_eq!(
            records.past().expect("past").last_sprayer.as_deref(),
            Some("gun")
        );
        records.close().expect("closed");
        let mut names: Vec<_> = std::fs::read_dir(dir.path())
            .expect("folder")
            .map(|file| file.expect("file").path())
            .collect();
        names.sort();
        // The marker stays: it is what misses the records when they vanish.
        assert_eq!(
            names,
            [marker::path_of(&path), path],
            "nothing of SQLite is left beside it"
        );
    }

    #[test]
    fn every_commit_waits_for_the_disk() {
        let dir = tempfile::tempdir().expect("folder");
        let records = SqliteRecords::open(&dir.path().join("records.sqlite")).expect("open");
        let is = |pragma: &str| -> String {
            let sql = format!("SELECT CAST({pragma} AS TEXT) FROM pragma_{pragma}");
            let read = |row: &rusqlite::Row<'_>| row.get(0);
            records.connection.query_row(&sql, [], read).expect(pragma)
        };
        assert_eq!(is("journal_mode"), "wal");
        assert_eq!(
            is("synchronous"),
            "2",
            "FULL: the log is synced at each commit"
        );
        assert_eq!(is("foreign_keys"), "1");
    }
}
