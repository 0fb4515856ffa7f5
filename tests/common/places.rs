//! Where a hand is, as text in memory, and walls that are killed and started anew.

use super::Around;
use super::window::Window;
use fillcall::bay::action::{Action, PadKey};
use fillcall::bay::at_work::Bay;
use fillcall::bay::ports::Places;
use fillcall::bay::resuming::Place;
use fillcall::bay::runner::Runner;
use fillcall::screens::offscreen::Offscreen;
use fillcall::store::records::SqliteRecords;
use fillcall::store::setup_file::{FileKeeper, read_bay};
use fillcall::store::{backup, records_path};
use std::cell::{Cell, RefCell};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::OnceLock;
use std::time::Duration;
use tempfile::TempDir;

/// What was written down last.
#[derive(Clone, Default)]
pub struct Written {
    pub text: Rc<RefCell<Option<String>>>,
    /// How often.
    pub times: Rc<Cell<u32>>,
}

impl Places for Written {
    fn found(&mut self) -> Option<Place> {
        let text = self.text.borrow();
        serde_json::from_str(text.as_ref()?).ok()
    }
    fn keep(&mut self, place: &Place) {
        let text = serde_json::to_string(place).expect("a place can be written");
        if self.text.borrow().as_ref() != Some(&text) {
            self.times.set(self.times.get() + 1);
            *self.text.borrow_mut() = Some(text);
        }
    }
}

/// A bay in a folder of its own, with its records on disk.
pub struct Depot {
    pub folder: TempDir,
    pub around: Around,
    pub places: Written,
}

fn demonstration() -> &'static Path {
    static BAY: OnceLock<(TempDir, PathBuf)> = OnceLock::new();
    let (_, bay) = BAY.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        let bay = folder.path().join("bay");
        let history =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml");
        backup::restore(&bay, &history, false).expect("the demonstration bay");
        (folder, bay)
    });
    bay
}

impl Depot {
    /// An empty folder.
    pub fn empty() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
            around: Around::default(),
            places: Written::default(),
        }
    }
    /// The demonstration bay.
    pub fn demonstration() -> Self {
        let depot = Self::empty();
        for file in std::fs::read_dir(demonstration()).expect("files") {
            let file = file.expect("a file");
            std::fs::copy(file.path(), depot.folder.path().join(file.file_name())).expect("copied");
        }
        depot
    }
    /// Opens it as the program does at its start.
    pub fn open(&self) -> Runner {
        open(self.folder.path(), &self.around, &self.places)
    }
    /// The same in a window.
    pub fn window(&self) -> Window {
        let (folder, around) = (self.folder.path().to_owned(), self.around.clone());
        let places = self.places.clone();
        let panel = read_bay(&folder).expect("a set-up").panel;
        let open = move || Ok(open(&folder, &around, &places));
        Window {
            off: Offscreen::new(panel, Box::new(open)).expect("a window off-screen"),
            around: self.around.clone(),
        }
    }
    /// The number given last in the records.
    pub fn last(&self) -> i64 {
        use fillcall::bay::records::Records;
        let mut records = SqliteRecords::open(&records_path(self.folder.path())).expect("records");
        records.last().expect("a number")
    }
}

pub fn open(folder: &Path, around: &Around, places: &Written) -> Runner {
    let setup = read_bay(folder).unwrap_or_else(|faults| panic!("{faults:?}"));
    let records = SqliteRecords::open(&records_path(folder)).expect("the records open");
    let bay = Bay::open(setup, Box::new(records), around.clock.now())
        .expect("the bay opens")
        .with_lead(
            Box::new(FileKeeper::new(folder)),
            Box::new(around.lock.clone()),
        )
        .with_sticks(Box::new(around.sticks.clone()));
    let runner = Runner::new(
        bay,
        Box::new(around.ears.clone()),
        Box::new(around.clock.clone()),
    );
    runner.with_places(Box::new(places.clone()))
}

/// The keys of the number pad for this.
pub fn keys(text: &str) -> Vec<Action> {
    let key = |sign: char| match sign {
        '.' => PadKey::Point,
        digit => PadKey::Digit(digit as u8 - b'0'),
    };
    text.chars().map(|sign| Action::Pad(key(sign))).collect()
}

/// Time that a service manager takes to see that the wall is stuck, and to start it anew.
pub const AWAY: Duration = Duration::from_secs(20);
