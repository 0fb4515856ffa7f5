//! Safety at the hand: order of pouring, protection and symbols at home, figures that must not be used,
//! first aid, the jet's warning.

mod common;

use common::day::day_setup;
use common::window::{Window, window_of};
use common::{Around, percent, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::card;
use fillcall::bay::mixing::{MixAction, MixStage};
use fillcall::bay::offer::Offer;
use fillcall::bay::ports::{SoundState, Why};
use fillcall::bay::records::{CalibrationRecord, DaySetting, Placed, Scope, SprayerPast};
use fillcall::bay::setup::{Emergency, Profile, Setup};
use fillcall::screens::generated::{
    CalibrateView, CheckView, ChoiceView, EmergencyView, FillView, Mark, MixingView,
};
use fillcall::trade::calibration::{Calibration, Container, Run, Way};
use fillcall::trade::chemical::{Nature, Order, Target};
use fillcall::trade::days_strength::Allowed;
use fillcall::trade::fill_plan::Part;
use fillcall::trade::hazard::Hazard;
use fillcall::trade::language::Language;
use fillcall::trade::protection::Protection;
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::units::Volume;
use i_slint_backend_testing::{AccessibleRole, ElementHandle, ElementQuery};
use slint::{ComponentHandle, Model};
use std::time::Duration;

/// A bay whose two lances draw 5 % and 12.5 %, calibrated yesterday: 8 % is out of the first one's reach.
fn calibrated(mut setup: Setup) -> (Setup, Around) {
    let around = Around::default();
    let mut sprayers = Vec::new();
    for (id, holds, catch) in [("lance-1", 640.0, 12_800.0), ("lance-2", 900.0, 7_200.0)] {
        let sprayer = setup.sprayers.iter_mut().find(|s| s.id == id);
        let sprayer = sprayer.expect("a lance");
        sprayer.holds = Volume::ml(holds);
        let run = Run::dry(
            Volume::ml(holds),
            Volume::ml(catch),
            Duration::from_secs(80),
        );
        let record = CalibrationRecord {
            sprayer: id.into(),
            nozzle: sprayer.nozzle.clone(),
            washer: sprayer.washer.clone(),
            dial: None,
            calibration: Calibration::of_one(Container::measured(Volume::ml(holds)), run),
            taken: around.clock.now().wall - chrono::TimeDelta::hours(20),
        };
        let past = SprayerPast {
            calibration: Some(record),
            ..SprayerPast::default()
        };
        sprayers.push((id.to_owned(), past));
    }
    around.records.0.borrow_mut().past.sprayers = sprayers.into_iter().collect();
    (setup, around)
}

fn wall_of(setup: Setup) -> Window {
    let (setup, around) = calibrated(setup);
    window_of(setup, &around)
}

/// The bay with its first chemical changed.
fn with(change: impl FnOnce(&mut fillcall::trade::chemical::Chemical)) -> Window {
    let mut setup = setup(Profile::Seven800);
    change(&mut setup.chemicals[0]);
    wall_of(setup)
}

fn view(window: &Window) -> FillView<'_> {
    window.off.screen().wall().global::<FillView>()
}

fn images(window: &Window) -> Vec<ElementHandle> {
    ElementQuery::from_root(window.off.screen().wall())
        .match_accessible_role(AccessibleRole::Image)
        .find_all()
}

fn image_names(window: &Window) -> Vec<String> {
    let names = images(window).into_iter();
    names
        .filter_map(|image| image.accessible_label())
        .map(Into::into)
        .collect()
}

/// Every text on one line, with its height and its left edge in pixels.
fn lines(window: &Window) -> Vec<(String, f32, f32)> {
    let found = ElementQuery::from_root(window.off.screen().wall()).match_inherits("Line");
    let lines = found.find_all().into_iter();
    lines
        .filter_map(|line| {
            let text = line.accessible_label()?.to_string();
            Some((text, line.size().height, line.absolute_position().x))
        })
        .filter(|(text, ..)| !text.is_empty())
        .collect()
}

