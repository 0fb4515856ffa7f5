//! The day around the fill: for so many vehicles, left-overs, mispoured, and what a ratio comes to.

mod common;

use common::walk::bay_with_vehicles;
use common::{Around, Heard, measure, percent};
use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::day::DayAction;
use fillcall::bay::mixing::{
    ForVehicles, GotField, GotSays, LeftOverSays, MispouredSays, MixAction, MixOf, MixStage,
    NoFigure,
};
use fillcall::bay::offer::Offer;
use fillcall::bay::records::{Entry, Fill, FillHow, Happening, Records};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{EntryUnits, Profile, Setup};
use fillcall::trade::chemical::Band;
use fillcall::trade::fill_plan::{InBand, Part};
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::topping_up::{Addition, Remedy};
use fillcall::trade::units::{BottleRatio, Volume};
use proptest::prelude::*;
use std::time::Duration;

/// A bay whose first lance draws 820 of 14 700 ml and holds 820.
struct Shift {
    runner: Runner,
    around: Around,
}

/// What the lance draws.
const D: f64 = 820.0 / 14_700.0;

impl Shift {
    fn new() -> Self {
        Self::of(|_| {})
    }
    fn of(change: impl FnOnce(&mut Setup)) -> Self {
        let (mut setup, around) = bay_with_vehicles(Profile::Seven800);
        change(&mut setup);
        let mut shift = Self {
            runner: around.runner(setup),
            around,
        };
        shift.act([Action::Show(Page::Mix)]);
        shift
    }
    fn act(&mut self, actions: impl IntoIterator<Item = Action>) {
        for action in actions {
            self.runner.act(action);
        }
    }
    fn mix(&mut self, actions: impl IntoIterator<Item = MixAction>) {
        self.act(actions.into_iter().map(Action::Mix));
    }
    fn open(&mut self, stage: MixStage) {
        self.act([Action::Show(Page::Fill), Action::Show(Page::Mix)]);
        self.mix([MixAction::Open(stage)]);
    }
    fn type_in(&mut self, text: &str) {
        for key in text.chars() {
            self.act([Action::Pad(match key {
                '.' => PadKey::Point,
                digit => PadKey::Digit(digit as u8 - b'0'),
            })]);
        }
    }
    /// Typed on a page of its own.
    fn number(&mut self, text: &str) {
        self.type_in(text);
        self.mix([MixAction::Next]);
    }
    fn bay(&self) -> &Bay {
        self.runner.bay()
    }
    fn stage(&self) -> MixStage {
        self.bay().mixing().stage()
    }
    fn notice(&self) -> String {
        let notice = self.bay().notice();
        notice.map_or(String::new(), |notice| notice.text.to_string())
    }
    fn kept(&self) -> Vec<Happening> {
        let kept = self.around.records.0.borrow();
        kept.happenings
            .iter()
            .map(|(_, what)| what.clone())
            .collect()
    }
    fn fills(&self) -> Vec<Fill> {
        let fills = self.kept().into_iter().flat_map(|what| match what {
            Happening::Fill(fill) => vec![fill],
            Happening::Mispoured { fill, added, .. } => {
                std::iter::once(fill).chain(added).collect()
            }
            _ => Vec::new(),
        });
        fills.collect()
    }
    /// Those that the log tells: not those taken back.
    fn logged_fills(&self) -> Vec<Fill> {
        let log = self.around.records.clone().log(0).expect("log");
        let fills = log.into_iter().filter_map(|logged| match logged.what {
            Happening::Fill(fill) => Some(fill),
            _ => None,
        });
        fills.collect()
    }
    fn disk_fails(&self, fails: bool) {
        self.around.records.0.borrow_mut().fails = fails;
    }
    /// So much product was poured, and so much is in it then; `None` for what was meant.
    fn mispoured(&mut self, product: &str, level: Option<&str>) {
        self.open(MixStage::Poured);
        self.type_in(product);
        self.mix([MixAction::Next]);
        if let Some(level) = level {
            self.mix([MixAction::Open(MixStage::Level)]);
            self.number(level);
        }
    }
    /// The nozzle of the lance was changed.
    fn is_void(&mut self) {
        self.act([Action::Changed(VoidCause::Nozzle), Action::CloseNotice]);
    }
}

fn added(says: LeftOverSays) -> Addition {
    match says {
        LeftOverSays::Do {
            remedy: Remedy::Add(addition),
            ..
        } => addition,
        other => panic!("{other:?}"),
    }
}

// ---- For so many vehicles --------------------------------------------------------------------

