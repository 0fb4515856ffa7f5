//! The wall card: every sprayer with every chemical, for the day the screen is dead.

mod beeps;
mod csv;
mod html;
mod page;
mod text;

pub(super) use csv::{band_word, field};

use super::at_work::Bay;
use crate::trade::chemical::{Chemical, Order, Target};
use crate::trade::dilution::{Dose, DrawFraction};
use crate::trade::fill_plan::{self, FillPlan, InBand, Part, Plan};
use crate::trade::reminder::Standing;
use crate::trade::units::{BottleRatio, LineUnit, Strength, Volume, trim_number};
use chrono::NaiveDate;

/// How the card is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// For a terminal or a plain printer.
    Text,
    /// For a spreadsheet; the columns are fixed.
    Csv,
    /// For a browser, to be printed.
    Html,
}

/// How a row of the card stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowState {
    /// As the sprayer's calibration stands.
    Standing(Standing),
    /// The strength is more than the sprayer reaches.
    OutOfReach,
}

impl RowState {
    /// One word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Standing(standing) => standing.word(),
            Self::OutOfReach => "out-of-reach",
        }
    }
}

/// The figures of one sprayer with one chemical, as far as there are any.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The sprayer's id and name.
    pub sprayer: (String, String),
    /// The chemical's id and name.
    pub chemical: (String, String),
    /// The wanted strength on the vehicle.
    pub wanted: Option<Strength>,
    /// A whole fill.
    pub fill: Volume,
    /// The dose, unrounded.
    pub dose: Option<Volume>,
    /// What is poured, and the water.
    pub pour: Option<Dose>,
    /// The measure to pour with, by name.
    pub measure: Option<String>,
    /// The unit of its lines, which product and water are told in.
    pub unit: LineUnit,
    /// What the measure is too coarse for, and what would be finer.
    pub coarse: Option<String>,
    /// What the poured dose puts on the vehicle.
    pub poured_strength: Option<Strength>,
    /// Where that lies in the chemical's band, whatever strength the shift lead set.
    pub in_band: InBand,
    /// Which of product and water is poured first.
    pub order: Order,
    /// The bottle ratio of what is poured.
    pub ratio: Option<BottleRatio>,
    /// The strongest that the sprayer reaches.
    pub reach: Option<Strength>,
    /// What the dose was multiplied with for how the mix draws.
    pub correction: Option<f64>,
    /// The shift lead set another strength than the set-up's.
    pub set: Option<Set>,
    /// How it stands.
    pub state: RowState,
}

/// A strength that the shift lead set in place of the set-up's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Set {
    /// The one day that it holds for; `None` where it holds until it is changed.
    pub only_on: Option<NaiveDate>,
    /// The strength of the set-up; `None` where that follows from a calibration that is not there.
    pub usual: Option<Strength>,
    /// What is poured for that, and the unit of the measure it is poured with; `None` where there is
    /// no figure.
    pub usual_pour: Option<(Volume, LineUnit)>,
}

