//! Which memory sticks are put in, and where they are mounted.
//!
//! A stick is a disk that says it can be taken out, or that is on USB. A disk of which anything is in
//! use by the system itself is none, whatever it says: a panel may run from such a disk.

use super::Places;
use crate::bay::ports::Stick;
use std::fs;
use std::path::{Path, PathBuf};

/// Where sticks are mounted; what is mounted elsewhere belongs to the system.
const FOR_STICKS: [&str; 3] = ["/media", "/run/media", "/mnt"];
/// What is no disk that anyone puts in: memory, files, optical drives, parts put together.
const NO_STICKS: [&str; 8] = ["loop", "ram", "zram", "sr", "dm-", "md", "nbd", "fd"];
/// What sizes in `/sys/block` count.
const SECTOR: u64 = 512;

/// A part of a stick that files can be put on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    pub stick: Stick,
    /// The device itself.
    pub device: PathBuf,
    /// Where it is mounted.
    pub mounted: Option<Mount>,
    /// The stick itself may only be read: some have a switch for it.
    pub protected: bool,
}

/// Something that is mounted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mount {
    /// Its device by its numbers, `8:17`.
    numbers: String,
    /// Where.
    pub point: PathBuf,
    /// It may only be read.
    pub read_only: bool,
}

/// All parts of all sticks, in the order of their names. What cannot be read is not there.
pub(super) fn parts(places: &Places) -> Vec<Part> {
    let mounts = mounts(&fs::read_to_string(&places.mountinfo).unwrap_or_default());
    let mut parts: Vec<Part> = folders(&places.blocks)
        .iter()
        .flat_map(|disk| parts_of(disk, places, &mounts))
        .collect();
    parts.sort_by(|a, b| a.stick.id.cmp(&b.stick.id));
    parts
}

fn folders(of: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(of).into_iter().flatten().flatten();
    entries.map(|entry| entry.path()).collect()
}

fn name(path: &Path) -> String {
    path.file_name()
        .map_or(String::new(), |name| name.to_string_lossy().into_owned())
}

/// The text of a file of `/sys` without its end; empty where it cannot be read.
fn read(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap_or_default();
    text.trim().to_owned()
}

fn parts_of(disk: &Path, places: &Places, mounts: &[Mount]) -> Vec<Part> {
    let id = name(disk);
    let removable = read(&disk.join("removable")) == "1";
    let on_usb = fs::canonicalize(disk).is_ok_and(|path| path.to_string_lossy().contains("/usb"));
    if NO_STICKS.iter().any(|kind| id.starts_with(kind)) || !(removable || on_usb) {
        return Vec::new();
    }
    let mut own: Vec<PathBuf> = folders(disk)
        .into_iter()
        .filter(|part| part.join("partition").exists())
        .collect();
    // Some have a file system and no parts.
    let whole = disk.to_owned();
    let used = |part: &PathBuf| {
        let at = mounted(part, mounts).any(|m| !FOR_STICKS.iter().any(|f| m.point.starts_with(f)));
        at || !folders(&part.join("holders")).is_empty()
    };
    if own.iter().chain([&whole]).any(used) {
        return Vec::new();
    }
    if own.is_empty() {
        own.push(whole);
    }
    // A reader without a card has a disk without a size.
    own.retain(|part| read(&part.join("size")).parse::<u64>().is_ok_and(|s| s > 0));
    let several = own.len() > 1;
    own.iter()
        .map(|part| {
            let part_id = name(part);
            Part {
                stick: Stick {
                    name: shown_name(disk, part, several),
                    id: part_id.clone(),
                },
                device: places.devices.join(part_id),
                mounted: mounted(part, mounts).next().cloned(),
                protected: read(&disk.join("ro")) == "1" || read(&part.join("ro")) == "1",
            }
        })
        .collect()
}

