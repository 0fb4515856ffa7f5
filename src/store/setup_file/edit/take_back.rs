//! Takes a change back: each key as it was before, where it still is as the change left it.

use super::apply::{Refusal, add, last_line, remove, set_raw, take_key};
use super::changed;
use super::entries::Entries;
use super::lines::{Splice, line_break, spliced};
use super::places::{File, Spot};
use crate::bay::setup_change::{ChangedKey, Place, SetupChange};

/// Why a change cannot be taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum InTheWay {
    /// What the change left is something else by now.
    Changed {
        /// What the change left.
        key: ChangedKey,
        /// What it is now.
        now: Option<String>,
    },
    /// It names a part of the set-up that this program does not know.
    Unknown(ChangedKey),
    /// An edit that takes it back cannot be made.
    Refused(Refusal),
}

/// The text with the change taken back in it.
pub(super) fn take_back(text: &str, change: &SetupChange) -> Result<String, InTheWay> {
    if text == change.text {
        return Ok(change.text_before.clone());
    }
    let mut placed = Vec::new();
    for key in &change.keys {
        let place = Place::from_words(&key.place).ok_or_else(|| InTheWay::Unknown(key.clone()))?;
        let now = changed::now(text, &place, &key.key);
        if now != key.after {
            let key = key.clone();
            return Err(InTheWay::Changed { key, now });
        }
        placed.push((place, key));
    }
    let mut text = text.to_owned();
    // What came behind something else that came goes before it.
    for (place, key) in placed.into_iter().rev() {
        text = one(&text, &place, key, &change.text_before).map_err(InTheWay::Refused)?;
    }
    Ok(text)
}

fn one(text: &str, place: &Place, key: &ChangedKey, before: &str) -> Result<String, Refusal> {
    match (key.key.is_empty(), &key.before) {
        (true, None) => remove(text, place),
        (true, Some(_)) => bring_back(text, place, before),
        (false, None) => take_key(text, place, &key.key),
        (false, Some(_)) => {
            let file = File::of(before).ok_or(Refusal::Unreadable)?;
            let pair = file.find(place).and_then(|spot| file.pair(spot, &key.key));
            let pair = pair.ok_or_else(|| Refusal::NotThere(place.clone()))?;
            let raw = &before[pair.value.span.clone()];
            set_raw(text, place, &key.key, raw, |_, _| false)
        }
    }
}

/// Brings a part back that was taken out, as it stood in the text before and where it stood there.
fn bring_back(text: &str, place: &Place, before: &str) -> Result<String, Refusal> {
    let old = File::of(before).ok_or(Refusal::Unreadable)?;
    let spot = old
        .find(place)
        .ok_or_else(|| Refusal::NotThere(place.clone()))?;
    let kind = place.kind().unwrap_or_default();
    let new = File::of(text).ok_or(Refusal::Unreadable)?;
    let stood = changed::places(before, kind).unwrap_or_default();
    let at = stood.iter().position(|other| other == place).unwrap_or(0);
    let block = match (spot, new.list(kind)) {
        (Spot::Block(block), None) => block,
        (Spot::Entry { .. }, Some(list)) => {
            let (Some(node), Some(entries)) = (old.node(spot), Entries::of(&list.value)) else {
                return Err(Refusal::NotThere(place.clone()));
            };
            // Behind the entry that it stood behind.
            let place_of = |other: &Place| match new.find(other) {
                Some(Spot::Entry { place, .. }) => Some(place + 1),
                _ => None,
            };
            let above = stood[..at].iter().rev().find_map(place_of);
            let raw = &before[node.span.clone()];
            return Ok(spliced(text, entries.insert(text, above.unwrap_or(0), raw)));
        }
        _ => return by_keys(text, place, &old, spot),
    };
    let blocks = std::iter::once(block).chain(old.below(block));
    let line = line_break(text);
    let raw: Vec<&str> = blocks
        .map(|b| &before[old.start_of_block(b)..old.end_of_block(b)])
        .collect();
    let raw = raw.join(&format!("{line}{line}"));
    // Behind the part that it stood behind, or else before the one that it stood before.
    let block_of = |other: &Place| match new.find(other) {
        Some(Spot::Block(block)) => Some(block),
        _ => None,
    };
    let above = stood[..at].iter().rev().find_map(block_of);
    let below = stood.iter().skip(at + 1).find_map(block_of);
    let splice = match (above, below) {
        (Some(above), _) => Splice::at(last_line(&new, above), format!("{line}{line}{raw}")),
        (None, Some(below)) => Splice::at(new.start_of_block(below), format!("{raw}{line}{line}")),
        (None, None) => {
            let break_before = if text.ends_with('\n') { "" } else { line };
            Splice::at(text.len(), format!("{break_before}{line}{raw}{line}"))
        }
    };
    Ok(spliced(text, vec![splice]))
}

/// Brings a part back key by key, where it was written, or would have to be, in one line.
fn by_keys(text: &str, place: &Place, old: &File<'_>, spot: Spot<'_>) -> Result<String, Refusal> {
    let pairs = old.pairs(spot);
    let raw = |pair: &super::layout::Pair| old.text[pair.value.span.clone()].to_owned();
    if place.id().is_some() {
        let others = pairs.iter().filter(|(path, _)| *path != ["id"]);
        let keys: Vec<(String, String)> = others
            .map(|(path, pair)| (path.join("."), raw(pair)))
            .collect();
        let keys: Vec<(&str, String)> = keys
            .iter()
            .map(|(key, raw)| (key.as_str(), raw.clone()))
            .collect();
        return add(text, place, &keys);
    }
    let mut text = text.to_owned();
    for (path, pair) in pairs {
        text = set_raw(&text, place, &path.join("."), &raw(pair), |_, _| false)?;
    }
    Ok(text)
}
