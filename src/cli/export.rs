//! `fillcall export`: everything that happened, as a table.

use super::words::count;
use super::{Outcome, bay_folder, print};
use fillcall::bay::reporting::csv;
use fillcall::bay::reporting::through::First;
use fillcall::store::atomic::write_with;
use fillcall::store::output::may_write;
use fillcall::store::records::LogReader;
use fillcall::store::{StoreFault, records_path};
use std::path::Path;

pub fn run(dir: &Path, file: &Path, replace: bool) -> Outcome {
    let bay = bay_folder::look_at(dir)?;
    let setup = bay.setup();
    may_write(dir, file, replace).map_err(|fault| fault.to_string())?;
    // Twice through what may be years, and never more of it in memory than a part.
    let log = LogReader::open(&records_path(dir)).map_err(|fault| fault.message)?;
    let mut first = First::new(setup);
    log.each::<StoreFault>(|logged| {
        first.see(&logged);
        Ok(())
    })
    .map_err(|fault| fault.to_string())?;
    let (mut second, mut rows) = (first.again(), 0u64);
    let written = write_with(file, |out| {
        let fault = |e: std::io::Error| StoreFault::disk(file, "writing", &e);
        out.write_all(csv::head().as_bytes()).map_err(fault)?;
        log.each(|logged| {
            if let Some(line) = csv::line(&second.tell(logged), setup) {
                rows += 1;
                out.write_all(line.as_bytes()).map_err(fault)?;
            }
            Ok(())
        })
    });
    written.map_err(|fault| fault.to_string())?;
    let rows = count(rows, "row", "rows");
    print(&format!("Wrote {rows} to {}\n", file.display()))
}
