//! The window: joins the generated screens with the bay.

use super::generated::{
    CalibrateView, CareView, CheckView, ChoiceView, DayView, EditingView, EmergencyView, FaultView,
    Feel, FillView, GlassView, HelpView, InsightView, LeadView, MenuView, MixingView, PadView,
    PageName, PanelView, ReportingView, SoundView, StockView, Theme, UpdateView, Wall, WallState,
    WaysView,
};
use super::glass::{Glass, Hand};
use super::tongue::{self, shown, tr};
use super::words::lines_of;
use super::{
    calibrate, care, check, choice, day, editing, emergency, fill, help, insight, keys, lead, menu,
    mixing, panel, reporting, rest, sound, stock, updating, ways,
};
use crate::bay::action::{Action, Notice, Page};
use crate::bay::at_work::Bay;
use crate::bay::glass::{Light, Touches};
use crate::bay::panel::{PanelAction, Standing};
use crate::bay::ports::Tone;
use crate::bay::runner::Runner;
use crate::bay::setup::Panel;
use crate::bay::stopwatch::Watch;
use crate::trade::language::Language;
use chrono::{DateTime, FixedOffset};
use slint::{ComponentHandle, SharedString, Timer, TimerMode};
use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};
use std::time::Duration;

/// Panels higher than this have room for larger figures, in mm.
const ROOMY_FROM_MM: f64 = 120.0;

/// A key pressed again within this time bounced.
const BOUNCE: Duration = Duration::from_millis(300);

/// A scanner types as fast as this, and a pedal bounces: what follows the key that woke the glass so soon
/// belongs to it.
const OF_THE_SAME_KEY: Duration = Duration::from_millis(400);

/// A bay that could not be opened anew is tried again after this time.
const OPEN_AGAIN: Duration = Duration::from_secs(60);

/// A bay that cannot be opened is tried again by itself after this time: a disk that is back, or a
/// set-up that was mended, waits for nobody's finger.
const TRY_AGAIN: Duration = Duration::from_secs(10);

/// What became of a press on the fault page is read before that.
const READ_FIRST: Duration = Duration::from_secs(60);

/// Where the hand is, is kept so long after something was done: a frame or two later.
const KEPT_AFTER: Duration = Duration::from_millis(100);

/// Why the bay cannot be opened, for the fault page.
#[derive(Debug, Clone, PartialEq)]
pub struct Faults {
    /// One line for all.
    pub title: String,
    /// Each with a short heading (where) and what is wrong and what would be right.
    pub faults: Vec<(String, String)>,
}

/// A backup that can be brought back.
#[derive(Debug, Clone, PartialEq)]
pub struct Restorable {
    /// The file.
    pub file: String,
    /// When it was made.
    pub made: DateTime<FixedOffset>,
    /// Washes in it.
    pub washes: u64,
    /// Calibrations in it.
    pub calibrations: u64,
}

/// The way back to a bay whose records are lost.
pub trait Rescue {
    /// The newest backup, where the records are lost and one was found.
    fn found(&self) -> Option<Restorable>;
    /// Brings the newest backup back; what is there is kept aside.
    ///
    /// # Errors
    /// Why it could not be, and what to do.
    fn restore(&self) -> Result<(), String>;
}

/// Opens the bay; called at the start, and again when someone asks to read the set-up again.
pub type Open = Box<dyn Fn() -> Result<Runner, Faults>>;

/// The wall screen: the window, and the bay behind it once its set-up is right.
pub struct WallScreen {
    inner: Rc<Inner>,
}

struct Inner {
    wall: Wall,
    runner: RefCell<Option<Runner>>,
    /// Why there is none.
    faults: RefCell<Option<Faults>>,
    rescue: RefCell<Option<Box<dyn Rescue>>>,
    /// The backup that is offered on the fault page.
    restorable: RefCell<Option<Restorable>>,
    glass: Glass,
    open: Open,
    /// A dropped timer stops: it lives here.
    timer: Timer,
    /// Opens a bay that could not be opened, as long as there is none.
    tries: Timer,
    /// The last key and when it was pressed: switches and pedals bounce.
    last_key: RefCell<(SharedString, Duration)>,
    /// When the last key came that only woke the glass.
    waking_key: Cell<Option<Duration>>,
    /// Training, whatever becomes of the bay.
    training: Cell<bool>,
    /// The bay is not opened anew before this time of the glass.
    open_again: Cell<Duration>,
    /// The leaf that is shown.
    leaf: RefCell<String>,
    /// Keeps where the hand is, once what was done is on the glass.
    keeps: Timer,
    /// The wall has a display of its own, whose size nobody else decides.
    bare: Cell<bool>,
    /// The panel of the set-up.
    panel: Cell<Panel>,
    /// The pixels by which it is laid out.
    measured: Cell<(u32, u32)>,
}

