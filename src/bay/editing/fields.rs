//! What of the set-up can be changed at the screen: kinds of things, and their fields.

use crate::bay::limits::{LONGEST_CAUTION, LONGEST_CURRENCY, LONGEST_NAME};
use crate::bay::setup::Setup;
use crate::bay::setup_change::Place;
use crate::text;
use crate::trade::text::Text;
use serde::{Deserialize, Serialize};

/// A kind of thing in the set-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The bay itself.
    Bay,
    /// What sprays.
    Sprayers,
    /// What is sprayed.
    Chemicals,
    /// What is poured with.
    Measures,
    /// Classes of vehicle.
    Vehicles,
    /// When it reminds, warns or closes.
    Limits,
    /// How the glass rests: on the page of the panel, not among the others.
    Glass,
}

/// One field of it. In the order in which a walk through them goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[allow(missing_docs)] // Each is the key of the set-up file that `Field::key` names.
pub enum Field {
    Language,
    Units,
    BayName,
    Currency,
    DayChemical,
    MayChange,
    BalanceStep,
    SprayerName,
    Spoken,
    SprayerKind,
    Holds,
    Nozzle,
    Washer,
    /// How its dial is set, or its metering tip.
    Dial,
    MeasureName,
    Size,
    Graduation,
    ChemicalName,
    Target,
    BandLeast,
    BandMost,
    ProductStrength,
    Nature,
    Hazards,
    Cautions,
    NeverWith,
    Order,
    Protection,
    Spray,
    Cost,
    DeliveredIn,
    VehicleName,
    Share,
    Washes,
    OverdueWashes,
    Days,
    PutOffWashes,
    PutOffTimes,
    Voice,
    Volume,
    QuietFrom,
    QuietTo,
    QuietVolume,
    CheckLimit,
    WarnDays,
    LeadMinutes,
    EyeWash,
    DataSheets,
    Telephone,
    DimMinutes,
    DimPercent,
    NightFrom,
    NightTo,
}

/// How a field is entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Editor {
    /// With the letters, so many at the most.
    Text(usize),
    /// On the number pad.
    Number(Figure),
    /// One of a few.
    One,
    /// Any of several.
    Many,
    /// Lines of text, each of so many letters at the most.
    Lines(usize),
}

