//! The shift lead's side: a PIN, a session that ends by itself, and the page that leads on.

use super::generated::{LeadView, PinPage};
use super::tongue::{shown, tr};
use super::wall::Hands;
use super::words::date;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::editing::EditAction;
use crate::bay::lead::{LEAST_DIGITS, LeadAction, MOST_DIGITS, PinStage, PinTold};
use chrono::{DateTime, FixedOffset};
use std::time::Duration;

/// Whole seconds, the one that has begun counted.
fn seconds(left: Duration) -> u64 {
    left.as_secs() + u64::from(left.subsec_nanos() > 0)
}

/// "12 s", "1:20 min".
fn wait_shown(left: Duration) -> String {
    match seconds(left) {
        s @ 0..60 => format!("{s} s"),
        s => tr!("{} min", format!("{}:{:02}", s / 60, s % 60)),
    }
}

/// What to do, or what was wrong with the digits before.
fn words(bay: &Bay) -> String {
    let wrong = bay.pin_told() == Some(PinTold::Wrong);
    match (bay.pin_stage(), bay.pin_told()) {
        (PinStage::Ask | PinStage::Old, _) if bay.pin_wait().is_some() => match wrong {
            true => tr!("That is not the PIN. Nobody can try again for"),
            false => tr!("Too many wrong PINs. Nobody can try again for"),
        },
        (PinStage::Ask | PinStage::Old, Some(PinTold::Wrong)) => {
            tr!("That is not the PIN. Try again.")
        }
        (_, Some(PinTold::TooShort)) => {
            tr!("A PIN has {} to {} digits.", LEAST_DIGITS, MOST_DIGITS)
        }
        (_, Some(PinTold::Differed)) => {
            tr!("The two were not the same. Choose again.")
        }
        (PinStage::Ask, _) => tr!("Filling needs no PIN: Back leads home."),
        (PinStage::Old, _) => tr!("Only who knows it may choose another one."),
        (PinStage::Choose, _) => tr!(
            "{} to {} digits. Who knows them may change the bay.",
            LEAST_DIGITS,
            MOST_DIGITS
        ),
        (PinStage::Again, _) => tr!("So that a slip of the glove does not lock you out."),
    }
}

/// Until when the shift lead's side stays open.
fn open_note(bay: &Bay) -> String {
    match bay.lead_left().map(seconds) {
        None => String::new(),
        Some(s @ 0..=60) => tr!("Open. Closes in {} s", s),
        Some(s) => tr!("Open. Closes in {} min", s.div_ceil(60)),
    }
}

/// "30 Nov 2026, 15:20".
pub(super) fn moment(at: DateTime<FixedOffset>) -> String {
    tr!(
        "{}, {}",
        date(at.date_naive()),
        at.format("%H:%M").to_string()
    )
}

fn clock_words(bay: &Bay) -> String {
    match bay.newest_beyond_the_clock() {
        None => tr!("The clock is not behind the records: it is believed."),
        Some(_) => tr!(
            "One of the two is wrong: until then no day reminders, quiet hours or days of stock. If the \
             clock is wrong, set it first. If it is right, say so: later dates are then not believed."
        ),
    }
}

/// What in the records is not as it was kept: the first of it, and how many more.
fn records_words(bay: &Bay) -> String {
    let Some(first) = bay.broken().first() else {
        return String::new();
    };
    let words = format!("{} {}", shown(&first.words()), shown(&first.remedy()));
    match bay.broken().len() - 1 {
        0 => words,
        more => tr!("{} And {} more: fillcall check tells all.", words, more),
    }
}

fn show_clock(bay: &Bay, view: &LeadView) {
    let newest = bay.newest_beyond_the_clock();
    view.set_clock_wrong(newest.is_some());
    view.set_clock_shows(moment(bay.clock_shows()).into());
    let newest = newest.map(|at| tr!("Newest record: {}", moment(at)));
    view.set_clock_newest(newest.unwrap_or_default().into());
    view.set_clock_words(clock_words(bay).into());
    view.set_records_wrong(!bay.broken().is_empty());
    view.set_records_words(records_words(bay).into());
}

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &LeadView) {
    view.set_open_note(open_note(bay).into());
    show_clock(bay, view);
    view.set_pin_page(match bay.pin_stage() {
        PinStage::Ask => PinPage::Ask,
        PinStage::Old => PinPage::Old,
        PinStage::Choose => PinPage::Choose,
        PinStage::Again => PinPage::Again,
    });
    view.set_digits(i32::try_from(bay.pin_digits()).unwrap_or(0));
    view.set_words(words(bay).into());
    // Choosing a PIN waits for nothing.
    let wait = bay.pin_wait().filter(|_| bay.pin_stage().is_tried());
    view.set_wait(wait.map_or(String::new(), wait_shown).into());
    view.set_may_enter(bay.may_enter_pin());
}

/// What is pressed on these screens.
pub fn connect(view: &LeadView, hands: &Hands) {
    let to = |page: Page| hands.on(move || Action::Show(page));
    let does = |action: LeadAction| hands.on(move || Action::Lead(action));
    view.on_enter(does(LeadAction::Enter));
    view.on_clock(to(Page::Clock));
    view.on_panel(to(Page::Panel));
    view.on_update(to(Page::Update));
    view.on_glass(hands.on(|| Action::Edit(EditAction::Glass)));
    view.on_doctor(to(Page::Doctor));
    view.on_set_clock(to(Page::SetClock));
    view.on_clock_is_right(does(LeadAction::ClockIsRight));
    view.on_day(to(Page::Day));
    view.on_edit(to(Page::Edit));
    view.on_changes(to(Page::Changes));
    view.on_stock(to(Page::Stock));
    view.on_records(to(Page::Reports));
    view.on_loudspeaker(to(Page::Loudspeakers));
    view.on_change_pin(does(LeadAction::ChangePin));
    view.on_leave(does(LeadAction::Leave));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wait_is_shown_down_to_the_second_that_has_begun() {
        let shown = |ms| wait_shown(Duration::from_millis(ms));
        assert_eq!(shown(5000), "5 s");
        assert_eq!(shown(4001), "5 s");
        assert_eq!(shown(1), "1 s");
        assert_eq!(shown(59_001), "1:00 min");
        assert_eq!(shown(300_000), "5:00 min");
    }
}
