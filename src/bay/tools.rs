//! What a person in the bay measures with.

use super::setup::{EntryUnits, Setup};
use crate::trade::measure::Measure;
use crate::trade::units::Volume;

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

impl Tools {
    /// The step between two lines on which a typed volume was read: of the smallest measure that
    /// takes it in one load. What takes several loads of the largest was read as often, and those
    /// readings add as squares: its step times √loads has the same uncertainty.
    pub fn graduation_for(&self, volume: Volume) -> Option<Volume> {
        let by_size = |a: &&Measure, b: &&Measure| a.size.as_ml().total_cmp(&b.size.as_ml());
        let one_load = self
            .measures
            .iter()
            .filter(|m| m.loads(volume) == 1)
            .min_by(by_size);
        if let Some(measure) = one_load {
            return Some(measure.graduation);
        }
        let largest = self.measures.iter().max_by(by_size)?;
        Some(largest.graduation * f64::from(largest.loads(volume)).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::uncertainty::{mixed_readings, readings};

    #[test]
    fn a_typed_volume_is_as_unsure_as_its_loads() {
        let measure = |id: &str, size: f64, graduation: f64| Measure {
            id: id.into(),
            name: id.into(),
            size: Volume::ml(size),
            graduation: Volume::ml(graduation),
        };
        let tools = Tools {
            measures: vec![
                measure("cylinder", 250.0, 5.0),
                measure("jug", 1000.0, 10.0),
            ],
            balance_step_kg: None,
            units: EntryUnits::Metric,
        };
        let at = |ml: f64| tools.graduation_for(Volume::ml(ml));
        assert_eq!(at(200.0), Some(Volume::ml(5.0)));
        assert_eq!(at(300.0), Some(Volume::ml(10.0)));
        let typed = mixed_readings(at(17_300.0)).as_ml();
        let loads = readings(Volume::ml(10.0), 18).as_ml();
        assert!((typed - loads).abs() < 1e-9, "{typed} {loads}");
    }
}
