//! Updates of a panel, joined with its sticks.

use super::USUAL_BAY;
use fillcall::bay::ports::{OnlyToLookAt, Updates};
use fillcall::sticks::commands::SystemCommands;
use fillcall::sticks::{Places, fetching};
use fillcall::update::asking::{Asking, Where};
use std::path::Path;
use std::sync::Arc;

/// What installs.
const UPDATER: &str = "/usr/sbin/fillcall-update";

/// Those of the wall on the bay in `dir`: a wall in a window, or of another folder, has none.
pub fn of(dir: &Path) -> Box<dyn Updates> {
    let folder = dir.parent().filter(|_| dir == Path::new(USUAL_BAY));
    match folder.filter(|_| Path::new(UPDATER).exists()) {
        None => Box::new(OnlyToLookAt),
        Some(folder) => Box::new(Asking::new(
            Where::of_a_panel(folder),
            Arc::new(|wanted, to| fetching::fetch(&Places::default(), &SystemCommands, wanted, to)),
        )),
    }
}
