//! A left-over, brought to today's strength.

use super::ground::NoFigure;
use super::{MixStage, refused};
use crate::bay::action::{Action, Effect, Page, Undo};
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::bay::records::{Fill, FillHow, Happening};
use crate::bay::typed::{Typed, TypedUnit};
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::fill_plan::Part;
use crate::trade::text::Text;
use crate::trade::topping_up::{Addition, Contents, Remedy, top_up};
use crate::trade::units::{BottleRatio, Strength, Volume};

/// Of which mix a left-over is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MixOf {
    /// The last fill of the sprayer.
    LastFill,
    /// One of this bottle ratio.
    Ratio(BottleRatio),
    /// One that puts this on the vehicle.
    Strength(Strength),
}

/// The left-over in hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LeftOver {
    /// Load by load.
    pub(super) loads: Vec<Volume>,
    /// How much it is, once that was said.
    pub(super) left: Option<Volume>,
    /// Of which mix, once that was said.
    pub(super) mix: Option<MixOf>,
    /// Up to where it is made up.
    pub(super) up_to: Part,
}

impl LeftOver {
    /// The loads so far.
    pub fn loads(&self) -> &[Volume] {
        &self.loads
    }
    /// How much it is, once that was said.
    pub fn left(&self) -> Option<Volume> {
        self.left
    }
    /// Of which mix it is, once that was said.
    pub fn mix(&self) -> Option<MixOf> {
        self.mix
    }
    /// Up to where it is made up.
    pub fn up_to(&self) -> Part {
        self.up_to
    }
}

/// What comes of a left-over.
#[derive(Debug, Clone, PartialEq)]
pub enum LeftOverSays {
    /// There is no figure, and why.
    NoFigure(NoFigure),
    /// Not all was said yet.
    Ask,
    /// This.
    Do {
        /// What is in it.
        contents: Contents,
        /// What that puts on the vehicle; `None` for nothing.
        lands: Option<Strength>,
        /// What it is made up to.
        fill: Volume,
        /// What to do.
        remedy: Remedy,
    },
}

impl Bay {
    /// What comes of the left-over in hand.
    pub fn left_over_says(&self) -> LeftOverSays {
        let ground = match self.ground() {
            Ok(ground) => ground,
            Err(why) => return LeftOverSays::NoFigure(why),
        };
        if let Some(first) = self.rinse_first(&self.sprayer, self.chemical()) {
            return LeftOverSays::NoFigure(NoFigure::Rinse(first));
        }
        // Whatever is added, what is wanted must not land.
        let full = self.offer_for(self.sprayer(), self.chemical(), Part::Full);
        if let Offer::AboveBand { .. } = full {
            return LeftOverSays::NoFigure(super::vehicles::no_figure(&full));
        }
        let aim = self.aim(ground);
        let in_hand = &self.mixing.left_over;
        let fraction = in_hand.mix.and_then(|mix| match mix {
            MixOf::LastFill => self.known_fraction(),
            MixOf::Ratio(ratio) => Some(ratio.fraction()),
            MixOf::Strength(strength) => aim.fraction_for(strength),
        });
        let (Some(volume), Some(fraction)) = (in_hand.left, fraction) else {
            return LeftOverSays::Ask;
        };
        let contents = Contents { volume, fraction };
        let fill = in_hand.up_to.of(ground.holds);
        LeftOverSays::Do {
            contents,
            lands: aim.lands_of(contents),
            fill,
            remedy: top_up(contents, fill, &aim, &self.setup.measures),
        }
    }

    pub(super) fn open_left_over(&mut self) -> Vec<Effect> {
        self.mixing.left_over = LeftOver::default();
        if let Err(fault) = self.look_up_last_fill() {
            // Without the records the mix can still be typed.
            self.mixing.stage = MixStage::Left;
            return self.refuse(fault.at_the_wall());
        }
        self.mixing.stage = match self.left_over_says() {
            LeftOverSays::Ask => MixStage::Left,
            // Why there is nothing to ask for.
            _ => MixStage::TopUp,
        };
        Vec::new()
    }

