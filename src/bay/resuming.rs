//! Where a hand was: the page, and everything half typed, for a program that starts anew after it was
//! ended in the middle.
//!
//! What belongs to the shift lead's side, and every digit of a PIN, is no part of it. Nor is what can
//! be taken back, what is asked for by a held press, and a void figure that was allowed: who comes back
//! looks first. Each area says in a `resuming.rs` of its own what of it is half typed.

use super::action::{Page, UNDO_TIME};
use super::at_work::Bay;
use super::calibrating::Calibrating;
use super::checking::{CheckStage, Checking};
use super::day::RinseOf;
use super::editing::FirstRunPlace;
use super::lead::lead_only;
use super::mixing::MixingPlace;
use super::offer::Offer;
use super::records::{Entry, Step};
use super::reporting::ReportingPlace;
use super::stock::StockPlace;
use super::stopwatch::Stopwatch;
use super::tools::Tools;
use super::typed::Typed;
use crate::text;
use crate::trade::calibration::Way;
use crate::trade::fill_plan::Part;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// Where a hand was. It can be written down and read; [`Bay::resume`] takes of it what still fits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    page: Page,
    /// On the page of help, the one that it was asked for on.
    help_from: Option<Page>,
    /// The sprayer shown, by id.
    sprayer: String,
    part: Part,
    /// What was offered, as it was to be read.
    offered: String,
    /// The number of what was kept last: where something was kept since, what was half typed may be in
    /// it, and is not done once more.
    kept: Entry,
    calibrating: Option<CalibratingPlace>,
    checking: Option<CheckingPlace>,
    mixing: Option<MixingPlace>,
    stock: Option<StockPlace>,
    rinse: Option<RinseOf>,
    reports: Option<ReportingPlace>,
    /// The calibration picked on the trend.
    picked: Option<usize>,
    first_run: Option<FirstRunPlace>,
}

/// What of a calibration its draft does not have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CalibratingPlace {
    /// Which sprayer, by id.
    sprayer: String,
    way: Way,
    step: Step,
    typed: Typed,
    shows_runs: bool,
}

/// A timed check in hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CheckingPlace {
    /// Which sprayer, by id.
    sprayer: String,
    /// The chemical whose mix is in the container, by id.
    mix: Option<String>,
    stage: CheckStage,
    time: Option<Duration>,
}

impl Place {
    /// Home, with the same sprayer and nothing half typed.
    #[must_use]
    pub fn at_home(self) -> Self {
        Self {
            page: Page::Fill,
            help_from: None,
            part: Part::Full,
            calibrating: None,
            checking: None,
            mixing: None,
            stock: None,
            rinse: None,
            reports: None,
            picked: None,
            first_run: None,
            ..self
        }
    }

    /// True for home with nothing half typed: there is nothing to lose.
    pub fn is_home(&self) -> bool {
        *self == self.clone().at_home()
    }

    /// The page that one comes back to: behind the help, where that is shown.
    fn page_behind(&self) -> Page {
        self.help_from.unwrap_or(self.page)
    }
}

impl Bay {
    /// Where the hand is.
    pub fn place(&self) -> Place {
        let (page, help_from) = self.page_to_come_back_to();
        let behind = help_from.unwrap_or(page);
        let on = |pages: &[Page]| pages.contains(&behind);
        Place {
            page,
            help_from,
            sprayer: self.sprayer().id.clone(),
            part: self.part,
            offered: self.offered(),
            kept: self.kept,
            calibrating: self.calibrating_place(behind == Page::Calibrate),
            checking: self.checking_place(),
            mixing: on(&[Page::Mix]).then(|| self.mixing_place()),
            stock: self.stock_place(behind == Page::Stock),
            rinse: on(&[Page::Rinse]).then(|| self.rinse_place()).flatten(),
            reports: on(&[Page::Reports, Page::TakeAway]).then(|| self.reporting_place()),
            picked: self.picked.filter(|_| behind == Page::Trend),
            first_run: self.first_run_place(),
        }
    }

