//! From the text of a backup to contents, with every mistake at its line.

use super::contents::{
    Change, Contents, InOrder, KeptCalibration, KeptFill, KeptPutOff, Moment, WashCount, far_ahead,
    odd,
};
use crate::bay::records::{CalibrationRecord, Draft, Fill, Step};
use crate::bay::setup::Setup;
use crate::store::fault::SetupFault;
use crate::store::setup_file;
use crate::store::toml_text::{self, Found, MOMENT, Reader, Section};
use crate::trade::calibration::{Calibration, Run};
use crate::trade::reminder::{PutOff, VoidCause};
use crate::trade::units::{Strength, Unreadable, Volume};
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// More than any bay measures, in ml.
const ML: std::ops::RangeInclusive<f64> = 0.0..=999_999_999.0;
/// More than any run lasts.
const SECONDS: std::ops::RangeInclusive<f64> = 0.0..=999_999.0;
/// More washes than a bay does in its life.
const WASHES: std::ops::RangeInclusive<u32> = 0..=1_000_000_000;

/// Reads the whole file.
pub(super) fn contents(text: &str) -> Result<(Contents, Setup), Vec<SetupFault>> {
    let mut reader = Reader::new(text);
    let read = toml_text::parse(text, &mut reader).and_then(|document| {
        let top = Section::top(document.as_table());
        Backup::new(&mut reader, text).read(top)
    });
    match read {
        Some(read) if reader.is_clean() => Ok(read),
        _ => Err(reader.into_faults()),
    }
}

/// A backup being read: what its entries are checked against.
struct Backup<'r> {
    reader: &'r mut Reader,
    text: &'r str,
    /// Ids that may stand in it; `None` where the set-up cannot be read, so that nobody can say.
    sprayers: Option<BTreeSet<String>>,
    chemicals: Option<BTreeSet<String>>,
    /// False once a calibration could not be read: what refers to one may then be right.
    calibrations_read: bool,
}

impl<'r> Backup<'r> {
    fn new(reader: &'r mut Reader, text: &'r str) -> Self {
        Self {
            reader,
            text,
            sprayers: None,
            chemicals: None,
            calibrations_read: true,
        }
    }

    fn read(mut self, mut top: Section<'_>) -> Option<(Contents, Setup)> {
        self.format(&mut top);
        let made = top.moment(self.reader, "made");
        let made = top.required(self.reader, "made", made, MOMENT);
        let newest = top.moment(self.reader, "newest");
        let former_sprayers = self.former(&mut top, "former_sprayers");
        let former_chemicals = self.former(&mut top, "former_chemicals");
        let setup = self.setup(&mut top);
        if let Some((_, setup)) = &setup {
            let ids = setup.sprayers.iter().map(|s| s.id.clone());
            self.sprayers = Some(ids.chain(former_sprayers.iter().cloned()).collect());
            let ids = setup.chemicals.iter().map(|c| c.id.clone());
            self.chemicals = Some(ids.chain(former_chemicals.iter().cloned()).collect());
        }
        let last_sprayer = self.optional_sprayer(&mut top, "last_sprayer");
        let chosen_chemical = self.chosen_chemical(&mut top);
        let draft = top
            .section(self.reader, "draft", false)
            .map(|section| self.draft(section, false));
        let calibrations = self.calibrations(&mut top, made.as_ref());
        let wash_counts = self.wash_counts(&mut top);
        let fills = self.each(&mut top, "fill", Self::fill);
        let changes = self.changes(&mut top, &calibrations);
        let put_offs = self.put_offs(&mut top, &calibrations);
        let thrown_away = self.each(&mut top, "thrown_away_run", |backup, section| {
            backup.draft(section, true)
        });
        let setup_changes = self.each(&mut top, "earlier_setup", Self::earlier_setup);
        top.finish(self.reader);
        let (setup_text, setup) = setup?;
        let contents = Contents {
            made: made?.value,
            newest: newest.map(|n| n.value),
            setup: setup_text,
            former_sprayers,
            former_chemicals,
            last_sprayer,
            chosen_chemical,
            draft: draft.flatten().map(|(_, run)| run),
            calibrations: calibrations.into_iter().map(|c| c.value).collect(),
            wash_counts,
            fills,
            changes,
            put_offs,
            thrown_away: thrown_away
                .into_iter()
                .filter_map(|(at, run)| Some((at?, run)))
                .collect(),
            setup_changes,
        };
        Some((contents, setup))
    }

    fn format(&mut self, top: &mut Section<'_>) {
        const RIGHT: &str = "format = 1 must stand above everything else";
        let format = top.whole(self.reader, "format", 1..=u32::MAX);
        let format = top.required(self.reader, "format", format, RIGHT);
        if let Some(newer) = format.filter(|f| f.value != 1) {
            self.reader.at(
                &newer,
                format!("format {} is not known to this fillcall", newer.value),
                "restore it with the fillcall that wrote it, or a newer one",
            );
        }
    }

