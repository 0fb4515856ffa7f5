//! What the bay was in the middle of: runs not finished.

use super::{Backup, ML, Moment, Section, Volume};
use crate::bay::records::{Draft, Load, Step};
use crate::trade::units::Unreadable;

impl Backup<'_> {
    /// An unfinished run, or one thrown away, which has a date.
    pub(super) fn draft(
        &mut self,
        mut section: Section<'_>,
        dated: bool,
    ) -> Option<(Option<Moment>, Draft)> {
        let at = dated.then(|| self.at(&mut section, "at")).flatten();
        let sprayer = self.sprayer(&mut section);
        let way = self.way(&mut section);
        let words: Vec<&str> = Step::ALL.iter().map(|s| s.word()).collect();
        let right = format!("write one of \"{}\"", words.join("\", \""));
        let step = section.parsed(self.reader, "step", &right, |word| {
            Step::from_word(word).ok_or_else(|| Unreadable {
                wrong: format!("\"{word}\" is not a step of a calibration"),
                right: right.clone(),
            })
        });
        let step = self.must(&section, "step", step, &right);
        let holds = section.number(self.reader, "holds_ml", ML);
        let set_time = self.time(&mut section, "set_seconds");
        let time = self.seconds(&mut section);
        let left_loads = self.loads(&mut section, "left_ml");
        let catch_loads = self.loads(&mut section, "catch_ml");
        let weights = self.some_weights(&mut section);
        let runs = self.runs(&mut section, "runs", &ML);
        section.finish(self.reader);
        let run = Draft {
            sprayer: sprayer?,
            way,
            step: step?,
            holds: holds.map(|h| Volume::ml(h.value)),
            set_time: set_time.map(|t| t.value),
            time: time.map(|t| t.value),
            catch_loads,
            left_loads,
            weights,
            runs: runs.into_iter().map(|run| run.value).collect(),
        };
        Some((at, run))
    }
    /// Loads, as far as they can be read: each a number of ml, or `{ ml = …, graduation_ml = … }`.
    fn loads(&mut self, section: &mut Section<'_>, key: &'static str) -> Vec<Load> {
        const RIGHT: &str = "write the loads in ml, such as [1000, 1000, 300], or each as \
            { ml = 1000, graduation_ml = 10 }";
        let entries = section.entries(self.reader, key, RIGHT);
        let mut loads = Vec::new();
        for (place, entry) in (1..).zip(entries.map(|e| e.value).unwrap_or_default()) {
            if let Some(mut section) = Section::of_entry(&entry, place) {
                let ml = self.ml(&mut section, "ml");
                let graduation = section.number(self.reader, "graduation_ml", ML);
                section.finish(self.reader);
                loads.extend(ml.map(|volume| Load {
                    volume,
                    graduation: graduation.map(|g| Volume::ml(g.value)),
                }));
                continue;
            }
            let number = entry.value.as_float();
            let number = number.or_else(|| entry.value.as_integer().map(|n| n as f64));
            match number.filter(|ml| ML.contains(ml)) {
                Some(ml) => loads.push(Load {
                    volume: Volume::ml(ml),
                    graduation: None,
                }),
                None => self
                    .reader
                    .at(&entry, "a load is not a volume in ml", RIGHT),
            }
        }
        loads
    }
}
