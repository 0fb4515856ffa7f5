//! How the panel hangs. Slint turns the picture by this variable; the touches are turned here, so that
//! one switch does both.

use super::Position;

/// The environment variable by which Slint's back end for a bare panel turns the picture.
pub const ROTATION: &str = "SLINT_KMS_ROTATION";

/// How the panel hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Turned {
    /// As it was made.
    #[default]
    Not,
    /// Upside down.
    UpsideDown,
    /// On its side, which the screens are not laid out for.
    Upright,
}

impl Turned {
    /// By the value of [`ROTATION`]. What else stands there the back end itself refuses.
    pub fn by(value: Option<&str>) -> Self {
        match value.map(str::trim) {
            Some("180") => Self::UpsideDown,
            Some("90" | "270") => Self::Upright,
            _ => Self::Not,
        }
    }

    /// By the environment of this process.
    pub fn of_this_panel() -> Self {
        Self::by(std::env::var(ROTATION).ok().as_deref())
    }

    /// Where on the picture a place on the panel is, on a glass of that size.
    pub fn place(self, at: Position, width: f32, height: f32) -> Position {
        match self {
            Self::UpsideDown => Position::new(width - at.x, height - at.y),
            Self::Not | Self::Upright => at,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_switch_turns_the_touches_too() {
        for (value, turned) in [
            (None, Turned::Not),
            (Some("0"), Turned::Not),
            (Some(""), Turned::Not),
            (Some("180"), Turned::UpsideDown),
            (Some("90"), Turned::Upright),
            (Some("270"), Turned::Upright),
        ] {
            assert_eq!(Turned::by(value), turned, "{value:?}");
        }
        let at = Position::new(10.0, 20.0);
        let there = Turned::UpsideDown.place(at, 800.0, 480.0);
        assert_eq!(there, Position::new(790.0, 460.0));
        assert_eq!(Turned::UpsideDown.place(there, 800.0, 480.0), at);
        assert_eq!(Turned::Not.place(at, 800.0, 480.0), at);
    }
}
