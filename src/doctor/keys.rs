//! Number pad, pedal and keyboard.

use super::inputs::{self, Input};
use super::{Finding, Root, no_kernel};

const WHAT: &str = "keys";

/// Looks for keys, and for what says which key is which.
pub fn look(root: &Root) -> Finding {
    if !root.has("usr/share/X11/xkb/rules/evdev") {
        return Finding::wrong(
            WHAT,
            "The table that says which key is which is missing. The first key would end the wall.",
            "apt-get install xkb-data",
        );
    }
    if !root.runs() {
        return no_kernel(WHAT);
    }
    let all = inputs::all(root).unwrap_or_default();
    let keys: Vec<&Input> = all.iter().filter(|input| input.has_keys()).collect();
    if keys.is_empty() {
        return Finding::warn(
            WHAT,
            "There is no number pad and no pedal. Everything can be done by touch.",
            "If there should be one, push its plug home.",
        );
    }
    Finding::good(WHAT, format!("{}.", inputs::names(&keys)))
}
