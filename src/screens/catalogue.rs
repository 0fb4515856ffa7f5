//! The lists of translations, in the format of GNU gettext's `.po` files, built into the program.
//!
//! The same files are read by the Slint compiler for the texts of `ui/`.

use crate::trade::language::Language;
use std::collections::HashMap;
use std::sync::LazyLock;

static SPANISH: LazyLock<HashMap<String, String>> =
    LazyLock::new(|| read(include_str!("../../ui/lang/es/LC_MESSAGES/fillcall.po")));

/// The translation of an English text; `None` where there is none, and in English.
pub fn translation(language: Language, english: &str) -> Option<&'static str> {
    match language {
        Language::English => None,
        Language::Spanish => SPANISH.get(english).map(String::as_str),
    }
}

/// The translations of a list. Entries without one, and the list's own head, are left out.
fn read(list: &str) -> HashMap<String, String> {
    /// What the lines at hand belong to.
    enum In {
        Nothing,
        English,
        Other,
    }
    let mut translations = HashMap::new();
    let (mut english, mut other, mut place) = (String::new(), String::new(), In::Nothing);
    let mut keep = |english: &mut String, other: &mut String| {
        let (english, other) = (std::mem::take(english), std::mem::take(other));
        if !english.is_empty() && !other.is_empty() {
            translations.insert(english, other);
        }
    };
    for line in list.lines().map(str::trim) {
        let rest = if let Some(rest) = line.strip_prefix("msgid ") {
            keep(&mut english, &mut other);
            place = In::English;
            rest
        } else if let Some(rest) = line.strip_prefix("msgstr ") {
            place = In::Other;
            rest
        } else if line.starts_with('"') {
            line
        } else {
            continue;
        };
        let words = unquoted(rest);
        match place {
            In::Nothing => {}
            In::English => english.push_str(&words),
            In::Other => other.push_str(&words),
        }
    }
    keep(&mut english, &mut other);
    translations
}

/// What stands between the quotation marks of a line.
fn unquoted(quoted: &str) -> String {
    let inner = quoted.strip_prefix('"').unwrap_or(quoted);
    let inner = inner.strip_suffix('"').unwrap_or(inner);
    let mut words = String::with_capacity(inner.len());
    let mut letters = inner.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => match letters.next() {
                Some('n') => words.push('\n'),
                Some(other) => words.push(other),
                None => {}
            },
            letter => words.push(letter),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_read_with_its_long_lines_and_signs() {
        let list = read(
            "# head\nmsgid \"\"\nmsgstr \"\"\n\"Language: es\\n\"\n\n#: a.rs\nmsgid \"due\"\n\
             msgstr \"pendiente\"\n\nmsgid \"one\\n\"\n\"two\"\nmsgstr \"uno\\n\"\n\"\\\"dos\\\"\"\n\n\
             msgid \"not yet\"\nmsgstr \"\"\n",
        );
        assert_eq!(list.len(), 2, "{list:?}");
        assert_eq!(list["due"], "pendiente");
        assert_eq!(list["one\ntwo"], "uno\n\"dos\"");
    }

    #[test]
    fn english_needs_no_list() {
        assert_eq!(translation(Language::English, "Back"), None);
        assert_eq!(translation(Language::Spanish, "Back"), Some("Atrás"));
        assert_eq!(translation(Language::Spanish, "no such text"), None);
    }
}
