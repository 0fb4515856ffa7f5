//! What a wall can only take up by opening its bay anew.

use super::common::keeper::Desk;
use super::{DEMO, PANEL, close, go, page};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::setup::Voice;
use std::time::Duration;

/// So many seconds go by on both clocks, and nobody touches the wall.
fn alone(desk: &Desk, seconds: u64) {
    desk.window.around.clock.go_on(Duration::from_secs(seconds));
    desk.window.off.wait(Duration::from_secs(1));
    desk.window.act([Action::Tick]);
}

fn voice(desk: &Desk) -> Option<Voice> {
    let screen = desk.window.off.screen();
    screen.with_bay(|bay| bay.setup().voice)
}

#[test]
fn another_voice_is_taken_up_once_nobody_is_at_the_wall() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    go(&desk, &["Bay", "Voice"]);
    let words = w
        .off
        .screen()
        .with_bay(|bay| bay.edit_scene().words.to_string());
    assert_eq!(
        words.as_deref(),
        Some("Changes once the wall is left alone a while.")
    );
    w.press(&["Beeps"]);
    assert_eq!(desk.opened(), 1);
    // Not while it can be taken back, nor while the shift lead may go on.
    alone(&desk, 70);
    assert_eq!((page(&desk), desk.opened()), (Page::Fill, 1));
    w.act([Action::Show(Page::Lead)]);
    w.hold("Leave the shift lead's side");
    close(&desk);
    alone(&desk, 55);
    assert_eq!(desk.opened(), 1);
    alone(&desk, 6);
    assert_eq!((desk.opened(), voice(&desk)), (2, Some(Voice::Beeps)));
    // Once is enough.
    alone(&desk, 600);
    assert_eq!((page(&desk), desk.opened()), (Page::Fill, 2));
}

#[test]
fn a_bay_that_cannot_be_opened_anew_goes_on() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    go(&desk, &["Bay", "Voice", "Beeps"]);
    let right = desk.text();
    w.act([Action::Show(Page::Lead)]);
    w.hold("Leave the shift lead's side");
    close(&desk);
    std::fs::write(
        desk.path(),
        right.replacen("holds = \"820 ml\"", "holds = \"820\"", 1),
    )
    .expect("written");
    alone(&desk, 61);
    assert_eq!((desk.opened(), voice(&desk)), (1, Some(Voice::Beeps)));
    assert_eq!(page(&desk), Page::Fill);
    // It is tried again, and not every second.
    std::fs::write(desk.path(), right).expect("written");
    alone(&desk, 1);
    assert_eq!(desk.opened(), 1);
    w.off.wait(Duration::from_secs(61));
    alone(&desk, 1);
    assert_eq!(desk.opened(), 2);
}
