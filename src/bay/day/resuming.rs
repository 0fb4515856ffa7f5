//! Which sprayer was to be rinsed, for a program that starts anew.

use crate::bay::at_work::Bay;
use serde::{Deserialize, Serialize};

/// The sprayer that is to be rinsed, and the chemical that is to come, both by id.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bay) struct RinseOf {
    sprayer: String,
    coming: Option<String>,
}

impl Bay {
    /// What the rinse page is about.
    pub(in crate::bay) fn rinse_place(&self) -> Option<RinseOf> {
        let (sprayer, coming) = self.day.rinse.clone()?;
        Some(RinseOf { sprayer, coming })
    }

    /// Shows it again, on the rinse page; false where the sprayer or the chemical is not there any more.
    pub(in crate::bay) fn rinse_resume(&mut self, place: &RinseOf) -> bool {
        let RinseOf { sprayer, coming } = place.clone();
        let is_there = self.setup.sprayer(&sprayer).is_some();
        let comes = coming.as_deref();
        let comes = comes.is_none_or(|coming| self.setup.chemical(coming).is_some());
        if is_there && comes {
            self.open_rinse(sprayer, coming);
        }
        is_there && comes
    }
}
