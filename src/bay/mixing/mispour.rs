//! Another dose than the one shown was poured: where it lands, and what puts it right.

use super::ground::NoFigure;
use super::left_over::{added, as_poured};
use super::{MixStage, refused};
use crate::bay::action::{Action, Effect, Page, Undo};
use crate::bay::at_work::Bay;
use crate::bay::offer::Offer;
use crate::bay::records::{Entry, Fill, FillHow, Happening};
use crate::bay::typed::{Typed, TypedUnit};
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::fill_plan::{InBand, Part};
use crate::trade::topping_up::{Contents, Remedy, put_right};
use crate::trade::units::{Strength, Volume};
use chrono::{DateTime, FixedOffset, TimeDelta};

/// A fill logged so long ago may still be the one that was poured wrong.
const JUST_LOGGED: TimeDelta = TimeDelta::minutes(15);
/// A container is not filled further above its line than that: half as much again is a wrong key.
pub(super) const MOST_OVER: f64 = 1.5;

/// What was poured by mistake.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mispour {
    /// Product, once it was typed.
    pub(super) product: Option<Volume>,
    /// How much is in the container, where that is not what was meant.
    pub(super) level: Option<Volume>,
    /// The fill that was logged just now is taken back when the true one is logged.
    pub(super) replace: bool,
}

impl Mispour {
    /// Product poured, once it was typed.
    pub fn product(&self) -> Option<Volume> {
        self.product
    }
    /// True where the fill logged just now is taken back when the true one is logged.
    pub fn replaces(&self) -> bool {
        self.replace
    }
}

/// What was meant to be poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meant {
    /// Product.
    pub product: Volume,
    /// All that is made up.
    pub fill: Volume,
}

/// What comes of a mispoured fill.
#[derive(Debug, Clone, PartialEq)]
pub enum MispouredSays {
    /// There is no figure, and why.
    NoFigure(NoFigure),
    /// Nothing was typed yet.
    Ask,
    /// This.
    Lands {
        /// What is in the container.
        contents: Contents,
        /// What that puts on the vehicle.
        strength: Strength,
        /// Where that lies in the band.
        in_band: InBand,
        /// What puts it right; `None` where it may be used as it is.
        remedy: Option<Remedy>,
    },
}

impl Bay {
    /// What comes of the mispoured fill in hand.
    pub fn mispoured_says(&self) -> MispouredSays {
        let ground = match self.ground() {
            Ok(ground) => ground,
            Err(why) => return MispouredSays::NoFigure(why),
        };
        let meant = match self.meant() {
            Ok(meant) => meant,
            Err(why) => return MispouredSays::NoFigure(why),
        };
        let in_hand = &self.mixing.mispour;
        let level = in_hand.level.unwrap_or(meant.fill);
        let contents = in_hand
            .product
            .and_then(|product| Contents::poured(product, level));
        let aim = self.aim(ground);
        let Some((contents, strength)) = contents.and_then(|c| Some((c, aim.lands_of(c)?))) else {
            return MispouredSays::Ask;
        };
        let remedy = (!aim.is_right(strength))
            .then(|| put_right(contents, ground.holds, &aim, &self.setup.measures));
        MispouredSays::Lands {
            contents,
            strength,
            in_band: InBand::of(self.chemical(), strength),
            remedy,
        }
    }

    /// What was meant to be poured: the fill that was logged just now, else what is shown at home.
    ///
    /// # Errors
    /// There is no figure.
    pub fn meant(&self) -> Result<Meant, NoFigure> {
        if let Some((_, _, fill)) = self
            .logged_just_now()
            .filter(|_| self.mixing.mispour.replace)
        {
            return Ok(Meant {
                product: fill.poured,
                fill: fill.fill,
            });
        }
        match self.offer() {
            Offer::Fill(plan) => Ok(Meant {
                product: plan.pour.dose.product,
                fill: plan.fill,
            }),
            other => Err(super::vehicles::no_figure(&other)),
        }
    }

    /// The fill of this sprayer that was logged a few minutes ago, as it was shown.
    pub fn logged_just_now(&self) -> Option<(Entry, DateTime<FixedOffset>, &Fill)> {
        let last = self.mixing.last.as_ref()?;
        let ago = self.now.wall - last.at;
        let recent = ago >= TimeDelta::zero() && ago <= JUST_LOGGED;
        let same = last.fill.chemical == self.chemical().id && last.fill.how == FillHow::Fresh;
        (recent && same).then_some((last.entry, last.at, &last.fill))
    }

    pub(super) fn open_mispour(&mut self) -> Vec<Effect> {
        self.mixing.mispour = Mispour::default();
        if let Err(fault) = self.look_up_last_fill() {
            self.mixing.stage = MixStage::Poured;
            return self.refuse(fault.at_the_wall());
        }
        // What vehicles were washed with was another one.
        let used = self.mixing.last.as_ref().is_some_and(|last| last.used);
        self.mixing.mispour.replace = !used && self.logged_just_now().is_some();
        self.mixing.stage = match self.mispoured_says() {
            MispouredSays::NoFigure(_) => MixStage::Mispoured,
            _ => MixStage::Poured,
        };
        Vec::new()
    }

