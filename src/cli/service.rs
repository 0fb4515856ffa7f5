//! What the system's service manager is told: that the wall is at work, and as long as its event loop
//! turns, that it still is. Of a wall that is stuck the manager hears nothing, and starts it anew.

use sd_notify::NotifyState;
use slint::{Timer, TimerMode};
use std::cell::Cell;
use std::time::Duration;

/// How often the manager is told where it does not say how often it wants to hear.
const USUAL: Duration = Duration::from_secs(1);
/// The manager is told so many times within the time after which it gives the wall up.
const TIMES: u32 = 4;

/// Tells the manager from now on, by the event loop alone. Dropped, it tells nothing more.
pub struct Manager {
    _timer: Timer,
}

impl Manager {
    /// `None` where no manager started this program.
    pub fn tell() -> Option<Self> {
        std::env::var_os("NOTIFY_SOCKET")?;
        let every = interval(sd_notify::watchdog_enabled());
        let turns = Cell::new(0_u8);
        let timer = Timer::default();
        timer.start(TimerMode::Repeated, every, move || {
            let so_far = turns.get();
            turns.set(so_far.saturating_add(1));
            if let Some(states) = states(so_far) {
                // A manager that cannot be reached will start the wall anew: that is all it can do.
                if let Err(error) = sd_notify::notify(states) {
                    eprintln!("fillcall: the service manager cannot be told: {error}");
                }
            }
        });
        Some(Self { _timer: timer })
    }
}

/// How often the manager is told, by the time after which it gives the wall up.
fn interval(gives_up: Option<Duration>) -> Duration {
    gives_up.map_or(USUAL, |time| (time / TIMES).min(USUAL))
}

/// What is told when the event loop has come round so many times. The first frame is drawn after the
/// first turn, so the wall is ready in the second.
fn states(turns: u8) -> Option<&'static [NotifyState<'static>]> {
    match turns {
        0 => None,
        1 => Some(&[NotifyState::Ready, NotifyState::Watchdog]),
        _ => Some(&[NotifyState::Watchdog]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_manager_hears_four_times_in_its_patience_and_at_least_every_second() {
        assert_eq!(interval(None), USUAL);
        assert_eq!(interval(Some(Duration::from_secs(15))), USUAL);
        let two = Some(Duration::from_secs(2));
        assert_eq!(interval(two), Duration::from_millis(500));
    }

    #[test]
    fn the_wall_is_ready_once_and_not_before_its_first_frame() {
        assert!(states(0).is_none());
        assert!(matches!(
            states(1),
            Some([NotifyState::Ready, NotifyState::Watchdog])
        ));
        for turns in 2..=u8::MAX {
            assert!(matches!(states(turns), Some([NotifyState::Watchdog])));
        }
    }
}
