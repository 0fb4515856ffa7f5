//! What must not come of a change of the set-up, wherever it comes from.

use super::common::keeper::Desk;
use super::{DEMO, PANEL, changes, clear, close, first_run, go, notice, number, page};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::day::DayAction;
use fillcall::bay::offer::Offer;
use fillcall::bay::records::{Happening, Placed, Scope};
use fillcall::store::setup_file::read;
use fillcall::trade::never_mix::Reason;
use fillcall::trade::sprayer::Sprayer;

/// The demonstration bay with this chemical, by id, in lance 1.
fn with_inside(chemical: &str) -> Desk {
    let desk = Desk::of(DEMO, PANEL);
    {
        let mut kept = desk.window.around.records.0.borrow_mut();
        let lance = kept.past.sprayers.entry("lance-1".into()).or_default();
        lance.in_it = Some(chemical.into());
    }
    desk.restarted(PANEL)
}

fn look<R>(desk: &Desk, look: impl FnOnce(&Bay) -> R) -> R {
    desk.window.off.screen().with_bay(look).expect("a bay")
}

/// The texts that were found changed by hand and kept.
fn found(desk: &Desk) -> Vec<String> {
    let kept = desk.window.around.records.0.borrow();
    let texts = kept.happenings.iter().filter_map(|(_, what)| match what {
        Happening::SetupFound(text) => Some(text.clone()),
        _ => None,
    });
    texts.collect()
}

fn by_hand(desk: &Desk, from: &str, to: &str) {
    let text = desk.text();
    assert!(text.contains(from), "{from}");
    std::fs::write(desk.path(), text.replacen(from, to, 1)).expect("written");
}

/// From the first page of editing.
fn remove(desk: &Desk, kind: &str, item: &str) {
    go(desk, &[kind, item]);
    for _ in 0..4 {
        if desk.window.labels().iter().any(|l| l == "Remove") {
            break;
        }
        desk.window.press(&["More"]);
    }
    desk.window.hold("Remove");
}

/// A new chemical, from the first page of editing on.
fn add_wax(desk: &Desk) {
    go(desk, &["Chemicals", "Add"]);
    clear(desk);
    desk.write("Wax");
    desk.window.press(&["Next"]);
    number(desk, "3");
    let presses = [
        "Next",
        "More",
        "None of these",
        // No hazard statement.
        "None",
        "Add a line",
        "G",
        "Done",
    ];
    desk.window.press(&presses);
    desk.window.press(&["Save"]);
}

// ---- What is in a sprayer --------------------------------------------------------------------

#[test]
fn a_chemical_that_is_in_a_sprayer_is_not_removed() {
    let desk = with_inside("roof-bleach");
    desk.lead(Page::Edit);
    remove(&desk, "Chemicals", "Roof cleaner");
    assert_eq!(
        notice(&desk),
        "Lance 1 still has Roof cleaner in it: rinse it first."
    );
    assert_eq!(desk.text(), DEMO);
    close(&desk);
    // Nor is it by hand, as long as the wall is open.
    by_hand(&desk, "id = \"roof-bleach\"", "id = \"roof-white\"");
    let hand = desk.text();
    desk.window.press(&["Back"]);
    go(&desk, &["Film remover", "What it is", "Acid"]);
    assert_eq!(
        notice(&desk),
        "The set-up's file was changed by hand. Lance 1 still has Roof cleaner in it: rinse it first."
    );
    assert_eq!(desk.text(), hand);
    assert!(look(&desk, |bay| bay
        .setup()
        .chemical("roof-bleach")
        .is_some()));
    std::fs::write(desk.path(), DEMO).expect("written");
    // The remedy that it names is one.
    desk.window.act([
        Action::Show(Page::Fill),
        Action::ChooseSprayer("lance-1".into()),
        Action::Show(Page::Rinse),
    ]);
    desk.window.act([Action::Day(DayAction::Rinsed)]);
    close(&desk);
    desk.window.act([Action::Show(Page::Edit)]);
    desk.window.press(&["Back", "Back", "Back"]);
    remove(&desk, "Chemicals", "Roof cleaner");
    assert_eq!(notice(&desk), "Roof cleaner is removed");
}

