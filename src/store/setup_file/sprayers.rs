//! The `[[sprayer]]` sections.

use super::{Part, id, name, volume};
use crate::bay::limits::{HOLDS, LONGEST_NAME};
use crate::store::toml_text::{Found, Reader, Section};
use crate::trade::sprayer::{Kind, Sprayer};
use crate::trade::units::Unreadable;

pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Vec<Part<Sprayer>> {
    let sections = top.sections(reader, "sprayer", true);
    sections.into_iter().map(|s| sprayer(reader, s)).collect()
}

fn sprayer(reader: &mut Reader, mut section: Section<'_>) -> Part<Sprayer> {
    let id = id(reader, &mut section);
    let name_right = "write the name that the screen shows, in quotes";
    let shown = name(reader, &mut section, "name", name_right);
    let spoken = section.name(reader, "spoken", LONGEST_NAME);
    const KINDS: &str = "write \"foam lance\", \"drum injector\" or \"direct sprayer\"";
    let kind = section.parsed(reader, "kind", KINDS, |text| {
        Kind::from_word(text).ok_or_else(|| Unreadable {
            wrong: format!("\"{text}\" is not a kind of sprayer"),
            right: KINDS.into(),
        })
    });
    let kind = section.required(reader, "kind", kind, KINDS);
    const HOLDS_RIGHT: &str = "write what the container takes up to its line with the pick-up \
        tube in, such as \"820 ml\"";
    let holds = volume(reader, &mut section, "holds", HOLDS_RIGHT, HOLDS);
    let holds = section.required(reader, "holds", holds, HOLDS_RIGHT);
    // Either may be missing: a drum injector with no nozzle of a name, a lance on a tap.
    let nozzle = section.name(reader, "nozzle", LONGEST_NAME);
    let washer = section.name(reader, "washer", LONGEST_NAME);
    let is_direct = kind.as_ref().map(|kind| kind.value.is_direct());
    if let (Some(true), Some(found)) = (is_direct, &washer) {
        reader.at(
            found,
            "a direct sprayer is not fed by a washer",
            "leave washer out here, or mend the kind",
        );
    }
    let dial = section.name(reader, "dial", LONGEST_NAME);
    if let Some(found) = dial.as_ref().filter(|_| is_direct == Some(true)) {
        reader.at(
            found,
            "a direct sprayer has no dial that a calibration belongs to",
            "leave dial out here, or mend the kind",
        );
    }
    // One that was written wrong has been reported.
    let is_read = |found: &Option<Found<String>>, key| found.is_some() || !section.has(key);
    let are_read = is_read(&nozzle, "nozzle") && is_read(&washer, "washer");
    section.finish(reader);
    let whole = || {
        Some(Sprayer {
            id: id.as_ref()?.value.clone(),
            name: shown.as_ref()?.value.clone(),
            spoken: spoken.or_else(|| shown.clone())?.value,
            kind: kind?.value,
            holds: holds?.value,
            nozzle: nozzle.map(|n| n.value).unwrap_or_default(),
            washer: are_read.then(|| washer.map(|w| w.value).unwrap_or_default())?,
            dial: dial.map(|dial| dial.value),
        })
    };
    let whole = whole();
    Part {
        id,
        name: shown,
        refers: Vec::new(),
        whole,
    }
}