fn text_of(window: &Window) -> String {
    let found = ElementQuery::from_root(window.off.screen().wall());
    let texts = found.match_accessible_role(AccessibleRole::Text).find_all();
    let words: Vec<String> = texts
        .iter()
        .filter_map(|text| text.accessible_label())
        .map(Into::into)
        .collect();
    words.join("\n")
}

fn offer(window: &Window) -> Offer {
    let offer = window.off.screen().with_bay(|bay| bay.offer());
    offer.expect("a bay")
}

#[test]
fn the_water_comes_first_for_an_acid_wherever_it_is_told() {
    for (nature, order, water_first) in [
        (Nature::Acid, None, true),
        (Nature::Alkali, Some(Order::WaterFirst), true),
        (Nature::Acid, Some(Order::ProductFirst), false),
        (Nature::Alkali, None, false),
    ] {
        let window = with(|chemical| {
            chemical.nature = nature;
            chemical.order = order;
        });
        let case = format!("{nature:?} {order:?}");
        let Offer::Fill(plan) = offer(&window) else {
            panic!("{case}: no figure");
        };
        let product = plan.pour.dose.product.shown();
        let water = plan.pour.dose.water.as_water().shown();
        let figure = plan.pour.dose.product.figure().0;
        let water_figure = plan.pour.dose.water.as_water().figure().0;

        // Home: the two stand in their order, from left to right.
        let place = |text: &str| {
            let found = lines(&window).into_iter().find(|(of, ..)| of == text);
            found.unwrap_or_else(|| panic!("{case}: no {text}")).2
        };
        let water_is_left = place(&water_figure) < place(&figure);
        assert_eq!(water_is_left, water_first, "{case}");
        let measure = view(&window).get_measure();
        assert_eq!(
            measure.starts_with("then product"),
            water_first,
            "{case}: {measure}"
        );

        // The voice, and what it shows.
        window.around.ears.take();
        window.act([Action::SayFill]);
        let said = window.around.ears.said().pop().expect("said");
        let in_order = format!("{water} water first, then {product}");
        assert_eq!(said.contains(&in_order), water_first, "{case}: {said}");
        window.act([Action::CloseNotice]);

        // Help.
        window.act([Action::Show(Page::Help)]);
        let help = text_of(&window);
        assert_eq!(
            help.contains("1. Water first"),
            water_first,
            "{case}: {help}"
        );
        let mut pages = help;
        while !pages.contains("safety data sheet come first") {
            window.press(&["More"]);
            pages += &text_of(&window);
        }
        let caution = "Water first, then the product: never water into the product.";
        assert_eq!(pages.contains(caution), water_first, "{case}: {pages}");
        window.act([Action::Show(Page::Fill)]);

        // The card, in every form.
        let cards = [card::Format::Text, card::Format::Csv, card::Format::Html].map(|format| {
            let now = window.around.clock.now().wall;
            let write = |bay: &fillcall::bay::at_work::Bay| card::write(bay, now, format);
            window.off.screen().with_bay(write).expect("a card")
        });
        for (text, words) in cards
            .iter()
            .zip(["WATER FIRST", "water-first", "WATER FIRST"])
        {
            assert_eq!(text.contains(words), water_first, "{case}: {text}");
        }

        // What is added to a left-over, and a fill for some vehicles.
        window.act([
            Action::Show(Page::Mix),
            Action::Mix(MixAction::Open(MixStage::Left)),
            Action::Mix(MixAction::AboutLeft(Part::Quarter)),
            Action::Mix(MixAction::Of(fillcall::bay::mixing::MixOf::Strength(
                percent(4.0),
            ))),
        ]);
        let figures = window
            .off
            .screen()
            .wall()
            .global::<MixingView>()
            .get_figures();
        let whats: Vec<String> = figures.iter().map(|f| f.what.to_string()).collect();
        if water_first {
            assert_eq!(whats[..2], ["water first", "then product"], "{case}");
        } else {
            assert_eq!(whats[..2], ["product", "water"], "{case}: {whats:?}");
        }
        window.act([
            Action::Show(Page::Fill),
            Action::Show(Page::Mix),
            Action::Mix(MixAction::Open(MixStage::Vehicles)),
            Action::Mix(MixAction::OneMore(0)),
        ]);
        let facts = window
            .off
            .screen()
            .wall()
            .global::<MixingView>()
            .get_facts();
        let names: Vec<String> = facts.iter().map(|fact| fact.name.to_string()).collect();
        let expected = match water_first {
            true => ["Water first", "Then product"],
            false => ["Product", "Water"],
        };
        let in_order = names.windows(2).any(|two| two == expected);
        assert!(in_order, "{case}: {names:?}");
    }
}

