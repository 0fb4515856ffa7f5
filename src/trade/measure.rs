//! Measures to pour with, and rounding a dose to what they can show.

use super::units::Volume;

/// A jug, cylinder or syringe: its size and its graduation.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Short name used in the set-up; unique in the bay.
    pub id: String,
    /// Name shown on the screen.
    pub name: String,
    /// What it takes in one load.
    pub size: Volume,
    /// The step between two of its lines.
    pub graduation: Volume,
}

impl Measure {
    /// `dose` rounded to the nearest line; nothing where it is less than half a step. From 1 litre on
    /// to 10 ml and from 10 litres on to 100 ml at the finest, which is what the figure shows and
    /// more than loads can keep.
    pub fn round(&self, dose: Volume) -> Volume {
        let finest = match dose.as_ml() {
            ml if ml >= 10_000.0 => 100.0,
            ml if ml >= 1_000.0 => 10.0,
            _ => 0.0,
        };
        let step = Volume::ml(self.graduation.as_ml().max(finest));
        step * (dose / step).round()
    }
    /// How many loads `volume` takes.
    pub fn loads(&self, volume: Volume) -> u32 {
        // A hair under a full load is a full load: doses are sums of floating-point steps.
        ((volume / self.size) - 1e-9).ceil().max(1.0) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measures() -> Vec<Measure> {
        [
            ("syringe", 60.0, 1.0),
            ("cylinder", 250.0, 2.0),
            ("jug", 1000.0, 10.0),
        ]
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
    fn a_dose_is_rounded_to_the_measures_line() {
        let jug = &measures()[2];
        assert_eq!(jug.round(Volume::ml(692.2)), Volume::ml(690.0));
        assert_eq!(jug.round(Volume::ml(695.0)), Volume::ml(700.0));
        assert_eq!(
            jug.round(Volume::ml(4.0)),
            Volume::ZERO,
            "never up to the first line"
        );
        let cylinder = &measures()[1];
        assert_eq!(cylinder.round(Volume::ml(1234.0)), Volume::ml(1230.0));
        assert_eq!(cylinder.round(Volume::ml(16_480.0)), Volume::ml(16_500.0));
    }

    #[test]
    fn loads() {
        let jug = &measures()[2];
        assert_eq!(jug.loads(Volume::ml(2500.0)), 3);
        assert_eq!(jug.loads(Volume::ml(1000.0)), 1);
        assert_eq!(jug.loads(Volume::ml(3.0)), 1);
    }
}
