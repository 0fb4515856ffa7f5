//! What is half entered of a stock, for a program that starts anew.

use super::StockEntry;
use super::entry::EntryPlace;
use crate::bay::at_work::Bay;
use serde::{Deserialize, Serialize};

/// What is looked at, and what is half entered of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bay) struct StockPlace {
    /// The chemical, by id.
    chemical: String,
    entry: Option<EntryPlace>,
}

impl Bay {
    /// What is half entered; what is only looked at where its page is shown.
    pub(in crate::bay) fn stock_place(&self, is_shown: bool) -> Option<StockPlace> {
        let chemical = self.stock_chemical()?.id.clone();
        let entry = self.stock_entry().map(StockEntry::place);
        (is_shown || entry.is_some()).then_some(StockPlace { chemical, entry })
    }

    /// Takes it in hand again. An entry in containers of another size than those delivered now is
    /// dropped.
    pub(in crate::bay) fn stock_resume(&mut self, place: &StockPlace) {
        let Some(chemical) = self.setup.chemical(&place.chemical) else {
            return;
        };
        let (container, units) = (chemical.delivered_in, self.setup.entry_units);
        let entry = place.entry.as_ref();
        self.stock.entry = entry.and_then(|of| StockEntry::resume(of, container, units));
        self.stock.chemical = Some(place.chemical.clone());
    }
}
