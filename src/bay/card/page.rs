//! How large the letters of a printed card may be for it to fit on one page: reckoned from the same
//! measures that its style is made of.

use std::fmt::Write as _;

/// What is on the page.
pub(super) struct Sheet {
    pub title: String,
    pub lines_above: Vec<String>,
    pub rows: Vec<TableRow>,
    pub lines_below: Vec<String>,
}

/// A row of the table under its head.
pub(super) enum TableRow {
    /// A sprayer, over the whole width.
    Sprayer(String),
    /// A chemical, cell by cell.
    Chemical([String; 6]),
}

/// The widths of the columns in mm.
pub(super) const COLUMNS: [f64; 6] = [39.0, 26.0, 22.0, 18.0, 33.0, 52.0];
/// The width of A4 between margins of 10 mm, which are those of the style; US Letter is wider.
const WIDTH: f64 = 190.0;
/// The height of US Letter between them, less what a browser may add; A4 is higher.
const HEIGHT: f64 = 252.0;
/// Sizes of letters in points, the largest that fits is taken.
const SIZES: [f64; 10] = [12.0, 11.0, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5];
/// The dose and the title, beside the other letters.
const DOSE: f64 = 1.7;
/// From line to line, beside the size of the letters.
const LEADING: f64 = 1.25;
/// Above and below the words of a cell, in mm.
const CELL_PAD: f64 = 0.6;
/// At both sides of them.
const CELL_SIDE: f64 = 1.5;
/// The mean width of a letter of a usual font without serifs beside its size, with what is lost where
/// words are not broken.
const LETTER: f64 = 0.6;
/// A line of a table.
const RULE: f64 = 0.35;
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// A column's part of the width.
pub(super) fn percent(column: f64) -> String {
    format!("{:.2}", 100.0 * column / COLUMNS.iter().sum::<f64>())
}

/// The size of the letters in points; the smallest where no size fits on one page.
pub(super) fn size(sheet: &Sheet) -> f64 {
    let fits = |size: &f64| height(sheet, *size) <= HEIGHT;
    SIZES
        .into_iter()
        .find(fits)
        .unwrap_or(SIZES[SIZES.len() - 1])
}

/// What of the style hangs on the size of the letters.
pub(super) fn style(size: f64) -> String {
    let mut style = String::new();
    // Writing to a string cannot fail.
    let _ = write!(
        style,
        "body{{font-size:{size}pt;line-height:{LEADING}}}h1{{font-size:{DOSE}em;margin:0}}\
         th,td{{padding:{CELL_PAD}mm {CELL_SIDE}mm}}.dose{{font-size:{DOSE}em}}"
    );
    style
}

/// The height of it all in mm.
fn height(sheet: &Sheet, size: f64) -> f64 {
    let line = size * LEADING * MM_PER_POINT;
    let text = |text: &str, width: f64, size: f64| {
        lines(text, width, size) * size * LEADING * MM_PER_POINT
    };
    let cell = |height: f64| height + 2.0 * CELL_PAD + RULE;
    let rows: f64 = sheet
        .rows
        .iter()
        .map(|row| match row {
            TableRow::Sprayer(words) => cell(text(words, WIDTH - 2.0 * CELL_SIDE, size * 1.1)),
            TableRow::Chemical(cells) => {
                let of = |(place, words): (usize, &String)| {
                    let size = if place == 1 { size * DOSE } else { size };
                    text(words, COLUMNS[place] - 2.0 * CELL_SIDE, size)
                };
                cell(cells.iter().enumerate().map(of).fold(line, f64::max))
            }
        })
        .sum();
    let all = |lines: &[String]| -> f64 {
        let heights = lines.iter().map(|words| text(words, WIDTH - 6.0, size));
        heights.sum()
    };
    let title = text(&sheet.title, WIDTH, size * DOSE);
    title + all(&sheet.lines_above) + cell(line) + rows + all(&sheet.lines_below) + 2.0
}

/// How many lines words take at most.
fn lines(words: &str, width: f64, size: f64) -> f64 {
    let letters = words.chars().count().max(1) as f64;
    (letters * LETTER * size * MM_PER_POINT / width).ceil()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(sprayers: usize, chemicals: usize, note: &str) -> Sheet {
        let own = "A product of some name: Causes severe skin burns and eye damage. May be corrosive \
                   to metals. Gloves and eye protection. Not on hot panels.";
        let mut rows = Vec::new();
        for _ in 0..sprayers {
            rows.push(TableRow::Sprayer(
                "A sprayer of some name, holds 1250 ml; calibrated 2026-03-02, 112 washes since"
                    .into(),
            ));
            for _ in 0..chemicals {
                let cells = [
                    "A product of some name",
                    "1250 ml",
                    "1.25 L",
                    "3.99 %",
                    "1 litre jug",
                    note,
                ];
                rows.push(TableRow::Chemical(cells.map(str::to_owned)));
            }
        }
        Sheet {
            title: "A depot of some name, bay 2".into(),
            lines_above: vec!["Wall card of 2026-03-02 08:00".into()],
            rows,
            // The beeps, and the cautions for all.
            lines_below: std::iter::repeat_n("x".repeat(190), 3)
                .chain(std::iter::repeat_n("x".repeat(110), 5))
                .chain(std::iter::repeat_n(own.to_owned(), chemicals))
                .collect(),
        }
    }

    #[test]
    fn twelve_figures_are_on_one_page_however_they_come_about() {
        for (sprayers, chemicals) in [(1, 12), (12, 1), (2, 6), (6, 2), (3, 4), (4, 3)] {
            for note in [
                "",
                "calibration overdue, coarsely rounded, set until changed",
            ] {
                let sheet = sheet(sprayers, chemicals, note);
                let size = size(&sheet);
                let height = height(&sheet, size);
                assert!(
                    height <= HEIGHT,
                    "{sprayers} x {chemicals}: {height} mm at {size}"
                );
                assert!(size >= 7.0, "{sprayers} x {chemicals}: {size} pt");
            }
        }
        // A few are set larger, and a great many are no page.
        assert_eq!(size(&sheet(1, 2, "")), SIZES[0]);
        assert!(height(&sheet(12, 12, ""), SIZES[SIZES.len() - 1]) > HEIGHT);
    }

    #[test]
    fn the_columns_are_the_page() {
        assert!((COLUMNS.iter().sum::<f64>() - WIDTH).abs() < 1e-9);
    }
}
