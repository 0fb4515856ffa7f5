//! The bay at work: its state, and what each action does to it.

use super::action::{Action, Effect, Notice, PadKey, Page, TextKey, UNDO_TIME, Undo};
use super::calibrating::Calibrating;
use super::checking::{CheckStage, Checking};
use super::day::Day;
use super::editing::Editing;
use super::glass::Glass;
use super::held_up::Waiting;
use super::lead::Lead;
use super::mixing::Mixing;
use super::panel::PanelSide;
use super::ports::{LeadLock, OnlyToLookAt, SetupKeeper, Tone};
use super::records::{
    Broken, Entry, Happening, Milestone, Placed, Records, RecordsFault, Scope, SprayerPast, Step,
};
use super::reporting::Reporting;
use super::setup::Setup;
use super::sounding::Hearing;
use super::stock::Stock;
use super::stopwatch::{Watch, WatchSound};
use super::tools::Tools;
use super::updating::Updating;
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::calibration::Way;
use crate::trade::fill_plan::Part;
use crate::trade::text::Text;
use chrono::{DateTime, FixedOffset};
use std::collections::BTreeMap;
use std::time::Duration;

/// As long as a press may last.
const PRESS_TIME: Duration = Duration::from_millis(2500);
/// How long the place of a notice is guarded after it went by itself.
const GUARD: Duration = Duration::from_millis(700);
/// How long a press that came too soon is answered.
const ONE_MOMENT: Duration = Duration::from_millis(1500);
/// Mere words that cover something that can be taken back give way to it after this time.
const WORDS_TIME: Duration = Duration::from_secs(4);
/// What is said is shown as long as it sounds, and no shorter than this.
const LEAST_CAPTION: Duration = Duration::from_secs(7);
/// A screen that nobody touched for so long gives way to home.
pub(super) const LEFT_OPEN: Duration = Duration::from_secs(60);

/// Pouring off, measuring and adding to what is in a container takes longer.
const MIXING_LEFT_OPEN: Duration = Duration::from_secs(10 * 60);

/// So long eyes are rinsed, and more (15 min, WAC 296-800-15030).
const EMERGENCY_LEFT_OPEN: Duration = Duration::from_secs(20 * 60);

/// The time at which an action happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    /// Since some fixed moment; never goes back. All durations are measured with it.
    pub monotonic: Duration,
    /// Date and time of day, which may be wrong after a power cut.
    pub wall: DateTime<FixedOffset>,
}

/// What is to be kept as soon as the tones have gone out: a stopwatch is not held up by a disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unsettled {
    /// The calibration in hand.
    Draft,
    /// The time of a check.
    Check(Duration),
}

