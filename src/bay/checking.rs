//! The timed check: a full container against the stopwatch only, with water or with the day's mix.

use super::action::{Effect, Page, Undo};
use super::at_work::{Bay, Unsettled};
use super::judging::runs_of;
use super::ports::Tone;
use super::records::{CheckRecord, Happening};
use super::stopwatch::{Stopped, Stopwatch, Watch};
use crate::trade::announcement::Announcement;
use crate::trade::calibration::Calibration;
use crate::trade::chemical::Target;
use crate::trade::fill_plan::{self, Part, Plan, Pour};
use crate::trade::reminder::Standing;
use crate::trade::sprayer::Sprayer;
use crate::trade::timed_check::{
    self, TimedCheck, TimedCheckError, Verdict, WithMix, band, lasts, scatter_of_time,
};
use crate::trade::units::Volume;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// How far a check has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CheckStage {
    /// Choose what it is filled with.
    Fluid,
    /// Fill it to the line; the countdown starts from here.
    Ready,
    /// The stopwatch runs (also during the countdown).
    Running,
    /// What it says.
    Result,
}

/// A timed check in hand. Nothing of it is kept before its time is: a check that is cut off begins
/// again with a full container.
#[derive(Debug, Clone, PartialEq)]
pub struct Checking {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// The chemical whose mix is in the container, by id; `None` for clean water.
    pub mix: Option<String>,
    /// How far it has come.
    pub stage: CheckStage,
    /// What the stopwatch said.
    pub time: Option<Duration>,
    pub(super) watch: Stopwatch,
}

/// What a timed check says.
#[derive(Debug, Clone, PartialEq)]
pub enum CheckFound {
    /// Nothing follows from it, and why.
    Nothing(TimedCheckError),
    /// The time is so far off that the container was hardly full to its line.
    Unlikely {
        /// What the stopwatch said.
        time: Duration,
        /// What a full container takes by the calibration.
        calibrated: Duration,
    },
    /// With clean water.
    Water(TimedCheck),
    /// With a mix.
    Mix {
        /// How it draws.
        drawn: WithMix,
        /// What the dose would be multiplied with, 1 to end a correction; `None` where the difference
        /// from what is in force may be chance, or the label gives the bottle ratio.
        offered: Option<f64>,
        /// What the dose is multiplied with now.
        in_force: Option<f64>,
        /// The label gives the bottle ratio: the dose does not depend on the draw.
        by_label: bool,
    },
}

/// A time outside this range of the calibrated one is no drift but a container that was not full,
/// or a stopwatch that was forgotten: common practice, no source.
const LIKELY: std::ops::RangeInclusive<f64> = 0.5..=2.0;

/// Volume that leaves a full container until it runs dry.
fn drawn_of_full(sprayer: &Sprayer, calibration: &Calibration) -> Volume {
    fill_plan::holds(sprayer, Some(calibration)) - calibration.left_when_dry()
}

impl Bay {
    /// The timed check in hand.
    pub fn checking(&self) -> Option<&Checking> {
        self.checking.as_ref()
    }

    /// What a full container of the sprayer shown takes by its calibration.
    pub fn calibrated_time(&self) -> Option<Duration> {
        let sprayer = self.sprayer();
        self.full_lasts(sprayer, self.calibration(&sprayer.id)?)
    }

    /// What a full container of a sprayer takes by a calibration of it.
    pub(super) fn full_lasts(
        &self,
        sprayer: &Sprayer,
        calibration: &Calibration,
    ) -> Option<Duration> {
        lasts(drawn_of_full(sprayer, calibration), calibration)
    }

    /// What the check in hand says, once it was timed.
    pub fn check_found(&self) -> Option<CheckFound> {
        let checking = self.checking.as_ref()?;
        self.found(checking.mix.is_some(), checking.time?)
    }

