//! Which chemical is in use for a sprayer, and at which strength: an operator's choice of today where
//! it is allowed and newer, else what the shift lead set for the sprayer, else for the bay, else the
//! set-up's.

use crate::bay::action::Effect;
use crate::bay::at_work::Bay;
use crate::bay::records::{DaySetting, Past, Scope};
use crate::bay::setup::Setup;
use crate::text;
use crate::trade::chemical::{Chemical, Target};
use crate::trade::days_strength::{Allowed, allowed};
use crate::trade::fill_plan::Part;
use chrono::{DateTime, FixedOffset, NaiveDate};
use std::collections::BTreeMap;

/// One setting, and what follows from it.
#[derive(Debug, Clone, PartialEq)]
struct Set {
    setting: DaySetting,
    at: DateTime<FixedOffset>,
    /// Which came later, a setting or a choice: clocks may stand, and go wrong.
    order: u64,
    /// Its chemical at its strength, where that is another than the set-up's.
    chemical: Option<Chemical>,
}

/// The settings of the day.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Settings {
    set: BTreeMap<Scope, Set>,
    order: u64,
    /// That of the operator's choice.
    chosen: u64,
}

impl Settings {
    /// As the records know them.
    pub fn new(past: &Past) -> Self {
        let mut by_time: Vec<_> = past.day.values().cloned().collect();
        by_time.sort_by_key(|(_, at)| *at);
        let mut settings = Self::default();
        let mut chosen = past.chosen_chemical.as_ref().map(|(_, at)| *at);
        for (setting, at) in by_time {
            if chosen.is_some_and(|chosen| chosen < at) {
                settings.was_chosen();
                chosen = None;
            }
            let scope = setting.scope.clone();
            settings.put(scope, Some(setting), at);
        }
        if chosen.is_some() {
            settings.was_chosen();
        }
        settings
    }

    /// An operator has chosen.
    pub fn was_chosen(&mut self) {
        self.order += 1;
        self.chosen = self.order;
    }

    /// The shift lead has set, or ended it.
    pub fn put(&mut self, scope: Scope, setting: Option<DaySetting>, at: DateTime<FixedOffset>) {
        self.order += 1;
        match setting {
            Some(setting) => {
                let set = Set {
                    setting,
                    at,
                    order: self.order,
                    chemical: None,
                };
                self.set.insert(scope, set);
            }
            None => {
                self.set.remove(&scope);
            }
        }
    }

    /// Works out again what follows from the settings by a set-up.
    pub fn follow(&mut self, setup: &Setup) {
        for set in self.set.values_mut() {
            set.chemical = set.setting.strength.and_then(|strength| {
                let usual = setup.chemical(&set.setting.chemical)?;
                Some(Chemical {
                    target: Target::OnVehicle(strength),
                    // Outside of it, confirmed: what is poured is held against that strength, not
                    // against a band that it is not meant to be in.
                    band: usual.band.filter(|band| band.holds(strength)),
                    ..usual.clone()
                })
            });
        }
    }
}

impl Bay {
    /// The chemical in use for a sprayer (by id), with the strength in force as its target.
    pub fn chemical_for(&self, sprayer: &str) -> &Chemical {
        let id = self.chosen_for(sprayer);
        match id {
            Some(id) => self.at_strength_in_force(sprayer, id),
            None => self.days_chemical(sprayer),
        }
    }

    /// The day's chemical of a sprayer (by id), whatever an operator chose, with the strength in force
    /// as its target.
    pub fn days_chemical(&self, sprayer: &str) -> &Chemical {
        let set = self.in_force_for(sprayer);
        let id = set.map_or(&self.setup.day_chemical, |set| &set.setting.chemical);
        self.at_strength_in_force(sprayer, id)
    }

    /// A chemical (by id) with the strength that is in force for a sprayer (by id) as its target: the
    /// shift lead's where one is set for it, else the set-up's.
    pub fn at_strength_in_force(&self, sprayer: &str, chemical: &str) -> &Chemical {
        self.set_of(sprayer, chemical)
            .and_then(|set| set.chemical.as_ref())
            .or_else(|| self.setup.chemical(chemical))
            .unwrap_or(&self.setup.chemicals[0])
    }

    /// The day that the strength in force of a chemical on a sprayer (both by id) was set for, where
    /// it was set for one day only.
    pub fn strength_only_on(&self, sprayer: &str, chemical: &str) -> Option<NaiveDate> {
        let set = self.set_of(sprayer, chemical)?;
        set.setting.today_only.then(|| set.at.date_naive())
    }

