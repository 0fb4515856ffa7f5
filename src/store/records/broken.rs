//! What hangs on something that is not as it was kept: it is not used, and the reason is told.

use super::chain::{self, DOSE, Fault, MIX, Tables};
use super::schema;
use crate::bay::records::{Broken, BrokenWhat, Entry, Past, SprayerPast};
use rusqlite::{Connection, Error};
use std::collections::{BTreeMap, BTreeSet};

/// What stands for a chemical that nobody can tell any more; no chemical has it for an id.
const UNKNOWN: &str = "?";

/// All of it, by number.
pub(super) fn faults(tx: &Connection) -> Result<Vec<Fault>, Error> {
    let tables = Tables::of(tx)?;
    let mut faults = chain::verify(tx, &tables)?;
    faults.extend(chain::newer(tx, &tables, &schema::known_tables())?);
    Ok(faults)
}

/// Takes out of the past what hangs on these faults, and notes why.
pub(super) fn take_out(tx: &Connection, faults: Vec<Fault>, past: &mut Past) -> Result<(), Error> {
    if faults.is_empty() {
        return Ok(());
    }
    let wrong: BTreeSet<Entry> = faults.iter().map(|fault| fault.entry).collect();
    let calibrated = counting(tx)?;
    let mut told = newest(tx, "fills WHERE taken_back IS NULL", &wrong)?;
    for (sprayer, rinsed) in newest(tx, "rinses WHERE taken_back IS NULL", &wrong)? {
        let last = told.entry(sprayer).or_insert(rinsed);
        *last = rinsed.max(*last);
    }
    let known: BTreeSet<String> = past.sprayers.keys().cloned().collect();
    past.broken = faults
        .into_iter()
        .map(|fault| {
            let named: BTreeSet<String> = fault.sprayers().map(str::to_owned).collect();
            let hang = |on: &str, since: &BTreeMap<String, Entry>| -> BTreeSet<String> {
                let all = known.union(&named).filter(|s| fault.bears(on, s));
                // What came after it goes by nothing that was before.
                all.filter(|s| since.get(*s).is_none_or(|since| *since <= fault.entry))
                    .cloned()
                    .collect()
            };
            Broken {
                what: fault.what,
                entry: fault.entry,
                at: chain::date_of(tx, fault.entry).map(|stamp| stamp.0),
                no_dose: hang(DOSE, &calibrated),
                unknown_mix: hang(MIX, &told),
            }
        })
        // Of a newer version, what nothing hangs on any more is as good as what it never kept.
        .filter(|b| {
            b.what != BrokenWhat::Newer || !b.no_dose.is_empty() || !b.unknown_mix.is_empty()
        })
        .collect();
    for broken in &past.broken {
        for sprayer in &broken.no_dose {
            let of = past.sprayers.entry(sprayer.clone()).or_default();
            *of = SprayerPast {
                washes_since: of.washes_since,
                in_it: of.in_it.take(),
                run_out: of.run_out,
                ..SprayerPast::default()
            };
        }
        for sprayer in &broken.unknown_mix {
            let of = past.sprayers.entry(sprayer.clone()).or_default();
            of.in_it = Some(UNKNOWN.to_owned());
        }
        if broken.what == BrokenWhat::Draft {
            past.draft = None;
        }
    }
    Ok(())
}

/// The number of the calibration that counts of each sprayer. An earlier one counts again where the
/// newer was taken back, or where it was brought back itself: then what was kept since it counts, too.
fn counting(tx: &Connection) -> Result<BTreeMap<String, Entry>, Error> {
    let is_there = |table: &str| -> Result<bool, Error> {
        let sql = "SELECT EXISTS (SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?)";
        tx.query_row(sql, [table], |row| row.get(0))
    };
    let mut sql = "SELECT sprayer, id AS calibration, id AS since FROM calibrations".to_owned();
    if is_there("calibration_details")? {
        sql.push_str(
            " WHERE id NOT IN (SELECT id FROM calibration_details WHERE taken_back IS NOT NULL)",
        );
    }
    if is_there("calibrations_brought_back")? {
        sql.push_str(" UNION ALL SELECT sprayer, calibration, id FROM calibrations_brought_back");
    }
    sql.push_str(" ORDER BY since");
    let mut query = tx.prepare(&sql)?;
    let pair = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?));
    // The last of each sprayer stands.
    query.query_map([], pair)?.collect()
}

/// The newest row of each sprayer that is as it was kept.
fn newest(
    tx: &Connection,
    table: &str,
    wrong: &BTreeSet<Entry>,
) -> Result<BTreeMap<String, Entry>, Error> {
    let mut query = tx.prepare(&format!("SELECT sprayer, id FROM {table} ORDER BY id"))?;
    let pair = |row: &rusqlite::Row<'_>| Ok((row.get::<_, String>(0)?, row.get::<_, Entry>(1)?));
    let mut newest = BTreeMap::new();
    for row in query.query_map([], pair)? {
        let (sprayer, entry) = row?;
        if !wrong.contains(&entry) {
            newest.insert(sprayer, entry);
        }
    }
    Ok(newest)
}
