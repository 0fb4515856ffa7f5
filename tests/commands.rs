//! The command line on the demonstration bay.

use fillcall::bay::records::{Happening, LeadAccess, Records};
use fillcall::store::records::SqliteRecords;
use fillcall::store::records_path;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn fillcall(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fillcall"))
        .args(args)
        .output()
        .expect("the program runs")
}

fn ok(args: &[&str]) -> String {
    let out = fillcall(args);
    assert!(
        out.status.success(),
        "{args:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).expect("text")
}

fn refused(args: &[&str]) -> String {
    let out = fillcall(args);
    assert_eq!(out.status.code(), Some(1), "{args:?}");
    String::from_utf8(out.stderr).expect("text")
}

fn history() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/history.toml")
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a plain path")
}

/// The demonstration bay in a folder that lives as long as the first value.
fn demo() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let bay = folder.path().join("bay");
    ok(&["restore", text(&bay), text(&history())]);
    (folder, bay)
}

#[test]
fn check_names_the_entry_that_is_not_as_it_was_kept_and_a_backup_does_not_pass_it_on() {
    let (folder, bay) = demo();
    assert!(ok(&["check", text(&bay)]).contains("The set-up is right."));
    let connection = rusqlite::Connection::open(bay.join("records.sqlite")).expect("records");
    let last = "(SELECT max(id) FROM calibrations WHERE sprayer = 'lance-1')";
    let entry: i64 = connection
        .query_row(&format!("SELECT {last}"), [], |row| row.get(0))
        .expect("number");
    let changed = format!("UPDATE calibrations SET catch_ml = catch_ml + 16 WHERE id = {last}");
    connection.execute_batch(&changed).expect("changed");
    drop(connection);
    let said = refused(&["check", text(&bay)]);
    for words in [
        &format!("Entry {entry} "),
        "not as it was kept",
        "Calibrate again",
        "It bears on lance-1",
        "fillcall restore",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let card = ok(&["card", text(&bay)]);
    let (_other, sound) = demo();
    assert_ne!(
        card,
        ok(&["card", text(&sound)]),
        "no dose of it on the card"
    );
    let file = folder.path().join("backup.toml");
    let said = refused(&["backup", text(&bay), text(&file)]);
    assert!(
        said.contains("would pass that on") && !file.exists(),
        "{said}"
    );
}

#[test]
fn check_names_records_that_vanished() {
    let (_folder, bay) = demo();
    std::fs::remove_file(bay.join("records.sqlite")).expect("deleted");
    for command in ["check", "card"] {
        let said = refused(&[command, text(&bay)]);
        assert!(
            said.contains("no new bay") && said.contains("restore"),
            "{said}"
        );
    }
}

#[test]
fn check_tells_every_mistake_and_ends_with_a_fault() {
    let (_folder, bay) = demo();
    let said = ok(&["check", text(&bay)]);
    assert!(
        said.contains("The set-up is right.") && said.contains("11 calibrations"),
        "{said}"
    );
    let file = bay.join("bay.toml");
    let right = std::fs::read_to_string(&file).expect("the set-up");
    let wrong = right
        .replace("holds = \"820 ml\"", "holds = \"820\"")
        .replace("bottle_ratio = \"1 + 10\"", "bottle_ratio = \"1:10\"")
        .replace(
            "day_chemical = \"traffic-film\"",
            "day_chemical = \"trafic-film\"",
        );
    std::fs::write(&file, &wrong).expect("written");
    let said = refused(&["check", text(&bay)]);
    assert!(said.contains("3 mistakes"), "{said}");
    for (key, line_with) in [
        ("sprayer[1].holds", "holds = \"820\""),
        ("bottle_ratio", "bottle_ratio = \"1:10\""),
        ("day_chemical", "day_chemical = \"trafic-film\""),
    ] {
        let line = wrong
            .lines()
            .position(|l| l.starts_with(line_with))
            .expect("the line")
            + 1;
        assert!(
            said.contains(&format!("line {line}, ")) && said.contains(key),
            "{key}: {said}"
        );
    }
    assert!(
        said.contains("two ways"),
        "the reason against a bare 1:10: {said}"
    );
    // A card of a bay with mistakes would be a card of made-up figures.
    assert!(refused(&["card", text(&bay)]).contains("3 mistakes"));
    // Where there is none, the way to one is told.
    let nowhere = refused(&["check", text(&bay.join("nowhere"))]);
    assert!(
        nowhere.contains("there is no ") && nowhere.contains("bay.toml"),
        "{nowhere}"
    );
    assert!(nowhere.contains("open an empty folder"), "{nowhere}");
    assert!(nowhere.contains("fillcall --bay FOLDER"), "{nowhere}");
}

#[test]
fn check_names_what_the_voice_that_speaks_cannot_say() {
    let (folder, bay) = demo();
    let file = bay.join("bay.toml");
    let right = std::fs::read_to_string(&file).expect("the set-up");
    let film = "chemical traffic-film: the voice has no word for ";
    let said = ok(&["check", text(&bay)]);
    assert!(!said.contains(film), "{said}");
    // A word of another language.
    let named = right.replace("name = \"Film remover\"", "name = \"Película\"");
    assert_ne!(named, right);
    std::fs::write(&file, named).expect("written");
    let said = ok(&["check", text(&bay)]);
    assert!(
        said.contains(&format!("{film}película; it says \"product\"")),
        "{said}"
    );
    let fill = ok(&speak(&bay, &folder.path().join("a.wav")));
    assert!(fill.contains("590 ml product,"), "{fill}");

    // That language was chosen at the wall: what counts is the voice that is heard there.
    let backup = folder.path().join("backup.toml");
    ok(&["backup", text(&bay), text(&backup)]);
    let saved = std::fs::read_to_string(&backup).expect("the backup");
    let chosen = saved.replacen("format = 1\n", "format = 1\nlanguage = \"es\"\n", 1);
    assert_ne!(chosen, saved);
    std::fs::write(&backup, chosen).expect("written");
    let spanish = folder.path().join("spanish");
    ok(&["restore", text(&spanish), text(&backup)]);
    let said = ok(&["check", text(&spanish)]);
    assert!(!said.contains(film), "{said}");
    let fill = ok(&speak(&spanish, &folder.path().join("b.wav")));
    assert!(fill.contains("590 ml Película, "), "{fill}");
}

fn speak<'a>(bay: &'a Path, out: &'a Path) -> [&'a str; 6] {
    [
        "speak",
        text(bay),
        "--sprayer",
        "lance-1",
        "--out",
        text(out),
    ]
}

