//! The real screens off-screen: pixels and elements in one process, with simulated time.

use super::{Around, setup};
use fillcall::bay::action::Action;
use fillcall::bay::setup::{Panel, Profile, Setup};
use fillcall::screens::wall::WallScreen;
use i_slint_backend_testing::{TestingBackend, TestingBackendOptions};
use slint::ComponentHandle;
use slint::platform::WindowEvent;
use std::path::Path;
use std::rc::Rc;

/// Makes the testing backend this thread's platform; once per thread.
pub fn platform() {
    let options = TestingBackendOptions {
        mock_time: true,
        threading: false,
        renderer_name: Some("software".into()),
        ..Default::default()
    };
    // A second call in one thread is refused, which is fine.
    let _ = slint::platform::set_platform(Box::new(TestingBackend::new(options)));
}

/// The wall on a panel, with everything around it in the test's hands.
pub fn wall_of(setup: Setup, around: &Around) -> WallScreen {
    platform();
    let panel = setup.panel;
    let around = around.clone();
    let setup = Rc::new(setup);
    let screen = WallScreen::new(panel, Box::new(move || Ok(around.runner((*setup).clone()))))
        .expect("a window");
    show(&screen, panel);
    screen
}

pub fn show(screen: &WallScreen, panel: Panel) {
    let (width, height) = panel.profile.pixels();
    let wall = screen.wall();
    wall.show().expect("shown");
    wall.window().dispatch_event(WindowEvent::ScaleFactorChanged { scale_factor: 1.0 });
    wall.window().set_size(slint::PhysicalSize::new(width, height));
    wall.window().dispatch_event(WindowEvent::Resized {
        size: slint::LogicalSize::new(width as f32, height as f32),
    });
}

pub fn wall(profile: Profile, around: &Around) -> WallScreen {
    wall_of(setup(profile), around)
}

/// Writes what the window shows to a PNG file.
pub fn picture(screen: &WallScreen, file: &Path) {
    let pixels = screen.wall().window().take_snapshot().expect("a picture");
    std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
    let out = std::fs::File::create(file).expect("a file");
    let mut encoder = png::Encoder::new(out, pixels.width(), pixels.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(pixels.as_bytes()).expect("pixels");
}

pub fn act_all(screen: &WallScreen, actions: impl IntoIterator<Item = Action>) {
    for action in actions {
        screen.act(action);
    }
}
