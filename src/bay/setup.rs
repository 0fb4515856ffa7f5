//! The bay as its set-up file describes it, already checked.

use crate::trade::chemical::Chemical;
use crate::trade::language::Language;
use crate::trade::measure::Measure;
use crate::trade::reminder::Limits;
use crate::trade::sprayer::Sprayer;
use crate::trade::vehicle::VehicleClass;
use chrono::NaiveTime;
use std::path::PathBuf;

/// A touch panel that the screens are laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Profile {
    /// 7.0 inch, 800 × 480.
    Seven800,
    /// 7.0 inch, 1024 × 600.
    Seven1024,
    /// 10.1 inch, 1280 × 800.
    Ten1280,
}

impl Profile {
    /// All profiles, smallest first.
    pub const ALL: [Self; 3] = [Self::Seven800, Self::Seven1024, Self::Ten1280];

    /// The name in the set-up file and on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Seven800 => "7in-800x480",
            Self::Seven1024 => "7in-1024x600",
            Self::Ten1280 => "10in-1280x800",
        }
    }
    /// The profile with that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.name() == name)
    }
    /// Width and height in pixels.
    pub const fn pixels(self) -> (u32, u32) {
        match self {
            Self::Seven800 => (800, 480),
            Self::Seven1024 => (1024, 600),
            Self::Ten1280 => (1280, 800),
        }
    }
    /// The profile of a display of so many pixels.
    pub fn of_pixels(pixels: (u32, u32)) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.pixels() == pixels)
    }
    /// The diagonal of the panel in inches, as sold.
    pub const fn default_diagonal_inches(self) -> f64 {
        match self {
            Self::Seven800 | Self::Seven1024 => 7.0,
            Self::Ten1280 => 10.1,
        }
    }
}

/// The panel in front of the operator: its pixels and its true size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Which layout.
    pub profile: Profile,
    /// Diagonal in inches; from 5 to 24.
    pub diagonal_inches: f64,
}

impl Panel {
    /// The panel of a profile at its usual diagonal.
    pub const fn usual(profile: Profile) -> Self {
        Self {
            profile,
            diagonal_inches: profile.default_diagonal_inches(),
        }
    }
    /// Pixels per millimetre, taking pixels as square.
    pub fn pixels_per_mm(&self) -> f64 {
        self.per_mm_on(self.profile.pixels())
    }
    /// Pixels per millimetre on a display that has so many pixels. Where they are those of another
    /// profile it is taken to be that panel at its usual diagonal, else one of this diagonal.
    pub fn per_mm_on(&self, pixels: (u32, u32)) -> f64 {
        let other = Profile::of_pixels(pixels).filter(|profile| *profile != self.profile);
        let inches = other.map_or(self.diagonal_inches, Profile::default_diagonal_inches);
        f64::from(pixels.0).hypot(f64::from(pixels.1)) / (inches * 25.4)
    }
}

/// How the bay hears the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Voice {
    /// Words.
    Speech,
    /// Counted beeps for the dose.
    Beeps,
    /// Nothing.
    Off,
}

/// Hours of the day in which the wall must not be loud.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct QuietHours {
    /// They begin.
    pub from: NaiveTime,
    /// They end; before `from` where they go over midnight.
    pub to: NaiveTime,
    /// Loudness in them at the most, 0 to 100.
    pub volume_percent: u8,
}

impl QuietHours {
    /// True at that time of the day. Hours that end when they begin are no hours.
    pub fn hold(&self, at: NaiveTime) -> bool {
        let (from, to) = (self.from, self.to);
        Hours { from, to }.hold(at)
    }
}

/// Hours of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hours {
    /// They begin.
    pub from: NaiveTime,
    /// They end; before `from` where they go over midnight.
    pub to: NaiveTime,
}

impl Hours {
    /// True at that time of the day. Hours that end when they begin are no hours.
    pub fn hold(&self, at: NaiveTime) -> bool {
        match self.from <= self.to {
            true => self.from <= at && at < self.to,
            false => at >= self.from || at < self.to,
        }
    }
}

/// How the glass rests where nobody is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dimming {
    /// Minutes without a touch after which it is dimmed; 0 for never.
    pub after_minutes: u32,
    /// How bright it is then, percent of its full light as an eye sees it.
    pub percent: u8,
    /// The hours of the night, in which it goes dark instead.
    pub night: Option<Hours>,
}

impl Dimming {
    /// Minutes after which it is dimmed, where the set-up says nothing.
    pub const USUAL_MINUTES: u32 = 10;
    /// How bright it is then, where the set-up says nothing.
    pub const USUAL_PERCENT: u8 = 60;
}

impl Default for Dimming {
    fn default() -> Self {
        Self {
            after_minutes: Self::USUAL_MINUTES,
            percent: Self::USUAL_PERCENT,
            night: None,
        }
    }
}

