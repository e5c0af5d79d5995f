//! The Cage screen: what is loose, what lies in which container, under which seal.

mod containers;
mod fill;
mod loose;
mod open;
mod screen;
mod seal;
mod slip;
mod text;

pub use screen::CageScreen;
