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

pub(crate) mod checks;
pub(crate) mod choices;
pub(crate) mod day;
pub(crate) mod drafts;
mod fault;
pub(crate) mod fills;
pub(crate) mod history;
pub(crate) mod keep;
mod known;
pub(crate) mod lead;
mod log;
pub(crate) mod past;
pub(crate) mod rinses;
pub(crate) mod runs;
mod schema;
pub(crate) mod setups;
pub(crate) mod sound;
pub(crate) mod stamp;
pub(crate) mod stock;
mod summary;
pub(crate) mod weights;

pub(crate) use fault::explain;
pub use log::LogReader;
pub use schema::VERSION;
pub use summary::{Summary, history_of, log_of, past_of, summary};
pub(crate) use summary::{count, open_to_read};

use crate::bay::records::{
    Entry, Happening, LastFill, Logged, Milestone, Past, Records, RecordsFault,
};
use crate::bay::setup_change::Place;
use chrono::{DateTime, FixedOffset};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long a command that only reads waits for another program.
const PATIENCE: Duration = Duration::from_secs(2);
/// How long whoever keeps something waits for another program that is writing at this moment: a finger
/// is on the glass, which stands still meanwhile.
const WRITING_PATIENCE: Duration = Duration::from_millis(50);

/// The records of one bay, open for writing.
#[derive(Debug)]
pub struct SqliteRecords {
    connection: Connection,
    path: PathBuf,
    /// Device and number of the file that is open, to see when it was taken away.
    file: Option<(u64, u64)>,
    /// Nothing could be kept last time, because another program was writing.
    locked: bool,
}

impl SqliteRecords {
    /// Opens the records, and makes them where there are none yet.
    ///
    /// # Errors
    /// The file cannot be opened or written, is damaged, is something else, or was written by a
    /// newer version of this program; it is then left as it is.
    pub fn open(path: &Path) -> Result<Self, RecordsFault> {
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
        schema::check(&connection, path)?;
        let make = |connection: &mut Connection| -> Result<(), rusqlite::Error> {
            connection.pragma_update(None, "journal_mode", "WAL")?;
            connection.pragma_update(None, "synchronous", "FULL")?;
            schema::climb(connection, schema::LADDER)?;
            connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
            Ok(())
        };
        make(&mut connection).map_err(|e| explain(path, "opening them", &e))?;
        // The name of a file just made must outlast a power cut as well as what is in it.
        super::atomic::sync_dir(super::atomic::folder_of(path)).map_err(|fault| RecordsFault {
            message: fault.to_string(),
        })?;
        Ok(Self {
            connection,
            path: path.to_owned(),
            file: number_of(path),
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
        if self.file.is_none() || self.file != number_of(&self.path) {
            return Err(fault::taken_away(&self.path));
        }
        let done = transact(&mut self.connection, work);
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
        done.map_err(|refusal| match refusal {
            keep::Refusal::Sql(e) => explain(&self.path, "writing them", &e),
            keep::Refusal::Told(message) => RecordsFault { message },
        })
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

/// All of `work`, or nothing of it.
fn transact<T>(
    connection: &mut Connection,
    work: impl FnOnce(&Connection) -> Result<T, keep::Refusal>,
) -> Result<T, keep::Refusal> {
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Dropped without a commit, it is rolled back.
    let done = work(&tx)?;
    tx.commit()?;
    Ok(done)
}

/// Refuses a link, a pipe and the like in the place of the records or of what SQLite keeps beside them.
fn only_files(path: &Path) -> Result<(), RecordsFault> {
    ["", "-wal", "-shm"].into_iter().try_for_each(|behind| {
        let mut name = path.as_os_str().to_owned();
        name.push(behind);
        super::plain::refuse(Path::new(&name)).map_err(|fault| RecordsFault {
            message: format!("the records cannot be opened: {fault}"),
        })
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

/// Device and number of a file; `None` where there is none.
fn number_of(path: &Path) -> Option<(u64, u64)> {
    let meta = std::fs::metadata(path).ok()?;
    Some((meta.dev(), meta.ino()))
}

#[cfg(test)]
mod tests {
    use super::*;

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
