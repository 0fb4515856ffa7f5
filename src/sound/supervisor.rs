//! Keeps an output process running: starts it, watches it, gives it up and starts it again.

use super::meter::Meter;
use super::output;
use super::patience::Patience;
use super::player::Program;
use super::protocol::{Frame, Kind, Report, Trouble, Wanted};
use crate::bay::ports::{News, SoundState, Why};
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// After this long without a report from an output process that worked it is given up. A device that
/// stalls is reported by the process itself, sooner than this; here it hangs as a whole. What is known
/// here is shown at once, and so within two seconds. Four reports have to be missing, so a hiccup of the machine is none.
const SILENT: Duration = Duration::from_millis(1200);
/// A device that is not open after this long is as good as none; it may still become one. It has to
/// be shown within two seconds too.
const SLOW_TO_OPEN: Duration = Duration::from_millis(1200);
/// A device that is not open after this long will not be.
const OPENING: Duration = Duration::from_secs(8);
/// An output process that rests reports every half minute. After this long without a report it is asked to
/// play, and then looked at as one that does.
const RESTS_SILENT: Duration = Duration::from_secs(70);
/// From the end of one output process to the start of the next, at first.
const RETRY_FIRST: Duration = Duration::from_secs(1);
/// The same after several in vain. A card that comes, and whoever wants to hear something, is not kept
/// waiting by it.
const RETRY_SLOWEST: Duration = Duration::from_secs(60);
/// A device that worked this long was a good one: the next failure is a new story.
const SETTLED: Duration = Duration::from_secs(10);
/// What was said before the device was open is still worth hearing so long after.
const STILL_FRESH: Duration = Duration::from_secs(2);
/// How long an output process is given to end by itself.
const ENDING: Duration = Duration::from_millis(300);

/// What is known of the loudspeaker, for whoever asks.
#[derive(Clone)]
pub(super) struct Status(Arc<Mutex<Known>>);

struct Known {
    state: SoundState,
    reason: Option<String>,
    news: Option<News>,
}

impl Default for Status {
    fn default() -> Self {
        Self(Arc::new(Mutex::new(Known {
            state: SoundState::Off,
            reason: None,
            news: None,
        })))
    }
}

impl std::fmt::Debug for Status {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?}", self.state())
    }
}

impl Status {
    pub(super) fn set(&self, state: SoundState) {
        self.change(state, None);
    }
    pub(super) fn no_device(&self, trouble: Trouble) {
        self.change(SoundState::NoDevice(trouble.why), Some(trouble.reason));
    }
    pub(super) fn state(&self) -> SoundState {
        self.locked().state
    }
    pub(super) fn reason(&self) -> Option<String> {
        self.locked().reason.clone()
    }
    /// From now on `news` is called when the state becomes another one; it returns at once.
    pub(super) fn tell(&self, news: News) {
        self.locked().news = Some(news);
    }
    fn change(&self, state: SoundState, reason: Option<String>) {
        let mut known = self.locked();
        let before = std::mem::replace(&mut known.state, state);
        known.reason = reason;
        if let Some(news) = known.news.as_ref().filter(|_| before != state) {
            news();
        }
    }
    fn locked(&self) -> MutexGuard<'_, Known> {
        // A panic elsewhere leaves a whole value behind, so it is as good as ever.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What the supervisor hears of. The number says which output process it is about.
#[derive(Debug)]
pub(super) enum Event {
    /// Play this.
    Play(Frame),
    /// Play to this loudspeaker from now on.
    Use(Option<String>),
    /// An output process said something.
    Reported(u64, Report),
    /// An output process is over.
    Ended(u64),
    /// Sound cards came or went.
    Cards,
    /// Come to an end.
    Quit,
}

/// One output process.
struct Output {
    run: u64,
    child: Child,
    /// To the thread that writes its standard input, so that a process that does not read cannot
    /// hold up the supervisor.
    frames: Sender<Frame>,
    patience: Patience,
    working_since: Option<Instant>,
    /// Since when it rests, or said so again: then it is not looked at.
    rests: Option<Instant>,
}

impl Output {
    /// When it is to be looked at next.
    fn next_look(&self) -> Instant {
        match self.rests {
            Some(since) => since + RESTS_SILENT,
            None => self.patience.next_look(),
        }
    }

