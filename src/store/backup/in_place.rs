//! Putting a restored bay in the place of what was there, so that nothing is lost and nothing is
//! ever mixed.

use super::{Path, PathBuf, StoreFault};
use crate::bay::records::RecordsFault;
use crate::store::atomic::sync_dir;
use crate::store::{RECORDS_FILE, SETUP_FILE, plain, records_path, setup_path};
use chrono::NaiveDateTime;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::fs;
use std::time::Duration;

/// Files that SQLite keeps beside the records.
const BESIDE: [&str; 2] = ["records.sqlite-wal", "records.sqlite-shm"];
/// Where the new files are made, on the same disk as their place.
const STAGE: &str = ".restoring";

/// True when a bay, or a part of one, is in the folder.
pub(super) fn is_occupied(bay: &Path) -> bool {
    [SETUP_FILE, RECORDS_FILE, BESIDE[0]]
        .iter()
        .any(|name| bay.join(name).symlink_metadata().is_ok())
}

/// A folder in the bay's, in which the new files are made. Taken away again when dropped.
pub(super) struct Staged {
    dir: PathBuf,
}

impl Staged {
    /// Makes the bay's folder where it is not there, and an empty stage in it.
    pub fn begin(bay: &Path) -> Result<Self, StoreFault> {
        let dir = bay.join(STAGE);
        // Left over from a restore that was cut off.
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).map_err(|e| StoreFault::disk(&dir, "making the folder", &e))?;
        Ok(Self { dir })
    }

    /// Where the new file of that name is made.
    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.join(name)
    }

    /// Keeps aside what is in the bay, and puts the new files in its place. Gives the folder with
    /// the old ones, where there were any.
    pub fn put_in_place(
        &self,
        bay: &Path,
        now: NaiveDateTime,
    ) -> Result<Option<PathBuf>, StoreFault> {
        sync_dir(&self.dir)?;
        // Held to the end, so that no wall starts on the old records in between.
        let _held = hold(&records_path(bay))?;
        let aside = keep_aside(bay, now)?;
        for step in steps(bay, &self.dir) {
            step.take()
                .map_err(|e| half_way(bay, aside.as_deref(), &e))?;
        }
        sync_dir(bay)?;
        Ok(aside)
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        // What stays is taken away by the next restore, and harms nothing.
        let _ = fs::remove_dir_all(&self.dir);
    }
}

/// Takes the old records for this program alone and folds their log into them. `None` where there
/// are none, or where they are too damaged for that: they are kept aside as they are.
fn hold(records: &Path) -> Result<Option<Connection>, StoreFault> {
    // What is no file is nobody's records, and is kept aside as it is.
    if !records.exists() || plain::instead(records).is_some() {
        return Ok(None);
    }
    let take = || -> Result<Connection, rusqlite::Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(records, flags)?;
        connection.busy_timeout(Duration::from_millis(500))?;
        // Other files will lie in this place when it is closed.
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
        connection.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
        connection.execute_batch("BEGIN EXCLUSIVE; COMMIT")?;
        connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        Ok(connection)
    };
    match take() {
        Ok(connection) => Ok(Some(connection)),
        Err(e) => match e.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                Err(StoreFault::Records(RecordsFault::new(format!(
                    "fillcall is running on {}: stop it, then restore",
                    records.display()
                ))))
            }
            _ => Ok(None),
        },
    }
}

/// A second name for each old file, in a new folder inside the bay's: nothing is copied or
/// opened, so that nothing can go wrong half-way.
fn keep_aside(bay: &Path, now: NaiveDateTime) -> Result<Option<PathBuf>, StoreFault> {
    if !is_occupied(bay) {
        return Ok(None);
    }
    let aside = new_folder(bay, &format!("replaced-{}", now.format("%Y-%m-%d-%H%M%S")))?;
    match fill_aside(bay, &aside) {
        Ok(()) => Ok(Some(aside)),
        Err(fault) => {
            // Half of a bay would look like one; the whole one is where it was.
            let _ = fs::remove_dir_all(&aside);
            Err(fault)
        }
    }
}

fn fill_aside(bay: &Path, aside: &Path) -> Result<(), StoreFault> {
    for name in [SETUP_FILE, RECORDS_FILE, BESIDE[0]] {
        let (old, kept) = (bay.join(name), aside.join(name));
        if old.symlink_metadata().is_err() {
            continue;
        }
        // A stick formatted for other systems knows no second names.
        fs::hard_link(&old, &kept)
            .or_else(|_| fs::copy(&old, &kept).and_then(|_| fs::File::open(&kept)?.sync_all()))
            .map_err(|e| StoreFault::disk(&kept, "keeping the old bay aside", &e))?;
    }
    sync_dir(aside)?;
    sync_dir(bay)
}

/// A folder that was not there before.
fn new_folder(bay: &Path, name: &str) -> Result<PathBuf, StoreFault> {
    let names = std::iter::once(name.to_owned()).chain((2..100).map(|n| format!("{name}-{n}")));
    let mut last = None;
    for name in names {
        let dir = bay.join(name);
        match fs::create_dir(&dir) {
            Ok(()) => return Ok(dir),
            Err(e) => {
                let exists = e.kind() == std::io::ErrorKind::AlreadyExists;
                last = Some(StoreFault::disk(&dir, "making the folder", &e));
                if !exists {
                    break;
                }
            }
        }
    }
    Err(last.unwrap_or_else(|| StoreFault::NotEmpty(bay.to_owned())))
}

