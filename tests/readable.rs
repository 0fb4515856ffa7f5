//! Figures that can be read off a jug: in its own unit, on its own lines, with a ± that says what of.
//! On the screens, in speech and beeps, on the card and in what is kept.

mod common;

use approx::assert_relative_eq;
use common::walk_jugs::{bay, jug, percents_for, quart};
use common::window::{Window, window_of};
use common::{Around, Heard, measure};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::card::{self, Format};
use fillcall::bay::mixing::{MixAction, MixStage};
use fillcall::bay::offer::Offer;
use fillcall::bay::records::Happening;
use fillcall::bay::runner::Runner;
use fillcall::sound::voice::Pack;
use fillcall::trade::announcement::{Announcement, Beeps, Signal};
use fillcall::trade::fill_plan::{FillPlan, Part};
use fillcall::trade::language::Language;
use fillcall::trade::units::{ML_PER_US_FL_OZ, Volume};
use i_slint_backend_testing::{AccessibleRole, ElementQuery};

fn plan_of(bay: &Bay) -> FillPlan {
    match bay.offer() {
        Offer::Fill(plan) => *plan,
        other => panic!("{other:?}"),
    }
}

/// What *Say it* says, in the voice that the program carries.
fn said(around: &Around, runner: &mut Runner) -> (Announcement, String) {
    around.ears.take();
    runner.act(Action::SayFill);
    let said = around
        .ears
        .take()
        .into_iter()
        .find_map(|heard| match heard {
            Heard::Said(said) => Some(said),
            _ => None,
        });
    let said = said.expect("it is said");
    let spoken = said.speech(&Pack::of(Language::English).lexicon);
    assert!(spoken.missing.is_empty(), "{:?}", spoken.missing);
    let words: Vec<&str> = spoken.words().collect();
    (said, words.join(" "))
}

fn card(bay: &Bay, around: &Around, format: Format) -> String {
    card::write(bay, around.clock.now().wall, format)
}

fn texts(window: &Window) -> Vec<String> {
    ElementQuery::from_root(window.off.screen().wall())
        .match_accessible_role(AccessibleRole::Text)
        .find_all()
        .iter()
        .filter_map(|text| text.accessible_label())
        .map(Into::into)
        .collect()
}

#[track_caller]
fn says(window: &Window, words: &str) {
    let texts = texts(window);
    assert!(
        texts.iter().any(|text| text.contains(words)),
        "\"{words}\" is not in {texts:?}"
    );
}

#[test]
fn a_dose_that_nobody_can_read_is_no_figure_anywhere() {
    // 10.2 ml on lines of 10 ml: 10 ml lies inside a band of a tenth either way.
    let (setup, around) = bay(percents_for(10.2), Some(0.1), vec![jug()]);
    let mut runner = around.runner(setup.clone());
    assert!(
        matches!(runner.bay().offer(), Offer::Unmeasurable { .. }),
        "{:?}",
        runner.bay().offer()
    );
    let (announcement, words) = said(&around, &mut runner);
    assert!(words.ends_with("no measure for the product"), "{words}");
    assert_eq!(announcement.beeps, Beeps::Signal(Signal::NoFigure));
    let text = card(runner.bay(), &around, Format::Text);
    assert!(text.contains("10.2 ml is too little to measure"), "{text}");
    let csv = card(runner.bay(), &around, Format::Csv);
    assert!(csv.contains("lance-1,film,0.069,887.2,10.2,,,"), "{csv}");
    // The product thinned until half a line is a twentieth: 1 + 9, and 100 ml of that.
    let window = window_of(setup, &around);
    says(
        &window,
        "10.2 ml would be right: no measure here shows that",
    );
    says(&window, "1\u{a0}+\u{a0}9 with water, pour 100\u{a0}ml");
    window.act([Action::Show(Page::Sprayers)]);
    says(&window, "Too little");
}

