//! Why the set-up was not changed, for the shift lead at the wall.

use super::apply::Refusal;
use super::take_back::InTheWay;
use crate::bay::ports::NotChanged;
use crate::bay::setup_change::{Edit, Place};
use crate::store::SETUP_FILE;
use crate::store::fault::{SetupFault, StoreFault};

/// The file was wrong before anything was changed in it.
pub(super) fn wrong_already(faults: &[SetupFault]) -> NotChanged {
    let first = faults.first().map(ToString::to_string).unwrap_or_default();
    told(format!(
        "{SETUP_FILE} was changed by hand and cannot be read: {first}. Mend it first; it was left as \
         it is."
    ))
}

/// The file is another one than a moment ago.
pub(super) fn another_by_now() -> NotChanged {
    told(format!(
        "{SETUP_FILE} was changed by hand just now; the set-up was not changed. Look again, and then \
         change it."
    ))
}

/// It cannot be written.
pub(super) fn not_written(fault: &StoreFault) -> NotChanged {
    told(format!("The set-up was not changed. {fault}."))
}

/// An edit cannot be made.
pub(super) fn refused(refusal: &Refusal) -> NotChanged {
    told(match refusal {
        Refusal::NotThere(place) => format!(
            "There is no {} in {SETUP_FILE} any more. It was changed by hand; look again.",
            place.words()
        ),
        Refusal::ThereAlready(place) => format!(
            "There is a {} already. Give this one another id.",
            place.words()
        ),
        Refusal::Unreadable => format!("{SETUP_FILE} cannot be read. Mend it first."),
    })
}

/// The set-up would be wrong with the edits in it: `after` is the text that would be.
pub(super) fn wrong_then(faults: &[SetupFault], edits: &[Edit], after: &str) -> NotChanged {
    let Some(fault) = faults.first() else {
        return told("The set-up would be wrong; nothing was changed.".into());
    };
    for edit in edits {
        let Edit::Remove { place } = edit else {
            continue;
        };
        match place {
            Place::Chemical(_) if fault.key == "day_chemical" => {
                return told(
                    "It is the day's chemical: set another one for the day before it is removed."
                        .into(),
                );
            }
            _ if place.id().is_some() && place.kind() == Some(fault.key.as_str()) => {
                return told(format!(
                    "It is the last {} of the bay: add another one before it is removed.",
                    fault.key
                ));
            }
            _ => {}
        }
    }
    told(format!(
        "{}: {}; {}.",
        named(&fault.key, after),
        fault.wrong,
        fault.right
    ))
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
        InTheWay::Unknown(key) => told(format!(
            "{} is not known to this version; the change was not taken back.",
            key.place
        )),
        InTheWay::Changed { key, now } => {
            let what = match key.key.is_empty() {
                true => key.place.clone(),
                false => format!("{}, {}", key.place, key.key),
            };
            let (now, left) = match (now, &key.after, key.key.is_empty()) {
                (None, _, _) => ("was removed", "this change left it".to_owned()),
                (Some(_), None, _) => ("was added", "this change removed it".to_owned()),
                (Some(_), Some(_), true) => ("was changed", "this change added it".to_owned()),
                (Some(now), Some(left), false) => {
                    return told(format!(
                        "{what} is {now} by now, and this change left {left}. Take back what was \
                         changed since first, or set it anew."
                    ));
                }
            };
            told(format!(
                "{what} {now} since {left}. Take back what was changed since first, or set it anew."
            ))
        }
    }
}

fn told(message: String) -> NotChanged {
    NotChanged { message }
}
