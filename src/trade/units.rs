//! Volumes, strengths, ratios and flows as types, with the ways people write them.
//!
//! Inside the program volumes are millilitres, times seconds and strengths plain fractions 0..1;
//! percent, litres and ounces exist only at the edges.

use std::fmt;
use std::ops::{Add, Div, Mul, Sub};

/// Millilitres in one US fluid ounce, exact (NIST Handbook 44, Appendix C).
pub const ML_PER_US_FL_OZ: f64 = 29.573_529_562_5;
/// Millilitres in one US gallon, exact (NIST Handbook 44, Appendix C).
pub const ML_PER_US_GAL: f64 = 3_785.411_784;
/// Millilitres in one UK fluid ounce, exact (Weights and Measures Act 1985).
pub const ML_PER_UK_FL_OZ: f64 = 28.413_062_5;
/// Millilitres in one UK gallon, exact (Weights and Measures Act 1985).
pub const ML_PER_UK_GAL: f64 = 4_546.09;

/// What is wrong with something written, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    /// What is wrong, in words.
    pub wrong: String,
    /// What would be right, in words.
    pub right: String,
}

impl Unreadable {
    fn new(wrong: impl Into<String>, right: impl Into<String>) -> Self {
        Self {
            wrong: wrong.into(),
            right: right.into(),
        }
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.wrong, self.right)
    }
}

/// A volume, in ml. May be zero or negative only as the result of a subtraction.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Volume(f64);

impl Volume {
    /// No volume.
    pub const ZERO: Self = Self(0.0);

    /// From millilitres.
    pub const fn ml(ml: f64) -> Self {
        Self(ml)
    }
    /// From litres.
    pub const fn litres(litres: f64) -> Self {
        Self(litres * 1000.0)
    }
    /// In millilitres.
    pub const fn as_ml(self) -> f64 {
        self.0
    }
    /// In litres.
    pub const fn as_litres(self) -> f64 {
        self.0 / 1000.0
    }
    /// True for a finite volume above zero.
    pub fn is_some_liquid(self) -> bool {
        self.0.is_finite() && self.0 > 0.0
    }

    /// Reads a volume as written in a set-up file: `820 ml`, `1 l`, `32 US fl oz`, `2.5 UK gal`.
    ///
    /// # Errors
    /// No number, no unit, an unknown unit, an ounce or gallon without its country, or a volume
    /// that is not above zero.
    pub fn parse(text: &str) -> Result<Self, Unreadable> {
        let right = "write it with a unit, such as \"820 ml\", \"1.5 l\" or \"32 US fl oz\"";
        no_comma(text)?;
        let (number, unit) = split_number(text)
            .ok_or_else(|| Unreadable::new(format!("\"{text}\" is not a volume"), right))?;
        let unit: String = unit.to_lowercase().split_whitespace().collect();
        let ml = match unit.as_str() {
            "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters" => 1.0,
            "cl" => 10.0,
            "l" | "litre" | "litres" | "liter" | "liters" => 1000.0,
            "usfloz" => ML_PER_US_FL_OZ,
            "ukfloz" | "impfloz" => ML_PER_UK_FL_OZ,
            "usgal" => ML_PER_US_GAL,
            "ukgal" | "impgal" => ML_PER_UK_GAL,
            "" => {
                return Err(Unreadable::new(format!("\"{text}\" has no unit"), right));
            }
            "floz" | "oz" | "gal" | "gallon" | "gallons" => {
                return Err(Unreadable::new(
                    format!("\"{text}\" is one volume in the US and another in the UK"),
                    "say which, such as \"32 US fl oz\" or \"1 UK gal\"",
                ));
            }
            other => {
                return Err(Unreadable::new(
                    format!("\"{other}\" is not a unit of volume"),
                    right,
                ));
            }
        };
        let volume = Self(number * ml);
        if volume.is_some_liquid() {
            Ok(volume)
        } else {
            Err(Unreadable::new(
                format!("\"{text}\" is not above zero"),
                right,
            ))
        }
    }

    /// As a figure and its unit for people, in [`LineUnit::Metric`]: `590 ml`, `1.25 L`, `14.7 L`.
    pub fn figure(self) -> (String, &'static str) {
        LineUnit::Metric.figure(self)
    }

