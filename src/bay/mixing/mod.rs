//! The day around the fill: for so many vehicles, left-overs, mispoured, and what a ratio comes to.
//!
//! `vehicles.rs`, `left_over.rs`, `mispour.rs`, `got.rs`: each of them, with its state, what is done
//! with it and what comes of it. `ground.rs`: what they all reckon with, or why there is no figure.
//! `last_fill.rs`: what is in the sprayer, from the records. `resuming.rs`: what is half done.

mod got;
mod ground;
mod last_fill;
mod left_over;
mod mispour;
mod resuming;
mod vehicles;

pub use got::{Got, GotField, GotSays};
pub use ground::{Ground, NoFigure};
pub use left_over::{LeftOver, LeftOverSays, MixOf};
pub use mispour::{Meant, Mispour, MispouredSays};
pub(super) use resuming::MixingPlace;
pub use vehicles::{ForVehicles, Vehicles};

use super::action::{Action, Effect, PadKey, Page};
use super::at_work::Bay;
use super::ports::Tone;
use super::records::LastFill;
use super::typed::{Typed, TypedUnit};
use crate::trade::fill_plan::Part;
use serde::{Deserialize, Serialize};

/// The pages of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum MixStage {
    /// Choose what for.
    #[default]
    Choose,
    /// A fill for so many vehicles.
    Vehicles,
    /// Vehicles per fill, product and money per vehicle.
    Coverage,
    /// How much is left in the container.
    Left,
    /// The same, typed.
    LeftTyped,
    /// Of which mix that is.
    WhichMix,
    /// Its bottle ratio, typed.
    RatioTyped,
    /// What it puts on the vehicle, typed.
    StrengthTyped,
    /// Up to which volume it is made up, typed.
    UpTo,
    /// What to add to it.
    TopUp,
    /// What was really poured, typed.
    Poured,
    /// How much is in the container then, typed.
    Level,
    /// Where that lands, and what puts it right.
    Mispoured,
    /// What a ratio, or product and water, put on the vehicle.
    Got,
}

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum MixAction {
    /// Begin with one of its pages.
    Open(MixStage),
    /// What is typed is right: go on.
    Next,
    /// Take what is typed for the other unit of its kind: litres for millilitres.
    SwitchUnit,
    /// Say what the page tells to add.
    Say,
    /// What the page tells to add was added: log it.
    Done,

    /// One more vehicle of the class at this place, from 0.
    OneMore(usize),
    /// One less of the class counted last.
    OneLess,
    /// Type the count of that class, or tap it.
    TypeCount(bool),
    /// Make up a full container, or the part that the vehicles take.
    MakeUp(Part),

    /// So much of the container is left.
    AboutLeft(Part),
    /// A full load of this measure (by id), of what is left.
    AddLoad(String),
    /// Take the last load back.
    UndoLoad,
    /// The loads are all that is left.
    TakeLoads,
    /// What is left is of this mix.
    Of(MixOf),
    /// Make it up to the line.
    ToTheLine,
    /// Make up the smallest fill that works without pouring off.
    MakeSmallest,

    /// Take the fill that was logged back when the true one is logged, or let it stand.
    Replace(bool),
    /// Log what was really poured, and nothing else.
    LogPoured,

    /// Type this of what there is.
    Field(GotField),
}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixing {
    pub(super) stage: MixStage,
    pub(super) typed: Typed,
    pub(super) vehicles: Vehicles,
    pub(super) left_over: LeftOver,
    pub(super) mispour: Mispour,
    pub(super) got: Got,
    /// What is in the sprayer, as the records say; read when a page is opened that asks for it.
    pub(super) last: Option<LastFill>,
}

impl Default for Mixing {
    fn default() -> Self {
        Self {
            stage: MixStage::default(),
            typed: Typed::empty(TypedUnit::Ml),
            vehicles: Vehicles::default(),
            left_over: LeftOver::default(),
            mispour: Mispour::default(),
            got: Got::default(),
            last: None,
        }
    }
}

impl Mixing {
    /// Which of its pages is shown.
    pub fn stage(&self) -> MixStage {
        self.stage
    }
    /// What is typed on a page with one number.
    pub fn typed(&self) -> &Typed {
        &self.typed
    }
    /// The vehicles counted.
    pub fn vehicles(&self) -> &Vehicles {
        &self.vehicles
    }
    /// The left-over in hand.
    pub fn left_over(&self) -> &LeftOver {
        &self.left_over
    }
    /// What was poured by mistake.
    pub fn mispour(&self) -> &Mispour {
        &self.mispour
    }
    /// What is asked about.
    pub fn got(&self) -> &Got {
        &self.got
    }
    /// What is in the sprayer, as the records say.
    pub fn last(&self) -> Option<&LastFill> {
        self.last.as_ref()
    }
}

impl Bay {
    /// What is in hand beside the usual fill.
    pub fn mixing(&self) -> &Mixing {
        &self.mixing
    }

