//! The guided calibration at the wall: its steps done, kept, saved or thrown away.

use super::action::{Effect, PadKey, Page};
use super::at_work::Bay;
use super::calibrating::{Calibrating, Stopped};
use super::ports::Tone;
use super::records::{CalibrationRecord, Happening, SprayerPast, Step};
use crate::trade::fill_plan::{self, Part};
use crate::trade::units::Volume;
use std::time::Duration;

impl Bay {
    pub(super) fn calibrate(&mut self) -> Vec<Effect> {
        if self.calibrating.is_none() {
            if self.sprayer().kind.is_direct() {
                return self
                    .refuse("What is in this sprayer is what comes out: nothing to calibrate.");
            }
            self.calibrating = Some(Calibrating::new(&self.sprayer));
        }
        // An unfinished run belongs to its own sprayer, whichever was shown.
        if let Some(id) = self.calibrating.as_ref().map(|c| c.draft.sprayer.clone()) {
            self.choose_sprayer(&id);
        }
        self.page = Page::Calibrate;
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
        self.keep_draft()
    }

    pub(super) fn step_back(&mut self) -> bool {
        let went = self.calibrating.as_mut().is_some_and(Calibrating::previous);
        if went {
            self.keep_draft();
        }
        went
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
            true => Vec::new(),
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
            Stopped::Timed => {
                let mut effects = vec![Effect::Tone(Tone::Stop)];
                effects.extend(self.keep_draft());
                effects
            }
            Stopped::CalledOff => vec![Effect::Tone(Tone::Refused)],
            Stopped::WasStill if calibrating.start(now) => {
                let mut effects = vec![Effect::Hush];
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
            nozzle: sprayer.nozzle.clone(),
            washer: sprayer.washer.clone(),
            calibration: result,
            taken: self.now.wall,
        };
        match self.keep(Happening::Calibrated(record.clone())) {
            Ok(_) => {
                let sprayer = record.sprayer.clone();
                *self.known(&sprayer) = SprayerPast {
                    calibration: Some(record),
                    ..SprayerPast::default()
                };
                self.calibrating = None;
                self.void_allowed = false;
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
