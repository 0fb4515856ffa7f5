//! What sounds at this moment: one announcement, one tone, and clicks beside them.
//!
//! The desk is one endless source at the device's own rate. It runs in the device's thread, so it
//! takes orders from a channel; it also counts that it is asked for samples, which
//! is the only sign that a device still plays.
//!
//! After a while of silence it rests: it lets the device's thread wait for the next order, so that the
//! device runs dry and nothing wakes the machine a hundred times a second.

use super::protocol::Kind;
use std::num::NonZero;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender};
use std::time::{Duration, Instant};

/// An order to the desk.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// What to do.
    pub kind: Kind,
    /// By which it is told when it began.
    pub number: u32,
    /// Mono.
    pub samples: Vec<i16>,
    /// So many samples a second.
    pub rate: NonZero<u32>,
}

/// The device is being handed the first sample of an order; of one to be silent, speech ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Began {
    /// Of the order.
    pub number: u32,
    /// When.
    pub at: Instant,
}

/// What the desk tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum News {
    /// An order began.
    Began(Began),
    /// It was silent for a while: it asks for nothing more and gives nothing until the next order.
    Rests,
    /// It goes on.
    Wakes,
}

/// So long it is silent before it rests.
pub const SILENT: Duration = Duration::from_secs(10);
/// Of a device that does not say how large its pieces are, no more than this is lost at its waking.
const LONG_PIECE: Duration = Duration::from_millis(100);

/// Orders are looked for once in so many frames: about a millisecond.
const LOOK_EVERY: u32 = 64;
/// What is cut off fades in this time, so that it does not crack.
const FADE_MS: u32 = 5;

/// Samples on their way out, brought to the rate of the desk one by one: all at once, a long
/// announcement would hold up the tone behind it.
#[derive(Default)]
struct Playing {
    number: u32,
    samples: Vec<i16>,
    /// Samples to one frame of the desk.
    step: f64,
    /// Frames played.
    played: u64,
    /// Frames to play, where it was cut short, and over how many of the last it fades.
    fading: Option<(u64, u64)>,
}

impl Playing {
    fn new(order: Order, desk_rate: NonZero<u32>) -> Self {
        Self {
            number: order.number,
            samples: order.samples,
            step: f64::from(order.rate.get()) / f64::from(desk_rate.get()),
            ..Self::default()
        }
    }
    fn place(&self) -> f64 {
        self.played as f64 * self.step
    }
    fn next(&mut self) -> Option<f32> {
        if self.done() {
            return None;
        }
        let place = self.place();
        let (at, part) = (place as usize, place.fract() as f32);
        let sample = self.between(at, part);
        let loud = self.fading.map_or(1.0, |(end, over)| {
            ((end - self.played) as f32 / over as f32).min(1.0)
        });
        self.played += 1;
        Some(sample * loud)
    }
    /// The value `part` of the way from sample `at` to the next, by the cubic through both with the
    /// slopes of their neighbours (Catmull and Rom, 1974). Beyond the ends is silence.
    fn between(&self, at: usize, part: f32) -> f32 {
        let sample = |i: Option<usize>| {
            i.and_then(|i| self.samples.get(i))
                .map_or(0.0, |s| f32::from(*s) / 32_768.0)
        };
        let (a, b) = (sample(at.checked_sub(1)), sample(Some(at)));
        let (c, d) = (sample(Some(at + 1)), sample(Some(at + 2)));
        let slopes = [(c - a) / 2.0, (d - b) / 2.0];
        let (x, rise) = (part, c - b);
        b + x
            * (slopes[0]
                + x * (3.0 * rise - 2.0 * slopes[0] - slopes[1]
                    + x * (slopes[0] + slopes[1] - 2.0 * rise)))
    }
    fn done(&self) -> bool {
        self.fading.is_some_and(|(end, _)| self.played >= end)
            || self.place() >= self.samples.len() as f64
    }
    fn is_new(&self) -> bool {
        self.played == 0
    }
    /// Keeps only the next `frames`, fading to nothing.
    fn fade(mut self, frames: u64) -> Self {
        self.fading = Some((self.played + frames, frames));
        self
    }
}

