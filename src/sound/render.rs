//! From an announcement to samples.

use super::{clips, samples_in_ms, tones, wav};
use crate::bay::setup::Voice;
use crate::trade::announcement::Announcement;
use crate::trade::beep_code;

/// Silence between two words of a phrase.
pub const WORD_GAP_MS: u32 = 45;
/// Silence between two phrases.
pub const PHRASE_GAP_MS: u32 = 250;

/// The samples of an announcement in this voice: mono at [`super::RATE`], at full volume.
///
/// [`Voice::Beeps`] gives the dose in [`beep_code`], or only its rise ("look at the screen") where
/// there is no dose or none that can be beeped. [`Voice::Off`] gives nothing.
pub fn announcement(announcement: &Announcement, voice: Voice) -> Vec<i16> {
    match voice {
        Voice::Speech => speech(announcement),
        Voice::Beeps => tones::pulses(
            &announcement
                .beeps
                .and_then(beep_code::pulses)
                .unwrap_or_else(|| beep_code::RISE.to_vec()),
        ),
        Voice::Off => Vec::new(),
    }
}

/// The clips joined; a word without a clip is passed over.
fn speech(announcement: &Announcement) -> Vec<i16> {
    let mut out = Vec::new();
    for phrase in &announcement.speech {
        let mut gap_ms = PHRASE_GAP_MS;
        for clip in phrase.iter().filter_map(|word| word_samples(word)) {
            if !out.is_empty() {
                out.resize(out.len() + samples_in_ms(gap_ms), 0);
            }
            out.extend(clip);
            gap_ms = WORD_GAP_MS;
        }
    }
    out
}

/// The samples of one word's clip; `None` for a word that has none.
pub fn word_samples(word: &str) -> Option<Vec<i16>> {
    // The clips are part of the program and tested one by one, so a fault cannot come up here.
    clips::clip(word).and_then(|clip| wav::samples(clip).ok())
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
    use crate::trade::units::Volume;

    fn saying(speech: Vec<Vec<&'static str>>, beeps: Option<Volume>) -> Announcement {
        Announcement {
            text: String::new(),
            speech,
            beeps,
            unspoken: Vec::new(),
        }
    }
    fn length(word: &str) -> usize {
        word_samples(word).expect("a clip").len()
    }

    #[test]
    fn clips_are_joined_with_their_gaps() {
        let spoken = announcement(
            &saying(vec![vec!["six", "hundred"], vec!["water"]], None),
            Voice::Speech,
        );
        let expected = length("six")
            + samples_in_ms(WORD_GAP_MS)
            + length("hundred")
            + samples_in_ms(PHRASE_GAP_MS)
            + length("water");
        assert_eq!(spoken.len(), expected);
    }

    #[test]
    fn a_word_without_a_clip_leaves_no_hole() {
        let whole = saying(vec![vec!["six", "water"]], None);
        let with_unknown = saying(vec![vec!["xyzzy"], vec!["six", "xyzzy", "water"]], None);
        assert_eq!(
            announcement(&with_unknown, Voice::Speech),
            announcement(&whole, Voice::Speech)
        );
    }

    #[test]
    fn each_voice_says_it_its_own_way() {
        let dose = saying(vec![vec!["six"]], Some(Volume::ml(690.0)));
        let no_dose = saying(vec![vec!["six"]], None);
        assert!(announcement(&dose, Voice::Off).is_empty());
        let beeped = announcement(&dose, Voice::Beeps);
        assert!(beeped.len() < samples_in_ms(6000) && beeped.len() > samples_in_ms(3000));
        assert_eq!(
            announcement(&no_dose, Voice::Beeps),
            tones::pulses(&beep_code::RISE)
        );
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
