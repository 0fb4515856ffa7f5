//! Changes of the set-up file from the screen: all else in it stays as it is, byte for byte, however it
//! is written; what was changed can be taken back; what would be wrong is refused.

use fillcall::bay::ports::{NotChanged, SetupKeeper};
use fillcall::bay::setup::Setup;
use fillcall::bay::setup_change::{Edit, Place, SetupChange, Value};
use fillcall::store::setup_file::{FileKeeper, read, read_bay};
use fillcall::store::setup_path;
use std::path::{Path, PathBuf};

#[path = "setup_edit/any.rs"]
mod any;
#[path = "setup_edit/begun.rs"]
mod begun;
#[path = "setup_edit/killed.rs"]
mod killed;
#[path = "setup_edit/taken_back.rs"]
mod taken_back;

fn demo() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/kiosk-setup/demo-bay/bay.toml");
    std::fs::read_to_string(path).expect("the demonstration bay")
}

/// Written in every other way that TOML has: sections in one line, keys with dots, names in quotes,
/// tabs, comments wherever they can stand, another alphabet, no line break at the end.
const NASTY: &str = "# Κάτω # «bay» \u{1f9fd}\n\
    \t'name' = 'Dépôt № 1 # not a comment' # but this\n\
    \t           # goes on\n\
    \"day_chemical\"=\"film\"\n\
    operators_may_change_chemical   =   false\n\
    x_own.\"key # 1\" = \"\"\"\nmany # lines\n\"\"\" # own\n\
    screen = { profile = \"7in-800x480\" } # panel\n\
    sound.voice = \"beeps\" # dotted\n\
    sound.volume_percent = 7_0\n\
    # reminder by dots\n\
    reminder.washes = 40\n\
    measure = [ # jugs\n\
    \t{ id = \"jug\", name = \"Jug\", size = \"1 l\", graduation = \"10 ml\" }, # big\n\
    \t# small\n\
    \t{ id = \"cup\", name = \"Cup\", size = \"100 ml\", graduation = \"5 ml\", x_n = 1 } # last\n\
    \t# end\n\
    ]\n\
    \n\
    # chemicals\n\
    \n\
    # film's own\n\
    [[chemical]] # film\n\
    \tid = \"film\" # id\n\
    \tname = \"\"\"Film\"\"\"\n\
    \tcautions = [\"Gloves\", # one\n\
    \t\t'Eyes', # two\n\
    \t\t# between\n\
    \t\t\"Floor\" # three\n\
    \t] # all\n\
    \ton_vehicle = \"4 %\" # strong\n\
    \tband = [\"3 %\", # least\n\
    \t\t\"5 %\"]\n\
    # film ends\n\
    \n\
    [[\"chemical\"]]\n\
    id = \"acid\"\nname = \"Acid\"\non_vehicle = \"2 %\"\ncautions = []\nhazards = [\"H290\", \"H314\"]\nnature = \"acid\"\n\
    never_with = [\"film\" , \"soap\"] # spits\n\
    [chemical.x_notes] # the acid's\n\
    said = \"no\"\n\
    [[chemical]]\nid = \"soap\"\nname = \"Soap\"\nbottle_ratio = \"1 + 10\"\ncautions = [\"a\"]\nnever_with = [\"acid\",]\n\
    [[sprayer]]\n\
    id = \"lance-1\"\nname = \"Lance 1\"\nkind = \"foam lance\"\nholds = \"820 ml\"\nnozzle = \"1.35 mm\"\nwasher = \"A\"\n\
    # the other\n\
    [[sprayer]]\n\
    id = \"lance-2\"\nname = \"Lance 2\"\nkind = \"foam lance\"\nholds = \"1060 ml\"\nnozzle = \"1.05 mm\"\nwasher = \"B\"\n\
    \n\
    # nothing below";

/// All texts that the changes are tried on.
fn texts() -> Vec<(&'static str, String)> {
    let demo = demo();
    let tabs = demo.lines().map(|line| match line.contains(" = ") {
        true => format!("\t{}\n", line.replacen(" = ", "\t=\t", 1)),
        false => format!("{line}\n"),
    });
    vec![
        ("demo", demo.clone()),
        ("line breaks of another system", demo.replace('\n', "\r\n")),
        ("tabs", tabs.collect()),
        ("no line break at the end", demo.trim_end().to_owned()),
        ("nasty", NASTY.to_owned()),
        ("nasty, other breaks", NASTY.replace('\n', "\r\n")),
    ]
}

