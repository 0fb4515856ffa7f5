//! Every screen at every profile in every language, rendered by the wall's own renderer into
//! `target/pictures` (English) and `target/pictures-es` (Spanish).

mod common;

use common::walk::{self, LANGUAGES, Seen};
use fillcall::bay::setup::Profile;
use fillcall::trade::language::Language;
use std::path::PathBuf;

/// Pictures to look at; what can be checked of them by machine is in `measures.rs`.
fn every_screen_at(profile: Profile) {
    let folder = |language: Language| {
        let pictures = match language {
            Language::English => "../pictures".to_owned(),
            other => format!("../pictures-{}", other.code()),
        };
        PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
            .join(pictures)
            .join(profile.name())
    };
    let mut names = Vec::new();
    walk::every_screen(profile, &mut |seen: Seen<'_>| {
        names.push(seen.name.to_owned());
        for language in LANGUAGES {
            let file = folder(language).join(format!("{:03}-{}.png", names.len(), seen.name));
            seen.in_language(language, || seen.window.picture(&file));
            let (width, height) = profile.pixels();
            let decoder = png::Decoder::new(std::io::BufReader::new(
                std::fs::File::open(&file).expect("the picture is there"),
            ));
            let reader = decoder.read_info().expect("a PNG");
            assert_eq!((reader.info().width, reader.info().height), (width, height));
        }
    });
    assert!(names.len() >= 20, "{names:?}");
}

// A test for each panel, so that they go side by side.

#[test]
fn every_screen_of_the_coarse_seven_inch_panel() {
    every_screen_at(Profile::Seven800);
}

#[test]
fn every_screen_of_the_fine_seven_inch_panel() {
    every_screen_at(Profile::Seven1024);
}

#[test]
fn every_screen_of_the_ten_inch_panel() {
    every_screen_at(Profile::Ten1280);
}
