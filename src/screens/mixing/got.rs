//! What a bottle ratio, or product and water, put on the vehicle.

use super::super::generated::MixPage;
use super::super::tongue::tr;
use super::super::words::{one_in, unbroken};
use super::reasons::{band_words, no_figure, outside};
use super::{Pressed, Shown, lands};
use crate::bay::at_work::Bay;
use crate::bay::mixing::{GotField, GotSays, MixAction};
use crate::bay::typed::TypedUnit;
use crate::trade::fill_plan::InBand;

pub fn show(bay: &Bay) -> Shown {
    let got = bay.mixing().got();
    let field = got.field();
    let unit = TypedUnit::small(bay.setup().entry_units).shown();
    let title = match field {
        GotField::Ratio => tr!("Ratio"),
        GotField::Product => tr!("Product"),
        GotField::All => tr!("In all"),
    };
    let mut shown = Shown::new(MixPage::Got, title, bay.sprayer().name.as_str());
    let typed = got.typed(field).text();
    (shown.value, shown.unit) = match (field, typed) {
        (GotField::Ratio, "") => (String::new(), String::new()),
        (GotField::Ratio, parts) => (format!("1 + {parts}"), String::new()),
        (_, number) => (number.into(), unit.into()),
    };
    let tile = |text: String, field: GotField| {
        let note = match got.typed(field).text() {
            "" => "–".into(),
            number => format!("{number} {unit}"),
        };
        Pressed::mix(text, note, MixAction::Field(field)).picked(got.field() == field)
    };
    shown.upper = vec![match field {
        GotField::Ratio => {
            let amounts = MixAction::Field(GotField::Product);
            Pressed::mix(unit, tr!("by volumes"), amounts)
        }
        _ => Pressed::mix("1 + N", tr!("by ratio"), MixAction::Field(GotField::Ratio)),
    }];
    if field != GotField::Ratio {
        shown.lower = vec![
            tile(tr!("Product"), GotField::Product),
            tile(tr!("In all"), GotField::All),
        ];
    }
    match bay.got_says() {
        GotSays::NoFigure(why) => shown.words = no_figure(bay, &why),
        GotSays::Ask => {
            shown.words = match field {
                GotField::Ratio => tr!("Parts of water to one part of product, in the container."),
                _ => tr!("Product, and product and water together."),
            };
        }
        GotSays::TooMuch => {
            shown.words = tr!("More product than there is in all: look at both again.");
        }
        GotSays::Lands {
            strength,
            in_band,
            ratio,
        } => {
            shown.figures = vec![lands(strength, tr!("lands"))];
            shown.alarm = outside(in_band);
            let mut words = vec![one_in(strength)];
            if field != GotField::Ratio {
                words.push(unbroken(&ratio.shown()));
            }
            let band = match in_band {
                InBand::Inside => tr!("Inside the band."),
                InBand::NoBand => band_words(bay, bay.ground().ok().map(|ground| ground.wanted)),
                InBand::Below | InBand::Above => band_words(bay, None),
            };
            shown.words = format!("{}. {band}", words.join(", "));
        }
    }
    shown
}
