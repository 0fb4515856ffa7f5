//! The program itself in a real window, tapped with xdotool.

mod common;
#[path = "sound/device.rs"]
#[allow(dead_code)] // another test uses the rest of it
mod device;
#[path = "real_window/killed.rs"]
mod killed;
#[path = "real_window/redrawn.rs"]
mod redrawn;

use common::display::{Display, within};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::offscreen::Offscreen;
use fillcall::store::records::summary;
use fillcall::store::{backup, records_path};
use std::path::{Path, PathBuf};
use std::process::Child;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// Where a button stands on home: the off-screen wall has the same layout.
fn place(label: &str) -> (i32, i32) {
    let around = common::Around::default();
    let setup = common::setup(Profile::Seven800);
    let off = Offscreen::new(
        Panel::usual(Profile::Seven800),
        Box::new(move || Ok(around.runner(setup.clone()))),
    )
    .expect("off-screen");
    let button = off.button(label).expect("the button");
    let (at, size) = (button.absolute_position(), button.size());
    (
        (at.x + size.width / 2.0) as i32,
        (at.y + size.height / 2.0) as i32,
    )
}

/// One real window at a time: starting several displays and programs at once on a small machine makes
/// each of them slow, and says nothing about the program.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

fn wait_for_window(display: &Display, wall: &mut Child) {
    let shown = within(Duration::from_secs(60), || {
        display
            .command(Path::new("xdotool"))
            .args(["search", "--onlyvisible", "--name", "^fillcall$"])
            .output()
            .is_ok_and(|out| out.status.success())
    });
    let ended = wall.try_wait().expect("a status");
    assert!(shown, "the window did not come up; the program: {ended:?}");
}

fn demo_bay(folder: &Path) -> PathBuf {
    let bay = folder.join("bay");
    let history = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    backup::restore(&bay, &history, false).expect("the demonstration bay");
    bay
}

#[test]
fn a_tap_counts_a_wash_and_a_graze_does_not() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    let washes = || summary(&records_path(&bay)).expect("records").washes;
    let before = washes();
    // The uncalibrated bay of `place` has its Wash done button at the same right-hand end.
    let (x, y) = place("Wash done");
    let display = Display::start(800, 480);
    let mut wall = display
        .wall(&["--profile", "7in-800x480"], &bay)
        .spawn()
        .expect("the program starts");
    wait_for_window(&display, &mut wall);
    // Without a window manager it stands at the corner; give it a moment to draw.
    std::thread::sleep(Duration::from_secs(2));
    let (xs, ys) = (x.to_string(), y.to_string());
    let press = |held: &str| {
        display.xdotool(&[
            "mousemove",
            &xs,
            &ys,
            "mousedown",
            "1",
            "sleep",
            held,
            "mouseup",
            "1",
        ]);
    };
    press("0.01");
    std::thread::sleep(Duration::from_millis(400));
    assert_eq!(washes(), before, "a graze acted");
    press("0.12");
    let counted = within(Duration::from_secs(20), || washes() == before + 1);
    assert!(counted, "a tap was not counted");
    // By the number pad too. Without a window manager nobody else gives the window the keys.
    display.xdotool(&["search", "--name", "^fillcall$", "windowfocus"]);
    std::thread::sleep(Duration::from_millis(200));
    display.xdotool(&["key", "KP_Add"]);
    assert!(
        within(Duration::from_secs(5), || washes() == before + 2),
        "the + key was not counted"
    );
    let _ = wall.kill();
    let _ = wall.wait();
    assert_eq!(washes(), before + 2, "killed at once, nothing lost");
}

