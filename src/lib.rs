//! fillcall: a wall screen for a vehicle wash bay.
//!
//! Dependency direction: `main → {screens, store, sound, sticks} → bay → trade`; the four outer modules
//! never see each other. `simulated` knows `trade` alone; `training` joins it
//! with `bay`.
//!
//! Unsafe code is forbidden everywhere but in what the Slint compiler generates.
#![deny(unsafe_code)]
#![warn(missing_docs)]

#[forbid(unsafe_code)]
pub mod bay;
pub mod screens;
#[forbid(unsafe_code)]
pub mod simulated;
#[forbid(unsafe_code)]
pub mod sound;
#[forbid(unsafe_code)]
pub mod sticks;
#[forbid(unsafe_code)]
pub mod store;
#[forbid(unsafe_code)]
pub mod trade;
#[forbid(unsafe_code)]
pub mod training;
