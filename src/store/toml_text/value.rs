//! The values behind keys: texts, numbers, yes or no, lists, dates.

use super::faults::{Found, Reader};
use super::section::Section;
use crate::trade::letters::hiding;
use crate::trade::units::{Unreadable, no_comma, trim_number};
use chrono::{DateTime, FixedOffset, NaiveDate};
use std::ops::RangeInclusive;
use toml_edit::{Item, Value};

impl<'d> Section<'d> {
    /// A text in quotes; `right` is what to write where it is something else.
    pub fn text(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        right: &str,
    ) -> Option<Found<String>> {
        let found = self.item(reader, key)?;
        match found.value.as_str() {
            Some(text) => {
                let text = text.to_owned();
                Some(found.map(|_| text))
            }
            None => {
                let wrong = format!("{} is not a text in quotes", shown(found.value));
                reader.at(&found, wrong, right);
                None
            }
        }
    }

    /// A name for people: one line that is not empty, at most `longest` characters.
    pub fn name(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        longest: usize,
    ) -> Option<Found<String>> {
        let right = format!("write one line of 1 to {longest} characters in quotes");
        let found = self.text(reader, key, &right)?;
        match wrong_line(&found.value, longest) {
            Some(wrong) => {
                reader.at(&found, wrong, right);
                None
            }
            None => Some(found),
        }
    }

    /// A text that `parse` makes something of.
    pub fn parsed<T>(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        right: &str,
        parse: impl FnOnce(&str) -> Result<T, Unreadable>,
    ) -> Option<Found<T>> {
        let found = self.text(reader, key, right)?;
        match parse(&found.value) {
            Ok(value) => Some(found.map(|_| value)),
            Err(fault) => {
                reader.at(&found, fault.wrong, fault.right);
                None
            }
        }
    }

    /// A whole number in a range.
    pub fn whole(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        range: RangeInclusive<u32>,
    ) -> Option<Found<u32>> {
        let found = self.item(reader, key)?;
        let right = format!(
            "write a whole number from {} to {} without quotes",
            range.start(),
            range.end()
        );
        let wrong = match found.value.as_integer() {
            None => format!("{} is not a whole number", shown(found.value)),
            Some(n) => match u32::try_from(n) {
                Ok(n) if range.contains(&n) => return Some(found.map(|_| n)),
                _ => format!("{n} is out of range"),
            },
        };
        reader.at(&found, wrong, right);
        None
    }

    /// A number in a range, with or without decimals.
    pub fn number(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        range: RangeInclusive<f64>,
    ) -> Option<Found<f64>> {
        let found = self.item(reader, key)?;
        let right = format!(
            "write a number from {} to {} without quotes",
            trim_number(*range.start(), 3),
            trim_number(*range.end(), 3)
        );
        let number = found
            .value
            .as_float()
            .or_else(|| found.value.as_integer().map(|n| n as f64));
        let wrong = match number {
            None => {
                // In quotes, and with a comma.
                if let Some(fault) = found.value.as_str().and_then(|t| no_comma(t).err()) {
                    reader.at(
                        &found,
                        fault.wrong,
                        format!("{} without quotes", fault.right),
                    );
                    return None;
                }
                format!("{} is not a number", shown(found.value))
            }
            Some(n) if range.contains(&n) => return Some(found.map(|_| n)),
            Some(n) => format!("{n} is out of range"),
        };
        reader.at(&found, wrong, right);
        None
    }

    /// `true` or `false`.
    pub fn flag(&mut self, reader: &mut Reader, key: &'static str) -> Option<Found<bool>> {
        let found = self.item(reader, key)?;
        match found.value.as_bool() {
            Some(flag) => Some(found.map(|_| flag)),
            None => {
                let wrong = format!("{} is neither true nor false", shown(found.value));
                reader.at(&found, wrong, "write true or false without quotes");
                None
            }
        }
    }

