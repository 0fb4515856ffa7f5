//! What is wrong with the panel that the wall runs on, and what to do.
//!
//! One small module for each thing looked at. Each reads the files in which Linux tells about its
//! devices below a [`Root`], so that a folder can stand in for a whole panel.

mod at_the_wall;
mod backlight;
mod clock;
mod disk;
mod display;
mod inputs;
mod keys;
mod letters;
mod root;
mod sandbox;
mod set_clock;
mod settings;
mod sound;
mod sticks;
mod touch;
mod watchdog;
mod wear;

pub use crate::bay::panel::{Finding, State};
pub use at_the_wall::{AtTheWall, Looks};
pub use root::{Root, Space, System, ThisMachine};
pub use set_clock::SystemClock;

use crate::bay::ports::Extent;
use crate::bay::setup::Profile;
use chrono::{DateTime, FixedOffset};
use serde::Serialize;
use std::cell::LazyCell;
use std::path::PathBuf;

/// What is known beside the files of the panel.
#[derive(Debug, Clone)]
pub struct Told {
    /// The bay's folder.
    pub bay: PathBuf,
    /// The panel of the set-up; `None` where there is no set-up that can be read.
    pub profile: Option<Profile>,
    /// True where the set-up wants no sound.
    pub silent: bool,
    /// True for a wall in a window, which is no panel: it needs no display and no glass of its own.
    pub in_window: bool,
    /// The date that the clock shows.
    pub now: DateTime<FixedOffset>,
    /// The newest date in the records that is believed, if there is any; or why they cannot be read.
    pub newest: Result<Option<DateTime<FixedOffset>>, String>,
    /// The watchdog of this process in microseconds, as systemd told it.
    pub watchdog_usec: Option<String>,
}

/// The words for how something stands on the command line and in JSON.
const fn words(state: State) -> (&'static str, &'static str) {
    match state {
        State::Good => ("good", "good"),
        State::Warn => ("warning", "warn"),
        State::Wrong => ("WRONG", "wrong"),
        State::NotHere => ("not here", "not-here"),
    }
}

/// Looks at everything.
pub fn look(root: &Root, told: &Told) -> Vec<Finding> {
    look_at(root, told, Extent::All)
}

/// Looks at so much of it.
pub fn look_at(root: &Root, told: &Told, extent: Extent) -> Vec<Finding> {
    // Read once, by whichever needs them first.
    let cards = LazyCell::new(|| sound::cards(root));
    let all: [(Extent, &dyn Fn() -> Finding); 14] = [
        (Extent::Disk, &|| display::look(root, told)),
        (Extent::All, &|| backlight::look(root)),
        (Extent::Inputs, &|| touch::look(root, told.in_window)),
        (Extent::All, &|| keys::look(root)),
        (Extent::All, &|| sound::card(root, &cards, told.silent)),
        (Extent::Sound, &|| sound::mixer(root, &cards, told.silent)),
        (Extent::Disk, &|| disk::room(root, &told.bay)),
        (Extent::Disk, &|| disk::records(root)),
        (Extent::All, &|| wear::look(root)),
        (Extent::All, &|| clock::look(root, told)),
        (Extent::All, &|| {
            watchdog::look(root, told.watchdog_usec.as_deref())
        }),
        (Extent::All, &|| letters::look(root)),
        (Extent::All, &|| sandbox::look(root)),
        (Extent::All, &|| sticks::look(root)),
    ];
    let wanted = all
        .into_iter()
        .filter(|(of, _)| extent == Extent::All || *of == extent);
    wanted.map(|(_, look)| as_seen(root, look)).collect()
}

/// What was found, where all of it could be seen. The wall's own user may not look at everything: what
/// is only hidden from it is no fault.
fn as_seen(root: &Root, look: &dyn Fn() -> Finding) -> Finding {
    let _ = root.was_denied();
    let finding = look();
    let is_fault = matches!(finding.state, State::Wrong | State::Warn);
    match root.was_denied() && is_fault {
        true => Finding::not_here(
            finding.what,
            "Not seen from here: run fillcall doctor as root.",
        ),
        false => finding,
    }
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
        let (state, what) = (words(finding.state).0, finding.what);
        text.push_str(&format!("{state:<9} {what:<9} {}\n", finding.says));
        if !finding.remedy.is_empty() {
            text.push_str(&format!("{:<19} {}\n", "", finding.remedy));
        }
    }
    text
}

/// A finding as it stands in JSON.
#[derive(Serialize)]
struct Row {
    what: &'static str,
    state: &'static str,
    says: String,
    #[serde(rename = "do")]
    remedy: String,
}

impl Row {
    fn of(finding: &Finding) -> Self {
        Self {
            what: finding.what,
            state: words(finding.state).1,
            says: finding.says.to_string(),
            remedy: finding.remedy.to_string(),
        }
    }
}

/// The findings as a list in JSON, each with `what`, `state`, `says` and `do`.
///
/// # Errors
/// They cannot be written as JSON.
pub fn json(findings: &[Finding]) -> Result<String, String> {
    let rows: Vec<Row> = findings.iter().map(Row::of).collect();
    serde_json::to_string_pretty(&rows)
        .map(|text| text + "\n")
        .map_err(|error| error.to_string())
}

/// The finding for a folder that is the system of no running machine.
fn no_kernel(what: &'static str) -> Finding {
    Finding::not_here(what, "It is told by a running system only.")
}

/// The finding for a wall in a window.
fn in_window(what: &'static str) -> Finding {
    Finding::not_here(what, "The wall is in a window here, and on no panel.")
}
