//! The touch panel.

use super::inputs::{self, Input};
use super::{Finding, Root, in_window, no_kernel};
use crate::bay::panel::{Standing, TOUCH as WHAT};
use crate::text;

/// Looks for a touch panel.
pub fn look(root: &Root, windowed: bool) -> Finding {
    if windowed {
        return in_window(WHAT);
    }
    if !root.runs() {
        return no_kernel(WHAT);
    }
    match inputs::names(root, Input::is_touch_panel) {
        Some(names) => Finding::good(WHAT, text!("{}.", names)),
        None if inputs::names(root, Input::is_mouse).is_some() => Finding::warn(
            WHAT,
            "There is no touch panel. There is a mouse.",
            "If there should be one, push its plug home.",
        )
        .standing(Standing::NoTouch),
        None => Finding::wrong(
            WHAT,
            "There is no touch panel.",
            "Push the touch panel's plug home: it has a cable of its own on many displays. If it stays so: \
             journalctl -k",
        )
        .standing(Standing::NoTouch),
    }
}