/// Python's csv module reads the card and works every figure out again from the backup's readings
/// and the set-up's wishes, written down here a second time.
const SECOND_OPINION: &str = r#"
import csv, sys
d = {"lance-1": 820/14700, "lance-2": 1060/10300, "drum": 1200/20400, "wheel-sprayer": 1.0}
fill = {"lance-1": 820, "lance-2": 1060, "drum": 25000, "wheel-sprayer": 650}
want = {"traffic-film": 4.0, "heavy-film": 7.0, "wheel-acid": 2.0, "roof-bleach": 2.0}
neat = {"wheel-acid": 0.5}
rows = list(csv.DictReader(open(sys.argv[1], newline="")))
assert list(rows[0]) == ["sprayer", "chemical", "strength_percent", "fill_ml", "dose_ml", "pour_ml",
    "water_ml", "poured_strength_percent", "bottle_ratio", "reach_percent", "state", "band", "set",
    "set_up_strength_percent", "set_up_pour_ml", "order"], list(rows[0])
assert all((r["order"] == "water-first") == (r["chemical"] == "wheel-acid") for r in rows)
assert all(r["set"] == "" for r in rows)      # nobody set another strength in the demonstration bay
assert len(rows) == 20, len(rows)
states = {}
for r in rows:
    s, c = r["sprayer"], r["chemical"]
    k = neat.get(c, 1.0)
    p = want.get(c, 100 * d[s] / 11)          # shampoo: 1 + 10 in the bottle
    reach = 100 * d[s] * k
    assert abs(float(r["reach_percent"]) - reach) < 1e-3, r
    assert abs(float(r["strength_percent"]) - p) < 1e-3, r
    assert float(r["fill_ml"]) == fill[s], r
    states[s, c] = r["state"]
    if p > reach:
        assert r["dose_ml"] == r["pour_ml"] == "", r
        continue
    dose = p / reach * fill[s]
    assert abs(float(r["dose_ml"]) - dose) <= 0.0501, (r, dose)
    pour, water = float(r["pour_ml"]), float(r["water_ml"])
    assert abs(pour + water - fill[s]) < 1e-6, r
    assert abs(pour - dose) <= 5.0, r         # the coarsest measure has 10 ml lines
    assert abs(float(r["poured_strength_percent"]) - pour / fill[s] * reach) < 1e-3, r
    one, n = r["bottle_ratio"].split(" + ")
    assert one == "1" and abs(float(n) - water / pour) <= 0.06 * max(1, water / pour / 10), r
