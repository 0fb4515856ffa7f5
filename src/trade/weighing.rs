//! Volumes by weight: water on a balance, in air, at its temperature.

use super::text::Text;
use super::uncertainty::rectangular;
use super::units::Volume;
use crate::text;
use std::fmt;

/// Temperatures of the water that the density is known for, °C.
pub const CELSIUS: std::ops::RangeInclusive<f64> = 0.0..=60.0;
/// Density of air that buoyancy is reckoned with, kg/m³: at 1013 hPa and room temperature.
pub const AIR: f64 = 1.2;
/// Density of the weights that balances are adjusted with, kg/m³ (OIML R 111, D 28: convention).
pub const WEIGHTS: f64 = 8000.0;

/// What is read in a run by weight, in the order it is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weighed {
    /// The temperature of the water in the container, °C.
    Water,
    /// The bucket before the run, kg.
    BucketEmpty,
    /// The container at its line, kg.
    ContainerFull,
    /// The container after the run, kg.
    ContainerAfter,
    /// The bucket with the catch, kg.
    BucketFull,
    /// The temperature of the catch, °C: a washer that heats makes it another one.
    CatchWater,
}

impl Weighed {
    /// All of them, in order.
    pub const ALL: [Self; 6] = [
        Self::Water,
        Self::BucketEmpty,
        Self::ContainerFull,
        Self::ContainerAfter,
        Self::BucketFull,
        Self::CatchWater,
    ];

    /// The word in the records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Water => "water-celsius",
            Self::BucketEmpty => "bucket-empty-kg",
            Self::ContainerFull => "container-full-kg",
            Self::ContainerAfter => "container-after-kg",
            Self::BucketFull => "bucket-full-kg",
            Self::CatchWater => "catch-celsius",
        }
    }
    /// The reading for a word of the records.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|w| w.word() == word)
    }
}

/// What the thermometer and the balance showed in one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// The water in the container, °C.
    pub celsius: f64,
    /// The water that was caught, °C.
    pub catch_celsius: f64,
    /// The bucket before the run, kg.
    pub bucket_empty: f64,
    /// The container at its line, kg.
    pub container_full: f64,
    /// The container after the run, kg.
    pub container_after: f64,
    /// The bucket with the catch, kg.
    pub bucket_full: f64,
}

impl Weights {
    /// From readings by name; `None` while one is missing. Without a temperature of its own the catch
    /// is as warm as the container, as in runs of a version that asked for one alone.
    pub fn of(reading: impl Fn(Weighed) -> Option<f64>) -> Option<Self> {
        let celsius = reading(Weighed::Water)?;
        Some(Self {
            celsius,
            catch_celsius: reading(Weighed::CatchWater).unwrap_or(celsius),
            bucket_empty: reading(Weighed::BucketEmpty)?,
            container_full: reading(Weighed::ContainerFull)?,
            container_after: reading(Weighed::ContainerAfter)?,
            bucket_full: reading(Weighed::BucketFull)?,
        })
    }
    /// One reading: °C for both waters, else kg.
    pub const fn reading(&self, of: Weighed) -> f64 {
        match of {
            Weighed::Water => self.celsius,
            Weighed::BucketEmpty => self.bucket_empty,
            Weighed::ContainerFull => self.container_full,
            Weighed::ContainerAfter => self.container_after,
            Weighed::BucketFull => self.bucket_full,
            Weighed::CatchWater => self.catch_celsius,
        }
    }
    /// What left the container.
    ///
    /// # Errors
    /// As [`volume_between`].
    pub fn drawn(&self) -> Result<Volume, WeighingError> {
        volume_between(self.container_after, self.container_full, self.celsius)
    }
    /// What is in the bucket.
    ///
    /// # Errors
    /// As [`volume_between`].
    pub fn catch(&self) -> Result<Volume, WeighingError> {
        volume_between(self.bucket_empty, self.bucket_full, self.catch_celsius)
    }
}

/// Why a weight gives no volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeighingError {
    /// Water outside 0 to 60 °C.
    Temperature {
        /// As entered, °C.
        celsius: f64,
    },
    /// The heavier reading is not above the lighter one.
    NothingWeighed {
        /// The reading that should be lighter, kg.
        lighter_kg: f64,
        /// The reading that should be heavier, kg.
        heavier_kg: f64,
    },
    /// The balance's step is not above zero.
    Step {
        /// As entered, kg.
        kg: f64,
    },
}

impl WeighingError {
    /// For the screen.
    pub fn words(&self) -> Text {
        match self {
            Self::Temperature { celsius } => text!(
                "The water is entered as {} °C, 0 to 60 °C can be reckoned with: \
                measure it again.",
                celsius.to_string()
            ),
            Self::NothingWeighed {
                lighter_kg,
                heavier_kg,
            } => text!(
                "{} kg is not more than {} kg: were the two readings swapped?",
                heavier_kg.to_string(),
                lighter_kg.to_string()
            ),
            Self::Step { kg } => text!(
                "The balance's step is entered as {} kg: enter the smallest change it shows.",
                kg.to_string()
            ),
        }
    }
}

impl fmt::Display for WeighingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.words().fmt(f)
    }
}

impl std::error::Error for WeighingError {}

