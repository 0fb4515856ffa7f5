//! `fillcall doctor` on planted panels: folders with the files in which Linux tells about its devices.

use chrono::{DateTime, FixedOffset};
use fillcall::bay::panel::Standing;
use fillcall::bay::ports::Extent;
use fillcall::bay::setup::Profile;
use fillcall::doctor::{Finding, Root, Space, State, System, Told, look, look_at, text, wrong};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// A panel with nothing wrong: files and what is in them.
const SOUND: [(&str, &str); 29] = [
    ("sys/class/drm/card0-HDMI-A-1/status", "connected\n"),
    (
        "sys/class/drm/card0-HDMI-A-1/modes",
        "1024x600\n1280x800\n800x600\n",
    ),
    ("sys/class/drm/card0-DP-1/status", "disconnected\n"),
    ("sys/class/drm/card0-DP-1/modes", ""),
    ("proc/bus/input/devices", INPUTS),
    ("usr/share/X11/xkb/rules/evdev", "! model\n"),
    (
        "proc/asound/cards",
        " 0 [PCH            ]: HDA-Intel - HDA Intel PCH\n                      HDA Intel PCH at 0xfebf0000\n",
    ),
    (
        "proc/asound/pcm",
        "00-00: ALC269 : ALC269 : playback 1 : capture 1\n",
    ),
    ("usr/bin/amixer", ""),
    ("usr/bin/udisksctl", ""),
    ("usr/lib/polkit-1/polkitd", ""),
    ("usr/share/polkit-1/rules.d/50-fillcall.rules", ""),
    ("proc/mounts", MOUNTS),
    ("sys/fs/ext4/mmcblk0p3/errors_count", "0\n"),
    ("etc/fillcall/records", "place=partition\nid=7\n"),
    ("var/lib/fillcall/fillcall-records", "id=7\n"),
    ("var/lib/fillcall/bay/nothing", ""),
    ("sys/block/mmcblk0/device/life_time", "0x01 0x02\n"),
    ("sys/block/mmcblk0/device/pre_eol_info", "0x01\n"),
    ("sys/block/sda/device/model", "Plain\n"),
    ("sys/class/rtc/rtc0/name", "rtc_cmos\n"),
    (UNIT, "[Service]\nWatchdogSec=15\n"),
    ("run/systemd/system/nothing", ""),
    ("run/systemd/units/invocation:fillcall.service", ""),
    (PROCESSES, "412\n440\n"),
    ("proc/412/status", SHUT_IN),
    ("proc/self/cgroup", "0::/user.slice/session-1.scope\n"),
    ("dev/shm/nothing", ""),
    ("tmp/nothing", ""),
];

const UNIT: &str = "usr/lib/systemd/system/fillcall.service";
const PROCESSES: &str = "sys/fs/cgroup/system.slice/fillcall.service/cgroup.procs";
const MOUNTS: &str = "/dev/mmcblk0p2 / ext4 ro,relatime 0 0\n\
    /dev/mmcblk0p3 /var/lib/fillcall ext4 rw,nosuid,relatime 0 0\ntmpfs /tmp tmpfs rw 0 0\n";
const SHUT_IN: &str = "Name:\tfillcall\nUid:\t998\t998\t998\t998\nNoNewPrivs:\t1\nSeccomp:\t2\nSeccomp_filters:\t14\n";

/// A power button, a touch panel of many fingers, a number pad.
const INPUTS: &str = "I: Bus=0019 Vendor=0000 Product=0001 Version=0000
N: Name=\"Power Button\"
H: Handlers=kbd event0
B: PROP=0
B: EV=3
B: KEY=10000000000000 0

I: Bus=0003 Vendor=0001 Product=0001 Version=0100
N: Name=\"Glass of ten fingers\"
H: Handlers=event1
B: PROP=2
B: EV=b
B: KEY=400 0 0 0 0 0
B: ABS=260800000000003