    /// A list in square brackets, each entry read by `entry`, which says what is wrong with it.
    pub fn list<T>(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        right: &str,
        entry: impl Fn(&toml_edit::Value) -> Result<T, String>,
    ) -> Option<Found<Vec<Found<T>>>> {
        let found = self.entries(reader, key, right)?;
        let mut entries = Vec::new();
        let mut all_right = true;
        for place in &found.value {
            match entry(place.value) {
                Ok(value) => entries.push(place.clone().map(|_| value)),
                Err(wrong) => {
                    all_right = false;
                    reader.at(place, wrong, right);
                }
            }
        }
        all_right.then(|| found.map(|_| entries))
    }

    /// A list in square brackets, each entry as it stands there.
    pub fn entries(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        right: &str,
    ) -> Option<Found<Vec<Found<&'d Value>>>> {
        let found = self.item(reader, key)?;
        let Some(array) = found.value.as_array() else {
            let wrong = format!("{} is not a list in square brackets", shown(found.value));
            reader.at(&found, wrong, right);
            return None;
        };
        let entries = array.iter().map(|value| Found {
            value,
            line: reader.line(value.span().as_ref(), found.line),
            key: found.key.clone(),
        });
        let entries = entries.collect();
        Some(found.map(|_| entries))
    }

    /// A date and time with its offset from UTC, with or without quotes.
    pub fn moment(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
    ) -> Option<Found<DateTime<FixedOffset>>> {
        self.dated(reader, key, MOMENT, |text| {
            DateTime::parse_from_rfc3339(text).ok()
        })
    }

    /// A date, with or without quotes.
    pub fn day(&mut self, reader: &mut Reader, key: &'static str) -> Option<Found<NaiveDate>> {
        self.dated(reader, key, "write it as 2026-03-02", |text| {
            NaiveDate::parse_from_str(text, "%Y-%m-%d").ok()
        })
    }

    fn dated<T>(
        &mut self,
        reader: &mut Reader,
        key: &'static str,
        right: &str,
        parse: impl FnOnce(&str) -> Option<T>,
    ) -> Option<Found<T>> {
        let found = self.item(reader, key)?;
        let text = match (found.value.as_str(), found.value.as_datetime()) {
            (Some(text), _) => Some(text.to_owned()),
            (None, Some(date)) => Some(date.to_string()),
            (None, None) => None,
        };
        match text.as_deref().and_then(parse) {
            Some(date) => Some(found.map(|_| date)),
            None => {
                let wrong = format!("{} is not such a date", shown(found.value));
                reader.at(&found, wrong, right);
                None
            }
        }
    }
}

/// What to write for a date and time.
pub(crate) const MOMENT: &str =
    "write date, time and offset from UTC, such as 2026-03-02T08:15:00+01:00";

/// What is wrong with a text that must be one line, if anything.
pub(crate) fn wrong_line(text: &str, longest: usize) -> Option<String> {
    if text.trim().is_empty() {
        Some("it is empty".into())
    } else if let Some(sign) = hiding(text) {
        Some(hidden(sign))
    } else if text.chars().count() > longest {
        Some(format!("it is longer than {longest} characters"))
    } else {
        None
    }
}

/// What is said of a sign that hides itself or turns letters around.
pub(crate) fn hidden(sign: char) -> String {
    match sign {
        '\n' | '\r' => "it has a line break in it".into(),
        _ => format!(
            "it has a sign in it that cannot be seen or turns letters around (U+{:04X})",
            u32::from(sign)
        ),
    }
}

/// A value as it stands in the file, cut where it is long.
fn shown(item: &Item) -> String {
    let text = match item {
        Item::Value(value) => value.clone().decorated("", "").to_string(),
        _ => return "a section".into(),
    };
    let text: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match text.char_indices().nth(40) {
        Some((cut, _)) => format!("{}…", &text[..cut]),
        None => text,
    }
}
