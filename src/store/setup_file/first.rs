//! The first set-up file of a bay: what it must have, with nothing in it that is true of any bay.

use super::super::toml_text::write;
use crate::bay::setup::Panel;
use crate::store::fault::StoreFault;
use crate::store::{SETUP_FILE, atomic, setup_path};
use crate::trade::language::Language;
use std::io::ErrorKind;
use std::path::Path;

/// The set-up file of a bay that nobody has set up yet: one sprayer, one chemical and one measure that
/// stand for those that will be asked for at the screen. As long as `setting_up` stands in it, no fill
/// is shown.
pub fn first(panel: Panel, language: Language) -> String {
    let names = match language {
        Language::English => ["Wash bay", "Sprayer", "Product", "Jug"],
        Language::Spanish => ["Zona de lavado", "Pulverizador", "Producto", "Jarra"],
    };
    let [bay, sprayer, chemical, measure] = names.map(write::text);
    let profile = write::text(panel.profile.name());
    let diagonal = write::number(panel.diagonal_inches);
    let language = write::text(language.code());
    format!(
        r#"# The set-up of this wash bay. It is being written at the screen, question by
# question, and may be edited by hand as well: `fillcall check BAY` reads it and
# tells every mistake with its line.
#
# How to write things
#   volumes    with their unit: "820 ml", "1.5 l", "32 US fl oz", "1 UK gal"
#   strengths  in percent: "4 %"
#   ratios     product + water: "1 + 10" (never 1:10, which can be read two ways)
#
# What may be left out is not here; the demonstration bay has all of it.

setting_up = 1                  # the question that is asked next. As long as this
                                # stands here, what is below is nobody's bay, and no
                                # fill is shown
name = {bay}
day_chemical = "chemical-1"     # the id of one of the chemicals below
operators_may_change_chemical = false
language = {language}
units = "metric"                # how volumes are typed: "metric", "US" or "UK"

[screen]
profile = {profile}
diagonal_inches = {diagonal}

[sound]
voice = "speech"                # "speech", "beeps" or "off"
volume_percent = 80

# When to calibrate a sprayer again.
[reminder]
washes = 40                     # due after so many washes


# ---- What sprays. "holds" is what the container takes up to its line with the
# ---- pick-up tube in.

[[sprayer]]
id = "sprayer-1"
name = {sprayer}
kind = "foam lance"             # or "drum injector" or "direct sprayer"
holds = "1 l"
nozzle = "?"
washer = "?"


# ---- What is sprayed. The cautions are a reminder of the product's own label and
# ---- safety data sheet, and never replace them.

[[chemical]]
id = "chemical-1"
name = {chemical}
on_vehicle = "1 %"
cautions = ["?"]


# ---- What is poured with: its size, and the step between two of its lines.

[[measure]]
id = "measure-1"
name = {measure}
size = "1 l"
graduation = "10 ml"
"#
    )
}

/// Writes the first set-up file into `dir` where that is an empty folder, or one that is not there yet
/// in a folder that is. True where it was written; anything else is left alone.
///
/// # Errors
/// The folder cannot be made or looked into, or the file not be written.
pub fn write_first(dir: &Path, panel: Panel, language: Language) -> Result<bool, StoreFault> {
    match std::fs::create_dir(dir) {
        Ok(()) => atomic::sync_dir(atomic::folder_of(dir))?,
        Err(error) => match error.kind() {
            ErrorKind::AlreadyExists => {}
            // A slip in the name of the folder is told as one: nothing is made along the way.
            ErrorKind::NotFound => return Ok(false),
            _ => return Err(StoreFault::disk(dir, "making the folder", &error)),
        },
    }
    let looking = |error: &std::io::Error| StoreFault::disk(dir, "looking into it", error);
    let entries = match std::fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotADirectory => return Ok(false),
        Err(error) => return Err(looking(&error)),
    };
    for entry in entries {
        let name = entry.map_err(|error| looking(&error))?.file_name();
        if !is_nothing(&name.to_string_lossy()) {
            return Ok(false);
        }
    }
    atomic::write_text(&setup_path(dir), &first(panel, language))?;
    Ok(true)
}

/// What is in a folder that is empty all the same: of a file system, or of a first file whose writing
/// was cut off.
fn is_nothing(name: &str) -> bool {
    let of_us = name
        .strip_prefix('.')
        .and_then(|rest| rest.strip_prefix(SETUP_FILE));
    name == "lost+found" || of_us.is_some_and(|rest| rest.ends_with(".part"))
}

#[cfg(test)]
mod tests {
    use super::super::{read, read_bay};
    use super::*;
    use crate::bay::setup::Profile;

    #[test]
    fn it_is_a_set_up_that_says_that_it_is_none_yet() {
        for profile in Profile::ALL {
            let panel = Panel {
                diagonal_inches: 7.25,
                ..Panel::usual(profile)
            };
            for language in Language::ALL {
                let setup = read(&first(panel, language)).unwrap_or_else(|f| panic!("{f:#?}"));
                assert_eq!((setup.panel, setup.language), (panel, language));
                assert_eq!(setup.unfinished, Some(1));
                let counts = (
                    setup.sprayers.len(),
                    setup.chemicals.len(),
                    setup.measures.len(),
                );
                assert_eq!(counts, (1, 1, 1));
            }
        }
    }

    #[test]
    fn it_is_written_into_nothing_but_an_empty_folder() {
        let folder = tempfile::tempdir().expect("a folder");
        let panel = Panel::usual(Profile::Seven1024);
        let write = |dir: &Path| write_first(dir, panel, Language::English);
        let new = folder.path().join("bay");
        assert_eq!(write(&new), Ok(true));
        assert_eq!(read_bay(&new).expect("a set-up").unfinished, Some(1));
        // Not a second time, whatever was made of it.
        std::fs::write(setup_path(&new), "mine").expect("written");
        assert_eq!(write(&new), Ok(false));
        assert_eq!(
            std::fs::read_to_string(setup_path(&new)).ok().as_deref(),
            Some("mine")
        );
        // A slip in the name.
        assert_eq!(write(&folder.path().join("bya/north")), Ok(false));
        assert!(!folder.path().join("bya").exists());
        for (name, is_written) in [
            ("records.sqlite", false),
            ("wall.lock", false),
            ("training.toml", false),
            ("notes.txt", false),
            (".bay.toml.4711.part", true),
            ("lost+found", true),
        ] {
            let dir = folder.path().join(format!("with {name}"));
            std::fs::create_dir(&dir).expect("a folder");
            std::fs::write(dir.join(name), "").expect("written");
            assert_eq!(write(&dir), Ok(is_written), "{name}");
            assert_eq!(setup_path(&dir).exists(), is_written, "{name}");
        }
        // A file is no folder.
        let file = folder.path().join("file");
        std::fs::write(&file, "").expect("written");
        assert_eq!(write(&file), Ok(false));
    }
}
