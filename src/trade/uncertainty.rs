//! How sure a dose is: root-sum-square of relative parts.
//!
//! The rules are those of JCGM 100 (GUM): a reading is rectangular over half a graduation each
//! way, parts that do not know of each other add as squares, and the shown ± holds the true dose in
//! 19 of 20 cases: coverage factor 2, or more for a scatter that stands on few repeats
//! ([`DoseUncertainty::factor`]). It is that of the dose, which goes by the mean of the runs; what
//! lands from one fill scatters besides ([`DoseUncertainty::of_one_fill`]).

use super::calibration::{Calibration, Container, Read, Run, Way};
use super::individuals::student_95;
use super::measure::Measure;
use super::repeats::{self, Scatter};
use super::text::Text;
use super::units::{BottleRatio, Volume};
use crate::text;
use std::time::Duration;

/// Run-to-run scatter of the draw fraction, relative, as known before the bay has repeats of its own
/// and blended with those ([`repeats::scatter`]): common practice, no source.
pub const PRIOR_SCATTER: f64 = 0.02;
/// The least coverage factor of any ± shown.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// Standard uncertainty of a time that was started and stopped by hand: a fifth of a second for
/// each press. Common practice, no source.
pub const STOPPING: Duration = Duration::from_millis(283);

/// Standard uncertainty of a rectangular part of that half-width: a/√3.
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3f64.sqrt()
}

/// Standard uncertainty of `loads` readings on lines `graduation` apart: each half a graduation,
/// rectangular, and the loads add.
pub fn readings(graduation: Volume, loads: u32) -> Volume {
    Volume::ml(rectangular(graduation.as_ml() / 2.0) * f64::from(loads).sqrt())
}

/// Standard uncertainty of a volume measured in loads with several measures: one graduation for
/// each load, part-loads included. Each is rectangular over half a step each way, and they add.
pub fn mixed_readings(graduations: impl IntoIterator<Item = Volume>) -> Volume {
    let squares: f64 = graduations
        .into_iter()
        .map(|graduation| rectangular(graduation.as_ml() / 2.0).powi(2))
        .sum();
    Volume::ml(squares.sqrt())
}

/// Root-sum-square: the relative standard uncertainty of a product or quotient of independent
/// quantities.
pub fn root_sum_square(relative: &[f64]) -> f64 {
    relative.iter().map(|u| u * u).sum::<f64>().sqrt()
}

/// Where a part of a dose's uncertainty comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Scatter from run to run.
    Scatter,
    /// Reading the catch.
    Catch,
    /// Reading what was left in the container, from which follows what was drawn.
    Drawn,
    /// Reading what the container holds.
    Holds,
    /// Reading the measure when pouring.
    Pour,
    /// Weighing the catch and what was drawn.
    Weighing,
    /// Stopping the time.
    Timing,
}

impl Source {
    /// All sources.
    pub const ALL: [Self; 7] = [
        Self::Scatter,
        Self::Catch,
        Self::Drawn,
        Self::Holds,
        Self::Pour,
        Self::Weighing,
        Self::Timing,
    ];

    /// For the screen, as the end of "most of it comes from …".
    pub fn words(self) -> Text {
        match self {
            Self::Scatter => text!("runs differing from one another"),
            Self::Catch => text!("reading the catch"),
            Self::Drawn => text!("reading what was left"),
            Self::Holds => text!("reading what the container holds"),
            Self::Pour => text!("reading the measure when pouring"),
            Self::Weighing => text!("the balance's step"),
            Self::Timing => text!("stopping the time"),
        }
    }
}

/// How surely the volumes of one run were read, as relative standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunReading {
    /// The run's draw fraction, which is its weight in the mean; above 0.
    pub draw_fraction: f64,
    /// Reading the catch with measures; 0 for a run by weight.
    pub catch: f64,
    /// Reading what was drawn with measures; 0 for a run by weight.
    pub drawn: f64,
    /// Weighing the catch; 0 for a run read with measures.
    pub weighed_catch: f64,
    /// Weighing what was drawn; 0 for a run read with measures.
    pub weighed_drawn: f64,
}

impl RunReading {
    /// Of a run read with measures, given the standard uncertainties of both volumes
    /// ([`readings`], [`mixed_readings`]). `None` where no draw fraction follows from the run.
    ///
    /// `drawn` is what each run reads for itself ([`Read::drawn`]). Where the run emptied the whole
    /// container, what was drawn is also what the container is taken to hold, and that reading
    /// cancels in F/d: give zero for it. It would not average out over runs either, because the
    /// same volume is read alike every time.
    pub fn by_measure(run: &Run, drawn: Volume, catch: Volume) -> Option<Self> {
        Some(Self {
            draw_fraction: run.draw_fraction()?.as_fraction(),
            catch: catch / run.catch,
            drawn: drawn / run.drawn,
            weighed_catch: 0.0,
            weighed_drawn: 0.0,
        })
    }

    /// Of a run by weight, given the standard uncertainties of both volumes
    /// ([`super::weighing::volume_uncertainty`]). `None` where no draw fraction follows from it.
    pub fn by_weight(run: &Run, drawn: Volume, catch: Volume) -> Option<Self> {
        Some(Self {
            draw_fraction: run.draw_fraction()?.as_fraction(),
            catch: 0.0,
            drawn: 0.0,
            weighed_catch: catch / run.catch,
            weighed_drawn: drawn / run.drawn,
        })
    }

    /// What differs from one run to the next, and so is in their scatter.
    fn differing(&self) -> f64 {
        root_sum_square(&[self.catch, self.drawn])
    }
}

/// Where the uncertainty of a dose comes from, as relative standard uncertainties of the dose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseUncertainty {
    /// Runs that the draw fraction is a mean of.
    pub runs: u32,
    /// Scatter from run to run, over √n for n runs.
    pub scatter: f64,
    /// Reading the catch.
    pub catch: f64,
    /// Reading what was left, over what was drawn; 0 where the runs emptied the container.
    pub drawn: f64,
    /// Reading what the container holds, so far as that does not cancel in F/d: with the share
    /// left/drawn, 0 where the runs emptied the container, all of it where they tell nothing of it.
    pub holds: f64,
    /// Reading the measure when pouring.
    pub pour: f64,
    /// Weighing, for runs by weight: the same container and bucket, filled alike, are rounded alike by the
    /// balance each time, so that it neither averages out over runs nor shows in their scatter.
    pub weighing: f64,
    /// Stopping the time, where the dose was corrected by a timed check; else 0, because no time
    /// goes into a draw fraction.
    pub timing: f64,
    /// The degrees of freedom that the scatter stands on, those of the prior included; `None` where
    /// no scatter goes in.
    pub degrees_of_freedom: Option<u32>,
}