fn mounted<'a>(part: &Path, mounts: &'a [Mount]) -> impl Iterator<Item = &'a Mount> + use<'a> {
    let numbers = read(&part.join("dev"));
    mounts.iter().filter(move |m| m.numbers == numbers)
}

/// What the stick calls itself, and its size.
fn shown_name(disk: &Path, part: &Path, several: bool) -> String {
    let said = [
        read(&disk.join("device/vendor")),
        read(&disk.join("device/model")),
    ];
    let said = said.join(" ").trim().to_owned();
    let sectors: u64 = read(&part.join("size")).parse().unwrap_or_default();
    let bytes = sectors.saturating_mul(SECTOR) as f64;
    let size = match bytes {
        b if b >= 0.95e9 => format!("{:.0} GB", b / 1e9),
        b => format!("{:.0} MB", b / 1e6),
    };
    let id = name(part);
    match (said.as_str(), several) {
        ("", _) => format!("{id}, {size}"),
        (said, false) => format!("{said}, {size}"),
        (said, true) => format!("{said}, {id}, {size}"),
    }
}

/// Reads what is mounted (proc(5), `/proc/pid/mountinfo`).
fn mounts(text: &str) -> Vec<Mount> {
    let mount = |line: &str| {
        let mut fields = line.split(' ');
        let numbers = fields.nth(2)?.to_owned();
        let point = unescape(fields.nth(1)?);
        let options = fields.next()?;
        // Behind a dash: type, source, options of the file system itself.
        let (_, own) = line.split_once(" - ")?;
        let own = own.split(' ').nth(2).unwrap_or_default();
        let read_only = [options, own]
            .iter()
            .any(|options| options.split(',').any(|option| option == "ro"));
        Some(Mount {
            numbers,
            point: point.into(),
            read_only,
        })
    };
    text.lines().filter_map(mount).collect()
}