#[test]
fn a_coarse_measure_is_told_wherever_its_dose_is() {
    // 72 ml on lines of 10 ml: half a line is 7 % of it.
    let (setup, around) = bay(percents_for(72.0), Some(0.3), vec![jug()]);
    let mut runner = around.runner(setup.clone());
    let plan = plan_of(runner.bay());
    assert_eq!((plan.coarse, &plan.finer), (true, &None));
    let (announcement, words) = said(&around, &mut runner);
    assert!(words.contains("check strength"), "{words}");
    let look = Beeps::DoseBut(Volume::ml(70.0), Signal::Look);
    assert_eq!(announcement.beeps, look);
    let text = card(runner.bay(), &around, Format::Text);
    let html = card(runner.bay(), &around, Format::Html);
    for card in [text, html] {
        let told = "COARSE measure, better: lines of 5 ml or finer";
        assert!(card.contains(told), "{card}");
    }
    let window = window_of(setup, &around);
    says(&window, "coarse measure");
    window.act([Action::Show(Page::Care)]);
    says(&window, "lines of 5 ml or finer");
    window.act([Action::Show(Page::Fill), Action::Show(Page::Sprayers)]);
    says(&window, "coarse measure");

    // A finer one of the bay that takes too many loads is named.
    let cup = measure("cup", "10 ml cup", 10.0, 0.5);
    let (setup, around) = bay(percents_for(72.0), Some(0.3), vec![cup, jug()]);
    let runner = around.runner(setup.clone());
    let text = card(runner.bay(), &around, Format::Text);
    let told = "COARSE measure, better: 72 ml in 10 ml cup: 7 full + 2 ml";
    assert!(text.contains(told), "{text}");
    let window = window_of(setup, &around);
    window.act([Action::Show(Page::Care)]);
    says(&window, "10 ml cup: 7 full + 2 ml");

    // A dose that is large enough is told without a word.
    let (mut setup, around) = bay(percents_for(590.0), Some(0.3), vec![jug()]);
    let coarse = |runner: &Runner| {
        let text = card(runner.bay(), &around, Format::Text);
        text.lines().filter(|line| line.contains("COARSE")).count()
    };
    let mut runner = around.runner(setup.clone());
    assert!(!plan_of(runner.bay()).coarse);
    assert!(!said(&around, &mut runner).1.contains("check"));
    // On the card there is one that is not: wheel cleaner by its label, 1 + 10 of 897 ml, is 82 ml.
    assert_eq!(coarse(&runner), 1);
    setup.chemicals.retain(|chemical| chemical.id == "film");
    assert_eq!(coarse(&around.runner(setup)), 0);
}

#[test]
fn a_left_over_topped_up_on_coarse_lines_is_to_be_checked() {
    // A quarter of nearly plain water in it: about 105 ml of product, on a jug with lines of 15 ml.
    let coarse = measure("jug", "old jug", 1000.0, 15.0);
    let (setup, around) = bay(percents_for(105.0), Some(0.4), vec![coarse]);
    let mut runner = around.runner(setup);
    runner.act(Action::Show(Page::Mix));
    for action in [
        MixAction::Open(MixStage::Left),
        MixAction::AboutLeft(Part::Quarter),
        MixAction::Open(MixStage::StrengthTyped),
    ] {
        runner.act(Action::Mix(action));
    }
    runner.acts_digits("0.01");
    runner.act(Action::Mix(MixAction::Next));
    around.ears.take();
    runner.act(Action::Mix(MixAction::Say));
    let texts = around.ears.said();
    assert!(
        texts.iter().any(|text| text.contains("check strength")),
        "{texts:?}"
    );
}

/// Typing, for a runner without a window.
trait Typing {
    fn acts_digits(&mut self, text: &str);
}

impl Typing for Runner {
    fn acts_digits(&mut self, text: &str) {
        for key in common::hands::keys(text) {
            self.act(key);
        }
    }
}

#[test]
fn a_jug_in_ounces_is_shown_said_and_printed_in_ounces() {
    let quart = quart("32 US fl oz", "0.5 US fl oz");
    // 8.1 fl oz of product for 30 fl oz.
    let ounces = 8.1 * ML_PER_US_FL_OZ;
    let (mut setup, around) = bay(percents_for(ounces), Some(0.3), vec![quart]);
    setup.sprayers[0].spoken = "lance one".into();
    let mut runner = around.runner(setup.clone());
    let plan = plan_of(runner.bay());
    let poured = plan.pour.dose.product;
    assert_relative_eq!(poured.as_ml(), 8.0 * ML_PER_US_FL_OZ, max_relative = 1e-9);
    let (announcement, words) = said(&around, &mut runner);
    assert!(words.contains("eight fluid ounces"), "{words}");
    assert!(!words.contains("millilitres"), "{words}");
    assert_eq!(announcement.beeps, Beeps::Signal(Signal::Look));
    let spanish = announcement.speech(&Pack::of(Language::Spanish).lexicon);
    assert!(spanish.missing.is_empty(), "{:?}", spanish.missing);
    let spanish: Vec<&str> = spanish.words().collect();
    assert!(
        spanish.join(" ").contains("ocho onzas líquidas"),
        "{spanish:?}"
    );

    // Half of it, with its water.
    runner.act(Action::ChoosePart(Part::Half));
    let (_, words) = said(&around, &mut runner);
    assert!(
        words.contains("four fluid ounces") && words.contains("then eleven fluid ounces water"),
        "{words}"
    );
    runner.act(Action::ChoosePart(Part::Full));

    // For people in ounces, in columns that say ml in ml.
    for format in [Format::Text, Format::Html] {
        let card = card(runner.bay(), &around, format);
        for words in ["holds 30 fl oz", "8 fl oz", "22 fl oz"] {
            assert!(card.contains(words), "{words}: {card}");
        }
    }
    let csv = card(runner.bay(), &around, Format::Csv);
    assert!(csv.contains(",887.2,239.5,236.6,650.6,"), "{csv}");

    // Kept in ml, told in ounces.
    runner.act(Action::Filled);
    let notice = runner.bay().notice().map(|notice| notice.text.to_string());
    assert_eq!(notice.as_deref(), Some("8 fl oz logged"));
    let kept = around.records.0.borrow();
    let logged = kept.happenings.iter().find_map(|(_, what)| match what {
        Happening::Fill(fill) => Some(fill.poured),
        _ => None,
    });
    assert_eq!(logged, Some(poured));
    drop(kept);

    let window = window_of(setup, &around);
    for words in ["8", "fl oz", "22"] {
        assert!(texts(&window).iter().any(|text| text == words), "{words}");
    }
    says(&window, "holds 30 fl oz");
    window.act([Action::Show(Page::Sprayers)]);
    says(&window, "8 fl oz");
    window.act([Action::Show(Page::Fill), Action::Show(Page::Care)]);
    says(&window, "30 fl oz");
    says(&window, "fl oz");
    window.act([Action::Show(Page::Sure)]);
    assert!(
        texts(&window).iter().any(|text| text == "fl oz"),
        "{:?}",
        texts(&window)
    );
}

