//! How a sprayer's calibration stands, and what can be done about it.

use super::generated::{CareView, Fact};
use super::models::{fact, update};
use super::tongue::tr;
use super::wall::Hands;
use super::words::{date, finer_measure, landing_plus_minus, one_in, washes, with_plus_minus};
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::trade::fill_plan::holds;
use crate::trade::reminder::{Standing, VoidCause};
use crate::trade::units::{Strength, Volume, trim_number};

fn headline(bay: &Bay) -> String {
    let sprayer = bay.sprayer();
    let limits = &bay.setup().limits;
    let age = bay.age(&sprayer.id).map_or(0, |age| age.washes);
    if sprayer.kind.is_direct() {
        return tr!("No calibration needed.");
    }
    match bay.standing(sprayer) {
        Standing::None if bay.damage_of(&sprayer.id).is_some() => {
            tr!("Records damaged: no figure.")
        }
        Standing::None => tr!("Never calibrated: no figure yet."),
        Standing::Good => tr!("Good: {} of {} washes.", age, limits.washes),
        Standing::Due => tr!("Due: {} of {}.", age, limits.washes),
        Standing::Overdue => tr!("Overdue: {} of {}.", age, limits.washes),
        Standing::Void(VoidCause::Nozzle) => tr!("Void: nozzle changed."),
        Standing::Void(VoidCause::Washer) => tr!("Void: washer changed."),
        Standing::Void(VoidCause::Supply) => tr!("Void: supply changed."),
        Standing::Void(VoidCause::Dial) => tr!("Void: dial changed."),
        Standing::Void(VoidCause::Filter) => tr!("Void: filter changed."),
        Standing::Void(VoidCause::Tube) => tr!("Void: tube changed."),
    }
}

fn facts(bay: &Bay) -> Vec<Fact> {
    let sprayer = bay.sprayer();
    let past = bay.past(&sprayer.id);
    // What no longer applies is not shown as if it did.
    let void = matches!(bay.standing(sprayer), Standing::Void(_));
    let mut facts = Vec::new();
    if let Some(record) = &past.calibration {
        facts.push(fact(&tr!("Washes since"), past.washes_since.to_string()));
        facts.push(fact(&tr!("Calibrated"), date(record.taken.date_naive())));
        let calibration = &record.calibration;
        if let Some(d) = calibration.draw_fraction().filter(|_| !void) {
            facts.push(fact(&tr!("Draws"), d.shown()));
        }
        facts.push(fact(
            &tr!("Holds"),
            bay.level_shown(holds(sprayer, Some(calibration))),
        ));
        if let Some(flows) = calibration.flows().filter(|_| !void) {
            facts.push(fact(&tr!("Flow"), flows.total.shown()));
        }
    } else {
        facts.push(fact(
            &tr!("Holds, by set-up"),
            bay.level_shown(sprayer.holds),
        ));
    }
    if !sprayer.kind.is_direct() {
        facts.push(fact(&tr!("Nozzle"), sprayer.nozzle.clone()));
        facts.push(fact(&tr!("Washer"), sprayer.washer.clone()));
        if let Some(dial) = &sprayer.dial {
            facts.push(fact(&tr!("Dial"), dial.clone()));
        }
    }
    if let (Offer::Fill(plan), false) = (bay.offer(), void) {
        let delivered = bay.chemical().product_strength;
        if delivered != Strength::NEAT {
            facts.push(fact(&tr!("Delivered as"), delivered.shown()));
        }
        if let Some(finer) = finer_measure(&plan) {
            facts.push(fact(&tr!("Better"), finer));
        }
        facts.push(fact(
            &tr!("On vehicle"),
            format!(
                "{}, {}",
                plan.pour.strength.shown(),
                one_in(plan.pour.strength)
            ),
        ));
        if let Some(sure) = bay.dose_uncertainty(&plan) {
            let unit = plan.pour.measure.unit();
            let number = |volume: Volume| volume.as_ml() / unit.ml();
            let dose = plan.exact.product;
            let (dose, sure) = with_plus_minus(number(dose), number(sure.expanded(dose)));
            let dose = format!("{dose} ± {sure} {}", unit.sign());
            facts.push(fact(&tr!("Mean dose"), dose));
        }
        if let Some(plus_minus) = landing_plus_minus(bay, &plan) {
            facts.push(fact(&tr!("One fill lands"), plus_minus));
        }
        if let Some(coverage) = plan.coverage {
            let vehicles = trim_number(coverage.vehicles, 1);
            let value = match coverage.cost_per_vehicle {
                None => vehicles,
                Some(cost) => tr!("{}, {} each", vehicles, bay.setup().money(cost)),
            };
            facts.push(fact(&tr!("Vehicles a fill"), value));
        }
    }
    facts
}

/// Shows the bay on the care screens.
pub fn show(bay: &Bay, view: &CareView) {
    let sprayer = bay.sprayer();
    view.set_sprayer(sprayer.name.as_str().into());
    view.set_headline(headline(bay).into());
    if let Some(new) = update(view.get_facts(), facts(bay)) {
        view.set_facts(new);
    }
    let direct = sprayer.kind.is_direct();
    view.set_may_calibrate(!direct || bay.calibrating().is_some());
    view.set_calibrate_text(match bay.draft_sprayer() {
        Some(of) if of.id == sprayer.id => tr!("Go on calibrating").into(),
        Some(of) => tr!("Go on: {}", &of.name).into(),
        None => tr!("Calibrate").into(),
    });
    view.set_may_change(!direct);
    let limits = &bay.setup().limits;
    let may = bay.may_put_off();
    view.set_may_put_off(may.is_some());
    view.set_may_throw_away(may.is_none() && bay.calibrating().is_some());
    let note = match (may, bay.standing(sprayer)) {
        (Some(_), _) => washes(limits.put_off_washes),
        (None, _) if bay.nags(sprayer) => tr!("no more"),
        (None, Standing::Void(_)) => tr!("it is void"),
        (None, Standing::None) if !direct => tr!("no figure"),
        (None, _) => tr!("not due"),
    };
    view.set_put_off_note(note.into());
}

/// What is pressed on the care screens.
pub fn connect(view: &CareView, hands: &Hands) {
    // An unfinished one is gone on with; a new one begins with how it is done.
    view.on_calibrate(hands.on_bay(|bay| match bay.calibrating() {
        Some(_) => Action::Calibrate,
        None => Action::Show(Page::Ways),
    }));
    view.on_throw_away(hands.on(|| Action::ThrowAway));
    view.on_put_off(hands.on(|| Action::PutOff));
    view.on_open_changed(hands.on(|| Action::Show(Page::Changed)));
    view.on_changed_nozzle(hands.on(|| Action::Changed(VoidCause::Nozzle)));
    view.on_changed_washer(hands.on(|| Action::Changed(VoidCause::Washer)));
    view.on_changed_supply(hands.on(|| Action::Changed(VoidCause::Supply)));
    view.on_changed_dial(hands.on(|| Action::Changed(VoidCause::Dial)));
    view.on_changed_filter(hands.on(|| Action::Changed(VoidCause::Filter)));
    view.on_changed_tube(hands.on(|| Action::Changed(VoidCause::Tube)));
}
