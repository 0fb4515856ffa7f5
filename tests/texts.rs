//! No text for people is forgotten: every one of them can be shown in another language.

#[path = "common/patterns.rs"]
mod patterns;

use patterns::{Loose, Texts, has_word, has_words, read};

/// What stands there alone and is no text of a screen: where (a file, a `Display` in it or none), how
/// it begins, and why.
const ALLOWED: &[(&str, &str, &str, &str)] = &[
    (
        "src/trade/phrases.rs",
        "",
        "",
        "a voice has its own words for the phrases that it says, and the screen shows those",
    ),
    (
        "src/bay/ports.rs",
        "",
        "This bay is only to be looked at.",
        "for commands that only look: no screen shows it",
    ),
    (
        "src/bay/typed.rs",
        "",
        "no keys of the number pad come to that",
        "for who reads a file that is damaged: no screen shows it",
    ),
    (
        "src/trade/units.rs",
        "",
        "",
        "mistakes in the set-up file, for who writes it",
    ),
    (
        "src/trade/repeats.rs",
        "RunsError",
        "",
        "for who calls it wrongly: no screen shows it",
    ),
    (
        "src/trade/timed_check.rs",
        "TimedCheckError",
        "",
        "the screen has its own words for each",
    ),
    (
        "src/trade/calibration.rs",
        "",
        "run dry",
        "the card's; the screens have their own word for each way",
    ),
    (
        "src/trade/calibration.rs",
        "",
        "by weight",
        "the card's; the screens have their own word for each way",
    ),
    (
        "src/trade/sprayer.rs",
        "",
        "foam lance",
        "a word of the set-up file",
    ),
    (
        "src/trade/sprayer.rs",
        "",
        "drum injector",
        "a word of the set-up file",
    ),
    (
        "src/trade/sprayer.rs",
        "",
        "direct sprayer",
        "a word of the set-up file",
    ),
    (
        "src/trade/protection.rs",
        "",
        "face shield",
        "a word of the set-up file",
    ),
    (
        "src/bay/at_work.rs",
        "",
        "The set-up has no sprayer.",
        "a set-up without one is refused before",
    ),
    (
        "src/bay/reminding.rs",
        "",
        "not named yet",
        "kept in the records, where it is looked for",
    ),
    (
        "src/bay/reminding.rs",
        "",
        "{NOT_NAMED}, was ",
        "kept in the records, where it is looked for",
    ),
    ("src/bay/typed.rs", "", "fl oz", "a unit"),
    ("src/trade/calibration.rs", "", "{minutes} min ", "units"),
    ("src/screens/calibrate.rs", "", " L/min", "a unit"),
    (
        "src/screens/offscreen.rs",
        "",
        "software",
        "the name of a renderer",
    ),
    (
        "src/screens/offscreen.rs",
        "OffscreenError",
        "",
        "for the command line",
    ),
    (
        "src/screens/tongue.rs",
        "",
        "../../ui/lang/",
        "the name of a file",
    ),
    ("src/doctor/disk.rs", "", "sys/fs/", "the name of a file"),
    ("src/doctor/disk.rs", "", "{:.1} GB", "a unit"),
    ("src/doctor/disk.rs", "", "{:.0} MB", "a unit"),
    (
        "src/doctor/display.rs",
        "",
        "video=",
        "an option of the kernel",
    ),
    (
        "src/doctor/display.rs",
        "",
        "sys/class/drm/",
        "the name of a folder",
    ),
    (
        "src/doctor/display.rs",
        "",
        "{folder}/",
        "the name of a file",
    ),
    ("src/doctor/mod.rs", "", "not here", "for the command line"),
    ("src/doctor/sandbox.rs", "", "proc/", "the name of a file"),
    (
        "src/doctor/sandbox.rs",
        "",
        "sys/fs/cgroup/",
        "the name of a file",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "utomatic time",
        "words of systemd",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "authentication required",
        "words of polkit",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "Access denied",
        "words of the bus",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "Permission denied",
        "words of the bus",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "Failed to connect",
        "words of systemd",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "Timed out",
        "words of the bus",
    ),
    (
        "src/doctor/set_clock.rs",
        "",
        "timed out",
        "words of the bus",
    ),
    (
        "src/doctor/sound.rs",
        "",
        "Simple mixer control ",
        "words of amixer",
    ),
    (
        "src/doctor/sound.rs",
        "",
        "Line Out",
        "the name of a control",
    ),
    (
        "src/doctor/wear.rs",
        "",
        "sys/block/",
        "the name of a folder",
    ),
    ("src/doctor/wear.rs", "", "{folder}/", "the name of a file"),
];

fn is_allowed(
    loose: &Loose,
    (file, display_of, begin, _): &(&'static str, &'static str, &'static str, &'static str),
) -> bool {
    loose.file == *file && loose.display_of == *display_of && loose.text.starts_with(begin)
}

/// A string that people read. Nothing in the screens is kept, so that there every word is for people;
/// elsewhere single words are names in files and records, unless something is put beside them.
fn is_for_people(loose: &Loose) -> bool {
    match loose.file.starts_with("src/screens/") {
        true => has_word(&loose.text),
        false => has_words(&loose.text) || (loose.text.contains('{') && has_word(&loose.text)),
    }
}

