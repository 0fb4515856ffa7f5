//! Holding what is in the tables against the sums.
//!
//! Where a sum does not fit, the next one tells why: where that follows the sum as it stands, the rows
//! were changed; where it follows the sum as it should be, the sum alone was.

use super::tables::{FLAG, Tables};
use super::walk::{Touch, all_rows, walk};
use super::{ALL, DOSE, MIX, SINCE, Sum, chained, ends, kept_touch, sum_of, touch_of};
use crate::bay::records::{BrokenWhat, Entry};
use rusqlite::{Connection, Error};
use std::collections::{BTreeMap, BTreeSet};

/// Something that does not fit its sum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in super::super) struct Fault {
    pub what: BrokenWhat,
    /// Its number, or the one behind which something is missing; 0 for what has none.
    pub entry: Entry,
    /// On what it bears, by what stands there and by what stood there.
    pub(super) touches: Vec<Touch>,
}

impl Fault {
    /// True where it bears on this of a sprayer.
    pub fn bears(&self, on: &str, sprayer: &str) -> bool {
        let sprayer = |touch: &Touch| touch.sprayer == sprayer || touch.sprayer == ALL;
        self.touches
            .iter()
            .any(|touch| touch.bears_on == on && sprayer(touch))
    }

    /// The sprayers that are named in it.
    pub fn sprayers(&self) -> impl Iterator<Item = &str> {
        let named = self.touches.iter().map(|touch| touch.sprayer.as_str());
        named.filter(|sprayer| *sprayer != ALL)
    }

    /// Nobody knows on what it bears.
    fn anything(what: BrokenWhat, entry: Entry) -> Self {
        let touch = |bears_on| Touch {
            sprayer: ALL.to_owned(),
            bears_on,
        };
        Self {
            what,
            entry,
            touches: vec![touch(DOSE), touch(MIX)],
        }
    }

    fn nothing(what: BrokenWhat, entry: Entry) -> Self {
        Self {
            what,
            entry,
            touches: Vec::new(),
        }
    }
}

/// Everything that is not as it was kept, by number. Records from before the sums have none to be held
/// against.
pub(in super::super) fn verify(tx: &Connection, tables: &Tables) -> Result<Vec<Fault>, Error> {
    let version: u32 = tx.query_row("SELECT user_version FROM pragma_user_version", [], |row| {
        row.get(0)
    })?;
    if version < SINCE {
        return Ok(Vec::new());
    }
    let Some(ends) = ends(tx)? else {
        let last = super::last(tx)?;
        return Ok(vec![Fault::anything(BrokenWhat::OutOfOrder, last)]);
    };
    let mut looking = Looking::from(ends.begin, sum_of(&all_rows(tx, &tables.first)?));
    let mut query = tx.prepare("SELECT id, sum FROM sums ORDER BY id")?;
    let mut sums = query.query([])?;
    let mut next_sum = || -> Result<Option<(Entry, Vec<u8>)>, Error> {
        sums.next()?
            .map(|row| Ok((row.get(0)?, row.get(1)?)))
            .transpose()
    };
    let mut sum = next_sum()?;
    walk(tx, tables, 0, |entry, bundle| {
        while let Some((id, stored)) = sum.take_if(|(id, _)| *id < entry) {
            // Nothing is left of it but its sum.
            looking.at(id, &stored, &[], || kept_touch(tx, id).map(Vec::from_iter))?;
            sum = next_sum()?;
        }
        match sum.take_if(|(id, _)| *id == entry) {
            Some((_, stored)) => {
                looking.at(entry, &stored, &bundle.bytes, || {
                    let both = [kept_touch(tx, entry)?, touch_of(tx, bundle)?];
                    Ok(both.into_iter().flatten().collect())
                })?;
                sum = next_sum()?;
            }
            None => looking.put_in(entry),
        }
        Ok(())
    })?;
    while let Some((id, stored)) = sum {
        looking.at(id, &stored, &[], || kept_touch(tx, id).map(Vec::from_iter))?;
        sum = next_sum()?;
    }
    let mut faults = looking.end(ends.last, ends.sum);
    faults.extend(wrong_flags(tx, tables)?);
    if sum_of(&all_rows(tx, &tables.draft)?) != ends.draft {
        faults.push(Fault::nothing(BrokenWhat::Draft, 0));
    }
    faults.sort_by_key(|fault| fault.entry);
    faults.dedup_by_key(|fault| (fault.entry, fault.what));
    Ok(faults)
}

