//! What somebody beside the simulated sprayer would see.

use super::washes::Washes;
use crate::bay::ports::{Doing, Practice, Scene};
use crate::bay::records::Step;
use crate::bay::setup::Setup;
use crate::simulated::{
    Bench, Going, JugLoad, Liquid, OneRun, Person, Scales, Sprayer, Wear, total,
};
use crate::text;
use crate::trade::calibration::Way;
use crate::trade::dilution::DrawFraction;
use crate::trade::measure::{Measure, largest};
use crate::trade::sprayer::Kind;
use crate::trade::text::Text;
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
    read: BTreeMap<&'static str, Text>,
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

/// The most that stays in a container that ran dry, as a part of it.
const RESIDUE: f64 = 0.03;

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
    let mut bench = Bench {
        sprayer,
        person: Person::default(),
        measures: setup.measures.clone(),
        scales: Scales {
            step_kg: setup.balance_step_kg.unwrap_or(USUAL_STEP_KG),
            bucket_kg: random.random_range(0.8..1.6),
            container_kg: random.random_range(0.15..0.40),
            celsius: random.random_range(8.0..20.0),
            catch_celsius: random.random_range(8.0..20.0),
        },
    };
    // Some tubes reach the bottom, others nearly do.
    bench.sprayer.residue = holds * random.random_range(-RESIDUE..RESIDUE).max(0.0);
    bench
}

impl Practice for Trainer {
    fn sees(&mut self, scene: &Scene) -> Text {
        let before = self.before.replace(scene.clone());
        let Some(lance) = self.lances.get_mut(&scene.sprayer) else {
            return Text::default();
        };
        lance.bench.sprayer.washes = self.washes.of(&scene.sprayer);
        let was = before.map_or(Doing::Nothing, |scene| scene.doing);
        match scene.doing {
            Doing::Nothing | Doing::Between => Text::default(),
            Doing::Spraying { check, mix, ran } => {
                let begins = !matches!(was, Doing::Spraying { .. });
                let random = &mut self.random;
                let dry = match check {
                    true => lance.checking(mix, begins, random).dry(),
                    false => lance.spraying(begins, random).dry(),
                };
                match ran >= dry {
                    true => text!("It sputters: dry."),
                    false => text!("It draws well."),
                }
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
            Step::CatchTemperature,
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
    ) -> Text {
        if let Some(words) = self.read.get(step.word()) {
            return words.clone();
        }
        let Some(words) = self.reads(way, step, time, random) else {
            return Text::default();
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
    ) -> Option<Text> {
        let measures = self.bench.measures.clone();
        let person = self.bench.person;
        let balance = |kg: f64| Some(text!("The balance shows {} kg.", trim_number(kg, 3)));
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
                Some(text!("Up to the line it took {} ml.", exactly(holds)))
            }
            Step::Temperature => Some(text!(
                "The thermometer shows {} °C.",
                trim_number(before.celsius, 1)
            )),
            Step::BucketEmpty => balance(before.bucket_empty),
            Step::ContainerFull => balance(before.container_full),
            Step::FillToLine => Some(text!("The tap is open: full to the line.")),
            Step::Left => {
                let over = self.over(way, time?, random);
                let left = self.bench.sprayer.holds - over.drawn;
                let loads = person.measure(left, &measures, random);
                Some(match (way, over.ran_dry) {
                    (Way::Timed, true) => text!("Nothing is left: it ran dry too soon."),
                    (Way::RunDry, false) => tell(Told::NotDry, &loads, &measures),
                    (Way::RunDry, true) if loads.is_empty() => text!("Nothing is left in it."),
                    _ => tell(Told::Left, &loads, &measures),
                })
            }
            Step::Catch => {
                let over = self.over(way, time?, random);
                let loads = person.measure(over.catch, &measures, random);
                Some(tell(Told::Caught, &loads, &measures))
            }
            Step::CatchTemperature => Some(text!(
                "The thermometer shows {} °C.",
                trim_number(before.catch_celsius, 1)
            )),
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

/// A volume to the last digit that was read, in ml: `1240`, `972.5`.
fn exactly(volume: Volume) -> String {
    trim_number(volume.as_ml(), 2)
}

/// What is told of loads that were counted.
#[derive(Clone, Copy)]
enum Told {
    /// They stayed in the container.
    Left,
    /// They came out until the end of the run.
    Caught,
    /// They came out, and more was in it when the run was ended.
    NotDry,
}

/// Loads as they are counted: `Caught: 17 × 1 litre jug, then 235 ml.` What stands behind the × is
/// the name of a measure, which is the same for one and for more. No loads are `0 ml`, which can be
/// typed.
fn tell(what: Told, loads: &[JugLoad], measures: &[Measure]) -> Text {
    let largest = largest(measures);
    let is_full = |load: &&JugLoad| largest.is_some_and(|most| load.volume == most.size);
    let full = loads.iter().filter(is_full).count();
    let rest = loads.last().filter(|load| !is_full(load));
    let ml = exactly(rest.map_or(Volume::ZERO, |load| load.volume));
    match (what, largest.filter(|_| full > 0), rest) {
        (Told::Left, None, _) => text!("Left: {} ml.", ml),
        (Told::Caught, None, _) => text!("Caught: {} ml.", ml),
        (Told::NotDry, None, _) => text!("Not dry yet! {} ml.", ml),
        (Told::Left, Some(jug), None) => text!("Left: {} × {}.", full, &jug.name),
        (Told::Caught, Some(jug), None) => text!("Caught: {} × {}.", full, &jug.name),
        (Told::NotDry, Some(jug), None) => text!("Not dry yet! {} × {}.", full, &jug.name),
        (Told::Left, Some(jug), Some(_)) => {
            text!("Left: {} × {}, then {} ml.", full, &jug.name, ml)
        }
        (Told::Caught, Some(jug), Some(_)) => {
            text!("Caught: {} × {}, then {} ml.", full, &jug.name, ml)
        }
        (Told::NotDry, Some(jug), Some(_)) => {
            text!("Not dry yet! {} × {}, then {} ml.", full, &jug.name, ml)
        }
    }
}
