//! What can be wrong with the files of a bay, in words that say what to do.

use crate::bay::records::RecordsFault;
use std::fmt;
use std::path::{Path, PathBuf};

/// One mistake in a file that people write by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetupFault {
    /// The line of the file, from 1; 0 where the file as a whole is at fault.
    pub line: usize,
    /// Where in the file, such as `sprayer[2].holds` (the second `[[sprayer]]`); the file's name
    /// where it is at fault as a whole.
    pub key: String,
    /// What is wrong.
    pub wrong: String,
    /// What would be right.
    pub right: String,
}

impl fmt::Display for SetupFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "line {}, ", self.line)?;
        }
        write!(f, "{}: {}; {}", self.key, self.wrong, self.right)
    }
}

/// Why a file of the bay could not be read, written, backed up or restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StoreFault {
    /// The disk or the file system refused.
    Disk {
        /// Which file or folder.
        path: PathBuf,
        /// What went wrong.
        wrong: String,
        /// What to do.
        right: String,
    },
    /// The file has mistakes in it, and so nothing of it was used.
    Mistakes {
        /// Which file.
        file: PathBuf,
        /// All of them, in the order of the lines.
        faults: Vec<SetupFault>,
    },
    /// The folder has a bay in it already.
    NotEmpty(PathBuf),
    /// A file to be written is one of a bay's own.
    OwnFile(PathBuf),
    /// A file to be written is there already.
    ThereAlready(PathBuf),
    /// The records cannot be read or written.
    Records(RecordsFault),
}

impl StoreFault {
    /// What the system said about a file, and what usually helps.
    pub fn disk(path: &Path, doing: &str, error: &std::io::Error) -> Self {
        Self::Disk {
            path: path.to_owned(),
            wrong: format!("{doing} failed: {error}"),
            right: remedy(error.kind()).to_owned(),
        }
    }
}

/// What usually helps against a refusal of the file system.
fn remedy(kind: std::io::ErrorKind) -> &'static str {
    use std::io::ErrorKind;
    match kind {
        ErrorKind::NotFound => "check the name, and that its folder is there",
        ErrorKind::PermissionDenied => "give this user the right to read and write it",
        ErrorKind::StorageFull => "the disk is full: free some space and try again",
        ErrorKind::ReadOnlyFilesystem => {
            "the disk takes no writing: check the card and mount it for writing"
        }
        _ => "check the disk and try again",
    }
}

impl fmt::Display for StoreFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Disk { path, wrong, right } => {
                write!(f, "{}: {wrong}; {right}", path.display())
            }
            Self::Mistakes { file, faults } => {
                let n = faults.len();
                let s = if n == 1 { "" } else { "s" };
                write!(f, "{} has {n} mistake{s}:", file.display())?;
                faults.iter().try_for_each(|fault| write!(f, "\n  {fault}"))
            }
            Self::NotEmpty(dir) => write!(
                f,
                "{} has a bay in it already; restore into an empty folder, or say --replace (the \
                 bay that is there is then kept aside)",
                dir.display()
            ),
            Self::OwnFile(path) => write!(
                f,
                "{} is a bay's own file and is never written over; choose another name",
                path.display()
            ),
            Self::ThereAlready(path) => write!(
                f,
                "{} is there already; choose another name, or say --replace and it is lost",
                path.display()
            ),
            Self::Records(fault) => fault.fmt(f),
        }
    }
}

impl std::error::Error for StoreFault {}

impl From<RecordsFault> for StoreFault {
    fn from(fault: RecordsFault) -> Self {
        Self::Records(fault)
    }
}
