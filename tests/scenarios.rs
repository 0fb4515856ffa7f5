//! Whole shifts through the bay, without a window.

mod common;

use common::hands::keys;
use common::{Around, Heard, setup};
use fillcall::bay::action::{Action, Page, UNDO_TIME};
use fillcall::bay::at_work::Bay;
use fillcall::bay::offer::Offer;
use fillcall::bay::ports::Tone;
use fillcall::bay::records::{Happening, Past, SprayerPast, Step};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Profile, Setup};
use fillcall::bay::stopwatch::Watch;
use fillcall::trade::announcement::Announcement;
use fillcall::trade::fill_plan::Part;
use fillcall::trade::reminder::{Standing, VoidCause};
use fillcall::trade::units::Volume;
use std::time::Duration;

const NOW: Duration = Duration::ZERO;

fn bay_setup() -> Setup {
    setup(Profile::Seven800)
}

fn act(runner: &mut Runner, actions: impl IntoIterator<Item = Action>) {
    for action in actions {
        runner.act(action);
    }
}

fn type_in(runner: &mut Runner, text: &str) {
    act(runner, keys(text));
}

/// The guided calibration up to its review.
fn run(runner: &mut Runner, around: &Around, holds: &str, seconds: f64, catch: &str) {
    runner.act(Action::Calibrate);
    type_in(runner, holds);
    act(runner, [Action::NextStep, Action::NextStep]);
    runner.act(Action::StartStop { ago: NOW });
    around
        .clock
        .go_on(Duration::from_secs(5) + Duration::from_secs_f64(seconds));
    act(
        runner,
        [Action::StartStop { ago: NOW }, Action::NothingLeft],
    );
    type_in(runner, catch);
    runner.act(Action::NextStep);
}

fn calibrate(runner: &mut Runner, around: &Around) {
    run(runner, around, "820", 104.0, "14.7");
    runner.act(Action::SaveCalibration);
}

fn dose_ml(bay: &Bay) -> f64 {
    match bay.offer() {
        Offer::Fill(plan) => plan.pour.dose.product.as_ml(),
        other => panic!("no figure: {other:?}"),
    }
}

fn standing(runner: &Runner) -> Standing {
    runner.bay().standing(runner.bay().sprayer())
}

fn kept(around: &Around) -> Vec<Happening> {
    around
        .records
        .0
        .borrow()
        .happenings
        .iter()
        .map(|(_, h)| h.clone())
        .collect()
}

#[test]
fn a_whole_shift() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());

    // Nothing is known of the sprayer: no figure, and the voice says so.
    assert_eq!(runner.bay().offer(), Offer::Uncalibrated);
    assert_eq!(standing(&runner), Standing::None);
    runner.act(Action::SayFill);
    assert_eq!(
        around.ears.said(),
        ["Lance 1: no calibration yet, please calibrate."]
    );
    runner.act(Action::Filled);
    assert!(runner.bay().notice().expect("refused").is_fault);
    assert_eq!(kept(&around), []);

    // Calibrated: 820 ml, 14.7 L caught. 0.04 · 14 700 = 588 ml for 4 %.
    calibrate(&mut runner, &around);
    assert_eq!(standing(&runner), Standing::Good);
    assert_eq!(dose_ml(runner.bay()), 590.0);
    around.ears.take();
    runner.act(Action::SayFill);
    let said = around.ears.said();
    assert!(said[0].starts_with("Lance 1: 590 ml product"), "{said:?}");

    // Fills and washes until due; the reminder comes with the wash that makes it due.
    runner.act(Action::Filled);
    for _ in 0..5 {
        runner.act(Action::WashDone);
        around.clock.go_on(Duration::from_secs(600));
    }
    assert_eq!(standing(&runner), Standing::Good);
    around.ears.take();
    runner.act(Action::WashDone);
    assert_eq!(standing(&runner), Standing::Due);
    assert!(runner.bay().nags(runner.bay().sprayer()));
    assert_eq!(around.ears.said(), ["Lance 1: calibration due."]);
    // It nags in speech at each fill.
    around.ears.take();
    runner.act(Action::SayFill);
    assert!(
        around.ears.said()[0].contains("Calibration due"),
        "{:?}",
        around.ears.said()
    );
    around.ears.take();
    runner.act(Action::Filled);
    assert_eq!(around.ears.said(), ["Lance 1: calibration due."]);

    // Put off for one wash, once.
    runner.act(Action::PutOff);
    assert!(!runner.bay().nags(runner.bay().sprayer()));
    around.ears.take();
    runner.act(Action::SayFill);
    assert!(
        !around.ears.said()[0].to_lowercase().contains("due"),
        "{:?}",
        around.ears.said()
    );
    runner.act(Action::WashDone);
    assert!(runner.bay().nags(runner.bay().sprayer()));
    assert_eq!(runner.bay().may_put_off(), None);
    around.ears.take();
    runner.act(Action::PutOff);
    assert!(runner.bay().notice().expect("refused").is_fault);
    assert_eq!(around.ears.take(), [Heard::Tone(Tone::Refused)]);

    // Overdue.
    runner.act(Action::WashDone);
    assert_eq!(standing(&runner), Standing::Overdue);

    // A new nozzle: void at once, with its cause, and no figure is spoken.
    runner.act(Action::Changed(VoidCause::Nozzle));
    assert_eq!(standing(&runner), Standing::Void(VoidCause::Nozzle));
    around.ears.take();
    runner.act(Action::SayFill);
    let said = around.ears.said();
    assert!(
        said[0].contains("nozzle changed") && !said[0].contains("590"),
        "{said:?}"
    );
    runner.act(Action::Filled);
    assert!(runner.bay().notice().expect("refused").is_fault);
    // Used once by a held confirmation, and once only.
    runner.act(Action::UseVoidOnce);
    runner.act(Action::Filled);
    let Some(Happening::Fill(fill)) = kept(&around).pop() else {
        panic!("no fill kept")
    };
    assert_eq!(
        (fill.standing.as_str(), fill.poured),
        ("void", Volume::ml(590.0))
    );
    assert!(matches!(runner.bay().offer(), Offer::Void { .. }));

    // Recalibrated with the new nozzle: good again, another dose.
    run(&mut runner, &around, "820", 90.0, "15");
    runner.act(Action::SaveCalibration);
    assert_eq!(standing(&runner), Standing::Good);
    assert_eq!(dose_ml(runner.bay()), 600.0);
    assert_eq!(runner.bay().age("lance-1").expect("calibrated").washes, 0);
}

