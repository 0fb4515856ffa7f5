//! A volume as counted beeps, for a bay that beeps instead of speaking.
//!
//! A rise says "a volume comes" and goes through the three pitches that will be counted. Then the
//! places of the volume, largest first: hundreds of ml low and long, tens higher and shorter,
//! single ml highest and shortest. A place that is zero is left out: pitch and length say which
//! place is heard, and the rise has just given all three pitches to compare with. Single ml only
//! come where the measure has lines between the tens. Pulses come in groups of five with a longer
//! gap after each, so that twenty are counted as four groups. A fall of two notes that count for
//! nothing says "that was all"; without it something was cut off.
//!
//! The pitches are more than an octave and then a sixth apart, each pulse is about half as long as
//! those of the next larger place, and no place comes faster than six pulses a second. All of it lies
//! between 500 and 3000 Hz, with the harmonics that `sound::tones` adds.

use super::units::Volume;

/// One tone and the silence behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pulse {
    /// Pitch in Hz.
    pub hz: u32,
    /// How long it sounds, in ms.
    pub length_ms: u32,
    /// Silence behind it, in ms.
    pub gap_ms: u32,
}

impl Pulse {
    pub(super) const fn new(hz: u32, length_ms: u32, gap_ms: u32) -> Self {
        Self {
            hz,
            length_ms,
            gap_ms,
        }
    }
}

/// The rise before a volume: the pitches of the three places, without gaps between them. Alone it
/// says only: look at the screen.
pub const RISE: [Pulse; 3] = [
    Pulse::new(HUNDREDS.hz, 110, 0),
    Pulse::new(TENS.hz, 110, 0),
    Pulse::new(ONES.hz, 110, 360),
];
/// The fall behind a volume: two notes that are no place's, without a gap between them.
pub const FALL: [Pulse; 2] = [Pulse::new(1050, 100, 0), Pulse::new(780, 200, 0)];

/// How many pulses of one place come before a longer gap.
pub const GROUP: u32 = 5;
/// Silence between two groups of one place, in ms.
const GROUP_GAP_MS: u32 = 300;
/// Silence between two places, in ms.
const PLACE_GAP_MS: u32 = 420;
/// Silence before the fall, in ms.
const FALL_GAP_MS: u32 = 320;

/// The largest volume that is beeped, in ml: thirty low pulses in six groups; none takes longer than
/// 15 seconds. Above that nobody counts, and there is only the rise: look at the screen.
pub const MOST_ML: u32 = 3000;

/// How the pulses of one place sound, and the silence between two of a group.
struct Place {
    hz: u32,
    length_ms: u32,
    gap_ms: u32,
}

const HUNDREDS: Place = Place {
    hz: 600,
    length_ms: 160,
    gap_ms: 105,
};
const TENS: Place = Place {
    hz: 1350,
    length_ms: 75,
    gap_ms: 110,
};
const ONES: Place = Place {
    hz: 2250,
    length_ms: 45,
    gap_ms: 125,
};

impl Place {
    /// So many pulses in groups, `then_ms` of silence behind the last.
    fn pulses(&self, count: u32, then_ms: u32) -> impl Iterator<Item = Pulse> {
        (1..=count).map(move |n| {
            let gap_ms = match n {
                n if n == count => then_ms,
                n if n % GROUP == 0 => GROUP_GAP_MS,
                _ => self.gap_ms,
            };
            Pulse::new(self.hz, self.length_ms, gap_ms)
        })
    }
}

/// How many pulses of each place a volume takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Low and long ones, 100 ml each: 0 to 30.
    pub hundreds: u32,
    /// High and short ones, 10 ml each: 0 to 9.
    pub tens: u32,
    /// The highest and shortest ones, 1 ml each: 0 to 9.
    pub ones: u32,
}

impl Counts {
    /// The counts of a volume that is rounded to the lines of its measure.
    ///
    /// `None` for a volume that the code cannot tell without changing it: one that is not a whole
    /// number of ml, none at all, and anything above [`MOST_ML`]. It is then only shown.
    pub fn of(volume: Volume) -> Option<Self> {
        let ml = volume.as_ml().round();
        // Graduations are sums of floating-point steps; a thousandth of a ml is not on any measure.
        if (volume.as_ml() - ml).abs() > 1e-3 || !(1.0..=f64::from(MOST_ML)).contains(&ml) {
            return None;
        }
        let ml = ml as u32;
        Some(Self {
            hundreds: ml / 100,
            tens: ml / 10 % 10,
            ones: ml % 10,
        })
    }

    /// As one would tell it: "6 low (5 + 1), 9 high (5 + 4)".
    pub fn shown(self) -> String {
        [
            (self.hundreds, "low"),
            (self.tens, "high"),
            (self.ones, "highest"),
        ]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, name)| match count > GROUP {
            true => format!("{count} {name} ({})", groups(count)),
            false => format!("{count} {name}"),
        })
        .collect::<Vec<_>>()
        .join(", ")
    }
}

/// "5 + 4", or "4 × 5" where there are more than two groups.
fn groups(count: u32) -> String {
    let (fives, rest) = (count / GROUP, count % GROUP);
    let full = match fives {
        1 => GROUP.to_string(),
        _ => format!("{fives} × {GROUP}"),
    };
    match rest {
        0 => full,
        _ => format!("{full} + {rest}"),
    }
}