/// What a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Figure {
    /// A volume, in the units of the bay.
    Volume,
    /// Percent, above 0.
    Percent,
    /// Percent on the vehicle, or N of the label's ratio 1 + N.
    Target,
    /// Percent of the full loudness, 0 to 100.
    Loudness,
    /// Percent of the full light.
    Brightness,
    /// Washes.
    Washes,
    /// Days.
    Days,
    /// How many times.
    Times,
    /// Minutes.
    Minutes,
    /// Money for a litre.
    Money,
    /// So many times the usual.
    Share,
    /// Grams.
    Grams,
    /// A time of the day.
    Clock,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Bay,
        Self::Sprayers,
        Self::Chemicals,
        Self::Measures,
        Self::Vehicles,
        Self::Limits,
        Self::Glass,
    ];

    /// Its name.
    pub fn label(self) -> Text {
        match self {
            Self::Bay => text!("Bay"),
            Self::Sprayers => text!("Sprayers"),
            Self::Chemicals => text!("Chemicals"),
            Self::Measures => text!("Measures"),
            Self::Vehicles => text!("Vehicles"),
            Self::Limits => text!("Limits"),
            Self::Glass => text!("Glass"),
        }
    }

    /// True where there may be several, each with an id.
    pub const fn has_items(self) -> bool {
        matches!(
            self,
            Self::Sprayers | Self::Chemicals | Self::Measures | Self::Vehicles
        )
    }

    /// True where it is among the things of the bay that are changed; the glass is the panel's.
    pub fn is_of_the_bay(self) -> bool {
        self != Self::Glass
    }

    /// The place of an item of it.
    pub fn place(self, id: &str) -> Option<Place> {
        match self {
            Self::Sprayers => Some(Place::Sprayer(id.into())),
            Self::Chemicals => Some(Place::Chemical(id.into())),
            Self::Measures => Some(Place::Measure(id.into())),
            Self::Vehicles => Some(Place::Vehicle(id.into())),
            Self::Bay | Self::Limits | Self::Glass => None,
        }
    }

    /// Id and name of all items of it, in order.
    pub fn items(self, setup: &Setup) -> Vec<(String, String)> {
        let pair = |id: &String, name: &String| (id.clone(), name.clone());
        match self {
            Self::Sprayers => setup
                .sprayers
                .iter()
                .map(|s| pair(&s.id, &s.name))
                .collect(),
            Self::Chemicals => setup
                .chemicals
                .iter()
                .map(|c| pair(&c.id, &c.name))
                .collect(),
            Self::Measures => setup
                .measures
                .iter()
                .map(|m| pair(&m.id, &m.name))
                .collect(),
            Self::Vehicles => setup
                .vehicles
                .iter()
                .map(|v| pair(&v.id, &v.name))
                .collect(),
            Self::Bay | Self::Limits | Self::Glass => Vec::new(),
        }
    }

    /// The fields of it that can be changed.
    pub const fn fields(self) -> &'static [Field] {
        use Field::*;
        match self {
            Self::Bay => &[
                BayName,
                DayChemical,
                MayChange,
                Units,
                Currency,
                BalanceStep,
                Voice,
                Volume,
                QuietFrom,
                QuietTo,
                QuietVolume,
                EyeWash,
                DataSheets,
                Telephone,
            ],
            Self::Sprayers => &[
                SprayerName,
                SprayerKind,
                Holds,
                Nozzle,
                Washer,
                Dial,
                Spoken,
            ],
            Self::Chemicals => &[
                ChemicalName,
                Target,
                BandLeast,
                BandMost,
                Hazards,
                Cautions,
                Nature,
                Order,
                Protection,
                NeverWith,
                Spray,
                Cost,
                DeliveredIn,
                ProductStrength,
            ],
            Self::Measures => &[MeasureName, Size, Graduation],
            Self::Vehicles => &[VehicleName, Share],
            Self::Limits => &[
                Washes,
                OverdueWashes,
                Days,
                PutOffWashes,
                PutOffTimes,
                CheckLimit,
                WarnDays,
                LeadMinutes,
            ],
            Self::Glass => &[DimMinutes, DimPercent, NightFrom, NightTo],
        }
    }

    /// What a new item is asked for, one after another.
    pub const fn asked_of_new(self) -> &'static [Field] {
        use Field::*;
        match self {
            Self::Sprayers => &[SprayerName, SprayerKind, Holds, Nozzle, Washer],
            Self::Chemicals => &[ChemicalName, Target, Nature, Hazards, Cautions],
            Self::Measures => &[MeasureName, Size, Graduation],
            Self::Vehicles => &[VehicleName, Share],
            Self::Bay | Self::Limits | Self::Glass => &[],
        }
    }
}

/// The kind of an item.
pub fn kind_of(item: &Place) -> Option<Kind> {
    match item {
        Place::Sprayer(_) => Some(Kind::Sprayers),
        Place::Chemical(_) => Some(Kind::Chemicals),
        Place::Measure(_) => Some(Kind::Measures),
        Place::Vehicle(_) => Some(Kind::Vehicles),
        Place::Bay | Place::Section(_) => None,
    }
}

impl Field {
    /// All of them.
    pub const ALL: [Self; 53] = {
        use Field::*;
        [
            Language,
            Units,
            BayName,
            Currency,
            DayChemical,
            MayChange,
            BalanceStep,
            SprayerName,
            Spoken,
            SprayerKind,
            Holds,
            Nozzle,
            Washer,
            Dial,
            MeasureName,
            Size,
            Graduation,
            ChemicalName,
            Target,
            BandLeast,
            BandMost,
            ProductStrength,
            Nature,
            Hazards,
            Cautions,
            NeverWith,
            Order,
            Protection,
            Spray,
            Cost,
            DeliveredIn,
            VehicleName,
            Share,
            Washes,
            OverdueWashes,
            Days,
            PutOffWashes,
            PutOffTimes,
            Voice,
            Volume,
            QuietFrom,
            QuietTo,
            QuietVolume,
            CheckLimit,
            WarnDays,
            LeadMinutes,
            EyeWash,
            DataSheets,
            Telephone,
            DimMinutes,
            DimPercent,
            NightFrom,
            NightTo,
        ]
    };

