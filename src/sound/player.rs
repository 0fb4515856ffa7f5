//! Plays announcements and tones through an output process, and keeps one running.

use super::output::{self, REPORT_EVERY};
use super::protocol::{Frame, Kind, Report};
use super::{clips, render, tones};
use crate::bay::ports::{Announcer, Pace, SoundState, Sounding, Tone};
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::speech::Lexicon;
use std::ffi::OsString;
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// After this long without a report an output process is given up. Opening counts as well.
const STALLED: Duration = REPORT_EVERY.saturating_mul(3);
/// From the end of one output process to the start of the next, at first.
const RETRY_FIRST: Duration = Duration::from_secs(2);
/// The same after several in vain.
const RETRY_SLOWEST: Duration = Duration::from_secs(10);
/// A device that worked this long was a good one: the next failure is a new story.
const SETTLED: Duration = Duration::from_secs(10);
/// What was said before the device was open is still worth hearing so long after.
const STILL_FRESH: Duration = Duration::from_secs(2);
/// How long an output process is given to end by itself.
const ENDING: Duration = Duration::from_millis(300);
/// How long dropping the player may take at the very most.
const DROPPING: Duration = Duration::from_secs(1);

/// The program that is started as output process, with the argument [`output::SUBCOMMAND`].
#[derive(Debug, Clone)]
pub struct Program {
    /// Which file.
    pub path: PathBuf,
    /// What is added to its environment.
    pub environment: Vec<(OsString, OsString)>,
}

impl Program {
    /// The program that is running now.
    ///
    /// # Errors
    /// The system does not tell its path.
    pub fn this() -> std::io::Result<Self> {
        Ok(Self {
            path: std::env::current_exe()?,
            environment: Vec::new(),
        })
    }
}

/// Plays what the bay wants said. Nothing in it waits for a device.
#[derive(Debug)]
pub struct Player {
    voice: Voice,
    volume_percent: u8,
    status: Arc<Mutex<Status>>,
    events: Sender<Event>,
    /// The supervisor drops its end when it has ended; `None` where there is none.
    ended: Option<Receiver<()>>,
}

#[derive(Debug)]
struct Status {
    state: SoundState,
    reason: Option<String>,
}

fn set(status: &Mutex<Status>, state: SoundState, reason: Option<String>) {
    // A panic elsewhere leaves a whole value behind, so it is as good as ever.
    *status.lock().unwrap_or_else(PoisonError::into_inner) = Status { state, reason };
}

impl Player {
    /// Starts playing through `program`, in this voice, at 0 to 100 percent of full loudness.
    ///
    /// Returns at once; [`Announcer::state`] tells how it goes. With [`Voice::Off`] nothing is
    /// started.
    pub fn new(program: Program, voice: Voice, volume_percent: u8) -> Self {
        let (events, receiver) = mpsc::channel();
        let status = Arc::new(Mutex::new(Status {
            state: match voice {
                Voice::Off => SoundState::Off,
                Voice::Speech | Voice::Beeps => SoundState::Opening,
            },
            reason: None,
        }));
        let ended = (voice != Voice::Off).then(|| {
            let (alive, ended) = mpsc::channel();
            let supervisor = Supervisor {
                program,
                events: receiver,
                sender: events.clone(),
                status: Arc::clone(&status),
                output: None,
                runs: 0,
                next_start: Instant::now(),
                delay: RETRY_FIRST,
                waiting: None,
            };
            let thread = thread::Builder::new().name("sound".into()).spawn(move || {
                let _alive = alive;
                supervisor.work();
            });
            if let Err(e) = thread {
                let reason = format!("no thread for the sound: {e}");
                set(&status, SoundState::NoDevice, Some(reason));
            }
            ended
        });
        Self {
            voice,
            volume_percent,
            status,
            events,
            ended,
        }
    }

    /// Why there is no device, as the system says it; `None` while all is well.
    pub fn reason(&self) -> Option<String> {
        let status = self.status.lock().unwrap_or_else(PoisonError::into_inner);
        status.reason.clone()
    }

