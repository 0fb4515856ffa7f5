//! The stock: what is told, what fills use, what is left and said of it.

mod common;

use common::hands::keys;
use common::window::{Window, window_of};
use common::{Around, setup};
use fillcall::bay::action::{Action, Page, UNDO_TIME};
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::mixing::{MixAction, MixStage};
use fillcall::bay::records::{Happening, Records, StockMove};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Profile, Setup};
use fillcall::bay::stock::{Held, StockAction};
use fillcall::store::records::SqliteRecords;
use fillcall::trade::stock::Warning;
use fillcall::trade::units::Volume;
use i_slint_backend_testing::ElementQuery;
use proptest::prelude::*;
use std::time::Duration;

const DAY: Duration = Duration::from_secs(86_400);

/// Film remover comes in containers of 20 litres.
fn bay_setup() -> Setup {
    let mut setup = setup(Profile::Seven800);
    setup.chemicals[0].delivered_in = Some(Volume::litres(20.0));
    setup
}

fn act(runner: &mut Runner, actions: impl IntoIterator<Item = Action>) {
    actions.into_iter().for_each(|action| runner.act(action));
}

fn stock(runner: &mut Runner, actions: impl IntoIterator<Item = StockAction>) {
    act(runner, actions.into_iter().map(Action::Stock));
}

fn look_at(runner: &mut Runner, chemical: &str) {
    runner.act(Action::Show(Page::Stock));
    stock(runner, [StockAction::Look(chemical.into())]);
}

fn count(runner: &mut Runner, chemical: &str, litres: &str) {
    look_at(runner, chemical);
    stock(runner, [StockAction::Count]);
    act(runner, keys(litres));
    stock(runner, [StockAction::Save]);
}

/// The pump sprayer needs no calibration: 5 litres of it at 4 % are 200 ml of film remover.
fn fill(runner: &mut Runner) {
    act(
        runner,
        [Action::ChooseSprayer("pump".into()), Action::Filled],
    );
}

fn held_of(bay: &Bay, chemical: &str) -> Option<Held> {
    bay.stock_of(bay.setup().chemical(chemical).expect("known"))
}

/// What is left of film remover, in ml, once the bay had time to read it.
fn left(runner: &mut Runner) -> f64 {
    runner.act(Action::Tick);
    held(runner).stock.left.as_ml()
}

fn held(runner: &Runner) -> Held {
    held_of(runner.bay(), "film").expect("counted")
}

fn notice(runner: &Runner) -> String {
    let notice = runner.bay().notice();
    notice.map_or(String::new(), |notice| notice.text.to_string())
}

fn moves(around: &Around) -> Vec<StockMove> {
    let kept = around.records.0.borrow();
    let moves = kept.happenings.iter().filter_map(|(_, what)| match what {
        Happening::Stock { what, .. } => Some(what.clone()),
        _ => None,
    });
    moves.collect()
}

#[test]
fn what_came_less_what_fills_used_is_left_and_each_can_be_taken_back() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    fill(&mut runner);
    runner.act(Action::Tick);
    assert_eq!(
        held_of(runner.bay(), "film"),
        None,
        "nobody keeps count of it"
    );
    look_at(&mut runner, "film");
    // One container is taken for granted.
    stock(
        &mut runner,
        [
            StockAction::Deliver,
            StockAction::AddContainer,
            StockAction::Save,
        ],
    );
    assert_eq!(
        moves(&around),
        [StockMove::Delivered {
            containers: 2,
            volume: Volume::litres(40.0)
        }]
    );
    assert_eq!(
        left(&mut runner),
        40_000.0,
        "what was used before does not count"
    );
    stock(&mut runner, [StockAction::Opened]);
    assert_eq!(held(&runner).stock.unopened, Some(1));
    assert_eq!(notice(&runner), "Film remover: 1 container opened");
    runner.act(Action::Undo);
    assert_eq!(held(&runner).stock.unopened, Some(2));
    fill(&mut runner);
    assert_eq!(left(&mut runner), 39_800.0);
    runner.act(Action::Undo);
    assert_eq!(left(&mut runner), 40_000.0, "the fill was taken back");
    fill(&mut runner);
    count(&mut runner, "film", "31.5");
    assert_eq!(left(&mut runner), 31_500.0);
    assert_eq!(held(&runner).stock.unopened, Some(1));
    runner.act(Action::Undo);
    assert_eq!(notice(&runner), "The stock is as it was before");
    assert_eq!(left(&mut runner), 39_800.0);
    // Too late.
    count(&mut runner, "film", "3");
    around.clock.go_on(UNDO_TIME);
    runner.act(Action::Undo);
    assert_eq!(left(&mut runner), 3000.0);
}

