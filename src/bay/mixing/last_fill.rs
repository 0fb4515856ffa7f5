//! What is left in the sprayer: its newest fill, as long as neither a rinse nor a calibration left
//! nothing of it.

use crate::bay::at_work::Bay;
use crate::bay::records::RecordsFault;

impl Bay {
    /// Looks up what is in the sprayer shown.
    pub(super) fn look_up_last_fill(&mut self) -> Result<(), RecordsFault> {
        self.mixing.last = None;
        let sprayer = self.sprayer().id.clone();
        if self.is_in(&sprayer).is_some() && !self.is_run_out(&sprayer) {
            self.mixing.last = self.records.last_fill(&sprayer)?;
        }
        Ok(())
    }
}
