//! The program draws the letters that it carries, on a machine with fonts and on one without any.

#[path = "common/display.rs"]
mod display;

use display::{Display, within};
use fillcall::store::backup;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

const SIZE: (u16, u16) = (800, 480);

/// Hides every font and fontconfig's configuration from what runs behind it.
const WITHOUT_FONTS: &str = "set -e
for folder in /usr/share/fonts /usr/local/share/fonts /etc/fonts /usr/share/fontconfig; do
    if [ -d \"$folder\" ]; then mount -t tmpfs none \"$folder\"; fi
done
exec \"$@\"";

/// What `unshare` is told before the program that runs without fonts.
const HIDING: [&str; 6] = [
    "--map-root-user",
    "--mount",
    "sh",
    "-c",
    WITHOUT_FONTS,
    "sh",
];

/// All pixels of home in a real window, once it stands still.
fn home(bay: &Path, fonts: bool) -> Vec<u8> {
    let display = Display::start(SIZE.0.into(), SIZE.1.into());
    let mut command = match fonts {
        true => display.command(Path::new(env!("CARGO_BIN_EXE_fillcall"))),
        false => {
            let mut command = display.command(Path::new("unshare"));
            command.args(HIDING).arg(env!("CARGO_BIN_EXE_fillcall"));
            command
        }
    };
    let mut wall = command
        .args(["--windowed", "--profile", "7in-800x480", "--bay"])
        .arg(bay)
        .env("HOME", bay)
        .spawn()
        .expect("the program starts");
    let pixels = || display.pixels(SIZE);
    // The bare root window of Xvfb is black.
    let lit = within(Duration::from_secs(20), || {
        pixels().iter().filter(|b| **b > 0x80).count() > 100_000
    });
    std::thread::sleep(Duration::from_secs(1));
    let shown = pixels();
    let ended = wall.try_wait().expect("a status");
    let _ = wall.kill();
    let _ = wall.wait();
    assert!(lit && ended.is_none(), "fonts: {fonts}, ended: {ended:?}");
    shown
}

#[test]
fn a_machine_without_fonts_shows_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let bay = folder.path().join("bay");
    let history = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    backup::restore(&bay, &history, false).expect("the demonstration bay");
    // Fonts are really hidden: fontconfig's own list is empty there.
    let list = Command::new("unshare")
        .args(HIDING)
        .args(["find", "/usr/share/fonts", "/etc/fonts", "-type", "f"])
        .output()
        .expect("unshare is there");
    assert!(list.status.success() && list.stdout.is_empty(), "{list:?}");
    let with = home(&bay, true);
    let without = home(&bay, false);
    let apart = with.iter().zip(&without).filter(|(a, b)| a != b).count();
    assert_eq!(apart, 0, "the letters are others");
}
