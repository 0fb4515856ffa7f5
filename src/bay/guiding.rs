//! The guided calibration at the wall: its steps done, kept, saved or thrown away.

use super::action::{Effect, PadKey, Page, UNDO_TIME, Undo};
use super::at_work::{Bay, Unsettled};
use super::calibrating::{Calibrating, SET_TIME_SECONDS};
use super::ports::Tone;
use super::records::{CalibrationRecord, Draft, Happening, SprayerPast, Step};
use super::stopwatch::{Stopped, Watch};
use super::tools::Tools;
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::calibration::{Calibration, MOST_RUNS, Way};
use crate::trade::fill_plan::{self, Part};
use crate::trade::reminder::VoidCause;
use crate::trade::text::Text;
use crate::trade::units::Volume;
use std::time::Duration;

/// A second press of a key within this time is a bounce.
const KEY_PAUSE: Duration = Duration::from_millis(1200);

impl Bay {
    /// Begins a calibration in the way chosen; an unfinished one is gone on with.
    pub(super) fn calibrate_by(&mut self, way: Way) -> Vec<Effect> {
        if self.sprayer().kind.is_direct() {
            return self.refuse_direct();
        }
        if way == Way::ByWeight && self.setup.balance_step_kg.is_none() {
            return self.refuse("The set-up names no balance: [balance] step in bay.toml.");
        }
        if self.calibrating.is_none() {
            let tools = Tools::from(&self.setup);
            self.calibrating = Some(Calibrating::new(self.sprayer(), way, tools));
        }
        self.calibrate()
    }