#[test]
fn the_service_manager_hears_of_a_wall_at_work_and_not_of_one_that_is_stuck() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    let socket = folder.path().join("notify");
    let manager = std::os::unix::net::UnixDatagram::bind(&socket).expect("a socket");
    manager
        .set_read_timeout(Some(Duration::from_secs(30)))
        .expect("a limit");
    let heard = || {
        let mut told = [0; 200];
        let length = manager.recv(&mut told).ok()?;
        Some(String::from_utf8_lossy(&told[..length]).into_owned())
    };
    let display = Display::start(800, 480);
    let mut wall = display
        .wall(&["--profile", "7in-800x480"], &bay)
        .env("NOTIFY_SOCKET", &socket)
        .env("WATCHDOG_USEC", "2000000")
        .spawn()
        .expect("the program starts");
    // Before it is ready it may be slow, and is at work all the same.
    let first = std::iter::from_fn(heard).find(|told| told.contains("READY"));
    assert!(first.expect("ready").contains("READY=1"));
    // The bare root window of Xvfb is black.
    let pixels = display.pixels((800, 480));
    let light = pixels.chunks(4).filter(|pixel| pixel[0] > 0x80).count();
    assert!(
        light > 100_000,
        "ready before its first frame: {light} light pixels"
    );
    wait_for_window(&display, &mut wall);
    for _ in 0..3 {
        let next = heard().expect("still at work");
        assert!(
            next.contains("WATCHDOG=1") && !next.contains("READY"),
            "{next}"
        );
    }
    signal(&wall, "-STOP");
    // What was sent before it was stopped is still to be read.
    std::thread::sleep(Duration::from_millis(300));
    manager.set_nonblocking(true).expect("at once");
    while heard().is_some() {}
    std::thread::sleep(Duration::from_secs(3));
    assert_eq!(heard(), None, "stuck");
    signal(&wall, "-CONT");
    assert!(
        within(Duration::from_secs(10), || heard().is_some()),
        "it goes on"
    );
    let _ = wall.kill();
    let _ = wall.wait();
}

#[test]
fn a_lost_loudspeaker_is_on_the_glass_within_two_seconds_though_nobody_looks() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    // The demonstration, whose home is shown: it is not asked again before half a minute is over.
    std::fs::copy(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/bay.toml"),
        bay.join("bay.toml"),
    )
    .expect("the set-up");
    let device = device::Device::new();
    device.plug_in();
    let display = Display::start(800, 480);
    let mut wall = display
        .wall(&["--profile", "7in-800x480"], &bay)
        .envs(device.environment())
        .spawn()
        .expect("the program starts");
    wait_for_window(&display, &mut wall);
    std::thread::sleep(Duration::from_secs(5));
    let mut tasks = std::fs::read_dir(format!("/proc/{}/task", wall.id())).expect("its threads");
    let output = tasks.find_map(|task| {
        let children = std::fs::read_to_string(task.ok()?.path().join("children")).ok()?;
        children.split_whitespace().next().map(str::to_owned)
    });
    let output = output.expect("an output process");
    let before = display.pixels((800, 480));
    let sent = std::process::Command::new("kill")
        .args(["-ABRT", &output])
        .status();
    assert!(sent.expect("kill is there").success());
    let lost = std::time::Instant::now();
    let shown = within(Duration::from_secs(2), || {
        display.pixels((800, 480)) != before
    });
    assert!(shown, "nothing is shown of it");
    println!(
        "a lost loudspeaker: on the glass after {:?}",
        lost.elapsed()
    );
    let _ = wall.kill();
    let _ = wall.wait();
}

/// Stops a program, or lets it go on: as long as it is stopped it reads nothing.
fn signal(wall: &Child, signal: &str) {
    let id = wall.id().to_string();
    let sent = std::process::Command::new("kill")
        .args([signal, &id])
        .status();
    assert!(sent.expect("kill is there").success());
}