/// The units in which volumes are typed at the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum EntryUnits {
    /// Millilitres and litres.
    #[default]
    Metric,
    /// US fluid ounces and US gallons.
    Us,
    /// Imperial fluid ounces and gallons.
    Uk,
}

impl EntryUnits {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Metric, Self::Us, Self::Uk];

    /// The word in the set-up file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Metric => "metric",
            Self::Us => "US",
            Self::Uk => "UK",
        }
    }
    /// The units for a word of the set-up file.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|u| u.word() == word)
    }
}

/// What must be found at once when somebody is hurt, in the bay's own words; each where it is told.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Emergency {
    /// Where the eye wash is.
    pub eye_wash: Option<String>,
    /// Where the safety data sheets are.
    pub data_sheets: Option<String>,
    /// Whom to call.
    pub telephone: Option<String>,
}

/// Days of stock left that are warned of, where the set-up says nothing.
pub const USUAL_STOCK_WARN_DAYS: u32 = 5;
/// Minutes without a touch after which the shift lead's side closes, where the set-up says nothing.
pub const USUAL_LEAD_MINUTES: u32 = 5;

/// Everything that `bay.toml` says, checked: every id is unique and every reference resolves.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The bay's name.
    pub name: String,
    /// True for a bay of invented sprayers and chemicals: every screen says so.
    pub demo: bool,
    /// The wall screen.
    pub panel: Panel,
    /// At least one, in the order of the file.
    pub sprayers: Vec<Sprayer>,
    /// At least one, in the order of the file.
    pub chemicals: Vec<Chemical>,
    /// The id of the day's chemical, one of `chemicals`.
    pub day_chemical: String,
    /// True where operators may choose another chemical for a fill.
    pub operators_may_change_chemical: bool,
    /// At least one, smallest graduation first.
    pub measures: Vec<Measure>,
    /// When to calibrate again.
    pub limits: Limits,
    /// Change of flow in a timed check that asks for a calibration: above 0, below 1.
    pub check_limit: f64,
    /// The smallest change that the bay's balance shows, kg, above 0; `None` where it has none.
    pub balance_step_kg: Option<f64>,
    /// How volumes are typed.
    pub entry_units: EntryUnits,
    /// How it speaks.
    pub voice: Voice,
    /// Loudness, 0 to 100, until somebody sets another at the wall.
    pub volume_percent: u8,
    /// Hours of the day in which it is not louder than that, where the bay has neighbours.
    pub quiet: Option<QuietHours>,
    /// The language of the screens and of the voice, until somebody sets another at the wall.
    pub language: Language,
    /// A voice of the bay's own: the folder that holds it.
    pub voice_folder: Option<PathBuf>,
    /// The bay's currency sign or code, shown behind costs; may be empty.
    pub currency: String,
    /// The classes of vehicle that the bay washes, in the order of the file; may be none.
    pub vehicles: Vec<VehicleClass>,
    /// A chemical that will last no more than so many days at the present rate is warned of.
    pub stock_warn_days: u32,
    /// The shift lead's side closes after so many minutes without a touch.
    pub lead_minutes: u32,
    /// How the glass rests.
    pub dimming: Dimming,
    /// What must be found at once when somebody is hurt.
    pub emergency: Emergency,
    /// While the first set-up at the screen is not done, the number of its step that is asked next,
    /// from 1: no fill is shown yet. `setting_up` in the file.
    pub unfinished: Option<u32>,
}

impl Setup {
    /// The sprayer with this id.
    pub fn sprayer(&self, id: &str) -> Option<&Sprayer> {
        self.sprayers.iter().find(|s| s.id == id)
    }
    /// The chemical with this id.
    pub fn chemical(&self, id: &str) -> Option<&Chemical> {
        self.chemicals.iter().find(|c| c.id == id)
    }
    /// An amount of money with the bay's currency behind it, where it has one: "0.51 EUR".
    pub fn money(&self, amount: f64) -> String {
        format!("{amount:.2} {}", self.currency)
            .trim_end()
            .to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quiet_hours_may_go_over_midnight() {
        let at = |h, m| NaiveTime::from_hms_opt(h, m, 0).expect("a time");
        let night = QuietHours {
            from: at(22, 0),
            to: at(6, 0),
            volume_percent: 20,
        };
        for (h, m, quiet) in [
            (21, 59, false),
            (22, 0, true),
            (0, 0, true),
            (5, 59, true),
            (6, 0, false),
            (12, 0, false),
        ] {
            assert_eq!(night.hold(at(h, m)), quiet, "{h}:{m:02}");
        }
        let noon = QuietHours {
            from: at(12, 0),
            to: at(13, 0),
            ..night
        };
        assert!(noon.hold(at(12, 30)) && !noon.hold(at(13, 0)) && !noon.hold(at(0, 0)));
        let none = QuietHours {
            from: at(12, 0),
            to: at(12, 0),
            ..night
        };
        assert!(!none.hold(at(12, 0)));
    }
}
