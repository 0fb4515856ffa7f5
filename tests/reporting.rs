//! What happened, looked at and taken away.

mod common;

use common::week::{at, calibrated, fill, put_off, wash, week};
use common::window::{Window, window_of};
use common::{Around, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::ports::{Leave, OnStick, StickFault};
use fillcall::bay::records::Happening;
use fillcall::bay::reporting::taking::{CODE_BYTES, TakeStage, What};
use fillcall::bay::reporting::{ReportAction, Tab};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::generated::ReportingView;
use fillcall::trade::language::Language;
use i_slint_backend_testing::ElementQuery;
use slint::{ComponentHandle, Model};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

fn report(action: ReportAction) -> Action {
    Action::Report(action)
}

/// A bay with these happenings in its records, on its page of reports.
fn opened(happenings: Vec<(&str, Happening)>) -> (Runner, Around) {
    let around = Around::default();
    let happenings = happenings.into_iter().map(|(when, what)| (at(when), what));
    around.records.0.borrow_mut().happenings.extend(happenings);
    let mut runner = around.runner(setup(Profile::Seven800));
    runner.act(Action::Show(Page::Reports));
    (runner, around)
}

// ---- Looked at -----------------------------------------------------------------------------

#[test]
fn today_the_week_and_what_has_no_date_are_added_up() {
    let (mut runner, _around) = opened(vec![
        ("2026-02-20T10:00:00+01:00", wash("lance-1", "film")),
        (
            "2026-02-24T10:00:00+01:00",
            fill("lance-1", "film", 690.0, 4.0),
        ),
        ("2026-02-24T10:10:00+01:00", wash("lance-1", "film")),
        // The clock lost its time, and got it back.
        ("2000-01-01T00:00:00+01:00", wash("lance-1", "film")),
        (
            "2000-01-01T00:09:00+01:00",
            fill("lance-1", "film", 600.0, 3.5),
        ),
        (
            "2026-03-02T07:00:00+01:00",
            fill("lance-2", "film", 230.0, 2.5),
        ),
        ("2026-03-02T07:01:00+01:00", wash("lance-2", "film")),
        ("2026-03-02T07:02:00+01:00", wash("drum", "wheel")),
        // A fill that was taken back never was one.
        (
            "2026-03-02T07:03:00+01:00",
            fill("drum", "wheel", 90.0, 0.5),
        ),
        ("2026-03-02T07:04:00+01:00", Happening::FillUndone(9)),
    ]);
    let today = runner.bay().report().clone();
    assert_eq!((today.all.washes, today.all.fills), (2, 1));
    assert!((today.all.product.as_ml() - 230.0).abs() < 1e-9);
    assert!((today.all.money - 0.23 * 3.2).abs() < 1e-9);
    let names: Vec<_> = today.by_sprayer.iter().map(|(n, _)| n.as_str()).collect();
    assert_eq!(names, ["Lance 2", "Drum injector"]);
    assert_eq!(
        (today.without_date.washes, today.without_date.fills),
        (1, 1)
    );

    runner.act(report(ReportAction::SwitchSpan));
    let week = runner.bay().report().clone();
    assert_eq!((week.all.washes, week.all.fills), (3, 2));
    assert_eq!(week.by_day.len(), 7);
    assert_eq!(week.by_day[0].1.washes, 1, "{:?}", week.by_day);
    assert_eq!(week.by_day[6].1.washes, 2);
    let landed = week.landed.expect("two fills");
    assert_eq!(landed.chemical, "Film remover");
    assert_eq!(landed.fills.len(), 2);
    // By hand: (690 · 4.0 + 230 · 2.5) / 920 = 3.625 %.
    assert!((landed.mean.as_percent() - 3.625).abs() < 1e-9);
    assert_eq!(landed.inside, Some(1));
    assert!((landed.least.as_percent() - 2.5).abs() < 1e-9);
    assert!((landed.most.as_percent() - 4.0).abs() < 1e-9);

    // Of one sprayer, then of one chemical of it; back again to all.
    runner.act(report(ReportAction::Choose));
    runner.act(report(ReportAction::TakeSprayer(Some("drum".into()))));
    runner.act(report(ReportAction::TakeChemical(None)));
    assert_eq!(runner.bay().report().all.washes, 1);
    runner.act(report(ReportAction::Choose));
    runner.act(report(ReportAction::TakeSprayer(Some("drum".into()))));
    runner.act(report(ReportAction::TakeChemical(Some("film".into()))));
    assert!(runner.bay().report().all.is_nothing());
    runner.act(report(ReportAction::Choose));
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Reports);
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Menu);
    runner.act(Action::Show(Page::Reports));
    assert_eq!(runner.bay().report().all.washes, 3);
}

