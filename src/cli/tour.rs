//! `fillcall tour`: drives the real screens through the main job, the day around it and the shift lead's
//! side on the demonstration bay, off-screen, at every panel size.

use super::Outcome;
use chrono::{DateTime, FixedOffset, TimeDelta};
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::ports::{Announcer, Clock, Pace, SoundState, Sounding, Tone};
use fillcall::bay::records::Records;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::offscreen::Offscreen;
use fillcall::screens::wall::Faults;
use fillcall::sound::{Played, Recorder, wav};
use fillcall::store::lead_lock::FileLock;
use fillcall::store::records::SqliteRecords;
use fillcall::store::setup_file::{FileKeeper, read_bay};
use fillcall::store::{backup, records_path};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::speech::Lexicon;
use std::cell::{Cell, RefCell};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

/// The demonstration bay with an invented history, as a backup file.
const DEMO: &str = include_str!("../../kiosk-setup/demo-bay/history.toml");
/// Simulated time goes in steps that the screen's timers can follow.
const STEP: Duration = Duration::from_millis(50);

/// What is done at the wall.
enum Do {
    /// Press the button of that name.
    Press(&'static str),
    /// Hold it until it acts.
    Hold(&'static str),
    /// Type on the number pad.
    Type(&'static str),
    /// Let time go by.
    Wait(Duration),
}
use Do::{Hold, Press, Type, Wait};

/// What is done, and what is to be seen then.
struct Stop {
    name: &'static str,
    does: &'static [Do],
    caption: &'static str,
}

const STOPS: &[Stop] = &[
    Stop {
        name: "fill",
        does: &[],
        caption: "Home. How much to measure into the sprayer used last, in the measure named above \
            the figure; the water; the strength that this puts on the vehicle; the container to \
            scale; how many washes ago the sprayer was calibrated.",
    },
    Stop {
        name: "first-aid",
        does: &[Press("First aid")],
        caption: "First aid is one tap from home, in every state: the words of the label, and where \
            eye wash, data sheets and telephone are.",
    },
    Stop {
        name: "say-it",
        does: &[Press("Back"), Press("Say it")],
        caption: "One tap says it. The words are the same as the figures.",
    },
    Stop {
        name: "filled",
        does: &[Press("Filled")],
        caption: "Filled: the fill is in the records. For ten seconds it can be taken back.",
    },
    Stop {
        name: "wash-done",
        does: &[Press("Close"), Press("Wash done")],
        caption: "A vehicle is done: the wash is on disk before it shows as counted.",
    },
    Stop {
        name: "undone",
        does: &[Press("Undo")],
        caption: "Counted by mistake: taken back.",
    },
    Stop {
        name: "parts",
        does: &[Press("Close"), Press("Part: Full")],
        caption: "Only a part of a fill is wanted: each part with its own dose.",
    },
    Stop {
        name: "half",
        does: &[Press("½"), Press("Say it")],
        caption: "Half a fill, drawn to scale.",
    },
    Stop {
        name: "sprayers",
        does: &[
            Press("Close"),
            Press("Part: ½"),
            Press("Full"),
            Press("Sprayer: Lance 1"),
        ],
        caption: "Any other sprayer is one more tap away: its dose, and how its calibration stands.",
    },
    Stop {
        name: "due",
        does: &[Press("Lance 2"), Press("Say it")],
        caption: "This one is due for calibration. The screen says so, and so does the voice.",
    },
    Stop {
        name: "care",
        does: &[Press("Close"), Press("Calibration: Due")],
        caption: "What is known of the sprayer. The reminder can be put off for a few washes, a \
            set number of times.",
    },
    Stop {
        name: "put-off",
        does: &[Press("Put off")],
        caption: "Put off.",
    },
    Stop {
        name: "ways",
        does: &[
            Press("Close"),
            Press("Sprayer: Lance 2"),
            Press("Lance 2"),
            Press("Calibration: 43 washes"),
            Press("Calibrate"),
        ],
        caption: "Three ways to run, and a check with the stopwatch alone.",
    },
    Stop {
        name: "holds",
        does: &[Press("Run dry"), Type("1060")],
        caption: "Calibrating by running dry. First: what does the container hold, pick-up tube in?",
    },
    Stop {
        name: "fill-to-line",
        does: &[Press("Next")],
        caption: "Clean water to the line.",
    },
    Stop {
        name: "ready",
        does: &[Press("It is full to the line")],
        caption: "Dial as it is used, nozzle in the bucket.",
    },
    Stop {
        name: "countdown",
        does: &[Press("Start"), Wait(Duration::from_millis(1900))],
        caption: "Five beeps to get ready, then a long one.",
    },
    Stop {
        name: "running",
        does: &[Wait(Duration::from_millis(3100 + 80_900))],
        caption: "The stopwatch. It stops by a tap, the Enter key or a foot switch.",
    },
    Stop {
        name: "left",
        does: &[Press("Stop")],
        caption: "It ran dry. What stayed in the container all the same? Nothing is one tap.",
    },
    Stop {
        name: "catch",
        does: &[
            Press("Nothing is left"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Add 1 L"),
            Press("Type a part load"),
            Type(".41"),
        ],
        caption: "The catch: a tap for each full jug, the rest on the number pad.",
    },
    Stop {
        name: "review",
        does: &[Press("Next")],
        caption: "The result beside the one before: draw fraction, flows, dose. Save it, run again, \
            or throw it away.",
    },
    Stop {
        name: "runs",
        does: &[Press("Runs")],
        caption: "One run is enough; up to five make it surer. One that differs from the others is \
            marked, to be dropped or repeated.",
    },
    Stop {
        name: "calibrated",
        does: &[Press("Back"), Hold("Save")],
        caption: "Saved: the new dose at once.",
    },
    Stop {
        name: "sure",
        does: &[
            Press("Close"),
            Press("Sprayer: Lance 2"),
            Press("Lance 1"),
            Press("Calibration: 12 washes"),
            Press("How sure, and over time"),
        ],
        caption: "The dose with its ±, where most of it comes from, and what would make it smaller.",
    },
    Stop {
        name: "over-time",
        does: &[Press("Over time")],
        caption: "Every calibration of the sprayer, with the limits that its own scatter sets.",
    },
    Stop {
        name: "check",
        does: &[
            Press("Back"),
            Press("Back"),
            Press("Calibrate"),
            Press("Timed check"),
            Press("The mix"),
            Press("Start"),
            Wait(Duration::from_secs(5 + 89)),
            Press("Stop"),
        ],
        caption: "A full container with the day's mix against the stopwatch: how much slower it draws \
            than water, and the dose corrected for it, offered.",
    },
    Stop {
        name: "void-drum",
        does: &[
            Press("Leave it"),
            Press("Back"),
            Press("Sprayer: Lance 1"),
            Press("Drum injector"),
            Press("Say it"),
        ],
        caption: "Somebody changed the nozzle of this one: its old figure is crossed out, and is not spoken.",
    },
    Stop {
        name: "chemicals",
        does: &[
            Press("Close"),
            Press("Sprayer: Drum injector"),
            Press("Lance 1"),
            Press("Chemical: Film remover"),
        ],
        caption: "Another chemical, where the shift lead allows it.",
    },
    Stop {
        name: "out-of-reach",
        does: &[Press("Heavy film"), Press("Say it")],
        caption: "More than this sprayer can reach: the strongest it can do, told before anybody rinses \
            for it.",
    },
    Stop {
        name: "reaching",
        does: &[Press("Close"), Press("Sprayers that reach it")],
        caption: "The sprayers that do reach it, each with its dose.",
    },
    Stop {
        name: "water-first",
        does: &[
            Press("Back"),
            Press("Chemical: Heavy film"),
            Press("Wheel cleaner"),
            Press("Close"),
            Press("Rinsed"),
            Press("Close"),
            Press("Say it"),
        ],
        caption: "An acid goes into the water: the water stands first, and is said first.",
    },
    Stop {
        name: "changed",
        does: &[
            Press("Close"),
            Press("Chemical: Wheel cleaner"),
            Press("Film remover"),
            Press("Calibration: 12 washes"),
            Press("Something was changed on it"),
        ],
        caption: "A new nozzle: two taps, and a held press that no drop of water can make.",
    },
    Stop {
        name: "void",
        does: &[Hold("Nozzle changed")],
        caption: "The old figure no longer applies. It is crossed out, and not spoken.",
    },
    Stop {
        name: "void-used-once",
        does: &[Hold("Use the old figure once"), Press("Say it")],
        caption: "In need it can be used for one fill, by a held press; the records say so.",
    },
    Stop {
        name: "help",
        does: &[Press("Close"), Press("Calibration: Void"), Press("Help")],
        caption: "Help and cautions. The label, the safety data sheet, local rules and trained \
            people come first.",
    },
    Stop {
        name: "sound",
        does: &[Press("Sound"), Press("Softer"), Press("Say it slower")],
        caption: "How it is heard: loudness, again, slower, which loudspeaker, and the other \
            language.",
    },
    Stop {
        name: "filled-again",
        does: &[
            Press("Back"),
            Press("Sprayer: Lance 1"),
            Press("Lance 2"),
            Press("Filled"),
        ],
        caption: "The day around the fill: the other lance is filled.",
    },
    Stop {
        name: "menu",
        does: &[Press("Close"), Press("Menu")],
        caption: "Behind the three bars: other fills, stock, records, help, sound, the shift lead.",
    },
    Stop {
        name: "for-vehicles",
        does: &[
            Press("Other fills"),
            Press("For vehicles"),
            Press("One more: Minibus"),
            Press("One more: Articulated"),
        ],
        caption: "So many vehicles are still to come: how much to make up for them.",
    },
    Stop {
        name: "left-over",
        does: &[
            Press("Back"),
            Press("Left-over"),
            Press("Type it"),
            Type("300"),
            Press("Next"),
        ],
        caption: "Something is left in the container: what to add for today's strength.",
    },
    Stop {
        name: "mispoured",
        does: &[
            Press("Back"),
            Press("Back"),
            Press("Mispoured"),
            Type("600"),
            Press("Next"),
        ],
        caption: "Too much was poured: where that lands, and what puts it right. It is said, too.",
    },
    Stop {
        name: "help-on-it",
        does: &[Press("Help")],
        caption: "Help is at the head of every screen, and begins with that screen.",
    },
    Stop {
        name: "stock",
        does: &[
            Press("Back"),
            Press("Back"),
            Press("Back"),
            Press("Back"),
            Press("Stock"),
            Press("Film remover"),
        ],
        caption: "The stock of a chemical: what is left, and for how many days.",
    },
    Stop {
        name: "records",
        does: &[
            Press("Back"),
            Press("Back"),
            Press("Records"),
            Press("Show 7 days"),
        ],
        caption: "What happened, day by day.",
    },
    Stop {
        name: "landed",
        does: &[Press("On the vehicle")],
        caption: "The strength that landed, fill by fill, with the allowed band behind it.",
    },
    Stop {
        name: "take-away",
        does: &[Press("Take away")],
        caption: "To take away: tables and the wall card, on a stick or by a phone.",
    },
    Stop {
        name: "phone",
        does: &[Press("To a phone")],
        caption: "A phone reads the totals from the screen, without a network.",
    },
    Stop {
        name: "pin",
        does: &[
            Press("Back"),
            Press("Back"),
            Press("Back"),
            Press("Shift lead"),
            Type("2580"),
        ],
        caption: "The shift lead's side is behind a PIN, chosen there the first time.",
    },
    Stop {
        name: "lead",
        does: &[Press("Next"), Type("2580"), Press("Set the PIN")],
        caption: "The shift lead's side. It closes by itself.",
    },
    Stop {
        name: "day",
        does: &[
            Press("The day's chemical"),
            Press("Whole bay"),
            Press("Stronger"),
        ],
        caption: "The day's chemical and its strength, inside the allowed band, for today or until \
            it is changed.",
    },
    Stop {
        name: "day-set",
        does: &[Press("Set it")],
        caption: "It is set, and in the records. Home says so, and the voice with the first fill of \
            the day.",
    },
    Stop {
        name: "edit",
        does: &[
            Press("Close"),
            Press("Back"),
            Press("Change the bay"),
            Press("Sprayers"),
            Press("Lance 1"),
        ],
        caption: "The bay is changed at the screen, with gloves on.",
    },
    Stop {
        name: "edit-saved",
        does: &[Press("Holds"), Type("860"), Press("Save")],
        caption: "Saved: the comments in the file stay, and the change can be taken back.",
    },
];

/// A clock that goes on only when the tour lets it.
#[derive(Clone)]
struct TourClock {
    start: DateTime<FixedOffset>,
    gone: Rc<Cell<Duration>>,
}

impl TourClock {
    fn now(&self) -> Now {
        Now {
            monotonic: self.monotonic(),
            wall: self.wall(),
        }
    }
}

impl Clock for TourClock {
    fn monotonic(&self) -> Duration {
        self.gone.get()
    }
    fn wall(&self) -> DateTime<FixedOffset> {
        self.start + TimeDelta::from_std(self.gone.get()).unwrap_or_default()
    }
}

/// A recorder that the tour can look into while the bay speaks to it.
#[derive(Clone)]
struct Ears(Rc<RefCell<Recorder>>);

impl Announcer for Ears {
    fn set(&mut self, sounding: &Sounding) {
        self.0.borrow_mut().set(sounding);
    }
    fn lexicon(&self) -> Lexicon {
        self.0.borrow().lexicon()
    }
    fn loudspeakers(&mut self) -> Vec<String> {
        self.0.borrow_mut().loudspeakers()
    }
    fn say(&mut self, announcement: &Announcement, pace: Pace) {
        self.0.borrow_mut().say(announcement, pace);
    }
    fn tone(&mut self, tone: Tone) {
        self.0.borrow_mut().tone(tone);
    }
    fn hush(&mut self) {
        self.0.borrow_mut().hush();
    }
    fn state(&mut self) -> SoundState {
        // On the tour there is a loudspeaker: what goes to it is written to files.
        SoundState::Working
    }
}

/// One tour at one size.
struct Tour {
    off: Offscreen,
    clock: TourClock,
    ears: Ears,
}

impl Tour {
    fn at(bay_dir: &Path, profile: Profile) -> Result<Self, String> {
        let mut setup =
            read_bay(bay_dir).map_err(|faults| super::bay_folder::mistakes(bay_dir, &faults))?;
        setup.panel = Panel::usual(profile);
        let panel = setup.panel;
        let ears = Ears(Rc::new(RefCell::new(Recorder::new(setup.voice))));
        let records = records_path(bay_dir);
        let newest = SqliteRecords::open(&records)
            .and_then(|mut records| records.past())
            .map_err(|fault| fault.message)?
            .newest
            .unwrap_or_default();
        let start = newest + TimeDelta::hours(1);
        let clock = TourClock {
            start,
            gone: Rc::new(Cell::new(Duration::ZERO)),
        };
        let open = {
            let (ears, clock, bay_dir) = (ears.clone(), clock.clone(), bay_dir.to_owned());
            move || {
                let bay = SqliteRecords::open(&records)
                    .and_then(|records| Bay::open(setup.clone(), Box::new(records), clock.now()))
                    .map_err(|fault| Faults {
                        title: "The demonstration bay cannot be opened".into(),
                        faults: vec![("Records".into(), fault.message)],
                    })?;
                // Without sticks: a tour writes nothing outside of its own folder.
                let keeper = FileKeeper::new(&bay_dir).laid_out_for(Some(panel));
                let bay = bay.with_lead(Box::new(keeper), Box::new(FileLock::new(&bay_dir)));
                Ok(Runner::new(
                    bay,
                    Box::new(ears.clone()),
                    Box::new(clock.clone()),
                ))
            }
        };
        let off = Offscreen::new(panel, Box::new(open)).map_err(|e| e.to_string())?;
        Ok(Self { off, clock, ears })
    }

    fn wait(&self, time: Duration) {
        let mut left = time;
        while !left.is_zero() {
            let by = left.min(STEP);
            self.clock.gone.set(self.clock.gone.get() + by);
            self.off.wait(by);
            left -= by;
        }
    }

    fn does(&self, what: &Do) -> Outcome {
        let fault = |e: fillcall::screens::offscreen::OffscreenError| e.to_string();
        match what {
            Press(label) => self.off.press(label).map_err(fault),
            Hold(label) => self.off.hold(label).map_err(fault),
            Type(text) => {
                for letter in text.chars() {
                    let label = if letter == '.' {
                        "Decimal point".into()
                    } else {
                        letter.to_string()
                    };
                    self.off.press(&label).map_err(fault)?;
                }
                Ok(())
            }
            Wait(time) => {
                self.wait(*time);
                Ok(())
            }
        }
    }
}

pub fn run(dir: &Path) -> Outcome {
    let fault = |path: &Path, e: std::io::Error| format!("{}: {e}", path.display());
    std::fs::create_dir_all(dir).map_err(|e| fault(dir, e))?;
    // A bay of its own for each size, so that the tours do not see each other's washes. In a folder that
    // was not there: it is taken away at the end.
    let scratch = dir.join(format!(".tour-{}", std::process::id()));
    std::fs::create_dir(&scratch).map_err(|e| fault(&scratch, e))?;
    let demo = scratch.join("demo-bay.toml");
    std::fs::write(&demo, DEMO).map_err(|e| fault(&demo, e))?;
    let mut page = String::from(
        "# A tour of the wall screen\n\n\
         Every figure on it is invented: the bay is a demonstration. The pictures are what the \
         wall's own renderer drew while its buttons were pressed; the sounds are what would have \
         been played.\n",
    );
    for (n, profile) in Profile::ALL.into_iter().enumerate() {
        let pictures = dir.join(profile.name());
        std::fs::create_dir_all(&pictures).map_err(|e| fault(&pictures, e))?;
        let bay_dir = scratch.join(profile.name());
        backup::restore(&bay_dir, &demo, false).map_err(|e| e.to_string())?;
        let tour = Tour::at(&bay_dir, profile)?;
        let _ = write!(page, "\n## {}\n", profile.name());
        for (i, stop) in STOPS.iter().enumerate() {
            for what in stop.does {
                tour.does(what)
                    .map_err(|e| format!("at \"{}\": {e}", stop.name))?;
            }
            let name = format!("{:02}-{}", i + 1, stop.name);
            let picture = pictures.join(format!("{name}.png"));
            tour.off.picture(&picture).map_err(|e| e.to_string())?;
            let _ = write!(
                page,
                "\n{}\n\n![{}]({}/{name}.png)\n",
                stop.caption,
                stop.name,
                profile.name()
            );
            let said = tour.ears.0.borrow_mut().take();
            // The same at every size: once is enough.
            if n == 0 {
                for line in sounds(dir, &name, &said, &tour.ears.lexicon())? {
                    let _ = write!(page, "\n{line}\n");
                }
            }
        }
    }
    let page_file = dir.join("tour.md");
    std::fs::write(&page_file, page).map_err(|e| fault(&page_file, e))?;
    std::fs::remove_dir_all(&scratch).map_err(|e| fault(&scratch, e))?;
    super::print(&format!(
        "{} stops at {} sizes. Begin with {}\n",
        STOPS.len(),
        Profile::ALL.len(),
        page_file.display()
    ))
}

/// Writes what was to be heard at a stop, but for the clicks, and gives the lines that caption it.
fn sounds(
    dir: &Path,
    stop: &str,
    played: &[Played],
    lexicon: &Lexicon,
) -> Result<Vec<String>, String> {
    let mut lines = Vec::new();
    let mut write = |name: String, samples: &[i16], caption: String| -> Outcome {
        let file: PathBuf = dir.join("sounds").join(&name);
        std::fs::create_dir_all(dir.join("sounds"))
            .and_then(|()| std::fs::write(&file, wav::file(samples)))
            .map_err(|e| format!("{}: {e}", file.display()))?;
        lines.push(format!("Heard: [{caption}](sounds/{name})"));
        Ok(())
    };
    let (mut tones, mut said) = (0, 0);
    for sound in played {
        match sound {
            Played::Said {
                announcement,
                samples,
            } => {
                said += 1;
                let name = match said {
                    1 => format!("{stop}.wav"),
                    n => format!("{stop}-said-{n}.wav"),
                };
                write(name, samples, announcement.text(lexicon))?;
            }
            Played::Toned {
                tone: Tone::Click, ..
            }
            | Played::Hushed => {}
            Played::Toned { tone, samples } => {
                tones += 1;
                let caption = match tone {
                    Tone::Countdown => "a beep of the countdown",
                    Tone::Go => "the long beep: start",
                    Tone::Stop => "stop",
                    Tone::Refused => "refused",
                    Tone::Click => "a press was taken",
                };
                write(format!("{stop}-tone-{tones}.wav"), samples, caption.into())?;
            }
        }
    }
    Ok(lines)
}
