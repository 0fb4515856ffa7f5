//! What stands on the glass of a real window is what would be drawn anew: after hundreds of switches of
//! sprayers with washes and undos between, and while the stopwatch runs.

use super::common::Around;
use super::common::display::{Display, within};
use super::{ONE_AT_A_TIME, demo_bay, wait_for_window};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::offscreen::Offscreen;
use fillcall::store::records::past_of;
use fillcall::store::{records_path, setup_file::read_bay};
use std::path::Path;
use std::process::{Child, Command};
use std::sync::PoisonError;
use std::thread::sleep;
use std::time::Duration;

const SIZE: (u16, u16) = (800, 480);
/// Enough for Slint's cache of shaped texts to drop entries: it holds about a thousand.
const SWITCHES: usize = 320;

/// The program in a window that has the keys.
pub(super) fn program(display: &Display, bay: &Path, own: impl Fn(&mut Command)) -> Child {
    let mut command = display.wall(&["--profile", "7in-800x480"], bay);
    own(&mut command);
    let mut wall = command.spawn().expect("the program starts");
    wait_for_window(display, &mut wall);
    sleep(Duration::from_secs(2));
    display.xdotool(&["search", "--name", "^fillcall$", "windowfocus"]);
    wall
}

/// A program in a real window, and the same wall off-screen, which knows where the buttons are.
pub(super) struct Twin {
    pub display: Display,
    pub wall: Child,
    pub off: Offscreen,
}

impl Twin {
    fn start(bay: &Path) -> Self {
        Self::start_with(bay, |_| {})
    }
    /// The same with something of its own about the program.
    pub fn start_with(bay: &Path, own: impl Fn(&mut Command)) -> Self {
        let display = Display::start(SIZE.0.into(), SIZE.1.into());
        let wall = program(&display, bay, &own);
        let mut setup = read_bay(bay).expect("its set-up");
        setup.panel = Panel::usual(Profile::Seven800);
        let around = Around::default();
        around.records.0.borrow_mut().past = past_of(&records_path(bay)).expect("its records");
        let off = Offscreen::new(
            setup.panel,
            Box::new(move || Ok(around.runner(setup.clone()))),
        )
        .expect("off-screen");
        Self { display, wall, off }
    }
    /// Presses a button in both.
    pub fn press(&self, label: &str) {
        let button = self.off.button(label).expect("a button");
        let (at, size) = (button.absolute_position(), button.size());
        let (x, y) = (at.x + size.width / 2.0, at.y + size.height / 2.0);
        self.off.press(label).expect("pressed");
        let (x, y) = (format!("{x:.0}"), format!("{y:.0}"));
        self.display
            .xdotool(&["mousemove", &x, &y, "mousedown", "1", "sleep", "0.12"]);
        self.display.xdotool(&["mouseup", "1"]);
        sleep(Duration::from_millis(900));
    }
    pub fn pixels(&self) -> Vec<u8> {
        self.display.pixels(SIZE)
    }
    /// True where some columns of the picture change once a second, left of those that change with each
    /// tenth: the seconds of a running stopwatch.
    fn seconds_go_on(&self) -> bool {
        let mut changes = vec![0; SIZE.0.into()];
        let mut before = self.pixels();
        for _ in 0..40 {
            sleep(Duration::from_millis(100));
            let now = self.pixels();
            for (column, changes) in changes.iter_mut().enumerate() {
                let apart = |y: usize| {
                    let at = (y * usize::from(SIZE.0) + column) * 4;
                    before[at..at + 4] != now[at..at + 4]
                };
                *changes += usize::from((0..SIZE.1.into()).any(apart));
            }
            before = now;
        }
        let tenths = changes.iter().position(|n| *n > 15).unwrap_or_default();
        let seconds = changes[..tenths]
            .iter()
            .filter(|n| (2..=8).contains(*n))
            .count();
        println!("{seconds} columns go by seconds, left of column {tenths}");
        seconds > 20
    }
    /// How many bytes of the picture are others once the window was taken away and put back, and so
    /// drawn anew. What changes by itself is given some tries.
    fn stale(&self) -> usize {
        let mut fewest = usize::MAX;
        within(Duration::from_secs(20), || {
            let before = self.pixels();
            let window = ["search", "--name", "^fillcall$"];
            self.display
                .xdotool(&[&window[..], &["windowunmap"]].concat());
            sleep(Duration::from_millis(60));
            self.display
                .xdotool(&["search", "--name", "^fillcall$", "windowmap"]);
            sleep(Duration::from_millis(250));
            let after = self.pixels();
            let lit = after.iter().filter(|b| **b > 0x80).count() > 100_000;
            let apart = before.iter().zip(&after).filter(|(a, b)| a != b).count();
            if lit {
                fewest = fewest.min(apart);
            }
            fewest == 0
        });
        fewest
    }
}

impl Drop for Twin {
    fn drop(&mut self) {
        let _ = self.wall.kill();
        let _ = self.wall.wait();
    }
}

#[test]
fn no_old_text_stays_on_the_glass() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let twin = Twin::start(&demo_bay(folder.path()));
    let first = twin.pixels();
    for _ in 0..SWITCHES / 8 {
        let mut keys = vec!["key", "--delay", "30"];
        keys.extend(["KP_Multiply", "KP_Add", "KP_Subtract"].repeat(8));
        twin.display.xdotool(&keys);
    }
    // What was said of it goes by itself.
    sleep(Duration::from_secs(12));
    assert_eq!(twin.stale(), 0, "at home");
    let again = twin.pixels();
    assert_eq!(
        first, again,
        "all was taken back, and the same sprayer is shown"
    );
    let care = twin.off.buttons().into_iter().find_map(|button| {
        let label = button.accessible_label()?.to_string();
        label.starts_with("Calibration: ").then_some(label)
    });
    twin.press(&care.expect("the way to its calibration"));
    for label in [
        "Calibrate",
        "Run dry",
        "As before",
        "It is full to the line",
        "Start",
    ] {
        twin.press(label);
    }
    sleep(Duration::from_secs(8));
    let shown = twin.pixels();
    sleep(Duration::from_millis(1500));
    assert_ne!(shown, twin.pixels(), "the stopwatch runs");
    assert!(
        twin.seconds_go_on(),
        "the seconds of the stopwatch stand still"
    );
}