#[test]
fn a_reminder_put_off_counts_the_washes_until_the_calibration() {
    let day = |minute| format!("2026-03-02T07:{minute:02}:00+01:00");
    let mut happenings = vec![
        (day(0), wash("lance-1", "film")),
        (day(1), put_off("lance-1", 1)),
    ];
    happenings.extend((2..6).map(|m| (day(m), wash("lance-1", "film"))));
    happenings.extend([
        // Of another sprayer: not its reminder.
        (day(6), wash("lance-2", "film")),
        (day(7), put_off("lance-1", 2)),
        (day(8), wash("lance-1", "film")),
        (day(9), calibrated("lance-1", 17_300.0, at(&day(9)))),
        (day(10), wash("lance-1", "film")),
    ]);
    let (mut runner, _around) = opened(
        happenings
            .iter()
            .map(|(when, what)| (when.as_str(), what.clone()))
            .collect(),
    );
    let put_off = runner.bay().report().put_off;
    assert_eq!((put_off.times, put_off.washes), (2, 5));
    assert_eq!(runner.bay().report().calibrated.len(), 1);
    runner.act(report(ReportAction::TakeSprayer(Some("lance-2".into()))));
    let put_off = runner.bay().report().put_off;
    assert_eq!((put_off.times, put_off.washes), (0, 0));
}

#[test]
fn a_wall_without_its_date_says_so_and_shows_no_day() {
    let (mut runner, around) = opened(vec![("2026-03-02T07:00:00+01:00", wash("lance-1", "film"))]);
    assert!(runner.bay().report_today().is_some());
    around.clock.lose_date();
    runner.act(Action::Show(Page::Reports));
    assert_eq!(runner.bay().report_today(), None);
    assert!(runner.bay().report().all.is_nothing());
    // All of it is taken away all the same.
    runner.act(report(ReportAction::Take(What::All)));
    runner.act(report(ReportAction::ToPhone));
    let parts = runner.bay().taking().parts.concat();
    assert_eq!(parts.lines().count(), 2, "{parts}");
}

// ---- The table -----------------------------------------------------------------------------

/// Adds up a table as whoever gets it would: with Python's `csv`, which knows nothing of this program.
const ADD_UP: &str = r#"
import csv, sys
rows = list(csv.DictReader(open(sys.argv[1], newline='', encoding='utf-8')))
day = sys.argv[2]
own = [r for r in rows if r['day'] >= day]
fills = [r for r in own if r['what'] == 'fill']
def product(rows): return sum(float(r['product_ml']) for r in rows)
film = [r for r in fills if r['chemical'] == 'Film remover']
print(len(rows))
print(sum(r['what'] == 'wash' for r in own))
print(len(fills))
print(product(fills))
print(sum(float(r['cost']) for r in fills))
print(sum(float(r['strength_percent']) * float(r['product_ml']) for r in film) / product(film))
print(sum(r['band'] == 'inside' for r in film))
print(len(film))
print(sum(r['what'] == 'calibration' for r in own))
"#;

fn python(file: &Path, day: &str) -> Vec<f64> {
    let out = Command::new("python3")
        .args(["-c", ADD_UP])
        .arg(file)
        .arg(day)
        .output()
        .expect("python3 is installed: kiosk-setup/test does it");
    assert!(out.status.success(), "{out:?}");
    String::from_utf8(out.stdout)
        .expect("text")
        .lines()
        .map(|line| line.parse().expect("a number"))
        .collect()
}

/// What the screen shows at the head of a part of the report.
fn sum_of(window: &Window, tab: &str) -> String {
    window.press(&[tab]);
    let view = window.off.screen().wall().global::<ReportingView>();
    view.get_sum().into()
}

