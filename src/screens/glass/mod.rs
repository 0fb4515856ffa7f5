//! The glass between the hand and the screen.
//!
//! [`Glass`] takes the raw contacts out of the back end's hands before Slint sees them, lets
//! [`filter::Filter`] tell fingers from water and gives Slint the events of the one clean pointer
//! that is left, as those of a mouse. [`backend`] hooks it in.

pub mod backend;
mod chord;
pub mod filter;
pub mod turned;

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::fmt;
use std::rc::Rc;
use std::time::{Duration, Instant};

use crate::bay::glass::Touches;
use slint::platform::{PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalPosition, Timer, TimerMode, Window};

pub use filter::{Clean, Contact, Filter, Phase, Position, Timed};

/// A press is shown for at least this long before its release follows, however late the event loop
/// got to see the two: nobody can see a shorter one. Below [`filter::SPLASH`], so it only ever delays
/// a release that comes late already.
const SHOWN: Duration = Duration::from_millis(50);

/// A timer that comes later than this was held up, by drawing or by the disk. What the hand did
/// meanwhile is still to be read, so the timer comes once more before it acts.
const HELD_UP: Duration = Duration::from_millis(30);

/// What lets the glass reach the window that it was given, for as long as that exists.
type WithWindow = Rc<dyn Fn(&mut dyn FnMut(&Window))>;

/// Tells a window of the hand before each event of it.
type Tell = Rc<dyn Fn(Hand)>;

/// What becomes of a touch that begins now.
type Guard = Rc<dyn Fn() -> Touches>;

/// Hears of a touch that is to wake the glass.
type Woken = Rc<dyn Fn()>;

/// The hand behind an event of the clean pointer: what the controls cannot know by themselves, because
/// they see an event when the event loop has come round to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hand {
    /// How long ago it did this.
    pub ago: Duration,
    /// How long the press that ends had lasted; `None` for all other events.
    pub lasted: Option<Duration>,
    /// The press ends because it was lifted too soon to be believed.
    pub grazed: bool,
    /// The panel says itself when it was touched. Else all times are those of arrival: two contacts that
    /// waited for the event loop seem to come at once.
    pub exact: bool,
}

/// What could not be set up between the touch panel and the screen.
#[derive(Debug)]
pub enum GlassError {
    /// Slint could not start the named back end.
    Backend {
        /// The back end that was asked for, or what asked for it.
        wanted: String,
        /// Slint's own words.
        reason: slint::PlatformError,
    },
}

impl fmt::Display for GlassError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Backend { wanted, reason } => write!(
                f,
                "cannot open the screen with {wanted}: {reason}. Check that a display is connected \
                 and that this user may use it (groups video and input on a bare panel), or name \
                 another back end in SLINT_BACKEND."
            ),
        }
    }
}

impl std::error::Error for GlassError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Backend { reason, .. } => Some(reason),
        }
    }
}

/// Passes the clean pointer on to a window. Clones share one glass.
///
/// Give it the window with [`Glass::watch`]; without one, contacts are still judged, but nobody
/// hears of them.
#[derive(Clone)]
pub struct Glass(Rc<Inner>);

struct Inner {
    filter: RefCell<Filter>,
    clock: Box<dyn Fn() -> Duration>,
    window: RefCell<Option<WithWindow>>,
    tell: RefCell<Option<Tell>>,
    guard: RefCell<Option<(Guard, Woken)>>,
    /// The press that is under way presses nothing, from its touch to its lift.
    muted: Cell<bool>,
    /// The same of the mouse.
    mouse_muted: Cell<bool>,
    tell_plugged: RefCell<Option<Rc<dyn Fn()>>>,
    /// How far the panel's own clock is ahead of this one, as far as is known: the largest lead of its
    /// stamps over their arrivals. Both run alike, so the event that waited least tells. The filter goes by
    /// the panel's clock; 0 where there is none.
    lead: Cell<Duration>,
    /// The panel has a clock of its own.
    exact: Cell<bool>,
    /// Judged, but not yet passed on: see [`SHOWN`].
    waiting: RefCell<VecDeque<Timed>>,
    /// When the latest press was passed on.
    pressed: Cell<Duration>,
    /// When the hand did it, on the filter's clock.
    touched_at: Cell<Duration>,
    /// When the timer is to come, and whether it was held up before.
    due: Cell<Duration>,
    looks_again: Cell<bool>,
    /// A display server is to ask for the first frame, and did not yet.
    undrawn: Cell<bool>,
    /// Wakes the filter. A dropped timer stops, so it lives here.
    timer: Timer,
}

impl Glass {
    /// A glass with `px_per_mm` logical pixels to the millimetre (see [`Filter::new`] for what
    /// cannot be right), on the system's monotonic clock.
    #[must_use]
    pub fn new(px_per_mm: f32) -> Self {
        let start = Instant::now();
        Self::with_clock(px_per_mm, move || start.elapsed())
    }

