//! A listener that knows the beep code from its description alone and hears nothing but samples.
//!
//! Everything here is written down a second time on purpose: nothing is taken from the program.

use std::f64::consts::{PI, TAU};

/// Three samples at 22,050 Hz become one: nothing of the code lies above 3000 Hz.
const THINNED: usize = 3;
const RATE: f64 = 22_050.0 / THINNED as f64;
/// Goertzel filters run over blocks of 5 ms, and blocks are added up with their phases.
const BLOCK: usize = 37;
const BLOCK_MS: f64 = BLOCK as f64 * 1000.0 / RATE;

/// A pitch of the code and how long the listener listens for it at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Pitch {
    hz: f64,
    blocks: usize,
}

const fn pitch(hz: f64, blocks: usize) -> Pitch {
    Pitch { hz, blocks }
}
const LOW: usize = 0;
const HIGH: usize = 1;
const HIGHEST: usize = 2;
const FALL_FROM: usize = 3;
const FALL_TO: usize = 4;
const SIREN: usize = 5;
const LOWEST_NO: usize = 6;
const PITCHES: [Pitch; 7] = [
    pitch(600.0, 18),
    pitch(1350.0, 14),
    pitch(2250.0, 9),
    pitch(1050.0, 18),
    pitch(780.0, 24),
    pitch(1680.0, 16),
    pitch(640.0, 24),
];
/// Those that a volume is made of.
const OF_A_VOLUME: usize = 5;

/// What counts: pitch, ml, length of a pulse, gap between two; all in ms.
const PLACES: [(usize, u32, f64, f64); 3] = [
    (LOW, 100, 160.0, 105.0),
    (HIGH, 10, 75.0, 110.0),
    (HIGHEST, 1, 45.0, 125.0),
];
const RISE: [(usize, f64); 3] = [(LOW, 110.0), (HIGH, 110.0), (HIGHEST, 110.0)];
const FALL: [(usize, f64); 2] = [(FALL_FROM, 100.0), (FALL_TO, 200.0)];
const AFTER_RISE: f64 = 360.0;
const AFTER_FIVE: f64 = 300.0;
const AFTER_PLACE: f64 = 420.0;
const BEFORE_FALL: f64 = 320.0;

/// How far a gap may be from the one described, and the length of a pulse in parts of it.
const GAP_OFF: f64 = 55.0;
const LENGTH_OFF: f64 = 0.45;
/// What is nearer together is one, in ms.
const JOINED: f64 = 40.0;
/// A pitch begins to sound above the first and ends below the second part of its strongest.
const SOUNDS: f64 = 0.55;
const ENDS: f64 = 0.4;
/// What is shorter is noise, in ms.
const SHORTEST: f64 = 22.0;
/// No pitch of the code is softer than this part of the loudest one, or of all that is heard.
const SOFTEST: f64 = 0.3;
const SOFTEST_OF_ALL: f64 = 0.15;

/// A pitch heard for a while; times in ms.
#[derive(Debug, Clone, Copy)]
pub struct Heard {
    pitch: usize,
    from: f64,
    length: f64,
}

impl Heard {
    fn is(&self, pitch: usize, length: f64) -> bool {
        self.pitch == pitch && (self.length / length - 1.0).abs() <= LENGTH_OFF
    }
    fn end(&self) -> f64 {
        self.from + self.length
    }
}

/// The signals: pitch, length and the gap behind it, in ms.
type Note = (usize, f64, f64);
const SIGNALS: [(&str, &[Note]); 6] = [
    (
        "look",
        &[(LOW, 110.0, 0.0), (HIGH, 110.0, 0.0), (HIGHEST, 110.0, 0.0)],
    ),
    ("done", &[(FALL_TO, 100.0, 0.0), (FALL_FROM, 260.0, 0.0)]),
    (
        "undone",
        &[(HIGHEST, 110.0, 0.0), (HIGH, 110.0, 0.0), (LOW, 160.0, 0.0)],
    ),
    ("due", &[(FALL_FROM, 130.0, 130.0), (FALL_FROM, 130.0, 0.0)]),
    (
        "overdue",
        &[
            (FALL_FROM, 120.0, 0.0),
            (SIREN, 120.0, 0.0),
            (FALL_FROM, 120.0, 0.0),
            (SIREN, 120.0, 0.0),
            (FALL_FROM, 120.0, 0.0),
            (SIREN, 120.0, 0.0),
        ],
    ),
    (
        "no figure",
        &[
            (FALL_TO, 140.0, 50.0),
            (LOWEST_NO, 240.0, 200.0),
            (FALL_TO, 140.0, 50.0),
            (LOWEST_NO, 240.0, 0.0),
        ],
    ),
];

/// Which signal it is, or what was heard instead.
pub fn signal(samples: &[f32]) -> Result<&'static str, String> {
    let heard = listen(samples, &PITCHES);
    let is = |notes: &[Note]| {
        heard.len() == notes.len()
            && heard.iter().zip(notes).all(|(h, n)| h.is(n.0, n.1))
            && heard
                .windows(2)
                .zip(notes)
                .all(|(pair, note)| in_time(pair[0].end(), pair[1].from, note.2).is_ok())
    };
    match SIGNALS.iter().find(|(_, notes)| is(notes)) {
        Some((name, _)) => Ok(name),
        None => Err(format!("no signal: {heard:?}")),
    }
}