#[test]
fn protection_follows_the_chemical_and_never_the_digits_of_the_dose() {
    let put_on = |window: &Window| {
        let names = image_names(window);
        let all = ["Gloves", "Goggles", "Face shield", "Apron", "Respirator"];
        all.into_iter()
            .filter(|name| names.iter().any(|of| of == name))
            .collect::<Vec<_>>()
    };
    use Protection::{Goggles, Respirator};
    for (hazards, told, shown) in [
        (&[][..], &[][..], &["Gloves", "Goggles"][..]),
        (
            &[Hazard::H314],
            &[],
            &["Gloves", "Goggles", "Face shield", "Apron"],
        ),
        (
            &[Hazard::H330, Hazard::H319],
            &[],
            &["Gloves", "Goggles", "Respirator"],
        ),
        // What its own label asks for wins.
        (
            &[Hazard::H314],
            &[Respirator, Goggles],
            &["Goggles", "Respirator"],
        ),
    ] {
        // Doses of two digits, three, and litres with a tenth; with and without the mark of a demo.
        for (sprayer, strength, demo) in [
            ("lance-1", 0.5, true),
            ("lance-1", 4.0, false),
            ("lance-2", 4.0, true),
            ("pump", 24.6, true),
            ("pump", 99.0, false),
        ] {
            let mut setup = setup(Profile::Seven800);
            setup.demo = demo;
            let chemical = &mut setup.chemicals[0];
            chemical.hazards = hazards.to_vec();
            chemical.put_on = told.to_vec();
            chemical.band = None;
            chemical.target = Target::OnVehicle(percent(strength));
            let window = wall_of(setup);
            window.act([Action::ChooseSprayer(sprayer.into())]);
            assert!(matches!(offer(&window), Offer::Fill(_)));
            let figure = view(&window).get_figure();
            assert_eq!(put_on(&window), shown, "{hazards:?} {told:?} {figure}");
            // Where there is no figure as well.
            window.act([Action::ChooseSprayer("drum".into())]);
            assert!(matches!(offer(&window), Offer::Uncalibrated));
            assert_eq!(put_on(&window), shown, "{hazards:?} {told:?}");
        }
    }
}

#[test]
fn the_symbol_is_at_home_twelve_millimetres_high_with_its_word_and_its_holes() {
    for profile in Profile::ALL {
        let mut setup = setup(profile);
        setup.chemicals[0].hazards = vec![Hazard::H314, Hazard::H410];
        let per_mm = setup.panel.pixels_per_mm();
        let window = wall_of(setup);
        let symbol = images(&window)
            .into_iter()
            .find(|image| image.accessible_label().is_some_and(|of| of == "Corrosive"))
            .expect("the symbol");
        let (at, size) = (symbol.absolute_position(), symbol.size());
        assert!(f64::from(size.height) / per_mm >= 12.0, "{size:?}");
        let word = lines(&window);
        // One more symbol is on its label.
        assert!(
            word.iter().any(|(text, ..)| text == "Corrosive +1"),
            "{word:?}"
        );

        let wall = window.off.screen().wall().window();
        let picture = wall.take_snapshot().expect("a picture");
        let (width, bytes) = (picture.width() as usize, picture.as_bytes());
        // By places of the drawing, 0 to 100 both ways.
        let pixel = |x: f32, y: f32| {
            let (x, y) = (
                at.x + size.width * x / 100.0,
                at.y + size.height * y / 100.0,
            );
            let first = (y.round() as usize * width + x.round() as usize) * 4;
            let [r, g, b] = [0, 1, 2].map(|of| u32::from(bytes[first + of]));
            (r + g + b) / 3
        };
        // Each vessel: its wall is black, and the hollow in it white.
        for (wall, hollow) in [((30.0, 33.8), (42.5, 24.5)), ((70.0, 33.8), (57.5, 24.5))] {
            let (wall, hollow) = (pixel(wall.0, wall.1), pixel(hollow.0, hollow.1));
            assert!(wall < 90, "{profile:?}: a wall of {wall}");
            assert!(hollow > 170, "{profile:?}: a hollow of {hollow}");
        }
    }
}

