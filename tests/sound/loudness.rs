//! How loud samples are, measured as `sounds/make-clips` sets it.

use fillcall::sound::samples_in_ms;

/// Mean square over the 10 ms frames that are no more than 20 dB below the loudest, in dBFS.
pub fn active_dbfs(samples: &[i16]) -> f64 {
    let squares: Vec<f64> = samples
        .chunks_exact(samples_in_ms(10))
        .map(|frame| {
            let sum: f64 = frame
                .iter()
                .map(|s| (f64::from(*s) / 32_768.0).powi(2))
                .sum();
            sum / frame.len() as f64
        })
        .collect();
    let floor = squares.iter().fold(0.0_f64, |m, s| m.max(*s)) * 0.01;
    let sounding: Vec<f64> = squares.into_iter().filter(|s| *s >= floor).collect();
    10.0 * (sounding.iter().sum::<f64>() / sounding.len() as f64).log10()
}

/// How alike two pieces of sound are at the best shift of `b` inside `a`: 1 is the same.
/// Returns the likeness and the shift, in samples of the coarse grid given by `step`.
pub fn best_match(a: &[f32], b: &[f32], step: usize) -> (f64, usize) {
    let energy = |x: &[f32]| x.iter().map(|s| f64::from(*s).powi(2)).sum::<f64>();
    let eb = energy(b);
    (0..=a.len().saturating_sub(b.len()))
        .step_by(step)
        .map(|at| {
            let part = &a[at..at + b.len()];
            let dot: f64 = part.iter().zip(b).map(|(x, y)| f64::from(x * y)).sum();
            (dot / (energy(part) * eb).sqrt().max(1e-9), at)
        })
        .fold(
            (0.0, 0),
            |best, now| if now.0 > best.0 { now } else { best },
        )
}
