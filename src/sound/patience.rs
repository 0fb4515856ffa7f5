//! How long to wait for a sign of life, on a machine that may be busy.
//!
//! A deadline alone gives up what is well, once the one who waits was himself held up: he wakes
//! late, and finds the deadline over before the other could do anything. So it is counted how often
//! he looked in vain. Whoever is held up looks less often, and waits longer by as much.

use std::time::{Duration, Instant};

/// Between two looks.
pub const LOOK_EVERY: Duration = Duration::from_millis(100);

/// Counts looks in vain.
#[derive(Debug, Clone)]
pub struct Patience {
    next: Instant,
    looks: u32,
}

impl Patience {
    /// Begins to wait.
    pub fn new(now: Instant) -> Self {
        Self {
            next: now + LOOK_EVERY,
            looks: 0,
        }
    }

    /// When to look next.
    pub const fn next_look(&self) -> Instant {
        self.next
    }

    /// Looks; before [`Patience::next_look`] it does not count. However late it is, it is one look.
    pub fn look(&mut self, now: Instant) {
        if now >= self.next {
            self.looks += 1;
            self.next = now + LOOK_EVERY;
        }
    }

    /// True once it was looked for this long.
    pub fn is_over(&self, most: Duration) -> bool {
        LOOK_EVERY * self.looks >= most
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_looks_on_time_waits_as_long_as_was_said() {
        let begun = Instant::now();
        let mut patience = Patience::new(begun);
        let mut now = begun;
        while !patience.is_over(Duration::from_secs(1)) {
            now += Duration::from_millis(10);
            patience.look(now);
        }
        assert_eq!(now - begun, Duration::from_secs(1));
    }

    #[test]
    fn who_was_held_up_looks_again_before_giving_up() {
        let begun = Instant::now();
        let mut patience = Patience::new(begun);
        patience.look(begun + Duration::from_secs(60));
        assert!(!patience.is_over(Duration::from_secs(1)));
        assert_eq!(
            patience.next_look(),
            begun + Duration::from_secs(60) + LOOK_EVERY
        );
    }
}