/// In a state in which the figure must not be used: its words, and the button that helps.
fn stands_still(window: &Window, remedy: &str, old: Option<&str>) {
    let per_mm = setup(Profile::Seven800).panel.pixels_per_mm() as f32;
    let lines = lines(window);
    let height = |(_, height, _): &(String, f32, f32)| *height / per_mm;
    let words = lines.iter().find(|(text, ..)| text == "Do not use");
    let words = words.unwrap_or_else(|| panic!("{lines:?}"));
    assert!(height(words) >= 12.0 - 0.05, "{}", height(words));
    // Nothing is larger, and nothing that is a figure comes near.
    for line in &lines {
        assert!(height(line) <= height(words) + 0.05, "{line:?}");
        let is_figure = line.0.starts_with(|c: char| c.is_ascii_digit());
        assert!(!is_figure || height(line) < 7.0, "{line:?}");
    }
    if let Some(old) = old {
        assert!(lines.iter().any(|(text, ..)| text == old), "{lines:?}");
    }
    let labels = window.labels();
    assert!(labels.iter().any(|label| label == remedy), "{labels:?}");
    assert!(
        labels.iter().any(|label| label == "First aid"),
        "{labels:?}"
    );
}

#[test]
fn what_must_not_be_used_says_so_larger_than_any_figure() {
    let window = wall_of(setup(Profile::Seven800));
    let Offer::Fill(plan) = offer(&window) else {
        panic!("a figure");
    };
    let old = plan.pour.dose.product.shown();
    window.act([Action::Changed(VoidCause::Nozzle), Action::CloseNotice]);
    stands_still(&window, "Calibrate", Some(&old));
    // What was measured then is not told as if it applied.
    window.act([Action::Show(Page::Care)]);
    let text = text_of(&window);
    assert!(text.contains("Void: nozzle changed."), "{text}");
    assert!(text.contains("it is void"), "{text}");
    for word in ["Draws", "Flow", "not due"] {
        assert!(!text.contains(word), "{word}: {text}");
    }
    // Where there is no old figure, it is void all the same.
    window.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("degreaser".into()),
        Action::CloseNotice,
    ]);
    assert!(
        matches!(offer(&window), Offer::Void { old: None, .. }),
        "{:?}",
        offer(&window)
    );
    stands_still(&window, "Calibrate", None);
    let labels = window.labels();
    assert!(
        !labels.iter().any(|label| label.contains("once")),
        "{labels:?}"
    );

    window.act([
        Action::ChooseChemical("degreaser".into()),
        Action::CloseNotice,
        Action::ChooseChemical("film".into()),
        Action::CloseNotice,
        Action::ChooseSprayer("lance-2".into()),
        Action::Filled,
        Action::CloseNotice,
        Action::ChooseChemical("wheel".into()),
        Action::CloseNotice,
    ]);
    assert!(matches!(offer(&window), Offer::Rinse(_)));
    stands_still(&window, "Rinsed", None);
}

