//! The disk with the records: whether it takes writing, its room, and whether it is the right one.

use super::{Finding, Root, settings};
use crate::bay::panel::Standing;
use crate::text;
use crate::trade::text::Text;
use std::path::{Path, PathBuf};

const ROOM: &str = "disk";
const RECORDS: &str = "records";
/// Bytes free below which the wall soon keeps nothing more.
const FULL: u64 = 50_000_000;
/// Bytes free below which it is warned of.
const LITTLE: u64 = 500_000_000;
/// Files that may still be made below which it is full: the records make a few beside themselves.
const FEW_FILES: u64 = 20;

/// What the kernel says of what it does not write to: as it was mounted, or since it had errors.
const READ_ONLY: [&str; 3] = ["ro", "emergency_ro", "shutdown"];
const PUSH_IT_HOME: Text = Text::new(
    "Switch the panel off, push the disk's plug home, switch it on. Pages D1 and D2 of the guide.",
    Vec::new(),
);

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
            text!(
                "The bay's folder is not there: {}.",
                bay.display().to_string()
            ),
            "Set the panel up: fillcall-kiosk on. Or name the folder: fillcall doctor --bay FOLDER",
        )
        .standing(Standing::RecordsGone);
    }
    if let Some(mount) = mount_of(root, &root.on_the_panel(bay)) {
        if let Some(disk) = pulled_out(root, &mount) {
            return Finding::wrong(
                ROOM,
                text!("The disk is not there any more: {}.", disk),
                PUSH_IT_HOME,
            )
            .standing(Standing::RecordsGone);
        }
        if mount.read_only {
            return Finding::wrong(
                ROOM,
                "The disk may only be read. Nothing is kept.",
                "Switch the panel off and on once. If it stays so, the disk is worn out: a new one, and the \
                 newest backup.",
            )
            .standing(Standing::DiskReadOnly);
        }
        let name = mount.device.rsplit('/').next().unwrap_or_default();
        let errors = root.text(&format!("sys/fs/ext4/{name}/errors_count"));
        let errors: u64 = errors.and_then(|text| text.parse().ok()).unwrap_or(0);
        if errors > 0 {
            return Finding::wrong(
                ROOM,
                text!(
                    "The file system of {} has errors: {} so far.",
                    mount.device,
                    errors
                ),
                "Take a backup now: fillcall backup BAY FILE. Then switch the panel off and on, which mends it. \
                 If they come back, put in a new disk.",
            )
            .standing(Standing::DiskErrors);
        }
    }
    by_room(root, bay)
}

fn by_room(root: &Root, bay: &Path) -> Finding {
    let remedy = text!(
        "Move backups and tables to a stick. Old messages go with: journalctl --vacuum-size=50M"
    );
    let Some(space) = root.system().space(bay) else {
        return Finding::warn(
            ROOM,
            "How much room there is cannot be told.",
            text!("Look for what the system says of the disk: journalctl -k"),
        );
    };
    let says = text!("{} of {} are free.", bytes(space.free), bytes(space.size));
    if space.files.is_some_and(|files| files < FEW_FILES) {
        let says = text!("The disk is full: it takes no more files.");
        return Finding::wrong(ROOM, says, remedy).standing(Standing::DiskFull);
    }
    match space.free {
        free if free < FULL => Finding::wrong(ROOM, text!("The disk is full: {}", says), remedy)
            .standing(Standing::DiskFull),
        free if free < LITTLE => Finding::warn(ROOM, text!("Little room: {}", says), remedy),
        _ => Finding::good(ROOM, text!("It takes writing. {}", says)),
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
            read_only: options.split(',').any(|option| READ_ONLY.contains(&option)),
        })
    });
    mounts
        .filter(|mount| folder.starts_with(&mount.point))
        .max_by_key(|mount| mount.point.components().count())
}

/// The name of the disk below a mount where the kernel does not have it any more. Of a mount by another
/// name than a disk's own it cannot be told.
fn pulled_out(root: &Root, mount: &Mount) -> Option<String> {
    const DISKS: &str = "sys/class/block";
    let name = mount.device.strip_prefix("/dev/")?;
    let own = name != "root" && !name.contains('/');
    let there = root.names(DISKS);
    (own && !there.is_empty() && !there.iter().any(|disk| disk == name)).then(|| name.to_owned())
}

/// Looks whether the disk with the records is the one that the panel was set up with.
pub fn records(root: &Root) -> Finding {
    let value = |path: &str, key: &str| settings::in_file(root, path, key);
    let (expected, marker) = ("etc/fillcall/records", "var/lib/fillcall/fillcall-records");
    if !root.has(expected) {
        return Finding::not_here(RECORDS, "This is no panel that was set up as a kiosk.");
    }
    let own = value(expected, "place").as_deref() == Some("partition");
    let folder = Path::new("/var/lib/fillcall");
    let mounted = mount_of(root, folder).is_some_and(|mount| mount.point == folder);
    if !root.has(marker) {
        return match own && root.has("proc/mounts") && !mounted {
            true => missing(
                text!("The partition with the records is not there, or cannot be opened."),
                PUSH_IT_HOME,
            ),
            false => missing(
                text!("Nothing on the disk says that it has records. It is new, or was erased."),
                text!(
                    "Put the right disk back in. If this is a new one: fillcall-kiosk take-disk --new"
                ),
            ),
        };
    }
    if value(marker, "id") != value(expected, "id") {
        return missing(
            text!("The disk has the records of another wall."),
            text!("Put the right disk back in. If this one is meant: fillcall-kiosk take-disk"),
        );
    }
    if own {
        return Finding::good(RECORDS, "The right disk, with a partition of their own.");
    }
    Finding {
        remedy: text!(
            "On a partition of their own they would outlive the system, be checked alone after a cut, and not \
             fill up with it: see the guide."
        ),
        ..Finding::good(RECORDS, "The right disk, in a folder of the system's.")
    }
}

/// The disk with the records is not there.
fn missing(says: Text, remedy: Text) -> Finding {
    Finding::wrong(RECORDS, says, remedy).standing(Standing::RecordsGone)
}