#[test]
fn a_wash_is_kept_before_it_is_counted_and_can_be_taken_back() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    around.records.0.borrow_mut().fails = true;
    runner.act(Action::WashDone);
    assert_eq!(runner.bay().age("lance-1").expect("calibrated").washes, 0);
    let notice = runner.bay().notice().expect("a notice").clone();
    assert!(notice.is_fault && notice.undo.is_none(), "{notice:?}");
    assert!(
        notice.text.to_string().contains("not counted")
            && notice.text.to_string().contains("disk is full")
    );
    around.records.0.borrow_mut().fails = false;

    runner.act(Action::WashDone);
    assert_eq!(runner.bay().age("lance-1").expect("calibrated").washes, 1);
    let entry = kept(&around).len() as i64;
    // Even with another sprayer on the screen by then.
    runner.act(Action::ChooseSprayer("lance-2".into()));
    around.clock.go_on(UNDO_TIME - Duration::from_millis(1));
    runner.act(Action::Tick);
    assert_eq!(runner.bay().undo_seconds(), Some(1));
    runner.act(Action::Undo);
    assert_eq!(runner.bay().age("lance-1").expect("calibrated").washes, 0);
    assert_eq!(kept(&around).pop(), Some(Happening::WashUndone(entry)));

    runner.act(Action::WashDone);
    around.clock.go_on(UNDO_TIME);
    runner.act(Action::Undo);
    assert!(
        matches!(kept(&around).pop(), Some(Happening::Wash { .. })),
        "too late to take back"
    );
}

#[test]
fn out_of_reach_says_so_and_who_would_do() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    runner.act(Action::ChooseSprayer("lance-2".into()));
    run(&mut runner, &around, "1060", 60.0, "10.3");
    runner.act(Action::SaveCalibration);
    // 0.04 · 10 300 = 412 ml for 4 % in a 1060 ml bottle that catches 10.3 L.
    let Offer::Fill(plan) = runner.bay().offer() else {
        panic!("a figure")
    };
    assert_eq!(plan.exact.product.as_ml().round(), 412.0);
    runner.act(Action::ChooseChemical("degreaser".into()));
    assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
    // What is chosen is chosen for one sprayer.
    act(
        &mut runner,
        [
            Action::ChooseSprayer("lance-1".into()),
            Action::ChooseChemical("degreaser".into()),
        ],
    );
    let Offer::OutOfReach { strongest, .. } = runner.bay().offer() else {
        panic!("out of reach")
    };
    assert_eq!(strongest.shown(), "5.58 %");
    let degreaser = runner.bay().chemical().clone();
    let would: Vec<_> = runner
        .bay()
        .reached_by(&degreaser)
        .iter()
        .map(|s| s.id.clone())
        .collect();
    assert_eq!(would, ["lance-2", "pump"]);
    around.ears.take();
    runner.act(Action::SayFill);
    assert!(
        around.ears.said()[0].contains("out of reach"),
        "{:?}",
        around.ears.said()
    );
}

#[test]
fn at_one_bottle_ratio_the_second_lands_a_little_under_twice_as_strong() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    runner.act(Action::ChooseSprayer("lance-2".into()));
    run(&mut runner, &around, "1060", 60.0, "10.3");
    act(
        &mut runner,
        [
            Action::SaveCalibration,
            Action::ChooseChemical("wheel".into()),
        ],
    );
    let wanted = |runner: &Runner| match runner.bay().offer() {
        Offer::Fill(plan) => plan.wanted.as_fraction(),
        other => panic!("{other:?}"),
    };
    let second = wanted(&runner);
    act(
        &mut runner,
        [
            Action::ChooseSprayer("lance-1".into()),
            Action::ChooseChemical("wheel".into()),
        ],
    );
    let ratio = second / wanted(&runner);
    assert!((1.8..1.9).contains(&ratio), "{ratio}");
}

