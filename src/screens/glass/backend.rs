//! Where the raw contacts come from: Slint's back ends for a bare panel and for a display server.
//!
//! Both hooks are Slint's own, but not under its promise of stability; the exact version that they
//! were written for is pinned in the manifest.

use std::cell::RefCell;
use std::ffi::{OsStr, OsString};
use std::time::Duration;

use i_slint_backend_winit::winit::event::{ElementState, TouchPhase, WindowEvent};
use i_slint_backend_winit::{EventResult, WinitWindowAccessor};
use input::Event;
use input::event::DeviceEvent;
use input::event::PointerEvent;
use input::event::keyboard::{KeyState, KeyboardEvent, KeyboardEventTrait};
use input::event::pointer::ButtonState;
use input::event::touch::{TouchEvent, TouchEventPosition, TouchEventSlot, TouchEventTrait};
use slint::{BackendSelector, Window};

use super::chord::Chord;
use super::turned::Turned;
use super::{Contact, Glass, GlassError, Phase, Position};

/// The environment variable in which the one who starts the program names a back end.
const CHOICE: &str = "SLINT_BACKEND";

/// Starts Slint with touches going through `glass`: on the bare panel where there is no display
/// server, else in a window of it; `SLINT_BACKEND` has the last word. Call it once, before the
/// first window is made.
///
/// # Errors
/// [`GlassError::Backend`] when Slint cannot start that back end, or has one already.
pub fn select_backend(glass: &Glass) -> Result<(), GlassError> {
    let choice = backend_for(|name| std::env::var_os(name));
    let mut selector = BackendSelector::new();
    if let Some(name) = choice {
        selector = selector.backend_name(name.to_owned());
    }
    let named = choice.map_or_else(|| std::env::var_os(CHOICE).unwrap_or_default(), Into::into);
    glass.0.undrawn.set(is_of_a_server(&named));
    let glass = glass.clone();
    let chord = RefCell::new(Chord::default());
    let turned = Turned::of_this_panel();
    selector
        .with_libinput_event_hook(move |event| {
            take_key(&mut chord.borrow_mut(), event) || take_panel_event(&glass, turned, event)
        })
        .select()
        .map_err(|reason| GlassError::Backend {
            wanted: choice.map_or_else(
                || format!("what {CHOICE} names"),
                |name| format!("the back end {name}"),
            ),
            reason,
        })
}

/// True where the wall is drawn on a bare panel, without a display server.
pub fn is_bare_panel() -> bool {
    is_bare(|name| std::env::var_os(name))
}

fn is_bare(variable: impl Fn(&str) -> Option<OsString>) -> bool {
    match backend_for(&variable) {
        Some(name) => name.starts_with("linuxkms"),
        None => variable(CHOICE).is_some_and(|name| name.to_string_lossy().contains("linuxkms")),
    }
}

/// Takes the touches of a display server's window. Does nothing where `window` is not one. Part of
/// [`Glass::watch`].
pub fn watch_window(window: &Window, glass: &Glass) {
    let glass = glass.clone();
    window.on_winit_window_event(move |window, event| {
        take_window_event(&glass, window.scale_factor(), event)
    });
}

/// Takes the event of a display server's window where it is a touch, and tells Slint to leave it
/// alone. `scale_factor` is how many of the server's pixels make a logical one.
pub fn take_window_event(glass: &Glass, scale_factor: f32, event: &WindowEvent) -> EventResult {
    match event {
        WindowEvent::Touch(touch) => {
            let place = touch.location.to_logical::<f32>(f64::from(scale_factor));
            let contact = |phase| Contact::new(contact_id(touch.id), place.x, place.y, phase);
            let now = glass.now();
            match touch.phase {
                TouchPhase::Started => glass.deliver(contact(Phase::Started), now),
                TouchPhase::Moved => glass.deliver(contact(Phase::Moved), now),
                TouchPhase::Ended => {
                    // The lift itself carries no place through the filter.
                    glass.deliver(contact(Phase::Moved), now);
                    glass.deliver(contact(Phase::Ended), now);
                }
                TouchPhase::Cancelled => glass.deliver(contact(Phase::Cancelled), now),
            }
            EventResult::PreventDefault
        }
        WindowEvent::RedrawRequested => {
            // It is drawn before anything else is done.
            glass.0.undrawn.set(false);
            EventResult::Propagate
        }
        WindowEvent::MouseInput { state, .. } => {
            match glass.takes_button(*state == ElementState::Pressed) {
                true => EventResult::PreventDefault,
                false => EventResult::Propagate,
            }
        }
        // The server moves the mouse along with the oldest contact. Were that a resting drop, its
        // place would drag the pointer away from under the finger that presses elsewhere.
        WindowEvent::CursorMoved { .. } | WindowEvent::CursorLeft { .. } if glass.touched() => {
            EventResult::PreventDefault
        }
        _ => EventResult::Propagate,
    }
}

/// The back end to ask for by name; `None` where the environment names one.
fn backend_for(variable: impl Fn(&str) -> Option<OsString>) -> Option<&'static str> {
    let set = |name| variable(name).is_some_and(|value| !value.is_empty());
    if set(CHOICE) {
        None
    } else if set("DISPLAY") || set("WAYLAND_DISPLAY") {
        Some("winit-software")
    } else {
        Some("linuxkms-software")
    }
}

/// True for a back end, by its name, that draws when a display server asks for it.
fn is_of_a_server(back_end: &OsStr) -> bool {
    back_end.as_encoded_bytes().starts_with(b"winit")
}

