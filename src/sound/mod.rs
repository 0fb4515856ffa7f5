//! What the bay says and beeps, made audible.
//!
//! An announcement becomes samples ([`render`]), a tone too ([`tones`]), and [`Player`] plays
//! them. The loudspeaker's own software can hang or abort the whole program when the device goes
//! away, so it lives in a child process of the same program ([`output`]); the player only feeds
//! it, watches it and starts it again.

pub mod cards;
mod finding;
pub mod loudspeakers;
pub mod meter;
pub mod mixing;
pub mod output;
pub mod patience;
pub mod player;
pub mod protocol;
pub mod render;
pub mod speaker;
mod speaking;
pub mod standins;
mod supervisor;
pub mod tones;
pub mod voice;
pub mod voices;
mod vorbis;
pub mod wav;

pub use player::Player;
pub use standins::{Played, Recorder, Silent};

/// Samples a second of everything that is rendered: mono, 16 bits.
pub const RATE: u32 = 22_050;

/// The number of samples in so many milliseconds.
pub const fn samples_in_ms(ms: u32) -> usize {
    (RATE as usize * ms as usize) / 1000
}
