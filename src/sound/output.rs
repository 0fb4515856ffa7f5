//! The output process: `fillcall sound-output`, started by the player and by nobody else.
//!
//! A device that goes away can hang or abort the program that plays to it. This process may: its
//! player sees it and starts another. It ends when its standard input does, so it never outlives
//! the screen, and it leaves without closing a device that may no longer answer.

use super::RATE;
use super::finding::END;
use super::loudspeakers;
use super::mixing::{Desk, News, Order};
use super::patience::{LOOK_EVERY, Patience};
use super::protocol::{Frame, Report, Trouble, Wanted};
use crate::bay::ports::Why;
use rodio::cpal::traits::{DeviceTrait, HostTrait};
use rodio::cpal::{self, BufferSize, ErrorKind, SupportedStreamConfig};
use rodio::{DeviceSinkBuilder, DeviceSinkError, MixerDeviceSink};
use std::error::Error;
use std::io::{self, Write};
use std::num::NonZero;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread;
use std::time::{Duration, Instant};

/// The hidden subcommand under which the main program runs [`run`].
pub const SUBCOMMAND: &str = "sound-output";
/// With this argument it lists the loudspeakers instead, one name to a line, and `end` behind them.
pub const LIST: &str = "--list";

/// Between two reports of a device that works.
pub(super) const REPORT_EVERY: Duration = Duration::from_millis(250);
/// Between two reports of one that rests: the process itself is alive.
const RESTING_EVERY: Duration = Duration::from_secs(30);
/// A device that takes nothing for so long is given up. A card that is well takes a piece every few
/// hundredths of a second; one that comes out of a hiccup sooner than this is left in peace.
const STALLED: Duration = Duration::from_secs(1);
/// So often without samples within [`HURRY_WITHIN`]: the pieces are too short for this machine.
const HURRIED: u32 = 4;
const HURRY_WITHIN: Duration = Duration::from_secs(5);
const NO_DEVICE: u8 = 3;
/// Frames a second.
const USUAL_RATE: u32 = 48_000;
const CLIP_RATE: NonZero<u32> = match NonZero::new(RATE) {
    Some(rate) => rate,
    None => panic!("a rate is above zero"),
};

/// What the threads of the device and of the orders tell the one that reports.
#[derive(Default)]
struct Signs {
    /// Counts up as long as the device takes samples.
    taken: Arc<AtomicU64>,
    /// How often the device went without samples.
    missed: Arc<AtomicU32>,
    /// True once there is a desk to give orders to.
    open: Arc<AtomicBool>,
}

/// Plays what comes on standard input to a device, and reports on standard output.
///
/// Ends the process at the end of standard input, when nobody reads its reports any more, and,
/// with status 3, when there is no device or it goes away.
pub fn run() -> ExitCode {
    let mut arguments = std::env::args().skip(2).peekable();
    if arguments.peek().is_some_and(|first| first == LIST) {
        return list();
    }
    let wanted = match Wanted::from_arguments(arguments) {
        Ok(wanted) => wanted,
        Err(reason) => return gone(Trouble::new(Why::NoAnswer, reason)),
    };
    let (orders, desk_orders) = mpsc::channel();
    let (teller, news) = mpsc::channel();
    let signs = Signs::default();
    // Reading begins before the device is opened: opening may hang, and the end of the line must
    // be seen even then.
    let reader = thread::Builder::new().name("sound-orders".into()).spawn({
        let open = Arc::clone(&signs.open);
        move || {
            obey(&orders, &open);
            std::process::exit(0);
        }
    });
    if let Err(e) = reader {
        let reason = format!("no thread to read orders: {e}");
        return gone(Trouble::new(Why::NoAnswer, reason));
    }
    match open(&wanted, desk_orders, teller, &signs) {
        Ok(sink) => {
            let last = report_while_it_plays(&signs, &news, wanted.piece);
            // Closing a device that stalls would hang.
            std::mem::forget(sink);
            last.map_or(ExitCode::SUCCESS, |report| ended_with(&report))
        }
        Err(trouble) => gone(trouble),
    }
}

