//! The least and the most that may stand in a set-up: the one table by which the file is read and by
//! which an answer at the screen is taken.

use crate::trade::units::Volume;
use std::ops::RangeInclusive;

/// What a sprayer holds: a trigger bottle's least to the largest container that anybody draws from.
pub const HOLDS: RangeInclusive<Volume> = Volume::ml(50.0)..=Volume::litres(1200.0);
/// What a measure takes: from a small syringe to the largest jug that one can lift.
pub const SIZE: RangeInclusive<Volume> = Volume::ml(1.0)..=Volume::litres(30.0);
/// The step between two lines of a measure: none is finer than a tenth of a millilitre on anything that
/// pours product.
pub const GRADUATION: RangeInclusive<Volume> = Volume::ml(0.1)..=Volume::litres(5.0);
/// The spray of one vehicle: from a mist for one wheel to a road train.
pub const SPRAY: RangeInclusive<Volume> = Volume::ml(50.0)..=Volume::litres(1000.0);
/// What a chemical is delivered in: from a bottle to a tank that a lorry fills.
pub const DELIVERED_IN: RangeInclusive<Volume> = Volume::ml(50.0)..=Volume::litres(30_000.0);

/// Parts of water for one of product in a label's ratio: from product as it is to the thinnest mix.
pub const WATER_PARTS: RangeInclusive<f64> = 0.0..=10_000.0;
/// Money for a litre: more than any product costs in any currency.
pub const COST: RangeInclusive<f64> = 0.0..=10_000_000.0;
/// Spray of a class of vehicle, times the usual: from a wheel to a road train.
pub const SHARE: RangeInclusive<f64> = 0.05..=20.0;
/// The step of a balance, grams: from a laboratory's to one for pallets.
pub const STEP_GRAMS: RangeInclusive<f64> = 0.01..=5000.0;

/// Washes after which a calibration is due.
pub const DUE_WASHES: RangeInclusive<u32> = 1..=100_000;
/// Washes after which it is overdue; always more than those after which it is due.
pub const OVERDUE_WASHES: RangeInclusive<u32> = 2..=200_000;
/// Days after which it is due as well.
pub const DUE_DAYS: RangeInclusive<u32> = 1..=3650;
/// Washes that it may be put off for.
pub const PUT_OFF_WASHES: RangeInclusive<u32> = 1..=1000;
/// Times that it may be put off.
pub const PUT_OFF_TIMES: RangeInclusive<u32> = 0..=100;
/// Days before stock runs out from which on the wall warns.
pub const WARN_DAYS: RangeInclusive<u32> = 1..=365;
/// Minutes without a touch after which the shift lead's side closes.
pub const LEAD_MINUTES: RangeInclusive<u32> = 1..=60;
/// Minutes without a touch after which the glass is dimmed; 0 is never.
pub const DIM_MINUTES: RangeInclusive<u32> = 0..=240;
/// How bright a dimmed glass is, percent as an eye sees it: at the least, the figure of home can be read
/// from the mixing bench (`tests/measures.rs`).
pub const DIM_PERCENT: RangeInclusive<u32> = 55..=90;
/// Loudness, percent of the full one.
pub const LOUDNESS: RangeInclusive<u32> = 0..=100;

/// The longest name that the screens have room for, in characters.
pub const LONGEST_NAME: usize = 40;
/// The longest sign of a currency, in characters.
pub const LONGEST_CURRENCY: usize = 8;
/// The longest caution that the screens have room for, in characters.
pub const LONGEST_CAUTION: usize = 160;
