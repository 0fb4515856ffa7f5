//! The parts of an update that the program itself does for `fillcall-update`. A version that is tried or
//! gone back to is asked by these words too: they stay.

use super::{Outcome, print};
use clap::Subcommand;
use fillcall::store::{going_back, records, records_path};
use fillcall::update::signature::{Key, verify};
use std::path::{Path, PathBuf};

/// One part of an update.
#[derive(Subcommand)]
pub enum Step {
    /// Print the number of a public key
    Key {
        /// The key's file
        file: PathBuf,
    },
    /// Hold a package against its signature; prints the version and the machines that it was signed for,
    /// or one word that says why it is refused
    Verify {
        /// The package
        package: PathBuf,
        /// Its signature
        signature: PathBuf,
        /// The public key's file
        #[arg(long)]
        key: PathBuf,
    },
    /// Copy a bay's set-up and records to a new folder
    Copy {
        /// The bay's folder
        bay: PathBuf,
        /// The new folder
        to: PathBuf,
    },
    /// Make a bay's records ones of this version
    Climb {
        /// The bay's folder
        bay: PathBuf,
    },
    /// Make a bay that a newer version had in use one of this version again
    Back {
        /// The bay's folder
        bay: PathBuf,
        /// The set-up from before, for where the newer one cannot be read
        #[arg(long)]
        setup: Option<PathBuf>,
    },
}

/// Does one part.
pub fn run(step: Step) -> Outcome {
    match step {
        Step::Key { file } => {
            let key = Key::read(&file).map_err(|wrong| wrong.to_string())?;
            print(&format!("{}\n", key.id()))
        }
        Step::Verify {
            package,
            signature,
            key,
        } => {
            let signed = Key::read(&key).and_then(|key| verify(&package, &signature, &key));
            match signed {
                Ok(signed) => print(&format!("{} {}\n", signed.version, signed.arch)),
                Err(wrong) => {
                    print(&format!("{}\n", wrong.word()))?;
                    Err(wrong.to_string())
                }
            }
        }
        Step::Copy { bay, to } => going_back::copy(&bay, &to).map_err(|fault| fault.to_string()),
        Step::Climb { bay } => records::climb(&records_path(&bay)).map_err(|fault| fault.message),
        Step::Back { bay, setup } => back(&bay, setup.as_deref()),
    }
}

fn back(bay: &Path, setup: Option<&Path>) -> Outcome {
    let back = going_back::go_back(bay, setup).map_err(|fault| fault.to_string())?;
    let mut text = String::new();
    if let Some(went) = back.records {
        text.push_str(&format!(
            "The records went back from version {}.\n",
            went.from
        ));
        if went.not_whole > 0 {
            text.push_str(&format!(
                "Of what was kept meanwhile, this version cannot read whole: {}. It is kept for the newer one.\n",
                went.not_whole
            ));
        }
    }
    if let Some(aside) = back.setup_aside {
        text.push_str(&format!(
            "The set-up cannot be read by this version; that from before is back, the newer one is in {}.\n",
            aside.display()
        ));
    }
    print(&text)
}
