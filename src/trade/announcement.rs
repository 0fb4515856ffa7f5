//! What to say, never how: one place composes every announcement, with the text shown beside it.
//!
//! The text and the words are built together, phrase by phrase, so that nothing is said that is
//! not shown. Names of sprayers come from the bay: a word of a name that no voice has a clip for
//! is left out of the speech, kept in `unspoken`, and shown.

use super::dilution::{Dose, DrawFraction};
use super::fill_plan::Part;
use super::reminder::{Standing, VoidCause};
use super::sprayer::Sprayer;
use super::timed_check::Verdict;
use super::units::{Strength, Volume};
use super::words;

/// One thing to say. `text` is what the screen shows; `words` are what a voice speaks.
#[derive(Debug, Clone, PartialEq)]
pub struct Announcement {
    /// The same announcement as text, for the screen.
    pub text: String,
    /// The words to speak, each in [`words::VOCABULARY`], with short stops between phrases.
    pub speech: Vec<Phrase>,
    /// The volume to beep where the bay beeps instead of speaking, in ml.
    pub beeps: Option<Volume>,
    /// Words of a name that have no clip, so that the screen can say what was left out.
    pub unspoken: Vec<String>,
}

/// Words said without a stop.
pub type Phrase = Vec<&'static str>;

const fn part_words(part: Part) -> &'static [&'static str] {
    match part {
        Part::Full => &["full", "fill"],
        Part::ThreeQuarters => &["three", "quarters", "fill"],
        Part::Half => &["half", "fill"],
        Part::Quarter => &["quarter", "fill"],
    }
}

/// A fill to announce.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillToSay<'a> {
    /// Into which sprayer.
    pub sprayer: &'a Sprayer,
    /// What to pour, product as rounded to the measure: beeps tell just this.
    pub dose: Dose,
    /// What the poured dose puts on the vehicle, where that is to be checked.
    pub strength: Option<Strength>,
    /// How much of the container is made up.
    pub part: Part,
    /// How the calibration stands; [`Standing::Good`] where its reminder is put off.
    pub standing: Standing,
}

impl Announcement {
    /// What to pour: the sprayer, the product, the water, and what is wrong with the figure.
    ///
    /// A full container is topped up "to the line"; for a part of it the water is said.
    pub fn fill(fill: &FillToSay<'_>) -> Self {
        let mut say = Composer::named(fill.sprayer);
        if fill.part != Part::Full {
            say.phrase(", ");
            say.words(part_words(fill.part));
        }
        say.phrase(": ");
        say.volume(fill.dose.product);
        say.word("product");
        say.phrase(", ");
        // Half a ml is below what any jug of water shows.
        if fill.dose.water.as_ml() < 0.5 {
            say.words(&["no", "water"]);
        } else if fill.part == Part::Full {
            say.words(&["then", "water", "to", "the", "line"]);
        } else {
            say.word("then");
            say.volume(fill.dose.water.as_water());
            say.word("water");
        }
        if let Some(strength) = fill.strength {
            say.phrase(", ");
            say.words(&["check", "strength"]);
            say.strength(strength);
        }
        match fill.standing {
            Standing::Good | Standing::None => {}
            Standing::Due => {
                say.phrase(". ");
                say.words(&["calibration", "due"]);
            }
            Standing::Overdue => {
                say.phrase(". ");
                say.words(&["calibration", "overdue"]);
            }
            Standing::Void(cause) => say.void(cause),
        }
        Self {
            beeps: Some(fill.dose.product),
            ..say.done()
        }
    }

    /// The figure of this sprayer no longer applies.
    pub fn void(sprayer: &Sprayer, cause: VoidCause) -> Self {
        let mut say = Composer::named(sprayer);
        say.void(cause);
        say.phrase(", ");
        say.words(&["do", "not", "use"]);
        say.phrase(", ");
        say.words(&["calibrate", "again"]);
        say.done()
    }

