//! What starts the wall again when it hangs.

use super::{Finding, Root, settings};
use crate::text;

const WHAT: &str = "watchdog";
/// The unit, where the package puts it and where somebody may put another.
const UNITS: [&str; 2] = [
    "usr/lib/systemd/system/fillcall.service",
    "etc/systemd/system/fillcall.service",
];
/// What adds to it.
const ADDED: &str = "etc/systemd/system/fillcall.service.d";

/// Looks whether a wall that hangs is started again. `usec` is what systemd told this process.
pub fn look(root: &Root, usec: Option<&str>) -> Finding {
    if let Some(usec) = usec.and_then(|text| text.parse::<u64>().ok()) {
        return Finding::good(
            WHAT,
            text!("A stuck wall is ended after {} s.", usec / 1_000_000),
        );
    }
    if !UNITS.iter().any(|unit| root.has(unit)) {
        return Finding::warn(
            WHAT,
            "The wall is not started by systemd here. Nothing starts it again when it hangs.",
            "Install the package, then: fillcall-kiosk on",
        );
    }
    let set = set_to(root).unwrap_or_default();
    if set.is_empty() || set == "0" || set == "infinity" {
        return Finding::wrong(
            WHAT,
            "It is switched off. A wall that hangs stays so.",
            "Look for WatchdogSec= in: systemctl cat fillcall. Take what switches it off out.",
        );
    }
    if !root.has("run/systemd/system") {
        let says = text!(
            "It is set to {} s, and is seen at work on a running panel only.",
            set
        );
        return Finding::not_here(WHAT, says);
    }
    // Systemd keeps a link of this name as long as the unit runs.
    if !root.has("run/systemd/units/invocation:fillcall.service") {
        return Finding::wrong(
            WHAT,
            "The wall does not run.",
            "systemctl start fillcall. If it ends again: journalctl -u fillcall",
        );
    }
    Finding::good(WHAT, text!("A stuck wall is ended after {} s.", set))
}

/// The last setting in the order in which systemd reads them, in seconds.
fn set_to(root: &Root) -> Option<String> {
    let added = root.names(ADDED).into_iter();
    let added = added.filter(|name| name.ends_with(".conf"));
    let files = UNITS.map(str::to_owned).into_iter();
    let files = files.chain(added.map(|name| format!("{ADDED}/{name}")));
    let texts: Vec<String> = files.filter_map(|file| root.text(&file)).collect();
    let last = settings::last_of(&texts.join("\n"), "WatchdogSec")?;
    Some(last.trim().trim_end_matches(['s', ' ']).to_owned())
}
