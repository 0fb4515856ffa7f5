//! Setting the day's chemical and its strength, by the shift lead.

use super::DayAction;
use super::beside::Beside;
use super::in_force::Settings;
use crate::bay::action::{Effect, Page, Undo};
use crate::bay::at_work::Bay;
use crate::bay::ports::Tone;
use crate::bay::records::{DaySetting, Entry, Happening, Placed, Scope};
use crate::bay::typed::Typed;
use crate::text;
use crate::trade::chemical::Chemical;
use crate::trade::days_strength::{self, Allowed, allowed, cost_per_vehicle, usual};
use crate::trade::fill_plan::Part;
use crate::trade::text::Text;
use crate::trade::units::Strength;

/// Which page of it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayStage {
    /// For which sprayers, and how it stands.
    Scopes,
    /// What is set: chemical, strength, how long.
    Strength,
    /// Choose the chemical.
    Chemicals,
    /// Type the strength.
    Typing,
    /// What would come of its strength, and whether that is meant.
    Confirm,
    /// What it must never meet is in another sprayer, and whether that is meant.
    Beside,
}

/// A setting in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct DayDraft {
    /// For which sprayers.
    pub scope: Scope,
    /// Which chemical, by id.
    pub chemical: String,
    /// At which strength on the vehicle; `None` for the set-up's.
    pub strength: Option<Strength>,
    /// True for today, false for until it is changed.
    pub today_only: bool,
}

/// What would come of a strength that the set-up does not allow freely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Consequence {
    /// Too weak or too strong.
    pub allowed: Allowed,
    /// The strength in question.
    pub strength: Strength,
    /// The set-up's.
    pub usual: Strength,
    /// What one vehicle costs usually, and with it, in the bay's currency; where the set-up has a
    /// price and what a vehicle takes.
    pub cost: Option<(f64, f64)>,
}

impl Consequence {
    /// So many times the usual product.
    pub fn times(&self) -> f64 {
        self.strength.as_fraction() / self.usual.as_fraction()
    }
}

impl Bay {
    /// Which page of the setting is shown.
    pub fn day_stage(&self) -> DayStage {
        match self.day.draft {
            Some(_) => self.day.stage,
            None => DayStage::Scopes,
        }
    }
    /// The setting in hand.
    pub fn day_draft(&self) -> Option<&DayDraft> {
        self.day.draft.as_ref()
    }
    /// The strength being typed, in percent.
    pub fn day_typed(&self) -> &Typed {
        &self.day.typed
    }
    /// The strength of the setting in hand; `None` where it goes by the bottle's ratio.
    pub fn day_aim(&self) -> Option<Strength> {
        let draft = self.day.draft.as_ref()?;
        let chemical = self.setup.chemical(&draft.chemical)?;
        draft.strength.or_else(|| usual(chemical))
    }
    /// What would come of the setting in hand; `None` where the set-up allows it freely.
    pub fn day_consequence(&self) -> Option<Consequence> {
        let draft = self.day.draft.as_ref()?;
        let chemical = self.setup.chemical(&draft.chemical)?;
        let (strength, usual) = (draft.strength?, usual(chemical)?);
        let allowed = allowed(chemical, strength);
        (allowed != Allowed::Freely).then(|| Consequence {
            allowed,
            strength,
            usual,
            cost: cost_per_vehicle(chemical, usual).zip(cost_per_vehicle(chemical, strength)),
        })
    }

    /// What another sprayer has that must never meet the setting in hand.
    pub fn day_beside(&self) -> Option<Beside> {
        let draft = self.day.draft.as_ref()?;
        // Newer than anything that is kept, as it will be.
        let then = self.with_set(Entry::MAX, &draft.scope, Some(self.draft_setting(draft)?));
        self.brings_beside(&then, &draft.scope, false)
    }

    fn draft_chemical(&self) -> Option<&Chemical> {
        self.setup.chemical(&self.day.draft.as_ref()?.chemical)
    }

    pub(super) fn set_act(&mut self, action: DayAction) -> Vec<Effect> {
        // What is asked about must be what is then set.
        let changes = !matches!(
            action,
            DayAction::For(_) | DayAction::Chemical(_) | DayAction::TakeTyped | DayAction::Confirm
        );
        if self.page != Page::Day || changes && self.day_stage() != DayStage::Strength {
            return Vec::new();
        }
        match action {
            DayAction::For(scope) => self.set_for(scope),
            DayAction::OpenChemicals => self.set_stage(DayStage::Chemicals),
            DayAction::Chemical(id) => self.set_chemical(&id),
            DayAction::Weaker => self.set_step(false),
            DayAction::Stronger => self.set_step(true),
            DayAction::OpenPad => self.set_pad(),
            DayAction::TakeTyped => self.set_typed(),
            DayAction::UsualStrength => {
                if let Some(draft) = &mut self.day.draft {
                    draft.strength = None;
                }
                Vec::new()
            }
            DayAction::TodayOnly(today_only) => {
                if let Some(draft) = &mut self.day.draft {
                    draft.today_only = today_only;
                }
                Vec::new()
            }
            DayAction::Set => self.set(),
            DayAction::Confirm => match self.day_stage() {
                DayStage::Confirm | DayStage::Beside => self.set(),
                _ => Vec::new(),
            },
            DayAction::End => self.end_setting(),
            DayAction::RinseOf(_) | DayAction::Rinsed => Vec::new(),
        }
    }

