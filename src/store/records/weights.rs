//! What thermometer and balance showed: five columns, in the order of [`IN_ROW`], and the temperature
//! of the catch, which stands in `run_details`.

use super::keep::Refusal;
use crate::trade::weighing::{Weighed, Weights};
use rusqlite::{Error, Row};
use std::collections::BTreeMap;

/// What stands in the row of the run.
pub(crate) const IN_ROW: [Weighed; 5] = [
    Weighed::Water,
    Weighed::BucketEmpty,
    Weighed::ContainerFull,
    Weighed::ContainerAfter,
    Weighed::BucketFull,
];

/// The name of its column, and of its key in a backup.
pub(crate) const fn column(of: Weighed) -> &'static str {
    match of {
        Weighed::Water => "water_celsius",
        Weighed::BucketEmpty => "bucket_empty_kg",
        Weighed::ContainerFull => "container_full_kg",
        Weighed::ContainerAfter => "container_after_kg",
        Weighed::BucketFull => "bucket_full_kg",
        Weighed::CatchWater => "catch_celsius",
    }
}

/// The five columns of a row.
pub(super) fn columns(
    reading: impl Fn(Weighed) -> Option<f64>,
) -> Result<[Option<f64>; 5], Refusal> {
    let mut columns = [None; 5];
    for (column, of) in columns.iter_mut().zip(IN_ROW) {
        *column = reading(of).map(|shown| plausible(of, shown)).transpose()?;
    }
    Ok(columns)
}

/// The temperature of a catch, to be written.
pub(super) fn catch_celsius(shown: Option<f64>) -> Result<Option<f64>, Refusal> {
    shown
        .map(|shown| plausible(Weighed::CatchWater, shown))
        .transpose()
}

/// More kg or °C than any balance or thermometer shows.
pub(crate) const SHOWN: std::ops::RangeInclusive<f64> = -1e6..=1e6;

fn plausible(of: Weighed, shown: f64) -> Result<f64, Refusal> {
    if SHOWN.contains(&shown) {
        return Ok(shown);
    }
    Err(Refusal::Told(match of {
        Weighed::Water | Weighed::CatchWater => {
            format!("a temperature of {shown} °C cannot be kept: measure again")
        }
        _ => format!("a weight of {shown} kg cannot be kept: weigh again"),
    }))
}

/// Those that are there.
pub(super) fn some_of(row: &Row<'_>) -> Result<BTreeMap<Weighed, f64>, Error> {
    let mut found = BTreeMap::new();
    for of in Weighed::ALL {
        if let Some(shown) = row.get(column(of))? {
            found.insert(of, shown);
        }
    }
    Ok(found)
}

/// All of them, or none at all; without a temperature of the catch it is that of the container.
pub(super) fn all_of(row: &Row<'_>) -> Result<Option<Weights>, Error> {
    let found = some_of(row)?;
    let weights = Weights::of(|of| found.get(&of).copied());
    match weights.is_none() && !found.is_empty() {
        true => Err(super::runs::half("weights", "some of the five")),
        false => Ok(weights),
    }
}
