//! Backup and restore: the same past, whole or not at all, and nothing lost.

use crate::model::Model;
use crate::records::{at, begun, load, run, wash};
use crate::shifts::{SPRAYERS, Shift, shift, work};
use fillcall::bay::records::{
    Draft, Entry, Fill, FillHow, Happening, LeadAccess, Load, Milestone, Past, Records, Scope,
    SoundChoice, Step,
};
use fillcall::store::records::{SqliteRecords, history_of, past_of};
use fillcall::store::{SetupFault, StoreFault, backup, records_path, setup_path};
use fillcall::trade::calibration::{Read, Run, Way};
use fillcall::trade::days_strength::Allowed;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::VoidCause;
use fillcall::trade::units::{Strength, Volume};
use fillcall::trade::weighing::{Weighed, Weights};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

const SETUP: &str = r#"# Yard 'one': "the wash bay" \o/
name = "Yard, bay 1"
day_chemical = "film"
operators_may_change_chemical = false
[screen]
profile = "10in-1280x800"
[sound]
voice = "beeps"
volume_percent = 70
[reminder]
washes = 40
put_off_washes = 5
put_off_times = 2
[[sprayer]]
id = "lance-1"
name = "Lance 1"
kind = "foam lance"
holds = "820 ml"
nozzle = "1.35 mm"
washer = "Washer A"
[[sprayer]]
id = "lance-2"
name = "Lance 2"
kind = "foam lance"
holds = "1060 ml"
nozzle = "1.05 mm"
washer = "Washer A"
[[chemical]]
id = "film"
name = "Film off"
on_vehicle = "4 %"
cautions = ["Gloves"]
[[measure]]
id = "jug"
name = "Jug"
size = "1 l"
graduation = "10 ml"
"#;

/// A folder with a bay to back up, and room for others.
struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("folder"))
    }
    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    /// A bay with that set-up and no records yet.
    fn bay(&self, name: &str, setup: &str) -> PathBuf {
        let bay = self.path(name);
        std::fs::create_dir(&bay).expect("folder");
        std::fs::write(setup_path(&bay), setup).expect("set-up");
        bay
    }
    fn file(&self, text: &str) -> PathBuf {
        let file = self.path("backup.toml");
        std::fs::write(&file, text).expect("file");
        file
    }
}

fn open(bay: &Path) -> SqliteRecords {
    SqliteRecords::open(&records_path(bay)).expect("open")
}

fn past(bay: &Path) -> Past {
    ranked(past_of(&records_path(bay)).expect("past"))
}

fn past_in(records: &mut SqliteRecords) -> Past {
    ranked(records.past().expect("past"))
}

/// Numbers are others in other records: what stays is which comes before which.
fn ranked(mut past: Past) -> Past {
    let mut numbers: Vec<&mut Entry> = past.day.values_mut().map(|set| &mut set.entry).collect();
    numbers.extend(
        past.chosen_chemicals
            .values_mut()
            .map(|chosen| &mut chosen.entry),
    );
    numbers.sort();
    for (rank, number) in (0..).zip(numbers) {
        *number = rank;
    }
    past
}

/// What was done with a sprayer; of the calibrations as well stays which one it was of it.
fn renumbered(mut history: Vec<Milestone>) -> Vec<Milestone> {
    let mut numbers: Vec<Entry> = history
        .iter()
        .filter_map(|milestone| match milestone {
            Milestone::Calibrated { entry, .. } => Some(*entry),
            Milestone::BroughtBack { .. } | Milestone::Changed { .. } => None,
        })
        .collect();
    numbers.sort_unstable();
    for milestone in &mut history {
        if let Milestone::Calibrated { entry, .. } | Milestone::BroughtBack { of: entry, .. } =
            milestone
        {
            let rank = numbers.binary_search(entry).expect("a calibration of it");
            *entry = rank as Entry;
        }
    }
    history
}

/// A backup's text without the moment at which it was made.
fn lasting(file: &Path) -> String {
    let text = std::fs::read_to_string(file).expect("backup");
    let lines = text.lines().filter(|line| !line.starts_with("made = "));
    lines.collect::<Vec<_>>().join("\n")
}

fn names(dir: &Path) -> Vec<String> {
    let names = std::fs::read_dir(dir).expect("folder");
    let mut names: Vec<String> = names
        .map(|e| e.expect("entry").file_name().into_string().expect("name"))
        .collect();
    names.sort();
    names
}

