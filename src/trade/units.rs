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

    /// Reads a volume as written in a set-up file: `975 ml`, `1 l`, `32 US fl oz`, `2.5 UK gal`.
    ///
    /// # Errors
    /// No number, no unit, an unknown unit, an ounce or gallon without its country, or a volume
    /// that is not above zero.
    pub fn parse(text: &str) -> Result<Self, Unreadable> {
        let right = "write it with a unit, such as \"975 ml\", \"1.5 l\" or \"32 US fl oz\"";
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

    /// As a figure and its unit for people: `690 ml`, `1.25 L`, `17.3 L`.
    ///
    /// Litres from one litre on, where two decimals say it exactly; from 10 litres always, with at
    /// most one decimal. Below 100 ml with one decimal, below 10 ml with two, where it has them. Four
    /// signs at the most, for a volume rounded by [`super::measure::Measure::round`] the volume itself:
    /// what is poured must be what was reckoned with.
    pub fn figure(self) -> (String, &'static str) {
        let ml = self.0;
        let tens = ml / 10.0;
        let whole_tens = (tens - tens.round()).abs() < 1e-6;
        match ml.abs() {
            size if size >= 9_999.5 || (size >= 999.5 && whole_tens) => (
                trim_number(ml / 1000.0, if size >= 9_999.5 { 1 } else { 2 }),
                "L",
            ),
            size if size < 9.995 => (trim_number(ml, 2), "ml"),
            size if size < 99.95 => (trim_number(ml, 1), "ml"),
            _ => (trim_number(ml, 0), "ml"),
        }
    }

    /// As water is shown: to the ml from 20 ml on, to 10 ml from a litre on, to 100 ml from ten on.
    /// It goes up to the line and is never measured finer.
    pub fn as_water(self) -> Self {
        let step = match self.0 {
            ml if ml < 20.0 => return self,
            ml if ml < 999.5 => 1.0,
            ml if ml < 9_995.0 => 10.0,
            _ => 100.0,
        };
        Self((self.0 / step).round() * step)
    }

    /// [`Self::figure`] as one text.
    pub fn shown(self) -> String {
        let (figure, unit) = self.figure();
        format!("{figure} {unit}")
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
    /// N of "1 to N": volumes of spray or mix per volume of product.
    pub const fn one_to(self) -> f64 {
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
            ("975 ml", 975.0),
            ("975ml", 975.0),
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
            ("975", "no unit"),
            ("32 fl oz", "US and another in the UK"),
            ("975 mg", "not a unit of volume"),
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
            (690.0, "690 ml"),
            (7.5, "7.5 ml"),
            (1.25, "1.25 ml"),
            (22.5, "22.5 ml"),
            (122.0, "122 ml"),
            (1250.0, "1.25 L"),
            (1000.0, "1 L"),
            (1255.0, "1255 ml"),
            (17_300.0, "17.3 L"),
            (0.0, "0 ml"),
        ] {
            assert_eq!(Volume::ml(ml).shown(), shown);
        }
        assert_eq!(Strength::percent(3.99).unwrap().shown(), "3.99 %");
        assert_eq!(Strength::percent(4.0).unwrap().shown(), "4 %");
        assert_eq!(BottleRatio::parts_water(10.0).unwrap().shown(), "1 + 10");
        assert_eq!(Flow::ml_per_s(150.0).shown(), "9 L/min");
    }
}
