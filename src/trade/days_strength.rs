//! Another strength for the day: what it is beside the set-up's, and what would come of it.

use super::chemical::{Chemical, Target};
use super::units::Strength;

/// A chemical without a band may be set this far from its set-up's strength before that must be
/// confirmed: common practice, no source.
pub const FREELY: f64 = 0.25;

/// How a strength for the day stands to what the chemical's set-up allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Allowed {
    /// Inside of the band, ends included; without one no more than [`FREELY`] from the usual.
    #[default]
    Freely,
    /// Weaker: it may not clean.
    TooWeak,
    /// Stronger: it may harm finish, hands and drains.
    TooStrong,
}

impl Allowed {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Freely, Self::TooWeak, Self::TooStrong];

    /// The word in the records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Freely => "freely",
            Self::TooWeak => "too-weak",
            Self::TooStrong => "too-strong",
        }
    }
    /// What a word of the records means.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|allowed| allowed.word() == word)
    }
}

/// The strength on the vehicle that the set-up wants; `None` where it knows the bottle's ratio only,
/// of which nobody can set another strength without knowing the sprayer.
pub fn usual(chemical: &Chemical) -> Option<Strength> {
    match chemical.target {
        Target::OnVehicle(strength) => Some(strength),
        Target::Bottle(_) => None,
    }
}

/// How `strength` stands to what the set-up of `chemical` allows. Its own strength is always free:
/// whoever wrote the set-up meant it.
pub fn allowed(chemical: &Chemical, strength: Strength) -> Allowed {
    let usual = usual(chemical);
    if usual.is_some_and(|usual| near(usual, strength)) {
        return Allowed::Freely;
    }
    let (least, most) = match (chemical.band, usual) {
        (Some(band), _) if band.holds(strength) => return Allowed::Freely,
        (Some(band), _) => (band.least.as_fraction(), band.most.as_fraction()),
        (None, Some(usual)) => {
            let usual = usual.as_fraction();
            (usual * (1.0 - FREELY), usual * (1.0 + FREELY))
        }
        // Nothing to hold it against: whoever sets it must mean it.
        (None, None) => return Allowed::TooStrong,
    };
    match strength.as_fraction() {
        s if s < least * (1.0 - 1e-9) => Allowed::TooWeak,
        s if s > most * (1.0 + 1e-9) => Allowed::TooStrong,
        _ => Allowed::Freely,
    }
}

/// A strength typed in percent; `None` for what is none, or less than any key is meant for.
pub fn typed(percent: f64) -> Option<Strength> {
    Strength::percent(percent).filter(|strength| strength.as_percent() >= LEAST_PERCENT)
}

/// True where they differ by no more than the arithmetic.
pub fn near(a: Strength, b: Strength) -> bool {
    (a.as_fraction() / b.as_fraction() - 1.0).abs() < 1e-9
}

/// What a strength costs for one vehicle, in the bay's currency: strength times spray over the
/// product's own strength is the product that lands. `None` where the set-up has no price or spray.
pub fn cost_per_vehicle(chemical: &Chemical, strength: Strength) -> Option<f64> {
    let product = chemical.spray_per_vehicle?
        * (strength.as_fraction() / chemical.product_strength.as_fraction());
    Some(product.as_litres() * chemical.cost_per_litre?)
}

/// The next strength up or down on a scale of two figures: 4.1 %, 0.29 %, 25 %. It stays above
/// nothing and below neat; `None` where there is no further step.
pub fn step(from: Strength, up: bool) -> Option<Strength> {
    let percent = from.as_percent();
    let decade = percent.log10().floor();
    // Down from 1.0 goes to 0.99, not to 0.9.
    let decade = match up || percent > 10f64.powf(decade) * (1.0 + 1e-9) {
        true => decade,
        false => decade - 1.0,
    };
    let size = 10f64.powf(decade - 1.0);
    let steps = percent / size;
    let next = match up {
        true => (steps + 1e-6).floor() + 1.0,
        false => (steps - 1e-6).ceil() - 1.0,
    };
    // Over the number of steps in a percent: 41 tenths are 4.1, and not the float beside it.
    let percent = match size >= 1.0 {
        true => next * size,
        false => next / (1.0 / size).round(),
    };
    typed(percent)
}