    /// Hands it something to do, and looks at it from now on. A writer that has ended is about to be
    /// followed by the process's own end.
    fn hand(&mut self, frame: Frame) {
        let _ = self.frames.send(frame);
        if self.rests.take().is_some() {
            self.patience = Patience::new(Instant::now());
        }
    }
}

/// Owns the output process.
pub(super) struct Supervisor {
    program: Program,
    events: Receiver<Event>,
    sender: Sender<Event>,
    status: Status,
    meter: Meter,
    wanted: Wanted,
    output: Option<Output>,
    runs: u64,
    ended: Instant,
    next_start: Instant,
    delay: Duration,
    /// Said while no device was open yet.
    waiting: Option<(Frame, Instant)>,
}

impl Supervisor {
    /// Starts the first output process as soon as it works.
    pub(super) fn new(
        program: Program,
        events: Receiver<Event>,
        sender: Sender<Event>,
        status: Status,
        meter: Meter,
    ) -> Self {
        let now = Instant::now();
        Self {
            program,
            events,
            sender,
            status,
            meter,
            wanted: Wanted {
                loudspeaker: None,
                piece: Wanted::SHORTEST,
            },
            output: None,
            runs: 0,
            ended: now,
            next_start: now,
            delay: RETRY_FIRST,
            waiting: None,
        }
    }

