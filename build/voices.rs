//! The voices under `sounds/` as a table that `src/sound/voice/carried.rs` includes: for each folder
//! with a `voice.toml` its description and its clips.

use std::env;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

/// Writes the table into the folder of what is generated, as `voices.rs`.
pub fn write_table() {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("set by cargo"));
    let sounds = root.join("sounds");
    let mut table = String::from("&[\n");
    // A folder's time changes with the files that come and go; those that stay are followed by
    // `include_bytes!` itself.
    println!("cargo::rerun-if-changed={}", sounds.display());
    for folder in listed(&sounds) {
        let description = folder.join("voice.toml");
        if !description.is_file() {
            continue;
        }
        println!("cargo::rerun-if-changed={}", folder.display());
        writeln!(
            table,
            "({:?}, include_str!({description:?}), &[",
            name(&folder)
        )
        .expect("text grows");
        for clip in listed(&folder) {
            if clip.extension().is_some_and(|end| end == "ogg") {
                writeln!(
                    table,
                    "({:?}, include_bytes!({clip:?}).as_slice()),",
                    name(&clip)
                )
                .expect("text grows");
            }
        }
        table.push_str("]),\n");
    }
    table.push_str("]\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("set by cargo")).join("voices.rs");
    fs::write(&out, table).unwrap_or_else(|e| panic!("{}: {e}", out.display()));
}

fn listed(folder: &Path) -> Vec<PathBuf> {
    let read = fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut paths: Vec<PathBuf> = read
        .map(|entry| entry.expect("a readable folder").path())
        .collect();
    paths.sort();
    paths
}

fn name(path: &Path) -> &str {
    path.file_name()
        .and_then(|name| name.to_str())
        .expect("names of clips are plain text")
}
