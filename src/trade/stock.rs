//! What there is of a chemical, and how long it lasts.

use super::units::Volume;
use std::collections::BTreeMap;

/// What changes the stock of one chemical.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// Product came.
    Delivered {
        /// In how many containers; 0 where it came in none that are counted.
        containers: u32,
        /// What is in all of them.
        volume: Volume,
    },
    /// Containers were opened.
    Opened {
        /// How many.
        containers: u32,
    },
    /// All there is was measured: so much, opened or not.
    Counted(Volume),
    /// So much was poured.
    Used(Volume),
}

/// What there is of one chemical by all that was told of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// What is left. Below zero where more was poured than there can have been.
    pub left: Volume,
    /// Containers not opened yet; below zero where more were opened than came. `None` where it is not
    /// known how much one holds.
    pub unopened: Option<i64>,
}

/// Of a count of ml that was added up from many, so much is noise of the arithmetic.
const NOISE_ML: f64 = 1e-3;

impl Stock {
    /// From all that happened, oldest first; a container holds `container` where that is known. What
    /// was used before the first of all counts and deliveries is left out: nobody kept count then.
    /// `None` where that never began.
    pub fn of(moves: impl IntoIterator<Item = Move>, container: Option<Volume>) -> Option<Self> {
        let container = container.filter(|volume| volume.is_some_liquid());
        let mut stock: Option<Self> = None;
        for what in moves {
            if stock.is_none() && matches!(what, Move::Used(_)) {
                continue;
            }
            let stock = stock.get_or_insert(Self {
                left: Volume::ZERO,
                unopened: container.map(|_| 0),
            });
            match what {
                Move::Delivered { containers, volume } => {
                    stock.left = stock.left + volume;
                    stock.unopened = stock.unopened.map(|n| n + i64::from(containers));
                }
                Move::Opened { containers } => {
                    stock.unopened = stock.unopened.map(|n| n - i64::from(containers));
                }
                Move::Counted(volume) => {
                    stock.left = volume;
                    // What fills containers to the top is taken to stand in containers not opened.
                    stock.unopened = container.map(|one| full(volume, one));
                }
                Move::Used(volume) => stock.left = stock.left - volume,
            }
        }
        stock
    }

    /// True where what was told cannot be: more was poured than there was, or more containers opened
    /// than came. Only a stock-take can tell what there is.
    pub fn cannot_be(&self) -> bool {
        self.left.as_ml() < -NOISE_ML || self.unopened.is_some_and(|n| n < 0)
    }

    /// Money in stock at a cost per litre; nothing where the count cannot be.
    pub fn worth(&self, cost_per_litre: f64) -> Option<f64> {
        (!self.cannot_be()).then(|| cost_per_litre * self.left.as_litres().max(0.0))
    }
}

/// How many times `one` is in a volume.
fn full(volume: Volume, one: Volume) -> i64 {
    // A count of full containers must not lose one to the arithmetic.
    ((volume.as_ml() + NOISE_ML) / one.as_ml()).floor() as i64
}

/// How fast a chemical is used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Product on a day of work; above zero.
    pub per_day: Volume,
    /// From how many days of work it was reckoned.
    pub days: u32,
}

/// A rate is reckoned from so many days of work at most: two or three weeks, so that it follows the
/// season and not the day. Common practice, no source.
pub const MOST_DAYS: usize = 14;
/// Days of work longer ago than this many days say nothing about now.
pub const OLDEST_DAYS: i32 = 60;

impl Rate {
    /// From what was used of the chemical on each day on which any chemical was poured (0 where this
    /// one was not), by the number of the day. Today is not over: it counts only where there is no
    /// other day. `None` where nothing of it was used.
    pub fn of(used: &BTreeMap<i32, Volume>, today: i32) -> Option<Self> {
        let before = used.range(today.saturating_sub(OLDEST_DAYS)..today);
        let mut days: Vec<Volume> = before
            .rev()
            .take(MOST_DAYS)
            .map(|(_, used)| *used)
            .collect();
        if days.is_empty() {
            days.extend(used.get(&today));
        }
        let count = u32::try_from(days.len()).ok().filter(|count| *count > 0)?;
        let sum: Volume = days.into_iter().sum();
        sum.is_some_liquid().then(|| Self {
            per_day: sum / f64::from(count),
            days: count,
        })
    }

