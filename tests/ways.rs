//! The three ways to run through the bay on real files: done, gone back from, cut off by a power cut
//! at every step, and with readings that cannot be.

mod common;

use approx::assert_relative_eq;
use common::hands::Wall;
use common::setup;
use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::offer::Offer;
use fillcall::bay::ports::Tone;
use fillcall::bay::records::{Draft, Happening, SprayerPast, Step};
use fillcall::bay::setup::{EntryUnits, Profile, Setup};
use fillcall::bay::stopwatch::Watch;
use fillcall::trade::calibration::{Calibration, Way};
use fillcall::trade::likely_causes::Cause;
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::uncertainty::DoseUncertainty;
use fillcall::trade::units::Volume;
use std::time::Duration;

fn bay_setup() -> Setup {
    setup(Profile::Seven800)
}

/// One thing done by the person, and the step that is in hand after it.
type Done = (fn(&mut Wall), Step);

fn go_on(wall: &mut Wall) {
    wall.act(Action::NextStep);
}

/// A run in each way, thing by thing. What comes out is near 5.58 %.
fn script(way: Way) -> Vec<Done> {
    let jug: fn(&mut Wall) = |wall| wall.act(Action::AddLoad("jug".into()));
    match way {
        Way::RunDry => {
            let mut script: Vec<Done> = vec![
                (|wall| wall.enter("820"), Step::FillToLine),
                (go_on, Step::Ready),
                (|wall| wall.run_and_stop(104.0), Step::Left),
                (|wall| wall.act(Action::NothingLeft), Step::Catch),
            ];
            script.extend([(jug, Step::Catch); 14]);
            script.push((|wall| wall.enter(".7"), Step::Review));
            script
        }
        Way::Timed => {
            let mut script: Vec<Done> = vec![
                (|wall| wall.enter("820"), Step::SetTime),
                (|wall| wall.enter("52"), Step::FillToLine),
                (go_on, Step::Ready),
                // The screen stops it: no hand does.
                (
                    |wall| {
                        wall.start();
                        wall.wait(5.0 + 52.1);
                    },
                    Step::Left,
                ),
                (
                    |wall| wall.act(Action::AddLoad("cylinder".into())),
                    Step::Left,
                ),
                (|wall| wall.enter("160"), Step::Catch),
            ];
            script.extend([(jug, Step::Catch); 7]);
            script.push((|wall| wall.enter(".35"), Step::Review));
            script
        }
        Way::ByWeight => vec![
            (|wall| wall.enter("15"), Step::BucketEmpty),
            (|wall| wall.enter("1.21"), Step::FillToLine),
            (go_on, Step::ContainerFull),
            (|wall| wall.enter("1.43"), Step::Ready),
            (|wall| wall.run_for(104.0), Step::ContainerAfter),
            (|wall| wall.enter("0.61"), Step::BucketFull),
            (|wall| wall.enter("15.91"), Step::CatchTemperature),
            // As warm as the other.
            (|wall| wall.act(Action::HoldsAsBefore), Step::Review),
        ],
    }
}

fn begun(way: Way) -> Wall {
    let mut wall = Wall::new(bay_setup());
    wall.act(Action::CalibrateBy(way));
    assert_eq!(wall.step(), Step::path(way)[0]);
    wall
}

fn done(way: Way) -> Wall {
    let mut wall = begun(way);
    for (act, step) in script(way) {
        act(&mut wall);
        assert_eq!(wall.step(), step, "{way:?}: {}", wall.notice());
    }
    wall
}

fn result(wall: &Wall) -> Calibration {
    wall.calibrating().result().expect("a result")
}

fn saved(wall: &mut Wall) -> Calibration {
    wall.act(Action::SaveCalibration);
    assert_eq!(wall.bay().page(), Page::Fill, "{}", wall.notice());
    let id = wall.bay().sprayer().id.clone();
    wall.bay().calibration(&id).expect("saved").clone()
}

#[test]
fn each_way_gives_the_same_draw_fraction() {
    for way in Way::ALL {
        let mut wall = done(way);
        assert_eq!(wall.bay().doubts(), [], "{way:?}");
        let calibration = saved(&mut wall);
        let draw = calibration.draw_fraction().expect("a draw fraction");
        assert_relative_eq!(draw.as_fraction(), 820.0 / 14_700.0, max_relative = 0.005);
        assert_eq!(calibration.run.way, way);
        // On disk with all its readings.
        wall.restart();
        let id = wall.bay().sprayer().id.clone();
        assert_eq!(wall.bay().calibration(&id), Some(&calibration));
        let Offer::Fill(plan) = wall.bay().offer() else {
            panic!("{way:?}: no figure");
        };
        assert_relative_eq!(plan.exact.product.as_ml(), 588.0, max_relative = 0.005);
        let sure = wall.bay().dose_uncertainty(&plan).expect("a ±");
        // Two per cent of scatter that four degrees of freedom of the prior stand for, t₉₅(4) times,
        // and a little for the readings and the container.
        let part = sure.expanded(plan.exact.product) / plan.exact.product;
        let of_scatter = 2.776 * 0.02;
        assert!(
            (of_scatter..1.1 * of_scatter).contains(&part),
            "{way:?}: {part}"
        );
    }
}

#[test]
fn by_weight_the_water_and_the_air_are_reckoned_with() {
    let wall = done(Way::ByWeight);
    let run = result(&wall).run;
    // 1.0020 ml per g at 15 °C: table for weighing in air at 1013 hPa (published checks).
    assert_relative_eq!(run.drawn.as_ml(), 820.0 * 1.0020, max_relative = 5e-5);
    assert_relative_eq!(run.catch.as_ml(), 14_700.0 * 1.0020, max_relative = 5e-5);
    // Steps of 10 g, two readings each: 10/√6.
    let read = run.read.expect("how surely");
    assert_relative_eq!(
        read.catch.as_ml(),
        10.0 / 6f64.sqrt() * 1.0020,
        max_relative = 1e-3
    );
    assert_eq!(result(&wall).holds, None, "nobody measured the container");
}