#[test]
fn of_a_mispoured_fill_what_was_really_poured_is_used() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    count(&mut runner, "film", "40");
    fill(&mut runner);
    assert_eq!(left(&mut runner), 39_800.0);
    act(
        &mut runner,
        [
            Action::Show(Page::Mix),
            Action::Mix(MixAction::Open(MixStage::Poured)),
        ],
    );
    act(&mut runner, keys("300"));
    // 6 %: water puts it right.
    act(
        &mut runner,
        [Action::Mix(MixAction::Next), Action::Mix(MixAction::Done)],
    );
    assert_eq!(left(&mut runner), 39_700.0, "instead of the 200 ml");
    runner.act(Action::Undo);
    assert_eq!(left(&mut runner), 39_800.0);
}

#[test]
fn what_cannot_be_kept_is_told_and_changes_nothing() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    look_at(&mut runner, "film");
    stock(&mut runner, [StockAction::Opened]);
    assert_eq!(notice(&runner), "Count what is there first.");
    stock(&mut runner, [StockAction::Count, StockAction::Save]);
    assert_eq!(notice(&runner), "Nothing is entered yet.");
    around.records.0.borrow_mut().fails = true;
    act(&mut runner, keys("12"));
    stock(&mut runner, [StockAction::Save]);
    assert_eq!(
        notice(&runner),
        "The stock was not changed. The disk is full: make room."
    );
    let typed = |runner: &Runner| {
        let entry = runner.bay().stock_entry().expect("still there");
        entry.typed().text().to_owned()
    };
    assert_eq!(typed(&runner), "12");
    assert_eq!(held_of(runner.bay(), "film"), None);
    around.records.0.borrow_mut().fails = false;
    stock(&mut runner, [StockAction::Save]);
    assert_eq!(left(&mut runner), 12_000.0);
    around.records.0.borrow_mut().fails = true;
    runner.act(Action::Undo);
    assert!(notice(&runner).starts_with("The stock was not taken back"));
    assert_eq!(left(&mut runner), 12_000.0);
    assert_eq!(moves(&around).len(), 1);
}

#[test]
fn measuring_takes_its_time_and_what_is_half_entered_stays() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    look_at(&mut runner, "film");
    stock(&mut runner, [StockAction::Count, StockAction::AddContainer]);
    act(&mut runner, keys("4"));
    around.clock.go_on(Duration::from_secs(120));
    runner.act(Action::Tick);
    assert_eq!(
        runner.bay().page(),
        Page::Fill,
        "the fill must be there to be read"
    );
    runner.act(Action::Show(Page::Stock));
    let entry = runner.bay().stock_entry().expect("gone on with");
    assert_eq!(entry.total(), Volume::litres(24.0));
    stock(&mut runner, [StockAction::SwitchUnit]);
    let entry = runner.bay().stock_entry().expect("still there");
    assert_eq!(entry.total(), Volume::ml(20_004.0));
    // Back leaves it.
    act(&mut runner, [Action::Back, Action::Back, Action::Back]);
    assert_eq!(runner.bay().page(), Page::Menu);
    runner.act(Action::Show(Page::Stock));
    assert_eq!(runner.bay().stock_entry(), None);
    assert_eq!(runner.bay().stock_chemical(), None);
}

