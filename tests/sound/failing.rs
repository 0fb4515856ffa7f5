//! Devices and output processes that fail, in every way that can be made here. The sign on the
//! screen is right within two seconds, nothing waits, and speech goes on with the next announcement.

use super::common::{HandClock, MemoryRecords, setup};
use super::device::Device;
use super::rig::{SOON, alone, beside, children, player, playing, signal, wait_for, wait_for_none};
use fillcall::bay::action::Action;
use fillcall::bay::at_work::Bay;
use fillcall::bay::ports::{Announcer, Pace, SoundState, Sounding, Tone, Why};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::{Profile, Voice};
use fillcall::sound::Player;
use fillcall::sound::player::Program;
use fillcall::sound::protocol::Kind;
use fillcall::trade::announcement::Announcement;
use fillcall::trade::language::Language;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

/// An output process that plays to nothing: a few lines for the shell. `$1` and what follows are the
/// arguments it is started with, `$runs` is how often it was started.
pub struct Fake {
    folder: tempfile::TempDir,
}

/// A device that works from here on.
pub const WORKS: &str = "while echo working; do sleep 0.2; done";

impl Fake {
    pub fn new(script: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("output");
        let text = format!(
            "#!/bin/sh\ncd '{}'\necho \"$*\" >> starts\nruns=$(wc -l < starts)\n{script}\n",
            folder.path().display()
        );
        fs::write(&file, text).expect("written");
        fs::set_permissions(&file, fs::Permissions::from_mode(0o755)).expect("permitted");
        Self { folder }
    }
    pub fn player(&self) -> Player {
        let program = Program {
            path: self.folder.path().join("output"),
            environment: Vec::new(),
        };
        Player::new(program, Voice::Speech, 100)
    }
    /// The arguments of each start.
    fn starts(&self) -> Vec<String> {
        let file = self.folder.path().join("starts");
        let text = fs::read_to_string(file).unwrap_or_default();
        text.lines().map(str::to_owned).collect()
    }
}

fn say_much(player: &mut Player) {
    let begun = Instant::now();
    for _ in 0..50 {
        player.say(&Announcement::put_off(5), Pace::Usual);
        player.tone(Tone::Countdown);
        player.tone(Tone::Click);
        player.hush();
        let _ = player.state();
    }
    assert!(
        begun.elapsed() < Duration::from_secs(1),
        "fifty announcements took {:?}",
        begun.elapsed()
    );
}

/// It is heard again: the next announcement begins.
pub fn is_heard(player: &mut Player) {
    let (meter, asked) = (player.meter(), Instant::now());
    player.say(&Announcement::put_off(5), Pace::Usual);
    while !meter
        .sounded()
        .iter()
        .any(|s| s.kind == Kind::Speech && s.asked >= asked)
    {
        assert!(asked.elapsed() < SOON, "it was not heard");
        thread::sleep(Duration::from_millis(5));
    }
}

/// The threads of this program that belong to a player.
fn threads() -> usize {
    let all = fs::read_dir("/proc/self/task").expect("the threads of this program");
    all.filter_map(|thread| fs::read_to_string(thread.ok()?.path().join("comm")).ok())
        .filter(|name| name.starts_with("sound") || name.starts_with("loudspeakers"))
        .count()
}

#[test]
fn a_device_that_is_not_there_is_a_state_and_comes_back_by_itself() {
    let _beside = beside();
    let device = Device::new();
    device.unplug();
    let mut player = player(&device);
    say_much(&mut player);
    wait_for_none(&mut player, Why::Absent);
    assert_eq!(
        player.reason().as_deref(),
        Some("there is no loudspeaker; plug one in")
    );
    device.plug_in();
    wait_for(&mut player, SoundState::Working, Duration::from_secs(7));
    assert_eq!(player.reason(), None);
    is_heard(&mut player);
}

#[test]
fn a_machine_without_any_sound_is_no_device() {
    let _beside = beside();
    let mut player = Player::new(
        Program {
            path: env!("CARGO_BIN_EXE_fillcall").into(),
            environment: vec![("ALSA_CONFIG_PATH".into(), "/nonexistent".into())],
        },
        Voice::Speech,
        100,
    );
    let took = wait_for_none(&mut player, Why::Absent);
    println!("no ALSA at all: seen after {took:?}, {:?}", player.reason());
    assert!(player.reason().is_some());
    say_much(&mut player);
    assert!(player.loudspeakers().is_empty());
    let begun = Instant::now();
    drop(player);
    assert!(begun.elapsed() < Duration::from_millis(1100));
}

