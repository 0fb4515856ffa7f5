//! Calibration: from what was drawn, caught and timed to the draw fraction.

use super::dilution::DrawFraction;
use super::possible::{self, Impossible};
use super::text::Text;
use super::units::{Flow, Volume, trim_number};
use super::weighing::Weights;
use crate::text;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// How a run is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Way {
    /// Until it runs dry; what is left all the same is measured after.
    #[default]
    RunDry,
    /// For a chosen time, called by the screen; what is left in the container is measured after.
    Timed,
    /// Run dry, with bucket and container weighed before and after.
    ByWeight,
}

impl Way {
    /// All ways.
    pub const ALL: [Self; 3] = [Self::RunDry, Self::Timed, Self::ByWeight];

    /// The word in the records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::RunDry => "run-dry",
            Self::Timed => "timed",
            Self::ByWeight => "by-weight",
        }
    }
    /// The way for a word of the records.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|w| w.word() == word)
    }
    /// For the screen.
    pub const fn shown(self) -> &'static str {
        match self {
            Self::RunDry => "run dry",
            Self::Timed => "timed",
            Self::ByWeight => "by weight",
        }
    }
}

/// How surely the volumes of a run were read: standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// Of what was drawn. Zero where all of what the container holds was drawn, because then it is
    /// that by definition; where something was left, of that.
    pub drawn: Volume,
    /// Of the catch.
    pub catch: Volume,
}

/// Volume that a container takes up to its line, as somebody measured it. What a run drew is no such
/// volume, so none is made from a [`Run`].
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Container(Volume);

impl Container {
    /// A container filled to its line, poured out and measured: so much.
    pub const fn measured(volume: Volume) -> Self {
        Self(volume)
    }
    /// The volume.
    pub const fn holds(self) -> Volume {
        self.0
    }
}

/// One calibration run, with clean water only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// What left the container.
    pub drawn: Volume,
    /// What stayed in it and was measured; zero where nothing did, where it was weighed, and in
    /// records of a version that did not keep it.
    pub left: Volume,
    /// Everything collected from the nozzle.
    pub catch: Volume,
    /// From opening the trigger to the container running dry, or to the end of the chosen time.
    pub time: Duration,
    /// How it was done.
    pub way: Way,
    /// How surely it was read; `None` in records of a version that did not keep it.
    pub read: Option<Read>,
    /// What the balance showed, where it was weighed.
    pub weights: Option<Weights>,
}

/// The flows of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flows {
    /// Catch per time.
    pub total: Flow,
    /// Drawn per time.
    pub draw: Flow,
    /// What the washer carries: (catch − drawn) per time.
    pub carrier: Flow,
}

/// Why a run's readings are questioned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// No run can have come to this: it cannot be saved.
    Impossible(Impossible),
    /// Total flow outside 1 to 40 L/min.
    FlowOutside(Flow),
    /// Draw fraction outside 0.3 to 60 %.
    DrawFractionOutside(DrawFraction),
    /// Far off the calibration before, though nozzle and washer are the same.
    DrawOffBefore {
        /// Now.
        now: DrawFraction,
        /// By the calibration before.
        before: DrawFraction,
    },
    /// The container was measured more than a tenth off what the set-up says it holds.
    HoldsOffSetup {
        /// Measured.
        measured: Volume,
        /// In the set-up.
        setup: Volume,
    },
}

impl Doubt {
    /// True for readings that cannot be saved at all.
    pub fn is_impossible(&self) -> bool {
        matches!(self, Self::Impossible(_))
    }

    /// What is odd and what to look at, in words for the screen.
    pub fn words(&self) -> Text {
        match self {
            Self::Impossible(why) => why.words(),
            Self::FlowOutside(flow) => {
                text!(
                    "{} is no washer's flow (1 to 40). Check time and catch.",
                    flow.shown()
                )
            }
            Self::DrawFractionOutside(d) => {
                text!(
                    "Draws {}, usual is 0.3 to 60 %. Check catch, filter, dial.",
                    d.shown()
                )
            }
            Self::DrawOffBefore { now, before } => {
                text!(
                    "Draws {}, before {}: measure again.",
                    now.shown(),
                    before.shown()
                )
            }
            Self::HoldsOffSetup { measured, setup } => {
                text!(
                    "Held {}, the set-up says {}.",
                    measured.shown(),
                    setup.shown()
                )
            }
        }
    }
}

/// Flow limits of a plausible run, L/min.
pub const FLOW_L_PER_MIN: std::ops::RangeInclusive<f64> = 1.0..=40.0;
/// Draw fractions of a plausible run.
pub const DRAW_FRACTION: std::ops::RangeInclusive<f64> = 0.003..=0.6;
/// How far a measured container may be off its set-up before it is questioned.
pub const HOLDS_OFF: f64 = 0.10;
/// How far the draw fraction may be off the one before, on the same nozzle and washer, before the
/// count of the loads is questioned. Common practice, no source.
pub const DRAW_OFF: f64 = 0.15;

