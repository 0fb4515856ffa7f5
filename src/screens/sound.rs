//! How the wall is heard: loudness, language, loudspeaker, and what was said last.

use super::generated::{Choice, Mark, SoundView};
use super::models::update;
use super::tongue::tr;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::ports::{SoundState, Why};
use crate::trade::language::Language;

/// True where nobody hears what the wall says or beeps.
pub fn is_unheard(bay: &Bay) -> bool {
    unheard(bay).is_some()
}

/// What keeps the wall from being heard, in a few words and in a sentence.
fn unheard(bay: &Bay) -> Option<(String, String)> {
    if bay.is_silent() {
        return Some((tr!("Off"), tr!("The bay's set-up turns the sound off.")));
    }
    match bay.sound() {
        SoundState::NoDevice(why) => {
            let chosen = bay.loudspeaker().map(short);
            Some((tr!("Silent"), no_device(why, chosen.as_deref())))
        }
        SoundState::Off | SoundState::Opening | SoundState::Working => None,
    }
}

/// "Built-in audio, analogue output": what a loudspeaker belongs to, and which of it; the latter may be
/// empty.
fn card_and_output(name: &str) -> (&str, &str) {
    name.split_once(", ").unwrap_or((name, ""))
}

/// What a loudspeaker is called in a sentence, for which there is little room: without its output, and
/// cut where it is still long. The list of loudspeakers has it whole.
fn short(name: &str) -> String {
    const MOST: usize = 14;
    let (card, _) = card_and_output(name);
    match card.char_indices().nth(MOST) {
        None => card.to_owned(),
        Some(_) => {
            let kept: String = card.chars().take(MOST - 1).collect();
            format!("{}…", kept.trim_end())
        }
    }
}

/// Why the chosen loudspeaker is not heard, or the one that the system prefers, and what comes of it.
fn no_device(why: Why, chosen: Option<&str>) -> String {
    match (why, chosen) {
        (Why::Absent, Some(name)) => {
            tr!("{} is not there. It is tried again by itself.", name)
        }
        (Why::Absent, None) => tr!("There is no loudspeaker. It is tried again by itself."),
        (Why::InUse, Some(name)) => {
            tr!("{} is in use by another program. It is tried again.", name)
        }
        (Why::InUse, None) => {
            tr!("The loudspeaker is in use by another program. It is tried again.")
        }
        (Why::NotAllowed, Some(name)) => {
            tr!("{} may not be used: see the set-up of the panel.", name)
        }
        (Why::NotAllowed, None) => {
            tr!("The loudspeaker may not be used: see the set-up of the panel.")
        }
        (Why::NoAnswer, Some(name)) => {
            tr!("{} does not answer. It is tried again by itself.", name)
        }
        (Why::NoAnswer, None) => {
            tr!("The loudspeaker does not answer. It is tried again by itself.")
        }
    }
}

/// What else there is to know about the sound, for the head.
fn note(bay: &Bay) -> String {
    match (bay.quiet_now(), bay.loudspeaker()) {
        (Some(quiet), _) => tr!(
            "Quiet until {}: at most {} %",
            quiet.to.format("%H:%M").to_string(),
            quiet.volume_percent
        ),
        (None, Some(name)) => name.to_owned(),
        (None, None) => tr!("Automatic loudspeaker"),
    }
}

/// The language that the switch leads to.
fn other(language: Language) -> Language {
    let at = Language::ALL.iter().position(|l| *l == language);
    Language::ALL[at.map_or(0, |at| (at + 1) % Language::ALL.len())]
}

/// The id of the system's own choice in the list; no loudspeaker's name is empty.
const SYSTEM: &str = "";

fn loudspeakers(bay: &Bay) -> Vec<Choice> {
    let choice = |id: &str, name: &str, note: String| {
        let (card, output) = card_and_output(name);
        Choice {
            id: id.into(),
            name: card.into(),
            figure: output.into(),
            note: note.into(),
            current: bay.loudspeaker().unwrap_or(SYSTEM) == id,
            mark: Mark::None,
            enabled: true,
            ..Choice::default()
        }
    };
    let mut all = vec![choice(
        SYSTEM,
        &tr!("Automatic"),
        tr!("the system's own choice"),
    )];
    all.extend(
        bay.loudspeakers()
            .iter()
            .map(|name| choice(name, name, String::new())),
    );
    // The chosen one stays in the list while it is unplugged.
    if let Some(name) = bay.loudspeaker()
        && !bay.loudspeakers().iter().any(|found| found == name)
    {
        let mut gone = choice(name, name, tr!("not found"));
        gone.mark = Mark::Due;
        all.push(gone);
    }
    all
}

/// Shows the bay on the sound screens, and on what leads there from other screens.
pub fn show(bay: &Bay, view: &SoundView) {
    view.set_other_language(other(bay.language()).own_name().into());
    match bay.page() {
        Page::Sound => show_sound(bay, view),
        Page::Loudspeakers => {
            if let Some(new) = update(view.get_loudspeakers(), loudspeakers(bay)) {
                view.set_loudspeakers(new);
            }
        }
        _ => {}
    }
}

fn show_sound(bay: &Bay, view: &SoundView) {
    let volume = bay.volume_percent();
    view.set_volume(i32::from(volume));
    view.set_may_louder(bay.may_change_volume(true));
    view.set_may_softer(bay.may_change_volume(false));
    let unheard = unheard(bay);
    view.set_note_warns(unheard.is_some());
    let said = || {
        bay.spoken_last()
            .map_or(String::new(), |said| said.text(bay.lexicon()))
    };
    let (note, words) = unheard.unwrap_or_else(|| (note(bay), said()));
    view.set_note(note.into());
    view.set_said(words.into());
    view.set_may_again(bay.may_say_again() && !bay.is_silent());
    view.set_may_test(!bay.is_silent());
}

/// What is pressed on the sound screens.
pub fn connect(view: &SoundView, hands: &Hands) {
    view.on_open(hands.on(|| Action::Show(Page::Sound)));
    view.on_louder(hands.on(|| Action::Louder));
    view.on_softer(hands.on(|| Action::Softer));
    view.on_test(hands.on(|| Action::TestSound));
    view.on_again(hands.on(|| Action::SayAgain));
    view.on_slower(hands.on(|| Action::SaySlower));
    view.on_open_loudspeakers(hands.on(|| Action::Show(Page::Loudspeakers)));
    view.on_switch_language(hands.on_bay(|bay| Action::ChooseLanguage(other(bay.language()))));
    view.on_loudspeaker_chosen(
        hands.on_text(|name| Action::ChooseLoudspeaker((name != SYSTEM).then_some(name))),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loudspeaker_has_a_short_name_in_a_sentence() {
        assert_eq!(short("Horn"), "Horn");
        assert_eq!(short("Panel codec, Analog (Panel)"), "Panel codec");
        assert_eq!(short("Fourteen signs"), "Fourteen signs");
        assert_eq!(short("Tür zu der Waschhalle, USB"), "Tür zu der Wa…");
    }
}
