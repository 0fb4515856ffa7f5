//! The stopwatch: a countdown, then the time, by the monotonic clock that is passed in.

use std::time::Duration;

/// Seconds counted down before the stopwatch starts.
pub const COUNTDOWN: Duration = Duration::from_secs(5);
/// The last seconds of a chosen time are beeped, so that the hand can let go with the tone.
const WARNED: u32 = 3;

/// The stopwatch at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watch {
    /// Not running.
    Still,
    /// Whole seconds left of the countdown, 5 to 1.
    Countdown(u32),
    /// Running for so long.
    Running(Duration),
}

/// What the watch asks to be heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WatchSound {
    /// A second of the countdown, or one of the last of a chosen time: so many are left.
    Second(u32),
    /// The start.
    Go,
    /// The chosen time is over.
    TimeUp,
}

/// What stopping the watch came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// It was not running.
    WasStill,
    /// Stopped in the countdown: nothing was timed.
    CalledOff,
    /// Stopped before the chosen time was over: what was drawn by then is lost.
    BrokenOff,
    /// Timed.
    Timed(Duration),
}

/// What was heard last, in the order of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Heard {
    /// Seconds of the countdown gone by, from 0.
    Countdown(u32),
    Go,
    /// Seconds of the last ones gone by, from 0.
    Last(u32),
    TimeUp,
}

/// Counts down, then counts up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stopwatch {
    /// When it starts or started to count, on the monotonic clock.
    starts: Option<Duration>,
    /// Stops by itself after so long.
    length: Option<Duration>,
    heard: Option<Heard>,
}

impl Stopwatch {
    /// Starts the countdown; with `length` the watch calls the end by itself.
    pub fn start(&mut self, now: Duration, length: Option<Duration>) {
        *self = Self {
            starts: Some(now + COUNTDOWN),
            length,
            heard: None,
        };
    }

    /// The watch at `now`.
    pub fn at(&self, now: Duration) -> Watch {
        match self.starts {
            None => Watch::Still,
            Some(starts) if now < starts => {
                Watch::Countdown((starts - now).as_secs_f64().ceil() as u32)
            }
            Some(starts) => Watch::Running(now - starts),
        }
    }

    /// True once a chosen time is over.
    pub fn is_over(&self, now: Duration) -> bool {
        matches!((self.at(now), self.length), (Watch::Running(ran), Some(length)) if ran >= length)
    }

    /// Stops it at `at`.
    pub fn stop(&mut self, at: Duration) -> Stopped {
        let over = self.is_over(at);
        let Some(starts) = self.starts.take() else {
            return Stopped::WasStill;
        };
        match self.length {
            _ if at <= starts => Stopped::CalledOff,
            Some(length) if over => Stopped::Timed(length),
            Some(_) => Stopped::BrokenOff,
            None => Stopped::Timed(at - starts),
        }
    }

    /// What is to be heard at `now`, each once. What was missed is not made up for.
    pub fn sound(&mut self, now: Duration) -> Option<WatchSound> {
        let heard = match self.at(now) {
            Watch::Still => return None,
            Watch::Countdown(left) => Heard::Countdown(COUNTDOWN.as_secs() as u32 - left),
            Watch::Running(ran) => match self.length.map(|length| length.saturating_sub(ran)) {
                Some(Duration::ZERO) => Heard::TimeUp,
                Some(left) if left <= Duration::from_secs(u64::from(WARNED)) => {
                    Heard::Last(WARNED - left.as_secs_f64().ceil() as u32)
                }
                _ => Heard::Go,
            },
        };
        if self.heard >= Some(heard) {
            return None;
        }
        self.heard = Some(heard);
        Some(match heard {
            Heard::Countdown(gone) => WatchSound::Second(COUNTDOWN.as_secs() as u32 - gone),
            Heard::Last(gone) => WatchSound::Second(WARNED - gone),
            Heard::Go => WatchSound::Go,
            Heard::TimeUp => WatchSound::TimeUp,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ms(ms: u64) -> Duration {
        Duration::from_millis(ms)
    }

    /// What is heard, with the time at which it was, every 50 ms.
    fn heard(watch: &mut Stopwatch, until: u64) -> Vec<(u64, WatchSound)> {
        (0..=until / 50)
            .filter_map(|i| Some((i * 50, watch.sound(ms(i * 50))?)))
            .collect()
    }

    #[test]
    fn five_seconds_then_the_start() {
        use WatchSound::{Go, Second};
        let mut watch = Stopwatch::default();
        watch.start(ms(0), None);
        let expected = [
            (0, Second(5)),
            (1000, Second(4)),
            (2000, Second(3)),
            (3000, Second(2)),
            (4000, Second(1)),
        ];
        assert_eq!(heard(&mut watch, 4999), expected);
        assert_eq!(watch.sound(ms(5000)), Some(Go));
        assert_eq!(watch.sound(ms(60_000)), None);
        assert_eq!(watch.at(ms(7500)), Watch::Running(ms(2500)));
        assert_eq!(watch.stop(ms(8000)), Stopped::Timed(ms(3000)));
        assert_eq!(watch.stop(ms(8000)), Stopped::WasStill);
    }

    #[test]
    fn a_chosen_time_is_called() {
        use WatchSound::{Go, Second, TimeUp};
        let mut watch = Stopwatch::default();
        watch.start(ms(0), Some(ms(10_000)));
        let sounds = heard(&mut watch, 16_000);
        let expected = [
            (5000, Go),
            (12_000, Second(3)),
            (13_000, Second(2)),
            (14_000, Second(1)),
            (15_000, TimeUp),
        ];
        assert_eq!(sounds[5..], expected);
        assert!(watch.is_over(ms(15_000)) && !watch.is_over(ms(14_999)));
        // A tick that comes late does not make it longer.
        assert_eq!(watch.stop(ms(15_049)), Stopped::Timed(ms(10_000)));
    }

    #[test]
    fn stopped_too_early() {
        let mut watch = Stopwatch::default();
        watch.start(ms(0), Some(ms(10_000)));
        assert_eq!(watch.stop(ms(3000)), Stopped::CalledOff);
        watch.start(ms(0), Some(ms(10_000)));
        assert_eq!(watch.stop(ms(9000)), Stopped::BrokenOff);
        assert_eq!(watch.at(ms(9000)), Watch::Still);
    }
}
