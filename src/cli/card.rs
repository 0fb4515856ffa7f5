//! `fillcall card`: the wall card.

use super::{Outcome, bay_folder, print};
use fillcall::bay::card::{self, Format};
use std::path::Path;

pub fn run(dir: &Path, format: Format) -> Outcome {
    let bay = bay_folder::look_at(dir)?;
    bay_folder::must_be_set_up(&bay)?;
    print(&card::write(&bay, bay_folder::now().wall, format))
}
