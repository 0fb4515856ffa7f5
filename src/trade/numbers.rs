//! How people say numbers, in the grammars that voices can ask for by name.

/// The largest whole number that is said; no dose reaches it.
const MOST: u32 = 99_999;

/// A way to say numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Numbers {
    /// "five hundred and ninety", "one point two five".
    #[default]
    English,
    /// "quinientos noventa", "uno punto dos cinco"; with the gender of what is counted.
    Spanish,
    /// Figure by figure, "6 9 0", "1 point 2 5": for a voice in any language. Its words for the
    /// figures are called "0" to "9".
    Digits,
}

impl Numbers {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::English, Self::Spanish, Self::Digits];

    /// The name in a voice's description.
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "english",
            Self::Spanish => "spanish",
            Self::Digits => "digits",
        }
    }
    /// The grammar of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|numbers| numbers.name() == name)
    }

    /// A number as it is written on the screen, such as "590" or "0.045", in words. Digits behind
    /// the point are said one by one, however many there are. `noun` is the word that follows and is
    /// counted, where there is one: in Spanish the number goes by it.
    ///
    /// `None` for anything but digits with at most one point between them, and above 99,999.
    pub fn say(self, number: &str, noun: Option<&str>) -> Option<Vec<&'static str>> {
        let all_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        let (before, behind) = match number.split_once('.') {
            Some((before, behind)) if all_digits(behind) => (before, behind),
            Some(_) => return None,
            None => (number, ""),
        };
        if !all_digits(before) {
            return None;
        }
        let whole: u32 = before.parse().ok().filter(|n| *n <= MOST)?;
        // What is counted in parts is not counted one by one: "uno punto dos litros".
        let noun = noun.filter(|_| behind.is_empty());
        let (mut out, point) = match self {
            Self::English => (english(whole), "point"),
            Self::Spanish => (spanish(whole, noun), "punto"),
            Self::Digits => (figures(&whole.to_string()), "point"),
        };
        if !behind.is_empty() {
            out.push(point);
            out.extend(behind.bytes().map(|b| match self {
                Self::English => ENGLISH_UNITS[usize::from(b - b'0')],
                Self::Spanish => SPANISH_UNITS[usize::from(b - b'0')],
                Self::Digits => FIGURES[usize::from(b - b'0')],
            }));
        }
        Some(out)
    }

    /// Every word that numbers are said with.
    pub fn words(self) -> Vec<&'static str> {
        let lists: &[&[&'static str]] = match self {
            Self::English => &[
                &ENGLISH_UNITS,
                &ENGLISH_TENS,
                &["hundred", "thousand", "and", "point"],
            ],
            Self::Spanish => &[
                &SPANISH_UNITS,
                &SPANISH_TENS,
                &SPANISH_HUNDREDS,
                &SPANISH_HUNDREDS_SHE,
                &[
                    "un",
                    "una",
                    "veintiún",
                    "veintiuna",
                    "y",
                    "cien",
                    "mil",
                    "punto",
                ],
            ],
            Self::Digits => &[&FIGURES, &["point"]],
        };
        let mut words: Vec<_> = lists.concat();
        words.retain(|word| !word.is_empty());
        words
    }
}

const FIGURES: [&str; 10] = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9"];

fn figures(digits: &str) -> Vec<&'static str> {
    digits
        .bytes()
        .map(|b| FIGURES[usize::from(b - b'0')])
        .collect()
}

const ENGLISH_UNITS: [&str; 20] = [
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
const ENGLISH_TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

fn english(n: u32) -> Vec<&'static str> {
    let mut out = Vec::new();
    let (thousands, rest) = (n / 1000, n % 1000);
    if thousands > 0 {
        english_below_thousand(thousands, false, &mut out);
        out.push("thousand");
        if rest == 0 {
            return out;
        }
    }
    english_below_thousand(rest, thousands > 0, &mut out);
    out
}

/// `continued`: a thousand went before, so "and" joins a rest below one hundred.
fn english_below_thousand(n: u32, continued: bool, out: &mut Vec<&'static str>) {
    let (hundreds, rest) = (n / 100, n % 100);
    if hundreds > 0 {
        out.push(ENGLISH_UNITS[hundreds as usize]);
        out.push("hundred");
        if rest == 0 {
            return;
        }
    }
    if hundreds > 0 || continued {
        out.push("and");
    }
    match rest {
        0..20 => out.push(ENGLISH_UNITS[rest as usize]),
        _ => {
            out.push(ENGLISH_TENS[(rest / 10) as usize]);
            if rest % 10 > 0 {
                out.push(ENGLISH_UNITS[(rest % 10) as usize]);
            }
        }
    }
}

