//! From *wash done* to a wash that no power cut takes away, beside a bare write of as many bytes that is synced,
//! in the same folder.

use super::common::setup;
use super::half_and_most;
use fillcall::bay::action::Action;
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::ports::Clock;
use fillcall::bay::runner::Runner;
use fillcall::bay::setup::Profile;
use fillcall::sound::Silent;
use fillcall::store::records::{SqliteRecords, summary};
use fillcall::store::records_path;
use std::fs::{self, File};
use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

const MANY: u32 = 200;

#[derive(Clone, Copy)]
struct SystemClock(Instant);

impl Clock for SystemClock {
    fn monotonic(&self) -> Duration {
        self.0.elapsed()
    }
    fn wall(&self) -> chrono::DateTime<chrono::FixedOffset> {
        chrono::Local::now().fixed_offset()
    }
}

/// Prints both.
pub fn measure() {
    // Beside what is built: a folder for temporary files may be in memory.
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    let path = records_path(folder.path());
    let clock = SystemClock(Instant::now());
    let now = Now {
        monotonic: clock.monotonic(),
        wall: clock.wall(),
    };
    let records = SqliteRecords::open(&path).expect("records");
    let bay = Bay::open(setup(Profile::Seven800), Box::new(records), now)
        .unwrap_or_else(|fault| panic!("{}", fault.message));
    let mut runner = Runner::new(bay, Box::<Silent>::default(), Box::new(clock));
    let log = path.with_extension("sqlite-wal");
    let length = || fs::metadata(&log).expect("the log").len();
    // The first ones make what is there from then on.
    for _ in 0..5 {
        runner.act(Action::WashDone);
    }
    let before = length();
    runner.act(Action::WashDone);
    let bytes = vec![0x5a; usize::try_from(length() - before).expect("it grows")];
    let mut bare = bare_file(folder.path());
    let (mut washes, mut writes) = (Vec::new(), Vec::new());
    for turn in 0..MANY {
        let mut wash = || {
            let began = Instant::now();
            runner.act(Action::WashDone);
            washes.push(began.elapsed());
        };
        let mut write = || {
            let began = Instant::now();
            bare.write_all(&bytes).expect("written");
            bare.sync_data().expect("synced");
            writes.push(began.elapsed());
        };
        // Neither always behind the other.
        match turn % 2 {
            0 => (wash(), write()),
            _ => (write(), wash()),
        };
    }
    let kept = summary(&path).expect("read").washes;
    assert_eq!(kept, u64::from(MANY) + 6, "each is on disk");
    let ((wash, wash_most), (write, write_most)) = (half_and_most(washes), half_and_most(writes));
    println!(
        "\n{:<44} {:>10} {:>10}\n{:<44} {wash:>10.3} {wash_most:>10.3}\n{:<44} {write:>10.3} {write_most:>10.3}\n{:<44} {:>10.2} {:>10.2}",
        "to durable, ms",
        "half of 200",
        "95 of 100",
        "wash done",
        format!("bare write of {} bytes and fdatasync", bytes.len()),
        "times as long (at most 2)",
        wash / write,
        wash_most / write_most
    );
}

fn bare_file(folder: &Path) -> File {
    File::create(folder.join("bare")).expect("a file")
}
