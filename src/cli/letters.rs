//! The letters that the program carries.
//!
//! The screens ask fontconfig for their letters, and end in a panic where that knows none. So a
//! command that draws puts the program's own letters into a folder, with a configuration that names
//! it, and starts itself again with that configuration. The system's own letters come after them.

use std::ffi::OsString;
use std::fs::{self, DirBuilder};
use std::io;
use std::os::unix::fs::{DirBuilderExt, MetadataExt};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The letters by their file names.
const LETTERS: [(&str, &[u8]); 2] = [
    (
        "RobotoCondensed-Regular.ttf",
        include_bytes!("../../ui/letters/RobotoCondensed-Regular.ttf"),
    ),
    (
        "RobotoCondensed-Bold.ttf",
        include_bytes!("../../ui/letters/RobotoCondensed-Bold.ttf"),
    ),
];

/// Where fontconfig reads its configuration.
const CONFIGURATION: &str = "FONTCONFIG_FILE";

/// Set for the program that was started again.
const STARTED_AGAIN: &str = "FILLCALL_LETTERS";

/// Starts the program again with its letters at hand; returns at once where that was done before.
///
/// Where no folder can be written, says so and goes on with the letters of the system.
pub fn at_hand() {
    if std::env::var_os(STARTED_AGAIN).is_some() {
        return;
    }
    let mut why = Vec::new();
    for base in bases() {
        match put_into(&base).and_then(|folder| start_again(&folder)) {
            Ok(never) => match never {},
            Err(error) => why.push(format!("{}: {error}", base.display())),
        }
    }
    eprintln!(
        "fillcall: no folder for its letters ({}); going on with those of the system. Let it write in \
         one of them.",
        why.join("; ")
    );
}

/// The folders to try, in memory first.
fn bases() -> impl Iterator<Item = PathBuf> {
    let named = ["RUNTIME_DIRECTORY", "XDG_RUNTIME_DIR"].map(std::env::var_os);
    let fixed = [Some(OsString::from("/dev/shm"))];
    let named = named.into_iter().chain(fixed).flatten().map(PathBuf::from);
    named.chain([std::env::temp_dir()])
}

/// Puts the letters and their configuration into a folder of this user's own.
fn put_into(base: &Path) -> io::Result<PathBuf> {
    let user = fs::metadata("/proc/self")?.uid();
    let folder = base.join(format!("fillcall-letters-{user}"));
    match DirBuilder::new().mode(0o700).create(&folder) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(error),
        _ => {}
    }
    let found = fs::symlink_metadata(&folder)?;
    if !found.is_dir() || found.uid() != user || found.mode() & 0o022 != 0 {
        return Err(io::Error::other("others may write there"));
    }
    for (name, letters) in LETTERS {
        put(&folder.join(name), letters)?;
    }
    put(
        &folder.join("fonts.conf"),
        configuration(&folder).as_bytes(),
    )?;
    Ok(folder)
}

/// Another wall may be reading the file: it is written beside and renamed, and not at all where it
/// is there already.
fn put(file: &Path, bytes: &[u8]) -> io::Result<()> {
    if fs::read(file).is_ok_and(|there| there == bytes) {
        return Ok(());
    }
    let beside = file.with_extension(format!("{}.part", std::process::id()));
    fs::write(&beside, bytes)?;
    fs::rename(&beside, file)
}

fn configuration(folder: &Path) -> String {
    let folder = folder.display();
    format!(
        r#"<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
  <dir>{folder}</dir>
  <cachedir>{folder}/cache</cachedir>
  <include ignore_missing="yes">/etc/fonts/fonts.conf</include>
</fontconfig>
"#
    )
}

/// Never returns where it works: the process goes on as the program started again.
fn start_again(folder: &Path) -> io::Result<std::convert::Infallible> {
    let error = Command::new(std::env::current_exe()?)
        .args(std::env::args_os().skip(1))
        .env(CONFIGURATION, folder.join("fonts.conf"))
        .env(STARTED_AGAIN, folder)
        .exec();
    Err(error)
}
