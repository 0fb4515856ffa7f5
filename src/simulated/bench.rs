//! A sprayer, a person and what they measure with: runs, calibrations and timed checks.

use super::person::{JugLoad, Person, stepped, total, unsure};
use super::sprayer::{Liquid, OneRun, Sprayer};
use crate::trade::calibration::{Calibration, Container, MOST_RUNS, Read, Run, Way};
use crate::trade::measure::Measure;
use crate::trade::units::Volume;
use crate::trade::weighing::{self, WeighingError, Weights};
use rand::Rng;
use std::time::Duration;

/// The balance and what stands on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// The smallest change that the balance shows, kg.
    pub step_kg: f64,
    /// The empty bucket, kg.
    pub bucket_kg: f64,
    /// The container run dry, kg.
    pub container_kg: f64,
    /// The water in the container, °C, 0 to 60.
    pub celsius: f64,
    /// The water that is caught, °C, 0 to 60: a washer may heat it.
    pub catch_celsius: f64,
}

/// When a run is stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// When the container is dry.
    Dry,
    /// On the screen's call after this time.
    After(Duration),
    /// When the container is dry, everything weighed.
    DryAndWeighed,
}

impl Stop {
    /// The way that this is called in a calibration.
    pub const fn way(self) -> Way {
        match self {
            Self::Dry => Way::RunDry,
            Self::After(_) => Way::Timed,
            Self::DryAndWeighed => Way::ByWeight,
        }
    }
}

/// What a person enters for one run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunReadings {
    /// How it was done.
    pub stop: Stop,
    /// What the stopwatch said; the chosen time where the screen called it.
    pub time: Duration,
    /// The catch, load by load; empty where it was weighed.
    pub catch: Vec<JugLoad>,
    /// What was left, load by load; empty where nothing was.
    pub left: Vec<JugLoad>,
    /// What thermometer and balance showed, where it was weighed.
    pub weights: Option<Weights>,
}

impl RunReadings {
    /// The run that follows from it. `holds` is what the container was measured to hold, `step_kg`
    /// the balance's step.
    ///
    /// # Errors
    /// Weights that give no volume.
    pub fn run(&self, holds: Volume, step_kg: f64) -> Result<Run, WeighingError> {
        let left = total(&self.left);
        let (drawn, catch, read) = match &self.weights {
            Some(weights) => {
                let unsure = weighing::volume_uncertainty(step_kg, weights.celsius)?;
                let read = Read {
                    drawn: unsure,
                    catch: unsure,
                };
                (weights.drawn()?, weights.catch()?, read)
            }
            None => {
                let read = Read {
                    drawn: unsure(&self.left),
                    catch: unsure(&self.catch),
                };
                (holds - left, total(&self.catch), read)
            }
        };
        Ok(Run {
            drawn,
            left,
            catch,
            time: self.time,
            way: self.stop.way(),
            read: Some(read),
            weights: self.weights,
        })
    }
}

/// A calibration done at a bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrated {
    /// As it would be saved.
    pub calibration: Calibration,
    /// What the container was measured to hold.
    pub holds: Volume,
    /// How surely that was read.
    pub holds_unsure: Volume,
}

/// One sprayer and one person with measures and a balance.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    /// The sprayer.
    pub sprayer: Sprayer,
    /// Who reads.
    pub person: Person,
    /// What there is to measure with; not empty.
    pub measures: Vec<Measure>,
    /// The balance.
    pub scales: Scales,
}

impl Bench {
    /// The container filled up to its line from the measures.
    pub fn holds(&self, random: &mut impl Rng) -> Vec<JugLoad> {
        self.person
            .measure(self.sprayer.holds, &self.measures, random)
    }

    /// What the balance shows with that much water, so warm, in the container or the bucket.
    fn weigh(&self, tare_kg: f64, water: Volume, celsius: f64) -> Result<f64, WeighingError> {
        let grams = water.as_ml() / weighing::ml_per_gram(celsius)?;
        Ok(stepped(tare_kg + grams / 1000.0, self.scales.step_kg))
    }

