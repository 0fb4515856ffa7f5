//! The top of the file and the sections of which there is one.

use super::{balance, emergency, glass, name, sound};
use crate::bay::limits;
use crate::bay::setup::{
    Dimming, Emergency, EntryUnits, Panel, Profile, QuietHours, USUAL_LEAD_MINUTES,
    USUAL_STOCK_WARN_DAYS, Voice,
};
use crate::store::toml_text::{Found, Reader, Section, nearest};
use crate::trade::language::Language;
use crate::trade::reminder::Limits;
use crate::trade::timed_check::USUAL_LIMIT;
use crate::trade::units::{Strength, Unreadable};
use std::ops::RangeInclusive;
use std::path::PathBuf;

/// What the top of the file says; `None` where it is wrong or missing, which has been reported.
pub(super) struct Bay {
    pub name: Option<String>,
    pub demo: bool,
    pub day_chemical: Option<Found<String>>,
    pub operators_may_change_chemical: Option<bool>,
    pub currency: String,
    pub panel: Option<Panel>,
    pub voice: Option<Voice>,
    pub volume_percent: Option<u8>,
    /// The inner `None` is a bay without quiet hours.
    pub quiet: Option<Option<QuietHours>>,
    pub language: Option<Language>,
    pub voice_folder: Option<PathBuf>,
    pub limits: Option<Limits>,
    pub check_limit: Option<f64>,
    /// The inner `None` is a bay without a balance.
    pub balance_step_kg: Option<Option<f64>>,
    pub entry_units: Option<EntryUnits>,
    pub stock_warn_days: Option<u32>,
    pub lead_minutes: Option<u32>,
    pub dimming: Option<Dimming>,
    pub emergency: Option<Emergency>,
    pub unfinished: Option<u32>,
}

pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Bay {
    let bay_name = name(reader, top, "name", "write the bay's name in quotes");
    let demo = top.flag(reader, "demo").is_some_and(|demo| demo.value);
    let unfinished = top
        .whole(reader, "setting_up", 1..=100)
        .map(|step| step.value);
    const DAY: &str = "write the id of the day's chemical in quotes";
    let day_chemical = top.text(reader, "day_chemical", DAY);
    let day_chemical = top.required(reader, "day_chemical", day_chemical, DAY);
    let may_change = top.flag(reader, "operators_may_change_chemical");
    let may_change = top.required(
        reader,
        "operators_may_change_chemical",
        may_change,
        "write true if operators may choose another chemical for a fill, else false",
    );
    let currency = top.name(reader, "currency", limits::LONGEST_CURRENCY);
    let entry_units = entry_units(reader, top);
    let language = sound::language(reader, top);
    let panel = top
        .section(reader, "screen", true)
        .and_then(|section| panel(reader, section));
    let sound = top.section(reader, "sound", true);
    let sound = sound.map(|section| sound::read(reader, section));
    let limits = top
        .section(reader, "reminder", true)
        .and_then(|section| reminders(reader, section));
    let check_limit = check_limit(reader, top);
    let balance_step_kg = balance::read(reader, top);
    let warn_days = ("stock", "warn_days", limits::WARN_DAYS);
    let stock_warn_days = number_of_a_section(reader, top, warn_days, USUAL_STOCK_WARN_DAYS);
    let minutes = ("lead", "minutes", limits::LEAD_MINUTES);
    let lead_minutes = number_of_a_section(reader, top, minutes, USUAL_LEAD_MINUTES);
    let dimming = glass::read(reader, top);
    let emergency = emergency::read(reader, top);
    Bay {
        name: bay_name.map(|name| name.value),
        demo,
        day_chemical,
        operators_may_change_chemical: may_change.map(|flag| flag.value),
        currency: currency.map(|c| c.value).unwrap_or_default(),
        panel,
        voice: sound.as_ref().and_then(|s| s.voice),
        volume_percent: sound.as_ref().and_then(|s| s.volume_percent),
        quiet: sound.as_ref().and_then(|s| s.quiet),
        language,
        voice_folder: sound.and_then(|s| s.voice_folder),
        limits,
        check_limit,
        balance_step_kg,
        entry_units,
        stock_warn_days,
        lead_minutes,
        dimming,
        emergency,
        unfinished,
    }
}

