//! Files of lines `KEY=VALUE`: the settings of the panel, the marker of its records, and units.

use super::Root;
use crate::bay::setup::Profile;

/// Where the settings of the panel are.
pub const FILE: &str = "/etc/default/fillcall";

/// What a key is set to in such a text: the last line of it counts, as systemd has it, and quotes around
/// a value are none of it. `None` where it is not set, or to nothing, or only in a comment.
pub fn last_of(text: &str, key: &str) -> Option<String> {
    let set = text.lines().rev().find_map(|line| {
        let (name, value) = line.trim().split_once('=')?;
        (name == key).then(|| value.trim().trim_matches(['"', '\'']).to_owned())
    });
    set.filter(|value| !value.is_empty())
}

/// The same of a file of the panel.
pub fn in_file(root: &Root, path: &str, key: &str) -> Option<String> {
    last_of(&root.text(path)?, key)
}

/// What a setting of the panel is set to.
pub fn value(root: &Root, key: &str) -> Option<String> {
    in_file(root, FILE.trim_start_matches('/'), key)
}

/// The panel that stands there instead of the one in the set-up.
pub fn profile(root: &Root) -> Option<Profile> {
    let options = value(root, "FILLCALL_OPTIONS")?;
    let mut words = options.split([' ', '=']).filter(|word| !word.is_empty());
    words.find(|word| *word == "--profile")?;
    Profile::from_name(words.next()?)
}
