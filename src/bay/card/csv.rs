//! The card for a spreadsheet (RFC 4180).

use super::Row;
use crate::trade::units::{Strength, Volume, trim_number};

const COLUMNS: &str = "sprayer,chemical,strength_percent,fill_ml,dose_ml,pour_ml,water_ml,\
    poured_strength_percent,bottle_ratio,reach_percent,state";

pub(super) fn write(rows: &[Row]) -> String {
    let mut out = format!("{COLUMNS}\r\n");
    for row in rows {
        let percent =
            |s: Option<Strength>| s.map_or(String::new(), |s| trim_number(s.as_percent(), 4));
        let ml = |v: Option<Volume>| v.map_or(String::new(), |v| trim_number(v.as_ml(), 1));
        let fields = [
            field(&row.sprayer.0),
            field(&row.chemical.0),
            percent(row.wanted),
            ml(Some(row.fill)),
            row.dose
                .map_or(String::new(), |d| format!("{:.1}", d.as_ml())),
            ml(row.pour.map(|p| p.product)),
            ml(row.pour.map(|p| p.water)),
            percent(row.poured_strength),
            row.ratio.map_or(String::new(), |r| r.shown()),
            percent(row.reach),
            row.state.word().into(),
        ];
        out.push_str(&fields.join(","));
        out.push_str("\r\n");
    }
    out
}

/// A field in quotes where it needs them.
pub(in crate::bay) fn field(text: &str) -> String {
    match text.contains(['"', ',', '\n', '\r']) {
        true => format!("\"{}\"", text.replace('"', "\"\"")),
        false => text.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn awkward_names_are_quoted() {
        assert_eq!(field("lance"), "lance");
        assert_eq!(field("a,b"), "\"a,b\"");
        assert_eq!(field("6\" lance"), "\"6\"\" lance\"");
    }
}
