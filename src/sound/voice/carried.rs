//! The voices of `sounds/`, carried inside the program: speech needs no file at run time.

use super::Pack;
use super::description::Description;
use std::borrow::Cow;
use std::sync::LazyLock;

/// A file's name and its bytes.
type File = (&'static str, &'static [u8]);

/// The folder of each voice, its `voice.toml` and its clips; written by `build/voices.rs`.
const CARRIED: &[(&str, &str, &[File])] = include!(concat!(env!("OUT_DIR"), "/voices.rs"));

/// Every voice that is carried.
pub fn packs() -> &'static [Pack] {
    static PACKS: LazyLock<Vec<Pack>> = LazyLock::new(|| {
        CARRIED
            .iter()
            .map(|(folder, description, files)| {
                // A part of the program, and tested: it is right, or nothing of it ever ran.
                let description = Description::parse(description)
                    .unwrap_or_else(|wrong| panic!("sounds/{folder}/voice.toml: {wrong:?}"));
                let files = files
                    .iter()
                    .map(|(name, bytes)| ((*name).to_owned(), Cow::Borrowed(*bytes)));
                Pack::from_files(description, files.collect())
            })
            .collect()
    });
    &PACKS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::voice::clip;

    #[test]
    fn every_carried_file_is_a_clip_without_fault_and_has_its_word() {
        for ((folder, _, files), pack) in CARRIED.iter().zip(packs()) {
            assert_eq!(*folder, pack.language);
            assert_eq!(files.len(), pack.clips().count(), "{folder}");
            for (name, bytes) in *files {
                assert_eq!(clip::wrong(bytes), None, "{folder}/{name}");
            }
        }
    }
}