I: Bus=0003 Vendor=0002 Product=0002 Version=0100
N: Name=\"Number pad\"
H: Handlers=sysrq kbd event2 leds
B: PROP=0
B: EV=120013
B: KEY=1000000000007 ff9f207ac14057ff febeffdfffefffff fffffffffffffffe
";

/// One that feels one finger, without saying that it is before a picture.
const RESISTIVE: &str =
    "N: Name=\"Glass of one finger\"\nB: PROP=0\nB: KEY=400 0 0 0 0 0\nB: ABS=3\n";
/// Feels many fingers, and is beside the keys.
const TOUCHPAD: &str =
    "N: Name=\"Pad\"\nB: PROP=5\nB: KEY=e520 10000 0 0 0 0\nB: ABS=260800000000003\n";

/// A machine that says what a test wants.
#[derive(Clone)]
struct Planted {
    mixer: &'static str,
    space: Option<Space>,
    writable: bool,
    /// A file that must not be read.
    denied: &'static str,
}

const FULL_LEVEL: &str = "Simple mixer control 'Master',0
  Capabilities: pvolume pvolume-joined pswitch pswitch-joined
  Limits: Playback 0 - 87
  Mono: Playback 87 [100%] [0.00dB] [on]
Simple mixer control 'Speaker',0
  Front Left: Playback 87 [100%] [0.00dB] [on]
  Front Right: Playback 87 [100%] [0.00dB] [on]
Simple mixer control 'Mic Boost',0
  Front Left: 0 [0%] [0.00dB]
";

impl Default for Planted {
    fn default() -> Self {
        Self {
            mixer: FULL_LEVEL,
            space: Some(Space {
                free: 5_000_000_000,
                size: 8_000_000_000,
                files: Some(100_000),
            }),
            writable: true,
            denied: "",
        }
    }
}

impl System for Planted {
    fn run(&self, program: &str, arguments: &[&str]) -> Option<String> {
        assert_eq!((program, arguments.first()), ("amixer", Some(&"-c")));
        (!self.mixer.is_empty()).then(|| self.mixer.to_owned())
    }
    fn space(&self, _: &Path) -> Option<Space> {
        self.space
    }
    fn may_write(&self, _: &Path) -> bool {
        self.writable
    }
    fn read(&self, file: &Path) -> std::io::Result<String> {
        match !self.denied.is_empty() && file.ends_with(self.denied) {
            true => Err(std::io::ErrorKind::PermissionDenied.into()),
            false => fs::read_to_string(file),
        }
    }
}

fn date(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a date")
}

/// A panel below a folder: the sound one, and what is otherwise. A file with `GONE` in it is not there,
/// and a folder neither.
const GONE: &str = "gone";

fn plant(root: &Path, otherwise: &[(&str, &str)]) {
    for (path, content) in SOUND.iter().chain(otherwise) {
        let path = root.join(path);
        if *content == GONE {
            match path.is_dir() {
                true => fs::remove_dir_all(&path),
                false => fs::remove_file(&path),
            }
            .expect("it was planted");
            continue;
        }
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, content).expect("planted");
    }
}

fn told(root: &Path) -> Told {
    Told {
        bay: root.join("var/lib/fillcall/bay"),
        profile: Some(Profile::Seven1024),
        silent: false,
        in_window: false,
        now: date("2026-05-31T14:05:00+02:00"),
        newest: Ok(Some(date("2026-05-31T13:59:00+02:00"))),
        watchdog_usec: None,
    }
}

fn findings(
    otherwise: &[(&str, &str)],
    system: Planted,
    tell: impl FnOnce(&mut Told),
) -> Vec<Finding> {
    let folder = tempfile::tempdir().expect("a folder");
    let root = fs::canonicalize(folder.path()).expect("its path");
    plant(&root, otherwise);
    let mut told = told(&root);
    tell(&mut told);
    look(&Root::with(&root, Box::new(system)), &told)
}

fn of<'a>(findings: &'a [Finding], what: &str) -> &'a Finding {
    let mut all = findings.iter().filter(|finding| finding.what == what);
    all.next().expect("it was looked at")
}

