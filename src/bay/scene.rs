//! What is being done at the sprayer, for those who train without one.

use super::action::Page;
use super::at_work::Bay;
use super::calibrating::Calibrating;
use super::checking::{CheckStage, Checking};
use super::ports::{Doing, Scene};
use super::records::Step;
use super::stopwatch::Watch;

impl Bay {
    /// What is being done at the sprayer just now.
    pub fn scene(&self) -> Scene {
        let away = |sprayer: &str| Scene {
            sprayer: sprayer.into(),
            doing: Doing::Nothing,
        };
        match (self.page, &self.calibrating, &self.checking) {
            (Page::Calibrate, Some(calibrating), _) => Scene {
                sprayer: calibrating.draft.sprayer.clone(),
                doing: self.calibrates(calibrating),
            },
            (Page::Check, _, Some(checking)) => Scene {
                sprayer: checking.sprayer.clone(),
                doing: self.checks(checking),
            },
            _ => away(&self.sprayer),
        }
    }

    fn calibrates(&self, calibrating: &Calibrating) -> Doing {
        match (self.watch(), calibrating.step()) {
            (Watch::Running(ran), _) => Doing::Spraying {
                check: false,
                mix: false,
                ran,
            },
            (Watch::Countdown(_), _) | (Watch::Still, Step::Running) => Doing::Between,
            (Watch::Still, step) => Doing::Step {
                way: calibrating.draft.way,
                step,
                time: calibrating.draft.time,
            },
        }
    }

    fn checks(&self, checking: &Checking) -> Doing {
        match (checking.stage, self.watch()) {
            (CheckStage::Running, Watch::Running(ran)) => Doing::Spraying {
                check: true,
                mix: checking.mix.is_some(),
                ran,
            },
            _ => Doing::Between,
        }
    }
}
