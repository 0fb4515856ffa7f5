//! What happens in the bay, and the port through which it is kept.

use super::setup_change::{Place, SetupChange};
use crate::text;
use crate::trade::calibration::{Calibration, Run, Way};
use crate::trade::days_strength::Allowed;
use crate::trade::language::Language;
use crate::trade::reminder::{PutOff, VoidCause};
use crate::trade::text::Text;
use crate::trade::units::{Strength, Volume};
use crate::trade::weighing::Weighed;
use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// The number of a happening in the records: a later one has a higher number, whatever the clock
/// showed. It takes back what can be taken back.
pub type Entry = i64;

/// Something that was kept, with its place among all that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed<T> {
    /// Its number.
    pub entry: Entry,
    /// When, by the wall's clock.
    pub at: DateTime<FixedOffset>,
    /// What.
    pub what: T,
}

/// A fill that was made up.
#[derive(Debug, Clone, PartialEq)]
pub struct Fill {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// Which chemical, by id.
    pub chemical: String,
    /// How much was made up in all.
    pub fill: Volume,
    /// Product poured, as rounded to the measure.
    pub poured: Volume,
    /// Water.
    pub water: Volume,
    /// What that puts on the vehicle.
    pub strength: Strength,
    /// How the calibration stood ([`crate::trade::reminder::Standing::word`]).
    pub standing: String,
    /// How it came about.
    pub how: FillHow,
}

impl Fill {
    /// Product as delivered per volume of what was in the container then, 0 to 1: of what was poured,
    /// and of what there was before. It does not depend on any calibration. `None` where the volumes
    /// cannot be.
    pub fn fraction(&self) -> Option<f64> {
        let before = match self.how {
            FillHow::ToppedUp { product, .. } => product,
            FillHow::Fresh | FillHow::Mispoured { .. } => Volume::ZERO,
        };
        let fraction = (before + self.poured) / self.fill;
        (0.0..=1.0 + 1e-9)
            .contains(&fraction)
            .then_some(fraction.min(1.0))
    }
}

/// How a fill came about.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum FillHow {
    /// Made up in an empty container.
    #[default]
    Fresh,
    /// Something was in the container: product and water were added to it. `poured` and `water` are
    /// what was added, `fill` is all that was in it then.
    ToppedUp {
        /// How much was in it.
        left: Volume,
        /// How much product, as delivered, was in that.
        product: Volume,
    },
    /// Another dose than the one shown was poured by mistake; `poured` is what was really poured.
    Mispoured {
        /// The dose that was shown.
        meant: Volume,
    },
}

/// For which sprayers a setting of the day holds.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// All that have none of their own.
    Bay,
    /// This one, by id.
    Sprayer(String),
}

/// The day's chemical as the shift lead set it.
#[derive(Debug, Clone, PartialEq)]
pub struct DaySetting {
    /// For which sprayers.
    pub scope: Scope,
    /// Which chemical, by id.
    pub chemical: String,
    /// Another strength on the vehicle than the set-up's; `None` for the set-up's.
    pub strength: Option<Strength>,
    /// True where it holds until the end of the day, false where until it is changed.
    pub today_only: bool,
    /// How the strength stood to what was allowed when it was set. Outside of that it was confirmed.
    pub allowed: Allowed,
    /// True where another sprayer of the bay had what must never meet the chemical, and that was
    /// confirmed.
    pub beside_never: bool,
}

/// What happened to the stock of a chemical.
#[derive(Debug, Clone, PartialEq)]
pub enum StockMove {
    /// Product came.
    Delivered {
        /// In how many containers; 0 where it came in none that are counted.
        containers: u32,
        /// What is in all of them.
        volume: Volume,
    },
    /// Containers were opened.
    Opened {
        /// How many.
        containers: u32,
    },
    /// All there is was measured.
    Counted {
        /// So much, opened or not.
        volume: Volume,
    },
}

/// What was done to get in on the shift lead's side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeadAccess {
    /// The right PIN: let in.
    LetIn,
    /// A wrong PIN.
    Refused,
    /// Left, or closed by itself.
    Left,
    /// The PIN was set or changed.
    PinSet,
    /// The PIN was taken away by the file for that.
    PinTakenAway,
}

