//! What is in each sprayer, as far as fills, rinses and calibrations tell: followed from the records'
//! word at the start on, so that taking one back, in whatever order, leaves what the others say.
//!
//! A calibration is run with clean water: nothing is left of the mix then. It is no rinse for all that:
//! what the mix was of must still be rinsed out before another chemical goes in. A timed check changes
//! nothing.

use crate::bay::records::{Entry, Happening, SprayerPast};
use chrono::{DateTime, FixedOffset};
use std::collections::BTreeMap;

/// More than anybody can take back within its time: what is older counts as settled.
const MOST: usize = 64;

/// What a change made of what was in a sprayer.
#[derive(Debug, Clone, PartialEq)]
enum What {
    /// A chemical, by id, was filled in.
    Filled(String),
    /// It was rinsed.
    Rinsed,
    /// It was run with water.
    RunOut,
}

/// What happened to what is in one sprayer.
#[derive(Debug, Clone, PartialEq)]
struct Change {
    entry: Entry,
    at: DateTime<FixedOffset>,
    sprayer: String,
    what: What,
    /// The fill that was logged instead of this one: as long as that stands, this one does not.
    instead: Option<Entry>,
}

/// What is in one sprayer.
#[derive(Debug, Clone, PartialEq)]
struct InIt {
    /// The chemical, by id, that must be rinsed out before another one goes in.
    chemical: String,
    /// Nothing is left of the mix.
    run_out: bool,
}

impl InIt {
    /// What is in it after a change.
    fn after(before: Option<Self>, what: &What) -> Option<Self> {
        match what {
            What::Filled(chemical) => Some(Self {
                chemical: chemical.clone(),
                run_out: false,
            }),
            What::Rinsed => None,
            What::RunOut => before.map(|before| Self {
                run_out: true,
                ..before
            }),
        }
    }
}

/// What is in each sprayer.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Inside {
    settled: BTreeMap<String, InIt>,
    settled_fills: BTreeMap<String, DateTime<FixedOffset>>,
    /// Oldest first.
    changes: Vec<Change>,
}

