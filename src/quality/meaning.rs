//! What a pattern of marks usually means at the press. Common practice, no source: each is a
//! place to look first, not a proof.

use crate::inspect::Step;

use super::zones::{Axis, Zone};

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

    /// Where to look first, in a few words, for a class of this step.
    pub fn look_at(self, step: Step) -> String {
        match self.place() {
            Some(place) => format!("{place}: {}", self.suspect(step)),
            None => "too few to say".to_owned(),
        }
    }

    fn place(self) -> Option<&'static str> {
        match self {
            Self::OnePosition => Some("one position, sheet after sheet"),
            Self::OneColumn => Some("one column"),
            Self::OneRow => Some("one row"),
            Self::Scattered => Some("scattered"),
            Self::TooFew => None,
        }
    }

    /// What works at that place in that step. Common practice, no source, from memory.
    fn suspect(self, step: Step) -> &'static str {
        match (self, step) {
            (Self::OnePosition, Step::Paper) => "mould or thread at the paper maker's",
            (Self::OnePosition, Step::Offset) => "plate or blanket",
            (Self::OnePosition, Step::Screen) => "screen",
            (Self::OnePosition, Step::Foil) => "foil die",
            (Self::OnePosition, Step::Intaglio) => "plate or wiping unit",
            (Self::OnePosition, Step::Numbering) => "numbering box",
            (Self::OneColumn, Step::Offset) => "inking zone",
            (Self::OneColumn, Step::Intaglio) => "inking zone or wiping unit",
            (Self::OneColumn, Step::Screen) => "squeegee",
            (Self::OneColumn, Step::Foil) => "foil track",
            (Self::OneColumn, Step::Paper) => "paper web",
            (Self::OneColumn | Self::OneRow, Step::Numbering) => "numbering shaft",
            (Self::OnePosition | Self::OneColumn, Step::Handling) => "what touches the sheet",
            (Self::OneRow, _) => "gap, roller or gripper",
            (Self::Scattered | Self::TooFew, _) => "paper or dust",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_to_look_depends_on_the_step_that_makes_the_fault() {
        let one = Pattern::OnePosition;
        assert!(one.look_at(Step::Offset).ends_with(": plate or blanket"));
        assert!(one.look_at(Step::Numbering).ends_with(": numbering box"));
        let column = Pattern::OneColumn.look_at(Step::Offset);
        assert_eq!(column, "one column: inking zone");
        assert_eq!(Pattern::TooFew.look_at(Step::Paper), "too few to say");
    }
}
