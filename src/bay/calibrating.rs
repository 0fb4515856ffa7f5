//! The guided calibration: its steps, its stopwatch and what is entered on the way.

use super::action::PadKey;
use super::records::{Draft, Load, Step};
use super::stopwatch::{Stopped, Stopwatch, Watch, WatchSound};
use super::tools::Tools;
use super::typed::{Typed, TypedUnit};
use crate::text;
use crate::trade::calibration::{Calibration, Container, HOLDS_OFF, MOST_RUNS, Read, Run, Way};
use crate::trade::measure::{Measure, graduation_for};
use crate::trade::possible;
use crate::trade::sprayer::{Kind, Sprayer};
use crate::trade::text::Text;
use crate::trade::uncertainty::{mixed_readings, readings};
use crate::trade::units::Volume;
use crate::trade::weighing::{Weighed, Weights, density, volume_between, volume_uncertainty};
use std::time::Duration;

/// How long a timed run may last, in seconds: a shorter one is all start and stop.
pub const SET_TIME_SECONDS: std::ops::RangeInclusive<f64> = 10.0..=900.0;

/// A calibration in hand: the kept draft and what is not worth keeping.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrating {
    /// What is kept, step by step.
    pub draft: Draft,
    /// What is being typed.
    pub typed: Typed,
    watch: Stopwatch,
    /// What was typed when it was questioned: typed again, it is meant.
    asked_about: Option<String>,
    /// The program ended in the middle of the run.
    pub cut_off: bool,
    /// At the review, the runs are shown one by one.
    pub shows_runs: bool,
    kind: Kind,
    tools: Tools,
}

impl Calibrating {
    /// A new calibration of a sprayer.
    pub fn new(sprayer: &Sprayer, way: Way, tools: Tools) -> Self {
        let draft = Draft {
            sprayer: sprayer.id.clone(),
            way,
            step: Step::path(way)[0],
            holds: None,
            set_time: None,
            time: None,
            catch_loads: Vec::new(),
            left_loads: Vec::new(),
            weights: std::collections::BTreeMap::new(),
            runs: Vec::new(),
        };
        Self::resume(draft, sprayer.kind, tools)
    }

    /// Goes on with a kept one of a sprayer of that kind. A run that was cut off starts again from a full container: how much
    /// of it was drawn by then, nobody knows.
    pub fn resume(draft: Draft, kind: Kind, tools: Tools) -> Self {
        let cut_off = draft.step == Step::Running;
        let unit = unit_of(draft.step, &tools);
        let mut calibrating = Self {
            draft,
            typed: Typed::empty(unit),
            watch: Stopwatch::default(),
            asked_about: None,
            cut_off,
            shows_runs: false,
            kind,
            tools,
        };
        if cut_off {
            // The readings of a run before it go too, which the one that was cut off was to replace.
            calibrating.run_again();
            calibrating.cut_off = true;
        }
        calibrating
    }

    /// The step now in hand.
    pub fn step(&self) -> Step {
        self.draft.step
    }

    /// Where the step stands among those of its way, from 1, and how many there are. The stopwatch
    /// belongs to the step before it.
    pub fn place(&self) -> (usize, usize) {
        let path = Step::path(self.draft.way);
        let at = path.iter().position(|s| *s == self.step()).unwrap_or(0) + 1;
        let running = path.iter().position(|s| *s == Step::Running).unwrap_or(0) + 1;
        (at - usize::from(at >= running), path.len() - 1)
    }

    /// True while nothing was done yet: only looked into.
    pub fn is_untouched(&self) -> bool {
        let draft = &self.draft;
        draft.holds.is_none()
            && draft.set_time.is_none()
            && draft.time.is_none()
            && draft.weights.is_empty()
            && draft.catch_loads.is_empty()
            && draft.runs.is_empty()
            && self.typed.text().is_empty()
    }

    /// The caught volume so far.
    pub fn catch(&self) -> Volume {
        self.draft.catch_loads.iter().map(|load| load.volume).sum()
    }

    /// What was left in the container, so far as it was measured.
    pub fn left(&self) -> Volume {
        self.draft.left_loads.iter().map(|load| load.volume).sum()
    }

