//! What a press and a wash take, and what a wall costs that nobody uses: each beside the least that it can be
//! on this machine, in the same run. Printed, not judged: machines differ.

mod common;
#[path = "sound/device.rs"]
#[allow(dead_code)] // another test uses the rest of it
mod device;
#[path = "latency/durable.rs"]
mod durable;
#[path = "latency/idle.rs"]
mod idle;
#[path = "latency/press.rs"]
mod press;

use common::display::Display;
use fillcall::store::backup;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

/// Set for the run of this same program that shows the empty window.
const EMPTY: &str = "FILLCALL_EMPTY_WINDOW";

slint::slint! {
    export component Empty inherits Window {
        title: "empty";
        background: touch.pressed ? #404040 : #ffffff;
        width: 800px;
        height: 480px;
        touch := TouchArea {}
    }
}

fn main() {
    if std::env::var_os(EMPTY).is_some() {
        slint::ComponentHandle::run(&Empty::new().expect("a window")).expect("a display");
        return;
    }
    // `cargo test` passes options of its test harness; asked for a list, this is the one test.
    if std::env::args().any(|a| a == "--list") {
        println!("latency: test");
        return;
    }
    println!("\nrunning 1 test");
    durable::measure();
    press::measure();
    idle::measure();
    println!(
        "test latency ... ok\n\ntest result: ok. 1 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out\n"
    );
}

/// The empty window on a display.
fn empty(display: &Display) -> Command {
    let mut command = display.command(&std::env::current_exe().expect("this program"));
    command.env(EMPTY, "1");
    without_a_desktop(command)
}

/// The wall of the demonstration on a display, its bay in `folder`.
fn wall(display: &Display, folder: &Path) -> Command {
    let bay = folder.join("bay");
    let history = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    backup::restore(&bay, &history, false).expect("the demonstration bay");
    without_a_desktop(display.wall(&["--profile", "7in-800x480"], &bay))
}

/// As on a bare panel, where there is no desktop. In a window Slint's back end asks the desktop for its
/// colours, and leaves a thread of its own behind that wakes twice a second for ever, in any program.
fn without_a_desktop(mut command: Command) -> Command {
    command.env("DBUS_SESSION_BUS_ADDRESS", "disabled:");
    command.stderr(std::process::Stdio::null());
    command
}

/// Those at half and at 95 of 100, in milliseconds.
fn half_and_most(mut times: Vec<Duration>) -> (f64, f64) {
    times.sort_unstable();
    let at = |part: usize| times[(times.len() - 1) * part / 100].as_secs_f64() * 1000.0;
    (at(50), at(95))
}
