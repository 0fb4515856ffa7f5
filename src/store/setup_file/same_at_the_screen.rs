//! What the file takes the screen takes, and what the file refuses the screen refuses: every field with
//! a range is tried at both its ends, just inside and just outside, both ways.

use super::edit::FileKeeper;
use super::read;
use crate::bay::editing::answer::{Beside, typed};
use crate::bay::editing::fields::{Editor, Field, Figure};
use crate::bay::editing::half::{Half, Unit};
use crate::bay::limits;
use crate::bay::ports::SetupKeeper;
use crate::bay::setup::Setup;
use crate::bay::setup_change::{Edit, Place, Value};
use crate::bay::typed::{Typed, TypedUnit};
use crate::store::setup_path;
use crate::trade::units::{Volume, trim_number};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// A bay in which each field may have every value of its range: nothing else is in its way.
const WIDE: &str = r#"name = "Tram yard"
day_chemical = "foam"
operators_may_change_chemical = false
[screen]
profile = "7in-800x480"
[sound]
voice = "off"
volume_percent = 50
quiet_from = "21:00"
quiet_to = "05:00"
quiet_volume_percent = 10
[reminder]
washes = 1
[glass]
night_from = "21:00"
night_to = "05:00"
[[sprayer]]
id = "gun"
name = "Gun"
kind = "foam lance"
holds = "640 ml"
nozzle = "1.4 mm"
washer = "Pump"
[[chemical]]
id = "foam"
name = "Foam"
on_vehicle = "2 %"
cautions = ["Goggles"]
[[measure]]
id = "jug"
name = "Jug"
size = "30 l"
graduation = "0.1 ml"
[[vehicle]]
id = "tram"
name = "Tram"
share = 1
"#;

/// A value that is tried: what is typed and in which unit, how the file says the same, and whether it is
/// in the range.
struct Try {
    digits: String,
    unit: Unit,
    in_the_file: Value,
    fits: bool,
}

fn tries(unit: Unit, ends: [(f64, bool); 4], in_the_file: impl Fn(&str) -> Value) -> Vec<Try> {
    let tried = ends.into_iter().filter(|(number, _)| *number >= 0.0);
    tried
        .map(|(number, fits)| {
            let digits = trim_number(number, 4);
            let in_the_file = in_the_file(&digits);
            Try {
                digits,
                unit,
                in_the_file,
                fits,
            }
        })
        .collect()
}

/// Just inside and just outside of a range, in steps of what is typed.
fn ends(range: RangeInclusive<f64>, step: f64) -> [(f64, bool); 4] {
    [
        (*range.start(), true),
        (*range.end(), true),
        (range.start() - step, false),
        (range.end() + step, false),
    ]
}

fn volumes(range: &RangeInclusive<Volume>) -> Vec<Try> {
    let ml = range.start().as_ml()..=range.end().as_ml();
    let small = |digits: &str| Value::Text(format!("{digits} ml"));
    let mut all = tries(Unit::Volume(TypedUnit::Ml), ends(ml, 0.01), small);
    let litres = range.start().as_litres()..=range.end().as_litres();
    let large = |digits: &str| Value::Text(format!("{digits} l"));
    all.extend(tries(
        Unit::Volume(TypedUnit::Litres),
        ends(litres, 0.0001).map(|(number, fits)| ((number * 1e4).round() / 1e4, fits)),
        large,
    ));
    all
}

fn wholes(figure: Figure, range: &RangeInclusive<u32>) -> Vec<Try> {
    let range = f64::from(*range.start())..=f64::from(*range.end());
    tries(Unit::Of(figure), ends(range, 1.0), |digits| {
        Value::Whole(digits.parse().expect("a whole number"))
    })
}

fn numbers(figure: Figure, range: RangeInclusive<f64>) -> Vec<Try> {
    tries(Unit::Of(figure), ends(range, 0.0001), |digits| {
        Value::Number(digits.parse().expect("a number"))
    })
}

/// Strengths are above 0 % and at most 100 %, and a limit of a check below 100 %.
fn percents(unit: Unit, all: bool) -> Vec<Try> {
    let ends = [
        (0.0001, true),
        (100.0, all),
        (0.0, false),
        (100.0001, false),
    ];
    tries(unit, ends, |digits| Value::Text(format!("{digits} %")))
}

