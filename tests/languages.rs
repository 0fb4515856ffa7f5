//! The languages of the screens: every text has a translation, and every text that is shown uses it.

mod common;

use common::walk::{self, Seen};
use fillcall::bay::setup::Profile;
use fillcall::screens::generated::{SoundView, WallState};
use fillcall::trade::hazard::Hazard;
use fillcall::trade::language::Language;
use i_slint_backend_testing::ElementQuery;
use slint::ComponentHandle;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// An entry of a list of translations.
struct Entry {
    files: BTreeSet<String>,
    english: String,
    other: String,
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The entries of a `.po` file, without its head.
fn entries(path: &Path) -> Vec<Entry> {
    let list = std::fs::read_to_string(path).expect("the list of translations");
    let mut all = Vec::new();
    for block in list.split("\n\n") {
        let mut entry = Entry {
            files: BTreeSet::new(),
            english: String::new(),
            other: String::new(),
        };
        let mut in_other = false;
        for line in block.lines() {
            let quoted = if let Some(files) = line.strip_prefix("#: ") {
                entry.files = files.split(' ').map(str::to_owned).collect();
                continue;
            } else if line.starts_with('#') {
                continue;
            } else if let Some(rest) = line.strip_prefix("msgid ") {
                rest
            } else if let Some(rest) = line.strip_prefix("msgstr ") {
                in_other = true;
                rest
            } else {
                line
            };
            let words = literals(quoted).pop().map_or(String::new(), |l| l.words);
            match in_other {
                true => entry.other.push_str(&words),
                false => entry.english.push_str(&words),
            }
        }
        if !entry.english.is_empty() {
            all.push(entry);
        }
    }
    all
}

/// A string in a source file, and the code before it.
struct Literal {
    words: String,
    before: String,
}

/// Every string of a Rust or Slint source, comments left out.
fn literals(source: &str) -> Vec<Literal> {
    let (mut found, mut before) = (Vec::new(), String::new());
    let mut letters = source.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '/' if letters.peek() == Some(&'/') => {
                for skipped in letters.by_ref() {
                    if skipped == '\n' {
                        break;
                    }
                }
            }
            // A sign in quotation marks; else it is a lifetime.
            '\'' => {
                let ahead: Vec<char> = letters.clone().take(3).collect();
                let length = match ahead.as_slice() {
                    ['\\', _, '\''] => 3,
                    [_, '\'', ..] => 2,
                    _ => 0,
                };
                letters.by_ref().take(length).for_each(drop);
            }
            '"' => {
                let mut words = String::new();
                while let Some(letter) = letters.next() {
                    match letter {
                        '"' => break,
                        '\\' => match letters.next() {
                            Some('n') => words.push('\n'),
                            // The line goes on below, at its first word.
                            Some('\n') => while letters.next_if(|l| l.is_whitespace()).is_some() {},
                            Some(other) => words.push(other),
                            None => {}
                        },
                        letter => words.push(letter),
                    }
                }
                found.push(Literal {
                    words,
                    before: before.trim_end().to_owned(),
                });
                before.clear();
            }
            letter => before.push(letter),
        }
    }
    found
}

fn files_under(folder: &str, extension: &str) -> Vec<PathBuf> {
    let (mut folders, mut files) = (vec![root().join(folder)], Vec::new());
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("the folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == extension) {
                files.push(path);
            }
        }
    }
    files
}

/// What makes a text of a string that stands right behind it.
const MAKERS: [&str; 8] = [
    "@tr(",
    "tr!(",
    "text!(",
    "Text::from(",
    "refuse(",
    "notify(",
    "not_kept(",
    "put_up(",
];

fn makes_text(before: &str) -> bool {
    MAKERS.iter().any(|maker| {
        let rest = before.strip_suffix(maker);
        // The name of another macro may end alike.
        rest.is_some_and(|rest| !rest.ends_with(|c: char| c.is_alphanumeric()))
    })
}

