//! Which touches are a finger, and which are water.
//!
//! A pure state machine: raw contacts in, the events of at most one clean pointer out. It knows
//! neither Slint nor a clock; every call brings the time along.
//!
//! The rules must be kept *here*, before the toolkit sees a contact. Inside it a cancelled touch
//! looks exactly like a lifted one, and a second contact fabricates a release of the first: nothing
//! above it can tell these from a real tap any more.

use std::time::Duration;

/// A lift sooner than this after the touch is a graze and never acts.
pub const GRAZE: Duration = Duration::from_millis(40);

/// Two contacts elsewhere on the glass and closer together in time than this are water. A lift is
/// therefore held back until this long after its touch.
pub const SPLASH: Duration = Duration::from_millis(80);

/// A contact that is on the glass for this long is a resting drop or a leaning hand: it no longer
/// presses anything and no longer stands in the way of a finger. Held presses finish at 1.2 s, well
/// before.
pub const RESTING: Duration = Duration::from_millis(2500);

/// Millimetres from which on another contact is elsewhere: a finger that bounces stays within.
pub const ELSEWHERE_MM: f32 = 10.0;

/// So many contacts on the glass at once are never a finger, whether some of them rest or not.
pub const CROWD: usize = 3;

/// A place on the glass, in logical pixels from the window's top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// Pixels from the left edge.
    pub x: f32,
    /// Pixels from the top edge.
    pub y: f32,
}

impl Position {
    /// The place `x` pixels from the left and `y` pixels from the top.
    #[must_use]
    pub const fn new(x: f32, y: f32) -> Self {
        Self { x, y }
    }

    fn is_real(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

/// What happened to a contact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// It touched the glass.
    Started,
    /// It moved.
    Moved,
    /// It was lifted.
    Ended,
    /// The controller took it back: water, a palm, a device that went away.
    Cancelled,
}

/// One raw report of the touch panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Names the contact from its start to its end; panels use an id again after that.
    pub id: i32,
    /// Where, in logical pixels. Read for [`Phase::Started`] and [`Phase::Moved`] only: panels
    /// report lifts without a place, and some back ends put (0, 0) there.
    pub position: Position,
    /// What happened.
    pub phase: Phase,
}

impl Contact {
    /// The report that contact `id` underwent `phase` at (`x`, `y`), in logical pixels.
    #[must_use]
    pub const fn new(id: i32, x: f32, y: f32, phase: Phase) -> Self {
        Self {
            id,
            position: Position::new(x, y),
            phase,
        }
    }
}

/// What the one clean pointer does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clean {
    /// It touched. Comes at once, so that the pressed control can show it, and may still be taken
    /// back.
    Pressed(Position),
    /// It moved while pressed.
    Moved(Position),
    /// It was lifted, and was a finger: the press counts.
    Released(Position),
    /// It was no finger: the press is void.
    Exited,
    /// It was lifted too soon to be believed: void as well, but it may have been a finger, and whoever
    /// it was is to see that it did not count.
    Grazed,
}

/// What the clean pointer does, and when the hand did it.
pub type Timed = (Duration, Clean);

/// A contact that is on the glass.
#[derive(Clone, Copy, Debug)]
struct Down {
    id: i32,
    since: Duration,
    at: Position,
}

impl Down {
    fn rests(&self, now: Duration) -> bool {
        now.saturating_sub(self.since) >= RESTING
    }
}

/// The clean pointer, between its [`Clean::Pressed`] and what ends it.
#[derive(Clone, Copy, Debug)]
enum Pointer {
    Up,
    /// Held by the contact `id`, which began at `from`.
    Held {
        id: i32,
        since: Duration,
        from: Position,
    },
    /// Lifted at `at`, but too soon after its touch at `from` to be sure that no drop follows.
    HeldBack {
        due: Duration,
        lifted: Duration,
        from: Position,
        at: Position,
    },
}

/// Tells fingers from water. See the [module](self) for why, and the constants for the limits.
///
/// * Only one contact presses at a time, and only one that starts while no other one is down,
///   resting ones apart.
/// * Another contact, a cancel, a crowd, a lift too soon or a rest too long void the press.
/// * A contact that may not press when it starts never presses.
/// * A crowd blocks until what is left of it has lifted or come to rest: a splash of which one drop
///   stays on the glass must not leave the screen dead.
#[derive(Debug)]
pub struct Filter {
    elsewhere_px: f32,
    now: Duration,
    down: Vec<Down>,
    pointer: Pointer,
    /// Starts and ends of the last [`SPLASH`].
    recent: Vec<(Duration, Position)>,
}

