//! What to say, never how: one place composes every announcement, with the text shown beside it.
//!
//! An announcement is kept in items that know no language. A voice's [`Lexicon`] makes them the
//! words that are spoken and the text that is shown, side by side, so that nothing is said that is
//! not shown. Names of sprayers come from the bay: a word of a name that the voice has no sound for
//! is left out of the speech, kept in `unspoken`, and shown.

use super::chemical::{Chemical, Target};
use super::dilution::{Dose, DrawFraction};
use super::fill_plan::Part;
use super::phrases::Phrase;
use super::reminder::{Standing, VoidCause};
use super::speech::{Lexicon, Speech, words_of};
use super::sprayer::Sprayer;
use super::timed_check::Verdict;
use super::units::{BottleRatio, LineUnit, Strength, Volume};

/// One thing to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Announcement {
    items: Vec<Item>,
    /// What its volumes are told in.
    unit: LineUnit,
    /// What a bay that beeps instead of speaking hears.
    pub beeps: Beeps,
}

/// What a bay that beeps hears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signal {
    /// Look at the screen.
    Look,
    /// Done and kept.
    Done,
    /// Taken back.
    Undone,
    /// Something asks for a calibration.
    Due,
    /// It has asked for long.
    Overdue,
    /// There is no figure to go by.
    NoFigure,
}

/// An announcement without words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beeps {
    /// A dose, counted.
    Dose(Volume),
    /// A dose that something is wrong with: counted, and the signal of what behind it.
    DoseBut(Volume, Signal),
    /// A dose that cannot be counted, with which something is wrong: look, and the signal of what.
    LookBut(Signal),
    /// A signal.
    Signal(Signal),
    /// Nothing: a tone says it already.
    Nothing,
}

impl Beeps {
    /// A dose. Beeps tell the product alone: that the water goes in first stands on the screen.
    fn of(chemical: &Chemical, dose: Dose) -> Self {
        match chemical.is_water_first() && dose.water.as_ml() >= LEAST_WATER {
            true => Self::DoseBut(dose.product, Signal::Look),
            false => Self::Dose(dose.product),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
enum Item {
    /// A sprayer's name as it is shown, and as it is spoken.
    Name {
        shown: String,
        spoken: String,
    },
    /// The product's name, where the voice has all its words; else "product".
    Product(String),
    /// The product's name, whatever the voice has of it: shown all the same.
    NamedProduct(String),
    Phrase(Phrase),
    /// Written "1 + 10", spoken "one part and ten parts water".
    Ratio(BottleRatio),
    /// A number as it is written, with what is counted.
    Number(String, Counted),
    /// A volume as the screen shows it, in the unit of the announcement.
    Volume(Volume),
    /// The same, of water.
    Water(Volume),
    /// A stop: this in the text, a pause in the speech.
    Stop(&'static str),
}

/// What a number counts.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Counted {
    /// Nothing.
    Bare,
    /// Written as a sign, spoken as a word for one or for more.
    Unit(&'static str, Phrase, Phrase),
    /// Written and spoken as a word for one or for more.
    Things(Phrase, Phrase),
}

impl Counted {
    fn phrase(self, number: &str) -> Option<Phrase> {
        match self {
            Self::Bare => None,
            Self::Unit(_, one, more) | Self::Things(one, more) => {
                Some(if number == "1" { one } else { more })
            }
        }
    }
}

/// Less product than this, in ml, is none.
const LEAST_PRODUCT: f64 = 0.005;
/// Less water than this, in ml, is below what any jug of water shows.
const LEAST_WATER: f64 = 0.5;

/// A fill to announce.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillToSay<'a> {
    /// Into which sprayer.
    pub sprayer: &'a Sprayer,
    /// Of which chemical.
    pub chemical: &'a Chemical,
    /// What to pour, product as rounded to the measure: beeps tell just this.
    pub dose: Dose,
    /// What the poured dose puts on the vehicle, where that is to be checked.
    pub check: Option<Strength>,
    /// The same and the bottle's ratio, where somebody asked for them.
    pub asked: Option<(Strength, Option<BottleRatio>)>,
    /// How much of the container is made up.
    pub part: Part,
    /// How the calibration stands; [`Standing::Good`] where its reminder is put off.
    pub standing: Standing,
}

impl Announcement {
    /// What to pour: the sprayer, product and water in their order, and what is wrong with the figure.
    ///
    /// A full container is topped up "to the line"; for a part of it, and where it goes in first, the
    /// water is said.
    pub fn fill(fill: &FillToSay<'_>) -> Self {
        let mut say = Composer::named(fill.sprayer);
        match fill.part {
            // The water that is said tells it from a full container.
            Part::Full | Part::Ml(_) => {}
            Part::ThreeQuarters => say.stop_phrase(", ", Phrase::ThreeQuartersFill),
            Part::Half => say.stop_phrase(", ", Phrase::HalfFill),
            Part::Quarter => say.stop_phrase(", ", Phrase::QuarterFill),
        }
        say.stop(": ");
        say.pour(fill.chemical, fill.dose, fill.part == Part::Full);
        if let Some(strength) = fill.check {
            say.stop_phrase(", ", Phrase::CheckStrength);
            say.strength(strength);
        }
        if let Some((strength, ratio)) = fill.asked {
            if fill.check.is_none() {
                say.stop_phrase(", ", Phrase::Strength);
                say.strength(strength);
            }
            if let Some(ratio) = ratio {
                say.stop(", ");
                say.ratio(ratio);
            }
        }
        match fill.standing {
            Standing::Good | Standing::None => {}
            Standing::Due => say.stop_phrase(". ", Phrase::CalibrationDue),
            Standing::Overdue => say.stop_phrase(". ", Phrase::CalibrationOverdue),
            Standing::Void(cause) => say.void(cause),
        }
        let wrong = match (fill.standing, fill.check) {
            (Standing::Void(_), _) => Some(Signal::NoFigure),
            (Standing::Overdue, _) => Some(Signal::Overdue),
            (Standing::Due, _) => Some(Signal::Due),
            (Standing::Good | Standing::None, Some(_)) => Some(Signal::Look),
            (Standing::Good | Standing::None, None) => None,
        };
        say.done(match wrong {
            Some(signal) => Beeps::DoseBut(fill.dose.product, signal),
            None => Beeps::of(fill.chemical, fill.dose),
        })
    }

    /// What to add to a container that still holds some: product and water in their order.
    pub fn top_up(sprayer: &Sprayer, chemical: &Chemical, add: Dose) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(", ", Phrase::TopUp);
        say.stop(": ");
        say.pour(chemical, add, false);
        say.done(match add.product.as_ml() < LEAST_PRODUCT {
            true => Beeps::Signal(Signal::Look),
            false => Beeps::of(chemical, add),
        })
    }

    /// So much of what is in the container is too much: what to add is shown, once that was poured off.
    pub fn pour_off(sprayer: &Sprayer) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::DoNotUse);
        say.done(Beeps::Signal(Signal::Look))
    }

