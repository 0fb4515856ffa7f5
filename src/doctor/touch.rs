//! The touch panel.

use super::inputs::{self, Input};
use super::{Finding, Root, no_kernel};

const WHAT: &str = "touch";

/// Looks for a touch panel.
pub fn look(root: &Root) -> Finding {
    if !root.runs() {
        return no_kernel(WHAT);
    }
    let all = inputs::all(root).unwrap_or_default();
    let panels: Vec<&Input> = all.iter().filter(|input| input.is_touch_panel()).collect();
    if panels.is_empty() {
        return Finding::wrong(
            WHAT,
            "There is no touch panel.",
            "Push the touch panel's plug home: it has a cable of its own on many displays. If it stays so: \
             journalctl -k",
        );
    }
    Finding::good(WHAT, format!("{}.", inputs::names(&panels)))
}
