//! A volume as counted beeps, for a bay that beeps instead of speaking.
//!
//! A rise says "a dose comes", then each place of the number has its own pitch: thousands lowest,
//! then hundreds, tens and ones. One short pulse counts one; one pulse twice as long and a fifth
//! higher counts five, so that nobody counts more than four of a kind. A place that is zero is
//! left out. A fall says "that was all".

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
    const fn new(hz: u32, length_ms: u32, gap_ms: u32) -> Self {
        Self {
            hz,
            length_ms,
            gap_ms,
        }
    }
}

/// The rise before a dose. Alone it says only: look at the screen.
pub const RISE: [Pulse; 2] = [Pulse::new(600, 90, 20), Pulse::new(900, 130, 450)];
/// The fall behind a dose.
pub const FALL: [Pulse; 2] = [Pulse::new(900, 90, 20), Pulse::new(600, 160, 0)];

/// Silence between two pulses of one place.
const GAP_MS: u32 = 150;
/// Silence between two places.
const PLACE_GAP_MS: u32 = 500;
/// The largest volume that is beeped: beyond it there is too much to count.
const MOST_ML: f64 = 9_999.0;

/// How one place of the number sounds.
struct Place {
    worth: u32,
    hz: u32,
    length_ms: u32,
}

const PLACES: [Place; 4] = [
    Place {
        worth: 1000,
        hz: 250,
        length_ms: 400,
    },
    Place {
        worth: 100,
        hz: 500,
        length_ms: 300,
    },
    Place {
        worth: 10,
        hz: 1250,
        length_ms: 130,
    },
    Place {
        worth: 1,
        hz: 2000,
        length_ms: 80,
    },
];

impl Place {
    fn one(&self) -> Pulse {
        Pulse::new(self.hz, self.length_ms, GAP_MS)
    }
    fn five(&self) -> Pulse {
        Pulse::new(self.hz * 3 / 2, self.length_ms * 2, GAP_MS)
    }
}

/// The pulses for a volume, rise and fall included.
///
/// `None` for a volume that the code cannot tell without changing it: one that is not a whole
/// number of ml, none at all, and anything above 9,999 ml. It is then only shown.
pub fn pulses(volume: Volume) -> Option<Vec<Pulse>> {
    let ml = volume.as_ml().round();
    // Graduations are sums of floating-point steps; a thousandth of a ml is not on any measure.
    if (volume.as_ml() - ml).abs() > 1e-3 || !(1.0..=MOST_ML).contains(&ml) {
        return None;
    }
    let ml = ml as u32;
    let mut out = RISE.to_vec();
    for place in &PLACES {
        let digit = ml / place.worth % 10;
        if digit == 0 {
            continue;
        }
        out.extend((digit >= 5).then(|| place.five()));
        out.extend((0..digit % 5).map(|_| place.one()));
        if let Some(last) = out.last_mut() {
            last.gap_ms = PLACE_GAP_MS;
        }
    }
    out.extend(FALL);
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn total_ms(pulses: &[Pulse]) -> u32 {
        pulses.iter().map(|p| p.length_ms + p.gap_ms).sum()
    }

    /// What a listener who knows the code makes of it, by pitch alone.
    fn heard(pulses: &[Pulse]) -> u32 {
        pulses[RISE.len()..pulses.len() - FALL.len()]
            .iter()
            .map(|p| match p.hz {
                250 => 1000,
                375 => 5000,
                500 => 100,
                750 => 500,
                1250 => 10,
                1875 => 50,
                2000 => 1,
                3000 => 5,
                other => panic!("no digit sounds at {other} Hz"),
            })
            .sum()
    }

    #[test]
    fn every_volume_is_heard_as_it_is() {
        for ml in 1..=9999 {
            let pulses = pulses(Volume::ml(f64::from(ml))).expect("a volume to beep");
            assert_eq!(heard(&pulses), ml);
        }
    }

    #[test]
    fn no_more_than_four_of_a_kind() {
        for ml in 1..=9999 {
            let pulses = pulses(Volume::ml(f64::from(ml))).expect("a volume to beep");
            for pulse in &pulses[RISE.len()..pulses.len() - FALL.len()] {
                let same = pulses.iter().filter(|p| p.hz == pulse.hz).count();
                assert!(same <= 4, "{ml} ml counts {same} at {} Hz", pulse.hz);
            }
        }
    }

    #[test]
    fn a_dose_is_heard_within_six_seconds() {
        for ml in (10..=990).step_by(10) {
            let pulses = pulses(Volume::ml(f64::from(ml))).expect("a volume to beep");
            assert!(total_ms(&pulses) <= 6000, "{ml} ml: {}", total_ms(&pulses));
        }
        assert_eq!(total_ms(&pulses(Volume::ml(690.0)).expect("beeps")), 4390);
    }

    #[test]
    fn what_it_cannot_tell_it_does_not_change() {
        for ml in [0.0, -10.0, 0.4, 2.5, 10_000.0, 17_300.0, f64::NAN] {
            assert_eq!(pulses(Volume::ml(ml)), None, "{ml}");
        }
        assert!(pulses(Volume::ml(0.1 * 3.0 * 10.0)).is_some());
    }
}
