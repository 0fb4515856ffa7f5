//! The clips themselves, and announcements joined from them.

use super::loudness::active_dbfs;
use fillcall::bay::ports::Pace;
use fillcall::bay::setup::Voice;
use fillcall::sound::render::{self, SLOW_WORD_GAP_MS, WORD_GAP_MS};
use fillcall::sound::samples_in_ms;
use fillcall::sound::voice::Pack;
use fillcall::trade::announcement::Announcement;
use fillcall::trade::units::Volume;
use std::collections::BTreeSet;

fn voice(language: &str) -> &'static Pack {
    Pack::built_in(language).expect("a voice")
}

#[test]
fn the_lists_of_words_and_the_clips_are_the_same() {
    for (language, list) in [
        ("en", include_str!("../../sounds/words/en.txt")),
        ("es", include_str!("../../sounds/words/es.txt")),
    ] {
        let listed: BTreeSet<&str> = list
            .lines()
            .filter_map(|line| line.split('#').next()?.split(['/', ' ']).next())
            .filter(|word| !word.is_empty())
            .collect();
        let carried: BTreeSet<&str> = voice(language).clips().map(|(word, _)| word).collect();
        assert_eq!(
            listed, carried,
            "sounds/words/{language}.txt; run sounds/make-clips"
        );
    }
}

#[test]
fn every_clip_is_whole_loud_enough_and_not_clipped() {
    for pack in Pack::all_built_in() {
        for (word, _) in pack.clips() {
            let samples = pack.samples(word).expect("a clip");
            let ms = samples.len() * 1000 / 22_050;
            assert!((80..1300).contains(&ms), "{word} takes {ms} ms");
            let peak = samples.iter().map(|s| s.unsigned_abs()).max().unwrap_or(0);
            // -1 dBFS.
            assert!(peak < 29_204, "{word} peaks at {peak}");
            let loudness = active_dbfs(&samples);
            assert!(
                (loudness - -15.0).abs() < 1.0,
                "{word} is at {loudness:.1} dBFS, 1 dB off the others"
            );
            // Cut in the middle of a sound it would crack when joined.
            for edge in [samples[0], samples[samples.len() - 1]] {
                assert!(edge.abs() < 300, "{word} begins or ends at {edge}");
            }
        }
    }
}

/// A read-back by machine hardly notices a word cut to half, so the clips are pinned.
#[test]
fn the_clips_are_the_pinned_ones() {
    let mut listing = String::new();
    for pack in Pack::all_built_in() {
        for (word, file) in pack.clips() {
            let samples = pack.samples(word).expect("a clip");
            let (language, sum) = (&pack.language, fnv(file));
            listing.push_str(&format!("{language} {word} {} {sum:016x}\n", samples.len()));
        }
    }
    assert!(
        include_str!("clips.pinned") == listing,
        "the clips changed: listen to them, then put this into tests/sound/clips.pinned\n{listing}"
    );
}

/// FNV-1a, 64 bits: to see change, not to resist anybody.
fn fnv(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// The longest run of silence inside samples, in ms.
fn longest_silence_ms(samples: &[i16]) -> usize {
    // Below -50 dBFS: what nobody hears in a bay.
    let quiet = |s: &i16| s.unsigned_abs() < 104;
    samples
        .chunk_by(|a, b| quiet(a) == quiet(b))
        .filter(|run| quiet(&run[0]))
        .map(|run| run.len() * 1000 / 22_050)
        .max()
        .unwrap_or(0)
}

#[test]
fn numbers_carry_the_clip_of_every_word_without_a_hole() {
    let pack = voice("en");
    for n in [
        0, 8, 14, 40, 90, 412, 590, 820, 1250, 14_700, 88_888, 99_999,
    ] {
        let said = Announcement::countdown(n);
        let words = said.speech(&pack.lexicon);
        let spoken = render::announcement(&said, pack, Voice::Speech, Pace::Usual);
        let mut at = 0;
        for (i, word) in words.words().enumerate() {
            if i > 0 {
                let gap = &spoken[at..at + samples_in_ms(WORD_GAP_MS)];
                assert!(gap.iter().all(|s| *s == 0), "{n}: no gap before {word}");
                at += gap.len();
            }
            let clip = pack.samples(word).expect("a clip");
            assert_eq!(spoken[at..at + clip.len()], clip, "{n}: {word}");
            at += clip.len();
        }
        assert_eq!(at, spoken.len(), "{n} ends with something more");
        let silence = longest_silence_ms(&spoken);
        assert!(silence <= 300, "{n}: a hole of {silence} ms");
    }
}

/// Whatever number it is, in every voice, slowly too: the longest end of a word of numbers, the gap and
/// the longest beginning together are no hole.
#[test]
fn no_two_words_of_a_number_fall_apart() {
    let quiet = |s: &&i16| s.unsigned_abs() < 104;
    for pack in Pack::all_built_in() {
        let (mut head, mut tail, mut inside) = (0, 0, 0);
        for word in pack.lexicon.numbers.words() {
            let clip = pack.samples(word).expect("a clip");
            head = head.max(clip.iter().take_while(quiet).count());
            tail = tail.max(clip.iter().rev().take_while(quiet).count());
            inside = inside.max(longest_silence_ms(&clip));
        }
        let hole = (head + tail) * 1000 / 22_050 + SLOW_WORD_GAP_MS as usize;
        assert!(hole > SLOW_WORD_GAP_MS as usize, "there is some silence");
        assert!(hole <= 300, "{}: a hole of {hole} ms", pack.language);
        assert!(inside <= 300, "{}: {inside} ms in a word", pack.language);
    }
}

#[test]
fn a_typical_dose_is_said_in_time() {
    let pack = voice("en");
    let said = Announcement::catch_weighed(Volume::ml(590.0));
    let spoken = render::announcement(&said, pack, Voice::Speech, Pace::Usual);
    assert!(
        spoken.len() < samples_in_ms(4000),
        "it takes {} ms",
        spoken.len() * 1000 / 22_050
    );
}