impl Filter {
    /// A filter for a clear glass with `px_per_mm` logical pixels to the millimetre. A figure that
    /// cannot be right (not finite, or not above 0) makes every other place count as elsewhere,
    /// which is the careful side.
    #[must_use]
    pub fn new(px_per_mm: f32) -> Self {
        let mut filter = Self {
            elsewhere_px: 0.0,
            now: Duration::ZERO,
            down: Vec::new(),
            pointer: Pointer::Up,
            recent: Vec::new(),
        };
        filter.set_px_per_mm(px_per_mm);
        filter
    }

    /// Changes how many logical pixels make a millimetre; see [`Filter::new`].
    pub fn set_px_per_mm(&mut self, px_per_mm: f32) {
        self.elsewhere_px = if px_per_mm.is_finite() && px_per_mm > 0.0 {
            ELSEWHERE_MM * px_per_mm
        } else {
            0.0
        };
    }

    /// Whether any contact is on the glass, resting ones included.
    #[must_use]
    pub fn touched(&self) -> bool {
        !self.down.is_empty()
    }

    /// When [`Filter::poll`] has something to do if nothing else happens first.
    #[must_use]
    pub fn next_deadline(&self) -> Option<Duration> {
        match self.pointer {
            Pointer::Up => None,
            Pointer::Held { since, .. } => Some(since + RESTING),
            Pointer::HeldBack { due, .. } => Some(due),
        }
    }

    /// Lets the time come to `now` (since any fixed instant) and returns what that brings: a
    /// held-back lift that now counts, or a press that became a resting contact.
    pub fn poll(&mut self, now: Duration) -> Vec<Timed> {
        let mut out = Vec::new();
        self.advance(now, &mut out);
        out
    }

    /// Takes in one raw report of the time `now` (since any fixed instant; a time before the last
    /// one counts as the last one) and returns what the clean pointer does because of it.
    pub fn feed(&mut self, contact: Contact, now: Duration) -> Vec<Timed> {
        let mut out = Vec::new();
        self.advance(now, &mut out);
        match contact.phase {
            Phase::Started => self.started(contact.id, contact.position, &mut out),
            Phase::Moved => self.moved(contact.id, contact.position, &mut out),
            Phase::Ended => self.lifted(contact.id, true, &mut out),
            Phase::Cancelled => self.lifted(contact.id, false, &mut out),
        }
        out
    }

    /// Forgets every contact: the panel went away, so no lift will follow.
    pub fn reset(&mut self) -> Vec<Timed> {
        let mut out = Vec::new();
        self.void(&mut out);
        self.down.clear();
        self.recent.clear();
        out
    }

    fn advance(&mut self, now: Duration, out: &mut Vec<Timed>) {
        self.now = self.now.max(now);
        let now = self.now;
        match self.pointer {
            Pointer::HeldBack {
                due, lifted, at, ..
            } if due <= now => {
                self.pointer = Pointer::Up;
                out.push((lifted, Clean::Released(at)));
            }
            Pointer::Held { since, .. } if since + RESTING <= now => self.void(out),
            _ => {}
        }
        self.recent
            .retain(|(when, _)| now.saturating_sub(*when) < SPLASH);
    }

    fn started(&mut self, id: i32, at: Position, out: &mut Vec<Timed>) {
        // A start of an id that is down means that its lift got lost: nothing it does can be
        // trusted until it has been seen to lift. Any other start ends what is being pressed too,
        // held-back lifts included.
        let lost = self.down.iter().position(|down| down.id == id);
        if let Some(index) = lost {
            let Down { at, .. } = self.down.remove(index);
            self.recent.push((self.now, at));
        }
        let pressing = !matches!(self.pointer, Pointer::Up);
        self.void(out);
        let splashed = self
            .recent
            .iter()
            .any(|(_, mark)| self.is_elsewhere(*mark, at));
        let in_the_way = self.down.iter().any(|down| !down.rests(self.now));

        self.down.push(Down {
            id,
            since: self.now,
            at,
        });
        self.recent.push((self.now, at));

        let crowded = self.down.len() >= CROWD;
        if !(lost.is_some() || pressing || splashed || in_the_way || crowded) && at.is_real() {
            self.pointer = Pointer::Held {
                id,
                since: self.now,
                from: at,
            };
            out.push((self.now, Clean::Pressed(at)));
        }
    }