impl Run {
    /// A run until dry whose reading is not known.
    pub const fn dry(drawn: Volume, catch: Volume, time: Duration) -> Self {
        Self {
            drawn,
            left: Volume::ZERO,
            catch,
            time,
            way: Way::RunDry,
            read: None,
            weights: None,
        }
    }

    /// Drawn / catch; `None` when the catch is not above what was drawn.
    pub fn draw_fraction(&self) -> Option<DrawFraction> {
        let fraction = self.drawn / self.catch;
        (fraction < 1.0)
            .then(|| DrawFraction::new(fraction))
            .flatten()
    }

    /// The flows; `None` when no time went by.
    pub fn flows(&self) -> Option<Flows> {
        let seconds = self.time.as_secs_f64();
        (seconds > 0.0).then(|| {
            let per_second = |v: Volume| Flow::ml_per_s(v.as_ml() / seconds);
            Flows {
                total: per_second(self.catch),
                draw: per_second(self.drawn),
                carrier: per_second(self.catch - self.drawn),
            }
        })
    }

    /// Everything about the readings that cannot be, or hardly can. What cannot be is told alone: the
    /// rest follows from it.
    pub fn doubts(&self) -> Vec<Doubt> {
        let impossible = possible::run(self);
        if !impossible.is_empty() {
            return impossible.into_iter().map(Doubt::Impossible).collect();
        }
        self.unlikely()
    }

    /// What hardly can be about the flow and the draw fraction, whether or not something else about the
    /// run cannot be at all. Nothing is told of the flow where no time went by.
    pub fn unlikely(&self) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        if let Some(d) = self
            .draw_fraction()
            .filter(|d| !DRAW_FRACTION.contains(&d.as_fraction()))
        {
            doubts.push(Doubt::DrawFractionOutside(d));
        }
        if let Some(flows) = self
            .flows()
            .filter(|flows| !FLOW_L_PER_MIN.contains(&flows.total.as_l_per_min()))
        {
            doubts.push(Doubt::FlowOutside(flows.total));
        }
        doubts
    }
}

/// The most runs that make a calibration.
pub const MOST_RUNS: usize = 5;

/// Runs of one sprayer, and what its container was measured to hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// The container as it was measured, for this calibration or for an earlier one; `None` where it
    /// never was, and for a drum, which is calibrated with whatever was put in: then what the set-up
    /// says counts.
    pub holds: Option<Container>,
    /// The first run.
    pub run: Run,
    /// The runs after it: repeats, [`MOST_RUNS`] − 1 at most.
    pub more: Vec<Run>,
}

impl Calibration {
    /// A calibration of one run.
    pub fn of_one(holds: impl Into<Option<Container>>, run: Run) -> Self {
        Self {
            holds: holds.into(),
            run,
            more: Vec::new(),
        }
    }

    /// A calibration of several runs; `None` for none at all.
    pub fn of(holds: impl Into<Option<Container>>, runs: &[Run]) -> Option<Self> {
        let (first, more) = runs.split_first()?;
        Some(Self {
            holds: holds.into(),
            run: *first,
            more: more.to_vec(),
        })
    }

    /// All its runs, in order.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        std::iter::once(&self.run).chain(&self.more)
    }

    /// How many runs it stands on.
    pub fn count(&self) -> usize {
        1 + self.more.len()
    }

    /// Volume that stays in a full container when it is run dry: the mean over the runs until dry, zero
    /// where there is none.
    pub fn left_when_dry(&self) -> Volume {
        let left: Vec<Volume> = self
            .runs()
            .filter(|run| run.way == Way::RunDry)
            .map(|run| run.left)
            .collect();
        left.iter().copied().sum::<Volume>() / left.len().max(1) as f64
    }

    /// The mean of the runs' draw fractions; `None` when one of them has none.
    pub fn draw_fraction(&self) -> Option<DrawFraction> {
        let fractions: Option<Vec<f64>> = self
            .runs()
            .map(|run| Some(run.draw_fraction()?.as_fraction()))
            .collect();
        let fractions = fractions?;
        DrawFraction::new(fractions.iter().sum::<f64>() / fractions.len() as f64)
    }

    /// The mean of the runs' flows; `None` when no time went by in one of them.
    pub fn flows(&self) -> Option<Flows> {
        let flows: Option<Vec<Flows>> = self.runs().map(Run::flows).collect();
        let flows = flows?;
        let mean = |of: fn(&Flows) -> Flow| {
            let sum: f64 = flows.iter().map(|f| of(f).as_ml_per_s()).sum();
            Flow::ml_per_s(sum / flows.len() as f64)
        };
        Some(Flows {
            total: mean(|f| f.total),
            draw: mean(|f| f.draw),
            carrier: mean(|f| f.carrier),
        })
    }

    /// The run's doubts, whether the container is far off what the set-up says, and whether the
    /// draw fraction is far off the one `before`, where nozzle and washer are the same.
    pub fn doubts(&self, setup_holds: Volume, before: Option<DrawFraction>) -> Vec<Doubt> {
        let mut doubts: Vec<Doubt> = Vec::new();
        for doubt in self.runs().flat_map(Run::doubts) {
            // Two runs with the same fault are one thing to look at.
            if !doubts.contains(&doubt) {
                doubts.push(doubt);
            }
        }
        if let Some((now, before)) = self.draw_fraction().zip(before)
            && (now.as_fraction() / before.as_fraction() - 1.0).abs() > DRAW_OFF
        {
            doubts.push(Doubt::DrawOffBefore { now, before });
        }
        if let Some(measured) = self.holds.map(Container::holds)
            && (measured / setup_holds - 1.0).abs() > HOLDS_OFF
        {
            doubts.push(Doubt::HoldsOffSetup {
                measured,
                setup: setup_holds,
            });
        }
        doubts
    }
}

