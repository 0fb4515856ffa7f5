use super::*;
use crate::bay::setup::{Dimming, Emergency, EntryUnits, Hours, Profile, Voice};
use crate::trade::chemical::{Nature, Order, Target};
use crate::trade::hazard::Hazard;
use crate::trade::protection::Protection;
use crate::trade::sprayer::Kind;
use crate::trade::units::{BottleRatio, Strength};
use proptest::prelude::*;

const GOOD: &str = r#"name = "Yard, bay 1"
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
id = "pump"
name = "Pump sprayer"
spoken = "left sprayer"
kind = "direct sprayer"
holds = "1 UK gal"
nozzle = "flat"
[[chemical]]
id = "film"
name = "Film off"
on_vehicle = "4 %"
band = ["3 %", "5 %"]
cautions = ["Gloves"]
[[chemical]]
id = "soap"
name = "Soap"
bottle_ratio = "1 + 10"
product_strength = "50 %"
cautions = ["Gloves", "Slippery"]
spray_per_vehicle = "4 l"
cost_per_litre = 3
[[measure]]
id = "jug"
name = "Jug"
size = "1 l"
graduation = "10 ml"
[[measure]]
id = "syringe"
name = "Syringe"
size = "60 ml"
graduation = "1 ml"
"#;

fn lines(text: &str) -> Vec<String> {
    text.lines().map(str::to_owned).collect()
}

#[test]
fn the_dial_is_read_where_it_is_told() {
    let dial = |text: &str| {
        let setup = read(text).unwrap_or_else(|faults| panic!("{faults:#?}"));
        setup.sprayers[0].dial.clone()
    };
    assert_eq!(dial(GOOD), None);
    let nozzle = "nozzle = \"1.35 mm\"";
    let told = GOOD.replacen(nozzle, &format!("{nozzle}\ndial = \"tip 4\""), 1);
    assert_eq!(dial(&told).as_deref(), Some("tip 4"));
}

#[test]
fn a_sprayer_may_have_no_nozzle_of_a_name_and_no_washer() {
    let text = GOOD
        .replace("nozzle = \"1.35 mm\"\nwasher = \"Washer A\"\n", "")
        .replace("nozzle = \"flat\"\n", "");
    let setup = read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    for sprayer in &setup.sprayers {
        assert_eq!((sprayer.nozzle.as_str(), sprayer.washer.as_str()), ("", ""));
    }
}

#[test]
fn a_good_file_is_read_as_it_stands() {
    let setup = read(GOOD).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(setup.name, "Yard, bay 1");
    assert!(!setup.demo && !setup.operators_may_change_chemical);
    assert_eq!(
        setup.panel,
        crate::bay::setup::Panel::usual(Profile::Ten1280)
    );
    assert_eq!((setup.voice, setup.volume_percent), (Voice::Beeps, 70));
    assert_eq!(setup.limits.overdue_washes, 50, "a quarter more");
    assert_eq!(setup.limits.days, None);
    assert_eq!(setup.currency, "");
    assert_eq!((setup.check_limit, setup.balance_step_kg), (0.05, None));
    assert_eq!(setup.entry_units, EntryUnits::Metric);
    let [lance, pump] = &setup.sprayers[..] else {
        panic!("two sprayers");
    };
    assert_eq!(
        (lance.spoken.as_str(), lance.kind),
        ("Lance 1", Kind::FoamLance)
    );
    assert_eq!(lance.holds, Volume::ml(820.0));
    assert_eq!(
        pump.holds,
        Volume::ml(4546.09),
        "Weights and Measures Act 1985"
    );
    assert_eq!(
        (pump.spoken.as_str(), pump.washer.as_str()),
        ("left sprayer", "")
    );
    let [film, soap] = &setup.chemicals[..] else {
        panic!("two chemicals");
    };
    assert_eq!(
        film.target,
        Target::OnVehicle(Strength::parse("4 %").unwrap())
    );
    assert_eq!(
        film.band.expect("band").most,
        Strength::parse("5 %").unwrap()
    );
    assert_eq!(film.product_strength, Strength::NEAT);
    assert_eq!(
        soap.target,
        Target::Bottle(BottleRatio::parse("1 + 10").unwrap())
    );
    assert_eq!(soap.product_strength, Strength::parse("50 %").unwrap());
    assert_eq!((soap.band, soap.cost_per_litre), (None, Some(3.0)));
    assert_eq!(soap.cautions, ["Gloves", "Slippery"]);
    let ids: Vec<&str> = setup.measures.iter().map(|m| m.id.as_str()).collect();
    assert_eq!(ids, ["syringe", "jug"], "smallest graduation first");
}