    fn found(&self, with_mix: bool, time: Duration) -> Option<CheckFound> {
        let sprayer = self.sprayer();
        let calibration = self.calibration(&sprayer.id)?;
        let calibrated = self.full_lasts(sprayer, calibration)?;
        if !LIKELY.contains(&(time.as_secs_f64() / calibrated.as_secs_f64())) {
            return Some(CheckFound::Unlikely { time, calibrated });
        }
        Some(match with_mix {
            false => self
                .judge(sprayer, calibration, calibrated, time)?
                .map_or_else(CheckFound::Nothing, CheckFound::Water),
            true => {
                let scatter = self.scatter_of_time(sprayer, calibration)?;
                let band = band(scatter, runs_of(calibration));
                let drawn = drawn_of_full(sprayer, calibration);
                timed_check::with_mix(drawn, time, &calibration.flows()?, band)
                    .map_or_else(CheckFound::Nothing, |drawn| {
                        self.found_of_mix(drawn, scatter, calibration)
                    })
            }
        })
    }

    /// Judges a check with water; `None` where the calibration has no flows.
    fn judge(
        &self,
        sprayer: &Sprayer,
        calibration: &Calibration,
        calibrated: Duration,
        time: Duration,
    ) -> Option<Result<TimedCheck, TimedCheckError>> {
        let scatter = self.scatter_of_time(sprayer, calibration)?;
        let (runs, limit) = (runs_of(calibration), self.setup.check_limit);
        Some(timed_check::check(calibrated, time, scatter, runs, limit))
    }

    fn found_of_mix(&self, drawn: WithMix, scatter: f64, calibration: &Calibration) -> CheckFound {
        let mix = self
            .checking
            .as_ref()
            .and_then(|c| c.mix.clone())
            .unwrap_or_default();
        let in_force = self.correction(&self.sprayer().id, &mix);
        let target = self.setup.chemical(&mix).map(|chemical| chemical.target);
        let by_label = matches!(target, Some(Target::Bottle(_)));
        let offered = match in_force.zip(calibration.draw_fraction()) {
            _ if by_label => None,
            None => drawn.offered_factor(),
            // Held against the one check that the correction stands on.
            Some((factor, water)) => {
                let odds = |d: f64| d / (1.0 - d);
                let then = odds(water.as_fraction() / factor);
                let change = odds(drawn.draw_fraction.as_fraction()) / then - 1.0;
                (change.abs() > band(scatter, 1)).then(|| drawn.offered_factor().unwrap_or(1.0))
            }
        };
        CheckFound::Mix {
            drawn,
            offered,
            in_force,
            by_label,
        }
    }

    /// The dose, full to the line, of the chemical that is checked, as it is now.
    pub fn dose_in_force(&self) -> Option<Pour> {
        let checking = self.checking.as_ref()?;
        self.dose_of_mix(self.correction(&self.sprayer().id, checking.mix.as_ref()?))
    }

    /// The dose of the chemical that is checked, corrected so.
    fn dose_of_mix(&self, correction: Option<f64>) -> Option<Pour> {
        let chemical = self.setup.chemical(self.checking.as_ref()?.mix.as_ref()?)?;
        match self.plan_with(self.sprayer(), chemical, Part::Full, correction) {
            Plan::Fill(plan) => Some(plan.pour),
            _ => None,
        }
    }

    /// What the time of one full container of a sprayer scatters by, relative, for bands
    /// ([`crate::trade::repeats::Scatter::for_bands`]).
    pub(super) fn scatter_of_time(
        &self,
        sprayer: &Sprayer,
        calibration: &Calibration,
    ) -> Option<f64> {
        let draw = calibration.draw_fraction()?;
        Some(scatter_of_time(
            self.scatter().for_bands(),
            draw,
            self.full_lasts(sprayer, calibration)?,
        ))
    }

    /// The newest timed check with water since the calibration of a sprayer says that it must be
    /// calibrated.
    pub(super) fn check_asks(&self, sprayer: &str) -> bool {
        let judged = || {
            let past = self.sprayers.get(sprayer)?;
            let check = past.check.as_ref()?;
            let calibration = &past.calibration.as_ref()?.calibration;
            let sprayer = self.setup.sprayer(sprayer)?;
            self.judge(sprayer, calibration, check.calibrated, check.time)?
                .ok()
        };
        judged().is_some_and(|check| check.verdict == Verdict::Recalibrate)
    }

    /// What the dose of a chemical is multiplied with on a sprayer, where somebody accepted it.
    pub fn correction(&self, sprayer: &str, chemical: &str) -> Option<f64> {
        self.sprayers
            .get(sprayer)?
            .corrections
            .get(chemical)
            .copied()
    }

