//! Which report was looked at, and what was to be taken away, for a program that starts anew.

use super::taking::{CodesOf, TakeStage, What};
use super::totals::{Span, Whose};
use super::{Choosing, Tab};
use crate::bay::action::Page;
use crate::bay::at_work::Bay;
use serde::{Deserialize, Serialize};

/// What was chosen. A stick is no part of it: what was being put on one ended with the program, and is
/// not begun again by itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bay) struct ReportingPlace {
    tab: Tab,
    span: Span,
    whose: Whose,
    choosing: Option<Choosing>,
    what: What,
    /// Which code for the phone is shown, of which codes.
    phone: Option<(CodesOf, usize)>,
}

impl Bay {
    /// What is chosen.
    pub(in crate::bay) fn reporting_place(&self) -> ReportingPlace {
        let reporting = &self.reporting;
        let taking = &reporting.taking;
        let is_on_phone = self.is_taking_away() && taking.stage == TakeStage::Phone;
        ReportingPlace {
            tab: reporting.tab,
            span: reporting.span,
            whose: reporting.whose.clone(),
            choosing: reporting.choosing,
            what: taking.what,
            phone: is_on_phone.then_some((taking.codes, taking.part)),
        }
    }

    fn is_taking_away(&self) -> bool {
        let behind = match self.page {
            Page::Help => self.help_from,
            page => page,
        };
        behind == Page::TakeAway
    }

    /// Shows it again, on a page that was opened for it; false where it is of what is not there any
    /// more.
    pub(in crate::bay) fn reporting_resume(&mut self, place: &ReportingPlace) -> bool {
        let whose = &place.whose;
        let sprayer = whose.sprayer.as_deref();
        let chemical = whose.chemical.as_deref();
        let is_there = sprayer.is_none_or(|id| self.setup.sprayer(id).is_some())
            && chemical.is_none_or(|id| self.setup.chemical(id).is_some());
        if !is_there || place.span == Span::All {
            return false;
        }
        let reporting = &mut self.reporting;
        reporting.tab = place.tab;
        reporting.span = place.span;
        reporting.whose = whose.clone();
        reporting.choosing = place.choosing;
        reporting.taking.what = place.what;
        self.add_up_report();
        if let Some((codes, part)) = place.phone.filter(|_| self.is_taking_away()) {
            self.onto_phone();
            self.show_codes(codes);
            let taking = &mut self.reporting.taking;
            taking.part = match taking.codes {
                CodesOf::Rows if part < taking.parts.len() => part,
                CodesOf::Rows | CodesOf::Totals => 0,
            };
        }
        true
    }
}
