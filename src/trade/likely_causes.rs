//! What may lie behind a change between two calibrations, as possibilities to look at.

use super::calibration::Flows;
use super::dilution::DrawFraction;
use super::text::Text;
use crate::text;

/// What a calibration found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The mean draw fraction.
    pub draw_fraction: DrawFraction,
    /// The mean flows.
    pub flows: Flows,
}

/// How a new calibration differs from the one before: each new/old − 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Of the draw fraction.
    pub draw_fraction: f64,
    /// Of the total flow.
    pub total: f64,
    /// Of the draw flow.
    pub draw: f64,
    /// Of the carrier flow, the washer's own.
    pub carrier: f64,
}

impl Change {
    /// From `before` to `now`. A flow of zero before makes its change infinite or not a number,
    /// which is never taken for a cause.
    pub fn between(before: &Found, now: &Found) -> Self {
        let flow = |pick: fn(&Flows) -> super::units::Flow| {
            pick(&now.flows).as_ml_per_s() / pick(&before.flows).as_ml_per_s() - 1.0
        };
        Self {
            draw_fraction: now.draw_fraction.as_fraction() / before.draw_fraction.as_fraction()
                - 1.0,
            total: flow(|f| f.total),
            draw: flow(|f| f.draw),
            carrier: flow(|f| f.carrier),
        }
    }
}

/// Something that may have happened. A possibility, never a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// More water through the nozzle.
    WornOrWrongNozzle,
    /// Less water through the nozzle, while as much is drawn.
    BlockedOrSmallerNozzle,
    /// Less is drawn.
    BlockedFilterOrTube,
    /// More is drawn.
    DialOrTip,
    /// As much water, and less of it drawn: a worn nozzle takes the pressure, and not the flow, of a
    /// washer that displaces.
    WornNozzleLessPressure,
    /// The foam is held back behind the jet.
    CloggedFoamMesh,
    /// Everything flows slower.
    WeakSupplyOrPump,
    /// Everything flows faster.
    StrongerSupplyOrPump,
    /// The catch is off while the draw is not: a load too many or too few.
    Miscounted,
}

impl Cause {
    /// All causes.
    pub const ALL: [Self; 9] = [
        Self::WornOrWrongNozzle,
        Self::BlockedOrSmallerNozzle,
        Self::BlockedFilterOrTube,
        Self::DialOrTip,
        Self::WornNozzleLessPressure,
        Self::CloggedFoamMesh,
        Self::WeakSupplyOrPump,
        Self::StrongerSupplyOrPump,
        Self::Miscounted,
    ];

    /// For the screen: what was seen and what may be behind it.
    pub fn words(self) -> Text {
        match self {
            Self::WornOrWrongNozzle => {
                text!("More water comes through: the nozzle may be worn, or a larger one fitted.")
            }
            Self::BlockedOrSmallerNozzle => text!(
                "Less water comes through: the nozzle may be partly blocked, or a smaller one fitted."
            ),
            Self::BlockedFilterOrTube => text!(
                "Less is drawn: filter, tube or foam mesh may be blocked, the tube leak air, or the \
                nozzle be worn."
            ),
            Self::DialOrTip => text!(
                "More is drawn: the dial may be set higher, or the metering tip changed or missing."
            ),
            Self::WornNozzleLessPressure => text!(
                "Less is drawn from as much water: the nozzle may be worn, and the pressure with it."
            ),
            Self::CloggedFoamMesh => {
                text!("Less is drawn: the foam mesh may be clogged. Clean it.")
            }
            Self::WeakSupplyOrPump => text!(
                "Everything flows slower: the water supply, a hose or the washer's pump may be weak."
            ),
            Self::StrongerSupplyOrPump => text!(
                "Everything flows faster: the supply or the washer's pressure may be higher, or the \
                nozzle worn."
            ),
            Self::Miscounted => text!(
                "As much is drawn as before: a load of the catch may be missing or counted twice."
            ),
        }
    }
}

