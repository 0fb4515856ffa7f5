//! The trade's own knowledge: pure arithmetic and wording.
//!
//! Nothing in here reads a file, a clock or a screen, so every rule can be tested as it stands.

pub mod announcement;
pub mod beep_code;
pub mod beep_signals;
pub mod calibration;
pub mod chemical;
pub mod coverage;
pub mod days_strength;
pub mod dilution;
pub mod fill_plan;
pub mod first_aid;
pub mod for_vehicles;
pub mod hazard;
pub mod individuals;
pub mod language;
pub mod letters;
pub mod likely_causes;
pub mod measure;
pub mod never_mix;
pub mod numbers;
pub mod phrases;
pub mod possible;
pub mod protection;
pub mod reminder;
pub mod repeats;
pub mod speech;
pub mod sprayer;
pub mod stock;
pub mod text;
pub mod timed_check;
pub mod topping_up;
pub mod uncertainty;
pub mod units;
pub mod vehicle;
pub mod weighing;
