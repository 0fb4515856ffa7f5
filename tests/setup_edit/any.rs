//! Any edits in any order on any of the texts.

use super::{Folder, pretty, set, text, texts};
use fillcall::bay::ports::SetupKeeper;
use fillcall::bay::setup::Setup;
use fillcall::bay::setup_change::{Edit, Place, Value};
use fillcall::store::setup_file::read_bay;
use proptest::prelude::*;
use proptest::sample::Index;

/// The comments of a text in order, found by going through it letter by letter.
fn comments(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(next) = rest.find(['#', '"', '\'']) {
        rest = &rest[next..];
        if rest.starts_with('#') {
            let end = rest.find('\n').unwrap_or(rest.len());
            found.push(rest[..end].trim_end().to_owned());
            rest = &rest[end..];
            continue;
        }
        let quote = &rest[..1];
        let long = quote.repeat(3);
        let (ends_with, begins) = match rest.starts_with(&long) {
            true => (long.as_str(), 3),
            false => (quote, 1),
        };
        let mut at = begins;
        while !rest[at..].starts_with(ends_with) {
            let escaped = quote == "\"" && rest[at..].starts_with('\\');
            let letters = rest[at..].chars().take(if escaped { 2 } else { 1 });
            at += letters.map(char::len_utf8).sum::<usize>();
        }
        rest = &rest[at + ends_with.len()..];
    }
    found
}

#[test]
fn comments_are_told_from_what_looks_like_one() {
    let text = "# a\nb = \"# no \\\" # no\" # c\r\nd = '# no' \ne = \"\"\"\n# no\n\"\"\" # f";
    assert_eq!(comments(text), ["# a", "# c", "# f"]);
}

/// What an edit is about, before it is known which parts there are.
#[derive(Debug, Clone)]
enum Wish {
    Name(String),
    Holds(u32),
    Strength(u8),
    Cautions(Vec<String>),
    Hazards(Vec<Index>),
    Cost(Option<f64>),
    Container(Option<u32>),
    Share(f64),
    Minutes(i64),
    Volume(i64),
    Units(Option<Index>),
    Balance(Option<u8>),
    AddSprayer,
    AddChemical,
    AddMeasure,
    AddVehicle,
    RemoveSprayer,
    RemoveChemical,
    RemoveMeasure,
    RemoveVehicle,
}

fn wish() -> impl Strategy<Value = (Index, Wish)> {
    let words = "[a-zäñ#\"'\\\\ =\\[\\]№🧽]{0,12}x";
    let wish = prop_oneof![
        words.prop_map(Wish::Name),
        (50u32..5000).prop_map(Wish::Holds),
        (1u8..9).prop_map(Wish::Strength),
        prop::collection::vec(words, 1..5).prop_map(Wish::Cautions),
        prop::collection::vec(any::<Index>(), 0..4).prop_map(Wish::Hazards),
        prop::option::of(0.0..100.0).prop_map(Wish::Cost),
        prop::option::of(1u32..200).prop_map(Wish::Container),
        (0.05..20.0).prop_map(Wish::Share),
        (1i64..61).prop_map(Wish::Minutes),
        (0i64..102).prop_map(Wish::Volume),
        prop::option::of(any::<Index>()).prop_map(Wish::Units),
        prop::option::of(1u8..100).prop_map(Wish::Balance),
        Just(Wish::AddSprayer),
        Just(Wish::AddChemical),
        Just(Wish::AddMeasure),
        Just(Wish::AddVehicle),
        Just(Wish::RemoveSprayer),
        Just(Wish::RemoveChemical),
        Just(Wish::RemoveMeasure),
        Just(Wish::RemoveVehicle),
    ];
    (any::<Index>(), wish)
}

