//! The sound card, and whether its own volume lets anything be heard.

use super::{Finding, Root, no_kernel};
use crate::bay::panel::Standing;
use crate::text;

const CARD: &str = "sound";
const MIXER: &str = "mixer";
/// Level of a card, in percent, below which it is warned of: loudness is set at the wall.
const LOW: u32 = 50;

/// Looks for a card that plays. `cards` is what [`cards`] gives.
pub fn card(root: &Root, cards: &[Card], silent: bool) -> Finding {
    if silent {
        return Finding::not_here(CARD, "The set-up wants no sound.");
    }
    if !root.runs() {
        return no_kernel(CARD);
    }
    if cards.is_empty() {
        return Finding::wrong(
            CARD,
            "There is no sound card.",
            "Push the plug of a USB one home. A built-in one may be off in the panel's firmware.",
        );
    }
    let parts = root.text("proc/asound/pcm");
    if parts.is_some_and(|parts| !parts.contains("playback")) {
        return Finding::wrong(
            CARD,
            "No sound card plays; they only record.",
            "Connect a loudspeaker with a card of its own, or one by USB.",
        );
    }
    let names: Vec<&str> = cards.iter().map(|(_, name)| name.as_str()).collect();
    Finding::good(CARD, text!("{}.", names.join(", ")))
}

/// Looks at the cards' own volume. `cards` is what [`cards`] gives.
pub fn mixer(root: &Root, cards: &[Card], silent: bool) -> Finding {
    if silent {
        return Finding::not_here(MIXER, "The set-up wants no sound.");
    }
    if !root.has("usr/bin/amixer") {
        return Finding::wrong(
            MIXER,
            "The program that sets a card's volume is missing. A new card stays silent without it.",
            "Put it in: apt-get install alsa-utils. Then: systemctl restart fillcall-mixer",
        );
    }
    let heard: Vec<(&str, Heard)> = cards
        .iter()
        .filter_map(|(number, name)| {
            let said = root.system().run("amixer", &["-c", number, "scontents"])?;
            Some((name.as_str(), heard(&controls(&said))))
        })
        .collect();
    if heard.is_empty() {
        return Finding::not_here(
            MIXER,
            "No card's volume can be read. On the panel itself, try it as root.",
        );
    }
    judged(&heard)
}

/// How much of a card is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Heard {
    /// It has no volume of its own.
    Always,
    /// At that level, in percent.
    At(u32),
    /// Nothing: it is off, or at 0 %.
    Nothing,
}

fn judged(cards: &[(&str, Heard)]) -> Finding {
    let remedy = text!("systemctl restart fillcall-mixer, or set it with: alsamixer");
    let silent: Vec<&str> = cards
        .iter()
        .filter(|(_, heard)| *heard == Heard::Nothing)
        .map(|(name, _)| *name)
        .collect();
    if silent.len() == cards.len() {
        let says = text!(
            "{}: switched off, or at 0 %. Nothing is heard.",
            silent.join(", ")
        );
        return Finding::wrong(MIXER, says, remedy).standing(Standing::CardSilent);
    }
    if !silent.is_empty() {
        let says = text!(
            "{}: switched off, or at 0 %. Others are heard.",
            silent.join(", ")
        );
        return Finding::warn(MIXER, says, remedy);
    }
    let levels = cards.iter().filter_map(|(name, heard)| match heard {
        Heard::At(percent) => Some((*percent, *name)),
        _ => None,
    });
    match levels.min() {
        Some((percent, name)) if percent < LOW => Finding::warn(
            MIXER,
            text!(
                "{} is at {} %. Loudness is set at the wall, and the card at full level.",
                name,
                percent
            ),
            remedy,
        ),
        Some((percent, _)) => Finding::good(MIXER, text!("Switched on, at {} %.", percent)),
        None => Finding::good(MIXER, "The cards have no volume of their own."),
    }
}

/// A card by its number and its name.
pub type Card = (String, String);

