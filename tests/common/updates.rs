//! Updates in the hands of a test.

use fillcall::bay::ports::{Fit, Looked, Package, UpdateTold, Updates};
use std::cell::RefCell;
use std::rc::Rc;

/// How packages stand that are not taken.
pub const NOT_TAKEN: [Fit; 7] = [
    Fit::Same,
    Fit::Older,
    Fit::OtherMachine,
    Fit::NoKey,
    Fit::NoSignature,
    Fit::OtherKey,
    Fit::Damaged,
];

/// What is found, told and asked for.
#[derive(Debug, Clone)]
pub struct State {
    pub key: Option<String>,
    pub looked: Option<Looked>,
    pub told: UpdateTold,
    pub looks: usize,
    pub asked: Vec<&'static str>,
    pub fails: bool,
    pub possible: bool,
}

/// Shared by the bay and its test.
#[derive(Debug, Clone)]
pub struct TestUpdates(pub Rc<RefCell<State>>);

impl Default for TestUpdates {
    fn default() -> Self {
        Self(Rc::new(RefCell::new(State {
            key: Some("2DCAFD88C49181FF".into()),
            looked: None,
            told: UpdateTold::default(),
            looks: 0,
            asked: Vec::new(),
            fails: false,
            possible: true,
        })))
    }
}

impl TestUpdates {
    /// A package is on the stick.
    pub fn find(&self, version: &str, fit: Fit) {
        let package = Some(Package {
            version: version.into(),
            fit,
        });
        self.0.borrow_mut().looked = Some(Looked::Found { package, key: None });
    }

    fn ask(&self, what: &'static str) -> Result<(), String> {
        let mut state = self.0.borrow_mut();
        if state.fails {
            return Err("no room".into());
        }
        state.asked.push(what);
        Ok(())
    }
}

impl Updates for TestUpdates {
    fn running(&self) -> String {
        "0.1.0".into()
    }
    fn is_possible(&self) -> bool {
        self.0.borrow().possible
    }
    fn key(&mut self) -> Option<String> {
        self.0.borrow().key.clone()
    }
    fn look(&mut self) {
        self.0.borrow_mut().looks += 1;
    }
    fn looked(&mut self) -> Option<Looked> {
        self.0.borrow().looked.clone()
    }
    fn install(&mut self) -> Result<(), String> {
        self.ask("install")
    }
    fn take_key(&mut self) -> Result<(), String> {
        self.ask("key")
    }
    fn told(&mut self) -> UpdateTold {
        self.0.borrow().told.clone()
    }
}
