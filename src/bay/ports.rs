//! What the bay needs from outside, as traits: the sound, the records and the clock.

use super::panel::Finding;
use super::records::Step;
use super::resuming::Place;
use super::setup::Setup;
use super::setup_change::{Edit, SetupChange};
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::calibration::Way;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;
use crate::trade::text::Text;
use chrono::NaiveDateTime;
use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

/// A short sound with one meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// A press was taken.
    Click,
    /// One second of the countdown before a run.
    Countdown,
    /// Start of a run: open the trigger now.
    Go,
    /// End of a run: let go now.
    Stop,
    /// Something was refused or went wrong.
    Refused,
}

/// What is known of the loudspeaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoundState {
    /// The bay's set-up turns sound off.
    Off,
    /// Not yet known: the device is being opened.
    Opening,
    /// A device is open.
    Working,
    /// No device, or it went away. It is tried again by itself.
    NoDevice(Why),
}

/// What keeps a loudspeaker from being heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// It is not there, or went away.
    Absent,
    /// Another program holds it.
    InUse,
    /// This program may not use it: a matter of the panel's set-up.
    NotAllowed,
    /// It is there, and hangs, is slow, or its software ends in the middle.
    NoAnswer,
}

/// How fast something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// As people speak.
    #[default]
    Usual,
    /// With longer stops between the words, to follow with a pen or a jug.
    Slow,
}

/// How the bay wants to be heard at the moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sounding {
    /// Loudness of what comes next, 0 to 100.
    pub volume_percent: u8,
    /// The language that is spoken.
    pub language: Language,
    /// The loudspeaker by its name, one of [`Announcer::loudspeakers`]; `None` for the one that the
    /// system prefers.
    pub loudspeaker: Option<String>,
}

/// Says what the bay wants said. Never blocks and never fails: no device is a state.
pub trait Announcer {
    /// From now on sound like this. Asked for whenever it changes, and once before all else.
    fn set(&mut self, sounding: &Sounding);
    /// What the voice knows to say, in the language that was set last.
    fn lexicon(&self) -> Lexicon;
    /// Say this now; whatever was being said stops at once.
    fn say(&mut self, announcement: &Announcement, pace: Pace);
    /// Play a short tone at once, beside speech for a click, instead of speech for the others.
    fn tone(&mut self, tone: Tone);
    /// Stop speaking.
    fn hush(&mut self);
    /// What is known of the loudspeaker at this moment.
    fn state(&mut self) -> SoundState;
    /// The names of the loudspeakers that were found when last looked for; empty before that. Looks
    /// again, without waiting for the answer.
    fn loudspeakers(&mut self) -> Vec<String>;
    /// Calls `news` whenever [`Self::state`] becomes another one, in whatever thread: nobody asks for it
    /// in between. One whose state never changes has no news.
    fn tell(&mut self, _news: News) {}
}

/// What is called when there is news; it returns at once.
pub type News = Box<dyn Fn() + Send>;

/// The light behind the glass.
pub trait Backlight {
    /// Lights the glass so, in percent of its full light as an eye sees it, 1 to 100. False where that
    /// cannot be done: then it is for the screens to draw it.
    fn light(&mut self, percent: u8) -> bool;
}

/// A glass whose light cannot be set.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoBacklight;

impl Backlight for NoBacklight {
    fn light(&mut self, _percent: u8) -> bool {
        false
    }
}

/// Time, passed in so that whole shifts run in tests without waiting.
pub trait Clock {
    /// Time since some fixed moment; never goes back. All durations are measured with it.
    fn monotonic(&self) -> Duration;
    /// The date and time of day, which a wall screen may have wrong after a power cut.
    fn wall(&self) -> chrono::DateTime<chrono::FixedOffset>;
}

