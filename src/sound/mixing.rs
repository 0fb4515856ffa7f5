//! What sounds at this moment: one announcement, one tone, and clicks beside them.
//!
//! The desk is one endless source at the device's own rate. It runs in the device's thread, so it
//! takes orders from a channel and never waits; it also counts that it is asked for samples, which
//! is the only sign that a device still plays.

use super::protocol::Kind;
use std::num::NonZero;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::Receiver;
use std::time::Duration;

/// An order to the desk.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// What to do.
    pub kind: Kind,
    /// Mono at the desk's own rate, -1 to 1.
    pub samples: Vec<f32>,
}

/// Orders are looked for once in so many frames: about a millisecond.
const LOOK_EVERY: u32 = 64;
/// What is cut off fades in this time, so that it does not crack.
const FADE_MS: u32 = 5;

/// Samples on their way out.
#[derive(Default)]
struct Playing {
    samples: Vec<f32>,
    at: usize,
}

impl Playing {
    fn next(&mut self) -> Option<f32> {
        let sample = self.samples.get(self.at).copied();
        self.at += 1;
        sample
    }
    fn done(&self) -> bool {
        self.at >= self.samples.len()
    }
    /// Keeps only the next `frames`, fading to nothing.
    fn fade(mut self, frames: usize) -> Self {
        let end = (self.at + frames).min(self.samples.len());
        self.samples.truncate(end);
        for (i, sample) in self.samples.iter_mut().skip(self.at).enumerate() {
            *sample *= 1.0 - i as f32 / frames as f32;
        }
        self
    }
}

/// The endless source.
pub struct Desk {
    channels: NonZero<u16>,
    rate: NonZero<u32>,
    orders: Receiver<Order>,
    taken: Arc<AtomicU64>,
    speech: Playing,
    tone: Playing,
    /// Clicks, and what is fading.
    beside: Vec<Playing>,
    channel: u16,
    until_look: u32,
    now: f32,
}

impl Desk {
    /// A desk for a device with these channels and this rate. `taken` counts up as long as the
    /// device takes samples.
    pub fn new(
        channels: NonZero<u16>,
        rate: NonZero<u32>,
        orders: Receiver<Order>,
        taken: Arc<AtomicU64>,
    ) -> Self {
        Self {
            channels,
            rate,
            orders,
            taken,
            speech: Playing::default(),
            tone: Playing::default(),
            beside: Vec::new(),
            channel: 0,
            until_look: 0,
            now: 0.0,
        }
    }

    fn end_speech(&mut self) {
        let cut = std::mem::take(&mut self.speech);
        // What waited behind a tone was not heard yet: nothing to fade.
        if cut.at > 0 && !cut.done() {
            self.beside.push(cut.fade(self.fade_frames()));
        }
    }

    fn end_tone(&mut self) {
        let cut = std::mem::take(&mut self.tone);
        if !cut.done() {
            self.beside.push(cut.fade(self.fade_frames()));
        }
    }

    fn fade_frames(&self) -> usize {
        ((self.rate.get() * FADE_MS) as usize / 1000).max(1)
    }

    fn obey(&mut self, order: Order) {
        let playing = Playing {
            samples: order.samples,
            at: 0,
        };
        match order.kind {
            Kind::Speech => {
                self.end_speech();
                self.speech = playing;
            }
            Kind::Tone => {
                self.end_speech();
                self.end_tone();
                self.tone = playing;
            }
            Kind::Click => self.beside.push(playing),
            Kind::Hush => self.end_speech(),
        }
    }

    fn frame(&mut self) -> f32 {
        if self.until_look == 0 {
            self.until_look = LOOK_EVERY;
            self.taken.fetch_add(1, Ordering::Relaxed);
            while let Ok(order) = self.orders.try_recv() {
                self.obey(order);
            }
        }
        self.until_look -= 1;
        // Speech never covers a tone: it waits.
        let mut sum = if self.tone.done() {
            self.speech.next()
        } else {
            self.tone.next()
        }
        .unwrap_or(0.0);
        if !self.beside.is_empty() {
            sum += self
                .beside
                .iter_mut()
                .filter_map(Playing::next)
                .sum::<f32>();
            self.beside.retain(|playing| !playing.done());
        }
        sum.clamp(-1.0, 1.0)
    }
}

impl Iterator for Desk {
    type Item = f32;

    fn next(&mut self) -> Option<f32> {
        if self.channel == 0 {
            self.now = self.frame();
        }
        self.channel = (self.channel + 1) % self.channels.get();
        Some(self.now)
    }
}

