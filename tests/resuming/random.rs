//! Anything by anybody, killed anywhere; and anything at all in the place of a place.

use super::common::anything::{Does, Yard, anybody, anything};
use super::common::lead::PIN;
use super::common::places::{Depot, keys};
use super::{mix, to_top_up, with};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::lead::lead_only;
use fillcall::bay::mixing::{MixAction, MixStage};
use fillcall::bay::records::Records;
use fillcall::bay::resuming::Place;
use fillcall::bay::stock::StockAction;
use fillcall::store::records::SqliteRecords;
use fillcall::store::records_path;
use proptest::prelude::*;
use std::cell::Cell;

fn last(yard: &Yard) -> i64 {
    let mut records = SqliteRecords::open(&records_path(yard.folder())).expect("records");
    records.last().expect("a number")
}

fn sequence() -> impl Strategy<Value = Vec<Vec<Does>>> {
    // The records are on a real disk, which does not fail here.
    let does = anybody().prop_filter("a real disk", |does| !matches!(does, Does::Fails(_)));
    prop::collection::vec(prop::collection::vec(does, 1..12), 1..4)
}

#[test]
fn whatever_was_done_the_place_is_the_same_or_home_and_nothing_is_kept_twice() {
    let (same, all, away) = (Cell::new(0_u32), Cell::new(0_u32), Cell::new(0_u32));
    let config = ProptestConfig {
        cases: 60,
        ..ProptestConfig::default()
    };
    proptest!(config, |(parts in sequence())| {
        let mut yard = Yard::on_disk();
        for part in parts {
            for does in &part {
                yard.does(does);
            }
            let (before, leaf) = (yard.bay().place(), yard.bay().leaf());
            let (shown, allowed) = (yard.bay().page(), yard.bay().void_allowed());
            let kept = last(&yard);
            yard = yard.start_anew();
            let (after, leaf_after) = (yard.bay().place(), yard.bay().leaf());
            prop_assert!(!yard.written().contains(PIN));
            prop_assert_eq!(last(&yard), kept, "kept by coming back");
            prop_assert!(!lead_only(yard.bay().page()) && yard.bay().page() != Page::Pin);
            prop_assert!(!yard.bay().lead_is_in());
            all.set(all.get() + 1);
            away.set(away.get() + u32::from(!before.is_home()));
            if after == before {
                same.set(same.get() + 1);
                let is_leads = |page| page == Page::Pin || lead_only(page) || page == Page::Help;
                if !is_leads(shown) && !allowed && leaf != leaf_after {
                    // What was being put on a stick ended with the program.
                    prop_assert_eq!(shown, Page::TakeAway, "{} {}", leaf, leaf_after);
                }
            } else {
                prop_assert_eq!(yard.bay().page(), Page::Fill, "{:?}\n{:?}", before, after);
            }
        }
    });
    let (same, all, away) = (same.get(), all.get(), away.get());
    println!("{same} of {all} places were the same, {away} were not home");
    assert!(
        same * 10 > all * 8 && away * 10 > all * 4,
        "hardly any came back"
    );
}

/// Places as text, with much half typed in them.
fn texts() -> Vec<String> {
    let text = |go: &dyn Fn(&super::Window)| {
        let depot = Depot::demonstration();
        let w = depot.window();
        super::lance(&w);
        go(&w);
        with(&w, |bay| serde_json::to_string(&bay.place()).expect("text"))
    };
    vec![
        text(&to_top_up),
        text(&|w| super::to_poured(w, "25")),
        text(&|w| {
            w.act([
                Action::Show(Page::Mix),
                mix(MixAction::Open(MixStage::Vehicles)),
            ]);
            w.act([0, 1].map(|at| mix(MixAction::OneMore(at))));
        }),
        text(&|w| {
            w.act([Action::CalibrateBy(
                fillcall::trade::calibration::Way::RunDry,
            )]);
            w.act(keys("82"));
        }),
        text(&|w| {
            w.act([
                Action::Show(Page::Check),
                Action::BeginCheck { with_mix: true },
            ])
        }),
        text(&|w| {
            w.act([Action::Show(Page::Stock)]);
            let look = StockAction::Look("traffic-film".into());
            w.act([look, StockAction::Count].map(Action::Stock));
            w.act(keys("31"));
        }),
        text(&|w| w.act([Action::Show(Page::Reports), Action::Show(Page::TakeAway)])),
    ]
}

/// The places in a text where a number, a word or null stands as a value.
fn values(text: &str) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    for (at, _) in text.match_indices(':') {
        let end = bytes[at + 1..].iter().position(|b| b",}[{".contains(b));
        if let Some(length) = end.filter(|length| *length > 0) {
            found.push((at + 1, at + 1 + length));
        }
    }
    found
}

/// What may stand in the place of a number, of a word, and of anything.
const NUMBERS: [&str; 11] = [
    "0",
    "1",
    "-1",
    "7",
    "1e300",
    "-1e300",
    "1e-300",
    "4294967295",
    "18446744073709551615",
    "9223372036854775807",
    "null",
];
const WORDS: [&str; 22] = [
    "\"\"",
    "\"x\"",
    "\"1\"",
    "\"9.9.9\"",
    "\"123456\"",
    "\"Mix\"",
    "\"Calibrate\"",
    "\"Check\"",
    "\"Lead\"",
    "\"Pin\"",
    "\"Edit\"",
    "\"Help\"",
    "\"Running\"",
    "\"Result\"",
    "\"Level\"",
    "\"Mispoured\"",
    "\"Celsius\"",
    "\"Litres\"",
    "\"ByWeight\"",
    "\"Review\"",
    "\"lance-2\"",
    "\"wheel-sprayer\"",
];
const OTHERS: [&str; 12] = [
    "null",
    "true",
    "false",
    "0.5",
    "1e9",
    "3",
    "\"LastFill\"",
    "\"lance-1\"",
    "\"shampoo\"",
    "\"Fill\"",
    "{\"Ratio\":-3}",
    "{\"Strength\":7}",
];

#[test]
fn anything_may_stand_in_a_place_and_the_wall_goes_on() {
    let texts = texts();
    let taken = Cell::new(0_u32);
    let depot = Depot::demonstration();
    let index = any::<prop::sample::Index>;
    let changes = prop::collection::vec((index(), index()), 1..3);
    let config = ProptestConfig {
        cases: 1200,
        ..ProptestConfig::default()
    };
    let strategy = (
        0..texts.len(),
        changes,
        prop::collection::vec(anything(), 0..6),
    );
    proptest!(config, |((which, changes, then) in strategy)| {
        let mut text = texts[which].clone();
        for (at, with) in changes {
            let values = values(&text);
            let (from, to) = values[at.index(values.len())];
            let like: &[&str] = match text.as_bytes()[from] {
                b'0'..=b'9' | b'-' => &NUMBERS,
                b'"' => &WORDS,
                _ => &OTHERS,
            };
            text.replace_range(from..to, like[with.index(like.len())]);
        }
        let Ok(place) = serde_json::from_str::<Place>(&text) else { return Ok(()) };
        taken.set(taken.get() + 1);
        *depot.places.text.borrow_mut() = Some(text);
        let mut runner = depot.open();
        prop_assert!(!lead_only(runner.bay().page()), "{:?}", place);
        let bay = runner.bay();
        let _ = (bay.leaf(), bay.left_over_says(), bay.mispoured_says(), bay.for_vehicles());
        let _ = (bay.got_says(), bay.offer(), bay.check_found(), bay.doubts());
        for action in then {
            runner.act(action);
        }
    });
    println!("{} were places all the same", taken.get());
    assert!(taken.get() > 100);
}
