//! What a program that was killed in the middle of writing left in a bay's folder.

use super::{OWN_FILES, atomic};
use std::fs;
use std::path::Path;

/// Takes away the half-written files of the bay's own ones, `.bay.toml.4711.part`. Other files that end
/// so are somebody else's and stay. Gives how many there were; what cannot be taken away stays and does
/// no harm. To be called by the one wall that holds the bay: nobody else writes these.
pub fn clear(bay: &Path) -> usize {
    let Ok(entries) = fs::read_dir(bay) else {
        return 0;
    };
    entries
        .map_while(Result::ok)
        .filter(|entry| {
            let name = entry.file_name();
            let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
            is_file && is_part_of_own(&name.to_string_lossy())
        })
        .filter(|entry| fs::remove_file(entry.path()).is_ok())
        .count()
}

fn is_part_of_own(name: &str) -> bool {
    atomic::whole_of(name).is_some_and(|whole| OWN_FILES.contains(&whole))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_written_files_of_the_bay_go_and_those_of_others_stay() {
        let dir = tempfile::tempdir().expect("folder");
        let ours = [
            ".bay.toml.4711.part",
            ".lead-pin.1.part",
            ".training.toml.99999.part",
        ];
        let others = [
            ".bay.toml.part",
            ".bay.toml.x1.part",
            ".notes.txt.4711.part",
            "bay.toml.4711.part",
            "film.mp4.part",
            ".bay.toml.4711.part.old",
        ];
        for name in ours.iter().chain(&others) {
            fs::write(dir.path().join(name), "half").expect("file");
        }
        fs::create_dir(dir.path().join(".bay.toml.5.part")).expect("folder");
        assert_eq!(clear(dir.path()), ours.len());
        for name in ours {
            assert!(!dir.path().join(name).exists(), "{name}");
        }
        for name in others.iter().chain(&[".bay.toml.5.part"]) {
            assert!(dir.path().join(name).exists(), "{name}");
        }
        assert_eq!(clear(dir.path()), 0);
        assert_eq!(clear(&dir.path().join("none")), 0);
    }
}
