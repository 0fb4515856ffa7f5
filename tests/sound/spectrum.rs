//! Where the energy of samples lies.

use std::f64::consts::TAU;

/// Power by frequency: element k stands for k·rate/(2·(its length)) Hz.
pub fn powers(samples: &[f32]) -> Vec<f64> {
    let size = samples.len().next_power_of_two();
    let mut re: Vec<f64> = samples.iter().map(|s| f64::from(*s)).collect();
    re.resize(size, 0.0);
    let mut im = vec![0.0; size];
    // Cooley and Tukey, radix 2, in place.
    let bits = size.trailing_zeros();
    for i in 1..size {
        let j = i.reverse_bits() >> (usize::BITS - bits);
        if i < j {
            re.swap(i, j);
        }
    }
    let mut half = 1;
    while half < size {
        let turns: Vec<(f64, f64)> = (0..half)
            .map(|k| {
                let (sin, cos) = (-TAU * k as f64 / (2 * half) as f64).sin_cos();
                (cos, sin)
            })
            .collect();
        for start in (0..size).step_by(2 * half) {
            for (k, (cos, sin)) in turns.iter().enumerate() {
                let (a, b) = (start + k, start + k + half);
                let x = re[b] * cos - im[b] * sin;
                let y = re[b] * sin + im[b] * cos;
                (re[b], im[b]) = (re[a] - x, im[a] - y);
                (re[a], im[a]) = (re[a] + x, im[a] + y);
            }
        }
        half *= 2;
    }
    (0..size / 2)
        .map(|k| re[k].powi(2) + im[k].powi(2))
        .collect()
}

/// The power between two frequencies, in Hz.
pub fn between(powers: &[f64], rate: u32, from: f64, to: f64) -> f64 {
    let step = f64::from(rate) / (2 * powers.len()) as f64;
    powers
        .iter()
        .enumerate()
        .filter(|(k, _)| (from..to).contains(&(*k as f64 * step)))
        .map(|(_, power)| power)
        .sum()
}
