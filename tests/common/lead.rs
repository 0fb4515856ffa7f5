//! The shift lead at the wall: a lock in memory, and the way in.

use fillcall::bay::action::{Action, PadKey, Page};
use fillcall::bay::lead::LeadAction;
use fillcall::bay::ports::{LeadLock, LockCause, LockFault};
use fillcall::bay::runner::Runner;
use std::cell::RefCell;
use std::rc::Rc;

/// The PIN of every bay of the tests, until one chooses another.
pub const PIN: &str = "4711";

/// What the lock holds.
pub struct Held {
    pub pin: Option<String>,
    /// The file that takes the PIN away is there.
    pub asked_to_forget: bool,
    /// Like a disk that cannot be read or written.
    pub fails: bool,
    /// How many PINs were looked at.
    pub tries: u32,
}

#[derive(Clone)]
pub struct MemoryLock(pub Rc<RefCell<Held>>);

impl Default for MemoryLock {
    fn default() -> Self {
        Self(Rc::new(RefCell::new(Held {
            pin: Some(PIN.into()),
            asked_to_forget: false,
            fails: false,
            tries: 0,
        })))
    }
}

impl MemoryLock {
    fn works(&self) -> Result<(), LockFault> {
        match self.0.borrow().fails {
            true => Err(LockFault {
                message: "lead-pin: make room on the disk.".into(),
                cause: LockCause::File,
            }),
            false => Ok(()),
        }
    }
}

impl LeadLock for MemoryLock {
    fn has_pin(&mut self) -> Result<bool, LockFault> {
        self.works()?;
        Ok(self.0.borrow().pin.is_some())
    }
    fn opens(&mut self, pin: &str) -> Result<bool, LockFault> {
        self.works()?;
        let mut held = self.0.borrow_mut();
        held.tries += 1;
        Ok(held.pin.as_deref() == Some(pin))
    }
    fn set_pin(&mut self, pin: &str) -> Result<(), LockFault> {
        self.works()?;
        self.0.borrow_mut().pin = Some(pin.into());
        Ok(())
    }
    fn take_away_if_asked(&mut self) -> Result<bool, LockFault> {
        self.works()?;
        let mut held = self.0.borrow_mut();
        let asked = std::mem::take(&mut held.asked_to_forget);
        if asked {
            held.pin = None;
        }
        Ok(asked)
    }
}

/// The keys of a PIN, and its Enter.
pub fn entered(pin: &str) -> impl Iterator<Item = Action> + '_ {
    pin.bytes()
        .map(|digit| Action::Pad(PadKey::Digit(digit - b'0')))
        .chain([Action::Lead(LeadAction::Enter)])
}

/// The shift lead comes to a page of the shift lead's side, by the PIN where it is asked for.
pub fn let_in_to(runner: &mut Runner, page: Page) {
    runner.act(Action::Show(page));
    if runner.bay().page() == Page::Pin {
        entered(PIN).for_each(|action| runner.act(action));
    }
}

/// Every page that can be shown at any time, by itself.
pub fn every_page() -> impl Iterator<Item = Page> {
    use Page::{
        Care, Changed, Changes, Chemicals, Clock, Day, Doctor, Edit, FirstRun, Lead, Loudspeakers,
        Menu, Mix, Panel, Parts, Reports, Rinse, SetClock, Sound, Sprayers, Stock, Sure, TakeAway,
        Trend, Ways,
    };
    [
        Sprayers,
        Chemicals,
        Parts,
        Care,
        Changed,
        Ways,
        Sure,
        Trend,
        Sound,
        Menu,
        Rinse,
        FirstRun,
        Mix,
        Stock,
        Reports,
        TakeAway,
        Lead,
        Day,
        Edit,
        Changes,
        Loudspeakers,
        Clock,
        Panel,
        Doctor,
        SetClock,
    ]
    .into_iter()
}
