//! Reads `bay.toml`, with all mistakes at once, each with its line.
//!
//! The keys are shown, with what they mean, in `kiosk-setup/demo-bay/bay.toml`. A key that begins with
//! `x_` is the bay's own and passed over; any other that is not known is a mistake, because it may be
//! one that was mistyped.

mod balance;
mod bay;
mod chemicals;
mod cross;
pub mod edit;
mod emergency;
mod first;
mod glass;
mod hazards;
mod measures;
mod sound;
mod sprayers;
mod vehicles;

pub use edit::FileKeeper;
pub use first::{first, write_first};

use super::fault::SetupFault;
use super::toml_text::{self, Found, Reader, Section};
use super::{SETUP_FILE, plain, setup_path};
use crate::bay::limits::LONGEST_NAME;
use crate::bay::setup::Setup;
use crate::trade::units::Volume;
use std::ops::RangeInclusive;
use std::path::Path;

/// Reads the text of a set-up file.
///
/// # Errors
/// Every mistake in it, in the order of the lines.
pub fn read(text: &str) -> Result<Setup, Vec<SetupFault>> {
    let mut reader = Reader::new(text);
    let setup = toml_text::parse(text, &mut reader)
        .and_then(|document| setup(&mut reader, Section::top_with_own_keys(document.as_table())));
    match setup {
        Some(setup) if reader.is_clean() => Ok(setup),
        _ => Err(reader.into_faults()),
    }
}

/// Reads the set-up of the bay in the folder `dir`.
///
/// # Errors
/// Every mistake in it; or one fault with line 0 where it is missing or cannot be read.
pub fn read_bay(dir: &Path) -> Result<Setup, Vec<SetupFault>> {
    read(&text_of(dir).map_err(|fault| vec![fault])?)
}

/// The text of the set-up file of the bay in the folder `dir`.
///
/// # Errors
/// It is missing, no file, cannot be read or is not UTF-8.
pub fn text_of(dir: &Path) -> Result<String, SetupFault> {
    use std::io::ErrorKind;
    let path = setup_path(dir);
    if let Some(what) = plain::instead(&path) {
        return Err(SetupFault {
            line: 0,
            key: SETUP_FILE.into(),
            wrong: format!("{} is {what} and no file", path.display()),
            right: plain::REMEDY.into(),
        });
    }
    std::fs::read_to_string(&path).map_err(|error| {
        let shown = path.display();
        let (wrong, right) = match error.kind() {
            ErrorKind::NotFound => (
                format!("there is no {shown}"),
                "open an empty folder to be asked for everything (fillcall --bay FOLDER), or write \
                 one (the demonstration bay has a commented example), or bring a bay back (fillcall \
                 restore BAY FILE)",
            ),
            ErrorKind::PermissionDenied => (
                format!("{shown} may not be read"),
                "give the user that fillcall runs as the right to read it",
            ),
            ErrorKind::InvalidData => (
                format!("{shown} is not UTF-8 text"),
                "save it as UTF-8 in the text editor",
            ),
            _ => (
                format!("{shown} cannot be read: {error}"),
                "check that it is a file and that the disk is sound",
            ),
        };
        SetupFault {
            line: 0,
            key: SETUP_FILE.into(),
            wrong,
            right: right.into(),
        }
    })
}

/// Reads everything, then checks what belongs together; `None` where a part is missing, which has
/// been reported.
fn setup(reader: &mut Reader, mut top: Section<'_>) -> Option<Setup> {
    let bay = bay::read(reader, &mut top);
    let sprayers = sprayers::read(reader, &mut top);
    let chemicals = chemicals::read(reader, &mut top);
    let measures = measures::read(reader, &mut top);
    let vehicles = vehicles::read(reader, &mut top);
    top.finish(reader);
    cross::check(
        reader,
        bay.day_chemical.as_ref(),
        &sprayers,
        &chemicals,
        &measures,
        &vehicles,
    );
    let mut setup = Setup {
        name: bay.name?,
        demo: bay.demo,
        panel: bay.panel?,
        sprayers: sprayers.into_iter().filter_map(|s| s.whole).collect(),
        chemicals: chemicals.into_iter().filter_map(|c| c.whole).collect(),
        day_chemical: bay.day_chemical?.value,
        operators_may_change_chemical: bay.operators_may_change_chemical?,
        measures: measures.into_iter().filter_map(|m| m.whole).collect(),
        limits: bay.limits?,
        check_limit: bay.check_limit?,
        balance_step_kg: bay.balance_step_kg?,
        entry_units: bay.entry_units?,
        voice: bay.voice?,
        volume_percent: bay.volume_percent?,
        quiet: bay.quiet?,
        language: bay.language?,
        voice_folder: bay.voice_folder,
        currency: bay.currency,
        vehicles: vehicles.into_iter().filter_map(|v| v.whole).collect(),
        stock_warn_days: bay.stock_warn_days?,
        lead_minutes: bay.lead_minutes?,
        dimming: bay.dimming?,
        emergency: bay.emergency?,
        unfinished: bay.unfinished,
    };
    setup
        .measures
        .sort_by(|a, b| a.graduation.as_ml().total_cmp(&b.graduation.as_ml()));
    Some(setup)
}

/// A sprayer, chemical, measure or vehicle as far as it could be read: id and name are checked
/// against the others even where something else in it is wrong.
struct Part<T> {
    id: Option<Found<String>>,
    name: Option<Found<String>>,
    /// The ids of others of its kind that stand in it.
    refers: Vec<Found<String>>,
    whole: Option<T>,
}

/// An id: short, and safe on a command line and in a table.
fn id(reader: &mut Reader, section: &mut Section<'_>) -> Option<Found<String>> {
    const RIGHT: &str = "write a short one in quotes, such as \"lance-1\": letters, digits and -";
    let found = section.text(reader, "id", RIGHT);
    let found = section.required(reader, "id", found, RIGHT)?;
    if !is_id(&found.value) {
        let wrong = format!("\"{}\" is not an id", found.value);
        reader.at(&found, wrong, RIGHT);
        return None;
    }
    Some(found)
}

/// True for what can be an id.
fn is_id(text: &str) -> bool {
    let fits = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    !text.is_empty() && text.len() <= 32 && text.chars().all(fits)
}

/// A name that must be there.
fn name(
    reader: &mut Reader,
    section: &mut Section<'_>,
    key: &'static str,
    right: &str,
) -> Option<Found<String>> {
    let found = section.name(reader, key, LONGEST_NAME);
    section.required(reader, key, found, right)
}

/// A volume within what is possible for it.
fn volume(
    reader: &mut Reader,
    section: &mut Section<'_>,
    key: &'static str,
    right: &str,
    range: RangeInclusive<Volume>,
) -> Option<Found<Volume>> {
    let found = section.parsed(reader, key, right, Volume::parse)?;
    if range.contains(&found.value) {
        return Some(found);
    }
    let right = format!(
        "write a volume from {} to {}",
        range.start().shown(),
        range.end().shown()
    );
    let wrong = format!("{} cannot be", found.value.shown());
    reader.at(&found, wrong, right);
    None
}

#[cfg(test)]
mod same_at_the_screen;
#[cfg(test)]
mod tests;
