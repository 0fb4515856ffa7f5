//! A timed check: a full container against the stopwatch only, with water or with the day's mix.

use super::calibration::{Calibration, Flows};
use super::dilution::DrawFraction;
use super::uncertainty::STOPPING;
use super::units::{Flow, Volume};
use std::fmt;
use std::time::Duration;

/// Standard deviations that hold 19 of 20 normal values. With a scatter of 2 % and a mean of three
/// runs the band is ±4.5 %, and a true change of 10 % is beyond it in more than 98 of 100 checks.
pub const BAND: f64 = 1.96;
/// Change of flow that asks for a calibration, where the bay sets no limit of its own: an injector
/// that is more than 5 % off calls for repair (ONfloriculture 2017). Where one run cannot see so
/// little, what it can see is the limit ([`Verdict::of`]).
pub const USUAL_LIMIT: f64 = 0.05;

/// Why a timed check says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TimedCheckError {
    /// No time went by in the check.
    NoTime,
    /// The calibration has no time to compare with.
    NoCalibratedTime,
    /// Nothing was drawn.
    NothingDrawn,
    /// The carrier flow is not above zero: a direct sprayer, or a calibration without flows.
    NoCarrier,
}

impl fmt::Display for TimedCheckError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoTime => "The check took no time: run it again with a full container.",
            Self::NoCalibratedTime => {
                "The calibration has no time to compare with: calibrate first."
            }
            Self::NothingDrawn => "Nothing was drawn in the check: start with a full container.",
            Self::NoCarrier => "The washer's own flow is not known: calibrate first.",
        })
    }
}

impl std::error::Error for TimedCheckError {}

/// Relative standard deviation of the time of one run, where the draw fraction scatters by `scatter`.
///
/// The time scatters with the draw flow, by s/(1 − d), because the draw fraction takes only the
/// share 1 − d of a change of the draw; stopping the watch by hand ([`STOPPING`]) comes on top. No
/// time is taken for one that needs no stopping; `tests/coverage.rs` shows that this holds.
pub fn scatter_of_time(scatter: f64, draw: DrawFraction, time: Duration) -> f64 {
    let of_draw = scatter / (1.0 - draw.as_fraction()).max(f64::EPSILON);
    match time.is_zero() {
        true => of_draw,
        false => of_draw.hypot(STOPPING.as_secs_f64() / time.as_secs_f64()),
    }
}

/// What one run can tell from a mean of `runs` runs, relative: ±1.96·s·√(1 + 1/n). `scatter` is the
/// relative standard deviation of one run; no run is taken for one.
pub fn band(scatter: f64, runs: u32) -> f64 {
    BAND * scatter * (1.0 + 1.0 / f64::from(runs.max(1))).sqrt()
}

/// What a mean of `now` runs can tell from a mean of `before` runs, relative:
/// ±1.96·s·√(1/n + 1/m).
pub fn band_of_means(scatter: f64, before: u32, now: u32) -> f64 {
    let part = |runs: u32| 1.0 / f64::from(runs.max(1));
    BAND * scatter * (part(before) + part(now)).sqrt()
}

/// How long a full container takes at a calibrated draw flow; `None` where either is not above
/// zero, or the time is more than a clock can hold.
pub fn emptying_time(holds: Volume, draw: Flow) -> Option<Duration> {
    let seconds = holds.as_ml() / draw.as_ml_per_s();
    (seconds > 0.0)
        .then(|| Duration::try_from_secs_f64(seconds).ok())
        .flatten()
}

/// How long a full container that takes `holds` lasts by its calibration; `None` where that has no
/// flows.
pub fn lasts(holds: Volume, calibration: &Calibration) -> Option<Duration> {
    emptying_time(holds, calibration.flows()?.draw)
}

/// What a timed check says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// No change that one run can see.
    Fine,
    /// A change, within the bay's limit.
    Watch,
    /// A change beyond the bay's limit.
    Recalibrate,
}

impl Verdict {
    /// For a relative change: fine inside the band whatever the limit, because that is no change
    /// at all for one run; beyond it by the limit.
    pub fn of(change: f64, band: f64, limit: f64) -> Self {
        match change.abs() {
            // Not-a-number and infinity are no reading; nothing is fine about them.
            size if !size.is_finite() => Self::Recalibrate,
            size if size <= band => Self::Fine,
            size if size < limit => Self::Watch,
            _ => Self::Recalibrate,
        }
    }

    /// One word for the screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fine => "fine",
            Self::Watch => "watch",
            Self::Recalibrate => "recalibrate",
        }
    }
}

/// A timed check with water, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimedCheck {
    /// Change of the draw flow, relative: 0.05 is 5 % faster.
    pub change: f64,
    /// What one run can tell, relative, without sign.
    pub band: f64,
    /// What it says.
    pub verdict: Verdict,
}

