//! Makes announcements audible in a thread of its own: reading the clips takes longer than a frame of
//! the screen may.

use super::meter::Meter;
use super::protocol::{Frame, Kind};
use super::render;
use super::speaker::Speaker;
use super::supervisor::Event;
use crate::bay::ports::Pace;
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::language::Language;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Instant;

/// An announcement that is asked for.
#[derive(Debug)]
pub(super) struct Wanted {
    pub speaker: Arc<dyn Speaker>,
    pub announcement: Announcement,
    pub language: Language,
    pub voice: Voice,
    pub pace: Pace,
    pub volume_percent: u8,
    pub asked: Instant,
}

/// Hands announcements to their thread. One that is not ready when the next one, a tone or an order to be
/// silent comes is never heard, as those end it where it sounds.
#[derive(Debug)]
pub(super) struct Speaking {
    wanted: Sender<(u64, Wanted)>,
    turn: Turn,
}

/// Whose turn it is to be heard: the number of the newest that ends what was said before it.
#[derive(Debug, Clone, Default)]
struct Turn(Arc<Mutex<u64>>);

impl Turn {
    fn locked(&self) -> MutexGuard<'_, u64> {
        // A number is whole whatever happened beside it.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Speaking {
    /// Starts the thread, which sends what is ready as events.
    ///
    /// # Errors
    /// The system has no thread left.
    pub fn new(events: Sender<Event>, meter: Meter) -> std::io::Result<Self> {
        let (wanted, receiver) = channel();
        let turn = Turn::default();
        let its = turn.clone();
        thread::Builder::new()
            .name("voice".into())
            .spawn(move || work(&receiver, &its, &events, &meter))?;
        Ok(Self { wanted, turn })
    }

    /// Has it said.
    pub fn say(&self, wanted: Wanted) {
        let mut turn = self.turn.locked();
        *turn += 1;
        // Its thread ends with this value alone.
        let _ = self.wanted.send((*turn, wanted));
    }

    /// Does something that ends speech, so that nothing said before it comes behind it.
    pub fn end(&self, by: impl FnOnce()) {
        let mut turn = self.turn.locked();
        *turn += 1;
        by();
    }
}

fn work(receiver: &Receiver<(u64, Wanted)>, turn: &Turn, events: &Sender<Event>, meter: &Meter) {
    while let Ok((number, wanted)) = receiver.recv() {
        if *turn.locked() != number {
            continue;
        }
        let samples = wanted.speaker.samples(
            &wanted.announcement,
            wanted.language,
            wanted.voice,
            wanted.pace,
        );
        let samples = render::at_volume(&samples, wanted.volume_percent);
        // Held while it is sent: who ends it does so behind it, or it is not sent.
        let turn = turn.locked();
        if *turn == number {
            let number = meter.asked(Kind::Speech, wanted.asked);
            let frame = Frame {
                kind: Kind::Speech,
                number,
                samples,
            };
            // Without a supervisor nobody listens, and the state says so already.
            let _ = events.send(Event::Play(frame));
        }
    }
}
