//! The beep code read back from its samples by a listener that knows only its description: without
//! noise, in noise, and where something is wrong with it.

use super::detector;
use super::noise::{self, Chance, Colour, Noise, with_silence};
use super::spectrum;
use fillcall::bay::ports::{Pace, Tone};
use fillcall::bay::setup::Voice;
use fillcall::sound::voice::Pack;
use fillcall::sound::{RATE, render, samples_in_ms, tones};
use fillcall::trade::announcement::{Announcement, Beeps, Signal};
use fillcall::trade::beep_code::{self, Pulse};
use fillcall::trade::beep_signals;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::{Standing, VoidCause};
use fillcall::trade::sprayer::{Kind, Sprayer};
use fillcall::trade::units::Volume;

/// A bay that beeps, as the player would get it.
fn rendered(said: &Announcement, pace: Pace) -> Vec<i16> {
    render::announcement(said, Pack::of(Language::English), Voice::Beeps, pace)
}

/// A dose.
fn dose(ml: f64) -> Announcement {
    let mut said = Announcement::fill_logged();
    said.beeps = Beeps::Dose(Volume::ml(ml));
    said
}
fn beeped(ml: f64) -> Vec<i16> {
    rendered(&dose(ml), Pace::Usual)
}

fn read(samples: &[i16]) -> Result<u32, String> {
    detector::volume(&with_silence(samples), 1.0)
}

#[test]
fn every_volume_to_two_litres_is_read_without_noise() {
    for ml in 1..=2000 {
        assert_eq!(read(&beeped(f64::from(ml))), Ok(ml));
    }
    // Two litres are not the end.
    for ml in [2010, 2500, 2990, 3000] {
        assert_eq!(read(&beeped(f64::from(ml))), Ok(ml));
    }
}

#[test]
fn a_typical_dose_takes_six_seconds_at_most() {
    for ml in (10..=990).step_by(10) {
        let length = beeped(f64::from(ml)).len();
        assert!(length <= samples_in_ms(6000), "{ml} ml: {length} samples");
    }
}

#[test]
fn what_cannot_be_told_is_only_the_rise() {
    for ml in [0.0, 2.5, 3001.0, 14_700.0] {
        assert_eq!(beeped(ml), tones::pulses(&beep_code::RISE), "{ml}");
    }
    assert!(read(&beeped(14_700.0)).is_err());
}

#[test]
fn slowly_is_read_with_gaps_twice_as_long() {
    for ml in [30.0, 590.0, 999.0, 2000.0] {
        let slow = with_silence(&rendered(&dose(ml), Pace::Slow));
        assert_eq!(detector::volume(&slow, 2.0), Ok(ml as u32));
        detector::volume(&slow, 1.0).expect_err("not at the usual pace");
    }
}

/// An announcement of each kind that has nothing to count, and what is to be heard of it.
fn signals() -> Vec<(&'static str, Announcement)> {
    let lance = Sprayer {
        id: "lance".into(),
        name: "Lance".into(),
        spoken: String::new(),
        kind: Kind::FoamLance,
        holds: Volume::ml(820.0),
        nozzle: "1.25".into(),
        washer: "A".into(),
        dial: None,
    };
    let reminder = |standing| Announcement::reminder(&lance, standing).expect("a reminder");
    vec![
        ("look", Announcement::catch_weighed(Volume::ml(14_700.0))),
        ("look", dose(14_700.0)),
        ("done", Announcement::fill_logged()),
        ("done", Announcement::put_off(5)),
        ("undone", Announcement::wash_undone()),
        ("undone", Announcement::fill_undone()),
        ("due", reminder(Standing::Due)),
        ("overdue", reminder(Standing::Overdue)),
        ("no figure", reminder(Standing::Void(VoidCause::Nozzle))),
        ("no figure", Announcement::uncalibrated(&lance)),
        ("no figure", Announcement::unmeasurable(&lance)),
    ]
}

