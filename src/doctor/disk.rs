//! The disk with the records: whether it takes writing, its room, and whether it is the right one.

use super::{Finding, Root};
use std::path::{Path, PathBuf};

const ROOM: &str = "disk";
const RECORDS: &str = "records";
/// Bytes free below which the wall soon keeps nothing more.
const FULL: u64 = 50_000_000;
/// Bytes free below which it is warned of.
const LITTLE: u64 = 500_000_000;
/// Files that may still be made below which it is full: the records make a few beside themselves.
const FEW_FILES: u64 = 20;

/// Something that is mounted.
struct Mount {
    device: String,
    point: PathBuf,
    read_only: bool,
}

/// Looks at the file system of the bay's folder.
pub fn room(root: &Root, bay: &Path) -> Finding {
    if !bay.is_dir() {
        return Finding::wrong(
            ROOM,
            format!("The bay's folder is not there: {}.", bay.display()),
            "Set the panel up: fillcall-kiosk on. Or name the folder: fillcall doctor --bay FOLDER",
        );
    }
    if let Some(mount) = mount_of(root, &root.on_the_panel(bay)) {
        if mount.read_only {
            return Finding::wrong(
                ROOM,
                "The disk may only be read. Nothing is kept.",
                "Switch the panel off and on once. If it stays so, the disk is worn out: a new one, and the \
                 newest backup.",
            );
        }
        let name = mount.device.rsplit('/').next().unwrap_or_default();
        let errors = root.text(&format!("sys/fs/ext4/{name}/errors_count"));
        let errors: u64 = errors.and_then(|text| text.parse().ok()).unwrap_or(0);
        if errors > 0 {
            return Finding::wrong(
                ROOM,
                format!(
                    "The file system of {} has errors: {errors} so far.",
                    mount.device
                ),
                "Take a backup now: fillcall backup BAY FILE. Then switch the panel off and on, which mends it. \
                 If they come back, put in a new disk.",
            );
        }
    }
    by_room(root, bay)
}

fn by_room(root: &Root, bay: &Path) -> Finding {
    const REMEDY: &str =
        "Move backups and tables to a stick. Old messages go with: journalctl --vacuum-size=50M";
    let Some(space) = root.system().space(bay) else {
        return Finding::warn(
            ROOM,
            "How much room there is cannot be told.",
            "journalctl -k",
        );
    };
    let says = format!("{} of {} are free.", bytes(space.free), bytes(space.size));
    if space.files.is_some_and(|files| files < FEW_FILES) {
        let says = "The disk is full: it takes no more files.";
        return Finding::wrong(ROOM, says, REMEDY);
    }
    match space.free {
        free if free < FULL => Finding::wrong(ROOM, format!("The disk is full: {says}"), REMEDY),
        free if free < LITTLE => Finding::warn(ROOM, format!("Little room: {says}"), REMEDY),
        _ => Finding::good(ROOM, format!("It takes writing. {says}")),
    }
}

fn bytes(bytes: u64) -> String {
    match bytes as f64 {
        b if b >= 0.95e9 => format!("{:.1} GB", b / 1e9),
        b => format!("{:.0} MB", b / 1e6),
    }
}

/// What a folder of the panel is on: the last mounted of the deepest.
fn mount_of(root: &Root, folder: &Path) -> Option<Mount> {
    let text = root.text("proc/mounts")?;
    let mounts = text.lines().filter_map(|line| {
        let mut words = line.split(' ');
        let (device, point) = (words.next()?, words.next()?);
        let options = words.nth(1)?;
        Some(Mount {
            device: device.to_owned(),
            point: PathBuf::from(point.replace("\\040", " ")),
            read_only: options.split(',').any(|option| option == "ro"),
        })
    });
    mounts
        .filter(|mount| folder.starts_with(&mount.point))
        .max_by_key(|mount| mount.point.components().count())
}

/// Looks whether the disk with the records is the one that the panel was set up with.
pub fn records(root: &Root) -> Finding {
    let value = |path: &str, key: &str| {
        let text = root.text(path)?;
        let lines = text.lines().filter_map(|line| line.split_once('='));
        let mut values = lines.filter(|(name, _)| *name == key);
        values.next().map(|(_, value)| value.to_owned())
    };
    let (expected, marker) = ("etc/fillcall/records", "var/lib/fillcall/fillcall-records");
    if !root.has(expected) {
        return Finding::not_here(RECORDS, "This is no panel that was set up as a kiosk.");
    }
    let own = value(expected, "place").as_deref() == Some("partition");
    let folder = Path::new("/var/lib/fillcall");
    let mounted = mount_of(root, folder).is_some_and(|mount| mount.point == folder);
    if !root.has(marker) {
        return match own && root.has("proc/mounts") && !mounted {
            true => Finding::wrong(
                RECORDS,
                "The partition with the records is not there, or cannot be opened.",
                "Switch the panel off, push the disk's plug home, switch it on. Pages D1 and D2 of the guide.",
            ),
            false => Finding::wrong(
                RECORDS,
                "Nothing on the disk says that it has records. It is new, or was erased.",
                "Put the right disk back in. If this is a new one: fillcall-kiosk take-disk --new",
            ),
        };
    }
    if value(marker, "id") != value(expected, "id") {
        return Finding::wrong(
            RECORDS,
            "The disk has the records of another wall.",
            "Put the right disk back in. If this one is meant: fillcall-kiosk take-disk",
        );
    }
    if own {
        return Finding::good(RECORDS, "The right disk, with a partition of their own.");
    }
    Finding {
        remedy: "On a partition of their own they would outlive the system, be checked alone after a cut, and not \
                 fill up with it: see the guide, \"Set it up\"."
            .into(),
        ..Finding::good(RECORDS, "The right disk, in a folder of the system's.")
    }
}
