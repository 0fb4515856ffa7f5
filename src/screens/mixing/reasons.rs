//! Words for why there is no figure, and for where a strength lies.

use super::super::tongue::{shown as text, tr};
use super::super::words::{above_band, cause_headline};
use super::{Pressed, Shown};
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::mixing::NoFigure;
use crate::trade::fill_plan::InBand;
use crate::trade::units::Strength;

/// Why there is no figure, with what to do.
pub fn no_figure(bay: &Bay, why: &NoFigure) -> String {
    let sprayer = &bay.sprayer().name;
    match why {
        NoFigure::Rinse(first) => {
            let rinse = tr!(
                "{} is in it. Empty it and rinse it before {} goes in.",
                &first.was,
                &bay.chemical().name
            );
            match first.never {
                Some(reason) => format!("{} {rinse}", text(&reason.words())),
                None => rinse,
            }
        }
        NoFigure::Uncalibrated => {
            tr!(
                "{} is not calibrated: nobody knows what lands. Calibrate it first.",
                sprayer
            )
        }
        NoFigure::Void(cause) => tr!(
            "{}: {}. The old figure no longer applies. Calibrate it again.",
            sprayer,
            cause_headline(*cause)
        ),
        NoFigure::OutOfReach { wanted, strongest } => tr!(
            "{} wants {}; neat product gives at most {} here.",
            &bay.chemical().name,
            wanted.shown(),
            strongest.shown()
        ),
        NoFigure::Unmeasurable { dose } => {
            let right = bay.shown(*dose);
            tr!("{} would be right: no measure here shows that.", right)
        }
        NoFigure::AboveBand { lands, most } => above_band(*lands, *most),
    }
}

/// What can be done about it.
pub fn way_out(bay: &Bay, why: &NoFigure) -> Vec<Pressed> {
    match why {
        NoFigure::Uncalibrated | NoFigure::Void(_) if !bay.sprayer().kind.is_direct() => {
            let page = Action::Show(Page::Ways);
            vec![Pressed::new(tr!("Calibrate"), "", page).main()]
        }
        NoFigure::Rinse(_) => {
            let page = Action::Show(Page::Rinse);
            vec![Pressed::new(tr!("Rinse it"), "", page).main()]
        }
        _ => Vec::new(),
    }
}

impl Shown {
    /// Nothing but why there is no figure.
    pub fn without_figure(mut self, bay: &Bay, why: &NoFigure) -> Self {
        match why {
            NoFigure::Rinse(_) => self.alarm = tr!("Never top it up with another product."),
            NoFigure::Void(_) | NoFigure::OutOfReach { .. } => self.alarm = tr!("Do not use"),
            _ => {}
        }
        self.words = no_figure(bay, why);
        self.lower = way_out(bay, why);
        self
    }
}

/// Short words for a strength outside of the band; empty inside.
pub fn outside(in_band: InBand) -> String {
    match in_band {
        InBand::Below => tr!("TOO WEAK"),
        InBand::Above => tr!("TOO STRONG"),
        InBand::Inside | InBand::NoBand => String::new(),
    }
}

/// What a strength is held against.
pub fn band_words(bay: &Bay, wanted: Option<Strength>) -> String {
    match (bay.chemical().band, wanted) {
        (Some(band), _) => tr!(
            "Band: {} to {}.",
            band.least.shown().trim_end_matches(" %"),
            band.most.shown()
        ),
        (None, Some(wanted)) => tr!("{} is wanted.", wanted.shown()),
        (None, None) => String::new(),
    }
}
