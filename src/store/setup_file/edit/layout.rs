//! Where everything in a TOML text stands, to the byte: headings, keys, values, commas, comments.

use std::ops::Range;
use toml_parser::Source;
use toml_parser::parser::{Event, EventKind, parse_document};

/// A whole text. Nothing of it is left out of the count: what stands between these places is space and
/// line breaks.
#[derive(Debug)]
pub(super) struct Layout {
    /// The first one is the top of the file; each of the others begins with a heading.
    pub blocks: Vec<Block>,
    /// All comments, in order, each from its `#` to the end of its line.
    pub comments: Vec<Range<usize>>,
}

/// What stands below a heading, or at the top of the file.
#[derive(Debug)]
pub(super) struct Block {
    /// None at the top of the file.
    pub heading: Option<Heading>,
    /// In the order of the file.
    pub pairs: Vec<Pair>,
}

/// `[a.b]` or `[[a]]`.
#[derive(Debug)]
pub(super) struct Heading {
    /// The names between its dots.
    pub path: Vec<String>,
    /// True with double brackets.
    pub is_list: bool,
    /// From its first bracket to its last.
    pub span: Range<usize>,
}

/// A key and its value.
#[derive(Debug)]
pub(super) struct Pair {
    /// The names between its dots.
    pub path: Vec<String>,
    /// Where the key begins.
    pub start: usize,
    /// What stands behind the `=`.
    pub value: Node,
}

impl Pair {
    /// From the key to the end of the value.
    pub fn span(&self) -> Range<usize> {
        self.start..self.value.span.end
    }
}

/// A value.
#[derive(Debug)]
pub(super) struct Node {
    /// Without the space around it.
    pub span: Range<usize>,
    /// What it is made of.
    pub kind: Kind,
}

/// What a value is made of.
#[derive(Debug)]
pub(super) enum Kind {
    /// A text, number, flag or date.
    Scalar,
    /// `[ … ]`
    List {
        /// Its entries.
        entries: Vec<Node>,
        /// Where its commas stand.
        commas: Vec<usize>,
    },
    /// `{ … }`
    Table {
        /// Its keys.
        pairs: Vec<Pair>,
        /// Where its commas stand.
        commas: Vec<usize>,
    },
}

impl Layout {
    /// Where everything stands in `text`; `None` where it is not TOML.
    pub fn of(text: &str) -> Option<Self> {
        let source = Source::new(text);
        let tokens = source.lex().into_vec();
        let (mut events, mut error) = (Vec::new(), None);
        parse_document(&tokens, &mut events, &mut error);
        if error.is_some() {
            return None;
        }
        let comments = events
            .iter()
            .filter(|e| e.kind() == EventKind::Comment)
            .map(span)
            .collect();
        let told = |kind| {
            !matches!(
                kind,
                EventKind::Whitespace | EventKind::Newline | EventKind::Comment
            )
        };
        let events: Vec<Event> = events.into_iter().filter(|e| told(e.kind())).collect();
        let mut walk = Walk {
            source,
            events: &events,
        };
        Some(Self {
            blocks: walk.blocks()?,
            comments,
        })
    }

    /// The comments that begin within `range`.
    pub fn comments_in(&self, range: Range<usize>) -> impl Iterator<Item = Range<usize>> {
        let within = self
            .comments
            .iter()
            .filter(move |c| range.contains(&c.start));
        within.cloned()
    }
}

fn span(event: &Event) -> Range<usize> {
    event.span().start()..event.span().end()
}

/// The events that are left to go through; each step gives `None` where they are not those of TOML.
struct Walk<'t> {
    source: Source<'t>,
    events: &'t [Event],
}