assert states["lance-1", "traffic-film"] == "good", states
assert states["lance-1", "heavy-film"] == "out-of-reach", states
assert states["lance-2", "heavy-film"] == "due", states
assert states["drum", "shampoo"] == "void", states
assert states["wheel-sprayer", "heavy-film"] == "good", states
"#;

#[test]
fn the_card_as_csv_stands_up_to_a_second_opinion() {
    let (folder, bay) = demo();
    let csv = folder.path().join("card.csv");
    std::fs::write(&csv, ok(&["card", text(&bay), "--format", "csv"])).expect("written");
    let out = Command::new("python3")
        .args(["-c", SECOND_OPINION, text(&csv)])
        .output()
        .expect("python3 is installed: kiosk-setup/test does it");
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
}

/// Counts the rows of a table of records as the summary of a backup does.
const COUNT_ROWS: &str = r#"
import csv, sys
rows = list(csv.DictReader(open(sys.argv[1], newline='', encoding='utf-8')))
assert all(None not in r and None not in r.values() for r in rows), "a row of another width"
print(sum(int(r["washes"]) for r in rows if r["what"] == "wash"))
for what in ["fill", "calibration"]:
    print(sum(r["what"] == what for r in rows))
for r in rows:
    if r["what"] == "fill":
        drawn = float(r["product_ml"]) + float(r["water_ml"])
        assert abs(drawn - float(r["fill_ml"])) < 0.01, r
"#;

#[test]
fn everything_that_happened_is_exported_as_a_table() {
    let (folder, bay) = demo();
    let csv = folder.path().join("all.csv");
    let said = ok(&["export", text(&bay), text(&csv)]);
    assert!(
        said.starts_with("Wrote ") && said.contains(" rows to "),
        "{said}"
    );
    let out = Command::new("python3")
        .args(["-c", COUNT_ROWS, text(&csv)])
        .output()
        .expect("python3 is installed: kiosk-setup/test does it");
    let wrong = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "{wrong}");
    let counts = String::from_utf8(out.stdout).expect("text");
    let counts: Vec<&str> = counts.lines().collect();
    let backup = folder.path().join("backup.toml");
    let summary = ok(&["backup", text(&bay), text(&backup)]);
    let [washes, fills, calibrations] = counts[..] else {
        panic!("{counts:?}");
    };
    for words in [
        format!("{washes} washes"),
        format!("{fills} fills"),
        format!("{calibrations} calibrations"),
    ] {
        assert!(summary.contains(&words), "{words}: {summary}");
    }
    let nowhere = folder.path().join("no/such/folder.csv");
    let said = refused(&["export", text(&bay), text(&nowhere)]);
    assert!(said.contains("folder.csv"), "{said}");
}

#[test]
fn the_card_for_people_shows_no_void_figure_as_good() {
    let (_folder, bay) = demo();
    let card = ok(&["card", text(&bay)]);
    assert!(card.contains("590 ml") && card.contains("DEMO"), "{card}");
    let drum = card.split("Drum injector").nth(1).expect("the drum");
    let drum = drum.split("Wheel sprayer").next().expect("its rows");
    assert!(
        drum.contains("VOID: do not use") && !drum.contains(" ml  "),
        "{drum}"
    );
    assert!(card.contains("safety data sheet"), "the cautions are on it");
    let html = ok(&["card", text(&bay), "--format", "html"]);
    for card in [&card, &html] {
        let beeps = "Film remover: 590 ml is 5 low, 9 high (5 + 4).";
        assert!(card.contains(beeps), "{card}");
    }
    assert!(
        html.starts_with("<!DOCTYPE html>") && html.contains("590 ml"),
        "{html}"
    );
    assert!(
        html.contains("<s>") && html.contains("VOID: do not use"),
        "{html}"
    );
}

