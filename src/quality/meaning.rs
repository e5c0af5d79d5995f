//! What a pattern of marks usually means at the press. Common practice, no source: each is a
//! place to look first, not a proof.

use super::zones::{Axis, Zone};
use std::fmt;

/// Where the marks of one class lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pattern {
    OnePosition,
    OneColumn,
    OneRow,
    Scattered,
    TooFew,
}

/// With fewer marks than this, marks that show no pattern are not yet called scattered. Our own
/// choice.
pub const ENOUGH_TO_CALL_SCATTERED: u64 = 20;

impl Pattern {
    /// The pattern that one zone finding shows.
    pub fn of_zone(zone: &Zone) -> Self {
        match zone.axis {
            _ if zone.is_one_position() => Self::OnePosition,
            Axis::Columns => Self::OneColumn,
            Axis::Rows => Self::OneRow,
        }
    }

    /// The pattern of a class with `marks` marks in which nothing stood out.
    pub fn without_findings(marks: u64) -> Self {
        if marks < ENOUGH_TO_CALL_SCATTERED {
            Self::TooFew
        } else {
            Self::Scattered
        }
    }

    /// Where to look first, in a few words.
    pub fn look_at(self) -> &'static str {
        match self {
            Self::OnePosition => "one position, sheet after sheet: plate or blanket",
            Self::OneColumn => "one column: inking zone",
            Self::OneRow => "one row: gap, roller or gripper",
            Self::Scattered => "scattered: paper or dust",
            Self::TooFew => "too few to say",
        }
    }

    /// What it usually means, in one sentence.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::OnePosition => {
                "One position, sheet after sheet: look at the plate or the blanket there first."
            }
            Self::OneColumn => "One column: look at the inking zone of that column first.",
            Self::OneRow => {
                "One row: look at what crosses the sheet there, such as a cylinder gap, a roller stripe or a gripper."
            }
            Self::Scattered => "Scattered over the sheet: look at the paper or at dust first.",
            Self::TooFew => "Too few marks to say where they come from.",
        }
    }
}

impl fmt::Display for Pattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.meaning())
    }
}