/// Holds one finding, and that nothing else changed by it: what is not named in `also` is good.
fn hold(findings: &[Finding], what: &str, state: State, word: &str, also: &[&str]) {
    let found = of(findings, what);
    let said = format!("{} {}", found.says, found.remedy);
    assert!(
        found.state == state && said.contains(word),
        "{what} must be {state:?} and say {word}: {found:?}"
    );
    let may_be_otherwise =
        |finding: &&Finding| finding.what != what && !also.contains(&finding.what);
    for other in findings.iter().filter(may_be_otherwise) {
        assert_eq!(other.state, State::Good, "with {word}: {other:?}");
    }
    if matches!(state, State::Wrong | State::Warn) {
        assert!(!found.remedy.is_empty(), "what to do: {found:?}");
    }
}

#[test]
fn a_sound_panel_is_good_throughout() {
    let all = findings(&[], Planted::default(), |_| {});
    assert_eq!(all.len(), 14);
    for finding in &all {
        assert_eq!(finding.state, State::Good, "{finding:?}");
        assert!(
            finding.says.to_string().ends_with('.') && finding.remedy.is_empty(),
            "{finding:?}"
        );
    }
    assert_eq!(wrong(&all), 0);
    let said = text(&all);
    assert_eq!(said.lines().count(), 14, "{said}");
    assert!(
        said.lines().all(|line| line.starts_with("good      ")),
        "{said}"
    );
    for word in [
        "1024 × 600",
        "ten fingers",
        "Number pad",
        "HDA Intel PCH",
        "20 %",
        "2026-05-31 14:05",
    ] {
        assert!(said.contains(word), "{word}: {said}");
    }
}

#[test]
fn a_light_that_the_wall_may_not_set_is_told() {
    use std::os::unix::fs::PermissionsExt;
    const LIGHT: &str = "sys/class/backlight/panel/brightness";
    let drawn = findings(&[], Planted::default(), |_| {});
    assert!(
        of(&drawn, "backlight")
            .says
            .to_string()
            .contains("Dimming is drawn")
    );
    for (mode, state) in [(0o664, State::Good), (0o644, State::Warn)] {
        let folder = tempfile::tempdir().expect("a folder");
        let root = fs::canonicalize(folder.path()).expect("its path");
        plant(&root, &[(LIGHT, "255\n")]);
        let allowed = fs::Permissions::from_mode(mode);
        fs::set_permissions(root.join(LIGHT), allowed).expect("set");
        let all = look(
            &Root::with(&root, Box::new(Planted::default())),
            &told(&root),
        );
        hold(&all, "backlight", state, "panel", &[]);
    }
}

/// A table of faults in files: what is planted, what is looked at, how it stands, and a word that is said.
type Fault<'a> = (&'a [(&'a str, &'a str)], &'a str, State, &'a str);

const MODES: &str = "sys/class/drm/card0-HDMI-A-1/modes";
const STATUS: &str = "sys/class/drm/card0-HDMI-A-1/status";
const SETTINGS: &str = "etc/default/fillcall";

