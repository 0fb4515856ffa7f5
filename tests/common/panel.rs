//! A panel to look at and a clock to set, that are what a test wants; and panels with everything wrong,
//! as the real doctor finds them.

use super::setup;
use super::window::{Window, window_of};
use super::{Around, lead, walk::Seen};
use chrono::{DateTime, NaiveDateTime};
use fillcall::bay::action::{Action, Page};
use fillcall::bay::panel::{Finding, State};
use fillcall::bay::ports::{ClockFault, ClockSet, ClockSetter, Extent, PanelDoctor};
use fillcall::bay::setup::Profile;
use fillcall::doctor::{Root, Space, System, Told, look};
use fillcall::text;
use std::cell::RefCell;
use std::collections::VecDeque;
use std::path::Path;
use std::rc::Rc;

/// What the stand-in knows and was asked.
#[derive(Default)]
pub struct Seat {
    /// What is found, of everything.
    pub findings: Vec<Finding>,
    /// Looks do not come to their end.
    pub hangs: bool,
    /// What was looked at, in order.
    pub looks: Vec<Extent>,
    answers: VecDeque<Extent>,
    /// The times that were set.
    pub set: Vec<NaiveDateTime>,
    /// What becomes of setting the clock; `None` where it hangs.
    pub becomes: Option<ClockSet>,
}

/// The stand-in.
#[derive(Clone, Default)]
pub struct TestPanel(pub Rc<RefCell<Seat>>);

impl TestPanel {
    /// From now on these are found.
    pub fn find(&self, findings: impl IntoIterator<Item = Finding>) {
        self.0.borrow_mut().findings = findings.into_iter().collect();
    }
}

fn is_of(what: &str, extent: Extent) -> bool {
    match extent {
        Extent::All => true,
        Extent::Inputs => what == "touch",
        Extent::Sound => what == "mixer",
        Extent::Disk => ["disk", "records", "display"].contains(&what),
    }
}

impl PanelDoctor for TestPanel {
    fn look(&mut self, extent: Extent) {
        let mut seat = self.0.borrow_mut();
        seat.looks.push(extent);
        if !seat.hangs {
            seat.answers.push_back(extent);
        }
    }
    fn found(&mut self) -> Option<(Extent, Vec<Finding>)> {
        let mut seat = self.0.borrow_mut();
        let extent = seat.answers.pop_front()?;
        let found = seat.findings.iter().filter(|f| is_of(f.what, extent));
        Some((extent, found.cloned().collect()))
    }
}

impl ClockSetter for TestPanel {
    fn set(&mut self, to: NaiveDateTime) {
        self.0.borrow_mut().set.push(to);
    }
    fn state(&mut self) -> Option<ClockSet> {
        let mut seat = self.0.borrow_mut();
        match seat.set.is_empty() {
            true => None,
            false => seat.becomes.take(),
        }
    }
}

/// A machine whose card is silent and whose disk is full, or which does not tell.
struct Bad(bool);

impl System for Bad {
    fn run(&self, _: &str, _: &[&str]) -> Option<String> {
        let off = "Simple mixer control 'Master',0\n  Mono: Playback 0 [0%] [-65.25dB] [off]\n";
        let low = "Simple mixer control 'Master',0\n  Mono: Playback 9 [10%] [-59.00dB] [on]\n";
        Some(if self.0 { off } else { low }.to_owned())
    }
    fn space(&self, _: &Path) -> Option<Space> {
        self.0.then_some(Space {
            free: 1_000_000,
            size: 8_000_000_000,
            files: None,
        })
    }
    fn may_write(&self, _: &Path) -> bool {
        false
    }
}

