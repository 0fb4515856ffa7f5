//! Collecting mistakes, and telling the line of a place in the text.

use crate::store::fault::SetupFault;
use std::ops::Range;

/// Something read, with the place where it stands, for checks that come later.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Found<T> {
    /// What was read.
    pub value: T,
    /// Its line, from 1.
    pub line: usize,
    /// Its key path.
    pub key: String,
}

impl<T> Found<T> {
    /// The same place with another value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Found<U> {
        Found {
            value: f(self.value),
            line: self.line,
            key: self.key,
        }
    }
}

/// One text being read: where its lines begin, and what is wrong with it so far.
pub(crate) struct Reader {
    /// Where each line begins, in bytes.
    starts: Vec<usize>,
    faults: Vec<SetupFault>,
}

impl Reader {
    pub fn new(text: &str) -> Self {
        let after_breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        Self {
            starts: std::iter::once(0).chain(after_breaks).collect(),
            faults: Vec::new(),
        }
    }

    /// The line, from 1, in which `span` begins; `otherwise` where there is none.
    pub fn line(&self, span: Option<&Range<usize>>, otherwise: usize) -> usize {
        span.map_or(otherwise, |span| {
            self.starts.partition_point(|&start| start <= span.start)
        })
    }

    pub fn fault(
        &mut self,
        line: usize,
        key: impl Into<String>,
        wrong: impl Into<String>,
        right: impl Into<String>,
    ) {
        self.faults.push(SetupFault {
            line,
            key: key.into(),
            wrong: wrong.into(),
            right: right.into(),
        });
    }

    /// A mistake in something that was read as such.
    pub fn at<T>(&mut self, found: &Found<T>, wrong: impl Into<String>, right: impl Into<String>) {
        self.fault(found.line, found.key.clone(), wrong, right);
    }

    /// True while nothing is wrong.
    pub fn is_clean(&self) -> bool {
        self.faults.is_empty()
    }

    /// How many mistakes there are so far.
    pub fn count(&self) -> usize {
        self.faults.len()
    }

    /// Everything that is wrong, in the order of the lines.
    pub fn into_faults(mut self) -> Vec<SetupFault> {
        self.faults.sort_by_key(|fault| fault.line);
        self.faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_count_from_one() {
        let reader = Reader::new("a\nbc\n\nd");
        for (at, line) in [(0, 1), (1, 1), (2, 2), (4, 2), (5, 3), (6, 4), (7, 4)] {
            assert_eq!(reader.line(Some(&(at..at)), 99), line, "byte {at}");
        }
        assert_eq!(reader.line(None, 99), 99);
    }
}