    /// Goes on with the calibration in hand, or begins one by running dry.
    pub(super) fn calibrate(&mut self) -> Vec<Effect> {
        if self.calibrating.is_none() {
            return self.calibrate_by(Way::RunDry);
        }
        self.checking = None;
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
            return self
                .refuse("The run was cut off. Empty the bucket, and fill to the line again.");
        }
        vec![Effect::Hush]
    }

    /// Does a step of the calibration in hand and keeps it, or says why it is not done.
    pub(super) fn step(
        &mut self,
        step: impl FnOnce(&mut Calibrating) -> Result<(), Text>,
    ) -> Vec<Effect> {
        if self.page != Page::Calibrate {
            return Vec::new();
        }
        let Some(calibrating) = &mut self.calibrating else {
            return Vec::new();
        };
        if let Err(missing) = step(calibrating) {
            calibrating.typed.refuse();
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
        // What was typed as a load is taken with the step.
        if let Some(asked) = self.ask_about_load() {
            return asked;
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
            return self.refuse(text!(
                "{} typed, {} in the set-up. Next once more takes it.",
                typed.shown(),
                known.shown()
            ));
        }
        if let Some(asked) = self.ask_about_load() {
            return asked;
        }
        let lasts = self.draft_lasts();
        if let (Some(lasts), Some(calibrating)) = (lasts, &mut self.calibrating)
            && calibrating.asks_about_time(lasts)
        {
            return self.refuse(text!(
                "It runs dry in about {} s: choose less. Next once more takes it.",
                lasts.as_secs()
            ));
        }
        self.next_after(Calibrating::next)
    }

    /// Does a step that may be the last one: the catch is said at the review.
    fn next_after(
        &mut self,
        step: impl FnOnce(&mut Calibrating) -> Result<(), Text>,
    ) -> Vec<Effect> {
        let effects = self.step(step);
        match &self.calibrating {
            Some(c) if effects.is_empty() && c.step() == Step::Review => {
                if c.draft.way == Way::ByWeight {
                    let catch = c.run().map_or(Volume::ZERO, |run| run.catch);
                    return self.speak(Announcement::catch_weighed(catch));
                }
                let loads = u32::try_from(c.draft.catch_loads.len()).unwrap_or(u32::MAX);
                let total = Announcement::catch_total(c.catch(), loads);
                self.speak(total)
            }
            _ => effects,
        }
    }

    /// Asks which unit was meant by a load that was typed, once.
    fn ask_about_load(&mut self) -> Option<Vec<Effect>> {
        let (typed, meant) = self.calibrating.as_mut()?.asks_about_load()?;
        Some(self.refuse(text!(
            "{} or {}? Change the unit, or press once more for {}.",
            &typed,
            meant,
            &typed
        )))
    }

    /// Runs again: what was timed and caught is thrown away, and stays in the records.
    pub(super) fn run_again(&mut self) -> Vec<Effect> {
        self.without_run(|c| {
            let run = c.alone();
            c.run_again();
            Some(run)
        })
    }

    /// Throws one run away and goes on without it, in one happening: a power cut finds either all
    /// runs or all others.
    fn without_run(&mut self, drop: impl FnOnce(&mut Calibrating) -> Option<Draft>) -> Vec<Effect> {
        if self.page != Page::Calibrate {
            return Vec::new();
        }
        let Some(mut then) = self.calibrating.clone() else {
            return Vec::new();
        };
        let Some(run) = drop(&mut then) else {
            return self.refuse("The only run cannot be dropped: run again, or throw it away.");
        };
        let dropped = Happening::RunDropped {
            run: Box::new(run),
            draft: Box::new(then.draft.clone()),
        };
        match self.keep(dropped) {
            Ok(_) => {
                self.calibrating = Some(then);
                self.drop_words();
                Vec::new()
            }
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
            false => self.refuse(text!("{} runs are enough.", MOST_RUNS)),
        }
    }

    /// Drops one of several runs. It stays in the records.
    pub(super) fn drop_run(&mut self, place: usize) -> Vec<Effect> {
        let at_review = self
            .calibrating
            .as_ref()
            .is_some_and(|c| c.step() == Step::Review);
        match at_review {
            true => self.without_run(|c| c.drop_run(place)),
            false => Vec::new(),
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
            Ok(_) => {
                self.unsettled_is_told = false;
                Vec::new()
            }
            Err(fault) => self.not_settled(
                Unsettled::Draft,
                "This step would not survive a power cut",
                &fault,
            ),
        }
    }

    /// Nothing was left in the container that was run dry.
    pub(super) fn nothing_left(&mut self) -> Vec<Effect> {
        self.step(|c| match c.nothing_left() {
            true => c.next(),
            false => Err(text!("That is not the next step.")),
        })
    }

    pub(super) fn holds_as_before(&mut self) -> Vec<Effect> {
        let before = self.holds_before();
        self.next_after(|c| {
            if c.take_usual_temperature() {
                return c.next();
            }
            if c.step() != Step::Holds {
                return Err(text!("That is not the next step."));
            }
            match before {
                Some(before) => c.hold(before)?,
                None => return Err(text!("What was in it counts here: measure it.")),
            }
            c.typed.clear();
            c.next()
        })
    }

    pub(super) fn take_time(&mut self, time: Duration) -> Vec<Effect> {
        self.step(|c| {
            if c.step() != Step::SetTime || !SET_TIME_SECONDS.contains(&time.as_secs_f64()) {
                return Err(text!("That is not the next step."));
            }
            c.draft.set_time = Some(time);
            c.typed.clear();
            c.next()
        })
    }

    /// How long a full container of the sprayer in hand lasts by the calibration that applies.
    pub fn draft_lasts(&self) -> Option<Duration> {
        self.full_lasts(self.draft_sprayer()?, self.calibration_before()?)
    }

    /// Times to offer for a timed run: half and three quarters of what a full container lasts,
    /// where that is known.
    pub fn time_choices(&self) -> Vec<Duration> {
        // Five-second steps: nobody needs 47.
        let (least, most) = (*SET_TIME_SECONDS.start(), *SET_TIME_SECONDS.end());
        let rounded = |seconds: f64| ((seconds / 5.0).round() * 5.0).clamp(least, most) as u64;
        let mut seconds = match self.draft_lasts().map(|lasts| lasts.as_secs_f64()) {
            // A drum lasts for hours: a bucket does not take that.
            Some(lasts) if lasts / 2.0 > most => vec![30, 60],
            Some(lasts) => vec![rounded(lasts / 2.0), rounded(lasts * 0.75)],
            None => vec![30, 60],
        };
        seconds.dedup();
        seconds.into_iter().map(Duration::from_secs).collect()
    }

    /// What the container of the calibration in hand was known to hold. Run dry, it cancels in the
    /// dose; in a timed run it does not, so there only what was measured counts. `None` for a drum:
    /// what is put in is measured.
    pub fn holds_before(&self) -> Option<Volume> {
        let (sprayer, calibrating) = (self.draft_sprayer()?, self.calibrating.as_ref()?);
        let calibration = self.calibration(&sprayer.id);
        let counts = calibrating.draft.way != Way::Timed || self.container_was_measured();
        (counts && calibrating.measures_the_container())
            .then(|| fill_plan::holds(sprayer, calibration))
    }

    /// True where what the container of the calibration in hand holds was measured before; else only the
    /// set-up says it.
    pub fn container_was_measured(&self) -> bool {
        let calibration = self
            .draft_sprayer()
            .and_then(|sprayer| self.calibration(&sprayer.id));
        calibration.is_some_and(|calibration| calibration.holds.is_some())
    }

    /// The calibration in hand once its run is done, as it would be saved: what the container was
    /// measured to hold before stays where nothing was measured now.
    pub fn calibration_in_hand(&self) -> Option<Calibration> {
        let calibrating = self.calibrating.as_ref()?;
        let result = calibrating.result()?;
        let before = self
            .calibration(&calibrating.draft.sprayer)
            .and_then(|c| c.holds);
        Some(Calibration {
            holds: result.holds.or(before),
            ..result
        })
    }

    pub(super) fn pad(&mut self, key: PadKey) -> Vec<Effect> {
        let erases_a_load = self
            .calibrating
            .as_ref()
            .is_some_and(Calibrating::erases_a_load);
        if key == PadKey::Back && erases_a_load && self.page == Page::Calibrate {
            return self.undo_load();
        }
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

    pub(super) fn switch_unit(&mut self) -> Vec<Effect> {
        match self
            .calibrating
            .as_mut()
            .is_some_and(Calibrating::switch_unit)
        {
            true => {
                // What was said of the other unit is over.
                self.drop_words();
                Vec::new()
            }
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    pub(super) fn add_load(&mut self, id: &str) -> Vec<Effect> {
        let measure = self.setup.measures.iter().find(|m| m.id == id).cloned();
        self.step(
            |c| match measure.is_some_and(|measure| c.add_load(&measure)) {
                true => Ok(()),
                false => Err(text!("Loads are counted at another step.")),
            },
        )
    }

    pub(super) fn add_typed(&mut self) -> Vec<Effect> {
        if let Some(asked) = self.ask_about_load() {
            return asked;
        }
        self.step(|c| match c.typed.volume() {
            Some(_) => c.take_typed(),
            None => Err(text!("Type what the load was first.")),
        })
    }

    pub(super) fn undo_load(&mut self) -> Vec<Effect> {
        self.step(|c| match c.undo_load() {
            true => Ok(()),
            false => Err(text!("There is no load to take back.")),
        })
    }

    pub(super) fn start_stop(&mut self, ago: Duration) -> Vec<Effect> {
        if self.page == Page::Check {
            return self.start_stop_check(ago);
        }
        if self.page != Page::Calibrate {
            return Vec::new();
        }
        let now = self.now.monotonic;
        let Some(calibrating) = &mut self.calibrating else {
            return Vec::new();
        };
        if calibrating.watch(now) != Watch::Still {
            return self.stop_run(now.saturating_sub(ago));
        }
        if !calibrating.start(now) {
            return Vec::new();
        }
        self.unsettled = Some(Unsettled::Draft);
        let mut effects = vec![Effect::Hush];
        effects.extend(self.tick());
        effects
    }

    /// Stops the watch of the run at `at`, or sees that its chosen time is over.
    pub(super) fn stop_run(&mut self, at: Duration) -> Vec<Effect> {
        let stopped = self.calibrating.as_mut().map(|c| c.stop(at));
        let effects = match stopped {
            None | Some(Stopped::WasStill) => return Vec::new(),
            Some(Stopped::Timed(_)) => {
                if self
                    .calibrating
                    .as_ref()
                    .is_some_and(|c| c.draft.way == Way::Timed)
                {
                    self.advise(text!("Let go now."));
                }
                vec![Effect::Tone(Tone::Stop), Effect::Say(Announcement::stop())]
            }
            Some(Stopped::CalledOff) => vec![Effect::Tone(Tone::Refused)],
            Some(Stopped::BrokenOff) => {
                self.refuse("Stopped too soon: empty the bucket, and fill to the line again.")
            }
        };
        self.unsettled = Some(Unsettled::Draft);
        effects
    }

    pub(super) fn save_calibration(&mut self) -> Vec<Effect> {
        let Some(result) = self.calibration_in_hand() else {
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
            dial: sprayer
                .dial
                .as_ref()
                .map(|dial| self.fitted(sprayer, VoidCause::Dial, dial)),
            calibration: result,
            taken: self.now.wall,
        };
        let Some(draft) = self.calibrating.as_ref().map(|c| c.draft.clone()) else {
            return Vec::new();
        };
        match self.keep(Happening::Calibrated(record.clone())) {
            Ok(entry) => {
                let runs = record.calibration.runs();
                let fractions: Vec<f64> = runs
                    .filter_map(|r| Some(r.draw_fraction()?.as_fraction()))
                    .collect();
                if fractions.len() > 1 {
                    self.repeats.push(fractions);
                }
                let sprayer = record.sprayer.clone();
                let corrected = !self.known(&sprayer).corrections.is_empty();
                self.forget_corrections();
                *self.known(&sprayer) = SprayerPast {
                    calibration: Some(record),
                    ..SprayerPast::default()
                };
                self.calibrating = None;
                self.void_allowed = None;
                self.part = Part::Full;
                self.page = Page::Fill;
                self.notify(
                    match corrected {
                        true => "Saved. Doses corrected for their mix no longer are: check again.",
                        false => "Saved",
                    },
                    Some(Undo::Calibration {
                        entry,
                        draft: Box::new(draft),
                    }),
                );
                self.speak(self.spoken_calibrated())
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
