//! A simulated bay whose truth is known: for training without a lance, and to check that a stated ±
//! holds what it promises.
//!
//! Nothing in here reads a file, a clock or a screen, and all chance is passed in, so the same seed
//! gives the same bay everywhere. What it does not model: how far filling to the line differs from
//! one time to the next, which is part of the run-to-run scatter here, and mistakes such as a load
//! left out.

mod bench;
mod person;
mod sprayer;

pub use bench::{Bench, Calibrated, RunReadings, Scales, Stop};
pub use person::{JugLoad, Person, total, unsure};
pub use sprayer::{Going, Liquid, OneRun, Sprayer, Wear};