/// Judges one run of a full container with water: the flow is inverse to the time, so it changed by
/// `calibrated`/`now` − 1. `scatter` is that of one run's time ([`scatter_of_time`]), `runs` is how many the calibrated time is a
/// mean of, `limit` the bay's ([`USUAL_LIMIT`]).
///
/// # Errors
/// No time in the check or in the calibration.
pub fn check(
    calibrated: Duration,
    now: Duration,
    scatter: f64,
    runs: u32,
    limit: f64,
) -> Result<TimedCheck, TimedCheckError> {
    if now.is_zero() {
        return Err(TimedCheckError::NoTime);
    }
    if calibrated.is_zero() {
        return Err(TimedCheckError::NoCalibratedTime);
    }
    let change = calibrated.as_secs_f64() / now.as_secs_f64() - 1.0;
    let band = band(scatter, runs);
    Ok(TimedCheck {
        change,
        band,
        verdict: Verdict::of(change, band, limit),
    })
}

/// How a sprayer draws the day's mix. Thick mixes draw slower than water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WithMix {
    /// draw' = drawn / t'.
    pub draw: Flow,
    /// d' = draw' / (draw' + carrier).
    pub draw_fraction: DrawFraction,
    /// Change of the draw flow from water, relative: −0.12 is 12 % slower.
    pub change: f64,
    /// What one run can tell, relative, without sign.
    pub band: f64,
    /// d/d': what the dose must be multiplied with for the same strength on the vehicle. Whether
    /// that is still within reach is for the dose to say.
    pub dose_factor: f64,
}

/// Reckons with one run of a full container with the mix: `drawn` in `time`. `water` are the
/// calibrated flows with clean water; the washer's own flow is taken to be unchanged. `band` is
/// that of [`band()`].
///
/// # Errors
/// No time, nothing drawn, or calibrated flows that are not above zero.
pub fn with_mix(
    drawn: Volume,
    time: Duration,
    water: &Flows,
    band: f64,
) -> Result<WithMix, TimedCheckError> {
    if time.is_zero() {
        return Err(TimedCheckError::NoTime);
    }
    if !drawn.is_some_liquid() {
        return Err(TimedCheckError::NothingDrawn);
    }
    let (carrier, before) = (water.carrier.as_ml_per_s(), water.draw.as_ml_per_s());
    if !(carrier.is_finite() && carrier > 0.0) {
        return Err(TimedCheckError::NoCarrier);
    }
    if !(before.is_finite() && before > 0.0) {
        return Err(TimedCheckError::NoCalibratedTime);
    }
    let draw = drawn.as_ml() / time.as_secs_f64();
    let fraction = |draw: f64| draw / (draw + carrier);
    Ok(WithMix {
        draw: Flow::ml_per_s(draw),
        // Above 0 and below 1 by what was refused above, but for a last bit.
        draw_fraction: DrawFraction::new(fraction(draw)).ok_or(TimedCheckError::NoCarrier)?,
        change: draw / before - 1.0,
        band,
        dose_factor: fraction(before) / fraction(draw),
    })
}

impl WithMix {
    /// True where the mix draws slower or faster than one run can put down to chance.
    pub fn is_seen(&self) -> bool {
        self.change.abs() > self.band
    }