    /// This sprayer was never calibrated, so there is no dose to say.
    pub fn uncalibrated(sprayer: &Sprayer) -> Self {
        let mut say = Composer::named(sprayer);
        say.phrase(": ");
        say.words(&["no", "calibration", "yet"]);
        say.phrase(", ");
        say.words(&["please", "calibrate"]);
        say.done()
    }

    /// No measure of the bay can show the dose.
    pub fn unmeasurable(sprayer: &Sprayer) -> Self {
        let mut say = Composer::named(sprayer);
        say.phrase(": ");
        say.words(&["no", "measure", "for", "the", "product"]);
        say.done()
    }

    /// The wanted strength is more than this sprayer can put on a vehicle.
    pub fn out_of_reach(sprayer: &Sprayer, strongest: Strength) -> Self {
        let mut say = Composer::named(sprayer);
        say.phrase(": ");
        say.words(&["out", "of", "reach"]);
        say.phrase(", ");
        say.words(&["strongest", "is"]);
        say.strength(strongest);
        say.done()
    }

    /// How a calibration stands, where that asks for something; `None` where it does not.
    pub fn reminder(sprayer: &Sprayer, standing: Standing) -> Option<Self> {
        let word = match standing {
            Standing::Good => return None,
            Standing::None => return Some(Self::uncalibrated(sprayer)),
            Standing::Void(cause) => return Some(Self::void(sprayer, cause)),
            Standing::Due => "due",
            Standing::Overdue => "overdue",
        };
        let mut say = Composer::named(sprayer);
        say.phrase(": ");
        say.words(&["calibration", word]);
        Some(say.done())
    }

    /// A wash was taken back.
    pub fn wash_undone() -> Self {
        Self::plain(&["wash", "undone"])
    }
    /// A fill was logged.
    pub fn fill_logged() -> Self {
        Self::plain(&["fill", "logged"])
    }
    /// A fill was taken back.
    pub fn fill_undone() -> Self {
        Self::plain(&["fill", "undone"])
    }

    /// A calibration was saved.
    pub fn calibrated(sprayer: &Sprayer, draw: DrawFraction) -> Self {
        let mut say = Composer::named(sprayer);
        say.phrase(": ");
        say.words(&["calibration", "saved"]);
        say.phrase(", ");
        say.words(&["draw", "fraction"]);
        say.number_before(&draw.shown(), "percent", " %");
        say.done()
    }

    /// What a timed check found.
    pub fn checked(sprayer: &Sprayer, verdict: Verdict) -> Self {
        let mut say = Composer::named(sprayer);
        say.phrase(": ");
        say.words(match verdict {
            Verdict::Fine => &["not", "changed"],
            Verdict::Watch => &["changed"],
            Verdict::Recalibrate => &["changed", "calibrate", "again"],
        });
        say.done()
    }

    /// A calibration was put off for so many washes.
    pub fn put_off(washes: u32) -> Self {
        let mut say = Composer::new();
        say.words(&["calibration", "put", "off"]);
        say.word("for");
        say.count(washes, "wash", "washes");
        say.done()
    }

    /// The catch so far, from so many jug loads.
    pub fn catch_total(total: Volume, loads: u32) -> Self {
        let mut say = Composer::new();
        say.volume(total);
        say.phrase(", ");
        say.word("in");
        say.count(loads, "load", "loads");
        say.done()
    }

    /// The catch as weighed.
    pub fn catch_weighed(total: Volume) -> Self {
        let mut say = Composer::new();
        say.volume(total);
        say.done()
    }

    /// Every word that is spoken, in order.
    pub fn words(&self) -> impl Iterator<Item = &'static str> {
        self.speech.iter().flatten().copied()
    }

    fn plain(words: &[&'static str]) -> Self {
        let mut say = Composer::new();
        say.words(words);
        say.done()
    }
}

/// Builds text and speech side by side.
struct Composer {
    text: String,
    /// The next word begins a sentence.
    sentence: bool,
    speech: Vec<Phrase>,
    unspoken: Vec<String>,
}

