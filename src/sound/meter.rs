//! How long it takes from asking for a sound to its first sample.

use super::protocol::Kind;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// So many are kept, the last ones.
const KEPT: usize = 64;

/// A sound that began.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sounded {
    /// What it was.
    pub kind: Kind,
    /// When it was asked for.
    pub asked: Instant,
    /// When its first sample was handed to the device. Of an order to be silent, when speech ended.
    /// What the device itself holds back comes on top. Never too early, and too late by what one
    /// line takes from one process to the other.
    pub first_sample: Instant,
}

impl Sounded {
    /// From asking to the first sample.
    pub fn latency(&self) -> Duration {
        self.first_sample.saturating_duration_since(self.asked)
    }
}

/// Reads what a player measures while it plays.
#[derive(Debug, Clone, Default)]
pub struct Meter(Arc<Mutex<Kept>>);

#[derive(Debug, Default)]
struct Kept {
    last_number: u32,
    asked: VecDeque<(u32, Kind, Instant)>,
    sounded: VecDeque<Sounded>,
}

impl Meter {
    /// The sounds that began lately, 64 at most, in their order.
    pub fn sounded(&self) -> Vec<Sounded> {
        self.locked().sounded.iter().copied().collect()
    }

    /// A sound is asked for. Returns its number.
    pub(super) fn asked(&self, kind: Kind, at: Instant) -> u32 {
        let mut kept = self.locked();
        let number = kept.last_number.wrapping_add(1);
        kept.last_number = number;
        // What never began, because something else did, falls out at the other end.
        push(&mut kept.asked, (number, kind, at));
        number
    }

    /// The sound of that number began.
    pub(super) fn began(&self, number: u32, first_sample: Instant) {
        let mut kept = self.locked();
        let Some(place) = kept.asked.iter().position(|(n, ..)| *n == number) else {
            return;
        };
        if let Some((_, kind, asked)) = kept.asked.remove(place) {
            let sounded = Sounded {
                kind,
                asked,
                first_sample,
            };
            push(&mut kept.sounded, sounded);
        }
    }

    fn locked(&self) -> MutexGuard<'_, Kept> {
        // A panic elsewhere leaves whole values behind.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn push<T>(row: &mut VecDeque<T>, value: T) {
    if row.len() == KEPT {
        row.pop_front();
    }
    row.push_back(value);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_sound_is_measured_from_its_own_asking() {
        let meter = Meter::default();
        let begun = Instant::now();
        let ms = Duration::from_millis;
        let tone = meter.asked(Kind::Tone, begun);
        let speech = meter.asked(Kind::Speech, begun + ms(5));
        meter.began(speech, begun + ms(25));
        meter.began(tone, begun + ms(30));
        meter.began(tone, begun + ms(40));
        let latencies: Vec<Duration> = meter.sounded().iter().map(Sounded::latency).collect();
        assert_eq!(latencies, [ms(20), ms(30)]);
    }

    #[test]
    fn only_the_last_are_kept() {
        let meter = Meter::default();
        let begun = Instant::now();
        for _ in 0..3 * KEPT {
            meter.asked(Kind::Click, begun);
            let number = meter.asked(Kind::Tone, begun);
            meter.began(number, begun);
        }
        assert_eq!(meter.sounded().len(), KEPT);
        assert!(meter.locked().asked.len() <= KEPT);
    }
}
