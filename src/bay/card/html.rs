//! The card for a browser, to be printed and put on the wall: on one page as long as a page can hold it.

use super::page::{self, Sheet, TableRow};
use super::{CAUTIONS, Row, beeps, own_cautions, sprayer_line, state_words, usable};
use crate::bay::at_work::Bay;
use crate::bay::setup::Voice;
use chrono::{DateTime, FixedOffset};
use std::fmt::Write as _;

const STYLE: &str = "@page{margin:10mm}body{font-family:sans-serif;margin:12mm;color:#0d1a1c}\
@media print{body{margin:0}}p{margin:0}\
table{border-collapse:collapse;width:100%;table-layout:fixed}td,th{border:1px solid #66757a;\
text-align:right;overflow-wrap:anywhere}\
td:first-child,th:first-child,td:last-child,th:last-child{text-align:left}\
.of th{background:#e2e8e6}thead{display:table-header-group}\
.dose{font-weight:bold}.demo{border:2px solid #7a5b00;background:#ffe9a8}\
.set td{background:#ffe9a8}.set td:last-child{font-weight:bold}s{color:#33444a}tr{page-break-inside:avoid}\
ul{margin:0;padding-left:5mm}";

pub(super) fn write(bay: &Bay, rows: &[Row], made: DateTime<FixedOffset>) -> String {
    let sheet = Sheet {
        title: bay.setup().name.clone(),
        lines_above: above(bay, made),
        rows: table_rows(bay, rows),
        lines_below: below(bay, rows),
    };
    let size = page::size(&sheet);
    let mut out = String::new();
    let name = escape(&sheet.title);
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Wall card: {name}</title>\
         <style>{STYLE}{}</style></head><body>\n<h1>{name}</h1>\n",
        page::style(size)
    );
    let demo = bay.setup().demo;
    for (place, line) in sheet.lines_above.iter().enumerate() {
        let class = if demo && place > 0 {
            " class=\"demo\""
        } else {
            ""
        };
        let _ = writeln!(out, "<p{class}>{}</p>", escape(line));
    }
    table(&mut out, bay, rows);
    let cautions = CAUTIONS.len() + own_cautions(bay).len();
    let list = sheet.lines_below.len() - cautions;
    for line in &sheet.lines_below[..list] {
        let _ = writeln!(out, "<p>{}</p>", escape(line));
    }
    out.push_str("<ul>\n");
    for caution in &sheet.lines_below[list..] {
        let _ = writeln!(out, "<li>{}</li>", escape(caution));
    }
    out.push_str("</ul>\n</body></html>\n");
    out
}

fn above(bay: &Bay, made: DateTime<FixedOffset>) -> Vec<String> {
    let mut lines = vec![format!("Wall card of {}", made.format("%Y-%m-%d %H:%M"))];
    if bay.setup().demo {
        lines.push("DEMO: every figure on this card is invented.".into());
    }
    lines
}

/// The beeps, and then the cautions: those for all and those of each product.
fn below(bay: &Bay, rows: &[Row]) -> Vec<String> {
    // Spoken words fall back to beeps where the voice lacks one.
    let mut lines = match bay.setup().voice {
        Voice::Off => Vec::new(),
        _ => beeps::lines(rows),
    };
    lines.extend(CAUTIONS.map(str::to_owned));
    lines.extend(own_cautions(bay));
    lines
}

/// The table as it is measured: what each row says, cell by cell.
fn table_rows(bay: &Bay, rows: &[Row]) -> Vec<TableRow> {
    let mut all = Vec::new();
    let mut sprayer = "";
    for row in rows {
        if row.sprayer.0 != sprayer {
            sprayer = &row.sprayer.0;
            all.push(TableRow::Sprayer(sprayer_line(bay, row)));
        }
        let figure = |text: Option<String>| text.unwrap_or_else(|| "–".into());
        let (product, water) = row.poured_shown().unzip();
        all.push(TableRow::Chemical([
            row.chemical.1.clone(),
            figure(product),
            figure(water),
            figure(row.poured_strength.map(|s| s.shown())),
            figure(row.measure.clone()),
            state_words(row),
        ]));
    }
    all
}

fn table(out: &mut String, bay: &Bay, rows: &[Row]) {
    out.push_str("<table><colgroup>");
    for width in page::COLUMNS {
        let _ = write!(out, "<col style=\"width:{}%\">", page::percent(width));
    }
    out.push_str(
        "</colgroup><thead><tr><th>Chemical</th><th>Product</th><th>Water</th><th>On vehicle</th>\
         <th>Measure</th><th></th></tr></thead>\n",
    );
    let mut sprayer = "";
    for row in rows {
        if row.sprayer.0 != sprayer {
            sprayer = &row.sprayer.0;
            let line = escape(&sprayer_line(bay, row));
            let _ = writeln!(out, "<tr class=\"of\"><th colspan=\"6\">{line}</th></tr>");
        }
        let cell = |text: Option<String>, class: &str| match text {
            Some(text) if usable(row) => format!("<td{class}>{}</td>", escape(&text)),
            // A void figure is crossed out here as on the screen.
            Some(text) => format!("<td{class}><s>{}</s></td>", escape(&text)),
            None => "<td>–</td>".into(),
        };
        let (product, water) = row.poured_shown().unzip();
        let product = cell(product, " class=\"dose\"");
        let water = cell(water, "");
        let strength = cell(row.poured_strength.map(|s| s.shown()), "");
        let measure = cell(row.measure.clone(), "");
        let note = escape(&state_words(row));
        // Another figure than the usual one must not be taken for it next week.
        let class = match row.set {
            Some(_) => " class=\"set\"",
            None => "",
        };
        let _ = writeln!(
            out,
            "<tr{class}><td>{}</td>{product}{water}{strength}{measure}<td>{note}</td></tr>",
            escape(&row.chemical.1)
        );
    }
    out.push_str("</table>\n");
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
