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
