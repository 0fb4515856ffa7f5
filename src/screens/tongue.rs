//! The language that is shown: the texts of the bay and of this folder in it.
//!
//! It is selected once for the thread that draws, as Slint's own translations are.

use super::catalogue::translation;
use crate::trade::language::Language;
use crate::trade::text::Text;
use std::borrow::Cow;
use std::cell::Cell;

thread_local! {
    static SHOWN: Cell<Language> = const { Cell::new(Language::English) };
}

/// From now on texts are shown in this language. Needs a window, and is needed for the first one:
/// until then Slint goes by the language of the system.
pub fn select(language: Language) {
    // Refused only where the program was built without its languages: then all is English.
    let built_in = slint::select_bundled_translation(language.code()).is_ok();
    SHOWN.set(match built_in {
        true => language,
        false => Language::English,
    });
}

/// A text in the language that is shown; in English where it has no translation.
pub fn shown(text: &Text) -> String {
    let language = SHOWN.get();
    text.by(&|english| Cow::Borrowed(translation(language, english).unwrap_or(english)))
}

/// Puts a text together in the language that is shown: `tr!("{} washes", n)`.
macro_rules! tr {
    ($pattern:literal $(, $part:expr)* $(,)?) => {
        $crate::screens::tongue::shown(&$crate::text!($pattern $(, $part)*))
    };
}
pub(crate) use tr;