#[test]
fn a_device_that_fails_as_soon_as_it_plays_is_no_device() {
    let _beside = beside();
    let device = Device::new();
    device.break_down();
    let mut player = player(&device);
    wait_for_none(&mut player, Why::NoAnswer);
    println!("broken down: {:?}", player.reason());
    say_much(&mut player);
    device.plug_in();
    wait_for(&mut player, SoundState::Working, Duration::from_secs(7));
    is_heard(&mut player);
}

#[test]
fn a_device_that_goes_in_the_middle_of_a_word_is_seen_at_once() {
    let _beside = beside();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    player.say(&Announcement::put_off(5), Pace::Usual);
    thread::sleep(Duration::from_millis(200));
    let before = children(&device);
    assert_eq!(before.len(), 1, "one output process");
    // As alsa-lib does when a card goes: by an abort.
    signal("ABRT", before[0]);
    let took = wait_for_none(&mut player, Why::NoAnswer);
    println!("an output that aborts: seen after {took:?}");
    player.say(&Announcement::put_off(5), Pace::Usual);
    let took = wait_for(&mut player, SoundState::Working, Duration::from_secs(5));
    assert!(
        took > Duration::from_millis(700),
        "started again without waiting"
    );
    assert_ne!(children(&device), before);
    is_heard(&mut player);
    drop(player);
    assert!(children(&device).is_empty(), "it outlived its player");
}

#[test]
fn a_device_that_stalls_is_given_up_and_nothing_hangs() {
    let _beside = beside();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let first = children(&device);
    device.stall(true);
    player.say(&Announcement::put_off(5), Pace::Usual);
    let took = wait_for_none(&mut player, Why::NoAnswer);
    println!("a device that stalls: seen after {took:?}, a third of a second of it in the pipe");
    assert_eq!(
        player.reason().as_deref(),
        Some("the loudspeaker takes no samples")
    );
    is_gone(&device, first[0]);
    say_much(&mut player);
    device.stall(false);
    wait_for(&mut player, SoundState::Working, Duration::from_secs(10));
    is_heard(&mut player);
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
fn an_output_that_hangs_as_a_whole_is_given_up() {
    let _beside = beside();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let first = children(&device);
    signal("STOP", first[0]);
    let took = wait_for_none(&mut player, Why::NoAnswer);
    println!("an output that hangs: seen after {took:?}");
    wait_for(&mut player, SoundState::Working, Duration::from_secs(5));
    is_gone(&device, first[0]);
}

/// An output that was given up ends by itself, a moment after it was given up.
fn is_gone(device: &Device, output: u32) {
    let begun = Instant::now();
    while children(device).contains(&output) {
        assert!(
            begun.elapsed() < Duration::from_secs(5),
            "an output that was given up runs on"
        );
        thread::sleep(Duration::from_millis(10));
    }
}

#[test]
fn a_slow_device_on_a_busy_machine_is_no_alarm() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let busy = Arc::new(AtomicBool::new(true));
    let others: Vec<_> = (0..4)
        .map(|_| {
            let busy = Arc::clone(&busy);
            thread::spawn(move || {
                while busy.load(Ordering::Relaxed) {
                    std::hint::spin_loop();
                }
            })
        })
        .collect();
    for _ in 0..3 {
        player.say(&Announcement::put_off(5), Pace::Usual);
        // The pipe takes a third of a second by itself.
        device.stall(true);
        watch(&mut player, Duration::from_millis(900));
        device.stall(false);
        watch(&mut player, Duration::from_millis(300));
    }
    busy.store(false, Ordering::Relaxed);
    for other in others {
        other.join().expect("it ended");
    }
}

/// It works all the time.
fn watch(player: &mut Player, time: Duration) {
    let begun = Instant::now();
    while begun.elapsed() < time {
        let state = player.state();
        assert_eq!(state, SoundState::Working, "{:?}", player.reason());
        thread::sleep(Duration::from_millis(10));
    }
}

