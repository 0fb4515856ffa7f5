//! The command line.

mod bay_folder;
mod card;
mod check;
mod clock;
mod copies;
mod doctor;
mod export;
mod letters;
mod lift_clock;
mod own_language;
mod own_voice;
mod service;
mod simulate;
mod speak;
mod tour;
mod update;
mod updates;
mod wall;
mod words;

use clap::{Args, Parser, Subcommand, ValueEnum};
use fillcall::bay::card::Format;
use fillcall::bay::setup::Profile;
use std::path::PathBuf;
use std::process::ExitCode;

/// How much chemical to measure into which sprayer: a wall screen for a vehicle wash bay.
///
/// Without a command it opens the wall screen of a bay. A BAY is a folder with a set-up file,
/// bay.toml, written by hand; what happens in the bay is kept beside it in records.sqlite.
#[derive(Parser)]
#[command(name = "fillcall", version, args_conflicts_with_subcommands = true)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    wall: WallArgs,
}

/// Where a panel has its bay.
const USUAL_BAY: &str = "/var/lib/fillcall/bay";

/// The wall screen.
#[derive(Args)]
struct WallArgs {
    /// The bay's folder
    #[arg(long, value_name = "BAY", default_value = USUAL_BAY)]
    bay: PathBuf,
    /// Open in a window instead of filling the screen
    #[arg(long)]
    windowed: bool,
    /// Lay out for this panel instead of the one in the set-up
    #[arg(long, value_enum)]
    profile: Option<ProfileArg>,
}

#[derive(Clone, Copy, ValueEnum)]
enum ProfileArg {
    /// 7.0 inch, 800 x 480
    #[value(name = "7in-800x480")]
    Seven800,
    /// 7.0 inch, 1024 x 600
    #[value(name = "7in-1024x600")]
    Seven1024,
    /// 10.1 inch, 1280 x 800
    #[value(name = "10in-1280x800")]
    Ten1280,
}

