//! Hazard statements of the Globally Harmonized System, as far as this trade meets them.

/// A hazard statement, by its code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Corrosive to metals.
    H290,
    /// Severe skin burns and eye damage.
    H314,
    /// Skin irritation.
    H315,
    /// Serious eye damage.
    H318,
    /// Serious eye irritation.
    H319,
    /// Respiratory irritation.
    H335,
    /// Toxic gas in contact with acids.
    Euh031,
}

impl Hazard {
    /// All of them, by code.
    pub const ALL: [Self; 7] = [
        Self::H290,
        Self::H314,
        Self::H315,
        Self::H318,
        Self::H319,
        Self::H335,
        Self::Euh031,
    ];

    /// The code, as on labels and in the set-up file.
    pub const fn code(self) -> &'static str {
        match self {
            Self::H290 => "H290",
            Self::H314 => "H314",
            Self::H315 => "H315",
            Self::H318 => "H318",
            Self::H319 => "H319",
            Self::H335 => "H335",
            Self::Euh031 => "EUH031",
        }
    }
    /// The statement with this code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|hazard| hazard.code() == code)
    }
}
