//! A voice as a folder on a disk.

use super::description::Description;
use super::{Fault, Pack, Wrong, clip};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The file that makes a folder a voice.
const DESCRIPTION: &str = "voice.toml";
/// No clip that is allowed is larger; anything above is not even read.
const LARGEST_BYTES: u64 = 1024 * 1024;

pub fn read(folder: &Path) -> Result<Pack, Vec<Fault>> {
    let mut faults = Vec::new();
    let described = folder.join(DESCRIPTION);
    let description = match must_be_file(&described).and_then(|()| fs::read_to_string(&described)) {
        Ok(text) => Description::parse(&text)
            .map_err(|wrong| {
                faults.extend(wrong.into_iter().map(|wrong| Fault {
                    path: described.clone(),
                    wrong: Wrong::Description(wrong),
                }));
            })
            .ok(),
        Err(e) => {
            faults.push(Fault {
                path: described,
                wrong: Wrong::Unreadable(e.to_string()),
            });
            None
        }
    };
    let (files, wrong) = clips(folder);
    faults.extend(wrong);
    match description {
        Some(description) if faults.is_empty() => Ok(Pack::from_files(description, files)),
        _ => Err(faults),
    }
}

/// Every clip of the folder by the name of its file, and what is wrong with the others.
fn clips(folder: &Path) -> (BTreeMap<String, Cow<'static, [u8]>>, Vec<Fault>) {
    let (mut files, mut faults) = (BTreeMap::new(), Vec::new());
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        // Told already: the description cannot be read either.
        Err(_) => return (files, faults),
    };
    for entry in entries.map_while(Result::ok) {
        let path = entry.path();
        let Some(name) = entry.file_name().to_str().map(str::to_owned) else {
            continue;
        };
        if clip::word_of(&name).is_none() {
            continue;
        }
        match read_clip(&path) {
            Ok(bytes) => {
                files.insert(name, Cow::Owned(bytes));
            }
            Err(wrong) => faults.push(Fault { path, wrong }),
        }
    }
    faults.sort_by(|a, b| a.path.cmp(&b.path));
    (files, faults)
}

/// Whoever reads a pipe waits for ever.
fn must_be_file(path: &Path) -> std::io::Result<()> {
    match fs::metadata(path)?.is_file() {
        true => Ok(()),
        false => Err(std::io::Error::other("it is no file")),
    }
}

fn read_clip(path: &Path) -> Result<Vec<u8>, Wrong> {
    let unreadable = |e: std::io::Error| Wrong::Unreadable(e.to_string());
    must_be_file(path).map_err(unreadable)?;
    if fs::metadata(path).map_err(unreadable)?.len() > LARGEST_BYTES {
        return Err(Wrong::Format("it is far too large for a word".to_owned()));
    }
    let bytes = fs::read(path).map_err(unreadable)?;
    match clip::wrong(&bytes) {
        None => Ok(bytes),
        Some(wrong) => Err(wrong),
    }
}