proptest! {
    #![proptest_config(crate::shifts::cases(60))]

    #[test]
    fn a_restored_bay_has_the_same_past_and_goes_on_the_same(
        first in shift(40),
        then in shift(15),
        comment in "[ -~äß'\"\\\\\t]{0,30}",
        ending in prop::sample::select(vec!["\n", "\r\n", "", "\n#'", "\n# '''\n"]),
    ) {
        let place = Place::new();
        // "drum" and "soap" happen in the shifts, and are no longer in the set-up.
        let setup = format!("#{comment}\n{}{ending}", SETUP.trim_end());
        let bay = place.bay("bay", &setup);
        let mut model = Model::default();
        let mut records = open(&bay);
        records.note_setup(at("2026-01-01T00:00:00Z"), "an earlier '''text'''").expect("noted");
        for (at, deed) in &first as &Shift {
            work(&mut records, &mut model, *at, deed);
        }
        // The wall is still running.
        let file = place.path("backup.toml");
        let saved = backup::backup(&bay, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
        prop_assert_eq!(saved.records.washes as usize, model.washes().len());
        prop_assert_eq!(saved.records.fills as usize, model.fills().len());
        let before = past_in(&mut records);

        let new = place.path("new");
        let brought = backup::restore(&new, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
        prop_assert_eq!(brought, saved);
        // Before anything looks into it: one file each, with nothing beside but that they are there.
        prop_assert_eq!(names(&new), ["bay.toml", "records.begun", "records.sqlite"]);
        prop_assert_eq!(past(&new), before);
        prop_assert_eq!(told(&mut open(&new)), told(&mut records));
        for sprayer in SPRAYERS {
            let brought = history_of(&records_path(&new), sprayer).expect("history");
            let history = records.history(sprayer).expect("history");
            prop_assert_eq!(renumbered(brought), renumbered(history));
        }
        prop_assert_eq!(std::fs::read_to_string(setup_path(&new)).expect("set-up"), setup);
        let again = place.path("again.toml");
        backup::backup(&new, &again, false).unwrap_or_else(|fault| panic!("{fault}"));
        prop_assert_eq!(lasting(&again), lasting(&file));

        // Whatever happens next comes out the same in both.
        let mut other = open(&new);
        for (at, deed) in &then as &Shift {
            // Taking back a wash by its number is for the bay in which it was counted.
            if let crate::shifts::Deed::Do(happening) = deed {
                records.keep(*at, happening).expect("kept");
                other.keep(*at, happening).expect("kept");
            }
        }
        prop_assert_eq!(past_in(&mut other), past_in(&mut records));
        for sprayer in SPRAYERS {
            let brought = other.history(sprayer).expect("history");
            let history = records.history(sprayer).expect("history");
            prop_assert_eq!(renumbered(brought), renumbered(history));
        }
    }
}

/// The log as a list of what must be the same after a restore: the numbers are new, of washes only
/// the day is known, and strengths are told to nine decimals of a percent.
fn told(records: &mut SqliteRecords) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    let mut in_order: Vec<String> = Vec::new();
    for logged in records.log(0).expect("log") {
        let at = logged.at.to_rfc3339();
        match logged.what {
            Happening::Wash { sprayer, chemical } => {
                let wash = format!("{} {sprayer} {chemical}", &at[..10]);
                told.extend(std::iter::repeat_n(wash, logged.times as usize));
            }
            Happening::Fill(fill) => {
                let percent = format!("{:.9}", fill.strength.as_percent());
                let strength = NEAT;
                let fill = Fill { strength, ..fill };
                in_order.push(format!("{at} {fill:?} {percent}"));
            }
            // These have a place among the fills.
            what @ Happening::Rinsed { .. } => in_order.push(format!("{at} {what:?}")),
            // Of their own date, and not of when they were kept.
            Happening::Calibrated(record) => told.push(format!("{record:?}")),
            // Its number is a new one: which it was is told by what was kept with it.
            Happening::CalibrationBroughtBack { record, .. } => {
                told.push(format!("{at} brought back {record:?}"));
            }
            what => told.push(format!("{at} {what:?}")),
        }
    }
    told.sort();
    told.extend(in_order);
    // And the stock among the fills, of which the order tells what is left.
    let stock = records
        .stock_log(at("1900-01-01T00:00:00Z"))
        .expect("stock");
    told.extend(stock.into_iter().map(|logged| match logged.what {
        Happening::Fill(fill) => format!("{} {}", fill.chemical, fill.poured.as_ml()),
        what => format!("{what:?}"),
    }));
    told
}

const NEAT: Strength = Strength::NEAT;

const BY_HAND: &str = r#"format = 1
made = 2026-03-10T12:00:00+01:00
setup = '''
SETUP'''

[[calibration]]
sprayer = "lance-1"
nozzle = "1.35 mm"
washer = "Washer A"
holds_ml = 820
drawn_ml = 820
catch_ml = 14700
seconds = 104.2
taken = "2026-03-02T08:15:00+01:00"
washes_since = 12

[[calibration]]
sprayer = "lance-2"
nozzle = "1.05 mm"
washer = "Washer A"
holds_ml = 1060.0
drawn_ml = 1060.0
catch_ml = 10300.0
seconds = 57
taken = 2026-03-03T08:15:00+01:00
washes_since = 43
void = "nozzle"
"#;

fn by_hand() -> String {
    BY_HAND.replace("SETUP", SETUP)
}

#[test]
fn figures_from_a_notebook_need_only_the_nine_keys() {
    let place = Place::new();
    let bay = place.path("a/new/bay");
    backup::restore(&bay, &place.file(&by_hand()), false).unwrap_or_else(|fault| panic!("{fault}"));
    let past = past(&bay);
    let first = &past.sprayers["lance-1"];
    assert_eq!((first.washes_since, first.void), (12, None));
    let record = first.calibration.as_ref().expect("calibration");
    assert_eq!(
        (record.nozzle.as_str(), record.washer.as_str()),
        ("1.35 mm", "Washer A")
    );
    assert_eq!(
        record.calibration.holds.expect("measured").holds().as_ml(),
        820.0
    );
    assert_eq!(record.calibration.run.catch.as_litres(), 14.7);
    assert_eq!(record.calibration.run.time.as_millis(), 104_200);
    assert_eq!(record.taken, at("2026-03-02T08:15:00+01:00"));
    let second = &past.sprayers["lance-2"];
    assert_eq!(
        (second.washes_since, second.void),
        (43, Some(VoidCause::Nozzle))
    );
    assert_eq!(past.newest, Some(at("2026-03-03T08:15:00+01:00")));
    assert_eq!((past.draft, past.last_sprayer), (None, None));
    // And the next wash counts on.
    open(&bay)
        .keep(at("2026-03-10T13:00:00+01:00"), &wash("lance-2"))
        .expect("kept");
    assert_eq!(self::past(&bay).sprayers["lance-2"].washes_since, 44);
}

/// Restores a text that is by hand but for one replacement; gives the faults, and checks that
/// nothing was written.
fn refused(place: &Place, from: &str, to: &str) -> (String, Vec<SetupFault>) {
    let text = by_hand().replacen(from, to, 1);
    assert_ne!(text, by_hand(), "{from} is not in it");
    let bay = place.path("refused");
    match backup::restore(&bay, &place.file(&text), false) {
        Err(StoreFault::Mistakes { faults, .. }) => {
            assert!(!bay.exists(), "{from} → {to}: something was written");
            (text, faults)
        }
        other => panic!("{from} → {to}: {other:?}"),
    }
}

#[test]
fn anything_wrong_is_told_at_its_line_and_nothing_is_written() {
    let place = Place::new();
    let more = |entry: &str| format!("washes_since = 43\nvoid = \"nozzle\"\n{entry}");
    let fill = |more: &str| {
        format!(
            "[[fill]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\n\
             fill_ml = 820\npoured_ml = 590\nwater_ml = 230\nstrength_percent = 4\n\
             standing = \"good\"\n{more}"
        )
    };
    let last = "washes_since = 43\nvoid = \"nozzle\"\n";
    #[rustfmt::skip]
    let slips: Vec<(&str, String, &str, &str)> = vec![
        // What is replaced, by what, the text of the line that must be told, what must be said.
        ("format = 1\n", "format = 2\n".into(), "format = 2", "not known to this fillcall"),
        ("made = 2026-03-10T12:00:00+01:00", "made = 2026-03-10".into(), "made = ", "offset from UTC"),
        ("holds = \"820 ml\"", "holds = \"820\"".into(), "holds = \"820\"", "setup: sprayer[1].holds: \"820\" has no unit"),
        ("day_chemical = \"film\"", "day_chemical = \"wax\"".into(), "day_chemical", "no [[chemical]] has the id"),
        ("sprayer = \"lance-2\"", "sprayer = \"lance-3\"".into(), "sprayer = \"lance-3\"", "the set-up has no sprayer \"lance-3\""),
        ("catch_ml = 14700", "catch_ml = 820".into(), "catch_ml = 820", "not more than the 820 ml drawn"),
        ("catch_ml = 14700", "catch_ml = 14.7".into(), "catch_ml = 14.7", "not more than"),
        ("catch_ml = 14700", "catch_ml = \"14.7 l\"".into(), "catch_ml = \"14.7 l\"", "not a number"),
        ("catch_ml = 14700", "catch_ml = inf".into(), "catch_ml = inf", "out of range"),
        ("catch_ml = 10300.0", "catch_ml = 1500".into(), "catch_ml = 1500", "confirmed = true"),
        ("seconds = 104.2", "seconds = 10.42".into(), "catch_ml = 14700", "no washer's flow"),
        ("seconds = 104.2", "seconds = 0".into(), "catch_ml = 14700", "A run of 0 s cannot be"),
        // A run that no wall would save today; older versions held it for odd by its flow.
        ("seconds = 104.2", "seconds = 2".into(), "catch_ml = 14700", "is no washer's flow"),
        ("seconds = 104.2", "seconds = 7300".into(), "catch_ml = 14700", "is no washer's flow"),
        ("catch_ml = 14700\nseconds = 104.2", "catch_ml = 950\nseconds = 2".into(), "catch_ml = 950", "usual is 0.3 to 60 %"),
        ("seconds = 104.2\n", "".into(), "[[calibration]]", "seconds is missing"),
        ("holds_ml = 820\n", "holds_ml = 0\n".into(), "holds_ml = 0", "0 ml cannot be"),
        ("drawn_ml = 820\n", "drawn_ml = 1975\n".into(), "catch_ml = 14700", "from a container that holds 820 ml"),
        ("drawn_ml = 820\n", "drawn_ml = -820\n".into(), "drawn_ml = -820", "out of range"),
        ("\"2026-03-02T08:15:00+01:00\"", "\"2026-02-30T08:15:00+01:00\"".into(), "taken = \"2026-02-30", "not such a date"),
        ("\"2026-03-02T08:15:00+01:00\"", "2026-03-02T08:15:00".into(), "taken = 2026-03-02T08:15:00", "offset from UTC"),
        ("\"2026-03-02T08:15:00+01:00\"", "\"2062-03-02T08:15:00+01:00\"".into(), "taken = \"2062", "more than a year after"),
        ("washes_since = 12", "washes_since = -1".into(), "washes_since = -1", "out of range"),
        ("washes_since = 12", "washes_since = 12\nwashes_sinc = 1".into(), "washes_sinc = 1", "did you mean washes_since?"),
        ("void = \"nozzle\"", "void = \"lost\"".into(), "void = \"lost\"", "\"supply\""),
        (last, more("[[calibration]]\nsprayer = \"lance-1\"\nnozzle = \"a\"\nwasher = \"b\"\nholds_ml = 820\ndrawn_ml = 820\ncatch_ml = 14440\nseconds = 100\ntaken = 2026-03-01T08:15:00Z\nwashes_since = 3\n"), "taken = 2026-03-01", "clock_wrong = true"),
        (last, more("[[change]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-2\"\nwhat = \"washer\"\n"), "void = \"nozzle\"", "says washer"),
        (last, "washes_since = 43\n[[change]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nwhat = \"wheel\"\n".into(), "what = \"wheel\"", "makes a calibration void"),
        (last, more("[[wash_count]]\nsprayer = \"lance-1\"\nchemical = \"wax\"\nday = 2026-03-02\ncount = 3\n"), "chemical = \"wax\"", "no chemical \"wax\""),
        (last, more("[[wash_count]]\nsprayer = \"lance-1\"\nchemical = \"film\"\nday = 2026-03-02\ncount = 3\n") + "[[wash_count]] # again\nsprayer = \"lance-1\"\nchemical = \"film\"\nday = \"2026-03-02\"\ncount = 3\n", "[[wash_count]] # again", "already"),
        (last, more("[draft]\nsprayer = \"lance-1\"\nstep = \"rinse\"\n"), "step = \"rinse\"", "fill-to-line"),
        (last, more("[draft]\nsprayer = \"lance-1\"\nstep = \"catch\"\ncatch_ml = [1000, -3]\n"), "catch_ml = [1000", "not a volume"),
        (last, more("[[fill]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\nfill_ml = 820\npoured_ml = 590\nwater_ml = 230\nstrength_percent = 0\nstanding = \"good\"\n"), "strength_percent = 0", "0 is not a strength"),
        (last, more("[[put_off]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\ntimes = 1\nuntil_washes = 1.5\n"), "until_washes = 1.5", "not a whole number"),
        ("made = 2026", "last_sprayer = \"lance-9\"\nmade = 2026".into(), "last_sprayer = \"lance-9\"", "former_sprayers"),
        ("made = 2026", "chosen_chemical = \"film\"\nmade = 2026".into(), "format = 1", "chosen_chemical_at is missing"),
        ("made = 2026", "volume_percent = 101\nmade = 2026".into(), "volume_percent = 101", "101 is out of range"),
        ("made = 2026", "volume_percent = \"70\"\nmade = 2026".into(), "volume_percent = ", "not a whole number"),
        ("made = 2026", "language = \"xx\"\nmade = 2026".into(), "language = \"xx\"", "write one of \"en\" (English), \"es\" (Español)"),
        ("made = 2026", "loudspeaker = 3\nmade = 2026".into(), "loudspeaker = 3", "not a text in quotes"),
        ("made = 2026", "loudspeakr = \"USB\"\nmade = 2026".into(), "loudspeakr", "did you mean loudspeaker?"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n[820, 14650, 103.9],\n[820, 700, 103],\n]\n".into(), "[820, 700", "700 ml is not more than the 820 ml drawn"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n[820, 14650, 103.9],\n[820, 14650, 10.3],\n]\n".into(), "[820, 14650, 10.3]", "confirmed = true"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n[1975, 14650, 103.9],\n]\n".into(), "[1975, 14650, 103.9]", "from a container that holds 820 ml"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n[820, 14650],\n]\n".into(), "[820, 14650]", "not three numbers"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [820]\n".into(), "more_runs = [820]", "not three numbers"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [[0, 14650, 103.9]]\n".into(), "more_runs = ", "0 and 14650 ml are not"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [[820, inf, 103.9]]\n".into(), "more_runs = ", "820 and inf ml are not"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [[820, 14650, -1]]\n".into(), "more_runs = ", "-1 seconds are not"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [[820, 14650, \"103.9\"]]\n".into(), "more_runs = ", "not three numbers"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = 3\n".into(), "more_runs = 3", "not a list"),
        ("seconds = 104.2\n", format!("seconds = 104.2\nmore_runs = [{}]\n", "[820, 14650, 103.9], ".repeat(5)), "more_runs = ", "5 at most"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_run = [[820, 14650, 103.9]]\n".into(), "more_run = ", "did you mean more_runs?"),
        (last, more("[draft]\nsprayer = \"lance-1\"\nstep = \"catch\"\nruns = [[820, -1, 100]]\n"), "runs = ", "820 and -1 ml are not"),
        (last, more(&format!("[draft]\nsprayer = \"lance-1\"\nstep = \"catch\"\nruns = [{}]\n", "[820, 14650, 103.9], ".repeat(5))), "runs = ", "5 at most"),
        (last, more("[[thrown_away_run]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nstep = \"catch\"\nruns = [[820, 1]]\n"), "runs = ", "not three numbers"),
        ("seconds = 104.2\n", "seconds = 104.2\nway = \"dry\"\n".into(), "way = \"dry\"", "write one of \"run-dry\", \"timed\", \"by-weight\""),
        ("seconds = 104.2\n", "seconds = 104.2\ncatch_uncertainty_ml = 4\n".into(), "[[calibration]]", "drawn_uncertainty_ml is missing here; write both"),
        ("seconds = 104.2\n", "seconds = 104.2\ncatch_uncertainty_ml = 4\ndrawn_uncertainty_ml = -1\n".into(), "drawn_uncertainty_ml = -1", "out of range"),
        ("seconds = 104.2\n", "seconds = 104.2\nwater_celsius = 15\nbucket_empty_kg = 0.6\ncontainer_full_kg = 2\ncontainer_after_kg = 1\n".into(), "[[calibration]]", "bucket_full_kg is missing here; write all five"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n[820, 14650, 103.9],\n{ drawn_ml = 820, catch_ml = 14650 },\n]\n".into(), "{ drawn_ml = 820", "calibration[1].more_runs[2].seconds: seconds is missing"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n{ drawn_ml = 820, catch_ml = 14650, seconds = 103.9, wy = \"timed\" },\n]\n".into(), "{ drawn_ml = 820", "did you mean way?"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n{ drawn_ml = 820, catch_ml = 700, seconds = 103.9 },\n]\n".into(), "{ drawn_ml = 820", "700 ml is not more than the 820 ml drawn"),
        ("seconds = 104.2\n", "seconds = 104.2\nmore_runs = [\n{ drawn_ml = 0, catch_ml = 900, seconds = 103.9 },\n]\n".into(), "{ drawn_ml = 0", "0 ml cannot be"),
        (last, more("[draft]\nsprayer = \"lance-1\"\nstep = \"left\"\nleft_ml = [250, { ml = -1 }]\n"), "left_ml = ", "draft.left_ml[2].ml: -1 is out of range"),
        (last, more("[draft]\nsprayer = \"lance-1\"\nstep = \"left\"\nway = \"timed\"\nset_seconds = \"60\"\n"), "set_seconds = ", "not a number"),
        (last, more("[draft]\nsprayer = \"lance-1\"\nstep = \"bucket-empty\"\nway = \"by-weight\"\nwater_celsius = inf\n"), "water_celsius = inf", "out of range"),
        (last, more(&fill("left_ml = 30\nmeant_ml = 40\n")), "left_ml = 30", "only one can be meant"),
        (last, more(&fill("left_ml = -30\n")), "left_ml = -30", "out of range"),
        (last, more(&fill("left_ml = 30\nleft_product_ml = 31\n")), "left_product_ml = 31", "were not in 30 ml"),
        (last, more(&fill("left_product_ml = 3\n")), "left_product_ml = 3", "without left_ml"),
        (last, more("[[rinse]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nfills_before = 1\n"), "fills_before = 1", "there are only 0 fills here"),
        (last, more("[[rinse]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-9\"\n"), "sprayer = \"lance-9\"", "no sprayer \"lance-9\""),
        (last, more("[[stock]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nwhat = \"lost\"\n"), "what = \"lost\"", "\"delivered\", \"opened\", \"counted\""),
        (last, more("[[stock]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nwhat = \"delivered\"\ncontainers = 2\nml = 0\n"), "ml = 0", "0 ml cannot be"),
        (last, more("[[stock]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nwhat = \"delivered\"\nml = 5\n"), "[[stock]]", "containers is missing"),
        (last, more("[[stock]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nwhat = \"opened\"\ncontainers = 0\n"), "containers = 0", "out of range"),
        (last, more("[[stock]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nwhat = \"counted\"\nml = -1\n"), "ml = -1", "out of range"),
        (last, more("[[day_setting]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\n"), "[[day_setting]]", "chemical is missing"),
        (last, more("[[day_setting]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-9\"\nended = true\n"), "sprayer = \"lance-9\"", "no sprayer \"lance-9\""),
        (last, more("[[day_setting]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nended = true\n"), "chemical = \"film\"", "only one can be meant"),
        (last, more("[[day_setting]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\nstrength_percent = 0\n"), "strength_percent = 0", "0 is not a strength"),
        (last, more("[[day_setting]]\nat = 2026-03-04T08:15:00Z\nchemical = \"film\"\noutside = \"freely\"\n"), "outside = ", "\"too-weak\" or \"too-strong\""),
        (last, more("[[lead_access]]\nat = 2026-03-04T08:15:00Z\nwhat = \"in\"\n"), "what = \"in\"", "\"pin-taken-away\""),
        (last, more("[[earlier_setup]]\nat = 2026-03-04T08:15:00Z\ntext = \"\"\ntext_before = \"\"\nchanged = [\n3,\n]\n"), "3,", "not written in curly brackets"),
        (last, more("[[earlier_setup]]\nat = 2026-03-04T08:15:00Z\ntext = \"\"\nchanged = []\n"), "[[earlier_setup]]", "text_before is missing"),
        (last, more("[[earlier_setup]]\nat = 2026-03-04T08:15:00Z\ntext = \"\"\ntext_before = \"\"\nchanged = [{ key = \"washes\" }]\n"), "changed = ", "changed[1].place: place is missing"),
        (last, more("[[check]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nseconds = 103\n"), "[[check]]", "calibrated_seconds is missing"),
        (last, more("[[check]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nmix = \"wax\"\nseconds = 103\ncalibrated_seconds = 104\n"), "mix = \"wax\"", "no chemical \"wax\""),
        (last, more("[[check]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-9\"\nseconds = 103\ncalibrated_seconds = 104\n"), "sprayer = \"lance-9\"", "no sprayer \"lance-9\""),
        (last, more("[[correction]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\n"), "[[correction]]", "factor is missing here"),
        (last, more("[[correction]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\nfactor = 0\n"), "factor = 0", "lifted = true"),
        (last, more("[[correction]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\nfactor = inf\n"), "factor = inf", "out of range"),
        (last, more("[[correction]]\nat = 2026-03-04T08:15:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\nfactor = 1.1\nlifted = true\n"), "lifted = true", "only one can be meant"),
        ("made = 2026-03-10T12:00:00+01:00", "made = 2026-03-10T12:00:00+01:00\nformer_sprayers = [\"lance-9\"]\ncorrection = [{ at = 2026-03-04T08:15:00Z, sprayer = \"lance-9\", chemical = \"film\", factor = 1.1, ended = true }]".into(), "correction = ", "lance-9 has no calibration and no change"),
        (last, more("[[change]]\nat = 2026-03-01T08:15:00Z\nsprayer = \"lance-1\"\nwhat = \"nozzle\"\nended = true\ncalibrations_before = 1\n"), "calibrations_before = 1", "lance-1 has 1 calibrations here"),
        (last, more("[[change]]\nat = 2026-03-01T08:15:00Z\nsprayer = \"lance-1\"\nwhat = \"nozzle\"\ncalibrations_before = 0\n"), "calibrations_before = 0", "write ended = true"),
        ("holds_ml = 820\n", "holds_ml = 820 ml\n".into(), "holds_ml = 820 ml", "cannot be read"),
    ];
    for (from, to, told, says) in &slips {
        let (text, faults) = refused(&place, from, to);
        let [fault] = &faults[..] else {
            panic!("{to}: {faults:#?}");
        };
        let line = text.lines().nth(fault.line - 1).unwrap_or_default();
        assert!(
            line.starts_with(told),
            "{to}: line {} is {line:?}: {fault}",
            fault.line
        );
        assert!(fault.to_string().contains(says), "{to}: {fault}");
    }
    // All at once: the file is refused with every one of them.
    let text = by_hand()
        .replacen("catch_ml = 14700", "catch_ml = 14.7", 1)
        .replacen("holds = \"1060 ml\"", "holds = \"1060\"", 1)
        .replacen("void = \"nozzle\"", "void = \"lost\"", 1);
    let fault = backup::restore(&place.path("refused"), &place.file(&text), false).expect_err("no");
    assert!(fault.to_string().contains("has 3 mistakes"), "{fault}");
}

#[test]
fn a_run_that_only_older_versions_saved_needs_no_confirming() {
    let place = Place::new();
    let text = by_hand()
        .replacen("drawn_ml = 820", "drawn_ml = 60", 1)
        .replacen("catch_ml = 14700", "catch_ml = 1100", 1)
        .replacen("seconds = 104.2", "seconds = 2.5", 1);
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let run = past(&bay).sprayers["lance-1"]
        .calibration
        .as_ref()
        .expect("calibration")
        .calibration
        .run;
    assert!(run.doubts().iter().all(|doubt| doubt.is_impossible()));
    assert_eq!((run.catch.as_ml(), run.time.as_millis()), (1100.0, 2500));
}

#[test]
fn what_is_odd_or_out_of_order_can_be_confirmed() {
    let place = Place::new();
    let text = by_hand()
        .replacen("seconds = 104.2", "seconds = 10.42\nconfirmed = true", 1)
        .replacen("sprayer = \"lance-2\"", "sprayer = \"lance-1\"", 1)
        .replacen(
            "taken = 2026-03-03",
            "clock_wrong = true\ntaken = 1970-01-03",
            1,
        )
        .replacen(
            "made = 2026",
            "former_sprayers = [\"lance-9\"]\nlast_sprayer = \"lance-9\"\nmade = 2026",
            1,
        );
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let past = past(&bay);
    let newest = past.sprayers["lance-1"]
        .calibration
        .as_ref()
        .expect("calibration");
    assert_eq!(
        newest.calibration.run.catch.as_ml(),
        10300.0,
        "the last in the list"
    );
    assert_eq!(past.sprayers["lance-1"].void, Some(VoidCause::Nozzle));
    assert_eq!(past.last_sprayer.as_deref(), Some("lance-9"));
    // The backup of that is not refused for what was confirmed.
    let file = place.path("second.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let again = place.path("again");
    backup::restore(&again, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(self::past(&again), past);
}

#[test]
fn further_runs_are_brought_in_and_odd_ones_can_be_confirmed() {
    let place = Place::new();
    let text = by_hand()
        .replacen(
            "seconds = 104.2",
            "seconds = 104.2\nmore_runs = [[820, 14550.5, 103], [820.0, 14860, 10.5]]\n\
             confirmed = true",
            1,
        )
        .replacen(
            "[[calibration]]",
            "[draft]\nsprayer = \"lance-2\"\nstep = \"ready\"\nholds_ml = 1060\n\
             runs = [[1060, 10300, 57.25]]\n\n[[calibration]]",
            1,
        );
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let past = past(&bay);
    let of = &past.sprayers["lance-1"];
    let calibration = &of.calibration.as_ref().expect("calibration").calibration;
    let read: Vec<(f64, u128)> = calibration
        .runs()
        .map(|run| (run.catch.as_ml(), run.time.as_millis()))
        .collect();
    assert_eq!(
        read,
        [(14_700.0, 104_200), (14_550.5, 103_000), (14_860.0, 10_500)]
    );
    assert_eq!(past.repeats.len(), 1, "the other one has a single run");
    assert_eq!(past.repeats[0].len(), 3);
    let draft = past.draft.as_ref().expect("draft");
    assert_eq!(draft.runs.len(), 1);
    assert_eq!(draft.runs[0].time.as_millis(), 57_250);
    // Its own backup marks the odd run as confirmed, and is not refused for it.
    let file = place.path("second.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let again = place.path("again");
    backup::restore(&again, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(self::past(&again), past);
}

#[test]
fn the_runs_that_were_thrown_away_are_all_kept() {
    let place = Place::new();
    let bay = place.bay("bay", SETUP);
    let on = |ml: f64, step: f64| Load {
        volume: Volume::ml(ml),
        graduation: Some(Volume::ml(step)),
    };
    let weights = Weights {
        celsius: 15.5,
        catch_celsius: 47.5,
        bucket_empty: 0.62,
        container_full: 1.94,
        container_after: 0.97,
        bucket_full: 17.86,
    };
    let weighed = Run {
        way: Way::ByWeight,
        read: Some(Read {
            drawn: Volume::ZERO,
            catch: Volume::ml(4.25),
        }),
        weights: Some(weights),
        ..run(14_550.5)
    };
    let thrown = |way: Way, runs: Vec<Run>| {
        Happening::RunThrownAway(Draft {
            step: Step::Catch,
            holds: Some(Volume::ml(820.0)),
            time: Some(Duration::from_secs(20)),
            catch_loads: vec![load(1000.0), on(330.0, 10.0)],
            runs,
            ..begun(way)
        })
    };
    let mut records = open(&bay);
    let noon = at("2026-03-02T12:00:00Z");
    let plain = thrown(Way::RunDry, vec![run(14_700.0), run(14_550.5)]);
    records.keep(noon, &plain).expect("kept");
    let Happening::RunThrownAway(full) = thrown(Way::Timed, vec![run(14_700.0), weighed]) else {
        unreachable!("it is one")
    };
    let full = Draft {
        set_time: Some(Duration::from_millis(60_500)),
        left_loads: vec![on(250.0, 5.0), load(30.0)],
        weights: BTreeMap::from([(Weighed::Water, 14.5), (Weighed::BucketEmpty, 0.62)]),
        ..full
    };
    records
        .keep(noon, &Happening::RunThrownAway(full))
        .expect("kept");
    drop(records);
    let file = place.path("backup.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let text = lasting(&file);
    for told in [
        // What is no more than volumes and time reads as it always did.
        "step = \"catch\"\nholds_ml = 820\nseconds = 20\n\
         catch_ml = [1000, { ml = 330, graduation_ml = 10 }]\n\
         runs = [[820, 14700, 104.2], [820, 14550.5, 104.2]]\n",
        "way = \"timed\"\nstep = \"catch\"\nholds_ml = 820\nset_seconds = 60.5\nseconds = 20\n\
         left_ml = [{ ml = 250, graduation_ml = 5 }, 30]\n\
         catch_ml = [1000, { ml = 330, graduation_ml = 10 }]\n\
         water_celsius = 14.5\nbucket_empty_kg = 0.62\nruns = [\n    \
         { drawn_ml = 820, catch_ml = 14700, seconds = 104.2 },\n    \
         { drawn_ml = 820, catch_ml = 14550.5, seconds = 104.2, way = \"by-weight\", \
         drawn_uncertainty_ml = 0, catch_uncertainty_ml = 4.25, water_celsius = 15.5, \
         bucket_empty_kg = 0.62, container_full_kg = 1.94, container_after_kg = 0.97, \
         bucket_full_kg = 17.86, catch_celsius = 47.5 },\n]",
    ] {
        assert!(text.contains(told), "{told}\n\nis not in\n\n{text}");
    }
    let new = place.path("new");
    backup::restore(&new, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    let again = place.path("again.toml");
    backup::backup(&new, &again, false).expect("saved");
    assert_eq!(lasting(&again), lasting(&file));
}

#[test]
fn ways_checks_and_corrections_are_read_as_people_write_them() {
    let place = Place::new();
    let text = by_hand().replacen(
        "seconds = 104.2\n",
        "seconds = 104.2\nway = \"timed\"\ndrawn_uncertainty_ml = 2\ncatch_uncertainty_ml = 8.5\n\
         more_runs = [\n  [820, 14650, 103.9],\n  { drawn_ml = 820, catch_ml = 14680, \
         seconds = 104, way = \"by-weight\", water_celsius = 15, bucket_empty_kg = 0.6, \
         container_full_kg = 2, container_after_kg = 1, bucket_full_kg = 17.9 },\n]\n",
        1,
    );
    let text = text
        + "[[check]]\nat = 2026-03-01T08:00:00Z\nsprayer = \"lance-1\"\nseconds = 99\n\
           calibrated_seconds = 104.2\nended = true\n\
           [[check]]\nat = 2026-03-04T08:00:00Z\nsprayer = \"lance-1\"\nseconds = 103.5\n\
           calibrated_seconds = 104.2\n\
           [[check]]\nat = 2026-03-04T08:10:00Z\nsprayer = \"lance-1\"\nmix = \"film\"\n\
           seconds = 112\ncalibrated_seconds = 104.2\n\
           [[correction]]\nat = 2026-03-01T08:00:00Z\nsprayer = \"lance-2\"\n\
           chemical = \"film\"\nfactor = 1.2\nended = true\n\
           [[correction]]\nat = 2026-03-04T08:11:00Z\nsprayer = \"lance-1\"\n\
           chemical = \"film\"\nfactor = 1.08\n";
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let past = past(&bay);
    let lance = &past.sprayers["lance-1"];
    let check = lance.check.as_ref().expect("with water");
    assert_eq!(check.time.as_millis(), 103_500);
    assert_eq!(check.calibrated.as_millis(), 104_200);
    assert_eq!(lance.corrections, BTreeMap::from([("film".into(), 1.08)]));
    assert!(past.sprayers["lance-2"].corrections.is_empty());
    let calibration = &lance.calibration.as_ref().expect("one").calibration;
    let runs: Vec<&Run> = calibration.runs().collect();
    let ways: Vec<Way> = runs.iter().map(|run| run.way).collect();
    assert_eq!(ways, [Way::Timed, Way::RunDry, Way::ByWeight]);
    let read = runs[0].read.expect("both");
    assert_eq!((read.drawn.as_ml(), read.catch.as_ml()), (2.0, 8.5));
    assert_eq!((runs[1].read, runs[1].weights), (None, None));
    assert_eq!(runs[2].weights.expect("all five").bucket_full, 17.9);
    // And out of a backup of its own once more.
    let file = place.path("second.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let again = place.path("again");
    backup::restore(&again, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(self::past(&again), past);
    let third = place.path("third.toml");
    backup::backup(&again, &third, false).expect("saved");
    assert_eq!(lasting(&third), lasting(&file));
}

#[test]
fn rinses_and_stock_without_their_place_among_the_fills_go_by_their_dates() {
    let place = Place::new();
    let fill = |hour: u32, sprayer: &str, more: &str| {
        format!(
            "[[fill]]\nat = 2026-03-04T{hour:02}:00:00Z\nsprayer = \"{sprayer}\"\n\
             chemical = \"film\"\nfill_ml = 820\npoured_ml = {hour}\nwater_ml = 230\n\
             strength_percent = 4\nstanding = \"good\"\n{more}"
        )
    };
    let rinse = |hour: u32, sprayer: &str, more: &str| {
        format!("[[rinse]]\nat = 2026-03-04T{hour:02}:30:00Z\nsprayer = \"{sprayer}\"\n{more}")
    };
    let text = [
        &by_hand(),
        &fill(8, "lance-1", "left_ml = 30\nleft_product_ml = 20\n"),
        &fill(9, "lance-2", "meant_ml = 40\n"),
        &fill(10, "lance-1", "taken_back = true\n"),
        // After the fill of lance 1 and before that of lance 2.
        &rinse(8, "lance-1", ""),
        &rinse(8, "lance-2", ""),
        // By its place, whatever the date; and one that was not.
        &rinse(1, "lance-2", "fills_before = 3\ntaken_back = true\n"),
        "[[stock]]\nat = 2026-03-04T08:30:00Z\nchemical = \"film\"\nwhat = \"counted\"\nml = 500\n",
        "[[stock]]\nat = 2026-03-04T09:30:00Z\nchemical = \"film\"\nwhat = \"opened\"\ncontainers = 1\n",
        "[[lead_access]]\nat = 2026-03-04T09:40:00Z\nwhat = \"refused\"\n",
        "[[day_setting]]\nat = 2026-03-04T09:50:00Z\nchemical = \"film\"\nstrength_percent = 3.5\n\
         outside = \"too-weak\"\nbeside_never = true\n",
        "[[day_setting]]\nat = 2026-03-04T09:50:30Z\nchemical = \"film\"\ntaken_back = true\n",
        "[[day_setting]]\nat = 2026-03-04T09:51:00Z\nsprayer = \"lance-1\"\nended = true\n",
        "[[earlier_setup]]\nat = 2026-03-04T09:52:00Z\ntext = \"a\"\n\
         text_before = \"b\"\nchanged = [{ place = \"reminder\", key = \"washes\", after = \"50\" }]\n",
    ]
    .concat();
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let past = past(&bay);
    assert_eq!(past.sprayers["lance-1"].in_it, None);
    assert_eq!(past.sprayers["lance-2"].in_it.as_deref(), Some("film"));
    assert_eq!(
        (past.wrong_pins, past.last_fills.values().max().copied()),
        (1, Some(at("2026-03-04T09:00:00Z")))
    );
    let day = &past.day[&Scope::Bay].what;
    assert_eq!((day.strength, past.day.len()), (Strength::percent(3.5), 1));
    assert_eq!((day.allowed, day.beside_never), (Allowed::TooWeak, true));
    let log = open(&bay).log(1).expect("log");
    let short: Vec<String> = log
        .iter()
        .filter_map(|logged| match &logged.what {
            Happening::Fill(fill) => Some(match fill.how {
                FillHow::Fresh => "fresh".to_owned(),
                FillHow::ToppedUp { left, product } => format!("{left:?} {product:?}"),
                FillHow::Mispoured { meant } => format!("not {meant:?}"),
            }),
            Happening::Rinsed { sprayer } => Some(sprayer.clone()),
            Happening::Stock { what, .. } => Some(format!("{what:?}")),
            Happening::SetupChanged(change) => Some(format!("{:?}", change.keys[0].after)),
            Happening::Lead(LeadAccess::Refused) => Some("refused".to_owned()),
            _ => None,
        })
        .collect();
    assert_eq!(
        short,
        [
            "Some(\"50\")",
            "Volume(30.0) Volume(20.0)",
            "lance-1",
            "lance-2",
            "Counted { volume: Volume(500.0) }",
            "not Volume(40.0)",
            "Opened { containers: 1 }",
            "refused",
        ]
    );
    // And out of a backup of its own once more.
    let file = place.path("second.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let again = place.path("again");
    backup::restore(&again, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(self::past(&again), past);
    assert_eq!(told(&mut open(&again)), told(&mut open(&bay)));
}

#[test]
fn a_choice_comes_back_in_its_place_among_the_days_settings() {
    let place = Place::new();
    let set = |minute: u32| {
        format!("[[day_setting]]\nat = 2026-03-04T09:{minute}:00Z\nchemical = \"film\"\n")
    };
    // By its place, whatever the dates; without one by them.
    for (name, before, first) in [
        ("first", "chosen_chemical_settings_before = 0\n", true),
        ("last", "chosen_chemical_settings_before = 1\n", false),
        ("by-date", "", false),
    ] {
        let chosen = format!(
            "chosen_chemical = \"film\"\nchosen_chemical_at = 2026-03-04T09:55:00Z\n{before}made = 2026"
        );
        let text = by_hand().replacen("made = 2026", &chosen, 1) + &set(50);
        let bay = place.path(name);
        backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
        let past = past(&bay);
        let chosen = past.chosen_chemicals[&Scope::Bay].entry;
        assert_eq!(chosen < past.day[&Scope::Bay].entry, first, "{before}");
    }
}

#[test]
fn choices_come_back_for_their_sprayers() {
    let place = Place::new();
    let text = by_hand()
        + "[[day_setting]]\nat = 2026-03-04T09:50:00Z\nchemical = \"film\"\n\
           [[choice]]\nat = 2026-03-04T09:40:00Z\nsprayer = \"lance-1\"\nchemical = \"film\"\n\
           [[choice]]\nat = 2026-03-04T09:55:00Z\nsprayer = \"lance-2\"\nchemical = \"film\"\n\
           [[choice]]\nat = 2026-03-04T09:56:00Z\nchemical = \"film\"\nsettings_before = 0\n";
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let past = past(&bay);
    let set = past.day[&Scope::Bay].entry;
    let before = |scope: Scope| past.chosen_chemicals[&scope].entry < set;
    let lance = |n: u32| Scope::Sprayer(format!("lance-{n}"));
    assert!(before(lance(1)) && !before(lance(2)) && before(Scope::Bay));
    let at_of = |scope: Scope| past.chosen_chemicals[&scope].at;
    assert_eq!(at_of(lance(2)), at("2026-03-04T09:55:00Z"));
    // And out of a backup of its own.
    let file = place.path("own.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let again = place.path("again");
    backup::restore(&again, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(self::past(&again).chosen_chemicals, past.chosen_chemicals);
    // One that cannot be read does not become the bay's.
    let text = by_hand()
        + "[[choice]]\nat = 2026-03-04T09:40:00Z\nsprayer = \"lance-7\"\nchemical = \"film\"\n";
    let refused = backup::restore(&place.path("no"), &place.file(&text), false);
    let refused = refused.expect_err("no such sprayer").to_string();
    assert!(refused.contains("no sprayer \"lance-7\""), "{refused}");
}

#[test]
fn washes_that_a_backup_brought_are_in_the_log_of_their_day() {
    let place = Place::new();
    let text = by_hand()
        + "[[wash_count]]\nsprayer = \"lance-1\"\nchemical = \"film\"\nday = 2026-03-02\n\
           count = 2\ntaken_back = 1\n\
           [[wash_count]]\nsprayer = \"lance-2\"\nchemical = \"film\"\nday = 2026-03-09\ncount = 1\n";
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let mut records = open(&bay);
    records
        .keep(at("2026-03-10T13:00:00+01:00"), &wash("lance-1"))
        .expect("kept");
    let mut days = |since: &str| -> Vec<String> {
        let since = at(since);
        let first = records.first_since(since).expect("number");
        let log = records.log(first).expect("log");
        let washes = log
            .into_iter()
            .filter(|l| l.at >= since && matches!(l.what, Happening::Wash { .. }));
        washes
            .flat_map(|l| vec![l.at.date_naive().to_string(); l.times as usize])
            .collect()
    };
    let all = ["2026-03-02", "2026-03-02", "2026-03-09", "2026-03-10"];
    assert_eq!(days("2026-03-01T00:00:00+01:00"), all);
    assert_eq!(days("2026-03-09T00:00:00+01:00"), all[2..]);
    assert_eq!(days("2026-03-10T00:00:00+01:00"), all[3..]);
}

#[test]
fn a_lifted_correction_stays_lifted_after_a_restore() {
    let place = Place::new();
    let bay = place.bay("bay", SETUP);
    let mut records = open(&bay);
    for (chemical, factor) in [("film", Some(1.08)), ("soap", Some(1.02)), ("film", None)] {
        let happening = Happening::Corrected {
            sprayer: "lance-1".into(),
            chemical: chemical.into(),
            factor,
        };
        records
            .keep(at("2026-03-02T12:00:00Z"), &happening)
            .expect("kept");
    }
    drop(records);
    let file = place.path("backup.toml");
    backup::backup(&bay, &file, false).expect("saved");
    assert!(lasting(&file).contains("chemical = \"film\"\nlifted = true"));
    let new = place.path("new");
    backup::restore(&new, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    let of = &past(&new).sprayers["lance-1"];
    assert_eq!(of.corrections, BTreeMap::from([("soap".into(), 1.02)]));
}

#[test]
fn how_the_wall_is_heard_comes_back_as_far_as_it_was_chosen() {
    let place = Place::new();
    let keys = |file: &Path| -> Vec<String> {
        let about = ["volume_percent", "language", "loudspeaker"];
        let text = lasting(file);
        // The set-up between its quotes has keys of the same names.
        let top = text.split("setup = ").next().expect("the top").to_owned();
        let lines = top
            .lines()
            .filter(|line| about.iter().any(|key| line.starts_with(key)));
        lines.map(str::to_owned).collect()
    };
    let steps: [(Option<SoundChoice>, &[&str]); 5] = [
        (None, &[]),
        (Some(SoundChoice::Volume(40)), &["volume_percent = 40"]),
        (
            Some(SoundChoice::Loudspeaker(Some("USB \"A\"".into()))),
            &["volume_percent = 40", "loudspeaker = 'USB \"A\"'"],
        ),
        (
            Some(SoundChoice::Language(Language::Spanish)),
            &[
                "volume_percent = 40",
                "language = \"es\"",
                "loudspeaker = 'USB \"A\"'",
            ],
        ),
        // The system's own choice again is not the same as none ever made.
        (
            Some(SoundChoice::Loudspeaker(None)),
            &[
                "volume_percent = 40",
                "language = \"es\"",
                "loudspeaker = \"\"",
            ],
        ),
    ];
    let bay = place.bay("bay", SETUP);
    for (n, (choice, expected)) in steps.into_iter().enumerate() {
        if let Some(choice) = choice {
            let happening = Happening::SoundChosen(choice);
            let noon = at("2026-03-02T12:00:00Z");
            open(&bay).keep(noon, &happening).expect("kept");
        }
        let file = place.path("backup.toml");
        backup::backup(&bay, &file, true).unwrap_or_else(|fault| panic!("{fault}"));
        assert_eq!(keys(&file), expected);
        let new = place.path(&format!("new-{n}"));
        backup::restore(&new, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
        assert_eq!(past(&new), past(&bay));
        let again = place.path("again.toml");
        backup::backup(&new, &again, true).unwrap_or_else(|fault| panic!("{fault}"));
        assert_eq!(lasting(&again), lasting(&file));
    }
}

/// The history of lance 1 in short: catches in litres, and what was changed.
fn in_short(bay: &Path) -> Vec<String> {
    let history = history_of(&records_path(bay), "lance-1").expect("history");
    let short = history.iter().map(|milestone| match milestone {
        Milestone::Calibrated { record, washes, .. } => {
            format!("{} × {washes}", record.calibration.run.catch.as_litres())
        }
        Milestone::Changed { what, .. } => what.word().to_owned(),
        Milestone::BroughtBack { .. } => "back".to_owned(),
    });
    short.collect()
}

#[test]
fn a_change_that_ended_keeps_its_place_among_the_calibrations() {
    let place = Place::new();
    let calibration = |month: u32, catch: u32, more: &str| {
        format!(
            "[[calibration]]\nsprayer = \"lance-1\"\nnozzle = \"a\"\nwasher = \"b\"\n\
             holds_ml = 820\ndrawn_ml = 820\ncatch_ml = {catch}\nseconds = 104\n\
             taken = 2026-0{month}-10T08:00:00Z\nwashes_since = {month}\n{more}"
        )
    };
    let change = |month: u32, what: &str, more: &str| {
        format!(
            "[[change]]\nat = 2026-0{month}-09T08:00:00Z\nsprayer = \"lance-1\"\n\
             what = \"{what}\"\n{more}"
        )
    };
    let by_hand = by_hand();
    let head = by_hand.split("[[calibration]]").next().expect("head");
    let ended = "ended = true\n";
    let told = "ended = true\ncalibrations_before = 1\n";
    let text = [
        head,
        &calibration(1, 14_400, ""),
        // Told by a change below as well: one change, not two.
        &calibration(2, 14_500, "void = \"nozzle\"\n"),
        &calibration(3, 14_600, ""),
        // By its date, as in a backup that does not tell the place.
        &change(3, "nozzle", ended),
        // By what it tells, whatever the date.
        &change(1, "washer", told),
        // After the newest by its date: it ended, so it cannot have come after that.
        &change(9, "supply", ended),
    ]
    .concat();
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&text), false).unwrap_or_else(|fault| panic!("{fault}"));
    let expected = [
        "14.4 × 1",
        "washer",
        "14.5 × 2",
        "nozzle",
        "supply",
        "14.6 × 3",
    ];
    assert_eq!(in_short(&bay), expected);
    assert_eq!(past(&bay).sprayers["lance-1"].void, None);
    let file = place.path("second.toml");
    backup::backup(&bay, &file, false).expect("saved");
    let again = place.path("again");
    backup::restore(&again, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(in_short(&again), expected);
}

#[test]
fn a_bay_whose_records_are_of_version_one_is_backed_up_without_being_touched() {
    let place = Place::new();
    let bay = place.bay("bay", SETUP);
    let old = rusqlite::Connection::open(records_path(&bay)).expect("opened");
    // What this set-up calls its chemical and sprayers is what was frozen.
    old.execute_batch(include_str!("frozen_1.sql"))
        .expect("made");
    old.close().expect("closed");
    let bytes = std::fs::read(records_path(&bay)).expect("file");
    let file = place.path("backup.toml");
    backup::backup(&bay, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(std::fs::read(records_path(&bay)).expect("file"), bytes);
    let new = place.path("new");
    backup::restore(&new, &file, false).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(past(&new), past(&bay));
    assert_eq!(past_in(&mut open(&bay)), past(&new));
}

#[test]
fn an_older_calibration_that_was_void_does_not_make_the_newest_so() {
    let place = Place::new();
    let older = by_hand().replacen("sprayer = \"lance-1\"", "sprayer = \"lance-2\"", 1);
    let older = older.replacen(
        "washes_since = 12",
        "washes_since = 12\nvoid = \"washer\"",
        1,
    );
    let older = older.replacen(
        "washes_since = 43\nvoid = \"nozzle\"",
        "washes_since = 43",
        1,
    );
    let bay = place.path("bay");
    backup::restore(&bay, &place.file(&older), false).unwrap_or_else(|fault| panic!("{fault}"));
    let of = &past(&bay).sprayers["lance-2"];
    assert_eq!((of.washes_since, of.void), (43, None));
}

#[test]
fn a_bay_that_is_there_is_kept_aside_and_only_replaced_when_told() {
    let place = Place::new();
    let bay = place.bay("bay", SETUP);
    let mut records = open(&bay);
    records
        .keep(at("2026-03-02T12:00:00Z"), &wash("lance-1"))
        .expect("kept");
    let old = past_in(&mut records);
    let file = place.file(&by_hand());

    let fault = backup::restore(&bay, &file, false).expect_err("occupied");
    assert_eq!(fault, StoreFault::NotEmpty(bay.clone()));
    let fault = backup::restore(&bay, &file, true).expect_err("running");
    assert!(fault.to_string().contains("fillcall is running"), "{fault}");
    assert_eq!(past_in(&mut records), old);
    records
        .keep(at("2026-03-02T12:00:01Z"), &wash("lance-1"))
        .expect("it goes on");
    let old = past_in(&mut records);
    drop(records);

    let done = backup::restore(&bay, &file, true).unwrap_or_else(|fault| panic!("{fault}"));
    let aside = done.kept_aside.expect("kept aside");
    assert!(aside.starts_with(&bay), "{}", aside.display());
    let kept = aside
        .file_name()
        .expect("name")
        .to_str()
        .expect("text")
        .to_owned();
    assert_eq!(
        names(&bay),
        [
            "bay.toml".to_owned(),
            "records.begun".into(),
            "records.sqlite".into(),
            kept
        ]
    );
    assert_eq!(past(&aside), old);
    assert_eq!(
        std::fs::read_to_string(setup_path(&aside)).expect("set-up"),
        SETUP
    );
    assert_eq!(past(&bay).sprayers["lance-1"].washes_since, 12);
}

#[test]
fn a_damaged_bay_can_be_replaced_and_is_kept_as_it_is() {
    let place = Place::new();
    let bay = place.bay("bay", "not a set-up");
    std::fs::write(records_path(&bay), "not records").expect("file");
    let file = place.file(&by_hand());
    backup::restore(&bay, &file, false).expect_err("occupied");
    let done = backup::restore(&bay, &file, true).unwrap_or_else(|fault| panic!("{fault}"));
    let aside = done.kept_aside.expect("kept aside");
    assert_eq!(
        std::fs::read_to_string(records_path(&aside)).expect("file"),
        "not records"
    );
    assert_eq!(
        std::fs::read_to_string(setup_path(&aside)).expect("file"),
        "not a set-up"
    );
    assert_eq!(past(&bay).sprayers["lance-2"].washes_since, 43);
}

#[test]
fn a_backup_that_could_not_be_restored_is_not_made_and_no_other_file_is_lost() {
    let place = Place::new();
    let bay = place.bay("bay", &SETUP.replacen("820 ml", "820", 1));
    let file = place.path("backup.toml");
    let fault = backup::backup(&bay, &file, false).expect_err("a mistake");
    assert!(fault.to_string().contains("sprayer[1].holds"), "{fault}");
    assert!(!file.exists());
    std::fs::write(setup_path(&bay), SETUP).expect("mended");
    let diary = place.file("dear diary\n");
    for (taken, fault) in [
        (setup_path(&bay), StoreFault::OwnFile(setup_path(&bay))),
        (diary.clone(), StoreFault::ThereAlready(diary.clone())),
    ] {
        let before = std::fs::read(&taken).expect("file");
        assert_eq!(backup::backup(&bay, &taken, false), Err(fault));
        assert_eq!(std::fs::read(&taken).expect("file"), before);
    }
    std::fs::remove_file(&file).expect("removed");
    backup::backup(&bay, &file, false).expect("a bay without records");
    backup::backup(&bay, &file, true).expect("over an older backup");
    let fault = backup::backup(&place.path("nowhere"), &file, true).expect_err("no bay");
    assert!(fault.to_string().contains("there is no"), "{fault}");
    let fault = backup::restore(&bay, &place.path("none.toml"), true).expect_err("no file");
    assert!(fault.to_string().contains("none.toml"), "{fault}");
    assert_eq!(names(&bay), ["bay.toml"]);
}
