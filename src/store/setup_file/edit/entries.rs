//! Entries of a list or of a section in one line: one more, or one less, with comments left alone.

use super::layout::{Kind, Layout, Node};
use super::lines::{
    Splice, end_of_line, indent, is_first_of_line, line_break, next_line, start_of_line,
};
use std::ops::Range;

/// What stands between the brackets of a value, entry by entry.
pub(super) struct Entries {
    /// The whole value with its brackets.
    whole: Range<usize>,
    /// In square brackets, where a comma may stand behind the last one in every version of TOML.
    is_list: bool,
    entries: Vec<Range<usize>>,
    commas: Vec<usize>,
}

impl Entries {
    /// Those of a list or a section in one line; none of anything else.
    pub fn of(node: &Node) -> Option<Self> {
        let (entries, commas) = match &node.kind {
            Kind::Scalar => return None,
            Kind::List { entries, commas } => {
                (entries.iter().map(|e| e.span.clone()).collect(), commas)
            }
            Kind::Table { pairs, commas } => (pairs.iter().map(|p| p.span()).collect(), commas),
        };
        Some(Self {
            whole: node.span.clone(),
            is_list: matches!(node.kind, Kind::List { .. }),
            entries,
            commas: commas.clone(),
        })
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.entries.len()
    }

    /// From where to where the one at `place` goes.
    pub fn span(&self, place: usize) -> Range<usize> {
        self.entries[place].clone()
    }

    /// The comma behind the entry at `place`.
    fn comma_behind(&self, place: usize) -> Option<usize> {
        let end = self.entries[place].end;
        let next = self
            .entries
            .get(place + 1)
            .map_or(self.whole.end, |e| e.start);
        self.commas
            .iter()
            .copied()
            .find(|c| (end..next).contains(c))
    }

    /// Puts a new one in, to stand at `place`.
    pub fn insert(&self, text: &str, place: usize, new: &str) -> Vec<Splice> {
        let Some(before) = place.checked_sub(1) else {
            return match self.entries.first() {
                None => vec![Splice::at(self.whole.start + 1, new)],
                Some(first) if is_first_of_line(text, first.start) => {
                    let space = indent(text, first.start);
                    let into = format!("{new},{}{space}", line_break(text));
                    vec![Splice::at(first.start, into)]
                }
                Some(first) => vec![Splice::at(first.start, format!("{new}, "))],
            };
        };
        let entry = &self.entries[before];
        let comma = self.comma_behind(before);
        let (end, closed) = (comma.map_or(entry.end, |c| c + 1), self.whole.end - 1);
        let line_end = end_of_line(text, end);
        let is_last_of_line = line_end <= closed
            && self
                .entries
                .get(place)
                .is_none_or(|next| next.start > line_end);
        if is_first_of_line(text, entry.start) && is_last_of_line {
            // Behind the comment of the one before, where there is one.
            let line = format!("{}{}{new}", line_break(text), indent(text, entry.start));
            return match comma {
                Some(_) => vec![Splice::at(line_end, line + ",")],
                None => vec![Splice::at(entry.end, ","), Splice::at(line_end, line)],
            };
        }
        match comma {
            // The one behind, or the trailing comma, goes on to part what it parted.
            Some(comma) if self.entries.len() > place => {
                vec![Splice::at(comma + 1, format!(" {new},"))]
            }
            Some(comma) => vec![Splice::at(comma + 1, format!(" {new}"))],
            None => vec![Splice::at(entry.end, format!(", {new}"))],
        }
    }

    /// Takes the one at `place` out. Comments stay, those within it too.
    pub fn remove(&self, text: &str, layout: &Layout, place: usize) -> Vec<Splice> {
        let entry = self.entries[place].clone();
        let inner: Vec<&str> = layout
            .comments_in(entry.clone())
            .map(|c| text[c].trim_end())
            .collect();
        if !inner.is_empty() {
            // Each comment needs a line of its own, and what follows the last one a new line.
            let line = line_break(text);
            let space = indent(text, entry.start);
            let kept: String = inner.iter().map(|c| format!("{c}{line}{space}")).collect();
            let mut splices = vec![Splice {
                out: entry,
                into: kept,
            }];
            let before = place.checked_sub(1).and_then(|p| self.comma_behind(p));
            splices.extend(
                self.comma_behind(place)
                    .or(before)
                    .map(|c| Splice::cut(c..c + 1)),
            );
            return splices;
        }
        self.remove_whole(text, place)
    }

