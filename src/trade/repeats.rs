//! Repeated runs: their mean, how much runs scatter, and which run does not belong.
//!
//! Two or three runs say next to nothing about scatter, so it is never taken from them alone: the
//! bay's own repeats, pooled over all its calibrations, are blended with a prior, each with the
//! weight of its degrees of freedom.

use super::dilution::DrawFraction;
use super::individuals::{NORMAL_95, student_95};
use super::text::Text;
use crate::text;
use std::fmt;

/// How many runs make a calibration.
pub const RUNS: std::ops::RangeInclusive<usize> = 1..=5;
/// Degrees of freedom that the prior counts for beside the bay's own repeats: as much as a
/// calibration of five runs says. Our own choice; `tests/coverage.rs` shows what it covers.
pub const PRIOR_FREEDOM: u32 = 4;
/// The repeatability limit over a scatter that is surely known: 1.96·√2 = 2.772, rounded as
/// ISO 5725-6 does.
pub const REPEATABILITY: f64 = 2.8;

/// Why runs make no calibration.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunsError {
    /// There is no run.
    NoRun,
    /// More runs than [`RUNS`] allows.
    TooMany {
        /// So many.
        runs: usize,
    },
}

impl fmt::Display for RunsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoRun => write!(f, "The calibration has no run: do one."),
            Self::TooMany { runs } => write!(
                f,
                "The calibration has {runs} runs, at most {} count: drop some.",
                RUNS.end()
            ),
        }
    }
}

impl std::error::Error for RunsError {}

/// The mean draw fraction of one to five runs.
///
/// # Errors
/// No run, or more than five.
pub fn mean(runs: &[DrawFraction]) -> Result<DrawFraction, RunsError> {
    counted(runs)?;
    // A mean of fractions above 0 and at most 1 is one too; the last bit may say otherwise.
    Ok(DrawFraction::new(plain_mean(runs).min(1.0)).unwrap_or(runs[0]))
}

fn counted(runs: &[DrawFraction]) -> Result<(), RunsError> {
    match runs.len() {
        0 => Err(RunsError::NoRun),
        n if !RUNS.contains(&n) => Err(RunsError::TooMany { runs: n }),
        _ => Ok(()),
    }
}

fn plain_mean(runs: &[DrawFraction]) -> f64 {
    runs.iter().map(|d| d.as_fraction()).sum::<f64>() / runs.len() as f64
}

/// The bay's own scatter, from all its calibrations that had repeats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    /// Standard deviation of one run, relative to its calibration's mean.
    pub relative: f64,
    /// Σ(n − 1) over the calibrations.
    pub degrees_of_freedom: u32,
    /// Runs that it stands on: those of calibrations with at least two.
    pub runs: u32,
}

/// Pools the runs of calibrations: the root of Σ(xᵢ/x̄ − 1)² over Σ(n − 1), the pooled variance of
/// ISO 5725-2 with deviations relative to each calibration's own mean. Give the runs that were
/// kept, not those thrown away. `None` where no calibration has two runs.
pub fn pooled<G: AsRef<[DrawFraction]>>(
    calibrations: impl IntoIterator<Item = G>,
) -> Option<Pooled> {
    let (mut squares, mut degrees_of_freedom, mut runs) = (0.0, 0, 0);
    for group in calibrations {
        let group = group.as_ref();
        if group.len() < 2 {
            continue;
        }
        let mean = plain_mean(group);
        squares += group
            .iter()
            .map(|d| (d.as_fraction() / mean - 1.0).powi(2))
            .sum::<f64>();
        degrees_of_freedom += group.len() as u32 - 1;
        runs += group.len() as u32;
    }
    (degrees_of_freedom > 0).then(|| Pooled {
        relative: (squares / f64::from(degrees_of_freedom)).sqrt(),
        degrees_of_freedom,
        runs,
    })
}

