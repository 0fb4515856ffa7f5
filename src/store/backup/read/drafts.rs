//! What the bay was in the middle of: the chemical chosen, and runs not finished.

use super::{Backup, ML, Moment, Section, Volume};
use crate::bay::records::{Draft, Step};
use crate::trade::units::Unreadable;

impl Backup<'_> {
    pub(super) fn chosen_chemical(&mut self, top: &mut Section<'_>) -> Option<(String, Moment)> {
        const BOTH: [&str; 2] = ["chosen_chemical", "chosen_chemical_at"];
        if !BOTH.iter().any(|key| top.has(key)) {
            // Asked for, so that they are known.
            let _ = top.text(self.reader, BOTH[0], "");
            let _ = top.moment(self.reader, BOTH[1]);
            return None;
        }
        let chemical = self.chemical(top, BOTH[0]);
        let at = self.at(top, BOTH[1]);
        chemical.zip(at)
    }

    /// An unfinished run, or one thrown away, which has a date.
    pub(super) fn draft(
        &mut self,
        mut section: Section<'_>,
        dated: bool,
    ) -> Option<(Option<Moment>, Draft)> {
        let at = dated.then(|| self.at(&mut section, "at")).flatten();
        let sprayer = self.sprayer(&mut section);
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
        let time = self.seconds(&mut section);
        const LOADS: &str = "write the loads in ml, such as [1000, 1000, 300]";
        let loads = section.list(self.reader, "catch_ml", LOADS, |value| {
            let ml = value
                .as_float()
                .or_else(|| value.as_integer().map(|n| n as f64));
            ml.filter(|ml| ML.contains(ml))
                .map(Volume::ml)
                .ok_or_else(|| "a load is not a volume in ml".to_owned())
        });
        let runs = self.runs(&mut section, "runs", ML);
        section.finish(self.reader);
        let loads = loads.map(|l| l.value).unwrap_or_default();
        let run = Draft {
            sprayer: sprayer?,
            step: step?,
            holds: holds.map(|h| Volume::ml(h.value)),
            time: time.map(|t| t.value),
            catch_loads: loads.into_iter().map(|l| l.value).collect(),
            runs: runs.into_iter().map(|run| run.value).collect(),
        };
        Some((at, run))
    }
}