/// Every text to translate with the files that it stands in, and every other string of the sources.
fn texts_of_the_program() -> (BTreeMap<String, BTreeSet<String>>, BTreeSet<String>) {
    let (mut texts, mut others) = (BTreeMap::<_, BTreeSet<String>>::new(), BTreeSet::new());
    let mut files = files_under("ui", "slint");
    for folder in [
        "src/bay",
        "src/trade",
        "src/screens",
        "src/training",
        "src/store",
        "src/doctor",
    ] {
        files.extend(files_under(folder, "rs"));
    }
    assert!(files.len() > 60, "{} files", files.len());
    for file in files {
        let source = std::fs::read_to_string(&file).expect("the source");
        // Tests have texts of their own.
        let source = source.split("#[cfg(test)]").next().unwrap_or_default();
        let name = file.strip_prefix(root()).expect("inside").display();
        for literal in literals(source) {
            let letters = literal.words.chars().any(char::is_alphabetic);
            if letters && makes_text(&literal.before) {
                texts
                    .entry(literal.words)
                    .or_default()
                    .insert(name.to_string());
            } else {
                others.insert(literal.words);
            }
        }
    }
    (texts, others)
}

/// The parts that a pattern puts in, by their numbers; `None` where a place is no place.
fn places(pattern: &str) -> Option<Vec<usize>> {
    let mut next = 0;
    let mut places = Vec::new();
    for piece in pattern.split('{').skip(1) {
        let (name, _) = piece.split_once('}')?;
        places.push(match name {
            "" => {
                next += 1;
                next - 1
            }
            name => name.parse().ok()?,
        });
    }
    places.sort_unstable();
    Some(places)
}

#[test]
fn every_text_has_a_translation_and_no_translation_is_stale() {
    let (texts, others) = texts_of_the_program();
    assert!(texts.len() > 300, "{} texts found", texts.len());
    for language in Language::ALL
        .into_iter()
        .filter(|l| *l != Language::English)
    {
        let code = language.code();
        let list = root().join(format!("ui/lang/{code}/LC_MESSAGES/fillcall-ui.po"));
        let mut known = BTreeSet::new();
        let mut faults = Vec::new();
        for entry in entries(&list) {
            let Entry {
                files,
                english,
                other,
            } = entry;
            if !known.insert(english.clone()) {
                faults.push(format!("twice: {english:?}"));
            }
            if other.is_empty() {
                faults.push(format!("without a translation: {english:?}"));
            }
            if places(&english).is_none() || places(&english) != places(&other) {
                faults.push(format!("other places: {english:?} and {other:?}"));
            }
            if english.matches('\n').count() != other.matches('\n').count() {
                faults.push(format!("other lines: {english:?} and {other:?}"));
            }
            match texts.get(&english) {
                Some(found) if !found.is_subset(&files) => {
                    faults.push(format!("{english:?} stands in {found:?}, not in {files:?}"));
                }
                None if !others.contains(&english) => {
                    faults.push(format!("nowhere in the program: {english:?}"));
                }
                _ => {}
            }
        }
        faults.extend(
            texts
                .keys()
                .filter(|text| !known.contains(*text))
                .map(|text| format!("not in {code}: {text:?}")),
        );
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    }
}

/// What is the same in every language: names of the bay and of what people plug in, units, signs.
const SAME: [&str; 48] = [
    "Bleach wash",
    "Rim acid",
    "Pump 2",
    "Soap",
    // Keys to the other letters, and letters.
    "ABC",
    "áéñ",
    "SS",
    "Lance 1",
    "Lance 2",
    "Drum injector",
    "Pump sprayer",
    "Film remover",
    "Wheel cleaner",
    "Degreaser",
    "Washer A",
    "60 ml syringe",
    "250 ml cylinder",
    "1 litre jug",
    "4 oz cup",
    "pint jug",
    "quart jug",
    "gallon pail",
    "Causes serious eye damage.",
    // Where things are in an emergency, as the bay says it.
    "Gate 7, then the ambulance: 112",
    "Left of the door, by the drums of bay 2",
    "left of the door",
    "fl oz",
    "L/min",
    "ml",
    "kg",
    "mm",
    "min",
    "EUR",
    "gal",
    "DEMO",
    "English",
    "Español",
    "USB audio",
    "Built-in audio",
    "analogue output",
    "speaker",
    "HDMI 0",
    "°C",
    "bay.toml",
    "USB stick",
    "GB",
    "sdb1",
    "sdc1",
];