    /// Takes the one at `place` out with the comments within it; those around it stay.
    pub fn remove_whole(&self, text: &str, place: usize) -> Vec<Splice> {
        let entry = self.entries[place].clone();
        let is_space = |range: Range<usize>| text[range].trim().is_empty();
        if let Some(comma) = self.comma_behind(place) {
            if !is_space(entry.end..comma) {
                return vec![Splice::cut(entry), Splice::cut(comma..comma + 1)];
            }
            let end = comma + 1;
            let rest = &text[end..end_of_line(text, end)];
            let space = rest.len() - rest.trim_start_matches([' ', '\t']).len();
            let alone = rest.len() == space && is_first_of_line(text, entry.start);
            return vec![Splice::cut(match alone {
                true => start_of_line(text, entry.start)..next_line(text, end),
                false => entry.start..end + space,
            })];
        }
        let before = place.checked_sub(1).and_then(|p| self.comma_behind(p));
        match before {
            Some(comma) if is_space(comma + 1..entry.start) => {
                vec![Splice::cut(comma..entry.end)]
            }
            Some(comma) if !self.is_list => {
                vec![Splice::cut(comma..comma + 1), Splice::cut(entry)]
            }
            Some(_) => vec![Splice::cut(entry)],
            None => vec![Splice::cut(entry)],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::setup_file::edit::lines::spliced;

    fn list(text: &str, change: impl Fn(&Entries, &Layout) -> Vec<Splice>) -> String {
        let layout = Layout::of(text).expect("TOML");
        let entries = Entries::of(&layout.blocks[0].pairs[0].value).expect("entries");
        spliced(text, change(&entries, &layout))
    }

    #[test]
    fn one_more() {
        for (text, place, expected) in [
            ("a = []", 0, "a = [9]"),
            ("a = [1, 2]", 0, "a = [9, 1, 2]"),
            ("a = [1, 2]", 1, "a = [1, 9, 2]"),
            ("a = [1, 2]", 2, "a = [1, 2, 9]"),
            ("a = [1, 2,]", 2, "a = [1, 2, 9]"),
            (
                "a = [\n  1, # c\n  2 # d\n]",
                2,
                "a = [\n  1, # c\n  2, # d\n  9\n]",
            ),
            (
                "a = [\r\n\t1, # c\r\n\t2,\r\n]",
                1,
                "a = [\r\n\t1, # c\r\n\t9,\r\n\t2,\r\n]",
            ),
            ("a = [\n  1,\n]", 0, "a = [\n  9,\n  1,\n]"),
            ("a = [\n  1, 2,\n]", 1, "a = [\n  1, 9, 2,\n]"),
            ("a = [\n  1,]", 1, "a = [\n  1, 9]"),
            ("a = [\n  1\n  , 2]", 1, "a = [\n  1\n  , 9, 2]"),
            ("a = [ # c\n]", 0, "a = [9 # c\n]"),
        ] {
            assert_eq!(
                list(text, |e, _| e.insert(text, place, "9")),
                expected,
                "{text:?}"
            );
        }
    }

    #[test]
    fn one_less() {
        for (text, place, expected) in [
            ("a = [1]", 0, "a = []"),
            ("a = [1, 2]", 0, "a = [2]"),
            ("a = [1, 2]", 1, "a = [1]"),
            ("a = [1, 2, 3]", 1, "a = [1, 3]"),
            ("a = { b = 1, c = 2 }", 0, "a = { c = 2 }"),
            ("a = { b = 1, c = 2 }", 1, "a = { b = 1 }"),
            ("a = [\n  1, # c\n  2\n]", 0, "a = [\n  # c\n  2\n]"),
            ("a = [\n  1,\n  2,\n]", 1, "a = [\n  1,\n]"),
            (
                "a = [\n  1, # c\n  2 # d\n]",
                1,
                "a = [\n  1, # c\n   # d\n]",
            ),
            ("a = [\n  1 # c\n  , 2]", 0, "a = [\n   # c\n   2]"),
            ("a = [{ b = [ # c\n 1] }, 2]", 0, "a = [# c\n 2]"),
        ] {
            let done = list(text, |e, layout| e.remove(text, layout, place));
            assert_eq!(done, expected, "{text:?}");
            let read: Result<toml_edit::DocumentMut, _> = done.parse();
            assert!(read.is_ok(), "{done:?}");
        }
    }
}
