//! The screens: the only module that touches generated Slint code.
//!
//! Each screen has one file here with a `show` (what the bay is, as what is shown) and a `connect`
//! (what is pressed, as actions). State lives in the bay; a screen that is built anew loses nothing.

mod calibrate;
mod care;
mod check;
mod choice;
mod day;
mod editing;
mod emergency;
mod fill;
pub mod glass;
mod hazard;
mod help;
mod insight;
mod keys;
mod lead;
mod menu;
mod mixing;
mod models;
pub mod offscreen;
mod panel;
mod reporting;
mod rest;
mod sound;
mod stock;
mod tongue;
mod updating;
pub mod wall;
mod ways;
mod words;

/// The code that the Slint compiler makes of `ui/`.
pub use fillcall_ui as generated;