/// What the screens' callbacks act with.
#[derive(Clone)]
pub struct Hands {
    inner: Weak<Inner>,
}

impl Hands {
    /// Does one action and shows what became of it.
    pub fn act(&self, action: Action) {
        if let Some(inner) = self.inner.upgrade() {
            inner.act(action);
        }
    }
    /// A callback without an argument.
    pub fn on(&self, action: impl Fn() -> Action + 'static) -> impl FnMut() + 'static {
        let hands = self.clone();
        move || hands.act(action())
    }
    /// Does an action that follows from the bay as it is.
    pub fn act_on_bay(&self, action: impl FnOnce(&Bay) -> Action) {
        let Some(inner) = self.inner.upgrade() else {
            return;
        };
        let action = inner
            .runner
            .borrow()
            .as_ref()
            .map(|runner| action(runner.bay()));
        if let Some(action) = action {
            inner.act(action);
        }
    }
    /// A callback whose action follows from the bay as it is.
    pub fn on_bay(&self, action: impl Fn(&Bay) -> Action + 'static) -> impl FnMut() + 'static {
        let hands = self.clone();
        move || hands.act_on_bay(&action)
    }
    /// A callback with a text.
    pub fn on_text(
        &self,
        action: impl Fn(String) -> Action + 'static,
    ) -> impl FnMut(SharedString) + 'static {
        let hands = self.clone();
        move |text| hands.act(action(text.into()))
    }
}

impl WallScreen {
    /// Builds the window for a panel, with its touches going through `glass`, and opens the bay,
    /// or shows what is wrong with it.
    ///
    /// # Errors
    /// No window can be made.
    pub fn new(panel: Panel, glass: Glass, open: Open) -> Result<Self, slint::PlatformError> {
        let wall = Wall::new()?;
        // Slint begins with the language of the system, where that is built in; the wall goes by its
        // bay, and in the language it is written in as long as there is none.
        let _ = tongue::select(Language::default());
        let inner = Rc::new(Inner {
            wall,
            runner: RefCell::new(None),
            faults: RefCell::new(None),
            rescue: RefCell::new(None),
            restorable: RefCell::new(None),
            glass,
            open,
            timer: Timer::default(),
            tries: Timer::default(),
            last_key: RefCell::default(),
            waking_key: Cell::new(None),
            training: Cell::new(false),
            open_again: Cell::new(Duration::ZERO),
            leaf: RefCell::default(),
            keeps: Timer::default(),
            bare: Cell::new(false),
            panel: Cell::new(panel),
            measured: Cell::default(),
        });
        inner.lay_out(panel);
        inner.connect();
        inner.glass.watch(&inner.wall);
        let feel = inner.wall.as_weak();
        inner.glass.tell(move |hand| {
            if let Some(wall) = feel.upgrade() {
                feel_the_hand(&wall.global::<Feel>(), hand);
            }
        });
        inner.guard_the_glass();
        let plugged = Rc::downgrade(&inner);
        inner.glass.tell_plugged(move || {
            let plugged = plugged.clone();
            // Not in the middle of what the panel's events do.
            Timer::single_shot(Duration::ZERO, move || {
                if let Some(inner) = plugged.upgrade() {
                    inner.act(Action::Panel(PanelAction::Plugged));
                }
            });
        });
        inner.open_bay();
        Ok(Self { inner })
    }

