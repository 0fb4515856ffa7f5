//! What to say, never how: one place composes every announcement, with the text shown beside it.

use super::units::{Strength, Volume};
use super::words;

/// One thing to say. `text` is what the screen shows; `words` are what a voice speaks.
#[derive(Debug, Clone, PartialEq)]
pub struct Announcement {
    /// The same announcement as text, for the screen.
    pub text: String,
    /// The words to speak, each in [`words::VOCABULARY`], with short stops between phrases.
    pub speech: Vec<Phrase>,
    /// The volume to beep where the bay beeps instead of speaking, in ml.
    pub beeps: Option<Volume>,
    /// Words of a name that have no clip, so that the screen can say what was left out.
    pub unspoken: Vec<String>,
}

/// Words said without a stop.
pub type Phrase = Vec<&'static str>;
