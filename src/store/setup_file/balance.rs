//! The `[balance]` section: what the bay weighs with.

use crate::bay::limits::STEP_GRAMS;
use crate::store::toml_text::{Reader, Section};
use crate::trade::units::{Unreadable, no_comma};

const STEP: &str =
    "write the smallest step that the balance shows, such as \"10 g\" or \"0.01 kg\"";

/// The step of the balance in kg; the inner `None` is a bay without one.
pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Option<Option<f64>> {
    let Some(mut section) = top.section(reader, "balance", false) else {
        return (!top.has("balance")).then_some(None);
    };
    let step = section.parsed(reader, "step", STEP, kg);
    let step = section.required(reader, "step", step, STEP);
    section.finish(reader);
    step.map(|step| Some(step.value))
}

/// Reads `10 g` or `0.01 kg`, in kg.
fn kg(text: &str) -> Result<f64, Unreadable> {
    let wrong = |wrong: String| Unreadable {
        wrong,
        right: STEP.into(),
    };
    no_comma(text)?;
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c == '+'))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let number: f64 = number
        .parse()
        .map_err(|_| wrong(format!("\"{text}\" is not a weight")))?;
    let kg = match unit.trim().to_lowercase().as_str() {
        // Divided, so that 10 g are the same number as 0.01 kg.
        "g" | "gram" | "grams" => number / 1000.0,
        "kg" | "kilogram" | "kilograms" => number,
        "" => return Err(wrong(format!("\"{text}\" has no unit"))),
        other => return Err(wrong(format!("\"{other}\" is not a unit of weight here"))),
    };
    // Both ends in kg as they are read, so that "0.01 g" is the least and not a hair below it.
    let (least, most) = (STEP_GRAMS.start(), STEP_GRAMS.end());
    match (least / 1000.0..=most / 1000.0).contains(&kg) {
        true => Ok(kg),
        false => Err(wrong(format!(
            "\"{text}\" is not between {least} g and {} kg, as any balance's step is",
            most / 1000.0
        ))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grams_and_kilograms_are_the_same_weight() {
        for (text, expected) in [
            ("10 g", 0.01),
            ("0.01 kg", 0.01),
            ("5g", 0.005),
            ("1 kg", 1.0),
            ("0.1 Grams", 0.0001),
        ] {
            assert_eq!(kg(text), Ok(expected), "{text}");
        }
    }

    #[test]
    fn what_is_no_weight_says_why() {
        for (text, says) in [
            ("10", "no unit"),
            ("g", "not a weight"),
            ("ten grams", "not a weight"),
            ("10 oz", "\"oz\" is not a unit of weight"),
            ("10 ml", "\"ml\" is not a unit of weight"),
            ("0 g", "not between"),
            ("-10 g", "not between"),
            ("10 kg", "not between"),
            ("0,01 kg", "a comma in its number"),
        ] {
            let fault = kg(text).expect_err(text);
            assert!(fault.wrong.contains(says), "{text}: {fault}");
        }
    }
}