    /// The page, and where that is help, the page behind it. What is the shift lead's is the way there.
    fn page_to_come_back_to(&self) -> (Page, Option<Page>) {
        let is_leads = |page: Page| page == Page::Pin || lead_only(page);
        let way_there = match self.is_being_set_up() {
            true => Page::FirstRun,
            false => Page::Menu,
        };
        match (self.page, self.help_from) {
            (Page::Help, from) if is_leads(from) => (way_there, None),
            (Page::Help, from) => (Page::Help, Some(from)),
            (page, _) if is_leads(page) => (way_there, None),
            (page, _) => (page, None),
        }
    }

    /// What is offered, as it is to be read: what was half done for another figure is not gone on with.
    fn offered(&self) -> String {
        let offered = match self.offer() {
            Offer::Fill(plan) => format!(
                "{} + {}, {}",
                plan.pour.product_shown(),
                plan.pour.water_shown(),
                plan.pour.strength.shown()
            ),
            Offer::Rinse(first) => first.was,
            other => format!("{:?}", std::mem::discriminant(&other)),
        };
        format!("{}: {offered}", self.chemical().id)
    }

    /// Comes back to where the hand was, before anything was done, and says so. What does not fit any
    /// more is dropped, and where its page needs it, that is home. Nothing is kept by it.
    pub fn resume(&mut self, place: &Place) {
        // What was said at the start is to be read all the same.
        let said = std::mem::take(&mut self.notices);
        let mut is_cut = false;
        if self.setup.sprayer(&place.sprayer).is_some() {
            self.sprayer.clone_from(&place.sprayer);
            is_cut = match place.kept == self.kept {
                true => self.take_place(place),
                false => self.take_draft_alone(place),
            };
        }
        self.keep_to_the_first_run();
        self.notices.clear();
        self.tell_of_the_start(is_cut);
        if let Some(notice) = self.notices.last_mut().filter(|_| !said.is_empty()) {
            // It comes up behind them.
            notice.until += UNDO_TIME;
        }
        self.notices.extend(said);
    }

    fn tell_of_the_start(&mut self, is_cut: bool) {
        match (is_cut, self.page) {
            (true, Page::Calibrate) => {
                self.refuse("The run was cut off. Empty the bucket, and fill to the line again.");
            }
            (true, _) => {
                self.refuse("The run was cut off: fill to the line again.");
            }
            (false, _) => self.advise(text!("The screen started anew. Look before you go on.")),
        }
    }

    /// Something was kept after the place was: of a calibration the records have what counts.
    /// True where its run was cut off.
    fn take_draft_alone(&mut self, place: &Place) -> bool {
        let is_its = |c: &&Calibrating| c.draft.sprayer == place.sprayer;
        let of = self.calibrating.as_ref().filter(is_its);
        let Some(of) = of.filter(|_| place.page_behind() == Page::Calibrate) else {
            return false;
        };
        let is_cut = of.cut_off;
        self.calibrate();
        is_cut
    }

    /// True where a run or a check was cut off.
    fn take_place(&mut self, place: &Place) -> bool {
        let mut is_cut = false;
        self.part = place.part;
        let same = self.offered() == place.offered;
        if !same {
            self.part = Part::Full;
        }
        if let Some(of) = &place.calibrating {
            is_cut |= self.calibrating_resume(of);
        }
        if let Some(of) = place.checking.as_ref().filter(|_| same) {
            is_cut |= self.checking_resume(of);
        }
        if let Some(of) = &place.stock {
            self.stock_resume(of);
        }
        if let Some(of) = &place.first_run {
            self.first_run_resume(of);
        }
        let behind = place.page_behind();
        if !self.come_back_to(behind, place, same) {
            self.page = Page::Fill;
        } else if place.page == Page::Help {
            self.help_from = behind;
            self.page = Page::Help;
        }
        is_cut
    }