/// Takes the keys by which Slint's back end would end the wall, and tells whether it was one.
fn take_key(chord: &mut Chord, event: &Event) -> bool {
    match event {
        Event::Keyboard(KeyboardEvent::Key(key)) => {
            chord.takes(key.key(), key.key_state() == KeyState::Pressed)
        }
        Event::Device(DeviceEvent::Removed(_)) => {
            *chord = Chord::default();
            false
        }
        _ => false,
    }
}

/// Takes the event of a bare panel where it is a touch, and tells whether it was one.
fn take_panel_event(glass: &Glass, turned: Turned, event: &Event) -> bool {
    match event {
        Event::Touch(touch) => {
            // Frames carry nothing of their own; what is unknown must not get past the filter.
            if let Some((id, phase)) = contact_of(touch) {
                let place = place_of(glass, turned, touch);
                let contact = Contact::new(id, place.x, place.y, phase);
                glass.deliver_stamped(contact, Duration::from_micros(touch.time_usec()));
            }
            true
        }
        Event::Pointer(PointerEvent::Button(button)) => {
            glass.takes_button(button.button_state() == ButtonState::Pressed)
        }
        Event::Device(DeviceEvent::Removed(_)) => {
            glass.reset();
            glass.plugged();
            false
        }
        Event::Device(DeviceEvent::Added(_)) => {
            glass.plugged();
            false
        }
        _ => false,
    }
}

/// Which contact, and what happened to it. By seat slot, because two panels may both use slot 0.
fn contact_of(touch: &TouchEvent) -> Option<(i32, Phase)> {
    let (slot, phase) = match touch {
        TouchEvent::Down(event) => (event.seat_slot(), Phase::Started),
        TouchEvent::Motion(event) => (event.seat_slot(), Phase::Moved),
        TouchEvent::Up(event) => (event.seat_slot(), Phase::Ended),
        TouchEvent::Cancel(event) => (event.seat_slot(), Phase::Cancelled),
        _ => return None,
    };
    Some((contact_id(u64::from(slot)), phase))
}

/// Where in the window, in logical pixels, as Slint's own back end reckons it; (0, 0) for events
/// that have no place, which the filter does not ask them for.
fn place_of(glass: &Glass, turned: Turned, touch: &TouchEvent) -> Position {
    let mut place = Position::new(0.0, 0.0);
    glass.with_window(&mut |window| {
        let size = window.size().to_logical(window.scale_factor());
        let (width, height) = (size.width as u32, size.height as u32);
        let (x, y) = match touch {
            TouchEvent::Down(event) => (event.x_transformed(width), event.y_transformed(height)),
            TouchEvent::Motion(event) => (event.x_transformed(width), event.y_transformed(height)),
            _ => return,
        };
        place = turned.place(Position::new(x as f32, y as f32), size.width, size.height);
    });
    place
}

/// Cuts a driver's id down to what the filter takes. Two contacts that came out the same would be
/// taken for one whose lift got lost, and would not act.
fn contact_id(id: u64) -> i32 {
    (id & 0x7fff_ffff) as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The value of a variable in an environment of these.
    fn of(variables: &'static [(&str, &str)]) -> impl Fn(&str) -> Option<OsString> {
        move |name| {
            let mut all = variables.iter();
            let found = all.find(|(known, _)| *known == name);
            found.map(|(_, value)| OsString::from(value))
        }
    }

    fn with(variables: &'static [(&str, &str)]) -> Option<&'static str> {
        backend_for(of(variables))
    }

    #[test]
    fn the_bare_panel_is_taken_where_no_display_server_is() {
        assert_eq!(with(&[]), Some("linuxkms-software"));
        assert_eq!(with(&[("DISPLAY", "")]), Some("linuxkms-software"));
        assert_eq!(with(&[("DISPLAY", ":0")]), Some("winit-software"));
        assert_eq!(with(&[("WAYLAND_DISPLAY", "w")]), Some("winit-software"));
    }

    #[test]
    fn a_window_of_a_display_server_is_no_bare_panel() {
        for (variables, bare) in [
            (&[][..], true),
            (&[("DISPLAY", ":0")], false),
            (&[("SLINT_BACKEND", "linuxkms-software")], true),
            (
                &[("DISPLAY", ":0"), ("SLINT_BACKEND", "linuxkms-software")],
                true,
            ),
            (&[("SLINT_BACKEND", "winit-software")], false),
        ] {
            assert_eq!(is_bare(of(variables)), bare, "{variables:?}");
        }
    }

    #[test]
    fn the_environment_has_the_last_word() {
        let chosen = &[("DISPLAY", ":0"), ("SLINT_BACKEND", "linuxkms-software")];
        assert_eq!(with(chosen), None);
        let empty = &[("DISPLAY", ":0"), ("SLINT_BACKEND", "")];
        assert_eq!(with(empty), Some("winit-software"));
    }

    #[test]
    fn only_a_display_server_asks_for_frames() {
        for (name, asks) in [
            ("winit-software", true),
            ("winit", true),
            ("linuxkms-software", false),
        ] {
            assert_eq!(is_of_a_server(OsStr::new(name)), asks, "{name}");
        }
    }

    #[test]
    fn an_id_is_never_negative() {
        assert_eq!(contact_id(0), 0);
        assert_eq!(contact_id(u64::MAX), i32::MAX);
    }
}
