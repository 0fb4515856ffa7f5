//! What the tests share: an invented bay, records in memory, a clock that the test moves, and ears.
#![allow(dead_code)]

use chrono::{DateTime, FixedOffset};
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::ports::{Announcer, Clock, OnlyToLookAt, Pace, SoundState, Sounding, Tone};
use fillcall::bay::records::{
    Cause, Entry, Happening, LastFill, Logged, Milestone, Past, Records, RecordsFault,
};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Dimming, Emergency, EntryUnits, Panel, Profile, Setup, Voice};
use fillcall::bay::setup_change::Place;
use fillcall::sound::voice::Pack;
use fillcall::trade::announcement::Announcement;
use fillcall::trade::chemical::{Band, Chemical, Nature, Target};
use fillcall::trade::language::Language;
use fillcall::trade::measure::Measure;
use fillcall::trade::reminder::Limits;
use fillcall::trade::speech::Lexicon;
use fillcall::trade::sprayer::{Kind, Sprayer};
use fillcall::trade::units::{BottleRatio, Strength, Volume};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;

pub mod anything;
pub mod day;
pub mod display;
pub mod hands;
pub mod keeper;
pub mod known;
pub mod lead;
pub mod panel;
pub mod places;
pub mod updates;
pub mod walk;
pub mod walk_editing;
pub mod walk_glass;
pub mod walk_jugs;
pub mod walk_reports;
pub mod week;
pub mod window;

pub fn percent(p: f64) -> Strength {
    Strength::percent(p).expect("a strength")
}

fn sprayer(id: &str, name: &str, kind: Kind, holds: Volume) -> Sprayer {
    Sprayer {
        id: id.into(),
        name: name.into(),
        spoken: name.to_lowercase(),
        kind,
        holds,
        nozzle: "1.35 mm".into(),
        washer: if kind.is_direct() {
            String::new()
        } else {
            "Washer A".into()
        },
        dial: None,
    }
}

fn chemical(id: &str, name: &str, target: Target, band: Option<(f64, f64)>) -> Chemical {
    Chemical {
        id: id.into(),
        name: name.into(),
        target,
        band: band.map(|(least, most)| Band {
            least: percent(least),
            most: percent(most),
        }),
        product_strength: Strength::NEAT,
        cautions: vec!["Causes serious eye damage.".into()],
        hazards: Vec::new(),
        put_on: Vec::new(),
        nature: Nature::Other,
        order: None,
        never_with: Vec::new(),
        delivered_in: None,
        spray_per_vehicle: Some(Volume::litres(4.0)),
        cost_per_litre: Some(3.2),
    }
}

pub fn measure(id: &str, name: &str, size: f64, graduation: f64) -> Measure {
    Measure {
        id: id.into(),
        name: name.into(),
        size: Volume::ml(size),
        graduation: Volume::ml(graduation),
    }
}

/// An invented bus depot's wash bay.
pub fn setup(profile: Profile) -> Setup {
    Setup {
        name: "Harbour depot, bay 2".into(),
        demo: true,
        panel: Panel::usual(profile),
        sprayers: vec![
            sprayer("lance-1", "Lance 1", Kind::FoamLance, Volume::ml(820.0)),
            sprayer("lance-2", "Lance 2", Kind::FoamLance, Volume::ml(1060.0)),
            sprayer(
                "drum",
                "Drum injector",
                Kind::DrumInjector,
                Volume::litres(25.0),
            ),
            sprayer(
                "pump",
                "Pump sprayer",
                Kind::DirectSprayer,
                Volume::litres(5.0),
            ),
        ],
        chemicals: vec![
            chemical(
                "film",
                "Film remover",
                Target::OnVehicle(percent(4.0)),
                Some((3.0, 5.0)),
            ),
            chemical(
                "wheel",
                "Wheel cleaner",
                Target::Bottle(BottleRatio::parts_water(10.0).expect("a ratio")),
                None,
            ),
            chemical(
                "degreaser",
                "Degreaser",
                Target::OnVehicle(percent(8.0)),
                Some((6.0, 9.0)),
            ),
        ],
        day_chemical: "film".into(),
        operators_may_change_chemical: true,
        measures: vec![
            measure("syringe", "60 ml syringe", 60.0, 1.0),
            measure("cylinder", "250 ml cylinder", 250.0, 5.0),
            measure("jug", "1 litre jug", 1000.0, 10.0),
        ],
        limits: Limits {
            washes: 6,
            overdue_washes: 8,
            days: None,
            put_off_washes: 1,
            put_off_times: 1,
        },
        check_limit: 0.10,
        balance_step_kg: Some(0.01),
        entry_units: EntryUnits::Metric,
        voice: Voice::Speech,
        volume_percent: 80,
        quiet: None,
        language: Language::English,
        voice_folder: None,
        currency: "EUR".into(),
        vehicles: Vec::new(),
        stock_warn_days: 5,
        lead_minutes: 5,
        // Time goes by in many tests without anybody there; `tests/glass.rs` has its own.
        dimming: Dimming {
            after_minutes: 0,
            ..Dimming::default()
        },
        emergency: Emergency::default(),
        unfinished: None,
    }
}

