//! Joins the bay with its ports: takes an action, does it at the clock's time and plays what the
//! bay asks for.

use super::action::{Action, Effect};
use super::at_work::{Bay, Now};
use super::ports::{Announcer, Clock, Practice, Tone};

/// The bay, its clock and its voice.
pub struct Runner {
    bay: Bay,
    announcer: Box<dyn Announcer>,
    clock: Box<dyn Clock>,
    practice: Option<Box<dyn Practice>>,
    seen: String,
}

impl Runner {
    /// Joins them.
    pub fn new(bay: Bay, announcer: Box<dyn Announcer>, clock: Box<dyn Clock>) -> Self {
        let mut runner = Self {
            bay,
            announcer,
            clock,
            practice: None,
            seen: String::new(),
        };
        runner.bay.sound_is(runner.announcer.state());
        runner
    }

    /// For training: nothing is at the other end of the lance but this.
    pub fn with_practice(mut self, practice: Box<dyn Practice>) -> Self {
        self.practice = Some(practice);
        self.look();
        self
    }

    /// True where this is training.
    pub fn is_training(&self) -> bool {
        self.practice.is_some()
    }

    /// In training, what is to be seen at the sprayer; else empty.
    pub fn seen(&self) -> &str {
        &self.seen
    }

    fn look(&mut self) {
        if let Some(practice) = &mut self.practice {
            self.seen = practice.sees(&self.bay.scene());
        }
    }

    /// The bay, to be shown.
    pub fn bay(&self) -> &Bay {
        &self.bay
    }

    /// Does one action now.
    pub fn act(&mut self, action: Action) {
        let now = Now {
            monotonic: self.clock.monotonic(),
            wall: self.clock.wall(),
        };
        for effect in self.bay.act(action, now) {
            match effect {
                Effect::Say(announcement) => self.announcer.say(&announcement),
                Effect::Tone(tone) => self.announcer.tone(tone),
                Effect::Hush => self.announcer.hush(),
            }
        }
        self.bay.sound_is(self.announcer.state());
        self.look();
    }

    /// Plays a tone that answers a press: what it is about is not the bay's business.
    pub fn tone(&mut self, tone: Tone) {
        self.announcer.tone(tone);
    }
}