    /// The loads of the step in hand: of the catch, or of what was left. One of nothing says that
    /// nothing was left.
    pub fn loads(&self) -> &[Load] {
        match self.step() {
            Step::Left => &self.draft.left_loads,
            _ => &self.draft.catch_loads,
        }
    }

    /// What was entered for the step in hand before, in the unit in which it is typed; empty where
    /// nothing was.
    pub fn entered(&self) -> String {
        let weighed = |of: Weighed| self.draft.weights.get(&of).map(|x| trim(*x));
        match self.step() {
            Step::Holds => self.draft.holds.map(|v| self.typed.unit().number(v)),
            Step::SetTime => self.draft.set_time.map(|t| trim(t.as_secs_f64())),
            Step::Left => Some(self.typed.unit().number(self.left())),
            Step::Catch => Some(self.typed.unit().number(self.catch())),
            step => step.weighs().and_then(weighed),
        }
        .unwrap_or_default()
    }

    /// The run in hand, once everything is in and a volume follows from it.
    pub fn run(&self) -> Option<Run> {
        let time = self.draft.time?;
        let weights = Weights::of(|of| self.draft.weights.get(&of).copied());
        let (drawn, catch, read, weights) = match self.draft.way {
            Way::RunDry | Way::Timed => {
                let was_in_it = self.draft.holds?;
                let catch = unsure(&self.draft.catch_loads);
                let read = self
                    .drawn_unsure(was_in_it)
                    .zip(catch)
                    .map(|(drawn, catch)| Read { drawn, catch });
                (was_in_it - self.left(), self.catch(), read, None)
            }
            Way::ByWeight => {
                let weights = weights?;
                let read = self
                    .tools
                    .balance_step_kg
                    .and_then(|step| volume_uncertainty(step, weights.celsius).ok())
                    .map(|unsure| Read {
                        drawn: unsure,
                        catch: unsure,
                    });
                (
                    weights.drawn().ok()?,
                    weights.catch().ok()?,
                    read,
                    Some(weights),
                )
            }
        };
        (drawn.is_some_liquid() && catch.is_some_liquid()).then_some(Run {
            drawn,
            left: self.left(),
            catch,
            time,
            way: self.draft.way,
            read,
            weights,
        })
    }

    /// Standard uncertainty of what was drawn: that of what was left. What the container holds cancels
    /// in the dose; what was put into a drum does not.
    fn drawn_unsure(&self, was_in_it: Volume) -> Option<Volume> {
        let left = unsure(&self.draft.left_loads)?;
        let put_in = self.put_in_unsure(was_in_it);
        Some(Volume::ml(left.as_ml().hypot(put_in.as_ml())))
    }

    fn put_in_unsure(&self, was_in_it: Volume) -> Volume {
        match self.measures_the_container() {
            true => Volume::ZERO,
            false => graduation_for(was_in_it, &self.tools.measures)
                .map_or(Volume::ZERO, |graduation| readings(graduation, 1)),
        }
    }

    /// True where the container is filled to its line and measured for it. A drum is not: it draws
    /// alike from whatever was put in. By weight nothing is measured out.
    pub fn measures_the_container(&self) -> bool {
        self.draft.way != Way::ByWeight && !self.draws_from_what_is_put_in()
    }

    /// True for a drum, which is not filled to a line for a run.
    pub fn draws_from_what_is_put_in(&self) -> bool {
        self.kind == Kind::DrumInjector
    }

    /// All runs, the one in hand last.
    pub fn runs(&self) -> Vec<Run> {
        self.draft.runs.iter().copied().chain(self.run()).collect()
    }

    /// The calibration, once the run in hand is done. It knows of the container what was measured for
    /// it, and nothing where nothing was.
    pub fn result(&self) -> Option<Calibration> {
        self.run()?;
        let measured = self.draft.holds.filter(|_| self.measures_the_container());
        Calibration::of(measured.map(Container::measured), &self.runs())
    }

    /// The watch at `now`.
    pub fn watch(&self, now: Duration) -> Watch {
        self.watch.at(now)
    }

    /// Starts the countdown; from `Ready` only.
    pub(super) fn start(&mut self, now: Duration) -> bool {
        let ready = self.draft.step == Step::Ready && self.watch.at(now) == Watch::Still;
        if ready {
            let length = self.draft.set_time.filter(|_| self.draft.way == Way::Timed);
            self.watch.start(now, length);
            self.draft.step = Step::Running;
        }
        ready
    }

