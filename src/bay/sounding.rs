//! How the bay is heard: loudness, quiet hours, language, loudspeaker, and saying things again.

use super::action::{Effect, Page};
use super::at_work::Bay;
use super::ports::{SoundState, Sounding};
use super::records::{Happening, RecordsFault, SoundChoice};
use super::setup::QuietHours;
use super::stopwatch::Watch;
use crate::text;
use crate::trade::announcement::Announcement;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;
use std::time::Duration;

/// Loudness goes by steps of this many percent.
const STEP: u8 = 10;
/// Softer is not set at the wall: whoever asks for the fill must hear that something is said.
const SOFTEST: u8 = 10;
/// While a run is timed the sprayer roars beside the screen.
const RUN_PERCENT: u8 = 100;
/// And so it does until the hand has let go, with the tone that ends the run and the word behind it.
const LETTING_GO: Duration = Duration::from_secs(2);

/// Whoever pressed something so short a time ago may still be hearing what came of it.
const JUST_ASKED: Duration = Duration::from_secs(10);

/// What can be said again.
#[derive(Debug, Clone, PartialEq)]
enum Said {
    /// The fill, as it is when it is said again.
    Fill,
    /// The same behind the day's chemical.
    FirstFill,
    /// The fill with its strength and ratio.
    FillInFull,
    /// This.
    Other(Announcement),
}

/// How the bay is heard, as far as somebody chose it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hearing {
    volume_percent: u8,
    language: Language,
    loudspeaker: Option<String>,
    loudspeakers: Vec<String>,
    lexicon: Lexicon,
    said: Option<Said>,
    /// What was spoken last, be it a test.
    spoken: Option<Said>,
    state: SoundState,
    /// The sprayer roars until then, where no run is timed any more.
    roars_until: Duration,
    /// A loudspeaker has played since the start.
    has_worked: bool,
    /// It was told that there is no sound: that it is back is worth telling too.
    was_gone: bool,
}

impl Hearing {
    /// From now on so loud, 0 to 100.
    pub(super) const fn set_volume_percent(&mut self, volume_percent: u8) {
        self.volume_percent = volume_percent;
    }
    pub(super) fn new(volume_percent: u8, language: Language, loudspeaker: Option<String>) -> Self {
        Self {
            volume_percent,
            language,
            loudspeaker,
            loudspeakers: Vec::new(),
            lexicon: Lexicon::english(),
            said: None,
            spoken: None,
            state: SoundState::Opening,
            roars_until: Duration::ZERO,
            has_worked: false,
            was_gone: false,
        }
    }
}

impl Bay {
    /// How it wants to be heard just now.
    pub fn sounding(&self) -> Sounding {
        let roars = self.watch() != Watch::Still || self.now.monotonic < self.hearing.roars_until;
        let wanted = match self.hearing.volume_percent {
            // Turned all the way down it stays silent, whatever roars.
            0 => 0,
            _ if roars => RUN_PERCENT,
            chosen => chosen,
        };
        Sounding {
            volume_percent: self
                .quiet_now()
                .map_or(wanted, |quiet| wanted.min(quiet.volume_percent)),
            language: self.hearing.language,
            loudspeaker: self.hearing.loudspeaker.clone(),
        }
    }

    /// The loudness that was chosen, 0 to 100.
    pub const fn volume_percent(&self) -> u8 {
        self.hearing.volume_percent
    }
    /// The language that is shown and spoken.
    pub const fn language(&self) -> Language {
        self.hearing.language
    }
    /// The loudspeaker that was chosen; `None` for the system's own choice.
    pub fn loudspeaker(&self) -> Option<&str> {
        self.hearing.loudspeaker.as_deref()
    }
    /// The loudspeakers that there are to choose from.
    pub fn loudspeakers(&self) -> &[String] {
        &self.hearing.loudspeakers
    }
    /// What the voice says for each phrase, which is also what is shown of it.
    pub const fn lexicon(&self) -> &Lexicon {
        &self.hearing.lexicon
    }
    /// What became of the loudspeaker.
    pub const fn sound(&self) -> SoundState {
        self.hearing.state
    }
    /// What was spoken last; a fill as it is now, since a figure of before must not be read.
    pub fn spoken_last(&self) -> Option<Announcement> {
        self.hearing.spoken.as_ref().map(|said| self.composed(said))
    }

