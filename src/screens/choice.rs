//! The lists: sprayers, chemicals, parts of a container.

use super::generated::{Choice, ChoiceView, Mark};
use super::hazard::symbols;
use super::models::update;
use super::tongue::tr;
use super::wall::Hands;
use super::words::{mark_of, mark_of_offer, new_cause, part_name, stop_word, wanted_short, washes};
use crate::bay::action::Action;
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::trade::chemical::{Chemical, Target};
use crate::trade::fill_plan::Part;
use crate::trade::reminder::Standing;
use crate::trade::sprayer::Sprayer;

/// What is poured, or why nothing is.
fn dose_words(offer: &Offer) -> String {
    match (offer, stop_word(offer)) {
        (Offer::Fill(plan), _) => plan.pour.product_shown(),
        // What was changed stands in the note, where there is one.
        (Offer::Void { .. }, _) => tr!("Void"),
        (_, word) => word.unwrap_or_default(),
    }
}

/// The graver of what a sprayer's calibration and its offer ask for.
fn mark(bay: &Bay, sprayer: &Sprayer, offer: &Offer) -> Mark {
    match (mark_of_offer(offer), mark_of(bay, sprayer)) {
        (Mark::Stop, _) | (_, Mark::Stop) => Mark::Stop,
        (Mark::Due, _) | (_, Mark::Due) => Mark::Due,
        _ => Mark::None,
    }
}

/// How its calibration stands.
fn standing_note(bay: &Bay, sprayer: &Sprayer) -> String {
    let age = bay.age(&sprayer.id).map_or(0, |age| age.washes);
    match bay.standing(sprayer) {
        _ if sprayer.kind.is_direct() => tr!("no calibration"),
        Standing::None => tr!("never calibrated"),
        Standing::Good => washes(age),
        Standing::Due => tr!("{}: due", washes(age)),
        Standing::Overdue => tr!("{}: overdue", age),
        Standing::Void(cause) => new_cause(cause),
    }
}

/// What its set-up wants, in the width of a tile.
fn wanted_in_a_tile(chemical: &Chemical) -> String {
    match chemical.target {
        Target::OnVehicle(wanted) => tr!("wants {}", wanted.shown()),
        Target::Bottle(_) => wanted_short(chemical),
    }
}

fn sprayer_choice(bay: &Bay, sprayer: &Sprayer) -> Choice {
    let note = standing_note(bay, sprayer);
    // Not what the screen shows, where the shift lead set another one for it.
    let chemical = bay.chemical_for(&sprayer.id);
    let note = match chemical.id == bay.chemical().id {
        true => note,
        false => chemical.name.clone(),
    };
    let offer = bay.offer_for(sprayer, chemical, Part::Full);
    let coarse = matches!(&offer, Offer::Fill(plan) if plan.coarse);
    let note = match coarse {
        true => tr!("coarse measure"),
        false => note,
    };
    Choice {
        id: sprayer.id.as_str().into(),
        name: sprayer.name.as_str().into(),
        note: note.into(),
        figure: dose_words(&offer).into(),
        current: sprayer.id == bay.sprayer().id,
        mark: match mark(bay, sprayer, &offer) {
            Mark::None if coarse => Mark::Due,
            mark => mark,
        },
        enabled: true,
        ..Choice::default()
    }
}

/// A chemical (by id) for the sprayer in hand.
fn chemical_choice(bay: &Bay, id: &str) -> Choice {
    let sprayer = bay.sprayer();
    let chemical = bay.at_strength_in_force(&sprayer.id, id);
    let current = chemical.id == bay.chemical().id;
    let offer = bay.offer_for(sprayer, chemical, Part::Full);
    // Chosen it would be refused; what is in use is told at home.
    let beside = match current {
        true => None,
        false => bay.chosen_beside(&sprayer.id, &chemical.id),
    };
    let (figure, mark) = match &beside {
        Some(_) => (tr!("Never mix"), Mark::Stop),
        None => (dose_words(&offer), mark_of_offer(&offer)),
    };
    let note = match (&beside, &offer) {
        (Some(beside), _) => tr!("not by {}", &beside.other),
        (None, Offer::Rinse(first)) if first.never.is_some() => tr!("never: {}", &first.was),
        (None, _) if chemical.id == bay.days_chemical(&sprayer.id).id => tr!("the day's"),
        (None, _) => wanted_in_a_tile(chemical),
    };
    Choice {
        id: chemical.id.as_str().into(),
        name: chemical.name.as_str().into(),
        note: note.into(),
        figure: figure.into(),
        current,
        mark,
        enabled: true,
        symbols: symbols(chemical),
    }
}

/// Shows the bay on the lists.
pub fn show(bay: &Bay, view: &ChoiceView) {
    let setup = bay.setup();
    let sprayers = setup
        .sprayers
        .iter()
        .map(|s| sprayer_choice(bay, s))
        .collect();
    if let Some(new) = update(view.get_sprayers(), sprayers) {
        view.set_sprayers(new);
    }
    let reaching = bay.reaching().into_iter().map(|(sprayer, offer)| Choice {
        id: sprayer.id.as_str().into(),
        name: sprayer.name.as_str().into(),
        note: standing_note(bay, sprayer).into(),
        figure: dose_words(&offer).into(),
        mark: mark(bay, sprayer, &offer),
        enabled: true,
        ..Choice::default()
    });
    if let Some(new) = update(view.get_reaching(), reaching.collect()) {
        view.set_reaching(new);
    }
    let chemicals = setup
        .chemicals
        .iter()
        .map(|chemical| chemical_choice(bay, &chemical.id))
        .collect();
    if let Some(new) = update(view.get_chemicals(), chemicals) {
        view.set_chemicals(new);
    }
    let parts = Part::ALL
        .into_iter()
        .map(|part| {
            let offer = bay.offer_for(bay.sprayer(), bay.chemical(), part);
            let strength = match &offer {
                Offer::Fill(plan) => plan.pour.strength.shown(),
                _ => String::new(),
            };
            Choice {
                id: part.shown().into(),
                name: part_name(part).into(),
                note: strength.into(),
                figure: dose_words(&offer).into(),
                current: part == bay.part(),
                enabled: matches!(offer, Offer::Fill(_)),
                ..Choice::default()
            }
        })
        .collect();
    if let Some(new) = update(view.get_parts(), parts) {
        view.set_parts(new);
    }
}

/// What is pressed on the lists.
pub fn connect(view: &ChoiceView, hands: &Hands) {
    view.on_sprayer(hands.on_text(Action::ChooseSprayer));
    view.on_sprayer_for(hands.on_text(Action::ChooseSprayerFor));
    view.on_chemical(hands.on_text(Action::ChooseChemical));
    view.on_part(hands.on_text(|id| {
        let part = Part::ALL.into_iter().find(|part| part.shown() == id);
        Action::ChoosePart(part.unwrap_or_default())
    }));
}