/// The endless source.
pub struct Desk {
    channels: NonZero<u16>,
    rate: NonZero<u32>,
    orders: Receiver<Order>,
    taken: Arc<AtomicU64>,
    news: Sender<News>,
    /// Frames of a piece of the device.
    piece: u32,
    /// Frames since something sounded.
    silent: u64,
    /// Frames to leave out before anything sounds.
    lead: u32,
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
    /// device takes samples; `news` hears of every order when its first sample goes out, and of rest.
    pub fn new(
        channels: NonZero<u16>,
        rate: NonZero<u32>,
        orders: Receiver<Order>,
        taken: Arc<AtomicU64>,
        news: Sender<News>,
    ) -> Self {
        Self {
            piece: (LONG_PIECE.as_secs_f64() * f64::from(rate.get())) as u32,
            silent: 0,
            lead: 0,
            channels,
            rate,
            orders,
            taken,
            news,
            speech: Playing::default(),
            tone: Playing::default(),
            beside: Vec::new(),
            channel: 0,
            until_look: 0,
            now: 0.0,
        }
    }

    /// The same for a device that takes so many frames at a time.
    pub const fn in_pieces_of(mut self, frames: u32) -> Self {
        self.piece = frames;
        self
    }

    /// Waits for the next order, with the thread of the device.
    fn rest(&mut self) {
        // Nobody listens any more: then nobody wants to know, here and below.
        let _ = self.news.send(News::Rests);
        let order = self.orders.recv();
        let _ = self.news.send(News::Wakes);
        self.silent = 0;
        // The device ran dry, and throws away the piece that is being filled: what is to be heard begins
        // behind it.
        self.lead = self.piece * 2;
        if let Ok(order) = order {
            self.obey(order);
        }
    }

    fn is_silent(&self) -> bool {
        self.tone.done() && self.speech.done() && self.beside.is_empty()
    }

    fn end_speech(&mut self) {
        let cut = std::mem::take(&mut self.speech);
        // What waited behind a tone was not heard yet: nothing to fade.
        if !cut.is_new() && !cut.done() {
            self.beside.push(cut.fade(self.fade_frames()));
        }
    }

    fn end_tone(&mut self) {
        let cut = std::mem::take(&mut self.tone);
        if !cut.is_new() && !cut.done() {
            self.beside.push(cut.fade(self.fade_frames()));
        }
    }

    fn fade_frames(&self) -> u64 {
        u64::from(self.rate.get() * FADE_MS / 1000).max(1)
    }

    fn tell(&self, number: u32) {
        // Nobody listens any more: then nobody wants to know.
        let _ = self.news.send(News::Began(Began {
            number,
            at: Instant::now(),
        }));
    }

    fn obey(&mut self, order: Order) {
        let (kind, number) = (order.kind, order.number);
        let playing = Playing::new(order, self.rate);
        match kind {
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
            Kind::Hush => {
                self.end_speech();
                self.tell(number);
            }
            Kind::Wake => {}
        }
    }

