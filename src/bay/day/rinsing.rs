//! Rinsing between chemicals: as long as another one is in a sprayer, it has no figure.

use crate::bay::action::{Effect, Page, Undo};
use crate::bay::at_work::Bay;
use crate::bay::records::{Entry, Happening};
use crate::bay::setup::Setup;
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::chemical::Chemical;
use crate::trade::never_mix::{Reason, never_mix};
use crate::trade::sprayer::Sprayer;

/// A sprayer that must be rinsed before a chemical goes in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RinseFirst {
    /// The name of what is in it; its id where the set-up does not know it any more.
    pub was: String,
    /// Why the two must never meet, where they must not.
    pub never: Option<Reason>,
}

impl Bay {
    /// What must be rinsed out of a sprayer (by id) before `chemical` goes in; `None` where nothing
    /// else is known to be in it.
    pub fn rinse_first(&self, sprayer: &str, chemical: &Chemical) -> Option<RinseFirst> {
        let was = self
            .day
            .inside
            .of(sprayer)
            .filter(|was| *was != chemical.id)?;
        let known = self.setup.chemical(&was);
        Some(RinseFirst {
            was: known.map_or(&was, |known| &known.name).to_owned(),
            never: match known {
                Some(known) => never_mix(known, chemical),
                None => Some(Reason::Unknown),
            },
        })
    }