#[test]
fn every_fault_of_display_touch_and_keys_is_told() {
    use State::{Good, Warn, Wrong};
    let faults: &[Fault] = &[
        (
            &[(STATUS, "disconnected")],
            "display",
            Wrong,
            "No display is connected",
        ),
        (&[(MODES, "")], "display", Wrong, "does not tell its size"),
        (&[(MODES, "600x1024\n")], "display", Wrong, "stands upright"),
        (
            &[(MODES, "1280x800\n1024x600\n")],
            "display",
            Wrong,
            "profile = \"10in-1280x800\"",
        ),
        (
            &[(MODES, "1920x1080\n1024x600\n")],
            "display",
            Wrong,
            "video=HDMI-A-1:1024x600",
        ),
        (
            &[(MODES, "1920x1080\n")],
            "display",
            Wrong,
            "Put in a display with one of these: 800 × 480",
        ),
        (
            &[(SETTINGS, "SLINT_KMS_ROTATION=90\n")],
            "display",
            Wrong,
            "SLINT_KMS_ROTATION",
        ),
        (
            &[(SETTINGS, "#SLINT_KMS_ROTATION=90\nSLINT_KMS_ROTATION=180\n")],
            "display",
            Good,
            "1024",
        ),
        (
            &[(SETTINGS, "SLINT_SCALE_FACTOR=2\n")],
            "display",
            Wrong,
            "2 times as large",
        ),
        (
            &[(SETTINGS, "FILLCALL_OPTIONS=\"--profile 10in-1280x800\"\n")],
            "display",
            Wrong,
            "Write --profile 7in-1024x600 in /etc/default/fillcall",
        ),
        (
            &[
                (SETTINGS, "FILLCALL_OPTIONS=\"--profile=10in-1280x800\"\n"),
                (MODES, "1280x800\n"),
            ],
            "display",
            Good,
            "1280 × 800",
        ),
        (
            &[
                ("sys/class/drm/card0-DP-1/status", "connected"),
                ("sys/class/drm/card0-DP-1/modes", "1024x600\n"),
            ],
            "display",
            Warn,
            "2 displays",
        ),
        (
            &[
                ("sys/class/drm", GONE),
                ("sys/class/graphics/fb0/modes", "U:800x480p-60\n"),
            ],
            "display",
            Wrong,
            "800 × 480",
        ),
        (
            &[("proc/bus/input/devices", RESISTIVE)],
            "touch",
            Good,
            "one finger",
        ),
        (
            &[("usr/share/X11/xkb", GONE)],
            "keys",
            Wrong,
            "apt-get install xkb-data",
        ),
    ];
    for (files, what, state, word) in faults {
        let all = findings(files, Planted::default(), |_| {});
        hold(&all, what, *state, word, &["keys"]);
    }
    for inputs in [
        TOUCHPAD,
        "",
        "N: Name=\"Power Button\"\nB: KEY=10000000000000 0\n",
    ] {
        let all = findings(
            &[("proc/bus/input/devices", inputs)],
            Planted::default(),
            |_| {},
        );
        hold(&all, "touch", Wrong, "There is no touch panel", &["keys"]);
        hold(&all, "keys", Warn, "no number pad", &["touch"]);
        assert_eq!(of(&all, "touch").standing, Some(Standing::NoTouch));
    }
    let mouse = "N: Name=\"Mouse\"\nB: PROP=0\nB: KEY=70000 0 0 0 0\nB: REL=903\n";
    let with_a_mouse = [("proc/bus/input/devices", mouse)];
    let all = findings(&with_a_mouse, Planted::default(), |_| {});
    hold(&all, "touch", Warn, "There is a mouse", &["keys"]);
    let windowed = findings(&with_a_mouse, Planted::default(), |told| {
        told.in_window = true;
    });
    for what in ["touch", "display"] {
        assert_eq!(of(&windowed, what).state, State::NotHere);
    }
}