/// What a newer version kept and this one cannot read whole, where something hangs on it: a part of it
/// stands in other tables than these.
pub(in super::super) fn newer(
    tx: &Connection,
    tables: &Tables,
    known: &BTreeSet<&'static str>,
) -> Result<Vec<Fault>, Error> {
    let mut faults = Vec::new();
    for entry in tables.owned_beyond(tx, known)? {
        // On what it bears, the newer version wrote itself.
        if let Some(touch) = kept_touch(tx, entry)? {
            faults.push(Fault {
                what: BrokenWhat::Newer,
                entry,
                touches: vec![touch],
            });
        }
    }
    Ok(faults)
}

/// How far it was looked.
struct Looking {
    /// The sum before, as it stands and as it should be.
    stored: Sum,
    reckoned: Sum,
    last: Entry,
    /// What did not fit at last; the next one tells why.
    doubt: Option<Fault>,
    faults: Vec<Fault>,
}

impl Looking {
    fn from(stored: Sum, reckoned: Sum) -> Self {
        let counts = Fault::nothing(BrokenWhat::Counts, 0);
        Self {
            stored,
            reckoned,
            last: 0,
            doubt: (stored != reckoned).then_some(counts),
            faults: Vec::new(),
        }
    }

    /// The happening of that number, with the sum that stands there and the bytes of its rows.
    fn at(
        &mut self,
        entry: Entry,
        stored: &[u8],
        bytes: &[u8],
        touches: impl FnOnce() -> Result<Vec<Touch>, Error>,
    ) -> Result<(), Error> {
        let after_stored = chained(&self.stored, entry, bytes);
        let reckoned = chained(&self.reckoned, entry, bytes);
        // A sum of another length fits nothing.
        let found = Sum::try_from(stored).unwrap_or_default();
        if found == after_stored || found == reckoned {
            self.settle(found == after_stored);
            (self.stored, self.reckoned) = (found, found);
        } else {
            self.settle(true);
            self.doubt = Some(match entry == self.last + 1 {
                true => Fault {
                    what: BrokenWhat::Changed,
                    entry,
                    touches: touches()?,
                },
                false => Fault::anything(BrokenWhat::OutOfOrder, entry),
            });
            (self.stored, self.reckoned) = (found, after_stored);
        }
        self.last = entry;
        Ok(())
    }

    /// What comes next follows the sum as it stands, or as it should be.
    fn settle(&mut self, as_it_stands: bool) {
        if let Some(mut doubt) = self.doubt.take() {
            if !as_it_stands {
                doubt = Fault::nothing(BrokenWhat::SumAlone, doubt.entry);
            }
            self.faults.push(doubt);
        }
    }

    /// A happening that was never summed up.
    fn put_in(&mut self, entry: Entry) {
        let fault = Fault::anything(BrokenWhat::OutOfOrder, entry);
        self.faults.push(fault);
    }

    fn end(mut self, last: Entry, sum: Sum) -> Vec<Fault> {
        let fits = sum == self.stored || sum == self.reckoned;
        self.settle(sum != self.reckoned || self.stored == self.reckoned);
        if last != self.last || !fits {
            let fault = Fault::anything(BrokenWhat::OutOfOrder, last.max(self.last));
            self.faults.push(fault);
        }
        self.faults
    }
}

/// What stands as taken back and was not, or the other way round.
fn wrong_flags(tx: &Connection, tables: &Tables) -> Result<Vec<Fault>, Error> {
    let pair = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?));
    let mut flags: BTreeMap<Entry, Entry> = BTreeMap::new();
    for table in tables.owned.iter().filter(|table| table.flagged) {
        let sql = format!(
            "SELECT id, {FLAG} FROM \"{}\" WHERE {FLAG} IS NOT NULL",
            table.name
        );
        let mut query = tx.prepare_cached(&sql)?;
        for flag in query.query_map([], pair)? {
            let (entry, by) = flag?;
            flags.insert(entry, by);
        }
    }
    let mut marks: BTreeMap<Entry, Entry> = BTreeMap::new();
    let mut query = tx.prepare_cached("SELECT entry, id, stands FROM takings_back ORDER BY id")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let (entry, by) = pair(row)?;
        match row.get(2)? {
            true => marks.remove(&entry),
            false => marks.insert(entry, by),
        };
    }
    let differ = |entry: &Entry| flags.get(entry) != marks.get(entry);
    let mut wrong: Vec<Entry> = flags.keys().chain(marks.keys()).copied().collect();
    wrong.retain(differ);
    wrong.sort_unstable();
    wrong.dedup();
    wrong
        .into_iter()
        .map(|entry| {
            Ok(Fault {
                what: BrokenWhat::Changed,
                entry,
                touches: Vec::from_iter(kept_touch(tx, entry)?),
            })
        })
        .collect()
}
