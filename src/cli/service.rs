//! What the system's service manager is told: that the wall is at work, and where the manager watches
//! it, that it still is, as long as its event loop turns. Of a wall that is stuck it hears nothing, and
//! starts it anew.

use fillcall::screens::glass::Glass;
use sd_notify::NotifyState;
use slint::{Timer, TimerMode};
use std::time::Duration;

/// The manager is told so many times within the time after which it gives the wall up.
const TIMES: u32 = 4;
/// And so often at least, however patient it is: it learns soon that the loop turns again.
const SELDOM: Duration = Duration::from_secs(5);
/// A window is looked at so often until it is drawn.
const LOOK_AGAIN: Duration = Duration::from_millis(20);

/// Tells the manager from now on, by the event loop alone. Dropped, it tells nothing more.
pub struct Manager {
    _still_at_work: Option<Timer>,
}

impl Manager {
    /// Tells that the wall is ready once its first frame is on the glass. `None` where no manager started
    /// this program.
    pub fn tell(glass: &Glass) -> Option<Self> {
        std::env::var_os("NOTIFY_SOCKET")?;
        let glass = glass.clone();
        // The first turn of the loop draws behind its timers. What is asked for here is done in the next.
        Timer::single_shot(Duration::ZERO, move || ready_once_drawn(glass));
        let still_at_work = sd_notify::watchdog_enabled().map(|gives_up| {
            let timer = Timer::default();
            timer.start(TimerMode::Repeated, interval(gives_up), || {
                send(&[NotifyState::Watchdog]);
            });
            timer
        });
        Some(Self {
            _still_at_work: still_at_work,
        })
    }
}

/// Says that the wall is ready. A display server asks for the first frame when it likes.
fn ready_once_drawn(glass: Glass) {
    let next = match glass.waits_to_be_drawn() {
        true => LOOK_AGAIN,
        false => Duration::ZERO,
    };
    Timer::single_shot(next, move || match glass.waits_to_be_drawn() {
        true => ready_once_drawn(glass),
        false => send(&[NotifyState::Ready]),
    });
}

/// A manager that cannot be reached will start the wall anew: that is all it can do.
fn send(states: &[NotifyState<'_>]) {
    if let Err(error) = sd_notify::notify(states) {
        eprintln!("fillcall: the service manager cannot be told: {error}");
    }
}

/// How often the manager is told, by the time after which it gives the wall up.
fn interval(gives_up: Duration) -> Duration {
    (gives_up / TIMES).min(SELDOM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_manager_hears_four_times_in_its_patience_and_no_more_often() {
        let ms = Duration::from_millis;
        assert_eq!(interval(ms(2000)), ms(500));
        assert_eq!(interval(ms(15_000)), ms(3750));
        assert_eq!(interval(ms(20_000)), SELDOM);
        assert_eq!(interval(ms(300_000)), SELDOM);
    }
}
