//! All that a backup holds, as it goes from the records into the file and back.

use super::{DateTime, FixedOffset, PathBuf, Summary, records};
use crate::bay::records::{
    CalibrationRecord, CheckRecord, DaySetting, Draft, Fill, LeadAccess, Scope, StockMove,
};
use crate::bay::setup::Setup;
use crate::bay::setup_change::SetupChange;
use crate::store::records::sound::Chosen;
use crate::trade::calibration::{Calibration, Container, Doubt, Run, Way};
use crate::trade::possible::Impossible;
use crate::trade::reminder::{PutOff, VoidCause};
use crate::trade::units::Volume;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// A date and time as the bay's clock had it.
pub(super) type Moment = DateTime<FixedOffset>;

/// Everything of one bay.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Contents {
    pub made: Moment,
    /// The newest date in the records.
    pub newest: Option<Moment>,
    /// The text of `bay.toml`.
    pub setup: String,
    /// Ids that the records know and the set-up no longer has.
    pub former_sprayers: Vec<String>,
    pub former_chemicals: Vec<String>,
    pub last_sprayer: Option<String>,
    /// What operators chose last for each sprayer.
    pub choices: Vec<Choice>,
    /// How the wall is heard.
    pub sound: Chosen,
    pub draft: Option<Draft>,
    /// In the order they happened, as are all lists below.
    pub calibrations: Vec<KeptCalibration>,
    pub brought_back: Vec<BroughtBack>,
    pub wash_counts: Vec<WashCount>,
    pub fills: Vec<KeptFill>,
    pub changes: Vec<Change>,
    pub put_offs: Vec<KeptPutOff>,
    pub checks: Vec<KeptCheck>,
    pub corrections: Vec<Correction>,
    pub thrown_away: Vec<(Moment, Draft)>,
    pub rinses: Vec<Rinse>,
    pub stock: Vec<KeptStock>,
    pub day_settings: Vec<DaySet>,
    pub lead: Vec<(Moment, LeadAccess)>,
    /// When the clock was put right, and the newest date until then.
    pub clocks: Vec<(Moment, Moment)>,
    pub setup_changes: Vec<(Moment, KeptSetup)>,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Choice {
    pub at: Moment,
    pub scope: Scope,
    pub chemical: String,
    /// How many of the day's settings came before it: its place among them.
    pub settings_before: usize,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeptCalibration {
    pub record: CalibrationRecord,
    /// Washes until the next calibration of the same sprayer, or until the backup.
    pub washes_since: u32,
    /// What was changed since, where no `[[change]]` says so.
    pub void: Option<VoidCause>,
    /// How many of the fills came before it: its place among them.
    pub fills_before: usize,
    pub taken_back: bool,
}

/// An earlier calibration that was brought back.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BroughtBack {
    pub at: Moment,
    /// Its place among all calibrations, from 0.
    pub calibration: usize,
    /// How many of the calibrations, of all sprayers, came before it.
    pub calibrations_before: usize,
    /// How many of the fills came before it.
    pub fills_before: usize,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct WashCount {
    pub sprayer: String,
    pub chemical: String,
    pub day: NaiveDate,
    pub count: u32,
    pub taken_back: u32,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeptFill {
    pub at: Moment,
    pub fill: Fill,
    pub taken_back: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rinse {
    pub at: Moment,
    pub sprayer: String,
    /// How many of the fills came before it: its place among them.
    pub fills_before: usize,
    pub taken_back: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeptStock {
    pub at: Moment,
    pub chemical: String,
    pub what: StockMove,
    /// How many of the fills came before it: its place among them.
    pub fills_before: usize,
    pub taken_back: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct DaySet {
    pub at: Moment,
    pub scope: Scope,
    /// None where it was ended.
    pub setting: Option<DaySetting>,
    pub taken_back: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum KeptSetup {
    /// The file was found to be another.
    Found(String),
    /// It was changed at the screen.
    Changed(SetupChange),
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Change {
    pub at: Moment,
    pub sprayer: String,
    pub what: VoidCause,
    /// A calibration came after it.
    pub ended: bool,
    /// How many calibrations of the sprayer came before it: its place among them.
    pub calibrations_before: u32,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeptPutOff {
    pub at: Moment,
    pub sprayer: String,
    pub put_off: PutOff,
    /// A calibration came after it.
    pub ended: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeptCheck {
    pub record: CheckRecord,
    /// A calibration or a change came after it.
    pub ended: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Correction {
    pub at: Moment,
    pub sprayer: String,
    pub chemical: String,
    /// None where it was lifted.
    pub factor: Option<f64>,
    /// A calibration or a change came after it.
    pub ended: bool,
}

impl Contents {
    pub fn summary(&self, setup: &Setup, kept_aside: Option<PathBuf>) -> Summary {
        Summary {
            bay: setup.name.clone(),
            sprayers: setup.sprayers.len(),
            chemicals: setup.chemicals.len(),
            records: self.counts(),
            kept_aside,
        }
    }

    /// What records made of it hold.
    pub fn counts(&self) -> records::Summary {
        let count = |n: usize| u64::try_from(n).unwrap_or(u64::MAX);
        records::Summary {
            washes: self.wash_counts.iter().map(|w| u64::from(w.count)).sum(),
            fills: count(self.fills.iter().filter(|f| !f.taken_back).count()),
            calibrations: count(self.calibrations.iter().filter(|c| !c.taken_back).count()),
        }
    }

    /// The newest date of all that is in it.
    pub fn newest(&self) -> Option<Moment> {
        // Dates of a clock that was put right are not believed for what they are.
        if let (Some(newest), false) = (self.newest, self.clocks.is_empty()) {
            return Some(newest);
        }
        let dates = self.calibrations.iter().map(|c| c.record.taken);
        let dates = dates.chain(self.brought_back.iter().map(|b| b.at));
        let dates = dates.chain(self.fills.iter().map(|f| f.at));
        let dates = dates.chain(self.changes.iter().map(|c| c.at));
        let dates = dates.chain(self.put_offs.iter().map(|p| p.at));
        let dates = dates.chain(self.checks.iter().map(|c| c.record.at));
        let dates = dates.chain(self.corrections.iter().map(|c| c.at));
        let dates = dates.chain(self.thrown_away.iter().map(|(at, _)| *at));
        let dates = dates.chain(self.rinses.iter().map(|r| r.at));
        let dates = dates.chain(self.stock.iter().map(|s| s.at));
        let dates = dates.chain(self.day_settings.iter().map(|d| d.at));
        let dates = dates.chain(self.lead.iter().map(|(at, _)| *at));
        let dates = dates.chain(self.setup_changes.iter().map(|(at, _)| *at));
        let dates = dates.chain(self.choices.iter().map(|c| c.at));
        dates.chain(self.newest).max()
    }
}

/// Whether a calibration has a run with odd readings, and so must be marked as confirmed.
pub(super) fn is_odd(calibration: &Calibration) -> bool {
    calibration
        .runs()
        .any(|run| !odd(run, calibration.holds.map(Container::holds)).is_empty())
}

/// What is odd about the readings of one run from a container that was measured to hold so much, in
/// words; empty for a plausible one.
pub(super) fn odd(run: &Run, holds: Option<Volume>) -> Vec<String> {
    let mut odd: Vec<String> = odd_readings(run)
        .iter()
        .map(|doubt| doubt.words().to_string())
        .collect();
    let drawn = run.drawn;
    if let Some(holds) = holds.filter(|holds| run.way != Way::ByWeight && drawn > *holds * 1.1) {
        odd.push(format!(
            "{} were drawn from a container that holds {}.",
            drawn.shown(),
            holds.shown()
        ));
    }
    odd
}

/// A time or a volume that the wall would not save is by itself nothing odd: backups of older versions
/// hold such without saying so. What those versions questioned in such a run is: its flow, its draw
/// fraction, and that no time went by at all.
fn odd_readings(run: &Run) -> Vec<Doubt> {
    let (beyond, others): (Vec<Doubt>, Vec<Doubt>) = run.doubts().into_iter().partition(|doubt| {
        matches!(
            doubt,
            Doubt::Impossible(Impossible::Time(_) | Impossible::Drawn(_))
        )
    });
    match (others.is_empty(), beyond.is_empty()) {
        (true, false) if run.time.is_zero() => beyond,
        (true, false) => run.unlikely(),
        _ => others,
    }
}

/// Tells where the dates of calibrations cannot be in order, one sprayer after the other.
#[derive(Default)]
pub(super) struct InOrder<'a> {
    newest: BTreeMap<&'a str, Moment>,
}

impl<'a> InOrder<'a> {
    /// The date of the sprayer's calibration before, where this one is earlier.
    pub fn goes_back(&mut self, sprayer: &'a str, taken: Moment) -> Option<Moment> {
        let before = self.newest.insert(sprayer, taken);
        before.filter(|before| taken < *before)
    }
}

/// True for a date too long after the backup was made to be believed: a slip in the year would
/// make the screen's clock look wrong for ever.
pub(super) fn far_ahead(taken: Moment, made: Moment) -> bool {
    taken.signed_duration_since(made).num_days() > 366
}