#[test]
fn the_card_for_people_says_when_it_was_calibrated_and_what_labels_warn_of() {
    let (_folder, bay) = demo();
    let saved = std::fs::read_to_string(history()).expect("the history");
    // The newest calibration of the first lance.
    let of_lance = saved
        .split("[[calibration]]")
        .filter(|section| section.contains("sprayer = \"lance-1\""));
    let newest = of_lance.last().expect("one");
    let key = |key: &str| {
        let line = newest.lines().find(|line| line.starts_with(key));
        let value = line.and_then(|line| line.split_once(" = "));
        value.expect("a value").1.trim().to_owned()
    };
    let calibrated = format!(
        "calibrated {}, {} washes since",
        &key("taken").trim_matches('"')[..10],
        key("washes_since")
    );
    for format in ["text", "html"] {
        let card = ok(&["card", text(&bay), "--format", format]);
        assert!(card.contains(&calibrated), "{calibrated}: {card}");
        assert!(
            card.contains("Film remover: ")
                && card.contains("Do not let it dry on paint or glass."),
            "{card}"
        );
    }
}

#[test]
fn one_is_one_on_the_command_line() {
    let (folder, bay) = demo();
    let file = bay.join("bay.toml");
    let setup = std::fs::read_to_string(&file).expect("the set-up");
    let sprayers: Vec<_> = setup
        .match_indices("[[sprayer]]")
        .map(|(at, _)| at)
        .collect();
    let chemicals = setup.find("[[chemical]]").expect("chemicals");
    let second = setup[..sprayers[1]].rfind("\n\n").expect("a gap");
    let last = setup[..chemicals].rfind("\n\n").expect("a gap");
    let one = format!("{}{}", &setup[..second], &setup[last..]);
    let small = folder.path().join("small");
    std::fs::create_dir(&small).expect("a folder");
    std::fs::write(small.join("bay.toml"), one).expect("written");
    let said = ok(&["check", text(&small)]);
    assert!(said.contains(": 1 sprayer, "), "{said}");
    assert!(
        said.contains("Records: 0 washes, 0 fills, 0 calibrations."),
        "{said}"
    );
    let backup = folder.path().join("small.toml");
    let said = ok(&["backup", text(&small), text(&backup)]);
    assert!(said.contains(": 1 sprayer, "), "{said}");
}

#[test]
fn a_decimal_with_a_comma_is_told_what_is_meant() {
    let (folder, bay) = demo();
    let file = bay.join("bay.toml");
    let setup = std::fs::read_to_string(&file).expect("the set-up");
    let holds = setup
        .lines()
        .find(|line| line.starts_with("holds = "))
        .expect("one");
    let cost = setup
        .lines()
        .find(|line| line.starts_with("cost_per_litre"))
        .expect("one");
    std::fs::write(&file, setup.replacen(holds, "holds = \"0,8 l\"", 1)).expect("written");
    let said = refused(&["check", text(&bay)]);
    assert!(
        said.contains("\"0,8 l\" has a comma in its number; write 0.8 l"),
        "{said}"
    );
    std::fs::write(&file, setup.replacen(cost, "cost_per_litre = 3,20", 1)).expect("written");
    let said = refused(&["check", text(&bay)]);
    assert!(
        said.contains("\"3,20\" has a comma in its number; write 3.20"),
        "{said}"
    );
    let training = folder.path().join("training");
    let typed = fillcall(&["simulate", text(&training), "--seed", "7,5"]);
    let said = String::from_utf8(typed.stderr).expect("text");
    assert!(
        said.contains("has a comma in its number; write 7.5"),
        "{said}"
    );
    assert!(!training.exists());
}

#[test]
fn training_is_among_the_commands() {
    let help = ok(&["--help"]);
    assert!(
        help.contains("simulate") && help.contains("Train at the wall"),
        "{help}"
    );
}

/// What is set for a sprayer, the chemical as well as the strength, is what is spoken of it.
#[test]
fn speak_says_what_the_card_and_the_wall_have() {
    let (folder, bay) = demo();
    let file = folder.path().join("backup.toml");
    ok(&["backup", text(&bay), text(&file)]);
    let saved = std::fs::read_to_string(&file).expect("the backup");
    let made = saved
        .lines()
        .find_map(|line| line.strip_prefix("newest = "))
        .expect("a date");
    let set = format!(
        "[[day_setting]]\nat = {made}\nsprayer = \"lance-2\"\nchemical = \"traffic-film\"\n\
         strength_percent = 3.1\n"
    );
    std::fs::write(&file, saved + "\n" + &set).expect("written");
    let other = folder.path().join("other");
    ok(&["restore", text(&other), text(&file)]);
    let card = ok(&["card", text(&other), "--format", "csv"]);
    let row = card
        .lines()
        .find(|line| line.starts_with("lance-2,traffic-film,3.1,"));
    let pour = row
        .expect("the strength that was set")
        .split(',')
        .nth(5)
        .expect("a dose");
    let wav = folder.path().join("a.wav");
    for chemical in [&["--chemical", "traffic-film"][..], &[]] {
        let all = [
            &["speak", text(&other), "--sprayer", "lance-2"][..],
            chemical,
        ];
        // The second one replaces what the first one wrote, and has to say so.
        let out = ["--out", text(&wav), "--replace"];
        let said = ok(&[&all.concat()[..], &out].concat());
        assert!(said.contains(&format!(" {pour} ml ")), "{pour}: {said}");
    }
}

