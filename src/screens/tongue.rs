//! The language that is shown: the texts of the bay and of this folder in it.
//!
//! It is selected once for the thread that draws, as Slint's own translations are.

use crate::trade::text::Text;

/// A text in the language that is shown.
pub fn shown(text: &Text) -> String {
    text.to_string()
}

/// Puts a text together in the language that is shown: `tr!("{} washes", n)`.
macro_rules! tr {
    ($pattern:literal $(, $part:expr)* $(,)?) => {
        $crate::screens::tongue::shown(&$crate::text!($pattern $(, $part)*))
    };
}
pub(crate) use tr;