/// A calibration as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationRecord {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// The nozzle fitted then.
    pub nozzle: String,
    /// The washer that fed it then.
    pub washer: String,
    /// What the set-up said of its dial then; `None` where it said nothing, or nobody kept it.
    pub dial: Option<String>,
    /// The readings.
    pub calibration: Calibration,
    /// When.
    pub taken: DateTime<FixedOffset>,
}

/// The steps of a guided calibration. Which of them a run goes through is told by
/// [`Step::path`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Step {
    /// Measure what the container holds, pick-up tube in.
    Holds,
    /// Choose how long it runs.
    SetTime,
    /// Enter the temperature of the water.
    Temperature,
    /// Weigh the empty bucket.
    BucketEmpty,
    /// Fill it to the line with clean water.
    FillToLine,
    /// Weigh the container, full to the line.
    ContainerFull,
    /// Dial as it is used, bucket ready; the countdown starts from here.
    Ready,
    /// The stopwatch runs (also during the countdown).
    Running,
    /// Enter what is left in the container.
    Left,
    /// Enter the catch.
    Catch,
    /// Weigh the container after the run.
    ContainerAfter,
    /// Weigh the bucket with the catch.
    BucketFull,
    /// Enter the temperature of the catch.
    CatchTemperature,
    /// See the result; save it or throw it away.
    Review,
}

impl Step {
    /// All steps.
    pub const ALL: [Self; 14] = [
        Self::Holds,
        Self::SetTime,
        Self::Temperature,
        Self::BucketEmpty,
        Self::FillToLine,
        Self::ContainerFull,
        Self::Ready,
        Self::Running,
        Self::Left,
        Self::Catch,
        Self::ContainerAfter,
        Self::BucketFull,
        Self::CatchTemperature,
        Self::Review,
    ];

    /// The steps of a run done that way, in order.
    pub const fn path(way: Way) -> &'static [Self] {
        match way {
            Way::RunDry => &[
                Self::Holds,
                Self::FillToLine,
                Self::Ready,
                Self::Running,
                Self::Left,
                Self::Catch,
                Self::Review,
            ],
            Way::Timed => &[
                Self::Holds,
                Self::SetTime,
                Self::FillToLine,
                Self::Ready,
                Self::Running,
                Self::Left,
                Self::Catch,
                Self::Review,
            ],
            Way::ByWeight => &[
                Self::Temperature,
                Self::BucketEmpty,
                Self::FillToLine,
                Self::ContainerFull,
                Self::Ready,
                Self::Running,
                Self::ContainerAfter,
                Self::BucketFull,
                Self::CatchTemperature,
                Self::Review,
            ],
        }
    }

    /// What is weighed, or measured of the water, at this step.
    pub const fn weighs(self) -> Option<Weighed> {
        match self {
            Self::Temperature => Some(Weighed::Water),
            Self::BucketEmpty => Some(Weighed::BucketEmpty),
            Self::ContainerFull => Some(Weighed::ContainerFull),
            Self::ContainerAfter => Some(Weighed::ContainerAfter),
            Self::BucketFull => Some(Weighed::BucketFull),
            Self::CatchTemperature => Some(Weighed::CatchWater),
            _ => None,
        }
    }

    /// The word in the records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::SetTime => "set-time",
            Self::Temperature => "temperature",
            Self::BucketEmpty => "bucket-empty",
            Self::FillToLine => "fill-to-line",
            Self::ContainerFull => "container-full",
            Self::Ready => "ready",
            Self::Running => "running",
            Self::Left => "left",
            Self::Catch => "catch",
            Self::ContainerAfter => "container-after",
            Self::BucketFull => "bucket-full",
            Self::CatchTemperature => "catch-temperature",
            Self::Review => "review",
        }
    }
    /// The step for a word of the records.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.word() == word)
    }
}

/// One load of a catch, or of what was left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// How much.
    pub volume: Volume,
    /// The step between two lines of the measure that it was read on; `None` where that is not
    /// known any more.
    pub graduation: Option<Volume>,
}

