//! What happened, to look at and to take away.

mod codes;
mod report;
mod taking;

use super::generated::{ReportTab, ReportingView};
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::reporting::taking::{CodesOf, What};
use crate::bay::reporting::{ReportAction, Tab};

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &ReportingView) {
    match bay.page() {
        Page::TakeAway => taking::show(bay, view),
        _ => report::show(bay, view),
    }
}

/// What is pressed on these screens.
pub fn connect(view: &ReportingView, hands: &Hands) {
    let does = |action: ReportAction| hands.on(move || Action::Report(action.clone()));
    view.on_switch_span(does(ReportAction::SwitchSpan));
    view.on_choose(does(ReportAction::Choose));
    view.on_open_taking(hands.on(|| Action::Show(Page::TakeAway)));
    view.on_show_tab({
        let hands = hands.clone();
        move |tab| {
            hands.act(Action::Report(ReportAction::ShowTab(match tab {
                ReportTab::Washes => Tab::Washes,
                ReportTab::Fills => Tab::Fills,
                ReportTab::Landed => Tab::Landed,
                ReportTab::Product => Tab::Product,
                ReportTab::Care => Tab::Care,
            })));
        }
    });
    // The first of each list stands for all of them.
    let some = |id: String| (!id.is_empty()).then_some(id);
    view.on_take_sprayer(
        hands.on_text(move |id| Action::Report(ReportAction::TakeSprayer(some(id)))),
    );
    view.on_take_chemical(
        hands.on_text(move |id| Action::Report(ReportAction::TakeChemical(some(id)))),
    );
    view.on_take({
        let hands = hands.clone();
        move |place| {
            let what = usize::try_from(place).ok();
            let what = what.and_then(|place| What::ALL.get(place));
            if let Some(what) = what {
                hands.act(Action::Report(ReportAction::Take(*what)));
            }
        }
    });
    view.on_to_stick(does(ReportAction::ToStick));
    view.on_try_again(does(ReportAction::TryAgain));
    view.on_pick_stick(hands.on_text(|id| Action::Report(ReportAction::PickStick(id))));
    view.on_to_phone(does(ReportAction::ToPhone));
    view.on_next_code(does(ReportAction::NextCode));
    view.on_previous_code(does(ReportAction::PreviousCode));
    view.on_switch_codes(hands.on_bay(|bay| {
        Action::Report(ReportAction::ShowCodes(match bay.taking().codes {
            CodesOf::Totals => CodesOf::Rows,
            CodesOf::Rows => CodesOf::Totals,
        }))
    }));
}
