//! The glass where nobody is there, and where it is wiped.

use super::generated::GlassView;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::glass::{Light, MOST_CREEP};

/// How far along the dark glass its words stand, 0 to 1, by where the picture is.
fn along(points: i32) -> f32 {
    (points + MOST_CREEP) as f32 / (2 * MOST_CREEP) as f32
}

/// Shows how the glass is lit and where its picture is. `drawn` is how much of the light the screens are
/// to leave, in percent.
pub fn show(bay: &Bay, drawn: u8, view: &GlassView) {
    let at = bay.picture_at();
    view.set_creep_x(at.x as f32);
    view.set_creep_y(at.y as f32);
    // What is dark is drawn dark.
    let lit = match bay.light() {
        Light::Bright | Light::Dark => 1.0,
        Light::Dimmed => f32::from(drawn) / 100.0,
    };
    view.set_lit(lit);
    if bay.light() == Light::Dark {
        let time = bay.clock_shows().format("%H:%M").to_string();
        let time = bay.clock_is_plausible().then_some(time);
        view.set_time(time.unwrap_or_default().into());
        view.set_place_x(along(at.x));
        view.set_place_y(along(at.y));
    }
    if let Some(left) = bay.wipe_left() {
        let seconds = left.as_millis().div_ceil(1000);
        view.set_wipe_left(i32::try_from(seconds).unwrap_or_default());
    }
}

/// What is pressed for it, on the menu.
pub fn connect(view: &GlassView, hands: &Hands) {
    view.on_wipe(hands.on(|| Action::Show(Page::Wipe)));
}
