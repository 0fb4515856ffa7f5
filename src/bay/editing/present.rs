//! What the set-up says of a field at present.

use super::fields::Field;
use super::options;
use crate::bay::setup::{Hours, Setup};
use crate::bay::setup_change::Place;
use crate::text;
use crate::trade::chemical::{Chemical, Target};
use crate::trade::hazard::Hazard;
use crate::trade::measure::Measure;
use crate::trade::sprayer::Sprayer;
use crate::trade::text::Text;
use crate::trade::units::{Strength, Volume, trim_number};
use crate::trade::vehicle::VehicleClass;
use chrono::NaiveTime;

/// The sprayer that an item is.
pub fn sprayer<'a>(setup: &'a Setup, item: Option<&Place>) -> Option<&'a Sprayer> {
    match item? {
        Place::Sprayer(id) => setup.sprayer(id),
        _ => None,
    }
}
/// The chemical that an item is.
pub fn chemical<'a>(setup: &'a Setup, item: Option<&Place>) -> Option<&'a Chemical> {
    match item? {
        Place::Chemical(id) => setup.chemical(id),
        _ => None,
    }
}
/// The measure that an item is.
pub fn measure<'a>(setup: &'a Setup, item: Option<&Place>) -> Option<&'a Measure> {
    match item? {
        Place::Measure(id) => setup.measures.iter().find(|m| m.id == *id),
        _ => None,
    }
}
/// The class of vehicle that an item is.
pub fn vehicle<'a>(setup: &'a Setup, item: Option<&Place>) -> Option<&'a VehicleClass> {
    match item? {
        Place::Vehicle(id) => setup.vehicles.iter().find(|v| v.id == *id),
        _ => None,
    }
}

/// The name of an item; none of what is not there.
pub fn name(setup: &Setup, item: &Place) -> Option<String> {
    let item = Some(item);
    let sprayer = sprayer(setup, item).map(|s| &s.name);
    let chemical = chemical(setup, item).map(|c| &c.name);
    let measure = measure(setup, item).map(|m| &m.name);
    let vehicle = vehicle(setup, item).map(|v| &v.name);
    sprayer.or(chemical).or(measure).or(vehicle).cloned()
}

/// The text of a field of text.
pub fn plain(field: Field, setup: &Setup, item: Option<&Place>) -> Option<String> {
    match field {
        Field::BayName => Some(setup.name.clone()),
        Field::Currency => Some(setup.currency.clone()).filter(|c| !c.is_empty()),
        Field::Spoken => sprayer(setup, item)
            .filter(|s| s.spoken != s.name)
            .map(|s| s.spoken.clone()),
        Field::Nozzle => sprayer(setup, item)
            .map(|s| s.nozzle.clone())
            .filter(|nozzle| !nozzle.is_empty()),
        Field::Washer => sprayer(setup, item)
            .map(|s| s.washer.clone())
            .filter(|washer| !washer.is_empty()),
        Field::Dial => sprayer(setup, item)?.dial.clone(),
        Field::SprayerName | Field::ChemicalName | Field::MeasureName | Field::VehicleName => {
            name(setup, item?)
        }
        Field::EyeWash => setup.emergency.eye_wash.clone(),
        Field::DataSheets => setup.emergency.data_sheets.clone(),
        Field::Telephone => setup.emergency.telephone.clone(),
        _ => None,
    }
}

/// The volume of a field of volume.
pub fn volume(field: Field, setup: &Setup, item: Option<&Place>) -> Option<Volume> {
    match field {
        Field::Holds => sprayer(setup, item).map(|s| s.holds),
        Field::Size => measure(setup, item).map(|m| m.size),
        Field::Graduation => measure(setup, item).map(|m| m.graduation),
        Field::Spray => chemical(setup, item)?.spray_per_vehicle,
        Field::DeliveredIn => chemical(setup, item)?.delivered_in,
        _ => None,
    }
}

/// What is picked of several, by id.
pub fn picked(field: Field, setup: &Setup, item: Option<&Place>) -> Vec<String> {
    let Some(chemical) = chemical(setup, item) else {
        return Vec::new();
    };
    match field {
        Field::Hazards => chemical.hazards.iter().map(|h| h.code().into()).collect(),
        Field::NeverWith => chemical.never_with.clone(),
        Field::Protection => chemical.put_on.iter().map(|of| of.word().into()).collect(),
        _ => Vec::new(),
    }
}

/// The lines of a field of lines.
pub fn lines(field: Field, setup: &Setup, item: Option<&Place>) -> Vec<String> {
    match (field, chemical(setup, item)) {
        (Field::Cautions, Some(chemical)) => chemical.cautions.clone(),
        _ => Vec::new(),
    }
}

/// What one of a few is picked, by id.
pub fn one(field: Field, setup: &Setup, item: Option<&Place>) -> Option<String> {
    match field {
        Field::Language => Some(setup.language.code().into()),
        Field::Units => Some(setup.entry_units.word().into()),
        Field::DayChemical => Some(setup.day_chemical.clone()),
        Field::MayChange => Some(match setup.operators_may_change_chemical {
            true => options::YES.into(),
            false => options::NO.into(),
        }),
        Field::SprayerKind => sprayer(setup, item).map(|s| s.kind.word().into()),
        Field::Nature => chemical(setup, item).map(|c| c.nature.word().into()),
        Field::Order => chemical(setup, item).map(|c| match c.order {
            Some(order) => order.word().into(),
            None => options::USUAL.into(),
        }),
        Field::Voice => Some(options::voice_word(setup.voice).into()),
        Field::Nozzle | Field::Washer | Field::Dial => plain(field, setup, item),
        _ => None,
    }
}

