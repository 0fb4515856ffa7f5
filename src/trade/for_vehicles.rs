//! How much to make up for the vehicles that stand there.
//!
//! Spray that they take: Σ count · spray of the class. What leaves the container for it: that times
//! the draw fraction, S·d, as S = F/d.

use super::dilution::DrawFraction;
use super::measure::{Measure, line_above};
use super::units::Volume;
use super::vehicle::VehicleClass;

/// The spray that so many vehicles of each class take, from what a chemical says of a vehicle.
pub fn spray_for<'a>(
    counts: impl IntoIterator<Item = (&'a VehicleClass, u32)>,
    per_vehicle: Volume,
) -> Volume {
    counts
        .into_iter()
        .map(|(class, count)| class.spray(per_vehicle) * f64::from(count))
        .sum()
}

/// Full containers, and a part of one, for some vehicles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fills {
    /// What they take out of the container, not rounded.
    pub needed: Volume,
    /// So many containers up to the line.
    pub full: u32,
    /// And one of so many ml; `None` where the full ones are enough.
    pub part: Option<u32>,
}

impl Fills {
    /// All that is made up, of a container that takes `holds`.
    pub fn made_up(&self, holds: Volume) -> Volume {
        holds * f64::from(self.full) + Volume::ml(f64::from(self.part.unwrap_or(0)))
    }
}

/// The fills that give so much spray, of a container that takes `holds`. The last one goes up to the
/// next line of the measure that it is read with, and to a whole ml: enough, and hardly more.
pub fn fills_for(spray: Volume, draw: DrawFraction, holds: Volume, measures: &[Measure]) -> Fills {
    let needed = spray * draw.as_fraction();
    // A hair over a full container is a full container.
    let full = (needed / holds + 1e-9)
        .floor()
        .clamp(0.0, f64::from(u32::MAX));
    let rest = needed - holds * full;
    let full = full as u32;
    if rest.as_ml() < 1e-6 * holds.as_ml() {
        let part = None;
        return Fills { needed, full, part };
    }
    let ml = (line_above(rest, measures).as_ml() - 1e-6).ceil().max(1.0);
    match ml >= holds.as_ml() {
        true => Fills {
            needed,
            full: full.saturating_add(1),
            part: None,
        },
        false => Fills {
            needed,
            full,
            part: Some(ml as u32),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn class(id: &str, share: f64) -> VehicleClass {
        VehicleClass {
            id: id.into(),
            name: id.into(),
            share,
        }
    }
    fn measures() -> Vec<Measure> {
        [("cylinder", 250.0, 5.0), ("jug", 1000.0, 10.0)]
            .into_iter()
            .map(|(id, size, graduation)| Measure {
                id: id.into(),
                name: id.into(),
                size: Volume::ml(size),
                graduation: Volume::ml(graduation),
            })
            .collect()
    }

    #[test]
    fn mixed_classes_add_up() {
        // 2 minibuses of 0.6 and one articulated of 2.5 usual vehicles of 4 litres: 3.7 · 4 = 14.8 L.
        let (minibus, articulated) = (class("minibus", 0.6), class("articulated", 2.5));
        let spray = spray_for([(&minibus, 2), (&articulated, 1)], Volume::litres(4.0));
        assert!((spray.as_ml() - 14_800.0).abs() < 1e-9);
        // At a draw of 5 %: 740 ml, on a line of the jug.
        let draw = DrawFraction::new(0.05).expect("a draw");
        let fills = fills_for(spray, draw, Volume::ml(820.0), &measures());
        assert_eq!((fills.full, fills.part), (0, Some(740)));
    }

    #[test]
    fn more_than_the_container_takes_is_parted() {
        let draw = DrawFraction::new(0.05).expect("a draw");
        let fills = |litres: f64| {
            let fills = fills_for(Volume::litres(litres), draw, Volume::ml(820.0), &measures());
            (fills.full, fills.part)
        };
        // 43 · 50 = 2150 ml: two of 820 and 510.
        assert_eq!(fills(43.0), (2, Some(510)));
        assert_eq!(fills(16.4), (1, None), "just one");
        assert_eq!(fills(16.2), (0, Some(810)));
        assert_eq!(fills(16.22), (1, None), "811 ml is read as 820: a full one");
        assert_eq!(fills(4.1), (0, Some(205)));
        assert_eq!(fills(4.11), (0, Some(210)), "205.5, up to the next line");
        assert_eq!(fills(0.0), (0, None));
    }
}