#[test]
fn what_runs_low_is_told_at_home_once_a_day_and_never_over_something_else() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    count(&mut runner, "film", "2.5");
    assert_eq!(
        held(&runner).warning,
        Some(Warning::LastContainer),
        "nobody knows the use"
    );
    act(
        &mut runner,
        [Action::CloseNotice, Action::ChooseSprayer("pump".into())],
    );
    // Two fills a day: 400 ml.
    act(
        &mut runner,
        [Action::Filled, Action::CloseNotice, Action::Filled],
    );
    runner.act(Action::Tick);
    assert_eq!(
        notice(&runner),
        "200 ml logged",
        "what can be taken back is not covered"
    );
    assert_eq!(left(&mut runner), 2100.0);
    let held_now = held(&runner);
    assert_eq!(
        held_now.rate.map(|r| (r.per_day, r.days)),
        Some((Volume::ml(400.0), 1))
    );
    assert_eq!(held_now.warning, Some(Warning::Days(5)));
    act(&mut runner, [Action::CloseNotice, Action::Tick]);
    assert_eq!(notice(&runner), "Film remover: 5 days left in stock");
    assert_eq!(runner.bay().stock_warnings(), 1);
    around.clock.go_on(Duration::from_secs(20));
    act(&mut runner, [Action::CloseNotice, Action::Tick]);
    assert_eq!(notice(&runner), "", "once a day");
    around.clock.go_on(DAY);
    // Elsewhere it waits.
    act(&mut runner, [Action::Show(Page::Help), Action::Tick]);
    assert_eq!(notice(&runner), "");
    act(&mut runner, [Action::Back, Action::Tick]);
    assert_eq!(notice(&runner), "Film remover: 5 days left in stock");
    // Two of them in one line; enough of one again.
    count(&mut runner, "wheel", "0");
    around.clock.go_on(DAY);
    act(&mut runner, [Action::Show(Page::Fill), Action::Tick]);
    assert_eq!(notice(&runner), "Film remover and 1 more run low");
    look_at(&mut runner, "film");
    stock(&mut runner, [StockAction::Deliver, StockAction::Save]);
    assert_eq!(
        (held(&runner).warning, held(&runner).lasts()),
        (None, Some(55))
    );
    around.clock.go_on(DAY);
    act(&mut runner, [Action::Show(Page::Fill), Action::Tick]);
    assert_eq!(notice(&runner), "Wheel cleaner: none left in stock");
}

#[test]
fn more_used_than_there_was_asks_for_a_count() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    count(&mut runner, "film", "0.3");
    fill(&mut runner);
    fill(&mut runner);
    assert_eq!(left(&mut runner), -100.0);
    let now = held(&runner);
    assert_eq!((now.warning, now.lasts()), (Some(Warning::Count), None));
    around.clock.go_on(Duration::from_secs(20));
    runner.act(Action::Tick);
    assert_eq!(notice(&runner), "Film remover: count the stock");
    count(&mut runner, "film", "8");
    assert_eq!((held(&runner).warning, left(&mut runner)), (None, 8000.0));
}

#[test]
fn without_a_date_nobody_says_how_long_it_lasts() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    count(&mut runner, "film", "30");
    fill(&mut runner);
    assert_eq!(left(&mut runner), 29_800.0);
    assert_eq!(held(&runner).lasts(), Some(149));
    around.clock.lose_date();
    fill(&mut runner);
    assert_eq!(
        left(&mut runner),
        29_600.0,
        "what is left goes by the order alone"
    );
    assert_eq!((held(&runner).rate, held(&runner).lasts()), (None, None));
}

#[test]
fn nothing_is_read_or_told_while_the_stopwatch_runs() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    count(&mut runner, "film", "0");
    act(
        &mut runner,
        [
            Action::CloseNotice,
            Action::Show(Page::Fill),
            Action::Calibrate,
        ],
    );
    act(&mut runner, keys("820"));
    act(&mut runner, [Action::NextStep, Action::NextStep]);
    runner.act(Action::StartStop {
        ago: Duration::ZERO,
    });
    around.clock.go_on(Duration::from_secs(8));
    runner.act(Action::Tick);
    assert_eq!(notice(&runner), "");
}

#[derive(Debug, Clone)]
enum Told {
    Delivered(u32, u32),
    Counted(u32),
    Fill,
}