#[test]
fn every_fault_of_the_disk_and_the_records_is_told() {
    use State::{Good, NotHere, Warn, Wrong};
    let read_only = MOUNTS.replace("fillcall ext4 rw", "fillcall ext4 ro");
    let shut = MOUNTS.replace("fillcall ext4 rw", "fillcall ext4 rw,shutdown");
    let one_disk = "/dev/mmcblk0p2 / ext4 rw 0 0\n";
    let marker = "var/lib/fillcall/fillcall-records";
    let wear = "sys/block/mmcblk0/device/life_time";
    let spare = "sys/block/mmcblk0/device/pre_eol_info";
    let faults: &[Fault] = &[
        (
            &[("proc/mounts", &read_only)],
            "disk",
            Wrong,
            "may only be read",
        ),
        (
            &[("var/lib/fillcall/bay", GONE)],
            "disk",
            Wrong,
            "fillcall-kiosk on",
        ),
        (
            &[("sys/fs/ext4/mmcblk0p3/errors_count", "3")],
            "disk",
            Wrong,
            "errors: 3",
        ),
        (
            &[("sys/class/block/sda/size", "1")],
            "disk",
            Wrong,
            "not there any more: mmcblk0p3",
        ),
        (
            &[("sys/class/block/mmcblk0p3/size", "1")],
            "disk",
            Good,
            "takes writing",
        ),
        (&[("proc/mounts", &shut)], "disk", Wrong, "may only be read"),
        (&[(marker, GONE)], "records", Wrong, "take-disk --new"),
        (
            &[(marker, GONE), ("proc/mounts", one_disk)],
            "records",
            Wrong,
            "partition with the records",
        ),
        (&[(marker, "id=8\n")], "records", Wrong, "another wall"),
        (
            &[
                ("etc/fillcall/records", "place=folder\nid=7\n"),
                ("proc/mounts", one_disk),
            ],
            "records",
            Good,
            "outlive the system",
        ),
        (
            &[("etc/fillcall/records", GONE)],
            "records",
            NotHere,
            "set up as a kiosk",
        ),
        (&[(wear, "0x01 0x09")], "wear", Warn, "up to 90 %"),
        (&[(wear, "0x0b 0x01")], "wear", Wrong, "beyond the life"),
        (&[(spare, "0x02")], "wear", Warn, "most of its spare"),
        (&[(spare, "0x03")], "wear", Wrong, "nearly used up"),
        (
            &[(wear, "0x00 0x00"), (spare, "0x00")],
            "wear",
            NotHere,
            "No disk tells",
        ),
        (
            &[("sys/block/mmcblk1/device/life_time", "0x0b 0x0b")],
            "wear",
            Wrong,
            "mmcblk1",
        ),
    ];
    for (files, what, state, word) in faults {
        let all = findings(files, Planted::default(), |_| {});
        hold(&all, what, *state, word, &[]);
    }
    let room = |free, files| {
        let size = 8_000_000_000;
        let space = Some(Space { free, size, files });
        let system = Planted {
            space,
            ..Planted::default()
        };
        findings(&[], system, |_| {})
    };
    hold(&room(40_000_000, None), "disk", Wrong, "full", &[]);
    hold(
        &room(400_000_000, None),
        "disk",
        Warn,
        "Little room: 400 MB of 8.0 GB",
        &[],
    );
    hold(
        &room(5_000_000_000, Some(3)),
        "disk",
        Wrong,
        "no more files",
        &[],
    );
    hold(
        &room(5_000_000_000, None),
        "disk",
        Good,
        "5.0 GB of 8.0 GB",
        &[],
    );
    let untold = Planted {
        space: None,
        ..Planted::default()
    };
    hold(
        &findings(&[], untold, |_| {}),
        "disk",
        Warn,
        "cannot be told",
        &[],
    );
}

