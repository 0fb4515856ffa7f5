//! The wall's part in an update: it fetches what is on a stick, looks at it, and asks for it by a file in
//! its own folder. What it finds is found again by whoever installs it, who trusts nobody.

use super::signature::{Key, Unsigned, verify};
use super::told;
use crate::bay::ports::{FetchFault, Fit, Looked, Package, UpdateTold, Updates};
use std::cmp::Ordering;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

/// Under these names the files are asked for.
const PACKAGE: &str = "fillcall.deb";
const SIGNATURE: &str = "fillcall.deb.minisig";
const KEY: &str = "fillcall-update.pub";
const REQUEST: &str = "request";
/// What a signature's name ends with.
const SIGNED: &str = ".minisig";

/// Fetches those of the files on a stick that are picked from their names to a folder. `None` where no
/// stick is in.
pub type Fetch = Arc<
    dyn Fn(&dyn Fn(&[String]) -> Vec<String>, &Path) -> Result<Option<Vec<String>>, FetchFault>
        + Send
        + Sync,
>;

/// Where everything is.
#[derive(Debug, Clone)]
pub struct Where {
    /// The folder that whoever installs looks into.
    pub folder: PathBuf,
    /// The public key of this panel.
    pub key: PathBuf,
    /// What is told of an update that goes on.
    pub running: PathBuf,
    /// How the last one ended.
    pub ended: PathBuf,
    /// This version.
    pub version: String,
    /// This machine, as Debian calls it.
    pub machine: String,
}

impl Where {
    /// The places of a panel whose wall keeps its things in `folder`.
    pub fn of_a_panel(folder: &Path) -> Self {
        let machine = match std::env::consts::ARCH {
            "x86_64" => "amd64",
            "aarch64" => "arm64",
            other => other,
        };
        Self {
            folder: folder.join("update"),
            key: "/etc/fillcall/update.pub".into(),
            running: told::RUNNING.into(),
            ended: told::ENDED.into(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            machine: machine.to_owned(),
        }
    }
}

/// Asks for updates.
pub struct Asking {
    places: Where,
    fetch: Fetch,
    looked: Option<Arc<Mutex<Looked>>>,
}

impl Asking {
    /// `fetch` gets files from a stick.
    pub fn new(places: Where, fetch: Fetch) -> Self {
        Self {
            places,
            fetch,
            looked: None,
        }
    }

    /// The request is the last thing to come, and comes whole.
    fn request(&self, what: &str) -> Result<(), String> {
        let folder = &self.places.folder;
        let write = || -> io::Result<()> {
            let part = folder.join("request.part");
            let mut file = File::create(&part)?;
            file.write_all(what.as_bytes())?;
            file.sync_all()?;
            fs::rename(part, folder.join(REQUEST))
        };
        write().map_err(|error| error.to_string())
    }
}

impl Updates for Asking {
    fn running(&self) -> String {
        self.places.version.clone()
    }
    fn is_possible(&self) -> bool {
        true
    }
    fn key(&mut self) -> Option<String> {
        Some(Key::read(&self.places.key).ok()?.id().to_owned())
    }
    fn look(&mut self) {
        let looked = Arc::new(Mutex::new(Looked::Busy));
        self.looked = Some(Arc::clone(&looked));
        let (places, fetch) = (self.places.clone(), Arc::clone(&self.fetch));
        // Left to itself: one that hangs in a bad stick cannot be ended.
        thread::spawn(move || {
            let found = look(&places, &fetch).unwrap_or_else(Looked::Failed);
            *looked.lock().unwrap_or_else(PoisonError::into_inner) = found;
        });
    }
    fn looked(&mut self) -> Option<Looked> {
        let looked = self.looked.as_ref()?;
        Some(
            looked
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .clone(),
        )
    }
    fn install(&mut self) -> Result<(), String> {
        self.request("update\n")
    }
    fn take_key(&mut self) -> Result<(), String> {
        self.request("key\n")
    }
    fn told(&mut self) -> UpdateTold {
        told::told(&self.places.running, &self.places.ended)
    }
}

/// Fetches into an empty folder, looks at it, and lays it ready.
fn look(places: &Where, fetch: &Fetch) -> Result<Looked, FetchFault> {
    let disk = |error: io::Error| FetchFault::Disk(error.to_string());
    // What an earlier stick had must not be asked for by this one's press.
    match fs::remove_dir_all(&places.folder) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(disk(e)),
        _ => {}
    }
    fs::create_dir_all(&places.folder).map_err(disk)?;
    let wanted = |names: &[String]| wanted(names, &places.machine);
    let Some(names) = fetch(&wanted, &places.folder)? else {
        return Ok(Looked::NoStick);
    };
    let package = names.iter().find(|name| version_in(name).is_some());
    let package = match package {
        None => None,
        Some(name) => {
            let (deb, signature) = (places.folder.join(PACKAGE), places.folder.join(SIGNATURE));
            fs::rename(places.folder.join(name), &deb).map_err(disk)?;
            let signed = places.folder.join(format!("{name}{SIGNED}"));
            if signed.exists() {
                fs::rename(signed, &signature).map_err(disk)?;
            }
            let said = version_in(name).unwrap_or_default();
            Some(package_of(&deb, &signature, said, places))
        }
    };
    let key = Key::read(&places.folder.join(KEY))
        .ok()
        .map(|key| key.id().to_owned());
    Ok(Looked::Found { package, key })
}

