//! The day around the fill: for so many vehicles, left-overs, mispoured, and what a ratio comes to.
//!
//! Each page is put together as one [`Shown`] by its own file; a button is shown together with what it
//! does, so that the two cannot part.

mod got;
mod left_over;
mod mispour;
mod reasons;
mod vehicles;

use super::generated::{Fact, MixButton, MixClass, MixFigure, MixPage, MixRow, MixingView};
use super::models::update;
use super::tongue::tr;
use super::wall::Hands;
use crate::bay::action::Action;
use crate::bay::at_work::Bay;
use crate::bay::mixing::{MixAction, MixStage};
use crate::trade::units::{LineUnit, Strength, Volume};

/// A page as it is shown.
struct Shown {
    page: MixPage,
    title: String,
    note: String,
    upper: Vec<Pressed>,
    lower: Vec<Pressed>,
    value: String,
    unit: String,
    words: String,
    alarm: String,
    figures: Vec<MixFigure>,
    facts: Vec<Fact>,
    classes: Vec<MixClass>,
    rows: Vec<MixRow>,
    has_money: bool,
}

/// A button and what it does.
struct Pressed {
    button: MixButton,
    action: Action,
}

impl Pressed {
    fn new(text: impl Into<String>, note: impl Into<String>, action: Action) -> Self {
        let (text, note): (String, String) = (text.into(), note.into());
        Self {
            button: MixButton {
                text: text.into(),
                note: note.into(),
                main: false,
                picked: false,
                enabled: true,
            },
            action,
        }
    }
    fn mix(text: impl Into<String>, note: impl Into<String>, action: MixAction) -> Self {
        Self::new(text, note, Action::Mix(action))
    }
    /// The main thing of its page.
    fn main(mut self) -> Self {
        self.button.main = true;
        self
    }
    /// The one in use.
    fn picked(mut self, picked: bool) -> Self {
        self.button.picked = picked;
        self
    }
    fn enabled(mut self, enabled: bool) -> Self {
        self.button.enabled = enabled;
        self
    }
}

impl Shown {
    fn new(page: MixPage, title: impl Into<String>, note: impl Into<String>) -> Self {
        Self {
            page,
            title: title.into(),
            note: note.into(),
            upper: Vec::new(),
            lower: Vec::new(),
            value: String::new(),
            unit: String::new(),
            words: String::new(),
            alarm: String::new(),
            figures: Vec::new(),
            facts: Vec::new(),
            classes: Vec::new(),
            rows: Vec::new(),
            has_money: false,
        }
    }

    fn of(bay: &Bay) -> Self {
        match bay.mixing().stage() {
            MixStage::Choose => choose(bay),
            MixStage::Vehicles => vehicles::count(bay),
            MixStage::Coverage => vehicles::coverage(bay),
            MixStage::Left => left_over::how_much(bay),
            MixStage::LeftTyped => left_over::typed(bay),
            MixStage::WhichMix => left_over::which_mix(bay),
            MixStage::RatioTyped => left_over::ratio(bay),
            MixStage::StrengthTyped => left_over::strength(bay),
            MixStage::UpTo => left_over::up_to(bay),
            MixStage::TopUp => left_over::result(bay),
            MixStage::Poured => mispour::poured(bay),
            MixStage::Level => mispour::level(bay),
            MixStage::Mispoured => mispour::result(bay),
            MixStage::Got => got::show(bay),
        }
    }

    /// One volume, typed, with its unit to change.
    fn volume(bay: &Bay, title: String, words: String) -> Self {
        let typed = bay.mixing().typed();
        let mut shown = Self::new(MixPage::Number, title, bay.sprayer().name.as_str());
        shown.value = typed.text().into();
        shown.unit = typed.unit().shown().into();
        shown.words = words;
        shown.upper = vec![Pressed::mix(
            tr!("in {}", typed.unit().other().shown()),
            tr!("change"),
            MixAction::SwitchUnit,
        )];
        shown.lower = vec![next(typed.volume().is_some())];
        shown
    }
}

