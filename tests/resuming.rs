//! A wall that was killed in the middle is started anew, and is back where the hand was.

mod common;
#[path = "resuming/file.rs"]
mod file;
#[path = "resuming/random.rs"]
mod random;

use common::lead::{PIN, entered};
use common::places::{AWAY, Depot, keys};
use common::walk::type_in;
use common::window::Window;
use fillcall::bay::action::{Action, PadKey, Page, TextKey, UNDO_TIME};
use fillcall::bay::at_work::Bay;
use fillcall::bay::checking::CheckStage;
use fillcall::bay::day::DayAction;
use fillcall::bay::editing::EditAction;
use fillcall::bay::mixing::{GotField, MixAction, MixOf, MixStage};
use fillcall::bay::records::{Records, Scope, Step};
use fillcall::bay::reporting::taking::{CodesOf, TakeStage, What};
use fillcall::bay::reporting::{ReportAction, Tab};
use fillcall::bay::resuming::Place;
use fillcall::bay::setup::{Panel, Profile};
use fillcall::bay::stock::StockAction;
use fillcall::bay::stopwatch::Watch;
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::Faults;
use fillcall::store::records::SqliteRecords;
use fillcall::store::records_path;
use fillcall::store::setup_file::write_first;
use fillcall::trade::calibration::Way;
use fillcall::trade::fill_plan::Part;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::VoidCause;
use slint::ComponentHandle;
use std::collections::BTreeSet;
use std::time::Duration;

const ANEW: &str = "The screen started anew. Look before you go on.";

fn with<R>(window: &Window, look: impl FnOnce(&Bay) -> R) -> R {
    window.off.screen().with_bay(look).expect("a bay")
}

fn page(window: &Window) -> Page {
    with(window, Bay::page)
}

fn told(window: &Window) -> String {
    with(window, |bay| {
        bay.notice().map_or(String::new(), |n| n.text.to_string())
    })
}

/// Nothing that goes by itself is on the glass any more.
fn settle(window: &Window) {
    while with(window, |bay| bay.notice().is_some()) {
        window.act([Action::CloseNotice]);
    }
    window.wait(Duration::from_millis(1500));
}

fn pixels(window: &Window) -> Vec<u8> {
    let shot = window.off.screen().wall().window().take_snapshot();
    shot.expect("a picture").as_bytes().to_vec()
}

/// What there is of a wall: the leaf, all that is half typed, and the picture.
fn seen(window: &Window) -> (String, Place, Vec<u8>) {
    settle(window);
    let (leaf, place) = with(window, |bay| (bay.leaf(), bay.place()));
    (leaf, place, pixels(window))
}

/// The wall is killed, and started anew.
fn killed(depot: &Depot, window: Window) -> Window {
    drop(window);
    depot.around.clock.go_on(AWAY);
    depot.window()
}

/// Brings the demonstration bay somewhere, kills the wall there, and looks whether it is the same again.
fn comes_back(name: &str, go: impl FnOnce(&Window)) -> Page {
    let depot = Depot::demonstration();
    let window = depot.window();
    go(&window);
    same_again(name, &depot, window)
}

fn same_again(name: &str, depot: &Depot, window: Window) -> Page {
    let (leaf, place, picture) = seen(&window);
    assert!(!place.is_home(), "{name}: nothing to come back to");
    let kept = depot.last();
    let window = killed(depot, window);
    assert_eq!(told(&window), ANEW, "{name}");
    let (leaf_then, place_then, picture_then) = seen(&window);
    assert_eq!(leaf_then, leaf, "{name}");
    assert_eq!(place_then, place, "{name}");
    let apart = picture.iter().zip(&picture_then).filter(|(a, b)| a != b);
    assert_eq!(apart.count(), 0, "{name}: bytes of the picture");
    assert_eq!(depot.last(), kept, "{name}: nothing is kept by coming back");
    page(&window)
}

fn mix(action: MixAction) -> Action {
    Action::Mix(action)
}

/// To one of the pages around the fill, with the left-over of a mix of 1 + 10.
fn to_top_up(w: &Window) {
    w.act([
        Action::Show(Page::Mix),
        mix(MixAction::Open(MixStage::Left)),
    ]);
    w.act([mix(MixAction::AboutLeft(Part::Quarter))]);
    if with(w, |bay| bay.mixing().stage()) == MixStage::TopUp {
        w.act([mix(MixAction::Open(MixStage::WhichMix))]);
    }
    w.act([mix(MixAction::Open(MixStage::RatioTyped))]);
    w.act(keys("10"));
    w.act([mix(MixAction::Next)]);
    assert_eq!(with(w, |bay| bay.mixing().stage()), MixStage::TopUp);
}