#[test]
fn just_enough_for_the_vehicles_that_stand_there() {
    let mut shift = Shift::new();
    shift.open(MixStage::Vehicles);
    assert_eq!(shift.bay().for_vehicles(), ForVehicles::Nobody);
    shift.mix([MixAction::MakeUp(Part::Ml(0))]);
    assert_ne!(shift.bay().page(), Page::Fill, "nothing is no fill");
    shift.act([Action::CloseNotice]);
    // A minibus and one articulated of 4 litres a vehicle: 3.1 · 4 · d = 691.7 ml, so 700.
    shift.mix([MixAction::OneMore(0), MixAction::OneMore(2)]);
    let ForVehicles::Fills { fills, part, plan } = shift.bay().for_vehicles() else {
        panic!("{:?}", shift.bay().for_vehicles())
    };
    assert!((fills.needed.as_ml() - 12_400.0 * D).abs() < 1e-6);
    assert_eq!((fills.full, part), (0, Part::Ml(700)));
    // 700 · 0.04 / d = 502.0 ml, on the jug's lines 500.
    assert_eq!(plan.pour.dose.product, Volume::ml(500.0));
    assert_eq!(plan.pour.dose.water.as_ml(), 200.0);
    assert_eq!(plan.pour.in_band, InBand::Inside);
    // It is the fill of home, said and logged like any other.
    shift.mix([MixAction::MakeUp(part)]);
    assert_eq!((shift.bay().page(), shift.bay().part()), (Page::Fill, part));
    let Offer::Fill(home) = shift.bay().offer() else {
        panic!("{:?}", shift.bay().offer())
    };
    assert_eq!(home, plan);
    shift.around.ears.take();
    shift.act([Action::SayFill]);
    assert_eq!(
        shift.around.ears.said(),
        ["Lance 1: 500 ml product, then 200 ml water."]
    );
    shift.act([Action::Filled]);
    let fill = &shift.fills()[0];
    assert_eq!((fill.fill.as_ml(), fill.poured.as_ml()), (700.0, 500.0));
    assert_eq!(fill.how, FillHow::Fresh);
    assert_eq!(shift.bay().part(), Part::Full, "the next one is a full one");
}

#[test]
fn more_than_the_container_takes_is_parted_and_counts_are_typed() {
    let mut shift = Shift::new();
    shift.open(MixStage::Vehicles);
    shift.mix([MixAction::OneMore(1), MixAction::TypeCount(true)]);
    shift.type_in("9");
    assert_eq!(shift.bay().mixing().vehicles().count(1), 19);
    shift.type_in("9");
    assert_eq!(shift.bay().mixing().vehicles().count(1), 19, "no 199");
    shift.act([Action::Pad(PadKey::Back)]);
    shift.act([Action::Pad(PadKey::Back), Action::Pad(PadKey::Digit(8))]);
    // 8 · 4 L · d = 1785.03 ml: two of 820 and one of 145.03, on the cylinder's lines 150.
    let ForVehicles::Fills { fills, part, plan } = shift.bay().for_vehicles() else {
        panic!("{:?}", shift.bay().for_vehicles())
    };
    assert_eq!(
        (fills.full, fills.part, part),
        (2, Some(150), Part::Ml(150))
    );
    assert_eq!(plan.fill, Volume::ml(150.0));
    shift.mix([MixAction::MakeUp(Part::Full)]);
    assert_eq!(shift.bay().part(), Part::Full);
    // And back from typing, then out.
    shift.open(MixStage::Vehicles);
    shift.mix([MixAction::TypeCount(true)]);
    shift.act([Action::Back]);
    assert_eq!(shift.stage(), MixStage::Vehicles);
    shift.act([Action::Back]);
    assert_eq!(shift.stage(), MixStage::Choose);
    shift.act([Action::Back]);
    assert_eq!(shift.bay().page(), Page::Menu);
}

#[test]
fn without_what_a_vehicle_takes_there_is_no_amount() {
    let mut shift = Shift::of(|setup| setup.chemicals[0].spray_per_vehicle = None);
    shift.open(MixStage::Vehicles);
    shift.mix([MixAction::OneMore(0)]);
    assert_eq!(shift.bay().for_vehicles(), ForVehicles::NoSpray);
    assert_eq!(shift.bay().coverage_by_class(), None);
}

#[test]
fn vehicles_product_and_money_by_class() {
    let shift = Shift::new();
    let classes = shift.bay().coverage_by_class().expect("a coverage");
    let full = |share: f64| 14_700.0 / (4000.0 * share);
    for ((class, coverage), share) in classes.iter().zip([0.6, 1.0, 2.5]) {
        assert!((coverage.vehicles - full(share)).abs() < 1e-9, "{class:?}");
        // All that is poured lands on the vehicles: 590 ml.
        let product = coverage.vehicles * coverage.product_per_vehicle.as_ml();
        assert!((product - 590.0).abs() < 1e-6, "{product}");
        let cost = coverage.cost_per_vehicle.expect("a cost");
        assert!((cost * coverage.vehicles - 0.59 * 3.2).abs() < 1e-9);
    }
    // A bay without classes has usual vehicles.
    let shift = Shift::of(|setup| setup.vehicles.clear());
    let classes = shift.bay().coverage_by_class().expect("a coverage");
    assert_eq!(classes.len(), 1);
    assert!((classes[0].1.vehicles - full(1.0)).abs() < 1e-9);
}

// ---- Left-overs ------------------------------------------------------------------------------

