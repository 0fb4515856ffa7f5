//! Other programs that are run, so that tests can stand in for them.

use std::io::ErrorKind;
use std::process::{Command, Stdio};

/// Why a program did not do what it was run for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotDone {
    /// It is not installed.
    NoProgram,
    /// It says why, or how it ended.
    Said(String),
}

/// Runs programs.
pub trait Commands: Send + Sync {
    /// Runs one to its end.
    ///
    /// # Errors
    /// [`NotDone`].
    fn run(&self, program: &str, arguments: &[&str]) -> Result<(), NotDone>;
}

/// The programs of this machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemCommands;

impl Commands for SystemCommands {
    fn run(&self, program: &str, arguments: &[&str]) -> Result<(), NotDone> {
        let out = Command::new(program)
            .args(arguments)
            .env("LC_ALL", "C")
            .stdin(Stdio::null())
            .output()
            .map_err(|error| match error.kind() {
                ErrorKind::NotFound => NotDone::NoProgram,
                _ => NotDone::Said(error.to_string()),
            })?;
        if out.status.success() {
            return Ok(());
        }
        let said = String::from_utf8_lossy(&out.stderr);
        let last = said.lines().rev().find(|line| !line.trim().is_empty());
        Err(NotDone::Said(match last {
            Some(line) => line.trim().to_owned(),
            None => out.status.to_string(),
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_became_of_a_program_is_told_apart() {
        let run = |program: &str, arguments: &[&str]| SystemCommands.run(program, arguments);
        assert_eq!(run("true", &[]), Ok(()));
        assert_eq!(
            run("no-such-program-in-the-bay", &[]),
            Err(NotDone::NoProgram)
        );
        assert_eq!(
            run(
                "sh",
                &["-c", "echo first >&2; echo 'the reason' >&2; exit 3"]
            ),
            Err(NotDone::Said("the reason".into()))
        );
        assert!(matches!(run("false", &[]), Err(NotDone::Said(how)) if !how.is_empty()));
    }
}
