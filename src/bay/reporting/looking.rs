//! The page of reports: which part, over which days, of what.

use super::dated::{dated, today};
use super::landing::follow;
use super::set_outside::SetOutside;
use super::totals::{Report, Span, Whose, add_up};
use super::{Choosing, Tab};
use crate::bay::action::Effect;
use crate::bay::at_work::Bay;
use crate::bay::records::{RecordsFault, Scope};
use crate::trade::chemical::Chemical;
use crate::trade::sprayer::Sprayer;
use chrono::{Days, NaiveDate};

/// How far back is read for a week: a reminder that was put off before it has its washes in it, and
/// a clock that was wrong is known by its neighbours.
const CONTEXT: Days = Days::new(30);

impl Bay {
    /// What happened, added up as it was chosen.
    pub fn report(&self) -> &Report {
        &self.reporting.report
    }
    /// The part of the report that is shown.
    pub fn report_tab(&self) -> Tab {
        self.reporting.tab
    }
    /// Over which time.
    pub fn report_span(&self) -> Span {
        self.reporting.span
    }
    /// The sprayer that the report is of; `None` for all.
    pub fn report_sprayer(&self) -> Option<&Sprayer> {
        let id = self.reporting.whose.sprayer.as_deref()?;
        self.setup.sprayer(id)
    }
    /// The chemical that the report is of; `None` for all.
    pub fn report_chemical(&self) -> Option<&Chemical> {
        let id = self.reporting.whose.chemical.as_deref()?;
        self.setup.chemical(id)
    }
    /// What is being chosen for the report.
    pub fn report_choosing(&self) -> Option<Choosing> {
        self.reporting.choosing
    }
    /// The day that the report takes for today; `None` where the clock is behind its records.
    pub fn report_today(&self) -> Option<NaiveDate> {
        self.reporting.today
    }

    /// Reads what happened: everything, or what the page of reports goes by.
    pub(super) fn read_log(&mut self, everything: bool) -> Result<(), RecordsFault> {
        let now = self.now.wall;
        let from = match now.checked_sub_days(CONTEXT) {
            Some(since) if !everything => self.records.first_since(since)?,
            _ => 0,
        };
        let mut log = dated(self.records.log(from)?);
        follow(&mut log, &self.setup);
        self.reporting.log = log;
        self.reporting.today = today(&self.reporting.log, now.date_naive());
        Ok(())
    }

    pub(super) fn open_report(&mut self) {
        self.reporting.choosing = None;
        self.reporting.whose = Whose::default();
        self.add_up_report();
    }

    pub(super) fn add_up_report(&mut self) {
        let reporting = &self.reporting;
        self.reporting.report = self.added_up(reporting.span, &reporting.whose);
    }

    /// Over another time than the one chosen, of everything.
    pub(super) fn report_over(&self, span: Span) -> Report {
        self.added_up(span, &Whose::default())
    }

    fn added_up(&self, span: Span, whose: &Whose) -> Report {
        let reporting = &self.reporting;
        let mut report = add_up(&reporting.log, &self.setup, span, reporting.today, whose);
        // What was set before anything that was read, and holds to this day.
        let own = self.setup.sprayers.iter().map(|s| s.id.clone());
        for scope in own.map(Scope::Sprayer).chain([Scope::Bay]) {
            let Some((entry, at, setting)) = self.day_setting_placed(&scope) else {
                continue;
            };
            let was_read = reporting
                .log
                .iter()
                .any(|dated| dated.logged.entry == entry);
            let day = (!was_read).then(|| at.date_naive());
            let older = day.and_then(|day| SetOutside::of(setting, Some(day), &self.setup, whose));
            report.set_outside.extend(older);
        }
        report
    }

    pub(super) fn show_tab(&mut self, tab: Tab) -> Vec<Effect> {
        self.reporting.tab = tab;
        Vec::new()
    }

    pub(super) fn switch_span(&mut self) -> Vec<Effect> {
        self.reporting.span = match self.reporting.span {
            Span::Today => Span::Week,
            Span::Week | Span::All => Span::Today,
        };
        self.add_up_report();
        Vec::new()
    }

    pub(super) fn choose_whose(&mut self) -> Vec<Effect> {
        self.reporting.choosing = Some(Choosing::Sprayer);
        Vec::new()
    }

    pub(super) fn take_sprayer(&mut self, id: Option<String>) -> Vec<Effect> {
        self.reporting.whose.sprayer = id.filter(|id| self.setup.sprayer(id).is_some());
        self.reporting.choosing = Some(Choosing::Chemical);
        self.add_up_report();
        Vec::new()
    }

    pub(super) fn take_chemical(&mut self, id: Option<String>) -> Vec<Effect> {
        self.reporting.whose.chemical = id.filter(|id| self.setup.chemical(id).is_some());
        self.reporting.choosing = None;
        self.add_up_report();
        Vec::new()
    }
}