#[test]
fn a_device_that_is_in_use_is_told_and_tried_again() {
    let _beside = beside();
    let fake = Fake::new(&format!(
        "if [ $runs = 1 ]; then echo 'gone in-use the loudspeaker is in use'; exit 3; fi\n{WORKS}"
    ));
    let mut player = fake.player();
    wait_for_none(&mut player, Why::InUse);
    assert_eq!(
        player.reason().as_deref(),
        Some("the loudspeaker is in use")
    );
    wait_for(&mut player, SoundState::Working, Duration::from_secs(4));
    assert_eq!(fake.starts().len(), 2);
}

#[test]
fn every_kind_of_trouble_comes_through() {
    let _beside = beside();
    for (word, why) in [
        ("absent", Why::Absent),
        ("not-allowed", Why::NotAllowed),
        ("no-answer", Why::NoAnswer),
    ] {
        let fake = Fake::new(&format!("echo 'gone {word} so it is'; exit 3"));
        let mut player = fake.player();
        wait_for_none(&mut player, why);
        assert_eq!(player.reason().as_deref(), Some("so it is"));
    }
}

#[test]
fn a_wall_that_looks_when_it_is_told_shows_a_hang_within_two_seconds_and_says_that_it_is_over() {
    let _beside = beside();
    let fake = Fake::new(
        "if [ $runs = 1 ]; then\n\
         for i in 1 2 3; do echo working; sleep 0.2; done\n\
         echo working; touch hung; exec sleep 30\n\
         fi\n\
         (while echo working; do sleep 0.2; done) &\n\
         head -c 1 > said; wait",
    );
    let file = |name| fake.folder.path().join(name);
    let clock = HandClock::default();
    let bay = Bay::open(
        setup(Profile::Seven800),
        Box::new(MemoryRecords::default()),
        clock.now(),
    )
    .unwrap_or_else(|fault| panic!("{}", fault.message));
    // Nobody asked for anything lately: that it is back is said at once.
    clock.go_on(Duration::from_secs(60));
    let mut wall = Runner::new(bay, Box::new(fake.player()), Box::new(clock));
    let (sender, news) = std::sync::mpsc::channel();
    wall.tell(Box::new(move || {
        let _ = sender.send(());
    }));
    wall.act(Action::Tick);
    let gone = SoundState::NoDevice(Why::NoAnswer);
    let begun = Instant::now();
    let (mut hung, mut seen) = (None, None);
    // Until it is back, and that was said.
    while fs::read(file("said")).unwrap_or_default().is_empty() {
        assert!(begun.elapsed() < Duration::from_secs(8), "never back");
        thread::sleep(Duration::from_millis(5));
        if hung.is_none() && file("hung").exists() {
            hung = Some(Instant::now());
        }
        if news.try_recv().is_ok() {
            wall.act(Action::Tick);
        }
        match (hung, wall.bay().sound()) {
            (None, state) => assert!(!matches!(state, SoundState::NoDevice(_)), "{state:?}"),
            (Some(hung), SoundState::NoDevice(why)) if seen.is_none() => {
                assert_eq!(why, Why::NoAnswer);
                seen = Some(hung.elapsed());
            }
            (Some(hung), _) => assert!(seen.is_some() || hung.elapsed() < SOON, "not seen"),
        }
    }
    let seen = seen.expect("the hang was seen");
    println!("an output that hangs: shown after {seen:?}");
    assert!(seen < SOON, "{seen:?}");
    assert_ne!(wall.bay().sound(), gone);
    assert_eq!(fs::read(file("said")).expect("said"), b"S", "speech");
}

#[test]
fn a_device_that_hangs_while_all_are_listed_is_given_up_and_asked_again() {
    let _beside = beside();
    // Killing it does not end its answer: something below it holds the line.
    let fake = Fake::new(&format!(
        "if [ \"$2\" = --list ]; then\n\
         if [ $(grep -c -e --list starts) = 1 ]; then sleep 12 & exec sleep 12; fi\n\
         echo Horn; echo end; exit 0\n\
         fi\n{WORKS}"
    ));
    let mut player = fake.player();
    let begun = Instant::now();
    while player.loudspeakers() != ["Horn"] {
        assert!(begun.elapsed() < Duration::from_secs(6), "stuck");
        thread::sleep(Duration::from_millis(20));
    }
    println!("a search that is stuck: found after {:?}", begun.elapsed());
}