    fn set_stage(&mut self, stage: DayStage) -> Vec<Effect> {
        if self.day.draft.is_some() {
            self.drop_words();
            self.day.stage = stage;
        }
        Vec::new()
    }

    fn set_for(&mut self, scope: Scope) -> Vec<Effect> {
        let sprayer = match &scope {
            Scope::Sprayer(id) if self.setup.sprayer(id).is_none() => return Vec::new(),
            Scope::Sprayer(id) => Some(id.clone()),
            Scope::Bay => None,
        };
        // What was half made is gone on with.
        if self.day.draft.as_ref().is_some_and(|d| d.scope == scope) {
            return self.set_stage(DayStage::Strength);
        }
        let draft = match (self.day_setting(&scope), sprayer) {
            (Some(set), _) => DayDraft {
                scope,
                chemical: set.chemical.clone(),
                strength: set.strength,
                today_only: set.today_only,
            },
            (None, sprayer) => DayDraft {
                chemical: match sprayer {
                    Some(id) => self.days_chemical(&id).id.clone(),
                    None => self.setup.day_chemical.clone(),
                },
                scope,
                strength: None,
                today_only: true,
            },
        };
        self.day.draft = Some(draft);
        self.set_stage(DayStage::Strength)
    }

    fn set_chemical(&mut self, id: &str) -> Vec<Effect> {
        if self.setup.chemical(id).is_none() {
            return Vec::new();
        }
        if let Some(draft) = &mut self.day.draft
            && draft.chemical != id
        {
            // The strength of one chemical is nothing to another.
            draft.chemical = id.into();
            draft.strength = None;
        }
        self.set_stage(DayStage::Strength)
    }

    fn refuse_ratio(&mut self) -> Vec<Effect> {
        self.refuse("Its label gives a ratio only: the set-up changes that.")
    }

    fn set_step(&mut self, up: bool) -> Vec<Effect> {
        let Some(chemical) = self.draft_chemical() else {
            return Vec::new();
        };
        if usual(chemical).is_none() {
            return self.refuse_ratio();
        }
        let next = self.day_aim().and_then(|aim| days_strength::step(aim, up));
        match (next, &mut self.day.draft) {
            (Some(next), Some(draft)) => {
                draft.strength = Some(next);
                Vec::new()
            }
            _ => vec![Effect::Tone(Tone::Refused)],
        }
    }

    fn set_pad(&mut self) -> Vec<Effect> {
        match self.draft_chemical().map(usual) {
            None => Vec::new(),
            Some(None) => self.refuse_ratio(),
            Some(Some(_)) => {
                self.day.typed.clear();
                self.set_stage(DayStage::Typing)
            }
        }
    }

    fn set_typed(&mut self) -> Vec<Effect> {
        if self.day_stage() != DayStage::Typing {
            return Vec::new();
        }
        let strength = self.day.typed.number().and_then(days_strength::typed);
        let Some(strength) = strength else {
            self.day.typed.refuse();
            return self.refuse("Type a strength from 0.01 to 100 %.");
        };
        if let Some(draft) = &mut self.day.draft {
            draft.strength = Some(strength);
        }
        self.set_stage(DayStage::Strength)
    }

    /// The sprayers, by id, that go by a setting of this scope.
    pub(super) fn concerned(&self, scope: &Scope) -> Vec<String> {
        match scope {
            Scope::Sprayer(id) => vec![id.clone()],
            Scope::Bay => {
                let own = |id: &str| self.day_setting(&Scope::Sprayer(id.into())).is_some();
                let ids = self.setup.sprayers.iter().map(|sprayer| sprayer.id.clone());
                ids.filter(|id| !own(id)).collect()
            }
        }
    }

    /// The setting in hand as it would be kept, nothing of it confirmed yet.
    fn draft_setting(&self, draft: &DayDraft) -> Option<DaySetting> {
        let chemical = self.setup.chemical(&draft.chemical)?;
        // The set-up's own, typed: a change of the set-up is to be followed.
        let own = usual(chemical)
            .zip(draft.strength)
            .is_some_and(|(usual, set)| days_strength::near(usual, set));
        let strength = draft.strength.filter(|_| !own);
        Some(DaySetting {
            scope: draft.scope.clone(),
            chemical: draft.chemical.clone(),
            strength,
            today_only: draft.today_only,
            allowed: strength.map_or(Allowed::Freely, |strength| allowed(chemical, strength)),
            beside_never: false,
        })
    }