#[test]
fn a_press_that_a_stall_hid_counts_once_or_not_at_all() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    let washes = || summary(&records_path(&bay)).expect("records").washes;
    let mut counted = washes();
    let (x, y) = place("Wash done");
    let display = Display::start(800, 480);
    let mut wall = display
        .wall(&["--profile", "7in-800x480"], &bay)
        .spawn()
        .expect("the program starts");
    wait_for_window(&display, &mut wall);
    let sleep = |ms| std::thread::sleep(Duration::from_millis(ms));
    sleep(2000);
    display.xdotool(&["mousemove", &x.to_string(), &y.to_string()]);
    for stall in [120, 300, 600] {
        // It came before the stall and went within: it lasted at least till then.
        display.xdotool(&["mousedown", "1"]);
        sleep(100);
        signal(&wall, "-STOP");
        display.xdotool(&["mouseup", "1"]);
        sleep(stall);
        signal(&wall, "-CONT");
        counted += 1;
        let so_many = || washes() == counted;
        assert!(
            within(Duration::from_secs(10), so_many),
            "{stall} ms: not counted"
        );
        sleep(1500);
        // Both within: a window has no times for them. It is not believed, and shows that.
        signal(&wall, "-STOP");
        display.xdotool(&["mousedown", "1", "sleep", "0.08", "mouseup", "1"]);
        sleep(stall);
        signal(&wall, "-CONT");
        sleep(1500);
        assert_eq!(washes(), counted, "{stall} ms");
        // Pressed again, it counts.
        display.xdotool(&["mousedown", "1", "sleep", "0.12", "mouseup", "1"]);
        counted += 1;
        let so_many = || washes() == counted;
        assert!(
            within(Duration::from_secs(10), so_many),
            "{stall} ms: not counted again"
        );
        sleep(1500);
    }
    let _ = wall.kill();
    let _ = wall.wait();
}

#[test]
fn an_empty_folder_becomes_a_bay_to_be_set_up() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = folder.path().join("new");
    let display = Display::start(1024, 600);
    let mut wall = display
        .wall(&["--profile", "7in-1024x600"], &bay)
        .env("LC_ALL", "es_ES.UTF-8")
        .spawn()
        .expect("the program starts");
    wait_for_window(&display, &mut wall);
    let begun = || fillcall::store::setup_file::read_bay(&bay);
    assert!(within(Duration::from_secs(10), || begun().is_ok()));
    let _ = wall.kill();
    let _ = wall.wait();
    let setup = begun().expect("a set-up");
    assert_eq!(setup.unfinished, Some(1));
    assert_eq!(setup.language.code(), "es");
    assert_eq!(setup.panel.profile.name(), "7in-1024x600");
}

#[test]
fn one_wall_to_a_bay() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let bay = demo_bay(folder.path());
    let display = Display::start(800, 480);
    let start = || display.wall(&[], &bay).spawn().expect("the program starts");
    let washes = || summary(&records_path(&bay)).expect("records").washes;
    let before = washes();
    let mut first = start();
    assert!(within(Duration::from_secs(20), || bay
        .join("wall.lock")
        .exists()));
    wait_for_window(&display, &mut first);
    // The second one comes up over the first, on its fault page: where home has Wash done, that has
    // Read it again.
    let mut second = start();
    std::thread::sleep(Duration::from_secs(4));
    assert!(second.try_wait().expect("a status").is_none(), "it ended");
    let (x, y) = place("Wash done");
    let (x, y) = (x.to_string(), y.to_string());
    let press = [
        "mousemove",
        &x,
        &y,
        "mousedown",
        "1",
        "sleep",
        "0.12",
        "mouseup",
        "1",
    ];
    display.xdotool(&press);
    std::thread::sleep(Duration::from_millis(500));
    assert_eq!(washes(), before);
    // Once the first is closed, the second takes over.
    let _ = first.kill();
    let _ = first.wait();
    display.xdotool(&press);
    std::thread::sleep(Duration::from_secs(3));
    display.xdotool(&press);
    assert!(within(Duration::from_secs(20), || washes() == before + 1));
    for wall in [&mut first, &mut second] {
        let _ = wall.kill();
        let _ = wall.wait();
    }
}

#[test]
fn a_wrong_set_up_starts_on_the_fault_page_and_stays_up() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("bay.toml"), "name = 7\n").expect("a wrong set-up");
    let display = Display::start(800, 480);
    let mut wall = display
        .wall(&[], folder.path())
        .spawn()
        .expect("the program starts");
    wait_for_window(&display, &mut wall);
    std::thread::sleep(Duration::from_millis(300));
    assert!(wall.try_wait().expect("a status").is_none(), "it ended");
    assert!(
        !folder.path().join("records.sqlite").exists(),
        "nothing is made up beside a wrong set-up"
    );
    let _ = wall.kill();
    let _ = wall.wait();
}
