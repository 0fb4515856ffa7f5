//! The language that is shown: the texts of the bay and of this folder in it.
//!
//! It is selected once for the thread that draws, as Slint's own translations are.

use super::catalogue::translation;
use crate::trade::language::Language;
use crate::trade::text::Text;
use chrono::{DateTime, Datelike, FixedOffset};
use std::borrow::Cow;
use std::cell::Cell;

thread_local! {
    static SHOWN: Cell<Language> = const { Cell::new(Language::English) };
}

/// From now on texts are shown in this language. Needs a window, and is needed after the first one:
/// until then Slint goes by the language of the system.
pub fn select(language: Language) {
    SHOWN.set(language);
    // Refused only where the program was built without its languages: then all is English.
    if slint::select_bundled_translation(language.code()).is_err() {
        SHOWN.set(Language::English);
    }
}

/// A text in the language that is shown; in English where it has no translation.
pub fn shown(text: &Text) -> String {
    let language = SHOWN.get();
    text.by(&|english| {
        let english: &'static str = english;
        Cow::Borrowed(translation(language, english).unwrap_or(english))
    })
}

/// A fixed text of the bay or the trade in the language that is shown.
pub fn known(english: &'static str) -> String {
    shown(&Text::from(english))
}

/// A day: "2 Mar 2026".
pub fn day(at: &DateTime<FixedOffset>) -> String {
    let month = match at.month() {
        1 => tr!("Jan"),
        2 => tr!("Feb"),
        3 => tr!("Mar"),
        4 => tr!("Apr"),
        5 => tr!("May"),
        6 => tr!("Jun"),
        7 => tr!("Jul"),
        8 => tr!("Aug"),
        9 => tr!("Sep"),
        10 => tr!("Oct"),
        11 => tr!("Nov"),
        _ => tr!("Dec"),
    };
    format!("{} {month} {}", at.day(), at.year())
}

/// The same with a capital at its head.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
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

    #[test]
    fn a_capital_may_have_an_accent() {
        assert_eq!(capital("último"), "Último");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn days_are_as_people_write_them() {
        let at = DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").expect("a date");
        assert_eq!(day(&at), "2 Mar 2026");
        SHOWN.set(Language::Spanish);
        assert_eq!(day(&at), "2 mar 2026");
        SHOWN.set(Language::English);
    }
}