    fn composed(&self, said: &Said) -> Announcement {
        match said {
            Said::Fill => self.spoken_fill(),
            Said::FirstFill => self.after_the_days(self.spoken_fill()),
            Said::FillInFull => self.spoken_fill_in_full(),
            Said::Other(announcement) => announcement.clone(),
        }
    }
    /// True where something was said that can be said again.
    pub const fn may_say_again(&self) -> bool {
        self.hearing.said.is_some()
    }
    /// True where it can be louder, or softer, by a step.
    pub fn may_change_volume(&self, louder: bool) -> bool {
        !self.is_silent() && self.volume_after(louder) != self.hearing.volume_percent
    }

    fn volume_after(&self, louder: bool) -> u8 {
        let now = self.hearing.volume_percent;
        match louder {
            true => ((now / STEP + 1) * STEP).min(100),
            false => (now.saturating_sub(1) / STEP * STEP).max(SOFTEST).min(now),
        }
    }

    /// The quiet hours that hold at the moment. A clock that is known to be wrong has none.
    pub fn quiet_now(&self) -> Option<QuietHours> {
        self.setup()
            .quiet
            .filter(|quiet| self.clock_is_plausible() && quiet.hold(self.now.wall.time()))
    }

    // ---- What the outside tells -------------------------------------------------------------

    /// Tells the bay what became of the loudspeaker; what is to be heard and seen of it comes back.
    pub fn sound_is(&mut self, state: SoundState) -> Vec<Effect> {
        let before = std::mem::replace(&mut self.hearing.state, state);
        let worked = self.hearing.has_worked;
        self.hearing.has_worked |= state == SoundState::Working;
        match state {
            // One that was never there is not gone, and not back when it comes.
            SoundState::NoDevice(_) if !matches!(before, SoundState::NoDevice(_)) && worked => {
                self.hearing.was_gone = true;
                if self.watch() == Watch::Still {
                    // No tone of refusal: nobody would hear it.
                    let _ = self.refuse("The loudspeaker is gone: read the screen.");
                }
                Vec::new()
            }
            SoundState::Working if std::mem::take(&mut self.hearing.was_gone) => self.is_back(),
            _ => Vec::new(),
        }
    }

    /// The sound is back. What somebody has just asked for may be sounding already, or is about to:
    /// nothing is said or shown over that.
    fn is_back(&mut self) -> Vec<Effect> {
        let asked = self.now.monotonic.saturating_sub(self.last_input) < JUST_ASKED;
        if asked || self.watch() != Watch::Still {
            return Vec::new();
        }
        let back = Announcement::sound_is_back();
        let words = back.text(&self.hearing.lexicon);
        self.notify(text!("{}", words), None);
        vec![Effect::Say(back)]
    }

    /// True where the wall cannot be heard: turned off, no device, or no loudness.
    pub fn is_unheard(&self) -> bool {
        self.is_silent()
            || matches!(self.hearing.state, SoundState::NoDevice(_))
            || self.sounding().volume_percent == 0
    }

    /// Tells that the bay's own voice is not used; why is told where it can be mended.
    pub fn own_voice_is_wrong(&mut self) {
        let _ = self.refuse("The bay's own voice cannot be used. fillcall check says why.");
    }

    /// Tells the bay the words of the voice that speaks now.
    pub fn speaks(&mut self, lexicon: Lexicon) {
        self.hearing.lexicon = lexicon;
    }

    /// Tells the bay which loudspeakers were found.
    pub fn loudspeakers_are(&mut self, found: Vec<String>) {
        self.hearing.loudspeakers = found;
    }

    // ---- What is done ------------------------------------------------------------------------

    /// The stopwatch was stopped just now.
    pub(super) fn run_ended(&mut self) {
        self.hearing.roars_until = self.now.monotonic + LETTING_GO;
    }