    /// As water is shown in [`LineUnit::Metric`].
    pub fn as_water(self) -> Self {
        LineUnit::Metric.water(self)
    }

    /// [`Self::figure`] as one text.
    pub fn shown(self) -> String {
        let (figure, unit) = self.figure();
        format!("{figure} {unit}")
    }
}

/// The unit that the lines of a measure are in. Volumes that are poured with it are shown, said and
/// printed in that unit; inside the program they stay millilitres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LineUnit {
    /// Millilitres, and litres where they say it shorter.
    #[default]
    Metric,
    /// US fluid ounces.
    UsFluidOunce,
    /// US gallons.
    UsGallon,
    /// UK fluid ounces.
    UkFluidOunce,
    /// UK gallons.
    UkGallon,
}

impl LineUnit {
    /// The unit of lines that lie `step` apart: ounces of the country of which that is a whole number
    /// of hundredths, gallons where it is a whole number of eighths of one, else metric.
    ///
    /// No step that is written in millilitres is a whole number of hundredths of an ounce below 160 UK
    /// fluid ounces, so the unit that a set-up is written in is the one that is found.
    pub fn of_step(step: Volume) -> Self {
        let whole = |part: f64| {
            let count = step.0 / part;
            count > 0.5 && (count - count.round()).abs() < 1e-13 * count.max(1.0)
        };
        if whole(ML_PER_US_GAL / 8.0) {
            Self::UsGallon
        } else if whole(ML_PER_US_FL_OZ / 100.0) {
            Self::UsFluidOunce
        } else if whole(ML_PER_UK_GAL / 8.0) {
            Self::UkGallon
        } else if whole(ML_PER_UK_FL_OZ / 100.0) {
            Self::UkFluidOunce
        } else {
            Self::Metric
        }
    }

    /// One of it in ml.
    pub const fn ml(self) -> f64 {
        match self {
            Self::Metric => 1.0,
            Self::UsFluidOunce => ML_PER_US_FL_OZ,
            Self::UsGallon => ML_PER_US_GAL,
            Self::UkFluidOunce => ML_PER_UK_FL_OZ,
            Self::UkGallon => ML_PER_UK_GAL,
        }
    }

    /// How it is written behind a number.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Metric => "ml",
            Self::UsFluidOunce | Self::UkFluidOunce => "fl oz",
            Self::UsGallon | Self::UkGallon => "gal",
        }
    }

    /// As a figure and its unit for people: `590 ml`, `1.25 L`, `8 fl oz`, `0.5 gal`.
    ///
    /// Litres from one litre on, where two decimals say it exactly; from 10 litres always, with at
    /// most one decimal. Below 100 of the unit with one decimal, below 10 with two, where it has them. Four
    /// signs at the most, for a volume rounded by [`super::measure::Measure::round`] the volume itself:
    /// what is poured must be what was reckoned with.
    pub fn figure(self, volume: Volume) -> (String, &'static str) {
        let size = volume.0.abs();
        let tens = volume.0 / 10.0;
        let whole_tens = (tens - tens.round()).abs() < 1e-6;
        if self == Self::Metric && (size >= 9_999.5 || (size >= 999.5 && whole_tens)) {
            let decimals = if size >= 9_999.5 { 1 } else { 2 };
            return (trim_number(volume.0 / 1000.0, decimals), "L");
        }
        let number = volume.0 / self.ml();
        let decimals = match number.abs() {
            size if size < 9.995 => 2,
            size if size < 99.95 => 1,
            _ => 0,
        };
        (trim_number(number, decimals), self.sign())
    }

    /// [`Self::figure`] as one text.
    pub fn shown(self, volume: Volume) -> String {
        let (figure, unit) = self.figure(volume);
        format!("{figure} {unit}")
    }

    /// The finest step of a figure in this unit, for a volume of that size.
    pub const fn finest(self, volume: Volume) -> Volume {
        let number = volume.0 / self.ml();
        let step = match number {
            n if n >= 9_995.0 => 100.0,
            n if n >= 999.5 => 10.0,
            n if n >= 99.95 => 1.0,
            n if n >= 9.995 => 0.1,
            _ => 0.01,
        };
        Volume(step * self.ml())
    }

    /// The largest step between lines, of those that measures in this unit have, that is no larger than
    /// `most`: 1, 2 or 5 times a power of ten in ml, halves and doubles of an ounce or a gallon.
    pub fn usual_step(self, most: Volume) -> Volume {
        let number = most.0 / self.ml() * (1.0 + 1e-9);
        let step = match self {
            Self::Metric => {
                let ten = 10f64.powf(number.log10().floor());
                match number / ten {
                    n if n >= 5.0 => 5.0 * ten,
                    n if n >= 2.0 => 2.0 * ten,
                    _ => ten,
                }
            }
            _ => number.log2().floor().exp2(),
        };
        Volume(step * self.ml())
    }

    /// As water is shown: in ml to the ml from 20 ml on, to 10 ml from a litre on, to 100 ml from ten
    /// on; in ounces to a tenth from one on, to a whole one from 100 on; in gallons to a hundredth,
    /// to a tenth from 10 on. It goes up to the line and is never measured finer.
    pub fn water(self, volume: Volume) -> Volume {
        let number = volume.0 / self.ml();
        let step = match (self, number) {
            (Self::Metric, n) if n < 20.0 => return volume,
            (Self::Metric, n) if n < 999.5 => 1.0,
            (Self::Metric, n) if n < 9_995.0 => 10.0,
            (Self::Metric, _) => 100.0,
            (Self::UsFluidOunce | Self::UkFluidOunce, n) if n < 0.995 => return volume,
            (Self::UsFluidOunce | Self::UkFluidOunce, n) if n < 99.95 => 0.1,
            (Self::UsFluidOunce | Self::UkFluidOunce, _) => 1.0,
            (Self::UsGallon | Self::UkGallon, n) if n < 9.995 => 0.01,
            (Self::UsGallon | Self::UkGallon, _) => 0.1,
        };
        Volume((number / step).round() * step * self.ml())
    }
}

