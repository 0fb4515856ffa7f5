//! The player and its output process on devices that play, stall and go.

use super::device::{self, Device};
use super::loudness::{best_match, onset};
use fillcall::bay::ports::{Announcer, SoundState, Tone};
use fillcall::bay::setup::Voice;
use fillcall::sound::player::Program;
use fillcall::sound::render::{PHRASE_GAP_MS, WORD_GAP_MS};
use fillcall::sound::{Player, render, samples_in_ms, tones};
use fillcall::trade::announcement::Announcement;
use std::process::{Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// Pipes that are read at the pace of a device want the machine for themselves.
fn alone() -> MutexGuard<'static, ()> {
    static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
    ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner)
}

fn player(device: &Device) -> Player {
    let program = Program {
        path: env!("CARGO_BIN_EXE_fillcall").into(),
        environment: device.environment(),
    };
    Player::new(program, Voice::Speech, 100)
}

/// Waits for a state, and returns how long that took.
fn wait_for(player: &mut Player, state: SoundState, most: Duration) -> Duration {
    let begun = Instant::now();
    while player.state() != state {
        assert!(
            begun.elapsed() < most,
            "{state:?} did not come within {most:?}: {:?}, {:?}",
            player.state(),
            player.reason()
        );
        thread::sleep(Duration::from_millis(10));
    }
    begun.elapsed()
}

/// A clip as the device plays it, by plain linear interpolation: another way than the program's.
fn at_device_rate(samples: &[i16]) -> Vec<f32> {
    let step = 22_050.0 / device::RATE as f64;
    (0..(samples.len() as f64 / step) as usize)
        .map(|i| {
            let at = i as f64 * step;
            let (k, part) = (at as usize, at.fract());
            let left = f64::from(samples[k]);
            let right = f64::from(samples.get(k + 1).copied().unwrap_or(0));
            ((left + (right - left) * part) / 32_768.0) as f32
        })
        .collect()
}

/// How alike `samples` and what was heard `frames` behind its beginning are, give or take 5 ms.
fn likeness_at(heard: &[f32], frames: usize, samples: &[i16]) -> f32 {
    let slack = device::RATE / 200;
    let from = frames.saturating_sub(slack);
    best_match(heard, &at_device_rate(samples), from..frames + slack).0
}

/// What was heard of an announcement, from the moment at which its first sample was played: a clip
/// begins with some silence of its own.
fn from_beginning<'a>(heard: &'a [f32], announcement: &Announcement) -> &'a [f32] {
    let whole = at_device_rate(&render::announcement(announcement, Voice::Speech));
    let silence = onset(&whole).expect("something is said");
    let first = onset(heard).expect("something was heard");
    &heard[first.saturating_sub(silence)..]
}

/// Where each word of the announcement begins, in frames of the device.
fn places(announcement: &Announcement) -> Vec<(&'static str, Vec<i16>, usize)> {
    let mut at = 0;
    let mut out = Vec::new();
    for phrase in &announcement.speech {
        for word in phrase {
            let clip = render::word_samples(word).expect("a clip");
            let place = at * device::RATE / 22_050;
            at += clip.len() + samples_in_ms(WORD_GAP_MS);
            out.push((*word, clip, place));
        }
        at += samples_in_ms(PHRASE_GAP_MS) - samples_in_ms(WORD_GAP_MS);
    }
    out
}

/// Time for an announcement to be said, and for it to come out of the pipe.
fn time_to_say(announcement: &Announcement) -> Duration {
    let length = render::announcement(announcement, Voice::Speech).len();
    Duration::from_secs_f64(length as f64 / 22_050.0 + 1.0)
}

/// True when the tone was heard whole: found by its first 50 ms, then compared from there.
fn heard_whole(heard: &[f32], tone: Tone) -> bool {
    let samples = tones::tone(tone);
    let wanted = at_device_rate(&samples);
    let (_, at) = best_match(heard, &wanted[..device::RATE / 20], 0..heard.len());
    likeness_at(heard, at, &samples) > 0.95
}

fn children_of_this_test() -> Vec<u32> {
    let task = format!("/proc/{}/task", std::process::id());
    std::fs::read_dir(task)
        .expect("the threads of this program")
        .filter_map(|thread| std::fs::read_to_string(thread.ok()?.path().join("children")).ok())
        .flat_map(|text| {
            text.split_whitespace()
                .filter_map(|pid| pid.parse().ok())
                .collect::<Vec<u32>>()
        })
        .filter(|pid| {
            std::fs::read_to_string(format!("/proc/{pid}/cmdline"))
                .is_ok_and(|line| line.contains("sound-output"))
        })
        .collect()
}

fn kill_9(pid: u32) {
    // The shell's own: a small machine has no such program.
    let status = Command::new("sh")
        .args(["-c", &format!("kill -9 {pid}")])
        .status();
    assert!(status.expect("sh runs").success());
}

const SOON: Duration = Duration::from_secs(2);

