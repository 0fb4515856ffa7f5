//! Holding what was made of a backup against what was to be made, before it takes the old bay's place.

use super::Path;
use super::contents::Contents;
use crate::store::fault::StoreFault;
use crate::store::records::{count, explain, open_to_read, past_of};
use rusqlite::{Connection, Error};
use std::collections::BTreeMap;

/// How many rows each table has.
pub(super) type Tally = BTreeMap<String, i64>;

/// The rows of each table of the file itself, but of the check sums, which come last.
pub(super) fn tally(connection: &Connection) -> Result<Tally, Error> {
    let mut names = connection.prepare(
        "SELECT name FROM main.sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'
         AND name NOT IN ('sums', 'chain_ends')",
    )?;
    let names: Vec<String> = names
        .query_map([], |row| row.get(0))?
        .collect::<Result<_, _>>()?;
    let rows = |name: String| {
        let sql = format!("SELECT count(*) FROM main.\"{name}\"");
        let count = connection.query_row(&sql, [], |row| row.get(0))?;
        Ok((name, count))
    };
    names.into_iter().map(rows).collect()
}

/// Reads the records at `path` through, as whoever opens them next will: they are sound, and hold as
/// many of everything as was written and as the backup says.
///
/// # Errors
/// They do not, and why.
pub(super) fn check(path: &Path, written: &Tally, contents: &Contents) -> Result<(), StoreFault> {
    let connection = open_to_read(path)?.ok_or_else(|| another(path, "there are no records"))?;
    let read = || -> Result<_, Error> {
        let sound: String =
            connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
        let mut strays = connection.prepare("PRAGMA foreign_key_check")?;
        let is_whole = !strays.exists([])?;
        let size = "SELECT page_count * page_size FROM pragma_page_count, pragma_page_size";
        let size: i64 = connection.query_row(size, [], |row| row.get(0))?;
        let counts = (tally(&connection)?, count(&connection)?);
        Ok((sound, is_whole, size.unsigned_abs(), counts))
    };
    let (sound, is_whole, size, (found, counts)) =
        read().map_err(|e| another(path, &explain(path, "reading them back", &e).message))?;
    let length =
        std::fs::metadata(path).map_err(|e| StoreFault::disk(path, "looking at it", &e))?;
    if length.len() != size {
        return Err(another(path, "its end is missing"));
    }
    if sound != "ok" || !is_whole {
        return Err(another(path, &format!("they are damaged ({sound})")));
    }
    if found != *written || counts != contents.counts() {
        return Err(another(path, "something is missing in them"));
    }
    if let Some(broken) = past_of(path)?.broken.first() {
        return Err(another(path, &broken.words().to_string()));
    }
    Ok(())
}

/// What was made is not what was to be made.
pub(super) fn another(path: &Path, why: &str) -> StoreFault {
    StoreFault::Disk {
        path: path.to_owned(),
        wrong: format!("what was restored could not be read back: {why}"),
        right: "nothing was replaced: free some space, or take another disk, and restore again"
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{into_records, read};
    use super::*;
    use crate::bay::setup::{Panel, Profile};
    use crate::store::setup_file::first;
    use crate::trade::language::Language;

    /// A backup of a bay that was filled so many times.
    fn contents(fills: usize) -> Contents {
        let setup = first(Panel::usual(Profile::Seven800), Language::English);
        let mut text =
            format!("format = 1\nmade = 2026-05-04T10:00:00Z\nsetup = '''\n{setup}'''\n");
        for minute in 0..fills {
            text += &format!(
                "[[fill]]\nat = 2026-05-03T09:{minute:02}:00Z\nsprayer = \"sprayer-1\"\n\
                 chemical = \"chemical-1\"\nfill_ml = 640\npoured_ml = 120\nwater_ml = 520\n\
                 strength_percent = 1.1\nstanding = \"good\"\n"
            );
        }
        read::contents(&text)
            .unwrap_or_else(|faults| panic!("{faults:#?}"))
            .0
    }

    #[test]
    fn what_was_cut_torn_or_is_of_another_backup_is_not_taken_for_it() {
        let dir = tempfile::tempdir().expect("a folder");
        let path = dir.path().join("records.sqlite");
        let all = contents(40);
        into_records::make(&path, &all).unwrap_or_else(|fault| panic!("{fault}"));
        let written = {
            let connection = open_to_read(&path).expect("good").expect("there");
            tally(&connection).expect("counted")
        };
        check(&path, &written, &all).expect("it is what was written");
        let whole = std::fs::read(&path).expect("the file");
        let pages = whole.len() / 4096;
        assert!(pages > 20, "{pages}");
        for page in 0..pages {
            // Cut there, in the middle of it too.
            for length in [page * 4096, page * 4096 + 1024] {
                std::fs::write(&path, &whole[..length]).expect("written");
                check(&path, &written, &all).expect_err("cut");
            }
            // That page was never written.
            let mut torn = whole.clone();
            torn[page * 4096..(page + 1) * 4096].fill(0);
            std::fs::write(&path, &torn).expect("written");
            check(&path, &written, &all).expect_err("torn");
        }
        std::fs::write(&path, &whole).expect("written");
        check(&path, &written, &contents(39)).expect_err("another backup");
        check(&path, &written, &all).expect("whole again");
    }
}