fn to_poured(w: &Window, typed: &str) {
    w.act([
        Action::Show(Page::Mix),
        mix(MixAction::Open(MixStage::Poured)),
    ]);
    w.act(keys(typed));
}

/// A sprayer of the demonstration bay that has a figure.
fn lance(w: &Window) {
    w.act([Action::ChooseSprayer("lance-1".into())]);
}

#[test]
fn every_page_of_an_operator_comes_back_as_it_was() {
    let mut pages = BTreeSet::new();
    let mut goes = |name: &str, go: &dyn Fn(&Window)| {
        pages.insert(format!("{:?}", comes_back(name, go)));
    };
    goes("half", &|w| w.act([Action::ChoosePart(Part::Half)]));
    for page in [
        Page::Sprayers,
        Page::Chemicals,
        Page::Parts,
        Page::Care,
        Page::Changed,
        Page::Ways,
        Page::Sure,
        Page::Emergency,
        Page::Sound,
        Page::Menu,
        Page::Reaching,
    ] {
        goes(&format!("{page:?}"), &|w| {
            lance(w);
            w.act([Action::Show(page)]);
        });
    }
    goes("trend", &|w| {
        lance(w);
        w.act([Action::Show(Page::Trend), Action::PickPoint(0)]);
    });
    goes("rinse", &|w| {
        lance(w);
        w.act([Action::Filled, Action::CloseNotice]);
        w.act([Action::Day(DayAction::RinseOf("drum".into()))]);
    });
    goes("rinse-for", &|w| {
        lance(w);
        w.act([Action::Filled, Action::ChooseChemical("roof-bleach".into())]);
        w.act([Action::Filled, Action::ChooseChemical("wheel-acid".into())]);
        w.act([Action::Show(Page::Rinse)]);
    });
    goes("stock-list", &|w| w.act([Action::Show(Page::Stock)]));
    let looks = || {
        let look = StockAction::Look("traffic-film".into());
        [Action::Show(Page::Stock), Action::Stock(look)]
    };
    goes("stock-of", &|w| w.act(looks()));
    for of in [StockAction::Deliver, StockAction::Count] {
        goes("stock-entry", &|w| {
            w.act(looks());
            let adds = StockAction::AddContainer;
            w.act([of.clone(), adds.clone(), adds].map(Action::Stock));
            w.act(keys("7.5"));
        });
    }
    goes("stock-entry-left-open", &|w| {
        w.act(looks());
        w.act([Action::Stock(StockAction::Count)]);
        w.act(keys("12"));
        w.act([Action::Show(Page::Fill)]);
    });
    goes("reports", &|w| {
        let tab = ReportAction::ShowTab(Tab::Landed);
        w.act([Action::Show(Page::Reports)]);
        w.act([tab, ReportAction::SwitchSpan].map(Action::Report));
    });
    goes("reports-choosing", &|w| {
        let of = ReportAction::TakeSprayer(Some("lance-1".into()));
        w.act([Action::Show(Page::Reports)]);
        w.act([ReportAction::Choose, of].map(Action::Report));
    });
    goes("take-away", &|w| {
        w.act([Action::Show(Page::Reports), Action::Show(Page::TakeAway)]);
        w.act([Action::Report(ReportAction::Take(What::Week))]);
    });
    goes("phone", &|w| {
        w.act([Action::Show(Page::TakeAway)]);
        let to = [
            ReportAction::Take(What::Card),
            ReportAction::ToPhone,
            ReportAction::NextCode,
            ReportAction::NextCode,
        ];
        w.act(to.map(Action::Report));
        let shown = with(w, |bay| (bay.taking().codes, bay.taking().part));
        assert_eq!(shown, (CodesOf::Rows, 2));
    });
    goes("help", &|w| {
        w.act(looks());
        w.act([Action::Stock(StockAction::Count)]);
        w.act(keys("3"));
        w.act([Action::Show(Page::Help)]);
    });
    println!("{pages:?}");
    // What is not among them is in the tests below.
    let others = "Check Calibrate Mix FirstRun Pin Lead Day Edit Changes Loudspeakers Clock Panel";
    let all = [
        Page::Fill,
        Page::Sprayers,
        Page::Reaching,
        Page::Chemicals,
        Page::Parts,
        Page::Care,
        Page::Changed,
        Page::Ways,
        Page::Check,
        Page::Sure,
        Page::Trend,
        Page::Calibrate,
        Page::Help,
        Page::Emergency,
        Page::Sound,
        Page::Loudspeakers,
        Page::Menu,
        Page::Pin,
        Page::Lead,
        Page::Day,
        Page::Rinse,
        Page::Edit,
        Page::Changes,
        Page::FirstRun,
        Page::Mix,
        Page::Stock,
        Page::Reports,
        Page::TakeAway,
        Page::Clock,
        Page::Panel,
    ];
    for page in all.map(|page| format!("{page:?}")) {
        let is_other = others.split(' ').any(|other| other == page);
        assert!(is_other || pages.contains(&page), "{page} was not shown");
    }
}

