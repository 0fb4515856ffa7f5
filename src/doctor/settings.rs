//! The settings of the panel in `/etc/default/fillcall`.

use super::Root;
use crate::bay::setup::Profile;

/// Where they are.
pub const FILE: &str = "/etc/default/fillcall";

/// What a setting is set to; `None` where it is not set, or only in a comment.
pub fn value(root: &Root, key: &str) -> Option<String> {
    let text = root.text("etc/default/fillcall")?;
    let set = text.lines().rev().find_map(|line| {
        let (name, value) = line.trim().split_once('=')?;
        (name == key).then(|| value.trim().trim_matches(['"', '\'']).to_owned())
    });
    set.filter(|value| !value.is_empty())
}

/// The panel that stands there instead of the one in the set-up.
pub fn profile(root: &Root) -> Option<Profile> {
    let options = value(root, "FILLCALL_OPTIONS")?;
    let mut words = options.split([' ', '=']).filter(|word| !word.is_empty());
    words.find(|word| *word == "--profile")?;
    Profile::from_name(words.next()?)
}