/// What is tried of a field; `None` for one without a range.
fn tried(field: Field) -> Option<Vec<Try>> {
    let Editor::Number(figure) = field.editor() else {
        return None;
    };
    Some(match field {
        Field::Holds => volumes(&limits::HOLDS),
        Field::Size => volumes(&limits::SIZE),
        Field::Graduation => volumes(&limits::GRADUATION),
        Field::Spray => volumes(&limits::SPRAY),
        Field::DeliveredIn => volumes(&limits::DELIVERED_IN),
        Field::Target => percents(Unit::Percent, true),
        Field::ProductStrength => percents(Unit::Of(figure), true)
            .into_iter()
            // Less than is wanted on the vehicle is another matter.
            .map(|mut one| {
                if one.digits == "0.0001" {
                    (one.digits, one.in_the_file) = ("2".into(), Value::Text("2 %".into()));
                }
                one
            })
            .collect(),
        // Each must be on its side of what is wanted, which is another matter.
        Field::BandLeast | Field::BandMost => return None,
        Field::CheckLimit => percents(Unit::Of(figure), false),
        Field::Cost => numbers(figure, limits::COST),
        Field::Share => numbers(figure, limits::SHARE),
        Field::BalanceStep => tries(Unit::Of(figure), ends(limits::STEP_GRAMS, 0.01), |digits| {
            Value::Text(format!("{digits} g"))
        }),
        Field::Washes => wholes(figure, &limits::DUE_WASHES),
        Field::OverdueWashes => wholes(figure, &limits::OVERDUE_WASHES),
        Field::Days => wholes(figure, &limits::DUE_DAYS),
        Field::PutOffWashes => wholes(figure, &limits::PUT_OFF_WASHES),
        Field::PutOffTimes => wholes(figure, &limits::PUT_OFF_TIMES),
        Field::Volume | Field::QuietVolume => wholes(figure, &limits::LOUDNESS),
        Field::WarnDays => wholes(figure, &limits::WARN_DAYS),
        Field::LeadMinutes => wholes(figure, &limits::LEAD_MINUTES),
        Field::DimMinutes => wholes(figure, &limits::DIM_MINUTES),
        Field::DimPercent => wholes(figure, &limits::DIM_PERCENT),
        Field::QuietFrom | Field::QuietTo | Field::NightFrom | Field::NightTo => {
            let clock = |digits: &str, fits| Try {
                digits: digits.into(),
                unit: Unit::Of(figure),
                in_the_file: Value::Text(format!("{}:{}", &digits[..2], &digits[2..])),
                fits,
            };
            ["0000", "2359"]
                .map(|digits| clock(digits, true))
                .into_iter()
                .chain(["2400", "0060"].map(|digits| clock(digits, false)))
                .collect()
        }
        other => panic!("{other:?} has a number: try its range here"),
    })
}

fn item(field: Field) -> Option<Place> {
    match field {
        Field::Holds => Some(Place::Sprayer("gun".into())),
        Field::Size | Field::Graduation => Some(Place::Measure("jug".into())),
        Field::Target
        | Field::ProductStrength
        | Field::Spray
        | Field::Cost
        | Field::DeliveredIn => Some(Place::Chemical("foam".into())),
        Field::Share => Some(Place::Vehicle("tram".into())),
        _ => None,
    }
}

/// The file after it was set to that value, where the file takes it.
fn taken_by_the_file(keeper: &mut FileKeeper, edits: &[Edit]) -> Option<Setup> {
    keeper.plan(edits).ok().map(|(setup, _)| setup)
}

#[test]
fn every_range_is_the_same_at_the_screen_and_in_the_file() {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(setup_path(dir.path()), WIDE).expect("written");
    let mut keeper = FileKeeper::new(dir.path());
    let setup = read(WIDE).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let (answers, mut count) = (BTreeMap::new(), 0);
    for field in Field::ALL {
        let item = item(field);
        let beside = Beside {
            setup: &setup,
            item: item.as_ref(),
            kind: None,
            answers: &answers,
        };
        for one in tried(field).into_iter().flatten() {
            count += 1;
            let what = format!("{field:?} {} ({:?})", one.digits, one.unit);
            let half = Half::Number {
                typed: Typed::with_text(one.digits.clone(), TypedUnit::Seconds),
                unit: one.unit,
            };
            let (place, key) = (field.place(item.as_ref()), field.key());
            let set = |value: Value| Edit::Set {
                place: place.clone(),
                key,
                value: Some(value),
            };
            let by_hand = taken_by_the_file(&mut keeper, &[set(one.in_the_file.clone())]);
            assert_eq!(by_hand.is_some(), one.fits, "{what}: the file");
            let at_the_screen = typed(field, &half, &beside);
            assert_eq!(at_the_screen.is_ok(), one.fits, "{what}: the screen");
            let Ok(pairs) = at_the_screen else { continue };
            // What the screen would write is what was written by hand.
            let edits: Vec<Edit> = pairs
                .into_iter()
                .map(|(key, value)| Edit::Set {
                    place: place.clone(),
                    key,
                    value,
                })
                .collect();
            assert_eq!(taken_by_the_file(&mut keeper, &edits), by_hand, "{what}");
        }
    }
    println!("{count} values tried both ways");
    assert!(count > 100, "{count}");
}