    fn play(&self, kind: Kind, samples: &[i16]) {
        if self.voice == Voice::Off {
            return;
        }
        let samples = render::at_volume(samples, self.volume_percent);
        // Without a supervisor nobody listens, and the state says so already.
        let _ = self.events.send(Event::Play(Frame { kind, samples }));
    }
}

impl Announcer for Player {
    fn set(&mut self, sounding: &Sounding) {
        self.volume_percent = sounding.volume_percent;
    }
    fn lexicon(&self) -> Lexicon {
        clips::lexicon().clone()
    }
    fn loudspeakers(&mut self) -> Vec<String> {
        Vec::new()
    }
    fn say(&mut self, announcement: &Announcement, pace: Pace) {
        self.play(
            Kind::Speech,
            &render::announcement(announcement, clips::lexicon(), self.voice, pace),
        );
    }
    fn tone(&mut self, tone: Tone) {
        let kind = match tone {
            Tone::Click => Kind::Click,
            Tone::Countdown | Tone::Go | Tone::Stop | Tone::Refused => Kind::Tone,
        };
        self.play(kind, &tones::tone(tone));
    }
    fn hush(&mut self) {
        self.play(Kind::Hush, &[]);
    }
    fn state(&mut self) -> SoundState {
        let status = self.status.lock().unwrap_or_else(PoisonError::into_inner);
        status.state
    }
}

impl Drop for Player {
    fn drop(&mut self) {
        if let Some(ended) = &self.ended {
            let _ = self.events.send(Event::Quit);
            // Either answer means that nothing more can be done: it ended, or it never will.
            let _ = ended.recv_timeout(DROPPING);
        }
    }
}

/// What the supervisor hears of. The number says which output process it is about.
#[derive(Debug)]
enum Event {
    Play(Frame),
    Reported(u64, Report),
    Ended(u64),
    Quit,
}

/// One output process.
struct Output {
    run: u64,
    child: Child,
    /// To the thread that writes its standard input, so that a process that does not read cannot
    /// hold up the supervisor.
    frames: Sender<Frame>,
    last_sign: Instant,
    working_since: Option<Instant>,
    reason: Option<String>,
}

struct Supervisor {
    program: Program,
    events: Receiver<Event>,
    sender: Sender<Event>,
    status: Arc<Mutex<Status>>,
    output: Option<Output>,
    runs: u64,
    next_start: Instant,
    delay: Duration,
    /// Said while no device was open yet.
    waiting: Option<(Frame, Instant)>,
}

impl Supervisor {
    fn work(mut self) {
        loop {
            let deadline = match &self.output {
                Some(output) => output.last_sign + STALLED,
                None => self.next_start,
            };
            let left = deadline.saturating_duration_since(Instant::now());
            match self.events.recv_timeout(left) {
                Ok(Event::Play(frame)) => self.play(frame),
                Ok(Event::Reported(run, report)) if self.is_current(run) => self.reported(report),
                Ok(Event::Ended(run)) if self.is_current(run) => {
                    self.give_up("the sound output ended by itself");
                }
                // From a process that was given up already.
                Ok(Event::Reported(..) | Event::Ended(_)) => {}
                Ok(Event::Quit) | Err(RecvTimeoutError::Disconnected) => break,
                Err(RecvTimeoutError::Timeout) if self.output.is_some() => {
                    self.give_up("the device takes no samples");
                }
                Err(RecvTimeoutError::Timeout) => self.start(),
            }
        }
        if let Some(output) = self.output.take() {
            end(output);
        }
    }

    fn is_current(&self, run: u64) -> bool {
        self.output.as_ref().is_some_and(|output| output.run == run)
    }

    fn play(&mut self, frame: Frame) {
        match &self.output {
            Some(output) if output.working_since.is_some() => {
                // A writer that has ended is about to be followed by the process's own end.
                let _ = output.frames.send(frame);
            }
            _ => match frame.kind {
                Kind::Speech => self.waiting = Some((frame, Instant::now())),
                Kind::Tone | Kind::Hush => self.waiting = None,
                Kind::Click => {}
            },
        }
    }

