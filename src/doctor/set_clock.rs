//! Setting the panel's clock by systemd's `timedatectl`, which asks polkit whether the wall may.

use crate::bay::ports::{ClockFault, ClockSet, ClockSetter};
use chrono::NaiveDateTime;
use std::io::{self, ErrorKind, Read};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// The program; it is looked for as any.
const PROGRAM: &str = "timedatectl";
/// It is ended where it takes longer.
const PATIENCE: Duration = Duration::from_secs(10);

/// The clock of this panel.
#[derive(Debug)]
pub struct SystemClock {
    program: String,
    patience: Duration,
    answer: Option<Receiver<ClockSet>>,
}

impl Default for SystemClock {
    fn default() -> Self {
        Self::by(PROGRAM, PATIENCE)
    }
}

impl SystemClock {
    /// Set by this program, which may take so long.
    pub fn by(program: &str, patience: Duration) -> Self {
        Self {
            program: program.into(),
            patience,
            answer: None,
        }
    }
}

impl ClockSetter for SystemClock {
    fn set(&mut self, to: NaiveDateTime) {
        let (tell, answer) = channel();
        self.answer = Some(answer);
        let (program, patience) = (self.program.clone(), self.patience);
        // Where no thread can be made there is no answer, which the bay tells.
        let _ = thread::Builder::new().spawn(move || tell.send(run(&program, to, patience)));
    }

    fn state(&mut self) -> Option<ClockSet> {
        let told = self.answer.as_ref()?.try_recv().ok()?;
        self.answer = None;
        Some(told)
    }
}

fn run(program: &str, to: NaiveDateTime, patience: Duration) -> ClockSet {
    match said(program, to, patience) {
        Ok(None) => ClockSet::Set,
        Ok(Some(said)) => ClockSet::NotSet(fault(said)),
        Err(error) => ClockSet::NotSet(match error.kind() {
            ErrorKind::NotFound => ClockFault::NoTool,
            ErrorKind::TimedOut => ClockFault::NoAnswer,
            _ => ClockFault::Other {
                said: error.to_string(),
            },
        }),
    }
}

/// What the program said of why it did not do it; `None` where it did.
fn said(program: &str, to: NaiveDateTime, patience: Duration) -> io::Result<Option<String>> {
    let begun = Instant::now();
    let to = to.format("%Y-%m-%d %H:%M:%S").to_string();
    let mut child = Command::new(program)
        .args(["--no-ask-password", "set-time", &to])
        .env("LC_ALL", "C")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()?;
    let ended = loop {
        if let Some(ended) = child.try_wait()? {
            break ended;
        }
        if begun.elapsed() >= patience {
            child.kill()?;
            child.wait()?;
            return Err(ErrorKind::TimedOut.into());
        }
        thread::sleep(Duration::from_millis(20));
    };
    if ended.success() {
        return Ok(None);
    }
    let mut words = Vec::new();
    if let Some(mut errors) = child.stderr.take() {
        errors.read_to_end(&mut words)?;
    }
    let words = String::from_utf8_lossy(&words).trim().to_owned();
    Ok(Some(match words.is_empty() {
        true => ended.to_string(),
        false => words,
    }))
}

/// What its words come to. They are systemd's and polkit's, in English.
fn fault(said: String) -> ClockFault {
    let has = |words: &[&str]| words.iter().any(|word| said.contains(word));
    if has(&["utomatic time synchronization is enabled"]) {
        ClockFault::ByNetwork
    } else if has(&[
        "authentication required",
        "Access denied",
        "Permission denied",
    ]) {
        ClockFault::NotAllowed
    } else if has(&["Failed to connect to bus", "Timed out", "timed out"]) {
        ClockFault::NoAnswer
    } else {
        ClockFault::Other { said }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::os::unix::fs::PermissionsExt;

    /// What becomes of a program that is this script.
    fn by(script: &str) -> ClockSet {
        let folder = tempfile::tempdir().expect("a folder");
        let program = folder.path().join("timedatectl");
        let text = format!("#!/bin/sh\ncd {}\n{script}\n", folder.path().display());
        fs::write(&program, text).expect("a program");
        fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).expect("its rights");
        let path = program.display().to_string();
        let mut clock = SystemClock::by(&path, Duration::from_secs(2));
        let to = NaiveDateTime::parse_from_str("2026-05-31 14:05", "%Y-%m-%d %H:%M");
        assert_eq!(clock.state(), None);
        clock.set(to.expect("a date"));
        let begun = Instant::now();
        let told = loop {
            if let Some(told) = clock.state() {
                break told;
            }
            assert!(begun.elapsed() < Duration::from_secs(60), "no answer");
            thread::sleep(Duration::from_millis(5));
        };
        assert_eq!(clock.state(), None, "it is told once");
        told
    }

    #[test]
    fn what_became_of_setting_the_clock_is_told_apart() {
        let asked = "test \"$*\" = '--no-ask-password set-time 2026-05-31 14:05:00' || exit 9";
        assert_eq!(by(asked), ClockSet::Set);
        let fails = |said: &str| by(&format!("echo '{said}' >&2; exit 1"));
        for (said, fault) in [
            (
                "Failed to set time: Automatic time synchronization is enabled",
                ClockFault::ByNetwork,
            ),
            (
                "Failed to set time: Interactive authentication required.",
                ClockFault::NotAllowed,
            ),
            ("Failed to set time: Access denied", ClockFault::NotAllowed),
            (
                "Failed to connect to bus: No such file or directory",
                ClockFault::NoAnswer,
            ),
            (
                "Something else",
                ClockFault::Other {
                    said: "Something else".into(),
                },
            ),
        ] {
            assert_eq!(fails(said), ClockSet::NotSet(fault), "{said}");
        }
        let hangs = by("exec sleep 600");
        assert_eq!(hangs, ClockSet::NotSet(ClockFault::NoAnswer));
        let mut none = SystemClock::by("no-such-program-in-the-bay", Duration::from_secs(2));
        none.set(NaiveDateTime::default());
        let told = loop {
            if let Some(told) = none.state() {
                break told;
            }
            thread::sleep(Duration::from_millis(5));
        };
        assert_eq!(told, ClockSet::NotSet(ClockFault::NoTool));
    }
}