#[test]
fn everything_half_typed_around_the_fill_comes_back() {
    let mut stages = BTreeSet::new();
    let mut goes = |stage: MixStage, go: &dyn Fn(&Window)| {
        comes_back(&format!("{stage:?}"), |w| {
            lance(w);
            go(w);
            assert_eq!(with(w, |bay| bay.mixing().stage()), stage, "{}", told(w));
            stages.insert(format!("{stage:?}"));
        });
    };
    let open = |stage| [Action::Show(Page::Mix), mix(MixAction::Open(stage))];
    goes(MixStage::Choose, &|w| w.act([Action::Show(Page::Mix)]));
    goes(MixStage::Vehicles, &|w| {
        w.act(open(MixStage::Vehicles));
        w.act([0, 1, 1].map(|at| mix(MixAction::OneMore(at))));
    });
    goes(MixStage::Vehicles, &|w| {
        w.act(open(MixStage::Vehicles));
        w.act([mix(MixAction::OneMore(1)), mix(MixAction::TypeCount(true))]);
        w.act(keys("4"));
    });
    goes(MixStage::Coverage, &|w| {
        w.act(open(MixStage::Vehicles));
        w.act([
            mix(MixAction::OneMore(1)),
            mix(MixAction::Open(MixStage::Coverage)),
        ]);
    });
    goes(MixStage::Left, &|w| {
        w.act(open(MixStage::Left));
        w.act(["syringe-60", "cylinder-250"].map(|id| mix(MixAction::AddLoad(id.into()))));
    });
    goes(MixStage::LeftTyped, &|w| {
        w.act(open(MixStage::Left));
        w.act([mix(MixAction::Open(MixStage::LeftTyped))]);
        w.act(keys("31"));
    });
    goes(MixStage::TopUp, &to_top_up);
    goes(MixStage::WhichMix, &|w| {
        to_top_up(w);
        w.act([mix(MixAction::Open(MixStage::WhichMix))]);
    });
    goes(MixStage::StrengthTyped, &|w| {
        to_top_up(w);
        w.act([mix(MixAction::Open(MixStage::StrengthTyped))]);
        w.act(keys("3.5"));
    });
    goes(MixStage::TopUp, &|w| {
        to_top_up(w);
        w.act([mix(MixAction::Open(MixStage::StrengthTyped))]);
        w.act(keys("3.5"));
        w.act([mix(MixAction::Next)]);
    });
    goes(MixStage::RatioTyped, &|w| {
        to_top_up(w);
        w.act([mix(MixAction::Open(MixStage::RatioTyped))]);
        w.act(keys("12.5"));
    });
    goes(MixStage::UpTo, &|w| {
        to_top_up(w);
        w.act([mix(MixAction::Open(MixStage::UpTo))]);
        w.act(keys("700"));
    });
    goes(MixStage::TopUp, &|w| {
        to_top_up(w);
        w.act([mix(MixAction::Open(MixStage::UpTo))]);
        w.act(keys("700"));
        w.act([mix(MixAction::Next)]);
    });
    goes(MixStage::TopUp, &|w| {
        w.act([Action::Filled, Action::CloseNotice]);
        w.act(open(MixStage::Left));
        w.act([mix(MixAction::AboutLeft(Part::Half))]);
        let of = with(w, |bay| bay.mixing().left_over().mix());
        assert_eq!(of, Some(MixOf::LastFill));
    });
    goes(MixStage::Poured, &|w| to_poured(w, "25"));
    goes(MixStage::Level, &|w| {
        to_poured(w, "900");
        w.act([mix(MixAction::Next), mix(MixAction::SwitchUnit)]);
        w.act(keys("1.1"));
    });
    goes(MixStage::Mispoured, &|w| {
        // In the place of the fill that was logged.
        w.act([Action::Filled, Action::CloseNotice]);
        to_poured(w, "600");
        w.act([mix(MixAction::Next)]);
        assert!(with(w, |bay| bay.mixing().mispour().replaces()));
    });
    goes(MixStage::Got, &|w| {
        w.act(open(MixStage::Got));
        w.act(keys("10"));
        w.act([mix(MixAction::Field(GotField::Product))]);
        w.act(keys("75.5"));
        w.act([mix(MixAction::Field(GotField::All))]);
        w.act(keys("82"));
    });
    println!("{stages:?}");
    assert_eq!(stages.len(), 14, "{stages:?}");
}

