//! How the bay is heard: the section `sound`, and the language.

use crate::bay::limits;
use crate::bay::setup::{QuietHours, Voice};
use crate::store::toml_text::{Reader, Section};
use crate::trade::language::Language;
use crate::trade::units::Unreadable;
use chrono::NaiveTime;
use std::path::PathBuf;

/// What the section says; `None` where it is wrong or missing, which has been reported.
pub(super) struct Sound {
    pub voice: Option<Voice>,
    pub volume_percent: Option<u8>,
    /// The inner `None` is a bay without quiet hours.
    pub quiet: Option<Option<QuietHours>>,
    pub voice_folder: Option<PathBuf>,
}

const LOUDNESS: &str = "write the loudness, 0 to 100";

pub(super) fn read(reader: &mut Reader, mut section: Section<'_>) -> Sound {
    const RIGHT: &str = "write \"speech\", \"beeps\" or \"off\"";
    let voice = section.parsed(reader, "voice", RIGHT, |text| match text {
        "speech" => Ok(Voice::Speech),
        "beeps" => Ok(Voice::Beeps),
        "off" => Ok(Voice::Off),
        _ => Err(Unreadable {
            wrong: format!("\"{text}\" is not a way to speak"),
            right: RIGHT.into(),
        }),
    });
    let voice = section.required(reader, "voice", voice, RIGHT);
    let loudness = section.whole(reader, "volume_percent", limits::LOUDNESS);
    let loudness = section.required(reader, "volume_percent", loudness, LOUDNESS);
    let folder = section.name(reader, "voice_folder", 200);
    let quiet = quiet(reader, &mut section);
    section.finish(reader);
    Sound {
        voice: voice.map(|v| v.value),
        volume_percent: loudness.and_then(|n| u8::try_from(n.value).ok()),
        quiet,
        voice_folder: folder.map(|folder| PathBuf::from(folder.value)),
    }
}

/// Quiet hours: all of the three keys, or none.
fn quiet(reader: &mut Reader, section: &mut Section<'_>) -> Option<Option<QuietHours>> {
    const FROM: &str = "quiet_from";
    const TO: &str = "quiet_to";
    const VOLUME: &str = "quiet_volume_percent";
    if ![FROM, TO, VOLUME].iter().any(|key| section.has(key)) {
        return Some(None);
    }
    let (from, to) = (time(reader, section, FROM), time(reader, section, TO));
    let loudness = section.whole(reader, VOLUME, limits::LOUDNESS);
    let loudness = section.required(reader, VOLUME, loudness, LOUDNESS);
    Some(Some(QuietHours {
        from: from?,
        to: to?,
        volume_percent: u8::try_from(loudness?.value).ok()?,
    }))
}

/// A time of the day that must be there.
pub(super) fn time(
    reader: &mut Reader,
    section: &mut Section<'_>,
    key: &'static str,
) -> Option<NaiveTime> {
    const RIGHT: &str = "write a time of the day, such as \"22:00\"";
    let time = section.parsed(reader, key, RIGHT, |text| {
        NaiveTime::parse_from_str(text, "%H:%M").map_err(|_| Unreadable {
            wrong: format!("\"{text}\" is not a time of the day"),
            right: RIGHT.into(),
        })
    });
    section
        .required(reader, key, time, RIGHT)
        .map(|found| found.value)
}

/// The language at the top of the file; English where it is left out.
pub(super) fn language(reader: &mut Reader, top: &mut Section<'_>) -> Option<Language> {
    let known = Language::ALL.map(|l| format!("\"{}\" ({})", l.code(), l.own_name()));
    let right = format!("write one of {}", known.join(", "));
    let found = top.parsed(reader, "language", &right, |text| {
        Language::from_code(text).ok_or_else(|| Unreadable {
            wrong: format!("\"{text}\" is not a language that the screens have"),
            right: right.clone(),
        })
    });
    match found {
        Some(found) => Some(found.value),
        None => (!top.has("language")).then(Language::default),
    }
}
