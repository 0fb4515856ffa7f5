//! Number pad, pedal and keyboard.

use super::inputs::{self, Input};
use super::{Finding, Root, no_kernel};
use crate::text;

const WHAT: &str = "keys";

/// Looks for keys, and for what says which key is which.
pub fn look(root: &Root) -> Finding {
    if !root.has("usr/share/X11/xkb/rules/evdev") {
        return Finding::wrong(
            WHAT,
            "The table that says which key is which is missing. The first key would end the wall.",
            text!("Put it in: apt-get install xkb-data"),
        );
    }
    if !root.runs() {
        return no_kernel(WHAT);
    }
    match inputs::names(root, Input::has_keys) {
        Some(names) => Finding::good(WHAT, text!("{}.", names)),
        None => Finding::warn(
            WHAT,
            "There is no number pad and no pedal. Everything can be done by touch.",
            "If there should be one, push its plug home.",
        ),
    }
}