    /// What is in the container lands outside of the chemical's band: not to be sprayed. With what to
    /// add where that puts it right.
    pub fn do_not_use(
        sprayer: &Sprayer,
        chemical: &Chemical,
        lands: Strength,
        add: Option<Dose>,
    ) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::DoNotUse);
        say.stop_phrase(", ", Phrase::Strength);
        say.strength(lands);
        let poured =
            |add: &Dose| add.product.as_ml() >= LEAST_PRODUCT || add.water.as_ml() >= LEAST_WATER;
        if let Some(add) = add.filter(poured) {
            say.stop_phrase(". ", Phrase::TopUp);
            say.stop(": ");
            say.pour(chemical, add, false);
        }
        say.done(Beeps::Signal(Signal::NoFigure))
    }

    /// The figure of this sprayer no longer applies.
    pub fn void(sprayer: &Sprayer, cause: VoidCause) -> Self {
        let mut say = Composer::named(sprayer);
        say.void(cause);
        say.stop_phrase(", ", Phrase::DoNotUse);
        say.stop_phrase(", ", Phrase::CalibrateAgain);
        say.done(Beeps::Signal(Signal::NoFigure))
    }

    /// This sprayer was never calibrated, so there is no dose to say.
    pub fn uncalibrated(sprayer: &Sprayer) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::NoCalibrationYet);
        say.stop_phrase(", ", Phrase::PleaseCalibrate);
        say.done(Beeps::Signal(Signal::NoFigure))
    }

    /// No measure of the bay can show the dose.
    pub fn unmeasurable(sprayer: &Sprayer) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::NoMeasure);
        say.done(Beeps::Signal(Signal::NoFigure))
    }

    /// The wanted strength is more than this sprayer can put on a vehicle.
    pub fn out_of_reach(sprayer: &Sprayer, strongest: Strength) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::OutOfReach);
        say.stop_phrase(", ", Phrase::StrongestIs);
        say.strength(strongest);
        say.done(Beeps::Signal(Signal::NoFigure))
    }

    /// The same behind the chemical of the day and its strength, for the first fill of the day.
    pub fn after_the_days(self, chemical: &Chemical) -> Self {
        let mut say = Composer::default();
        say.phrase(Phrase::ChemicalOfTheDay);
        say.stop(": ");
        say.0.push(Item::NamedProduct(chemical.name.clone()));
        match chemical.target {
            Target::OnVehicle(strength) => {
                say.stop_phrase(", ", Phrase::Strength);
                say.strength(strength);
            }
            Target::Bottle(ratio) => {
                say.stop(", ");
                say.ratio(ratio);
            }
        }
        say.stop(". ");
        say.0.extend(self.items);
        Self {
            unit: self.unit,
            ..say.done(self.beeps)
        }
    }

    /// Another chemical is still in this sprayer; `never` where the two must never meet.
    pub fn rinse(sprayer: &Sprayer, never: bool) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::RinseFirst);
        if never {
            say.stop_phrase(", ", Phrase::NeverMix);
        }
        say.done(Beeps::Signal(Signal::NoFigure))
    }

    /// A sprayer was rinsed.
    pub fn rinsed(sprayer: &Sprayer) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", Phrase::Rinsed);
        say.done(Beeps::Signal(Signal::Done))
    }

    /// A rinse was taken back.
    pub fn rinse_undone() -> Self {
        Self::plain(Phrase::RinseUndone, Beeps::Signal(Signal::Undone))
    }

    /// How a calibration stands, where that asks for something; `None` where it does not.
    pub fn reminder(sprayer: &Sprayer, standing: Standing) -> Option<Self> {
        let (phrase, signal) = match standing {
            Standing::Good => return None,
            Standing::None => return Some(Self::uncalibrated(sprayer)),
            Standing::Void(cause) => return Some(Self::void(sprayer, cause)),
            Standing::Due => (Phrase::CalibrationDue, Signal::Due),
            Standing::Overdue => (Phrase::CalibrationOverdue, Signal::Overdue),
        };
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", phrase);
        Some(say.done(Beeps::Signal(signal)))
    }

    /// A wash was taken back.
    pub fn wash_undone() -> Self {
        Self::plain(Phrase::WashUndone, Beeps::Signal(Signal::Undone))
    }
    /// A fill was logged.
    pub fn fill_logged() -> Self {
        Self::plain(Phrase::FillLogged, Beeps::Signal(Signal::Done))
    }
    /// A fill was taken back.
    pub fn fill_undone() -> Self {
        Self::plain(Phrase::FillUndone, Beeps::Signal(Signal::Undone))
    }
    /// The start of a run, behind its tone.
    pub fn start() -> Self {
        Self::plain(Phrase::Start, Beeps::Nothing)
    }
    /// The end of a run, behind its tone.
    pub fn stop() -> Self {
        Self::plain(Phrase::Stop, Beeps::Nothing)
    }
    /// The loudspeaker was gone and is there again.
    pub fn sound_is_back() -> Self {
        Self::plain(Phrase::SoundIsBack, Beeps::Signal(Signal::Done))
    }
    /// To hear how loud it is, with a dose that beeps can tell.
    pub fn sound_test() -> Self {
        let mut say = Composer::default();
        say.phrase(Phrase::SoundTest);
        say.stop(": ");
        say.volume(TEST_DOSE);
        say.done(Beeps::Dose(TEST_DOSE))
    }

    /// A second of the countdown, behind its tone.
    pub fn countdown(left: u32) -> Self {
        let mut say = Composer::default();
        say.number(left.to_string(), Counted::Bare);
        say.done(Beeps::Nothing)
    }

    /// A calibration was saved.
    pub fn calibrated(sprayer: &Sprayer, draw: DrawFraction) -> Self {
        Self::now_draws(sprayer, Phrase::CalibrationSaved, draw)
    }

    /// An earlier calibration was brought back.
    pub fn brought_back(sprayer: &Sprayer, draw: DrawFraction) -> Self {
        Self::now_draws(sprayer, Phrase::CalibrationChanged, draw)
    }

    /// A calibration was taken back.
    pub fn calibration_undone() -> Self {
        Self::plain(Phrase::CalibrationUndone, Beeps::Signal(Signal::Undone))
    }

    fn now_draws(sprayer: &Sprayer, what: Phrase, draw: DrawFraction) -> Self {
        let mut say = Composer::named(sprayer);
        say.stop_phrase(": ", what);
        say.stop_phrase(", ", Phrase::DrawFraction);
        say.percent(&draw.shown());
        say.done(Beeps::Signal(Signal::Done))
    }

    /// What a timed check found.
    pub fn checked(sprayer: &Sprayer, verdict: Verdict) -> Self {
        let mut say = Composer::named(sprayer);
        let (phrase, signal) = match verdict {
            Verdict::Fine => (Phrase::NotChanged, Signal::Done),
            Verdict::Watch => (Phrase::Changed, Signal::Look),
            Verdict::Recalibrate => (Phrase::ChangedCalibrateAgain, Signal::Due),
        };
        say.stop_phrase(": ", phrase);
        say.done(Beeps::Signal(signal))
    }

    /// A calibration was put off for so many washes.
    pub fn put_off(washes: u32) -> Self {
        let mut say = Composer::default();
        say.phrase(Phrase::CalibrationPutOffFor);
        say.number(
            washes.to_string(),
            Counted::Things(Phrase::Wash, Phrase::Washes),
        );
        say.done(Beeps::Signal(Signal::Done))
    }

    /// The catch so far, from so many jug loads.
    pub fn catch_total(total: Volume, loads: u32) -> Self {
        let mut say = Composer::default();
        say.volume(total);
        say.stop_phrase(", ", Phrase::In);
        say.number(
            loads.to_string(),
            Counted::Things(Phrase::Load, Phrase::Loads),
        );
        say.done(Beeps::Signal(Signal::Look))
    }

    /// The catch as weighed.
    pub fn catch_weighed(total: Volume) -> Self {
        let mut say = Composer::default();
        say.volume(total);
        say.done(Beeps::Signal(Signal::Look))
    }

    fn plain(phrase: Phrase, beeps: Beeps) -> Self {
        let mut say = Composer::default();
        say.phrase(phrase);
        say.done(beeps)
    }

    /// The same in the unit of the measure that it is poured with. Beeps count millilitres, so of a
    /// dose in another unit they say only: look.
    pub fn in_unit(self, unit: LineUnit) -> Self {
        let beeps = match (unit, self.beeps) {
            (LineUnit::Metric, beeps) => beeps,
            (_, Beeps::Dose(_)) => Beeps::Signal(Signal::Look),
            (_, Beeps::DoseBut(_, signal)) => Beeps::LookBut(signal),
            (_, beeps) => beeps,
        };
        Self {
            unit,
            beeps,
            ..self
        }
    }

    /// The same with what lands, to be checked: the measure is coarse for what is poured.
    pub fn to_check(mut self, strength: Strength) -> Self {
        let mut say = Composer(std::mem::take(&mut self.items));
        say.stop_phrase(", ", Phrase::CheckStrength);
        say.strength(strength);
        let beeps = match self.beeps {
            Beeps::Dose(dose) => Beeps::DoseBut(dose, Signal::Look),
            beeps => beeps,
        };
        Self {
            items: say.0,
            beeps,
            ..self
        }
    }

    /// The text that is shown, in the words of that voice.
    pub fn text(&self, lexicon: &Lexicon) -> String {
        let mut out = Writer {
            text: String::new(),
            sentence: true,
        };
        for item in &self.items {
            match item {
                Item::Name { shown, .. } => out.write(shown),
                Item::Product(name) => out.write(match product_words(name, lexicon) {
                    Ok(_) => name,
                    Err(_) => lexicon.phrase(Phrase::Product),
                }),
                Item::NamedProduct(name) => out.write(name),
                Item::Phrase(phrase) => out.write(lexicon.phrase(*phrase)),
                Item::Volume(volume) => out.write(&self.unit.shown(*volume)),
                Item::Water(volume) => out.write(&self.unit.shown(self.unit.water(*volume))),
                Item::Number(number, counted) => {
                    out.write(number);
                    match (counted, counted.phrase(number)) {
                        (Counted::Unit(sign, ..), _) => out.write(sign),
                        (_, Some(phrase)) => out.write(lexicon.phrase(phrase)),
                        (_, None) => {}
                    }
                }
                Item::Ratio(ratio) => out.write(&ratio.shown()),
                Item::Stop(between) => {
                    out.text.push_str(between);
                    out.sentence = between.starts_with('.');
                }
            }
        }
        out.text.push('.');
        out.text
    }

    /// The words that are spoken, as that voice says them.
    pub fn speech(&self, lexicon: &Lexicon) -> Speech {
        let mut out = Speech {
            phrases: vec![Vec::new()],
            ..Speech::default()
        };
        for item in &self.items {
            match item {
                Item::Name { spoken, .. } => {
                    let (said, unspoken) = name_words(spoken, lexicon);
                    out.extend(said);
                    out.unspoken.extend(unspoken);
                }
                Item::Product(name) => match product_words(name, lexicon) {
                    Ok(said) => out.extend(said),
                    Err(_) => out.phrase(Phrase::Product, lexicon),
                },
                Item::NamedProduct(name) => match product_words(name, lexicon) {
                    Ok(said) => out.extend(said),
                    Err(unspoken) => out.unspoken.extend(unspoken),
                },
                Item::Phrase(phrase) => out.phrase(*phrase, lexicon),
                Item::Number(number, counted) => {
                    out.number(number, counted.phrase(number), lexicon);
                }
                Item::Volume(volume) => out.volume(self.unit, *volume, lexicon),
                Item::Water(volume) => out.volume(self.unit, self.unit.water(*volume), lexicon),
                Item::Ratio(ratio) => {
                    let shown = ratio.shown();
                    let water = shown.trim_start_matches("1 + ");
                    let parts = Counted::Things(Phrase::OnePart, Phrase::Parts);
                    out.number("1", parts.phrase("1"), lexicon);
                    out.phrase(Phrase::And, lexicon);
                    out.number(water, parts.phrase(water), lexicon);
                    out.phrase(Phrase::Water, lexicon);
                }
                Item::Stop(_) => out.phrases.push(Vec::new()),
            }
        }
        out.phrases.retain(|phrase| !phrase.is_empty());
        out
    }
}

