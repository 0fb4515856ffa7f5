//! How far a calibration can be trusted: its scatter, its odd runs, the ± of a dose, and what a
//! change since the last one may come from.

use super::at_work::Bay;
use super::calibrating::Calibrating;
use crate::trade::calibration::{Calibration, Run};
use crate::trade::chemical::Target;
use crate::trade::dilution::DrawFraction;
use crate::trade::fill_plan::{self, FillPlan};
use crate::trade::likely_causes::{Cause, Change, Found, likely_causes};
use crate::trade::measure::{self, Measure, graduation_for};
use crate::trade::repeats::{self, Scatter};
use crate::trade::sprayer::Sprayer;
use crate::trade::timed_check::band_of_means;
use crate::trade::uncertainty::{
    DoseUncertainty, PRIOR_SCATTER, Remedy, STOPPING, Shrunk, Volumes, best_for,
    graduation_dominates_below, pre_dilution, readings, root_sum_square,
};
use crate::trade::units::{BottleRatio, Strength, Volume};

impl Bay {
    /// The scatter from run to run: the usual one, blended with what the bay's own repeats tell.
    pub fn scatter(&self) -> Scatter {
        let groups = self.repeats.iter().map(|group| {
            group
                .iter()
                .filter_map(|d| DrawFraction::new(*d))
                .collect::<Vec<_>>()
        });
        repeats::scatter(PRIOR_SCATTER, repeats::pooled(groups))
    }

    /// How sure the dose of a fill of the sprayer shown is: of a direct sprayer only reading the
    /// measure. `None` without a calibration that it could go by.
    pub fn dose_uncertainty(&self, plan: &FillPlan) -> Option<DoseUncertainty> {
        let sure = self.draw_uncertainty()?;
        // What the label's bottle ratio asks for does not depend on the draw: only on the container.
        let sure = match (self.chemical().target, self.calibration_in_use()) {
            (Target::Bottle(_), Some(calibration)) => DoseUncertainty {
                runs: sure.runs,
                ..DoseUncertainty::of_pouring_alone().with_holds(self.holds_unsure(calibration))
            },
            _ => sure,
        };
        Some(poured(sure, plan))
    }

    /// How sure it is what one fill of the sprayer shown puts on the vehicle. The dose goes by the mean
    /// of the runs; the fill itself scatters as a run does, so this is more than that of the dose.
    pub fn landing_uncertainty(&self, plan: &FillPlan) -> Option<DoseUncertainty> {
        Some(poured(self.draw_uncertainty()?.of_one_fill(), plan))
    }

    /// The ± of what one fill lands, as a strength; `None` where there is none.
    pub fn landing_plus_minus(&self, plan: &FillPlan) -> Option<Strength> {
        let relative = self.landing_uncertainty(plan)?.plus_minus();
        Strength::fraction(plan.pour.strength.as_fraction() * relative)
    }

    /// The calibration that the sprayer shown goes by; none for a direct one.
    fn calibration_in_use(&self) -> Option<&Calibration> {
        let sprayer = self.sprayer();
        self.calibration(&sprayer.id)
            .filter(|_| !sprayer.kind.is_direct())
    }

    /// How sure it is what the sprayer shown draws of its chemical; nothing is unsure of a direct one.
    fn draw_uncertainty(&self) -> Option<DoseUncertainty> {
        let sprayer = self.sprayer();
        if sprayer.kind.is_direct() {
            return Some(DoseUncertainty::of_pouring_alone());
        }
        let calibration = self.calibration_in_use()?;
        let holds = fill_plan::holds(sprayer, Some(calibration));
        let drawn = holds - calibration.left_when_dry();
        let sure = self.uncertainty_of(sprayer, calibration)?;
        Some(match self.correction(&sprayer.id, &self.chemical().id) {
            Some(factor) => sure.corrected(calibration, drawn, factor, STOPPING),
            None => sure,
        })
    }

    /// Relative standard uncertainty of what the container of the sprayer shown holds.
    fn holds_unsure(&self, calibration: &Calibration) -> f64 {
        let holds = fill_plan::holds(self.sprayer(), Some(calibration));
        self.reading_unsure(holds) / holds
    }

    /// Standard uncertainty of reading what a container holds with the measures of the bay.
    fn reading_unsure(&self, holds: Volume) -> Volume {
        graduation_for(holds, &self.setup.measures)
            .map_or(Volume::ZERO, |graduation| readings(graduation, 1))
    }

    /// How sure a calibration of a sprayer is, pouring left out.
    pub fn uncertainty_of(
        &self,
        sprayer: &Sprayer,
        calibration: &Calibration,
    ) -> Option<DoseUncertainty> {
        let holds = fill_plan::holds(sprayer, Some(calibration));
        let unsure = self.reading_unsure(holds);
        let jug = self.catch_measure()?;
        DoseUncertainty::of_calibration(calibration, holds, unsure, jug, self.scatter())
    }

    /// What would make the dose surer, the best first.
    pub fn remedies(&self, plan: &FillPlan, sure: &DoseUncertainty) -> Vec<Shrunk> {
        // Without a calibration only pouring can be mended.
        let of =
            |part: fn(&Calibration) -> Volume| self.calibration_in_use().map_or(Volume::ZERO, part);
        let volumes = Volumes {
            dose: plan.exact.product,
            catch: of(|c| c.run.catch),
            drawn: of(|c| c.run.drawn),
            holds: match self.calibration_in_use() {
                Some(calibration) => fill_plan::holds(self.sprayer(), Some(calibration)),
                None => Volume::ZERO,
            },
        };
        let mut remedies = sure.remedies(&volumes, &self.setup.measures);
        // The bay keeps one check for a correction, and takes no mean of several.
        remedies.retain(|shrunk| shrunk.remedy != Remedy::SecondTimedCheck);
        remedies
    }

