//! What a player speaks with: the words of each language, and their samples.

use crate::bay::ports::Pace;
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;

/// The voices of a wall, one to a language.
pub trait Speaker: Send + Sync + std::fmt::Debug {
    /// What the voice of this language knows to say.
    fn lexicon(&self, language: Language) -> &Lexicon;

    /// An announcement in this language: mono at [`super::RATE`], at full volume. Never asked for in the
    /// thread of the screen: reading the clips takes about a millisecond for each word.
    fn samples(
        &self,
        announcement: &Announcement,
        language: Language,
        voice: Voice,
        pace: Pace,
    ) -> Vec<i16>;
}
