//! What is dangerous about a chemical: its hazard statements, what it is, and what it must never meet.

use super::is_id;
use crate::store::toml_text::{Found, Reader, Section, nearest};
use crate::trade::chemical::{Nature, Order};
use crate::trade::hazard::Hazard;
use crate::trade::protection::Protection;
use crate::trade::units::Unreadable;

/// The hazard statements of the label, none where left out; `None` where they are wrong, which has
/// been reported.
pub(super) fn statements(reader: &mut Reader, section: &mut Section<'_>) -> Option<Vec<Hazard>> {
    let right = format!(
        "write those of {} that stand on the label, such as [\"H314\", \"H290\"]; others go among \
         the cautions",
        Hazard::ALL.map(Hazard::code).join(", ")
    );
    let list = section.list(reader, "hazards", &right, |value| {
        let code = value
            .as_str()
            .ok_or("a hazard statement is not a text in quotes")?;
        Hazard::from_code(code)
            .ok_or_else(|| format!("\"{code}\" is not a hazard statement that is known here"))
    });
    let Some(list) = list else {
        return (!section.has("hazards")).then(Vec::new);
    };
    for (place, found) in list.value.iter().enumerate() {
        if list.value[..place].iter().any(|f| f.value == found.value) {
            let wrong = format!("{} is in it twice", found.value.code());
            reader.at(found, wrong, "write each once");
        }
    }
    Some(list.value.into_iter().map(|found| found.value).collect())
}

/// One of a few words; the inner `None` where the key is left out, the outer where it is wrong, which
/// has been reported.
fn one_of<T>(
    reader: &mut Reader,
    section: &mut Section<'_>,
    key: &'static str,
    words: &[&'static str],
    (from_word, what): (fn(&str) -> Option<T>, &str),
) -> Option<Option<T>> {
    let all: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    let right = format!("write one of {}", all.join(", "));
    let found = section.parsed(reader, key, &right, |text| {
        from_word(text).ok_or_else(|| Unreadable {
            wrong: format!("\"{text}\" is not {what}"),
            right: match nearest(text, words.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => right.clone(),
            },
        })
    });
    match found {
        Some(found) => Some(Some(found.value)),
        None => (!section.has(key)).then_some(None),
    }
}

/// What it is; [`Nature::Other`] where left out.
pub(super) fn nature(reader: &mut Reader, section: &mut Section<'_>) -> Option<Nature> {
    let of = (
        Nature::from_word as fn(&str) -> Option<Nature>,
        "a nature of a chemical",
    );
    let words = Nature::ALL.map(Nature::word);
    one_of(reader, section, "nature", &words, of).map(Option::unwrap_or_default)
}

/// What is poured first by its label; `None` in it where left out.
pub(super) fn order(reader: &mut Reader, section: &mut Section<'_>) -> Option<Option<Order>> {
    let of = (
        Order::from_word as fn(&str) -> Option<Order>,
        "an order of pouring",
    );
    one_of(reader, section, "order", &Order::ALL.map(Order::word), of)
}

/// What its label asks to put on, none where left out.
pub(super) fn put_on(reader: &mut Reader, section: &mut Section<'_>) -> Option<Vec<Protection>> {
    let right = format!(
        "write those of {} that its label asks for, such as [\"gloves\", \"goggles\"], or leave it \
         out: then the hazard statements say",
        Protection::ALL.map(Protection::word).join(", ")
    );
    let list = section.list(reader, "protection", &right, |value| {
        let word = value
            .as_str()
            .ok_or("what is put on is not a text in quotes")?;
        Protection::from_word(word)
            .ok_or_else(|| format!("\"{word}\" is nothing to put on that is known here"))
    });
    match list {
        Some(list) => Some(list.value.into_iter().map(|found| found.value).collect()),
        None => (!section.has("protection")).then(Vec::new),
    }
}

/// The ids of what it must never meet, none where left out; whether they are those of other
/// chemicals is seen when all are read.
pub(super) fn never_with(
    reader: &mut Reader,
    section: &mut Section<'_>,
) -> Option<Vec<Found<String>>> {
    const RIGHT: &str = "write the ids of the other chemicals that it must never meet, such as \
        [\"wheel-acid\"]";
    let list = section.list(reader, "never_with", RIGHT, |value| match value.as_str() {
        Some(id) if is_id(id) => Ok(id.to_owned()),
        Some(text) => Err(format!("\"{text}\" is not an id")),
        None => Err("an id is not a text in quotes".into()),
    });
    match list {
        Some(list) => Some(list.value),
        None => (!section.has("never_with")).then(Vec::new),
    }
}
