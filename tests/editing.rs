//! Changing the set-up at the screen: every kind of edit pressed through the real window, and read
//! back from the real file.

mod common;
#[path = "editing/guards.rs"]
mod guards;
#[path = "editing/reopened.rs"]
mod reopened;
#[path = "editing/told.rs"]
mod told;

use common::keeper::Desk;
use fillcall::bay::action::{Action, Page, TextKey};
use fillcall::bay::editing::{EditAction, SaveWord, Scene, Shape};
use fillcall::bay::ports::Tone;
use fillcall::bay::records::{CalibrationRecord, Happening, Milestone, SprayerPast};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::bay::setup_change::SetupChange;
use fillcall::screens::generated::EditingView;
use fillcall::store::setup_file::read;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::{Standing, VoidCause};
use fillcall::trade::units::Volume;
use i_slint_backend_testing::ElementQuery;
use slint::ComponentHandle;
use slint::platform::Key;
use std::time::Duration;

const DEMO: &str = include_str!("../kiosk-setup/demo-bay/bay.toml");
const PANEL: Panel = Panel::usual(Profile::Seven800);

/// How a field is entered, once it is opened.
enum Enter {
    /// With the letters, in place of what is there.
    Write(&'static str),
    /// On the number pad.
    Number(&'static str),
    /// The unit changed before.
    OtherUnit(&'static str, &'static str),
    /// Tiles, and then Save.
    Tiles(&'static [&'static str]),
    /// The tile is the answer.
    Tile(&'static str),
    /// A line more, with the letters.
    Line(&'static str),
    /// On the number pad, one after another.
    Two([&'static str; 2]),
    Three([&'static str; 3]),
    LeaveOut,
}
use Enter::{LeaveOut, Line, Number, OtherUnit, Three, Tile, Tiles, Two, Write};

fn number(desk: &Desk, digits: &str) {
    for digit in digits.chars() {
        match digit {
            '.' => desk.window.press(&["Decimal point"]),
            digit => desk.window.press(&[&digit.to_string()]),
        }
    }
}

/// The comments of a file, in order.
fn comments(text: &str) -> Vec<&str> {
    text.lines()
        .filter_map(|line| Some(&line[line.find('#')?..]))
        .collect()
}

/// The demonstration bay with keys and a section of somebody's own, in every kind of part.
fn with_own_keys() -> String {
    const OWN: &str = "x_bought = \"in spring\" # by us\n";
    let mut text = DEMO.to_owned();
    for before in [
        "language = \"en\"",
        "voice = \"speech\"",
        "overdue_washes = 50",
        "warn_days = 5",
        "minutes = 5",
        "limit = \"5 %\"",
        "step = \"10 g\"",
        "name = \"Lance 1\"",
        "name = \"Film remover\"",
        "name = \"Bus shampoo\"",
        "name = \"1 litre jug\"",
        "name = \"Articulated\"",
    ] {
        assert_eq!(text.matches(before).count(), 1, "{before}");
        text = text.replacen(before, &format!("{OWN}{before}"), 1);
    }
    text + "\n# Whom we call.\n[x_service]\nx_call = \"after eight\"\n"
}

/// The lines of the keys that are somebody's own, in order.
fn own_keys(text: &str) -> Vec<&str> {
    let own = |line: &&str| line.starts_with("x_") || line.starts_with("[x_");
    text.lines().filter(own).collect()
}

/// The fields of what is shown, on all its pages.
fn fields(desk: &Desk) -> Vec<String> {
    let screen = desk.window.off.screen();
    let scene = || screen.with_bay(|bay| bay.edit_scene()).expect("a bay");
    let mut names = Vec::new();
    for _ in 0..scene().pages {
        let tiles = scene().tiles.into_iter().filter(|tile| !tile.hold);
        names.extend(tiles.map(|tile| tile.name.to_string()));
        if scene().pages > 1 {
            desk.window.press(&["More"]);
        }
    }
    assert!(names.len() > 1, "{names:?}");
    names
}

fn back_to_the_kinds(desk: &Desk) {
    while !desk.window.labels().iter().any(|l| l == "Vehicles") {
        match page(desk) {
            Page::Panel => desk.window.act([Action::Show(Page::Edit)]),
            _ => desk.window.press(&["Back"]),
        }
    }
}

/// The tile on the page of the panel.
const GLASS: &str = "When the glass dims";

/// The page on which a path begins.
fn begins(path: &[&str]) -> Page {
    match path {
        [GLASS] => Page::Panel,
        _ => Page::Edit,
    }
}

fn clear(desk: &Desk) {
    desk.window
        .act((0..45).map(|_| Action::Type(TextKey::Back)));
}

fn close(desk: &Desk) {
    desk.window.act((0..3).map(|_| Action::CloseNotice));
}

fn notice(desk: &Desk) -> String {
    let bay = |bay: &fillcall::bay::at_work::Bay| bay.notice().map(|n| n.text.to_string());
    desk.window
        .off
        .screen()
        .with_bay(bay)
        .flatten()
        .unwrap_or_default()
}

fn page(desk: &Desk) -> Page {
    desk.window
        .off
        .screen()
        .with_bay(|bay| bay.page())
        .expect("a bay")
}

/// The changes that were kept, oldest first.
fn changes(desk: &Desk) -> Vec<SetupChange> {
    let kept = desk.window.around.records.0.borrow();
    let of = kept.happenings.iter().filter_map(|(_, what)| match what {
        Happening::SetupChanged(change) => Some(change.clone()),
        _ => None,
    });
    of.collect()
}

/// From the first page of editing.
fn go(desk: &Desk, path: &[&str]) {
    for label in path {
        // Behind More, where it is not in sight.
        for _ in 0..8 {
            if desk.window.labels().iter().any(|l| l == label) {
                break;
            }
            desk.window.press(&["More"]);
        }
        desk.window.press(&[label]);
    }
}

fn enter(desk: &Desk, how: &Enter) {
    let w = &desk.window;
    match how {
        Write(text) => {
            if w.labels().iter().any(|l| l == "Another") {
                w.press(&["Another"]);
            }
            clear(desk);
            w.act(text.chars().map(|c| Action::Type(TextKey::Sign(c))));
            w.press(&[if text.is_empty() { "None" } else { "Save" }]);
        }
        Number(digits) => {
            number(desk, digits);
            w.press(&["Save"]);
        }
        OtherUnit(unit, digits) => {
            w.press(&[&format!("Unit: {unit}")]);
            number(desk, digits);
            w.press(&["Save"]);
        }
        Tiles(tiles) => {
            go(desk, tiles);
            w.press(&["Save"]);
        }
        Tile(tile) => go(desk, &[tile]),
        Line(text) => {
            w.press(&["Add a line"]);
            w.act(text.chars().map(|c| Action::Type(TextKey::Sign(c))));
            w.press(&["Done", "Save"]);
        }
        Two(numbers) => {
            for digits in numbers {
                number(desk, digits);
                w.press(&["Save"]);
            }
        }
        Three(numbers) => {
            for (digits, on) in numbers.iter().zip(["Save", "Next", "Save"]) {
                number(desk, digits);
                w.press(&[on]);
            }
        }
        LeaveOut => w.press(&["Leave it out"]),
    }
}

#[test]
fn every_field_is_changed_in_the_file_and_taken_back() {
    let lance = &["Sprayers", "Lance 1"][..];
    let film = &["Chemicals", "Film remover"][..];
    let jug = &["Measures", "1 litre jug"][..];
    let bus = &["Vehicles", "Articulated"][..];
    let (bay, limits) = (&["Bay"][..], &["Limits"][..]);
    let glass = &[GLASS][..];
    let cases: [(&[&str], &str, Enter, &str, &str); 61] = [
        (
            film,
            "Cautions",
            Line("Wet floor"),
            "chemical traffic-film cautions",
            "[\"Alkaline: gloves and eye protection\", \"Do not let it dry on paint or glass\", \"Never mix with acid or any other product\", \"Wet floor\"]",
        ),
        (
            bay,
            "Quiet from",
            Three(["2200", "0600", "20"]),
            "sound quiet_from",
            "\"22:00\"",
        ),
        (
            bay,
            "Quiet until",
            Three(["0600", "2200", "20"]),
            "sound quiet_to",
            "\"06:00\"",
        ),
        (
            bay,
            "Loudness then",
            Three(["20", "2200", "0600"]),
            "sound quiet_volume_percent",
            "20",
        ),
        (
            bay,
            "Name",
            Write("Tram depot"),
            "bay name",
            "\"Tram depot\"",
        ),
        (
            bay,
            "The day's chemical",
            Tile("Heavy film"),
            "bay day_chemical",
            "\"heavy-film\"",
        ),
        (
            bay,
            "Operators may change it",
            Tile("No"),
            "bay operators_may_change_chemical",
            "false",
        ),
        (
            bay,
            "Units",
            Tile("US ounces, gallons"),
            "bay units",
            "\"US\"",
        ),
        (bay, "Currency", Write("£"), "bay currency", "\"£\""),
        (bay, "Currency", Write(""), "bay currency", ""),
        (
            bay,
            "Balance, its step",
            Number("5"),
            "balance step",
            "\"5 g\"",
        ),
        (bay, "Voice", Tile("Beeps"), "sound voice", "\"beeps\""),
        (bay, "Loudness", Number("60"), "sound volume_percent", "60"),
        (
            lance,
            "Name",
            Write("Lance 7"),
            "sprayer lance-1 name",
            "\"Lance 7\"",
        ),
        (
            lance,
            "Spoken name",
            Write("lance 7"),
            "sprayer lance-1 spoken",
            "\"lance 7\"",
        ),
        (
            lance,
            "Kind",
            Tile("Drum injector"),
            "sprayer lance-1 kind",
            "\"drum injector\"",
        ),
        (
            lance,
            "Holds",
            Number("980"),
            "sprayer lance-1 holds",
            "\"980 ml\"",
        ),
        (
            lance,
            "Holds",
            OtherUnit("L", "1.2"),
            "sprayer lance-1 holds",
            "\"1.2 l\"",
        ),
        (
            lance,
            "Nozzle",
            Tile("1.05 mm"),
            "sprayer lance-1 nozzle",
            "\"1.05 mm\"",
        ),
        (
            lance,
            "Nozzle",
            Write("1.3 mm"),
            "sprayer lance-1 nozzle",
            "\"1.3 mm\"",
        ),
        (
            lance,
            "Washer",
            Tile("Washer B"),
            "sprayer lance-1 washer",
            "\"Washer B\"",
        ),
        (
            lance,
            "Dial",
            Write("tip 4"),
            "sprayer lance-1 dial",
            "\"tip 4\"",
        ),
        (
            film,
            "Name",
            Write("Film off"),
            "chemical traffic-film name",
            "\"Film off\"",
        ),
        (
            film,
            "Strength",
            Number("4.5"),
            "chemical traffic-film on_vehicle",
            "\"4.5 %\"",
        ),
        (
            film,
            "Weakest allowed",
            Number("2"),
            "chemical traffic-film band",
            "[\"2 %\", \"5 %\"]",
        ),
        (
            film,
            "Strongest allowed",
            Number("6"),
            "chemical traffic-film band",
            "[\"3 %\", \"6 %\"]",
        ),
        (
            film,
            "Strongest allowed",
            LeaveOut,
            "chemical traffic-film band",
            "",
        ),
        (
            film,
            "Hazards",
            Tiles(&["H315", "EUH031"]),
            "chemical traffic-film hazards",
            "[\"H318\", \"EUH031\"]",
        ),
        (
            film,
            "What it is",
            Tile("Acid"),
            "chemical traffic-film nature",
            "\"acid\"",
        ),
        (
            film,
            "Order of pouring",
            Tile("Water first"),
            "chemical traffic-film order",
            "\"water-first\"",
        ),
        (
            &["Chemicals", "Wheel cleaner"],
            "Order of pouring",
            Tile("As usual: acids into water"),
            "chemical wheel-acid order",
            "",
        ),
        (
            film,
            "Protection",
            Tiles(&["Goggles", "Apron"]),
            "chemical traffic-film protection",
            "[\"goggles\", \"apron\"]",
        ),
        (
            bay,
            "Eye wash",
            Write("Behind bay 1"),
            "emergency eye_wash",
            "\"Behind bay 1\"",
        ),
        (bay, "Data sheets", Write(""), "emergency data_sheets", ""),
        (
            bay,
            "Telephone",
            Write("Gate 7"),
            "emergency telephone",
            "\"Gate 7\"",
        ),
        (
            film,
            "Never with",
            Tiles(&["Roof cleaner"]),
            "chemical traffic-film never_with",
            "[\"roof-bleach\"]",
        ),
        (
            film,
            "Spray a vehicle",
            Number("5"),
            "chemical traffic-film spray_per_vehicle",
            "\"5 l\"",
        ),
        (
            film,
            "Spray a vehicle",
            LeaveOut,
            "chemical traffic-film spray_per_vehicle",
            "",
        ),
        (
            film,
            "Cost a litre",
            Number("3.85"),
            "chemical traffic-film cost_per_litre",
            "3.85",
        ),
        (
            film,
            "Delivered in",
            Number("25"),
            "chemical traffic-film delivered_in",
            "\"25 l\"",
        ),
        (
            film,
            "As delivered",
            Number("50"),
            "chemical traffic-film product_strength",
            "\"50 %\"",
        ),
        (jug, "Name", Write("Jug"), "measure jug-1l name", "\"Jug\""),
        (jug, "Size", Number("2"), "measure jug-1l size", "\"2 l\""),
        (
            jug,
            "From line to line",
            Number("20"),
            "measure jug-1l graduation",
            "\"20 ml\"",
        ),
        (
            bus,
            "Name",
            Write("Long bus"),
            "vehicle articulated name",
            "\"Long bus\"",
        ),
        (
            bus,
            "Spray it takes",
            Number("1.75"),
            "vehicle articulated share",
            "1.75",
        ),
        (limits, "Due after", Number("45"), "reminder washes", "45"),
        (
            limits,
            "Overdue after",
            Number("60"),
            "reminder overdue_washes",
            "60",
        ),
        (
            limits,
            "Overdue after",
            LeaveOut,
            "reminder overdue_washes",
            "",
        ),
        (
            limits,
            "Due after days",
            Number("30"),
            "reminder days",
            "30",
        ),
        (
            limits,
            "Put off for",
            Number("3"),
            "reminder put_off_washes",
            "3",
        ),
        (
            limits,
            "Put off how often",
            Number("0"),
            "reminder put_off_times",
            "0",
        ),
        (
            limits,
            "Timed check: limit",
            Number("12"),
            "check limit",
            "\"12 %\"",
        ),
        (
            limits,
            "Stock: warn before",
            Number("8"),
            "stock warn_days",
            "8",
        ),
        (
            limits,
            "Shift lead: closes after",
            Number("9"),
            "lead minutes",
            "9",
        ),
        (glass, "Dims after", Number("25"), "glass dim_minutes", "25"),
        (glass, "Dimmed to", Number("75"), "glass dim_percent", "75"),
        (
            glass,
            "Dark from",
            Two(["2100", "0500"]),
            "glass night_from",
            "\"21:00\"",
        ),
        (
            glass,
            "Dark until",
            Two(["0500", "2100"]),
            "glass night_to",
            "\"05:00\"",
        ),
        (
            &["Chemicals", "Bus shampoo"],
            "Strength",
            Number("12"),
            "chemical shampoo bottle_ratio",
            "\"1 + 12\"",
        ),
        (
            &["Chemicals", "Bus shampoo"],
            "Spray a vehicle",
            OtherUnit("ml", "800"),
            "chemical shampoo spray_per_vehicle",
            "\"800 ml\"",
        ),
    ];
    let demo = &with_own_keys();
    let desk = Desk::of(demo, PANEL);
    desk.lead(Page::Edit);
    // No field is left out that can be seen on the screens.
    for path in [bay, limits, lance, film, jug, bus, glass] {
        desk.window.act([Action::Show(begins(path))]);
        go(&desk, path);
        for field in fields(&desk) {
            let tried = cases
                .iter()
                .any(|(of, name, ..)| *of == path && *name == field);
            assert!(tried, "{path:?} {field}");
        }
        back_to_the_kinds(&desk);
    }
    for (path, field, how, place_and_key, after) in &cases {
        let what = format!("{path:?} {field} {after}");
        desk.window.act([Action::Show(begins(path))]);
        go(&desk, path);
        go(&desk, &[field]);
        enter(&desk, how);
        let change = changes(&desk)
            .pop()
            .unwrap_or_else(|| panic!("{what}: {}", notice(&desk)));
        let key = change
            .keys
            .iter()
            .find(|k| format!("{} {}", k.place, k.key) == *place_and_key)
            .unwrap_or_else(|| panic!("{what}: {:?}, {}", change.keys, notice(&desk)));
        assert_eq!(key.after.as_deref().unwrap_or_default(), *after, "{what}");
        let text = desk.text();
        assert_eq!(text, change.text, "{what}");
        assert_eq!(comments(&text).len(), comments(demo).len(), "{what}");
        assert_eq!(own_keys(&text), own_keys(demo), "{what}");
        let setup = read(&text).unwrap_or_else(|f| panic!("{what}: {f:?}"));
        let bay = desk.window.off.screen().with_bay(|bay| bay.setup().clone());
        assert_eq!(bay, Some(setup), "{what}");
        desk.window.press(&["Undo"]);
        assert_eq!(desk.text(), *demo, "{what}: {}", notice(&desk));
        close(&desk);
        back_to_the_kinds(&desk);
    }
    // Each of them, and each way back.
    assert_eq!(changes(&desk).len(), 2 * cases.len());
}

#[test]
fn things_are_added_with_all_that_they_need_and_removed() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Sprayers", "Add"]);
    // The first letter is a capital by itself.
    desk.write("Lan");
    w.press(&["n", "Erase"]);
    desk.write("ce");
    w.press(&["Space", "Digits and signs", "3", "Next", "Foam lance"]);
    number(&desk, "960");
    w.press(&["Next", "1.35 mm", "Washer B"]);
    assert_eq!(notice(&desk), "Lance 3 is added");
    let setup = read(&desk.text()).expect("right");
    let new = setup.sprayer("lance-3").expect("the new sprayer");
    assert_eq!(
        (new.name.as_str(), new.washer.as_str()),
        ("Lance 3", "Washer B")
    );
    assert_eq!(new.holds, Volume::ml(960.0));
    // And out again.
    close(&desk);
    go(&desk, &["Name", "Back", "More"]);
    w.hold("Remove");
    assert_eq!(notice(&desk), "Lance 3 is removed");
    assert_eq!(desk.text(), DEMO);
    close(&desk);

    // A direct sprayer has no washer.
    w.press(&["Add"]);
    w.press(&["F", "o", "g", "Next", "Direct sprayer"]);
    number(&desk, "2000");
    w.press(&["Next", "Another"]);
    desk.write("Fan");
    w.press(&["Save"]);
    let setup = read(&desk.text()).expect("right");
    assert_eq!(
        setup.sprayer("fog").map(|s| s.washer.clone()),
        Some(String::new())
    );
    // Made a lance, it is asked for one.
    close(&desk);
    w.press(&["Kind", "Foam lance", "Washer A"]);
    let setup = read(&desk.text()).expect("right");
    assert_eq!(
        setup.sprayer("fog").map(|s| s.washer.clone()),
        Some("Washer A".into())
    );
    // And back.
    close(&desk);
    w.press(&["Kind", "Direct sprayer"]);
    assert!(setup.sprayer("fog").is_some());
    assert!(
        read(&desk.text())
            .expect("right")
            .sprayer("fog")
            .is_some_and(|s| s.kind.is_direct())
    );

    close(&desk);
    w.press(&["Back", "Back", "Chemicals", "Add"]);
    desk.write("Wax");
    w.press(&["Next", "Unit: 1 + …"]);
    number(&desk, "40");
    w.press(&[
        "Next",
        "More",
        "None of these",
        "More",
        "More",
        "H319",
        "Next",
        "Add a line",
    ]);
    desk.write("Gloves");
    w.press(&["Done", "Add a line"]);
    desk.write("Goggles");
    w.press(&["Done", "Save"]);
    assert_eq!(notice(&desk), "Wax is added");
    let setup = read(&desk.text()).expect("right");
    let wax = setup.chemical("wax").expect("the new chemical");
    assert_eq!(wax.cautions, ["Gloves", "Goggles"]);
    // It has no band: both ends are asked for.
    close(&desk);
    w.press(&["Weakest allowed"]);
    number(&desk, "1");
    w.press(&["Save"]);
    number(&desk, "2");
    w.press(&["Save"]);
    let setup = read(&desk.text()).expect("right");
    let band = setup.chemical("wax").and_then(|c| c.band).expect("a band");
    assert_eq!(
        (band.least.shown(), band.most.shown()),
        ("1 %".into(), "2 %".into())
    );

    close(&desk);
    w.press(&["Back", "Back", "Measures", "Add"]);
    desk.write("Cup");
    w.press(&["Next"]);
    number(&desk, "200");
    w.press(&["Next"]);
    number(&desk, "20");
    w.press(&["Save"]);
    close(&desk);
    w.press(&["Back", "Back", "Vehicles", "Add"]);
    desk.write("Van");
    w.press(&["Next"]);
    number(&desk, "0.4");
    w.press(&["Save"]);
    let setup = read(&desk.text()).expect("right");
    assert_eq!(
        setup.vehicles.last().map(|v| (v.id.as_str(), v.share)),
        Some(("van", 0.4))
    );
    assert!(
        setup
            .measures
            .iter()
            .any(|m| m.id == "cup" && m.graduation == Volume::ml(20.0))
    );
    assert_eq!(comments(&desk.text()), comments(DEMO));

    // Quiet hours are three in one.
    close(&desk);
    w.press(&["Back", "Back", "Bay"]);
    go(&desk, &["Quiet from"]);
    for (digits, on, more) in [
        ("2200", "Save", true),
        ("0600", "Next", true),
        ("20", "Save", false),
    ] {
        number(&desk, digits);
        w.press(&[on]);
        assert_eq!(notice(&desk).is_empty(), more, "{}", notice(&desk));
    }
    let quiet = read(&desk.text())
        .expect("right")
        .quiet
        .expect("quiet hours");
    assert_eq!(
        (quiet.from.to_string(), quiet.volume_percent),
        ("22:00:00".into(), 20)
    );
    close(&desk);
    go(&desk, &["Quiet until", "Leave it out"]);
    assert_eq!(read(&desk.text()).expect("right").quiet, None);
    close(&desk);
    go(&desk, &["Balance, its step", "Leave it out"]);
    assert_eq!(read(&desk.text()).expect("right").balance_step_kg, None);
}

#[test]
fn what_cannot_be_is_refused_and_says_what_would_be_right() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    let cases: [(&[&str], Enter, &str); 16] = [
        (
            &["Chemicals", "Film remover", "Strength"],
            Number("6"),
            "6 % is outside of 3 % to 5 %: change what is allowed first.",
        ),
        (
            &["Chemicals", "Film remover", "Weakest allowed"],
            Number("4.5"),
            "4 % is wanted, which is outside of 4.5 % to 5 %: change the strength first.",
        ),
        (
            &["Chemicals", "Film remover", "Strongest allowed"],
            Number("3"),
            "3 % is not weaker than 3 %.",
        ),
        (
            &["Chemicals", "Film remover", "As delivered"],
            Number("3"),
            "4 % is wanted on the vehicle, which is more than 3 %: no dose reaches it.",
        ),
        (
            &["Chemicals", "Film remover", "Strength"],
            Number("0"),
            "A strength is above 0 % and at most 100 %.",
        ),
        (
            &["Chemicals", "Film remover", "Name"],
            Write("bus shampoo"),
            "Another one is called bus shampoo: give it a name of its own.",
        ),
        (
            &["Sprayers", "Lance 1", "Holds"],
            Number("40"),
            "40 ml cannot be: it is from 50 ml to 1200 L.",
        ),
        (
            &["Measures", "60 ml syringe", "From line to line"],
            Number("61"),
            "61 ml from line to line is more than all of 60 ml.",
        ),
        (
            &["Measures", "1 litre jug", "Size"],
            OtherUnit("ml", "5"),
            "10 ml from line to line is more than all of 5 ml.",
        ),
        (
            &["Vehicles", "Minibus", "Spray it takes"],
            Number("21"),
            "It is from 0.05 to 20.",
        ),
        (
            &["Limits", "Due after"],
            Number("1.5"),
            "It is a whole number from 1 to 100000.",
        ),
        (
            &["Limits", "Overdue after"],
            Number("40"),
            "It is due after 40: overdue is more than that.",
        ),
        (
            &["Limits", "Timed check: limit"],
            Number("100"),
            "It is below 100 %.",
        ),
        (
            &["Bay", "Quiet from"],
            Number("2460"),
            "Four digits: 0630 is half past six in the morning.",
        ),
        (
            &["Bay", "Balance, its step"],
            Number("6000"),
            "It is from 0.01 g to 5000 g.",
        ),
        // What only the file's own reader sees is told by it.
        (&["Limits", "Due after"], Number("50"), "overdue"),
    ];
    for (path, how, why) in &cases {
        desk.window.act([Action::Show(Page::Edit)]);
        go(&desk, path);
        desk.window.around.ears.take();
        enter(&desk, how);
        let heard = desk.window.around.ears.take();
        assert!(notice(&desk).contains(why), "{path:?}: {}", notice(&desk));
        assert!(
            heard.contains(&common::Heard::Tone(Tone::Refused)),
            "{path:?}"
        );
        close(&desk);
        back_to_the_kinds(&desk);
    }
    // The last one, and the day's chemical, are not removed.
    go(&desk, &["Chemicals", "Film remover", "More", "More"]);
    w.hold("Remove");
    assert_eq!(
        notice(&desk),
        "It is the day's chemical: set another one for that first."
    );
    close(&desk);
    w.press(&["Back", "Back", "Measures"]);
    for measure in ["60 ml syringe", "250 ml cylinder"] {
        w.press(&[measure]);
        w.hold("Remove");
        close(&desk);
    }
    w.press(&["1 litre jug"]);
    w.hold("Remove");
    assert_eq!(
        notice(&desk),
        "A bay needs a measure: add another one first."
    );
    assert_eq!(changes(&desk).len(), 2);
}

#[test]
fn a_refused_number_gives_way_to_the_next_digit() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Sprayers", "Lance 1", "Holds", "4", "0", "Save"]);
    assert!(
        notice(&desk).contains("40 ml cannot be"),
        "{}",
        notice(&desk)
    );
    close(&desk);
    w.press(&["9", "8", "5", "Save"]);
    assert!(
        desk.text().contains("holds = \"985 ml\""),
        "{}",
        desk.text()
    );
}

#[test]
fn what_is_half_typed_stays_until_another_field_is_opened() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Sprayers", "Lance 1", "Holds", "9", "8"]);
    // Left, and even left open for so long that the screen goes home.
    w.press(&["Back", "Back", "Back"]);
    w.act([Action::Show(Page::Fill)]);
    w.around.clock.go_on(Duration::from_secs(70));
    w.act([Action::Tick, Action::Show(Page::Edit)]);
    w.press(&["Sprayers", "Lance 1", "Holds", "5", "Save"]);
    assert!(
        desk.text().contains("holds = \"985 ml\""),
        "{}",
        notice(&desk)
    );
    close(&desk);
    w.press(&["Holds", "7", "Back", "Kind", "Back", "Holds"]);
    number(&desk, "990");
    w.press(&["Save"]);
    assert!(desk.text().contains("holds = \"990 ml\""));
}

#[test]
fn letters_of_a_keyboard_are_typed() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Bay", "Name"]);
    clear(&desk);
    // Twice the same at once, and signs that do other things elsewhere.
    for key in ["N", "o", "r", "t", "t", "x", " ", "+", "/", "-", "*", "1"] {
        w.off.key(key);
    }
    w.off.key(Key::Backspace);
    w.off.key("ñ");
    w.off.key(Key::UpArrow);
    w.off.key(Key::Return);
    assert!(desk.text().contains("name = \"Nortt"), "{}", notice(&desk));
    let name = read(&desk.text()).expect("right").name;
    assert_eq!(name, "Norttx +/-*ñ");
    close(&desk);
    go(&desk, &["Loudness"]);
    w.off.key("7");
    w.off.key("5");
    w.off.key(Key::Return);
    assert_eq!(read(&desk.text()).expect("right").volume_percent, 75);
}

#[test]
fn a_change_that_cannot_be_kept_is_not_made() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Sprayers", "Lance 1", "Nozzle"]);
    w.around.records.0.borrow_mut().fails = true;
    w.press(&["1.05 mm"]);
    assert!(
        notice(&desk).starts_with("The set-up was not changed"),
        "{}",
        notice(&desk)
    );
    assert_eq!(desk.text(), DEMO);
    let nozzle = |bay: &fillcall::bay::at_work::Bay| bay.setup().sprayers[0].nozzle.clone();
    assert_eq!(w.off.screen().with_bay(nozzle).as_deref(), Some("1.35 mm"));
}

#[test]
fn changes_are_listed_newest_first_and_taken_back() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Limits", "Due after"]);
    number(&desk, "45");
    w.press(&["Save"]);
    close(&desk);
    go(&desk, &["Put off for"]);
    number(&desk, "3");
    w.press(&["Save"]);
    close(&desk);
    w.act([Action::Show(Page::Changes)]);
    w.hold("Take back change 2");
    assert_eq!(notice(&desk), "That change is taken back");
    assert!(desk.text().contains("washes = 40") && desk.text().contains("put_off_washes = 3"));
    close(&desk);
    // It is the newest now, and can be taken back itself.
    w.hold("Take back change 1");
    assert!(desk.text().contains("washes = 45"));
    close(&desk);
    // One that was changed again since is refused, with what is in the way.
    w.press(&["More"]);
    w.hold("Take back change 2");
    let kept = changes(&desk).len();
    w.act([Action::CloseNotice, Action::Edit(EditAction::TakeBack(-1))]);
    assert_eq!(changes(&desk).len(), kept);
    w.press(&["Back"]);
    assert_eq!(page(&desk), Page::Lead);
}

