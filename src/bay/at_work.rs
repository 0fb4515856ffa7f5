//! The bay at work: its state, and what each action does to it.

use super::action::{Action, Effect, Notice, PadKey, Page, UNDO_TIME, Undo};
use super::calibrating::{Calibrating, Stopped, Watch, WatchSound};
use super::ports::{SoundState, Tone};
use super::records::{
    CalibrationRecord, Entry, Fill, Happening, Records, RecordsFault, SprayerPast, Step,
};
use super::setup::{Setup, Voice};
use crate::trade::calibration::{Calibration, Doubt};
use crate::trade::chemical::Chemical;
use crate::trade::fill_plan::{self, FillPlan, Part, Plan};
use crate::trade::reminder::{Age, PutOff, Standing, VoidCause};
use crate::trade::sprayer::Sprayer;
use chrono::{DateTime, FixedOffset};
use std::collections::BTreeMap;
use std::time::Duration;

/// The time at which an action happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    /// Since some fixed moment; never goes back. All durations are measured with it.
    pub monotonic: Duration,
    /// Date and time of day, which may be wrong after a power cut.
    pub wall: DateTime<FixedOffset>,
}

/// The bay at work.
pub struct Bay {
    setup: Setup,
    records: Box<dyn Records>,
    sprayers: BTreeMap<String, SprayerPast>,
    newest: Option<DateTime<FixedOffset>>,
    sprayer: String,
    /// An operator's choice beside the day's chemical, and when it was made.
    chosen_chemical: Option<(String, DateTime<FixedOffset>)>,
    part: Part,
    page: Page,
    calibrating: Option<Calibrating>,
    notice: Option<Notice>,
    /// The void figure of the sprayer shown may be used for one fill.
    void_allowed: bool,
    sound: SoundState,
    now: Now,
}

impl Bay {
    /// Opens the bay where it stopped.
    ///
    /// # Errors
    /// The records cannot be read.
    pub fn open(
        setup: Setup,
        mut records: Box<dyn Records>,
        now: Now,
    ) -> Result<Self, RecordsFault> {
        let past = records.past()?;
        let sprayer = past
            .last_sprayer
            .filter(|id| setup.sprayer(id).is_some())
            .or_else(|| setup.sprayers.first().map(|s| s.id.clone()))
            .ok_or_else(|| RecordsFault {
                message: "The set-up has no sprayer.".into(),
            })?;
        let calibrating = past
            .draft
            .filter(|d| setup.sprayer(&d.sprayer).is_some())
            .map(Calibrating::resume);
        let mut sprayers = past.sprayers;
        for s in &setup.sprayers {
            let known = sprayers.entry(s.id.clone()).or_default();
            void_where_the_setup_differs(known, s);
        }
        Ok(Self {
            setup,
            records,
            sprayers,
            newest: past.newest,
            sprayer,
            chosen_chemical: past.chosen_chemical,
            part: Part::Full,
            page: Page::Fill,
            calibrating,
            notice: None,
            void_allowed: false,
            sound: SoundState::Opening,
            now,
        })
    }

    // ---- What the screens read -------------------------------------------------------------

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
    /// The notice shown, if any.
    pub fn notice(&self) -> Option<&Notice> {
        self.notice.as_ref()
    }
    /// Whole seconds left to take back what the notice names.
    pub fn undo_seconds(&self) -> Option<u64> {
        let notice = self.notice.as_ref().filter(|n| n.undo.is_some())?;
        Some(
            notice
                .until
                .saturating_sub(self.now.monotonic)
                .as_secs_f64()
                .ceil() as u64,
        )
    }
    /// What is known of the loudspeaker.
    pub fn sound(&self) -> SoundState {
        self.sound
    }
    /// The calibration in hand.
    pub fn calibrating(&self) -> Option<&Calibrating> {
        self.calibrating.as_ref()
    }
    /// The stopwatch now.
    pub fn watch(&self) -> Watch {
        self.calibrating
            .as_ref()
            .map_or(Watch::Still, |c| c.watch(self.now.monotonic))
    }
    /// True when the void figure may be used for the next fill.
    pub fn void_allowed(&self) -> bool {
        self.void_allowed
    }

