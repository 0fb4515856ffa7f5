//! The program: reads the command line and joins the screens, the store and the sound.
#![forbid(unsafe_code)]

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    // The loudspeaker's own software lives in a process of its own; that process is this program.
    if std::env::args().nth(1).as_deref() == Some(fillcall::sound::output::SUBCOMMAND) {
        return fillcall::sound::output::run();
    }
    cli::run()
}