    /// The window's component.
    pub fn wall(&self) -> &Wall {
        &self.inner.wall
    }
    /// The glass that its touches come through.
    pub fn glass(&self) -> &Glass {
        &self.inner.glass
    }
    /// Does one action, as a press would.
    pub fn act(&self, action: Action) {
        self.inner.act(action);
    }
    /// Shows the bay as it is in a language, until something happens: then it is in its own again.
    pub fn show_in(&self, language: Language) {
        self.inner.show_in(language);
    }
    /// Looks at the bay; `None` while its set-up is wrong.
    pub fn with_bay<R>(&self, look: impl FnOnce(&crate::bay::at_work::Bay) -> R) -> Option<R> {
        self.inner
            .runner
            .borrow()
            .as_ref()
            .map(|runner| look(runner.bay()))
    }
    /// Marks every screen as training, also where the bay cannot be opened.
    pub fn mark_training(&self, training: bool) {
        self.inner.training.set(training);
        self.inner.show_training(training);
        self.inner.show();
    }
    /// Where the records are lost, the fault page offers a backup from now on.
    pub fn with_rescue(&self, rescue: Box<dyn Rescue>) {
        *self.inner.rescue.borrow_mut() = Some(rescue);
        self.inner.look_for_a_backup();
        self.inner.show_faults();
    }
    /// The wall has a display of its own: its size, and not that of the set-up, decides what a millimetre
    /// is from now on.
    pub fn on_a_bare_panel(&self) {
        self.inner.bare.set(true);
        self.inner.keep_to_the_display();
    }
    /// Takes the whole screen instead of a window.
    pub fn fill_the_screen(&self) {
        self.inner.wall.window().set_fullscreen(true);
    }
    /// Shows the window and runs until it is closed.
    ///
    /// # Errors
    /// The window system fails.
    pub fn run(&self) -> Result<(), slint::PlatformError> {
        self.inner.wall.run()
    }
}

/// The most letters of a path that a notice shows.
const PATH_LETTERS: usize = 32;

/// The words with each long path shortened in its middle: where it begins and ends says most.
fn shorten_paths(words: &str) -> String {
    let shorten = |word: &str| {
        let letters: Vec<char> = word.chars().collect();
        if !word.contains('/') || letters.len() <= PATH_LETTERS {
            return word.to_owned();
        }
        let end = PATH_LETTERS * 2 / 3;
        let begin = PATH_LETTERS - end - 1;
        let part = |letters: &[char]| letters.iter().collect::<String>();
        format!(
            "{}…{}",
            part(&letters[..begin]),
            part(&letters[letters.len() - end..])
        )
    };
    let words: Vec<String> = words.split(' ').map(shorten).collect();
    words.join(" ")
}

/// True where a notice fits beside the figure of home: so many letters to the line, four lines.
fn is_short(notice: &Notice, words: &str) -> bool {
    let has_button = notice.undo.is_some() || notice.is_caption;
    let to_the_line = match (has_button, notice.is_fault) {
        (true, _) => 8,
        (false, true) => 12,
        (false, false) => 16,
    };
    let mut all = words.split_whitespace();
    all.all(|word| word.chars().count() <= to_the_line) && lines_of(words, to_the_line) <= 4
}

/// Tells every control of the hand behind the event that comes next.
fn feel_the_hand(feel: &Feel<'_>, hand: Hand) {
    let ms = |time: Duration| i64::try_from(time.as_millis()).unwrap_or(i64::MAX);
    feel.set_ago(ms(hand.ago));
    feel.set_lasted(hand.lasted.map_or(-1, ms));
    feel.set_grazed(hand.grazed);
    feel.set_exact(hand.exact);
}

/// Shows another language from now on.
fn select(language: Language) {
    if tongue::selected() != language {
        // Every language is built in, or the program's own tests fail; should one be missing all the
        // same, the wall stays in the language it has.
        let _ = tongue::select(language);
    }
}

thread_local! {
    /// The wall of this thread, for news that come out of another one.
    static AT_WORK: RefCell<Weak<Inner>> = const { RefCell::new(Weak::new()) };
}

/// Lets the wall of this thread look at what happened.
fn tick() {
    if let Some(inner) = AT_WORK.with_borrow(Weak::upgrade) {
        inner.act(Action::Tick);
    }
}

impl Inner {
    fn lay_out(&self, panel: Panel) {
        let (width, height) = panel.profile.pixels();
        self.panel.set(panel);
        self.measure(panel, (width, height));
        self.wall
            .window()
            .set_size(slint::PhysicalSize::new(width, height));
    }

    /// Lays out by the display that there really is: the set-up may be for another one.
    fn keep_to_the_display(&self) {
        let size = self.wall.window().size();
        let pixels = (size.width, size.height);
        if self.bare.get() && pixels.0 > 0 && pixels.1 > 0 && self.measured.get() != pixels {
            self.measure(self.panel.get(), pixels);
        }
    }

