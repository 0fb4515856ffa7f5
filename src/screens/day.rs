//! The day's chemical, rinsing between chemicals, and what must never meet.

use super::generated::{Choice, DayPage, DayView, Mark};
use super::hazard::symbols;
use super::models::update;
use super::tongue::{shown, tr};
use super::wall::Hands;
use super::words::wanted_short;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::day::{Beside, Consequence, DayAction, DayStage, RinseFirst};
use crate::bay::records::{DaySetting, Scope};
use crate::trade::chemical::{Chemical, Target};
use crate::trade::days_strength::{Allowed, allowed, usual};
use crate::trade::sprayer::Sprayer;
use crate::trade::units::{Strength, trim_number};

/// What is in it, and what to do.
pub fn rinse_words(sprayer: &Sprayer, first: &RinseFirst) -> String {
    match first.never {
        Some(reason) => tr!(
            "{} is still in {}. {} Empty it where the label allows and rinse it with clean water.",
            &first.was,
            &sprayer.name,
            shown(&reason.words())
        ),
        None => tr!(
            "{} is still in {}. Empty it, rinse it with clean water, then press Rinsed.",
            &first.was,
            &sprayer.name
        ),
    }
}

/// The same at home, in a few words: the sprayer stands above it, and why behind the button.
pub fn rinse_short(first: &RinseFirst) -> String {
    match first.never {
        Some(reason) => tr!("{} is still in it. {}", &first.was, shown(&reason.words())),
        None => tr!(
            "{} is still in it. Empty it, rinse it with clean water, then press Rinsed.",
            &first.was
        ),
    }
}

/// That the shift lead set the chemical in use, for the home screen, and whether to look twice.
pub fn set_note(chemical: &Chemical, setting: &DaySetting) -> (String, bool) {
    match setting.allowed {
        Allowed::Freely => {}
        Allowed::TooWeak => return (tr!("set too weak"), true),
        Allowed::TooStrong => return (tr!("set too strong"), true),
    }
    // Its target is the strength in force, whoever it is from.
    let note = match setting.today_only {
        true => tr!("{} set today", target_words(chemical)),
        false => tr!("{} set", target_words(chemical)),
    };
    (note, false)
}

fn target_words(chemical: &Chemical) -> String {
    match chemical.target {
        Target::OnVehicle(strength) => strength.shown(),
        Target::Bottle(ratio) => ratio.shown(),
    }
}

/// What the set-up says of a chemical's strength.
fn setup_words(chemical: &Chemical) -> String {
    match (chemical.target, chemical.band) {
        (Target::OnVehicle(wanted), Some(band)) => tr!(
            "Set-up: {}, {} to {}",
            wanted.shown(),
            band.least.shown().trim_end_matches(" %"),
            band.most.shown()
        ),
        _ => tr!("Set-up: {}", wanted_short(chemical)),
    }
}

fn scope_id(scope: &Scope) -> &str {
    match scope {
        Scope::Bay => "",
        Scope::Sprayer(id) => id,
    }
}

fn scope_name(bay: &Bay, scope: &Scope) -> String {
    match scope {
        Scope::Bay => tr!("Whole bay"),
        Scope::Sprayer(id) => bay
            .setup()
            .sprayer(id)
            .map_or(String::new(), |sprayer| sprayer.name.clone()),
    }
}

fn scope_choice(bay: &Bay, scope: &Scope) -> Choice {
    let setup = bay.setup();
    let set = bay.day_setting(scope);
    let chemical = match (set, scope) {
        (Some(set), _) => setup.chemical(&set.chemical),
        (None, Scope::Bay) => setup.chemical(&setup.day_chemical),
        (None, Scope::Sprayer(sprayer)) => Some(bay.days_chemical(sprayer)),
    };
    let strength = set
        .and_then(|set| set.strength)
        .map(Strength::shown)
        .or_else(|| chemical.map(target_words))
        .unwrap_or_default();
    Choice {
        id: scope_id(scope).into(),
        name: scope_name(bay, scope).into(),
        figure: strength.into(),
        note: chemical.map_or("", |chemical| &chemical.name).into(),
        current: set.is_some(),
        mark: match beside_of_scope(bay, scope) {
            true => Mark::Stop,
            false => Mark::None,
        },
        enabled: true,
        symbols: chemical.map(symbols).unwrap_or_default(),
    }
}