/// Everything that the doctor says of panels on which most things are wrong, each in its own words.
pub fn every_fault(profile: Profile) -> Vec<Finding> {
    let other = match profile {
        Profile::Ten1280 => "1024x600\n",
        _ => "1280x800\n",
    };
    let cards = " 0 [PCH            ]: HDA-Intel - HDA Intel PCH ALC269VC AA-01\n";
    let bare: &[(&str, &str)] = &[
        ("sys/class/drm/card0-HDMI-A-1/status", "connected"),
        ("sys/class/drm/card0-HDMI-A-1/modes", other),
        ("proc/asound/cards", cards),
        ("proc/asound/pcm", "00-00: A : A : playback 1\n"),
        ("usr/bin/amixer", ""),
        ("var/lib/fillcall/bay/nothing", ""),
        ("etc/fillcall/records", "place=folder\nid=7\n"),
        ("var/lib/fillcall/fillcall-records", "id=7\n"),
        ("sys/block/mmcblk0/device/life_time", "0x0b 0x0b"),
        ("proc/self/cgroup", "0::/system.slice/fillcall.service\n"),
        ("proc/self/status", "Uid:\t0\nNoNewPrivs:\t0\nSeccomp:\t0\n"),
        ("usr/lib/systemd/system/fillcall.service", "WatchdogSec=0\n"),
    ];
    let settings = "SLINT_KMS_ROTATION=90\n";
    let odd = [
        ("sys/class/drm/card0-HDMI-A-1/modes", "1920x1080\n"),
        ("usr/share/X11/xkb/rules/evdev", ""),
        ("proc/mounts", "/dev/mmcblk0p3 / ext4 rw 0 0\n"),
        ("sys/fs/ext4/mmcblk0p3/errors_count", "3"),
        ("etc/fillcall/records", "place=partition\nid=7\n"),
        ("var/lib/fillcall/fillcall-records", "id=8\n"),
        ("usr/bin/udisksctl", ""),
        ("usr/lib/polkit-1/polkitd", ""),
    ];
    let turned = [("etc/default/fillcall", settings)];
    let mut all: Vec<Finding> = Vec::new();
    for (more, full, now) in [
        (&[][..], true, "1970-01-01T00:01:00+00:00"),
        (&odd[..], false, "2026-05-31T13:58:59+02:00"),
        (&turned[..], false, "2026-05-31T14:58:59+02:00"),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let root = std::fs::canonicalize(folder.path()).expect("its path");
        for (path, content) in bare.iter().chain(more) {
            let path = root.join(path);
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            std::fs::write(path, content).expect("planted");
        }
        let date = |text| DateTime::parse_from_rfc3339(text).expect("a date");
        let told = Told {
            bay: root.join("var/lib/fillcall/bay"),
            profile: Some(profile),
            silent: false,
            in_window: false,
            now: date(now),
            newest: Ok(Some(date("2026-05-31T13:59:00+02:00"))),
            watchdog_usec: None,
        };
        let found = look(&Root::with(&root, Box::new(Bad(full))), &told);
        all.extend(
            found
                .into_iter()
                .filter(|f| !all.contains(f))
                .collect::<Vec<_>>(),
        );
    }
    all
}

/// The pages of the panel, and home with each thing that stands wrong.
pub fn walk(profile: Profile, look: &mut dyn FnMut(Seen<'_>)) {
    let around = Around::default();
    let window = window_of(setup(profile), &around);
    let mut see = |name: &str, window: &Window| look(Seen { name, window });
    // The name of a card is the same in every language.
    let mut faults = every_fault(profile);
    faults.retain(|finding| finding.what != "sound");
    for finding in faults.iter().filter(|f| f.standing.is_some()) {
        around.panel.find([finding.clone()]);
        window.act([Action::Show(Page::Fill)]);
        super::walk::skip(&window, std::time::Duration::from_secs(301));
        let standing = finding.standing.expect("it stands");
        see(&format!("own-standing-{standing:?}"), &window);
    }
    window.act([Action::Show(Page::Menu)]);
    see("own-standing-menu", &window);
    around.panel.find([]);
    let window = window_of(setup(profile), &around);
    window.act([Action::Show(Page::Panel)]);
    window.act(lead::entered(lead::PIN));
    around.panel.0.borrow_mut().hangs = true;
    window.press(&["Check the panel"]);
    window.act([Action::Tick]);
    see("check-panel-looking", &window);
    around.panel.0.borrow_mut().hangs = false;
    // The longest that is said of what is good.
    let good = |finding: &Finding| Finding {
        state: State::Good,
        says: text!(
            "It is set to {} s, and is seen at work on a running panel only.",
            15_u32
        ),
        remedy: Default::default(),
        standing: None,
        ..finding.clone()
    };
    // All that is wrong, and then the same as if it were good: as many lines as there can be.
    let mut all = faults.clone();
    all.extend(faults.iter().take(13).map(good));
    around.panel.find(all);
    super::walk::skip(&window, std::time::Duration::from_secs(61));
    window.act([
        Action::Show(Page::Panel),
        Action::Show(Page::Doctor),
        Action::Tick,
    ]);
    for page in 1.. {
        see(&format!("check-panel-{page}"), &window);
        if window.labels().contains(&"Look again".into()) {
            break;
        }
        window.press(&["More"]);
        window.wait(std::time::Duration::from_millis(450));
    }
    around.panel.find([]);
    let window = window_of(setup(profile), &around);
    window.act([Action::Show(Page::Clock)]);
    window.act(lead::entered(lead::PIN));
    window.press(&["Set the clock"]);
    see("set-clock", &window);
    window.press(&["year: one more", "minute: one less"]);
    see("set-clock-changed", &window);
    window.hold("Set the clock to this");
    see("set-clock-setting", &window);
    for (name, fault) in [
        ("network", ClockFault::ByNetwork),
        ("rights", ClockFault::NotAllowed),
        ("answer", ClockFault::NoAnswer),
    ] {
        around.panel.0.borrow_mut().becomes = Some(ClockSet::NotSet(fault));
        window.act([Action::Tick]);
        see(&format!("set-clock-not-{name}"), &window);
        window.act([Action::CloseNotice]);
        window.hold("Set the clock to this");
    }
    around.panel.0.borrow_mut().becomes = Some(ClockSet::Set);
    window.act([Action::Tick]);
    see("set-clock-set", &window);
}
