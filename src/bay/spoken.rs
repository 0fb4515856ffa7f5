//! Which announcement belongs to what the bay does.

use super::at_work::Bay;
use crate::trade::announcement::Announcement;

impl Bay {
    fn plain(text: impl Into<String>) -> Announcement {
        Announcement {
            text: text.into(),
            speech: Vec::new(),
            beeps: None,
            unspoken: Vec::new(),
        }
    }
    pub(super) fn spoken_fill(&self) -> Announcement {
        Self::plain("fill")
    }
    pub(super) fn spoken_filled(&self) -> Announcement {
        Self::plain("filled")
    }
    pub(super) fn spoken_standing(&self) -> Announcement {
        Self::plain("standing")
    }
    pub(super) fn spoken_put_off(&self) -> Announcement {
        Self::plain("put off")
    }
    pub(super) fn spoken_calibrated(&self) -> Announcement {
        Self::plain("calibrated")
    }
    pub(super) fn spoken_test(&self) -> Announcement {
        Self::plain("test")
    }
}
