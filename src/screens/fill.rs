//! The fill screen: home.

use super::generated::{FillState, FillView, Mark};
use super::hazard;
use super::tongue::{shown, tr};
use super::wall::Hands;
use super::words::{
    above_band, cause_headline, finer_measure, landing_plus_minus, mark_of, new_cause, part_in_bay,
    stop_word, wanted_short, washes,
};
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::day::DayAction;
use crate::bay::offer::Offer;
use crate::trade::chemical::{Chemical, Target};
use crate::trade::days_strength::Allowed;
use crate::trade::fill_plan::{FillPlan, InBand, Part, holds};
use crate::trade::hazard::needs_a_medical_plan;
use crate::trade::reminder::Standing;
use crate::trade::sprayer::Sprayer;
use crate::trade::units::{Strength, Volume, trim_number};

/// What the chemical's set-up wants on the vehicle, with its band.
fn wanted_words(chemical: &Chemical) -> String {
    match (chemical.target, chemical.band) {
        (Target::OnVehicle(wanted), Some(band)) => {
            let words = tr!(
                "{} on vehicle, {} to {}",
                wanted.shown(),
                band.least.shown().trim_end_matches(" %"),
                band.most.shown().trim_end_matches(" %")
            );
            // The band stands on the page of how sure it is, too.
            match words.chars().count() <= TILE_LETTERS {
                true => words,
                false => wanted_short(chemical),
            }
        }
        (_, None) | (Target::Bottle(_), _) => wanted_short(chemical),
    }
}

/// Letters that fit on the chemical's tile.
const TILE_LETTERS: usize = 24;