#[test]
fn a_device_that_is_slow_to_open_is_none_until_it_is_open() {
    let _beside = beside();
    let fake = Fake::new(&format!("sleep 2.2\n{WORKS}"));
    let mut player = fake.player();
    assert_eq!(player.state(), SoundState::Opening);
    let took = wait_for_none(&mut player, Why::NoAnswer);
    println!("slow to open: seen after {took:?}");
    say_much(&mut player);
    wait_for(&mut player, SoundState::Working, Duration::from_secs(4));
    assert_eq!(fake.starts().len(), 1, "it was given the time");
}

#[test]
fn an_output_that_neither_reads_nor_ends_holds_nothing_up() {
    let _alone = alone();
    // It works, reads nothing, and stays when its line ends.
    let fake =
        Fake::new("trap '' HUP PIPE TERM\necho working\nwhile :; do sleep 0.2; echo working; done");
    let mut player = fake.player();
    wait_for(&mut player, SoundState::Working, SOON);
    for _ in 0..4 {
        say_much(&mut player);
    }
    watch(&mut player, Duration::from_millis(500));
    let begun = Instant::now();
    drop(player);
    assert!(
        begun.elapsed() < Duration::from_millis(1100),
        "dropping took {:?}",
        begun.elapsed()
    );
    nothing_is_left();
}

#[test]
fn a_device_that_comes_and_goes_leaves_nothing_behind() {
    let _alone = alone();
    let fake = Fake::new("echo working\nsleep 0.05\necho 'gone absent it went'\nexit 3");
    let mut player = fake.player();
    for _ in 0..30 {
        // Another name each time: it is started at once.
        let name = format!("{:?}", Instant::now());
        player.set(&Sounding {
            volume_percent: 100,
            language: Language::English,
            loudspeaker: Some(name),
        });
        player.say(&Announcement::put_off(5), Pace::Usual);
        thread::sleep(Duration::from_millis(50));
    }
    // It still works through the names that came faster than processes end.
    let gone = SoundState::NoDevice(Why::Absent);
    wait_for(&mut player, gone, Duration::from_secs(5));
    assert!(fake.starts().len() >= 30);
    drop(player);
    nothing_is_left();
}

/// No thread of a player, once it is gone.
fn nothing_is_left() {
    let begun = Instant::now();
    while threads() > 0 {
        assert!(begun.elapsed() < SOON, "threads are left");
        thread::sleep(Duration::from_millis(20));
    }
}

#[test]
fn a_device_that_is_short_of_samples_gets_longer_pieces_and_no_alarm() {
    let _beside = beside();
    let fake = Fake::new(&format!(
        "if [ $runs -le 2 ]; then echo working; sleep 0.1; echo hurried; exit 3; fi\n{WORKS}"
    ));
    let mut player = fake.player();
    wait_for(&mut player, SoundState::Working, SOON);
    watch(&mut player, Duration::from_millis(1000));
    let starts = fake.starts();
    let pieces: Vec<&str> = starts.iter().map(String::as_str).collect();
    assert_eq!(
        pieces,
        [
            "sound-output --piece-ms 10",
            "sound-output --piece-ms 20",
            "sound-output --piece-ms 40"
        ]
    );
}

#[test]
fn a_flood_of_reports_and_noise_holds_nothing_up() {
    let _alone = alone();
    let fake = Fake::new("while echo working && echo noise && echo 'began 1 x'; do :; done");
    let mut player = fake.player();
    wait_for(&mut player, SoundState::Working, SOON);
    say_much(&mut player);
    watch(&mut player, Duration::from_millis(300));
}

#[test]
fn a_program_that_cannot_start_is_no_device() {
    let _beside = beside();
    let mut player = Player::new(
        Program {
            path: PathBuf::from("/nonexistent/fillcall"),
            environment: Vec::new(),
        },
        Voice::Beeps,
        50,
    );
    player.say(&Announcement::put_off(5), Pace::Usual);
    wait_for_none(&mut player, Why::NoAnswer);
    assert!(
        player
            .reason()
            .is_some_and(|reason| reason.contains("/nonexistent/fillcall"))
    );
    say_much(&mut player);
}
