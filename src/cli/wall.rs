//! The wall screen of a bay, on the panel or in a window.

use super::clock::SystemClock;
use super::{Outcome, doctor, own_language, own_voice, service, simulate, updates};
use fillcall::backlight::SysfsBacklight;
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::ports::{Announcer, Clock};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Panel, Profile, Voice};
use fillcall::doctor::{AtTheWall, Looks, SystemClock as PanelClock};
use fillcall::screens::glass::turned::{ROTATION, Turned};
use fillcall::screens::glass::{Glass, backend};
use fillcall::screens::wall::{Faults, Rescue, Restorable, WallScreen};
use fillcall::sound::cards;
use fillcall::sound::player::Program;
use fillcall::sound::{Player, Silent};
use fillcall::sticks::MemorySticks;
use fillcall::store::backup;
use fillcall::store::lead_lock::FileLock;
use fillcall::store::place_file::PlaceFile;
use fillcall::store::records::{SqliteRecords, are_lost};
use fillcall::store::setup_file::{FileKeeper, read_bay, text_of, write_first};
use fillcall::store::{SETUP_FILE, SetupFault, WALL_LOCK_FILE, parts, plain, records_path};
use fillcall::training::{Counted, Trainer};
use std::cell::RefCell;
use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

pub fn run(dir: &Path, windowed: bool, profile: Option<Profile>) -> Outcome {
    let panel = profile
        .map(Panel::usual)
        .or_else(|| read_bay(dir).ok().map(|setup| setup.panel))
        .unwrap_or(Panel::usual(Profile::Seven800));
    if Turned::of_this_panel() == Turned::Upright {
        eprintln!(
            "fillcall: this panel stands upright, by {ROTATION}. The wall is laid out for lying panels: take \
             it out of /etc/default/fillcall, or set it to 180."
        );
    }
    let glass = Glass::new(panel.pixels_per_mm() as f32);
    backend::select_backend(&glass).map_err(|fault| fault.to_string())?;
    let training = simulate::seed_of(dir)?;
    let dir = dir.to_owned();
    let for_rescue = dir.clone();
    let places = places_of(&dir);
    // Held as long as the wall is open.
    let lock = RefCell::new(None);
    let in_window = windowed || !backend::is_bare_panel();
    let open = move || {
        write_first(&dir, panel, own_language::of_the_system()).map_err(|fault| Faults {
            title: "A new bay cannot be begun".into(),
            faults: vec![("Folder".into(), format!("{fault}."))],
        })?;
        let mut lock = lock.borrow_mut();
        if lock.is_none() {
            *lock = lock_bay(&dir)?;
            if lock.is_some() {
                parts::clear(&dir);
            }
        }
        let runner = open(&dir, profile, training, in_window)?;
        let runner = match places.clone() {
            Some(places) => runner.with_places(Box::new(places)),
            None => runner,
        };
        // A window is not all that is on its glass.
        Ok(match in_window {
            true => runner,
            false => runner.with_backlight(Box::new(SysfsBacklight::below(Path::new("/")))),
        })
    };
    let screen = WallScreen::new(panel, glass, Box::new(open)).map_err(no_screen)?;
    screen.mark_training(training.is_some());
    screen.with_rescue(Box::new(Backups { dir: for_rescue }));
    if !windowed {
        screen.fill_the_screen();
    }
    if !in_window {
        screen.on_a_bare_panel();
    }
    let _manager = service::Manager::tell(screen.glass());
    screen.run().map_err(no_screen)
}

/// Where a hand is, is kept where the service manager gives this program a folder in memory, which it
/// finds again when it is started anew. A window on a desk begins at home.
fn places_of(dir: &Path) -> Option<Rc<RefCell<PlaceFile>>> {
    let folders = std::env::var_os("RUNTIME_DIRECTORY")?;
    let first = std::env::split_paths(&folders).next()?;
    let file = PlaceFile::new(&first, dir)?;
    Some(Rc::new(RefCell::new(file)))
}

fn no_screen(error: slint::PlatformError) -> String {
    format!("no screen to show the wall on: {error}")
}

