//! Whether the wall is shut in as its unit says.

use super::{Finding, Root};
use crate::text;
use crate::trade::text::Text;

const WHAT: &str = "sandbox";

/// Looks at the process of the wall.
pub fn look(root: &Root) -> Finding {
    let Some(process) = wall(root) else {
        return Finding::not_here(WHAT, "The wall was not started by its unit.");
    };
    let Some(status) = root.text(&format!("proc/{process}/status")) else {
        return Finding::not_here(
            WHAT,
            "The wall's process cannot be looked at. Try it as root.",
        );
    };
    let told = |key: &str| {
        let mut lines = status.lines().filter_map(|line| line.split_once(':'));
        let found = lines.find(|(name, _)| *name == key);
        let value = found.and_then(|(_, value)| value.split_whitespace().next());
        value.unwrap_or_default()
    };
    let mut open = Vec::new();
    if told("NoNewPrivs") != "1" {
        open.push(text!("it may gain rights (NoNewPrivileges=)"));
    }
    // 2 is a list of what may be called.
    if told("Seccomp") != "2" {
        open.push(text!("it may call all of the kernel (SystemCallFilter=)"));
    }
    if told("Uid") == "0" {
        open.push(text!("it runs as root (User=)"));
    }
    if open.is_empty() {
        return Finding::good(WHAT, "The wall is shut in.");
    }
    Finding::wrong(
        WHAT,
        text!("The wall is not shut in: {}.", Text::list(open)),
        "Take out what opens it: systemctl cat fillcall. Then: systemctl restart fillcall",
    )
}

/// The wall's process by its name in `/proc`: this one where the unit started it.
fn wall(root: &Root) -> Option<String> {
    const UNIT: &str = "system.slice/fillcall.service";
    let own = root.text("proc/self/cgroup").unwrap_or_default();
    if own.contains(UNIT) {
        return Some("self".into());
    }
    let processes = root.text(&format!("sys/fs/cgroup/{UNIT}/cgroup.procs"))?;
    processes.lines().next().map(str::to_owned)
}
