//! fillcall: a wall screen for a vehicle wash bay.
//!
//! Dependency direction: `main → {screens, store, sound} → bay → trade`; the three outer modules
//! never see each other.
#![forbid(unsafe_code)]

pub mod bay;
pub mod store;
pub mod trade;