/// Plans edits and makes them in one go, where nobody is asked in between.
trait Unasked: SetupKeeper {
    fn change(&mut self, edits: &[Edit]) -> Result<(Setup, SetupChange), NotChanged> {
        let planned = self.plan(edits)?;
        self.make(&planned.1)?;
        Ok(planned)
    }
}
impl<K: SetupKeeper> Unasked for K {}

/// A bay's folder with a set-up file in it.
struct Folder(tempfile::TempDir);

impl Folder {
    fn with(text: &str) -> Self {
        let folder = Self(tempfile::tempdir().expect("a folder"));
        folder.write(text);
        folder
    }
    fn dir(&self) -> &Path {
        self.0.path()
    }
    fn path(&self) -> PathBuf {
        setup_path(self.dir())
    }
    fn write(&self, text: &str) {
        std::fs::write(self.path(), text).expect("written");
    }
    fn text(&self) -> String {
        std::fs::read_to_string(self.path()).expect("the set-up file")
    }
    fn keeper(&self) -> FileKeeper {
        FileKeeper::new(self.dir())
    }
    fn change(&self, edits: &[Edit]) -> Result<(Setup, SetupChange), NotChanged> {
        let before = self.text();
        let done = self.keeper().change(edits);
        match &done {
            Ok((setup, change)) => {
                assert_eq!(change.text_before, before);
                assert_eq!(change.text, self.text());
                assert_eq!(Ok(setup), read_bay(self.dir()).as_ref());
            }
            Err(refused) => {
                assert_eq!(self.text(), before, "{refused:?}");
                assert!(refused.message.to_string().ends_with('.'), "{refused:?}");
                // Whatever was wrong, it was no line that an edit had spoilt.
                assert!(
                    !refused.message.to_string().contains("(file)"),
                    "{refused:?}"
                );
            }
        }
        done
    }
}

fn set(place: Place, key: &'static str, value: Value) -> Edit {
    Edit::Set {
        place,
        key,
        value: Some(value),
    }
}

fn text(text: &str) -> Value {
    Value::Text(text.into())
}

fn list(list: &[&str]) -> Value {
    Value::List(list.iter().map(|&text| text.to_owned()).collect())
}

/// Makes the edits in a text, and gives the text that comes of it.
fn edited(before: &str, edits: &[Edit]) -> String {
    let folder = Folder::with(before);
    let (_, change) = folder.change(edits).unwrap_or_else(|r| panic!("{r:?}"));
    change.text
}

fn film() -> Place {
    Place::Chemical("film".into())
}

#[test]
fn all_texts_are_set_ups() {
    for (name, text) in texts() {
        assert!(read(&text).is_ok(), "{name}: {:#?}", read(&text));
    }
}

