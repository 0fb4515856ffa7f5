//! The guided calibration: its steps, its stopwatch and what is entered on the way.

use super::action::PadKey;
use super::records::{Draft, Step};
use super::typed::{Typed, TypedUnit};
use crate::trade::calibration::{Calibration, HOLDS_OFF, MOST_RUNS, Run};
use crate::trade::units::Volume;
use std::time::Duration;

/// Seconds counted down before the stopwatch starts.
pub const COUNTDOWN: Duration = Duration::from_secs(5);

/// The stopwatch at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watch {
    /// Not running.
    Still,
    /// Whole seconds left of the countdown, 5 to 1.
    Countdown(u32),
    /// Running for so long.
    Running(Duration),
}

/// A calibration in hand: the kept draft and what is not worth keeping.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrating {
    /// What is kept, step by step.
    pub draft: Draft,
    /// What is being typed.
    pub typed: Typed,
    /// When the watch starts or started to count, on the monotonic clock.
    starts: Option<Duration>,
    /// Countdown seconds already beeped, so that each is beeped once.
    beeped: Option<u32>,
    /// What it holds, as typed when it was questioned: typed again, it is meant.
    asked_about: Option<Volume>,
    /// The program ended in the middle of the run.
    pub cut_off: bool,
    /// At the review, the runs are shown one by one.
    pub shows_runs: bool,
}

/// What the watch asks to be heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WatchSound {
    /// A second of the countdown.
    Second,
    /// The start.
    Go,
}

impl Calibrating {
    /// A new calibration of a sprayer.
    pub fn new(sprayer: &str) -> Self {
        Self::resume(Draft {
            sprayer: sprayer.into(),
            step: Step::Holds,
            holds: None,
            time: None,
            catch_loads: Vec::new(),
            runs: Vec::new(),
        })
    }

    /// Goes on with a kept one. A run that was cut off starts again from a full container: how much
    /// of it was drawn by then, nobody knows.
    pub fn resume(mut draft: Draft) -> Self {
        let cut_off = draft.step == Step::Running;
        if cut_off {
            draft.step = Step::FillToLine;
            // Of the run before it, which the one that was cut off was to replace.
            draft.time = None;
            draft.catch_loads.clear();
        }
        let typed = Typed::empty(unit_of(draft.step));
        Self {
            draft,
            typed,
            starts: None,
            beeped: None,
            asked_about: None,
            cut_off,
            shows_runs: false,
        }
    }

    /// The step now in hand.
    pub fn step(&self) -> Step {
        self.draft.step
    }

    /// True while nothing was done yet: only looked into.
    pub fn is_untouched(&self) -> bool {
        let draft = &self.draft;
        draft.holds.is_none()
            && draft.time.is_none()
            && draft.catch_loads.is_empty()
            && self.typed.text().is_empty()
    }

    /// The caught volume so far.
    pub fn catch(&self) -> Volume {
        self.draft.catch_loads.iter().copied().sum()
    }

    /// The run in hand, once everything is in.
    pub fn run(&self) -> Option<Run> {
        let (drawn, time, catch) = (self.draft.holds?, self.draft.time?, self.catch());
        // Run dry from the line: what it held is what was drawn.
        catch.is_some_liquid().then_some(Run { drawn, catch, time })
    }

    /// All runs, the one in hand last.
    pub fn runs(&self) -> Vec<Run> {
        self.draft.runs.iter().copied().chain(self.run()).collect()
    }

    /// The calibration, once the run in hand is done.
    pub fn result(&self) -> Option<Calibration> {
        self.run()?;
        Calibration::of(self.draft.holds?, &self.runs())
    }

    /// The watch at `now`.
    pub fn watch(&self, now: Duration) -> Watch {
        match self.starts {
            None => Watch::Still,
            Some(starts) if now < starts => {
                Watch::Countdown((starts - now).as_secs_f64().ceil() as u32)
            }
            Some(starts) => Watch::Running(now - starts),
        }
    }

    /// Starts the countdown; from `Ready` only.
    pub(super) fn start(&mut self, now: Duration) -> bool {
        let ready = self.draft.step == Step::Ready && self.starts.is_none();
        if ready {
            self.starts = Some(now + COUNTDOWN);
            self.beeped = None;
            self.draft.step = Step::Running;
        }
        ready
    }

    /// Stops the watch at `at`. During the countdown this calls the run off.
    pub(super) fn stop(&mut self, at: Duration) -> Stopped {
        match self.starts.take() {
            None => Stopped::WasStill,
            Some(starts) if at <= starts => {
                self.draft.step = Step::Ready;
                Stopped::CalledOff
            }
            Some(starts) => {
                self.draft.time = Some(at - starts);
                self.draft.catch_loads.clear();
                self.go_to(Step::Catch);
                Stopped::Timed
            }
        }
    }