/// A calibration of lance 1 with the nozzle and the washer of the demonstration bay.
fn calibrated(desk: &Desk) {
    calibrated_at(desk, None);
}

/// The same, with its dial set so.
fn calibrated_at(desk: &Desk, dial: Option<&str>) {
    let milestones = common::walk::history(1);
    let Milestone::Calibrated { record, .. } = &milestones[0] else {
        panic!("one calibration");
    };
    let record = CalibrationRecord {
        dial: dial.map(Into::into),
        taken: desk.window.around.clock.now().wall,
        ..(**record).clone()
    };
    let mut kept = desk.window.around.records.0.borrow_mut();
    kept.history.push(Milestone::Calibrated {
        entry: 0,
        record: Box::new(record.clone()),
        washes: 0,
    });
    kept.past.sprayers.insert(
        "lance-1".into(),
        SprayerPast {
            calibration: Some(record),
            ..SprayerPast::default()
        },
    );
}

#[test]
fn another_nozzle_makes_the_calibration_void_and_says_so_beforehand() {
    let desk = Desk::of(DEMO, PANEL);
    calibrated(&desk);
    let desk = desk.restarted(PANEL);
    let w = &desk.window;
    let standing = || {
        let of = |bay: &fillcall::bay::at_work::Bay| bay.standing(&bay.setup().sprayers[0]);
        w.off.screen().with_bay(of).expect("a bay")
    };
    assert_eq!(standing(), Standing::Good);
    desk.lead(Page::Edit);
    let words = || {
        let of = |bay: &fillcall::bay::at_work::Bay| bay.edit_scene().words.to_string();
        w.off.screen().with_bay(of).expect("a bay")
    };
    // What was measured stays what doses are made of.
    w.press(&["Sprayers", "Lance 1", "Holds"]);
    assert!(
        words().starts_with("Doses go by its calibration: this counts from the next one on."),
        "{}",
        words()
    );
    w.press(&["Back", "Nozzle"]);
    assert_eq!(words(), "Another one makes its calibration void.");
    w.press(&["1.05 mm"]);
    assert_eq!(standing(), Standing::Void(VoidCause::Nozzle));
    // A wrong press is no harm.
    w.press(&["Undo"]);
    assert_eq!(standing(), Standing::Good);
    // Said at the sprayer, it stays, whatever becomes of its name.
    close(&desk);
    w.act([Action::Changed(VoidCause::Nozzle), Action::Show(Page::Edit)]);
    w.press(&["Nozzle", "1.05 mm"]);
    assert_eq!(standing(), Standing::Void(VoidCause::Nozzle));
    w.press(&["Undo"]);
    assert_eq!(standing(), Standing::Void(VoidCause::Nozzle));
}

