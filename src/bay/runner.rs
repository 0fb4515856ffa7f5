//! Joins the bay with its ports: takes an action, does it at the clock's time and plays what the
//! bay asks for.

use super::action::{Action, Effect, Page};
use super::at_work::{Bay, Now};
use super::ports::{
    Announcer, Backlight, Clock, News, NoBacklight, Pace, Places, Practice, Sounding, Tone,
};
use crate::trade::text::Text;

/// The bay, its clock and its voice.
pub struct Runner {
    bay: Bay,
    announcer: Box<dyn Announcer>,
    sounding: Option<Sounding>,
    clock: Box<dyn Clock>,
    practice: Option<Box<dyn Practice>>,
    places: Option<Box<dyn Places>>,
    backlight: Box<dyn Backlight>,
    /// What the glass was lit with last, in percent.
    lit: u8,
    /// It is for the screens to draw that.
    is_drawn: bool,
    seen: Text,
}

impl Runner {
    /// Joins them.
    pub fn new(bay: Bay, announcer: Box<dyn Announcer>, clock: Box<dyn Clock>) -> Self {
        let mut runner = Self {
            bay,
            announcer,
            sounding: None,
            clock,
            practice: None,
            places: None,
            backlight: Box::new(NoBacklight),
            lit: 100,
            is_drawn: true,
            seen: Text::default(),
        };
        runner.sound_as_wanted();
        runner
    }

    /// The light of the glass is set by this, and drawn where it fails.
    pub fn with_backlight(mut self, backlight: Box<dyn Backlight>) -> Self {
        self.backlight = backlight;
        // Whoever was there before may have left it dark.
        self.light(self.bay.light_percent());
        self
    }

    /// For training: nothing is at the other end of the lance but this.
    pub fn with_practice(mut self, practice: Box<dyn Practice>) -> Self {
        self.practice = Some(practice);
        self.look();
        self
    }

    /// Comes back to where the hand was when the program ended, and keeps where it is from now on.
    pub fn with_places(mut self, mut places: Box<dyn Places>) -> Self {
        if let Some(place) = places.found() {
            self.bay.resume(&place);
        }
        places.keep(&self.bay.place());
        self.places = Some(places);
        self.look();
        self
    }

    /// True where it is kept where the hand is.
    pub fn keeps_places(&self) -> bool {
        self.places.is_some()
    }

    /// Keeps where the hand is. To be called after what was done is shown: a press does not wait for it.
    pub fn keep_place(&mut self) {
        if let Some(places) = &mut self.places {
            places.keep(&self.bay.place());
        }
    }

    /// True where this is training.
    pub fn is_training(&self) -> bool {
        self.practice.is_some()
    }

    /// In training, what is to be seen at the sprayer; else empty.
    pub fn seen(&self) -> &Text {
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
        let effects = self.bay.act(action, now);
        let news = self.sound_as_wanted();
        self.play(effects);
        let kept = self.bay.settle();
        self.play(kept);
        self.play(news);
        self.look();
        let percent = self.bay.light_percent();
        if percent != self.lit {
            self.light(percent);
        }
    }

    fn light(&mut self, percent: u8) {
        self.is_drawn = !self.backlight.light(percent);
        self.lit = percent;
    }

    /// How much of the light the screens are to leave, in percent: all of it where the light behind the
    /// glass was set.
    pub const fn drawn_percent(&self) -> u8 {
        if self.is_drawn { self.lit } else { 100 }
    }

    fn play(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            match effect {
                Effect::Say(announcement) => self.announcer.say(&announcement, Pace::Usual),
                Effect::SaySlowly(announcement) => self.announcer.say(&announcement, Pace::Slow),
                Effect::Tone(tone) => self.announcer.tone(tone),
                Effect::Hush => self.announcer.hush(),
            }
        }
    }

    /// Lets the voice sound as the bay wants it, and tells the bay what became of the sound.
    fn sound_as_wanted(&mut self) -> Vec<Effect> {
        let wanted = self.bay.sounding();
        if self.sounding.as_ref() != Some(&wanted) {
            self.announcer.set(&wanted);
            let language = self.sounding.as_ref().map(|before| before.language);
            if language != Some(wanted.language) {
                self.bay.speaks(self.announcer.lexicon());
            }
            self.sounding = Some(wanted);
        }
        if self.bay.page() == Page::Loudspeakers {
            self.bay.loudspeakers_are(self.announcer.loudspeakers());
        }
        self.bay.sound_is(self.announcer.state())
    }

    /// Calls `news` whenever something became of the sound: then a tick shows it.
    pub fn tell(&mut self, news: News) {
        self.announcer.tell(news);
    }

    /// Plays a tone that answers a press: what it is about is not the bay's business.
    pub fn tone(&mut self, tone: Tone) {
        self.announcer.tone(tone);
    }
}
