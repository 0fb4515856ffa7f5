//! How far a flash disk is worn, where it tells.

use super::{Finding, Root};
use crate::text;
use crate::trade::text::Text;

const WHAT: &str = "wear";

/// How worn one disk is.
struct Worn {
    disk: String,
    /// Tenths of its life that are used, counted from 1; 11 is beyond its life.
    tenths: Option<u32>,
    /// Of its spare blocks: 1 as it should be, 2 most are used, 3 nearly all are.
    spare: Option<u32>,
}

impl Worn {
    /// 0 as it should be, 1 to be seen to, 2 at its end.
    fn grade(&self) -> u32 {
        let by_life = match self.tenths {
            Some(11..) => 2,
            Some(9..) => 1,
            _ => 0,
        };
        let by_spare = match self.spare {
            Some(3..) => 2,
            Some(2) => 1,
            _ => 0,
        };
        by_life.max(by_spare)
    }

    fn words(&self) -> Text {
        let disk = &self.disk;
        match (self.tenths, self.spare) {
            (_, Some(3..)) => text!("{} has nearly used up its spare blocks.", disk),
            (Some(11..), _) => text!("{} is beyond the life that it was made for.", disk),
            (_, Some(2)) => text!("{} has used most of its spare blocks.", disk),
            (Some(tenths), _) => text!("{} has used up to {} % of its life.", disk, tenths * 10),
            (None, _) => text!("{} has its spare blocks.", disk),
        }
    }
}

/// Looks at the disk that is worn most.
pub fn look(root: &Root) -> Finding {
    let disks = root.names("sys/block").into_iter().filter_map(|disk| {
        let folder = format!("sys/block/{disk}/device");
        let life = root
            .text(&format!("{folder}/life_time"))
            .unwrap_or_default();
        let spare = root
            .text(&format!("{folder}/pre_eol_info"))
            .unwrap_or_default();
        // Two kinds of cells each have a life; 0 is not told.
        let tenths = life.split_whitespace().filter_map(number).max();
        let spare = number(&spare);
        (tenths.is_some() || spare.is_some()).then_some(Worn {
            disk,
            tenths,
            spare,
        })
    });
    let Some(worst) = disks.max_by_key(|worn| (worn.grade(), worn.tenths)) else {
        return Finding::not_here(WHAT, "No disk tells how worn it is.");
    };
    match worst.grade() {
        0 => Finding::good(WHAT, worst.words()),
        1 => Finding::warn(
            WHAT,
            worst.words(),
            "Have a new disk at hand, and take a backup each week.",
        ),
        _ => Finding::wrong(
            WHAT,
            worst.words(),
            "Take a backup now: fillcall backup BAY FILE. Put in a new disk.",
        ),
    }
}

/// A number as `0x0a`, above 0.
fn number(text: &str) -> Option<u32> {
    let digits = text.trim().strip_prefix("0x")?;
    u32::from_str_radix(digits, 16).ok().filter(|n| *n > 0)
}