impl Inside {
    /// As the records know it at the start: the past of the sprayers by their ids, and when the newest
    /// fill with each chemical, by id, was made.
    pub fn new<'a>(
        sprayers: impl IntoIterator<Item = (&'a String, &'a SprayerPast)>,
        last_fills: &BTreeMap<String, DateTime<FixedOffset>>,
    ) -> Self {
        let known = sprayers.into_iter().filter_map(|(sprayer, past)| {
            let is_in_it = InIt {
                chemical: past.in_it.clone()?,
                run_out: past.run_out,
            };
            Some((sprayer.clone(), is_in_it))
        });
        Self {
            settled: known.collect(),
            settled_fills: last_fills.clone(),
            changes: Vec::new(),
        }
    }

    fn in_it(&self, sprayer: &str) -> Option<InIt> {
        let of_it = self.standing().filter(|change| change.sprayer == sprayer);
        of_it.fold(self.settled.get(sprayer).cloned(), |before, change| {
            InIt::after(before, &change.what)
        })
    }

    /// The chemical, by id, that must be rinsed out of a sprayer before another one goes in; `None`
    /// where none is known to be in it.
    pub fn of(&self, sprayer: &str) -> Option<String> {
        self.in_it(sprayer).map(|is_in_it| is_in_it.chemical)
    }

    /// True where a calibration left nothing of the mix that was in a sprayer.
    pub fn is_run_out(&self, sprayer: &str) -> bool {
        self.in_it(sprayer).is_some_and(|is_in_it| is_in_it.run_out)
    }

    /// When the newest fill with a chemical (by id) was made that was not taken back.
    pub fn last_fill_with(&self, chemical: &str) -> Option<DateTime<FixedOffset>> {
        let with_it = |change: &&Change| matches!(&change.what, What::Filled(id) if id == chemical);
        let newest = self.standing().filter(with_it).last();
        newest
            .map(|change| change.at)
            .or_else(|| self.settled_fills.get(chemical).copied())
    }

    /// The changes that hold, oldest first.
    fn standing(&self) -> impl Iterator<Item = &Change> {
        self.changes.iter().filter(|c| c.instead.is_none())
    }

    /// Takes in what was kept.
    pub fn kept(&mut self, entry: Entry, at: DateTime<FixedOffset>, what: &Happening) {
        let (sprayer, what) = match what {
            Happening::Fill(fill) => (&fill.sprayer, What::Filled(fill.chemical.clone())),
            Happening::Mispoured {
                fill, instead_of, ..
            } => {
                let wrong = self
                    .changes
                    .iter_mut()
                    .find(|c| Some(c.entry) == *instead_of);
                if let Some(wrong) = wrong {
                    wrong.instead = Some(entry);
                }
                (&fill.sprayer, What::Filled(fill.chemical.clone()))
            }
            Happening::Rinsed { sprayer } => (sprayer, What::Rinsed),
            Happening::Calibrated(record) => (&record.sprayer, What::RunOut),
            Happening::FillUndone(of)
            | Happening::RinseUndone(of)
            | Happening::CalibrationUndone(of) => {
                self.changes.retain(|c| c.entry != *of);
                for change in &mut self.changes {
                    change.instead = change.instead.filter(|instead| instead != of);
                }
                return;
            }
            _ => return,
        };
        self.changes.push(Change {
            entry,
            at,
            sprayer: sprayer.clone(),
            what,
            instead: None,
        });
        if self.changes.len() > MOST {
            self.settle_oldest();
        }
    }

    fn settle_oldest(&mut self) {
        let change = self.changes.remove(0);
        if change.instead.is_some() {
            return;
        }
        if let What::Filled(chemical) = &change.what {
            self.settled_fills.insert(chemical.clone(), change.at);
        }
        let before = self.settled.remove(&change.sprayer);
        if let Some(is_in_it) = InIt::after(before, &change.what) {
            self.settled.insert(change.sprayer, is_in_it);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bay::records::{Fill, FillHow};
    use crate::trade::units::{Strength, Volume};
    use chrono::TimeDelta;

    fn start() -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").expect("a date")
    }

    fn fill(chemical: &str) -> Happening {
        Happening::Fill(Fill {
            sprayer: "lance".into(),
            chemical: chemical.into(),
            fill: Volume::ml(1000.0),
            poured: Volume::ml(100.0),
            water: Volume::ml(900.0),
            strength: Strength::percent(1.0).expect("a strength"),
            standing: "good".into(),
            how: FillHow::Fresh,
        })
    }

    fn rinsed() -> Happening {
        Happening::Rinsed {
            sprayer: "lance".into(),
        }
    }

    /// Entry n at n minutes.
    fn keep(inside: &mut Inside, entry: Entry, what: &Happening) {
        let at = start() + TimeDelta::minutes(entry);
        inside.kept(entry, at, what);
    }

    fn in_lance(inside: &Inside) -> Option<String> {
        inside.of("lance")
    }

    #[test]
    fn the_newest_that_was_not_taken_back_counts() {
        let past = SprayerPast {
            in_it: Some("wax".into()),
            ..SprayerPast::default()
        };
        let fills = BTreeMap::from([("wax".to_owned(), start())]);
        let mut inside = Inside::new([(&"lance".to_owned(), &past)], &fills);
        assert_eq!(
            (in_lance(&inside), inside.of("drum")),
            (Some("wax".into()), None)
        );
        keep(&mut inside, 1, &fill("film"));
        assert_eq!(in_lance(&inside), Some("film".into()));
        keep(&mut inside, 2, &rinsed());
        assert_eq!(inside.of("lance"), None);
        let minute = |minute| Some(start() + TimeDelta::minutes(minute));
        assert_eq!(inside.last_fill_with("film"), minute(1));
        assert_eq!(inside.last_fill_with("wax"), minute(0));
        keep(&mut inside, 3, &fill("acid"));
        // The first one is taken back after the others: they still stand.
        keep(&mut inside, 4, &Happening::FillUndone(1));
        assert_eq!(in_lance(&inside), Some("acid".into()));
        keep(&mut inside, 5, &Happening::FillUndone(3));
        assert_eq!(inside.of("lance"), None, "rinsed");
        keep(&mut inside, 6, &Happening::RinseUndone(2));
        assert_eq!(in_lance(&inside), Some("wax".into()), "as at the start");
        assert_eq!(inside.last_fill_with("film"), None, "taken back");
        assert_eq!(inside.last_fill_with("acid"), None, "taken back");
        assert_eq!(inside.last_fill_with("wax"), minute(0));
    }

    #[test]
    fn it_does_not_grow_and_loses_nothing() {
        let mut inside = Inside::default();
        for entry in 0..1000 {
            keep(&mut inside, entry, &fill("film"));
            keep(&mut inside, entry + 10_000, &rinsed());
        }
        assert!(inside.changes.len() <= MOST);
        assert_eq!(inside.of("lance"), None);
        keep(&mut inside, 20_000, &fill("wax"));
        for entry in 20_001..20_200 {
            let other = Happening::Rinsed {
                sprayer: "drum".into(),
            };
            keep(&mut inside, entry, &other);
        }
        assert_eq!(in_lance(&inside), Some("wax".into()));
        assert_eq!(
            inside.last_fill_with("wax"),
            Some(start() + TimeDelta::minutes(20_000))
        );
    }

    fn mispoured(instead_of: Option<Entry>) -> Happening {
        let Happening::Fill(fill) = fill("film") else {
            unreachable!()
        };
        Happening::Mispoured {
            added: Some(fill.clone()),
            fill,
            instead_of,
        }
    }

    #[test]
    fn what_a_mispoured_fill_was_logged_instead_of_stands_again_without_it() {
        let mut inside = Inside::default();
        keep(&mut inside, 1, &fill("film"));
        keep(&mut inside, 2, &mispoured(Some(1)));
        // The addition has the number 3.
        assert_eq!(
            inside.last_fill_with("film"),
            Some(start() + TimeDelta::minutes(2))
        );
        keep(&mut inside, 4, &Happening::FillUndone(2));
        assert_eq!(in_lance(&inside), Some("film".into()));
        assert_eq!(
            inside.last_fill_with("film"),
            Some(start() + TimeDelta::minutes(1))
        );
        keep(&mut inside, 5, &Happening::FillUndone(1));
        assert_eq!(in_lance(&inside), None);
    }
}