#[test]
fn ratios_and_bands_end_alike_too() {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(setup_path(dir.path()), WIDE).expect("written");
    let mut keeper = FileKeeper::new(dir.path());
    let setup = read(WIDE).expect("good");
    let foam = Place::Chemical("foam".into());
    let answers = BTreeMap::new();
    let beside = Beside {
        setup: &setup,
        item: Some(&foam),
        kind: None,
        answers: &answers,
    };
    let text = |text: String| Some(Value::Text(text));
    let set = |key, value| Edit::Set {
        place: foam.clone(),
        key,
        value,
    };
    for (digits, fits) in [("0", true), ("10000", true), ("10001", false)] {
        let half = Half::Number {
            typed: Typed::with_text(digits.into(), TypedUnit::Seconds),
            unit: Unit::OnePlus,
        };
        assert_eq!(
            typed(Field::Target, &half, &beside).is_ok(),
            fits,
            "{digits}"
        );
        let edits = [
            set("on_vehicle", None),
            set("bottle_ratio", text(format!("1 + {digits}"))),
        ];
        assert_eq!(
            taken_by_the_file(&mut keeper, &edits).is_some(),
            fits,
            "{digits}"
        );
    }
    // The weakest is at most what is wanted, 2 %, and above nothing.
    for (digits, fits) in [
        ("0.0001", true),
        ("2", true),
        ("2.0001", false),
        ("0", false),
    ] {
        let half = Half::Number {
            typed: Typed::with_text(digits.into(), TypedUnit::Seconds),
            unit: Unit::Of(Figure::Percent),
        };
        let ends = vec![format!("{digits} %"), "100 %".into()];
        let edits = [set("band", Some(Value::List(ends)))];
        assert_eq!(
            typed(Field::BandLeast, &half, &beside).is_ok(),
            fits,
            "{digits}"
        );
        assert_eq!(
            taken_by_the_file(&mut keeper, &edits).is_some(),
            fits,
            "{digits}"
        );
    }
}

/// The value of a field of letters, as the file has it.
fn letters(field: Field, text: &str) -> Value {
    match field {
        Field::Cautions => Value::List(vec![text.into()]),
        _ => Value::Text(text.into()),
    }
}

#[test]
fn names_are_as_long_at_the_screen_as_in_the_file_and_hide_nothing_in_either() {
    use crate::bay::action::TextKey;
    use crate::bay::editing::half::OpenLine;
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(setup_path(dir.path()), WIDE).expect("written");
    let mut keeper = FileKeeper::new(dir.path());
    let setup = read(WIDE).expect("good");
    let answers = BTreeMap::new();
    for field in Field::ALL {
        let (Editor::Text(longest) | Editor::Lines(longest)) = field.editor() else {
            continue;
        };
        let item = match field {
            Field::SprayerName | Field::Spoken | Field::Nozzle | Field::Washer | Field::Dial => {
                Some(Place::Sprayer("gun".into()))
            }
            Field::ChemicalName | Field::Cautions => Some(Place::Chemical("foam".into())),
            Field::MeasureName => Some(Place::Measure("jug".into())),
            Field::VehicleName => Some(Place::Vehicle("tram".into())),
            _ => None,
        };
        let mut file = |text: &str| {
            let set = Edit::Set {
                place: field.place(item.as_ref()),
                key: field.key(),
                value: Some(letters(field, text)),
            };
            taken_by_the_file(&mut keeper, &[set]).is_some()
        };
        let empty = || match field {
            Field::Cautions => Half::Lines {
                lines: Vec::new(),
                open: Some(OpenLine {
                    at: None,
                    text: String::new(),
                }),
            },
            _ => Half::Text {
                text: String::new(),
                typing: true,
            },
        };
        assert!(file(&"ñ".repeat(longest)), "{field:?}");
        assert!(!file(&"ñ".repeat(longest + 1)), "{field:?}");
        let mut half = empty();
        let keys = (0..=longest).filter(|_| half.letter(TextKey::Sign('ñ'), longest));
        assert_eq!(keys.count(), longest, "{field:?}");
        // Turned around, made invisible, or a control: refused wherever it comes from.
        let beside = Beside {
            setup: &setup,
            item: item.as_ref(),
            kind: None,
            answers: &answers,
        };
        for sign in [
            '\u{202e}', '\u{2067}', '\u{200b}', '\u{feff}', '\u{1b}', '\u{9d}',
        ] {
            let text = format!("A{sign}b");
            assert!(!file(&text), "{field:?} {sign:?}");
            assert!(
                !empty().letter(TextKey::Sign(sign), longest),
                "{field:?} {sign:?}"
            );
            let half = match field {
                Field::Cautions => Half::Lines {
                    lines: vec![text],
                    open: None,
                },
                _ => Half::Text { text, typing: true },
            };
            assert!(typed(field, &half, &beside).is_err(), "{field:?} {sign:?}");
        }
    }
}
