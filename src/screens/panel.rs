//! The panel that the wall runs on: what is wrong with it, and its clock.

use super::generated::{CheckRow, ClockPart, Mark, PanelView};
use super::lead::moment;
use super::models;
use super::tongue::{shown, tr};
use super::wall::Hands;
use crate::bay::action::Action;
use crate::bay::at_work::Bay;
use crate::bay::panel::{ClockField, Finding, PanelAction, State};

fn row(finding: &Finding) -> CheckRow {
    CheckRow {
        name: shown(&finding.name()).into(),
        mark: match finding.state {
            State::Wrong => Mark::Stop,
            State::Warn => Mark::Due,
            State::Good | State::NotHere => Mark::None,
        },
        here: finding.state != State::NotHere,
        says: shown(&finding.says).into(),
        todo: shown(&finding.remedy).into(),
    }
}

fn note(bay: &Bay) -> String {
    if bay.looks_at_the_panel() {
        return tr!("Looking…");
    }
    match bay.panel_faults() {
        (0, 0) => tr!("nothing is wrong"),
        (0, 1) => tr!("1 thing could be better"),
        (0, more) => tr!("{} things could be better", more),
        (1, _) => tr!("1 thing is wrong"),
        (more, _) => tr!("{} things are wrong", more),
    }
}

fn part(field: ClockField) -> String {
    match field {
        ClockField::Day => tr!("day"),
        ClockField::Month => tr!("month"),
        ClockField::Year => tr!("year"),
        ClockField::Hour => tr!("hour"),
        ClockField::Minute => tr!("minute"),
    }
}

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &PanelView) {
    let (findings, page, pages) = bay.findings();
    view.set_alone(findings.iter().any(|finding| !finding.remedy.is_empty()));
    let rows = models::update(view.get_rows(), findings.iter().map(row).collect());
    if let Some(rows) = rows {
        view.set_rows(rows);
    }
    view.set_note(note(bay).into());
    view.set_pages(tr!("{} of {}", page, pages).into());
    view.set_is_last(page >= pages);
    view.set_looking(bay.looks_at_the_panel());

    let chosen = bay.clock_chosen();
    let parts = ClockField::ALL.map(|field| ClockPart {
        name: part(field).into(),
        figure: field.figure(chosen).into(),
    });
    if let Some(parts) = models::update(view.get_parts(), parts.into()) {
        view.set_parts(parts);
    }
    let now = bay.clock_shows();
    view.set_clock_shows(
        match bay.sets_the_clock() {
            true => tr!("Setting…"),
            false => format!("{} ({})", moment(now), now.format("%:z")),
        }
        .into(),
    );
    view.set_setting(bay.sets_the_clock());
}

/// What is pressed on these screens.
pub fn connect(view: &PanelView, hands: &Hands) {
    let does = |action: PanelAction| hands.on(move || Action::Panel(action));
    view.on_more(does(PanelAction::More));
    view.on_again(does(PanelAction::LookAgain));
    view.on_set_clock(does(PanelAction::SetClock));
    view.on_step({
        let hands = hands.clone();
        move |at, up| {
            let field = usize::try_from(at)
                .ok()
                .and_then(|at| ClockField::ALL.get(at));
            if let Some(field) = field {
                hands.act(Action::Panel(PanelAction::Step(*field, up)));
            }
        }
    });
}