/// Weaker than this is a mistake in the keys.
const LEAST_PERCENT: f64 = 0.01;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::chemical::{Band, Nature};
    use crate::trade::units::{BottleRatio, Volume};

    fn percent(p: f64) -> Strength {
        Strength::percent(p).expect("a strength")
    }

    fn chemical(band: Option<(f64, f64)>) -> Chemical {
        Chemical {
            id: "film".into(),
            name: "Film remover".into(),
            target: Target::OnVehicle(percent(4.0)),
            band: band.map(|(least, most)| Band {
                least: percent(least),
                most: percent(most),
            }),
            product_strength: Strength::NEAT,
            cautions: Vec::new(),
            hazards: Vec::new(),
            put_on: Vec::new(),
            nature: Nature::Other,
            order: None,
            never_with: Vec::new(),
            delivered_in: None,
            spray_per_vehicle: Some(Volume::litres(4.0)),
            cost_per_litre: Some(3.2),
        }
    }

    #[test]
    fn the_band_decides_where_there_is_one() {
        let film = chemical(Some((3.0, 5.0)));
        for (strength, as_expected) in [
            (2.99, Allowed::TooWeak),
            (3.0, Allowed::Freely),
            (4.7, Allowed::Freely),
            (5.0, Allowed::Freely),
            (5.01, Allowed::TooStrong),
            (100.0, Allowed::TooStrong),
        ] {
            assert_eq!(allowed(&film, percent(strength)), as_expected, "{strength}");
        }
    }

    #[test]
    fn without_a_band_a_quarter_more_or_less_is_free() {
        let film = chemical(None);
        for (strength, as_expected) in [
            (2.99, Allowed::TooWeak),
            (3.0, Allowed::Freely),
            (5.0, Allowed::Freely),
            (5.01, Allowed::TooStrong),
        ] {
            assert_eq!(allowed(&film, percent(strength)), as_expected, "{strength}");
        }
    }

    #[test]
    fn the_set_ups_own_strength_is_always_free() {
        assert_eq!(
            allowed(&chemical(Some((5.0, 6.0))), percent(4.0)),
            Allowed::Freely
        );
    }

    #[test]
    fn a_label_with_a_ratio_only_has_no_usual_strength() {
        let mut wheel = chemical(None);
        wheel.target = Target::Bottle(BottleRatio::parts_water(10.0).expect("a ratio"));
        assert_eq!(usual(&wheel), None);
        assert_eq!(allowed(&wheel, percent(1.0)), Allowed::TooStrong);
    }

    #[test]
    fn a_vehicle_costs_what_lands_on_it() {
        // 4 L of spray at 4 % are 0.16 L of product at 3.20 a litre.
        let film = chemical(None);
        let cost = |p| cost_per_vehicle(&film, percent(p)).expect("a cost");
        assert!((cost(4.0) - 0.512).abs() < 1e-12);
        assert!((cost(8.0) - 1.024).abs() < 1e-12);
        let half = Chemical {
            product_strength: percent(50.0),
            ..chemical(None)
        };
        let cost = cost_per_vehicle(&half, percent(4.0)).expect("a cost");
        assert!(
            (cost - 1.024).abs() < 1e-12,
            "twice as much of half the strength"
        );
        let unpriced = Chemical {
            cost_per_litre: None,
            ..chemical(None)
        };
        assert_eq!(cost_per_vehicle(&unpriced, percent(4.0)), None);
    }

    #[test]
    fn what_is_typed_is_a_strength_from_a_hundredth_of_a_percent_to_neat() {
        for (percent, taken) in [
            (0.0, false),
            (0.0099, false),
            (0.01, true),
            (4.0, true),
            (100.0, true),
            (100.1, false),
            (-1.0, false),
            (f64::NAN, false),
        ] {
            assert_eq!(typed(percent).is_some(), taken, "{percent}");
        }
    }

    #[test]
    fn a_band_without_a_usual_strength_decides_all_the_same() {
        let mut wheel = chemical(Some((3.0, 5.0)));
        wheel.target = Target::Bottle(BottleRatio::parts_water(10.0).expect("a ratio"));
        for (strength, as_expected) in [
            (2.0, Allowed::TooWeak),
            (4.0, Allowed::Freely),
            (6.0, Allowed::TooStrong),
        ] {
            assert_eq!(
                allowed(&wheel, percent(strength)),
                as_expected,
                "{strength}"
            );
        }
    }

    #[test]
    fn the_arithmetic_alone_makes_no_other_strength() {
        let third = percent(1.0 / 3.0);
        assert!(near(third, percent(0.1 + 1.0 / 3.0 - 0.1)));
        assert!(!near(percent(4.0), percent(4.0001)));
        // Neither at the ends of what is free without a band, and just beyond them.
        let film = chemical(None);
        for (percent_, as_expected) in [
            (3.0 - 1e-10, Allowed::Freely),
            (3.0 - 1e-6, Allowed::TooWeak),
            (5.0 + 1e-10, Allowed::Freely),
            (5.0 + 1e-6, Allowed::TooStrong),
        ] {
            assert_eq!(allowed(&film, percent(percent_)), as_expected, "{percent_}");
        }
    }

    #[test]
    fn each_word_of_the_records_means_one() {
        for allowed in Allowed::ALL {
            assert_eq!(Allowed::from_word(allowed.word()), Some(allowed));
        }
        assert_eq!(Allowed::from_word("strong"), None);
    }

    #[test]
    fn steps_are_of_two_figures_and_end_before_nothing_and_neat() {
        for (from, up, to) in [
            (4.0, true, Some(4.1)),
            (4.0, false, Some(3.9)),
            (4.05, true, Some(4.1)),
            (4.05, false, Some(4.0)),
            (0.29, true, Some(0.3)),
            (9.9, true, Some(10.0)),
            (10.0, true, Some(11.0)),
            (10.0, false, Some(9.9)),
            (1.0, false, Some(0.99)),
            (24.6, false, Some(24.0)),
            (100.0, true, None),
            (0.01, false, None),
        ] {
            let next = step(percent(from), up).map(|s| s.as_percent());
            let near = match (next, to) {
                (Some(next), Some(to)) => (next - to).abs() < 1e-9,
                (next, to) => next == to,
            };
            assert!(near, "{from} {up}: {next:?}, not {to:?}");
        }
    }

    #[test]
    fn steps_up_and_down_come_back() {
        let mut strength = percent(4.0);
        for up in [true, true, true, false, false, false] {
            strength = step(strength, up).expect("a step");
        }
        assert!((strength.as_percent() - 4.0).abs() < 1e-9);
    }
}
