//! First aid in the words of the precautionary statements.

use super::text::Text;
use crate::text;

/// P305 + P351 + P338 (UN GHS, Annex 3, section 2; CLP Regulation, Annex IV; read in secondary texts).
pub fn eyes() -> Text {
    text!(
        "IF IN EYES: Rinse cautiously with water for several minutes. Remove contact lenses, if present \
         and easy to do. Continue rinsing."
    )
}

/// P303 + P361 + P353 (likewise).
pub fn skin() -> Text {
    text!(
        "IF ON SKIN (or hair): Take off immediately all contaminated clothing. Rinse skin with water or \
         shower."
    )
}

/// P304 + P340 in their newer wording, from memory; older lists say "victim" and "at rest". What follows is P310 in
/// plain words.
pub fn breathed_in() -> Text {
    text!(
        "IF INHALED: Remove person to fresh air and keep comfortable for breathing. Call for a doctor \
         at once."
    )
}

/// P301 + P330 + P331, which stand on what burns, from memory, and P310 in plain words. The label may say
/// otherwise.
pub fn swallowed() -> Text {
    text!(
        "IF SWALLOWED: Rinse mouth. Do NOT induce vomiting. Call for a doctor at once, with the label \
         in hand."
    )
}
