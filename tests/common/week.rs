//! A week of the invented bay in its records, and memory sticks that are not there.

use super::{MemoryRecords, percent};
use chrono::{DateTime, FixedOffset, TimeDelta};
use fillcall::bay::ports::{OnStick, Parcel, Stick, Sticks};
use fillcall::bay::records::{CalibrationRecord, Fill, FillHow, Happening};
use fillcall::trade::calibration::{Calibration, Container, Run};
use fillcall::trade::reminder::{PutOff, VoidCause};
use fillcall::trade::units::Volume;
use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

pub fn at(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a date")
}

pub fn wash(sprayer: &str, chemical: &str) -> Happening {
    Happening::Wash {
        sprayer: sprayer.into(),
        chemical: chemical.into(),
    }
}

/// A fill of the first lance's size.
pub fn fill(sprayer: &str, chemical: &str, poured: f64, strength: f64) -> Happening {
    Happening::Fill(Fill {
        sprayer: sprayer.into(),
        chemical: chemical.into(),
        fill: Volume::ml(820.0),
        poured: Volume::ml(poured),
        water: Volume::ml(820.0 - poured),
        strength: percent(strength),
        standing: "good".into(),
        how: FillHow::Fresh,
    })
}

pub fn calibrated(sprayer: &str, caught: f64, when: DateTime<FixedOffset>) -> Happening {
    let run = Run::dry(
        Volume::ml(820.0),
        Volume::ml(caught),
        Duration::from_secs(104),
    );
    Happening::Calibrated(CalibrationRecord {
        sprayer: sprayer.into(),
        nozzle: "1.35 mm".into(),
        washer: "Washer A".into(),
        dial: None,
        calibration: Calibration::of(Container::measured(Volume::ml(820.0)), &[run])
            .expect("a run"),
        taken: when,
    })
}

pub fn put_off(sprayer: &str, times: u32) -> Happening {
    Happening::PutOff {
        sprayer: sprayer.into(),
        put_off: PutOff {
            times,
            until_washes: 7,
        },
    }
}

/// Seven days up to the morning of `today`, busier by the day; the last one has everything.
pub fn week(records: &MemoryRecords, today: DateTime<FixedOffset>) {
    let mut kept = records.0.borrow_mut();
    for back in (0..7).rev() {
        let begins = today - TimeDelta::days(back) - TimeDelta::hours(1);
        let mut next = begins;
        let mut keep = |happening: Happening| {
            next += TimeDelta::seconds(40);
            kept.happenings.push((next, happening));
        };
        let busy = 7 - back as usize;
        for n in 0..6 + 3 * busy {
            let sprayer = ["lance-1", "lance-1", "lance-2", "drum"][n % 4];
            let chemical = if n % 5 == 4 { "wheel" } else { "film" };
            if n % 4 == 0 {
                let off = [0.0, 0.08, -0.05, 0.2, -0.12][n % 5];
                match chemical {
                    "film" => keep(fill(sprayer, "film", 590.0 + 10.0 * off, 4.0 + off)),
                    _ => keep(fill(sprayer, "wheel", 90.0, 0.51)),
                }
            }
            keep(wash(sprayer, chemical));
        }
        match back {
            6 => keep(calibrated("lance-1", 14_700.0, begins)),
            4 => {
                keep(put_off("lance-2", 1));
                keep(Happening::Changed {
                    sprayer: "drum".into(),
                    what: VoidCause::Nozzle,
                });
            }
            2 => keep(calibrated("lance-2", 14_350.0, begins)),
            // Weaker than its band.
            1 => keep(fill("lance-1", "film", 480.0, 2.8)),
            0 => keep(calibrated("lance-1", 14_910.0, begins)),
            _ => {}
        }
    }
}

/// Sticks as a test wants them.
#[derive(Default)]
pub struct Socket {
    pub found: Vec<Stick>,
    pub state: Option<OnStick>,
    pub puts: Vec<(String, Parcel)>,
    pub given_up: u32,
}

#[derive(Clone, Default)]
pub struct TestSticks(pub Rc<RefCell<Socket>>);

impl TestSticks {
    pub fn put_in(&self, ids: &[&str]) {
        self.0.borrow_mut().found = ids
            .iter()
            .map(|id| Stick {
                id: (*id).into(),
                name: format!("USB stick {id}, 8 GB"),
            })
            .collect();
    }
    pub fn come_to(&self, state: OnStick) {
        self.0.borrow_mut().state = Some(state);
    }
}

impl Sticks for TestSticks {
    fn found(&mut self) -> Vec<Stick> {
        self.0.borrow().found.clone()
    }
    fn put(&mut self, stick: &str, parcel: Parcel) {
        let mut socket = self.0.borrow_mut();
        socket.puts.push((stick.into(), parcel));
        socket.state = Some(OnStick::Opening);
    }
    fn state(&mut self) -> Option<OnStick> {
        self.0.borrow().state.clone()
    }
    fn give_up(&mut self) {
        let mut socket = self.0.borrow_mut();
        socket.given_up += 1;
        socket.state = None;
    }
}
