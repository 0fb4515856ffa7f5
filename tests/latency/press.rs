//! From a press to changed pixels, in a real window, beside an empty window that changes its colour.

use super::common::display::{Display, within};
use super::common::{Around, setup};
use super::{empty, half_and_most, wall};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::offscreen::Offscreen;
use std::io::Write;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};
use x11rb::connection::Connection;
use x11rb::protocol::xproto::{ConnectionExt, ImageFormat};
use x11rb::rust_connection::RustConnection;

const MANY: usize = 40;
const FEW: usize = 20;
/// One frame of a panel.
const FRAME_MS: f64 = 1000.0 / 60.0;
/// A press has to last, and a page has to be there, before they count.
const HELD: Duration = Duration::from_millis(150);
const SETTLED: Duration = Duration::from_millis(700);

type Place = (i16, i16);

/// Prints what both take.
pub fn measure() {
    let folder = tempfile::tempdir().expect("a folder");
    let ground = Screen::of(empty);
    let floor = half_and_most(ground.touches((400, 240), (400, 100)));
    drop(ground);
    let screen = Screen::of(|display| wall(display, folder.path()));
    let wash = place("Wash done");
    let touched = half_and_most(screen.touches(wash, (wash.0, 240)));
    let paged = half_and_most(screen.pages(place("Menu"), place_on_the_menu("Back")));
    println!(
        "\n{:<44} {:>10} {:>10} {:>22}",
        "to changed pixels, ms", "half", "95 of 100", "frames of its own"
    );
    for (what, (half, most)) in [
        ("empty window, finger down", floor),
        ("fillcall, finger down, the tile", touched),
        ("fillcall, finger lifted, the next page", paged),
    ] {
        let own = (half - floor.0).max(0.0) / FRAME_MS;
        println!("{what:<44} {half:>10.2} {most:>10.2} {own:>14.2} (at most 1)");
    }
}

fn off_screen() -> Offscreen {
    let around = Around::default();
    let setup = setup(Profile::Seven800);
    let panel = Panel::usual(Profile::Seven800);
    let open = Box::new(move || Ok(around.runner(setup.clone())));
    Offscreen::new(panel, open).expect("off-screen")
}

/// Where a button of home stands: the off-screen wall has the same layout.
fn place(label: &str) -> Place {
    on(&off_screen(), label)
}

fn place_on_the_menu(label: &str) -> Place {
    let off = off_screen();
    off.press("Menu").expect("the menu");
    on(&off, label)
}

fn on(off: &Offscreen, label: &str) -> Place {
    let button = off.button(label).unwrap_or_else(|e| {
        let labels = off.buttons();
        let labels: Vec<_> = labels.iter().filter_map(|b| b.accessible_label()).collect();
        panic!("{e}: {labels:?}")
    });
    let (at, size) = (button.absolute_position(), button.size());
    let middle = (at.x + size.width / 2.0, at.y + size.height / 2.0);
    (middle.0 as i16, middle.1 as i16)
}

/// A program in a window of its own display, and a hand that is started once.
struct Screen {
    display: Display,
    program: Child,
    hand: Child,
    finger: std::cell::RefCell<ChildStdin>,
    x: RustConnection,
    root: u32,
}

impl Screen {
    fn of(start: impl Fn(&Display) -> Command) -> Self {
        let display = Display::start(800, 480);
        let program = start(&display).spawn().expect("the program starts");
        let mut hand = display.command("xdotool".as_ref());
        let hand = hand.arg("-").stdin(Stdio::piped()).spawn();
        let mut hand = hand.expect("xdotool is installed: kiosk-setup/test does it");
        let finger = hand.stdin.take().expect("piped").into();
        let (x, screen) = RustConnection::connect(Some(&display.name)).expect("the display");
        let root = x.setup().roots[screen].root;
        let screen = Self {
            display,
            program,
            hand,
            finger,
            x,
            root,
        };
        // The bare root window of Xvfb is black.
        let lit = || screen.pixel((400, 2)).iter().take(3).any(|b| *b > 0x80);
        assert!(within(Duration::from_secs(20), lit), "no frame came");
        sleep(Duration::from_secs(2));
        screen
    }

    fn tell(&self, what: &str) {
        let mut finger = self.finger.borrow_mut();
        writeln!(finger, "{what}")
            .and_then(|()| finger.flush())
            .expect("the hand is there");
    }

    fn go_to(&self, (x, y): Place) {
        self.tell(&format!("mousemove {x} {y}"));
        sleep(Duration::from_millis(60));
    }

    fn pixel(&self, (x, y): Place) -> Vec<u8> {
        let asked = self
            .x
            .get_image(ImageFormat::Z_PIXMAP, self.root, x, y, 1, 1, !0);
        asked.expect("asked").reply().expect("a pixel").data
    }

    /// How long it takes from doing this until the pixel is another one.
    fn until_changed(&self, what: &str, pixel: Place) -> Duration {
        let before = self.pixel(pixel);
        let began = Instant::now();
        self.tell(what);
        while self.pixel(pixel) == before {
            assert!(began.elapsed() < Duration::from_secs(5), "nothing changed");
        }
        began.elapsed()
    }

    /// A pixel that is another one after this was done.
    fn changing(&self, act: impl FnOnce()) -> Place {
        let size = (800_u16, 480_u16);
        let before = self.display.pixels(size);
        act();
        sleep(Duration::from_millis(300));
        let after = self.display.pixels(size);
        // From the end: what is drawn last.
        let at = before
            .chunks(4)
            .zip(after.chunks(4))
            .rposition(|(b, a)| b != a);
        let at = at.expect("something changes");
        ((at % 800) as i16, (at / 800) as i16)
    }

    /// A finger comes down at a place, and goes away over another one, so that nothing is done.
    fn touches(&self, at: Place, away: Place) -> Vec<Duration> {
        let let_go = || {
            self.go_to(away);
            self.tell("mouseup 1");
            sleep(SETTLED);
        };
        self.go_to(at);
        let pixel = self.changing(|| self.tell("mousedown 1"));
        let_go();
        let touch = |turn: usize| {
            self.go_to(at);
            // Not in step with anything.
            sleep(Duration::from_millis((turn as u64 * 7) % 23));
            let took = self.until_changed("mousedown 1", pixel);
            sleep(HELD);
            let_go();
            took
        };
        (0..MANY).map(touch).collect()
    }

    /// A finger is lifted from a tile of home, which leads to a page, and comes back.
    fn pages(&self, tile: Place, back: Place) -> Vec<Duration> {
        let press = |at: Place| {
            self.go_to(at);
            self.tell("mousedown 1");
            sleep(HELD);
        };
        let home = || {
            press(back);
            self.tell("mouseup 1");
            sleep(SETTLED);
        };
        press(tile);
        let pixel = self.changing(|| self.tell("mouseup 1"));
        sleep(SETTLED);
        home();
        let turn = |_| {
            press(tile);
            let took = self.until_changed("mouseup 1", pixel);
            sleep(SETTLED);
            home();
            took
        };
        (0..FEW).map(turn).collect()
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        for process in [&mut self.program, &mut self.hand] {
            let _ = process.kill();
            let _ = process.wait();
        }
    }
}