/// A volume as it is written, and what it counts.
fn counted_volume(unit: LineUnit, volume: Volume) -> (String, Counted) {
    let (number, sign) = unit.figure(volume);
    let (one, more) = match (unit, sign) {
        (LineUnit::Metric, "L") => (Phrase::Litre, Phrase::Litres),
        (LineUnit::Metric, _) => (Phrase::Millilitre, Phrase::Millilitres),
        (LineUnit::UsFluidOunce | LineUnit::UkFluidOunce, _) => {
            (Phrase::FluidOunce, Phrase::FluidOunces)
        }
        (LineUnit::UsGallon | LineUnit::UkGallon, _) => (Phrase::Gallon, Phrase::Gallons),
    };
    (number, Counted::Unit(sign, one, more))
}

/// What a test of the sound says: a usual dose, in every place of the beeps.
const TEST_DOSE: Volume = Volume::ml(250.0);

impl Speech {
    fn extend(&mut self, words: impl IntoIterator<Item = String>) {
        if let Some(phrase) = self.phrases.last_mut() {
            phrase.extend(words);
        }
    }

    /// Words of the wall's own.
    fn own(&mut self, words: impl IntoIterator<Item = String>, lexicon: &Lexicon) {
        let words: Vec<String> = words.into_iter().collect();
        let missing = words.iter().filter(|word| !lexicon.knows(word)).cloned();
        self.missing.extend(missing);
        self.extend(words);
    }

