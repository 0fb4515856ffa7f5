//! From asking for a sound to its first sample: printed, and held against a bound that is safe on a
//! machine that is busy.

use super::common::{HandClock, MemoryRecords, setup};
use super::device::Device;
use super::rig::{alone, playing};
use fillcall::bay::action::Action;
use fillcall::bay::at_work::Bay;
use fillcall::bay::ports::{Announcer, Pace, Tone};
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Profile;
use fillcall::screens::offscreen::Offscreen;
use fillcall::sound::meter::{Meter, Sounded};
use fillcall::sound::protocol::Kind;
use fillcall::sound::voice::Pack;
use fillcall::sound::{RATE, render};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::language::Language;
use std::cell::RefCell;
use std::thread;
use std::time::{Duration, Instant};

const MANY: usize = 50;
/// Of a tone, whose end has to be waited for each time.
const FEW: usize = 15;
/// What is promised is less; this is for a machine that has other things to do.
const SAFE: Duration = Duration::from_millis(250);

/// Prints median and worst, and returns the median.
fn tell(what: &str, mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    let ms = |time: Duration| time.as_secs_f64() * 1000.0;
    let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
    println!(
        "{what:<44} median {:6.2} ms, worst of {} {:6.2} ms",
        ms(median),
        times.len(),
        ms(worst)
    );
    median
}

/// The next sound of a kind that began behind the first `after`.
fn next(meter: &Meter, kind: Kind, asked_after: Instant) -> Sounded {
    let begun = Instant::now();
    loop {
        let found = meter
            .sounded()
            .into_iter()
            .find(|s| s.kind == kind && s.asked >= asked_after);
        if let Some(sounded) = found {
            return sounded;
        }
        assert!(
            begun.elapsed() < Duration::from_secs(2),
            "{kind:?} did not begin, but {:?}",
            meter
                .sounded()
                .iter()
                .filter(|s| s.asked >= asked_after)
                .map(|s| s.kind)
                .collect::<Vec<_>>()
        );
        thread::sleep(Duration::from_millis(1));
    }
}

fn said() -> Announcement {
    Announcement::put_off(10)
}

#[test]
fn a_sound_begins_at_once() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let meter = player.meter();
    let mut times = [const { Vec::new() }; 4];
    for i in 0..MANY {
        // Not in step with the device.
        thread::sleep(Duration::from_millis(11 + (i as u64 * 7) % 23));
        let asked = Instant::now();
        player.say(&said(), Pace::Usual);
        times[0].push(next(&meter, Kind::Speech, asked).latency());
        let asked = Instant::now();
        player.hush();
        times[3].push(next(&meter, Kind::Hush, asked).latency());
        if i >= FEW {
            continue;
        }
        // Straight behind an announcement: the hardest case of a tone.
        let asked = Instant::now();
        player.say(&said(), Pace::Slow);
        let tone = Instant::now();
        player.tone(Tone::Countdown);
        times[1].push(next(&meter, Kind::Tone, tone).latency());
        times[2].push(tone - asked);
        // Speech would wait for the end of the tone.
        thread::sleep(Duration::from_millis(170));
    }
    let [say, tone, cost, hush] = times;
    let say = tell("say, to the first sample", say);
    let tone = tell("a tone behind say, to the first sample", tone);
    let cost = tell("say, in the thread of the screen", cost);
    // A clip alone takes longer.
    assert!(cost < Duration::from_millis(2), "{cost:?}");
    let hush = tell("hush, to the end of speech", hush);
    for median in [say, tone, hush] {
        assert!(median < SAFE, "{median:?}");
    }
}

#[test]
fn a_press_is_heard_at_once() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let player = playing(&device);
    let meter = player.meter();
    let setup = setup(Profile::Seven800);
    let panel = setup.panel;
    let runner = RefCell::new(Some({
        let clock = HandClock::default();
        let bay = Bay::open(setup, Box::new(MemoryRecords::default()), clock.now())
            .unwrap_or_else(|fault| panic!("{}", fault.message));
        Runner::new(bay, Box::new(player), Box::new(clock))
    }));
    let open = move || Ok(runner.borrow_mut().take().expect("opened once"));
    let window = Offscreen::new(panel, Box::new(open)).expect("a window off-screen");
    let (mut acted, mut pressed, mut spoken) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..MANY {
        let asked = Instant::now();
        window.screen().act(Action::SayFill);
        acted.push(next(&meter, Kind::Speech, asked).first_sample - asked);
        // The click that answers a press, once the glass is at rest and shows what was done.
        window.wait(Duration::from_millis(500));
        let asked = Instant::now();
        // What it offers depends on whether it was said before.
        window
            .press("Say it")
            .or_else(|_| window.press("Say it slower"))
            .unwrap_or_else(|e| panic!("{e}"));
        pressed.push(next(&meter, Kind::Click, asked).first_sample - asked);
        spoken.push(next(&meter, Kind::Speech, asked).first_sample - asked);
    }
    let acted = tell("an action of the bay, to the first sample", acted);
    let pressed = tell("a press in the window, to its click", pressed);
    let spoken = tell("a press in the window, to speech", spoken);
    for median in [acted, pressed, spoken] {
        assert!(median < SAFE, "{median:?}");
    }
}

/// What ends speech ends what is not ready to be heard yet as well.
#[test]
fn what_is_ended_at_once_is_never_heard() {
    let _alone = alone();
    let device = Device::new();
    device.plug_in();
    let mut player = playing(&device);
    let meter = player.meter();
    let spoken = |meter: &Meter| {
        let of_speech = |s: &&Sounded| s.kind == Kind::Speech;
        meter.sounded().iter().filter(of_speech).count()
    };
    let before = spoken(&meter);
    for _ in 0..5 {
        player.say(&said(), Pace::Slow);
        player.hush();
        thread::sleep(Duration::from_millis(150));
        player.say(&said(), Pace::Slow);
        player.tone(Tone::Countdown);
        thread::sleep(Duration::from_millis(350));
    }
    assert_eq!(spoken(&meter), before);
    // A click ends nothing.
    let asked = Instant::now();
    player.say(&said(), Pace::Usual);
    player.tone(Tone::Click);
    next(&meter, Kind::Speech, asked);
}

#[test]
fn rendering_takes_little_time() {
    let mut times = Vec::new();
    for _ in 0..MANY {
        let begun = Instant::now();
        let voice = fillcall::bay::setup::Voice::Speech;
        let samples = render::announcement(&said(), Pack::of(Language::English), voice, Pace::Slow);
        times.push(begun.elapsed());
        assert!(samples.len() > RATE as usize);
    }
    let median = tell("rendering an announcement", times);
    assert!(median < SAFE, "{median:?}");
}