    /// Opens the check of the sprayer shown.
    pub(super) fn open_check(&mut self) -> Vec<Effect> {
        let sprayer = self.sprayer();
        if sprayer.kind.is_direct() {
            return self.refuse_direct();
        }
        match self.standing(sprayer) {
            Standing::None => return self.refuse("Calibrate it first: there is no time yet."),
            Standing::Void(_) => {
                return self.refuse("It was changed: calibrate it, the old time is of no use.");
            }
            _ if self.calibrated_time().is_none() => {
                return self.refuse("Its calibration has no time: calibrate it first.");
            }
            _ => {}
        }
        let id = sprayer.id.clone();
        if self.checking.as_ref().is_none_or(|c| c.sprayer != id) {
            self.checking = Some(Checking {
                sprayer: id,
                mix: None,
                stage: CheckStage::Fluid,
                time: None,
                watch: Stopwatch::default(),
            });
        }
        self.drop_words();
        self.page = Page::Check;
        vec![Effect::Hush]
    }

    /// What it is filled with: water, or the mix of the chemical in use.
    pub(super) fn begin_check(&mut self, with_mix: bool) -> Vec<Effect> {
        // What is in it is not the mix that the check would be of.
        if with_mix && self.rinse_first(&self.sprayer, self.chemical()).is_some() {
            return self.refuse("Rinse it first: another chemical is in it.");
        }
        let mix = with_mix.then(|| self.chemical().id.clone());
        match self
            .checking
            .as_mut()
            .filter(|c| c.stage == CheckStage::Fluid)
        {
            Some(checking) => {
                checking.mix = mix;
                checking.stage = CheckStage::Ready;
            }
            None => return Vec::new(),
        }
        self.drop_words();
        Vec::new()
    }

    /// The same check once more.
    pub(super) fn check_again(&mut self) -> Vec<Effect> {
        if let Some(checking) = self
            .checking
            .as_mut()
            .filter(|c| c.stage == CheckStage::Result)
        {
            checking.stage = CheckStage::Ready;
            checking.time = None;
        }
        Vec::new()
    }

    /// One step back, or out of it.
    pub(super) fn leave_check(&mut self) -> Vec<Effect> {
        if matches!(self.watch(), Watch::Running(_)) {
            return self.refuse("The stopwatch runs: stop it first.");
        }
        if let Some(checking) = &mut self.checking {
            match checking.stage {
                CheckStage::Ready => {
                    checking.stage = CheckStage::Fluid;
                    return Vec::new();
                }
                CheckStage::Running => {
                    checking.watch = Stopwatch::default();
                    checking.stage = CheckStage::Ready;
                    return Vec::new();
                }
                CheckStage::Fluid | CheckStage::Result => self.checking = None,
            }
        }
        self.show(Page::Care)
    }

    pub(super) fn start_stop_check(&mut self, ago: Duration) -> Vec<Effect> {
        let (now, at) = (self.now.monotonic, self.now.monotonic.saturating_sub(ago));
        let Some(checking) = &mut self.checking else {
            return Vec::new();
        };
        match (checking.stage, checking.watch.stop(at)) {
            (CheckStage::Ready, Stopped::WasStill) => {
                checking.watch.start(now, None);
                checking.stage = CheckStage::Running;
                self.drop_words();
                let mut effects = vec![Effect::Hush];
                effects.extend(self.tick());
                effects
            }
            (_, Stopped::Timed(time)) => {
                checking.time = Some(time);
                checking.stage = CheckStage::Result;
                self.unsettled = Some(Unsettled::Check(time));
                vec![Effect::Tone(Tone::Stop)]
            }
            (_, Stopped::CalledOff | Stopped::BrokenOff) => {
                checking.stage = CheckStage::Ready;
                vec![Effect::Tone(Tone::Refused)]
            }
            (_, Stopped::WasStill) => Vec::new(),
        }
    }