    /// The factor to offer for the dose; nothing where the difference may be chance. Never to be
    /// applied without being asked.
    pub fn offered_factor(&self) -> Option<f64> {
        self.is_seen().then_some(self.dose_factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_scatters_more_than_a_draw_fraction() {
        let draw = DrawFraction::new(0.2).expect("d");
        let long = scatter_of_time(0.02, draw, Duration::from_secs(10_000));
        assert_relative_eq!(long, 0.025, max_relative = 1e-4);
        // A fifth of a second at each end of ten.
        let short = scatter_of_time(0.0, draw, Duration::from_secs(10));
        assert_relative_eq!(short, 0.0283, max_relative = 1e-9);
        assert_relative_eq!(scatter_of_time(0.02, draw, Duration::ZERO), 0.025);
    }
    use crate::trade::calibration::Run;
    use crate::trade::dilution;
    use crate::trade::uncertainty::PRIOR_SCATTER;
    use crate::trade::units::Strength;
    use approx::assert_relative_eq;

    fn seconds(s: f64) -> Duration {
        Duration::from_secs_f64(s)
    }
    fn flows() -> Flows {
        let run = Run::dry(Volume::ml(820.0), Volume::ml(14_700.0), seconds(104.0));
        run.flows().expect("flows")
    }

    #[test]
    fn the_band_of_one_run_against_a_mean_of_three() {
        assert_relative_eq!(band(PRIOR_SCATTER, 3), 0.045, epsilon = 0.0005);
        assert_relative_eq!(band(0.02, 1), 1.96 * 0.02 * 2f64.sqrt());
        assert_eq!(band(0.02, 0), band(0.02, 1));
        assert_relative_eq!(band_of_means(0.02, 3, 1), band(0.02, 3));
        assert!(band_of_means(0.02, 3, 3) < band(0.02, 3));
    }

    #[test]
    fn fine_watch_recalibrate() {
        let of = |now: f64| {
            check(seconds(100.0), seconds(now), PRIOR_SCATTER, 3, USUAL_LIMIT).expect("times")
        };
        for (now, verdict) in [
            (100.0, Verdict::Fine),
            (104.6, Verdict::Fine),
            (95.8, Verdict::Fine),
            (105.0, Verdict::Watch),
            (95.1, Verdict::Recalibrate),
            (106.0, Verdict::Recalibrate),
            (90.0, Verdict::Recalibrate),
        ] {
            assert_eq!(of(now).verdict, verdict, "{now} s: {:?}", of(now));
        }
        // Twice the time is half the flow.
        assert_relative_eq!(of(200.0).change, -0.5);
    }

    #[test]
    fn what_one_run_cannot_see_is_no_change_whatever_the_limit() {
        let strict = check(seconds(100.0), seconds(96.5), 0.02, 3, 0.01).expect("times");
        assert_eq!(strict.verdict, Verdict::Fine);
        assert_eq!(Verdict::of(f64::NAN, 0.045, 0.1), Verdict::Recalibrate);
    }

    #[test]
    fn a_mix_that_draws_like_water_changes_nothing() {
        let mix = with_mix(Volume::ml(820.0), seconds(104.0), &flows(), 0.045).expect("a mix");
        assert_relative_eq!(
            mix.draw_fraction.as_fraction(),
            820.0 / 14_700.0,
            max_relative = 1e-12
        );
        assert_relative_eq!(mix.dose_factor, 1.0, max_relative = 1e-12);
        assert_eq!(mix.offered_factor(), None);
    }

    #[test]
    fn a_thick_mix_draws_slower_and_the_corrected_dose_lands_as_wanted() {
        let mix = with_mix(Volume::ml(820.0), seconds(130.0), &flows(), 0.045).expect("a mix");
        // By hand: 820 ml in 130 s into a carrier of 13 880 ml in 104 s.
        assert_relative_eq!(mix.draw.as_ml_per_s(), 820.0 / 130.0);
        assert_relative_eq!(mix.change, -0.2, max_relative = 1e-9);
        let slow = 820.0 / 130.0;
        let by_hand = slow / (slow + 13_880.0 / 104.0);
        assert_relative_eq!(
            mix.draw_fraction.as_fraction(),
            by_hand,
            max_relative = 1e-12
        );
        let factor = mix.offered_factor().expect("a fifth slower is seen");
        let (fill, wanted) = (
            Volume::ml(820.0),
            Strength::percent(2.0).expect("a strength"),
        );
        let clean = DrawFraction::new(820.0 / 14_700.0).expect("a draw fraction");
        let dose = dilution::dose(fill, wanted, clean, Strength::NEAT).expect("within reach");
        let landed = dilution::strength(
            dose.product * factor,
            fill,
            mix.draw_fraction,
            Strength::NEAT,
        );
        let landed = landed.expect("some").as_percent();
        assert_relative_eq!(landed, 2.0, max_relative = 1e-12);
    }

    #[test]
    fn what_says_nothing_is_refused_with_the_reason() {
        let fault = |calibrated: f64, now: f64| {
            check(seconds(calibrated), seconds(now), 0.02, 3, 0.1).expect_err("a fault")
        };
        assert_eq!(fault(100.0, 0.0), TimedCheckError::NoTime);
        assert_eq!(fault(0.0, 100.0), TimedCheckError::NoCalibratedTime);
        let mix = |ml: f64, s: f64, flows: &Flows| {
            with_mix(Volume::ml(ml), seconds(s), flows, 0.045).expect_err("a fault")
        };
        assert_eq!(mix(820.0, 0.0, &flows()), TimedCheckError::NoTime);
        assert_eq!(mix(0.0, 104.0, &flows()), TimedCheckError::NothingDrawn);
        let direct = Flows {
            carrier: Flow::ml_per_s(0.0),
            ..flows()
        };
        assert_eq!(mix(820.0, 104.0, &direct), TimedCheckError::NoCarrier);
        let still = Flows {
            draw: Flow::ml_per_s(0.0),
            ..flows()
        };
        assert_eq!(mix(820.0, 104.0, &still), TimedCheckError::NoCalibratedTime);
        for error in [
            TimedCheckError::NoTime,
            TimedCheckError::NoCalibratedTime,
            TimedCheckError::NothingDrawn,
            TimedCheckError::NoCarrier,
        ] {
            assert!(error.to_string().contains(": "), "{error}");
        }
    }

    #[test]
    fn the_time_of_a_full_container() {
        let time = emptying_time(Volume::ml(820.0), flows().draw).expect("a time");
        assert_relative_eq!(time.as_secs_f64(), 104.0, max_relative = 1e-9);
        assert_eq!(emptying_time(Volume::ml(820.0), Flow::ml_per_s(0.0)), None);
        assert_eq!(emptying_time(Volume::ZERO, flows().draw), None);
    }
}