#[test]
fn what_may_be_left_out_of_a_chemical_a_vehicle_and_the_bay() {
    let usual = read(GOOD).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!((usual.stock_warn_days, usual.lead_minutes), (5, 5));
    assert_eq!(usual.dimming, Dimming::default());
    assert!(usual.vehicles.is_empty() && usual.unfinished.is_none());
    let film = &usual.chemicals[0];
    assert_eq!((film.nature, film.delivered_in), (Nature::Other, None));
    assert!(film.hazards.is_empty() && film.never_with.is_empty());
    assert!(film.put_on.is_empty() && film.order.is_none());
    assert_eq!(usual.emergency, Emergency::default());
    let told = GOOD.replace(
        "cautions = [\"Gloves\"]",
        "hazards = [\"H314\", \"EUH031\"]\nnature = \"hypochlorite\"\nnever_with = [\"soap\"]\n\
         order = \"water-first\"\nprotection = [\"apron\", \"gloves\"]\n\
         delivered_in = \"20 l\"",
    );
    let told = format!(
        "setting_up = 3\n{told}[stock]\nwarn_days = 9\n[lead]\nminutes = 60\n\
         [glass]\ndim_minutes = 0\nnight_from = \"21:30\"\nnight_to = \"04:00\"\n\
         [emergency]\neye_wash = \"by the door\"\ntelephone = \"112\"\n\
         [[vehicle]]\nid = \"van\"\nname = \"Van\"\nshare = 1\n\
         [[vehicle]]\nid = \"bus\"\nname = \"Bus\"\nshare = 2.5\n"
    );
    let setup = read(&told).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(setup.unfinished, Some(3));
    assert_eq!((setup.stock_warn_days, setup.lead_minutes), (9, 60));
    let time = |hours, minutes| chrono::NaiveTime::from_hms_opt(hours, minutes, 0).expect("a time");
    let night = Hours {
        from: time(21, 30),
        to: time(4, 0),
    };
    let dimming = Dimming {
        after_minutes: 0,
        percent: Dimming::USUAL_PERCENT,
        night: Some(night),
    };
    assert_eq!(setup.dimming, dimming);
    let film = &setup.chemicals[0];
    assert_eq!(film.hazards, [Hazard::H314, Hazard::Euh031]);
    assert!(film.cautions.is_empty(), "the hazards stand for them");
    assert_eq!(film.nature, Nature::Hypochlorite);
    assert_eq!(film.order, Some(Order::WaterFirst));
    assert_eq!(
        film.protection(),
        [Protection::Gloves, Protection::Apron],
        "the label wins"
    );
    assert_eq!(
        setup.emergency,
        Emergency {
            eye_wash: Some("by the door".into()),
            data_sheets: None,
            telephone: Some("112".into()),
        }
    );
    assert_eq!(film.never_with, ["soap"]);
    assert_eq!(film.delivered_in, Some(Volume::ml(20_000.0)));
    let shares: Vec<(&str, f64)> = setup
        .vehicles
        .iter()
        .map(|v| (v.name.as_str(), v.share))
        .collect();
    assert_eq!(shares, [("Van", 1.0), ("Bus", 2.5)]);
}

#[test]
fn keys_of_the_bays_own_are_passed_over_everywhere() {
    let below_each_heading: String = lines(GOOD)
        .into_iter()
        .map(|line| match line.starts_with('[') {
            true => format!("{line}\nx_own = 1979-05-27\n"),
            false => line + "\n",
        })
        .collect();
    let own = format!(
        "x_depot = \"north\"\nx_dot.ted = 1\n{below_each_heading}[x_notes]\n\
         anything = [1, {{ goes = true }}]\n[[x_list]]\na = 1\n"
    );
    assert!(own.matches("x_own").count() > 8);
    assert_eq!(read(&own), read(GOOD), "{own}");
}

