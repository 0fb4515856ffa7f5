//! Measures to pour with, and rounding a dose to what they can show.

use super::units::{LineUnit, Volume};

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
    /// The unit that its lines are in: what is poured with it is told in that.
    pub fn unit(&self) -> LineUnit {
        LineUnit::of_step(self.graduation)
    }
    /// A volume in its unit, as people read it: "590 ml", "8 fl oz".
    pub fn shown(&self, volume: Volume) -> String {
        self.unit().shown(volume)
    }
    /// `dose` rounded to the nearest line; nothing where it is less than half a step. Never finer
    /// than the figure on the screen, which has three digits: in its unit 0.1 from 10 on, 1 from 100,
    /// 10 from a thousand and 100 from ten thousand; more than that no loads can keep.
    pub fn round(&self, dose: Volume) -> Volume {
        let step = self.step(dose);
        step * (dose / step).round()
    }
    /// The same, on the line at or below it.
    pub fn round_down(&self, dose: Volume) -> Volume {
        let step = self.step(dose);
        // A hair under a line is on it.
        step * (dose / step + 1e-9).floor()
    }
    /// The step between the lines that a dose is rounded to.
    fn step(&self, dose: Volume) -> Volume {
        let finest = self.unit().finest(dose);
        // The least number of lines that the figure can show: 0.25 ml lines go by two from 10 ml on.
        let lines = (1..=100u32)
            .find(|n| {
                let steps = self.graduation * f64::from(*n) / finest;
                steps > 0.5 && (steps - steps.round()).abs() < 1e-6
            })
            .unwrap_or(1);
        self.graduation * f64::from(lines)
    }
    /// How far reading `volume` on its lines may put it off: half a line, and as much for each load
    /// more, which add as squares.
    pub fn half_a_line(&self, volume: Volume) -> Volume {
        self.graduation / 2.0 * f64::from(self.loads(volume)).sqrt()
    }
    /// How many loads `volume` takes.
    pub fn loads(&self, volume: Volume) -> u32 {
        // A hair under a full load is a full load: doses are sums of floating-point steps.
        ((volume / self.size) - 1e-9).ceil().max(1.0) as u32
    }
}

fn by_size(a: &&Measure, b: &&Measure) -> std::cmp::Ordering {
    a.size.as_ml().total_cmp(&b.size.as_ml())
}

/// The measure that takes most in one load; `None` of none.
pub fn largest(measures: &[Measure]) -> Option<&Measure> {
    measures.iter().max_by(by_size)
}

/// The measure that a volume is read with: the smallest that takes it in one load, else the largest;
/// `None` of none.
pub fn reader(volume: Volume, measures: &[Measure]) -> Option<&Measure> {
    let takes_it = measures.iter().filter(|m| m.loads(volume) == 1);
    takes_it.min_by(by_size).or_else(|| largest(measures))
}

/// `volume` taken up to the next line of the measure that it is read with. Without a measure it stays.
pub fn line_above(volume: Volume, measures: &[Measure]) -> Volume {
    reader(volume, measures).map_or(volume, |measure| {
        // A hair over a line is on it.
        measure.graduation * (volume / measure.graduation - 1e-9).ceil()
    })
}

/// The step between two lines on which a volume was read: of the smallest measure that takes it in
/// one load. What takes several loads of the largest was read as often, and those readings add as
/// squares: its step times √loads has the same uncertainty. `None` without a measure.
pub fn graduation_for(volume: Volume, measures: &[Measure]) -> Option<Volume> {
    let takes_it = measures.iter().filter(|m| m.loads(volume) == 1);
    if let Some(measure) = takes_it.min_by(by_size) {
        return Some(measure.graduation);
    }
    let largest = largest(measures)?;
    Some(largest.graduation * f64::from(largest.loads(volume)).sqrt())
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
        let measures = [
            measure("cylinder", 250.0, 5.0),
            measure("jug", 1000.0, 10.0),
        ];
        let at = |ml: f64| graduation_for(Volume::ml(ml), &measures);
        assert_eq!(at(200.0), Some(Volume::ml(5.0)));
        assert_eq!(at(300.0), Some(Volume::ml(10.0)));
        let typed = mixed_readings(at(14_700.0)).as_ml();
        let loads = readings(Volume::ml(10.0), 15).as_ml();
        assert!((typed - loads).abs() < 1e-9, "{typed} {loads}");
    }

    #[test]
    fn up_to_the_next_line_of_what_it_is_read_with() {
        let up = |ml: f64| line_above(Volume::ml(ml), &measures()).as_ml();
        for (volume, line) in [
            (59.2, 60.0),
            (60.5, 62.0),
            (248.0, 248.0),
            (251.0, 260.0),
            (1234.0, 1240.0),
            (0.0, 0.0),
        ] {
            assert!((up(volume) - line).abs() < 1e-9, "{volume}: {}", up(volume));
        }
        assert_eq!(line_above(Volume::ml(7.3), &[]), Volume::ml(7.3));
    }

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
        assert_eq!(jug.round(Volume::ml(588.2)), Volume::ml(590.0));
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
    fn a_jug_in_ounces_rounds_to_its_own_lines() {
        let measure = |size: &str, graduation: &str| Measure {
            id: "jug".into(),
            name: "jug".into(),
            size: Volume::parse(size).expect(size),
            graduation: Volume::parse(graduation).expect(graduation),
        };
        let jug = measure("32 US fl oz", "1 US fl oz");
        let dose = jug.round(Volume::ml(240.0));
        assert_eq!(jug.shown(dose), "8 fl oz");
        assert!((dose.as_ml() - 8.0 * 29.573_529_562_5).abs() < 1e-9);
        // Quarters as far as the figure shows them, then halves.
        let fine = measure("16 UK fl oz", "0.25 UK fl oz");
        for (ml, shown) in [
            (92.0, "3.25 fl oz"),
            (355.0, "12.5 fl oz"),
            (364.0, "13 fl oz"),
        ] {
            let dose = fine.round(Volume::ml(ml));
            assert_eq!(fine.shown(dose), shown, "{ml}");
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