/// One move of the switch. After each the bay is either the old one, or one without a set-up, or
/// the new one.
enum Step {
    Remove(PathBuf),
    Rename(PathBuf, PathBuf),
}

impl Step {
    fn take(&self) -> std::io::Result<()> {
        match self {
            Self::Remove(path) => match fs::remove_file(path) {
                Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(()),
                done => done,
            },
            Self::Rename(from, to) => fs::rename(from, to),
        }
    }
}

/// The old set-up goes first and the new one comes last, so that a bay with a set-up is whole. The
/// old log must be gone before the new records come, and the old records before their log is: what
/// they are without it is an older past.
fn steps(bay: &Path, stage: &Path) -> Vec<Step> {
    let mut steps = vec![
        Step::Remove(setup_path(bay)),
        Step::Remove(records_path(bay)),
    ];
    steps.extend(BESIDE.map(|name| Step::Remove(bay.join(name))));
    steps.push(Step::Rename(stage.join(RECORDS_FILE), records_path(bay)));
    steps.push(Step::Rename(stage.join(SETUP_FILE), setup_path(bay)));
    steps
}

fn half_way(bay: &Path, aside: Option<&Path>, error: &std::io::Error) -> StoreFault {
    StoreFault::Disk {
        path: bay.to_owned(),
        wrong: format!("putting the restored bay in its place failed: {error}"),
        right: match aside {
            Some(aside) => format!(
                "check the disk and restore again with --replace; the old bay is whole in {}",
                aside.display()
            ),
            None => "check the disk and restore again with --replace".into(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(dir: &Path) -> (Option<String>, Option<String>) {
        let read = |path: PathBuf| fs::read_to_string(path).ok();
        (read(setup_path(dir)), read(records_path(dir)))
    }

    fn pair(setup: &str, records: &str) -> (Option<String>, Option<String>) {
        (Some(setup.into()), Some(records.into()))
    }

    /// A bay whose files are plain texts (records that cannot be opened are kept aside as well),
    /// and a stage with new ones.
    fn bay() -> (tempfile::TempDir, Staged) {
        let dir = tempfile::tempdir().expect("folder");
        fs::write(setup_path(dir.path()), "old set-up").expect("file");
        fs::write(records_path(dir.path()), "old records").expect("file");
        fs::write(dir.path().join(BESIDE[0]), "old log").expect("file");
        let staged = Staged::begin(dir.path()).expect("stage");
        fs::write(staged.path(SETUP_FILE), "new set-up").expect("file");
        fs::write(staged.path(RECORDS_FILE), "new records").expect("file");
        (dir, staged)
    }

    fn now() -> NaiveDateTime {
        chrono::NaiveDate::from_ymd_opt(2026, 3, 2)
            .and_then(|day| day.and_hms_opt(8, 15, 0))
            .expect("a date")
    }

    #[test]
    fn the_new_bay_is_in_place_and_the_old_one_aside() {
        let (dir, staged) = bay();
        let aside = staged
            .put_in_place(dir.path(), now())
            .expect("done")
            .expect("aside");
        assert_eq!(aside, dir.path().join("replaced-2026-03-02-081500"));
        assert_eq!(texts(&aside), pair("old set-up", "old records"));
        assert_eq!(
            fs::read_to_string(aside.join(BESIDE[0])).expect("log"),
            "old log"
        );
        assert_eq!(texts(dir.path()), pair("new set-up", "new records"));
        assert!(
            !dir.path().join(BESIDE[0]).exists(),
            "the old log would spoil the new records"
        );
        drop(staged);
        assert!(!dir.path().join(STAGE).exists());
        // A second one in the same second gets a folder of its own.
        let staged = Staged::begin(dir.path()).expect("stage");
        fs::write(staged.path(SETUP_FILE), "newer").expect("file");
        fs::write(staged.path(RECORDS_FILE), "newer").expect("file");
        let second = staged
            .put_in_place(dir.path(), now())
            .expect("done")
            .expect("aside");
        assert_eq!(texts(&second), pair("new set-up", "new records"));
        assert_eq!(texts(&aside), pair("old set-up", "old records"));
    }

    #[test]
    fn a_power_cut_after_any_step_leaves_nothing_mixed_and_nothing_lost() {
        let all = steps(Path::new("a"), Path::new("b")).len();
        for done in 0..=all {
            let (dir, staged) = bay();
            let aside = keep_aside(dir.path(), now())
                .expect("aside")
                .expect("there was a bay");
            for step in steps(dir.path(), &staged.dir).iter().take(done) {
                step.take().expect("step");
            }
            match texts(dir.path()) {
                (None, _) => assert!(done > 0 && done < all, "after {done}"),
                whole if done == 0 => assert_eq!(whole, pair("old set-up", "old records")),
                whole => assert_eq!(whole, pair("new set-up", "new records"), "after {done}"),
            }
            assert_eq!(
                texts(&aside),
                pair("old set-up", "old records"),
                "after {done}"
            );
            // The stage is still there as after a power cut; restoring again cleans up.
            std::mem::forget(staged);
            let again = Staged::begin(dir.path()).expect("stage");
            fs::write(again.path(SETUP_FILE), "new set-up").expect("file");
            fs::write(again.path(RECORDS_FILE), "new records").expect("file");
            again.put_in_place(dir.path(), now()).expect("done");
            assert_eq!(texts(dir.path()), pair("new set-up", "new records"));
            assert_eq!(texts(&aside), pair("old set-up", "old records"));
        }
    }
}