#[test]
fn signals_are_told_apart() {
    let mut chance = Chance(47);
    let noises = [Colour::White, Colour::Pink].map(|colour| Noise::new(colour, 20, RATE, 11));
    let (mut tried, mut right) = (0, 0);
    for (name, said) in signals() {
        let samples = rendered(&said, Pace::Usual);
        assert_eq!(detector::signal(&with_silence(&samples)), Ok(name));
        read(&samples).expect_err("a signal is no volume");
        for noise in &noises {
            for _ in 0..20 {
                let heard = detector::signal(&noise.around(&samples, 0.0, &mut chance));
                tried += 1;
                right += usize::from(heard == Ok(name));
                assert!(heard.is_err() || heard == Ok(name), "{name}: {heard:?}");
            }
        }
    }
    println!("signals in noise as loud as they are: {right} of {tried} read, none as another");
    assert!(right * 100 >= tried * 99, "{right} of {tried}");
    for ml in [10, 590, 2000] {
        let volume = with_silence(&beeped(f64::from(ml)));
        detector::signal(&volume).expect_err("a volume is no signal");
    }
}

#[test]
fn faults_of_a_signal_are_heard() {
    for signal in [
        Signal::Look,
        Signal::Done,
        Signal::Undone,
        Signal::Due,
        Signal::Overdue,
        Signal::NoFigure,
    ] {
        let right = beep_signals::pulses(signal);
        let name = detector::signal(&with_silence(&tones::pulses(right))).expect("a signal");
        for at in 0..right.len() {
            let mut moved = right.to_vec();
            moved[at].hz = moved[at].hz * 21 / 20;
            let mut long = right.to_vec();
            long[at].length_ms *= 2;
            let mut dropped = right.to_vec();
            dropped.remove(at);
            for (what, pulses) in [("moved", moved), ("long", long), ("dropped", dropped)] {
                let heard = detector::signal(&with_silence(&tones::pulses(&pulses)));
                assert_ne!(heard, Ok(name), "{signal:?}: note {at} {what}");
            }
        }
    }
}

/// Every volume from one step to 2 L for measures with lines every 10 and 5 ml; for lines every ml
/// all to half a litre, 150 from there on, and where a place changes.
fn volumes(chance: &mut Chance) -> Vec<u32> {
    let mut all: Vec<u32> = (1..=500).chain((505..=2000).step_by(5)).collect();
    all.extend((0..150).map(|_| 501 + chance.below(1500) as u32));
    all.extend([999, 1001, 1099, 1101, 1499, 1501, 1899, 1901, 1999]);
    all
}

/// How many of these volumes are read, and how many are read as another one.
fn in_noise(noise: &Noise, snr_db: f64, volumes: &[u32], chance: &mut Chance) -> (usize, usize) {
    let (mut right, mut wrong) = (0, 0);
    for ml in volumes {
        let heard = noise.around(&beeped(f64::from(*ml)), snr_db, chance);
        match detector::volume(&heard, 1.0) {
            Ok(read) if read == *ml => right += 1,
            Ok(_) => wrong += 1,
            Err(_) => {}
        }
    }
    (right, wrong)
}

fn is_read_in(colour: Colour) {
    let noise = Noise::new(colour, 45, RATE, 0x0b5e_55ed);
    let mut chance = Chance(690);
    let volumes = volumes(&mut chance);
    let percent = |n: usize, of: usize| 100.0 * n as f64 / of as f64;
    // Some of them where it is only printed.
    let some: Vec<u32> = volumes.iter().step_by(16).copied().collect();
    let mut table = format!("{colour:?} noise: volumes read, read as another one\n");
    let mut at_zero = (0, 0);
    for snr_db in [5.0, 0.0, -2.5, -5.0, -7.5, -10.0] {
        let volumes = if snr_db == 0.0 { &volumes } else { &some };
        let (right, wrong) = in_noise(&noise, snr_db, volumes, &mut chance);
        let count = volumes.len();
        table += &format!(
            "{snr_db:>7.1} dB {:5.1} % {:5.1} % of {count}\n",
            percent(right, count),
            percent(wrong, count)
        );
        if snr_db == 0.0 {
            at_zero = (right, wrong);
        }
    }
    print!("{table}");
    let (right, wrong) = at_zero;
    assert!(percent(right, volumes.len()) >= 99.0, "{colour:?} noise");
    assert_eq!(wrong, 0, "read as another volume in {colour:?} noise");
}

