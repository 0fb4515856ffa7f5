//! Every screen at every profile, rendered by the wall's own renderer.

mod common;

use common::window::{act_all, picture, wall};
use common::{Around, percent};
use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::setup::Profile;
use fillcall::trade::reminder::VoidCause;
use std::path::PathBuf;
use std::time::Duration;

fn calibrate(screen: &fillcall::screens::wall::WallScreen, around: &Around) {
    act_all(screen, [Action::Calibrate, Action::HoldsAsBefore, Action::NextStep]);
    screen.act(Action::StartStop { ago: Duration::ZERO });
    around.clock.go_on(Duration::from_secs(5 + 104));
    screen.act(Action::StartStop { ago: Duration::ZERO });
    act_all(screen, std::iter::repeat_n(Action::AddLoad("jug".into()), 17));
    act_all(screen, [Action::Pad(PadKey::Point), Action::Pad(PadKey::Digit(3))]);
    act_all(screen, [Action::NextStep, Action::SaveCalibration, Action::CloseNotice]);
}

#[test]
fn all() {
    let _ = percent(1.0);
    for profile in Profile::ALL {
        let around = Around::default();
        let screen = wall(profile, &around);
        let mut n = 0;
        let mut shot = |name: &str| {
            n += 1;
            let file = format!("target/pictures/{}/{n:02}-{name}.png", profile.name());
            picture(&screen, &PathBuf::from(file));
        };
        shot("uncalibrated");
        screen.act(Action::Calibrate);
        shot("holds");
        act_all(&screen, [Action::Pad(PadKey::Digit(9)), Action::Pad(PadKey::Digit(7)), Action::Pad(PadKey::Digit(5))]);
        shot("holds-typed");
        screen.act(Action::NextStep);
        shot("line");
        screen.act(Action::NextStep);
        shot("ready");
        screen.act(Action::StartStop { ago: Duration::ZERO });
        shot("countdown");
        around.clock.go_on(Duration::from_millis(5000 + 103_700));
        screen.act(Action::Tick);
        shot("running");
        screen.act(Action::StartStop { ago: Duration::ZERO });
        act_all(&screen, std::iter::repeat_n(Action::AddLoad("jug".into()), 17));
        act_all(&screen, [Action::Pad(PadKey::Point), Action::Pad(PadKey::Digit(3))]);
        shot("catch");
        screen.act(Action::NextStep);
        shot("review");
        screen.act(Action::SaveCalibration);
        shot("saved");
        screen.act(Action::CloseNotice);
        shot("fill");
        screen.act(Action::WashDone);
        shot("wash");
        screen.act(Action::CloseNotice);
        screen.act(Action::Show(Page::Sprayers));
        shot("sprayers");
        screen.act(Action::Show(Page::Chemicals));
        shot("chemicals");
        screen.act(Action::Show(Page::Parts));
        shot("parts");
        screen.act(Action::Show(Page::Care));
        shot("care");
        screen.act(Action::Show(Page::Changed));
        shot("changed");
        screen.act(Action::Show(Page::Help));
        shot("help");
        screen.act(Action::Back);
        act_all(&screen, [Action::ChooseChemical("degreaser".into()), Action::CloseNotice]);
        shot("out-of-reach");
        act_all(&screen, [Action::ChooseChemical("wheel".into()), Action::CloseNotice]);
        shot("wheel");
        act_all(&screen, [Action::ChooseChemical("film".into()), Action::CloseNotice]);
        act_all(&screen, std::iter::repeat_n(Action::WashDone, 5));
        screen.act(Action::CloseNotice);
        shot("due");
        act_all(&screen, std::iter::repeat_n(Action::WashDone, 3));
        screen.act(Action::CloseNotice);
        shot("overdue");
        screen.act(Action::Changed(VoidCause::Nozzle));
        shot("void");
        calibrate(&screen, &around);
        screen.act(Action::Show(Page::Calibrate));
        act_all(&screen, [Action::HoldsAsBefore, Action::NextStep]);
        screen.act(Action::StartStop { ago: Duration::ZERO });
        around.clock.go_on(Duration::from_secs(5 + 10));
        screen.act(Action::StartStop { ago: Duration::ZERO });
        act_all(&screen, std::iter::repeat_n(Action::AddLoad("jug".into()), 8));
        screen.act(Action::NextStep);
        shot("doubts");
    }
}