    /// What a share of the container comes to, as well as an eye sees it. `None` without a figure.
    pub fn about(&self, part: Part) -> Option<Volume> {
        let share = part.of(self.ground().ok()?.holds);
        let step = match share.as_ml() {
            ml if ml >= 1000.0 => 100.0,
            ml if ml >= 100.0 => 10.0,
            _ => 1.0,
        };
        Some(Volume::ml((share.as_ml() / step).round() * step))
    }

    pub(super) fn about_left(&mut self, part: Part) -> Vec<Effect> {
        match self.about(part) {
            Some(left) => self.left_is(left),
            None => refused(),
        }
    }

    pub(super) fn add_left_load(&mut self, id: &str) -> Vec<Effect> {
        let measure = self.setup.measures.iter().find(|m| m.id == id);
        let Some((size, ground)) = measure.map(|m| m.size).zip(self.ground().ok()) else {
            return refused();
        };
        let total: Volume = self.mixing.left_over.loads.iter().copied().sum();
        if total + size > ground.holds * ROOM {
            return self.refuse_too_much(total + size, ground.holds);
        }
        self.mixing.left_over.loads.push(size);
        Vec::new()
    }

    pub(super) fn take_left_loads(&mut self) -> Vec<Effect> {
        let total: Volume = self.mixing.left_over.loads.iter().copied().sum();
        match total.is_some_liquid() {
            true => self.left_is(total),
            false => refused(),
        }
    }

    pub(super) fn left_typed(&mut self) -> Vec<Effect> {
        let Some((volume, ground)) = self.mixing.typed.volume().zip(self.ground().ok()) else {
            return refused();
        };
        if volume > ground.holds * ROOM {
            return self.refuse_too_much(volume, ground.holds);
        }
        self.left_is(volume)
    }

    pub(super) fn refuse_too_much(&mut self, volume: Volume, holds: Volume) -> Vec<Effect> {
        self.refuse(text!(
            "{} is more than it holds, {}. Measure it again.",
            self.level_shown(volume),
            self.level_shown(holds)
        ))
    }

    /// So much is left. What mix it is of is asked for only where the records do not know.
    fn left_is(&mut self, volume: Volume) -> Vec<Effect> {
        self.mixing.left_over.left = Some(volume);
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        let known = self.known_fraction().is_some();
        let mix = &mut self.mixing.left_over.mix;
        if mix.is_none() && known {
            *mix = Some(MixOf::LastFill);
        }
        self.mixing.stage = match mix {
            Some(_) => MixStage::TopUp,
            None => MixStage::WhichMix,
        };
        Vec::new()
    }

    /// Product per mix of the last fill, where that is known.
    fn known_fraction(&self) -> Option<f64> {
        self.mixing.last.as_ref()?.fill.fraction()
    }

    pub(super) fn of_mix(&mut self, mix: MixOf) -> Vec<Effect> {
        let known = self.known_fraction().is_some();
        if mix == MixOf::LastFill && !known {
            return refused();
        }
        self.mixing.left_over.mix = Some(mix);
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        self.mixing.stage = MixStage::TopUp;
        Vec::new()
    }

    pub(super) fn ratio_typed(&mut self) -> Vec<Effect> {
        let ratio = self
            .mixing
            .typed
            .number()
            .and_then(BottleRatio::parts_water);
        match ratio {
            Some(ratio) => self.of_mix(MixOf::Ratio(ratio)),
            None => refused(),
        }
    }

    pub(super) fn strength_typed(&mut self) -> Vec<Effect> {
        let strength = self.mixing.typed.number().and_then(Strength::percent);
        let Some((strength, ground)) = strength.zip(self.ground().ok()) else {
            return refused();
        };
        let aim = self.aim(ground);
        let strongest = aim.strongest();
        match aim.fraction_for(strength) {
            Some(_) => self.of_mix(MixOf::Strength(strength)),
            None => self.refuse(text!(
                "{} never lands here: neat product gives {} on this sprayer.",
                strength.shown(),
                strongest.shown()
            )),
        }
    }

    pub(super) fn up_to_typed(&mut self) -> Vec<Effect> {
        let Some((volume, ground)) = self.mixing.typed.volume().zip(self.ground().ok()) else {
            return refused();
        };
        if volume > ground.holds * ROOM {
            return self.refuse_too_much(volume, ground.holds);
        }
        let whole = volume.as_ml().round().max(1.0);
        match whole >= ground.holds.as_ml() {
            true => self.make_it_up_to(Part::Full),
            false => self.make_it_up_to(Part::Ml(whole as u32)),
        }
    }