    /// The text of `bay.toml` and what it says. Its mistakes are told at their lines of this file.
    fn setup(&mut self, top: &mut Section<'_>) -> Option<(String, Setup)> {
        const RIGHT: &str = "write the whole text of bay.toml between ''' and '''";
        let found = top.text(self.reader, "setup", RIGHT);
        let found = top.required(self.reader, "setup", found, RIGHT)?;
        match setup_file::read(&found.value) {
            Ok(setup) => Some((found.value, setup)),
            Err(faults) => {
                // A line break just behind the three quotes is not part of the text.
                let opening = self.text.lines().nth(found.line - 1).unwrap_or_default();
                let opening = opening.trim_end();
                let below = opening.ends_with("'''") || opening.ends_with("\"\"\"");
                let above = found.line - usize::from(!below);
                for fault in faults {
                    self.reader.fault(
                        above + fault.line,
                        format!("setup: {}", fault.key),
                        fault.wrong,
                        fault.right,
                    );
                }
                None
            }
        }
    }

    fn former(&mut self, top: &mut Section<'_>, key: &'static str) -> Vec<String> {
        const RIGHT: &str = "write the ids in quotes, such as [\"lance-9\"]";
        let ids = top.list(self.reader, key, RIGHT, |value| {
            let id = value.as_str().map(str::to_owned);
            id.ok_or_else(|| "an id is not a text in quotes".to_owned())
        });
        let ids = ids.map(|ids| ids.value).unwrap_or_default();
        ids.into_iter().map(|id| id.value).collect()
    }