#[test]
fn a_timed_run_needs_no_hand_to_stop_it() {
    let mut wall = begun(Way::Timed);
    for (act, _) in &script(Way::Timed)[..3] {
        act(&mut wall);
    }
    wall.tones();
    wall.start();
    wall.wait(5.0 + 20.0);
    assert_eq!(wall.bay().time_left(), Some(Duration::from_secs(32)));
    assert!(matches!(wall.bay().watch(), Watch::Running(_)));
    wall.wait(32.0);
    assert_eq!(wall.step(), Step::Left);
    assert_eq!(wall.draft().time, Some(Duration::from_secs(52)));
    let mut expected = vec![Tone::Countdown; 5];
    expected.push(Tone::Go);
    expected.extend([Tone::Countdown; 3]);
    expected.push(Tone::Stop);
    assert_eq!(wall.tones(), expected);
}

#[test]
fn a_timed_run_that_is_broken_off_begins_with_a_full_container() {
    let mut wall = begun(Way::Timed);
    for (act, _) in &script(Way::Timed)[..3] {
        act(&mut wall);
    }
    wall.run_for(20.0);
    assert_eq!(wall.step(), Step::FillToLine);
    assert!(wall.notice().contains("too soon"), "{}", wall.notice());
    assert_eq!(wall.draft().time, None);
    // In the countdown nothing was drawn.
    wall.acts([Action::NextStep]);
    wall.start();
    wall.wait(2.0);
    wall.stop();
    assert_eq!(wall.step(), Step::Ready);
}

#[test]
fn a_power_cut_after_any_step_loses_nothing_done() {
    for way in Way::ALL {
        let whole = result(&done(way));
        for cut in 0..script(way).len() {
            let mut wall = begun(way);
            for (i, (act, step)) in script(way).into_iter().enumerate() {
                act(&mut wall);
                if i == cut {
                    let before = wall.draft();
                    wall.restart();
                    assert_eq!(wall.bay().page(), Page::Fill);
                    wall.act(Action::Calibrate);
                    assert_eq!(wall.draft(), before, "{way:?}, cut after {step:?}");
                }
                assert_eq!(wall.step(), step, "{way:?}, cut after {cut}");
            }
            assert_eq!(result(&wall), whole, "{way:?}, cut after {cut}");
        }
    }
}

#[test]
fn a_power_cut_while_it_runs_begins_the_run_again() {
    for way in Way::ALL {
        // In the countdown, and while it runs.
        for seconds in [2.0, 30.0] {
            let mut wall = begun(way);
            for (act, step) in script(way) {
                if wall.step() == Step::Ready {
                    break;
                }
                act(&mut wall);
                assert_eq!(wall.step(), step);
            }
            wall.start();
            wall.wait(seconds);
            wall.restart();
            wall.act(Action::Calibrate);
            let begins = match way {
                Way::ByWeight => Step::BucketEmpty,
                Way::RunDry | Way::Timed => Step::FillToLine,
            };
            assert_eq!(wall.step(), begins, "{way:?}");
            assert!(wall.notice().contains("cut off"), "{}", wall.notice());
            assert_eq!(wall.draft().time, None);
            // What does not depend on the run is still there.
            match way {
                Way::ByWeight => assert_eq!(wall.draft().weights.len(), 1, "the temperature"),
                _ => assert_eq!(wall.draft().holds, Some(Volume::ml(820.0))),
            }
            let rest = script(way);
            let from = rest.iter().position(|(_, step)| *step == begins);
            for (act, step) in rest.into_iter().skip(from.map_or(0, |at| at + 1)) {
                act(&mut wall);
                assert_eq!(wall.step(), step, "{way:?}: {}", wall.notice());
            }
            saved(&mut wall);
        }
    }
}

#[test]
fn back_from_every_step_and_forth_again_changes_nothing() {
    for way in Way::ALL {
        for back in 0..script(way).len() {
            let mut wall = begun(way);
            for (act, _) in script(way).into_iter().take(back + 1) {
                act(&mut wall);
            }
            let before = wall.draft();
            wall.act(Action::PreviousStep);
            assert_ne!(wall.step(), before.step, "{way:?}");
            assert_eq!(
                without_step(&wall.draft()),
                without_step(&before),
                "{way:?}"
            );
            wall.act(Action::NextStep);
            assert_eq!(wall.draft(), before, "{way:?}: {}", wall.notice());
        }
        // And out of it from any step, with the same way back in.
        let mut wall = done(way);
        let before = without_step(&wall.draft());
        for _ in 0..Step::path(way).len() {
            if wall.bay().page() == Page::Calibrate {
                wall.act(Action::PreviousStep);
            }
        }
        assert_eq!(wall.bay().page(), Page::Fill, "{way:?}");
        wall.act(Action::Calibrate);
        assert_eq!(without_step(&wall.draft()), before);
    }
}

fn without_step(draft: &Draft) -> Draft {
    Draft {
        step: Step::Review,
        ..draft.clone()
    }
}

#[test]
fn thrown_away_at_any_step_leaves_the_sprayer_as_it_was() {
    for way in Way::ALL {
        for last in 0..script(way).len() {
            let mut wall = begun(way);
            for (act, _) in script(way).into_iter().take(last + 1) {
                act(&mut wall);
            }
            wall.act(Action::ThrowAway);
            wall.restart();
            assert_eq!(wall.bay().calibrating(), None, "{way:?} {last}");
            assert_eq!(wall.bay().offer(), Offer::Uncalibrated);
        }
    }
}

#[test]
fn loads_are_counted_with_the_lines_they_were_read_on() {
    let mut wall = begun(Way::RunDry);
    wall.enter("820");
    wall.act(Action::NextStep);
    wall.run_for(104.0);
    wall.acts((0..3).map(|_| Action::AddLoad("jug".into())));
    wall.act(Action::AddLoad("cylinder".into()));
    wall.act(Action::UndoLoad);
    wall.act(Action::AddLoad("syringe".into()));
    assert_eq!(wall.calibrating().catch(), Volume::ml(3060.0));
    // 300 ml needs the jug, 0.2 L goes into the cylinder.
    wall.type_in(".3");
    wall.act(Action::AddTyped);
    wall.type_in(".2");
    wall.act(Action::AddTyped);
    let graduations: Vec<f64> = wall
        .draft()
        .catch_loads
        .iter()
        .map(|load| load.graduation.expect("known").as_ml())
        .collect();
    assert_eq!(graduations, [10.0, 10.0, 10.0, 1.0, 10.0, 5.0]);
    wall.act(Action::UndoLoad);
    // In ml instead of litres.
    wall.act(Action::SwitchUnit);
    wall.enter("11340");
    assert_eq!(wall.step(), Step::Review);
    assert_eq!(wall.calibrating().catch(), Volume::ml(14_700.0));
    // Half a line each way, rectangular: the squares add, for 12 loads of the jug typed as one.
    let unsure = result(&wall).run.read.expect("how surely").catch.as_ml();
    let expected = ((4.0 + 12.0) * 100.0 + 1.0f64).sqrt() / 12f64.sqrt();
    assert_relative_eq!(unsure, expected, max_relative = 1e-9);
}

