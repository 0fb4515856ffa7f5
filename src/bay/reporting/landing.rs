//! What became of each fill: how much spray it came to, or that it never was any because it was put
//! right before it was used.

use super::dated::Dated;
use crate::bay::records::{Fill, FillHow, Happening};
use crate::bay::setup::Setup;
use crate::trade::dilution::DrawFraction;
use crate::trade::fill_plan;
use crate::trade::units::Volume;
use chrono::{DateTime, FixedOffset};
use std::collections::BTreeMap;

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
    let (put_right, draws) = (put_right(log), draws(log, setup));
    for ((dated, put_right), draw) in log.iter_mut().zip(put_right).zip(draws) {
        dated.became = match (&dated.logged.what, put_right) {
            (Happening::Fill(_), true) => Some(Became::PutRight),
            (Happening::Fill(fill), false) => {
                Some(Became::Spray(draw.map(|draw| draw.spray(fill.fill))))
            }
            _ => None,
        };
    }
}

/// Which fills were put right by the next thing that was done with their sprayer.
fn put_right(log: &[Dated]) -> Vec<bool> {
    let mut next: BTreeMap<&str, (&Fill, DateTime<FixedOffset>)> = BTreeMap::new();
    let mut put_right = vec![false; log.len()];
    for (dated, put_right) in log.iter().zip(&mut put_right).rev() {
        let at = dated.logged.at;
        match &dated.logged.what {
            Happening::Fill(fill) => {
                *put_right = match (fill.how, next.insert(&fill.sprayer, (fill, at))) {
                    (FillHow::Mispoured { .. }, Some((next, _)))
                        if next.chemical != fill.chemical =>
                    {
                        false
                    }
                    (FillHow::Mispoured { .. }, Some((next, then))) => match next.how {
                        FillHow::ToppedUp { .. } => true,
                        // All of it was poured off: that is kept at the same moment.
                        FillHow::Fresh => then == at,
                        FillHow::Mispoured { .. } => false,
                    },
                    _ => false,
                };
            }
            Happening::Wash { sprayer, .. } | Happening::Rinsed { sprayer } => {
                next.remove(&**sprayer);
            }
            _ => {}
        }
    }
    put_right
}

/// By how much the sprayer of each fill thinned it.
fn draws(log: &[Dated], setup: &Setup) -> Vec<Option<DrawFraction>> {
    let mut known: BTreeMap<&str, DrawFraction> = setup
        .sprayers
        .iter()
        .filter_map(|sprayer| Some((&*sprayer.id, fill_plan::draw_fraction(sprayer, None)?)))
        .collect();
    let mut draws = vec![None; log.len()];
    // From the front with what was known then; then from behind for those before the first known.
    for (dated, draw) in log.iter().zip(&mut draws) {
        learn(&mut known, dated, setup);
        *draw = of_sprayer(&known, dated);
    }
    let mut after = BTreeMap::new();
    for (dated, draw) in log.iter().zip(&mut draws).rev() {
        learn(&mut after, dated, setup);
        *draw = draw.or_else(|| of_sprayer(&after, dated));
    }
    draws
}

fn of_sprayer(known: &BTreeMap<&str, DrawFraction>, dated: &Dated) -> Option<DrawFraction> {
    match &dated.logged.what {
        Happening::Fill(fill) => known.get(&*fill.sprayer).copied(),
        _ => None,
    }
}

/// A calibration tells what a sprayer draws, and so does a dose in an empty container with the strength
/// that it gave: p = D·c·d/F, solved for d.
fn learn<'a>(known: &mut BTreeMap<&'a str, DrawFraction>, dated: &'a Dated, setup: &Setup) {
    let (sprayer, draw) = match &dated.logged.what {
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
        _ => return,
    };
    if let Some(draw) = draw {
        known.insert(sprayer, draw);
    }
}
