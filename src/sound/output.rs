//! The output process: `fillcall sound-output`, started by the player and by nobody else.
//!
//! A device that goes away can hang or abort the program that plays to it. This process may: its
//! player sees it and starts another. It ends when its standard input does, so it never outlives
//! the screen, and it leaves without closing a device that may no longer answer.

use super::RATE;
use super::mixing::{Desk, Order};
use super::protocol::{Frame, Report};
use rodio::buffer::SamplesBuffer;
use rodio::cpal::ErrorKind;
use rodio::source::UniformSourceIterator;
use rodio::{DeviceSinkBuilder, MixerDeviceSink};
use std::io;
use std::num::NonZero;
use std::process::ExitCode;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, OnceLock};
use std::thread;
use std::time::Duration;

/// The hidden subcommand under which the main program runs [`run`].
pub const SUBCOMMAND: &str = "sound-output";

/// Between two reports of a device that works.
pub(super) const REPORT_EVERY: Duration = Duration::from_secs(1);
/// Until the first one.
const FIRST_LOOK: Duration = Duration::from_millis(20);
const NO_DEVICE: u8 = 3;
const ONE: NonZero<u16> = NonZero::<u16>::MIN;
const CLIP_RATE: NonZero<u32> = match NonZero::new(RATE) {
    Some(rate) => rate,
    None => panic!("a rate is above zero"),
};

/// Plays what comes on standard input to the default device, and reports on standard output.
///
/// Ends the process at the end of standard input, when nobody reads its reports any more, and,
/// with status 3, when there is no device or it goes away.
pub fn run() -> ExitCode {
    let (orders, desk_orders) = mpsc::channel();
    let rate = Arc::new(OnceLock::new());
    // Reading begins before the device is opened: opening may hang, and the end of the line must
    // be seen even then.
    let reader = thread::Builder::new().name("sound-orders".into()).spawn({
        let rate = Arc::clone(&rate);
        move || {
            obey(&orders, &rate);
            std::process::exit(0);
        }
    });
    if let Err(e) = reader {
        return gone(&format!("no thread to read orders: {e}"));
    }
    let taken = Arc::new(AtomicU64::new(0));
    match open(desk_orders, Arc::clone(&taken), &rate) {
        Ok(sink) => {
            report_while_it_plays(&taken);
            // Closing a device that stalls would hang.
            std::mem::forget(sink);
            ExitCode::SUCCESS
        }
        Err(reason) => gone(&reason),
    }
}

fn gone(reason: &str) -> ExitCode {
    // Nobody may be reading any more; then there is nobody to tell.
    let _ = Report::Gone(reason.to_owned()).write(&mut io::stdout().lock());
    ExitCode::from(NO_DEVICE)
}

/// Opens the default device and puts the desk on it.
fn open(
    orders: Receiver<Order>,
    taken: Arc<AtomicU64>,
    rate: &OnceLock<NonZero<u32>>,
) -> Result<MixerDeviceSink, String> {
    let mut sink = DeviceSinkBuilder::from_default_device()
        .and_then(|builder| {
            builder
                .with_error_callback(|error| match error.kind() {
                    // A moment without samples, and no hurry granted: it goes on playing.
                    ErrorKind::Xrun | ErrorKind::RealtimeDenied | ErrorKind::DeviceChanged => {}
                    _ => {
                        gone(&format!("the device went away: {error}"));
                        std::process::exit(i32::from(NO_DEVICE));
                    }
                })
                .open_stream()
        })
        .map_err(|error| {
            let mut reason = error.to_string();
            let mut cause = std::error::Error::source(&error);
            while let Some(deeper) = cause {
                reason = format!("{reason}: {deeper}");
                cause = deeper.source();
            }
            reason
        })?;
    sink.log_on_drop(false);
    let (channels, device_rate) = (sink.config().channel_count(), sink.config().sample_rate());
    sink.mixer()
        .add(Desk::new(channels, device_rate, orders, taken));
    // The first and only setting: nobody else has this cell yet.
    let _ = rate.set(device_rate);
    Ok(sink)
}

/// Reports for as long as anybody reads. A device that takes no samples gets no report: that is
/// how the player sees that it stalled.
fn report_while_it_plays(taken: &AtomicU64) {
    let mut before = 0;
    loop {
        thread::sleep(if before == 0 {
            FIRST_LOOK
        } else {
            REPORT_EVERY
        });
        let now = taken.load(Ordering::Relaxed);
        if now == before {
            continue;
        }
        before = now;
        if Report::Working.write(&mut io::stdout().lock()).is_err() {
            return;
        }
    }
}

/// Hands frames on to the desk until the line ends.
fn obey(orders: &Sender<Order>, rate: &OnceLock<NonZero<u32>>) {
    let mut line = io::stdin().lock();
    while let Ok(Some(frame)) = Frame::read(&mut line) {
        // Before the device is open there is nothing to play to, and later it would be stale.
        let Some(rate) = rate.get() else { continue };
        let order = Order {
            kind: frame.kind,
            samples: at_rate(frame.samples, *rate),
        };
        if orders.send(order).is_err() {
            return;
        }
    }
}

/// Brings clips to the device's own rate, all at once.
fn at_rate(samples: Vec<i16>, rate: NonZero<u32>) -> Vec<f32> {
    if samples.is_empty() {
        return Vec::new();
    }
    let samples: Vec<f32> = samples.iter().map(|s| f32::from(*s) / 32_768.0).collect();
    let buffer = SamplesBuffer::new(ONE, CLIP_RATE, samples);
    UniformSourceIterator::new(buffer, ONE, rate).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_of_rate_keeps_length_and_pitch() {
        let tone: Vec<i16> = (0..RATE)
            .map(|i| {
                let turn = std::f32::consts::TAU * 1000.0 * i as f32 / RATE as f32;
                (turn.sin() * 16_000.0) as i16
            })
            .collect();
        for rate in [8_000, 22_050, 44_100, 48_000, 96_000] {
            let out = at_rate(tone.clone(), NonZero::new(rate).expect("a rate"));
            let off = out.len().abs_diff(rate as usize);
            assert!(off <= rate as usize / 1000, "{rate}: {}", out.len());
            let crossings = out.windows(2).filter(|w| w[0] < 0.0 && w[1] >= 0.0).count();
            assert!(crossings.abs_diff(1000) <= 2, "{rate}: {crossings}");
        }
        assert!(at_rate(Vec::new(), CLIP_RATE).is_empty());
    }
}