/// Density of pure water in kg/m³ at 101.325 kPa, for 0 to 60 °C.
///
/// Up to 40 °C the equation of Tanaka, Girard, Davis, Peuto and Bignell, Metrologia 38 (2001),
/// 301–309; above, where that ends, the one of Kell, J. Chem. Eng. Data 20 (1975), 97–105. Their
/// constants are from memory, their values within 0.0012 and 0.0035 kg/m³ of IAPWS-95. Tap water is
/// up to about 0.5 kg/m³ denser, less than any reading here can tell.
///
/// # Errors
/// A temperature outside that range.
pub fn density(celsius: f64) -> Result<f64, WeighingError> {
    // Written so that not-a-number is outside too.
    if !CELSIUS.contains(&celsius) {
        return Err(WeighingError::Temperature { celsius });
    }
    if celsius > TANAKA_ENDS {
        return Ok(kell(celsius));
    }
    let off = celsius - 3.983_035;
    let bend = off * off * (celsius + 301.797) / (522_528.9 * (celsius + 69.348_81));
    Ok(999.974_950 * (1.0 - bend))
}

/// °C.
const TANAKA_ENDS: f64 = 40.0;

/// Density of water in kg/m³ by Kell's equation.
fn kell(celsius: f64) -> f64 {
    const POWERS: [f64; 6] = [
        999.839_52,
        16.945_176,
        -7.987_040_1e-3,
        -46.170_461e-6,
        105.563_02e-9,
        -280.542_53e-12,
    ];
    let sum = POWERS
        .iter()
        .rev()
        .fold(0.0, |sum, power| sum * celsius + power);
    sum / (1.0 + 16.879_850e-3 * celsius)
}

/// Millilitres of water per gram that the balance shows, in air at 1013 hPa (the Z factor of
/// ISO 8655-6): (1 − air/weights) / (water − air).
///
/// # Errors
/// Water outside 0 to 60 °C.
pub fn ml_per_gram(celsius: f64) -> Result<f64, WeighingError> {
    Ok(1000.0 * (1.0 - AIR / WEIGHTS) / (density(celsius)? - AIR))
}

/// The volume of water between two readings of the balance, in kg: a bucket empty and with the
/// catch in it, a container after and before the run.
///
/// # Errors
/// Readings that are not finite or not in that order, or water outside 0 to 60 °C.
pub fn volume_between(
    lighter_kg: f64,
    heavier_kg: f64,
    celsius: f64,
) -> Result<Volume, WeighingError> {
    let net_kg = heavier_kg - lighter_kg;
    if !(net_kg.is_finite() && net_kg > 0.0) {
        return Err(WeighingError::NothingWeighed {
            lighter_kg,
            heavier_kg,
        });
    }
    Ok(Volume::ml(net_kg * 1000.0 * ml_per_gram(celsius)?))
}

/// Standard uncertainty of a volume weighed on a balance that shows steps of `step_kg`: two
/// readings, each rectangular over half a step each way, so step/√6 in all. Half a degree on the
/// thermometer is worth 0.02 % at most and is left out.
///
/// # Errors
/// A step that is not above zero, or water outside 0 to 60 °C.
pub fn volume_uncertainty(step_kg: f64, celsius: f64) -> Result<Volume, WeighingError> {
    if !(step_kg.is_finite() && step_kg > 0.0) {
        return Err(WeighingError::Step { kg: step_kg });
    }
    let reading = rectangular(step_kg * 1000.0 / 2.0) * ml_per_gram(celsius)?;
    Ok(Volume::ml(reading * 2f64.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn densest_at_four_degrees_and_lighter_on_both_sides() {
        let at = |t: f64| density(t).expect("in range");
        assert!(at(3.98) > at(0.0) && at(3.98) > at(8.0));
        let mut before = at(4.0);
        for t in 5..=60 {
            let now = at(f64::from(t));
            assert!(now < before, "{t} °C");
            before = now;
        }
    }

    #[test]
    fn a_bucket_before_and_after() {
        // About 1.003 ml per gram at 20 °C.
        let catch = volume_between(1.25, 15.9, 20.0).expect("a volume");
        assert_relative_eq!(catch.as_ml(), 14_691.8, epsilon = 0.1);
        // A 10 g step: 10/√6 = 4.08 g.
        let sure = volume_uncertainty(0.01, 20.0).expect("a step");
        assert_relative_eq!(sure.as_ml(), 4.094, epsilon = 0.001);
    }

    #[test]
    fn what_cannot_be_is_refused_with_the_reason() {
        for celsius in [-0.1, 60.1, f64::NAN, f64::INFINITY] {
            let fault = density(celsius).expect_err("outside");
            assert!(fault.to_string().contains("°C"), "{fault}");
            assert!(volume_between(1.0, 2.0, celsius).is_err());
            assert!(volume_uncertainty(0.01, celsius).is_err());
        }
        for (lighter, heavier) in [
            (2.0, 2.0),
            (3.0, 2.0),
            (f64::NAN, 2.0),
            (0.0, f64::INFINITY),
        ] {
            let fault = volume_between(lighter, heavier, 20.0).expect_err("no net weight");
            assert!(fault.to_string().contains("swapped"), "{fault}");
        }
        for step in [0.0, -0.01, f64::NAN] {
            let fault = volume_uncertainty(step, 20.0).expect_err("no step");
            assert!(fault.to_string().contains("step"), "{fault}");
        }
        assert!(density(0.0).is_ok() && density(60.0).is_ok());
    }
}