    /// Keeps the time at once; one that cannot be of a full container says nothing and is not kept.
    pub(super) fn keep_check(&mut self, time: Duration) -> Vec<Effect> {
        let (Some(checking), Some(found), Some(calibrated)) = (
            self.checking.clone(),
            self.check_found(),
            self.calibrated_time(),
        ) else {
            return Vec::new();
        };
        let record = match found {
            CheckFound::Water(_) | CheckFound::Mix { .. } => CheckRecord {
                sprayer: checking.sprayer,
                mix: checking.mix,
                time,
                calibrated,
                at: self.now.wall,
            },
            CheckFound::Nothing(_) | CheckFound::Unlikely { .. } => return Vec::new(),
        };
        match self.keep(Happening::Checked(record.clone())) {
            Ok(_) => {
                self.unsettled_is_told = false;
                let say = Announcement::checked(self.sprayer(), change_found(&found));
                if record.mix.is_none() {
                    let sprayer = record.sprayer.clone();
                    self.known(&sprayer).check = Some(record);
                }
                self.speak(say)
            }
            Err(fault) => {
                self.not_settled(Unsettled::Check(time), "The check was not kept", &fault)
            }
        }
    }

    /// The dose of the chemical that was checked is corrected from now on.
    pub(super) fn take_correction(&mut self) -> Vec<Effect> {
        let offered = match self.check_found() {
            Some(CheckFound::Mix {
                offered: Some(factor),
                ..
            }) => factor,
            _ => return self.refuse("There is no correction to take."),
        };
        let Some((sprayer, Some(chemical))) = self
            .checking
            .as_ref()
            .map(|c| (c.sprayer.clone(), c.mix.clone()))
        else {
            return Vec::new();
        };
        let before = self.correction(&sprayer, &chemical);
        // Times one is no correction.
        let factor = Some(offered).filter(|factor| *factor != 1.0);
        let effects = self.correct(&sprayer, &chemical, factor);
        if self.correction(&sprayer, &chemical) == factor {
            self.checking = None;
            self.page = Page::Fill;
            let undo = Undo::Correction {
                sprayer,
                chemical,
                before,
            };
            self.notify(
                match factor {
                    Some(_) => "The dose is corrected for this mix",
                    None => "The correction is ended",
                },
                Some(undo),
            );
        }
        effects
    }

    /// Ends the correction of the chemical in use on the sprayer shown.
    pub(super) fn drop_correction(&mut self) -> Vec<Effect> {
        let (sprayer, chemical) = (self.sprayer().id.clone(), self.chemical().id.clone());
        let Some(before) = self.correction(&sprayer, &chemical) else {
            return self.refuse("This dose is not corrected.");
        };
        let effects = self.correct(&sprayer, &chemical, None);
        if self.correction(&sprayer, &chemical).is_none() {
            let undo = Undo::Correction {
                sprayer,
                chemical,
                before: Some(before),
            };
            self.notify("The correction is ended", Some(undo));
        }
        effects
    }

    /// What was corrected cannot be taken back any more: it belonged to what is no longer so.
    pub(super) fn forget_corrections(&mut self) {
        self.notices
            .retain(|n| !matches!(n.undo, Some(Undo::Correction { .. })));
    }

    /// Sets or ends a correction, on disk first.
    pub(super) fn correct(
        &mut self,
        sprayer: &str,
        chemical: &str,
        factor: Option<f64>,
    ) -> Vec<Effect> {
        let happening = Happening::Corrected {
            sprayer: sprayer.into(),
            chemical: chemical.into(),
            factor,
        };
        match self.keep(happening) {
            Ok(_) => {
                let corrections = &mut self.known(sprayer).corrections;
                match factor {
                    Some(factor) => corrections.insert(chemical.into(), factor),
                    None => corrections.remove(chemical),
                };
                Vec::new()
            }
            Err(fault) => self.not_kept("The correction was not kept", &fault),
        }
    }

    /// The dose that the offered correction would come to; `None` where nothing is offered, or it
    /// would be out of reach.
    pub fn corrected_dose(&self) -> Option<Pour> {
        let CheckFound::Mix {
            offered: Some(factor),
            ..
        } = self.check_found()?
        else {
            return None;
        };
        self.dose_of_mix(Some(factor))
    }
}

/// What a check comes to in one word: with a mix, whether the dose should be another.
fn change_found(found: &CheckFound) -> Verdict {
    match found {
        CheckFound::Water(check) => check.verdict,
        CheckFound::Mix {
            offered: Some(_), ..
        } => Verdict::Watch,
        CheckFound::Mix { offered: None, .. }
        | CheckFound::Nothing(_)
        | CheckFound::Unlikely { .. } => Verdict::Fine,
    }
}
