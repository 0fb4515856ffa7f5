//! What the player and its output process tell each other.
//!
//! On its command line, what to open ([`Wanted`]). To the output, on its standard input, frames: one
//! byte for the kind, the number of the order and the number of samples (four bytes each, low byte
//! first), the samples (two bytes each, low byte first). From the output, on its standard output,
//! one line per report.

use crate::bay::ports::Why;
use std::io::{self, Read, Write};
use std::time::Duration;

/// What an output process is asked to open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// The loudspeaker by its name; `None` for the one that the system prefers.
    pub loudspeaker: Option<String>,
    /// How much sound the device is handed at a time. It holds two of these at most, where it
    /// consents.
    pub piece: Duration,
}

impl Wanted {
    /// The shortest piece: what is asked for is heard after 20 ms.
    pub const SHORTEST: Duration = Duration::from_millis(10);
    /// The longest that is worth a try. A machine that is late by more stutters.
    pub const LONGEST: Duration = Duration::from_millis(80);

    const LOUDSPEAKER: &str = "--loudspeaker";
    const PIECE: &str = "--piece-ms";

    /// As arguments of a command.
    pub fn arguments(&self) -> Vec<String> {
        let mut out = vec![Self::PIECE.to_owned(), self.piece.as_millis().to_string()];
        if let Some(name) = &self.loudspeaker {
            out.extend([Self::LOUDSPEAKER.to_owned(), name.clone()]);
        }
        out
    }

    /// From the arguments of a command.
    ///
    /// # Errors
    /// They are not those of [`Wanted::arguments`], and which.
    pub fn from_arguments(arguments: impl IntoIterator<Item = String>) -> Result<Self, String> {
        let mut wanted = Self {
            loudspeaker: None,
            piece: Self::SHORTEST,
        };
        let mut arguments = arguments.into_iter();
        while let Some(argument) = arguments.next() {
            let value = arguments
                .next()
                .ok_or_else(|| format!("{argument} says nothing; name what it is to be"))?;
            match argument.as_str() {
                Self::LOUDSPEAKER => wanted.loudspeaker = Some(value),
                Self::PIECE => {
                    let ms = value.parse().map_err(|_| {
                        format!("{argument} {value} is no number of milliseconds; say one")
                    })?;
                    wanted.piece = Duration::from_millis(ms).clamp(Self::SHORTEST, Self::LONGEST);
                }
                other => {
                    return Err(format!(
                        "{other} is not known here; leave it out, or use the program that the wall \
                         was started with"
                    ));
                }
            }
        }
        Ok(wanted)
    }
}

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
    /// Have the device play again where it rests, so that it is seen whether it does; no samples.
    Wake,
}

impl Kind {
    const ALL: [(u8, Self); 5] = [
        (b'S', Self::Speech),
        (b'T', Self::Tone),
        (b'C', Self::Click),
        (b'H', Self::Hush),
        (b'W', Self::Wake),
    ];

    fn byte(self) -> u8 {
        match self {
            Self::Speech => b'S',
            Self::Tone => b'T',
            Self::Click => b'C',
            Self::Hush => b'H',
            Self::Wake => b'W',
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
    /// By which the output tells when it began.
    pub number: u32,
    /// Mono at [`super::RATE`].
    pub samples: Vec<i16>,
}

/// No announcement lasts two minutes: a longer frame is noise on the line.
const MOST_SAMPLES: u32 = super::RATE * 120;

impl Frame {
    /// The bytes of the frame. Samples beyond two minutes are left out.
    pub fn bytes(&self) -> Vec<u8> {
        let samples = &self.samples[..self.samples.len().min(MOST_SAMPLES as usize)];
        let mut out = Vec::with_capacity(9 + samples.len() * 2);
        out.push(self.kind.byte());
        out.extend(self.number.to_le_bytes());
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
        let mut four = || {
            let mut bytes = [0; 4];
            from.read_exact(&mut bytes)
                .map(|()| u32::from_le_bytes(bytes))
        };
        let (number, count) = (four()?, four()?);
        if count > MOST_SAMPLES {
            return Err(not_a_frame("more than two minutes of samples"));
        }
        let mut bytes = vec![0; count as usize * 2];
        from.read_exact(&mut bytes)?;
        let samples = bytes
            .chunks_exact(2)
            .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
            .collect();
        Ok(Some(Self {
            kind,
            number,
            samples,
        }))
    }
}

fn not_a_frame(what: &str) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, format!("not a frame: {what}"))
}

/// What keeps a device from being heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// Of what kind it is.
    pub why: Why,
    /// What is wrong, where, and what to do.
    pub reason: String,
}

impl Trouble {
    const WORDS: [(&str, Why); 4] = [
        ("absent", Why::Absent),
        ("in-use", Why::InUse),
        ("not-allowed", Why::NotAllowed),
        ("no-answer", Why::NoAnswer),
    ];

    /// Trouble of this kind.
    pub fn new(why: Why, reason: impl Into<String>) -> Self {
        let reason = reason.into();
        Self { why, reason }
    }

