//! The bay at work: one [`action::Action`] in, state and [`action::Effect`]s out.
//!
//! Everything that an operator, a timer or a pedal does becomes an action, so that whole shifts
//! run in tests without a window.

pub mod action;
pub mod at_work;
mod bringing_back;
pub mod calibrating;
pub mod card;
pub mod checking;
mod damage;
pub mod day;
pub mod editing;
mod filling;
pub mod glass;
mod guiding;
mod held_up;
mod helping;
pub mod judging;
pub mod lead;
pub mod limits;
pub mod mixing;
pub mod offer;
pub mod panel;
pub mod ports;
mod reading;
pub mod records;
pub(crate) mod reminding;
pub mod reporting;
pub mod resuming;
pub mod runner;
mod scene;
pub mod setup;
pub mod setup_change;
mod sounding;
mod spoken;
pub mod stock;
pub mod stopwatch;
mod ticking;
pub mod tools;
pub mod typed;
pub mod updating;
