//! What a device is given to play: the samples that were rendered, when and as loud as was asked.

use super::device::{self, Device};
use super::resampled::{at_rate, likeness, likeness_anywhere};
use super::rig::{
    SOON, alone, beside, children, player, playing, program, samples, time_to_say, wait_for,
    wait_for_none,
};
use fillcall::bay::ports::{Announcer, Pace, SoundState, Sounding, Tone, Why};
use fillcall::bay::setup::Voice;
use fillcall::sound::{Player, RATE, tones};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::language::Language;
use fillcall::trade::units::Volume;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

fn wanted(samples: &[i16]) -> Vec<f32> {
    at_rate(samples, RATE as usize, device::RATE)
}

fn sounding(volume_percent: u8, loudspeaker: Option<&str>) -> Sounding {
    Sounding {
        volume_percent,
        language: Language::English,
        loudspeaker: loudspeaker.map(str::to_owned),
    }
}

/// How like the tone something that was heard is.
fn tone_in(heard: &[f32], tone: Tone) -> f64 {
    likeness_anywhere(heard, &wanted(&tones::tone(tone)))
}

/// Where only the samples matter the device plays so many times as fast.
const FAST: u32 = 3;

/// What was handed to the device comes out of the pipe so much later.
const IN_THE_PIPE: Duration = Duration::from_millis(450);

#[test]
fn the_device_plays_the_whole_announcement_sample_by_sample() {
    let _beside = beside();
    let device = Device::with_pace(FAST);
    device.plug_in();
    let mut player = playing(&device);
    let announcement = Announcement::catch_total(Volume::ml(590.0), 2);
    player.say(&announcement, Pace::Usual);
    thread::sleep(time_to_say(&announcement) / FAST + IN_THE_PIPE);
    let wanted = wanted(&samples(&announcement));
    let (like, loudness, _) = likeness(&device.heard(), &wanted);
    println!(
        "{} samples at {} Hz: likeness {like:.4}, loudness {loudness:.3}",
        wanted.len(),
        device::RATE
    );
    assert!(like > 0.99, "it was heard otherwise: {like:.4}");
    // Between two samples the player takes a curve, which rounds off the very highest notes.
    assert!((0.94..1.01).contains(&loudness), "loudness {loudness:.3}");
}

#[test]
fn a_stopwatch_tone_ends_speech_and_a_click_does_not() {
    let _beside = beside();
    let device = Device::with_pace(FAST);
    device.plug_in();
    let mut player = playing(&device);
    let announcement = Announcement::put_off(10);
    let wanted = wanted(&samples(&announcement));
    player.say(&announcement, Pace::Usual);
    thread::sleep(Duration::from_millis(100));
    player.tone(Tone::Click);
    thread::sleep(time_to_say(&announcement) / FAST + IN_THE_PIPE);
    let (like, ..) = likeness(&device.heard(), &wanted);
    assert!(like > 0.95, "the click cut it: {like:.3}");

    device.forget();
    player.say(&announcement, Pace::Usual);
    thread::sleep(Duration::from_millis(170));
    player.tone(Tone::Go);
    // Said behind the tone, it waits for its end.
    player.say(&Announcement::start(), Pace::Usual);
    thread::sleep(time_to_say(&Announcement::start()) / FAST + Duration::from_millis(700));
    let heard = device.heard();
    let (like, ..) = likeness(&heard, &wanted);
    assert!(like < 0.8, "speech went on beside Go: {like:.3}");
    let go = tone_in(&heard, Tone::Go);
    assert!(go > 0.99, "Go was not heard whole: {go:.3}");
}

#[test]
fn loudness_holds_from_then_on() {
    let _beside = beside();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let most = wanted(&tones::tone(Tone::Countdown))
        .into_iter()
        .fold(0.0_f32, |m, s| m.max(s.abs()));
    for (percent, part) in [(50, 0.25), (100, 1.0), (10, 0.01)] {
        device.forget();
        player.set(&sounding(percent, None));
        player.tone(Tone::Countdown);
        // What is set while it sounds is for what comes next.
        player.set(&sounding(80, None));
        thread::sleep(Duration::from_millis(250) + IN_THE_PIPE);
        let heard = device.heard();
        let peak = heard.iter().fold(0.0_f32, |m, s| m.max(s.abs()));
        let heard_part = f64::from(peak / most);
        assert!(
            (heard_part / part - 1.0).abs() < 0.05,
            "{percent} percent is heard at {heard_part:.3}"
        );
    }
}

