//! The card for a terminal or a plain printer.

use super::{CAUTIONS, Row, beeps, own_cautions, sprayer_line, state_words, usable};
use crate::bay::at_work::Bay;
use crate::bay::setup::Voice;
use chrono::{DateTime, FixedOffset};
use std::fmt::Write as _;

pub(super) fn write(bay: &Bay, rows: &[Row], made: DateTime<FixedOffset>) -> String {
    let mut out = String::new();
    let demo = if bay.setup().demo {
        "   DEMO: every figure is invented"
    } else {
        ""
    };
    // Writing to a string cannot fail.
    let _ = writeln!(out, "{}{demo}", bay.setup().name);
    let _ = writeln!(out, "Wall card of {}", made.format("%Y-%m-%d %H:%M"));
    let _ = writeln!(out);
    let head = ["Chemical", "Product", "Water", "On vehicle", "Measure", ""];
    let mut table: Vec<[String; 6]> = Vec::new();
    for row in rows {
        let cells = match (usable(row), row.poured_shown(), row.poured_strength) {
            (true, Some((product, water)), Some(strength)) => [product, water, strength.shown()],
            _ => ["-".into(), "-".into(), "-".into()],
        };
        let [product, water, strength] = cells;
        let measure = row
            .measure
            .clone()
            .filter(|_| usable(row))
            .unwrap_or_default();
        let note = state_words(row);
        table.push([
            row.chemical.1.clone(),
            product,
            water,
            strength,
            measure,
            note,
        ]);
    }
    let widths: [usize; 6] = std::array::from_fn(|i| {
        table
            .iter()
            .map(|r| r[i].chars().count())
            .chain([head[i].len()])
            .max()
            .unwrap_or(0)
    });
    let line = |cells: [&str; 6]| {
        let mut line = String::from("  ");
        for (i, cell) in cells.iter().enumerate() {
            let space = widths[i].saturating_sub(cell.chars().count());
            match i {
                1..=3 => line.push_str(&format!("{}{cell}   ", " ".repeat(space))),
                _ => line.push_str(&format!("{cell}{}   ", " ".repeat(space))),
            }
        }
        line.trim_end().to_owned()
    };
    let mut sprayer = "";
    for (row, cells) in rows.iter().zip(&table) {
        if row.sprayer.0 != sprayer {
            sprayer = &row.sprayer.0;
            let _ = writeln!(out, "{}", sprayer_line(bay, row));
            let _ = writeln!(out, "{}", line(head));
        }
        let _ = writeln!(out, "{}", line(std::array::from_fn(|i| cells[i].as_str())));
        if rows.iter().rfind(|r| r.sprayer.0 == sprayer) == Some(row) {
            let _ = writeln!(out);
        }
    }
    // Spoken words fall back to beeps where the voice lacks one.
    if bay.setup().voice != Voice::Off {
        for line in beeps::lines(rows) {
            let _ = writeln!(out, "{line}");
        }
        let _ = writeln!(out);
    }
    for caution in CAUTIONS {
        let _ = writeln!(out, "{caution}");
    }
    for caution in own_cautions(bay) {
        let _ = writeln!(out, "{caution}");
    }
    out
}
