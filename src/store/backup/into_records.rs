//! From contents into new records.
//!
//! What came to an end, by a calibration or a change, goes in first, then the calibrations, each
//! with the changes that came after it, in their places among the fills, then what still stands: that
//! order is all that the records go by.

use super::contents::{
    BroughtBack, Change, Contents, KeptCalibration, KeptPutOff, KeptSetup, Moment,
};
use super::{Path, SqliteRecords, read_back};
use crate::bay::records::{Entry, Happening};
use crate::store::fault::StoreFault;
use crate::store::records::keep::{self, Refusal};
use crate::store::records::{clock, fills, setups};
use crate::trade::reminder::VoidCause;
use rusqlite::{Connection, params};
use std::collections::BTreeMap;

/// Makes records at `path`, where there are none yet, in one transaction, and reads them back.
pub(super) fn make(path: &Path, contents: &Contents) -> Result<(), StoreFault> {
    let mut records = SqliteRecords::open(path)?;
    let written = records.in_transaction(|tx| {
        put_in(tx, contents)?;
        Ok(read_back::tally(tx)?)
    })?;
    // Closing carries the log over into the one file that is then moved into its place.
    records.close()?;
    let file = std::fs::File::open(path).and_then(|file| file.sync_all());
    file.map_err(|e| StoreFault::disk(path, "syncing the records", &e))?;
    read_back::check(path, &written, contents)
}

fn put_in(tx: &Connection, contents: &Contents) -> Result<(), Refusal> {
    // For what has no date of its own.
    let date = contents.newest().unwrap_or(contents.made);
    setups(tx, contents)?;
    for (at, run) in &contents.thrown_away {
        keep::thrown_away(tx, *at, run)?;
    }
    put_offs(tx, contents, true)?;
    checks(tx, contents, true)?;
    brought_washes(tx, contents)?;
    changes(tx, contents, |c| c.calibrations_before == 0)?;
    fills(tx, contents)?;
    day_settings(tx, contents)?;
    for (at, access) in &contents.lead {
        keep::happening(tx, *at, &Happening::Lead(*access))?;
    }
    for (at, newest) in &contents.clocks {
        clock::brought(tx, *at, *newest)?;
    }
    put_offs(tx, contents, false)?;
    checks(tx, contents, false)?;
    if let Some(sprayer) = &contents.last_sprayer {
        keep::happening(tx, date, &Happening::SprayerChosen(sprayer.clone()))?;
    }
    for choice in contents.sound.choices() {
        keep::happening(tx, date, &Happening::SoundChosen(choice))?;
    }
    if let Some(run) = &contents.draft {
        keep::happening(tx, date, &Happening::Drafted(run.clone()))?;
    }
    // With no date in it at all there is nothing of which to keep the newest.
    if contents.newest().is_some() || !contents.wash_counts.is_empty() {
        keep::next(tx, "restored", date, None)?;
    }
    if !contents.clocks.is_empty() {
        clock::believe_up_to(tx, date)?;
    }
    Ok(())
}

/// Settings of the day, and in their places among them what operators chose: the later one counts.
fn day_settings(tx: &Connection, contents: &Contents) -> Result<(), Refusal> {
    let mut choices = contents.choices.iter().peekable();
    for place in 0..=contents.day_settings.len() {
        while let Some(choice) = choices.next_if(|c| c.settings_before <= place) {
            let happening = Happening::ChemicalChosen {
                scope: choice.scope.clone(),
                chemical: choice.chemical.clone(),
            };
            keep::happening(tx, choice.at, &happening)?;
        }
        if let Some(kept) = contents.day_settings.get(place) {
            let happening = Happening::DaySet {
                scope: kept.scope.clone(),
                setting: kept.setting.clone(),
            };
            let id = keep::happening(tx, kept.at, &happening)?;
            if kept.taken_back {
                keep::happening(tx, kept.at, &Happening::DayUndone(id))?;
            }
        }
    }
    Ok(())
}

fn setups(tx: &Connection, contents: &Contents) -> Result<(), Refusal> {
    for (at, kept) in &contents.setup_changes {
        match kept {
            KeptSetup::Found(text) => setups::found(tx, *at, text)?,
            KeptSetup::Changed(change) => setups::changed(tx, *at, change)?,
        };
    }
    Ok(())
}

/// Fills, and in their places among them calibrations, rinses and what happened to the stock: only
/// the order tells what is in a sprayer, and what was used since a stock-take.
fn fills(tx: &Connection, contents: &Contents) -> Result<(), Refusal> {
    let mut rinses = contents.rinses.iter().peekable();
    let mut stock = contents.stock.iter().peekable();
    let mut calibrations = Calibrations::new(contents);
    for place in 0..=contents.fills.len() {
        calibrations.up_to(tx, place)?;
        while let Some(kept) = rinses.next_if(|r| r.fills_before <= place) {
            let sprayer = kept.sprayer.clone();
            let id = keep::happening(tx, kept.at, &Happening::Rinsed { sprayer })?;
            if kept.taken_back {
                keep::happening(tx, kept.at, &Happening::RinseUndone(id))?;
            }
        }
        while let Some(kept) = stock.next_if(|s| s.fills_before <= place) {
            let happening = Happening::Stock {
                chemical: kept.chemical.clone(),
                what: kept.what.clone(),
            };
            let id = keep::happening(tx, kept.at, &happening)?;
            if kept.taken_back {
                keep::happening(tx, kept.at, &Happening::StockUndone(id))?;
            }
        }
        if let Some(kept) = contents.fills.get(place) {
            let id = fills::fill(tx, kept.at, &kept.fill)?;
            if kept.taken_back {
                keep::happening(tx, kept.at, &Happening::FillUndone(id))?;
            }
        }
    }
    Ok(())
}

