//! Where a part of the set-up stands in the file, in whichever of TOML's ways it is written.

use super::layout::{Block, Kind, Layout, Node, Pair, text_of_scalar};
use super::lines::{end_of_line, is_first_of_line, next_line, start_of_line};
use crate::bay::setup_change::Place;
use std::ops::Range;

/// How a part of the set-up is written.
#[derive(Clone, Copy)]
pub(super) enum Spot<'l> {
    /// Below a heading of its own, or at the top of the file: which block.
    Block(usize),
    /// By keys with dots at the top of the file: what they begin with.
    Dotted(&'static str),
    /// In one line: `screen = { … }` at the top of the file.
    Inline(&'l Pair),
    /// As an entry of a list at the top of the file: `sprayer = [{ … }]`.
    Entry {
        /// The key and its list.
        list: &'l Pair,
        /// Which entry.
        place: usize,
    },
}

/// A file that is looked at.
pub(super) struct File<'t> {
    pub text: &'t str,
    pub layout: Layout,
}

impl<'t> File<'t> {
    /// `None` where the text is not TOML.
    pub fn of(text: &'t str) -> Option<Self> {
        let layout = Layout::of(text)?;
        Some(Self { text, layout })
    }

    /// The top of the file.
    pub fn top(&self) -> &Block {
        &self.layout.blocks[0]
    }

