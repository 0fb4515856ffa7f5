//! What stands on the glass is what is shown: drawn frame by frame into one buffer, as on the panel,
//! and compared with the same drawn anew.
//!
//! `take_snapshot` and pictures cannot see an item that was not drawn again: they draw everything.

mod common;

use chrono::NaiveTime;
use common::Around;
use fillcall::bay::action::{Action, Page};
use fillcall::bay::glass::Light;
use fillcall::bay::records::CalibrationRecord;
use fillcall::bay::setup::{Dimming, Hours, Profile, Setup};
use fillcall::screens::glass::Glass;
use fillcall::screens::wall::WallScreen;
use fillcall::trade::calibration::{Calibration, Container, Run, Way};
use fillcall::trade::units::Volume;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use slint::platform::software_renderer::{MinimalSoftwareWindow, RepaintBufferType};
use slint::platform::{Platform, WindowAdapter};
use slint::{ComponentHandle, PhysicalSize, PlatformError, Rgb8Pixel};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;

slint::slint! {
    import { Line, Para } from "../ui/parts/text.slint";

    // The smallest program that shows the fault of Slint 1.18.1: `figure` and `others` are of equal
    // width whatever they say. More than 1,024 changes of `others` drop the shaped `figure`, which was
    // not drawn meanwhile, and a later change of `figure` asks for no frame.
    export component Plain inherits Window {
        width: 400px;
        height: 200px;
        in property <string> figure: "100";
        in property <string> others: "000";
        Text { x: 0; y: 0; width: 200px; height: 40px; text: figure; font-family: "Roboto Condensed"; }
        for i in 40: Text { x: (mod(i, 8)) * 50px; y: 50px + floor(i / 8) * 25px; width: 48px; height: 24px; text: others; font-family: "Roboto Condensed"; }
    }

    // The same with the wall's own parts.
    export component Parts inherits Window {
        width: 400px;
        height: 200px;
        in property <string> figure: "100";
        in property <string> others: "000";
        Line { x: 0; y: 10px; width: 90px; cap: 20px; text: figure; }
        Line { x: 100px; y: 10px; width: 90px; cap: 20px; elide: true; text: figure; }
        Para { x: 200px; y: 4px; width: 90px; cap: 20px; text: figure; }
        Para { x: 300px; y: 4px; width: 90px; height: 40px; cap: 20px; overflow: elide; text: figure; }
        for i in 40: Line { x: (mod(i, 8)) * 50px; y: 60px + floor(i / 8) * 25px; width: 48px; cap: 12px; text: others; }
    }
}

thread_local! {
    /// The window that the next component gets.
    static WINDOW: RefCell<Option<Rc<MinimalSoftwareWindow>>> = const { RefCell::new(None) };
    static TIME: Cell<Duration> = const { Cell::new(Duration::ZERO) };
}

struct Bench;

impl Platform for Bench {
    fn create_window_adapter(&self) -> Result<Rc<dyn WindowAdapter>, PlatformError> {
        WINDOW.with_borrow_mut(|window| {
            let window = window.take().ok_or("no window is ready")?;
            Ok(window as Rc<dyn WindowAdapter>)
        })
    }
    fn duration_since_start(&self) -> Duration {
        TIME.get()
    }
}

/// A window with one buffer that keeps its pixels from frame to frame, as on the panel.
struct Canvas {
    window: Rc<MinimalSoftwareWindow>,
    pixels: RefCell<Vec<Rgb8Pixel>>,
    size: PhysicalSize,
}

impl Canvas {
    /// The window that the next component of this thread is shown in.
    fn next(width: u32, height: u32) -> Self {
        // Refused where this thread has the platform already.
        let _ = slint::platform::set_platform(Box::new(Bench));
        let window = MinimalSoftwareWindow::new(RepaintBufferType::ReusedBuffer);
        WINDOW.set(Some(window.clone()));
        let pixels = vec![Rgb8Pixel::default(); (width * height) as usize];
        Self {
            window,
            pixels: RefCell::new(pixels),
            size: PhysicalSize::new(width, height),
        }
    }

