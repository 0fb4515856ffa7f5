//! A file as a clip: its samples, and whether it can be played.

use super::Wrong;
use crate::sound::{RATE, samples_in_ms, vorbis, wav};

/// No word takes longer; a recording that does was not cut.
pub const LONGEST_MS: u32 = 3000;
/// No word is shorter: the shortest of the carried voices lasts 220 ms.
pub const SHORTEST_MS: u32 = 40;
/// There is a sound in it for at least so long.
const SOUNDS_MS: u32 = 10;
/// A peak below this, -40 dBFS, is not heard beside the other words.
const SILENT_BELOW: u16 = 328;
/// So many samples in a row at the end of the range are no chance peak.
const CLIPPED_RUN: usize = 3;

/// The samples of a clip, Ogg Vorbis or WAV, mono at [`RATE`].
///
/// # Errors
/// What is wrong with the bytes, where they are no such file.
pub fn samples(file: &[u8]) -> Result<Vec<i16>, String> {
    if vorbis::is_ogg(file) {
        vorbis::samples(file)
    } else {
        wav::samples(file).map_err(|fault| fault.wrong)
    }
}

/// What is wrong with the bytes of a clip, if anything.
pub fn wrong(file: &[u8]) -> Option<Wrong> {
    let samples = match samples(file) {
        Ok(samples) => samples,
        Err(wrong) => return Some(Wrong::Format(wrong)),
    };
    // What stands still is not heard, wherever it stands.
    let sum: i64 = samples.iter().map(|s| i64::from(*s)).sum();
    let rest = sum / i64::try_from(samples.len().max(1)).unwrap_or(i64::MAX);
    let is_heard = |s: &&i16| i64::from(**s).abs_diff(rest) >= u64::from(SILENT_BELOW);
    let heard = samples.iter().filter(is_heard).count();
    let at_the_end = |s: &i16| s.unsigned_abs() >= i16::MAX.unsigned_abs();
    if samples.len() > samples_in_ms(LONGEST_MS) {
        let ms = samples.len() as u64 * 1000 / u64::from(RATE);
        Some(Wrong::TooLong(u32::try_from(ms).unwrap_or(u32::MAX)))
    } else if heard < samples_in_ms(SOUNDS_MS) {
        Some(Wrong::Silent)
    } else if samples.len() < samples_in_ms(SHORTEST_MS) {
        Some(Wrong::TooShort(samples.len()))
    } else if samples
        .windows(CLIPPED_RUN)
        .any(|run| run.iter().all(at_the_end))
    {
        Some(Wrong::Clipped)
    } else {
        None
    }
}

/// The word that a file is the clip of when nothing else is said: its name, in lower case. `None`
/// for a file that is no clip.
pub fn word_of(file: &str) -> Option<String> {
    let (word, end) = file.rsplit_once('.')?;
    ["ogg", "wav"].contains(&end).then(|| word.to_lowercase())
}
