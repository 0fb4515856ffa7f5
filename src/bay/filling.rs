//! Home: choosing, saying and logging a fill, counting a wash, taking either back.

use super::action::{Action, Effect, Page, Undo};
use super::at_work::Bay;
use super::offer::Offer;
use super::records::{Fill, FillHow, Happening, Placed, Scope};
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::fill_plan::Part;
use crate::trade::reminder::Standing;
use std::time::Duration;

/// How long a void figure stays in use where nobody logs the fill.
const VOID_ALLOWED: Duration = Duration::from_secs(10 * 60);

impl Bay {
    pub(super) fn choose_sprayer(&mut self, id: &str) -> Vec<Effect> {
        if self.setup.sprayer(id).is_none() {
            return Vec::new();
        }
        if self.sprayer != id {
            // What was said of another sprayer goes; what can be taken back names it.
            self.drop_words();
            let name = self.sprayer().name.clone();
            for notice in &mut self.notices {
                notice.name_its_sprayer(&name);
            }
            self.sprayer = id.into();
            self.void_allowed = None;
            self.forget_said();
            // Not worth stopping for: the choice is only remembered for the next start.
            let _ = self.keep(Happening::SprayerChosen(id.into()));
        }
        self.part = Part::Full;
        self.page = Page::Fill;
        let mut effects = vec![Effect::Hush];
        effects.extend(self.see_what_was_missed());
        effects
    }

    /// The sprayer, and the chemical of the one before it: who comes because that one does not reach
    /// the strength wants no other.
    pub(super) fn choose_sprayer_for(&mut self, id: &str) -> Vec<Effect> {
        let chemical = self.chemical().id.clone();
        let mut effects = self.choose_sprayer(id);
        if self.sprayer == id && self.chemical().id != chemical {
            effects.extend(self.choose_chemical(&chemical));
        }
        effects
    }

    pub(super) fn next_sprayer(&mut self) -> Vec<Effect> {
        if self.page != Page::Fill {
            return Vec::new();
        }
        let ids: Vec<_> = self.setup.sprayers.iter().map(|s| s.id.clone()).collect();
        let at = ids.iter().position(|id| *id == self.sprayer).unwrap_or(0);
        self.choose_sprayer(&ids[(at + 1) % ids.len()])
    }

    pub(super) fn choose_chemical(&mut self, id: &str) -> Vec<Effect> {
        if !self.setup.operators_may_change_chemical {
            return self.refuse_chemical();
        }
        if self.setup.chemical(id).is_none() {
            return Vec::new();
        }
        if self.chemical().id != id {
            if let Some(refused) = self.refuse_choice(id) {
                return refused;
            }
            let scope = Scope::Sprayer(self.sprayer.clone());
            let happening = Happening::ChemicalChosen {
                scope: scope.clone(),
                chemical: id.into(),
            };
            match self.keep(happening) {
                Ok(entry) => {
                    let chosen = Placed {
                        entry,
                        at: self.now.wall,
                        what: id.into(),
                    };
                    self.chosen_chemicals.insert(scope, chosen);
                }
                Err(fault) => return self.not_kept("The chemical was not changed", &fault),
            }
            self.void_allowed = None;
            self.part = Part::Full;
            if matches!(self.offer(), Offer::Rinse(_)) {
                self.advise(text!("Rinse first. Never mix chemicals."));
            }
        }
        self.page = Page::Fill;
        vec![Effect::Hush]
    }

    /// Refuses what must never meet what is in any sprayer of the bay, or what another one has: an
    /// operator cannot confirm that. The day's own for the sprayer is the shift lead's word: back to it
    /// stands only what is in the sprayer itself. `None` where nothing is against it.
    fn refuse_choice(&mut self, id: &str) -> Option<Vec<Effect>> {
        let own = self.sprayer.clone();
        if self.days_chemical(&own).id == id {
            return self.refuse_never([own.as_str()], id);
        }
        let all: Vec<String> = self.setup.sprayers.iter().map(|s| s.id.clone()).collect();
        self.refuse_never(all.iter().map(String::as_str), id)
            .or_else(|| self.refuse_choice_beside(&own, id))
    }

