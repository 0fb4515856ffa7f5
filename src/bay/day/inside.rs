//! What is in each sprayer, as far as fills and rinses tell: followed from the records' word at the
//! start on, so that taking one back, in whatever order, leaves what the others say.

use crate::bay::records::{Entry, Happening};
use chrono::{DateTime, FixedOffset};
use std::collections::BTreeMap;

/// More than anybody can take back within its time: what is older counts as settled.
const MOST: usize = 64;

/// What happened to what is in one sprayer.
#[derive(Debug, Clone, PartialEq)]
struct Change {
    entry: Entry,
    at: DateTime<FixedOffset>,
    sprayer: String,
    /// The chemical, by id, that was filled in; `None` for a rinse.
    filled: Option<String>,
}

/// What is in each sprayer.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Inside {
    settled: BTreeMap<String, String>,
    settled_fill: Option<DateTime<FixedOffset>>,
    /// Oldest first.
    changes: Vec<Change>,
}

impl Inside {
    /// As the records know it at the start: by sprayer, and when the newest fill was made.
    pub fn new(
        known: impl IntoIterator<Item = (String, String)>,
        last_fill: Option<DateTime<FixedOffset>>,
    ) -> Self {
        Self {
            settled: known.into_iter().collect(),
            settled_fill: last_fill,
            changes: Vec::new(),
        }
    }

    /// The chemical, by id, that is in a sprayer; `None` where none is known to be.
    pub fn of(&self, sprayer: &str) -> Option<&str> {
        let change = self.changes.iter().rfind(|c| c.sprayer == sprayer);
        match change {
            Some(change) => change.filled.as_deref(),
            None => self.settled.get(sprayer).map(String::as_str),
        }
    }

    /// When the newest fill was made that was not taken back.
    pub fn last_fill(&self) -> Option<DateTime<FixedOffset>> {
        let newest = self.changes.iter().rfind(|c| c.filled.is_some());
        newest.map(|change| change.at).or(self.settled_fill)
    }

    /// Takes in what was kept; gives the sprayer whose content it is about.
    pub fn kept(
        &mut self,
        entry: Entry,
        at: DateTime<FixedOffset>,
        what: &Happening,
    ) -> Option<String> {
        let (sprayer, filled) = match what {
            Happening::Fill(fill) => (&fill.sprayer, Some(fill.chemical.clone())),
            Happening::Rinsed { sprayer } => (sprayer, None),
            Happening::FillUndone(of) | Happening::RinseUndone(of) => {
                let place = self.changes.iter().position(|c| c.entry == *of)?;
                return Some(self.changes.remove(place).sprayer);
            }
            _ => return None,
        };
        self.changes.push(Change {
            entry,
            at,
            sprayer: sprayer.clone(),
            filled,
        });
        if self.changes.len() > MOST {
            self.settle_oldest();
        }
        Some(sprayer.clone())
    }

    fn settle_oldest(&mut self) {
        let change = self.changes.remove(0);
        match change.filled {
            Some(chemical) => {
                self.settled_fill = Some(change.at);
                self.settled.insert(change.sprayer, chemical);
            }
            None => {
                self.settled.remove(&change.sprayer);
            }
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

    #[test]
    fn the_newest_that_was_not_taken_back_counts() {
        let mut inside = Inside::new([("lance".into(), "wax".into())], Some(start()));
        assert_eq!((inside.of("lance"), inside.of("drum")), (Some("wax"), None));
        keep(&mut inside, 1, &fill("film"));
        assert_eq!(inside.of("lance"), Some("film"));
        keep(&mut inside, 2, &rinsed());
        assert_eq!(inside.of("lance"), None);
        assert_eq!(inside.last_fill(), Some(start() + TimeDelta::minutes(1)));
        keep(&mut inside, 3, &fill("acid"));
        // The first one is taken back after the others: they still stand.
        keep(&mut inside, 4, &Happening::FillUndone(1));
        assert_eq!(inside.of("lance"), Some("acid"));
        keep(&mut inside, 5, &Happening::FillUndone(3));
        assert_eq!(inside.of("lance"), None, "rinsed");
        keep(&mut inside, 6, &Happening::RinseUndone(2));
        assert_eq!(inside.of("lance"), Some("wax"), "as at the start");
        assert_eq!(inside.last_fill(), Some(start()));
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
        assert_eq!(inside.of("lance"), Some("wax"));
        assert_eq!(
            inside.last_fill(),
            Some(start() + TimeDelta::minutes(20_000))
        );
    }
}
