//! The player and its output process: on devices that this test makes, on programs that only play
//! one, and on nothing at all. Apart from `sound.rs`, because time is measured here.

mod common;

#[path = "sound/device.rs"]
mod device;
#[path = "sound/failing.rs"]
mod failing;
#[path = "sound/latency.rs"]
mod latency;
#[path = "sound/output.rs"]
mod output;
#[path = "sound/resampled.rs"]
mod resampled;
#[path = "sound/resting.rs"]
mod resting;
#[path = "sound/rig.rs"]
mod rig;
