//! The doctor at the wall: each look runs in a thread of its own, for a disk that hangs must not hold up
//! what takes touches and draws.

use super::Finding;
use crate::bay::ports::{Extent, PanelDoctor};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// What looks at so much of the panel.
pub type Looks = dyn Fn(Extent) -> Vec<Finding> + Send + Sync;

/// What was looked at, and what was found.
type Answer = (Extent, Vec<Finding>);

/// Looks at the panel beside the wall.
pub struct AtTheWall {
    looks: Arc<Looks>,
    answer: Sender<Answer>,
    answers: Receiver<Answer>,
}

impl AtTheWall {
    /// Looks by this.
    pub fn by(looks: Arc<Looks>) -> Self {
        let (answer, answers) = channel();
        Self {
            looks,
            answer,
            answers,
        }
    }
}

impl PanelDoctor for AtTheWall {
    fn look(&mut self, extent: Extent) {
        let (looks, answer) = (Arc::clone(&self.looks), self.answer.clone());
        // The thread is left to itself: one that hangs in a bad disk cannot be ended. Where none can be
        // made, nothing is found, and it is tried again.
        let _ = thread::Builder::new().spawn(move || answer.send((extent, looks(extent))));
    }

    fn found(&mut self) -> Option<(Extent, Vec<Finding>)> {
        self.answers.try_recv().ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::{Duration, Instant};

    #[test]
    fn a_look_that_hangs_holds_nobody_up() {
        let looks = |extent| {
            if extent == Extent::Disk {
                thread::sleep(Duration::from_secs(600));
            }
            vec![Finding::good("touch", "there")]
        };
        let mut doctor = AtTheWall::by(Arc::new(looks));
        let begun = Instant::now();
        doctor.look(Extent::Disk);
        doctor.look(Extent::Inputs);
        let answer = loop {
            if let Some(answer) = doctor.found() {
                break answer;
            }
            assert!(begun.elapsed() < Duration::from_secs(60), "no answer");
            thread::sleep(Duration::from_millis(5));
        };
        assert_eq!(answer.0, Extent::Inputs);
        assert!(doctor.found().is_none());
    }
}