    fn moved(&mut self, id: i32, at: Position, out: &mut Vec<Timed>) {
        let Some(down) = self.down.iter_mut().find(|down| down.id == id) else {
            return;
        };
        if !at.is_real() || down.at == at {
            return;
        }
        down.at = at;
        if matches!(self.pointer, Pointer::Held { id: held, .. } if held == id) {
            out.push((self.now, Clean::Moved(at)));
        }
    }

    fn lifted(&mut self, id: i32, counts: bool, out: &mut Vec<Timed>) {
        let Some(index) = self.down.iter().position(|down| down.id == id) else {
            return;
        };
        let Down { at, .. } = self.down.remove(index);
        self.recent.push((self.now, at));

        match self.pointer {
            Pointer::Held {
                id: held,
                since,
                from,
            } if held == id => {
                let lasted = self.now - since;
                if !counts {
                    self.void(out);
                } else if lasted < GRAZE {
                    self.pointer = Pointer::Up;
                    out.push((self.now, Clean::Grazed));
                } else if lasted < SPLASH {
                    self.pointer = Pointer::HeldBack {
                        due: since + SPLASH,
                        lifted: self.now,
                        from,
                        at,
                    };
                } else {
                    self.pointer = Pointer::Up;
                    out.push((self.now, Clean::Released(at)));
                }
            }
            // A drop that rested here and is gone, and a press that began elsewhere just now: the
            // drop ran there.
            Pointer::Held { since, from, .. }
                if self.now - since < SPLASH && self.is_elsewhere(at, from) =>
            {
                self.void(out);
            }
            Pointer::HeldBack { from, .. } if self.is_elsewhere(at, from) => {
                self.void(out);
            }
            _ => {}
        }
    }

    fn void(&mut self, out: &mut Vec<Timed>) {
        if !matches!(self.pointer, Pointer::Up) {
            self.pointer = Pointer::Up;
            out.push((self.now, Clean::Exited));
        }
    }