#[test]
fn volumes_are_typed_in_the_units_of_the_bay() {
    // Exact: NIST Handbook 44 App. C; Weights and Measures Act 1985.
    for (units, ounce, gallon) in [
        (EntryUnits::Us, 29.573_529_562_5, 3_785.411_784),
        (EntryUnits::Uk, 28.413_062_5, 4546.09),
    ] {
        let mut wall = Wall::new(Setup {
            entry_units: units,
            ..bay_setup()
        });
        wall.act(Action::CalibrateBy(Way::RunDry));
        wall.enter("28");
        assert_relative_eq!(wall.draft().holds.expect("held").as_ml(), 28.0 * ounce);
        wall.act(Action::NextStep);
        wall.run_for(104.0);
        wall.type_in("4.5");
        wall.act(Action::AddTyped);
        assert_relative_eq!(wall.calibrating().catch().as_ml(), 4.5 * gallon);
        wall.act(Action::SwitchUnit);
        wall.type_in("10");
        wall.act(Action::AddTyped);
        let all = 4.5 * gallon + 10.0 * ounce;
        assert_relative_eq!(
            wall.calibrating().catch().as_ml(),
            all,
            max_relative = 1e-12
        );
    }
}

#[test]
fn readings_that_cannot_be_are_refused_with_what_to_do() {
    let refused = |wall: &mut Wall, typed: &str, words: &str| {
        let before = wall.step();
        wall.enter(typed);
        assert_eq!(wall.step(), before, "{typed} was taken");
        assert!(wall.notice().contains(words), "{typed}: {}", wall.notice());
        for _ in 0..6 {
            wall.act(Action::Pad(PadKey::Back));
        }
    };
    let mut wall = begun(Way::Timed);
    refused(&mut wall, "", "Type what it holds");
    refused(&mut wall, "0", "Type what it holds");
    wall.enter("820");
    refused(&mut wall, "", "Choose how long");
    refused(&mut wall, "5", "10 to 900 seconds");
    refused(&mut wall, "901", "10 to 900 seconds");
    wall.enter("52");
    wall.act(Action::NextStep);
    wall.start();
    wall.wait(60.0);
    refused(&mut wall, "", "Nothing left");
    wall.enter("820");
    assert!(wall.notice().contains("More is left"), "{}", wall.notice());
    wall.act(Action::UndoLoad);
    wall.enter("410");
    refused(&mut wall, "", "what was caught");

    let mut wall = begun(Way::ByWeight);
    refused(&mut wall, "", "temperature");
    refused(&mut wall, "61", "0 to 60");
    wall.enter("15");
    refused(&mut wall, "", "balance");
    wall.enter("1.21");
    wall.act(Action::NextStep);
    wall.enter("1.43");
    wall.run_for(104.0);
    refused(&mut wall, "1.43", "swapped");
    refused(&mut wall, "1.6", "swapped");
    wall.enter("0.61");
    refused(&mut wall, "1.2", "swapped");

    let mut wall = Wall::new(Setup {
        balance_step_kg: None,
        ..bay_setup()
    });
    wall.act(Action::CalibrateBy(Way::ByWeight));
    assert_eq!(wall.bay().calibrating(), None);
    assert!(wall.notice().contains("[balance]"), "{}", wall.notice());
}

/// A run until dry with these readings, on a bay that may know the sprayer already.
fn run_dry(wall: &mut Wall, holds: &str, seconds: f64, litres: &str) {
    wall.act(Action::CalibrateBy(Way::RunDry));
    wall.enter(holds);
    if wall.step() == Step::Holds {
        // Asked about, and meant.
        wall.act(Action::NextStep);
    }
    wall.act(Action::NextStep);
    wall.run_for(seconds);
    wall.enter(litres);
    assert_eq!(wall.step(), Step::Review, "{}", wall.notice());
}

#[test]
fn every_doubt_is_worded_for_the_reading_that_causes_it() {
    for (holds, seconds, litres, words) in [
        ("820", 104.0, ".7", "not more than was drawn"),
        ("820", 20.0, "14.7", "no washer's flow"),
        ("820", 1100.0, "14.7", "no washer's flow"),
        ("820", 104.0, "1.3", "usual is 0.3 to 60 %"),
        ("60", 104.0, "25", "usual is 0.3 to 60 %"),
        ("700", 104.0, "14.7", "the set-up says"),
    ] {
        let mut wall = Wall::new(bay_setup());
        run_dry(&mut wall, holds, seconds, litres);
        let doubts: Vec<String> = wall
            .bay()
            .doubts()
            .iter()
            .map(|d| d.words().to_string())
            .collect();
        assert!(
            doubts.iter().any(|d| d.contains(words)),
            "{holds} {seconds} {litres}: {doubts:?}"
        );
    }
    let mut wall = Wall::new(bay_setup());
    run_dry(&mut wall, "820", 104.0, "14.7");
    saved(&mut wall);
    run_dry(&mut wall, "820", 104.0, "12.3");
    let doubts: Vec<String> = wall
        .bay()
        .doubts()
        .iter()
        .map(|d| d.words().to_string())
        .collect();
    assert!(doubts[0].contains("measure again"), "{doubts:?}");
}

#[test]
fn longer_than_a_full_container_lasts_is_asked_about_once() {
    let mut wall = Wall::new(bay_setup());
    run_dry(&mut wall, "820", 104.0, "14.7");
    saved(&mut wall);
    wall.act(Action::CalibrateBy(Way::Timed));
    wall.enter("820");
    let offered: Vec<u64> = wall
        .bay()
        .time_choices()
        .iter()
        .map(Duration::as_secs)
        .collect();
    assert_eq!(offered, [50, 80], "half and three quarters of 104 s");
    wall.enter("110");
    assert_eq!(wall.step(), Step::SetTime);
    assert!(wall.notice().contains("104 s"), "{}", wall.notice());
    wall.act(Action::NextStep);
    assert_eq!(wall.step(), Step::FillToLine);
    wall.act(Action::PreviousStep);
    wall.act(Action::TakeTime(Duration::from_secs(50)));
    assert_eq!(wall.draft().set_time, Some(Duration::from_secs(50)));
    assert_eq!(wall.step(), Step::FillToLine);
}