    /// Shows the page as it was; false where what it was about is not there any more.
    fn come_back_to(&mut self, page: Page, place: &Place, same: bool) -> bool {
        if self.needs_lead(page) || matches!(page, Page::Pin | Page::Help) {
            return false;
        }
        match page {
            Page::Calibrate if self.calibrating.is_none() => return false,
            Page::Check if self.checking.is_none() => return false,
            Page::Mix | Page::Rinse if !same => return false,
            Page::Fill => return true,
            page => drop(self.show(page)),
        }
        if self.page != page {
            return false;
        }
        match page {
            Page::Mix => (place.mixing.as_ref()).is_some_and(|of| self.mixing_resume(of)),
            Page::Rinse => (place.rinse.as_ref()).is_some_and(|of| self.rinse_resume(of)),
            Page::Stock => {
                // It was opened anew, which begins with the list.
                place.stock.iter().for_each(|of| self.stock_resume(of));
                true
            }
            Page::Reports | Page::TakeAway => {
                (place.reports.as_ref()).is_some_and(|of| self.reporting_resume(of))
            }
            Page::Trend => {
                self.picked = place.picked.filter(|at| *at < self.trend().count());
                true
            }
            _ => true,
        }
    }

    // ---- Calibration and check -------------------------------------------------------------

    fn calibrating_place(&self, is_shown: bool) -> Option<CalibratingPlace> {
        let of = self.calibrating.as_ref()?;
        let is_in_hand = is_shown || of.shows_runs || !of.typed.text().is_empty();
        is_in_hand.then(|| CalibratingPlace {
            sprayer: of.draft.sprayer.clone(),
            way: of.draft.way,
            step: of.step(),
            typed: of.typed.clone(),
            shows_runs: of.shows_runs,
        })
    }

    /// True where the run was cut off: then nothing that was typed goes with it.
    fn calibrating_resume(&mut self, place: &CalibratingPlace) -> bool {
        // Nothing is kept of one that was only begun.
        let is_first = place.step == Step::path(place.way)[0];
        if self.calibrating.is_none()
            && is_first
            && let Some(sprayer) = self.setup.sprayer(&place.sprayer)
            && !sprayer.kind.is_direct()
            && (place.way != Way::ByWeight || self.setup.balance_step_kg.is_some())
        {
            let new = Calibrating::new(sprayer, place.way, Tools::from(&self.setup));
            self.calibrating = Some(new);
        }
        let Some(of) = &mut self.calibrating else {
            return false;
        };
        let is_its = (&of.draft.sprayer, of.draft.way) == (&place.sprayer, place.way);
        if is_its && of.step() == place.step && !of.cut_off {
            of.take_half_typed(&place.typed);
            of.shows_runs = place.shows_runs && of.step() == Step::Review;
        }
        of.cut_off && is_its
    }

    fn checking_place(&self) -> Option<CheckingPlace> {
        // That of another sprayer is begun anew.
        let shown = self.sprayer().id.as_str();
        let of = self.checking.as_ref().filter(|c| c.sprayer == shown)?;
        // A time that is not on disk yet counts for none.
        let is_kept = self.unsettled.is_none();
        let time = of.time.filter(|_| is_kept);
        Some(CheckingPlace {
            sprayer: of.sprayer.clone(),
            mix: of.mix.clone(),
            stage: match of.stage {
                CheckStage::Result if time.is_none() => CheckStage::Running,
                stage => stage,
            },
            time,
        })
    }

    /// True where its run was cut off.
    fn checking_resume(&mut self, place: &CheckingPlace) -> bool {
        let in_use = self.chemical().id.clone();
        let is_of_this = place.sprayer == self.sprayer().id
            && place.mix.as_ref().is_none_or(|mix| *mix == in_use)
            && place.time.is_some() == (place.stage == CheckStage::Result);
        if !is_of_this {
            return false;
        }
        let is_cut = place.stage == CheckStage::Running;
        self.checking = Some(Checking {
            sprayer: place.sprayer.clone(),
            mix: place.mix.clone(),
            stage: match is_cut {
                true => CheckStage::Ready,
                false => place.stage,
            },
            time: place.time,
            watch: Stopwatch::default(),
        });
        is_cut
    }
}