const SPANISH_UNITS: [&str; 30] = [
    "cero",
    "uno",
    "dos",
    "tres",
    "cuatro",
    "cinco",
    "seis",
    "siete",
    "ocho",
    "nueve",
    "diez",
    "once",
    "doce",
    "trece",
    "catorce",
    "quince",
    "dieciséis",
    "diecisiete",
    "dieciocho",
    "diecinueve",
    "veinte",
    "veintiuno",
    "veintidós",
    "veintitrés",
    "veinticuatro",
    "veinticinco",
    "veintiséis",
    "veintisiete",
    "veintiocho",
    "veintinueve",
];
const SPANISH_TENS: [&str; 10] = [
    "",
    "",
    "",
    "treinta",
    "cuarenta",
    "cincuenta",
    "sesenta",
    "setenta",
    "ochenta",
    "noventa",
];
const SPANISH_HUNDREDS: [&str; 10] = [
    "",
    "ciento",
    "doscientos",
    "trescientos",
    "cuatrocientos",
    "quinientos",
    "seiscientos",
    "setecientos",
    "ochocientos",
    "novecientos",
];
const SPANISH_HUNDREDS_SHE: [&str; 10] = [
    "",
    "ciento",
    "doscientas",
    "trescientas",
    "cuatrocientas",
    "quinientas",
    "seiscientas",
    "setecientas",
    "ochocientas",
    "novecientas",
];
/// Feminine words that the wall counts; all others are masculine.
const SPANISH_SHE: [&str; 6] = ["parte", "partes", "carga", "cargas", "onza", "onzas"];

/// How a Spanish number ends in "one": counted by itself, or before a noun of either gender.
#[derive(Clone, Copy, PartialEq)]
enum Ending {
    Alone,
    He,
    She,
}

fn spanish(n: u32, noun: Option<&str>) -> Vec<&'static str> {
    let ending = match noun {
        None => Ending::Alone,
        // "onzas líquidas" goes by its first word.
        Some(noun)
            if noun
                .split(' ')
                .next()
                .is_some_and(|word| SPANISH_SHE.contains(&word)) =>
        {
            Ending::She
        }
        Some(_) => Ending::He,
    };
    let mut out = Vec::new();
    let (thousands, rest) = (n / 1000, n % 1000);
    match thousands {
        0 => {}
        1 => out.push("mil"),
        _ => {
            // "veintiún mil", whatever is counted.
            spanish_below_thousand(thousands, Ending::He, &mut out);
            out.push("mil");
        }
    }
    if rest > 0 || thousands == 0 {
        spanish_below_thousand(rest, ending, &mut out);
    }
    out
}

