//! The day's chemical as the shift lead set it, for the whole bay or for one sprayer.

use super::keep::{self, Refusal};
use super::past;
use super::stamp::Stamp;
use crate::bay::records::{DaySetting, Entry, Placed, Scope};
use crate::trade::days_strength::Allowed;
use crate::trade::units::Strength;
use chrono::{DateTime, FixedOffset};
use rusqlite::types::Type;
use rusqlite::{Connection, Error, Row, params};
use std::collections::BTreeMap;

/// Settings with their dates; to be followed by what is wanted.
pub(crate) const SETTINGS: &str = "SELECT * FROM day_settings JOIN happenings USING (id)";

pub(crate) fn set(
    tx: &Connection,
    at: DateTime<FixedOffset>,
    scope: &Scope,
    setting: Option<&DaySetting>,
) -> Result<Entry, Refusal> {
    if setting.is_some_and(|setting| setting.scope != *scope) {
        return Err(Refusal::Told(
            "the day's chemical cannot be kept: it is meant for one sprayer and says another; set \
             it again"
                .to_owned(),
        ));
    }
    let sprayer = match scope {
        Scope::Bay => None,
        Scope::Sprayer(id) => Some(id),
    };
    let id = keep::next(tx, "day-setting", at, None)?;
    tx.prepare_cached(
        "INSERT INTO day_settings (id, sprayer, chemical, strength, today_only, allowed, beside_never)
         VALUES (?, ?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        id,
        sprayer,
        setting.map(|s| &s.chemical),
        setting.and_then(|s| s.strength).map(Strength::as_fraction),
        setting.is_some_and(|s| s.today_only),
        setting.map_or(Allowed::Freely, |s| s.allowed).word(),
        setting.is_some_and(|s| s.beside_never)
    ])?;
    Ok(id)
}

/// For which sprayers, and what was set, from a row of [`SETTINGS`].
pub(crate) fn read(row: &Row<'_>) -> Result<(Scope, Option<DaySetting>), Error> {
    let sprayer: Option<String> = row.get("sprayer")?;
    let scope = sprayer.map_or(Scope::Bay, Scope::Sprayer);
    let strength: Option<f64> = row.get("strength")?;
    let strength = strength
        .map(|fraction| {
            Strength::fraction(fraction).ok_or_else(|| {
                let wrong = format!("{fraction} is not a strength");
                Error::FromSqlConversionFailure(0, Type::Real, wrong.into())
            })
        })
        .transpose()?;
    let chemical: Option<String> = row.get("chemical")?;
    let today_only = row.get("today_only")?;
    let allowed = row.as_ref().column_index("allowed")?;
    let allowed = past::word(row, allowed, Allowed::from_word)?;
    let beside_never = row.get("beside_never")?;
    let setting = chemical.map(|chemical| DaySetting {
        scope: scope.clone(),
        chemical,
        strength,
        today_only,
        allowed,
        beside_never,
    });
    Ok((scope, setting))
}

/// The newest setting of each scope of those not taken back, where it was not ended.
pub(super) fn standing(tx: &Connection) -> Result<BTreeMap<Scope, Placed<DaySetting>>, Error> {
    let mut query = tx.prepare(&format!(
        "{SETTINGS} WHERE id IN (SELECT max(id) FROM day_settings
         WHERE taken_back IS NULL GROUP BY sprayer)"
    ))?;
    let mut rows = query.query([])?;
    let mut found = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let (scope, setting) = read(row)?;
        if let Some(setting) = setting {
            let placed = Placed {
                entry: row.get("id")?,
                at: row.get::<_, Stamp>("at")?.0,
                what: setting,
            };
            found.insert(scope, placed);
        }
    }
    Ok(found)
}
