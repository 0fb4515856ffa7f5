//! `fillcall export`: everything that happened, as a table.

use super::words::how_many;
use super::{Outcome, bay_folder, print};
use fillcall::store::atomic::write_text;
use std::path::Path;

pub fn run(bay: &Path, file: &Path) -> Outcome {
    let mut looked_at = bay_folder::look_at(bay)?;
    let table = looked_at.all_records_csv().map_err(|fault| fault.message)?;
    write_text(file, &table).map_err(|fault| fault.to_string())?;
    // The first row is the head.
    let rows = table.matches("\r\n").count().saturating_sub(1);
    let rows = how_many(rows, "row", "rows");
    print(&format!("Wrote {rows} to {}\n", file.display()))
}
