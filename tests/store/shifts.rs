//! Random shifts: sequences of happenings, kept in the store and in the model alike.

use crate::model::Model;
use chrono::{DateTime, FixedOffset, TimeZone};
use fillcall::bay::records::{
    CalibrationRecord, CheckRecord, DaySetting, Draft, Fill, FillHow, Happening, LeadAccess, Load,
    Records, Scope, SoundChoice, Step, StockMove,
};
use fillcall::bay::setup_change::{ChangedKey, SetupChange};
use fillcall::trade::calibration::{Calibration, Container, MOST_RUNS, Read, Run, Way};
use fillcall::trade::days_strength::Allowed;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::{PutOff, VoidCause};
use fillcall::trade::units::{Strength, Volume};
use fillcall::trade::weighing::{Weighed, Weights};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::time::Duration;

fn does(happening: Happening) -> Deed {
    Deed::Do(Box::new(happening))
}

/// One thing that somebody does.
#[derive(Debug, Clone)]
pub enum Deed {
    Do(Box<Happening>),
    /// Takes back one of the washes not taken back, if there is any.
    UndoWash(prop::sample::Index),
    UndoFill(prop::sample::Index),
    /// Poured instead of one of the fills not taken back, if there is any, and added to at once.
    Mispoured(Box<Fill>, Option<prop::sample::Index>, Option<Box<Fill>>),
    /// Takes back one of the calibrations neither taken back nor brought back, if there is any.
    UndoCalibration(prop::sample::Index),
    /// Brings back one of the calibrations that may count again, if there is any.
    BringBack(prop::sample::Index),
    UndoRinse(prop::sample::Index),
    UndoStock(prop::sample::Index),
    UndoDay(prop::sample::Index),
}

pub type Shift = Vec<(DateTime<FixedOffset>, Deed)>;

pub const SPRAYERS: [&str; 3] = ["lance-1", "lance-2", "drum"];
pub const CHEMICALS: [&str; 2] = ["film", "soap"];

/// Any date that a kiosk's clock may show: offsets, fractions of a second, years off.
pub fn date() -> impl Strategy<Value = DateTime<FixedOffset>> {
    let seconds = prop_oneof![
        8 => 1_770_000_000..1_780_000_000i64,
        1 => 0..4_000_000_000i64,
    ];
    let offset = prop::sample::select(vec![0, 3600, 7200, -12_600]);
    let nanos = prop_oneof![Just(0u32), 0..1_000_000_000u32];
    (seconds, offset, nanos).prop_map(|(s, offset, nanos)| {
        let offset = FixedOffset::east_opt(offset).expect("within a day");
        offset.timestamp_opt(s, nanos).single().expect("a date")
    })
}

fn sprayer() -> impl Strategy<Value = String> {
    prop::sample::select(SPRAYERS.to_vec()).prop_map(str::to_owned)
}

fn chemical() -> impl Strategy<Value = String> {
    prop::sample::select(CHEMICALS.to_vec()).prop_map(str::to_owned)
}

fn volume() -> impl Strategy<Value = Volume> {
    prop_oneof![(1..30_000u32).prop_map(f64::from), 0.1..30_000.0f64].prop_map(Volume::ml)
}

fn time() -> impl Strategy<Value = Duration> {
    (1..2_000_000_000_000u64).prop_map(Duration::from_nanos)
}

/// Names as people type them, quotes and all.
fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("1.35 mm".to_owned()),
        "[a-zA-Z0-9'\"\\\\ äß#=]{1,12}".prop_filter("not empty", |s| !s.trim().is_empty()),
    ]
}

fn way() -> impl Strategy<Value = Way> {
    prop::sample::select(Way::ALL.to_vec())
}

fn load() -> impl Strategy<Value = Load> {
    (volume(), prop::option::of(volume()))
        .prop_map(|(volume, graduation)| Load { volume, graduation })
}

fn loads() -> impl Strategy<Value = Vec<Load>> {
    prop::collection::vec(load(), 0..4)
}