/// An unfinished calibration, kept step by step so that a restart loses nothing done.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// How its runs are done.
    pub way: Way,
    /// The step now in hand. `Running` is kept from the start of the countdown on, so that a run cut
    /// off by a power cut is known for one.
    pub step: Step,
    /// What was in the container at the start: what it was measured to hold, or what was put into a
    /// drum.
    pub holds: Option<Volume>,
    /// How long a timed run is to last.
    pub set_time: Option<Duration>,
    /// What the stopwatch said.
    pub time: Option<Duration>,
    /// The catch, load by load.
    pub catch_loads: Vec<Load>,
    /// What was left in the container after the run, load by load: a load of nothing where somebody said
    /// that nothing was, none where nobody said anything.
    pub left_loads: Vec<Load>,
    /// What thermometer and balance showed so far: °C and kg.
    pub weights: BTreeMap<Weighed, f64>,
    /// The runs done before the one in hand, in order: [`crate::trade::calibration::MOST_RUNS`] − 1 at most.
    pub runs: Vec<Run>,
}

/// One thing that happened. Each is kept in one transaction.
#[derive(Debug, Clone, PartialEq)]
pub enum Happening {
    /// A vehicle was washed with this sprayer.
    Wash {
        /// Which sprayer, by id.
        sprayer: String,
        /// With which chemical, by id.
        chemical: String,
    },
    /// A wash was counted by mistake.
    WashUndone(Entry),
    /// A fill was made up.
    Fill(Fill),
    /// Another dose than the one shown was poured: what was really poured, and what follows from it,
    /// are kept together and taken back together, by the number of the fill.
    Mispoured {
        /// What was really poured.
        fill: Fill,
        /// The fill that was logged for it before anybody knew: it is taken back.
        instead_of: Option<Entry>,
        /// What was added at once to put it right: a fill of its own.
        added: Option<Fill>,
    },
    /// A fill was logged by mistake. What was added to put it right goes with it, and the fill that it
    /// was logged instead of stands again.
    FillUndone(Entry),
    /// A calibration was saved. It ends the draft, the put-offs and any void of its sprayer.
    Calibrated(CalibrationRecord),
    /// A calibration was saved by mistake: what was before it stands again.
    CalibrationUndone(Entry),
    /// An earlier calibration counts again from now on, with the washes since it was taken. It ends the
    /// put-offs of its sprayer, its checks and its corrections.
    CalibrationBroughtBack {
        /// Its number.
        of: Entry,
        /// As kept.
        record: Box<CalibrationRecord>,
    },
    /// A run was thrown away. It ends the draft.
    RunThrownAway(Draft),
    /// One run of several was thrown away, and the calibration goes on without it.
    RunDropped {
        /// That run alone.
        run: Box<Draft>,
        /// What is left of the calibration.
        draft: Box<Draft>,
    },
    /// Nozzle, washer or supply of a sprayer changed.
    Changed {
        /// Which sprayer, by id.
        sprayer: String,
        /// What changed.
        what: VoidCause,
    },
    /// A reminder was put off.
    PutOff {
        /// Which sprayer, by id.
        sprayer: String,
        /// What it came to.
        put_off: PutOff,
    },
    /// A sprayer was chosen, to be the one shown after a restart.
    SprayerChosen(String),
    /// An operator chose a chemical other than the day's, or the day's again.
    ChemicalChosen {
        /// For which sprayer: what is chosen at the wall is for one. An earlier version chose for all
        /// of the bay at once.
        scope: Scope,
        /// Which chemical, by id.
        chemical: String,
    },
    /// Somebody chose at the wall how it is to be heard.
    SoundChosen(SoundChoice),
    /// A step of a calibration was done.
    Drafted(Draft),
    /// A full container was run against the stopwatch.
    Checked(CheckRecord),
    /// The shift lead set the day's chemical; `None` ends the setting of the scope.
    DaySet {
        /// For which sprayers.
        scope: Scope,
        /// What was set.
        setting: Option<DaySetting>,
    },
    /// The day's chemical was set or ended by mistake: what was before it stands again, as it was.
    DayUndone(Entry),
    /// A sprayer was emptied and rinsed.
    Rinsed {
        /// Which sprayer, by id.
        sprayer: String,
    },
    /// A rinse was said by mistake.
    RinseUndone(Entry),
    /// The shift lead's side was opened, left, or its PIN changed.
    Lead(LeadAccess),
    /// The shift lead said that the time of the clock is right: what was kept before with later dates has
    /// wrong ones.
    ClockPutRight {
        /// The newest date in the records until then.
        newest: DateTime<FixedOffset>,
    },
    /// The set-up was changed at the screen.
    SetupChanged(SetupChange),
    /// The set-up file was found changed by hand while the wall was open, and holds from now on: its
    /// whole text.
    SetupFound(String),
    /// Stock came, was opened or counted.
    Stock {
        /// Which chemical, by id.
        chemical: String,
        /// What happened to it.
        what: StockMove,
    },
    /// A happening to the stock was told by mistake.
    StockUndone(Entry),
    /// The dose of a chemical was corrected for how its mix draws, or the correction was ended.
    /// A calibration and a change end all corrections of their sprayer.
    Corrected {
        /// Which sprayer, by id.
        sprayer: String,
        /// Which chemical, by id.
        chemical: String,
        /// What the dose is multiplied with, above 0; `None` ends the correction.
        factor: Option<f64>,
    },
}