#[test]
fn a_backup_brings_the_same_bay_back() {
    let (folder, bay) = demo();
    let file = folder.path().join("backup.toml");
    ok(&["backup", text(&bay), text(&file)]);
    let again = folder.path().join("again");
    ok(&["restore", text(&again), text(&file)]);
    let card = |bay: &Path| ok(&["card", text(bay), "--format", "csv"]);
    assert_eq!(card(&bay), card(&again));
    let set_up = |bay: &Path| std::fs::read_to_string(bay.join("bay.toml")).expect("the set-up");
    assert_eq!(set_up(&bay), set_up(&again), "comments and all");

    // Not over a bay that is there, unless it is said so, and then it is kept aside.
    assert!(refused(&["restore", text(&again), text(&file)]).contains("--replace"));
    let said = ok(&["restore", text(&again), text(&file), "--replace"]);
    assert!(said.contains("kept in"), "{said}");

    // Refused whole if anything is wrong: the catch must be more than what was drawn.
    let wrong = std::fs::read_to_string(&file).expect("the backup");
    let wrong = wrong.replacen("catch_ml = 10300", "catch_ml = 900", 1);
    let broken = folder.path().join("broken.toml");
    std::fs::write(&broken, wrong).expect("written");
    let new = folder.path().join("new");
    assert!(refused(&["restore", text(&new), text(&broken)]).contains("catch_ml"));
    assert!(!new.join("bay.toml").exists() && !new.join("records.sqlite").exists());
}

#[test]
fn a_bay_that_is_not_set_up_yet_has_no_figures() {
    use fillcall::bay::setup::{Panel, Profile};
    use fillcall::store::setup_file::write_first;
    let folder = tempfile::tempdir().expect("a folder");
    let bay = folder.path().join("bay");
    let panel = Panel::usual(Profile::Seven1024);
    write_first(&bay, panel, fillcall::trade::language::Language::Spanish).expect("written");
    let said = ok(&["check", text(&bay)]);
    assert!(
        said.contains("not set up yet") && said.contains("setting_up"),
        "{said}"
    );
    let wav = folder.path().join("fill.wav");
    let speak = [
        "speak",
        text(&bay),
        "--sprayer",
        "sprayer-1",
        "--out",
        text(&wav),
    ];
    for refused in [refused(&["card", text(&bay)]), refused(&speak)] {
        assert!(refused.contains("not set up yet"), "{refused}");
    }
    assert!(!wav.exists());
}

#[test]
fn a_calibration_from_a_notebook_needs_nine_keys() {
    let folder = tempfile::tempdir().expect("a folder");
    let setup = Path::new(env!("CARGO_MANIFEST_DIR")).join("kiosk-setup/demo-bay/bay.toml");
    let setup = std::fs::read_to_string(setup).expect("the set-up");
    let file = folder.path().join("notebook.toml");
    let notebook = format!(
        "format = 1\nmade = \"2026-03-02T08:00:00Z\"\nsetup = '''\n{setup}'''\n\n[[calibration]]\n\
         sprayer = \"lance-2\"\nnozzle = \"1.05 mm\"\nwasher = \"Washer B\"\nholds_ml = 1060\n\
         drawn_ml = 1060\ncatch_ml = 10300\nseconds = 81.7\ntaken = \"2026-03-01T15:30:00Z\"\n\
         washes_since = 50\n"
    );
    std::fs::write(&file, notebook).expect("written");
    let bay = folder.path().join("bay");
    ok(&["restore", text(&bay), text(&file)]);
    let csv = ok(&["card", text(&bay), "--format", "csv"]);
    // 0.04 · 10 300 = 412 ml for 4 % in a 1060 ml bottle that catches 10.3 L.
    assert!(
        csv.contains("lance-2,traffic-film,4,1060,412.0,410,650,"),
        "{csv}"
    );
    assert!(
        csv.lines()
            .any(|l| l.starts_with("lance-2,traffic") && l.contains(",overdue,"))
    );
    assert!(
        csv.lines()
            .any(|l| l.starts_with("lance-1,traffic") && l.contains(",none,"))
    );
}