    /// What thermometer and balance show, for a run that truly came to this.
    ///
    /// # Errors
    /// Water outside 0 to 60 °C.
    pub fn weighed(&self, truly: &OneRun) -> Result<Weights, WeighingError> {
        let scales = &self.scales;
        let left = self.sprayer.holds - truly.drawn;
        let (cold, caught) = (scales.celsius, scales.catch_celsius);
        Ok(Weights {
            celsius: self.person.thermometer(cold),
            catch_celsius: self.person.thermometer(caught),
            bucket_empty: self.weigh(scales.bucket_kg, Volume::ZERO, caught)?,
            container_full: self.weigh(scales.container_kg, self.sprayer.holds, cold)?,
            container_after: self.weigh(scales.container_kg, left, cold)?,
            bucket_full: self.weigh(scales.bucket_kg, truly.catch, caught)?,
        })
    }

    /// One run with clean water, read by the person.
    ///
    /// # Errors
    /// Water outside 0 to 60 °C, where it is weighed.
    pub fn run(&self, stop: Stop, random: &mut impl Rng) -> Result<RunReadings, WeighingError> {
        let open = match stop {
            Stop::After(time) => Some(self.person.stop(time, random)),
            Stop::Dry | Stop::DryAndWeighed => None,
        };
        let truly = self.sprayer.run(open, Liquid::Water, random);
        let left = self.sprayer.holds - truly.drawn;
        let (mut catch_loads, mut left_loads, mut weights) = (Vec::new(), Vec::new(), None);
        if stop == Stop::DryAndWeighed {
            weights = Some(self.weighed(&truly)?);
        } else {
            if left.is_some_liquid() {
                left_loads = self.person.measure(left, &self.measures, random);
            }
            catch_loads = self.person.measure(truly.catch, &self.measures, random);
        }
        Ok(RunReadings {
            stop,
            time: match stop {
                Stop::After(time) => time,
                Stop::Dry | Stop::DryAndWeighed => self.person.stop(truly.time, random),
            },
            catch: catch_loads,
            left: left_loads,
            weights,
        })
    }

    /// A calibration of one to five runs; other numbers are held to that.
    ///
    /// # Errors
    /// Weights that give no volume.
    pub fn calibrate(
        &self,
        stop: Stop,
        runs: usize,
        random: &mut impl Rng,
    ) -> Result<Calibrated, WeighingError> {
        let loads = self.holds(random);
        let measured = total(&loads);
        let one = |random: &mut _| self.run(stop, random)?.run(measured, self.scales.step_kg);
        let run = one(random)?;
        let more = (1..runs.clamp(1, MOST_RUNS))
            .map(|_| one(random))
            .collect::<Result<Vec<Run>, _>>()?;
        let calibration = Calibration {
            holds: Some(Container::measured(measured)),
            run,
            more,
        };
        Ok(Calibrated {
            calibration,
            holds: measured,
            holds_unsure: unsure(&loads),
        })
    }