/// Calibrations, and those brought back, on their way into the records.
struct Calibrations<'c> {
    contents: &'c Contents,
    waiting: &'c [KeptCalibration],
    brought_back: &'c [BroughtBack],
    /// The numbers of those that are in.
    entries: Vec<Entry>,
    /// How many of each sprayer are in.
    so_far: BTreeMap<&'c str, u32>,
}

impl<'c> Calibrations<'c> {
    fn new(contents: &'c Contents) -> Self {
        Self {
            contents,
            waiting: &contents.calibrations,
            brought_back: &contents.brought_back,
            entries: Vec::new(),
            so_far: BTreeMap::new(),
        }
    }

    /// All that came before the fill at that place, or before the end.
    fn up_to(&mut self, tx: &Connection, place: usize) -> Result<(), Refusal> {
        loop {
            let is_in = self.entries.len();
            let back = self.brought_back.first().filter(|b| {
                b.fills_before <= place && b.calibrations_before <= is_in && b.calibration < is_in
            });
            if let Some(back) = back {
                self.brought_back = &self.brought_back[1..];
                let kept = &self.contents.calibrations[back.calibration];
                let sprayer = kept.record.sprayer.as_str();
                keep::brought_back(tx, back.at, self.entries[back.calibration], sprayer)?;
                self.changes_of(tx, sprayer)?;
                continue;
            }
            let Some((next, rest)) = self.waiting.split_first() else {
                return Ok(());
            };
            if next.fills_before > place {
                return Ok(());
            }
            self.waiting = rest;
            self.one(tx, next)?;
        }
    }

    /// One calibration, with the changes that followed it.
    fn one(&mut self, tx: &Connection, kept: &'c KeptCalibration) -> Result<(), Refusal> {
        let (sprayer, taken) = (kept.record.sprayer.as_str(), kept.record.taken);
        let entry = keep::calibration(tx, taken, &kept.record, kept.washes_since)?;
        if kept.taken_back {
            keep::happening(tx, taken, &Happening::CalibrationUndone(entry))?;
        }
        self.entries.push(entry);
        *self.so_far.entry(sprayer).or_default() += 1;
        // What it says of itself is mostly told by a change as well.
        let count = self.count(sprayer);
        let later = |c: &Change| c.sprayer == sprayer && c.calibrations_before >= count;
        let all = &self.contents.changes;
        if let Some(what) = kept.void
            && !all.iter().any(|c| later(c) && c.what == what)
        {
            change(tx, taken, sprayer, what)?;
        }
        self.changes_of(tx, sprayer)
    }

    fn count(&self, sprayer: &str) -> u32 {
        self.so_far.get(sprayer).copied().unwrap_or_default()
    }

    /// The changes that followed the newest calibration of a sprayer. None is brought back across one,
    /// so those brought back before the next calibration come first.
    fn changes_of(&self, tx: &Connection, sprayer: &str) -> Result<(), Refusal> {
        let all = &self.contents.calibrations;
        let of_sprayer = |c: &KeptCalibration| c.record.sprayer == sprayer;
        let count = self.count(sprayer);
        let waits = self.brought_back.iter().any(|b| {
            let before = all.iter().take(b.calibrations_before);
            of_sprayer(&all[b.calibration])
                && before.filter(|c| of_sprayer(c)).count() == count as usize
        });
        match waits {
            true => Ok(()),
            false => changes(tx, self.contents, |c| {
                c.sprayer == sprayer && c.calibrations_before == count
            }),
        }
    }
}

/// Some of the changes, in their order.
fn changes(
    tx: &Connection,
    contents: &Contents,
    which: impl Fn(&Change) -> bool,
) -> Result<(), Refusal> {
    let mut some = contents.changes.iter().filter(|c| which(c));
    some.try_for_each(|c| change(tx, c.at, &c.sprayer, c.what))
}

fn change(tx: &Connection, at: Moment, sprayer: &str, what: VoidCause) -> Result<(), Refusal> {
    let sprayer = sprayer.to_owned();
    keep::happening(tx, at, &Happening::Changed { sprayer, what }).map(drop)
}

fn put_offs(tx: &Connection, contents: &Contents, ended: bool) -> Result<(), Refusal> {
    let of = |p: &&KeptPutOff| p.ended == ended;
    contents.put_offs.iter().filter(of).try_for_each(|p| {
        let happening = Happening::PutOff {
            sprayer: p.sprayer.clone(),
            put_off: p.put_off,
        };
        keep::happening(tx, p.at, &happening).map(drop)
    })
}

/// Checks, and corrections, which stand on them.
fn checks(tx: &Connection, contents: &Contents, ended: bool) -> Result<(), Refusal> {
    for kept in contents.checks.iter().filter(|c| c.ended == ended) {
        keep::happening(tx, kept.record.at, &Happening::Checked(kept.record.clone()))?;
    }
    for kept in contents.corrections.iter().filter(|c| c.ended == ended) {
        let happening = Happening::Corrected {
            sprayer: kept.sprayer.clone(),
            chemical: kept.chemical.clone(),
            factor: kept.factor,
        };
        keep::happening(tx, kept.at, &happening)?;
    }
    Ok(())
}

fn brought_washes(tx: &Connection, contents: &Contents) -> Result<(), Refusal> {
    let mut insert = tx.prepare("INSERT INTO brought_washes VALUES (?, ?, ?, ?, ?)")?;
    for washes in &contents.wash_counts {
        insert.execute(params![
            washes.sprayer,
            washes.chemical,
            washes.day.to_string(),
            washes.count,
            washes.taken_back
        ])?;
    }
    Ok(())
}