    /// Every `[[key]]`, as far as it can be read.
    fn each<T>(
        &mut self,
        top: &mut Section<'_>,
        key: &'static str,
        read: impl Fn(&mut Self, Section<'_>) -> Option<T>,
    ) -> Vec<T> {
        let sections = top.sections(self.reader, key, false);
        sections.into_iter().filter_map(|s| read(self, s)).collect()
    }

    // ---- single keys

    fn must<T>(
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

    fn text(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<String> {
        const RIGHT: &str = "write a text in quotes";
        let found = section.text(self.reader, key, RIGHT);
        self.must(section, key, found, RIGHT)
    }

    fn at(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<Moment> {
        let found = section.moment(self.reader, key);
        self.must(section, key, found, MOMENT)
    }

    fn ml(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<Volume> {
        let found = section.number(self.reader, key, ML);
        self.must(section, key, found, "write a number of ml without quotes")
            .map(Volume::ml)
    }

    /// A volume that is some liquid.
    fn some_ml(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<Volume> {
        let found = section.number(self.reader, key, ML);
        if let Some(zero) = found.as_ref().filter(|f| f.value <= 0.0) {
            self.reader
                .at(zero, "0 ml cannot be", "write what was measured, in ml");
            return None;
        }
        self.must(section, key, found, "write a number of ml without quotes")
            .map(Volume::ml)
    }

    fn whole(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<u32> {
        let found = section.whole(self.reader, key, WASHES);
        self.must(section, key, found, "write a whole number without quotes")
    }

    fn mark(&mut self, section: &mut Section<'_>, key: &'static str) -> bool {
        section
            .flag(self.reader, key)
            .is_some_and(|mark| mark.value)
    }

    fn known(
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

    fn sprayer(&mut self, section: &mut Section<'_>) -> Option<String> {
        const RIGHT: &str = "write the sprayer's id in quotes";
        let found = section.text(self.reader, "sprayer", RIGHT);
        let found = section.required(self.reader, "sprayer", found, RIGHT);
        self.known(found, self.sprayers.clone(), "sprayer")
            .map(|found| found.value)
    }

    fn optional_sprayer(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<String> {
        let found = section.text(self.reader, key, "write the sprayer's id in quotes");
        self.known(found, self.sprayers.clone(), "sprayer")
            .map(|found| found.value)
    }

    fn chemical(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<String> {
        const RIGHT: &str = "write the chemical's id in quotes";
        let found = section.text(self.reader, key, RIGHT);
        let found = section.required(self.reader, key, found, RIGHT);
        self.known(found, self.chemicals.clone(), "chemical")
            .map(|found| found.value)
    }

    fn cause(&mut self, section: &mut Section<'_>, key: &'static str) -> Option<Found<VoidCause>> {
        const RIGHT: &str = "write \"nozzle\", \"washer\" or \"supply\"";
        section.parsed(self.reader, key, RIGHT, |word| {
            VoidCause::from_word(word).ok_or_else(|| Unreadable {
                wrong: format!("\"{word}\" is not a change that makes a calibration void"),
                right: RIGHT.into(),
            })
        })
    }

    fn seconds(&mut self, section: &mut Section<'_>) -> Option<Found<Duration>> {
        let found = section.number(self.reader, "seconds", SECONDS)?;
        Some(found.map(Duration::from_secs_f64))
    }

    // ---- entries

    fn chosen_chemical(&mut self, top: &mut Section<'_>) -> Option<(String, Moment)> {
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
    fn draft(&mut self, mut section: Section<'_>, dated: bool) -> Option<(Option<Moment>, Draft)> {
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
        section.finish(self.reader);
        let loads = loads.map(|l| l.value).unwrap_or_default();
        let run = Draft {
            sprayer: sprayer?,
            step: step?,
            holds: holds.map(|h| Volume::ml(h.value)),
            time: time.map(|t| t.value),
            catch_loads: loads.into_iter().map(|l| l.value).collect(),
        };
        Some((at, run))
    }

    fn calibrations(
        &mut self,
        top: &mut Section<'_>,
        made: Option<&Found<Moment>>,
    ) -> Vec<Found<KeptCalibration>> {
        let before = self.reader.count();
        let read = self.each(top, "calibration", Self::calibration);
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
        read.into_iter().map(|(found, ..)| found).collect()
    }

    /// The calibration, the place of its date, and whether that is known to be wrong.
    fn calibration(
        &mut self,
        mut section: Section<'_>,
    ) -> Option<(Found<KeptCalibration>, Found<()>, bool)> {
        let (line, void_key) = (section.line, section.key("void"));
        let sprayer = self.sprayer(&mut section);
        let nozzle = self.text(&mut section, "nozzle");
        let washer = self.text(&mut section, "washer");
        let holds = self.some_ml(&mut section, "holds_ml");
        let drawn = self.some_ml(&mut section, "drawn_ml");
        let catch = self.some_ml(&mut section, "catch_ml");
        let time = self.seconds(&mut section);
        let time = self.must(&section, "seconds", time, "write the time in seconds");
        let taken = section.moment(self.reader, "taken");
        let taken = section.required(self.reader, "taken", taken, MOMENT);
        let washes_since = self.whole(&mut section, "washes_since");
        let void = self.cause(&mut section, "void");
        let confirmed = self.mark(&mut section, "confirmed");
        let clock_wrong = self.mark(&mut section, "clock_wrong");
        if let (Some(drawn), Some(catch), Some(time)) = (drawn, catch, time) {
            let calibration = Calibration {
                holds: holds.unwrap_or(drawn),
                run: Run { drawn, catch, time },
            };
            self.plausible(&mut section, &calibration, confirmed);
        }
        section.finish(self.reader);
        let taken = taken?;
        let kept = KeptCalibration {
            record: CalibrationRecord {
                sprayer: sprayer?,
                nozzle: nozzle?,
                washer: washer?,
                calibration: Calibration {
                    holds: holds?,
                    run: Run {
                        drawn: drawn?,
                        catch: catch?,
                        time: time?,
                    },
                },
                taken: taken.value,
            },
            washes_since: washes_since?,
            void: void.as_ref().map(|void| void.value),
        };
        let void_line = void.map_or(line, |void| void.line);
        let found = Found {
            value: kept,
            line: void_line,
            key: void_key,
        };
        Some((found, taken.map(drop), clock_wrong))
    }

    /// Readings that cannot be are refused; odd ones must be confirmed.
    fn plausible(&mut self, section: &mut Section<'_>, calibration: &Calibration, confirmed: bool) {
        let Some(place) = section.number(self.reader, "catch_ml", ML) else {
            return;
        };
        let impossible = calibration
            .run
            .doubts()
            .into_iter()
            .find(|d| d.is_impossible());
        if let Some(doubt) = impossible {
            self.reader.at(
                &place,
                format!(
                    "a catch of {} is not more than the {} drawn",
                    calibration.run.catch.shown(),
                    calibration.run.drawn.shown()
                ),
                doubt.words(),
            );
            return;
        }
        if !confirmed {
            for words in odd(calibration) {
                self.reader.at(
                    &place,
                    words,
                    "mend the readings, or add confirmed = true if this is what was read",
                );
            }
        }
    }

    fn wash_counts(&mut self, top: &mut Section<'_>) -> Vec<WashCount> {
        let read = self.each(top, "wash_count", |backup, mut section| {
            let place = (section.line, section.key("day"));
            let sprayer = backup.sprayer(&mut section);
            let chemical = backup.chemical(&mut section, "chemical");
            let day = section.day(backup.reader, "day");
            let day = backup.must(&section, "day", day, "write the day as 2026-03-02");
            let count = backup.whole(&mut section, "count");
            let taken_back = section.whole(backup.reader, "taken_back", WASHES);
            section.finish(backup.reader);
            let washes = WashCount {
                sprayer: sprayer?,
                chemical: chemical?,
                day: day?,
                count: count?,
                taken_back: taken_back.map_or(0, |t| t.value),
            };
            Some((place, washes))
        });
        let mut seen: BTreeMap<(String, String, NaiveDate), usize> = BTreeMap::new();
        let mut counts = Vec::new();
        for ((line, key), washes) in read {
            let same = (washes.sprayer.clone(), washes.chemical.clone(), washes.day);
            match seen.get(&same) {
                Some(first) => self.reader.fault(
                    line,
                    key,
                    format!("this sprayer, chemical and day stand on line {first} already"),
                    "write one count for all washes of a day",
                ),
                None => {
                    seen.insert(same, line);
                    counts.push(washes);
                }
            }
        }
        counts
    }

    fn fill(&mut self, mut section: Section<'_>) -> Option<KeptFill> {
        let at = self.at(&mut section, "at");
        let sprayer = self.sprayer(&mut section);
        let chemical = self.chemical(&mut section, "chemical");
        let fill = self.ml(&mut section, "fill_ml");
        let poured = self.ml(&mut section, "poured_ml");
        let water = self.ml(&mut section, "water_ml");
        const PERCENT: &str = "write the percentage, above 0 and at most 100, without quotes";
        let percent = section.number(self.reader, "strength_percent", 0.0..=100.0);
        let percent = section.required(self.reader, "strength_percent", percent, PERCENT);
        let strength = percent.and_then(|percent| {
            let strength = Strength::percent(percent.value);
            if strength.is_none() {
                self.reader.at(&percent, "0 is not a strength", PERCENT);
            }
            strength
        });
        let standing = self.text(&mut section, "standing");
        let taken_back = self.mark(&mut section, "taken_back");
        section.finish(self.reader);
        Some(KeptFill {
            at: at?,
            fill: Fill {
                sprayer: sprayer?,
                chemical: chemical?,
                fill: fill?,
                poured: poured?,
                water: water?,
                strength: strength?,
                standing: standing?,
            },
            taken_back,
        })
    }

    fn changes(
        &mut self,
        top: &mut Section<'_>,
        calibrations: &[Found<KeptCalibration>],
    ) -> Vec<Change> {
        let changes = self.each(top, "change", |backup, mut section| {
            let at = backup.at(&mut section, "at");
            let sprayer = backup.sprayer(&mut section);
            let what = backup.cause(&mut section, "what");
            let right = "write \"nozzle\", \"washer\" or \"supply\"";
            let what = backup.must(&section, "what", what, right);
            let ended = backup.ended(&mut section, sprayer.as_deref(), calibrations);
            section.finish(backup.reader);
            Some(Change {
                at: at?,
                sprayer: sprayer?,
                what: what?,
                ended,
            })
        });
        self.void_agrees(calibrations, &changes);
        changes
    }

    /// What a newest calibration says of itself and what stands in the list of changes must not
    /// contradict each other.
    fn void_agrees(&mut self, calibrations: &[Found<KeptCalibration>], changes: &[Change]) {
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

    fn put_offs(
        &mut self,
        top: &mut Section<'_>,
        calibrations: &[Found<KeptCalibration>],
    ) -> Vec<KeptPutOff> {
        self.each(top, "put_off", |backup, mut section| {
            let at = backup.at(&mut section, "at");
            let sprayer = backup.sprayer(&mut section);
            let times = backup.whole(&mut section, "times");
            let until_washes = backup.whole(&mut section, "until_washes");
            let ended = backup.ended(&mut section, sprayer.as_deref(), calibrations);
            section.finish(backup.reader);
            Some(KeptPutOff {
                at: at?,
                sprayer: sprayer?,
                put_off: PutOff {
                    times: times?,
                    until_washes: until_washes?,
                },
                ended,
            })
        })
    }

    /// Whether a calibration came after it; there must be one then.
    fn ended(
        &mut self,
        section: &mut Section<'_>,
        sprayer: Option<&str>,
        calibrations: &[Found<KeptCalibration>],
    ) -> bool {
        let Some(ended) = section.flag(self.reader, "ended").filter(|e| e.value) else {
            return false;
        };
        if let Some(sprayer) = sprayer
            && self.calibrations_read
            && !calibrations
                .iter()
                .any(|c| c.value.record.sprayer == sprayer)
        {
            self.reader.at(
                &ended,
                format!("{sprayer} has no calibration that could have ended it"),
                "leave ended out, or bring its calibration in",
            );
        }
        true
    }

    fn earlier_setup(&mut self, mut section: Section<'_>) -> Option<(Moment, String)> {
        let at = self.at(&mut section, "at");
        let text = self.text(&mut section, "text");
        section.finish(self.reader);
        at.zip(text)
    }
}
