//! Which chemical is in use for a sprayer, and at which strength: an operator's choice of today for
//! that sprayer where it is allowed and newer, else what the shift lead set for the sprayer, else for
//! the bay, else the set-up's.

use crate::bay::action::Effect;
use crate::bay::at_work::Bay;
use crate::bay::records::{DaySetting, Entry, Past, Placed, Scope};
use crate::bay::setup::Setup;
use crate::text;
use crate::trade::chemical::{Chemical, Target};
use crate::trade::days_strength::{Allowed, allowed};
use crate::trade::fill_plan::Part;
use chrono::{DateTime, FixedOffset, NaiveDate};
use std::collections::BTreeMap;

/// A chemical, by id, and what is aimed at with it.
pub(super) type Aim = (String, Target);

/// More than anybody can take back within its time: what is older never stands again.
const MOST: usize = 64;

/// One setting, or the end of one, and what follows from it.
#[derive(Debug, Clone, PartialEq)]
struct Set {
    /// `None` where the setting before it was ended.
    what: Placed<Option<DaySetting>>,
    /// Its chemical at its strength, where that is another than the set-up's.
    chemical: Option<Chemical>,
}

/// The settings of the day. What came later is told by the numbers of the records: clocks go wrong.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Settings {
    /// Oldest first, without those that were taken back: the last of each scope stands.
    set: BTreeMap<Scope, Vec<Set>>,
}

impl Settings {
    /// As the records know them.
    pub fn new(past: &Past) -> Self {
        let mut settings = Self::default();
        for (scope, placed) in &past.day {
            settings.put(
                scope.clone(),
                Placed {
                    entry: placed.entry,
                    at: placed.at,
                    what: Some(placed.what.clone()),
                },
            );
        }
        settings
    }

    /// The shift lead has set, or ended it.
    pub fn put(&mut self, scope: Scope, what: Placed<Option<DaySetting>>) {
        let all = self.set.entry(scope).or_default();
        all.push(Set {
            what,
            chemical: None,
        });
        if all.len() > MOST {
            all.remove(0);
        }
    }

    /// The setting, or end of one, with this number was a mistake. Gives its scope, and whether it was
    /// what stood; `None` where it is not known.
    pub fn take_back(&mut self, entry: Entry) -> Option<(Scope, bool)> {
        self.set.iter_mut().find_map(|(scope, all)| {
            let at = all.iter().position(|set| set.what.entry == entry)?;
            all.remove(at);
            Some((scope.clone(), at == all.len()))
        })
    }

    /// Works out again what follows from the settings by a set-up.
    pub fn follow(&mut self, setup: &Setup) {
        for set in self.set.values_mut().flatten() {
            set.chemical = set.what.what.as_ref().and_then(|setting| {
                let strength = setting.strength?;
                let usual = setup.chemical(&setting.chemical)?;
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

    fn standing(&self, scope: &Scope) -> Option<(&Set, &DaySetting)> {
        let set = self.set.get(scope)?.last()?;
        Some((set, set.what.what.as_ref()?))
    }
}

/// What is in force for a sprayer: the setting with its number, and its chemical at its strength where
/// that is another than the set-up's.
#[derive(Clone, Copy)]
struct InForce<'a> {
    entry: Entry,
    at: DateTime<FixedOffset>,
    setting: &'a DaySetting,
    chemical: Option<&'a Chemical>,
}

impl Bay {
    /// The chemical in use for a sprayer (by id), with the strength in force as its target.
    pub fn chemical_for(&self, sprayer: &str) -> &Chemical {
        self.at_strength_in_force(sprayer, self.used_id(&self.day.settings, sprayer))
    }

    /// The day's chemical of a sprayer (by id), whatever an operator chose, with the strength in force
    /// as its target.
    pub fn days_chemical(&self, sprayer: &str) -> &Chemical {
        self.at_strength_in_force(sprayer, self.days_id(&self.day.settings, sprayer))
    }

    /// A chemical (by id) with the strength that is in force for a sprayer (by id) as its target: the
    /// shift lead's where one is set for it, else the set-up's.
    pub fn at_strength_in_force(&self, sprayer: &str, chemical: &str) -> &Chemical {
        self.strength_set_for(sprayer, chemical)
            .and_then(|set| set.chemical)
            .or_else(|| self.setup.chemical(chemical))
            .unwrap_or(&self.setup.chemicals[0])
    }

    /// The day that the strength in force of a chemical on a sprayer (both by id) was set for, where
    /// it was set for one day only.
    pub fn strength_only_on(&self, sprayer: &str, chemical: &str) -> Option<NaiveDate> {
        let set = self.strength_set_for(sprayer, chemical)?;
        set.setting.today_only.then(|| set.at.date_naive())
    }

    fn strength_set_for(&self, sprayer: &str, chemical: &str) -> Option<InForce<'_>> {
        scopes_of(sprayer)
            .into_iter()
            .filter_map(|scope| self.in_force(&self.day.settings, &scope))
            .find(|set| set.setting.chemical == chemical)
    }

    /// True when the chemical in use is not the day's.
    pub fn chemical_is_chosen(&self) -> bool {
        let sprayer = &self.sprayer().id;
        self.chemical_for(sprayer).id != self.days_chemical(sprayer).id
    }

    /// What the shift lead set for the chemical in use on a sprayer (by id), where that is in force.
    pub fn day_setting_for(&self, sprayer: &str) -> Option<&DaySetting> {
        let used = &self.chemical_for(sprayer).id;
        Some(self.strength_set_for(sprayer, used)?.setting)
    }

    /// What is set for the bay, or for one sprayer alone, where that is in force.
    pub fn day_setting(&self, scope: &Scope) -> Option<&DaySetting> {
        let set = self.in_force(&self.day.settings, scope)?;
        Some(set.setting)
    }

    /// The same, with its number in the records and when it was set.
    pub(in crate::bay) fn day_setting_placed(
        &self,
        scope: &Scope,
    ) -> Option<(Entry, DateTime<FixedOffset>, &DaySetting)> {
        let set = self.in_force(&self.day.settings, scope)?;
        Some((set.entry, set.at, set.setting))
    }

    /// The chemical of the day, by id, that a sprayer (by id) has by these settings.
    pub(super) fn days_id<'a>(&'a self, settings: &'a Settings, sprayer: &str) -> &'a str {
        self.in_force_for(settings, sprayer)
            .map_or(&self.setup.day_chemical, |set| &set.setting.chemical)
    }

    /// The one in use, by id, by these settings.
    pub(super) fn used_id<'a>(&'a self, settings: &'a Settings, sprayer: &str) -> &'a str {
        self.chosen_for(settings, sprayer)
            .unwrap_or_else(|| self.days_id(settings, sprayer))
    }

    /// What a sprayer (by id) goes by, of these settings.
    pub(super) fn goes_by<'a>(
        &'a self,
        settings: &'a Settings,
        sprayer: &str,
    ) -> Option<&'a DaySetting> {
        self.in_force_for(settings, sprayer).map(|set| set.setting)
    }

