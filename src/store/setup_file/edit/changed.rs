//! What differs between two set-up files, key by key.

use super::places::{File, Spot};
use super::value;
use crate::bay::setup_change::{ChangedKey, Place};
use std::collections::BTreeMap;

/// The keys of one part, each with its value in one line.
type Keys = BTreeMap<String, String>;

/// The parts of a set-up file, in its order.
struct Parts(Vec<(Place, Keys)>);

const KINDS: [&str; 4] = ["sprayer", "chemical", "measure", "vehicle"];

/// All parts of a kind, in the order of the file; `None` where the text is not TOML.
pub(super) fn places(text: &str, kind: &str) -> Option<Vec<Place>> {
    let file = File::of(text)?;
    Some(
        of_kind(&file, kind)
            .into_iter()
            .map(|(place, _)| place)
            .collect(),
    )
}

fn of_kind<'f>(file: &'f File<'_>, kind: &str) -> Vec<(Place, Spot<'f>)> {
    let placed = file.spots(kind).into_iter().filter_map(|spot| {
        let id = super::layout::text_of_scalar(file.text, &file.pair(spot, "id")?.value)?;
        Some((Place::from_words(&format!("{kind} {id}"))?, spot))
    });
    placed.collect()
}

impl Parts {
    fn of(text: &str) -> Option<Self> {
        let file = File::of(text)?;
        let keys = |spot| -> Keys {
            let pairs = file.pairs(spot).into_iter();
            pairs
                .map(|(path, pair)| (path.join("."), value::shown(text, &pair.value)))
                .collect()
        };
        let mut top = keys(Spot::Block(0));
        let mut parts = Vec::new();
        for name in Place::SECTIONS {
            let place = Place::Section(name);
            if let Some(spot) = file.find(&place) {
                parts.push((place, keys(spot)));
            }
        }
        for kind in KINDS {
            let of_kind = of_kind(&file, kind).into_iter();
            parts.extend(of_kind.map(|(place, spot)| (place, keys(spot))));
        }
        // What stands at the top as a part of its own is no key of the bay.
        top.retain(|key, _| {
            let first = key.split('.').next().unwrap_or_default();
            !KINDS.contains(&first) && !Place::SECTIONS.contains(&first)
        });
        parts.insert(0, (Place::Bay, top));
        Some(Self(parts))
    }

    fn get(&self, place: &Place) -> Option<&Keys> {
        let found = self.0.iter().find(|(known, _)| known == place);
        found.map(|(_, keys)| keys)
    }
}

/// A part as a change shows it: its keys, a line each.
fn lines(keys: &Keys) -> String {
    let lines: Vec<String> = keys
        .iter()
        .map(|(key, raw)| format!("{key} = {raw}"))
        .collect();
    lines.join("\n")
}

/// What differs, key by key: first what was there before, in its order, then what is new. Empty where
/// one of the texts is not TOML.
pub(super) fn changed(before: &str, after: &str) -> Vec<ChangedKey> {
    let (Some(before), Some(after)) = (Parts::of(before), Parts::of(after)) else {
        return Vec::new();
    };
    let mut changes = Vec::new();
    for (place, old) in &before.0 {
        let Some(new) = after.get(place) else {
            changes.push(ChangedKey {
                place: place.words(),
                key: String::new(),
                before: Some(lines(old)),
                after: None,
            });
            continue;
        };
        let all = old
            .keys()
            .chain(new.keys().filter(|key| !old.contains_key(*key)));
        let differing = all.filter(|key| old.get(*key) != new.get(*key));
        changes.extend(differing.map(|key| ChangedKey {
            place: place.words(),
            key: key.clone(),
            before: old.get(key).cloned(),
            after: new.get(key).cloned(),
        }));
    }
    let new = after
        .0
        .iter()
        .filter(|(place, _)| before.get(place).is_none());
    changes.extend(new.map(|(place, keys)| ChangedKey {
        place: place.words(),
        key: String::new(),
        before: None,
        after: Some(lines(keys)),
    }));
    changes
}

/// What a key is in a text, or a whole part where the key is empty, as [`ChangedKey`] has it.
pub(super) fn now(text: &str, place: &Place, key: &str) -> Option<String> {
    let parts = Parts::of(text)?;
    let keys = parts.get(place)?;
    match key.is_empty() {
        true => Some(lines(keys)),
        false => keys.get(key).cloned(),
    }
}
