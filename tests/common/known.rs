//! What is known of each sprayer, and of the bay's repeats, after what was kept in memory: told anew
//! from the first happening on, each time that it is asked for.

use chrono::{DateTime, FixedOffset};
use fillcall::bay::records::{CalibrationRecord, Entry, Happening, Past, SprayerPast};
use std::collections::BTreeMap;

/// A calibration that may count, and since which number it does.
struct Stands {
    record: CalibrationRecord,
    calibration: Entry,
    since: Entry,
}

/// Adds what happened to what was known before.
pub fn follow(past: &mut Past, happenings: &[(DateTime<FixedOffset>, Happening)]) {
    let all = || (1..).zip(happenings.iter().map(|(_, what)| what));
    let undone: Vec<Entry> = all()
        .filter_map(|(_, what)| match what {
            Happening::WashUndone(of) | Happening::CalibrationUndone(of) => Some(*of),
            _ => None,
        })
        .collect();
    let stands = |entry: Entry| !undone.contains(&entry);
    let mut counts: BTreeMap<&str, Stands> = BTreeMap::new();
    for (since, what) in all().filter(|(entry, _)| stands(*entry)) {
        let (record, calibration) = match what {
            Happening::Calibrated(record) => (record, since),
            Happening::CalibrationBroughtBack { of, record } => (&**record, *of),
            _ => continue,
        };
        let record = record.clone();
        let of = Stands {
            record,
            calibration,
            since,
        };
        counts.insert(sprayer_of(what).expect("one"), of);
        if let Happening::Calibrated(record) = what
            && record.calibration.count() > 1
        {
            let runs = record.calibration.runs();
            let draws = runs.map(|run| run.draw_fraction().expect("one").as_fraction());
            past.repeats.push(draws.collect());
        }
    }
    for (id, of) in &counts {
        let new = SprayerPast {
            calibration: Some(of.record.clone()),
            ..SprayerPast::default()
        };
        past.sprayers.insert((*id).to_owned(), new);
    }
    for (entry, what) in all().filter(|(entry, _)| stands(*entry)) {
        let Some(id) = sprayer_of(what) else { continue };
        let (calibrated, since) = counts
            .get(id)
            .map_or((0, 0), |of| (of.calibration, of.since));
        let known = past.sprayers.entry(id.to_owned()).or_default();
        match what {
            Happening::Wash { .. } if entry > calibrated => known.washes_since += 1,
            Happening::Changed { what, .. } if entry > calibrated => {
                known.void = Some(*what);
                known.check = None;
                known.corrections.clear();
            }
            Happening::PutOff { put_off, .. } if entry > since => known.put_off = *put_off,
            Happening::Checked(record) if entry > since && record.mix.is_none() => {
                known.check = Some(record.clone());
            }
            Happening::Corrected {
                chemical, factor, ..
            } if entry > since => {
                match factor {
                    Some(factor) => known.corrections.insert(chemical.clone(), *factor),
                    None => known.corrections.remove(chemical),
                };
            }
            _ => {}
        }
    }
}

/// The sprayer, by id, of what tells something of its calibration.
fn sprayer_of(what: &Happening) -> Option<&str> {
    match what {
        Happening::Calibrated(record) => Some(&record.sprayer),
        Happening::CalibrationBroughtBack { record, .. } => Some(&record.sprayer),
        Happening::Checked(record) => Some(&record.sprayer),
        Happening::Wash { sprayer, .. }
        | Happening::Changed { sprayer, .. }
        | Happening::PutOff { sprayer, .. }
        | Happening::Corrected { sprayer, .. } => Some(sprayer),
        _ => None,
    }
}
