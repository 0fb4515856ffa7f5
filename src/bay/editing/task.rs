//! One field after another, and then one change of the set-up.

use super::answer::Pair;
use super::fields::{Field, Kind};
use super::half::Half;
use super::present;
use crate::bay::setup::Setup;
use crate::bay::setup_change::{Edit, Place, Value};
use crate::trade::sprayer;
use std::collections::BTreeMap;

/// What is changed by it.
#[derive(Debug, Clone, PartialEq)]
pub enum Target {
    /// What there is one of.
    Single(Kind),
    /// An item that is there.
    Item(Place),
    /// An item that will be there.
    New(Kind),
}

/// Fields that are asked one after another; what was answered is kept when one goes back.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// What is changed.
    pub target: Target,
    /// What is asked, in order. Never empty.
    pub steps: Vec<Field>,
    /// Which of them is asked now.
    pub at: usize,
    /// What is typed for each.
    pub halves: BTreeMap<Field, Half>,
    /// What was answered.
    pub answers: BTreeMap<Field, Vec<Pair>>,
}

impl Task {
    /// Asks these.
    pub fn new(target: Target, steps: Vec<Field>) -> Self {
        Self {
            target,
            steps,
            at: 0,
            halves: BTreeMap::new(),
            answers: BTreeMap::new(),
        }
    }
    /// The field that is asked now.
    pub fn field(&self) -> Field {
        self.steps[self.at.min(self.steps.len() - 1)]
    }
    /// The item that is changed.
    pub fn item(&self) -> Option<&Place> {
        match &self.target {
            Target::Item(item) => Some(item),
            Target::Single(_) | Target::New(_) => None,
        }
    }
    /// Opens the field that is asked now; what is half typed of it stays.
    pub fn open(&mut self, setup: &Setup) {
        let (field, item) = (self.field(), self.item().cloned());
        self.halves
            .entry(field)
            .or_insert_with(|| Half::of(field, setup, item.as_ref()));
    }
    /// What is typed of the field that is asked now.
    pub fn half(&self) -> &Half {
        self.halves.get(&self.field()).unwrap_or(&Half::Nothing)
    }
    /// The same, to be typed on.
    pub fn half_mut(&mut self) -> &mut Half {
        let field = self.field();
        self.halves.entry(field).or_insert(Half::Nothing)
    }

    /// Takes an answer. True where more is to be asked.
    pub fn answer(&mut self, pairs: Vec<Pair>, setup: &Setup) -> bool {
        let field = self.field();
        self.what_follows(field, &pairs, setup);
        self.answers.insert(field, pairs);
        if self.at + 1 < self.steps.len() {
            self.at += 1;
            self.open(setup);
            return true;
        }
        false
    }

    /// One answer may ask for others.
    fn what_follows(&mut self, field: Field, pairs: &[Pair], setup: &Setup) {
        let is_taken_away = pairs.iter().all(|(_, value)| value.is_none());
        let mut ask = |field: Field, wanted: bool| {
            let asked = self.steps.contains(&field);
            if wanted && !asked {
                self.steps.push(field);
            } else if !wanted && asked {
                self.steps.retain(|step| *step != field);
                self.answers.remove(&field);
            }
        };
        match field {
            Field::SprayerKind => {
                let direct = pairs.iter().any(|(_, value)| {
                    *value == Some(Value::Text(sprayer::Kind::DirectSprayer.word().into()))
                });
                let item = match &self.target {
                    Target::Item(item) => present::sprayer(setup, Some(item)),
                    _ => None,
                };
                let has_washer = item.is_some_and(|s| !s.washer.is_empty());
                ask(Field::Washer, !direct && !has_washer);
            }
            Field::BandLeast if !is_taken_away => {
                let item = match &self.target {
                    Target::Item(item) => present::chemical(setup, Some(item)),
                    _ => None,
                };
                ask(Field::BandMost, item.is_none_or(|c| c.band.is_none()));
            }
            Field::QuietFrom | Field::QuietTo | Field::QuietVolume
                if !is_taken_away && setup.quiet.is_none() =>
            {
                for also in [Field::QuietFrom, Field::QuietTo, Field::QuietVolume] {
                    ask(also, true);
                }
            }
            Field::NightFrom | Field::NightTo
                if !is_taken_away && setup.dimming.night.is_none() =>
            {
                ask(Field::NightFrom, true);
                ask(Field::NightTo, true);
            }
            _ => {}
        }
    }

    /// Key and value of all answers; of a key that was answered twice the later one.
    pub fn pairs(&self) -> Vec<(Field, Pair)> {
        let mut all: Vec<(Field, Pair)> = Vec::new();
        for field in &self.steps {
            for pair in self.answers.get(field).into_iter().flatten() {
                let place = field.place(self.item());
                all.retain(|(f, (key, _))| *key != pair.0 || f.place(self.item()) != place);
                all.push((*field, pair.clone()));
            }
        }
        all
    }

    /// The edits of the set-up that it comes to. `id` is that of a new item.
    pub fn edits(&self, id: &str) -> Vec<Edit> {
        let pairs = self.pairs().into_iter();
        match &self.target {
            Target::New(kind) => {
                let keys = pairs
                    .filter_map(|(_, (key, value))| Some((key, value?)))
                    .collect();
                let place = kind.place(id);
                place
                    .map(|place| Edit::Add { place, keys })
                    .into_iter()
                    .collect()
            }
            Target::Item(_) | Target::Single(_) => pairs
                .map(|(field, (key, value))| match (field, value) {
                    // A bay without a balance has no section for one.
                    (Field::BalanceStep, None) => Edit::Remove {
                        place: field.place(None),
                    },
                    (field, value) => Edit::Set {
                        place: field.place(self.item()),
                        key,
                        value,
                    },
                })
                .collect(),
        }
    }
}
