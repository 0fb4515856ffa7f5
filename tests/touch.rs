//! Wet glass, through the real window: what reaches a control, and what it makes of it.
//!
//! Contacts come in three ways: through the glass, as the back ends' hooks send them; raw, around
//! it, as Slint would see them without; and as a mouse.

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;

use fillcall::bay::glass::Touches;
use fillcall::screens::glass::backend::take_window_event;
use fillcall::screens::glass::{Contact, Glass, Phase, Position};
use i_slint_backend_testing as testing;
use i_slint_backend_winit::EventResult;
use i_slint_backend_winit::winit::dpi::PhysicalPosition;
use i_slint_backend_winit::winit::event as winit;
use i_slint_core::accessibility::{AccessibilityAction, AccessibleStringProperty};
use i_slint_core::input::TouchPhase;
use i_slint_core::item_tree::ItemRc;
use i_slint_core::items::AccessibleRole;
use i_slint_core::lengths::{LogicalRect, logical_point_from_api};
use i_slint_core::platform::InternalEvent;
use i_slint_core::window::WindowInner;
use slint::platform::{PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalPosition};

slint::slint! {
    import { Press, Feel, Doubt } from "../ui/parts/press.slint";
    export { Feel, Doubt }

    export component Wall inherits Window {
        width: 800px;
        height: 480px;
        in property <bool> left-enabled: true;
        in property <bool> left-visible: true;
        in property <bool> danger-enabled: true;
        in property <bool> danger-visible: true;
        in property <bool> fleeting-there: true;
        out property <bool> left-down: left.down;
        out property <bool> danger-down: danger.down;
        out property <float> danger-progress: danger.progress;
        out property <Doubt> left-doubt: left.doubt;
        out property <Doubt> slow-doubt: slow.doubt;
        out property <Doubt> danger-doubt: danger.doubt;
        callback acted(string);
        // What Slint makes of the same touches by itself.
        callback bare-clicked();

        left := Press {
            x: 0px; y: 0px; width: 200px; height: 200px;
            label: "left";
            enabled: root.left-enabled;
            visible: root.left-visible;
            acted => { root.acted("left"); }
            Text { text: "on top"; accessible-role: none; }
        }
        Press {
            x: 400px; y: 0px; width: 200px; height: 200px;
            label: "right";
            acted => { root.acted("right"); }
        }
        danger := Press {
            x: 0px; y: 240px; width: 200px; height: 200px;
            label: "danger";
            hold: true;
            enabled: root.danger-enabled;
            visible: root.danger-visible;
            acted => { root.acted("danger"); }
        }
        if root.fleeting-there: Press {
            x: 400px; y: 240px; width: 200px; height: 200px;
            label: "fleeting";
            acted => { root.acted("fleeting"); }
        }
        slow := Press {
            x: 210px; y: 0px; width: 80px; height: 80px;
            label: "slow";
            rest: 700ms;
            acted => { root.acted("slow"); }
        }
        TouchArea {
            x: 650px; y: 0px; width: 150px; height: 480px;
            clicked => { root.bare-clicked(); }
        }
    }
}

const LEFT: Position = Position::new(100.0, 100.0);
const RIGHT: Position = Position::new(500.0, 100.0);
const DANGER: Position = Position::new(100.0, 340.0);
const FLEETING: Position = Position::new(500.0, 340.0);
const SLOW: Position = Position::new(250.0, 40.0);
const NOTHING: Position = Position::new(300.0, 220.0);
const BARE: Position = Position::new(720.0, 200.0);

#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    Glass,
    Raw,
    Mouse,
}

struct Bench {
    ui: Wall,
    glass: Glass,
    acted: Rc<RefCell<Vec<String>>>,
    clicks: Rc<Cell<usize>>,
    refusals: Rc<Cell<usize>>,
    bare: Rc<Cell<usize>>,
}

impl Bench {
    fn new() -> Self {
        // One platform to a thread, however many benches.
        thread_local!(static HAS_PLATFORM: Cell<bool> = const { Cell::new(false) });
        if !HAS_PLATFORM.replace(true) {
            testing::init_no_event_loop();
        }
        let bench = Self::on_the_platform(|| Duration::from_millis(testing::get_mocked_time()));
        bench.wait(1000);
        bench
    }

    fn on_the_platform(clock: impl Fn() -> Duration + 'static) -> Self {
        let ui = Wall::new().unwrap();
        ui.window().set_size(slint::PhysicalSize::new(800, 480));
        ui.show().unwrap();
        // 5 px to the millimetre, so 10 mm are 50 px.
        let glass = Glass::with_clock(5.0, clock);
        glass.watch(&ui);
        glass.tell({
            let ui = ui.as_weak();
            move |hand| {
                let ms = |time: Duration| i64::try_from(time.as_millis()).unwrap();
                let ui = ui.unwrap();
                let feel = ui.global::<Feel>();
                feel.set_ago(ms(hand.ago));
                feel.set_lasted(hand.lasted.map_or(-1, ms));
                feel.set_grazed(hand.grazed);
                feel.set_exact(hand.exact);
            }
        });

        let acted: Rc<RefCell<Vec<String>>> = Rc::default();
        let clicks: Rc<Cell<usize>> = Rc::default();
        let refusals: Rc<Cell<usize>> = Rc::default();
        let bare: Rc<Cell<usize>> = Rc::default();
        ui.on_acted({
            let acted = acted.clone();
            move |label| acted.borrow_mut().push(label.to_string())
        });
        let count = |counter: &Rc<Cell<usize>>| {
            let counter = counter.clone();
            move || counter.set(counter.get() + 1)
        };
        ui.global::<Feel>().on_click(count(&clicks));
        ui.global::<Feel>().on_refused(count(&refusals));
        ui.on_bare_clicked(count(&bare));
        let bench = Self {
            ui,
            glass,
            acted,
            clicks,
            refusals,
            bare,
        };
        // Every place that the tests touch is where they believe it to be.
        for (label, place) in [
            ("left", LEFT),
            ("right", RIGHT),
            ("danger", DANGER),
            ("fleeting", FLEETING),
        ] {
            let item = bench.find(label);
            let geometry = item.geometry();
            let at = item.map_to_window(geometry.origin);
            let inside = LogicalRect::new(at, geometry.size);
            let position = LogicalPosition::new(place.x, place.y);
            assert!(inside.contains(logical_point_from_api(position)), "{label}");
        }
        bench
    }

