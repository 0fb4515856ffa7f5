//! A display without a screen, for real windows: Xvfb, started for one test and ended with it.

#![allow(dead_code)] // each test uses a part of it

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use x11rb::connection::Connection;
use x11rb::protocol::xproto::{ConnectionExt, ImageFormat};
use x11rb::rust_connection::RustConnection;

/// A running Xvfb.
pub struct Display {
    server: Child,
    pub name: String,
}

impl Display {
    /// Starts one of that size in pixels; Xvfb chooses a free number itself.
    pub fn start(width: u32, height: u32) -> Self {
        let mut server = Command::new("Xvfb")
            .args([
                "-displayfd",
                "1",
                "-screen",
                "0",
                &format!("{width}x{height}x24"),
            ])
            // Else it begins anew whenever its last client leaves, and takes along whoever comes just then.
            .args(["-noreset", "-nolisten", "tcp"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb is installed: kiosk-setup/test does it");
        let mut line = String::new();
        let out = server.stdout.take().expect("piped");
        std::io::BufRead::read_line(&mut std::io::BufReader::new(out), &mut line)
            .expect("a number");
        let name = format!(":{}", line.trim());
        assert!(name.len() > 1, "Xvfb did not start");
        Self { server, name }
    }

    /// A program on this display, with nothing of the caller's display in its environment.
    pub fn command(&self, program: &Path) -> Command {
        let mut command = Command::new(program);
        command
            .env("DISPLAY", &self.name)
            .env_remove("WAYLAND_DISPLAY")
            .env("SLINT_BACKEND", "winit-software")
            .env("SLINT_SCALE_FACTOR", "1");
        command
    }

    /// Starts the program in a window of this display, for a bay's folder, with these words before it.
    pub fn wall(&self, before: &[&str], bay: &Path) -> Command {
        let mut command = self.command(Path::new(env!("CARGO_BIN_EXE_fillcall")));
        command.arg("--windowed").args(before).arg("--bay").arg(bay);
        command
    }

    /// All pixels of the display, of that size, four bytes each.
    pub fn pixels(&self, (width, height): (u16, u16)) -> Vec<u8> {
        let (x, screen) = RustConnection::connect(Some(&self.name)).expect("the display");
        let root = x.setup().roots[screen].root;
        let asked = x.get_image(ImageFormat::Z_PIXMAP, root, 0, 0, width, height, !0);
        asked.expect("asked").reply().expect("pixels").data
    }

    pub fn xdotool(&self, args: &[&str]) {
        let done = self.command(Path::new("xdotool")).args(args).status();
        assert!(
            done.expect("xdotool is installed: kiosk-setup/test does it")
                .success(),
            "{args:?}"
        );
    }
}

impl Drop for Display {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// Waits until `done`, at most `limit`; true when it came.
pub fn within(limit: Duration, mut done: impl FnMut() -> bool) -> bool {
    let end = Instant::now() + limit;
    loop {
        if done() {
            return true;
        }
        if Instant::now() >= end {
            return false;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
}