/// A choice of how the wall is heard, to be the one after a restart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SoundChoice {
    /// Loudness, 0 to 100.
    Volume(u8),
    /// The language that is shown and spoken.
    Language(Language),
    /// The loudspeaker by its name; `None` for the system's own choice.
    Loudspeaker(Option<String>),
}

/// A timed check as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckRecord {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// The chemical whose mix was in the container, by id; `None` for clean water.
    pub mix: Option<String>,
    /// What the stopwatch said.
    pub time: Duration,
    /// What a full container takes by the calibration that it was held against.
    pub calibrated: Duration,
    /// When.
    pub at: DateTime<FixedOffset>,
}

/// What is known of one sprayer from the records.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SprayerPast {
    /// The calibration that counts: its newest that was not taken back, or one brought back since.
    pub calibration: Option<CalibrationRecord>,
    /// Washes with it since, those taken back left out. All of them where never calibrated.
    pub washes_since: u32,
    /// What changed since, if anything: the newest change.
    pub void: Option<VoidCause>,
    /// Put off since.
    pub put_off: PutOff,
    /// The newest timed check with water since.
    pub check: Option<CheckRecord>,
    /// What the dose of a chemical, by id, is multiplied with; set since the calibration, and ended
    /// by a change.
    pub corrections: BTreeMap<String, f64>,
    /// The chemical, by id, of its newest fill that was not taken back, where it was not rinsed since.
    pub in_it: Option<String>,
    /// A calibration came after that fill: nothing is left of its mix, but it was not rinsed out.
    pub run_out: bool,
}

/// The newest fill of a sprayer that was not taken back.
#[derive(Debug, Clone, PartialEq)]
pub struct LastFill {
    /// Its number in the records.
    pub entry: Entry,
    /// When, by the wall's clock.
    pub at: DateTime<FixedOffset>,
    /// As it was kept.
    pub fill: Fill,
    /// A vehicle was washed with the sprayer since.
    pub used: bool,
}

/// A happening of the past, those taken back left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    /// Its number.
    pub entry: Entry,
    /// When, by the wall's clock.
    pub at: DateTime<FixedOffset>,
    /// What.
    pub what: Happening,
    /// How often: more than once only where a backup brought a count of washes.
    pub times: u32,
}

/// How something in the records is not as it was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BrokenWhat {
    /// It was changed, or all of it but its check sum is gone.
    Changed,
    /// Something is missing before it, or it was never kept.
    OutOfOrder,
    /// It is as it was kept, and its check sum is not.
    SumAlone,
    /// The counts of washes that a backup brought along.
    Counts,
    /// The unfinished calibration.
    Draft,
    /// A newer version kept it, and this one cannot read all of it.
    Newer,
}

/// Something in the records that is not as it was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// How.
    pub what: BrokenWhat,
    /// Its number; 0 for what has none.
    pub entry: Entry,
    /// When it was kept, as far as it can still tell.
    pub at: Option<DateTime<FixedOffset>>,
    /// The sprayers, by id, that have no dose for it until they are calibrated again.
    pub no_dose: BTreeSet<String>,
    /// The sprayers, by id, of which it is not known any more what is in them, until they are rinsed.
    pub unknown_mix: BTreeSet<String>,
}