    /// The one button of that name, as a screen reader would find it. Not by the testing crate's
    /// queries: they need debug information that `slint!` has only in some environments.
    fn find(&self, label: &str) -> ItemRc {
        let window = WindowInner::from_pub(self.ui.window());
        let mut found = Vec::new();
        collect(&ItemRc::new_root(window.component()), &mut |item| {
            let name = item.accessible_string_property(AccessibleStringProperty::Label);
            if item.accessible_role() == AccessibleRole::Button && name.as_deref() == Some(label) {
                found.push(item.clone());
            }
        });
        assert_eq!(found.len(), 1, "one button {label}");
        found.remove(0)
    }

    fn ask_by_name(&self, label: &str) -> &Self {
        self.find(label)
            .accessible_action(&AccessibilityAction::Default);
        self
    }

    fn says_enabled(&self, label: &str) -> bool {
        let said = self
            .find(label)
            .accessible_string_property(AccessibleStringProperty::Enabled);
        said.expect("it says whether it is enabled") == "true"
    }

    /// In small steps: a repeating timer fires once for a long one.
    fn wait(&self, ms: u64) -> &Self {
        for _ in 0..ms / 5 {
            testing::mock_elapsed_time(Duration::from_millis(5));
        }
        testing::mock_elapsed_time(Duration::from_millis(ms % 5));
        self
    }

    fn send(&self, way: Way, id: i32, at: Position, phase: Phase) -> &Self {
        let position = LogicalPosition::new(at.x, at.y);
        let button = PointerEventButton::Left;
        let window = self.ui.window();
        match way {
            Way::Glass => {
                let contact = Contact {
                    id,
                    position: at,
                    phase,
                };
                self.glass.deliver(contact, self.glass.now());
            }
            Way::Raw => window.dispatch_event(WindowEvent::internal(InternalEvent::Touch {
                id,
                position: logical_point_from_api(position),
                phase: match phase {
                    Phase::Started => TouchPhase::Started,
                    Phase::Moved => TouchPhase::Moved,
                    Phase::Ended => TouchPhase::Ended,
                    Phase::Cancelled => TouchPhase::Cancelled,
                },
            })),
            Way::Mouse => {
                assert_eq!(id, 0, "there is one mouse");
                window.dispatch_event(match phase {
                    Phase::Started => WindowEvent::PointerPressed { position, button },
                    Phase::Moved => WindowEvent::PointerMoved { position },
                    Phase::Ended => WindowEvent::PointerReleased { position, button },
                    Phase::Cancelled => WindowEvent::PointerExited,
                });
            }
        }
        self
    }

    fn start(&self, way: Way, id: i32, at: Position) -> &Self {
        self.send(way, id, at, Phase::Started)
    }

    fn shift(&self, way: Way, id: i32, at: Position) -> &Self {
        self.send(way, id, at, Phase::Moved)
    }

    /// A mouse may be released elsewhere without a move before it.
    fn shift_unless_mouse(&self, way: Way, at: Position) -> &Self {
        if way != Way::Mouse {
            self.shift(way, 0, at);
        }
        self
    }

    fn lift(&self, way: Way, id: i32, at: Position) -> &Self {
        self.send(way, id, at, Phase::Ended)
    }

    fn cancel(&self, way: Way, id: i32, at: Position) -> &Self {
        self.send(way, id, at, Phase::Cancelled)
    }

    fn tap(&self, way: Way, id: i32, at: Position) -> &Self {
        self.start(way, id, at).wait(120).lift(way, id, at)
    }

    /// Drawing, or the disk, holds the event loop up: nothing is read meanwhile, and all timers come at
    /// once after it.
    fn stall(&self, ms: u64) -> &Self {
        testing::mock_elapsed_time(Duration::from_millis(ms));
        self
    }

    /// A contact that the panel stamped, read now.
    fn stamped(&self, id: i32, at: Position, phase: Phase, stamp: Duration) -> &Self {
        let contact = Contact {
            id,
            position: at,
            phase,
        };
        self.glass.deliver_stamped(contact, stamp);
        self
    }

    /// Which controls acted since the last call, once everything has settled.
    #[track_caller]
    fn assert_acted(&self, expected: &[&str]) {
        self.wait(200);
        assert_eq!(*self.acted.borrow(), expected);
        assert_eq!(self.clicks.get(), expected.len(), "one click for each");
        assert!(!self.ui.get_left_down(), "nothing stays pressed");
        self.acted.borrow_mut().clear();
        self.clicks.set(0);
    }

    /// The glass is clear again, so a tap must act.
    #[track_caller]
    fn assert_alive(&self) {
        self.assert_acted(&[]);
        self.tap(Way::Glass, 0, LEFT).assert_acted(&["left"]);
        self.tap(Way::Glass, 3, RIGHT).assert_acted(&["right"]);
    }
}

fn collect(item: &ItemRc, visit: &mut dyn FnMut(&ItemRc)) {
    visit(item);
    let mut child = item.first_child();
    while let Some(item) = child {
        collect(&item, visit);
        child = item.next_sibling();
    }
}

/// The ways by which a clean press may come.
const CLEAN: [Way; 2] = [Way::Glass, Way::Mouse];

#[test]
fn a_plain_press_acts_once_and_shows_at_once() {
    let bench = Bench::new();
    for way in CLEAN {
        bench.start(way, 0, LEFT);
        assert!(bench.ui.get_left_down(), "{way:?}: shown in the next frame");
        bench.wait(120);
        assert!(bench.ui.get_left_down(), "{way:?}");
        bench.lift(way, 0, LEFT);
        assert!(!bench.ui.get_left_down(), "{way:?}");
        bench.assert_acted(&["left"]);
        bench.tap(way, 0, FLEETING).assert_acted(&["fleeting"]);
        bench.tap(way, 0, NOTHING).assert_acted(&[]);
    }
    assert_eq!(bench.refusals.get(), 0);
}

