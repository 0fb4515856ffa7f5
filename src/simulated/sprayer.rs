//! A sprayer as it truly is, and how it wears.

use super::person::spread;
use crate::trade::dilution::{self, DrawFraction};
use crate::trade::units::{Flow, Strength, Volume};
use rand::Rng;
use std::time::Duration;

/// How a sprayer changes with the washes done with it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wear {
    /// The nozzle wears: part by which the carrier flow rises per 100 washes, 0 or above.
    pub nozzle_per_100: f64,
    /// The filter clogs: part by which the draw flow falls per 100 washes, 0 or above. It never
    /// quite stops: each hundred takes that part of what is left.
    pub filter_per_100: f64,
}

/// What is in the container.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Liquid {
    /// Clean water.
    Water,
    /// The day's mix.
    Mix,
}

/// A sprayer that draws, with everything about it known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sprayer {
    /// What the container truly takes up to its line, above 0.
    pub holds: Volume,
    /// What stays in it when it runs dry, 0 or above and less than it holds: the pick-up tube does not
    /// reach the last of it.
    pub residue: Volume,
    /// The true draw fraction with water, before any wear, below 1.
    pub draw_fraction: DrawFraction,
    /// The washer's own flow, before any wear, above 0.
    pub carrier: Flow,
    /// How it wears.
    pub wear: Wear,
    /// Washes since it was new.
    pub washes: u32,
    /// What the water supply gives, as a part of what it gave when the sprayer was new: it slows
    /// draw and carrier alike.
    pub supply: f64,
    /// The draw flow of the mix, as a part of that of water: 0.9 draws a tenth slower.
    pub mix_draws: f64,
    /// Run-to-run scatter of the draw fraction, relative standard deviation; 0.02 is usual. It is the
    /// draw flow that scatters; the washer's own is steady.
    pub scatter: f64,
}

/// What truly happens in one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneRun {
    /// What left the container.
    pub drawn: Volume,
    /// What came out of the nozzle.
    pub catch: Volume,
    /// From the trigger opened until it was closed: at once when dry, or when the time was up.
    pub time: Duration,
    /// True where it ran dry.
    pub ran_dry: bool,
}

impl Sprayer {
    /// A new sprayer that does not wear, on a supply as it should be, whose mix draws like water,
    /// with the usual scatter.
    pub fn new(holds: Volume, draw_fraction: DrawFraction, carrier: Flow) -> Self {
        Self {
            holds,
            residue: Volume::ZERO,
            draw_fraction,
            carrier,
            wear: Wear::default(),
            washes: 0,
            supply: 1.0,
            mix_draws: 1.0,
            scatter: crate::trade::uncertainty::PRIOR_SCATTER,
        }
    }

    fn hundreds(&self) -> f64 {
        f64::from(self.washes) / 100.0
    }

    /// The true flow of the washer now.
    pub fn carrier_now(&self) -> Flow {
        let worn = 1.0 + self.wear.nozzle_per_100 * self.hundreds();
        Flow::ml_per_s(self.carrier.as_ml_per_s() * worn * self.supply)
    }

    /// The true flow out of the container now, without scatter.
    pub fn draw_now(&self, liquid: Liquid) -> Flow {
        let new = self.draw_fraction.as_fraction();
        let draw = new / (1.0 - new) * self.carrier.as_ml_per_s();
        let clogged = (1.0 - self.wear.filter_per_100)
            .max(0.0)
            .powf(self.hundreds());
        let mix = match liquid {
            Liquid::Water => 1.0,
            Liquid::Mix => self.mix_draws,
        };
        Flow::ml_per_s(draw * clogged * mix * self.supply)
    }

    /// The true draw fraction now.
    pub fn draw_fraction_now(&self, liquid: Liquid) -> DrawFraction {
        let draw = self.draw_now(liquid).as_ml_per_s();
        let fraction = draw / (draw + self.carrier_now().as_ml_per_s());
        // Above 0 and below 1 for any draw above 0.
        DrawFraction::new(fraction).unwrap_or(self.draw_fraction)
    }