    /// The same on another clock, which never goes back and which [`Glass::deliver`]'s times are
    /// read from.
    #[must_use]
    pub fn with_clock(px_per_mm: f32, clock: impl Fn() -> Duration + 'static) -> Self {
        Self(Rc::new(Inner {
            filter: RefCell::new(Filter::new(px_per_mm)),
            clock: Box::new(clock),
            window: RefCell::new(None),
            tell: RefCell::new(None),
            guard: RefCell::new(None),
            muted: Cell::new(false),
            mouse_muted: Cell::new(false),
            tell_plugged: RefCell::new(None),
            lead: Cell::new(Duration::ZERO),
            exact: Cell::new(false),
            waiting: RefCell::new(VecDeque::new()),
            pressed: Cell::new(Duration::ZERO),
            touched_at: Cell::new(Duration::ZERO),
            due: Cell::new(Duration::ZERO),
            looks_again: Cell::new(false),
            undrawn: Cell::new(false),
            timer: Timer::default(),
        }))
    }

    /// The time on the glass's clock.
    #[must_use]
    pub fn now(&self) -> Duration {
        (self.0.clock)()
    }

    /// Changes how many logical pixels make a millimetre; see [`Filter::new`].
    pub fn set_px_per_mm(&self, px_per_mm: f32) {
        self.0.filter.borrow_mut().set_px_per_mm(px_per_mm);
    }

    /// Whether any contact is on the glass, resting ones included.
    #[must_use]
    pub fn touched(&self) -> bool {
        self.0.filter.borrow().touched()
    }

    /// From now on the clean pointer goes to this component's window. Where that is one of a
    /// display server's, its touches are taken from it here; on a bare panel
    /// [`backend::select_backend`] has seen to that.
    ///
    /// The component is not kept alive by this.
    pub fn watch<C: ComponentHandle + 'static>(&self, component: &C) {
        let weak = component.as_weak();
        self.0.window.replace(Some(Rc::new(move |act| {
            if let Some(component) = weak.upgrade() {
                act(component.window());
            }
        })));
        backend::watch_window(component.window(), self);
    }

    /// True as long as nothing was drawn into the window of a display server. On a bare panel each turn of
    /// the event loop draws what there is to be drawn.
    #[must_use]
    pub fn waits_to_be_drawn(&self) -> bool {
        self.0.undrawn.get()
    }

    /// From now on `tell` hears of the hand before each event that the window gets, and of none
    /// ([`Hand::default`]) after it.
    pub fn tell(&self, tell: impl Fn(Hand) + 'static) {
        self.0.tell.replace(Some(Rc::new(tell)));
    }

    /// From now on `guard` says what becomes of a touch when it begins, and `woken` hears of each that is
    /// to wake the glass. A touch that presses nothing stays so until it is lifted, whatever changes
    /// meanwhile.
    pub fn guard(&self, guard: impl Fn() -> Touches + 'static, woken: impl Fn() + 'static) {
        self.0.guard.replace(Some((Rc::new(guard), Rc::new(woken))));
    }

    /// A button of the mouse went down, or came up. True where the window is not to hear of it.
    pub fn takes_button(&self, down: bool) -> bool {
        match down {
            true => {
                self.0.mouse_muted.set(self.0.presses_nothing());
                self.0.mouse_muted.get()
            }
            false => self.0.mouse_muted.replace(false),
        }
    }

    /// From now on `tell` hears where an input device is plugged in or pulled out.
    pub fn tell_plugged(&self, tell: impl Fn() + 'static) {
        self.0.tell_plugged.replace(Some(Rc::new(tell)));
    }

    /// An input device was plugged in or pulled out.
    pub fn plugged(&self) {
        let tell = self.0.tell_plugged.borrow().clone();
        if let Some(tell) = tell {
            tell();
        }
    }

    /// Takes in one raw contact of the time `now` on the glass's clock: mostly that of its arrival.
    pub fn deliver(&self, contact: Contact, now: Duration) {
        self.0.take(contact, now + self.0.lead.get());
    }

    /// Takes in one raw contact that the panel stamped with `stamp` by a clock of its own, which runs as
    /// fast as the glass's but counts from another instant. How long a press lasted is told by the stamps
    /// alone, however long they waited.
    pub fn deliver_stamped(&self, contact: Contact, stamp: Duration) {
        let lead = stamp.saturating_sub(self.now());
        self.0.lead.set(self.0.lead.get().max(lead));
        self.0.exact.set(true);
        self.0.take(contact, stamp);
    }

    /// Forgets every contact and takes a press back: the panel went away.
    pub fn reset(&self) {
        let clean = self.0.filter.borrow_mut().reset();
        self.0.pass_on(clean);
    }

    fn with_window(&self, act: &mut dyn FnMut(&Window)) {
        self.0.with_window(act);
    }
}

impl fmt::Debug for Glass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Glass")
            .field("filter", &self.0.filter)
            .finish_non_exhaustive()
    }
}