#[test]
fn every_fault_of_sound_clock_watchdog_and_what_shuts_it_in_is_told() {
    use State::{Good, NotHere, Warn, Wrong};
    let added = "etc/systemd/system/fillcall.service.d/10-off.conf";
    let open = SHUT_IN.replace("Seccomp:\t2", "Seccomp:\t0");
    let gains = SHUT_IN.replace("NoNewPrivs:\t1", "NoNewPrivs:\t0");
    let root = SHUT_IN.replace("Uid:\t998", "Uid:\t0");
    let own = "0::/system.slice/fillcall.service\n";
    let rule = "usr/share/polkit-1/rules.d/50-fillcall.rules";
    let faults: &[Fault] = &[
        (
            &[("proc/asound/cards", "--- no soundcards ---\n")],
            "sound",
            Wrong,
            "no sound card",
        ),
        (&[("proc/asound", GONE)], "sound", Wrong, "no sound card"),
        (
            &[("proc/asound/pcm", "00-00: Mic : Mic : capture 1\n")],
            "sound",
            Wrong,
            "only record",
        ),
        (
            &[("usr/bin/amixer", GONE)],
            "mixer",
            Wrong,
            "apt-get install alsa-utils",
        ),
        (&[("sys/class/rtc", GONE)], "clock", Warn, "battery"),
        (
            &[(UNIT, "[Service]\nType=notify\n")],
            "watchdog",
            Wrong,
            "switched off",
        ),
        (
            &[(added, "[Service]\nWatchdogSec=0\n")],
            "watchdog",
            Wrong,
            "switched off",
        ),
        (
            &[(added, "[Service]\nWatchdogSec=30s\n")],
            "watchdog",
            Good,
            "after 30 s",
        ),
        (&[(UNIT, GONE)], "watchdog", Warn, "fillcall-kiosk on"),
        (
            &[("run/systemd/units", GONE)],
            "watchdog",
            Wrong,
            "journalctl -u fillcall",
        ),
        (&[("run/systemd", GONE)], "watchdog", NotHere, "15 s"),
        (
            &[("proc/412/status", &open)],
            "sandbox",
            Wrong,
            "SystemCallFilter",
        ),
        (
            &[("proc/412/status", &gains)],
            "sandbox",
            Wrong,
            "NoNewPrivileges",
        ),
        (&[("proc/412/status", &root)], "sandbox", Wrong, "as root"),
        (
            &[(PROCESSES, GONE)],
            "sandbox",
            NotHere,
            "not started by its unit",
        ),
        (&[("proc/412/status", GONE)], "sandbox", NotHere, "as root"),
        (
            &[("proc/self/cgroup", own), ("proc/self/status", &open)],
            "sandbox",
            Wrong,
            "SystemCallFilter",
        ),
        (
            &[("usr/bin/udisksctl", GONE)],
            "sticks",
            Warn,
            "apt-get install udisks2",
        ),
        (
            &[("usr/lib/polkit-1/polkitd", GONE)],
            "sticks",
            Warn,
            "apt-get install polkitd",
        ),
        (&[(rule, GONE)], "sticks", Warn, "The rule"),
    ];
    for (files, what, state, word) in faults {
        let all = findings(files, Planted::default(), |_| {});
        hold(&all, what, *state, word, &["mixer"]);
    }
    let unwritable = Planted {
        writable: false,
        ..Planted::default()
    };
    hold(
        &findings(&[], unwritable, |_| {}),
        "font",
        Wrong,
        "/dev/shm",
        &[],
    );
}

#[test]
fn what_is_told_beside_the_files_is_judged() {
    use State::{Good, NotHere, Warn, Wrong};
    let mixer = |mixer| {
        findings(
            &[],
            Planted {
                mixer,
                ..Planted::default()
            },
            |_| {},
        )
    };
    let off = "Simple mixer control 'Master',0\n  Mono: Playback 0 [0%] [-65.25dB] [off]\n";
    hold(&mixer(off), "mixer", Wrong, "Nothing is heard", &[]);
    let muted = FULL_LEVEL.replace("[on]", "[off]");
    let muted = mixer(Box::leak(muted.into_boxed_str()));
    hold(&muted, "mixer", Wrong, "Nothing is heard", &[]);
    let low = "Simple mixer control 'Master',0\n  Mono: Playback 9 [10%] [-59.00dB] [on]\n";
    hold(&mixer(low), "mixer", Warn, "10 %", &[]);
    hold(
        &mixer("Simple mixer control 'Mic',0\n"),
        "mixer",
        Good,
        "no volume",
        &[],
    );
    hold(&mixer(""), "mixer", NotHere, "try it as root", &[]);

    let tell = |tell: &dyn Fn(&mut Told)| findings(&[], Planted::default(), tell);
    let before = tell(&|told| told.now = date("2026-05-31T13:58:59+02:00"));
    hold(
        &before,
        "clock",
        Wrong,
        "The newest record is of 2026-05-31 13:59",
        &[],
    );
    let past = tell(&|told| {
        told.now = date("1970-01-01T00:01:00+00:00");
        told.newest = Ok(None);
    });
    hold(&past, "clock", Wrong, "long past", &[]);
    let unread = tell(&|told| told.newest = Err("the records are damaged.".into()));
    hold(&unread, "clock", Warn, "damaged", &[]);
    let none = tell(&|told| told.newest = Ok(None));
    hold(&none, "clock", Good, "2026-05-31", &[]);
    let silent = tell(&|told| told.silent = true);
    hold(&silent, "sound", NotHere, "wants no sound", &["mixer"]);
    let small = tell(&|told| told.profile = None);
    hold(&small, "display", Wrong, "7in-1024x600", &[]);
    let within = tell(&|told| told.watchdog_usec = Some("15000000".into()));
    hold(&within, "watchdog", Good, "15 s", &[]);
}