    /// The first sprayer of a set-up that is known to have a chemical (by id) in it.
    pub(in crate::bay) fn with_it_inside<'s>(
        &self,
        chemical: &str,
        setup: &'s Setup,
    ) -> Option<&'s Sprayer> {
        let mut sprayers = setup.sprayers.iter();
        sprayers.find(|sprayer| self.day.inside.of(&sprayer.id).as_deref() == Some(chemical))
    }

    /// The sprayer (by id) that the rinse page is about: the one shown, unless another one was asked
    /// for.
    pub fn rinse_of(&self) -> &str {
        let asked = self.day.rinse.as_ref().map(|(sprayer, _)| sprayer);
        let known = asked.filter(|sprayer| self.setup.sprayer(sprayer).is_some());
        known.map_or(&self.sprayer().id, |sprayer| sprayer)
    }

    /// What is to be rinsed out of it, by name, and why the one that is to come must never meet it.
    pub fn rinse_page(&self) -> Option<RinseFirst> {
        let sprayer = self.rinse_of();
        let coming = match &self.day.rinse {
            Some((of, Some(coming))) if of == sprayer => self.setup.chemical(coming),
            _ => None,
        };
        let coming = coming.unwrap_or_else(|| self.chemical_for(sprayer));
        self.rinse_first(sprayer, coming).or_else(|| {
            // Rinsed early: what is in it is what is in use.
            let was = self.day.inside.of(sprayer)?;
            let known = self.setup.chemical(&was);
            Some(RinseFirst {
                was: known.map_or(&was, |known| &known.name).to_owned(),
                never: None,
            })
        })
    }

    /// The first of these sprayers (by id) that has something in it that must never meet `chemical`,
    /// what that is, and why.
    pub(super) fn kept_apart<'a>(
        &self,
        sprayers: impl IntoIterator<Item = &'a str>,
        chemical: &str,
    ) -> Option<(String, RinseFirst)> {
        let chemical = self.setup.chemical(chemical)?;
        sprayers.into_iter().find_map(|sprayer| {
            let first = self.rinse_first(sprayer, chemical)?;
            first.never.is_some().then(|| (sprayer.to_owned(), first))
        })
    }

    /// Refuses a chemical for what is in one of these sprayers, and opens the way out of it; `None`
    /// where nothing is against it.
    pub(in crate::bay) fn refuse_never<'a>(
        &mut self,
        sprayers: impl IntoIterator<Item = &'a str>,
        chemical: &str,
    ) -> Option<Vec<Effect>> {
        let (sprayer, first) = self.kept_apart(sprayers, chemical)?;
        let reason = first.never?;
        let coming = self.setup.chemical(chemical)?.name.clone();
        let name = self.setup.sprayer(&sprayer)?.name.clone();
        self.open_rinse(sprayer, Some(chemical.to_owned()));
        Some(self.refuse(text!(
            "{} still has {} in it: no {}. {}",
            name,
            first.was,
            coming,
            reason.words()
        )))
    }

    /// Opens the rinse page for a sprayer (by id), with the chemical (by id) that is to come.
    pub(super) fn open_rinse(&mut self, sprayer: String, coming: Option<String>) {
        if self.page != Page::Rinse {
            self.day.rinse_from = match self.page {
                Page::Day => Page::Day,
                _ => Page::Fill,
            };
        }
        self.day.rinse = Some((sprayer, coming));
        self.turn_to(Page::Rinse);
    }

    /// Back to where the rinse page was opened.
    pub(super) fn leave_rinse(&mut self) {
        self.day.rinse = None;
        let from = std::mem::take(&mut self.day.rinse_from);
        // The shift lead's side may have closed meanwhile.
        let from = match from {
            Page::Day if !self.lead_is_in() => Page::Fill,
            from => from,
        };
        self.turn_to(from);
    }

    /// It was emptied and rinsed.
    pub(super) fn rinsed(&mut self) -> Vec<Effect> {
        let sprayer = match self.page {
            Page::Rinse => self.rinse_of().to_owned(),
            _ => self.sprayer().id.clone(),
        };
        if self.day.inside.of(&sprayer).is_none() {
            return self.refuse("Nothing is known to be in it.");
        }
        let here = self.page == Page::Rinse;
        let never = self
            .rinse_first(&sprayer, self.chemical_for(&sprayer))
            .is_some_and(|first| first.never.is_some());
        if never && !here {
            // The reason must have been in sight.
            self.open_rinse(sprayer, None);
            return Vec::new();
        }
        let happening = Happening::Rinsed {
            sprayer: sprayer.clone(),
        };
        match self.keep(happening) {
            Ok(entry) => {
                let known = self.setup.sprayer(&sprayer).cloned();
                let known = known.unwrap_or_else(|| self.sprayer().clone());
                let coming = self
                    .day
                    .rinse
                    .as_ref()
                    .and_then(|(_, coming)| coming.clone());
                if here {
                    self.leave_rinse();
                }
                // What was asked for is what it was rinsed for.
                let coming =
                    coming.filter(|_| here && self.page == Page::Fill && sprayer == self.sprayer);
                let mut effects = coming.map_or_else(Vec::new, |id| self.choose_chemical(&id));
                let text = text!("{} is rinsed", &known.name);
                self.notify(text, Some(Undo::Rinse { entry }));
                effects.extend(self.speak(Announcement::rinsed(&known)));
                effects
            }
            Err(fault) => self.not_kept("The rinse was not kept", &fault),
        }
    }

    /// The figure waits for a rinse again.
    pub(in crate::bay) fn rinse_undone(&mut self, entry: Entry) -> Vec<Effect> {
        match self.keep(Happening::RinseUndone(entry)) {
            Ok(_) => {
                self.notices.pop();
                self.notify("Rinse taken back", None);
                self.speak(Announcement::rinse_undone())
            }
            Err(fault) => self.not_kept("The rinse was not taken back", &fault),
        }
    }

    /// Takes in what was kept, as far as it is about what is in a sprayer.
    pub(in crate::bay) fn day_keeps(&mut self, entry: Entry, what: &Happening) {
        self.day.inside.kept(entry, self.now.wall, what);
    }

    /// The chemical, by id, that a sprayer (by id) was filled with last and that was not rinsed out of
    /// it since.
    pub fn is_in(&self, sprayer: &str) -> Option<String> {
        self.day.inside.of(sprayer)
    }

    /// True where nothing is left of the mix that was in a sprayer (by id): a calibration was saved
    /// since.
    pub(in crate::bay) fn is_run_out(&self, sprayer: &str) -> bool {
        self.day.inside.is_run_out(sprayer)
    }
}
