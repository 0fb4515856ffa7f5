//! What happened, added up: the one place from which the screens, the codes for a phone and the tests
//! of the table take their figures.

use super::dated::Dated;
use super::landing::Became;
use super::set_outside::{SetOutside, set_outside};
use crate::bay::records::{Fill, Happening, Logged};
use crate::bay::setup::Setup;
use crate::trade::chemical::Band;
use crate::trade::dilution::DrawFraction;
use crate::trade::units::{Strength, Volume};
use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Over which time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Span {
    /// The day of the wall's clock.
    #[default]
    Today,
    /// Today and the six days before.
    Week,
    /// Everything, with or without a date.
    All,
}

/// The days of a week.
const WEEK: u64 = 7;

impl Span {
    /// Its days, oldest first: none where today is not known, and none for everything.
    pub fn days(self, today: Option<NaiveDate>) -> Vec<NaiveDate> {
        let Some(today) = today else {
            return Vec::new();
        };
        let count = match self {
            Self::Today => 1,
            Self::Week => WEEK,
            Self::All => 0,
        };
        (0..count)
            .rev()
            .filter_map(|back| today.checked_sub_days(Days::new(back)))
            .collect()
    }

    /// True where a happening of that day belongs to it. `days` are [`Self::days`].
    pub fn holds(self, days: &[NaiveDate], day: Option<NaiveDate>) -> bool {
        self == Self::All || day.is_some_and(|day| days.contains(&day))
    }
}

/// Of what.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Whose {
    /// Of this sprayer alone, by id.
    pub sprayer: Option<String>,
    /// Of this chemical alone, by id.
    pub chemical: Option<String>,
}

impl Whose {
    fn takes(&self, sprayer: &str, chemical: &str) -> bool {
        self.takes_sprayer(sprayer) && self.takes_chemical(chemical)
    }
    pub(super) fn takes_chemical(&self, chemical: &str) -> bool {
        self.chemical.as_deref().is_none_or(|id| id == chemical)
    }
    pub(super) fn takes_sprayer(&self, sprayer: &str) -> bool {
        self.sprayer.as_deref().is_none_or(|id| id == sprayer)
    }
}

/// What was done and used.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Figures {
    /// Vehicles.
    pub washes: u32,
    /// Containers made up or topped up.
    pub fills: u32,
    /// Product poured for them, as delivered.
    pub product: Volume,
    /// What it costs at the prices of the set-up.
    pub money: f64,
    /// The part of the product that has no price.
    pub unpriced: Volume,
}

impl Figures {
    /// True where nothing was done.
    pub fn is_nothing(&self) -> bool {
        self.washes == 0 && self.fills == 0
    }

    /// Both together.
    pub fn with(self, other: Self) -> Self {
        Self {
            washes: self.washes + other.washes,
            fills: self.fills + other.fills,
            product: self.product + other.product,
            money: self.money + other.money,
            unpriced: self.unpriced + other.unpriced,
        }
    }

    fn of(logged: &Logged, setup: &Setup) -> Self {
        match &logged.what {
            Happening::Wash { .. } => Self {
                washes: logged.times,
                ..Self::default()
            },
            Happening::Fill(fill) => {
                let money = money(fill, setup);
                Self {
                    fills: 1,
                    product: fill.poured,
                    money: money.unwrap_or(0.0),
                    unpriced: match money {
                        Some(_) => Volume::ZERO,
                        None => fill.poured,
                    },
                    ..Self::default()
                }
            }
            _ => Self::default(),
        }
    }
}

/// What the product of a fill costs at the price of the set-up; `None` where it has none.
pub fn money(fill: &Fill, setup: &Setup) -> Option<f64> {
    let price = setup.chemical(&fill.chemical)?.cost_per_litre?;
    Some(price * fill.poured.as_litres())
}

/// The strengths that landed of one chemical.
#[derive(Debug, Clone, PartialEq)]
pub struct Landed {
    /// Its name.
    pub chemical: String,
    /// Its band.
    pub band: Option<Band>,
    /// Fill by fill, oldest first; never empty. One that was put right before it was used is none of
    /// them: what it was put right to is.
    pub fills: Vec<Strength>,
    /// The weakest.
    pub least: Strength,
    /// The mean over all that was sprayed: each fill weighs as much as its spray, F/d. Where the spray
    /// of any of them is not known, each weighs as much as was made up.
    pub mean: Strength,
    /// The strongest.
    pub most: Strength,
    /// How many of them were inside the band; `None` where it has none.
    pub inside: Option<usize>,
}

