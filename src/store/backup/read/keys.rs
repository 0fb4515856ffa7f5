//! Single keys of an entry: missing, unreadable and unknown ones are told at their line.

use super::{BTreeSet, Backup, Duration, Found, ML, MOMENT, Moment, Section, VoidCause, Volume};
use crate::store::toml_text::hidden;
use crate::trade::letters::hiding;
use crate::trade::units::Unreadable;
use std::ops::RangeInclusive;

/// More than any run lasts.
pub(super) const SECONDS: RangeInclusive<f64> = 0.0..=999_999.0;
/// More washes than are believed of one sprayer: one every half minute, day and night, for ten years.
pub(super) const WASHES: RangeInclusive<u32> = 0..=10_000_000;

/// What may be written for a cause.
pub(super) fn causes() -> String {
    let words = VoidCause::ALL.map(|cause| format!("\"{}\"", cause.word()));
    format!("write one of {}", words.join(", "))
}

impl Backup<'_> {
    pub(super) fn must<T>(
        &mut self,
        section: &Section<'_>,
        key: &'static str,
        found: Option<Found<T>>,
        right: &str,
    ) -> Option<T> {
        section
            .required(self.reader, key, found, right)
            .map(|found| found.value)
    }

    pub(super) fn text(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<String> {
        const RIGHT: &str = "write a text in quotes";
        let found = section.text(self.reader, key, RIGHT);
        self.must(section, key, found, RIGHT)
    }

    /// A text that people are shown as a name: no sign of it hides itself.
    pub(super) fn name(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<String> {
        const RIGHT: &str = "write a text in quotes";
        let found = section.text(self.reader, key, RIGHT);
        if let Some((found, sign)) = found.as_ref().and_then(|f| Some((f, hiding(&f.value)?))) {
            self.reader.at(found, hidden(sign), "write it anew");
            return None;
        }
        self.must(section, key, found, RIGHT)
    }

    pub(super) fn at(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<Moment> {
        let found = section.moment(self.reader, key);
        self.must(section, key, found, MOMENT)
    }

    pub(super) fn ml(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<Volume> {
        let found = section.number(self.reader, key, ML);
        self.must(section, key, found, "write a number of ml without quotes")
            .map(Volume::ml)
    }

    /// A volume that is some liquid.
    pub(super) fn some_ml(
        &mut self,
        section: &mut Section<'_>,
        key: &'static str,
    ) -> Option<Volume> {
        let found = section.number(self.reader, key, ML);
        if let Some(zero) = found.as_ref().filter(|f| f.value <= 0.0) {
            self.reader
                .at(zero, "0 ml cannot be", "write what was measured, in ml");
            return None;
        }
        self.must(section, key, found, "write a number of ml without quotes")
            .map(Volume::ml)
    }

    pub(super) fn whole(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<u32> {
        let found = section.whole(self.reader, key, WASHES);
        self.must(section, key, found, "write a whole number without quotes")
    }

    pub(super) fn mark(&mut self, section: &mut Section<'_>, key: &'static str) -> bool {
        section
            .flag(self.reader, key)
            .is_some_and(|mark| mark.value)
    }

    pub(super) fn known(
        &mut self,
        found: Option<Found<String>>,
        ids: Option<BTreeSet<String>>,
        what: &str,
    ) -> Option<Found<String>> {
        let (found, ids) = (found?, ids?);
        if ids.contains(&found.value) {
            return Some(found);
        }
        let ids: Vec<String> = ids.into_iter().collect();
        self.reader.at(
            &found,
            format!("the set-up has no {what} \"{}\"", found.value),
            format!(
                "write one of \"{}\", or name it in former_{what}s",
                ids.join("\", \"")
            ),
        );
        None
    }

    pub(super) fn sprayer(&mut self, section: &mut Section<'_>) -> Option<String> {
        const RIGHT: &str = "write the sprayer's id in quotes";
        let found = section.text(self.reader, "sprayer", RIGHT);
        let found = section.required(self.reader, "sprayer", found, RIGHT);
        self.known(found, self.sprayers.clone(), "sprayer")
            .map(|found| found.value)
    }

    pub(super) fn optional_sprayer(
        &mut self,
        section: &mut Section<'_>,
        key: &'static str,
    ) -> Option<String> {
        let found = section.text(self.reader, key, "write the sprayer's id in quotes");
        self.known(found, self.sprayers.clone(), "sprayer")
            .map(|found| found.value)
    }

    pub(super) fn chemical(
        &mut self,
        section: &mut Section<'_>,
        key: &'static str,
    ) -> Option<String> {
        const RIGHT: &str = "write the chemical's id in quotes";
        let found = section.text(self.reader, key, RIGHT);
        let found = section.required(self.reader, key, found, RIGHT);
        self.known(found, self.chemicals.clone(), "chemical")
            .map(|found| found.value)
    }

    pub(super) fn cause(
        &mut self,
        section: &mut Section<'_>,
        key: &'static str,
    ) -> Option<Found<VoidCause>> {
        let right = causes();
        section.parsed(self.reader, key, &right, |word| {
            VoidCause::from_word(word).ok_or_else(|| Unreadable {
                wrong: format!("\"{word}\" is not a change that makes a calibration void"),
                right: right.clone(),
            })
        })
    }

    pub(super) fn seconds(&mut self, section: &mut Section<'_>) -> Option<Found<Duration>> {
        self.time(section, "seconds")
    }

    /// A time in seconds.
    pub(super) fn time(
        &mut self,
        section: &mut Section<'_>,
        key: &'static str,
    ) -> Option<Found<Duration>> {
        let found = section.number(self.reader, key, SECONDS)?;
        Some(found.map(Duration::from_secs_f64))
    }
}