fn told() -> impl Strategy<Value = Told> {
    prop_oneof![
        (0..3u32, 1..50u32).prop_map(|(containers, rest)| Told::Delivered(containers, rest)),
        (0..300u32).prop_map(Told::Counted),
        Just(Told::Fill),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// On real records: what is left is the sum of what was kept since the last stock-take, and the
    /// same after a restart.
    #[test]
    fn the_stock_is_the_sum_of_what_was_kept(shift in prop::collection::vec((told(), prop::bool::weighted(0.3)), 1..12)) {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("records.sqlite");
        let around = Around::default();
        let open = || {
            let records = SqliteRecords::open(&path).expect("opened");
            let bay = Bay::open(bay_setup(), Box::new(records), around.clock.now());
            let (ears, clock) = (around.ears.clone(), around.clock.clone());
            Runner::new(bay.expect("a bay"), Box::new(ears), Box::new(clock))
        };
        let mut runner = open();
        // Each with whether it sets or adds, in ml; what is taken back goes.
        let mut kept: Vec<(bool, f64)> = Vec::new();
        for (told, undone) in shift {
            // What could be taken back before it cannot any more.
            around.clock.go_on(Duration::from_secs(30));
            match told {
                Told::Delivered(containers, rest) => {
                    look_at(&mut runner, "film");
                    stock(&mut runner, [StockAction::Deliver, StockAction::DropContainer]);
                    for _ in 0..containers {
                        stock(&mut runner, [StockAction::AddContainer]);
                    }
                    act(&mut runner, keys(&rest.to_string()));
                    stock(&mut runner, [StockAction::Save]);
                    kept.push((false, f64::from(containers * 20 + rest) * 1000.0));
                }
                Told::Counted(litres) => {
                    count(&mut runner, "film", &litres.to_string());
                    kept.push((true, f64::from(litres) * 1000.0));
                }
                Told::Fill => {
                    fill(&mut runner);
                    kept.push((false, -200.0));
                }
            }
            prop_assert!(runner.bay().notice().is_some_and(|n| n.undo.is_some()));
            if undone {
                runner.act(Action::Undo);
                kept.pop();
            }
        }
        // Nobody keeps count before the first that was told.
        let begins = kept.iter().position(|(sets, ml)| *sets || *ml > 0.0);
        let kept = &kept[begins.unwrap_or(kept.len())..];
        let from = kept.iter().rposition(|(sets, _)| *sets).unwrap_or(0);
        let sum: f64 = kept[from..].iter().map(|(_, ml)| ml).sum();
        runner.act(Action::Tick);
        let expected = (!kept.is_empty()).then_some(sum);
        let now = |runner: &Runner| held_of(runner.bay(), "film").map(|h| h.stock.left.as_ml());
        prop_assert_eq!(now(&runner), expected);
        drop(runner);
        let mut again = open();
        again.act(Action::Tick);
        prop_assert_eq!(now(&again), expected);
    }
}

#[test]
fn a_year_of_records_is_read_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("records.sqlite");
    drop(SqliteRecords::open(&path).expect("made"));
    // 250 days of work with 200 washes and 40 fills each, and a stock-take a month ago.
    let connection = rusqlite::Connection::open(&path).expect("opened");
    connection
        .execute_batch(
            "BEGIN;
             WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 60000)
             INSERT INTO happenings SELECT i, 'x',
                 strftime('%Y-%m-%dT%H:%M:%S+00:00', '2025-06-01', '+' || (i / 240) || ' days'),
                 strftime('%Y-%m-%dT%H:%M:%S+00:00', '2025-06-01', '+' || (i / 240) || ' days')
             FROM n;
             INSERT INTO washes SELECT id, 'lance-1', 'film', NULL FROM happenings WHERE id % 6 <> 0;
             INSERT INTO fills SELECT id, 'lance-1', 'film', 820, 100, 720, 0.04, 'good', NULL
             FROM happenings WHERE id % 6 = 0 AND id <> 54000;
             INSERT INTO stock_moves VALUES (54001, 'film', 'counted', NULL, 190000, NULL);
             DELETE FROM washes WHERE id = 54001;
             COMMIT;",
        )
        .expect("a year");
    let mut records = SqliteRecords::open(&path).expect("opened");
    let began = std::time::Instant::now();
    let day = chrono::DateTime::parse_from_rfc3339("2026-02-05T00:00:00+00:00").expect("a date");
    let today = day + chrono::TimeDelta::hours(36);
    let first = records.first_since(day).expect("number");
    let log = records.log(first).expect("a day");
    let one_day = began.elapsed();
    assert_eq!(log.first().map(|l| l.at), Some(day));
    assert!(log.len() < 500, "{}", log.len());
    let began = std::time::Instant::now();
    let now = Now {
        monotonic: Duration::ZERO,
        wall: today,
    };
    let mut bay = Bay::open(bay_setup(), Box::new(records), now).expect("a bay");
    let opened = began.elapsed();
    let began = std::time::Instant::now();
    bay.act(Action::Show(Page::Stock), now);
    let shown = began.elapsed();
    println!("a day's log {one_day:?}, the bay {opened:?}, the stock {shown:?}");
    let is = held_of(&bay, "film").expect("counted");
    assert_eq!(is.stock.left.as_ml(), 190_000.0 - 1000.0 * 100.0);
    assert_eq!(
        is.rate.map(|r| (r.per_day, r.days)),
        Some((Volume::litres(4.0), 14))
    );
    // Many times what it takes, for a busy machine; all of a year's washes would take longer.
    assert!(one_day < Duration::from_millis(200), "{one_day:?}");
    assert!(shown < Duration::from_millis(500), "{shown:?}");
}