#[test]
fn of_what_the_set_up_does_not_know_nobody_can_tell_what_it_meets() {
    let desk = with_inside("old-acid");
    let w = &desk.window;
    let first = look(&desk, |bay| {
        let film = bay.setup().chemical("traffic-film").expect("there");
        bay.rinse_first("lance-1", film)
    });
    let first = first.expect("to be rinsed");
    assert_eq!(
        (first.was.as_str(), first.never),
        ("old-acid", Some(Reason::Unknown))
    );
    let offers_a_rinse = |bay: &Bay| matches!(bay.offer(), Offer::Rinse(_));
    w.act([Action::ChooseSprayer("lance-1".into())]);
    assert!(look(&desk, offers_a_rinse));
    // No other chemical is chosen past it, and no key says that it was rinsed.
    w.act([Action::ChooseChemical("shampoo".into())]);
    assert_eq!(
        notice(&desk),
        "Lance 1 still has old-acid in it: no Bus shampoo. Not in the set-up: it may react."
    );
    assert_eq!(page(&desk), Page::Rinse);
    w.act([Action::Main]);
    assert!(look(&desk, offers_a_rinse));
    close(&desk);
    w.hold("Rinsed");
    assert!(!look(&desk, offers_a_rinse));
}

// ---- Ids -------------------------------------------------------------------------------------

#[test]
fn the_id_of_what_is_gone_is_never_given_again() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    let ids = || -> Vec<String> {
        let setup = read(&desk.text()).expect("right");
        setup.chemicals.iter().map(|c| c.id.clone()).collect()
    };
    for (id, gone) in [("wax", None), ("wax-2", Some("wax"))] {
        add_wax(&desk);
        assert_eq!(notice(&desk), "Wax is added");
        assert!(ids().contains(&id.to_owned()), "{:?}", ids());
        assert!(gone.is_none_or(|gone| !ids().contains(&gone.to_owned())));
        close(&desk);
        w.press(&["Back", "Back"]);
        remove(&desk, "Chemicals", "Wax");
        close(&desk);
        w.press(&["Back"]);
    }
    // One that only the records still know, and not as a change of the set-up.
    desk.window
        .around
        .records
        .0
        .borrow_mut()
        .past
        .chosen_chemicals
        .insert(
            Scope::Bay,
            Placed {
                entry: 1,
                at: desk.window.around.clock.now().wall,
                what: "wax-3".into(),
            },
        );
    add_wax(&desk);
    assert!(ids().contains(&"wax-4".to_owned()), "{:?}", ids());
}

// ---- By hand ---------------------------------------------------------------------------------

#[test]
fn what_was_changed_by_hand_holds_once_it_is_kept_and_not_before() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    let washes = || look(&desk, |bay| bay.setup().limits.washes);
    desk.lead(Page::Edit);
    by_hand(&desk, "\nwashes = 40 ", "\nwashes = 45 ");
    let hand = desk.text();
    go(&desk, &["Limits", "Due after"]);
    w.around.records.0.borrow_mut().fails = true;
    number(&desk, "45");
    w.press(&["Save"]);
    assert!(
        notice(&desk).starts_with("What was changed by hand does not hold yet"),
        "{}",
        notice(&desk)
    );
    assert_eq!((washes(), found(&desk).len()), (40, 0));
    w.around.records.0.borrow_mut().fails = false;
    close(&desk);
    // An edit that changes nothing is no door for it.
    w.press(&["Save"]);
    assert_eq!(
        notice(&desk),
        "The set-up's file was changed by hand: that holds from now on."
    );
    assert_eq!((washes(), found(&desk)), (45, vec![hand.clone()]));
    assert!(changes(&desk).is_empty());
    close(&desk);
    // Nor is one that changes something else, which is taken back without it.
    by_hand(&desk, "\nwashes = 45 ", "\nwashes = 44 ");
    let hand = desk.text();
    go(&desk, &["Put off for"]);
    number(&desk, "3");
    w.press(&["Save"]);
    assert_eq!((washes(), found(&desk).len()), (44, 2));
    assert_eq!(changes(&desk)[0].keys.len(), 1);
    w.press(&["Undo"]);
    assert_eq!((desk.text(), washes()), (hand, 44));
    // What was so already is no news.
    close(&desk);
    go(&desk, &["Put off for"]);
    number(&desk, "5");
    w.press(&["Save"]);
    assert_eq!(notice(&desk), "It was so already.");
    assert_eq!(found(&desk).len(), 2);
}

// ---- Taking back -----------------------------------------------------------------------------