    /// Stops the watch at `at`. During the countdown this calls the run off.
    pub(super) fn stop(&mut self, at: Duration) -> Stopped {
        let stopped = self.watch.stop(at);
        match stopped {
            Stopped::WasStill => {}
            Stopped::CalledOff => self.draft.step = Step::Ready,
            Stopped::BrokenOff => self.run_again(),
            Stopped::Timed(time) => {
                self.forget_after_run();
                self.draft.time = Some(time);
                self.go_to(self.after_run());
            }
        }
        stopped
    }

    /// True once the chosen time of a running watch is over.
    pub(super) fn is_over(&self, now: Duration) -> bool {
        self.watch.is_over(now)
    }

    /// What is to be heard at `now`, each once.
    pub(super) fn sound(&mut self, now: Duration) -> Option<WatchSound> {
        self.watch.sound(now)
    }

    /// True where what is typed is so far off the container known before that it should be asked
    /// about, once.
    pub(super) fn asks_about_holds(&mut self, known: Volume) -> Option<Volume> {
        let typed = self.typed.volume().filter(|_| self.step() == Step::Holds)?;
        let far = (typed / known - 1.0).abs() > HOLDS_OFF;
        (far && self.measures_the_container() && self.asks_anew()).then_some(typed)
    }

    /// True where the chosen time is longer than a full container lasts, to be asked about, once.
    pub(super) fn asks_about_time(&mut self, lasts: Duration) -> bool {
        let typed = self
            .typed
            .number()
            .or(self.draft.set_time.map(|t| t.as_secs_f64()));
        let long = typed.is_some_and(|seconds| seconds >= lasts.as_secs_f64());
        self.step() == Step::SetTime && long && self.asks_anew()
    }

    /// A load that was typed in the large unit behind full ones and would be more than any measure of the
    /// bay takes, while the same number in the small unit would not: both, to be asked about, once.
    pub(super) fn asks_about_load(&mut self) -> Option<(String, String)> {
        let in_loads = matches!(self.step(), Step::Left | Step::Catch) && !self.loads().is_empty();
        let small = TypedUnit::small(self.tools.units);
        let (text, unit) = (self.typed.text(), self.typed.unit());
        if !in_loads || unit == small || text.contains('.') {
            return None;
        }
        let number = self.typed.number().filter(|number| *number >= 10.0)?;
        let sizes = self.tools.measures.iter().map(|measure| measure.size);
        let largest = sizes.max_by(|a, b| a.as_ml().total_cmp(&b.as_ml()))?;
        let meant = Volume::ml(number * small.ml()?);
        let odd = self.typed.volume()? > largest && meant <= largest;
        let both = (
            format!("{text} {}", unit.shown()),
            format!("{text} {}", small.shown()),
        );
        (odd && self.asks_anew()).then_some(both)
    }

    fn asks_anew(&mut self) -> bool {
        let typed = format!("{} {}", self.typed.text(), self.typed.unit().shown());
        let anew = self.asked_about.replace(typed.clone()) != Some(typed);
        if anew {
            self.typed.refuse();
        }
        anew
    }

    /// True where erasing takes back a load: nothing is typed that could be erased.
    pub(super) fn erases_a_load(&self) -> bool {
        let in_loads = matches!(self.step(), Step::Left | Step::Catch);
        in_loads && self.typed.text().is_empty() && !self.loads().is_empty()
    }

    /// Takes a key of the number pad, where the step has one.
    pub(super) fn pad(&mut self, key: PadKey) -> bool {
        let has_pad = matches!(
            self.step(),
            Step::Holds | Step::SetTime | Step::Left | Step::Catch
        ) || self.step().weighs().is_some();
        has_pad && self.typed.press(key)
    }

    /// Takes what was half typed for the step in hand; another unit than the step has is another step's.
    pub(super) fn take_half_typed(&mut self, typed: &Typed) {
        let unit = unit_of(self.step(), &self.tools);
        if [unit, unit.other()].contains(&typed.unit()) {
            self.typed = typed.clone();
        }
    }

    /// Takes what is typed for the other unit of its kind.
    pub(super) fn switch_unit(&mut self) -> bool {
        self.typed.switch_unit()
    }