/// The rows of the card, by sprayer and then by chemical, as in the set-up.
pub fn rows(bay: &Bay) -> Vec<Row> {
    let setup = bay.setup();
    let mut rows = Vec::new();
    for sprayer in &setup.sprayers {
        let calibration = bay.calibration(&sprayer.id);
        let water = fill_plan::draw_fraction(sprayer, calibration);
        for chemical in &setup.chemicals {
            let usual = chemical;
            let chemical = bay.at_strength_in_force(&sprayer.id, &chemical.id);
            let correction = bay.correction(&sprayer.id, &chemical.id);
            let draw = water.and_then(|draw| fill_plan::with_mix(draw, correction));
            let standing = bay.standing(sprayer);
            let mut row = Row {
                sprayer: (sprayer.id.clone(), sprayer.name.clone()),
                chemical: (chemical.id.clone(), chemical.name.clone()),
                wanted: wanted(chemical, draw),
                fill: fill_plan::holds(sprayer, calibration),
                dose: None,
                pour: None,
                measure: None,
                unit: bay.unit_for(fill_plan::holds(sprayer, calibration)),
                coarse: None,
                poured_strength: None,
                in_band: InBand::NoBand,
                order: chemical.order(),
                ratio: None,
                reach: draw.map(|draw| draw.reach(chemical.product_strength)),
                correction,
                set: (chemical.target != usual.target).then(|| Set {
                    only_on: bay.strength_only_on(&sprayer.id, &chemical.id),
                    usual: wanted(usual, draw),
                    usual_pour: match bay.plan_for(sprayer, usual, Part::Full) {
                        Plan::Fill(plan) => {
                            Some((plan.pour.dose.product, plan.pour.measure.unit()))
                        }
                        _ => None,
                    },
                }),
                state: RowState::Standing(standing),
            };
            match bay.plan_for(sprayer, chemical, Part::Full) {
                Plan::Uncalibrated => {}
                Plan::Unmeasurable { dose } => row.dose = Some(dose),
                Plan::AboveBand { .. } => row.in_band = InBand::Above,
                Plan::OutOfReach { .. } => {
                    // A void calibration cannot even say what is out of reach.
                    if !matches!(standing, Standing::Void(_)) {
                        row.state = RowState::OutOfReach;
                    }
                }
                Plan::Fill(plan) => {
                    row.dose = Some(plan.exact.product);
                    row.pour = Some(plan.pour.dose);
                    row.measure = Some(plan.pour.measure_words().to_string());
                    row.unit = plan.pour.measure.unit();
                    row.coarse = plan.coarse.then(|| coarse_words(&plan));
                    row.poured_strength = Some(plan.pour.strength);
                    // Of the set-up: a strength that was set above it is held against no other.
                    row.in_band = InBand::of(usual, plan.pour.strength);
                    row.ratio = plan.ratio;
                }
            }
            rows.push(row);
        }
    }
    rows
}

/// The strength wanted on the vehicle, as far as it is known.
fn wanted(chemical: &Chemical, draw: Option<DrawFraction>) -> Option<Strength> {
    match (chemical.target, draw) {
        (Target::OnVehicle(strength), _) => Some(strength),
        (Target::Bottle(_), draw) => fill_plan::wanted(chemical, draw?),
    }
}

/// The card of a bay.
pub fn write(bay: &Bay, made: chrono::DateTime<chrono::FixedOffset>, format: Format) -> String {
    let rows = rows(bay);
    match format {
        Format::Text => text::write(bay, &rows, made),
        Format::Csv => csv::write(&rows),
        Format::Html => html::write(bay, &rows, made),
    }
}

/// What the card says besides its figures, in every format for people.
const CAUTIONS: [&str; 5] = [
    "Gloves and eye protection. Fresh air. Never point a lance at anyone: a jet wound is an emergency.",
    "Acid into water, never water into acid; other products as their labels say. Never mix chemicals: acid and hypochlorite make chlorine gas.",
    "Rinse the sprayer when the chemical changes. Keep to the rules on drains.",
    "The label, the safety data sheet, local rules and trained people come before this card.",
    "A figure holds for one nozzle on one washer. When either changes, do not use it: calibrate.",
];

/// What a sprayer is on the card: what it holds and since when its figures are known.
fn sprayer_line(bay: &Bay, row: &Row) -> String {
    let (id, name) = &row.sprayer;
    let past = bay.past(id);
    let direct = bay.setup().sprayer(id).is_some_and(|s| s.kind.is_direct());
    let calibrated = match past.calibration {
        _ if direct => return format!("{name}, holds {}", row.fill_shown()),
        None => "never calibrated".into(),
        Some(record) => {
            let taken = record.taken.format("%Y-%m-%d");
            match past.washes_since {
                1 => format!("calibrated {taken}, 1 wash since"),
                n => format!("calibrated {taken}, {n} washes since"),
            }
        }
    };
    format!("{name}, holds {}; {calibrated}", row.fill_shown())
}

