//! From what was typed to what goes into the set-up file, with a sentence where it cannot be.

use super::fields::{Field, Figure, Kind, kind_of};
use super::half::{Half, Unit};
use super::{options, present};
use crate::bay::limits;
use crate::bay::setup::Setup;
use crate::bay::setup_change::{Place, Value};
use crate::bay::typed::{Typed, TypedUnit};
use crate::text;
use crate::trade::chemical::{Band, Chemical, Target};
use crate::trade::letters::hiding;
use crate::trade::text::Text;
use crate::trade::units::{BottleRatio, Strength, Volume, trim_number};
use chrono::NaiveTime;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// A key and what it becomes; `None` takes it away.
pub type Pair = (&'static str, Option<Value>);

/// What an answer is held against.
pub struct Beside<'a> {
    /// The set-up as it is.
    pub setup: &'a Setup,
    /// The item that is changed; `None` for a new one, and for what there is one of.
    pub item: Option<&'a Place>,
    /// The kind of a new item.
    pub kind: Option<Kind>,
    /// What was answered before it in the same walk.
    pub answers: &'a BTreeMap<Field, Vec<Pair>>,
}

impl Beside<'_> {
    fn answered(&self, key: &str) -> Option<&str> {
        let pairs = self.answers.values().flatten();
        pairs.rev().find_map(|(k, value)| match value {
            Some(Value::Text(text)) if *k == key => Some(text.as_str()),
            _ => None,
        })
    }
    fn chemical(&self) -> Option<&Chemical> {
        present::chemical(self.setup, self.item)
    }
    fn size(&self) -> Option<Volume> {
        let answered = self.answered("size").and_then(|s| Volume::parse(s).ok());
        answered.or_else(|| present::measure(self.setup, self.item).map(|m| m.size))
    }
    /// Hazard statements tell what it does: its label need not warn of more.
    fn has_hazards(&self) -> bool {
        let answered = self.answers.get(&Field::Hazards).map(|pairs| {
            pairs
                .iter()
                .any(|(_, value)| matches!(value, Some(Value::List(list)) if !list.is_empty()))
        });
        let known = || self.chemical().is_some_and(|c| !c.hazards.is_empty());
        answered.unwrap_or_else(known)
    }
    fn graduation(&self) -> Option<Volume> {
        present::measure(self.setup, self.item).map(|m| m.graduation)
    }
}

/// Takes a field away, where it may be.
pub fn left_out(field: Field) -> Vec<Pair> {
    match field {
        Field::QuietFrom | Field::QuietTo | Field::QuietVolume => {
            [Field::QuietFrom, Field::QuietTo, Field::QuietVolume]
                .map(|field| (field.key(), None))
                .into()
        }
        Field::NightFrom | Field::NightTo => [Field::NightFrom, Field::NightTo]
            .map(|field| (field.key(), None))
            .into(),
        field => vec![(field.key(), None)],
    }
}

/// One of a few that was picked.
pub fn picked(field: Field, id: &str) -> Vec<Pair> {
    let text = || Some(Value::Text(id.into()));
    match field {
        Field::MayChange => vec![(field.key(), Some(Value::Flag(id == options::YES)))],
        // What is in a direct sprayer comes out: no washer feeds it.
        Field::SprayerKind if id == "direct sprayer" => {
            vec![
                (field.key(), text()),
                (Field::Washer.key(), None),
                (Field::Dial.key(), None),
            ]
        }
        Field::Order if id == options::USUAL => left_out(field),
        field => vec![(field.key(), text())],
    }
}

/// What was typed.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn typed(field: Field, half: &Half, beside: &Beside<'_>) -> Result<Vec<Pair>, Text> {
    let value = match half {
        Half::Text { text, .. } if text.trim().is_empty() && field.may_be_left_out() => {
            return Ok(left_out(field));
        }
        Half::Text { text, .. } => Value::Text(name(field, text, beside)?),
        Half::Number { typed, unit } => return number(field, typed, *unit, beside),
        // Then the hazard statements say.
        Half::Many(picked) if picked.is_empty() && field == Field::Protection => {
            return Ok(left_out(field));
        }
        Half::Many(picked) => Value::List(picked.clone()),
        Half::Lines { lines, .. } if lines.is_empty() && !beside.has_hazards() => {
            return Err(text!("At least one line: what does its label warn of?"));
        }
        Half::Lines { lines, .. } => {
            lines.iter().try_for_each(|line| seen_whole(line))?;
            Value::List(lines.clone())
        }
        Half::Nothing => return Err(text!("Pick one.")),
    };
    Ok(vec![(field.key(), Some(value))])
}

