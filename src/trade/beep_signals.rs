//! What a bay that beeps hears where there is nothing to count.
//!
//! Each signal has a shape of its own: up, down, one note twice, to and fro, low and falling. None
//! begins like a volume and goes on, so that nobody waits for a count.

use super::announcement::Signal;
use super::beep_code::{Pulse, RISE};

/// Two notes up, the second one long.
const DONE: [Pulse; 2] = [Pulse::new(780, 100, 0), Pulse::new(1050, 260, 0)];
/// The rise backwards.
const UNDONE: [Pulse; 3] = [
    Pulse::new(2250, 110, 0),
    Pulse::new(1350, 110, 0),
    Pulse::new(600, 160, 0),
];
/// One note twice, as one knocks.
const DUE: [Pulse; 2] = [Pulse::new(1050, 130, 130), Pulse::new(1050, 130, 0)];
/// To and fro, three times.
const OVERDUE: [Pulse; 6] = [
    Pulse::new(1050, 120, 0),
    Pulse::new(1680, 120, 0),
    Pulse::new(1050, 120, 0),
    Pulse::new(1680, 120, 0),
    Pulse::new(1050, 120, 0),
    Pulse::new(1680, 120, 0),
];
/// Low and falling, twice: the tone of a refused press, and again.
const NO_FIGURE: [Pulse; 4] = [
    Pulse::new(780, 140, 50),
    Pulse::new(640, 240, 200),
    Pulse::new(780, 140, 50),
    Pulse::new(640, 240, 0),
];

/// The pulses of a signal; none takes a second and a quarter.
pub const fn pulses(signal: Signal) -> &'static [Pulse] {
    match signal {
        Signal::Look => &RISE,
        Signal::Done => &DONE,
        Signal::Undone => &UNDONE,
        Signal::Due => &DUE,
        Signal::Overdue => &OVERDUE,
        Signal::NoFigure => &NO_FIGURE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Signal; 6] = [
        Signal::Look,
        Signal::Done,
        Signal::Undone,
        Signal::Due,
        Signal::Overdue,
        Signal::NoFigure,
    ];

    /// What is kept in mind of a tune: how each note lies to the one before it.
    fn shape(signal: Signal) -> Vec<std::cmp::Ordering> {
        let notes = pulses(signal);
        notes.windows(2).map(|p| p[0].hz.cmp(&p[1].hz)).collect()
    }

    #[test]
    fn no_two_have_the_same_shape_and_all_are_short() {
        for (i, a) in ALL.iter().enumerate() {
            for b in &ALL[i + 1..] {
                assert_ne!(shape(*a), shape(*b), "{a:?} and {b:?}");
            }
            let ms: u32 = pulses(*a).iter().map(|p| p.length_ms + p.gap_ms).sum();
            assert!(ms < 1250, "{a:?} takes {ms} ms");
        }
    }

    #[test]
    fn only_look_begins_as_a_volume_does() {
        for signal in ALL {
            assert_eq!(pulses(signal).starts_with(&RISE), signal == Signal::Look);
        }
    }
}
