//! What is being entered of a stock: full containers, and a rest that is typed.

use crate::bay::action::PadKey;
use crate::bay::records::StockMove;
use crate::bay::setup::EntryUnits;
use crate::bay::typed::{Typed, TypedUnit};
use crate::trade::units::Volume;
use serde::{Deserialize, Serialize};

/// What an entry is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum EntryOf {
    /// What came.
    Delivered,
    /// What there is.
    Counted,
}

/// An entry in the making.
#[derive(Debug, Clone, PartialEq)]
pub struct StockEntry {
    of: EntryOf,
    /// What one container holds; `None` where the bay does not say.
    container: Option<Volume>,
    containers: u32,
    typed: Typed,
}

/// The same, as it is written down.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EntryPlace {
    of: EntryOf,
    /// What one container holds, ml.
    container: Option<f64>,
    containers: u32,
    typed: Typed,
}

/// More containers than stand in any bay are a stuck key.
const MOST_CONTAINERS: u32 = 999;

impl StockEntry {
    /// Nothing entered yet. What comes mostly comes in containers: one is taken for granted.
    pub(super) fn begin(of: EntryOf, container: Option<Volume>, units: EntryUnits) -> Self {
        let one_came = of == EntryOf::Delivered && container.is_some();
        Self {
            of,
            container,
            containers: u32::from(one_came),
            typed: Typed::empty(TypedUnit::large(units)),
        }
    }

    /// As it is written down.
    pub(super) fn place(&self) -> EntryPlace {
        EntryPlace {
            of: self.of,
            container: self.container.map(Volume::as_ml),
            containers: self.containers,
            typed: self.typed.clone(),
        }
    }

    /// As it was written down; `None` where it was in other containers or units.
    pub(super) fn resume(
        place: &EntryPlace,
        container: Option<Volume>,
        units: EntryUnits,
    ) -> Option<Self> {
        let large = TypedUnit::large(units);
        let unit = place.typed.unit();
        let fits = place.container == container.map(Volume::as_ml)
            && place.containers <= MOST_CONTAINERS
            && (container.is_some() || place.containers == 0)
            && (unit == large || unit == large.other());
        fits.then(|| Self {
            of: place.of,
            container,
            containers: place.containers,
            typed: place.typed.clone(),
        })
    }

    /// What it is of.
    pub const fn of(&self) -> EntryOf {
        self.of
    }
    /// What one container holds; `None` where they cannot be counted.
    pub const fn container(&self) -> Option<Volume> {
        self.container
    }
    /// Full containers entered.
    pub const fn containers(&self) -> u32 {
        self.containers
    }
    /// What is typed beside them.
    pub const fn typed(&self) -> &Typed {
        &self.typed
    }

    /// All that is entered.
    pub fn total(&self) -> Volume {
        let containers = self.container.unwrap_or_default() * f64::from(self.containers);
        containers + self.typed.volume().unwrap_or_default()
    }

    /// What is to be kept of it; `None` while nothing is entered. That nothing is left must be typed:
    /// 0.
    pub fn what(&self) -> Option<StockMove> {
        let volume = self.total();
        match self.of {
            EntryOf::Delivered if volume.is_some_liquid() => Some(StockMove::Delivered {
                containers: self.containers,
                volume,
            }),
            EntryOf::Counted if self.containers > 0 || self.typed.number().is_some() => {
                Some(StockMove::Counted { volume })
            }
            EntryOf::Delivered | EntryOf::Counted => None,
        }
    }

    /// One container more; false where that cannot be.
    pub(super) fn add_container(&mut self) -> bool {
        let may = self.container.is_some() && self.containers < MOST_CONTAINERS;
        self.containers += u32::from(may);
        may
    }

    /// One container less; false where there is none.
    pub(super) fn drop_container(&mut self) -> bool {
        let may = self.containers > 0;
        self.containers -= u32::from(may);
        may
    }

    pub(super) fn press(&mut self, key: PadKey) -> bool {
        self.typed.press(key)
    }

    pub(super) fn switch_unit(&mut self) -> bool {
        self.typed.switch_unit()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn containers_and_a_rest_make_a_total() {
        let can = Some(Volume::litres(20.0));
        let mut came = StockEntry::begin(EntryOf::Delivered, can, EntryUnits::Metric);
        assert!(came.add_container() && came.add_container());
        assert!(came.press(PadKey::Digit(5)));
        assert_eq!(
            came.what(),
            Some(StockMove::Delivered {
                containers: 3,
                volume: Volume::litres(65.0)
            })
        );
        assert!(came.switch_unit());
        assert_eq!(came.total(), Volume::ml(60_005.0));
        while came.drop_container() {}
        came.press(PadKey::Back);
        assert_eq!((came.containers(), came.what()), (0, None));
    }

    #[test]
    fn that_nothing_is_left_must_be_typed() {
        let mut counted = StockEntry::begin(EntryOf::Counted, None, EntryUnits::Metric);
        assert!(!counted.add_container() && !counted.drop_container());
        assert_eq!(counted.what(), None);
        counted.press(PadKey::Digit(0));
        let nothing = StockMove::Counted {
            volume: Volume::ZERO,
        };
        assert_eq!(counted.what(), Some(nothing));
    }
}
