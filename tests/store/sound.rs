//! How the wall is heard, as it was chosen there: kept over a restart and over a backup.

use crate::records::{at, bay, heard, open};
use SoundChoice::{Language as Speak, Loudspeaker, Volume};
use fillcall::bay::records::{Happening, Records, SoundChoice};
use fillcall::store::records::{SqliteRecords, past_of};
use fillcall::trade::language::Language;
use std::path::Path;

fn choose(records: &mut SqliteRecords, choice: SoundChoice) {
    records
        .keep(at("2026-03-02T12:00:00Z"), &Happening::SoundChosen(choice))
        .unwrap_or_else(|fault| panic!("{fault}"));
}

fn through(name: &str) -> SoundChoice {
    Loudspeaker(Some(name.into()))
}

/// How many rows there are of a loudspeaker chosen, with a name or without.
fn loudspeakers_chosen(path: &Path) -> u32 {
    let connection = rusqlite::Connection::open(path).expect("opened");
    let sql = "SELECT count(*) FROM sound_choices WHERE what = 'loudspeaker'";
    let read = |row: &rusqlite::Row<'_>| row.get(0);
    connection.query_row(sql, [], read).expect("counted")
}

#[test]
fn the_newest_choice_of_each_sort_is_the_one_after_a_restart() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    assert_eq!(heard(&records.past().expect("past")), (None, None, None));
    choose(&mut records, Volume(40));
    assert_eq!(
        heard(&past_of(&path).expect("past")),
        (Some(40), None, None)
    );
    choose(&mut records, Speak(Language::Spanish));
    choose(&mut records, through("USB Audio"));
    choose(&mut records, Volume(0));
    choose(&mut records, Volume(100));
    drop(records);
    let mut records = open(&path);
    let past = records.past().expect("past");
    let chosen = (Some(100), Some(Language::Spanish), Some("USB Audio"));
    assert_eq!(heard(&past), chosen);
    choose(&mut records, Speak(Language::English));
    choose(&mut records, through("Front \"left\" \\ 2"));
    drop(records);
    let past = open(&path).past().expect("past");
    let chosen = (
        Some(100),
        Some(Language::English),
        Some("Front \"left\" \\ 2"),
    );
    assert_eq!(heard(&past), chosen);
}

#[test]
fn the_systems_own_loudspeaker_is_a_choice_that_ends_the_one_before() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    choose(&mut records, Volume(30));
    assert_eq!(loudspeakers_chosen(&path), 0);
    choose(&mut records, through("USB Audio"));
    choose(&mut records, Loudspeaker(None));
    drop(records);
    let past = open(&path).past().expect("past");
    assert_eq!(heard(&past), (Some(30), None, None));
    assert_eq!(loudspeakers_chosen(&path), 2, "it is kept as a choice");
}

#[test]
fn what_cannot_be_is_refused_and_the_choice_before_stands() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    choose(&mut records, Volume(70));
    choose(&mut records, through("USB Audio"));
    let before = records.past().expect("past");
    for (wrong, says) in [
        (Volume(101), "choose 0 to 100 %"),
        (through(""), "without a name"),
    ] {
        let happening = Happening::SoundChosen(wrong);
        let fault = records
            .keep(at("2026-03-02T13:00:00Z"), &happening)
            .expect_err(says);
        assert!(fault.message.contains(says), "{fault}");
    }
    assert_eq!(records.past().expect("past"), before);
}

#[test]
fn a_damaged_choice_is_told_as_damage() {
    let (_dir, path) = bay();
    let mut records = open(&path);
    choose(&mut records, Volume(70));
    choose(&mut records, Speak(Language::Spanish));
    choose(&mut records, through("USB Audio"));
    drop(records);
    for (what, broken, mended) in [
        ("volume", "101", "70"),
        ("volume", "-1", "70"),
        ("volume", "'70'", "70"),
        ("volume", "NULL", "70"),
        ("language", "'xx'", "'es'"),
        ("language", "NULL", "'es'"),
        ("loudspeaker", "3", "'USB Audio'"),
    ] {
        let meddle = |chosen: &str| {
            let sql = format!("UPDATE sound_choices SET chosen = {chosen} WHERE what = '{what}'");
            let connection = rusqlite::Connection::open(&path).expect("opened");
            connection.execute_batch(&sql).expect("meddled");
        };
        meddle(broken);
        let fault = past_of(&path).expect_err(broken);
        assert!(fault.message.contains("fillcall restore"), "{what} {fault}");
        meddle(mended);
    }
    let chosen = (Some(70), Some(Language::Spanish), Some("USB Audio"));
    assert_eq!(heard(&past_of(&path).expect("mended")), chosen);
}
