//! `fillcall speak`: what the screen would say, to a WAV file.

use super::{Outcome, bay_folder, own_voice, print};
use fillcall::bay::setup::Voice;
use fillcall::sound::wav;
use fillcall::store::atomic::write_bytes;
use fillcall::store::output::may_write;
use fillcall::trade::fill_plan::Part;
use std::path::Path;

pub fn run(
    dir: &Path,
    sprayer: &str,
    chemical: Option<&str>,
    out: &Path,
    replace: bool,
) -> Outcome {
    let bay = bay_folder::look_at(dir)?;
    bay_folder::must_be_set_up(&bay)?;
    let setup = bay.setup();
    let ids = |ids: Vec<&str>| ids.join(", ");
    let found = setup.sprayer(sprayer).ok_or_else(|| {
        let known = ids(setup.sprayers.iter().map(|s| s.id.as_str()).collect());
        format!("this bay has no sprayer \"{sprayer}\"; it has {known}")
    })?;
    let chemical = match chemical {
        None => bay.chemical_for(&found.id),
        Some(id) if setup.chemical(id).is_some() => bay.at_strength_in_force(&found.id, id),
        Some(id) => {
            let known = ids(setup.chemicals.iter().map(|c| c.id.as_str()).collect());
            return Err(format!("this bay has no chemical \"{id}\"; it has {known}"));
        }
    };
    let said = bay.announce_fill(found, chemical, Part::Full);
    // A bay that is silent on the wall can still be listened to here.
    let voice = match setup.voice {
        Voice::Off => Voice::Speech,
        voice => voice,
    };
    let voices = own_voice::of(dir, setup).map_err(|faults| faults.join("\n"))?;
    let pack = voices.pack(bay.language());
    may_write(dir, out, replace)
        .and_then(|()| write_bytes(out, &wav::said(&said, pack, voice)))
        .map_err(|fault| fault.to_string())?;
    print(&format!("{}\n", said.text(&pack.lexicon)))
}
