//! When a sprayer must be calibrated again.

/// The bay's limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Washes after which a calibration is due.
    pub washes: u32,
    /// Washes after which it is overdue; more than `washes`.
    pub overdue_washes: u32,
    /// Days after which it is due as well, where the bay counts days.
    pub days: Option<u32>,
    /// For how many washes an operator may put the reminder off.
    pub put_off_washes: u32,
    /// How many times, until the next calibration.
    pub put_off_times: u32,
}

impl Limits {
    /// The usual distance from due to overdue: a quarter of the limit, at least one wash.
    pub fn usual_overdue(washes: u32) -> u32 {
        washes.saturating_add((washes / 4).max(1))
    }
}

impl Default for Limits {
    /// Every 100 washes, put off twice for 10 washes: common practice, no source.
    fn default() -> Self {
        Self {
            washes: 100,
            overdue_washes: Self::usual_overdue(100),
            days: None,
            put_off_washes: 10,
            put_off_times: 2,
        }
    }
}

/// What was changed so that a calibration no longer applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VoidCause {
    /// Another nozzle.
    Nozzle,
    /// Another washer.
    Washer,
    /// Another water supply or pressure.
    Supply,
    /// The dial turned, or another metering tip.
    Dial,
    /// Another inlet filter, or the same one cleaned.
    Filter,
    /// Another pick-up tube.
    Tube,
}

impl VoidCause {
    /// All causes.
    pub const ALL: [Self; 6] = [
        Self::Nozzle,
        Self::Washer,
        Self::Supply,
        Self::Dial,
        Self::Filter,
        Self::Tube,
    ];

    /// One word, for records and speech.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Nozzle => "nozzle",
            Self::Washer => "washer",
            Self::Supply => "supply",
            Self::Dial => "dial",
            Self::Filter => "filter",
            Self::Tube => "tube",
        }
    }
    /// The cause for a word of the records.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.word() == word)
    }
}

/// How old a calibration is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Age {
    /// Washes since.
    pub washes: u32,
    /// Days since, where the clock can be believed.
    pub days: Option<u32>,
}

/// How a sprayer's calibration stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Never calibrated.
    None,
    /// Applies.
    Good,
    /// Applies, but it is time for a new one.
    Due,
    /// Applies no longer with certainty: well past its time.
    Overdue,
    /// No longer applies.
    Void(VoidCause),
}

impl Standing {
    /// How it stands, from its age and what was changed since.
    pub fn of(age: Option<Age>, void: Option<VoidCause>, limits: &Limits) -> Self {
        let Some(age) = age else { return Self::None };
        if let Some(cause) = void {
            return Self::Void(cause);
        }
        let days_up = |quarters: u32| {
            limits.days.zip(age.days).is_some_and(|(limit, days)| {
                u64::from(days) * 4 >= u64::from(limit) * u64::from(quarters)
            })
        };
        if age.washes >= limits.overdue_washes || days_up(5) {
            Self::Overdue
        } else if age.washes >= limits.washes || days_up(4) {
            Self::Due
        } else {
            Self::Good
        }
    }

    /// One word, as the wall card and the records have it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Good => "good",
            Self::Due => "due",
            Self::Overdue => "overdue",
            Self::Void(_) => "void",
        }
    }
    /// True when the screen nags.
    pub const fn nags(self) -> bool {
        matches!(self, Self::Due | Self::Overdue)
    }
}

/// How often the reminder has been put off since the calibration, and until when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PutOff {
    /// Times used.
    pub times: u32,
    /// Quiet while the washes since the calibration are below this.
    pub until_washes: u32,
}

impl PutOff {
    /// True while the nagging is put off.
    pub const fn quiet(&self, age: Age) -> bool {
        age.washes < self.until_washes
    }
    /// Puts it off once more; `None` when it has been put off as often as the bay allows.
    pub fn again(&self, age: Age, limits: &Limits) -> Option<Self> {
        (self.times < limits.put_off_times).then(|| Self {
            times: self.times + 1,
            until_washes: age.washes.saturating_add(limits.put_off_washes),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn age(washes: u32) -> Option<Age> {
        Some(Age { washes, days: None })
    }

    #[test]
    fn washes_first() {
        let limits = Limits {
            washes: 40,
            overdue_washes: 50,
            ..Limits::default()
        };
        for (washes, standing) in [
            (0, Standing::Good),
            (39, Standing::Good),
            (40, Standing::Due),
            (49, Standing::Due),
            (50, Standing::Overdue),
        ] {
            assert_eq!(
                Standing::of(age(washes), None, &limits),
                standing,
                "{washes}"
            );
        }
        assert_eq!(
            Standing::of(None, Some(VoidCause::Nozzle), &limits),
            Standing::None
        );
        assert_eq!(
            Standing::of(age(50), Some(VoidCause::Washer), &limits),
            Standing::Void(VoidCause::Washer)
        );
    }

    #[test]
    fn days_only_where_the_bay_counts_them_and_the_clock_is_believed() {
        let limits = Limits {
            days: Some(30),
            ..Limits::default()
        };
        let old = |days| Some(Age { washes: 1, days });
        assert_eq!(Standing::of(old(Some(29)), None, &limits), Standing::Good);
        assert_eq!(Standing::of(old(Some(30)), None, &limits), Standing::Due);
        assert_eq!(
            Standing::of(old(Some(38)), None, &limits),
            Standing::Overdue
        );
        assert_eq!(Standing::of(old(None), None, &limits), Standing::Good);
        assert_eq!(
            Standing::of(old(Some(400)), None, &Limits::default()),
            Standing::Good
        );
    }

    #[test]
    fn putting_off_ends() {
        let limits = Limits {
            washes: 40,
            put_off_washes: 5,
            put_off_times: 2,
            ..Limits::default()
        };
        let at = |washes| Age { washes, days: None };
        let once = PutOff::default()
            .again(at(41), &limits)
            .expect("allowed once");
        assert!(once.quiet(at(45)) && !once.quiet(at(46)));
        let twice = once.again(at(46), &limits).expect("allowed twice");
        assert_eq!(twice.again(at(51), &limits), None);
    }
}
