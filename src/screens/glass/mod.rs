//! The glass between the hand and the screen.
//!
//! [`Glass`] takes the raw contacts out of the back end's hands before Slint sees them, lets
//! [`filter::Filter`] tell fingers from water and gives Slint the events of the one clean pointer
//! that is left, as those of a mouse. [`backend`] hooks it in.

pub mod backend;
pub mod filter;

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::fmt;
use std::rc::Rc;
use std::time::{Duration, Instant};

use slint::platform::{PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalPosition, Timer, TimerMode, Window};

pub use filter::{Clean, Contact, Filter, Phase, Position};

/// A press is shown for at least this long before its release follows, however late the event loop
/// got to see the two: the controls judge a press by when it reaches them, and nobody can see a
/// shorter one. Above [`filter::GRAZE`], below [`filter::SPLASH`], so it only ever delays a release
/// that comes late already.
const SHOWN: Duration = Duration::from_millis(50);

/// What lets the glass reach the window that it was given, for as long as that exists.
type WithWindow = Rc<dyn Fn(&mut dyn FnMut(&Window))>;

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
    /// Judged, but not yet passed on: see [`SHOWN`].
    waiting: RefCell<VecDeque<Clean>>,
    /// When the latest press was passed on.
    pressed: Cell<Duration>,
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
            waiting: RefCell::new(VecDeque::new()),
            pressed: Cell::new(Duration::ZERO),
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

    /// Takes in one raw contact of the time `now` on the glass's clock.
    pub fn deliver(&self, contact: Contact, now: Duration) {
        let clean = self.0.filter.borrow_mut().feed(contact, now);
        self.0.pass_on(clean);
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

    fn pass_on(self: &Rc<Self>, clean: Vec<Clean>) {
        self.waiting.borrow_mut().extend(clean);
        while let Some(event) = self.next_due() {
            if matches!(event, Clean::Pressed(_)) {
                self.pressed.set((self.clock)());
            }
            self.with_window(&mut |window| dispatch(window, event));
        }
        self.arm();
    }

    /// Takes the next event that need not wait. No borrow outlives this: what an event sets off may
    /// come back here.
    fn next_due(&self) -> Option<Clean> {
        let mut waiting = self.waiting.borrow_mut();
        let released = matches!(waiting.front(), Some(Clean::Released(_)));
        if released && (self.clock)() < self.pressed.get() + SHOWN {
            return None;
        }
        waiting.pop_front()
    }

    fn arm(self: &Rc<Self>) {
        let deadline = if self.waiting.borrow().is_empty() {
            self.filter.borrow().next_deadline()
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
        let glass = Rc::downgrade(self);
        self.timer.start(TimerMode::SingleShot, wait, move || {
            if let Some(glass) = glass.upgrade() {
                let now = (glass.clock)();
                let clean = glass.filter.borrow_mut().poll(now);
                glass.pass_on(clean);
            }
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
        Clean::Exited => window.dispatch_event(WindowEvent::PointerExited),
    }
}
