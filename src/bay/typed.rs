//! What is typed on the number pad. It lives here, so that a screen that is drawn anew loses
//! nothing half-typed.

use super::action::PadKey;
use crate::trade::units::Volume;

/// The unit of what is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TypedUnit {
    /// Millilitres.
    Ml,
    /// Litres.
    Litres,
}

impl TypedUnit {
    /// For the screen.
    pub const fn shown(self) -> &'static str {
        match self {
            Self::Ml => "ml",
            Self::Litres => "L",
        }
    }
}

/// A volume being typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Typed {
    text: String,
    unit: TypedUnit,
}

/// More digits than any container here needs are a stuck key.
const MOST_KEYS: usize = 6;

impl Typed {
    /// Nothing typed yet.
    pub const fn empty(unit: TypedUnit) -> Self {
        Self {
            text: String::new(),
            unit,
        }
    }
    /// As typed.
    pub fn text(&self) -> &str {
        &self.text
    }
    /// The unit.
    pub const fn unit(&self) -> TypedUnit {
        self.unit
    }

    /// Takes a key; false when it does nothing (a second point, a full line).
    pub fn press(&mut self, key: PadKey) -> bool {
        match key {
            PadKey::Digit(digit @ 0..=9) if self.text.len() < MOST_KEYS => {
                if self.text == "0" {
                    self.text.clear();
                }
                self.text.push(char::from(b'0' + digit));
            }
            PadKey::Point if self.text.len() < MOST_KEYS && !self.text.contains('.') => {
                if self.text.is_empty() {
                    self.text.push('0');
                }
                self.text.push('.');
            }
            PadKey::Back => return self.text.pop().is_some(),
            PadKey::Digit(_) | PadKey::Point => return false,
        }
        true
    }

    /// The volume typed; `None` while it is nothing or zero.
    pub fn volume(&self) -> Option<Volume> {
        let number: f64 = self.text.parse().ok()?;
        let volume = match self.unit {
            TypedUnit::Ml => Volume::ml(number),
            TypedUnit::Litres => Volume::litres(number),
        };
        volume.is_some_liquid().then_some(volume)
    }

    /// Empties the line; the unit stays.
    pub fn clear(&mut self) {
        self.text.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(keys: &str) -> Typed {
        let mut typed = Typed::empty(TypedUnit::Litres);
        for key in keys.chars() {
            typed.press(match key {
                '.' => PadKey::Point,
                '<' => PadKey::Back,
                digit => PadKey::Digit(digit as u8 - b'0'),
            });
        }
        typed
    }

    #[test]
    fn keys_make_a_volume() {
        for (keys, ml) in [
            ("17.3", 17_300.0),
            ("0.975", 975.0),
            (".5", 500.0),
            ("1..5", 1500.0),
            ("007", 7000.0),
        ] {
            assert_eq!(typed(keys).volume(), Some(Volume::ml(ml)), "{keys}");
        }
        assert_eq!(typed("").volume(), None);
        assert_eq!(typed("0").volume(), None);
        assert_eq!(typed(".").volume(), None);
        assert_eq!(typed("12<").text(), "1");
        assert_eq!(typed("1234567").text(), "123456");
    }
}