#[test]
fn a_left_over_of_the_last_fill_is_made_up_again() {
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled]);
    shift.open(MixStage::Left);
    // Half of 820 as an eye sees it: 410 ml of 590 in 820.
    shift.mix([MixAction::AboutLeft(Part::Half)]);
    assert_eq!(shift.stage(), MixStage::TopUp, "the mix is known");
    assert_eq!(
        shift.bay().mixing().left_over().mix(),
        Some(MixOf::LastFill)
    );
    let addition = added(shift.bay().left_over_says());
    // Balance: 0.04/d · 820 − 410 · 590/820 = 293 ml, within half a line of the jug.
    let wanted = 0.04 / D * 820.0 - 410.0 * 590.0 / 820.0;
    let product = addition.pour.dose.product.as_ml();
    assert!((product - wanted).abs() <= 5.0, "{product} {wanted}");
    let all = 410.0 + product + addition.pour.dose.water.as_ml();
    assert!((all - 820.0).abs() < 1e-6);
    shift.around.ears.take();
    shift.mix([MixAction::Say]);
    let said = shift.around.ears.said().join("");
    assert!(said.starts_with("Lance 1, top up: 29"), "{said}");
    shift.mix([MixAction::Done]);
    assert_eq!(shift.bay().page(), Page::Fill);
    let fill = shift.fills().pop().expect("a fill");
    let left = Volume::ml(410.0);
    let FillHow::ToppedUp { left: was, product } = fill.how else {
        panic!("{fill:?}")
    };
    assert_eq!(was, left);
    assert!((product.as_ml() - 410.0 * 590.0 / 820.0).abs() < 1e-6);
    assert_eq!(fill.poured, addition.pour.dose.product);
    assert_eq!(fill.strength, addition.pour.strength);
    // Its strength is known again for the next one.
    shift.open(MixStage::Left);
    shift.mix([MixAction::AboutLeft(Part::Quarter)]);
    let LeftOverSays::Do { lands, .. } = shift.bay().left_over_says() else {
        panic!("{:?}", shift.bay().left_over_says())
    };
    let lands = lands.expect("some").as_fraction();
    assert!((lands / fill.strength.as_fraction() - 1.0).abs() < 1e-9);
    // And it can be taken back.
    shift.act([Action::Undo]);
    assert!(matches!(
        shift.kept().last(),
        Some(Happening::FillUndone(_))
    ));
}

#[test]
fn loads_and_typed_volumes_are_what_is_left() {
    let mut shift = Shift::new();
    shift.open(MixStage::Left);
    let load = |id: &str| MixAction::AddLoad(id.into());
    shift.mix([load("cylinder"), load("syringe"), load("syringe")]);
    shift.mix([MixAction::UndoLoad, load("jug")]);
    assert!(
        shift.notice().contains("more than it holds"),
        "{}",
        shift.notice()
    );
    shift.act([Action::CloseNotice]);
    shift.mix([MixAction::TakeLoads]);
    assert_eq!(
        shift.stage(),
        MixStage::WhichMix,
        "nobody knows what it is of"
    );
    shift.mix([MixAction::Of(MixOf::LastFill)]);
    assert_eq!(shift.stage(), MixStage::WhichMix);
    let left = shift.bay().mixing().left_over().left();
    assert_eq!(left, Some(Volume::ml(310.0)));
    shift.act([Action::Back]);
    shift.mix([MixAction::Open(MixStage::LeftTyped)]);
    shift.number("1200");
    assert_eq!(shift.stage(), MixStage::LeftTyped, "more than it holds");
    shift.act([Action::CloseNotice]);
    for _ in 0..4 {
        shift.act([Action::Pad(PadKey::Back)]);
    }
    shift.number("0.4");
    assert_eq!(shift.stage(), MixStage::WhichMix);
    shift.act([Action::Back]);
    shift.mix([MixAction::Open(MixStage::LeftTyped), MixAction::SwitchUnit]);
    shift.number("0.4");
    let left = shift.bay().mixing().left_over().left();
    assert_eq!(left, Some(Volume::ml(400.0)));
    // Of a ratio, of a strength, and of one that nothing here reaches.
    shift.mix([MixAction::Open(MixStage::StrengthTyped)]);
    shift.number("6");
    assert!(
        shift.notice().contains("never lands here"),
        "{}",
        shift.notice()
    );
    shift.act([Action::CloseNotice, Action::Back]);
    shift.mix([MixAction::Open(MixStage::RatioTyped)]);
    shift.number("1");
    let ratio = BottleRatio::parts_water(1.0).expect("a ratio");
    assert_eq!(
        shift.bay().mixing().left_over().mix(),
        Some(MixOf::Ratio(ratio))
    );
    // 0.04/d · 820 − 200 = 388 ml of product, 32 of water.
    let addition = added(shift.bay().left_over_says());
    assert_eq!(addition.pour.dose.product.as_ml(), 390.0);
    shift.mix([MixAction::Open(MixStage::StrengthTyped)]);
    shift.number("2.789");
    // 2.789 % is 1 + 1 to a hair.
    let again = added(shift.bay().left_over_says());
    assert_eq!(again.pour.dose.product.as_ml(), 390.0);
}