/// The bottom edge of a key, in pixels.
fn bottom(desk: &Desk, key: &str) -> f32 {
    let key = desk.window.off.button(key).expect("the key");
    key.absolute_position().y + key.size().height
}

#[test]
fn every_number_pad_has_its_zero_in_the_bottom_row_and_the_unit_beside_the_number() {
    use fillcall::bay::day::DayAction;
    use fillcall::bay::mixing::{MixAction, MixStage};
    use fillcall::bay::records::Scope;
    use fillcall::bay::stock::StockAction;
    use fillcall::trade::calibration::Way;
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    // The PIN has no unit.
    w.act([Action::Show(Page::Lead)]);
    assert_eq!(page(&desk), Page::Pin);
    let zero_is_at_the_bottom = |at: &str| {
        let lowest = ('1'..='9').map(|digit| bottom(&desk, &digit.to_string()));
        let lowest = lowest.fold(0.0, f32::max);
        assert!((bottom(&desk, "0") - lowest).abs() < 1.0, "{at}");
    };
    zero_is_at_the_bottom("the PIN");
    desk.lead(Page::Lead);
    let home = || {
        vec![
            Action::Show(Page::Fill),
            Action::ChooseSprayer("wheel-sprayer".into()),
        ]
    };
    let mix = |stage| vec![Action::Show(Page::Mix), Action::Mix(MixAction::Open(stage))];
    let calibrate = |way| {
        let lance = Action::ChooseSprayer("lance-1".into());
        vec![lance, Action::CalibrateBy(way)]
    };
    let film = || "traffic-film".to_owned();
    for (at, acts, unit) in [
        ("what it holds", calibrate(Way::RunDry), "ml"),
        ("its temperature", calibrate(Way::ByWeight), "°C"),
        ("what is left", mix(MixStage::LeftTyped), "ml"),
        ("what was poured", mix(MixStage::Poured), "ml"),
        (
            "the strength of the day",
            [
                Action::Show(Page::Day),
                Action::Day(DayAction::For(Scope::Bay)),
                Action::Day(DayAction::OpenPad),
            ]
            .into(),
            "%",
        ),
        (
            "a delivery",
            [
                Action::Show(Page::Stock),
                Action::Stock(StockAction::Look(film())),
                Action::Stock(StockAction::Deliver),
            ]
            .into(),
            "L",
        ),
    ] {
        w.act(home());
        w.act(acts);
        zero_is_at_the_bottom(at);
        beside_the_number(&desk, at, unit);
        // A calibration that was only looked into is none.
        w.act([Action::PreviousStep]);
    }
    w.act(home());
    w.act([Action::Show(Page::Edit)]);
    w.press(&["Sprayers", "Lance 1", "Holds"]);
    zero_is_at_the_bottom("the set-up");
    beside_the_number(&desk, "the set-up", "ml");
}

