//! The walk through the glass where nobody is there, and where it is wiped.

use super::walk::Seen;
use super::window::{Window, window_of};
use super::{Around, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::setup::{Dimming, Hours, Profile, Setup};
use std::time::Duration;

fn wait(window: &Window, minutes: u32) {
    for _ in 0..minutes {
        window.around.clock.go_on(Duration::from_secs(60));
        window.act([Action::Tick]);
    }
}

/// Shows every state of it to `look`.
pub fn glass(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let time = |hours| chrono::NaiveTime::from_hms_opt(hours, 0, 0).expect("a time");
    let night = Hours {
        from: time(20),
        to: time(5),
    };
    let own = Setup {
        dimming: Dimming {
            night: Some(night),
            ..Dimming::default()
        },
        ..setup(profile)
    };
    let window = window_of(own, &Around::default());
    let mut see = |name: &str| {
        look(Seen {
            name: &format!("glass-{name}"),
            window: &window,
        })
    };
    window.act([Action::ChooseSprayer("pump".into())]);
    wait(&window, 12);
    see("dimmed");
    wait(&window, 12 * 60);
    see("dark");
    wait(&window, 75);
    see("dark-elsewhere");
    window.act([Action::Wake]);
    window.press(&["Menu", "Wipe the glass"]);
    see("wiped");
    window.act([Action::Back, Action::Show(Page::Lead)]);
    window.act(super::lead::entered(super::lead::PIN));
    window.press(&["The panel that the wall runs on", "When the glass dims"]);
    see("settings");
    window.press(&["Dims after"]);
    see("dims-after");
    window.press(&["Back", "Dimmed to"]);
    see("dimmed-to");
    window.press(&["Back", "Dark from"]);
    see("dark-from");
    window.press(&["Back", "Dark until"]);
    see("dark-until");
}
