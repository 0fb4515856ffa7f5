//! Plays announcements and tones through an output process.

use super::cards;
use super::finding::Finder;
use super::meter::Meter;
use super::protocol::{Frame, Kind, Trouble};
use super::speaker::Speaker;
use super::speaking::{Speaking, Wanted};
use super::supervisor::{Event, Status, Supervisor};
use super::voices::Voices;
use super::{render, tones};
use crate::bay::ports::{Announcer, News, Pace, SoundState, Sounding, Tone, Why};
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::language::Language;
use crate::trade::speech::Lexicon;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;
use std::time::{Duration, Instant};

/// How long dropping the player may take at the very most.
const DROPPING: Duration = Duration::from_secs(1);

/// The program that is started as output process, with the argument
/// [`super::output::SUBCOMMAND`].
#[derive(Debug, Clone)]
pub struct Program {
    /// Which file.
    pub path: PathBuf,
    /// What is added to its environment.
    pub environment: Vec<(OsString, OsString)>,
}

impl Program {
    /// The program that is running now.
    ///
    /// # Errors
    /// The system does not tell its path.
    pub fn this() -> std::io::Result<Self> {
        Ok(Self {
            path: std::env::current_exe()?,
            environment: Vec::new(),
        })
    }
}

/// Plays what the bay wants said. Nothing in it waits for a device.
#[derive(Debug)]
pub struct Player {
    voice: Voice,
    speaker: Arc<dyn Speaker>,
    /// `None` where there is nothing to be heard.
    speaking: Option<Speaking>,
    volume_percent: u8,
    language: Language,
    loudspeaker: Option<String>,
    status: Status,
    meter: Meter,
    finder: Finder,
    events: Sender<Event>,
    /// The supervisor drops its end when it has ended; `None` where there is none.
    ended: Option<Receiver<()>>,
}

impl Player {
    /// Starts playing through `program`, in this voice, at 0 to 100 percent of full loudness.
    ///
    /// Returns at once; [`Announcer::state`] tells how it goes. With [`Voice::Off`] nothing is
    /// started.
    pub fn new(program: Program, voice: Voice, volume_percent: u8) -> Self {
        let (events, receiver) = mpsc::channel();
        let (status, meter) = (Status::default(), Meter::default());
        let ended = (voice != Voice::Off).then(|| {
            let (alive, ended) = mpsc::channel();
            status.set(SoundState::Opening);
            let supervisor = Supervisor::new(
                program.clone(),
                receiver,
                events.clone(),
                status.clone(),
                meter.clone(),
            );
            let thread = thread::Builder::new().name("sound".into()).spawn(move || {
                let _alive = alive;
                supervisor.work();
            });
            if let Err(e) = thread {
                status.no_device(no_thread(&e));
            }
            ended
        });
        let speaking = ended.as_ref().and_then(|_| {
            Speaking::new(events.clone(), meter.clone())
                .inspect_err(|e| status.no_device(no_thread(e)))
                .ok()
        });
        Self {
            voice,
            speaker: Arc::<Voices>::default(),
            speaking,
            volume_percent,
            language: Language::default(),
            loudspeaker: None,
            status,
            meter,
            finder: Finder::new(program),
            events,
            ended,
        }
    }

    /// Speaks with this instead of the voice that the program carries.
    pub fn with_speaker(mut self, speaker: Box<dyn Speaker>) -> Self {
        self.speaker = Arc::from(speaker);
        self
    }

    /// Hears of it when sound cards come or go, by their files in `folder` ([`cards::FOLDER`]).
    pub fn with_cards(self, folder: &Path) -> Self {
        if self.voice != Voice::Off {
            let events = self.events.clone();
            cards::watch(folder, move || events.send(Event::Cards).is_ok());
        }
        self
    }

    /// Why there is no device, and what to do, in more words than the state; `None` while all is well.
    pub fn reason(&self) -> Option<String> {
        self.status.reason()
    }

    /// Reads how long sounds take to begin; it goes on reading when the player is out of reach.
    pub fn meter(&self) -> Meter {
        self.meter.clone()
    }

    fn play(&self, kind: Kind, asked: Instant, samples: &[i16]) {
        let Some(speaking) = &self.speaking else {
            return;
        };
        let frame = Frame {
            kind,
            number: self.meter.asked(kind, asked),
            samples: render::at_volume(samples, self.volume_percent),
        };
        let send = || {
            // Without a supervisor nobody listens, and the state says so already.
            let _ = self.events.send(Event::Play(frame));
        };
        match kind {
            Kind::Click | Kind::Wake => send(),
            Kind::Speech | Kind::Tone | Kind::Hush => speaking.end(send),
        }
    }
}

fn no_thread(e: &std::io::Error) -> Trouble {
    Trouble::new(Why::NoAnswer, format!("no thread for the sound: {e}"))
}

impl Announcer for Player {
    fn set(&mut self, sounding: &Sounding) {
        self.volume_percent = sounding.volume_percent;
        self.language = sounding.language;
        if self.loudspeaker != sounding.loudspeaker {
            self.loudspeaker.clone_from(&sounding.loudspeaker);
            let _ = self.events.send(Event::Use(sounding.loudspeaker.clone()));
        }
    }
    fn lexicon(&self) -> Lexicon {
        self.speaker.lexicon(self.language).clone()
    }
    fn loudspeakers(&mut self) -> Vec<String> {
        match self.voice {
            Voice::Off => Vec::new(),
            Voice::Speech | Voice::Beeps => self.finder.names(),
        }
    }
    fn say(&mut self, announcement: &Announcement, pace: Pace) {
        if let Some(speaking) = &self.speaking {
            speaking.say(Wanted {
                speaker: Arc::clone(&self.speaker),
                announcement: announcement.clone(),
                language: self.language,
                voice: self.voice,
                pace,
                volume_percent: self.volume_percent,
                asked: Instant::now(),
            });
        }
    }
    fn tone(&mut self, tone: Tone) {
        let asked = Instant::now();
        let kind = match tone {
            Tone::Click => Kind::Click,
            Tone::Countdown | Tone::Go | Tone::Stop | Tone::Refused => Kind::Tone,
        };
        self.play(kind, asked, &tones::tone(tone));
    }
    fn hush(&mut self) {
        self.play(Kind::Hush, Instant::now(), &[]);
    }
    fn state(&mut self) -> SoundState {
        self.status.state()
    }
    fn tell(&mut self, news: News) {
        self.status.tell(news);
    }
}

impl Drop for Player {
    fn drop(&mut self) {
        if let Some(ended) = &self.ended {
            let _ = self.events.send(Event::Quit);
            // Either answer means that nothing more can be done: it ended, or it never will.
            let _ = ended.recv_timeout(DROPPING);
        }
    }
}