fn spanish_below_thousand(n: u32, ending: Ending, out: &mut Vec<&'static str>) {
    let (hundreds, rest) = (n / 100, n % 100);
    if n == 100 {
        out.push("cien");
        return;
    }
    if hundreds > 0 {
        let of = match ending {
            Ending::She => &SPANISH_HUNDREDS_SHE,
            Ending::Alone | Ending::He => &SPANISH_HUNDREDS,
        };
        out.push(of[hundreds as usize]);
        if rest == 0 {
            return;
        }
    }
    let one = match ending {
        Ending::Alone => "uno",
        Ending::He => "un",
        Ending::She => "una",
    };
    match (rest, ending) {
        (1, _) => out.push(one),
        (21, Ending::He) => out.push("veintiún"),
        (21, Ending::She) => out.push("veintiuna"),
        (0..30, _) => out.push(SPANISH_UNITS[rest as usize]),
        _ => {
            out.push(SPANISH_TENS[(rest / 10) as usize]);
            match rest % 10 {
                0 => {}
                1 => out.extend(["y", one]),
                unit => out.extend(["y", SPANISH_UNITS[unit as usize]]),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(numbers: Numbers, number: &str, noun: Option<&str>) -> String {
        numbers
            .say(number, noun)
            .expect("a number that can be said")
            .join(" ")
    }

    #[test]
    fn english_numbers_are_said_as_people_say_them() {
        for (number, text) in [
            ("0", "zero"),
            ("14", "fourteen"),
            ("40", "forty"),
            ("90", "ninety"),
            ("100", "one hundred"),
            ("101", "one hundred and one"),
            ("590", "five hundred and ninety"),
            ("1000", "one thousand"),
            ("1001", "one thousand and one"),
            ("1250", "one thousand two hundred and fifty"),
            ("12040", "twelve thousand and forty"),
            ("99999", "ninety nine thousand nine hundred and ninety nine"),
            ("1.25", "one point two five"),
            ("14.65", "fourteen point six five"),
            ("0.045", "zero point zero four five"),
            ("007", "seven"),
        ] {
            assert_eq!(said(Numbers::English, number, Some("litres")), text);
        }
    }

    /// Real Academia Española, Diccionario panhispánico de dudas, "cardinales" (from memory).
    #[test]
    fn spanish_numbers_are_said_as_people_say_them() {
        for (number, noun, text) in [
            ("0", None, "cero"),
            ("1", None, "uno"),
            ("1", Some("mililitro"), "un"),
            ("1", Some("carga"), "una"),
            ("16", Some("mililitros"), "dieciséis"),
            ("21", None, "veintiuno"),
            ("21", Some("mililitros"), "veintiún"),
            ("21", Some("cargas"), "veintiuna"),
            ("31", Some("mililitros"), "treinta y un"),
            ("31", Some("partes"), "treinta y una"),
            ("40", Some("mililitros"), "cuarenta"),
            ("99", None, "noventa y nueve"),
            ("100", Some("mililitros"), "cien"),
            ("101", Some("mililitros"), "ciento un"),
            ("200", Some("partes"), "doscientas"),
            ("500", Some("mililitros"), "quinientos"),
            ("590", Some("mililitros"), "quinientos noventa"),
            ("777", None, "setecientos setenta y siete"),
            ("1000", Some("mililitros"), "mil"),
            ("1001", None, "mil uno"),
            ("1250", Some("mililitros"), "mil doscientos cincuenta"),
            ("21000", Some("mililitros"), "veintiún mil"),
            ("21021", Some("cargas"), "veintiún mil veintiuna"),
            ("31501", None, "treinta y un mil quinientos uno"),
            (
                "99999",
                Some("mililitros"),
                "noventa y nueve mil novecientos noventa y nueve",
            ),
            ("1.25", Some("litros"), "uno punto dos cinco"),
            ("0.045", None, "cero punto cero cuatro cinco"),
        ] {
            assert_eq!(said(Numbers::Spanish, number, noun), text, "{number}");
        }
    }

    #[test]
    fn figures_are_said_one_by_one() {
        assert_eq!(said(Numbers::Digits, "590", None), "5 9 0");
        assert_eq!(said(Numbers::Digits, "1.25", None), "1 point 2 5");
    }

    #[test]
    fn what_is_no_number_is_not_said() {
        for number in [
            "",
            "1.",
            ".5",
            "-1",
            "1e3",
            "1.2.3",
            "100000",
            "99999999999",
            "１",
        ] {
            for numbers in Numbers::ALL {
                assert_eq!(numbers.say(number, None), None, "{number}");
            }
        }
    }

    #[test]
    fn numbers_are_said_in_their_own_words_and_no_two_alike() {
        for numbers in Numbers::ALL {
            let words = numbers.words();
            for (i, word) in words.iter().enumerate() {
                let again = words[..i].contains(word);
                // "ciento" is of both genders.
                assert!(!again || *word == "ciento", "{word} stands twice");
            }
            let mut all = std::collections::BTreeSet::new();
            for n in 0..=MOST {
                let said = numbers.say(&n.to_string(), None).expect("within range");
                assert!(said.iter().all(|word| words.contains(word)), "{n}");
                assert!(all.insert(said.join(" ")), "{n} is said as another");
            }
        }
    }

    #[test]
    fn grammars_are_found_by_name() {
        for numbers in Numbers::ALL {
            assert_eq!(Numbers::from_name(numbers.name()), Some(numbers));
        }
        assert_eq!(Numbers::from_name("roman"), None);
    }
}
