//! Keys of a USB number pad or a foot switch, as actions.

use crate::bay::action::{Action, PadKey, Page};
use crate::bay::at_work::Bay;
use slint::platform::Key;

/// The action of a key on the screen shown; `None` where it has none there.
///
/// Digits, point and erase type where something is typed. Enter (and a foot switch that sends
/// Enter, space or a page key) does the main thing of the screen. `+` counts a wash, `-` takes
/// back, `*` takes the next sprayer, `/` goes back.
pub fn action(text: &str, bay: &Bay) -> Option<Action> {
    let is = |key: Key| text == slint::SharedString::from(key).as_str();
    if is(Key::Return) || is(Key::PageDown) || is(Key::PageUp) || text == " " || text == "\n" {
        return Some(Action::Main);
    }
    if is(Key::Escape) || text == "/" {
        return Some(match bay.page() {
            Page::Calibrate => Action::PreviousStep,
            _ => Action::Back,
        });
    }
    if bay.page() == Page::Calibrate {
        if is(Key::Backspace) || is(Key::Delete) {
            return Some(Action::Pad(PadKey::Back));
        }
        match text {
            "." | "," => return Some(Action::Pad(PadKey::Point)),
            "+" => return Some(Action::AddTyped),
            "-" => return Some(Action::UndoLoad),
            _ => {}
        }
        if let [digit @ b'0'..=b'9'] = text.as_bytes() {
            return Some(Action::Pad(PadKey::Digit(digit - b'0')));
        }
        return None;
    }
    match text {
        "+" if bay.page() == Page::Fill => Some(Action::WashDone),
        "-" => Some(Action::Undo),
        "*" => Some(Action::NextSprayer),
        _ => None,
    }
}
