//! Samples at another rate by the sampling theorem, and how like them is what was heard.

/// Samples on either side that are summed over.
const REACH: i64 = 32;

/// Samples of one rate as they are at another, by the windowed sinc of the sampling theorem: another
/// way than the program's. From the lower rate to the higher.
pub fn at_rate(samples: &[i16], from: usize, to: usize) -> Vec<f32> {
    let step = from as f64 / to as f64;
    (0..(samples.len() as f64 / step) as usize)
        .map(|i| {
            let at = i as f64 * step;
            let middle = at as i64;
            let sum: f64 = (middle - REACH..=middle + REACH + 1)
                .filter_map(|k| {
                    let sample = samples.get(usize::try_from(k).ok()?)?;
                    let off = at - k as f64;
                    Some(f64::from(*sample) * sinc(off) * window(off))
                })
                .sum();
            (sum / 32_768.0) as f32
        })
        .collect()
}

fn sinc(x: f64) -> f64 {
    let turn = std::f64::consts::PI * x;
    if turn.abs() < 1e-9 {
        1.0
    } else {
        turn.sin() / turn
    }
}

/// Hann's.
fn window(x: f64) -> f64 {
    let at = x / (REACH + 1) as f64;
    if at.abs() >= 1.0 {
        return 0.0;
    }
    (std::f64::consts::FRAC_PI_2 * at).cos().powi(2)
}

/// How like `wanted` is what was heard from its best place on: 1 is the same but for loudness.
/// Returns the likeness, how loud it was against what is wanted, and the place.
pub fn likeness(heard: &[f32], wanted: &[f32]) -> (f64, f64, usize) {
    const LEAD: usize = 9_600;
    let lead = &wanted[..wanted.len().min(LEAD)];
    // Where it sounds first there, and here: a clip may begin with some silence of its own.
    let loud = |samples: &[f32], least: f32| samples.iter().position(|s| s.abs() > least);
    let Some((here, there)) = loud(heard, 0.02).zip(loud(wanted, 0.02)) else {
        return (0.0, 0.0, 0);
    };
    let near = here.saturating_sub(there);
    let place = (near.saturating_sub(60)..near + 60)
        .max_by(|a, b| {
            let by = |at: &usize| alike(heard.get(*at..).unwrap_or_default(), lead).0;
            by(a).total_cmp(&by(b))
        })
        .unwrap_or(near);
    let (like, loudness) = alike(heard.get(place..).unwrap_or_default(), wanted);
    (like, loudness, place)
}

/// The same, for what may be anywhere in it.
pub fn likeness_anywhere(heard: &[f32], wanted: &[f32]) -> f64 {
    const STRIDE: usize = 4;
    let lead = &wanted[..wanted.len().min(1_200)];
    let best = |places: &mut dyn Iterator<Item = usize>, lead: &[f32]| {
        places
            .map(|at| (alike(&heard[at..], lead).0, at))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map_or(0, |(_, at)| at)
    };
    let last = heard.len().saturating_sub(wanted.len());
    let near = best(&mut (0..last).step_by(STRIDE), lead);
    let fine = near.saturating_sub(STRIDE)..(near + STRIDE).min(heard.len());
    alike(&heard[best(&mut fine.into_iter(), lead)..], wanted).0
}

/// What was not heard any more counts as silence.
fn alike(heard: &[f32], wanted: &[f32]) -> (f64, f64) {
    let (mut product, mut here, mut there) = (0.0, 0.0, 0.0);
    for (i, w) in wanted.iter().enumerate() {
        let (w, h) = (
            f64::from(*w),
            f64::from(heard.get(i).copied().unwrap_or(0.0)),
        );
        product += w * h;
        here += h * h;
        there += w * w;
    }
    (
        product / (here * there).sqrt().max(1e-12),
        product / there.max(1e-12),
    )
}
