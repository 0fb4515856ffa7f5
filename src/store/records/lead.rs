//! Who got in on the shift lead's side, and who did not.

use super::keep::{self, Refusal};
use crate::bay::records::{Entry, LeadAccess};
use chrono::{DateTime, FixedOffset};
use rusqlite::{Connection, Error};

const ALL: [LeadAccess; 5] = [
    LeadAccess::LetIn,
    LeadAccess::Refused,
    LeadAccess::Left,
    LeadAccess::PinSet,
    LeadAccess::PinTakenAway,
];

/// The word in the records and in a backup.
pub(crate) const fn word(access: LeadAccess) -> &'static str {
    match access {
        LeadAccess::LetIn => "let-in",
        LeadAccess::Refused => "refused",
        LeadAccess::Left => "left",
        LeadAccess::PinSet => "pin-set",
        LeadAccess::PinTakenAway => "pin-taken-away",
    }
}

/// What a word stands for.
pub(crate) fn from_word(of: &str) -> Option<LeadAccess> {
    ALL.into_iter().find(|access| word(*access) == of)
}

/// All words.
pub(crate) fn words() -> [&'static str; 5] {
    ALL.map(word)
}

pub(crate) fn access(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    access: LeadAccess,
) -> Result<Entry, Refusal> {
    let id = keep::next(tx, "lead-access", at, None)?;
    tx.prepare_cached("INSERT INTO lead_accesses (id, what) VALUES (?, ?)")?
        .execute((id, word(access)))?;
    Ok(id)
}

/// Wrong PINs since somebody was let in last, or the PIN was set or taken away.
pub(super) fn wrong_pins(tx: &Connection) -> Result<u32, Error> {
    tx.query_row(
        "SELECT count(*) FROM lead_accesses WHERE what = 'refused' AND id > (
             SELECT coalesce(max(id), 0) FROM lead_accesses
             WHERE what IN ('let-in', 'pin-set', 'pin-taken-away'))",
        [],
        |row| row.get(0),
    )
}