/// `fillcall_VERSION_MACHINE.deb`: the version.
fn version_in(name: &str) -> Option<&str> {
    let (version, machine) = name
        .strip_prefix("fillcall_")?
        .strip_suffix(".deb")?
        .split_once('_')?;
    (!version.is_empty() && !machine.is_empty()).then_some(version)
}

/// The newest package for this machine, or where there is none the newest for others; its signature; and a
/// key.
fn wanted(names: &[String], machine: &str) -> Vec<String> {
    let ours = format!("_{machine}.deb");
    let packages = names.iter().filter(|name| version_in(name).is_some());
    let newest = packages.max_by(|a, b| {
        let for_us = a.ends_with(&ours).cmp(&b.ends_with(&ours));
        let version = |name: &String| version_in(name).unwrap_or_default().to_owned();
        for_us.then_with(|| order(&version(a), &version(b)))
    });
    let signature = newest.map(|name| format!("{name}{SIGNED}"));
    names
        .iter()
        .filter(|name| {
            Some(*name) == newest || Some(*name) == signature.as_ref() || name.as_str() == KEY
        })
        .cloned()
        .collect()
}

fn package_of(deb: &Path, signature: &Path, said: &str, places: &Where) -> Package {
    let package = |version: &str, fit| Package {
        version: version.to_owned(),
        fit,
    };
    let signed = Key::read(&places.key).and_then(|key| verify(deb, signature, &key));
    match signed {
        Ok(signed) if signed.arch != places.machine => package(&signed.version, Fit::OtherMachine),
        Ok(signed) => {
            let fit = match order(&signed.version, &places.version) {
                Ordering::Greater => Fit::Newer,
                Ordering::Equal => Fit::Same,
                Ordering::Less => Fit::Older,
            };
            package(&signed.version, fit)
        }
        Err(wrong) => package(
            said,
            match wrong {
                Unsigned::NoKey(_) => Fit::NoKey,
                Unsigned::NoSignature(_) => Fit::NoSignature,
                Unsigned::OtherKey => Fit::OtherKey,
                Unsigned::Broken | Unsigned::NoPackage(_) | Unsigned::Unreadable(_) => Fit::Damaged,
            },
        ),
    }
}