#[test]
fn a_short_press_acts_at_80_ms() {
    let bench = Bench::new();
    bench
        .start(Way::Glass, 0, LEFT)
        .wait(60)
        .lift(Way::Glass, 0, LEFT);
    bench.wait(19);
    assert!(bench.acted.borrow().is_empty());
    assert!(
        bench.ui.get_left_down(),
        "still shown while it is held back"
    );
    bench.wait(2);
    assert_eq!(*bench.acted.borrow(), ["left"]);
    bench.assert_acted(&["left"]);
}

#[test]
fn a_graze_does_not_act() {
    let bench = Bench::new();
    for way in CLEAN {
        bench.start(way, 0, LEFT).wait(39).lift(way, 0, LEFT);
        bench.assert_acted(&[]);
        bench.start(way, 0, LEFT).wait(40).lift(way, 0, LEFT);
        bench.assert_acted(&["left"]);
    }
}

/// So long nothing is read, drawn or timed.
const STALLS: [u64; 3] = [120, 300, 600];
/// The panel counts from another instant.
const BOOT: Duration = Duration::from_secs(1000);

#[test]
fn a_press_within_a_stall_counts_by_the_times_of_the_panel() {
    // The first contact of all is the hardest: nobody knows yet how far the clocks are apart.
    for known in [false, true] {
        for stall in STALLS {
            let bench = Bench::new();
            if known {
                let now = BOOT + bench.glass.now();
                bench.stamped(0, NOTHING, Phase::Started, now).wait(100);
                bench
                    .stamped(0, NOTHING, Phase::Ended, now + ms(100))
                    .wait(500);
            }
            let began = BOOT + bench.glass.now();
            bench.stall(stall);
            bench.stamped(0, LEFT, Phase::Started, began + ms(20));
            bench.stamped(0, LEFT, Phase::Ended, began + ms(80));
            assert!(bench.ui.get_left_down(), "{stall} ms: it is shown");
            bench.assert_acted(&["left"]);
            // And a graze is one, however long it waited.
            let began = BOOT + bench.glass.now();
            bench.stall(stall);
            bench.stamped(0, LEFT, Phase::Started, began + ms(20));
            bench.stamped(0, LEFT, Phase::Ended, began + ms(59));
            bench.assert_acted(&[]);
            assert_eq!(bench.ui.get_left_doubt(), Doubt::Again);
            assert_eq!(bench.refusals.get(), 0, "a drop is not told off");
        }
    }
}

#[test]
fn a_press_that_a_window_cannot_time_shows_that_it_did_not_count() {
    for stall in STALLS {
        for way in CLEAN {
            let bench = Bench::new();
            // Both waited: they come at once, and nobody can tell them from a graze.
            bench.stall(stall).start(way, 0, LEFT).lift(way, 0, LEFT);
            bench.wait(60);
            assert_eq!(
                bench.ui.get_left_doubt(),
                Doubt::Again,
                "{way:?}, {stall} ms"
            );
            assert_eq!(
                bench.refusals.get(),
                1,
                "{way:?}, {stall} ms: and it is heard"
            );
            bench.assert_acted(&[]);
            bench.tap(way, 0, LEFT);
            assert_eq!(bench.ui.get_left_doubt(), Doubt::None);
            bench.assert_acted(&["left"]);
            // Of which one end came before the stall, is long enough.
            bench.start(way, 0, LEFT).stall(stall).lift(way, 0, LEFT);
            bench.assert_acted(&["left"]);
            bench
                .stall(stall)
                .start(way, 0, LEFT)
                .wait(60)
                .lift(way, 0, LEFT);
            bench.assert_acted(&["left"]);
        }
    }
}

#[test]
fn a_hold_goes_by_the_hand_and_not_by_what_was_drawn_between() {
    for stall in STALLS {
        let bench = Bench::new();
        let began = BOOT + bench.glass.now();
        bench.stamped(0, DANGER, Phase::Started, began).wait(1100);
        // Let go at once when the stall begins: the timer of the hold comes first.
        bench.stall(stall);
        bench.stamped(0, DANGER, Phase::Ended, began + ms(1110));
        bench.assert_acted(&[]);
        assert_eq!(bench.ui.get_danger_doubt(), Doubt::Hold);
        assert_eq!(bench.refusals.get(), 1);
        bench.wait(1600);
        assert_eq!(bench.ui.get_danger_doubt(), Doubt::None, "for a moment");

        // Held for 1.25 s, of which the stall hid the beginning.
        let began = BOOT + bench.glass.now();
        bench.stall(stall);
        bench.stamped(0, DANGER, Phase::Started, began);
        bench.wait(1250 - stall);
        bench.stamped(0, DANGER, Phase::Ended, began + ms(1250));
        bench.assert_acted(&["danger"]);

        // Held on through a stall: it acts at the look after that.
        let began = BOOT + bench.glass.now();
        bench.stamped(0, DANGER, Phase::Started, began).wait(1100);
        bench.stall(stall).wait(25);
        assert_eq!(*bench.acted.borrow(), ["danger"]);
        let now = BOOT + bench.glass.now();
        bench.stamped(0, DANGER, Phase::Ended, now);
        bench.assert_acted(&["danger"]);
    }
}

#[test]
fn water_that_a_stall_hid_still_voids_a_short_press() {
    for stall in STALLS {
        let bench = Bench::new();
        let began = BOOT + bench.glass.now();
        bench.stamped(0, LEFT, Phase::Started, began).wait(50);
        bench.stamped(0, LEFT, Phase::Ended, began + ms(50));
        // The timer that lets the lift count comes before what happened meanwhile is read.
        bench.stall(stall);
        bench.stamped(0, RIGHT, Phase::Started, began + ms(70));
        bench.stamped(0, RIGHT, Phase::Ended, began + ms(75));
        bench.assert_acted(&[]);
        bench.assert_alive();
    }
}

