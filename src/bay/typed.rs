//! What is typed on the number pad. It lives here, so that a screen that is drawn anew loses
//! nothing half-typed.

use super::action::PadKey;
use super::setup::EntryUnits;
use crate::trade::units::{
    ML_PER_UK_FL_OZ, ML_PER_UK_GAL, ML_PER_US_FL_OZ, ML_PER_US_GAL, Volume, trim_number,
};
use serde::{Deserialize, Serialize};

/// The unit of what is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TypedUnit {
    /// Millilitres.
    Ml,
    /// Litres.
    Litres,
    /// US fluid ounces.
    UsFluidOunces,
    /// US gallons.
    UsGallons,
    /// Imperial fluid ounces.
    UkFluidOunces,
    /// Imperial gallons.
    UkGallons,
    /// Kilograms on a balance.
    Kilograms,
    /// Degrees Celsius.
    Celsius,
    /// Seconds.
    Seconds,
    /// Percent.
    Percent,
}

impl TypedUnit {
    /// For the screen.
    pub const fn shown(self) -> &'static str {
        match self {
            Self::Ml => "ml",
            Self::Litres => "L",
            Self::UsFluidOunces | Self::UkFluidOunces => "fl oz",
            Self::UsGallons | Self::UkGallons => "gal",
            Self::Kilograms => "kg",
            Self::Celsius => "°C",
            Self::Seconds => "s",
            Self::Percent => "%",
        }
    }

    /// One of it in ml; `None` for what is no volume.
    pub const fn ml(self) -> Option<f64> {
        match self {
            Self::Ml => Some(1.0),
            Self::Litres => Some(1000.0),
            Self::UsFluidOunces => Some(ML_PER_US_FL_OZ),
            Self::UsGallons => Some(ML_PER_US_GAL),
            Self::UkFluidOunces => Some(ML_PER_UK_FL_OZ),
            Self::UkGallons => Some(ML_PER_UK_GAL),
            Self::Kilograms | Self::Celsius | Self::Seconds | Self::Percent => None,
        }
    }

    /// The unit for small volumes.
    pub const fn small(units: EntryUnits) -> Self {
        match units {
            EntryUnits::Metric => Self::Ml,
            EntryUnits::Us => Self::UsFluidOunces,
            EntryUnits::Uk => Self::UkFluidOunces,
        }
    }
    /// The unit for large volumes.
    pub const fn large(units: EntryUnits) -> Self {
        match units {
            EntryUnits::Metric => Self::Litres,
            EntryUnits::Us => Self::UsGallons,
            EntryUnits::Uk => Self::UkGallons,
        }
    }

    /// The other unit of the same kind: small for large. What has none stays.
    pub const fn other(self) -> Self {
        match self {
            Self::Ml => Self::Litres,
            Self::Litres => Self::Ml,
            Self::UsFluidOunces => Self::UsGallons,
            Self::UsGallons => Self::UsFluidOunces,
            Self::UkFluidOunces => Self::UkGallons,
            Self::UkGallons => Self::UkFluidOunces,
            same => same,
        }
    }

    /// A volume in this unit, to three decimals of the large ones and two of an ounce, which measures
    /// divide in quarters; empty for what is no volume.
    pub fn number(self, volume: Volume) -> String {
        let decimals = match self {
            Self::Litres | Self::UsGallons | Self::UkGallons => 3,
            Self::UsFluidOunces | Self::UkFluidOunces => 2,
            _ => 1,
        };
        self.ml().map_or(String::new(), |ml| {
            trim_number(volume.as_ml() / ml, decimals)
        })
    }
}

/// A number being typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "WrittenDown")]
pub struct Typed {
    text: String,
    unit: TypedUnit,
    /// It was refused, or asked about: the next digit begins anew.
    refused: bool,
}

/// The same, as it was written down: it may be anything.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenDown {
    text: String,
    unit: TypedUnit,
    refused: bool,
}

impl TryFrom<WrittenDown> for Typed {
    type Error = &'static str;

    fn try_from(down: WrittenDown) -> Result<Self, Self::Error> {
        let WrittenDown {
            text,
            unit,
            refused,
        } = down;
        let signs = text
            .bytes()
            .all(|sign| sign.is_ascii_digit() || sign == b'.');
        let points = text.bytes().filter(|sign| *sign == b'.').count();
        let can_be = signs && points <= 1 && text.len() <= MOST_KEYS && !text.starts_with('.');
        can_be
            .then_some(Self {
                text,
                unit,
                refused,
            })
            .ok_or("no keys of the number pad come to that")
    }
}