#[test]
fn the_device_plays_every_word_in_order() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = player(&device);
    assert_ne!(player.state(), SoundState::Off);
    wait_for(&mut player, SoundState::Working, SOON);
    let announcement = Announcement::put_off(10);
    player.say(&announcement);
    thread::sleep(time_to_say(&announcement));
    let heard = device.heard();
    let heard = from_beginning(&heard, &announcement);
    for (word, clip, place) in places(&announcement) {
        let likeness = likeness_at(heard, place, &clip);
        assert!(
            likeness > 0.9,
            "{word} was not heard in its place: {likeness:.2}"
        );
    }
}

#[test]
fn a_stopwatch_tone_ends_speech_and_a_click_does_not() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = player(&device);
    wait_for(&mut player, SoundState::Working, SOON);
    let announcement = Announcement {
        text: String::new(),
        speech: vec![vec!["water", "to", "the", "line"]],
        beeps: None,
        unspoken: Vec::new(),
    };
    let last_word = |heard: &[f32]| {
        let (_, clip, place) = places(&announcement).pop().expect("four words");
        likeness_at(from_beginning(heard, &announcement), place, &clip)
    };
    player.say(&announcement);
    thread::sleep(Duration::from_millis(300));
    player.tone(Tone::Click);
    thread::sleep(time_to_say(&announcement));
    assert!(last_word(&device.heard()) > 0.9, "the click cut it");

    device.forget();
    player.say(&announcement);
    thread::sleep(Duration::from_millis(500));
    player.tone(Tone::Go);
    thread::sleep(time_to_say(&announcement));
    let heard = device.heard();
    assert!(last_word(&heard) < 0.5, "speech went on beside Go");
    assert!(heard_whole(&heard, Tone::Go), "Go was not heard whole");
}

#[test]
fn no_device_is_a_state_and_it_comes_back_by_itself() {
    let _alone = alone();
    let device = Device::new();
    device.unplug();
    let mut player = player(&device);
    let begun = Instant::now();
    for _ in 0..100 {
        player.say(&Announcement::put_off(5));
        player.tone(Tone::Click);
        player.hush();
    }
    assert!(
        begun.elapsed() < Duration::from_secs(1),
        "a hundred announcements took {:?}",
        begun.elapsed()
    );
    wait_for(&mut player, SoundState::NoDevice, SOON);
    let reason = player.reason().expect("a reason");
    assert!(!reason.is_empty() && reason != "the device takes no samples");
    device.plug_in();
    wait_for(&mut player, SoundState::Working, Duration::from_secs(7));
    assert_eq!(player.reason(), None);
    player.tone(Tone::Go);
    thread::sleep(Duration::from_millis(1400));
    assert!(heard_whole(&device.heard(), Tone::Go));
}

#[test]
fn a_killed_output_is_started_again() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = player(&device);
    wait_for(&mut player, SoundState::Working, SOON);
    player.say(&Announcement::put_off(5));
    thread::sleep(Duration::from_millis(200));
    let children = children_of_this_test();
    assert_eq!(children.len(), 1, "one output process");
    kill_9(children[0]);
    wait_for(
        &mut player,
        SoundState::NoDevice,
        Duration::from_millis(500),
    );
    player.say(&Announcement::put_off(5));
    let took = wait_for(&mut player, SoundState::Working, Duration::from_secs(4));
    assert!(
        took > Duration::from_secs(1),
        "started again without waiting"
    );
    assert_ne!(children_of_this_test(), children);
    drop(player);
    assert!(children_of_this_test().is_empty(), "it outlived its player");
}

#[test]
fn a_device_that_stalls_is_given_up_and_nothing_hangs() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = player(&device);
    wait_for(&mut player, SoundState::Working, SOON);
    let first = children_of_this_test();
    device.stall(true);
    player.say(&Announcement::put_off(5));
    wait_for(&mut player, SoundState::NoDevice, Duration::from_secs(6));
    assert!(!children_of_this_test().contains(&first[0]));
    device.stall(false);
    wait_for(&mut player, SoundState::Working, Duration::from_secs(10));
    device.stall(true);
    thread::sleep(Duration::from_millis(600));
    let begun = Instant::now();
    drop(player);
    assert!(
        begun.elapsed() < Duration::from_millis(1100),
        "dropping took {:?}",
        begun.elapsed()
    );
}

#[test]
fn an_output_process_ends_with_its_line_even_on_a_stalled_device() {
    let _alone = alone();
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
fn a_program_that_cannot_start_is_no_device() {
    let mut player = Player::new(
        Program {
            path: "/nonexistent/fillcall".into(),
            environment: Vec::new(),
        },
        Voice::Beeps,
        50,
    );
    player.say(&Announcement::put_off(5));
    wait_for(&mut player, SoundState::NoDevice, SOON);
    assert!(
        player
            .reason()
            .is_some_and(|reason| reason.contains("/nonexistent/fillcall"))
    );
}

#[test]
fn a_bay_without_sound_starts_nothing() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let program = Program {
        path: env!("CARGO_BIN_EXE_fillcall").into(),
        environment: device.environment(),
    };
    let mut player = Player::new(program, Voice::Off, 100);
    player.say(&Announcement::put_off(5));
    player.tone(Tone::Go);
    thread::sleep(Duration::from_millis(300));
    assert_eq!(player.state(), SoundState::Off);
    assert!(children_of_this_test().is_empty());
    assert!(device.heard().is_empty());
}
