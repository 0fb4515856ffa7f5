//! Makes an edit in the text of a set-up file.

use super::entries::Entries;
use super::layout::Pair;
use super::lines::{Splice, end_of_line, indent, line_break, next_line, spliced, start_of_line};
use super::places::{File, Spot};
use super::value;
use crate::bay::setup_change::{Edit, Place, Value};
use crate::store::toml_text::write;
use std::ops::Range;

/// Why an edit cannot be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Refusal {
    /// What is to be changed or taken out is not there.
    NotThere(Place),
    /// There is one with this id.
    ThereAlready(Place),
    /// The text is not TOML.
    Unreadable,
}

/// The text with the edit made in it; the same text where all is so already.
pub(super) fn apply(text: &str, edit: &Edit) -> Result<String, Refusal> {
    match edit {
        Edit::Set {
            place,
            key,
            value: Some(Value::List(list)),
        } if is_list(text, place, key)? => set_list(text, place, key, list),
        Edit::Set { place, key, value } => match value {
            Some(wanted) => {
                let as_wanted =
                    |file: &File<'_>, pair: &Pair| value::is(file.text, &pair.value, wanted);
                set_raw(text, place, key, &value::written(wanted), as_wanted)
            }
            None => take_key(text, place, key),
        },
        Edit::Add { place, keys } => {
            let keys: Vec<(&str, String)> = keys
                .iter()
                .map(|(key, value)| (*key, value::written(value)))
                .collect();
            add(text, place, &keys)
        }
        Edit::Remove { place } => {
            let text = match place {
                Place::Chemical(id) => out_of_the_lists_of_others(text, id)?,
                _ => text.to_owned(),
            };
            remove(&text, place)
        }
    }
}

fn look(text: &str) -> Result<File<'_>, Refusal> {
    File::of(text).ok_or(Refusal::Unreadable)
}

/// Where a part stands that must be there, unless it is a section that may be left out.
fn find<'f>(file: &'f File<'_>, place: &Place) -> Result<Option<Spot<'f>>, Refusal> {
    match (file.find(place), place) {
        (None, Place::Section(_)) => Ok(None),
        (None, _) => Err(Refusal::NotThere(place.clone())),
        (spot, _) => Ok(spot),
    }
}

fn is_list(text: &str, place: &Place, key: &str) -> Result<bool, Refusal> {
    let file = look(text)?;
    let spot = find(&file, place)?;
    let pair = spot.and_then(|spot| file.pair(spot, key));
    Ok(pair.is_some_and(|pair| value::texts(text, &pair.value).is_some()))
}

/// Brings a list to be what is wanted, entry by entry, so that the comments between them stay.
fn set_list(text: &str, place: &Place, key: &str, wanted: &[String]) -> Result<String, Refusal> {
    let mut text = text.to_owned();
    loop {
        let file = look(&text)?;
        let spot = find(&file, place)?;
        let found = spot.and_then(|spot| file.pair(spot, key));
        let all = found.and_then(|pair| {
            let texts = value::texts(&text, &pair.value)?;
            Some((pair, texts, Entries::of(&pair.value)?))
        });
        let Some((_, old, entries)) = all else {
            return Err(Refusal::NotThere(place.clone()));
        };
        if old == wanted {
            return Ok(text);
        }
        let same = |pairs: &mut dyn Iterator<Item = (&String, &String)>| {
            pairs.take_while(|(a, b)| a == b).count()
        };
        let front = same(&mut old.iter().zip(wanted));
        let most = old.len().min(wanted.len()) - front;
        let back = same(&mut old.iter().rev().zip(wanted.iter().rev())).min(most);
        let splices = match (old.len() - front - back, wanted.len() - front - back) {
            (0, _) => entries.insert(&text, front, &write::text(&wanted[front])),
            (_, 0) => entries.remove(&text, &file.layout, front),
            _ => vec![Splice {
                out: entries.span(front),
                into: write::text(&wanted[front]),
            }],
        };
        let next = spliced(&text, splices);
        text = next;
    }
}