impl Inner {
    fn with_window(&self, act: &mut dyn FnMut(&Window)) {
        // Cloned, because what `act` sets off may watch another window.
        let window = self.window.borrow().clone();
        if let Some(window) = window {
            window(act);
        }
    }

    /// The filter's time.
    fn filter_now(&self) -> Duration {
        (self.clock)() + self.lead.get()
    }

    fn take(self: &Rc<Self>, contact: Contact, at: Duration) {
        let clean = self.filter.borrow_mut().feed(contact, at);
        self.pass_on(clean);
    }

    fn pass_on(self: &Rc<Self>, clean: Vec<Timed>) {
        self.waiting.borrow_mut().extend(clean);
        while let Some((at, event)) = self.next_due() {
            if self.mutes(event) {
                continue;
            }
            if matches!(event, Clean::Pressed(_)) {
                self.pressed.set((self.clock)());
                self.touched_at.set(at);
            }
            let ends = matches!(event, Clean::Released(_) | Clean::Grazed);
            // Cloned, like the window.
            let told = self.tell.borrow().clone();
            let tell = |hand| {
                if let Some(told) = &told {
                    told(hand);
                }
            };
            tell(Hand {
                ago: self.filter_now().saturating_sub(at),
                lasted: ends.then(|| at.saturating_sub(self.touched_at.get())),
                grazed: event == Clean::Grazed,
                exact: self.exact.get(),
            });
            self.with_window(&mut |window| dispatch(window, event));
            tell(Hand::default());
        }
        self.arm();
    }

    /// Asks what becomes of a touch that begins now, and wakes the glass where it is for that.
    fn presses_nothing(&self) -> bool {
        // Cloned, like the window: waking it comes back here.
        let Some((guard, woken)) = self.guard.borrow().clone() else {
            return false;
        };
        let touches = guard();
        if touches == Touches::Wake {
            woken();
        }
        touches != Touches::Press
    }

    /// True for an event of a press that presses nothing.
    fn mutes(&self, event: Clean) -> bool {
        match event {
            Clean::Pressed(_) => {
                let muted = self.presses_nothing();
                self.muted.set(muted);
                muted
            }
            Clean::Moved(_) => self.muted.get(),
            Clean::Released(_) | Clean::Exited | Clean::Grazed => self.muted.replace(false),
        }
    }

    /// Takes the next event that need not wait. No borrow outlives this: what an event sets off may
    /// come back here.
    fn next_due(&self) -> Option<Timed> {
        let mut waiting = self.waiting.borrow_mut();
        let ends = |event: &Timed| matches!(event.1, Clean::Released(_) | Clean::Grazed);
        if waiting.front().is_some_and(ends) && (self.clock)() < self.pressed.get() + SHOWN {
            return None;
        }
        waiting.pop_front()
    }

    fn arm(self: &Rc<Self>) {
        let deadline = if self.waiting.borrow().is_empty() {
            let of_filter = self.filter.borrow().next_deadline();
            of_filter.map(|deadline| deadline.saturating_sub(self.lead.get()))
        } else {
            Some(self.pressed.get() + SHOWN)
        };
        let Some(deadline) = deadline else {
            self.timer.stop();
            return;
        };
        // Timers count whole milliseconds and cut the rest off: one more, or this wakes too soon
        // and spins until the deadline.
        let wait = deadline.saturating_sub((self.clock)()) + Duration::from_micros(999);
        self.come_in(wait);
    }

    /// Starts the timer, which lets the filter go on.
    fn come_in(self: &Rc<Self>, wait: Duration) {
        self.due.set((self.clock)() + wait);
        let glass = Rc::downgrade(self);
        self.timer.start(TimerMode::SingleShot, wait, move || {
            let Some(glass) = glass.upgrade() else {
                return;
            };
            let held_up = (glass.clock)() > glass.due.get() + HELD_UP;
            if held_up && !glass.looks_again.replace(true) {
                glass.come_in(Duration::ZERO);
                return;
            }
            glass.looks_again.set(false);
            let now = glass.filter_now();
            let clean = glass.filter.borrow_mut().poll(now);
            glass.pass_on(clean);
        });
    }
}

fn dispatch(window: &Window, event: Clean) {
    let at = |position: Position| LogicalPosition::new(position.x, position.y);
    let button = PointerEventButton::Left;
    match event {
        Clean::Pressed(position) => {
            let position = at(position);
            window.dispatch_event(WindowEvent::PointerPressed { position, button });
        }
        Clean::Moved(position) => {
            let position = at(position);
            window.dispatch_event(WindowEvent::PointerMoved { position });
        }
        Clean::Released(position) => {
            let position = at(position);
            window.dispatch_event(WindowEvent::PointerReleased { position, button });
            // A lifted finger hovers nowhere.
            window.dispatch_event(WindowEvent::PointerExited);
        }
        Clean::Exited | Clean::Grazed => window.dispatch_event(WindowEvent::PointerExited),
    }
}
