//! The letters of the screens.

use super::{Finding, Root};

const WHAT: &str = "font";
/// The folders that the program may put its letters into.
const FOLDERS: [&str; 4] = ["run/fillcall", "run/user", "dev/shm", "tmp"];

/// Looks whether the letters that the program carries can be put somewhere for the screens to find.
pub fn look(root: &Root) -> Finding {
    let takes = |folder: &str| {
        let folder = root.at(folder);
        folder.is_dir() && root.system().may_write(&folder)
    };
    match FOLDERS.into_iter().any(takes) {
        true => Finding::good(WHAT, "The program carries its letters."),
        false => Finding::wrong(
            WHAT,
            "There is no folder for the letters that the program carries: /dev/shm and /tmp take no writing.",
            "Look how they are mounted: findmnt /dev/shm. They are in memory, and must be writable.",
        ),
    }
}
