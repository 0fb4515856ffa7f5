//! From the records to contents.

use super::contents::{
    BroughtBack, Change, Choice, Contents, Correction, DaySet, KeptCalibration, KeptCheck,
    KeptFill, KeptPutOff, KeptSetup, KeptStock, Moment, Rinse, WashCount,
};
use super::{Path, records};
use crate::bay::records::{Broken, Entry, Past, Placed, RecordsFault, Scope};
use crate::bay::setup::Setup;
use crate::store::records::history::washes_lasted;
use crate::store::records::runs::{CALIBRATIONS, KEPT, STANDS};
use crate::store::records::sound::Chosen;
use crate::store::records::stamp::Stamp;
use crate::store::records::{
    checks, day, drafts, explain, fills, lead, past as reading, setups, sound, stock,
};
use crate::trade::reminder::{PutOff, VoidCause};
use chrono::NaiveDate;
use rusqlite::types::Type;
use rusqlite::{Connection, Error, Row};
use std::collections::{BTreeMap, BTreeSet};

/// True where a calibration of the sprayer came after this row.
const FOLLOWED: &str =
    "EXISTS (SELECT 1 FROM calibrations c WHERE c.sprayer = t.sprayer AND c.id > t.id)";

/// True where the sprayer's calibration counts since a number above this row's.
const ENDED: &str =
    "EXISTS (SELECT 1 FROM stands s WHERE s.sprayer = t.sprayer AND s.since > t.id)";

/// True where the sprayer's calibration counts since a number above this row's, or it was changed
/// since.
const OUTLIVED: &str = "EXISTS (
    SELECT 1 FROM (SELECT sprayer, since AS id FROM stands
                   UNION ALL SELECT sprayer, id FROM changes) n
    WHERE n.sprayer = t.sprayer AND n.id > t.id)";

/// Everything of a bay, as of one moment.
pub(super) fn contents(
    path: &Path,
    made: Moment,
    text: String,
    setup: &Setup,
) -> Result<Contents, RecordsFault> {
    let mut contents = Contents {
        made,
        newest: None,
        setup: text,
        former_sprayers: Vec::new(),
        former_chemicals: Vec::new(),
        last_sprayer: None,
        choices: Vec::new(),
        sound: Chosen::default(),
        draft: None,
        calibrations: Vec::new(),
        brought_back: Vec::new(),
        wash_counts: Vec::new(),
        fills: Vec::new(),
        changes: Vec::new(),
        put_offs: Vec::new(),
        checks: Vec::new(),
        corrections: Vec::new(),
        thrown_away: Vec::new(),
        rinses: Vec::new(),
        stock: Vec::new(),
        day_settings: Vec::new(),
        lead: Vec::new(),
        clocks: Vec::new(),
        setup_changes: Vec::new(),
    };
    if let Some(connection) = records::open_to_read(path)? {
        let broken =
            read_out(&connection, &mut contents).map_err(|e| explain(path, "reading them", &e))?;
        refuse_what_is_broken(path, &broken)?;
    }
    former(&mut contents, setup);
    Ok(contents)
}

/// A backup of what is not as it was kept would pass it on as sound.
fn refuse_what_is_broken(path: &Path, broken: &[Broken]) -> Result<(), RecordsFault> {
    let bears = |b: &&Broken| !b.no_dose.is_empty() || !b.unknown_mix.is_empty();
    match broken.iter().find(bears) {
        None => Ok(()),
        Some(broken) => Err(RecordsFault::new(format!(
            "the records {} are damaged, and a backup would pass that on as sound: {} {}",
            path.display(),
            broken.words(),
            broken.remedy()
        ))),
    }
}