#[test]
fn out_of_reach_is_told_before_a_rinse_and_leads_to_who_does_reach_it() {
    let window = wall_of(setup(Profile::Seven800));
    // The film remover is in it: a rinse would be wanted before the degreaser.
    window.act([
        Action::Filled,
        Action::CloseNotice,
        Action::ChooseChemical("degreaser".into()),
        Action::CloseNotice,
    ]);
    assert!(matches!(offer(&window), Offer::OutOfReach { .. }));
    stands_still(&window, "Sprayers that reach it", None);
    assert_eq!(view(&window).get_reaching(), "2 sprayers");
    window.press(&["Sprayers that reach it"]);
    let shown = window
        .off
        .screen()
        .wall()
        .global::<ChoiceView>()
        .get_reaching();
    let names: Vec<String> = shown.iter().map(|row| row.name.to_string()).collect();
    assert_eq!(names, ["Lance 2", "Pump sprayer"]);
    window.press(&["Lance 2"]);
    let (sprayer, chemical) = window
        .off
        .screen()
        .with_bay(|bay| (bay.sprayer().id.clone(), bay.chemical().id.clone()))
        .expect("a bay");
    assert_eq!((&*sprayer, &*chemical), ("lance-2", "degreaser"));
    let Offer::Fill(plan) = offer(&window) else {
        panic!("a figure");
    };
    // 8 % of 900 ml by a draw of 12.5 %.
    assert_eq!(plan.exact.product.as_ml().round(), 576.0);
}

#[test]
fn a_sprayer_that_may_not_have_the_chemical_is_no_way_out() {
    let (mut own, around) = calibrated(setup(Profile::Seven800));
    own.operators_may_change_chemical = false;
    own.day_chemical = "degreaser".into();
    let window = window_of(own, &around);
    assert!(matches!(offer(&window), Offer::OutOfReach { .. }));
    // It is the day's for every sprayer: they may.
    assert_eq!(view(&window).get_reaching(), "2 sprayers");
    // One whose calibration is void reaches nothing that anybody knows.
    window.act([
        Action::ChooseSprayer("lance-2".into()),
        Action::Changed(VoidCause::Nozzle),
        Action::ChooseSprayer("lance-1".into()),
    ]);
    assert_eq!(view(&window).get_reaching(), "Pump sprayer");
    // One for which the lead set another chemical may not have this one.
    let (mut own, around) = calibrated(setup(Profile::Seven800));
    own.operators_may_change_chemical = false;
    own.day_chemical = "degreaser".into();
    let scope = Scope::Sprayer("lance-2".into());
    let what = DaySetting {
        scope: scope.clone(),
        chemical: "film".into(),
        strength: None,
        today_only: false,
        allowed: Allowed::Freely,
        beside_never: false,
    };
    let at = around.clock.now().wall;
    let placed = Placed { entry: 1, at, what };
    around.records.0.borrow_mut().past.day = [(scope, placed)].into();
    let window = window_of(own, &around);
    assert_eq!(view(&window).get_reaching(), "Pump sprayer");
    let one = |setup: &mut Setup| setup.sprayers.retain(|s| s.id == "lance-1");
    let (mut alone, around) = calibrated(setup(Profile::Seven800));
    one(&mut alone);
    alone.day_chemical = "degreaser".into();
    let window = window_of(alone, &around);
    assert_eq!(view(&window).get_reaching(), "");
    assert!(
        !window
            .labels()
            .iter()
            .any(|label| label == "Sprayers that reach it")
    );
    assert!(text_of(&window).contains("No other sprayer reaches it"));
}

#[test]
fn a_fill_reminds_of_the_setting_of_the_dial() {
    let (mut own, around) = calibrated(setup(Profile::Seven800));
    own.sprayers[0].dial = Some("tip 4".into());
    let window = window_of(own, &around);
    assert!(
        view(&window).get_detail().contains("dial: tip 4"),
        "{}",
        view(&window).get_detail()
    );
    window.act([Action::Filled]);
    let text = text_of(&window);
    assert!(text.contains("logged. Dial: tip 4"), "{text}");
    // Of one without a dial nothing is said.
    window.act([
        Action::CloseNotice,
        Action::ChooseSprayer("lance-2".into()),
        Action::Filled,
    ]);
    let text = text_of(&window);
    assert!(!text.to_lowercase().contains("dial"), "{text}");
}

