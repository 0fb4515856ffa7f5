//! From an announcement to samples.

use super::voice::Pack;
use super::{samples_in_ms, tones};
use crate::bay::ports::Pace;
use crate::bay::setup::Voice;
use crate::trade::announcement::{Announcement, Beeps, Signal};
use crate::trade::speech::Speech;
use crate::trade::{beep_code, beep_signals};

/// Silence between two words of a phrase.
pub const WORD_GAP_MS: u32 = 45;
/// Silence between two phrases.
pub const PHRASE_GAP_MS: u32 = 250;
/// Silence between a dose that is beeped and the signal of what is wrong with it.
const SIGNAL_GAP_MS: u32 = 700;
/// The same where it is said slowly. A number still holds together.
pub const SLOW_WORD_GAP_MS: u32 = 220;
/// The same between two phrases.
pub const SLOW_PHRASE_GAP_MS: u32 = 800;

/// The samples of an announcement in this voice: mono at [`super::RATE`], at full volume.
///
/// Where the voice lacks a word of the wall's own, or the bay beeps, it is beeped: a dose in
/// [`beep_code`], anything else as its signal. [`Voice::Off`] gives nothing.
pub fn announcement(
    announcement: &Announcement,
    pack: &Pack,
    voice: Voice,
    pace: Pace,
) -> Vec<i16> {
    let said = announcement.speech(&pack.lexicon);
    match voice {
        Voice::Speech if said.missing.is_empty() => speech(&said, pack, pace),
        Voice::Speech | Voice::Beeps => beeped(announcement.beeps, pace),
        Voice::Off => Vec::new(),
    }
}

fn beeped(beeps: Beeps, pace: Pace) -> Vec<i16> {
    match beeps {
        Beeps::DoseBut(volume, signal) => then(Beeps::Dose(volume), signal, pace),
        Beeps::LookBut(signal) => then(Beeps::Signal(Signal::Look), signal, pace),
        Beeps::Dose(volume) => match (beep_code::pulses(volume), pace) {
            (Some(pulses), Pace::Usual) => tones::pulses(&pulses),
            (Some(pulses), Pace::Slow) => tones::pulses(&beep_code::slowly(pulses)),
            (None, _) => tones::pulses(beep_signals::pulses(Signal::Look)),
        },
        Beeps::Signal(signal) => tones::pulses(beep_signals::pulses(signal)),
        Beeps::Nothing => Vec::new(),
    }
}

/// The one, and the signal behind it.
fn then(first: Beeps, signal: Signal, pace: Pace) -> Vec<i16> {
    let mut out = beeped(first, pace);
    out.resize(out.len() + samples_in_ms(SIGNAL_GAP_MS), 0);
    out.extend(tones::pulses(beep_signals::pulses(signal)));
    out
}

/// The clips joined.
fn speech(speech: &Speech, pack: &Pack, pace: Pace) -> Vec<i16> {
    let (between_words, between_phrases) = match pace {
        Pace::Usual => (WORD_GAP_MS, PHRASE_GAP_MS),
        Pace::Slow => (SLOW_WORD_GAP_MS, SLOW_PHRASE_GAP_MS),
    };
    let mut out = Vec::new();
    for phrase in &speech.phrases {
        let mut gap_ms = between_phrases;
        for clip in phrase.iter().filter_map(|word| pack.samples(word)) {
            if !out.is_empty() {
                out.resize(out.len() + samples_in_ms(gap_ms), 0);
            }
            out.extend(clip);
            gap_ms = between_words;
        }
    }
    out
}