#[test]
fn the_stopwatch_counts_down_beeps_and_times_to_the_press() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    act(
        &mut runner,
        [Action::Calibrate, Action::HoldsAsBefore, Action::NextStep],
    );
    around.ears.take();
    runner.act(Action::StartStop { ago: NOW });
    let mut seen = Vec::new();
    for _ in 0..=100 {
        if let Watch::Countdown(left) = runner.bay().watch() {
            seen.push(left);
        }
        around.clock.go_on(Duration::from_millis(50));
        runner.act(Action::Tick);
    }
    seen.dedup();
    assert_eq!(seen, [5, 4, 3, 2, 1]);
    let tones: Vec<_> = around
        .ears
        .take()
        .into_iter()
        .filter(|h| matches!(h, Heard::Tone(_)))
        .collect();
    let mut expected = vec![Heard::Tone(Tone::Countdown); 5];
    expected.push(Heard::Tone(Tone::Go));
    assert_eq!(tones, expected);
    // No other screen and no speech get in the way of a running watch.
    runner.act(Action::Show(Page::Fill));
    assert_eq!(runner.bay().page(), Page::Calibrate);
    around.clock.go_on(Duration::from_millis(60_000 - 50));
    runner.act(Action::StartStop {
        ago: Duration::from_millis(120),
    });
    let time = runner
        .bay()
        .calibrating()
        .expect("in hand")
        .draft
        .time
        .expect("timed");
    assert_eq!(time, Duration::from_millis(60_000 - 120));
    // The word comes behind its tone.
    assert_eq!(
        around.ears.take(),
        [Heard::Tone(Tone::Stop), Heard::Said(Announcement::stop())]
    );
}

#[test]
fn stopping_in_the_countdown_calls_the_run_off() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    act(
        &mut runner,
        [Action::Calibrate, Action::HoldsAsBefore, Action::NextStep],
    );
    runner.act(Action::StartStop { ago: NOW });
    around.clock.go_on(Duration::from_secs(3));
    runner.act(Action::StartStop { ago: NOW });
    let calibrating = runner.bay().calibrating().expect("in hand");
    assert_eq!(
        (calibrating.step(), calibrating.draft.time),
        (Step::Ready, None)
    );
}

#[test]
fn an_unfinished_run_survives_a_restart_up_to_the_last_step_done() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    let restart = |around: &Around| {
        let draft = kept(around).into_iter().rev().find_map(|h| match h {
            Happening::Drafted(draft) => Some(draft),
            _ => None,
        });
        let again = Around::default();
        again.records.0.borrow_mut().past = Past {
            draft,
            ..Past::default()
        };
        let mut runner = again.runner(bay_setup());
        runner.act(Action::Calibrate);
        let calibrating = runner.bay().calibrating().expect("in hand").clone();
        (calibrating.step(), calibrating.draft)
    };
    runner.act(Action::Calibrate);
    type_in(&mut runner, "800");
    assert_eq!(restart(&around).0, Step::Holds);
    runner.act(Action::NextStep);
    let (step, draft) = restart(&around);
    assert_eq!(
        (step, draft.holds),
        (Step::FillToLine, Some(Volume::ml(800.0)))
    );
    runner.act(Action::NextStep);
    assert_eq!(restart(&around).0, Step::Ready);
    runner.act(Action::StartStop { ago: NOW });
    around.clock.go_on(Duration::from_secs(30));
    runner.act(Action::Tick);
    assert_eq!(
        restart(&around).0,
        Step::FillToLine,
        "a run cut off in the middle starts again from a full container"
    );
    around.clock.go_on(Duration::from_secs(79));
    runner.act(Action::StartStop { ago: NOW });
    let (step, draft) = restart(&around);
    assert_eq!(
        (step, draft.time),
        (Step::Left, Some(Duration::from_secs(104)))
    );
    runner.act(Action::NothingLeft);
    assert_eq!(restart(&around).0, Step::Catch);
    act(
        &mut runner,
        [Action::AddLoad("jug".into()), Action::AddLoad("jug".into())],
    );
    let loads = restart(&around).1.catch_loads;
    assert_eq!(
        loads.iter().map(|load| load.volume).collect::<Vec<_>>(),
        [Volume::litres(1.0), Volume::litres(1.0)]
    );
    runner.act(Action::NextStep);
    assert_eq!(restart(&around).0, Step::Review);
    runner.act(Action::ThrowAway);
    assert_eq!(runner.bay().calibrating(), None);
    assert!(matches!(
        kept(&around).pop(),
        Some(Happening::RunThrownAway(_))
    ));
}

#[test]
fn odd_readings_are_questioned_and_impossible_ones_refused() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    run(&mut runner, &around, "820", 104.0, ".7");
    assert!(runner.bay().doubts().iter().any(|d| d.is_impossible()));
    runner.act(Action::SaveCalibration);
    assert_eq!(runner.bay().calibration("lance-1"), None);
    assert!(
        runner
            .bay()
            .notice()
            .expect("the reason")
            .text
            .to_string()
            .contains("not more than was drawn")
    );
    // Put right without running again.
    act(&mut runner, [Action::PreviousStep, Action::UndoLoad]);
    type_in(&mut runner, "9");
    runner.act(Action::NextStep);
    // 9 L in 104 s is a washer's flow; 820 ml of it is drawn.
    assert_eq!(runner.bay().doubts(), []);
    act(&mut runner, [Action::PreviousStep, Action::UndoLoad]);
    type_in(&mut runner, "99");
    runner.act(Action::NextStep);
    assert_eq!(runner.bay().doubts().len(), 1, "57 L/min");
    // The Enter key does not save what is questioned; the held press does.
    runner.act(Action::Main);
    assert_eq!(runner.bay().calibration("lance-1"), None);
    runner.act(Action::SaveCalibration);
    assert!(runner.bay().calibration("lance-1").is_some());
}