    fn number(&mut self, number: &str, unit: Option<Phrase>, lexicon: &Lexicon) {
        // Nothing is counted in percent: it is "uno por ciento", not "un".
        let counted = unit.filter(|unit| *unit != Phrase::Percent);
        let noun = counted.map(|unit| lexicon.phrase(unit));
        match lexicon.numbers.say(number, noun) {
            Some(words) => {
                self.own(words.into_iter().map(str::to_owned), lexicon);
                if let Some(unit) = unit {
                    self.phrase(unit, lexicon);
                }
            }
            None => self.unspoken.push(number.to_owned()),
        }
    }

    fn volume(&mut self, unit: LineUnit, volume: Volume, lexicon: &Lexicon) {
        let (number, counted) = counted_volume(unit, volume);
        self.number(&number, counted.phrase(&number), lexicon);
    }

    fn phrase(&mut self, phrase: Phrase, lexicon: &Lexicon) {
        self.own(words_of(lexicon.phrase(phrase)), lexicon);
    }
}

/// Builds the text that is shown.
struct Writer {
    text: String,
    /// The next word begins a sentence.
    sentence: bool,
}

impl Writer {
    fn write(&mut self, text: &str) {
        if text.is_empty() {
            return;
        }
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
}

/// Puts the items together.
#[derive(Default)]
struct Composer(Vec<Item>);

impl Composer {
    /// Begins with the sprayer's name.
    fn named(sprayer: &Sprayer) -> Self {
        let spoken = match sprayer.spoken.trim() {
            "" => &sprayer.name,
            spoken => spoken,
        };
        Self(vec![Item::Name {
            shown: sprayer.name.trim().to_owned(),
            spoken: spoken.to_owned(),
        }])
    }

