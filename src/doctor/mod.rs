//! What is wrong with the panel that the wall runs on, and what to do.
//!
//! One small module for each thing looked at. Each reads the files in which Linux tells about its
//! devices below a [`Root`], so that a folder can stand in for a whole panel.

mod backlight;
mod clock;
mod disk;
mod display;
mod inputs;
mod keys;
mod letters;
mod root;
mod sandbox;
mod settings;
mod sound;
mod sticks;
mod touch;
mod watchdog;
mod wear;

pub use root::{Root, Space, System, ThisMachine};

use crate::bay::setup::Profile;
use chrono::{DateTime, FixedOffset};
use serde::Serialize;
use std::path::PathBuf;

/// How something stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// As it must be.
    Good,
    /// The wall works, and something about it could be better.
    Warn,
    /// The wall does not work as it must.
    Wrong,
    /// There is nothing to look at.
    NotHere,
}

impl State {
    /// The word for it on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Warn => "warning",
            Self::Wrong => "WRONG",
            Self::NotHere => "not here",
        }
    }
}

/// What was found about one thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// What was looked at, in one or two words.
    pub what: &'static str,
    /// How it stands.
    pub state: State,
    /// What was found, in sentences.
    pub says: String,
    /// What to do about it, in sentences; empty where there is nothing to do.
    #[serde(rename = "do")]
    pub remedy: String,
}

impl Finding {
    /// Something that is as it must be.
    pub fn good(what: &'static str, says: impl Into<String>) -> Self {
        Self::new(what, State::Good, says, "")
    }
    /// Something that could be better.
    pub fn warn(what: &'static str, says: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(what, State::Warn, says, remedy)
    }
    /// Something that is wrong.
    pub fn wrong(what: &'static str, says: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(what, State::Wrong, says, remedy)
    }
    /// Something that cannot be looked at here.
    pub fn not_here(what: &'static str, says: impl Into<String>) -> Self {
        Self::new(what, State::NotHere, says, "")
    }

    fn new(
        what: &'static str,
        state: State,
        says: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            what,
            state,
            says: says.into(),
            remedy: remedy.into(),
        }
    }
}

/// What is known beside the files of the panel.
#[derive(Debug, Clone)]
pub struct Told {
    /// The bay's folder.
    pub bay: PathBuf,
    /// The panel of the set-up; `None` where there is no set-up that can be read.
    pub profile: Option<Profile>,
    /// True where the set-up wants no sound.
    pub silent: bool,
    /// The date that the clock shows.
    pub now: DateTime<FixedOffset>,
    /// The newest date in the records that is believed, if there is any; or why they cannot be read.
    pub newest: Result<Option<DateTime<FixedOffset>>, String>,
    /// The watchdog of this process in microseconds, as systemd told it.
    pub watchdog_usec: Option<String>,
}

/// Looks at everything.
pub fn look(root: &Root, told: &Told) -> Vec<Finding> {
    vec![
        display::look(root, told.profile),
        backlight::look(root),
        touch::look(root),
        keys::look(root),
        sound::card(root, told.silent),
        sound::mixer(root, told.silent),
        disk::room(root, &told.bay),
        disk::records(root),
        wear::look(root),
        clock::look(root, told),
        watchdog::look(root, told.watchdog_usec.as_deref()),
        letters::look(root),
        sandbox::look(root),
        sticks::look(root),
    ]
}

/// How many of them are wrong.
pub fn wrong(findings: &[Finding]) -> usize {
    let wrong = |finding: &&Finding| finding.state == State::Wrong;
    findings.iter().filter(wrong).count()
}

/// The findings for people: a line each, and what to do on the next.
pub fn text(findings: &[Finding]) -> String {
    let mut text = String::new();
    for finding in findings {
        let (state, what) = (finding.state.word(), finding.what);
        text.push_str(&format!("{state:<9} {what:<9} {}\n", finding.says));
        if !finding.remedy.is_empty() {
            text.push_str(&format!("{:<19} {}\n", "", finding.remedy));
        }
    }
    text
}

/// The findings as a list in JSON, each with `what`, `state`, `says` and `do`.
///
/// # Errors
/// They cannot be written as JSON.
pub fn json(findings: &[Finding]) -> Result<String, String> {
    serde_json::to_string_pretty(findings)
        .map(|text| text + "\n")
        .map_err(|error| error.to_string())
}

/// The finding for a folder that is the system of no running machine.
fn no_kernel(what: &'static str) -> Finding {
    Finding::not_here(what, "It is told by a running system only.")
}
