//! What somebody beside the simulated sprayer would see.

use super::washes::Washes;
use crate::bay::ports::{Doing, Practice, Scene};
use crate::bay::records::Step;
use crate::bay::setup::Setup;
use crate::simulated::{
    Bench, Going, JugLoad, Liquid, OneRun, Person, Scales, Sprayer, Wear, total,
};
use crate::trade::calibration::Way;
use crate::trade::dilution::DrawFraction;
use crate::trade::measure::Measure;
use crate::trade::sprayer::Kind;
use crate::trade::units::{Flow, Volume, trim_number};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use std::collections::BTreeMap;
use std::time::Duration;

/// The step of a balance where the bay has none.
const USUAL_STEP_KG: f64 = 0.01;
/// What is bought is not quite what it says: so far off may a container be.
const HOLDS_OFF: f64 = 0.02;
/// How fast a nozzle wears and a filter clogs in training, per 100 washes: fast enough to be seen in
/// an afternoon.
const WEAR: Wear = Wear {
    nozzle_per_100: 0.10,
    filter_per_100: 0.08,
};

/// One sprayer of the training bay, and what of it is in hand.
struct Lance {
    bench: Bench,
    /// The run with the trigger open, or the last one.
    going: Option<Going>,
    /// The same of timed checks, which leave nothing to be read.
    checked: Option<Going>,
    /// The run that is over, and what is read of it: read once, it stays so.
    over: Option<OneRun>,
    read: BTreeMap<&'static str, String>,
}

/// The simulated sprayers of a training bay.
pub struct Trainer {
    lances: BTreeMap<String, Lance>,
    washes: Washes,
    random: ChaCha8Rng,
    before: Option<Scene>,
}

impl Trainer {
    /// The sprayers of a set-up that can be calibrated, their truth drawn from `seed`. Chance goes on
    /// from another place once washes were done, so that a training day does not repeat itself.
    pub fn new(setup: &Setup, seed: u64, washes: Washes) -> Self {
        let lances = setup
            .sprayers
            .iter()
            .enumerate()
            .filter(|(_, sprayer)| !sprayer.kind.is_direct())
            .map(|(place, sprayer)| {
                let mut random = ChaCha8Rng::seed_from_u64(seed);
                random.set_stream(place as u64);
                let lance = Lance {
                    bench: bench(setup, sprayer.kind, sprayer.holds, &mut random),
                    going: None,
                    checked: None,
                    over: None,
                    read: BTreeMap::new(),
                };
                (sprayer.id.clone(), lance)
            })
            .collect();
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        random.set_stream(1_000_000 + u64::from(washes.all()));
        Self {
            lances,
            washes,
            random,
            before: None,
        }
    }

    /// A sprayer as it truly is now; `None` for one that has nothing to calibrate.
    pub fn truth(&self, sprayer: &str) -> Option<Sprayer> {
        let bench = &self.lances.get(sprayer)?.bench;
        Some(Sprayer {
            washes: self.washes.of(sprayer),
            ..bench.sprayer
        })
    }
}

/// A sprayer with its truth drawn by chance, beside what the bay measures with.
fn bench(setup: &Setup, kind: Kind, holds: Volume, random: &mut ChaCha8Rng) -> Bench {
    // An injector that empties its drum in minutes, a lance in one or two.
    let (draws, litres) = match kind {
        Kind::DrumInjector => (0.12..0.20, 10.0..14.0),
        Kind::FoamLance | Kind::DirectSprayer => (0.045..0.085, 8.0..11.0),
    };
    let draws: f64 = random.random_range(draws);
    let carrier = Flow::ml_per_s(random.random_range(litres) * 1000.0 / 60.0);
    let holds = holds * random.random_range(1.0 - HOLDS_OFF..1.0 + HOLDS_OFF);
    let sprayer = Sprayer {
        wear: WEAR,
        mix_draws: random.random_range(0.80..0.93),
        // Between 0.045 and 0.2 it is one.
        ..Sprayer::new(
            holds,
            DrawFraction::new(draws).unwrap_or(DrawFraction::DIRECT),
            carrier,
        )
    };
    Bench {
        sprayer,
        person: Person::default(),
        measures: setup.measures.clone(),
        scales: Scales {
            step_kg: setup.balance_step_kg.unwrap_or(USUAL_STEP_KG),
            bucket_kg: random.random_range(0.8..1.6),
            container_kg: random.random_range(0.15..0.40),
            celsius: random.random_range(8.0..20.0),
        },
    }
}

impl Practice for Trainer {
    fn sees(&mut self, scene: &Scene) -> String {
        let before = self.before.replace(scene.clone());
        let Some(lance) = self.lances.get_mut(&scene.sprayer) else {
            return String::new();
        };
        lance.bench.sprayer.washes = self.washes.of(&scene.sprayer);
        let was = before.map_or(Doing::Nothing, |scene| scene.doing);
        match scene.doing {
            Doing::Nothing | Doing::Between => String::new(),
            Doing::Spraying { check, mix, ran } => {
                let begins = !matches!(was, Doing::Spraying { .. });
                let random = &mut self.random;
                let dry = match check {
                    true => lance.checking(mix, begins, random).dry(),
                    false => lance.spraying(begins, random).dry(),
                };
                match ran >= dry {
                    true => "It sputters: dry.",
                    false => "It draws well.",
                }
                .into()
            }
            Doing::Step { way, step, time } => {
                // A new calibration is measured anew.
                if was == Doing::Nothing && step == Step::path(way)[0] {
                    lance.read.clear();
                }
                lance.at(way, step, time, &mut self.random)
            }
        }
    }
}

