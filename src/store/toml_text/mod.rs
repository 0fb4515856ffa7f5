//! Reading TOML that people write by hand, with every mistake at its own line, and writing it.

mod faults;
mod nearest;
mod section;
mod value;
pub(crate) mod write;

pub(crate) use faults::{Found, Reader};
pub(crate) use nearest::nearest;
pub(crate) use section::Section;
pub(crate) use value::{MOMENT, hidden, wrong_line};

use crate::trade::units::no_comma;
use toml_edit::Document;

/// Parses `text`; a syntax mistake becomes the only fault, at its line.
pub(crate) fn parse(text: &str, reader: &mut Reader) -> Option<Document<String>> {
    match Document::parse(text.to_owned()) {
        Ok(document) => Some(document),
        Err(error) => {
            let line = reader.line(error.span().as_ref(), 1);
            // cost_per_litre = 3,20
            let value = text.lines().nth(line - 1).and_then(|l| l.split_once('='));
            let value = value.map(|(_, value)| value.split('#').next().unwrap_or(value).trim());
            let bare = |c: char| c.is_ascii_digit() || ",.+-".contains(c);
            let number = value.filter(|value| value.chars().all(bare));
            if let Some(fault) = number.and_then(|number| no_comma(number).err()) {
                reader.fault(line, "(file)", fault.wrong, fault.right);
                return None;
            }
            let said: Vec<&str> = error.message().split_whitespace().collect();
            reader.fault(
                line,
                "(file)",
                format!("this line cannot be read: {}", said.join(" ")),
                "write key = value with texts in double quotes, each key once, and sections as \
                 [name] or [[name]]",
            );
            None
        }
    }
}
