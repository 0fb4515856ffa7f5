//! The card for a browser, to be printed and put on the wall.

use super::{CAUTIONS, Row, beeps, state_words, usable};
use crate::bay::at_work::Bay;
use crate::bay::setup::Voice;
use chrono::{DateTime, FixedOffset};
use std::fmt::Write as _;

const STYLE: &str = "body{font:16px sans-serif;margin:12mm;color:#0d1a1c}\
h1{font-size:26px;margin:0}h2{font-size:20px;margin:18px 0 4px}\
table{border-collapse:collapse;width:100%}th,td{border:1px solid #66757a;padding:6px 10px;text-align:right}\
th:first-child,td:first-child,td:last-child,th:last-child{text-align:left}\
.dose{font-size:30px;font-weight:bold}.demo{border:2px solid #7a5b00;background:#ffe9a8;padding:4px 10px}\
.set td{background:#ffe9a8}.set td:last-child{font-weight:bold}s{color:#33444a}tr{page-break-inside:avoid}li{margin:4px 0}";

pub(super) fn write(bay: &Bay, rows: &[Row], made: DateTime<FixedOffset>) -> String {
    let mut out = String::new();
    let name = escape(&bay.setup().name);
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Wall card: {name}</title>\
         <style>{STYLE}</style></head><body>\n<h1>{name}</h1>\n<p>Wall card of {}</p>\n",
        made.format("%Y-%m-%d %H:%M")
    );
    if bay.setup().demo {
        out.push_str("<p class=\"demo\">DEMO: every figure on this card is invented.</p>\n");
    }
    let mut sprayer = "";
    for row in rows {
        if row.sprayer.0 != sprayer {
            if !sprayer.is_empty() {
                out.push_str("</table>\n");
            }
            sprayer = &row.sprayer.0;
            let _ = write!(
                out,
                "<h2>{}, holds {}</h2>\n<table><tr><th>Chemical</th><th>Product</th><th>Water</th>\
                 <th>On vehicle</th><th>Measure</th><th></th></tr>\n",
                escape(&row.sprayer.1),
                row.fill_shown()
            );
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
        let note = state_words(row);
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
    if !rows.is_empty() {
        out.push_str("</table>\n");
    }
    // Spoken words fall back to beeps where the voice lacks one.
    if bay.setup().voice != Voice::Off {
        for line in beeps::lines(rows) {
            let _ = writeln!(out, "<p>{}</p>", escape(&line));
        }
    }
    out.push_str("<ul>\n");
    for caution in CAUTIONS {
        let _ = writeln!(out, "<li>{}</li>", escape(caution));
    }
    out.push_str("</ul>\n</body></html>\n");
    out
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