#[test]
fn speak_writes_what_it_would_say() {
    let (folder, bay) = demo();
    let wav = folder.path().join("fill.wav");
    let said = ok(&[
        "speak",
        text(&bay),
        "--sprayer",
        "lance-1",
        "--out",
        text(&wav),
    ]);
    assert_eq!(
        said.trim(),
        "Lance 1: 590 ml Film remover, then water to the line."
    );
    let bytes = std::fs::read(&wav).expect("the file");
    assert_eq!((&bytes[..4], &bytes[8..12]), (&b"RIFF"[..], &b"WAVE"[..]));
    assert!(bytes.len() > 22_050 * 2, "more than a second of it");
    let known = refused(&[
        "speak",
        text(&bay),
        "--sprayer",
        "lance-9",
        "--out",
        text(&wav),
    ]);
    assert!(known.contains("lance-1, lance-2"), "{known}");
}

#[test]
fn the_tour_visits_every_size_and_captions_what_it_shows() {
    let folder = tempfile::tempdir().expect("a folder");
    let tour = folder.path().join("tour");
    // Somebody's own bay may lie in that folder.
    std::fs::create_dir_all(tour.join("bay")).expect("a folder");
    std::fs::write(tour.join("bay/bay.toml"), "mine").expect("written");
    ok(&["tour", text(&tour)]);
    let page = std::fs::read_to_string(tour.join("tour.md")).expect("tour.md");
    let links: Vec<&str> = page
        .split("](")
        .skip(1)
        .filter_map(|l| l.split(')').next())
        .collect();
    assert!(links.len() > 3 * 20, "{} links", links.len());
    // The day around the fill and the shift lead's side are on it, each with what it is for.
    for stop in [
        "menu",
        "for-vehicles",
        "left-over",
        "mispoured",
        "help-on-it",
        "stock",
        "records",
        "landed",
        "take-away",
        "phone",
        "pin",
        "lead",
        "day-set",
        "edit-saved",
    ] {
        let shown = links
            .iter()
            .filter(|link| link.ends_with(&format!("-{stop}.png")));
        assert_eq!(shown.count(), 3, "{stop}");
    }
    // Nothing of it stays but pictures and sounds: what was changed was the tour's own bay.
    let mine = std::fs::read_to_string(tour.join("bay/bay.toml"));
    assert_eq!(mine.ok().as_deref(), Some("mine"));
    let hidden = |entry: std::fs::DirEntry| entry.file_name().to_string_lossy().starts_with('.');
    let mut entries = std::fs::read_dir(&tour).expect("the tour").flatten();
    assert!(!entries.any(hidden), "a bay of the tour is left");
    for link in &links {
        assert!(
            tour.join(link).is_file(),
            "{link} is captioned but not there"
        );
    }
    let pictures = |size: &str| {
        std::fs::read_dir(tour.join(size))
            .expect("pictures")
            .count()
    };
    let count = pictures("7in-800x480");
    assert!(count > 20 && count == pictures("7in-1024x600") && count == pictures("10in-1280x800"));
    assert!(links.iter().filter(|l| l.ends_with(".wav")).count() > 5);
}

#[test]
fn a_clock_behind_the_newest_record_is_told() {
    let (_folder, bay) = demo();
    let args = ["clock", "--bay", text(&bay)];
    assert!(ok(&args).ends_with(": good.\n"), "{}", ok(&args));
    let path = records_path(&bay);
    let ahead = "2199-05-04T12:00:00+00:00".parse().expect("a date");
    let keep = |happening: &Happening| {
        let mut records = SqliteRecords::open(&path).expect("records");
        records.keep(ahead, happening).expect("kept");
    };
    keep(&Happening::Lead(LeadAccess::Refused));
    let said = refused(&args);
    for words in ["2199-05-04T12:00:00", "page Clock", "--lift"] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn help_names_every_command() {
    let help = ok(&["--help"]);
    for word in [
        "check",
        "card",
        "backup",
        "restore",
        "export",
        "speak",
        "tour",
        "--windowed",
        "--profile",
    ] {
        assert!(help.contains(word), "{word}: {help}");
    }
    assert!(
        !help.contains("sound-output"),
        "an inner part is not for people"
    );
}

#[test]
fn the_readmes_bay_is_right() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(readme).expect("README.md");
    let bay: String = readme
        .lines()
        .skip_while(|line| !line.starts_with("    name = "))
        .take_while(|line| line.starts_with("    ") || line.is_empty())
        .map(|line| format!("{}\n", line.trim_start()))
        .collect();
    assert!(bay.contains("[[measure]]"), "{bay}");
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("bay.toml"), bay).expect("written");
    assert!(ok(&["check", text(folder.path())]).contains("The set-up is right."));
}