#[test]
fn too_much_product_is_poured_off_or_made_up_to_more() {
    let mut shift = Shift::new();
    shift.open(MixStage::Left);
    shift.mix([MixAction::AboutLeft(Part::Half)]);
    shift.mix([MixAction::Open(MixStage::RatioTyped)]);
    shift.number("0");
    // Neat, 410 ml: within the line that works. To 500 ml it does not.
    assert!(matches!(
        shift.bay().left_over_says(),
        LeftOverSays::Do {
            remedy: Remedy::Add(_),
            ..
        }
    ));
    shift.mix([MixAction::Open(MixStage::UpTo)]);
    shift.number("500");
    let LeftOverSays::Do {
        remedy: Remedy::PourOff { away, then, .. },
        ..
    } = shift.bay().left_over_says()
    else {
        panic!("{:?}", shift.bay().left_over_says())
    };
    // 0.04/d · 500 = 358.5 ml may stay; 51.5 go, up to the syringe's line.
    assert_eq!(away, Volume::ml(52.0));
    assert_eq!(then.to.volume, Volume::ml(358.0));
    assert!((then.fill.as_ml() - 500.0).abs() < 1e-6);
    assert_eq!(then.pour.in_band, InBand::Inside);
    // All of it makes 410 · d / 0.04 = 571.8 ml, which goes in: up to a line.
    let smallest = shift.bay().smallest_that_fits();
    assert_eq!(smallest, Some(Part::Ml(580)));
    shift.mix([MixAction::MakeSmallest]);
    let addition = added(shift.bay().left_over_says());
    assert!((addition.fill.as_ml() - 580.0).abs() < 1e-6);
    shift.mix([MixAction::Open(MixStage::UpTo), MixAction::ToTheLine]);
    assert_eq!(shift.bay().mixing().left_over().up_to(), Part::Full);
    // What is poured off is not in the fill that is logged.
    shift.mix([MixAction::Open(MixStage::UpTo)]);
    shift.number("500");
    shift.mix([MixAction::Done]);
    let fill = shift.fills().pop().expect("a fill");
    // It was neat product.
    let left = Volume::ml(358.0);
    let product = left;
    assert_eq!(fill.how, FillHow::ToppedUp { left, product });
}

#[test]
fn another_chemical_is_rinsed_out_never_topped_up() {
    let mut shift = Shift::of(|setup| {
        setup.chemicals[0].nature = fillcall::trade::chemical::Nature::Hypochlorite;
        setup.chemicals[1].never_with = vec!["degreaser".into()];
    });
    shift.act([
        Action::Show(Page::Fill),
        Action::Filled,
        Action::ChooseChemical("wheel".into()),
    ]);
    shift.open(MixStage::Left);
    assert_eq!(shift.stage(), MixStage::TopUp, "nothing is asked for");
    let LeftOverSays::NoFigure(NoFigure::Rinse(first)) = shift.bay().left_over_says() else {
        panic!("{:?}", shift.bay().left_over_says())
    };
    assert_eq!((first.was.as_str(), first.never), ("Film remover", None));
    let before = shift.kept().len();
    shift.mix([
        MixAction::Done,
        MixAction::Of(MixOf::LastFill),
        MixAction::Done,
    ]);
    assert_eq!(shift.kept().len(), before, "no way round it");
    // Nor is it a mispoured fill of the other one, nor a part for vehicles.
    shift.open(MixStage::Poured);
    let says = shift.bay().mispoured_says();
    assert!(
        matches!(says, MispouredSays::NoFigure(NoFigure::Rinse(_))),
        "{says:?}"
    );
    shift.open(MixStage::Vehicles);
    shift.mix([MixAction::OneMore(0)]);
    let says = shift.bay().for_vehicles();
    assert!(
        matches!(says, ForVehicles::NoFigure(NoFigure::Rinse(_))),
        "{says:?}"
    );
}

#[test]
fn a_disk_that_is_full_leaves_all_as_it_was() {
    let mut shift = Shift::new();
    shift.open(MixStage::Left);
    shift.mix([MixAction::AboutLeft(Part::Half)]);
    shift.mix([MixAction::Open(MixStage::RatioTyped)]);
    shift.number("1");
    shift.disk_fails(true);
    shift.mix([MixAction::Done]);
    assert_eq!(shift.stage(), MixStage::TopUp);
    assert_eq!(shift.bay().page(), Page::Mix);
    assert!(
        shift.notice().starts_with("What was added was not logged."),
        "{}",
        shift.notice()
    );
    shift.mispoured("700", None);
    shift.mix([MixAction::LogPoured]);
    assert_eq!(shift.bay().page(), Page::Mix);
    assert!(
        shift
            .notice()
            .starts_with("What was poured was not logged."),
        "{}",
        shift.notice()
    );
    assert!(shift.fills().is_empty());
    shift.disk_fails(false);
    shift.mix([MixAction::LogPoured]);
    assert_eq!(shift.fills().len(), 1);
}

// ---- Mispoured -------------------------------------------------------------------------------

#[test]
fn a_dose_that_is_near_enough_is_used_and_logged_as_it_was() {
    let mut shift = Shift::new();
    shift.mispoured("720", None);
    let MispouredSays::Lands {
        strength,
        in_band,
        remedy,
        ..
    } = shift.bay().mispoured_says()
    else {
        panic!("{:?}", shift.bay().mispoured_says())
    };
    // 720/820 · d.
    assert!((strength.as_fraction() - 720.0 / 820.0 * D).abs() < 1e-12);
    assert_eq!((in_band, remedy), (InBand::Inside, None));
    shift.mix([MixAction::Done]);
    assert!(shift.fills().is_empty(), "nothing is to be added");
    shift.mix([MixAction::LogPoured]);
    let fill = &shift.fills()[0];
    let meant = Volume::ml(590.0);
    assert_eq!(fill.how, FillHow::Mispoured { meant });
    assert_eq!((fill.poured.as_ml(), fill.water.as_ml()), (720.0, 100.0));
    assert_eq!(fill.strength, strength);
}

