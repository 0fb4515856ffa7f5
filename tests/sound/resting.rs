//! A loudspeaker that nobody uses rests: nothing wakes the machine for it, what is asked for is heard whole
//! all the same, and when it goes that is told by the event of the card.

use super::device::{self, Device};
use super::failing::{Fake, WORKS, is_heard};
use super::resampled::{at_rate, likeness};
use super::rig::{
    SOON, alone, beside, children, playing, samples, signal, time_to_say, wait_for, wait_for_none,
};
use fillcall::bay::ports::{Announcer, Pace, SoundState, Why};
use fillcall::sound::protocol::Kind;
use fillcall::sound::{Player, RATE, mixing};
use fillcall::trade::announcement::Announcement;
use std::fs;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

/// How often the threads of a process were woken so far.
fn wakes(process: u32) -> u64 {
    let tasks = fs::read_dir(format!("/proc/{process}/task")).expect("its threads");
    let of = |status: String| {
        let line = status
            .lines()
            .find_map(|line| line.strip_prefix("voluntary_ctxt_switches:"));
        line.and_then(|count| count.trim().parse::<u64>().ok())
    };
    tasks
        .filter_map(|task| fs::read_to_string(task.ok()?.path().join("status")).ok())
        .filter_map(of)
        .sum()
}

/// Waits until the output process rests.
fn wait_for_rest(process: u32) {
    let begun = Instant::now();
    loop {
        let before = wakes(process);
        thread::sleep(Duration::from_millis(500));
        if wakes(process) - before <= 2 {
            return;
        }
        assert!(begun.elapsed() < mixing::SILENT * 2, "it does not rest");
    }
}

#[test]
fn after_a_rest_an_announcement_is_heard_whole_and_at_once() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let output = children(&device)[0];
    let at_work = wakes(output);
    thread::sleep(Duration::from_secs(2));
    let at_work = wakes(output) - at_work;
    wait_for_rest(output);
    let before = wakes(output);
    thread::sleep(Duration::from_secs(2));
    let at_rest = wakes(output) - before;
    println!("wake-ups of the output in 2 s: {at_work} at work, {at_rest} at rest");
    assert!(at_work > 50 && at_rest <= 2, "{at_work}, {at_rest}");
    assert_eq!(player.state(), SoundState::Working);
    device.forget();
    let announcement = Announcement::put_off(5);
    let (meter, asked) = (player.meter(), Instant::now());
    player.say(&announcement, Pace::Usual);
    thread::sleep(time_to_say(&announcement) + Duration::from_millis(450));
    let began = meter
        .sounded()
        .into_iter()
        .find(|s| s.kind == Kind::Speech && s.asked >= asked)
        .expect("it began");
    println!("after a rest, to the first sample: {:?}", began.latency());
    let wanted = at_rate(&samples(&announcement), RATE as usize, device::RATE);
    let (like, ..) = likeness(&device.heard(), &wanted);
    assert!(like > 0.99, "it was heard otherwise: {like:.4}");
    assert_eq!(children(&device), [output], "the same one goes on");
}

/// A player that watches a folder of cards, and hears of news.
fn watching(player: Player, cards: &Path) -> (Player, std::sync::mpsc::Receiver<()>) {
    let mut player = player.with_cards(cards);
    let (sender, news) = std::sync::mpsc::channel();
    player.tell(Box::new(move || {
        let _ = sender.send(());
    }));
    // The watch has to stand before something happens.
    thread::sleep(Duration::from_millis(300));
    (player, news)
}

#[test]
fn a_loudspeaker_that_goes_while_it_rests_is_told_by_its_event() {
    let _beside = beside();
    let cards = tempfile::tempdir().expect("a folder");
    let file = cards.path().join("pcmC0D0p");
    fs::write(&file, "").expect("a card");
    let device = Device::new();
    device.plug_in();
    let (mut player, news) = watching(playing(&device), cards.path());
    wait_for_rest(children(&device)[0]);
    while news.try_recv().is_ok() {}
    device.stall(true);
    thread::sleep(Duration::from_millis(1500));
    assert_eq!(player.state(), SoundState::Working, "nobody looks at it");
    let pulled = Instant::now();
    fs::remove_file(&file).expect("pulled out");
    news.recv_timeout(SOON).expect("told within two seconds");
    let took = pulled.elapsed();
    assert_eq!(player.state(), SoundState::NoDevice(Why::NoAnswer));
    println!("a loudspeaker that goes while it rests: told after {took:?}");
    assert!(took < SOON, "{took:?}");
}

#[test]
fn an_output_that_ends_while_it_rests_is_told_at_once() {
    let _beside = beside();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let output = children(&device)[0];
    wait_for_rest(output);
    // As alsa-lib does when a card goes: by an abort.
    signal("ABRT", output);
    let took = wait_for_none(&mut player, Why::NoAnswer);
    println!("an output that aborts while it rests: seen after {took:?}");
}

#[test]
fn an_output_at_rest_is_no_false_alarm_and_one_that_hangs_is_known_when_it_is_to_sound() {
    let _beside = beside();
    // It says that it rests, and then nothing more, whatever it is asked.
    let fake = Fake::new(&format!(
        "if [ $runs = 1 ]; then echo working; echo resting; exec sleep 60; fi\n{WORKS}"
    ));
    let mut player = fake.player();
    wait_for(&mut player, SoundState::Working, SOON);
    let begun = Instant::now();
    while begun.elapsed() < Duration::from_secs(4) {
        assert_eq!(player.state(), SoundState::Working, "{:?}", player.reason());
        thread::sleep(Duration::from_millis(10));
    }
    player.say(&Announcement::put_off(5), Pace::Usual);
    let took = wait_for_none(&mut player, Why::NoAnswer);
    println!("an output that hangs at rest: known {took:?} after it was to sound");
    wait_for(&mut player, SoundState::Working, Duration::from_secs(4));
}

#[test]
fn a_card_that_comes_is_not_kept_waiting_by_tries_in_vain() {
    let _beside = beside();
    let cards = tempfile::tempdir().expect("a folder");
    let device = Device::new();
    device.unplug();
    let player = super::rig::player(&device);
    let (mut player, news) = watching(player, cards.path());
    wait_for_none(&mut player, Why::Absent);
    // Tried after 1, 2 and 4 s: the next time would be after 8 s more.
    thread::sleep(Duration::from_secs(9));
    while news.try_recv().is_ok() {}
    device.plug_in();
    fs::write(cards.path().join("pcmC0D0p"), "").expect("plugged in");
    let took = wait_for(&mut player, SoundState::Working, Duration::from_secs(3));
    println!("a card that comes: it works after {took:?}");
    news.recv_timeout(SOON).expect("told");
    is_heard(&mut player);
}