    /// Lets a millimetre be one on a display of so many pixels.
    fn measure(&self, panel: Panel, pixels: (u32, u32)) {
        self.measured.set(pixels);
        let (per_mm, height) = (panel.per_mm_on(pixels), pixels.1);
        let theme = self.wall.global::<Theme>();
        theme.set_mm(per_mm as f32);
        self.glass.set_px_per_mm(per_mm as f32);
        theme.set_roomy(f64::from(height) / per_mm > ROOMY_FROM_MM);
    }

    fn show_training(&self, training: bool) {
        let state = self.wall.global::<WallState>();
        state.set_training(training);
        let banded = training || !state.get_standing().is_empty();
        self.wall.global::<Theme>().set_tight(banded);
    }

    /// What is wrong with the panel. In training its mark has the place, and nothing real can be lost.
    fn show_standing(&self, bay: &Bay, training: bool) {
        let standing = bay.panel_standing().filter(|_| !training);
        let state = self.wall.global::<WallState>();
        let words = standing.map(|standing| shown(&standing.words()));
        state.set_standing(words.unwrap_or_default().into());
        state.set_standing_is_grave(standing.is_some_and(Standing::is_grave));
    }

    fn connect(self: &Rc<Self>) {
        let hands = Hands {
            inner: Rc::downgrade(self),
        };
        let wall = &self.wall;
        fill::connect(&wall.global::<FillView>(), &hands);
        menu::connect(&wall.global::<MenuView>(), &hands);
        rest::connect(&wall.global::<GlassView>(), &hands);
        lead::connect(&wall.global::<LeadView>(), &hands);
        panel::connect(&wall.global::<PanelView>(), &hands);
        day::connect(&wall.global::<DayView>(), &hands);
        editing::connect(&wall.global::<EditingView>(), &hands);
        mixing::connect(&wall.global::<MixingView>(), &hands);
        stock::connect(&wall.global::<StockView>(), &hands);
        reporting::connect(&wall.global::<ReportingView>(), &hands);
        updating::connect(&wall.global::<UpdateView>(), &hands);
        keys::connect_pad(&wall.global::<PadView>(), &hands);
        emergency::connect(&wall.global::<EmergencyView>(), &hands);
        sound::connect(&wall.global::<SoundView>(), &hands);
        choice::connect(&wall.global::<ChoiceView>(), &hands);
        care::connect(&wall.global::<CareView>(), &hands);
        insight::connect(&wall.global::<InsightView>(), &hands);
        ways::connect(&wall.global::<WaysView>(), &hands);
        check::connect(&wall.global::<CheckView>(), &hands);
        calibrate::connect(&wall.global::<CalibrateView>(), &hands);
        let state = wall.global::<WallState>();
        state.on_back(hands.on(|| Action::Back));
        state.on_help(hands.on(|| Action::Show(Page::Help)));
        state.on_touched(hands.on(|| Action::Touched));
        state.on_undo(hands.on(|| Action::Undo));
        state.on_close_notice(hands.on(|| Action::CloseNotice));
        state.on_too_soon(hands.on(|| Action::TooSoon));
        state.on_key({
            let hands = hands.clone();
            move |text, repeat| {
                let Some(inner) = hands.inner.upgrade() else {
                    return false;
                };
                if repeat || inner.only_wakes() || inner.bounces(&text) {
                    return true;
                }
                let action = inner
                    .runner
                    .borrow()
                    .as_ref()
                    .and_then(|r| keys::action(&text, r.bay()));
                let taken = action.is_some();
                if let Some(action) = action {
                    inner.act(action);
                }
                taken
            }
        });
        wall.global::<FaultView>().on_try_again({
            let hands = hands.clone();
            move || {
                if let Some(inner) = hands.inner.upgrade() {
                    inner.open_bay();
                }
            }
        });
        wall.global::<FaultView>().on_restore({
            let hands = hands.clone();
            move || {
                if let Some(inner) = hands.inner.upgrade() {
                    inner.restore();
                }
            }
        });
        let feel = wall.global::<Feel>();
        // A finger that comes down stops what is being said; a screen reader has none.
        feel.on_touched(hands.on(|| Action::Touched));
        feel.on_click({
            let mut click = self.tone(Tone::Click);
            let mut touched = hands.on(|| Action::Touched);
            move || {
                click();
                touched();
            }
        });
        feel.on_refused({
            let mut refused = self.tone(Tone::Refused);
            let mut touched = hands.on(|| Action::Touched);
            move || {
                refused();
                touched();
            }
        });
    }