/// What a balance or a thermometer shows.
fn shown() -> impl Strategy<Value = f64> {
    prop_oneof![
        (0..4000u32).prop_map(|n| f64::from(n) / 100.0),
        -5.0..40.0f64
    ]
}

fn weights_so_far() -> impl Strategy<Value = BTreeMap<Weighed, f64>> {
    prop::collection::btree_map(prop::sample::select(Weighed::ALL.to_vec()), shown(), 0..=5)
}

fn draft() -> impl Strategy<Value = Draft> {
    let way = (way(), prop::option::of(time()), weights_so_far());
    (
        sprayer(),
        way,
        prop::sample::select(Step::ALL.to_vec()),
        prop::option::of(volume()),
        prop::option::of(time()),
        (loads(), loads()),
        prop::collection::vec(run(), 0..MOST_RUNS),
    )
        .prop_map(
            |(sprayer, (way, set_time, weights), step, holds, time, loads, runs)| Draft {
                sprayer,
                way,
                step,
                holds,
                set_time,
                time,
                catch_loads: loads.0,
                left_loads: loads.1,
                weights,
                runs,
            },
        )
}

/// One with a draw fraction; of every way, with and without what may be known besides.
fn run() -> impl Strategy<Value = Run> {
    let read = (prop_oneof![Just(Volume::ZERO), volume()], volume())
        .prop_map(|(drawn, catch)| Read { drawn, catch });
    let weights = prop::array::uniform6(shown()).prop_map(|shown| {
        let of = |of: Weighed| Weighed::ALL.iter().position(|w| *w == of);
        Weights::of(|weighed| of(weighed).map(|at| shown[at])).expect("all six")
    });
    let known = (way(), prop::option::of(read), prop::option::of(weights));
    let known = prop_oneof![1 => Just((Way::RunDry, None, None)), 2 => known];
    let left = prop_oneof![Just(Volume::ZERO), volume()];
    (volume(), left, 1.05..100.0f64, time(), known).prop_map(
        |(drawn, left, factor, time, (way, read, weights))| Run {
            left,
            way,
            read,
            weights,
            ..Run::dry(drawn, drawn * factor, time)
        },
    )
}

fn check() -> impl Strategy<Value = CheckRecord> {
    let mix = prop::option::of(chemical());
    (sprayer(), mix, time(), time(), date()).prop_map(|(sprayer, mix, time, calibrated, at)| {
        CheckRecord {
            sprayer,
            mix,
            time,
            calibrated,
            at,
        }
    })
}

fn correction() -> impl Strategy<Value = Happening> {
    let factor = prop::option::weighted(0.7, prop_oneof![0.5..2.0f64, 1e-300..1000.0f64]);
    (sprayer(), chemical(), factor).prop_map(|(sprayer, chemical, factor)| Happening::Corrected {
        sprayer,
        chemical,
        factor,
    })
}

fn calibration() -> impl Strategy<Value = CalibrationRecord> {
    let holds = prop::option::weighted(0.8, volume().prop_map(Container::measured));
    let readings = (holds, run(), prop::collection::vec(run(), 0..MOST_RUNS));
    let dial = prop::option::of(typed());
    (sprayer(), typed(), typed(), dial, readings, date()).prop_map(
        |(sprayer, nozzle, washer, dial, (holds, run, more), taken)| CalibrationRecord {
            sprayer,
            nozzle,
            washer,
            dial,
            calibration: Calibration { holds, run, more },
            taken,
        },
    )
}

fn fill() -> impl Strategy<Value = Fill> {
    let standing = prop::sample::select(vec!["none", "good", "due", "overdue", "void"]);
    let volumes = (volume(), volume(), volume());
    let how = prop_oneof![
        3 => Just(FillHow::Fresh),
        1 => (volume(), 0.0..=1.0f64).prop_map(|(left, part)| FillHow::ToppedUp {
            left,
            product: left * part,
        }),
        1 => volume().prop_map(|meant| FillHow::Mispoured { meant }),
    ];
    let how = (standing, how);
    (sprayer(), chemical(), volumes, 0.001..1.0f64, how).prop_map(
        |(sprayer, chemical, (fill, poured, water), strength, (standing, how))| Fill {
            sprayer,
            chemical,
            fill,
            poured,
            water,
            strength: Strength::fraction(strength).expect("a strength"),
            standing: standing.into(),
            how,
        },
    )
}