#[test]
fn the_table_added_up_by_python_is_what_the_screen_shows() {
    let around = Around::default();
    let now = around.clock.now().wall;
    // Older than the week: in the table of everything, not on the screen.
    around.records.0.borrow_mut().happenings.push((
        at("2026-01-07T08:00:00+01:00"),
        fill("lance-1", "film", 123.0, 1.0),
    ));
    week(&around.records, now);
    let mut own = setup(Profile::Seven800);
    // A name that a table must put in quotes.
    own.sprayers[0].name = "Lance \"1\", left".into();
    let window = window_of(own, &around);
    window.press(&["Menu", "Records", "Show 7 days"]);
    let shown: Vec<String> = ["Washes", "Fills", "Product", "On the vehicle"]
        .iter()
        .map(|tab| sum_of(&window, tab))
        .collect();
    let view = window.off.screen().wall().global::<ReportingView>();
    let mean = view.get_landed_facts().row_data(0).expect("the mean").value;
    let calibrations = {
        window.press(&["Events"]);
        view.get_care_facts()
            .row_data(0)
            .expect("their count")
            .value
    };

    window.press(&["Take away", "All"]);
    around.sticks.put_in(&["sdb1"]);
    window.press(&["To a stick"]);
    let (stick, parcel) = around.sticks.0.borrow().puts[0].clone();
    assert_eq!(stick, "sdb1");
    assert_eq!(parcel.folder, "DEMO-Harbour-depot-bay-2-2026-03-02");
    let names: Vec<_> = parcel.files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["records.csv", "card.html", "card.csv"]);
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("records.csv");
    std::fs::write(&file, &parcel.files[0].1).expect("a file");

    let [
        rows,
        washes,
        fills,
        product,
        money,
        strength,
        inside,
        film,
        runs,
    ] = python(&file, "2026-02-24")[..]
    else {
        panic!("other figures");
    };
    assert_eq!(rows as usize, around.records.0.borrow().happenings.len());
    assert_eq!(shown[0], format!("{washes} washes"));
    assert_eq!(shown[1], format!("{fills} fills"));
    assert_eq!(
        shown[2],
        format!("{:.1} L, {money:.2} EUR", product / 1000.0)
    );
    assert_eq!(shown[3], format!("{inside} of {film} in its band"));
    assert_eq!(mean, format!("{strength:.2} %").as_str());
    assert_eq!(calibrations, format!("{runs}").as_str());
    let text = &parcel.files[0].1;
    assert!(text.contains(",\"Lance \"\"1\"\", left\","), "{text}");
    assert!(
        text.contains(",2026-02-24T07:00:40+01:00,2026-02-24,fill,"),
        "{text}"
    );
}

// ---- To a stick ----------------------------------------------------------------------------

fn at_stick() -> (Runner, Around) {
    let (mut runner, around) = opened(vec![("2026-03-02T07:00:00+01:00", wash("lance-1", "film"))]);
    runner.act(Action::Show(Page::TakeAway));
    (runner, around)
}

fn tick(runner: &mut Runner, around: &Around, seconds: u64) {
    around.clock.go_on(Duration::from_secs(seconds));
    runner.act(Action::Tick);
}

#[test]
fn a_stick_is_waited_for_chosen_and_followed_to_its_end() {
    let (mut runner, around) = at_stick();
    runner.act(report(ReportAction::ToStick));
    assert_eq!(runner.bay().taking().stage, TakeStage::Stick);
    assert_eq!(runner.bay().taking().on_stick, None);
    around.sticks.put_in(&["sdb1", "sdc1"]);
    tick(&mut runner, &around, 1);
    assert_eq!(runner.bay().taking().found.len(), 2);
    assert!(around.sticks.0.borrow().puts.is_empty(), "nobody chose");
    runner.act(report(ReportAction::PickStick("sdc1".into())));
    assert_eq!(around.sticks.0.borrow().puts[0].0, "sdc1");
    // It is busy: a second one is not begun.
    runner.act(report(ReportAction::PickStick("sdb1".into())));
    runner.act(report(ReportAction::ToStick));
    assert_eq!(around.sticks.0.borrow().puts.len(), 1);
    for state in [
        OnStick::Writing { done: 5, of: 10 },
        OnStick::Closing,
        OnStick::Done {
            folder: "fillcall/x".into(),
            leave: Leave::PullOut,
        },
    ] {
        around.sticks.come_to(state.clone());
        tick(&mut runner, &around, 1);
        assert_eq!(runner.bay().taking().on_stick, Some(state));
    }
    assert_eq!(runner.bay().notice(), None, "it is on the screen");
    // Another one: with one stick alone it begins at once.
    around.sticks.put_in(&["sdb1"]);
    runner.act(report(ReportAction::TryAgain));
    assert_eq!(around.sticks.0.borrow().puts.len(), 2);
    runner.act(Action::Back);
    assert_eq!(runner.bay().taking().stage, TakeStage::What);
    runner.act(Action::Back);
    assert_eq!(runner.bay().page(), Page::Reports);
}

