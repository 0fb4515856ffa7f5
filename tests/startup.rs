//! Start-up to first frame, resident memory and idle CPU, beside an empty Slint window of the same
//! build. Printed, not judged: machines differ. What is asserted is only that both came up.

#[path = "common/display.rs"]
mod display;

use display::{Display, within};
use fillcall::store::backup;
use std::path::Path;
use std::process::{Child, Command};
use std::time::{Duration, Instant};
use x11rb::connection::Connection;
use x11rb::protocol::xproto::{ConnectionExt, ImageFormat};
use x11rb::rust_connection::RustConnection;

/// Set for the run of this same program that shows the empty window.
const EMPTY: &str = "FILLCALL_EMPTY_WINDOW";
const RUNS: usize = 5;
const IDLE: Duration = Duration::from_secs(5);

slint::slint! {
    export component Empty inherits Window {
        title: "empty";
        background: #ffffff;
        width: 800px;
        height: 480px;
    }
}

fn main() {
    if std::env::var_os(EMPTY).is_some() {
        slint::ComponentHandle::run(&Empty::new().expect("a window")).expect("a display");
        return;
    }
    // `cargo test` passes options of its test harness; asked for a list, this is the one test.
    if std::env::args().any(|a| a == "--list") {
        println!("startup: test");
        return;
    }
    println!("\nrunning 1 test");
    let folder = tempfile::tempdir().expect("a folder");
    let bay = folder.path().join("bay");
    let history = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
    backup::restore(&bay, &history, false).expect("the demonstration bay");

    let this = std::env::current_exe().expect("this program");
    let empty = |display: &Display| {
        let mut command = display.command(&this);
        command.env(EMPTY, "1");
        command
    };
    let wall = |display: &Display| {
        let mut command = display.command(Path::new(env!("CARGO_BIN_EXE_fillcall")));
        command
            .args(["--windowed", "--profile", "7in-800x480", "--bay"])
            .arg(&bay);
        command
    };
    println!(
        "{:<14} {:>16} {:>16} {:>14}",
        "window", "first frame ms", "resident MB", "idle CPU %"
    );
    for (name, start) in [
        ("empty", &empty as &dyn Fn(&Display) -> Command),
        ("fillcall", &wall),
    ] {
        let mut figures: Vec<Figures> = (0..RUNS).map(|i| measure(start, i == 0)).collect();
        let idle = figures[0].idle_percent;
        figures.sort_by_key(|f| f.first_frame);
        let middle = &figures[RUNS / 2];
        println!(
            "{name:<14} {:>16.0} {:>16.1} {:>14.2}",
            middle.first_frame.as_secs_f64() * 1000.0,
            middle.resident_mb,
            idle.unwrap_or(f64::NAN)
        );
    }
    println!(
        "test startup ... ok\n\ntest result: ok. 1 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out\n"
    );
}

struct Figures {
    first_frame: Duration,
    resident_mb: f64,
    idle_percent: Option<f64>,
}

fn measure(start: &dyn Fn(&Display) -> Command, with_idle: bool) -> Figures {
    let display = Display::start(800, 480);
    let (x, screen) = RustConnection::connect(Some(&display.name)).expect("the display");
    let root = x.setup().roots[screen].root;
    // The bare root window of Xvfb is black; the first pixel that is not is the first frame.
    let lit = || {
        let image = x.get_image(ImageFormat::Z_PIXMAP, root, 400, 2, 1, 1, !0);
        image
            .ok()
            .and_then(|cookie| cookie.reply().ok())
            .is_some_and(|i| i.data.iter().take(3).any(|b| *b > 0x80))
    };
    assert!(!lit(), "the display starts black");
    let began = Instant::now();
    let mut program = start(&display).spawn().expect("the program starts");
    assert!(within(Duration::from_secs(20), lit), "no frame came");
    let first_frame = began.elapsed();
    std::thread::sleep(Duration::from_secs(1));
    let resident_mb = resident_mb(&program);
    let idle_percent = with_idle.then(|| {
        let before = cpu_ticks(&program);
        std::thread::sleep(IDLE);
        // 100 ticks a second on every Linux that Debian builds.
        (cpu_ticks(&program) - before) as f64 / IDLE.as_secs_f64()
    });
    let _ = program.kill();
    let _ = program.wait();
    Figures {
        first_frame,
        resident_mb,
        idle_percent,
    }
}

fn resident_mb(program: &Child) -> f64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", program.id())).expect("alive");
    let line = status
        .lines()
        .find(|l| l.starts_with("VmRSS:"))
        .expect("VmRSS");
    let kb: f64 = line
        .split_whitespace()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .expect("a number");
    kb / 1024.0
}

fn cpu_ticks(program: &Child) -> u64 {
    let stat = std::fs::read_to_string(format!("/proc/{}/stat", program.id())).expect("alive");
    // Fields 14 and 15, user and system time; the name before them may have spaces.
    let rest = stat.rsplit_once(')').expect("a name").1;
    let fields: Vec<&str> = rest.split_whitespace().collect();
    fields[11].parse::<u64>().expect("ticks") + fields[12].parse::<u64>().expect("ticks")
}
