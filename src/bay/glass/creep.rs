//! The picture moves by single points, so that no edge stands on the same ones for years.

use super::super::at_work::Bay;
use super::super::stopwatch::Watch;
use std::time::Duration;

/// So far from where it belongs the picture is moved at the most, each way, in points.
pub const MOST_CREEP: i32 = 2;
/// Places on a line.
const LINE: u32 = 2 * MOST_CREEP as u32 + 1;
/// How often it moves.
const EVERY: Duration = Duration::from_secs(3 * 60);
/// Never within a press, nor just before one: so long nobody did anything.
const LEFT_ALONE: Duration = Duration::from_secs(10);

/// Where the picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Points to the right of where it belongs; negative to the left.
    pub x: i32,
    /// Points below where it belongs; negative above.
    pub y: i32,
}

/// Where the picture is, and since when.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Creep {
    step: u32,
    since: Duration,
}

impl Creep {
    pub(super) fn new(now: Duration) -> Self {
        Self {
            // In the middle.
            step: LINE * LINE / 2,
            since: now,
        }
    }
}

/// The place after so many steps: line by line, to and fro, down and up again; never more than a point
/// at once.
fn place(step: u32) -> Place {
    let last = LINE * LINE - 1;
    let there = step % (2 * last);
    let at = if there > last {
        2 * last - there
    } else {
        there
    };
    let (row, column) = (at / LINE, at % LINE);
    let column = match row % 2 {
        0 => column,
        _ => LINE - 1 - column,
    };
    Place {
        x: column as i32 - MOST_CREEP,
        y: row as i32 - MOST_CREEP,
    }
}

impl Bay {
    /// Where the picture is: a few points from where it belongs.
    pub fn picture_at(&self) -> Place {
        place(self.glass.creep.step)
    }

    /// Moves the picture by a point, where that is due and nobody is in the middle of something.
    pub(super) fn creep(&mut self) {
        let now = self.now.monotonic;
        let creep = &self.glass.creep;
        let is_due = now.saturating_sub(creep.since) >= EVERY;
        let alone = now.saturating_sub(self.last_input) >= LEFT_ALONE;
        if is_due && alone && self.watch() == Watch::Still && self.glass.wiping.is_none() {
            self.glass.creep = Creep {
                step: creep.step.wrapping_add(1),
                since: now,
            };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn it_comes_to_every_place_by_single_points_and_begins_where_it_belongs() {
        let begins = Creep::new(Duration::ZERO).step;
        assert_eq!(place(begins), Place { x: 0, y: 0 });
        let mut seen = BTreeSet::new();
        for step in begins..begins + 200 {
            let (now, next) = (place(step), place(step + 1));
            seen.insert((now.x, now.y));
            assert!(now.x.abs() <= MOST_CREEP && now.y.abs() <= MOST_CREEP);
            assert_eq!((now.x - next.x).abs() + (now.y - next.y).abs(), 1);
        }
        assert_eq!(seen.len() as u32, LINE * LINE);
    }
}
