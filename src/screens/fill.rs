//! The fill screen: home.

use super::generated::{CareState, FillState, FillView};
use super::tongue::{shown, tr};
use super::wall::Hands;
use super::words::{
    above_band, cause_headline, finer_measure, landing_plus_minus, new_cause, one_to, part_in_bay,
    wanted_short, washes,
};
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::day::DayAction;
use crate::bay::offer::Offer;
use crate::trade::chemical::{Chemical, Target};
use crate::trade::days_strength::Allowed;
use crate::trade::fill_plan::{FillPlan, InBand, Part, holds};
use crate::trade::reminder::Standing;
use crate::trade::sprayer::Sprayer;
use crate::trade::units::{Strength, Volume, trim_number};

/// How a calibration stands, as the screens show it.
fn care_state(standing: Standing) -> CareState {
    match standing {
        Standing::None => CareState::None,
        Standing::Good => CareState::Good,
        Standing::Due => CareState::Due,
        Standing::Overdue => CareState::Overdue,
        Standing::Void(_) => CareState::Void,
    }
}

/// What the chemical's set-up wants on the vehicle, with its band.
fn wanted_words(chemical: &Chemical) -> String {
    match (chemical.target, chemical.band) {
        (Target::OnVehicle(wanted), Some(band)) => tr!(
            "{} on vehicle, {} to {}",
            wanted.shown(),
            band.least.shown().trim_end_matches(" %"),
            band.most.shown().trim_end_matches(" %")
        ),
        (_, None) | (Target::Bottle(_), _) => wanted_short(chemical),
    }
}

fn chemical_note(bay: &Bay, offer: &Offer) -> (String, bool) {
    let chemical = bay.chemical();
    let setting = bay.day_setting_for(&bay.sprayer().id);
    // With what, and why, stands under help.
    if bay.beside_never(&bay.sprayer().id).is_some() {
        return (tr!("never-mix pair"), true);
    }
    if let Some(setting) = setting.filter(|setting| setting.allowed != Allowed::Freely) {
        return super::day::set_note(chemical, setting);
    }
    if let Offer::Fill(plan) = offer
        && let Some(words) = rounding_words(plan)
    {
        return (words, true);
    }
    if bay.chemical_is_chosen() {
        return (tr!("not the day's"), true);
    }
    if let Some(setting) = setting {
        return super::day::set_note(chemical, setting);
    }
    if corrected(bay) {
        return (tr!("corrected dose"), false);
    }
    (wanted_words(chemical), false)
}

/// The dose shown is corrected for how its mix draws.
fn corrected(bay: &Bay) -> bool {
    bay.correction(&bay.sprayer().id, &bay.chemical().id)
        .is_some()
}

/// What is wrong with a dose as the measure can pour it; what would be better stands under Care.
fn rounding_words(plan: &FillPlan) -> Option<String> {
    match (plan.pour.in_band, plan.coarse) {
        (InBand::Below, _) => Some(tr!("below its band")),
        (_, true) => Some(tr!("coarse measure")),
        (_, false) => None,
    }
}

fn care_words(bay: &Bay, sprayer: &Sprayer) -> (String, String) {
    let age = bay.age(&sprayer.id).map_or(0, |age| age.washes);
    if sprayer.kind.is_direct() {
        return (tr!("As mixed"), tr!("no calibration"));
    }
    match bay.standing(sprayer) {
        // What asks for a calibration goes before a run that is not finished: both lead there.
        Standing::None | Standing::Good if unfinished(bay, sprayer) => {
            (tr!("Go on"), tr!("unfinished"))
        }
        Standing::None => (tr!("Not yet"), tr!("calibrated")),
        Standing::Good if corrected(bay) => (washes(age), tr!("dose corrected")),
        Standing::Good => (
            washes(age),
            tr!("calibrate at {}", bay.setup().limits.washes),
        ),
        Standing::Due | Standing::Overdue if !bay.nags(sprayer) => (washes(age), tr!("put off")),
        Standing::Due => (tr!("Due"), washes(age)),
        Standing::Overdue => (tr!("Overdue"), washes(age)),
        Standing::Void(cause) => (tr!("Void"), new_cause(cause)),
    }
}

/// A calibration of this sprayer was begun and neither saved nor thrown away.
fn unfinished(bay: &Bay, sprayer: &Sprayer) -> bool {
    bay.draft_sprayer().is_some_and(|of| of.id == sprayer.id)
}

