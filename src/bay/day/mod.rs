//! The day's chemical, rinsing between chemicals, and what must never meet.

mod beside;
mod in_force;
mod inside;
mod resuming;
mod rinsing;
mod setting;
mod telling;

use super::action::{Action, Effect, PadKey, Page};
use super::at_work::Bay;
use super::ports::Tone;
use super::records::{Past, Scope};
use super::typed::{Typed, TypedUnit};
pub use beside::Beside;
use chrono::NaiveDate;
use in_force::{Aim, Settings};
use inside::Inside;
pub(super) use resuming::RinseOf;
pub use rinsing::RinseFirst;
pub use setting::{Consequence, DayDraft, DayStage};
use std::collections::BTreeMap;

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum DayAction {
    /// Set it for all sprayers, or for one.
    For(Scope),
    /// Choose another chemical for it.
    OpenChemicals,
    /// Take this chemical, by id.
    Chemical(String),
    /// A step weaker.
    Weaker,
    /// A step stronger.
    Stronger,
    /// Type the strength.
    OpenPad,
    /// Take what was typed.
    TakeTyped,
    /// Take the set-up's strength.
    UsualStrength,
    /// True for today, false for until it is changed.
    TodayOnly(bool),
    /// Set it. What the set-up does not allow freely is asked about first, and what must never meet
    /// what another sprayer has.
    Set,
    /// Yes to what is asked. Asked for by a held press only.
    Confirm,
    /// End the setting: as in the set-up again, or as for the bay.
    End,
    /// Open the rinse page for a sprayer, by id.
    RinseOf(String),
    /// The sprayer was emptied and rinsed: the one of the rinse page, else the one shown. Where what
    /// is in it must never meet what is to come, asked for by a held press only.
    Rinsed,
}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Day {
    settings: Settings,
    inside: Inside,
    /// The chemical and the strength seen last of each sprayer, by its id: they may change by
    /// themselves when the day does.
    seen: BTreeMap<String, Aim>,
    /// What they were of the sprayers that were not shown when they changed by themselves.
    missed: BTreeMap<String, Aim>,
    /// The day whose chemical was told.
    told_on: Option<NaiveDate>,
    stage: DayStage,
    draft: Option<DayDraft>,
    typed: Typed,
    /// The sprayer that is to be rinsed, and the chemical that is to come, by id.
    rinse: Option<(String, Option<String>)>,
    /// Where the rinse page was opened.
    rinse_from: Page,
}

impl Day {
    /// As the records know it.
    pub(super) fn new(past: &Past) -> Self {
        Self {
            settings: Settings::new(past),
            inside: Inside::new(&past.sprayers, &past.last_fills),
            seen: BTreeMap::new(),
            missed: BTreeMap::new(),
            told_on: None,
            stage: DayStage::Scopes,
            draft: None,
            typed: Typed::empty(TypedUnit::Percent),
            rinse: None,
            rinse_from: Page::Fill,
        }
    }
}

impl Bay {
    pub(super) fn day_act(&mut self, action: DayAction) -> Vec<Effect> {
        match action {
            DayAction::Rinsed => self.rinsed(),
            DayAction::RinseOf(sprayer) => {
                if self.setup.sprayer(&sprayer).is_some() {
                    self.open_rinse(sprayer, None);
                }
                Vec::new()
            }
            setting => self.set_act(setting),
        }
    }

    /// Opens one of its pages.
    pub(super) fn day_open(&mut self, page: Page) -> Vec<Effect> {
        if page == Page::Rinse {
            let sprayer = self.sprayer().id.clone();
            self.open_rinse(sprayer, None);
            return Vec::new();
        }
        if !self.lead_is_in() {
            return self.show(Page::Lead);
        }
        self.go_on_with_the_draft();
        self.turn_to(page);
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn day_back(&mut self) -> Vec<Effect> {
        if self.page == Page::Rinse {
            self.leave_rinse();
            return Vec::new();
        }
        self.day.stage = match self.day_stage() {
            DayStage::Scopes => return self.show(Page::Lead),
            DayStage::Strength => DayStage::Scopes,
            DayStage::Chemicals | DayStage::Typing | DayStage::Confirm | DayStage::Beside => {
                DayStage::Strength
            }
        };
        Vec::new()
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn day_pad(&mut self, key: PadKey) -> Vec<Effect> {
        let typing = self.page == Page::Day && self.day_stage() == DayStage::Typing;
        match typing && self.day.typed.press(key) {
            true => {
                self.drop_words();
                Vec::new()
            }
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch. It cannot be held, so
    /// that what is asked for by a held press is not done by it.
    pub(super) fn day_main(&mut self) -> Vec<Effect> {
        match (self.page, self.day_stage()) {
            (Page::Rinse, _) => match self.rinse_page() {
                Some(first) if first.never.is_none() => self.rinsed(),
                Some(_) => vec![Effect::Tone(Tone::Refused)],
                None => self.act_again(Action::Back),
            },
            (_, DayStage::Typing) => self.act_again(Action::Day(DayAction::TakeTyped)),
            (_, DayStage::Strength) => self.act_again(Action::Day(DayAction::Set)),
            (_, DayStage::Confirm | DayStage::Beside) => vec![Effect::Tone(Tone::Refused)],
            (_, DayStage::Scopes | DayStage::Chemicals) => self.act_again(Action::Back),
        }
    }
}