/// A time for people: `1 min 54.3 s`, `54.3 s`.
pub fn time_shown(time: Duration) -> String {
    let tenths = (time.as_secs_f64() * 10.0).round() as u64;
    let (minutes, rest) = (tenths / 600, tenths % 600);
    let seconds = trim_number(rest as f64 / 10.0, 1);
    match minutes {
        0 => format!("{seconds} s"),
        _ => format!("{minutes} min {seconds} s"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn run(drawn: f64, catch: f64, seconds: f64) -> Run {
        Run::dry(
            Volume::ml(drawn),
            Volume::ml(catch),
            Duration::from_secs_f64(seconds),
        )
    }

    #[test]
    fn flows_add_up() {
        let flows = run(820.0, 14_700.0, 104.0).flows().expect("flows");
        assert_relative_eq!(
            flows.draw.as_ml_per_s() + flows.carrier.as_ml_per_s(),
            flows.total.as_ml_per_s(),
            max_relative = 1e-12
        );
        assert_relative_eq!(flows.total.as_l_per_min(), 8.48, max_relative = 1e-3);
    }

    #[test]
    fn readings_that_cannot_be_are_questioned() {
        assert_eq!(run(820.0, 14_700.0, 104.0).doubts(), []);
        assert_eq!(
            run(820.0, 820.0, 6.0).doubts(),
            [Doubt::Impossible(Impossible::CatchNotAboveDrawn)]
        );
        assert!(matches!(
            run(820.0, 14_700.0, 20.0).doubts()[..],
            [Doubt::FlowOutside(_)]
        ));
        assert!(matches!(
            run(820.0, 14_700.0, 1100.0).doubts()[..],
            [Doubt::FlowOutside(_)]
        ));
        assert!(matches!(
            run(820.0, 14_700.0, 0.0).doubts()[..],
            [Doubt::Impossible(Impossible::Time(_))]
        ));
        assert!(matches!(
            run(30.0, 14_700.0, 104.0).doubts()[..],
            [Doubt::DrawFractionOutside(_)]
        ));
        assert!(matches!(
            run(820.0, 1300.0, 20.0).doubts()[..],
            [Doubt::DrawFractionOutside(_)]
        ));
        let odd = Calibration::of_one(
            Container::measured(Volume::ml(700.0)),
            run(700.0, 14_700.0, 104.0),
        );
        assert!(matches!(
            odd.doubts(Volume::ml(820.0), None)[..],
            [Doubt::HoldsOffSetup { .. }]
        ));
        for doubt in odd.doubts(Volume::ml(820.0), None) {
            assert!(doubt.words().to_string().contains("700 ml"));
        }
    }

    #[test]
    fn several_runs_make_a_mean() {
        let runs = [run(820.0, 14_700.0, 104.0), run(820.0, 16_300.0, 100.0)];
        let c = Calibration::of(Container::measured(Volume::ml(820.0)), &runs).expect("runs");
        let each: Vec<f64> = runs.iter().map(|r| 820.0 / r.catch.as_ml()).collect();
        assert_relative_eq!(
            c.draw_fraction().expect("d").as_fraction(),
            (each[0] + each[1]) / 2.0
        );
        assert_eq!(c.count(), 2);
        assert_eq!(
            Calibration::of(Container::measured(Volume::ml(820.0)), &[]),
            None
        );
        let flows = c.flows().expect("flows");
        assert_relative_eq!(
            flows.total.as_ml_per_s(),
            flows.draw.as_ml_per_s() + flows.carrier.as_ml_per_s(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn a_leap_since_the_calibration_before_is_questioned() {
        let good = Calibration::of_one(
            Container::measured(Volume::ml(820.0)),
            run(820.0, 14_700.0, 104.0),
        );
        let before = |percent: f64| DrawFraction::new(percent / 100.0);
        assert_eq!(good.doubts(Volume::ml(820.0), before(5.0)), []);
        let doubts = good.doubts(Volume::ml(820.0), before(10.2));
        assert!(
            matches!(doubts[..], [Doubt::DrawOffBefore { .. }]),
            "{doubts:?}"
        );
        assert!(doubts[0].words().to_string().contains("measure again"));
    }

    #[test]
    fn times_are_shown_to_a_tenth() {
        assert_eq!(time_shown(Duration::from_millis(54_340)), "54.3 s");
        assert_eq!(time_shown(Duration::from_millis(114_300)), "1 min 54.3 s");
        assert_eq!(time_shown(Duration::from_millis(59_990)), "1 min 0 s");
    }
}