/// The unit stands on the card of what is typed, to the right of the number or behind it.
#[track_caller]
fn beside_the_number(desk: &Desk, at: &str, unit: &str) {
    let card = ElementQuery::from_root(desk.window.off.screen().wall())
        .match_inherits("PadCard")
        .find_first()
        .unwrap_or_else(|| panic!("{at}: no card"));
    let mut words: Vec<(f32, String)> = card
        .query_descendants()
        .match_inherits("Line")
        .find_all()
        .iter()
        .filter_map(|line| Some((line.absolute_position().x, line.accessible_label()?.into())))
        .collect();
    words.sort_by(|a, b| a.0.total_cmp(&b.0));
    let last = words.last().map(|(_, words)| words.as_str());
    assert!(
        last.is_some_and(|words| words.ends_with(unit)),
        "{at}: {words:?}"
    );
}

#[test]
fn another_setting_of_the_dial_says_what_it_does_to_the_calibration() {
    let void = "Another setting makes its calibration void.";
    let unknown = "Calibrated without a setting: if turned since, say so on its page.";
    let turned = Standing::Void(VoidCause::Dial);
    for (then, told, after_a_name, after_another) in [
        (None, unknown, Standing::Good, Standing::Good),
        (Some("tip 4"), void, Standing::Good, turned),
    ] {
        let desk = Desk::of(DEMO, PANEL);
        calibrated_at(&desk, then);
        let desk = desk.restarted(PANEL);
        let w = &desk.window;
        let seen = || {
            let of = |bay: &fillcall::bay::at_work::Bay| {
                let standing = bay.standing(&bay.setup().sprayers[0]);
                (bay.edit_scene().words.to_string(), standing)
            };
            w.off.screen().with_bay(of).expect("a bay")
        };
        desk.lead(Page::Edit);
        go(&desk, &["Sprayers", "Lance 1"]);
        for (setting, standing) in [("tip 4", after_a_name), ("tip 2", after_another)] {
            go(&desk, &["Dial"]);
            assert_eq!(seen(), (told.into(), Standing::Good), "{then:?} {setting}");
            enter(&desk, &Write(setting));
            close(&desk);
            assert_eq!(seen().1, standing, "{then:?} {setting}");
        }
    }
}