/// A sprayer whose chemical must never meet that of another one; of the bay it shows at the sprayers.
fn beside_of_scope(bay: &Bay, scope: &Scope) -> bool {
    match scope {
        Scope::Bay => false,
        Scope::Sprayer(id) => bay.beside_never(id).is_some(),
    }
}

fn chemical_choice(chemical: &Chemical, chosen: &str) -> Choice {
    Choice {
        id: chemical.id.as_str().into(),
        name: chemical.name.as_str().into(),
        figure: target_words(chemical).into(),
        note: match chemical.target {
            Target::OnVehicle(_) => tr!("on vehicle"),
            Target::Bottle(_) => tr!("in the bottle"),
        }
        .into(),
        current: chemical.id == chosen,
        mark: Mark::None,
        enabled: true,
        symbols: symbols(chemical),
    }
}

fn consequence_words(bay: &Bay, chemical: &Chemical, of: &Consequence) -> String {
    let times = trim_number(of.times(), if of.times() < 10.0 { 2 } else { 0 });
    let what = tr!(
        "{} instead of {}: {} times the usual product.",
        of.strength.shown(),
        of.usual.shown(),
        times
    );
    let money = |amount: f64| {
        let money = format!("{amount:.2} {}", bay.setup().currency);
        money.trim_end().to_owned()
    };
    let cost = of.cost.map_or(String::new(), |(usually, then)| {
        tr!(
            "A vehicle costs {} instead of {}.",
            money(then),
            money(usually)
        )
    });
    let harm = match of.allowed {
        Allowed::TooWeak => tr!("Weaker does not clean: it is washed twice."),
        _ => tr!("Stronger harms finish, hands and drains."),
    };
    let label = tr!(
        "The label of {} and its safety data sheet say what is allowed, and come before this screen.",
        &chemical.name
    );
    let lines = [what, cost, harm, label];
    let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    lines.join("\n")
}

/// What it would be beside, why the two must never meet, and where they would.
fn beside_words(of: &Beside) -> String {
    let what = tr!(
        "{} would have {}, and {} has {}.",
        &of.sprayer,
        &of.chemical,
        &of.other,
        &of.has
    );
    format!("{what}\n{}", beside_harm(of))
}

/// What another sprayer has, why that must never meet what this one has, and where they would.
pub fn beside_warning(of: &Beside) -> String {
    let what = tr!(
        "{} has {}, {} has {}.",
        &of.sprayer,
        &of.chemical,
        &of.other,
        &of.has
    );
    format!("{what}\n{}", beside_harm(of))
}

fn beside_harm(of: &Beside) -> String {
    let lines = [
        shown(&of.reason.words()),
        tr!("They meet on a wet vehicle, on the floor and in one drain: fumes rise there."),
        tr!("The labels and the safety data sheets come first."),
    ];
    lines.join("\n")
}

fn show_setting(bay: &Bay, view: &DayView) {
    let Some(draft) = bay.day_draft() else {
        return;
    };
    let Some(chemical) = bay.setup().chemical(&draft.chemical) else {
        return;
    };
    view.set_title(scope_name(bay, &draft.scope).into());
    view.set_note(setup_words(chemical).into());
    view.set_chemical(chemical.name.as_str().into());
    view.set_symbols(symbols(chemical));
    let usual = usual(chemical);
    view.set_may_strength(usual.is_some());
    view.set_strength(
        bay.day_aim()
            .map_or_else(|| target_words(chemical), Strength::shown)
            .into(),
    );
    let stands = draft
        .strength
        .map_or(Allowed::Freely, |strength| allowed(chemical, strength));
    view.set_outside(stands != Allowed::Freely);
    view.set_strength_note(
        match stands {
            _ if usual.is_none() => tr!("by the label"),
            Allowed::Freely => tr!("on vehicle"),
            Allowed::TooWeak => tr!("too weak"),
            Allowed::TooStrong => tr!("too strong"),
        }
        .into(),
    );
    view.set_is_usual(draft.strength.is_none());
    view.set_usual(target_words(chemical).into());
    view.set_today_only(draft.today_only);
    view.set_may_end(bay.day_setting(&draft.scope).is_some());
    view.set_end_note(
        match draft.scope {
            Scope::Bay => tr!("as set-up"),
            Scope::Sprayer(_) => tr!("as the bay"),
        }
        .into(),
    );
    view.set_typed(bay.day_typed().text().into());
    let (title, words) = match bay.day_stage() {
        DayStage::Beside => {
            let beside = bay.day_beside();
            let words = beside.map_or(String::new(), |of| beside_words(&of));
            (tr!("Both at once?"), words)
        }
        _ => {
            let consequence = bay.day_consequence();
            let title = match consequence.map(|of| of.allowed) {
                Some(Allowed::TooWeak) => tr!("Too weak?"),
                _ => tr!("Too strong?"),
            };
            let words = consequence.map(|of| consequence_words(bay, chemical, &of));
            (title, words.unwrap_or_default())
        }
    };
    view.set_confirm_title(title.into());
    view.set_confirm_words(words.into());
    let chosen = draft.chemical.as_str();
    let chemicals = bay.setup().chemicals.iter();
    let chemicals = chemicals.map(|c| chemical_choice(c, chosen)).collect();
    if let Some(new) = update(view.get_chemicals(), chemicals) {
        view.set_chemicals(new);
    }
}

