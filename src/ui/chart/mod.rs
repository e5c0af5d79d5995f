//! Small charts drawn as SVG. Each step of the works has its own hatch, so that a chart reads in
//! black on paper as well as in colour.

mod curves;
mod hatch;
mod oc;
mod pareto;
mod rates;
mod weighing;

pub use curves::Curves;
pub use oc::OcCurve;
pub use pareto::{ParetoBar, ParetoChart};
pub use rates::{RateBar, RateChart};
pub use weighing::weigh_check;
