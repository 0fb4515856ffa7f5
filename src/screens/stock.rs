//! What there is of each chemical, and how long it lasts.

use super::generated::{Choice, Fact, Mark, StockStage, StockView};
use super::models::{fact, update};
use super::tongue::tr;
use super::wall::Hands;
use super::words::date;
use crate::bay::action::Action;
use crate::bay::at_work::Bay;
use crate::bay::stock::{EntryOf, Held, StockAction, StockEntry};
use crate::trade::chemical::Chemical;
use crate::trade::stock::Warning;
use crate::trade::units::trim_number;

/// Nobody can see further ahead than so many days.
const MOST_DAYS: u32 = 365;

/// "1 day", "5 days": of work.
fn days(count: u32) -> String {
    match count {
        1 => tr!("1 day"),
        n if n > MOST_DAYS => tr!("over {} days", MOST_DAYS),
        n => tr!("{} days", n),
    }
}

/// What is to be said of a stock, in a few letters.
fn warning_short(warning: Warning) -> String {
    match warning {
        Warning::Count => tr!("count it"),
        Warning::Gone => tr!("none left"),
        Warning::Days(0) => tr!("not for a day"),
        Warning::Days(count) => tr!("only {}", days(count)),
        Warning::LastContainer => tr!("last container"),
    }
}

fn choice(bay: &Bay, chemical: &Chemical) -> Choice {
    let held = bay.stock_of(chemical);
    let warning = held.and_then(|held| held.warning);
    let note = match (held, warning) {
        (_, Some(warning)) => warning_short(warning),
        (Some(held), None) => held.lasts().map_or(String::new(), days),
        (None, None) => String::new(),
    };
    let figure = match held {
        Some(held) if held.stock.cannot_be() => "?".to_owned(),
        Some(held) => held.stock.left.shown(),
        None => tr!("not counted"),
    };
    Choice {
        id: chemical.id.as_str().into(),
        name: chemical.name.as_str().into(),
        note: note.into(),
        figure: figure.into(),
        mark: match warning {
            Some(_) => Mark::Due,
            None => Mark::None,
        },
        enabled: true,
        ..Choice::default()
    }
}

fn headline(held: Option<&Held>) -> String {
    let Some(held) = held else {
        return tr!("not counted");
    };
    match held.warning {
        Some(Warning::Count) => tr!("Cannot be: count it."),
        Some(Warning::Gone) => tr!("None is left by what was told."),
        Some(Warning::Days(0)) => tr!("It does not last for another day."),
        Some(Warning::Days(count)) => tr!("It lasts for {} of work.", days(count)),
        Some(Warning::LastContainer) => tr!("Less than one container is left."),
        None => String::new(),
    }
}

fn facts(bay: &Bay, chemical: &Chemical, held: &Held) -> Vec<Fact> {
    let mut facts = Vec::new();
    let stock = &held.stock;
    facts.push(fact(&tr!("In stock"), stock.left.shown()));
    if let Some((unopened, one)) = stock.unopened.zip(chemical.delivered_in) {
        let containers = format!("{unopened} × {}", one.shown());
        facts.push(fact(&tr!("Not opened"), containers));
    }
    match held.rate {
        Some(rate) => {
            facts.push(fact(&tr!("Used a day"), rate.per_day.as_water().shown()));
            facts.push(fact(&tr!("Reckoned from"), days(rate.days)));
        }
        None => facts.push(fact(&tr!("Used a day"), tr!("not known yet"))),
    }
    if let Some(lasts) = held.lasts() {
        facts.push(fact(&tr!("Lasts"), days(lasts)));
    }
    let worth = chemical.cost_per_litre.and_then(|cost| stock.worth(cost));
    if let Some(worth) = worth {
        let money = format!("{} {}", trim_number(worth, 0), bay.setup().currency);
        facts.push(fact(&tr!("Worth"), money.trim_end()));
    }
    let counted = held.counted.map_or_else(|| tr!("never"), date);
    facts.push(fact(&tr!("Counted last"), counted));
    facts
}

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &StockView) {
    let chemicals = bay.setup().chemicals.iter();
    let choices = chemicals.map(|chemical| choice(bay, chemical)).collect();
    if let Some(new) = update(view.get_chemicals(), choices) {
        view.set_chemicals(new);
    }
    let Some(chemical) = bay.stock_chemical() else {
        view.set_stage(StockStage::List);
        return;
    };
    view.set_chemical(chemical.name.as_str().into());
    if let Some(entry) = bay.stock_entry() {
        show_entry(entry, view);
        view.set_stage(StockStage::Entry);
        return;
    }
    let held = bay.stock_of(chemical);
    let warning = held.and_then(|held| held.warning);
    view.set_headline(headline(held.as_ref()).into());
    view.set_warns(warning.is_some());
    view.set_count_first(held.is_none() || warning == Some(Warning::Count));
    view.set_may_open(held.is_some());
    let words = match (bay.stock_fault(), held) {
        (Some(fault), _) => fault.to_owned(),
        (None, None) => tr!(
            "Nobody keeps count of it yet. Count all there is, opened or not. From then on every fill \
             is taken off, and what comes is added."
        ),
        (None, Some(held)) if held.stock.cannot_be() => tr!(
            "More was poured or opened than there can have been. Count all there is, opened or not."
        ),
        (None, Some(_)) => String::new(),
    };
    view.set_words(words.into());
    let facts = held.map_or_else(Vec::new, |held| facts(bay, chemical, &held));
    if let Some(new) = update(view.get_facts(), facts) {
        view.set_facts(new);
    }
    view.set_stage(StockStage::One);
}

fn show_entry(entry: &StockEntry, view: &StockView) {
    let (typed, unit) = (entry.typed().text(), entry.typed().unit().shown());
    let container = entry.container().map(|one| one.shown());
    let full = container
        .as_ref()
        .filter(|_| entry.containers() > 0)
        .map(|one| format!("{} × {one}", entry.containers()));
    let rest = (!typed.is_empty()).then(|| format!("{typed} {unit}"));
    let so_far: Vec<String> = [full, rest].into_iter().flatten().collect();
    view.set_so_far(so_far.join(" + ").into());
    view.set_total(match entry.what() {
        Some(_) => entry.total().shown().into(),
        None => "–".into(),
    });
    view.set_other_unit(entry.typed().unit().other().shown().into());
    view.set_may_drop(entry.containers() > 0);
    view.set_may_save(entry.what().is_some());
    view.set_container(container.unwrap_or_default().into());
    let (words, save) = match entry.of() {
        EntryOf::Delivered => (tr!("What came?"), tr!("Delivered")),
        EntryOf::Counted => (tr!("All there is?"), tr!("Counted")),
    };
    view.set_entry_words(words.into());
    view.set_save_text(save.into());
}

/// What is pressed on these screens.
pub fn connect(view: &StockView, hands: &Hands) {
    let on = |action: StockAction| hands.on(move || Action::Stock(action.clone()));
    view.on_look(hands.on_text(|id| Action::Stock(StockAction::Look(id))));
    view.on_deliver(on(StockAction::Deliver));
    view.on_count(on(StockAction::Count));
    view.on_opened(on(StockAction::Opened));
    view.on_add(on(StockAction::AddContainer));
    view.on_drop(on(StockAction::DropContainer));
    view.on_switch_unit(on(StockAction::SwitchUnit));
    view.on_save(on(StockAction::Save));
}