fn read_out(connection: &Connection, contents: &mut Contents) -> Result<Vec<Broken>, Error> {
    let tx = connection.unchecked_transaction()?;
    let past = reading::past_in(&tx)?;
    let numbers = fills_in(&tx, contents)?;
    contents.calibrations = calibrations(&tx, &past, &numbers)?;
    contents.brought_back = brought_back(&tx, &numbers)?;
    contents.newest = past.newest;
    contents.last_sprayer = past.last_sprayer;
    contents.sound = sound::chosen(&tx)?;
    contents.draft = past.draft;
    contents.wash_counts = wash_counts(&tx)?;
    around_the_fill(&tx, past.chosen_chemicals, contents, &numbers)?;
    contents.changes = all(
        &tx,
        &format!(
            "SELECT t.*, at, {FOLLOWED} AS ended,
                (SELECT count(*) FROM calibrations c
                 WHERE c.sprayer = t.sprayer AND c.id < t.id) AS calibrations_before,
                (SELECT max(id) FROM calibrations c
                 WHERE c.sprayer = t.sprayer AND c.id < t.id) AS follows
             FROM changes t JOIN happenings USING (id)
             ORDER BY ended DESC, coalesce(follows, 0), t.id"
        ),
        |row| {
            let what = row.as_ref().column_index("what")?;
            Ok(Change {
                at: moment(row, "at")?,
                sprayer: row.get("sprayer")?,
                what: reading::word(row, what, VoidCause::from_word)?,
                ended: row.get("ended")?,
                calibrations_before: row.get("calibrations_before")?,
            })
        },
    )?;
    contents.put_offs = all(
        &tx,
        &format!(
            "WITH {STANDS} SELECT t.*, at, {ENDED} AS ended
             FROM put_offs t JOIN happenings USING (id) ORDER BY ended DESC, t.id"
        ),
        |row| {
            Ok(KeptPutOff {
                at: moment(row, "at")?,
                sprayer: row.get("sprayer")?,
                put_off: PutOff {
                    times: row.get("times")?,
                    until_washes: row.get("until_washes")?,
                },
                ended: row.get("ended")?,
            })
        },
    )?;
    contents.checks = all(
        &tx,
        &format!(
            "WITH {STANDS} SELECT t.*, {OUTLIVED} AS ended FROM checks t ORDER BY ended DESC, t.id"
        ),
        |row| {
            Ok(KeptCheck {
                record: checks::record(row)?,
                ended: row.get("ended")?,
            })
        },
    )?;
    contents.corrections = all(
        &tx,
        &format!(
            "WITH {STANDS} SELECT t.*, at, {OUTLIVED} AS ended FROM corrections t JOIN happenings USING (id)
             ORDER BY ended DESC, t.id"
        ),
        |row| {
            Ok(Correction {
                at: moment(row, "at")?,
                sprayer: row.get("sprayer")?,
                chemical: row.get("chemical")?,
                factor: row.get("factor")?,
                ended: row.get("ended")?,
            })
        },
    )?;
    contents.thrown_away = all(
        &tx,
        &format!("{} ORDER BY id", drafts::THROWN_AWAY),
        |row| {
            let of = drafts::Of::ThrownAway(row.get("id")?);
            Ok((moment(row, "at")?, drafts::read(&tx, of, row)?))
        },
    )?;
    contents.lead = all(
        &tx,
        "SELECT * FROM lead_accesses JOIN happenings USING (id) ORDER BY id",
        |row| {
            let what = row.as_ref().column_index("what")?;
            Ok((
                moment(row, "at")?,
                reading::word(row, what, lead::from_word)?,
            ))
        },
    )?;
    contents.clocks = all(
        &tx,
        "SELECT at, clocks_put_right.newest AS newest FROM clocks_put_right
         JOIN happenings USING (id) ORDER BY id",
        |row| Ok((moment(row, "at")?, moment(row, "newest")?)),
    )?;
    contents.setup_changes = all(
        &tx,
        "SELECT * FROM setup_changes JOIN happenings USING (id) ORDER BY id",
        |row| {
            let (kind, text): (String, String) = (row.get("kind")?, row.get("text")?);
            let kept = match kind == setups::AT_THE_SCREEN {
                true => KeptSetup::Changed(setups::read(&tx, row.get("id")?, text)?),
                false => KeptSetup::Found(text),
            };
            Ok((moment(row, "at")?, kept))
        },
    )?;
    Ok(past.broken)
}