/// A number with at most `decimals` decimals and no trailing zeros.
pub fn trim_number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// Refuses a number with a comma in it, and says what is meant: a comma may stand for the point before
/// decimals, or between thousands, by where its writer comes from.
///
/// # Errors
/// There is a comma beside a digit.
pub fn no_comma(text: &str) -> Result<(), Unreadable> {
    match without_comma(text) {
        None => Ok(()),
        Some(right) => Err(Unreadable::new(
            format!("\"{text}\" has a comma in its number"),
            format!("write {right}"),
        )),
    }
}

/// What a text with a comma in its number is to be written as; `None` for one without.
fn without_comma(text: &str) -> Option<String> {
    let text = text.trim();
    let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let (before, after) = text.split_once(',')?;
    let (last, next) = (before.chars().next_back(), after.chars().next());
    if !is_digit(next) && !is_digit(last) {
        return None;
    }
    if after.contains(',') || before.contains('.') || after.contains('.') {
        return Some("the number with a point before its decimals, and no comma".into());
    }
    let decimals = after.chars().take_while(char::is_ascii_digit).count();
    let nought = if is_digit(last) { "" } else { "0" };
    let point = match decimals {
        // Nothing behind the comma is no decimal.
        0 => format!("{before}{after}"),
        _ => format!("{before}{nought}.{after}"),
    };
    // 1,000 is a thousand to one reader and one to another.
    match decimals == 3 && nought.is_empty() {
        true => Some(format!("{point} or {before}{after}, whichever is meant")),
        false => Some(point),
    }
}

fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c == '+'))
        .unwrap_or(text.len());
    let number: f64 = text[..end].parse().ok()?;
    number.is_finite().then_some((number, text[end..].trim()))
}

impl Add for Volume {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl Sub for Volume {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl Mul<f64> for Volume {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}
impl Div<f64> for Volume {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}
impl Div for Volume {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}
impl std::iter::Sum for Volume {
    fn sum<I: Iterator<Item = Self>>(volumes: I) -> Self {
        volumes.fold(Self::ZERO, Add::add)
    }
}

/// A strength: volume of product per volume of mix or spray, a fraction above 0 and at most 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Strength(f64);

impl Strength {
    /// Product as it is.
    pub const NEAT: Self = Self(1.0);