    /// Touches go by what the bay makes of them just now.
    fn guard_the_glass(self: &Rc<Self>) {
        let (asked, woken) = (Rc::downgrade(self), Rc::downgrade(self));
        self.glass.guard(
            move || {
                asked
                    .upgrade()
                    .map_or(Touches::Press, |inner| inner.touches())
            },
            move || {
                if let Some(inner) = woken.upgrade() {
                    inner.act(Action::Wake);
                }
            },
        );
    }

    fn touches(&self) -> Touches {
        if self.wall.get_stands() {
            return Touches::Nothing;
        }
        let runner = self.runner.borrow();
        let of_bay = runner.as_ref().map(|runner| runner.bay().touches());
        of_bay.unwrap_or(Touches::Press)
    }

    /// True for a key that wakes the glass, or comes where nothing can be seen, and does nothing else.
    fn only_wakes(self: &Rc<Self>) -> bool {
        if self.wall.get_stands() {
            return true;
        }
        let now = self.glass.now();
        let woke = self.waking_key.get();
        let follows = woke.is_some_and(|at| now < at + OF_THE_SAME_KEY);
        let only_wakes = follows || self.touches() == Touches::Wake;
        if only_wakes {
            self.waking_key.set(Some(now));
            self.act(Action::Wake);
        }
        only_wakes
    }

    /// The same key so soon after itself is a bounce of its switch. Digits are typed twice on
    /// purpose, and a digit too many can be seen and erased.
    fn bounces(&self, text: &SharedString) -> bool {
        let now = self.glass.now();
        let (last, at) = self.last_key.replace((text.clone(), now));
        let is_digit = text.chars().all(|c| c.is_ascii_digit());
        let runner = self.runner.borrow();
        let is_typed = is_digit || runner.as_ref().is_some_and(|r| r.bay().types_letters());
        !is_typed && last == *text && now < at + BOUNCE
    }

    /// A callback that answers a press with a tone.
    fn tone(self: &Rc<Self>, tone: Tone) -> impl FnMut() + 'static {
        let inner = Rc::downgrade(self);
        move || {
            let Some(inner) = inner.upgrade() else { return };
            if let Some(runner) = inner.runner.borrow_mut().as_mut() {
                runner.tone(tone);
            }
        }
    }

    fn open_bay(self: &Rc<Self>) {
        match (self.open)() {
            Ok(runner) => self.begin(runner),
            Err(faults) => {
                self.timer.stop();
                *self.runner.borrow_mut() = None;
                self.fail(faults);
                let state = self.wall.global::<WallState>();
                state.set_notice("".into());
                state.set_seen("".into());
                state.set_standing("".into());
                self.show_training(self.training.get());
                state.set_page(PageName::Fault);
                self.keep_to_the_display();
                self.try_again_after(TRY_AGAIN);
            }
        }
    }

    fn try_again_after(self: &Rc<Self>, time: Duration) {
        let inner = Rc::downgrade(self);
        self.tries.start(TimerMode::SingleShot, time, move || {
            if let Some(inner) = inner.upgrade() {
                inner.open_bay();
            }
        });
    }

    /// Shows why the bay cannot be opened, and the backup that there is.
    fn fail(&self, faults: Faults) {
        *self.faults.borrow_mut() = Some(faults);
        self.look_for_a_backup();
        self.show_faults();
    }

    fn look_for_a_backup(&self) {
        let failed = self.faults.borrow().is_some();
        let rescue = self.rescue.borrow();
        let found = rescue.as_ref().filter(|_| failed).and_then(|r| r.found());
        *self.restorable.borrow_mut() = found;
    }

    fn show_faults(&self) {
        if let Some(faults) = self.faults.borrow().as_ref() {
            let view = self.wall.global::<FaultView>();
            help::show_faults(faults, self.restorable.borrow().as_ref(), &view);
        }
    }

    /// Brings the backup back that is offered, and opens the bay.
    fn restore(self: &Rc<Self>) {
        if self.restorable.borrow().is_none() {
            return;
        }
        let restored = self.rescue.borrow().as_ref().map(|rescue| rescue.restore());
        match restored {
            Some(Err(why)) => {
                self.fail(Faults {
                    title: tr!("The backup was not brought back"),
                    faults: vec![(tr!("Backup"), why)],
                });
                self.try_again_after(READ_FIRST);
            }
            _ => self.open_bay(),
        }
    }

