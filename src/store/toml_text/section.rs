//! One section of a file: which keys it may have, and what stands behind them.

use super::faults::{Found, Reader};
use super::nearest::nearest;
use std::collections::BTreeSet;
use std::ops::Range;
use toml_edit::{Item, TableLike, Value};

/// A table with its place in the text.
type Placed<'d> = (&'d dyn TableLike, Option<Range<usize>>);

/// A section being read. Every key that is asked for counts as known; [`Section::finish`]
/// reports the others.
pub(crate) struct Section<'d> {
    table: &'d dyn TableLike,
    /// Key path, empty for the top of the file.
    path: String,
    /// Line of its heading.
    pub line: usize,
    asked: BTreeSet<&'static str>,
    /// True where keys that begin with [`OWN`] are those of whoever writes the file.
    own_allowed: bool,
}

/// How a key begins that is none of the program's: it is neither read nor changed nor dropped.
const OWN: &str = "x_";

impl<'d> Section<'d> {
    /// The top of a file.
    pub fn top(table: &'d dyn TableLike) -> Self {
        Self::new(table, String::new(), 1, false)
    }

    /// The top of a file that may have keys of its writer's own, here and in all its sections.
    pub fn top_with_own_keys(table: &'d dyn TableLike) -> Self {
        Self::new(table, String::new(), 1, true)
    }

    fn new(table: &'d dyn TableLike, path: String, line: usize, own_allowed: bool) -> Self {
        Self {
            table,
            path,
            line,
            asked: BTreeSet::new(),
            own_allowed,
        }
    }

    /// The path of one of its keys.
    pub fn key(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// What stands behind a key, if anything.
    pub(super) fn item(&mut self, reader: &Reader, key: &'static str) -> Option<Found<&'d Item>> {
        self.asked.insert(key);
        let (name, item) = self.table.get_key_value(key)?;
        let line = reader.line(item.span().or_else(|| name.span()).as_ref(), self.line);
        Some(Found {
            value: item,
            line,
            key: self.key(key),
        })
    }

    /// True when the key is there, be it right or wrong.
    pub fn has(&self, key: &str) -> bool {
        self.table.get(key).is_some()
    }

    /// Reports a key that must be there and is not. What is there but wrong was reported already.
    pub fn required<T>(
        &self,
        reader: &mut Reader,
        key: &'static str,
        found: Option<Found<T>>,
        right: &str,
    ) -> Option<Found<T>> {
        if !self.has(key) {
            reader.fault(
                self.line,
                self.key(key),
                format!("{key} is missing here"),
                right,
            );
        }
        found
    }

    /// A section in this one, `[key]`; must be there if `required`.
    pub fn section(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        required: bool,
    ) -> Option<Section<'d>> {
        let Some(found) = self.item(reader, key) else {
            if required {
                reader.fault(
                    self.line,
                    self.key(key),
                    format!("there is no [{key}] section"),
                    format!("add [{key}] on a line of its own and its keys below"),
                );
            }
            return None;
        };
        let Some(table) = found.value.as_table_like() else {
            reader.at(
                &found,
                format!("{key} is not a section"),
                format!("write [{key}] once, on a line of its own, and its keys below"),
            );
            return None;
        };
        Some(Section::new(table, found.key, found.line, self.own_allowed))
    }

    /// The sections `[[key]]`, in the order of the file; at least one must be there if `required`.
    pub fn sections(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        required: bool,
    ) -> Vec<Section<'d>> {
        let right = || format!("write [[{key}]] on a line of its own for each, and its keys below");
        let Some(found) = self.item(reader, key) else {
            if required {
                let wrong = format!("there is no [[{key}]]");
                reader.fault(self.line, self.key(key), wrong, right());
            }
            return Vec::new();
        };
        let tables: Option<Vec<Placed<'_>>> = match found.value {
            Item::ArrayOfTables(tables) => Some(
                tables
                    .iter()
                    .map(|t| (t as &dyn TableLike, t.span()))
                    .collect(),
            ),
            item => item.as_array().and_then(|array| {
                let tables = array.iter().map(|v| {
                    let table = v.as_inline_table()?;
                    Some((table as &dyn TableLike, table.span()))
                });
                tables.collect()
            }),
        };
        let tables = tables.unwrap_or_default();
        if tables.is_empty() {
            let wrong = match found.value.is_table() {
                true => format!("[{key}] has single brackets, but there can be several"),
                false => format!("{key} is not a list of sections"),
            };
            reader.at(&found, wrong, right());
        }
        let lines: Vec<usize> = tables
            .iter()
            .map(|(_, span)| reader.line(span.as_ref(), found.line))
            .collect();
        tables
            .into_iter()
            .zip(lines)
            .enumerate()
            .map(|(i, ((table, _), line))| {
                let path = format!("{}[{}]", found.key, i + 1);
                Section::new(table, path, line, self.own_allowed)
            })
            .collect()
    }

    /// An entry of a list, at its place from 1, that is written as a section in one line: `{ … }`.
    /// `None` where it is something else.
    pub fn of_entry(entry: &Found<&'d Value>, place: usize) -> Option<Self> {
        let table = entry.value.as_inline_table()?;
        let path = format!("{}[{place}]", entry.key);
        Some(Self::new(table, path, entry.line, false))
    }

    /// Reports every key that nobody asked for.
    pub fn finish(self, reader: &mut Reader) {
        for (name, item) in self.table.iter() {
            if self.asked.contains(name) || self.own_allowed && name.starts_with(OWN) {
                continue;
            }
            let span = self.table.key(name).and_then(|k| k.span());
            let line = reader.line(span.or_else(|| item.span()).as_ref(), self.line);
            let known = || self.asked.iter().copied();
            let right = match nearest(name, known()) {
                Some(near) => format!("did you mean {near}?"),
                None => {
                    let known = known().collect::<Vec<_>>().join(", ");
                    let own = match self.own_allowed {
                        true => format!("; one of your own begins with {OWN}"),
                        false => String::new(),
                    };
                    format!("known here are {known}{own}")
                }
            };
            reader.fault(
                line,
                self.key(name),
                format!("{name} is not known here"),
                right,
            );
        }
    }
}
