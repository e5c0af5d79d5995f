//! The account: identities of which both sides are counted apart and must agree, and the day's
//! totals. Takes plain figures, never the folded state.

mod balance;
mod day;

pub use balance::{
    Identity, NoteFigures, ReplacementFigures, SheetFigures, SpoilFigures, Term, notes,
    replacements, sheets, spoils,
};
pub use day::{DayTotals, Tally};