impl rodio::Source for Desk {
    fn current_span_len(&self) -> Option<usize> {
        None
    }
    fn channels(&self) -> NonZero<u16> {
        self.channels
    }
    fn sample_rate(&self) -> NonZero<u32> {
        self.rate
    }
    fn total_duration(&self) -> Option<Duration> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::{Sender, channel};

    /// At 1000 frames a second a fade lasts five frames.
    fn desk(channels: u16) -> (Sender<Order>, Desk, Arc<AtomicU64>) {
        let (orders, receiver) = channel();
        let taken = Arc::new(AtomicU64::new(0));
        let desk = Desk::new(
            NonZero::new(channels).expect("channels"),
            NonZero::new(1000).expect("a rate"),
            receiver,
            taken.clone(),
        );
        (orders, desk, taken)
    }
    fn order(kind: Kind, value: f32, count: usize) -> Order {
        Order {
            kind,
            samples: vec![value; count],
        }
    }
    fn look(desk: &mut Desk) -> Vec<f32> {
        desk.by_ref().take(LOOK_EVERY as usize).collect()
    }
    #[test]
    fn silence_goes_on_and_is_counted() {
        let (_orders, mut desk, taken) = desk(1);
        assert!(look(&mut desk).iter().all(|s| *s == 0.0));
        let before = taken.load(Ordering::Relaxed);
        look(&mut desk);
        assert_eq!(taken.load(Ordering::Relaxed), before + 1);
    }

    #[test]
    fn every_channel_carries_the_same() {
        let (orders, mut desk, _) = desk(2);
        let samples = vec![0.1, 0.2, 0.3];
        orders
            .send(Order {
                kind: Kind::Speech,
                samples,
            })
            .expect("sent");
        let out: Vec<f32> = desk.by_ref().take(8).collect();
        assert_eq!(out, [0.1, 0.1, 0.2, 0.2, 0.3, 0.3, 0.0, 0.0]);
    }

    #[test]
    fn a_new_announcement_replaces_the_old_one() {
        let (orders, mut desk, _) = desk(1);
        orders.send(order(Kind::Speech, 0.5, 10_000)).expect("sent");
        assert_eq!(look(&mut desk), [0.5; 64]);
        orders.send(order(Kind::Speech, 0.25, 20)).expect("sent");
        let out = look(&mut desk);
        assert_eq!(out[5..20], [0.25; 15]);
        assert!(out[0] > 0.5 && out[20..].iter().all(|s| *s == 0.0));
    }

    #[test]
    fn a_tone_ends_speech_and_is_never_covered_by_it() {
        let (orders, mut desk, _) = desk(1);
        orders.send(order(Kind::Speech, 0.5, 10_000)).expect("sent");
        look(&mut desk);
        orders.send(order(Kind::Tone, 0.125, 70)).expect("sent");
        let out = look(&mut desk);
        assert_eq!(out[5..], [0.125; 59]);
        // Said while the tone sounds: it waits for its end, from its own beginning.
        orders.send(order(Kind::Speech, 0.5, 10)).expect("sent");
        let out = look(&mut desk);
        assert_eq!(out[..6], [0.125; 6]);
        assert_eq!(out[6..16], [0.5; 10]);
        assert_eq!(out[16..], [0.0; 48]);
    }

    #[test]
    fn a_click_sounds_beside_speech() {
        let (orders, mut desk, _) = desk(1);
        orders.send(order(Kind::Speech, 0.5, 64)).expect("sent");
        orders.send(order(Kind::Click, 0.25, 3)).expect("sent");
        let out = look(&mut desk);
        assert_eq!(out[..3], [0.75; 3]);
        assert_eq!(out[3..], [0.5; 61]);
    }

    #[test]
    fn hush_ends_speech_and_leaves_a_tone() {
        let (orders, mut desk, _) = desk(1);
        orders.send(order(Kind::Tone, 0.125, 20)).expect("sent");
        orders.send(order(Kind::Speech, 0.5, 100)).expect("sent");
        orders.send(order(Kind::Hush, 0.0, 0)).expect("sent");
        let out = look(&mut desk);
        assert_eq!(out[..20], [0.125; 20]);
        assert_eq!(out[20..], [0.0; 44]);
    }

    #[test]
    fn loud_things_together_do_not_run_over() {
        let (orders, mut desk, _) = desk(1);
        orders.send(order(Kind::Speech, 0.9, 10)).expect("sent");
        orders.send(order(Kind::Click, 0.9, 10)).expect("sent");
        assert_eq!(look(&mut desk)[..10], [1.0; 10]);
    }
}