#[test]
fn check_balance_and_units_are_read_where_they_are_told() {
    for (units, expected) in [
        ("metric", EntryUnits::Metric),
        ("US", EntryUnits::Us),
        ("UK", EntryUnits::Uk),
    ] {
        let text = format!(
            "units = \"{units}\"\n{GOOD}[check]\nlimit = \"7.5 %\"\n[balance]\nstep = \"20 g\"\n"
        );
        let setup = read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"));
        assert_eq!(setup.entry_units, expected);
        assert_eq!(setup.check_limit, 0.075);
        assert_eq!(setup.balance_step_kg, Some(0.02));
    }
    let empty = format!("{GOOD}[check]\n");
    let setup = read(&empty).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(setup.check_limit, 0.05, "its key may be left out too");
}

/// One slip of the pen: in which line (from 1) it replaces what, by what, and what must be said.
struct Slip {
    line: usize,
    with: &'static str,
    /// The line that the fault must name: the slip's own, or the heading where a key is missing.
    told_at: usize,
    key: &'static str,
    says: &'static str,
}

const fn slip(
    line: usize,
    with: &'static str,
    told_at: usize,
    key: &'static str,
    says: &'static str,
) -> Slip {
    Slip {
        line,
        with,
        told_at,
        key,
        says,
    }
}

