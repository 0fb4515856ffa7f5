//! Which loudspeakers there are, under names that people know and that stay the same.
//!
//! The system lists every card many times over: once for each way to reach it, and beside them
//! converters and drains that nobody can hear. Here each output of a card is there once, by the way
//! that converts whatever it is given, and everything that somebody set up by hand is there too.
//! Asking can hang or abort the program that asks, so only an output process does
//! ([`super::output`]); the player asks through one ([`super::finding`]).

use rodio::cpal::traits::{DeviceTrait, HostTrait};
use rodio::cpal::{self, DeviceDirection};
use std::collections::HashMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

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
/// Where the kernel says which cards there are, and where each is plugged in.
const CARDS: &str = "/proc/asound/cards";
/// Where the devices of the cards are; each card has one of this name and its number.
const DEVICES: &str = "/dev/snd";
const CONTROL: &str = "controlC";

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
/// another one after every start. Of two equal USB cards the system calls one `Device` and the other
/// `Device_1`, as they happen to appear, so a USB card goes by the socket that it is plugged into,
/// which is in `sockets` under the system's name ([`usb_sockets`]).
pub fn named(all: &[Described], sockets: &HashMap<String, String>) -> Vec<(String, usize)> {
    let mut out: Vec<(String, usize)> = Vec::new();
    for (place, one) in all.iter().enumerate() {
        let name = match one.id.split_once(':') {
            Some((way, rest)) if rest.starts_with("CARD=") => {
                let Some(output) = output_of(rest, sockets).filter(|_| way == KEPT) else {
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

/// `PCH` from `CARD=PCH,DEV=0`, `PCH 3` from `CARD=PCH,DEV=3`, with the socket in the place of the
/// card's name where it has one; `None` where it goes by the number of the card.
fn output_of(rest: &str, sockets: &HashMap<String, String>) -> Option<String> {
    let rest = rest.strip_prefix("CARD=")?;
    let (card, output) = rest.split_once(",DEV=").unwrap_or((rest, "0"));
    if card.parse::<u32>().is_ok() {
        return None;
    }
    let card = sockets.get(card).map_or(card, String::as_str);
    Some(match output {
        "0" => card.to_owned(),
        output => format!("{card} {output}"),
    })
}

/// The USB socket of each card that is plugged into one, under the name that the system gives the
/// card, from the kernel's list of cards: `USB 00:14.0-2` for the second socket of the controller in
/// that place.
///
/// A card has two lines there: its number, its name in brackets and its kind; then what it is and, for
/// USB, ` at usb-0000:00:14.0-2, full speed`.
pub fn usb_sockets(cards: &str) -> HashMap<String, String> {
    let mut sockets = HashMap::new();
    let mut lines = cards.lines();
    while let Some(head) = lines.next() {
        let name = head
            .split_once('[')
            .and_then(|(_, rest)| rest.split_once("]:"))
            .map(|(name, _)| name.trim());
        let Some(name) = name else { continue };
        let socket = lines
            .next()
            .and_then(|what| what.rsplit_once(" at usb-"))
            .map(|(_, rest)| {
                rest.split_once(',')
                    .map_or(rest, |(socket, _)| socket)
                    .trim()
            });
        if let Some(socket) = socket {
            // Nearly every machine has one such domain, of this number.
            let socket = socket.strip_prefix("0000:").unwrap_or(socket);
            sockets.insert(name.to_owned(), format!("USB {socket}"));
        }
    }
    sockets
}

/// True where there are cards, and this user may use none of them.
pub(super) fn forbidden() -> bool {
    let all = fs::read_dir(DEVICES).into_iter().flatten();
    let cards: Vec<PathBuf> = all.filter_map(|file| Some(file.ok()?.path())).collect();
    all_denied(&cards, |card| fs::File::open(card).map(drop))
}

fn all_denied(files: &[PathBuf], open: impl Fn(&Path) -> io::Result<()>) -> bool {
    let mut cards = files
        .iter()
        .filter(|file| {
            file.file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with(CONTROL))
        })
        .peekable();
    cards.peek().is_some()
        && cards.all(|card| {
            open(card).is_err_and(|error| error.kind() == io::ErrorKind::PermissionDenied)
        })
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
    // Without the list, cards go by the system's names for them.
    let sockets = usb_sockets(&fs::read_to_string(CARDS).unwrap_or_default());
    Ok(named(&all, &sockets)
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
    fn names_at(all: &[(&str, &str)], cards: &str) -> Vec<String> {
        named(&described(all), &usb_sockets(cards))
            .into_iter()
            .map(|(name, _)| name)
            .collect()
    }
    fn names(all: &[(&str, &str)]) -> Vec<String> {
        names_at(all, "")
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
        assert_eq!(named(&described(&all), &HashMap::new())[1].1, 8);
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

    /// A list of cards as the kernel writes it, with two equal USB cards.
    fn cards(first: &str, second: &str) -> String {
        format!(
            " 0 [Panel          ]: Panel-Codec - Panel codec\n\
             \x20                     Panel codec at 0xf7f10000 irq 30\n \
             1 [Device         ]: USB-Audio - Stick\n\
             \x20                     Maker Stick at usb-0000:00:14.0-{first}, full speed\n \
             2 [Device_1       ]: USB-Audio - Stick\n\
             \x20                     Maker Stick at usb-0000:00:14.0-{second}, full speed\n"
        )
    }

    #[test]
    fn two_equal_usb_cards_keep_their_names_whichever_comes_first() {
        let all = [
            ("plughw:CARD=Panel,DEV=0", "Panel codec, Analog"),
            ("plughw:CARD=Device,DEV=0", "Stick, USB Audio"),
            ("plughw:CARD=Device_1,DEV=0", "Stick, USB Audio"),
            ("plughw:CARD=Device_1,DEV=1", "Stick, USB Audio"),
        ];
        let one = names_at(&all, &cards("2", "1.4"));
        assert_eq!(
            one,
            [
                "Panel codec, Analog (Panel)",
                "Stick, USB Audio (USB 00:14.0-2)",
                "Stick, USB Audio (USB 00:14.0-1.4)",
                "Stick, USB Audio (USB 00:14.0-1.4 1)",
            ]
        );
        let other = names_at(&all, &cards("1.4", "2"));
        assert_eq!((&other[1], &other[2]), (&one[2], &one[1]));
        // Nor does one that is alone have another name.
        assert_eq!(names_at(&all[1..2], &cards("2", "1.4")), one[1..2]);
    }

    #[test]
    fn a_list_without_cards_has_no_sockets() {
        for list in [
            "",
            "--- no soundcards ---\n",
            " 1 [Device         ]: USB-Audio - Stick",
        ] {
            assert!(usb_sockets(list).is_empty(), "{list}");
        }
    }

    #[test]
    fn cards_that_nobody_may_use_are_no_cards_that_are_not_there() {
        let files = |names: &[&str]| names.iter().map(PathBuf::from).collect::<Vec<_>>();
        let denied = |_: &Path| Err(io::Error::from(io::ErrorKind::PermissionDenied));
        let all = files(&["/dev/snd/timer", "/dev/snd/controlC0", "/dev/snd/controlC1"]);
        assert!(all_denied(&all, denied));
        assert!(!all_denied(&files(&["/dev/snd/timer"]), denied));
        assert!(!all_denied(&[], denied));
        let but_one = |card: &Path| match card.ends_with("controlC1") {
            true => Ok(()),
            false => denied(card),
        };
        assert!(!all_denied(&all, but_one));
        let gone = |_: &Path| Err(io::Error::from(io::ErrorKind::NotFound));
        assert!(!all_denied(&all, gone));
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