    fn begin(self: &Rc<Self>, mut runner: Runner) {
        self.tries.stop();
        AT_WORK.set(Rc::downgrade(self));
        runner.tell(Box::new(|| {
            // Without an event loop nobody looks at the screen.
            let _ = slint::invoke_from_event_loop(tick);
        }));
        self.lay_out(runner.bay().setup().panel);
        *self.runner.borrow_mut() = Some(runner);
        *self.faults.borrow_mut() = None;
        self.show();
        self.keep_time(Duration::from_secs(1));
    }

    /// Opens the bay anew beside the one that is at work, which goes on where that fails.
    fn reopen_bay(self: &Rc<Self>) {
        let now = self.glass.now();
        if now < self.open_again.get() {
            return;
        }
        match (self.open)() {
            Ok(runner) => self.begin(runner),
            Err(_) => self.open_again.set(now + OPEN_AGAIN),
        }
    }

    fn act(self: &Rc<Self>, action: Action) {
        let is_tick = action == Action::Tick;
        let still_at_home;
        let (next, reopen) = {
            let mut runner = self.runner.borrow_mut();
            let Some(runner) = runner.as_mut() else {
                return;
            };
            let before = runner.bay().page();
            runner.act(action);
            let bay = runner.bay();
            still_at_home = is_tick && before == Page::Fill && bay.page() == Page::Fill;
            (bay.next_tick(), bay.wants_reopening())
        };
        self.show();
        self.keep_time(next);
        match is_tick {
            // At home time changes nothing of where the hand is, and asking costs more than the tick.
            true if still_at_home => {}
            true => self.keep_place(),
            false => self.keep_place_soon(),
        }
        if reopen {
            self.reopen_bay();
        }
    }

    /// Not before the next frame: a press does not wait for a file.
    fn keep_place_soon(self: &Rc<Self>) {
        let is_kept = self
            .runner
            .borrow()
            .as_ref()
            .is_some_and(Runner::keeps_places);
        if !is_kept || self.keeps.running() {
            return;
        }
        let inner = Rc::downgrade(self);
        self.keeps
            .start(TimerMode::SingleShot, KEPT_AFTER, move || {
                if let Some(inner) = inner.upgrade() {
                    inner.keep_place();
                }
            });
    }

    fn keep_place(&self) {
        if let Some(runner) = self.runner.borrow_mut().as_mut() {
            runner.keep_place();
        }
    }

    fn keep_time(self: &Rc<Self>, every: Duration) {
        if self.timer.running() && self.timer.interval() == every {
            return;
        }
        let inner = Rc::downgrade(self);
        self.timer.start(TimerMode::Repeated, every, move || {
            if let Some(inner) = inner.upgrade() {
                inner.act(Action::Tick);
            }
        });
    }

    /// Shows the bay as it is, in its language.
    fn show(&self) {
        self.keep_to_the_display();
        let runner = self.runner.borrow();
        let language = runner.as_ref().map(|runner| runner.bay().language());
        if let Some(language) = language {
            self.show_in(language);
        }
    }

