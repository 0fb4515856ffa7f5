//! What must never meet, side by side: one chemical for a sprayer, and another for, or in, another
//! sprayer of the same bay. Each sprayer by itself is kept apart by rinsing; the bay has one air and
//! one drain.

use super::in_force::Settings;
use crate::bay::action::Effect;
use crate::bay::at_work::Bay;
use crate::bay::records::Scope;
use crate::text;
use crate::trade::never_mix::{Reason, never_mix};
use crate::trade::sprayer::Sprayer;

/// A sprayer's chemical beside that of another sprayer, which it must never meet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Beside {
    /// The sprayer, by name.
    pub sprayer: String,
    /// Its chemical, by name.
    pub chemical: String,
    /// The other sprayer, by name.
    pub other: String,
    /// What that has, by name.
    pub has: String,
    /// Why the two must never meet.
    pub reason: Reason,
}

impl Bay {
    /// What another sprayer has, in use or in it, that must never meet what a sprayer (by id) has;
    /// `None` where nothing is known against them.
    pub fn beside_never(&self, sprayer: &str) -> Option<Beside> {
        let own = self.setup.sprayer(sprayer)?;
        let has = |of: &'_ Sprayer| [Some(self.chemical_for(&of.id).id.clone()), self.inside(of)];
        self.beside_of(own, &has(own), has)
    }

    /// What a scope's sprayers would have, by other settings, beside what must never meet it; only
    /// what those settings bring and nobody confirmed, where `only_new`.
    pub(super) fn brings_beside(
        &self,
        then: &Settings,
        scope: &Scope,
        only_new: bool,
    ) -> Option<Beside> {
        // The day's own comes back when an operator's choice ends.
        let to_come = |settings: &Settings, sprayer: &str| {
            [
                self.used_id(settings, sprayer),
                self.days_id(settings, sprayer),
            ]
            .map(|id| Some(id.to_owned()))
        };
        self.concerned(scope).iter().find_map(|id| {
            let own = to_come(then, id);
            let confirmed = self.goes_by(then, id).is_some_and(|set| set.beside_never);
            if only_new && (confirmed || own == to_come(&self.day.settings, id)) {
                return None;
            }
            self.beside_of(self.setup.sprayer(id)?, &own, |of| {
                let [used, days] = to_come(then, &of.id);
                [used, days, self.inside(of)]
            })
        })
    }

    fn inside(&self, sprayer: &Sprayer) -> Option<String> {
        self.day.inside.of(&sprayer.id)
    }

    /// What another sprayer has, by id, that must never meet one of those that `own` has.
    fn beside_of<const N: usize>(
        &self,
        own: &Sprayer,
        own_has: &[Option<String>],
        has: impl Fn(&Sprayer) -> [Option<String>; N],
    ) -> Option<Beside> {
        let known = |id: &Option<String>| self.setup.chemical(id.as_deref()?);
        let others = self.setup.sprayers.iter().filter(|of| of.id != own.id);
        others.into_iter().find_map(|other| {
            let others_has = has(other);
            let others_has = others_has.iter().filter_map(known);
            let mut pairs =
                others_has.flat_map(|b| own_has.iter().filter_map(known).map(move |a| (a, b)));
            pairs.find_map(|(a, b)| {
                Some(Beside {
                    sprayer: own.name.clone(),
                    chemical: a.name.clone(),
                    other: other.name.clone(),
                    has: b.name.clone(),
                    reason: never_mix(a, b)?,
                })
            })
        })
    }

    /// What another sprayer has or gets that must never meet a chemical (by id) in a sprayer (by id).
    pub fn chosen_beside(&self, sprayer: &str, chemical: &str) -> Option<Beside> {
        let own = self.setup.sprayer(sprayer)?;
        self.beside_of(own, &[Some(chemical.to_owned())], |of| {
            let used = self.chemical_for(&of.id).id.clone();
            let days = self.days_chemical(&of.id).id.clone();
            [Some(used), Some(days), self.inside(of)]
        })
    }

    /// Refuses an operator's choice of a chemical (by id) for a sprayer (by id) that must never meet what
    /// another one has, or has again when a choice ends: only the shift lead can confirm that. `None`
    /// where nothing is known against it.
    pub(in crate::bay) fn refuse_choice_beside(
        &mut self,
        sprayer: &str,
        chemical: &str,
    ) -> Option<Vec<Effect>> {
        let beside = self.chosen_beside(sprayer, chemical)?;
        Some(self.refuse(text!(
            "{} has or gets {}: no {} beside it. {} Ask the shift lead.",
            beside.other,
            beside.has,
            beside.chemical,
            beside.reason.words()
        )))
    }

    /// Ending or taking back brings nothing together that was not confirmed: it can be set, which asks.
    pub(super) fn refuse_beside(&mut self, then: &Settings, scope: &Scope) -> Option<Vec<Effect>> {
        let beside = self.brings_beside(then, scope, true)?;
        Some(self.refuse(text!(
            "{}: {} beside {} in {}. Set it instead: that asks first.",
            beside.sprayer,
            beside.chemical,
            beside.has,
            beside.other
        )))
    }
}
