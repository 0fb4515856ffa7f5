//! The program itself, killed while something is half typed, and started anew by whoever watches it.

use super::common::display::within;
use super::redrawn::{Twin, program};
use super::{ONE_AT_A_TIME, demo_bay};
use std::process::Command;
use std::sync::PoisonError;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// How long what was said at the start stands there, and a little more.
const WORDS: Duration = Duration::from_secs(12);

#[test]
fn a_wall_that_was_killed_is_back_on_its_page_with_what_was_half_typed() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    let runtime = folder.path().join("run");
    std::fs::create_dir(&runtime).expect("a folder");
    let watched = |command: &mut Command| {
        command.env("RUNTIME_DIRECTORY", &runtime);
    };
    let mut twin = Twin::start_with(&bay, watched);
    let home = twin.pixels();
    let care = twin.off.buttons().into_iter().find_map(|button| {
        let label = button.accessible_label()?.to_string();
        label.starts_with("Calibration: ").then_some(label)
    });
    twin.press(&care.expect("the way to its calibration"));
    for label in ["Calibrate", "Run dry"] {
        twin.press(label);
    }
    twin.display
        .xdotool(&["key", "--delay", "60", "7", "3", "9"]);
    sleep(Duration::from_secs(1));
    let typed = twin.pixels();
    assert_ne!(typed, home);
    let mut kill_and_start = || {
        // With SIGKILL, as the watchdog does.
        twin.wall.kill().expect("killed");
        twin.wall.wait().expect("ended");
        let start = Instant::now();
        twin.wall = program(&twin.display, &bay, watched);
        println!("started and shown again within {:.1?}", start.elapsed());
        let words = twin.pixels();
        assert!(
            words != typed && words != home,
            "it says that it started anew"
        );
        sleep(WORDS);
        twin.pixels()
    };
    assert_eq!(
        kill_and_start()
            .iter()
            .zip(&typed)
            .filter(|(a, b)| a != b)
            .count(),
        0
    );
    // The next key is the fourth digit.
    let text = || std::fs::read_to_string(runtime.join("place.json")).expect("a place");
    assert!(text().contains("\"text\":\"739\""), "{}", text());
    twin.display.xdotool(&["key", "5"]);
    assert!(within(Duration::from_secs(5), || text()
        .contains("\"text\":\"7395\"")));
}

#[test]
fn a_place_that_is_no_place_leads_home() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    let runtime = folder.path().join("run");
    std::fs::create_dir(&runtime).expect("a folder");
    let home = Twin::start_with(&bay, |command| {
        command.env_remove("RUNTIME_DIRECTORY");
    })
    .pixels();
    std::fs::write(runtime.join("place.json"), "{\"version\":7").expect("written");
    let twin = Twin::start_with(&bay, |command| {
        command.env("RUNTIME_DIRECTORY", &runtime);
    });
    assert_eq!(twin.pixels(), home);
    let text = std::fs::read_to_string(runtime.join("place.json")).expect("a place");
    assert!(text.contains("\"page\":\"Fill\""), "{text}");
}
