//! White and pink noise from a seed, and sound mixed into it.

use std::f64::consts::TAU;

/// SplitMix64: the same numbers everywhere from the same seed.
pub struct Chance(pub u64);

impl Chance {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    /// Below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }
    /// Between 0 and 1, never 0.
    fn part(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 1.0) / (1u64 << 53) as f64
    }
    /// Two independent numbers of the normal distribution (Box and Muller).
    fn normals(&mut self) -> [f64; 2] {
        let (size, turn) = ((-2.0 * self.part().ln()).sqrt(), TAU * self.part());
        [size * turn.cos(), size * turn.sin()]
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    White,
    Pink,
}

/// Noise at the rate of the sounds, long enough to cut pieces from, with a root mean square of 1.
pub struct Noise {
    samples: Vec<f32>,
}

impl Noise {
    pub fn new(colour: Colour, seconds: usize, rate: u32, seed: u64) -> Self {
        let mut chance = Chance(seed);
        let count = seconds * rate as usize;
        let mut samples = vec![0.0f32; count];
        match colour {
            Colour::White => {
                for pair in samples.chunks_mut(2) {
                    for (sample, normal) in pair.iter_mut().zip(chance.normals()) {
                        *sample = normal as f32;
                    }
                }
            }
            // Processes that forget at rates a fixed ratio apart, all of the same power, add up to
            // power that falls as 1/f between the slowest and the fastest of them.
            Colour::Pink => {
                for corner in (0..8).map(|k| 10.0 * 2.7f64.powi(k)) {
                    let keep = (-TAU * corner / f64::from(rate)).exp();
                    let (new, mut level) = ((1.0 - keep * keep).sqrt(), 0.0);
                    for pair in samples.chunks_mut(2) {
                        for (sample, normal) in pair.iter_mut().zip(chance.normals()) {
                            level = keep * level + new * normal;
                            *sample += level as f32;
                        }
                    }
                }
            }
        }
        let rms = rms(&samples) as f32;
        samples.iter_mut().for_each(|s| *s /= rms);
        Self { samples }
    }

    /// `sound` with noise so many dB below it, half a second more on both sides. The level of the
    /// sound is that of the samples that sound.
    pub fn around(&self, sound: &[i16], snr_db: f64, chance: &mut Chance) -> Vec<f32> {
        let heard: Vec<f32> = sound
            .iter()
            .filter(|s| **s != 0)
            .map(|s| f32::from(*s))
            .collect();
        let level = (rms(&heard) / 10f64.powf(snr_db / 20.0)) as f32;
        let mut out = with_silence(sound);
        let from = chance.below(self.samples.len() - out.len());
        for (sample, noise) in out.iter_mut().zip(&self.samples[from..]) {
            *sample += level * noise;
        }
        out
    }

    pub fn samples(&self) -> &[f32] {
        &self.samples
    }
}

/// Half a second of silence on both sides.
pub fn with_silence(sound: &[i16]) -> Vec<f32> {
    const HALF_SECOND: usize = 11_025;
    let mut out = vec![0.0; HALF_SECOND];
    out.extend(sound.iter().map(|s| f32::from(*s)));
    out.resize(out.len() + HALF_SECOND, 0.0);
    out
}

pub fn rms(samples: &[f32]) -> f64 {
    let sum: f64 = samples.iter().map(|s| f64::from(*s).powi(2)).sum();
    (sum / samples.len().max(1) as f64).sqrt()
}
