//! Reminders: put off for a while, or made void by a change.

use super::action::{Effect, Page};
use super::at_work::Bay;
use super::records::{CalibrationRecord, Happening, SprayerPast};
use crate::text;
use crate::trade::reminder::VoidCause;
use crate::trade::sprayer::Sprayer;
use crate::trade::text::Text;

impl Bay {
    pub(super) fn put_off(&mut self) -> Vec<Effect> {
        let Some(put_off) = self.may_put_off() else {
            return self.refuse("The reminder cannot be put off again: calibrate.");
        };
        let sprayer = self.sprayer.clone();
        match self.keep(Happening::PutOff {
            sprayer: sprayer.clone(),
            put_off,
        }) {
            Ok(_) => {
                self.known(&sprayer).put_off = put_off;
                self.page = Page::Fill;
                let text = match self.setup.limits.put_off_washes {
                    1 => Text::from("Put off for 1 wash"),
                    n => text!("Put off for {} washes", n),
                };
                self.notify(text, None);
                self.speak(self.spoken_put_off())
            }
            Err(fault) => self.not_kept("The reminder was not put off", &fault),
        }
    }

    pub(super) fn changed(&mut self, what: VoidCause) -> Vec<Effect> {
        let sprayer = self.sprayer.clone();
        if self.sprayer().kind.is_direct() {
            return self.refuse_direct();
        }
        match self.keep(Happening::Changed {
            sprayer: sprayer.clone(),
            what,
        }) {
            Ok(_) => {
                self.forget_corrections();
                let known = self.known(&sprayer);
                known.void = Some(what);
                known.check = None;
                known.corrections.clear();
                self.checking = None;
                self.void_allowed = None;
                self.page = Page::Fill;
                self.speak(self.spoken_standing())
            }
            Err(fault) => self.not_kept("The change was not kept", &fault),
        }
    }

    /// The nozzle, washer or dial that a new calibration belongs to: as the set-up names it, unless it
    /// was changed at the screen, which has no name for the new one.
    pub(super) fn fitted(&self, sprayer: &Sprayer, part: VoidCause, in_setup: &str) -> String {
        let past = self.past(&sprayer.id);
        let Some(record) = past.calibration else {
            return in_setup.into();
        };
        let then = match part {
            VoidCause::Washer => record.washer,
            VoidCause::Dial => record.dial.unwrap_or_default(),
            _ => record.nozzle,
        };
        let changed_now = past.void == Some(part) && then == in_setup;
        let unnamed = format!("{NOT_NAMED}, was {in_setup}");
        // As long as the set-up still has the old name, nobody has named the new one.
        if changed_now || then == unnamed {
            unnamed
        } else {
            in_setup.into()
        }
    }
}

/// What the records have for a nozzle, washer or dial that was changed at the screen, with the name of the
/// old one behind it, until the set-up names the new one. It agrees with whatever name that is.
const NOT_NAMED: &str = "not named yet";

/// True where the nozzle, washer or dial of then is not that of now. One that had no name agrees with any.
pub(crate) fn differs(then: &str, now: &str) -> bool {
    !then.starts_with(NOT_NAMED) && !now.starts_with(NOT_NAMED) && then != now
}

/// A calibration belongs to one nozzle, one washer and one setting of the dial: where the set-up now
/// names others, somebody changed them.
pub(super) fn void_where_the_setup_differs(past: &mut SprayerPast, sprayer: &Sprayer) {
    if let (Some(record), None) = (&past.calibration, past.void) {
        past.void = changed_since(record, sprayer);
    }
}

/// What the set-up of a sprayer names that was not so for a calibration. A dial of which nothing was
/// said, then or now, agrees with any.
pub(super) fn changed_since(then: &CalibrationRecord, now: &Sprayer) -> Option<VoidCause> {
    changed_between(then, &now.nozzle, &now.washer, now.dial.as_deref())
}

/// What was changed from one calibration to what is named.
pub(super) fn changed_between(
    then: &CalibrationRecord,
    nozzle: &str,
    washer: &str,
    dial: Option<&str>,
) -> Option<VoidCause> {
    let turned = then.dial.as_deref().zip(dial);
    if differs(&then.nozzle, nozzle) {
        Some(VoidCause::Nozzle)
    } else if differs(&then.washer, washer) {
        Some(VoidCause::Washer)
    } else if turned.is_some_and(|(then, now)| differs(then, now)) {
        Some(VoidCause::Dial)
    } else {
        None
    }
}
