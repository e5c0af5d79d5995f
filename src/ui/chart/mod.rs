//! Small charts drawn as SVG. Each step of the works has its own hatch, so that a chart reads in
//! black on paper as well as in colour.

mod curves;
mod drawn;
mod oc;
mod weighing;

pub use curves::Curves;
pub use drawn::drawn;
pub use oc::OcCurve;
pub use weighing::{weigh_check, weigh_check_folded};
