//! The example's figures are the invented depot's own. The few figures of common practice that the
//! arithmetic is checked against stand in `tests/published_checks.rs` and nowhere else.

use std::path::{Path, PathBuf};

/// Where those figures may stand.
const THEIR_FILE: &str = "tests/published_checks.rs";

/// FNV-1a hashes of those figures as [`told`] writes them, so that this file does not repeat them.
/// Those of the doses that are poured are with their unit: alone they are plain numbers.
const FIRST: [u64; 10] = [
    0x8b8a_8c18_4012_3ea4,
    0xf6ea_95b1_08cc_e6da,
    0xd6d0_476d_6bd6_b1d6,
    0x04d2_43f0_f3a0_bd3a,
    0x8b80_7718_4009_c670,
    0x4976_a034_ee68_df02,
    0x3de7_0818_1430_0186,
    0x572f_1118_224e_784c,
    0x2fe4_7f63_4d4d_9fa1,
    0x30f7_3a4f_dabb_a186,
];

/// Folders and files that hold text of the project's own.
const PLACES: [&str; 8] = [
    "src",
    "tests",
    "ui",
    "build",
    "kiosk-setup",
    "sounds",
    "README.md",
    "DEVELOPERS.md",
];

fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// Numbers of a text, each with what stands behind it: digits, marks between thousands left out, and a
/// decimal part. Digits within a word are none.
fn numbers(text: &str) -> Vec<(f64, &str)> {
    let mut found = Vec::new();
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let in_word = at > 0 && (bytes[at - 1].is_ascii_alphanumeric() || bytes[at - 1] == b'_');
        if !bytes[at].is_ascii_digit() || in_word {
            at += 1;
            continue;
        }
        let digits = |from: usize| {
            let all = bytes[from..].iter();
            from + all
                .take_while(|b| b.is_ascii_digit() || **b == b'_')
                .count()
        };
        let mut end = digits(at);
        if bytes.get(end) == Some(&b'.') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit) {
            end = digits(end + 1);
        }
        let number = text[at..end].replace('_', "").parse();
        found.extend(number.map(|number| (number, &text[end..])));
        at = end;
    }
    found
}

/// A number as it is hashed: alone, and with its unit where it is in millilitres.
fn told((number, behind): (f64, &str)) -> Vec<String> {
    let mut told = vec![number.to_string()];
    let unit = behind.trim_start_matches(['\u{a0}', ' ']);
    if unit.starts_with("ml") {
        told.push(format!("{number} ml"));
    }
    told
}

/// The first of the figures that stands in a line.
fn first_figure(line: &str) -> Option<String> {
    let all = numbers(line).into_iter().flat_map(told);
    all.into_iter().find(|told| FIRST.contains(&hash(told)))
}

fn files_under(path: PathBuf, files: &mut Vec<PathBuf>) {
    if path.is_dir() {
        let entries = std::fs::read_dir(&path).expect("a folder");
        for entry in entries {
            files_under(entry.expect("an entry").path(), files);
        }
    } else {
        files.push(path);
    }
}

#[test]
fn the_first_check_values_stand_in_one_file_alone() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for place in PLACES {
        files_under(root.join(place), &mut files);
    }
    let mut seen = 0;
    let mut found = Vec::new();
    for file in files {
        let name = file.strip_prefix(root).expect("in the project");
        // What is no text, or a list of hashes, has no figures.
        let hashes = file.extension().is_some_and(|e| e == "pinned");
        let Some(text) = std::fs::read_to_string(&file).ok().filter(|_| !hashes) else {
            continue;
        };
        let lines = (1..).zip(text.lines());
        let here = lines.filter_map(|(n, line)| Some((n, first_figure(line)?)));
        if name == Path::new(THEIR_FILE) {
            seen = here.count();
        } else {
            found.extend(here.map(|(n, figure)| format!("{}:{n}: {figure}", name.display())));
        }
    }
    assert!(seen > 0, "they are not in {THEIR_FILE}, or not recognised");
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn a_figure_is_found_however_it_is_written() {
    // Put together, so that it does not stand here either.
    let (volume, catch) = (5 * 195, 173 * 100);
    for line in [
        format!("holds_ml = {volume}"),
        format!("Volume::ml({volume}.0)"),
        format!("(1..{volume}u32)"),
        format!("\"{volume}ml\""),
        format!("0.{volume} kg"),
        format!("{}_{:03}.0", catch / 1000, catch % 1000),
        format!("1.0 and {volume}"),
        format!("{} ml", 5 * 138),
        format!("{}\u{a0}ml", 5 * 74),
    ] {
        assert!(first_figure(&line).is_some(), "{line}");
    }
    for line in [
        format!("1{volume}"),
        format!("{volume}1.0"),
        format!("x{volume}"),
        format!("#{}", 5 * 138),
        String::new(),
    ] {
        assert_eq!(first_figure(&line), None, "{line}");
    }
}