    /// Adds a full load of a measure.
    pub(super) fn add_load(&mut self, measure: &Measure) -> bool {
        self.push(Load {
            volume: measure.size,
            graduation: Some(measure.graduation),
        })
    }

    fn push(&mut self, load: Load) -> bool {
        let takes = load.volume.is_some_liquid();
        match self.step() {
            Step::Catch if takes => self.draft.catch_loads.push(load),
            Step::Left if takes => {
                self.draft.left_loads.retain(|l| l.volume.is_some_liquid());
                self.draft.left_loads.push(load);
            }
            _ => return false,
        }
        true
    }

    /// Takes it that nothing was left in the container that was run dry. False at any other step.
    pub(super) fn nothing_left(&mut self) -> bool {
        let asked = self.step() == Step::Left && self.draft.way == Way::RunDry;
        if asked {
            self.draft.left_loads = vec![Load {
                volume: Volume::ZERO,
                graduation: Some(Volume::ZERO),
            }];
            self.typed.clear();
        }
        asked
    }

    /// Takes the last load back.
    pub(super) fn undo_load(&mut self) -> bool {
        match self.step() {
            Step::Catch => self.draft.catch_loads.pop().is_some(),
            Step::Left => self.draft.left_loads.pop().is_some(),
            _ => false,
        }
    }

    /// Takes what was typed for the step in hand. With nothing typed, what was entered before
    /// stands.
    ///
    /// # Errors
    /// Nothing was entered, or nothing that can be: in words for the screen.
    pub(super) fn take_typed(&mut self) -> Result<(), Text> {
        let number = self.typed.number();
        if self.typed.text().is_empty() {
            return self.has_been_entered();
        }
        if number == Some(0.0) && self.nothing_left() {
            return Ok(());
        }
        match (self.step(), self.typed.volume()) {
            (Step::Holds, Some(holds)) => self.hold(holds)?,
            (Step::Left | Step::Catch, Some(volume)) => {
                let graduation = graduation_for(volume, &self.tools.measures);
                self.push(Load { volume, graduation });
            }
            (Step::SetTime, _) => match number.filter(|s| SET_TIME_SECONDS.contains(s)) {
                Some(seconds) => self.draft.set_time = Some(Duration::from_secs_f64(seconds)),
                None => {
                    return Err(text!(
                        "A run can last 10 to 900 seconds: type its time again."
                    ));
                }
            },
            (step, _) => match (step.weighs(), number) {
                (Some(of), Some(number)) => self.weigh(of, number)?,
                _ => return self.has_been_entered(),
            },
        }
        self.typed.clear();
        Ok(())
    }

    /// Takes what it holds. Runs that were done stand on it, so with them it stays.
    pub(super) fn hold(&mut self, holds: Volume) -> Result<(), Text> {
        possible::container(holds).map_err(|impossible| impossible.words())?;
        if !self.draft.runs.is_empty() && self.draft.holds != Some(holds) {
            return Err(text!(
                "The runs done stand on what it holds. Throw away to measure it anew."
            ));
        }
        self.draft.holds = Some(holds);
        Ok(())
    }

    fn has_been_entered(&self) -> Result<(), Text> {
        let there = match self.step() {
            Step::Holds => self.draft.holds.is_some(),
            Step::SetTime => self.draft.set_time.is_some(),
            Step::Left if self.draft.way == Way::RunDry => !self.draft.left_loads.is_empty(),
            Step::Left => self.left().is_some_liquid(),
            Step::Catch => self.catch().is_some_liquid(),
            step => step
                .weighs()
                .is_none_or(|of| self.draft.weights.contains_key(&of)),
        };
        there.then_some(()).ok_or_else(|| match self.step() {
            Step::Holds if !self.measures_the_container() => {
                text!("Type how much was put in first.")
            }
            Step::Holds => text!("Type what it holds first."),
            Step::Left if self.draft.way == Way::RunDry => {
                text!("Type what is left, 0 for nothing.")
            }
            Step::SetTime => text!("Choose how long it runs first."),
            Step::Left => text!(
                "Enter what is left. Nothing left: it ran dry too soon, choose a shorter time."
            ),
            Step::Catch => text!("Enter what was caught first."),
            Step::Temperature | Step::CatchTemperature => {
                text!("Type the water's temperature first.")
            }
            _ => text!("Type what the balance shows first."),
        })
    }

