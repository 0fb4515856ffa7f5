//! A wall that nobody uses is hardly ever asked, and whatever happens by time happens in time all the same:
//! time goes by as the wall lets it, from one tick that it asked for to the next.

mod common;

use common::lead::{entered, let_in_to};
use common::window::window;
use common::{Around, setup};
use fillcall::bay::action::{Action, Page, UNDO_TIME};
use fillcall::bay::at_work::Bay;
use fillcall::bay::lead::LeadAction;
use fillcall::bay::records::Records;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Profile, QuietHours, Setup};
use fillcall::screens::generated::WallState;
use fillcall::trade::reminder::VoidCause;
use slint::ComponentHandle;
use std::time::Duration;

const SECOND: Duration = Duration::from_secs(1);
/// What happens so late is seen as happening in time.
const IN_TIME: Duration = Duration::from_millis(20);

/// A wall whose time goes by as in the window: a timer, started anew where the bay asks for another time.
struct Wall {
    around: Around,
    runner: Runner,
    interval: Duration,
    due: Duration,
    ticks: u32,
}

impl Wall {
    fn of(setup: Setup) -> Self {
        Self::around(Around::default(), setup)
    }
    fn around(around: Around, setup: Setup) -> Self {
        let runner = around.runner(setup);
        let due = around.clock.now().monotonic + SECOND;
        Self {
            around,
            runner,
            interval: SECOND,
            due,
            ticks: 0,
        }
    }
    fn new() -> Self {
        Self::of(setup(Profile::Seven800))
    }
    fn now(&self) -> Duration {
        self.around.clock.now().monotonic
    }
    fn bay(&self) -> &Bay {
        self.runner.bay()
    }
    fn act(&mut self, action: Action) {
        self.runner.act(action);
        let next = self.bay().next_tick();
        assert!(!next.is_zero(), "it would spin");
        if next != self.interval {
            self.interval = next;
            self.due = self.now() + next;
        }
    }
    fn acts(&mut self, actions: impl IntoIterator<Item = Action>) {
        actions.into_iter().for_each(|action| self.act(action));
    }
    fn wait(&mut self, time: Duration) {
        let until = self.now() + time;
        while self.due <= until {
            self.around.clock.go_on(self.due - self.now());
            self.due += self.interval;
            self.ticks += 1;
            self.act(Action::Tick);
        }
        self.around.clock.go_on(until - self.now());
    }
    /// The ticks in so much time.
    fn ticks_in(&mut self, time: Duration) -> u32 {
        self.ticks = 0;
        self.wait(time);
        self.ticks
    }
    fn notice(&self) -> String {
        let notice = self.bay().notice();
        notice.map_or(String::new(), |notice| notice.text.to_string())
    }
}

#[test]
fn a_wall_at_home_is_asked_six_times_a_minute_at_most() {
    let mut wall = Wall::new();
    wall.wait(SECOND * 30);
    let ticks = wall.ticks_in(SECOND * 600);
    println!("ticks in ten minutes at home: {ticks}");
    // Each minute, and what is looked at of the panel, twice a minute each.
    assert!(ticks <= 60, "{ticks}");
    // Pages that stay cost no more once nobody is there.
    for page in [Page::Ways, Page::Calibrate] {
        wall.act(Action::Show(page));
    }
    wall.wait(SECOND * 90);
    let ticks = wall.ticks_in(SECOND * 600);
    assert!(ticks <= 60, "{ticks} at {:?}", wall.bay().page());
}

#[test]
fn a_notice_goes_in_time_and_its_seconds_count_down() {
    let mut wall = Wall::new();
    wall.wait(SECOND * 47);
    wall.act(Action::WashDone);
    let gone_at = wall.now() + UNDO_TIME;
    let mut last = wall.bay().undo_seconds().expect("it can be taken back");
    assert_eq!(last, UNDO_TIME.as_secs());
    while wall.now() + IN_TIME < gone_at {
        wall.wait(IN_TIME);
        let left = gone_at.saturating_sub(wall.now()).as_secs_f64();
        let shown = wall.bay().undo_seconds().expect("still there");
        assert!(shown <= last, "{shown} after {last}");
        // A moment after a second began it shows the new one.
        let behind = left.ceil() - left;
        if behind > IN_TIME.as_secs_f64() {
            assert_eq!(shown as f64, left.ceil(), "{left} s left");
        }
        last = shown;
    }
    wall.wait(IN_TIME * 2);
    assert_eq!(wall.bay().notice(), None, "it stays too long");
    assert!(wall.bay().guards_a_notice());
    wall.wait(Duration::from_millis(800));
    assert!(!wall.bay().guards_a_notice(), "the guard stays");
}

#[test]
fn what_waited_under_a_notice_comes_up_when_that_goes() {
    let mut wall = Wall::new();
    wall.act(Action::WashDone);
    let washed = wall.notice();
    wall.act(Action::ChooseSprayer("no such sprayer".into()));
    wall.act(Action::Softer);
    wall.wait(SECOND * 5);
    assert_eq!(wall.notice(), washed, "to be taken back");
}

#[test]
fn quiet_hours_begin_and_end_with_their_minute() {
    let at = |hour, minute| chrono::NaiveTime::from_hms_opt(hour, minute, 0).expect("a time");
    let mut wall = Wall::of(Setup {
        quiet: Some(QuietHours {
            from: at(8, 17),
            to: at(8, 42),
            volume_percent: 0,
        }),
        ..setup(Profile::Seven800)
    });
    // The clock shows eight.
    wall.wait(SECOND * 13);
    wall.wait(SECOND * (16 * 60 + 46));
    assert!(!wall.bay().is_unheard(), "a second before");
    wall.wait(SECOND + IN_TIME);
    assert!(wall.bay().is_unheard(), "no sign that it is quiet");
    wall.wait(SECOND * 60 * 25);
    assert!(!wall.bay().is_unheard(), "the sign stays");
}