    /// A word of its own, to be picked by.
    pub fn id(self) -> String {
        format!("{self:?}")
    }
    /// The field with that word.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.id() == id)
    }

    /// Its key in the set-up file; of a target, the key for a strength on the vehicle.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Language => "language",
            Self::Units => "units",
            Self::BayName
            | Self::SprayerName
            | Self::MeasureName
            | Self::ChemicalName
            | Self::VehicleName => "name",
            Self::Currency => "currency",
            Self::DayChemical => "day_chemical",
            Self::MayChange => "operators_may_change_chemical",
            Self::BalanceStep => "step",
            Self::Spoken => "spoken",
            Self::SprayerKind => "kind",
            Self::Holds => "holds",
            Self::Nozzle => "nozzle",
            Self::Washer => "washer",
            Self::Dial => "dial",
            Self::Size => "size",
            Self::Graduation => "graduation",
            Self::Target => "on_vehicle",
            Self::BandLeast | Self::BandMost => "band",
            Self::ProductStrength => "product_strength",
            Self::Nature => "nature",
            Self::Hazards => "hazards",
            Self::Cautions => "cautions",
            Self::NeverWith => "never_with",
            Self::Order => "order",
            Self::Protection => "protection",
            Self::Spray => "spray_per_vehicle",
            Self::Cost => "cost_per_litre",
            Self::DeliveredIn => "delivered_in",
            Self::Share => "share",
            Self::Washes => "washes",
            Self::OverdueWashes => "overdue_washes",
            Self::Days => "days",
            Self::PutOffWashes => "put_off_washes",
            Self::PutOffTimes => "put_off_times",
            Self::Voice => "voice",
            Self::Volume => "volume_percent",
            Self::QuietFrom => "quiet_from",
            Self::QuietTo => "quiet_to",
            Self::QuietVolume => "quiet_volume_percent",
            Self::CheckLimit => "limit",
            Self::WarnDays => "warn_days",
            Self::LeadMinutes => "minutes",
            Self::EyeWash => "eye_wash",
            Self::DataSheets => "data_sheets",
            Self::Telephone => "telephone",
            Self::DimMinutes => "dim_minutes",
            Self::DimPercent => "dim_percent",
            Self::NightFrom => "night_from",
            Self::NightTo => "night_to",
        }
    }

    /// Where it stands: in the item, or in a part of the file of which there is one.
    pub fn place(self, item: Option<&Place>) -> Place {
        match self {
            Self::Language
            | Self::Units
            | Self::BayName
            | Self::Currency
            | Self::DayChemical
            | Self::MayChange => Place::Bay,
            Self::BalanceStep => Place::Section("balance"),
            Self::Washes
            | Self::OverdueWashes
            | Self::Days
            | Self::PutOffWashes
            | Self::PutOffTimes => Place::Section("reminder"),
            Self::Voice | Self::Volume | Self::QuietFrom | Self::QuietTo | Self::QuietVolume => {
                Place::Section("sound")
            }
            Self::CheckLimit => Place::Section("check"),
            Self::WarnDays => Place::Section("stock"),
            Self::LeadMinutes => Place::Section("lead"),
            Self::EyeWash | Self::DataSheets | Self::Telephone => Place::Section("emergency"),
            Self::DimMinutes | Self::DimPercent | Self::NightFrom | Self::NightTo => {
                Place::Section("glass")
            }
            _ => item.cloned().unwrap_or(Place::Bay),
        }
    }

    /// Its name.
    pub fn label(self) -> Text {
        match self {
            Self::Language => text!("Language"),
            Self::Units => text!("Units"),
            Self::BayName
            | Self::SprayerName
            | Self::MeasureName
            | Self::ChemicalName
            | Self::VehicleName => text!("Name"),
            Self::Currency => text!("Currency"),
            Self::DayChemical => text!("The day's chemical"),
            Self::MayChange => text!("Operators may change it"),
            Self::BalanceStep => text!("Balance, its step"),
            Self::Spoken => text!("Spoken name"),
            Self::SprayerKind => text!("Kind"),
            Self::Holds => text!("Holds"),
            Self::Nozzle => text!("Nozzle"),
            Self::Washer => text!("Washer"),
            Self::Dial => text!("Dial"),
            Self::Size => text!("Size"),
            Self::Graduation => text!("From line to line"),
            Self::Target => text!("Strength"),
            Self::BandLeast => text!("Weakest allowed"),
            Self::BandMost => text!("Strongest allowed"),
            Self::ProductStrength => text!("As delivered"),
            Self::Nature => text!("What it is"),
            Self::Hazards => text!("Hazards"),
            Self::Cautions => text!("Cautions"),
            Self::NeverWith => text!("Never with"),
            Self::Order => text!("Order of pouring"),
            Self::Protection => text!("Protection"),
            Self::Spray => text!("Spray a vehicle"),
            Self::Cost => text!("Cost a litre"),
            Self::DeliveredIn => text!("Delivered in"),
            Self::Share => text!("Spray it takes"),
            Self::Washes => text!("Due after"),
            Self::OverdueWashes => text!("Overdue after"),
            Self::Days => text!("Due after days"),
            Self::PutOffWashes => text!("Put off for"),
            Self::PutOffTimes => text!("Put off how often"),
            Self::Voice => text!("Voice"),
            Self::Volume => text!("Loudness"),
            Self::QuietFrom => text!("Quiet from"),
            Self::QuietTo => text!("Quiet until"),
            Self::QuietVolume => text!("Loudness then"),
            Self::CheckLimit => text!("Timed check: limit"),
            Self::WarnDays => text!("Stock: warn before"),
            Self::LeadMinutes => text!("Shift lead: closes after"),
            Self::EyeWash => text!("Eye wash"),
            Self::DataSheets => text!("Data sheets"),
            Self::Telephone => text!("Telephone"),
            Self::DimMinutes => text!("Dims after"),
            Self::DimPercent => text!("Dimmed to"),
            Self::NightFrom => text!("Dark from"),
            Self::NightTo => text!("Dark until"),
        }
    }

    /// What is asked, for who has to answer it.
    pub fn question(self) -> Text {
        match self {
            Self::Language => text!("Which language is shown and spoken?"),
            Self::Units => text!("In which units are volumes typed?"),
            Self::BayName => text!("What is this wash bay called?"),
            Self::SprayerName => text!("What is the sprayer called?"),
            Self::SprayerKind => text!("What kind of sprayer is it?"),
            Self::Holds => text!("What it holds to the line, tube in."),
            Self::Nozzle => text!("What stands on its nozzle?"),
            Self::Washer => text!("Which pressure washer feeds it?"),
            Self::Dial => text!("How is its dial set, or which metering tip has it?"),
            Self::MeasureName => text!("What is the measure called?"),
            Self::Size => text!("What the jug or cylinder that you pour with takes."),
            Self::Graduation => text!("How much it is from one of its lines to the next."),
            Self::ChemicalName => text!("What is the chemical called?"),
            Self::Target => text!("Strength on vehicle, or label ratio."),
            Self::BandLeast => text!("The weakest that still cleans."),
            Self::BandMost => text!("The strongest that harms nothing."),
            Self::ProductStrength => {
                text!("How much of it is concentrate, where it comes diluted.")
            }
            Self::Nature => text!("What is it, by its label?"),
            Self::Hazards => text!("Which of these are on its label?"),
            Self::Cautions => text!("What its label warns of, a line for each."),
            Self::NeverWith => text!("What must never meet it?"),
            Self::Order => text!("Which goes in first, by its label?"),
            Self::Protection => text!("What does its label ask to put on?"),
            Self::Spray => text!("The spray that one vehicle takes."),
            Self::Cost => text!("What one litre of it costs."),
            Self::DeliveredIn => text!("What one container holds as it comes."),
            Self::VehicleName => text!("What is this class of vehicle called?"),
            Self::Share => text!("How many times the usual spray one takes: 1 is as much."),
            Self::Washes => text!("After how many washes a calibration is due."),
            Self::OverdueWashes => text!("After how many washes it is overdue."),
            Self::Days => text!("After how many days it is due as well."),
            Self::PutOffWashes => text!("For how many washes it may be put off."),
            Self::PutOffTimes => text!("How many times it may be put off."),
            Self::Voice => text!("Changes once the wall is left alone a while."),
            Self::Volume => text!("How loud it is, 0 to 100 %."),
            Self::QuietFrom => text!("When the quiet hours begin: hours and minutes."),
            Self::QuietTo => text!("When the quiet hours end: hours and minutes."),
            Self::QuietVolume => text!("How loud it is in the quiet hours, at the most."),
            Self::CheckLimit => text!("A change of flow by so much asks for a calibration."),
            Self::WarnDays => text!("Warns when stock lasts no longer than this."),
            Self::LeadMinutes => text!("After so long without a touch."),
            Self::EyeWash => text!("Where is the eye wash?"),
            Self::DataSheets => text!("Where are the data sheets?"),
            Self::Telephone => text!("Whom to call, and the number?"),
            Self::DimMinutes => text!("After so long without a touch. 0 is never."),
            Self::DimPercent => text!("How bright it is then, in percent."),
            Self::NightFrom => text!("When the night begins: hours and minutes."),
            Self::NightTo => text!("When the night ends: hours and minutes."),
            Self::BalanceStep => text!("The smallest step that the balance shows."),
            _ => Text::default(),
        }
    }

    /// How it is entered.
    pub const fn editor(self) -> Editor {
        match self {
            Self::BayName
            | Self::SprayerName
            | Self::MeasureName
            | Self::ChemicalName
            | Self::VehicleName
            | Self::Spoken
            | Self::Nozzle
            | Self::Washer
            | Self::Dial => Editor::Text(LONGEST_NAME),
            Self::EyeWash | Self::DataSheets | Self::Telephone => Editor::Text(LONGEST_NAME),
            Self::Currency => Editor::Text(LONGEST_CURRENCY),
            Self::Language
            | Self::Units
            | Self::DayChemical
            | Self::MayChange
            | Self::SprayerKind
            | Self::Nature
            | Self::Order
            | Self::Voice => Editor::One,
            Self::Hazards | Self::NeverWith | Self::Protection => Editor::Many,
            Self::Cautions => Editor::Lines(LONGEST_CAUTION),
            Self::Holds | Self::Size | Self::Graduation | Self::Spray | Self::DeliveredIn => {
                Editor::Number(Figure::Volume)
            }
            Self::Target => Editor::Number(Figure::Target),
            Self::BandLeast | Self::BandMost | Self::ProductStrength | Self::CheckLimit => {
                Editor::Number(Figure::Percent)
            }
            Self::Volume | Self::QuietVolume => Editor::Number(Figure::Loudness),
            Self::DimPercent => Editor::Number(Figure::Brightness),
            Self::Washes | Self::OverdueWashes | Self::PutOffWashes => {
                Editor::Number(Figure::Washes)
            }
            Self::Days | Self::WarnDays => Editor::Number(Figure::Days),
            Self::PutOffTimes => Editor::Number(Figure::Times),
            Self::LeadMinutes | Self::DimMinutes => Editor::Number(Figure::Minutes),
            Self::Cost => Editor::Number(Figure::Money),
            Self::Share => Editor::Number(Figure::Share),
            Self::BalanceStep => Editor::Number(Figure::Grams),
            Self::QuietFrom | Self::QuietTo | Self::NightFrom | Self::NightTo => {
                Editor::Number(Figure::Clock)
            }
        }
    }

    /// True where the bay can do without.
    pub const fn may_be_left_out(self) -> bool {
        matches!(
            self,
            Self::Currency
                | Self::BalanceStep
                | Self::Spoken
                | Self::Dial
                | Self::Nozzle
                | Self::Washer
                | Self::BandLeast
                | Self::BandMost
                | Self::ProductStrength
                | Self::Spray
                | Self::Cost
                | Self::DeliveredIn
                | Self::OverdueWashes
                | Self::Days
                | Self::QuietFrom
                | Self::QuietTo
                | Self::QuietVolume
                | Self::EyeWash
                | Self::DataSheets
                | Self::Telephone
                | Self::NightFrom
                | Self::NightTo
        )
    }

    /// The same at the first set-up: the strongest is asked only where a weakest was told.
    pub const fn may_be_missing_at_first(self) -> bool {
        self.may_be_left_out() && !matches!(self, Self::BandMost)
    }

    /// The names of this field that the bay knows already, to be picked instead of typed.
    pub fn known(self, setup: &Setup) -> Vec<String> {
        let all: Vec<&String> = match self {
            Self::Nozzle => setup.sprayers.iter().map(|s| &s.nozzle).collect(),
            Self::Washer => setup.sprayers.iter().map(|s| &s.washer).collect(),
            Self::Dial => setup.sprayers.iter().flat_map(|s| &s.dial).collect(),
            _ => Vec::new(),
        };
        let mut known: Vec<String> = Vec::new();
        for name in all {
            if !name.is_empty() && !known.contains(name) {
                known.push(name.clone());
            }
        }
        known
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_field_can_be_reached_and_has_its_word() {
        let ids: BTreeSet<String> = Field::ALL.into_iter().map(Field::id).collect();
        assert_eq!(ids.len(), Field::ALL.len());
        for field in Field::ALL {
            assert_eq!(Field::from_id(&field.id()), Some(field));
            let kinds = Kind::ALL.into_iter();
            let of = kinds.filter(|kind| kind.fields().contains(&field)).count();
            // The language is asked for at the first set-up; later it is chosen under Sound.
            assert_eq!(of, usize::from(field != Field::Language), "{field:?}");
        }
        for kind in Kind::ALL {
            for asked in kind.asked_of_new() {
                assert!(kind.fields().contains(asked), "{asked:?}");
                assert!(!asked.question().is_empty(), "{asked:?}");
            }
            assert_eq!(kind.has_items(), kind.place("x").is_some());
            assert_eq!(
                kind.place("x").as_ref().and_then(kind_of),
                kind.has_items().then_some(kind)
            );
        }
    }
}