impl DoseUncertainty {
    /// Of the draw fraction of a calibration, for the ± on every screen; pouring is left to
    /// [`Self::poured`]. `None` where no draw fraction follows from a run.
    ///
    /// `holds_unsure` is the standard uncertainty of the volume F that the container is filled up
    /// to, the one measured or that of the set-up. Of the dose D = p·F/d only what does not cancel
    /// between F and d is counted. A run that drew all of F has drawn = F: it cancels. Where something
    /// was left, drawn = F − left, so F goes in with the share left/drawn, in all runs alike. By weight
    /// and on a drum d knows nothing of F: all of it counts. `holds` is F. `fallback` is the measure
    /// that volumes are taken to be read with in runs whose [`Run::read`] is not known.
    pub fn of_calibration(
        calibration: &Calibration,
        holds: Volume,
        holds_unsure: Volume,
        fallback: &Measure,
        scatter: Scatter,
    ) -> Option<Self> {
        let readings: Option<Vec<RunReading>> = calibration
            .runs()
            .map(|run| match (run.way, run.read) {
                (Way::ByWeight, Some(read)) => RunReading::by_weight(run, read.drawn, read.catch),
                (_, read) => {
                    let read = read.unwrap_or_else(|| read_with(fallback, run, holds));
                    RunReading::by_measure(run, read.drawn, read.catch)
                }
            })
            .collect();
        let readings = readings?;
        let all: f64 = readings.iter().map(|run| run.draw_fraction).sum();
        let share: f64 = calibration
            .runs()
            .zip(&readings)
            .map(|(run, reading)| {
                let share = match (run.way, calibration.holds.map(Container::holds)) {
                    (Way::ByWeight, _) | (_, None) => 1.0,
                    (_, Some(measured)) => (measured - run.drawn) / run.drawn,
                };
                share * reading.draw_fraction / all
            })
            .sum();
        let part = share.abs() * (holds_unsure / holds);
        Some(Self::of_runs(&readings, scatter).with_holds(part))
    }

    /// Of a draw fraction that is the mean of these runs; pouring is left to [`Self::poured`].
    ///
    /// Readings go in with the weight that each run has in the mean. The bay's own repeats were
    /// seen through readings like these, so what the readings explain of the scatter is taken out of
    /// it first, with the share that the repeats have in it, and the readings are not counted twice.
    /// Weighing explains none of it and is taken as the same in all runs. The prior is scatter alone. No
    /// run gives the scatter of one and no readings.
    pub fn of_runs(runs: &[RunReading], scatter: Scatter) -> Self {
        let n = runs.len().max(1) as f64;
        let all: f64 = runs.iter().map(|run| run.draw_fraction).sum();
        let mean_of = |part: fn(&RunReading) -> f64| {
            let weighed: Vec<f64> = runs
                .iter()
                .map(|run| part(run) * run.draw_fraction / all)
                .collect();
            root_sum_square(&weighed)
        };
        let alike = |part: fn(&RunReading) -> f64| {
            let weighed = runs.iter().map(|run| part(run) * run.draw_fraction / all);
            weighed.sum::<f64>()
        };
        let weighing = [
            alike(|run| run.weighed_catch),
            alike(|run| run.weighed_drawn),
        ];
        let read = runs.iter().map(|run| run.differing().powi(2)).sum::<f64>() / n;
        let explained = scatter.own_share() * read;
        Self {
            runs: runs.len().max(1) as u32,
            scatter: ((scatter.relative.powi(2) - explained).max(0.0) / n).sqrt(),
            catch: mean_of(|run| run.catch),
            drawn: mean_of(|run| run.drawn),
            holds: 0.0,
            pour: 0.0,
            weighing: root_sum_square(&weighing),
            timing: 0.0,
            degrees_of_freedom: Some(scatter.freedom()),
        }
    }

    /// Of a dose that no calibration goes into, as of a direct sprayer: only pouring is left, see
    /// [`Self::poured`].
    pub fn of_pouring_alone() -> Self {
        Self {
            runs: 1,
            scatter: 0.0,
            catch: 0.0,
            drawn: 0.0,
            holds: 0.0,
            pour: 0.0,
            weighing: 0.0,
            timing: 0.0,
            degrees_of_freedom: None,
        }
    }

    /// Of what one fill puts on the vehicle, where `self` is that of its dose, which goes by the mean
    /// of n runs: the fill itself scatters as one run more does, so that its scatter is s·√(1 + 1/n)
    /// in place of s/√n. The readings stay as they are. A corrected dose goes by its one check.
    pub fn of_one_fill(self) -> Self {
        let runs = match self.timing > 0.0 {
            true => 1.0,
            false => f64::from(self.runs),
        };
        Self {
            scatter: self.scatter * (runs + 1.0).sqrt(),
            ..self
        }
    }

    /// With this dose read on this measure.
    pub fn poured(self, dose: Volume, measure: &Measure) -> Self {
        Self {
            pour: pouring(dose, measure),
            ..self
        }
    }

    /// With this part for what the container holds, relative.
    pub fn with_holds(self, holds: f64) -> Self {
        Self { holds, ..self }
    }

    /// With the time of a timed check with the mix, read by hand: it goes into
    /// d' = draw'/(draw' + carrier) with the share 1 − d'. `stopping` is the standard uncertainty of
    /// the time. Nothing is added where no time went by.
    pub fn with_timing(self, stopping: Duration, time: Duration, draw_fraction: f64) -> Self {
        let timing = match time.is_zero() {
            true => 0.0,
            false => (1.0 - draw_fraction) * stopping.as_secs_f64() / time.as_secs_f64(),
        };
        Self { timing, ..self }
    }