/// Everything that was kept, in order. It can be told to fail like a full disk.
#[derive(Default)]
pub struct Kept {
    pub happenings: Vec<(DateTime<FixedOffset>, Happening)>,
    pub past: Past,
    /// Of every sprayer, before the first of `happenings`.
    pub history: Vec<Milestone>,
    pub fails: bool,
    /// What it says then, where that is not to be short.
    pub fault: Option<Cause>,
    /// How often the log was read.
    pub logs_read: usize,
}

#[derive(Clone)]
pub struct MemoryRecords(pub Rc<RefCell<Kept>>);

impl Default for MemoryRecords {
    /// Nothing is known, but that somebody filled today: what is told before the first fill of a day
    /// was told.
    fn default() -> Self {
        let mut kept = Kept::default();
        // The day's chemical of every bay that is made in the tests.
        let now = HandClock::default().now().wall;
        let days = ["film", "traffic-film", "chemical-1"].map(|id| (id.to_owned(), now));
        kept.past.last_fills = days.into();
        Self(Rc::new(RefCell::new(kept)))
    }
}

impl Records for MemoryRecords {
    fn keep(
        &mut self,
        at: DateTime<FixedOffset>,
        happening: &Happening,
    ) -> Result<Entry, RecordsFault> {
        let mut kept = self.0.borrow_mut();
        if kept.fails {
            let fault = RecordsFault::new("the records /srv/bay: writing them failed");
            return Err(fault.because(kept.fault.unwrap_or(Cause::DiskFull)));
        }
        kept.happenings.push((at, happening.clone()));
        Ok(kept.happenings.len() as Entry)
    }
    fn last(&mut self) -> Result<Entry, RecordsFault> {
        Ok(self.0.borrow().happenings.len() as Entry)
    }
    fn past(&mut self) -> Result<Past, RecordsFault> {
        let kept = self.0.borrow();
        let mut past = kept.past.clone();
        known::follow(&mut past, &kept.happenings);
        Ok(past)
    }
    fn history(&mut self, sprayer: &str) -> Result<Vec<Milestone>, RecordsFault> {
        let kept = self.0.borrow();
        let mut history = kept.history.clone();
        let mut of_old = Vec::new();
        for (entry, (at, happening)) in (1..).zip(&kept.happenings) {
            match happening {
                Happening::Calibrated(record) if record.sprayer == sprayer => {
                    let record = Box::new(record.clone());
                    of_old.push(Milestone::Calibrated {
                        entry,
                        record,
                        washes: 0,
                    });
                }
                Happening::CalibrationUndone(of) => of_old
                    .retain(|m| !matches!(m, Milestone::Calibrated { entry, .. } if entry == of)),
                Happening::CalibrationBroughtBack { of, record } if record.sprayer == sprayer => {
                    of_old.push(Milestone::BroughtBack { of: *of, at: *at });
                }
                Happening::Changed { sprayer: of, what } if of == sprayer => {
                    of_old.push(Milestone::Changed {
                        what: *what,
                        at: *at,
                    });
                }
                Happening::Wash { sprayer: of, .. } if of == sprayer => {
                    let last = of_old.iter_mut().rev().find_map(|m| match m {
                        Milestone::Calibrated { washes, .. } => Some(washes),
                        Milestone::Changed { .. } | Milestone::BroughtBack { .. } => None,
                    });
                    if let Some(washes) = last {
                        *washes += 1;
                    }
                }
                _ => {}
            }
        }
        history.extend(of_old);
        Ok(history)
    }
    fn know(&mut self, item: &Place) -> Result<bool, RecordsFault> {
        // Whatever is kept, an id in it stands in quotes or in the words of a place.
        let kept = self.0.borrow();
        let id = format!("{:?}", item.id().unwrap_or_default());
        let words = format!("{:?}", item.words());
        let names = |of: String| of.contains(&id) || of.contains(&words);
        Ok(names(format!("{:?}", kept.happenings)) || names(format!("{:?}", kept.past)))
    }
    fn last_fill(&mut self, sprayer: &str) -> Result<Option<LastFill>, RecordsFault> {
        let mut last = None;
        for logged in self.logged(0) {
            match logged.what {
                Happening::Fill(fill) if fill.sprayer == sprayer => {
                    last = Some(LastFill {
                        entry: logged.entry,
                        at: logged.at,
                        fill,
                        used: false,
                    });
                }
                Happening::Wash { sprayer: of, .. } if of == sprayer => {
                    if let Some(last) = &mut last {
                        last.used = true;
                    }
                }
                _ => {}
            }
        }
        Ok(last)
    }
    fn log(&mut self, from: Entry) -> Result<Vec<Logged>, RecordsFault> {
        self.0.borrow_mut().logs_read += 1;
        Ok(self.logged(from))
    }
    fn first_since(&mut self, since: DateTime<FixedOffset>) -> Result<Entry, RecordsFault> {
        let kept = self.0.borrow();
        let first = kept.happenings.iter().position(|(at, _)| *at >= since);
        Ok(first.unwrap_or(kept.happenings.len()) as Entry + 1)
    }
    fn stock_log(&mut self, _: DateTime<FixedOffset>) -> Result<Vec<Logged>, RecordsFault> {
        let mut log = self.logged(0);
        log.retain(|l| matches!(l.what, Happening::Fill(_) | Happening::Stock { .. }));
        Ok(log)
    }
}