#[test]
fn a_stick_that_hangs_is_given_up_and_a_slow_one_is_not() {
    let (mut runner, around) = at_stick();
    around.sticks.put_in(&["sdb1"]);
    runner.act(report(ReportAction::ToStick));
    // Slow: something happens now and then.
    for done in 1..5 {
        around.sticks.come_to(OnStick::Writing { done, of: 10 });
        tick(&mut runner, &around, 25);
        runner.act(Action::Touched);
    }
    assert_eq!(around.sticks.0.borrow().given_up, 0);
    for _ in 0..29 {
        tick(&mut runner, &around, 1);
        assert!(runner.bay().taking().is_busy());
    }
    tick(&mut runner, &around, 1);
    assert_eq!(
        runner.bay().taking().on_stick,
        Some(OnStick::Failed(StickFault::Hangs))
    );
    assert_eq!(around.sticks.0.borrow().given_up, 1);
}

#[test]
fn who_went_on_to_something_else_is_told_there() {
    let (mut runner, around) = at_stick();
    around.sticks.put_in(&["sdb1"]);
    let ends = [
        (
            OnStick::Done {
                folder: "fillcall/x".into(),
                leave: Leave::PullOut,
            },
            "It is on the stick. Pull it out.",
            false,
        ),
        (
            OnStick::Done {
                folder: "fillcall/x".into(),
                leave: Leave::Held,
            },
            "It is on the stick. See Records, Take away, before it is pulled out.",
            false,
        ),
        (
            OnStick::Failed(StickFault::ReadOnly),
            "Nothing was put on the stick. See Records, Take away.",
            true,
        ),
    ];
    for (end, words, is_fault) in ends {
        runner.act(Action::Show(Page::TakeAway));
        runner.act(report(ReportAction::ToStick));
        runner.act(Action::Show(Page::Fill));
        around.sticks.come_to(end.clone());
        tick(&mut runner, &around, 1);
        let notice = runner.bay().notice().expect("it is told");
        assert_eq!(notice.text, words);
        assert_eq!(notice.is_fault, is_fault);
        runner.act(Action::CloseNotice);
        // What became of it can be read where it was begun.
        runner.act(Action::Show(Page::TakeAway));
        assert_eq!(runner.bay().taking().stage, TakeStage::Stick);
        assert_eq!(runner.bay().taking().on_stick, Some(end));
        runner.act(Action::Back);
    }
}

// ---- To a phone ----------------------------------------------------------------------------

/// The code on the screen as a phone would read it: from the picture of the whole screen.
fn scan(window: &Window) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("screen.png");
    window.picture(&file);
    let file = std::io::BufReader::new(std::fs::File::open(&file).expect("the picture"));
    let mut reader = png::Decoder::new(file).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut pixels).expect("pixels");
    let (width, height) = (info.width as usize, info.height as usize);
    let grey = |x: usize, y: usize| pixels[4 * (y * width + x) + 1];
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, grey);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code is on the screen");
    let (_, text) = grids[0].decode().expect("it can be read");
    text
}

