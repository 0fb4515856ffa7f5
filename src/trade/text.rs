//! A text to show, kept in a way that lets it be read in another language.
//!
//! English is what everything is written in. A text keeps its English pattern and what is put into
//! it apart, so that a list of translations, which knows the pattern, can put the same things into
//! its own, in an order of its own.

use std::borrow::Cow;
use std::fmt;

/// A pattern with a place `{}` for each thing that is put into it. In a translation a place may name
/// what stands there, `{0}` for the first: other languages order their words in other ways.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Text {
    pattern: &'static str,
    parts: Vec<Part>,
}

/// What is put into a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    /// A figure, a name, or anything else that is the same in every language.
    Plain(String),
    /// A text of its own.
    Text(Text),
}

/// Puts a [`Text`] together: `text!("{} logged", volume.shown())`.
#[macro_export]
macro_rules! text {
    ($pattern:literal $(, $part:expr)* $(,)?) => {
        $crate::trade::text::Text::new($pattern, vec![$($crate::trade::text::Part::from($part)),*])
    };
}

impl Text {
    /// A text of a pattern and what is put into it, in order.
    pub const fn new(pattern: &'static str, parts: Vec<Part>) -> Self {
        Self { pattern, parts }
    }

    /// A figure or a name alone.
    pub fn from_plain(plain: impl Into<Part>) -> Self {
        Self::new("{}", vec![plain.into()])
    }

    /// Several texts, with commas between them; the text that says nothing where there are none.
    pub fn list(texts: impl IntoIterator<Item = Self>) -> Self {
        let texts = texts.into_iter();
        texts
            .reduce(|all, text| text!("{}, {}", all, text))
            .unwrap_or_default()
    }

    /// The English pattern.
    pub const fn pattern(&self) -> &'static str {
        self.pattern
    }

    /// True for the text that says nothing.
    pub const fn is_empty(&self) -> bool {
        self.pattern.is_empty()
    }

    /// The text with every pattern as `translate` gives it.
    pub fn by(&self, translate: &dyn Fn(&'static str) -> Cow<'static, str>) -> String {
        let pattern = translate(self.pattern);
        let mut out = String::with_capacity(pattern.len());
        let mut rest = &*pattern;
        let mut next = 0;
        while let Some((before, place, after)) = split_at_place(rest) {
            out.push_str(before);
            let at = place.unwrap_or_else(|| {
                next += 1;
                next - 1
            });
            match self.parts.get(at) {
                Some(Part::Plain(plain)) => out.push_str(plain),
                Some(Part::Text(text)) => out.push_str(&text.by(translate)),
                None => {}
            }
            rest = after;
        }
        out.push_str(rest);
        out
    }
}

/// What stands before the first place of a pattern, which part that place names (none for `{}`), and
/// what stands behind it. Other braces are letters like any.
fn split_at_place(pattern: &str) -> Option<(&str, Option<usize>, &str)> {
    let braces = pattern.match_indices('{');
    braces
        .filter_map(|(at, _)| {
            let (name, after) = pattern[at + 1..].split_once('}')?;
            let place = match name {
                "" => None,
                name => Some(name.parse().ok()?),
            };
            Some((&pattern[..at], place, after))
        })
        .next()
}

impl fmt::Display for Text {
    /// In English.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.by(&|pattern| Cow::Borrowed(pattern)))
    }
}

impl From<&'static str> for Text {
    fn from(pattern: &'static str) -> Self {
        Self::new(pattern, Vec::new())
    }
}

impl From<Text> for Part {
    fn from(text: Text) -> Self {
        Self::Text(text)
    }
}
impl From<String> for Part {
    fn from(plain: String) -> Self {
        Self::Plain(plain)
    }
}
impl From<&String> for Part {
    fn from(plain: &String) -> Self {
        Self::Plain(plain.clone())
    }
}
impl From<&str> for Part {
    fn from(plain: &str) -> Self {
        Self::Plain(plain.to_owned())
    }
}
macro_rules! from_numbers {
    ($($number:ty)*) => {
        $(impl From<$number> for Part {
            fn from(number: $number) -> Self {
                Self::Plain(number.to_string())
            }
        })*
    };
}
from_numbers!(u8 u32 u64 usize i32);

impl PartialEq<str> for Text {
    fn eq(&self, english: &str) -> bool {
        *self.to_string() == *english
    }
}
impl PartialEq<&str> for Text {
    fn eq(&self, english: &&str) -> bool {
        *self.to_string() == **english
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spanish(pattern: &'static str) -> Cow<'static, str> {
        Cow::Borrowed(match pattern {
            "{} washes" => "{} lavados",
            "{} after {}" => "{} tras {}",
            "due" => "pendiente",
            other => other,
        })
    }

    #[test]
    fn parts_are_put_into_their_places_in_every_language() {
        let text = text!("{} after {}", Text::from("due"), text!("{} washes", 40_u32));
        assert_eq!(text, "due after 40 washes");
        assert_eq!(text.by(&spanish), "pendiente tras 40 lavados");
    }

    #[test]
    fn a_translation_may_name_its_places_to_order_them() {
        let in_order = |pattern: &'static str| {
            let text = text!("{} after {}", "A", Text::from("B"));
            text.by(&|p| Cow::Borrowed(if p == "{} after {}" { pattern } else { p }))
        };
        assert_eq!(in_order("{} tras {}"), "A tras B");
        assert_eq!(in_order("{0} tras {1}"), "A tras B");
        assert_eq!(in_order("tras {1}, {0}"), "tras B, A");
        assert_eq!(in_order("{1}{1}"), "BB");
        // What is no place stays as it stands; a place for nothing stays empty.
        assert_eq!(in_order("{x} {} {2}{"), "{x} A {");
    }

    #[test]
    fn what_is_put_in_is_not_read_as_a_pattern() {
        let text = text!("{} washes", "{}");
        assert_eq!(text.by(&spanish), "{} lavados");
    }
}