fn next(enabled: bool) -> Pressed {
    Pressed::mix(tr!("Next"), "", MixAction::Next)
        .main()
        .enabled(enabled)
}

/// What for.
fn choose(bay: &Bay) -> Shown {
    let note = format!("{}, {}", bay.sprayer().name, bay.chemical().name);
    let mut shown = Shown::new(MixPage::Tiles, tr!("Other fills"), note);
    let tile = |text: String, note: String, stage| Pressed::mix(text, note, MixAction::Open(stage));
    shown.upper = vec![
        tile(tr!("For vehicles"), tr!("just enough"), MixStage::Vehicles),
        tile(tr!("Left-over"), tr!("make it up again"), MixStage::Left),
        tile(tr!("Mispoured"), tr!("put it right"), MixStage::Poured),
    ];
    shown.lower = vec![
        tile(
            tr!("What have I got?"),
            tr!("strength of a mix"),
            MixStage::Got,
        ),
        tile(
            tr!("Per vehicle"),
            tr!("fills, product, money"),
            MixStage::Coverage,
        ),
    ];
    shown
}

fn figure(unit: LineUnit, volume: Volume, what: String) -> MixFigure {
    let (value, unit) = unit.figure(volume);
    MixFigure {
        value: value.into(),
        unit: unit.into(),
        what: what.into(),
    }
}

/// What lands on the vehicle.
fn lands(strength: Strength, what: String) -> MixFigure {
    let shown = strength.shown();
    MixFigure {
        value: shown.trim_end_matches(" %").into(),
        unit: "%".into(),
        what: what.into(),
    }
}

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &MixingView) {
    let shown = Shown::of(bay);
    let buttons = |row: Vec<Pressed>| row.into_iter().map(|pressed| pressed.button).collect();
    if let Some(new) = update(view.get_upper(), buttons(shown.upper)) {
        view.set_upper(new);
    }
    if let Some(new) = update(view.get_lower(), buttons(shown.lower)) {
        view.set_lower(new);
    }
    if let Some(new) = update(view.get_figures(), shown.figures) {
        view.set_figures(new);
    }
    if let Some(new) = update(view.get_facts(), shown.facts) {
        view.set_facts(new);
    }
    if let Some(new) = update(view.get_classes(), shown.classes) {
        view.set_classes(new);
    }
    if let Some(new) = update(view.get_rows(), shown.rows) {
        view.set_rows(new);
    }
    view.set_title(shown.title.into());
    view.set_note(shown.note.into());
    view.set_value(shown.value.into());
    view.set_unit(shown.unit.into());
    view.set_words(shown.words.into());
    view.set_alarm(shown.alarm.into());
    view.set_has_money(shown.has_money);
    let counts = bay.mixing().vehicles();
    view.set_types(counts.types());
    view.set_may_take_one(counts.count(counts.picked()) > 0);
    view.set_page(shown.page);
}

/// What is pressed on these screens.
pub fn connect(view: &MixingView, hands: &Hands) {
    let press = |row: fn(Shown) -> Vec<Pressed>| {
        let hands = hands.clone();
        move |place: i32| {
            hands.act_on_bay(|bay| {
                let pressed = usize::try_from(place)
                    .ok()
                    .and_then(|place| row(Shown::of(bay)).into_iter().nth(place));
                // What is no longer there does nothing.
                pressed.map_or(Action::Tick, |pressed| pressed.action)
            });
        }
    };
    view.on_press_upper(press(|shown| shown.upper));
    view.on_press_lower(press(|shown| shown.lower));
    view.on_one_more({
        let hands = hands.clone();
        move |place| {
            if let Ok(place) = usize::try_from(place) {
                hands.act(Action::Mix(MixAction::OneMore(place)));
            }
        }
    });
    view.on_one_less(hands.on(|| Action::Mix(MixAction::OneLess)));
    let hands = hands.clone();
    view.on_type_count(move |types| hands.act(Action::Mix(MixAction::TypeCount(types))));
}