fn scope() -> impl Strategy<Value = Scope> {
    prop::option::of(sprayer()).prop_map(|s| s.map_or(Scope::Bay, Scope::Sprayer))
}

fn day_set() -> impl Strategy<Value = Happening> {
    // In percent with at most three decimals, as people set it.
    let strength = (1..20_000u32).prop_map(|n| Strength::percent(f64::from(n) / 1000.0));
    let strength = prop_oneof![Just(None), strength];
    let allowed = prop::sample::select(Allowed::ALL.to_vec());
    let marks = (any::<bool>(), allowed, any::<bool>());
    let set = prop::option::of((chemical(), strength, marks));
    (scope(), set).prop_map(|(scope, set)| Happening::DaySet {
        setting: set.map(|(chemical, strength, marks)| DaySetting {
            scope: scope.clone(),
            chemical,
            strength,
            today_only: marks.0,
            allowed: marks.1,
            beside_never: marks.2,
        }),
        scope,
    })
}

fn access() -> impl Strategy<Value = LeadAccess> {
    prop::sample::select(vec![
        LeadAccess::LetIn,
        LeadAccess::Refused,
        LeadAccess::Refused,
        LeadAccess::Left,
        LeadAccess::PinSet,
        LeadAccess::PinTakenAway,
    ])
}

fn setup_change() -> impl Strategy<Value = SetupChange> {
    let value = || prop::option::of(typed());
    let key = (
        typed(),
        prop_oneof![Just(String::new()), typed()],
        value(),
        value(),
    );
    let key = key.prop_map(|(place, key, before, after)| ChangedKey {
        place,
        key,
        before,
        after,
    });
    (prop::collection::vec(key, 0..3), typed(), typed()).prop_map(|(keys, text_before, text)| {
        SetupChange {
            keys,
            text_before,
            text,
        }
    })
}

fn stock() -> impl Strategy<Value = Happening> {
    let what = prop_oneof![
        (0..9u32, volume())
            .prop_map(|(containers, volume)| StockMove::Delivered { containers, volume }),
        (1..4u32).prop_map(|containers| StockMove::Opened { containers }),
        prop_oneof![Just(Volume::ZERO), volume()].prop_map(|volume| StockMove::Counted { volume }),
    ];
    (chemical(), what).prop_map(|(chemical, what)| Happening::Stock { chemical, what })
}

fn sound_choice() -> impl Strategy<Value = SoundChoice> {
    prop_oneof![
        (0..=100u8).prop_map(SoundChoice::Volume),
        prop::sample::select(Language::ALL.to_vec()).prop_map(SoundChoice::Language),
        prop::option::of(typed()).prop_map(SoundChoice::Loudspeaker),
    ]
}