/// Opens the bay, or tells everything that is wrong with it. `training` is the seed of a training
/// bay, whose sprayers are simulated. A wall `in_window` is on no panel that could be looked at.
fn open(
    dir: &Path,
    profile: Option<Profile>,
    training: Option<u64>,
    in_window: bool,
) -> Result<Runner, Faults> {
    let mut setup = read_bay(dir).map_err(|faults| setup_faults(&faults))?;
    if let Some(profile) = profile {
        setup.panel = Panel::usual(profile);
    }
    let clock = SystemClock::new();
    let now = Now {
        monotonic: clock.monotonic(),
        wall: clock.wall(),
    };
    let faulty = |message: String| Faults {
        title: "The records cannot be used".into(),
        faults: vec![("Records".into(), message)],
    };
    let mut records = SqliteRecords::open(&records_path(dir)).map_err(|f| faulty(f.message))?;
    if let Ok(text) = text_of(dir) {
        records
            .note_setup(now.wall, &text)
            .map_err(|f| faulty(f.message))?;
    }
    let voices = own_voice::of(dir, &setup);
    let own_is_wrong = voices.is_err();
    let announcer: Box<dyn Announcer> = match (setup.voice, Program::this()) {
        (Voice::Off, _) | (_, Err(_)) => Box::new(Silent::default()),
        (voice, Ok(program)) => {
            let player = Player::new(program, voice, setup.volume_percent)
                .with_cards(Path::new(cards::FOLDER));
            Box::new(player.with_speaker(Box::new(voices.unwrap_or_default())))
        }
    };
    let outfitted = |bay: Bay| {
        let keeper = FileKeeper::new(dir).laid_out_for(profile.map(Panel::usual));
        bay.with_lead(Box::new(keeper), Box::new(FileLock::new(dir)))
            .with_sticks(Box::new(MemorySticks::default()))
            .with_updates(updates::of(dir))
            .with_panel(
                Box::new(AtTheWall::by(looks(dir, profile, in_window))),
                Box::new(PanelClock::default()),
            )
    };
    let Some(seed) = training else {
        let bay = Bay::open(setup, Box::new(records), now).map_err(|f| faulty(f.message))?;
        let mut bay = outfitted(bay);
        if own_is_wrong {
            bay.own_voice_is_wrong();
        }
        return Ok(Runner::new(bay, announcer, Box::new(clock)));
    };
    let records = Counted::over(Box::new(records), &setup).map_err(|f| faulty(f.message))?;
    let trainer = Trainer::new(&setup, seed, records.washes());
    let bay = Bay::open(setup, Box::new(records), now).map_err(|f| faulty(f.message))?;
    let bay = outfitted(bay);
    Ok(Runner::new(bay, announcer, Box::new(clock)).with_practice(Box::new(trainer)))
}

/// What looks at the panel beside the wall.
fn looks(dir: &Path, profile: Option<Profile>, in_window: bool) -> Arc<Looks> {
    let dir = dir.to_owned();
    Arc::new(move |extent| doctor::for_the_wall(&dir, profile, in_window, extent))
}

/// The way back for a bay whose records are lost: the newest backup found beside them.
struct Backups {
    dir: PathBuf,
}

impl Rescue for Backups {
    fn found(&self) -> Option<Restorable> {
        if !are_lost(&records_path(&self.dir)) {
            return None;
        }
        backup::newest(&self.dir).map(|found| Restorable {
            file: found.file.display().to_string(),
            made: found.made,
            washes: found.washes,
            calibrations: found.calibrations,
        })
    }

    fn restore(&self) -> Result<(), String> {
        let found = backup::newest(&self.dir).ok_or("no backup was found any more")?;
        backup::restore(&self.dir, &found.file, true)
            .map(drop)
            .map_err(|fault| fault.to_string())
    }
}

/// One wall to a bay: a second one would go by washes and figures of its own. `None` where there is
/// no bay to lock yet.
fn lock_bay(dir: &Path) -> Result<Option<File>, Faults> {
    if !dir.join(SETUP_FILE).exists() {
        return Ok(None);
    }
    let path = dir.join(WALL_LOCK_FILE);
    let faulty = |message: String| Faults {
        title: "The bay cannot be opened".into(),
        faults: vec![(path.display().to_string(), message)],
    };
    plain::refuse(&path).map_err(|fault| faulty(format!("{fault}.")))?;
    let file = File::create(&path).map_err(|e| {
        faulty(format!(
            "{e}. Give this user the right to write in the folder."
        ))
    })?;
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(TryLockError::WouldBlock) => Err(faulty(
            "Another wall screen has this bay open. Close that one, then read it again.".into(),
        )),
        Err(TryLockError::Error(e)) => Err(faulty(format!("It cannot be locked: {e}."))),
    }
}

fn setup_faults(faults: &[SetupFault]) -> Faults {
    let heading = |fault: &SetupFault| match fault.line {
        0 => fault.key.clone(),
        line => format!("Line {line}: {}", fault.key),
    };
    let sentence = |text: &str| {
        let mut letters = text.chars();
        letters.next().map_or(String::new(), |first| {
            format!(
                "{}{}.",
                first.to_uppercase(),
                letters.as_str().trim_end_matches('.')
            )
        })
    };
    Faults {
        title: format!("{SETUP_FILE} cannot be used"),
        faults: faults
            .iter()
            .map(|f| {
                (
                    heading(f),
                    format!("{} {}", sentence(&f.wrong), sentence(&f.right)),
                )
            })
            .collect(),
    }
}
