//! The rows of each happening as bytes, one happening after the other.
//!
//! A row is the name of its table and its values, each with its kind and its length, so that no two
//! different happenings have the same bytes. A table without rows of a happening adds nothing: tables
//! that come later change no older sum.

use super::tables::{Table, Tables};
use super::{ALL, DOSE, MIX};
use crate::bay::records::Entry;
use rusqlite::fallible_streaming_iterator::FallibleStreamingIterator;
use rusqlite::types::ValueRef;
use rusqlite::{CachedStatement, Connection, Error, Row, Rows};

/// Tables of which neither a dose nor what is in a sprayer comes: counts, and what is only told.
const BEARS_ON_NOTHING: [&str; 5] = [
    "checks",
    "choice_sprayers",
    "put_offs",
    "thrown_away_runs",
    "washes",
];
/// Tables that tell what is in a sprayer.
const OF_THE_MIX: [&str; 2] = ["fills", "rinses"];

/// On what a happening bears: the sprayer by id or `*` for all, and on what of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Touch {
    pub sprayer: String,
    pub bears_on: &'static str,
}

/// All that stands in the tables of one happening.
#[derive(Debug, Default)]
pub(super) struct Bundle {
    pub bytes: Vec<u8>,
    pub touch: Option<Touch>,
    /// The happenings of which it takes something back or lets it stand again.
    pub marks: Vec<Entry>,
}

/// Goes through the happenings above a number, in order, whether they have a row in `happenings` or
/// not.
pub(super) fn walk(
    tx: &Connection,
    tables: &Tables,
    above: Entry,
    mut each: impl FnMut(Entry, &Bundle) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut queries: Vec<CachedStatement<'_>> = tables
        .owned
        .iter()
        .map(|table| tx.prepare_cached(&table.rows_above()))
        .collect::<Result<_, _>>()?;
    let mut heads = Vec::with_capacity(queries.len());
    for (table, query) in tables.owned.iter().zip(&mut queries) {
        let mut head = Head {
            table,
            rows: query.query([above])?,
            owner: None,
        };
        head.go_on()?;
        heads.push(head);
    }
    let mut bundle = Bundle::default();
    while let Some(entry) = heads.iter().filter_map(|head| head.owner).min() {
        bundle.bytes.clear();
        bundle.marks.clear();
        bundle.touch = None;
        for head in &mut heads {
            while head.owner == Some(entry) {
                head.add_to(&mut bundle)?;
                head.go_on()?;
            }
        }
        each(entry, &bundle)?;
    }
    Ok(())
}

/// A table and its row that comes next.
struct Head<'t, 's> {
    table: &'t Table,
    rows: Rows<'s>,
    owner: Option<Entry>,
}

impl Head<'_, '_> {
    fn go_on(&mut self) -> Result<(), Error> {
        self.owner = self.rows.next()?.map(|row| row.get(0)).transpose()?;
        Ok(())
    }

    fn add_to(&self, bundle: &mut Bundle) -> Result<(), Error> {
        let Some(row) = self.rows.get() else {
            return Ok(());
        };
        put_row(&mut bundle.bytes, self.table, row)?;
        let name = self.table.name.as_str();
        if name == "takings_back" {
            bundle.marks.push(row.get("entry")?);
        }
        if let Some(place) = self
            .table
            .sprayer
            .filter(|_| !BEARS_ON_NOTHING.contains(&name))
        {
            // The owner comes before the columns. Without a sprayer it is for all of them.
            let sprayer = match row.get_ref(place + 1)? {
                ValueRef::Text(text) => String::from_utf8_lossy(text).into_owned(),
                _ => ALL.to_owned(),
            };
            bundle.touch = Some(Touch {
                sprayer,
                bears_on: if OF_THE_MIX.contains(&name) {
                    MIX
                } else {
                    DOSE
                },
            });
        }
        Ok(())
    }
}

/// All rows of some tables, as bytes.
pub(super) fn all_rows(tx: &Connection, tables: &[Table]) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    for table in tables {
        let mut query = tx.prepare_cached(&table.all_rows())?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            put_row(&mut bytes, table, row)?;
        }
    }
    Ok(bytes)
}

fn put_row(bytes: &mut Vec<u8>, table: &Table, row: &Row<'_>) -> Result<(), Error> {
    put(bytes, b't', table.name.as_bytes());
    for place in 1..row.as_ref().column_count() {
        match row.get_ref(place)? {
            ValueRef::Null => put(bytes, b'n', &[]),
            ValueRef::Integer(whole) => put(bytes, b'i', &whole.to_le_bytes()),
            ValueRef::Real(real) => put(bytes, b'r', &real.to_bits().to_le_bytes()),
            ValueRef::Text(text) => put(bytes, b's', text),
            ValueRef::Blob(blob) => put(bytes, b'b', blob),
        }
    }
    Ok(())
}

fn put(bytes: &mut Vec<u8>, kind: u8, value: &[u8]) {
    bytes.push(kind);
    bytes.extend(u64::try_from(value.len()).unwrap_or(u64::MAX).to_le_bytes());
    bytes.extend(value);
}