/// Spaces and a few other signs stand there as `\040`.
fn unescape(text: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let Some((byte, after)) = rest.split_first() {
        let code = (*byte == b'\\').then(|| after.get(..3)).flatten();
        let code = code.and_then(|digits| std::str::from_utf8(digits).ok());
        match code.and_then(|digits| u8::from_str_radix(digits, 8).ok()) {
            Some(code) => {
                bytes.push(code);
                rest = &after[3..];
            }
            None => {
                bytes.push(*byte);
                rest = after;
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Machine {
        folder: tempfile::TempDir,
        places: Places,
    }

    impl Machine {
        fn new(mountinfo: &str) -> Self {
            let folder = tempfile::tempdir().expect("a folder");
            let places = Places {
                mountinfo: folder.path().join("mountinfo"),
                blocks: folder.path().join("block"),
                devices: "/dev".into(),
            };
            fs::create_dir(&places.blocks).expect("a folder");
            fs::write(&places.mountinfo, mountinfo).expect("a file");
            Self { folder, places }
        }
        fn file(&self, path: &str, text: &str) {
            let path = self.places.blocks.join(path);
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            fs::write(path, format!("{text}\n")).expect("a file");
        }
        fn stick(&self, disk: &str, part: &str, numbers: &str) {
            self.file(&format!("{disk}/removable"), "1");
            self.file(&format!("{disk}/ro"), "0");
            self.file(&format!("{disk}/dev"), "8:16");
            self.file(&format!("{disk}/size"), "15728640");
            self.file(&format!("{disk}/device/vendor"), "Harbour ");
            self.file(&format!("{disk}/device/model"), "Stick    ");
            self.file(&format!("{disk}/{part}/partition"), "1");
            self.file(&format!("{disk}/{part}/size"), "15626240");
            self.file(&format!("{disk}/{part}/dev"), numbers);
        }
        fn ids(&self) -> Vec<String> {
            parts(&self.places)
                .into_iter()
                .map(|p| p.stick.id)
                .collect()
        }
    }

    const ROOT: &str = "22 1 8:2 / / rw,relatime shared:1 - ext4 /dev/sda2 rw\n";

    #[test]
    fn a_stick_is_found_mounted_or_not() {
        let machine = Machine::new(ROOT);
        assert_eq!(machine.ids(), [""; 0]);
        machine.stick("sdb", "sdb1", "8:17");
        let found = parts(&machine.places);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].stick.name, "Harbour Stick, 8 GB");
        assert_eq!(found[0].device, Path::new("/dev/sdb1"));
        assert_eq!(found[0].mounted, None);
        assert!(!found[0].protected);
        let with = |more: &str| fs::write(&machine.places.mountinfo, format!("{ROOT}{more}\n"));
        with("90 22 8:17 / /run/media/wall/A\\040B rw,nosuid - vfat /dev/sdb1 rw,utf8")
            .expect("a file");
        let mount = parts(&machine.places)[0].mounted.clone().expect("mounted");
        assert_eq!(mount.point, Path::new("/run/media/wall/A B"));
        assert!(!mount.read_only);
        for more in [
            "90 22 8:17 / /media/x ro,nosuid - vfat /dev/sdb1 rw",
            "90 22 8:17 / /media/x rw,nosuid - vfat /dev/sdb1 ro,errors=remount-ro",
        ] {
            with(more).expect("a file");
            let mount = parts(&machine.places)[0].mounted.clone().expect("mounted");
            assert!(mount.read_only, "{more}");
        }
        machine.file("sdb/ro", "1");
        assert!(parts(&machine.places)[0].protected);
    }

    #[test]
    fn what_the_system_uses_is_no_stick() {
        // The panel runs from a disk on USB: no part of it is offered, also not the one that is free.
        let machine = Machine::new("22 1 8:17 / /boot/firmware rw - vfat /dev/sdb1 rw\n");
        machine.stick("sdb", "sdb1", "8:17");
        machine.file("sdb/sdb2/partition", "2");
        machine.file("sdb/sdb2/size", "1000000");
        machine.file("sdb/sdb2/dev", "8:18");
        assert_eq!(machine.ids(), [""; 0]);
        // Part of something larger.
        let machine = Machine::new(ROOT);
        machine.stick("sdb", "sdb1", "8:17");
        machine.file("sdb/sdb1/holders/dm-0/dev", "253:0");
        assert_eq!(machine.ids(), [""; 0]);
        // A disk inside the panel, a drive, an empty reader.
        let machine = Machine::new(ROOT);
        machine.stick("sda", "sda1", "8:1");
        machine.file("sda/removable", "0");
        machine.stick("sr0", "sr0p1", "11:0");
        machine.file("sdc/removable", "1");
        machine.file("sdc/size", "0");
        assert_eq!(machine.ids(), [""; 0]);
    }

    #[test]
    fn several_sticks_several_parts_and_a_stick_without_parts() {
        let machine = Machine::new(ROOT);
        machine.stick("sdb", "sdb1", "8:17");
        machine.file("sdb/sdb2/partition", "2");
        machine.file("sdb/sdb2/size", "204800");
        machine.file("sdb/sdb2/dev", "8:18");
        machine.file("sdc/removable", "1");
        machine.file("sdc/size", "15728640");
        machine.file("sdc/dev", "8:32");
        // On USB, and says that it cannot be taken out.
        let bus = machine.folder.path().join("usb1/sdd");
        fs::create_dir_all(&bus).expect("a folder");
        for (file, text) in [("removable", "0"), ("size", "2048"), ("dev", "8:48")] {
            fs::write(bus.join(file), text).expect("a file");
        }
        std::os::unix::fs::symlink(&bus, machine.places.blocks.join("sdd")).expect("a link");
        let found = parts(&machine.places);
        let names: Vec<_> = found.iter().map(|p| p.stick.name.as_str()).collect();
        assert_eq!(
            names,
            [
                "Harbour Stick, sdb1, 8 GB",
                "Harbour Stick, sdb2, 105 MB",
                "sdc, 8 GB",
                "sdd, 1 MB",
            ]
        );
    }
}
