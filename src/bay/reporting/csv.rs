//! What happened as a table for a spreadsheet (RFC 4180): one row for each happening, in the order of
//! the records. Figures are plain numbers with a point; names are those of the set-up.

use super::dated::Dated;
use super::landing::Became;
use super::totals::{chemical_name, money, sprayer_name};
use crate::bay::card::{band_word, field};
use crate::bay::records::{CalibrationRecord, FillHow, Happening, LeadAccess, Scope, StockMove};
use crate::bay::setup::Setup;
use crate::trade::calibration::Container;
use crate::trade::fill_plan::InBand;
use crate::trade::units::{Strength, Volume, trim_number};

const COLUMNS: &str = "number,when,day,what,sprayer,chemical,product_ml,water_ml,fill_ml,\
    spray_ml,strength_percent,band,cost,draw_percent,detail,washes";

/// The cells of a row beside its number, time and day.
#[derive(Default)]
struct Row {
    what: &'static str,
    sprayer: String,
    chemical: String,
    product: Option<Volume>,
    water: Option<Volume>,
    fill: Option<Volume>,
    spray: Option<Volume>,
    strength: Option<Strength>,
    band: &'static str,
    cost: Option<f64>,
    draw_percent: Option<f64>,
    detail: String,
    /// More than one where a backup brought a count.
    washes: Option<u32>,
}

fn ml(volume: Option<Volume>) -> String {
    volume.map_or(String::new(), |v| trim_number(v.as_ml(), 3))
}

/// The table of these happenings.
pub fn write<'a>(log: impl IntoIterator<Item = &'a Dated>, setup: &Setup) -> String {
    let mut out = head();
    out.extend(log.into_iter().filter_map(|dated| line(dated, setup)));
    out
}

/// The first line of the table.
pub fn head() -> String {
    format!("{COLUMNS}\r\n")
}

/// The line of a happening; `None` for one that is no part of the table.
pub fn line(dated: &Dated, setup: &Setup) -> Option<String> {
    let row = row(dated, setup)?;
    let fields = [
        dated.logged.entry.to_string(),
        // Seconds are enough, and chrono would add what the system gives.
        dated.logged.at.format("%Y-%m-%dT%H:%M:%S%:z").to_string(),
        dated.day.map_or(String::new(), |day| day.to_string()),
        row.what.into(),
        field(&row.sprayer),
        field(&row.chemical),
        ml(row.product),
        ml(row.water),
        ml(row.fill),
        ml(row.spray),
        row.strength
            .map_or(String::new(), |s| trim_number(s.as_percent(), 4)),
        row.band.into(),
        row.cost.map_or(String::new(), |cost| trim_number(cost, 6)),
        row.draw_percent
            .map_or(String::new(), |draw| trim_number(draw, 4)),
        field(&row.detail),
        row.washes.map_or(String::new(), |n| n.to_string()),
    ];
    Some(fields.join(",") + "\r\n")
}

/// A word and what it comes to, for the last column.
fn told(pairs: &[(&str, String)]) -> String {
    let pairs: Vec<String> = pairs.iter().map(|(w, of)| format!("{w}={of}")).collect();
    pairs.join("; ")
}

/// The cells of a calibration.
fn calibration(record: &CalibrationRecord, setup: &Setup) -> Row {
    Row {
        sprayer: sprayer_name(setup, &record.sprayer),
        fill: record.calibration.holds.map(Container::holds),
        draw_percent: record
            .calibration
            .draw_fraction()
            .map(|d| d.as_fraction() * 100.0),
        ..Row::default()
    }
}

/// What a calibration was done with.
fn fitted(record: &CalibrationRecord) -> Vec<(&'static str, String)> {
    vec![
        ("runs", record.calibration.count().to_string()),
        ("nozzle", record.nozzle.clone()),
        ("washer", record.washer.clone()),
    ]
}

