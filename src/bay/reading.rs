//! What the screens, the card and the voice read of the bay.

use super::action::{Notice, Page};
use super::at_work::Bay;
use super::calibrating::Calibrating;
use super::checking::CheckStage;
use super::records::{CalibrationRecord, Milestone, SprayerPast};
use super::setup::{Setup, Voice};
use super::stopwatch::Watch;
use crate::trade::calibration::{Calibration, Doubt, Way};
use crate::trade::chemical::Chemical;
use crate::trade::fill_plan::{self, Part, Plan};
use crate::trade::measure::{Measure, reader};
use crate::trade::reminder::{Age, PutOff, Standing};
use crate::trade::sprayer::Sprayer;
use crate::trade::units::{LineUnit, Volume};
use std::time::Duration;

impl Bay {
    /// The set-up.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }
    /// The screen shown.
    pub fn page(&self) -> Page {
        self.page
    }
    /// The part of the container to make up.
    pub fn part(&self) -> Part {
        self.part
    }
    /// The unit that this bay reads such a volume in: that of the measure that takes it.
    pub fn unit_for(&self, volume: Volume) -> LineUnit {
        reader(volume, &self.setup.measures).map_or(LineUnit::Metric, Measure::unit)
    }
    /// A volume that belongs to no pour, in the unit that this bay reads it in.
    pub fn shown(&self, volume: Volume) -> String {
        self.unit_for(volume).shown(volume)
    }
    /// What is in a container in all, in the unit that this bay reads it in. Kept in whole millilitres
    /// it is no round number of ounces, and nobody reads it finer than water.
    pub fn level_shown(&self, volume: Volume) -> String {
        match self.unit_for(volume) {
            LineUnit::Metric => volume.shown(),
            unit => unit.shown(unit.water(volume)),
        }
    }
    /// The notice shown, if any: the newest. Older ones that can still be taken back come after it.
    pub fn notice(&self) -> Option<&Notice> {
        self.notices.last()
    }
    /// Whole seconds left to take back what the notice names.
    pub fn undo_seconds(&self) -> Option<u64> {
        let notice = self.notice().filter(|n| n.undo.is_some())?;
        Some(
            notice
                .until
                .saturating_sub(self.now.monotonic)
                .as_secs_f64()
                .ceil() as u64,
        )
    }
    /// The calibration in hand.
    pub fn calibrating(&self) -> Option<&Calibrating> {
        self.calibrating.as_ref()
    }
    /// The stopwatch now.
    pub fn watch(&self) -> Watch {
        let now = self.now.monotonic;
        match (&self.checking, &self.calibrating) {
            (Some(checking), _) if checking.stage == CheckStage::Running => checking.watch.at(now),
            (_, Some(calibrating)) => calibrating.watch(now),
            _ => Watch::Still,
        }
    }
    /// What is left of the chosen time of a timed run, while it runs.
    pub fn time_left(&self) -> Option<Duration> {
        let calibrating = self
            .calibrating
            .as_ref()
            .filter(|c| c.draft.way == Way::Timed)?;
        match calibrating.watch(self.now.monotonic) {
            Watch::Running(ran) => Some(calibrating.draft.set_time?.saturating_sub(ran)),
            _ => None,
        }
    }
    /// True while the void figure may be used, for one fill.
    pub fn void_allowed(&self) -> bool {
        self.void_allowed.is_some()
    }

