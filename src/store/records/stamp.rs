//! Dates in the records, as RFC 3339 text, and times in whole nanoseconds.

use chrono::{DateTime, FixedOffset};
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ValueRef};
use std::time::Duration;

/// A date as it stands in the records.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp(pub DateTime<FixedOffset>);

impl FromSql for Stamp {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        DateTime::parse_from_rfc3339(value.as_str()?)
            .map(Stamp)
            .map_err(|e| FromSqlError::Other(Box::new(e)))
    }
}

/// The text for a date; `None` for one that RFC 3339 cannot tell (a year beyond 9999).
pub(crate) fn text(at: DateTime<FixedOffset>) -> Option<String> {
    let text = at.to_rfc3339();
    (DateTime::parse_from_rfc3339(&text) == Ok(at)).then_some(text)
}

/// The offset of Greenwich.
pub(crate) fn utc() -> FixedOffset {
    chrono::Offset::fix(&chrono::Utc)
}

/// A time in nanoseconds; `None` above 292 years.
pub(crate) fn nanos(time: Duration) -> Option<i64> {
    i64::try_from(time.as_nanos()).ok()
}

/// A time as it stands in the records.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Nanos(pub Duration);

impl FromSql for Nanos {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let nanos = value.as_i64()?;
        u64::try_from(nanos)
            .map(|n| Nanos(Duration::from_nanos(n)))
            .map_err(|_| FromSqlError::OutOfRange(nanos))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeZone;

    #[test]
    fn dates_keep_their_moment_and_offset() {
        let offset = FixedOffset::east_opt(3600).expect("offset");
        let at = offset
            .with_ymd_and_hms(2026, 3, 2, 8, 15, 0)
            .single()
            .expect("date")
            + chrono::TimeDelta::nanoseconds(123_456_789);
        let text_of = text(at).expect("text");
        assert_eq!(text_of, "2026-03-02T08:15:00.123456789+01:00");
        let far = offset
            .with_ymd_and_hms(12_026, 3, 2, 8, 15, 0)
            .single()
            .expect("date");
        assert_eq!(text(far), None);
    }
}
