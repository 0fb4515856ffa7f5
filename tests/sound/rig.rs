//! A player on a device of the test's own, and what goes on around it.

use super::device::Device;
use fillcall::bay::ports::{Announcer, Pace, SoundState, Why};
use fillcall::bay::setup::Voice;
use fillcall::sound::player::Program;
use fillcall::sound::voice::Pack;
use fillcall::sound::{Player, render};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::language::Language;
use std::process::Command;
use std::sync::{PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};
use std::thread;
use std::time::{Duration, Instant};

/// The sign on the screen is right after this long.
pub const SOON: Duration = Duration::from_secs(2);
/// From knowing it to showing it, at the most.
const SHOWING: Duration = Duration::from_millis(400);

static MACHINE: RwLock<()> = RwLock::new(());

/// For a test that measures time, burns it, or counts threads: it wants the machine for itself.
pub fn alone() -> RwLockWriteGuard<'static, ()> {
    MACHINE.write().unwrap_or_else(PoisonError::into_inner)
}

/// For a test that mostly waits: others of its kind may run beside it.
pub fn beside() -> RwLockReadGuard<'static, ()> {
    MACHINE.read().unwrap_or_else(PoisonError::into_inner)
}

/// The program on this device and no other.
pub fn program(device: &Device) -> Program {
    Program {
        path: env!("CARGO_BIN_EXE_fillcall").into(),
        environment: device.environment(),
    }
}

pub fn player(device: &Device) -> Player {
    Player::new(program(device), Voice::Speech, 100)
}

/// A player that works.
pub fn playing(device: &Device) -> Player {
    let mut player = player(device);
    wait_for(&mut player, SoundState::Working, SOON);
    player
}

/// Waits for a state, and returns how long that took.
pub fn wait_for(player: &mut Player, state: SoundState, most: Duration) -> Duration {
    let begun = Instant::now();
    while player.state() != state {
        assert!(
            begun.elapsed() < most,
            "{state:?} did not come within {most:?}: {:?}, {:?}",
            player.state(),
            player.reason()
        );
        thread::sleep(Duration::from_millis(5));
    }
    begun.elapsed()
}

/// Waits until there is no device, for this reason, and returns how long that took. It has to be known
/// so soon that a wall that is held up still shows it in time.
pub fn wait_for_none(player: &mut Player, why: Why) -> Duration {
    wait_for(player, SoundState::NoDevice(why), SOON - SHOWING)
}

/// The samples of an announcement, at full volume.
pub fn samples(announcement: &Announcement) -> Vec<i16> {
    render::announcement(
        announcement,
        Pack::of(Language::English),
        Voice::Speech,
        Pace::Usual,
    )
}

/// Time for an announcement to be said, and for it to come out of the pipe, on a device at the usual
/// pace.
pub fn time_to_say(announcement: &Announcement) -> Duration {
    Duration::from_secs_f64(samples(announcement).len() as f64 / 22_050.0 + 0.8)
}

/// The output processes of this test program that play to this device.
pub fn children(device: &Device) -> Vec<u32> {
    let config = device.config();
    let config = config.as_os_str().as_encoded_bytes();
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
        .filter(|pid| {
            std::fs::read(format!("/proc/{pid}/environ"))
                .is_ok_and(|text| text.windows(config.len()).any(|part| part == config))
        })
        .collect()
}

/// Sends a signal by its name.
pub fn signal(name: &str, pid: u32) {
    // The shell's own: a small machine has no such program.
    let status = Command::new("sh")
        .args(["-c", &format!("kill -{name} {pid}")])
        .status();
    assert!(status.expect("sh runs").success());
}
