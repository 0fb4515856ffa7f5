//! fillcall: a wall screen for a vehicle wash bay.
//!
//! Dependency direction: `main → {screens, store, sound, sticks, update} → bay → trade`; the five outer
//! modules never see each other; `doctor` knows
//! `bay` alone. `simulated` knows `trade` alone; `training` joins it
//! with `bay`.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod backlight;
pub mod bay;
pub mod doctor;
pub mod screens;
pub mod simulated;
pub mod sound;
pub mod sticks;
pub mod store;
pub mod trade;
pub mod training;
pub mod update;