    /// A timed check: a full container against the stopwatch.
    pub fn check(&self, liquid: Liquid, random: &mut impl Rng) -> Duration {
        let truly = self.sprayer.run(None, liquid, random);
        self.person.stop(truly.time, random)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::dilution::DrawFraction;
    use crate::trade::units::Flow;
    use approx::assert_relative_eq;
    use rand::SeedableRng;
    use rand::rngs::ChaCha8Rng;

    /// A bench where nothing is left to chance: lines of a thousandth of a millilitre.
    fn sure() -> Bench {
        let draw = DrawFraction::new(0.06).expect("a draw fraction");
        let carrier = Flow::ml_per_s(150.0);
        Bench {
            sprayer: Sprayer {
                scatter: 0.0,
                ..Sprayer::new(Volume::ml(820.0), draw, carrier)
            },
            person: Person {
                reaction_s: 0.0,
                thermometer_step: 0.0,
            },
            measures: vec![Measure {
                id: "jug".into(),
                name: "jug".into(),
                size: Volume::ml(5000.0),
                graduation: Volume::ml(0.001),
            }],
            scales: Scales {
                step_kg: 1e-6,
                bucket_kg: 1.2,
                container_kg: 0.3,
                celsius: 17.0,
                catch_celsius: 44.0,
            },
        }
    }
    const WAYS: [Stop; 3] = [
        Stop::Dry,
        Stop::After(Duration::from_secs(60)),
        Stop::DryAndWeighed,
    ];

    #[test]
    fn where_nothing_scatters_every_way_finds_the_truth() {
        let bench = sure();
        let mut random = ChaCha8Rng::seed_from_u64(6);
        for stop in WAYS {
            let done = bench.calibrate(stop, 3, &mut random).expect("weights");
            let found = done.calibration;
            let draw = found.draw_fraction().expect("a draw fraction");
            assert_relative_eq!(draw.as_fraction(), 0.06, max_relative = 1e-5);
            assert_relative_eq!(done.holds.as_ml(), 820.0, max_relative = 1e-5);
            assert_eq!(found.holds, Some(Container::measured(done.holds)));
            let flows = found.flows().expect("flows");
            assert_relative_eq!(flows.carrier.as_ml_per_s(), 150.0, max_relative = 1e-5);
            assert_eq!(found.count(), 3);
            assert!(found.runs().all(|run| run.way == stop.way()));
            assert_eq!(found.doubts(Volume::ml(820.0), Some(draw)), []);
        }
    }

    #[test]
    fn readings_are_those_of_their_way() {
        let mut random = ChaCha8Rng::seed_from_u64(7);
        let run = |stop: Stop, random: &mut ChaCha8Rng| sure().run(stop, random).expect("weights");
        let dry = run(Stop::Dry, &mut random);
        assert!(dry.left.is_empty() && dry.weights.is_none() && !dry.catch.is_empty());
        let timed = run(WAYS[1], &mut random);
        assert!(!timed.left.is_empty());
        assert_eq!(timed.time, Duration::from_secs(60));
        let read = timed.run(Volume::ml(820.0), 1e-6).expect("a run").read;
        assert!(read.expect("known").drawn.is_some_liquid());
        let weighed = run(Stop::DryAndWeighed, &mut random);
        assert!(weighed.catch.is_empty() && weighed.weights.is_some());
        let read = weighed.run(Volume::ml(820.0), 0.01).expect("a run").read;
        let read = read.expect("known");
        assert_eq!(read.drawn, read.catch);
        assert_relative_eq!(read.catch.as_ml(), 4.09, epsilon = 0.01);
        // Longer than it lasts: it runs dry, and nothing is left to measure.
        let long = run(Stop::After(Duration::from_secs(600)), &mut random);
        assert!(long.left.is_empty());
    }

    #[test]
    fn the_same_seed_is_the_same_bay() {
        let of = |seed| {
            let bench = Bench {
                sprayer: Sprayer {
                    scatter: 0.02,
                    ..sure().sprayer
                },
                ..sure()
            };
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            bench.calibrate(WAYS[1], 2, &mut random).expect("weights")
        };
        assert_eq!(of(8), of(8));
        assert_ne!(of(8), of(9));
        let mut random = ChaCha8Rng::seed_from_u64(10);
        let ice = Bench {
            scales: Scales {
                celsius: -1.0,
                ..sure().scales
            },
            ..sure()
        };
        assert!(ice.calibrate(WAYS[2], 1, &mut random).is_err());
        assert!(ice.calibrate(WAYS[0], 1, &mut random).is_ok());
    }

    #[test]
    fn a_full_container_takes_its_time() {
        let bench = Bench {
            sprayer: Sprayer {
                mix_draws: 0.8,
                ..sure().sprayer
            },
            ..sure()
        };
        let mut random = ChaCha8Rng::seed_from_u64(11);
        let water = bench.check(Liquid::Water, &mut random).as_secs_f64();
        let draw = 0.06 / 0.94 * 150.0;
        assert_relative_eq!(water, 820.0 / draw, max_relative = 1e-9);
        let mix = bench.check(Liquid::Mix, &mut random).as_secs_f64();
        assert_relative_eq!(mix, water / 0.8, max_relative = 1e-9);
    }
}
