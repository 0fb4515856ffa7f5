//! How often a wall wakes the machine that nobody uses, with its output process, and what of a core it takes.

use super::common::display::Display;
use super::device::Device;
use super::{empty, wall};
use fillcall::sound::mixing;
use std::collections::BTreeMap;
use std::fs;
use std::process::{Child, Command};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// So long it is counted.
const IDLE: Duration = Duration::from_secs(40);
/// Processes that come and go meanwhile are seen by looking so often.
const LOOK_EVERY: Duration = Duration::from_millis(25);

/// Prints the empty window, a wall without a loudspeaker and one with it, all at the same time.
pub fn measure() {
    let folders = [(); 2].map(|()| tempfile::tempdir().expect("a folder"));
    let displays = [(); 3].map(|()| Display::start(800, 480));
    let (none, loudspeaker) = (Device::new(), Device::new());
    none.unplug();
    loudspeaker.plug_in();
    let mut silent = wall(&displays[1], folders[0].path());
    silent.envs(none.environment());
    let mut heard = wall(&displays[2], folders[1].path());
    heard.envs(loudspeaker.environment());
    let mut programs = [
        ("empty window", empty(&displays[0])),
        ("fillcall without a loudspeaker", silent),
        ("fillcall with a loudspeaker", heard),
    ]
    .map(|(name, mut command): (_, Command)| {
        let program = command.spawn().expect("the program starts");
        (name, Counted::new(program))
    });
    // What was said at the start is over, and the loudspeaker rests.
    sleep(mixing::SILENT + Duration::from_secs(8));
    programs.iter_mut().for_each(|(_, counted)| counted.begin());
    let began = Instant::now();
    while began.elapsed() < IDLE {
        sleep(LOOK_EVERY);
        programs.iter_mut().for_each(|(_, counted)| counted.look());
    }
    let seconds = began.elapsed().as_secs_f64();
    println!(
        "\n{:<44} {:>22} {:>22}",
        "nobody there, 40 s", "wake-ups/s (at most 2)", "% of a core (0.03)"
    );
    for (name, counted) in programs {
        let (wakes, busy) = counted.sums();
        println!(
            "{name:<44} {:>22.2} {:>22.4}",
            wakes as f64 / seconds,
            100.0 * busy.as_secs_f64() / seconds
        );
    }
}

/// A program with its children, counted thread by thread.
struct Counted {
    program: Child,
    /// When it began to be counted, and last.
    threads: BTreeMap<String, [Spent; 2]>,
    begun: bool,
}

/// What a thread took so far.
#[derive(Debug, Clone, Copy, Default)]
struct Spent {
    wakes: u64,
    busy: Duration,
}

impl Counted {
    fn new(program: Child) -> Self {
        Self {
            program,
            threads: BTreeMap::new(),
            begun: false,
        }
    }

    fn begin(&mut self) {
        self.look();
        self.begun = true;
    }

    fn look(&mut self) {
        for thread in threads_of(self.program.id()) {
            let Some(spent) = Spent::of(&thread) else {
                continue;
            };
            // One that came meanwhile counts from nothing.
            let first = if self.begun { Spent::default() } else { spent };
            self.threads.entry(thread).or_insert([first, spent])[1] = spent;
        }
    }

    fn sums(&self) -> (u64, Duration) {
        let each = self.threads.values();
        let wakes = each.clone().map(|[first, last]| last.wakes - first.wakes);
        let busy = each.map(|[first, last]| last.busy - first.busy);
        (wakes.sum(), busy.sum())
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

impl Spent {
    /// `None` where the thread is gone.
    fn of(thread: &str) -> Option<Self> {
        let status = fs::read_to_string(format!("{thread}/status")).ok()?;
        let wakes = status
            .lines()
            .find_map(|line| line.strip_prefix("voluntary_ctxt_switches:"))?;
        let schedule = fs::read_to_string(format!("{thread}/schedstat")).ok()?;
        let busy = schedule.split_whitespace().next()?.parse().ok()?;
        Some(Self {
            wakes: wakes.trim().parse().ok()?,
            busy: Duration::from_nanos(busy),
        })
    }
}

/// The threads of a process and of those that it started, as folders.
fn threads_of(process: u32) -> Vec<String> {
    let Ok(tasks) = fs::read_dir(format!("/proc/{process}/task")) else {
        return Vec::new();
    };
    let own: Vec<String> = tasks
        .filter_map(|task| Some(task.ok()?.path().display().to_string()))
        .collect();
    let children = own.iter().flat_map(|thread| {
        let children = fs::read_to_string(format!("{thread}/children")).unwrap_or_default();
        let ids: Vec<u32> = children
            .split_whitespace()
            .filter_map(|id| id.parse().ok())
            .collect();
        ids
    });
    let of_children: Vec<String> = children.flat_map(threads_of).collect();
    own.into_iter().chain(of_children).collect()
}