/// Types something at a step that takes numbers; the others have nothing to type.
fn half_typed(w: &Window) {
    w.act(keys("12"));
    w.act([Action::Pad(PadKey::Back)]);
}

/// Does the step in hand, however it is done.
fn done(w: &Window, step: Step) {
    while with(w, |bay| {
        bay.calibrating()
            .is_some_and(|c| !c.typed.text().is_empty())
    }) {
        w.act([Action::Pad(PadKey::Back)]);
    }
    let types = |number: &str| {
        w.act(keys(number));
        w.act([Action::NextStep]);
        if with(w, |bay| bay.calibrating().expect("one").step()) == step {
            // Asked about, it is meant.
            w.act([Action::NextStep]);
        }
    };
    match step {
        Step::Holds => types("820"),
        Step::SetTime => w.act([Action::TakeTime(Duration::from_secs(30))]),
        Step::Temperature | Step::CatchTemperature => types("18"),
        Step::BucketEmpty => types("0.5"),
        Step::FillToLine => w.act([Action::NextStep]),
        Step::ContainerFull => types("1.9"),
        Step::Ready => w.act([Action::StartStop {
            ago: Duration::ZERO,
        }]),
        Step::Running => {
            w.wait(Duration::from_secs(5 + 30));
            if with(w, Bay::watch) != Watch::Still {
                w.act([Action::StartStop {
                    ago: Duration::ZERO,
                }]);
            }
        }
        Step::Left => types("100"),
        Step::Catch => {
            w.act([Action::AddLoad("jug-1l".into()), Action::SwitchUnit]);
            w.act([Action::SwitchUnit]);
            types("9.4");
        }
        Step::ContainerAfter => types("1.1"),
        Step::BucketFull => types("11.2"),
        Step::Review => w.act([Action::SaveCalibration]),
    }
}

#[test]
fn a_calibration_comes_back_at_every_step_of_every_way_and_is_saved_once() {
    for way in [Way::RunDry, Way::Timed, Way::ByWeight] {
        let depot = Depot::demonstration();
        let mut w = depot.window();
        lance(&w);
        w.act([Action::CalibrateBy(way)]);
        let before = calibrations(&depot);
        let mut steps = Vec::new();
        while let Some(step) = with(&w, |bay| bay.calibrating().map(|c| c.step())) {
            let name = format!("{way:?} {step:?}");
            assert!(!steps.contains(&step), "{name} again: {}", told(&w));
            steps.push(step);
            if step == Step::Running {
                w.wait(Duration::from_secs(12));
                done(&w, step);
                continue;
            }
            half_typed(&w);
            same_again(&name, &depot, w);
            w = depot.window();
            settle(&w);
            done(&w, step);
        }
        assert_eq!(steps, Step::path(way), "{way:?}");
        assert_eq!(calibrations(&depot), before + 1, "{way:?}");
        assert_eq!(page(&w), Page::Fill);
        // Killed right after it was saved: it is not in hand any more.
        let w = killed(&depot, w);
        assert!(with(&w, |bay| bay.calibrating().is_none()));
        assert_eq!(calibrations(&depot), before + 1, "{way:?}");
    }
}

fn calibrations(depot: &Depot) -> usize {
    let records = SqliteRecords::open(&records_path(depot.folder.path()));
    let history = records.expect("records").history("lance-1");
    history.expect("a history").len()
}

#[test]
fn a_run_that_was_cut_begins_again_from_a_full_container() {
    for (way, begins) in [
        (Way::RunDry, Step::FillToLine),
        (Way::Timed, Step::FillToLine),
        (Way::ByWeight, Step::BucketEmpty),
    ] {
        for seconds in [0, 3, 12] {
            let depot = Depot::demonstration();
            let w = depot.window();
            lance(&w);
            w.act([Action::CalibrateBy(way)]);
            while with(&w, |bay| bay.calibrating().expect("one").step()) != Step::Running {
                let step = with(&w, |bay| bay.calibrating().expect("one").step());
                done(&w, step);
            }
            w.wait(Duration::from_millis(seconds * 1000 + 200));
            let w = killed(&depot, w);
            let (step, cut) = with(&w, |bay| {
                let c = bay.calibrating().expect("one");
                (c.step(), c.cut_off)
            });
            assert_eq!(
                (page(&w), step, cut),
                (Page::Calibrate, begins, true),
                "{way:?}"
            );
            assert_eq!(with(&w, Bay::watch), Watch::Still);
            assert!(
                told(&w).starts_with("The run was cut off. Empty"),
                "{}",
                told(&w)
            );
        }
    }
}

