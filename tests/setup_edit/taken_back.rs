//! Changes are taken back.

use super::{Folder, NASTY, demo, list, pretty, set, text, texts};
use fillcall::bay::ports::SetupKeeper;
use fillcall::bay::setup_change::{Edit, Place, SetupChange, Value};

fn lance() -> Place {
    Place::Sprayer("lance-1".into())
}

fn made(folder: &Folder, edit: Edit) -> SetupChange {
    folder.change(&[edit]).unwrap_or_else(|r| panic!("{r:?}")).1
}

/// One of each sort of edit, for any of the texts.
fn sorts(folder: &Folder) -> Vec<Edit> {
    let setup = fillcall::store::setup_file::read_bay(folder.dir()).expect("a set-up");
    let other = |id: &String| *id != setup.day_chemical;
    let mut ids = setup.chemicals.iter().map(|c| c.id.clone()).filter(other);
    let (first, second) = (ids.next().expect("one"), ids.next().expect("two"));
    vec![
        set(lance(), "name", text("Left lance")),
        set(Place::Section("lead"), "minutes", Value::Whole(7)),
        set(Place::Bay, "currency", text("GBP")),
        set(
            Place::Chemical(setup.day_chemical.clone()),
            "cautions",
            list(&["New", "Gloves"]),
        ),
        Edit::Set {
            place: Place::Chemical(setup.day_chemical.clone()),
            key: "band",
            value: None,
        },
        Edit::Add {
            place: Place::Measure("mug".into()),
            keys: vec![
                ("name", text("Mug")),
                ("size", text("1 l")),
                ("graduation", text("50 ml")),
            ],
        },
        Edit::Add {
            place: Place::Vehicle("van".into()),
            keys: vec![("name", text("Van")), ("share", Value::Number(0.5))],
        },
        Edit::Remove {
            place: Place::Measure(setup.measures[0].id.clone()),
        },
        Edit::Remove {
            place: Place::Chemical(first),
        },
        Edit::Remove {
            place: Place::Chemical(second),
        },
        Edit::Remove {
            place: Place::Sprayer("lance-2".into()),
        },
    ]
}

#[test]
fn the_newest_change_leaves_no_trace() {
    for (name, before) in texts() {
        let folder = Folder::with(&before);
        for edit in sorts(&folder) {
            let change = made(&folder, edit.clone());
            assert!(!change.keys.is_empty(), "{name}: {edit:?}");
            let (setup, back) = folder.keeper().take_back(&change).expect("taken back");
            pretty(&folder.text(), &before);
            assert_eq!(Ok(setup), fillcall::store::setup_file::read(&before));
            assert_eq!((&back.text, &back.text_before), (&before, &change.text));
            assert_eq!(back.keys.len(), change.keys.len());
            // That too can be taken back.
            folder.keeper().take_back(&back).expect("made again");
            pretty(&folder.text(), &change.text);
            folder.write(&before);
        }
    }
}

/// The keys and values of a text, by another reader than the program's own; its chemicals by name:
/// of two neighbours that both went and came back nobody knows which was the first.
fn table(text: &str) -> toml::Table {
    let mut table: toml::Table = text.parse().unwrap_or_else(|e| panic!("{e}\n{text}"));
    let chemicals = table["chemical"].as_array_mut().expect("chemicals");
    chemicals.sort_by_key(|chemical| chemical["id"].to_string());
    table
}

