//! Asks for the loudspeakers through a process of its own, and never waits for the answer.

use super::output;
use super::player::Program;
use std::io::Read;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// From one question to the next.
const ASK_EVERY: Duration = Duration::from_secs(3);
/// An answer takes well under a second, unless the system is stuck.
const ANSWERING: Duration = Duration::from_secs(5);
/// Behind the names, so that an answer that was cut off is not taken for a whole one.
pub(super) const END: &str = "end";

/// The loudspeakers as they were found last.
#[derive(Debug)]
pub(super) struct Finder {
    program: Program,
    found: Arc<Mutex<Found>>,
    asked: Option<Instant>,
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
        }
    }

    /// The last answer. Asks again in the background, where the last question is long enough ago.
    pub(super) fn names(&mut self) -> Vec<String> {
        let mut found = locked(&self.found);
        if !found.asking && self.asked.is_none_or(|asked| asked.elapsed() >= ASK_EVERY) {
            self.asked = Some(Instant::now());
            let (program, answer) = (self.program.clone(), Arc::clone(&self.found));
            let thread = thread::Builder::new()
                .name("loudspeakers".into())
                .spawn(move || {
                    let names = ask(&program);
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

/// `None` where there was no whole answer.
fn ask(program: &Program) -> Option<Vec<String>> {
    let mut child = Command::new(&program.path)
        .args([output::SUBCOMMAND, output::LIST])
        .envs(program.environment.iter().cloned())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let mut stdout = child.stdout.take()?;
    let reader = thread::Builder::new()
        .name("loudspeakers-in".into())
        .spawn(move || {
            let mut answer = String::new();
            stdout.read_to_string(&mut answer).ok().map(|_| answer)
        });
    wait_or_kill(&mut child);
    names_of(&reader.ok()?.join().ok()??)
}

fn wait_or_kill(child: &mut Child) {
    let begun = Instant::now();
    while matches!(child.try_wait(), Ok(None)) {
        if begun.elapsed() >= ANSWERING {
            // It may have ended by itself already.
            let _ = child.kill();
            let _ = child.wait();
            return;
        }
        thread::sleep(Duration::from_millis(20));
    }
}

fn names_of(answer: &str) -> Option<Vec<String>> {
    let mut names: Vec<String> = answer.lines().map(str::to_owned).collect();
    (names.pop()? == END).then_some(names)
}

#[cfg(test)]
mod tests {
    use super::*;

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