    fn stop(&mut self, between: &'static str) {
        self.0.push(Item::Stop(between));
    }

    fn phrase(&mut self, phrase: Phrase) {
        self.0.push(Item::Phrase(phrase));
    }

    fn stop_phrase(&mut self, between: &'static str, phrase: Phrase) {
        self.stop(between);
        self.phrase(phrase);
    }

    fn number(&mut self, number: String, counted: Counted) {
        self.0.push(Item::Number(number, counted));
    }

    /// As the screen shows it.
    fn volume(&mut self, volume: Volume) {
        self.0.push(Item::Volume(volume));
    }

    /// Product and water in the order in which they are poured; `to_the_line` where the water goes to
    /// the container's line, and need not be measured unless it comes first.
    fn pour(&mut self, chemical: &Chemical, dose: Dose, to_the_line: bool) {
        let has_product = dose.product.as_ml() >= LEAST_PRODUCT;
        let has_water = dose.water.as_ml() >= LEAST_WATER;
        if !has_product {
            return self.water(dose.water);
        }
        let water_first = has_water && chemical.is_water_first();
        if water_first {
            self.water(dose.water);
            self.phrase(Phrase::First);
            self.stop(", ");
            self.phrase(Phrase::Then);
        }
        self.volume(dose.product);
        self.0.push(Item::Product(chemical.name.clone()));
        if water_first {
            return;
        }
        self.stop(", ");
        if !has_water {
            self.phrase(Phrase::NoWater);
        } else if to_the_line {
            self.phrase(Phrase::ThenWaterToTheLine);
        } else {
            self.then_water(dose.water);
        }
    }

    fn then_water(&mut self, water: Volume) {
        self.phrase(Phrase::Then);
        self.water(water);
    }

    fn water(&mut self, water: Volume) {
        self.0.push(Item::Water(water));
        self.phrase(Phrase::Water);
    }

    fn percent(&mut self, shown: &str) {
        let number = shown.trim_end_matches('%').trim_end();
        self.number(
            number.to_owned(),
            Counted::Unit("%", Phrase::Percent, Phrase::Percent),
        );
    }

    fn strength(&mut self, strength: Strength) {
        self.percent(&strength.shown());
    }

    /// "one part and ten parts water"
    fn ratio(&mut self, ratio: BottleRatio) {
        self.0.push(Item::Ratio(ratio));
    }

    /// "nozzle changed: old figure void"
    fn void(&mut self, cause: VoidCause) {
        let changed = match cause {
            VoidCause::Nozzle => Phrase::NozzleChanged,
            VoidCause::Washer => Phrase::WasherChanged,
            VoidCause::Supply => Phrase::SupplyChanged,
            VoidCause::Dial => Phrase::DialChanged,
            VoidCause::Filter => Phrase::FilterChanged,
            VoidCause::Tube => Phrase::TubeChanged,
        };
        self.stop_phrase(": ", changed);
        self.stop_phrase(", ", Phrase::OldFigureVoid);
    }

    fn done(self, beeps: Beeps) -> Announcement {
        Announcement {
            items: self.0,
            unit: LineUnit::default(),
            beeps,
        }
    }
}

/// The words of a product's name, or those that the voice has no sounds for. Only as it stands, or as
/// the voice knows the whole name: word by word another language would not be what is on the drum.
pub fn product_words(name: &str, lexicon: &Lexicon) -> Result<Vec<String>, Vec<String>> {
    if let Some(whole) = lexicon.phrases.get(&name.to_lowercase())
        && words_of(whole).all(|word| lexicon.knows(&word))
    {
        return Ok(words_of(whole).collect());
    }
    match words_for_name(name, lexicon, false) {
        (said, unspoken) if unspoken.is_empty() => Ok(said),
        (_, unspoken) => Err(unspoken),
    }
}

/// The words of a name that the voice has sounds for, and those that it has none for. Digits are said
/// as a number.
fn name_words(name: &str, lexicon: &Lexicon) -> (Vec<String>, Vec<String>) {
    words_for_name(name, lexicon, true)
}

/// The same; `translated` where the voice's own word for each word of it is meant.
fn words_for_name(name: &str, lexicon: &Lexicon, translated: bool) -> (Vec<String>, Vec<String>) {
    let (mut spoken, mut unspoken) = (Vec::new(), Vec::new());
    for word in words_of(name) {
        // "Lance2" is said as "Lance 2".
        let mut rest = word.as_str();
        while let Some(first) = rest.chars().next() {
            let digits = first.is_ascii_digit();
            let end = rest
                .find(|c: char| c.is_ascii_digit() != digits)
                .unwrap_or(rest.len());
            let (token, after) = rest.split_at(end);
            rest = after;
            let words: Option<Vec<String>> = match digits {
                true => lexicon
                    .numbers
                    .say(token, None)
                    .map(|words| words.into_iter().map(str::to_owned).collect()),
                false if translated => Some(words_of(lexicon.said(token)).collect()),
                false => Some(vec![token.to_owned()]),
            };
            match words {
                Some(words) if words.iter().all(|word| lexicon.knows(word)) => {
                    spoken.extend(words);
                }
                _ => unspoken.push(token.to_owned()),
            }
        }
    }
    (spoken, unspoken)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::numbers::Numbers;
    use crate::trade::sprayer::Kind;

    fn sprayer(name: &str, spoken: &str) -> Sprayer {
        Sprayer {
            id: "s".into(),
            name: name.into(),
            dial: None,
            spoken: spoken.into(),
            kind: Kind::FoamLance,
            holds: Volume::ml(820.0),
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
            chemical: &chemical("Film remover"),
            check: None,
            asked: None,
            part,
            standing,
        })
    }