/// What may lie behind `change`, the likeliest first. Only changes beyond `band` count, relative
/// and without sign ([`super::timed_check::band_of_means`]); nothing where none is beyond it.
pub fn likely_causes(change: &Change, band: f64) -> Vec<Cause> {
    #[derive(Clone, Copy, PartialEq)]
    enum Way {
        Down,
        Same,
        Up,
    }
    use Way::{Down, Same, Up};
    let way = |change: f64| match change {
        x if x.is_finite() && x > band => Up,
        x if x.is_finite() && x < -band => Down,
        _ => Same,
    };
    let fraction = way(change.draw_fraction);
    let mut causes = match (way(change.carrier), way(change.draw)) {
        (Down, Down) => vec![Cause::WeakSupplyOrPump],
        (Up, Up) => vec![Cause::StrongerSupplyOrPump, Cause::WornOrWrongNozzle],
        (Up, Same) => vec![Cause::WornOrWrongNozzle, Cause::Miscounted],
        (Down, Same) => vec![Cause::BlockedOrSmallerNozzle, Cause::Miscounted],
        (Up, Down) => vec![Cause::WornOrWrongNozzle, Cause::BlockedFilterOrTube],
        (Down, Up) => vec![Cause::BlockedOrSmallerNozzle, Cause::DialOrTip],
        (Same, Down) => vec![
            Cause::BlockedFilterOrTube,
            Cause::WornNozzleLessPressure,
            Cause::CloggedFoamMesh,
        ],
        (Same, Up) => vec![Cause::DialOrTip],
        // Two changes too small to see by themselves, in opposite ways.
        (Same, Same) => match fraction {
            Same => vec![],
            Down => vec![Cause::BlockedFilterOrTube, Cause::WornOrWrongNozzle],
            Up => vec![Cause::DialOrTip, Cause::BlockedOrSmallerNozzle],
        },
    };
    // Both changed the same way, but the draw more, or less, than the washer's own flow explains.
    match (way(change.carrier), way(change.draw), fraction) {
        (Down, Down, Down) => causes.push(Cause::BlockedFilterOrTube),
        (Down, Down, Up) => causes.push(Cause::BlockedOrSmallerNozzle),
        (Up, Up, Up) => causes.push(Cause::DialOrTip),
        _ => {}
    }
    causes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::calibration::Run;
    use crate::trade::units::Volume;
    use approx::assert_relative_eq;
    use std::time::Duration;

    const BAND: f64 = 0.045;

    /// What a run finds with these flows, relative to the one before.
    fn found(carrier: f64, draw: f64) -> Found {
        let drawn = Volume::ml(820.0 * draw);
        let run = Run::dry(
            drawn,
            drawn + Volume::ml(13_880.0 * carrier),
            Duration::from_secs(104),
        );
        Found {
            draw_fraction: run.draw_fraction().expect("a draw fraction"),
            flows: run.flows().expect("flows"),
        }
    }
    fn causes(carrier: f64, draw: f64) -> Vec<Cause> {
        let change = Change::between(&found(1.0, 1.0), &found(carrier, draw));
        likely_causes(&change, BAND)
    }

    #[test]
    fn changes_are_relative_to_the_calibration_before() {
        let change = Change::between(&found(1.0, 1.0), &found(1.1, 0.8));
        assert_relative_eq!(change.carrier, 0.1, max_relative = 1e-9);
        assert_relative_eq!(change.draw, -0.2, max_relative = 1e-9);
        let total = (820.0 * 0.8 + 13_880.0 * 1.1) / 14_700.0;
        assert_relative_eq!(change.total, total - 1.0, max_relative = 1e-9);
        assert_relative_eq!(change.draw_fraction, 0.8 / total - 1.0, max_relative = 1e-9);
    }

    #[test]
    fn nothing_is_read_into_what_the_runs_cannot_tell() {
        assert_eq!(causes(1.0, 1.0), []);
        assert_eq!(causes(1.04, 1.04), []);
        assert_eq!(causes(0.97, 0.96), []);
        // A change that cannot be reckoned is no cause.
        let change = Change {
            draw_fraction: f64::NAN,
            total: f64::INFINITY,
            draw: f64::NAN,
            carrier: f64::INFINITY,
        };
        assert_eq!(likely_causes(&change, BAND), []);
    }

    #[test]
    fn each_pattern_has_its_first_suspect() {
        for (carrier, draw, first) in [
            (1.1, 1.0, Cause::WornOrWrongNozzle),
            (0.9, 1.0, Cause::BlockedOrSmallerNozzle),
            (1.0, 0.9, Cause::BlockedFilterOrTube),
            (1.0, 1.1, Cause::DialOrTip),
            (0.9, 0.9, Cause::WeakSupplyOrPump),
            (1.1, 1.1, Cause::StrongerSupplyOrPump),
            (1.1, 0.9, Cause::WornOrWrongNozzle),
            (0.9, 1.1, Cause::BlockedOrSmallerNozzle),
            (1.04, 0.96, Cause::BlockedFilterOrTube),
            (0.96, 1.04, Cause::DialOrTip),
        ] {
            assert_eq!(
                causes(carrier, draw).first(),
                Some(&first),
                "{carrier} {draw}"
            );
        }
        // Slower all round, and the draw by far the most: the supply does not explain it alone.
        let both = [Cause::WeakSupplyOrPump, Cause::BlockedFilterOrTube];
        assert_eq!(causes(0.9, 0.7), both);
        // The carrier unchanged and the draw down by 15 %: three things may be behind it, and the one
        // that is shown names all of them.
        let down = causes(1.0, 0.85);
        for cause in [
            Cause::BlockedFilterOrTube,
            Cause::WornNozzleLessPressure,
            Cause::CloggedFoamMesh,
        ] {
            assert!(down.contains(&cause), "{cause:?}");
        }
        let shown = down[0].words().to_string();
        for word in ["filter", "tube", "foam mesh", "nozzle"] {
            assert!(shown.contains(word), "{shown}");
        }
        assert!(causes(1.1, 1.0).contains(&Cause::Miscounted));
        assert!(!causes(1.0, 0.9).contains(&Cause::Miscounted));
    }

    #[test]
    fn causes_are_worded_as_possibilities_and_every_one_can_come_up() {
        let mut seen = Vec::new();
        for carrier in [0.7, 0.9, 1.0, 1.1, 1.4] {
            for draw in [0.7, 0.9, 1.0, 1.1, 1.4] {
                let causes = causes(carrier, draw);
                let mut once = causes.clone();
                once.dedup();
                assert_eq!(once, causes, "named twice");
                seen.extend(causes);
            }
        }
        for cause in Cause::ALL {
            assert!(cause.words().to_string().contains(" may be "), "{cause:?}");
            assert!(seen.contains(&cause), "{cause:?}");
        }
    }
}