#[test]
fn an_older_change_is_taken_back_past_newer_ones_and_past_edits_by_hand() {
    for (name, before) in texts().into_iter().skip(3) {
        let folder = Folder::with(&before);
        let count = sorts(&folder).len();
        for older in 0..count {
            for newer in (0..count).filter(|newer| *newer != older) {
                let edits = sorts(&folder);
                let old = made(&folder, edits[older].clone());
                // A chemical that went is not there to be changed.
                let Ok((_, new)) = folder.change(&edits[newer..=newer]) else {
                    folder.write(&before);
                    continue;
                };
                let hand = format!("# by hand\n{}", folder.text());
                folder.write(&hand);
                let what = || format!("{name}: {:?}, then {:?}", edits[older], edits[newer]);
                let Ok((setup, back)) = folder.keeper().take_back(&old) else {
                    // The newer one changed a list, or took its chemical out, that the older one
                    // had taken a name out of.
                    let of_old = old.keys.iter().filter(|k| k.key == "never_with");
                    let mut of_both =
                        of_old.filter(|o| new.keys.iter().any(|n| n.place == o.place));
                    assert!(of_both.next().is_some(), "{}", what());
                    assert_eq!(folder.text(), hand, "refused and changed");
                    folder.write(&before);
                    continue;
                };
                assert_eq!(Ok(setup), fillcall::store::setup_file::read(&back.text));
                assert!(back.text.starts_with("# by hand\n"));
                // As if the newer one alone had been made.
                let alone = Folder::with(&before);
                let alone = made(&alone, edits[newer].clone());
                assert!(table(&back.text) == table(&alone.text), "{}", what());
                folder
                    .keeper()
                    .take_back(&new)
                    .unwrap_or_else(|r| panic!("{}: {r:?}", what()));
                assert!(table(&folder.text()) == table(&before), "{}", what());
                folder.write(&before);
            }
        }
    }
}

#[test]
fn what_was_changed_since_is_in_the_way() {
    let folder = Folder::with(&demo());
    let first = made(&folder, set(lance(), "holds", text("900 ml")));
    let second = made(&folder, set(lance(), "holds", text("950 ml")));
    let refused = |change: &SetupChange| {
        let before = folder.text();
        let message = folder
            .keeper()
            .take_back(change)
            .expect_err("in the way")
            .message
            .to_string();
        assert_eq!(folder.text(), before);
        message
    };
    let said = refused(&first);
    for word in ["sprayer lance-1, holds", "950 ml", "900 ml", "Take back"] {
        assert!(said.contains(word), "{said}");
    }
    folder
        .keeper()
        .take_back(&second)
        .expect("the newer one first");
    folder
        .keeper()
        .take_back(&first)
        .expect("then the older one");
    pretty(&folder.text(), &demo());
    assert!(refused(&first).contains("820 ml"), "taken back already");

    // A new one that was changed since does not go without a word.
    let added = made(
        &folder,
        Edit::Add {
            place: Place::Vehicle("van".into()),
            keys: vec![("name", text("Van")), ("share", Value::Number(1.0))],
        },
    );
    let van = Place::Vehicle("van".into());
    made(&folder, set(van.clone(), "share", Value::Number(2.0)));
    assert!(refused(&added).contains("vehicle van was changed since this change added it"));
    made(&folder, Edit::Remove { place: van.clone() });
    assert!(refused(&added).contains("vehicle van was removed"));
    // One that went and was made anew.
    let gone = made(&folder, Edit::Remove { place: lance() });
    made(
        &folder,
        Edit::Add {
            place: lance(),
            keys: vec![
                ("name", text("New")),
                ("kind", text("direct sprayer")),
                ("holds", text("1 l")),
                ("nozzle", text("flat")),
            ],
        },
    );
    assert!(refused(&gone).contains("sprayer lance-1 was added since this change removed it"));
}

#[test]
fn taking_back_is_refused_where_the_set_up_would_be_wrong() {
    let folder = Folder::with(NASTY);
    let film = || Place::Chemical("film".into());
    // The band went, then another strength was set, outside of it.
    let band = made(
        &folder,
        Edit::Set {
            place: film(),
            key: "band",
            value: None,
        },
    );
    made(&folder, set(film(), "on_vehicle", text("9 %")));
    let before = folder.text();
    let message = folder
        .keeper()
        .take_back(&band)
        .expect_err("wrong")
        .message
        .to_string();
    assert!(
        message.starts_with("chemical film, band: 9 % is wanted"),
        "{message}"
    );
    assert_eq!(folder.text(), before);
}

#[test]
fn a_part_comes_back_with_its_comments_where_it_stood() {
    let folder = Folder::with(&demo());
    let place = |id: &str| Place::Chemical(id.into());
    let gone = made(
        &folder,
        Edit::Remove {
            place: place("wheel-acid"),
        },
    );
    made(&folder, set(place("shampoo"), "name", text("Shampoo")));
    folder.keeper().take_back(&gone).expect("taken back");
    let expected = demo().replacen("\"Bus shampoo\"", "\"Shampoo\"", 1);
    pretty(&folder.text(), &expected);
}