#[test]
fn what_leaves_the_band_is_said_and_put_right() {
    let mut shift = Shift::new();
    shift.around.ears.take();
    // 450 ml in 500: 5.02 %, above the band; there is room for water.
    shift.mispoured("450", Some("500"));
    let said = shift.around.ears.said();
    let last = said.last().expect("said");
    assert!(
        last.starts_with("Lance 1: do not use, strength 5.02 %"),
        "{last}"
    );
    assert!(
        last.contains("Top up: ") && last.contains("ml water"),
        "{last}"
    );
    let MispouredSays::Lands {
        in_band: InBand::Above,
        remedy: Some(Remedy::Add(addition)),
        ..
    } = shift.bay().mispoured_says()
    else {
        panic!("{:?}", shift.bay().mispoured_says())
    };
    assert_eq!(addition.pour.dose.product, Volume::ZERO);
    // 450 · d / 0.04 = 627.6 ml in all.
    assert!((addition.fill.as_ml() - 627.6).abs() < 5.0, "{addition:?}");
    assert_eq!(addition.pour.in_band, InBand::Inside);
    shift.mix([MixAction::Done]);
    let fills = shift.fills();
    assert_eq!(fills.len(), 2, "what happened, and what put it right");
    assert!(matches!(fills[0].how, FillHow::Mispoured { .. }));
    let (left, product) = (Volume::ml(500.0), Volume::ml(450.0));
    assert_eq!(fills[1].how, FillHow::ToppedUp { left, product });
    assert_eq!(fills[1].strength, addition.pour.strength);
    // Kept as one, so that no power cut leaves a half of it, and taken back as one.
    assert_eq!(shift.kept().len(), 1, "{:?}", shift.kept());
    assert!(
        shift.notice().starts_with("450 ml logged, 13"),
        "{}",
        shift.notice()
    );
    shift.act([Action::Undo]);
    assert_eq!(shift.notice(), "Fill taken back");
    assert_eq!(shift.logged_fills(), []);
    assert_eq!(shift.bay().is_in("lance-1"), None);
    shift.act([Action::CloseNotice, Action::Undo]);
    assert_eq!(shift.kept().len(), 2, "nothing is left to take back");
}

#[test]
fn too_little_gets_product_where_there_is_room() {
    let mut shift = Shift::new();
    // 200 ml in 400: 2.79 %, below the band.
    shift.mispoured("200", Some("400"));
    let MispouredSays::Lands {
        in_band: InBand::Below,
        remedy: Some(Remedy::Add(addition)),
        ..
    } = shift.bay().mispoured_says()
    else {
        panic!("{:?}", shift.bay().mispoured_says())
    };
    // (200 + a)/(400 + a) = 0.04/d, so a = 307 ml: on a line of the jug.
    let fraction = 0.04 / D;
    let wanted = (fraction * 400.0 - 200.0) / (1.0 - fraction);
    let product = addition.pour.dose.product.as_ml();
    assert!((product - wanted).abs() <= 5.0, "{product} {wanted}");
    assert_eq!(addition.pour.dose.water, Volume::ZERO);
    assert_eq!(addition.pour.in_band, InBand::Inside);
}

#[test]
fn a_full_container_that_is_too_strong_is_poured_off() {
    let mut shift = Shift::new();
    shift.mispoured("780", None);
    let MispouredSays::Lands {
        in_band: InBand::Above,
        remedy: Some(Remedy::PourOff { away, then, .. }),
        ..
    } = shift.bay().mispoured_says()
    else {
        panic!("{:?}", shift.bay().mispoured_says())
    };
    // 820 · (0.04/d)/(780/820) = 618.1 ml may stay: 201.9 go, up to the cylinder's line.
    assert_eq!(away, Volume::ml(205.0));
    assert_eq!(
        then.pour.dose.product,
        Volume::ZERO,
        "a hair of product is left out"
    );
    assert_eq!(then.pour.in_band, InBand::Inside);
    // Logged as what happened, and nothing put right: the wall says so.
    shift.around.ears.take();
    shift.mix([MixAction::LogPoured]);
    assert!(shift.notice().contains("Do not use"), "{}", shift.notice());
    let said = shift.around.ears.said().join(" ");
    assert!(said.contains("do not use"), "{said}");
    assert_eq!(shift.fills().len(), 1);
    assert_eq!(shift.fills()[0].poured, Volume::ml(780.0));
}

#[test]
fn numbers_that_cannot_be_are_asked_about() {
    let mut shift = Shift::new();
    shift.mispoured("1100", None);
    assert_eq!(
        shift.stage(),
        MixStage::Level,
        "more product than there is in all"
    );
    shift.act([Action::CloseNotice]);
    shift.number("1090");
    assert!(
        shift.notice().contains("cannot be in"),
        "{}",
        shift.notice()
    );
    shift.act([Action::CloseNotice]);
    for _ in 0..4 {
        shift.act([Action::Pad(PadKey::Back)]);
    }
    shift.number("9999");
    assert!(
        shift.notice().contains("more than it holds"),
        "{}",
        shift.notice()
    );
    shift.act([Action::CloseNotice, Action::Back]);
    assert_eq!(shift.stage(), MixStage::Poured);
}

