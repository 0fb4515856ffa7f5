//! How the wall is heard, as it was chosen there.

use super::{Backup, Section};
use crate::store::records::sound::{Chosen, MOST_PERCENT};
use crate::trade::language::Language;
use crate::trade::units::Unreadable;

impl Backup<'_> {
    pub(super) fn sound(&mut self, top: &mut Section<'_>) -> Chosen {
        let percent = top.whole(self.reader, "volume_percent", 0..=u32::from(MOST_PERCENT));
        let known = Language::ALL.map(|l| format!("\"{}\" ({})", l.code(), l.own_name()));
        let right = format!("write one of {}", known.join(", "));
        let language = top.parsed(self.reader, "language", &right, |code| {
            Language::from_code(code).ok_or_else(|| Unreadable {
                wrong: format!("\"{code}\" is not a language that the screens have"),
                right: right.clone(),
            })
        });
        const NAME: &str = "write the loudspeaker's name in quotes, or \"\" for the one that the \
            system prefers";
        let loudspeaker = top.text(self.reader, "loudspeaker", NAME);
        Chosen {
            volume_percent: percent.and_then(|percent| u8::try_from(percent.value).ok()),
            language: language.map(|language| language.value),
            loudspeaker: loudspeaker.map(|name| Some(name.value).filter(|n| !n.is_empty())),
        }
    }
}