fn first_scene(desk: &Desk) -> Scene {
    let scene = desk.window.off.screen().with_bay(|bay| bay.edit_scene());
    scene.expect("a bay")
}

/// The page that greets is read.
fn begin(desk: &Desk) {
    let scene = first_scene(desk);
    assert_eq!(scene.title, "Step 1 of 20");
    for told in ["how much product", "At hand:", "about 10 minutes"] {
        assert!(scene.words.to_string().contains(told), "{told}");
    }
    desk.window.press(&["Begin"]);
}

/// Answers the question that is shown, and goes on. `restart` pulls the plug before each.
fn first_run(mut desk: Desk, direct: bool, restart: bool) -> Desk {
    let kind: &[&str] = match direct {
        true => &["Direct sprayer"],
        false => &["Foam lance"],
    };
    // What a direct sprayer holds is all spray: only a large one is dosed on the jug's lines.
    let holds: &[&str] = match direct {
        true => &["8", "2", "0", "0", "Next"],
        false => &["8", "2", "0", "Next"],
    };
    let questions: Vec<(&str, &[&str])> = vec![
        ("Which language is shown and spoken?", &["English"]),
        (
            "In which units are volumes typed?",
            &["Millilitres, litres"],
        ),
        (
            "What is this wash bay called?",
            &["Q", "u", "a", "y", "Next"],
        ),
        (
            "What is the sprayer called?",
            &["L", "a", "n", "c", "e", "Next"],
        ),
        ("What kind of sprayer is it?", kind),
        ("What it holds to the line, tube in.", holds),
        ("What stands on its nozzle?", &["R", "e", "d", "Next"]),
        (
            "Which pressure washer feeds it?",
            &["E", "a", "s", "t", "Next"],
        ),
        (
            "What the jug or cylinder that you pour with takes.",
            &["Unit: L", "1", "Next"],
        ),
        (
            "How much it is from one of its lines to the next.",
            &["1", "0", "Next"],
        ),
        (
            "What is the chemical called?",
            &["F", "o", "a", "m", "Next"],
        ),
        ("Strength on vehicle, or label ratio.", &["4", "Next"]),
        ("What is it, by its label?", &["Alkali"]),
        (
            "Which of these are on its label?",
            &["More", "H314", "Next"],
        ),
        (
            "What its label warns of, a line for each.",
            &["Add a line", "G", "l", "o", "v", "e", "s", "Done", "Next"],
        ),
        ("The weakest that still cleans.", &["3", "Next"]),
        ("The strongest that harms nothing.", &["5", "Next"]),
    ];
    let mut asked = 0;
    for (question, presses) in questions {
        if direct && question.starts_with("Which pressure washer") {
            continue;
        }
        if restart {
            desk = desk.restarted(PANEL);
        }
        asked += 1;
        if asked == 1 {
            begin(&desk);
        }
        let scene = first_scene(&desk);
        assert_eq!(scene.words, question);
        assert_eq!(
            scene.title,
            *format!(
                "Step {} of {}",
                asked + 1,
                if direct && asked > 5 { 19 } else { 20 }
            )
        );
        assert!(scene.shape == Shape::Letters || scene.step == scene.title.to_string()[5..]);
        // Nothing is there that could be taken for true.
        assert_eq!(scene.typed, "", "{question}");
        assert!(scene.tiles.iter().all(|tile| !tile.chosen), "{question}");
        // The bay offers nothing as long as it is not set up.
        desk.window
            .act([Action::Show(Page::Fill), Action::SayFill, Action::Filled]);
        assert_eq!(page(&desk), Page::FirstRun);
        close(&desk);
        desk.window.press(presses);
    }
    desk
}

