//! A left-over, brought to today's strength.

use super::super::generated::MixPage;
use super::super::tongue::{shown as text, tr};
use super::super::words::part_in_bay;
use super::reasons::band_words;
use super::{Pressed, Shown, figure, lands, next};
use crate::bay::at_work::Bay;
use crate::bay::mixing::{LeftOverSays, MixAction, MixOf, MixStage};
use crate::bay::records::LastFill;
use crate::trade::fill_plan::{InBand, Part};
use crate::trade::measure::Measure;
use crate::trade::topping_up::{Addition, Remedy};
use crate::trade::units::{Strength, Volume};

/// More measures than this leave their keys too narrow.
const KEYS: usize = 4;

pub fn how_much(bay: &Bay) -> Shown {
    let in_hand = bay.mixing().left_over();
    let total: Volume = in_hand.loads().iter().copied().sum();
    let mut shown = Shown::new(
        MixPage::Tiles,
        tr!("How much is left?"),
        bay.sprayer().name.as_str(),
    );
    shown.upper = [Part::Quarter, Part::Half, Part::ThreeQuarters]
        .into_iter()
        .map(|part| {
            let volume = bay.about(part).unwrap_or_default();
            let about = tr!("about {}", bay.level_shown(volume));
            Pressed::mix(part.shown(), about, MixAction::AboutLeft(part))
        })
        .collect();
    shown.upper.push(Pressed::mix(
        tr!("Type it"),
        tr!("measured"),
        MixAction::Open(MixStage::LeftTyped),
    ));
    // The largest, in their order.
    let mut by_size: Vec<&Measure> = bay.setup().measures.iter().collect();
    by_size.sort_by(|a, b| b.size.as_ml().total_cmp(&a.size.as_ml()));
    shown.lower = by_size
        .into_iter()
        .take(KEYS)
        .map(|measure| {
            let load = MixAction::AddLoad(measure.id.clone());
            Pressed::mix(format!("+ {}", measure.shown(measure.size)), "", load)
        })
        .collect();
    let some = !in_hand.loads().is_empty();
    let undo = Pressed::mix(tr!("Undo"), tr!("last load"), MixAction::UndoLoad);
    let take = Pressed::mix(tr!("Next"), bay.level_shown(total), MixAction::TakeLoads);
    shown.lower.push(undo.enabled(some));
    shown.lower.push(take.main().enabled(some));
    shown
}

pub fn typed(bay: &Bay) -> Shown {
    Shown::volume(
        bay,
        tr!("Left in it"),
        tr!("Measure what is left, and type it."),
    )
}

/// "4.01 %, 2 Mar 08:12"
fn fill_note(last: &LastFill) -> String {
    format!(
        "{}, {}",
        last.fill.strength.shown(),
        last.at.format("%H:%M")
    )
}

pub fn which_mix(bay: &Bay) -> Shown {
    let mut shown = Shown::new(
        MixPage::Tiles,
        tr!("Which mix is left?"),
        tr!("only {} in it", &bay.chemical().name),
    );
    let known = bay.mixing().last();
    let known = known.filter(|last| last.fill.fraction().is_some());
    let last = Pressed::mix(
        tr!("The last fill"),
        known.map_or_else(|| tr!("not known"), fill_note),
        MixAction::Of(MixOf::LastFill),
    );
    let mix = bay.mixing().left_over().mix();
    shown.upper = vec![
        last.enabled(known.is_some())
            .picked(mix == Some(MixOf::LastFill)),
        Pressed::mix(
            "1 + N",
            tr!("in the container"),
            MixAction::Open(MixStage::RatioTyped),
        )
        .picked(matches!(mix, Some(MixOf::Ratio(_)))),
        Pressed::mix(
            "%",
            tr!("on the vehicle"),
            MixAction::Open(MixStage::StrengthTyped),
        )
        .picked(matches!(mix, Some(MixOf::Strength(_)))),
    ];
    shown
}

pub fn ratio(bay: &Bay) -> Shown {
    let typed = bay.mixing().typed();
    let mut shown = Shown::new(MixPage::Number, tr!("Ratio"), bay.sprayer().name.as_str());
    shown.value = match typed.text() {
        "" => String::new(),
        parts => format!("1 + {parts}"),
    };
    shown.words = tr!("Parts of water to one part of product, in the container.");
    shown.lower = vec![next(typed.number().is_some())];
    shown
}

pub fn strength(bay: &Bay) -> Shown {
    let typed = bay.mixing().typed();
    let mut shown = Shown::new(MixPage::Number, tr!("Lands"), bay.sprayer().name.as_str());
    shown.value = typed.text().into();
    shown.unit = "%".into();
    shown.words = tr!("What this mix puts on the vehicle.");
    let right = typed.number().and_then(Strength::percent).is_some();
    shown.lower = vec![next(right)];
    shown
}

pub fn up_to(bay: &Bay) -> Shown {
    let words = tr!("So much is to be in it, product and water.");
    let mut shown = Shown::volume(bay, tr!("In all"), words);
    let line = Pressed::mix(tr!("To the line"), "", MixAction::ToTheLine);
    shown.lower.insert(0, line);
    shown
}

