//! Why the set-up was not changed, for the shift lead at the wall.

use super::apply::Refusal;
use super::take_back::InTheWay;
use crate::bay::ports::NotChanged;
use crate::bay::setup_change::{Edit, Place};
use crate::store::SETUP_FILE;
use crate::store::fault::{SetupFault, StoreFault};
use crate::text;
use crate::trade::text::Text;

/// The file was wrong before anything was changed in it.
pub(super) fn wrong_already(faults: &[SetupFault]) -> NotChanged {
    let first = faults.first().map(ToString::to_string).unwrap_or_default();
    told(text!(
        "{} was changed by hand and cannot be read: {}. Mend it first; it was left as it is.",
        SETUP_FILE,
        first
    ))
}

/// The file is another one than a moment ago.
pub(super) fn another_by_now() -> NotChanged {
    told(text!(
        "{} was changed by hand just now; the set-up was not changed. Look again, and then change it.",
        SETUP_FILE
    ))
}

/// It cannot be written.
pub(super) fn not_written(fault: &StoreFault) -> NotChanged {
    told(text!("The set-up was not changed. {}.", fault.to_string()))
}

/// An edit cannot be made.
pub(super) fn refused(refusal: &Refusal) -> NotChanged {
    told(match refusal {
        Refusal::NotThere(place) => text!(
            "There is no {} in {} any more. It was changed by hand; look again.",
            place.words(),
            SETUP_FILE
        ),
        Refusal::ThereAlready(place) => text!(
            "There is a {} already. Give this one another id.",
            place.words()
        ),
        Refusal::Unreadable => text!("{} cannot be read. Mend it first.", SETUP_FILE),
    })
}

/// The set-up would be wrong with the edits in it: `after` is the text that would be.
pub(super) fn wrong_then(faults: &[SetupFault], edits: &[Edit], after: &str) -> NotChanged {
    let Some(fault) = faults.first() else {
        return told(text!("The set-up would be wrong; nothing was changed."));
    };
    for edit in edits {
        let Edit::Remove { place } = edit else {
            continue;
        };
        match place {
            Place::Chemical(_) if fault.key == "day_chemical" => {
                return told(text!(
                    "It is the day's chemical: set another one for the day before it is removed."
                ));
            }
            _ if place.id().is_some() && place.kind() == Some(fault.key.as_str()) => {
                return told(text!(
                    "It is the last {} of the bay: add another one before it is removed.",
                    fault.key.clone()
                ));
            }
            _ => {}
        }
    }
    told(Text::from_plain(format!(
        "{}: {}; {}.",
        named(&fault.key, after),
        fault.wrong,
        fault.right
    )))
}

/// `chemical[2].band` by the id of that chemical: `chemical film, band`.
fn named(key: &str, text: &str) -> String {
    let parted = key.split_once('[').and_then(|(kind, rest)| {
        let (place, key) = rest.split_once("].")?;
        let place: usize = place.parse().ok()?;
        let places = super::changed::places(text, kind)?;
        let words = places.get(place.checked_sub(1)?)?.words();
        Some(format!("{words}, {key}"))
    });
    parted.unwrap_or_else(|| key.replacen('.', ", ", 1))
}

/// A change cannot be taken back.
pub(super) fn in_the_way(reason: &InTheWay) -> NotChanged {
    match reason {
        InTheWay::Refused(refusal) => refused(refusal),
        InTheWay::Unknown(key) => told(text!(
            "{} is not known to this version; the change was not taken back.",
            key.place.clone()
        )),
        InTheWay::Changed { key, now } => {
            let what = match key.key.is_empty() {
                true => key.place.clone(),
                false => format!("{}, {}", key.place, key.key),
            };
            told(match (now, &key.after, key.key.is_empty()) {
                (None, _, _) => text!(
                    "{} was removed since this change left it. Take back what was changed since \
                     first, or set it anew.",
                    what
                ),
                (Some(_), None, _) => text!(
                    "{} was added since this change removed it. Take back what was changed since \
                     first, or set it anew.",
                    what
                ),
                (Some(_), Some(_), true) => text!(
                    "{} was changed since this change added it. Take back what was changed since \
                     first, or set it anew.",
                    what
                ),
                (Some(now), Some(left), false) => text!(
                    "{} is {} by now, and this change left {}. Take back what was changed since \
                     first, or set it anew.",
                    what,
                    now.clone(),
                    left.clone()
                ),
            })
        }
    }
}

fn told(message: Text) -> NotChanged {
    NotChanged { message }
}