/// The scatter that counts, and what it stands on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// Standard deviation of one run, relative.
    pub relative: f64,
    /// Degrees of freedom that the bay's own repeats give so far.
    pub degrees_of_freedom: u32,
    /// The bay's own repeated runs so far.
    pub runs: u32,
}

/// The `prior` (relative, such as [`super::uncertainty::PRIOR_SCATTER`]) blended with the bay's
/// `own` repeats: s² = (ν₀·prior² + ν·own²)/(ν₀ + ν), ν₀ = [`PRIOR_FREEDOM`]: a pooled
/// variance as that of ISO 5725-2, the prior being one of the groups.
pub fn scatter(prior: f64, own: Option<Pooled>) -> Scatter {
    let (own_square, degrees_of_freedom, runs) = own.map_or((0.0, 0, 0), |own| {
        (own.relative.powi(2), own.degrees_of_freedom, own.runs)
    });
    let (of_prior, of_own) = (f64::from(PRIOR_FREEDOM), f64::from(degrees_of_freedom));
    let square = (of_prior * prior.powi(2) + of_own * own_square) / (of_prior + of_own);
    Scatter {
        relative: square.sqrt(),
        degrees_of_freedom,
        runs,
    }
}

impl Scatter {
    /// Degrees of freedom that it stands on, those of the prior included: ν₀ + ν.
    pub const fn freedom(self) -> u32 {
        PRIOR_FREEDOM.saturating_add(self.degrees_of_freedom)
    }

    /// The weight of the bay's own repeats in it, 0 to 1: ν/(ν₀ + ν). These were seen through
    /// readings, the prior was not.
    pub fn own_share(self) -> f64 {
        f64::from(self.degrees_of_freedom) / f64::from(self.freedom())
    }

    /// The scatter to reckon bands with that hold 19 of 20 at 1.96 of it: wider by t₉₅(ν₀ + ν)/1.96,
    /// because the scatter itself is not surely known.
    pub fn for_bands(self) -> f64 {
        self.relative * student_95(self.freedom()).unwrap_or(NORMAL_95) / NORMAL_95
    }

    /// Not smaller than `reading`, the relative standard uncertainty of reading one run: jugs too
    /// coarse to tell two runs apart would else make every later difference look large.
    pub fn at_least(self, reading: f64) -> Self {
        Self {
            relative: self.relative.max(reading),
            ..self
        }
    }

    /// Relative standard uncertainty of a mean of `runs` runs: s/√n. No run is taken for one.
    pub fn of_mean(self, runs: u32) -> f64 {
        self.relative / f64::from(runs.max(1)).sqrt()
    }

    /// What two runs may differ by, relative, in 19 of 20 cases: 2.8·s (ISO 5725-6) for a scatter that
    /// is surely known, and wider as for bands ([`Self::for_bands`]) where it stands on few repeats.
    pub fn repeatability_limit(self) -> f64 {
        REPEATABILITY * self.for_bands()
    }
}

/// Runs that differ from the others by more than the repeatability limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Odd {
    /// Which runs, counted from 0. Of two runs both, because nothing says which is the odd one; of
    /// more the one furthest from the mean of the others, and every one that is just as far.
    pub runs: Vec<usize>,
    /// How far from the mean of the others, relative to the mean of all.
    pub apart: f64,
    /// The limit that this is beyond.
    pub limit: f64,
}

impl Odd {
    /// For the screen: `Run 3 is 8.1 % off the others, runs here differ by up to 5.6 %: drop or
    /// repeat it.`
    pub fn words(&self) -> Text {
        let percent = |part: f64| format!("{:.1} %", part * 100.0);
        let (apart, limit) = (percent(self.apart), percent(self.limit));
        match self.runs[..] {
            [run] => text!(
                "Run {} is {} off the others, runs here differ by up to {}: \
                drop or repeat it.",
                run + 1,
                apart,
                limit
            ),
            _ => {
                let mut names = self.runs.iter().map(|run| Text::from_plain(run + 1));
                let first = names.next().unwrap_or_default();
                let names = names.fold(first, |names, name| text!("{} and {}", names, name));
                text!(
                    "Runs {} are {} apart, runs here differ by up to {}: do one more.",
                    names,
                    apart,
                    limit
                )
            }
        }
    }
}