/// The wish as edits of this set-up; none where it has nothing of the kind.
fn edit(setup: &Setup, which: Index, wish: Wish, new: usize) -> Option<Edit> {
    let sprayer = || Place::Sprayer(which.get(&setup.sprayers).id.clone());
    let chemical = || Place::Chemical(which.get(&setup.chemicals).id.clone());
    let measure = || Place::Measure(which.get(&setup.measures).id.clone());
    let vehicle = || {
        let vehicles = &setup.vehicles;
        (!vehicles.is_empty()).then(|| Place::Vehicle(which.get(vehicles).id.clone()))
    };
    let or_none = |place, key, value| Edit::Set { place, key, value };
    let id = format!("new-{new}");
    let name = || ("name", text(&format!("New {new}")));
    Some(match wish {
        Wish::Name(name) => match which.index(4) {
            0 => set(Place::Bay, "name", Value::Text(name)),
            1 => set(sprayer(), "name", Value::Text(name)),
            2 => set(chemical(), "name", Value::Text(name)),
            _ => set(measure(), "name", Value::Text(name)),
        },
        Wish::Holds(ml) => set(sprayer(), "holds", text(&format!("{ml} ml"))),
        Wish::Strength(percent) => set(chemical(), "on_vehicle", text(&format!("{percent} %"))),
        Wish::Cautions(list) => set(chemical(), "cautions", Value::List(list)),
        Wish::Hazards(list) => {
            use fillcall::trade::hazard::Hazard;
            let mut codes: Vec<String> = list
                .iter()
                .map(|i| i.get(&Hazard::ALL).code().into())
                .collect();
            codes.sort();
            codes.dedup();
            set(chemical(), "hazards", Value::List(codes))
        }
        Wish::Cost(cost) => or_none(chemical(), "cost_per_litre", cost.map(Value::Number)),
        Wish::Container(litres) => {
            let value = litres.map(|l| text(&format!("{l} l")));
            or_none(chemical(), "delivered_in", value)
        }
        Wish::Share(share) => set(vehicle()?, "share", Value::Number(share)),
        Wish::Minutes(n) => set(Place::Section("lead"), "minutes", Value::Whole(n)),
        Wish::Volume(n) => set(Place::Section("sound"), "volume_percent", Value::Whole(n)),
        Wish::Units(units) => {
            let word = units.map(|i| text(["metric", "US", "UK"][i.index(3)]));
            or_none(Place::Bay, "units", word)
        }
        Wish::Balance(Some(g)) => set(Place::Section("balance"), "step", text(&format!("{g} g"))),
        Wish::Balance(None) => Edit::Remove {
            place: Place::Section("balance"),
        },
        Wish::AddSprayer => Edit::Add {
            place: Place::Sprayer(id),
            keys: vec![
                name(),
                ("kind", text("foam lance")),
                ("holds", text("820 ml")),
                ("nozzle", text("1.05 mm")),
                ("washer", text("A")),
            ],
        },
        Wish::AddChemical => Edit::Add {
            place: Place::Chemical(id),
            keys: vec![
                name(),
                ("on_vehicle", text("4 %")),
                ("hazards", Value::List(vec!["H314".into()])),
            ],
        },
        Wish::AddMeasure => Edit::Add {
            place: Place::Measure(id),
            keys: vec![name(), ("size", text("1 l")), ("graduation", text("10 ml"))],
        },
        Wish::AddVehicle => Edit::Add {
            place: Place::Vehicle(id),
            keys: vec![name(), ("share", Value::Number(1.5))],
        },
        Wish::RemoveSprayer => Edit::Remove { place: sprayer() },
        Wish::RemoveChemical => Edit::Remove { place: chemical() },
        Wish::RemoveMeasure => Edit::Remove { place: measure() },
        Wish::RemoveVehicle => Edit::Remove { place: vehicle()? },
    })
}

fn value(value: &Value) -> toml::Value {
    match value {
        Value::Text(text) => text.as_str().into(),
        Value::Whole(n) => (*n).into(),
        // A whole one is written without decimals.
        Value::Number(n) if n.fract() == 0.0 => (*n as i64).into(),
        Value::Number(n) => (*n).into(),
        Value::Flag(flag) => (*flag).into(),
        Value::List(list) => list.clone().into(),
    }
}

/// What the edit makes of the file's content, by another reader than the program's own.
fn expected(content: &mut toml::Table, edit: &Edit) {
    fn of<'t>(content: &'t mut toml::Table, kind: &str) -> &'t mut Vec<toml::Value> {
        let list = content
            .entry(kind)
            .or_insert_with(|| toml::Value::Array(Vec::new()));
        list.as_array_mut().expect("a list")
    }
    let is = |part: &toml::Value, id: &str| part["id"].as_str() == Some(id);
    match edit {
        Edit::Set {
            place,
            key,
            value: wanted,
        } => {
            let part = match (place.kind(), place.id()) {
                (Some(kind), Some(id)) => of(content, kind)
                    .iter_mut()
                    .find(|part| is(part, id))
                    .and_then(toml::Value::as_table_mut)
                    .expect("a part"),
                (Some(name), None) => content
                    .entry(name)
                    .or_insert_with(|| toml::Table::new().into())
                    .as_table_mut()
                    .expect("a section"),
                (None, _) => content,
            };
            match wanted {
                // 3 and 3.0 are the same value, and stay as they stand.
                Some(Value::Number(n))
                    if part
                        .get(*key)
                        .and_then(toml::Value::as_integer)
                        .map(|i| i as f64)
                        == Some(*n) => {}
                Some(wanted) => {
                    part.insert((*key).into(), value(wanted));
                }
                None => {
                    part.remove(*key);
                }
            }
        }
        Edit::Add { place, keys } => {
            let mut part = toml::Table::new();
            part.insert("id".into(), place.id().expect("an id").into());
            part.extend(
                keys.iter()
                    .map(|(key, wanted)| ((*key).into(), value(wanted))),
            );
            of(content, place.kind().expect("a kind")).push(part.into());
        }
        Edit::Remove { place } => {
            let kind = place.kind().expect("a kind");
            let Some(id) = place.id() else {
                content.remove(kind);
                return;
            };
            of(content, kind).retain(|part| !is(part, id));
            if of(content, kind).is_empty() {
                content.remove(kind);
            }
            if kind == "chemical" {
                for other in of(content, kind) {
                    if let Some(list) = other.get_mut("never_with") {
                        list.as_array_mut()
                            .expect("ids")
                            .retain(|v| v.as_str() != Some(id));
                    }
                }
            }
        }
    }
}

