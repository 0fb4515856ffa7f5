//! The bay at work: one `Action` in, state and effects out.
//!
//! Everything that an operator, a timer or a pedal does becomes an action, so that whole shifts
//! run in tests without a window.

pub mod ports;
pub mod records;
pub mod setup;