    /// Not `>`, so that a place that is no number counts as elsewhere.
    fn is_elsewhere(&self, a: Position, b: Position) -> bool {
        let near = (a.x - b.x).hypot(a.y - b.y) <= self.elsewhere_px;
        !near
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// 5 px to the millimetre: elsewhere begins beyond 50 px.
    const PX_PER_MM: f32 = 5.0;

    const HERE: Position = Position::new(100.0, 100.0);
    const NEAR: Position = Position::new(130.0, 100.0);
    const THERE: Position = Position::new(400.0, 100.0);

    const fn ms(ms: u64) -> Duration {
        Duration::from_millis(ms)
    }

    /// A filter, and the clean events so far. Polls at every deadline, as the timer does.
    struct Bench {
        filter: Filter,
        seen: Vec<(Duration, Clean)>,
    }

    impl Bench {
        fn new() -> Self {
            Self {
                filter: Filter::new(PX_PER_MM),
                seen: Vec::new(),
            }
        }

        fn until(&mut self, now: Duration) -> &mut Self {
            while let Some(due) = self.filter.next_deadline().filter(|due| *due <= now) {
                let clean = self.filter.poll(due);
                assert!(!clean.is_empty(), "a deadline must bring something");
                self.seen
                    .extend(clean.into_iter().map(|(_, clean)| (due, clean)));
            }
            self
        }

        fn feed(&mut self, at: u64, id: i32, position: Position, phase: Phase) -> &mut Self {
            let contact = Contact {
                id,
                position,
                phase,
            };
            self.until(ms(at));
            let clean = self.filter.feed(contact, ms(at));
            self.seen
                .extend(clean.into_iter().map(|(_, clean)| (ms(at), clean)));
            self
        }

        fn start(&mut self, at: u64, id: i32, position: Position) -> &mut Self {
            self.feed(at, id, position, Phase::Started)
        }

        fn lift(&mut self, at: u64, id: i32) -> &mut Self {
            self.feed(at, id, Position::new(0.0, 0.0), Phase::Ended)
        }

        fn cancel(&mut self, at: u64, id: i32) -> &mut Self {
            self.feed(at, id, Position::new(0.0, 0.0), Phase::Cancelled)
        }

        fn tap(&mut self, at: u64, id: i32, position: Position) -> &mut Self {
            self.start(at, id, position).lift(at + 100, id)
        }

        /// What came out since the last call, with milliseconds.
        fn take(&mut self) -> Vec<(u64, Clean)> {
            self.until(ms(1_000_000));
            self.seen
                .drain(..)
                .map(|(at, clean)| (u64::try_from(at.as_millis()).unwrap(), clean))
                .collect()
        }

        fn acts(&mut self) -> usize {
            self.take()
                .iter()
                .filter(|(_, clean)| matches!(clean, Clean::Released(_)))
                .count()
        }
    }

    use Clean::{Exited, Grazed, Moved, Pressed, Released};

    #[test]
    fn a_tap_presses_at_once_and_releases_at_the_lift() {
        let seen = Bench::new().start(1000, 0, HERE).lift(1100, 0).take();
        assert_eq!(seen, [(1000, Pressed(HERE)), (1100, Released(HERE))]);
    }

    #[test]
    fn a_short_tap_is_held_back_until_no_drop_can_follow() {
        let seen = Bench::new().start(1000, 0, HERE).lift(1050, 0).take();
        assert_eq!(seen, [(1000, Pressed(HERE)), (1080, Released(HERE))]);
    }

    #[test]
    fn a_lift_that_was_held_back_keeps_its_own_time() {
        // Asked only long after: the timer was held up.
        let mut filter = Filter::new(PX_PER_MM);
        let at = |phase| Contact {
            id: 0,
            position: HERE,
            phase,
        };
        assert_eq!(
            filter.feed(at(Phase::Started), ms(1000)),
            [(ms(1000), Pressed(HERE))]
        );
        assert_eq!(filter.feed(at(Phase::Ended), ms(1060)), []);
        assert_eq!(filter.poll(ms(2600)), [(ms(1060), Released(HERE))]);
    }

    #[test]
    fn a_graze_is_void_just_below_40_ms() {
        let seen = Bench::new().start(1000, 0, HERE).lift(1039, 0).take();
        assert_eq!(seen, [(1000, Pressed(HERE)), (1039, Grazed)]);
        assert_eq!(Bench::new().start(1000, 0, HERE).lift(1040, 0).acts(), 1);
    }

    #[test]
    fn moves_are_followed_and_the_lift_is_where_the_finger_was() {
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE);
        bench.feed(1050, 0, NEAR, Phase::Moved);
        bench.feed(1060, 0, NEAR, Phase::Moved);
        let expected = [
            (1000, Pressed(HERE)),
            (1050, Moved(NEAR)),
            (1100, Released(NEAR)),
        ];
        assert_eq!(bench.lift(1100, 0).take(), expected);
    }

    #[test]
    fn a_drop_that_follows_a_short_tap_voids_it() {
        for place in [HERE, NEAR, THERE] {
            let mut bench = Bench::new();
            bench.start(1000, 0, HERE).lift(1050, 0);
            // The panel uses the free id again.
            bench.start(1079, 0, place).lift(1200, 0);
            assert_eq!(bench.take(), [(1000, Pressed(HERE)), (1079, Exited)]);
        }
        let mut bench = Bench::new();
        bench
            .start(1000, 0, HERE)
            .lift(1050, 0)
            .start(1080, 0, THERE);
        assert_eq!(bench.acts(), 1, "at 80 ms the tap has acted");
    }

    #[test]
    fn a_touch_elsewhere_within_80_ms_of_a_lift_is_water() {
        let mut bench = Bench::new();
        assert_eq!(bench.tap(1000, 0, HERE).tap(1179, 1, THERE).acts(), 1);
        let mut bench = Bench::new();
        assert_eq!(bench.tap(1000, 0, HERE).tap(1180, 1, THERE).acts(), 2);
        let mut bench = Bench::new();
        let quick = bench.tap(1000, 0, HERE).tap(1150, 1, NEAR).acts();
        assert_eq!(quick, 2, "the same place may be tapped fast");
    }

    #[test]
    fn a_resting_drop_that_lifts_far_from_where_a_short_tap_began_voids_it() {
        let mut bench = Bench::new();
        bench.start(0, 0, HERE).start(3000, 1, THERE);
        bench
            .feed(3040, 1, NEAR, Phase::Moved)
            .lift(3053, 1)
            .lift(3078, 0);
        assert_eq!(bench.acts(), 0);
    }