/// Keeps where a hand is, for the program that starts anew where this one ends in the middle. What cannot
/// be kept or read is no fault: the wall begins at home then.
pub trait Places {
    /// Where the hand was when the program ended; `None` where nobody knows, where that is too long ago,
    /// and when asked again.
    fn found(&mut self) -> Option<Place>;
    /// The hand is here. Nothing is written where that was kept already.
    fn keep(&mut self, place: &Place);
}

/// Several bays one after another, in one program, go on with the same.
impl<P: Places> Places for Rc<RefCell<P>> {
    fn found(&mut self) -> Option<Place> {
        self.borrow_mut().found()
    }
    fn keep(&mut self, place: &Place) {
        self.borrow_mut().keep(place);
    }
}

/// What is being done at the sprayer just now, as the wall knows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Nothing that a run or a check needs.
    Nothing,
    /// Getting ready for one, or done with it.
    Between,
    /// A step of a calibration; no trigger is open.
    Step {
        /// How its runs are done.
        way: Way,
        /// Which step.
        step: Step,
        /// What the stopwatch said, once it was stopped.
        time: Option<Duration>,
    },
    /// The trigger is open, the stopwatch runs.
    Spraying {
        /// True for a timed check, false for a run of a calibration.
        check: bool,
        /// True with the mix in the container, false with clean water.
        mix: bool,
        /// For so long.
        ran: Duration,
    },
}

/// A sprayer, and what is being done with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scene {
    /// Which sprayer, by id.
    pub sprayer: String,
    /// What is being done.
    pub doing: Doing,
}

/// A sprayer to train with that is not there: tells what somebody beside it would see.
pub trait Practice {
    /// What is to be seen, in a few words; empty where that is nothing. Told of every change of the
    /// scene, and while the trigger is open all the time.
    fn sees(&mut self, scene: &Scene) -> Text;
}

/// Why the set-up was not changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotChanged {
    /// What is wrong and what would be right, as the reader of the set-up says it.
    pub message: Text,
}

/// Changes the set-up file, and leaves everything in it that it does not change as it is.
pub trait SetupKeeper {
    /// What all of the edits would come to: the set-up, and the change that it would be. Nothing is
    /// written yet. Without an edit it is the set-up as the file has it now, which somebody may have
    /// changed by hand.
    ///
    /// # Errors
    /// The file cannot be read, or the set-up would not be right any more.
    fn plan(&mut self, edits: &[Edit]) -> Result<(Setup, SetupChange), NotChanged>;

    /// The same of taking back a change that was made before, where what it changed is still as it
    /// left it.
    ///
    /// # Errors
    /// It was changed again since, the file cannot be read, or the set-up would not be right any more.
    fn plan_back(&mut self, change: &SetupChange) -> Result<(Setup, SetupChange), NotChanged>;

    /// Makes a change that was planned. When it returns `Ok`, the file is on disk.
    ///
    /// # Errors
    /// The file is another one than the plan went by, or cannot be written.
    fn make(&mut self, change: &SetupChange) -> Result<(), NotChanged>;

    /// Plans to take a change back and does so, unasked. Gives the change that this was.
    ///
    /// # Errors
    /// As for [`Self::plan_back`] and [`Self::make`].
    fn take_back(&mut self, change: &SetupChange) -> Result<(Setup, SetupChange), NotChanged> {
        let planned = self.plan_back(change)?;
        self.make(&planned.1)?;
        Ok(planned)
    }
}

/// Why the PIN could not be looked at or kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LockFault {
    /// What went wrong and what to do, with the name of the file: for the journal.
    pub message: String,
    /// What of it the hand at the wall can do something about.
    pub cause: LockCause,
}

/// What keeps the PIN from being looked at or kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LockCause {
    /// A file of the PIN cannot be read, written or removed.
    File,
    /// What is in it is no PIN.
    Damaged,
    /// The hash could not be worked out.
    Hash,
    /// There is none: the bay is only to be looked at.
    OnlyToLookAt,
}