    pub(super) fn poured_typed(&mut self) -> Vec<Effect> {
        let Some((product, meant)) = self.mixing.typed.volume().zip(self.meant().ok()) else {
            return refused();
        };
        let level = self.mixing.mispour.level.unwrap_or(meant.fill);
        self.mixing.mispour.product = Some(product);
        // More product than was to be made up: how much is in it must be known first.
        match product > level {
            true => {
                self.ask_for_level();
                self.refuse(text!(
                    "{} is more than {} in all. How much is in it?",
                    self.shown(product),
                    self.level_shown(level)
                ))
            }
            false => self.show_mispoured(),
        }
    }

    fn ask_for_level(&mut self) {
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        self.mixing.stage = MixStage::Level;
    }

    pub(super) fn level_typed(&mut self) -> Vec<Effect> {
        let Some((level, ground)) = self.mixing.typed.volume().zip(self.ground().ok()) else {
            return refused();
        };
        if level > ground.holds * MOST_OVER {
            return self.refuse_too_much(level, ground.holds);
        }
        self.level_is(Some(level))
    }

    /// So much is in it; `None` for what was meant.
    pub(super) fn level_is(&mut self, level: Option<Volume>) -> Vec<Effect> {
        let Ok(meant) = self.meant() else {
            return refused();
        };
        let all = level.unwrap_or(meant.fill);
        if let Some(product) = self.mixing.mispour.product.filter(|p| *p > all) {
            return self.refuse(text!(
                "{} product cannot be in {}. Look at both again.",
                self.shown(product),
                self.level_shown(all)
            ));
        }
        self.mixing.mispour.level = level;
        self.show_mispoured()
    }

    /// What does not go on a vehicle is said at once.
    fn show_mispoured(&mut self) -> Vec<Effect> {
        self.mixing.typed = Typed::empty(TypedUnit::small(self.setup.entry_units));
        self.mixing.stage = MixStage::Mispoured;
        self.spoken_mispour()
            .map_or_else(Vec::new, |said| self.speak(said))
    }

    /// "Do not use", with what puts it right; `None` where it may be used.
    pub(super) fn spoken_mispour(&self) -> Option<Announcement> {
        let MispouredSays::Lands {
            strength,
            remedy: Some(remedy),
            ..
        } = self.mispoured_says()
        else {
            return None;
        };
        let add = match &remedy {
            Remedy::Add(addition) => Some(addition),
            _ => None,
        };
        let (sprayer, chemical) = (self.sprayer(), self.chemical());
        let dose = add.map(|addition| addition.pour.dose);
        let said = Announcement::do_not_use(sprayer, chemical, strength, dose);
        Some(match add {
            Some(addition) => as_poured(said, addition),
            None => said,
        })
    }

    /// Logs what was really poured, with what was added to put it right where `put_right`.
    pub(super) fn log_poured(&mut self, put_right: bool) -> Vec<Effect> {
        let (
            MispouredSays::Lands {
                contents,
                strength,
                remedy,
                ..
            },
            Ok(meant),
        ) = (self.mispoured_says(), self.meant())
        else {
            return refused();
        };
        let addition = match (&remedy, put_right) {
            (_, false) => None,
            (Some(Remedy::Add(addition) | Remedy::PourOff { then: addition, .. }), true) => {
                Some(addition.clone())
            }
            (_, true) => return refused(),
        };
        let product = contents.product();
        let fill = Fill {
            sprayer: self.sprayer.clone(),
            chemical: self.chemical().id.clone(),
            fill: contents.volume,
            poured: product,
            water: contents.volume - product,
            strength,
            standing: self.standing(self.sprayer()).word().into(),
            how: FillHow::Mispoured {
                meant: meant.product,
            },
        };
        let instead_of = self
            .logged_just_now()
            .filter(|_| self.mixing.mispour.replace)
            .map(|(entry, ..)| entry);
        let said = match (&addition, self.spoken_mispour()) {
            (None, Some(said)) => said,
            _ => self.spoken_filled(),
        };
        let happening = Happening::Mispoured {
            fill,
            instead_of,
            added: addition.as_ref().map(|added| self.topped_up_fill(added)),
        };
        match self.keep(happening) {
            Ok(entry) => {
                self.part = Part::Full;
                self.mixing.mispour = Mispour::default();
                self.act_again(Action::Show(Page::Fill));
                if let Some(wrong) = instead_of {
                    // What takes it back would take it back a second time.
                    self.notices.retain(|n| n.undo != Some(Undo::Fill(wrong)));
                }
                let product = self.shown(product);
                let (words, stops) = match (&addition, &remedy, instead_of) {
                    (Some(addition), ..) => (
                        text!("{} logged, {} added", product, added(addition)),
                        false,
                    ),
                    (None, Some(_), _) => (text!("{} logged. Do not use.", product), true),
                    (None, None, Some(_)) => (text!("{} logged instead", product), false),
                    (None, None, None) => (text!("{} logged", product), false),
                };
                self.put_up(words, Some(Undo::Fill(entry)), stops);
                self.speak(said)
            }
            Err(fault) => self.not_kept("What was poured was not logged", &fault),
        }
    }
}