fn name(field: Field, text: &str, beside: &Beside<'_>) -> Result<String, Text> {
    let text = text.trim();
    if text.is_empty() {
        return Err(text!("Nothing is typed yet."));
    }
    seen_whole(text)?;
    let is_name = matches!(
        field,
        Field::SprayerName | Field::ChemicalName | Field::MeasureName | Field::VehicleName
    );
    let kind = beside.kind.or_else(|| beside.item.and_then(kind_of));
    if let (true, Some(kind)) = (is_name, kind) {
        let own = beside.item.and_then(Place::id);
        let same = |other: &str| other.trim().to_lowercase() == text.to_lowercase();
        let mut others = kind.items(beside.setup).into_iter();
        if others.any(|(id, name)| Some(id.as_str()) != own && same(&name)) {
            return Err(text!(
                "Another one is called {}: give it a name of its own.",
                text
            ));
        }
    }
    Ok(text.into())
}

/// Nothing in it hides itself or turns other letters around.
fn seen_whole(text: &str) -> Result<(), Text> {
    match hiding(text) {
        None => Ok(()),
        Some(sign) => Err(text!(
            "A sign in it cannot be seen or turns letters around ({}): leave it out.",
            format!("U+{:04X}", u32::from(sign))
        )),
    }
}

fn number(field: Field, typed: &Typed, unit: Unit, beside: &Beside<'_>) -> Result<Vec<Pair>, Text> {
    let number = typed
        .number()
        .ok_or_else(|| text!("Nothing is typed yet."))?;
    let value = match unit {
        Unit::Volume(unit) => {
            let volume = Volume::ml(number * unit.ml().unwrap_or(1.0));
            volume_fits(field, volume, beside)?;
            Value::Text(format!(
                "{} {}",
                typed.text().trim_end_matches('.'),
                word_of(unit)
            ))
        }
        Unit::Percent | Unit::Of(Figure::Percent | Figure::Target) => {
            return percent(field, number, beside);
        }
        Unit::OnePlus => {
            let ratio = BottleRatio::parts_water(number)
                .filter(|ratio| limits::WATER_PARTS.contains(&ratio.water_parts()))
                .ok_or_else(|| from_to(&limits::WATER_PARTS, ""))?;
            let ratio = format!("1 + {}", trim_number(ratio.water_parts(), 3));
            return Ok(vec![
                ("bottle_ratio", Some(Value::Text(ratio))),
                ("on_vehicle", None),
            ]);
        }
        Unit::Of(Figure::Clock) => Value::Text(time(typed.text())?),
        Unit::Of(Figure::Grams) => match limits::STEP_GRAMS.contains(&number) {
            true => Value::Text(format!("{} g", trim_number(number, 2))),
            false => return Err(from_to(&limits::STEP_GRAMS, " g")),
        },
        Unit::Of(Figure::Money) => Value::Number(within(number, &limits::COST)?),
        Unit::Of(Figure::Share) => Value::Number(within(number, &limits::SHARE)?),
        Unit::Of(_) => Value::Whole(whole(field, number, beside)?),
    };
    Ok(vec![(field.key(), Some(value))])
}

/// The number, where it is in the range.
fn within(number: f64, range: &RangeInclusive<f64>) -> Result<f64, Text> {
    match range.contains(&number) {
        true => Ok(number),
        false => Err(from_to(range, "")),
    }
}

/// What a number may be, each end with its unit.
fn from_to(range: &RangeInclusive<f64>, unit: &str) -> Text {
    let end = |end: &f64| format!("{}{unit}", trim_number(*end, 3));
    text!("It is from {} to {}.", end(range.start()), end(range.end()))
}

/// The unit as the set-up file writes it.
const fn word_of(unit: TypedUnit) -> &'static str {
    match unit {
        TypedUnit::Litres => "l",
        TypedUnit::UsFluidOunces => "US fl oz",
        TypedUnit::UsGallons => "US gal",
        TypedUnit::UkFluidOunces => "UK fl oz",
        TypedUnit::UkGallons => "UK gal",
        _ => "ml",
    }
}

/// What a volume of the set-up may be.
fn volumes_of(field: Field) -> RangeInclusive<Volume> {
    match field {
        Field::Holds => limits::HOLDS,
        Field::Size => limits::SIZE,
        Field::Graduation => limits::GRADUATION,
        Field::Spray => limits::SPRAY,
        _ => limits::DELIVERED_IN,
    }
}

/// In its range, and the lines of a measure not wider than all of it.
fn volume_fits(field: Field, volume: Volume, beside: &Beside<'_>) -> Result<(), Text> {
    let range = volumes_of(field);
    if !range.contains(&volume) {
        return Err(text!(
            "{} cannot be: it is from {} to {}.",
            volume.shown(),
            range.start().shown(),
            range.end().shown()
        ));
    }
    let more = |step: Volume, size: Volume| {
        text!(
            "{} from line to line is more than all of {}.",
            step.shown(),
            size.shown()
        )
    };
    match field {
        Field::Graduation => match beside.size() {
            Some(size) if volume > size => Err(more(volume, size)),
            _ => Ok(()),
        },
        Field::Size => match beside.graduation() {
            Some(step) if step > volume => Err(more(step, volume)),
            _ => Ok(()),
        },
        _ => Ok(()),
    }
}

