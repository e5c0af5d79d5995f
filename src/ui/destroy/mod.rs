//! The Destroy screen: a session led step by step before witnesses, and its certificate.

mod addendum;
mod annex;
mod cautions;
mod certificate;
mod containers;
mod corrections;
mod count;
mod done;
mod faults;
mod fields;
mod paper;
mod past;
mod persons;
mod print;
mod recorded;
mod residue;
mod screen;
mod session;
mod sign;
mod step;
mod weigh;

pub use print::{bars, square};
pub use screen::DestroyScreen;
pub use weigh::{calibration, only_scale, scale_choices};
