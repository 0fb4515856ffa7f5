//! First aid for eyes and skin, in the words of the precautionary statements.

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