fn list() -> ExitCode {
    match loudspeakers::ask() {
        Ok(found) => {
            let mut text: String = found.iter().map(|(name, _)| format!("{name}\n")).collect();
            text.push_str(END);
            text.push('\n');
            // A reader that went away does not want to know.
            let _ = io::stdout().lock().write_all(text.as_bytes());
            ExitCode::SUCCESS
        }
        Err(reason) => {
            eprintln!("fillcall: {reason}");
            ExitCode::from(NO_DEVICE)
        }
    }
}

fn gone(trouble: Trouble) -> ExitCode {
    ended_with(&Report::Gone(trouble))
}

fn ended_with(report: &Report) -> ExitCode {
    // Nobody may be reading any more; then there is nobody to tell.
    let _ = report.write(&mut io::stdout().lock());
    ExitCode::from(NO_DEVICE)
}

/// Opens the device and puts the desk on it.
fn open(
    wanted: &Wanted,
    orders: Receiver<Order>,
    news: Sender<News>,
    signs: &Signs,
) -> Result<MixerDeviceSink, Trouble> {
    let name = wanted.loudspeaker.as_deref();
    let device = device(name)?;
    let config = config(&device).map_err(|error| {
        refused(name, &DeviceSinkError::DefaultSinkConfigError(error)).trouble()
    })?;
    let with = |piece: Option<Duration>| open_with(&device, &config, piece, &signs.missed, name);
    let mut piece = wanted.piece;
    let mut sink = loop {
        match with(Some(piece)) {
            // Not in pieces as short as these: in longer ones, at last in its own.
            Err(Refused::Unsuited(_)) if piece < Wanted::LONGEST => piece *= 2,
            Err(Refused::Unsuited(_)) => break with(None).map_err(Refused::trouble)?,
            other => break other.map_err(Refused::trouble)?,
        }
    };
    sink.log_on_drop(false);
    let (channels, rate) = (sink.config().channel_count(), sink.config().sample_rate());
    let taken = Arc::clone(&signs.taken);
    let mut desk = Desk::new(channels, rate, orders, taken, news);
    if let BufferSize::Fixed(frames) = sink.config().buffer_size() {
        desk = desk.in_pieces_of(*frames);
    }
    sink.mixer().add(desk);
    signs.open.store(true, Ordering::Release);
    Ok(sink)
}

/// Why a device was not opened.
enum Refused {
    /// It does not do what was asked for.
    Unsuited(Trouble),
    /// Anything else.
    Other(Trouble),
}

impl Refused {
    fn trouble(self) -> Trouble {
        match self {
            Self::Unsuited(trouble) | Self::Other(trouble) => trouble,
        }
    }
}

/// The loudspeaker of this name, or the one that the system prefers.
fn device(name: Option<&str>) -> Result<cpal::Device, Trouble> {
    match name {
        None => cpal::default_host().default_output_device(),
        Some(wanted) => loudspeakers::ask()
            .map_err(|reason| Trouble::new(Why::NoAnswer, reason))?
            .into_iter()
            .find_map(|(name, device)| (name == wanted).then_some(device)),
    }
    .ok_or_else(|| absent(name))
}

/// How it is opened: as it likes best, but at the rate of most cards where it can, because the system
/// brings every other rate to that one, roughly.
fn config(device: &cpal::Device) -> Result<SupportedStreamConfig, cpal::Error> {
    let best = device.default_output_config()?;
    let at_usual_rate = device
        .supported_output_configs()?
        .filter(|range| range.channels() == best.channels())
        .filter(|range| range.sample_format() == best.sample_format())
        .find_map(|range| range.try_with_sample_rate(USUAL_RATE));
    Ok(at_usual_rate.unwrap_or(best))
}

/// Opens the device with pieces of this length, or its own.
fn open_with(
    device: &cpal::Device,
    config: &SupportedStreamConfig,
    piece: Option<Duration>,
    missed: &Arc<AtomicU32>,
    name: Option<&str>,
) -> Result<MixerDeviceSink, Refused> {
    let size = piece.map_or(BufferSize::Default, |piece| {
        // A power of two suits every card.
        BufferSize::Fixed(
            (config.sample_rate() * piece.as_millis() as u32 / 1000).next_power_of_two(),
        )
    });
    let missed = Arc::clone(missed);
    DeviceSinkBuilder::default()
        .with_device(device.clone())
        .with_supported_config(config)
        .with_buffer_size(size)
        .with_error_callback(move |error| match error.kind() {
            ErrorKind::Xrun => {
                missed.fetch_add(1, Ordering::Relaxed);
            }
            // No hurry granted, and another device behind the same name: it goes on playing.
            ErrorKind::RealtimeDenied | ErrorKind::DeviceChanged => {}
            _ => {
                let why = match error.kind() {
                    ErrorKind::DeviceNotAvailable => Why::Absent,
                    _ => Why::NoAnswer,
                };
                let reason = format!("the loudspeaker went away: {error}");
                gone(Trouble::new(why, reason));
                std::process::exit(i32::from(NO_DEVICE));
            }
        })
        .open_stream()
        .map_err(|error| refused(name, &error))
}