/// The squares are large enough, whole pixels, and black on white as far as the standard asks.
fn code_is_readable(window: &Window, profile: Profile) {
    let wall = window.off.screen().wall();
    let images = ElementQuery::from_root(wall)
        .match_inherits("Image")
        .find_all();
    assert_eq!(images.len(), 1);
    let side = images[0].size().width;
    let squares = wall.global::<ReportingView>().get_code_squares() as f32;
    let square = side / squares;
    assert_eq!(square.fract(), 0.0, "{square} pixels");
    let mm = f64::from(square) / Panel::usual(profile).pixels_per_mm();
    assert!(mm >= 0.5, "a square of {mm:.2} mm");
    // Within the glass, the white around it included.
    let (at, size) = (images[0].absolute_position(), images[0].size());
    let (width, height) = profile.pixels();
    assert!(at.x >= 0.0 && at.y >= 0.0);
    assert!(at.x + size.width <= width as f32 && at.y + size.height <= height as f32);
}

#[test]
fn codes_on_every_panel_are_read_back_and_are_the_table() {
    for profile in Profile::ALL {
        let around = Around::default();
        week(&around.records, around.clock.now().wall);
        let window = window_of(setup(profile), &around);
        window.press(&["Menu", "Records", "Take away", "To a phone"]);
        let totals = scan(&window);
        code_is_readable(&window, profile);
        let lines: Vec<_> = totals.lines().collect();
        assert_eq!(
            lines[..5],
            [
                "Harbour depot, bay 2",
                "Today, 2 Mar 2026",
                "27 washes",
                "7 fills",
                "3632 ml, 11.62 EUR"
            ]
        );
        window.press(&["Show the table"]);
        let of = |window: &Window| {
            let taking = window.off.screen().with_bay(|bay| bay.taking().clone());
            taking.expect("a bay")
        };
        let count = of(&window).parts.len();
        assert!(count > 2, "{count} codes");
        let mut put_together = String::new();
        for n in 1..=count {
            let view = window.off.screen().wall().global::<ReportingView>();
            assert_eq!(view.get_code_place(), format!("{n} of {count}").as_str());
            let part = scan(&window);
            assert!(part.len() <= CODE_BYTES);
            code_is_readable(&window, profile);
            put_together.push_str(&part);
            window.press(&["Next code"]);
        }
        let table = window
            .off
            .screen()
            .with_bay(|bay| bay.records_csv(What::Today))
            .expect("a bay");
        assert_eq!(put_together, table);
        assert!(table.starts_with("number,when,day,what,sprayer,"));
        // Round and back.
        assert_eq!(of(&window).part, 0);
        window.press(&["Code back"]);
        assert_eq!(of(&window).part, count - 1);
        // In the other language; and the card, which has no totals.
        window.press(&["Show the totals"]);
        window.act([Action::ChooseLanguage(Language::Spanish)]);
        assert!(scan(&window).contains("\n27 lavados\n"));
        window.act([Action::ChooseLanguage(Language::English)]);
        window.press(&["Back", "Wall card", "To a phone"]);
        assert!(scan(&window).starts_with("sprayer,chemical,"));
        code_is_readable(&window, profile);
    }
}

// ---- On the screen -------------------------------------------------------------------------

#[test]
fn every_bar_has_its_number_and_the_week_begins_six_days_ago() {
    let around = Around::default();
    week(&around.records, around.clock.now().wall);
    let window = window_of(setup(Profile::Seven800), &around);
    window.press(&["Menu", "Records", "Show 7 days"]);
    let bars = || -> Vec<(String, String)> {
        let view = window.off.screen().wall().global::<ReportingView>();
        let bars = view.get_bars();
        bars.iter()
            .map(|bar| (bar.name.into(), bar.figure.into()))
            .collect()
    };
    let week_of = |figures: [&str; 7]| -> Vec<(String, String)> {
        ["Tue", "Wed", "Thu", "Fri", "Sat", "Sun", "Today"]
            .iter()
            .zip(figures)
            .map(|(day, figure)| ((*day).to_owned(), figure.to_owned()))
            .collect()
    };
    assert_eq!(bars(), week_of(["9", "12", "15", "18", "21", "24", "27"]));
    assert_eq!(
        window.off.screen().with_bay(|bay| bay.report_tab()),
        Some(Tab::Washes)
    );
    window.press(&["Fills"]);
    assert_eq!(bars(), week_of(["3", "3", "4", "5", "6", "7", "7"]));
    window.press(&["Show today"]);
    assert_eq!(bars()[0], ("Lance 1".into(), "7".into()));
}
