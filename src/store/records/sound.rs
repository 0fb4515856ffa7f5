//! How the wall is heard, as somebody chose it there: the newest choice of each sort counts.

use super::keep::{self, Refusal};
use super::past::word;
use crate::bay::records::{Entry, SoundChoice};
use crate::trade::language::Language;
use chrono::{DateTime, FixedOffset};
use rusqlite::types::{Type, Value};
use rusqlite::{Connection, Error, OptionalExtension, Row};

/// The loudest there is.
pub(crate) const MOST_PERCENT: u8 = 100;

const VOLUME: &str = "volume";
const LANGUAGE: &str = "language";
const LOUDSPEAKER: &str = "loudspeaker";

/// What was chosen last of each sort; the outer `None` where nobody ever chose.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Chosen {
    pub volume_percent: Option<u8>,
    pub language: Option<Language>,
    /// The inner `None` is the loudspeaker that the system prefers, chosen as such.
    pub loudspeaker: Option<Option<String>>,
}

impl Chosen {
    /// The choices that were made.
    pub fn choices(&self) -> impl Iterator<Item = SoundChoice> {
        let volume = self.volume_percent.map(SoundChoice::Volume);
        let language = self.language.map(SoundChoice::Language);
        let loudspeaker = self.loudspeaker.clone().map(SoundChoice::Loudspeaker);
        [volume, language, loudspeaker].into_iter().flatten()
    }
}

pub(crate) fn choice(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    choice: &SoundChoice,
) -> Result<Entry, Refusal> {
    let (what, chosen) = match choice {
        SoundChoice::Volume(percent) if *percent > MOST_PERCENT => {
            return Err(Refusal::Told(format!(
                "a loudness of {percent} % cannot be kept: choose 0 to {MOST_PERCENT} %"
            )));
        }
        SoundChoice::Volume(percent) => (VOLUME, Value::Integer(i64::from(*percent))),
        SoundChoice::Language(language) => (LANGUAGE, Value::Text(language.code().to_owned())),
        SoundChoice::Loudspeaker(Some(name)) if name.is_empty() => {
            return Err(Refusal::Told(
                "a loudspeaker without a name cannot be kept, for it could not be found again: \
                 choose another, or the system's own choice"
                    .to_owned(),
            ));
        }
        SoundChoice::Loudspeaker(name) => {
            let name = name.clone().map_or(Value::Null, Value::Text);
            (LOUDSPEAKER, name)
        }
    };
    let id = keep::next(tx, &format!("{what}-chosen"), at, None)?;
    tx.prepare_cached("INSERT INTO sound_choices (id, what, chosen) VALUES (?, ?, ?)")?
        .execute((id, what, chosen))?;
    Ok(id)
}

/// What was chosen last.
pub(crate) fn chosen(tx: &Connection) -> Result<Chosen, Error> {
    Ok(Chosen {
        volume_percent: last(tx, VOLUME, percent)?,
        language: last(tx, LANGUAGE, |row| word(row, 0, Language::from_code))?,
        loudspeaker: last(tx, LOUDSPEAKER, |row| row.get(0))?,
    })
}

fn percent(row: &Row<'_>) -> Result<u8, Error> {
    let percent: u8 = row.get(0)?;
    if percent <= MOST_PERCENT {
        return Ok(percent);
    }
    let wrong = format!("{percent} % is no loudness");
    Err(Error::FromSqlConversionFailure(
        0,
        Type::Integer,
        wrong.into(),
    ))
}

fn last<T>(
    tx: &Connection,
    what: &str,
    read: impl FnOnce(&Row<'_>) -> Result<T, Error>,
) -> Result<Option<T>, Error> {
    tx.query_row(
        "SELECT chosen FROM sound_choices WHERE what = ? ORDER BY id DESC LIMIT 1",
        [what],
        read,
    )
    .optional()
}
