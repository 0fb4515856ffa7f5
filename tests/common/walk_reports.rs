//! The walk through what happened, and through the ways to take it away.

use super::walk::{Seen, skip};
use super::week::{wash, week};
use super::window::window_of;
use super::{Around, percent, setup};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::ports::{Leave, OnStick, StickFault};
use fillcall::bay::records::{DaySetting, Happening, Scope};
use fillcall::bay::reporting::ReportAction;
use fillcall::bay::setup::Profile;
use fillcall::trade::days_strength::Allowed;
use std::time::Duration;

/// What happened, and the ways to take it away.
pub fn reports(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    let window = window_of(setup(profile), &around);
    let mut see = |name: &str| {
        look(Seen {
            name,
            window: &window,
        })
    };
    let to_reports = || window.act([Action::Show(Page::Fill), Action::Show(Page::Reports)]);
    window.press(&["Menu", "Records"]);
    see("report-nothing");
    window.press(&["Events"]);
    see("report-no-events");
    week(&around.records, around.clock.now().wall);
    to_reports();
    let tabs = [
        ("Washes", "washes"),
        ("Fills", "fills"),
        ("On the vehicle", "landed"),
        ("Product", "product"),
        ("Events", "events"),
    ];
    for span in ["today", "week"] {
        for (tab, name) in tabs {
            window.press(&[tab]);
            see(&format!("report-{span}-{name}"));
        }
        window.press(&[if span == "today" {
            "Show 7 days"
        } else {
            "Show today"
        }]);
        window.wait(Duration::from_millis(200));
    }
    let outside = |scope, strength: f64, allowed| {
        let setting = DaySetting {
            scope,
            chemical: "film".into(),
            strength: Some(percent(strength)),
            today_only: true,
            allowed,
            beside_never: false,
        };
        let set = Happening::DaySet {
            scope: setting.scope.clone(),
            setting: Some(setting),
        };
        let when = around.clock.now().wall;
        around.records.0.borrow_mut().happenings.push((when, set));
    };
    let lance = Scope::Sprayer("lance-1".into());
    let drum = Scope::Sprayer("drum".into());
    for (count, of) in [
        (1, vec![(lance, 6.0, Allowed::TooStrong)]),
        (
            3,
            vec![
                (Scope::Bay, 12.5, Allowed::TooStrong),
                (drum, 0.45, Allowed::TooWeak),
            ],
        ),
    ] {
        for (scope, strength, allowed) in of {
            outside(scope, strength, allowed);
        }
        to_reports();
        for (tab, name) in tabs {
            window.press(&[tab]);
            see(&format!("report-{count}-outside-{name}"));
        }
    }
    window.press(&["Of what: Everything"]);
    see("report-sprayers");
    window.press(&["Drum injector"]);
    see("report-chemicals");
    window.press(&["Wheel cleaner", "On the vehicle"]);
    see("report-no-band");
    window.press(&["Show 7 days", "Product"]);
    see("report-of-one");
    window.press(&["Take away"]);
    see("take-away");
    window.press(&["To a stick"]);
    see("stick-none");
    around.sticks.put_in(&["sdb1", "sdc1"]);
    skip(&window, Duration::from_secs(1));
    see("stick-choose");
    window.press(&["USB stick sdc1, 8 GB"]);
    see("stick-opening");
    let mut come_to = |state: OnStick, name: &str| {
        around.sticks.come_to(state);
        skip(&window, Duration::from_secs(1));
        see(&format!("stick-{name}"));
    };
    let (done, of) = (4096, 10_000);
    come_to(OnStick::Writing { done, of }, "writing");
    come_to(OnStick::Closing, "closing");
    for (leave, name) in [
        (Leave::PullOut, "done"),
        (Leave::NoTool, "no-tool"),
        (Leave::Held, "held"),
    ] {
        let folder = "fillcall/DEMO-Harbour-depot-bay-2-2026-03-02-12".into();
        window.act([Action::Report(ReportAction::PickStick("sdc1".into()))]);
        come_to(OnStick::Done { folder, leave }, name);
    }
    for (fault, name) in [
        (StickFault::Gone, "gone"),
        (StickFault::ReadOnly, "read-only"),
        (StickFault::Full { missing: 123_456 }, "full"),
        (StickFault::NoTool, "cannot-open"),
        (StickFault::NotAllowed, "not-allowed"),
        (
            StickFault::NotMounted {
                said: "EUR EUR EUR EUR EUR EUR EUR EUR EUR".into(),
            },
            "not-mounted",
        ),
        (StickFault::Hangs, "hangs"),
        (
            StickFault::Other {
                said: "EUR EUR EUR EUR EUR EUR EUR EUR EUR".into(),
            },
            "other",
        ),
    ] {
        window.act([Action::Report(ReportAction::PickStick("sdc1".into()))]);
        come_to(OnStick::Failed(fault), name);
    }
    // Whoever went on is told there.
    for (state, name) in [
        (
            OnStick::Done {
                folder: "fillcall/x".into(),
                leave: Leave::NoTool,
            },
            "elsewhere",
        ),
        (OnStick::Failed(StickFault::Gone), "failed-elsewhere"),
    ] {
        window.act([
            Action::Report(ReportAction::PickStick("sdc1".into())),
            Action::Show(Page::Fill),
        ]);
        come_to(state, name);
        window.act([
            Action::CloseNotice,
            Action::Show(Page::TakeAway),
            Action::Back,
        ]);
    }
    for (what, name) in [("Today", "today"), ("All", "all"), ("Wall card", "card")] {
        window.press(&[what, "To a phone"]);
        see(&format!("phone-{name}"));
        if what != "Wall card" {
            window.press(&["Show the table"]);
            see(&format!("phone-{name}-table"));
        }
        window.press(&["Back"]);
    }
    // More than codes are shown for.
    let now = around.clock.now().wall;
    let washes = (0..400).map(|_| (now, wash("lance-1", "film")));
    around.records.0.borrow_mut().happenings.extend(washes);
    window.press(&["Today", "To a phone"]);
    see("phone-too-long");
    around.clock.lose_date();
    window.act([Action::Show(Page::Reports)]);
    see("report-no-date");
    in_training(profile, look);
}

/// In training a band at the foot takes some height away: the fullest of them once more.
fn in_training(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let mut own = setup(profile);
    own.demo = false;
    let around = Around::default();
    week(&around.records, around.clock.now().wall);
    let window = window_of(own, &around);
    window.off.screen().mark_training(true);
    let mut see = |name: &str| {
        look(Seen {
            name: &format!("own-training-{name}"),
            window: &window,
        })
    };
    window.press(&["Menu", "Records", "Show 7 days"]);
    for (tab, name) in [
        ("Fills", "report-fills"),
        ("On the vehicle", "report-landed"),
        ("Product", "report-product"),
        ("Events", "report-events"),
    ] {
        window.press(&[tab]);
        see(name);
    }
    window.press(&["Take away"]);
    see("take-away");
    window.press(&["To a phone", "Show the table"]);
    see("phone-table");
}
