//! The section `[emergency]`: what must be found at once.

use super::LONGEST_NAME;
use crate::bay::setup::Emergency;
use crate::store::toml_text::{Reader, Section};

/// What it says, each of which may be left out, as may the whole section; `None` where it is no
/// section, which has been reported.
pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Option<Emergency> {
    let Some(mut section) = top.section(reader, "emergency", false) else {
        return (!top.has("emergency")).then(Emergency::default);
    };
    let mut told = |key| {
        let found = section.name(reader, key, LONGEST_NAME);
        found.map(|found| found.value)
    };
    let emergency = Emergency {
        eye_wash: told("eye_wash"),
        data_sheets: told("data_sheets"),
        telephone: told("telephone"),
    };
    section.finish(reader);
    Some(emergency)
}