    fn reported(&mut self, report: Report) {
        let Some(output) = &mut self.output else {
            return;
        };
        let now = Instant::now();
        output.last_sign = now;
        match (report, output.working_since) {
            (Report::Gone(reason), _) => output.reason = Some(reason),
            (Report::Working, Some(since)) => {
                if now - since >= SETTLED {
                    self.delay = RETRY_FIRST;
                }
            }
            (Report::Working, None) => {
                output.working_since = Some(now);
                set(&self.status, SoundState::Working, None);
                if let Some((frame, said)) = self.waiting.take()
                    && now - said <= STILL_FRESH
                {
                    self.play(frame);
                }
            }
        }
    }

    /// Starts an output process.
    fn start(&mut self) {
        self.runs += 1;
        let run = self.runs;
        let started = Command::new(&self.program.path)
            .arg(output::SUBCOMMAND)
            .envs(self.program.environment.iter().cloned())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            // The library below writes every failed attempt there; the reason comes as a report.
            .stderr(Stdio::null())
            .spawn()
            .and_then(|mut child| match connect(run, &mut child, &self.sender) {
                Ok(frames) => Ok((child, frames)),
                Err(e) => {
                    reap(child);
                    Err(e)
                }
            });
        match started {
            Ok((child, frames)) => {
                self.output = Some(Output {
                    run,
                    child,
                    frames,
                    last_sign: Instant::now(),
                    working_since: None,
                    reason: None,
                });
            }
            Err(e) => {
                let reason = format!("{} did not start: {e}", self.program.path.display());
                self.later(reason);
            }
        }
    }

    /// Ends the output process, whatever state it is in, and plans the next one.
    fn give_up(&mut self, why: &str) {
        if let Some(output) = self.output.take() {
            let reason = output.reason.unwrap_or_else(|| why.to_owned());
            reap(output.child);
            self.later(reason);
        }
    }

    fn later(&mut self, reason: String) {
        set(&self.status, SoundState::NoDevice, Some(reason));
        self.next_start = Instant::now() + self.delay;
        self.delay = (self.delay * 2).min(RETRY_SLOWEST);
    }
}

/// Puts a thread on each end of the line to an output process.
fn connect(run: u64, child: &mut Child, events: &Sender<Event>) -> std::io::Result<Sender<Frame>> {
    let (Some(stdin), Some(stdout)) = (child.stdin.take(), child.stdout.take()) else {
        return Err(std::io::Error::other("it has no line to write to"));
    };
    let (frames, to_write) = mpsc::channel();
    let events = events.clone();
    thread::Builder::new()
        .name("sound-in".into())
        .spawn(move || feed(stdin, &to_write))?;
    thread::Builder::new()
        .name("sound-out".into())
        .spawn(move || listen(run, stdout, &events))?;
    Ok(frames)
}

/// Writes frames until there are no more or nobody reads. Dropping `stdin` ends the process.
fn feed(mut stdin: ChildStdin, frames: &Receiver<Frame>) {
    while let Ok(frame) = frames.recv() {
        if stdin.write_all(&frame.bytes()).is_err() {
            return;
        }
    }
}

/// Passes reports on until the process ends.
fn listen(run: u64, stdout: ChildStdout, events: &Sender<Event>) {
    for line in BufReader::new(stdout).lines().map_while(Result::ok) {
        if let Some(report) = Report::parse(&line)
            && events.send(Event::Reported(run, report)).is_err()
        {
            return;
        }
    }
    let _ = events.send(Event::Ended(run));
}

/// Lets an output process end by itself for a moment, then ends it.
fn end(output: Output) {
    let Output {
        mut child, frames, ..
    } = output;
    // Its standard input ends with this.
    drop(frames);
    let deadline = Instant::now() + ENDING;
    while Instant::now() < deadline {
        if !matches!(child.try_wait(), Ok(None)) {
            return;
        }
        thread::sleep(Duration::from_millis(5));
    }
    reap(child);
}

/// Kills a process and waits for it elsewhere: inside a broken driver even that may take for ever.
fn reap(mut child: Child) {
    // It may have ended by itself already.
    let _ = child.kill();
    // Without a thread it stays a dead entry in the process table, which harms nobody.
    let _ = thread::Builder::new()
        .name("sound-end".into())
        .spawn(move || child.wait());
}