    /// The places, from 0, of runs in hand that differ from the others by more than repeats do.
    pub fn differing_runs(&self) -> Vec<usize> {
        let Some(runs) = self.calibrating.as_ref().map(Calibrating::runs) else {
            return Vec::new();
        };
        let draws: Vec<DrawFraction> = runs.iter().filter_map(|r| r.draw_fraction()).collect();
        let reading = runs.iter().map(|run| self.reading(run)).fold(0.0, f64::max);
        let scatter = self.scatter().at_least(reading);
        match repeats::odd(&draws, scatter) {
            Ok(Some(odd)) if draws.len() == runs.len() => odd.runs,
            _ => Vec::new(),
        }
    }

    /// What a change since the calibration before may come from, the likeliest first; nothing where
    /// the change is no larger than runs scatter, or nozzle, washer or supply was changed.
    pub fn likely_causes(&self) -> Vec<Cause> {
        let found = |calibration: &Calibration| {
            Some(Found {
                draw_fraction: calibration.draw_fraction()?,
                flows: calibration.flows()?,
            })
        };
        let causes = || {
            let now = self.calibrating.as_ref()?.result()?;
            let before = self.calibration_before()?;
            let change = Change::between(&found(before)?, &found(&now)?);
            let scatter = self.scatter_of_time(self.draft_sprayer()?, before)?;
            let band = band_of_means(scatter, runs_of(before), runs_of(&now));
            Some(likely_causes(&change, band))
        };
        causes().unwrap_or_default()
    }

    /// Relative standard uncertainty of the draw fraction of one run from reading it.
    fn reading(&self, run: &Run) -> f64 {
        let by_jug = || {
            let jug = self.catch_measure()?;
            Some(readings(jug.graduation, jug.loads(run.catch)) / run.catch)
        };
        match run.read {
            Some(read) => root_sum_square(&[read.drawn / run.drawn, read.catch / run.catch]),
            None => by_jug().unwrap_or(0.0),
        }
    }

    /// The measure that a catch is read with: the largest of the bay.
    fn catch_measure(&self) -> Option<&Measure> {
        measure::largest(&self.setup.measures)
    }

    /// What would help where reading the measure is the larger part of the ± of a fill of the
    /// sprayer shown; `None` where it is not, or nothing helps.
    pub fn measure_advice(&self, plan: &FillPlan) -> Option<Advice> {
        let others = self.dose_uncertainty(plan)?.before_pouring();
        let dose = plan.exact.product;
        let below = |measure: &Measure| graduation_dominates_below(measure, others);
        let used = &plan.pour.measure;
        let dominates_below = below(used).filter(|below| dose < *below)?;
        let share = |m: &Measure| readings(m.graduation, m.loads(dose)) / dose;
        let better = best_for(dose, &self.setup.measures, ADVISED_LOADS)
            .filter(|best| share(best) < share(used));
        let help = match better {
            Some(measure) => Help::Measure(measure.clone()),
            None => {
                let enough = below(used)?;
                Help::Dilution(Dilution::of(dose, enough, plan.fill, used)?)
            }
        };
        Some(Advice {
            dominates_below,
            help,
        })
    }

    /// A dilution of the product that brings a dose that no measure of the bay can show, for the
    /// fill shown, up to where the finest one is at most a twentieth off.
    pub fn dilution_for(&self, dose: Volume) -> Option<Dilution> {
        let sprayer = self.sprayer();
        let holds = fill_plan::holds(sprayer, self.calibration(&sprayer.id));
        let fill = self.part().of(holds);
        let finest = |m: &Measure| m.graduation.as_ml();
        let measures = self.setup.measures.iter();
        let finest = measures.min_by(|a, b| finest(a).total_cmp(&finest(b)))?;
        let enough = finest.graduation * LINES_FOR_A_TWENTIETH;
        Dilution::of(dose, enough, fill, finest)
    }
}

/// With the dose of this plan read on its measure, where a line is read at all.
fn poured(sure: DoseUncertainty, plan: &FillPlan) -> DoseUncertainty {
    match plan.pour.half_a_line > 0.0 {
        true => sure.poured(plan.exact.product, &plan.pour.measure),
        false => sure,
    }
}

/// How many runs a calibration is a mean of, for the bands.
pub(super) fn runs_of(calibration: &Calibration) -> u32 {
    u32::try_from(calibration.count()).unwrap_or(u32::MAX)
}

/// More loads than this invite miscounting.
const ADVISED_LOADS: u32 = 4;
/// Half a line in ten is a twentieth.
const LINES_FOR_A_TWENTIETH: f64 = 10.0;

/// What would help a dose that is small for its measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// The dose below which the lines of the measure used are the larger part of its ±.
    pub dominates_below: Volume,
    /// What to do.
    pub help: Help,
}

/// How a small dose can be measured better.
#[derive(Debug, Clone, PartialEq)]
pub enum Help {
    /// Pour with this measure of the bay.
    Measure(Measure),
    /// No measure of the bay is better: thin the product.
    Dilution(Dilution),
}

/// The product thinned before it is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dilution {
    /// Product and water.
    pub ratio: BottleRatio,
    /// What to pour of the thinned product in place of the dose, on a line of the measure.
    pub dose: Volume,
}

impl Dilution {
    fn of(dose: Volume, at_least: Volume, fill: Volume, measure: &Measure) -> Option<Self> {
        let ratio = pre_dilution(dose, at_least, fill)?;
        Some(Self {
            ratio,
            dose: measure.round(dose * (1.0 + ratio.water_parts())),
        })
    }
}