#[test]
fn a_day_ends_at_midnight() {
    let mut wall = Wall::of(common::day::day_setup(Profile::Seven800));
    let before = wall.bay().chemical().id.clone();
    let mut others = wall.bay().setup().chemicals.iter();
    let other = others.find(|chemical| chemical.id != before);
    let other = other.expect("another chemical").id.clone();
    wall.wait(SECOND * 37);
    wall.act(Action::ChooseChemical(other.clone()));
    assert_eq!(wall.bay().chemical().id, other);
    // The clock showed eight in the morning.
    wall.wait(SECOND * (3600 - 37));
    assert!(
        wall.ticks_in(SECOND * 3600) <= 360,
        "at rest: {:?}",
        wall.bay().page()
    );
    wall.wait(SECOND * (14 * 3600 - 1));
    assert_eq!(wall.notice(), "");
    wall.wait(SECOND + IN_TIME);
    assert_eq!(
        wall.bay().chemical().id,
        before,
        "chosen for a day that is over"
    );
    assert_ne!(wall.notice(), "", "nobody is told");
}

#[test]
fn a_page_that_was_left_open_leads_home() {
    for (page, stays) in [
        (Page::Menu, 60),
        (Page::Sprayers, 60),
        (Page::Care, 60),
        (Page::Mix, 600),
        (Page::Emergency, 1200),
    ] {
        let mut wall = Wall::new();
        wall.wait(SECOND * 7);
        wall.act(Action::Show(page));
        wall.wait(SECOND * (stays - 1));
        assert_eq!(wall.bay().page(), page, "too soon");
        wall.wait(SECOND * 2);
        assert_eq!(wall.bay().page(), Page::Fill, "{page:?} was left open");
    }
}

#[test]
fn the_wait_for_another_pin_counts_down() {
    let mut wall = Wall::new();
    wall.act(Action::Show(Page::Lead));
    for _ in 0..5 {
        wall.acts(entered("0000"));
        if let Some(wait) = wall.bay().pin_wait() {
            wall.wait(wait);
        }
    }
    wall.acts(entered("0000"));
    let (first, begun) = (wall.bay().pin_wait().expect("it waits"), wall.now());
    assert!(first > SECOND * 4, "{first:?}");
    let left = |wall: &Wall| first - (wall.now() - begun);
    while left(&wall) > SECOND * 2 {
        wall.wait(SECOND);
        let shown = wall.bay().pin_wait().expect("it waits");
        let late = shown.saturating_sub(left(&wall));
        assert!(late <= SECOND, "{shown:?} is shown {late:?} late");
    }
    wall.wait(SECOND * 3);
    assert_eq!(wall.bay().pin_wait(), None, "it is over");
}

#[test]
fn the_clock_that_the_shift_lead_looks_at_goes() {
    let mut wall = Wall::new();
    let_in_to(&mut wall.runner, Page::Clock);
    wall.act(Action::Tick);
    for _ in 0..20 {
        wall.wait(SECOND);
        let behind = wall.around.clock.now().wall - wall.bay().clock_shows();
        assert!(behind.num_milliseconds() <= 1000, "{behind}");
    }
}

#[test]
fn the_shift_leads_side_closes_in_time_while_home_is_shown() {
    let mut wall = Wall::new();
    // Not in step with half minutes.
    wall.wait(SECOND * 37);
    let_in_to(&mut wall.runner, Page::Lead);
    wall.act(Action::Show(Page::Fill));
    let left = wall.bay().lead_left().expect("open");
    wall.wait(left - SECOND);
    assert!(wall.bay().lead_is_in());
    wall.wait(SECOND * 2);
    assert!(!wall.bay().lead_is_in());
    assert!(wall.notice().contains("closed"), "{}", wall.notice());
    wall.act(Action::Lead(LeadAction::Leave));
}

#[test]
fn a_void_figure_is_allowed_no_longer_than_its_time() {
    let around = Around::default();
    let at = around.clock.now().wall;
    let setup = setup(Profile::Seven800);
    let sprayer = setup.sprayers[0].id.clone();
    let mut records = around.records.clone();
    let calibrated = common::week::calibrated(&sprayer, 14_700.0, at);
    records.keep(at, &calibrated).expect("kept");
    let mut wall = Wall::around(around, setup);
    wall.wait(SECOND * 37);
    wall.acts([Action::Changed(VoidCause::Nozzle), Action::UseVoidOnce]);
    assert!(wall.bay().void_allowed());
    wall.wait(SECOND * 599);
    assert!(wall.bay().void_allowed());
    wall.wait(SECOND * 2);
    assert!(!wall.bay().void_allowed(), "allowed for good");
}

#[test]
fn the_window_itself_keeps_time_like_that() {
    let window = window(Profile::Seven800);
    let notice = || {
        let wall = window.off.screen().wall();
        wall.global::<WallState>().get_notice().to_string()
    };
    window.wait(SECOND * 40);
    window.act([Action::WashDone]);
    assert_ne!(notice(), "");
    window.wait(UNDO_TIME - SECOND);
    assert_ne!(notice(), "");
    window.wait(SECOND + Duration::from_millis(100));
    assert_eq!(notice(), "", "it stays too long");
    window.act([Action::Show(Page::Menu)]);
    window.wait(SECOND * 62);
    let page = window.off.screen().with_bay(|bay| bay.page());
    assert_eq!(page, Some(Page::Fill), "left open");
}
