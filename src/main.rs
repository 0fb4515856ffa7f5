use std::process::ExitCode;

fn main() -> ExitCode {
    if std::env::args().nth(1).as_deref() == Some(fillcall::sound::output::SUBCOMMAND) {
        return fillcall::sound::output::run();
    }
    ExitCode::SUCCESS
}
