//! What the records tell of the stock of each chemical.

use super::super::at_work::Bay;
use crate::bay::records::{Happening, Logged, StockMove};
use crate::trade::chemical::Chemical;
use crate::trade::stock::{Move, OLDEST_DAYS, Rate, Stock, Warning};
use crate::trade::units::Volume;
use chrono::{Datelike, NaiveDate, TimeDelta};
use std::collections::{BTreeMap, BTreeSet};

/// What is held of one chemical.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// What is left, and in how many containers not opened.
    pub stock: Stock,
    /// How fast it is used; `None` where nobody knows.
    pub rate: Option<Rate>,
    /// What is to be said of it.
    pub warning: Option<Warning>,
    /// The day of the last stock-take, by the clock then; `None` where it was never counted.
    pub counted: Option<NaiveDate>,
}

impl Held {
    /// For how many whole days of work it lasts; `None` where nobody can say.
    pub fn lasts(&self) -> Option<u32> {
        let rate = self.rate.filter(|_| !self.stock.cannot_be())?;
        Some(rate.lasts(self.stock.left))
    }
}

/// What was read of the records last.
#[derive(Debug)]
pub(in crate::bay) struct Ledger {
    /// By chemical id; none for one that nobody keeps count of.
    held: BTreeMap<String, Held>,
    /// The day on which it was read, by the wall's clock.
    day: Option<NaiveDate>,
    /// Something happened since.
    stale: bool,
    /// Why it could not be read.
    fault: Option<String>,
}

impl Default for Ledger {
    fn default() -> Self {
        Self {
            held: BTreeMap::new(),
            day: None,
            stale: true,
            fault: None,
        }
    }
}

impl Ledger {
    /// What happened changes the stock: it is read anew when there is time.
    pub(in crate::bay) fn see(&mut self, happening: &Happening) {
        self.stale |= matches!(
            happening,
            Happening::Fill(_)
                | Happening::Mispoured { .. }
                | Happening::FillUndone(_)
                | Happening::Stock { .. }
                | Happening::StockUndone(_)
        );
    }

    /// True where it is not that of the records and of this day any more.
    pub(super) fn is_old(&self, today: NaiveDate) -> bool {
        self.stale || self.day != Some(today)
    }

    /// All that is held, by chemical id.
    pub(super) fn held(&self) -> &BTreeMap<String, Held> {
        &self.held
    }
}

impl Bay {
    /// What is held of a chemical, as it was read last; `None` where nobody keeps count of it.
    pub fn stock_of(&self, chemical: &Chemical) -> Option<Held> {
        self.stock.ledger.held.get(&chemical.id).copied()
    }

    /// Why the stock could not be read from the records, if so.
    pub fn stock_fault(&self) -> Option<&str> {
        self.stock.ledger.fault.as_deref()
    }

    /// Reads the stock from the records.
    pub(super) fn read_stock(&mut self) {
        let now = self.now.wall;
        // A day more than is looked at: the date of a day depends on where one is.
        let since = now - TimeDelta::days(i64::from(OLDEST_DAYS) + 1);
        let ledger = match self.records.stock_log(since) {
            Ok(log) => Ledger {
                held: self.held_by(&log),
                day: Some(now.date_naive()),
                stale: false,
                fault: None,
            },
            // What was read before is shown no more: it may not be true.
            Err(fault) => Ledger {
                held: BTreeMap::new(),
                day: Some(now.date_naive()),
                stale: false,
                fault: Some(fault.message),
            },
        };
        self.stock.ledger = ledger;
    }

    fn held_by(&self, log: &[Logged]) -> BTreeMap<String, Held> {
        let day = |logged: &Logged| logged.at.date_naive().num_days_from_ce();
        let days: BTreeSet<i32> = log
            .iter()
            .filter(|logged| matches!(logged.what, Happening::Fill(_)))
            .map(day)
            .collect();
        // Without a date of today nobody can say which days were the last.
        let today = self
            .clock_is_plausible()
            .then(|| self.now.wall.date_naive().num_days_from_ce());
        let mut found = BTreeMap::new();
        for chemical in &self.setup.chemicals {
            let moves = log
                .iter()
                .filter_map(|logged| move_of(logged, &chemical.id));
            let Some(stock) = Stock::of(moves, chemical.delivered_in) else {
                continue;
            };
            let mut used: BTreeMap<i32, Volume> = days.iter().map(|d| (*d, Volume::ZERO)).collect();
            for logged in log {
                if let Some(Move::Used(volume)) = move_of(logged, &chemical.id) {
                    let of_day = used.entry(day(logged)).or_default();
                    *of_day = *of_day + volume;
                }
            }
            let rate = today.and_then(|today| Rate::of(&used, today));
            let counted = log
                .iter()
                .rev()
                .find(|logged| matches!(move_of(logged, &chemical.id), Some(Move::Counted(_))));
            let held = Held {
                stock,
                rate,
                warning: Warning::of(
                    &stock,
                    rate,
                    chemical.delivered_in,
                    self.setup.stock_warn_days,
                ),
                counted: counted.map(|logged| logged.at.date_naive()),
            };
            found.insert(chemical.id.clone(), held);
        }
        found
    }
}

/// What it does to the stock of that chemical, if anything.
fn move_of(logged: &Logged, chemical: &str) -> Option<Move> {
    match &logged.what {
        Happening::Fill(fill) if fill.chemical == chemical => Some(Move::Used(fill.poured)),
        Happening::Stock { chemical: of, what } if of == chemical => Some(match *what {
            StockMove::Delivered { containers, volume } => Move::Delivered { containers, volume },
            StockMove::Opened { containers } => Move::Opened { containers },
            StockMove::Counted { volume } => Move::Counted(volume),
        }),
        _ => None,
    }
}
