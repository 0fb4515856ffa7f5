//! Keys of a USB number pad or a foot switch, as actions.

use super::generated::PadView;
use super::wall::Hands;
use crate::bay::action::{Action, PadKey, Page, TextKey};
use crate::bay::at_work::Bay;
use slint::platform::Key;

/// The action of a key on the screen shown; `None` where it has none there.
///
/// Digits, point and erase type where something is typed. Enter (and a foot switch that sends
/// Enter, space or a page key) does the main thing of the screen. `+` counts a wash, `-` takes
/// back, `*` takes the next sprayer, `/` goes back. Where letters are typed every key that prints
/// something is a letter.
pub fn action(text: &str, bay: &Bay) -> Option<Action> {
    let is = |key: Key| text == slint::SharedString::from(key).as_str();
    if bay.types_letters() {
        if is(Key::Backspace) {
            return Some(Action::Type(TextKey::Back));
        }
        let mut signs = text.chars();
        // Arrows and the like come as control characters or from the private area.
        let printed = |sign: &char| !sign.is_control() && !('\u{e000}'..='\u{f8ff}').contains(sign);
        if let (Some(sign), None) = (signs.next().filter(printed), signs.next()) {
            return Some(Action::Type(TextKey::Sign(sign)));
        }
    }
    if is(Key::Return) || is(Key::PageDown) || is(Key::PageUp) || text == " " || text == "\n" {
        return Some(Action::Main);
    }
    if is(Key::Escape) || text == "/" {
        return Some(match bay.page() {
            Page::Calibrate => Action::PreviousStep,
            _ => Action::Back,
        });
    }
    let calibrates = bay.page() == Page::Calibrate;
    if calibrates || has_pad(bay.page()) {
        if is(Key::Backspace) || is(Key::Delete) {
            return Some(Action::Pad(PadKey::Back));
        }
        match text.as_bytes() {
            b"." | b"," => return Some(Action::Pad(PadKey::Point)),
            [digit @ b'0'..=b'9'] => return Some(Action::Pad(PadKey::Digit(digit - b'0'))),
            _ => {}
        }
    }
    if calibrates || bay.types_a_setup_number() {
        return match text {
            "+" if calibrates => Some(Action::AddTyped),
            "-" if calibrates => Some(Action::UndoLoad),
            _ => None,
        };
    }
    match text {
        "+" if bay.page() == Page::Fill => Some(Action::WashDone),
        "-" => Some(Action::Undo),
        "*" => Some(Action::NextSprayer),
        _ => None,
    }
}

/// True for the pages that a number may be typed on, beside those of a calibration.
fn has_pad(page: Page) -> bool {
    matches!(
        page,
        Page::Pin | Page::Day | Page::Edit | Page::FirstRun | Page::Mix | Page::Stock
    )
}

/// The keys of every number pad and of the letters on the screen.
pub fn connect_pad(view: &PadView, hands: &Hands) {
    let digit = hands.clone();
    view.on_digit(move |digit_| {
        if let Ok(pressed) = u8::try_from(digit_) {
            digit.act(Action::Pad(PadKey::Digit(pressed)));
        }
    });
    view.on_point(hands.on(|| Action::Pad(PadKey::Point)));
    view.on_erase(hands.on(|| Action::Pad(PadKey::Back)));
    view.on_sign(hands.on_text(|text| {
        text.chars()
            .next()
            .map_or(Action::Type(TextKey::Back), |sign| {
                Action::Type(TextKey::Sign(sign))
            })
    }));
    view.on_erase_sign(hands.on(|| Action::Type(TextKey::Back)));
}