/// Gives a key a value that is written already; leaves it where `is_so` says that it has it.
pub(super) fn set_raw(
    text: &str,
    place: &Place,
    key: &str,
    raw: &str,
    is_so: impl Fn(&File<'_>, &Pair) -> bool,
) -> Result<String, Refusal> {
    let file = look(text)?;
    let Some(spot) = find(&file, place)? else {
        // A section that was left out so far.
        let name = place.kind().unwrap_or_default();
        return Ok(at_the_end(
            text,
            &[format!("[{name}]"), format!("{key} = {raw}")],
        ));
    };
    if let Some(pair) = file.pair(spot, key) {
        if is_so(&file, pair) {
            return Ok(text.to_owned());
        }
        let splice = Splice {
            out: pair.value.span.clone(),
            into: raw.into(),
        };
        return Ok(spliced(text, vec![splice]));
    }
    let written = match spot {
        Spot::Dotted(name) => format!("{name}.{key} = {raw}"),
        _ => format!("{key} = {raw}"),
    };
    let splices = match (spot, file.node(spot)) {
        (_, Some(node)) => match Entries::of(node) {
            Some(entries) if entries.count() == 0 => {
                vec![Splice::at(node.span.start + 1, format!(" {written} "))]
            }
            Some(entries) => entries.insert(text, entries.count(), &written),
            None => return Err(Refusal::NotThere(place.clone())),
        },
        (Spot::Block(block), None) => vec![line_behind(
            &file,
            file.pairs(spot).last().map(|(_, pair)| *pair),
            file.layout.blocks[block].heading.as_ref().map(|h| &h.span),
            &written,
        )],
        (_, None) => vec![line_behind(
            &file,
            file.pairs(spot).last().map(|(_, pair)| *pair),
            None,
            &written,
        )],
    };
    Ok(spliced(text, splices))
}

/// A new line behind the last key, or else behind the heading, or else at the top of the file.
fn line_behind(
    file: &File<'_>,
    last: Option<&Pair>,
    heading: Option<&Range<usize>>,
    written: &str,
) -> Splice {
    let (text, line) = (file.text, line_break(file.text));
    match (last, heading) {
        (Some(pair), _) => {
            let space = indent(text, pair.start);
            Splice::at(file.end_of_pair(pair), format!("{line}{space}{written}"))
        }
        (None, Some(heading)) => {
            let space = indent(text, heading.start);
            let end = end_of_line(text, heading.end);
            Splice::at(end, format!("{line}{space}{written}"))
        }
        (None, None) => {
            let start = text.len() - text.trim_start_matches('\u{feff}').len();
            Splice::at(start, format!("{written}{line}"))
        }
    }
}

/// Lines of their own behind everything.
fn at_the_end(text: &str, lines: &[String]) -> String {
    let line = line_break(text);
    let lines = lines.join(line);
    match text.is_empty() || text.ends_with('\n') {
        true => format!("{text}{line}{lines}{line}"),
        // A text without a line break at its end stays one.
        false => format!("{text}{line}{line}{lines}"),
    }
}

/// Takes a key away; the comments beside its value and within it stay, on lines of their own.
pub(super) fn take_key(text: &str, place: &Place, key: &str) -> Result<String, Refusal> {
    let file = look(text)?;
    let spot = find(&file, place)?;
    let Some((spot, pair)) = spot.and_then(|spot| Some((spot, file.pair(spot, key)?))) else {
        return Ok(text.to_owned());
    };
    let splices = match file.node(spot) {
        Some(node) => {
            let start = pair.start;
            out_of_entries(&file, node, |entry| entry.start == start)
        }
        None => vec![without_line(&file, pair)],
    };
    Ok(spliced(text, splices))
}

fn out_of_entries(
    file: &File<'_>,
    node: &super::layout::Node,
    which: impl Fn(&Range<usize>) -> bool,
) -> Vec<Splice> {
    let Some(entries) = Entries::of(node) else {
        return Vec::new();
    };
    match (0..entries.count()).find(|place| which(&entries.span(*place))) {
        Some(place) => entries.remove(file.text, &file.layout, place),
        None => Vec::new(),
    }
}

/// A key's lines, of which only the comments stay.
fn without_line(file: &File<'_>, pair: &Pair) -> Splice {
    let text = file.text;
    let (start, end) = (pair.start, end_of_line(text, pair.value.span.end));
    let comments: Vec<&str> = file
        .layout
        .comments_in(start..end)
        .map(|c| text[c].trim_end())
        .collect();
    if !comments.is_empty() {
        let between = format!("{}{}", line_break(text), indent(text, start));
        return Splice {
            out: start..end,
            into: comments.join(&between),
        };
    }
    whole_lines(text, start..end)
}

/// Takes whole lines out; of the last lines of a text that ends without a line break, the one before
/// them too.
fn whole_lines(text: &str, range: Range<usize>) -> Splice {
    let (start, next) = (start_of_line(text, range.start), next_line(text, range.end));
    if text[..next].ends_with('\n') || start == 0 {
        return Splice::cut(start..next);
    }
    Splice::cut(end_of_line(text, start - 1).min(start)..next)
}

/// A new part of a kind of which there may be several, behind the last of them.
pub(super) fn add(text: &str, place: &Place, keys: &[(&str, String)]) -> Result<String, Refusal> {
    let file = look(text)?;
    let (Some(kind), Some(id)) = (place.kind(), place.id()) else {
        return Err(Refusal::ThereAlready(place.clone()));
    };
    if file.find(place).is_some() {
        return Err(Refusal::ThereAlready(place.clone()));
    }
    let id = write::text(id);
    let keys = std::iter::once(("id", &id)).chain(keys.iter().map(|(key, raw)| (*key, raw)));
    let mut lines: Vec<String> = keys.map(|(key, raw)| format!("{key} = {raw}")).collect();
    if let Some(list) = file.list(kind)
        && let Some(entries) = Entries::of(&list.value)
    {
        let entry = format!("{{ {} }}", lines.join(", "));
        return Ok(spliced(text, entries.insert(text, entries.count(), &entry)));
    }
    lines.insert(0, format!("[[{kind}]]"));
    match last_line_of(&file, kind) {
        Some(end) => {
            let line = line_break(text);
            let into = format!("{line}{line}{}", lines.join(line));
            Ok(spliced(text, vec![Splice::at(end, into)]))
        }
        None => Ok(at_the_end(text, &lines)),
    }
}

/// Where the last line ends of what belongs to the last block of a kind.
fn last_line_of(file: &File<'_>, kind: &str) -> Option<usize> {
    match file.spots(kind).last()? {
        Spot::Block(block) => Some(last_line(file, *block)),
        _ => None,
    }
}

/// Where the last line ends of a block and of those that belong to it.
pub(super) fn last_line(file: &File<'_>, block: usize) -> usize {
    let below = file.below(block);
    let ends = below.iter().map(|b| file.end_of_block(*b));
    ends.chain([file.end_of_block(block)]).max().unwrap_or(0)
}

/// Takes a part out, with the comments within it and right above it.
pub(super) fn remove(text: &str, place: &Place) -> Result<String, Refusal> {
    let file = look(text)?;
    let Some(spot) = file.find(place) else {
        return Err(Refusal::NotThere(place.clone()));
    };
    let splices = match spot {
        Spot::Block(0) => return Err(Refusal::NotThere(place.clone())),
        Spot::Block(block) => {
            let blocks = std::iter::once(block).chain(file.below(block));
            blocks.map(|block| without_block(&file, block)).collect()
        }
        Spot::Dotted(_) => {
            let pairs = file.pairs(spot).into_iter();
            pairs.map(|(_, pair)| without_line(&file, pair)).collect()
        }
        Spot::Inline(pair) => vec![whole_lines(text, pair.start..pair.value.span.end)],
        Spot::Entry { list, place } => match Entries::of(&list.value) {
            Some(entries) if entries.count() == 1 => {
                vec![whole_lines(text, list.start..list.value.span.end)]
            }
            Some(entries) => entries.remove_whole(text, place),
            None => Vec::new(),
        },
    };
    Ok(spliced(text, joined(splices)))
}

/// Pieces that are taken out, those that touch or overlap made one.
fn joined(mut splices: Vec<Splice>) -> Vec<Splice> {
    splices.sort_by_key(|s| s.out.start);
    let mut done: Vec<Splice> = Vec::new();
    for splice in splices {
        match done.last_mut() {
            Some(last) if splice.out.start < last.out.end => {
                last.out.end = last.out.end.max(splice.out.end);
            }
            _ => done.push(splice),
        }
    }
    done
}

/// A block's lines with the empty ones above them.
fn without_block(file: &File<'_>, block: usize) -> Splice {
    let text = file.text;
    let (mut start, end) = (file.start_of_block(block), file.end_of_block(block));
    while let Some(above) = start.checked_sub(1).map(|end| start_of_line(text, end)) {
        if !text[above..start].trim().is_empty() {
            break;
        }
        start = above;
    }
    whole_lines(text, start..end)
}

/// No list of what must never meet names a chemical that is no longer there.
fn out_of_the_lists_of_others(text: &str, id: &str) -> Result<String, Refusal> {
    let mut text = text.to_owned();
    for place in super::changed::places(&text, "chemical").ok_or(Refusal::Unreadable)? {
        let file = look(&text)?;
        let others = file
            .find(&place)
            .and_then(|spot| file.pair(spot, "never_with"))
            .and_then(|pair| value::texts(&text, &pair.value));
        let Some(mut others) = others.filter(|others| others.iter().any(|other| other == id))
        else {
            continue;
        };
        others.retain(|other| other != id);
        let next = set_list(&text, &place, "never_with", &others)?;
        text = next;
    }
    Ok(text)
}
