//! What runs low is told at home once a day, and marked where the way to the stock begins.

use super::super::action::{Effect, Page};
use super::super::at_work::Bay;
use super::super::stopwatch::Watch;
use crate::text;
use crate::trade::stock::Warning;
use crate::trade::text::Text;
use chrono::NaiveDate;

/// The day on which it was told last, by the wall's clock; before anything was told, none.
pub(in crate::bay) type Told = Option<NaiveDate>;

impl Bay {
    /// How many of the bay's chemicals run low, or must be counted.
    pub fn stock_warnings(&self) -> usize {
        let held = self.stock.ledger.held().values();
        held.filter(|held| held.warning.is_some()).count()
    }

    /// Time goes by: what happened since is read, and what runs low told where the fill is shown.
    pub(in crate::bay) fn stock_tick(&mut self) -> Vec<Effect> {
        // The stopwatch is not held up by a disk.
        if self.watch() != Watch::Still {
            return Vec::new();
        }
        let today = self.now.wall.date_naive();
        if self.stock.ledger.is_old(today) {
            self.read_stock();
        }
        if self.page == Page::Fill
            && self.notices.is_empty()
            && self.stock.told != Some(today)
            && let Some(text) = self.what_runs_low()
        {
            self.stock.told = Some(today);
            self.notify(text, None);
        }
        Vec::new()
    }

    /// In one line; `None` where there is enough of everything.
    fn what_runs_low(&self) -> Option<Text> {
        let mut low = self.setup.chemicals.iter().filter_map(|chemical| {
            let warning = self.stock_of(chemical)?.warning?;
            Some((chemical.name.as_str(), warning))
        });
        let (name, warning) = low.next()?;
        let more = low.count();
        if more > 0 {
            return Some(text!("{} and {} more run low", name, more.to_string()));
        }
        Some(match warning {
            Warning::Count => text!("{}: count the stock", name),
            Warning::Gone => text!("{}: none left in stock", name),
            Warning::Days(0) => text!("{}: not enough for a day in stock", name),
            Warning::Days(1) => text!("{}: 1 day left in stock", name),
            Warning::Days(days) => text!("{}: {} days left in stock", name, days.to_string()),
            Warning::LastContainer => text!("{}: the last container", name),
        })
    }
}