#[test]
fn from_an_empty_folder_to_the_first_calibrated_fill_in_one_sitting() {
    let desk = first_run(Desk::first(PANEL), false, false);
    let w = &desk.window;
    w.press(&["Set a PIN"]);
    desk.set_pin();
    assert_eq!(page(&desk), Page::FirstRun);
    close(&desk);
    w.press(&["Next", "Done"]);
    assert_eq!(page(&desk), Page::Ways);
    close(&desk);
    w.press(&["Run dry"]);
    for key in ["8", "2", "0", "Next"] {
        w.press(&[key]);
    }
    common::walk::run(w, 104, 14, ".7");
    w.hold("Save");
    close(&desk);
    assert_eq!(page(&desk), Page::Fill);
    w.press(&["Filled"]);
    let kept = w.around.records.0.borrow();
    let fills = kept
        .happenings
        .iter()
        .filter(|(_, what)| matches!(what, Happening::Fill(_)));
    assert_eq!(fills.count(), 1);
    drop(kept);
    let setup = read(&desk.text()).expect("right");
    assert_eq!((setup.unfinished, setup.name.as_str()), (None, "Quay"));
    assert_eq!(
        (
            setup.sprayers[0].nozzle.as_str(),
            setup.sprayers[0].washer.as_str()
        ),
        ("Red", "East")
    );
    assert_eq!(setup.measures[0].name, "1 L");
    assert_eq!(setup.chemicals[0].cautions, ["Gloves"]);
    assert!(
        !desk.text().contains('?') || !desk.text().contains("\"?\""),
        "{}",
        desk.text()
    );
}