/// What the label of each product warns of, a line each. In English, as all of the card but what the
/// bay itself wrote.
fn own_cautions(bay: &Bay) -> Vec<String> {
    let warns = |chemical: &Chemical| {
        let statements = chemical.hazards.iter().map(|h| h.statement().to_string());
        let all: Vec<String> = statements
            .chain(chemical.cautions.iter().cloned())
            .collect();
        let sentences = all.iter().map(|s| match s.ends_with(['.', '!']) {
            true => s.clone(),
            false => format!("{s}."),
        });
        let words = sentences.collect::<Vec<_>>().join(" ");
        (!words.is_empty()).then(|| format!("{}: {words}", chemical.name))
    };
    bay.setup().chemicals.iter().filter_map(warns).collect()
}

/// What a strength that the shift lead set is to be taken for, with the figures of the set-up.
fn set_words(set: &Set) -> String {
    let holds = match set.only_on {
        Some(day) => format!("strength set by the shift lead for {day} ONLY"),
        None => "strength set by the shift lead until changed".into(),
    };
    let usual = match (set.usual, set.usual_pour) {
        (Some(strength), Some((pour, unit))) => {
            format!("{}, {}", strength.shown(), unit.shown(pour))
        }
        (Some(strength), None) => strength.shown(),
        (None, _) => return holds,
    };
    format!("{holds} (set-up: {usual})")
}

/// That a measure is coarse for its dose, and which one would not be.
fn coarse_words(plan: &FillPlan) -> String {
    match &plan.finer {
        Some(finer) => format!(
            "COARSE measure, better: {} in {}",
            finer.product_shown(),
            finer.measure_words()
        ),
        None => format!(
            "COARSE measure, better: lines of {} or finer",
            plan.lines_needed_shown()
        ),
    }
}

impl Row {
    /// Product and water of what is poured, as people read them.
    fn poured_shown(&self) -> Option<(String, String)> {
        let (pour, unit) = (self.pour?, self.unit);
        let water = unit.shown(unit.water(pour.water));
        Some((unit.shown(pour.product), water))
    }
    /// The container up to its line, as people read it.
    fn fill_shown(&self) -> String {
        match self.unit {
            LineUnit::Metric => self.fill.shown(),
            unit => unit.shown(unit.water(self.fill)),
        }
    }
}

/// The state of a row for people.
fn state_words(row: &Row) -> String {
    let rounding = match (row.dose, &row.pour, row.in_band) {
        (Some(dose), None, _) => {
            let dose = row.unit.shown(dose);
            Some(format!("{dose} is too little to measure"))
        }
        (_, Some(_), InBand::Below) => Some("BELOW its band".into()),
        (_, Some(_), InBand::Above) => Some("ABOVE its band".into()),
        (_, None, InBand::Above) => Some("ABOVE its band: no dose".into()),
        _ => None,
    };
    let standing = match (row.state, row.reach) {
        (RowState::Standing(Standing::Void(_)), _) => return "VOID: do not use".into(),
        (RowState::Standing(Standing::None), _) => "not calibrated".into(),
        (RowState::Standing(Standing::Good), _) => String::new(),
        (RowState::Standing(Standing::Due), _) => "calibration due".into(),
        (RowState::Standing(Standing::Overdue), _) => "calibration overdue".into(),
        (RowState::OutOfReach, Some(reach)) => format!("out of reach: at most {}", reach.shown()),
        (RowState::OutOfReach, None) => "out of reach".into(),
    };
    let corrected = row
        .correction
        .filter(|_| row.state != RowState::OutOfReach)
        .map(|factor| format!("corrected for its mix: × {}", trim_number(factor, 2)));
    let set = row.set.as_ref().map(set_words);
    let order = match row.order {
        Order::WaterFirst if row.pour.is_some() => "WATER FIRST, then the product",
        _ => "",
    };
    [
        order.to_owned(),
        standing,
        rounding.unwrap_or_default(),
        row.coarse.clone().unwrap_or_default(),
        set.unwrap_or_default(),
        corrected.unwrap_or_default(),
    ]
    .into_iter()
    .filter(|words| !words.is_empty())
    .collect::<Vec<_>>()
    .join(", ")
}

/// The figures of a row may be used: they are there and not void.
fn usable(row: &Row) -> bool {
    row.pour.is_some() && !matches!(row.state, RowState::Standing(Standing::Void(_)))
}
