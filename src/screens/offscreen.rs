//! The real screens without a display, with simulated time: for the tour, and for tests.
//!
//! Pixels come from the renderer that the wall uses; presses go through the same glass.

use super::generated::Feel;
use super::glass::{Contact, Glass, Phase, Position};
use super::wall::{Open, WallScreen};
use crate::bay::setup::Panel;
use i_slint_backend_testing::{AccessibleRole, ElementHandle, ElementQuery};
use i_slint_backend_testing::{
    TestingBackend, TestingBackendOptions, get_mocked_time, mock_elapsed_time,
};
use slint::ComponentHandle;
use slint::platform::WindowEvent;
use std::path::Path;
use std::time::Duration;

/// How long a press lasts, and a held one.
const PRESS: Duration = Duration::from_millis(120);
const HOLD: Duration = Duration::from_millis(1300);
/// A finger needs its time to the next place; sooner, a press is taken for a bounce.
const PAUSE: Duration = Duration::from_millis(200);
/// Timers fire once however far simulated time jumps, so it goes in small steps; between presses they may
/// be larger.
const STEP: Duration = Duration::from_millis(10);
const PAUSE_STEP: Duration = Duration::from_millis(50);

/// What can go wrong off-screen.
#[derive(Debug)]
pub enum OffscreenError {
    /// No window could be made.
    Window(slint::PlatformError),
    /// No button with that name is on the screen.
    NoButton(String),
    /// The button is there but may not be pressed now.
    Disabled(String),
    /// A picture could not be written.
    Picture(std::path::PathBuf, String),
}

impl std::fmt::Display for OffscreenError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Window(error) => write!(f, "no window off-screen: {error}"),
            Self::NoButton(label) => write!(f, "no button \"{label}\" on this screen"),
            Self::Disabled(label) => write!(f, "the button \"{label}\" is switched off"),
            Self::Picture(file, why) => write!(f, "cannot write {}: {why}", file.display()),
        }
    }
}
impl std::error::Error for OffscreenError {}

fn wait_in_steps(time: Duration, step: Duration) {
    let mut left = time;
    while !left.is_zero() {
        let by = left.min(step);
        mock_elapsed_time(by);
        left -= by;
    }
}

/// A wall screen in memory.
pub struct Offscreen {
    screen: WallScreen,
}

impl Offscreen {
    /// Makes the off-screen platform this thread's. A second call changes nothing.
    pub fn platform() {
        let options = TestingBackendOptions {
            mock_time: true,
            threading: false,
            renderer_name: Some("software".into()),
        };
        // Refused where the thread has a platform already, which then is this one.
        let _ = slint::platform::set_platform(Box::new(TestingBackend::new(options)));
    }

    /// A wall of that size.
    ///
    /// # Errors
    /// [`OffscreenError::Window`].
    pub fn new(panel: Panel, open: Open) -> Result<Self, OffscreenError> {
        Self::platform();
        let glass = Glass::with_clock(panel.pixels_per_mm() as f32, || {
            Duration::from_millis(i_slint_backend_testing::get_mocked_time())
        });
        let screen = WallScreen::new(panel, glass, open).map_err(OffscreenError::Window)?;
        let wall = screen.wall();
        wall.show().map_err(OffscreenError::Window)?;
        let (width, height) = panel.profile.pixels();
        let window = wall.window();
        window.dispatch_event(WindowEvent::ScaleFactorChanged { scale_factor: 1.0 });
        window.set_size(slint::PhysicalSize::new(width, height));
        window.dispatch_event(WindowEvent::Resized {
            size: slint::LogicalSize::new(width as f32, height as f32),
        });
        Ok(Self { screen })
    }

    /// The wall.
    pub fn screen(&self) -> &WallScreen {
        &self.screen
    }

    /// Lets simulated time go by.
    pub fn wait(&self, time: Duration) {
        wait_in_steps(time, STEP);
    }

    /// All buttons on the screen now.
    pub fn buttons(&self) -> Vec<ElementHandle> {
        ElementQuery::from_root(self.screen.wall())
            .match_accessible_role(AccessibleRole::Button)
            .find_all()
    }

    /// The button whose name is `label`.
    ///
    /// # Errors
    /// [`OffscreenError::NoButton`].
    pub fn button(&self, label: &str) -> Result<ElementHandle, OffscreenError> {
        self.buttons()
            .into_iter()
            .find(|b| b.accessible_label().is_some_and(|l| l == label))
            .ok_or_else(|| OffscreenError::NoButton(label.into()))
    }

    /// Presses a button with a finger.
    ///
    /// # Errors
    /// [`OffscreenError::NoButton`], [`OffscreenError::Disabled`].
    pub fn press(&self, label: &str) -> Result<(), OffscreenError> {
        self.touch(label, PRESS)
    }

    /// Holds a button until it acts.
    ///
    /// # Errors
    /// [`OffscreenError::NoButton`], [`OffscreenError::Disabled`].
    pub fn hold(&self, label: &str) -> Result<(), OffscreenError> {
        self.touch(label, HOLD)
    }

    fn touch(&self, label: &str, time: Duration) -> Result<(), OffscreenError> {
        let button = self.button(label)?;
        if button.accessible_enabled() == Some(false) {
            return Err(OffscreenError::Disabled(label.into()));
        }
        let (at, size) = (button.absolute_position(), button.size());
        self.let_the_page_be_seen();
        let contact = |phase| Contact {
            id: 0,
            position: Position {
                x: at.x + size.width / 2.0,
                y: at.y + size.height / 2.0,
            },
            phase,
        };
        let glass = self.screen.glass();
        glass.deliver(contact(Phase::Started), glass.now());
        self.wait(time);
        glass.deliver(contact(Phase::Ended), glass.now());
        wait_in_steps(PAUSE, PAUSE_STEP);
        Ok(())
    }

    /// No press counts before the page that turned could be seen.
    fn let_the_page_be_seen(&self) {
        let ready = self.screen.wall().global::<Feel>().get_ready();
        while i64::try_from(get_mocked_time()).is_ok_and(|now| now < ready) {
            mock_elapsed_time(PAUSE_STEP);
        }
    }

    /// Presses a key of the number pad.
    pub fn key(&self, text: impl Into<slint::SharedString>) {
        let text = text.into();
        let window = self.screen.wall().window();
        window.dispatch_event(WindowEvent::KeyPressed { text: text.clone() });
        window.dispatch_event(WindowEvent::KeyReleased { text });
    }

    /// Writes what is shown to a PNG file.
    ///
    /// # Errors
    /// [`OffscreenError::Window`], [`OffscreenError::Picture`].
    pub fn picture(&self, file: &Path) -> Result<(), OffscreenError> {
        let pixels = self
            .screen
            .wall()
            .window()
            .take_snapshot()
            .map_err(OffscreenError::Window)?;
        let fault = |why: String| OffscreenError::Picture(file.into(), why);
        let out = std::fs::File::create(file).map_err(|e| fault(e.to_string()))?;
        let mut encoder = png::Encoder::new(out, pixels.width(), pixels.height());
        encoder.set_color(png::ColorType::Rgba);
        encoder.set_depth(png::BitDepth::Eight);
        let mut writer = encoder.write_header().map_err(|e| fault(e.to_string()))?;
        writer
            .write_image_data(pixels.as_bytes())
            .map_err(|e| fault(e.to_string()))
    }
}