impl MemoryRecords {
    fn logged(&self, from: Entry) -> Vec<Logged> {
        let kept = self.0.borrow();
        let mut taken_back: Vec<Entry> = kept
            .happenings
            .iter()
            .filter_map(|(_, what)| match what {
                Happening::WashUndone(entry)
                | Happening::CalibrationUndone(entry)
                | Happening::FillUndone(entry)
                | Happening::RinseUndone(entry)
                | Happening::DayUndone(entry)
                | Happening::StockUndone(entry) => Some(*entry),
                _ => None,
            })
            .collect();
        for (entry, (_, what)) in (1..).zip(&kept.happenings) {
            if let Happening::Mispoured { instead_of, .. } = what
                && !taken_back.contains(&entry)
            {
                taken_back.extend(instead_of);
            }
        }
        let logged = (1..).zip(&kept.happenings).filter(|(entry, (_, what))| {
            *entry >= from
                && !taken_back.contains(entry)
                && !matches!(
                    what,
                    Happening::WashUndone(_)
                        | Happening::CalibrationUndone(_)
                        | Happening::FillUndone(_)
                        | Happening::RinseUndone(_)
                        | Happening::DayUndone(_)
                        | Happening::StockUndone(_)
                        | Happening::Drafted(_)
                        | Happening::RunThrownAway(_)
                        | Happening::RunDropped { .. }
                        | Happening::SprayerChosen(_)
                        | Happening::ChemicalChosen { .. }
                        | Happening::SoundChosen(_)
                        | Happening::Checked(_)
                        | Happening::SetupFound(_)
                        | Happening::Corrected { .. }
                )
        });
        // What was added to a mispoured fill has its number here.
        let told = |what: &Happening| match what {
            Happening::Mispoured { fill, added, .. } => {
                let fills = std::iter::once(fill).chain(added);
                fills.cloned().map(Happening::Fill).collect()
            }
            what => vec![what.clone()],
        };
        logged
            .flat_map(|(entry, (at, what))| {
                let all = told(what).into_iter();
                all.map(move |what| Logged {
                    entry,
                    at: *at,
                    what,
                    times: 1,
                })
            })
            .collect()
    }
}

/// A clock that stands still until it is moved.
#[derive(Clone)]
pub struct HandClock {
    monotonic: Rc<Cell<Duration>>,
    wall: Rc<Cell<DateTime<FixedOffset>>>,
}

impl Default for HandClock {
    fn default() -> Self {
        Self {
            monotonic: Rc::new(Cell::new(Duration::from_secs(1000))),
            wall: Rc::new(Cell::new(
                DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").expect("a date"),
            )),
        }
    }
}

impl HandClock {
    pub fn go_on(&self, by: Duration) {
        self.monotonic.set(self.monotonic.get() + by);
        self.wall.set(self.wall.get() + by);
    }
    /// Somebody, or the network, sets the clock back.
    pub fn set_back(&self, by: Duration) {
        self.wall.set(self.wall.get() - by);
    }
    /// As after a power cut: the date is wrong, durations are not.
    pub fn lose_date(&self) {
        self.wall
            .set(DateTime::parse_from_rfc3339("2000-01-01T00:00:00+01:00").expect("a date"));
    }
    pub fn now(&self) -> Now {
        Now {
            monotonic: self.monotonic.get(),
            wall: self.wall.get(),
        }
    }
}

impl Clock for HandClock {
    fn monotonic(&self) -> Duration {
        self.monotonic.get()
    }
    fn wall(&self) -> DateTime<FixedOffset> {
        self.wall.get()
    }
}