/// Every row of a query, made into something.
fn all<T>(
    tx: &Connection,
    sql: &str,
    make: impl FnMut(&Row<'_>) -> Result<T, Error>,
) -> Result<Vec<T>, Error> {
    tx.prepare(sql)?.query_map([], make)?.collect()
}

fn moment(row: &Row<'_>, column: &str) -> Result<Moment, Error> {
    row.get::<_, Stamp>(column).map(|stamp| stamp.0)
}

/// All of them, each with the washes until the next of its sprayer; what is void now on the
/// newest ones. `numbers` are those of the fills.
fn calibrations(
    tx: &Connection,
    past: &Past,
    numbers: &[Entry],
) -> Result<Vec<KeptCalibration>, Error> {
    let lasted = washes_lasted(tx, None)?;
    let sql = format!(
        "WITH {KEPT} SELECT *, id = (SELECT max(id) FROM kept k WHERE k.sprayer = c.sprayer) AS newest
         FROM ({CALIBRATIONS}) c ORDER BY id"
    );
    all(tx, &sql, |row| {
        let record = reading::calibration(tx, row)?;
        let is_newest = row.get::<_, Option<bool>>("newest")?.unwrap_or(false);
        let now = past.sprayers.get(&record.sprayer).filter(|_| is_newest);
        Ok(KeptCalibration {
            taken_back: taken_back(row)?,
            washes_since: lasted.get(&row.get("id")?).copied().unwrap_or_default(),
            void: now.and_then(|of| of.void),
            fills_before: fills_before(numbers, row)?,
            record,
        })
    })
}

fn brought_back(tx: &Connection, numbers: &[Entry]) -> Result<Vec<BroughtBack>, Error> {
    let sql = "SELECT *,
            (SELECT count(*) FROM calibrations c WHERE c.id < b.calibration) AS place,
            (SELECT count(*) FROM calibrations c WHERE c.id < b.id) AS calibrations_before
        FROM calibrations_brought_back b JOIN happenings USING (id) ORDER BY id";
    all(tx, sql, |row| {
        Ok(BroughtBack {
            at: moment(row, "at")?,
            calibration: count(row, "place")?,
            calibrations_before: count(row, "calibrations_before")?,
            fills_before: fills_before(numbers, row)?,
        })
    })
}

fn count(row: &Row<'_>, column: &str) -> Result<usize, Error> {
    row.get::<_, u32>(column).map(|count| count as usize)
}

fn wash_counts(tx: &Connection) -> Result<Vec<WashCount>, Error> {
    let sql = "SELECT sprayer, chemical, day, sum(n) AS count, sum(back) AS taken_back FROM (
            SELECT sprayer, chemical, day, washes AS n, taken_back AS back FROM brought_washes
            UNION ALL
            SELECT sprayer, chemical, substr(at, 1, 10), taken_back IS NULL,
                   taken_back IS NOT NULL
            FROM washes JOIN happenings USING (id))
        GROUP BY day, sprayer, chemical ORDER BY day, sprayer, chemical";
    all(tx, sql, |row| {
        let day: String = row.get("day")?;
        Ok(WashCount {
            sprayer: row.get("sprayer")?,
            chemical: row.get("chemical")?,
            day: NaiveDate::parse_from_str(&day, "%Y-%m-%d")
                .map_err(|e| Error::FromSqlConversionFailure(2, Type::Text, Box::new(e)))?,
            count: row.get("count")?,
            taken_back: row.get("taken_back")?,
        })
    })
}

fn taken_back(row: &Row<'_>) -> Result<bool, Error> {
    Ok(row.get::<_, Option<i64>>("taken_back")?.is_some())
}

/// How many of the fills, of which these are the numbers, came before a row.
fn fills_before(numbers: &[Entry], row: &Row<'_>) -> Result<usize, Error> {
    let id: Entry = row.get("id")?;
    Ok(numbers.partition_point(|fill| *fill < id))
}

/// The fills; gives their numbers. What replaced one and what was added to one are kept apart only
/// for taking it back a moment later, and so are no part of a backup.
fn fills_in(tx: &Connection, contents: &mut Contents) -> Result<Vec<Entry>, Error> {
    let mut numbers: Vec<Entry> = Vec::new();
    contents.fills = all(tx, &format!("{} ORDER BY id", fills::FILLS), |row| {
        numbers.push(row.get("id")?);
        Ok(KeptFill {
            at: moment(row, "at")?,
            fill: fills::read(row)?,
            taken_back: taken_back(row)?,
        })
    })?;
    Ok(numbers)
}

