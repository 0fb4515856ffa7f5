//! The light behind the glass.

use super::{Finding, Root, no_kernel};
use crate::text;
use std::fs;
use std::os::unix::fs::PermissionsExt;

const WHAT: &str = "backlight";

/// Whether the wall can set it, or draws its dimming.
pub fn look(root: &Root) -> Finding {
    if !root.runs() {
        return no_kernel(WHAT);
    }
    let names = root.names("sys/class/backlight");
    if names.is_empty() {
        return Finding::good(WHAT, "There is none to be set. Dimming is drawn.");
    }
    let is_open = |name: &String| {
        let file = root.at("sys/class/backlight").join(name).join("brightness");
        let mode = fs::metadata(file).map(|told| told.permissions().mode());
        mode.is_ok_and(|mode| mode & 0o020 != 0)
    };
    match names.iter().any(is_open) {
        true => Finding::good(WHAT, text!("{}.", names.join(", "))),
        false => Finding::warn(
            WHAT,
            text!(
                "{} may not be set by the wall. Dimming is drawn, and the light stays on.",
                names.join(", ")
            ),
            "Let the wall set it: udevadm trigger --action=add --subsystem-match=backlight",
        ),
    }
}