#[test]
fn what_the_walls_own_user_may_not_see_is_no_fault() {
    for (denied, what) in [
        ("proc/bus/input/devices", "touch"),
        ("var/lib/fillcall/fillcall-records", "records"),
        ("proc/asound/cards", "sound"),
    ] {
        let system = Planted {
            denied,
            ..Planted::default()
        };
        let all = findings(&[], system, |_| {});
        let found = of(&all, what);
        assert!(
            found.state == State::NotHere
                && found.says == "Not seen from here: run fillcall doctor as root.",
            "{found:?}"
        );
        assert_eq!(found.standing, None);
        assert_eq!(wrong(&all), 0, "{all:?}");
    }
}

#[test]
fn of_a_setting_that_stands_twice_the_last_line_counts_everywhere() {
    let twice: &[(&str, &str)] = &[
        (
            SETTINGS,
            "SLINT_KMS_ROTATION=90\nSLINT_KMS_ROTATION=\"180\"\n",
        ),
        (UNIT, "[Service]\nWatchdogSec=0\nWatchdogSec=15\n"),
        (
            "etc/fillcall/records",
            "place=folder\nid=3\nplace=partition\nid=7\n",
        ),
        ("var/lib/fillcall/fillcall-records", "id=3\nid=\"7\"\n"),
    ];
    for finding in findings(twice, Planted::default(), |_| {}) {
        assert_eq!(finding.state, State::Good, "{finding:?}");
    }
}

#[test]
fn what_the_wall_looks_at_again_and_again_stands_on_the_glass_where_it_is_wrong() {
    let read_only = MOUNTS.replace("fillcall ext4 rw", "fillcall ext4 ro");
    let off = "Simple mixer control 'Master',0\n  Mono: Playback 0 [0%] [-65.25dB] [off]\n";
    type Case<'a> = (&'a [(&'a str, &'a str)], Extent, Standing);
    let cases: &[Case] = &[
        (
            &[("proc/bus/input/devices", "")],
            Extent::Inputs,
            Standing::NoTouch,
        ),
        (
            &[("proc/mounts", &read_only)],
            Extent::Disk,
            Standing::DiskReadOnly,
        ),
        (
            &[("sys/fs/ext4/mmcblk0p3/errors_count", "3")],
            Extent::Disk,
            Standing::DiskErrors,
        ),
        (
            &[("var/lib/fillcall/fillcall-records", GONE)],
            Extent::Disk,
            Standing::RecordsGone,
        ),
        (
            &[("var/lib/fillcall/bay", GONE)],
            Extent::Disk,
            Standing::RecordsGone,
        ),
        (
            &[(MODES, "1280x800\n")],
            Extent::Disk,
            Standing::OtherDisplay,
        ),
        (&[], Extent::Sound, Standing::CardSilent),
    ];
    for (files, extent, standing) in cases {
        let folder = tempfile::tempdir().expect("a folder");
        let root = fs::canonicalize(folder.path()).expect("its path");
        plant(&root, files);
        let system = match extent {
            Extent::Sound => Planted {
                mixer: off,
                ..Planted::default()
            },
            _ => Planted::default(),
        };
        let found = look_at(&Root::with(&root, Box::new(system)), &told(&root), *extent);
        let standings: Vec<_> = found
            .iter()
            .filter_map(|finding| finding.standing)
            .collect();
        assert_eq!(standings, [*standing], "{found:?}");
    }
}