#[test]
fn no_press_counts_before_the_page_was_seen() {
    for way in CLEAN {
        let bench = Bench::new();
        bench.ui.global::<Feel>().invoke_turned();
        for wait in [0, 150] {
            bench.wait(wait).tap(way, 0, LEFT);
            assert_eq!(bench.ui.get_left_doubt(), Doubt::Moment, "{way:?}");
            assert!(bench.refusals.get() > 0);
            assert!(bench.acted.borrow().is_empty());
        }
        bench.wait(200).tap(way, 0, LEFT).assert_acted(&["left"]);
        // Nor one that was under way, a hold among them.
        bench.start(way, 0, LEFT).wait(100);
        bench.ui.global::<Feel>().invoke_turned();
        bench.wait(500).lift(way, 0, LEFT).assert_acted(&[]);
        bench.start(way, 0, DANGER).wait(100);
        bench.ui.global::<Feel>().invoke_turned();
        bench.wait(1500).lift(way, 0, DANGER).assert_acted(&[]);
        bench.tap(way, 0, LEFT).assert_acted(&["left"]);
    }
    // By when the hand came, not by when that was read.
    let bench = Bench::new();
    let began = BOOT + bench.glass.now();
    bench.stamped(0, NOTHING, Phase::Started, began).wait(100);
    bench.stamped(0, NOTHING, Phase::Ended, began + ms(100));
    bench.ui.global::<Feel>().invoke_turned();
    bench.wait(380).stall(300);
    bench.stamped(0, LEFT, Phase::Started, began + ms(300));
    bench.stamped(0, LEFT, Phase::Ended, began + ms(600));
    bench.assert_acted(&[]);
    assert_eq!(bench.ui.get_left_doubt(), Doubt::Moment);
}

#[test]
fn a_press_that_comes_while_the_control_rests_is_seen() {
    let bench = Bench::new();
    bench
        .tap(Way::Glass, 0, SLOW)
        .wait(200)
        .tap(Way::Glass, 0, SLOW);
    assert_eq!(bench.ui.get_slow_doubt(), Doubt::Moment);
    bench.assert_acted(&["slow"]);
    // A bounce of the finger is no press of anybody's.
    bench
        .tap(Way::Glass, 0, LEFT)
        .wait(10)
        .tap(Way::Glass, 0, LEFT);
    assert_eq!(bench.ui.get_left_doubt(), Doubt::None);
    bench.assert_acted(&["left"]);
}

const fn ms(ms: u64) -> Duration {
    Duration::from_millis(ms)
}

#[test]
fn a_touch_that_the_screen_sees_late_still_acts_once() {
    let bench = Bench::new();
    let touched = bench.glass.now();
    // Drawing took 300 ms; then both come at once, with the panel's own times.
    bench.wait(300);
    let start = Contact::new(0, LEFT.x, LEFT.y, Phase::Started);
    let lift = Contact::new(0, 0.0, 0.0, Phase::Ended);
    bench.glass.deliver(start, touched);
    bench
        .glass
        .deliver(lift, touched + Duration::from_millis(120));
    assert!(bench.ui.get_left_down(), "it is shown first");
    assert!(bench.acted.borrow().is_empty());
    bench.wait(50);
    bench.assert_acted(&["left"]);
}

#[test]
fn a_second_contact_voids_the_press() {
    let bench = Bench::new();
    for (after, place) in [
        (0, RIGHT),
        (20, RIGHT),
        (79, LEFT),
        (500, RIGHT),
        (500, LEFT),
    ] {
        bench.start(Way::Glass, 0, LEFT).wait(after);
        bench.start(Way::Glass, 1, place);
        assert!(!bench.ui.get_left_down(), "{after} ms: taken back at once");
        bench.wait(150).lift(Way::Glass, 1, place);
        bench.wait(150).lift(Way::Glass, 0, LEFT);
        bench.assert_acted(&[]);

        // The first one goes first.
        bench.start(Way::Glass, 0, LEFT).wait(after);
        bench
            .start(Way::Glass, 1, place)
            .wait(150)
            .lift(Way::Glass, 0, LEFT);
        bench.wait(150).lift(Way::Glass, 1, place);
        bench.assert_acted(&[]);
    }
    bench.assert_alive();
}

#[test]
fn a_contact_that_is_there_before_stands_in_the_way() {
    let bench = Bench::new();
    bench.start(Way::Glass, 0, NOTHING).wait(1000);
    bench
        .tap(Way::Glass, 1, LEFT)
        .wait(200)
        .lift(Way::Glass, 0, NOTHING);
    bench.assert_alive();
}

#[test]
fn touches_closer_than_80_ms_elsewhere_are_water() {
    let bench = Bench::new();
    // While the first one's lift is held back.
    bench
        .start(Way::Glass, 0, LEFT)
        .wait(50)
        .lift(Way::Glass, 0, LEFT);
    bench.wait(25).tap(Way::Glass, 0, RIGHT).assert_acted(&[]);
    // After the first one has acted, only the second one is void.
    bench.tap(Way::Glass, 0, LEFT).wait(79);
    bench.tap(Way::Glass, 0, RIGHT).assert_acted(&["left"]);
    bench.tap(Way::Glass, 0, LEFT).wait(80);
    bench
        .tap(Way::Glass, 0, RIGHT)
        .assert_acted(&["left", "right"]);
}

#[test]
fn a_cancelled_contact_does_not_act() {
    let bench = Bench::new();
    for way in CLEAN {
        bench.start(way, 0, LEFT).wait(200).cancel(way, 0, LEFT);
        assert!(!bench.ui.get_left_down(), "{way:?}");
        bench.assert_acted(&[]);
        bench.lift(way, 0, LEFT).assert_acted(&[]);
    }
    bench.assert_alive();
}

#[test]
fn a_drop_rests_and_a_finger_elsewhere_acts() {
    let bench = Bench::new();
    bench.start(Way::Glass, 0, RIGHT).wait(2600);
    bench.tap(Way::Glass, 1, LEFT).assert_acted(&["left"]);
    // It trembles.
    bench.start(Way::Glass, 1, LEFT).wait(60);
    bench
        .shift(Way::Glass, 0, FLEETING)
        .wait(60)
        .lift(Way::Glass, 1, LEFT);
    bench.assert_acted(&["left"]);
    bench.lift(Way::Glass, 0, FLEETING);
    bench.assert_alive();
}

