//! What became of each fill: how much spray it came to, or that it never was any because it was put
//! right before it was used.

use super::dated::Dated;
use crate::bay::records::{Fill, FillHow, Happening, Logged};
use crate::bay::setup::Setup;
use crate::trade::dilution::DrawFraction;
use crate::trade::fill_plan;
use crate::trade::units::Volume;
use chrono::{DateTime, FixedOffset};
use std::collections::{BTreeMap, BTreeSet};

/// What became of a fill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Became {
    /// It was poured wrong and put right before a vehicle was washed with it: the fill after it says
    /// at which strength the container landed.
    PutRight,
    /// Spray; `None` where it is not known by how much its sprayer thins it.
    Spray(Option<Volume>),
}

/// Finds out what became of every fill. `log` is in the order of the records, and begins where it was
/// read from: a sprayer that was neither calibrated nor filled before is known by what comes after.
pub fn follow(log: &mut [Dated], setup: &Setup) {
    let mut seen = Seen::new(setup);
    log.iter().for_each(|dated| seen.see(&dated.logged));
    let mut told = seen.told();
    for dated in log {
        dated.became = told.became(&dated.logged);
    }
}

/// What has to be known of a log before what became of its fills can be told. It holds as much as there
/// are sprayers and fills that were put right, however long the log is.
#[derive(Debug)]
pub struct Seen<'s> {
    setup: &'s Setup,
    /// How many were seen.
    count: usize,
    /// By sprayer what it was first seen to draw.
    first: BTreeMap<String, DrawFraction>,
    /// By sprayer the mispoured fill that nothing was done with yet.
    mispoured: BTreeMap<String, Mispoured>,
    /// The places of the fills that were put right by the next thing that was done with their sprayer.
    put_right: BTreeSet<usize>,
}

#[derive(Debug)]
struct Mispoured {
    place: usize,
    chemical: String,
    at: DateTime<FixedOffset>,
}

impl<'s> Seen<'s> {
    /// Nothing yet.
    pub fn new(setup: &'s Setup) -> Self {
        Self {
            setup,
            count: 0,
            first: BTreeMap::new(),
            mispoured: BTreeMap::new(),
            put_right: BTreeSet::new(),
        }
    }

    /// The next happening, in the order of the records.
    pub fn see(&mut self, logged: &Logged) {
        let place = self.count;
        self.count += 1;
        if let Some((sprayer, draw)) = learned(&logged.what, self.setup)
            && !self.first.contains_key(sprayer)
        {
            self.first.insert(sprayer.to_owned(), draw);
        }
        match &logged.what {
            Happening::Fill(fill) => {
                let before = self.mispoured.remove(&fill.sprayer);
                let put_right = before.filter(|before| before.is_put_right(fill, logged.at));
                self.put_right.extend(put_right.map(|before| before.place));
                if let FillHow::Mispoured { .. } = fill.how {
                    let mispoured = Mispoured {
                        place,
                        chemical: fill.chemical.clone(),
                        at: logged.at,
                    };
                    self.mispoured.insert(fill.sprayer.clone(), mispoured);
                }
            }
            Happening::Wash { sprayer, .. } | Happening::Rinsed { sprayer } => {
                self.mispoured.remove(sprayer);
            }
            _ => {}
        }
    }

    /// The log was seen: now it can be told.
    pub fn told(self) -> Told<'s> {
        let direct = self.setup.sprayers.iter();
        let known = direct
            .filter_map(|s| Some((s.id.clone(), fill_plan::draw_fraction(s, None)?)))
            .collect();
        Told {
            setup: self.setup,
            count: 0,
            known,
            first: self.first,
            put_right: self.put_right,
        }
    }
}

impl Mispoured {
    fn is_put_right(&self, next: &Fill, at: DateTime<FixedOffset>) -> bool {
        next.chemical == self.chemical
            && match next.how {
                FillHow::ToppedUp { .. } => true,
                // All of it was poured off: that is kept at the same moment.
                FillHow::Fresh => at == self.at,
                FillHow::Mispoured { .. } => false,
            }
    }
}

/// Tells what became of the fills of the same log, seen once more in the same order.
#[derive(Debug)]
pub struct Told<'s> {
    setup: &'s Setup,
    count: usize,
    /// By sprayer what it draws, as far as the log went.
    known: BTreeMap<String, DrawFraction>,
    first: BTreeMap<String, DrawFraction>,
    put_right: BTreeSet<usize>,
}

impl Told<'_> {
    /// What became of the next one; `None` where it is no fill.
    pub fn became(&mut self, logged: &Logged) -> Option<Became> {
        let place = self.count;
        self.count += 1;
        if let Some((sprayer, draw)) = learned(&logged.what, self.setup) {
            self.known.insert(sprayer.to_owned(), draw);
        }
        let Happening::Fill(fill) = &logged.what else {
            return None;
        };
        if self.put_right.contains(&place) {
            return Some(Became::PutRight);
        }
        // Before the first that tells, what that one told.
        let known = self.known.get(&fill.sprayer);
        let draw = known.or_else(|| self.first.get(&fill.sprayer));
        Some(Became::Spray(draw.map(|draw| draw.spray(fill.fill))))
    }
}

/// A calibration tells what a sprayer draws, and so does a dose in an empty container with the strength
/// that it gave: p = D·c·d/F, solved for d.
fn learned<'a>(what: &'a Happening, setup: &Setup) -> Option<(&'a str, DrawFraction)> {
    let (sprayer, draw) = match what {
        Happening::Calibrated(record) => (&record.sprayer, record.calibration.draw_fraction()),
        Happening::CalibrationBroughtBack { record, .. } => {
            (&record.sprayer, record.calibration.draw_fraction())
        }
        Happening::Fill(fill) if !matches!(fill.how, FillHow::ToppedUp { .. }) => {
            let concentrate = setup
                .chemical(&fill.chemical)
                .map_or(1.0, |chemical| chemical.product_strength.as_fraction());
            let draw = fill.strength.as_fraction() * (fill.fill / fill.poured) / concentrate;
            // A direct sprayer's may be a hair above 1.
            let draw = if draw < 1.0 + 1e-9 {
                draw.min(1.0)
            } else {
                draw
            };
            (&fill.sprayer, DrawFraction::new(draw))
        }
        _ => return None,
    };
    Some((sprayer, draw?))
}