    /// From a fraction; `None` unless above 0 and at most 1.
    pub fn fraction(fraction: f64) -> Option<Self> {
        (fraction.is_finite() && fraction > 0.0 && fraction <= 1.0).then_some(Self(fraction))
    }
    /// From percent; `None` unless above 0 and at most 100.
    pub fn percent(percent: f64) -> Option<Self> {
        Self::fraction(percent / 100.0)
    }
    /// As a fraction 0..1.
    pub const fn as_fraction(self) -> f64 {
        self.0
    }
    /// In percent.
    pub const fn as_percent(self) -> f64 {
        self.0 * 100.0
    }
    /// N of "1 in N": volumes of spray or mix per volume of product.
    pub const fn one_in(self) -> f64 {
        1.0 / self.0
    }

    /// Reads `4 %` or `0.5%`.
    ///
    /// # Errors
    /// Anything without a percent sign, and anything not above 0 and at most 100 %.
    pub fn parse(text: &str) -> Result<Self, Unreadable> {
        let right = "write it in percent, such as \"4 %\"";
        if text.contains(':') {
            return Err(ambiguous_ratio(text));
        }
        no_comma(text)?;
        let (number, unit) = split_number(text)
            .ok_or_else(|| Unreadable::new(format!("\"{text}\" is not a percentage"), right))?;
        if unit != "%" {
            return Err(Unreadable::new(format!("\"{text}\" has no % sign"), right));
        }
        Self::percent(number).ok_or_else(|| {
            Unreadable::new(
                format!("\"{text}\" is not above 0 % and at most 100 %"),
                right,
            )
        })
    }

    /// For people: `4 %`, `0.45 %`: three figures are all that any reading here carries.
    pub fn shown(self) -> String {
        let percent = self.as_percent();
        let decimals = match percent {
            p if p < 0.0995 => 3,
            p if p < 9.995 => 2,
            p if p < 99.95 => 1,
            _ => 0,
        };
        format!("{} %", trim_number(percent, decimals))
    }
}

/// A bottle ratio "1 + N": one part of product and N parts of water.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct BottleRatio(f64);

impl BottleRatio {
    /// From N, the parts of water per part of product: zero or more.
    pub fn parts_water(n: f64) -> Option<Self> {
        (n.is_finite() && n >= 0.0).then_some(Self(n))
    }
    /// N, the parts of water per part of product.
    pub const fn water_parts(self) -> f64 {
        self.0
    }
    /// Product as a fraction of the bottle: 1 / (1 + N).
    pub fn fraction(self) -> f64 {
        1.0 / (1.0 + self.0)
    }

    /// Reads `1 + 10`, with any number before the plus.
    ///
    /// # Errors
    /// A bare `1:10`, which one reader takes for 1 part in 10 and another for 1 part and 10 parts
    /// (9.09 % or 10 %; Fishel, J. Chem. Educ. 87(11), 1183, 2010), and anything else.
    pub fn parse(text: &str) -> Result<Self, Unreadable> {
        if text.contains(':') {
            return Err(ambiguous_ratio(text));
        }
        no_comma(text)?;
        let right = "write product + water, such as \"1 + 10\"";
        let wrong = || Unreadable::new(format!("\"{text}\" is not a bottle ratio"), right);
        let (product, water) = text.split_once('+').ok_or_else(wrong)?;
        let product: f64 = product.trim().parse().map_err(|_| wrong())?;
        let water: f64 = water.trim().parse().map_err(|_| wrong())?;
        if !(product.is_finite() && product > 0.0) {
            return Err(wrong());
        }
        Self::parts_water(water / product).ok_or_else(wrong)
    }

