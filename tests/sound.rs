//! Speech through the real clips, and the beep code read back.

#[path = "sound/beeps.rs"]
mod beeps;
#[path = "sound/clip_set.rs"]
mod clip_set;
#[path = "sound/detector.rs"]
mod detector;
#[path = "sound/loudness.rs"]
mod loudness;
#[path = "sound/noise.rs"]
mod noise;
#[path = "sound/spectrum.rs"]
mod spectrum;
