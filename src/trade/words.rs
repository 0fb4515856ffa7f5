//! The closed vocabulary of what the wall can say, and how people say numbers.
//!
//! Every word here has one clip in a voice pack. A word outside the list cannot be spoken; it is
//! still shown.

/// Hands the whole vocabulary to the macro `$then`, in the order of `sounds/words.txt`.
macro_rules! vocabulary {
    ($then:ident) => {
        $then![
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
            "twenty",
            "thirty",
            "forty",
            "fifty",
            "sixty",
            "seventy",
            "eighty",
            "ninety",
            "hundred",
            "thousand",
            "point",
            "and",
            "millilitre",
            "millilitres",
            "litre",
            "litres",
            "percent",
            "part",
            "parts",
            "product",
            "water",
            "to",
            "the",
            "line",
            "of",
            "for",
            "in",
            "a",
            "full",
            "fill",
            "quarter",
            "half",
            "quarters",
            "lance",
            "drum",
            "injector",
            "sprayer",
            "left",
            "right",
            "front",
            "back",
            "top",
            "bottom",
            "bay",
            "truck",
            "bus",
            "wheel",
            "foam",
            "soap",
            "wax",
            "acid",
            "alkaline",
            "rinse",
            "degreaser",
            "shampoo",
            "neutral",
            "strong",
            "mild",
            "calibrate",
            "calibration",
            "again",
            "due",
            "overdue",
            "void",
            "not",
            "use",
            "do",
            "old",
            "figure",
            "nozzle",
            "washer",
            "supply",
            "changed",
            "no",
            "yet",
            "saved",
            "out",
            "reach",
            "strongest",
            "is",
            "start",
            "stop",
            "ready",
            "wash",
            "washes",
            "counted",
            "undone",
            "logged",
            "put",
            "off",
            "sound",
            "check",
            "strength",
            "measure",
            "then",
            "please",
            "now",
            "test",
            "loads",
            "draw",
            "fraction",
            "load",
            "hose",
            "gun",
            "red",
            "blue",
            "green",
            "yellow",
            "black",
            "white",
            "small",
            "large",
        ]
    };
}
pub(crate) use vocabulary;

macro_rules! list {
    ($($word:literal,)*) => { &[$($word),*] };
}

/// Every word that a voice pack must have a clip for.
pub const VOCABULARY: &[&str] = vocabulary!(list);

/// True when a voice pack has a clip for `word`.
pub fn known(word: &str) -> bool {
    entry(word).is_some()
}

/// The vocabulary's own copy of `word`, when it has it.
pub fn entry(word: &str) -> Option<&'static str> {
    VOCABULARY.iter().copied().find(|known| *known == word)
}

const UNITS: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// A whole number from 0 to 99,999 as it is said: "six hundred and ninety".
///
/// Returns `None` above 99,999, which no dose reaches.
pub fn whole(n: u32) -> Option<Vec<&'static str>> {
    if n > 99_999 {
        return None;
    }
    let mut out = Vec::new();
    let (thousands, rest) = (n / 1000, n % 1000);
    if thousands > 0 {
        below_thousand(thousands, false, &mut out);
        out.push("thousand");
        if rest == 0 {
            return Some(out);
        }
    }
    below_thousand(rest, thousands > 0, &mut out);
    Some(out)
}

/// `continued`: a thousand went before, so "and" joins a rest below one hundred.
fn below_thousand(n: u32, continued: bool, out: &mut Vec<&'static str>) {
    let (hundreds, rest) = (n / 100, n % 100);
    if hundreds > 0 {
        out.push(UNITS[hundreds as usize]);
        out.push("hundred");
        if rest == 0 {
            return;
        }
    }
    if hundreds > 0 || continued {
        out.push("and");
    }
    match rest {
        0..20 => out.push(UNITS[rest as usize]),
        _ => {
            out.push(TENS[(rest / 10) as usize]);
            if rest % 10 > 0 {
                out.push(UNITS[(rest % 10) as usize]);
            }
        }
    }
}

/// A number as it is written on the screen, such as "690" or "0.045": digits behind the point are
/// said one by one, however many there are.
///
/// `None` for anything but digits with at most one point between them, and above 99,999.
pub fn written(number: &str) -> Option<Vec<&'static str>> {
    let all_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let (before, behind) = match number.split_once('.') {
        Some((before, behind)) if all_digits(behind) => (before, behind),
        Some(_) => return None,
        None => (number, ""),
    };
    if !all_digits(before) {
        return None;
    }
    let mut out = whole(before.parse().ok()?)?;
    if !behind.is_empty() {
        out.push("point");
        out.extend(behind.bytes().map(|b| UNITS[usize::from(b - b'0')]));
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(words: Option<Vec<&str>>) -> String {
        words.expect("a number that can be said").join(" ")
    }

    #[test]
    fn whole_numbers_are_said_as_people_say_them() {
        for (n, text) in [
            (0, "zero"),
            (14, "fourteen"),
            (40, "forty"),
            (90, "ninety"),
            (100, "one hundred"),
            (101, "one hundred and one"),
            (690, "six hundred and ninety"),
            (1000, "one thousand"),
            (1001, "one thousand and one"),
            (1250, "one thousand two hundred and fifty"),
            (12_040, "twelve thousand and forty"),
            (99_999, "ninety nine thousand nine hundred and ninety nine"),
        ] {
            assert_eq!(said(whole(n)), text);
        }
        assert_eq!(whole(100_000), None);
    }

    #[test]
    fn written_numbers_are_said_digit_by_digit_behind_the_point() {
        for (number, text) in [
            ("690", "six hundred and ninety"),
            ("17.25", "seventeen point two five"),
            ("0.045", "zero point zero four five"),
            ("007", "seven"),
        ] {
            assert_eq!(said(written(number)), text);
        }
        for number in [
            "",
            "1.",
            ".5",
            "-1",
            "1e3",
            "1.2.3",
            "100000",
            "99999999999",
        ] {
            assert_eq!(written(number), None, "{number}");
        }
    }

    #[test]
    fn no_word_is_listed_twice() {
        for (i, word) in VOCABULARY.iter().enumerate() {
            assert!(!VOCABULARY[..i].contains(word), "{word} stands twice");
        }
    }

    #[test]
    fn every_number_word_is_in_the_vocabulary() {
        for n in 0..100_000 {
            for word in whole(n).expect("within range") {
                assert!(known(word), "{word} of {n} has no clip");
            }
        }
    }
}
