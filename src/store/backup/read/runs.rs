//! Runs: the keys of one, and lists of those before or after it.

use super::keys::SECONDS;
use super::{Backup, Duration, Found, ML, Section, Volume};
use crate::store::records::weights;
use crate::trade::calibration::{MOST_RUNS, Read, Run, Way};
use crate::trade::units::Unreadable;
use crate::trade::weighing::{Weighed, Weights};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use toml_edit::Value;

const RUNS: &str = "write drawn ml, catch ml and seconds of each run, such as \
    [[820, 14700, 104.2], [820, 14650, 103.9]], or { drawn_ml = 820, catch_ml = 14700, \
    seconds = 104.2 } with what else is known of it";

/// What may be known of a run besides volumes and time.
pub(super) struct Details {
    pub way: Way,
    pub left: Volume,
    pub read: Option<Read>,
    pub weights: Option<Weights>,
}

impl Backup<'_> {
    /// What is known of a run besides volumes and time.
    pub(super) fn details(&mut self, section: &mut Section<'_>) -> Details {
        Details {
            way: self.way(section),
            left: section
                .number(self.reader, "left_ml", ML)
                .map_or(Volume::ZERO, |left| Volume::ml(left.value)),
            read: self.uncertainties(section),
            weights: self.all_weights(section),
        }
    }

    /// How a run was done; dry where nothing is said.
    pub(super) fn way(&mut self, section: &mut Section<'_>) -> Way {
        let words = Way::ALL.map(|way| format!("\"{}\"", way.word()));
        let right = format!("write one of {}", words.join(", "));
        let way = section.parsed(self.reader, "way", &right, |word| {
            Way::from_word(word).ok_or_else(|| Unreadable {
                wrong: format!("\"{word}\" is not a way to run"),
                right: right.clone(),
            })
        });
        way.map_or(Way::RunDry, |way| way.value)
    }

    fn uncertainties(&mut self, section: &mut Section<'_>) -> Option<Read> {
        const BOTH: [&str; 2] = ["drawn_uncertainty_ml", "catch_uncertainty_ml"];
        let found = BOTH.map(|key| section.number(self.reader, key, ML));
        if BOTH.iter().any(|key| section.has(key)) {
            for key in BOTH {
                let right = "write both uncertainties or neither";
                section.required::<f64>(self.reader, key, None, right);
            }
        }
        let [drawn, catch] = found.map(|u| u.map(|u| Volume::ml(u.value)));
        Some(Read {
            drawn: drawn?,
            catch: catch?,
        })
    }

    /// What was weighed so far.
    pub(super) fn some_weights(&mut self, section: &mut Section<'_>) -> BTreeMap<Weighed, f64> {
        let mut found = BTreeMap::new();
        for of in Weighed::ALL {
            let shown = section.number(self.reader, weights::column(of), weights::SHOWN);
            found.extend(shown.map(|shown| (of, shown.value)));
        }
        found
    }

    fn all_weights(&mut self, section: &mut Section<'_>) -> Option<Weights> {
        let found = self.some_weights(section);
        let keys = weights::IN_ROW.map(weights::column);
        if keys.iter().any(|key| section.has(key)) {
            for key in keys {
                let right = "write all five that a run by weight has, or none of them";
                section.required::<f64>(self.reader, key, None, right);
            }
        }
        Weights::of(|of| found.get(&of).copied())
    }

    /// Runs beside the one in keys of its own, with volumes in that range, as far as they can be
    /// read.
    pub(super) fn runs(
        &mut self,
        section: &mut Section<'_>,
        key: &'static str,
        volumes: &RangeInclusive<f64>,
    ) -> Vec<Found<Run>> {
        let Some(entries) = section.entries(self.reader, key, RUNS) else {
            return Vec::new();
        };
        if entries.value.len() >= MOST_RUNS {
            self.reader.at(
                &entries,
                format!("{} runs are too many here", entries.value.len()),
                format!(
                    "leave some out: with the one in keys of its own a calibration has {MOST_RUNS} \
                     at most"
                ),
            );
            return Vec::new();
        }
        let mut runs = Vec::new();
        for (place, entry) in (1..).zip(entries.value) {
            let run = match Section::of_entry(&entry, place) {
                Some(section) => self.run(section, volumes),
                None => three_numbers(entry.value, volumes)
                    .map_err(|wrong| self.reader.at(&entry, wrong, RUNS))
                    .ok(),
            };
            runs.extend(run.map(|run| entry.map(|_| run)));
        }
        runs
    }

    /// A run in a section of its own.
    fn run(&mut self, mut section: Section<'_>, volumes: &RangeInclusive<f64>) -> Option<Run> {
        let mut volume = |section: &mut Section<'_>, key| match volumes.contains(&0.0) {
            true => self.ml(section, key),
            false => self.some_ml(section, key),
        };
        let drawn = volume(&mut section, "drawn_ml");
        let catch = volume(&mut section, "catch_ml");
        let time = self.seconds(&mut section);
        let time = self.must(&section, "seconds", time, "write the time in seconds");
        let Details {
            way,
            left,
            read,
            weights,
        } = self.details(&mut section);
        section.finish(self.reader);
        Some(Run {
            drawn: drawn?,
            left,
            catch: catch?,
            time: time?,
            way,
            read,
            weights,
        })
    }
}

/// A run of which no more is known, or what is wrong with it.
fn three_numbers(value: &Value, volumes: &RangeInclusive<f64>) -> Result<Run, String> {
    let numbers: Option<Vec<f64>> = value.as_array().and_then(|run| {
        let number = |v: &Value| v.as_float().or_else(|| v.as_integer().map(|n| n as f64));
        run.iter().map(number).collect()
    });
    match numbers.as_deref() {
        Some([drawn, catch, _]) if !(volumes.contains(drawn) && volumes.contains(catch)) => Err(
            format!("{drawn} and {catch} ml are not what a run draws and catches"),
        ),
        Some([_, _, seconds]) if !SECONDS.contains(seconds) => {
            Err(format!("{seconds} seconds are not what a run lasts"))
        }
        Some([drawn, catch, seconds]) => Ok(Run::dry(
            Volume::ml(*drawn),
            Volume::ml(*catch),
            Duration::from_secs_f64(*seconds),
        )),
        _ => Err("a run is not three numbers in square brackets".to_owned()),
    }
}