#[test]
fn volumes_are_read_in_white_noise_as_loud_as_the_beeps() {
    is_read_in(Colour::White);
}

#[test]
fn volumes_are_read_in_pink_noise_as_loud_as_the_beeps() {
    is_read_in(Colour::Pink);
}

/// The pulses of a volume and where those that count are among them.
fn pulses(ml: u32) -> (Vec<Pulse>, std::ops::Range<usize>) {
    let pulses = beep_code::pulses(Volume::ml(f64::from(ml))).expect("beeps");
    let counted = beep_code::RISE.len()..pulses.len() - beep_code::FALL.len();
    (pulses, counted)
}

/// The listener hears each of these faults, so that the tests above mean something.
#[test]
fn faults_are_heard() {
    for ml in [47, 590, 999, 1260] {
        let (right, counted) = pulses(ml);
        assert_eq!(read(&tones::pulses(&right)), Ok(ml));
        let heard_after = |what: &str, change: &dyn Fn(&mut Vec<Pulse>)| {
            let mut pulses = right.clone();
            change(&mut pulses);
            let heard = read(&tones::pulses(&pulses));
            assert_ne!(heard, Ok(ml), "{ml} ml with {what}");
            heard
        };
        for at in counted.clone() {
            // Understood only where the rest is a volume too, and then as just that.
            let dropped = heard_after("a pulse dropped", &|p| {
                p.remove(at);
            });
            let worth = match right[at].hz {
                600 => 100,
                1350 => 10,
                _ => 1,
            };
            assert!(dropped.is_err() || dropped == Ok(ml - worth));
            for off in [0.97, 1.03, 1.5] {
                let moved = |p: &mut Vec<Pulse>| p[at].hz = (f64::from(p[at].hz) * off) as u32;
                heard_after("a pitch moved", &moved).expect_err("a pitch moved");
            }
            heard_after("a pulse twice as long", &|p| p[at].length_ms *= 2).expect_err("longer");
            heard_after("a pulse of half the length", &|p| p[at].length_ms /= 2)
                .expect_err("shorter");
            heard_after("a gap of one second", &|p| p[at].gap_ms = 1000).expect_err("a gap");
        }
        let swap = |p: &mut Vec<Pulse>| {
            let first = p[counted.start].hz;
            let border = counted.clone().find(|i| p[*i].hz != first);
            p[counted.clone()].rotate_left(border.expect("two places") - counted.start);
        };
        heard_after("its places swapped", &swap).expect_err("places swapped");
        let all_moved = |p: &mut Vec<Pulse>| {
            for pulse in p.iter_mut().filter(|p| p.hz == 1350) {
                pulse.hz = 1420;
            }
        };
        heard_after("all tens moved", &all_moved).expect_err("tens moved");
        heard_after("no rise", &|p| drop(p.drain(..beep_code::RISE.len()))).expect_err("no rise");
        heard_after("no fall", &|p| p.truncate(p.len() - 2)).expect_err("no fall");
        heard_after("the fall backwards", &|p| {
            let end = p.len();
            p.swap(end - 1, end - 2);
        })
        .expect_err("the fall backwards");
    }
    // Groups that run together cannot be counted.
    let (mut together, counted) = pulses(800);
    together[counted.start + 4].gap_ms = together[counted.start].gap_ms;
    read(&tones::pulses(&together)).expect_err("eight in a row");
}

