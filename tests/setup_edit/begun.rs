//! What a change and a first set-up leave for the next start of the wall.

use super::{Folder, demo, set, text};
use chrono::{DateTime, FixedOffset};
use fillcall::bay::at_work::{Bay, Now};
use fillcall::bay::offer::Offer;
use fillcall::bay::records::{Happening, Records};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::bay::setup_change::{Edit, Place, Value};
use fillcall::store::records::SqliteRecords;
use fillcall::store::records_path;
use fillcall::store::setup_file::{first, read};
use fillcall::trade::fill_plan::Part;
use fillcall::trade::language::Language;
use std::time::Duration;

fn noon() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-03-02T12:00:00Z").expect("a date")
}

#[test]
fn a_change_that_was_cut_off_before_its_record_is_noted_at_the_next_start() {
    let folder = Folder::with(&demo());
    let open = || SqliteRecords::open(&records_path(folder.dir())).expect("records");
    let mut records = open();
    assert!(records.note_setup(noon(), &folder.text()).expect("noted"));
    // Kept as it should be: nothing is left to note.
    let (_, change) = folder
        .change(&[set(Place::Bay, "name", text("One"))])
        .expect("changed");
    let kept = Happening::SetupChanged(change.clone());
    records.keep(noon(), &kept).expect("kept");
    drop(records);
    let mut records = open();
    assert!(!records.note_setup(noon(), &folder.text()).expect("looked"));
    let logged = records.log(0).expect("the log");
    assert!(logged.iter().any(|l| l.what == kept), "{logged:?}");
    drop(records);
    // Cut off between the file and the records.
    let (_, cut_off) = folder
        .change(&[set(Place::Bay, "name", text("Two"))])
        .expect("changed");
    let mut records = open();
    assert!(records.note_setup(noon(), &folder.text()).expect("noted"));
    // What came back from the records takes the change back as the change itself does.
    let from_records = records
        .log(0)
        .expect("the log")
        .into_iter()
        .find_map(|l| match l.what {
            Happening::SetupChanged(change) => Some(change),
            _ => None,
        });
    assert_eq!(from_records.as_ref(), Some(&change));
    use fillcall::bay::ports::SetupKeeper;
    folder.keeper().take_back(&cut_off).expect("taken back");
    folder.keeper().take_back(&change).expect("taken back");
    assert_eq!(folder.text(), demo());
}

#[test]
fn a_bay_that_is_not_set_up_yet_offers_nothing() {
    for language in Language::ALL {
        let begun = first(Panel::usual(Profile::Seven800), language);
        let folder = Folder::with(&begun);
        let mut setup = read(&begun).expect("a set-up");
        for kind in ["foam lance", "direct sprayer"] {
            let mut edits = vec![set(Place::Sprayer("sprayer-1".into()), "kind", text(kind))];
            if kind == "direct sprayer" {
                edits.push(Edit::Set {
                    place: Place::Sprayer("sprayer-1".into()),
                    key: "washer",
                    value: None,
                });
            }
            (setup, _) = folder.change(&edits).expect("changed");
            let records = SqliteRecords::open(&records_path(folder.dir())).expect("records");
            let now = Now {
                monotonic: Duration::ZERO,
                wall: noon(),
            };
            let bay = Bay::open(setup.clone(), Box::new(records), now).expect("a bay");
            for part in [Part::Full, Part::Half] {
                let offer = bay.offer_for(bay.sprayer(), bay.chemical(), part);
                assert_eq!(offer, Offer::Uncalibrated, "{kind}");
            }
        }
        // Question by question: the number of the next one, then nothing of it.
        let step = |value| Edit::Set {
            place: Place::Bay,
            key: "setting_up",
            value,
        };
        let (next, _) = folder
            .change(&[step(Some(Value::Whole(2)))])
            .expect("asked");
        assert_eq!((setup.unfinished, next.unfinished), (Some(1), Some(2)));
        let (done, change) = folder.change(&[step(None)]).expect("done");
        assert_eq!(done.unfinished, None);
        assert!(!change.text.contains("setting_up"));
    }
}