/// What stands in the text before and what must stand there afterwards; all around it is the same.
#[test]
fn each_way_to_write_is_changed_in_that_way() {
    let cup = Place::Measure("cup".into());
    for (edit, before, after) in [
        // A text, whatever its quotes, and whatever stands behind it.
        (
            set(Place::Bay, "name", text("Depot \"2\" # №")),
            "'Dépôt № 1 # not a comment' # but this",
            "'Depot \"2\" # №' # but this",
        ),
        (
            set(film(), "name", text("Film off")),
            "\"\"\"Film\"\"\"",
            "\"Film off\"",
        ),
        (
            set(Place::Section("sound"), "volume_percent", Value::Whole(65)),
            "7_0\n",
            "65\n",
        ),
        (
            set(cup.clone(), "graduation", text("2 ml")),
            "\"5 ml\", x_n",
            "\"2 ml\", x_n",
        ),
        // A key that was not there, behind the last one of its section and what is said beside it.
        (
            set(Place::Section("sound"), "voice_folder", text("our")),
            "7_0\n",
            "7_0\nsound.voice_folder = \"our\"\n",
        ),
        (
            set(
                Place::Section("screen"),
                "diagonal_inches",
                Value::Number(7.5),
            ),
            "800x480\" }",
            "800x480\", diagonal_inches = 7.5 }",
        ),
        (
            set(film(), "cost_per_litre", Value::Number(3.2)),
            "\t\t\"5 %\"]\n",
            "\t\t\"5 %\"]\n\tcost_per_litre = 3.2\n",
        ),
        (
            set(Place::Chemical("acid".into()), "nature", text("other")),
            "nature = \"acid\"",
            "nature = \"other\"",
        ),
        // A section that was not there, behind everything.
        (
            set(Place::Section("lead"), "minutes", Value::Whole(9)),
            "# nothing below",
            "# nothing below\n\n[lead]\nminutes = 9",
        ),
        // Lists, entry by entry.
        (
            set(
                film(),
                "cautions",
                list(&["Gloves", "Eyes", "Floor", "Drain"]),
            ),
            "\"Floor\" # three\n",
            "\"Floor\", # three\n\t\t\"Drain\"\n",
        ),
        (
            set(film(), "cautions", list(&["Gloves", "Floor"])),
            "\t\t'Eyes', # two\n",
            "\t\t# two\n",
        ),
        (
            set(film(), "band", list(&["3.5 %", "5 %"])),
            "\"3 %\", # least",
            "\"3.5 %\", # least",
        ),
        (
            set(
                Place::Chemical("soap".into()),
                "never_with",
                list(&["acid", "film"]),
            ),
            "[\"acid\",]",
            "[\"acid\", \"film\"]",
        ),
        // A key that goes leaves what is said beside it.
        (
            Edit::Set {
                place: film(),
                key: "band",
                value: None,
            },
            "band = [\"3 %\", # least\n\t\t\"5 %\"]\n",
            "# least\n",
        ),
        // One more of a kind.
        (
            Edit::Add {
                place: Place::Measure("mug".into()),
                keys: vec![
                    ("name", text("Mug")),
                    ("size", text("1 l")),
                    ("graduation", text("50 ml")),
                ],
            },
            "x_n = 1 } # last\n",
            "x_n = 1 }, # last\n\
             \t{ id = \"mug\", name = \"Mug\", size = \"1 l\", graduation = \"50 ml\" }\n",
        ),
        (
            Edit::Add {
                place: Place::Vehicle("van".into()),
                keys: vec![("name", text("Van")), ("share", Value::Number(1.0))],
            },
            "# nothing below",
            "# nothing below\n\n[[vehicle]]\nid = \"van\"\nname = \"Van\"\nshare = 1",
        ),
        // One less.
        (
            Edit::Remove { place: cup },
            "# big\n\t# small\n\
             \t{ id = \"cup\", name = \"Cup\", size = \"100 ml\", graduation = \"5 ml\", x_n = 1 } # last\n",
            "# big\n\t# small\n\t # last\n",
        ),
        (
            Edit::Remove {
                place: Place::Sprayer("lance-2".into()),
            },
            "# the other\n[[sprayer]]\n\
             id = \"lance-2\"\nname = \"Lance 2\"\nkind = \"foam lance\"\nholds = \"1060 ml\"\n\
             nozzle = \"1.05 mm\"\nwasher = \"B\"\n",
            "",
        ),
    ] {
        for (line, nasty) in [
            ("\n", NASTY.to_owned()),
            ("\r\n", NASTY.replace('\n', "\r\n")),
        ] {
            let (before, after) = (before.replace('\n', line), after.replace('\n', line));
            assert_eq!(nasty.matches(&before).count(), 1, "{before:?}");
            let expected = nasty.replacen(&before, &after, 1);
            pretty(&edited(&nasty, std::slice::from_ref(&edit)), &expected);
        }
    }
}

/// Like `assert_eq`, with the first line that differs.
#[track_caller]
fn pretty(found: &str, expected: &str) {
    if found != expected {
        let mut lines = found.split('\n').zip(expected.split('\n'));
        let differing = lines.find(|(a, b)| a != b);
        panic!("first difference: {differing:#?}\n--- in\n{found}");
    }
}