impl Composer {
    /// Begins without a name.
    const fn new() -> Self {
        Self {
            text: String::new(),
            sentence: true,
            speech: Vec::new(),
            unspoken: Vec::new(),
        }
    }

    /// Begins with the sprayer's name: shown as the bay writes it, spoken in the words there are.
    fn named(sprayer: &Sprayer) -> Self {
        let name = spoken_name(if sprayer.spoken.trim().is_empty() {
            &sprayer.name
        } else {
            &sprayer.spoken
        });
        Self {
            text: sprayer.name.trim().to_owned(),
            sentence: false,
            speech: vec![name.spoken],
            unspoken: name.unspoken,
        }
    }

    /// A stop: `between` in the text, a pause in the speech.
    fn phrase(&mut self, between: &str) {
        self.text.push_str(between);
        self.sentence = between.starts_with('.');
        self.speech.push(Phrase::new());
    }

    /// Words that are spoken only; their text was written already.
    fn spoken(&mut self, words: impl IntoIterator<Item = &'static str>) {
        if self.speech.is_empty() {
            self.speech.push(Phrase::new());
        }
        if let Some(phrase) = self.speech.last_mut() {
            phrase.extend(words);
        }
    }

    fn write(&mut self, text: &str) {
        if !(self.text.is_empty() || self.text.ends_with(' ')) {
            self.text.push(' ');
        }
        let mut letters = text.chars();
        match letters.next().filter(|_| self.sentence) {
            Some(first) => {
                self.text.extend(first.to_uppercase());
                self.text.push_str(letters.as_str());
            }
            None => self.text.push_str(text),
        }
        self.sentence = false;
    }

    fn word(&mut self, word: &'static str) {
        self.write(word);
        self.spoken([word]);
    }