#[test]
fn every_text_can_be_translated() {
    let texts = patterns::texts();
    let loose: Vec<_> = texts.loose.iter().filter(|l| is_for_people(l)).collect();
    let forgotten: Vec<_> = loose
        .iter()
        .filter(|loose| !ALLOWED.iter().any(|of| is_allowed(loose, of)))
        .collect();
    assert!(
        forgotten.is_empty(),
        "{} texts are English for ever. In src/screens put them in tr!, elsewhere in text!; if they \
         are no texts of a screen, say why in ALLOWED: {forgotten:#?}",
        forgotten.len()
    );
    for of in ALLOWED {
        assert!(
            loose.iter().any(|loose| is_allowed(loose, of)),
            "nothing is allowed by {of:?} any more: take it out"
        );
    }
    // The sources were read at all.
    let patterns = patterns::patterns();
    for some in ["Run {} differs: drop or repeat it", "1 wash", "Safety"] {
        assert!(patterns.contains(some), "{some} is not seen");
    }
    assert!(patterns.len() > 200, "only {} patterns", patterns.len());
}

#[test]
fn every_pattern_of_the_sources_is_in_the_list() {
    let list = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/ui/lang/es/LC_MESSAGES/fillcall-ui.po"
    );
    let list = rspolib::pofile(list).expect("the Spanish list");
    let known: std::collections::BTreeSet<_> =
        list.entries.into_iter().map(|entry| entry.msgid).collect();
    let patterns = patterns::patterns();
    let missing: Vec<_> = patterns.difference(&known).collect();
    assert!(missing.is_empty(), "not in Spanish: {missing:#?}");
}

#[test]
fn no_ratio_is_told_as_one_to_so_many() {
    // "1 to 25" and "1:25" are one part in 25 to one reader, and one part and 25 parts to another.
    let list = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/ui/lang/es/LC_MESSAGES/fillcall-ui.po"
    );
    let list = rspolib::pofile(list);
    let mut all: Vec<String> = patterns::texts()
        .loose
        .into_iter()
        .map(|l| l.text)
        .collect();
    for entry in list.expect("the Spanish list").entries {
        all.extend([entry.msgid].into_iter().chain(entry.msgstr));
    }
    assert!(all.iter().any(|text| text == "1 in {}") && all.iter().any(|text| text == "1 en {}"));
    let two_ways = [
        "1 to {", "one to {", "1:{", "1 : {", "1 a {", "uno a {", "una a {",
    ];
    let told: Vec<_> = all
        .iter()
        .filter(|text| two_ways.iter().any(|two| text.contains(two)))
        .collect();
    assert!(told.is_empty(), "can be read two ways: {told:?}");
}

#[test]
fn what_can_be_translated_is_told_from_what_cannot() {
    let source = r#"
        //! A comment of the file.
        /// A comment of a function.
        #[doc = "an attribute is none"]
        fn shown(n: u32) -> String {
            // A comment in it.
            let one = tr!("a pattern");
            let long = tr!(
                "one that goes on \
                 behind the line, {}",
                format!("and {} loose part", n)
            );
            let texts = vec![text!("{} of the trade", n), Text::from("and of it")];
            self.refuse(match n {
                1 => "said by refusing",
                _ => { let why = "a reason alone"; "said at last" }
            });
            let plain: String = "an owned one".into();
            assert!(n > 0, "a message of it");
            let same = matches!(plain.as_str(), "left out here");
            format!("{n} {one} {plain} and more")
        }
        impl fmt::Display for SomeError {
            fn fmt(&self) { f.write_str("an error of it") }
        }
        #[cfg(test)]
        mod tests { const A: &str = "of a test"; }
        #[cfg(test)]
        fn helper() -> &'static str { "of a test too" }
    "#;
    let mut texts = Texts::default();
    read("some.rs", source, &mut texts);
    let patterns: Vec<_> = texts.patterns.iter().map(String::as_str).collect();
    assert_eq!(
        patterns,
        [
            "a pattern",
            "and of it",
            "one that goes on behind the line, {}",
            "said at last",
            "said by refusing",
            "{} of the trade",
        ]
    );
    let loose: Vec<_> = texts
        .loose
        .iter()
        .map(|l| (l.display_of.as_str(), l.text.as_str()))
        .collect();
    assert_eq!(
        loose,
        [
            ("", "a message of it"),
            ("", "a reason alone"),
            ("", "an owned one"),
            ("", "and {} loose part"),
            ("", "{n} {one} {plain} and more"),
            ("SomeError", "an error of it"),
        ]
    );
}

#[test]
fn words_are_told_from_figures() {
    for text in ["two words", "{} of {} are full", "it is. So it", "á é"] {
        assert!(has_words(text), "{text}");
    }
    for text in [
        "one",
        "{some} {thing}",
        "{} of {} full",
        "it.",
        "1 + {}",
        "a-b c",
    ] {
        assert_eq!(has_words(text), text == "a-b c", "{text}");
    }
    assert!(has_word("{} ml") && has_word("no") && has_word("{x}: due"));
    assert!(!has_word("{name} × {}") && !has_word("%-d") && !has_word("{a} {b}"));
}

#[test]
fn places_are_counted_as_they_are_filled() {
    let places = patterns::places;
    assert_eq!(places("{} of {}"), [0, 1]);
    assert_eq!(places("{1} de {0}"), [0, 1]);
    assert_eq!(places("{1} y {1}, {x}"), [1, 1]);
    assert_eq!(places("none"), [] as [usize; 0]);
}