/// Slips of which each is one mistake, wherever the others are made too.
#[rustfmt::skip]
const SLIPS: &[Slip] = &[
    slip(1, "name = \"\"", 1, "name", "empty"),
    slip(1, "name = 7", 1, "name", "not a text in quotes"),
    slip(1, "", 1, "name", "missing"),
    slip(2, "day_chemical = \"acid\"", 2, "day_chemical", "no [[chemical]] has the id \"acid\""),
    slip(3, "operators_may_change_chemical = \"yes\"", 3, "operators_may_change_chemical", "true or false"),
    slip(3, "operators_may_change_chemcial = true\noperators_may_change_chemical = true", 3, "operators_may_change_chemcial", "did you mean operators_may_change_chemical?"),
    slip(5, "profile = \"7in\"", 5, "screen.profile", "\"7in-1024x600\""),
    slip(5, "diagonal_inches = 7.0", 4, "screen.profile", "missing"),
    slip(5, "profile = \"7in-800x480\"\ndiagonal_inches = 70", 6, "screen.diagonal_inches", "5 to 24"),
    slip(7, "voice = \"loud\"", 7, "sound.voice", "\"beeps\""),
    slip(8, "volume_percent = 101", 8, "sound.volume_percent", "0 to 100"),
    slip(8, "volume_percent = -1", 8, "sound.volume_percent", "0 to 100"),
    slip(8, "volume_percent = 7.5", 8, "sound.volume_percent", "not a whole number"),
    slip(10, "washes = 40\noverdue_washes = 40", 11, "reminder.overdue_washes", "more than 40"),
    slip(10, "washes = 0", 10, "reminder.washes", "out of range"),
    slip(11, "put_off_washes = 0", 11, "reminder.put_off_washes", "1 to 1000"),
    slip(12, "put_off_times = true", 12, "reminder.put_off_times", "not a whole number"),
    slip(12, "put_off_times = 2\ndays = 0", 13, "reminder.days", "1 to 3650"),
    slip(2, "day_chemical = \"film\"\nunits = \"imperial\"", 3, "units", "write one of \"metric\", \"US\", \"UK\""),
    slip(2, "day_chemical = \"film\"\nunits = \"us\"", 3, "units", "did you mean \"US\"?"),
    slip(2, "day_chemical = \"film\"\nunits = \"metrics\"", 3, "units", "did you mean \"metric\"?"),
    slip(2, "day_chemical = \"film\"\nunits = 1", 3, "units", "not a text in quotes"),
    slip(2, "day_chemical = \"film\"\nunit = \"US\"", 3, "unit", "did you mean units?"),
    slip(2, "day_chemical = \"film\"\ncheck = \"10 %\"", 3, "check", "not a section"),
    slip(2, "day_chemical = \"film\"\nbalance = \"10 g\"", 3, "balance", "not a section"),
    slip(12, "put_off_times = 2\n[check]\nlimit = \"0 %\"", 14, "check.limit", "above 0 %"),
    slip(12, "put_off_times = 2\n[check]\nlimit = \"100 %\"", 14, "check.limit", "below 100 %"),
    slip(12, "put_off_times = 2\n[check]\nlimit = 10", 14, "check.limit", "not a text in quotes"),
    slip(12, "put_off_times = 2\n[check]\nlimit = \"10\"", 14, "check.limit", "% sign"),
    slip(12, "put_off_times = 2\n[check]\nlimits = \"10 %\"", 14, "check.limits", "did you mean limit?"),
    slip(12, "put_off_times = 2\n[balance]\nstep = \"10\"", 14, "balance.step", "no unit"),
    slip(12, "put_off_times = 2\n[balance]\nstep = \"0 g\"", 14, "balance.step", "not between 0.01 g and 5 kg"),
    slip(12, "put_off_times = 2\n[balance]\nstep = 10", 14, "balance.step", "not a text in quotes"),
    slip(12, "put_off_times = 2\n[balance]", 13, "balance.step", "missing"),
    slip(14, "id = \"lance 1\"", 14, "sprayer[1].id", "letters, digits"),
    slip(15, "name = \"Lance\\n1\"", 15, "sprayer[1].name", "line break"),
    slip(16, "kind = \"foam gun\"", 16, "sprayer[1].kind", "\"drum injector\""),
    slip(16, "", 13, "sprayer[1].kind", "missing"),
    slip(17, "holds = 820", 17, "sprayer[1].holds", "\"820 ml\""),
    slip(17, "holds = \"32 fl oz\"", 17, "sprayer[1].holds", "US fl oz"),
    slip(17, "holds = \"820 l\\u0000\"", 17, "sprayer[1].holds", "volume"),
    slip(17, "holds = \"8200 l\"", 17, "sprayer[1].holds", "cannot be"),
    slip(18, "nozle = \"1.35 mm\"\nnozzle = \"1.35 mm\"", 18, "sprayer[1].nozle", "did you mean nozzle?"),
    slip(31, "band = [\"3,5 %\",\n  \"5 %\"]", 31, "chemical[1].band", "write 3.5 %"),
    slip(17, "holds = \"0,8 l\"", 17, "sprayer[1].holds", "write 0.8 l"),
    slip(40, "cost_per_litre = \"3,20\"", 40, "chemical[2].cost_per_litre", "write 3.20 without quotes"),
    slip(37, "product_strength = \"50,5 %\"", 37, "chemical[2].product_strength", "write 50.5 %"),
    slip(21, "id = \"lance-1\"", 21, "sprayer[2].id", "line 14 already"),
    slip(22, "name = \"lance 1 \"", 22, "sprayer[2].name", "line 15 already"),
    slip(26, "nozzle = \"flat\"\ndial = \"4\"", 27, "sprayer[2].dial", "no dial"),
    slip(26, "nozzle = \"flat\"\nwasher = \"Washer A\"", 27, "sprayer[2].washer", "not fed by a washer"),
    slip(34, "id = \"film\"", 34, "chemical[2].id", "line 28 already"),
    slip(30, "on_vehicle = \"1:10\"", 30, "chemical[1].on_vehicle", "two ways"),
    slip(30, "on_vehicle = \"4\"", 30, "chemical[1].on_vehicle", "% sign"),
    slip(30, "on_vehicle = \"6 %\"", 31, "chemical[1].band", "6 % is wanted"),
    slip(30, "", 27, "chemical[1].on_vehicle", "missing"),
    slip(30, "on_vehicle = \"4 %\"\nbottle_ratio = \"1 + 10\"", 31, "chemical[1].bottle_ratio", "both"),
    slip(30, "on_vehicle = \"4 %\"\nproduct_strength = \"3 %\"", 30, "chemical[1].on_vehicle", "stronger than the product"),
    slip(31, "band = [\n  \"5 %\",\n  \"3 %\",\n]", 32, "chemical[1].band", "not weaker"),
    slip(31, "band = [\"3 %\",\n  \"5\"]", 32, "chemical[1].band", "% sign"),
    slip(31, "band = [\"3 %\"]", 31, "chemical[1].band", "has 1 end"),
    slip(31, "band = \"3 % to 5 %\"", 31, "chemical[1].band", "square brackets"),
    slip(32, "cautions = []", 32, "chemical[1].cautions", "no caution"),
    slip(32, "cautions = [\"Gloves\", 4]", 32, "chemical[1].cautions", "not a text"),
    slip(32, "", 27, "chemical[1].cautions", "missing"),
    slip(36, "bottle_ratio = \"1:10\"", 36, "chemical[2].bottle_ratio", "\"1 + 10\""),
    slip(36, "bottle_ratio = \"10\"", 36, "chemical[2].bottle_ratio", "not a bottle ratio"),
    slip(37, "product_strength = \"0 %\"", 37, "chemical[2].product_strength", "above 0 %"),
    slip(39, "spray_per_vehicle = \"4\"", 39, "chemical[2].spray_per_vehicle", "no unit"),
    slip(40, "cost_per_litre = \"3 EUR\"", 40, "chemical[2].cost_per_litre", "not a number"),
    slip(40, "cost_per_litre = -3.0", 40, "chemical[2].cost_per_litre", "out of range"),
    slip(40, "cost_per_litre = nan", 40, "chemical[2].cost_per_litre", "out of range"),
    slip(40, "colour = \"red\"", 40, "chemical[2].colour", "known here are"),
    slip(44, "size = \"1 litter\"", 44, "measure[1].size", "not a unit"),
    slip(45, "graduation = \"1.2 l\"", 45, "measure[1].graduation", "more than all of 1 L"),
    slip(47, "id = \"jug\"", 47, "measure[2].id", "line 42 already"),
    slip(50, "graduation = \"0 ml\"", 50, "measure[2].graduation", "not above zero"),
    slip(3, "operators_may_change_chemical = true\nsetting_up = \"yes\"", 4, "setting_up", "not a whole number"),
    slip(3, "operators_may_change_chemical = true\nown = 1", 4, "own", "one of your own begins with x_"),
    slip(12, "put_off_times = 2\n[stock]\nwarn_days = 0", 14, "stock.warn_days", "1 to 365"),
    slip(12, "put_off_times = 2\n[stock]\nwarn_day = 5", 14, "stock.warn_day", "did you mean warn_days?"),
    slip(12, "put_off_times = 2\n[lead]\nminutes = 61", 14, "lead.minutes", "1 to 60"),
    slip(12, "put_off_times = 2\n[lead]\nminutes = 2.5", 14, "lead.minutes", "not a whole number"),
    slip(2, "day_chemical = \"film\"\nstock = 5", 3, "stock", "not a section"),
    slip(2, "day_chemical = \"film\"\nlead = 5", 3, "lead", "not a section"),
    slip(2, "day_chemical = \"film\"\nglass = 5", 3, "glass", "not a section"),
    slip(12, "put_off_times = 2\n[glass]\ndim_minutes = 241", 14, "glass.dim_minutes", "0 to 240"),
    slip(12, "put_off_times = 2\n[glass]\ndim_percent = 54", 14, "glass.dim_percent", "55 to 90"),
    slip(12, "put_off_times = 2\n[glass]\nnight_from = \"20:00\"", 13, "glass.night_to", "missing"),
    slip(12, "put_off_times = 2\n[glass]\nnight_from = \"24:00\"\nnight_to = \"05:00\"", 14, "glass.night_from", "not a time of the day"),
    slip(12, "put_off_times = 2\n[glass]\ndim = 5", 14, "glass.dim", "known here are"),
    slip(40, "hazards = \"H314\"", 40, "chemical[2].hazards", "square brackets"),
    slip(40, "hazards = [\"H314\",\n  \"H999\"]", 41, "chemical[2].hazards", "not a hazard statement that is known"),
    slip(40, "order = \"water first\"", 40, "chemical[2].order", "not an order of pouring"),
    slip(40, "protection = [\"boots\"]", 40, "chemical[2].protection", "nothing to put on"),
    slip(40, "hazards = [314]", 40, "chemical[2].hazards", "not a text in quotes"),
    slip(40, "hazards = [\"H314\", \"H290\", \"H314\"]", 40, "chemical[2].hazards", "H314 is in it twice"),
    slip(40, "nature = \"acidic\"", 40, "chemical[2].nature", "did you mean \"acid\"?"),
    slip(40, "nature = \"salt\"", 40, "chemical[2].nature", "\"hypochlorite\""),
    slip(40, "never_with = [\"wax\"]", 40, "chemical[2].never_with", "no [[chemical]] has the id \"wax\""),
    slip(40, "never_with = [\"soap\"]", 40, "chemical[2].never_with", "this chemical itself"),
    slip(40, "never_with = [\"Film off\"]", 40, "chemical[2].never_with", "not an id"),
    slip(40, "never_with = \"film\"", 40, "chemical[2].never_with", "square brackets"),
    slip(40, "delivered_in = \"20\"", 40, "chemical[2].delivered_in", "no unit"),
    slip(40, "delivered_in = \"20 ml\"", 40, "chemical[2].delivered_in", "cannot be"),
    slip(50, "graduation = \"1 ml\"\n[vehicle]\nid = \"van\"", 51, "vehicle", "[[vehicle]]"),
    slip(50, "graduation = \"1 ml\"\n[[vehicle]]\nid = \"van\"\nname = \"Van\"", 51, "vehicle[1].share", "missing"),
    slip(50, "graduation = \"1 ml\"\n[[vehicle]]\nname = \"Van\"\nshare = 1", 51, "vehicle[1].id", "missing"),
    slip(50, "graduation = \"1 ml\"\n[[vehicle]]\nid = \"van\"\nshare = 1", 51, "vehicle[1].name", "missing"),
    slip(50, "graduation = \"1 ml\"\n[[vehicle]]\nid = \"van\"\nname = \"Van\"\nshare = 0", 54, "vehicle[1].share", "0.05 to 20"),
    slip(50, "graduation = \"1 ml\"\n[[vehicle]]\nid = \"van\"\nname = \"Van\"\nshare = \"1\"", 54, "vehicle[1].share", "not a number"),
    slip(50, "graduation = \"1 ml\"\n[[vehicle]]\nid = \"a\"\nname = \"A\"\nshare = 1\n[[vehicle]]\nid = \"a\"\nname = \"B\"\nshare = 1", 56, "vehicle[2].id", "line 52 already"),
];