#[test]
fn training_is_named_and_never_done_in_a_real_bay() {
    assert!(ok(&["--help"]).contains("simulate"));
    let (_folder, bay) = demo();
    let files = || {
        let mut names: Vec<_> = std::fs::read_dir(&bay)
            .expect("the bay")
            .map(|entry| entry.expect("a file").file_name())
            .collect();
        names.sort();
        names
    };
    let before = files();
    let out = fillcall(&["simulate", text(&bay)]);
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(!out.status.success(), "{said}");
    assert!(
        said.contains("no training bay") && said.contains("empty folder"),
        "{said}"
    );
    assert_eq!(files(), before);
}

/// Runs the program and lets it have so much time: what waits on a pipe never ends.
fn in_time(args: &[&str]) -> Output {
    let out = Command::new("timeout")
        .args(["60", env!("CARGO_BIN_EXE_fillcall")])
        .args(args)
        .output()
        .expect("timeout is there");
    assert_ne!(out.status.code(), Some(124), "{args:?} never ends");
    out
}

#[test]
fn no_command_writes_over_what_is_the_bays_or_anybodys() {
    let (folder, bay) = demo();
    let at = |name: &str| folder.path().join(name);
    std::fs::write(bay.join("lead-pin"), "a hash").expect("written");
    std::fs::write(bay.join("training.toml"), "seed = 3").expect("written");
    std::os::unix::fs::symlink(bay.join("bay.toml"), at("link.toml")).expect("a link");
    std::os::unix::fs::symlink(bay.join("records.sqlite"), at("link.csv")).expect("a link");
    std::fs::hard_link(bay.join("lead-pin"), at("hard")).expect("a second name");
    std::fs::create_dir(at("other")).expect("a folder");
    std::fs::copy(bay.join("bay.toml"), at("other/bay.toml")).expect("another bay");
    std::os::unix::fs::symlink(&bay, at("way")).expect("a link to the folder");
    std::fs::write(at("diary.txt"), "dear diary").expect("written");
    std::os::unix::fs::symlink(at("diary.txt"), at("diary-link.txt")).expect("a link");
    let own = [
        bay.join("bay.toml"),
        bay.join("records.sqlite"),
        bay.join("records.sqlite-wal"),
        bay.join("lead-pin"),
        bay.join("training.toml"),
        bay.join("wall.lock"),
        bay.join("../bay/bay.toml"),
        at("way/records.sqlite"),
        at("link.toml"),
        at("link.csv"),
        at("hard"),
        at("other/bay.toml"),
        at("other/records.sqlite"),
    ];
    let state = || -> Vec<Option<Vec<u8>>> {
        let diary = [at("diary.txt")];
        own.iter()
            .chain(&diary)
            .map(|path| std::fs::read(path).ok())
            .collect()
    };
    let before = state();
    let speak = ["--sprayer", "lance-1", "--out"];
    let commands = |file: &str| -> [Vec<String>; 3] {
        let bay = text(&bay).to_owned();
        let speak = speak.map(str::to_owned);
        [
            vec!["export".into(), bay.clone(), file.into()],
            vec!["backup".into(), bay.clone(), file.into()],
            [vec!["speak".into(), bay], speak.to_vec(), vec![file.into()]].concat(),
        ]
    };
    for file in &own {
        for command in commands(text(file)) {
            for more in [&[][..], &["--replace"]] {
                let args: Vec<&str> = command
                    .iter()
                    .map(String::as_str)
                    .chain(more.iter().copied())
                    .collect();
                let said = refused(&args);
                assert!(
                    said.contains("a bay's own file") && said.contains("another name"),
                    "{args:?}: {said}"
                );
            }
        }
    }
    for command in commands(text(&at("diary.txt"))) {
        let args: Vec<&str> = command.iter().map(String::as_str).collect();
        let said = refused(&args);
        assert!(
            said.contains("diary.txt is there already") && said.contains("--replace"),
            "{said}"
        );
    }
    // A link is not followed, whoever it leads to.
    for command in commands(text(&at("diary-link.txt"))) {
        let mut args: Vec<&str> = command.iter().map(String::as_str).collect();
        args.push("--replace");
        assert!(refused(&args).contains("a link"), "{args:?}");
    }
    assert_eq!(state(), before);
    // What is not there is written, and with the word for it what is.
    for (place, command) in commands(text(&at("new.txt"))).iter().enumerate() {
        let mut args: Vec<&str> = command.iter().map(String::as_str).collect();
        if place > 0 {
            refused(&args);
            args.push("--replace");
        }
        ok(&args);
    }
    let names = std::fs::read_dir(folder.path())
        .expect("the folder")
        .flatten();
    let mut names = names.map(|entry| entry.file_name().to_string_lossy().into_owned());
    assert!(names.all(|name| !name.ends_with(".part")));
}