    /// The sprayer shown.
    pub fn sprayer(&self) -> &Sprayer {
        // `sprayer` only ever holds an id of the set-up, which has at least one sprayer.
        self.setup
            .sprayer(&self.sprayer)
            .unwrap_or(&self.setup.sprayers[0])
    }
    /// The chemical in use for the sprayer shown: an operator's choice of today where allowed, else the
    /// day's, with the strength in force as its target.
    pub fn chemical(&self) -> &Chemical {
        self.chemical_for(&self.sprayer().id)
    }
    /// What the records know of a sprayer.
    pub fn past(&self, sprayer: &str) -> SprayerPast {
        SprayerPast {
            // Followed in its own place, for all that is taken back.
            in_it: self.is_in(sprayer),
            run_out: self.is_run_out(sprayer),
            ..self.sprayers.get(sprayer).cloned().unwrap_or_default()
        }
    }
    /// The newest calibration of a sprayer, void or not.
    pub fn calibration(&self, sprayer: &str) -> Option<&Calibration> {
        Some(
            &self
                .sprayers
                .get(sprayer)?
                .calibration
                .as_ref()?
                .calibration,
        )
    }
    /// How old a sprayer's calibration is; days only while the clock can be believed.
    pub fn age(&self, sprayer: &str) -> Option<Age> {
        let past = self.sprayers.get(sprayer)?;
        let taken = past.calibration.as_ref()?.taken;
        // Of one that was kept while the clock stood in the future no more is known than that it was
        // before the clock was put right.
        let taken = match self.clock_right {
            Some(right) if taken > self.now.wall => right,
            _ => taken,
        };
        let days = self
            .clock_is_plausible()
            .then(|| (self.now.wall - taken).num_days())
            .and_then(|days| u32::try_from(days).ok());
        Some(Age {
            washes: past.washes_since,
            days,
        })
    }
    /// How a sprayer's calibration stands.
    pub fn standing(&self, sprayer: &Sprayer) -> Standing {
        if sprayer.kind.is_direct() {
            return Standing::Good;
        }
        let void = self.sprayers.get(&sprayer.id).and_then(|p| p.void);
        match Standing::of(self.age(&sprayer.id), void, &self.setup.limits) {
            // The stopwatch knows better than the count of washes.
            Standing::Good if self.check_asks(&sprayer.id) => Standing::Due,
            standing => standing,
        }
    }
    /// True when the reminder of a sprayer asks to be heard: due or overdue and not put off.
    pub fn nags(&self, sprayer: &Sprayer) -> bool {
        let quiet = self
            .age(&sprayer.id)
            .zip(self.sprayers.get(&sprayer.id))
            .is_some_and(|(age, past)| past.put_off.quiet(age));
        self.standing(sprayer).nags() && !quiet
    }
    /// What putting off the reminder now would come to; `None` where it may not be.
    pub fn may_put_off(&self) -> Option<PutOff> {
        let sprayer = self.sprayer();
        let past = self.sprayers.get(&sprayer.id)?;
        let age = self.age(&sprayer.id)?;
        self.nags(sprayer)
            .then(|| past.put_off.again(age, &self.setup.limits))
            .flatten()
    }
    /// The fill by the newest calibration of a sprayer, void or not; see [`Bay::offer_for`] for what
    /// may be poured.
    pub fn plan_for(&self, sprayer: &Sprayer, chemical: &Chemical, part: Part) -> Plan {
        let correction = self.correction(&sprayer.id, &chemical.id);
        self.plan_with(sprayer, chemical, part, correction)
    }
    /// The same as if its dose were corrected so.
    pub(super) fn plan_with(
        &self,
        sprayer: &Sprayer,
        chemical: &Chemical,
        part: Part,
        correction: Option<f64>,
    ) -> Plan {
        // What stands in the file before it is answered is no figure.
        if self.is_being_set_up() {
            return Plan::Uncalibrated;
        }
        let calibration = self.calibration(&sprayer.id);
        let measures = &self.setup.measures;
        fill_plan::plan_corrected(sprayer, calibration, correction, chemical, part, measures)
    }
    /// What is odd about the calibration in hand.
    pub fn doubts(&self) -> Vec<Doubt> {
        let Some(result) = self.calibrating.as_ref().and_then(Calibrating::result) else {
            return Vec::new();
        };
        let Some(sprayer) = self.draft_sprayer() else {
            return Vec::new();
        };
        let before = self
            .calibration_before()
            .and_then(Calibration::draw_fraction);
        result.doubts(sprayer.holds, before)
    }
    /// The calibration before the one in hand, where it still applies: after a change it may well draw
    /// another part.
    pub(super) fn calibration_before(&self) -> Option<&Calibration> {
        let sprayer = self.draft_sprayer()?;
        let applies = !matches!(self.standing(sprayer), Standing::Void(_));
        self.calibration(&sprayer.id).filter(|_| applies)
    }
    /// What happened to the sprayer shown, as loaded when its trend was opened; oldest first.
    pub fn history(&self) -> &[Milestone] {
        &self.history
    }
    /// The calibrations of the trend, oldest first, with the washes that each lasted.
    pub fn trend(&self) -> impl DoubleEndedIterator<Item = (&CalibrationRecord, u32)> {
        self.history.iter().filter_map(|milestone| match milestone {
            Milestone::Calibrated { record, washes, .. } => Some((&**record, *washes)),
            Milestone::Changed { .. } | Milestone::BroughtBack { .. } => None,
        })
    }
    /// The place of the calibration picked on the trend.
    pub fn picked(&self) -> Option<usize> {
        self.picked
    }
    /// The draw fractions of all repeated runs of the bay, calibration by calibration.
    pub fn repeats(&self) -> &[Vec<f64>] {
        &self.repeats
    }
    /// The sprayer of the calibration in hand.
    pub fn draft_sprayer(&self) -> Option<&Sprayer> {
        self.setup
            .sprayer(&self.calibrating.as_ref()?.draft.sprayer)
    }
    /// False when the clock shows less than the newest record: it lost its time in a power cut.
    pub fn clock_is_plausible(&self) -> bool {
        self.newest_beyond_the_clock().is_none()
    }
    /// True for a moment after a notice went by itself: a finger on its way to it must not press what
    /// lay under it.
    pub fn guards_a_notice(&self) -> bool {
        self.now.monotonic < self.guard_until
    }
    /// Which page is shown, with its stage or step: where it is another one, other things are under the
    /// finger. What is typed or counted on a page changes nothing of it.
    pub fn leaf(&self) -> String {
        let stage = match self.page {
            Page::Fill => format!(
                "{} {:?}",
                self.sprayer,
                std::mem::discriminant(&self.offer())
            ),
            Page::Calibrate => {
                let step = self.calibrating.as_ref();
                format!("{:?}", step.map(|c| (c.step(), c.shows_runs)))
            }
            Page::Check => format!("{:?}", self.checking.as_ref().map(|c| c.stage)),
            Page::Pin => format!("{:?}", self.pin_stage()),
            Page::Day => format!("{:?}", self.day_stage()),
            Page::Edit | Page::Changes | Page::FirstRun => {
                let scene = self.edit_scene();
                format!("{:?} {} {}", scene.shape, scene.page, scene.title)
            }
            Page::Mix => format!("{:?} {}", self.mixing.stage, self.mixing.vehicles.types()),
            Page::Stock => format!(
                "{:?} {}",
                self.stock_chemical().map(|chemical| &chemical.id),
                self.stock_entry().is_some()
            ),
            Page::Reports => format!("{:?}", self.report_choosing()),
            Page::TakeAway => format!("{:?}", self.taking().stage),
            Page::Doctor => format!("{:?}", self.findings().1),
            _ => String::new(),
        };
        format!("{:?} {stage} {:?}", self.page, self.light())
    }
    /// True where the bay makes no sound by its set-up.
    pub fn is_silent(&self) -> bool {
        self.setup.voice == Voice::Off
    }
}