    pub(super) fn filled(&mut self) -> Vec<Effect> {
        let plan = match self.offer() {
            Offer::Fill(plan) => plan,
            Offer::Rinse(_) => return self.refuse("Rinse it first: another chemical is in it."),
            _ => return self.refuse("There is no figure to fill by."),
        };
        let first = self.day_is_news();
        let fill = Fill {
            sprayer: self.sprayer.clone(),
            chemical: self.chemical().id.clone(),
            fill: plan.fill,
            poured: plan.pour.dose.product,
            water: plan.pour.dose.water,
            strength: plan.pour.strength,
            standing: self.standing(self.sprayer()).word().into(),
            how: FillHow::Fresh,
        };
        match self.keep(Happening::Fill(fill)) {
            Ok(entry) => {
                let said = match first {
                    true => {
                        self.day_is_told();
                        self.after_the_days(self.spoken_filled())
                    }
                    false => self.spoken_filled(),
                };
                self.void_allowed = None;
                // The next one at the screen takes a whole fill for granted.
                self.part = Part::Full;
                let poured = plan.pour.product_shown();
                let text = match &self.sprayer().dial {
                    Some(dial) => text!("{} logged. Dial: {}", poured, dial),
                    None => text!("{} logged", poured),
                };
                self.notify(text, Some(Undo::Fill(entry)));
                self.speak(said)
            }
            Err(fault) => self.not_kept_yet(Action::Filled, "The fill was not logged", &fault),
        }
    }

    /// What was washed with, by id: what is in the sprayer, as long as it waits for its rinse.
    fn washed_with(&self) -> String {
        self.is_in(&self.sprayer)
            .unwrap_or_else(|| self.chemical().id.clone())
    }

    pub(super) fn wash_done(&mut self) -> Vec<Effect> {
        let sprayer = self.sprayer.clone();
        let happening = Happening::Wash {
            sprayer: sprayer.clone(),
            chemical: self.washed_with(),
        };
        let before = self.standing(self.sprayer());
        match self.keep(happening) {
            Ok(entry) => {
                let known = self.known(&sprayer);
                known.washes_since += 1;
                let counted = match known.washes_since {
                    1 => text!("1 wash counted"),
                    washes => text!("{} washes counted", washes),
                };
                self.void_allowed = None;
                self.notify(counted, Some(Undo::Wash { entry, sprayer }));
                let after = self.standing(self.sprayer());
                // Only a change is worth words: every wash already clicks and shows.
                match after != before && after.nags() {
                    true => self.speak(self.spoken_standing()),
                    false => Vec::new(),
                }
            }
            Err(fault) => self.not_kept_yet(Action::WashDone, "The wash was not counted", &fault),
        }
    }

    pub(super) fn undo(&mut self) -> Vec<Effect> {
        // What is shown, and nothing under it: what is taken back must be seen.
        let Some(undo) = self.notice().and_then(|n| n.undo.clone()) else {
            return Vec::new();
        };
        let (happening, wash_of, done, said, failed) = match undo {
            Undo::Correction {
                sprayer,
                chemical,
                before,
            } => {
                self.notices.pop();
                let effects = self.correct(&sprayer, &chemical, before);
                if effects.is_empty() {
                    self.notify("The dose is as it was before", None);
                }
                return effects;
            }
            Undo::Setup(change) => return self.undo_setup(&change),
            Undo::Calibration { entry, draft } => return self.calibration_undone(entry, *draft),
            Undo::Rinse { entry } => return self.rinse_undone(entry),
            Undo::Day { entry } => return self.undo_day(entry),
            Undo::Stock(entry) => return self.undo_stock(entry),
            Undo::Wash { entry, sprayer } => (
                Happening::WashUndone(entry),
                Some(sprayer),
                text!("Wash taken back"),
                Announcement::wash_undone(),
                text!("The wash was not taken back"),
            ),
            Undo::Fill(entry) => (
                Happening::FillUndone(entry),
                None,
                text!("Fill taken back"),
                Announcement::fill_undone(),
                text!("The fill was not taken back"),
            ),
        };
        match self.keep(happening) {
            Ok(_) => {
                self.notices.pop();
                // A calibration may have come between: only the records know since when it counts.
                if let Some(sprayer) = wash_of {
                    self.know_anew(&sprayer);
                }
                self.notify(done, None);
                self.speak(said)
            }
            Err(fault) => self.not_kept(failed, &fault),
        }
    }

    pub(super) fn use_void_once(&mut self) -> Vec<Effect> {
        if matches!(self.standing(self.sprayer()), Standing::Void(_)) {
            self.void_allowed = Some(self.now.monotonic + VOID_ALLOWED);
        }
        self.show(Page::Fill)
    }
}