impl<'t> Walk<'t> {
    fn next(&mut self) -> Option<&'t Event> {
        let (first, rest) = self.events.split_first()?;
        self.events = rest;
        Some(first)
    }

    /// Takes the next one if it is of that kind.
    fn take(&mut self, kind: EventKind) -> Option<&'t Event> {
        (self.events.first()?.kind() == kind).then(|| self.next())?
    }

    fn blocks(&mut self) -> Option<Vec<Block>> {
        let mut blocks = Vec::new();
        let (mut heading, mut pairs) = (None, Vec::new());
        while let Some(first) = self.events.first() {
            let is_list = first.kind() == EventKind::ArrayTableOpen;
            if is_list || first.kind() == EventKind::StdTableOpen {
                let closed_by = match is_list {
                    true => EventKind::ArrayTableClose,
                    false => EventKind::StdTableClose,
                };
                self.next();
                let (path, _) = self.path(closed_by)?;
                let end = span(self.next()?).end;
                let span = span(first).start..end;
                let found = Heading {
                    path,
                    is_list,
                    span,
                };
                let heading = heading.replace(found);
                let pairs = std::mem::take(&mut pairs);
                blocks.push(Block { heading, pairs });
            } else {
                pairs.push(self.pair()?);
            }
        }
        blocks.push(Block { heading, pairs });
        Some(blocks)
    }

    /// The names of a key up to what ends it, which is not taken, and where the key begins.
    fn path(&mut self, until: EventKind) -> Option<(Vec<String>, usize)> {
        let (mut path, mut start) = (Vec::new(), None);
        while self.events.first()?.kind() != until {
            let event = self.next()?;
            if event.kind() == EventKind::SimpleKey {
                start.get_or_insert(span(event).start);
                path.push(self.name(event)?);
            }
        }
        Some((path, start?))
    }

    fn name(&self, event: &Event) -> Option<String> {
        let mut name = String::new();
        self.source.get(event)?.decode_key(&mut name, &mut ());
        Some(name)
    }

    fn pair(&mut self) -> Option<Pair> {
        let (path, start) = self.path(EventKind::KeyValSep)?;
        self.next();
        let value = self.value()?;
        Some(Pair { path, start, value })
    }

    fn value(&mut self) -> Option<Node> {
        let first = self.next()?;
        let start = span(first).start;
        match first.kind() {
            EventKind::Scalar => Some(Node {
                span: span(first),
                kind: Kind::Scalar,
            }),
            EventKind::ArrayOpen => {
                let (entries, commas, end) = self.entries(EventKind::ArrayClose, Self::value)?;
                Some(Node {
                    span: start..end,
                    kind: Kind::List { entries, commas },
                })
            }
            EventKind::InlineTableOpen => {
                let (pairs, commas, end) = self.entries(EventKind::InlineTableClose, Self::pair)?;
                Some(Node {
                    span: start..end,
                    kind: Kind::Table { pairs, commas },
                })
            }
            _ => None,
        }
    }

    /// Entries between commas up to what closes them: they, the commas, and where it ends.
    fn entries<T>(
        &mut self,
        close: EventKind,
        entry: impl Fn(&mut Self) -> Option<T>,
    ) -> Option<(Vec<T>, Vec<usize>, usize)> {
        let (mut entries, mut commas) = (Vec::new(), Vec::new());
        loop {
            if let Some(closed) = self.take(close) {
                return Some((entries, commas, span(closed).end));
            }
            match self.take(EventKind::ValueSep) {
                Some(comma) => commas.push(span(comma).start),
                None => entries.push(entry(self)?),
            }
        }
    }
}

/// The text that a scalar stands for; `None` for one that is no text.
pub(super) fn text_of_scalar(text: &str, node: &Node) -> Option<String> {
    let raw = text.get(node.span.clone())?;
    let value: toml_edit::Value = raw.parse().ok()?;
    value.as_str().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_is_found_where_it_stands() {
        let text = "\u{feff}# top\r\na.'b c' = \"x # no\" # yes\r\n[s]\r\nl = [ 1, # one\r\n 2,]\r\n\
                    [[\"k\".m]]\r\nt = { a = 1, b.c = [] }";
        let layout = Layout::of(text).expect("TOML");
        let said = |range: &Range<usize>| text[range.clone()].trim_end().to_owned();
        let comments: Vec<String> = layout.comments.iter().map(said).collect();
        assert_eq!(comments, ["# top", "# yes", "# one"]);
        let headings: Vec<String> = layout
            .blocks
            .iter()
            .filter_map(|b| b.heading.as_ref().map(|h| said(&h.span)))
            .collect();
        assert_eq!(headings, ["[s]", "[[\"k\".m]]"]);
        let pairs = layout.blocks.iter().flat_map(|b| &b.pairs);
        let pairs: Vec<(String, String)> =
            pairs.map(|p| (p.path.join("/"), said(&p.span()))).collect();
        let expected = [
            ("a/b c", "a.'b c' = \"x # no\""),
            ("l", "l = [ 1, # one\r\n 2,]"),
            ("t", "t = { a = 1, b.c = [] }"),
        ];
        assert_eq!(pairs, expected.map(|(a, b)| (a.into(), b.into())));
        let Kind::List { entries, commas } = &layout.blocks[1].pairs[0].value.kind else {
            panic!("a list");
        };
        assert_eq!((entries.len(), commas.len()), (2, 2));
        let Kind::Table { pairs, commas } = &layout.blocks[2].pairs[0].value.kind else {
            panic!("a table");
        };
        assert_eq!((pairs.len(), commas.len()), (2, 1));
        assert_eq!(pairs[1].path, ["b", "c"]);
        assert!(Layout::of("[a\n").is_none());
    }
}
