//! A picture over time: the individuals chart, and Student's t for few readings.

/// Three standard deviations over the mean moving range: 3/1.128, 1.128 being the mean range of
/// two normal readings over their standard deviation (NIST/SEMATECH e-Handbook 6.3.2.2).
pub const LIMIT_FACTOR: f64 = 3.0 / 1.128;
/// Fewer points than this have no limits: one moving range says nothing of the next.
pub const LEAST_POINTS: usize = 3;

/// The limits of an individuals chart, in the unit of its points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Mean of the points.
    pub mean: f64,
    /// Mean of the steps from each point to the next, without sign.
    pub mean_moving_range: f64,
    /// Mean − 2.66 × mean moving range. May lie below zero; nothing is clamped.
    pub lower: f64,
    /// Mean + 2.66 × mean moving range.
    pub upper: f64,
}

/// The limits for points in the order they were taken. `None` for fewer than three points, and
/// where one of them is not a finite number.
pub fn limits(points: &[f64]) -> Option<Limits> {
    if points.len() < LEAST_POINTS || points.iter().any(|p| !p.is_finite()) {
        return None;
    }
    let mean = points.iter().sum::<f64>() / points.len() as f64;
    let steps = points.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    let mean_moving_range = steps.sum::<f64>() / (points.len() - 1) as f64;
    let reach = LIMIT_FACTOR * mean_moving_range;
    Some(Limits {
        mean,
        mean_moving_range,
        lower: mean - reach,
        upper: mean + reach,
    })
}

impl Limits {
    /// True where a point lies outside. On the limit is inside, and so is a point that only the
    /// last bits of the mean set apart.
    pub fn is_outside(&self, point: f64) -> bool {
        let hair = 1e-9 * self.mean.abs();
        point < self.lower - hair || point > self.upper + hair
    }
}

/// Which points, counted from 0, lie outside their own limits; none where there are no limits.
pub fn outside(points: &[f64]) -> Vec<usize> {
    limits(points).map_or_else(Vec::new, |limits| {
        (0..points.len())
            .filter(|&i| limits.is_outside(points[i]))
            .collect()
    })
}

/// Two-sided 95 % point of the normal distribution.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Two-sided 95 % point of Student's t; `None` without a degree of freedom. Any number is allowed,
/// and tends to 1.96.
///
/// From Student's distribution as a finite sum for whole degrees of freedom (Abramowitz and
/// Stegun 26.7.3 and 26.7.4), solved by halving; beyond 1000 by the first terms of the expansion in
/// 1/ν (26.7.5). Within 1e-8 either way.
pub fn student_95(degrees_of_freedom: u32) -> Option<f64> {
    match degrees_of_freedom {
        0 => None,
        // The sum has half as many terms as degrees of freedom.
        1..=1000 => {
            let (mut low, mut high) = (NORMAL_95, 13.0);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                match student_within(middle, degrees_of_freedom) < 0.95 {
                    true => low = middle,
                    false => high = middle,
                }
            }
            Some((low + high) / 2.0)
        }
        many => {
            let (z, n) = (NORMAL_95, f64::from(many));
            let first = (z.powi(3) + z) / 4.0;
            let second = (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0;
            Some(z + first / n + second / (n * n))
        }
    }
}

/// How likely |T| is below `t`, for ν degrees of freedom.
fn student_within(t: f64, degrees_of_freedom: u32) -> f64 {
    let angle = (t / f64::from(degrees_of_freedom).sqrt()).atan();
    let (sine, cosine) = angle.sin_cos();
    let square = cosine * cosine;
    let is_odd = degrees_of_freedom % 2 == 1;
    // Odd: cos θ (1 + 2/3 cos²θ + 2·4/(3·5) cos⁴θ …); even: 1 + 1/2 cos²θ + 1·3/(2·4) cos⁴θ …
    let (mut term, mut step) = if is_odd { (cosine, 2.0) } else { (1.0, 1.0) };
    let mut sum = 0.0;
    for _ in 0..degrees_of_freedom / 2 {
        sum += term;
        term *= square * step / (step + 1.0);
        step += 2.0;
    }
    match is_odd {
        true => std::f64::consts::FRAC_2_PI * (angle + sine * sum),
        false => sine * sum,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn few_points_have_no_limits() {
        for points in [&[][..], &[5.0], &[5.0, 6.0], &[5.0, f64::NAN, 6.0, 7.0]] {
            assert_eq!(limits(points), None);
            assert!(outside(points).is_empty());
        }
        assert!(limits(&[5.0, 6.0, 5.5]).is_some());
    }

    #[test]
    fn a_leap_lies_outside_and_a_level_row_does_not() {
        let mut points: Vec<f64> = (0..500).map(|i| 5.58 + 0.02 * f64::from(i % 3)).collect();
        assert!(outside(&points).is_empty());
        points[250] = 6.5;
        assert_eq!(outside(&points), [250]);
        points[251] = 4.0;
        assert_eq!(outside(&points), [250, 251]);
        // All alike: no range at all, and no noise of the last bit taken for a leap.
        assert!(outside(&[0.1; 500]).is_empty());
        assert!(outside(&[0.0558; 7]).is_empty());
    }

    #[test]
    fn student_by_closed_forms() {
        // ν = 1: tan(0.95·π/2). ν = 2: P = t/√(2 + t²).
        let one = (0.95 * std::f64::consts::FRAC_PI_2).tan();
        assert_relative_eq!(student_95(1).expect("t"), one, max_relative = 1e-9);
        let two = (2.0 * 0.9025 / 0.0975f64).sqrt();
        assert_relative_eq!(student_95(2).expect("t"), two, max_relative = 1e-9);
        assert_eq!(student_95(0), None);
    }

    #[test]
    fn student_against_a_general_library() {
        // scipy.stats.t.ppf(1 - 0.05/2, ν).
        for (degrees, t) in [
            (5, 2.570_581_835_636_3),
            (10, 2.228_138_851_986_3),
            (30, 2.042_272_456_301_2),
            (100, 1.983_971_518_523_6),
            (999, 1.962_341_461_133_4),
            (1000, 1.962_339_080_826_4),
            (1001, 1.962_336_705_280_9),
            (100_000, 1.959_987_707_534_6),
        ] {
            assert_relative_eq!(student_95(degrees).expect("t"), t, max_relative = 1e-8);
        }
        assert_relative_eq!(
            student_95(u32::MAX).expect("t"),
            NORMAL_95,
            max_relative = 1e-8
        );
    }

    #[test]
    fn student_falls_steadily() {
        let all: Vec<f64> = (1..=1100).filter_map(student_95).collect();
        assert!(all.windows(2).all(|pair| pair[1] < pair[0]));
        assert!(all.last().is_some_and(|t| *t > NORMAL_95));
    }
}