impl LockCause {
    /// In few words: what is wrong, and what to do.
    pub fn words(self) -> Text {
        match self {
            Self::File => text!(
                "The PIN's file cannot be read or written: see that the disk has room and takes writing."
            ),
            Self::Damaged => text!(
                "The PIN's file is damaged. Put an empty file forget-lead-pin beside it, then choose a PIN anew."
            ),
            Self::Hash => text!("The PIN could not be worked out: start the screen again."),
            Self::OnlyToLookAt => OnlyToLookAt::WHY.into(),
        }
    }
}

/// Keeps the shift lead's PIN, as a hash that does not give it away.
pub trait LeadLock {
    /// True where a PIN was set.
    ///
    /// # Errors
    /// It cannot be read.
    fn has_pin(&mut self) -> Result<bool, LockFault>;
    /// True where this is the PIN. Takes as long as its hash is made to take.
    ///
    /// # Errors
    /// It cannot be read.
    fn opens(&mut self, pin: &str) -> Result<bool, LockFault>;
    /// Sets the PIN. When it returns `Ok`, it is on disk.
    ///
    /// # Errors
    /// It cannot be written.
    fn set_pin(&mut self, pin: &str) -> Result<(), LockFault>;
    /// Takes the PIN away where the file that asks for it was put beside the set-up, and that file
    /// too. True where it was done.
    ///
    /// # Errors
    /// One of the files cannot be removed.
    fn take_away_if_asked(&mut self) -> Result<bool, LockFault>;
}

/// A bay whose set-up cannot be changed at the screen, and which has no shift lead's side: for
/// commands that only look.
#[derive(Debug, Clone, Copy, Default)]
pub struct OnlyToLookAt;

impl OnlyToLookAt {
    const WHY: &'static str = "This bay is only to be looked at.";
}

impl SetupKeeper for OnlyToLookAt {
    fn plan(&mut self, _: &[Edit]) -> Result<(Setup, SetupChange), NotChanged> {
        Err(NotChanged {
            message: Self::WHY.into(),
        })
    }
    fn plan_back(&mut self, _: &SetupChange) -> Result<(Setup, SetupChange), NotChanged> {
        self.plan(&[])
    }
    fn make(&mut self, _: &SetupChange) -> Result<(), NotChanged> {
        self.plan(&[]).map(|_| ())
    }
}

impl LeadLock for OnlyToLookAt {
    fn has_pin(&mut self) -> Result<bool, LockFault> {
        Err(LockFault {
            message: Self::WHY.into(),
            cause: LockCause::OnlyToLookAt,
        })
    }
    fn opens(&mut self, _: &str) -> Result<bool, LockFault> {
        self.has_pin()
    }
    fn set_pin(&mut self, _: &str) -> Result<(), LockFault> {
        self.has_pin().map(|_| ())
    }
    fn take_away_if_asked(&mut self) -> Result<bool, LockFault> {
        Ok(false)
    }
}

/// A memory stick that is put in, or one of several parts of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stick {
    /// The system's name of it, which stays as long as it is put in.
    pub id: String,
    /// What it calls itself and how large it is.
    pub name: String,
}

/// Files to put on a stick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parcel {
    /// The folder for them, below a folder `fillcall`: letters, digits and dashes.
    pub folder: String,
    /// Each with its name and its text.
    pub files: Vec<(String, String)>,
}

/// How far putting files on a stick has come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OnStick {
    /// The stick is being opened.
    Opening,
    /// Bytes are written.
    Writing {
        /// So many of them.
        done: usize,
        /// Of so many.
        of: usize,
    },
    /// All is written and synced; the stick is being closed.
    Closing,
    /// Over, and all of it is on the stick.
    Done {
        /// The folder on it.
        folder: String,
        /// May it be pulled out?
        leave: Leave,
    },
    /// Over, and nothing of it is on the stick.
    Failed(StickFault),
}

/// How a stick was left that holds everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leave {
    /// Unmounted: it may be pulled out.
    PullOut,
    /// Everything is synced, but nothing is here that could unmount it.
    NoTool,
    /// Everything is synced, but it could not be unmounted: something else holds it.
    Held,
}