#[test]
fn no_tone_of_the_stopwatch_counts() {
    let all = [
        Tone::Click,
        Tone::Countdown,
        Tone::Go,
        Tone::Stop,
        Tone::Refused,
    ];
    for kind in all {
        let tone = tones::tone(kind);
        for ml in [130, 300, 47] {
            // In the place of each pulse that counts.
            let (pulses, counted) = pulses(ml);
            for at in counted {
                let mut samples = tones::pulses(&pulses[..at]);
                samples.extend(&tone);
                samples.resize(samples.len() + samples_in_ms(pulses[at].gap_ms), 0);
                samples.extend(tones::pulses(&pulses[at + 1..]));
                assert_ne!(read(&samples), Ok(ml), "{kind:?} as pulse {at} of {ml} ml");
            }
        }
    }
    let mut countdown = Vec::new();
    for tone in [[Tone::Countdown; 5].as_slice(), &[Tone::Go]].concat() {
        countdown.extend(tones::tone(tone));
        countdown.resize(countdown.len().next_multiple_of(RATE as usize), 0);
    }
    assert!(read(&countdown).is_err());
}

/// Hz between which everything lies.
const BAND: (f64, f64) = (500.0, 3000.0);

fn outside_db(samples: &[i16]) -> f64 {
    let powers = spectrum::powers(&with_silence(samples));
    let inside = spectrum::between(&powers, RATE, BAND.0, BAND.1);
    let all: f64 = powers.iter().sum();
    10.0 * ((all - inside) / inside).log10()
}

#[test]
fn everything_lies_between_500_and_3000_hz() {
    let mut sounds: Vec<(String, Vec<i16>)> = [1.0, 30.0, 200.0, 590.0, 999.0]
        .into_iter()
        .map(|ml| (format!("{ml} ml"), beeped(ml)))
        .collect();
    for tone in [
        Tone::Click,
        Tone::Countdown,
        Tone::Go,
        Tone::Stop,
        Tone::Refused,
    ] {
        sounds.push((format!("{tone:?}"), tones::tone(tone)));
    }
    for (name, said) in signals() {
        sounds.push((name.to_owned(), rendered(&said, Pace::Usual)));
    }
    let (all, _) = pulses(111);
    for pulse in all {
        sounds.push((format!("{pulse:?}"), tones::pulses(&[pulse])));
    }
    for (name, samples) in sounds {
        let db = outside_db(&samples);
        println!("{name}: {db:.1} dB outside");
        assert!(db <= -30.0, "{name}: {db:.1} dB outside");
        let peak = samples.iter().map(|s| s.unsigned_abs()).max();
        // -1 dBFS.
        assert!(peak < Some(29_204), "{name} peaks at {peak:?}");
    }
    // The measure is one: a pitch outside is seen there.
    let low = [Pulse {
        hz: 450,
        length_ms: 300,
        gap_ms: 0,
    }];
    assert!(outside_db(&tones::pulses(&low)) > -3.0);
}

#[test]
fn the_noise_is_what_it_is_called() {
    let octaves = |colour| -> Vec<f64> {
        let noise = Noise::new(colour, 12, RATE, 7);
        assert!((noise::rms(noise.samples()) - 1.0).abs() < 1e-3);
        let powers = spectrum::powers(noise.samples());
        (0..7)
            .map(|k| 62.5 * 2f64.powi(k))
            .map(|from| 10.0 * spectrum::between(&powers, RATE, from, 2.0 * from).log10())
            .collect()
    };
    for (colour, rise_db) in [(Colour::White, 3.01), (Colour::Pink, 0.0)] {
        let octaves = octaves(colour);
        for pair in octaves.windows(2) {
            let rise = pair[1] - pair[0];
            assert!((rise - rise_db).abs() < 0.8, "{colour:?}: {octaves:.1?}");
        }
    }
    // As loud as what sounds, whatever the silence in between.
    let noise = Noise::new(Colour::White, 12, RATE, 7);
    let sound = beeped(30.0);
    let sounding: Vec<f32> = sound
        .iter()
        .filter(|s| **s != 0)
        .map(|s| f32::from(*s))
        .collect();
    let mixed = noise.around(&sound, 0.0, &mut Chance(3));
    let ratio = noise::rms(&mixed[..10_000]) / noise::rms(&sounding);
    assert!((ratio - 1.0).abs() < 0.05, "{ratio}");
}
