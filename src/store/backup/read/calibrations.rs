//! The `[[calibration]]` entries, and what must agree among them and with the changes.

use super::fills::never_back;
use super::keys::WASHES;
use super::runs::Details;
use super::{BTreeSet, Backup, Found, ML, MOMENT, Moment, Section};
use crate::bay::records::CalibrationRecord;
use crate::store::backup::contents::{
    BroughtBack, Change, InOrder, KeptCalibration, KeptFill, far_ahead, odd,
};
use crate::trade::calibration::{Calibration, Container, Doubt, Run, Way};
use crate::trade::possible::Impossible;
use crate::trade::units::Volume;

/// A volume that is some liquid, in ml.
const SOME_ML: std::ops::RangeInclusive<f64> = f64::MIN_POSITIVE..=*ML.end();

impl Backup<'_> {
    pub(super) fn calibrations(
        &mut self,
        top: &mut Section<'_>,
        made: Option<&Found<Moment>>,
        fills: &[KeptFill],
    ) -> Vec<Found<KeptCalibration>> {
        let before = self.reader.count();
        let read = self.each(top, "calibration", |backup, section| {
            backup.calibration(section, fills)
        });
        self.calibrations_read = self.reader.count() == before;
        let mut order = InOrder::default();
        for (found, taken, clock_wrong) in &read {
            let record = &found.value.record;
            let goes_back = order.goes_back(&record.sprayer, record.taken);
            let wrong = match (goes_back, made) {
                (Some(before), _) => format!(
                    "{} is before {}, which {} has above it",
                    record.taken.to_rfc3339(),
                    before.to_rfc3339(),
                    record.sprayer
                ),
                (None, Some(made)) if far_ahead(record.taken, made.value) => format!(
                    "{} is more than a year after this file was made",
                    record.taken.to_rfc3339()
                ),
                _ => continue,
            };
            if !clock_wrong {
                self.reader.at(
                    taken,
                    wrong,
                    "put the newest last, or add clock_wrong = true where the order is right and \
                     the date is not",
                );
            }
        }
        let read: Vec<_> = read.into_iter().map(|(found, ..)| found).collect();
        never_back(read, |found: &mut Found<KeptCalibration>| {
            &mut found.value.fills_before
        })
    }

    /// The calibration, the place of its date, and whether that is known to be wrong.
    pub(super) fn calibration(
        &mut self,
        mut section: Section<'_>,
        fills: &[KeptFill],
    ) -> Option<(Found<KeptCalibration>, Found<()>, bool)> {
        let (line, void_key) = (section.line, section.key("void"));
        let sprayer = self.sprayer(&mut section);
        let nozzle = self.name(&mut section, "nozzle");
        let washer = self.name(&mut section, "washer");
        let drawn = self.some_ml(&mut section, "drawn_ml");
        let catch = self.some_ml(&mut section, "catch_ml");
        let time = self.seconds(&mut section);
        let time = self.must(&section, "seconds", time, "write the time in seconds");
        let dial = section.text(self.reader, "dial", "write the dial's setting in quotes");
        let Details {
            way,
            left,
            read,
            weights,
        } = self.details(&mut section);
        let holds = self.measured(&mut section, way);
        let more = self.runs(&mut section, "more_runs", &SOME_ML);
        let taken = section.moment(self.reader, "taken");
        let taken = section.required(self.reader, "taken", taken, MOMENT);
        let date = taken.as_ref().map(|taken| taken.value);
        let fills_before = self.fills_before(&mut section, fills, date);
        let washes_since = self.whole(&mut section, "washes_since");
        let void = self.cause(&mut section, "void");
        let confirmed = self.mark(&mut section, "confirmed");
        let clock_wrong = self.mark(&mut section, "clock_wrong");
        let taken_back = self.mark(&mut section, "taken_back");
        let first = || {
            Some(Run {
                drawn: drawn?,
                left,
                catch: catch?,
                time: time?,
                way,
                read,
                weights,
            })
        };
        let first = first();
        if let Some(run) = first
            && let Some(place) = section.number(self.reader, "catch_ml", ML)
        {
            self.plausible(&place.map(|_| run), holds, confirmed);
        }
        for run in &more {
            self.plausible(run, holds, confirmed);
        }
        section.finish(self.reader);
        let taken = taken?;
        let kept = KeptCalibration {
            record: CalibrationRecord {
                sprayer: sprayer?,
                nozzle: nozzle?,
                washer: washer?,
                dial: dial.map(|dial| dial.value),
                calibration: Calibration {
                    holds: holds.map(Container::measured),
                    run: first?,
                    more: more.into_iter().map(|run| run.value).collect(),
                },
                taken: taken.value,
            },
            washes_since: washes_since?,
            void: void.as_ref().map(|void| void.value),
            fills_before,
            taken_back,
        };
        let void_line = void.map_or(line, |void| void.line);
        let found = Found {
            value: kept,
            line: void_line,
            key: void_key,
        };
        Some((found, taken.map(drop), clock_wrong))
    }

    /// What the container was measured to hold; nothing where the set-up's volume counts. By weight
    /// older versions wrote as `holds_ml` what had been drawn: that is read and left aside.
    fn measured(&mut self, section: &mut Section<'_>, way: Way) -> Option<Volume> {
        let holds = section
            .has("holds_ml")
            .then(|| self.some_ml(section, "holds_ml"));
        let measured = section
            .has("measured_ml")
            .then(|| self.some_ml(section, "measured_ml"));
        match way {
            Way::ByWeight => measured.flatten(),
            Way::RunDry | Way::Timed => holds.or(measured).flatten(),
        }
    }

    /// Every `[[brought_back]]`, of a calibration that stands above it.
    pub(super) fn brought_back(
        &mut self,
        top: &mut Section<'_>,
        calibrations: &[Found<KeptCalibration>],
        fills: &[KeptFill],
    ) -> Vec<BroughtBack> {
        self.each(top, "brought_back", |backup, mut section| {
            const RIGHT: &str = "write which of the [[calibration]] it was, counted from 1, above \
                those that came after it";
            let at = backup.at(&mut section, "at");
            let which = section.whole(backup.reader, "calibration", WASHES);
            let which = section.required(backup.reader, "calibration", which, RIGHT);
            let before = backup.whole(&mut section, "calibrations_before");
            let fills_before = backup.fills_before(&mut section, fills, at);
            section.finish(backup.reader);
            let (which, before) = (which?, before? as usize);
            let place = (which.value as usize).checked_sub(1);
            let there = place.filter(|place| *place < before && before <= calibrations.len());
            let stands = there.filter(|place| !calibrations[*place].value.taken_back);
            let Some(place) = stands else {
                if backup.calibrations_read {
                    let wrong = format!(
                        "there is no calibration {} that could be brought back after {before}",
                        which.value
                    );
                    backup.reader.at(&which, wrong, RIGHT);
                }
                return None;
            };
            Some(BroughtBack {
                at: at?,
                calibration: place,
                calibrations_before: before,
                fills_before,
            })
        })
    }

    /// Readings that cannot be are refused; odd ones must be confirmed. What older versions saved
    /// beyond today's bounds is odd.
    fn plausible(&mut self, run: &Found<Run>, holds: Option<Volume>, confirmed: bool) {
        let nothing_follows = Doubt::Impossible(Impossible::CatchNotAboveDrawn);
        let doubts = run.value.doubts();
        if let Some(doubt) = doubts.into_iter().find(|d| *d == nothing_follows) {
            self.reader.at(
                run,
                format!(
                    "a catch of {} is not more than the {} drawn",
                    run.value.catch.shown(),
                    run.value.drawn.shown()
                ),
                doubt.words().to_string(),
            );
            return;
        }
        if !confirmed {
            for words in odd(&run.value, holds) {
                self.reader.at(
                    run,
                    words,
                    "mend the readings, or add confirmed = true if this is what was read",
                );
            }
        }
    }

    /// What a newest calibration says of itself and what stands in the list of changes must not
    /// contradict each other.
    pub(super) fn void_agrees(
        &mut self,
        calibrations: &[Found<KeptCalibration>],
        changes: &[Change],
    ) {
        let mut seen = BTreeSet::new();
        for found in calibrations.iter().rev() {
            let sprayer = &found.value.record.sprayer;
            if !seen.insert(sprayer) {
                continue;
            }
            let mut standing = changes.iter().rev().filter(|c| !c.ended);
            let Some(newest) = standing.find(|c| c.sprayer == *sprayer) else {
                continue;
            };
            if found.value.void.is_some_and(|void| void != newest.what) {
                self.reader.at(
                    found,
                    format!(
                        "the newest [[change]] of {sprayer} says {}",
                        newest.what.word()
                    ),
                    "make both the same, or leave void out",
                );
            }
        }
    }
}