#[test]
fn a_link_or_a_pipe_in_the_place_of_a_file_is_refused_by_its_name() {
    let (folder, good) = demo();
    let backup = history();
    let put = |path: &Path, what: &str| {
        let _ = std::fs::remove_file(path);
        match what {
            "a link" => std::os::unix::fs::symlink(&backup, path).expect("a link"),
            "a pipe" => {
                let made = Command::new("mkfifo").arg(path).status();
                assert!(made.expect("mkfifo is there").success());
            }
            _ => drop(std::os::unix::net::UnixListener::bind(path).expect("a socket")),
        }
    };
    let mut count = 0;
    for what in ["a link", "a pipe", "a socket"] {
        let is_told = |done: &Output, name: &str| {
            let said = String::from_utf8_lossy(&done.stderr);
            assert_eq!(done.status.code(), Some(1), "{name}, {what}: {said}");
            let (name, what) = (format!("/{name}"), format!("is {what} and no file"));
            assert!(said.contains(&name) && said.contains(&what), "{said}");
        };
        for name in ["bay.toml", "records.sqlite", "records.sqlite-wal"] {
            count += 1;
            let bay = folder.path().join(format!("bay-{count}"));
            std::fs::create_dir(&bay).expect("a folder");
            for file in ["bay.toml", "records.sqlite"] {
                std::fs::copy(good.join(file), bay.join(file)).expect("copied");
            }
            put(&bay.join(name), what);
            let out = folder.path().join("out");
            for args in [
                vec!["check", text(&bay)],
                vec!["card", text(&bay)],
                vec!["export", text(&bay), text(&out)],
                vec!["backup", text(&bay), text(&out)],
            ] {
                is_told(&in_time(&args), name);
                assert!(!out.exists());
            }
        }
        let file = folder.path().join("brought.toml");
        put(&file, what);
        let new = folder.path().join("new");
        is_told(
            &in_time(&["restore", text(&new), text(&file)]),
            "brought.toml",
        );
        assert!(!new.exists());
    }
}

#[test]
fn check_tells_clips_without_a_word_in_them() {
    use fillcall::sound::wav;
    let (_folder, bay) = demo();
    let voice = bay.join("voice");
    std::fs::create_dir(&voice).expect("a folder");
    std::fs::write(
        voice.join("voice.toml"),
        "language = \"en\"\nname = \"Ours\"\nnumbers = \"english\"\n",
    )
    .expect("written");
    let setup = std::fs::read_to_string(bay.join("bay.toml")).expect("the set-up");
    let setup = setup.replacen("[sound]\n", "[sound]\nvoice_folder = \"voice\"\n", 1);
    std::fs::write(bay.join("bay.toml"), setup).expect("written");
    let clip = |name: &str, samples: &[i16]| {
        std::fs::write(voice.join(name), wav::file(samples)).expect("written");
    };
    let tone = |count: usize| -> Vec<i16> {
        (0..count)
            .map(|n| if n / 25 % 2 == 0 { 6000 } else { -6000 })
            .collect()
    };
    clip("one.wav", &[7000]);
    clip("two.wav", &[5000; 9000]);
    let mut click = vec![0; 9000];
    click[4000] = 9000;
    clip("three.wav", &click);
    clip("four.wav", &tone(600));
    clip("five.wav", &tone(9000));
    let made = Command::new("mkfifo").arg(voice.join("six.wav")).status();
    assert!(made.expect("mkfifo is there").success());
    let out = in_time(&["check", text(&bay)]);
    let said = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(1), "{said}");
    for part in [
        "one.wav: it is silent",
        "two.wav: it is silent",
        "three.wav: it is silent",
        "four.wav: it is no word",
        "six.wav: it cannot be read: it is no file",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("five.wav"), "{said}");
}