#[test]
fn a_power_cut_at_any_question_loses_no_answer() {
    let desk = first_run(Desk::first(PANEL), false, true).restarted(PANEL);
    // The PIN may be set later.
    desk.window.press(&["Next"]);
    let desk = desk.restarted(PANEL);
    let w = &desk.window;
    // What is not right is changed from here, and one comes back here.
    go(&desk, &["Nozzle"]);
    assert_eq!(
        w.off.screen().with_bay(|bay| bay.edit_scene().typed),
        Some("Red".into())
    );
    w.press(&["Next"]);
    // A sprayer that is another kind after all.
    go(&desk, &["Kind"]);
    w.press(&["Direct sprayer"]);
    assert_eq!(read(&desk.text()).expect("right").sprayers[0].washer, "");
    go(&desk, &["Kind"]);
    w.press(&["Foam lance"]);
    // Its washer has to be named again.
    let asked = w
        .off
        .screen()
        .with_bay(|bay| bay.edit_scene().words.to_string());
    assert_eq!(
        asked.as_deref(),
        Some("What it holds to the line, tube in. Now: 820 ml.")
    );
    w.press(&["8", "0", "0", "Next", "Next"]);
    let asked = w
        .off
        .screen()
        .with_bay(|bay| bay.edit_scene().words.to_string());
    assert_eq!(asked.as_deref(), Some("Which pressure washer feeds it?"));
    let setup = read(&desk.text()).expect("right");
    assert_eq!(setup.unfinished, Some(8));
}