/// Short words that no Spanish text has.
const ENGLISH: [&str; 24] = [
    "the", "of", "and", "with", "is", "to", "not", "by", "for", "in", "on", "it", "what", "run",
    "runs", "full", "water", "after", "before", "from", "this", "be", "at", "that",
];

/// The words of a text without the names and units in it; single letters are units or signs.
fn own_words(text: &str, names: &[String]) -> Vec<String> {
    let mut rest = text.replace('\u{a0}', " ");
    for name in names {
        rest = rest.replace(name.as_str(), " ");
    }
    rest.split(|c: char| !c.is_alphabetic())
        .filter(|word| word.chars().count() > 1)
        .map(str::to_lowercase)
        .collect()
}

/// Every text that is on the screen, and every name that a screen reader would say.
fn texts_on(seen: &Seen<'_>) -> BTreeSet<String> {
    let wall = seen.window.off.screen().wall();
    // What is said is in the words of the voice, whatever is shown around it.
    let state = wall.global::<WallState>();
    let mut spoken = vec![wall.global::<SoundView>().get_said()];
    if state.get_notice_is_caption() {
        spoken.push(state.get_notice());
    }
    let mut texts = BTreeSet::new();
    for part in ["Line", "Para", "Press", "Container"] {
        for element in ElementQuery::from_root(wall)
            .match_inherits(part)
            .find_all()
        {
            let label = element.accessible_label().unwrap_or_default();
            if !spoken.contains(&label) {
                texts.insert(label.into());
            }
        }
    }
    texts
}

#[test]
fn every_text_that_is_shown_is_translated() {
    let mut names: Vec<String> = SAME.map(str::to_owned).to_vec();
    // The demonstration bay's own names and cautions.
    let demo = root().join("kiosk-setup/demo-bay");
    let demo = fillcall::store::setup_file::read_bay(&demo).expect("the demonstration bay");
    names.extend(
        demo.sprayers
            .iter()
            .flat_map(|s| [s.name.clone(), s.nozzle.clone(), s.washer.clone()]),
    );
    names.extend(Profile::ALL.map(|profile| profile.name().to_owned()));
    names.push(demo.name.clone());
    names.extend(demo.sprayers.iter().map(|s| s.spoken.clone()));
    names.extend(Hazard::ALL.iter().map(|hazard| hazard.code().to_owned()));
    names.extend(demo.measures.iter().map(|m| m.name.clone()));
    names.extend(demo.vehicles.iter().map(|v| v.name.clone()));
    for chemical in &demo.chemicals {
        names.push(chemical.name.clone());
        names.extend(chemical.cautions.iter().cloned());
    }
    names.retain(|name| !name.is_empty());
    // The longest first: a name may stand within another.
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));

    let (mut faults, mut texts) = (BTreeSet::new(), 0);
    walk::every_screen(Profile::Seven800, &mut |seen: Seen<'_>| {
        // The store's words for the lead, about a file that is in English.
        // What the set-up file has is shown as it has it, and so is what is being typed.
        let as_in_the_file = ["edit-changes", "edit-caution"].contains(&seen.name);
        if seen.name.starts_with("fault") || as_in_the_file {
            return;
        }
        let english = texts_on(&seen);
        seen.in_language(Language::Spanish, || {
            for text in texts_on(&seen) {
                let words = own_words(&text, &names);
                texts += 1;
                let same = !words.is_empty() && english.contains(&text);
                let left = words.iter().any(|w| ENGLISH.contains(&w.as_str()));
                if same || left {
                    faults.insert(format!("{text:?}, on {}", seen.name));
                }
            }
        });
    });
    assert!(texts > 1000, "{texts} texts seen");
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn sources_are_read_as_a_compiler_reads_them() {
    let source =
        "a(\"one\", 'x', '\"', '\\'', &'a str) // \"no\"\ntr!(\n  \"two \\\n   three\\n\")";
    let found = literals(source);
    let words: Vec<_> = found.iter().map(|l| l.words.as_str()).collect();
    assert_eq!(words, ["one", "two three\n"]);
    assert!(found[1].before.ends_with("tr!("));
    assert_eq!(places("{} de {}"), Some(vec![0, 1]));
    assert_eq!(places("{1} de {0}"), Some(vec![0, 1]));
    assert_eq!(places("{one}"), None);
}