#[test]
fn a_check_comes_back_at_every_stage_and_one_that_was_cut_begins_again() {
    let begun = |w: &Window, with_mix| {
        lance(w);
        w.act([Action::Show(Page::Check)]);
        assert_eq!(page(w), Page::Check, "{}", told(w));
        w.act([Action::BeginCheck { with_mix }]);
    };
    let start = Action::StartStop {
        ago: Duration::ZERO,
    };
    for with_mix in [false, true] {
        comes_back("ready", |w| begun(w, with_mix));
        comes_back("result", |w| {
            begun(w, with_mix);
            w.act([start.clone()]);
            w.wait(Duration::from_secs(5 + 60));
            w.act([start.clone()]);
            assert_eq!(
                with(w, |bay| bay.checking().map(|c| c.stage)),
                Some(CheckStage::Result)
            );
        });
        let depot = Depot::demonstration();
        let w = depot.window();
        begun(&w, with_mix);
        w.act([start.clone()]);
        w.wait(Duration::from_secs(20));
        let kept = depot.last();
        let w = killed(&depot, w);
        let stage = with(&w, |bay| {
            bay.checking().map(|c| (c.stage, c.mix.is_some(), c.time))
        });
        assert_eq!(
            (page(&w), stage),
            (Page::Check, Some((CheckStage::Ready, with_mix, None)))
        );
        assert_eq!(told(&w), "The run was cut off: fill to the line again.");
        assert_eq!(depot.last(), kept);
    }
    comes_back("fluid", |w| {
        lance(w);
        w.act([Action::Show(Page::Check)]);
    });
}

#[test]
fn the_first_set_up_comes_back_at_every_question_with_what_is_half_typed() {
    let depot = Depot::empty();
    write_first(
        depot.folder.path(),
        Panel::usual(Profile::Seven800),
        Language::English,
    )
    .expect("begun");
    depot.around.lock.0.borrow_mut().pin = None;
    let questions: &[(&[&str], &[&str])] = &[
        (&[], &["Begin"]),
        (&[], &["English"]),
        (&[], &["Millilitres, litres"]),
        (&["Q", "u", "a", "y"], &["Next"]),
        (&["L", "a"], &["Next"]),
        (&[], &["Foam lance"]),
        (&["8", "2", "0"], &["Next"]),
        (&["R"], &["Next"]),
        (&["E"], &["Next"]),
        (&["Unit: L", "1"], &["Next"]),
        (&["1", "0"], &["Next"]),
        (&["F"], &["Next"]),
        (&["4"], &["Next"]),
        (&[], &["Alkali"]),
        (&["More", "H314"], &["Next"]),
        (&["Add a line", "G", "l"], &["Done", "Next"]),
        (&["3"], &["Next"]),
        (&["5"], &["Next"]),
        (&[], &["Next"]),
        (&["More"], &["Use this bay"]),
    ];
    let mut w = depot.window();
    for (types, goes_on) in questions {
        w.press(types);
        let title = with(&w, |bay| bay.edit_scene().title.to_string());
        let last = goes_on == &["Use this bay"];
        assert_eq!(same_again(&title, &depot, w), Page::FirstRun);
        w = depot.window();
        settle(&w);
        if !last {
            w.press(goes_on);
        }
    }
    // Who chooses the PIN comes back to the question, without its digits.
    w.act([Action::Back]);
    w.press(&["Set a PIN"]);
    w.act(keys("73914"));
    w.wait(Duration::from_secs(1));
    assert_eq!(page(&w), Page::Pin);
    let written = depot.places.text.borrow().clone().expect("written");
    assert!(!written.contains("7391"), "{written}");
    w = killed(&depot, w);
    assert_eq!(page(&w), Page::FirstRun);
    settle(&w);
    // Back among the questions that were answered.
    w.act([Action::Back, Action::Back, Action::Back]);
    let title = with(&w, |bay| bay.edit_scene().title.to_string());
    same_again(&title, &depot, w);
}

