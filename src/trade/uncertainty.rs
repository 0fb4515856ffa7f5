//! How sure a dose is: root-sum-square of relative parts.
//!
//! The rules are those of JCGM 100 (GUM): a reading is rectangular over half a graduation each
//! way, parts that do not know of each other add as squares, and the shown ± has coverage factor 2.

use super::calibration::Calibration;
use super::measure::Measure;
use super::units::Volume;

/// Run-to-run scatter of the draw fraction, relative, until the bay's own repeats replace it:
/// common practice, no source.
pub const PRIOR_SCATTER: f64 = 0.02;
/// The coverage factor of every ± shown.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// Standard uncertainty of a rectangular part of that half-width: a/√3.
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3f64.sqrt()
}

/// Standard uncertainty of `loads` readings on lines `graduation` apart: each half a graduation,
/// rectangular, and the loads add.
pub fn readings(graduation: Volume, loads: u32) -> Volume {
    Volume::ml(rectangular(graduation.as_ml() / 2.0) * f64::from(loads).sqrt())
}

/// Where the uncertainty of a dose comes from, as relative standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseUncertainty {
    /// Scatter from run to run, over √n for n runs.
    pub scatter: f64,
    /// Reading the catch.
    pub catch: f64,
    /// Reading what was drawn. The same reading says what the container holds, and cancels in
    /// F/d where the run emptied the whole fill; kept to stay on the safe side for part fills.
    pub drawn: f64,
    /// Reading the measure when pouring.
    pub pour: f64,
}

impl DoseUncertainty {
    /// Of a dose poured with `pour` after a calibration whose readings were taken with `jug`.
    pub fn of(calibration: &Calibration, jug: &Measure, dose: Volume, pour: &Measure) -> Self {
        let relative = |volume: Volume, measure: &Measure| {
            readings(measure.graduation, measure.loads(volume)) / volume
        };
        Self {
            scatter: PRIOR_SCATTER,
            catch: relative(calibration.run.catch, jug),
            drawn: relative(calibration.run.drawn, jug),
            pour: relative(dose, pour),
        }
    }

    /// Root-sum-square of the parts.
    pub fn standard(&self) -> f64 {
        root_sum_square(&[self.scatter, self.catch, self.drawn, self.pour])
    }

    /// The ± of a dose, coverage factor 2.
    pub fn expanded(&self, dose: Volume) -> Volume {
        dose * (COVERAGE_FACTOR * self.standard())
    }
}

/// Relative standard uncertainty of a product or quotient of independent quantities.
pub fn root_sum_square(relative: &[f64]) -> f64 {
    relative.iter().map(|u| u * u).sum::<f64>().sqrt()
}