fn percent(field: Field, number: f64, beside: &Beside<'_>) -> Result<Vec<Pair>, Text> {
    let strength = Strength::percent(number)
        .ok_or_else(|| text!("A strength is above 0 % and at most 100 %."))?;
    let written = |number: f64| format!("{} %", trim_number(number, 4));
    let text = || Value::Text(written(number));
    let chemical = beside.chemical();
    match field {
        Field::Target => {
            target_fits(strength, chemical)?;
            Ok(vec![("on_vehicle", Some(text())), ("bottle_ratio", None)])
        }
        Field::BandLeast | Field::BandMost => {
            let band = chemical.and_then(|c| c.band);
            let answered = beside.answers.get(&Field::BandLeast).and_then(|pairs| {
                pairs.iter().find_map(|(_, value)| match value {
                    Some(Value::List(ends)) => ends.first().cloned(),
                    _ => None,
                })
            });
            let end = |strength: Strength| written(strength.as_percent());
            let ends = match field {
                Field::BandLeast => [
                    written(number),
                    end(band.map_or(Strength::NEAT, |b| b.most)),
                ],
                _ => {
                    let least = band.map(|band| end(band.least)).or(answered);
                    let least = least.ok_or_else(|| text!("Set the weakest first."))?;
                    [least, written(number)]
                }
            };
            band_fits(&ends, chemical)?;
            Ok(vec![("band", Some(Value::List(ends.into())))])
        }
        Field::ProductStrength => {
            if let Some(Target::OnVehicle(wanted)) = chemical.map(|c| c.target)
                && wanted > strength
            {
                return Err(text!(
                    "{} is wanted on the vehicle, which is more than {}: no dose reaches it.",
                    wanted.shown(),
                    strength.shown()
                ));
            }
            Ok(vec![(field.key(), Some(text()))])
        }
        Field::CheckLimit if number >= 100.0 => Err(text!("It is below 100 %.")),
        field => Ok(vec![(field.key(), Some(text()))]),
    }
}

fn target_fits(wanted: Strength, chemical: Option<&Chemical>) -> Result<(), Text> {
    let Some(chemical) = chemical else {
        return Ok(());
    };
    if let Some(band) = chemical.band
        && !band.holds(wanted)
    {
        return Err(text!(
            "{} is outside of {} to {}: change what is allowed first.",
            wanted.shown(),
            band.least.shown(),
            band.most.shown()
        ));
    }
    if wanted > chemical.product_strength {
        return Err(text!(
            "{} is stronger than the product as it is delivered, {}.",
            wanted.shown(),
            chemical.product_strength.shown()
        ));
    }
    Ok(())
}

fn band_fits(ends: &[String; 2], chemical: Option<&Chemical>) -> Result<(), Text> {
    let [Ok(least), Ok(most)] = [&ends[0], &ends[1]].map(|end| Strength::parse(end)) else {
        return Ok(());
    };
    let band = Band { least, most };
    if least >= most {
        return Err(text!(
            "{} is not weaker than {}.",
            least.shown(),
            most.shown()
        ));
    }
    if let Some(Target::OnVehicle(wanted)) = chemical.map(|c| c.target)
        && !band.holds(wanted)
    {
        return Err(text!(
            "{} is wanted, which is outside of {} to {}: change the strength first.",
            wanted.shown(),
            least.shown(),
            most.shown()
        ));
    }
    Ok(())
}

fn whole(field: Field, number: f64, beside: &Beside<'_>) -> Result<i64, Text> {
    let range = match field {
        Field::Washes => limits::DUE_WASHES,
        Field::OverdueWashes => limits::OVERDUE_WASHES,
        Field::Days => limits::DUE_DAYS,
        Field::PutOffWashes => limits::PUT_OFF_WASHES,
        Field::PutOffTimes => limits::PUT_OFF_TIMES,
        Field::Volume | Field::QuietVolume => limits::LOUDNESS,
        Field::LeadMinutes => limits::LEAD_MINUTES,
        Field::DimMinutes => limits::DIM_MINUTES,
        Field::DimPercent => limits::DIM_PERCENT,
        _ => limits::WARN_DAYS,
    };
    let (least, most) = (*range.start(), *range.end());
    if number.fract() != 0.0 || !(f64::from(least)..=f64::from(most)).contains(&number) {
        return Err(text!("It is a whole number from {} to {}.", least, most));
    }
    let washes = beside.setup.limits.washes;
    if field == Field::OverdueWashes && number <= f64::from(washes) {
        return Err(text!(
            "It is due after {}: overdue is more than that.",
            washes
        ));
    }
    Ok(number as i64)
}

fn time(digits: &str) -> Result<String, Text> {
    let wrong = || text!("Four digits: 0630 is half past six in the morning.");
    if digits.len() != 4 {
        return Err(wrong());
    }
    let (hours, minutes) = digits.split_at(2);
    let time = NaiveTime::from_hms_opt(
        hours.parse().map_err(|_| wrong())?,
        minutes.parse().map_err(|_| wrong())?,
        0,
    );
    Ok(time.ok_or_else(wrong)?.format("%H:%M").to_string())
}
