//! Another dose than the one shown was poured.

use super::super::generated::MixPage;
use super::super::tongue::tr;
use super::left_over::{measure_words, show_addition, unmeasurable, verdict};
use super::reasons::{band_words, no_figure};
use super::{Pressed, Shown, figure, lands};
use crate::bay::at_work::Bay;
use crate::bay::mixing::{MispouredSays, MixAction, MixStage, NoFigure};
use crate::trade::fill_plan::InBand;
use crate::trade::topping_up::Remedy;
use crate::trade::units::Strength;

/// Offers to take the fill that was logged just now back, where there is one.
fn in_its_place(bay: &Bay) -> Option<Pressed> {
    let (_, _, fill) = bay.logged_just_now()?;
    let note = bay.shown(fill.poured);
    Some(match bay.mixing().mispour().replaces() {
        true => Pressed::mix(tr!("In place of"), note, MixAction::Replace(false)),
        false => Pressed::mix(tr!("Beside"), note, MixAction::Replace(true)),
    })
}

pub fn poured(bay: &Bay) -> Shown {
    let words = match bay.meant() {
        Ok(meant) => tr!(
            "Meant: {} in {}. How much product was really poured?",
            bay.shown(meant.product),
            bay.level_shown(meant.fill)
        ),
        Err(why) => no_figure(bay, &why),
    };
    Shown::volume(bay, tr!("Poured"), words)
}

pub fn level(bay: &Bay) -> Shown {
    let words = tr!("How much is in it now, product and water?");
    let mut shown = Shown::volume(bay, tr!("In all"), words);
    if let Ok(meant) = bay.meant() {
        let as_meant = Pressed::mix(
            bay.level_shown(meant.fill),
            tr!("as meant"),
            MixAction::ToTheLine,
        );
        shown.lower.insert(0, as_meant);
    }
    shown
}

pub fn result(bay: &Bay) -> Shown {
    let mut shown = Shown::new(
        MixPage::Result,
        tr!("Mispoured"),
        bay.sprayer().name.as_str(),
    );
    let (contents, strength, in_band, remedy) = match bay.mispoured_says() {
        MispouredSays::NoFigure(why) => return shown.without_figure(bay, &why),
        MispouredSays::Ask => return shown,
        MispouredSays::Lands {
            contents,
            strength,
            in_band,
            remedy,
        } => (contents, strength, in_band, remedy),
    };
    shown.note = tr!(
        "{} product in {}",
        bay.shown(contents.product()),
        bay.level_shown(contents.volume)
    );
    let level = Pressed::mix(
        tr!("In it"),
        bay.level_shown(contents.volume),
        MixAction::Open(MixStage::Level),
    );
    let Some(remedy) = remedy else {
        let unit = bay.unit_for(contents.volume);
        shown.title = tr!("It can be used");
        shown.figures = vec![
            lands(strength, tr!("lands")),
            figure(
                bay.unit_for(contents.product()),
                contents.product(),
                tr!("product"),
            ),
            figure(unit, unit.water(contents.volume), tr!("in all")),
        ];
        shown.words = verdict(bay, in_band);
        shown.lower.push(level);
        shown.lower.extend(in_its_place(bay));
        let log = MixAction::LogPoured;
        shown
            .lower
            .push(Pressed::mix(tr!("Use it"), tr!("log it"), log).main());
        return shown;
    };
    shown.alarm = do_not_use(bay, strength, in_band);
    let mut adds = true;
    match &remedy {
        Remedy::Add(addition) => {
            shown.title = tr!("Put right: add");
            show_addition(bay, &mut shown, addition);
            shown.words = measure_words(addition);
        }
        Remedy::PourOff { away, then, .. } => {
            shown.title = match *away >= contents.volume {
                true => tr!("Pour all of it off"),
                false => tr!("Pour off {}", bay.level_shown(*away)),
            };
            show_addition(bay, &mut shown, then);
            shown.words = format!("{} {}", tr!("Then add."), measure_words(then));
        }
        Remedy::OutOfReach { wanted, strongest } => {
            let (wanted, strongest) = (*wanted, *strongest);
            shown.words = no_figure(bay, &NoFigure::OutOfReach { wanted, strongest });
            adds = false;
        }
        Remedy::Unmeasurable { .. } => {
            shown.words = unmeasurable();
            adds = false;
        }
    }
    shown.words = format!(
        "{} {}",
        shown.words,
        band_words(bay, bay.ground().ok().map(|g| g.wanted))
    );
    shown
        .lower
        .push(Pressed::mix(tr!("Say it"), "", MixAction::Say));
    shown.lower.push(level);
    shown.lower.extend(in_its_place(bay));
    shown.lower.push(Pressed::mix(
        tr!("Log only"),
        tr!("as it is"),
        MixAction::LogPoured,
    ));
    if adds {
        shown
            .lower
            .push(Pressed::mix(tr!("Added"), tr!("log both"), MixAction::Done).main());
    }
    shown
}

fn do_not_use(bay: &Bay, strength: Strength, in_band: InBand) -> String {
    let above = match in_band {
        InBand::Above => true,
        InBand::Below | InBand::Inside => false,
        InBand::NoBand => bay.ground().is_ok_and(|ground| strength > ground.wanted),
    };
    match above {
        true => tr!("Do not use: {} lands, too strong", strength.shown()),
        false => tr!("Do not use: {} lands, too weak", strength.shown()),
    }
}
