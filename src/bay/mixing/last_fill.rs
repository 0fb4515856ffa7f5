//! What is in the sprayer, from the records: its newest fill that was not rinsed out since.

use super::ground::Ground;
use crate::bay::at_work::Bay;
use crate::bay::records::{Entry, Fill, FillHow, Happening, Logged, RecordsFault};
use chrono::{DateTime, FixedOffset};

/// The newest fill of a sprayer.
#[derive(Debug, Clone, PartialEq)]
pub struct LastFill {
    /// Its number in the records.
    pub entry: Entry,
    /// When, by the wall's clock.
    pub at: DateTime<FixedOffset>,
    /// As it was kept.
    pub fill: Fill,
    /// A vehicle was washed with it since.
    pub used: bool,
    /// Product per mix in the container, 0 to 1; `None` where that is not known.
    pub fraction: Option<f64>,
}

impl Bay {
    /// Looks up what is in the sprayer shown.
    pub(super) fn look_up_last_fill(&mut self) -> Result<(), RecordsFault> {
        let log = self.records.log(0)?;
        let last = last_fill(&log, &self.sprayer().id);
        let ground = self.ground().ok();
        let calibrated = self
            .past(&self.sprayer().id)
            .calibration
            .map(|record| record.taken);
        self.mixing.last = last.map(|mut last| {
            last.fraction = fraction(&last, ground, calibrated, self);
            last
        });
        Ok(())
    }
}

/// What is known to be in a container. After a calibration there was water in it; what was rinsed is
/// empty.
fn last_fill(log: &[Logged], sprayer: &str) -> Option<LastFill> {
    let mut last = None;
    for logged in log {
        match &logged.what {
            Happening::Fill(fill) if fill.sprayer == sprayer => {
                last = Some(LastFill {
                    entry: logged.entry,
                    at: logged.at,
                    fill: fill.clone(),
                    used: false,
                    fraction: None,
                });
            }
            Happening::Rinsed { sprayer: of } if of == sprayer => last = None,
            Happening::Calibrated(record) if record.sprayer == sprayer => last = None,
            Happening::Wash { sprayer: of, .. } if of == sprayer => {
                if let Some(last) = &mut last {
                    last.used = true;
                }
            }
            _ => {}
        }
    }
    last
}

/// What was poured into an empty container is known. Of what was topped up only the strength is, and
/// that only by the calibration that it was reckoned with.
fn fraction(
    last: &LastFill,
    ground: Option<Ground>,
    calibrated: Option<DateTime<FixedOffset>>,
    bay: &Bay,
) -> Option<f64> {
    match last.fill.how {
        FillHow::Fresh | FillHow::Mispoured { .. } => {
            let fraction = last.fill.poured / last.fill.fill;
            (fraction.is_finite() && (0.0..=1.0).contains(&fraction)).then_some(fraction)
        }
        FillHow::ToppedUp { .. } => {
            let same = calibrated.is_none_or(|taken| taken <= last.at)
                && last.fill.chemical == bay.chemical().id;
            ground
                .filter(|_| same)
                .and_then(|ground| bay.aim(ground).fraction_for(last.fill.strength))
        }
    }
}
