//! The touch panel.

use super::inputs::{self, Input};
use super::{Finding, Root, no_kernel};

const WHAT: &str = "touch";

/// Looks for a touch panel.
pub fn look(root: &Root) -> Finding {
    if !root.runs() {
        return no_kernel(WHAT);
    }
    match inputs::names(root, Input::is_touch_panel) {
        Some(names) => Finding::good(WHAT, format!("{names}.")),
        None => Finding::wrong(
            WHAT,
            "There is no touch panel.",
            "Push the touch panel's plug home: it has a cable of its own on many displays. If it stays so: \
             journalctl -k",
        ),
    }
}