#[test]
fn a_new_one_stands_behind_the_last_of_its_kind_and_goes_without_a_trace() {
    let demo = demo();
    let lance = Place::Sprayer("lance-3".into());
    let keys = vec![
        ("name", text("Lance 3")),
        ("kind", text("foam lance")),
        ("holds", text("1 l")),
        ("nozzle", text("1.05 mm")),
        ("washer", text("Washer B")),
    ];
    let added = edited(
        &demo,
        &[Edit::Add {
            place: lance.clone(),
            keys,
        }],
    );
    let expected = demo.replacen(
        "nozzle = \"cone, blue\"\n",
        "nozzle = \"cone, blue\"\n\n[[sprayer]]\nid = \"lance-3\"\nname = \"Lance 3\"\nkind = \"foam \
         lance\"\nholds = \"1 l\"\nnozzle = \"1.05 mm\"\nwasher = \"Washer B\"\n",
        1,
    );
    pretty(&added, &expected);
    pretty(&edited(&added, &[Edit::Remove { place: lance }]), &demo);
}

#[test]
fn a_chemical_that_goes_takes_its_comments_and_its_name_in_the_lists_of_others() {
    let demo = demo();
    let gone = edited(
        &demo,
        &[Edit::Remove {
            place: Place::Chemical("wheel-acid".into()),
        }],
    );
    let start = demo
        .find("\n# Delivered ready diluted")
        .expect("its comment");
    let end = demo.find("\n# With chlorine bleach").expect("the next one");
    let expected = format!("{}{}", &demo[..start], &demo[end..]);
    let expected = expected.replacen(
        "never_with = [\"wheel-acid\"]     #",
        "never_with = []     #",
        1,
    );
    pretty(&gone, &expected);
    let folder = Folder::with(NASTY);
    let acid = Place::Chemical("acid".into());
    let (_, change) = folder
        .change(&[Edit::Remove { place: acid }])
        .expect("removed");
    assert!(!change.text.contains("x_notes") && !change.text.contains("# the acid's"));
    assert!(change.text.contains("never_with = []"));
    let keys: Vec<(&str, &str)> = change
        .keys
        .iter()
        .map(|k| (k.place.as_str(), k.key.as_str()))
        .collect();
    assert_eq!(
        keys,
        [("chemical acid", ""), ("chemical soap", "never_with")]
    );
    assert_eq!(change.keys[1].before.as_deref(), Some("[\"acid\"]"));
    assert_eq!(change.keys[1].after.as_deref(), Some("[]"));
}

#[test]
fn what_would_be_wrong_is_refused_with_a_sentence() {
    let folder = Folder::with(&demo());
    let remove = |place| Edit::Remove { place };
    let film = || Place::Chemical("traffic-film".into());
    let jugs = ["syringe-60", "cylinder-250", "jug-1l"].map(|id| remove(Place::Measure(id.into())));
    for (edits, says) in [
        (vec![remove(film())], "the day's chemical"),
        (jugs.to_vec(), "the last measure"),
        (
            vec![set(film(), "on_vehicle", text("9 %"))],
            "chemical traffic-film, band: 9 % is wanted",
        ),
        (
            vec![set(
                Place::Section("sound"),
                "volume_percent",
                Value::Whole(101),
            )],
            "sound, volume_percent: 101 is out of range",
        ),
        (
            vec![set(Place::Sprayer("lance-9".into()), "name", text("X"))],
            "There is no sprayer lance-9",
        ),
        (
            vec![remove(Place::Vehicle("van".into()))],
            "There is no vehicle van",
        ),
        (
            vec![Edit::Add {
                place: Place::Sprayer("drum".into()),
                keys: vec![],
            }],
            "There is a sprayer drum already",
        ),
        (
            vec![set(Place::Sprayer("drum".into()), "name", text("lance 1"))],
            "the name \"lance 1\" stands on line",
        ),
        // The first one alone would be right: all or none.
        (
            vec![
                set(Place::Bay, "name", text("New")),
                set(Place::Bay, "language", text("xx")),
            ],
            "language: \"xx\" is not a language",
        ),
    ] {
        let refused = folder.change(&edits).expect_err(says);
        assert!(
            refused.message.to_string().contains(says),
            "{says}: {}",
            refused.message
        );
        assert_eq!(folder.text(), demo(), "{says}");
    }
    // Both together are right.
    let both = [
        set(Place::Bay, "day_chemical", text("shampoo")),
        remove(film()),
    ];
    let (setup, _) = folder.change(&both).expect("right");
    assert_eq!(setup.day_chemical, "shampoo");
}

