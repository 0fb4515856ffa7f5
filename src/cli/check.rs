//! `fillcall check`: is the set-up right, and can the records be read?

use super::words::{count, how_many};
use super::{Outcome, bay_folder, own_voice, print};
use fillcall::bay::at_work::Bay;
use fillcall::bay::records::Broken;
use fillcall::bay::setup::Voice;
use fillcall::sound::voice::Pack;
use fillcall::store::records::summary;
use fillcall::store::records_path;
use fillcall::store::setup_file::read_bay;
use fillcall::trade::announcement::product_words;
use fillcall::trade::fill_plan::Part;
use std::path::Path;

/// Names with more letters are cut on the tiles of the smallest panel.
const LONGEST_NAME: usize = 13;

pub fn run(dir: &Path) -> Outcome {
    let setup = read_bay(dir).map_err(|faults| bay_folder::mistakes(dir, &faults))?;
    let records = summary(&records_path(dir)).map_err(|fault| fault.message)?;
    let bay = bay_folder::look_at(dir)?;
    let mut text = format!(
        "{}: {}, {}, {}. The set-up is right.\nRecords: {}, {}, {}.\n",
        setup.name,
        how_many(setup.sprayers.len(), "sprayer", "sprayers"),
        how_many(setup.chemicals.len(), "chemical", "chemicals"),
        how_many(setup.measures.len(), "measure", "measures"),
        count(records.washes, "wash", "washes"),
        count(records.fills, "fill", "fills"),
        count(records.calibrations, "calibration", "calibrations"),
    );
    if !bay.broken().is_empty() {
        return Err(damage(&text, bay.broken()));
    }
    if setup.unfinished.is_some() {
        text = format!(
            "{}: the set-up can be read, but {}.\n",
            setup.name,
            bay_folder::NOT_SET_UP
        );
        return print(&text);
    }
    let names = setup.sprayers.iter().map(|s| ("sprayer", &s.id, &s.name));
    let names = names.chain(setup.chemicals.iter().map(|c| ("chemical", &c.id, &c.name)));
    for (what, id, name) in names.filter(|(_, _, name)| name.chars().count() > LONGEST_NAME) {
        text.push_str(&format!(
            "Note: {what} {id}: the name \"{name}\" is long and will be cut on small panels.\n"
        ));
    }
    match own_voice::of(dir, &setup) {
        Err(faults) => {
            return Err(format!(
                "{text}The bay's own voice cannot be used:\n{}",
                faults.join("\n")
            ));
        }
        Ok(voices) if setup.voice == Voice::Speech => {
            text.push_str(&voice_notes(&bay, voices.pack(bay.language())));
        }
        Ok(_) => {}
    }
    print(&text)
}

/// What was told so far, and what in the records is not as it was kept, each with what to do.
fn damage(so_far: &str, broken: &[Broken]) -> String {
    let mut text = format!("{so_far}The records are damaged:\n");
    for broken in broken {
        text.push_str(&format!("  {} {}", broken.words(), broken.remedy()));
        let sprayers: Vec<&str> = broken
            .no_dose
            .union(&broken.unknown_mix)
            .map(String::as_str)
            .collect();
        if !sprayers.is_empty() {
            text.push_str(&format!(" It bears on {}.", sprayers.join(", ")));
        }
        text.push('\n');
    }
    text.push_str("A backup is brought back with: fillcall restore BAY FILE --replace");
    text
}

/// What the voice of the bay cannot say.
fn voice_notes(bay: &Bay, voice: &Pack) -> String {
    let setup = bay.setup();
    let mut text = String::new();
    let missing: Vec<_> = voice.missing().into_iter().collect();
    if !missing.is_empty() {
        text.push_str(&format!(
            "Note: the voice {} has no clip for {}; what needs one is beeped. Record them, see \
             sounds/README.md.\n",
            voice.name,
            missing.join(", ")
        ));
    }
    for sprayer in &setup.sprayers {
        let announcement = bay.announce_fill(sprayer, bay.chemical_for(&sprayer.id), Part::Full);
        let unspoken = announcement.speech(&voice.lexicon).unspoken;
        if !unspoken.is_empty() {
            text.push_str(&format!(
                "Note: sprayer {}: the voice has no word for {}; it is shown but not spoken.\n",
                sprayer.id,
                unspoken.join(", ")
            ));
        }
    }
    for chemical in &setup.chemicals {
        if let Err(unspoken) = product_words(&chemical.name, &voice.lexicon) {
            text.push_str(&format!(
                "Note: chemical {}: the voice has no word for {}; it says \"product\" instead.\n",
                chemical.id,
                unspoken.join(", ")
            ));
        }
    }
    text
}
