//! A person at the wall whose bay is on real files, and who can pull its plug.

use super::{Around, Heard, lead};
use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::calibrating::Calibrating;
use fillcall::bay::ports::{OnlyToLookAt, Tone};
use fillcall::bay::records::{Draft, Happening, Step};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Setup;
use fillcall::store::records::{SqliteRecords, log_of};
use fillcall::store::records_path;
use fillcall::trade::calibration::Way;
use std::time::Duration;

/// The keys of the number pad for a number.
pub fn keys(text: &str) -> impl Iterator<Item = Action> + '_ {
    text.chars().map(|key| {
        Action::Pad(match key {
            '.' => PadKey::Point,
            digit => PadKey::Digit(digit as u8 - b'0'),
        })
    })
}

pub struct Wall {
    folder: tempfile::TempDir,
    pub setup: Setup,
    pub around: Around,
    runner: Option<Runner>,
}

impl Wall {
    pub fn new(setup: Setup) -> Self {
        let mut wall = Self {
            folder: tempfile::tempdir().expect("a folder"),
            setup,
            around: Around::default(),
            runner: None,
        };
        wall.restart();
        wall
    }

    /// As after a power cut: nothing but the files is left.
    pub fn restart(&mut self) {
        self.runner = None;
        let records = SqliteRecords::open(&records_path(self.folder.path())).expect("records open");
        let bay = Bay::open(
            self.setup.clone(),
            Box::new(records),
            self.around.clock.now(),
        )
        .expect("the bay opens")
        .with_lead(Box::new(OnlyToLookAt), Box::new(self.around.lock.clone()));
        self.runner = Some(Runner::new(
            bay,
            Box::new(self.around.ears.clone()),
            Box::new(self.around.clock.clone()),
        ));
    }

    /// Looks at the bay as it would be after a restart, and goes on with the one that runs.
    pub fn look_again<T>(&mut self, look: impl FnOnce(&mut Self) -> T) -> T {
        let running = self.runner.take();
        self.restart();
        let found = look(self);
        self.runner = running;
        found
    }

    /// What the records tell.
    pub fn log(&self) -> Vec<Happening> {
        let path = records_path(self.folder.path());
        let log = log_of(&path, 0).expect("log").into_iter();
        log.map(|logged| logged.what).collect()
    }

    pub fn bay(&self) -> &Bay {
        self.runner.as_ref().expect("running").bay()
    }

    /// The shift lead comes to a page of the shift lead's side.
    pub fn lead_in_to(&mut self, page: Page) {
        lead::let_in_to(self.runner.as_mut().expect("running"), page);
    }

    pub fn act(&mut self, action: Action) {
        self.runner.as_mut().expect("running").act(action);
    }

    pub fn acts(&mut self, actions: impl IntoIterator<Item = Action>) {
        actions.into_iter().for_each(|action| self.act(action));
    }

    pub fn type_in(&mut self, text: &str) {
        self.acts(keys(text));
    }

    /// Types it, and goes on.
    pub fn enter(&mut self, text: &str) {
        self.type_in(text);
        self.act(Action::NextStep);
    }

    /// Goes on in small steps, as the window does.
    pub fn wait(&mut self, seconds: f64) {
        for _ in 0..(seconds / 0.05).round() as u32 {
            self.around.clock.go_on(Duration::from_millis(50));
            self.act(Action::Tick);
        }
    }

    /// Starts the stopwatch, and stops it after so many seconds. Run dry, nothing is left.
    pub fn run_for(&mut self, seconds: f64) {
        self.run_and_stop(seconds);
        let asked = self.bay().calibrating().map(|c| (c.draft.way, c.step()));
        if asked == Some((Way::RunDry, Step::Left)) {
            self.act(Action::NothingLeft);
        }
    }

    /// The same as far as the stopwatch goes.
    pub fn run_and_stop(&mut self, seconds: f64) {
        self.start();
        self.wait(5.0 + seconds);
        self.stop();
    }

    pub fn start(&mut self) {
        self.act(Action::StartStop {
            ago: Duration::ZERO,
        });
    }

    pub fn stop(&mut self) {
        self.start();
    }

    pub fn calibrating(&self) -> &Calibrating {
        self.bay().calibrating().expect("a calibration in hand")
    }

    pub fn step(&self) -> Step {
        self.calibrating().step()
    }

    pub fn draft(&self) -> Draft {
        self.calibrating().draft.clone()
    }

    /// What the screen says over itself; empty where it says nothing.
    pub fn notice(&self) -> String {
        self.bay()
            .notice()
            .map_or(String::new(), |n| n.text.to_string())
    }

    /// The tones since it was last asked, clicks left out.
    pub fn tones(&self) -> Vec<Tone> {
        let heard = self.around.ears.take().into_iter();
        heard
            .filter_map(|heard| match heard {
                Heard::Tone(tone) => Some(tone),
                _ => None,
            })
            .collect()
    }
}
