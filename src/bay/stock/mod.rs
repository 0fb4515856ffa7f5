//! What there is of each chemical, and how long it lasts: what can be done, and what is kept of it.

mod entry;
mod ledger;
mod resuming;
mod warning;

pub use entry::{EntryOf, StockEntry};
pub use ledger::Held;
pub(super) use resuming::StockPlace;

use super::action::{Action, Effect, PadKey, Page, Undo};
use super::at_work::Bay;
use super::ports::Tone;
use super::records::{Entry, Happening, StockMove};
use super::setup::EntryUnits;
use crate::text;
use crate::trade::chemical::Chemical;
use crate::trade::text::Text;
use ledger::Ledger;

/// What can be done there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StockAction {
    /// Look at this chemical, by id.
    Look(String),
    /// Enter what came.
    Deliver,
    /// Enter what there is: a stock-take.
    Count,
    /// A container was opened.
    Opened,
    /// One full container more in what is entered.
    AddContainer,
    /// One full container less.
    DropContainer,
    /// Take what is typed for the other unit of its kind.
    SwitchUnit,
    /// Keep what is entered.
    Save,
}

/// What is in hand there.
#[derive(Debug, Default)]
pub(super) struct Stock {
    pub(super) ledger: Ledger,
    /// The chemical looked at, by id; `None` for the list.
    chemical: Option<String>,
    /// What is being entered of it.
    entry: Option<StockEntry>,
    pub(super) told: warning::Told,
}

impl Bay {
    pub(super) fn stock_act(&mut self, action: StockAction) -> Vec<Effect> {
        match action {
            StockAction::Look(id) => {
                if self.setup.chemical(&id).is_some() {
                    self.stock.chemical = Some(id);
                    self.stock.entry = None;
                }
                Vec::new()
            }
            StockAction::Deliver => self.begin_entry(EntryOf::Delivered),
            StockAction::Count => self.begin_entry(EntryOf::Counted),
            StockAction::Opened => self.opened(),
            StockAction::AddContainer => self.enter(|entry| entry.add_container()),
            StockAction::DropContainer => self.enter(|entry| entry.drop_container()),
            StockAction::SwitchUnit => self.enter(StockEntry::switch_unit),
            StockAction::Save => self.save_entry(),
        }
    }

    /// Opens one of its pages.
    pub(super) fn stock_open(&mut self, page: Page) -> Vec<Effect> {
        // What was half entered when the screen gave way to home is gone on with: measuring takes time.
        if self.stock_entry().is_none() {
            self.stock.entry = None;
            self.stock.chemical = None;
        }
        self.turn_to(page);
        self.read_stock();
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn stock_back(&mut self) -> Vec<Effect> {
        self.drop_words();
        if self.stock.entry.take().is_none() && self.stock.chemical.take().is_none() {
            return self.show(Page::Menu);
        }
        Vec::new()
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn stock_pad(&mut self, key: PadKey) -> Vec<Effect> {
        self.enter(|entry| entry.press(key))
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn stock_main(&mut self) -> Vec<Effect> {
        match self.stock.entry {
            Some(_) => self.save_entry(),
            None => self.act_again(Action::Back),
        }
    }

    // ---- What is shown ---------------------------------------------------------------------

    /// The chemical whose stock is looked at; `None` for the list of all.
    pub fn stock_chemical(&self) -> Option<&Chemical> {
        self.setup.chemical(self.stock.chemical.as_deref()?)
    }

    /// What is being entered of it.
    pub fn stock_entry(&self) -> Option<&StockEntry> {
        self.stock_chemical().and(self.stock.entry.as_ref())
    }

    // ---- What is done ----------------------------------------------------------------------

    fn begin_entry(&mut self, of: EntryOf) -> Vec<Effect> {
        let Some(chemical) = self.stock_chemical() else {
            return Vec::new();
        };
        let units: EntryUnits = self.setup.entry_units;
        self.stock.entry = Some(StockEntry::begin(of, chemical.delivered_in, units));
        self.drop_words();
        Vec::new()
    }

    /// Does something with what is entered; a refused tone where that does nothing.
    fn enter(&mut self, what: impl FnOnce(&mut StockEntry) -> bool) -> Vec<Effect> {
        match self.stock.entry.as_mut().map(what) {
            Some(true) => Vec::new(),
            Some(false) | None => vec![Effect::Tone(Tone::Refused)],
        }
    }

    fn save_entry(&mut self) -> Vec<Effect> {
        let Some(entry) = &self.stock.entry else {
            return Vec::new();
        };
        let Some(what) = entry.what() else {
            return self.refuse("Nothing is entered yet.");
        };
        let total = entry.total().shown();
        let done = match entry.of() {
            EntryOf::Delivered => text!("{} came", total),
            EntryOf::Counted => text!("{} counted", total),
        };
        let kept = self.keep_stock(what, done);
        if kept.is_ok() {
            self.stock.entry = None;
        }
        kept.unwrap_or_else(|refused| refused)
    }

    fn opened(&mut self) -> Vec<Effect> {
        let known = self
            .stock_chemical()
            .is_some_and(|chemical| self.stock_of(chemical).is_some());
        if !known {
            return self.refuse("Count what is there first.");
        }
        let what = StockMove::Opened { containers: 1 };
        self.keep_stock(what, text!("1 container opened"))
            .unwrap_or_else(|refused| refused)
    }

    /// Keeps it, and shows it with a way back.
    fn keep_stock(&mut self, what: StockMove, done: Text) -> Result<Vec<Effect>, Vec<Effect>> {
        let Some(chemical) = self.stock_chemical() else {
            return Ok(Vec::new());
        };
        let (id, name) = (chemical.id.clone(), chemical.name.clone());
        let happening = Happening::Stock { chemical: id, what };
        match self.keep(happening) {
            Ok(entry) => {
                self.read_stock();
                self.notify(text!("{}: {}", &name, done), Some(Undo::Stock(entry)));
                Ok(Vec::new())
            }
            Err(fault) => Err(self.not_kept("The stock was not changed", &fault)),
        }
    }

    /// Takes back what was told of a stock; the notice that offered it is shown.
    pub(super) fn undo_stock(&mut self, entry: Entry) -> Vec<Effect> {
        match self.keep(Happening::StockUndone(entry)) {
            Ok(_) => {
                self.notices.pop();
                self.read_stock();
                self.notify("The stock is as it was before", None);
                Vec::new()
            }
            Err(fault) => self.not_kept("The stock was not taken back", &fault),
        }
    }
}