#[test]
fn all_of_it_by_the_number_pads_main_key() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    runner.act(Action::Show(Page::Care));
    // Once for the ways, once for running dry.
    act(&mut runner, [Action::Main, Action::Main]);
    type_in(&mut runner, "820");
    act(&mut runner, [Action::Main, Action::Main, Action::Main]);
    assert_eq!(runner.bay().watch(), Watch::Countdown(5));
    around.clock.go_on(Duration::from_secs(5 + 104));
    runner.act(Action::Main);
    // What stayed in it is asked, and nothing typed is no answer.
    runner.act(Action::Main);
    assert_eq!(notice(&runner), "Type what is left, 0 for nothing.");
    type_in(&mut runner, "0");
    runner.act(Action::Main);
    type_in(&mut runner, "14.7");
    act(&mut runner, [Action::Main, Action::Main]);
    // What takes the old figure's place is asked about once more, and a bounce is no answer.
    runner.act(Action::Main);
    assert_eq!(runner.bay().calibration("lance-1"), None);
    around.clock.go_on(Duration::from_millis(1300));
    runner.act(Action::Main);
    assert_eq!(dose_ml(runner.bay()), 590.0);
}

#[test]
fn parts_of_a_fill() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    for (part, ml) in [
        (Part::Quarter, 145.0),
        (Part::Half, 290.0),
        (Part::ThreeQuarters, 440.0),
    ] {
        runner.act(Action::ChoosePart(part));
        assert_eq!(dose_ml(runner.bay()), ml);
    }
    // Another sprayer begins with a whole fill again.
    runner.act(Action::ChooseSprayer("pump".into()));
    assert_eq!(runner.bay().part(), Part::Full);
}

#[test]
fn the_lead_may_keep_the_chemical_to_himself() {
    let around = Around::default();
    let mut fixed = bay_setup();
    fixed.operators_may_change_chemical = false;
    let mut runner = around.runner(fixed);
    runner.act(Action::ChooseChemical("wheel".into()));
    assert_eq!(runner.bay().chemical().id, "film");
    runner.act(Action::Show(Page::Chemicals));
    assert_eq!(runner.bay().page(), Page::Fill);
    assert!(
        runner
            .bay()
            .notice()
            .expect("why")
            .text
            .to_string()
            .contains("shift lead")
    );
}

#[test]
fn an_operators_chemical_lasts_until_the_end_of_the_day() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    runner.act(Action::ChooseSprayer("pump".into()));
    // Nothing is in it: no rinse is spoken of.
    runner.act(Action::ChooseChemical("wheel".into()));
    assert!(runner.bay().notice().is_none());
    runner.act(Action::ChooseChemical("film".into()));
    runner.act(Action::Filled);
    runner.act(Action::CloseNotice);
    runner.act(Action::ChooseChemical("wheel".into()));
    assert_eq!(runner.bay().chemical().id, "wheel");
    assert!(
        runner
            .bay()
            .notice()
            .expect("a caution")
            .text
            .to_string()
            .contains("Rinse")
    );
    around.clock.go_on(Duration::from_secs(24 * 3600));
    runner.act(Action::Tick);
    assert_eq!(runner.bay().chemical().id, "film");
}

#[test]
fn a_clock_that_lost_its_date_makes_nothing_old() {
    let around = Around::default();
    let mut days = bay_setup();
    days.limits.days = Some(30);
    let mut runner = around.runner(days);
    calibrate(&mut runner, &around);
    around.clock.go_on(Duration::from_secs(31 * 24 * 3600));
    runner.act(Action::Tick);
    assert_eq!(standing(&runner), Standing::Due);
    around.clock.lose_date();
    runner.act(Action::Tick);
    assert!(!runner.bay().clock_is_plausible());
    assert_eq!(standing(&runner), Standing::Good);
}

#[test]
fn another_nozzle_in_the_set_up_makes_the_calibration_void() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    let Some(Happening::Calibrated(record)) = kept(&around).pop() else {
        panic!("kept")
    };
    let again = Around::default();
    again.records.0.borrow_mut().past.sprayers.insert(
        "lance-1".into(),
        SprayerPast {
            calibration: Some(record),
            ..SprayerPast::default()
        },
    );
    assert_eq!(standing(&again.runner(bay_setup())), Standing::Good);
    let mut other = bay_setup();
    other.sprayers[0].nozzle = "1.4 mm".into();
    assert_eq!(
        standing(&again.runner(other)),
        Standing::Void(VoidCause::Nozzle)
    );
}

#[test]
fn a_press_away_from_a_direct_sprayers_calibration() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    runner.act(Action::ChooseSprayer("pump".into()));
    assert_eq!(standing(&runner), Standing::Good);
    act(
        &mut runner,
        [Action::Calibrate, Action::Changed(VoidCause::Nozzle)],
    );
    assert_eq!(runner.bay().calibrating(), None);
    assert_eq!(standing(&runner), Standing::Good);
    assert_eq!(dose_ml(runner.bay()), 200.0);
}

#[test]
fn a_part_is_for_one_fill() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    runner.act(Action::ChoosePart(Part::Half));
    runner.act(Action::Filled);
    assert_eq!(
        runner.bay().part(),
        Part::Full,
        "the next one pours into a whole container"
    );
    assert_eq!(dose_ml(runner.bay()), 590.0);
}