/// A calibration that was saved.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrated {
    /// The sprayer's name.
    pub sprayer: String,
    /// The day, where it is known.
    pub day: Option<NaiveDate>,
    /// What it draws.
    pub draw: Option<DrawFraction>,
}

/// Reminders that were put off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PutOffs {
    /// How often.
    pub times: u32,
    /// Washes that were done with the sprayer after that, until it was calibrated.
    pub washes: u32,
}

/// All of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// Over which days, oldest first; none where today is not known, and none for everything.
    pub days: Vec<NaiveDate>,
    /// All together.
    pub all: Figures,
    /// Day by day, oldest first.
    pub by_day: Vec<(NaiveDate, Figures)>,
    /// By the names of the sprayers that were used, in the order of the set-up.
    pub by_sprayer: Vec<(String, Figures)>,
    /// By the names of the chemicals that were used, in the order of the set-up.
    pub by_chemical: Vec<(String, Figures)>,
    /// Of the chemical of which most was used.
    pub landed: Option<Landed>,
    /// The calibrations, newest first.
    pub calibrated: Vec<Calibrated>,
    /// The reminders.
    pub put_off: PutOffs,
    /// Strengths that were set outside of what is allowed, in this time or still holding in it, newest
    /// first.
    pub set_outside: Vec<SetOutside>,
    /// Changes of nozzle, washer or supply.
    pub changes: u32,
    /// Changes of the set-up.
    pub setup_changes: u32,
    /// What has no date, and so belongs to no day.
    pub without_date: Figures,
}

/// The name of a sprayer or chemical of the set-up, or its id where it is not in it any more.
pub fn sprayer_name(setup: &Setup, id: &str) -> String {
    setup
        .sprayer(id)
        .map_or_else(|| id.to_owned(), |sprayer| sprayer.name.clone())
}

/// The same of a chemical.
pub fn chemical_name(setup: &Setup, id: &str) -> String {
    setup
        .chemical(id)
        .map_or_else(|| id.to_owned(), |chemical| chemical.name.clone())
}

/// What is added up by an id, in the order of the set-up, with what is not in it behind.
struct ById(Vec<(String, Figures)>);

impl ById {
    fn new<'a>(known: impl Iterator<Item = &'a String>) -> Self {
        Self(known.map(|id| (id.clone(), Figures::default())).collect())
    }
    fn add(&mut self, id: &str, figures: Figures) {
        match self.0.iter_mut().find(|(known, _)| known == id) {
            Some((_, sum)) => *sum = sum.with(figures),
            None => self.0.push((id.to_owned(), figures)),
        }
    }
    fn used(&self) -> impl Iterator<Item = &(String, Figures)> {
        self.0.iter().filter(|(_, figures)| !figures.is_nothing())
    }
    fn named(&self, name: impl Fn(&str) -> String) -> Vec<(String, Figures)> {
        self.used().map(|(id, f)| (name(id), *f)).collect()
    }
    /// The id of which most product was used, the first of equals.
    fn most_used(&self) -> Option<&str> {
        let mut most: Option<&(String, Figures)> = None;
        for one in self.0.iter().filter(|(_, f)| f.fills > 0) {
            if most.is_none_or(|(_, figures)| one.1.product > figures.product) {
                most = Some(one);
            }
        }
        most.map(|(id, _)| id.as_str())
    }
}

