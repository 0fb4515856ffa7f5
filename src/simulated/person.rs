//! A person who reads jugs, a balance, a thermometer and a stopwatch.

use crate::trade::measure::Measure;
use crate::trade::uncertainty::mixed_readings;
use crate::trade::units::Volume;
use rand::{Rng, RngExt};
use rand_distr::{Distribution, StandardNormal};
use std::time::Duration;

/// Scatter beyond this many standard deviations is cut off: nobody's stopwatch runs backwards.
const FURTHEST: f64 = 5.0;

/// A normal deviate.
fn normal(random: &mut impl Rng) -> f64 {
    let deviate: f64 = StandardNormal.sample(random);
    deviate.clamp(-FURTHEST, FURTHEST)
}

/// A factor around 1 with that relative standard deviation, below 0.2.
pub(super) fn spread(relative: f64, random: &mut impl Rng) -> f64 {
    1.0 + relative * normal(random)
}

/// One load as a person enters it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JugLoad {
    /// As read.
    pub volume: Volume,
    /// The step between two lines of the measure that it was read on.
    pub graduation: Volume,
}

/// What loads come to.
pub fn total(loads: &[JugLoad]) -> Volume {
    loads.iter().map(|load| load.volume).sum()
}

/// The standard uncertainty of that.
pub fn unsure(loads: &[JugLoad]) -> Volume {
    mixed_readings(loads.iter().map(|load| load.graduation))
}

/// How a person reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Person {
    /// Standard deviation of one press of the stopwatch, or of the trigger on a call, seconds.
    pub reaction_s: f64,
    /// The step of the thermometer, °C.
    pub thermometer_step: f64,
}

impl Default for Person {
    /// A fifth of a second, and a thermometer with half degrees.
    fn default() -> Self {
        Self {
            reaction_s: 0.2,
            thermometer_step: 0.5,
        }
    }
}

impl Person {
    /// Measures out `volume` with what is there: full loads of the largest measure, then the rest in
    /// one load of the measure with the finest lines that takes it. `measures` must not be empty.
    ///
    /// A full load is one to the top line, give or take half a step: as much as a line can be
    /// read. The rest is read to the nearest line.
    pub fn measure(
        &self,
        volume: Volume,
        measures: &[Measure],
        random: &mut impl Rng,
    ) -> Vec<JugLoad> {
        let Some(largest) = measures
            .iter()
            .max_by(|a, b| a.size.as_ml().total_cmp(&b.size.as_ml()))
        else {
            return Vec::new();
        };
        let (mut rest, mut loads) = (volume, Vec::new());
        while rest > largest.size {
            rest = rest - self.filled_to(largest.size, largest.graduation, random);
            loads.push(JugLoad {
                volume: largest.size,
                graduation: largest.graduation,
            });
        }
        let finest = measures
            .iter()
            .filter(|measure| measure.size >= rest)
            .min_by(|a, b| a.graduation.as_ml().total_cmp(&b.graduation.as_ml()))
            .unwrap_or(largest);
        let read = finest.graduation * (rest / finest.graduation).round();
        // Nothing to be seen in the measure is no load.
        if read.is_some_liquid() {
            loads.push(JugLoad {
                volume: read,
                graduation: finest.graduation,
            });
        }
        loads
    }

    /// What is truly poured where `dose` is measured out with `measure`, load by load.
    pub fn pour(&self, dose: Volume, measure: &Measure, random: &mut impl Rng) -> Volume {
        let loads = measure.loads(dose);
        let full = measure.size * f64::from(loads - 1);
        (1..loads)
            .map(|_| measure.size)
            .chain([dose - full])
            .map(|load| self.filled_to(load, measure.graduation, random))
            .sum()
    }

    /// What is truly in a measure that looks filled to a line: half a step off at most.
    fn filled_to(&self, line: Volume, graduation: Volume, random: &mut impl Rng) -> Volume {
        line + graduation * random.random_range(-0.5..0.5)
    }

    /// What the stopwatch says of a time: pressed a little early or late at both ends.
    pub fn stop(&self, time: Duration, random: &mut impl Rng) -> Duration {
        let off = self.reaction_s * (normal(random) - normal(random));
        Duration::from_secs_f64((time.as_secs_f64() + off).max(0.0))
    }

