//! The guided calibration at the wall: its steps done, kept, saved or thrown away.

use super::action::{Effect, PadKey, Page, UNDO_TIME};
use super::at_work::Bay;
use super::calibrating::{Calibrating, Stopped, Watch};
use super::ports::Tone;
use super::records::{CalibrationRecord, Happening, SprayerPast, Step};
use crate::trade::announcement::Announcement;
use crate::trade::calibration::MOST_RUNS;
use crate::trade::fill_plan::{self, Part};
use crate::trade::reminder::VoidCause;
use crate::trade::units::Volume;
use std::time::Duration;

/// A second press of a key within this time is a bounce.
const KEY_PAUSE: Duration = Duration::from_millis(1200);

impl Bay {
    pub(super) fn calibrate(&mut self) -> Vec<Effect> {
        if self.calibrating.is_none() {
            if self.sprayer().kind.is_direct() {
                return self.refuse_direct();
            }
            self.calibrating = Some(Calibrating::new(&self.sprayer));
        }
        // An unfinished run belongs to its own sprayer. Where another is shown, going on with it
        // must be asked for by its name: the button under Care has it.
        if let Some(id) = self.calibrating.as_ref().map(|c| c.draft.sprayer.clone()) {
            if id != self.sprayer && self.page != Page::Care {
                self.page = Page::Care;
                return self.refuse("Another sprayer's run is unfinished: go on with it first.");
            }
            self.choose_sprayer(&id);
        }
        self.page = Page::Calibrate;
        if self.calibrating.as_ref().is_some_and(|c| c.cut_off) {
            return self.refuse("The run was cut off. Empty it, and fill to the line again.");
        }
        vec![Effect::Hush]
    }

    /// Does a step of the calibration in hand and keeps it.
    pub(super) fn step(&mut self, step: impl FnOnce(&mut Calibrating) -> bool) -> Vec<Effect> {
        if self.page != Page::Calibrate {
            return Vec::new();
        }
        let Some(calibrating) = &mut self.calibrating else {
            return Vec::new();
        };
        if !step(calibrating) {
            let missing = match calibrating.step() {
                Step::Holds => "Type what it holds first.",
                Step::Catch => "Enter what was caught first.",
                _ => "That is not the next step.",
            };
            return self.refuse(missing);
        }
        self.drop_words();
        self.keep_draft()
    }

    /// One step back. A running stopwatch is stopped, not walked away from: the time would be lost.
    pub(super) fn previous_step(&mut self) -> Vec<Effect> {
        if matches!(self.watch(), Watch::Running(_)) {
            return self.refuse("The stopwatch runs: stop it first.");
        }
        if self.calibrating.as_ref().is_some_and(|c| c.shows_runs) {
            return self.show_runs(false);
        }
        if self.calibrating.as_mut().is_some_and(Calibrating::previous) {
            return self.keep_draft();
        }
        if self
            .calibrating
            .as_ref()
            .is_some_and(Calibrating::is_untouched)
        {
            // Only looked into: no run is unfinished because of that.
            self.calibrating = None;
        }
        self.back()
    }

    /// The step is done. The total of the catch is said, to be heard over the bucket.
    pub(super) fn next_step(&mut self) -> Vec<Effect> {
        let known = self.draft_sprayer().map(|s| s.holds);
        if let (Some(known), Some(calibrating)) = (known, &mut self.calibrating)
            && let Some(typed) = calibrating.asks_about_holds(known)
        {
            return self.refuse(format!(
                "{} typed, {} in the set-up. Next once more takes it.",
                typed.shown(),
                known.shown()
            ));
        }
        let effects = self.step(Calibrating::next);
        match &self.calibrating {
            Some(c) if effects.is_empty() && c.step() == Step::Review => {
                let loads = u32::try_from(c.draft.catch_loads.len()).unwrap_or(u32::MAX);
                vec![Effect::Say(Announcement::catch_total(c.catch(), loads))]
            }
            _ => effects,
        }
    }

    /// Runs again: what was timed and caught is thrown away, and stays in the records.
    pub(super) fn run_again(&mut self) -> Vec<Effect> {
        let Some(draft) = self.calibrating.as_ref().map(|c| c.draft.clone()) else {
            return Vec::new();
        };
        match self.keep(Happening::RunThrownAway(draft)) {
            Ok(_) => self.step(|c| {
                c.run_again();
                true
            }),
            Err(fault) => self.not_kept("The run was not thrown away", &fault),
        }
    }

    /// One more run of the same container.
    pub(super) fn another_run(&mut self) -> Vec<Effect> {
        let Some(calibrating) = self
            .calibrating
            .as_mut()
            .filter(|c| c.step() == Step::Review)
        else {
            return Vec::new();
        };
        match calibrating.another() {
            true => self.keep_draft(),
            false => self.refuse(format!("{MOST_RUNS} runs are enough.")),
        }
    }

    /// Drops one of several runs.
    pub(super) fn drop_run(&mut self, place: usize) -> Vec<Effect> {
        let Some(calibrating) = self
            .calibrating
            .as_mut()
            .filter(|c| c.step() == Step::Review)
        else {
            return Vec::new();
        };
        match calibrating.drop_run(place) {
            true => self.keep_draft(),
            false => self.refuse("The only run cannot be dropped: run again, or throw it away."),
        }
    }