    /// Of a dose corrected with `factor`, d/d', for how the mix was seen to draw in one timed check
    /// ([`super::timed_check::WithMix::dose_factor`]), which drew `drawn`; `self` is that of the calibration. Unchanged
    /// where that factor leaves no draw fraction, or the calibration has no flows.
    ///
    /// D' = p·F/d' with d' = (F/t')/(F/t' + carrier) is p·(F + carrier·t'). The calibration gives the
    /// carrier only, which is steady; what scatters is the time t' of that one check, with the draw
    /// flow, by s/(1 − d) of which the share 1 − d' goes in. So more runs do not make it surer. Both
    /// times were stopped by hand, that of the calibration in n runs.
    pub fn corrected(
        self,
        calibration: &Calibration,
        drawn: Volume,
        factor: f64,
        stopping: Duration,
    ) -> Self {
        let known = || {
            let water = calibration.draw_fraction()?.as_fraction();
            let mix = water / factor;
            let carrier = calibration.flows()?.carrier.as_ml_per_s();
            // Drawn at d' beside that carrier.
            let seconds = drawn.as_ml() * (1.0 / mix - 1.0) / carrier;
            let time = Duration::try_from_secs_f64(seconds).ok()?;
            (mix > 0.0 && mix < 1.0 && water < 1.0).then_some((water, mix, time))
        };
        let Some((water, mix, time)) = known() else {
            return self;
        };
        let runs = f64::from(self.runs);
        let one_check = self.scatter * runs.sqrt() * (1.0 - mix) / (1.0 - water);
        let timed = self.with_timing(stopping.mul_f64((1.0 + 1.0 / runs).sqrt()), time, mix);
        Self {
            scatter: one_check,
            ..timed
        }
    }

    /// One part.
    pub const fn part(&self, source: Source) -> f64 {
        match source {
            Source::Scatter => self.scatter,
            Source::Catch => self.catch,
            Source::Drawn => self.drawn,
            Source::Holds => self.holds,
            Source::Pour => self.pour,
            Source::Weighing => self.weighing,
            Source::Timing => self.timing,
        }
    }

    /// Root-sum-square of the parts.
    pub fn standard(&self) -> f64 {
        root_sum_square(&Source::ALL.map(|source| self.part(source)))
    }

    /// Root-sum-square of the parts but pouring: what no measure can mend.
    pub fn before_pouring(&self) -> f64 {
        Self { pour: 0.0, ..*self }.standard()
    }

    /// The coverage factor of the scatter: the 95 % point of Student's t for its degrees of freedom, and
    /// never below 2. What is read has a factor of 2.
    pub fn factor(&self) -> f64 {
        self.degrees_of_freedom
            .and_then(student_95)
            .unwrap_or(COVERAGE_FACTOR)
            .max(COVERAGE_FACTOR)
    }

    /// One part with its coverage factor.
    pub fn expanded_part(&self, source: Source) -> f64 {
        match source {
            Source::Scatter => self.factor() * self.scatter,
            read => COVERAGE_FACTOR * self.part(read),
        }
    }

    /// The ± of a dose, relative: root-sum-square of the parts, each with its own coverage factor. (One
    /// factor for all of it by effective degrees of freedom, JCGM 100 G.4, would let a coarser reading
    /// make a dose surer.)
    pub fn plus_minus(&self) -> f64 {
        root_sum_square(&Source::ALL.map(|source| self.expanded_part(source)))
    }

    /// The ± of a dose: [`Self::plus_minus`] of it.
    pub fn expanded(&self, dose: Volume) -> Volume {
        dose * self.plus_minus()
    }

    /// The largest part, the first in the order of [`Source::ALL`] where two are alike.
    pub fn largest(&self) -> Source {
        Source::ALL
            .into_iter()
            .fold(Source::Scatter, |largest, source| {
                match self.part(source) > self.part(largest) {
                    true => source,
                    false => largest,
                }
            })
    }

    /// The same with one more run of the same kind; `None` where there are as many as count. The
    /// scatter of a corrected dose is that of its check, whatever the runs.
    fn with_one_more_run(&self) -> Option<Self> {
        let less = (f64::from(self.runs) / f64::from(self.runs + 1)).sqrt();
        let scatter = match self.timing > 0.0 {
            true => self.scatter,
            false => self.scatter * less,
        };
        (self.runs < *repeats::RUNS.end() as u32).then(|| Self {
            runs: self.runs + 1,
            scatter,
            catch: self.catch * less,
            drawn: self.drawn * less,
            ..*self
        })
    }
}

/// How a run was read where nothing is known of it: everything with one measure. What was left is
/// what the container holds less what was drawn.
fn read_with(measure: &Measure, run: &Run, holds: Volume) -> Read {
    let of = |volume: Volume| match volume.is_some_liquid() {
        true => readings(measure.graduation, measure.loads(volume)),
        false => Volume::ZERO,
    };
    Read {
        drawn: match run.way {
            Way::Timed => of(holds - run.drawn),
            Way::RunDry | Way::ByWeight => Volume::ZERO,
        },
        catch: of(run.catch),
    }
}

/// Relative standard uncertainty of reading a dose on a measure.
fn pouring(dose: Volume, measure: &Measure) -> f64 {
    readings(measure.graduation, measure.loads(dose)) / dose
}

/// Pours of more loads than this invite miscounting.
const POUR_LOADS: u32 = 4;
/// A catch in more loads than this is not worth its fineness.
const CATCH_LOADS: u32 = 20;
/// A remedy that takes less than this off the ± is not worth naming.
const WORTHWHILE: f64 = 0.05;
/// How much finer the balance is that [`Remedy::FinerBalance`] reckons with.
const BALANCE_FINER: f64 = 10.0;

/// What would shrink the ± of a dose.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// One run more, of the same kind.
    OneMoreRun,
    /// Pour with this measure of the bay.
    FinerMeasureForPouring(Measure),
    /// Read the catch with this measure of the bay.
    FinerMeasureForCatch(Measure),
    /// Read what was left with this measure of the bay.
    FinerMeasureForDrawn(Measure),
    /// Read what the container holds with this measure of the bay.
    FinerMeasureForHolds(Measure),
    /// A balance with a tenth of the step.
    FinerBalance,
    /// Do the timed check twice and take the mean.
    SecondTimedCheck,
}

impl Remedy {
    /// The part that it is aimed at.
    pub const fn source(&self) -> Source {
        match self {
            Self::OneMoreRun => Source::Scatter,
            Self::FinerMeasureForPouring(_) => Source::Pour,
            Self::FinerMeasureForCatch(_) => Source::Catch,
            Self::FinerMeasureForDrawn(_) => Source::Drawn,
            Self::FinerMeasureForHolds(_) => Source::Holds,
            Self::FinerBalance => Source::Weighing,
            Self::SecondTimedCheck => Source::Timing,
        }
    }

    /// For the screen.
    pub fn words(&self) -> Text {
        match self {
            Self::OneMoreRun => text!("one more run"),
            Self::FinerMeasureForPouring(measure) => {
                text!("a finer measure for this dose: {}", &measure.name)
            }
            Self::FinerMeasureForCatch(measure) => {
                text!("a finer measure for the catch: {}", &measure.name)
            }
            Self::FinerMeasureForDrawn(measure) => {
                text!("a finer measure for what was left: {}", &measure.name)
            }
            Self::FinerMeasureForHolds(measure) => {
                text!("a finer measure for the container: {}", &measure.name)
            }
            Self::FinerBalance => text!("a balance with finer steps"),
            Self::SecondTimedCheck => text!("a second timed check"),
        }
    }
}