/// The one key of a section that may be left out, as may the key in it: `usual` then.
fn number_of_a_section(
    reader: &mut Reader,
    top: &mut Section<'_>,
    (name, key, range): (&'static str, &'static str, RangeInclusive<u32>),
    usual: u32,
) -> Option<u32> {
    let Some(mut section) = top.section(reader, name, false) else {
        return (!top.has(name)).then_some(usual);
    };
    let number = section.whole(reader, key, range);
    let is_left_out = !section.has(key);
    section.finish(reader);
    match number {
        Some(number) => Some(number.value),
        None => is_left_out.then_some(usual),
    }
}

fn entry_units(reader: &mut Reader, top: &mut Section<'_>) -> Option<EntryUnits> {
    let words = || EntryUnits::ALL.into_iter().map(EntryUnits::word);
    let all: Vec<String> = words().map(|word| format!("\"{word}\"")).collect();
    let right = format!("write one of {}", all.join(", "));
    let found = top.parsed(reader, "units", &right, |text| {
        EntryUnits::from_word(text).ok_or_else(|| Unreadable {
            wrong: format!("\"{text}\" are not units to type volumes in"),
            right: match nearest(text, words()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => right.clone(),
            },
        })
    });
    match found {
        Some(found) => Some(found.value),
        None => (!top.has("units")).then(EntryUnits::default),
    }
}

fn check_limit(reader: &mut Reader, top: &mut Section<'_>) -> Option<f64> {
    const RIGHT: &str = "write the change of flow that asks for a calibration, such as \"10 %\"";
    let Some(mut section) = top.section(reader, "check", false) else {
        return (!top.has("check")).then_some(USUAL_LIMIT);
    };
    let limit = section.parsed(reader, "limit", RIGHT, |text| {
        let wrong = |wrong: String| Unreadable {
            wrong,
            right: RIGHT.into(),
        };
        match Strength::parse(text) {
            Ok(Strength::NEAT) => Err(wrong(format!("\"{text}\" is not below 100 %"))),
            Ok(limit) => Ok(limit.as_fraction()),
            Err(fault) => Err(fault),
        }
    });
    let is_left_out = !section.has("limit");
    section.finish(reader);
    match limit {
        Some(limit) => Some(limit.value),
        None => is_left_out.then_some(USUAL_LIMIT),
    }
}

fn panel(reader: &mut Reader, mut section: Section<'_>) -> Option<Panel> {
    let known: Vec<String> = Profile::ALL
        .iter()
        .map(|p| format!("\"{}\"", p.name()))
        .collect();
    let right = format!("write one of {}", known.join(", "));
    let profile = section.parsed(reader, "profile", &right, |text| {
        Profile::from_name(text).ok_or_else(|| Unreadable {
            wrong: format!("\"{text}\" is not a screen profile"),
            right: right.clone(),
        })
    });
    let profile = section.required(reader, "profile", profile, &right);
    let diagonal = section.number(reader, "diagonal_inches", 5.0..=24.0);
    section.finish(reader);
    profile.map(|profile| {
        let usual = Panel::usual(profile.value);
        Panel {
            diagonal_inches: diagonal.map_or(usual.diagonal_inches, |d| d.value),
            ..usual
        }
    })
}

fn reminders(reader: &mut Reader, mut section: Section<'_>) -> Option<Limits> {
    let washes = section.whole(reader, "washes", limits::DUE_WASHES);
    let washes = section.required(
        reader,
        "washes",
        washes,
        "write after how many washes a calibration is due",
    );
    let overdue = section.whole(reader, "overdue_washes", limits::OVERDUE_WASHES);
    let days = section.whole(reader, "days", limits::DUE_DAYS);
    let put_off_washes = section.whole(reader, "put_off_washes", limits::PUT_OFF_WASHES);
    let put_off_times = section.whole(reader, "put_off_times", limits::PUT_OFF_TIMES);
    if let (Some(washes), Some(overdue)) = (&washes, &overdue)
        && overdue.value <= washes.value
    {
        reader.at(
            overdue,
            format!(
                "overdue at {} is not after due at {}",
                overdue.value, washes.value
            ),
            format!("write more than {}, or leave it out", washes.value),
        );
    }
    section.finish(reader);
    let washes = washes?.value;
    let usual = Limits::default();
    Some(Limits {
        washes,
        overdue_washes: overdue.map_or(Limits::usual_overdue(washes), |o| o.value),
        days: days.map(|d| d.value),
        put_off_washes: put_off_washes.map_or(usual.put_off_washes, |f| f.value),
        put_off_times: put_off_times.map_or(usual.put_off_times, |f| f.value),
    })
}
