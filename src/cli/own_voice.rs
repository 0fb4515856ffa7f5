//! The voice of a bay's own, where its set-up names one.

use fillcall::bay::setup::Setup;
use fillcall::sound::voice::Pack;
use fillcall::sound::voices::Voices;
use std::path::Path;

/// The voices of a bay in the folder `dir`, or everything that is wrong with its own one.
pub fn of(dir: &Path, setup: &Setup) -> Result<Voices, Vec<String>> {
    let Some(folder) = &setup.voice_folder else {
        return Ok(Voices::default());
    };
    match Pack::read(&dir.join(folder)) {
        Ok(pack) => Ok(Voices::with_own(Some(pack))),
        Err(faults) => Err(faults.iter().map(ToString::to_string).collect()),
    }
}