/// What stands among the fills in its place, and the day's chemical.
fn around_the_fill(
    tx: &Connection,
    chosen: BTreeMap<Scope, Placed<String>>,
    contents: &mut Contents,
    numbers: &[Entry],
) -> Result<(), Error> {
    let rinses = "SELECT * FROM rinses JOIN happenings USING (id) ORDER BY id";
    contents.rinses = all(tx, rinses, |row| {
        Ok(Rinse {
            at: moment(row, "at")?,
            sprayer: row.get("sprayer")?,
            fills_before: fills_before(numbers, row)?,
            taken_back: taken_back(row)?,
        })
    })?;
    contents.stock = all(tx, &format!("{} ORDER BY id", stock::MOVES), |row| {
        let (chemical, what) = stock::read(row)?;
        Ok(KeptStock {
            at: moment(row, "at")?,
            chemical,
            what,
            fills_before: fills_before(numbers, row)?,
            taken_back: taken_back(row)?,
        })
    })?;
    let mut settings: Vec<Entry> = Vec::new();
    contents.day_settings = all(tx, &format!("{} ORDER BY id", day::SETTINGS), |row| {
        let (scope, setting) = day::read(row)?;
        settings.push(row.get::<_, Entry>("id")?);
        Ok(DaySet {
            at: moment(row, "at")?,
            scope,
            setting,
            taken_back: taken_back(row)?,
        })
    })?;
    let mut chosen: Vec<(Scope, Placed<String>)> = chosen.into_iter().collect();
    chosen.sort_by_key(|(_, chosen)| chosen.entry);
    let choices = chosen.into_iter().map(|(scope, chosen)| Choice {
        at: chosen.at,
        scope,
        chemical: chosen.what,
        settings_before: settings.partition_point(|set| *set < chosen.entry),
    });
    contents.choices = choices.collect();
    Ok(())
}

/// Ids that the contents name and the set-up does not have (any more).
fn former(contents: &mut Contents, setup: &Setup) {
    let mut sprayers: BTreeSet<&str> = BTreeSet::new();
    let mut chemicals: BTreeSet<&str> = BTreeSet::new();
    for kept in &contents.fills {
        sprayers.insert(&kept.fill.sprayer);
        chemicals.insert(&kept.fill.chemical);
    }
    sprayers.extend(contents.rinses.iter().map(|r| r.sprayer.as_str()));
    chemicals.extend(contents.stock.iter().map(|s| s.chemical.as_str()));
    for set in &contents.day_settings {
        if let Scope::Sprayer(sprayer) = &set.scope {
            sprayers.insert(sprayer);
        }
        chemicals.extend(set.setting.iter().map(|s| s.chemical.as_str()));
    }
    for washes in &contents.wash_counts {
        sprayers.insert(&washes.sprayer);
        chemicals.insert(&washes.chemical);
    }
    sprayers.extend(
        contents
            .calibrations
            .iter()
            .map(|c| c.record.sprayer.as_str()),
    );
    sprayers.extend(contents.changes.iter().map(|c| c.sprayer.as_str()));
    sprayers.extend(contents.put_offs.iter().map(|p| p.sprayer.as_str()));
    for kept in &contents.checks {
        sprayers.insert(&kept.record.sprayer);
        chemicals.extend(kept.record.mix.as_deref());
    }
    for correction in &contents.corrections {
        sprayers.insert(&correction.sprayer);
        chemicals.insert(&correction.chemical);
    }
    sprayers.extend(contents.thrown_away.iter().map(|(_, d)| d.sprayer.as_str()));
    sprayers.extend(contents.draft.iter().map(|d| d.sprayer.as_str()));
    sprayers.extend(contents.last_sprayer.as_deref());
    for choice in &contents.choices {
        if let Scope::Sprayer(sprayer) = &choice.scope {
            sprayers.insert(sprayer);
        }
        chemicals.insert(&choice.chemical);
    }
    let owned = |ids: BTreeSet<&str>, known: &dyn Fn(&str) -> bool| -> Vec<String> {
        let former = ids.into_iter().filter(|id| !known(id));
        former.map(str::to_owned).collect()
    };
    let former_sprayers = owned(sprayers, &|id| setup.sprayer(id).is_some());
    let former_chemicals = owned(chemicals, &|id| setup.chemical(id).is_some());
    contents.former_sprayers = former_sprayers;
    contents.former_chemicals = former_chemicals;
}
