//! What happened, looked at and taken away.

mod common;

use common::week::{at, calibrated, fill, put_off, wash, week};
use common::window::{Window, window_of};
use common::{Around, percent, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::card::{self, Format};
use fillcall::bay::ports::{Leave, OnStick, StickFault};
use fillcall::bay::records::{DaySetting, Fill, FillHow, Happening, Logged, Placed, Scope};
use fillcall::bay::reporting::dated::dated;
use fillcall::bay::reporting::landing::follow;
use fillcall::bay::reporting::taking::{CODE_BYTES, CodesOf, TakeStage, What};
use fillcall::bay::reporting::totals::{Span, Whose, add_up};
use fillcall::bay::reporting::{ReportAction, Tab};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::generated::ReportingView;
use fillcall::trade::days_strength::Allowed;
use fillcall::trade::language::Language;
use fillcall::trade::units::Volume;
use i_slint_backend_testing::ElementQuery;
use proptest::prelude::*;
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
            fill("lance-1", "film", 590.0, 4.0),
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
            fill("lance-2", "film", 250.0, 2.5),
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
    assert!((today.all.product.as_ml() - 250.0).abs() < 1e-9);
    assert!((today.all.money - 0.25 * 3.2).abs() < 1e-9);
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
    // By hand, p = D·d/F and S = F/d: 590 ml at 4.0 % are 590/0.040 = 14 750 ml of spray, 250 ml at
    // 2.5 % are 250/0.025 = 10 000 ml. 840 ml of product in 24 750 ml of spray are 3.393 94 %.
    assert!((landed.mean.as_percent() - 3.393_94).abs() < 1e-5);
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

/// The first lance in use: so much product of so much in all, at that strength, and how it came about.
fn poured(product: f64, all: f64, strength: f64, how: FillHow) -> Happening {
    match fill("lance-1", "film", product, strength) {
        Happening::Fill(fill) => Happening::Fill(Fill {
            fill: Volume::ml(all),
            water: Volume::ml(all - product),
            how,
            ..fill
        }),
        other => other,
    }
}

#[test]
fn a_mispour_that_was_put_right_is_no_strength_that_landed() {
    let meant = Volume::ml(500.0);
    let mispoured = || poured(800.0, 1000.0, 8.0, FillHow::Mispoured { meant });
    let topped_up = |left: f64, all: f64, strength: f64| {
        let (left, product) = (Volume::ml(left), Volume::ml(800.0));
        poured(0.0, all, strength, FillHow::ToppedUp { left, product })
    };
    let moment = |second: u32| format!("2026-03-02T07:00:{second:02}+01:00");
    let landed = |happenings: Vec<(u32, Happening)>| {
        let mut times = Vec::new();
        for (second, what) in happenings {
            times.push((moment(second), what));
        }
        let list = times.iter().map(|(at, what)| (at.as_str(), what.clone()));
        let (runner, _around) = opened(list.collect());
        let landed = runner.bay().report().landed.clone();
        let landed = landed.expect("a fill");
        let fills: Vec<f64> = landed.fills.iter().map(|s| s.as_percent()).collect();
        (fills, landed.mean.as_percent())
    };
    // By hand, for a lance that draws d = 0.1: 800 ml in 1000 ml give 8 %. Half of that poured off and
    // 300 ml of water added: 400 ml in 800 ml give 5 %.
    let (fills, mean) = landed(vec![(1, mispoured()), (1, topped_up(500.0, 800.0, 5.0))]);
    assert_eq!(fills.len(), 1);
    assert!((fills[0] - 5.0).abs() < 1e-9 && (mean - 5.0).abs() < 1e-9);
    // Put right a little later, before a vehicle was washed: the same.
    let (fills, _) = landed(vec![(1, mispoured()), (30, topped_up(500.0, 800.0, 5.0))]);
    assert_eq!(fills.len(), 1);
    // All of it poured off and made up anew at once: 500 ml in 1000 ml give 5 %.
    let fresh = || poured(500.0, 1000.0, 5.0, FillHow::Fresh);
    assert_eq!(landed(vec![(1, mispoured()), (1, fresh())]).0.len(), 1);
    // Washed with: it landed, and so did what it was topped up to. By hand, S = F/d: 10 litres at 8 %
    // and 8 litres at 5 % are 0.8 + 0.4 = 1.2 litres of product in 18, or 6.6667 %.
    let (fills, mean) = landed(vec![
        (1, mispoured()),
        (2, wash("lance-1", "film")),
        (3, topped_up(500.0, 800.0, 5.0)),
    ]);
    assert_eq!(fills.len(), 2);
    assert!((mean - 20.0 / 3.0).abs() < 1e-9, "{mean}");
    // The next container, a little later: nothing was put right. 10 litres at each: 6.5 %.
    let (fills, mean) = landed(vec![(1, mispoured()), (9, fresh())]);
    assert_eq!(fills.len(), 2);
    assert!((mean - 6.5).abs() < 1e-9, "{mean}");
    // Somebody else's sprayer put nothing right.
    let (fills, _) = landed(vec![
        (1, mispoured()),
        (1, fill("lance-2", "film", 230.0, 4.0)),
    ]);
    assert_eq!(fills.len(), 2);
}

#[test]
fn sprayers_weigh_by_what_they_spray_and_not_by_their_containers() {
    // By hand: 400 ml in the lance's 1000 ml at 4 % draw d = 0.1, so 10 litres are sprayed; 100 ml in
    // 5000 ml of the pump sprayer land as they are, 5 litres at 2 %. 500 ml in 15 litres: 3.3333 %.
    let pump = match fill("pump", "film", 100.0, 2.0) {
        Happening::Fill(fill) => Happening::Fill(Fill {
            fill: Volume::litres(5.0),
            ..fill
        }),
        other => other,
    };
    let (runner, _around) = opened(vec![
        (
            "2026-03-02T07:00:00+01:00",
            poured(400.0, 1000.0, 4.0, FillHow::Fresh),
        ),
        ("2026-03-02T07:01:00+01:00", pump),
    ]);
    let landed = runner.bay().report().landed.clone().expect("two fills");
    assert!((landed.mean.as_percent() - 10.0 / 3.0).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_mean_lies_between_and_knows_no_order(
        drawn in prop::collection::vec((0_usize..3, 50.0..800.0_f64, 0.02..1.0_f64, any::<bool>()), 1..8),
        turn in 0_usize..8,
    ) {
        // Sprayer, product in 820 ml, strength by what it draws (p = D·d/F), topped up or not.
        let some: Vec<_> = drawn
            .iter()
            .map(|&(sprayer, product, d, topped)| (sprayer, product, 100.0 * product * d / 820.0, topped))
            .collect();
        let own = setup(Profile::Seven800);
        let mean_of = |list: &[(usize, f64, f64, bool)]| {
            let logged = list.iter().zip(1..).map(|(&(sprayer, product, strength, topped), entry)| {
                let id = own.sprayers[sprayer].id.as_str();
                let mut what = fill(id, "film", product, strength);
                if let (Happening::Fill(fill), true) = (&mut what, topped) {
                    fill.how = FillHow::ToppedUp { left: Volume::ml(100.0), product: Volume::ZERO };
                }
                Logged { entry, at: at("2026-03-02T07:00:00+01:00"), what, times: 1 }
            });
            let mut log = dated(logged.collect());
            follow(&mut log, &own);
            add_up(&log, &own, Span::All, None, &Whose::default()).landed.expect("a fill")
        };
        let landed = mean_of(&some);
        prop_assert!(landed.least <= landed.mean && landed.mean <= landed.most);
        let percents: Vec<f64> = some.iter().map(|one| one.2).collect();
        let least = percents.iter().copied().fold(f64::INFINITY, f64::min);
        prop_assert!((landed.least.as_percent() - least).abs() < 1e-9);
        // All alike: that strength.
        let alike: Vec<_> = some.iter().map(|one| (one.0, one.1, 4.0, one.3)).collect();
        prop_assert!((mean_of(&alike).mean.as_percent() - 4.0).abs() < 1e-9);
        // In another order, of fills in empty containers: a topped up one goes by what was known then.
        let fresh: Vec<_> = some.iter().map(|one| (one.0, one.1, one.2, false)).collect();
        let mut turned = fresh.clone();
        turned.rotate_left(turn % fresh.len());
        let (one, other) = (mean_of(&fresh).mean, mean_of(&turned).mean);
        prop_assert!((one.as_percent() - other.as_percent()).abs() < 1e-9);
    }
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
        (day(9), calibrated("lance-1", 14_700.0, at(&day(9)))),
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

// ---- Set outside of what is allowed ---------------------------------------------------------

fn set_to(scope: Scope, chemical: &str, strength: f64, allowed: Allowed) -> Happening {
    let setting = DaySetting {
        scope,
        chemical: chemical.into(),
        strength: Some(percent(strength)),
        today_only: false,
        allowed,
        beside_never: false,
    };
    Happening::DaySet {
        scope: setting.scope.clone(),
        setting: Some(setting),
    }
}

fn lance(id: &str) -> Scope {
    Scope::Sprayer(id.into())
}

/// What the page of reports says of it, on a tab.
fn outside_on(window: &Window, tab: &str) -> String {
    window.press(&[tab]);
    let view = window.off.screen().wall().global::<ReportingView>();
    view.get_outside().into()
}

#[test]
fn a_strength_set_outside_its_band_is_seen_in_every_report_that_it_is_of() {
    let around = Around::default();
    let today = [
        fill("lance-1", "film", 300.0, 6.0),
        set_to(Scope::Bay, "film", 4.4, Allowed::Freely),
        set_to(lance("lance-1"), "film", 6.0, Allowed::TooStrong),
    ];
    let now = around.clock.now().wall;
    let happenings = today.map(|what| (now, what));
    around.records.0.borrow_mut().happenings.extend(happenings);
    let window = window_of(setup(Profile::Seven800), &around);
    window.press(&["Menu", "Records"]);
    let says = "Film remover set to 6 %, too strong: Lance 1";
    for tab in ["Washes", "Fills", "On the vehicle", "Product"] {
        assert_eq!(outside_on(&window, tab), says, "{tab}");
    }
    // Under Events as a row of its own.
    assert_eq!(outside_on(&window, "Events"), "");
    let view = || window.off.screen().wall().global::<ReportingView>();
    assert_eq!(view().get_sum(), "1 set outside");
    let row = view().get_events().row_data(0).expect("a row");
    assert_eq!(
        (row.name.as_str(), row.of.as_str(), row.figure.as_str()),
        ("Film remover: Lance 1", "too strong, 2 Mar 2026", "6 %")
    );
    assert!(row.outside);
    // On the pages of its sprayer and its chemical, and not on those of others.
    let of = |sprayer: &str, chemical: &str| {
        window.act([
            report(ReportAction::Choose),
            report(ReportAction::TakeSprayer(
                Some(sprayer.into()).filter(|s: &String| !s.is_empty()),
            )),
            report(ReportAction::TakeChemical(
                Some(chemical.into()).filter(|c: &String| !c.is_empty()),
            )),
        ]);
        outside_on(&window, "Washes")
    };
    assert_eq!(of("lance-1", ""), says);
    assert_eq!(of("", "film"), says);
    assert_eq!(of("lance-1", "film"), says);
    assert_eq!(of("lance-2", ""), "");
    assert_eq!(of("", "wheel"), "");
    // What is set for the whole bay is of every sprayer; the newest is said, and how many more.
    let bay = set_to(Scope::Bay, "film", 2.0, Allowed::TooWeak);
    around.records.0.borrow_mut().happenings.push((now, bay));
    window.act([Action::Show(Page::Fill), Action::Show(Page::Reports)]);
    let both = "Film remover set to 2 %, too weak: Whole bay. 1 more.";
    assert_eq!(outside_on(&window, "Fills"), both);
    assert_eq!(
        of("lance-2", ""),
        "Film remover set to 2 %, too weak: Whole bay"
    );
    // And among the totals for a phone.
    window.act([Action::Show(Page::TakeAway), report(ReportAction::ToPhone)]);
    let code = view().get_code_text().to_string();
    assert!(code.contains(says) && code.contains("too weak"), "{code}");
}

#[test]
fn a_strength_set_outside_before_the_time_is_seen_as_long_as_it_holds() {
    let newest = |runner: &Runner| {
        let all = &runner.bay().report().set_outside;
        all.iter()
            .map(|set| set.strength.as_percent().round())
            .collect::<Vec<_>>()
    };
    // Set some days ago, and again two days ago: today only the later one holds.
    let (mut runner, _around) = opened(vec![
        (
            "2026-02-26T10:00:00+01:00",
            set_to(Scope::Bay, "film", 6.0, Allowed::TooStrong),
        ),
        (
            "2026-02-28T10:00:00+01:00",
            set_to(Scope::Bay, "film", 7.0, Allowed::TooStrong),
        ),
        ("2026-03-02T07:00:00+01:00", wash("lance-1", "film")),
    ]);
    assert_eq!(newest(&runner), [7.0]);
    runner.act(report(ReportAction::SwitchSpan));
    assert_eq!(newest(&runner), [7.0, 6.0]);
    // Ended today: it held this morning.
    let ended = Happening::DaySet {
        scope: Scope::Bay,
        setting: None,
    };
    let (runner, _around) = opened(vec![
        (
            "2026-02-26T10:00:00+01:00",
            set_to(Scope::Bay, "film", 6.0, Allowed::TooStrong),
        ),
        ("2026-03-02T07:00:00+01:00", ended.clone()),
    ]);
    assert_eq!(newest(&runner), [6.0]);
    let (runner, _around) = opened(vec![
        (
            "2026-02-26T10:00:00+01:00",
            set_to(Scope::Bay, "film", 6.0, Allowed::TooStrong),
        ),
        ("2026-02-27T07:00:00+01:00", ended),
    ]);
    assert!(newest(&runner).is_empty());
    // Before anything that a report reads, and holding to this day.
    let around = Around::default();
    let Happening::DaySet { setting, .. } = set_to(Scope::Bay, "film", 6.0, Allowed::TooStrong)
    else {
        unreachable!()
    };
    let placed = Placed {
        entry: 1,
        at: at("2025-11-03T10:00:00+01:00"),
        what: setting.expect("a setting"),
    };
    around
        .records
        .0
        .borrow_mut()
        .past
        .day
        .insert(Scope::Bay, placed);
    let mut runner = around.runner(setup(Profile::Seven800));
    runner.act(Action::Show(Page::Reports));
    let all = &runner.bay().report().set_outside;
    assert_eq!(all.len(), 1);
    assert_eq!(
        all[0].day.map(|day| day.to_string()).as_deref(),
        Some("2025-11-03")
    );
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

/// Adds up tables as whoever gets them would: with Python's `csv`, which knows nothing of this program.
/// Of each file, first day and sprayer it prints one line.
const ADD_UP: &str = r#"
import csv, sys
args = sys.argv[1:]
for file, day, sprayer in zip(args[0::3], args[1::3], args[2::3]):
    rows = list(csv.DictReader(open(file, newline='', encoding='utf-8'), strict=True))
    own = [r for r in rows if r['day'] >= day and (not sprayer or r['sprayer'] == sprayer)]
    fills = [r for r in own if r['what'] == 'fill']
    film = [r for r in fills if r['chemical'] == 'Film remover' and r['spray_ml']]
    spray = sum(float(r['spray_ml']) for r in film)
    print(len(rows), sum(r['what'] == 'wash' for r in own), len(fills),
        sum(float(r['product_ml']) for r in fills), sum(float(r['cost']) for r in fills),
        sum(float(r['strength_percent']) * float(r['spray_ml']) for r in film) / max(spray, 1e-9),
        sum(r['band'] == 'inside' for r in film), len(film),
        sum(r['what'] == 'calibration' for r in own))
"#;

/// What Python makes of tables: each with the first day and the sprayer (all where empty) of interest.
fn python(of: &[(&Path, &str, &str)]) -> Vec<[f64; 9]> {
    let mut python = Command::new("python3");
    python.args(["-c", ADD_UP]);
    for (file, day, sprayer) in of {
        python.arg(file).args([day, sprayer]);
    }
    let out = python
        .output()
        .expect("python3 is installed: kiosk-setup/test does it");
    assert!(out.status.success(), "{out:?}");
    let lines = String::from_utf8(out.stdout).expect("text");
    let figures = |line: &str| -> Vec<f64> {
        let words = line.split_whitespace();
        words.map(|word| word.parse().expect("a number")).collect()
    };
    lines
        .lines()
        .map(|line| figures(line).try_into().expect("nine figures"))
        .collect()
}

/// What the screen shows at the head of a part of the report.
fn sum_of(window: &Window, tab: &str) -> String {
    window.press(&[tab]);
    let view = window.off.screen().wall().global::<ReportingView>();
    view.get_sum().into()
}

/// What the screen shows of the time and the sprayer that are chosen: five sums and the mean.
fn shown(window: &Window) -> [String; 6] {
    let [washes, fills, product, landed] =
        ["Washes", "Fills", "Product", "On the vehicle"].map(|tab| sum_of(window, tab));
    let view = window.off.screen().wall().global::<ReportingView>();
    let mean = view.get_landed_facts().row_data(0).expect("the mean").value;
    window.press(&["Events"]);
    let facts = view.get_care_facts();
    let calibrations = facts.row_data(0).expect("their count").value;
    [
        washes,
        fills,
        product,
        landed,
        mean.into(),
        calibrations.into(),
    ]
}

#[test]
fn tables_added_up_by_python_are_what_the_screen_shows_for_every_time_and_sprayer() {
    let around = Around::default();
    let now = around.clock.now().wall;
    let old = |what| (at("2026-01-07T08:00:00+01:00"), what);
    // Older than the week: in the table of everything, not on the screen.
    around
        .records
        .0
        .borrow_mut()
        .happenings
        .push(old(fill("lance-1", "film", 123.0, 1.0)));
    week(&around.records, now);
    // Of every kind: a left-over topped up, a mispour that was used, and one put right at once.
    let meant = Volume::ml(590.0);
    let (left, product) = (Volume::ml(400.0), Volume::ml(280.0));
    let more = [
        poured(300.0, 700.0, 4.1, FillHow::ToppedUp { left, product }),
        poured(700.0, 820.0, 4.8, FillHow::Mispoured { meant }),
        wash("lance-1", "film"),
        poured(770.0, 820.0, 5.2, FillHow::Mispoured { meant }),
        poured(
            0.0,
            1000.0,
            4.2,
            FillHow::ToppedUp {
                left: Volume::ml(820.0),
                product: Volume::ml(770.0),
            },
        ),
    ];
    let more = more.into_iter().map(|what| (now, what));
    around.records.0.borrow_mut().happenings.extend(more);
    let mut own = setup(Profile::Seven800);
    // A name that a table must put in quotes.
    let names = ["Lance \"1\", left", "Lance 2", "Drum injector", ""];
    own.sprayers[0].name = names[0].into();
    let window = window_of(own, &around);

    // What goes on a stick, each file as it would lie there.
    let folder = tempfile::tempdir().expect("a folder");
    around.sticks.put_in(&["sdb1"]);
    window.press(&["Menu", "Records", "Take away"]);
    let files = ["Today", "7 days", "All"].map(|what| {
        window.press(&[what, "To a stick"]);
        let (stick, parcel) = around.sticks.0.borrow().puts.last().cloned().expect("one");
        assert_eq!(stick, "sdb1");
        assert_eq!(parcel.folder, "DEMO-Harbour-depot-bay-2-2026-03-02");
        let names: Vec<_> = parcel.files.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["records.csv", "card.html", "card.csv"]);
        let file = folder.path().join(format!("{what}.csv"));
        std::fs::write(&file, &parcel.files[0].1).expect("a file");
        around.sticks.come_to(OnStick::Failed(StickFault::Gone));
        window.act([Action::Tick]);
        window.press(&["Back"]);
        file
    });
    let text = std::fs::read_to_string(&files[2]).expect("the table");
    assert!(text.contains(",\"Lance \"\"1\"\", left\","), "{text}");
    assert!(
        text.contains(",2026-02-24T07:00:40+01:00,2026-02-24,fill,"),
        "{text}"
    );

    window.press(&["Back"]);
    let spans = [("Show today", "2026-03-02"), ("Show 7 days", "2026-02-24")];
    let mut seen = Vec::new();
    let mut asked: Vec<(&Path, &str, &str)> = Vec::new();
    for (place, (span, day)) in spans.into_iter().enumerate() {
        if place > 0 {
            window.press(&[span]);
        }
        for (n, name) in names.into_iter().enumerate() {
            let taken = match n {
                0..3 => Some(["lance-1", "lance-2", "drum"][n].to_owned()),
                _ => None,
            };
            window.act([
                report(ReportAction::Choose),
                report(ReportAction::TakeSprayer(taken)),
                report(ReportAction::TakeChemical(None)),
            ]);
            seen.push(shown(&window));
            // In the table of that time, and in that of everything.
            asked.push((&files[place], day, name));
            asked.push((&files[2], day, name));
        }
    }
    let python = python(&asked);
    let kept = around.records.0.borrow().happenings.len();
    for (n, (asked, figures)) in asked.iter().zip(&python).enumerate() {
        let [
            rows,
            washes,
            fills,
            product,
            money,
            mean,
            inside,
            film,
            runs,
        ] = *figures;
        assert!(rows as usize == kept || asked.0 != files[2], "{rows}");
        let product = Volume::ml(product).shown();
        let plural = |n: f64, word: &str| match n as u32 {
            1 => format!("1 {word}"),
            n => format!("{n} {word}{}", if word == "wash" { "es" } else { "s" }),
        };
        let seen = &seen[n / 2];
        assert_eq!(seen[0], plural(washes, "wash"), "{asked:?}");
        if fills > 0.0 {
            assert_eq!(seen[1], plural(fills, "fill"), "{asked:?}");
            assert_eq!(seen[2], format!("{product}, {money:.2} EUR"), "{asked:?}");
        }
        if film > 0.0 {
            assert_eq!(
                seen[3],
                format!("{inside} of {film} in its band"),
                "{asked:?}"
            );
            assert_eq!(seen[4], format!("{mean:.2} %"), "{asked:?}");
        }
        assert_eq!(seen[5], format!("{runs}"), "{asked:?}");
    }
    // Not all of them are nothing.
    assert!(python.iter().all(|figures| figures[1] > 0.0), "{python:?}");
}

#[test]
fn names_that_people_type_come_through_a_table_and_are_never_formulas() {
    let names = [
        "=HYPERLINK(1)",
        "+1+1",
        "-2 lance",
        "@SUM(A1)",
        "Lance; \"left\", 1.35 mm",
        "two\nlines",
        "left;=1+1",
    ];
    let mut own = setup(Profile::Seven800);
    let usual = own.sprayers[0].clone();
    own.sprayers = names
        .iter()
        .zip(1..)
        .map(|(name, n)| {
            let mut sprayer = usual.clone();
            sprayer.id = format!("lance-{n}");
            sprayer.name = (*name).to_owned();
            sprayer
        })
        .collect();
    let around = Around::default();
    let ids: Vec<_> = own.sprayers.iter().map(|s| s.id.clone()).collect();
    for id in &ids {
        around
            .records
            .0
            .borrow_mut()
            .happenings
            .push((at("2026-03-02T07:00:00+01:00"), wash(id, "film")));
    }
    let mut runner = around.runner(own);
    runner.act(Action::Show(Page::TakeAway));
    let table = runner.bay().records_csv(What::Today);
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("records.csv");
    std::fs::write(&file, table).expect("a file");
    // A spreadsheet of a country that separates by semicolons reads the same file in its own way.
    let reader = r#"
import csv, sys
for row in csv.DictReader(open(sys.argv[1], newline='', encoding='utf-8'), strict=True):
    print(ascii(row['sprayer']))
for delimiter in ',;\t':
    for row in csv.reader(open(sys.argv[1], newline='', encoding='utf-8'), delimiter=delimiter):
        assert not any(cell.lstrip(' "')[:1] in ('=', '+', '-', '@') for cell in row if cell), row
"#;
    let out = Command::new("python3")
        .args(["-c", reader])
        .arg(&file)
        .output()
        .expect("python3 is installed: kiosk-setup/test does it");
    assert!(out.status.success(), "{out:?}");
    let said = String::from_utf8(out.stdout).expect("text");
    assert_eq!(
        said.lines().collect::<Vec<_>>(),
        [
            r#""'=HYPERLINK(1)""#,
            r#""'+1+1""#,
            r#""'-2 lance""#,
            r#""'@SUM(A1)""#,
            r#"'Lance; "left", 1.35 mm'"#,
            r#"'two\nlines'"#,
            r#""left;'=1+1""#,
        ]
    );
}

// ---- The card ------------------------------------------------------------------------------

#[test]
fn a_strength_for_today_or_above_the_band_is_marked_on_every_card() {
    let around = Around::default();
    let now = around.clock.now().wall;
    let Happening::Calibrated(record) = calibrated("lance-1", 14_700.0, now) else {
        panic!("a calibration");
    };
    let opened = |setting: Option<DaySetting>| {
        let mut kept = around.records.0.borrow_mut();
        let past = fillcall::bay::records::SprayerPast {
            calibration: Some(record.clone()),
            ..Default::default()
        };
        kept.past.sprayers = [("lance-1".to_owned(), past)].into();
        kept.past.day = setting
            .map(|what| {
                (
                    what.scope.clone(),
                    Placed {
                        entry: 1,
                        at: now,
                        what,
                    },
                )
            })
            .into_iter()
            .collect();
        drop(kept);
        let runner = around.runner(setup(Profile::Seven800));
        let cards = [Format::Csv, Format::Text, Format::Html]
            .map(|format| card::write(runner.bay(), now, format));
        let [csv, text, html] = cards;
        let row = csv.lines().find(|line| line.starts_with("lance-1,film,"));
        let row: Vec<String> = row
            .expect("a row")
            .split(',')
            .map(ToOwned::to_owned)
            .collect();
        (row, text, html)
    };
    let set = |strength: f64, today_only, allowed| DaySetting {
        scope: Scope::Sprayer("lance-1".into()),
        chemical: "film".into(),
        strength: Some(percent(strength)),
        today_only,
        allowed,
        beside_never: false,
    };
    let (usual, text, html) = opened(None);
    // By hand: d = 820/14 700, D = 0.04·820/d = 588 ml, poured 590 ml.
    assert_eq!((usual[2].as_str(), usual[5].as_str()), ("4", "590"));
    assert_eq!(usual[11..], ["inside", "", "", "", "product-first"]);
    for card in [&text, &html] {
        assert!(!card.contains("set by the shift lead"), "{card}");
    }
    // By hand: 0.055·820/d = 808.5 ml, poured 810 ml, which is 810/820·d = 5.510 %.
    let (row, text, html) = opened(Some(set(5.5, true, Allowed::TooStrong)));
    assert_eq!((row[2].as_str(), row[5].as_str()), ("5.5", "810"));
    assert_eq!(row[11..], ["above", "today", "4", "590", "product-first"]);
    let words = "ABOVE its band, strength set by the shift lead for 2026-03-02 ONLY \
                 (set-up: 4 %, 590 ml)";
    assert!(text.contains(words), "{text}");
    assert!(html.contains(words), "{html}");
    assert!(
        html.contains("<tr class=\"set\"><td>Film remover</td>"),
        "{html}"
    );
    // Until it is changed, inside the band: no less another figure than the set-up's.
    let (row, text, _) = opened(Some(set(3.5, false, Allowed::Freely)));
    assert_eq!(
        row[11..],
        ["inside", "until-changed", "4", "590", "product-first"]
    );
    let words = "strength set by the shift lead until changed (set-up: 4 %, 590 ml)";
    assert!(text.contains(words) && !text.contains("its band"), "{text}");
    // More than the sprayer reaches: it is said who wants that, and what the set-up has.
    let (row, text, _) = opened(Some(set(9.0, true, Allowed::TooStrong)));
    assert_eq!(
        (row[10].as_str(), row[12].as_str()),
        ("out-of-reach", "today")
    );
    let words = "out of reach: at most 5.58 %, strength set by the shift lead for 2026-03-02 ONLY";
    assert!(text.contains(words), "{text}");
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

#[test]
fn every_end_of_a_stick_says_what_to_do_and_leads_on() {
    let around = Around::default();
    week(&around.records, around.clock.now().wall);
    let window = window_of(setup(Profile::Seven800), &around);
    let view = window.off.screen().wall().global::<ReportingView>();
    let puts = || around.sticks.0.borrow().puts.len();
    let second = || {
        around.clock.go_on(Duration::from_secs(1));
        window.wait(Duration::from_millis(700));
        window.act([Action::Tick]);
    };
    // None is in: nothing is written anywhere, and one that comes is seen by itself.
    window.press(&["Menu", "Records", "Take away", "To a stick"]);
    assert_eq!(view.get_stick_title(), "Put a stick in");
    assert_eq!(puts(), 0);
    // Two are: one is chosen, the other stays as it is.
    around.sticks.put_in(&["sdb1", "sdc1"]);
    second();
    assert_eq!(view.get_stick_title(), "Which stick?");
    window.press(&["USB stick sdb1, 8 GB"]);
    assert_eq!(around.sticks.0.borrow().puts[0].0, "sdb1");
    // One alone from here on, which is taken at once.
    around.sticks.put_in(&["sdc1"]);
    let said = || "no file system".to_owned();
    let ends = [
        (StickFault::Gone, "pulled out too early", "try again"),
        (
            StickFault::ReadOnly,
            "may only be read",
            "take another stick",
        ),
        (
            StickFault::Full { missing: 123_456 },
            "is full",
            "124 kB more",
        ),
        (StickFault::NoTool, "udisks2 is missing", "who set it up"),
        (
            StickFault::NotAllowed,
            "does not let the wall open",
            "README",
        ),
        (
            StickFault::NotMounted { said: said() },
            "cannot be opened",
            "FAT or exFAT",
        ),
        (StickFault::Hangs, "does not answer", "take another one"),
        (
            StickFault::Other { said: said() },
            "did not take it",
            "(no file system)",
        ),
    ];
    for (fault, what, remedy) in ends {
        let before = puts();
        around.sticks.come_to(OnStick::Failed(fault));
        second();
        assert_eq!(view.get_stick_title(), "Not on the stick");
        let words = view.get_stick_words();
        assert!(words.contains(what) && words.contains(remedy), "{words}");
        assert!(
            !window
                .labels()
                .iter()
                .any(|label| label == "To another stick")
        );
        window.press(&["Try again"]);
        assert_eq!(puts(), before + 1, "{words}");
        assert_eq!(view.get_stick_title(), "To a stick");
    }
    let ends = [
        (
            Leave::PullOut,
            "Pull the stick out",
            "may be pulled out now",
        ),
        (Leave::NoTool, "Not closed", "Wait until its light"),
        (Leave::Held, "Not closed", "Wait until its light"),
    ];
    for (leave, title, what) in ends {
        let folder = "fillcall/Bay-2026-03-02-2".into();
        around.sticks.come_to(OnStick::Done { folder, leave });
        second();
        assert_eq!(view.get_stick_title(), title);
        let words = view.get_stick_words();
        // Where a folder of that day was there already, this is the one beside it.
        assert!(
            words.contains(what) && words.contains("Bay-2026-03-02-2"),
            "{words}"
        );
        window.press(&["To another stick"]);
    }
    // Pulled out after all: nothing goes on until one is in.
    around.sticks.put_in(&[]);
    around.sticks.come_to(OnStick::Failed(StickFault::Gone));
    second();
    window.press(&["Try again"]);
    assert_eq!(view.get_stick_title(), "Put a stick in");
    window.press(&["Back", "Back"]);
    let page = window.off.screen().with_bay(|bay| bay.page());
    assert_eq!(page, Some(Page::Reports));
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
                "3132 ml, 10.02 EUR"
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

#[test]
fn the_fullest_code_is_read_from_every_panel_and_says_what_it_leaves_out() {
    for profile in Profile::ALL {
        let around = Around::default();
        let mut own = setup(profile);
        own.name = "Ñandú".repeat(30);
        let usual = own.chemicals[0].clone();
        for n in 0..12 {
            let mut chemical = usual.clone();
            chemical.id = format!("more-{n}");
            chemical.name = format!("Espumante número {n}");
            own.chemicals.push(chemical);
            let what = fill("lance-1", &format!("more-{n}"), 590.0, 4.0);
            let when = at("2026-03-02T07:00:00+01:00");
            around.records.0.borrow_mut().happenings.push((when, what));
        }
        let window = window_of(own, &around);
        window.press(&["Menu", "Records", "Take away", "To a phone"]);
        let totals = scan(&window);
        code_is_readable(&window, profile);
        assert!(
            (440..=CODE_BYTES).contains(&totals.len()),
            "{}",
            totals.len()
        );
        // What matters most is whole; what is left out is said to be.
        let lines: Vec<_> = totals.lines().collect();
        assert!(lines[0].starts_with("ÑandúÑandú") && lines[0].ends_with('…'));
        assert_eq!(lines[3], "12 fills");
        assert!(lines[5].contains("on the vehicle"), "{totals}");
        assert_eq!(lines.last(), Some(&"The rest is in the table."));
    }
}

#[test]
fn a_table_too_long_for_codes_is_said_to_be_and_goes_on_a_stick() {
    let around = Around::default();
    let washes = |date: &str, count: usize| {
        let washes = (0..count).map(|_| (at(date), wash("lance-1", "film")));
        around.records.0.borrow_mut().happenings.extend(washes);
    };
    washes("2026-02-26T07:00:00+01:00", 400);
    washes("2026-03-02T07:00:00+01:00", 20);
    let window = window_of(setup(Profile::Seven800), &around);
    let view = window.off.screen().wall().global::<ReportingView>();
    window.press(&["Menu", "Records", "Take away", "7 days", "To a phone"]);
    let words = view.get_code_words();
    assert!(
        words.contains("too long") && words.contains("a stick"),
        "{words}"
    );
    assert!(
        !window
            .labels()
            .iter()
            .any(|label| label == "Show the table")
    );
    assert!(scan(&window).contains("420 washes"), "the totals are there");
    // No way around it.
    window.act([report(ReportAction::ShowCodes(CodesOf::Rows))]);
    assert!(scan(&window).contains("420 washes"));
    // Fewer days: it fits, and says beforehand how many codes there are.
    window.press(&["Back", "Today", "To a phone"]);
    let words = view.get_code_words();
    assert!(words.ends_with("The table takes 4 codes."), "{words}");
    window.press(&["Show the table"]);
    assert_eq!(view.get_code_place(), "1 of 4");
    // A card of that many rows has no totals to be shown in its place.
    let mut own = setup(Profile::Seven800);
    let usual = own.sprayers[0].clone();
    own.sprayers.extend((2..250).map(|n| {
        let mut sprayer = usual.clone();
        sprayer.id = format!("lance-of-many-{n}");
        sprayer
    }));
    let mut runner = around.runner(own);
    runner.act(Action::Show(Page::TakeAway));
    runner.act(report(ReportAction::Take(What::Card)));
    runner.act(report(ReportAction::ToPhone));
    assert_eq!(runner.bay().taking().stage, TakeStage::What);
    let notice = runner.bay().notice().expect("it is said");
    assert!(notice.is_fault);
    let said = notice.text.to_string();
    assert!(
        said.contains("40 at most") && said.contains("a stick"),
        "{said}"
    );
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

#[test]
fn charts_can_be_read_from_a_metre_away() {
    // 16 minutes of arc at 1 m, the least that NUREG-0700 r2 1.3.1-4 allows: 2·1000·tan(8').
    const LETTERS_MM: f64 = 4.65;
    const BAR_MM: f64 = 5.0;
    for profile in Profile::ALL {
        let per_mm = Panel::usual(profile).pixels_per_mm();
        let mm = |pixels: f32| f64::from(pixels) / per_mm + 0.1;
        let around = Around::default();
        week(&around.records, around.clock.now().wall);
        let window = window_of(setup(profile), &around);
        window.press(&["Menu", "Records", "Show 7 days"]);
        for (tab, chart) in [
            ("Washes", "Bars"),
            ("Fills", "Bars"),
            ("Product", "BarRows"),
        ] {
            window.press(&[tab]);
            let wall = window.off.screen().wall();
            let charts = ElementQuery::from_root(wall)
                .match_inherits(chart)
                .find_all();
            assert_eq!(charts.len(), 1, "{tab}");
            let of = |kind: &str| {
                charts[0]
                    .query_descendants()
                    .match_inherits(kind)
                    .find_all()
            };
            let lines = of("Line");
            assert!(lines.len() >= 6, "{tab}: {} texts", lines.len());
            for line in &lines {
                let (height, name) = (mm(line.size().height), line.accessible_label());
                assert!(
                    height >= LETTERS_MM,
                    "{profile:?}, {tab}: {name:?} is {height:.2} mm"
                );
            }
            let bars = of("BarBody");
            let view = wall.global::<ReportingView>();
            assert_eq!(bars.len(), view.get_bars().row_count(), "{tab}");
            for bar in &bars {
                let thick = match chart {
                    "Bars" => bar.size().width,
                    _ => bar.size().height,
                };
                assert!(
                    mm(thick) >= BAR_MM,
                    "{profile:?}, {tab}: {:.2} mm",
                    mm(thick)
                );
            }
        }
    }
}

#[test]
fn the_widest_strengths_stay_within_the_margin() {
    for profile in Profile::ALL {
        let around = Around::default();
        let now = around.clock.now().wall;
        let fills = [4.01, 12.34].map(|strength| (now, fill("lance-1", "film", 590.0, strength)));
        around.records.0.borrow_mut().happenings.extend(fills);
        let window = window_of(setup(profile), &around);
        window.press(&["Menu", "Records", "On the vehicle"]);
        let margin = profile.pixels().0 as f32 - 2.0 * Panel::usual(profile).pixels_per_mm() as f32;
        for language in [Language::English, Language::Spanish] {
            window.act([Action::ChooseLanguage(language)]);
            let wall = window.off.screen().wall();
            let lines = ElementQuery::from_root(wall)
                .match_inherits("FactLine")
                .find_all();
            assert_eq!(lines.len(), 3);
            for line in lines.iter().flat_map(|line| {
                let texts = line.query_descendants().match_inherits("Line");
                texts.find_all()
            }) {
                let right = line.absolute_position().x + line.size().width;
                let label = line.accessible_label();
                assert!(
                    right <= margin,
                    "{profile:?}, {label:?}: {right} of {margin}"
                );
            }
        }
    }
}