    fn set_of(&self, sprayer: &str, chemical: &str) -> Option<&Set> {
        self.scopes_of(sprayer)
            .into_iter()
            .filter_map(|scope| self.in_force(&scope))
            .find(|set| set.setting.chemical == chemical)
    }

    /// True when the chemical in use is not the day's.
    pub fn chemical_is_chosen(&self) -> bool {
        let sprayer = &self.sprayer().id;
        self.chemical_for(sprayer).id != self.days_chemical(sprayer).id
    }

    /// What the shift lead set for the chemical in use on a sprayer (by id), where that is in force.
    pub fn day_setting_for(&self, sprayer: &str) -> Option<&DaySetting> {
        let set = self.in_force_for(sprayer)?;
        (set.setting.chemical == self.chemical_for(sprayer).id).then_some(&set.setting)
    }

    /// What is set for the bay, or for one sprayer alone, where that is in force.
    pub fn day_setting(&self, scope: &Scope) -> Option<&DaySetting> {
        self.in_force(scope).map(|set| &set.setting)
    }

    fn scopes_of(&self, sprayer: &str) -> [Scope; 2] {
        [Scope::Sprayer(sprayer.into()), Scope::Bay]
    }

    fn in_force_for(&self, sprayer: &str) -> Option<&Set> {
        let mut scopes = self.scopes_of(sprayer).into_iter();
        scopes.find_map(|scope| self.in_force(&scope))
    }

    fn in_force(&self, scope: &Scope) -> Option<&Set> {
        let set = self.day.settings.set.get(scope)?;
        let setting = &set.setting;
        // A clock that lost its date must not change the chemical under the operator's hands.
        let today = set.at.date_naive() == self.now.wall.date_naive() || !self.clock_is_plausible();
        let chemical = self.setup.chemical(&setting.chemical)?;
        // The band may have been narrowed since: above it only what was confirmed.
        let above = |strength| allowed(chemical, strength) == Allowed::TooStrong;
        let confirmed = setting.above_band || !setting.strength.is_some_and(above);
        ((today || !setting.today_only) && confirmed).then_some(set)
    }

    /// An operator's choice of today, where it came after what is set for the sprayer.
    fn chosen_for(&self, sprayer: &str) -> Option<&str> {
        let chosen = self.chosen_today()?;
        self.setup.chemical(chosen)?;
        let set = self.in_force_for(sprayer).map(|set| set.order);
        set.is_none_or(|set| set < self.day.settings.chosen)
            .then_some(chosen)
    }

    fn chosen_today(&self) -> Option<&str> {
        let (id, at) = self.chosen_chemical.as_ref()?;
        // A clock that lost its date must not change the chemical under the operator's hands.
        let today = at.date_naive() == self.now.wall.date_naive() || !self.clock_is_plausible();
        (self.setup.operators_may_change_chemical && today).then_some(id.as_str())
    }

    // ---- What changes by itself --------------------------------------------------------------

    fn aimed_at(&self) -> (String, Target) {
        let chemical = self.chemical();
        (chemical.id.clone(), chemical.target)
    }

    /// Takes the chemical and the strength shown for seen. To be called after whatever may have
    /// changed them on purpose, the set-up included.
    pub(in crate::bay) fn day_seen(&mut self) {
        self.day.settings.follow(&self.setup);
        self.day.seen = Some(self.aimed_at());
    }

    /// A choice or a setting for a day that is over is no longer the one in use: that must be
    /// noticed.
    pub(in crate::bay) fn see_another_chemical(&mut self) -> Vec<Effect> {
        let (id, target) = self.aimed_at();
        let Some((seen, seen_target)) = self.day.seen.replace((id.clone(), target)) else {
            return Vec::new();
        };
        let name = self.chemical().name.clone();
        let text = match (seen == id, seen_target == target) {
            (true, true) => return Vec::new(),
            (true, false) => match target {
                Target::OnVehicle(strength) => text!(
                    "A new day: {} is at {} again. Look at the figure.",
                    &name,
                    strength.shown()
                ),
                Target::Bottle(_) => {
                    text!(
                        "A new day: {} is as in the set-up again. Look at the figure.",
                        &name
                    )
                }
            },
            (false, _) => text!("A new day: the chemical is {} again. Rinse first.", &name),
        };
        self.void_allowed = None;
        self.part = Part::Full;
        self.refuse(text)
    }
}