/// Makes the slips (at most one to a line) below `above` lines of comment; gives the text and,
/// for each slip, the line that must be told.
fn with_slips(slips: &[&Slip], above: usize) -> (String, Vec<usize>) {
    let mut text = lines(GOOD);
    for slip in slips {
        slip.with.clone_into(&mut text[slip.line - 1]);
    }
    let told = slips.iter().map(|slip| {
        let more: usize = slips
            .iter()
            .filter(|other| other.line < slip.line.min(slip.told_at))
            .map(|other| other.with.matches('\n').count())
            .sum();
        // The top of the file stays its first line, whatever stands above the first key.
        let is_top = slip.says == "missing" && slip.told_at == 1;
        if is_top {
            1
        } else {
            slip.told_at + more + above
        }
    });
    let told = told.collect();
    ("# …\n".repeat(above) + &text.join("\n"), told)
}

#[test]
fn each_mistake_alone_has_its_line_key_and_remedy() {
    for one in SLIPS {
        let (text, told) = with_slips(&[one], 0);
        let faults = read(&text).expect_err(one.with);
        let [fault] = &faults[..] else {
            panic!("{:?}: {faults:#?}", one.with);
        };
        assert_eq!(
            (fault.line, fault.key.as_str()),
            (told[0], one.key),
            "{:?}: {fault}",
            one.with
        );
        assert!(
            fault.to_string().contains(one.says),
            "{:?}: {fault}",
            one.with
        );
        assert!(!fault.wrong.is_empty() && !fault.right.is_empty());
    }
}

