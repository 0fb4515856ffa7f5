//! How to calibrate, or to check only.

use super::generated::WaysView;
use super::tongue::tr;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::trade::calibration::Way;
use crate::trade::reminder::Standing;

/// Shows what can be chosen for the sprayer shown.
pub fn show(bay: &Bay, view: &WaysView) {
    let sprayer = bay.sprayer();
    view.set_sprayer(sprayer.name.as_str().into());
    view.set_may_weigh(bay.setup().balance_step_kg.is_some());
    view.set_no_check(match (bay.standing(sprayer), bay.calibrated_time()) {
        (Standing::Void(_), _) => tr!("It was changed: calibrate first.").into(),
        (_, None) => tr!("Calibrate first: there is no time to hold it against.").into(),
        (_, Some(_)) => "".into(),
    });
}

/// What is pressed on it.
pub fn connect(view: &WaysView, hands: &Hands) {
    view.on_run_dry(hands.on(|| Action::CalibrateBy(Way::RunDry)));
    view.on_timed(hands.on(|| Action::CalibrateBy(Way::Timed)));
    view.on_by_weight(hands.on(|| Action::CalibrateBy(Way::ByWeight)));
    view.on_check(hands.on(|| Action::Show(Page::Check)));
}
