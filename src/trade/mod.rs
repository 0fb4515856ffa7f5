//! The trade's own knowledge: pure arithmetic and wording.
//!
//! Nothing in here reads a file, a clock or a screen, so every rule can be tested as it stands.

pub mod announcement;
pub mod beep_code;
pub mod calibration;
pub mod chemical;
pub mod coverage;
pub mod dilution;
pub mod fill_plan;
pub mod individuals;
pub mod likely_causes;
pub mod measure;
pub mod reminder;
pub mod repeats;
pub mod sprayer;
pub mod timed_check;
pub mod uncertainty;
pub mod units;
pub mod weighing;
pub mod words;