/// A remedy and what it would give.
#[derive(Debug, Clone, PartialEq)]
pub struct Shrunk {
    /// What to do.
    pub remedy: Remedy,
    /// The ± of the dose then.
    pub plus_minus: Volume,
}

/// What a dose was reckoned from, so far as a finer measure could mend it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Volumes {
    /// The dose.
    pub dose: Volume,
    /// The catch of a run.
    pub catch: Volume,
    /// What was drawn in a run.
    pub drawn: Volume,
    /// What the container holds.
    pub holds: Volume,
}

impl DoseUncertainty {
    /// What would take at least a twentieth off the ±, with what is in the bay: first what is aimed
    /// at the largest part, then by how much it helps. A finer measure for catch or container
    /// means doing the runs again with it.
    pub fn remedies(&self, volumes: &Volumes, measures: &[Measure]) -> Vec<Shrunk> {
        let root_runs = f64::from(self.runs).sqrt();
        // A timed run leaves something: that is read, and the container's own reading goes in with
        // the share left/drawn.
        let left = volumes.holds - volumes.drawn;
        let (left, share) = match left.is_some_liquid() {
            true => (left, left / volumes.drawn),
            false => (volumes.drawn, 1.0),
        };
        // With a volume read on the measure of the bay that reads it best; of `runs` runs the mean.
        let finer = |volume: Volume, most: u32, over: f64| {
            best_for(volume, measures, most)
                .map(|measure| (measure.clone(), pouring(volume, measure) / over))
        };
        let mut found: Vec<(Remedy, Self)> = Vec::new();
        found.extend(self.with_one_more_run().map(|u| (Remedy::OneMoreRun, u)));
        found.extend(finer(volumes.dose, POUR_LOADS, 1.0).map(|(measure, pour)| {
            let then = Self { pour, ..*self };
            (Remedy::FinerMeasureForPouring(measure), then)
        }));
        // A part that is zero was not read with a measure.
        if self.catch > 0.0 {
            found.extend(
                finer(volumes.catch, CATCH_LOADS, root_runs).map(|(measure, catch)| {
                    let then = Self { catch, ..*self };
                    (Remedy::FinerMeasureForCatch(measure), then)
                }),
            );
        }
        if self.drawn > 0.0 {
            found.extend(
                finer(left, POUR_LOADS, root_runs / share).map(|(measure, drawn)| {
                    let then = Self { drawn, ..*self };
                    (Remedy::FinerMeasureForDrawn(measure), then)
                }),
            );
        }
        if self.holds > 0.0 {
            found.extend(
                finer(volumes.holds, POUR_LOADS, 1.0 / share).map(|(measure, holds)| {
                    let then = Self { holds, ..*self };
                    (Remedy::FinerMeasureForHolds(measure), then)
                }),
            );
        }
        let weighing = self.weighing / BALANCE_FINER;
        found.push((Remedy::FinerBalance, Self { weighing, ..*self }));
        if self.timing > 0.0 {
            let half = |part: f64| part / 2f64.sqrt();
            let then = Self {
                timing: half(self.timing),
                scatter: half(self.scatter),
                ..*self
            };
            found.push((Remedy::SecondTimedCheck, then));
        }

        let enough = self.plus_minus() * (1.0 - WORTHWHILE);
        found.retain(|(_, then)| then.plus_minus() <= enough);
        let largest = self.largest();
        found.sort_by(|(a, then_a), (b, then_b)| {
            let aimed = |remedy: &Remedy| remedy.source() == largest;
            aimed(b)
                .cmp(&aimed(a))
                .then(then_a.plus_minus().total_cmp(&then_b.plus_minus()))
        });
        found
            .into_iter()
            .map(|(remedy, then)| Shrunk {
                remedy,
                plus_minus: then.expanded(volumes.dose),
            })
            .collect()
    }
}

/// The measure that reads a volume most surely in at most that many loads; `None` where none does,
/// or the volume is not above zero.
pub fn best_for(volume: Volume, measures: &[Measure], most_loads: u32) -> Option<&Measure> {
    measures
        .iter()
        .filter(|measure| volume.is_some_liquid() && measure.loads(volume) <= most_loads)
        .min_by(|a, b| pouring(volume, a).total_cmp(&pouring(volume, b)))
}

/// The dose below which reading the measure is a larger part than all `others` together
/// ([`DoseUncertainty::before_pouring`], relative). `None` where the others are zero, so that it
/// always is. From this dose on it never is. Where it spans several loads, a dose just
/// under a full load may escape it a little earlier.
///
/// k loads read to g/√12·√k; that is more than the others' share u of the dose D up to
/// D = g·√k/(√12·u). D in k loads lies above k − 1 of them, so k is the largest whole number with
/// k − 1 < c·√k, where c = g/(√12·u·size).
pub fn graduation_dominates_below(measure: &Measure, others: f64) -> Option<Volume> {
    let one_load = readings(measure.graduation, 1) / measure.size;
    let c = one_load / others;
    if !(others > 0.0 && c.is_finite() && c > 0.0) {
        return None;
    }
    let root = (c + (c * c + 4.0).sqrt()) / 2.0;
    let loads = ((root * root).ceil() - 1.0).max(1.0);
    Some(measure.size * loads.min(c * loads.sqrt()))
}