/// What the bay needs from its records to go on where it stopped.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Past {
    /// By sprayer id.
    pub sprayers: BTreeMap<String, SprayerPast>,
    /// The sprayer chosen last.
    pub last_sprayer: Option<String>,
    /// The chemical, by id, that an operator chose last for each sprayer; for the whole bay where an
    /// earlier version kept it.
    pub chosen_chemicals: BTreeMap<Scope, Placed<String>>,
    /// The loudness chosen last, 0 to 100.
    pub volume_percent: Option<u8>,
    /// The language chosen last.
    pub language: Option<Language>,
    /// The loudspeaker chosen last; `None` for the system's own choice.
    pub loudspeaker: Option<String>,
    /// The settings of the day that were made last, and neither ended nor taken back.
    pub day: BTreeMap<Scope, Placed<DaySetting>>,
    /// Wrong PINs since somebody was let in last, or the PIN was set or taken away.
    pub wrong_pins: u32,
    /// When the newest fill with each chemical, by id, was made that was not taken back.
    pub last_fills: BTreeMap<String, DateTime<FixedOffset>>,
    /// The unfinished calibration.
    pub draft: Option<Draft>,
    /// The newest date in the records since the clock was put right, if it ever was: a clock that shows
    /// less is wrong.
    pub newest: Option<DateTime<FixedOffset>>,
    /// When the clock was put right last.
    pub clock_right: Option<DateTime<FixedOffset>>,
    /// The draw fractions of every calibration of the bay with two or more runs, calibration by
    /// calibration: what the bay's own scatter is known from.
    pub repeats: Vec<Vec<f64>>,
    /// What is not as it was kept, by number. Nothing of what hangs on it is in the rest.
    pub broken: Vec<Broken>,
}

/// What happened to one sprayer over time, oldest first.
#[derive(Debug, Clone, PartialEq)]
pub enum Milestone {
    /// A calibration that was not taken back, and how many washes were done by it.
    Calibrated {
        /// Its number.
        entry: Entry,
        /// As kept.
        record: Box<CalibrationRecord>,
        /// Washes until another one counted, or until now, and again since it was brought back.
        washes: u32,
    },
    /// An earlier calibration was brought back.
    BroughtBack {
        /// Its number.
        of: Entry,
        /// When.
        at: DateTime<FixedOffset>,
    },
    /// Something was changed.
    Changed {
        /// What.
        what: VoidCause,
        /// When.
        at: DateTime<FixedOffset>,
    },
}

/// Why something could not be kept or read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordsFault {
    /// What went wrong and what to do, for who looks after the panel.
    pub message: String,
    /// What the hand at the wall is told; where that is not known, the message.
    cause: Option<Cause>,
}

/// What keeps records from being kept or read, as far as a hand at the wall has to know it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Another program is writing to them.
    Busy,
    /// The disk is full.
    DiskFull,
    /// The disk, its folder or the file takes no writing.
    NoWriting,
    /// The disk or the folder is not there.
    OutOfReach,
    /// The disk does not do as it is told.
    DiskFails,
    /// What is in the file cannot be read.
    Damaged,
    /// The file was taken away while the wall ran.
    TakenAway,
    /// The file was changed by something else while the wall ran.
    Changed,
    /// Something else, that may be over soon.
    Unknown,
}

impl Cause {
    /// In few words: what is wrong, and what to do.
    pub fn words(self) -> Text {
        match self {
            Self::Busy => text!("Another program is writing: try again."),
            Self::DiskFull => text!("The disk is full: make room."),
            Self::NoWriting => text!("The disk takes no writing: tell the lead."),
            Self::OutOfReach => text!("The disk cannot be reached: tell the lead."),
            Self::DiskFails => text!("The disk is failing: tell the lead."),
            Self::Damaged => text!("The records are damaged: tell the lead."),
            Self::TakenAway => text!("The records were taken away: tell the lead."),
            Self::Changed => text!("Records changed: restart the screen."),
            Self::Unknown => text!("Try again; then restart the screen."),
        }
    }
}

