//! What happened, to look at and to take away.
//!
//! [`dated`] says which day a happening belongs to, [`landing`] what became of a fill, [`set_outside`]
//! which strengths were set outside of what is allowed, [`totals`] adds them up, [`csv`] writes them as a
//! table; `looking` is the page of reports, [`taking`] the way to a stick or a phone.

pub mod csv;
pub mod dated;
pub mod landing;
mod looking;
mod parcel;
mod resuming;
pub mod set_outside;
pub mod taking;
pub mod through;
pub mod totals;

use super::action::{Action, Effect, Page};
use super::at_work::Bay;
use super::ports::{OnlyToLookAt, Sticks};
use chrono::NaiveDate;
use dated::Dated;
pub(super) use resuming::ReportingPlace;
use serde::{Deserialize, Serialize};
use taking::{CodesOf, TakeStage, Taking, What};
use totals::{Report, Span, Whose};

/// What of the report is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Tab {
    /// Vehicles.
    #[default]
    Washes,
    /// Containers made up.
    Fills,
    /// The strengths that landed.
    Landed,
    /// Product and money.
    Product,
    /// Calibrations, reminders, changes.
    Care,
}

impl Tab {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 5] = [
        Self::Washes,
        Self::Fills,
        Self::Landed,
        Self::Product,
        Self::Care,
    ];
}

/// What is being chosen for the report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Choosing {
    /// Of which sprayer.
    Sprayer,
    /// Of which chemical.
    Chemical,
}

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum ReportAction {
    /// Show another part of the report.
    ShowTab(Tab),
    /// From today to the week, or back.
    SwitchSpan,
    /// Choose of what the report is: a sprayer, then a chemical.
    Choose,
    /// Of this sprayer, by id; `None` for all.
    TakeSprayer(Option<String>),
    /// Of this chemical, by id; `None` for all.
    TakeChemical(Option<String>),
    /// What is to be taken away.
    Take(What),
    /// To a stick: where just one is put in, at once.
    ToStick,
    /// To that stick, by its id.
    PickStick(String),
    /// To a stick, once more.
    TryAgain,
    /// To a phone.
    ToPhone,
    /// What the codes for the phone hold.
    ShowCodes(CodesOf),
    /// The next code, after the last one the first.
    NextCode,
    /// The code before it.
    PreviousCode,
}

/// What is in hand there.
pub(super) struct Reporting {
    /// What happened, as it was read when the page was opened.
    log: Vec<Dated>,
    today: Option<NaiveDate>,
    tab: Tab,
    span: Span,
    whose: Whose,
    choosing: Option<Choosing>,
    report: Report,
    taking: Taking,
    sticks: Box<dyn Sticks>,
}

impl Default for Reporting {
    fn default() -> Self {
        Self {
            log: Vec::new(),
            today: None,
            tab: Tab::default(),
            span: Span::default(),
            whose: Whose::default(),
            choosing: None,
            report: Report::default(),
            taking: Taking::default(),
            sticks: Box::new(OnlyToLookAt),
        }
    }
}

impl Bay {
    /// Records can be put on a memory stick.
    pub fn with_sticks(mut self, sticks: Box<dyn Sticks>) -> Self {
        self.reporting.sticks = sticks;
        self
    }

    pub(super) fn reporting_act(&mut self, action: ReportAction) -> Vec<Effect> {
        match action {
            ReportAction::ShowTab(tab) => self.show_tab(tab),
            ReportAction::SwitchSpan => self.switch_span(),
            ReportAction::Choose => self.choose_whose(),
            ReportAction::TakeSprayer(id) => self.take_sprayer(id),
            ReportAction::TakeChemical(id) => self.take_chemical(id),
            ReportAction::Take(what) => self.take(what),
            ReportAction::ToStick | ReportAction::TryAgain => self.onto_stick(),
            ReportAction::PickStick(id) => self.put_on(&id),
            ReportAction::ToPhone => self.onto_phone(),
            ReportAction::ShowCodes(of) => self.show_codes(of),
            ReportAction::NextCode => self.step_code(true),
            ReportAction::PreviousCode => self.step_code(false),
        }
    }

    /// Opens one of its pages.
    pub(super) fn reporting_open(&mut self, page: Page) -> Vec<Effect> {
        if let Err(fault) = self.read_log(false) {
            return self.not_kept("The records cannot be read", &fault);
        }
        match page {
            Page::TakeAway => self.open_taking(),
            _ => self.open_report(),
        }
        self.turn_to(page);
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn reporting_back(&mut self) -> Vec<Effect> {
        match (
            self.page,
            self.reporting.choosing,
            self.reporting.taking.stage,
        ) {
            (Page::Reports, Some(_), _) => {
                self.reporting.choosing = None;
                Vec::new()
            }
            (Page::TakeAway, _, TakeStage::Stick | TakeStage::Phone) => self.back_to_what(),
            (Page::TakeAway, ..) => {
                // What was looked at is looked at again.
                self.turn_to(Page::Reports);
                Vec::new()
            }
            _ => self.show(Page::Menu),
        }
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn reporting_main(&mut self) -> Vec<Effect> {
        match (self.page, self.reporting.taking.stage) {
            // Both hands hold the phone.
            (Page::TakeAway, TakeStage::Phone) => self.step_code(true),
            _ => self.act_again(Action::Back),
        }
    }

    /// Time goes by.
    pub(super) fn reporting_tick(&mut self) -> Vec<Effect> {
        self.follow_stick()
    }
}