    /// What is to be heard at `now`, each once.
    pub(super) fn sound(&mut self, now: Duration) -> Option<WatchSound> {
        let left = match self.watch(now) {
            Watch::Still => return None,
            Watch::Countdown(left) => left,
            Watch::Running(_) => 0,
        };
        (self.beeped.is_none_or(|beeped| left < beeped)).then(|| {
            self.beeped = Some(left);
            if left == 0 {
                WatchSound::Go
            } else {
                WatchSound::Second
            }
        })
    }

    /// True where what is typed is so far off the container known before that it should be asked
    /// about, once.
    pub(super) fn asks_about_holds(&mut self, known: Volume) -> Option<Volume> {
        let typed = self.typed.volume().filter(|_| self.step() == Step::Holds)?;
        let far = (typed / known - 1.0).abs() > HOLDS_OFF;
        (far && self.asked_about.replace(typed) != Some(typed)).then_some(typed)
    }

    /// Takes a key of the number pad, where the step has one.
    pub(super) fn pad(&mut self, key: PadKey) -> bool {
        matches!(self.step(), Step::Holds | Step::Catch) && self.typed.press(key)
    }

    /// Adds a load to the catch.
    pub(super) fn add_load(&mut self, load: Volume) -> bool {
        let takes = self.step() == Step::Catch && load.is_some_liquid();
        if takes {
            self.draft.catch_loads.push(load);
        }
        takes
    }

    /// Takes the last load back.
    pub(super) fn undo_load(&mut self) -> bool {
        self.step() == Step::Catch && self.draft.catch_loads.pop().is_some()
    }

    /// Takes what was typed for the step in hand: what it holds, or one more load of the catch.
    /// False when nothing is typed and nothing was entered before.
    pub(super) fn take_typed(&mut self) -> bool {
        match (self.step(), self.typed.volume()) {
            (Step::Holds, Some(holds)) => {
                self.draft.holds = Some(holds);
                self.typed.clear();
                true
            }
            (Step::Holds, None) => self.typed.text().is_empty() && self.draft.holds.is_some(),
            (Step::Catch, Some(load)) => {
                self.typed.clear();
                self.add_load(load)
            }
            (Step::Catch, None) => self.typed.text().is_empty() && self.catch().is_some_liquid(),
            _ => true,
        }
    }

    /// Goes on to the next step; false where the step is not done.
    pub(super) fn next(&mut self) -> bool {
        let next = match self.step() {
            Step::Holds if self.take_typed() => Step::FillToLine,
            Step::FillToLine => Step::Ready,
            // Back from the catch by mistake: the time is still there.
            Step::Ready if self.draft.time.is_some() => Step::Catch,
            Step::Catch if self.take_typed() => Step::Review,
            _ => return false,
        };
        self.go_to(next);
        true
    }

    /// One step back; false at the first, where back leaves the calibration.
    pub(super) fn previous(&mut self) -> bool {
        if self.step() == Step::Catch {
            // What was typed and not yet added is a load like any other.
            self.take_typed();
        }
        let previous = match self.step() {
            Step::Holds => return false,
            // A further run was begun by mistake: the one before is in hand again.
            Step::FillToLine if self.draft.time.is_none() && self.take_up_last() => Step::Review,
            Step::FillToLine => Step::Holds,
            Step::Ready => Step::FillToLine,
            Step::Running => {
                self.starts = None;
                self.draft.step = Step::Ready;
                Step::Ready
            }
            // The time stays until another run is started.
            Step::Catch => Step::Ready,
            Step::Review => Step::Catch,
        };
        self.go_to(previous);
        true
    }

    /// Runs again: what it holds stays.
    pub(super) fn run_again(&mut self) {
        self.starts = None;
        self.draft.time = None;
        self.draft.catch_loads.clear();
        self.go_to(Step::FillToLine);
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

    /// Drops the run at `place`; the last one of all cannot be dropped, only run again.
    pub(super) fn drop_run(&mut self, place: usize) -> bool {
        match place.cmp(&self.draft.runs.len()) {
            std::cmp::Ordering::Less => {
                self.draft.runs.remove(place);
                true
            }
            std::cmp::Ordering::Equal => self.take_up_last(),
            std::cmp::Ordering::Greater => false,
        }
    }

    /// Takes the last of the runs done in hand, in the place of the one that was.
    fn take_up_last(&mut self) -> bool {
        let Some(run) = self.draft.runs.pop() else {
            return false;
        };
        self.draft.time = Some(run.time);
        self.draft.catch_loads = vec![run.catch];
        true
    }

    fn go_to(&mut self, step: Step) {
        self.draft.step = step;
        self.cut_off = false;
        self.shows_runs = false;
        self.typed = Typed::empty(unit_of(step));
    }
}

const fn unit_of(step: Step) -> TypedUnit {
    match step {
        Step::Catch => TypedUnit::Litres,
        _ => TypedUnit::Ml,
    }
}

/// What stopping the watch came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// It was not running.
    WasStill,
    /// Stopped in the countdown: nothing was timed.
    CalledOff,
    /// Timed.
    Timed,
}