/// Some of them make another one vanish (a sprayer's id that is wrong cannot also be double, a key
/// cannot also be a section) or name another's line; of an unknown kind nobody can say whether a washer feeds it.
fn depends_on_others(slip: &Slip) -> bool {
    [
        "already",
        "no [[chemical]] has",
        "is wanted",
        "not weaker",
        "stronger",
        "more than all",
        "not a section",
    ]
    .iter()
    .any(|says| slip.says.contains(says))
        || [14, 16, 28].contains(&slip.line)
}

proptest! {
    #[test]
    fn several_mistakes_at_once_are_all_told(
        picks in prop::collection::vec(any::<prop::sample::Index>(), 2..12),
        above in 0..4usize,
    ) {
        let alone: Vec<&Slip> = SLIPS.iter().filter(|s| !depends_on_others(s)).collect();
        let mut by_line = std::collections::BTreeMap::new();
        for pick in picks {
            let slip = alone[pick.index(alone.len())];
            by_line.entry(slip.line).or_insert(slip);
        }
        let slips: Vec<&Slip> = by_line.into_values().collect();
        let (text, told) = with_slips(&slips, above);
        let faults = read(&text).expect_err("mistakes");
        prop_assert_eq!(faults.len(), slips.len(), "{}\n{:#?}", text, faults);
        prop_assert!(faults.is_sorted_by_key(|f| f.line));
        for (slip, line) in slips.iter().zip(told) {
            prop_assert!(
                faults.iter().any(|f| f.line == line && f.key == slip.key
                    && f.to_string().contains(slip.says)),
                "{} at {line}: {:#?}", slip.key, faults
            );
        }
    }

    #[test]
    fn nothing_that_is_typed_makes_it_panic(at in 0..GOOD.len(), len in 0..60usize, put in "\\PC{0,12}") {
        // All ASCII, so that every byte is a place to cut.
        let end = (at + len).min(GOOD.len());
        let text = format!("{}{put}{}", &GOOD[..at], &GOOD[end..]);
        if let Err(faults) = read(&text) {
            prop_assert!(!faults.is_empty());
            let last = text.lines().count().max(1) + 1;
            prop_assert!(faults.iter().all(|f| (1..=last).contains(&f.line)), "{faults:?}");
        }
    }
}