#[test]
fn a_leaning_hand_does_not_act() {
    let bench = Bench::new();
    bench.start(Way::Glass, 0, LEFT).wait(2495);
    assert!(bench.ui.get_left_down());
    bench.wait(10);
    assert!(!bench.ui.get_left_down(), "taken back after 2.5 s");
    bench.wait(500).lift(Way::Glass, 0, LEFT);
    bench.assert_alive();
}

#[test]
fn a_slide_off_is_for_good() {
    let bench = Bench::new();
    for way in CLEAN {
        for off in [
            Position::new(205.0, 100.0),
            NOTHING,
            RIGHT,
            Position::new(100.0, -3.0),
        ] {
            bench.start(way, 0, LEFT).wait(100).shift(way, 0, off);
            assert!(!bench.ui.get_left_down(), "{way:?} to {off:?}");
            bench.wait(100).lift(way, 0, off).assert_acted(&[]);

            bench
                .start(way, 0, LEFT)
                .wait(100)
                .shift(way, 0, off)
                .wait(100);
            bench.shift(way, 0, LEFT).wait(100);
            assert!(!bench.ui.get_left_down(), "{way:?} back from {off:?}");
            bench.lift(way, 0, LEFT).assert_acted(&[]);
        }
        // Off within the lift itself.
        bench.start(way, 0, LEFT).wait(100);
        bench.shift_unless_mouse(way, NOTHING).lift(way, 0, NOTHING);
        bench.assert_acted(&[]);
        // Onto a control is no press of it; within one is.
        bench
            .start(way, 0, NOTHING)
            .wait(50)
            .shift(way, 0, LEFT)
            .wait(100);
        bench.lift(way, 0, LEFT).assert_acted(&[]);
        bench.start(way, 0, LEFT).wait(50);
        bench.shift(way, 0, Position::new(190.0, 20.0)).wait(100);
        bench
            .lift(way, 0, Position::new(190.0, 20.0))
            .assert_acted(&["left"]);
    }
}

#[test]
fn three_contacts_are_void() {
    let bench = Bench::new();
    for (id, place) in [(0, LEFT), (1, RIGHT), (2, FLEETING)] {
        bench.start(Way::Glass, id, place).wait(150);
    }
    for (id, place) in [(2, FLEETING), (0, LEFT), (1, RIGHT)] {
        bench.lift(Way::Glass, id, place).wait(150);
    }
    bench.assert_alive();
    // Two that rest and a finger are three as well.
    bench.start(Way::Glass, 0, RIGHT).wait(300);
    bench.start(Way::Glass, 1, FLEETING).wait(3000);
    bench.tap(Way::Glass, 2, LEFT).assert_acted(&[]);
    bench
        .lift(Way::Glass, 0, RIGHT)
        .lift(Way::Glass, 1, FLEETING);
    bench.assert_alive();
}

#[test]
fn reports_that_make_no_sense_do_not_act() {
    let bench = Bench::new();
    let corner = Position::new(0.0, 0.0);
    bench
        .lift(Way::Glass, 5, corner)
        .cancel(Way::Glass, 6, corner);
    bench
        .shift(Way::Glass, 7, LEFT)
        .wait(100)
        .lift(Way::Glass, 7, LEFT);
    bench.assert_acted(&[]);
    bench
        .start(Way::Glass, 0, LEFT)
        .wait(100)
        .start(Way::Glass, 0, LEFT);
    bench.wait(100).lift(Way::Glass, 0, LEFT);
    bench.lift(Way::Glass, 0, LEFT).assert_acted(&[]);
    bench
        .start(Way::Glass, 0, Position::new(f32::NAN, f32::NAN))
        .wait(100);
    bench.lift(Way::Glass, 0, corner);
    bench.assert_alive();
}

#[test]
fn a_panel_that_goes_away_takes_its_press_along() {
    let bench = Bench::new();
    bench.start(Way::Glass, 0, LEFT).wait(100);
    bench.glass.reset();
    assert!(!bench.ui.get_left_down());
    bench.lift(Way::Glass, 0, LEFT);
    bench.assert_alive();
}

#[test]
fn raw_touches_never_act() {
    let bench = Bench::new();
    // The plain one, the cancelled one, and the releases and presses that a second one makes up.
    bench.tap(Way::Raw, 0, LEFT).assert_acted(&[]);
    bench
        .start(Way::Raw, 0, LEFT)
        .wait(100)
        .cancel(Way::Raw, 0, LEFT);
    bench.assert_acted(&[]);
    bench
        .start(Way::Raw, 0, LEFT)
        .wait(100)
        .start(Way::Raw, 1, LEFT)
        .wait(100);
    bench
        .lift(Way::Raw, 1, LEFT)
        .wait(100)
        .lift(Way::Raw, 0, LEFT);
    bench.assert_acted(&[]);
    bench
        .start(Way::Raw, 0, DANGER)
        .wait(1500)
        .lift(Way::Raw, 0, DANGER);
    bench.assert_acted(&[]);
    assert!(!bench.ui.get_danger_down());
    // The same really reaches Slint: each of them is a click to a bare area.
    bench
        .start(Way::Raw, 0, BARE)
        .wait(100)
        .cancel(Way::Raw, 0, BARE);
    assert_eq!(
        bench.bare.get(),
        1,
        "without the filter a cancelled touch clicks"
    );
    bench.assert_alive();
}

#[test]
fn a_raw_touch_voids_a_clean_press() {
    let bench = Bench::new();
    for clean in CLEAN {
        bench.start(clean, 0, LEFT).wait(100);
        bench
            .start(Way::Raw, 0, LEFT)
            .wait(100)
            .lift(Way::Raw, 0, LEFT)
            .wait(100);
        bench.lift(clean, 0, LEFT).assert_acted(&[]);

        // While one holds on to a control, all else is sent there too, wherever it is.
        bench
            .start(Way::Raw, 0, LEFT)
            .wait(100)
            .start(clean, 0, RIGHT);
        assert!(!bench.ui.get_left_down(), "{clean:?}");
        bench
            .wait(100)
            .lift(clean, 0, RIGHT)
            .lift(Way::Raw, 0, LEFT);
        bench.assert_acted(&[]);
    }
    bench.assert_alive();
}

