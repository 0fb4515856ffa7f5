//! A newer version of this program, on the shift lead's side: looked for on a stick, asked for, and what
//! became of it. Whoever installs it is another program; the wall stops and starts meanwhile.

use super::action::Effect;
use super::at_work::Bay;
use super::ports::{Fit, Looked, OnlyToLookAt, Tone, UpdateHow, UpdateTold, Updates};
use crate::text;
use crate::trade::text::Text;
use std::time::Duration;

/// How often it is seen how far it has come.
const LOOK_AGAIN: Duration = Duration::from_millis(500);
/// An end that is older was told by a wall before this one.
const FRESH_SECONDS: i64 = 15 * 60;
/// What was asked for begins within this time, or nobody hears.
const HEARD: Duration = Duration::from_secs(30);

/// What can be done there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UpdateAction {
    /// Look on the stick.
    Look,
    /// Install the package that was found. Asked for by a held press only.
    Install,
    /// Take the key that was found. Asked for by a held press only.
    TakeKey,
}

/// What is in hand there.
pub(super) struct Updating {
    port: Box<dyn Updates>,
    looked: Option<Looked>,
    told: UpdateTold,
    key: Option<String>,
    /// When something was asked for that has not begun yet.
    asked: Option<Duration>,
    /// When it was looked last.
    seen: Duration,
}

impl Default for Updating {
    fn default() -> Self {
        Self {
            port: Box::new(OnlyToLookAt),
            looked: None,
            told: UpdateTold::default(),
            key: None,
            asked: None,
            seen: Duration::ZERO,
        }
    }
}

impl Bay {
    /// Newer versions can be installed. One that was installed just before is told.
    pub fn with_updates(mut self, port: Box<dyn Updates>) -> Self {
        self.updating.port = port;
        self.updating.told = self.updating.port.told();
        let now = self.now.wall.timestamp();
        let end = self.updating.told.end.as_ref();
        let is_fresh = end.is_some_and(|end| (0..FRESH_SECONDS).contains(&(now - end.at)));
        if is_fresh && !self.is_updating() {
            self.tell_the_end();
        }
        self
    }

    /// The version that runs.
    pub fn version(&self) -> String {
        self.updating.port.running()
    }

    /// True where this wall can be updated at its screen.
    pub fn may_update(&self) -> bool {
        self.updating.port.is_possible()
    }

    /// The number of the public key that packages are held against.
    pub fn update_key(&self) -> Option<&str> {
        self.updating.key.as_deref()
    }

    /// What came of looking for a newer version.
    pub fn update_looked(&self) -> Option<&Looked> {
        self.updating.looked.as_ref()
    }

    /// How far an update is, and how the last one ended.
    pub fn update_told(&self) -> &UpdateTold {
        &self.updating.told
    }

    /// True while a stick is looked at.
    pub(super) fn is_looking(&self) -> bool {
        self.updating.looked == Some(Looked::Busy)
    }

    /// True where an update goes on or was asked for.
    pub fn is_updating(&self) -> bool {
        self.updating.told.step.is_some() || self.updating.asked.is_some()
    }

    pub(super) fn updating_open(&mut self) {
        // What was found the last time may be another stick's.
        if !self.is_updating() && !self.is_looking() {
            self.updating.looked = None;
        }
        self.updating.key = self.updating.port.key();
        self.updating.told = self.updating.port.told();
    }

    pub(super) fn updating_act(&mut self, action: UpdateAction) -> Vec<Effect> {
        if !self.may_update() || self.is_updating() || self.is_looking() {
            return vec![Effect::Tone(Tone::Refused)];
        }
        match action {
            // One job at a time is at a stick.
            UpdateAction::Look if self.taking().is_busy() => {
                self.refuse("Something is being put on the stick: wait until it can be pulled out.")
            }
            UpdateAction::Look => {
                self.updating.port.look();
                self.updating.looked = Some(Looked::Busy);
                Vec::new()
            }
            UpdateAction::Install => match &self.updating.looked {
                Some(Looked::Found {
                    package: Some(package),
                    ..
                }) if package.fit == Fit::Newer => {
                    let asked = self.updating.port.install();
                    self.asked(asked)
                }
                _ => vec![Effect::Tone(Tone::Refused)],
            },
            UpdateAction::TakeKey => match &self.updating.looked {
                Some(Looked::Found { key: Some(_), .. }) => {
                    let asked = self.updating.port.take_key();
                    self.asked(asked)
                }
                _ => vec![Effect::Tone(Tone::Refused)],
            },
        }
    }