pub fn result(bay: &Bay) -> Shown {
    let mut shown = Shown::new(
        MixPage::Result,
        tr!("Left-over"),
        bay.sprayer().name.as_str(),
    );
    let (contents, strength, fill, remedy) = match bay.left_over_says() {
        LeftOverSays::NoFigure(why) => return shown.without_figure(bay, &why),
        LeftOverSays::Ask => return shown,
        LeftOverSays::Do {
            contents,
            lands,
            fill,
            remedy,
        } => (contents, lands, fill, remedy),
    };
    let left = bay.level_shown(contents.volume);
    shown.note = match strength {
        Some(strength) => tr!("{} in it, {} lands", left.clone(), strength.shown()),
        None => tr!("{} of water", left.clone()),
    };
    let up_to = match bay.mixing().left_over().up_to() {
        Part::Full => tr!("Up to the line, {}.", bay.level_shown(fill)),
        part => tr!("Up to {}.", part_in_bay(bay, part)),
    };
    match &remedy {
        Remedy::Add(addition) => {
            shown.title = tr!("Add to what is in it");
            show_addition(bay, &mut shown, addition);
            shown.words = format!("{} {}", measure_words(addition), up_to);
        }
        Remedy::PourOff {
            away,
            then,
            smallest,
        } => {
            shown.title = match *away >= contents.volume {
                true => tr!("Pour all of it off"),
                false => tr!("Pour off {}", bay.level_shown(*away)),
            };
            show_addition(bay, &mut shown, then);
            let whole = match (bay.smallest_that_fits(), smallest) {
                (Some(part), _) => {
                    let part = part_in_bay(bay, part);
                    tr!("Or pour nothing off: it makes {}.", part)
                }
                (None, Some(whole)) => {
                    tr!(
                        "All of it would make {}, more than goes in.",
                        bay.level_shown(*whole)
                    )
                }
                (None, None) => String::new(),
            };
            shown.words = format!(
                "{} {} {up_to} {whole}",
                tr!("Then add."),
                measure_words(then)
            );
        }
        Remedy::OutOfReach { wanted, strongest } => {
            let why = crate::bay::mixing::NoFigure::OutOfReach {
                wanted: *wanted,
                strongest: *strongest,
            };
            return shown.without_figure(bay, &why);
        }
        Remedy::Unmeasurable { .. } => {
            shown.words = unmeasurable();
        }
    }
    let done = matches!(remedy, Remedy::Add(_) | Remedy::PourOff { .. });
    if let Some(part) = bay.smallest_that_fits() {
        shown.lower.push(Pressed::mix(
            part_in_bay(bay, part),
            tr!("keep all"),
            MixAction::MakeSmallest,
        ));
    } else if done {
        shown
            .lower
            .push(Pressed::mix(tr!("Say it"), "", MixAction::Say));
    }
    shown.lower.push(Pressed::mix(
        tr!("How much"),
        tr!("make up"),
        MixAction::Open(MixStage::UpTo),
    ));
    shown.lower.push(Pressed::mix(
        tr!("Which mix"),
        tr!("is left"),
        MixAction::Open(MixStage::WhichMix),
    ));
    if done {
        shown
            .lower
            .push(Pressed::mix(tr!("Added"), tr!("log it"), MixAction::Done).main());
    }
    shown
}

pub fn unmeasurable() -> String {
    tr!(
        "No measure here shows what would be right. Empty it and make up a full one, or ask the shift lead."
    )
}

/// Product and water in the order in which they are poured, and what lands then.
pub fn show_addition(bay: &Bay, shown: &mut Shown, addition: &Addition) {
    let dose = addition.pour.dose;
    let unit = addition.pour.measure.unit();
    let water_first = bay.chemical().is_water_first();
    // As much as a drop is not poured.
    let has = (dose.product.is_some_liquid(), dose.water.as_ml() >= 0.5);
    let both = has == (true, true);
    let product = has.0.then(|| match both && water_first {
        true => figure(unit, dose.product, tr!("then product")),
        false => figure(unit, dose.product, tr!("product")),
    });
    let water = has.1.then(|| match both && water_first {
        true => figure(unit, unit.water(dose.water), tr!("water first")),
        false => figure(unit, unit.water(dose.water), tr!("water")),
    });
    let order = match water_first {
        true => [water, product],
        false => [product, water],
    };
    shown.figures.extend(order.into_iter().flatten());
    let then = lands(addition.pour.strength, tr!("lands then"));
    shown.figures.push(then);
}

pub fn measure_words(addition: &Addition) -> String {
    let with = match addition.pour.dose.product.is_some_liquid() {
        true => tr!("Product with: {}.", text(&addition.pour.measure_words())),
        false => tr!("Water only."),
    };
    match addition.coarse {
        true => format!("{with} {}", tr!("A coarse measure for it: look closely.")),
        false => with,
    }
}

/// Where a strength lies, in words.
pub fn verdict(bay: &Bay, in_band: InBand) -> String {
    match in_band {
        InBand::Inside => tr!("Inside the band."),
        InBand::Below | InBand::Above | InBand::NoBand => {
            band_words(bay, bay.ground().ok().map(|ground| ground.wanted))
        }
    }
}