/// The cards that there are.
pub fn cards(root: &Root) -> Vec<Card> {
    let text = root.text("proc/asound/cards").unwrap_or_default();
    // The first line of each: " 0 [PCH            ]: HDA-Intel - HDA Intel PCH".
    let cards = text.lines().filter_map(|line| {
        let (number, rest) = line.trim_start().split_once(' ')?;
        let (_, name) = rest.split_once("]: ")?;
        number.parse::<u32>().ok()?;
        let name = name.split_once(" - ").map_or(name, |(_, name)| name);
        Some((number.to_owned(), name.trim().to_owned()))
    });
    cards.collect()
}

/// A control that plays.
#[derive(Debug, PartialEq, Eq)]
struct Control {
    name: String,
    on: bool,
    /// Of its loudest side; `None` where it has only a switch.
    percent: Option<u32>,
}

impl Control {
    fn level(&self) -> u32 {
        match self.on {
            true => self.percent.unwrap_or(100),
            false => 0,
        }
    }
}

/// The controls that play, from what `amixer scontents` prints.
fn controls(said: &str) -> Vec<Control> {
    let mut controls = Vec::new();
    for block in said.split("Simple mixer control ").skip(1) {
        let name = block.split('\'').nth(1).unwrap_or_default().to_owned();
        // "  Front Left: Playback 87 [100%] [0.00dB] [on]"; the line of the limits has no marks.
        let sides = block.lines().filter(|line| line.contains(": Playback"));
        let sides = sides.map(|line| line.split(" Capture ").next().unwrap_or_default());
        let (mut on, mut percent, mut any) = (false, None, false);
        for side in sides.filter(|side| side.contains('[')) {
            let marks = || side.split('[').skip(1).filter_map(|m| m.split(']').next());
            let level = marks().find_map(|mark| mark.strip_suffix('%')?.parse::<u32>().ok());
            on |= !marks().any(|mark| mark == "off");
            percent = percent.max(level);
            any = true;
        }
        if any {
            controls.push(Control { name, on, percent });
        }
    }
    controls
}

/// What is heard through a card's controls: Master and PCM each hold back everything, and of its
/// sockets one is enough.
fn heard(controls: &[Control]) -> Heard {
    const SOCKETS: [&str; 7] = [
        "Speaker",
        "Headphone",
        "Front",
        "Line Out",
        "Lineout",
        "Digital",
        "HP",
    ];
    let of_all = ["Master", "PCM"].map(|name| controls.iter().find(|c| c.name == name));
    let of_all = of_all.into_iter().flatten().map(Control::level).min();
    let sockets = controls
        .iter()
        .filter(|c| SOCKETS.iter().any(|s| c.name.starts_with(s)));
    let sockets = sockets.map(Control::level).max();
    match [of_all, sockets].into_iter().flatten().min() {
        None => Heard::Always,
        Some(0) => Heard::Nothing,
        Some(percent) => Heard::At(percent),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_card_is_heard_where_nothing_holds_it_back() {
        let control = |name: &str, marks: &str| {
            format!(
                "Simple mixer control '{name}',0\n  Limits: Playback 0 - 87\n  Mono: Playback 87 {marks}\n"
            )
        };
        let mic = "Simple mixer control 'Mic',0\n  Mono: Capture 0 [0%] [off]\n";
        for (said, is) in [
            (String::new(), Heard::Always),
            (mic.into(), Heard::Always),
            (
                control("Master", "[100%] [0.00dB] [on]") + mic,
                Heard::At(100),
            ),
            (control("Master", "[100%] [off]"), Heard::Nothing),
            (control("Master", "[0%] [on]"), Heard::Nothing),
            (
                control("Master", "[80%] [on]") + &control("PCM", "[30%]"),
                Heard::At(30),
            ),
            (
                control("Master", "[80%] [on]") + &control("Speaker", "[90%] [off]"),
                Heard::Nothing,
            ),
            (
                control("Speaker", "[off]") + &control("Headphone", "[on]"),
                Heard::At(100),
            ),
        ] {
            assert_eq!(heard(&controls(&said)), is, "{said}");
        }
    }
}