#[test]
fn a_wash_can_be_taken_back_after_the_fill_that_followed_it() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    // The calibration itself can be taken back no more.
    around.clock.go_on(UNDO_TIME);
    runner.act(Action::Tick);
    let before = kept(&around).len();
    act(&mut runner, [Action::WashDone, Action::Filled]);
    runner.act(Action::Undo);
    // What was said of that covers the wash only for a moment.
    runner.act(Action::Undo);
    assert!(
        matches!(kept(&around).last(), Some(Happening::FillUndone(_))),
        "not shown, not undone"
    );
    around.clock.go_on(Duration::from_secs(4));
    runner.act(Action::Undo);
    let [.., fill, wash] = &kept(&around)[..] else {
        panic!("kept")
    };
    assert!(matches!(fill, Happening::FillUndone(_)), "the newest first");
    assert!(matches!(wash, Happening::WashUndone(_)));
    assert_eq!(runner.bay().age("lance-1").expect("calibrated").washes, 0);
    runner.act(Action::Undo);
    // Both of them, and both taken back.
    assert_eq!(
        kept(&around).len(),
        before + 4,
        "nothing is left to take back"
    );
}

#[test]
fn leave_to_use_a_void_figure_ends_by_itself() {
    let allowed = |after: &mut dyn FnMut(&mut Runner, &Around)| {
        let around = Around::default();
        let mut runner = around.runner(bay_setup());
        calibrate(&mut runner, &around);
        act(
            &mut runner,
            [Action::Changed(VoidCause::Washer), Action::UseVoidOnce],
        );
        assert!(matches!(runner.bay().offer(), Offer::Fill(_)));
        after(&mut runner, &around);
        matches!(runner.bay().offer(), Offer::Fill(_))
    };
    assert!(allowed(&mut |_, _| ()));
    assert!(!allowed(&mut |runner, _| runner.act(Action::Filled)));
    assert!(!allowed(&mut |runner, _| runner.act(Action::WashDone)));
    assert!(!allowed(
        &mut |runner, _| runner.act(Action::Show(Page::Care))
    ));
    assert!(!allowed(&mut |runner, around| {
        around.clock.go_on(Duration::from_secs(10 * 60));
        runner.act(Action::Tick);
    }));
    // It is for the sprayer and the chemical that were on the screen.
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    act(
        &mut runner,
        [Action::Changed(VoidCause::Nozzle), Action::UseVoidOnce],
    );
    let bay = runner.bay();
    for chemical in &bay.setup().chemicals {
        let offer = bay.offer_for(bay.sprayer(), chemical, Part::Full);
        let void = matches!(offer, Offer::Void { .. });
        assert_eq!(void, chemical.id != "film", "{}", chemical.id);
    }
}

#[test]
fn void_goes_before_out_of_reach() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    act(
        &mut runner,
        [
            Action::Changed(VoidCause::Nozzle),
            Action::ChooseChemical("degreaser".into()),
        ],
    );
    assert!(matches!(
        runner.bay().offer(),
        Offer::Void { old: None, .. }
    ));
}

#[test]
fn a_new_day_changes_the_chemical_with_a_notice() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    act(
        &mut runner,
        [Action::ChooseChemical("wheel".into()), Action::CloseNotice],
    );
    around.clock.go_on(Duration::from_secs(24 * 3600));
    around.ears.take();
    runner.act(Action::Tick);
    let notice = runner.bay().notice().expect("a notice");
    assert!(
        notice.is_fault && notice.text.to_string().contains("Film remover"),
        "{notice:?}"
    );
    assert_eq!(around.ears.take(), [Heard::Tone(Tone::Refused)]);
    // A clock that lost its date changes nothing under the operator's hands.
    act(
        &mut runner,
        [Action::ChooseChemical("wheel".into()), Action::CloseNotice],
    );
    around.clock.lose_date();
    runner.act(Action::Tick);
    assert_eq!(runner.bay().chemical().id, "wheel");
}

#[test]
fn the_calibration_after_a_new_nozzle_waits_for_its_name() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    runner.act(Action::Changed(VoidCause::Nozzle));
    calibrate(&mut runner, &around);
    let Some(Happening::Calibrated(record)) = kept(&around).pop() else {
        panic!("kept")
    };
    assert_ne!(record.nozzle, "1.35 mm", "that one is gone");
    assert_eq!(record.washer, "Washer A");
    // The lead names it later: the good calibration stays good.
    let again = Around::default();
    again.records.0.borrow_mut().past.sprayers.insert(
        "lance-1".into(),
        SprayerPast {
            calibration: Some(record),
            ..SprayerPast::default()
        },
    );
    let mut named = bay_setup();
    named.sprayers[0].nozzle = "1.4 mm".into();
    assert_eq!(standing(&again.runner(named)), Standing::Good);
    let mut moved = bay_setup();
    moved.sprayers[0].washer = "Washer B".into();
    assert_eq!(
        standing(&again.runner(moved)),
        Standing::Void(VoidCause::Washer)
    );
}

#[test]
fn a_container_far_off_its_set_up_is_asked_about_once() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    runner.act(Action::Calibrate);
    type_in(&mut runner, "61");
    runner.act(Action::NextStep);
    assert_eq!(
        runner.bay().calibrating().expect("in hand").step(),
        Step::Holds
    );
    assert!(
        runner
            .bay()
            .notice()
            .expect("why")
            .text
            .to_string()
            .contains("61 ml")
    );
    runner.act(Action::NextStep);
    assert_eq!(
        runner.bay().calibrating().expect("in hand").step(),
        Step::FillToLine
    );
}