#[test]
fn whole_sections_may_be_missing_or_of_the_wrong_sort() {
    let faults = read("").expect_err("empty");
    let keys: Vec<&str> = faults.iter().map(|f| f.key.as_str()).collect();
    assert_eq!(
        keys,
        [
            "name",
            "day_chemical",
            "operators_may_change_chemical",
            "screen",
            "sound",
            "reminder",
            "sprayer",
            "chemical",
            "measure"
        ]
    );
    let single = GOOD.replacen("[[measure]]", "[measure]", 1);
    let single = single.split("[[measure]]").next().expect("first part");
    let faults = read(single).expect_err("single brackets");
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!((faults[0].line, faults[0].key.as_str()), (41, "measure"));
    assert!(faults[0].right.contains("[[measure]]"));
}

#[test]
fn what_is_not_toml_is_one_fault_at_its_line() {
    for (line, with) in [
        (5, "profile = 7in"),
        (15, "name Lance 1"),
        (18, "holds = \"9 ml\""),
    ] {
        let mut text = lines(GOOD);
        with.clone_into(&mut text[line - 1]);
        let faults = read(&text.join("\n")).expect_err(with);
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(faults[0].line, line, "{faults:?}");
    }
}

#[test]
fn sections_may_be_written_in_a_line() {
    let inline = GOOD.replace(
        "[[measure]]\nid = \"jug\"\nname = \"Jug\"\nsize = \"1 l\"\ngraduation = \"10 ml\"\n",
        "",
    );
    let inline = inline.split("[[measure]]").next().expect("first part");
    let inline = format!(
        "measure = [{{ id = \"a\", name = \"A\", size = \"1 l\", graduation = \"1 ml\" }},\n \
         {{ id = \"a\", name = \"B\", size = \"1 l\", graduation = \"2 l\" }}]\n{inline}"
    );
    let faults = read(&inline).expect_err("two mistakes");
    let told: Vec<(usize, &str)> = faults.iter().map(|f| (f.line, f.key.as_str())).collect();
    assert_eq!(told, [(2, "measure[2].graduation"), (2, "measure[2].id")]);
}

#[test]
fn a_bay_without_a_readable_file_is_told_what_to_do() {
    let dir = tempfile::tempdir().expect("folder");
    let fault = |dir: &Path| {
        let faults = read_bay(dir).expect_err("not readable");
        assert_eq!((faults.len(), faults[0].line), (1, 0));
        faults[0].to_string()
    };
    assert!(fault(dir.path()).contains("fillcall restore"));
    std::fs::write(setup_path(dir.path()), [b'n', 0xff, 0xfe]).expect("file");
    assert!(fault(dir.path()).contains("UTF-8"));
    std::fs::write(setup_path(dir.path()), GOOD).expect("file");
    assert_eq!(read_bay(dir.path()), read(GOOD));
}