/// The bay at work.
pub struct Bay {
    pub(super) setup: Setup,
    pub(super) records: Box<dyn Records>,
    pub(super) sprayers: BTreeMap<String, SprayerPast>,
    pub(super) newest: Option<DateTime<FixedOffset>>,
    /// When the clock was put right last.
    pub(super) clock_right: Option<DateTime<FixedOffset>>,
    /// What in the records is not as it was kept.
    pub(super) broken: Vec<Broken>,
    pub(super) sprayer: String,
    /// What operators chose beside the day's chemical, by id.
    pub(super) chosen_chemicals: BTreeMap<Scope, Placed<String>>,
    pub(super) part: Part,
    pub(super) page: Page,
    /// The page that help was asked for on.
    pub(super) help_from: Page,
    pub(super) calibrating: Option<Calibrating>,
    pub(super) checking: Option<Checking>,
    /// Oldest first; the last one is shown.
    pub(super) notices: Vec<Notice>,
    /// Until when the void figure of the sprayer shown may be used, for one fill.
    pub(super) void_allowed: Option<Duration>,
    /// The Enter key was pressed on the review: from when until when a second one saves.
    pub(super) save_by_key: Option<(Duration, Duration)>,
    pub(super) hearing: Hearing,
    /// The draw fractions of repeated runs, calibration by calibration.
    pub(super) repeats: Vec<Vec<f64>>,
    /// What happened to the sprayer whose trend is shown.
    pub(super) history: Vec<Milestone>,
    /// The place of the calibration picked on it.
    pub(super) picked: Option<usize>,
    pub(super) unsettled: Option<Unsettled>,
    /// It was said that what is unsettled waits for the records.
    pub(super) unsettled_is_told: bool,
    /// A wash or a fill that waits for the records.
    pub(super) waiting: Option<Waiting>,
    /// Until when what is done just now is tried again, where it waited already.
    pub(super) tried_again_until: Option<Duration>,
    pub(super) keeper: Box<dyn SetupKeeper>,
    pub(super) lock: Box<dyn LeadLock>,
    pub(super) lead: Lead,
    pub(super) day: Day,
    pub(super) editing: Editing,
    pub(super) mixing: Mixing,
    pub(super) stock: Stock,
    pub(super) reporting: Reporting,
    /// The number of what was kept last.
    pub(super) kept: Entry,
    pub(super) updating: Updating,
    pub(super) glass: Glass,
    pub(super) panel: PanelSide,
    /// Presses on the place of a notice are kept away until then.
    pub(super) guard_until: Duration,
    /// When somebody last did something.
    pub(super) last_input: Duration,
    pub(super) now: Now,
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
        let kept = records.last()?;
        let day = Day::new(&past);
        let sprayer = past
            .last_sprayer
            .filter(|id| setup.sprayer(id).is_some())
            .or_else(|| setup.sprayers.first().map(|s| s.id.clone()))
            .ok_or_else(|| RecordsFault::new("The set-up has no sprayer."))?;
        let calibrating = past.draft.and_then(|draft| {
            let kind = setup.sprayer(&draft.sprayer)?.kind;
            Some(Calibrating::resume(draft, kind, Tools::from(&setup)))
        });
        let mut sprayers = past.sprayers;
        for s in &setup.sprayers {
            let known = sprayers.entry(s.id.clone()).or_default();
            super::reminding::void_where_the_setup_differs(known, s);
        }
        let hearing = Hearing::new(
            past.volume_percent.unwrap_or(setup.volume_percent),
            past.language.unwrap_or(setup.language),
            past.loudspeaker,
        );
        let mut bay = Self {
            setup,
            records,
            sprayers,
            newest: past.newest,
            clock_right: past.clock_right,
            broken: past.broken,
            sprayer,
            chosen_chemicals: past.chosen_chemicals,
            part: Part::Full,
            page: Page::Fill,
            help_from: Page::Fill,
            calibrating,
            checking: None,
            notices: Vec::new(),
            void_allowed: None,
            save_by_key: None,
            hearing,
            repeats: past.repeats,
            history: Vec::new(),
            picked: None,
            unsettled: None,
            unsettled_is_told: false,
            waiting: None,
            tried_again_until: None,
            keeper: Box::new(OnlyToLookAt),
            lock: Box::new(OnlyToLookAt),
            lead: Lead::after(past.wrong_pins, now.monotonic),
            day,
            editing: Editing::default(),
            mixing: Mixing::default(),
            stock: Stock::default(),
            reporting: Reporting::default(),
            kept,
            updating: Updating::default(),
            glass: Glass::new(now.monotonic),
            panel: PanelSide::default(),
            guard_until: Duration::ZERO,
            last_input: now.monotonic,
            now,
        };
        bay.day_seen();
        bay.keep_to_the_first_run();
        bay.tell_of_the_clock();
        bay.tell_what_is_broken();
        Ok(bay)
    }

    /// The set-up can be changed at the screen, and the shift lead's side opened.
    pub fn with_lead(mut self, keeper: Box<dyn SetupKeeper>, lock: Box<dyn LeadLock>) -> Self {
        self.keeper = keeper;
        self.lock = lock;
        self.see_whether_a_pin_is_set();
        self
    }

    // ---- What is done ----------------------------------------------------------------------

    /// Does one action at `now`.
    pub fn act(&mut self, action: Action, now: Now) -> Vec<Effect> {
        self.now = now;
        self.glass_looks();
        if self.only_wakes(&action) {
            return self.wake();
        }
        let notices = self.notices.len();
        let wiped = self.is_wiped();
        self.notices.retain(|n| wiped || now.monotonic < n.until);
        if self.notices.len() < notices {
            self.guard_until = now.monotonic + GUARD;
        }
        if !action.comes_by_itself() {
            self.last_input = now.monotonic;
        }
        if self
            .void_allowed
            .is_some_and(|until| now.monotonic >= until)
        {
            self.void_allowed = None;
        }
        if !action.comes_by_itself() && !matches!(action, Action::Main | Action::Touched) {
            self.save_by_key = None;
        }
        let timed = self.watch() != Watch::Still;
        // What was left undone by whoever did not settle is done first.
        let mut effects = self.settle();
        // A touch goes before each press: the press itself must find that the chemical changed.
        let news = match action {
            Action::Touched => Vec::new(),
            _ => self.see_another_chemical(),
        };
        let changed = !news.is_empty();
        effects.extend(news);
        // What was meant for the chemical before must not be done for this one.
        let meant = matches!(
            action,
            Action::Filled | Action::WashDone | Action::SayFill | Action::Mix(_)
        ) || action == Action::Main && self.page == Page::Mix;
        let touched = action == Action::Touched;
        let tried = self.try_what_waits(&action, changed);
        effects.extend(tried.effects);
        if (!changed || !meant) && !tried.is_same {
            effects.extend(self.dispatch(action));
        }
        effects.extend(self.tell_given_up(tried.given_up));
        if !touched {
            self.day_seen();
        }
        if timed && self.watch() == Watch::Still {
            self.run_ended();
        }
        self.keep_to_the_first_run();
        self.wiping_is_over();
        self.glass_hears(&effects);
        effects
    }

    /// Keeps what the last action left to be kept, so that its tones went out first. To be called
    /// before anything of it is shown.
    pub fn settle(&mut self) -> Vec<Effect> {
        match self.unsettled.take() {
            None => Vec::new(),
            Some(Unsettled::Draft) => self.keep_draft(),
            Some(Unsettled::Check(time)) => self.keep_check(time),
        }
    }

    /// What was to be kept now, and could not be: where the records are only in use it stays to be kept,
    /// and that is said once.
    pub(super) fn not_settled(
        &mut self,
        unsettled: Unsettled,
        what: &'static str,
        fault: &RecordsFault,
    ) -> Vec<Effect> {
        if !self.records.is_locked() {
            return self.not_kept(what, fault);
        }
        self.unsettled = Some(unsettled);
        match std::mem::replace(&mut self.unsettled_is_told, true) {
            true => Vec::new(),
            false => self.not_kept(what, fault),
        }
    }

    fn dispatch(&mut self, action: Action) -> Vec<Effect> {
        if self.waits_for_the_first_run(&action) {
            return self.refuse("First answer what is asked here: then the bay can be used.");
        }
        if let Some(instead) = self.lead_gate(&action) {
            return instead;
        }
        match action {
            Action::Tick => self.tick(),
            // Done before all else, in the place of whatever it was.
            Action::Wake => Vec::new(),
            Action::Show(page) => self.show(page),
            Action::Back => self.back(),
            Action::SayFill => self.say_fill(),
            Action::ChooseSprayer(id) => self.choose_sprayer(&id),
            Action::ChooseSprayerFor(id) => self.choose_sprayer_for(&id),
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
                self.notices.pop();
                Vec::new()
            }
            Action::TooSoon => self.too_soon(),
            Action::Touched => {
                self.wait_for_the_hand();
                vec![Effect::Hush]
            }
            Action::SayAgain => self.say_again(false),
            Action::SaySlower => self.say_again(true),
            Action::TestSound => self.test_sound(),
            Action::Louder => self.change_volume(true),
            Action::Softer => self.change_volume(false),
            Action::ChooseLanguage(language) => self.choose_language(language),
            Action::ChooseLoudspeaker(name) => self.choose_loudspeaker(name),
            Action::UseVoidOnce => self.use_void_once(),
            Action::PutOff => self.put_off(),
            Action::Changed(what) => self.changed(what),
            Action::Calibrate => self.calibrate(),
            Action::CalibrateBy(way) => self.calibrate_by(way),
            Action::NextStep => self.next_step(),
            Action::PreviousStep => self.previous_step(),
            Action::HoldsAsBefore => self.holds_as_before(),
            Action::NothingLeft => self.nothing_left(),
            Action::TakeTime(time) => self.take_time(time),
            Action::Pad(key) => self.pad_key(key),
            Action::SwitchUnit => self.switch_unit(),
            Action::AddLoad(id) => self.add_load(&id),
            Action::AddTyped => self.add_typed(),
            Action::UndoLoad => self.undo_load(),
            Action::BeginCheck { with_mix } => self.begin_check(with_mix),
            Action::CheckAgain => self.check_again(),
            Action::TakeCorrection => self.take_correction(),
            Action::DropCorrection => self.drop_correction(),
            Action::StartStop { ago } => self.start_stop(ago),
            Action::SaveCalibration => self.save_calibration(),
            Action::RunAgain => self.run_again(),
            Action::AnotherRun => self.another_run(),
            Action::DropRun(place) => self.drop_run(place),
            Action::ShowRuns(show) => self.show_runs(show),
            Action::BringBack => self.bring_back(),
            Action::PickPoint(place) => {
                self.picked = (place < self.trend().count()).then_some(place);
                Vec::new()
            }
            Action::ThrowAway => self.throw_away(),
            Action::Type(key) => self.type_key(key),
            Action::Lead(action) => self.lead_act(action),
            Action::Day(action) => self.day_act(action),
            Action::Edit(action) => self.editing_act(action),
            Action::Mix(action) => self.mixing_act(action),
            Action::Stock(action) => self.stock_act(action),
            Action::Report(action) => self.reporting_act(action),
            Action::Update(action) => self.updating_act(action),
            Action::Panel(action) => self.panel_act(action),
            Action::Main => self.main(),
        }
    }

    pub(super) fn tick(&mut self) -> Vec<Effect> {
        let now = self.now.monotonic;
        // The fill must be there to be read, whoever left what open. A calibration takes its time.
        let left_open = match self.page {
            Page::Mix => MIXING_LEFT_OPEN,
            Page::Emergency => EMERGENCY_LEFT_OPEN,
            _ => LEFT_OPEN,
        };
        let left = now.saturating_sub(self.last_input) >= left_open;
        let at_work = match self.page {
            Page::Check => self
                .checking
                .as_ref()
                .is_some_and(|c| matches!(c.stage, CheckStage::Ready | CheckStage::Running)),
            page => matches!(page, Page::Fill | Page::Calibrate),
        };
        if left && !at_work {
            self.page = self.after_left_open();
        }
        let sound = match (&mut self.checking, &mut self.calibrating) {
            (Some(checking), _) if checking.stage == CheckStage::Running => {
                checking.watch.sound(now)
            }
            (_, Some(calibrating)) => calibrating.sound(now),
            _ => None,
        };
        let mut effects = match sound {
            // A word comes behind its tone, never over one.
            Some(WatchSound::Second(left)) => vec![
                Effect::Tone(Tone::Countdown),
                Effect::Say(Announcement::countdown(left)),
            ],
            Some(WatchSound::Go) => {
                vec![Effect::Tone(Tone::Go), Effect::Say(Announcement::start())]
            }
            // Its tone comes with stopping it.
            Some(WatchSound::TimeUp) | None => Vec::new(),
        };
        effects.extend(self.lead_tick());
        effects.extend(self.stock_tick());
        effects.extend(self.reporting_tick());
        effects.extend(self.updating_tick());
        effects.extend(self.panel_tick());
        if self.calibrating.as_ref().is_some_and(|c| c.is_over(now)) {
            effects.extend(self.stop_run(now));
        }
        effects.extend(self.glass_tick());
        effects
    }

    pub(super) fn show(&mut self, page: Page) -> Vec<Effect> {
        // The stopwatch runs with both hands busy: nothing else is shown meanwhile.
        if self.watch() != Watch::Still {
            return Vec::new();
        }
        if self.needs_lead(page) {
            return self.ask_for_pin(page);
        }
        match page {
            Page::Calibrate => return self.calibrate(),
            Page::Help => return self.open_help(),
            Page::Pin | Page::Lead => return self.lead_open(page),
            Page::Day | Page::Rinse => return self.day_open(page),
            Page::Edit | Page::Changes | Page::FirstRun => return self.editing_open(page),
            Page::Mix => return self.mixing_open(page),
            Page::Stock => return self.stock_open(page),
            Page::Reports | Page::TakeAway => return self.reporting_open(page),
            Page::Update => self.updating_open(),
            Page::Doctor | Page::SetClock => return self.panel_open(page),
            Page::Check => return self.open_check(),
            Page::Wipe => return self.glass_open(),
            Page::Ways => {
                if self.sprayer().kind.is_direct() {
                    return self.refuse_direct();
                }
                // An unfinished one is gone on with: its way was chosen.
                if self.calibrating.is_some() {
                    return self.calibrate();
                }
            }
            _ => {}
        }
        if page == Page::Trend {
            let sprayer = self.sprayer.clone();
            match self.records.history(&sprayer) {
                Ok(history) => {
                    self.history = history;
                    self.picked = self.trend().count().checked_sub(1);
                }
                Err(fault) => return self.refuse(fault.at_the_wall()),
            }
        }
        if page == Page::Chemicals && !self.setup.operators_may_change_chemical {
            return self.refuse_chemical();
        }
        self.turn_to(page);
        Vec::new()
    }

    /// Shows a page of which nothing has to be got ready.
    pub(super) fn turn_to(&mut self, page: Page) {
        // The part of the fill is chosen on a page of its own.
        if !matches!(page, Page::Fill | Page::Parts) {
            self.void_allowed = None;
        }
        self.drop_words();
        if page != self.page {
            // On another page nothing was there; pages that turn have a guard of their own.
            self.guard_until = Duration::ZERO;
        }
        self.page = page;
    }

    /// A key of the number pad, for whatever is shown.
    fn pad_key(&mut self, key: PadKey) -> Vec<Effect> {
        match self.page {
            Page::Pin | Page::Lead => self.lead_pad(key),
            Page::Day | Page::Rinse => self.day_pad(key),
            Page::Edit | Page::Changes | Page::FirstRun => self.editing_pad(key),
            Page::Mix => self.mixing_pad(key),
            Page::Stock => self.stock_pad(key),
            Page::Reports | Page::TakeAway => vec![Effect::Tone(Tone::Refused)],
            Page::Doctor | Page::SetClock => self.panel_pad(),
            _ => self.pad(key),
        }
    }

    /// A key of the letters: names are typed where the set-up is changed, and nowhere else.
    fn type_key(&mut self, key: TextKey) -> Vec<Effect> {
        match self.page {
            Page::Edit | Page::Changes | Page::FirstRun => self.editing_type(key),
            _ => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// Does an action that another one comes to.
    pub(super) fn act_again(&mut self, action: Action) -> Vec<Effect> {
        self.dispatch(action)
    }

    pub(super) fn back(&mut self) -> Vec<Effect> {
        let up = match self.page {
            Page::Check => return self.leave_check(),
            Page::Help => return self.leave_help(),
            Page::Changed | Page::Sure | Page::Ways => Page::Care,
            Page::Trend => Page::Sure,
            Page::Loudspeakers => Page::Sound,
            Page::Pin | Page::Lead => return self.lead_back(),
            Page::Clock | Page::Panel => Page::Lead,
            Page::Update => Page::Panel,
            Page::Day | Page::Rinse => return self.day_back(),
            Page::Edit | Page::Changes | Page::FirstRun => return self.editing_back(),
            Page::Mix => return self.mixing_back(),
            Page::Stock => return self.stock_back(),
            Page::Reports | Page::TakeAway => return self.reporting_back(),
            Page::Doctor | Page::SetClock => return self.panel_back(),
            _ => Page::Fill,
        };
        self.show(up)
    }

    fn main(&mut self) -> Vec<Effect> {
        match self.page {
            Page::Pin | Page::Lead => return self.lead_main(),
            Page::Day | Page::Rinse => return self.day_main(),
            Page::Edit | Page::Changes | Page::FirstRun => return self.editing_main(),
            Page::Mix => return self.mixing_main(),
            Page::Stock => return self.stock_main(),
            Page::Reports | Page::TakeAway => return self.reporting_main(),
            // A foot on the pedal does not end it under the cloth.
            Page::Wipe => return Vec::new(),
            _ => {}
        }
        match (self.page, self.calibrating.as_ref().map(Calibrating::step)) {
            (Page::Fill, _) => self.say_fill(),
            (Page::Calibrate, Some(Step::Ready | Step::Running)) => self.start_stop(Duration::ZERO),
            (Page::Calibrate, Some(Step::Review)) => self.save_by_key(),
            (Page::Calibrate, Some(_)) => self.next_step(),
            (Page::Check, _) => match self.checking.as_ref().map(|c| c.stage) {
                Some(CheckStage::Fluid) => self.begin_check(false),
                Some(CheckStage::Ready | CheckStage::Running) => {
                    self.start_stop_check(Duration::ZERO)
                }
                Some(CheckStage::Result) | None => self.leave_check(),
            },
            (Page::Care, _) => self.show(Page::Ways),
            (Page::Ways, _) => self.calibrate_by(Way::RunDry),
            _ => self.back(),
        }
    }

    // ---- Common ----------------------------------------------------------------------------

    pub(super) fn known(&mut self, sprayer: &str) -> &mut SprayerPast {
        self.sprayers.entry(sprayer.into()).or_default()
    }

    pub(super) fn keep(&mut self, happening: Happening) -> Result<Entry, RecordsFault> {
        let entry = self.records.keep(self.now.wall, &happening)?;
        // What was added to a mispoured fill has the number behind it.
        let and_added = matches!(&happening, Happening::Mispoured { added: Some(_), .. });
        self.kept = entry + Entry::from(and_added);
        self.stock.ledger.see(&happening);
        self.newest = Some(
            self.newest
                .map_or(self.now.wall, |newest| newest.max(self.now.wall)),
        );
        self.day_keeps(entry, &happening);
        Ok(entry)
    }

    pub(super) fn notify(&mut self, text: impl Into<Text>, undo: Option<Undo>) {
        self.put_up(text.into(), undo, false);
    }

    /// Says what is still to be done, or to be heeded.
    pub(super) fn advise(&mut self, text: impl Into<Text>) {
        self.put_up(text.into(), None, false);
        if let Some(notice) = self.notices.last_mut() {
            notice.is_advice = true;
        }
    }

    /// Says what is wrong without anybody having pressed anything.
    pub(super) fn put_up_words(&mut self, text: Text) {
        self.put_up(text, None, true);
    }

    /// Says why something is not done, or what went wrong.
    pub(super) fn refuse(&mut self, text: impl Into<Text>) -> Vec<Effect> {
        self.put_up(text.into(), None, true);
        vec![Effect::Tone(Tone::Refused)]
    }

    pub(super) fn refuse_chemical(&mut self) -> Vec<Effect> {
        self.refuse("The shift lead sets the chemical of this bay.")
    }

    pub(super) fn refuse_direct(&mut self) -> Vec<Effect> {
        self.refuse("What is in this sprayer is what comes out: nothing to calibrate.")
    }

    pub(super) fn not_kept(&mut self, what: impl Into<Text>, fault: &RecordsFault) -> Vec<Effect> {
        self.refuse(text!("{}. {}", what.into(), fault.at_the_wall()))
    }

    /// Takes down what only said something: what can be taken back stays.
    pub(super) fn drop_words(&mut self) {
        self.notices.retain(|n| n.undo.is_some());
    }

    /// A new notice covers the old ones; those that can be taken back come up again after it.
    pub(super) fn put_up(&mut self, text: Text, undo: Option<Undo>, is_fault: bool) {
        self.drop_words();
        let waiting = undo.is_none() && !self.notices.is_empty();
        let time = if waiting { WORDS_TIME } else { UNDO_TIME };
        let until = self.now.monotonic + time;
        self.notices.push(Notice {
            text,
            undo,
            until,
            is_fault,
            is_caption: false,
            is_advice: false,
            is_named: false,
        });
    }

    /// A finger is on the glass: what it can take back stays until it was lifted.
    fn wait_for_the_hand(&mut self) {
        let least = self.now.monotonic + PRESS_TIME;
        for notice in self.notices.iter_mut().filter(|n| n.undo.is_some()) {
            notice.until = notice.until.max(least);
        }
    }

    /// A press that came while the place of a notice was guarded does nothing, and is not passed over.
    fn too_soon(&mut self) -> Vec<Effect> {
        self.advise(text!("One moment"));
        if let Some(notice) = self.notices.last_mut() {
            notice.until = self.now.monotonic + ONE_MOMENT;
        }
        vec![Effect::Tone(Tone::Refused)]
    }

    /// Shows what is being said. It lies over nothing: what can be taken back stays in sight.
    pub(super) fn put_up_caption(&mut self, text: Text, lasts: Duration) {
        if self.notices.iter().any(|n| n.undo.is_some()) {
            return;
        }
        self.put_up(text, None, false);
        if let Some(notice) = self.notices.last_mut() {
            notice.is_caption = true;
            notice.until = self.now.monotonic + lasts.max(LEAST_CAPTION);
        }
    }
}