#[test]
fn nothing_of_the_shift_leads_side_comes_back_and_no_digit_of_a_pin() {
    // Nothing else has these digits.
    const OWN: &str = "73914682";
    let in_to = |w: &Window, page: Page| {
        w.act([Action::Show(page)]);
        w.act(entered(OWN));
    };
    let letters = |w: &Window| {
        w.act(
            ["Sprayers", "lance-1", "SprayerName"]
                .map(|id| Action::Edit(EditAction::Pick(id.into()))),
        );
        w.act("Qxj".chars().map(|sign| Action::Type(TextKey::Sign(sign))));
    };
    type Go<'a> = &'a dyn Fn(&Window);
    let stops: [(&str, Page, Go<'_>); 13] = [
        ("pin", Page::Pin, &|w| {
            w.act([Action::Show(Page::Lead)]);
            w.act(keys(OWN));
        }),
        ("help for the pin", Page::Help, &|w| {
            w.act([Action::Show(Page::Lead)]);
            w.act(keys(OWN));
            w.act([Action::Show(Page::Help)]);
        }),
        ("another pin", Page::Pin, &|w| {
            in_to(w, Page::Lead);
            w.act([Action::Lead(fillcall::bay::lead::LeadAction::ChangePin)]);
            w.act(entered(OWN));
            w.act(entered("73914683"));
            w.act(keys("7391468"));
        }),
        ("lead", Page::Lead, &|w| in_to(w, Page::Lead)),
        ("day", Page::Day, &|w| {
            in_to(w, Page::Day);
            w.act([DayAction::For(Scope::Bay), DayAction::OpenPad].map(Action::Day));
            w.act(keys("4.21"));
        }),
        ("edit", Page::Edit, &|w| in_to(w, Page::Edit)),
        ("letters", Page::Edit, &|w| {
            in_to(w, Page::Edit);
            letters(w);
        }),
        ("help for the letters", Page::Help, &|w| {
            in_to(w, Page::Edit);
            letters(w);
            w.act([Action::Show(Page::Help)]);
        }),
        ("letters left behind", Page::Fill, &|w| {
            in_to(w, Page::Edit);
            letters(w);
            w.act([Action::Show(Page::Fill)]);
        }),
        ("changes", Page::Changes, &|w| in_to(w, Page::Changes)),
        ("loudspeakers", Page::Loudspeakers, &|w| {
            in_to(w, Page::Loudspeakers)
        }),
        ("clock", Page::Clock, &|w| in_to(w, Page::Clock)),
        ("panel", Page::Panel, &|w| in_to(w, Page::Panel)),
    ];
    for (name, at, go) in stops {
        let depot = Depot::demonstration();
        depot.around.lock.0.borrow_mut().pin = Some(OWN.into());
        let w = depot.window();
        go(&w);
        settle(&w);
        assert_eq!(page(&w), at, "{name}");
        let written = depot.places.text.borrow().clone().expect("written");
        for secret in [
            OWN, "7391468", "73914", "4.21", "Qxj", "Edit", "Day\"", "Pin", "Lead",
        ] {
            assert!(!written.contains(secret), "{name}: {secret} in {written}");
        }
        let w = killed(&depot, w);
        let then = page(&w);
        assert!(matches!(then, Page::Fill | Page::Menu), "{name}: {then:?}");
        assert_eq!(told(&w), ANEW, "{name}");
        assert!(with(&w, |bay| !bay.lead_is_in()), "{name}");
        w.act([Action::Show(Page::Lead)]);
        assert_eq!(
            (page(&w), with(&w, Bay::pin_digits)),
            (Page::Pin, 0),
            "{name}"
        );
    }
    assert_ne!(PIN, OWN);
}

#[test]
fn what_was_allowed_undone_or_asked_does_not_come_back() {
    // A void figure that was allowed once.
    let depot = Depot::demonstration();
    let w = depot.window();
    lance(&w);
    w.act([Action::Changed(VoidCause::Nozzle), Action::UseVoidOnce]);
    w.act([Action::ChoosePart(Part::Half)]);
    assert!(with(&w, Bay::void_allowed));
    settle(&w);
    let w = killed(&depot, w);
    let (allowed, part) = with(&w, |bay| (bay.void_allowed(), bay.part()));
    assert_eq!((page(&w), allowed, part), (Page::Fill, false, Part::Full));
    // What could be taken back stays done, once.
    let depot = Depot::demonstration();
    let w = depot.window();
    lance(&w);
    w.act([Action::WashDone, Action::Filled]);
    w.wait(Duration::from_secs(1));
    let kept = depot.last();
    let w = killed(&depot, w);
    assert_eq!((told(&w).as_str(), depot.last()), (ANEW, kept));
    w.act([Action::Undo]);
    assert_eq!(depot.last(), kept, "nothing is taken back unseen");
    // The words go by themselves.
    w.wait(UNDO_TIME + Duration::from_secs(1));
    assert_eq!(told(&w), "");
    // A load that was asked about is asked about again.
    let depot = Depot::demonstration();
    let w = depot.window();
    lance(&w);
    w.act([Action::CalibrateBy(Way::RunDry)]);
    w.act(keys("400"));
    w.act([Action::NextStep]);
    assert!(told(&w).contains("400 ml typed"), "{}", told(&w));
    w.wait(Duration::from_secs(1));
    let w = killed(&depot, w);
    w.act([Action::NextStep]);
    assert!(told(&w).contains("400 ml typed"), "{}", told(&w));
    assert_eq!(
        with(&w, |bay| bay.calibrating().expect("one").step()),
        Step::Holds
    );
    type_in(&w, "9");
    let typed = with(&w, |bay| {
        bay.calibrating().expect("one").typed.text().to_owned()
    });
    assert_eq!(typed, "9", "what was refused gives way to the next digit");
}

/// The program ended after something was kept, and before it could be kept where the hand is.
#[test]
fn what_was_kept_already_is_not_in_hand_again() {
    type Go<'a> = &'a dyn Fn(&Window);
    let top_up: Go<'_> = &|w| {
        w.act([
            Action::Show(Page::Mix),
            mix(MixAction::Open(MixStage::Left)),
        ]);
        w.act([mix(MixAction::AboutLeft(Part::Half))]);
    };
    let poured: Go<'_> = &|w| {
        to_poured(w, "600");
        w.act([mix(MixAction::Next)]);
    };
    let counted: Go<'_> = &|w| {
        w.act([Action::Show(Page::Stock)]);
        w.act([StockAction::Look("traffic-film".into()), StockAction::Count].map(Action::Stock));
        w.act(keys("31"));
    };
    let half: Go<'_> = &|w| w.act([Action::ChoosePart(Part::Half)]);
    let save = Action::Stock(StockAction::Save);
    for (name, go, does) in [
        ("top up", top_up, mix(MixAction::Done)),
        ("mispoured", poured, mix(MixAction::LogPoured)),
        ("count", counted, save),
        ("half", half, Action::Filled),
    ] {
        let depot = Depot::demonstration();
        let w = depot.window();
        lance(&w);
        w.act([Action::Filled]);
        go(&w);
        settle(&w);
        let before = depot.places.text.borrow().clone();
        let kept = depot.last();
        w.act([does]);
        assert!(depot.last() > kept, "{name}: {}", told(&w));
        let kept = depot.last();
        drop(w);
        *depot.places.text.borrow_mut() = before;
        let w = depot.window();
        assert_eq!((page(&w), told(&w).as_str()), (Page::Fill, ANEW), "{name}");
        assert!(with(&w, |bay| bay.place().is_home()), "{name}");
        assert_eq!(depot.last(), kept, "{name}");
    }
    // Of a calibration the step that was kept counts.
    let depot = Depot::demonstration();
    let w = depot.window();
    lance(&w);
    w.act([Action::CalibrateBy(Way::RunDry)]);
    w.act(keys("820"));
    settle(&w);
    let before = depot.places.text.borrow().clone();
    w.act([Action::NextStep]);
    drop(w);
    *depot.places.text.borrow_mut() = before;
    let w = depot.window();
    let step = with(&w, |bay| bay.calibrating().map(|c| c.step()));
    assert_eq!((page(&w), step), (Page::Calibrate, Some(Step::FillToLine)));
}

