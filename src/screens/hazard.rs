//! The hazards of a chemical as the screens show them.

use super::generated::{PutOn, Symbols};
use super::tongue::{shown, tr};
use crate::trade::chemical::Chemical;
use crate::trade::hazard::{Pictogram, pictograms, precautions};
use crate::trade::protection::Protection;
use crate::trade::text::Text;

/// What is to be heeded of it, a line each: which of product and water goes in first where that is the
/// water, what is put on, what is usually done against its hazards, and the bay's own cautions.
pub fn cautions(chemical: &Chemical) -> Vec<String> {
    let usual = Some(usual_cautions(chemical)).filter(|line| !line.is_empty());
    let order = chemical
        .is_water_first()
        .then(|| tr!("Water first, then the product: never water into the product."));
    order
        .into_iter()
        .chain([tr!("Put on: {}", put_on_words(chemical))])
        .chain(usual)
        .chain(chemical.cautions.iter().cloned())
        .collect()
}

/// Its hazard statements with their codes, a line each; empty where the set-up names none.
pub fn statements(chemical: &Chemical) -> Vec<String> {
    let lines = chemical.hazards.iter();
    lines
        .map(|hazard| format!("{}: {}", hazard.code(), shown(&hazard.statement())))
        .collect()
}

/// What is usually done against them, on one line; empty where the set-up names no hazards.
fn usual_cautions(chemical: &Chemical) -> String {
    let cautions: Vec<String> = precautions(&chemical.hazards).iter().map(shown).collect();
    match cautions.is_empty() {
        true => String::new(),
        false => tr!("Usual cautions: {}", cautions.join(" ")),
    }
}

/// What is put on to handle it, in words.
pub fn put_on_words(chemical: &Chemical) -> String {
    let all = chemical.protection().into_iter();
    shown(&Text::list(all.map(Protection::label)))
}

/// What is put on to handle it, in signs.
pub fn put_on(chemical: &Chemical) -> PutOn {
    let all = chemical.protection();
    let has = |of| all.contains(&of);
    PutOn {
        gloves: has(Protection::Gloves),
        goggles: has(Protection::Goggles),
        face_shield: has(Protection::FaceShield),
        apron: has(Protection::Apron),
        respirator: has(Protection::Respirator),
    }
}

/// The symbols of its label.
pub fn symbols(chemical: &Chemical) -> Symbols {
    of_pictograms(&pictograms(&chemical.hazards))
}

/// These symbols.
pub fn of_pictograms(signs: &[Pictogram]) -> Symbols {
    let has = |sign| signs.contains(&sign);
    Symbols {
        skull: has(Pictogram::Skull),
        corrosion: has(Pictogram::Corrosion),
        health: has(Pictogram::Health),
        exclamation: has(Pictogram::Exclamation),
        environment: has(Pictogram::Environment),
    }
}

/// What the gravest symbol of its label says; where there is none, what the signs for what is put on
/// say.
pub fn symbol_word(chemical: &Chemical) -> String {
    match pictograms(&chemical.hazards).first() {
        Some(Pictogram::Skull) => tr!("Toxic"),
        Some(Pictogram::Corrosion) => tr!("Corrosive"),
        Some(Pictogram::Health) => tr!("Health hazard"),
        Some(Pictogram::Exclamation) => tr!("Harmful"),
        Some(Pictogram::Environment) => tr!("Environment"),
        None => tr!("Put on"),
    }
}
