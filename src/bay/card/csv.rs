//! The card for a spreadsheet (RFC 4180).

use super::Row;
use crate::trade::fill_plan::InBand;
use crate::trade::units::{Strength, Volume, trim_number};

const COLUMNS: &str = "sprayer,chemical,strength_percent,fill_ml,dose_ml,pour_ml,water_ml,\
    poured_strength_percent,bottle_ratio,reach_percent,state,\
    band,set,set_up_strength_percent,set_up_pour_ml,order";

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
            band_word(row.in_band).into(),
            match &row.set {
                None => "",
                Some(set) if set.only_on.is_some() => "today",
                Some(_) => "until-changed",
            }
            .into(),
            percent(row.set.as_ref().and_then(|set| set.usual)),
            ml(row.set.as_ref().and_then(|set| Some(set.usual_pour?.0))),
            row.order.word().into(),
        ];
        out.push_str(&fields.join(","));
        out.push_str("\r\n");
    }
    out
}

/// Where a strength lies in a band, in one word; none where there is no band.
pub(in crate::bay) const fn band_word(in_band: InBand) -> &'static str {
    match in_band {
        InBand::NoBand => "",
        InBand::Inside => "inside",
        InBand::Below => "below",
        InBand::Above => "above",
    }
}

/// A text as a field: in quotes where it needs them, and never a formula.
///
/// People type these texts, and a spreadsheet works out what begins with one of the signs below, in
/// quotes or not. An apostrophe before the sign makes it a text. Where a program takes a semicolon or
/// a tab for the end of a field, the text goes on in a field of its own, which is looked after too.
pub(in crate::bay) fn field(text: &str) -> String {
    const FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
    let mut safe = String::with_capacity(text.len());
    let mut begins = true;
    for letter in text.chars() {
        if begins && FORMULA.contains(&letter) {
            safe.push('\'');
        }
        begins = match letter {
            ';' | '\t' | '\n' | '\r' => true,
            ' ' | '"' => begins,
            _ => false,
        };
        safe.push(letter);
    }
    match safe.contains(['"', ',', ';', '\t', '\n', '\r']) {
        true => format!("\"{}\"", safe.replace('"', "\"\"")),
        false => safe,
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
        assert_eq!(field("a;b"), "\"a;b\"");
        assert_eq!(field("a\r\nb"), "\"a\r\nb\"");
    }

    #[test]
    fn no_text_is_a_formula() {
        for (text, expected) in [
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-1", "'-1"),
            ("@SUM", "'@SUM"),
            ("＝1", "'＝1"),
            (" =1", " '=1"),
            ("\t=1", "\"\t'=1\""),
            // Where semicolons end a field, this begins one.
            ("left;=1+1", "\"left;'=1+1\""),
            ("left; \"=1", "\"left; \"\"'=1\""),
            ("two\n-lines", "\"two\n'-lines\""),
            // Within a text they are signs like others.
            ("pH+ clean-up", "pH+ clean-up"),
        ] {
            assert_eq!(field(text), expected, "{text:?}");
        }
    }
}
