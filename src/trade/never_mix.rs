//! What must never meet: not in a container, not in a drain, not on a vehicle that is still wet.

use super::chemical::{Chemical, Nature};
use super::hazard::Hazard;
use super::text::Text;
use crate::text;

/// Why two chemicals must never meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// An acid and hypochlorite: chlorine gas. Bleach with a cleaner of 4 % phosphoric acid released
    /// it (CDC MMWR 00015111).
    Chlorine,
    /// Ammonia and hypochlorite: chloramine gases (New Jersey Department of Health, Hazardous
    /// Substance Fact Sheet 1707, sodium hypochlorite, from memory).
    Chloramine,
    /// Amines and hypochlorite: chloramines, some of which explode (CAMEO Chemicals, NOAA, from a
    /// secondary text).
    Amine,
    /// Peroxide and hypochlorite: oxygen and heat, at once (common practice, no source).
    Peroxide,
    /// Alcohol and hypochlorite: chloroform and other vapours (from secondary texts).
    Alcohol,
    /// An acid and something that is marked EUH032 (CLP Regulation, Annex II, 1.2.3).
    VeryToxicGas,
    /// An acid and something that is marked EUH031 (CLP Regulation, Annex II, 1.2.2).
    ToxicGas,
    /// The bay's set-up says so.
    Listed,
    /// One of them is not in the set-up any more: what it does with others cannot be told. Never the
    /// answer of [`never_mix`], which is about two that are known.
    Unknown,
}

impl Reason {
    /// What happens, or who says so, in a sentence.
    pub fn words(self) -> Text {
        match self {
            Self::Chlorine => text!("Acid and hypochlorite make chlorine gas."),
            Self::Chloramine => text!("Ammonia and hypochlorite make toxic chloramine gas."),
            Self::Amine => text!("Amines and hypochlorite make toxic chloramines."),
            Self::Peroxide => text!("Peroxide and hypochlorite boil up and burst containers."),
            Self::Alcohol => text!("Alcohol and hypochlorite make toxic vapours."),
            Self::VeryToxicGas => text!("With an acid: very toxic gas (EUH032)."),
            Self::ToxicGas => text!("With an acid: toxic gas (EUH031)."),
            Self::Listed => text!("This bay lists them: never together."),
            Self::Unknown => text!("Not in the set-up: it may react."),
        }
    }
}

/// What hypochlorite must never meet, and why.
const WITH_HYPOCHLORITE: [(Nature, Reason); 5] = [
    (Nature::Acid, Reason::Chlorine),
    (Nature::Ammonia, Reason::Chloramine),
    (Nature::Amine, Reason::Amine),
    (Nature::Peroxide, Reason::Peroxide),
    (Nature::Alcohol, Reason::Alcohol),
];

