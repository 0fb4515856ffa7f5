//! Asks for the loudspeakers through a process of its own, and never waits for the answer.

use super::output;
use super::player::Program;
use super::supervisor::reap;
use std::io::Read;
use std::process::{Command, Stdio};
use std::sync::mpsc::{self, Receiver};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// From one question to the next.
const ASK_EVERY: Duration = Duration::from_secs(3);
/// An answer takes well under a second, unless the system is stuck.
const ANSWERING: Duration = Duration::from_secs(3);
/// Processes that were asked and are stuck beyond being killed, inside a driver. With more of them
/// nobody is asked until one is free: each takes its part of the machine.
const STUCK: usize = 3;
/// Behind the names, so that an answer that was cut off is not taken for a whole one.
pub(super) const END: &str = "end";

/// The loudspeakers as they were found last.
#[derive(Debug)]
pub(super) struct Finder {
    program: Program,
    found: Arc<Mutex<Found>>,
    asked: Option<Instant>,
    /// As many owners besides this one as there are processes that were asked and are not gone yet.
    unended: Arc<()>,
}

#[derive(Debug, Default)]
struct Found {
    names: Vec<String>,
    asking: bool,
}

fn locked(found: &Mutex<Found>) -> std::sync::MutexGuard<'_, Found> {
    // A panic elsewhere leaves a whole value behind.
    found.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Finder {
    pub(super) fn new(program: Program) -> Self {
        Self {
            program,
            found: Arc::default(),
            asked: None,
            unended: Arc::default(),
        }
    }

    /// The last answer. Asks again in the background, where the last question is long enough ago.
    pub(super) fn names(&mut self) -> Vec<String> {
        let mut found = locked(&self.found);
        if !found.asking
            && self.asked.is_none_or(|asked| asked.elapsed() >= ASK_EVERY)
            && Arc::strong_count(&self.unended) <= STUCK
        {
            self.asked = Some(Instant::now());
            let (program, answer) = (self.program.clone(), Arc::clone(&self.found));
            let unended = Arc::clone(&self.unended);
            let thread = thread::Builder::new()
                .name("loudspeakers".into())
                .spawn(move || {
                    let names = ask(&program, unended);
                    let mut found = locked(&answer);
                    found.asking = false;
                    if let Some(names) = names {
                        found.names = names;
                    }
                });
            // Without a thread the last answer stands, and it is tried again.
            found.asking = thread.is_ok();
        }
        found.names.clone()
    }
}

/// `None` where there was no whole answer in time. Neither the process nor who reads from it is waited
/// for: both may be stuck for ever.
fn ask(program: &Program, unended: Arc<()>) -> Option<Vec<String>> {
    let mut child = Command::new(&program.path)
        .args([output::SUBCOMMAND, output::LIST])
        .envs(program.environment.iter().cloned())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let answer = child.stdout.take().and_then(read);
    let answer = answer.and_then(|answer| answer.recv_timeout(ANSWERING).ok());
    reap(child, unended);
    names_of(&answer?)
}

/// All that comes from there, once it has come.
fn read(mut from: impl Read + Send + 'static) -> Option<Receiver<String>> {
    let (sender, answer) = mpsc::channel();
    thread::Builder::new()
        .name("loudspeakers-in".into())
        .spawn(move || {
            let mut text = String::new();
            if from.read_to_string(&mut text).is_ok() {
                // Nobody waits for an answer that comes too late.
                let _ = sender.send(text);
            }
        })
        .ok()
        .map(|_| answer)
}

fn names_of(answer: &str) -> Option<Vec<String>> {
    let mut names: Vec<String> = answer.lines().map(str::to_owned).collect();
    (names.pop()? == END).then_some(names)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_is_asked_while_too_many_are_stuck() {
        let mut finder = Finder::new(Program {
            path: "/nonexistent/fillcall".into(),
            environment: Vec::new(),
        });
        let mut stuck = vec![Arc::clone(&finder.unended); STUCK];
        finder.names();
        assert_eq!(finder.asked, None);
        stuck.pop();
        finder.names();
        assert!(finder.asked.is_some());
    }

    #[test]
    fn only_a_whole_answer_counts() {
        assert_eq!(
            names_of("Horn\nSiren\nend\n"),
            Some(vec!["Horn".to_owned(), "Siren".to_owned()])
        );
        assert_eq!(names_of("end\n"), Some(vec![]));
        assert_eq!(names_of("Horn\nSi"), None);
        assert_eq!(names_of(""), None);
    }
}
