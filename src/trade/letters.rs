//! Which signs may stand in a name or a caution that people read.

/// The sign that hides itself or turns others around, where one is in a text: a control character
/// (Unicode's category Cc, C0 and C1), one of the bidirectional controls (UAX #9, table 2.2), or one that
/// takes no room: zero-width and soft signs, joiners, fillers, variation selectors and tags (Unicode's
/// property Default_Ignorable_Code_Point), the line and paragraph separators and the interlinear marks.
/// A product's name with one of them in it can read as another's.
pub fn hiding(text: &str) -> Option<char> {
    text.chars().find(|sign| hides(*sign))
}

/// True for such a sign.
pub fn hides(sign: char) -> bool {
    sign.is_control()
        || matches!(
            sign,
            '\u{ad}'
                | '\u{34f}'
                | '\u{61c}'
                | '\u{115f}'..='\u{1160}'
                | '\u{17b4}'..='\u{17b5}'
                | '\u{180b}'..='\u{180f}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{2800}'
                | '\u{3164}'
                | '\u{fe00}'..='\u{fe0f}'
                | '\u{feff}'
                | '\u{ffa0}'
                | '\u{fff0}'..='\u{fffb}'
                | '\u{1bca0}'..='\u{1bca3}'
                | '\u{1d173}'..='\u{1d17a}'
                | '\u{e0000}'..='\u{e0fff}'
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_hides_or_turns_letters_is_found_and_letters_are_not() {
        for sign in [
            '\0',
            '\n',
            '\u{1b}',
            '\u{7f}',
            '\u{85}',
            '\u{9b}',
            '\u{ad}',
            '\u{200b}',
            '\u{200d}',
            '\u{200e}',
            '\u{202a}',
            '\u{202e}',
            '\u{2066}',
            '\u{2069}',
            '\u{2060}',
            '\u{feff}',
            '\u{fe0f}',
            '\u{e0041}',
        ] {
            assert_eq!(hiding(&format!("Film{sign}off")), Some(sign), "{sign:?}");
        }
        for text in [
            "Film remover",
            "Eliminador de película: ¿pH 13?",
            "Würzmühle Nº 5 – 50 % ½",
            "Środek do mycia",
            "泡沫",
            "ПАВ",
            "",
        ] {
            assert_eq!(hiding(text), None, "{text}");
        }
    }
}