    /// Until it is told to quit.
    pub(super) fn work(mut self) {
        loop {
            let deadline = match &self.output {
                Some(output) => output.next_look(),
                None => self.next_start,
            };
            let left = deadline.saturating_duration_since(Instant::now());
            match self.events.recv_timeout(left) {
                Ok(Event::Play(frame)) => self.play(frame),
                Ok(Event::Use(loudspeaker)) => self.change_to(loudspeaker),
                Ok(Event::Reported(run, report)) if self.is_current(run) => self.reported(report),
                Ok(Event::Ended(run)) if self.is_current(run) => {
                    self.give_up(no_answer(
                        "the sound output ended by itself; it is started again",
                    ));
                }
                // From a process that was given up already.
                Ok(Event::Reported(..) | Event::Ended(_)) => {}
                Ok(Event::Cards) => self.cards_changed(),
                Ok(Event::Quit) | Err(RecvTimeoutError::Disconnected) => break,
                Err(RecvTimeoutError::Timeout) if self.output.is_some() => self.look(),
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
        match &mut self.output {
            Some(output) if output.working_since.is_some() => output.hand(frame),
            open => match frame.kind {
                Kind::Speech => {
                    if open.is_none() {
                        // Somebody wants to hear it: worth a try sooner than planned.
                        self.next_start = self.next_start.min(self.ended + RETRY_FIRST);
                    }
                    self.waiting = Some((frame, Instant::now()));
                }
                Kind::Tone | Kind::Hush => self.waiting = None,
                Kind::Click | Kind::Wake => {}
            },
        }
    }

    /// A device that rests does not notice that it went: it is to play, and says so then. One that is not
    /// there may have come.
    fn cards_changed(&mut self) {
        if self.output.is_some() {
            self.wake();
        } else {
            self.delay = RETRY_FIRST;
            let soon = Instant::now().max(self.ended + RETRY_FIRST);
            self.next_start = self.next_start.min(soon);
        }
    }

    fn wake(&mut self) {
        if let Some(output) = &mut self.output
            && output.working_since.is_some()
        {
            output.hand(Frame {
                kind: Kind::Wake,
                number: 0,
                samples: Vec::new(),
            });
        }
    }

    /// Ends what plays to another loudspeaker, and starts what plays to this one.
    fn change_to(&mut self, loudspeaker: Option<String>) {
        if self.wanted.loudspeaker == loudspeaker {
            return;
        }
        self.wanted = Wanted {
            loudspeaker,
            piece: Wanted::SHORTEST,
        };
        // Both names may lead to the same device, which takes one at a time: so wait for its end.
        if let Some(output) = self.output.take() {
            end(output);
        }
        self.delay = RETRY_FIRST;
        self.status.set(SoundState::Opening);
        self.start();
    }

    /// No report since the last look.
    fn look(&mut self) {
        if self
            .output
            .as_ref()
            .is_some_and(|output| output.rests.is_some())
        {
            return self.wake();
        }
        let Some(output) = &mut self.output else {
            return;
        };
        output.patience.look(Instant::now());
        if output.working_since.is_some() {
            if output.patience.is_over(SILENT) {
                self.give_up(no_answer("the sound output hangs; it is started again"));
            }
        } else if output.patience.is_over(OPENING) {
            self.give_up(no_answer(
                "the loudspeaker does not open; plug it in again or choose another one",
            ));
        } else if output.patience.is_over(SLOW_TO_OPEN) {
            let slow = "the loudspeaker is slow to open; it may still come";
            self.status.no_device(no_answer(slow));
        }
    }

    fn reported(&mut self, report: Report) {
        let Some(output) = &mut self.output else {
            return;
        };
        let now = Instant::now();
        if output
            .working_since
            .is_some_and(|since| now - since >= SETTLED)
        {
            self.delay = RETRY_FIRST;
        }
        output.rests = (report == Report::Resting).then_some(now);
        match report {
            // Only what took samples comes to rest; a device without a clock does before it is looked at.
            Report::Resting => self.works(now),
            // Its end is not waited for: leaving may hang as well.
            Report::Gone(trouble) => self.give_up(trouble),
            Report::Hurried => {
                self.wanted.piece = (self.wanted.piece * 2).min(Wanted::LONGEST);
                if let Some(output) = self.output.take() {
                    end(output);
                }
                self.start();
            }
            Report::Began { number, ago } => {
                output.patience = Patience::new(now);
                self.meter
                    .began(number, now.checked_sub(ago).unwrap_or(now));
            }
            Report::Working => {
                output.patience = Patience::new(now);
                self.works(now);
            }
        }
    }

    /// The device takes samples: it is a loudspeaker, and what was said before that is heard.
    fn works(&mut self, now: Instant) {
        let Some(output) = self.output.as_mut() else {
            return;
        };
        if output.working_since.is_some() {
            return;
        }
        output.working_since = Some(now);
        self.status.set(SoundState::Working);
        if let Some((frame, said)) = self.waiting.take()
            && now - said <= STILL_FRESH
        {
            self.play(frame);
        }
    }

    /// Starts an output process.
    fn start(&mut self) {
        self.runs += 1;
        let run = self.runs;
        let started = Command::new(&self.program.path)
            .arg(output::SUBCOMMAND)
            .args(self.wanted.arguments())
            .envs(self.program.environment.iter().cloned())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            // The library below writes every failed attempt there; the reason comes as a report.
            .stderr(Stdio::null())
            .spawn()
            .and_then(|mut child| match connect(run, &mut child, &self.sender) {
                Ok(frames) => Ok((child, frames)),
                Err(e) => {
                    reap(child, ());
                    Err(e)
                }
            });
        match started {
            Ok((child, frames)) => {
                self.output = Some(Output {
                    run,
                    child,
                    frames,
                    patience: Patience::new(Instant::now()),
                    working_since: None,
                    rests: None,
                });
            }
            Err(e) => {
                let path = self.program.path.display();
                self.later(no_answer(&format!("{path} did not start: {e}")));
            }
        }
    }

    /// Ends the output process, whatever state it is in, and plans the next one.
    fn give_up(&mut self, trouble: Trouble) {
        if let Some(output) = self.output.take() {
            reap(output.child, ());
            self.later(trouble);
        }
    }

    fn later(&mut self, trouble: Trouble) {
        self.status.no_device(trouble);
        self.ended = Instant::now();
        self.next_start = self.ended + self.delay;
        self.delay = (self.delay * 2).min(RETRY_SLOWEST);
    }
}

fn no_answer(reason: &str) -> Trouble {
    Trouble::new(Why::NoAnswer, reason)
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
    reap(child, ());
}

/// Kills a process and waits for it elsewhere: inside a broken driver even that may take for ever.
/// `until_then` is dropped when it is gone.
pub(super) fn reap(mut child: Child, until_then: impl Send + 'static) {
    // It may have ended by itself already.
    let _ = child.kill();
    // Without a thread it stays a dead entry in the process table, which harms nobody.
    let _ = thread::Builder::new()
        .name("sound-end".into())
        .spawn(move || {
            let _ = child.wait();
            drop(until_then);
        });
}