fn called(name: Option<&str>) -> String {
    name.map_or("the loudspeaker".to_owned(), |name| {
        format!("the loudspeaker \"{name}\"")
    })
}

/// Not found. Cards that this user may not use are not found either, by the library's account.
fn absent(name: Option<&str>) -> Trouble {
    if loudspeakers::forbidden() {
        return not_allowed(name);
    }
    let reason = match name {
        Some(_) => format!(
            "{} is not there; plug it in or choose another one",
            called(name)
        ),
        None => "there is no loudspeaker; plug one in".to_owned(),
    };
    Trouble::new(Why::Absent, reason)
}

fn not_allowed(name: Option<&str>) -> Trouble {
    let called = called(name);
    Trouble::new(
        Why::NotAllowed,
        format!("{called} may not be opened by this user; add the user to the group audio"),
    )
}

/// What the library says, in words that help.
fn refused(name: Option<&str>, error: &DeviceSinkError) -> Refused {
    let called = called(name);
    let mut said = error.to_string();
    let mut kind = None;
    let mut cause = Error::source(error);
    while let Some(deeper) = cause {
        said = format!("{said}: {deeper}");
        kind = kind.or(deeper.downcast_ref::<cpal::Error>().map(cpal::Error::kind));
        cause = deeper.source();
    }
    match kind {
        Some(ErrorKind::DeviceBusy) => Refused::Other(Trouble::new(
            Why::InUse,
            format!(
                "{called} is in use by another program; end that one or choose another loudspeaker"
            ),
        )),
        Some(ErrorKind::DeviceNotAvailable) => Refused::Other(absent(name)),
        Some(ErrorKind::PermissionDenied) => Refused::Other(not_allowed(name)),
        Some(ErrorKind::UnsupportedConfig) => Refused::Unsuited(Trouble::new(
            Why::NoAnswer,
            format!("{called} does not play what it is given: {said}"),
        )),
        _ => Refused::Other(Trouble::new(
            Why::NoAnswer,
            format!("{called} does not open: {said}"),
        )),
    }
}

/// Reports for as long as anybody reads and the device plays; then says what is to be reported last,
/// if anybody reads it.
fn report_while_it_plays(signs: &Signs, news: &Receiver<News>, piece: Duration) -> Option<Report> {
    let mut looks = Looks::new(piece);
    loop {
        let report = match news.recv_timeout(looks.next_in()) {
            Ok(News::Began(began)) => Report::Began {
                number: began.number,
                ago: began.at.elapsed(),
            },
            Ok(News::Rests) => {
                looks.rests = true;
                Report::Resting
            }
            Ok(News::Wakes) => {
                looks = Looks::new(piece);
                continue;
            }
            Err(RecvTimeoutError::Timeout) if looks.rests => Report::Resting,
            Err(RecvTimeoutError::Timeout) => match looks.look(signs) {
                Some(report) if report.is_last() => return Some(report),
                Some(report) => report,
                None => continue,
            },
            // The desk is gone with its device, whose end is told elsewhere.
            Err(RecvTimeoutError::Disconnected) => {
                thread::sleep(LOOK_EVERY);
                continue;
            }
        };
        if report.write(&mut io::stdout().lock()).is_err() {
            return None;
        }
    }
}

/// Looks again and again whether the device plays, as long as it should.
struct Looks {
    piece: Duration,
    patience: Patience,
    taken: u64,
    next_report: Instant,
    hurry: Option<Hurry>,
    rests: bool,
}

impl Looks {
    fn new(piece: Duration) -> Self {
        let now = Instant::now();
        Self {
            piece,
            patience: Patience::new(now),
            taken: 0,
            next_report: now,
            hurry: None,
            rests: false,
        }
    }