    fn frame(&mut self) -> f32 {
        if self.until_look == 0 {
            self.until_look = LOOK_EVERY;
            self.taken.fetch_add(1, Ordering::Relaxed);
            while let Ok(order) = self.orders.try_recv() {
                self.obey(order);
                self.silent = 0;
            }
            if self.silent >= SILENT.as_secs() * u64::from(self.rate.get()) {
                self.rest();
            }
        }
        self.until_look -= 1;
        if self.lead > 0 {
            self.lead -= 1;
            return 0.0;
        }
        self.silent = match self.is_silent() {
            true => self.silent + 1,
            false => 0,
        };
        // Speech never covers a tone: it waits.
        let playing = match self.tone.done() {
            true => &mut self.speech,
            false => &mut self.tone,
        };
        let first = (playing.is_new() && !playing.done()).then_some(playing.number);
        let mut sum = playing.next().unwrap_or(0.0);
        if let Some(number) = first {
            self.tell(number);
        }
        if !self.beside.is_empty() {
            for playing in self.beside.iter().filter(|playing| playing.is_new()) {
                self.tell(playing.number);
            }
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
    use std::sync::mpsc::channel;

    /// At 1000 frames a second a fade lasts five frames.
    fn desk(channels: u16) -> (Sender<Order>, Desk, Arc<AtomicU64>) {
        let (orders, desk, taken, _) = desk_and_news(channels);
        (orders, desk, taken)
    }
    fn desk_and_news(channels: u16) -> (Sender<Order>, Desk, Arc<AtomicU64>, Receiver<News>) {
        let (orders, receiver) = channel();
        let (teller, news) = channel();
        let taken = Arc::new(AtomicU64::new(0));
        let desk = Desk::new(
            NonZero::new(channels).expect("channels"),
            RATE,
            receiver,
            taken.clone(),
            teller,
        );
        (orders, desk, taken, news)
    }
    const RATE: NonZero<u32> = NonZero::new(1000).unwrap();
    fn order(kind: Kind, value: f32, count: usize) -> Order {
        Order {
            kind,
            number: 1,
            samples: vec![(value * 32_768.0) as i16; count],
            rate: RATE,
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
    fn after_a_while_of_silence_it_waits_for_the_next_order_and_loses_nothing_of_it() {
        let (orders, desk, _, news) = desk_and_news(1);
        let mut desk = desk.in_pieces_of(10);
        // What sounds keeps it at work.
        orders.send(order(Kind::Tone, 0.25, 15_000)).expect("sent");
        assert!(desk.by_ref().take(15_000).all(|s| s == 0.25));
        news.try_iter().for_each(drop);
        assert!(desk.by_ref().take(9_900).all(|s| s == 0.0));
        assert_eq!(news.try_iter().count(), 0, "not yet");
        let played = std::thread::spawn(move || {
            let mut sounded = Vec::new();
            while sounded.len() < 3_000 {
                sounded.extend(desk.next());
            }
            sounded
        });
        let soon = Duration::from_secs(2);
        assert_eq!(news.recv_timeout(soon), Ok(News::Rests));
        assert!(news.recv_timeout(Duration::from_millis(200)).is_err());
        assert!(!played.is_finished(), "it waits");
        orders.send(order(Kind::Speech, 0.5, 30)).expect("sent");
        assert_eq!(news.recv_timeout(soon), Ok(News::Wakes));
        assert!(matches!(news.recv_timeout(soon), Ok(News::Began(_))));
        let played = played.join().expect("it played on");
        let begins = played.iter().position(|s| *s != 0.0).expect("heard");
        // It looks once in 64 frames, so it rested behind frame 25,024 of all.
        assert_eq!(begins, 25_024 - 24_900 + 20, "the first pieces are lost");
        assert_eq!(played[begins..begins + 30], [0.5; 30]);
        // To be woken is enough: it plays on, silently.
        assert!(played[begins + 30..].iter().all(|s| *s == 0.0));
    }

    #[test]
    fn every_channel_carries_the_same() {
        let (orders, mut desk, _) = desk(2);
        let samples = vec![4096, 8192, 16_384];
        let order = Order {
            samples,
            ..order(Kind::Speech, 0.0, 0)
        };
        orders.send(order).expect("sent");
        let out: Vec<f32> = desk.by_ref().take(8).collect();
        assert_eq!(out, [0.125, 0.125, 0.25, 0.25, 0.5, 0.5, 0.0, 0.0]);
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

    #[test]
    fn each_order_is_told_once_when_it_begins() {
        let (orders, mut desk, _, news) = desk_and_news(2);
        let send = |number, kind, count| {
            let order = Order {
                number,
                ..order(kind, 0.25, count)
            };
            orders.send(order).expect("sent");
        };
        let number = |told| match told {
            News::Began(began) => began.number,
            other => panic!("{other:?}"),
        };
        let heard = || news.try_iter().map(number).collect::<Vec<_>>();
        send(1, Kind::Tone, 70);
        send(2, Kind::Speech, 100);
        send(3, Kind::Click, 5);
        look(&mut desk);
        // The word waits for the end of the tone.
        assert_eq!(heard(), [1, 3]);
        look(&mut desk);
        look(&mut desk);
        assert_eq!(heard(), [2]);
        send(4, Kind::Hush, 0);
        look(&mut desk);
        look(&mut desk);
        assert_eq!(heard(), [4]);
    }

    #[test]
    fn a_change_of_rate_keeps_length_pitch_and_shape() {
        const FROM: u32 = 22_050;
        let turn = |at: f64, rate: u32| std::f64::consts::TAU * 1000.0 * at / f64::from(rate);
        let tone: Vec<i16> = (0..FROM)
            .map(|i| (turn(f64::from(i), FROM).sin() * 16_384.0) as i16)
            .collect();
        for rate in [11_025, 22_050, 44_100, 48_000, 96_000] {
            let order = Order {
                kind: Kind::Tone,
                number: 0,
                samples: tone.clone(),
                rate: NonZero::new(FROM).expect("a rate"),
            };
            let mut playing = Playing::new(order, NonZero::new(rate).expect("a rate"));
            let out: Vec<f32> = std::iter::from_fn(|| playing.next()).collect();
            assert!(
                out.len().abs_diff(rate as usize) <= 1,
                "{rate}: {}",
                out.len()
            );
            // The first and the last samples lean towards the silence beside them.
            let inner = 10..out.len() - 10;
            for (i, sample) in out.iter().enumerate().take(inner.end).skip(inner.start) {
                let wanted = turn(i as f64, rate).sin() * 0.5;
                assert!(
                    (f64::from(*sample) - wanted).abs() < 0.005,
                    "{rate}: frame {i} is {sample}, not {wanted}"
                );
            }
        }
    }
}
