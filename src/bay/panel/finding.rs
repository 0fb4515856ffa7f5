//! What was found about one thing of the panel.

use super::Standing;
use crate::text;
use crate::trade::text::Text;

/// How something stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

/// What was found about one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What was looked at, in one or two words that stay the same in every language.
    pub what: &'static str,
    /// How it stands.
    pub state: State,
    /// What was found, in sentences.
    pub says: Text,
    /// What to do about it, in sentences; empty where there is nothing to do.
    pub remedy: Text,
    /// What the glass tells of it on every page as long as it is so; `None` where that is nothing.
    pub standing: Option<Standing>,
}

impl Finding {
    /// Something that is as it must be.
    pub fn good(what: &'static str, says: impl Into<Text>) -> Self {
        Self::new(what, State::Good, says, Text::default())
    }
    /// Something that could be better.
    pub fn warn(what: &'static str, says: impl Into<Text>, remedy: impl Into<Text>) -> Self {
        Self::new(what, State::Warn, says, remedy)
    }
    /// Something that is wrong.
    pub fn wrong(what: &'static str, says: impl Into<Text>, remedy: impl Into<Text>) -> Self {
        Self::new(what, State::Wrong, says, remedy)
    }
    /// Something that cannot be looked at here.
    pub fn not_here(what: &'static str, says: impl Into<Text>) -> Self {
        Self::new(what, State::NotHere, says, Text::default())
    }
    /// The same, told on the glass as long as it is so.
    pub fn standing(self, standing: Standing) -> Self {
        Self {
            standing: Some(standing),
            ..self
        }
    }

    /// What was looked at, as people call it.
    pub fn name(&self) -> Text {
        match self.what {
            "display" => text!("Display"),
            "backlight" => text!("Backlight"),
            "touch" => text!("Touch panel"),
            "keys" => text!("Keys"),
            "sound" => text!("Sound card"),
            "mixer" => text!("Card's volume"),
            "disk" => text!("Disk"),
            "records" => text!("Records"),
            "wear" => text!("Wear"),
            "clock" => text!("Clock"),
            "watchdog" => text!("Watchdog"),
            "font" => text!("Letters"),
            "sandbox" => text!("Protection"),
            "sticks" => text!("Sticks"),
            other => Text::from_plain(other),
        }
    }

    fn new(
        what: &'static str,
        state: State,
        says: impl Into<Text>,
        remedy: impl Into<Text>,
    ) -> Self {
        Self {
            what,
            state,
            says: says.into(),
            remedy: remedy.into(),
            standing: None,
        }
    }
}
