//! Lines of a text, with either kind of line break, and pieces that are put in the place of others.

use std::ops::Range;

/// Where the line begins in which `at` stands.
pub(super) fn start_of_line(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |end| end + 1)
}

/// Where the line ends in which `at` stands, before its line break.
pub(super) fn end_of_line(text: &str, at: usize) -> usize {
    let end = text[at..].find('\n').map_or(text.len(), |end| at + end);
    match text[..end].ends_with('\r') {
        true => end - 1,
        false => end,
    }
}

/// Where the next line begins behind the one in which `at` stands, or the end of the text.
pub(super) fn next_line(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |end| at + end + 1)
}

/// The space at the beginning of the line in which `at` stands.
pub(super) fn indent(text: &str, at: usize) -> &str {
    let line = &text[start_of_line(text, at)..at];
    let end = line.find(|c| c != ' ' && c != '\t').unwrap_or(line.len());
    &line[..end]
}

/// True where nothing but space stands before `at` in its line.
pub(super) fn is_first_of_line(text: &str, at: usize) -> bool {
    indent(text, at).len() == at - start_of_line(text, at)
}

/// The line break that the text is written with.
pub(super) fn line_break(text: &str) -> &'static str {
    match text.split_once('\n') {
        Some((first, _)) if first.ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

/// A piece that is put in the place of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Splice {
    /// What goes; empty to put in only.
    pub out: Range<usize>,
    /// What comes.
    pub into: String,
}

impl Splice {
    /// Puts in, and takes nothing out.
    pub fn at(at: usize, into: impl Into<String>) -> Self {
        Self {
            out: at..at,
            into: into.into(),
        }
    }

    /// Takes out, and puts nothing in.
    pub fn cut(out: Range<usize>) -> Self {
        Self {
            out,
            into: String::new(),
        }
    }
}

/// The text with all pieces exchanged; they must not overlap.
pub(super) fn spliced(text: &str, mut splices: Vec<Splice>) -> String {
    splices.sort_by_key(|splice| (splice.out.start, splice.out.end));
    let mut new = String::with_capacity(text.len());
    let mut done = 0;
    for splice in splices {
        new.push_str(&text[done..splice.out.start]);
        new.push_str(&splice.into);
        done = splice.out.end;
    }
    new.push_str(&text[done..]);
    new
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_with_either_break() {
        let text = "ab\r\n\tcd\n\nx";
        assert_eq!((start_of_line(text, 1), end_of_line(text, 1)), (0, 2));
        assert_eq!((start_of_line(text, 6), end_of_line(text, 6)), (4, 7));
        assert_eq!(end_of_line(text, 3), 2, "at the break itself");
        assert_eq!((next_line(text, 0), next_line(text, 9)), (4, text.len()));
        assert_eq!((indent(text, 6), indent(text, 1)), ("\t", ""));
        assert!(is_first_of_line(text, 5) && !is_first_of_line(text, 6));
        assert_eq!((line_break(text), line_break("a\nb\r\n")), ("\r\n", "\n"));
        assert_eq!(line_break("a"), "\n");
    }

    #[test]
    fn pieces_are_exchanged_in_any_order() {
        let splices = vec![
            Splice::cut(4..6),
            Splice::at(2, "-"),
            Splice {
                out: 0..1,
                into: "AA".into(),
            },
        ];
        assert_eq!(spliced("abcdefg", splices), "AAb-cdg");
    }
}