/// The runs that do not belong, if any. Never judged by the scatter of these runs themselves.
///
/// # Errors
/// No run, or more than five.
pub fn odd(runs: &[DrawFraction], scatter: Scatter) -> Result<Option<Odd>, RunsError> {
    counted(runs)?;
    let n = runs.len() as f64;
    if runs.len() < 2 {
        return Ok(None);
    }
    let mean = plain_mean(runs);
    // From the mean of the others: (xᵢ − x̄)·n/(n − 1).
    let apart: Vec<f64> = runs
        .iter()
        .map(|d| ((d.as_fraction() / mean - 1.0) * n / (n - 1.0)).abs())
        .collect();
    let furthest = apart.iter().copied().fold(0.0, f64::max);
    let limit = scatter.repeatability_limit();
    // A hair over the limit may be the last bit of a division.
    Ok((furthest > limit + 1e-12).then(|| Odd {
        runs: (0..runs.len())
            .filter(|&i| apart[i] >= furthest - 1e-9)
            .collect(),
        apart: furthest,
        limit,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::uncertainty::PRIOR_SCATTER;
    use approx::assert_relative_eq;

    fn draws(fractions: &[f64]) -> Vec<DrawFraction> {
        fractions
            .iter()
            .map(|&d| DrawFraction::new(d).expect("a draw fraction"))
            .collect()
    }
    fn prior() -> Scatter {
        scatter(PRIOR_SCATTER, None)
    }

    #[test]
    fn the_mean_of_one_to_five_runs() {
        let of = |runs: &[f64]| mean(&draws(runs)).map(DrawFraction::as_fraction);
        assert_eq!(of(&[0.05]), Ok(0.05));
        assert_relative_eq!(of(&[0.05, 0.052, 0.054]).expect("a mean"), 0.052);
        assert_eq!(of(&[1.0, 1.0, 1.0]), Ok(1.0));
        assert_eq!(of(&[]), Err(RunsError::NoRun));
        assert_eq!(of(&[0.05; 6]), Err(RunsError::TooMany { runs: 6 }));
        assert!(RunsError::TooMany { runs: 6 }.to_string().contains("drop"));
    }

    #[test]
    fn scatter_is_pooled_over_calibrations_and_relative_to_each() {
        // By hand: deviations ±1 % twice and ±2 % twice, two degrees of freedom.
        let groups = [draws(&[0.099, 0.101]), draws(&[0.049, 0.051])];
        let pool = pooled(&groups).expect("two groups of two");
        assert_relative_eq!(pool.relative, 5e-4f64.sqrt(), max_relative = 1e-12);
        assert_eq!((pool.degrees_of_freedom, pool.runs), (2, 4));
        // A single run neither adds a deviation nor thins the others.
        let with_single = [groups[0].clone(), draws(&[0.5]), groups[1].clone()];
        assert_eq!(pooled(&with_single), Some(pool));
        assert_eq!(pooled([draws(&[0.05])]), None);
        assert_eq!(pooled::<Vec<DrawFraction>>([]), None);
    }

    #[test]
    fn prior_and_own_repeats_count_by_their_degrees_of_freedom() {
        let three = draws(&[0.0495, 0.05, 0.0505]);
        let after = |calibrations: usize| {
            scatter(
                PRIOR_SCATTER,
                pooled(std::iter::repeat_n(&three, calibrations)),
            )
        };
        // Each calibration of three runs has two degrees of freedom and a scatter of 1 %.
        for (calibrations, square) in [
            (0, 4.0),
            (1, (4.0 * 4.0 + 2.0) / 6.0),
            (4, (4.0 * 4.0 + 8.0) / 12.0),
            (5, (4.0 * 4.0 + 10.0) / 14.0),
            (500, (4.0 * 4.0 + 1000.0) / 1004.0),
        ] {
            let of = after(calibrations);
            let by_hand = (square * 1e-4f64).sqrt();
            assert_relative_eq!(of.relative, by_hand, max_relative = 1e-9);
            assert_eq!(of.freedom() as usize, 4 + 2 * calibrations);
            assert_eq!(of.runs as usize, 3 * calibrations);
        }
        assert_eq!(prior().own_share(), 0.0);
        assert_relative_eq!(after(2).own_share(), 0.5);
        let five = after(5);
        assert_relative_eq!(five.of_mean(4), five.relative / 2.0, max_relative = 1e-9);
        assert_relative_eq!(five.at_least(0.03).relative, 0.03);
        assert_eq!(five.at_least(0.001), five);
    }

    #[test]
    fn few_repeats_widen_bands_and_limits() {
        // Student's t for 4 and 13 degrees of freedom (scipy.stats.t.ppf), over the normal 1.96.
        let nine = Scatter {
            degrees_of_freedom: 9,
            ..prior()
        };
        for (of, t) in [(prior(), 2.776_445_105_2), (nine, 2.160_368_656_5)] {
            assert_relative_eq!(of.for_bands(), 0.02 * t / NORMAL_95, max_relative = 1e-9);
            let limit = 2.8 * 0.02 * t / NORMAL_95;
            assert_relative_eq!(of.repeatability_limit(), limit, max_relative = 1e-9);
        }
        let many = Scatter {
            degrees_of_freedom: 1_000_000,
            ..prior()
        };
        assert_relative_eq!(many.repeatability_limit(), 0.056, max_relative = 1e-5);
    }

    #[test]
    fn two_runs_are_odd_together_and_of_more_the_furthest() {
        // Limit 5.6 %: the scatter is well known.
        let known = Scatter {
            degrees_of_freedom: 1_000_000,
            ..prior()
        };
        let of = |runs: &[f64]| odd(&draws(runs), known).expect("one to five");
        assert_eq!(of(&[0.05]), None);
        assert_eq!(of(&[0.05, 0.0527]), None, "5.3 % apart");
        let pair = of(&[0.05, 0.053]).expect("5.8 % apart");
        assert_eq!(pair.runs, [0, 1]);
        assert_relative_eq!(pair.apart, 0.003 / 0.0515, max_relative = 1e-9);
        // Not where it is not: 7.9 %.
        let by_prior = |runs: &[f64]| odd(&draws(runs), prior()).expect("two");
        assert_eq!(by_prior(&[0.05, 0.053]), None);
        assert!(by_prior(&[0.05, 0.0542]).is_some(), "8.1 % apart");
        assert!(
            pair.words().to_string().contains("Runs 1 and 2"),
            "{}",
            pair.words()
        );
        let third = of(&[0.05, 0.0502, 0.0545]).expect("8 % off");
        assert_eq!(third.runs, [2]);
        assert!(
            third.words().to_string().starts_with("Run 3 is"),
            "{}",
            third.words()
        );
        assert_eq!(of(&[0.05, 0.0502, 0.0525]), None);
        // Nothing says which of them is the odd one.
        assert_eq!(of(&[0.045, 0.05, 0.055]).expect("odd").runs, [0, 2]);
        assert_eq!(
            of(&[0.05, 0.05, 0.06, 0.06]).expect("odd").runs,
            [0, 1, 2, 3]
        );
        assert_eq!(odd(&[], prior()), Err(RunsError::NoRun));
    }

    #[test]
    fn the_runs_own_agreement_does_not_narrow_the_limit() {
        // Two runs alike and a third 4 % off: by their own scatter far out, by the bay's not.
        let runs = draws(&[0.05, 0.05, 0.052]);
        assert_eq!(odd(&runs, prior()), Ok(None));
    }
}