/// One more run of the calibration in hand, with this catch.
fn one_more(wall: &mut Wall, litres: &str) {
    wall.act(Action::AnotherRun);
    assert_eq!(wall.step(), Step::FillToLine, "{}", wall.notice());
    wall.act(Action::NextStep);
    wall.run_for(104.0);
    wall.enter(litres);
}

#[test]
fn a_run_that_differs_is_flagged_and_can_be_dropped_or_repeated() {
    let mut wall = Wall::new(bay_setup());
    run_dry(&mut wall, "820", 104.0, "14.7");
    assert!(wall.bay().differing_runs().is_empty());
    // 2.8 times 2 % (ISO 5725-6), and t of four degrees of freedom over 1.96 times that: 7.9 %.
    let first = wall.calibrating().runs()[0];
    one_more(&mut wall, "14");
    assert!(wall.bay().differing_runs().is_empty(), "4.9 % apart");
    wall.act(Action::DropRun(1));
    // The first is in hand again, read as surely as before.
    let again = wall.calibrating().run().expect("a run");
    let catch = |run: fillcall::trade::calibration::Run| run.read.expect("known").catch.as_ml();
    assert_relative_eq!(catch(again), catch(first), max_relative = 1e-12);
    one_more(&mut wall, "13.7");
    assert!(wall.bay().differing_runs().is_empty(), "7 % apart");
    wall.act(Action::DropRun(1));
    one_more(&mut wall, "13.4");
    assert_eq!(
        wall.bay().differing_runs(),
        [0, 1],
        "9.3 % apart, and nobody knows which"
    );
    one_more(&mut wall, "14.8");
    assert_eq!(wall.bay().differing_runs(), [1], "now it is known");
    wall.restart();
    wall.act(Action::Calibrate);
    assert_eq!(wall.bay().differing_runs(), [1], "after a restart too");
    wall.act(Action::DropRun(1));
    assert!(wall.bay().differing_runs().is_empty());
    assert_eq!(wall.calibrating().runs().len(), 2);
    for _ in 0..3 {
        one_more(&mut wall, "14.6");
    }
    assert_eq!(wall.calibrating().runs().len(), 5);
    wall.act(Action::AnotherRun);
    assert!(
        wall.notice().contains("5 runs are enough"),
        "{}",
        wall.notice()
    );
    let calibration = saved(&mut wall);
    assert_eq!(calibration.count(), 5);
    let mean = [14.7, 14.8, 14.6, 14.6, 14.6].map(|litres| 0.82 / litres);
    let mean = mean.iter().sum::<f64>() / 5.0;
    let draw = calibration.draw_fraction().expect("d").as_fraction();
    assert_relative_eq!(draw, mean, max_relative = 1e-12);
    // Four degrees of freedom of its own beside the four of the prior.
    let scatter = wall.bay().scatter();
    assert_eq!(
        (scatter.degrees_of_freedom, scatter.freedom(), scatter.runs),
        (4, 8, 5)
    );
}

#[test]
fn more_runs_and_the_bays_own_scatter_make_the_dose_surer() {
    let mut wall = Wall::new(bay_setup());
    let part = |wall: &Wall| match wall.bay().offer() {
        Offer::Fill(plan) => {
            let sure = wall.bay().dose_uncertainty(&plan).expect("a ±");
            // No run makes the pouring surer.
            let sure = DoseUncertainty { pour: 0.0, ..sure };
            sure.expanded(plan.exact.product) / plan.exact.product
        }
        other => panic!("{other:?}"),
    };
    run_dry(&mut wall, "820", 104.0, "14.7");
    saved(&mut wall);
    let one = part(&wall);
    run_dry(&mut wall, "820", 104.0, "14.7");
    for litres in ["14.78", "14.62", "14.7", "14.74"] {
        one_more(&mut wall, litres);
    }
    saved(&mut wall);
    let five = part(&wall);
    // Five runs that agree well: narrower by the root of five, and more by what they say of the scatter.
    // By hand: s² = (4·2² + 4·0.41²)/8 %², t for 8 degrees of freedom 2.306 in place of 2.776 for 4.
    let litres = [14.7, 14.78, 14.62, 14.7, 14.74];
    let draws = litres.map(|litres| 0.82 / litres);
    let mean = draws.iter().sum::<f64>() / 5.0;
    let squares: f64 = draws.iter().map(|d| (d / mean - 1.0).powi(2)).sum();
    let scatter = ((4.0 * 0.02f64.powi(2) + squares) / 8.0).sqrt();
    assert_relative_eq!(wall.bay().scatter().relative, scatter, max_relative = 1e-9);
    let narrower = scatter / 0.02 / 5f64.sqrt() * (2.306 / 2.776);
    assert_relative_eq!(five / one, narrower, max_relative = 0.15);
    // Ten degrees of freedom of runs that agree well: smaller still.
    for _ in 0..2 {
        run_dry(&mut wall, "820", 104.0, "14.7");
        for litres in ["14.78", "14.62", "14.7"] {
            one_more(&mut wall, litres);
        }
        saved(&mut wall);
    }
    let known = wall.bay().scatter();
    assert_eq!(known.freedom(), 14);
    assert!(part(&wall) < five * 0.9, "{} {five}", part(&wall));
    wall.restart();
    assert_eq!(wall.bay().scatter(), known, "after a restart too");
}