fn deed() -> impl Strategy<Value = Deed> {
    let cause = || prop::sample::select(VoidCause::ALL.to_vec());
    let wash = (sprayer(), chemical())
        .prop_map(|(sprayer, chemical)| does(Happening::Wash { sprayer, chemical }));
    let put_off = (sprayer(), 0..5u32, 0..100u32).prop_map(|(sprayer, times, until_washes)| {
        let put_off = PutOff {
            times,
            until_washes,
        };
        does(Happening::PutOff { sprayer, put_off })
    });
    prop_oneof![
        10 => wash,
        2 => any::<prop::sample::Index>().prop_map(Deed::UndoWash),
        3 => fill().prop_map(|f| does(Happening::Fill(f))),
        2 => any::<prop::sample::Index>().prop_map(Deed::UndoFill),
        2 => (fill(), any::<Option<prop::sample::Index>>(), prop::option::of(fill())).prop_map(
            |(fill, of, added)| Deed::Mispoured(Box::new(fill), of, added.map(Box::new))
        ),
        2 => calibration().prop_map(|c| does(Happening::Calibrated(c))),
        1 => any::<prop::sample::Index>().prop_map(Deed::UndoCalibration),
        1 => any::<prop::sample::Index>().prop_map(Deed::BringBack),
        1 => draft().prop_map(|d| does(Happening::RunThrownAway(d))),
        1 => (draft(), draft()).prop_map(|(run, draft)| does(Happening::RunDropped {
            run: Box::new(run),
            draft: Box::new(draft),
        })),
        2 => (sprayer(), cause())
            .prop_map(|(sprayer, what)| does(Happening::Changed { sprayer, what })),
        2 => put_off,
        1 => sprayer().prop_map(|s| does(Happening::SprayerChosen(s))),
        2 => (scope(), chemical())
            .prop_map(|(scope, chemical)| does(Happening::ChemicalChosen { scope, chemical })),
        3 => draft().prop_map(|d| does(Happening::Drafted(d))),
        4 => check().prop_map(|c| does(Happening::Checked(c))),
        4 => correction().prop_map(does),
        3 => sound_choice().prop_map(|c| does(Happening::SoundChosen(c))),
        4 => day_set().prop_map(does),
        2 => any::<prop::sample::Index>().prop_map(Deed::UndoDay),
        3 => sprayer().prop_map(|sprayer| does(Happening::Rinsed { sprayer })),
        1 => any::<prop::sample::Index>().prop_map(Deed::UndoRinse),
        3 => access().prop_map(|a| does(Happening::Lead(a))),
        1 => date().prop_map(|newest| does(Happening::ClockPutRight { newest })),
        1 => setup_change().prop_map(|c| does(Happening::SetupChanged(c))),
        1 => typed().prop_map(|text| does(Happening::SetupFound(text))),
        3 => stock().prop_map(does),
        1 => any::<prop::sample::Index>().prop_map(Deed::UndoStock),
    ]
}

pub fn shift(most: usize) -> impl Strategy<Value = Shift> {
    prop::collection::vec((date(), deed()), 0..most)
}

/// So many random cases; a failing one is printed, and no file is written about it.
pub fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Does one deed in both; nothing where there is nothing to take back.
pub fn work(records: &mut dyn Records, model: &mut Model, at: DateTime<FixedOffset>, deed: &Deed) {
    let pick = |index: &prop::sample::Index, from: Vec<i64>| {
        (!from.is_empty()).then(|| from[index.index(from.len())])
    };
    let happening = match deed {
        Deed::Do(happening) => Some(Happening::clone(happening)),
        Deed::UndoWash(index) => pick(index, model.washes()).map(Happening::WashUndone),
        Deed::UndoFill(index) => pick(index, model.fills()).map(Happening::FillUndone),
        Deed::Mispoured(fill, of, added) => Some(Happening::Mispoured {
            fill: (**fill).clone(),
            instead_of: of.as_ref().and_then(|index| pick(index, model.fills())),
            added: added.as_deref().cloned(),
        }),
        Deed::UndoCalibration(index) => {
            pick(index, model.calibrations_to_undo()).map(Happening::CalibrationUndone)
        }
        Deed::BringBack(index) => {
            let all = model.calibrations();
            let picked = (!all.is_empty()).then(|| all[index.index(all.len())].clone());
            picked.map(|(of, record)| Happening::CalibrationBroughtBack {
                of,
                record: Box::new(record),
            })
        }
        Deed::UndoRinse(index) => pick(index, model.rinses()).map(Happening::RinseUndone),
        Deed::UndoDay(index) => pick(index, model.days()).map(Happening::DayUndone),
        Deed::UndoStock(index) => pick(index, model.stock()).map(Happening::StockUndone),
    };
    if let Some(happening) = happening {
        let entry = records.keep(at, &happening).expect("kept");
        model.keep(entry, at, &happening);
    }
}