/// The volume in ml, or why it was not understood. Every gap is `slowness` times as long as usual.
pub fn volume(samples: &[f32], slowness: f64) -> Result<u32, String> {
    let heard = listen(samples, &PITCHES[..OF_A_VOLUME]);
    let (rise, rest) = find(&heard, &RISE).ok_or("no rise")?;
    let (fall, _) = find(rest, &FALL).ok_or("no fall")?;
    let counted = &rest[..rest.len() - fall.len()];
    let (mut ml, mut place, mut count) = (0, 0, 0);
    let mut end = rise[RISE.len() - 1].end();
    for (i, pulse) in counted.iter().enumerate() {
        let Some(new) = PLACES.iter().position(|p| pulse.is(p.0, p.2)) else {
            return Err(format!("no pulse of the code: {pulse:?}"));
        };
        let gap = match i {
            0 => AFTER_RISE,
            _ if new < place => return Err("places out of order".into()),
            _ if new > place => AFTER_PLACE,
            _ if count % 5 == 0 => AFTER_FIVE,
            _ => PLACES[place].3,
        };
        in_time(end, pulse.from, gap * slowness)?;
        count = if i > 0 && new == place { count + 1 } else { 1 };
        place = new;
        ml += PLACES[place].1;
        end = pulse.end();
    }
    in_time(end, fall[0].from, BEFORE_FALL * slowness)?;
    match ml {
        0 => Err("nothing to count".into()),
        ml => Ok(ml),
    }
}

fn in_time(end: f64, from: f64, gap: f64) -> Result<(), String> {
    match (from - end - gap).abs() <= GAP_OFF {
        true => Ok(()),
        false => Err(format!("{:.0} ms of silence, not {gap:.0}", from - end)),
    }
}

/// The first place where these notes follow each other without a gap: everything from there on,
/// and everything behind them.
fn find<'a>(heard: &'a [Heard], notes: &[(usize, f64)]) -> Option<(&'a [Heard], &'a [Heard])> {
    (0..heard.len()).find_map(|at| {
        let (found, behind) = heard[at..].split_at_checked(notes.len())?;
        let alike = found.iter().zip(notes).all(|(h, n)| h.is(n.0, n.1));
        let joined = found
            .windows(2)
            .all(|pair| (pair[1].from - pair[0].end()).abs() < JOINED);
        (alike && joined).then_some((&heard[at..], behind))
    })
}

/// Every pitch that sounds, in order of time.
fn listen(samples: &[f32], pitches: &[Pitch]) -> Vec<Heard> {
    let samples: Vec<f32> = samples
        .chunks_exact(THINNED)
        .map(|three| (three[0] + three[1] + three[2]) / THINNED as f32)
        .collect();
    let all =
        (samples.iter().map(|s| f64::from(*s).powi(2)).sum::<f64>() / samples.len() as f64).sqrt();
    let strengths: Vec<Vec<f64>> = pitches.iter().map(|p| strength(&samples, *p)).collect();
    let strongest: Vec<f64> = strengths
        .iter()
        .map(|s| s.iter().fold(0.0, |m, x| x.max(m)))
        .collect();
    let loudest = strongest.iter().fold(0.0f64, |m, x| x.max(m));
    let mut heard = Vec::new();
    for (pitch, strength) in strengths.iter().enumerate() {
        let full = strongest[pitch];
        if full < SOFTEST * loudest || full < SOFTEST_OF_ALL * all {
            continue; // It does not sound at all.
        }
        let mut from = None;
        for (i, now) in strength.iter().chain([&0.0]).enumerate() {
            match from {
                None if *now > SOUNDS * full => from = Some(i),
                Some(began) if *now < ENDS * full => {
                    heard.push(Heard {
                        pitch,
                        from: began as f64 * BLOCK_MS,
                        length: (i - began) as f64 * BLOCK_MS,
                    });
                    from = None;
                }
                _ => {}
            }
        }
    }
    heard.retain(|h| h.length >= SHORTEST);
    heard.sort_by(|a, b| a.from.total_cmp(&b.from));
    heard
}

/// The amplitude of a pitch around each block, seen through a window that fades at both ends.
fn strength(samples: &[f32], pitch: Pitch) -> Vec<f64> {
    let turn = TAU * pitch.hz / RATE;
    let blocks: Vec<(f64, f64)> = samples
        .chunks_exact(BLOCK)
        .enumerate()
        .map(|(i, block)| goertzel(block, turn, turn * (i * BLOCK) as f64))
        .collect();
    let window: Vec<f64> = (0..pitch.blocks)
        .map(|j| (PI * (j as f64 + 0.5) / pitch.blocks as f64).sin().powi(2))
        .collect();
    let scale = 2.0 / (BLOCK as f64 * window.iter().sum::<f64>());
    blocks
        .windows(pitch.blocks)
        .map(|part| {
            let (mut re, mut im) = (0.0, 0.0);
            for ((x, y), weight) in part.iter().zip(&window) {
                re += weight * x;
                im += weight * y;
            }
            scale * re.hypot(im)
        })
        .collect()
}

/// The sum of x[n]·e^(−i(start + turn·n)) over a block.
fn goertzel(block: &[f32], turn: f64, start: f64) -> (f64, f64) {
    let twice = 2.0 * turn.cos();
    let (mut last, mut before) = (0.0, 0.0);
    for x in block {
        let now = f64::from(*x) + twice * last - before;
        before = last;
        last = now;
    }
    // last − before·e^(−i·turn), turned back to the beginning of the block and of all samples.
    let (re, im) = (last - before * turn.cos(), before * turn.sin());
    let back = -(turn * (block.len() - 1) as f64 + start);
    (
        re * back.cos() - im * back.sin(),
        re * back.sin() + im * back.cos(),
    )
}
