//! When the wall has to be asked again by a tick: the one place that says so.
//!
//! A wall that nobody uses is left alone until something happens by time. What comes from outside, as
//! the loss of the loudspeaker, comes by its event and does not wait for a tick.

use super::action::Page;
use super::at_work::Bay;
use super::stopwatch::Watch;
use chrono::Timelike;
use std::time::Duration;

/// While the stopwatch counts.
const TIMED: Duration = Duration::from_millis(50);
/// While something waits that is over in less than a second.
const SHORTLY: Duration = Duration::from_millis(100);
/// While something is found or done outside that does not tell by itself: loudspeakers, sticks, looks at
/// the panel.
pub(super) const FOLLOWED: Duration = Duration::from_millis(400);
/// On other pages: seconds are counted there, and it gives way to home.
const IN_USE: Duration = Duration::from_secs(1);
/// At home with nothing in hand, and where a page stays. Whatever is looked at now and then is looked at so often.
const AT_REST: Duration = Duration::from_secs(30);
/// Behind a moment, so that it is over.
const BEHIND: Duration = Duration::from_millis(1);

impl Bay {
    /// How soon the screen should be asked again by a tick: by the next moment at which something changes
    /// by time, and half a minute at most. Asked anew after each action.
    pub fn next_tick(&self) -> Duration {
        if self.watch() != Watch::Still {
            return TIMED;
        }
        if self.guards_a_notice() || self.waits_for_the_records() {
            return SHORTLY;
        }
        let usual = if self.page == Page::Loudspeakers || self.taking().is_busy() {
            FOLLOWED
        } else if self.is_at_rest() {
            AT_REST.min(self.until_the_minute())
        } else {
            IN_USE
        };
        let usual = usual.min(self.until_a_look());
        let notice = self.until_a_notice_changes();
        notice.map_or(usual, |notice| usual.min(notice))
    }

    /// True on a page that stays however long nobody comes, where nothing is left to be done or closed.
    fn is_at_rest(&self) -> bool {
        matches!(self.page, Page::Fill | Page::Calibrate | Page::FirstRun)
            && self.unsettled.is_none()
            && self.void_allowed.is_none()
            && !self.lead.is_open()
            && !self.is_to_be_reopened()
    }

    /// Until the clock shows another minute: quiet hours and days begin with one.
    fn until_the_minute(&self) -> Duration {
        let time = self.now.wall.time();
        let into = Duration::new(u64::from(time.second()), time.nanosecond() % 1_000_000_000);
        Duration::from_secs(60).saturating_sub(into) + BEHIND
    }

    /// Until a notice goes, or the seconds change that it can be taken back in.
    fn until_a_notice_changes(&self) -> Option<Duration> {
        let left = |until: Duration| until.saturating_sub(self.now.monotonic);
        let goes = self.notices.iter().map(|notice| left(notice.until)).min()?;
        let counts = self.notice().filter(|notice| notice.undo.is_some());
        let second = counts.map(|notice| match left(notice.until).subsec_nanos() {
            0 => Duration::from_secs(1),
            part => Duration::from_nanos(part.into()),
        });
        Some(second.map_or(goes, |second| second.min(goes)) + BEHIND)
    }
}
