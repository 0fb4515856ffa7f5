//! What is dangerous about a chemical: its hazard statements, what it is, and what it must never meet.

use super::is_id;
use crate::store::toml_text::{Found, Reader, Section, nearest};
use crate::trade::chemical::Nature;
use crate::trade::hazard::Hazard;
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

/// What it is; [`Nature::Other`] where left out.
pub(super) fn nature(reader: &mut Reader, section: &mut Section<'_>) -> Option<Nature> {
    let words = || Nature::ALL.into_iter().map(Nature::word);
    let all: Vec<String> = words().map(|word| format!("\"{word}\"")).collect();
    let right = format!("write one of {}", all.join(", "));
    let found = section.parsed(reader, "nature", &right, |text| {
        Nature::from_word(text).ok_or_else(|| Unreadable {
            wrong: format!("\"{text}\" is not a nature of a chemical"),
            right: match nearest(text, words()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => right.clone(),
            },
        })
    });
    match found {
        Some(found) => Some(found.value),
        None => (!section.has("nature")).then(Nature::default),
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