#[test]
fn hush_and_a_new_announcement_end_the_old_one_at_once() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let meter = player.meter();
    let long = Announcement::put_off(10);
    player.say(&long, Pace::Usual);
    thread::sleep(Duration::from_millis(400));
    player.hush();
    thread::sleep(Duration::from_millis(400) + IN_THE_PIPE);
    let whole = wanted(&samples(&long));
    let heard = device.heard();
    let (.., place) = likeness(&heard, &whole);
    let sounded = heard[place..]
        .iter()
        .rposition(|s| s.abs() > 0.01)
        .expect("it began");
    let ended = Duration::from_secs_f64(sounded as f64 / device::RATE as f64);
    // From asking to hear it to asking for silence are 400 ms, plus what sleeping costs.
    assert!(
        ended < Duration::from_millis(650),
        "it went on for {ended:?} after its beginning"
    );
    let last = meter.sounded().pop().expect("it was measured");
    println!(
        "hush: {:?} to the end of speech at the desk",
        last.latency()
    );

    device.forget();
    player.say(&long, Pace::Usual);
    thread::sleep(Duration::from_millis(250));
    let new = Announcement::start();
    player.say(&new, Pace::Usual);
    thread::sleep(IN_THE_PIPE + time_to_say(&new));
    let heard = device.heard();
    assert!(likeness(&heard, &whole).0 < 0.9, "the old one went on");
    let wanted = wanted(&samples(&new));
    let at = likeness_anywhere(&heard, &wanted);
    assert!(at > 0.95, "the new one was not heard: {at:.3}");
}

#[test]
fn loudspeakers_are_listed_and_chosen_by_name() {
    let _beside = beside();
    let (device, horn) = (Device::new(), Device::new());
    device.plug_in_with(&[("horn", "Horn over the bay", &horn)]);
    let mut player = playing(&device);
    let begun = Instant::now();
    assert!(player.loudspeakers().is_empty(), "not known yet");
    assert!(begun.elapsed() < Duration::from_millis(50), "it waited");
    while player.loudspeakers().is_empty() {
        assert!(begun.elapsed() < Duration::from_secs(5), "no list");
        thread::sleep(Duration::from_millis(20));
    }
    assert_eq!(player.loudspeakers(), ["Horn over the bay"]);

    player.set(&sounding(100, Some("Horn over the bay")));
    player.tone(Tone::Click);
    thread::sleep(Duration::from_millis(100));
    wait_for(&mut player, SoundState::Working, SOON);
    device.forget();
    horn.forget();
    player.tone(Tone::Countdown);
    thread::sleep(Duration::from_millis(250) + IN_THE_PIPE);
    assert!(tone_in(&horn.heard(), Tone::Countdown) > 0.99);
    assert!(device.heard().iter().all(|s| *s == 0.0), "heard on both");

    // Not there: it is named, and nothing else plays in its stead.
    player.set(&sounding(100, Some("Siren on the roof")));
    wait_for_none(&mut player, Why::Absent);
    assert!(
        player
            .reason()
            .is_some_and(|reason| reason.contains("\"Siren on the roof\" is not there")),
        "{:?}",
        player.reason()
    );
    let siren = Device::new();
    device.plug_in_with(&[
        ("horn", "Horn over the bay", &horn),
        ("siren", "Siren on the roof", &siren),
    ]);
    wait_for(&mut player, SoundState::Working, Duration::from_secs(7));
    player.tone(Tone::Countdown);
    thread::sleep(Duration::from_millis(250) + IN_THE_PIPE);
    assert!(tone_in(&siren.heard(), Tone::Countdown) > 0.99);

    player.set(&sounding(100, None));
    thread::sleep(Duration::from_millis(100));
    wait_for(&mut player, SoundState::Working, SOON);
    assert_eq!(children(&device).len(), 1, "one output process");
}

#[test]
fn an_output_process_ends_with_its_line_even_on_a_stalled_device() {
    let _beside = beside();
    for stalled in [false, true] {
        let device = Device::new();
        device.plug_in();
        let mut child = Command::new(env!("CARGO_BIN_EXE_fillcall"))
            .arg("sound-output")
            .envs(device.environment())
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        thread::sleep(Duration::from_millis(400));
        device.stall(stalled);
        thread::sleep(Duration::from_millis(600));
        drop(child.stdin.take());
        let begun = Instant::now();
        while child.try_wait().expect("its status").is_none() {
            assert!(
                begun.elapsed() < SOON,
                "it stays without a parent, device stalled: {stalled}"
            );
            thread::sleep(Duration::from_millis(10));
        }
    }
}

#[test]
fn a_bay_without_sound_starts_nothing() {
    let _beside = beside();
    let device = Device::new();
    device.plug_in();
    let mut player = Player::new(program(&device), Voice::Off, 100);
    player.say(&Announcement::put_off(5), Pace::Usual);
    player.tone(Tone::Go);
    assert!(player.loudspeakers().is_empty());
    thread::sleep(Duration::from_millis(300));
    assert_eq!(player.state(), SoundState::Off);
    assert!(children(&device).is_empty());
    assert!(device.heard().is_empty());
}

#[test]
fn what_is_said_while_the_device_opens_is_heard_whole() {
    let _beside = beside();
    let device = Device::with_pace(FAST);
    device.plug_in();
    let mut player = player(&device);
    let announcement = Announcement::put_off(5);
    player.say(&announcement, Pace::Usual);
    thread::sleep(time_to_say(&announcement) / FAST + Duration::from_millis(800));
    let (like, ..) = likeness(&device.heard(), &wanted(&samples(&announcement)));
    assert!(like > 0.99, "{like:.3}");
}