    /// For people: `1 + 10`, `1 + 0.35`.
    pub fn shown(self) -> String {
        let decimals = match self.0 {
            n if n < 1.0 => 2,
            n if n < 20.0 => 1,
            _ => 0,
        };
        format!("1 + {}", trim_number(self.0, decimals))
    }
}

fn ambiguous_ratio(text: &str) -> Unreadable {
    Unreadable::new(
        format!(
            "\"{text}\" can be read two ways: one part in so many, or one part and so many parts"
        ),
        "write a bottle ratio as \"1 + 10\" (1 part product and 10 parts water), a strength as \"4 %\"",
    )
}

/// A flow, in ml per second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Flow(f64);

impl Flow {
    /// From ml per second.
    pub const fn ml_per_s(flow: f64) -> Self {
        Self(flow)
    }
    /// In ml per second.
    pub const fn as_ml_per_s(self) -> f64 {
        self.0
    }
    /// In litres per minute, the trade's unit.
    pub const fn as_l_per_min(self) -> f64 {
        self.0 * 0.06
    }
    /// For people: `9.8 L/min`.
    pub fn shown(self) -> String {
        let value = self.as_l_per_min();
        format!(
            "{} L/min",
            trim_number(value, if value < 1.0 { 2 } else { 1 })
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn volumes_are_read_with_their_unit() {
        for (text, ml) in [
            ("820 ml", 820.0),
            ("820ml", 820.0),
            ("1 l", 1000.0),
            ("1.5 L", 1500.0),
            ("32 US fl oz", 946.352_946),
            ("1 UK gal", 4546.09),
            ("1 US gal", 3_785.411_784),
        ] {
            let volume = Volume::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_relative_eq!(volume.as_ml(), ml, max_relative = 1e-12);
        }
    }

    #[test]
    fn volumes_that_cannot_be_read_say_why() {
        for (text, why) in [
            ("820", "no unit"),
            ("32 fl oz", "US and another in the UK"),
            ("820 mg", "not a unit of volume"),
            ("0 ml", "not above zero"),
            ("-5 ml", "not above zero"),
            ("a jug", "not a volume"),
        ] {
            let fault = Volume::parse(text).expect_err(text);
            assert!(fault.wrong.contains(why), "{text}: {fault}");
        }
    }

    #[test]
    fn a_comma_in_a_number_is_told_what_is_meant() {
        for (text, right) in [
            ("0,8 l", "write 0.8 l"),
            (",8l", "write 0.8l"),
            ("12,25 ml", "write 12.25 ml"),
            ("1, l", "write 1 l"),
            ("1,500 ml", "write 1.500 ml or 1500 ml, whichever is meant"),
            (
                "1.000,5 ml",
                "write the number with a point before its decimals, and no comma",
            ),
        ] {
            let fault = Volume::parse(text).expect_err(text);
            assert!(fault.wrong.contains("a comma in its number"), "{fault}");
            assert_eq!(fault.right, right, "{text}");
        }
        assert_eq!(
            Strength::parse("0,5 %").expect_err("a comma").right,
            "write 0.5 %"
        );
        let ratio = BottleRatio::parse("1 + 10,5").expect_err("a comma");
        assert_eq!(ratio.right, "write 1 + 10.5");
        // A comma that is no number's is what it was.
        let jug = Volume::parse("a jug, full").expect_err("no volume");
        assert!(jug.wrong.contains("not a volume"), "{jug}");
    }

    #[test]
    fn a_bare_ratio_is_refused_with_the_reason() {
        for text in ["1:10", "10:1"] {
            assert!(
                BottleRatio::parse(text)
                    .expect_err(text)
                    .wrong
                    .contains("two ways")
            );
            assert!(
                Strength::parse(text)
                    .expect_err(text)
                    .right
                    .contains("1 + 10")
            );
        }
        assert_relative_eq!(BottleRatio::parse("1 + 10").unwrap().fraction(), 1.0 / 11.0);
        assert_relative_eq!(BottleRatio::parse("2+98").unwrap().fraction(), 0.02);
        assert!(BottleRatio::parse("0 + 3").is_err());
        assert!(BottleRatio::parse("10").is_err());
    }

    #[test]
    fn percents_need_their_sign() {
        assert_relative_eq!(Strength::parse("4 %").unwrap().as_fraction(), 0.04);
        assert!(Strength::parse("4").is_err());
        assert!(Strength::parse("0 %").is_err());
        assert!(Strength::parse("101 %").is_err());
    }

    #[test]
    fn what_people_see() {
        // Few digits, and nothing lost.
        for (ml, shown) in [
            (590.0, "590 ml"),
            (7.5, "7.5 ml"),
            (1.25, "1.25 ml"),
            (22.5, "22.5 ml"),
            (122.0, "122 ml"),
            (1250.0, "1.25 L"),
            (1000.0, "1 L"),
            (1255.0, "1255 ml"),
            (14_700.0, "14.7 L"),
            (0.0, "0 ml"),
        ] {
            assert_eq!(Volume::ml(ml).shown(), shown);
        }
        assert_eq!(Strength::percent(4.01).unwrap().shown(), "4.01 %");
        assert_eq!(Strength::percent(4.0).unwrap().shown(), "4 %");
        assert_eq!(BottleRatio::parts_water(10.0).unwrap().shown(), "1 + 10");
        assert_eq!(Flow::ml_per_s(150.0).shown(), "9 L/min");
    }

    #[test]
    fn the_unit_of_a_measure_is_that_of_its_lines() {
        for (step, unit) in [
            ("1 ml", LineUnit::Metric),
            ("0.25 ml", LineUnit::Metric),
            ("10 ml", LineUnit::Metric),
            ("500 ml", LineUnit::Metric),
            ("29.57 ml", LineUnit::Metric),
            ("28.4 ml", LineUnit::Metric),
            ("1 US fl oz", LineUnit::UsFluidOunce),
            ("0.25 US fl oz", LineUnit::UsFluidOunce),
            ("0.01 US fl oz", LineUnit::UsFluidOunce),
            ("4 US fl oz", LineUnit::UsFluidOunce),
            ("0.125 US gal", LineUnit::UsGallon),
            ("1 US gal", LineUnit::UsGallon),
            ("1 UK fl oz", LineUnit::UkFluidOunce),
            ("0.5 UK fl oz", LineUnit::UkFluidOunce),
            ("0.25 UK gal", LineUnit::UkGallon),
        ] {
            let step = Volume::parse(step).expect(step);
            assert_eq!(LineUnit::of_step(step), unit, "{step:?}");
        }
        // Whatever is written in ml stays in ml.
        for hundredths in 1..=450_000u32 {
            let step = Volume::ml(f64::from(hundredths) / 100.0);
            assert_eq!(LineUnit::of_step(step), LineUnit::Metric, "{step:?}");
        }
        assert_eq!(LineUnit::of_step(Volume::ZERO), LineUnit::Metric);
    }

    #[test]
    fn lines_that_measures_have() {
        for (most, unit, step) in [
            (7.7, LineUnit::Metric, 5.0),
            (5.0, LineUnit::Metric, 5.0),
            (1.02, LineUnit::Metric, 1.0),
            (0.29, LineUnit::Metric, 0.2),
            (24.0, LineUnit::Metric, 20.0),
        ] {
            let found = unit.usual_step(Volume::ml(most)).as_ml();
            assert_relative_eq!(found, step, max_relative = 1e-9);
        }
        for (most, step) in [(0.8, 0.5), (0.25, 0.25), (1.9, 1.0), (0.2, 0.125)] {
            let unit = LineUnit::UsFluidOunce;
            let found = unit.usual_step(Volume::ml(most * ML_PER_US_FL_OZ)).as_ml();
            assert_relative_eq!(found, step * ML_PER_US_FL_OZ, max_relative = 1e-9);
        }
    }

    #[test]
    fn what_people_see_in_ounces_and_gallons() {
        for (text, unit, shown, water) in [
            ("8 US fl oz", LineUnit::UsFluidOunce, "8 fl oz", "8 fl oz"),
            (
                "8.28 US fl oz",
                LineUnit::UsFluidOunce,
                "8.28 fl oz",
                "8.3 fl oz",
            ),
            (
                "16.5 UK fl oz",
                LineUnit::UkFluidOunce,
                "16.5 fl oz",
                "16.5 fl oz",
            ),
            (
                "0.25 UK fl oz",
                LineUnit::UkFluidOunce,
                "0.25 fl oz",
                "0.25 fl oz",
            ),
            (
                "120.4 US fl oz",
                LineUnit::UsFluidOunce,
                "120 fl oz",
                "120 fl oz",
            ),
            (
                "1500 US fl oz",
                LineUnit::UsFluidOunce,
                "1500 fl oz",
                "1500 fl oz",
            ),
            ("0.5 US gal", LineUnit::UsGallon, "0.5 gal", "0.5 gal"),
            ("4.375 UK gal", LineUnit::UkGallon, "4.38 gal", "4.38 gal"),
            ("25.04 UK gal", LineUnit::UkGallon, "25 gal", "25 gal"),
        ] {
            let volume = Volume::parse(text).expect(text);
            assert_eq!(unit.shown(volume), shown, "{text}");
            assert_eq!(unit.shown(unit.water(volume)), water, "{text}");
        }
    }
}