/// The pulses for a volume that is rounded to the lines of its measure, rise and fall included.
///
/// `None` where [`Counts::of`] has none.
pub fn pulses(volume: Volume) -> Option<Vec<Pulse>> {
    let counts = Counts::of(volume)?;
    let mut out = RISE.to_vec();
    for (place, count) in [
        (&HUNDREDS, counts.hundreds),
        (&TENS, counts.tens),
        (&ONES, counts.ones),
    ] {
        out.extend(place.pulses(count, PLACE_GAP_MS));
    }
    if let Some(last) = out.last_mut() {
        last.gap_ms = FALL_GAP_MS;
    }
    out.extend(FALL);
    Some(out)
}

/// The same pulses to be counted in comfort: every silence twice as long, the tones as they are.
pub fn slowly(mut pulses: Vec<Pulse>) -> Vec<Pulse> {
    for pulse in &mut pulses {
        pulse.gap_ms *= 2;
    }
    pulses
}

#[cfg(test)]
mod tests {
    use super::*;

    fn total_ms(pulses: &[Pulse]) -> u32 {
        pulses.iter().map(|p| p.length_ms + p.gap_ms).sum()
    }

    fn of(ml: u32) -> Vec<Pulse> {
        pulses(Volume::ml(f64::from(ml))).expect("a volume to beep")
    }

    /// What is counted, without rise and fall.
    fn counted(pulses: &[Pulse]) -> &[Pulse] {
        assert_eq!(pulses[..RISE.len()], RISE);
        assert_eq!(pulses[pulses.len() - FALL.len()..], FALL);
        &pulses[RISE.len()..pulses.len() - FALL.len()]
    }

    #[test]
    fn every_volume_adds_up() {
        for ml in 1..=MOST_ML {
            let sum: u32 = counted(&of(ml))
                .iter()
                .map(|p| match (p.hz, p.length_ms) {
                    (600, 160) => 100,
                    (1350, 75) => 10,
                    (2250, 45) => 1,
                    other => panic!("nothing counts by {other:?}"),
                })
                .sum();
            assert_eq!(sum, ml);
        }
    }

    #[test]
    fn no_more_than_five_without_a_longer_gap() {
        for ml in 1..=MOST_ML {
            let pulses = of(ml);
            let groups = counted(&pulses).split_inclusive(|p| p.gap_ms >= GROUP_GAP_MS);
            let sizes: Vec<(u32, usize, u32)> = groups
                .map(|g| (g[0].hz, g.len(), g[g.len() - 1].gap_ms))
                .collect();
            for (i, (hz, size, gap)) in sizes.iter().enumerate() {
                assert!(*size <= 5, "{ml} ml: {sizes:?}");
                // Only the last group of a place is not full.
                let last = sizes.get(i + 1).is_none_or(|next| next.0 != *hz);
                assert!(last || (*size == 5 && *gap == GROUP_GAP_MS), "{sizes:?}");
            }
        }
        let two_litres = of(2000);
        assert_eq!(counted(&two_litres).len(), 20);
        let long = |p: &&Pulse| p.gap_ms == GROUP_GAP_MS;
        assert_eq!(two_litres.iter().filter(long).count(), 3, "four groups");
    }

    #[test]
    fn places_come_largest_first_and_zeros_are_left_out() {
        let pitches = |ml: u32| -> Vec<u32> { counted(&of(ml)).iter().map(|p| p.hz).collect() };
        assert_eq!(pitches(213), [600, 600, 1350, 2250, 2250, 2250]);
        assert_eq!(pitches(201), [600, 600, 2250]);
        assert_eq!(pitches(20), [1350, 1350]);
        assert_eq!(pitches(3), [2250, 2250, 2250]);
    }

    #[test]
    fn places_are_a_fifth_apart_and_twice_as_long_and_no_faster_than_six_a_second() {
        for (low, high) in [(HUNDREDS, TENS), (TENS, ONES)] {
            assert!(2 * high.hz >= 3 * low.hz);
            assert!(low.length_ms * 10 >= high.length_ms * 16);
        }
        for place in [HUNDREDS, TENS, ONES] {
            assert!((500..3000).contains(&place.hz));
            assert!(place.length_ms + place.gap_ms >= 1000 / 6);
            // A gap that groups is heard as one.
            assert!(GROUP_GAP_MS * 10 >= place.gap_ms * 23);
            assert!(FALL.iter().all(|p| p.hz.abs_diff(place.hz) > 100));
        }
    }

    #[test]
    fn a_dose_is_heard_within_six_seconds() {
        for ml in (10..=990).step_by(10) {
            assert!(total_ms(&of(ml)) <= 6000, "{ml} ml: {}", total_ms(&of(ml)));
        }
        assert_eq!(total_ms(&of(590)), 4695);
        let longest = (1..=MOST_ML).map(|ml| total_ms(&of(ml))).max();
        assert!(longest <= Some(15_000), "{longest:?} ms");
    }

    #[test]
    fn what_it_cannot_tell_it_does_not_change() {
        for ml in [0.0, -10.0, 0.4, 2.5, 3001.0, 14_700.0, f64::NAN] {
            assert_eq!(pulses(Volume::ml(ml)), None, "{ml}");
        }
        assert!(pulses(Volume::ml(0.1 * 3.0 * 10.0)).is_some());
    }

    #[test]
    fn counts_are_told_with_their_groups() {
        for (ml, told) in [
            (590.0, "5 low, 9 high (5 + 4)"),
            (2000.0, "20 low (4 × 5)"),
            (1250.0, "12 low (2 × 5 + 2), 5 high"),
            (47.0, "4 high, 7 highest (5 + 2)"),
        ] {
            let counts = Counts::of(Volume::ml(ml)).expect("counts");
            assert_eq!(counts.shown(), told);
        }
    }
}