/// What is in the way of the place goes home: another set-up, another figure.
#[test]
fn what_does_not_fit_any_more_is_dropped() {
    type Go<'a> = &'a dyn Fn(&Window);
    type Changes<'a> = &'a [(&'a str, &'a str)];
    let edits: [(&str, Go<'_>, Changes<'_>, Page); 6] = [
        (
            "the sprayer was taken out",
            &|w| {
                w.act([
                    Action::ChooseSprayer("lance-2".into()),
                    Action::Show(Page::Care),
                ]);
            },
            &[("id = \"lance-2\"", "id = \"lance-3\"")],
            Page::Fill,
        ),
        (
            "another strength",
            &|w| {
                lance(w);
                to_poured(w, "25");
            },
            &[("on_vehicle = \"4 %\"", "on_vehicle = \"3.5 %\"")],
            Page::Fill,
        ),
        (
            "another strength, half",
            &|w| {
                lance(w);
                w.act([Action::ChoosePart(Part::Half)]);
            },
            &[("on_vehicle = \"4 %\"", "on_vehicle = \"3.5 %\"")],
            Page::Fill,
        ),
        (
            "the chemical was taken out",
            &|w| {
                w.act([Action::Show(Page::Stock)]);
                w.act([Action::Stock(StockAction::Look("shampoo".into()))]);
            },
            &[("id = \"shampoo\"", "id = \"soap\"")],
            Page::Stock,
        ),
        (
            "operators choose no chemical",
            &|w| w.act([Action::Show(Page::Chemicals)]),
            &[(
                "operators_may_change_chemical = true",
                "operators_may_change_chemical = false",
            )],
            Page::Fill,
        ),
        (
            "no vehicle classes",
            &|w| {
                lance(w);
                w.act([
                    Action::Show(Page::Mix),
                    mix(MixAction::Open(MixStage::Vehicles)),
                ]);
                w.act([2, 2, 1].map(|at| mix(MixAction::OneMore(at))));
            },
            &[("[[vehicle]]", "[[x_vehicle]]")],
            Page::Fill,
        ),
    ];
    for (name, go, changes, at) in edits {
        let depot = Depot::demonstration();
        let w = depot.window();
        go(&w);
        settle(&w);
        drop(w);
        let file = fillcall::store::setup_path(depot.folder.path());
        let mut text = std::fs::read_to_string(&file).expect("the set-up");
        for (from, to) in changes {
            assert!(text.contains(from), "{name}");
            text = text.replace(from, to);
        }
        std::fs::write(&file, text).expect("written");
        let w = depot.window();
        assert_eq!((page(&w), with(&w, Bay::part)), (at, Part::Full), "{name}");
        assert!(with(&w, |bay| bay.stock_chemical().is_none()), "{name}");
        assert_eq!(told(&w), ANEW, "{name}");
    }
}

