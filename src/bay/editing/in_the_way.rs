//! What is in the way of another set-up, wherever it comes from: an edit at the screen, one by hand, or
//! one that is taken back.

use crate::bay::at_work::Bay;
use crate::bay::setup::Setup;
use crate::text;
use crate::trade::text::Text;

impl Bay {
    /// Why the bay cannot go over to this set-up now, and what to do first; `None` where it can.
    pub(super) fn in_the_way(&self, after: &Setup) -> Option<Text> {
        if after.unfinished.is_some() && !self.is_being_set_up() {
            return Some(text!(
                "It would begin the first set-up anew: take setting_up out of the file first."
            ));
        }
        if self.calibration_hangs_on(after) {
            return Some(text!(
                "A calibration is not finished: save it or throw it away first."
            ));
        }
        // Of a chemical that the set-up does not know nobody can say what must never meet it.
        let mut gone = self
            .setup
            .chemicals
            .iter()
            .filter(|c| after.chemical(&c.id).is_none());
        gone.find_map(|chemical| {
            let sprayer = self.with_it_inside(&chemical.id, after)?;
            Some(text!(
                "{} still has {} in it: rinse it first.",
                &sprayer.name,
                &chemical.name
            ))
        })
    }

    /// True where the calibration in hand would not be of what it began with.
    fn calibration_hangs_on(&self, after: &Setup) -> bool {
        let Some(calibrating) = &self.calibrating else {
            return false;
        };
        let now = &self.setup;
        let id = &calibrating.draft.sprayer;
        let of = |setup: &Setup| {
            let sprayer = setup.sprayer(id)?;
            Some((sprayer.kind, sprayer.nozzle.clone(), sprayer.washer.clone()))
        };
        // One more measure is no harm.
        let measured_anew = now.measures.iter().any(|m| {
            let then = after.measures.iter().find(|other| other.id == m.id);
            then.is_none_or(|then| (then.size, then.graduation) != (m.size, m.graduation))
        });
        of(now) != of(after)
            || measured_anew
            || (now.entry_units, now.balance_step_kg) != (after.entry_units, after.balance_step_kg)
    }
}
