//! What happened: counts of washes, changes and put-offs.

use super::keys::{WASHES, causes};
use super::{BTreeMap, Backup, Found, Moment, Section};
use crate::store::backup::contents::{Change, KeptCalibration, KeptPutOff, WashCount};
use crate::trade::reminder::PutOff;
use chrono::NaiveDate;

/// When the calibrations of one sprayer were taken, in their order.
fn taken(calibrations: &[Found<KeptCalibration>], sprayer: &str) -> Vec<Moment> {
    let all = calibrations.iter().map(|c| &c.value.record);
    let of = all.filter(|record| record.sprayer == sprayer);
    of.map(|record| record.taken).collect()
}

/// The place among a sprayer's calibrations of a change that does not tell it: after all of them,
/// or, where one came after it, by the dates, but before the newest.
fn place_by_date(taken: &[Moment], at: Moment, ended: bool) -> u32 {
    let last = taken.len().saturating_sub(usize::from(ended));
    let later = taken.iter().position(|taken| ended && *taken > at);
    counted(later.unwrap_or(last).min(last))
}

fn counted(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

impl Backup<'_> {
    pub(super) fn wash_counts(&mut self, top: &mut Section<'_>) -> Vec<WashCount> {
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
        let mut sums: BTreeMap<String, u32> = BTreeMap::new();
        for ((line, key), washes) in read {
            let sum = sums.entry(washes.sprayer.clone()).or_default();
            let before = *sum;
            *sum = sum.saturating_add(washes.count);
            if before <= *WASHES.end() && *sum > *WASHES.end() {
                self.reader.fault(
                    line,
                    "wash_count",
                    format!(
                        "with this, {sum} washes of {} are too many to believe",
                        washes.sprayer
                    ),
                    format!(
                        "write what was counted, {} in all at the most",
                        WASHES.end()
                    ),
                );
            }
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

    pub(super) fn changes(
        &mut self,
        top: &mut Section<'_>,
        calibrations: &[Found<KeptCalibration>],
    ) -> Vec<Change> {
        let before = self.reader.count();
        let changes = self.each(top, "change", |backup, mut section| {
            let at = backup.at(&mut section, "at");
            let sprayer = backup.sprayer(&mut section);
            let what = backup.cause(&mut section, "what");
            let what = backup.must(&section, "what", what, &causes());
            let ended = backup.ended(&mut section, sprayer.as_deref(), calibrations);
            let told = backup.place(&mut section, sprayer.as_deref(), calibrations, ended);
            section.finish(backup.reader);
            let (at, sprayer) = (at?, sprayer?);
            let calibrations_before =
                told.unwrap_or_else(|| place_by_date(&taken(calibrations, &sprayer), at, ended));
            Some(Change {
                at,
                sprayer,
                what: what?,
                ended,
                calibrations_before,
            })
        });
        self.changes_read = self.reader.count() == before;
        self.void_agrees(calibrations, &changes);
        changes
    }

    pub(super) fn put_offs(
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
    pub(super) fn ended(
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

    /// How many calibrations of the sprayer came before a change, where that is told. It must
    /// agree with whether one came after it.
    fn place(
        &mut self,
        section: &mut Section<'_>,
        sprayer: Option<&str>,
        calibrations: &[Found<KeptCalibration>],
        ended: bool,
    ) -> Option<u32> {
        let told = section.whole(self.reader, "calibrations_before", WASHES)?;
        let before = told.value;
        let sprayer = sprayer.filter(|_| self.calibrations_read)?;
        let all = counted(taken(calibrations, sprayer).len());
        if before > all || ended != (before < all) {
            self.reader.at(
                &told,
                format!(
                    "{sprayer} has {all} calibrations here: with {before} of them before this \
                     change, ended = {ended} cannot be"
                ),
                "count the calibrations of this sprayer before it, and write ended = true where \
                 there are more",
            );
        }
        Some(before)
    }
}
