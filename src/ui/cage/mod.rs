//! The Cage screen: what is loose, what lies in which container, under which seal, what is held.

mod card;
mod containers;
mod deed;
mod deed_fields;
mod fill;
mod gone;
mod loose;
mod masses;
mod open;
mod screen;
mod seal;
mod slip;
mod text;

pub use screen::CageScreen;