    fn asked(&mut self, asked: Result<(), String>) -> Vec<Effect> {
        match asked {
            Ok(()) => {
                self.updating.asked = Some(self.now.monotonic);
                self.updating.looked = None;
                Vec::new()
            }
            Err(said) => self.refuse(text!("It could not be asked for: {}", said)),
        }
    }

    /// Time goes by. The wall starts in the middle of an update, and then waits for its end.
    pub(super) fn updating_tick(&mut self) -> Vec<Effect> {
        let now = self.now.monotonic;
        let waits = self.is_updating() || self.is_looking();
        if !waits || now < self.updating.seen + LOOK_AGAIN {
            return Vec::new();
        }
        self.updating.seen = now;
        if self.is_looking() {
            self.updating.looked = self.updating.port.looked();
        }
        if !self.is_updating() {
            return Vec::new();
        }
        let before = std::mem::replace(&mut self.updating.told, self.updating.port.told());
        if self.updating.told.step.is_some() {
            self.updating.asked = None;
        }
        if self.updating.told.end != before.end {
            self.updating.asked = None;
            self.updating.key = self.updating.port.key();
            return self.tell_the_end();
        }
        if self
            .updating
            .asked
            .is_some_and(|asked| now >= asked + HEARD)
        {
            self.updating.asked = None;
            return self.refuse("Nobody did what was asked for: fillcall-update is not running.");
        }
        Vec::new()
    }

    /// Says how it ended, wherever one is.
    fn tell_the_end(&mut self) -> Vec<Effect> {
        let Some((words, is_good)) = self.end_words() else {
            return Vec::new();
        };
        match is_good {
            true => {
                self.notify(words, None);
                Vec::new()
            }
            false => self.refuse(words),
        }
    }

    /// How the last update ended, in a sentence, and whether that is what was wanted.
    pub fn end_words(&self) -> Option<(Text, bool)> {
        let end = self.updating.told.end.as_ref()?;
        let at = chrono::DateTime::from_timestamp(end.at, 0)
            .map(|at| at.with_timezone(&self.now.wall.timezone()))
            .map_or(String::new(), |at| at.format("%Y-%m-%d %H:%M").to_string());
        let (old, new) = (end.old.clone(), end.new.clone());
        Some(match end.how {
            UpdateHow::Updated => (text!("Version {} runs since {}.", new, at), true),
            UpdateHow::Back => (
                text!(
                    "Version {} did not run well: the wall went back to {}. Nothing was lost.",
                    new,
                    old
                ),
                false,
            ),
            UpdateHow::Stuck => (
                text!(
                    "The way back to version {} did not work. Tell who set this panel up.",
                    old
                ),
                false,
            ),
            UpdateHow::Refused => (
                text!("Not updated, nothing was changed. {}", refusal(&end.why)),
                false,
            ),
            UpdateHow::Key => (
                text!("The key for updates is {}.", in_fours(&end.why)),
                true,
            ),
        })
    }
}

/// The number of a key, to be compared by eye.
pub fn in_fours(key: &str) -> String {
    let letters: Vec<char> = key.chars().collect();
    let fours: Vec<String> = letters
        .chunks(4)
        .map(|four| four.iter().collect())
        .collect();
    fours.join(" ")
}

/// Why nothing was changed, by the words of `fillcall-update`.
fn refusal(why: &str) -> Text {
    match why {
        "room" => text!("The panel's disk is too full."),
        "backup" => text!("No backup could be taken: see the page Clock for the records."),
        "depends" => text!("It needs other packages than this panel has."),
        "try" => text!("The newer version did not work on a copy of the records."),
        "no-way-back" => text!("There would be no way back from it."),
        "cut" => text!("The power went. Try again."),
        "signature" | "other-key" | "no-signature" | "no-key" => {
            text!("Its signature is not right.")
        }
        "older" | "equal" => text!("It is not newer."),
        "arch" | "package" => text!("It is not for this panel."),
        _ => text!("It could not be read or installed."),
    }
}