/// Adds up what happened. `log` is in the order of the records; `today` is [`super::dated::today`].
pub fn add_up(
    log: &[Dated],
    setup: &Setup,
    span: Span,
    today: Option<NaiveDate>,
    whose: &Whose,
) -> Report {
    let days = span.days(today);
    let mut report = Report {
        by_day: days.iter().map(|day| (*day, Figures::default())).collect(),
        ..Report::default()
    };
    let mut by_sprayer = ById::new(setup.sprayers.iter().map(|s| &s.id));
    let mut by_chemical = ById::new(setup.chemicals.iter().map(|c| &c.id));
    let mut fills: Vec<(&Fill, Option<Volume>)> = Vec::new();
    // The sprayers whose reminder was put off and which were not calibrated since.
    let mut waiting: BTreeSet<&str> = BTreeSet::new();
    for dated in log {
        let inside = span.holds(&days, dated.day);
        match &dated.logged.what {
            what @ (Happening::Wash { sprayer, chemical }
            | Happening::Fill(Fill {
                sprayer, chemical, ..
            })) => {
                let is_wash = matches!(what, Happening::Wash { .. });
                if is_wash && inside && whose.takes_sprayer(sprayer) && waiting.contains(&**sprayer)
                {
                    report.put_off.washes += dated.logged.times;
                }
                if !whose.takes(sprayer, chemical) {
                    continue;
                }
                let figures = Figures::of(&dated.logged, setup);
                if dated.day.is_none() {
                    report.without_date = report.without_date.with(figures);
                }
                if !inside {
                    continue;
                }
                report.all = report.all.with(figures);
                by_sprayer.add(sprayer, figures);
                by_chemical.add(chemical, figures);
                let own = report
                    .by_day
                    .iter_mut()
                    .find(|(d, _)| Some(*d) == dated.day);
                if let Some((_, sum)) = own {
                    *sum = sum.with(figures);
                }
                match (what, dated.became) {
                    (Happening::Fill(_), Some(Became::PutRight)) => {}
                    (Happening::Fill(fill), Some(Became::Spray(spray))) => {
                        fills.push((fill, spray));
                    }
                    (Happening::Fill(fill), None) => fills.push((fill, None)),
                    _ => {}
                }
            }
            Happening::Calibrated(record) => {
                waiting.remove(&*record.sprayer);
                if inside && whose.takes_sprayer(&record.sprayer) {
                    report.calibrated.push(Calibrated {
                        sprayer: sprayer_name(setup, &record.sprayer),
                        day: dated.day,
                        draw: record.calibration.draw_fraction(),
                    });
                }
            }
            Happening::PutOff { sprayer, .. } => {
                waiting.insert(sprayer);
                report.put_off.times += u32::from(inside && whose.takes_sprayer(sprayer));
            }
            Happening::Changed { sprayer, .. } => {
                report.changes += u32::from(inside && whose.takes_sprayer(sprayer));
            }
            Happening::SetupChanged(_) => report.setup_changes += u32::from(inside),
            _ => {}
        }
    }
    report.calibrated.reverse();
    report.set_outside = set_outside(log, setup, (span, &days), whose);
    report.landed = by_chemical
        .most_used()
        .and_then(|id| landed(id, &fills, setup));
    report.by_sprayer = by_sprayer.named(|id| sprayer_name(setup, id));
    report.by_chemical = by_chemical.named(|id| chemical_name(setup, id));
    report.days = days;
    report
}

/// What landed of one chemical, of the fills that used it and the spray that each came to.
fn landed(chemical: &str, fills: &[(&Fill, Option<Volume>)], setup: &Setup) -> Option<Landed> {
    let own = || fills.iter().filter(|(fill, _)| fill.chemical == chemical);
    let strengths: Vec<Strength> = own().map(|(fill, _)| fill.strength).collect();
    let first = *strengths.first()?;
    let (least, most) = strengths.iter().fold((first, first), |(least, most), s| {
        (
            if *s < least { *s } else { least },
            if *s > most { *s } else { most },
        )
    });
    let sprayed: Option<Vec<Volume>> = own().map(|(_, spray)| *spray).collect();
    let weights = sprayed.unwrap_or_else(|| own().map(|(fill, _)| fill.fill).collect());
    let all: f64 = weights.iter().map(|weight| weight.as_ml()).sum();
    let product: f64 = strengths
        .iter()
        .zip(&weights)
        .map(|(strength, weight)| strength.as_fraction() * weight.as_ml())
        .sum();
    // It lies between them, but for the last bit of the arithmetic; containers of nothing have none.
    let mean = (product / all).clamp(least.as_fraction(), most.as_fraction());
    let band = setup.chemical(chemical).and_then(|c| c.band);
    Some(Landed {
        chemical: chemical_name(setup, chemical),
        band,
        inside: band.map(|band| strengths.iter().filter(|s| band.holds(**s)).count()),
        mean: Strength::fraction(mean).unwrap_or(first),
        fills: strengths,
        least,
        most,
    })
}
