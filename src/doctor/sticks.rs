//! Whether the wall can open memory sticks.

use super::{Finding, Root};

const WHAT: &str = "sticks";
/// The rule that lets the wall's user open them.
const RULES: [&str; 2] = [
    "usr/share/polkit-1/rules.d/50-fillcall.rules",
    "etc/polkit-1/rules.d/50-fillcall.rules",
];

/// Looks for what opens and closes sticks.
pub fn look(root: &Root) -> Finding {
    if !root.has("usr/bin/udisksctl") {
        return Finding::warn(
            WHAT,
            "What opens memory sticks is missing. Tables, cards and backups cannot be taken from the screen.",
            "Put it in: apt-get install udisks2 polkitd",
        );
    }
    let daemons = ["usr/lib/polkit-1/polkitd", "usr/libexec/polkitd"];
    if !daemons.iter().any(|daemon| root.has(daemon)) {
        return Finding::warn(
            WHAT,
            "What asks whether the wall may open a stick is missing.",
            "Put it in: apt-get install polkitd",
        );
    }
    let kiosk = root.has("etc/fillcall/records");
    if kiosk && !RULES.iter().any(|rule| root.has(rule)) {
        return Finding::warn(
            WHAT,
            "The rule that lets the wall open sticks is missing.",
            "Install the package anew: apt-get install --reinstall ./fillcall_VERSION_ARCH.deb",
        );
    }
    Finding::good(WHAT, "They can be opened.")
}
