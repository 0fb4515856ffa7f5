//! Setting the day's chemical and its strength, by the shift lead.

use super::DayAction;
use crate::bay::action::{Effect, Page, Undo};
use crate::bay::at_work::Bay;
use crate::bay::ports::Tone;
use crate::bay::records::{DaySetting, Happening, Scope};
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
    /// What would come of it, and whether it is meant.
    Confirm,
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

    fn draft_chemical(&self) -> Option<&Chemical> {
        self.setup.chemical(&self.day.draft.as_ref()?.chemical)
    }

    pub(super) fn set_act(&mut self, action: DayAction) -> Vec<Effect> {
        if !self.lead_is_in() {
            return self.refuse("Only the shift lead sets the day's chemical.");
        }
        if self.page != Page::Day {
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
            DayAction::Set => self.set(false),
            DayAction::Confirm => match self.day.stage {
                DayStage::Confirm => self.set(true),
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
            return self.refuse("Type a strength from 0.01 to 100 %.");
        };
        if let Some(draft) = &mut self.day.draft {
            draft.strength = Some(strength);
        }
        self.set_stage(DayStage::Strength)
    }

    /// The sprayers, by id, that go by a setting of this scope.
    fn concerned(&self, scope: &Scope) -> Vec<String> {
        match scope {
            Scope::Sprayer(id) => vec![id.clone()],
            Scope::Bay => {
                let own = |id: &str| self.day_setting(&Scope::Sprayer(id.into())).is_some();
                let ids = self.setup.sprayers.iter().map(|sprayer| sprayer.id.clone());
                ids.filter(|id| !own(id)).collect()
            }
        }
    }

    fn set(&mut self, confirmed: bool) -> Vec<Effect> {
        let Some((draft, chemical)) = self.day.draft.clone().zip(self.draft_chemical()) else {
            return Vec::new();
        };
        let name = chemical.name.clone();
        // The set-up's own, typed: a change of the set-up is to be followed.
        let own = usual(chemical)
            .zip(draft.strength)
            .is_some_and(|(usual, set)| days_strength::near(usual, set));
        let strength = draft.strength.filter(|_| !own);
        let above = self
            .day_consequence()
            .is_some_and(|of| of.allowed == Allowed::TooStrong);
        if self.day_consequence().is_some() && !confirmed {
            return self.set_stage(DayStage::Confirm);
        }
        let concerned = self.concerned(&draft.scope);
        let ids = concerned.iter().map(String::as_str);
        if let Some(refused) = self.refuse_never(ids, &draft.chemical) {
            self.day.stage = DayStage::Strength;
            return refused;
        }
        let setting = DaySetting {
            scope: draft.scope.clone(),
            chemical: draft.chemical,
            strength,
            today_only: draft.today_only,
            above_band: above,
        };
        let said = self.said_of(&setting, &name);
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
        let before = self.day_setting(&scope).cloned();
        if let Err(effects) = self.keep_setting(&scope, setting) {
            return effects;
        }
        self.day.draft = None;
        self.day.stage = DayStage::Scopes;
        self.notify(said, Some(Undo::Day { scope, before }));
        Vec::new()
    }

    fn keep_setting(
        &mut self,
        scope: &Scope,
        setting: Option<DaySetting>,
    ) -> Result<(), Vec<Effect>> {
        let happening = Happening::DaySet {
            scope: scope.clone(),
            setting: setting.clone(),
        };
        if let Err(fault) = self.keep(happening) {
            return Err(self.not_kept("The day's chemical was not set", &fault));
        }
        self.day.settings.put(scope.clone(), setting, self.now.wall);
        self.day.settings.follow(&self.setup);
        // What was allowed or begun for the figure before is not for this one.
        self.void_allowed = None;
        self.part = Part::Full;
        Ok(())
    }

    /// The setting of the scope is what it was before.
    pub(in crate::bay) fn undo_day(
        &mut self,
        scope: &Scope,
        before: Option<DaySetting>,
    ) -> Vec<Effect> {
        // The shift lead may have left within the time in which it could be taken back.
        if !self.lead_is_in() {
            return self.refuse("Only the shift lead may do that, with the PIN.");
        }
        match self.keep_setting(scope, before) {
            Ok(()) => {
                self.notices.pop();
                self.notify("The day's chemical is as it was before", None);
                Vec::new()
            }
            Err(effects) => effects,
        }
    }
}