#[test]
fn a_direct_sprayer_is_set_up_without_a_washer_and_filled_at_once() {
    let desk = first_run(Desk::first(PANEL), true, false);
    let w = &desk.window;
    w.press(&["Back", "Back"]);
    assert_eq!(
        w.off
            .screen()
            .with_bay(|bay| bay.edit_scene().title.to_string()),
        Some("Step 16 of 19".into())
    );
    w.press(&["Next", "Next", "Next", "Done"]);
    assert_eq!(page(&desk), Page::Fill);
    close(&desk);
    w.press(&["Filled"]);
    // 4 % of 8200 ml, on lines of 10 ml.
    let kept = w.around.records.0.borrow();
    let fills: Vec<f64> = kept
        .happenings
        .iter()
        .filter_map(|(_, what)| match what {
            Happening::Fill(fill) => Some(fill.poured.as_ml()),
            _ => None,
        })
        .collect();
    assert_eq!(fills, [330.0]);
}

#[test]
fn the_page_that_greets_can_be_read_in_the_other_language_and_gone_back_to() {
    let desk = Desk::first(PANEL);
    let w = &desk.window;
    w.press(&["Español"]);
    assert_eq!(
        w.off.screen().with_bay(|bay| bay.language()),
        Some(Language::Spanish)
    );
    assert!(
        w.labels().contains(&"Empezar".to_owned()),
        "{:?}",
        w.labels()
    );
    w.press(&["English", "Begin"]);
    assert_eq!(first_scene(&desk).title, "Step 2 of 20");
    w.press(&["Back"]);
    assert_eq!(first_scene(&desk).title, "Step 1 of 20");
    // A foot switch goes on as well.
    w.act([Action::Main]);
    assert_eq!(first_scene(&desk).title, "Step 2 of 20");
}

#[test]
fn what_a_bay_does_not_have_is_answered_with_none() {
    let desk = Desk::first(PANEL);
    let w = &desk.window;
    w.press(&[
        "Begin",
        "English",
        "Millilitres, litres",
        "Q",
        "Next",
        "L",
        "Next",
    ]);
    w.press(&["Foam lance", "8", "0", "0", "Next"]);
    // No nozzle of a name, and no washer.
    for question in [
        "What stands on its nozzle?",
        "Which pressure washer feeds it?",
    ] {
        let scene = first_scene(&desk);
        assert_eq!(
            (&scene.words, scene.save),
            (&question.into(), Some(SaveWord::None))
        );
        w.press(&["None"]);
    }
    w.press(&[
        "1", "Unit: L", "Next", "1", "0", "Next", "F", "Next", "4", "Next", "Acid",
    ]);
    // No hazard statement: then its label warns of something.
    w.press(&["None"]);
    let scene = first_scene(&desk);
    assert!(
        !scene.may_save && scene.waits == "Next waits for a line.",
        "{scene:?}"
    );
    w.press(&["Add a line", "G", "Done", "Next"]);
    // No band: the strongest is not asked.
    assert_eq!(first_scene(&desk).title, "Step 17 of 20");
    w.press(&["Leave it out"]);
    let scene = first_scene(&desk);
    assert_eq!(scene.title, "Step 18 of 19");
    assert!(scene.words.to_string().contains("PIN"));
    let sprayer = |desk: &Desk| read(&desk.text()).expect("right").sprayers[0].clone();
    assert_eq!(
        (sprayer(&desk).nozzle, sprayer(&desk).washer),
        (String::new(), String::new())
    );
    w.press(&["Next"]);
    // Changed at the end: what came with it is asked, and one comes back.
    go(&desk, &["Strongest allowed"]);
    assert_eq!(first_scene(&desk).words, "The weakest that still cleans.");
    w.press(&["3", "Next"]);
    assert_eq!(
        first_scene(&desk).words,
        "The strongest that harms nothing."
    );
    w.press(&["3", "Next"]);
    assert!(
        notice(&desk).contains("is not weaker than"),
        "{}",
        notice(&desk)
    );
    close(&desk);
    w.press(&["Erase", "5", "Next", "Next", "Done"]);
    let setup = read(&desk.text()).expect("right");
    assert_eq!(setup.unfinished, None);
    let band = setup.chemicals[0].band.expect("a band");
    assert_eq!(
        (band.least.as_percent(), band.most.as_percent()),
        (3.0, 5.0)
    );
    assert!(setup.chemicals[0].hazards.is_empty());
}

#[test]
fn where_next_waits_it_says_why() {
    let desk = Desk::first(PANEL);
    let w = &desk.window;
    w.press(&["Begin", "English", "Millilitres, litres"]);
    let waits = || {
        let scene = first_scene(&desk);
        let view = w.off.screen().wall().global::<EditingView>();
        assert_eq!(view.get_waits(), scene.waits.to_string());
        assert_eq!(scene.may_save, scene.waits.is_empty());
        scene.waits.to_string()
    };
    let nothing = "Next waits: nothing is typed yet.";
    assert_eq!(waits(), nothing);
    w.press(&["Q"]);
    assert_eq!(waits(), "");
    w.press(&["Next", "L", "Next", "Foam lance"]);
    assert_eq!(waits(), nothing);
    w.press(&["8", "0", "0"]);
    assert_eq!(waits(), "");
    w.press(&["Next"]);
    // Answered, it need not be typed again.
    w.press(&["Back"]);
    assert_eq!(waits(), "");
    w.press(&["Next"]);
    assert_eq!(first_scene(&desk).words, "What stands on its nozzle?");
    assert_eq!(
        read(&desk.text()).expect("right").sprayers[0].holds.as_ml(),
        800.0
    );
}

#[test]
fn a_nozzle_that_is_no_more_is_none_in_editing_too() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    w.press(&["Sprayers", "Lance 1", "Nozzle"]);
    let tiles = first_scene(&desk).tiles;
    let none = tiles
        .iter()
        .find(|tile| tile.name == "None")
        .expect("a tile");
    assert!(!none.chosen);
    w.press(&["None"]);
    let nozzle = read(&desk.text()).expect("right").sprayers[0]
        .nozzle
        .clone();
    assert_eq!(nozzle, "");
}