fn chemical_note(bay: &Bay, offer: &Offer) -> (String, bool) {
    let chemical = bay.chemical();
    let setting = bay.day_setting_for(&bay.sprayer().id);
    // With what, and why, stands under help.
    if bay.beside_never(&bay.sprayer().id).is_some() {
        return (tr!("never-mix pair"), true);
    }
    if needs_a_medical_plan(&chemical.hazards) {
        return (tr!("medical plan ready?"), true);
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
        Standing::None if bay.damage_of(&sprayer.id).is_some() => (tr!("Damaged"), tr!("records")),
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
    if let Some(dial) = &bay.sprayer().dial {
        parts.push(tr!("dial: {}", dial));
    }
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
    if let Some(coverage) = plan.coverage {
        parts.push(tr!("{} vehicles", trim_number(coverage.vehicles, 1)));
        if let Some(cost) = coverage.cost_per_vehicle {
            parts.push(tr!("{} each", bay.setup().money(cost)));
        }
    }
    as_many_as_fit(&parts)
}

/// Letters that fit on the line under the figure, where a panel has one.
const DETAIL_LETTERS: usize = 68;

/// The first of these that fit on the line under the figure; all of them stand on the sprayer's page.
fn as_many_as_fit(parts: &[String]) -> String {
    let mut line = String::new();
    for part in parts {
        let between = if line.is_empty() { "" } else { " · " };
        if line.chars().count() + between.chars().count() + part.chars().count() > DETAIL_LETTERS {
            break;
        }
        line.push_str(between);
        line.push_str(part);
    }
    line
}

/// Shows the bay on the fill screen.
pub fn show(bay: &Bay, view: &FillView) {
    let sprayer = bay.sprayer();
    let offer = bay.offer();
    view.set_sprayer(sprayer.name.as_str().into());
    let (note, warns) = holds_note(bay, sprayer);
    view.set_sprayer_note(note.into());
    view.set_sprayer_warns(warns);
    view.set_chemical(bay.chemical().name.as_str().into());
    let (note, warns) = chemical_note(bay, &offer);
    view.set_chemical_note(note.into());
    view.set_chemical_warns(warns);
    view.set_care(match mark_of(bay, sprayer) {
        Mark::None if unfinished(bay, sprayer) || !bay.clock_is_plausible() => Mark::Due,
        mark => mark,
    });
    let (title, note) = care_words(bay, sprayer);
    // What waits for the clock is to be told wherever reminders are.
    let note = match bay.clock_is_plausible() {
        true => note,
        false => tr!("clock wrong"),
    };
    view.set_care_title(title.into());
    view.set_care_note(note.into());
    view.set_part(part_in_bay(bay, bay.part()).into());
    let chemical = bay.chemical();
    view.set_symbols(hazard::symbols(chemical));
    view.set_hazard(hazard::symbol_word(chemical).into());
    view.set_put_on(hazard::put_on(chemical));
    view.set_water_first(chemical.is_water_first());
    view.set_headline(stop_word(&offer).unwrap_or_default().into());
    show_offer(bay, &offer, view);
}

/// Shows a figure, or why there is none.
fn show_offer(bay: &Bay, offer: &Offer, view: &FillView) {
    let (state, words) = match offer {
        Offer::Rinse(first) => {
            view.set_rinse_never(first.never.is_some());
            (FillState::Rinse, super::day::rinse_short(first))
        }
        Offer::Uncalibrated => {
            let sprayer = bay.sprayer();
            (
                FillState::Uncalibrated,
                uncalibrated_words(bay, sprayer, view),
            )
        }
        Offer::OutOfReach { wanted, strongest } => {
            let words = show_out_of_reach(bay, *wanted, *strongest, view);
            (FillState::OutOfReach, words)
        }
        Offer::Unmeasurable { dose } => (FillState::Unmeasurable, unmeasurable_words(bay, *dose)),
        Offer::AboveBand { lands, most } => (FillState::TooStrong, above_band(*lands, *most)),
        Offer::Void { cause, old } => {
            view.set_headline(cause_headline(*cause).into());
            let words = tr!("The old figure no longer applies.");
            match old {
                Some(plan) => show_figures(bay, plan, view),
                // Nothing to cross out.
                None => view.set_figure("".into()),
            }
            (FillState::Void, words)
        }
        Offer::Fill(plan) => {
            show_figures(bay, plan, view);
            (FillState::Ready, String::new())
        }
    };
    view.set_words(words.into());
    view.set_state(state);
}

/// Why there is no calibration to go by.
fn uncalibrated_words(bay: &Bay, sprayer: &Sprayer, view: &FillView) -> String {
    match bay.damage_of(&sprayer.id) {
        Some(damage) => {
            view.set_headline(tr!("Records damaged").into());
            format!("{} {}", shown(&damage.words()), shown(&damage.remedy()))
        }
        None => tr!("No figure yet. Run it dry once into a bucket: it takes a few minutes."),
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

/// Why it is out of reach, in words; who does reach it goes onto the button that leads there.
fn show_out_of_reach(bay: &Bay, wanted: Strength, strongest: Strength, view: &FillView) -> String {
    let reaching = bay.reaching();
    let (text, note) = match reaching.as_slice() {
        [] => (String::new(), String::new()),
        [(one, _)] => (one.name.clone(), tr!("reaches it")),
        several => (tr!("{} sprayers", several.len()), tr!("reach it")),
    };
    view.set_reaching(text.into());
    view.set_reaching_note(note.into());
    let why = tr!(
        "{} wants {}; neat product gives at most {} here.",
        &bay.chemical().name,
        wanted.shown(),
        strongest.shown()
    );
    match reaching.is_empty() {
        true => format!(
            "{why} {}",
            tr!("No other sprayer reaches it: ask the lead.")
        ),
        false => why,
    }
}

fn show_figures(bay: &Bay, plan: &FillPlan, view: &FillView) {
    let of_lines = plan.pour.measure.unit();
    let (number, unit) = of_lines.figure(plan.pour.dose.product);
    view.set_figure(number.into());
    view.set_figure_unit(unit.into());
    let measure = shown(&plan.pour.measure_words());
    view.set_measure(
        match (bay.chemical().is_water_first(), plan.pour.loads) {
            (true, 1) => tr!("then product · {}", measure),
            (true, _) => tr!("then {}", measure),
            (false, 1) => tr!("product · {}", measure),
            (false, _) => measure,
        }
        .into(),
    );
    let (number, unit) = of_lines.figure(of_lines.water(plan.pour.dose.water));
    view.set_water(number.into());
    view.set_water_unit(unit.into());
    // What a void figure puts on the vehicle, nobody knows.
    let void = matches!(bay.standing(bay.sprayer()), Standing::Void(_));
    let strength = plan.pour.strength.shown();
    let (words, warns) = match plan.pour.in_band {
        _ if void => (tr!("VOID, once"), true),
        InBand::Below => (tr!("TOO WEAK: {}", strength), true),
        // Above it there is no figure.
        InBand::Inside | InBand::NoBand | InBand::Above => (tr!("{} on vehicle", strength), false),
    };
    view.set_strength(words.into());
    view.set_strength_warns(warns);
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
}

/// What is pressed on the fill screen.
pub fn connect(view: &FillView, hands: &Hands) {
    view.on_say(hands.on(|| Action::SayFill));
    view.on_choose_sprayer(hands.on(|| Action::Show(Page::Sprayers)));
    view.on_choose_reaching(hands.on(|| Action::Show(Page::Reaching)));
    view.on_choose_chemical(hands.on(|| Action::Show(Page::Chemicals)));
    view.on_choose_part(hands.on(|| Action::Show(Page::Parts)));
    view.on_open_care(hands.on(|| Action::Show(Page::Care)));
    view.on_filled(hands.on(|| Action::Filled));
    view.on_wash_done(hands.on(|| Action::WashDone));
    view.on_calibrate(hands.on(|| Action::Show(Page::Ways)));
    view.on_rinsed(hands.on(|| Action::Day(DayAction::Rinsed)));
    view.on_use_void_once(hands.on(|| Action::UseVoidOnce));
}
