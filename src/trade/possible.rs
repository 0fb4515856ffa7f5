//! Physical bounds of a calibration run. What lies outside of them was misread, miscounted or
//! mistyped, so no figure is made of it. They are far outside of what is merely odd
//! ([`super::calibration::Doubt`]): a reading that can be, however rare, is never refused.

use super::calibration::{Run, time_shown};
use super::dilution::DrawFraction;
use super::text::Text;
use super::units::{Flow, Volume};
use crate::text;
use std::ops::RangeInclusive;
use std::time::Duration;

/// Total flow, L/min: from a drip to far more than any washer that a hand holds the lance of. Common
/// practice, no source.
pub const FLOW_L_PER_MIN: RangeInclusive<f64> = 0.2..=150.0;
/// Draw fraction: a venturi that draws next to nothing, to one that adds next to no water. Common
/// practice, no source.
pub const DRAW_FRACTION: RangeInclusive<f64> = 0.0005..=0.9;
/// Time of a run: shorter is all start and stop, longer was forgotten. Common practice, no source.
pub const TIME: RangeInclusive<Duration> = Duration::from_secs(3)..=Duration::from_secs(2 * 3600);
/// What was in a container at the start of a run: a trigger bottle's least to the largest container
/// that anybody draws from.
pub const CONTAINER: RangeInclusive<Volume> = Volume::ml(50.0)..=Volume::litres(1200.0);
/// What left a container in a run: enough to be measured, and no more than the largest takes.
pub const DRAWN: RangeInclusive<Volume> = Volume::ml(10.0)..=*CONTAINER.end();

/// Why a run cannot have been.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Impossible {
    /// The catch holds what was drawn and the washer's water, so it must be more than was drawn.
    CatchNotAboveDrawn,
    /// Outside [`CONTAINER`].
    Container(Volume),
    /// Outside [`DRAWN`].
    Drawn(Volume),
    /// Outside [`TIME`].
    Time(Duration),
    /// Outside [`FLOW_L_PER_MIN`].
    Flow(Flow),
    /// Outside [`DRAW_FRACTION`].
    DrawFraction(DrawFraction),
}

impl Impossible {
    /// What cannot be and what to do, in words for the screen.
    pub fn words(self) -> Text {
        match self {
            Self::CatchNotAboveDrawn => text!(
                "The catch is not more than was drawn: was some spilled, \
                or a load left out?"
            ),
            Self::Container(volume) => text!(
                "It cannot hold {} (50 ml to 1200 L can be): measure it again.",
                volume.shown()
            ),
            Self::Drawn(volume) => text!(
                "{} drawn cannot be (10 ml to 1200 L can): measure again.",
                volume.shown()
            ),
            Self::Time(time) => text!(
                "A run of {} cannot be (3 s to 2 hours can): run again.",
                time_shown(time)
            ),
            Self::Flow(flow) => text!(
                "{} cannot be (0.2 to 150 can). Count the loads and look at the time, or run again.",
                flow.shown()
            ),
            Self::DrawFraction(d) => text!(
                "Drawing {} cannot be (0.05 to 90 % can). Count the loads, or run again.",
                d.shown()
            ),
        }
    }
}

/// A volume that a container can hold, or why it cannot.
///
/// # Errors
/// [`Impossible::Container`].
pub fn container(volume: Volume) -> Result<Volume, Impossible> {
    match CONTAINER.contains(&volume) {
        true => Ok(volume),
        false => Err(Impossible::Container(volume)),
    }
}

/// Everything about a run that cannot be.
pub fn run(run: &Run) -> Vec<Impossible> {
    let mut found = Vec::new();
    if !DRAWN.contains(&run.drawn) {
        found.push(Impossible::Drawn(run.drawn));
    }
    if !TIME.contains(&run.time) {
        found.push(Impossible::Time(run.time));
    } else if let Some(flows) = run.flows()
        && !FLOW_L_PER_MIN.contains(&flows.total.as_l_per_min())
    {
        found.push(Impossible::Flow(flows.total));
    }
    match run.draw_fraction() {
        None => found.push(Impossible::CatchNotAboveDrawn),
        Some(d) if !DRAW_FRACTION.contains(&d.as_fraction()) => {
            found.push(Impossible::DrawFraction(d));
        }
        Some(_) => {}
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(drawn: f64, catch: f64, seconds: f64) -> Vec<Impossible> {
        run(&Run::dry(
            Volume::ml(drawn),
            Volume::ml(catch),
            Duration::from_secs_f64(seconds),
        ))
    }

    #[test]
    fn each_bound_holds_on_both_sides() {
        assert_eq!(found(700.0, 14_000.0, 90.0), []);
        // 600 ml in a minute is 0.6 L/min.
        assert_eq!(found(10.0, 600.0, 60.0), []);
        assert!(matches!(
            found(9.9, 600.0, 60.0)[..],
            [Impossible::Drawn(_)]
        ));
        // One thousand and twenty litres within half a minute.
        assert!(matches!(
            found(50_000.0, 1_020_000.0, 29.5)[..],
            [Impossible::Flow(flow)] if flow.as_l_per_min() > 2000.0
        ));
        assert!(matches!(
            found(15.0, 190.0, 60.0)[..],
            [Impossible::Flow(_)]
        ));
        assert_eq!(found(15.0, 210.0, 60.0), []);
        assert!(matches!(found(60.0, 400.0, 2.9)[..], [Impossible::Time(_)]));
        assert_eq!(found(60.0, 400.0, 3.0), []);
        assert!(matches!(
            found(90_000.0, 900_000.0, 7201.0)[..],
            [Impossible::Time(_)]
        ));
        assert!(matches!(
            found(10.0, 21_000.0, 60.0)[..],
            [Impossible::DrawFraction(_)]
        ));
        assert!(matches!(
            found(950.0, 1000.0, 60.0)[..],
            [Impossible::DrawFraction(_)]
        ));
        assert_eq!(found(950.0, 950.0, 60.0), [Impossible::CatchNotAboveDrawn]);
        assert!(container(Volume::ml(49.0)).is_err());
        assert!(container(Volume::litres(1201.0)).is_err());
        assert_eq!(container(Volume::ml(50.0)), Ok(Volume::ml(50.0)));
    }
}