fn texts(window: &Window) -> Vec<String> {
    let wall = window.off.screen().wall();
    let all = ElementQuery::from_root(wall).find_all();
    let labels = all.iter().filter_map(|e| e.accessible_label());
    labels.map(Into::into).collect()
}

#[test]
fn the_screens_say_what_there_is_and_take_what_is_told() {
    let around = Around::default();
    let window = window_of(bay_setup(), &around);
    let shows = |text: &str| texts(&window).iter().any(|t| t == text);
    window.press(&["Menu", "Stock"]);
    assert!(shows("not counted"));
    window.press(&["Film remover"]);
    assert!(
        texts(&window)
            .iter()
            .any(|t| t.starts_with("Nobody keeps count of it yet."))
    );
    window.press(&[
        "Count what there is",
        "1 container more",
        "5",
        "Decimal point",
        "5",
    ]);
    assert!(
        shows("1 × 20 L + 5.5 L") && shows("25.5 L"),
        "{:?}",
        texts(&window)
    );
    window.press(&["Counted"]);
    assert!(shows("In stock") && shows("25.5 L") && shows("1 × 20 L"));
    assert!(shows("82 EUR"), "{:?}", texts(&window));
    window.press(&["Undo", "Close"]);
    assert!(
        texts(&window)
            .iter()
            .any(|t| t.starts_with("Nobody keeps count of it yet."))
    );
    window.press(&["A delivery came", "Delivered"]);
    assert_eq!(
        moves(&around).last(),
        Some(&StockMove::Delivered {
            containers: 1,
            volume: Volume::litres(20.0)
        })
    );
    window.press(&["Close", "1 container was opened", "Close", "Back"]);
    assert!(shows("20 L"));
    window.act([Action::ChooseSprayer("pump".into()), Action::Filled]);
    window.act([Action::CloseNotice, Action::Tick, Action::Show(Page::Menu)]);
    assert!(
        !shows("1 runs low"),
        "it lasts for {:?}",
        window
            .off
            .screen()
            .with_bay(|bay| { held_of(bay, "film").and_then(|held| held.lasts()) })
    );
    window.act([Action::Show(Page::Stock)]);
    window.press(&["Film remover", "Count what there is"]);
    window.press(&["0", "Decimal point", "4", "Counted"]);
    assert!(
        shows("It lasts for 2 days of work."),
        "{:?}",
        texts(&window)
    );
    window.press(&["Close", "Back"]);
    assert!(shows("only 2 days"));
    window.press(&["Back"]);
    assert!(shows("1 runs low"));
}