    pub(super) fn make_it_up_to(&mut self, part: Part) -> Vec<Effect> {
        self.mixing.left_over.up_to = part;
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        self.mixing.stage = MixStage::TopUp;
        Vec::new()
    }

    /// The smallest fill that works without pouring off, where the container takes it.
    pub fn smallest_that_fits(&self) -> Option<Part> {
        let holds = self.ground().ok()?.holds;
        match self.left_over_says() {
            LeftOverSays::Do {
                remedy:
                    Remedy::PourOff {
                        smallest: Some(smallest),
                        ..
                    },
                ..
            } if smallest.as_ml() <= holds.as_ml() => {
                let whole = (smallest.as_ml() - 1e-6).ceil();
                Some(match whole >= holds.as_ml() {
                    true => Part::Full,
                    false => Part::Ml(whole as u32),
                })
            }
            _ => None,
        }
    }

    pub(super) fn make_smallest(&mut self) -> Vec<Effect> {
        match self.smallest_that_fits() {
            Some(part) => self.make_it_up_to(part),
            None => refused(),
        }
    }

    pub(super) fn spoken_top_up(&self) -> Option<Announcement> {
        let LeftOverSays::Do { remedy, .. } = self.left_over_says() else {
            return None;
        };
        match remedy {
            Remedy::Add(addition) => {
                let (sprayer, chemical) = (self.sprayer(), self.chemical());
                let said = Announcement::top_up(sprayer, chemical, addition.pour.dose);
                Some(as_poured(said, &addition))
            }
            // There are no words yet for pouring off: the screen has them.
            Remedy::PourOff { .. } => Some(Announcement::pour_off(self.sprayer())),
            Remedy::OutOfReach { .. } | Remedy::Unmeasurable { .. } => None,
        }
    }

    /// What was told was added: logs it.
    pub(super) fn topped_up(&mut self) -> Vec<Effect> {
        let addition = match self.left_over_says() {
            LeftOverSays::Do {
                remedy: Remedy::Add(addition) | Remedy::PourOff { then: addition, .. },
                ..
            } => addition,
            _ => return refused(),
        };
        let fill = self.topped_up_fill(&addition);
        match self.keep(Happening::Fill(fill)) {
            Ok(entry) => {
                let said = self.spoken_filled();
                self.part = Part::Full;
                self.act_again(Action::Show(Page::Fill));
                self.notify(added_words(&addition), Some(Undo::Fill(entry)));
                self.speak(said)
            }
            Err(fault) => self.not_kept("What was added was not logged", &fault),
        }
    }

    /// How what was added is kept.
    pub(super) fn topped_up_fill(&self, addition: &Addition) -> Fill {
        let (to, dose) = (addition.to, addition.pour.dose);
        Fill {
            sprayer: self.sprayer.clone(),
            chemical: self.chemical().id.clone(),
            fill: addition.fill,
            poured: dose.product,
            water: dose.water,
            strength: addition.pour.strength,
            standing: self.standing(self.sprayer()).word().into(),
            how: match to.volume.is_some_liquid() {
                true => FillHow::ToppedUp {
                    left: to.volume,
                    product: to.product(),
                },
                // All of it was poured off.
                false => FillHow::Fresh,
            },
        }
    }
}

/// What holds so much takes a little more above its line: a reading may be a hair off.
pub(super) const ROOM: f64 = 1.0 + 1e-6;

/// "120 ml added"
fn added_words(addition: &Addition) -> Text {
    text!("{} added", added(addition))
}

/// What is told of an addition: its product, or else its water.
pub(super) fn added(addition: &Addition) -> String {
    match addition.pour.dose.product.is_some_liquid() {
        true => addition.pour.product_shown(),
        false => addition.pour.water_shown(),
    }
}

/// What is said of an addition, in the unit of its measure, and to be checked where that is coarse.
pub(super) fn as_poured(said: Announcement, addition: &Addition) -> Announcement {
    let said = match addition.coarse {
        true => said.to_check(addition.pour.strength),
        false => said,
    };
    said.in_unit(addition.pour.measure.unit())
}
