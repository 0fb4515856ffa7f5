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
    /// `dose` rounded to the nearest line, at least one step.
    pub fn round(&self, dose: Volume) -> Volume {
        let steps = (dose / self.graduation).round().max(1.0);
        self.graduation * steps
    }
    /// How many loads `volume` takes.
    pub fn loads(&self, volume: Volume) -> u32 {
        // A hair under a full load is a full load: doses are sums of floating-point steps.
        ((volume / self.size) - 1e-9).ceil().max(1.0) as u32
    }
}

/// The measure to pour `dose` with: of those that take it in one load the finest, else the one
/// that takes it in the fewest loads.
pub fn for_dose(measures: &[Measure], dose: Volume) -> Option<&Measure> {
    measures.iter().min_by(|a, b| {
        let key = |m: &Measure| (m.loads(m.round(dose)), m.graduation.as_ml());
        let (a, b) = (key(a), key(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

/// A measure with a finer graduation than `than`, the one that needs the fewest loads.
pub fn finer<'a>(measures: &'a [Measure], than: &Measure, dose: Volume) -> Option<&'a Measure> {
    measures
        .iter()
        .filter(|m| m.graduation < than.graduation)
        .min_by_key(|m| m.loads(m.round(dose)))
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
        assert_eq!(jug.round(Volume::ml(1.0)), Volume::ml(10.0));
    }

    #[test]
    fn the_finest_measure_that_takes_it_in_one_load() {
        let all = measures();
        for (dose, id) in [
            (12.0, "syringe"),
            (61.0, "cylinder"),
            (692.0, "jug"),
            (2500.0, "jug"),
        ] {
            assert_eq!(
                for_dose(&all, Volume::ml(dose)).expect("a measure").id,
                id,
                "{dose} ml"
            );
        }
        assert_eq!(for_dose(&[], Volume::ml(5.0)), None);
        assert_eq!(all[2].loads(Volume::ml(2500.0)), 3);
        assert_eq!(all[2].loads(Volume::ml(1000.0)), 1);
        assert_eq!(
            finer(&all, &all[2], Volume::ml(692.0)).expect("finer").id,
            "cylinder"
        );
        assert_eq!(finer(&all, &all[0], Volume::ml(692.0)), None);
    }
}
