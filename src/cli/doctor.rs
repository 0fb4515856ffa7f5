//! `fillcall doctor`: what is wrong with the panel, and what to do?

use super::words::how_many;
use super::{Outcome, USUAL_BAY, print};
use fillcall::bay::ports::Extent;
use fillcall::bay::setup::{Profile, Setup, Voice};
use fillcall::doctor::{self, Finding, Root, Told};
use fillcall::store::records::past_of;
use fillcall::store::setup_file::read_bay;
use fillcall::store::{SETUP_FILE, clock, records_path};
use fillcall::trade::text::Text;
use std::path::{Path, PathBuf};

/// Looks at the panel whose files are below `root`, and at the bay on it.
pub fn run(bay: Option<PathBuf>, root: &Path, json: bool) -> Outcome {
    if !root.is_dir() {
        return Err(format!("{} is no folder", root.display()));
    }
    let bay = bay.unwrap_or_else(|| root.join(USUAL_BAY.trim_start_matches('/')));
    let (setup, on_setup) = set_up(&bay);
    let told = told(root, bay, setup.as_ref(), Extent::All);
    let mut findings = vec![on_setup];
    findings.extend(doctor::look(&Root::of_this_machine(root), &told));
    print(&match json {
        true => doctor::json(&findings)?,
        false => doctor::text(&findings),
    })?;
    match doctor::wrong(&findings) {
        0 => Ok(()),
        wrong => Err(how_many(wrong, "thing is wrong", "things are wrong")),
    }
}

/// What is known beside the files of the panel, as far as it is needed for looking at so much of it.
fn told(root: &Path, bay: PathBuf, setup: Option<&Setup>, extent: Extent) -> Told {
    let newest = match extent {
        Extent::All => past_of(&records_path(&bay)).map(|past| past.newest),
        _ => Ok(None),
    };
    Told {
        profile: setup.map(|setup| setup.panel.profile),
        silent: setup.is_some_and(|setup| setup.voice == Voice::Off),
        in_window: false,
        // After the records were read: a wash that is counted meanwhile is not of the future.
        newest: newest.map_err(|fault| fault.message),
        now: clock::now(),
        watchdog_usec: std::env::var("WATCHDOG_USEC")
            .ok()
            .filter(|_| root == Path::new("/")),
        bay,
    }
}

/// Looks at so much of this machine for the wall of a bay, which may be in a window, and laid out for
/// another panel than that of its set-up.
pub fn for_the_wall(
    bay: &Path,
    profile: Option<Profile>,
    in_window: bool,
    extent: Extent,
) -> Vec<Finding> {
    let root = Path::new("/");
    let setup = match extent {
        Extent::Inputs => None,
        _ => read_bay(bay).ok(),
    };
    let mut told = told(root, bay.to_owned(), setup.as_ref(), extent);
    told.profile = profile.or(told.profile);
    told.in_window = in_window;
    doctor::look_at(&Root::of_this_machine(root), &told, extent)
}

/// The set-up where it can be read, and what is to be said of it.
fn set_up(bay: &Path) -> (Option<Setup>, Finding) {
    const WHAT: &str = "set-up";
    // A folder that may not be looked into is not one without a set-up.
    if bay.join(SETUP_FILE).try_exists().is_ok_and(|there| !there) {
        let says = "There is none yet. The wall asks for it, one question after another.";
        return (None, Finding::not_here(WHAT, says));
    }
    match read_bay(bay) {
        Err(faults) => {
            let count = how_many(faults.len(), "mistake", "mistakes");
            let first = faults.first().map(ToString::to_string).unwrap_or_default();
            let says = format!("{count} in {SETUP_FILE}. {first}");
            let remedy = format!("See them all: fillcall check {}", bay.display());
            let (says, remedy) = (Text::from_plain(says), Text::from_plain(remedy));
            (None, Finding::wrong(WHAT, says, remedy))
        }
        Ok(setup) if setup.unfinished.is_some() => {
            let remedy = "Answer the questions on the wall screen.";
            let finding = Finding::warn(WHAT, "It is begun and not finished.", remedy);
            (Some(setup), finding)
        }
        Ok(setup) => {
            let says = Text::from_plain(format!("{}.", setup.name));
            let finding = Finding::good(WHAT, says);
            (Some(setup), finding)
        }
    }
}