#[test]
fn a_leap_of_the_draw_fraction_is_questioned_unless_something_was_changed() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    // Three jugs left out.
    run(&mut runner, &around, "820", 104.0, "11.7");
    assert_eq!(runner.bay().doubts().len(), 1);
    assert!(
        runner.bay().doubts()[0]
            .words()
            .to_string()
            .contains("measure")
    );
    runner.act(Action::ThrowAway);
    runner.act(Action::Changed(VoidCause::Nozzle));
    run(&mut runner, &around, "820", 104.0, "11.7");
    assert_eq!(runner.bay().doubts(), []);
}

#[test]
fn a_running_watch_is_not_walked_away_from() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    act(
        &mut runner,
        [Action::Calibrate, Action::HoldsAsBefore, Action::NextStep],
    );
    runner.act(Action::StartStop { ago: NOW });
    around.clock.go_on(Duration::from_secs(60));
    act(
        &mut runner,
        [Action::PreviousStep, Action::Back, Action::Show(Page::Fill)],
    );
    assert_eq!(
        runner.bay().watch(),
        Watch::Running(Duration::from_secs(55))
    );
}

#[test]
fn running_again_keeps_what_was_thrown_away() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    run(&mut runner, &around, "820", 104.0, "14.7");
    runner.act(Action::RunAgain);
    let happened = kept(&around);
    let thrown = happened.iter().find_map(|h| match h {
        Happening::RunDropped { run, .. } => Some((**run).clone()),
        _ => None,
    });
    assert_eq!(
        thrown.expect("in the records").time,
        Some(Duration::from_secs(104))
    );
    let calibrating = runner.bay().calibrating().expect("in hand");
    assert_eq!(
        (calibrating.step(), calibrating.draft.time),
        (Step::FillToLine, None)
    );
    assert_eq!(calibrating.draft.holds, Some(Volume::ml(820.0)));
}

#[test]
fn another_sprayers_unfinished_run_is_not_gone_on_with_by_mistake() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    act(
        &mut runner,
        [
            Action::Calibrate,
            Action::HoldsAsBefore,
            Action::Back,
            Action::Back,
        ],
    );
    act(
        &mut runner,
        [Action::ChooseSprayer("lance-2".into()), Action::Calibrate],
    );
    assert_eq!(
        runner.bay().page(),
        Page::Care,
        "where the button has the sprayer's name"
    );
    assert_eq!(runner.bay().sprayer().id, "lance-2");
    runner.act(Action::Calibrate);
    assert_eq!(
        (runner.bay().page(), runner.bay().sprayer().id.as_str()),
        (Page::Calibrate, "lance-1")
    );
}

#[test]
fn a_screen_left_open_gives_way_to_home_but_a_calibration_does_not() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    for (page, after) in [(Page::Help, Page::Fill), (Page::Calibrate, Page::Calibrate)] {
        runner.act(Action::Show(page));
        around.clock.go_on(Duration::from_secs(59));
        runner.act(Action::Tick);
        assert_eq!(runner.bay().page(), page);
        around.clock.go_on(Duration::from_secs(1));
        runner.act(Action::Tick);
        assert_eq!(runner.bay().page(), after);
    }
}

#[test]
fn a_dose_below_every_line_has_no_figure() {
    let around = Around::default();
    let mut coarse = bay_setup();
    coarse.measures.retain(|m| m.id == "jug");
    coarse.measures[0].graduation = Volume::ml(250.0);
    let mut runner = around.runner(coarse);
    calibrate(&mut runner, &around);
    runner.act(Action::ChooseChemical("wheel".into()));
    assert!(
        matches!(runner.bay().offer(), Offer::Unmeasurable { .. }),
        "{:?}",
        runner.bay().offer()
    );
    around.ears.take();
    runner.act(Action::SayFill);
    assert_eq!(around.ears.said(), ["Lance 1: no measure for the product."]);
    runner.act(Action::Filled);
    assert!(runner.bay().notice().expect("refused").is_fault);
}