    /// A voice that knows the wall's own words in English, and those of the sprayers here.
    fn english() -> Lexicon {
        let mut words = Lexicon::english().needed();
        words.extend(["lance", "left", "drum"].map(str::to_owned));
        Lexicon {
            words: Some(words),
            ..Lexicon::default()
        }
    }

    fn said(announcement: &Announcement) -> String {
        said_by(announcement, &english())
    }

    fn said_by(announcement: &Announcement, lexicon: &Lexicon) -> String {
        let speech = announcement.speech(lexicon);
        assert!(speech.missing.is_empty(), "{:?}", speech.missing);
        let phrases: Vec<String> = speech.phrases.iter().map(|p| p.join(" ")).collect();
        phrases.join(" | ")
    }

    fn written(announcement: &Announcement) -> String {
        announcement.text(&english())
    }

    fn chemical(name: &str) -> Chemical {
        Chemical {
            id: "c".into(),
            name: name.into(),
            target: Target::OnVehicle(percent(4.0)),
            band: None,
            product_strength: Strength::NEAT,
            cautions: Vec::new(),
            hazards: Vec::new(),
            put_on: Vec::new(),
            nature: crate::trade::chemical::Nature::Other,
            order: None,
            never_with: Vec::new(),
            delivered_in: None,
            spray_per_vehicle: None,
            cost_per_litre: None,
        }
    }

    #[test]
    fn a_fill_says_the_dose_then_the_water() {
        let full = fill_of(590.0, 230.0, Part::Full, Standing::Good);
        assert_eq!(
            written(&full),
            "Lance 1: 590 ml product, then water to the line."
        );
        assert_eq!(
            said(&full),
            "lance one | five hundred and ninety millilitres product | then water to the line"
        );
        assert_eq!(full.speech(&english()).words().count(), 13);
        assert_eq!(full.beeps, Beeps::Dose(Volume::ml(590.0)));

        let half = fill_of(350.0, 137.5, Part::Half, Standing::Good);
        assert_eq!(
            written(&half),
            "Lance 1, half fill: 350 ml product, then 138 ml water."
        );
        assert_eq!(
            said(&half),
            "lance one | half fill | three hundred and fifty millilitres product | \
             then one hundred and thirty eight millilitres water"
        );

        let neat = fill_of(820.0, 0.0, Part::Full, Standing::Good);
        assert_eq!(written(&neat), "Lance 1: 820 ml product, no water.");
    }