#[test]
fn what_is_so_already_is_no_change() {
    let folder = Folder::with(NASTY);
    let stamp = || {
        std::fs::metadata(folder.path())
            .expect("file")
            .modified()
            .expect("time")
    };
    let written = stamp();
    let (_, change) = folder
        .change(&[
            set(Place::Bay, "name", text("Dépôt № 1 # not a comment")),
            set(Place::Section("sound"), "volume_percent", Value::Whole(70)),
            set(film(), "cautions", list(&["Gloves", "Eyes", "Floor"])),
            Edit::Set {
                place: film(),
                key: "cost_per_litre",
                value: None,
            },
        ])
        .expect("so already");
    assert_eq!((change.keys.len(), change.text == NASTY), (0, true));
    assert_eq!(stamp(), written, "not written anew");
}

#[test]
fn what_was_edited_by_hand_meanwhile_is_kept_or_told() {
    let folder = Folder::with(&demo());
    let mut keeper = folder.keeper();
    keeper
        .change(&[set(Place::Bay, "name", text("One"))])
        .expect("changed");
    // By hand, while the wall is open: a comment, a key, a sprayer's bottle.
    let by_hand =
        folder
            .text()
            .replacen("holds = \"820 ml\"", "holds = \"900 ml\" # new bottle", 1)
            + "# by hand\n";
    folder.write(&by_hand);
    let (setup, change) = keeper
        .change(&[set(Place::Bay, "name", text("Two"))])
        .expect("changed");
    assert_eq!(setup.sprayers[0].holds.as_ml(), 900.0);
    assert_eq!(change.text_before, by_hand);
    assert_eq!(folder.text(), by_hand.replacen("\"One\"", "\"Two\"", 1));
    // A slip of the pen.
    let wrong = folder
        .text()
        .replacen("holds = \"900 ml\"", "holds = 900 ml", 1);
    folder.write(&wrong);
    for refused in [
        keeper.change(&[set(Place::Bay, "name", text("Three"))]),
        keeper.take_back(&change),
    ] {
        let message = refused.expect_err("wrong by hand").message.to_string();
        assert!(
            message.contains("changed by hand") && message.contains("line "),
            "{message}"
        );
    }
    assert_eq!(folder.text(), wrong, "left as it is");
    // It went away.
    std::fs::remove_file(folder.path()).expect("removed");
    let message = keeper.change(&[]).expect_err("no file").message.to_string();
    assert!(message.contains("there is no"), "{message}");
    assert!(!folder.path().exists());
}

#[test]
fn a_disk_that_takes_no_writing_leaves_the_old_file() {
    let folder = Folder::with(&demo());
    // A folder of the name of the temporary file is in its way.
    let part = folder
        .dir()
        .join(format!(".bay.toml.{}.part", std::process::id()));
    std::fs::create_dir(&part).expect("in the way");
    let refused = folder.change(&[set(Place::Bay, "name", text("One"))]);
    let message = refused.expect_err("in the way").message.to_string();
    assert!(
        message.starts_with("The set-up was not changed."),
        "{message}"
    );
    assert_eq!(folder.text(), demo());
}

#[test]
fn a_panel_of_the_command_line_stays_out_of_the_file() {
    use fillcall::bay::setup::{Panel, Profile};
    let folder = Folder::with(&demo());
    let panel = Panel::usual(Profile::Ten1280);
    let mut keeper = folder.keeper().laid_out_for(Some(panel));
    let (setup, change) = keeper
        .change(&[set(Place::Bay, "name", text("One"))])
        .expect("changed");
    assert_eq!(setup.panel, panel);
    assert_eq!(change.keys.len(), 1);
    let of_file = read_bay(folder.dir()).expect("right").panel;
    assert_eq!(of_file.profile, Profile::Seven800);
}
