//! Changes the set-up file at the places that change, and leaves all else as it is, byte for byte:
//! comments, order, blank lines, keys of the bay's own, however it is written.

mod apply;
mod changed;
mod entries;
mod layout;
mod lines;
mod places;
mod take_back;
mod told;
mod value;

use super::{read, text_of};
use crate::bay::ports::{NotChanged, SetupKeeper};
use crate::bay::setup::{Panel, Setup};
use crate::bay::setup_change::{Edit, SetupChange};
use crate::store::{atomic, setup_path};
use std::path::{Path, PathBuf};

/// The set-up file of a bay, changed at the screen.
///
/// It is read anew for every change: somebody may have edited it by hand meanwhile, and that is kept.
#[derive(Debug, Clone)]
pub struct FileKeeper {
    dir: PathBuf,
    panel: Option<Panel>,
}

impl FileKeeper {
    /// Keeps the set-up of the bay in the folder `dir`.
    pub fn new(dir: &Path) -> Self {
        Self {
            dir: dir.to_owned(),
            panel: None,
        }
    }

    /// The screens are laid out for this panel, whatever the file says: it stands in every set-up that
    /// is given back, and not in the file.
    pub fn laid_out_for(self, panel: Option<Panel>) -> Self {
        Self { panel, ..self }
    }

    /// The text as it is, which must be right.
    fn text(&self) -> Result<String, NotChanged> {
        let text = text_of(&self.dir).map_err(|fault| told::wrong_already(&[fault]))?;
        match read(&text) {
            Ok(_) => Ok(text),
            Err(faults) => Err(told::wrong_already(&faults)),
        }
    }

    /// Reads the new text as if it stood in the file already.
    fn planned(
        &self,
        before: String,
        after: String,
        edits: &[Edit],
    ) -> Result<(Setup, SetupChange), NotChanged> {
        let mut setup = read(&after).map_err(|faults| told::wrong_then(&faults, edits, &after))?;
        if let Some(panel) = self.panel {
            setup.panel = panel;
        }
        let change = SetupChange {
            keys: changed::changed(&before, &after),
            text_before: before,
            text: after,
        };
        Ok((setup, change))
    }
}

impl SetupKeeper for FileKeeper {
    fn plan(&mut self, edits: &[Edit]) -> Result<(Setup, SetupChange), NotChanged> {
        let before = self.text()?;
        let mut after = before.clone();
        for edit in edits {
            after = apply::apply(&after, edit).map_err(|refusal| told::refused(&refusal))?;
        }
        self.planned(before, after, edits)
    }

    fn plan_back(&mut self, change: &SetupChange) -> Result<(Setup, SetupChange), NotChanged> {
        let before = self.text()?;
        let after =
            take_back::take_back(&before, change).map_err(|reason| told::in_the_way(&reason))?;
        self.planned(before, after, &[])
    }

    fn make(&mut self, change: &SetupChange) -> Result<(), NotChanged> {
        if text_of(&self.dir).ok().as_ref() != Some(&change.text_before) {
            return Err(told::another_by_now());
        }
        if change.text == change.text_before {
            return Ok(());
        }
        atomic::write_text(&setup_path(&self.dir), &change.text)
            .map_err(|fault| told::not_written(&fault))
    }
}
