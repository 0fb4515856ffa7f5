//! How far a fill goes and what it costs.

use super::dilution::DrawFraction;
use super::units::{Strength, Volume};

/// What one vehicle takes of the product, and how many a fill does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// Spray that comes out of the fill: S = F/d.
    pub spray: Volume,
    /// Vehicles per fill: S / spray per vehicle.
    pub vehicles: f64,
    /// Product per vehicle: p/c · spray per vehicle.
    pub product_per_vehicle: Volume,
    /// Money per vehicle, where the product's cost is known.
    pub cost_per_vehicle: Option<f64>,
}

/// Coverage of a fill at the strength that lands, `product_strength` being the product's own
/// fraction of concentrate.
pub fn coverage(
    fill: Volume,
    draw: DrawFraction,
    landed: Strength,
    product_strength: Strength,
    spray_per_vehicle: Volume,
    cost_per_litre: Option<f64>,
) -> Coverage {
    let spray = draw.spray(fill);
    let product_per_vehicle =
        spray_per_vehicle * (landed.as_fraction() / product_strength.as_fraction());
    Coverage {
        spray,
        vehicles: spray / spray_per_vehicle,
        product_per_vehicle,
        cost_per_vehicle: cost_per_litre.map(|cost| cost * product_per_vehicle.as_litres()),
    }
}

impl Coverage {
    /// The same for a class of vehicle that takes `share` of what a vehicle takes, above 0.
    pub fn for_share(&self, share: f64) -> Self {
        Self {
            spray: self.spray,
            vehicles: self.vehicles / share,
            product_per_vehicle: self.product_per_vehicle * share,
            cost_per_vehicle: self.cost_per_vehicle.map(|cost| cost * share),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_vehicles_of_a_fill_use_up_its_product() {
        let draw = DrawFraction::new(820.0 / 14_700.0).expect("draw");
        let landed = Strength::percent(4.0).expect("strength");
        let c = coverage(
            Volume::ml(820.0),
            draw,
            landed,
            Strength::NEAT,
            Volume::litres(4.0),
            Some(3.5),
        );
        assert_relative_eq!(c.spray.as_ml(), 14_700.0, max_relative = 1e-12);
        // Everything poured in lands somewhere: 588 ml over 3.675 vehicles.
        assert_relative_eq!(
            c.vehicles * c.product_per_vehicle.as_ml(),
            588.0,
            max_relative = 1e-9
        );
        assert_relative_eq!(c.cost_per_vehicle.expect("cost"), 0.56, max_relative = 1e-9);
    }
    #[test]
    fn a_class_of_twice_the_spray_takes_twice_of_everything() {
        let at = |litres: f64| {
            coverage(
                Volume::ml(820.0),
                DrawFraction::new(0.05).expect("draw"),
                Strength::percent(4.0).expect("strength"),
                Strength::percent(50.0).expect("strength"),
                Volume::litres(litres),
                Some(3.5),
            )
        };
        let (share, own) = (at(4.0).for_share(2.5), at(10.0));
        assert_relative_eq!(share.vehicles, own.vehicles, max_relative = 1e-12);
        assert_relative_eq!(
            share.product_per_vehicle.as_ml(),
            own.product_per_vehicle.as_ml(),
            max_relative = 1e-12
        );
        let cost = |c: Coverage| c.cost_per_vehicle.expect("cost");
        assert_relative_eq!(cost(share), cost(own), max_relative = 1e-12);
        assert_eq!(share.spray, own.spray);
    }
}