/// A dilution of the product, 1 + N with the smallest whole N, that brings a dose too small to
/// measure up to `at_least`. `None` where none is needed, or where the fill does not take that much.
pub fn pre_dilution(dose: Volume, at_least: Volume, fill: Volume) -> Option<BottleRatio> {
    let times = (at_least / dose - 1e-9).ceil();
    (dose.is_some_liquid() && times > 1.0 && dose * times <= fill)
        .then(|| BottleRatio::parts_water(times - 1.0))
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn measure(id: &str, size: f64, graduation: f64) -> Measure {
        Measure {
            id: id.into(),
            name: id.into(),
            size: Volume::ml(size),
            graduation: Volume::ml(graduation),
        }
    }
    fn bay() -> Vec<Measure> {
        vec![
            measure("syringe", 60.0, 1.0),
            measure("cylinder", 250.0, 2.0),
            measure("jug", 1000.0, 10.0),
        ]
    }
    fn run() -> Run {
        Run::dry(
            Volume::ml(820.0),
            Volume::ml(14_700.0),
            Duration::from_secs(104),
        )
    }
    /// A run read with the jug.
    fn jugged() -> RunReading {
        let jug = &bay()[2];
        let of = |volume| readings(jug.graduation, jug.loads(volume));
        let run = run();
        RunReading::by_measure(&run, of(run.drawn), of(run.catch)).expect("a run")
    }
    fn volumes(dose: f64) -> Volumes {
        Volumes {
            dose: Volume::ml(dose),
            catch: run().catch,
            drawn: run().drawn,
            holds: run().drawn,
        }
    }
    fn prior() -> Scatter {
        repeats::scatter(PRIOR_SCATTER, None)
    }
    /// So many repeats of the bay's own that the prior counts for nothing.
    fn own(relative: f64) -> Scatter {
        Scatter {
            relative,
            degrees_of_freedom: 1_000_000_000,
            runs: 1_000_000_000,
        }
    }

    /// A run of this way whose reading is known.
    fn read(way: Way, drawn: f64, drawn_u: f64, catch_u: f64) -> Run {
        let of = run();
        Run {
            drawn: Volume::ml(drawn),
            catch: of.catch * (drawn / of.drawn.as_ml()),
            way,
            read: Some(Read {
                drawn: Volume::ml(drawn_u),
                catch: Volume::ml(catch_u),
            }),
            ..of
        }
    }

    #[test]
    fn a_run_dry_is_as_sure_as_its_catch() {
        let (bay, dose) = (bay(), Volume::ml(590.0));
        let jug = &bay[2];
        let calibration = Calibration::of_one(Container::measured(run().drawn), run());
        let (holds, unsure) = (run().drawn, Volume::ml(50.0));
        let of = DoseUncertainty::of_calibration(&calibration, holds, unsure, jug, prior());
        let of = of.expect("a run").poured(dose, jug);
        // By hand: 2 %; 10/√12 ml in 590, and √15 of it in 14 700. What it holds cancels.
        let line = 10.0 / 12f64.sqrt();
        let parts = [0.02, line / 590.0, line * 15f64.sqrt() / 14_700.0];
        let by_hand = parts.iter().map(|u| u * u).sum::<f64>().sqrt();
        assert_relative_eq!(of.standard(), by_hand, max_relative = 1e-12);
        let shown = of.expanded(dose).as_ml();
        // The scatter stands on the four degrees of freedom of the prior (scipy.stats.t.ppf(1 - 0.05/2, 4)).
        let readings = (parts[1].powi(2) + parts[2].powi(2)).sqrt();
        let expanded = 590.0 * (2.776_445_105_2f64 * 0.02).hypot(2.0 * readings);
        assert_relative_eq!(shown, expanded, max_relative = 1e-9);
        assert_eq!(of.largest(), Source::Scatter);
        // What was kept with the run goes before the fallback.
        let kept = Calibration::of_one(
            Container::measured(run().drawn),
            read(Way::RunDry, 820.0, 0.0, 147.0),
        );
        let of =
            DoseUncertainty::of_calibration(&kept, holds, unsure, jug, prior()).expect("a run");
        assert_relative_eq!(of.catch, 0.01, max_relative = 1e-12);
        let impossible = Run {
            catch: run().drawn,
            ..run()
        };
        let none = Calibration::of_one(Container::measured(run().drawn), impossible);
        assert_eq!(
            DoseUncertainty::of_calibration(&none, holds, unsure, jug, prior()),
            None
        );
    }

    #[test]
    fn what_the_container_holds_counts_where_something_was_left() {
        let (bay, holds, unsure) = (bay(), Volume::ml(820.0), Volume::ml(8.2));
        let jug = &bay[2];
        let of = |runs: &[Run]| {
            let calibration = Calibration::of(Container::measured(holds), runs).expect("runs");
            DoseUncertainty::of_calibration(&calibration, holds, unsure, jug, prior())
                .expect("runs")
        };
        // 328 ml left of 820: 1 % of what it holds goes in with 328/492, in all runs alike.
        let timed = read(Way::Timed, 492.0, 4.92, 0.0);
        assert_relative_eq!(of(&[timed]).holds, 0.01 * 2.0 / 3.0, max_relative = 1e-12);
        assert_relative_eq!(
            of(&[timed; 4]).holds,
            0.01 * 2.0 / 3.0,
            max_relative = 1e-12
        );
        assert_relative_eq!(of(&[timed]).drawn, 0.01, max_relative = 1e-12);
        assert_relative_eq!(of(&[timed; 4]).drawn, 0.005, max_relative = 1e-12);
        // Nothing known: left and catch with the jug, in one load and nine.
        let unknown = of(&[Run {
            read: None,
            ..timed
        }]);
        let line = 10.0 / 12f64.sqrt();
        assert_relative_eq!(unknown.drawn, line / 492.0, max_relative = 1e-12);
        let catch = line * 9f64.sqrt() / timed.catch.as_ml();
        assert_relative_eq!(unknown.catch, catch, max_relative = 1e-12);
        // By weight the runs tell nothing of it: all of it counts, and both weighings.
        let weighed = of(&[read(Way::ByWeight, 820.0, 8.2, 14.7)]);
        assert_eq!((weighed.drawn, weighed.catch), (0.0, 0.0));
        assert_relative_eq!(weighed.holds, unsure / holds, max_relative = 1e-12);
        let both = 0.01f64.hypot(0.001);
        assert_relative_eq!(weighed.weighing, both, max_relative = 1e-12);
        // Nor do those of a drum, run dry or timed.
        let drum = Calibration::of_one(None, read(Way::RunDry, 650.0, 0.0, 0.0));
        let drum = DoseUncertainty::of_calibration(&drum, holds, unsure, jug, prior());
        assert_relative_eq!(
            drum.expect("a run").holds,
            unsure / holds,
            max_relative = 1e-12
        );
        // A run until dry that left something is like a timed one.
        let left = read(Way::RunDry, 805.0, 6.5, 0.0);
        let share = unsure / holds * 15.0 / 805.0;
        assert_relative_eq!(of(&[left]).holds, share, max_relative = 1e-9);
    }

    #[test]
    fn what_was_left_is_what_a_finer_measure_reads() {
        let bay = bay();
        // 328 ml of 820 left, read on a bucket's lines of 100 ml.
        let timed = read(Way::Timed, 492.0, 100.0 / 12f64.sqrt(), 0.0);
        let calibration = Calibration::of_one(Container::measured(Volume::ml(820.0)), timed);
        let unsure = Volume::ml(200.0 / 12f64.sqrt());
        let of = DoseUncertainty::of_calibration(
            &calibration,
            Volume::ml(820.0),
            unsure,
            &bay[2],
            prior(),
        );
        let of = of.expect("a run");
        let volumes = Volumes {
            dose: Volume::ml(590.0),
            catch: timed.catch,
            drawn: timed.drawn,
            holds: Volume::ml(820.0),
        };
        let found = of.remedies(&volumes, &bay);
        let after = |remedy: &Remedy| {
            let shrunk = found.iter().find(|s| s.remedy == *remedy);
            shrunk.expect("it helps").plus_minus.as_ml()
        };
        // 328 ml in two cylinders of 2 ml lines; 820 ml in four, which counts by two thirds.
        let drawn = 2.0 / 12f64.sqrt() * 2f64.sqrt() / 492.0;
        let then = DoseUncertainty { drawn, ..of }.expanded(volumes.dose);
        let remedy = Remedy::FinerMeasureForDrawn(bay[1].clone());
        assert_relative_eq!(after(&remedy), then.as_ml(), max_relative = 1e-9);
        let cylinders = 2.0 / 12f64.sqrt() * 2.0 / 820.0 * 2.0 / 3.0;
        let then = DoseUncertainty {
            holds: cylinders,
            ..of
        };
        let remedy = Remedy::FinerMeasureForHolds(bay[1].clone());
        let then = then.expanded(volumes.dose).as_ml();
        assert_relative_eq!(after(&remedy), then, max_relative = 1e-9);
    }

    #[test]
    fn a_corrected_dose_stands_on_its_one_check() {
        let (bay, holds) = (bay(), run().drawn);
        let of = |runs: &[Run], factor: f64| {
            let calibration = Calibration::of(Container::measured(holds), runs).expect("runs");
            let unsure = Volume::ml(3.0);
            let of = DoseUncertainty::of_calibration(&calibration, holds, unsure, &bay[2], prior());
            of.expect("runs")
                .corrected(&calibration, holds, factor, STOPPING)
        };
        let four = [run(); 4];
        // A quarter more dose: d' = 0.8 d; 13 880 ml in 104 s beside it.
        let (water, factor) = (820.0 / 14_700.0, 1.25);
        let mix = water / factor;
        let by_hand = 0.02 * (1.0 - mix) / (1.0 - water);
        assert_relative_eq!(of(&four, factor).scatter, by_hand, max_relative = 1e-12);
        assert_relative_eq!(
            of(&four[..1], factor).scatter,
            by_hand,
            max_relative = 1e-12
        );
        let seconds = 820.0 * (1.0 / mix - 1.0) / (13_880.0 / 104.0);
        let timing = (1.0 - mix) * 0.283 / seconds * 1.25f64.sqrt();
        assert_relative_eq!(of(&four, factor).timing, timing, max_relative = 1e-6);
        // Catches are read as before, and one more run mends nothing but them.
        let plain = DoseUncertainty::of_runs(&[jugged(); 4], prior());
        assert_relative_eq!(of(&four, factor).catch, plain.catch, max_relative = 1e-12);
        let volumes = volumes(590.0);
        let best = of(&four, factor).remedies(&volumes, &bay);
        assert_eq!(best[0].remedy, Remedy::SecondTimedCheck, "{best:?}");
        assert!(
            best.iter().all(|s| s.remedy != Remedy::OneMoreRun),
            "{best:?}"
        );
        // No such draw fraction.
        for factor in [0.0, -1.0, 0.01, f64::NAN, f64::INFINITY] {
            let unchanged = of(&four, factor);
            assert_eq!(
                (unchanged.timing, unchanged.scatter),
                (0.0, 0.01),
                "{factor}"
            );
        }
    }

    #[test]
    fn few_repeats_widen_the_plus_minus() {
        let nothing = RunReading {
            draw_fraction: 0.05,
            catch: 0.0,
            drawn: 0.0,
            weighed_catch: 0.0,
            weighed_drawn: 0.0,
        };
        let of = |degrees_of_freedom| {
            let own = Scatter {
                degrees_of_freedom,
                ..own(0.02)
            };
            DoseUncertainty::of_runs(&[nothing], own)
        };
        let t = |degrees| student_95(degrees).expect("t");
        // The prior's four count too.
        assert_relative_eq!(of(10).factor(), t(14), max_relative = 1e-12);
        assert_relative_eq!(of(10).plus_minus(), 0.02 * t(14), max_relative = 1e-12);
        let by_prior = DoseUncertainty::of_runs(&[nothing], prior());
        assert_relative_eq!(by_prior.factor(), t(4), max_relative = 1e-12);
        // Never below 2.
        assert_eq!(of(5000).factor(), 2.0);
        // What is read has a factor of 2, and never makes the whole surer.
        let mixed = DoseUncertainty {
            pour: 0.015,
            ..of(6)
        };
        let by_hand = (t(10) * 0.02).hypot(0.03);
        assert_relative_eq!(mixed.plus_minus(), by_hand, max_relative = 1e-12);
        let with = |pour: f64| DoseUncertainty { pour, ..by_prior }.plus_minus();
        for thousandths in 0..100 {
            let pour = f64::from(thousandths) / 1000.0;
            assert!(with(pour + 0.001) > with(pour), "{pour}");
        }
        let own_zero = DoseUncertainty {
            pour: 0.01,
            ..DoseUncertainty::of_runs(&[nothing], own(0.0))
        };
        assert_relative_eq!(own_zero.plus_minus(), 0.02, max_relative = 1e-12);
        let zero = DoseUncertainty {
            pour: 0.0,
            ..own_zero
        };
        assert_eq!(zero.expanded(Volume::ml(590.0)), Volume::ZERO);
    }

    #[test]
    fn one_fill_scatters_as_one_run_more() {
        let jug = &bay()[2];
        for runs in 1..=5usize {
            let mean = DoseUncertainty::of_runs(&vec![jugged(); runs], prior());
            let mean = mean.poured(Volume::ml(430.0), jug);
            let one = mean.of_one_fill();
            // By hand: 2 %·√(1 + 1/n), and the readings of the catch and the pour as they were.
            let by_hand = 0.02 * (1.0 + 1.0 / runs as f64).sqrt();
            assert_relative_eq!(one.scatter, by_hand, max_relative = 1e-12);
            let whole = root_sum_square(&[by_hand, mean.catch, mean.drawn, mean.pour]);
            assert_relative_eq!(one.standard(), whole, max_relative = 1e-12);
            assert!(one.plus_minus() > mean.plus_minus());
        }
        // A corrected dose goes by its one check, whatever the runs: twice the variance of a run.
        let holds = run().drawn;
        let calibration = Calibration::of(Container::measured(holds), &[run(); 4]).expect("runs");
        let of = DoseUncertainty::of_calibration(&calibration, holds, Volume::ZERO, jug, prior());
        let corrected = of
            .expect("runs")
            .corrected(&calibration, holds, 1.25, STOPPING);
        let one = corrected.of_one_fill();
        assert_relative_eq!(
            one.scatter,
            corrected.scatter * 2f64.sqrt(),
            max_relative = 1e-12
        );
        // What has no scatter is as sure in one fill as in many.
        let direct = DoseUncertainty::of_pouring_alone().poured(Volume::ml(100.0), jug);
        assert_eq!(direct.of_one_fill(), direct);
        assert_relative_eq!(
            direct.plus_minus(),
            2.0 * 5.0 / 3f64.sqrt() / 100.0,
            max_relative = 1e-12
        );
    }

    #[test]
    fn runs_share_scatter_and_readings() {
        let one = DoseUncertainty::of_runs(&[jugged()], prior());
        let four = DoseUncertainty::of_runs(&[jugged(); 4], prior());
        assert_relative_eq!(four.standard(), one.standard() / 2.0, max_relative = 1e-12);
        assert_eq!(four.runs, 4);
        // One more of three is four.
        let three = DoseUncertainty::of_runs(&[jugged(); 3], prior());
        let more = three.with_one_more_run().expect("four runs count");
        assert_relative_eq!(more.standard(), four.standard(), max_relative = 1e-12);
        let five = DoseUncertainty::of_runs(&[jugged(); 5], prior());
        assert_eq!(five.with_one_more_run(), None);
        // No run is no more certain than one.
        assert_eq!(
            DoseUncertainty::of_runs(&[], prior()).standard(),
            PRIOR_SCATTER
        );
    }

    #[test]
    fn the_bays_own_scatter_holds_its_readings_already() {
        let reading = jugged().differing();
        let of = |s| DoseUncertainty::of_runs(&[jugged()], own(s)).standard();
        assert_relative_eq!(of(0.01), 0.01, max_relative = 1e-8);
        // Jugs too coarse to see any scatter: the readings remain.
        assert_relative_eq!(of(0.0), reading, max_relative = 1e-8);
        let with_prior = DoseUncertainty::of_runs(&[jugged()], prior()).standard();
        assert_relative_eq!(
            with_prior,
            root_sum_square(&[0.02, reading]),
            max_relative = 1e-12
        );
        // Half prior and half own: half of the readings is in the scatter already.
        let half = Scatter {
            degrees_of_freedom: repeats::PRIOR_FREEDOM,
            ..own(0.02)
        };
        let blended = DoseUncertainty::of_runs(&[jugged()], half).standard();
        let by_hand = (0.02f64.powi(2) + reading.powi(2) / 2.0).sqrt();
        assert_relative_eq!(blended, by_hand, max_relative = 1e-12);
    }

    #[test]
    fn by_weight_and_with_a_timed_check() {
        let sure = |step: f64| super::super::weighing::volume_uncertainty(step, 20.0);
        let (fine, coarse) = (sure(0.001).expect("a step"), sure(0.05).expect("a step"));
        let reading = RunReading::by_weight(&run(), fine, coarse).expect("a run");
        assert_eq!((reading.catch, reading.drawn), (0.0, 0.0));
        let by_hand = ((fine / run().drawn).powi(2) + (coarse / run().catch).powi(2)).sqrt();
        let of = DoseUncertainty::of_runs(&[reading], prior());
        assert_relative_eq!(of.weighing, by_hand, max_relative = 1e-12);
        // The balance rounds the same container alike each time: no number of runs averages that out,
        // and the bay's own scatter, which never showed it, loses nothing by it.
        let five = DoseUncertainty::of_runs(&[reading; 5], own(0.001));
        assert_relative_eq!(five.weighing, by_hand, max_relative = 1e-12);
        assert_relative_eq!(five.scatter, 0.001 / 5f64.sqrt(), max_relative = 1e-7);
        let more = of.with_one_more_run().expect("two runs count");
        assert_relative_eq!(more.weighing, by_hand, max_relative = 1e-12);
        let timed = of.with_timing(Duration::from_millis(300), Duration::from_secs(100), 0.1);
        assert_relative_eq!(timed.timing, 0.9 * 0.003, max_relative = 1e-12);
        assert_eq!(
            of.with_timing(Duration::from_millis(300), Duration::ZERO, 0.1),
            of
        );
        assert_relative_eq!(
            of.with_holds(0.03).standard(),
            root_sum_square(&[of.standard(), 0.03]),
            max_relative = 1e-12
        );
        assert_eq!(of.with_holds(0.03).largest(), Source::Holds);
        let impossible = Run {
            catch: run().drawn,
            ..run()
        };
        assert_eq!(RunReading::by_weight(&impossible, fine, coarse), None);
        assert_eq!(RunReading::by_measure(&impossible, fine, coarse), None);
    }

    #[test]
    fn loads_of_several_measures_add() {
        let three = mixed_readings([10.0, 10.0, 2.0].map(Volume::ml));
        assert_relative_eq!(
            three.as_ml(),
            (204.0f64 / 12.0).sqrt(),
            max_relative = 1e-12
        );
        let alike = mixed_readings([Volume::ml(10.0); 7]);
        assert_relative_eq!(
            alike / readings(Volume::ml(10.0), 7),
            1.0,
            max_relative = 1e-12
        );
        assert_eq!(mixed_readings([]), Volume::ZERO);
    }

    #[test]
    fn a_remedy_keeps_what_it_promises() {
        let bay = bay();
        let (dose, jug) = (volumes(590.0), &bay[2]);
        let one = DoseUncertainty::of_runs(&[jugged()], prior()).poured(dose.dose, jug);
        let found = one.remedies(&dose, &bay);
        let best = found.first().expect("a remedy");
        assert_eq!(best.remedy, Remedy::OneMoreRun);
        let two = DoseUncertainty::of_runs(&[jugged(); 2], prior()).poured(dose.dose, jug);
        let then = two.expanded(dose.dose).as_ml();
        assert_relative_eq!(best.plus_minus.as_ml(), then, max_relative = 1e-12);
        // A syringe of ten loads is no remedy for 590 ml, nor is anything that hardly helps.
        assert_eq!(found.len(), 1, "{found:?}");
    }

    #[test]
    fn the_largest_part_is_mended_first() {
        let bay = bay();
        // 30 ml on a jug with lines every 10 ml: the graduation is nearly all of it.
        let (dose, jug) = (volumes(30.0), &bay[2]);
        let of = DoseUncertainty::of_runs(&[jugged()], prior()).poured(dose.dose, jug);
        assert_eq!(of.largest(), Source::Pour);
        let best = of.remedies(&dose, &bay).remove(0);
        assert_eq!(best.remedy, Remedy::FinerMeasureForPouring(bay[0].clone()));
        let then = of.poured(dose.dose, &bay[0]).expanded(dose.dose);
        assert_eq!(best.plus_minus, then);
        assert!(best.plus_minus < of.expanded(dose.dose));
        assert!(best.remedy.words().to_string().contains("syringe"));
        // With the best measure already in the hand it is no remedy.
        let mended = of.poured(dose.dose, &bay[0]).remedies(&dose, &bay);
        assert!(
            mended.iter().all(|r| r.remedy.source() != Source::Pour),
            "{mended:?}"
        );
    }

    #[test]
    fn what_is_aimed_at_the_largest_part_comes_first_though_another_helps_more() {
        let bay = bay();
        let of = DoseUncertainty {
            pour: 0.025,
            ..DoseUncertainty::of_runs(&[], prior())
        };
        // 2.1 % on the beaker: little better, and one more run helps more.
        let measures = [measure("beaker", 100.0, 2.6)];
        let found = of.remedies(&volumes(36.0), &measures);
        assert_eq!(of.largest(), Source::Pour);
        let named: Vec<_> = found.iter().map(|s| s.remedy.clone()).collect();
        let pouring = Remedy::FinerMeasureForPouring(measures[0].clone());
        assert_eq!(named, [pouring, Remedy::OneMoreRun]);
        assert!(found[1].plus_minus < found[0].plus_minus, "{found:?}");
        // Behind it by how much they help.
        let heavy = DoseUncertainty {
            weighing: 0.024,
            ..of
        };
        let found = heavy.remedies(&volumes(36.0), &bay[..1]);
        assert!(found[1].plus_minus < found[2].plus_minus, "{found:?}");
    }

    #[test]
    fn a_finer_measure_for_the_catch_is_reckoned_over_all_runs() {
        let (bay, bucket) = (bay(), measure("bucket", 20_000.0, 1000.0));
        let catch = readings(bucket.graduation, bucket.loads(run().catch));
        let coarse = RunReading::by_measure(&run(), Volume::ZERO, catch).expect("a run");
        let of = DoseUncertainty::of_runs(&[coarse; 4], prior());
        let found = of.remedies(&volumes(590.0), &bay);
        let then = found
            .iter()
            .find(|s| s.remedy == Remedy::FinerMeasureForCatch(bay[2].clone()))
            .expect("the jug reads it finer");
        let jug = readings(bay[2].graduation, bay[2].loads(run().catch));
        let fine = RunReading::by_measure(&run(), Volume::ZERO, jug).expect("a run");
        let by_jug = DoseUncertainty::of_runs(&[fine; 4], prior()).expanded(Volume::ml(590.0));
        assert_relative_eq!(
            then.plus_minus.as_ml(),
            by_jug.as_ml(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn each_source_has_its_remedy() {
        let bay = bay();
        let nothing = DoseUncertainty {
            scatter: 0.0,
            ..DoseUncertainty::of_runs(&[], prior())
        };
        for (of, remedy) in [
            (
                DoseUncertainty {
                    catch: 0.05,
                    ..nothing
                },
                // The jug: no finer measure reads 14.7 L in so few loads.
                Remedy::FinerMeasureForCatch(bay[2].clone()),
            ),
            (
                DoseUncertainty {
                    drawn: 0.05,
                    ..nothing
                },
                Remedy::FinerMeasureForDrawn(bay[2].clone()),
            ),
            (
                DoseUncertainty {
                    holds: 0.05,
                    ..nothing
                },
                Remedy::FinerMeasureForHolds(bay[2].clone()),
            ),
            (
                DoseUncertainty {
                    weighing: 0.05,
                    ..nothing
                },
                Remedy::FinerBalance,
            ),
            (
                DoseUncertainty {
                    timing: 0.05,
                    ..nothing
                },
                Remedy::SecondTimedCheck,
            ),
            (
                DoseUncertainty {
                    scatter: 0.05,
                    ..nothing
                },
                Remedy::OneMoreRun,
            ),
        ] {
            let jug_only = &bay[2..];
            let best = of.remedies(&volumes(590.0), jug_only).remove(0);
            assert_eq!(best.remedy, remedy);
            assert_eq!(best.remedy.source(), of.largest());
            assert!(best.plus_minus < of.expanded(Volume::ml(590.0)));
            assert!(!best.remedy.words().is_empty() && !of.largest().words().is_empty());
        }
    }

    #[test]
    fn below_that_dose_the_graduation_dominates_and_above_it_does_not() {
        for measure in bay().iter().chain([&measure("tiny", 10.0, 10.0)]) {
            for others in [0.002, 0.0113, 0.02, 0.2] {
                let dose = graduation_dominates_below(measure, others).expect("a dose");
                let dominates = |dose: Volume| pouring(dose, measure) > others;
                assert!(
                    dominates(dose * (1.0 - 1e-8)),
                    "{measure:?} {others} {dose:?}"
                );
                for more in 0..2000 {
                    let above = dose * (1.0 + 1e-8 + f64::from(more) / 100.0);
                    assert!(!dominates(above), "{measure:?} {others} {above:?}");
                }
            }
        }
        // 10 ml lines against 2 %: 10/√12/0.02.
        let jug = graduation_dominates_below(&bay()[2], 0.02).expect("a dose");
        assert_relative_eq!(jug.as_ml(), 144.3, epsilon = 0.05);
        assert_eq!(graduation_dominates_below(&bay()[2], 0.0), None);
    }

    #[test]
    fn a_dose_too_small_to_measure_can_be_diluted_first() {
        let ml = Volume::ml;
        let ratio = |dose, at_least, fill| {
            pre_dilution(ml(dose), ml(at_least), ml(fill)).map(BottleRatio::water_parts)
        };
        assert_eq!(ratio(3.0, 14.4, 820.0), Some(4.0));
        assert_eq!(ratio(3.0, 15.0, 820.0), Some(4.0), "just enough");
        assert_eq!(ratio(20.0, 14.4, 820.0), None, "none is needed");
        assert_eq!(ratio(3.0, 14.4, 14.0), None, "does not go in");
        assert_eq!(ratio(0.0, 14.4, 820.0), None);
    }
}