impl From<ProfileArg> for Profile {
    fn from(arg: ProfileArg) -> Self {
        match arg {
            ProfileArg::Seven800 => Self::Seven800,
            ProfileArg::Seven1024 => Self::Seven1024,
            ProfileArg::Ten1280 => Self::Ten1280,
        }
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum FormatArg {
    /// For a terminal or a plain printer
    Text,
    /// For a spreadsheet
    Csv,
    /// For a browser, to be printed
    Html,
}

impl From<FormatArg> for Format {
    fn from(arg: FormatArg) -> Self {
        match arg {
            FormatArg::Text => Self::Text,
            FormatArg::Csv => Self::Csv,
            FormatArg::Html => Self::Html,
        }
    }
}

#[derive(Subcommand)]
enum Command {
    /// Check a bay's set-up and records; tells every mistake, with its line
    Check {
        /// The bay's folder
        bay: PathBuf,
    },
    /// Look at the panel: display, touch, keys, sound, disk, clock and more; tells what is wrong and
    /// what to do
    Doctor {
        /// The bay's folder; that of the kiosk, below the root, where it is left out
        #[arg(long, value_name = "DIR")]
        bay: Option<PathBuf>,
        /// A folder with another system's files, looked at in the place of this one's
        #[arg(long, value_name = "DIR", default_value = "/")]
        root: PathBuf,
        /// Print a list in JSON
        #[arg(long)]
        json: bool,
    },
    /// Print the wall card: every sprayer with every chemical, for the day the screen is dead
    Card {
        /// The bay's folder
        bay: PathBuf,
        /// How to write it
        #[arg(long, value_enum, default_value = "text")]
        format: FormatArg,
    },
    /// Write all of a bay, set-up and records, to one file
    Backup {
        /// The bay's folder
        bay: PathBuf,
        /// The file to write
        file: PathBuf,
        /// Write over a file that is there already
        #[arg(long)]
        replace: bool,
    },
    /// Bring a bay back from a backup file; refused whole if anything in it is wrong
    Restore {
        /// The bay's folder: empty, or not there yet
        bay: PathBuf,
        /// The backup file
        file: PathBuf,
        /// Replace the bay that is in the folder; it is kept aside
        #[arg(long)]
        replace: bool,
    },
    /// Write everything that happened to a table for a spreadsheet (CSV)
    Export {
        /// The bay's folder
        bay: PathBuf,
        /// The file to write
        file: PathBuf,
        /// Write over a file that is there already
        #[arg(long)]
        replace: bool,
    },
    /// Write what the screen would say for a fill to a WAV file
    Speak {
        /// The bay's folder
        bay: PathBuf,
        /// The sprayer's id
        #[arg(long, value_name = "ID")]
        sprayer: String,
        /// The chemical's id; the one in use for the sprayer where left out
        #[arg(long, value_name = "ID")]
        chemical: Option<String>,
        /// The file to write
        #[arg(long, value_name = "FILE.wav")]
        out: PathBuf,
        /// Write over a file that is there already
        #[arg(long)]
        replace: bool,
    },
    /// Train at the wall without a lance: opens a simulated bay of its own, which says so on every
    /// screen
    Simulate {
        /// The training bay's folder: one made by this command, empty, or not there yet
        dir: PathBuf,
        /// What the truth of its sprayers is drawn from, the same for the same number
        #[arg(long, value_name = "N", value_parser = words::whole)]
        seed: Option<u64>,
        /// Open in a window instead of filling the screen
        #[arg(long)]
        windowed: bool,
        /// Lay out for this panel instead of the one in the set-up
        #[arg(long, value_enum)]
        profile: Option<ProfileArg>,
    },
    /// Say how the system's clock stands beside the newest record that is believed
    Clock {
        /// The bay's folder
        #[arg(long, value_name = "BAY", default_value = USUAL_BAY)]
        bay: PathBuf,
        /// Set a clock that is behind to that record; only root may
        #[arg(long)]
        lift: bool,
    },
    /// What fillcall-update needs of the program; that command does all of an update
    Update {
        #[command(subcommand)]
        step: update::Step,
    },
    /// Drive the real screens through the work on the demonstration bay, without a display;
    /// writes pictures, sounds and tour.md
    Tour {
        /// The folder to write to
        dir: PathBuf,
    },
}

impl Command {
    /// True for what draws screens. The wall, which no command stands for, does too.
    fn draws(&self) -> bool {
        matches!(self, Self::Simulate { .. } | Self::Tour { .. })
    }
}

/// What a command ends with: nothing more to say, or what went wrong.
type Outcome = Result<(), String>;

/// Runs the command of the command line.
pub fn run() -> ExitCode {
    let cli = Cli::parse();
    if cli.command.as_ref().is_none_or(Command::draws) {
        letters::at_hand();
    }
    let outcome = match cli.command {
        None => wall::run(
            &cli.wall.bay,
            cli.wall.windowed,
            cli.wall.profile.map(Profile::from),
        ),
        Some(Command::Check { bay }) => check::run(&bay),
        Some(Command::Doctor { bay, root, json }) => doctor::run(bay, &root, json),
        Some(Command::Card { bay, format }) => card::run(&bay, format.into()),
        Some(Command::Backup { bay, file, replace }) => copies::backup(&bay, &file, replace),
        Some(Command::Restore { bay, file, replace }) => copies::restore(&bay, &file, replace),
        Some(Command::Export { bay, file, replace }) => export::run(&bay, &file, replace),
        Some(Command::Speak {
            bay,
            sprayer,
            chemical,
            out,
            replace,
        }) => speak::run(&bay, &sprayer, chemical.as_deref(), &out, replace),
        Some(Command::Simulate {
            dir,
            seed,
            windowed,
            profile,
        }) => simulate::run(&dir, seed, windowed, profile.map(Profile::from)),
        Some(Command::Clock { bay, lift }) => lift_clock::run(&bay, lift),
        Some(Command::Update { step }) => update::run(step),
        Some(Command::Tour { dir }) => tour::run(&dir),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("fillcall: {message}");
            ExitCode::FAILURE
        }
    }
}

/// Prints to standard output; a reader that went away (`| head`) is no fault.
fn print(text: &str) -> Outcome {
    use std::io::{ErrorKind, Write};
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(format!("cannot print: {error}"))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_well_formed() {
        Cli::command().debug_assert();
        for profile in Profile::ALL {
            let value = ProfileArg::from_str(profile.name(), false).expect("the same names");
            assert_eq!(Profile::from(value), profile);
        }
    }
}