    /// For how many whole days of work so much lasts.
    pub fn lasts(&self, left: Volume) -> u32 {
        // A quotient beyond what a number holds is held at its end.
        ((left.as_ml().max(0.0) + NOISE_ML) / self.per_day.as_ml()) as u32
    }
}

/// What is to be said of a stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Warning {
    /// What was told cannot be: it must be counted.
    Count,
    /// Nothing is left.
    Gone,
    /// It lasts for no more than so many whole days of work.
    Days(u32),
    /// Nobody knows how fast it is used, and there is less than one container of it.
    LastContainer,
}

impl Warning {
    /// What is to be said, if anything, where `warn_days` days of work or fewer are to be warned of
    /// and a container holds `container`.
    pub fn of(
        stock: &Stock,
        rate: Option<Rate>,
        container: Option<Volume>,
        warn_days: u32,
    ) -> Option<Self> {
        if stock.cannot_be() {
            return Some(Self::Count);
        }
        if stock.left.as_ml() <= NOISE_ML {
            return Some(Self::Gone);
        }
        match rate {
            Some(rate) => {
                let days = rate.lasts(stock.left);
                (days <= warn_days).then_some(Self::Days(days))
            }
            None => container
                .is_some_and(|one| stock.left.as_ml() + NOISE_ML < one.as_ml())
                .then_some(Self::LastContainer),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn l(litres: f64) -> Volume {
        Volume::litres(litres)
    }

    fn delivered(containers: u32) -> Move {
        Move::Delivered {
            containers,
            volume: l(20.0) * f64::from(containers),
        }
    }

    #[test]
    fn what_came_less_what_was_poured_is_left() {
        let stock = |moves: &[Move]| Stock::of(moves.iter().copied(), Some(l(20.0)));
        assert_eq!(stock(&[]), None);
        assert_eq!(stock(&[Move::Used(l(1.0))]), None, "nobody kept count yet");
        let moves = [
            Move::Used(l(5.0)),
            delivered(3),
            Move::Opened { containers: 1 },
            Move::Used(l(1.5)),
        ];
        let is = stock(&moves).expect("counted");
        assert_eq!((is.left, is.unopened), (l(58.5), Some(2)));
        assert!(!is.cannot_be());
        assert_eq!(is.worth(3.0), Some(175.5));
        let over = stock(&[delivered(1), Move::Used(l(20.5))]).expect("counted");
        assert!(over.cannot_be() && over.worth(3.0).is_none());
        let over = stock(&[delivered(1), Move::Opened { containers: 2 }]).expect("counted");
        assert!(over.cannot_be());
        let exact = [
            delivered(1),
            Move::Used(l(20.0 / 3.0)),
            Move::Used(l(40.0 / 3.0)),
        ];
        assert!(!stock(&exact).expect("counted").cannot_be());
        // Without a container nobody counts them.
        let loose = Stock::of([delivered(2), Move::Opened { containers: 5 }], None);
        assert_eq!(
            loose.map(|s| (s.unopened, s.cannot_be())),
            Some((None, false))
        );
    }

    #[test]
    fn what_stands_in_full_containers_is_taken_for_not_opened() {
        for (litres, unopened) in [(0.0, 0), (19.9, 0), (20.0, 1), (70.0, 3)] {
            let stock = Stock::of([Move::Counted(l(litres))], Some(l(20.0))).expect("counted");
            assert_eq!(stock.unopened, Some(unopened), "{litres}");
        }
    }

    fn any_move() -> impl Strategy<Value = Move> {
        let ml = || (1..100_000u32).prop_map(|n| Volume::ml(f64::from(n)));
        prop_oneof![
            (0..5u32, ml()).prop_map(|(containers, volume)| Move::Delivered { containers, volume }),
            (1..3u32).prop_map(|containers| Move::Opened { containers }),
            ml().prop_map(Move::Used),
        ]
    }

    proptest! {
        #[test]
        fn the_order_matters_only_for_a_count(
            (moves, shuffled) in prop::collection::vec(any_move(), 0..20)
                .prop_flat_map(|moves| (Just(moves.clone()), Just(moves).prop_shuffle())),
            counted in (0..100_000u32).prop_map(|n| Volume::ml(f64::from(n))),
            before in prop::collection::vec(any_move(), 0..5),
        ) {
            // From a count on the sum is the same in any order, and nothing before it matters.
            let count = [Move::Counted(counted)];
            let one = Some(Volume::litres(20.0));
            let after = |moves: &[Move]| Stock::of(count.iter().chain(moves).copied(), one);
            prop_assert_eq!(after(&moves), after(&shuffled));
            let all = before.iter().chain(&count).chain(&moves).copied();
            prop_assert_eq!(Stock::of(all, one), after(&moves));
            let sum: f64 = moves.iter().map(|m| match m {
                Move::Delivered { volume, .. } => volume.as_ml(),
                Move::Used(volume) => -volume.as_ml(),
                Move::Opened { .. } | Move::Counted(_) => 0.0,
            }).sum();
            prop_assert_eq!(after(&moves).map(|s| s.left.as_ml()), Some(counted.as_ml() + sum));
            // And a count at the end sets it, whatever was before.
            let set = Stock::of(moves.iter().chain(&count).copied(), one);
            prop_assert_eq!(set.map(|s| s.left), Some(counted));
        }
    }

    #[test]
    fn the_rate_is_that_of_the_last_days_of_work() {
        let used = |days: &[(i32, f64)]| -> BTreeMap<i32, Volume> {
            days.iter()
                .map(|(day, litres)| (*day, l(*litres)))
                .collect()
        };
        let rate = |days: &[(i32, f64)]| Rate::of(&used(days), 1000);
        assert_eq!(rate(&[]), None);
        assert_eq!(
            rate(&[(1000, 2.0)]),
            Some(Rate {
                per_day: l(2.0),
                days: 1
            }),
            "the first day"
        );
        // A day on which it was not used counts, a day off does not, today is not over.
        assert_eq!(
            rate(&[(990, 3.0), (995, 0.0), (998, 6.0), (1000, 90.0)]),
            Some(Rate {
                per_day: l(3.0),
                days: 3
            })
        );
        // Longer ago than two months, and dates that are yet to come.
        assert_eq!(rate(&[(1000 - 61, 7.0), (1001, 9.0)]), None);
        assert_eq!(
            rate(&[(1000 - 60, 7.0)]),
            Some(Rate {
                per_day: l(7.0),
                days: 1
            })
        );
        // Not used at all.
        assert_eq!(rate(&[(998, 0.0), (999, 0.0)]), None);
        let many: Vec<(i32, f64)> = (950..1000).map(|day| (day, f64::from(day))).collect();
        let newest: f64 = (986..1000).map(f64::from).sum::<f64>() / 14.0;
        let reckoned = rate(&many).expect("used");
        assert_eq!(reckoned.days, 14);
        assert!((reckoned.per_day.as_litres() - newest).abs() < 1e-9);
        let three = Rate {
            per_day: l(3.0),
            days: 3,
        };
        assert_eq!((three.lasts(l(8.99)), three.lasts(l(9.0))), (2, 3));
        assert_eq!(three.lasts(l(-1.0)), 0);
    }

    #[test]
    fn it_warns_by_days_and_where_nobody_knows_them_by_the_last_container() {
        let stock = |litres: f64| Stock {
            left: l(litres),
            unopened: None,
        };
        let three = Some(Rate {
            per_day: l(3.0),
            days: 3,
        });
        let of = |litres, rate| Warning::of(&stock(litres), rate, Some(l(20.0)), 5);
        assert_eq!(of(17.9, three), Some(Warning::Days(5)));
        assert_eq!(
            of(18.0, three),
            None,
            "six days, whatever is in a container"
        );
        assert_eq!(of(2.0, three), Some(Warning::Days(0)));
        assert_eq!(of(0.0, three), Some(Warning::Gone));
        assert_eq!(of(-0.1, three), Some(Warning::Count));
        assert_eq!(of(19.9, None), Some(Warning::LastContainer));
        assert_eq!(of(20.0, None), None);
        assert_eq!(
            Warning::of(&stock(0.5), None, None, 5),
            None,
            "nobody can tell"
        );
    }
}