    /// The scatter of the draw flow, and so of the time of a run, relative: s/(1 − d), because
    /// d = draw/(draw + carrier) takes only the share 1 − d of a change of the draw.
    pub fn draw_scatter(&self) -> f64 {
        self.scatter / (1.0 - self.draw_fraction_now(Liquid::Water).as_fraction())
    }

    /// The dose that truly puts `wanted` on the vehicle from a full container, D = p·F/d; what
    /// cannot be reached is more than the container takes. `liquid` says which draw fraction counts.
    pub fn true_dose(&self, wanted: Strength, liquid: Liquid) -> Volume {
        let draw = self.draw_fraction_now(liquid);
        self.holds * (wanted.as_fraction() / draw.as_fraction())
    }

    /// What truly lands from that dose in a full container; `None` where none is in it.
    pub fn lands(&self, dose: Volume, liquid: Liquid) -> Option<Strength> {
        let draw = self.draw_fraction_now(liquid);
        dilution::strength(dose, self.holds, draw, Strength::NEAT)
    }

    /// What can be drawn of a full container.
    fn within_reach(&self) -> Volume {
        self.holds - self.residue
    }

    /// Opens the trigger with a container full to the line. The run's own scatter is settled with it.
    pub fn begin(&self, liquid: Liquid, random: &mut impl Rng) -> Going {
        let draw = self.draw_now(liquid).as_ml_per_s() * spread(self.draw_scatter(), random);
        Going {
            within_reach: self.within_reach(),
            draw: Flow::ml_per_s(draw),
            carrier: self.carrier_now(),
        }
    }

    /// The run that was seen to run dry after `time`, above 0.
    pub fn was_dry_after(&self, time: Duration) -> Going {
        Going {
            within_reach: self.within_reach(),
            draw: Flow::ml_per_s(self.within_reach().as_ml() / time.as_secs_f64()),
            carrier: self.carrier_now(),
        }
    }

    /// One run from the line: until dry, or for `open`, after which the trigger is closed. Where it is
    /// dry before that, the washer's own water goes on into the bucket.
    pub fn run(&self, open: Option<Duration>, liquid: Liquid, random: &mut impl Rng) -> OneRun {
        let going = self.begin(liquid, random);
        going.after(open.unwrap_or(going.dry()))
    }
}

/// A run from the line with the trigger open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Going {
    within_reach: Volume,
    draw: Flow,
    carrier: Flow,
}

impl Going {
    /// When it runs dry; at most 30 hours, which nobody waits for.
    pub fn dry(&self) -> Duration {
        let seconds = self.within_reach.as_ml() / self.draw.as_ml_per_s();
        Duration::from_secs_f64(seconds.clamp(0.0, 1e5))
    }

