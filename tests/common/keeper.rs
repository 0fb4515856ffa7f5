//! A bay on a real folder whose set-up is changed at the screen, by a shift lead who is let in.

use super::Around;
use super::window::Window;
use fillcall::bay::action::{Action, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Panel;
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::Faults;
use fillcall::store::lead_lock::{Cost, FileLock};
use fillcall::store::setup_file::{FileKeeper, read_bay};
use fillcall::store::setup_path;
use std::cell::Cell;
use std::path::PathBuf;
use std::rc::Rc;
use std::time::Duration;
use tempfile::TempDir;

/// The PIN that is set where one is asked for.
pub const PIN: [&str; 4] = ["2", "7", "1", "8"];

/// A bay that nobody has set up yet.
const FIRST: &str = r##"
# The set-up of this wash bay.
setting_up = 1                  # the question that is asked next
name = "Wash bay"
day_chemical = "chemical-1"     # the id of one of the chemicals below
operators_may_change_chemical = false
language = "en"
units = "metric"
[screen]
profile = "7in-800x480"
[sound]
voice = "speech"                # "speech", "beeps" or "off"
volume_percent = 80
[reminder]
washes = 40                     # due after so many washes
[[sprayer]]
id = "sprayer-1"
name = "Sprayer"
kind = "foam lance"             # or "drum injector" or "direct sprayer"
holds = "1 l"
nozzle = "?"
washer = "?"
[[chemical]]
id = "chemical-1"
name = "Product"
on_vehicle = "1 %"
cautions = ["?"]
[[measure]]
id = "measure-1"
name = "Jug"
size = "1 l"
graduation = "10 ml"
"##;

/// The window, and the folder behind it.
pub struct Desk {
    folder: Rc<TempDir>,
    pub window: Window,
    /// How often the wall opened the bay.
    opened: Rc<Cell<u32>>,
}

impl Desk {
    /// A bay with this set-up file.
    pub fn of(text: &str, panel: Panel) -> Self {
        let folder = Rc::new(tempfile::tempdir().expect("a folder"));
        std::fs::write(setup_path(folder.path()), text).expect("the set-up is written");
        Self::open(folder, panel, Around::default())
    }

    /// A bay that nobody has set up yet.
    pub fn first(panel: Panel) -> Self {
        Self::of(FIRST, panel)
    }

    /// As after a power cut: a new window, and nothing but the folder and the records are left.
    pub fn restarted(self, panel: Panel) -> Self {
        let around = self.window.around.clone();
        let folder = Rc::clone(&self.folder);
        drop(self);
        Self::open(folder, panel, around)
    }

    fn open(folder: Rc<TempDir>, panel: Panel, around: Around) -> Self {
        let (inside, inner) = (Rc::clone(&folder), around.clone());
        let opened = Rc::new(Cell::new(0));
        let count = Rc::clone(&opened);
        let off = Offscreen::new(
            panel,
            Box::new(move || {
                let dir = inside.path();
                let mut setup = read_bay(dir).map_err(|faults| Faults {
                    title: "bay.toml".into(),
                    faults: vec![("bay.toml".into(), faults[0].to_string())],
                })?;
                count.set(count.get() + 1);
                setup.panel = panel;
                let keeper = FileKeeper::new(dir).laid_out_for(Some(panel));
                let bay = Bay::open(setup, Box::new(inner.records.clone()), inner.clock.now())
                    .expect("the bay opens")
                    .with_lead(
                        Box::new(keeper),
                        Box::new(FileLock::at_cost(dir, Cost::TEST)),
                    );
                Ok(Runner::new(
                    bay,
                    Box::new(inner.ears.clone()),
                    Box::new(inner.clock.clone()),
                ))
            }),
        )
        .expect("a window off-screen");
        Self {
            folder,
            window: Window { off, around },
            opened,
        }
    }

    /// How often the bay was opened since the window is there.
    pub fn opened(&self) -> u32 {
        self.opened.get()
    }

    /// The set-up file.
    pub fn path(&self) -> PathBuf {
        setup_path(self.folder.path())
    }
    /// What stands in it.
    pub fn text(&self) -> String {
        std::fs::read_to_string(self.path()).expect("the set-up is there")
    }

    /// Lets the shift lead in, who chooses the PIN first, and opens one of the lead's pages.
    pub fn lead(&self, page: Page) {
        self.window.act([Action::Show(page)]);
        self.set_pin();
        self.window.act([Action::CloseNotice]);
    }

    /// Chooses the PIN, on its page.
    pub fn set_pin(&self) {
        self.window.press(&PIN);
        self.window.press(&["Next"]);
        self.window.wait(Duration::from_millis(700));
        self.window.press(&PIN);
        self.window.press(&["Set the PIN"]);
    }

    /// Types on the letters, each of which must be in sight.
    pub fn write(&self, text: &str) {
        for letter in text.chars() {
            match letter {
                ' ' => self.window.press(&["Space"]),
                letter => self.window.press(&[&letter.to_string()]),
            }
        }
    }
}
