//! How the wall is heard: loudness, language, loudspeaker, and what was said last.

use super::generated::{Choice, SoundView};
use super::models::update;
use super::tongue::tr;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::ports::SoundState;
use crate::trade::language::Language;

/// What there is to know about the sound, and whether it is something to see to.
fn note(bay: &Bay) -> (String, bool) {
    match (bay.sound(), bay.quiet_now()) {
        _ if bay.is_silent() => (tr!("The set-up turns the sound off."), true),
        (SoundState::NoDevice, _) => match bay.loudspeaker() {
            Some(name) => (tr!("Not there: {}. It is tried again.", name), true),
            None => (tr!("No loudspeaker. It is tried again."), true),
        },
        (_, Some(quiet)) => (
            tr!(
                "Quiet hours until {}: at most {} %",
                quiet.to.format("%H:%M").to_string(),
                quiet.volume_percent
            ),
            false,
        ),
        (SoundState::Opening, None) => (tr!("The loudspeaker is being opened."), false),
        (_, None) => match bay.loudspeaker() {
            Some(name) => (name.to_owned(), false),
            None => (tr!("The system's own loudspeaker"), false),
        },
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
    let choice = |id: &str, name: String, note: String| Choice {
        id: id.into(),
        name: name.into(),
        note: note.into(),
        figure: "".into(),
        current: bay.loudspeaker().unwrap_or(SYSTEM) == id,
        warns: false,
        enabled: true,
    };
    let mut all = vec![choice(
        SYSTEM,
        tr!("Automatic"),
        tr!("the system's own choice"),
    )];
    all.extend(
        bay.loudspeakers()
            .iter()
            .map(|name| choice(name, name.clone(), String::new())),
    );
    // The chosen one stays in the list while it is unplugged.
    if let Some(name) = bay.loudspeaker()
        && !bay.loudspeakers().iter().any(|found| found == name)
    {
        let mut gone = choice(name, name.to_owned(), tr!("not found"));
        gone.warns = true;
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
    let (note, warns) = note(bay);
    view.set_note(note.into());
    view.set_note_warns(warns);
    view.set_said(
        bay.spoken_last()
            .map_or(String::new(), |said| said.text(bay.lexicon()))
            .into(),
    );
    view.set_may_again(bay.may_say_again());
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
