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
    /// `dose` rounded to the nearest line; nothing where it is less than half a step. Never finer
    /// than the figure on the screen, which has three digits: 0.1 ml from 10 ml on, 1 ml from 100,
    /// 10 from a litre and 100 from ten; more than that no loads can keep.
    pub fn round(&self, dose: Volume) -> Volume {
        let finest = match dose.as_ml() {
            ml if ml >= 9_995.0 => 100.0,
            ml if ml >= 999.5 => 10.0,
            ml if ml >= 99.95 => 1.0,
            ml if ml >= 9.995 => 0.1,
            _ => 0.01,
        };
        // The least number of lines that the figure can show: 0.25 ml lines go by two from 10 ml on.
        let lines = (1..=100u32)
            .find(|n| {
                let steps = self.graduation.as_ml() * f64::from(*n) / finest;
                steps > 0.5 && (steps - steps.round()).abs() < 1e-6
            })
            .unwrap_or(1);
        let step = self.graduation * f64::from(lines);
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
        let fine = Measure {
            graduation: Volume::ml(0.25),
            ..measures()[0].clone()
        };
        for (dose, ml) in [(1.3, 1.25), (22.8, 23.0), (22.7, 22.5), (122.6, 123.0)] {
            assert_eq!(fine.round(Volume::ml(dose)), Volume::ml(ml), "{dose}");
        }
    }

    #[test]
    fn loads() {
        let jug = &measures()[2];
        assert_eq!(jug.loads(Volume::ml(2500.0)), 3);
        assert_eq!(jug.loads(Volume::ml(1000.0)), 1);
        assert_eq!(jug.loads(Volume::ml(3.0)), 1);
    }
}