    /// What the thermometer shows.
    pub fn thermometer(&self, celsius: f64) -> f64 {
        stepped(celsius, self.thermometer_step)
    }
}

/// What an instrument that shows steps shows.
pub(super) fn stepped(value: f64, step: f64) -> f64 {
    match step > 0.0 {
        true => (value / step).round() * step,
        false => value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use rand::SeedableRng;
    use rand::rngs::ChaCha8Rng;

    fn measures() -> Vec<Measure> {
        [("cylinder", 250.0, 2.0), ("jug", 1000.0, 10.0)]
            .map(|(id, size, graduation)| Measure {
                id: id.into(),
                name: id.into(),
                size: Volume::ml(size),
                graduation: Volume::ml(graduation),
            })
            .to_vec()
    }

    #[test]
    fn full_jugs_and_the_rest_on_the_finest_that_takes_it() {
        let mut random = ChaCha8Rng::seed_from_u64(3);
        let of = |ml, random: &mut ChaCha8Rng| {
            Person::default().measure(Volume::ml(ml), &measures(), random)
        };
        let loads = of(3120.0, &mut random);
        let graduations: Vec<f64> = loads.iter().map(|l| l.graduation.as_ml()).collect();
        assert_eq!(graduations, [10.0, 10.0, 10.0, 2.0]);
        assert_eq!(loads[0].volume, Volume::ml(1000.0));
        assert_relative_eq!(loads[3].volume.as_ml() % 2.0, 0.0);
        assert!(total(&loads) > Volume::ml(3100.0) && total(&loads) < Volume::ml(3140.0));
        let by_hand = ((3.0 * 100.0 + 4.0) / 12f64).sqrt();
        assert_relative_eq!(unsure(&loads).as_ml(), by_hand, max_relative = 1e-12);
        assert_eq!(of(0.4, &mut random), []);
        assert_eq!(of(600.0, &mut random).len(), 1);
        let nobody = Person::default().measure(Volume::ml(600.0), &[], &mut random);
        assert_eq!(nobody, []);
    }

    #[test]
    fn reading_is_off_by_what_is_said_of_it() {
        let mut random = ChaCha8Rng::seed_from_u64(4);
        let (jugs, person) = (measures(), Person::default());
        let (mut squares, mut sum, mut expected) = (0.0, 0.0, 0.0);
        let times = 20_000;
        for i in 0..times {
            let volume = Volume::ml(4000.0 + f64::from(i) * 0.137);
            let loads = person.measure(volume, &jugs, &mut random);
            let off = (total(&loads) - volume).as_ml();
            sum += off;
            squares += off * off;
            expected += unsure(&loads).as_ml().powi(2);
        }
        assert!((sum / f64::from(times)).abs() < 0.2, "{sum}");
        assert_relative_eq!((squares / expected).sqrt(), 1.0, epsilon = 0.02);
        // Pouring: two jugs and a rest, each read for itself.
        let mut squares = 0.0;
        for _ in 0..times {
            let poured = person.pour(Volume::ml(2400.0), &jugs[1], &mut random);
            squares += (poured.as_ml() - 2400.0).powi(2);
        }
        let expected = 10.0 / 12f64.sqrt() * 3f64.sqrt();
        let seen = (squares / f64::from(times)).sqrt();
        assert_relative_eq!(seen, expected, max_relative = 0.02);
    }

    #[test]
    fn stopwatch_and_thermometer() {
        let mut random = ChaCha8Rng::seed_from_u64(5);
        let person = Person::default();
        let off: Vec<f64> = (0..20_000)
            .map(|_| {
                let stopped = person.stop(Duration::from_secs(100), &mut random);
                stopped.as_secs_f64() - 100.0
            })
            .collect();
        let squares: f64 = off.iter().map(|o| o * o).sum();
        let seen = (squares / off.len() as f64).sqrt();
        assert_relative_eq!(seen, 0.2 * 2f64.sqrt(), max_relative = 0.02);
        assert_eq!(person.stop(Duration::ZERO, &mut random).as_secs(), 0);
        assert_relative_eq!(person.thermometer(17.6), 17.5);
    }
}
