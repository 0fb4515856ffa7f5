//! WAV files: mono, 16 bits, at [`RATE`].

use super::RATE;
use super::render;
use super::voice::Pack;
use crate::bay::ports::Pace;
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use std::fmt;

/// Why the bytes are not a mono, 16-bit WAV at [`RATE`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WavFault {
    /// What is wrong with them.
    pub wrong: String,
}

impl fmt::Display for WavFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "a word clip cannot be used: {}; make the clips again with sounds/make-clips",
            self.wrong
        )
    }
}
impl std::error::Error for WavFault {}

/// The samples of a WAV file.
///
/// # Errors
/// [`WavFault`] for anything but mono, 16 bits, [`RATE`].
pub fn samples(wav: &[u8]) -> Result<Vec<i16>, WavFault> {
    let not_ours = |wrong: &str| WavFault {
        wrong: wrong.into(),
    };
    let chunks = match (wav.get(..4), wav.get(8..12), wav.get(12..)) {
        (Some(b"RIFF"), Some(b"WAVE"), Some(chunks)) => chunks,
        _ => return Err(not_ours("it is not a WAV file")),
    };
    let format = chunk(chunks, *b"fmt ").ok_or_else(|| not_ours("it has no format"))?;
    let mut wanted = vec![1, 0, 1, 0];
    wanted.extend(RATE.to_le_bytes());
    wanted.extend((RATE * 2).to_le_bytes());
    wanted.extend([2, 0, 16, 0]);
    if format != wanted {
        return Err(not_ours("it is not mono with 16 bits at 22,050 Hz"));
    }
    let data = chunk(chunks, *b"data").ok_or_else(|| not_ours("it has no samples, or too few"))?;
    Ok(data
        .chunks_exact(2)
        .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
        .collect())
}

/// The first chunk of that name; `None` too where it is cut short.
fn chunk(mut rest: &[u8], name: [u8; 4]) -> Option<&[u8]> {
    loop {
        let head = rest.get(..8)?;
        let size = u32::from_le_bytes([head[4], head[5], head[6], head[7]]) as usize;
        if head[..4] == name {
            return rest.get(8..8 + size);
        }
        // Chunks begin at even places.
        rest = rest.get(8 + size + size % 2..)?;
    }
}

/// A WAV file of these samples.
pub fn file(samples: &[i16]) -> Vec<u8> {
    let bytes = (samples.len() * 2) as u32;
    let mut out = Vec::with_capacity(44 + samples.len() * 2);
    out.extend(b"RIFF");
    out.extend((36 + bytes).to_le_bytes());
    out.extend(b"WAVEfmt ");
    out.extend(16u32.to_le_bytes());
    out.extend([1, 0, 1, 0]);
    out.extend(RATE.to_le_bytes());
    out.extend((RATE * 2).to_le_bytes());
    out.extend([2, 0, 16, 0]);
    out.extend(b"data");
    out.extend(bytes.to_le_bytes());
    out.extend(samples.iter().flat_map(|s| s.to_le_bytes()));
    out
}

/// The WAV file of an announcement, as the bay's voice says it at full volume.
pub fn said(announcement: &Announcement, pack: &Pack, voice: Voice) -> Vec<u8> {
    file(&render::announcement(
        announcement,
        pack,
        voice,
        Pace::Usual,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_is_read_again() {
        let samples_in = [0, 1, -1, i16::MAX, i16::MIN];
        assert_eq!(samples(&file(&samples_in)).expect("ours"), samples_in);
    }

    #[test]
    fn other_files_are_refused() {
        let good = file(&[1, 2, 3]);
        let mut stereo = good.clone();
        stereo[22] = 2;
        let mut rate = good.clone();
        rate[24] = 0;
        for bad in [
            b"".as_slice(),
            b"RIFF",
            &stereo,
            &rate,
            &good[..good.len() - 1],
        ] {
            assert!(samples(bad).is_err());
        }
    }
}