    /// Shows the bay as it is. Properties that stay the same redraw nothing.
    fn show_in(&self, language: Language) {
        select(language);
        let runner = self.runner.borrow();
        let Some(runner) = runner.as_ref() else {
            self.show_faults();
            return;
        };
        let (bay, wall) = (runner.bay(), &self.wall);
        fill::show(bay, &wall.global::<FillView>());
        // A notice leads there, on any screen.
        sound::show(bay, &wall.global::<SoundView>());
        match bay.page() {
            Page::Sprayers | Page::Reaching | Page::Chemicals | Page::Parts => {
                choice::show(bay, &wall.global::<ChoiceView>());
            }
            Page::Care | Page::Changed => care::show(bay, &wall.global::<CareView>()),
            Page::Sure => insight::show_sure(bay, &wall.global::<InsightView>()),
            Page::Trend => insight::show_trend(bay, &wall.global::<InsightView>()),
            Page::Calibrate => calibrate::show(bay, &wall.global::<CalibrateView>()),
            Page::Help => help::show(bay, &wall.global::<HelpView>()),
            Page::Emergency => emergency::show(bay, &wall.global::<EmergencyView>()),
            Page::Ways => ways::show(bay, &wall.global::<WaysView>()),
            Page::Check => check::show(bay, &wall.global::<CheckView>()),
            Page::Pin | Page::Lead | Page::Clock | Page::Panel => {
                lead::show(bay, &wall.global::<LeadView>())
            }
            Page::Update => {
                // How long the lead's side stays open stands in its head.
                lead::show(bay, &wall.global::<LeadView>());
                updating::show(bay, &wall.global::<UpdateView>());
            }
            Page::Doctor | Page::SetClock => panel::show(bay, &wall.global::<PanelView>()),
            Page::Day | Page::Rinse => day::show(bay, &wall.global::<DayView>()),
            Page::Edit | Page::Changes | Page::FirstRun => {
                editing::show(bay, &wall.global::<EditingView>())
            }
            Page::Mix => mixing::show(bay, &wall.global::<MixingView>()),
            Page::Stock => stock::show(bay, &wall.global::<StockView>()),
            Page::Reports | Page::TakeAway => reporting::show(bay, &wall.global::<ReportingView>()),
            Page::Menu => menu::show(bay, &wall.global::<MenuView>()),
            Page::Fill | Page::Sound | Page::Loudspeakers | Page::Wipe => {}
        }
        rest::show(bay, runner.drawn_percent(), &wall.global::<GlassView>());
        let state = wall.global::<WallState>();
        let training = runner.is_training() || self.training.get();
        self.show_standing(bay, training);
        self.show_training(training);
        state.set_seen(shown(runner.seen()).into());
        // One mark is enough.
        state.set_demo(bay.setup().demo && !training);
        state.set_no_sound(bay.is_unheard());
        // Nothing lies over a running watch: its button must be there.
        // Nor can anything be pressed while the glass is wiped: it waits.
        let takes_notices = bay.watch() == Watch::Still && bay.page() != Page::Wipe;
        let notice = bay.notice().filter(|_| takes_notices);
        let words = notice.map_or(String::new(), |n| shorten_paths(&shown(&n.text)));
        state.set_notice_is_short(notice.is_some_and(|n| is_short(n, &words)));
        state.set_notice(words.into());
        state.set_guard(bay.guards_a_notice() && takes_notices);
        state.set_notice_is_fault(bay.notice().is_some_and(|n| n.is_fault));
        state.set_notice_is_advice(bay.notice().is_some_and(|n| n.is_advice));
        state.set_notice_is_caption(bay.notice().is_some_and(|n| n.is_caption));
        state.set_notice_undo(
            bay.undo_seconds()
                .map_or(String::new(), |left| format!("{left} s"))
                .into(),
        );
        state.set_page(match bay.page() {
            Page::Fill if bay.light() == Light::Dark => PageName::Dark,
            Page::Fill => PageName::Fill,
            Page::Sprayers => PageName::Sprayers,
            Page::Reaching => PageName::Reaching,
            Page::Chemicals => PageName::Chemicals,
            Page::Parts => PageName::Parts,
            Page::Care => PageName::Care,
            Page::Changed => PageName::Changed,
            Page::Ways => PageName::Ways,
            Page::Check => PageName::Check,
            Page::Sure => PageName::Sure,
            Page::Trend => PageName::Trend,
            Page::Calibrate => PageName::Calibrate,
            Page::Help => PageName::Help,
            Page::Emergency => PageName::Emergency,
            Page::Sound => PageName::Sound,
            Page::Loudspeakers => PageName::Loudspeakers,
            Page::Menu => PageName::Menu,
            Page::Pin => PageName::Pin,
            Page::Lead => PageName::Lead,
            Page::Clock => PageName::Clock,
            Page::Panel => PageName::Panel,
            Page::Update => PageName::Update,
            Page::Wipe => PageName::Wipe,
            Page::Doctor => PageName::Doctor,
            Page::SetClock => PageName::SetClock,
            Page::Day => PageName::Day,
            Page::Rinse => PageName::Rinse,
            Page::Edit => PageName::Edit,
            Page::Changes => PageName::Changes,
            Page::FirstRun => PageName::FirstRun,
            Page::Mix => PageName::Mix,
            Page::Stock => PageName::Stock,
            Page::Reports => PageName::Reports,
            Page::TakeAway => PageName::TakeAway,
        });
        let leaf = bay.leaf();
        let before = self.leaf.replace(leaf.clone());
        if !before.is_empty() && before != leaf {
            wall.global::<Feel>().invoke_turned();
        }
    }
}