#[test]
fn a_mouse_and_a_finger_at_once_void_each_other() {
    let bench = Bench::new();
    for place in [LEFT, RIGHT] {
        bench
            .start(Way::Mouse, 0, LEFT)
            .wait(100)
            .tap(Way::Glass, 0, place);
        bench.wait(100).lift(Way::Mouse, 0, LEFT).assert_acted(&[]);
    }
    bench.assert_alive();
}

#[test]
fn the_touches_of_a_display_server_go_through_the_glass() {
    let bench = Bench::new();
    let send = |phase, x: f32| {
        let event = winit::WindowEvent::Touch(winit::Touch {
            device_id: winit::DeviceId::dummy(),
            phase,
            // Twice as many pixels as logical ones.
            location: PhysicalPosition::new(f64::from(x * 2.0), f64::from(LEFT.y * 2.0)),
            force: None,
            id: 1_u64 << 40,
        });
        take_window_event(&bench.glass, 2.0, &event)
    };
    let mouse = |event: winit::WindowEvent| take_window_event(&bench.glass, 2.0, &event);
    let moved = winit::WindowEvent::CursorMoved {
        device_id: winit::DeviceId::dummy(),
        position: PhysicalPosition::new(1.0, 1.0),
    };
    let clicked = winit::WindowEvent::MouseInput {
        device_id: winit::DeviceId::dummy(),
        state: winit::ElementState::Pressed,
        button: winit::MouseButton::Left,
    };

    assert_eq!(mouse(moved.clone()), EventResult::Propagate);
    assert_eq!(
        send(winit::TouchPhase::Started, LEFT.x),
        EventResult::PreventDefault
    );
    assert!(bench.ui.get_left_down());
    assert_eq!(
        mouse(moved.clone()),
        EventResult::PreventDefault,
        "it follows the finger"
    );
    assert_eq!(mouse(clicked), EventResult::Propagate, "a real one");
    bench.wait(100);
    assert_eq!(
        send(winit::TouchPhase::Ended, LEFT.x),
        EventResult::PreventDefault
    );
    bench.assert_acted(&["left"]);
    assert_eq!(mouse(moved), EventResult::Propagate);

    for (middle, end) in [
        (winit::TouchPhase::Moved, winit::TouchPhase::Cancelled),
        (winit::TouchPhase::Started, winit::TouchPhase::Ended),
    ] {
        send(winit::TouchPhase::Started, LEFT.x);
        bench.wait(100);
        send(middle, LEFT.x + 5.0);
        bench.wait(100);
        send(end, LEFT.x);
        bench.assert_acted(&[]);
    }
    // The lift is where the server says, even where it reported no move before.
    send(winit::TouchPhase::Started, LEFT.x);
    bench.wait(100);
    send(winit::TouchPhase::Ended, RIGHT.x);
    bench.assert_acted(&[]);
}

/// A glass that is asleep, or wiped, and how often it was woken.
fn guarded(bench: &Bench) -> (Rc<Cell<Touches>>, Rc<Cell<usize>>) {
    let (touches, woken) = (Rc::new(Cell::new(Touches::Press)), Rc::new(Cell::new(0)));
    let (asked, wakes, count) = (touches.clone(), touches.clone(), woken.clone());
    bench.glass.guard(
        move || asked.get(),
        move || {
            count.set(count.get() + 1);
            wakes.set(Touches::Press);
        },
    );
    (touches, woken)
}

#[test]
fn what_wakes_the_glass_presses_nothing_until_it_is_lifted() {
    let bench = Bench::new();
    let (touches, woken) = guarded(&bench);
    // A tap, a long hold over what is held, a graze, and one that the controller takes back.
    for (at, lasts, lifts) in [
        (LEFT, 120, true),
        (DANGER, 1500, true),
        (DANGER, 3000, true),
        (LEFT, 20, true),
        (LEFT, 120, false),
    ] {
        touches.set(Touches::Wake);
        woken.set(0);
        bench.start(Way::Glass, 0, at).wait(lasts / 2);
        assert!(!bench.ui.get_left_down() && !bench.ui.get_danger_down());
        assert_eq!(woken.get(), 1, "at once, and once");
        bench.shift(Way::Glass, 0, Position::new(at.x + 3.0, at.y));
        bench.wait(lasts / 2);
        match lifts {
            true => bench.lift(Way::Glass, 0, at),
            false => bench.cancel(Way::Glass, 0, at),
        };
        bench.assert_acted(&[]);
        assert_eq!((woken.get(), bench.refusals.get()), (1, 0), "{lasts}");
        bench.assert_alive();
    }
    // A second finger while the first one is still there is no press, as always; the next one is.
    touches.set(Touches::Wake);
    bench.start(Way::Glass, 0, LEFT).wait(100);
    bench.tap(Way::Glass, 1, RIGHT).wait(100);
    bench.lift(Way::Glass, 0, LEFT).assert_acted(&[]);
    bench.assert_alive();
}

#[test]
fn a_drop_that_woke_the_glass_and_stays_there_does_not_leave_it_dead() {
    let bench = Bench::new();
    let (touches, woken) = guarded(&bench);
    touches.set(Touches::Wake);
    bench.start(Way::Glass, 0, LEFT).wait(2600);
    assert_eq!(woken.get(), 1);
    bench.tap(Way::Glass, 1, RIGHT).assert_acted(&["right"]);
    bench.tap(Way::Glass, 2, RIGHT).assert_acted(&["right"]);
}

#[test]
fn a_press_that_began_on_a_bright_glass_is_not_taken_away() {
    let bench = Bench::new();
    let (touches, woken) = guarded(&bench);
    bench.start(Way::Glass, 0, LEFT).wait(60);
    touches.set(Touches::Wake);
    bench.wait(60).lift(Way::Glass, 0, LEFT);
    bench.assert_acted(&["left"]);
    assert_eq!(woken.get(), 0);
}

#[test]
fn a_glass_that_is_wiped_takes_nothing_and_is_not_woken() {
    let bench = Bench::new();
    let (touches, woken) = guarded(&bench);
    touches.set(Touches::Nothing);
    bench.tap(Way::Glass, 0, LEFT).assert_acted(&[]);
    // What began on it does nothing when it ends after that.
    bench.start(Way::Glass, 0, LEFT).wait(60);
    touches.set(Touches::Press);
    bench.wait(60).lift(Way::Glass, 0, LEFT);
    bench.assert_acted(&[]);
    assert_eq!(woken.get(), 0);
    bench.assert_alive();
}