    fn shown(&self) {
        self.window.set_size(self.size);
        self.frame();
    }

    /// Draws what asks to be drawn again.
    fn frame(&self) {
        TIME.set(TIME.get() + Duration::from_millis(16));
        slint::platform::update_timers_and_animations();
        let stride = self.size.width as usize;
        self.window.draw_if_needed(|renderer| {
            renderer.render(&mut self.pixels.borrow_mut(), stride);
        });
    }

    /// How many pixels on the glass are not those of the same drawn anew. Comparing heals: all is
    /// drawn from nothing, so that it is to be done rarely.
    fn wrong_pixels(&self) -> usize {
        self.compared().0
    }

    /// The same, and how many of them have nothing like them beside them in the right picture.
    fn compared(&self) -> (usize, usize) {
        let stride = self.size.width as usize;
        let mut anew = vec![Rgb8Pixel::default(); self.pixels.borrow().len()];
        self.window.request_redraw();
        self.window.draw_if_needed(|renderer| {
            renderer.set_repaint_buffer_type(RepaintBufferType::NewBuffer);
            renderer.render(&mut anew, stride);
            renderer.set_repaint_buffer_type(RepaintBufferType::ReusedBuffer);
        });
        let mut pixels = self.pixels.borrow_mut();
        let is_wrong = |at: &usize| differ(&pixels[*at], &anew[*at]);
        let wrong: Vec<usize> = (0..anew.len()).filter(is_wrong).collect();
        let is_alone = |at: &&usize| {
            let beside = [1, stride - 1, stride, stride + 1];
            let all = beside.map(|by| [at.checked_sub(by), at.checked_add(by)]);
            let mut all = all.into_iter().flatten().flatten();
            all.all(|by| anew.get(by).is_none_or(|b| differ(&pixels[**at], b)))
        };
        let counts = (wrong.len(), wrong.iter().filter(is_alone).count());
        *pixels = anew;
        counts
    }
}

/// A pixel that an eye sees as another. A letter that moves by a part of a pixel leaves a column at its
/// edge that is a little too dark: Slint rounds what it draws anew.
fn differ(a: &Rgb8Pixel, b: &Rgb8Pixel) -> bool {
    let apart = |a: u8, b: u8| a.abs_diff(b) > 100;
    apart(a.r, b.r) || apart(a.g, b.g) || apart(a.b, b.b)
}

/// Shapes `others` anew often enough to drop what was not drawn meanwhile, then changes `figure`.
fn stale_after(canvas: &Canvas, others: impl Fn(&str), figure: impl Fn(&str)) -> usize {
    canvas.shown();
    for n in 0..60 {
        others(&format!("{:03}", n % 10 * 111));
        canvas.frame();
    }
    assert_eq!(canvas.wrong_pixels(), 0, "the others themselves are right");
    for n in 0..60 {
        others(&format!("{:03}", n % 10 * 111));
        canvas.frame();
    }
    figure("200");
    canvas.frame();
    canvas.wrong_pixels()
}

/// Fails as soon as Slint draws a changed text by itself: then the stroke widths in
/// `ui/parts/text.slint` can go.
#[test]
fn slint_alone_leaves_an_old_text() {
    let canvas = Canvas::next(400, 200);
    let plain = Plain::new().expect("a window");
    plain.show().expect("shown");
    let wrong = stale_after(
        &canvas,
        |others| plain.set_others(others.into()),
        |figure| plain.set_figure(figure.into()),
    );
    assert!(
        wrong > 0,
        "Slint was mended: take the remedy out of text.slint"
    );
}

#[test]
fn the_parts_that_draw_text_draw_a_changed_text() {
    let canvas = Canvas::next(400, 200);
    let parts = Parts::new().expect("a window");
    parts.show().expect("shown");
    let wrong = stale_after(
        &canvas,
        |others| parts.set_others(others.into()),
        |figure| parts.set_figure(figure.into()),
    );
    assert_eq!(wrong, 0, "an old text stands on the glass");
}

