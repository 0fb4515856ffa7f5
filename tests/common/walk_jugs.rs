//! The walk past jugs: in ounces, coarse, and too coarse for any figure.

use super::walk::Seen;
use super::window::window_of;
use super::{Around, measure, percent, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::mixing::{MixAction, MixStage};
use fillcall::bay::records::{CalibrationRecord, SprayerPast};
use fillcall::bay::setup::{Profile, Setup};
use fillcall::trade::calibration::{Calibration, Container, Run};
use fillcall::trade::chemical::{Band, Target};
use fillcall::trade::fill_plan::Part;
use fillcall::trade::measure::Measure;
use fillcall::trade::units::{ML_PER_US_FL_OZ, Volume};
use std::time::Duration;

/// What the lance here holds and a run of it catches, in ml: it draws 6 %.
pub const HOLDS: f64 = 30.0 * ML_PER_US_FL_OZ;
const CATCH: f64 = HOLDS / 0.06;

/// A bay with one calibrated lance, these measures, and a film remover of so many percent, whose band is
/// so wide either way.
pub fn bay_of(
    profile: Profile,
    percents: f64,
    width: Option<f64>,
    measures: Vec<Measure>,
) -> (Setup, Around) {
    let mut setup = setup(profile);
    setup.measures = measures;
    setup.chemicals[0].target = Target::OnVehicle(percent(percents));
    setup.chemicals[0].band = width.map(|width| Band {
        least: percent(percents * (1.0 - width)),
        most: percent(percents * (1.0 + width)),
    });
    setup.sprayers[0].holds = Volume::ml(HOLDS);
    let around = Around::default();
    let run = Run::dry(
        Volume::ml(HOLDS),
        Volume::ml(CATCH),
        Duration::from_secs(90),
    );
    let record = CalibrationRecord {
        sprayer: "lance-1".into(),
        nozzle: setup.sprayers[0].nozzle.clone(),
        washer: setup.sprayers[0].washer.clone(),
        dial: None,
        calibration: Calibration::of(Container::measured(Volume::ml(HOLDS)), &[run; 3])
            .expect("runs"),
        taken: around.clock.now().wall,
    };
    let past = SprayerPast {
        calibration: Some(record),
        ..SprayerPast::default()
    };
    let mut kept = around.records.0.borrow_mut();
    kept.past.sprayers.insert("lance-1".into(), past);
    drop(kept);
    (setup, around)
}

/// The same on the smallest panel.
pub fn bay(percents: f64, width: Option<f64>, measures: Vec<Measure>) -> (Setup, Around) {
    bay_of(Profile::Seven800, percents, width, measures)
}

/// Percent on the vehicle for so many ml of product.
pub fn percents_for(ml: f64) -> f64 {
    ml / HOLDS * 6.0
}

pub fn jug() -> Measure {
    measure("jug", "1 litre jug", 1000.0, 10.0)
}

pub fn quart(size: &str, lines: &str) -> Measure {
    Measure {
        size: Volume::parse(size).expect(size),
        graduation: Volume::parse(lines).expect(lines),
        ..measure("jug", "quart jug", 0.0, 0.0)
    }
}

/// Home and what hangs on it, with jugs of other units and lines.
pub fn jugs(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let ounces = |n: f64| percents_for(n * ML_PER_US_FL_OZ);
    let us = || vec![quart("32 US fl oz", "0.5 US fl oz")];
    let bays = [
        ("ounces", ounces(12.4), us()),
        ("one-ounce", ounces(8.0), us()),
        ("coarse", percents_for(72.0), vec![jug()]),
        (
            "coarse-finer",
            percents_for(72.0),
            vec![measure("cup", "10 ml cup", 10.0, 0.5), jug()],
        ),
        ("unreadable", percents_for(10.2), vec![jug()]),
    ];
    for (name, percents, measures) in bays {
        let (setup, around) = bay_of(profile, percents, Some(0.3), measures);
        let window = window_of(setup, &around);
        let mut see = |page: &str| {
            let name = format!("jug-{name}{page}");
            let (name, window) = (name.as_str(), &window);
            look(Seen { name, window });
        };
        see("");
        for (page, name) in [
            (Page::Care, "-care"),
            (Page::Sure, "-sure"),
            (Page::Sprayers, "-sprayers"),
            (Page::Parts, "-parts"),
        ] {
            window.act([Action::Show(Page::Fill), Action::Show(page)]);
            see(name);
        }
        window.act([
            Action::Show(Page::Fill),
            Action::Show(Page::Mix),
            Action::Mix(MixAction::Open(MixStage::Vehicles)),
            Action::Mix(MixAction::OneMore(0)),
            Action::Mix(MixAction::OneMore(0)),
        ]);
        see("-vehicles");
        window.act([
            Action::Mix(MixAction::Open(MixStage::Left)),
            Action::Mix(MixAction::AboutLeft(Part::Quarter)),
            Action::Mix(MixAction::Open(MixStage::StrengthTyped)),
        ]);
        window.act(super::hands::keys("0.1"));
        window.act([Action::Mix(MixAction::Next)]);
        see("-left-over");
    }
    // What is in a direct sprayer is as sure as its measure.
    let (setup, around) = bay_of(profile, 4.0, Some(0.3), vec![jug()]);
    let window = window_of(setup, &around);
    window.act([
        Action::ChooseSprayer("pump".into()),
        Action::Show(Page::Care),
        Action::Show(Page::Sure),
    ]);
    look(Seen {
        name: "sure-direct",
        window: &window,
    });
}
