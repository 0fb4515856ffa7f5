//! Writing values so that they read back as they were.

/// A text in quotes.
pub(crate) fn text(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

/// A number; a whole one without decimals.
pub(crate) fn number(number: f64) -> String {
    // Rust's own shortest form reads back to the same bits, and is what TOML wants.
    format!("{number}")
}

/// A text of many lines between three quotes, such that each of its lines is a line of the file.
pub(crate) fn long_text(text: &str) -> String {
    // Between three single quotes nothing is changed; what cannot stand there is rare.
    let plain = !text.contains("'''")
        && !text.ends_with('\'')
        && !text
            .chars()
            .any(|c| c.is_control() && c != '\n' && c != '\t');
    if plain {
        return format!("'''\n{text}'''");
    }
    let mut out = String::from("\"\"\"\n");
    for c in text.chars() {
        match c {
            '\n' | '\t' => out.push(c),
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push_str("\"\"\"");
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read_back(written: &str) -> toml_edit::DocumentMut {
        format!("a = {written}\n").parse().expect(written)
    }

    proptest! {
        #[test]
        fn texts_read_back(s in "(\\PC|[\n\r\t'\"\\\\\u{0}\u{7f}\u{85}]){0,40}") {
            for written in [text(&s), long_text(&s)] {
                let doc = read_back(&written);
                prop_assert_eq!(doc["a"].as_str(), Some(s.as_str()), "{}", written);
            }
        }

        #[test]
        fn long_texts_keep_their_lines(s in "[a-z'\"\\\\\r\n]{0,40}") {
            let lines = |s: &str| s.matches('\n').count();
            prop_assert_eq!(lines(&long_text(&s)), lines(&s) + 1);
        }

        #[test]
        fn numbers_read_back(n in prop_oneof![0.0..1e6f64, Just(820.0), Just(0.0), 0.0..1e-6f64]) {
            let doc = read_back(&number(n));
            let item = &doc["a"];
            let read = item.as_float().or_else(|| item.as_integer().map(|n| n as f64));
            prop_assert_eq!(read, Some(n));
        }
    }
}
