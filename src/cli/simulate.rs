//! `fillcall simulate`: training at the wall without a lance, in a bay of its own.
//!
//! A training bay is known by the file [`MARKER`] in its folder, whichever way the wall is opened.

use super::{Outcome, wall};
use fillcall::bay::setup::Profile;
use fillcall::store::{TRAINING_FILE, atomic, plain, setup_path};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

/// The file that makes a folder a training bay.
const MARKER: &str = TRAINING_FILE;
/// The set-up of the demonstration bay, which training is done with.
const SETUP: &str = include_str!("../../kiosk-setup/demo-bay/bay.toml");
const DEMO_NAME: &str = "\"DEMONSTRATION: ";
const TRAINING_NAME: &str = "\"TRAINING: ";

/// What the marker says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Marker {
    /// What the truth of its sprayers is drawn from.
    seed: u64,
}

fn marker_path(dir: &Path) -> PathBuf {
    dir.join(MARKER)
}

/// The seed of a training bay; `None` for any other folder.
///
/// # Errors
/// The marker is there but says nothing that can be used.
pub fn seed_of(dir: &Path) -> Result<Option<u64>, String> {
    let path = marker_path(dir);
    plain::refuse(&path).map_err(|fault| fault.to_string())?;
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(format!("{} cannot be read: {error}", path.display())),
    };
    toml::from_str(&text)
        .map(|marker: Marker| Some(marker.seed))
        .map_err(|error| {
            format!(
                "{} is not what `fillcall simulate` wrote ({}). Write \"seed = 1\" into it, or \
                begin a new training bay in another folder.",
                path.display(),
                error.message()
            )
        })
}

/// Makes the training bay where there is none yet, and opens its wall.
pub fn run(dir: &Path, seed: Option<u64>, windowed: bool, profile: Option<Profile>) -> Outcome {
    make(dir, seed)?;
    wall::run(dir, windowed, profile)
}

fn make(dir: &Path, seed: Option<u64>) -> Outcome {
    if let Some(made_with) = seed_of(dir)? {
        return match seed {
            Some(seed) if seed != made_with => Err(format!(
                "{} was made with the seed {made_with}. Leave --seed out to go on with it, or name \
                another folder for {seed}.",
                dir.display()
            )),
            // Cut off between the two files, or its set-up was taken away.
            _ if !setup_path(dir).exists() => write_setup(dir),
            _ => Ok(()),
        };
    }
    let fault = |error: std::io::Error| format!("{} cannot be used: {error}", dir.display());
    std::fs::create_dir_all(dir).map_err(fault)?;
    if std::fs::read_dir(dir).map_err(fault)?.next().is_some() {
        return Err(format!(
            "{} holds something that is no training bay, and training never writes into that. Name \
            an empty folder, or one that is not there yet.",
            dir.display()
        ));
    }
    let by_time = || {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        // The last digits, so that it can be said and typed.
        since.map_or(0, |since| since.as_millis() as u64 % 1_000_000)
    };
    let marker = Marker {
        seed: seed.unwrap_or_else(by_time),
    };
    // The marker first: what is cut off after it is known for training all the same.
    let text = format!(
        "# This folder is a training bay: nothing in it was measured on a real sprayer.\n{}",
        toml::to_string(&marker).map_err(|error| error.to_string())?
    );
    atomic::write_text(&marker_path(dir), &text).map_err(|fault| fault.to_string())?;
    write_setup(dir)
}

fn write_setup(dir: &Path) -> Outcome {
    atomic::write_text(&setup_path(dir), &setup()).map_err(|fault| fault.to_string())
}

fn setup() -> String {
    SETUP.replacen(DEMO_NAME, TRAINING_NAME, 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use fillcall::store::setup_file::{read, read_bay};

    #[test]
    fn the_set_up_is_the_demonstrations_under_another_name() {
        let (training, demo) = (read(&setup()).expect("good"), read(SETUP).expect("good"));
        assert!(training.name.starts_with("TRAINING: "), "{}", training.name);
        assert!(training.demo);
        assert_eq!(training.sprayers, demo.sprayers);
    }

    #[test]
    fn a_training_bay_is_made_once_and_gone_on_with() {
        let folder = tempfile::tempdir().expect("a folder");
        let bay = folder.path().join("new/training");
        assert_eq!(seed_of(&bay), Ok(None));
        make(&bay, Some(7)).expect("made");
        assert_eq!(seed_of(&bay), Ok(Some(7)));
        assert!(read_bay(&bay).is_ok());
        let marked = std::fs::read_to_string(marker_path(&bay)).expect("the marker");
        make(&bay, None).expect("gone on with");
        make(&bay, Some(7)).expect("gone on with");
        assert_eq!(
            std::fs::read_to_string(marker_path(&bay)).ok(),
            Some(marked)
        );
        let other = make(&bay, Some(8)).expect_err("another seed");
        assert!(
            other.contains("seed 7") && other.contains("another folder"),
            "{other}"
        );
        // Cut off after the marker.
        std::fs::remove_file(setup_path(&bay)).expect("removed");
        make(&bay, None).expect("made whole");
        assert!(read_bay(&bay).is_ok());
        std::fs::write(marker_path(&bay), "seed = \"x\"").expect("written");
        let broken = make(&bay, None).expect_err("a broken marker");
        assert!(broken.contains("seed = 1"), "{broken}");
    }

    #[test]
    fn a_real_bay_is_never_trained_in() {
        let folder = tempfile::tempdir().expect("a folder");
        for file in ["bay.toml", "records.sqlite", "notes.txt"] {
            let bay = folder.path().join(file);
            std::fs::create_dir(&bay).expect("a folder");
            std::fs::write(bay.join(file), SETUP).expect("written");
            let refused = make(&bay, Some(1)).expect_err("refused");
            assert!(refused.contains("empty folder"), "{refused}");
            assert_eq!(
                std::fs::read_dir(&bay).expect("a folder").count(),
                1,
                "{file}"
            );
        }
        // A file is no folder.
        let file = folder.path().join("file");
        std::fs::write(&file, "").expect("written");
        assert!(make(&file, None).is_err());
    }
}