fn row(dated: &Dated, setup: &Setup) -> Option<Row> {
    let sprayer = |id: &str| sprayer_name(setup, id);
    let chemical = |id: &str| chemical_name(setup, id);
    Some(match &dated.logged.what {
        Happening::Wash {
            sprayer: by,
            chemical: with,
        } => Row {
            what: "wash",
            sprayer: sprayer(by),
            chemical: chemical(with),
            washes: Some(dated.logged.times),
            ..Row::default()
        },
        Happening::Fill(fill) => Row {
            what: "fill",
            sprayer: sprayer(&fill.sprayer),
            chemical: chemical(&fill.chemical),
            product: Some(fill.poured),
            water: Some(fill.water),
            fill: Some(fill.fill),
            strength: Some(fill.strength),
            band: setup.chemical(&fill.chemical).map_or("", |chemical| {
                band_word(InBand::of(chemical, fill.strength))
            }),
            cost: money(fill, setup),
            spray: match dated.became {
                Some(Became::Spray(spray)) => spray,
                Some(Became::PutRight) | None => None,
            },
            detail: match fill.how {
                FillHow::Fresh => String::new(),
                FillHow::ToppedUp { left, .. } => told(&[("left_ml", ml(Some(left)))]),
                FillHow::Mispoured { meant } => {
                    let put_right = match dated.became {
                        Some(Became::PutRight) => "yes",
                        _ => "no",
                    };
                    told(&[
                        ("meant_ml", ml(Some(meant))),
                        ("put_right", put_right.into()),
                    ])
                }
            },
            ..Row::default()
        },
        Happening::Calibrated(record) => Row {
            what: "calibration",
            detail: told(&fitted(record)),
            ..calibration(record, setup)
        },
        Happening::CalibrationBroughtBack { of, record } => Row {
            what: "calibration-back",
            detail: told(&[&[("number", of.to_string())][..], &fitted(record)].concat()),
            ..calibration(record, setup)
        },
        Happening::Changed { sprayer: of, what } => Row {
            what: "change",
            sprayer: sprayer(of),
            detail: what.word().into(),
            ..Row::default()
        },
        Happening::PutOff {
            sprayer: of,
            put_off,
        } => Row {
            what: "put-off",
            sprayer: sprayer(of),
            detail: told(&[
                ("times", put_off.times.to_string()),
                ("until_washes", put_off.until_washes.to_string()),
            ]),
            ..Row::default()
        },
        Happening::DaySet { scope, setting } => Row {
            what: "day-chemical",
            sprayer: match scope {
                Scope::Bay => String::new(),
                Scope::Sprayer(id) => sprayer(id),
            },
            chemical: setting
                .as_ref()
                .map_or(String::new(), |s| chemical(&s.chemical)),
            strength: setting.as_ref().and_then(|s| s.strength),
            detail: match setting {
                None => "ended".into(),
                Some(setting) => {
                    let holds = if setting.today_only {
                        "today"
                    } else {
                        "until-changed"
                    };
                    let beside = if setting.beside_never { "yes" } else { "no" };
                    told(&[
                        ("holds", holds.into()),
                        ("allowed", setting.allowed.word().into()),
                        ("beside_never", beside.into()),
                    ])
                }
            },
            ..Row::default()
        },
        Happening::Rinsed { sprayer: of } => Row {
            what: "rinse",
            sprayer: sprayer(of),
            ..Row::default()
        },
        Happening::Lead(access) => Row {
            what: "lead",
            detail: match access {
                LeadAccess::LetIn => "let-in",
                LeadAccess::Refused => "refused",
                LeadAccess::Left => "left",
                LeadAccess::PinSet => "pin-set",
                LeadAccess::PinTakenAway => "pin-taken-away",
            }
            .into(),
            ..Row::default()
        },
        Happening::ClockPutRight { newest } => Row {
            what: "clock-put-right",
            detail: told(&[("newest", newest.format("%Y-%m-%dT%H:%M:%S%:z").to_string())]),
            ..Row::default()
        },
        Happening::SetupChanged(change) => Row {
            what: "set-up",
            detail: change
                .keys
                .iter()
                .map(|key| {
                    let side = |value: &Option<String>| value.clone().unwrap_or("-".into());
                    let (before, after) = (side(&key.before), side(&key.after));
                    format!("{} {}: {before} -> {after}", key.place, key.key)
                })
                .collect::<Vec<_>>()
                .join("; "),
            ..Row::default()
        },
        Happening::Stock {
            chemical: of,
            what: moved,
        } => {
            let (volume, detail) = match moved {
                StockMove::Delivered { containers, volume } => (
                    Some(*volume),
                    told(&[("delivered", containers.to_string())]),
                ),
                StockMove::Opened { containers } => {
                    (None, told(&[("opened", containers.to_string())]))
                }
                StockMove::Counted { volume } => (Some(*volume), "counted".into()),
            };
            Row {
                what: "stock",
                chemical: chemical(of),
                product: volume,
                detail,
                ..Row::default()
            }
        }
        // No part of the log of records.
        _ => return None,
    })
}

/// Cuts a text into parts of at most `most` bytes, at the ends of its lines where there are any. Put
/// together the parts are the text.
pub fn parts(text: &str, most: usize) -> Vec<String> {
    let mut parts = vec![String::new()];
    for line in text.split_inclusive('\n') {
        let mut line = line;
        while !line.is_empty() {
            let last = parts.len() - 1;
            let room = most.saturating_sub(parts[last].len());
            if line.len() <= room {
                parts[last].push_str(line);
                break;
            }
            if !parts[last].is_empty() {
                parts.push(String::new());
                continue;
            }
            // A line longer than a part is cut at a letter; one letter always goes in.
            let fits = (1..=room.min(line.len()))
                .rev()
                .find(|at| line.is_char_boundary(*at));
            let first = line.chars().next().map_or(line.len(), char::len_utf8);
            let (part, rest) = line.split_at(fits.unwrap_or(first));
            parts[last].push_str(part);
            line = rest;
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_put_together_are_the_text_and_none_is_too_long() {
        for (text, most, expected) in [
            ("", 10, vec![""]),
            ("a\r\nb\r\n", 10, vec!["a\r\nb\r\n"]),
            (
                "aaaa\r\nbbbb\r\ncc\r\n",
                12,
                vec!["aaaa\r\nbbbb\r\n", "cc\r\n"],
            ),
            ("aaaa\r\nbbbb\r\n", 11, vec!["aaaa\r\n", "bbbb\r\n"]),
            ("abcdefgh\r\ni", 5, vec!["abcde", "fgh\r\n", "i"]),
            // Never through a letter of several bytes.
            ("áéíóú", 3, vec!["á", "é", "í", "ó", "ú"]),
        ] {
            let parts = parts(text, most);
            assert_eq!(parts, expected, "{text:?} in {most}");
            assert_eq!(parts.concat(), text);
            assert!(parts.iter().all(|part| part.len() <= most));
        }
    }
}