    /// Says what is shown already.
    pub(super) fn speak(&mut self, announcement: Announcement) -> Vec<Effect> {
        let said = Said::Other(announcement);
        self.hearing.said = Some(said.clone());
        self.spoken(said, false)
    }

    pub(super) fn say_fill(&mut self) -> Vec<Effect> {
        self.hearing.said = Some(Said::Fill);
        let said = match self.day_is_news() {
            true => {
                self.day_is_told();
                Said::FirstFill
            }
            false => Said::Fill,
        };
        self.captioned(said, false)
    }

    pub(super) fn forget_said(&mut self) {
        self.hearing.said = None;
        self.hearing.spoken = None;
    }

    pub(super) fn say_again(&mut self, slowly: bool) -> Vec<Effect> {
        let said = match (self.hearing.said.clone(), slowly) {
            (None, _) => return self.refuse("Nothing was said yet."),
            // Who asks for it slowly wants to check it too.
            (Some(Said::Fill), true) => Said::FillInFull,
            (Some(said), _) => said,
        };
        self.captioned(said, slowly)
    }

    /// Says it, and shows what is said.
    fn captioned(&mut self, said: Said, slowly: bool) -> Vec<Effect> {
        let effects = self.spoken(said, slowly);
        if let [Effect::Say(announcement) | Effect::SaySlowly(announcement)] = &effects[..] {
            self.caption(announcement, slowly);
        }
        effects
    }

    fn spoken(&mut self, said: Said, slowly: bool) -> Vec<Effect> {
        // The stopwatch is not talked into.
        if self.watch() != Watch::Still {
            return Vec::new();
        }
        let announcement = self.composed(&said);
        self.hearing.spoken = Some(said);
        vec![match slowly {
            true => Effect::SaySlowly(announcement),
            false => Effect::Say(announcement),
        }]
    }

    pub(super) fn test_sound(&mut self) -> Vec<Effect> {
        self.spoken(Said::Other(Announcement::sound_test()), false)
    }

    /// Louder or softer by a step; it is heard at once how loud that is.
    pub(super) fn change_volume(&mut self, louder: bool) -> Vec<Effect> {
        let then = self.volume_after(louder);
        if then == self.hearing.volume_percent {
            return self.refuse(match louder {
                true => "It cannot be louder.",
                false => "It cannot be softer. The set-up can turn the sound off.",
            });
        }
        match self.keep_sound(SoundChoice::Volume(then)) {
            Ok(()) => {
                self.hearing.volume_percent = then;
                self.test_sound()
            }
            Err(fault) => self.not_kept("The loudness was not changed", &fault),
        }
    }

    pub(super) fn choose_language(&mut self, language: Language) -> Vec<Effect> {
        if language == self.hearing.language {
            return Vec::new();
        }
        match self.keep_sound(SoundChoice::Language(language)) {
            Ok(()) => {
                self.hearing.language = language;
                self.drop_words();
                vec![Effect::Hush]
            }
            Err(fault) => self.not_kept("The language was not changed", &fault),
        }
    }

    pub(super) fn choose_loudspeaker(&mut self, loudspeaker: Option<String>) -> Vec<Effect> {
        if loudspeaker == self.hearing.loudspeaker {
            return self.test_sound();
        }
        match self.keep_sound(SoundChoice::Loudspeaker(loudspeaker.clone())) {
            Ok(()) => {
                self.hearing.loudspeaker = loudspeaker;
                self.test_sound()
            }
            Err(fault) => self.not_kept("The loudspeaker was not changed", &fault),
        }
    }

    fn keep_sound(&mut self, choice: SoundChoice) -> Result<(), RecordsFault> {
        self.keep(Happening::SoundChosen(choice)).map(|_| ())
    }

    /// Shows what is being said, where nothing else was just shown of it.
    fn caption(&mut self, announcement: &Announcement, slowly: bool) {
        // Every other screen has a place of its own for what it says.
        if self.page() == Page::Fill {
            let words = announcement.text(&self.hearing.lexicon);
            let lasts = announcement.speech(&self.hearing.lexicon).about(slowly);
            self.put_up_caption(text!("{}", words), lasts);
        }
    }
}
