//! `fillcall backup` and `fillcall restore`.

use super::{Outcome, print};
use fillcall::store::backup;
use std::path::Path;

pub fn backup(bay: &Path, file: &Path) -> Outcome {
    let summary = backup::backup(bay, file).map_err(|fault| fault.to_string())?;
    print(&format!(
        "{}: {summary} in {}\n",
        bay.display(),
        file.display()
    ))
}

pub fn restore(bay: &Path, file: &Path, replace: bool) -> Outcome {
    let summary = backup::restore(bay, file, replace).map_err(|fault| fault.to_string())?;
    print(&format!(
        "{}: {summary} brought back from {}\n",
        bay.display(),
        file.display()
    ))
}
