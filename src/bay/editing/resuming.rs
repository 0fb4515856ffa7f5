//! What is half typed of the first set-up, for a program that starts anew. What is half typed on the
//! shift lead's side is none of it.

use super::fields::{Editor, Field};
use super::first_run::FirstRun;
use super::half::{Half, Unit};
use crate::bay::at_work::Bay;
use crate::trade::letters::hides;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// More pages of tiles than any question has.
const MOST_PAGES: usize = 1000;

/// What is in hand of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bay) struct FirstRunPlace {
    begun: bool,
    at: Option<usize>,
    page: usize,
    halves: BTreeMap<Field, Half>,
}

impl Half {
    /// True where this may be half typed of a field that is opened as `fresh`.
    fn fits(&self, field: Field, fresh: &Self) -> bool {
        let longest = match field.editor() {
            Editor::Text(longest) | Editor::Lines(longest) => longest,
            _ => 0,
        };
        let may_be = |text: &String| text.chars().count() <= longest && !text.chars().any(hides);
        match (self, fresh) {
            (Self::Text { text, .. }, Self::Text { .. }) => may_be(text),
            (
                Self::Number { typed, unit },
                Self::Number {
                    typed: fresh,
                    unit: its,
                },
            ) => typed.unit() == fresh.unit() && unit.is_of_the_kind_of(*its),
            (Self::Many(_), Self::Many(_)) | (Self::Nothing, Self::Nothing) => true,
            (Self::Lines { lines, open }, Self::Lines { .. }) => {
                let at = open.as_ref().and_then(|open| open.at);
                lines
                    .iter()
                    .chain(open.iter().map(|open| &open.text))
                    .all(may_be)
                    && at.is_none_or(|at| at < lines.len())
            }
            _ => false,
        }
    }
}

impl Unit {
    /// True for the same unit, and the other one of its kind.
    fn is_of_the_kind_of(self, its: Self) -> bool {
        match (self, its) {
            (Self::Volume(unit), Self::Volume(its)) => unit == its || unit == its.other(),
            (Self::Percent | Self::OnePlus, Self::Percent | Self::OnePlus) => true,
            (unit, its) => unit == its,
        }
    }
}

impl Bay {
    /// What is half typed of the first set-up; `None` where there is none.
    pub(in crate::bay) fn first_run_place(&self) -> Option<FirstRunPlace> {
        let first = &self.editing.first;
        self.is_being_set_up().then(|| FirstRunPlace {
            begun: first.begun,
            at: first.at,
            page: self.editing.page,
            halves: first.halves.clone(),
        })
    }

    /// Takes it in hand again, as far as it fits.
    pub(in crate::bay) fn first_run_resume(&mut self, place: &FirstRunPlace) {
        if !self.is_being_set_up() {
            return;
        }
        let fits =
            |(field, half): &(&Field, &Half)| half.fits(**field, &self.fresh_first_half(**field));
        let halves = place.halves.iter().filter(fits);
        let halves = halves.map(|(field, half)| (*field, half.clone())).collect();
        self.editing.first = FirstRun {
            begun: place.begun,
            at: place.at,
            halves,
        };
        // One that there is not is the last one.
        self.editing.page = place.page.min(MOST_PAGES);
    }
}