/// The whole wall on such a canvas, its bay and its window going by one clock.
struct OnTheGlass {
    canvas: Canvas,
    screen: WallScreen,
    around: Around,
}

impl OnTheGlass {
    fn new() -> Self {
        Self::of(common::setup(Profile::Seven800))
    }

    fn of(setup: Setup) -> Self {
        let (width, height) = setup.panel.profile.pixels();
        let canvas = Canvas::next(width, height);
        let around = Around::default();
        calibrated(&around);
        let panel = setup.panel;
        let glass = Glass::with_clock(panel.pixels_per_mm() as f32, || TIME.get());
        let opens = around.clone();
        let open = Box::new(move || Ok(opens.runner(setup.clone())));
        let screen = WallScreen::new(panel, glass, open).expect("a window");
        screen.wall().show().expect("shown");
        canvas.shown();
        Self {
            canvas,
            screen,
            around,
        }
    }

    fn act(&self, action: Action) {
        self.screen.act(action);
        self.canvas.frame();
    }

    /// Lets time go by, with a frame every tenth of a second.
    fn wait(&self, time: Duration) {
        let frame = Duration::from_millis(100);
        for _ in 0..time.as_millis() / frame.as_millis() {
            self.around.clock.go_on(frame);
            TIME.set(TIME.get() + frame);
            self.canvas.frame();
        }
    }
}

/// Both lances of the bay are calibrated, with doses of equal width.
fn calibrated(around: &Around) {
    let now = around.clock.now().wall;
    for (sprayer, holds, catch) in [("lance-1", 820.0, 14_700.0), ("lance-2", 1060.0, 10_300.0)] {
        let holds = Volume::ml(holds);
        let run = Run::dry(holds, Volume::ml(catch), Duration::from_secs(60));
        let calibration = Calibration::of(Container::measured(holds), &[run]);
        let record = CalibrationRecord {
            sprayer: sprayer.into(),
            nozzle: "1.25 mm".into(),
            washer: "Washer A".into(),
            dial: None,
            calibration: calibration.expect("a calibration"),
            taken: now,
        };
        let past = &mut around.records.0.borrow_mut().past;
        past.sprayers.entry(sprayer.into()).or_default().calibration = Some(record);
    }
}

#[test]
fn the_stopwatch_does_not_stand_still() {
    for begins in 0..7 {
        let wall = OnTheGlass::new();
        wall.act(Action::CalibrateBy(Way::RunDry));
        wall.act(Action::HoldsAsBefore);
        wall.act(Action::NextStep);
        wall.act(Action::StartStop {
            ago: Duration::ZERO,
        });
        wall.wait(Duration::from_millis(130_000 + begins * 1_300));
        assert_eq!(wall.canvas.wrong_pixels(), 0, "run {begins}");
    }
}

#[test]
fn the_dose_is_the_one_of_the_sprayer_that_is_named() {
    for washes in [3, 5, 8] {
        let wall = OnTheGlass::new();
        for n in 0..320 {
            wall.act(Action::NextSprayer);
            if n % washes == 0 {
                wall.act(Action::WashDone);
                wall.wait(Duration::from_millis(1_200));
                wall.act(Action::Undo);
            }
            if n % 40 == 39 {
                assert_eq!(wall.canvas.wrong_pixels(), 0, "after {n} switches");
            }
        }
    }
}