#[test]
fn what_a_change_may_come_from_is_said_beside_the_old_figure() {
    let causes = |seconds: f64, litres: &str| {
        let mut wall = Wall::new(bay_setup());
        run_dry(&mut wall, "820", 104.0, "14.7");
        saved(&mut wall);
        run_dry(&mut wall, "820", seconds, litres);
        wall.bay().likely_causes()
    };
    assert_eq!(causes(105.0, "14.8"), [], "no more than runs scatter");
    assert_eq!(causes(104.0, "16.6")[0], Cause::WornOrWrongNozzle);
    assert_eq!(causes(118.0, "16.6")[0], Cause::BlockedFilterOrTube);
    assert_eq!(causes(120.0, "14.7")[0], Cause::WeakSupplyOrPump);
    // Where something was changed, that is the cause.
    let mut wall = Wall::new(bay_setup());
    run_dry(&mut wall, "820", 104.0, "14.7");
    saved(&mut wall);
    wall.act(Action::Changed(VoidCause::Nozzle));
    run_dry(&mut wall, "820", 104.0, "16.6");
    assert_eq!(wall.bay().likely_causes(), []);
}

#[test]
fn what_it_holds_stays_while_runs_stand_on_it() {
    for way in [Way::RunDry, Way::Timed] {
        let mut wall = done(way);
        wall.act(Action::AnotherRun);
        let begins = wall.step();
        for (act, _) in script(way)
            .into_iter()
            .skip_while(|(_, step)| *step != begins)
            .skip(1)
        {
            act(&mut wall);
        }
        assert_eq!(wall.step(), Step::Review, "{way:?}: {}", wall.notice());
        while wall.step() != Step::Holds {
            wall.act(Action::PreviousStep);
        }
        wall.enter("800");
        assert_eq!(wall.step(), Step::Holds, "{way:?}");
        assert!(
            wall.notice().contains("stand on what it holds"),
            "{}",
            wall.notice()
        );
        assert_eq!(wall.draft().holds, Some(Volume::ml(820.0)));
    }
}

#[test]
fn in_a_timed_run_what_it_holds_is_measured() {
    let mut wall = begun(Way::Timed);
    assert_eq!(wall.bay().holds_before(), None, "only the set-up says so");
    wall.act(Action::HoldsAsBefore);
    assert_eq!(wall.step(), Step::Holds);
    assert!(wall.notice().contains("measure it"), "{}", wall.notice());
    let mut wall = Wall::new(bay_setup());
    run_dry(&mut wall, "820", 104.0, "14.7");
    saved(&mut wall);
    wall.acts([Action::CalibrateBy(Way::Timed), Action::HoldsAsBefore]);
    assert_eq!(wall.step(), Step::SetTime);
}

#[test]
fn a_container_that_lasts_for_hours_is_offered_times_that_a_bucket_takes() {
    let mut wall = Wall::new(bay_setup());
    // 16 L/min, of which 0.15 L/min is drawn: 25 L last for hours.
    wall.acts([
        Action::ChooseSprayer("drum".into()),
        Action::CalibrateBy(Way::Timed),
    ]);
    wall.enter("25000");
    wall.enter("60");
    wall.act(Action::NextStep);
    wall.start();
    wall.wait(66.0);
    wall.enter("24850");
    wall.enter("16");
    saved(&mut wall);
    wall.act(Action::CalibrateBy(Way::Timed));
    wall.act(Action::HoldsAsBefore);
    assert_eq!(wall.step(), Step::Holds, "what is put in is measured");
    wall.enter("25000");
    for time in wall.bay().time_choices() {
        wall.act(Action::TakeTime(time));
        assert_eq!(wall.draft().set_time, Some(time), "{}", wall.notice());
        wall.act(Action::PreviousStep);
    }
}

#[test]
fn a_run_that_is_dropped_or_done_again_risks_no_other() {
    let mut wall = Wall::new(bay_setup());
    run_dry(&mut wall, "820", 104.0, "14.7");
    one_more(&mut wall, "14.8");
    one_more(&mut wall, "14.6");
    wall.act(Action::RunAgain);
    wall.restart();
    wall.act(Action::Calibrate);
    assert_eq!(wall.step(), Step::FillToLine);
    assert_eq!(wall.calibrating().runs().len(), 2);
    wall.act(Action::NextStep);
    wall.run_for(104.0);
    wall.enter("14.65");
    wall.act(Action::DropRun(0));
    wall.restart();
    wall.act(Action::Calibrate);
    let litres: Vec<f64> = wall
        .calibrating()
        .runs()
        .iter()
        .map(|r| r.catch.as_litres())
        .collect();
    assert_eq!(litres, [14.8, 14.65]);
}

#[test]
fn the_main_key_leads_through_from_the_care_page() {
    let mut wall = Wall::new(bay_setup());
    wall.act(Action::Show(Page::Care));
    wall.act(Action::Main);
    assert_eq!(wall.bay().page(), Page::Ways);
    wall.act(Action::Main);
    assert_eq!(
        (wall.bay().page(), wall.step()),
        (Page::Calibrate, Step::Holds)
    );
    // With one in hand there is nothing to choose.
    wall.acts([
        Action::HoldsAsBefore,
        Action::Show(Page::Fill),
        Action::Show(Page::Care),
    ]);
    wall.act(Action::Main);
    assert_eq!(
        (wall.bay().page(), wall.step()),
        (Page::Calibrate, Step::FillToLine)
    );
}

/// The bay with a drum and a first lance of these volumes.
fn holding(drum: Volume, lance: Volume) -> Setup {
    let mut setup = bay_setup();
    for sprayer in &mut setup.sprayers {
        match &*sprayer.id {
            "drum" => sprayer.holds = drum,
            "lance-1" => sprayer.holds = lance,
            _ => {}
        }
    }
    setup
}

/// A run by weight with these net weights in kg, saved.
fn weighed(wall: &mut Wall, drawn: f64, catch: f64) {
    wall.act(Action::CalibrateBy(Way::ByWeight));
    while wall.step() != Step::BucketEmpty {
        wall.enter("15");
    }
    wall.enter("1.2");
    wall.act(Action::NextStep);
    wall.enter("2.5");
    wall.run_for(60.0);
    wall.enter(&format!("{:.3}", 2.5 - drawn));
    wall.enter(&format!("{:.3}", 1.2 + catch));
    wall.act(Action::HoldsAsBefore);
    assert_eq!(wall.step(), Step::Review, "{}", wall.notice());
    saved(wall);
}

