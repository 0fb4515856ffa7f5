//! News of the sound cards: the system puts the files of a card into a folder and takes them away again,
//! and tells whoever watches the folder. Nobody has to look in between.

use rustix::fs::inotify::{self, CreateFlags, Reader, WatchFlags};
use rustix::io::Errno;
use std::mem::MaybeUninit;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

/// Where the system keeps the files of the cards.
pub const FOLDER: &str = "/dev/snd";

/// One card comes as several files, and gets its rights after them: what happens so soon after one
/// another is told as one.
const TOGETHER: Duration = Duration::from_millis(100);

/// Calls `news` after files came into `folder`, went, or got other rights, the folder itself included,
/// until it says that nobody wants to know any more. Without a watch, for which a reason is printed,
/// there is no news.
pub fn watch(folder: &Path, news: impl FnMut() -> bool + Send + 'static) {
    let folder = folder.to_owned();
    let thread = thread::Builder::new().name("cards".into()).spawn(move || {
        if let Err(error) = follow(&folder, news) {
            eprintln!("fillcall: {} is not watched: {error}", folder.display());
        }
    });
    if let Err(error) = thread {
        eprintln!("fillcall: no thread that watches the sound cards: {error}");
    }
}

fn follow(folder: &Path, mut news: impl FnMut() -> bool) -> Result<(), Errno> {
    let changes = inotify::init(CreateFlags::CLOEXEC)?;
    let kinds = WatchFlags::CREATE
        | WatchFlags::DELETE
        | WatchFlags::MOVE
        | WatchFlags::ATTRIB
        | WatchFlags::DELETE_SELF;
    // A machine without a card has no folder for them yet.
    let above = folder.parent().map_or_else(PathBuf::new, Path::to_owned);
    inotify::add_watch(&changes, &above, WatchFlags::CREATE | WatchFlags::DELETE)?;
    let own = folder.file_name().map(|name| name.as_encoded_bytes());
    let mut inside = inotify::add_watch(&changes, folder, kinds).ok();
    let mut room = [MaybeUninit::uninit(); 1024];
    let mut reader = Reader::new(&changes, &mut room);
    loop {
        let event = reader.next()?;
        let is_own = event.file_name().map(|name| name.to_bytes()) == own;
        let is_inside = Some(event.wd()) == inside;
        if !is_inside && !is_own {
            continue;
        }
        thread::sleep(TOGETHER);
        while !reader.is_buffer_empty() {
            reader.next()?;
        }
        // It may be another folder by now, or the first one.
        inside = inotify::add_watch(&changes, folder, kinds).ok();
        if !news() {
            return Ok(());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::sync::mpsc::{Receiver, channel};

    const SOON: Duration = Duration::from_secs(2);

    fn watched(folder: &Path) -> Receiver<()> {
        let (news, heard) = channel();
        watch(folder, move || news.send(()).is_ok());
        // The watch has to stand before something happens.
        thread::sleep(Duration::from_millis(200));
        heard
    }

    #[test]
    fn a_card_that_comes_or_goes_is_told() {
        let above = tempfile::tempdir().expect("a folder");
        let folder = above.path().join("snd");
        fs::create_dir(&folder).expect("made");
        let heard = watched(&folder);
        assert!(
            heard.recv_timeout(TOGETHER * 3).is_err(),
            "nothing happened"
        );
        fs::write(folder.join("pcmC0D0p"), "").expect("plugged in");
        heard.recv_timeout(SOON).expect("told that it came");
        while heard.recv_timeout(TOGETHER * 3).is_ok() {}
        fs::remove_file(folder.join("pcmC0D0p")).expect("pulled out");
        heard.recv_timeout(SOON).expect("told that it went");
    }

    #[test]
    fn the_first_card_of_a_machine_is_told_and_what_lies_beside_is_not() {
        let above = tempfile::tempdir().expect("a folder");
        let folder = above.path().join("snd");
        let heard = watched(&folder);
        fs::write(above.path().join("video0"), "").expect("another device");
        assert!(
            heard.recv_timeout(TOGETHER * 3).is_err(),
            "not of the cards"
        );
        fs::create_dir(&folder).expect("the first card");
        heard.recv_timeout(SOON).expect("told of the folder");
        fs::write(folder.join("pcmC0D0p"), "").expect("plugged in");
        heard.recv_timeout(SOON).expect("told of the card");
        while heard.recv_timeout(TOGETHER * 3).is_ok() {}
        fs::remove_dir_all(&folder).expect("the last one went");
        heard.recv_timeout(SOON).expect("told that it went");
        fs::create_dir(&folder).expect("again");
        heard.recv_timeout(SOON).expect("told again");
    }
}