#[test]
fn one_state_has_one_look_and_one_word_on_every_page() {
    let window = wall_of(setup(Profile::Seven800));
    window.act([Action::Changed(VoidCause::Nozzle), Action::CloseNotice]);
    assert_eq!(view(&window).get_care(), Mark::Stop);
    assert_eq!(view(&window).get_care_title(), "Void");
    window.act([Action::Show(Page::Sprayers)]);
    let rows = window
        .off
        .screen()
        .wall()
        .global::<ChoiceView>()
        .get_sprayers();
    let row = |id: &str| rows.iter().find(|row| row.id == id).expect("a sprayer");
    // Chosen or not, it stays red.
    assert_eq!(
        (row("lance-1").mark, row("lance-1").current),
        (Mark::Stop, true)
    );
    assert_eq!(row("lance-1").figure, "Void");
    assert_eq!(row("lance-2").mark, Mark::None);
    assert_eq!(row("drum").mark, Mark::Due);
    window.act([Action::ChooseSprayer("lance-2".into())]);
    for washes in 1..=8 {
        window.act([Action::WashDone, Action::CloseNotice]);
        let home = view(&window).get_care();
        window.act([Action::Show(Page::Sprayers)]);
        assert_eq!(row("lance-2").mark, home, "after {washes} washes");
        window.act([Action::Back]);
    }
    assert_eq!(view(&window).get_care(), Mark::Stop, "overdue");
    // Void: red for every chemical. Out of reach: the same word at home and in the list, and red in both.
    window.act([
        Action::ChooseSprayer("drum".into()),
        Action::ChooseSprayer("lance-1".into()),
        Action::Show(Page::Chemicals),
    ]);
    let void = window
        .off
        .screen()
        .wall()
        .global::<ChoiceView>()
        .get_chemicals();
    assert!(
        void.iter()
            .all(|row| row.mark == Mark::Stop && row.figure == "Void")
    );
    let window = wall_of(setup(Profile::Seven800));
    window.act([Action::Show(Page::Chemicals)]);
    let rows = window
        .off
        .screen()
        .wall()
        .global::<ChoiceView>()
        .get_chemicals();
    let degreaser = rows.iter().find(|row| row.id == "degreaser").expect("it");
    window.act([Action::ChooseChemical("degreaser".into())]);
    assert_eq!(degreaser.figure, view(&window).get_headline());
    assert_eq!(degreaser.mark, Mark::Stop);
}

