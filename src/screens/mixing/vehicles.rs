//! A fill for so many vehicles, and how far a full one goes.

use super::super::generated::{MixClass, MixPage, MixRow};
use super::super::models::fact;
use super::super::tongue::{shown as text, tr};
use super::super::words::finer_measure;
use super::reasons::{no_figure, way_out};
use super::{Pressed, Shown};
use crate::bay::at_work::Bay;
use crate::bay::mixing::{ForVehicles, MixAction, MixStage};
use crate::trade::fill_plan::Part;
use crate::trade::units::trim_number;
use crate::trade::vehicle::VehicleClass;

fn class_name(class: &VehicleClass) -> String {
    match class.name.is_empty() {
        true => tr!("Vehicles"),
        false => class.name.clone(),
    }
}

fn no_spray(bay: &Bay) -> String {
    tr!(
        "The set-up does not say how much spray a vehicle takes of {}. The shift lead sets it with the \
         chemical.",
        &bay.chemical().name
    )
}

pub fn count(bay: &Bay) -> Shown {
    let counts = bay.mixing().vehicles();
    let classes = bay.vehicle_classes();
    let title = match (counts.types(), classes.get(counts.picked())) {
        (true, Some(class)) => class_name(class),
        _ => tr!("For so many"),
    };
    let note = format!("{}, {}", bay.sprayer().name, bay.chemical().name);
    let mut shown = Shown::new(MixPage::Vehicles, title, note);
    shown.value = match counts.types() {
        true => counts.count(counts.picked()).to_string(),
        false => counts.all().to_string(),
    };
    let several = classes.len() > 1;
    shown.classes = classes
        .iter()
        .enumerate()
        .map(|(place, class)| MixClass {
            name: class_name(class).into(),
            count: counts.count(place).to_string().into(),
            picked: several && place == counts.picked() && counts.all() > 0,
        })
        .collect();
    shown.upper = vec![match counts.types() {
        true => Pressed::mix(tr!("Tap"), tr!("one by one"), MixAction::TypeCount(false)),
        false => {
            let each = MixAction::Open(MixStage::Coverage);
            Pressed::mix(tr!("Each"), tr!("per vehicle"), each)
        }
    }];
    match bay.for_vehicles() {
        ForVehicles::NoFigure(why) => {
            shown.words = no_figure(bay, &why);
            shown.lower = way_out(bay, &why);
        }
        ForVehicles::NoSpray => shown.words = no_spray(bay),
        ForVehicles::Nobody => {
            shown.words = match several {
                true => tr!("Tap a vehicle for each that is to be washed."),
                false => tr!("Tap for each vehicle that is to be washed."),
            };
        }
        ForVehicles::Fills { fills, part, plan } => {
            let amount = bay.level_shown(plan.fill);
            if fills.full > 0 {
                shown
                    .facts
                    .push(fact(&tr!("Full fills"), fills.full.to_string()));
            }
            // What is told of the measure takes its place: the button says how much it is.
            let told_of = plan.coarse || plan.pour.loads > 1;
            if fills.part.is_some() && !(told_of && fills.full == 0) {
                let name = if fills.full > 0 {
                    tr!("and one of")
                } else {
                    tr!("In all")
                };
                shown.facts.push(fact(&name, amount.clone()));
            }
            let pour = &plan.pour;
            let (product, water) = (pour.product_shown(), pour.water_shown());
            shown.facts.extend(match bay.chemical().is_water_first() {
                true => [
                    fact(&tr!("Water first"), water),
                    fact(&tr!("Then product"), product),
                ],
                false => [fact(&tr!("Product"), product), fact(&tr!("Water"), water)],
            });
            shown.facts.push(fact(&tr!("Lands"), pour.strength.shown()));
            if pour.loads > 1 {
                shown.words = text(&pour.measure_words());
            }
            if let Some(finer) = finer_measure(&plan) {
                shown.words = tr!("Coarse. Better: {}.", finer);
            }
            if fills.full > 0 && fills.part.is_some() {
                shown.lower.push(Pressed::mix(
                    tr!("Full"),
                    tr!("first"),
                    MixAction::MakeUp(Part::Full),
                ));
            }
            let words = match part {
                Part::Full => tr!("Full"),
                _ => amount,
            };
            let make = Pressed::mix(words, tr!("use this"), MixAction::MakeUp(part)).main();
            shown.lower.push(make);
        }
    }
    shown
}

pub fn coverage(bay: &Bay) -> Shown {
    let note = format!("{}, {}", bay.sprayer().name, bay.chemical().name);
    let mut shown = Shown::new(MixPage::Coverage, tr!("A full fill"), note);
    match bay.coverage_by_class() {
        Some(classes) => {
            shown.has_money = classes
                .iter()
                .any(|(_, coverage)| coverage.cost_per_vehicle.is_some());
            shown.rows = classes
                .iter()
                .map(|(class, coverage)| {
                    let product = coverage.product_per_vehicle;
                    let product = bay.unit_for(product).figure(product);
                    let money = coverage.cost_per_vehicle;
                    let money = money.map_or(String::new(), |cost| bay.setup().money(cost));
                    MixRow {
                        name: class_name(class).into(),
                        vehicles: trim_number(coverage.vehicles, 1).into(),
                        product: format!("{} {}", product.0, product.1).into(),
                        money: money.into(),
                    }
                })
                .collect();
        }
        None => {
            shown.words = match (bay.ground(), bay.chemical().spray_per_vehicle) {
                (Err(why), _) => no_figure(bay, &why),
                (Ok(_), None) => no_spray(bay),
                (Ok(_), Some(_)) => tr!("There is no figure for this fill: see home."),
            };
        }
    }
    shown
}