#[test]
fn a_mouse_wakes_the_glass_too_and_presses_nothing() {
    let bench = Bench::new();
    let (touches, woken) = guarded(&bench);
    let button = |state| {
        let event = winit::WindowEvent::MouseInput {
            device_id: winit::DeviceId::dummy(),
            state,
            button: winit::MouseButton::Left,
        };
        take_window_event(&bench.glass, 1.0, &event)
    };
    let (down, up) = (winit::ElementState::Pressed, winit::ElementState::Released);
    assert_eq!(button(down), EventResult::Propagate);
    assert_eq!(button(up), EventResult::Propagate);
    touches.set(Touches::Wake);
    assert_eq!(button(down), EventResult::PreventDefault);
    assert_eq!(woken.get(), 1);
    assert_eq!(button(up), EventResult::PreventDefault, "its lift as well");
    assert_eq!(button(down), EventResult::Propagate);
    assert_eq!(button(up), EventResult::Propagate);
    touches.set(Touches::Nothing);
    assert_eq!(button(down), EventResult::PreventDefault);
    touches.set(Touches::Press);
    assert_eq!(button(up), EventResult::PreventDefault);
    assert_eq!(button(down), EventResult::Propagate);
    assert_eq!(woken.get(), 1);
}

#[test]
fn two_buttons_of_a_mouse_are_no_press() {
    let bench = Bench::new();
    let position = LogicalPosition::new(LEFT.x, LEFT.y);
    let right = PointerEventButton::Right;
    let window = bench.ui.window();
    window.dispatch_event(WindowEvent::PointerPressed {
        position,
        button: right,
    });
    assert!(!bench.ui.get_left_down());
    bench.wait(100);
    window.dispatch_event(WindowEvent::PointerReleased {
        position,
        button: right,
    });
    bench.assert_acted(&[]);
    bench.start(Way::Mouse, 0, LEFT).wait(100);
    window.dispatch_event(WindowEvent::PointerPressed {
        position,
        button: right,
    });
    bench.wait(100);
    bench.lift(Way::Mouse, 0, LEFT).assert_acted(&[]);
    window.dispatch_event(WindowEvent::PointerReleased {
        position,
        button: right,
    });
    bench.assert_alive();
}

/// Small, seeded, the same everywhere.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}

/// 1000 drops, each within 80 ms of one elsewhere, on and beside the controls: none may act. As
/// what happens and when, in order.
fn rain(seed: u64) -> Vec<(u64, i32, Position, Phase)> {
    let mut dice = Dice(seed);
    let places = [LEFT, RIGHT, DANGER, FLEETING, BARE, NOTHING];
    let mut last = 0;
    let mut now = 0;
    let mut events = Vec::new();
    for id in 0..1000 {
        now += 5 + dice.below(70);
        let place = (last + 1 + dice.below(5) as usize) % places.len();
        last = place;
        let mut jitter = || dice.below(60) as f32 - 30.0;
        let at = Position::new(places[place].x + jitter(), places[place].y + jitter());
        let gone = now + 5 + dice.below(400);
        let end = match dice.below(5) {
            0 => Phase::Cancelled,
            _ => Phase::Ended,
        };
        events.push((now, id, at, Phase::Started));
        events.push((gone, id, at, end));
    }
    events.sort_by_key(|(when, ..)| *when);
    events
}

fn let_it_rain(bench: &Bench, way: Way, seed: u64) {
    let mut now = 0;
    for (when, id, at, phase) in rain(seed) {
        bench.wait(when - now).send(way, id, at, phase);
        now = when;
    }
}

#[test]
fn rain_does_not_act_and_the_screen_lives_on() {
    let bench = Bench::new();
    for seed in [1, 20, 300] {
        let_it_rain(&bench, Way::Glass, seed);
        bench.assert_alive();
        assert_eq!(bench.bare.get(), 0, "not even a bare area hears of it");
    }
}

#[test]
fn rain_around_the_filter_does_not_act_either() {
    let bench = Bench::new();
    let_it_rain(&bench, Way::Raw, 4000);
    bench.assert_acted(&[]);
    assert!(bench.bare.get() > 0, "it did rain");
}

#[test]
fn a_hold_acts_once_at_1200_ms() {
    let bench = Bench::new();
    for way in CLEAN {
        bench.start(way, 0, DANGER);
        assert!(bench.ui.get_danger_down(), "{way:?}");
        assert_eq!(bench.ui.get_danger_progress(), 0.0);
        bench.wait(600);
        let half = bench.ui.get_danger_progress();
        assert!((0.4..0.6).contains(&half), "{way:?}: {half} at 0.6 s");
        bench.wait(500);
        assert!(bench.ui.get_danger_progress() > half, "{way:?}");
        assert!(bench.acted.borrow().is_empty(), "{way:?}");
        bench.wait(150);
        assert_eq!(
            *bench.acted.borrow(),
            ["danger"],
            "{way:?}: while still held"
        );
        assert!(!bench.ui.get_danger_down());
        assert_eq!(bench.ui.get_danger_progress(), 0.0);
        bench.wait(500).lift(way, 0, DANGER);
        bench.assert_acted(&["danger"]);
    }
    assert_eq!(bench.refusals.get(), 0);
}

#[test]
fn a_hold_let_go_too_soon_is_refused() {
    let bench = Bench::new();
    for (way, refusals) in CLEAN.into_iter().zip(1..) {
        bench.start(way, 0, DANGER).wait(1100).lift(way, 0, DANGER);
        bench.wait(2000).assert_acted(&[]);
        assert_eq!(bench.ui.get_danger_progress(), 0.0, "{way:?}");
        assert_eq!(bench.refusals.get(), refusals, "{way:?}: and says so");
        bench.start(way, 0, DANGER).wait(300).cancel(way, 0, DANGER);
        assert_eq!(bench.ui.get_danger_doubt(), Doubt::None, "water does not");
    }
}

