//! The account: identities of which both sides are counted apart and must agree, the day's totals,
//! and how long a replacement series lasts. Takes plain figures, never the folded state.

mod amendment;
mod balance;
mod carried;
mod day;
mod forecast;

pub use amendment::{Amended, Amendment, Reruled, Sealed};
pub use balance::{
    Identity, NoteFigures, ReplacementFigures, SheetFigures, SpoilFigures, Term, notes,
    replacements, sheets, spoils,
};
pub use carried::Carried;
pub use day::{CutOverMove, DayTotals, Stage, Tally};
pub use forecast::{Forecast, RATE_DAYS, StockFigures, forecast};
