//! Everything that can be done at the wall, and what the bay asks for in return.

use super::day::DayAction;
use super::editing::EditAction;
use super::lead::LeadAction;
use super::mixing::MixAction;
use super::panel::PanelAction;
use super::ports::Tone;
use super::records::{Draft, Entry};
use super::reporting::ReportAction;
use super::setup_change::SetupChange;
use super::stock::StockAction;
use super::updating::UpdateAction;
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::calibration::Way;
use crate::trade::fill_plan::Part;
use crate::trade::language::Language;
use crate::trade::reminder::VoidCause;
use crate::trade::text::Text;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// Which screen is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Page {
    /// The fill figure: home.
    #[default]
    Fill,
    /// Choose a sprayer.
    Sprayers,
    /// Choose one of the sprayers that reach the strength which the one shown does not.
    Reaching,
    /// Choose a chemical.
    Chemicals,
    /// Choose a part of the container.
    Parts,
    /// How the sprayer's calibration stands, and what can be done about it.
    Care,
    /// Say what was changed on the sprayer.
    Changed,
    /// Choose how to calibrate, or to check only.
    Ways,
    /// The timed check; its stage says which page of it.
    Check,
    /// How sure the dose is, and what would make it surer.
    Sure,
    /// The draw fraction over time.
    Trend,
    /// The guided calibration; the draft's step says which page of it.
    Calibrate,
    /// What to do, why, and cautions.
    Help,
    /// First aid, and what must be found at once when somebody is hurt.
    Emergency,
    /// How the wall is heard: loudness, language, said again.
    Sound,
    /// Choose a loudspeaker.
    Loudspeakers,
    /// What else there is: help, sound, the day around the fill, stock, records, the lead's side.
    Menu,
    /// Enter the shift lead's PIN.
    Pin,
    /// The shift lead's side.
    Lead,
    /// Set the day's chemical.
    Day,
    /// Rinse the sprayer first.
    Rinse,
    /// Change the set-up; the stage of it says which page.
    Edit,
    /// What was changed in the set-up, to take back.
    Changes,
    /// The first set-up.
    FirstRun,
    /// The day around the fill; its stage says which page.
    Mix,
    /// What there is of each chemical.
    Stock,
    /// What happened; its stage says which page.
    Reports,
    /// Records and card to a stick or a phone.
    TakeAway,
    /// On the shift lead's side: whether the clock and the records can be believed.
    Clock,
    /// On the shift lead's side: the panel that the wall runs on.
    Panel,
    /// On the shift lead's side: a newer version of this program.
    Update,
    /// The glass is being wiped: touches do nothing.
    Wipe,
    /// On the shift lead's side: what is wrong with the panel, and what to do.
    Doctor,
    /// On the shift lead's side: set the clock.
    SetClock,
}

/// A key of the number pad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PadKey {
    /// 0 to 9.
    Digit(u8),
    /// The decimal point.
    Point,
    /// Takes back the last key.
    Back,
}

/// A key of the letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextKey {
    /// A letter, digit or sign.
    Sign(char),
    /// Takes back the last one.
    Back,
}