impl Lance {
    /// The check with the trigger open.
    fn checking(&mut self, mix: bool, begins: bool, random: &mut ChaCha8Rng) -> Going {
        let liquid = match mix {
            true => Liquid::Mix,
            false => Liquid::Water,
        };
        let begin = || self.bench.sprayer.begin(liquid, random);
        let going = self.checked.filter(|_| !begins).unwrap_or_else(begin);
        self.checked = Some(going);
        going
    }

    /// The run with the trigger open. What was read of the one before is over with it.
    fn spraying(&mut self, begins: bool, random: &mut ChaCha8Rng) -> Going {
        if let Some(going) = self.going.filter(|_| !begins) {
            return going;
        }
        let going = self.bench.sprayer.begin(Liquid::Water, random);
        self.going = Some(going);
        self.over = None;
        for step in [
            Step::Left,
            Step::Catch,
            Step::ContainerAfter,
            Step::BucketFull,
        ] {
            self.read.remove(step.word());
        }
        going
    }

    fn at(
        &mut self,
        way: Way,
        step: Step,
        time: Option<Duration>,
        random: &mut ChaCha8Rng,
    ) -> String {
        if let Some(words) = self.read.get(step.word()) {
            return words.clone();
        }
        let Some(words) = self.reads(way, step, time, random) else {
            return String::new();
        };
        self.read.insert(step.word(), words.clone());
        words
    }

    /// What is read at a step; `None` where there is nothing to read.
    fn reads(
        &mut self,
        way: Way,
        step: Step,
        time: Option<Duration>,
        random: &mut ChaCha8Rng,
    ) -> Option<String> {
        let measures = self.bench.measures.clone();
        let person = self.bench.person;
        let balance = |kg: f64| Some(format!("The balance shows {} kg.", trim_number(kg, 3)));
        // Before the run nothing has left the container, and the bucket is empty.
        let full = OneRun {
            drawn: Volume::ZERO,
            catch: Volume::ZERO,
            time: Duration::ZERO,
            ran_dry: false,
        };
        let before = self.bench.weighed(&full).ok()?;
        match step {
            Step::Holds => {
                let holds = total(&self.bench.holds(random));
                Some(format!("Up to the line it took {}.", exactly(holds)))
            }
            Step::Temperature => Some(format!(
                "The thermometer shows {} °C.",
                trim_number(before.celsius, 1)
            )),
            Step::BucketEmpty => balance(before.bucket_empty),
            Step::ContainerFull => balance(before.container_full),
            Step::FillToLine => Some("The tap is open: full to the line.".into()),
            Step::Left => {
                let over = self.over(way, time?, random);
                let left = self.bench.sprayer.holds - over.drawn;
                Some(match over.ran_dry {
                    true => "Nothing is left: it ran dry too soon.".into(),
                    false => {
                        let loads = person.measure(left, &measures, random);
                        format!("Left: {}.", loads_words(&loads, &measures))
                    }
                })
            }
            Step::Catch => {
                let over = self.over(way, time?, random);
                let loads = person.measure(over.catch, &measures, random);
                let loads = loads_words(&loads, &measures);
                Some(match way == Way::RunDry && !over.ran_dry {
                    true => format!("Not dry yet! {loads}."),
                    false => format!("Caught: {loads}."),
                })
            }
            Step::ContainerAfter => {
                let over = self.over(way, time?, random);
                balance(self.bench.weighed(&over).ok()?.container_after)
            }
            Step::BucketFull => {
                let over = self.over(way, time?, random);
                balance(self.bench.weighed(&over).ok()?.bucket_full)
            }
            Step::SetTime | Step::Ready | Step::Running | Step::Review => None,
        }
    }

    /// The run that is over. One that was done before the program ended is made up again: in `time`
    /// until dry, or for the chosen time.
    fn over(&mut self, way: Way, time: Duration, random: &mut ChaCha8Rng) -> OneRun {
        if let Some(over) = self.over {
            return over;
        }
        let (going, open) = match way {
            // On the screen's call: the hand is a little early or late.
            Way::Timed => {
                let begun = || self.bench.sprayer.begin(Liquid::Water, random);
                let going = self.going.unwrap_or_else(begun);
                (going, self.bench.person.stop(time, random))
            }
            Way::RunDry | Way::ByWeight => {
                let dry = || {
                    self.bench
                        .sprayer
                        .was_dry_after(time.max(Duration::from_secs(1)))
                };
                (self.going.unwrap_or_else(dry), time)
            }
        };
        let over = going.after(open);
        self.over = Some(over);
        over
    }
}

/// A volume to the last digit that was read: `1240 ml`, `972.5 ml`.
fn exactly(volume: Volume) -> String {
    format!("{} ml", trim_number(volume.as_ml(), 2))
}

/// Loads as they are counted: `17 × 1 litre jug, then 235 ml`.
fn loads_words(loads: &[JugLoad], measures: &[Measure]) -> String {
    let largest = measures
        .iter()
        .max_by(|a, b| a.size.as_ml().total_cmp(&b.size.as_ml()));
    let Some(largest) = largest else {
        return String::new();
    };
    let full = loads.iter().filter(|l| l.volume == largest.size).count();
    let rest = loads.last().filter(|l| l.volume != largest.size);
    match (full, rest) {
        (0, None) => "nothing".into(),
        (0, Some(rest)) => exactly(rest.volume),
        (_, None) => format!("{full} × {}", largest.name),
        (_, Some(rest)) => format!("{full} × {}, then {}", largest.name, exactly(rest.volume)),
    }
}