#[test]
fn a_hold_let_go_right_on_time_acts_once() {
    let bench = Bench::new();
    for way in CLEAN {
        for (lasts, acted) in [(1199, &[][..]), (1200, &["danger"])] {
            let began = bench.glass.now();
            bench.start(way, 0, DANGER).wait(1190);
            if way == Way::Glass {
                // The glass has its own time for it.
                let lift = Contact::new(0, 0.0, 0.0, Phase::Ended);
                bench.glass.deliver(lift, began + ms(lasts));
                bench.assert_acted(acted);
                continue;
            }
            // The rest without the timer that watches the hold.
            i_slint_core::animations::CURRENT_ANIMATION_DRIVER.with(|driver| {
                let tick = driver.current_tick() + Duration::from_millis(lasts - 1190);
                driver.update_animations(tick);
            });
            bench.lift(way, 0, DANGER).assert_acted(acted);
        }
    }
}

#[test]
fn water_slides_and_cancels_void_a_hold() {
    let bench = Bench::new();
    bench
        .start(Way::Glass, 0, DANGER)
        .wait(800)
        .start(Way::Glass, 1, RIGHT);
    assert!(!bench.ui.get_danger_down());
    assert_eq!(bench.ui.get_danger_progress(), 0.0);
    bench
        .wait(1000)
        .lift(Way::Glass, 1, RIGHT)
        .lift(Way::Glass, 0, DANGER);
    bench.assert_acted(&[]);
    for way in CLEAN {
        bench
            .start(way, 0, DANGER)
            .wait(800)
            .shift(way, 0, NOTHING)
            .wait(100);
        assert_eq!(bench.ui.get_danger_progress(), 0.0, "{way:?}");
        bench.shift(way, 0, DANGER).wait(1000).lift(way, 0, DANGER);
        bench.assert_acted(&[]);
        bench
            .start(way, 0, DANGER)
            .wait(800)
            .cancel(way, 0, DANGER)
            .wait(1000);
        bench.assert_acted(&[]);
    }
    assert_eq!(bench.refusals.get(), 0, "nobody is told off for water");
}

#[test]
fn a_disabled_press_refuses() {
    let bench = Bench::new();
    bench.ui.set_left_enabled(false);
    bench.wait(50);
    for (way, refusals) in CLEAN.into_iter().zip(1..) {
        bench.start(way, 0, LEFT);
        assert!(!bench.ui.get_left_down(), "{way:?}");
        bench.wait(100).lift(way, 0, LEFT).assert_acted(&[]);
        assert_eq!(bench.refusals.get(), refusals, "{way:?}");
    }
    assert!(!bench.says_enabled("left"));
    bench.ask_by_name("left").assert_acted(&[]);
}

#[test]
fn what_is_disabled_or_hidden_meanwhile_does_not_act() {
    let bench = Bench::new();
    type Switch = fn(&Wall, bool);
    let enabled: Switch = Wall::set_left_enabled;
    let visible: Switch = Wall::set_left_visible;
    for way in CLEAN {
        for switch in [enabled, visible] {
            bench.start(way, 0, LEFT).wait(100);
            switch(&bench.ui, false);
            bench.wait(100).lift(way, 0, LEFT).assert_acted(&[]);
            switch(&bench.ui, true);
            // At the same moment, before the event loop has come round.
            bench.start(way, 0, LEFT).wait(100);
            switch(&bench.ui, false);
            bench.lift(way, 0, LEFT).assert_acted(&[]);
            switch(&bench.ui, true);
            bench.wait(20);
            // Back again before the lift is too late as well.
            bench.start(way, 0, LEFT).wait(100);
            switch(&bench.ui, false);
            bench.wait(20);
            switch(&bench.ui, true);
            bench.wait(20).lift(way, 0, LEFT).assert_acted(&[]);
        }
        bench.start(way, 0, FLEETING).wait(100);
        bench.ui.set_fleeting_there(false);
        bench.wait(100).lift(way, 0, FLEETING).assert_acted(&[]);
        bench.ui.set_fleeting_there(true);
        bench.wait(100);
    }
    let enabled: Switch = Wall::set_danger_enabled;
    let visible: Switch = Wall::set_danger_visible;
    for switch in [enabled, visible] {
        bench.start(Way::Glass, 0, DANGER).wait(1190);
        switch(&bench.ui, false);
        // The timer that watches the hold comes before anything else has seen the switch.
        testing::mock_elapsed_time(Duration::from_millis(20));
        bench
            .wait(500)
            .lift(Way::Glass, 0, DANGER)
            .assert_acted(&[]);
        switch(&bench.ui, true);
    }
    bench.assert_alive();
}

#[test]
fn asking_by_name_acts_even_where_a_hand_must_hold() {
    let bench = Bench::new();
    assert!(bench.says_enabled("left"));
    bench.ask_by_name("left").ask_by_name("danger");
    bench.assert_acted(&["left", "danger"]);
}

#[test]
fn time_before_the_press_does_not_count() {
    // On the system's clock, where the event loop may have slept until the touch.
    let options = testing::TestingBackendOptions {
        mock_time: false,
        threading: false,
        ..Default::default()
    };
    let platform = testing::TestingBackend::new(options);
    slint::platform::set_platform(Box::new(platform)).unwrap();
    let bench = Bench::on_the_platform(|| panic!("no contact goes through the glass here"));
    let sleep = |ms| std::thread::sleep(Duration::from_millis(ms));
    sleep(1300);
    bench.start(Way::Mouse, 0, LEFT).lift(Way::Mouse, 0, LEFT);
    bench.start(Way::Mouse, 0, DANGER);
    sleep(60);
    slint::platform::update_timers_and_animations();
    bench.lift(Way::Mouse, 0, DANGER);
    assert!(bench.acted.borrow().is_empty());
    assert_eq!(bench.refusals.get(), 2, "a graze, and a hold too short");
    assert_eq!(bench.ui.get_danger_doubt(), Doubt::Hold);
    bench.start(Way::Mouse, 0, LEFT);
    sleep(60);
    bench.lift(Way::Mouse, 0, LEFT);
    assert_eq!(*bench.acted.borrow(), ["left"]);
}