impl RecordsFault {
    /// A fault with its message.
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            cause: None,
        }
    }
    /// With what the hand at the wall is told.
    #[must_use]
    pub fn because(mut self, cause: Cause) -> Self {
        self.cause = Some(cause);
        self
    }
    /// What is said at the wall.
    pub fn at_the_wall(&self) -> Text {
        let message = || text!("{}", self.message.as_str());
        self.cause.map_or_else(message, Cause::words)
    }
}

impl std::fmt::Display for RecordsFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}
impl std::error::Error for RecordsFault {}

/// The newest date in the records that is believed ([`Past::newest`]), where the clock shows less: then the
/// clock lost its time. `None` where it can be believed.
pub fn newest_beyond(
    clock: DateTime<FixedOffset>,
    newest: Option<DateTime<FixedOffset>>,
) -> Option<DateTime<FixedOffset>> {
    newest.filter(|newest| *newest > clock)
}

/// Keeps what happens. When `keep` returns `Ok`, it is on disk.
pub trait Records {
    /// Keeps one happening, and gives its number.
    ///
    /// # Errors
    /// Disk full, read-only, or taken away: nothing of it was kept.
    fn keep(
        &mut self,
        at: DateTime<FixedOffset>,
        happening: &Happening,
    ) -> Result<Entry, RecordsFault>;

    /// The number given last; 0 where none was.
    ///
    /// # Errors
    /// The records cannot be read.
    fn last(&mut self) -> Result<Entry, RecordsFault>;

    /// All that the bay needs to go on.
    ///
    /// # Errors
    /// The records cannot be read.
    fn past(&mut self) -> Result<Past, RecordsFault>;

    /// The calibrations and changes of one sprayer, oldest first, and which were brought back.
    ///
    /// # Errors
    /// The records cannot be read.
    fn history(&mut self, sprayer: &str) -> Result<Vec<Milestone>, RecordsFault>;

    /// True where anything in the records names this sprayer, chemical, measure or class of vehicle by
    /// its id, taken back or not: another one must not be taken for it. False for a place without an
    /// id.
    ///
    /// # Errors
    /// The records cannot be read.
    fn know(&mut self, item: &Place) -> Result<bool, RecordsFault>;

    /// The newest fill of a sprayer (by id) that was not taken back, if any.
    ///
    /// # Errors
    /// The records cannot be read.
    fn last_fill(&mut self, sprayer: &str) -> Result<Option<LastFill>, RecordsFault>;

    /// True where nothing could be kept last time because another program was writing at that moment:
    /// soon it may go.
    fn is_locked(&self) -> bool {
        false
    }

    /// What happened from number `from` on (0 for all), oldest first: fills, washes, calibrations,
    /// those brought back, changes, put-offs, settings of the day, rinses, the shift lead's access, changes of the set-up
    /// stock and the clock put right. What was mispoured, and what was added to it, are told as fills. Those that were taken back are left out, and so is what only takes back; drafts,
    /// choices and checks are no part of it. Washes that a backup brought along have number 0, and
    /// noon for a time, for no more than their day is known; all of a day are one entry.
    ///
    /// # Errors
    /// The records cannot be read.
    fn log(&mut self, from: Entry) -> Result<Vec<Logged>, RecordsFault>;

    /// The number from which on to ask for the [`Self::log`] of a day or a week: all that has the
    /// date `since` or a later one stands from there on, but for what was kept with a date that the clock,
    /// put right later, had not reached. Where the clock was wrong once, some with earlier dates stand
    /// there too: who wants none must leave them out by their dates.
    ///
    /// # Errors
    /// The records cannot be read.
    fn first_since(&mut self, since: DateTime<FixedOffset>) -> Result<Entry, RecordsFault>;

    /// Of the [`Self::log`] only fills and stock, oldest first: as far back as what is in stock
    /// depends on, and at least from `since` on. More than that may be there.
    ///
    /// # Errors
    /// The records cannot be read.
    fn stock_log(&mut self, since: DateTime<FixedOffset>) -> Result<Vec<Logged>, RecordsFault>;
}