    fn weigh(&mut self, of: Weighed, number: f64) -> Result<(), Text> {
        let weights = &self.draft.weights;
        let celsius = weights.get(&Weighed::Water).copied().unwrap_or(20.0);
        let between = |lighter: Option<f64>, heavier: Option<f64>| match lighter.zip(heavier) {
            Some((lighter, heavier)) => volume_between(lighter, heavier, celsius).map(|_| ()),
            None => Ok(()),
        };
        let read = |of: Weighed| weights.get(&of).copied();
        match of {
            Weighed::Water | Weighed::CatchWater => density(number).map(|_| ()),
            Weighed::ContainerAfter => between(Some(number), read(Weighed::ContainerFull)),
            Weighed::BucketFull => between(read(Weighed::BucketEmpty), Some(number)),
            Weighed::BucketEmpty => between(Some(number), read(Weighed::BucketFull)),
            Weighed::ContainerFull => between(read(Weighed::ContainerAfter), Some(number)),
        }
        .map_err(|error| error.words())?;
        self.draft.weights.insert(of, number);
        Ok(())
    }

    /// Goes on to the next step.
    ///
    /// # Errors
    /// The step is not done: what is missing, in words for the screen.
    pub(super) fn next(&mut self) -> Result<(), Text> {
        self.take_typed()?;
        let next = match self.step() {
            // Back from what comes after the run by mistake: the time is still there.
            Step::Ready if self.draft.time.is_some() => self.after_run(),
            Step::Ready | Step::Running | Step::Review => {
                return Err(text!("That is not the next step."));
            }
            Step::Left if self.draft.holds.is_some_and(|holds| self.left() >= holds) => {
                return Err(text!("More is left than it holds: count the loads again."));
            }
            step => self.beside(step, 1).unwrap_or(step),
        };
        self.go_to(next);
        Ok(())
    }

    /// One step back; false at the first, where back leaves the calibration.
    pub(super) fn previous(&mut self) -> bool {
        if matches!(self.step(), Step::Catch | Step::Left) {
            // What was typed and not yet added is a load like any other; nothing typed is no fault.
            let _ = self.take_typed();
        }
        let step = self.step();
        let begins_run = step == self.run_begins();
        let previous = match self.beside(step, -1) {
            // A further run was begun by mistake: the one before is in hand again.
            _ if begins_run && self.draft.time.is_none() && self.take_up_last() => Step::Review,
            None => return false,
            _ if step == Step::Running => {
                self.watch = Stopwatch::default();
                Step::Ready
            }
            // The time stays until another run is started.
            Some(Step::Running) => Step::Ready,
            Some(previous) => previous,
        };
        self.go_to(previous);
        true
    }

    /// The step so many places away on the path of its way.
    fn beside(&self, step: Step, away: isize) -> Option<Step> {
        let path = Step::path(self.draft.way);
        let at = path.iter().position(|s| *s == step)?;
        path.get(at.checked_add_signed(away)?).copied()
    }

    fn after_run(&self) -> Step {
        self.beside(Step::Running, 1).unwrap_or(Step::Review)
    }

    /// Where each run of its way begins.
    const fn run_begins(&self) -> Step {
        match self.draft.way {
            Way::RunDry | Way::Timed => Step::FillToLine,
            // The bucket is wet now.
            Way::ByWeight => Step::BucketEmpty,
        }
    }

    /// Runs again: what it holds, the chosen time and the water's temperature stay.
    pub(super) fn run_again(&mut self) {
        self.watch = Stopwatch::default();
        self.forget_after_run();
        self.draft.time = None;
        self.draft.weights.retain(|of, _| *of == Weighed::Water);
        self.go_to(self.run_begins());
    }

    fn forget_after_run(&mut self) {
        self.draft.catch_loads.clear();
        self.draft.left_loads.clear();
        let after = [
            Weighed::ContainerAfter,
            Weighed::BucketFull,
            Weighed::CatchWater,
        ];
        self.draft.weights.retain(|of, _| !after.contains(of));
    }

    /// Puts the run in hand with the others and begins one more. False where none is in hand, or
    /// where there are as many as a calibration takes.
    pub(super) fn another(&mut self) -> bool {
        let Some(run) = self.run().filter(|_| self.draft.runs.len() + 1 < MOST_RUNS) else {
            return false;
        };
        self.draft.runs.push(run);
        self.run_again();
        true
    }

