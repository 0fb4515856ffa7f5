//! Which loudspeakers there are, under names that people know and that stay the same.
//!
//! The system lists every card many times over: once for each way to reach it, and beside them
//! converters and drains that nobody can hear. Here each output of a card is there once, by the way
//! that converts whatever it is given, and everything that somebody set up by hand is there too.
//! Asking can hang or abort the program that asks, so only an output process does
//! ([`super::output`]); the player asks through one ([`super::finding`]).

use rodio::cpal::traits::{DeviceTrait, HostTrait};
use rodio::cpal::{self, DeviceDirection};

/// Not loudspeakers, or one that is there under its own name too.
const NOT_HEARD: [&str; 13] = [
    "null",
    "default",
    "sysdefault",
    "lavrate",
    "samplerate",
    "speexrate",
    "speex",
    "upmix",
    "vdownmix",
    "jack",
    "oss",
    "usbstream",
    "hw",
];
/// The way to an output of a card that is kept.
const KEPT: &str = "plughw";

/// A loudspeaker as the system describes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Described {
    /// By which the system opens it.
    pub id: String,
    /// Card and output, in its words.
    pub description: String,
}

/// The name of each that people can choose, in the order of the system, with its place among all.
/// The name holds what the card itself is called, never its place in the row of cards, which is
/// another one after every start.
pub fn named(all: &[Described]) -> Vec<(String, usize)> {
    let mut out: Vec<(String, usize)> = Vec::new();
    for (place, one) in all.iter().enumerate() {
        let name = match one.id.split_once(':') {
            Some((way, rest)) if rest.starts_with("CARD=") => {
                let Some(output) = output_of(rest).filter(|_| way == KEPT) else {
                    continue;
                };
                format!("{} ({output})", one.description)
            }
            _ if NOT_HEARD.contains(&one.id.as_str()) => continue,
            _ => one.description.clone(),
        };
        // Two that were set up by hand may be described alike.
        let name = match out.iter().any(|(other, _)| *other == name) {
            true => format!("{name} [{}]", one.id),
            false => name,
        };
        out.push((name, place));
    }
    out
}

/// `PCH` from `CARD=PCH,DEV=0`, `PCH 3` from `CARD=PCH,DEV=3`; `None` where it goes by the number
/// of the card.
fn output_of(rest: &str) -> Option<String> {
    let rest = rest.strip_prefix("CARD=")?;
    let (card, output) = rest.split_once(",DEV=").unwrap_or((rest, "0"));
    match (card.parse::<u32>(), output) {
        (Ok(_), _) => None,
        (Err(_), "0") => Some(card.to_owned()),
        (Err(_), output) => Some(format!("{card} {output}")),
    }
}

/// Asks the system for all loudspeakers. For an output process only: this may hang or abort.
///
/// # Errors
/// The system has no list, and why.
pub(super) fn ask() -> Result<Vec<(String, cpal::Device)>, String> {
    let devices = cpal::default_host()
        .devices()
        .map_err(|error| format!("the system does not list its loudspeakers: {error}"))?;
    let (all, devices): (Vec<Described>, Vec<cpal::Device>) = devices
        .filter_map(|device| {
            let description = device.description().ok()?;
            let one = Described {
                id: description.driver()?.to_owned(),
                description: description.name().to_owned(),
            };
            (description.direction() != DeviceDirection::Input).then_some((one, device))
        })
        .unzip();
    let mut devices: Vec<Option<cpal::Device>> = devices.into_iter().map(Some).collect();
    Ok(named(&all)
        .into_iter()
        .filter_map(|(name, place)| Some((name, devices.get_mut(place)?.take()?)))
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn described(all: &[(&str, &str)]) -> Vec<Described> {
        all.iter()
            .map(|(id, description)| Described {
                id: (*id).to_owned(),
                description: (*description).to_owned(),
            })
            .collect()
    }
    fn names(all: &[(&str, &str)]) -> Vec<String> {
        named(&described(all)).into_iter().map(|(n, _)| n).collect()
    }

    #[test]
    fn each_output_of_a_card_is_there_once() {
        let all = [
            ("null", "Discard all samples"),
            ("default", "Default"),
            ("lavrate", "Rate Converter"),
            ("sysdefault:CARD=Panel", "Panel codec, Analog"),
            ("front:CARD=Panel,DEV=0", "Panel codec, Analog"),
            ("hw:CARD=Panel,DEV=0", "Panel codec, Analog"),
            ("plughw:CARD=Panel,DEV=0", "Panel codec, Analog"),
            ("hdmi:CARD=Panel,DEV=0", "Panel codec, HDMI"),
            ("plughw:CARD=Panel,DEV=3", "Panel codec, HDMI"),
            ("dmix:CARD=Panel,DEV=0", "Panel codec, Analog"),
            ("hw:CARD=0,DEV=0", "Panel codec, Analog"),
            ("plughw:CARD=0,DEV=0", "Panel codec, Analog"),
        ];
        assert_eq!(
            names(&all),
            ["Panel codec, Analog (Panel)", "Panel codec, HDMI (Panel 3)"]
        );
        assert_eq!(named(&described(&all))[1].1, 8);
    }

    #[test]
    fn a_second_card_of_the_kind_does_not_rename_the_first() {
        let first = ("plughw:CARD=Device,DEV=0", "Stick, USB Audio");
        let second = ("plughw:CARD=Device_1,DEV=0", "Stick, USB Audio");
        assert_eq!(names(&[first]), ["Stick, USB Audio (Device)"]);
        assert_eq!(
            names(&[first, second]),
            ["Stick, USB Audio (Device)", "Stick, USB Audio (Device_1)"]
        );
    }

    #[test]
    fn what_was_set_up_by_hand_is_there_and_no_name_twice() {
        let all = [
            ("bench", "Horn"),
            ("roof", "Horn"),
            ("pulse", "Sound server"),
        ];
        assert_eq!(names(&all), ["Horn", "Horn [roof]", "Sound server"]);
    }
}