/// What a field is at present, for people; none where it says nothing.
pub fn shown(field: Field, setup: &Setup, item: Option<&Place>) -> Option<Text> {
    let figure = |text: String| Some(Text::from_plain(text));
    let quiet = |of: fn(&crate::bay::setup::QuietHours) -> String| {
        setup.quiet.as_ref().map(of).map(Text::from_plain)
    };
    let night = |of: fn(Hours) -> NaiveTime| {
        let night = setup.dimming.night.map(of);
        night.map(|time| Text::from_plain(time.format("%H:%M").to_string()))
    };
    match field {
        Field::Language
        | Field::Units
        | Field::DayChemical
        | Field::MayChange
        | Field::SprayerKind
        | Field::Nature
        | Field::Order
        | Field::Voice => {
            let id = one(field, setup, item)?;
            let of = options::of(field, setup, item);
            of.into_iter().find(|o| o.id == id).map(|o| o.name)
        }
        Field::BayName
        | Field::Currency
        | Field::Spoken
        | Field::Nozzle
        | Field::Washer
        | Field::Dial
        | Field::SprayerName
        | Field::ChemicalName
        | Field::MeasureName
        | Field::VehicleName
        | Field::EyeWash
        | Field::DataSheets
        | Field::Telephone => figure(plain(field, setup, item)?),
        Field::Holds | Field::Size | Field::Graduation | Field::Spray | Field::DeliveredIn => {
            figure(volume(field, setup, item)?.shown())
        }
        Field::Target => Some(match chemical(setup, item)?.target {
            Target::OnVehicle(strength) => text!("{} on vehicle", strength.shown()),
            Target::Bottle(ratio) => text!("bottle {}", ratio.shown()),
        }),
        Field::BandLeast => figure(chemical(setup, item)?.band?.least.shown()),
        Field::BandMost => figure(chemical(setup, item)?.band?.most.shown()),
        Field::ProductStrength => match chemical(setup, item)?.product_strength {
            Strength::NEAT => Some(text!("undiluted")),
            diluted => figure(diluted.shown()),
        },
        Field::Hazards => {
            let hazards = &chemical(setup, item)?.hazards;
            let codes: Vec<&str> = hazards.iter().map(|h: &Hazard| h.code()).collect();
            (!codes.is_empty()).then(|| Text::from_plain(codes.join(" ")))
        }
        Field::Cautions => match chemical(setup, item)?.cautions.len() {
            0 => None,
            1 => Some(text!("1 line")),
            n => Some(text!("{} lines", n)),
        },
        Field::NeverWith => {
            let never = &chemical(setup, item)?.never_with;
            let names: Vec<&str> = never
                .iter()
                .filter_map(|id| Some(setup.chemical(id)?.name.as_str()))
                .collect();
            (!names.is_empty()).then(|| Text::from_plain(names.join(", ")))
        }
        Field::Protection => Some(match chemical(setup, item)?.put_on.as_slice() {
            [] => text!("by its hazards"),
            told => Text::list(told.iter().map(|of| of.label())),
        }),
        Field::Cost => {
            let cost = chemical(setup, item)?.cost_per_litre?;
            figure(setup.money(cost))
        }
        Field::Share => figure(format!("× {}", trim_number(vehicle(setup, item)?.share, 2))),
        Field::Washes => Some(washes(setup.limits.washes)),
        Field::OverdueWashes => Some(washes(setup.limits.overdue_washes)),
        Field::Days => setup.limits.days.map(days),
        Field::PutOffWashes => Some(washes(setup.limits.put_off_washes)),
        Field::PutOffTimes => Some(times(setup.limits.put_off_times)),
        Field::Volume => figure(format!("{} %", setup.volume_percent)),
        Field::QuietFrom => quiet(|q| q.from.format("%H:%M").to_string()),
        Field::QuietTo => quiet(|q| q.to.format("%H:%M").to_string()),
        Field::QuietVolume => quiet(|q| format!("{} %", q.volume_percent)),
        Field::CheckLimit => figure(format!("{} %", trim_number(setup.check_limit * 100.0, 1))),
        Field::WarnDays => Some(days(setup.stock_warn_days)),
        Field::LeadMinutes => figure(format!("{} min", setup.lead_minutes)),
        Field::DimMinutes => match setup.dimming.after_minutes {
            0 => Some(text!("never")),
            minutes => figure(format!("{minutes} min")),
        },
        Field::DimPercent => figure(format!("{} %", setup.dimming.percent)),
        Field::NightFrom => night(|n| n.from),
        Field::NightTo => night(|n| n.to),
        Field::BalanceStep => {
            let grams = setup.balance_step_kg? * 1000.0;
            figure(format!("{} g", trim_number(grams, 2)))
        }
    }
}

fn washes(count: u32) -> Text {
    match count {
        1 => text!("1 wash"),
        n => text!("{} washes", n),
    }
}
fn days(count: u32) -> Text {
    match count {
        1 => text!("1 day"),
        n => text!("{} days", n),
    }
}
fn times(count: u32) -> Text {
    match count {
        1 => text!("once"),
        n => text!("{} times", n),
    }
}