/// One input: a touch, a key, a pedal or a timer.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Time went by.
    Tick,
    /// The glass was touched, whatever becomes of it: speech stops.
    Touched,
    /// Somebody is there: a dimmed glass wakes, and nothing else happens.
    Wake,
    /// Show another screen.
    Show(Page),
    /// Back to where one came from.
    Back,

    /// Say the fill.
    SayFill,
    /// Say again what was said last.
    SayAgain,
    /// The same slowly; a fill with its strength and ratio.
    SaySlower,
    /// Say something to hear how loud it is.
    TestSound,
    /// A step louder.
    Louder,
    /// A step softer.
    Softer,
    /// Show and speak this language.
    ChooseLanguage(Language),
    /// Be heard through this loudspeaker; `None` for the system's own choice.
    ChooseLoudspeaker(Option<String>),
    /// Take this sprayer.
    ChooseSprayer(String),
    /// Take this sprayer, and for it the chemical in use.
    ChooseSprayerFor(String),
    /// Take the next sprayer of the bay (number pad).
    NextSprayer,
    /// Take this chemical.
    ChooseChemical(String),
    /// Make up this much of the container.
    ChoosePart(Part),
    /// The fill shown was made up.
    Filled,
    /// A vehicle is done.
    WashDone,
    /// Take back what the notice names.
    Undo,
    /// Close the notice.
    CloseNotice,
    /// Something was pressed so soon after a notice went by itself that nobody can have meant it.
    TooSoon,
    /// Use the void figure once. Asked for by a held press only.
    UseVoidOnce,

    /// Put the reminder off.
    PutOff,
    /// This was changed on the sprayer. Asked for by a held press only.
    Changed(VoidCause),

    /// Begin a calibration of the sprayer shown, or go on with its unfinished one.
    Calibrate,
    /// Begin a calibration of the sprayer shown, done this way.
    CalibrateBy(Way),
    /// The step is done: go on.
    NextStep,
    /// One step back.
    PreviousStep,
    /// Take for what it holds what it was known to hold, or for the temperature of the catch the one
    /// offered.
    HoldsAsBefore,
    /// Nothing was left in the container that was run dry.
    NothingLeft,
    /// Let a timed run last so long.
    TakeTime(Duration),
    /// A key of the number pad.
    Pad(PadKey),
    /// Take what is typed for the other unit of its kind: litres for millilitres.
    SwitchUnit,
    /// A full load of this measure (by id), of the catch or of what was left.
    AddLoad(String),
    /// Add what was typed as a load.
    AddTyped,
    /// Take the last load back.
    UndoLoad,
    /// Start the countdown, or stop the watch. `ago`: how long ago the hand acted, the time that
    /// a press takes to be believed.
    StartStop {
        /// Between the hand's act and this action.
        ago: Duration,
    },
    /// Save the calibration. With readings that are questioned, asked for by a held press only.
    SaveCalibration,
    /// Run again: keep what it holds, measure the rest anew.
    RunAgain,
    /// One more run, to be sure: the one in hand is kept beside it.
    AnotherRun,
    /// Drop the run at this place, from 0. Asked for by a held press only.
    DropRun(usize),
    /// Show the runs one by one, or the result again.
    ShowRuns(bool),
    /// Let the calibration picked on the trend count again. Asked for by a held press only.
    BringBack,
    /// Pick the calibration at this place of the trend, from 0.
    PickPoint(usize),
    /// A timed check of a full container, with the mix of the chemical in use or with water.
    BeginCheck {
        /// True for the mix.
        with_mix: bool,
    },
    /// The same check once more.
    CheckAgain,
    /// Correct the dose for how the mix draws, as the check offers.
    TakeCorrection,
    /// End the correction of the dose shown.
    DropCorrection,
    /// Throw the run away. Asked for by a held press only.
    ThrowAway,

    /// A key of the letters.
    Type(TextKey),
    /// On the shift lead's side: access to it.
    Lead(LeadAction),
    /// The day's chemical, and rinsing.
    Day(DayAction),
    /// Changing the set-up.
    Edit(EditAction),
    /// The day around the fill.
    Mix(MixAction),
    /// The stock.
    Stock(StockAction),
    /// Records to look at and to take away.
    Report(ReportAction),
    /// A newer version.
    Update(UpdateAction),
    /// The panel that the wall runs on.
    Panel(PanelAction),

    /// The main thing of the screen: the Enter key, or a foot switch.
    Main,
}

impl Action {
    /// True for what comes without anybody at the wall doing something.
    pub const fn comes_by_itself(&self) -> bool {
        matches!(self, Self::Tick | Self::Panel(PanelAction::Plugged))
    }
}

/// What the bay asks to be done outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Say this now.
    Say(Announcement),
    /// Say this now, slowly.
    SaySlowly(Announcement),
    /// Play this now.
    Tone(Tone),
    /// Stop speaking.
    Hush,
}

/// What can be taken back for a few seconds.
#[derive(Debug, Clone, PartialEq)]
pub enum Undo {
    /// A wash that was counted.
    Wash {
        /// Its number in the records.
        entry: Entry,
        /// Which sprayer's, by id: another may be shown by now.
        sprayer: String,
    },
    /// A fill that was logged.
    Fill(Entry),
    /// A calibration that was saved.
    Calibration {
        /// Its number in the records.
        entry: Entry,
        /// Its runs, to go on with.
        draft: Box<Draft>,
    },
    /// A change of the set-up.
    Setup(Box<SetupChange>),
    /// A rinse that was said.
    Rinse {
        /// Its number in the records.
        entry: Entry,
    },
    /// The day's chemical that was set or ended.
    Day {
        /// Its number in the records.
        entry: Entry,
    },
    /// What was told of a stock.
    Stock(Entry),
    /// The correction of a dose that was set or ended.
    Correction {
        /// Which sprayer, by id.
        sprayer: String,
        /// Which chemical, by id.
        chemical: String,
        /// What it was before.
        before: Option<f64>,
    },
}

/// A line over the screen that goes by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// What happened.
    pub text: Text,
    /// What can be taken back.
    pub undo: Option<Undo>,
    /// Gone at this time of the monotonic clock.
    pub until: Duration,
    /// True where it says that something did not work.
    pub is_fault: bool,
    /// True where it shows what is being said.
    pub is_caption: bool,
    /// True where it says what is still to be done: nothing was done yet.
    pub is_advice: bool,
    /// True where its text begins with the name of its sprayer, because another one is shown.
    pub is_named: bool,
}

impl Notice {
    /// Begins its text with the name of the sprayer that it is of; once, and not where it is of none.
    pub(super) fn name_its_sprayer(&mut self, name: &str) {
        let of_a_sprayer = matches!(
            self.undo,
            Some(Undo::Wash { .. } | Undo::Fill(_) | Undo::Correction { .. })
        );
        if of_a_sprayer && !self.is_named {
            self.text = text!("{}: {}", name, self.text.clone());
            self.is_named = true;
        }
    }
}

/// How long something can be taken back.
pub const UNDO_TIME: Duration = Duration::from_secs(10);
