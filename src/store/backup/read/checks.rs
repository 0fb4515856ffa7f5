//! Timed checks, and corrections of a dose.

use super::{BTreeSet, Backup, Section};
use crate::bay::records::CheckRecord;
use crate::store::backup::contents::{Correction, KeptCheck};
use crate::store::records::checks::MOST_FACTOR;

impl Backup<'_> {
    pub(super) fn check(
        &mut self,
        mut section: Section<'_>,
        outlived: &BTreeSet<String>,
    ) -> Option<KeptCheck> {
        let at = self.at(&mut section, "at");
        let sprayer = self.sprayer(&mut section);
        let is_mix = section.has("mix");
        let mix = section.text(
            self.reader,
            "mix",
            "write the chemical's id in quotes, or leave it out for clean water",
        );
        let mix = self.known(mix, self.chemicals.clone(), "chemical");
        let time = self.seconds(&mut section);
        let time = self.must(&section, "seconds", time, "write the time in seconds");
        let calibrated = self.time(&mut section, "calibrated_seconds");
        let calibrated = self.must(
            &section,
            "calibrated_seconds",
            calibrated,
            "write the seconds that it should have taken",
        );
        let ended = self.outlived(&mut section, sprayer.as_deref(), outlived);
        section.finish(self.reader);
        // A mix that cannot be read must not become clean water.
        if is_mix && mix.is_none() {
            return None;
        }
        Some(KeptCheck {
            record: CheckRecord {
                sprayer: sprayer?,
                mix: mix.map(|mix| mix.value),
                time: time?,
                calibrated: calibrated?,
                at: at?,
            },
            ended,
        })
    }

    pub(super) fn correction(
        &mut self,
        mut section: Section<'_>,
        outlived: &BTreeSet<String>,
    ) -> Option<Correction> {
        const RIGHT: &str = "write factor, what the dose is multiplied with, or lifted = true \
            where it was ended";
        let at = self.at(&mut section, "at");
        let sprayer = self.sprayer(&mut section);
        let chemical = self.chemical(&mut section, "chemical");
        let factor = section.number(self.reader, "factor", 0.0..=MOST_FACTOR);
        let lifted = section.flag(self.reader, "lifted");
        let is_lifted = lifted.as_ref().is_some_and(|lifted| lifted.value);
        match (&factor, &lifted) {
            (Some(zero), _) if zero.value <= 0.0 => {
                self.reader.at(zero, "a dose of nothing cannot be", RIGHT);
            }
            (_, Some(lifted)) if is_lifted && section.has("factor") => {
                let wrong = "factor and lifted are both here, and only one can be meant";
                self.reader.at(lifted, wrong, RIGHT);
            }
            _ if !is_lifted => {
                section.required(self.reader, "factor", factor.clone(), RIGHT);
            }
            _ => {}
        }
        let ended = self.outlived(&mut section, sprayer.as_deref(), outlived);
        section.finish(self.reader);
        Some(Correction {
            at: at?,
            sprayer: sprayer?,
            chemical: chemical?,
            factor: factor.map(|factor| factor.value),
            ended,
        })
    }

    /// Whether a calibration or a change came after it; there must be one then.
    fn outlived(
        &mut self,
        section: &mut Section<'_>,
        sprayer: Option<&str>,
        outlived: &BTreeSet<String>,
    ) -> bool {
        let Some(ended) = section.flag(self.reader, "ended").filter(|e| e.value) else {
            return false;
        };
        if let Some(sprayer) = sprayer
            && self.calibrations_read
            && self.changes_read
            && !outlived.contains(sprayer)
        {
            self.reader.at(
                &ended,
                format!("{sprayer} has no calibration and no change that could have ended it"),
                "leave ended out, or bring what ended it in",
            );
        }
        true
    }
}