    fn in_force_for<'a>(&'a self, settings: &'a Settings, sprayer: &str) -> Option<InForce<'a>> {
        let mut scopes = scopes_of(sprayer).into_iter();
        scopes.find_map(|scope| self.in_force(settings, &scope))
    }

    fn in_force<'a>(&'a self, settings: &'a Settings, scope: &Scope) -> Option<InForce<'a>> {
        let (set, setting) = settings.standing(scope)?;
        let chemical = self.setup.chemical(&setting.chemical)?;
        // What is allowed may have been narrowed since: outside of it only what was confirmed.
        let stands = |strength| match allowed(chemical, strength) {
            Allowed::Freely => true,
            outside => outside == setting.allowed,
        };
        let holds = !setting.today_only || self.is_of_today(set.what.at);
        (holds && setting.strength.is_none_or(stands)).then_some(InForce {
            entry: set.what.entry,
            at: set.what.at,
            setting,
            chemical: set.chemical.as_ref(),
        })
    }

    /// An operator's choice of today for the sprayer, where it came after what is set for it.
    ///
    /// A choice that an earlier version kept was for the whole bay, and every sprayer went by it. It is
    /// read as that, until the lead sets the chemical, another is chosen for the sprayer, or the day is
    /// over: giving it to one sprayer would change what the others show by the mere change of version,
    /// and dropping it would change what all of them do.
    fn chosen_for<'a>(&'a self, settings: &Settings, sprayer: &str) -> Option<&'a str> {
        let scopes = scopes_of(sprayer);
        let choices = scopes
            .iter()
            .filter_map(|scope| self.chosen_chemicals.get(scope));
        let chosen = choices.max_by_key(|chosen| chosen.entry)?;
        self.setup.chemical(&chosen.what)?;
        let set = self
            .in_force_for(settings, sprayer)
            .map_or(Entry::MIN, |set| set.entry);
        let stands = self.setup.operators_may_change_chemical && self.is_of_today(chosen.at);
        (stands && set < chosen.entry).then_some(chosen.what.as_str())
    }

    /// A clock that lost its date must not change the chemical under the operator's hands.
    fn is_of_today(&self, at: DateTime<FixedOffset>) -> bool {
        at.date_naive() == self.now.wall.date_naive() || !self.clock_is_plausible()
    }

    // ---- What changes by itself --------------------------------------------------------------

    fn aimed_at(&self, sprayer: &str) -> Aim {
        let chemical = self.chemical_for(sprayer);
        (chemical.id.clone(), chemical.target)
    }

    fn all_aims(&self) -> BTreeMap<String, Aim> {
        let ids = self.setup.sprayers.iter().map(|s| &s.id);
        ids.map(|id| (id.clone(), self.aimed_at(id))).collect()
    }

    /// Takes the chemicals and the strengths for seen. To be called after whatever may have changed
    /// them on purpose, the set-up included.
    pub(in crate::bay) fn day_seen(&mut self) {
        self.day.settings.follow(&self.setup);
        self.day.seen = self.all_aims();
    }

    /// A choice or a setting for a day that is over is no longer the one in use: that must be
    /// noticed. Of a sprayer that is not shown it is said when that is taken in hand.
    pub(in crate::bay) fn see_another_chemical(&mut self) -> Vec<Effect> {
        let aims = self.all_aims();
        let seen = std::mem::replace(&mut self.day.seen, aims);
        let changed = |id: &String| {
            let (before, after) = (seen.get(id)?, self.day.seen.get(id)?);
            (before != after).then(|| (before.clone(), after.clone()))
        };
        let here = changed(&self.sprayer);
        let mut missed = Vec::new();
        for sprayer in self.setup.sprayers.iter().filter(|s| s.id != self.sprayer) {
            // What is said now need not be said again.
            if let Some(there) = changed(&sprayer.id).filter(|there| here.as_ref() != Some(there)) {
                missed.push((sprayer.id.clone(), there.0));
            }
        }
        for (sprayer, before) in missed {
            self.day.missed.entry(sprayer).or_insert(before);
        }
        match here {
            Some((before, _)) => self.tell_another_chemical(&before),
            None => Vec::new(),
        }
    }

    /// What changed of the sprayer shown while another one was.
    pub(in crate::bay) fn see_what_was_missed(&mut self) -> Vec<Effect> {
        match self.day.missed.remove(&self.sprayer) {
            Some(before) => self.tell_another_chemical(&before),
            None => Vec::new(),
        }
    }

    /// The chemical or the strength of the sprayer shown was another before.
    fn tell_another_chemical(&mut self, before: &Aim) -> Vec<Effect> {
        let (seen, seen_target) = before;
        let (id, target) = self.aimed_at(&self.sprayer);
        let name = self.chemical().name.clone();
        let text = match (*seen == id, *seen_target == target) {
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

/// The scopes that a sprayer (by id) goes by, its own first.
fn scopes_of(sprayer: &str) -> [Scope; 2] {
    [Scope::Sprayer(sprayer.into()), Scope::Bay]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::units::Strength;

    fn at(hour: u32) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("2026-03-02T{hour:02}:00:00+01:00")).expect("a date")
    }

    fn set(chemical: &str) -> Option<DaySetting> {
        Some(DaySetting {
            scope: Scope::Bay,
            chemical: chemical.into(),
            strength: Strength::percent(2.0),
            today_only: false,
            allowed: Allowed::Freely,
            beside_never: false,
        })
    }

    fn put(settings: &mut Settings, entry: Entry, what: Option<DaySetting>) {
        let at = at(8);
        settings.put(Scope::Bay, Placed { entry, at, what });
    }

    fn stands(settings: &Settings) -> Option<(Entry, &str)> {
        let (set, setting) = settings.standing(&Scope::Bay)?;
        Some((set.what.entry, setting.chemical.as_str()))
    }

    #[test]
    fn what_was_taken_back_leaves_what_was_before_with_its_number() {
        let mut settings = Settings::default();
        put(&mut settings, 3, set("wax"));
        put(&mut settings, 5, None);
        put(&mut settings, 8, set("film"));
        put(&mut settings, 9, set("acid"));
        assert_eq!(stands(&settings), Some((9, "acid")));
        // One under the newest: the newest stands.
        assert_eq!(settings.take_back(8), Some((Scope::Bay, false)));
        assert_eq!(stands(&settings), Some((9, "acid")));
        assert_eq!(settings.take_back(9), Some((Scope::Bay, true)));
        assert_eq!(stands(&settings), None, "it was ended");
        assert_eq!(settings.take_back(5), Some((Scope::Bay, true)));
        assert_eq!(stands(&settings), Some((3, "wax")));
        assert_eq!(settings.take_back(9), None, "not twice");
    }

    #[test]
    fn settings_do_not_grow_and_the_newest_stay() {
        let mut settings = Settings::default();
        for entry in 0..1000 {
            put(&mut settings, entry, set("film"));
        }
        assert_eq!(settings.set[&Scope::Bay].len(), MOST);
        assert_eq!(stands(&settings), Some((999, "film")));
        assert_eq!(settings.take_back(999), Some((Scope::Bay, true)));
        assert_eq!(stands(&settings), Some((998, "film")));
    }

    #[test]
    fn a_start_knows_them_by_their_numbers_and_dates() {
        let mut past = Past::default();
        let placed = |entry, what: Option<DaySetting>| Placed {
            entry,
            at: at(9),
            what: what.expect("a setting"),
        };
        past.day.insert(Scope::Bay, placed(7, set("film")));
        let settings = Settings::new(&past);
        let (set, setting) = settings.standing(&Scope::Bay).expect("it stands");
        assert_eq!((set.what.entry, set.what.at), (7, at(9)));
        assert_eq!(setting.chemical, "film");
    }
}
