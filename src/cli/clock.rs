//! The machine's own clocks.

use chrono::{DateTime, FixedOffset};
use fillcall::bay::ports::Clock;
use std::time::{Duration, Instant};

/// The system's monotonic clock and its local date.
#[derive(Debug, Clone, Copy)]
pub struct SystemClock {
    start: Instant,
}

impl SystemClock {
    /// Starts counting now.
    pub fn new() -> Self {
        Self {
            start: Instant::now(),
        }
    }
}

impl Default for SystemClock {
    fn default() -> Self {
        Self::new()
    }
}

impl Clock for SystemClock {
    fn monotonic(&self) -> Duration {
        self.start.elapsed()
    }
    fn wall(&self) -> DateTime<FixedOffset> {
        fillcall::store::clock::now()
    }
}
