//! The real screens off-screen, with the bay's clock and the window's simulated time going together.

use super::{Around, setup};
use fillcall::bay::action::Action;
use fillcall::bay::setup::{Profile, Setup};
use fillcall::screens::glass::{Contact, Phase};
use fillcall::screens::offscreen::Offscreen;
use std::path::Path;
use std::time::Duration;

/// A wall off-screen and everything around it.
pub struct Window {
    pub off: Offscreen,
    pub around: Around,
}

pub fn window_of(setup: Setup, around: &Around) -> Window {
    let inner = around.clone();
    let panel = setup.panel;
    let off = Offscreen::new(panel, Box::new(move || Ok(inner.runner(setup.clone()))))
        .expect("a window off-screen");
    Window {
        off,
        around: around.clone(),
    }
}

pub fn window(profile: Profile) -> Window {
    window_of(setup(profile), &Around::default())
}

impl Window {
    pub fn act(&self, actions: impl IntoIterator<Item = Action>) {
        for action in actions {
            self.off.screen().act(action);
        }
    }

    pub fn press(&self, labels: &[&str]) {
        for label in labels {
            self.off
                .press(label)
                .unwrap_or_else(|e| panic!("{e}: {:?}", self.labels()));
        }
    }

    pub fn hold(&self, label: &str) {
        self.off
            .hold(label)
            .unwrap_or_else(|e| panic!("{e}: {:?}", self.labels()));
    }

    /// Touches a button for so long, and looks at what becomes of it.
    pub fn short_press(&self, label: &str, lasts: Duration) {
        // The page has been there for a while.
        self.off.wait(Duration::from_millis(450));
        let button = self.off.button(label);
        let button = button.unwrap_or_else(|e| panic!("{e}: {:?}", self.labels()));
        let (at, size) = (button.absolute_position(), button.size());
        let place = (at.x + size.width / 2.0, at.y + size.height / 2.0);
        let glass = self.off.screen().glass();
        let contact = |phase| Contact::new(0, place.0, place.1, phase);
        glass.deliver(contact(Phase::Started), glass.now());
        self.off.wait(lasts);
        glass.deliver(contact(Phase::Ended), glass.now());
        self.off.wait(Duration::from_millis(100));
    }

    pub fn labels(&self) -> Vec<String> {
        let buttons = self.off.buttons();
        buttons
            .iter()
            .filter_map(|b| b.accessible_label())
            .map(Into::into)
            .collect()
    }

    /// Both clocks go on, in steps that timers can follow.
    pub fn wait(&self, time: Duration) {
        let step = Duration::from_millis(50);
        let mut left = time;
        while !left.is_zero() {
            let by = left.min(step);
            self.around.clock.go_on(by);
            self.off.wait(by);
            left -= by;
        }
    }

    pub fn picture(&self, file: &Path) {
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
        self.off.picture(file).expect("a picture");
    }
}