    #[test]
    fn the_beeps_tell_the_dose_in_the_measures_steps() {
        for ml in [590.0, 820.0, 22.5] {
            let said = fill_of(ml, 230.0, Part::Full, Standing::Good);
            assert_eq!(
                said.beeps,
                Beeps::Dose(Volume::ml(ml)),
                "what is shown, not rounded again"
            );
        }
        assert_eq!(
            Announcement::wash_undone().beeps,
            Beeps::Signal(Signal::Undone)
        );
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
            let fill = fill_of(590.0, 230.0, Part::Full, standing);
            assert!(written(&fill).ends_with(text), "{}", written(&fill));
            assert!(said(&fill).ends_with(words), "{}", said(&fill));
        }
    }

    #[test]
    fn strengths_are_said_only_where_asked_for() {
        let announcement = Announcement::fill(&FillToSay {
            sprayer: &sprayer("Drum", ""),
            dose: Dose {
                product: Volume::ml(12.5),
                water: Volume::litres(14.65),
            },
            chemical: &chemical("Film remover"),
            check: Some(percent(0.045)),
            asked: None,
            part: Part::ThreeQuarters,
            standing: Standing::Good,
        });
        assert_eq!(
            written(&announcement),
            "Drum, three quarters fill: 12.5 ml product, then 14.7 L water, check strength 0.045 %."
        );
        assert_eq!(
            said(&announcement),
            "drum | three quarters fill | twelve point five millilitres product | \
             then fourteen point seven litres water | check strength zero point zero four five percent"
        );
    }

    #[test]
    fn an_acid_goes_into_the_water_unless_its_label_says_otherwise() {
        use crate::trade::chemical::{Nature, Order};
        let told = |nature, order, part, product, water| {
            let chemical = Chemical {
                nature,
                order,
                ..chemical("Rim acid")
            };
            let (lance, dose) = (
                sprayer("Lance 1", ""),
                Dose {
                    product: Volume::ml(product),
                    water: Volume::ml(water),
                },
            );
            let fill = Announcement::fill(&FillToSay {
                sprayer: &lance,
                dose,
                chemical: &chemical,
                check: None,
                asked: None,
                part,
                standing: Standing::Good,
            });
            let add = Announcement::top_up(&lance, &chemical, dose);
            let right = Announcement::do_not_use(&lance, &chemical, percent(9.0), Some(dose));
            (fill, add, right)
        };
        let water_first = "550 ml water first, then 130 ml product.";
        for (nature, order) in [
            (Nature::Acid, None),
            (Nature::Other, Some(Order::WaterFirst)),
        ] {
            for part in [Part::Full, Part::Half] {
                let (fill, add, right) = told(nature, order, part, 130.0, 550.0);
                for said in [&fill, &add, &right] {
                    let text = written(said);
                    assert!(text.ends_with(water_first), "{text}");
                }
                assert!(said(&fill).ends_with(
                    "five hundred and fifty millilitres water first | then one hundred and thirty \
                     millilitres product"
                ));
                let look = Beeps::DoseBut(Volume::ml(130.0), Signal::Look);
                assert_eq!((fill.beeps, add.beeps), (look, look));
            }
        }
        // Its own label wins, and so does every other chemical's habit.
        for (nature, order) in [
            (Nature::Acid, Some(Order::ProductFirst)),
            (Nature::Alkali, None),
        ] {
            let (fill, add, right) = told(nature, order, Part::Full, 130.0, 550.0);
            assert_eq!(
                written(&fill),
                "Lance 1: 130 ml product, then water to the line."
            );
            for said in [&add, &right] {
                let text = written(said);
                assert!(
                    text.ends_with("130 ml product, then 550 ml water."),
                    "{text}"
                );
            }
            assert_eq!(fill.beeps, Beeps::Dose(Volume::ml(130.0)));
        }
        // Without the one or the other there is no order.
        let (neat, ..) = told(Nature::Acid, None, Part::Full, 680.0, 0.0);
        assert_eq!(written(&neat), "Lance 1: 680 ml product, no water.");
        let (_, water, _) = told(Nature::Acid, None, Part::Full, 0.0, 200.0);
        assert_eq!(written(&water), "Lance 1, top up: 200 ml water.");
    }

    #[test]
    fn every_other_announcement() {
        let lance = sprayer("Lance 2", "left lance");
        let draw = DrawFraction::new(0.0558).expect("a draw fraction");
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
                "Lance 2: calibration saved, draw fraction 5.58 %.",
                "left lance | calibration saved | draw fraction five point five eight percent",
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
                Announcement::catch_total(Volume::litres(14.7), 3),
                "14.7 L, in 3 loads.",
                "fourteen point seven litres | in three loads",
            ),
            (
                Announcement::catch_total(Volume::ml(10_300.0), 1),
                "10.3 L, in 1 load.",
                "ten point three litres | in one load",
            ),
            (Announcement::wash_undone(), "Wash undone.", "wash undone"),
            (Announcement::fill_logged(), "Fill logged.", "fill logged"),
            (Announcement::fill_undone(), "Fill undone.", "fill undone"),
        ] {
            assert_eq!(written(&announcement), text);
            assert_eq!(said(&announcement), words);
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
            assert_eq!(written(&shown), format!("{text}, in 2 loads."));
        }
        let one = Announcement::catch_total(Volume::ml(1.0), 1);
        assert_eq!(said(&one), "one millilitre | in one load");
    }

    /// A voice in Spanish, as far as a fill needs it.
    fn spanish() -> Lexicon {
        let phrases = [
            ("product", "de producto"),
            ("then water to the line", "luego agua hasta la línea"),
            ("half fill", "medio llenado"),
            ("then", "luego"),
            ("water", "de agua"),
            ("strength", "concentración"),
            ("percent", "por ciento"),
            ("and", "y"),
            ("part", "parte"),
            ("parts", "partes"),
            ("millilitre", "mililitro"),
            ("millilitres", "mililitros"),
            ("lance", "lanza"),
        ];
        let phrases = phrases.map(|(english, said)| (english.to_owned(), said.to_owned()));
        let mut lexicon = Lexicon {
            numbers: Numbers::Spanish,
            phrases: phrases.into_iter().collect(),
            words: None,
        };
        let mut words = lexicon.needed();
        words.extend(["lanza", "izquierda"].map(str::to_owned));
        lexicon.words = Some(words);
        lexicon
    }

    fn in_full(name: &str, product: f64, water: f64, ratio: f64) -> Announcement {
        Announcement::fill(&FillToSay {
            sprayer: &sprayer(name, ""),
            chemical: &chemical("Film remover"),
            dose: Dose {
                product: Volume::ml(product),
                water: Volume::ml(water),
            },
            check: None,
            asked: Some((percent(4.0), BottleRatio::parts_water(ratio))),
            part: Part::Half,
            standing: Standing::Good,
        })
    }

    #[test]
    fn in_full_a_fill_has_its_strength_and_ratio() {
        let fill = in_full("Lance 1", 90.0, 900.0, 10.0);
        assert_eq!(
            written(&fill),
            "Lance 1, half fill: 90 ml product, then 900 ml water, strength 4 %, 1 + 10."
        );
        assert!(said(&fill).ends_with("strength four percent | one part and ten parts water"));
    }

    #[test]
    fn another_language_orders_and_counts_in_its_own_way() {
        let fill = in_full("Lanza 21", 21.0, 201.0, 21.0);
        assert_eq!(
            fill.text(&spanish()),
            "Lanza 21, medio llenado: 21 ml de producto, luego 201 ml de agua, \
             concentración 4 %, 1 + 21."
        );
        assert_eq!(
            said_by(&fill, &spanish()),
            "lanza veintiuno | medio llenado | veintiún mililitros de producto | \
             luego doscientos un mililitros de agua | concentración cuatro por ciento | \
             una parte y veintiuna partes de agua"
        );
        // A bay that names its sprayers in English is understood.
        let (said, unspoken) = name_words("Lance izquierda", &spanish());
        assert_eq!(
            (said.join(" "), unspoken.len()),
            ("lanza izquierda".into(), 0)
        );
    }

    #[test]
    fn a_product_is_named_where_the_voice_has_all_its_words() {
        let mut voice = english();
        let words = voice.words.as_mut().expect("words");
        words.insert("film".into());
        let fill = fill_of(590.0, 230.0, Part::Full, Standing::Good);
        assert!(said_by(&fill, &voice).contains("millilitres product |"));
        words_of("film remover").for_each(|word| {
            voice.words.as_mut().expect("words").insert(word);
        });
        assert!(said_by(&fill, &voice).contains("millilitres film remover |"));
        assert!(fill.text(&voice).contains("590 ml Film remover, then"));
    }

    #[test]
    fn a_word_of_the_walls_own_without_a_sound_is_reported() {
        let mut voice = english();
        voice.words.as_mut().expect("words").remove("ninety");
        let speech = fill_of(590.0, 230.0, Part::Full, Standing::Good).speech(&voice);
        assert_eq!(speech.missing, ["ninety"]);
        assert!(speech.unspoken.is_empty());
    }

    #[test]
    fn volumes_are_told_in_the_unit_of_the_measure() {
        let us = |ounces: f64| ounces * crate::trade::units::ML_PER_US_FL_OZ;
        let fill = fill_of(us(8.0), us(24.02), Part::Half, Standing::Good);
        let fill = fill.in_unit(LineUnit::UsFluidOunce);
        assert_eq!(
            said(&fill),
            "lance one | half fill | eight fluid ounces product | \
             then twenty four fluid ounces water"
        );
        assert!(written(&fill).contains("8 fl oz"), "{}", written(&fill));
        assert!(
            written(&fill).contains("24 fl oz water"),
            "{}",
            written(&fill)
        );
        // Beeps count millilitres.
        assert_eq!(fill.beeps, Beeps::Signal(Signal::Look));
        let day = fill.after_the_days(&chemical("Film remover"));
        assert!(said(&day).contains("eight fluid ounces"), "{}", said(&day));
        let due = fill_of(us(1.0), us(20.0), Part::Full, Standing::Due);
        let due = due.in_unit(LineUnit::UkFluidOunce);
        assert_eq!(due.beeps, Beeps::LookBut(Signal::Due));
        let gallon = fill_of(4546.09, 20_000.0, Part::Full, Standing::Good);
        let gallon = gallon.in_unit(LineUnit::UkGallon);
        assert!(said(&gallon).contains("one gallon"), "{}", said(&gallon));
        let metric = fill_of(590.0, 230.0, Part::Full, Standing::Good).in_unit(LineUnit::Metric);
        assert_eq!(metric.beeps, Beeps::Dose(Volume::ml(590.0)));
    }

    #[test]
    fn what_is_coarse_is_to_be_checked() {
        let top_up = Announcement::top_up(
            &sprayer("Lance 1", ""),
            &chemical("Film remover"),
            Dose {
                product: Volume::ml(70.0),
                water: Volume::ml(340.0),
            },
        );
        let checked = top_up.clone().to_check(percent(3.2));
        assert!(
            said(&checked).ends_with("| check strength three point two percent"),
            "{}",
            said(&checked)
        );
        let look = Beeps::DoseBut(Volume::ml(70.0), Signal::Look);
        assert_eq!(checked.beeps, look);
        let ounces = top_up
            .to_check(percent(3.2))
            .in_unit(LineUnit::UsFluidOunce);
        assert_eq!(ounces.beeps, Beeps::LookBut(Signal::Look));
    }

    #[test]
    fn what_a_run_needs_is_one_word() {
        for (announcement, words) in [
            (Announcement::countdown(5), "five"),
            (Announcement::start(), "start"),
            (Announcement::stop(), "stop"),
        ] {
            assert_eq!(said(&announcement), words);
            assert_eq!(announcement.beeps, Beeps::Nothing);
        }
        assert_eq!(
            said(&Announcement::top_up(
                &sprayer("Lance 1", ""),
                &chemical("Film remover"),
                Dose {
                    product: Volume::ml(120.0),
                    water: Volume::ml(340.0),
                }
            )),
            "lance one | top up | one hundred and twenty millilitres product | \
             then three hundred and forty millilitres water"
        );
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
            let out = name_words(name, &english());
            assert_eq!(out.0.join(" "), spoken, "{name}");
            assert_eq!(out.1.join(" "), unspoken, "{name}");
        }
        // A name without any clip leaves the dose, and no empty phrase.
        let fill = Announcement::uncalibrated(&sprayer("Zerstäuber", ""));
        assert_eq!(said(&fill), "no calibration yet | please calibrate");
        assert_eq!(fill.speech(&english()).unspoken, ["zerstäuber"]);
        assert!(written(&fill).starts_with("Zerstäuber:"));
    }
}