/// Which of two versions is newer, number by number.
fn order(a: &str, b: &str) -> Ordering {
    let numbers = |version: &str| -> Vec<u64> {
        let parts = version.split(|letter: char| !letter.is_ascii_digit());
        parts.filter_map(|part| part.parse().ok()).collect()
    };
    numbers(a).cmp(&numbers(b)).then_with(|| a.cmp(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::{Duration, Instant};

    const DEB: &[u8] = include_bytes!("tests/package");
    const SIGNATURE_TEXT: &[u8] = include_bytes!("tests/package.minisig");
    const KEY_TEXT: &[u8] = include_bytes!("tests/key.pub");
    const OTHER: &[u8] = include_bytes!("tests/other.pub");

    /// A panel, and a stick that is a folder.
    struct Panel {
        folder: tempfile::TempDir,
        asking: Asking,
    }

    impl Panel {
        fn new(version: &str, machine: &str) -> Self {
            let folder = tempfile::tempdir().expect("folder");
            let at = |name: &str| folder.path().join(name);
            fs::create_dir(at("stick")).expect("folder");
            fs::write(at("key"), KEY_TEXT).expect("file");
            let places = Where {
                folder: at("update"),
                key: at("key"),
                running: at("running"),
                ended: at("ended"),
                version: version.to_owned(),
                machine: machine.to_owned(),
            };
            let stick = at("stick");
            let fetch: Fetch = Arc::new(move |wanted, to| {
                let Ok(entries) = fs::read_dir(&stick) else {
                    return Ok(None);
                };
                let name =
                    |e: io::Result<fs::DirEntry>| e.expect("entry").file_name().into_string();
                let names: Vec<String> = entries.map(|e| name(e).expect("a name")).collect();
                let names = wanted(&names);
                for name in &names {
                    fs::copy(stick.join(name), to.join(name)).expect("copied");
                }
                Ok(Some(names))
            });
            Self {
                asking: Asking::new(places, fetch),
                folder,
            }
        }
        fn put(&self, name: &str, bytes: &[u8]) {
            fs::write(self.folder.path().join("stick").join(name), bytes).expect("file");
        }
        fn look(&mut self) -> Looked {
            self.asking.look();
            let begun = Instant::now();
            loop {
                match self.asking.looked().expect("begun") {
                    Looked::Busy => assert!(begun.elapsed() < Duration::from_secs(10)),
                    looked => return looked,
                }
                thread::sleep(Duration::from_millis(2));
            }
        }
        fn package(&mut self) -> Option<(String, Fit)> {
            match self.look() {
                Looked::Found { package, .. } => package.map(|p| (p.version, p.fit)),
                other => panic!("{other:?}"),
            }
        }
        fn read(&self, name: &str) -> Vec<u8> {
            fs::read(self.folder.path().join("update").join(name)).expect(name)
        }
    }

    #[test]
    fn a_newer_package_is_found_and_asked_for() {
        let mut panel = Panel::new("0.1.0", "amd64");
        assert_eq!(panel.package(), None);
        panel.put("fillcall_0.2.0_amd64.deb", DEB);
        panel.put("fillcall_0.2.0_amd64.deb.minisig", SIGNATURE_TEXT);
        panel.put("fillcall_0.1.9_amd64.deb", b"older");
        panel.put("fillcall_0.9.0_arm64.deb", b"for others");
        assert_eq!(panel.package(), Some(("0.2.0".into(), Fit::Newer)));
        assert_eq!(panel.read(PACKAGE), DEB);
        assert_eq!(panel.read(SIGNATURE), SIGNATURE_TEXT);
        panel.asking.install().expect("asked");
        assert_eq!(panel.read(REQUEST), b"update\n");
        // Looking again takes back what was asked for and not begun.
        fs::remove_file(panel.folder.path().join("stick/fillcall_0.2.0_amd64.deb")).expect("there");
        panel.package();
        assert!(!panel.folder.path().join("update/request").exists());
        fs::remove_dir_all(panel.folder.path().join("stick")).expect("there");
        assert_eq!(panel.look(), Looked::NoStick);
    }

    #[test]
    fn what_is_no_newer_version_for_this_panel_is_told_apart() {
        let found = |version: &str, machine: &str, change: &dyn Fn(&Panel)| {
            let mut panel = Panel::new(version, machine);
            panel.put("fillcall_0.2.0_amd64.deb", DEB);
            panel.put("fillcall_0.2.0_amd64.deb.minisig", SIGNATURE_TEXT);
            change(&panel);
            panel.package().expect("a package").1
        };
        let path = |panel: &Panel, name: &str| panel.folder.path().join(name);
        assert_eq!(found("0.2.0", "amd64", &|_| ()), Fit::Same);
        assert_eq!(found("0.10.0", "amd64", &|_| ()), Fit::Older);
        assert_eq!(found("0.1.0", "arm64", &|_| ()), Fit::OtherMachine);
        let no_key = |p: &Panel| fs::remove_file(path(p, "key")).expect("there");
        assert_eq!(found("0.1.0", "amd64", &no_key), Fit::NoKey);
        let other = |p: &Panel| fs::write(path(p, "key"), OTHER).expect("file");
        assert_eq!(found("0.1.0", "amd64", &other), Fit::OtherKey);
        let unsigned = |p: &Panel| {
            fs::remove_file(path(p, "stick/fillcall_0.2.0_amd64.deb.minisig")).expect("there")
        };
        assert_eq!(found("0.1.0", "amd64", &unsigned), Fit::NoSignature);
        let damaged = |p: &Panel| p.put("fillcall_0.2.0_amd64.deb", b"something else");
        assert_eq!(found("0.1.0", "amd64", &damaged), Fit::Damaged);
        // By another name it is what was signed.
        let mut panel = Panel::new("0.2.0", "amd64");
        panel.put("fillcall_0.9.0_amd64.deb", DEB);
        panel.put("fillcall_0.9.0_amd64.deb.minisig", SIGNATURE_TEXT);
        assert_eq!(panel.package(), Some(("0.2.0".into(), Fit::Same)));
    }

    #[test]
    fn a_key_is_found_with_its_number() {
        let mut panel = Panel::new("0.1.0", "amd64");
        assert!(panel.asking.key().is_some());
        panel.put(KEY, OTHER);
        let Looked::Found {
            package: None,
            key: Some(id),
        } = panel.look()
        else {
            panic!("a key alone");
        };
        assert!(String::from_utf8_lossy(OTHER).contains(&id), "{id}");
        panel.asking.take_key().expect("asked");
        assert_eq!(panel.read(REQUEST), b"key\n");
        assert_eq!(panel.read(KEY), OTHER);
    }

    #[test]
    fn versions_are_ordered_by_their_numbers() {
        for (less, more) in [
            ("0.1.0", "0.2.0"),
            ("0.9.0", "0.10.0"),
            ("0.2", "0.2.1"),
            ("1.0.0", "2"),
        ] {
            assert_eq!(order(less, more), Ordering::Less);
            assert_eq!(order(more, less), Ordering::Greater);
        }
        assert_eq!(order("0.2.0", "0.2.0"), Ordering::Equal);
    }
}
