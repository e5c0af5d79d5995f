//! The Destroy screen: a session led step by step before witnesses, and its certificate.

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
mod recorded;
mod screen;
mod session;
mod sign;
mod step;
mod weigh;

pub use screen::DestroyScreen;