    fn words(&mut self, words: &[&'static str]) {
        for word in words {
            self.word(word);
        }
    }

    /// A number as written, with what its unit is called and how it is written.
    fn number_before(&mut self, shown: &str, spoken_unit: &'static str, written_unit: &str) {
        self.write(shown);
        let number = shown.strip_suffix(written_unit).unwrap_or(shown);
        match words::written(number) {
            Some(words) => {
                self.spoken(words);
                self.spoken([spoken_unit]);
            }
            None => self.unspoken.push(shown.to_owned()),
        }
    }

    /// As the screen shows it.
    fn volume(&mut self, volume: Volume) {
        let (figure, unit) = volume.figure();
        let (one, more) = match unit {
            "L" => ("litre", "litres"),
            _ => ("millilitre", "millilitres"),
        };
        let word = if figure == "1" { one } else { more };
        self.number_before(&format!("{figure} {unit}"), word, &format!(" {unit}"));
    }

    fn strength(&mut self, strength: Strength) {
        self.number_before(&strength.shown(), "percent", " %");
    }

    fn count(&mut self, n: u32, one: &'static str, more: &'static str) {
        let unit = if n == 1 { one } else { more };
        self.number_before(&n.to_string(), unit, "");
        self.write(unit);
    }

    /// "nozzle changed: old figure void"
    fn void(&mut self, cause: VoidCause) {
        self.phrase(": ");
        self.words(&[cause.word(), "changed"]);
        self.phrase(", ");
        self.words(&["old", "figure", "void"]);
    }

    fn done(self) -> Announcement {
        let mut text = self.text;
        text.push('.');
        Announcement {
            text,
            speech: self.speech.into_iter().filter(|p| !p.is_empty()).collect(),
            beeps: None,
            unspoken: self.unspoken,
        }
    }
}

struct SpokenName {
    spoken: Phrase,
    unspoken: Vec<String>,
}

/// Splits a name into words that have a clip and words that have none. Digits are said as a number.
fn spoken_name(name: &str) -> SpokenName {
    let mut out = SpokenName {
        spoken: Phrase::new(),
        unspoken: Vec::new(),
    };
    for word in name.split(|c: char| !c.is_alphanumeric()) {
        // "Lance2" is said as "Lance 2".
        let mut rest = word;
        while let Some(first) = rest.chars().next() {
            let digits = first.is_ascii_digit();
            let end = rest
                .find(|c: char| c.is_ascii_digit() != digits)
                .unwrap_or(rest.len());
            let (token, after) = rest.split_at(end);
            rest = after;
            let lower = token.to_lowercase();
            let said = if digits {
                words::written(token)
            } else {
                words::entry(&lower).map(|word| vec![word])
            };
            match said {
                Some(words) => out.spoken.extend(words),
                None => out.unspoken.push(lower),
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::sprayer::Kind;

    fn sprayer(name: &str, spoken: &str) -> Sprayer {
        Sprayer {
            id: "s".into(),
            name: name.into(),
            spoken: spoken.into(),
            kind: Kind::FoamLance,
            holds: Volume::ml(975.0),
            nozzle: "n".into(),
            washer: "w".into(),
        }
    }

    fn percent(p: f64) -> Strength {
        Strength::percent(p).expect("a strength")
    }

    fn fill_of(product: f64, water: f64, part: Part, standing: Standing) -> Announcement {
        Announcement::fill(&FillToSay {
            sprayer: &sprayer("Lance 1", ""),
            dose: Dose {
                product: Volume::ml(product),
                water: Volume::ml(water),
            },
            strength: None,
            part,
            standing,
        })
    }

    fn said(announcement: &Announcement) -> String {
        let phrases: Vec<String> = announcement.speech.iter().map(|p| p.join(" ")).collect();
        phrases.join(" | ")
    }

    #[test]
    fn a_fill_says_the_dose_then_the_water() {
        let full = fill_of(690.0, 285.0, Part::Full, Standing::Good);
        assert_eq!(
            full.text,
            "Lance 1: 690 ml product, then water to the line."
        );
        assert_eq!(
            said(&full),
            "lance one | six hundred and ninety millilitres product | then water to the line"
        );
        assert_eq!(full.words().count(), 13);
        assert_eq!(full.beeps, Some(Volume::ml(690.0)));

        let half = fill_of(350.0, 137.5, Part::Half, Standing::Good);
        assert_eq!(
            half.text,
            "Lance 1, half fill: 350 ml product, then 138 ml water."
        );
        assert_eq!(
            said(&half),
            "lance one | half fill | three hundred and fifty millilitres product | \
             then one hundred and thirty eight millilitres water"
        );

        let neat = fill_of(975.0, 0.0, Part::Full, Standing::Good);
        assert_eq!(neat.text, "Lance 1: 975 ml product, no water.");
    }

    #[test]
    fn the_beeps_tell_the_dose_in_the_measures_steps() {
        for ml in [690.0, 975.0, 22.5] {
            let said = fill_of(ml, 285.0, Part::Full, Standing::Good);
            assert_eq!(
                said.beeps,
                Some(Volume::ml(ml)),
                "what is shown, not rounded again"
            );
        }
        assert_eq!(Announcement::wash_undone().beeps, None);
    }

    #[test]
    fn a_fill_nags_behind_the_dose() {
        for (standing, text, words) in [
            (Standing::Due, "Calibration due.", "calibration due"),
            (
                Standing::Overdue,
                "Calibration overdue.",
                "calibration overdue",
            ),
            (
                Standing::Void(VoidCause::Supply),
                "supply changed, old figure void.",
                "supply changed | old figure void",
            ),
        ] {
            let fill = fill_of(690.0, 285.0, Part::Full, standing);
            assert!(fill.text.ends_with(text), "{}", fill.text);
            assert!(said(&fill).ends_with(words), "{}", said(&fill));
        }
    }

    #[test]
    fn strengths_are_said_only_where_asked_for() {
        let announcement = Announcement::fill(&FillToSay {
            sprayer: &sprayer("Drum", ""),
            dose: Dose {
                product: Volume::ml(12.5),
                water: Volume::litres(17.25),
            },
            strength: Some(percent(0.045)),
            part: Part::ThreeQuarters,
            standing: Standing::Good,
        });
        assert_eq!(
            announcement.text,
            "Drum, three quarters fill: 12.5 ml product, then 17.3 L water, check strength 0.045 %."
        );
        assert_eq!(
            said(&announcement),
            "drum | three quarters fill | twelve point five millilitres product | \
             then seventeen point three litres water | check strength zero point zero four five percent"
        );
    }

    #[test]
    fn every_other_announcement() {
        let lance = sprayer("Lance 2", "left lance");
        let draw = DrawFraction::new(0.0564).expect("a draw fraction");
        for (announcement, text, words) in [
            (
                Announcement::void(&lance, VoidCause::Nozzle),
                "Lance 2: nozzle changed, old figure void, do not use, calibrate again.",
                "left lance | nozzle changed | old figure void | do not use | calibrate again",
            ),
            (
                Announcement::uncalibrated(&lance),
                "Lance 2: no calibration yet, please calibrate.",
                "left lance | no calibration yet | please calibrate",
            ),
            (
                Announcement::out_of_reach(&lance, percent(2.5)),
                "Lance 2: out of reach, strongest is 2.5 %.",
                "left lance | out of reach | strongest is two point five percent",
            ),
            (
                Announcement::calibrated(&lance, draw),
                "Lance 2: calibration saved, draw fraction 5.64 %.",
                "left lance | calibration saved | draw fraction five point six four percent",
            ),
            (
                Announcement::put_off(10),
                "Calibration put off for 10 washes.",
                "calibration put off for ten washes",
            ),
            (
                Announcement::put_off(1),
                "Calibration put off for 1 wash.",
                "calibration put off for one wash",
            ),
            (
                Announcement::catch_total(Volume::litres(17.3), 3),
                "17.3 L, in 3 loads.",
                "seventeen point three litres | in three loads",
            ),
            (
                Announcement::catch_total(Volume::ml(9_200.0), 1),
                "9.2 L, in 1 load.",
                "nine point two litres | in one load",
            ),
            (Announcement::wash_undone(), "Wash undone.", "wash undone"),
            (Announcement::fill_logged(), "Fill logged.", "fill logged"),
            (Announcement::fill_undone(), "Fill undone.", "fill undone"),
        ] {
            assert_eq!(announcement.text, text);
            assert_eq!(said(&announcement), words);
            assert!(announcement.words().all(words::known));
        }
    }

    #[test]
    fn litres_begin_where_the_screen_begins_them() {
        for (ml, text) in [
            (1.0, "1 ml"),
            (9.96, "9.96 ml"),
            (19.96, "20 ml"),
            (20.4, "20.4 ml"),
            (9_999.4, "9999 ml"),
            (9_999.6, "10 L"),
            (25_000.0, "25 L"),
        ] {
            let shown = Announcement::catch_total(Volume::ml(ml), 2);
            assert_eq!(shown.text, format!("{text}, in 2 loads."));
        }
        let one = Announcement::catch_total(Volume::ml(1.0), 1);
        assert_eq!(said(&one), "one millilitre | in one load");
    }

    #[test]
    fn names_are_spoken_in_the_words_there_are() {
        for (name, spoken, unspoken) in [
            ("Lance 2", "lance two", ""),
            ("LANCE-12", "lance twelve", ""),
            ("Lance2", "lance two", ""),
            ("Left drum (yard)", "left drum", "yard"),
            ("Zerstäuber 3", "three", "zerstäuber"),
            ("2000000", "", "2000000"),
        ] {
            let out = spoken_name(name);
            assert_eq!(out.spoken.join(" "), spoken, "{name}");
            assert_eq!(out.unspoken.join(" "), unspoken, "{name}");
        }
        // A name without any clip leaves the dose, and no empty phrase.
        let fill = Announcement::uncalibrated(&sprayer("Zerstäuber", ""));
        assert_eq!(said(&fill), "no calibration yet | please calibrate");
        assert_eq!(fill.unspoken, ["zerstäuber"]);
        assert!(fill.text.starts_with("Zerstäuber:"));
    }
}
