//! What a person in the bay measures with.

use super::setup::{EntryUnits, Setup};
use crate::trade::measure::Measure;

/// Measures, balance and units of the bay.
#[derive(Debug, Clone, PartialEq)]
pub struct Tools {
    /// Jugs, cylinders, syringes; at least one.
    pub measures: Vec<Measure>,
    /// The smallest change that the balance shows, kg; `None` without a balance.
    pub balance_step_kg: Option<f64>,
    /// How volumes are typed.
    pub units: EntryUnits,
}

impl From<&Setup> for Tools {
    fn from(setup: &Setup) -> Self {
        Self {
            measures: setup.measures.clone(),
            balance_step_kg: setup.balance_step_kg,
            units: setup.entry_units,
        }
    }
}