fn show_rinse(bay: &Bay, view: &DayView) {
    let sprayer = bay.setup().sprayer(bay.rinse_of());
    let Some(sprayer) = sprayer else {
        return;
    };
    view.set_rinse_title(tr!("Rinse {}", &sprayer.name).into());
    let first = bay.rinse_page();
    let never = first.as_ref().and_then(|first| first.never);
    view.set_rinse_known(first.is_some());
    view.set_rinse_never(never.is_some());
    let note = match &first {
        Some(first) if never.is_some() => tr!("{}: never mix", &first.was),
        Some(first) => first.was.clone(),
        None => String::new(),
    };
    view.set_rinse_note(note.into());
    let headline = match (&first, never) {
        (_, Some(reason)) => shown(&reason.words()),
        (Some(_), None) => tr!("Rinse first"),
        (None, None) => tr!("Nothing in it"),
    };
    view.set_rinse_headline(headline.into());
    let words = match (&first, never) {
        (Some(first), Some(_)) => tr!(
            "{} is still in {}. Empty it where its label allows, rinse it with clean water, and wait \
             until a trained person says so where the label asks for one. The label and the safety \
             data sheet come first.",
            &first.was,
            &sprayer.name
        ),
        (Some(first), None) => rinse_words(sprayer, first),
        (None, _) => tr!("No fill of it is known that was not rinsed out."),
    };
    view.set_rinse_words(words.into());
}

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &DayView) {
    if bay.page() == Page::Rinse {
        return show_rinse(bay, view);
    }
    view.set_page(match bay.day_stage() {
        DayStage::Scopes => DayPage::Scopes,
        DayStage::Strength => DayPage::Strength,
        DayStage::Chemicals => DayPage::Chemicals,
        DayStage::Typing => DayPage::Typing,
        DayStage::Confirm | DayStage::Beside => DayPage::Confirm,
    });
    let sprayers = bay.setup().sprayers.iter();
    let scopes = std::iter::once(Scope::Bay)
        .chain(sprayers.map(|sprayer| Scope::Sprayer(sprayer.id.clone())))
        .map(|scope| scope_choice(bay, &scope))
        .collect();
    if let Some(new) = update(view.get_scopes(), scopes) {
        view.set_scopes(new);
    }
    show_setting(bay, view);
}

/// What is pressed on these screens.
pub fn connect(view: &DayView, hands: &Hands) {
    let day = |action: DayAction| hands.on(move || Action::Day(action.clone()));
    view.on_for_whom(hands.on_text(|id| {
        Action::Day(DayAction::For(match id.as_str() {
            "" => Scope::Bay,
            _ => Scope::Sprayer(id),
        }))
    }));
    view.on_chosen(hands.on_text(|id| Action::Day(DayAction::Chemical(id))));
    view.on_open_chemicals(day(DayAction::OpenChemicals));
    view.on_weaker(day(DayAction::Weaker));
    view.on_stronger(day(DayAction::Stronger));
    view.on_open_pad(day(DayAction::OpenPad));
    view.on_take_typed(day(DayAction::TakeTyped));
    view.on_as_usual(day(DayAction::UsualStrength));
    view.on_turn_length(hands.on_bay(|bay| {
        let today_only = bay.day_draft().is_some_and(|draft| draft.today_only);
        Action::Day(DayAction::TodayOnly(!today_only))
    }));
    view.on_set(day(DayAction::Set));
    view.on_confirm(day(DayAction::Confirm));
    view.on_end(day(DayAction::End));
    view.on_rinsed(day(DayAction::Rinsed));
}
