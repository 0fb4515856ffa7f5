//! Only a plain file counts as one: a link may lead anywhere, and whoever reads a pipe waits for ever.

use super::fault::StoreFault;
use std::fs;
use std::os::unix::fs::FileTypeExt;
use std::path::Path;

/// What lies in the place of a plain file, in words: `a link`. `None` for a file, and for nothing.
pub fn instead(path: &Path) -> Option<&'static str> {
    // Of the name itself: nothing is followed, and nothing is opened that could block.
    let kind = fs::symlink_metadata(path).ok()?.file_type();
    if kind.is_file() {
        return None;
    }
    Some(if kind.is_symlink() {
        "a link"
    } else if kind.is_dir() {
        "a folder"
    } else if kind.is_fifo() {
        "a pipe"
    } else if kind.is_socket() {
        "a socket"
    } else {
        "a device"
    })
}

/// Refuses what is there and no plain file, by its name.
///
/// # Errors
/// [`StoreFault::Disk`].
pub fn refuse(path: &Path) -> Result<(), StoreFault> {
    match instead(path) {
        None => Ok(()),
        Some(what) => Err(StoreFault::Disk {
            path: path.to_owned(),
            wrong: format!("it is {what} and no file"),
            right: REMEDY.to_owned(),
        }),
    }
}

/// What to do about it.
pub(crate) const REMEDY: &str = "name the file itself, or put it in this place";

/// The text of a plain file; nothing else is opened.
///
/// # Errors
/// [`StoreFault::Disk`]; `doing` says what for, such as `reading the backup`.
pub fn text(path: &Path, doing: &str) -> Result<String, StoreFault> {
    refuse(path)?;
    fs::read_to_string(path).map_err(|e| StoreFault::disk(path, doing, &e))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::symlink;
    use std::os::unix::net::UnixListener;
    use std::process::Command;

    #[test]
    fn nothing_but_a_file_is_read_and_nothing_blocks() {
        let dir = tempfile::tempdir().expect("folder");
        let at = |name: &str| dir.path().join(name);
        fs::write(at("file"), "text").expect("file");
        assert_eq!(text(&at("file"), "reading"), Ok("text".into()));
        assert_eq!(instead(&at("none")), None);
        symlink(at("file"), at("link")).expect("link");
        symlink(at("none"), at("dangling")).expect("link");
        fs::create_dir(at("folder")).expect("folder");
        let made = Command::new("mkfifo").arg(at("pipe")).status();
        assert!(made.expect("mkfifo is there").success());
        let _socket = UnixListener::bind(at("socket")).expect("socket");
        for (name, what) in [
            ("link", "a link"),
            ("dangling", "a link"),
            ("folder", "a folder"),
            ("pipe", "a pipe"),
            ("socket", "a socket"),
        ] {
            let fault = text(&at(name), "reading").expect_err(name).to_string();
            assert!(fault.contains(name) && fault.contains(what), "{fault}");
        }
        assert_eq!(instead(Path::new("/dev/null")), Some("a device"));
    }
}