/// What the container holds, and whether the set-up says something else by now: then the figures
/// are for a container that may no longer be there.
fn holds_note(bay: &Bay, sprayer: &Sprayer) -> (String, bool) {
    let known = holds(sprayer, bay.calibration(&sprayer.id));
    let differs = (known / sprayer.holds - 1.0).abs() > HOLDS_DIFFER;
    let note = match (bay.part(), differs) {
        (_, true) => tr!("set-up: {}", bay.level_shown(sprayer.holds)),
        (Part::Full, false) => tr!("holds {}", bay.level_shown(known)),
        (part, false) => {
            let part = part_in_bay(bay, part);
            tr!("{} of {}", part, bay.level_shown(known))
        }
    };
    (note, differs)
}

/// A container this far off its set-up is another container.
const HOLDS_DIFFER: f64 = 0.10;

fn detail(bay: &Bay, plan: &FillPlan) -> String {
    let mut parts = Vec::new();
    if let Some(plus_minus) = landing_plus_minus(bay, plan) {
        parts.push(tr!("one fill lands {}", plus_minus));
    }
    match (&plan.finer, finer_measure(plan)) {
        (Some(finer), _) => parts.push(tr!(
            "better: {} in {}",
            finer.product_shown(),
            shown(&finer.measure_words())
        )),
        (None, Some(lines)) => parts.push(tr!("better: {}", lines)),
        (None, None) => {}
    }
    if let Some(ratio) = plan.ratio {
        parts.push(ratio.shown());
    }
    parts.push(one_to(plan.pour.strength));
    if let Some(coverage) = plan.coverage {
        parts.push(tr!("{} vehicles", trim_number(coverage.vehicles, 1)));
        if let Some(cost) = coverage.cost_per_vehicle {
            let money = format!("{cost:.2} {}", bay.setup().currency);
            parts.push(tr!("{} each", money.trim_end()));
        }
    }
    parts.join("  ·  ")
}

/// Shows the bay on the fill screen.
pub fn show(bay: &Bay, view: &FillView) {
    let sprayer = bay.sprayer();
    let offer = bay.offer();
    let standing = bay.standing(sprayer);
    view.set_sprayer(sprayer.name.as_str().into());
    let (note, warns) = holds_note(bay, sprayer);
    view.set_sprayer_note(note.into());
    view.set_sprayer_warns(warns);
    view.set_chemical(bay.chemical().name.as_str().into());
    let (note, warns) = chemical_note(bay, &offer);
    view.set_chemical_note(note.into());
    view.set_chemical_warns(warns);
    view.set_care(match care_state(standing) {
        CareState::Good if unfinished(bay, sprayer) => CareState::Due,
        CareState::Overdue if !bay.nags(sprayer) => CareState::Due,
        state => state,
    });
    let (title, note) = care_words(bay, sprayer);
    view.set_care_title(title.into());
    view.set_care_note(note.into());
    view.set_part(part_in_bay(bay, bay.part()).into());
    match &offer {
        Offer::Rinse(first) => {
            view.set_state(FillState::Rinse);
            view.set_rinse_never(first.never.is_some());
            view.set_headline(super::day::rinse_headline(first).into());
            view.set_words(super::day::rinse_words(sprayer, first).into());
        }
        Offer::Uncalibrated => {
            view.set_state(FillState::Uncalibrated);
            view.set_headline(tr!("Not calibrated").into());
            view.set_words(
                tr!("No figure yet. Run it dry once into a bucket: it takes a few minutes.").into(),
            );
        }
        Offer::OutOfReach { wanted, strongest } => {
            view.set_state(FillState::OutOfReach);
            view.set_headline(tr!("Out of reach").into());
            view.set_words(out_of_reach_words(bay, *wanted, *strongest).into());
        }
        Offer::Unmeasurable { dose } => {
            view.set_state(FillState::OutOfReach);
            view.set_headline(tr!("Too little").into());
            view.set_words(unmeasurable_words(bay, *dose).into());
        }
        Offer::AboveBand { lands, most } => {
            view.set_state(FillState::OutOfReach);
            view.set_headline(tr!("Too strong").into());
            view.set_words(above_band(*lands, *most).into());
        }
        Offer::Void { cause, old } => {
            view.set_headline(cause_headline(*cause).into());
            view.set_words(tr!("The old figure no longer applies.").into());
            view.set_state(match old {
                Some(plan) => {
                    show_figures(bay, plan, view);
                    FillState::Void
                }
                // Nothing to cross out: as for a sprayer that was never calibrated.
                None => FillState::Uncalibrated,
            });
        }
        Offer::Fill(plan) => {
            show_figures(bay, plan, view);
            view.set_state(FillState::Ready);
        }
    }
}

