//! What is half typed of a field. It lives in the bay, so that a screen that is drawn anew loses
//! nothing.

use super::fields::{Editor, Field, Figure};
use super::present;
use crate::bay::action::{PadKey, TextKey};
use crate::bay::setup::{EntryUnits, Setup};
use crate::bay::setup_change::Place;
use crate::bay::typed::{Typed, TypedUnit};
use crate::trade::chemical::Target;
use crate::trade::letters::hides;
use crate::trade::units::Volume;
use serde::{Deserialize, Serialize};

/// The unit of a number that is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// A volume.
    Volume(TypedUnit),
    /// Percent.
    Percent,
    /// N of a ratio 1 + N.
    OnePlus,
    /// What its figure says.
    Of(Figure),
}

/// A line of several that is being typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenLine {
    /// Which one; `None` for a new one.
    pub at: Option<usize>,
    /// What it is so far.
    pub text: String,
}

/// What is half typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Half {
    /// A text. `typing` is false while a known one may still be picked instead.
    Text {
        /// So far.
        text: String,
        /// The letters are shown.
        typing: bool,
    },
    /// A number.
    Number {
        /// So far.
        typed: Typed,
        /// Its unit.
        unit: Unit,
    },
    /// What was picked of several, by id.
    Many(Vec<String>),
    /// Lines of text, and the one that is being typed.
    Lines {
        /// All of them.
        lines: Vec<String>,
        /// The one in hand.
        open: Option<OpenLine>,
    },
    /// Nothing: one of a few is picked at once.
    Nothing,
}

impl Half {
    /// A field just opened: what it is now where that is to be changed, else empty.
    pub fn of(field: Field, setup: &Setup, item: Option<&Place>) -> Self {
        match field.editor() {
            Editor::Text(_) => {
                let known = field.known(setup);
                let text = present::plain(field, setup, item).unwrap_or_default();
                Self::Text {
                    text,
                    typing: known.is_empty(),
                }
            }
            Editor::Number(figure) => Self::Number {
                typed: Typed::empty(TypedUnit::Seconds),
                unit: first_unit(field, figure, setup, item),
            },
            Editor::One => Self::Nothing,
            Editor::Many => Self::Many(present::picked(field, setup, item)),
            Editor::Lines(_) => Self::Lines {
                lines: present::lines(field, setup, item),
                open: None,
            },
        }
    }

    /// Takes a letter; false where it does nothing.
    pub fn letter(&mut self, key: TextKey, longest: usize) -> bool {
        let text = match self {
            Self::Text { text, typing: true } => text,
            Self::Lines {
                open: Some(open), ..
            } => &mut open.text,
            _ => return false,
        };
        match key {
            TextKey::Sign(sign) if text.chars().count() < longest && !hides(sign) => {
                // A text begins with a letter, not with a gap.
                let gap = sign == ' ' && text.is_empty();
                if !gap {
                    text.push(sign);
                }
                !gap
            }
            TextKey::Sign(_) => false,
            TextKey::Back => text.pop().is_some(),
        }
    }

    /// Takes a key of the number pad; false where it does nothing.
    pub fn digit(&mut self, key: PadKey) -> bool {
        match self {
            Self::Number {
                typed,
                unit: Unit::Of(Figure::Clock),
            } => match key {
                PadKey::Point => false,
                key if typed.is_refused() => typed.press(key),
                PadKey::Digit(_) if typed.text().len() >= 4 => false,
                // `Typed` takes a nought away that more digits follow; a time keeps it.
                PadKey::Digit(digit) if typed.text() == "0" => {
                    let kept = typed.press(PadKey::Digit(digit));
                    let hours = typed.text().to_owned();
                    *typed = Typed::with_text(format!("0{hours}"), typed.unit());
                    kept
                }
                key => typed.press(key),
            },
            Self::Number { typed, .. } => typed.press(key),
            _ => false,
        }
    }

    /// What is typed was refused: where it is a number, the next digit begins anew.
    pub(super) fn refuse(&mut self) {
        if let Self::Number { typed, .. } = self {
            typed.refuse();
        }
    }

    /// Takes the number for the other unit of its kind; false where there is none.
    pub fn switch_unit(&mut self) -> bool {
        let Self::Number { unit, typed } = self else {
            return false;
        };
        let other = match *unit {
            Unit::Volume(volume) => Unit::Volume(volume.other()),
            Unit::Percent => Unit::OnePlus,
            Unit::OnePlus => Unit::Percent,
            same @ Unit::Of(_) => same,
        };
        let switched = other != *unit;
        *unit = other;
        // It is another number now.
        typed.take_back_refusal();
        switched
    }
}

/// The unit that a field is typed in at first: the one it has.
fn first_unit(field: Field, figure: Figure, setup: &Setup, item: Option<&Place>) -> Unit {
    let small = Unit::Volume(TypedUnit::small(setup.entry_units));
    let large = Unit::Volume(TypedUnit::large(setup.entry_units));
    match figure {
        Figure::Volume => match present::volume(field, setup, item) {
            Some(volume) if volume >= one_large(setup.entry_units) => large,
            Some(_) => small,
            None => match field {
                Field::Spray | Field::DeliveredIn => large,
                _ => small,
            },
        },
        Figure::Target => match present::chemical(setup, item).map(|c| c.target) {
            Some(Target::Bottle(_)) => Unit::OnePlus,
            Some(Target::OnVehicle(_)) | None => Unit::Percent,
        },
        Figure::Percent => Unit::Of(Figure::Percent),
        figure => Unit::Of(figure),
    }
}

fn one_large(units: EntryUnits) -> Volume {
    Volume::ml(TypedUnit::large(units).ml().unwrap_or(1000.0))
}