#[test]
fn the_fill_that_was_logged_by_mistake_is_taken_back_for_the_true_one() {
    let mut shift = Shift::new();
    shift.act([
        Action::Show(Page::Fill),
        Action::ChoosePart(Part::Half),
        Action::Filled,
    ]);
    let logged = shift.kept().len() as Entry;
    shift.around.clock.go_on(Duration::from_secs(180));
    shift.open(MixStage::Poured);
    assert!(shift.bay().mixing().mispour().replaces());
    // What was meant is what was logged, a half fill.
    let meant = shift.bay().meant().expect("something");
    assert_eq!((meant.product.as_ml(), meant.fill.as_ml()), (290.0, 410.0));
    shift.number("310");
    shift.mix([MixAction::LogPoured]);
    let fill = shift.fills().pop().expect("a fill");
    let meant = Volume::ml(290.0);
    assert_eq!(fill.how, FillHow::Mispoured { meant });
    let kept = shift.kept().pop();
    assert_eq!(
        kept,
        Some(Happening::Mispoured {
            fill: fill.clone(),
            instead_of: Some(logged),
            added: None,
        })
    );
    assert_eq!(shift.logged_fills(), [fill]);
    // Not where that was left alone, where vehicles were washed with it, or long ago.
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled]);
    shift.open(MixStage::Poured);
    shift.mix([MixAction::Replace(false)]);
    shift.number("700");
    shift.mix([MixAction::LogPoured]);
    let undone = |shift: &Shift| {
        let kept = shift.kept();
        kept.iter().any(|what| {
            matches!(
                what,
                Happening::Mispoured {
                    instead_of: Some(_),
                    ..
                }
            )
        })
    };
    assert!(!undone(&shift));
    assert_eq!(shift.fills().len(), 2);
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled, Action::WashDone]);
    shift.open(MixStage::Poured);
    assert!(!shift.bay().mixing().mispour().replaces());
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled]);
    shift.around.clock.go_on(Duration::from_secs(16 * 60));
    shift.open(MixStage::Poured);
    assert!(shift.bay().logged_just_now().is_none());
}

#[test]
fn without_the_mispoured_fill_the_one_before_it_stands_again() {
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled]);
    let first = shift.logged_fills();
    shift.around.clock.go_on(Duration::from_secs(60));
    // Too strong: put right at once.
    shift.open(MixStage::Poured);
    shift.number("780");
    shift.mix([MixAction::Done]);
    assert_eq!(shift.logged_fills().len(), 2, "in place of the first");
    shift.act([Action::Undo]);
    assert_eq!(shift.logged_fills(), first);
    // The container is full of it, and that is known.
    assert_eq!(shift.bay().is_in("lance-1").as_deref(), Some("film"));
    shift.open(MixStage::Left);
    let last = shift.bay().mixing().last().expect("the first fill");
    assert_eq!(last.fill, first[0]);
    shift.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("wheel".into()),
    ]);
    assert!(matches!(shift.bay().offer(), Offer::Rinse(_)));
}

#[test]
fn of_a_mispoured_fill_all_is_kept_or_nothing() {
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled]);
    let first = shift.logged_fills();
    shift.open(MixStage::Poured);
    shift.number("780");
    shift.disk_fails(true);
    shift.mix([MixAction::Done]);
    assert_eq!(shift.logged_fills(), first);
    assert_eq!(shift.stage(), MixStage::Mispoured, "it can be tried again");
    shift.disk_fails(false);
    shift.mix([MixAction::Done]);
    assert_eq!(shift.logged_fills().len(), 2);
}

#[test]
fn what_is_left_is_asked_of_the_records_without_their_whole_log() {
    let mut shift = Shift::new();
    shift.act([Action::Show(Page::Fill), Action::Filled]);
    for stage in [MixStage::Left, MixStage::Poured] {
        shift.open(stage);
        assert!(shift.bay().mixing().last().is_some());
    }
    assert_eq!(shift.around.records.0.borrow().logs_read, 0);
}

// ---- Never above the band --------------------------------------------------------------------

/// A bay with narrow bands: film 3.9 to 4.02 %, wheel by its label 1 + 10, which lands at 0.51 % with
/// the lance and at 9.1 % with the pump.
fn narrow(setup: &mut Setup, measures: &[&str]) {
    let band = |least, most| {
        Some(Band {
            least: percent(least),
            most: percent(most),
        })
    };
    setup.chemicals[0].band = band(3.9, 4.02);
    setup.chemicals[1].band = band(0.3, 1.0);
    setup.measures = [
        measure("syringe", "60 ml syringe", 60.0, 1.0),
        measure("cylinder", "250 ml cylinder", 250.0, 5.0),
        measure("jug", "1 litre jug", 1000.0, 10.0),
        measure("bucket", "Bucket", 5000.0, 100.0),
    ]
    .into_iter()
    .filter(|measure| measures.contains(&measure.id.as_str()))
    .collect();
}

#[test]
fn a_dose_that_rounds_above_the_band_is_rounded_down_or_poured_finer() {
    // 138 ml: 99.0 ml would be right, and 100 lands at 4.04 %.
    let mut shift = Shift::of(|setup| narrow(setup, &["jug"]));
    shift.act([Action::Show(Page::Fill), Action::ChoosePart(Part::Ml(138))]);
    let Offer::Fill(plan) = shift.bay().offer() else {
        panic!("{:?}", shift.bay().offer())
    };
    assert_eq!(plan.pour.dose.product, Volume::ml(90.0));
    assert_eq!(plan.pour.in_band, InBand::Below);
    let mut shift = Shift::of(|setup| narrow(setup, &["syringe", "jug"]));
    shift.act([Action::Show(Page::Fill), Action::ChoosePart(Part::Ml(138))]);
    let Offer::Fill(plan) = shift.bay().offer() else {
        panic!("{:?}", shift.bay().offer())
    };
    // In the syringe 99 ml, inside.
    assert_eq!(plan.pour.dose.product, Volume::ml(99.0));
    assert_eq!(plan.pour.in_band, InBand::Inside);
    // 134 ml in the bucket of 100 ml lines alone: 96 ml would be right, 100 are too much, 0 no dose.
    let mut shift = Shift::of(|setup| narrow(setup, &["bucket"]));
    shift.act([
        Action::Show(Page::Fill),
        Action::ChoosePart(Part::Ml(134)),
        Action::Filled,
    ]);
    let offer = shift.bay().offer();
    assert!(matches!(offer, Offer::Unmeasurable { .. }), "{offer:?}");
    assert_eq!(shift.fills(), []);
    assert_eq!(shift.notice(), "There is no figure to fill by.");
}