    pub(super) fn mixing_act(&mut self, action: MixAction) -> Vec<Effect> {
        match action {
            MixAction::Open(stage) => self.open_mix(stage),
            MixAction::Next => self.next_mix(),
            MixAction::SwitchUnit => self.switch_mix_unit(),
            MixAction::Say => self.say_mix(),
            MixAction::Done => match self.mixing.stage {
                MixStage::TopUp => self.topped_up(),
                MixStage::Mispoured => self.log_poured(true),
                _ => refused(),
            },
            MixAction::OneMore(place) => self.one_more_vehicle(place),
            MixAction::OneLess => self.one_less_vehicle(),
            MixAction::TypeCount(types) => {
                self.mixing.vehicles.types = types;
                Vec::new()
            }
            MixAction::MakeUp(part) => self.make_up(part),
            MixAction::AboutLeft(part) => self.about_left(part),
            MixAction::AddLoad(id) => self.add_left_load(&id),
            MixAction::UndoLoad => match self.mixing.left_over.loads.pop() {
                Some(_) => Vec::new(),
                None => refused(),
            },
            MixAction::TakeLoads => self.take_left_loads(),
            MixAction::Of(mix) => self.of_mix(mix),
            MixAction::ToTheLine => match self.mixing.stage {
                MixStage::Level => self.level_is(None),
                _ => self.make_it_up_to(Part::Full),
            },
            MixAction::MakeSmallest => self.make_smallest(),
            MixAction::Replace(replace) => {
                self.mixing.mispour.replace = replace;
                Vec::new()
            }
            MixAction::LogPoured => self.log_poured(false),
            MixAction::Field(field) => {
                self.mixing.got.field = field;
                Vec::new()
            }
        }
    }

    /// Opens one of its pages.
    pub(super) fn mixing_open(&mut self, page: Page) -> Vec<Effect> {
        self.mixing = Mixing::default();
        self.turn_to(page);
        Vec::new()
    }

    fn open_mix(&mut self, stage: MixStage) -> Vec<Effect> {
        self.drop_words();
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        match stage {
            MixStage::Left => return self.open_left_over(),
            MixStage::Poured => return self.open_mispour(),
            MixStage::Got => self.mixing.got = Got::default(),
            MixStage::Coverage => {
                self.mixing.vehicles.from_count = self.mixing.stage == MixStage::Vehicles;
            }
            MixStage::Vehicles if self.mixing.stage == MixStage::Choose => {
                self.mixing.vehicles = Vehicles::default();
            }
            _ => {}
        }
        self.mixing.stage = stage;
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn mixing_back(&mut self) -> Vec<Effect> {
        let mixing = &self.mixing;
        let to = match mixing.stage {
            MixStage::Choose => return self.show(Page::Menu),
            MixStage::Coverage if mixing.vehicles.from_count => MixStage::Vehicles,
            MixStage::Vehicles if mixing.vehicles.types => {
                self.mixing.vehicles.types = false;
                return Vec::new();
            }
            MixStage::LeftTyped | MixStage::WhichMix => MixStage::Left,
            MixStage::RatioTyped | MixStage::StrengthTyped => MixStage::WhichMix,
            MixStage::UpTo => MixStage::TopUp,
            MixStage::TopUp if mixing.left_over.left.is_some() => MixStage::Left,
            MixStage::Level => match self.mispoured_says() {
                MispouredSays::Lands { .. } => MixStage::Mispoured,
                _ => MixStage::Poured,
            },
            MixStage::Mispoured if mixing.mispour.product.is_some() => MixStage::Poured,
            MixStage::Vehicles
            | MixStage::Coverage
            | MixStage::Left
            | MixStage::TopUp
            | MixStage::Poured
            | MixStage::Mispoured
            | MixStage::Got => MixStage::Choose,
        };
        self.drop_words();
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        self.mixing.stage = to;
        Vec::new()
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn mixing_pad(&mut self, key: PadKey) -> Vec<Effect> {
        let taken = match self.mixing.stage {
            MixStage::Vehicles => return self.type_vehicles(key),
            MixStage::Got => self.mixing.got.press(key),
            stage if stage.has_a_number() => self.mixing.typed.press(key),
            _ => false,
        };
        match taken {
            true => {
                self.drop_words();
                Vec::new()
            }
            false => refused(),
        }
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn mixing_main(&mut self) -> Vec<Effect> {
        match self.mixing.stage {
            stage if stage.has_a_number() => self.next_mix(),
            MixStage::TopUp | MixStage::Mispoured => self.say_mix(),
            MixStage::Left => self.take_left_loads(),
            MixStage::Vehicles => match self.for_vehicles() {
                ForVehicles::Fills { part, .. } => self.make_up(part),
                _ => refused(),
            },
            _ => self.act_again(Action::Back),
        }
    }

    fn next_mix(&mut self) -> Vec<Effect> {
        let stage = self.mixing.stage;
        let effects = self.take_mix_typed();
        if self.mixing.stage == stage {
            self.mixing.typed.refuse();
        }
        effects
    }

    fn take_mix_typed(&mut self) -> Vec<Effect> {
        match self.mixing.stage {
            MixStage::LeftTyped => self.left_typed(),
            MixStage::RatioTyped => self.ratio_typed(),
            MixStage::StrengthTyped => self.strength_typed(),
            MixStage::UpTo => self.up_to_typed(),
            MixStage::Poured => self.poured_typed(),
            MixStage::Level => self.level_typed(),
            _ => refused(),
        }
    }

    fn switch_mix_unit(&mut self) -> Vec<Effect> {
        match self.mixing.stage.has_a_volume() && self.mixing.typed.switch_unit() {
            true => Vec::new(),
            false => refused(),
        }
    }

    fn say_mix(&mut self) -> Vec<Effect> {
        let said = match self.mixing.stage {
            MixStage::TopUp => self.spoken_top_up(),
            MixStage::Mispoured => self.spoken_mispour(),
            _ => None,
        };
        match said {
            Some(said) => self.speak(said),
            None => refused(),
        }
    }
}

impl MixStage {
    /// True where one number is typed.
    pub const fn has_a_number(self) -> bool {
        self.has_a_volume() || matches!(self, Self::RatioTyped | Self::StrengthTyped)
    }
    /// True where that number is a volume.
    pub const fn has_a_volume(self) -> bool {
        matches!(
            self,
            Self::LeftTyped | Self::UpTo | Self::Poured | Self::Level
        )
    }
}

/// Nothing to do here.
fn refused() -> Vec<Effect> {
    vec![Effect::Tone(Tone::Refused)]
}