    /// From now to the next look.
    fn next_in(&self) -> Duration {
        match self.rests {
            true => RESTING_EVERY,
            false => self
                .patience
                .next_look()
                .saturating_duration_since(Instant::now()),
        }
    }

    /// What is to be reported, if anything is.
    fn look(&mut self, signs: &Signs) -> Option<Report> {
        let now = Instant::now();
        let taken = signs.taken.load(Ordering::Relaxed);
        if taken == self.taken {
            self.patience.look(now);
        } else {
            self.patience = Patience::new(now);
        }
        self.taken = taken;
        if self.patience.is_over(STALLED.max(self.piece * 4)) {
            let reason = "the loudspeaker takes no samples";
            return Some(Report::Gone(Trouble::new(Why::NoAnswer, reason)));
        }
        let missed = signs.missed.load(Ordering::Relaxed);
        // That it ran dry while it rested is not counted.
        let hurry = self.hurry.get_or_insert_with(|| Hurry::new(now, missed));
        if hurry.is_too_much(missed, now) && self.piece < Wanted::LONGEST {
            return Some(Report::Hurried);
        }
        if taken == 0 || now < self.next_report {
            return None;
        }
        self.next_report = now + REPORT_EVERY - LOOK_EVERY / 2;
        Some(Report::Working)
    }
}

/// How often the device went without samples lately.
struct Hurry {
    since: Instant,
    before: u32,
}

impl Hurry {
    fn new(now: Instant, before: u32) -> Self {
        Self { since: now, before }
    }
    fn is_too_much(&mut self, missed: u32, now: Instant) -> bool {
        if missed - self.before >= HURRIED {
            return true;
        }
        if now - self.since >= HURRY_WITHIN {
            *self = Self::new(now, missed);
        }
        false
    }
}

/// Hands frames on to the desk until the line ends.
fn obey(orders: &Sender<Order>, open: &AtomicBool) {
    let mut line = io::stdin().lock();
    while let Ok(Some(frame)) = Frame::read(&mut line) {
        // Before the device is open there is nothing to play to, and later it would be stale.
        if !open.load(Ordering::Acquire) {
            continue;
        }
        let order = Order {
            kind: frame.kind,
            number: frame.number,
            samples: frame.samples,
            rate: CLIP_RATE,
        };
        if orders.send(order).is_err() {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_device_without_samples_now_and_then_is_no_hurry() {
        let begun = Instant::now();
        let mut hurry = Hurry::new(begun, 0);
        for second in 0..60 {
            let now = begun + Duration::from_secs(second);
            assert!(!hurry.is_too_much(second as u32 / 3, now), "{second}");
        }
        assert!(hurry.is_too_much(20 + HURRIED, begun + Duration::from_secs(60)));
    }

    #[test]
    fn what_another_program_holds_is_told_and_not_opened_otherwise() {
        let error = |kind| DeviceSinkError::BuildError(cpal::Error::from(kind));
        let said = refused(Some("Horn"), &error(ErrorKind::DeviceBusy));
        assert!(matches!(&said, Refused::Other(_)));
        let said = said.trouble();
        assert_eq!(said.why, Why::InUse);
        assert!(
            said.reason
                .contains("\"Horn\" is in use by another program")
        );
        // The same where nothing was chosen, and it is told before anything plays.
        let said = cpal::Error::from(ErrorKind::DeviceBusy);
        let said = refused(None, &DeviceSinkError::DefaultSinkConfigError(said)).trouble();
        assert_eq!(said.why, Why::InUse);
        let said = refused(None, &error(ErrorKind::PermissionDenied)).trouble();
        assert_eq!(said.why, Why::NotAllowed);
        let said = refused(None, &error(ErrorKind::BackendError)).trouble();
        assert_eq!(said.why, Why::NoAnswer);
        // Only what may do with longer pieces is tried with them.
        let said = refused(None, &error(ErrorKind::UnsupportedConfig));
        assert!(matches!(said, Refused::Unsuited(_)));
        let said = refused(None, &error(ErrorKind::DeviceNotAvailable));
        assert_eq!(said.trouble().why, Why::Absent);
    }

    #[test]
    fn what_is_not_there_is_named() {
        assert!(
            absent(Some("Horn"))
                .reason
                .contains("\"Horn\" is not there")
        );
        assert!(absent(None).reason.contains("no loudspeaker"));
    }
}
