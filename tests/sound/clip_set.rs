//! The clips themselves, and announcements joined from them.

use super::loudness::active_dbfs;
use fillcall::bay::setup::Voice;
use fillcall::sound::render::{self, PHRASE_GAP_MS, WORD_GAP_MS};
use fillcall::sound::{clips, samples_in_ms, wav};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::words::{self, VOCABULARY};

fn clip(word: &str) -> Vec<i16> {
    voice::Pack::of(Language::English)
        .samples(word)
        .unwrap_or_else(|| panic!("{word} has no clip"))
}

fn saying(phrases: &[Vec<&'static str>]) -> Announcement {
    Announcement {
        text: String::new(),
        speech: phrases.to_vec(),
        beeps: None,
        unspoken: Vec::new(),
    }
}

#[test]
fn the_word_list_the_clips_and_the_vocabulary_are_the_same() {
    let listed: Vec<&str> = include_str!("../../sounds/words.txt")
        .lines()
        .map(|line| line.split(['#', '/']).next().unwrap_or("").trim())
        .filter(|word| !word.is_empty())
        .collect();
    let carried: Vec<&str> = clips::all().map(|(word, _)| word).collect();
    assert_eq!(listed, carried, "sounds/words.txt and src/sound/clips.rs");
    let sorted = |words: &[&'static str]| {
        let mut words = words.to_vec();
        words.sort_unstable();
        words
    };
    assert_eq!(
        sorted(&carried),
        sorted(VOCABULARY),
        "the clips and the vocabulary"
    );
}

#[test]
fn every_clip_is_whole_loud_enough_and_not_clipped() {
    for (word, file) in clips::all() {
        let samples = wav::samples(file).unwrap_or_else(|e| panic!("{word}: {e}"));
        let ms = samples.len() * 1000 / 22_050;
        assert!((80..1200).contains(&ms), "{word} takes {ms} ms");
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

/// A read-back by machine hardly notices a word cut to half, so the clips are pinned.
#[test]
fn the_clips_are_the_pinned_ones() {
    let pinned: Vec<(&str, usize, u64)> = include_str!("clips.pinned")
        .lines()
        .map(|line| {
            let mut fields = line.split_whitespace();
            let mut field = || fields.next().expect("word, samples, sum");
            let word = field();
            (
                word,
                field().parse().expect("samples"),
                u64::from_str_radix(field(), 16).expect("sum"),
            )
        })
        .collect();
    let now: Vec<(&str, usize, u64)> = clips::all()
        .map(|(word, file)| (word, clip(word).len(), fnv(file)))
        .collect();
    let listing: String = now
        .iter()
        .map(|(word, samples, sum)| format!("{word} {samples} {sum:016x}\n"))
        .collect();
    assert!(
        pinned == now,
        "the clips changed: listen to them, then put this into tests/sound/clips.pinned\n{listing}"
    );
}

/// FNV-1a, 64 bits: to see change, not to resist anybody.
fn fnv(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[test]
fn numbers_carry_the_clip_of_every_word() {
    for n in [0, 8, 14, 40, 90, 368, 690, 975, 1250, 17_300, 99_999] {
        let words = words::whole(n).expect("a number that can be said");
        let spoken = render::announcement(&saying(std::slice::from_ref(&words)), Voice::Speech);
        let mut at = 0;
        for (i, word) in words.iter().enumerate() {
            if i > 0 {
                let gap = &spoken[at..at + samples_in_ms(WORD_GAP_MS)];
                assert!(gap.iter().all(|s| *s == 0), "{n}: no gap before {word}");
                at += gap.len();
            }
            let clip = clip(word);
            assert_eq!(spoken[at..at + clip.len()], clip, "{n}: {word}");
            at += clip.len();
        }
        assert_eq!(at, spoken.len(), "{n} ends with something more");
    }
}

#[test]
fn a_typical_dose_is_said_in_time() {
    let announcement = saying(&[
        vec!["lance", "one"],
        {
            let mut dose = words::whole(690).expect("a number");
            dose.extend(["millilitres", "product"]);
            dose
        },
        vec!["then", "water", "to", "the", "line"],
    ]);
    let spoken = render::announcement(&announcement, Voice::Speech);
    let sum: usize = announcement.words().map(|word| clip(word).len()).sum();
    assert_eq!((WORD_GAP_MS, PHRASE_GAP_MS), (45, 250));
    let gaps = (1 + 5 + 4) * samples_in_ms(WORD_GAP_MS) + 2 * samples_in_ms(PHRASE_GAP_MS);
    assert_eq!(spoken.len(), sum + gaps);
    assert!(
        spoken.len() < samples_in_ms(8500),
        "it takes {} ms",
        spoken.len() * 1000 / 22_050
    );
}