    /// The sprayer shown.
    pub fn sprayer(&self) -> &Sprayer {
        // `sprayer` only ever holds an id of the set-up, which has at least one sprayer.
        self.setup
            .sprayer(&self.sprayer)
            .unwrap_or(&self.setup.sprayers[0])
    }
    /// The chemical in use: an operator's choice of today where allowed, else the day's.
    pub fn chemical(&self) -> &Chemical {
        self.chosen_today()
            .and_then(|id| self.setup.chemical(id))
            .or_else(|| self.setup.chemical(&self.setup.day_chemical))
            .unwrap_or(&self.setup.chemicals[0])
    }
    /// True when the chemical in use is not the day's.
    pub fn chemical_is_chosen(&self) -> bool {
        self.chemical().id != self.setup.day_chemical
    }
    /// What the records know of a sprayer.
    pub fn past(&self, sprayer: &str) -> SprayerPast {
        self.sprayers.get(sprayer).cloned().unwrap_or_default()
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
        Standing::of(self.age(&sprayer.id), void, &self.setup.limits)
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
    /// The fill for the sprayer, the chemical and the part shown.
    pub fn plan(&self) -> Plan {
        self.plan_for(self.sprayer(), self.chemical(), self.part)
    }
    /// The fill for any sprayer, chemical and part.
    pub fn plan_for(&self, sprayer: &Sprayer, chemical: &Chemical, part: Part) -> Plan {
        let calibration = self.calibration(&sprayer.id);
        fill_plan::plan(sprayer, calibration, chemical, part, &self.setup.measures)
    }
    /// Sprayers of this bay whose valid calibration reaches the chemical's strength.
    pub fn reached_by(&self, chemical: &Chemical) -> Vec<&Sprayer> {
        self.setup
            .sprayers
            .iter()
            .filter(|s| !matches!(self.standing(s), Standing::Void(_)))
            .filter(|s| matches!(self.plan_for(s, chemical, Part::Full), Plan::Fill(_)))
            .collect()
    }
    /// The fill that may be poured now: within reach, and of a calibration that applies, or of a
    /// void one that was allowed for once.
    pub fn usable_plan(&self) -> Option<FillPlan> {
        let void = matches!(self.standing(self.sprayer()), Standing::Void(_));
        match self.plan() {
            Plan::Fill(plan) if !void || self.void_allowed => Some(*plan),
            _ => None,
        }
    }
    /// What is odd about the calibration in hand.
    pub fn doubts(&self) -> Vec<Doubt> {
        let Some(result) = self.calibrating.as_ref().and_then(Calibrating::result) else {
            return Vec::new();
        };
        let holds = self.draft_sprayer().map_or(result.holds, |s| s.holds);
        result.doubts(holds)
    }
    /// The sprayer of the calibration in hand.
    pub fn draft_sprayer(&self) -> Option<&Sprayer> {
        self.setup
            .sprayer(&self.calibrating.as_ref()?.draft.sprayer)
    }
    /// False when the clock shows less than the newest record: it lost its time in a power cut.
    pub fn clock_is_plausible(&self) -> bool {
        self.newest.is_none_or(|newest| self.now.wall >= newest)
    }
    /// How soon the screen should be asked again by a tick.
    pub fn next_tick(&self) -> Duration {
        match self.watch() {
            Watch::Still => Duration::from_secs(1),
            Watch::Countdown(_) | Watch::Running(_) => Duration::from_millis(50),
        }
    }

    fn chosen_today(&self) -> Option<&str> {
        let (id, at) = self.chosen_chemical.as_ref()?;
        let today = at.date_naive() == self.now.wall.date_naive();
        (self.setup.operators_may_change_chemical && today).then_some(id.as_str())
    }

    // ---- What is done ----------------------------------------------------------------------

    /// Tells the bay what became of the loudspeaker.
    pub fn sound_is(&mut self, state: SoundState) {
        self.sound = state;
    }

    /// Does one action at `now`.
    pub fn act(&mut self, action: Action, now: Now) -> Vec<Effect> {
        self.now = now;
        if self
            .notice
            .as_ref()
            .is_some_and(|n| now.monotonic >= n.until)
        {
            self.notice = None;
        }
        match action {
            Action::Tick => self.tick(),
            Action::Show(page) => self.show(page),
            Action::Back => self.back(),
            Action::SayFill => self.say_fill(),
            Action::ChooseSprayer(id) => self.choose_sprayer(&id),
            Action::NextSprayer => self.next_sprayer(),
            Action::ChooseChemical(id) => self.choose_chemical(&id),
            Action::ChoosePart(part) => {
                self.part = part;
                self.show(Page::Fill)
            }
            Action::Filled => self.filled(),
            Action::WashDone => self.wash_done(),
            Action::Undo => self.undo(),
            Action::CloseNotice => {
                self.notice = None;
                Vec::new()
            }
            Action::UseVoidOnce => self.use_void_once(),
            Action::PutOff => self.put_off(),
            Action::Changed(what) => self.changed(what),
            Action::Calibrate => self.calibrate(),
            Action::NextStep => self.step(Calibrating::next),
            Action::PreviousStep => match self.step_back() {
                true => Vec::new(),
                false => self.back(),
            },
            Action::HoldsAsBefore => self.holds_as_before(),
            Action::Pad(key) => self.pad(key),
            Action::AddLoad(id) => self.add_load(&id),
            Action::AddTyped => self.step(|c| c.typed.volume().is_some() && c.take_typed()),
            Action::UndoLoad => self.step(Calibrating::undo_load),
            Action::StartStop { ago } => self.start_stop(ago),
            Action::SaveCalibration => self.save_calibration(),
            Action::RunAgain => self.step(|c| {
                c.run_again();
                true
            }),
            Action::ThrowAway => self.throw_away(),
            Action::Main => self.main(),
        }
    }

    fn tick(&mut self) -> Vec<Effect> {
        let now = self.now.monotonic;
        let Some(calibrating) = &mut self.calibrating else {
            return Vec::new();
        };
        match calibrating.sound(now) {
            Some(WatchSound::Second) => vec![Effect::Tone(Tone::Countdown)],
            Some(WatchSound::Go) => vec![Effect::Tone(Tone::Go)],
            None => Vec::new(),
        }
    }

    fn show(&mut self, page: Page) -> Vec<Effect> {
        // The stopwatch runs with both hands busy: nothing else is shown meanwhile.
        if self.watch() != Watch::Still {
            return Vec::new();
        }
        if page == Page::Calibrate {
            return self.calibrate();
        }
        if page == Page::Chemicals && !self.setup.operators_may_change_chemical {
            return self.refuse("The shift lead sets the chemical of this bay.");
        }
        self.page = page;
        Vec::new()
    }

    fn back(&mut self) -> Vec<Effect> {
        let up = match self.page {
            Page::Changed => Page::Care,
            _ => Page::Fill,
        };
        self.show(up)
    }

    fn main(&mut self) -> Vec<Effect> {
        match (self.page, self.calibrating.as_ref().map(Calibrating::step)) {
            (Page::Fill, _) => self.say_fill(),
            (Page::Calibrate, Some(Step::Ready | Step::Running)) => self.start_stop(Duration::ZERO),
            (Page::Calibrate, Some(Step::Review)) if self.doubts().is_empty() => {
                self.save_calibration()
            }
            (Page::Calibrate, Some(Step::Review)) => {
                self.refuse("These readings are questioned: look, then hold Save.")
            }
            (Page::Calibrate, Some(_)) => self.step(Calibrating::next),
            (Page::Care, _) => self.calibrate(),
            _ => self.back(),
        }
    }

    fn say_fill(&mut self) -> Vec<Effect> {
        vec![Effect::Say(self.spoken_fill())]
    }

    fn choose_sprayer(&mut self, id: &str) -> Vec<Effect> {
        if self.setup.sprayer(id).is_none() {
            return Vec::new();
        }
        if self.sprayer != id {
            self.sprayer = id.into();
            self.part = Part::Full;
            self.void_allowed = false;
            // Not worth stopping for: the choice is only remembered for the next start.
            let _ = self.keep(Happening::SprayerChosen(id.into()));
        }
        self.page = Page::Fill;
        vec![Effect::Hush]
    }

    fn next_sprayer(&mut self) -> Vec<Effect> {
        if self.page != Page::Fill {
            return Vec::new();
        }
        let ids: Vec<_> = self.setup.sprayers.iter().map(|s| s.id.clone()).collect();
        let at = ids.iter().position(|id| *id == self.sprayer).unwrap_or(0);
        self.choose_sprayer(&ids[(at + 1) % ids.len()])
    }

    fn choose_chemical(&mut self, id: &str) -> Vec<Effect> {
        if !self.setup.operators_may_change_chemical {
            return self.refuse("The shift lead sets the chemical of this bay.");
        }
        if self.setup.chemical(id).is_none() {
            return Vec::new();
        }
        if self.chemical().id != id {
            match self.keep(Happening::ChemicalChosen(id.into())) {
                Ok(_) => self.chosen_chemical = Some((id.into(), self.now.wall)),
                Err(fault) => return self.not_kept("The chemical was not changed", &fault),
            }
            self.void_allowed = false;
            self.notify(
                "Another chemical: rinse the sprayer first. Never mix chemicals.",
                None,
            );
        }
        self.page = Page::Fill;
        vec![Effect::Hush]
    }

    fn filled(&mut self) -> Vec<Effect> {
        let Some(plan) = self.usable_plan() else {
            return self.refuse("There is no figure to fill by.");
        };
        let fill = Fill {
            sprayer: self.sprayer.clone(),
            chemical: self.chemical().id.clone(),
            fill: plan.fill,
            poured: plan.pour.dose.product,
            water: plan.pour.dose.water,
            strength: plan.pour.strength,
            standing: self.standing(self.sprayer()).word().into(),
        };
        match self.keep(Happening::Fill(fill)) {
            Ok(entry) => {
                let said = self.spoken_filled();
                self.void_allowed = false;
                let text = format!(
                    "Fill logged: {} of {}",
                    plan.pour.dose.product.shown(),
                    self.chemical().name
                );
                self.notify(text, Some(Undo::Fill(entry)));
                vec![Effect::Say(said)]
            }
            Err(fault) => self.not_kept("The fill was not logged", &fault),
        }
    }

    fn wash_done(&mut self) -> Vec<Effect> {
        let sprayer = self.sprayer.clone();
        let happening = Happening::Wash {
            sprayer: sprayer.clone(),
            chemical: self.chemical().id.clone(),
        };
        let before = self.standing(self.sprayer());
        match self.keep(happening) {
            Ok(entry) => {
                self.known(&sprayer).washes_since += 1;
                let text = format!("Wash counted: {}", self.sprayer().name);
                self.notify(text, Some(Undo::Wash { entry, sprayer }));
                let after = self.standing(self.sprayer());
                // Only a change is worth words: every wash already clicks and shows.
                match after != before && after.nags() {
                    true => vec![Effect::Say(self.spoken_standing())],
                    false => Vec::new(),
                }
            }
            Err(fault) => self.not_kept("The wash was not counted", &fault),
        }
    }

    fn undo(&mut self) -> Vec<Effect> {
        let Some(undo) = self.notice.as_ref().and_then(|n| n.undo.clone()) else {
            return Vec::new();
        };
        let (happening, wash_of, done, failed) = match undo {
            Undo::Wash { entry, sprayer } => (
                Happening::WashUndone(entry),
                Some(sprayer),
                "Wash taken back",
                "The wash was not taken back",
            ),
            Undo::Fill(entry) => (
                Happening::FillUndone(entry),
                None,
                "Fill taken back",
                "The fill was not taken back",
            ),
        };
        match self.keep(happening) {
            Ok(_) => {
                if let Some(sprayer) = wash_of {
                    let known = self.known(&sprayer);
                    known.washes_since = known.washes_since.saturating_sub(1);
                }
                self.notify(done, None);
                vec![Effect::Hush]
            }
            Err(fault) => self.not_kept(failed, &fault),
        }
    }

    fn use_void_once(&mut self) -> Vec<Effect> {
        if matches!(self.standing(self.sprayer()), Standing::Void(_)) {
            self.void_allowed = true;
        }
        self.show(Page::Fill)
    }

    fn put_off(&mut self) -> Vec<Effect> {
        let Some(put_off) = self.may_put_off() else {
            return self.refuse("The reminder cannot be put off again: calibrate.");
        };
        let sprayer = self.sprayer.clone();
        match self.keep(Happening::PutOff {
            sprayer: sprayer.clone(),
            put_off,
        }) {
            Ok(_) => {
                self.known(&sprayer).put_off = put_off;
                self.page = Page::Fill;
                let text = match self.setup.limits.put_off_washes {
                    1 => "Put off for 1 wash".to_owned(),
                    n => format!("Put off for {n} washes"),
                };
                self.notify(text, None);
                vec![Effect::Say(self.spoken_put_off())]
            }
            Err(fault) => self.not_kept("The reminder was not put off", &fault),
        }
    }

    fn changed(&mut self, what: VoidCause) -> Vec<Effect> {
        let sprayer = self.sprayer.clone();
        if self.sprayer().kind.is_direct() {
            return self.refuse("What is in this sprayer is what comes out: nothing to calibrate.");
        }
        match self.keep(Happening::Changed {
            sprayer: sprayer.clone(),
            what,
        }) {
            Ok(_) => {
                self.known(&sprayer).void = Some(what);
                self.void_allowed = false;
                self.page = Page::Fill;
                vec![Effect::Say(self.spoken_standing())]
            }
            Err(fault) => self.not_kept("The change was not kept", &fault),
        }
    }

    // ---- Calibration -----------------------------------------------------------------------

    fn calibrate(&mut self) -> Vec<Effect> {
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
    fn step(&mut self, step: impl FnOnce(&mut Calibrating) -> bool) -> Vec<Effect> {
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

    fn step_back(&mut self) -> bool {
        let went = self.calibrating.as_mut().is_some_and(Calibrating::previous);
        if went {
            self.keep_draft();
        }
        went
    }

    fn keep_draft(&mut self) -> Vec<Effect> {
        let Some(draft) = self.calibrating.as_ref().map(|c| c.draft.clone()) else {
            return Vec::new();
        };
        match self.keep(Happening::Drafted(draft)) {
            Ok(_) => Vec::new(),
            Err(fault) => self.not_kept("This step would not survive a power cut", &fault),
        }
    }

    fn holds_as_before(&mut self) -> Vec<Effect> {
        let before = self.holds_before();
        self.step(|c| {
            c.draft.holds = before;
            c.typed.clear();
            c.next()
        })
    }

    /// What the container of the calibration in hand was known to hold.
    pub fn holds_before(&self) -> Option<crate::trade::units::Volume> {
        let sprayer = self.draft_sprayer()?;
        Some(fill_plan::holds(sprayer, self.calibration(&sprayer.id)))
    }

    fn pad(&mut self, key: PadKey) -> Vec<Effect> {
        let took =
            self.page == Page::Calibrate && self.calibrating.as_mut().is_some_and(|c| c.pad(key));
        match took {
            true => Vec::new(),
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    fn add_load(&mut self, id: &str) -> Vec<Effect> {
        let size = self
            .setup
            .measures
            .iter()
            .find(|m| m.id == id)
            .map(|m| m.size);
        self.step(|c| size.is_some_and(|size| c.add_load(size)))
    }

    fn start_stop(&mut self, ago: Duration) -> Vec<Effect> {
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

    fn save_calibration(&mut self) -> Vec<Effect> {
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

    fn throw_away(&mut self) -> Vec<Effect> {
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

    // ---- Common ----------------------------------------------------------------------------

    fn known(&mut self, sprayer: &str) -> &mut SprayerPast {
        self.sprayers.entry(sprayer.into()).or_default()
    }

    fn keep(&mut self, happening: Happening) -> Result<Entry, RecordsFault> {
        let entry = self.records.keep(self.now.wall, &happening)?;
        self.newest = Some(
            self.newest
                .map_or(self.now.wall, |newest| newest.max(self.now.wall)),
        );
        Ok(entry)
    }

    fn notify(&mut self, text: impl Into<String>, undo: Option<Undo>) {
        let until = self.now.monotonic + UNDO_TIME;
        self.notice = Some(Notice {
            text: text.into(),
            undo,
            until,
            is_fault: false,
        });
    }

    fn refuse(&mut self, text: impl Into<String>) -> Vec<Effect> {
        let until = self.now.monotonic + UNDO_TIME;
        self.notice = Some(Notice {
            text: text.into(),
            undo: None,
            until,
            is_fault: true,
        });
        vec![Effect::Tone(Tone::Refused)]
    }

    fn not_kept(&mut self, what: &str, fault: &RecordsFault) -> Vec<Effect> {
        self.refuse(format!("{what}. {fault}"))
    }

    /// True where the bay makes no sound by its set-up.
    pub fn is_silent(&self) -> bool {
        self.setup.voice == Voice::Off
    }
}

/// A calibration belongs to one nozzle and one washer: where the set-up now names others, somebody
/// changed them.
fn void_where_the_setup_differs(past: &mut SprayerPast, sprayer: &Sprayer) {
    if let (Some(record), None) = (&past.calibration, past.void) {
        if record.nozzle != sprayer.nozzle {
            past.void = Some(VoidCause::Nozzle);
        } else if record.washer != sprayer.washer {
            past.void = Some(VoidCause::Washer);
        }
    }
}