/// A whole shift on the real set-up file and the real records, with the program started anew
/// between any two actions, as after a power cut.
#[test]
fn a_shift_on_real_files_with_a_restart_after_every_action() {
    use fillcall::store::records::SqliteRecords;
    use fillcall::store::{records_path, setup_file::read_bay};
    let folder = tempfile::tempdir().expect("a folder");
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/kiosk-setup/demo-bay/bay.toml");
    std::fs::copy(demo, folder.path().join("bay.toml")).expect("the set-up");
    let around = Around::default();
    let open = || {
        let setup = read_bay(folder.path()).expect("the set-up is right");
        let records = SqliteRecords::open(&records_path(folder.path())).expect("records");
        let bay = Bay::open(setup, Box::new(records), around.clock.now()).expect("a bay");
        Runner::new(
            bay,
            Box::new(around.ears.clone()),
            Box::new(around.clock.clone()),
        )
    };
    let anew = |action: Action| {
        let mut runner = open();
        if matches!(
            action,
            Action::NextStep | Action::AddLoad(_) | Action::SaveCalibration
        ) {
            runner.act(Action::Calibrate);
        }
        runner.act(action);
        around.clock.go_on(Duration::from_secs(30));
    };
    let now = |look: &dyn Fn(&Bay) -> bool| look(open().bay());
    assert!(now(&|bay| bay.offer() == Offer::Uncalibrated));
    anew(Action::ChooseSprayer("lance-2".into()));
    assert!(now(&|bay| bay.sprayer().id == "lance-2"));
    {
        // The run itself is one sitting: a cut in its middle begins it anew.
        let mut runner = open();
        act(
            &mut runner,
            [Action::Calibrate, Action::HoldsAsBefore, Action::NextStep],
        );
        runner.act(Action::StartStop { ago: NOW });
    }
    let cut = |bay: &Bay| {
        bay.calibrating()
            .is_some_and(|c| c.step() == Step::FillToLine)
    };
    assert!(now(&cut));
    {
        let mut runner = open();
        act(&mut runner, [Action::Calibrate, Action::NextStep]);
        runner.act(Action::StartStop { ago: NOW });
        around.clock.go_on(Duration::from_secs_f64(5.0 + 81.7));
        runner.act(Action::StartStop { ago: NOW });
    }
    assert!(now(
        &|bay| bay.calibrating().map(|c| c.step()) == Some(Step::Left)
    ));
    {
        let mut runner = open();
        act(&mut runner, [Action::Calibrate, Action::NothingLeft]);
    }
    for _ in 0..10 {
        anew(Action::AddLoad("jug-1l".into()));
    }
    {
        let mut runner = open();
        runner.act(Action::Calibrate);
        type_in(&mut runner, ".3");
        runner.act(Action::NextStep);
    }
    anew(Action::SaveCalibration);
    let figure = |bay: &Bay| match bay.offer() {
        Offer::Fill(plan) => plan.pour.dose.product.as_ml(),
        other => panic!("{other:?}"),
    };
    // 0.04 · 10 300 = 412 ml, poured as 410.
    assert!(now(&|bay| figure(bay) == 410.0));
    anew(Action::Filled);
    for _ in 0..39 {
        anew(Action::WashDone);
    }
    assert!(now(&|bay| bay.standing(bay.sprayer()) == Standing::Good));
    anew(Action::WashDone);
    assert!(now(
        &|bay| bay.standing(bay.sprayer()) == Standing::Due && bay.nags(bay.sprayer())
    ));
    anew(Action::PutOff);
    assert!(now(&|bay| !bay.nags(bay.sprayer())));
    for _ in 0..5 {
        anew(Action::WashDone);
    }
    assert!(
        now(&|bay| bay.nags(bay.sprayer())),
        "put off for five washes"
    );
    for _ in 0..5 {
        anew(Action::WashDone);
    }
    assert!(now(&|bay| bay.standing(bay.sprayer()) == Standing::Overdue));
    anew(Action::Changed(VoidCause::Nozzle));
    assert!(now(&|bay| matches!(bay.offer(), Offer::Void { .. })));
    anew(Action::ChooseSprayer("lance-1".into()));
    assert!(now(&|bay| bay.offer() == Offer::Uncalibrated));
    anew(Action::ChooseSprayer("lance-2".into()));
    {
        let mut runner = open();
        act(
            &mut runner,
            [Action::Calibrate, Action::HoldsAsBefore, Action::NextStep],
        );
        runner.act(Action::StartStop { ago: NOW });
        around.clock.go_on(Duration::from_secs(5 + 60));
        act(
            &mut runner,
            [Action::StartStop { ago: NOW }, Action::NothingLeft],
        );
        type_in(&mut runner, "8");
        act(&mut runner, [Action::NextStep, Action::SaveCalibration]);
    }
    assert!(now(
        &|bay| bay.standing(bay.sprayer()) == Standing::Good && figure(bay) == 320.0
    ));
}

#[test]
fn a_calibration_only_looked_into_is_none() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    act(&mut runner, [Action::Calibrate, Action::PreviousStep]);
    assert_eq!(runner.bay().calibrating(), None);
    // So another sprayer can be calibrated at once.
    act(
        &mut runner,
        [Action::ChooseSprayer("lance-2".into()), Action::Calibrate],
    );
    assert_eq!(runner.bay().page(), Page::Calibrate);
}

#[test]
fn a_run_that_was_cut_off_does_not_offer_the_time_of_the_one_before() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    run(&mut runner, &around, "820", 104.0, "14.7");
    act(
        &mut runner,
        [
            Action::PreviousStep,
            Action::PreviousStep,
            Action::PreviousStep,
        ],
    );
    runner.act(Action::StartStop { ago: NOW });
    let Some(Happening::Drafted(draft)) = kept(&around).pop() else {
        panic!("kept")
    };
    let again = Around::default();
    again.records.0.borrow_mut().past = Past {
        draft: Some(draft),
        ..Past::default()
    };
    let mut runner = again.runner(bay_setup());
    runner.act(Action::Calibrate);
    assert!(
        runner
            .bay()
            .notice()
            .expect("a word of it")
            .text
            .to_string()
            .contains("cut off")
    );
    let calibrating = runner.bay().calibrating().expect("in hand");
    assert_eq!(
        (calibrating.step(), calibrating.draft.time),
        (Step::FillToLine, None)
    );
    assert!(calibrating.draft.catch_loads.is_empty());
}

#[test]
fn a_void_figure_in_use_claims_no_strength_and_outlives_the_page_of_parts() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    act(
        &mut runner,
        [Action::Changed(VoidCause::Nozzle), Action::UseVoidOnce],
    );
    act(
        &mut runner,
        [Action::Show(Page::Parts), Action::ChoosePart(Part::Half)],
    );
    assert!(matches!(runner.bay().offer(), Offer::Fill(plan) if plan.fill == Volume::ml(410.0)));
}

