//! A key of the set-up file that was changed, in the words of the screens.

use super::fields::{Field, Kind, kind_of};
use super::{options, present};
use crate::bay::setup::Setup;
use crate::bay::setup_change::{ChangedKey, Place};
use crate::text;
use crate::trade::text::Text;

/// So many letters of a value are shown.
const LONGEST: usize = 34;

/// What was changed of a key, or that a whole part came or went.
pub fn of(key: &ChangedKey, setup: &Setup) -> Text {
    let place = Place::from_words(&key.place);
    let whole = key.key.is_empty();
    if whole {
        let name = part_name(key, place.as_ref(), setup);
        return match key.before {
            None => text!("{} is added", name),
            Some(_) => text!("{} is removed", name),
        };
    }
    let field = place.as_ref().and_then(|place| field_of(place, &key.key));
    let label = label(&key.key, field);
    let what = match part_of(place.as_ref(), field, setup) {
        Some(part) => text!("{}, {}", part, label),
        None => label,
    };
    let item = place.as_ref();
    let value = |raw: &Option<String>| match raw {
        Some(raw) => value(raw, field, setup, item),
        None => text!("none"),
    };
    text!("{}: {} → {}", what, value(&key.before), value(&key.after))
}

/// The field that a key of the file is.
fn field_of(place: &Place, key: &str) -> Option<Field> {
    let of = |field: &Field| field.place(Some(place)) == *place && keys(*field).contains(&key);
    match kind_of(place) {
        Some(kind) => kind.fields().iter().copied().find(of),
        None => Field::ALL.into_iter().find(of),
    }
}

/// The keys that a field is written with.
fn keys(field: Field) -> Vec<&'static str> {
    match field {
        Field::Target => vec![field.key(), RATIO],
        field => vec![field.key()],
    }
}

/// The key for a target that is the label's ratio.
const RATIO: &str = "bottle_ratio";

fn label(key: &str, field: Option<Field>) -> Text {
    match field {
        // Both ends stand under one key, and the two targets under two.
        Some(Field::BandLeast | Field::BandMost) => text!("Allowed"),
        Some(Field::Target) if key == RATIO => text!("Label's ratio"),
        Some(field) => field.label(),
        // A key that no screen changes has no other name.
        None => Text::from_plain(key),
    }
}

/// What the key is a part of: a thing by its name, or a page of editing.
fn part_of(place: Option<&Place>, field: Option<Field>, setup: &Setup) -> Option<Text> {
    let place = place?;
    if let Some(id) = place.id() {
        let name = present::name(setup, place).unwrap_or_else(|| id.to_owned());
        return Some(Text::from_plain(name));
    }
    let mut kinds = Kind::ALL.into_iter();
    let kind = kinds.find(|kind| field.is_some_and(|field| kind.fields().contains(&field)))?;
    Some(kind.label())
}

/// The name of a part that came or went: it may be there no more.
fn part_name(key: &ChangedKey, place: Option<&Place>, setup: &Setup) -> Text {
    let named = place.and_then(|place| present::name(setup, place));
    let of_text = || {
        let mut lines = key.before.as_ref().or(key.after.as_ref())?.lines();
        let raw = lines.find_map(|line| line.strip_prefix("name = "))?;
        Some(plain(raw))
    };
    let id = || place.and_then(Place::id).map(str::to_owned);
    match (named.or_else(of_text).or_else(id), place) {
        (Some(name), _) => Text::from_plain(name),
        (None, Some(Place::Section("balance"))) => text!("Balance"),
        (None, _) => Text::from_plain(&key.place),
    }
}

/// A value for people: words of the file as the screens have them, ids as names.
fn value(raw: &str, field: Option<Field>, setup: &Setup, item: Option<&Place>) -> Text {
    let name = |raw: &str| -> Text {
        let id = match raw {
            "true" => options::YES.to_owned(),
            "false" => options::NO.to_owned(),
            raw => plain(raw),
        };
        let choices = field.map(|field| options::of(field, setup, item));
        let mut choices = choices.into_iter().flatten();
        match choices.find(|choice| choice.id == id) {
            Some(choice) => choice.name,
            None => Text::from_plain(short(&id)),
        }
    };
    match raw.strip_prefix('[').and_then(|raw| raw.strip_suffix(']')) {
        None => name(raw),
        Some(list) => {
            let names: Vec<String> = parts(list)
                .into_iter()
                .map(|part| name(part).to_string())
                .collect();
            Text::from_plain(short(&names.join(", ")))
        }
    }
}

/// The parts of a list, each as it is written.
fn parts(list: &str) -> Vec<&str> {
    let (mut parts, mut begins, mut quoted, mut escaped) = (Vec::new(), 0, None, false);
    for (at, letter) in list.char_indices() {
        match quoted {
            Some(_) if escaped => escaped = false,
            Some('"') if letter == '\\' => escaped = true,
            Some(quote) if letter == quote => quoted = None,
            Some(_) => {}
            None if matches!(letter, '"' | '\'') => quoted = Some(letter),
            None if letter == ',' => {
                parts.push(&list[begins..at]);
                begins = at + 1;
            }
            None => {}
        }
    }
    parts.push(&list[begins..]);
    let parts = parts.into_iter().map(str::trim);
    parts.filter(|part| !part.is_empty()).collect()
}

/// A text without its quotes; anything else as it is.
fn plain(raw: &str) -> String {
    let raw = raw.trim();
    let inner = |quote: char| raw.strip_prefix(quote)?.strip_suffix(quote);
    match (inner('"'), inner('\'')) {
        (Some(text), _) => text.replace("\\\"", "\"").replace("\\\\", "\\"),
        (None, Some(text)) => text.to_owned(),
        (None, None) => raw.to_owned(),
    }
}

/// The beginning of what is long.
fn short(text: &str) -> String {
    match text.char_indices().nth(LONGEST) {
        Some((cut, _)) => format!("{}…", &text[..cut]),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_and_texts_are_read_as_they_are_written() {
        assert_eq!(parts("\"3 %\", \"5 %\""), ["\"3 %\"", "\"5 %\""]);
        assert_eq!(parts("\"a, b\", 'c, \"', "), ["\"a, b\"", "'c, \"'"]);
        assert_eq!(parts(""), [""; 0]);
        assert_eq!(plain("\"1 \\\" pipe\""), "1 \" pipe");
        assert_eq!(plain("'as it is\\'"), "as it is\\");
        assert_eq!(plain("40"), "40");
        assert_eq!(short(&"x".repeat(LONGEST + 1)).chars().count(), LONGEST + 1);
    }

    #[test]
    fn every_field_is_known_by_its_keys() {
        for kind in Kind::ALL {
            for field in kind.fields() {
                let item = kind.place("x");
                let place = field.place(item.as_ref());
                let found = field_of(&place, field.key()).expect("a field");
                assert_eq!(
                    (found.key(), found.place(item.as_ref())),
                    (field.key(), place)
                );
            }
        }
        let film = Place::Chemical("film".into());
        assert_eq!(field_of(&film, RATIO), Some(Field::Target));
        assert_eq!(field_of(&film, "x_own"), None);
        assert_eq!(field_of(&Place::Bay, "x_own"), None);
    }
}
