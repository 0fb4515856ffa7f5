//! What the player and its output process tell each other.
//!
//! To the output, on its standard input, frames: one byte for the kind, the number of samples
//! (four bytes, low byte first), the samples (two bytes each, low byte first). From the output, on
//! its standard output, one line per report.

use std::io::{self, Read, Write};

/// What to do with samples.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Speak them instead of what is being spoken, behind a tone that sounds.
    Speech,
    /// Play them at once and end speech.
    Tone,
    /// Play them at once beside anything else.
    Click,
    /// End speech; no samples.
    Hush,
}

impl Kind {
    const ALL: [(u8, Self); 4] = [
        (b'S', Self::Speech),
        (b'T', Self::Tone),
        (b'C', Self::Click),
        (b'H', Self::Hush),
    ];

    fn byte(self) -> u8 {
        match self {
            Self::Speech => b'S',
            Self::Tone => b'T',
            Self::Click => b'C',
            Self::Hush => b'H',
        }
    }
    fn from_byte(byte: u8) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find_map(|(known, kind)| (known == byte).then_some(kind))
    }
}

/// One order to the output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame {
    /// What to do.
    pub kind: Kind,
    /// Mono at [`super::RATE`].
    pub samples: Vec<i16>,
}

/// No announcement lasts two minutes: a longer frame is noise on the line.
const MOST_SAMPLES: u32 = super::RATE * 120;

impl Frame {
    /// The bytes of the frame. Samples beyond two minutes are left out.
    pub fn bytes(&self) -> Vec<u8> {
        let samples = &self.samples[..self.samples.len().min(MOST_SAMPLES as usize)];
        let mut out = Vec::with_capacity(5 + samples.len() * 2);
        out.push(self.kind.byte());
        out.extend((samples.len() as u32).to_le_bytes());
        out.extend(samples.iter().flat_map(|s| s.to_le_bytes()));
        out
    }

    /// Reads the next frame; `None` at the end of the line.
    ///
    /// # Errors
    /// The line broke inside a frame, or what came is no frame.
    pub fn read(from: &mut impl Read) -> io::Result<Option<Self>> {
        let mut kind = [0];
        match from.read_exact(&mut kind) {
            Err(e) if e.kind() == io::ErrorKind::UnexpectedEof => return Ok(None),
            other => other?,
        }
        let kind = Kind::from_byte(kind[0]).ok_or_else(|| not_a_frame("an unknown kind"))?;
        let mut count = [0; 4];
        from.read_exact(&mut count)?;
        let count = u32::from_le_bytes(count);
        if count > MOST_SAMPLES {
            return Err(not_a_frame("more than two minutes of samples"));
        }
        let mut bytes = vec![0; count as usize * 2];
        from.read_exact(&mut bytes)?;
        let samples = bytes
            .chunks_exact(2)
            .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
            .collect();
        Ok(Some(Self { kind, samples }))
    }
}

fn not_a_frame(what: &str) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, format!("not a frame: {what}"))
}

/// What the output says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Report {
    /// The device has taken samples since the last report.
    Working,
    /// No device, or it went away, and why. The output ends.
    Gone(String),
}

impl Report {
    /// Writes it as a line, at once.
    ///
    /// # Errors
    /// Nobody reads any more.
    pub fn write(&self, to: &mut impl Write) -> io::Result<()> {
        match self {
            Self::Working => writeln!(to, "working")?,
            Self::Gone(reason) => writeln!(to, "gone {}", reason.replace('\n', " "))?,
        }
        to.flush()
    }

    /// Reads a line; `None` for one that is no report.
    pub fn parse(line: &str) -> Option<Self> {
        match line.trim_end() {
            "working" => Some(Self::Working),
            other => other
                .strip_prefix("gone ")
                .map(|reason| Self::Gone(reason.to_owned())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_survive_the_line() {
        let frames = [
            Frame {
                kind: Kind::Speech,
                samples: vec![0, 1, -1, i16::MIN],
            },
            Frame {
                kind: Kind::Tone,
                samples: vec![7],
            },
            Frame {
                kind: Kind::Click,
                samples: vec![],
            },
            Frame {
                kind: Kind::Hush,
                samples: vec![],
            },
        ];
        let bytes: Vec<u8> = frames.iter().flat_map(Frame::bytes).collect();
        let mut line = bytes.as_slice();
        for frame in &frames {
            assert_eq!(
                Frame::read(&mut line).expect("a frame").as_ref(),
                Some(frame)
            );
        }
        assert_eq!(Frame::read(&mut line).expect("the end"), None);
    }

    #[test]
    fn noise_on_the_line_is_refused() {
        let whole = Frame {
            kind: Kind::Speech,
            samples: vec![1, 2, 3],
        }
        .bytes();
        for bad in [
            b"X\0\0\0\0".as_slice(),
            b"S\xff\xff\xff\xff",
            &whole[..3],
            &whole[..9],
        ] {
            assert!(Frame::read(&mut &*bad).is_err());
        }
    }

    #[test]
    fn reports_survive_the_line() {
        for report in [Report::Working, Report::Gone("no\ndevice".into())] {
            let mut line = Vec::new();
            report.write(&mut line).expect("written");
            let line = String::from_utf8(line).expect("text");
            assert_eq!(line.lines().count(), 1);
            let again = Report::parse(&line).expect("a report");
            assert_eq!(
                again,
                match report {
                    Report::Gone(_) => Report::Gone("no device".into()),
                    other => other,
                }
            );
        }
        assert_eq!(Report::parse("hello"), None);
    }
}