fn doctor(root: &Path, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fillcall"))
        .arg("doctor")
        .arg("--root")
        .arg(root)
        .args(more)
        .output()
        .expect("the program runs")
}

#[test]
fn the_command_says_it_in_words_and_in_json_and_ends_with_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let root = folder.path();
    plant(root, &[]);
    let bay = root.join("var/lib/fillcall/bay");
    let history = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    fs::remove_dir_all(&bay).expect("emptied");
    let restored = Command::new(env!("CARGO_BIN_EXE_fillcall"))
        .arg("restore")
        .args([&bay, &history])
        .status();
    assert!(restored.expect("the program runs").success());
    let setup = fs::read_to_string(bay.join("bay.toml")).expect("the set-up");
    let profile = Profile::ALL.into_iter().find(|p| setup.contains(p.name()));
    let (width, height) = profile.expect("its panel").pixels();
    plant(root, &[(MODES, &format!("{width}x{height}\n"))]);

    let good = doctor(root, &[]);
    let said = String::from_utf8(good.stdout).expect("text");
    assert!(good.status.success(), "{said}");
    assert!(
        !said.contains("WRONG") && said.contains("good      set-up "),
        "{said}"
    );
    assert!(
        said.contains("not here  mixer "),
        "no program of a folder is run: {said}"
    );

    plant(
        root,
        &[(MODES, "600x1024\n"), ("proc/bus/input/devices", "")],
    );
    let bad = doctor(root, &[]);
    let said = String::from_utf8(bad.stdout).expect("text");
    assert_eq!(bad.status.code(), Some(1), "{said}");
    assert!(
        said.contains("WRONG     display   This panel stands upright: 600 × 1024 points."),
        "{said}"
    );
    assert!(
        said.contains("\n                    Push the touch panel's plug home"),
        "{said}"
    );
    let ended = String::from_utf8(bad.stderr).expect("text");
    assert_eq!(ended, "fillcall: 2 things are wrong\n");

    let json = doctor(root, &["--json"]);
    assert_eq!(json.status.code(), Some(1));
    let list: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    let list = list.as_array().expect("a list");
    assert_eq!(list.len(), 15);
    for entry in list {
        assert!(
            ["what", "state", "says", "do"]
                .iter()
                .all(|key| entry[key].is_string()),
            "{entry}"
        );
    }
    let display = list.iter().find(|entry| entry["what"] == "display");
    assert_eq!(display.expect("looked at")["state"], "wrong");
    let mixer = list.iter().find(|entry| entry["what"] == "mixer");
    assert_eq!(mixer.expect("looked at")["state"], "not-here");
}

#[test]
fn a_set_up_with_a_mistake_and_a_root_that_is_none_are_told() {
    let folder = tempfile::tempdir().expect("a folder");
    plant(folder.path(), &[("bay/bay.toml", "name = 7\n")]);
    let bay = folder.path().join("bay");
    let out = doctor(folder.path(), &["--bay", bay.to_str().expect("a path")]);
    let said = String::from_utf8(out.stdout).expect("text");
    assert!(
        said.contains("WRONG     set-up ") && said.contains("fillcall check"),
        "{said}"
    );
    assert_eq!(out.status.code(), Some(1));

    let nowhere = doctor(&folder.path().join("nowhere"), &[]);
    assert_eq!(nowhere.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&nowhere.stderr).contains("is no folder"));

    // Of a folder with the files of a system that does not run, only files are told.
    let empty = tempfile::tempdir().expect("a folder");
    let out = doctor(empty.path(), &[]);
    let said = String::from_utf8(out.stdout).expect("text");
    assert!(
        said.contains("not here  display ") && said.contains("not here  set-up "),
        "{said}"
    );
}