    /// The run when the trigger is closed after so long.
    pub fn after(&self, open: Duration) -> OneRun {
        let seconds = open.as_secs_f64();
        let ran_dry = open >= self.dry();
        let drawn = match ran_dry {
            true => self.within_reach,
            false => Volume::ml(self.draw.as_ml_per_s() * seconds),
        };
        OneRun {
            drawn,
            catch: drawn + Volume::ml(self.carrier.as_ml_per_s() * seconds),
            time: open,
            ran_dry,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use rand::SeedableRng;
    use rand::rngs::ChaCha8Rng;

    fn lance() -> Sprayer {
        let draw = DrawFraction::new(0.05).expect("a draw fraction");
        Sprayer::new(Volume::ml(1000.0), draw, Flow::ml_per_s(150.0))
    }

    #[test]
    fn a_new_sprayer_is_as_it_was_made() {
        let new = lance();
        assert_relative_eq!(new.draw_fraction_now(Liquid::Water).as_fraction(), 0.05);
        assert_eq!(new.carrier_now(), new.carrier);
        let half = Strength::percent(2.5).expect("a strength");
        let dose = new.true_dose(half, Liquid::Water);
        assert_relative_eq!(dose.as_ml(), 500.0, max_relative = 1e-12);
        let lands = new.lands(dose, Liquid::Water).expect("some");
        assert_relative_eq!(lands.as_fraction(), 0.025, max_relative = 1e-12);
    }

    #[test]
    fn wear_does_what_it_says() {
        let worn = Sprayer {
            wear: Wear {
                nozzle_per_100: 0.05,
                filter_per_100: 0.1,
            },
            washes: 200,
            ..lance()
        };
        let part = |now: Flow, new: Flow| now.as_ml_per_s() / new.as_ml_per_s();
        assert_relative_eq!(part(worn.carrier_now(), lance().carrier_now()), 1.1);
        let draw = part(
            worn.draw_now(Liquid::Water),
            lance().draw_now(Liquid::Water),
        );
        assert_relative_eq!(draw, 0.81, max_relative = 1e-12);
        assert!(worn.draw_fraction_now(Liquid::Water) < lance().draw_fraction);
        // A weak supply slows both alike and leaves the draw fraction as it is.
        let weak = Sprayer {
            supply: 0.8,
            ..lance()
        };
        assert_relative_eq!(part(weak.carrier_now(), lance().carrier), 0.8);
        let draw = weak.draw_fraction_now(Liquid::Water).as_fraction();
        assert_relative_eq!(draw, 0.05, max_relative = 1e-12);
        let thick = Sprayer {
            mix_draws: 0.8,
            ..lance()
        };
        assert!(thick.draw_fraction_now(Liquid::Mix) < thick.draw_fraction_now(Liquid::Water));
    }

    #[test]
    fn runs_scatter_by_what_was_asked() {
        let lance = Sprayer {
            draw_fraction: DrawFraction::new(0.3).expect("a draw fraction"),
            ..lance()
        };
        let mut random = ChaCha8Rng::seed_from_u64(1);
        let runs: Vec<OneRun> = (0..20_000)
            .map(|_| lance.run(None, Liquid::Water, &mut random))
            .collect();
        let relative = |of: &dyn Fn(&OneRun) -> f64| {
            let mean = runs.iter().map(of).sum::<f64>() / runs.len() as f64;
            let squares: f64 = runs.iter().map(|r| (of(r) / mean - 1.0).powi(2)).sum();
            (mean, (squares / runs.len() as f64).sqrt())
        };
        let (mean, scatter) = relative(&|r| r.drawn / r.catch);
        assert_relative_eq!(mean, 0.3, max_relative = 1e-3);
        assert_relative_eq!(scatter, 0.02, max_relative = 0.02);
        let (_, scatter) = relative(&|r| r.time.as_secs_f64());
        assert_relative_eq!(scatter, 0.02 / 0.7, max_relative = 0.02);
        assert!(runs.iter().all(|r| r.ran_dry));
        // Dry is dry: what was drawn is what it held, to the last bits.
        assert_relative_eq!(runs[0].drawn.as_ml(), 1000.0, max_relative = 1e-12);
    }

    #[test]
    fn a_run_ends_when_the_time_is_up_or_the_container_is_dry() {
        let mut random = ChaCha8Rng::seed_from_u64(2);
        let mut run = |seconds| {
            let open = Some(Duration::from_secs(seconds));
            lance().run(open, Liquid::Water, &mut random)
        };
        let short = run(60);
        assert!(!short.ran_dry && short.drawn < Volume::ml(600.0));
        assert_eq!(short.time, Duration::from_secs(60));
        // Dry long before: the bucket goes on filling.
        let long = run(1000);
        assert!(long.ran_dry && long.time == Duration::from_secs(1000));
        assert_relative_eq!(long.drawn.as_ml(), 1000.0, max_relative = 1e-12);
        assert_relative_eq!(long.catch.as_ml(), 151_000.0, max_relative = 1e-12);
    }
}
