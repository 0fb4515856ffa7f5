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

/// How alike two pieces of sound are at the best place of `b` inside `a` that begins in `places`:
/// 1 is the same. Returns the likeness and the place.
pub fn best_match(a: &[f32], b: &[f32], places: std::ops::Range<usize>) -> (f32, usize) {
    let energy = |x: &[f32]| x.iter().map(|s| s * s).sum::<f32>();
    let whole = energy(b);
    places
        .take_while(|at| at + b.len() <= a.len())
        .map(|at| {
            let part = &a[at..at + b.len()];
            let dot: f32 = part.iter().zip(b).map(|(x, y)| x * y).sum();
            (dot / (energy(part) * whole).sqrt().max(1e-9), at)
        })
        .fold(
            (0.0, 0),
            |best, now| if now.0 > best.0 { now } else { best },
        )
}

/// The first sample that is not silence.
pub fn onset(samples: &[f32]) -> Option<usize> {
    samples.iter().position(|s| s.abs() > 0.01)
}