    #[test]
    fn a_touch_within_80_ms_of_a_start_elsewhere_is_water() {
        // The first one ran from elsewhere to here: its end is near, its start is not.
        let mut bench = Bench::new();
        bench.start(1000, 0, THERE);
        bench.feed(1020, 0, HERE, Phase::Moved);
        bench.lift(1030, 0).tap(1079, 1, HERE);
        assert_eq!(bench.acts(), 0);
    }

    #[test]
    fn a_void_touch_makes_the_next_one_water_too() {
        let mut bench = Bench::new();
        bench
            .start(1000, 0, HERE)
            .cancel(1010, 0)
            .tap(1060, 0, THERE);
        assert_eq!(bench.acts(), 0);
    }

    #[test]
    fn a_second_contact_voids_the_press_and_does_not_act() {
        for (second, place) in [(1020, THERE), (1079, NEAR), (1500, THERE), (1500, NEAR)] {
            let mut bench = Bench::new();
            bench.start(1000, 0, HERE).start(second, 1, place);
            bench.lift(second + 200, 1).lift(second + 400, 0);
            assert_eq!(bench.take(), [(1000, Pressed(HERE)), (second, Exited)]);
        }
    }

    #[test]
    fn a_cancelled_contact_is_void_however_long_it_lasted() {
        let seen = Bench::new().start(1000, 0, HERE).cancel(1500, 0).take();
        assert_eq!(seen, [(1000, Pressed(HERE)), (1500, Exited)]);
    }

    #[test]
    fn three_contacts_are_void_until_they_are_gone() {
        let mut bench = Bench::new();
        bench
            .start(1000, 0, HERE)
            .start(1200, 1, THERE)
            .start(1400, 2, NEAR);
        bench.lift(1600, 1).lift(1800, 2);
        bench.tap(2000, 1, THERE);
        assert_eq!(bench.lift(2200, 0).acts(), 0);
        assert_eq!(bench.tap(3_000_000, 0, HERE).acts(), 1);
    }

    #[test]
    fn resting_contacts_still_make_a_crowd() {
        let mut bench = Bench::new();
        bench.start(0, 0, HERE).start(0, 1, NEAR);
        bench.tap(5000, 2, THERE);
        assert_eq!(bench.acts(), 0);
        bench.lift(1_010_000, 1).tap(1_020_000, 2, THERE);
        assert_eq!(bench.acts(), 1, "one resting drop alone is not in the way");
    }