/// Its nozzle, as the bay goes by it.
fn nozzle(desk: &Desk) -> String {
    let of = |sprayer: &Sprayer| sprayer.nozzle.clone();
    look(desk, |bay| bay.setup().sprayer("lance-1").map(of)).expect("lance 1")
}

#[test]
fn what_is_in_hand_stands_against_taking_back_as_against_an_edit() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    let unfinished = "A calibration is not finished: save it or throw it away first.";
    desk.lead(Page::Edit);
    w.press(&["Sprayers", "Lance 1", "Nozzle", "1.05 mm"]);
    w.act([
        Action::ChooseSprayer("lance-1".into()),
        Action::CalibrateBy(fillcall::trade::calibration::Way::RunDry),
        Action::Show(Page::Fill),
    ]);
    // By the notice, by the list, by an edit, and by hand.
    w.act([Action::Undo]);
    assert!(notice(&desk).contains(unfinished), "{}", notice(&desk));
    close(&desk);
    w.act([Action::Show(Page::Changes)]);
    w.hold("Take back change 1");
    assert_eq!(notice(&desk), unfinished);
    close(&desk);
    w.act([Action::Show(Page::Edit)]);
    w.press(&["Nozzle", "2.2 mm"]);
    assert_eq!(notice(&desk), unfinished);
    close(&desk);
    w.press(&["Back", "Back", "Back"]);
    remove(&desk, "Measures", "60 ml syringe");
    assert_eq!(notice(&desk), unfinished);
    close(&desk);
    let text = desk.text();
    by_hand(&desk, "size = \"60 ml\"", "size = \"50 ml\"");
    w.press(&["Back", "Back"]);
    go(&desk, &["Vehicles", "Minibus", "Spray it takes"]);
    number(&desk, "0.6");
    w.press(&["Save"]);
    assert!(notice(&desk).contains(unfinished), "{}", notice(&desk));
    assert_eq!((nozzle(&desk).as_str(), found(&desk).len()), ("1.05 mm", 0));
    // What it does not hang on goes on.
    std::fs::write(desk.path(), text).expect("written");
    close(&desk);
    w.press(&["Save"]);
    assert_eq!(notice(&desk), "Minibus, Spray it takes: × 0.6");
    // And it is taken back once that is over.
    w.act([Action::Show(Page::Calibrate), Action::ThrowAway]);
    close(&desk);
    w.act([Action::Show(Page::Changes)]);
    w.hold("Take back change 2");
    assert_eq!(nozzle(&desk), "1.35 mm");
}

#[test]
fn a_chemical_that_was_added_and_filled_is_not_taken_back() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    add_wax(&desk);
    w.act([
        Action::ChooseSprayer("wheel-sprayer".into()),
        Action::ChooseChemical("wax".into()),
        Action::Filled,
    ]);
    close(&desk);
    w.act([Action::Show(Page::Changes)]);
    w.hold("Take back change 1");
    assert_eq!(
        notice(&desk),
        "Wheel sprayer still has Wax in it: rinse it first."
    );
    assert!(look(&desk, |bay| bay.setup().chemical("wax").is_some()));
}

#[test]
fn the_first_set_up_never_comes_back() {
    let desk = first_run(Desk::first(PANEL), false, false);
    let w = &desk.window;
    w.press(&["Set a PIN"]);
    desk.set_pin();
    close(&desk);
    w.press(&["Next", "Done"]);
    close(&desk);
    w.act([Action::Show(Page::Changes)]);
    let (text, kept) = (desk.text(), changes(&desk).len());
    let pages = look(&desk, |bay| bay.setup_changes().len()).div_ceil(2);
    for _ in 0..pages {
        w.hold("Take back change 1");
        assert_eq!(
            notice(&desk),
            "It is an answer of the first set-up, and there was none before it: change it instead."
        );
        close(&desk);
        w.press(&["More"]);
    }
    assert_eq!((desk.text(), changes(&desk).len()), (text, kept));
    // By hand it is not begun anew behind the wall's back.
    std::fs::write(desk.path(), format!("setting_up = 3\n{}", desk.text())).expect("written");
    w.act([Action::Show(Page::Edit)]);
    go(&desk, &["Limits", "Due after"]);
    number(&desk, "45");
    w.press(&["Save"]);
    assert!(
        notice(&desk).contains("take setting_up out of the file first"),
        "{}",
        notice(&desk)
    );
    assert!(!look(&desk, Bay::is_being_set_up));
}
