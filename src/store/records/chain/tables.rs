//! Which tables there are and whose rows stand in them, read from the schema itself, so that a table
//! that is added later is covered without a word about it here.

use crate::bay::records::Entry;
use rusqlite::{Connection, Error};
use std::borrow::Borrow;
use std::collections::{BTreeMap, BTreeSet};

/// The tables that hold the sums themselves.
const OWN: [&str; 2] = ["sums", "chain_ends"];
/// The unfinished calibration: this table and all whose names begin so. Its rows are written anew with
/// each step.
const DRAFT: &str = "draft";
/// The one column that changes after a row was written; `takings_back` says what stands in it.
pub(super) const FLAG: &str = "taken_back";

/// In a table with rows of several owners, the kinds of those that have the number of a happening.
const KINDS_OF_HAPPENINGS: [&str; 2] = ["calibration", "thrown-away"];

/// One table, as far as the sums need it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Table {
    pub name: String,
    /// The first column of its key.
    pub owner: String,
    /// All columns of its key, in order.
    key: Vec<String>,
    /// The columns that are summed up, in order.
    columns: Vec<String>,
    /// Which of its rows are meant.
    only: String,
    /// Where the sprayer stands among them.
    pub sprayer: Option<usize>,
    /// It has the column [`FLAG`].
    pub flagged: bool,
}

/// All tables, by whose rows stand in them. Each list is by name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in super::super) struct Tables {
    /// Rows of one happening each: the first column of the key leads to its number.
    pub(super) owned: Vec<Table>,
    /// Rows of the unfinished calibration.
    pub(super) draft: Vec<Table>,
    /// Rows that were there before the first happening, and never change.
    pub(super) first: Vec<Table>,
}

impl Tables {
    /// Reads the schema.
    pub fn of(connection: &Connection) -> Result<Self, Error> {
        let mut query = connection.prepare(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'
             ORDER BY name",
        )?;
        let names: Vec<String> = query
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let links = links(connection, &names)?;
        let mut tables = Self::default();
        for name in names
            .into_iter()
            .filter(|name| !OWN.contains(&name.as_str()))
        {
            let table = Table::of(connection, name)?;
            if table.key.first().is_some_and(|first| first == "kind") {
                tables.split(&table);
                continue;
            }
            let list = if leads_to_a_happening(&links, &table.name, &table.owner, links.len()) {
                &mut tables.owned
            } else if table.name.starts_with(DRAFT) {
                &mut tables.draft
            } else {
                &mut tables.first
            };
            list.push(table);
        }
        Ok(tables)
    }

    /// The tables of the unfinished calibration alone, by name.
    pub fn drafts(&self) -> impl Iterator<Item = &str> {
        let alone = self
            .draft
            .iter()
            .filter(|table| table.name.starts_with(DRAFT));
        alone.map(|table| table.name.as_str())
    }

    /// The happenings of which a part stands in other tables than these.
    pub fn owned_beyond(
        &self,
        tx: &Connection,
        known: &BTreeSet<impl Borrow<str> + Ord>,
    ) -> Result<BTreeSet<Entry>, Error> {
        let mut beyond = BTreeSet::new();
        for table in self
            .owned
            .iter()
            .filter(|table| !known.contains(table.name.as_str()))
        {
            let mut query = tx.prepare(&format!(
                "SELECT \"{}\" FROM \"{}\"",
                table.owner, table.name
            ))?;
            for entry in query.query_map([], |row| row.get(0))? {
                beyond.insert(entry?);
            }
        }
        Ok(beyond)
    }

    /// A table that holds rows of several owners: the first column of its key says of what kind, the
    /// second whose.
    fn split(&mut self, table: &Table) {
        let of_kind = |kind: &str| table.only(&format!("kind = '{kind}'"), 1);
        self.owned.extend(KINDS_OF_HAPPENINGS.map(of_kind));
        self.draft.push(of_kind(DRAFT));
        let known = KINDS_OF_HAPPENINGS.join("', '");
        let others = format!("kind NOT IN ('{known}', '{DRAFT}')");
        self.first.push(table.only(&others, 0));
    }
}

/// Where a column of a table points to, by both names.
type Links = BTreeMap<(String, String), Vec<(String, String)>>;

fn links(connection: &Connection, names: &[String]) -> Result<Links, Error> {
    let mut links = Links::new();
    let mut query =
        connection.prepare("SELECT \"from\", \"table\", \"to\" FROM pragma_foreign_key_list(?)")?;
    for name in names {
        let mut rows = query.query([name])?;
        while let Some(row) = rows.next()? {
            let to = (row.get(1)?, row.get(2)?);
            links
                .entry((name.clone(), row.get(0)?))
                .or_default()
                .push(to);
        }
    }
    Ok(links)
}

/// `steps`: no way through the tables is longer.
fn leads_to_a_happening(links: &Links, table: &str, column: &str, steps: usize) -> bool {
    if (table, column) == ("happenings", "id") {
        return true;
    }
    let ways = links.get(&(table.to_owned(), column.to_owned()));
    steps > 0
        && ways
            .into_iter()
            .flatten()
            .any(|(table, column)| leads_to_a_happening(links, table, column, steps - 1))
}