    #[test]
    fn a_press_that_rests_becomes_void_and_lets_a_finger_through() {
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE);
        let expected = [
            (1000, Pressed(HERE)),
            (3500, Exited),
            (4000, Pressed(THERE)),
            (4100, Released(THERE)),
        ];
        assert_eq!(bench.tap(4000, 1, THERE).lift(5000, 0).take(), expected);
    }

    #[test]
    fn a_contact_just_short_of_resting_is_in_the_way() {
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE).tap(3499, 1, THERE);
        assert_eq!(bench.acts(), 0);
    }

    #[test]
    fn a_resting_drop_that_jumps_does_not_act() {
        let mut bench = Bench::new();
        bench.start(0, 0, HERE);
        bench.start(4000, 1, THERE).lift(4030, 0).lift(4200, 1);
        assert_eq!(bench.acts(), 0, "gone here just after it came there");
        let mut bench = Bench::new();
        bench.start(0, 0, HERE);
        bench.start(4000, 1, THERE).lift(4060, 1).lift(4070, 0);
        assert_eq!(
            bench.acts(),
            0,
            "gone here while the tap there is held back"
        );
        let mut bench = Bench::new();
        bench.start(0, 0, HERE).lift(4000, 0).tap(4030, 1, THERE);
        assert_eq!(bench.acts(), 0, "gone here just before it came there");
        let mut bench = Bench::new();
        bench.start(0, 0, HERE);
        bench.start(4000, 1, THERE).lift(4080, 0).lift(4200, 1);
        assert_eq!(bench.acts(), 1, "wiped off under a steady finger");
    }

    #[test]
    fn unknown_contacts_are_nothing() {
        let mut bench = Bench::new();
        bench.lift(10, 7).cancel(20, -1);
        bench.feed(30, i32::MIN, HERE, Phase::Moved);
        assert_eq!(bench.take(), []);
        assert!(!bench.filter.touched());
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE).lift(1050, 5).lift(1100, 0);
        assert_eq!(bench.acts(), 1, "a stray lift does not void a press either");
    }

    #[test]
    fn a_repeated_start_voids_and_does_not_act() {
        let mut bench = Bench::new();
        bench
            .start(1000, 0, HERE)
            .start(1300, 0, HERE)
            .lift(1500, 0);
        assert_eq!(bench.take(), [(1000, Pressed(HERE)), (1300, Exited)]);
        assert_eq!(
            bench.tap(1_100_000, 0, HERE).acts(),
            1,
            "and it is forgotten"
        );
        // Also where the contact of that id pressed nothing any more.
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE).tap(9000, 0, HERE);
        assert_eq!(bench.acts(), 0);
        assert_eq!(bench.tap(1_100_000, 0, HERE).acts(), 1);
    }

    #[test]
    fn a_place_that_is_no_number_does_not_press() {
        let nowhere = Position::new(f32::NAN, 3.0);
        assert_eq!(Bench::new().tap(1000, 0, nowhere).take(), []);
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE);
        bench.feed(1050, 0, nowhere, Phase::Moved).lift(1100, 0);
        assert_eq!(
            bench.take(),
            [(1000, Pressed(HERE)), (1100, Released(HERE))]
        );
        let mut bench = Bench::new();
        bench.tap(1000, 0, nowhere).tap(1150, 0, HERE);
        assert_eq!(bench.acts(), 0, "nowhere is elsewhere");
    }

    #[test]
    fn an_impossible_scale_makes_every_other_place_elsewhere() {
        for scale in [0.0, -3.0, f32::NAN, f32::INFINITY] {
            let mut bench = Bench::new();
            bench.filter.set_px_per_mm(scale);
            assert_eq!(bench.tap(1000, 0, HERE).tap(1150, 1, NEAR).acts(), 1);
        }
    }

    #[test]
    fn a_panel_that_went_away_leaves_a_clear_glass() {
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE).start(1000, 1, THERE);
        assert_eq!(bench.filter.reset(), []);
        assert!(!bench.filter.touched());
        bench.start(1010, 0, HERE);
        assert_eq!(bench.filter.reset(), [(ms(1010), Exited)]);
        assert_eq!(bench.filter.next_deadline(), None);
    }

    #[test]
    fn time_that_runs_backwards_counts_as_standing_still() {
        let mut bench = Bench::new();
        bench.start(1000, 0, HERE);
        let lift = Contact::new(0, 0.0, 0.0, Phase::Ended);
        assert_eq!(bench.filter.feed(lift, ms(10)), [(ms(1000), Grazed)]);
    }

    /// One contact as it really was, kept apart from the filter's own books.
    #[derive(Debug)]
    struct Truth {
        id: i32,
        start: (Duration, Position),
        last: Position,
        end: Option<(Duration, Phase)>,
    }

    impl Truth {
        /// Its start and end as far as they happened by `now`.
        fn marks(&self, now: Duration) -> impl Iterator<Item = (Duration, Position)> {
            let end = self.end.map(|(when, _)| (when, self.last));
            std::iter::once(self.start)
                .chain(end)
                .filter(move |(when, _)| *when <= now)
        }
    }

    #[derive(Clone, Debug)]
    struct Step {
        wait: u64,
        id: i32,
        place: Position,
        phase: Phase,
    }

    fn step() -> impl Strategy<Value = Step> {
        let wait = prop_oneof![0..30u64, 30..120u64, 80..300u64, 1000..3000u64];
        let place = prop_oneof![
            Just(HERE),
            Just(NEAR),
            Just(THERE),
            Just(Position::new(0.0, 0.0))
        ];
        let phase = prop_oneof![
            4 => Just(Phase::Started),
            1 => Just(Phase::Moved),
            4 => Just(Phase::Ended),
            1 => Just(Phase::Cancelled)
        ];
        (wait, 0..4i32, place, phase).prop_map(|(wait, id, place, phase)| Step {
            wait,
            id,
            place,
            phase,
        })
    }

    /// Runs `steps` and checks every clean event against what really was on the glass.
    fn check(steps: &[Step]) -> Bench {
        let mut bench = Bench::new();
        let mut truths: Vec<Truth> = Vec::new();
        let mut pressing: Option<usize> = None;
        let mut now = Duration::ZERO;
        for step in steps {
            now += ms(step.wait);
            let at = u64::try_from(now.as_millis()).unwrap();
            bench.until(now);
            judge(&mut bench.seen, &truths, &mut pressing, None);

            let known = truths
                .iter()
                .rposition(|truth| truth.id == step.id && truth.end.is_none());
            let mut fresh = None;
            match (step.phase, known) {
                (Phase::Started, known) => {
                    if let Some(known) = known {
                        truths[known].end = Some((now, Phase::Cancelled));
                    }
                    fresh = Some(truths.len());
                    truths.push(Truth {
                        id: step.id,
                        start: (now, step.place),
                        last: step.place,
                        end: None,
                    });
                }
                (Phase::Moved, Some(known)) => truths[known].last = step.place,
                (phase @ (Phase::Ended | Phase::Cancelled), Some(known)) => {
                    truths[known].end = Some((now, phase));
                }
                (_, None) => {}
            }
            bench.feed(at, step.id, step.place, step.phase);
            judge(&mut bench.seen, &truths, &mut pressing, fresh);
        }
        now += RESTING;
        bench.until(now);
        judge(&mut bench.seen, &truths, &mut pressing, None);
        assert_eq!(pressing, None, "every press ends");
        bench
    }

    fn judge(
        seen: &mut Vec<(Duration, Clean)>,
        truths: &[Truth],
        pressing: &mut Option<usize>,
        fresh: Option<usize>,
    ) {
        for (now, clean) in seen.drain(..) {
            match clean {
                Pressed(_) => {
                    assert_eq!(*pressing, None, "two presses at once");
                    *pressing = Some(fresh.expect("only a start presses"));
                }
                Moved(_) => assert!(pressing.is_some(), "moved while up"),
                Exited | Grazed => assert!(pressing.take().is_some(), "ended while up"),
                Released(at) => {
                    let index = pressing.take().expect("released while up");
                    let own = &truths[index];
                    let (since, from) = own.start;
                    assert_eq!(own.end.map(|(_, phase)| phase), Some(Phase::Ended));
                    assert_eq!(own.last, at);
                    let lasted = own.end.unwrap().0 - since;
                    assert!(lasted >= GRAZE, "a graze of {lasted:?} acted");
                    assert!(
                        now >= since + SPLASH,
                        "acted before a drop could be ruled out"
                    );
                    for (_, other) in truths.iter().enumerate().filter(|(i, _)| *i != index) {
                        let until = other.end.map_or(now, |(when, _)| when);
                        let together = other.start.0 < now && until > since;
                        let rests = other.start.0 + RESTING <= since;
                        assert!(!together || rests, "{other:?} was down during {own:?}");
                        for (when, place) in other.marks(now) {
                            let apart = when.abs_diff(since);
                            let far = (place.x - from.x).hypot(place.y - from.y)
                                > ELSEWHERE_MM * PX_PER_MM;
                            let before = when < now;
                            assert!(
                                !(far && before && apart < SPLASH),
                                "{other:?} splashed {apart:?} from {own:?}"
                            );
                        }
                    }
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn only_lone_fingers_act(steps in proptest::collection::vec(step(), 1..60)) {
            check(&steps);
        }

        #[test]
        fn a_clean_tap_acts_once_after_whatever_came_before(
            steps in proptest::collection::vec(step(), 0..40),
            lasts in 60..2000u64,
            moves in proptest::collection::vec(0..60u64, 0..5),
        ) {
            let mut bench = check(&steps);
            let mut now = u64::try_from(bench.filter.now.as_millis()).unwrap();
            for id in 0..4 {
                bench.lift(now, id);
            }
            now += 80;
            bench.take();
            bench.start(now, 9, HERE);
            for (at, x) in moves.iter().zip(0u8..) {
                bench.feed(now + at, 9, Position::new(f32::from(x), 3.0), Phase::Moved);
            }
            bench.lift(now + lasts, 9);
            let seen = bench.take();
            let count = |wanted: fn(&Clean) -> bool| {
                seen.iter().filter(|(_, clean)| wanted(clean)).count()
            };
            prop_assert_eq!(count(|clean| matches!(clean, Pressed(_))), 1);
            prop_assert_eq!(count(|clean| matches!(clean, Released(_))), 1);
            prop_assert_eq!(count(|clean| matches!(clean, Exited | Grazed)), 0);
        }
    }
}