#[test]
fn enter_on_the_review_is_forgotten_when_something_else_is_done() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    run(&mut runner, &around, "820", 104.0, "14.7");
    runner.act(Action::Main);
    around.clock.go_on(Duration::from_secs(2));
    act(
        &mut runner,
        [
            Action::PreviousStep,
            Action::AddLoad("syringe".into()),
            Action::NextStep,
        ],
    );
    runner.act(Action::Main);
    assert_eq!(
        runner.bay().calibration("lance-1"),
        None,
        "other readings: asked anew"
    );
}

#[test]
fn what_was_meant_for_yesterdays_chemical_is_not_done_for_todays() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    runner.act(Action::ChooseChemical("wheel".into()));
    around.clock.go_on(Duration::from_secs(24 * 3600));
    let before = kept(&around).len();
    runner.act(Action::Filled);
    assert_eq!(kept(&around).len(), before, "the wheel cleaner was poured");
    assert!(runner.bay().notice().expect("why").is_fault);
}

#[test]
fn a_clock_before_1970_keeps_nobody_from_working() {
    let around = Around::default();
    // 57 years before the shift of the tests.
    around
        .clock
        .set_back(Duration::from_secs(57 * 365 * 24 * 60 * 60));
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    act(
        &mut runner,
        [
            Action::WashDone,
            Action::Filled,
            Action::Show(Page::Stock),
            Action::Show(Page::Reports),
            Action::Show(Page::Care),
            Action::Show(Page::Sure),
            Action::Show(Page::Trend),
            Action::Show(Page::Fill),
        ],
    );
    around.clock.go_on(Duration::from_secs(3600 * 30));
    runner.act(Action::Tick);
    runner.act(Action::WashDone);
    let kept = around.records.0.borrow();
    let years =
        |(at, _): &(chrono::DateTime<chrono::FixedOffset>, Happening)| at.format("%Y").to_string();
    assert!(kept.happenings.iter().map(years).all(|year| year == "1969"));
    let washes = kept
        .happenings
        .iter()
        .filter(|(_, what)| matches!(what, Happening::Wash { .. }));
    assert_eq!(washes.count(), 2);
}

fn notice(runner: &Runner) -> String {
    let notice = runner.bay().notice();
    notice.map_or(String::new(), |notice| notice.text.to_string())
}

#[test]
fn a_notice_says_the_count_and_once_whose_it_is() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    runner.act(Action::WashDone);
    assert_eq!(notice(&runner), "1 wash counted");
    for _ in 1..14 {
        runner.act(Action::WashDone);
    }
    assert_eq!(notice(&runner), "14 washes counted");
    for _ in &runner.bay().setup().sprayers.clone() {
        runner.act(Action::NextSprayer);
        assert_eq!(notice(&runner), "Lance 1: 14 washes counted");
    }
    // Of no sprayer: whichever is shown.
    act(
        &mut runner,
        [Action::CloseNotice, Action::Show(Page::Stock)],
    );
    use fillcall::bay::stock::StockAction;
    let tell = [StockAction::Look("film".into()), StockAction::Deliver];
    act(&mut runner, tell.map(Action::Stock));
    type_in(&mut runner, "20");
    runner.act(Action::Stock(StockAction::Save));
    let came = notice(&runner);
    assert!(came.starts_with("Film remover: "), "{came}");
    act(&mut runner, [Action::Show(Page::Fill), Action::NextSprayer]);
    assert_eq!(notice(&runner), came);
}

#[test]
fn a_press_where_a_notice_was_just_now_is_answered() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    runner.act(Action::WashDone);
    around.clock.go_on(UNDO_TIME);
    runner.act(Action::Tick);
    assert!(runner.bay().notice().is_none() && runner.bay().guards_a_notice());
    let before = kept(&around).len();
    around.ears.take();
    runner.act(Action::TooSoon);
    assert_eq!(notice(&runner), "One moment");
    assert_eq!(around.ears.take(), [Heard::Tone(Tone::Refused)]);
    assert_eq!(kept(&around).len(), before, "and nothing else");
    around.clock.go_on(Duration::from_millis(1500));
    runner.act(Action::Tick);
    assert_eq!(notice(&runner), "");
    around.clock.go_on(Duration::from_millis(700));
    runner.act(Action::Tick);
    assert!(!runner.bay().guards_a_notice());
}

#[test]
fn what_was_refused_elsewhere_gives_way_to_the_next_digit_too() {
    use fillcall::bay::day::DayAction;
    use fillcall::bay::mixing::{MixAction, MixStage};
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    calibrate(&mut runner, &around);
    // Nothing waits behind a refusal: the calibration can be taken back no more.
    around.clock.go_on(UNDO_TIME);
    act(
        &mut runner,
        [
            Action::Tick,
            Action::Show(Page::Mix),
            Action::Mix(MixAction::Open(MixStage::LeftTyped)),
        ],
    );
    type_in(&mut runner, "99999");
    runner.act(Action::Mix(MixAction::Next));
    assert!(
        notice(&runner).contains("more than it holds"),
        "{}",
        notice(&runner)
    );
    type_in(&mut runner, "54");
    assert_eq!(runner.bay().mixing().typed().text(), "54");
    assert_eq!(notice(&runner), "");
    common::lead::let_in_to(&mut runner, Page::Day);
    let pad = [
        DayAction::For(fillcall::bay::records::Scope::Bay),
        DayAction::OpenPad,
    ];
    act(&mut runner, pad.map(Action::Day));
    type_in(&mut runner, "400");
    runner.act(Action::Day(DayAction::TakeTyped));
    type_in(&mut runner, "4");
    assert_eq!(runner.bay().day_typed().text(), "4");
}