#[test]
fn first_aid_is_one_tap_from_home_in_every_state() {
    let mut own = day_setup(Profile::Seven800);
    own.emergency = Emergency {
        eye_wash: Some("Left of the door".into()),
        data_sheets: None,
        telephone: Some("Gate 7".into()),
    };
    let window = window_of(own, &Around::default());
    let open = |window: &Window| {
        window.press(&["First aid"]);
        let page = window.off.screen().with_bay(|bay| bay.page());
        assert_eq!(page, Some(Page::Emergency));
        let text = text_of(window);
        window.act([Action::Back]);
        text
    };
    let text = open(&window);
    for words in [
        "IF IN EYES: Rinse cautiously with water",
        "IF ON SKIN (or hair): Take off immediately",
        "Left of the door",
        "not told: ask now",
        "Gate 7",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // What was breathed in or swallowed is one tap more, and the telephone stands there too.
    window.press(&["First aid", "Inhaled,"]);
    let text = text_of(&window);
    for words in [
        "IF INHALED: Remove person to fresh air",
        "IF SWALLOWED: Rinse mouth. Do NOT induce vomiting.",
        "Gate 7",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    window.press(&["Eyes,"]);
    assert!(text_of(&window).contains("IF IN EYES"));
    window.act([Action::Back]);
    // Rinse first, and never mix.
    window.act([
        Action::ChooseChemical("acid".into()),
        Action::CloseNotice,
        Action::Filled,
        Action::CloseNotice,
        Action::ChooseChemical("film".into()),
        Action::CloseNotice,
    ]);
    assert!(matches!(offer(&window), Offer::Rinse(_)));
    open(&window);
    let window = wall_of(setup(Profile::Seven800));
    window.act([Action::Changed(VoidCause::Washer), Action::CloseNotice]);
    open(&window);
    window.act([Action::ChooseSprayer("drum".into())]);
    open(&window);
    // It stays as long as eyes are rinsed.
    window.press(&["First aid"]);
    window.around.clock.go_on(Duration::from_secs(15 * 60));
    window.act([Action::Tick]);
    let page = window.off.screen().with_bay(|bay| bay.page());
    assert_eq!(page, Some(Page::Emergency));
}

#[test]
fn what_can_kill_says_that_the_medical_plan_must_be_ready() {
    for (hazards, plan) in [
        (&[Hazard::H311, Hazard::H314][..], true),
        (&[Hazard::H330], true),
        (&[Hazard::H302, Hazard::H314], false),
    ] {
        let window = with(|chemical| chemical.hazards = hazards.to_vec());
        let note = view(&window).get_chemical_note();
        assert_eq!(note == "medical plan ready?", plan, "{note}");
        window.press(&["First aid"]);
        let note = window
            .off
            .screen()
            .wall()
            .global::<EmergencyView>()
            .get_note();
        assert_eq!(note.contains("medical plan"), plan, "{note}");
        window.act([Action::Show(Page::Help)]);
        let mut text = String::new();
        for _ in 0..12 {
            text += &text_of(&window);
            window.press(&["More"]);
        }
        assert_eq!(
            text.contains("Have the medical plan ready before use"),
            plan
        );
    }
}

#[test]
fn the_jets_warning_stands_by_itself_before_every_start() {
    let window = wall_of(setup(Profile::Seven800));
    let warns = |window: &Window, paragraph: &str| {
        for language in Language::ALL {
            window.off.screen().show_in(language);
            let root = ElementQuery::from_root(window.off.screen().wall());
            let parts = root.match_inherits("Warning").find_all();
            assert_eq!(parts.len(), 1, "{language:?}");
        }
        window.off.screen().show_in(Language::English);
        let lines = lines(window);
        assert!(
            lines
                .iter()
                .any(|(text, ..)| text == "Never point it at anyone.")
        );
        assert!(
            !paragraph.contains("point") && !paragraph.contains("skin"),
            "{paragraph}"
        );
        assert!(window.labels().iter().any(|label| label == "Start"));
    };
    for way in [Way::RunDry, Way::Timed] {
        window.act([Action::CalibrateBy(way), Action::HoldsAsBefore]);
        if way == Way::Timed {
            window.act([Action::TakeTime(Duration::from_secs(30))]);
        }
        window.press(&["It is full to the line"]);
        let ready_words = || {
            let wall = window.off.screen().wall();
            wall.global::<CalibrateView>().get_ready_words()
        };
        let words = ready_words();
        warns(&window, &words);
        // Beeps are promised where they are heard, and only there.
        assert!(words.contains("beeps"), "{words}");
        let absent = SoundState::NoDevice(Why::Absent);
        window.around.ears.state.set(absent);
        window.act([Action::Tick]);
        let unheard = ready_words();
        assert!(
            !unheard.contains("beep") && unheard.contains("watch the screen"),
            "{unheard}"
        );
        window.around.ears.state.set(SoundState::Working);
        window.act([
            Action::Tick,
            Action::ThrowAway,
            Action::Show(Page::Fill),
            Action::CloseNotice,
        ]);
    }
    for with_mix in [false, true] {
        window.act([Action::Show(Page::Check), Action::BeginCheck { with_mix }]);
        let words = window
            .off
            .screen()
            .wall()
            .global::<CheckView>()
            .get_ready_words();
        warns(&window, &words);
        window.act([Action::Back, Action::Back]);
    }
}