/// Why `a` and `b` must never meet, whichever comes first; `None` where nothing is known against it,
/// which does not make it safe: nothing is mixed on purpose.
pub fn never_mix(a: &Chemical, b: &Chemical) -> Option<Reason> {
    if a.id == b.id {
        return None;
    }
    let meet = |of: &dyn Fn(&Chemical) -> bool, with: &dyn Fn(&Chemical) -> bool| {
        (of(a) && with(b)) || (of(b) && with(a))
    };
    let is = |nature: Nature| move |of: &Chemical| of.nature == nature;
    for (nature, reason) in WITH_HYPOCHLORITE {
        if meet(&is(nature), &is(Nature::Hypochlorite)) {
            return Some(reason);
        }
    }
    for (marked, reason) in [
        (Hazard::Euh032, Reason::VeryToxicGas),
        (Hazard::Euh031, Reason::ToxicGas),
    ] {
        if meet(&is(Nature::Acid), &|of| of.hazards.contains(&marked)) {
            return Some(reason);
        }
    }
    let lists = |one: &Chemical, other: &Chemical| one.never_with.contains(&other.id);
    (lists(a, b) || lists(b, a)).then_some(Reason::Listed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::chemical::Target;
    use crate::trade::units::Strength;

    fn of(id: &str, nature: Nature, hazards: &[Hazard], never_with: &[&str]) -> Chemical {
        Chemical {
            id: id.into(),
            name: id.into(),
            target: Target::OnVehicle(Strength::percent(4.0).expect("a strength")),
            band: None,
            product_strength: Strength::NEAT,
            cautions: Vec::new(),
            hazards: hazards.to_vec(),
            put_on: Vec::new(),
            nature,
            order: None,
            never_with: never_with.iter().map(|&id| id.into()).collect(),
            delivered_in: None,
            spray_per_vehicle: None,
            cost_per_litre: None,
        }
    }

    /// Both ways round.
    fn met(a: &Chemical, b: &Chemical) -> Option<Reason> {
        let reason = never_mix(a, b);
        assert_eq!(reason, never_mix(b, a), "{} and {}", a.id, b.id);
        reason
    }

    #[test]
    fn acid_never_meets_hypochlorite() {
        // CDC MMWR 00015111: bleach with a 4 % phosphoric acid cleaner released chlorine.
        let acid = of("acid", Nature::Acid, &[], &[]);
        let bleach = of("bleach", Nature::Hypochlorite, &[], &[]);
        assert_eq!(met(&acid, &bleach), Some(Reason::Chlorine));
        for nature in Nature::ALL {
            let other = of("other", nature, &[], &[]);
            let never = nature == Nature::Hypochlorite;
            assert_eq!(met(&acid, &other).is_some(), never, "{nature:?}");
        }
    }

    #[test]
    fn hypochlorite_is_kept_from_all_that_it_reacts_with() {
        let bleach = of("bleach", Nature::Hypochlorite, &[], &[]);
        for nature in Nature::ALL {
            let other = of("other", nature, &[], &[]);
            let reason = match nature {
                Nature::Acid => Some(Reason::Chlorine),
                Nature::Ammonia => Some(Reason::Chloramine),
                Nature::Amine => Some(Reason::Amine),
                Nature::Peroxide => Some(Reason::Peroxide),
                Nature::Alcohol => Some(Reason::Alcohol),
                Nature::Other | Nature::Alkali | Nature::Hypochlorite => None,
            };
            assert_eq!(met(&bleach, &other), reason, "{nature:?}");
        }
    }

    #[test]
    fn acid_never_meets_what_is_marked_euh031() {
        // CLP Annex II 1.2.2: "Contact with acids liberates toxic gas", e.g. sodium hypochlorite.
        let acid = of("acid", Nature::Acid, &[Hazard::H314], &[]);
        let marked = of("marked", Nature::Other, &[Hazard::Euh031], &[]);
        assert_eq!(met(&acid, &marked), Some(Reason::ToxicGas));
        let worse = of(
            "worse",
            Nature::Other,
            &[Hazard::Euh031, Hazard::Euh032],
            &[],
        );
        assert_eq!(met(&acid, &worse), Some(Reason::VeryToxicGas));
        let alkali = of("alkali", Nature::Alkali, &[Hazard::H314], &[]);
        assert_eq!(met(&alkali, &marked), None);
        // With both the gas is known by name.
        let both = of("both", Nature::Hypochlorite, &[Hazard::Euh031], &[]);
        assert_eq!(met(&acid, &both), Some(Reason::Chlorine));
    }

    #[test]
    fn the_bays_own_list_holds_in_both_directions() {
        let wax = of("wax", Nature::Other, &[], &["film"]);
        let film = of("film", Nature::Alkali, &[], &[]);
        let soap = of("soap", Nature::Other, &[], &[]);
        assert_eq!(met(&wax, &film), Some(Reason::Listed));
        assert_eq!(met(&wax, &soap), None);
    }

    #[test]
    fn the_worse_reason_is_told_and_each_has_its_words() {
        // Listed as well: the gas is what must be known.
        let acid = of("acid", Nature::Acid, &[], &["marked", "bleach"]);
        let marked = of("marked", Nature::Other, &[Hazard::Euh031], &["acid"]);
        let bleach = of("bleach", Nature::Hypochlorite, &[], &[]);
        assert_eq!(met(&acid, &marked), Some(Reason::ToxicGas));
        assert_eq!(met(&acid, &bleach), Some(Reason::Chlorine));
        for (reason, words) in [
            (Reason::Chlorine, "Acid and hypochlorite make chlorine gas."),
            (Reason::ToxicGas, "With an acid: toxic gas (EUH031)."),
            (Reason::Listed, "This bay lists them: never together."),
        ] {
            assert_eq!(reason.words(), words);
        }
    }

    #[test]
    fn an_acid_that_is_marked_never_meets_another_acid() {
        let marked = of("marked", Nature::Acid, &[Hazard::Euh031], &[]);
        let acid = of("acid", Nature::Acid, &[], &[]);
        assert_eq!(met(&marked, &acid), Some(Reason::ToxicGas));
    }

    #[test]
    fn the_same_once_more_is_no_mix() {
        let odd = of("odd", Nature::Acid, &[Hazard::Euh031], &["odd"]);
        assert_eq!(met(&odd, &odd.clone()), None);
    }
}
