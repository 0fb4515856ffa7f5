//! What can be picked for a field.

use super::fields::Field;
use crate::bay::setup::{EntryUnits, Setup, Voice};
use crate::bay::setup_change::Place;
use crate::text;
use crate::trade::chemical::{Nature, Order};
use crate::trade::hazard::Hazard;
use crate::trade::language::Language;
use crate::trade::protection::Protection;
use crate::trade::sprayer::Kind;
use crate::trade::text::Text;

/// Yes, as it is picked.
pub const YES: &str = "yes";
/// No, as it is picked.
pub const NO: &str = "no";
/// The order of pouring that follows from what a chemical is.
pub const USUAL: &str = "usual";

/// One of what can be picked.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// By which it is picked; what goes into the set-up file, yes and no apart.
    pub id: String,
    /// For people.
    pub name: Text,
    /// The hazard statement that it is.
    pub hazard: Option<Hazard>,
}

fn choice(id: &str, name: Text) -> Choice {
    Choice {
        id: id.into(),
        name,
        hazard: None,
    }
}

/// The word of the set-up file for a voice.
pub const fn voice_word(voice: Voice) -> &'static str {
    match voice {
        Voice::Speech => "speech",
        Voice::Beeps => "beeps",
        Voice::Off => "off",
    }
}

/// A kind of sprayer, for people.
pub fn kind_name(kind: Kind) -> Text {
    match kind {
        Kind::FoamLance => text!("Foam lance"),
        Kind::DrumInjector => text!("Drum injector"),
        Kind::DirectSprayer => text!("Direct sprayer"),
    }
}

/// What a chemical is, for people.
pub fn nature_name(nature: Nature) -> Text {
    match nature {
        Nature::Other => text!("None of these"),
        Nature::Acid => text!("Acid"),
        Nature::Alkali => text!("Alkali"),
        Nature::Hypochlorite => text!("Hypochlorite (bleach)"),
        Nature::Ammonia => text!("Ammonia"),
        Nature::Amine => text!("Amine"),
        Nature::Peroxide => text!("Peroxide"),
        Nature::Alcohol => text!("Alcohol"),
    }
}

/// What is poured first, for people.
pub fn order_name(order: Order) -> Text {
    match order {
        Order::WaterFirst => text!("Water first"),
        Order::ProductFirst => text!("Product first"),
    }
}

/// What can be picked for a field; nothing for what is typed.
pub fn of(field: Field, setup: &Setup, item: Option<&Place>) -> Vec<Choice> {
    match field {
        Field::Language => Language::ALL
            .map(|l| choice(l.code(), Text::from_plain(l.own_name())))
            .into(),
        Field::Units => EntryUnits::ALL
            .map(|units| {
                let name = match units {
                    EntryUnits::Metric => text!("Millilitres, litres"),
                    EntryUnits::Us => text!("US ounces, gallons"),
                    EntryUnits::Uk => text!("UK ounces, gallons"),
                };
                choice(units.word(), name)
            })
            .into(),
        Field::MayChange => vec![choice(YES, text!("Yes")), choice(NO, text!("No"))],
        Field::SprayerKind => [Kind::FoamLance, Kind::DrumInjector, Kind::DirectSprayer]
            .map(|kind| choice(kind.word(), kind_name(kind)))
            .into(),
        Field::Nature => [
            Nature::Acid,
            Nature::Alkali,
            Nature::Hypochlorite,
            Nature::Ammonia,
            Nature::Amine,
            Nature::Peroxide,
            Nature::Alcohol,
            Nature::Other,
        ]
        .map(|nature| choice(nature.word(), nature_name(nature)))
        .into(),
        Field::Order => {
            let usual = choice(USUAL, text!("As usual: acids into water"));
            let orders = [Order::WaterFirst, Order::ProductFirst];
            let orders = orders.map(|order| choice(order.word(), order_name(order)));
            std::iter::once(usual).chain(orders).collect()
        }
        Field::Protection => Protection::ALL
            .map(|of| choice(of.word(), of.label()))
            .into(),
        Field::Voice => [Voice::Speech, Voice::Beeps, Voice::Off]
            .map(|voice| {
                let name = match voice {
                    Voice::Speech => text!("Speech"),
                    Voice::Beeps => text!("Beeps"),
                    Voice::Off => text!("Off"),
                };
                choice(voice_word(voice), name)
            })
            .into(),
        Field::DayChemical | Field::NeverWith => {
            let own = match field {
                Field::NeverWith => item.and_then(Place::id),
                _ => None,
            };
            let others = setup
                .chemicals
                .iter()
                .filter(|c| Some(c.id.as_str()) != own);
            others
                .map(|c| choice(&c.id, Text::from_plain(&c.name)))
                .collect()
        }
        Field::Hazards => Hazard::ALL
            .map(|hazard| Choice {
                hazard: Some(hazard),
                ..choice(hazard.code(), Text::from_plain(hazard.code()))
            })
            .into(),
        _ => field
            .known(setup)
            .iter()
            .map(|name| choice(name, Text::from_plain(name)))
            .collect(),
    }
}