fn unmeasurable_words(bay: &Bay, dose: Volume) -> String {
    let right = bay.shown(dose);
    let what = tr!("{} would be right: no measure here shows that.", right);
    let then = match bay.dilution_for(dose) {
        Some(thin) => super::insight::thin_words(bay, &thin),
        None => tr!("Take a finer measure, or ask the shift lead."),
    };
    format!("{what} {then}")
}

fn out_of_reach_words(bay: &Bay, wanted: Strength, strongest: Strength) -> String {
    let chemical = bay.chemical();
    let would: Vec<_> = bay
        .reached_by(chemical)
        .iter()
        .map(|s| s.name.clone())
        .collect();
    let who = match would.as_slice() {
        [] => tr!("No calibrated sprayer of this bay reaches it: ask the shift lead."),
        [one] => tr!("{} reaches it.", one),
        [first, second] => tr!("{} and {} reach it.", first, second),
        [first, second, rest @ ..] => {
            tr!("{}, {} and {} more reach it.", first, second, rest.len())
        }
    };
    let why = tr!(
        "{} wants {}; neat product gives at most {} here.",
        &chemical.name,
        wanted.shown(),
        strongest.shown()
    );
    format!("{why} {who}")
}

fn show_figures(bay: &Bay, plan: &FillPlan, view: &FillView) {
    let of_lines = plan.pour.measure.unit();
    let (number, unit) = of_lines.figure(plan.pour.dose.product);
    view.set_figure(number.into());
    view.set_figure_unit(unit.into());
    let measure = shown(&plan.pour.measure_words());
    view.set_measure(match plan.pour.loads {
        1 => tr!("product · {}", measure).into(),
        _ => measure.into(),
    });
    let (number, unit) = of_lines.figure(of_lines.water(plan.pour.dose.water));
    view.set_water(number.into());
    view.set_water_unit(unit.into());
    // What a void figure puts on the vehicle, nobody knows.
    let void = matches!(bay.standing(bay.sprayer()), Standing::Void(_));
    let strength = plan.pour.strength.shown();
    view.set_strength(
        if void {
            "?"
        } else {
            strength.trim_end_matches(" %")
        }
        .into(),
    );
    let part = plan.fill / holds(bay.sprayer(), bay.calibration(&bay.sprayer().id));
    view.set_filled_part(part as f32);
    view.set_product_part((plan.pour.dose.product / plan.fill * part) as f32);
    view.set_detail(
        if void {
            String::new()
        } else {
            detail(bay, plan)
        }
        .into(),
    );
    view.set_void_in_use(bay.void_allowed());
    // A figure of four signs, or the mark of an invented bay, leaves room for the short words only.
    let short = view.get_figure().chars().count() > 3 || bay.setup().demo;
    let alarm = match plan.pour.in_band {
        _ if bay.void_allowed() => tr!("VOID, once"),
        InBand::Below if short => tr!("WEAK"),
        InBand::Below => tr!("TOO WEAK"),
        // Above it there is no figure.
        InBand::Inside | InBand::NoBand | InBand::Above => String::new(),
    };
    view.set_alarm(alarm.into());
    view.set_caution(
        match short {
            true => tr!("Gloves on"),
            false => tr!("Gloves, goggles"),
        }
        .into(),
    );
}

/// What is pressed on the fill screen.
pub fn connect(view: &FillView, hands: &Hands) {
    view.on_say(hands.on(|| Action::SayFill));
    view.on_choose_sprayer(hands.on(|| Action::Show(Page::Sprayers)));
    view.on_choose_chemical(hands.on(|| Action::Show(Page::Chemicals)));
    view.on_choose_part(hands.on(|| Action::Show(Page::Parts)));
    view.on_open_care(hands.on(|| Action::Show(Page::Care)));
    view.on_filled(hands.on(|| Action::Filled));
    view.on_wash_done(hands.on(|| Action::WashDone));
    view.on_calibrate(hands.on(|| Action::Show(Page::Ways)));
    view.on_rinsed(hands.on(|| Action::Day(DayAction::Rinsed)));
    view.on_use_void_once(hands.on(|| Action::UseVoidOnce));
}
