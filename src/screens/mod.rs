//! The screens: the only module that touches generated Slint code.
//!
//! Each screen has one file here with a `show` (what the bay is, as what is shown) and a `connect`
//! (what is pressed, as actions). State lives in the bay; a screen that is built anew loses nothing.

mod calibrate;
mod care;
mod check;
mod choice;
mod fill;
pub mod glass;
mod help;
mod insight;
mod keys;
mod models;
pub mod offscreen;
mod sound;
mod tongue;
pub mod wall;
mod ways;
mod words;

/// The code that the Slint compiler makes of `ui/`.
#[allow(missing_docs, unsafe_code, clippy::all)]
pub mod generated {
    slint::include_modules!();
}
