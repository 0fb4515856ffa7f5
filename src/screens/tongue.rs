//! The language that is shown: the texts of the bay and of this folder in it.
//!
//! English stands in the code. The other languages come from the same files under `ui/lang` that the
//! Slint compiler builds into the screens, read by the same parser. It is selected for the thread that
//! draws, as Slint's own translations are.

use crate::trade::language::Language;
use crate::trade::text::Text;
use rspolib::TranslatedEntry;
use slint::SelectBundledTranslationError;
use std::borrow::Cow;
use std::cell::Cell;
use std::collections::HashMap;
use std::sync::LazyLock;

thread_local! {
    static SELECTED: Cell<Language> = const { Cell::new(Language::English) };
}

/// The language that this thread shows.
pub fn selected() -> Language {
    SELECTED.get()
}

/// Shows another language from now on, in what Slint draws and in what is put together here. What was
/// put together before stays as it is until it is put together again.
///
/// # Errors
/// No window was made yet on this thread, or the language is not built in. Then both stay in the
/// language they were in: half of a screen in another language is worse than none of it.
pub fn select(language: Language) -> Result<(), SelectBundledTranslationError> {
    slint::select_bundled_translation(language.code())?;
    SELECTED.set(language);
    Ok(())
}

/// A text in the language that is shown; what has no translation stays English.
pub fn shown(text: &Text) -> String {
    match catalogue(selected()) {
        None => text.to_string(),
        Some(catalogue) => text
            .by(&|pattern| Cow::Borrowed(catalogue.get(pattern).map_or(pattern, String::as_str))),
    }
}

/// Translations by their English patterns.
type Catalogue = HashMap<String, String>;

/// The list of a language; none for English, which the patterns are.
fn catalogue(language: Language) -> Option<&'static Catalogue> {
    static SPANISH: LazyLock<Catalogue> =
        LazyLock::new(|| read(include_str!("../../ui/lang/es/LC_MESSAGES/fillcall-ui.po")));
    match language {
        Language::English => None,
        Language::Spanish => Some(&SPANISH),
    }
}

/// Reads a list of translations. A list that cannot be read does not get this far: the Slint compiler
/// refuses it first.
fn read(po: &str) -> Catalogue {
    let entries = rspolib::pofile(po).map(|file| file.entries);
    entries
        .unwrap_or_default()
        .into_iter()
        .filter(|entry| entry.translated() && entry.msgctxt.is_none())
        .filter_map(|entry| Some((entry.msgid, entry.msgstr?)))
        .collect()
}

/// Puts a text together in the language that is shown: `tr!("{} washes", n)`.
macro_rules! tr {
    ($pattern:literal $(, $part:expr)* $(,)?) => {
        $crate::screens::tongue::shown(&$crate::text!($pattern $(, $part)*))
    };
}
pub(crate) use tr;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screens::generated::Wall;

    #[test]
    fn translations_are_read_and_unfinished_ones_left_out() {
        let list = read(
            "msgid \"\"\nmsgstr \"\"\n\"Language: es\\n\"\n\n\
             #: somewhere\nmsgid \"{} washes\"\nmsgstr \"{} lavados\"\n\n\
             msgid \"two\\n\"\n\"lines\"\nmsgstr \"dos\\n\"\n\"líneas\"\n\n\
             msgid \"none yet\"\nmsgstr \"\"\n\n\
             #, fuzzy\nmsgid \"a guess\"\nmsgstr \"una conjetura\"\n\n\
             #~ msgid \"gone\"\n#~ msgstr \"ido\"\n",
        );
        let mut list: Vec<_> = list.into_iter().collect();
        list.sort();
        assert_eq!(
            list,
            [
                ("two\nlines".into(), "dos\nlíneas".into()),
                ("{} washes".into(), "{} lavados".into()),
            ]
        );
    }

    #[test]
    fn every_language_is_built_in_and_has_its_list() {
        i_slint_backend_testing::init_no_event_loop();
        // Without a window there is nothing to select from: it stays English.
        assert!(select(Language::Spanish).is_err());
        assert_eq!(tr!("Back"), "Back");
        let _wall = Wall::new().expect("a window");
        for language in Language::ALL {
            select(language).expect("a language that is built in");
            assert_eq!(selected(), language);
            let own = catalogue(language).map(|list| list["Back"].clone());
            assert_eq!(tr!("Back"), own.unwrap_or("Back".into()));
        }
        // And back: the source has a code too.
        select(Language::English).expect("the source");
        assert_eq!(tr!("Back"), "Back");
    }
}