/// What a volume from 0 to 100 percent does to samples. Loudness is heard by steps of equal
/// ratio, so half way sounds about half as loud at a quarter of the amplitude.
pub fn at_volume(samples: &[i16], percent: u8) -> Vec<i16> {
    let part = f32::from(percent.min(100)) / 100.0;
    samples
        .iter()
        .map(|s| (f32::from(*s) * part * part) as i16)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::language::Language;
    use crate::trade::units::Volume;

    fn english() -> &'static Pack {
        Pack::of(Language::English)
    }
    fn length(word: &str) -> usize {
        english().samples(word).expect("a clip").len()
    }
    fn samples(said: &Announcement, voice: Voice, pace: Pace) -> Vec<i16> {
        announcement(said, english(), voice, pace)
    }

    #[test]
    fn clips_are_joined_with_their_gaps() {
        let said = Announcement::catch_total(Volume::ml(600.0), 2);
        for (pace, word_gap, phrase_gap) in [
            (Pace::Usual, WORD_GAP_MS, PHRASE_GAP_MS),
            (Pace::Slow, SLOW_WORD_GAP_MS, SLOW_PHRASE_GAP_MS),
        ] {
            let words = ["six", "hundred", "millilitres", "in", "two", "loads"];
            let expected = words.map(length).iter().sum::<usize>()
                + 4 * samples_in_ms(word_gap)
                + samples_in_ms(phrase_gap);
            assert_eq!(samples(&said, Voice::Speech, pace).len(), expected);
        }
    }

    #[test]
    fn what_a_voice_lacks_words_for_is_beeped_and_not_said_with_holes() {
        let said = Announcement::sound_test();
        let mut voice = english().clone();
        let words = voice.lexicon.words.as_mut().expect("words");
        assert!(words.remove("fifty"));
        let heard = announcement(&said, &voice, Voice::Speech, Pace::Usual);
        assert_eq!(heard, samples(&said, Voice::Beeps, Pace::Usual));
        assert_ne!(heard, samples(&said, Voice::Speech, Pace::Usual));
    }

    #[test]
    fn how_long_it_takes_is_told_beforehand() {
        for language in Language::ALL {
            let pack = Pack::of(language);
            for said in [
                Announcement::sound_test(),
                Announcement::catch_total(Volume::litres(14.7), 15),
                Announcement::put_off(25),
            ] {
                for (pace, slowly) in [(Pace::Usual, false), (Pace::Slow, true)] {
                    let samples = announcement(&said, pack, Voice::Speech, pace).len();
                    let takes = samples as f64 / f64::from(crate::sound::RATE);
                    let told = said.speech(&pack.lexicon).about(slowly).as_secs_f64();
                    assert!(
                        (takes..takes * 1.5).contains(&told),
                        "{said:?} {language:?} {slowly}: {takes} s, told {told}"
                    );
                }
            }
        }
    }

    #[test]
    fn what_is_wrong_with_a_dose_is_beeped_behind_it() {
        let plain = beeped(Beeps::Dose(Volume::ml(590.0)), Pace::Usual);
        let wrong = beeped(
            Beeps::DoseBut(Volume::ml(590.0), Signal::Overdue),
            Pace::Usual,
        );
        assert_eq!(wrong[..plain.len()], plain);
        let signal = tones::pulses(beep_signals::pulses(Signal::Overdue));
        assert!(wrong.ends_with(&signal));
        assert!(wrong.len() > plain.len() + signal.len());
    }

    #[test]
    fn each_voice_says_it_its_own_way() {
        let dose = Announcement::sound_test();
        assert!(samples(&dose, Voice::Off, Pace::Usual).is_empty());
        let beeped = samples(&dose, Voice::Beeps, Pace::Usual);
        assert!(beeped.len() < samples_in_ms(6000) && beeped.len() > samples_in_ms(1500));
        assert!(samples(&Announcement::start(), Voice::Beeps, Pace::Usual).is_empty());
        assert!(!samples(&Announcement::start(), Voice::Speech, Pace::Usual).is_empty());
    }

    #[test]
    fn volume_only_ever_takes_away() {
        let loud = [i16::MAX, i16::MIN, 1000, 0];
        assert_eq!(at_volume(&loud, 100), loud);
        assert_eq!(at_volume(&loud, 255), loud);
        assert_eq!(at_volume(&loud, 50)[2], 250);
        assert_eq!(at_volume(&loud, 0), [0; 4]);
    }
}