#[test]
fn a_picture_that_creeps_dims_and_wakes_leaves_nothing_behind() {
    let mut setup = common::setup(Profile::Seven800);
    setup.dimming = Dimming {
        night: Some(Hours {
            from: NaiveTime::from_hms_opt(9, 0, 0).expect("a time"),
            to: NaiveTime::from_hms_opt(10, 0, 0).expect("a time"),
        }),
        ..Dimming::default()
    };
    let wall = OnTheGlass::of(setup);
    wall.wait(Duration::from_secs(30));
    // Eight in the morning: it creeps, is dimmed after ten minutes, dark at nine, and dimmed at ten.
    let (mut seen, mut before) = (Vec::new(), None);
    for _ in 0..2 * 3600 + 300 {
        wall.around.clock.go_on(Duration::from_secs(1));
        TIME.set(TIME.get() + Duration::from_secs(1));
        wall.canvas.frame();
        let now = wall.screen.with_bay(|bay| (bay.light(), bay.picture_at()));
        let (light, place) = now.expect("a bay");
        if before.is_some_and(|before| before != (light, place)) {
            assert_eq!(wall.canvas.wrong_pixels(), 0, "{light:?} at {place:?}");
            if seen.last() != Some(&light) {
                seen.push(light);
            }
        }
        before = Some((light, place));
    }
    assert_eq!(
        seen,
        [Light::Bright, Light::Dimmed, Light::Dark, Light::Dimmed]
    );
    wall.act(Action::Wake);
    assert_eq!(wall.canvas.wrong_pixels(), 0, "woken");
}

/// Anything, many frames, and a comparison now and then.
#[test]
fn anything_that_is_done_is_drawn() {
    let mut chance = TestRunner::deterministic();
    let does = common::anything::anything();
    let mut done = Vec::new();
    let wall = OnTheGlass::new();
    for n in 0..3_000 {
        let action = does.new_tree(&mut chance).expect("an action").current();
        done.push(format!("{action:?}"));
        wall.act(action);
        wall.wait(Duration::from_millis(300));
        if n % 250 == 249 {
            let last = &done[done.len() - 6..];
            // The edges of a sign that Slint drew at parts of a pixel may be one off, and nothing else may.
            let (wrong, alone) = wall.canvas.compared();
            assert!(
                alone == 0 && wrong < 100,
                "{wrong}, {alone} of them alone, after {n}: {last:?}"
            );
        }
    }
    wall.act(Action::Show(Page::Fill));
    assert_eq!(wall.canvas.wrong_pixels(), 0, "home");
}

/// All Slint sources but the one that draws text, each with its name.
fn other_sources() -> Vec<(String, String)> {
    let mut folders = vec![std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("ui")];
    let mut sources = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "slint")
                && !path.ends_with("parts/text.slint")
            {
                let source = std::fs::read_to_string(&path).expect("a source");
                let code = source.lines().map(|l| l.split("//").next().unwrap_or(""));
                let code = code.collect::<Vec<_>>().join("\n");
                sources.push((path.display().to_string(), code));
            }
        }
    }
    sources
}

/// The words of Slint code.
fn words(code: &str) -> impl Iterator<Item = &str> {
    code.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '_')
}

#[test]
fn text_is_drawn_in_one_file() {
    let sources = other_sources();
    let uses = |word: &str| {
        let with = sources
            .iter()
            .filter(|(_, code)| words(code).any(|w| w == word));
        with.map(|(name, _)| name.clone()).collect::<Vec<_>>()
    };
    assert!(uses("Line").len() > 20, "the sources were found");
    for drawn_otherwise in ["Text", "StyledText", "TextInput", "std-widgets"] {
        assert_eq!(
            uses(drawn_otherwise),
            Vec::<String>::new(),
            "{drawn_otherwise}"
        );
    }
    // A caller's own would take the place of the one that hangs on the text.
    let strokes = sources.iter().filter(|(_, code)| {
        // Of a drawn line it is another thing.
        let mut of_paths = code.split("Path {");
        of_paths
            .next()
            .is_some_and(|c| words(c).any(|w| w == "stroke-width"))
            || of_paths.any(|c| {
                let after = c.split_once('}').map_or("", |(_, after)| after);
                words(after).any(|w| w == "stroke-width")
            })
    });
    assert_eq!(
        strokes.map(|(name, _)| name).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
}