fn made_up(wall: &Wall) -> Volume {
    match wall.bay().offer() {
        Offer::Fill(plan) => plan.fill,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_was_drawn_is_never_what_a_container_holds() {
    let (drum, lance) = (Volume::litres(16.5), Volume::ml(760.0));
    let mut wall = Wall::new(holding(drum, lance));
    wall.act(Action::ChooseSprayer("drum".into()));
    weighed(&mut wall, 0.13, 2.6);
    assert_eq!(made_up(&wall), drum, "by weight");
    wall.restart();
    assert_eq!(made_up(&wall), drum, "by weight, after a restart");
    // On a drum a timed run and one until dry are done with as much as somebody put in.
    wall.act(Action::CalibrateBy(Way::Timed));
    wall.enter("1000");
    while wall.step() == Step::Holds {
        wall.act(Action::NextStep);
    }
    wall.enter("60");
    wall.act(Action::NextStep);
    wall.start();
    wall.wait(5.0 + 60.1);
    wall.enter("870");
    wall.enter("2.6");
    let draw = saved(&mut wall).draw_fraction().expect("d").as_fraction();
    assert_relative_eq!(draw, 0.13 / 2.6, max_relative = 1e-9);
    assert_eq!(made_up(&wall), drum, "timed");
    run_dry(&mut wall, "130", 60.0, "2.6");
    saved(&mut wall);
    assert_eq!(made_up(&wall), drum, "until dry");
    // A lance: the set-up's volume, or what was measured before.
    wall.act(Action::ChooseSprayer("lance-1".into()));
    weighed(&mut wall, 0.7, 14.0);
    assert_eq!(made_up(&wall), lance, "never measured");
    run_dry(&mut wall, "742", 60.0, "14.1");
    saved(&mut wall);
    assert_eq!(made_up(&wall), Volume::ml(742.0), "measured");
    weighed(&mut wall, 0.7, 14.0);
    wall.restart();
    assert_eq!(made_up(&wall), Volume::ml(742.0), "measured before");
}

#[test]
fn what_cannot_be_is_not_saved_and_says_what_to_do() {
    // Millilitres put in, seconds, litres caught, and words of the reason.
    for (holds, seconds, litres, words) in [
        ("900", 15.0, "519.2", "L/min cannot be (0.2"),
        ("900", 60.0, ".1", "not more than was drawn"),
        ("900", 2.0, "9", "A run of 2 s cannot be"),
        ("900", 7300.0, "1000", "2 hours"),
        ("60", 60.0, "140", "Drawing"),
        ("900", 600.0, ".95", "cannot be"),
    ] {
        let mut wall = Wall::new(bay_setup());
        run_dry(&mut wall, holds, seconds, litres);
        let told = wall.bay().doubts();
        let told: Vec<String> = told.iter().map(|d| d.words().to_string()).collect();
        assert!(told.iter().any(|t| t.contains(words)), "{words}: {told:?}");
        wall.acts([Action::SaveCalibration, Action::Main]);
        assert_eq!(wall.bay().page(), Page::Calibrate, "{words}");
        assert_eq!(wall.bay().calibration("lance-1"), None, "{words}");
        wall.restart();
        assert_eq!(wall.bay().calibration("lance-1"), None, "{words}");
    }
    // What no container holds is refused where it is typed.
    for (typed, unit) in [("49", 0), ("1201", 1)] {
        let mut wall = begun(Way::RunDry);
        (0..unit).for_each(|_| wall.act(Action::SwitchUnit));
        wall.enter(typed);
        wall.act(Action::NextStep);
        assert_eq!(wall.step(), Step::Holds, "{typed}");
        assert!(wall.notice().contains("cannot hold"), "{}", wall.notice());
    }
}

/// Saves a run dry with this catch; 760 ml are drawn of 760.
fn saved_with(wall: &mut Wall, litres: &str) -> f64 {
    run_dry(wall, "760", 90.0, litres);
    draws(&saved(wall))
}

fn draws(calibration: &Calibration) -> f64 {
    calibration.draw_fraction().expect("d").as_fraction()
}

/// What counts now, which must be what counts after a restart.
fn counts(wall: &mut Wall) -> SprayerPast {
    let now = wall.bay().past("lance-1");
    let again = wall.look_again(|wall| wall.bay().past("lance-1"));
    assert_eq!(now, again, "the records say another thing");
    now
}

fn counting(wall: &mut Wall) -> f64 {
    draws(&counts(wall).calibration.expect("one counts").calibration)
}

fn lance_of(ml: f64) -> Wall {
    Wall::new(holding(Volume::litres(16.5), Volume::ml(ml)))
}

#[test]
fn a_saved_calibration_can_be_taken_back_for_ten_seconds() {
    let mut wall = lance_of(760.0);
    let first = saved_with(&mut wall, "14");
    wall.acts([Action::CloseNotice, Action::WashDone, Action::CloseNotice]);
    run_dry(&mut wall, "760", 90.0, "14.6");
    one_more(&mut wall, "14.5");
    let runs = wall.draft().runs.len() + 1;
    saved(&mut wall);
    let scatter_runs = wall.bay().repeats().len();
    wall.wait(8.0);
    wall.act(Action::Undo);
    assert_eq!(counting(&mut wall), first);
    assert_eq!(counts(&mut wall).washes_since, 1);
    assert_eq!(wall.bay().repeats().len(), scatter_runs - 1);
    // Its runs are in hand again, also after a power cut.
    assert_eq!(
        (wall.step(), wall.calibrating().runs().len()),
        (Step::Review, runs)
    );
    wall.restart();
    wall.act(Action::Calibrate);
    assert_eq!(
        (wall.step(), wall.calibrating().runs().len()),
        (Step::Review, runs)
    );
    let second = draws(&saved(&mut wall));
    wall.wait(10.1);
    wall.act(Action::Undo);
    assert_eq!(counting(&mut wall), second, "too late");
    // The first one of all: none is left.
    let mut wall = lance_of(760.0);
    saved_with(&mut wall, "14");
    wall.act(Action::Undo);
    assert_eq!(counts(&mut wall).calibration, None);
    assert_eq!(wall.bay().offer(), Offer::Uncalibrated);
}

#[test]
fn memory_and_records_agree_on_washes_when_a_calibration_came_between() {
    let mut wall = lance_of(760.0);
    saved_with(&mut wall, "14");
    wall.wait(11.0);
    run_dry(&mut wall, "760", 90.0, "14.2");
    // Wash A, then the calibration that stands at its review, then wash B.
    wall.act(Action::WashDone);
    wall.act(Action::SaveCalibration);
    wall.act(Action::CloseNotice);
    wall.act(Action::WashDone);
    assert_eq!(counts(&mut wall).washes_since, 1);
    wall.act(Action::CloseNotice);
    assert_eq!(wall.notice(), "1 wash counted", "that of A");
    wall.act(Action::Undo);
    assert_eq!(counts(&mut wall).washes_since, 1, "B stands");
}

/// The shift lead picks a calibration over time, from 0, and brings it back.
fn bring_back(wall: &mut Wall, place: usize) {
    wall.lead_in_to(Page::Lead);
    wall.acts([Action::Show(Page::Trend), Action::PickPoint(place)]);
    wall.act(Action::BringBack);
}

#[test]
fn an_earlier_calibration_is_brought_back_by_the_lead_alone() {
    let mut wall = lance_of(760.0);
    let all: Vec<f64> = ["14", "14.4", "14.8"]
        .map(|litres| {
            let draws = saved_with(&mut wall, litres);
            wall.acts([Action::CloseNotice, Action::WashDone, Action::CloseNotice]);
            draws
        })
        .to_vec();
    wall.acts([Action::Show(Page::Trend), Action::PickPoint(0)]);
    wall.act(Action::BringBack);
    assert!(
        wall.notice().contains("Only the shift lead"),
        "{}",
        wall.notice()
    );
    assert_eq!(counting(&mut wall), all[2]);
    bring_back(&mut wall, 2);
    assert!(
        wall.notice().contains("the one that counts"),
        "{}",
        wall.notice()
    );
    bring_back(&mut wall, 0);
    assert_eq!(counting(&mut wall), all[0]);
    assert_eq!(counts(&mut wall).washes_since, 3, "all since it was taken");
    assert_eq!(wall.bay().page(), Page::Fill);
    let kept = wall.log();
    assert!(
        matches!(kept.last(), Some(Happening::CalibrationBroughtBack { record, .. })
            if draws(&record.calibration) == all[0])
    );
    // And forth again; a wash in between is the other's as well.
    wall.acts([Action::WashDone, Action::CloseNotice]);
    bring_back(&mut wall, 1);
    assert_eq!(counting(&mut wall), all[1]);
    assert_eq!(counts(&mut wall).washes_since, 3);
    let lasted: Vec<u32> = wall.bay().trend().map(|(_, washes)| washes).collect();
    assert_eq!(lasted, [2, 1, 1], "as the trend was when it was opened");
    // A new one counts as ever.
    let new = saved_with(&mut wall, "14.2");
    assert_eq!(counting(&mut wall), new);
}

#[test]
fn no_calibration_is_brought_back_across_a_change() {
    for cause in VoidCause::ALL {
        let mut wall = lance_of(760.0);
        saved_with(&mut wall, "14");
        wall.act(Action::CloseNotice);
        wall.act(Action::Changed(cause));
        assert_eq!(counts(&mut wall).void, Some(cause));
        let after = saved_with(&mut wall, "15");
        bring_back(&mut wall, 0);
        assert!(wall.notice().contains("changed since"), "{}", wall.notice());
        assert_eq!(counting(&mut wall), after, "{cause:?}");
    }
    // Another nozzle in the set-up is a change too.
    let mut wall = lance_of(760.0);
    saved_with(&mut wall, "14");
    wall.setup.sprayers[0].nozzle = "1.4 mm".into();
    wall.restart();
    let after = saved_with(&mut wall, "15");
    bring_back(&mut wall, 0);
    assert_eq!(counting(&mut wall), after);
    // So is another setting of its dial; one that is named for the first time is none.
    let dial = |wall: &mut Wall, dial: &str| {
        wall.setup.sprayers[0].dial = Some(dial.into());
        wall.restart();
    };
    dial(&mut wall, "4");
    assert_eq!(counts(&mut wall).void, None);
    let at_four = saved_with(&mut wall, "15.2");
    dial(&mut wall, "2");
    assert_eq!(counts(&mut wall).void, Some(VoidCause::Dial));
    dial(&mut wall, "4");
    assert_eq!(counts(&mut wall).void, None);
    assert_eq!(counting(&mut wall), at_four);
}

#[test]
fn a_change_that_was_changed_back_is_still_a_change() {
    let mut wall = lance_of(760.0);
    let nozzle = wall.setup.sprayers[0].nozzle.clone();
    for name in [nozzle.as_str(), "1.4 mm", nozzle.as_str()] {
        wall.setup.sprayers[0].nozzle = name.into();
        wall.restart();
        saved_with(&mut wall, "14");
    }
    let last = counting(&mut wall);
    bring_back(&mut wall, 0);
    assert!(wall.notice().contains("changed since"), "{}", wall.notice());
    assert_eq!(counting(&mut wall), last);
}

#[test]
fn no_calibration_is_brought_back_across_another_setting_of_the_dial() {
    for (dials, now) in [
        // Between the first and the second nothing is known to have changed, nor from there to now.
        ([Some("4"), None], "2"),
        // The first was taken without a word of the dial: the second was voided all the same.
        ([None, Some("4")], "2"),
    ] {
        let mut wall = lance_of(760.0);
        for dial in dials {
            wall.setup.sprayers[0].dial = dial.map(Into::into);
            wall.restart();
            saved_with(&mut wall, "14");
        }
        let last = counting(&mut wall);
        wall.setup.sprayers[0].dial = Some(now.into());
        wall.restart();
        bring_back(&mut wall, 0);
        assert!(
            wall.notice().contains("changed since"),
            "{dials:?}: {}",
            wall.notice()
        );
        assert_eq!(counting(&mut wall), last, "{dials:?}");
    }
}

#[test]
fn what_is_left_in_a_dry_run_is_asked_and_not_drawn() {
    let mut wall = lance_of(800.0);
    wall.act(Action::CalibrateBy(Way::RunDry));
    wall.enter("800");
    wall.act(Action::NextStep);
    wall.run_and_stop(90.0);
    assert_eq!(wall.step(), Step::Left);
    wall.act(Action::NextStep);
    assert_eq!(wall.step(), Step::Left, "it is asked");
    assert!(wall.notice().contains("0 for nothing"), "{}", wall.notice());
    wall.enter("800");
    assert!(wall.notice().contains("More is left"), "{}", wall.notice());
    wall.act(Action::UndoLoad);
    wall.enter("24");
    wall.restart();
    wall.act(Action::Calibrate);
    assert_eq!(wall.step(), Step::Catch);
    wall.enter("15");
    let run = result(&wall).run;
    assert_eq!((run.drawn, run.left), (Volume::ml(776.0), Volume::ml(24.0)));
    // Read on the syringe: half a millilitre each way.
    let read = run.read.expect("known").drawn.as_ml();
    assert_relative_eq!(read, 1.0 / 12f64.sqrt(), max_relative = 1e-9);
    let calibration = saved(&mut wall);
    assert_relative_eq!(draws(&calibration), 776.0 / 15_000.0, max_relative = 1e-12);
    wall.restart();
    let kept = wall.bay().calibration("lance-1").expect("kept").clone();
    assert_eq!(kept, calibration);
    assert_eq!(
        made_up(&wall),
        Volume::ml(800.0),
        "it still holds all of it"
    );
    // A check of a full container takes as long as the run did.
    let lasts = wall.bay().calibrated_time().expect("a time").as_secs_f64();
    assert_relative_eq!(lasts, 90.0, max_relative = 1e-6);
    // Nothing, said by typing it.
    wall.act(Action::CalibrateBy(Way::RunDry));
    wall.enter("800");
    wall.act(Action::NextStep);
    wall.run_and_stop(90.0);
    wall.enter("0");
    assert_eq!(wall.step(), Step::Catch);
    wall.enter("15");
    assert_eq!(result(&wall).run.drawn, Volume::ml(800.0));
    // Back from there and forth again, it is still said.
    wall.acts([Action::PreviousStep, Action::PreviousStep]);
    assert_eq!(wall.step(), Step::Left);
    wall.act(Action::NextStep);
    assert_eq!(wall.step(), Step::Catch);
}

#[test]
fn a_hot_catch_is_weighed_at_its_own_temperature() {
    let mut wall = begun(Way::ByWeight);
    wall.enter("12");
    wall.enter("1.2");
    wall.act(Action::NextStep);
    wall.enter("2.0");
    wall.run_for(90.0);
    wall.enter("1.2");
    wall.enter("16.2");
    assert_eq!(wall.step(), Step::CatchTemperature);
    wall.enter("60");
    let run = result(&wall).run;
    // IAPWS-95: 999.5003 kg/m³ at 12 °C, 983.1958 at 60 °C; air 1.2 and weights of 8000 kg/m³.
    let ml = |kg: f64, density: f64| kg * 1e6 * (1.0 - 1.2 / 8000.0) / (density - 1.2);
    assert_relative_eq!(run.drawn.as_ml(), ml(0.8, 999.5003), max_relative = 5e-6);
    assert_relative_eq!(run.catch.as_ml(), ml(15.0, 983.1958), max_relative = 5e-6);
    saved(&mut wall);
    wall.restart();
    let kept = wall.bay().calibration("lance-1").expect("kept").run;
    assert_eq!(kept, run);
}

#[test]
fn a_plain_number_behind_full_loads_is_asked_about_and_not_taken_for_litres() {
    let caught = |loads: usize| {
        let mut wall = begun(Way::RunDry);
        wall.act(Action::HoldsAsBefore);
        wall.act(Action::NextStep);
        wall.run_for(95.0);
        wall.acts((0..loads).map(|_| Action::AddLoad("jug".into())));
        wall
    };
    for take in [Action::AddTyped, Action::NextStep, Action::PreviousStep] {
        let mut wall = caught(14);
        wall.type_in("317");
        wall.act(take.clone());
        assert_eq!(wall.step(), Step::Catch, "{take:?}");
        assert_eq!(wall.calibrating().catch(), Volume::litres(14.0), "{take:?}");
        for unit in ["317 L", "317 ml"] {
            assert!(wall.notice().contains(unit), "{}", wall.notice());
        }
        assert_eq!(
            wall.calibrating().typed.text(),
            "317",
            "it stays to be seen"
        );
        wall.acts([Action::SwitchUnit, Action::AddTyped]);
        assert_eq!(wall.calibrating().catch(), Volume::ml(14_317.0));
    }
    // It may be meant all the same.
    let mut wall = caught(14);
    wall.type_in("25");
    wall.acts([Action::AddTyped, Action::AddTyped]);
    assert_eq!(wall.calibrating().catch(), Volume::litres(39.0));
    // Nothing odd about these.
    for (loads, typed, all) in [
        (14, ".3", 14_300.0),
        (14, "2", 16_000.0),
        (0, "16", 16_000.0),
    ] {
        let mut wall = caught(loads);
        wall.type_in(typed);
        wall.act(Action::AddTyped);
        assert_eq!(wall.calibrating().catch(), Volume::ml(all), "{typed}");
    }
}

#[test]
fn erasing_where_nothing_is_typed_takes_the_last_load_back() {
    let mut wall = begun(Way::RunDry);
    wall.act(Action::HoldsAsBefore);
    wall.act(Action::NextStep);
    wall.run_for(95.0);
    wall.acts((0..2).map(|_| Action::AddLoad("jug".into())));
    wall.type_in("3");
    let mut left = |volume: f64| {
        wall.act(Action::Pad(PadKey::Back));
        assert_eq!(wall.calibrating().catch(), Volume::litres(volume));
        wall.draft().catch_loads.len()
    };
    assert_eq!(left(2.0), 2, "the digit goes first");
    assert_eq!((left(1.0), left(0.0)), (1, 0));
    wall.restart();
    assert!(wall.draft().catch_loads.is_empty(), "on disk as well");
    wall.act(Action::Calibrate);
    assert_eq!(wall.step(), Step::Catch);
    wall.tones();
    wall.act(Action::Pad(PadKey::Back));
    assert_eq!(wall.tones(), [Tone::Refused]);
}

#[test]
fn a_number_that_was_refused_gives_way_to_the_next_digit() {
    let mut wall = begun(Way::RunDry);
    // Far off the set-up: asked about.
    wall.enter("11");
    assert_eq!(
        (wall.step(), wall.calibrating().typed.text()),
        (Step::Holds, "11")
    );
    wall.type_in("98");
    assert_eq!(wall.calibrating().typed.text(), "98");
    // What is typed on is what was asked about.
    wall.act(Action::NextStep);
    wall.act(Action::Pad(PadKey::Back));
    wall.type_in("80");
    assert_eq!(wall.calibrating().typed.text(), "980");
}