    /// Where a part stands; `None` where it is not there.
    pub fn find(&self, place: &Place) -> Option<Spot<'_>> {
        match (place.kind(), place.id()) {
            (None, _) => Some(Spot::Block(0)),
            (Some(name), None) => self.section(name),
            (Some(kind), Some(id)) => self.spots(kind).into_iter().find(|spot| {
                let own = self.pair(*spot, "id");
                own.and_then(|pair| text_of_scalar(self.text, &pair.value))
                    .as_deref()
                    == Some(id)
            }),
        }
    }

    fn section(&self, name: &'static str) -> Option<Spot<'_>> {
        let headed = self.layout.blocks.iter().position(|block| {
            let heading = block.heading.as_ref();
            heading.is_some_and(|h| !h.is_list && h.path == [name])
        });
        if let Some(block) = headed {
            return Some(Spot::Block(block));
        }
        let first = self.top().pairs.iter().find(|p| p.path[0] == name)?;
        match (first.path.len(), &first.value.kind) {
            (1, Kind::Table { .. }) => Some(Spot::Inline(first)),
            (1, _) => None,
            _ => Some(Spot::Dotted(name)),
        }
    }

    /// All of a kind of which there may be several, in the order of the file.
    pub fn spots(&self, kind: &str) -> Vec<Spot<'_>> {
        if let Some(list) = self.list(kind) {
            let count = match &list.value.kind {
                Kind::List { entries, .. } => entries.len(),
                _ => 0,
            };
            return (0..count)
                .map(|place| Spot::Entry { list, place })
                .collect();
        }
        let blocks = self.layout.blocks.iter().enumerate();
        let of_kind = blocks.filter(|(_, block)| {
            let heading = block.heading.as_ref();
            heading.is_some_and(|h| h.is_list && h.path == [kind])
        });
        of_kind.map(|(place, _)| Spot::Block(place)).collect()
    }

    /// The list at the top of the file in which all of a kind stand, where they do.
    pub fn list(&self, kind: &str) -> Option<&Pair> {
        let mut pairs = self.top().pairs.iter();
        pairs.find(|p| p.path == [kind] && matches!(p.value.kind, Kind::List { .. }))
    }

    /// The keys of a part, each with its names: those behind the dots where all begin alike.
    pub fn pairs<'s>(&'s self, spot: Spot<'s>) -> Vec<(&'s [String], &'s Pair)> {
        let whole = |p: &'s Pair| (&p.path[..], p);
        match spot {
            Spot::Block(block) => self.layout.blocks[block].pairs.iter().map(whole).collect(),
            Spot::Dotted(name) => {
                let all = self.top().pairs.iter().filter(|p| p.path[0] == name);
                all.map(|p| (&p.path[1..], p)).collect()
            }
            Spot::Inline(_) | Spot::Entry { .. } => match self.node(spot).map(|n| &n.kind) {
                Some(Kind::Table { pairs, .. }) => pairs.iter().map(whole).collect(),
                _ => Vec::new(),
            },
        }
    }

    /// A key of a part.
    pub fn pair<'s>(&'s self, spot: Spot<'s>, key: &str) -> Option<&'s Pair> {
        let mut pairs = self.pairs(spot).into_iter();
        pairs.find(|(path, _)| *path == [key]).map(|(_, pair)| pair)
    }

    /// The braces in which a part stands in one line.
    pub fn node<'s>(&'s self, spot: Spot<'s>) -> Option<&'s Node> {
        match spot {
            Spot::Block(_) | Spot::Dotted(_) => None,
            Spot::Inline(pair) => Some(&pair.value),
            Spot::Entry { list, place } => match &list.value.kind {
                Kind::List { entries, .. } => entries.get(place),
                _ => None,
            },
        }
    }

    /// The blocks that belong to this one: `[sprayer.x_notes]` behind a `[[sprayer]]`.
    pub fn below(&self, block: usize) -> Vec<usize> {
        let Some(heading) = &self.layout.blocks[block].heading else {
            return Vec::new();
        };
        let rest = self.layout.blocks.iter().enumerate().skip(block + 1);
        let rest = rest.filter_map(|(place, b)| b.heading.as_ref().map(|h| (place, h)));
        rest.take_while(|(_, h)| h.path != heading.path)
            .filter(|(_, h)| h.path.starts_with(&heading.path))
            .map(|(place, _)| place)
            .collect()
    }

    /// Where the last line of what belongs to a key ends: its own, and comments below that go on with
    /// the one beside it, which are known by standing further in than the key.
    pub fn end_of_pair(&self, pair: &Pair) -> usize {
        let key_in = pair.start - start_of_line(self.text, pair.start);
        let mut end = end_of_line(self.text, pair.value.span.end);
        while let Some(comment) = self.comment_line(next_line(self.text, end)) {
            if comment.start - start_of_line(self.text, comment.start) <= key_in {
                break;
            }
            end = end_of_line(self.text, comment.end);
        }
        end
    }

    /// The comment that has the line to itself which begins at `start`.
    fn comment_line(&self, start: usize) -> Option<Range<usize>> {
        let end = end_of_line(self.text, start);
        let comment = self.layout.comments_in(start..end).next()?;
        is_first_of_line(self.text, comment.start).then_some(comment)
    }

    /// Where the last line of a block ends: with its last key, or with comments right below that which
    /// do not lead on to the next heading.
    pub fn end_of_block(&self, block: usize) -> usize {
        let block = &self.layout.blocks[block];
        let own = match (block.pairs.last(), &block.heading) {
            (Some(pair), _) => self.end_of_pair(pair),
            (None, Some(heading)) => end_of_line(self.text, heading.span.end),
            (None, None) => return 0,
        };
        let mut end = own;
        loop {
            let next = next_line(self.text, end);
            match self.comment_line(next) {
                Some(comment) if next > end => end = end_of_line(self.text, comment.end),
                _ => {
                    let leads_on = next < self.text.len()
                        && !self.text[next..end_of_line(self.text, next)]
                            .trim()
                            .is_empty();
                    return if leads_on { own } else { end };
                }
            }
        }
    }

    /// Where a block begins: with its heading, or with the comments right above it.
    pub fn start_of_block(&self, block: usize) -> usize {
        let Some(heading) = &self.layout.blocks[block].heading else {
            return 0;
        };
        let mut start = start_of_line(self.text, heading.span.start);
        let heading_in = heading.span.start - start;
        // What stands above belongs to the key above where it goes on with the comment beside it.
        let above = match block.checked_sub(1).map(|above| &self.layout.blocks[above]) {
            Some(above) => match (above.pairs.last(), &above.heading) {
                (Some(pair), _) => self.end_of_pair(pair),
                (None, Some(heading)) => end_of_line(self.text, heading.span.end),
                (None, None) => 0,
            },
            None => 0,
        };
        while let Some(line) = start
            .checked_sub(1)
            .map(|end| start_of_line(self.text, end))
        {
            match self.comment_line(line) {
                Some(comment) if line >= above && comment.start - line <= heading_in => {
                    start = line;
                }
                _ => break,
            }
        }
        start
    }
}