impl Table {
    fn of(connection: &Connection, name: String) -> Result<Self, Error> {
        let mut query =
            connection.prepare("SELECT name, pk FROM pragma_table_info(?) ORDER BY cid")?;
        let all: Vec<(String, u32)> = query
            .query_map([&name], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        let mut key: Vec<(u32, String)> = all
            .iter()
            .filter(|(_, place)| *place > 0)
            .map(|(column, place)| (*place, column.clone()))
            .collect();
        key.sort();
        let key: Vec<String> = key.into_iter().map(|(_, column)| column).collect();
        let columns: Vec<String> = all
            .iter()
            .map(|(column, _)| column.clone())
            // A count of those that a backup brought is no flag, and has no happening of its own.
            .filter(|column| column != FLAG || name == "brought_washes")
            .collect();
        Ok(Self {
            owner: key.first().cloned().unwrap_or_default(),
            sprayer: columns.iter().position(|column| column == "sprayer"),
            flagged: all.iter().any(|(column, _)| column == FLAG) && name != "brought_washes",
            only: "true".to_owned(),
            name,
            key,
            columns,
        })
    }

    /// Some rows of it, whose owner stands in the column of the key at that place.
    fn only(&self, which: &str, place: usize) -> Self {
        let key = self.key[place.min(self.key.len().saturating_sub(1))..].to_vec();
        Self {
            owner: key.first().cloned().unwrap_or_default(),
            only: which.to_owned(),
            key,
            ..self.clone()
        }
    }

    /// Its rows whose owner has a higher number than the one asked with, in the order of their keys;
    /// the owner comes first.
    pub fn rows_above(&self) -> String {
        self.rows(&format!("\"{}\" > ?", self.owner))
    }

    /// All of its rows in the order of their keys.
    pub fn all_rows(&self) -> String {
        self.rows("true")
    }

    fn rows(&self, which: &str) -> String {
        format!(
            "SELECT \"{}\", \"{}\" FROM \"{}\" WHERE {} AND {which} ORDER BY \"{}\"",
            self.owner,
            self.columns.join("\", \""),
            self.name,
            self.only,
            self.key.join("\", \"")
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::schema::{LADDER, climb};
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_table_is_summed_up_with_what_it_belongs_to() {
        let mut connection = Connection::open_in_memory().expect("memory");
        climb(&mut connection, LADDER).expect("tables");
        let tables = Tables::of(&connection).expect("read");
        // Whoever adds a table whose key leads to no happening has to think about what it belongs to.
        let first: Vec<&str> = tables.first.iter().map(|t| t.name.as_str()).collect();
        let split = |name: &&&str| **name == "run_details";
        let others: Vec<&&str> = first.iter().filter(|name| !split(name)).collect();
        assert_eq!(others, [&"brought_washes"]);
        assert!(tables.draft.iter().any(|t| t.name == "draft_loads"));
        let all: u32 = connection
            .query_row(
                "SELECT count(*) FROM sqlite_schema WHERE type = 'table'",
                [],
                |row| row.get(0),
            )
            .expect("count");
        let lists = [&tables.owned, &tables.draft, &tables.first];
        let found: BTreeSet<&str> = lists
            .into_iter()
            .flatten()
            .map(|table| table.name.as_str())
            .chain(OWN)
            .collect();
        assert_eq!(found.len(), all as usize);
        // By way of two others.
        let graduations = "thrown_away_load_graduations";
        assert!(tables.owned.iter().any(|t| t.name == graduations));
        for table in tables.owned.iter().chain(&tables.draft) {
            assert!(!table.key.is_empty(), "{}", table.name);
        }
    }

    #[test]
    fn a_table_added_later_is_covered_without_a_word() {
        let mut connection = Connection::open_in_memory().expect("memory");
        climb(&mut connection, LADDER).expect("tables");
        let before = Tables::of(&connection).expect("read").owned.len();
        connection
            .execute_batch(
                "CREATE TABLE beside (calibration INTEGER PRIMARY KEY REFERENCES calibrations (id),
                     ml REAL NOT NULL) STRICT",
            )
            .expect("one more");
        let tables = Tables::of(&connection).expect("read");
        assert_eq!(tables.owned.len(), before + 1);
        // Rows of several owners in one: the sums of each ask for its own.
        connection
            .execute_batch(
                "CREATE TABLE shared (kind TEXT, owner INTEGER, place INTEGER,
                     PRIMARY KEY (kind, owner, place)) STRICT, WITHOUT ROWID;
                 INSERT INTO shared VALUES ('calibration', 7, 0), ('draft', 1, 0), ('thrown-away', 8, 1)",
            )
            .expect("one more");
        let tables = Tables::of(&connection).expect("read");
        assert_eq!(tables.owned.len(), before + 3);
        let owners: Vec<i64> = tables
            .owned
            .iter()
            .filter(|table| table.name == "shared")
            .map(|table| {
                let mut query = connection.prepare(&table.rows_above()).expect("query");
                query.query_row([1], |row| row.get(0)).expect("its row")
            })
            .collect();
        assert_eq!(owners, [7, 8]);
    }
}
