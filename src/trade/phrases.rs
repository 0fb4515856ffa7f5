//! The fixed phrases that announcements are put together from.

macro_rules! phrases {
    ($($name:ident $english:literal,)*) => {
        /// A fixed phrase of an announcement. What a voice says for it stands in the voice; in
        /// English it is the phrase itself.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Phrase {
            $(#[doc = concat!("\"", $english, "\".")] $name,)*
        }

        impl Phrase {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The phrase in English, in lower case.
            pub const fn english(self) -> &'static str {
                match self {
                    $(Self::$name => $english,)*
                }
            }
        }
    };
}

phrases! {
    QuarterFill "quarter fill",
    HalfFill "half fill",
    ThreeQuartersFill "three quarters fill",
    TopUp "top up",
    Product "product",
    Then "then",
    Water "water",
    First "first",
    NoWater "no water",
    ThenWaterToTheLine "then water to the line",
    CheckStrength "check strength",
    Strength "strength",
    And "and",
    NoMeasure "no measure for the product",
    OutOfReach "out of reach",
    StrongestIs "strongest is",
    CalibrationDue "calibration due",
    CalibrationOverdue "calibration overdue",
    CalibrationPutOffFor "calibration put off for",
    CalibrationSaved "calibration saved",
    CalibrationUndone "calibration undone",
    CalibrationChanged "calibration changed",
    DrawFraction "draw fraction",
    NoCalibrationYet "no calibration yet",
    PleaseCalibrate "please calibrate",
    CalibrateAgain "calibrate again",
    NozzleChanged "nozzle changed",
    WasherChanged "washer changed",
    SupplyChanged "supply changed",
    DialChanged "dial changed",
    FilterChanged "filter changed",
    TubeChanged "tube changed",
    OldFigureVoid "old figure void",
    DoNotUse "do not use",
    NotChanged "not changed",
    Changed "changed",
    ChangedCalibrateAgain "changed calibrate again",
    WashUndone "wash undone",
    FillLogged "fill logged",
    FillUndone "fill undone",
    In "in",
    Start "start",
    Stop "stop",
    SoundTest "sound test",
    SoundIsBack "sound is back",
    Millilitre "millilitre",
    Millilitres "millilitres",
    Litre "litre",
    Litres "litres",
    FluidOunce "fluid ounce",
    FluidOunces "fluid ounces",
    Gallon "gallon",
    Gallons "gallons",
    Percent "percent",
    OnePart "part",
    Parts "parts",
    Wash "wash",
    Washes "washes",
    Load "load",
    Loads "loads",
    ChemicalOfTheDay "chemical of the day",
    RinseFirst "rinse first",
    NeverMix "never mix",
    Rinsed "rinsed",
    RinseUndone "rinse undone",
}
