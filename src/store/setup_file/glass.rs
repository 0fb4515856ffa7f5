//! How the glass rests: the section `glass`.

use super::sound::time;
use crate::bay::limits;
use crate::bay::setup::{Dimming, Hours};
use crate::store::toml_text::{Reader, Section};

/// What the section says, each key of which may be left out, as may the section; `None` where it is
/// wrong, which has been reported.
pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Option<Dimming> {
    let usual = Dimming::default();
    let Some(mut section) = top.section(reader, "glass", false) else {
        return (!top.has("glass")).then_some(usual);
    };
    let minutes = section.whole(reader, "dim_minutes", limits::DIM_MINUTES);
    let minutes = match minutes {
        Some(minutes) => Some(minutes.value),
        None => (!section.has("dim_minutes")).then_some(usual.after_minutes),
    };
    let percent = section.whole(reader, "dim_percent", limits::DIM_PERCENT);
    let percent = match percent {
        Some(percent) => u8::try_from(percent.value).ok(),
        None => (!section.has("dim_percent")).then_some(usual.percent),
    };
    let night = night(reader, &mut section);
    section.finish(reader);
    Some(Dimming {
        after_minutes: minutes?,
        percent: percent?,
        night: night?,
    })
}

/// The hours of the night: both of the keys, or none.
fn night(reader: &mut Reader, section: &mut Section<'_>) -> Option<Option<Hours>> {
    const FROM: &str = "night_from";
    const TO: &str = "night_to";
    if ![FROM, TO].iter().any(|key| section.has(key)) {
        return Some(None);
    }
    let (from, to) = (time(reader, section, FROM), time(reader, section, TO));
    Some(Some(Hours {
        from: from?,
        to: to?,
    }))
}