/// Why nothing is on the stick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StickFault {
    /// It was pulled out.
    Gone,
    /// It, or the part of it, may only be read.
    ReadOnly,
    /// It is full.
    Full {
        /// So many bytes more are needed at least.
        missing: u64,
    },
    /// It is not mounted, and nothing is here that could mount it.
    NoTool,
    /// The rules of this panel's system do not let this user open a stick.
    NotAllowed,
    /// It cannot be mounted: no file system that the system knows.
    NotMounted {
        /// What the system said.
        said: String,
    },
    /// It does not answer any more.
    Hangs,
    /// Anything else.
    Other {
        /// What the system said.
        said: String,
    },
}

/// Puts files on a memory stick. Never blocks: what takes time goes on by itself.
pub trait Sticks {
    /// The sticks that are put in.
    fn found(&mut self) -> Vec<Stick>;
    /// Begins to put files on a stick, by its id.
    fn put(&mut self, stick: &str, parcel: Parcel);
    /// How far it has come; `None` where nothing was begun.
    fn state(&mut self) -> Option<OnStick>;
    /// Nobody waits for it any more: what still can be taken back is taken back when the stick
    /// answers again.
    fn give_up(&mut self);
}

impl Sticks for OnlyToLookAt {
    fn found(&mut self) -> Vec<Stick> {
        Vec::new()
    }
    fn put(&mut self, _: &str, _: Parcel) {}
    fn state(&mut self) -> Option<OnStick> {
        None
    }
    fn give_up(&mut self) {}
}

// ---- A newer version -------------------------------------------------------------------------

/// How a package on a stick stands to the version that runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fit {
    /// It is newer, for this panel, and signed with its key.
    Newer,
    /// It is the version that runs.
    Same,
    /// It is an older one.
    Older,
    /// It is for other machines.
    OtherMachine,
    /// This panel has no key to hold it against.
    NoKey,
    /// No signature lies beside it.
    NoSignature,
    /// Another key signed it.
    OtherKey,
    /// It is not what was signed.
    Damaged,
}

/// A package that was on a stick; it is on the panel's own disk now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Package {
    /// Its version: the signed one, or where none is, what its name says.
    pub version: String,
    /// How it stands to the one that runs.
    pub fit: Fit,
}

/// Why nothing was fetched from a stick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FetchFault {
    /// It was pulled out, or cannot be read to its end.
    Gone,
    /// Nothing is here that could mount it.
    NoTool,
    /// The rules of this panel's system do not let this user open a stick.
    NotAllowed,
    /// It cannot be mounted.
    NotMounted,
    /// The panel's own disk is full.
    Full,
    /// The panel's own disk does not take it: what the system said.
    Disk(String),
}

/// What came of looking for a newer version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Looked {
    /// It is still looked.
    Busy,
    /// No stick is in.
    NoStick,
    /// This was there.
    Found {
        /// The newest package.
        package: Option<Package>,
        /// The number of a public key.
        key: Option<String>,
    },
    /// It could not be looked.
    Failed(FetchFault),
}

/// How far an update is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UpdateStep {
    /// The package is copied.
    Copy,
    /// It is looked at.
    Check,
    /// A backup is taken.
    Backup,
    /// It is tried on a copy.
    Try,
    /// It is installed: the wall stops.
    Install,
    /// It is watched.
    Watch,
    /// The version before comes back.
    Back,
}

/// How the last update ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UpdateEnd {
    /// In which way.
    pub how: UpdateHow,
    /// Why, as one word of `fillcall-update`.
    pub why: String,
    /// The version before.
    pub old: String,
    /// The version that it was about.
    pub new: String,
    /// When, in seconds since 1970.
    pub at: i64,
}

/// In which way an update ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UpdateHow {
    /// The new version runs.
    Updated,
    /// The version before came back.
    Back,
    /// The way back did not work.
    Stuck,
    /// Nothing was touched.
    Refused,
    /// Another public key was taken.
    Key,
}

