//! How wrong PINs slow down who tries them.

use std::time::Duration;

/// So many wrong ones are mistakes of a gloved hand.
const FREE: u32 = 2;
/// The wait after the next one; it doubles with each more.
const FIRST: Duration = Duration::from_secs(5);
/// No wait is longer: the shift lead must get in too.
const LONGEST: Duration = Duration::from_secs(300);

/// How long no PIN is looked at after so many wrong ones in a row: nothing after the first two, then
/// 5 s, doubling to 5 minutes. The ten thousand PINs of four digits take 35 days then.
pub(super) fn wait_after(wrong: u32) -> Duration {
    match wrong.checked_sub(FREE + 1) {
        None => Duration::ZERO,
        // 5 s doubled six times is over 5 minutes; more need not be reckoned.
        Some(doubled) => (FIRST * (1 << doubled.min(6))).min(LONGEST),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn from_the_third_on_it_doubles_to_five_minutes() {
        let seconds = |wrong| wait_after(wrong).as_secs();
        let waits: Vec<u64> = (0..12).map(seconds).collect();
        assert_eq!(waits, [0, 0, 0, 5, 10, 20, 40, 80, 160, 300, 300, 300]);
        assert_eq!(seconds(u32::MAX), 300);
        let all: Duration = (0..10_000).map(wait_after).sum();
        assert!(all > Duration::from_secs(34 * 86_400), "{all:?}");
    }
}