    /// Shows the runs one by one, or the result again.
    pub(super) fn show_runs(&mut self, show: bool) -> Vec<Effect> {
        if let Some(calibrating) = self.calibrating.as_mut() {
            calibrating.shows_runs = show && calibrating.step() == Step::Review;
        }
        Vec::new()
    }

    /// The Enter key saves when it is pressed twice, with a moment between: a key cannot be held
    /// with a visible bar, and what is saved takes the old figure's place.
    pub(super) fn save_by_key(&mut self) -> Vec<Effect> {
        if !self.doubts().is_empty() {
            return self.refuse("These readings are questioned: look, then hold Save.");
        }
        let now = self.now.monotonic;
        match self.save_by_key.take() {
            Some((from, until)) if now >= from && now < until => self.save_calibration(),
            _ => {
                self.save_by_key = Some((now + KEY_PAUSE, now + UNDO_TIME));
                self.notify("Enter once more saves it.", None);
                Vec::new()
            }
        }
    }

    pub(super) fn keep_draft(&mut self) -> Vec<Effect> {
        let Some(draft) = self.calibrating.as_ref().map(|c| c.draft.clone()) else {
            return Vec::new();
        };
        match self.keep(Happening::Drafted(draft)) {
            Ok(_) => Vec::new(),
            Err(fault) => self.not_kept("This step would not survive a power cut", &fault),
        }
    }

    pub(super) fn holds_as_before(&mut self) -> Vec<Effect> {
        let before = self.holds_before();
        self.step(|c| {
            c.draft.holds = before;
            c.typed.clear();
            c.next()
        })
    }

    /// What the container of the calibration in hand was known to hold.
    pub fn holds_before(&self) -> Option<Volume> {
        let sprayer = self.draft_sprayer()?;
        Some(fill_plan::holds(sprayer, self.calibration(&sprayer.id)))
    }

    pub(super) fn pad(&mut self, key: PadKey) -> Vec<Effect> {
        let took =
            self.page == Page::Calibrate && self.calibrating.as_mut().is_some_and(|c| c.pad(key));
        match took {
            true => {
                self.drop_words();
                Vec::new()
            }
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    pub(super) fn add_load(&mut self, id: &str) -> Vec<Effect> {
        let size = self
            .setup
            .measures
            .iter()
            .find(|m| m.id == id)
            .map(|m| m.size);
        self.step(|c| size.is_some_and(|size| c.add_load(size)))
    }

    pub(super) fn start_stop(&mut self, ago: Duration) -> Vec<Effect> {
        if self.page != Page::Calibrate {
            return Vec::new();
        }
        let at = self.now.monotonic.saturating_sub(ago);
        let now = self.now.monotonic;
        let Some(calibrating) = &mut self.calibrating else {
            return Vec::new();
        };
        match calibrating.stop(at) {
            stopped @ (Stopped::Timed | Stopped::CalledOff) => {
                let tone = match stopped {
                    Stopped::Timed => Tone::Stop,
                    _ => Tone::Refused,
                };
                let mut effects = vec![Effect::Tone(tone)];
                effects.extend(self.keep_draft());
                effects
            }
            Stopped::WasStill if calibrating.start(now) => {
                let mut effects = vec![Effect::Hush];
                effects.extend(self.keep_draft());
                effects.extend(self.tick());
                effects
            }
            Stopped::WasStill => Vec::new(),
        }
    }

    pub(super) fn save_calibration(&mut self) -> Vec<Effect> {
        let Some(result) = self.calibrating.as_ref().and_then(Calibrating::result) else {
            return self.refuse("The run is not finished.");
        };
        if let Some(doubt) = self.doubts().iter().find(|d| d.is_impossible()) {
            return self.refuse(doubt.words());
        }
        let Some(sprayer) = self.draft_sprayer() else {
            return Vec::new();
        };
        let record = CalibrationRecord {
            sprayer: sprayer.id.clone(),
            nozzle: self.fitted(sprayer, VoidCause::Nozzle, &sprayer.nozzle),
            washer: self.fitted(sprayer, VoidCause::Washer, &sprayer.washer),
            calibration: result,
            taken: self.now.wall,
        };
        match self.keep(Happening::Calibrated(record.clone())) {
            Ok(_) => {
                let runs = record.calibration.runs();
                let fractions: Vec<f64> = runs
                    .filter_map(|r| Some(r.draw_fraction()?.as_fraction()))
                    .collect();
                if fractions.len() > 1 {
                    self.repeats.push(fractions);
                }
                let sprayer = record.sprayer.clone();
                *self.known(&sprayer) = SprayerPast {
                    calibration: Some(record),
                    ..SprayerPast::default()
                };
                self.calibrating = None;
                self.void_allowed = None;
                self.part = Part::Full;
                self.page = Page::Fill;
                self.notify("Calibration saved", None);
                vec![Effect::Say(self.spoken_calibrated())]
            }
            Err(fault) => self.not_kept("The calibration was not saved", &fault),
        }
    }

    pub(super) fn throw_away(&mut self) -> Vec<Effect> {
        let Some(draft) = self.calibrating.as_ref().map(|c| c.draft.clone()) else {
            return Vec::new();
        };
        match self.keep(Happening::RunThrownAway(draft)) {
            Ok(_) => {
                self.calibrating = None;
                self.page = Page::Fill;
                self.notify("Run thrown away. Nothing was changed.", None);
                Vec::new()
            }
            Err(fault) => self.not_kept("The run was not thrown away", &fault),
        }
    }
}