    /// The settings with one more.
    fn with_set(&self, entry: Entry, scope: &Scope, what: Option<DaySetting>) -> Settings {
        let mut then = self.day.settings.clone();
        let at = self.now.wall;
        then.put(scope.clone(), Placed { entry, at, what });
        then
    }

    /// Asks what must be asked, page after page, and then sets it: the page that is left has had its
    /// answer.
    fn set(&mut self) -> Vec<Effect> {
        let Some(draft) = self.day.draft.clone() else {
            return Vec::new();
        };
        let Some(mut setting) = self.draft_setting(&draft) else {
            return Vec::new();
        };
        let stage = self.day_stage();
        if setting.allowed != Allowed::Freely && stage == DayStage::Strength {
            return self.set_stage(DayStage::Confirm);
        }
        let concerned = self.concerned(&draft.scope);
        let ids = concerned.iter().map(String::as_str);
        if let Some(refused) = self.refuse_never(ids, &draft.chemical) {
            self.day.stage = DayStage::Strength;
            return refused;
        }
        setting.beside_never = self.day_beside().is_some();
        if setting.beside_never && stage != DayStage::Beside {
            return self.set_stage(DayStage::Beside);
        }
        let name = self.draft_chemical().map(|chemical| chemical.name.clone());
        let said = self.said_of(&setting, &name.unwrap_or_default());
        self.put_setting(draft.scope, Some(setting), said)
    }

    fn said_of(&self, setting: &DaySetting, name: &str) -> Text {
        match (setting.strength, setting.today_only) {
            (Some(strength), true) => text!("{}, {}: today", name, strength.shown()),
            (Some(strength), false) => text!("{}, {}: until changed", name, strength.shown()),
            (None, true) => text!("{}: today", name),
            (None, false) => text!("{}: until changed", name),
        }
    }

    fn end_setting(&mut self) -> Vec<Effect> {
        let Some(scope) = self.day.draft.as_ref().map(|draft| draft.scope.clone()) else {
            return Vec::new();
        };
        if self.day_setting(&scope).is_none() {
            return self.refuse("Nothing is set there.");
        }
        let then = self.with_set(Entry::MAX, &scope, None);
        if let Some(refused) = self.refuse_beside(&then, &scope) {
            return refused;
        }
        let said = match scope {
            Scope::Bay => text!("As in the set-up again"),
            Scope::Sprayer(_) => text!("As for the bay again"),
        };
        self.put_setting(scope, None, said)
    }

    /// Keeps it, and only then goes by it.
    fn put_setting(
        &mut self,
        scope: Scope,
        setting: Option<DaySetting>,
        said: Text,
    ) -> Vec<Effect> {
        let happening = Happening::DaySet {
            scope: scope.clone(),
            setting: setting.clone(),
        };
        let entry = match self.keep(happening) {
            Ok(entry) => entry,
            Err(fault) => return self.not_kept("The day's chemical was not set", &fault),
        };
        self.day.settings = self.with_set(entry, &scope, setting);
        self.is_set_anew();
        self.forget_day_draft();
        self.notify(said, Some(Undo::Day { entry }));
        Vec::new()
    }

    /// What was allowed or begun for the figure before is not for this one.
    fn is_set_anew(&mut self) {
        self.day.settings.follow(&self.setup);
        self.day.missed.clear();
        self.void_allowed = None;
        self.part = Part::Full;
    }

    /// What was set or ended by mistake is taken back: what was before it stands as it did.
    pub(in crate::bay) fn undo_day(&mut self, entry: Entry) -> Vec<Effect> {
        let mut then = self.day.settings.clone();
        let Some((scope, stood)) = then.take_back(entry) else {
            return Vec::new();
        };
        if let Some(refused) = self.refuse_beside(&then, &scope) {
            return refused;
        }
        if let Err(fault) = self.keep(Happening::DayUndone(entry)) {
            return self.not_kept("The day's chemical was not taken back", &fault);
        }
        self.day.settings = then;
        self.is_set_anew();
        self.notices.pop();
        match stood {
            true => self.notify("The day's chemical is as it was before", None),
            false => self.notify("Taken back. What was set after it stands.", None),
        }
        Vec::new()
    }

    /// Back to the setting that was half made when the page was left, as far as there is one: nothing
    /// of it was confirmed.
    pub(super) fn go_on_with_the_draft(&mut self) {
        let is_there = |draft: &DayDraft| {
            let sprayer = match &draft.scope {
                Scope::Bay => true,
                Scope::Sprayer(id) => self.setup.sprayer(id).is_some(),
            };
            sprayer && self.setup.chemical(&draft.chemical).is_some()
        };
        if !self.day.draft.as_ref().is_some_and(is_there) {
            self.forget_day_draft();
        }
        if matches!(self.day.stage, DayStage::Confirm | DayStage::Beside) {
            self.day.stage = DayStage::Strength;
        }
    }

    /// What is half made goes: it is set, or the shift lead's side closes.
    pub(in crate::bay) fn forget_day_draft(&mut self) {
        self.day.draft = None;
        self.day.stage = DayStage::Scopes;
    }
}
