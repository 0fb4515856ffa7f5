//! A bay that a newer version of this program had in use, and copies of a bay to try one on.

use super::atomic::{write_bytes, write_text};
use super::fault::StoreFault;
use super::{SETUP_FILE, plain, records, records_path, setup_file, setup_path};
use records::WentBack;
use std::fs;
use std::path::{Path, PathBuf};

/// What going back came to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Back {
    /// The records, where a newer version had climbed further with them.
    pub records: Option<WentBack>,
    /// Where the newer version's set-up is, which this one could not read.
    pub setup_aside: Option<PathBuf>,
}

/// Makes the bay in `dir` one that this version can use again. A set-up that it cannot read is laid aside,
/// and that in `before`, from before the update, put into its place. Done twice it does no more than once.
///
/// # Errors
/// The records are such that this version cannot use them, or something cannot be read or written.
pub fn go_back(dir: &Path, before: Option<&Path>) -> Result<Back, StoreFault> {
    let records = records::go_back(&records_path(dir))?;
    let mut back = Back {
        records,
        setup_aside: None,
    };
    let path = setup_path(dir);
    if let Some(before) = before
        && path.exists()
        && setup_file::read_bay(dir).is_err()
    {
        let text = plain::text(before, "reading the set-up from before the update")?;
        setup_file::read(&text).map_err(|faults| StoreFault::Mistakes {
            file: before.to_owned(),
            faults,
        })?;
        plain::refuse(&path)?;
        let newer = fs::read(&path).map_err(|e| StoreFault::disk(&path, "reading it", &e))?;
        let aside = dir.join(format!("{SETUP_FILE}.newer"));
        write_bytes(&aside, &newer)?;
        write_text(&path, &text)?;
        back.setup_aside = Some(aside);
    }
    Ok(back)
}

/// Copies set-up and records of the bay in `dir` into a new folder; a wall may be at work on it.
///
/// # Errors
/// The folder is there already, or something cannot be read or written.
pub fn copy(dir: &Path, to: &Path) -> Result<(), StoreFault> {
    fs::create_dir(to).map_err(|e| StoreFault::disk(to, "making the folder", &e))?;
    let setup = setup_path(dir);
    if setup.symlink_metadata().is_ok() {
        write_text(&setup_path(to), &plain::text(&setup, "reading the set-up")?)?;
    }
    records::copy(&records_path(dir), &records_path(to))?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const SETUP: &str = include_str!("../../kiosk-setup/demo-bay/bay.toml");

    fn bay(setup: &str) -> tempfile::TempDir {
        let dir = tempfile::tempdir().expect("folder");
        fs::write(setup_path(dir.path()), setup).expect("file");
        dir
    }

    #[test]
    fn a_set_up_of_the_newer_version_is_laid_aside_and_one_that_can_be_read_stays() {
        let before = bay(SETUP);
        let dir = bay(&format!("# Changed meanwhile.\n{SETUP}"));
        let kept = setup_path(before.path());
        assert_eq!(go_back(dir.path(), Some(&kept)), Ok(Back::default()));
        let newer = format!("{SETUP}\n[a_thing_of_tomorrow]\nkey = 1\n");
        fs::write(setup_path(dir.path()), &newer).expect("file");
        let back = go_back(dir.path(), Some(&kept)).expect("back");
        let aside = back.setup_aside.expect("laid aside");
        assert_eq!(fs::read_to_string(aside).expect("kept"), newer);
        assert_eq!(
            fs::read_to_string(setup_path(dir.path())).expect("back"),
            SETUP
        );
        assert_eq!(go_back(dir.path(), Some(&kept)), Ok(Back::default()));
    }

    #[test]
    fn a_copy_has_the_set_up_and_the_records() {
        let dir = bay(SETUP);
        drop(records::SqliteRecords::open(&records_path(dir.path())).expect("made"));
        let parent = tempfile::tempdir().expect("folder");
        let to = parent.path().join("copy");
        copy(dir.path(), &to).expect("copied");
        assert_eq!(fs::read_to_string(setup_path(&to)).expect("there"), SETUP);
        records::climb(&records_path(&to)).expect("of this version");
        assert_eq!(go_back(&to, None), Ok(Back::default()));
        copy(dir.path(), &to).expect_err("nothing is written over");
    }
}