/// True where `some` are among `all`, in the same order.
fn are_among(some: &[String], all: &[String]) -> bool {
    let mut rest = all.iter();
    some.iter().all(|one| rest.any(|other| other == one))
}

/// True where all of `part` stands in `whole`, in the same order.
fn is_within(part: &str, whole: &str) -> bool {
    let mut rest = whole.chars();
    part.chars().all(|one| rest.any(|other| other == one))
}

/// Where a value stands, told by another reader than the program's own.
fn span_of(text: &str, place: &Place, key: &str) -> Option<std::ops::Range<usize>> {
    use toml_edit::{Document, Item, TableLike};
    let document = Document::parse(text).expect("TOML");
    let is = |part: &dyn TableLike, id: &str| part.get("id").and_then(Item::as_str) == Some(id);
    let item = match (place.kind(), place.id()) {
        (Some(kind), Some(id)) => match document.get(kind)? {
            Item::ArrayOfTables(all) => all.iter().find(|part| is(*part, id))?.get(key)?,
            item => {
                let mut all = item.as_array()?.iter().filter_map(|v| v.as_inline_table());
                let part = all.find(|part| is(*part, id))?;
                return part.get(key)?.span();
            }
        },
        (Some(name), None) => document.get(name)?.as_table_like()?.get(key)?,
        (None, _) => document.get(key)?,
    };
    item.span()
}

fn table(text: &str) -> toml::Table {
    text.trim_start_matches('\u{feff}')
        .parse()
        .unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// Makes the edit, and holds what comes of it against what was there.
fn make(folder: &Folder, edit: &Edit) -> Option<fillcall::bay::setup_change::SetupChange> {
    let before = folder.text();
    let Ok((_, change)) = folder.change(std::slice::from_ref(edit)) else {
        return None;
    };
    let mut content = table(&before);
    expected(&mut content, edit);
    assert_eq!(table(&change.text), content, "{edit:?}\n{}", change.text);
    let (old, new) = (comments(&before), comments(&change.text));
    match edit {
        Edit::Remove { .. } => assert!(are_among(&new, &old), "{edit:?}: {new:#?}"),
        _ => assert_eq!(new, old, "{edit:?}\n{}", change.text),
    }
    if change.text == before {
        return Some(change);
    }
    // Of what was there nothing but the value itself went.
    let all_but = |range: std::ops::Range<usize>| {
        change.text.starts_with(&before[..range.start])
            && change.text.ends_with(&before[range.end..])
    };
    let is_kept = match edit {
        Edit::Add { .. } => is_within(&before, &change.text),
        Edit::Set { place, key, value } => match (span_of(&before, place, key), value) {
            (None, _) => is_within(&before, &change.text),
            (Some(span), Some(_)) => all_but(span),
            (Some(span), None) => {
                let start = before[..span.start].rfind('\n').map_or(0, |end| end + 1);
                let rest = before[span.end..].find('\n');
                all_but(start..rest.map_or(before.len(), |end| span.end + end + 1))
            }
        },
        Edit::Remove { .. } => is_within(&change.text, &before),
    };
    assert!(is_kept, "{edit:?}\n{}", change.text);
    assert_eq!(change.text.contains('\r'), before.contains('\r'));
    if before.contains('\r') {
        let bare = change.text.replace("\r\n", "");
        assert!(!bare.contains(['\r', '\n']), "{edit:?}");
    }
    Some(change)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 128,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn each_edit_changes_what_it_is_about_and_nothing_else(
        which in any::<Index>(),
        wishes in prop::collection::vec(wish(), 1..8),
    ) {
        let all = texts();
        let before = &which.get(&all).1;
        let folder = Folder::with(before);
        let mut changes = Vec::new();
        for (new, (part, wish)) in wishes.into_iter().enumerate() {
            let setup = read_bay(folder.dir()).expect("a set-up");
            let edit = edit(&setup, part, wish, new);
            changes.extend(edit.and_then(|edit| make(&folder, &edit)));
        }
        for change in changes.iter().rev() {
            folder.keeper().take_back(change).expect("taken back");
            pretty(&folder.text(), &change.text_before);
        }
        pretty(&folder.text(), before);
    }
}