#[test]
fn an_imperial_jug_is_told_in_its_own_ounces() {
    let pint = quart("20 UK fl oz", "1 UK fl oz");
    let ounces = 11.0 * fillcall::trade::units::ML_PER_UK_FL_OZ;
    let (setup, around) = bay(percents_for(ounces), None, vec![pint]);
    let mut runner = around.runner(setup);
    let plan = plan_of(runner.bay());
    assert_eq!(plan.pour.product_shown(), "11 fl oz");
    let (_, words) = said(&around, &mut runner);
    assert!(words.contains("eleven fluid ounces"), "{words}");
}

#[test]
fn a_direct_sprayer_is_as_sure_as_its_measure_is_read() {
    let (setup, around) = bay(4.0, None, vec![jug()]);
    let mut runner = around.runner(setup.clone());
    runner.act(Action::ChooseSprayer("pump".into()));
    let plan = plan_of(runner.bay());
    let dose = plan.exact.product;
    assert_relative_eq!(dose.as_ml(), 200.0, max_relative = 1e-9);
    let sure = runner.bay().dose_uncertainty(&plan).expect("a ±");
    // Half a line of 5 ml, rectangular, twice: 5.8 ml. One fill is as sure as many.
    let by_hand = 2.0 * 5.0 / 3f64.sqrt();
    assert_relative_eq!(sure.expanded(dose).as_ml(), by_hand, max_relative = 1e-9);
    assert_eq!(runner.bay().landing_uncertainty(&plan), Some(sure));
    let window = window_of(setup, &around);
    window.act([
        Action::ChooseSprayer("pump".into()),
        Action::Show(Page::Care),
        Action::Show(Page::Sure),
    ]);
    says(&window, "± 5.8");
    says(&window, "reading the measure when pouring");
}

#[test]
fn one_fill_is_less_sure_than_the_dose_and_both_say_which_they_are() {
    let (setup, around) = bay(4.0, Some(0.3), vec![jug()]);
    let runner = around.runner(setup.clone());
    let plan = plan_of(runner.bay());
    let mean = runner.bay().dose_uncertainty(&plan).expect("a ±");
    let one = runner.bay().landing_uncertainty(&plan).expect("a ±");
    // Three runs by the prior: 2 %/√3 of the mean, 2 %·√(4/3) of one fill.
    assert_relative_eq!(mean.scatter, 0.02 / 3f64.sqrt(), max_relative = 1e-9);
    assert_relative_eq!(
        one.scatter,
        0.02 * (4.0f64 / 3.0).sqrt(),
        max_relative = 1e-9
    );
    assert_eq!((one.catch, one.pour), (mean.catch, mean.pour));
    let lands = runner.bay().landing_plus_minus(&plan).expect("a ±");
    let by_hand = plan.pour.strength.as_percent() * one.plus_minus();
    assert_relative_eq!(lands.as_percent(), by_hand, max_relative = 1e-9);
    // t for about four degrees of freedom: ± 6.4 % of 4 %.
    assert!((0.24..0.265).contains(&lands.as_percent()), "{lands:?}");

    let window = window_of(setup, &around);
    window.act([Action::Show(Page::Care)]);
    let shown = format!("± {:.2} %", lands.as_percent());
    says(&window, "Mean dose");
    says(&window, "One fill lands");
    says(&window, &shown);
    window.act([Action::Show(Page::Sure)]);
    says(&window, "mean dose");
    says(&window, "One fill lands");
    says(&window, &shown);
}
