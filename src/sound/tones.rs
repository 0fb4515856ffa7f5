//! Short tones: rich in harmonics, all of them between 500 and 3000 Hz, so that a small loudspeaker
//! carries them and a loud bay leaves some of them audible (500 to 3000 Hz: MIL-STD-1472E 5.3.3).
//!
//! The tones of the stopwatch are no pulses of the beep code: the countdown lies a fifth from a
//! hundred and from a ten and is as long as neither, the long ones are longer than anything counted.

use super::{RATE, samples_in_ms};
use crate::bay::ports::Tone;
use crate::trade::beep_code::Pulse;

/// Peak of a tone, as a fraction of full scale.
const LOUD: f32 = 0.8;
/// Peak of a click: it answers every press, so it must not tire.
const QUIET: f32 = 0.25;
/// A tone rises and falls over this. Shorter, it would crack, which is sound below 500 Hz.
const RAMP_MS: u32 = 20;
/// Of a short tone no more than a quarter at each end.
const RAMP_PART: u32 = 4;
/// No harmonic above this, in Hz: what the ramps add on both sides stays below 3000 Hz.
const HIGHEST_HARMONIC: u32 = 2_850;

/// The samples of a tone, at [`RATE`].
pub fn tone(tone: Tone) -> Vec<i16> {
    let pulse = |hz, length_ms, gap_ms| Pulse {
        hz,
        length_ms,
        gap_ms,
    };
    match tone {
        // Half of it rises and half of it falls: anything steeper so short would crack.
        Tone::Click => sound(1600, 12, 6, QUIET),
        Tone::Countdown => pulses(&[pulse(900, 150, 0)]),
        Tone::Go => pulses(&[pulse(1200, 600, 0)]),
        Tone::Stop => pulses(&[
            pulse(1200, 160, 60),
            pulse(1200, 160, 60),
            pulse(900, 320, 0),
        ]),
        Tone::Refused => pulses(&[pulse(780, 140, 50), pulse(640, 240, 0)]),
    }
}

/// Pulses one behind the other, each with its gap.
pub fn pulses(pulses: &[Pulse]) -> Vec<i16> {
    let mut out = Vec::new();
    // Most pulses of a volume are alike: each kind is reckoned once.
    let mut kinds: Vec<(u32, u32, Vec<i16>)> = Vec::new();
    for &Pulse {
        hz,
        length_ms,
        gap_ms,
    } in pulses
    {
        match kinds.iter().find(|k| (k.0, k.1) == (hz, length_ms)) {
            Some((_, _, samples)) => out.extend(samples),
            None => {
                let ramp_ms = RAMP_MS.min(length_ms / RAMP_PART);
                let samples = sound(hz, length_ms, ramp_ms, LOUD);
                out.extend(&samples);
                kinds.push((hz, length_ms, samples));
            }
        }
        out.resize(out.len() + samples_in_ms(gap_ms), 0);
    }
    out
}

/// A tone with the harmonics that stay below [`HIGHEST_HARMONIC`], peaking at `peak` of full scale.
fn sound(hz: u32, length_ms: u32, ramp_ms: u32, peak: f32) -> Vec<i16> {
    const HARMONICS: [(u32, f32); 4] = [(1, 0.6), (2, 0.3), (3, 0.2), (4, 0.15)];
    let (count, ramp) = (samples_in_ms(length_ms), samples_in_ms(ramp_ms) as f32);
    let wave: Vec<f32> = (0..count)
        .map(|i| {
            let turn = std::f32::consts::TAU * hz as f32 * i as f32 / RATE as f32;
            let rich: f32 = HARMONICS
                .iter()
                .filter(|(n, _)| n * hz <= HIGHEST_HARMONIC)
                .map(|(n, a)| a * (turn * *n as f32).sin())
                .sum();
            let edge = (i.min(count - 1 - i) as f32 / ramp).min(1.0);
            // Half a cosine: it leaves less beside the pitch than a straight ramp.
            rich * (0.5 - 0.5 * (std::f32::consts::PI * edge).cos())
        })
        .collect();
    let highest = wave.iter().fold(f32::EPSILON, |m, s| m.max(s.abs()));
    wave.iter()
        .map(|s| (s / highest * peak * f32::from(i16::MAX)) as i16)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Tone; 5] = [
        Tone::Click,
        Tone::Countdown,
        Tone::Go,
        Tone::Stop,
        Tone::Refused,
    ];

    fn peak(samples: &[i16]) -> u16 {
        samples.iter().map(|s| s.unsigned_abs()).max().unwrap_or(0)
    }

    #[test]
    fn a_click_is_very_short_and_quiet() {
        let click = tone(Tone::Click);
        assert!(click.len() <= samples_in_ms(15), "{}", click.len());
        for other in &ALL[1..] {
            assert!(peak(&click) * 3 <= peak(&tone(*other)));
        }
    }

    #[test]
    fn tones_begin_and_end_softly_and_never_clip() {
        for kind in ALL {
            let samples = tone(kind);
            assert!(peak(&samples) < 29_200, "{kind:?} peaks above -1 dBFS");
            assert!(samples[0].abs() < 200 && samples[samples.len() - 1].abs() < 2000);
        }
    }

    #[test]
    fn tones_are_told_apart_by_length_or_pitch() {
        for (i, a) in ALL.iter().enumerate() {
            for b in &ALL[i + 1..] {
                assert_ne!(tone(*a), tone(*b));
            }
        }
        // One second of the countdown leaves room for the next.
        assert!(tone(Tone::Countdown).len() < samples_in_ms(500));
    }

    #[test]
    fn the_pitch_is_the_one_asked_for() {
        let samples = pulses(&[Pulse {
            hz: 500,
            length_ms: 200,
            gap_ms: 100,
        }]);
        assert_eq!(samples.len(), samples_in_ms(200) + samples_in_ms(100));
        let strength = |hz: f32| {
            let (mut re, mut im) = (0.0f32, 0.0f32);
            for (i, s) in samples.iter().enumerate() {
                let turn = std::f32::consts::TAU * hz * i as f32 / RATE as f32;
                re += f32::from(*s) * turn.cos();
                im += f32::from(*s) * turn.sin();
            }
            re.hypot(im)
        };
        for other in [400.0, 620.0, 750.0, 1250.0] {
            assert!(strength(500.0) > 5.0 * strength(other), "{other} Hz");
        }
    }
}
