//! `fillcall backup` and `fillcall restore`.

use super::words::{count, how_many};
use super::{Outcome, print};
use fillcall::store::backup::{self, Summary};
use std::path::Path;

pub fn backup(bay: &Path, file: &Path, replace: bool) -> Outcome {
    let summary = backup::backup(bay, file, replace).map_err(|fault| fault.to_string())?;
    print(&format!(
        "Backed up {} to {}\n",
        words(&summary),
        file.display()
    ))
}

pub fn restore(bay: &Path, file: &Path, replace: bool) -> Outcome {
    let summary = backup::restore(bay, file, replace).map_err(|fault| fault.to_string())?;
    let mut text = format!("Restored {} to {}\n", words(&summary), bay.display());
    if let Some(aside) = &summary.kept_aside {
        text.push_str(&format!(
            "The bay that was there is kept in {}\n",
            aside.display()
        ));
    }
    print(&text)
}

fn words(summary: &Summary) -> String {
    format!(
        "\"{}\": {}, {}, {}, {}, {}",
        summary.bay,
        how_many(summary.sprayers, "sprayer", "sprayers"),
        how_many(summary.chemicals, "chemical", "chemicals"),
        count(summary.records.washes, "wash", "washes"),
        count(summary.records.fills, "fill", "fills"),
        count(summary.records.calibrations, "calibration", "calibrations"),
    )
}
