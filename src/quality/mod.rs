//! Seeing the press through the spoils: what the marks of a lot say about the machine that
//! made them, and whether the sheets that were passed may be believed.
//!
//! Everything here takes plain figures and slices and gives plain figures back. Positions are
//! rows and columns counted from 0; sheets, positions and classes of a repeater are whatever
//! ordered keys the caller uses. No function knows the book.

pub mod bh;
pub mod capability;
pub mod chart;
pub mod dist;
mod error;
mod grid;
pub mod holm;
pub mod intervals;
pub mod map;
pub mod meaning;
pub mod pareto;
mod probability;
pub mod rates;
pub mod repeat;
pub mod rules;
pub mod runs_test;
pub mod sampling;
mod search;
pub mod spread;
pub mod zones;

pub use error::QualityError;
pub use grid::Grid;
pub use probability::Probability;
