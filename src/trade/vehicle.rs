//! Classes of vehicle that a bay washes.

use super::units::Volume;

/// A class of vehicle, and how much spray one takes beside the usual.
#[derive(Debug, Clone, PartialEq)]
pub struct VehicleClass {
    /// Short name used in the set-up; unique in the bay.
    pub id: String,
    /// Name shown on the screen.
    pub name: String,
    /// Spray that one takes, as a part of what the chemical says of a vehicle: 1 for as much, above
    /// 0, at most 20.
    pub share: f64,
}

impl VehicleClass {
    /// The spray that one takes, from what a chemical says of a vehicle.
    pub fn spray(&self, per_vehicle: Volume) -> Volume {
        per_vehicle * self.share
    }
}