    /// The run in hand without those done before it.
    pub(super) fn alone(&self) -> Draft {
        Draft {
            runs: Vec::new(),
            ..self.draft.clone()
        }
    }

    /// Drops the run at `place` and gives it as a draft of its own; `None` for the last one of all,
    /// which cannot be dropped, only run again.
    pub(super) fn drop_run(&mut self, place: usize) -> Option<Draft> {
        match place.cmp(&self.draft.runs.len()) {
            std::cmp::Ordering::Less => {
                let run = self.draft.runs.remove(place);
                // As it is when it is the one in hand.
                let mut alone = Self {
                    draft: Draft {
                        runs: vec![run],
                        ..self.draft.clone()
                    },
                    ..self.clone()
                };
                alone.take_up_last();
                Some(alone.draft)
            }
            std::cmp::Ordering::Equal => {
                let run = self.alone();
                self.take_up_last().then_some(run)
            }
            std::cmp::Ordering::Greater => None,
        }
    }

    /// Takes the last of the runs done in hand, in the place of the one that was.
    fn take_up_last(&mut self) -> bool {
        let Some(run) = self.draft.runs.pop() else {
            return false;
        };
        // One load with the graduation that is as unsure as all of them were.
        let load = |volume: Volume, read: Option<Volume>| Load {
            volume,
            graduation: read.map(|unsure| unsure * 12f64.sqrt()),
        };
        self.draft.time = Some(run.time);
        self.draft.catch_loads.clear();
        self.draft.left_loads.clear();
        match run.weights {
            Some(weights) => {
                let readings = Weighed::ALL.map(|of| (of, weights.reading(of)));
                self.draft.weights = readings.into();
            }
            None => self.draft.catch_loads = vec![load(run.catch, run.read.map(|r| r.catch))],
        }
        if let Some(holds) = self.draft.holds.filter(|_| run.way != Way::ByWeight) {
            // What was put into a drum stays as unsure as it was.
            let put_in = self.put_in_unsure(holds).as_ml();
            let of_left = |drawn: Volume| {
                let square = drawn.as_ml().powi(2) - put_in.powi(2);
                Volume::ml(square.max(0.0).sqrt())
            };
            let left = load(holds - run.drawn, run.read.map(|r| of_left(r.drawn)));
            self.draft.left_loads = vec![left];
        }
        true
    }

    /// Temperature of the catch to offer, °C: that of the run before, or of the water in the
    /// container.
    pub fn usual_catch_temperature(&self) -> Option<f64> {
        let before = self.draft.runs.last().and_then(|run| run.weights);
        before
            .map(|weights| weights.catch_celsius)
            .or_else(|| self.draft.weights.get(&Weighed::Water).copied())
    }

    /// Takes the temperature of the catch that is offered. False at any other step, or where none is.
    pub(super) fn take_usual_temperature(&mut self) -> bool {
        let usual = self
            .usual_catch_temperature()
            .filter(|_| self.step() == Step::CatchTemperature);
        let taken = usual.map(|celsius| self.draft.weights.insert(Weighed::CatchWater, celsius));
        self.typed.clear();
        taken.is_some()
    }

    fn go_to(&mut self, step: Step) {
        self.draft.step = step;
        self.cut_off = false;
        self.shows_runs = false;
        self.asked_about = None;
        self.typed = Typed::empty(unit_of(step, &self.tools));
    }
}

/// Standard uncertainty of what was measured in loads; `None` where one of them was read on nobody
/// knows what.
fn unsure(loads: &[Load]) -> Option<Volume> {
    let graduations: Option<Vec<Volume>> = loads.iter().map(|load| load.graduation).collect();
    graduations.map(mixed_readings)
}

fn trim(number: f64) -> String {
    crate::trade::units::trim_number(number, 3)
}

fn unit_of(step: Step, tools: &Tools) -> TypedUnit {
    match step {
        Step::Catch => TypedUnit::large(tools.units),
        Step::SetTime => TypedUnit::Seconds,
        Step::Temperature | Step::CatchTemperature => TypedUnit::Celsius,
        _ if step.weighs().is_some() => TypedUnit::Kilograms,
        _ => TypedUnit::small(tools.units),
    }
}