/// What was heard.
#[derive(Debug, Clone, PartialEq)]
pub enum Heard {
    Said(Announcement),
    SaidSlowly(Announcement),
    Tone(Tone),
    Hush,
}

#[derive(Clone)]
pub struct Ears {
    pub heard: Rc<RefCell<Vec<Heard>>>,
    /// How loud each of it was, in percent.
    pub loudness: Rc<RefCell<Vec<u8>>>,
    pub state: Rc<Cell<SoundState>>,
    /// How it was asked to sound last.
    pub sounding: Rc<RefCell<Option<Sounding>>>,
    /// The words it speaks in, whatever the language; `None` for those of the language.
    pub voice: Rc<RefCell<Option<Lexicon>>>,
    /// What is plugged in.
    pub loudspeakers: Rc<RefCell<Vec<String>>>,
}

impl Default for Ears {
    fn default() -> Self {
        Self {
            heard: Rc::default(),
            loudness: Rc::default(),
            state: Rc::new(Cell::new(SoundState::Working)),
            sounding: Rc::default(),
            voice: Rc::default(),
            loudspeakers: Rc::default(),
        }
    }
}

impl Ears {
    pub fn take(&self) -> Vec<Heard> {
        self.loudness.take();
        self.heard.take()
    }
    /// The same with how loud each of it was, in percent.
    pub fn take_with_loudness(&self) -> Vec<(Heard, u8)> {
        let loudness = self.loudness.take();
        self.heard.take().into_iter().zip(loudness).collect()
    }
    fn hear(&self, heard: Heard) {
        let sounding = self.sounding.borrow();
        let sounding = sounding
            .as_ref()
            .expect("told how to sound before all else");
        self.loudness.borrow_mut().push(sounding.volume_percent);
        self.heard.borrow_mut().push(heard);
    }
    pub fn said(&self) -> Vec<String> {
        self.heard
            .borrow()
            .iter()
            .filter_map(|h| match h {
                Heard::Said(a) | Heard::SaidSlowly(a) => Some(a.text(&voice())),
                _ => None,
            })
            .collect()
    }
}

/// A voice that has sounds for the wall's own words alone.
pub fn voice() -> Lexicon {
    Lexicon {
        words: Some(Lexicon::english().needed()),
        ..Lexicon::english()
    }
}

/// The voice that the program carries for Spanish.
pub fn spanish_voice() -> Lexicon {
    Pack::of(Language::Spanish).lexicon.clone()
}

impl Announcer for Ears {
    fn set(&mut self, sounding: &Sounding) {
        *self.sounding.borrow_mut() = Some(sounding.clone());
    }
    fn lexicon(&self) -> Lexicon {
        if let Some(voice) = self.voice.borrow().as_ref() {
            return voice.clone();
        }
        let sounding = self.sounding.borrow();
        match sounding.as_ref().map(|sounding| sounding.language) {
            Some(Language::Spanish) => spanish_voice(),
            Some(Language::English) | None => voice(),
        }
    }
    fn say(&mut self, announcement: &Announcement, pace: Pace) {
        let announcement = announcement.clone();
        self.hear(match pace {
            Pace::Usual => Heard::Said(announcement),
            Pace::Slow => Heard::SaidSlowly(announcement),
        });
    }
    fn loudspeakers(&mut self) -> Vec<String> {
        self.loudspeakers.borrow().clone()
    }
    fn tone(&mut self, tone: Tone) {
        self.hear(Heard::Tone(tone));
    }
    fn hush(&mut self) {
        self.hear(Heard::Hush);
    }
    fn state(&mut self) -> SoundState {
        self.state.get()
    }
}

/// A bay with everything around it in the test's hands.
#[derive(Clone, Default)]
pub struct Around {
    pub records: MemoryRecords,
    pub clock: HandClock,
    pub ears: Ears,
    pub lock: lead::MemoryLock,
    pub sticks: week::TestSticks,
    pub updates: updates::TestUpdates,
    pub panel: panel::TestPanel,
}

impl Around {
    pub fn runner(&self, setup: Setup) -> Runner {
        let bay = Bay::open(setup, Box::new(self.records.clone()), self.clock.now())
            .expect("the bay opens")
            .with_lead(Box::new(OnlyToLookAt), Box::new(self.lock.clone()))
            .with_sticks(Box::new(self.sticks.clone()))
            .with_updates(Box::new(self.updates.clone()))
            .with_panel(Box::new(self.panel.clone()), Box::new(self.panel.clone()));
        Runner::new(
            bay,
            Box::new(self.ears.clone()),
            Box::new(self.clock.clone()),
        )
    }
}