    fn word(&self) -> &'static str {
        match self.why {
            Why::Absent => "absent",
            Why::InUse => "in-use",
            Why::NotAllowed => "not-allowed",
            Why::NoAnswer => "no-answer",
        }
    }

    fn parse(text: &str) -> Option<Self> {
        let (word, reason) = text.split_once(' ')?;
        let (_, why) = Self::WORDS.into_iter().find(|(known, _)| *known == word)?;
        (!reason.is_empty()).then(|| Self::new(why, reason))
    }
}

/// What the output says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Report {
    /// The device takes samples, as it did not long ago.
    Working,
    /// The device was handed the first sample of an order, or speech ended by one to be silent.
    Began {
        /// Of the order.
        number: u32,
        /// So long before this report.
        ago: Duration,
    },
    /// Nothing sounded for a while: the device takes no samples, and no report comes, until the next order.
    /// Said again now and then.
    Resting,
    /// The device went without samples again and again: it needs longer pieces. The output ends.
    Hurried,
    /// No device, or it went away, and why. The output ends.
    Gone(Trouble),
}

impl Report {
    /// True where the output ends with it.
    pub const fn is_last(&self) -> bool {
        matches!(self, Self::Hurried | Self::Gone(_))
    }

    /// Writes it as a line, at once.
    ///
    /// # Errors
    /// Nobody reads any more.
    pub fn write(&self, to: &mut impl Write) -> io::Result<()> {
        match self {
            Self::Working => writeln!(to, "working")?,
            Self::Resting => writeln!(to, "resting")?,
            Self::Began { number, ago } => writeln!(to, "began {number} {}", ago.as_micros())?,
            Self::Hurried => writeln!(to, "hurried")?,
            Self::Gone(trouble) => writeln!(
                to,
                "gone {} {}",
                trouble.word(),
                trouble.reason.replace('\n', " ")
            )?,
        }
        to.flush()
    }

    /// Reads a line; `None` for one that is no report.
    pub fn parse(line: &str) -> Option<Self> {
        let (what, rest) = line
            .trim_end()
            .split_once(' ')
            .unwrap_or((line.trim_end(), ""));
        match what {
            "working" => Some(Self::Working),
            "resting" => Some(Self::Resting),
            "hurried" => Some(Self::Hurried),
            "began" => {
                let (number, ago) = rest.split_once(' ')?;
                Some(Self::Began {
                    number: number.parse().ok()?,
                    ago: Duration::from_micros(ago.parse().ok()?),
                })
            }
            "gone" => Trouble::parse(rest).map(Self::Gone),
            _ => None,
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
                number: 7,
                samples: vec![0, 1, -1, i16::MIN],
            },
            Frame {
                kind: Kind::Tone,
                number: 7,
                samples: vec![7],
            },
            Frame {
                kind: Kind::Click,
                number: 7,
                samples: vec![],
            },
            Frame {
                kind: Kind::Hush,
                number: 7,
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
            number: 7,
            samples: vec![1, 2, 3],
        }
        .bytes();
        for bad in [
            b"X\0\0\0\0\0\0\0\0".as_slice(),
            b"S\0\0\0\0\xff\xff\xff\xff",
            &whole[..3],
            &whole[..11],
        ] {
            assert!(Frame::read(&mut &*bad).is_err());
        }
    }

    #[test]
    fn reports_survive_the_line() {
        let began = Report::Began {
            number: 12,
            ago: Duration::from_micros(345),
        };
        let gone = |(_, why)| Report::Gone(Trouble::new(why, "no\ndevice"));
        for report in [Report::Working, Report::Resting, began, Report::Hurried]
            .into_iter()
            .chain(Trouble::WORDS.map(gone))
        {
            let mut line = Vec::new();
            report.write(&mut line).expect("written");
            let line = String::from_utf8(line).expect("text");
            assert_eq!(line.lines().count(), 1);
            let again = Report::parse(&line).expect("a report");
            assert_eq!(
                again,
                match report {
                    Report::Gone(gone) => Report::Gone(Trouble::new(gone.why, "no device")),
                    other => other,
                }
            );
        }
        for noise in [
            "hello",
            "",
            "gone",
            "gone absent",
            "gone fishing today",
            "began",
            "began 1",
            "began 1 x",
        ] {
            assert_eq!(Report::parse(noise), None, "{noise}");
        }
    }

    #[test]
    fn what_is_wanted_survives_the_command_line() {
        for loudspeaker in [None, Some("Bench speaker (--odd)".to_owned())] {
            let wanted = Wanted {
                loudspeaker,
                piece: Duration::from_millis(40),
            };
            assert_eq!(Wanted::from_arguments(wanted.arguments()), Ok(wanted));
        }
        for bad in [
            &["--piece-ms", "long"][..],
            &["--loudspeaker"],
            &["--other", "1"],
        ] {
            assert!(Wanted::from_arguments(bad.iter().map(|a| (*a).to_owned())).is_err());
        }
    }
}
