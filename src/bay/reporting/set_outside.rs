//! Strengths that the shift lead set outside of what is allowed: who looks at what happened must see
//! them there.

use super::dated::Dated;
use super::totals::{Span, Whose, chemical_name, sprayer_name};
use crate::bay::records::{DaySetting, Happening, Scope};
use crate::bay::setup::Setup;
use crate::trade::days_strength::Allowed;
use crate::trade::units::Strength;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// A strength that the shift lead set outside of what is allowed.
#[derive(Debug, Clone, PartialEq)]
pub struct SetOutside {
    /// For the sprayer of this name; `None` for the whole bay.
    pub sprayer: Option<String>,
    /// Of the chemical of this name.
    pub chemical: String,
    /// On the vehicle.
    pub strength: Strength,
    /// How it is outside.
    pub allowed: Allowed,
    /// The day on which it was set, where it is known.
    pub day: Option<NaiveDate>,
}

impl SetOutside {
    /// A setting that is outside, and is of what the report is of; `None` for any other.
    pub fn of(
        setting: &DaySetting,
        day: Option<NaiveDate>,
        setup: &Setup,
        whose: &Whose,
    ) -> Option<Self> {
        let sprayer = match &setting.scope {
            Scope::Bay => None,
            Scope::Sprayer(id) => Some(id.as_str()),
        };
        let is_of_it = sprayer.is_none_or(|id| whose.takes_sprayer(id))
            && whose.takes_chemical(&setting.chemical);
        (setting.allowed != Allowed::Freely && is_of_it).then_some(Self {
            sprayer: sprayer.map(|id| sprayer_name(setup, id)),
            chemical: chemical_name(setup, &setting.chemical),
            strength: setting.strength?,
            allowed: setting.allowed,
            day,
        })
    }
}

/// Those that were set in a time or held when it began, newest first. `days` are [`Span::days`].
pub fn set_outside(
    log: &[Dated],
    setup: &Setup,
    (span, days): (Span, &[NaiveDate]),
    whose: &Whose,
) -> Vec<SetOutside> {
    // What was set before it and not set anew since.
    let mut before: BTreeMap<&Scope, SetOutside> = BTreeMap::new();
    let mut during = Vec::new();
    for dated in log {
        let Happening::DaySet { scope, setting } = &dated.logged.what else {
            continue;
        };
        let outside = setting
            .as_ref()
            .and_then(|setting| SetOutside::of(setting, dated.day, setup, whose));
        if span.holds(days, dated.day) {
            during.extend(outside);
            continue;
        }
        let lasts = setting.as_ref().is_some_and(|set| !set.today_only);
        match outside.filter(|_| lasts) {
            Some(outside) => before.insert(scope, outside),
            None => before.remove(scope),
        };
    }
    let mut all: Vec<SetOutside> = before.into_values().chain(during).collect();
    all.reverse();
    all
}
