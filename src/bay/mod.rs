//! The bay at work: one [`action::Action`] in, state and [`action::Effect`]s out.
//!
//! Everything that an operator, a timer or a pedal does becomes an action, so that whole shifts
//! run in tests without a window.

pub mod action;
pub mod at_work;
pub mod calibrating;
pub mod card;
pub mod ports;
pub mod records;
pub mod runner;
pub mod setup;
mod spoken;
pub mod typed;