/// More digits than any container here needs are a stuck key.
const MOST_KEYS: usize = 6;

impl Typed {
    /// Nothing typed yet.
    pub const fn empty(unit: TypedUnit) -> Self {
        Self {
            text: String::new(),
            unit,
            refused: false,
        }
    }
    /// These signs, as if typed.
    pub(crate) const fn with_text(text: String, unit: TypedUnit) -> Self {
        Self {
            text,
            unit,
            refused: false,
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

    /// What is typed was refused, or asked about: it stays to be seen, and the next digit begins anew.
    pub(super) fn refuse(&mut self) {
        self.refused = !self.text.is_empty();
    }
    /// What is typed is another number than the one that was refused.
    pub(super) const fn take_back_refusal(&mut self) {
        self.refused = false;
    }
    /// True where the next digit begins anew.
    pub(super) const fn is_refused(&self) -> bool {
        self.refused
    }

    /// Takes a key; false when it does nothing (a second point, a full line).
    pub fn press(&mut self, key: PadKey) -> bool {
        if std::mem::take(&mut self.refused) && key != PadKey::Back {
            self.text.clear();
        }
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

    /// The number typed; `None` while it is none.
    pub fn number(&self) -> Option<f64> {
        self.text.parse().ok()
    }

    /// The volume typed; `None` while it is nothing or zero, and where it is no volume.
    pub fn volume(&self) -> Option<Volume> {
        let volume = Volume::ml(self.number()? * self.unit.ml()?);
        volume.is_some_liquid().then_some(volume)
    }

    /// Takes what is typed for the other unit of its kind. False where there is none.
    pub fn switch_unit(&mut self) -> bool {
        let other = self.unit.other();
        let switched = other != self.unit;
        self.unit = other;
        self.take_back_refusal();
        switched
    }

    /// Empties the line; the unit stays.
    pub fn clear(&mut self) {
        self.text.clear();
        self.refused = false;
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
            ("14.7", 14_700.0),
            ("0.82", 820.0),
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

    #[test]
    fn a_refused_number_gives_way_to_the_next_digit() {
        for (key, then) in [
            (PadKey::Digit(4), "4"),
            (PadKey::Point, "0."),
            (PadKey::Back, "31"),
        ] {
            let mut number = typed("317");
            number.refuse();
            assert_eq!(number.text(), "317", "it stays to be seen");
            assert!(number.press(key));
            assert_eq!(number.text(), then);
            number.press(PadKey::Digit(8));
            assert_eq!(number.text(), format!("{then}8"), "once");
        }
        let mut number = typed("317");
        number.refuse();
        assert!(number.switch_unit() && number.press(PadKey::Digit(5)));
        assert_eq!(
            number.text(),
            "3175",
            "in the other unit it was not refused"
        );
    }

    #[test]
    fn units_are_those_of_the_bay() {
        // Exact by definition: NIST Handbook 44 App. C, Weights and Measures Act 1985.
        for (units, small, large) in [
            (EntryUnits::Metric, 1.0, 1000.0),
            (EntryUnits::Us, 29.573_529_562_5, 3_785.411_784),
            (EntryUnits::Uk, 28.413_062_5, 4546.09),
        ] {
            let mut typed = Typed::empty(TypedUnit::small(units));
            typed.press(PadKey::Digit(2));
            assert_eq!(typed.volume(), Some(Volume::ml(2.0 * small)));
            assert!(typed.switch_unit());
            assert_eq!(typed.unit(), TypedUnit::large(units));
            assert_eq!(typed.volume(), Some(Volume::ml(2.0 * large)));
        }
        let mut kg = Typed::empty(TypedUnit::Kilograms);
        kg.press(PadKey::Digit(2));
        assert!(!kg.switch_unit());
        assert_eq!((kg.volume(), kg.number()), (None, Some(2.0)));
        assert_eq!(TypedUnit::UsGallons.number(Volume::ml(3_785.411_784)), "1");
        assert_eq!(TypedUnit::Litres.number(Volume::ml(14_705.4)), "14.705");
    }
}