#[test]
fn a_label_that_lands_above_the_band_is_no_figure() {
    let mut shift = Shift::of(|setup| narrow(setup, &["syringe", "jug"]));
    shift.act([
        Action::Show(Page::Fill),
        Action::ChooseChemical("wheel".into()),
    ]);
    assert!(matches!(shift.bay().offer(), Offer::Fill(_)), "the lance");
    // What is chosen is chosen for one sprayer.
    shift.act([
        Action::ChooseSprayer("pump".into()),
        Action::ChooseChemical("wheel".into()),
    ]);
    let offer = shift.bay().offer();
    let Offer::AboveBand { lands, most } = offer else {
        panic!("{offer:?}")
    };
    assert!((lands.as_percent() - 100.0 / 11.0).abs() < 1e-9);
    assert_eq!(most, percent(1.0));
    shift.around.ears.take();
    shift.act([Action::SayFill, Action::Filled]);
    let said = shift.around.ears.said().join(" ");
    assert!(said.contains("do not use, strength 9.09 %"), "{said}");
    assert_eq!(shift.fills(), []);
    shift.open(MixStage::Left);
    let says = shift.bay().left_over_says();
    let expected = NoFigure::AboveBand { lands, most };
    assert_eq!(says, LeftOverSays::NoFigure(expected));
}

#[derive(Debug, Clone)]
enum Does {
    Acts(Action),
    Mixes(MixAction),
    /// So much of a ratio of that was left, made up to so much.
    TopsUp(Part, u32, Part),
    /// So much product was poured.
    Mispours(u32, bool),
}

fn does() -> impl Strategy<Value = Does> {
    let part = || {
        prop_oneof![
            prop::sample::select(Part::ALL.to_vec()),
            (1..820u32).prop_map(Part::Ml),
        ]
    };
    let chemical = prop::sample::select(vec!["film", "wheel"]);
    let sprayer = prop::sample::select(vec!["lance-1", "pump"]);
    prop_oneof![
        2 => sprayer.prop_map(|id| Does::Acts(Action::ChooseSprayer(id.into()))),
        1 => chemical.prop_map(|id| Does::Acts(Action::ChooseChemical(id.into()))),
        1 => Just(Does::Acts(Action::Day(DayAction::Rinsed))),
        6 => part().prop_map(|part| Does::Acts(Action::ChoosePart(part))),
        8 => Just(Does::Acts(Action::Filled)),
        2 => part().prop_map(|part| Does::Mixes(MixAction::MakeUp(part))),
        3 => (part(), 0..20u32, part()).prop_map(|(left, n, to)| Does::TopsUp(left, n, to)),
        2 => (1..820u32, any::<bool>()).prop_map(|(ml, right)| Does::Mispours(ml, right)),
        1 => Just(Does::Acts(Action::Undo)),
    ]
}

fn measures() -> impl Strategy<Value = Vec<&'static str>> {
    prop::sample::subsequence(vec!["syringe", "cylinder", "jug", "bucket"], 1..=4)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// With a lance and with a pump sprayer, whatever is done: what an operator logs as a fill never
    /// lands above the band. What was poured by mistake is logged as it was, and said not to be used.
    #[test]
    fn no_operator_logs_a_fill_above_the_band(
        measures in measures(),
        all in prop::collection::vec(does(), 1..25),
    ) {
        let mut shift = Shift::of(|setup| narrow(setup, &measures));
        shift.act([Action::Show(Page::Fill)]);
        for does in all {
            match &does {
                Does::Acts(action) => shift.act([action.clone()]),
                Does::Mixes(action) => {
                    shift.open(MixStage::Vehicles);
                    shift.mix([action.clone()]);
                    shift.act([Action::Filled]);
                }
                Does::TopsUp(left, n, to) => {
                    shift.open(MixStage::Left);
                    shift.mix([MixAction::AboutLeft(*left)]);
                    let ratio = BottleRatio::parts_water(f64::from(*n)).expect("a ratio");
                    shift.mix([MixAction::Of(MixOf::Ratio(ratio))]);
                    if let Part::Ml(ml) = to {
                        shift.mix([MixAction::Open(MixStage::UpTo)]);
                        shift.number(&ml.to_string());
                    }
                    shift.mix([MixAction::Done]);
                }
                Does::Mispours(ml, right) => {
                    shift.mispoured(&ml.to_string(), None);
                    shift.mix([match right {
                        true => MixAction::Done,
                        false => MixAction::LogPoured,
                    }]);
                }
            }
            for fill in shift.fills() {
                let chemical = shift.bay().setup().chemical(&fill.chemical).expect("of it");
                let mistake = matches!(fill.how, FillHow::Mispoured { .. });
                let above = InBand::of(chemical, fill.strength) == InBand::Above;
                prop_assert!(mistake || !above, "{:?}: {:?}", does, fill);
            }
        }
    }
}

