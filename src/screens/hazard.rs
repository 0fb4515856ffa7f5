//! The hazards of a chemical as the screens show them.

use super::tongue::{shown, tr};
use crate::trade::chemical::Chemical;
use crate::trade::hazard::{Pictogram, pictograms, precautions};

/// What is to be heeded of it, a line each: what is usually done against its hazards, and the bay's own
/// cautions. Empty where the set-up names nothing.
pub fn cautions(chemical: &Chemical) -> Vec<String> {
    let usual = Some(usual_cautions(chemical)).filter(|line| !line.is_empty());
    usual
        .into_iter()
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

/// Which symbols its label has: corrosion, exclamation mark.
pub fn signs(chemical: &Chemical) -> (bool, bool) {
    let signs = pictograms(&chemical.hazards);
    (
        signs.contains(&Pictogram::Corrosion),
        signs.contains(&Pictogram::Exclamation),
    )
}