/// What is told of updates by whoever does them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct UpdateTold {
    /// How far one is that goes on just now.
    pub step: Option<UpdateStep>,
    /// How the last one ended.
    pub end: Option<UpdateEnd>,
}

/// Newer versions of this program. Never blocks: what takes time goes on by itself.
pub trait Updates {
    /// The version that runs.
    fn running(&self) -> String;
    /// False where this wall was not installed in such a way that it could be updated.
    fn is_possible(&self) -> bool;
    /// The number of the public key that packages are held against.
    fn key(&mut self) -> Option<String>;
    /// Begins to look on the stick, and fetches what is there.
    fn look(&mut self);
    /// What came of that; `None` where nobody looked.
    fn looked(&mut self) -> Option<Looked>;
    /// Asks for the package that was fetched to be installed.
    ///
    /// # Errors
    /// It could not be asked for.
    fn install(&mut self) -> Result<(), String>;
    /// Asks for the key that was fetched to be taken.
    ///
    /// # Errors
    /// It could not be asked for.
    fn take_key(&mut self) -> Result<(), String>;
    /// What is told of it.
    fn told(&mut self) -> UpdateTold;
}

impl Updates for OnlyToLookAt {
    fn running(&self) -> String {
        env!("CARGO_PKG_VERSION").to_owned()
    }
    fn is_possible(&self) -> bool {
        false
    }
    fn key(&mut self) -> Option<String> {
        None
    }
    fn look(&mut self) {}
    fn looked(&mut self) -> Option<Looked> {
        None
    }
    fn install(&mut self) -> Result<(), String> {
        Err(Self::WHY.to_owned())
    }
    fn take_key(&mut self) -> Result<(), String> {
        Err(Self::WHY.to_owned())
    }
    fn told(&mut self) -> UpdateTold {
        UpdateTold::default()
    }
}

// ---- The panel -------------------------------------------------------------------------------

/// How much of the panel is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Extent {
    /// Whether the touch panel is there.
    Inputs,
    /// The disk with the records, and what else may change while the wall runs.
    Disk,
    /// Whether the sound card lets anything be heard.
    Sound,
    /// Everything.
    All,
}

/// Looks at the panel that the wall runs on. Never blocks: what takes time goes on by itself.
pub trait PanelDoctor {
    /// Begins to look at so much of it.
    fn look(&mut self, extent: Extent);
    /// What a look has found, each once; `None` where no further one has come to its end.
    fn found(&mut self) -> Option<(Extent, Vec<Finding>)>;
}

/// What became of setting the clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClockSet {
    /// It is set.
    Set,
    /// It is not.
    NotSet(ClockFault),
}

/// Why the clock was not set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClockFault {
    /// The network sets it.
    ByNetwork,
    /// The rules of this panel's system do not let this user set it.
    NotAllowed,
    /// Nothing is here that could set it.
    NoTool,
    /// What sets it does not answer.
    NoAnswer,
    /// Anything else.
    Other {
        /// What the system said.
        said: String,
    },
}

/// Sets the clock of the panel. Never blocks: what takes time goes on by itself.
pub trait ClockSetter {
    /// Begins to set it, to date and time in the panel's own time zone.
    fn set(&mut self, to: NaiveDateTime);
    /// What became of it, once; `None` before that.
    fn state(&mut self) -> Option<ClockSet>;
}

impl PanelDoctor for OnlyToLookAt {
    fn look(&mut self, _: Extent) {}
    fn found(&mut self) -> Option<(Extent, Vec<Finding>)> {
        None
    }
}

impl ClockSetter for OnlyToLookAt {
    fn set(&mut self, _: NaiveDateTime) {}
    fn state(&mut self) -> Option<ClockSet> {
        Some(ClockSet::NotSet(ClockFault::NoTool))
    }
}