// ---- What have I got -------------------------------------------------------------------------

#[test]
fn a_ratio_or_volumes_come_to_a_strength() {
    let mut shift = Shift::new();
    shift.open(MixStage::Got);
    assert_eq!(shift.bay().got_says(), GotSays::Ask);
    shift.type_in("10");
    let GotSays::Lands {
        strength, in_band, ..
    } = shift.bay().got_says()
    else {
        panic!("{:?}", shift.bay().got_says())
    };
    // d/(1 + 10), design section 3.
    assert!((strength.as_fraction() - D / 11.0).abs() < 1e-12);
    assert_eq!(in_band, InBand::Below);
    shift.mix([MixAction::Field(GotField::Product)]);
    assert_eq!(shift.bay().got_says(), GotSays::Ask);
    shift.type_in("590");
    shift.mix([MixAction::Field(GotField::All)]);
    shift.type_in("82");
    assert_eq!(shift.bay().got_says(), GotSays::TooMuch);
    shift.type_in("0");
    let GotSays::Lands {
        strength, in_band, ..
    } = shift.bay().got_says()
    else {
        panic!("{:?}", shift.bay().got_says())
    };
    assert!((strength.as_fraction() - 590.0 / 820.0 * D).abs() < 1e-12);
    assert_eq!(in_band, InBand::Inside);
    // In ounces the same of the same volumes.
    let mut ounces = Shift::of(|setup| setup.entry_units = EntryUnits::Us);
    ounces.open(MixStage::Got);
    ounces.mix([MixAction::Field(GotField::Product)]);
    ounces.type_in("5.9");
    ounces.mix([MixAction::Field(GotField::All)]);
    ounces.type_in("8.2");
    let GotSays::Lands { strength: same, .. } = ounces.bay().got_says() else {
        panic!("{:?}", ounces.bay().got_says())
    };
    assert!((same.as_fraction() - strength.as_fraction()).abs() < 1e-9);
}

#[test]
fn the_published_recipe_in_two_stages() {
    // CDC Stacks 25805 (the recipe; the result by calculation): 2.6 % at 1 + 4 is 0.52 %. A direct
    // sprayer puts on the vehicle what is in it.
    let mut shift = Shift::of(|setup| setup.chemicals[0].product_strength = percent(2.6));
    shift.act([
        Action::Show(Page::Fill),
        Action::ChooseSprayer("pump".into()),
    ]);
    shift.open(MixStage::Got);
    shift.type_in("4");
    let GotSays::Lands { strength, .. } = shift.bay().got_says() else {
        panic!("{:?}", shift.bay().got_says())
    };
    assert!((strength.as_percent() - 0.52).abs() < 1e-12);
}

// ---- No figure -------------------------------------------------------------------------------

#[test]
fn without_a_calibration_that_applies_nothing_has_a_figure() {
    let check = |shift: &mut Shift, why: &NoFigure| {
        shift.open(MixStage::Vehicles);
        shift.mix([MixAction::OneMore(0)]);
        assert_eq!(
            shift.bay().for_vehicles(),
            ForVehicles::NoFigure(why.clone())
        );
        assert_eq!(shift.bay().coverage_by_class(), None);
        shift.open(MixStage::Left);
        assert_eq!(shift.stage(), MixStage::TopUp);
        assert_eq!(
            shift.bay().left_over_says(),
            LeftOverSays::NoFigure(why.clone())
        );
        shift.open(MixStage::Poured);
        assert_eq!(shift.stage(), MixStage::Mispoured);
        assert_eq!(
            shift.bay().mispoured_says(),
            MispouredSays::NoFigure(why.clone())
        );
        shift.open(MixStage::Got);
        shift.type_in("10");
        assert_eq!(shift.bay().got_says(), GotSays::NoFigure(why.clone()));
        let before = shift.kept().len();
        shift.around.ears.take();
        for stage in [MixStage::TopUp, MixStage::Mispoured, MixStage::Vehicles] {
            shift.open(stage);
            shift.mix([
                MixAction::Say,
                MixAction::Done,
                MixAction::LogPoured,
                MixAction::MakeUp(Part::Ml(400)),
            ]);
        }
        assert_eq!(shift.kept().len(), before);
        let heard = shift.around.ears.take();
        assert!(
            !heard.iter().any(|h| matches!(h, Heard::Said(_))),
            "{heard:?}"
        );
    };
    let mut shift = Shift::new();
    shift.act([
        Action::Show(Page::Fill),
        Action::ChooseSprayer("lance-2".into()),
    ]);
    check(&mut shift, &NoFigure::Uncalibrated);
    let mut shift = Shift::new();
    shift.is_void();
    check(&mut shift, &NoFigure::Void(VoidCause::Nozzle));
}

#[test]
fn who_leaves_it_open_finds_home_again() {
    let mut shift = Shift::new();
    shift.open(MixStage::Vehicles);
    shift.mix([MixAction::OneMore(0)]);
    // Measuring what is left takes its time.
    shift.around.clock.go_on(Duration::from_secs(9 * 60));
    shift.act([Action::Tick]);
    assert_eq!(shift.bay().page(), Page::Mix);
    shift.around.clock.go_on(Duration::from_secs(61));
    shift.act([Action::Tick]);
    assert_eq!(shift.bay().page(), Page::Fill);
    assert_eq!(shift.bay().part(), Part::Full, "nothing was taken");
}