/// What is being put on a stick ends with the program, and is not begun again by itself.
#[test]
fn a_stick_is_not_written_again() {
    let depot = Depot::demonstration();
    depot.around.sticks.put_in(&["usb"]);
    let w = depot.window();
    w.act([
        Action::Show(Page::TakeAway),
        Action::Report(ReportAction::ToStick),
    ]);
    w.wait(Duration::from_secs(1));
    let puts = || depot.around.sticks.0.borrow().puts.len();
    assert_eq!(puts(), 1);
    let w = killed(&depot, w);
    w.wait(Duration::from_secs(3));
    let stage = with(&w, |bay| bay.taking().stage);
    assert_eq!(
        (page(&w), stage, puts()),
        (Page::TakeAway, TakeStage::What, 1)
    );
}

/// A set-up that is mended, or a disk that comes late: the fault page opens the bay by itself.
#[test]
fn a_bay_that_opens_late_is_come_back_to_all_the_same() {
    let depot = Depot::demonstration();
    let w = depot.window();
    lance(&w);
    to_poured(&w, "25");
    w.wait(Duration::from_secs(1));
    drop(w);
    let file = fillcall::store::setup_path(depot.folder.path());
    let aside = file.with_extension("aside");
    std::fs::rename(&file, &aside).expect("moved");
    let (folder, around, places) = (
        depot.folder.path().to_owned(),
        depot.around.clone(),
        depot.places.clone(),
    );
    let open = move || match file.exists() {
        true => Ok(common::places::open(&folder, &around, &places)),
        false => Err(Faults {
            title: "No set-up".into(),
            faults: Vec::new(),
        }),
    };
    let w = Window {
        off: Offscreen::new(Panel::usual(Profile::Seven800), Box::new(open)).expect("a window"),
        around: depot.around.clone(),
    };
    assert!(w.off.screen().with_bay(|_| ()).is_none());
    std::fs::rename(&aside, aside.with_extension("toml")).expect("moved back");
    w.wait(Duration::from_secs(11));
    let typed = with(&w, |bay| bay.mixing().typed().text().to_owned());
    assert_eq!((page(&w), typed.as_str()), (Page::Mix, "25"));
}

/// A press does not wait for the file, nothing is written where nothing changed, and at home time alone
/// asks for nothing.
#[test]
fn where_the_hand_is_is_written_after_the_frame_and_only_where_it_changed() {
    let depot = Depot::demonstration();
    let w = depot.window();
    let times = || depot.places.times.get();
    let begun = times();
    w.wait(Duration::from_secs(30));
    assert_eq!(times(), begun);
    w.act([Action::Show(Page::Mix), mix(MixAction::Open(MixStage::Got))]);
    w.act(keys("75"));
    assert_eq!(times(), begun, "not with the press");
    w.wait(Duration::from_millis(150));
    assert_eq!(times(), begun + 1);
    w.act([Action::Touched, Action::Tick]);
    w.wait(Duration::from_secs(20));
    assert_eq!(times(), begun + 1);
    w.act([Action::Show(Page::Fill)]);
    w.wait(Duration::from_secs(1));
    assert_eq!(times(), begun + 2);
}
